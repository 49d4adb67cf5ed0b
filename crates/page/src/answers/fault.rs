//! `glost fault`.

use glost_core::rules::{FaultCause, Spot, Stage};
use glost_desk::fault::Answer;

use crate::layout::{Style, indented, paragraph};
use crate::number;
use crate::words::signed::signed;
use crate::{Csv, Shown};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "causes")
    }

    fn text(&self, style: Style) -> String {
        let count = match self.causes.len() {
            0 => "no cause that the script knows".to_owned(),
            1 => "1 possible cause".to_owned(),
            more => format!("{more} possible causes"),
        };
        let spot = self.spot.map_or_else(String::new, at);
        let headline = format!("{} on {}{spot}: {count}.", self.fault, self.glaze);
        let mut text = style.bold(paragraph(&headline, 0).trim_end());
        text.push('\n');
        if self.spot.is_none() {
            text.push('\n');
            let spots: Vec<&str> = Spot::ALL.map(Spot::word).to_vec();
            text.push_str(&indented(
                "First: ",
                &format!(
                    "where does it sit? It tells more than chemistry: --where with {}.",
                    spots.join(", ")
                ),
            ));
        }
        for stage in Stage::ALL {
            let causes: Vec<&FaultCause> = self.causes.iter().filter(|cause| cause.stage == stage).collect();
            if causes.is_empty() {
                continue;
            }
            text.push_str(&format!("\n{}\n", style.bold(heading(stage))));
            for cause in causes {
                text.push_str(&cause_text(cause, &self.glaze));
            }
        }
        text.push('\n');
        if !self.unknown.is_empty() {
            text.push_str(&indented(
                "Left out: ",
                &format!(
                    "causes that need an analysis: nobody tells what is in {}.",
                    self.unknown.join(", ")
                ),
            ));
        }
        text.push_str(&indented(
            "Weights: ",
            "how much speaks for a cause, 0 to 1; no chances. One change a tile tells causes apart.",
        ));
        let by = scripts(&self.causes);
        if !by.is_empty() {
            text.push_str(&indented("By: ", &format!("{}.", by.join("; "))));
        }
        text
    }
}

fn at(spot: Spot) -> String {
    match spot {
        Spot::AllOver => " all over".to_owned(),
        Spot::Thick | Spot::Thin => format!(" where it is {}", spot.word()),
        Spot::Foot => " towards the foot".to_owned(),
        Spot::Rims | Spot::OneShelf | Spot::OneClay => format!(", on {}", spot.word()),
        Spot::OneBatch => " in one batch".to_owned(),
    }
}

fn heading(stage: Stage) -> &'static str {
    match stage {
        Stage::Place => "Where it sits",
        Stage::Coat => "The coat",
        Stage::Firing => "The firing",
        Stage::Recipe => "The recipe",
    }
}

fn cause_text(cause: &FaultCause, glaze: &str) -> String {
    let number = cause.number.map_or_else(String::new, |value| {
        format!(" ({}: {})", cause.of, number::plain(rounded(value)))
    });
    let mut text = indented(&format!("{:.2}  ", cause.weight), &format!("{}{number}", cause.cause));
    text.push_str(&indented("      try: ", &format!("{}.", cause.test)));
    if let Some(series) = &cause.series {
        text.push_str(&indented(
            "      tiles: ",
            &format!("glost blend series \"{glaze}\" --add \"{series}\""),
        ));
    }
    text.push_str(&indented("      ", &format!("({})", cause.source)));
    text
}

/// To three significant digits.
fn rounded(value: f64) -> f64 {
    if value == 0.0 {
        return value;
    }
    let scale = 10_f64.powf(2.0 - value.abs().log10().floor());
    (value * scale).round() / scale
}

/// Each script once, signed.
fn scripts(causes: &[FaultCause]) -> Vec<String> {
    let mut told: Vec<String> = Vec::new();
    for cause in causes {
        let words = signed(&cause.signed);
        if !told.contains(&words) {
            told.push(words);
        }
    }
    told
}
