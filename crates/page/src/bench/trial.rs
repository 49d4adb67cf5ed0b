//! A proposed recipe tried beside the old one: kept as a glaze, and three steps of tiles.

use super::{Html, Seal, fields, in_address, prose};
use crate::html;

/// Decimals of a recipe that is kept: finer than any scales here.
const DECIMALS: usize = 2;

/// A recipe as a form carries it: a line a material, additions behind `+`.
pub fn recipe_lines<'a>(
    parts: impl IntoIterator<Item = (&'a String, f64)>,
    additions: impl IntoIterator<Item = (&'a String, f64)>,
) -> String {
    let line = |sign: &str, (name, part): (&String, f64)| format!("{sign}{name} {part:.DECIMALS$}");
    let base = parts.into_iter().map(|part| line("", part));
    let more = additions.into_iter().map(|part| line("+ ", part));
    base.chain(more).collect::<Vec<_>>().join("\n")
}

/// The form that tries a proposal, one of several on a page: the new recipe gets a name, the tiles follow.
pub fn form(seal: &Seal, index: usize, old: &str, recipe: &str, called: &str) -> Html {
    let inside: Html = [
        fields::hidden("old", old),
        fields::hidden("recipe", recipe),
        fields::needed_at(
            &format!("name-{index}"),
            "name",
            "Call the new one",
            called,
            "it becomes one of your glazes, to be tried",
        ),
    ]
    .into_iter()
    .collect();
    html!(
        "<section><h4>Try it</h4><p>Old and new on one set of tiles, one half and half between them, on your own clay \
         in your own firing, before you sell any. If it is used for food, the old leach test no longer belongs.</p>{}</section>",
        fields::doing(seal, "/tiles/try", inside, "Keep it, and plan three tiles")
    )
}

/// What was planned.
pub fn planned(old: &str, new: &str, plan: &str, tickets: &str) -> Html {
    html!(
        "<p class=\"answer\" role=\"status\">{} is among your glazes, and three tiles are planned: {}, half and half, {}.</p>\
         {}<ul class=\"links\"><li><a href=\"/plan?plan={}\">Grade these tiles</a></li>\
         <li><a href=\"/glaze/{}\">{}</a></li><li><a href=\"/mix?glaze={}&amp;dry=100+g\">Mix 100 g of it</a></li></ul>",
        new,
        old,
        new,
        prose(tickets),
        in_address(plan),
        in_address(new),
        new,
        in_address(new),
    )
}

/// Parts that an answer gives as numbers, in its order.
pub fn numbers(parts: &serde_json::Map<String, serde_json::Value>) -> impl Iterator<Item = (&String, f64)> {
    parts.iter().filter_map(|(name, part)| Some((name, part.as_f64()?)))
}
