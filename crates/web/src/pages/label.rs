//! Labels to print: as the command draws them, their style from a file of its own.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::{Html as Markup, IntoResponse, Response};

use super::asking::Asking;
use super::frame::Page;
use super::{Bench, Said};
use crate::door::Refusal;

/// What stands around a style inside a page.
const STYLE: [&str; 2] = ["<style>", "</style>"];

const UNPRINTED: &str = "\n@media print { h1 { display: none } }\n";

pub(crate) async fn label(State(bench): State<Arc<Bench>>, Said(said): Said) -> Response {
    let asking = Asking::of("label")
        .maybe("glaze", said.text("glaze"))
        .maybe("batch", said.text("batch"))
        .maybe("kind", said.text("kind"))
        .maybe("of", said.text("of"))
        .maybe("grid", said.text("grid"))
        .with("html", true);
    match bench.ask_text(&asking).await {
        Ok(page) => sheet(&bench, &page),
        Err(trouble) => Page::of("Labels")
            .trouble(&trouble)
            .same(bench.line(&asking))
            .into_response(),
    }
}

/// A sheet to print; its style, which the page may not hold itself, is kept for a moment.
pub(crate) fn sheet(bench: &Bench, page: &str) -> Response {
    let parts = page.split_once(STYLE[0]).and_then(|(before, rest)| {
        let (style, after) = rest.split_once(STYLE[1])?;
        Some((before, style, after))
    });
    let Some((before, style, after)) = parts else {
        return Markup(page.to_owned()).into_response();
    };
    // A heading for whoever listens to the page; it isn't printed.
    let style = format!("{style}{UNPRINTED}");
    let name = bench.styles.keep(&style);
    let after = after
        .replacen("<body>", "<body><main><h1>To print</h1>", 1)
        .replacen("</body>", "</main></body>", 1);
    Markup(format!(
        "{before}<link rel=\"stylesheet\" href=\"/print/{name}\">{after}"
    ))
    .into_response()
}

pub(crate) async fn style(State(bench): State<Arc<Bench>>, Path(name): Path<String>) -> Response {
    match bench.styles.named(&name) {
        Some(style) => ([(header::CONTENT_TYPE, "text/css; charset=utf-8")], style).into_response(),
        None => Refusal::new(StatusCode::NOT_FOUND, "no-page", "there is no such page").into_response(),
    }
}
