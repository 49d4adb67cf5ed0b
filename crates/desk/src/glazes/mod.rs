//! The studio's glazes, a line each; those that are looked for.

mod layers;
mod line;
mod problems;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glaze::{Additions, Analysis, Glaze, Use};
use glost_chemistry::oxides::OxideMoles;
use glost_chemistry::quantity::Cone;
use glost_chemistry::read::{each_in_parts, folded, same_name};
use glost_core::evidence::notes::two_glazes;
use glost_studio::Recipe;
use serde::{Serialize, Serializer};

pub use layers::Layers;
pub(crate) use line::reads;
use line::{Beside, last_batches};
pub use line::{LastBatch, Line, Surface};
pub use problems::Problem;

use crate::lookup;
use crate::pieces::Pieces;
use crate::{Desk, Failure, Words, trouble};

/// So many glazes at least are worth a core of their own.
const GLAZES_FOR_A_CORE: usize = 50;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Words of its name, notes, firing or materials; all of them.
    pub words: Vec<String>,
    /// A material that it holds.
    pub holds: Vec<String>,
    /// Its cone.
    pub cone: Option<String>,
    /// Its clay.
    pub clay: Option<String>,
    /// What it is for.
    pub usage: Option<Use>,
    /// The glaze whose chemistry it should be near.
    pub near: Option<String>,
    /// Whether checks run over all.
    pub problems: bool,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let typed = words.list("words").iter().flat_map(|text| text.split_whitespace());
        Ok(Question {
            words: typed.map(folded).collect(),
            holds: words.list("holds").to_vec(),
            cone: words.read("cone", |text| Cone::parse(text).map(|_| bare_cone(text)))?,
            clay: words.text("clay").map(folded),
            usage: words.usage()?,
            near: words.owned("near"),
            problems: words.flag("problems"),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        desk.tell_where();
        let two = two_glazes(&self.words.join(" ")).map(|(over, under)| (over.to_owned(), under.to_owned()));
        let found = desk.all_recipes();
        let library = desk.workplace().library();
        let holds = lookup::as_named(library, "holds", &self.holds)?;
        let near = self.near.as_deref().map(|name| Near::of(desk, name)).transpose()?;
        let all = found.len();
        self.knows_clay(desk, &found)?;
        let fitting = found.iter().filter(|found| {
            let held = |name: &str| {
                found
                    .glaze
                    .portions()
                    .any(|portion| same_name(&portion.material.name, name))
            };
            self.fits(&found.glaze, two.as_ref()) && holds.iter().all(|material| held(&material.name))
        });
        let fitting: Vec<&Recipe> = fitting.collect();
        // The book of batches is gone again before the notebook is read: both are much to hold.
        let last = last_batches(desk);
        let pieces = Pieces::open(desk)?;
        let beside = Beside::of(desk, &pieces, last, &fitting);
        let line = |found: &&Recipe| Line {
            distance: near.as_ref().and_then(|near| near.distance(found)),
            ..Line::of(found, &beside)
        };
        let mut lines: Vec<Line> = each_in_parts(&fitting, GLAZES_FOR_A_CORE, line).collect();
        if let Some(near) = &near {
            lines.retain(|line| !same_name(&line.glaze, &near.name));
            let far = |line: &Line| line.distance.unwrap_or(f64::INFINITY);
            lines.sort_by(|one, other| far(one).total_cmp(&far(other)));
        }
        let problems = if self.problems {
            Some(problems::of(desk, &lines)?)
        } else {
            None
        };
        let layers = pieces.layers(&lines, two.as_ref());
        desk.put_away(pieces);
        Ok(Answer {
            layers,
            all,
            near: near.map(|near| near.name),
            lines,
            problems,
        })
    }
}

impl Question {
    /// A clay that no glaze goes on must at least be one.
    ///
    /// # Errors
    /// No glaze and no file names it.
    fn knows_clay(&self, desk: &Desk, found: &[Recipe]) -> Result<(), Failure> {
        let Some(asked) = &self.clay else { return Ok(()) };
        let names = |one: &Recipe| {
            let own = one.glaze.about.clay.as_deref();
            own.is_some_and(|own| has_word(&folded(own), asked))
        };
        if !found.iter().any(names) {
            desk.workplace().clay(asked)?;
        }
        Ok(())
    }

    fn fits(&self, glaze: &Glaze, two: Option<&(String, String)>) -> bool {
        let about = &glaze.about;
        let same = |asked: &Option<String>, own: Option<String>| {
            asked.as_ref().is_none_or(|asked| own.as_ref() == Some(asked))
        };
        let usage = |asked: Use| about.usage == Some(asked);
        same(&self.cone, about.cone.as_deref().map(bare_cone))
            && self
                .clay
                .as_ref()
                .is_none_or(|asked| about.clay.as_deref().is_some_and(|own| has_word(&folded(own), asked)))
            && self.usage.is_none_or(usage)
            && match two {
                Some((over, under)) => [over, under]
                    .iter()
                    .any(|name| folded(&glaze.name).contains(name.as_str())),
                None => self.has_words(glaze),
            }
    }

    fn has_words(&self, glaze: &Glaze) -> bool {
        let about = &glaze.about;
        let own = [
            Some(&glaze.name),
            about.notes.as_ref(),
            about.firing.as_ref(),
            about.clay.as_ref(),
        ];
        if self.words.is_empty() {
            return true;
        }
        let materials = glaze.portions().map(|portion| &portion.material.name);
        let text: Vec<String> = own
            .into_iter()
            .flatten()
            .chain(materials)
            .map(|text| folded(text))
            .collect();
        self.words
            .iter()
            .all(|word| text.iter().any(|text| has_word(text, word)))
    }
}

/// Whether a word of a text begins so: `tin` is in tin oxide and not in whiting.
fn has_word(text: &str, asked: &str) -> bool {
    text.match_indices(asked)
        .any(|(at, _)| !text[..at].ends_with(char::is_alphanumeric))
}

/// A cone's text without the word, as files write it.
fn bare_cone(text: &str) -> String {
    let text = folded(text);
    text.strip_prefix("cone").unwrap_or(&text).trim().to_owned()
}

/// The glaze that others are held against.
struct Near {
    name: String,
    measure: ChemistryDistance,
}

impl Near {
    fn of(desk: &Desk, name: &str) -> Result<Near, Failure> {
        let found = desk.glaze(name)?;
        let fluxes = &found.settings.fluxes;
        let analysis =
            Analysis::of(&found.glaze, fluxes, Additions::In).map_err(|bad| trouble::no_analysis(&found, &bad))?;
        let unity = analysis.unity.clone().unwrap_or_else(OxideMoles::default);
        Ok(Near {
            measure: ChemistryDistance::new(&unity, fluxes),
            name: found.glaze.name,
        })
    }

    fn distance(&self, found: &Recipe) -> Option<f64> {
        // A glaze of unknown analysis is near to nothing.
        let analysis = Analysis::of(&found.glaze, &found.settings.fluxes, Additions::In).ok()?;
        Some(self.measure.distance(analysis.unity.as_ref()?))
    }
}

/// The glazes.
#[derive(Debug, Clone)]
pub struct Answer {
    /// How many the studio has.
    pub all: usize,
    /// Those that were looked for.
    pub lines: Vec<Line>,
    /// Two of them on one piece, as noted.
    pub layers: Vec<Layers>,
    /// The glaze that they are near to, where that was asked.
    pub near: Option<String>,
    /// What checks found, where they ran.
    pub problems: Option<Vec<Problem>>,
}

impl crate::Answer for Answer {
    fn long_json(&self) -> Option<serde_json::Result<String>> {
        // What a check found may bring keys of its own.
        self.problems.is_none().then(|| serde_json::to_string_pretty(self))
    }

    /// A problem that says no, or nothing found.
    fn says_no(&self) -> bool {
        match &self.problems {
            Some(problems) => problems.iter().any(|problem| problem.finding.level.says_no()),
            None => self.lines.is_empty(),
        }
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    glazes: &'a [Line],
    #[serde(skip_serializing_if = "<[Layers]>::is_empty")]
    layers: &'a [Layers],
    #[serde(skip_serializing_if = "Option::is_none")]
    problems: Option<&'a [Problem]>,
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        AnswerJson {
            glazes: &self.lines,
            layers: &self.layers,
            problems: self.problems.as_deref(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);
