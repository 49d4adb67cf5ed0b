//! Clocks on the server: they run on while a phone sleeps and while the bench is closed.

use std::sync::Arc;
use std::time::{SystemTime, UNIX_EPOCH};

use axum::extract::State;
use axum::http::StatusCode;
use glost_chemistry::diagnostic::Diagnostic;
use glost_page::bench::Html;
use glost_page::bench::clocks::{self, Clock};
use glost_page::html;
use serde::{Deserialize, Serialize};

use super::asking::Trouble;
use super::frame::Page;
use super::{Bench, Said};
use crate::door::{Refusal, secret};

/// The file that they are kept in, outside the studio's folder.
const FILE: &str = "clocks.json";
/// Older ones give way.
const MOST: usize = 12;
/// The longest: a week.
const MOST_MINUTES: u64 = 7 * 24 * 60;
/// One that is over so long is forgotten.
const FORGOTTEN_AFTER: i64 = 24 * 3600;

/// One that was started.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
struct Started {
    id: String,
    what: String,
    /// When it ends, in seconds since 1970.
    ends: i64,
}

#[allow(
    clippy::disallowed_methods,
    reason = "no day that a user reads: how long something soaks"
)]
fn now() -> i64 {
    // Before 1970 every clock has its whole time.
    let since = SystemTime::now().duration_since(UNIX_EPOCH);
    since.map_or(0, |since| i64::try_from(since.as_secs()).unwrap_or(i64::MAX))
}

impl Bench {
    fn started(&self) -> Vec<Started> {
        // Clocks that can't be read are clocks to start again.
        let kept = self.keeping.kept(FILE);
        let all: Option<Vec<Started>> = kept.and_then(|kept| serde_json::from_slice(&kept).ok());
        let now = now();
        let all = all.into_iter().flatten();
        all.filter(|clock| now - clock.ends < FORGOTTEN_AFTER).collect()
    }

    /// All that run, or are just over.
    pub(crate) fn clocks(&self) -> Vec<Clock> {
        let now = now();
        let clock = |started: Started| Clock {
            id: started.id,
            what: started.what,
            seconds: started.ends - now,
        };
        self.started().into_iter().map(clock).collect()
    }

    /// The clocks as a page shows them.
    pub(crate) fn clocks_shown(&self) -> Html {
        clocks::running(&self.clocks(), || self.seal())
    }

    fn keep_clocks(&self, mut all: Vec<Started>) -> Result<(), Trouble> {
        all.truncate(MOST);
        let refused = |why| Trouble::Refused(Refusal::of(StatusCode::SERVICE_UNAVAILABLE, why));
        let bytes = serde_json::to_vec(&all)
            .map_err(|why| refused(Diagnostic::error("our-fault", format!("clocks can't be kept: {why}"))))?;
        self.keeping.keep(FILE, &bytes).map_err(refused)
    }
}

/// Starts one; the same form twice starts one clock.
pub(crate) async fn start(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let minutes = said.text("minutes").and_then(|text| text.parse::<u64>().ok());
    let minutes = minutes.filter(|minutes| (1..=MOST_MINUTES).contains(minutes));
    let (Some(what), Some(minutes)) = (said.text("what"), minutes) else {
        return Page::of("Clocks").with(html!(
            "<p>How long, and what for, wasn’t said. <a href=\"/\">To the bench</a></p>"
        ));
    };
    let mut all = bench.started();
    let id = match said.text("request").map(str::to_owned) {
        Some(request) => request,
        None => secret().map_or_else(|_| what.to_owned(), |secret| secret[..16].to_owned()),
    };
    if all.iter().all(|clock| clock.id != id) {
        all.insert(
            0,
            Started {
                id,
                what: what.to_owned(),
                ends: now() + i64::try_from(minutes * 60).unwrap_or(i64::MAX),
            },
        );
    }
    shown(&bench, all, said.text("back")).await
}

/// Stops one.
pub(crate) async fn stop(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let mut all = bench.started();
    all.retain(|clock| Some(clock.id.as_str()) != said.text("id"));
    shown(&bench, all, None).await
}

async fn shown(bench: &Bench, all: Vec<Started>, back: Option<&str>) -> Page {
    let page = match bench.names().await {
        Ok(names) => Page::of("Clocks").in_studio(&names),
        Err(_) => Page::of("Clocks"),
    };
    if let Err(trouble) = bench.keep_clocks(all) {
        return page.trouble(&trouble);
    }
    let clocks = bench.clocks_shown();
    let clocks = if clocks.is_empty() {
        html!("<p class=\"answer\" role=\"status\">No clock runs.</p>")
    } else {
        clocks
    };
    let back = match back {
        Some("/clay") => html!("<a href=\"/clay\">Clay bars</a> · "),
        Some(ticket) if ticket.starts_with("/mix?") => html!("<a href=\"{}\">To the ticket</a> · ", ticket),
        _ => Html::default(),
    };
    page.with(clocks)
        .with(html!("<p>{}<a href=\"/\">To the bench</a></p>", back))
}
