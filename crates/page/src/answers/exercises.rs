//! `glost exercises`: a sheet for a class, its key apart.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::oxides::Oxide;
use glost_desk::exercises::{Answer, Kind, Sum};

use crate::flow::Flow;
use crate::layout::{Style, indented, paragraph};
use crate::number;
use crate::print::Printed;
use crate::sheet::{Pages, Setting};
use crate::{Csv, Shown};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "exercises")
    }

    fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&title(self), 0).trim_end());
        text.push('\n');
        text.push_str(&paragraph(task(self.kind), 0));
        text.push('\n');
        for exercise in &self.exercises {
            text.push_str(&indented(&format!("{}. ", exercise.number), &given(&exercise.sum)));
        }
        text.push_str(&format!("\n{}\n", style.bold("Key")));
        for exercise in &self.exercises {
            text.push_str(&indented(&format!("{}. ", exercise.number), &key(&exercise.sum)));
        }
        text
    }

    fn printed(&self) -> Result<Printed, Diagnostic> {
        let Some(file) = &self.page else {
            return Ok(Printed::default());
        };
        let said = format!(
            "\nPage: {}, to open in a browser and print; the key is on a page of its own.\n",
            file.path.display()
        );
        Printed::pages(file, &pages(self), said)
    }
}

fn title(answer: &Answer) -> String {
    let what = match answer.kind {
        Kind::Unity => "From recipe to unity formula",
        Kind::Weigh => "From recipe to batch",
        Kind::Slurry => "What is in the bucket",
        Kind::Blend => "Tiles between two ends",
    };
    let count = match answer.exercises.len() {
        1 => "1 exercise".to_owned(),
        several => format!("{several} exercises"),
    };
    format!("{what}: {count} (sheet {})", answer.seed)
}

/// What is to be done, and by what rule.
fn task(kind: Kind) -> &'static str {
    match kind {
        Kind::Unity => {
            "Grams of each oxide left after firing, over its molar mass: moles. Each over the moles of all fluxes together. Then SiO2 : Al2O3. Formulas: silica SiO2, potash feldspar K2O Al2O3 6 SiO2, soda feldspar Na2O Al2O3 6 SiO2, kaolin Al2O3 2 SiO2 2 H2O, whiting CaCO3, dolomite CaCO3 MgCO3, talc 3 MgO 4 SiO2 H2O, zinc oxide ZnO."
        }
        Kind::Weigh => {
            "Grams = per cent / 100 x grams of base; what comes on top is per cent of the base, and adds to it."
        }
        Kind::Slurry => {
            "Density = grams / millilitres. Dry powder = (weight of the slurry - weight of as much water) x D / (D - 1), D being the powder's own density (Brongniart)."
        }
        Kind::Blend => "Equal steps from all A to all B; how many millilitres of each slurry goes into each tile?",
    }
}

fn listed(amounts: &[(String, f64)], unit: &str) -> String {
    let each = amounts
        .iter()
        .map(|(name, amount)| format!("{name} {}{unit}", number::plain(*amount)));
    each.collect::<Vec<_>>().join(", ")
}

fn given(sum: &Sum) -> String {
    match sum {
        Sum::Unity { parts, .. } => format!("{}.", listed(&parts.0, "")),
        Sum::Weigh {
            parts,
            additions,
            base_grams,
            ..
        } => format!(
            "{}; on top {}. For {} g of base.",
            listed(&parts.0, ""),
            listed(&additions.0, " %"),
            number::plain(*base_grams)
        ),
        Sum::Slurry {
            jar_millilitres,
            jar_grams,
            bucket_litres,
            powder_density,
            ..
        } => format!(
            "{} ml of it weigh {} g; {} l are in the bucket; its powder is of {} g/ml. How dense is it, how much dry powder is in it?",
            number::plain(*jar_millilitres),
            number::plain(*jar_grams),
            number::plain(*bucket_litres),
            number::plain(*powder_density)
        ),
        Sum::Blend {
            tiles,
            tile_millilitres,
            ..
        } => format!("{tiles} tiles of {} ml each.", number::plain(*tile_millilitres)),
    }
}

fn key(sum: &Sum) -> String {
    match sum {
        Sum::Unity {
            unity,
            silica_to_alumina,
            ..
        } => {
            let each = unity.0.iter().map(|(name, moles)| {
                let moles = Oxide::from_formula(name)
                    .map_or_else(|| format!("{moles:.3}"), |oxide| number::unity_of(oxide, *moles));
                format!("{name} {moles}")
            });
            let ratio = silica_to_alumina.map_or_else(String::new, |ratio| format!("; SiO2 : Al2O3 {ratio:.2}"));
            format!("{}{ratio}", each.collect::<Vec<_>>().join(", "))
        }
        Sum::Weigh { grams, total_grams, .. } => {
            let each = grams.0.iter().map(|(name, grams)| format!("{name} {grams:.1} g"));
            format!("{}; in all {total_grams:.1} g", each.collect::<Vec<_>>().join(", "))
        }
        Sum::Slurry { density, dry_grams, .. } => format!("{density:.2} g/ml; {dry_grams:.0} g"),
        Sum::Blend { millilitres, .. } => {
            let each = millilitres
                .iter()
                .map(|[first, second]| format!("{first:.1} + {second:.1}"));
            each.collect::<Vec<_>>().join(", ")
        }
    }
}

fn pages(answer: &Answer) -> Pages {
    let mut flow = Flow::new();
    flow.title(&title(answer));
    flow.blanks(&["Name", "Date"]);
    flow.paragraph(task(answer.kind));
    for exercise in &answer.exercises {
        flow.paragraph(&format!("{}. {}", exercise.number, given(&exercise.sum)));
        flow.blanks(&[""]);
    }
    flow.next_page();
    flow.title("Key");
    flow.paragraph(&title(answer));
    for exercise in &answer.exercises {
        flow.paragraph(&format!("{}. {}", exercise.number, key(&exercise.sum)));
    }
    Pages {
        title: title(answer),
        setting: Setting::AnyPaper,
        drawings: flow.finish(),
    }
}
