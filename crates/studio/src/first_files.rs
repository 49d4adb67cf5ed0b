//! The files of a first studio, with comments that say what goes where.

use glost_chemistry::quantity::Millilitres;

use crate::new_names::file_stem;
use glost_core::intake::start::{Answers, Cups, Firing, Glazing, in_cups, parse_water};

/// A file of the studio's folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StudioFile {
    /// Its path in the folder, with `/`.
    pub path: String,
    /// Its text.
    pub text: String,
}

/// The files for these answers; `studio.yaml` comes last.
pub fn studio_files(answers: &Answers) -> Vec<StudioFile> {
    let name = answers.glaze_name();
    let mut files = vec![file(
        format!("clays/{}.yaml", file_stem(&answers.clay, "clay")),
        clay(answers),
    )];
    let glaze_path = format!("glazes/{}.yaml", file_stem(name, "glaze"));
    match &answers.glazing {
        Glazing::Powder(powder) => {
            files.push(file(glaze_path, powder_glaze(powder, answers)));
            files.push(file("materials/bought_powders.yaml".to_owned(), powder_entry(powder)));
        }
        Glazing::Recipe(_, text) => {
            files.push(file(glaze_path, format!("{text}{}", making(answers))));
            files.push(file("materials/own.yaml".to_owned(), no_materials()));
        }
    }
    files.push(file("studio.yaml".to_owned(), settings(answers)));
    files
}

fn file(path: String, text: String) -> StudioFile {
    StudioFile { path, text }
}

/// What a bag and its invoice may tell, behind `#` in the column where it is read.
const OF_A_BAG: &str =
    "    #lot: \"4\"                     # from the bag; a new lot is a new glaze until a tile says otherwise
    #price: 18 EUR per 5 kg
    #stock: 5 kg                  # what you have
    #buyable: true                # whether you can get more
";
/// The same of a ready-made powder.
const OF_A_POWDER: &str = "    #firing: 1060-1080 C          # as printed on the bag
    #expansion: 6.2e-6/K at 20-400 C   # as printed on the bag
";

/// A text as one YAML scalar.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

fn number(value: f64) -> String {
    format!("{}", (value * 1e6).round() / 1e6)
}

/// Firing, clay and water of a glaze file.
fn making(answers: &Answers) -> String {
    let firing = match &answers.firing {
        Firing::Peak(peak) => format!("peak: {} C\n", number(peak.celsius())),
        Firing::Cone(cone) => format!("cone: {}                     # as text: 04 is not 4\n", quoted(cone)),
    };
    let per_kilo = answers.water.millilitres_per_kg;
    // In cups only where that says exactly the same.
    let exact = |cups: &Cups| parse_water(&cups.to_string(), Millilitres::METRIC_CUP) == Ok(answers.water);
    let water = match in_cups(per_kilo, Millilitres::METRIC_CUP).filter(exact) {
        Some(cups) => format!("{cups}/kg"),
        None => format!("{} ml/kg", number(per_kilo)),
    };
    format!(
        "{firing}clay: {}\nwater: {water}               # for a kilo of dry powder; a cup is the one in studio.yaml\n\
         #density: 1.45                  # g/ml, once you have weighed a jar that dipped well\n\
         #use: tableware                 # tableware, wall tile, floor, outdoor or decorative\n",
        quoted(&answers.clay)
    )
}

fn powder_glaze(powder: &str, answers: &Answers) -> String {
    format!(
        "# A bought powder: nobody tells what is in it. It can be weighed, wetted, labelled and judged by its results.\n\
         glaze: {name}\nparts:\n  {name}: 100\n#additions: {{ silica: 3 }}       # per cent on the powder, for tests\n{making}",
        name = quoted(powder),
        making = making(answers)
    )
}

fn powder_entry(powder: &str) -> String {
    format!(
        "# Powders that you buy ready-made. Take the # away where the bag or the invoice tells you more.\n\
         materials:\n  - name: {}\n    kind: powder\n    analysis: unknown\n    source: bag label\n{OF_A_BAG}{OF_A_POWDER}",
        quoted(powder)
    )
}

fn no_materials() -> String {
    "# Your own materials, each with the analysis from its supplier's sheet or bag.\n\
     # Until one stands here, the shipped one of that name serves, by formula or representative.\n\
     # A poor label: `glost materials --label \"kaolin: SiO2 54.0, Al2O3 45.0\"` works out what it means.\n\
     materials:\n"
        .to_owned()
}

fn clay(answers: &Answers) -> String {
    clay_file_text(&answers.clay)
}

/// The file of a clay of which the name is known; what its bag may say waits behind `#`.
pub fn clay_file_text(name: &str) -> String {
    format!(
        "# Your clay. Three fired bars of it weighed dry, soaked and boiled say how much it soaks up.\n\
         clay: {}\n\
         #expansion: 7.7e-6/K at 20-500 C   # as printed on the bag; or 77.7e-7, or 0.258 % at 500 C\n\
         #absorption: 10                    # wt %, as printed on the bag\n\
         #weighings: {{ dry: 412.0 g, soaked: 432.6 g, boiled: 436.7 g }}\n\
         #source: bag label\n",
        quoted(name)
    )
}

/// The file of a ready-made powder of which nobody tells anything.
pub fn powder_file_text(name: &str) -> String {
    powder_entry(name)
}

/// The file of a material by its formula; what its bag may say besides waits behind `#`.
pub fn formula_file_text(name: &str, formula: &str) -> String {
    format!(
        "# By formula, until an analysis from its sheet stands here.\n\
         # Take the # away where the bag or the invoice tells you more.\n\
         materials:\n  - name: {}\n    formula: {formula}\n    source: stoichiometric\n{OF_A_BAG}",
        quoted(name)
    )
}

fn settings(answers: &Answers) -> String {
    let scales = &answers.scales;
    let most = match scales.up_to {
        Some(most) => format!(", up_to: {} g", number(most.grams())),
        None => String::new(),
    };
    format!(
        "# Your studio. Glost finds this file from any folder below it.\n\
         studio: my studio                 # its name, as tickets and labels print it\n\
         scales: {{ reads_to: {} g{most} }}      # the step they read to{}\n\
         cup: 250 ml                       # the cup you measure water with\n\
         #currency: EUR\n",
        number(scales.reads_to.grams()),
        if most.is_empty() {
            "; and the most they carry: up_to: 2 kg"
        } else {
            ", and the most they carry"
        }
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_chemistry::diagnostic::Source;
    use glost_chemistry::glaze::read_glaze;
    use glost_chemistry::material::{Library, read_materials};
    use glost_core::evidence::ware::read_clay;
    use glost_core::intake::start::{parse_firing, parse_water};
    use glost_core::studio::read_settings;
    use glost_core::workshop::scales::parse_scales;

    #[test]
    fn whatever_the_names_the_files_can_be_read() {
        for (name, firing) in [
            ("bought clear", "1060 C"),
            ("\"Nº 7\": clear, # 2 {x}", "cone 04"),
            ("null", "cone 6"),
            ("釉 \\ 1", "1976 F"),
        ] {
            let (Ok(firing), Ok(water), Ok(scales)) = (
                parse_firing(firing),
                parse_water("5 3/4 cups", Millilitres::METRIC_CUP),
                parse_scales("0.1 g up to 2 kg"),
            ) else {
                panic!("not read")
            };
            let answers = Answers {
                glazing: Glazing::Powder(name.to_owned()),
                clay: format!("{name} clay"),
                firing,
                water,
                scales,
            };
            let files = studio_files(&answers);
            let source = |ending: &str| {
                let found = files.iter().find(|file| file.path.starts_with(ending));
                Source::from_text(ending, found.map_or("", |file| file.text.as_str()))
            };
            let (materials, complaints) = read_materials(&source("materials"));
            assert_eq!(complaints, []);
            let mut library = Library::default();
            assert!(library.add_layer(materials, false).is_empty());
            let file = read_glaze(&source("glazes"), Millilitres::METRIC_CUP);
            let glaze = file.ok().and_then(|file| file.resolve(&library).ok());
            assert!(glaze.is_some_and(|glaze| {
                glaze.name == name
                    && glaze
                        .about
                        .water
                        .is_some_and(|water| water.millilitres_per_kg == 1437.5)
            }));
            assert!(read_clay(&source("clays")).is_ok_and(|clay| clay.name == format!("{name} clay")));
            let settings = read_settings(&source("studio"));
            assert!(settings.is_ok_and(|settings| settings.scales == scales));
        }
    }

    /// In cups where that is exact, else in millilitres: as many either way.
    #[test]
    fn the_water_of_a_new_glaze_is_that_of_the_answer() {
        for typed in ["1 cup", "3 1/4 cups", "800 ml", "823.4 ml", "0.77 l"] {
            let (Ok(firing), Ok(water), Ok(scales)) = (
                parse_firing("cone 6"),
                parse_water(typed, Millilitres::METRIC_CUP),
                parse_scales("1 g"),
            ) else {
                panic!("{typed} is not read")
            };
            let clay = "buff".to_owned();
            let glazing = Glazing::Powder("clear".to_owned());
            let text = making(&Answers {
                glazing,
                clay,
                firing,
                water,
                scales,
            });
            let glaze = format!("glaze: clear\nparts: {{ silica: 1 }}\n{text}");
            let read = read_glaze(&Source::from_text("clear", &glaze), Millilitres::METRIC_CUP);
            let read = read.map(|file| file.about.water);
            assert_eq!(read, Ok(Some(water)), "{typed}: {text}");
            assert_eq!(
                text.contains("cups/kg") || text.contains("cup/kg"),
                typed.contains("cup"),
                "{text}"
            );
        }
    }

    /// The list of a studio with recipes is empty, and says what may stand in it.
    #[test]
    fn what_waits_for_materials_can_be_read() {
        let own = no_materials();
        assert!(own.ends_with("materials:\n") && own.contains("kaolin"), "{own}");
        let (materials, complaints) = read_materials(&Source::from_text("materials/own.yaml", &own));
        assert_eq!((materials.len(), complaints), (0, Vec::new()));
        let powder = powder_file_text("bought clear");
        let (materials, complaints) = read_materials(&Source::from_text("materials/powder.yaml", &powder));
        assert_eq!(complaints, []);
        let names: Vec<&str> = materials.iter().map(|entry| entry.name.text.as_str()).collect();
        assert_eq!(names, ["bought clear"]);
    }

    #[test]
    fn a_material_by_its_formula_is_read_back() {
        let text = formula_file_text("Dune \"7\" sand", "SiO2");
        let (materials, complaints) = read_materials(&Source::from_text("materials/own.yaml", &text));
        assert_eq!(complaints, []);
        let mut library = Library::default();
        assert!(library.add_layer(materials, false).is_empty());
        assert!(
            library
                .find("Dune \"7\" sand")
                .is_some_and(|sand| sand.formula.is_some())
        );
    }
}
