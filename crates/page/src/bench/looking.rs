//! How pieces are looked at, as pictures: rub, wipe, count.

use super::Html;
use crate::html;

/// The three steps with their cautions.
pub fn how() -> Html {
    let step = |picture: &str, words: &str| {
        html!(
            "<li><svg viewBox=\"0 0 96 72\" aria-hidden=\"true\">{}{}</svg>{}</li>",
            bowl(),
            Html::from_template(picture.to_owned()),
            words
        )
    };
    html!(
        "<details open><summary>How to look</summary><ol class=\"how\">{}{}{}</ol>\
         <p>Rims and edges for flaking, in gloves. Spirit burns: none near a flame.</p></details>",
        step(RUB, "Rub washable dye or marker over the glaze."),
        step(WIPE, "Wipe it off."),
        step(
            COUNT,
            "Hold it to light from the side: count the pieces that show lines."
        ),
    )
}

fn bowl() -> Html {
    html!("<path d=\"M18 28h60c0 22-12 34-22 36H40C30 62 18 50 18 28z\"/>")
}

/// A marker over the glaze, its strokes across the bowl.
const RUB: &str =
    "<path d=\"M28 36l12 14M38 34l14 18M50 34l14 16M62 34l8 10\"/><path d=\"M60 26L78 4l8 6-18 22-10 2z\"/>";
/// A cloth, moved across.
const WIPE: &str = "<path d=\"M34 40c8-8 20-8 28 0l4 12c-12 6-24 6-36 0z\"/><path d=\"M28 14h40m-8-6l8 6-8 6\"/>";
/// Light from the side, lines in the glaze.
const COUNT: &str = "<path d=\"M26 34l8 8 2 12m-2-12l12 2 8-8m-8 8l4 12m4-20l10 4 6-6m-6 6l-2 10\"/><path d=\"M2 30l10 2M2 42l10-2M4 54l9-6\"/>";
