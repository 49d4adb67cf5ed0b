//! What every page has: one heading, the doors, the line for the terminal.

use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use glost_page::bench::{Html, fields};
use glost_page::html;

use super::asking::Trouble;
use super::names::Names;
use crate::door::Visitor;

/// Doors that stand on every page.
const DOORS: [(&str, &str); 4] = [
    ("/mix", "Mix a bucket"),
    ("/look", "Look at pieces"),
    ("/kiln", "Kiln opened"),
    ("/more", "More"),
];

/// One page.
#[derive(Debug, Default)]
pub(crate) struct Page {
    heading: String,
    studio: String,
    visitor: Option<Visitor>,
    body: Html,
    same: Vec<String>,
    status: StatusCode,
}

impl Page {
    pub(crate) fn of(heading: impl Into<String>) -> Page {
        Page {
            heading: heading.into(),
            ..Page::default()
        }
    }

    /// Of a studio; files of it that can't be read are told on top.
    pub(crate) fn in_studio(mut self, names: &Names) -> Page {
        self.studio.clone_from(&names.studio);
        self.visitor = Some(names.visitor);
        if !names.broken.is_empty() {
            let told: Html = names.broken.iter().map(|told| told.shown()).collect();
            self.body.push(html!(
                "<section class=\"wrong\" role=\"alert\"><h2>Left out until it is mended</h2>{}\
                 <p>Everything else works.</p></section>",
                told
            ));
        }
        self
    }

    pub(crate) fn push(&mut self, more: Html) {
        self.body.push(more);
    }

    pub(crate) fn with(mut self, more: Html) -> Page {
        self.push(more);
        self
    }

    /// With the command that says the same.
    pub(crate) fn same(mut self, line: String) -> Page {
        self.same.push(line);
        self
    }

    /// With what went wrong.
    pub(crate) fn trouble(mut self, trouble: &Trouble) -> Page {
        self.push(trouble.shown());
        self.status = trouble.status();
        self
    }

    /// Of something that isn't there.
    pub(crate) fn missing(mut self) -> Page {
        self.status = StatusCode::NOT_FOUND;
        self
    }

    /// The same in the place of an answer that comes while a form is filled in.
    pub(crate) fn trouble_in_answer(mut self, trouble: &Trouble) -> Page {
        self.push(fields::answer(trouble.shown()));
        self.status = trouble.status();
        self
    }

    /// Pages refer to their own kind alone: under the header's `no-referrer` a browser
    /// would send their forms with an `Origin` of `null`, which is refused (Fetch, "append
    /// a request Origin header").
    fn markup(self) -> String {
        let own = if self.visitor == Some(Visitor::Class) {
            &DOORS[1..2]
        } else {
            &DOORS
        };
        let doors: Html = own
            .iter()
            .map(|(to, name)| html!("<li><a href=\"{}\">{}</a></li>", to, name))
            .collect();
        let studio = if self.studio.is_empty() {
            "The bench"
        } else {
            self.studio.as_str()
        };
        let title = match studio == self.heading {
            true => self.heading.clone(),
            false => format!("{} - {studio}", self.heading),
        };
        let is_at_a_terminal = self.visitor.is_none_or(|visitor| visitor == Visitor::Owner);
        let same: Html = self
            .same
            .iter()
            .filter(|_| is_at_a_terminal)
            .map(|line| html!("<p class=\"same\">At a terminal: <code>{}</code></p>", line))
            .collect();
        html!(
            "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\
             <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\
             <meta name=\"referrer\" content=\"same-origin\"><title>{}</title><link rel=\"stylesheet\" href=\"/bench.css\">\
             <link rel=\"icon\" href=\"/icon.svg\"><script src=\"/bench.js\" defer></script></head>\n<body>\
             <a class=\"skip\" href=\"#main\">To the content</a>\
             <header><a class=\"studio\" href=\"/\">{}</a><nav aria-label=\"Doors\"><ul>{}</ul></nav></header>\n\
             <main id=\"main\"><h1>{}</h1>\n{}</main>\n<footer>{}</footer></body></html>\n",
            title,
            studio,
            doors,
            self.heading,
            self.body,
            same,
        )
        .into_string()
    }
}

impl IntoResponse for Page {
    fn into_response(self) -> Response {
        let status = self.status;
        (
            status,
            [(header::CONTENT_TYPE, "text/html; charset=utf-8")],
            self.markup(),
        )
            .into_response()
    }
}
