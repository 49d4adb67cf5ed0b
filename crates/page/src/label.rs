//! `glost label`: a label as text, as JSON and as a page to print.

use glost_core::label::{Contents, Label, Wetness};
use glost_core::quantity::Millilitres;
use glost_core::start::in_cups;
use serde_json::{Value, json};

use crate::layout::{Style, indented, paragraph};
use crate::number;
use crate::sheet;

/// What stands on every label about food.
pub const NOT_TESTED: &str = "Not tested for food: only a laboratory's leach test on the fired piece answers that.";
const DUST: &str = "Powder into water, never water onto powder. Fitted respirator, wet cleaning, nothing down the drain. The safety data sheet and local rules come first.";

/// A label with the cup to tell water in.
#[derive(Debug)]
pub struct LabelPage<'a> {
    /// The label.
    pub label: &'a Label,
    /// The studio's cup.
    pub cup: Millilitres,
    /// The batch's number, where it has one.
    pub batch: Option<&'a str>,
}

impl LabelPage<'_> {
    /// As JSON; `html` is the page to print.
    pub fn json(&self, html: Option<&str>) -> Value {
        let label = self.label;
        let contents = &label.contents;
        json!({
            "studio": label.studio,
            "glaze": label.glaze,
            "firing": label.firing,
            "atmosphere": label.atmosphere,
            "clay": label.clay,
            "batch": self.batch,
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
        let label = self.label;
        let mut text = style.bold(&self.title());
        text.push('\n');
        for line in self.facts() {
            text.push_str(&paragraph(&line, 2));
        }
        let batch = self.batch.unwrap_or("______");
        text.push_str(&format!(
            "\nVersion ______  Batch {batch}  Mixed on ____________  By ________\n"
        ));
        text.push_str("Density measured ________ g/ml   Sieve ______\n\n");
        for hazard in hazards(&label.contents) {
            text.push_str(&indented("! ", &hazard));
        }
        text.push_str(&paragraph(DUST, 0));
        text.push('\n');
        text.push_str(&paragraph(NOT_TESTED, 0));
        text
    }

    /// One label as HTML.
    pub fn html_label(&self) -> String {
        let mut body = format!("<section class=\"label\">\n<h1>{}</h1>\n", sheet::escape(&self.title()));
        for line in self.facts() {
            body.push_str(&sheet::paragraph(&line));
        }
        match self.batch {
            Some(number) => {
                body.push_str(&sheet::paragraph(&format!("Batch {number}")));
                body.push_str(&sheet::blanks(&["Version"]));
            }
            None => body.push_str(&sheet::blanks(&["Version", "Batch"])),
        }
        body.push_str(&sheet::blanks(&["Mixed on", "By"]));
        body.push_str(&sheet::blanks(&["Density measured", "Sieve"]));
        body.push_str("<div class=\"warning\">\n");
        for hazard in hazards(&self.label.contents) {
            body.push_str(&sheet::paragraph(&hazard));
        }
        body.push_str(&format!("<p class=\"small\">{}</p>\n", sheet::escape(DUST)));
        body.push_str(&format!("<p><b>{}</b></p>\n</div>\n", sheet::escape(NOT_TESTED)));
        if !self.label.studio.is_empty() {
            body.push_str(&format!(
                "<p class=\"small\">{}</p>\n",
                sheet::escape(&self.label.studio)
            ));
        }
        body.push_str("</section>\n");
        body
    }

    /// A page with so many labels on it.
    pub fn html(&self, copies: u16) -> String {
        sheet::document(&self.title(), &self.html_label().repeat(usize::from(copies.max(1))))
    }

    fn title(&self) -> String {
        self.label.glaze.clone()
    }

    fn facts(&self) -> Vec<String> {
        let label = self.label;
        let mut facts = Vec::new();
        let firing = label.firing.clone().unwrap_or_else(|| "________".to_owned());
        let mut fire = format!("Fire to: {firing}");
        if let Some(atmosphere) = &label.atmosphere {
            fire.push_str(&format!(", {atmosphere}"));
        }
        if let Some(clay) = &label.clay {
            fire.push_str(&format!(". On: {clay}"));
        }
        facts.push(fire);
        facts.extend(self.water().map(|water| format!("Water: {water}")));
        facts.push(format!("Density: {}", self.density()));
        facts
    }

    /// `1 kg to 5 3/4 cups (1.44 l)`.
    fn water(&self) -> Option<String> {
        let per_kilo = self.label.water?.millilitres_per_kg;
        let litres = format!("{:.2} l", per_kilo / 1000.0);
        Some(match in_cups(per_kilo, self.cup) {
            Some(cups) => format!("1 kg of powder to {cups} ({litres})"),
            None => format!("1 kg of powder to {litres}"),
        })
    }

    fn density(&self) -> String {
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
