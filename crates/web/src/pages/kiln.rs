//! The kiln: what stands in it, how it came out, the book of firings.

use std::sync::Arc;

use axum::extract::State;
use axum::http::StatusCode;
use glost_page::bench::{Exact, Html, amounts, fields, for_page};
use glost_page::html;
use serde::Deserialize;

use super::asking::{Asking, Trouble};
use super::frame::Page;
use super::{Bench, Said, load};
use crate::door::{Form, Refusal};
use crate::keeping::hex;

const HEADING: &str = "Kiln opened";
/// Firings shown.
const FEW: usize = 12;

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
    opening_id: Option<String>,
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

impl Firing {
    fn called(&self) -> String {
        let cone = self.cone_meant.as_ref().map(|cone| format!("cone {cone}"));
        let name = self.firing.clone().or(cone).unwrap_or_else(|| "a firing".to_owned());
        format!("{name}, loaded {}", amounts::day(&self.on))
    }

    fn bent(&self) -> String {
        let bent = self.cone_bent.as_ref();
        bent.map_or_else(String::new, |cone| format!(", cone {cone} bent"))
    }

    /// What a form to open it rests on, in one word.
    fn version(&self) -> String {
        let load: Vec<String> = self.load.iter().map(Entry::said).collect();
        let said = [&self.id, &self.on, &load.join("; ")].map(String::as_str).join("\n");
        let opened = self.opening_id.as_deref().unwrap_or("");
        hex(format!("{said}\n{opened}").as_bytes())
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
        .map(|firing| to_open(&bench, firing, &said))
        .collect();
    let waiting = if waiting.is_empty() {
        html!("<p>No kiln waits to be opened. Load one below.</p>")
    } else {
        waiting
    };
    let opened: Vec<&Firing> = firings.iter().filter(|firing| firing.opened_on.is_some()).collect();
    page.with(waiting)
        .with(load::to_load(&bench, &names, &said).await)
        .with(so_far(&bench, &opened))
        .same(bench.line(&asking))
}

fn to_open(bench: &Bench, firing: &Firing, said: &Form) -> Html {
    let id = |name: &str| format!("{name}-{}", firing.id);
    let is_this = said.text("id") == Some(firing.id.as_str());
    let line = |name: &'static str, label: &str, hint: &str| {
        html!(
            "<p class=\"field\"><label for=\"{}\">{}</label><input id=\"{}\" name=\"{}\" value=\"{}\" autocomplete=\"off\"><small>{}</small></p>",
            id(name),
            label,
            id(name),
            name,
            Exact(said.text(name).filter(|_| is_this).unwrap_or("")),
            hint
        )
    };
    let inside = [
        fields::hidden("id", &firing.id),
        fields::hidden("made_from", &firing.version()),
        line("bent", "Which cone bent?", "6; or leave it empty"),
        line("peak", "How hot did it get?", "1222 C; or leave it empty"),
        line("soak", "How long did it soak?", "15 min; or leave it empty"),
        line("text", "What came out?", "anything worth keeping"),
    ];
    html!(
        "<section class=\"card\"><h2>{}</h2>{}<p class=\"caution\">Open it below 100 C: hot ware cracks, and burns.</p>{}{}</section>",
        glost_page::bench::capital(&firing.called()),
        list(firing.load.iter().map(Entry::said)),
        fields::doing(
            &bench.seal(),
            "/kiln/opened",
            inside.into_iter().collect(),
            "It is open"
        ),
        to_take_back(bench, &firing.id, "Take the load back")
    )
}

/// A form that takes something back; why is said.
fn to_take_back(bench: &Bench, id: &str, key: &str) -> Html {
    let field = format!("why-{id}");
    let inside = html!(
        "{}<p class=\"field\"><label for=\"{}\">What was wrong?</label><input id=\"{}\" name=\"text\" autocomplete=\"off\"></p>",
        fields::hidden("void", id),
        field,
        field
    );
    html!(
        "<details><summary>Was that wrong?</summary>{}</details>",
        fields::doing(&bench.seal(), "/kiln/back", inside, key)
    )
}

fn so_far(bench: &Bench, opened: &[&Firing]) -> Html {
    if opened.is_empty() {
        return Html::default();
    }
    let one = |firing: &&Firing| {
        let back = firing.opening_id.as_ref();
        html!(
            "<details><summary>{}{}</summary>{}{}</details>",
            glost_page::bench::capital(&firing.called()),
            firing.bent(),
            list(firing.load.iter().map(Entry::said)),
            back.map_or_else(Html::default, |id| to_take_back(bench, id, "Take the opening back"))
        )
    };
    let all: Html = opened.iter().rev().take(FEW).map(one).collect();
    html!("<section><h2>Firings so far</h2>{}</section>", all)
}

/// The form to load by with all that was said in it.
pub(super) async fn once_more(bench: &Bench, said: &Form, trouble: Option<&Trouble>, line: Option<String>) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of(HEADING).trouble(&trouble),
    };
    let mut page = Page::of(HEADING).in_studio(&names);
    if let Some(trouble) = trouble {
        page = page.trouble(trouble).with(html!("<p>Nothing was written down.</p>"));
    }
    let form = match said.text("id") {
        Some(id) => standing(bench, id).await.map_or_else(
            |trouble| trouble.shown(),
            |firing| firing.map_or_else(Html::default, |firing| to_open(bench, &firing, said)),
        ),
        None => load::to_load(bench, &names, said).await,
    };
    let page = page.with(form).with(html!("<p><a href=\"/kiln\">The kiln</a></p>"));
    line.into_iter().fold(page, Page::same)
}

/// A firing as the book has it now.
async fn standing(bench: &Bench, id: &str) -> Result<Option<Firing>, Trouble> {
    let list: List = bench.ask(&Asking::of("kiln")).await?;
    Ok(list.firings.into_iter().find(|firing| firing.id == id))
}

/// Writes an opening.
pub(crate) async fn opened(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let now = match (said.text("id"), said.text("made_from")) {
        (Some(id), Some(_)) => standing(&bench, id).await.ok().flatten(),
        _ => None,
    };
    if let Some(firing) = now.filter(|firing| bench.is_outdated(&said, &firing.version())) {
        return outdated(&firing);
    }
    let asking = ["id", "bent", "peak", "soak", "text"]
        .iter()
        .fold(Asking::of("kiln/opened"), |asking, key| {
            asking.maybe(key, said.text(key))
        });
    written(&bench, &asking, &said, "The kiln is open").await
}

/// What the book says by now, where it isn't what the page showed.
fn outdated(firing: &Firing) -> Page {
    let message = "this firing was changed elsewhere since this page was made";
    let refusal = Refusal::new(StatusCode::CONFLICT, "changed-meanwhile", message);
    let refusal = Trouble::Refused(refusal.help("look at it as it is now, then say again what is missing"));
    let opened = firing.opened_on.as_ref().map_or_else(
        || "not opened yet".to_owned(),
        |on| format!("opened {}{}", amounts::day(on), firing.bent()),
    );
    Page::of(HEADING).trouble(&refusal).with(html!(
        "<h2>It is now</h2><p>{}: {}</p>{}<p><a href=\"/kiln\">The kiln</a></p>",
        glost_page::bench::capital(&firing.called()),
        opened,
        list(firing.load.iter().map(Entry::said))
    ))
}

/// Takes an opening or a load back.
pub(crate) async fn taken_back(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let asking = Asking::of("kiln")
        .maybe("void", said.text("void"))
        .maybe("text", said.text("text"));
    let done: Result<serde_json::Value, Trouble> = bench.do_once(&asking, said.text("request")).await;
    let page = Page::of("Taken back").same(bench.line(&asking));
    let page = match done {
        Ok(_) => page.with(html!(
            "<p class=\"answer\" role=\"status\">It counts no more; it stays in the book, marked.</p>"
        )),
        Err(trouble) => page.trouble(&trouble),
    };
    page.with(html!("<p><a href=\"/kiln\">The kiln</a></p>"))
}

pub(super) async fn written(bench: &Bench, asking: &Asking, said: &Form, heading: &str) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of(heading).trouble(&trouble),
    };
    let written: Written = match bench.do_once(asking, said.text("request")).await {
        Ok(written) => written,
        Err(trouble) => {
            return once_more(bench, said, Some(&trouble), Some(bench.line(asking))).await;
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
        .map(|text| glost_page::bench::capital(&for_page(text)))
        .filter(|text| !text.is_empty());
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
