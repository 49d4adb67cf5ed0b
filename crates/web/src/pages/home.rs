//! The first page: three doors, a search, and what wants doing.

use std::sync::Arc;

use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use glost_chemistry::diagnostic::nearest;
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
        return found(&bench, &names, wanted).await;
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

/// The glaze that a text names: its name, or a label's first line, which goes on behind it
/// with the version: `Lamplight clear v2, cone 9`.
fn on_a_label<'a>(names: &'a Names, wanted: &str) -> Option<&'a String> {
    let wanted = wanted.to_lowercase();
    let first = wanted.lines().next().unwrap_or("").trim().to_owned();
    let is_it = |name: &&String| {
        let behind = first.strip_prefix(&name.to_lowercase());
        behind.is_some_and(|behind| behind.is_empty() || behind.starts_with(" v") || behind.starts_with(','))
    };
    // Of two names that begin alike the longer one says more.
    names.glazes.iter().filter(is_it).max_by_key(|name| name.len())
}

#[derive(Deserialize)]
struct Plans {
    plans: Vec<Plan>,
}

#[derive(Deserialize)]
struct Plan {
    plan: String,
}

#[derive(Deserialize)]
struct Recalled {
    found_as: Vec<String>,
}

/// What is said before a number: `batch 1`, `lot 88`.
const BEFORE_A_NUMBER: [&str; 4] = ["batch ", "lot ", "firing ", "mark "];

/// What the books have under these words: the words that they know it by, and as what.
async fn in_the_books(bench: &Bench, wanted: &str) -> Option<(String, Vec<String>)> {
    let lower = wanted.to_lowercase();
    let bare = BEFORE_A_NUMBER.iter().find_map(|word| lower.strip_prefix(word));
    let bare = bare.and_then(|bare| wanted.get(wanted.len() - bare.len()..));
    for words in [Some(wanted), bare].into_iter().flatten() {
        let recalled: Result<Recalled, Trouble> = bench.ask(&Asking::of("recall").with("what", words)).await;
        if let Ok(recalled) = recalled {
            return Some((words.to_owned(), recalled.found_as));
        }
    }
    None
}

/// What a search finds: what is named exactly goes to its page.
async fn found(bench: &Bench, names: &Names, wanted: &str) -> Response {
    if let Some(glaze) = on_a_label(names, wanted) {
        return Redirect::to(&format!("/glaze/{}", in_address(glaze))).into_response();
    }
    let asking = Asking::of("plan");
    let (plans, books) = tokio::join!(bench.ask::<Plans>(&asking), in_the_books(bench, wanted));
    // Plans that can't be read are told on their own page.
    let plans: Vec<String> = plans
        .into_iter()
        .flat_map(|all| all.plans)
        .map(|plan| plan.plan)
        .collect();
    if let Some(plan) = plans.iter().find(|plan| plan.to_lowercase() == wanted.to_lowercase()) {
        return Redirect::to(&format!("/plan?plan={}", in_address(plan))).into_response();
    }
    named(names, wanted, &plans, books).into_response()
}

/// A list of all that fits the words.
fn named(names: &Names, wanted: &str, plans: &[String], books: Option<(String, Vec<String>)>) -> Page {
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
    let plans: Html = plans
        .iter()
        .filter(fits)
        .map(|name| link("/plan?plan=", name))
        .collect();
    let books = books.map_or_else(Html::default, |(words, known_as)| {
        html!(
            "<li><a href=\"/recall?what={}\">{} {}</a></li>",
            in_address(&words),
            known_as.join(", "),
            words
        )
    });
    let nothing = [&glazes, &materials, &plans, &books].iter().all(|list| list.is_empty());
    let mut page = Page::of(format!("Found for “{wanted}”")).in_studio(names);
    page.push(part("Glazes", glazes));
    page.push(part("In the books", books));
    page.push(part("Test tiles", plans));
    page.push(part("Materials", materials));
    if nothing {
        page.push(html!(
            "<p>No glaze, material, batch, lot, firing or plan is called that.</p>"
        ));
        let known = names.glazes.iter().map(String::as_str);
        if let Some(near) = nearest(wanted, known) {
            page.push(html!(
                "<p>Did you mean <a href=\"/glaze/{}\">{}</a>?</p>",
                in_address(near),
                near
            ));
        }
    }
    page
}
