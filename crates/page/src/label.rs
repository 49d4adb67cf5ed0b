//! `glost label`: a label as text and as JSON.

use glost_chemistry::quantity::Millilitres;
use glost_core::intake::start::in_cups;
use glost_core::workshop::label::{Contents, Label, LabelKind, Stamp, Wetness};
use serde_json::{Value, json};

use crate::layout::{Style, indented, paragraph};
use crate::number;

/// What stands on every label about food.
pub const NOT_TESTED: &str = "Not tested for food: only a laboratory's leach test on the fired piece answers that.";
pub(crate) const DUST: &str = "Powder into water, never water onto powder. Fitted respirator, wet cleaning, nothing down the drain. The safety data sheet and local rules come first.";

/// A label with the cup to tell water in.
#[derive(Debug, Clone, Copy)]
pub struct LabelPage<'a> {
    /// The label.
    pub label: &'a Label,
    /// The studio's cup.
    pub cup: Millilitres,
    /// What it is stuck on.
    pub kind: LabelKind,
    /// What the call adds.
    pub stamp: &'a Stamp,
}

impl LabelPage<'_> {
    /// As JSON; `html` is the page to print.
    pub fn json(&self, html: Option<&str>) -> Value {
        let (label, stamp) = (self.label, self.stamp);
        let day = stamp.day.map(|day| day.to_string());
        let contents = &label.contents;
        json!({
            "studio": label.studio,
            "glaze": label.glaze,
            "kind": self.kind.word(),
            "version": stamp.version,
            "batch": stamp.batch,
            "on": day,
            "tile": stamp.code,
            "firing": label.firing,
            "atmosphere": label.atmosphere,
            "clay": label.clay,
            "water": self.water(),
            "density": self.density(),
            "hazards": hazards(contents),
            "metals": contents.metals.iter().map(|(name, grams)| json!({"metal": name, "oxide_percent": grams})).collect::<Vec<_>>(),
            "free_silica_percent": contents.free_silica_percent,
            "unknown": contents.unknown,
            "food": NOT_TESTED,
            "html": html,
        })
    }

    /// For a terminal, or to copy by hand.
    pub fn text(&self, style: Style) -> String {
        if self.kind == LabelKind::Tile {
            return self.tile_text(style);
        }
        let label = self.label;
        let mut text = style.bold(&self.title());
        text.push('\n');
        if self.kind == LabelKind::Bag {
            text.push_str("Dry powder\n");
        }
        for line in self.facts() {
            text.push_str(&paragraph(&line, 2));
        }
        text.push('\n');
        text.push_str(&self.marks().join("  "));
        text.push('\n');
        if self.kind != LabelKind::Bag {
            text.push_str("Density measured ________ g/ml   Sieve ______\n");
        }
        text.push('\n');
        for hazard in hazards(&label.contents) {
            text.push_str(&indented("! ", &hazard));
        }
        text.push_str(&paragraph(DUST, 0));
        text.push('\n');
        text.push_str(&paragraph(NOT_TESTED, 0));
        text
    }

    fn tile_text(&self, style: Style) -> String {
        let stamp = self.stamp;
        let code = stamp.code.as_deref().unwrap_or("______");
        let mut text = style.bold(code);
        text.push('\n');
        let version = stamp.version.as_ref().map(|version| format!(" {version}"));
        text.push_str(&paragraph(
            &format!("{}{}", self.title(), version.unwrap_or_default()),
            2,
        ));
        text.push_str(&paragraph(&self.fired(), 2));
        let day = stamp.day.map_or_else(|| "_".repeat(12), |day| day.to_string());
        text.push_str(&format!("Date {day}\n"));
        text
    }

    pub(crate) fn title(&self) -> String {
        self.label.glaze.clone()
    }

    pub(crate) fn facts(&self) -> Vec<String> {
        let label = self.label;
        let mut facts = Vec::new();
        let mut fire = format!("Fire to: {}", self.fired());
        if let Some(clay) = &label.clay {
            fire.push_str(&format!(". On: {clay}"));
        }
        facts.push(fire);
        facts.extend(self.water().map(|water| format!("Water: {water}")));
        if self.kind != LabelKind::Bag {
            facts.push(format!("Density: {}", self.density()));
        }
        facts
    }

    /// `cone 6, oxidation`.
    pub(crate) fn fired(&self) -> String {
        let firing = self.label.firing.as_deref().unwrap_or("________");
        match &self.label.atmosphere {
            Some(atmosphere) => format!("{firing}, {atmosphere}"),
            None => firing.to_owned(),
        }
    }

    /// Version, batch, day and by whom, given or to be written.
    pub(crate) fn marks(&self) -> [String; 4] {
        let stamp = self.stamp;
        let mark = |word: &str, given: &Option<String>, blank: usize| {
            format!("{word} {}", given.clone().unwrap_or_else(|| "_".repeat(blank)))
        };
        [
            mark("Version", &stamp.version, 6),
            mark("Batch", &stamp.batch, 6),
            mark("Mixed on", &stamp.day.map(|day| day.to_string()), 12),
            mark("By", &None, 8),
        ]
    }

    /// `1 kg of powder to 5 3/4 cups (1.44 l)`.
    pub(crate) fn water(&self) -> Option<String> {
        let (measured, litres) = self.water_measured()?;
        Some(match measured {
            Some(cups) => format!("1 kg of powder to {cups} ({litres})"),
            None => format!("1 kg of powder to {litres}"),
        })
    }

    /// The water for a kilo, in cups where one can measure it so, and in litres.
    pub(crate) fn water_measured(&self) -> Option<(Option<String>, String)> {
        let per_kilo = self.label.water?.millilitres_per_kg;
        Some((in_cups(per_kilo, self.cup), format!("{:.2} l", per_kilo / 1000.0)))
    }

    pub(crate) fn density(&self) -> String {
        match &self.label.wetness {
            Some(Wetness::Density(density)) => format!("mix to {} g/ml", number::plain(*density)),
            Some(Wetness::Water { density, low, high }) => format!(
                "about {density:.2} g/ml by its water ({low:.2} to {high:.2}): weigh a jar and write yours down"
            ),
            None => "________ g/ml: weigh a jar that dipped well and write it down".to_owned(),
        }
    }
}

/// What is in it that harms, a sentence each.
pub fn hazards(contents: &Contents) -> Vec<String> {
    let mut said = Vec::new();
    if !contents.unknown.is_empty() {
        said.push(format!(
            "Nobody tells what is in {}: keep its safety data sheet by the bucket.",
            contents.unknown.join(", ")
        ));
    }
    let silica = contents.free_silica_percent;
    let untold = !contents.silica_untold.is_empty();
    if silica >= 0.5 {
        let least = if untold { "at least " } else { "" };
        said.push(format!(
            "Dry: {least}{silica:.0} % crystalline silica. The dust scars lungs."
        ));
    } else if untold {
        said.push("Dry: treat its dust as silica dust. It scars lungs.".to_owned());
    }
    if !contents.toxic.is_empty() {
        said.push(format!(
            "Poisonous to handle: {}. Gloves; keep from food and children.",
            contents.toxic.join(", ")
        ));
    }
    if !contents.soluble.is_empty() {
        said.push(format!(
            "Dissolves in the water: {}. Don't pour water off.",
            contents.soluble.join(", ")
        ));
    }
    if !contents.metals.is_empty() {
        let names: Vec<&str> = contents.metals.iter().map(|metal| metal.0).collect();
        said.push(format!("Metals that may leave the fired ware: {}.", names.join(", ")));
    }
    said
}
