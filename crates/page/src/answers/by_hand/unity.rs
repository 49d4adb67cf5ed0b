//! From a recipe to its unity formula, figure by figure.

use glost_desk::by_hand::{Brought, UnitySteps};

use crate::layout::{Align, Table, paragraph};
use crate::number;

/// From a recipe to its unity formula in three steps.
pub(in crate::answers) fn unity(steps: &UnitySteps) -> String {
    let mut text = paragraph(
        "By hand. 1: grams of each oxide in a batch of 100 g base: the material's per cent x its own per cent of the oxide / 100.",
        0,
    );
    text.push_str(&materials(&steps.materials));
    text.push('\n');
    text.push_str(&paragraph(
        &format!(
            "2: moles are the grams added up / the molar mass. 3: each is divided by the moles of all fluxes (yes) together, {}.",
            moles(steps.flux_moles)
        ),
        0,
    ));
    text.push_str(&oxides(steps));
    for step in steps
        .oxides
        .iter()
        .filter(|step| step.counts_as_flux > 0.0 && step.counts_as_flux != 1.0)
    {
        text.push_str(&paragraph(
            &format!(
                "A mole of {} counts as {:.2} of flux, as its iron is counted as FeO: {} of the sum.",
                step.oxide,
                step.counts_as_flux,
                moles(step.moles * step.counts_as_flux)
            ),
            0,
        ));
    }
    text
}

fn materials(materials: &[Brought]) -> String {
    let mut table = Table::new(&[Align::Left, Align::Left, Align::Left, Align::Point]);
    table.row(["material", "oxide", "sum", "grams"]);
    for material in materials {
        for (index, line) in material.oxides.iter().enumerate() {
            let name = if index == 0 { material.material.as_str() } else { "" };
            table.row([
                name.to_owned(),
                line.oxide.to_string(),
                format!("{:.2} x {:.2} / 100", material.percent, line.percent_of_material),
                format!("{:.3}", line.grams),
            ]);
        }
    }
    table.text()
}

fn oxides(steps: &UnitySteps) -> String {
    let mut table = Table::new(&[
        Align::Left,
        Align::Point,
        Align::Point,
        Align::Point,
        Align::Left,
        Align::Point,
    ]);
    table.row(["oxide", "grams", "g/mol", "moles", "flux", "unity"]);
    for step in &steps.oxides {
        table.row([
            step.oxide.to_string(),
            format!("{:.3}", step.grams),
            format!("{:.2}", step.grams_per_mole),
            moles(step.moles),
            if step.counts_as_flux > 0.0 { "yes" } else { "" }.to_owned(),
            step.unity
                .map_or_else(|| "-".to_owned(), |unity| number::unity_of(step.oxide, unity)),
        ]);
    }
    table.text()
}

fn moles(amount: f64) -> String {
    format!("{amount:.4}")
}
