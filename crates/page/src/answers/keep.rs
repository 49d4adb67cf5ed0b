//! `glost keep`.

use glost_chemistry::glaze::Portion;
use glost_desk::keep::Answer;

use crate::Shown;
use crate::layout::{Style, indented};
use crate::number;

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        let name = &self.glaze.name;
        let mut text = style.bold(&format!("Kept {} as {name}, in {}.", self.from, self.file));
        text.push_str("\n\n");
        for (lead, portions) in [("Base: ", &self.glaze.base), ("On top: ", &self.glaze.additions)] {
            if !portions.is_empty() {
                text.push_str(&indented(lead, &amounts(portions)));
            }
        }
        text.push_str(&indented("From its base: ", &from_its_base(self)));
        text.push_str(&indented(
            "Next: ",
            &format!("glost weigh \"{name}\" --dry \"1 kg\"; a tile from that bucket beside the one you kept."),
        ));
        text
    }
}

fn amounts(portions: &[Portion]) -> String {
    let each: Vec<String> = portions
        .iter()
        .map(|portion| format!("{} {}", portion.material.name, number::parts(portion.percent)))
        .collect();
    each.join(", ")
}

fn from_its_base(answer: &Answer) -> String {
    let about = &answer.glaze.about;
    let mut said = Vec::new();
    let mut tell = |what: &str, value: Option<String>| {
        if let Some(value) = value {
            said.push(format!("{what} {value}"));
        }
    };
    tell("cone", about.cone.clone());
    tell("peak", about.peak.map(|peak| format!("{:.0} C", peak.celsius())));
    tell("firing", about.firing.clone());
    tell("clay", about.clay.clone());
    tell("use", about.usage.map(|own| own.to_string()));
    tell(
        "water",
        about
            .water
            .map(|water| format!("{:.0} ml/kg", water.millilitres_per_kg)),
    );
    tell(
        "density",
        about
            .density_grams_per_millilitre
            .map(|density| format!("{density:.2} g/ml")),
    );
    if said.is_empty() {
        return format!(
            "nothing: firing, clay and water aren't told; `glost set \"{}\" clay=... cone=... water=\"0.9 l/kg\"`",
            answer.glaze.name
        );
    }
    format!("{}.", said.join("; "))
}
