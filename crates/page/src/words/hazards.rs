//! Cautions about a batch that can harm.

use glost_core::workshop::hazards::{Caution, MaterialGrams, MetalGrams};

/// A caution, without a full stop.
pub(crate) fn caution(caution: &Caution) -> String {
    match caution {
        Caution::Dust {
            silica_grams,
            untold,
            assumed,
        } => dust(*silica_grams, &untold.join(", "), &assumed.join(", ")),
        Caution::Poisons(poisons) => poisonous(poisons),
        Caution::Soluble(names) => format!(
            "dissolves in the bucket: {}; gloves, and never pour clear water off: it carries some away",
            names.join(", ")
        ),
        Caution::Metals(metals) => holds(metals),
        Caution::Fumes(metals) => format!(
            "{} fumes leave the kiln: vented to outdoors, and nobody stays in the room",
            metals.join(" and ")
        ),
        Caution::Fluorine(percent) => format!(
            "{percent:.1} % of the batch is fluorine and leaves the kiln as hydrogen fluoride: it etches glass and \
             elements and harms lungs; fire vented to the outdoors, and not beside other ware"
        ),
        Caution::Untold(names) => format!(
            "nobody tells what is in {}: its metals aren't known here, read its safety data sheet",
            names.join(", ")
        ),
        Caution::PowderIntoWater => "powder into water, never water onto powder; wipe wet, never sweep; rinse in two \
                                     buckets and let them settle, nothing down the drain"
            .to_owned(),
    }
}

fn poisonous(poisons: &[MaterialGrams]) -> String {
    let each: Vec<String> = poisons
        .iter()
        .map(|poison| format!("{} g of {}", amount(poison.grams), poison.material))
        .collect();
    format!(
        "poisonous to handle: {}; gloves, no food or drink near, and its safety data sheet first",
        each.join(", ")
    )
}

fn holds(metals: &[MetalGrams]) -> String {
    let each: Vec<String> = metals
        .iter()
        .map(|metal| format!("{} ({} g as {})", metal.metal, amount(metal.grams), metal.oxide))
        .collect();
    format!(
        "holds {}: not tested for food; only a laboratory's leach test on the fired piece can tell",
        each.join(", ")
    )
}

fn dust(silica_grams: f64, untold: &str, assumed: &str) -> String {
    match (silica_grams > 0.0, untold.is_empty()) {
        (true, told) => {
            let more = if told {
                String::new()
            } else {
                format!(", and what {untold} brings isn't told")
            };
            let assumed = if assumed.is_empty() {
                String::new()
            } else {
                format!(" (assumed of {assumed}, unless its sheet says amorphous)")
            };
            format!(
                "{} g of this powder is crystalline silica{assumed}{more}: a respirator that fits, and no dust in the air",
                amount(silica_grams)
            )
        }
        (false, true) => {
            "no crystalline silica is told of these powders, but all dust harms: a respirator that fits".to_owned()
        }
        (false, false) => format!(
            "how much crystalline silica {untold} brings isn't told: treat its dust as silica, a respirator that fits"
        ),
    }
}

/// Grams for a sentence: whole ones from ten up.
fn amount(grams: f64) -> String {
    match grams {
        grams if grams >= 9.95 => format!("{grams:.0}"),
        grams if grams >= 0.095 => format!("{grams:.1}"),
        grams => format!("{grams:.3}"),
    }
}
