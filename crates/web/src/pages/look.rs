//! Look at pieces: what is due, a card each; counters; a note.

use std::sync::{Arc, PoisonError};

use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use glost_page::bench::{Html, amounts, fields, for_page, in_address, looking};
use glost_page::html;
use serde::Deserialize;

use super::asking::{Asking, Trouble};
use super::counts::{GRADES, again, counters, uncounted};
use super::frame::Page;
use super::names::Names;
use super::photos::{self, Brought};
use super::{Bench, Said};
use crate::door::{Form, Pupils, Refusal, Visitor};

const HEADING: &str = "Look at pieces";
#[derive(Deserialize)]
struct List {
    on: String,
    due: Vec<Due>,
}

#[derive(Deserialize)]
struct Due {
    on: String,
    glaze: Option<String>,
    clay: Option<String>,
    batch: Option<String>,
    tile: Option<String>,
    firing_id: Option<String>,
    pieces: Option<u32>,
    #[serde(default)]
    lines: Vec<usize>,
    what: String,
}

impl Due {
    /// What it is about, its glaze's name before it where it doesn't say that itself.
    fn named(&self) -> String {
        match &self.glaze {
            Some(glaze) if !self.what.contains(glaze.as_str()) => format!("{glaze}: {}", self.what),
            _ => self.what.clone(),
        }
    }
}

#[derive(Deserialize)]
struct Noted {
    id: Option<String>,
    glaze: Option<String>,
    already: bool,
    seen: String,
    look_again_on: Option<String>,
    contradictions: Vec<String>,
    cautions: Vec<String>,
    assumptions: Vec<String>,
}

/// What is due, and a form for anything else.
pub(crate) async fn look(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of(HEADING).trouble(&trouble),
    };
    listed(&bench, &names, &said, Page::of(HEADING).in_studio(&names)).await
}

pub(crate) async fn listed(bench: &Bench, names: &Names, said: &Form, mut page: Page) -> Page {
    if bench.visitor == Visitor::Class {
        // What others made, of which recipe and lot, is theirs.
        return page.with(how()).with(own_tiles(bench, said));
    }
    let asking = Asking::of("due");
    let list: Result<List, Trouble> = bench.ask(&asking).await;
    // A form that was begun, or nothing else to do.
    let nothing_due = said.text("glaze").is_some() || list.as_ref().is_ok_and(|list| list.due.is_empty());
    match list {
        Ok(list) => {
            let (now, coming): (Vec<&Due>, Vec<&Due>) = list.due.iter().partition(|due| due.on <= list.on);
            let cards: Html = now
                .iter()
                .enumerate()
                .map(|(index, due)| match index {
                    0 => card(bench, index, due, html!("<h2>{}</h2>", due.named())),
                    _ => folded(bench, index, due, &due.named()),
                })
                .collect();
            if cards.is_empty() {
                page.push(html!("<p>Nothing is due today.</p>"));
            } else {
                page.push(html!("{}<section class=\"cards\">{}</section>", how(), cards));
            }
            page.push(to_come(bench, &coming, now.len()));
        }
        Err(trouble) => page.push(trouble.shown()),
    }
    page.push(anything(bench, names, said, nothing_due));
    page.same(bench.line(&asking)).with(html!(
        "<p><a href=\"/due.ics\">Put “look again” into a calendar</a></p>"
    ))
}

fn how() -> Html {
    looking::how()
}

/// Those whose day hasn't come: folded, to look at early.
fn to_come(bench: &Bench, coming: &[&Due], before: usize) -> Html {
    if coming.is_empty() {
        return Html::default();
    }
    // Tiles of a plan are graded on its map, all together.
    let plan_of = |due: &Due| {
        due.tile
            .as_ref()
            .and_then(|tile| Some(tile.rsplit_once('/')?.0.to_owned()))
    };
    let mut plans: Vec<(String, &str, usize)> = Vec::new();
    let mut cards = Html::default();
    for (index, due) in coming.iter().enumerate() {
        match plan_of(due) {
            Some(plan) => match plans.iter_mut().find(|known| known.0 == plan && known.1 == due.on) {
                Some(known) => known.2 += 1,
                None => plans.push((plan, &due.on, 1)),
            },
            None => {
                let heading = format!("{}: {}", amounts::day(&due.on), due.named());
                cards.push(folded(bench, before + index, due, &heading));
            }
        }
    }
    let of_plans = plans.iter().map(|(plan, on, count)| {
        html!(
            "<li><a href=\"/plan?plan={}\">{}: {} of the tiles of {}</a></li>",
            in_address(plan),
            amounts::day(on),
            *count,
            plan
        )
    });
    html!(
        "<section><h2>Coming</h2>{}<ul class=\"links\">{}</ul></section>",
        cards,
        of_plans.collect::<Html>()
    )
}

/// One thing at a time: the others are a line each until they are wanted.
fn folded(bench: &Bench, index: usize, due: &Due, heading: &str) -> Html {
    html!(
        "<details class=\"coming\"><summary>{}</summary>{}</details>",
        heading,
        card(bench, index, due, Html::default())
    )
}

fn card(bench: &Bench, index: usize, due: &Due, heading: Html) -> Html {
    let said = [
        (
            "glaze",
            due.glaze
                .as_deref()
                .filter(|_| due.batch.is_none() && due.lines.is_empty()),
        ),
        (
            "clay",
            due.clay
                .as_deref()
                .filter(|_| due.batch.is_none() && due.lines.is_empty()),
        ),
        ("batch", due.batch.as_deref()),
        ("tile", due.tile.as_deref()),
        ("firing", due.firing_id.as_deref()),
    ];
    let mut inside: Html = said
        .iter()
        .filter_map(|(name, value)| Some(fields::hidden(name, (*value)?)))
        .collect();
    if let (Some(line), None) = (due.lines.last(), due.batch.as_ref()) {
        inside.push(fields::hidden("again", &line.to_string()));
    }
    let pieces = due.pieces.map_or_else(String::new, |pieces| pieces.to_string());
    inside.push(counters(&format!("due-{index}-"), &pieces, &Form::nothing()));
    html!(
        "<article class=\"card\">{}{}</article>",
        heading,
        fields::doing_with_file(&bench.seal(), "/look", inside, "Note it")
    )
}

/// Pieces that nothing is due for.
fn anything(bench: &Bench, names: &Names, said: &Form, alone: bool) -> Html {
    if names.glazes.is_empty() {
        return Html::default();
    }
    let controls = [
        fields::choice("glaze", "Which glaze?", None, &names.glazes, said.text("glaze")),
        fields::choice(
            "clay",
            "On which clay?",
            Some("as its file says"),
            &names.clays,
            said.text("clay"),
        ),
        fields::line(
            "batch",
            "Which batch?",
            said.text("batch").unwrap_or(""),
            "its number; or leave it empty",
        ),
        fields::line(
            "age",
            "How old are the pieces?",
            said.text("age").unwrap_or(""),
            "fresh, 30d, 6 months",
        ),
        counters("other-", "", said),
    ];
    let open = if alone { html!(" open") } else { Html::default() };
    html!(
        "<details class=\"section\"{}><summary>Other pieces</summary>{}</details>",
        open,
        fields::doing_with_file(&bench.seal(), "/look", controls.into_iter().collect(), "Note it")
    )
}

/// What one of a class looks at: a tile or a batch by what stands on it.
fn own_tiles(bench: &Bench, said: &Form) -> Html {
    let controls = [
        fields::line(
            "tile",
            "What stands on your tile?",
            said.text("tile").unwrap_or(""),
            "such as line/A1",
        ),
        fields::line(
            "batch",
            "Or which batch is it of?",
            said.text("batch").unwrap_or(""),
            "its number",
        ),
        fields::line(
            "initials",
            "Your initials",
            said.text("initials").unwrap_or(""),
            "so that your teacher knows whose note it is; or leave it empty",
        ),
        counters("other-", said.text("pieces").unwrap_or("1"), said),
    ];
    html!(
        "<section><h2>My piece</h2>{}</section>",
        fields::doing_with_file(&bench.seal(), "/look", controls.into_iter().collect(), "Note it")
    )
}

/// Writes the note.
pub(crate) async fn noted(State(bench): State<Arc<Bench>>, photo: Brought, Said(said): Said) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of(HEADING).trouble(&trouble),
    };
    let page = || Page::of(HEADING).in_studio(&names);
    if let Some(uncounted) = uncounted(&said) {
        let kept = photo.hold(&bench.keeping, &said);
        return page().trouble(&uncounted).with(again(&bench, &said, kept.as_deref()));
    }
    let brought = photo.or_held(&bench.keeping, &said);
    let photo = match brought.keep(&bench.folder) {
        Ok(photo) => photo,
        Err(refusal) => {
            return page()
                .trouble(&Trouble::Refused(refusal))
                .with(again(&bench, &said, None));
        }
    };
    let pupil = match said.text("initials").filter(|_| bench.visitor == Visitor::Class) {
        Some(initials) => match Pupils::number_of(&bench.keeping, initials) {
            Ok(number) => Some(number),
            Err(why) => {
                let refusal = Refusal::of(StatusCode::SERVICE_UNAVAILABLE, why);
                return page()
                    .trouble(&Trouble::Refused(refusal))
                    .with(again(&bench, &said, None));
            }
        },
        None => None,
    };
    let asking = note(&said, pupil).maybe("photo", photo.as_ref().map(|photo| photo.path.as_str()));
    let noted: Noted = match bench.do_once(&asking, said.text("request")).await {
        Ok(noted) => noted,
        Err(trouble) => {
            if let Some(photo) = photo {
                photo.take_back(&bench.folder);
            }
            let page = page().trouble(&trouble).same(bench.line(&asking));
            return page.with(again(&bench, &said, brought.hold(&bench.keeping, &said).as_deref()));
        }
    };
    let is_pupil = bench.visitor == Visitor::Class;
    let list = |lines: &[String]| {
        let lines = lines.iter().map(|line| for_page(line)).filter(|line| !line.is_empty());
        lines.map(|line| html!("<li>{}</li>", line)).collect::<Html>()
    };
    // Lots and recipes stand among them.
    let assumptions: &[String] = if is_pupil { &[] } else { &noted.assumptions };
    bench.keeping.forget_photo();
    if let Some(id) = &noted.id {
        let mut known = bench.noted.lock().unwrap_or_else(PoisonError::into_inner);
        known.push(id.clone());
    }
    let again = noted.look_again_on.as_ref().map_or_else(Html::default, |day| {
        html!("<p>Look again on {}.</p>", amounts::day(day))
    });
    let take_back = noted.id.as_ref().map_or_else(Html::default, |id| {
        fields::doing(&bench.seal(), "/look/back", fields::hidden("void", id), "Take it back")
    });
    let seen = match said.text("glaze").or(noted.glaze.as_deref()) {
        Some(glaze) if !is_pupil => photos::of(&bench, glaze).await,
        _ => Html::default(),
    };
    Page::of(if noted.already { "Already noted" } else { "Noted" })
        .in_studio(&names)
        .with(html!(
            "<p class=\"answer\" role=\"status\">{}</p><ul class=\"caution\">{}</ul>{}<ul class=\"aside\">{}</ul>{}<p><a href=\"/look\">The next pieces</a></p>",
            glost_page::bench::capital(&noted.seen),
            list(&[noted.contradictions, noted.cautions].concat()),
            again,
            list(assumptions),
            take_back,
        ))
        .with(seen)
        .same(bench.line(&asking))
}

fn note(said: &Form, pupil: Option<u32>) -> Asking {
    let pieces = said.text("pieces");
    let of = |name: &str| {
        let count = said.text(name).filter(|count| *count != "0" || pieces.is_some())?;
        Some(pieces.map_or_else(|| count.to_owned(), |pieces| format!("{count}/{pieces}")))
    };
    let grades: Vec<String> = GRADES
        .iter()
        .filter_map(|(name, _)| {
            Some(format!(
                "{name}={}",
                said.text(&format!("grade_{name}")).map(str::to_owned)?
            ))
        })
        .collect();
    let keys = ["glaze", "clay", "batch", "tile", "firing", "again", "age", "looked"];
    let text = match (pupil, said.text("text")) {
        (Some(pupil), Some(text)) => Some(format!("pupil {pupil}: {text}")),
        (Some(pupil), None) => Some(format!("pupil {pupil}")),
        (None, text) => text.map(str::to_owned),
    };
    let asking = keys
        .iter()
        .fold(Asking::of("note"), |asking, key| asking.maybe(key, said.text(key)));
    asking
        .maybe("text", text.as_deref())
        .maybe("crazed", of("crazed").as_deref())
        .maybe("shivered", of("shivered").as_deref())
        .list("grade", grades.iter().map(String::as_str))
}

/// Takes a note back.
pub(crate) async fn taken_back(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let asking = Asking::of("note").maybe("void", said.text("void"));
    if bench.visitor == Visitor::Class {
        let known = bench.noted.lock().unwrap_or_else(PoisonError::into_inner);
        if !said
            .text("void")
            .is_some_and(|id| known.iter().any(|known| known == id))
        {
            let refusal = Refusal::new(
                StatusCode::FORBIDDEN,
                "not-yours",
                "that note isn’t one of today’s class",
            );
            return Page::of(HEADING).trouble(&Trouble::Refused(refusal.help("ask your teacher")));
        }
    }
    let done: Result<serde_json::Value, Trouble> = bench.do_once(&asking, said.text("request")).await;
    let page = Page::of("Taken back").same(bench.line(&asking));
    match done {
        Ok(_) => page.with(html!(
            "<p class=\"answer\" role=\"status\">The note counts no more; it stays in the book, marked.</p><p><a href=\"/look\">Back to the pieces</a></p>"
        )),
        Err(trouble) => page.trouble(&trouble),
    }
}

/// What is due, for a calendar.
pub(crate) async fn calendar(State(bench): State<Arc<Bench>>) -> Response {
    match bench.caller.made(&["due"], "ics", "ics").await {
        Ok(Some(calendar)) => {
            let headers = [
                (header::CONTENT_TYPE, "text/calendar; charset=utf-8"),
                (header::CONTENT_DISPOSITION, "attachment; filename=\"look-again.ics\""),
            ];
            (headers, calendar).into_response()
        }
        Ok(None) => Page::of(HEADING)
            .with(html!("<p>Nothing is due yet: there is nothing for a calendar.</p>"))
            .into_response(),
        Err(refusal) => Page::of(HEADING).trouble(&Trouble::Refused(refusal)).into_response(),
    }
}
