//! The first page: three doors, a search, and what wants doing.

use std::sync::Arc;

use axum::extract::State;
use axum::response::{IntoResponse, Response};
use glost_page::bench::{Html, amounts, fields, in_address};
use glost_page::html;
use serde::Deserialize;

use super::asking::{Asking, Trouble};
use super::frame::Page;
use super::names::Names;
use super::{Bench, Said, first_day, look};
use crate::door::Visitor;

/// Doors behind *More*, with what each is for.
const FURTHER: [(&str, &str, &str); 12] = [
    ("/glazes", "My glazes", "recipes, what was seen, versions, checks"),
    ("/missing", "I’ve run out", "a material is gone, or a new lot came"),
    ("/change", "Change a glaze", "make it fit, cheaper, without something"),
    ("/tiles", "Test tiles", "plan them, weigh them, grade them"),
    ("/shelf", "The shelf", "materials, lots, prices, stock"),
    ("/rules", "Checks", "every rule with its source"),
    ("/clay", "Clay bars", "how much water a clay soaks up"),
    ("/rescue", "Rescue a bucket", "mis-weighed, too thick, half used"),
    ("/cost", "What it costs", "a kilo, a litre, a piece"),
    ("/recall", "A piece came back", "its batch, firing, lots and sisters"),
    ("/batches", "What was mixed", "the book of batches"),
    ("/phones", "Phones", "let a phone in, forget one"),
];
/// Those that a phone has.
const ON_A_PHONE: [&str; 5] = ["/glazes", "/clay", "/rescue", "/recall", "/batches"];
/// At most so many of each list here; the rest on its own page.
const FEW: usize = 5;
/// Stocks below this are soon gone, in grams: common practice, no source.
const LOW_GRAMS: f64 = 1000.0;

#[derive(Deserialize)]
struct DueList {
    on: String,
    due: Vec<Due>,
}

#[derive(Deserialize)]
struct Due {
    on: String,
    what: String,
}

#[derive(Deserialize)]
struct Shelf {
    materials: Vec<Material>,
}

#[derive(Deserialize)]
struct Material {
    name: String,
    stock_grams: Option<f64>,
}

pub(crate) async fn home(State(bench): State<Arc<Bench>>, Said(said): Said) -> Response {
    if !bench.is_begun() && bench.visitor == Visitor::Owner {
        return first_day::asked(&bench, &said, None).into_response();
    }
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of("The bench").trouble(&trouble).into_response(),
    };
    if let Some(wanted) = said.text("q").filter(|_| names.visitor.sees_recipes()) {
        return found(&names, wanted).into_response();
    }
    if bench.visitor == Visitor::Class {
        return look::listed(&bench, &names, &said, Page::of("Look at pieces").in_studio(&names))
            .await
            .into_response();
    }
    let mut page = Page::of(heading(&names)).in_studio(&names).with(html!(
        "<ul class=\"doors\">\
         <li><a href=\"/mix\"><strong>Mix a bucket</strong><span>a ticket to weigh by, water, labels</span></a></li>\
         <li><a href=\"/look\"><strong>Look at pieces</strong><span>count what crazed, grade, note</span></a></li>\
         <li><a href=\"/kiln\"><strong>Kiln opened</strong><span>what was in it, what came out</span></a></li></ul>\
         <form method=\"get\" action=\"/\" role=\"search\" class=\"search\">{}<button>Find</button></form>",
        fields::line("q", "Find a glaze, a material, a batch", "", ""),
    ));
    page.push(bench.clocks_shown());
    page.push(begun(&bench));
    let (to_look_at, running_out) = tokio::join!(to_look_at(&bench), async {
        if names.visitor.sees_prices() {
            running_out(&bench).await
        } else {
            Html::default()
        }
    });
    page.push(to_look_at);
    page.push(running_out);
    page.push(further(bench.visitor));
    page.same(bench.line(&Asking::of("due"))).into_response()
}

fn heading(names: &Names) -> String {
    if names.studio.is_empty() {
        "The bench".to_owned()
    } else {
        names.studio.clone()
    }
}

/// All other doors.
pub(crate) async fn more(State(bench): State<Arc<Bench>>) -> Page {
    let page = Page::of("More");
    match bench.names().await {
        Ok(names) => page.in_studio(&names).with(further(bench.visitor)),
        Err(trouble) => page.trouble(&trouble).with(further(bench.visitor)),
    }
}

fn further(visitor: Visitor) -> Html {
    let doors: Html = FURTHER
        .iter()
        .filter(|(to, _, _)| visitor == Visitor::Owner || ON_A_PHONE.contains(to))
        .map(|(to, name, what)| html!("<li><a href=\"{}\">{}</a> <span>{}</span></li>", to, name, what))
        .collect();
    html!("<section class=\"more\"><h2>More</h2><ul>{}</ul></section>", doors)
}

/// Tickets that were begun and not booked.
fn begun(bench: &Bench) -> Html {
    let begun = bench.begun();
    if begun.is_empty() {
        return Html::default();
    }
    let shown: Html = begun
        .iter()
        .map(|one| {
            html!(
                "<li><a href=\"{}\">{}, {}</a>: {} in the bowl</li>",
                one.address(),
                one.glaze,
                one.dry,
                one.ticked.len()
            )
        })
        .collect();
    html!("<section><h2>Begun</h2><ul>{}</ul></section>", shown)
}

async fn to_look_at(bench: &Bench) -> Html {
    let list: Result<DueList, Trouble> = bench.ask(&Asking::of("due")).await;
    let (today, due) = match list {
        Ok(list) => (list.on, list.due),
        Err(trouble) => return trouble.shown(),
    };
    // Days written as the contract has them stand in order as text.
    let (now, coming): (Vec<&Due>, Vec<&Due>) = due.iter().partition(|due| due.on <= today);
    let shown: Html = now
        .iter()
        .take(FEW)
        .map(|due| {
            html!(
                "<li>{} <span class=\"aside\">since {}</span></li>",
                due.what,
                amounts::day(&due.on)
            )
        })
        .collect();
    let next = coming.first().filter(|_| now.is_empty()).map(|due| {
        html!(
            "<p>Nothing today. Next: {}, on {}.</p>",
            due.what,
            amounts::day(&due.on)
        )
    });
    let list = match (now.is_empty(), next) {
        (false, _) => html!("<ul>{}</ul><p><a href=\"/look\">Look at them</a></p>", shown),
        (true, Some(next)) => next,
        (true, None) => html!("<p>Nothing yet. A kiln that is opened puts its pieces here.</p>"),
    };
    html!("<section><h2>To look at today</h2>{}</section>", list)
}

async fn running_out(bench: &Bench) -> Html {
    let shelf: Result<Shelf, Trouble> = bench.ask(&Asking::of("materials")).await;
    let mut low: Vec<(String, f64)> = match shelf {
        Ok(shelf) => shelf
            .materials
            .into_iter()
            .filter_map(|material| Some((material.name, material.stock_grams?)))
            .filter(|material| material.1 < LOW_GRAMS)
            .collect(),
        Err(trouble) => return trouble.shown(),
    };
    if low.is_empty() {
        return Html::default();
    }
    low.sort_by(|one, other| one.1.total_cmp(&other.1));
    let shown: Html = low
        .iter()
        .take(FEW)
        .map(|(name, stock)| {
            let left = if *stock > 0.0 {
                format!("{} left", amounts::weight(*stock))
            } else {
                "none left".to_owned()
            };
            html!("<li>{}: {}</li>", name, left)
        })
        .collect();
    html!(
        "<section><h2>Running out</h2><ul>{}</ul>\
         <p><a href=\"/shelf\">The shelf</a> · <a href=\"/missing\">I’ve run out</a></p></section>",
        shown
    )
}

/// What a search finds by name.
fn found(names: &Names, wanted: &str) -> Page {
    let fits = |name: &&String| {
        let name = name.to_lowercase();
        wanted.to_lowercase().split_whitespace().all(|word| name.contains(word))
    };
    let link = |to: &str, name: &String| html!("<li><a href=\"{}{}\">{}</a></li>", to, in_address(name), name);
    let glazes: Html = names
        .glazes
        .iter()
        .filter(fits)
        .map(|name| link("/glaze/", name))
        .collect();
    let materials: Html = names
        .materials
        .iter()
        .filter(|_| names.visitor.sees_prices())
        .filter(fits)
        .map(|name| link("/shelf?material=", name))
        .collect();
    let part = |heading: &str, list: Html| {
        if list.is_empty() {
            Html::default()
        } else {
            html!("<section><h2>{}</h2><ul>{}</ul></section>", heading, list)
        }
    };
    let nothing = glazes.is_empty() && materials.is_empty();
    let mut page = Page::of(format!("Found for “{wanted}”")).in_studio(names);
    page.push(part("Glazes", glazes));
    page.push(part("Materials", materials));
    if nothing {
        page.push(html!("<p>No glaze or material has that in its name.</p>"));
    }
    page.with(html!(
        "<p><a href=\"/recall?what={}\">Look for a batch, a lot, a mark or a firing called that</a></p>",
        in_address(wanted)
    ))
}
