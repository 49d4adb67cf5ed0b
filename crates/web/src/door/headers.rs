//! What goes with every answer.

use axum::body::Body;
use axum::http::header::{HeaderName, HeaderValue};
use axum::http::{Response, header};

/// Nothing from anywhere else, nothing inline, in no frame, kept nowhere.
const HEADERS: [(HeaderName, &str); 6] = [
    (
        header::CONTENT_SECURITY_POLICY,
        "default-src 'self'; img-src 'self' data:; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    ),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "no-referrer"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (header::CACHE_CONTROL, "no-store"),
];

/// An answer with them; one that is locked closer already stays so.
pub(crate) fn with_headers(mut response: Response<Body>) -> Response<Body> {
    for (name, value) in HEADERS {
        response
            .headers_mut()
            .entry(name)
            .or_insert(HeaderValue::from_static(value));
    }
    response
}
