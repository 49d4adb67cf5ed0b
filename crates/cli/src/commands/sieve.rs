use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::parse_number;
use glost_core::workshop::slurry::Sieve;
use glost_page::layout::Style;
use glost_page::sieve::SievePage;

use crate::args::SieveOptions;
use crate::outcome::{Answer, Outcome};

pub(super) fn run(options: &SieveOptions, style: Style) -> Outcome {
    let page = match options.sieve.as_deref() {
        None => SievePage {
            sieve: None,
            odd_mesh: None,
            opening: None,
        },
        Some(text) => asked(text)?,
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

fn asked(text: &str) -> Result<SievePage, Diagnostic> {
    let wrong = || {
        Diagnostic::error("bad-option", format!("`{text}` is no mesh number and no opening"))
            .help("write a mesh number such as 100, or an opening such as \"150 um\" or \"0.15 mm\"")
    };
    let lower = text.trim().to_lowercase().replace(['µ', 'μ'], "u");
    let units = [("micrometres", 1.0), ("microns", 1.0), ("um", 1.0), ("mm", 1000.0)];
    let opening = units
        .iter()
        .find_map(|(unit, factor)| Some((lower.strip_suffix(unit)?.trim().to_owned(), *factor)));
    if let Some((number, factor)) = opening {
        let size = parse_number(&number).map_err(|_| wrong())?.value * factor;
        if !(1.0..=100_000.0).contains(&size) {
            return Err(wrong());
        }
        return Ok(SievePage {
            sieve: Sieve::nearest_opening(size),
            odd_mesh: None,
            opening: Some(size),
        });
    }
    let bare = lower.trim_start_matches("no.").trim_end_matches("mesh").trim();
    let mesh: u32 = bare.parse().map_err(|_| wrong())?;
    if !(1..=10_000).contains(&mesh) {
        return Err(wrong());
    }
    let sieve = Sieve::with_mesh(mesh);
    Ok(SievePage {
        sieve,
        odd_mesh: sieve.is_none().then_some(mesh),
        opening: None,
    })
}
