use glost_core::diagnostic::Diagnostic;
use glost_core::glaze::Glaze;
use glost_core::notes::Notes;
use glost_core::read::folded;
use glost_core::ware::Clay;
use glost_core::window::{Notebook, fit};
use glost_page::fit::FitPage;
use glost_page::layout::Style;
use glost_page::sheet::PageFormat;
use glost_studio::{FoundGlaze, Workplace, create_new};

use crate::args::FitOptions;
use crate::outcome::{Answer, Failure, Outcome};

pub(super) fn run(options: &FitOptions, workplace: &Workplace, style: Style) -> Outcome {
    let found = super::glaze(workplace, &options.glaze)?;
    let format = options.page.as_deref().map(PageFormat::of).transpose()?;
    let (notes, notes_trouble) = workplace.notes()?;
    let (versions, versions_trouble) = workplace.versions()?;
    let complaints: Vec<String> = notes_trouble
        .iter()
        .chain(&versions_trouble)
        .map(glost_page::diagnostic::text)
        .collect();
    crate::complain(&complaints.join("\n"));
    let clay = clay(options, workplace, &found, &notes)?;
    let (everything, _) = workplace.all_glazes();
    let glazes: Vec<Glaze> = everything.into_iter().map(|found| found.glaze).collect();
    let book = Notebook {
        notes: &notes,
        versions: &versions,
        glazes: &glazes,
        fluxes: &found.settings.fluxes,
        settings: &found.settings.fit,
    };
    let answer = fit(&book, &found.glaze, &clay, options.firing.as_deref(), None);
    let page = FitPage { answer: &answer };
    let mut text = page.text(style);
    if let (Some(file), Some(format)) = (&options.page, format) {
        create_new(file, &page.file(format)?)?;
        text.push_str(&format!("Page: {}\n", file.display()));
    }
    Ok(Answer {
        text,
        json: page.json(),
        says_no: answer.says_no(),
    })
}

/// The clay of the call, else the glaze's own. One that has no file but stands in the
/// notebook is a clay of which nothing else is known.
fn clay(options: &FitOptions, workplace: &Workplace, found: &FoundGlaze, notes: &Notes) -> Result<Clay, Failure> {
    let name = options.clay.as_deref().or(found.glaze.about.clay.as_deref());
    let Some(name) = name else {
        return Err(
            Diagnostic::error("no-clay", format!("on which clay? {} names none", found.glaze.name))
                .help("say it with --clay, or write `clay: ...` in the glaze's file")
                .into(),
        );
    };
    workplace.clay(name).map(|found| found.clay).or_else(|complaints| {
        let unknown = complaints.iter().all(|complaint| complaint.code == "unknown-clay");
        let noted = notes.standing().filter_map(|note| note.clay.as_deref());
        match noted.into_iter().find(|noted| folded(noted) == folded(name)) {
            Some(noted) if unknown => Ok(Clay {
                name: noted.to_owned(),
                ..Clay::unnamed()
            }),
            _ => Err(complaints.into()),
        }
    })
}
