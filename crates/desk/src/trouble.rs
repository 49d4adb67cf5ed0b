//! Results of core that are no answer, as complaints with a place.

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source, did_you_mean};
use glost_chemistry::glaze::NoAnalysis;
use glost_chemistry::oxides::FormulaError;
use glost_chemistry::read::folded;
use glost_studio::FoundGlaze;

/// The line of the recipe that names a material.
fn place(found: &FoundGlaze, material: &str, diagnostic: Diagnostic) -> Diagnostic {
    let lines = found.file.parts.iter().chain(&found.file.additions);
    let named = lines.into_iter().find(|line| {
        found
            .library
            .find(&line.name.text)
            .is_some_and(|known| known.name == material)
    });
    match named {
        Some(line) => diagnostic.at(&found.file.source, line.name.mark, line.name.text.chars().count()),
        None => diagnostic.at(&found.file.source, found.file.parts_mark, "parts".len()),
    }
}

/// The chemistry can't be computed: at the recipe's line that names the unknown material.
pub fn no_analysis(found: &FoundGlaze, trouble: &NoAnalysis) -> Diagnostic {
    match trouble {
        NoAnalysis::Unknown(names) => {
            let message = format!(
                "nobody tells what is in {}: the chemistry of {} can't be computed",
                quoted(names),
                found.glaze.name
            );
            let first = names.first().map_or("", String::as_str);
            place(found, first, Diagnostic::error("unknown-analysis", message)).help(
                "it can still be blended, weighed, noted and judged by its own results; with an analysis from its maker in materials/ the chemistry follows",
            )
        }
        NoAnalysis::NothingLeft => {
            let message = format!("nothing of {} is left after firing", found.glaze.name);
            Diagnostic::error("nothing-left", message)
                .at(&found.file.source, found.file.parts_mark, "parts".len())
                .help("add a material that stays in the fire")
        }
    }
}

/// A glaze without flux has no unity formula.
pub fn no_flux(found: &FoundGlaze) -> Diagnostic {
    Diagnostic::error(
        "no-flux",
        format!("{} has no flux: its unity formula is undefined", found.glaze.name),
    )
    .at(&found.file.source, found.file.parts_mark, "parts".len())
    .help("`glost unity` still gives its weight and mole per cent")
}

/// Without what is gone nothing fluxes.
pub fn no_flux_left(found: &FoundGlaze) -> Diagnostic {
    Diagnostic::error(
        "no-flux",
        format!(
            "{} would have no flux left: its unity formula would be undefined",
            found.glaze.name
        ),
    )
    .at(&found.file.source, found.file.parts_mark, "parts".len())
    .help("name a newcomer that brings a flux with --with")
}

/// Nothing could come in.
pub fn nothing_to_swap_to(found: &FoundGlaze, named: bool) -> Diagnostic {
    let (message, help) = if named {
        (
            "nothing that was named could take its place",
            "name other newcomers with --with; without it, stock and buyable materials are tried",
        )
    } else {
        (
            "nothing is in stock or buyable that could take its place",
            "name a newcomer with --with, or say what you have or can get: glost set MATERIAL \"stock=5 kg\" buyable=yes; of one that comes with Glost: glost add material NAME --analysis ... --stock \"5 kg\"",
        )
    };
    Diagnostic::error("nothing-to-swap-to", message)
        .at(&found.file.source, found.file.parts_mark, "parts".len())
        .help(help)
}

/// No material is called so: the nearest right thing is what the recipe holds of that word.
pub fn not_called_so(found: &FoundGlaze, typed: &[String], error: Diagnostic) -> Diagnostic {
    let held = || found.glaze.portions().map(|portion| portion.material.name.as_str());
    let unknown = typed.iter().find(|name| found.library.find(name).is_none());
    let near = unknown.and_then(|name| held().find(|held| folded(held).contains(&folded(name))));
    match near {
        Some(near) => error.help(did_you_mean(near)),
        None => error,
    }
}

/// The recipe doesn't hold what was named.
pub fn not_in_recipe(found: &FoundGlaze, name: &str) -> Diagnostic {
    let held: Vec<&str> = found
        .glaze
        .portions()
        .map(|portion| portion.material.name.as_str())
        .collect();
    Diagnostic::error("not-in-recipe", format!("{} has no `{name}` in it", found.glaze.name))
        .at(&found.file.source, found.file.parts_mark, "parts".len())
        .help(format!("it holds: {}", held.join(", ")))
}

/// A chemical formula that can't be read.
pub fn formula(text: &str, trouble: FormulaError) -> Diagnostic {
    let source = Source::from_text("formula", text);
    Diagnostic::error("bad-formula", trouble.message)
        .at(
            &source,
            Mark {
                line: 1,
                column: trouble.offset + 1,
            },
            trouble.width,
        )
        .maybe_help(trouble.help)
}

/// There is no studio's folder to keep a book in.
pub fn no_studio(what: &str) -> Diagnostic {
    Diagnostic::error(
        "no-studio",
        format!("{what}: there is no studio's folder (no studio.yaml upward)"),
    )
    .help("name it with --studio DIR, or make one: `glost start`, or `glost init studio --example` to try it out")
}

fn quoted(names: &[String]) -> String {
    names
        .iter()
        .map(|name| format!("`{name}`"))
        .collect::<Vec<_>>()
        .join(" and ")
}
