//! A new material, clay or glaze in a file of its own.

use std::path::PathBuf;

use glost_chemistry::diagnostic::{Diagnostic, Source, of_typed};
use glost_chemistry::material::Library;
use glost_chemistry::oxides::{AnalysisKey, Formula};
use glost_chemistry::read::folded;
use glost_core::intake::bag::{mend, read_label};
use glost_core::intake::notebook::{ReadingLine, read_page, write_reading};
use glost_studio::{OfWhat, Setting, clay_file_text, formula_file_text, new_name, powder_file_text};
use serde::{Serialize, Serializer};

use crate::habits::Habits;
use crate::read::{doubts_of, in_the_file};
use crate::said::words_of;
use crate::{Desk, Failure, Said, Words};

/// Decimals of a written recipe.
const DECIMALS: i32 = 3;
/// What is typed of a powder of which nobody tells anything.
const UNTOLD: [&str; 7] = [
    "unknown",
    "not told",
    "nothing told",
    "nobody tells",
    "powder",
    "ready-made",
    "ready-made powder",
];
/// Options that are values of the new file.
const VALUES: [&str; 11] = [
    "kind",
    "price",
    "stock",
    "lot",
    "buyable",
    "source",
    "cone",
    "peak",
    "expansion",
    "absorption",
    "notes",
];

pub use glost_studio::OfWhat as Sort;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// What to add.
    pub of: OfWhat,
    /// Its name.
    pub name: String,
    /// What is in it: an analysis, a formula, a recipe or the name of a file with one.
    pub holds: Option<String>,
    /// How a glaze is made.
    pub habits: Habits,
    /// Further values.
    pub settings: Vec<Setting>,
}

/// What has to be known before a thing of this sort can be added.
pub(super) fn must_know(of: OfWhat) -> Option<&'static str> {
    match of {
        OfWhat::Material => Some("analysis"),
        OfWhat::Glaze => Some("recipe"),
        OfWhat::Clay | OfWhat::Studio => None,
    }
}

/// The sort that a call names.
///
/// # Errors
/// No sort that can be added.
pub(super) fn sort(words: &Words) -> Result<OfWhat, Diagnostic> {
    let typed = words.required("sort")?;
    let found = OfWhat::NAMED.into_iter().find(|of| of.word() == folded(typed));
    found.ok_or_else(|| {
        Diagnostic::error("bad-call", of_typed(typed, "is nothing that can be added")).help(
            "glost add material NAME, glost add clay NAME, glost add glaze NAME; glost add lot MATERIAL for a new bag of one",
        )
    })
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let of = sort(words)?;
        let holds = must_know(of).map(|option| words.required(option).map(str::to_owned));
        let own_words = match of {
            // A clay's firing is a value of its file.
            OfWhat::Glaze => Habits::from_words(words)?,
            _ => Habits::default(),
        };
        let values = VALUES
            .iter()
            .filter_map(|key| Some(format!("{key}={}", words.text(key)?)));
        let settings: Vec<Setting> = values.map(|typed| Setting::parse(&typed)).collect::<Result<_, _>>()?;
        if let Some(odd) = settings.iter().find(|setting| !setting.fits(of)) {
            let message = format!("--{}: a {} has no such value", odd.shown(), of.word());
            return Err(Diagnostic::error("bad-option", message).help("leave it out"));
        }
        Ok(Question {
            of,
            name: new_name(of.word(), words.required("name")?)?,
            holds: holds.transpose()?,
            habits: own_words,
            settings,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let workplace = desk.workplace();
        let path = match self.of {
            OfWhat::Glaze => workplace.place_for_glaze(&self.name)?,
            OfWhat::Clay => workplace.place_for_clay(&self.name)?,
            OfWhat::Material | OfWhat::Studio => workplace.place_for_material(&self.name)?,
        };
        let made = match self.of {
            OfWhat::Glaze => self.glaze(desk)?,
            OfWhat::Clay => Made::plain(clay_file_text(&self.name)),
            OfWhat::Material | OfWhat::Studio => self.material(workplace.library())?,
        };
        let file = workplace.below_studio(&path);
        let text = workplace.with_values(self.of, &file, &made.text, &self.settings)?;
        workplace.create_in_studio(&path, &text)?;
        Ok(Answer {
            of: self.of,
            name: self.name.clone(),
            path,
            file,
            said: made.said,
            given: self.settings.iter().map(Setting::shown).collect(),
            over_shipped: self.of == OfWhat::Material && workplace.library().find(&self.name).is_some(),
        })
    }
}

/// A new file's text, and what is to be said of how it was read.
struct Made {
    text: String,
    said: Vec<Said>,
}

impl Made {
    fn plain(text: String) -> Made {
        Made { text, said: Vec::new() }
    }
}

impl Question {
    /// Nothing told, a formula, or figures as a bag prints them.
    fn material(&self, library: &Library) -> Result<Made, Failure> {
        let holds = self.holds.as_deref().unwrap_or("").trim();
        let word = folded(holds);
        if UNTOLD.contains(&word.as_str()) {
            return Ok(Made::plain(powder_file_text(&self.name)));
        }
        if let Some(formula) = formula(holds) {
            return Ok(Made::plain(formula_file_text(&self.name, formula)));
        }
        // The label's reader takes a name off at the first colon.
        let mut label = read_label(&format!("it: {holds}")).map_err(without_place)?;
        if label.oxides.is_empty() && label.compounds.is_empty() {
            let message = of_typed(holds, "tells no oxide, no compound and no formula");
            return Err(Diagnostic::error("bad-option", format!("--analysis: {message}"))
                .help("write figures (\"SiO2 67.0, Al2O3 18.0, K2O 10.5, Na2O 3.0, loss 0.4\"), a formula (\"CaCO3\"), or \"unknown\"")
                .into());
        }
        label.name.clone_from(&self.name);
        let mended = mend(&label, library)?;
        let mut said: Vec<Said> = mended.reasons.iter().cloned().map(Said::BagReason).collect();
        said.extend(mended.assumed.clone().map(Said::BagGuess));
        Ok(Made {
            text: words_of(&Said::BagEntry(Box::new(mended))),
            said,
        })
    }

    /// A recipe as typed, or as it stands in a file.
    fn glaze(&self, desk: &Desk) -> Result<Made, Failure> {
        let workplace = desk.workplace();
        let holds = self.holds.as_deref().unwrap_or("");
        let source = match workplace.text(holds) {
            Ok(page) => page,
            Err(_) => Source::from_text("recipe", holds),
        };
        let mut reading = read_page(&source, workplace.library(), workplace.settings().cup)?;
        if let Some(open) = reading.open().next() {
            return Err(still_open(open).into());
        }
        let said = doubts_of(&reading);
        if let Some(glaze) = &mut reading.glaze {
            glaze.name.clone_from(&self.name);
            self.habits.onto(&mut glaze.about, desk)?;
        }
        let text = write_reading(&reading, DECIMALS, &in_the_file)
            .map_err(|why| Diagnostic::error("cannot-write", format!("the glaze can't be written: {why}")))?;
        let text = text.ok_or_else(|| {
            Diagnostic::error("no-base", of_typed(holds, "holds no recipe"))
                .help("write materials with amounts: \"feldspar A 38, silica 26, whiting 18, kaolin 12\"; or name a text file")
        })?;
        Ok(Made { text, said })
    }
}

/// A chemical formula by itself.
fn formula(text: &str) -> Option<&str> {
    let one_word = !text.is_empty() && !text.contains([' ', ',', '=', '%']);
    let oxide_alone = AnalysisKey::names().any(|known| known.eq_ignore_ascii_case(text));
    (one_word && (Formula::parse(text).is_ok() || oxide_alone)).then_some(text)
}

fn without_place(why: Diagnostic) -> Diagnostic {
    Diagnostic { place: None, ..why }
}

fn still_open(line: &ReadingLine) -> Diagnostic {
    let error = Diagnostic::error(
        "unknown-material",
        of_typed(&line.text, "can't be weighed: no such material, or no amount"),
    );
    let near = line
        .suggestions
        .first()
        .map_or_else(String::new, |near| format!("did you mean `{near}`? "));
    error.help(format!("{near}`glost add material NAME` makes a new one"))
}

/// What was added.
#[derive(Debug, Clone)]
pub struct Answer {
    /// What it is.
    pub of: OfWhat,
    /// Its name.
    pub name: String,
    /// Its file.
    pub path: PathBuf,
    /// The same, below the studio's folder.
    pub file: String,
    /// How what was typed was read.
    pub said: Vec<Said>,
    /// Whether it stands over a material that comes with Glost.
    pub over_shipped: bool,
    /// The further values that were given with it, by their keys.
    pub given: Vec<String>,
}

impl Answer {
    /// What it is.
    pub fn sort(&self) -> Sort {
        self.of
    }
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    added: &'static str,
    name: &'a str,
    file: &'a str,
    doubts: &'a [Said],
    over_shipped: bool,
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        AnswerJson {
            added: self.of.word(),
            name: &self.name,
            file: &self.file,
            doubts: &self.said,
            over_shipped: self.over_shipped,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);
