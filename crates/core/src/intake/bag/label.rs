//! The words of a label: a name, and figures for oxides or compounds.

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source, is_no, of_typed, suggestion};
use glost_chemistry::oxides::{AnalysisKey, Formula, fire};
use glost_chemistry::quantity::{DecimalComma, parse_number};
use glost_chemistry::read::folded;
use serde::Serialize;

/// Compounds that labels name in words.
const COMPOUNDS: [(&str, &str); 24] = [
    ("calcium carbonate", "CaCO3"),
    ("magnesium carbonate", "MgCO3"),
    ("barium carbonate", "BaCO3"),
    ("strontium carbonate", "SrCO3"),
    ("lithium carbonate", "Li2CO3"),
    ("sodium carbonate", "Na2CO3"),
    ("kaolinite", "Al2Si2O5(OH)4"),
    ("quartz", "SiO2"),
    ("silica", "SiO2"),
    ("silicon dioxide", "SiO2"),
    ("alumina", "Al2O3"),
    ("aluminium oxide", "Al2O3"),
    ("ferric oxide", "Fe2O3"),
    ("iron oxide", "Fe2O3"),
    ("lime", "CaO"),
    ("calcium oxide", "CaO"),
    ("magnesia", "MgO"),
    ("magnesium oxide", "MgO"),
    ("potash", "K2O"),
    ("potassium oxide", "K2O"),
    ("soda", "Na2O"),
    ("sodium oxide", "Na2O"),
    ("titania", "TiO2"),
    ("zinc oxide", "ZnO"),
];

/// One compound on a label and what it leaves.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Compound {
    /// As printed.
    pub printed: String,
    /// Its formula.
    pub formula: String,
    /// How much of it, wt %.
    pub percent: f64,
    /// What it loses in firing, wt % of the bag.
    pub loss_percent: f64,
    /// The oxides it leaves, wt % of the bag.
    pub oxides: Vec<(String, f64)>,
}

/// A label as printed.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// The material's name.
    pub name: String,
    /// The words after the name.
    pub printed: String,
    /// Oxide lines, wt %.
    pub oxides: Vec<(String, f64)>,
    /// Compounds that aren't oxides, or that are told in words.
    pub compounds: Vec<Compound>,
    /// Loss on ignition, wt %, where printed.
    pub loss_percent: Option<f64>,
    /// How figures were read.
    pub notes: Vec<DecimalComma>,
}

/// Reads `kaolin: SiO2 54.0, Al2O3 45.0`, `chalk: calcium carbonate 98.5 %`,
/// or a name alone.
///
/// # Errors
/// No name, a figure without a word, a word that names no oxide or compound,
/// figures outside 0 to 100.
pub fn read_label(text: &str) -> Result<Label, Diagnostic> {
    let source = Source::from_text("label", text);
    let (name, rest) = text.split_once(':').unwrap_or((text, ""));
    let mut label = Label {
        name: name.trim().to_owned(),
        printed: rest.trim().to_owned(),
        oxides: Vec::new(),
        compounds: Vec::new(),
        loss_percent: None,
        notes: Vec::new(),
    };
    if label.name.is_empty() || (rest.is_empty() && label.name.contains(|sign: char| sign.is_ascii_digit())) {
        return Err(trouble(&source, text, "the label has no name")
            .help("write the name, a colon and the figures: \"kaolin: SiO2 54.0, Al2O3 45.0\""));
    }
    let mut words: Vec<&str> = Vec::new();
    let spaced = spaced(rest);
    for token in spaced.split_whitespace() {
        let bare = token.trim_matches([',', '%', '<', '>', '~', '(', ')', '≥', '≤']);
        if bare.is_empty() {
            continue;
        }
        match parse_number(bare) {
            Ok(number) => {
                if !(0.0..=100.0).contains(&number.value) {
                    return Err(trouble(&source, bare, is_no(bare, "percentage")));
                }
                label.notes.extend(number.note);
                let key = words.join(" ");
                words.clear();
                label.take(&source, &key, number.value)?;
            }
            Err(_) => words.push(bare),
        }
    }
    words.retain(|word| !matches!(folded(word).as_str(), "trace" | "traces" | "nil" | "none" | "tr" | "-"));
    if let Some(word) = words.first() {
        return Err(
            trouble(&source, word, of_typed(words.join(" "), "has no figure")).help("write each word with its wt %")
        );
    }
    Ok(label)
}

/// Commas between figures apart from decimal ones.
fn spaced(text: &str) -> String {
    let signs: Vec<char> = text.chars().collect();
    let mut out = String::new();
    for (at, &sign) in signs.iter().enumerate() {
        let before = at > 0 && signs[at - 1].is_ascii_digit();
        let after = signs.get(at + 1).is_some_and(char::is_ascii_digit);
        match sign {
            ',' if before && after => out.push(','),
            ',' | ';' | '=' | ':' | '|' => out.push(' '),
            '%' => out.push_str("% "),
            _ => out.push(sign),
        }
    }
    out
}

fn trouble(source: &Source, part: &str, message: impl Into<String>) -> Diagnostic {
    let column = source
        .text
        .find(part)
        .map_or(1, |at| source.text[..at].chars().count() + 1);
    let mark = Mark { line: 1, column };
    Diagnostic::error("bad-label", message).at(source, mark, part.chars().count())
}

impl Label {
    fn take(&mut self, source: &Source, key: &str, percent: f64) -> Result<(), Diagnostic> {
        let lower = folded(&key.replace('.', ""));
        if key.is_empty() {
            return Err(
                trouble(source, &self.printed, of_typed(percent, "stands without an oxide"))
                    .help("write the oxide before its figure: SiO2 54.0"),
            );
        }
        if matches!(
            lower.as_str(),
            "loi" | "loss on ignition" | "loss" | "ignition loss" | "l o i"
        ) {
            self.loss_percent = Some(percent);
            return Ok(());
        }
        let oxide = AnalysisKey::names().find(|known| known.eq_ignore_ascii_case(key));
        if let Some(oxide) = oxide {
            self.oxides.push((oxide.to_owned(), percent));
            return Ok(());
        }
        let named = COMPOUNDS.iter().find(|known| known.0 == lower);
        let formula = named.map_or(key, |known| known.1);
        let fired = Formula::parse(formula).ok().and_then(|formula| fire(&formula).ok());
        let Some(fired) = fired else {
            let names = AnalysisKey::names().chain(COMPOUNDS.iter().map(|known| known.0));
            return Err(trouble(source, key, is_no(key, "oxide or compound that Glost knows"))
                .maybe_help(suggestion(key, names)));
        };
        let share = percent / 100.0;
        let oxides: Vec<(String, f64)> = fired
            .grams_per_100
            .iter()
            .map(|(oxide, grams)| (oxide.to_string(), grams * share))
            .collect();
        let loss_percent = fired.loss_on_ignition_percent * share;
        if let (Some((oxide, grams)), true) = (oxides.first(), oxides.len() == 1 && loss_percent.abs() < 1e-9) {
            self.oxides.push((oxide.clone(), *grams));
            return Ok(());
        }
        self.compounds.push(Compound {
            printed: key.to_owned(),
            formula: formula.to_owned(),
            percent,
            loss_percent,
            oxides,
        });
        Ok(())
    }
}
