//! A mended label as an entry of a materials file.

use indexmap::IndexMap;
use serde::Serialize;

use crate::chemistry::Basis;
use crate::material::Kind;

use super::label::Label;

/// What goes into an entry.
pub(super) struct EntryText<'a> {
    pub(super) label: &'a Label,
    pub(super) kind: Kind,
    pub(super) oxides: &'a [(String, f64)],
    pub(super) loss_percent: f64,
    pub(super) basis: Basis,
    pub(super) assumed: Option<&'a str>,
    pub(super) reasons: &'a [String],
    pub(super) stand_in: Option<&'a str>,
}

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
    #[serde(skip_serializing_if = "Option::is_none")]
    assumed: Option<&'a str>,
    source: &'a str,
}

#[derive(Serialize)]
struct File<'a> {
    materials: [Entry<'a>; 1],
}

/// The text of a materials file with this one entry.
pub(super) fn text(with: &EntryText<'_>) -> String {
    let rounded = |percent: f64| (percent * 1000.0).round() / 1000.0;
    let known = with.stand_in.is_none();
    let file = File {
        materials: [Entry {
            name: &with.label.name,
            kind: with.kind.word(),
            analysis: with
                .oxides
                .iter()
                .map(|(name, percent)| (name.as_str(), rounded(*percent)))
                .collect(),
            loss_on_ignition: known.then(|| rounded(with.loss_percent)),
            basis: known.then(|| with.basis.words()),
            recipe: with.stand_in.iter().map(|name| (*name, 100.0)).collect(),
            assumed: with.assumed,
            source: "bag label",
        }],
    };
    let mut text = match with.label.printed.as_str() {
        "" => String::new(),
        printed => format!("# The label says: {}\n", one_line(printed)),
    };
    for reason in with.reasons {
        text.push_str(&format!("# {}\n", one_line(reason)));
    }
    // Names, numbers and plain words: there is nothing in it that YAML can't hold.
    text.push_str(&serde_yaml::to_string(&file).unwrap_or_default());
    text
}

fn one_line(text: &str) -> String {
    text.chars()
        .map(|sign| if sign.is_control() { ' ' } else { sign })
        .collect()
}
