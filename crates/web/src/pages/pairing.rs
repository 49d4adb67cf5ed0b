//! Phones: a code on the screen to pair one by, those that are known, a class.

use std::sync::Arc;

use axum::extract::State;
use axum::http::StatusCode;
use glost_page::bench::{Html, fields};
use glost_page::html;
use glost_page::print::qr::Code;

use super::asking::Trouble;
use super::frame::Page;
use super::{Bench, Said};
use crate::door::{Phones, Pupil, Pupils, Refusal, Visitor};

const HEADING: &str = "Phones";

/// The codes, and who is known.
pub(crate) async fn phones(State(bench): State<Arc<Bench>>) -> Page {
    let page = Page::of(HEADING).same("glost open --phone".to_owned());
    let Some(phones) = &bench.phones else {
        return page.with(html!(
            "<p>To let phones in, close the bench and open it with <code>glost open --phone</code>: it then listens on your own \
             network, too, by plain http, so only in a network you trust. School networks often keep phones apart, and the \
             firewall may ask.</p>"
        ))
        .with(pupils(&bench));
    };
    let way_in = match phones.way_in() {
        Ok(way_in) => way_in,
        Err(why) => return page.trouble(&Trouble::Refused(Refusal::of(StatusCode::SERVICE_UNAVAILABLE, why))),
    };
    page.with(html!(
        "<p>By plain http, in your own network only. A phone mixes, looks, opens kilns, photographs and reads; scripts, prices and \
         settings stay here.</p><h2>Pair a phone</h2><p>Point its camera here. The code works once and for ten minutes; open this page again for \
         another.</p>{}",
        code(&way_in)
    ))
    .with(class(phones))
    .with(known(&bench, phones))
    .with(pupils(&bench))
}

/// Whose numbers the notes of a class have.
fn pupils(bench: &Bench) -> Html {
    let pupils = Pupils::kept(&bench.keeping);
    if pupils.known().is_empty() {
        return Html::default();
    }
    let one = |pupil: &Pupil| html!("<li>pupil {}: {}</li>", pupil.number, pupil.initials);
    let all: Html = pupils.known().iter().map(one).collect();
    html!(
        "<h2>Initials</h2><p>Notes of a class say “pupil” and a number. Whose number it is stands here alone, outside the studio’s \
         folder.</p><ul class=\"list\">{}</ul>{}",
        all,
        fields::doing(&bench.seal(), "/phones/initials", Html::default(), "Wipe all initials")
    )
}

/// Wipes the initials of all classes.
pub(crate) async fn wiped(State(bench): State<Arc<Bench>>) -> Page {
    match Pupils::wipe(&bench.keeping) {
        Ok(()) => phones(State(bench)).await,
        Err(why) => Page::of(HEADING).trouble(&Trouble::Refused(Refusal::of(StatusCode::SERVICE_UNAVAILABLE, why))),
    }
}

/// A code as a drawing, its address below.
fn code(address: &str) -> Html {
    let Some(code) = Code::of(address) else {
        return html!("<p><code>{}</code></p>", address);
    };
    let span = code.span();
    let modules = (0..span).flat_map(|row| (0..span).map(move |column| (row, column)));
    let squares: Html = modules
        .filter(|(row, column)| code.is_dark(*row, *column))
        .map(|(row, column)| {
            html!(
                "<rect x=\"{}\" y=\"{}\" width=\"1\" height=\"1\"/>",
                column + QUIET,
                row + QUIET
            )
        })
        .collect();
    html!(
        "<svg class=\"code\" role=\"img\" aria-label=\"A code for a phone’s camera\" viewBox=\"0 0 {} {}\" shape-rendering=\"crispEdges\">{}</svg>\
         <p class=\"aside\"><code>{}</code></p>",
        span,
        span,
        squares,
        address
    )
}

/// Light modules around a code, as the standard asks.
const QUIET: usize = 4;

fn class(phones: &Phones) -> Html {
    match phones.class_way_in() {
        Some(way_in) => html!(
            "<h2>A class</h2><p>One code for all, while the bench is open: own tiles, counters, photos, initials; no recipes, no prices.</p>{}",
            code(&way_in)
        ),
        None => html!("<p>For a class: <code>glost open --class</code>, one code that shows less still.</p>"),
    }
}

fn known(bench: &Bench, phones: &Phones) -> Html {
    let one = |known: &crate::door::Known| {
        let who = match known.visitor {
            Visitor::Class => "of a class",
            Visitor::Phone | Visitor::Owner => "a phone",
        };
        let key = format!("Forget {}", known.name());
        let form = fields::doing(&bench.seal(), "/phones", fields::hidden("forget", known.name()), &key);
        let since = known
            .since_day()
            .map_or_else(String::new, |day| format!(", paired {}", day.words()));
        html!("<li>{}, {}{}{}</li>", known.name(), who, since, form)
    };
    let all: Html = phones.all().iter().map(one).collect();
    if all.is_empty() {
        html!("<h2>Known</h2><p>None yet.</p>")
    } else {
        html!("<h2>Known</h2><ul class=\"list\">{}</ul>", all)
    }
}

/// Forgets one.
pub(crate) async fn forgotten(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    if let (Some(phones), Some(name)) = (&bench.phones, said.text("forget"))
        && let Err(why) = phones.forget(name)
    {
        return Page::of(HEADING).trouble(&Trouble::Refused(Refusal::of(StatusCode::SERVICE_UNAVAILABLE, why)));
    }
    phones(State(bench)).await
}
