//! What the tiles taught: which blend is best, how sure that is, which tile to make next.

mod json;
mod lowering;
mod recipe;
mod table;
mod table_file;
mod taught;
mod trouble;
mod words;

use std::path::PathBuf;
use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::{Grams, parse_number};
use glost_core::tiles::blend::SavedTile;
use glost_core::tiles::mixture::{self, Goal, MixtureModel, learn};

use crate::{Desk, Failure, PageFile, Words};

use lowering::Lowering;
use table::Plans;

pub use lowering::{AgeSeen, LessensBy};
pub use recipe::BestRecipe;
pub use table_file::{MOST_ENDS, MOST_TILES, read_tiles};
pub use taught::{Coefficients, ModelWhy, Taught};
pub use words::{TaughtWord, TilesSaid};

/// Tiles advised at most: more are a plan of their own.
const MOST_NEXT: usize = 30;
/// Tiles advised unless said.
const NEXT: &str = "3";
/// What the best blend is weighed for, unless said.
const DRY: &str = "100 g";

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Where the tiles stand.
    pub tiles: Tiles,
    /// The model asked for; none: what several say together, or the one that best
    /// foretells tiles left out.
    pub model: Option<MixtureModel>,
    /// What is wanted; none: the least of a fault, the most of anything else.
    pub goal: Option<Goal>,
    /// Of two ends, the one whose rise lessens the fault that was counted.
    pub lowers: Option<String>,
    /// Whether the fitted model is shown too.
    pub details: bool,
    /// How many tiles to advise.
    pub next: usize,
    /// Base to weigh the best blend for.
    pub dry: Grams,
    /// Where the map goes.
    pub page: Option<PageFile>,
}

/// Where graded tiles stand.
#[derive(Debug, Clone, PartialEq)]
pub enum Tiles {
    /// In a table.
    Table {
        /// The file.
        data: PathBuf,
        /// Its columns with the shares.
        shares: Vec<String>,
        /// Its column with the result.
        value: String,
        /// Its column that is alike where tiles were fired together.
        fired_together: Option<String>,
    },
    /// In saved plans and the notebook.
    Plans {
        /// The plans' names, of the same ends.
        plans: Vec<String>,
        /// What was noted: a graded property, crazed or shivered.
        grade: Option<String>,
    },
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let dry = words.or("dry", DRY).weight("dry")?;
        let page = words.page("page")?;
        let next = words.or("next", NEXT).count("next")?;
        if next > MOST_NEXT {
            return Err(Diagnostic::error(
                "bad-option",
                format!("--next: {next} tiles at once are more than the {MOST_NEXT} advised"),
            )
            .help("for a whole plan: `glost blend`"));
        }
        Ok(Question {
            tiles: Tiles::from_words(words)?,
            model: model(words)?,
            goal: words.text("goal").map(goal).transpose()?,
            lowers: words.owned("lowers"),
            details: words.flag("details"),
            next,
            dry,
            page,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let workplace = desk.workplace();
        let plans = Plans::of(&self.tiles, workplace)?;
        let (table, mut said) = table::read(&self.tiles, workplace, &plans)?;
        let goal = self.goal.unwrap_or(if table.counts_a_fault() {
            Goal::Least
        } else {
            Goal::Most
        });
        let tiles: Vec<&SavedTile> = plans.named().flat_map(|plan| &plan.tiles).collect();
        let lowering = lowering::lowering(self, workplace, &tiles, &table, goal)?;
        let question = mixture::Question {
            ends: table.ends.len(),
            model: self.model,
            goal,
            next: self.next,
            ladder: lowering.as_ref().map(|lowering| lowering.question(&table)),
        };
        let lesson = learn(&table.outcomes, &question).map_err(|why| trouble::no_lesson(&table, &why))?;
        let glaze = recipe::best_glaze(workplace, &plans, &table.ends, &lesson.best.shares, &mut said);
        let recipe = glaze.and_then(|glaze| recipe::to_weigh(workplace, glaze, self.dry, &mut said));
        let age = lowering::age(workplace, &table, &lesson);
        Ok(Answer {
            taught: Arc::new(Taught {
                ends: table.ends,
                value: table.value,
                goal,
                outcomes: table.outcomes,
                names: table.names,
                waiting: table.waiting,
                age,
                lowering: lowering.as_ref().map(Lowering::words),
                details: self.details,
                lesson,
                recipe,
                assumptions: said,
            }),
            page: self.page.clone(),
        })
    }
}

impl Tiles {
    fn from_words(words: &Words) -> Result<Tiles, Diagnostic> {
        let Some(data) = words.text("data") else {
            let plans = words.list("plans").to_vec();
            if plans.is_empty() {
                words.required("plans")?;
            }
            return Ok(Tiles::Plans {
                plans,
                grade: words.owned("grade"),
            });
        };
        let shares = words.list("shares").iter().flat_map(|names| names.split(','));
        Ok(Tiles::Table {
            data: PathBuf::from(data),
            shares: shares.map(|name| name.trim().to_owned()).collect(),
            value: words.required("value")?.trim().to_owned(),
            fired_together: words.text("fired-together").map(|name| name.trim().to_owned()),
        })
    }
}

fn model(words: &Words) -> Result<Option<MixtureModel>, Diagnostic> {
    words.choice(
        "model",
        ("auto", None),
        &[
            ("linear", Some(MixtureModel::Linear)),
            ("quadratic", Some(MixtureModel::Quadratic)),
            ("special-cubic", Some(MixtureModel::SpecialCubic)),
        ],
    )
}

fn goal(text: &str) -> Result<Goal, Diagnostic> {
    match text.trim().to_lowercase().as_str() {
        "max" => Ok(Goal::Most),
        "min" | "least" => Ok(Goal::Least),
        number => parse_number(number).map(|read| Goal::Value(read.value)).map_err(|_| {
            Diagnostic::error("bad-option", format!("--goal: `{text}` is no goal"))
                .help("say max, least, or the value wanted, such as --goal 3.5")
        }),
    }
}

/// What the tiles taught, and where its map goes.
#[derive(Debug, Clone)]
pub struct Answer {
    /// What they taught.
    pub taught: Arc<Taught>,
    /// Where the map goes.
    pub page: Option<PageFile>,
}

impl crate::Answer for Answer {}
