//! What the host hands to a script, and the run that is under way.

use std::cell::RefCell;
use std::fmt;
use std::sync::{Arc, Mutex, PoisonError};

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::{FluxList, Glaze, Use};
use glost_chemistry::material::{Library, Material};
use glost_core::evidence::ware::Clay;
use glost_core::rules::{Finding, Level, LimitSet, Signature};
use glost_core::tiles::blend::AdditionSteps;
use glost_core::workshop::scales::Scales;
use rhai::EvalAltResult;

use crate::bounds::{self, Bounds};
use crate::notebook::StudioNotebook;
use crate::report::Report;
use crate::script::Script;
use crate::tables::GivenTable;
use crate::trouble::{Trouble, trouble};

/// What a script may look at.
#[derive(Debug, Clone, Default)]
pub struct Scene {
    /// All materials in sight.
    pub library: Arc<Library>,
    /// What counts as flux.
    pub fluxes: Arc<FluxList>,
    /// The clay that the glaze goes on.
    pub clay: Option<Arc<Clay>>,
    /// The use that was asked for; else the glaze's own counts.
    pub usage: Option<Use>,
    /// The studio's glazes, for tests and `run` scripts.
    pub glazes: Vec<Arc<Glaze>>,
    /// The studio's clays.
    pub clays: Vec<Arc<Clay>>,
    /// What the studio learnt from its pieces; `None` where none speak here.
    pub notebook: Option<Arc<StudioNotebook>>,
    /// The studio's name; empty where there is none.
    pub studio: String,
    /// Whether students work there.
    pub students: bool,
    /// The studio's currency.
    pub currency: Option<String>,
    /// The scales that recipes are weighed on.
    pub scales: Scales,
    /// Tables handed over to a `run` script.
    pub tables: Vec<Arc<GivenTable>>,
    /// Whether shipped materials may come into a recipe (only where there is no studio).
    pub shipped_may_come: bool,
    /// Where limits are looked up by name, for `materials.solve`.
    pub limits: Option<Arc<dyn LimitsDoor>>,
    /// What each run may use up; `None` for the usual bounds.
    pub bounds: Option<Bounds>,
    /// Where lines go that scripts print and no answer carries.
    pub printed: PrintedLines,
}

impl Scene {
    /// What each run may use up.
    pub(crate) fn bounds_of_a_run(&self) -> Bounds {
        self.bounds.unwrap_or_default()
    }
}

/// Lines that scripts printed, shared by all copies of a scene.
#[derive(Debug, Clone, Default)]
pub struct PrintedLines(Arc<Mutex<Vec<String>>>);

impl PrintedLines {
    /// Keeps some more.
    pub(crate) fn keep(&self, lines: impl IntoIterator<Item = String>) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).extend(lines);
    }

    /// Those since the last call of this.
    pub fn take(&self) -> Vec<String> {
        std::mem::take(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

/// Looks limits up by the name of their script.
pub trait LimitsDoor: fmt::Debug + Send + Sync {
    /// The ranges of a limits script for a glaze.
    ///
    /// # Errors
    /// No such script, one of another kind, or one that breaks.
    fn ranges(&self, name: &str, glaze: &Arc<Glaze>, scene: &Arc<Scene>) -> Result<LimitSet, Diagnostic>;
}

/// What was asked of a swap or a blend.
#[derive(Debug, Clone, Default)]
pub struct Request {
    /// The materials that are gone.
    pub out: Vec<Arc<Material>>,
    /// The only newcomers allowed; empty: by rule.
    pub with: Vec<Arc<Material>>,
    /// How many newcomers at most.
    pub at_most: Option<usize>,
    /// How many proposals.
    pub show: usize,
    /// How many tiles a line has, its ends included; steps per side elsewhere.
    pub steps: usize,
    /// Rows and columns of a grid; `None`: as many as there are steps.
    pub rows: Option<usize>,
    /// See `rows`.
    pub columns: Option<usize>,
    /// Additions in steps.
    pub add: Vec<AdditionSteps>,
    /// How many tiles; `None`: the design decides.
    pub tiles: Option<usize>,
    /// Name of the limits that tiles are held against.
    pub limits: Option<String>,
    /// Bounds on shares, as typed.
    pub within: Vec<String>,
}

/// A test that did not hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TestFailure {
    /// Line of the script, from 1.
    pub line: Option<usize>,
    /// What did not hold.
    pub message: String,
}

/// What a run asked the optimiser, all in all.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Solved {
    /// Questions.
    pub(crate) questions: usize,
    /// Recipes that were found.
    pub(crate) recipes: usize,
}

/// One run of one script.
pub(crate) struct Run {
    pub(crate) script: Arc<Script>,
    pub(crate) scene: Arc<Scene>,
    pub(crate) request: Arc<Request>,
    /// What its findings are signed with.
    pub(crate) signed: Arc<Signature>,
    pub(crate) findings: Vec<Finding>,
    pub(crate) printed: Vec<String>,
    pub(crate) failures: Vec<TestFailure>,
    /// How much a test claimed, held or not.
    pub(crate) claims: usize,
    /// Why the last question to the optimiser found nothing.
    pub(crate) why: Option<String>,
    /// Errors that the script caught, the last of them last.
    pub(crate) caught: Vec<Trouble>,
    /// What it asked the optimiser.
    pub(crate) solved: Solved,
    /// What a `run` script puts out.
    pub(crate) report: Report,
}

thread_local! {
    static RUNS: RefCell<Vec<Run>> = const { RefCell::new(Vec::new()) };
}

/// A run under way; it ends when dropped.
pub(crate) struct UnderWay;

impl UnderWay {
    pub(crate) fn begin(run: Run) -> UnderWay {
        RUNS.with_borrow_mut(|runs| runs.push(run));
        UnderWay
    }

    pub(crate) fn end(self) -> Option<Run> {
        std::mem::forget(self);
        RUNS.with_borrow_mut(Vec::pop)
    }
}

impl Drop for UnderWay {
    fn drop(&mut self) {
        RUNS.with_borrow_mut(Vec::pop);
    }
}

/// Looks at the present run.
pub(crate) fn present<R>(look: impl FnOnce(&mut Run) -> R) -> Result<R, Box<EvalAltResult>> {
    RUNS.with_borrow_mut(|runs| runs.last_mut().map(look))
        .ok_or_else(|| trouble("no-run", "no script is running"))
}

/// The scene of the present run.
pub(crate) fn scene() -> Result<Arc<Scene>, Box<EvalAltResult>> {
    present(|run| run.scene.clone())
}

/// Keeps a line that the script prints, while it fits.
pub(crate) fn print(text: &str) {
    if bounds::charge_output(text.len() + 1) {
        let _ = present(|run| run.printed.push(text.to_owned()));
    }
}

/// What a script says of a glaze.
#[derive(Debug, Clone)]
pub(crate) struct Saying {
    pub(crate) level: Level,
    pub(crate) subject: Arc<str>,
    pub(crate) message: Arc<str>,
    pub(crate) value: Option<f64>,
    pub(crate) low: Option<f64>,
    pub(crate) high: Option<f64>,
    pub(crate) line: Option<usize>,
}

/// Keeps a finding.
pub(crate) fn say(saying: Saying) -> Result<(), Box<EvalAltResult>> {
    bounds::charge_or_end(10)?;
    if !bounds::charge_output(saying.subject.len() + saying.message.len()) {
        return bounds::charge_or_end(1);
    }
    present(|run| {
        run.findings.push(Finding {
            script: run.script.told.script.clone(),
            level: saying.level,
            subject: saying.subject,
            value: saying.value,
            low: saying.low,
            high: saying.high,
            message: saying.message.into(),
            source: run.script.told.source.clone(),
            line: saying.line,
            signed: Some(run.signed.clone()),
            accepted: None,
            broke: None,
        });
    })
}
