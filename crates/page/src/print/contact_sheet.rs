//! Pictures of pieces that belong together, on a sheet to print: each with what was seen.

use glost_desk::recall::{Answer, Photo};

use crate::flow::Flow;
use crate::paper::COMMON_WIDTH_MM;
use crate::sheet::{Pages, Setting};
use crate::svg::{Anchor, Colour, Paint, Svg};
use crate::words::notes::{pieces_words, seen_words};

/// Pictures beside each other.
const ACROSS: usize = 3;
/// Between two of them, mm.
const GAP_MM: f64 = 4.0;
/// A picture's height, mm.
const PICTURE_MM: f64 = 46.0;
/// Room for its words, mm.
const WORDS_MM: f64 = 14.0;
/// The type of its words, mm.
const TYPE_MM: f64 = 2.6;

/// The pages to print.
pub(crate) fn pages(answer: &Answer) -> Pages {
    let mut flow = Flow::new();
    flow.title(&format!("Recall: {}", answer.what));
    if answer.photos.is_empty() {
        flow.paragraph("No picture is noted of these pieces: `glost note ... --photo PATH` notes one.");
    }
    for row in answer.photos.chunks(ACROSS) {
        flow.picture(PICTURE_MM + WORDS_MM, |drawing| {
            for (place, photo) in row.iter().enumerate() {
                one(drawing, place, photo);
            }
        });
    }
    Pages {
        title: format!("Recall: {}", answer.what),
        setting: Setting::AnyPaper,
        drawings: flow.finish(),
    }
}

fn one(drawing: &mut Svg, place: usize, photo: &Photo) {
    let width = (COMMON_WIDTH_MM - GAP_MM * (ACROSS as f64 - 1.0)) / ACROSS as f64;
    let x = place as f64 * (width + GAP_MM);
    match &photo.at {
        Some(path) => drawing.image(x, 0.0, width, PICTURE_MM, &path.to_string_lossy()),
        None => {
            drawing.rect(
                x,
                0.0,
                width,
                PICTURE_MM,
                Paint::outline(0.2).dashed().ink(Colour(120, 120, 120)),
            );
            drawing.text(
                x + width / 2.0,
                PICTURE_MM / 2.0,
                TYPE_MM,
                Anchor::Middle,
                "the picture is gone",
            );
        }
    }
    let named = pieces_words(std::slice::from_ref(&photo.caption));
    let lines = [
        format!("line {}, {}", photo.line, photo.caption.on),
        named,
        seen_words(&photo.caption),
    ];
    for (index, line) in lines.iter().enumerate() {
        let shown = crate::flow::lines(line, width, TYPE_MM, crate::svg::Weight::Regular);
        let first = shown.first().map_or("", String::as_str);
        let y = PICTURE_MM + (index as f64 + 1.0) * 1.3 * TYPE_MM + 0.6;
        drawing.text(x, y, TYPE_MM, Anchor::Start, first);
    }
}
