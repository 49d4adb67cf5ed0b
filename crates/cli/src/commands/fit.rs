use std::path::Path;

use glost_core::diagnostic::Diagnostic;
use glost_core::glaze::Glaze;
use glost_core::notes::Notes;
use glost_core::read::folded;
use glost_core::ware::Clay;
use glost_core::window::{Notebook, fit};
use glost_page::fit::FitPage;
use glost_page::layout::Style;
use glost_studio::{FoundGlaze, Workplace, create_new};

use crate::args::FitOptions;
use crate::outcome::{Answer, Failure, Outcome};

pub(super) fn run(options: &FitOptions, workplace: &Workplace, style: Style) -> Outcome {
    let found = super::glaze(workplace, &options.glaze)?;
    let picture = options.page.as_deref().map(picture_kind).transpose()?;
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
    if let (Some(file), Some(kind)) = (&options.page, picture) {
        let (drawn, how) = match kind {
            PictureKind::Svg => (page.svg(), "a drawing"),
            PictureKind::Html => (page.html(), "to open in a browser and print"),
        };
        create_new(file, &drawn)?;
        text.push_str(&format!("Page: {}, {how}.\n", file.display()));
    }
    Ok(Answer {
        text,
        json: page.json(),
        says_no: answer.says_no(),
    })
}

enum PictureKind {
    Svg,
    Html,
}

fn picture_kind(file: &Path) -> Result<PictureKind, Diagnostic> {
    let ending = file.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("svg") => Ok(PictureKind::Svg),
        Some("html" | "htm") => Ok(PictureKind::Html),
        _ => Err(Diagnostic::error(
            "bad-option",
            format!("--page: `{}` is no picture's name", file.display()),
        )
        .help("let it end in .svg for a drawing, or in .html for a page to print")),
    }
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
