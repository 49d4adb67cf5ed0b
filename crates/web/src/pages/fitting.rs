//! Whether a glaze fits its clay: the picture, then the words.

use glost_page::bench::{Html, prose};
use glost_page::html;

use super::Bench;
use super::asking::Asking;

/// Whether it fits its clay: the picture, then the words.
pub(super) async fn of(bench: &Bench, name: &str) -> Html {
    let asking = Asking::of("fit").with("glaze", name);
    let words = ["fit", "--", name];
    let (text, picture) = tokio::join!(bench.ask_text(&asking), bench.caller.made(&words, "page", "svg"));
    let picture = match picture {
        Ok(Some(svg)) => html!(
            "<div class=\"drawing\" tabindex=\"0\" role=\"region\" aria-label=\"Fit as a picture\">{}</div>",
            // Drawn by our own answer, every word in it escaped.
            Html::from_template(String::from_utf8_lossy(&svg).into_owned())
        ),
        // A glaze without a clay has none; the text beside this says so.
        Ok(None) | Err(_) => Html::default(),
    };
    let text = match text {
        Ok(text) if picture.is_empty() => prose(&text),
        Ok(text) => prose(&without_drawing(&text)),
        Err(trouble) => trouble.shown(),
    };
    html!(
        "<details class=\"section\"><summary>Does it fit its clay?</summary>{}{}</details>",
        picture,
        text
    )
}

/// An answer's paragraphs but for its picture in letters.
fn without_drawing(text: &str) -> String {
    let is_drawn = |block: &&str| !block.contains("-----+") && !block.contains("=====");
    text.split("\n\n").filter(is_drawn).collect::<Vec<_>>().join("\n\n")
}
