//! A mended label as an entry of a materials file.

use std::fmt::Write;

use indexmap::IndexMap;
use serde::Serialize;

use super::mend::{Guess, Mended, Reason};

#[derive(Serialize)]
struct Entry<'a> {
    name: &'a str,
    kind: &'a str,
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    analysis: IndexMap<&'a str, f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    loss_on_ignition: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    basis: Option<&'a str>,
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    recipe: IndexMap<&'a str, f64>,
    source: &'a str,
}

#[derive(Serialize)]
struct File<'a> {
    materials: [Entry<'a>; 1],
}

/// The text of a materials file with this one entry: what the label says, its
/// reasons and its guess in the words that `printed`, `reason` and `guess` give them.
pub fn entry(
    mended: &Mended,
    printed: impl Fn(&str) -> String,
    reason: impl Fn(&Reason) -> String,
    guess: impl Fn(&Guess) -> String,
) -> String {
    let rounded = |percent: f64| (percent * 1000.0).round() / 1000.0;
    let known = mended.stand_in.is_none();
    // A stand-in counts by its own entry.
    let oxides = mended.oxides.iter().filter(|_| known);
    let file = File {
        materials: [Entry {
            name: &mended.name,
            kind: mended.kind.word(),
            analysis: oxides
                .map(|(name, percent)| (name.as_str(), rounded(*percent)))
                .collect(),
            loss_on_ignition: known.then(|| rounded(mended.loss_percent)),
            basis: known.then(|| mended.basis.words()),
            recipe: mended.stand_in.iter().map(|name| (name.as_str(), 100.0)).collect(),
            source: "bag label",
        }],
    };
    let mut text = String::new();
    if !mended.printed.is_empty() {
        comment(&mut text, &printed(&mended.printed));
    }
    for one in &mended.reasons {
        comment(&mut text, &reason(one));
    }
    // Names, numbers and plain words: there is nothing in it that YAML can't hold.
    let entry = serde_yaml::to_string(&file).unwrap_or_default();
    let source = "  source:";
    match (&mended.assumed, entry.rsplit_once(source)) {
        (Some(assumed), Some((before, after))) => {
            text.push_str(before);
            text.push_str("  assumed: >-\n");
            for line in wrapped(&guess(assumed)) {
                let _ = writeln!(text, "    {line}");
            }
            text.push_str(source);
            text.push_str(after);
        }
        _ => text.push_str(&entry),
    }
    text
}

fn comment(text: &mut String, sentence: &str) {
    for line in wrapped(sentence) {
        let _ = writeln!(text, "# {line}");
    }
}

/// Words in lines of at most 72 characters, longer words alone.
fn wrapped(sentence: &str) -> Vec<String> {
    let mut lines: Vec<String> = vec![String::new()];
    for word in one_line(sentence).split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.is_empty() => line.push_str(word),
            Some(line) if line.chars().count() + 1 + word.chars().count() <= 72 => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

fn one_line(text: &str) -> String {
    text.chars()
        .map(|sign| if sign.is_control() { ' ' } else { sign })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::{mend, read_label};
    use super::*;
    use glost_chemistry::material::Library;

    /// Figures are kept to a thousandth of a per cent: none of a label's is finer.
    #[test]
    fn an_entry_holds_the_figures_of_its_label() {
        let mended = read_label("soda spar: SiO2 67.8, Al2O3 19.5432, Na2O 11.2, LOI 0.4")
            .and_then(|label| mend(&label, &Library::default()))
            .unwrap_or_else(|why| panic!("{why:?}"));
        let text = entry(&mended, str::to_owned, |_| String::new(), |_| String::new());
        for line in [
            "- name: soda spar",
            "SiO2: 67.8",
            "Al2O3: 19.543",
            "Na2O: 11.2",
            "loss_on_ignition: 0.4",
            "source: bag label",
        ] {
            assert!(text.lines().any(|known| known.trim() == line), "{line} in\n{text}");
        }
    }
}
