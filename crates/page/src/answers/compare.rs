//! `glost compare`: a line a difference.

use glost_chemistry::distance::Nearness;
use glost_desk::compare::{Answer, Line, Quantity, Value};

use crate::fitted::fitted;
use crate::layout::{Style, paragraph};
use crate::{Csv, Shown};

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&headline(self), 0).trim_end());
        text.push('\n');
        if self.lines.is_empty() {
            return text;
        }
        let heads = [String::new()].into_iter().chain(self.glazes.iter().cloned());
        let mut rows: Vec<Vec<String>> = vec![heads.chain([String::new()]).collect()];
        for line in &self.lines {
            let values = line.values.iter().map(|value| shown(&line.what, value));
            rows.push(
                [name(&line.what)]
                    .into_iter()
                    .chain(values)
                    .chain([remark(line)])
                    .collect(),
            );
        }
        let mut right = vec![true; self.glazes.len() + 2];
        right[0] = false;
        if let Some(last) = right.last_mut() {
            *last = false;
        }
        text.push_str(&fitted(&rows, &right));
        text
    }

    fn csv(&self) -> Option<Csv> {
        let heads: Vec<&str> = ["what", "name"]
            .into_iter()
            .chain(self.glazes.iter().map(String::as_str))
            .collect();
        let rows = self.lines.iter().map(|line| {
            let (what, name) = line.what.words();
            let cell = |value: &Value| match value {
                Value::Number(number) => number.to_string(),
                Value::Words(words) => words.clone(),
                Value::Nothing => String::new(),
            };
            [what.to_owned(), name.unwrap_or("").to_owned()]
                .into_iter()
                .chain(line.values.iter().map(cell))
                .collect()
        });
        Some(Csv::of(&heads, rows))
    }
}

fn headline(answer: &Answer) -> String {
    let near = answer.nearness();
    let each: Vec<String> = answer.glazes[1..]
        .iter()
        .zip(answer.distances.iter().zip(&near))
        .map(|(glaze, (distance, near))| match (distance, near) {
            (Some(distance), Some(near)) => format!("{glaze}: {} ({distance:.1})", near_words(*near)),
            _ => format!("{glaze}: chemistry not known"),
        })
        .collect();
    format!(
        "Beside {}, the biggest difference first. {}.",
        answer.glazes[0],
        each.join("; ")
    )
}

fn near_words(near: Nearness) -> &'static str {
    near.word()
}

fn name(what: &Quantity) -> String {
    match what {
        Quantity::Oxide(oxide) => oxide.formula().to_owned(),
        Quantity::SilicaToAlumina => "SiO2:Al2O3".to_owned(),
        Quantity::Expansion => "expansion, 1e-6/K".to_owned(),
        Quantity::Melt => "as thin at, C".to_owned(),
        Quantity::Cost => "a kg costs".to_owned(),
        Quantity::Findings => "checks".to_owned(),
        Quantity::Loss => "loss, %".to_owned(),
        Quantity::Part(material) => material.clone(),
        Quantity::Addition(material) => format!("+ {material}"),
        Quantity::Told(key) => (*key).to_owned(),
    }
}

fn shown(what: &Quantity, value: &Value) -> String {
    let number = match value {
        Value::Nothing => return "-".to_owned(),
        Value::Words(words) => return words.clone(),
        Value::Number(number) => *number,
    };
    match what {
        Quantity::Oxide(_) => format!("{number:.3}"),
        Quantity::Melt if number == 0.0 => "0".to_owned(),
        Quantity::Melt => format!("{number:+.0}"),
        Quantity::SilicaToAlumina | Quantity::Loss => format!("{number:.1}"),
        Quantity::Part(_) | Quantity::Addition(_) if number == 0.0 => "-".to_owned(),
        _ => format!("{number:.2}"),
    }
}

/// What a difference means.
fn remark(line: &Line) -> String {
    match (&line.what, line.tolerances) {
        (Quantity::Oxide(_), Some(off)) if off >= 1.0 => format!("off {off:.1} tolerances"),
        (Quantity::Expansion, _) if !line.plus_minus.is_empty() => {
            let bands: Vec<String> = line.plus_minus.iter().map(|band| format!("{band:.2}")).collect();
            format!("+/- {}", bands.join(", "))
        }
        (Quantity::Melt, _) => "rough".to_owned(),
        _ => String::new(),
    }
}
