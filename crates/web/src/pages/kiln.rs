//! The kiln: what stands in it, how it came out, the book of firings.

use std::sync::Arc;

use axum::extract::State;
use glost_page::bench::{Html, amounts, fields};
use glost_page::html;
use serde::Deserialize;

use super::asking::{Asking, Trouble};
use super::frame::Page;
use super::names::Names;
use super::{Bench, Said};
use crate::door::Form;

const HEADING: &str = "Kiln opened";
/// Rows of a form to load by; more go in with another load.
const ROWS: usize = 5;
/// Firings shown.
const FEW: usize = 12;
const KINDS: [(&str, &str); 3] = [
    ("glost", "glaze firing"),
    ("biscuit", "biscuit firing"),
    ("once", "once fired"),
];

#[derive(Deserialize)]
struct List {
    firings: Vec<Firing>,
}

#[derive(Deserialize)]
struct Firing {
    id: String,
    on: String,
    firing: Option<String>,
    cone_meant: Option<String>,
    cone_bent: Option<String>,
    opened_on: Option<String>,
    #[serde(default)]
    load: Vec<Entry>,
    void: Option<String>,
}

#[derive(Deserialize)]
struct Entry {
    batch: Option<String>,
    glaze: Option<String>,
    tile: Option<String>,
    pieces: u32,
    clay: Option<String>,
    shelf: Option<String>,
}

#[derive(Deserialize)]
struct Written {
    firing: Firing,
    load: Vec<Entry>,
    cautions: Vec<String>,
    #[serde(default)]
    assumptions: Vec<String>,
    #[serde(default)]
    due: Vec<Due>,
}

#[derive(Deserialize)]
struct Due {
    on: String,
    what: String,
}

#[derive(Deserialize)]
struct Book {
    batches: Vec<Batch>,
}

#[derive(Deserialize)]
struct Batch {
    batch: String,
    glaze: String,
}

impl Firing {
    fn called(&self) -> String {
        let cone = self.cone_meant.as_ref().map(|cone| format!("cone {cone}"));
        let name = self.firing.clone().or(cone).unwrap_or_else(|| "a firing".to_owned());
        format!("{name}, loaded {}", amounts::day(&self.on))
    }
}

impl Entry {
    fn said(&self) -> String {
        let batch = self.batch.as_ref().map(|batch| format!("batch {batch}"));
        let what = batch.or_else(|| self.glaze.clone()).or_else(|| self.tile.clone());
        let clay = self
            .clay
            .as_ref()
            .map_or_else(String::new, |clay| format!(" on {clay}"));
        let shelf = self
            .shelf
            .as_ref()
            .map_or_else(String::new, |shelf| format!(", {shelf}"));
        format!(
            "{} of {}{clay}{shelf}",
            self.pieces,
            what.unwrap_or_else(|| "what isn’t named".to_owned())
        )
    }
}

fn list(entries: impl IntoIterator<Item = String>) -> Html {
    let rows: Html = entries.into_iter().map(|entry| html!("<li>{}</li>", entry)).collect();
    html!("<ul>{}</ul>", rows)
}

/// What waits to be opened, what can be loaded, what was.
pub(crate) async fn kiln(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of(HEADING).trouble(&trouble),
    };
    let page = Page::of(HEADING).in_studio(&names);
    let asking = Asking::of("kiln");
    let firings: Result<List, Trouble> = bench.ask(&asking).await;
    let firings: Vec<Firing> = match firings {
        Ok(list) => list
            .firings
            .into_iter()
            .filter(|firing| firing.void.is_none())
            .collect(),
        Err(trouble) => return page.trouble(&trouble).same(bench.line(&asking)),
    };
    let waiting: Html = firings
        .iter()
        .filter(|firing| firing.opened_on.is_none())
        .map(|firing| to_open(&bench, firing))
        .collect();
    let waiting = if waiting.is_empty() {
        html!("<p>No kiln waits to be opened. Load one below.</p>")
    } else {
        waiting
    };
    let opened: Vec<&Firing> = firings.iter().filter(|firing| firing.opened_on.is_some()).collect();
    page.with(waiting)
        .with(to_load(&bench, &names, &said).await)
        .with(so_far(&opened))
        .same(bench.line(&asking))
}

fn to_open(bench: &Bench, firing: &Firing) -> Html {
    let id = |name: &str| format!("{name}-{}", firing.id);
    let line = |name: &str, label: &str, hint: &str| {
        html!(
            "<p class=\"field\"><label for=\"{}\">{}</label><input id=\"{}\" name=\"{}\" autocomplete=\"off\"><small>{}</small></p>",
            id(name),
            label,
            id(name),
            name,
            hint
        )
    };
    let inside = [
        fields::hidden("id", &firing.id),
        line("bent", "Which cone bent?", "6; or leave it empty"),
        line("peak", "How hot did it get?", "1222 C; or leave it empty"),
        line("soak", "How long did it soak?", "15 min; or leave it empty"),
        line("text", "What came out?", "anything worth keeping"),
    ];
    html!(
        "<section class=\"card\"><h2>{}</h2>{}<p class=\"caution\">Open it below 100 C: hot ware cracks, and burns.</p>{}</section>",
        glost_page::bench::capital(&firing.called()),
        list(firing.load.iter().map(Entry::said)),
        fields::doing(
            &bench.seal(),
            "/kiln/opened",
            inside.into_iter().collect(),
            "It is open"
        ),
    )
}

async fn to_load(bench: &Bench, names: &Names, said: &Form) -> Html {
    let book: Result<Book, Trouble> = bench.ask(&Asking::of("batches")).await;
    // Where the book can't be read, glazes are there to choose.
    let batches = book.map_or_else(|_| Vec::new(), |book| book.batches);
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
        (0..ROWS).map(|index| to_put(index, names, &batches)).collect(),
    ];
    html!(
        "<details class=\"section\"><summary>Load a kiln</summary>{}</details>",
        fields::doing(
            &bench.seal(),
            "/kiln/loaded",
            inside.into_iter().collect(),
            "It is loaded"
        )
    )
}

/// A row to put something in by.
fn to_put(index: usize, names: &Names, batches: &[Batch]) -> Html {
    let number = |name: &str| format!("{name}-{index}");
    let glazes = names
        .glazes
        .iter()
        .map(|glaze| html!("<option value=\"{}\">{}</option>", glaze, glaze));
    let batches = batches.iter().rev().map(|batch| {
        html!(
            "<option value=\"{}\">batch {}: {}</option>",
            batch.batch,
            batch.batch,
            batch.glaze
        )
    });
    let clays: Html = names
        .clays
        .iter()
        .map(|clay| html!("<option>{}</option>", clay))
        .collect();
    html!(
        "<fieldset><legend>{}.</legend><p class=\"field\"><label for=\"{}\">Batch or glaze</label><select id=\"{}\" name=\"what\">\
         <option value=\"\">nothing</option>{}</select></p><p class=\"field count\"><label for=\"{}\">Pieces</label>\
         <input id=\"{}\" name=\"pieces\" type=\"number\" inputmode=\"numeric\" min=\"0\" value=\"0\" data-count></p>\
         <p class=\"field\"><label for=\"{}\">Clay</label><select id=\"{}\" name=\"clay\"><option value=\"\">as the batch says</option>{}</select></p>\
         <p class=\"field\"><label for=\"{}\">Where in the kiln</label><input id=\"{}\" name=\"shelf\" autocomplete=\"off\"></p></fieldset>",
        index + 1,
        number("what"),
        number("what"),
        batches.chain(glazes).collect::<Html>(),
        number("pieces"),
        number("pieces"),
        number("clay"),
        number("clay"),
        clays,
        number("shelf"),
        number("shelf"),
    )
}

fn so_far(opened: &[&Firing]) -> Html {
    if opened.is_empty() {
        return Html::default();
    }
    let one = |firing: &&Firing| {
        let bent = firing
            .cone_bent
            .as_ref()
            .map_or_else(String::new, |cone| format!(", cone {cone} bent"));
        html!(
            "<details><summary>{}{}</summary>{}</details>",
            glost_page::bench::capital(&firing.called()),
            bent,
            list(firing.load.iter().map(Entry::said))
        )
    };
    let all: Html = opened.iter().rev().take(FEW).map(one).collect();
    html!("<section><h2>Firings so far</h2>{}</section>", all)
}

/// Writes a load.
pub(crate) async fn loaded(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let rows = said
        .all("what")
        .zip(said.all("pieces"))
        .zip(said.all("clay").zip(said.all("shelf")));
    let puts: Vec<String> = rows
        .filter(|((what, pieces), _)| !what.trim().is_empty() && *pieces != "0")
        .map(|((what, pieces), (clay, shelf))| {
            let part = |word: &str, value: &str| {
                let value = value.trim();
                if value.is_empty() {
                    String::new()
                } else {
                    format!(" {word} {value}")
                }
            };
            format!("{what} = {pieces}{}{}", part("on", clay), part("at", shelf))
        })
        .collect();
    let asking = Asking::of("kiln/load")
        .maybe("firing", said.text("firing"))
        .maybe("kind", said.text("kind"))
        .maybe("cone", said.text("cone"))
        .list("put", puts.iter().map(String::as_str));
    written(&bench, &asking, &said, "The kiln is loaded").await
}

/// Writes an opening.
pub(crate) async fn opened(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let asking = ["id", "bent", "peak", "soak", "text"]
        .iter()
        .fold(Asking::of("kiln/opened"), |asking, key| {
            asking.maybe(key, said.text(key))
        });
    written(&bench, &asking, &said, "The kiln is open").await
}

async fn written(bench: &Bench, asking: &Asking, said: &Form, heading: &str) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of(heading).trouble(&trouble),
    };
    let written: Written = match bench.do_once(asking, said.text("request")).await {
        Ok(written) => written,
        Err(trouble) => {
            let page = Page::of(HEADING)
                .in_studio(&names)
                .trouble(&trouble)
                .same(bench.line(asking));
            return page.with(html!(
                "<p>Nothing was written down. <a href=\"/kiln\">Back to the kiln</a></p>"
            ));
        }
    };
    let due = written
        .due
        .iter()
        .map(|due| format!("{}: {}", amounts::day(&due.on), due.what));
    let said = written
        .cautions
        .iter()
        .chain(&written.assumptions)
        .map(|text| glost_page::bench::capital(text));
    let mut page = Page::of(heading).in_studio(&names).with(html!(
        "<p class=\"answer\" role=\"status\">{}</p>{}<div class=\"caution\">{}</div>",
        glost_page::bench::capital(&written.firing.called()),
        list(written.load.iter().map(Entry::said)),
        list(said)
    ));
    if !written.due.is_empty() {
        page.push(html!(
            "<h2>To look at</h2>{}<p><a href=\"/look\">Look at pieces</a></p>",
            list(due)
        ));
    }
    page.with(html!(
        "<p><a href=\"/kiln\">The kiln</a> · <a href=\"/\">To the bench</a></p>"
    ))
    .same(bench.line(asking))
}
