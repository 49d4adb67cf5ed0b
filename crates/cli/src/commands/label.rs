use glost_core::batches::BatchNumber;
use glost_core::label::Label;
use glost_page::label::LabelPage;
use glost_page::layout::Style;
use glost_studio::{Workplace, create_new};

use crate::args::LabelOptions;
use crate::outcome::{Answer, Outcome};

pub(super) fn run(options: &LabelOptions, workplace: &Workplace, style: Style) -> Outcome {
    let number = super::booking::number(options.batch.as_deref())?;
    let found = super::glaze(workplace, &options.glaze)?;
    let label = Label::of(&found.glaze, &found.settings);
    let page = LabelPage {
        label: &label,
        cup: found.settings.cup,
        batch: number.as_ref().map(BatchNumber::text),
    };
    let html = page.html(options.copies);
    let mut text = page.text(style);
    if let Some(file) = &options.page {
        create_new(file, &html)?;
        text.push_str(&format!(
            "\nWritten to {}: open it in a browser and print it.\n",
            file.display()
        ));
    }
    if options.html {
        return Ok(Answer::yes(html.clone(), page.json(Some(&html))));
    }
    Ok(Answer::yes(text, page.json(None)))
}
