//! Files that pages are drawn with: our own, embedded.

use axum::http::header;
use axum::response::{IntoResponse, Response};

/// The bench's icon, an SVG.
pub const ICON: &str = include_str!("../static/icon.svg");

pub(crate) async fn style() -> Response {
    file("text/css; charset=utf-8", include_str!("../static/bench.css"))
}

pub(crate) async fn script() -> Response {
    file("text/javascript; charset=utf-8", include_str!("../static/bench.js"))
}

pub(crate) async fn icon() -> Response {
    file("image/svg+xml", ICON)
}

fn file(kind: &'static str, text: &'static str) -> Response {
    ([(header::CONTENT_TYPE, kind)], text).into_response()
}
