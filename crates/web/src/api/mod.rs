//! `POST /api/COMMAND`: a question as JSON, answered as at the terminal.

mod call;
mod child;
mod once_only;

pub(crate) use call::{call, typed};
pub use child::AS_IT_IS;
pub(crate) use child::{Caller, Ran};

use axum::Router;
use axum::body::{Body, Bytes};
use axum::extract::{Path, State};
use axum::http::{Response, StatusCode, header};
use axum::response::{IntoResponse, Response as Answer};
use axum::routing::post;
use serde_json::{Map, Value};

use crate::door::Refusal;

/// Its route.
pub(crate) fn routes(caller: Caller) -> Router {
    Router::new()
        .route("/api/{*command}", post(ask).fallback(posted_only))
        .with_state(caller)
}

/// A question is sent, never fetched.
async fn posted_only() -> Answer {
    let refusal = Refusal::new(
        StatusCode::METHOD_NOT_ALLOWED,
        "bad-method",
        "a question is sent by POST",
    );
    let refusal =
        refusal.help("POST an object of names and values, with Content-Type: application/json and X-Glost: 1");
    refusal.in_json(true).into_response()
}

/// Answers a question.
async fn ask(State(caller): State<Caller>, Path(command): Path<String>, body: Bytes) -> Answer {
    let asked = match body_of(&body) {
        Ok(body) => caller.ask(&command, &body).await,
        Err(refusal) => Err(refusal),
    };
    match asked {
        Ok(ran) => shown(ran),
        Err(refusal) => refusal.in_json(true).into_response(),
    }
}

fn body_of(body: &Bytes) -> Result<Map<String, Value>, Refusal> {
    let bad = |message: String| {
        let refusal = Refusal::new(StatusCode::BAD_REQUEST, "bad-body", message);
        refusal.help("send an object of names and values, such as {\"glaze\": \"Lamplight clear\"}")
    };
    match serde_json::from_slice(body) {
        Ok(Value::Object(body)) => Ok(body),
        Ok(_) => Err(bad("the body is no JSON object".to_owned())),
        Err(why) => Err(bad(format!("the body is no JSON: {why}"))),
    }
}

/// The answer as the command printed it; how it ended stands in a header.
fn shown(ran: Ran) -> Answer {
    let mut response = Response::new(Body::from(ran.answer));
    let headers = response.headers_mut();
    headers.insert(
        header::CONTENT_TYPE,
        header::HeaderValue::from_static("application/json"),
    );
    headers.insert("x-glost-exit", header::HeaderValue::from(u16::from(ran.exit)));
    if ran.is_repeat {
        headers.insert("x-glost-repeat", header::HeaderValue::from_static("1"));
    }
    response
}
