//! The script's part: which tiles, between which ends.

use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, none_called, suggestion};
use glost_chemistry::glaze::Glaze;
use glost_core::rules::Signature;
use glost_core::tiles::blend::{AdditionSteps, MOST_TILES, Shape, Shares, Spacing, check_codes, check_ends, codes};
use glost_script::{Kind, Request, Scene, Script};
use glost_studio::FoundEnd;

use super::Question;
use crate::rulebook::Rulebook;
use crate::{Desk, Failure, lookup};

/// Tiles of a line, steps of a side, where none are said.
const USUAL_STEPS: usize = 5;

/// What the script planned, with codes.
pub(super) struct Design {
    pub(super) ends: Vec<Glaze>,
    pub(super) tiles: Vec<(String, Shares)>,
    pub(super) shape: Shape,
    pub(super) rows: Vec<usize>,
    pub(super) notes: Vec<String>,
    pub(super) signed: Arc<Signature>,
}

pub(super) fn design(
    question: &Question,
    desk: &Desk,
    book: &Rulebook,
    scene: &Arc<Scene>,
    ends: &[FoundEnd],
) -> Result<Design, Failure> {
    let glazes: Vec<Arc<Glaze>> = ends.iter().map(|end| Arc::new(end.glaze.clone())).collect();
    let named: Vec<Glaze> = ends.iter().map(|end| end.glaze.clone()).collect();
    check_ends(&named)?;
    let script = script(question, desk, book)?;
    let settings = book.settings_of(&script, &question.set)?;
    let planned = script.blend(&glazes, request(question, scene)?, scene, &settings);
    desk.printed(book.printed.take());
    let planned = planned?;
    let count = planned.tiles().count();
    if count > MOST_TILES {
        return Err(too_many(count).into());
    }
    let ends: Vec<Glaze> = match &planned.ends {
        Some(own) => own.iter().map(|end| Glaze::clone(end)).collect(),
        None => named,
    };
    check_ends(&ends)?;
    let rows: Vec<usize> = planned.rows.iter().map(Vec::len).collect();
    let tiles: Vec<(String, Shares)> = planned
        .tiles()
        .zip(codes(&rows))
        .map(|(tile, code)| (tile.code.clone().unwrap_or(code), tile.shares.clone()))
        .collect();
    check_codes(tiles.iter().map(|tile| tile.0.as_str()))?;
    Ok(Design {
        ends,
        tiles,
        shape: planned.shape,
        rows,
        notes: planned.notes,
        signed: script.signature(&settings)?,
    })
}

fn request(question: &Question, scene: &Scene) -> Result<Request, Diagnostic> {
    counts_fit(question)?;
    let add: Vec<AdditionSteps> = question
        .add
        .iter()
        .map(|text| {
            AdditionSteps::parse(text, &scene.library).map_err(|why| Diagnostic {
                message: format!("--add: {}", why.message),
                ..why
            })
        })
        .collect::<Result<_, _>>()?;
    for (steps, text) in add.iter().zip(&question.add) {
        let chosen = steps.percents.len();
        if steps.spacing == Spacing::Chosen && question.steps.is_some_and(|asked| asked != chosen) {
            return Err(Diagnostic::error(
                "bad-call",
                format!("--add names {chosen} steps (`{text}`), --steps another number"),
            )
            .help("leave --steps out, or name the least and the most: \"silica 0..9 %\""));
        }
    }
    let with = question
        .with
        .iter()
        .map(|name| lookup::material(&scene.library, "with", name))
        .collect::<Result<_, _>>()?;
    Ok(Request {
        with,
        tiles: question.tiles,
        limits: question.limits.clone(),
        within: question.within.clone(),
        steps: question.steps.unwrap_or(USUAL_STEPS),
        rows: question.rows,
        columns: question.columns,
        add,
        ..Request::default()
    })
}

fn counts_fit(question: &Question) -> Result<(), Diagnostic> {
    for (asked, what) in [
        (question.steps, "steps"),
        (question.rows, "rows"),
        (question.columns, "columns"),
        (question.tiles, "tiles"),
    ] {
        if let Some(count) = asked.filter(|count| *count > MOST_TILES) {
            let message = format!("--{what} {count} is more than one plan holds");
            return Err(Diagnostic::error("too-many-tiles", message).help(format!(
                "a plan has {MOST_TILES} tiles at most; 5 to 25 answer most questions"
            )));
        }
    }
    Ok(())
}

fn too_many(count: usize) -> Diagnostic {
    Diagnostic::error("too-many-tiles", format!("that makes {count} tiles"))
        .help(format!("a plan has {MOST_TILES} tiles at most; take fewer steps"))
}

fn script(question: &Question, desk: &Desk, book: &Rulebook) -> Result<Arc<Script>, Failure> {
    if let Some(name) = &question.script {
        return book.script(desk.workplace(), name);
    }
    let name = format!("blend/{}", question.kind);
    let why = match book.store.find(&name) {
        Ok(script) => return Ok(script),
        Err(why) => why,
    };
    // A design that does not load says why; one that is not there, what is.
    if book.store.names().contains(&name.as_str()) {
        return Err(why.into());
    }
    let designs: Vec<String> = book
        .store
        .of_kind(Kind::BLEND)
        .scripts
        .iter()
        .map(|script| script.name.trim_start_matches("blend/").to_owned())
        .collect();
    let message = none_called("blend", &question.kind);
    Err(Diagnostic::error("unknown-design", message)
        .maybe_help(suggestion(&question.kind, designs.iter().map(String::as_str)))
        .into())
}
