//! The locks, in their order: host, user, site, session, and for a deed its token.

use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;

use axum::body::{Body, Bytes};
use axum::http::{HeaderMap, HeaderName, Method, Request, StatusCode, header};
use axum::response::{IntoResponse, Response};

use super::{Form, Hosts, Refusal, Tokens, Upload, Visitor, Ways, Whose, whose};
use crate::door::secrets::same;

/// The most that a body may hold.
const MOST_BODY_BYTES: usize = 1 << 20;
/// The most that a photo may hold.
const MOST_PHOTO_BYTES: usize = 20 << 20;
/// The most that a table may hold.
const MOST_TABLE_BYTES: usize = 4 << 20;
/// Where a file may come along, with the most that it may hold.
const WITH_FILE: [(&str, usize); 2] = [("/look", MOST_PHOTO_BYTES), ("/shelf/bring", MOST_TABLE_BYTES)];
/// How long a body may take to come.
const BODY_WITHIN: Duration = Duration::from_secs(20);
/// What a program sends in place of a form's token: no foreign page can.
const PROGRAM: HeaderName = HeaderName::from_static("x-glost");
const SITE: HeaderName = HeaderName::from_static("sec-fetch-site");

/// What stands between a connection and the routes.
#[derive(Debug)]
pub(crate) struct Locks {
    pub(crate) hosts: Hosts,
    pub(crate) port: u16,
    pub(crate) ways: Ways,
    pub(crate) tokens: Arc<Tokens>,
}

/// What a request turned out to be.
pub(crate) enum Passed {
    /// It may go to this visitor's routes.
    On(Visitor, Request<Body>),
    /// It was answered at the door.
    Answered(Response),
}

impl Locks {
    /// Who holds the other end of a connection; from the local network nobody can tell.
    pub(crate) fn whose(&self, peer: SocketAddr, ours: SocketAddr) -> Whose {
        match self.ways {
            Ways::Owner { .. } => whose(peer, ours),
            Ways::Phones(_) => Whose::NotTold,
        }
    }

    /// Tries a request.
    ///
    /// # Errors
    /// Why it goes no further.
    pub(crate) async fn pass(&self, request: Request<Body>, whose: Whose) -> Result<Passed, Refusal> {
        let is_api = request.uri().path().starts_with("/api");
        self.tried(request, whose)
            .await
            .map_err(|refusal| refusal.in_json(is_api))
    }

    async fn tried(&self, request: Request<Body>, whose: Whose) -> Result<Passed, Refusal> {
        if !self.hosts.are_named(request.headers(), request.uri()) {
            let refusal = Refusal::new(StatusCode::FORBIDDEN, "foreign-host", "this address isn't the bench's");
            return Err(refusal.help("open the address that `glost open` prints"));
        }
        if whose == Whose::Another {
            return Err(Refusal::new(
                StatusCode::FORBIDDEN,
                "another-user",
                "this bench belongs to another user of this machine",
            ));
        }
        if let Some(answer) = self.way_in(&request) {
            return Ok(Passed::Answered(answer));
        }
        if !is_from_here(request.headers()) {
            let message = "another page sent this";
            return Err(Refusal::new(StatusCode::FORBIDDEN, "foreign-page", message).help("open the bench itself"));
        }
        let Some(visitor) = self.visitor(request.headers()) else {
            let refusal = Refusal::new(
                StatusCode::UNAUTHORIZED,
                "no-session",
                "the bench doesn't know this browser",
            );
            return Err(refusal.help("open it by `glost open`: each start has a new way in; a phone is paired again"));
        };
        match *request.method() {
            Method::GET | Method::HEAD => Ok(Passed::On(visitor, request)),
            Method::POST => {
                let request = self.deed(visitor, request).await?;
                Ok(Passed::On(visitor, request))
            }
            _ => {
                let message = "only GET, HEAD and POST are known here";
                Err(Refusal::new(StatusCode::METHOD_NOT_ALLOWED, "bad-method", message))
            }
        }
    }

    /// The answer to whoever has the secret: a page that goes on, since a browser led
    /// here from outside would not send the cookie along yet.
    fn way_in(&self, request: &Request<Body>) -> Option<Response> {
        let said = request.uri().query()?.strip_prefix("once=")?;
        if request.uri().path() != "/" || !self.ways.know(said) {
            return None;
        }
        // Asking what is there, or fetching ahead, doesn't spend it.
        let looks_ahead = ["purpose", "sec-purpose", "x-moz"]
            .iter()
            .filter_map(|name| request.headers().get(*name)?.to_str().ok())
            .any(|purpose| purpose.contains("prefetch") || purpose.contains("preview"));
        if request.method() != Method::GET || looks_ahead {
            return Some(StatusCode::OK.into_response());
        }
        let (cookie, lasts) = self.ways.let_in(said)?;
        let lasts = lasts.map_or_else(String::new, |seconds| format!("; Max-Age={seconds}"));
        let cookie = format!("glost_{}={cookie}; Path=/; HttpOnly; SameSite=Strict{lasts}", self.port);
        let page = "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\"><title>Glost</title><link rel=\"icon\" href=\"data:,\">\
             <meta http-equiv=\"refresh\" content=\"0; url=/\"></head>\
             <body><main><h1>Glost</h1><p><a href=\"/\">To the bench</a></p></main></body></html>\n";
        let kind = "text/html; charset=utf-8".to_owned();
        Some(([(header::SET_COOKIE, cookie), (header::CONTENT_TYPE, kind)], page).into_response())
    }

    /// Whose cookie came along.
    fn visitor(&self, headers: &HeaderMap) -> Option<Visitor> {
        let name = format!("glost_{}=", self.port);
        headers
            .get_all(header::COOKIE)
            .iter()
            .filter_map(|cookies| cookies.to_str().ok())
            .flat_map(|cookies| cookies.split(';'))
            .filter_map(|cookie| cookie.trim().strip_prefix(name.as_str()))
            .find_map(|value| self.ways.visitor(value))
    }

    /// A request that does something: with its body, whole.
    async fn deed(&self, visitor: Visitor, request: Request<Body>) -> Result<Request<Body>, Refusal> {
        let headers = request.headers();
        if let Some(origin) = headers.get(header::ORIGIN)
            && !origin.to_str().is_ok_and(|origin| self.hosts.is_origin(origin))
        {
            let message = "another page sent this";
            return Err(Refusal::new(StatusCode::FORBIDDEN, "foreign-page", message));
        }
        let (said, kind) = media_type(headers);
        let is_program = headers.get(PROGRAM).is_some_and(|value| value == "1");
        let (is_json, is_form) = (kind == "application/json", kind == "application/x-www-form-urlencoded");
        let path = request.uri().path();
        let file = WITH_FILE
            .iter()
            .find(|(with_file, _)| kind == "multipart/form-data" && path == *with_file);
        if !(is_json || is_form || file.is_some()) {
            let message = format!("a body of `{kind}` isn't read here");
            let refusal = Refusal::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, "bad-media-type", message);
            return Err(refusal.help("send application/json, or a form"));
        }
        if is_json && !is_program {
            return Err(no_token());
        }
        let (mut parts, body) = request.into_parts();
        let most = MOST_BODY_BYTES + file.map_or(0, |(_, most)| *most);
        let bytes = whole(&parts.headers, body, most).await?;
        if is_json {
            return Ok(Request::from_parts(parts, Body::from(bytes)));
        }
        let form = if file.is_some() {
            let upload = Upload::read(&said, &bytes).ok_or_else(bad_form)?;
            let form = upload.form.clone();
            parts.extensions.insert(upload);
            form
        } else {
            std::str::from_utf8(&bytes)
                .ok()
                .and_then(Form::read)
                .ok_or_else(bad_form)?
        };
        let has_token = form.all("token").any(|token| same(token, self.tokens.of(visitor)));
        if !(has_token || is_program) {
            return Err(no_token());
        }
        parts.extensions.insert(form);
        Ok(Request::from_parts(parts, Body::from(bytes)))
    }
}

fn bad_form() -> Refusal {
    Refusal::new(StatusCode::BAD_REQUEST, "bad-form", "the form can't be read")
}

/// Whether no other page had a hand in it, as far as the browser tells.
fn is_from_here(headers: &HeaderMap) -> bool {
    headers
        .get_all(SITE)
        .iter()
        .all(|site| site == "same-origin" || site == "none")
}

fn no_token() -> Refusal {
    let refusal = Refusal::new(
        StatusCode::FORBIDDEN,
        "no-token",
        "this form isn't one of the bench's own",
    );
    refusal.help("open its page again; a program sends the header X-Glost: 1")
}

/// What kind of body it says it is: all of it, and without its options.
fn media_type(headers: &HeaderMap) -> (String, String) {
    let said = headers.get(header::CONTENT_TYPE).and_then(|kind| kind.to_str().ok());
    let said = said.unwrap_or("nothing said");
    let bare = said.split(';').next().unwrap_or(said);
    (said.to_owned(), bare.trim().to_ascii_lowercase())
}

async fn whole(headers: &HeaderMap, body: Body, most: usize) -> Result<Bytes, Refusal> {
    let too_large = || {
        let message = format!("this is larger than {} MB", most >> 20);
        Refusal::new(StatusCode::PAYLOAD_TOO_LARGE, "too-large", message)
    };
    let said = headers
        .get(header::CONTENT_LENGTH)
        .and_then(|length| length.to_str().ok()?.parse::<usize>().ok());
    if said.is_some_and(|length| length > most) {
        return Err(too_large());
    }
    match tokio::time::timeout(BODY_WITHIN, axum::body::to_bytes(body, most)).await {
        Ok(Ok(bytes)) => Ok(bytes),
        Ok(Err(_)) => Err(too_large()),
        Err(_) => {
            let message = "the body didn't come in time";
            Err(Refusal::new(StatusCode::REQUEST_TIMEOUT, "too-slow", message))
        }
    }
}
