//! What goes into a kiln: a row each, batches, glazes or tiles.

use std::sync::Arc;

use axum::extract::State;
use axum::http::StatusCode;
use glost_page::bench::{Exact, Html, fields};
use glost_page::html;
use serde::Deserialize;

use super::asking::{Asking, Trouble};
use super::frame::Page;
use super::kiln::{once_more, written};
use super::names::Names;
use super::{Bench, Said};
use crate::door::{Form, Refusal};

/// Rows of a form to load by; more come by a key.
const ROWS: usize = 5;
const KINDS: [(&str, &str); 3] = [
    ("glost", "glaze firing"),
    ("biscuit", "biscuit firing"),
    ("once", "once fired"),
];

#[derive(Deserialize)]
struct Book {
    batches: Vec<Batch>,
}

#[derive(Deserialize)]
struct Batch {
    batch: String,
    glaze: String,
}

/// What can be put into a kiln.
struct ToPut {
    batches: Vec<Batch>,
    /// Plans with the codes of their tiles.
    plans: Vec<(String, Vec<String>)>,
}

#[derive(Deserialize)]
struct Plans {
    plans: Vec<PlanName>,
}

#[derive(Deserialize)]
struct PlanName {
    plan: String,
}

#[derive(Deserialize)]
struct Plan {
    tiles: Vec<Tile>,
}

#[derive(Deserialize)]
struct Tile {
    code: String,
}

/// Plans whose tiles can be chosen one by one: the last that were made.
const PLANS: usize = 3;

async fn to_put_in(bench: &Bench) -> ToPut {
    let asking = (Asking::of("batches"), Asking::of("plan"));
    let (book, plans) = tokio::join!(bench.ask::<Book>(&asking.0), bench.ask::<Plans>(&asking.1));
    let mut all = ToPut {
        // Where the book or the plans can't be read, glazes are there to choose.
        batches: book.map_or_else(|_| Vec::new(), |book| book.batches),
        plans: Vec::new(),
    };
    for named in plans.into_iter().flat_map(|list| list.plans).rev().take(PLANS) {
        let tiles = tiles_of(bench, &named.plan).await;
        all.plans.push((named.plan, tiles.into_iter().flatten().collect()));
    }
    all
}

async fn tiles_of(bench: &Bench, plan: &str) -> Result<Vec<String>, Trouble> {
    let plan: Plan = bench.ask(&Asking::of("plan").with("plan", plan)).await?;
    Ok(plan.tiles.into_iter().map(|tile| tile.code).collect())
}

/// The form to load by, as it was filled in before.
pub(super) async fn to_load(bench: &Bench, names: &Names, said: &Form) -> Html {
    let all = to_put_in(bench).await;
    let rows = said.all("what").count().max(ROWS) + if said.text("more").is_some() { ROWS } else { 0 };
    let inside = [
        fields::line(
            "firing",
            "What is this firing called?",
            said.text("firing").unwrap_or(""),
            "spring glaze; or leave it empty",
        ),
        fields::worded("kind", "What for?", &KINDS, said.text("kind")),
        fields::line(
            "cone",
            "To which cone?",
            said.text("cone").unwrap_or(""),
            "else the one its glazes name",
        ),
        (0..rows).map(|index| to_put(index, names, &all, said)).collect(),
    ];
    let seal = bench.seal();
    // The first key of a form is the one that Enter hits.
    let form = html!(
        "<form method=\"post\" action=\"/kiln/loaded\">{}{}{}<p><button>It is loaded</button> \
         <button name=\"more\" value=\"1\">More rows</button></p></form>",
        fields::hidden("token", &seal.token),
        fields::hidden("request", &seal.request),
        inside.into_iter().collect::<Html>()
    );
    let is_begun = said.all("what").next().is_some();
    html!(
        "<details class=\"section\"{}><summary>Load a kiln</summary>{}</details>",
        if is_begun { html!(" open") } else { Html::default() },
        form
    )
}

/// A row to put something in by, as it was filled in before.
fn to_put(index: usize, names: &Names, all: &ToPut, said: &Form) -> Html {
    let number = |name: &str| format!("{name}-{index}");
    let typed = |name: &'static str| said.all(name).nth(index).unwrap_or("").trim().to_owned();
    let (what, clay) = (typed("what"), typed("clay"));
    let option = |value: &str, words: &str, chosen: &str| {
        let selected = if value == chosen {
            html!(" selected")
        } else {
            Html::default()
        };
        html!("<option value=\"{}\"{}>{}</option>", Exact(value), selected, words)
    };
    let group = |heading: &str, options: Html| match options.is_empty() {
        true => options,
        false => html!("<optgroup label=\"{}\">{}</optgroup>", heading, options),
    };
    let batches = all.batches.iter().rev();
    let batches = batches.map(|batch| option(&batch.batch, &format!("batch {}: {}", batch.batch, batch.glaze), &what));
    let glazes = names.glazes.iter().map(|glaze| option(glaze, glaze, &what));
    let of_plans = all.plans.iter().map(|(plan, tiles)| {
        let whole = option(
            &format!("{plan}{WHOLE}"),
            &format!("all {} tiles of {plan}", tiles.len()),
            &what,
        );
        let each = tiles.iter().map(|code| format!("{plan}/{code}"));
        let each = each.map(|tile| option(&tile, &tile, &what)).collect();
        group(&format!("Tiles of {plan}"), [whole, each].into_iter().collect())
    });
    let options: Html = [group("Batches", batches.collect()), group("Glazes", glazes.collect())]
        .into_iter()
        .chain(of_plans)
        .collect();
    let clays: Html = names.clays.iter().map(|name| option(name, name, &clay)).collect();
    let line = |name: &'static str, label: &str| {
        html!(
            "<p class=\"field\"><label for=\"{}\">{}</label><input id=\"{}\" name=\"{}\" value=\"{}\" autocomplete=\"off\"></p>",
            number(name),
            label,
            number(name),
            name,
            Exact(&typed(name))
        )
    };
    let pieces = Some(typed("pieces")).filter(|pieces| !pieces.is_empty());
    html!(
        "<fieldset><legend>{}.</legend><p class=\"field\"><label for=\"{}\">Batch, glaze or tiles</label><select id=\"{}\" name=\"what\">\
         <option value=\"\">nothing</option>{}</select></p>{}\
         <p class=\"field\"><label for=\"{}\">Clay</label><select id=\"{}\" name=\"clay\"><option value=\"\">as the batch says</option>{}</select></p>\
         {}{}</fieldset>",
        index + 1,
        number("what"),
        number("what"),
        options,
        fields::count(&number("pieces"), "pieces", "Pieces", pieces.as_deref().unwrap_or("0")),
        number("clay"),
        number("clay"),
        clays,
        line("shelf", "Where in the kiln"),
        line("coat", "How was the glaze put on? 1 dip, brushed; or leave it empty"),
    )
}

/// Behind a plan's name: all its tiles.
const WHOLE: &str = "/*";

/// The rows of a load as the command takes them; a row that says only half is told, not
/// dropped.
async fn rows(bench: &Bench, said: &Form) -> Result<Vec<String>, Trouble> {
    let half = |index: usize, message: String, help: &str| {
        let refusal = Refusal::new(
            StatusCode::BAD_REQUEST,
            "half-a-row",
            format!("row {}: {message}", index + 1),
        );
        Err(Trouble::Refused(refusal.help(help)))
    };
    let typed = |name: &'static str, index: usize| said.all(name).nth(index).unwrap_or("").trim();
    let mut puts = Vec::new();
    for index in 0..said.all("what").count() {
        let (what, pieces) = (typed("what", index), typed("pieces", index));
        let is_counted = !pieces.is_empty() && pieces != "0";
        let whole = what.strip_suffix(WHOLE);
        match (what.is_empty(), is_counted) {
            (true, false) => continue,
            (true, true) => {
                return half(
                    index,
                    format!("{pieces} pieces of nothing"),
                    "choose what they are, or set them to 0",
                );
            }
            (false, false) if whole.is_none() => {
                return half(
                    index,
                    format!("no pieces of {what}"),
                    "count them, or choose nothing in that row",
                );
            }
            (false, _) => {}
        }
        let parts = [("on", "clay"), ("at", "shelf"), ("coat", "coat")];
        let more: String = parts
            .iter()
            .map(|(word, name)| (word, typed(name, index)))
            .filter(|(_, value)| !value.is_empty())
            .map(|(word, value)| format!(" {word} {value}"))
            .collect();
        match whole {
            Some(plan) => {
                let tiles = tiles_of(bench, plan).await?;
                puts.extend(tiles.iter().map(|code| format!("{plan}/{code} = 1{more}")));
            }
            None => puts.push(format!("{what} = {pieces}{more}")),
        }
    }
    if puts.is_empty() {
        return half(0, "nothing stands in the kiln".to_owned(), "choose what, and count it");
    }
    Ok(puts)
}

/// Writes a load.
pub(crate) async fn loaded(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    if said.text("more").is_some() {
        return once_more(&bench, &said, None, None).await;
    }
    let puts = match rows(&bench, &said).await {
        Ok(puts) => puts,
        Err(trouble) => return once_more(&bench, &said, Some(&trouble), None).await,
    };
    let asking = Asking::of("kiln/load")
        .maybe("firing", said.text("firing"))
        .maybe("kind", said.text("kind"))
        .maybe("cone", said.text("cone"))
        .list("put", puts.iter().map(String::as_str));
    written(&bench, &asking, &said, "The kiln is loaded").await
}
