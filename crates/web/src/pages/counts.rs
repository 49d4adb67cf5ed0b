//! Counters, grades and words of a look at pieces; the same form again where something in
//! it is wrong.

use axum::http::StatusCode;
use glost_page::bench::{Exact, Html, fields};
use glost_page::html;

use super::Bench;
use super::asking::Trouble;
use crate::door::{Form, Refusal};

/// How it was looked at, with how it is done.
const LOOKED: [(&str, &str); 4] = [
    ("", "not said"),
    ("ink", "ink rubbed on, wiped, counted"),
    ("loupe", "through a loupe, light from the side"),
    ("eye", "by eye"),
];
/// Grades a studio gives, from 0 to 5.
pub(super) const GRADES: [(&str, &str); 2] = [("gloss", "Gloss"), ("colour", "Colour")];

/// What a form with a mistake in it was about, to be sent again.
const ABOUT: [&str; 8] = ["glaze", "clay", "batch", "tile", "firing", "again", "age", "initials"];

/// The same form once more, with all that was said in it.
pub(super) fn again(bench: &Bench, said: &Form, photo: Option<&str>) -> Html {
    let mut inside: Html = ABOUT
        .iter()
        .filter_map(|name| Some(fields::hidden(name, said.text(name)?)))
        .collect();
    let about: Vec<&str> = ["batch", "tile", "glaze", "clay"]
        .iter()
        .filter_map(|name| said.text(name))
        .collect();
    if let Some(photo) = photo {
        inside.push(fields::hidden("kept_photo", photo));
        inside.push(html!("<p>The photo is kept; choose another to take that instead.</p>"));
    }
    inside.push(counters("again-", said.text("pieces").unwrap_or(""), said));
    html!(
        "<article class=\"card\"><h2>{}</h2>{}</article><p>Nothing was noted. <a href=\"/look\">Back to the pieces</a></p>",
        glost_page::bench::capital(&about.join(", ")),
        fields::doing_with_file(&bench.seal(), "/look", inside, "Note it")
    )
}

/// Counters that a wet thumb hits, grades, words; as they were said before.
pub(super) fn counters(prefix: &str, pieces: &str, said: &Form) -> Html {
    let id = |name: &str| format!("{prefix}{name}");
    let typed = |name: &str, else_: &'static str| said.text(name).unwrap_or(else_).to_owned();
    let selected = |is_so: bool| if is_so { html!(" selected") } else { Html::default() };
    let grade = |(name, label): &(&str, &str)| {
        let chosen = typed(&format!("grade_{name}"), "");
        let options: Html = (0..=5_usize)
            .map(|grade| html!("<option{}>{}</option>", selected(chosen == grade.to_string()), grade))
            .collect();
        html!(
            "<p class=\"field\"><label for=\"{}\">{} (0 to 5)</label><select id=\"{}\" name=\"grade_{}\"><option value=\"\">not graded</option>{}</select></p>",
            id(name),
            label,
            id(name),
            name,
            options
        )
    };
    let looked: Html = LOOKED
        .iter()
        .map(|(value, words)| {
            let chosen = selected(typed("looked", "") == *value);
            html!("<option value=\"{}\"{}>{}</option>", value, chosen, words)
        })
        .collect();
    html!(
        "<div class=\"counts\">{}{}{}</div><p class=\"field\"><label for=\"{}\">How was it looked at?</label>\
         <select id=\"{}\" name=\"looked\">{}</select></p><details><summary>Grades, words</summary>{}<p class=\"field\"><label for=\"{}\">Anything else?</label>\
         <input id=\"{}\" name=\"text\" value=\"{}\" autocomplete=\"off\"></p></details><p class=\"field\"><label for=\"{}\">A photo?</label>\
         <input id=\"{}\" name=\"photo\" type=\"file\" accept=\"image/jpeg,image/png,image/webp\"><small>Where and by whom it was taken is left out.</small></p>",
        fields::count(&id("pieces"), "pieces", "Pieces looked at", pieces),
        fields::count_of(
            &id("crazed"),
            "crazed",
            "of them crazed",
            &typed("crazed", "0"),
            "pieces"
        ),
        fields::count_of(
            &id("shivered"),
            "shivered",
            "of them shivered: glaze flakes off",
            &typed("shivered", "0"),
            "pieces"
        ),
        id("looked"),
        id("looked"),
        looked,
        GRADES.iter().map(grade).collect::<Html>(),
        id("text"),
        id("text"),
        Exact(&typed("text", "")),
        id("photo"),
        id("photo"),
    )
}

/// A count of faults without one of pieces says nothing.
pub(super) fn uncounted(said: &Form) -> Option<Trouble> {
    let counted = |name| {
        said.text(name)
            .is_some_and(|count| count != "0" && !count.contains('/'))
    };
    let is_counted = counted("crazed") || counted("shivered");
    if !is_counted || said.text("pieces").is_some() {
        return None;
    }
    let refusal = Refusal::new(
        StatusCode::BAD_REQUEST,
        "no-count",
        "how many pieces were looked at wasn’t said",
    );
    Some(Trouble::Refused(
        refusal.help("count all that you looked at, those without a fault, too"),
    ))
}
