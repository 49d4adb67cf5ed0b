//! Routes and the pages behind them: what is asked, and its answer in HTML. Pages read
//! the contract's JSON, as any program outside does; nothing is computed here.

mod asking;
mod begun;
mod booked;
mod checks;
mod clocks;
mod counts;
mod files;
mod first_day;
mod fitting;
mod frame;
mod glazes;
mod home;
mod jar;
mod kiln;
mod label;
mod load;
mod look;
mod mix;
pub(crate) mod names;
mod pairing;
mod photos;
mod plans;
mod recipes;
mod sheets;
mod shelf;
pub(crate) mod styles;
mod tables;
mod trial;

pub use files::ICON;

use std::convert::Infallible;
use std::path::PathBuf;
use std::sync::{Arc, Mutex};

use axum::Router;
use axum::extract::FromRequestParts;
use axum::http::StatusCode;
use axum::http::request::Parts;
use axum::response::Redirect;
use axum::routing::{MethodRouter, get, post};
use glost_page::bench::Seal;

use crate::api::{self, Caller};
use crate::door::{Form, Phones, Refusal, Visitor, secret};
use crate::keeping::Keeping;

/// What every page is made from.
#[derive(Debug)]
pub(crate) struct Bench {
    /// The studio's folder.
    pub(crate) folder: PathBuf,
    /// Who sees these pages.
    pub(crate) visitor: Visitor,
    /// The door for phones, where there is one.
    pub(crate) phones: Option<Arc<Phones>>,
    /// What every form carries.
    pub(crate) token: String,
    /// Who asks.
    pub(crate) caller: Caller,
    /// What is kept outside the folder.
    pub(crate) keeping: Keeping,
    /// Names as they were read last, for all visitors.
    pub(crate) read: Arc<names::Read>,
    /// Styles of sheets to print.
    pub(crate) styles: styles::Styles,
    /// What was noted here since it was opened, by ids: a pupil takes back no other.
    pub(crate) noted: Mutex<Vec<String>>,
}

impl Bench {
    /// What a form that does something carries.
    pub(crate) fn seal(&self) -> Seal {
        // Without random numbers there would be no session, and no form.
        let request = secret().unwrap_or_else(|_| String::new());
        Seal {
            token: self.token.clone(),
            request: request[..request.len().min(32)].to_owned(),
        }
    }

    /// Whether the folder is a studio already.
    pub(crate) fn is_begun(&self) -> bool {
        self.folder.join("studio.yaml").is_file()
    }
}

/// What was filled in: a form's body, else the address.
pub(crate) struct Said(pub(crate) Form);

impl<S: Sync> FromRequestParts<S> for Said {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Said, Infallible> {
        let sent = parts.extensions.get::<Form>().cloned();
        let asked = || Form::read(parts.uri.query().unwrap_or(""));
        // An address that can't be read asks nothing.
        Ok(Said(sent.or_else(asked).unwrap_or_else(Form::nothing)))
    }
}

/// What a visitor finds: a page that isn't theirs isn't there.
pub(crate) fn routes(bench: Arc<Bench>) -> Router {
    let rooms = match bench.visitor {
        Visitor::Owner => for_all().merge(at_the_bench()).merge(at_the_machine()),
        Visitor::Phone => for_all().merge(at_the_bench()),
        Visitor::Class => for_all(),
    };
    let api = match bench.visitor {
        Visitor::Owner => api::routes(bench.caller.clone()),
        Visitor::Phone | Visitor::Class => Router::new(),
    };
    rooms
        .fallback(async || Refusal::new(StatusCode::NOT_FOUND, "no-page", "there is no such page").help("go to /"))
        .method_not_allowed_fallback(another_method)
        .with_state(bench)
        .merge(api)
}

/// What only a form does: whoever comes back to its address, as a tab that is opened again,
/// is led to its door.
fn deed(done: MethodRouter<Arc<Bench>>, door: &'static str) -> MethodRouter<Arc<Bench>> {
    done.get(async move || Redirect::to(door))
}

async fn another_method() -> Refusal {
    let refusal = Refusal::new(StatusCode::METHOD_NOT_ALLOWED, "bad-method", "this page takes no form");
    refusal.help("go to /")
}

/// Looking, and what pages are drawn with.
fn for_all() -> Router<Arc<Bench>> {
    Router::new()
        .route("/", get(home::home))
        .route("/look", get(look::look).post(look::noted))
        .route("/look/back", deed(post(look::taken_back), "/look"))
        .route("/photo/{name}", get(photos::photo))
        .route("/bench.css", get(files::style))
        .route("/bench.js", get(files::script))
        .route("/icon.svg", get(files::icon))
}

/// Mixing, firing, reading: no prices, no scripts, no settings.
fn at_the_bench() -> Router<Arc<Bench>> {
    Router::new()
        .route("/more", get(home::more))
        .route("/mix", get(mix::mix).post(mix::booked))
        .route("/mix/kept", deed(post(mix::kept), "/mix"))
        .route("/clock", deed(post(clocks::start), "/"))
        .route("/clock/stop", deed(post(clocks::stop), "/"))
        .route("/label", get(label::label))
        .route("/print/{name}", get(label::style))
        .route("/due.ics", get(look::calendar))
        .route("/kiln", get(kiln::kiln))
        .route("/kiln/loaded", deed(post(load::loaded), "/kiln"))
        .route("/kiln/opened", deed(post(kiln::opened), "/kiln"))
        .route("/kiln/back", deed(post(kiln::taken_back), "/kiln"))
        .route("/glazes", get(glazes::glazes))
        .route("/glaze/{name}", get(glazes::glaze))
        .route("/plan", get(plans::plan).post(plans::graded))
        .route("/plan/sheet", deed(post(plans::sheet), "/tiles"))
        .route("/clay", get(sheets::clay))
        .route("/rescue", get(sheets::rescue))
        .route("/recall", get(sheets::recall))
        .route("/batches", get(booked::batches))
}

/// What changes recipes, prices and rules, or runs scripts.
fn at_the_machine() -> Router<Arc<Bench>> {
    Router::new()
        .route("/start", deed(post(first_day::made), "/"))
        .route("/mix/water", deed(post(mix::water), "/mix"))
        .route("/glazes", post(glazes::added))
        .route("/glaze/{name}", post(glazes::checked))
        .route("/shelf", get(shelf::shelf).post(shelf::added))
        .route("/shelf/set", deed(post(shelf::set), "/shelf"))
        .route("/shelf/bring", deed(post(tables::looked_at), "/shelf"))
        .route("/shelf/brought", deed(post(tables::taken_in), "/shelf"))
        .route("/rules", get(checks::rules))
        .route("/rules/set", deed(post(checks::settled), "/rules"))
        .route("/rule/{*name}", get(checks::rule).post(checks::run))
        .route("/missing", get(recipes::missing).post(recipes::gone))
        .route("/missing/lot", deed(post(recipes::lot), "/missing"))
        .route("/change", get(recipes::change).post(recipes::changed))
        .route("/tiles", get(sheets::tiles).post(sheets::planned))
        .route("/tiles/try", deed(post(trial::tried), "/tiles"))
        .route("/cost", get(sheets::cost))
        .route("/phones", get(pairing::phones).post(pairing::forgotten))
        .route("/phones/initials", deed(post(pairing::wiped), "/phones"))
}
