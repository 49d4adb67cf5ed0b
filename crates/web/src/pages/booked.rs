//! The book of batches: each with its page and its glaze.

use std::sync::Arc;

use axum::extract::State;
use glost_page::bench::{Html, amounts, fields, in_address};
use glost_page::html;
use serde::Deserialize;

use super::asking::Asking;
use super::frame::Page;
use super::{Bench, Said};

/// The book of batches.
pub(crate) async fn batches(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of("What was mixed").trouble(&trouble),
    };
    let field = fields::choice(
        "glaze",
        "Only of this glaze",
        Some("all of them"),
        &names.glazes,
        said.text("glaze"),
    );
    let form = fields::asking_live("/batches", "", field, "Show");
    let asking = Asking::of("batches").maybe("glaze", said.text("glaze"));
    let page = Page::of("What was mixed").in_studio(&names).same(bench.line(&asking));
    match bench.ask::<Book>(&asking).await {
        Ok(book) => page.with(fields::answer(book.shown())).with(form),
        Err(trouble) => page.trouble_in_answer(&trouble).with(form),
    }
}

#[derive(Deserialize)]
struct Book {
    batches: Vec<Batch>,
}

#[derive(Deserialize)]
struct Batch {
    batch: String,
    on: String,
    by: Option<String>,
    glaze: String,
    version: Option<String>,
    clay: Option<String>,
    dry_grams: f64,
}

impl Book {
    fn shown(&self) -> Html {
        if self.batches.is_empty() {
            return html!("<p role=\"status\">Nothing is booked yet. <a href=\"/mix\">Mix a bucket</a></p>");
        }
        let rows: Html = self.batches.iter().rev().map(Batch::row).collect();
        html!("<ul class=\"list\" role=\"status\">{}</ul>", rows)
    }
}

impl Batch {
    fn row(&self) -> Html {
        let about = [
            Some(amounts::weight(self.dry_grams)),
            Some(amounts::day(&self.on)),
            self.by.as_ref().map(|by| format!("by {by}")),
            self.version.as_ref().map(|version| format!("version {version}")),
            self.clay.as_ref().map(|clay| format!("for {clay}")),
        ];
        let about: Vec<String> = about.into_iter().flatten().collect();
        html!(
            "<li><a href=\"/recall?what={}\">Batch {}</a> of <a href=\"/glaze/{}\">{}</a> <span class=\"aside\">{}</span></li>",
            in_address(&self.batch),
            self.batch,
            in_address(&self.glaze),
            self.glaze,
            about.join(", ")
        )
    }
}
