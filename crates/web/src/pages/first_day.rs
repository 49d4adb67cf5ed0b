//! The first day: five questions on a page make a studio, a ticket and a label.

use std::sync::Arc;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use glost_page::bench::{Ticket, fields, in_address};
use glost_page::html;
use serde::Deserialize;

use super::asking::{Asking, Trouble};
use super::frame::Page;
use super::{Bench, Said, mix};
use crate::door::{Form, Refusal};

#[derive(Deserialize)]
struct Started {
    files: Vec<String>,
    ticket: Ticket,
    doubts: Vec<String>,
}

/// The five questions; with what was wrong with the answers.
pub(crate) fn asked(bench: &Bench, said: &Form, trouble: Option<&Trouble>) -> Page {
    let typed = |name| said.text(name).unwrap_or("");
    let mut page = Page::of("Your first day");
    if let Some(trouble) = trouble {
        page = page.trouble(trouble);
    }
    let questions = [
        fields::needed(
            "powder",
            "Which powder do you buy?",
            typed("powder"),
            "its name, as on the bag",
        ),
        fields::needed("clay", "Which clay?", typed("clay"), "its name, as on the bag"),
        fields::needed(
            "firing",
            "How hot is the glaze firing?",
            typed("firing"),
            "1060 C, 1940 F, or cone 6",
        ),
        fields::needed(
            "water",
            "How much water for a kilo of powder?",
            typed("water"),
            "in cups, 5 3/4 cups, or litres, 0.7 l",
        ),
        fields::needed(
            "scales",
            "What do your scales read to, and up to what weight?",
            typed("scales"),
            "0.1 g up to 2 kg",
        ),
        fields::line(
            "dry",
            "How much powder for the first batch?",
            typed("dry"),
            "1 kg unless you say",
        ),
    ];
    let questions = questions.into_iter().collect();
    page.push(html!(
        "<p>Five answers, and how much to mix first, make your studio here, a first ticket to weigh by, and a label. \
         Everything is kept in plain files in this folder; nothing leaves this machine.</p>{}",
        fields::doing(&bench.seal(), "/start", questions, "Make my studio")
    ));
    page.same("glost start".to_owned())
}

/// The answers without which there is no studio, with what they are called here.
const NEEDED: [(&str, &str); 5] = [
    ("powder", "the powder"),
    ("clay", "the clay"),
    ("firing", "how hot it is fired"),
    ("water", "the water"),
    ("scales", "the scales"),
];

fn missing(said: &Form) -> Option<Trouble> {
    let missing = NEEDED.iter().filter(|(name, _)| said.text(name).is_none());
    let missing: Vec<&str> = missing.map(|(_, words)| *words).collect();
    if missing.is_empty() {
        return None;
    }
    let message = format!("not answered yet: {}", missing.join(", "));
    let refusal = Refusal::new(StatusCode::BAD_REQUEST, "half-said", message);
    Some(Trouble::Refused(
        refusal.help("fill them in; what you wrote is still there"),
    ))
}

/// Makes it.
pub(crate) async fn made(State(bench): State<Arc<Bench>>, Said(said): Said) -> Response {
    if let Some(missing) = missing(&said) {
        return asked(&bench, &said, Some(&missing)).into_response();
    }
    let asking = Asking::of("start")
        .with("dir", ".")
        .maybe("powder", said.text("powder"))
        .maybe("clay", said.text("clay"))
        .maybe("firing", said.text("firing"))
        .maybe("water", said.text("water"))
        .maybe("scales", said.text("scales"))
        .maybe("dry", said.text("dry"));
    let started: Started = match bench.do_once(&asking, said.text("request")).await {
        Ok(started) => started,
        Err(trouble) => return asked(&bench, &said, Some(&trouble)).into_response(),
    };
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of("Your studio is here").trouble(&trouble).into_response(),
    };
    let files = started
        .files
        .iter()
        // What editors and other programs read is no file to work with.
        .filter(|file| !file.trim_start_matches("./").starts_with('.'))
        .map(|file| html!("<li><code>{}</code></li>", file))
        .collect::<glost_page::bench::Html>();
    let doubts = started
        .doubts
        .iter()
        .map(|doubt| html!("<p class=\"caution\">{}</p>", doubt))
        .collect::<glost_page::bench::Html>();
    Page::of("Your studio is here")
        .in_studio(&names)
        .with(doubts)
        .with(started.ticket.shown(names.cup_millilitres, true, &[]))
        .with(html!(
            "<p>To print: <a href=\"/label?glaze={}&amp;kind=bucket\">the bucket’s label</a>, <a href=\"/label?glaze={}&amp;kind=bottle\">bottle labels</a></p>",
            in_address(&started.ticket.glaze),
            in_address(&started.ticket.glaze)
        ))
        .with(mix::to_book(&bench, &started.ticket.asked(), &started.ticket.weighed()))
        .with(html!(
            "<details><summary>Files that were made</summary><ul>{}</ul></details><p><a href=\"/\">To the bench</a></p>",
            files
        ))
        .same(bench.line(&asking))
        .into_response()
}
