//! A saved plan of tiles: its map to grade on, and what the grades teach.

use std::sync::Arc;

use axum::extract::State;
use glost_page::bench::{Html, fields, in_address, prose};
use glost_page::html;
use serde::Deserialize;
use serde_json::{Map, Value};

use super::asking::{Asking, Trouble};
use super::frame::Page;
use super::{Bench, Said};
use crate::door::Form;

/// What is graded unless another word is said.
const PROPERTY: &str = "gloss";

#[derive(Deserialize)]
struct List {
    plans: Vec<Named>,
}

#[derive(Deserialize)]
struct Named {
    plan: String,
}

#[derive(Deserialize)]
struct Plan {
    rows: Vec<usize>,
    ends: Vec<String>,
    properties: Vec<String>,
    tiles: Vec<Tile>,
}

#[derive(Deserialize)]
struct Tile {
    code: String,
    shares: Vec<f64>,
    latest: Map<String, Value>,
}

/// All saved plans, each a link.
pub(crate) async fn so_far(bench: &Bench) -> Html {
    let list: List = match bench.ask(&Asking::of("plan")).await {
        Ok(list) => list,
        Err(trouble) => return trouble.shown(),
    };
    let row = |named: &Named| {
        html!(
            "<li><a href=\"/plan?plan={}\">{}</a></li>",
            in_address(&named.plan),
            named.plan
        )
    };
    let rows: Html = list.plans.iter().map(row).collect();
    if rows.is_empty() {
        html!("<h2>Plans so far</h2><p>None is kept yet. One that has a name can be graded here.</p>")
    } else {
        html!("<h2>Plans so far</h2><ul class=\"list\">{}</ul>", rows)
    }
}

/// The map with a grade to choose on each tile.
pub(crate) async fn plan(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    shown(&bench, &said, Html::default()).await
}

async fn shown(bench: &Bench, said: &Form, before: Html) -> Page {
    let name = said.text("plan").unwrap_or("");
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of("Test tiles").trouble(&trouble),
    };
    let asking = Asking::of("plan").with("plan", name);
    let page = Page::of(format!("Tiles of {name}"))
        .in_studio(&names)
        .with(before)
        .same(bench.line(&asking));
    let plan: Plan = match bench.ask(&asking).await {
        Ok(plan) => plan,
        Err(trouble) => return page.trouble(&trouble),
    };
    let property = said
        .text("property")
        .or(plan.properties.first().map(String::as_str))
        .unwrap_or(PROPERTY);
    let ends: Html = plan.ends.iter().map(|end| html!("<li>{}</li>", end)).collect();
    let inside = [
        fields::hidden("plan", name),
        fields::needed(
            "property",
            "What do you grade?",
            property,
            "gloss, colour, runs: any word, from 0 to 5",
        ),
        plan.map(property),
        fields::line(
            "age",
            "How old are the tiles?",
            said.text("age").unwrap_or("fresh"),
            "fresh, 30d, 6 months",
        ),
    ];
    page.with(html!("<p>Between</p><ol>{}</ol>", ends))
        .with(fields::doing(
            &bench.seal(),
            "/plan",
            inside.into_iter().collect(),
            "Note the grades",
        ))
        .with(taught(bench, name, &plan, property).await)
        .with(html!("<p><a href=\"/tiles\">Test tiles</a></p>"))
}

impl Plan {
    fn map(&self, property: &str) -> Html {
        let mut tiles = self.tiles.iter();
        let rows = self.rows.iter().map(|length| {
            let row: Html = tiles
                .by_ref()
                .take(*length)
                .map(|tile| tile.to_grade(property))
                .collect();
            html!("<div class=\"row\">{}</div>", row)
        });
        let rows: Html = rows.collect();
        // Tiles of a plan without rows stand one after the other.
        let rest: Html = tiles.map(|tile| tile.to_grade(property)).collect();
        html!("<div class=\"map\">{}<div class=\"row\">{}</div></div>", rows, rest)
    }
}

impl Tile {
    fn to_grade(&self, property: &str) -> Html {
        let id = format!("grade-{}", self.code);
        let now = self
            .latest
            .get(property)
            .and_then(Value::as_f64)
            .map(|grade| format!("{grade:.0}"));
        let options: Html = (0..=5_usize).map(|grade| html!("<option>{}</option>", grade)).collect();
        let shares: Vec<String> = self
            .shares
            .iter()
            .map(|share| format!("{:.0}", share * 100.0))
            .collect();
        html!(
            "<p class=\"tile\"><label for=\"{}\">{}</label><span class=\"aside\">{} %</span><select id=\"{}\" name=\"{}\"><option value=\"\">{}</option>{}</select></p>",
            id,
            self.code,
            shares.join(" : "),
            id,
            id,
            now.map_or_else(|| "-".to_owned(), |now| format!("was {now}")),
            options
        )
    }
}

/// Notes what was chosen, a note a tile.
pub(crate) async fn graded(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let (plan, property) = (
        said.text("plan").unwrap_or(""),
        said.text("property").unwrap_or(PROPERTY),
    );
    let mut noted = Vec::new();
    for (name, grade) in said.pairs().filter(|(_, grade)| !grade.is_empty()) {
        let Some(code) = name.strip_prefix("grade-") else {
            continue;
        };
        let (tile, grade) = (format!("{plan}/{code}"), format!("{property}={grade}"));
        let asking = Asking::of("note")
            .with("tile", tile)
            .list("grade", [grade.as_str()])
            .maybe("age", said.text("age"));
        let request = said.text("request").map(|request| format!("{request}-{code}"));
        let done: Result<Value, Trouble> = bench.do_once(&asking, request.as_deref()).await;
        if let Err(trouble) = done {
            let so_far = html!("<p>Noted before that: {}.</p>", noted.join(", "));
            return shown(&bench, &said, html!("{}{}", trouble.shown(), so_far)).await;
        }
        noted.push(code.to_owned());
    }
    let told = if noted.is_empty() {
        html!("<p class=\"answer\" role=\"status\">No grade was chosen.</p>")
    } else {
        html!("<p class=\"answer\" role=\"status\">Noted: {}.</p>", noted.join(", "))
    };
    shown(&bench, &said, told).await
}

/// What the grades teach, where there are some.
async fn taught(bench: &Bench, name: &str, plan: &Plan, property: &str) -> Html {
    if plan.tiles.iter().all(|tile| tile.latest.is_empty()) {
        return Html::default();
    }
    let asking = Asking::of("results").list("plans", [name]).with("grade", property);
    match bench.ask_text(&asking).await {
        Ok(text) => html!(
            "<h2>What they teach</h2>{}<p class=\"same\">At a terminal: <code>{}</code></p>",
            prose(&text),
            bench.line(&asking)
        ),
        Err(trouble) => trouble.shown(),
    }
}
