//! A table brought in on the shelf: looked at first, then taken in.

use std::path::Path;
use std::sync::Arc;

use axum::extract::State;
use axum::http::StatusCode;
use glost_page::bench::tables;
use glost_page::html;

use super::asking::Trouble;
use super::frame::Page;
use super::photos::Brought;
use super::{Bench, Said};
use crate::door::{Form, Refusal};

const HEADING: &str = "Bring a table in";

/// What the table would do.
pub(crate) async fn looked_at(State(bench): State<Arc<Bench>>, table: Brought, Said(said): Said) -> Page {
    let page = Page::of(HEADING);
    let Some(bytes) = table.bytes() else {
        return page.with(html!(
            "<p>No file was chosen. <a href=\"/shelf\">Back to the shelf</a></p>"
        ));
    };
    let kept = bench.keeping.keep_table(bytes);
    let kept = match kept.map_err(|why| Trouble::Refused(Refusal::of(StatusCode::SERVICE_UNAVAILABLE, why))) {
        Ok(kept) => kept,
        Err(trouble) => return page.trouble(&trouble),
    };
    let Some(path) = bench.keeping.table(&kept) else {
        return page.trouble(&gone());
    };
    match asked(&bench, &path, &said, None).await {
        Ok(told) => {
            let meanings = said.text("as").unwrap_or("");
            page.with(tables::looked_at(&bench.seal(), &kept, meanings, &told))
        }
        Err(trouble) => page.trouble(&trouble).with(html!(
            "<p>Nothing was written. <a href=\"/shelf\">Back to the shelf</a></p>"
        )),
    }
}

/// Takes it in, once.
pub(crate) async fn taken_in(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let page = Page::of(HEADING);
    let Some(path) = said.text("kept").and_then(|kept| bench.keeping.table(kept)) else {
        return page.trouble(&gone());
    };
    let request = said.text("request").unwrap_or("");
    match asked(&bench, &path, &said, Some(request)).await {
        Ok(told) => page.with(tables::taken_in(&told)),
        Err(trouble) => page
            .trouble(&trouble)
            .with(html!("<p><a href=\"/shelf\">Back to the shelf</a></p>")),
    }
}

fn gone() -> Trouble {
    let refusal = Refusal::new(StatusCode::CONFLICT, "no-table", "that table isn’t kept any more");
    Trouble::Refused(refusal.help("choose the file again, on the shelf"))
}

/// What the command says of it, the file by a name that means something here.
async fn asked(bench: &Bench, path: &Path, said: &Form, request: Option<&str>) -> Result<String, Trouble> {
    let meanings = said.text("as").unwrap_or("").lines().map(str::trim);
    let meanings: Vec<&str> = meanings.filter(|line| !line.is_empty()).collect();
    let ran = match request {
        Some(request) => bench.caller.taken_in(path, &meanings, request).await,
        None => bench.caller.would_take_in(path, &meanings, "text").await,
    };
    let ran = ran.map_err(Trouble::Refused)?;
    let named = |told: &[u8]| String::from_utf8_lossy(told).replace(&path.display().to_string(), "your table");
    let told = named(&ran.answer);
    if ran.exit > 1 && told.trim().is_empty() {
        // Its complaint stands in the JSON.
        let ran = bench.caller.would_take_in(path, &meanings, "json").await;
        return Err(Trouble::of_answer(
            named(&ran.map_err(Trouble::Refused)?.answer).as_bytes(),
        ));
    }
    Ok(told)
}
