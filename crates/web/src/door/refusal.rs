//! What a request is refused with.

use axum::body::Body;
use axum::http::{Response, StatusCode, header};
use axum::response::{IntoResponse, Response as Answer};
use glost_chemistry::diagnostic::Diagnostic;
use glost_page::bench::capital;
use glost_page::sheet::escape;

/// Why a request goes no further.
#[derive(Debug, Clone)]
pub(crate) struct Refusal {
    status: StatusCode,
    why: Diagnostic,
    as_json: bool,
}

impl Refusal {
    pub(crate) fn new(status: StatusCode, code: &'static str, message: impl Into<String>) -> Refusal {
        Refusal {
            status,
            why: Diagnostic::error(code, message),
            as_json: false,
        }
    }

    /// What to do instead.
    pub(crate) fn help(mut self, help: impl Into<String>) -> Refusal {
        self.why = self.why.help(help);
        self
    }

    /// As JSON for a program, else as a page.
    pub(crate) fn in_json(self, as_json: bool) -> Refusal {
        Refusal { as_json, ..self }
    }

    /// The status that goes with it.
    pub(crate) fn status(&self) -> StatusCode {
        self.status
    }

    /// What is wrong.
    pub(crate) fn why(&self) -> &Diagnostic {
        &self.why
    }

    /// A failure to keep what has to be kept.
    pub(crate) fn of(status: StatusCode, why: Diagnostic) -> Refusal {
        Refusal {
            status,
            why,
            as_json: false,
        }
    }
}

impl IntoResponse for Refusal {
    fn into_response(self) -> Answer {
        let (kind, text) = if self.as_json {
            let json = glost_page::diagnostic::json(&self.why).to_string();
            ("application/json", json + "\n")
        } else {
            let help = self.why.help.as_deref().unwrap_or("");
            let page = format!(
                "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\">\
                 <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\
                 <title>Glost: not this way</title></head><body><main><h1>{}</h1><p>{}</p></main></body></html>\n",
                escape(&capital(&self.why.message)),
                escape(&capital(help)),
            );
            ("text/html; charset=utf-8", page)
        };
        let mut response = Response::new(Body::from(text));
        *response.status_mut() = self.status;
        response
            .headers_mut()
            .insert(header::CONTENT_TYPE, header::HeaderValue::from_static(kind));
        response
    }
}
