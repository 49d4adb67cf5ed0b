use glost_core::evidence::window::fit;
use glost_page::fit::FitPage;
use glost_page::layout::Style;
use glost_page::sheet::PageFormat;
use glost_studio::create_new;

use crate::args::FitOptions;
use crate::outcome::{Answer, Outcome};

use glost_desk::Desk;
use glost_desk::pieces::Pieces;

pub(super) fn run(options: &FitOptions, desk: &Desk, style: Style) -> Outcome {
    let found = super::glaze(desk.workplace(), &options.glaze)?;
    let format = options.page.as_deref().map(PageFormat::of).transpose()?;
    let pieces = Pieces::open(desk)?;
    let clay = pieces.clay(options.clay.as_deref(), desk, &found)?;
    let book = pieces.notebook(&found.settings);
    let answer = fit(
        &book,
        &found.glaze,
        &clay,
        options.firing.as_deref(),
        Some(pieces.today),
    );
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
