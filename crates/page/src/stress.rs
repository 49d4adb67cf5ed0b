//! The stress in a glaze on a measured clay in words.

use glost_chemistry::glass::{Coat, FitStress, Pull};
use glost_core::evidence::ware::GlazeStress;

use crate::layout::capital;
use crate::words::chemistry::outside_in_a_line;
use crate::words::fit_said::stress_said;

use crate::layout::{Align, Table, assumed, indented};

/// The stress in words.
pub fn stress_text(stress: &GlazeStress) -> String {
    indented("Stress: ", &stress_sentence(stress))
}

/// The stress as a sentence that begins with squeezed or stretched.
pub fn stress_sentence(stress: &GlazeStress) -> String {
    let usual = stress.stress();
    let (careful, very_careful) = stress.fired_glaze_plus_minus;
    let other = match stress.usual {
        Coat::OneSide => ("glazed on both sides", &stress.both_sides),
        _ => ("glazed on one side only", &stress.one_side),
    };
    let (careful, very_careful) = (format!("{careful:.0}"), format!("{very_careful:.0}"));
    let off = if careful == very_careful {
        format!("{careful} MPa")
    } else {
        format!("{careful} to {very_careful} MPa")
    };
    let mut sentence = format!(
        "{}, in a glass of exactly this composition {}; in a fired glaze it may be off by {off}. {}: {}; a very thin coat: {}. It sets near {:.0} C. No stress is known at which every glaze crazes or shivers: pieces on this clay decide.",
        pull_words(usual),
        coat_words(stress.usual),
        capital(other.0),
        signed_words(other.1.megapascals.value),
        signed_words(stress.thin.megapascals.value),
        stress.set_celsius.value,
    );
    if !stress.glaze_expansion.inside_domain {
        sentence.push_str(&format!(
            " Outside what the models have seen, so all of it is rougher still: {}.",
            outside_in_a_line(&stress.glaze_expansion.reasons)
        ));
    }
    sentence
}

/// The stress while it cools, hottest first; nothing without a dilatometer's table.
pub fn cooling_text(stress: &GlazeStress) -> String {
    if stress.cooling.is_empty() {
        return String::new();
    }
    let mut table = Table::new(&[Align::Right, Align::Left]);
    table.row(["while it cools, C", ""]);
    for (celsius, megapascals) in &stress.cooling {
        table.row([format!("{celsius:.0}"), signed_words(*megapascals)]);
    }
    table.text()
}

/// What the stress takes for granted.
pub fn stress_assumptions(stress: &GlazeStress) -> String {
    let said: Vec<String> = stress.assumptions.iter().map(stress_said).collect();
    assumed(&said)
}

fn coat_words(coat: Coat) -> &'static str {
    match coat {
        Coat::Thin => "in a very thin coat",
        Coat::OneSide => "on one side",
        Coat::BothSides => "on both sides",
    }
}

/// `squeezed by 34 MPa at room temperature (90 %: 2 to 68)`.
fn pull_words(stress: &FitStress) -> String {
    let band = stress.megapascals;
    let ends = match stress.pull {
        Pull::Squeezed => format!("90 %: {:.0} to {:.0}", -band.high(), -band.low()),
        Pull::Stretched => format!("90 %: {:.0} to {:.0}", band.low(), band.high()),
        Pull::Unsure => format!("90 %: {} to {}", signed_words(band.low()), signed_words(band.high())),
    };
    let about = signed_words(band.value);
    match stress.pull {
        Pull::Squeezed | Pull::Stretched => format!("{about} at room temperature ({ends})"),
        Pull::Unsure => format!("perhaps {about} at room temperature, but which way isn't sure ({ends})"),
    }
}

/// `squeezed by 34 MPa`, `stretched by 2 MPa`.
fn signed_words(megapascals: f64) -> String {
    let size = format!("{:.0}", megapascals.abs());
    match size.as_str() {
        "0" => "next to nothing".to_owned(),
        _ if megapascals < 0.0 => format!("squeezed by {size} MPa"),
        _ => format!("stretched by {size} MPa"),
    }
}
