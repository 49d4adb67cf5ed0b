//! What a name means, in Markdown, as editors show it beside the text.

use glost_desk::editor::Explained;
use glost_desk::materials::Answer;
use glost_desk::scripts::OptionCard;

use crate::Shown;
use crate::layout::Style;

/// In Markdown.
pub fn explained(told: &Explained) -> String {
    match told {
        Explained::Words { shape, about, example } => {
            let mut text = fenced(shape);
            text.push_str(about);
            if !example.is_empty() {
                text.push_str(&format!("\n\nsuch as `{example}`"));
            }
            text
        }
        Explained::Material(material) => {
            let sheet = Answer::One(material.clone()).text(Style { colour: false });
            fenced(sheet.trim_end())
        }
        Explained::Script(card) => format!(
            "**{}** (`{}`)\n\n{}\n\nSource: {}",
            card.title, card.name, card.purpose, card.source
        ),
        Explained::Option(spec) => option(spec),
    }
}

fn option(spec: &OptionCard) -> String {
    let unit = spec.unit.as_ref().map_or_else(String::new, |unit| format!(" {unit}"));
    let bounds = [("at least", spec.min), ("at most", spec.max)];
    let bounds: Vec<String> = bounds
        .into_iter()
        .filter_map(|(word, bound)| bound.map(|bound| format!("{word} {bound}{unit}")))
        .collect();
    let mut text = fenced(&format!("{}: {}{unit}", spec.name, spec.value));
    text.push_str(&spec.help);
    if !bounds.is_empty() {
        text.push_str(&format!(" ({})", bounds.join(", ")));
    }
    text
}

fn fenced(text: &str) -> String {
    format!("```text\n{text}\n```\n")
}
