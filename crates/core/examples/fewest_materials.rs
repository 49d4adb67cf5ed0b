//! How long the fewest materials take on invented studios: `fewest_materials GLAZES MATERIALS STUDIOS`.

use std::time::Instant;

use glost_chemistry::diagnostic::Source;
use glost_chemistry::glaze::{FluxList, Glaze, read_glaze};
use glost_chemistry::material::{Library, read_materials};
use glost_chemistry::quantity::Millilitres;
use glost_core::recipes::fewest::{FewestQuestion, Kept, fewest};

/// A name, a kind, oxides in wt % as supplied.
type Sheet = (&'static str, &'static str, &'static [(&'static str, f64)]);

/// Invented sheets to draw variants of.
const SHEETS: [Sheet; 15] = [
    (
        "soda spar",
        "mineral",
        &[
            ("SiO2", 68.4),
            ("Al2O3", 19.2),
            ("Na2O", 10.1),
            ("K2O", 1.2),
            ("CaO", 0.6),
        ],
    ),
    (
        "potash spar",
        "mineral",
        &[
            ("SiO2", 66.1),
            ("Al2O3", 18.3),
            ("K2O", 11.2),
            ("Na2O", 2.9),
            ("CaO", 0.3),
        ],
    ),
    (
        "mixed spar",
        "mineral",
        &[
            ("SiO2", 67.2),
            ("Al2O3", 18.8),
            ("K2O", 7.1),
            ("Na2O", 5.9),
            ("CaO", 0.5),
        ],
    ),
    ("quartz", "mineral", &[("SiO2", 99.5), ("Al2O3", 0.2)]),
    ("whiting", "mineral", &[("CaO", 55.2), ("MgO", 0.4), ("SiO2", 0.6)]),
    (
        "wollastonite",
        "mineral",
        &[("SiO2", 51.2), ("CaO", 46.4), ("Al2O3", 0.4), ("MgO", 0.4)],
    ),
    ("dolomite", "mineral", &[("CaO", 30.3), ("MgO", 21.2), ("SiO2", 0.7)]),
    (
        "talc",
        "mineral",
        &[("SiO2", 61.0), ("MgO", 31.4), ("CaO", 0.5), ("Al2O3", 0.9)],
    ),
    (
        "kaolin",
        "clay",
        &[("SiO2", 47.2), ("Al2O3", 37.4), ("K2O", 0.9), ("Fe2O3", 0.4)],
    ),
    (
        "ball clay",
        "clay",
        &[
            ("SiO2", 55.0),
            ("Al2O3", 29.6),
            ("K2O", 2.1),
            ("Fe2O3", 1.0),
            ("MgO", 0.3),
        ],
    ),
    (
        "calcined clay",
        "mineral",
        &[("SiO2", 54.3), ("Al2O3", 43.6), ("K2O", 1.0), ("Fe2O3", 0.5)],
    ),
    (
        "boron frit",
        "frit",
        &[
            ("SiO2", 50.1),
            ("B2O3", 19.8),
            ("Al2O3", 7.6),
            ("CaO", 12.9),
            ("Na2O", 9.4),
        ],
    ),
    (
        "soft frit",
        "frit",
        &[
            ("SiO2", 45.2),
            ("B2O3", 25.6),
            ("Al2O3", 5.1),
            ("CaO", 16.7),
            ("Na2O", 7.2),
        ],
    ),
    ("zinc oxide", "chemical", &[("ZnO", 99.6)]),
    ("strontium carbonate", "chemical", &[("SrO", 69.5)]),
];

struct Numbers(u64);

impl Numbers {
    fn below(&mut self, bound: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % bound
    }

    fn about_one(&mut self, by: f64) -> f64 {
        1.0 + by * (self.below(2001) as f64 / 1000.0 - 1.0)
    }
}

fn materials(count: usize, numbers: &mut Numbers) -> (Library, Vec<(String, &'static str)>) {
    let mut text = "materials:\n".to_owned();
    let mut names = Vec::new();
    for number in 0..count {
        let (name, kind, sheet) = SHEETS[number % SHEETS.len()];
        let name = format!("{name} {}", number / SHEETS.len() + 1);
        let moved: Vec<(&str, f64)> = sheet
            .iter()
            .map(|(oxide, part)| (*oxide, part * numbers.about_one(0.06)))
            .collect();
        let total: f64 = moved.iter().map(|part| part.1).sum();
        let scale = if total > 99.9 { 99.9 / total } else { 1.0 };
        let analysis: Vec<String> = moved
            .iter()
            .map(|(oxide, part)| format!("{oxide}: {:.2}", part * scale))
            .collect();
        let loss = 100.0 - (total * scale);
        text += &format!(
            "  - {{ name: {name}, kind: {kind}, basis: as supplied, loss_on_ignition: {loss:.1}, buyable: true, source: invented, take_as_is: true, analysis: {{ {} }} }}\n",
            analysis.join(", ")
        );
        names.push((name, kind));
    }
    let (entries, _) = read_materials(&Source::from_text("materials.yaml", &text));
    let mut library = Library::default();
    library.add_layer(entries, false);
    (library, names)
}

fn recipe(library: &Library, names: &[(String, &'static str)], number: usize, numbers: &mut Numbers) -> Option<Glaze> {
    let mut parts: Vec<(String, usize)> = Vec::new();
    let wanted = 4 + numbers.below(3);
    while parts.len() < wanted {
        let (name, kind) = &names[numbers.below(names.len())];
        let clays = parts
            .iter()
            .filter(|part| part.0.contains("clay") || part.0.contains("kaolin"))
            .count();
        let again = parts.iter().any(|part| part.0 == *name);
        let clay = *kind == "clay" || name.contains("clay");
        if !(again || clay && clays > 0) && (clay || parts.len() + 1 < wanted || clays > 0) {
            let part = if clay {
                8 + numbers.below(14)
            } else {
                5 + numbers.below(36)
            };
            parts.push((name.clone(), part));
        }
    }
    let parts: Vec<String> = parts.iter().map(|(name, part)| format!("{name}: {part}")).collect();
    let text = format!("glaze: glaze {number}\nparts: {{ {} }}\n", parts.join(", "));
    let file = read_glaze(&Source::from_text("glaze.yaml", &text), Millilitres::METRIC_CUP).ok()?;
    file.resolve(library).ok()
}

fn main() {
    let asked: Vec<usize> = std::env::args().skip(1).filter_map(|word| word.parse().ok()).collect();
    let [glazes, count, studios] = asked.as_slice() else {
        eprintln!("fewest_materials GLAZES MATERIALS STUDIOS");
        return;
    };
    for studio in 0..*studios {
        let mut numbers = Numbers(1000 + studio as u64);
        let (library, names) = materials(*count, &mut numbers);
        let recipes: Vec<Glaze> = (0..*glazes)
            .filter_map(|number| recipe(&library, &names, number, &mut numbers))
            .collect();
        let fluxes = FluxList::default();
        let question = FewestQuestion {
            glazes: recipes.iter().collect(),
            library: &library,
            fluxes: vec![&fluxes; recipes.len()],
            keep: Vec::new(),
            drop: Vec::new(),
            within: 2.0,
            clay_band: true,
            cheapest: None,
            show: 5,
            work: 100_000_000,
        };
        let start = Instant::now();
        match fewest(&question) {
            Ok(found) => println!(
                "studio {studio}: {} of {} materials, at least {}, proven {}, {} glazes unchanged, {:.2} s, {} steps",
                found.keep.len(),
                found.keep.len() + found.drop.len(),
                found.at_least,
                found.proven,
                found
                    .glazes
                    .iter()
                    .filter(|glaze| matches!(glaze.kept, Kept::Unchanged))
                    .count(),
                start.elapsed().as_secs_f64(),
                found.steps,
            ),
            Err(why) => println!("studio {studio}: {why:?}"),
        }
    }
}
