//! A glaze on a clay: what the pieces there say, by core's window.

use std::sync::Arc;

use glost_core::evidence::window::{Asking, Band90, Edge, FitPlace, FitSaid, clay_knowledge, place_in_window};
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString};

use crate::bounds;
use crate::scene;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::tongue::words_of;

use super::clay::clay_from;
use super::{GlazeValue, no_such_name, or_nothing};

type Raised = Box<EvalAltResult>;

/// Steps that one window counts for.
const WINDOW_STEPS: u64 = 2_000;

/// A glaze's place in a clay's window, as scripts see it.
#[derive(Debug, Clone)]
pub(crate) struct FitValue(Arc<Body>);

#[derive(Debug)]
struct Body {
    glaze: String,
    clay: String,
    /// What is said of the clay's own numbers.
    clay_said: Vec<FitSaid>,
    place: FitPlace,
}

/// A median with its band, as scripts see it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BandValue(Band90);

/// Learns the window of a clay, given by name or as a value, for a glaze.
fn fit(glaze: &GlazeValue, clay: &Dynamic) -> Result<FitValue, Raised> {
    bounds::charge_or_end(WINDOW_STEPS)?;
    let clay = clay_from(clay)?;
    let scene = scene::scene()?;
    let notebook = scene.notebook.clone().unwrap_or_default();
    let book = notebook.as_asked(&scene.fluxes);
    Ok(FitValue(Arc::new(Body {
        glaze: glaze.name().to_owned(),
        clay: clay.0.name.clone(),
        clay_said: clay_knowledge(&clay.0).1,
        place: place_in_window(&book, glaze.recipe(), &clay.0, &Asking::default()),
    })))
}

impl Body {
    /// How many of the glaze's own pieces were looked at, and how many failed.
    fn own(&self, edge: Edge) -> (u64, u64) {
        self.place.own().map_or((0, 0), |own| own.counted(edge))
    }

    fn assumptions(&self) -> Vec<FitSaid> {
        let place = &self.place;
        let departures = place.window.settings.departures.iter().cloned();
        let more = place.belief.said.iter().chain(&self.clay_said).cloned();
        let said = place.said().into_iter().chain(more);
        said.chain(departures.map(FitSaid::Departure)).collect()
    }
}

fn texts<T: Into<ImmutableString>>(items: impl IntoIterator<Item = T>) -> Array {
    let texts = items.into_iter().map(Into::into);
    texts.map(|text: ImmutableString| Dynamic::from(text)).collect()
}

pub(super) fn register(shelf: &mut Shelf) {
    shelf.module.set_custom_type::<FitValue>(Sort::Fit.words());
    shelf.module.set_custom_type::<BandValue>(Sort::Band.words());
    shelf.add(
        Entry::method(
            Sort::Glaze,
            "fit",
            "clay",
            Sort::Fit,
            "What the pieces on a clay, given by name or as a value, say about this glaze there; by `glost fit`'s model, at the glaze's own firing.",
        )
        .example("glaze.fit(glaze.clay)"),
        |glaze: &mut GlazeValue, clay: Dynamic| fit(glaze, &clay),
    );
    names(shelf);
    verdicts(shelf);
    counts(shelf);
    band(shelf);
    shelf.silent(
        "index$get$",
        |_: &mut FitValue, name: &str| -> Result<Dynamic, Raised> {
            Err(no_such_name(Sort::Fit, name, crate::reference::names_of(Sort::Fit)))
        },
    );
    shelf.silent(
        "index$get$",
        |_: &mut BandValue, name: &str| -> Result<Dynamic, Raised> {
            Err(no_such_name(Sort::Band, name, crate::reference::names_of(Sort::Band)))
        },
    );
}

fn names(shelf: &mut Shelf) {
    let mut text = |name: &'static str, about: &'static str, of: fn(&Body) -> String| {
        shelf.add(
            Entry::property(Sort::Fit, name, Sort::Text, about),
            move |fit: &mut FitValue| ImmutableString::from(of(&fit.0)),
        );
    };
    text("glaze", "The glaze's name.", |body| body.glaze.clone());
    text("clay", "The clay's name.", |body| body.clay.clone());
    text(
        "firing",
        "The firing whose pieces are pooled: a name, \"cone 6\" or \"no firing said\".",
        |body| body.place.kiln.words(),
    );
    text(
        "zone_craze",
        "\"crazes\", \"expect crazing\", \"unsure\", \"untried\", \"so far\" or \"held\", for the glaze's own use; nothing held for ever.",
        |body| body.place.zone(Edge::Craze).word(Edge::Craze).to_owned(),
    );
    text(
        "zone_shiver",
        "\"held\", \"unsure\" or \"expect shivering\"; slivers are sharp.",
        |body| body.place.zone(Edge::Shiver).word(Edge::Shiver).to_owned(),
    );
}

fn verdicts(shelf: &mut Shelf) {
    let mut edge = |name: &'static str, about: &'static str, edge: Edge| {
        shelf.add(
            Entry::property(Sort::Fit, name, Sort::Band, about),
            move |fit: &mut FitValue| BandValue(fit.0.place.window.edge(edge).band()),
        );
    };
    edge(
        "craze_threshold",
        "The expansion from which glazes craze on this clay, 1e-6/K of the default model, with its 90 % band.",
        Edge::Craze,
    );
    edge(
        "shiver_floor",
        "The expansion below which glazes shiver on this clay, 1e-6/K of the default model, with its 90 % band.",
        Edge::Shiver,
    );
    shelf.add(
        Entry::property(
            Sort::Fit,
            "p_craze",
            Sort::Number,
            "The chance, 0 to 1, that a piece crazes within three years.",
        ),
        |fit: &mut FitValue| fit.0.place.chance(Edge::Craze),
    );
    shelf.add(
        Entry::property(
            Sort::Fit,
            "p_shiver",
            Sort::Number,
            "The chance, 0 to 1, that a piece shivers.",
        ),
        |fit: &mut FitValue| fit.0.place.chance(Edge::Shiver),
    );
    shelf.add(
        Entry::property(
            Sort::Fit,
            "expansion",
            Sort::Number,
            "The glaze's expansion, 1e-6/K, computed or as printed on its bag; `()` where nobody tells.",
        ),
        |fit: &mut FitValue| or_nothing(fit.0.place.belief.believed.expansion()),
    );
}

fn counts(shelf: &mut Shelf) {
    let mut count = |name: &'static str, about: &'static str, of: fn(&Body) -> u64| {
        shelf.add(
            Entry::property(Sort::Fit, name, Sort::Number, about),
            move |fit: &mut FitValue| of(&fit.0) as i64,
        );
    };
    count(
        "looked_at",
        "How many pieces on this clay at this firing were counted, of all glazes; 0: no piece speaks, only common practice.",
        |body| body.place.window.pieces_looked_at(),
    );
    count(
        "pieces",
        "How many of the glaze's own pieces were looked at for crazing.",
        |body| body.own(Edge::Craze).0,
    );
    count("crazed", "How many of its own pieces were crazed.", |body| {
        body.own(Edge::Craze).1
    });
    count("shivered", "How many of its own pieces had shivered.", |body| {
        body.own(Edge::Shiver).1
    });
    shelf.add(
        Entry::property(
            Sort::Fit,
            "glazes",
            Sort::List(&Sort::Text),
            "The glazes whose pieces were counted, in the notebook's order.",
        ),
        |fit: &mut FitValue| {
            let witnesses = fit.0.place.window.witnesses.iter();
            texts(witnesses.map(|witness| witness.glaze.as_str()))
        },
    );
    shelf.add(
        Entry::property(
            Sort::Fit,
            "contradictions",
            Sort::List(&Sort::Text),
            "Notes that can't all be right, a sentence each.",
        ),
        |fit: &mut FitValue| texts(fit.0.place.contradictions.iter().map(words_of)),
    );
    shelf.add(
        Entry::property(
            Sort::Fit,
            "assumptions",
            Sort::List(&Sort::Text),
            "What was taken for granted, a sentence each.",
        ),
        |fit: &mut FitValue| texts(fit.0.assumptions().iter().map(words_of)),
    );
}

fn band(shelf: &mut Shelf) {
    let mut value = |name: &'static str, about: &'static str, of: fn(&Band90) -> f64| {
        shelf.add(
            Entry::property(Sort::Band, name, Sort::Number, about),
            move |band: &mut BandValue| of(&band.0),
        );
    };
    value("median", "Half lies below it.", |band| band.median);
    value("low", "5 % lie below it.", |band| band.low);
    value("high", "95 % lie below it.", |band| band.high);
}
