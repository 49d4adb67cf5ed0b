//! A question that a page asks, and what came of it.

use axum::http::StatusCode;
use glost_chemistry::diagnostic::Diagnostic;
use glost_page::bench::{Html, capital, for_page};
use glost_page::html;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

use super::Bench;
use crate::door::Refusal;

/// A command with what is said to it.
#[derive(Debug, Clone)]
pub(crate) struct Asking {
    command: &'static str,
    said: Map<String, Value>,
}

impl Asking {
    pub(crate) fn of(command: &'static str) -> Asking {
        Asking {
            command,
            said: Map::new(),
        }
    }

    pub(crate) fn with(mut self, key: &str, value: impl Into<Value>) -> Asking {
        self.said.insert(key.to_owned(), value.into());
        self
    }

    /// With a value that may not be said.
    pub(crate) fn maybe(self, key: &str, value: Option<&str>) -> Asking {
        match value {
            Some(value) => self.with(key, value),
            None => self,
        }
    }

    /// With all values that are said.
    pub(crate) fn list<'a>(self, key: &str, values: impl IntoIterator<Item = &'a str>) -> Asking {
        let values: Vec<&str> = values
            .into_iter()
            .map(str::trim)
            .filter(|value| !value.is_empty())
            .collect();
        if values.is_empty() {
            self
        } else {
            self.with(key, values)
        }
    }
}

/// Why there is no answer.
#[derive(Debug)]
pub(crate) enum Trouble {
    /// The door's reasons: busy, too slow, booked already.
    Refused(Refusal),
    /// The command's.
    Told(Told),
    /// There is no studio yet.
    NotBegun,
}

/// A complaint as the contract has it.
#[derive(Debug, Clone, Default, Deserialize)]
pub(crate) struct Told {
    message: String,
    file: Option<String>,
    line: Option<usize>,
    help: Option<String>,
}

#[derive(Deserialize)]
struct Complaint {
    error: Told,
}

impl Told {
    pub(crate) fn of(why: &Diagnostic) -> Told {
        Told {
            message: why.message.clone(),
            file: why.place.as_ref().map(|place| place.file.to_string()),
            line: why.place.as_ref().map(|place| place.mark.line),
            help: why.help.clone(),
        }
    }

    /// What, where, and how to mend it.
    pub(crate) fn shown(&self) -> Html {
        let line = self.line.map_or_else(String::new, |line| format!(", line {line}"));
        // A rule of ours is no file of hers.
        let is_hers = |file: &&String| !file.ends_with(".rhai") || file.starts_with("scripts/");
        let place = self.file.as_ref().filter(is_hers);
        let place = place.map(|file| format!("In {file}{line}."));
        let message = Some(for_page(&self.message)).filter(|message| !message.is_empty());
        let help = self.help.as_deref().map(for_page).filter(|help| !help.is_empty());
        let paragraph = |text: Option<String>| text.map_or_else(Html::default, |text| html!("<p>{}</p>", text));
        html!(
            "<p><strong>{}</strong></p>{}{}",
            capital(message.as_deref().unwrap_or(&self.message)),
            paragraph(place),
            paragraph(help.map(|help| format!("To mend it: {help}"))),
        )
    }
}

impl Trouble {
    /// The complaint in an answer's JSON.
    pub(crate) fn of_answer(answer: &[u8]) -> Trouble {
        let complaint = serde_json::from_slice::<Complaint>(answer);
        Trouble::Told(complaint.map_or_else(|_| Told::default(), |complaint| complaint.error))
    }

    /// How a page says it.
    pub(crate) fn shown(&self) -> Html {
        let told = match self {
            Trouble::Refused(refusal) => Told::of(refusal.why()).shown(),
            Trouble::Told(told) => told.shown(),
            Trouble::NotBegun => {
                return html!(
                    "<p>There is no studio in this folder yet.</p><p><a href=\"/\">Begin with your first day</a></p>"
                );
            }
        };
        html!(
            "<section class=\"wrong\" role=\"alert\"><h2>That didn’t work</h2>{}</section>",
            told
        )
    }

    /// The status that goes with it.
    pub(crate) fn status(&self) -> StatusCode {
        match self {
            Trouble::Refused(refusal) => refusal.status(),
            Trouble::Told(_) | Trouble::NotBegun => StatusCode::OK,
        }
    }
}

impl Bench {
    /// Asks, and reads the answer's JSON.
    ///
    /// # Errors
    /// Why there is none.
    pub(crate) async fn ask<T: DeserializeOwned>(&self, asking: &Asking) -> Result<T, Trouble> {
        self.ask_raw(asking, None).await.and_then(|(_, answer)| read(&answer))
    }

    /// Asks for a deed: done once under its id.
    ///
    /// # Errors
    /// Why it isn't done; that it has no id.
    pub(crate) async fn do_once<T: DeserializeOwned>(
        &self,
        asking: &Asking,
        request: Option<&str>,
    ) -> Result<T, Trouble> {
        let Some(request) = request else {
            return Err(Trouble::Refused(unnumbered()));
        };
        self.ask_raw(asking, Some(request))
            .await
            .and_then(|(_, answer)| read(&answer))
    }

    /// As [`Bench::ask`], with whether the answer is no.
    ///
    /// # Errors
    /// Why there is none.
    pub(crate) async fn ask_whether<T: DeserializeOwned>(&self, asking: &Asking) -> Result<(bool, T), Trouble> {
        let (exit, answer) = self.ask_raw(asking, None).await?;
        Ok((exit == 1, read(&answer)?))
    }

    async fn ask_raw(&self, asking: &Asking, request: Option<&str>) -> Result<(u8, Vec<u8>), Trouble> {
        let mut body = asking.said.clone();
        if let Some(request) = request {
            body.insert("request".to_owned(), request.into());
        }
        let ran = self.caller.ask(asking.command, &body).await.map_err(Trouble::Refused)?;
        if ran.exit > 1
            && let Ok(complaint) = serde_json::from_slice::<Complaint>(&ran.answer)
        {
            return Err(Trouble::Told(complaint.error));
        }
        Ok((ran.exit, ran.answer))
    }

    /// Asks for the answer as it reads at a terminal.
    ///
    /// # Errors
    /// Why there is none.
    pub(crate) async fn ask_text(&self, asking: &Asking) -> Result<String, Trouble> {
        let ran = self
            .caller
            .ask_text(asking.command, &asking.said)
            .await
            .map_err(Trouble::Refused)?;
        if ran.exit > 1 && ran.answer.is_empty() {
            // Its complaint stands in the JSON.
            return Err(match self.ask_raw(asking, None).await {
                Err(trouble) => trouble,
                Ok(_) => Trouble::Told(Told::default()),
            });
        }
        Ok(String::from_utf8_lossy(&ran.answer).into_owned())
    }

    /// The command that says the same at a terminal.
    pub(crate) fn line(&self, asking: &Asking) -> String {
        self.caller.line(asking.command, &asking.said)
    }
}

/// A form of ours has an id, by which it is done once.
fn unnumbered() -> Refusal {
    let refusal = Refusal::new(
        StatusCode::BAD_REQUEST,
        "no-request",
        "this form has no number of its own",
    );
    refusal.help("open its page again and send it from there: by that number it is done once")
}

fn read<T: DeserializeOwned>(answer: &[u8]) -> Result<T, Trouble> {
    serde_json::from_slice(answer).map_err(|why| {
        Trouble::Told(Told {
            message: format!("the answer can’t be read: {why}"),
            help: Some("this is our fault, not yours; please report it".to_owned()),
            ..Told::default()
        })
    })
}
