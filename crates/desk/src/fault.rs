//! What may have caused a fault that is seen on a piece.

use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_chemistry::read::folded;
use glost_core::rules::{FaultCause, Spot};
use glost_script::{Kind, OfKind, Scene, Script};
use glost_studio::FoundGlaze;
use serde::{Serialize, Serializer};

use crate::pieces::Pieces;
use crate::rulebook::{Rulebook, scene};
use crate::wire::Set;
use crate::{Desk, Failure, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// What is seen.
    pub fault: String,
    /// The glaze's name or file.
    pub glaze: String,
    /// Where it sits.
    pub spot: Option<Spot>,
    /// The clay it goes on, a file or a name.
    pub clay: Option<String>,
    /// One script by name or file; none: every one that knows the fault.
    pub script: Option<String>,
    /// Options of the script, `name=value`.
    pub set: Vec<String>,
}

/// The causes, in the order in which they are looked at.
#[derive(Debug, Clone)]
pub struct Answer {
    /// What is seen.
    pub fault: String,
    /// The glaze's name.
    pub glaze: String,
    /// Where it sits, where that was said.
    pub spot: Option<Spot>,
    /// The causes.
    pub causes: Vec<FaultCause>,
    /// The materials in it whose analysis nobody tells: causes that need one are left out.
    pub unknown: Vec<String>,
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    fault: &'a str,
    glaze: &'a str,
    #[serde(rename = "where")]
    spot: Option<&'static str>,
    causes: Vec<CauseJson<'a>>,
    unknown: &'a [String],
}

#[derive(Serialize, schemars::JsonSchema)]
struct CauseJson<'a> {
    stage: &'static str,
    cause: &'a str,
    weight: f64,
    number: Option<f64>,
    of: &'a str,
    test: &'a str,
    series: Option<&'a str>,
    source: &'a str,
    script: &'a str,
    whose: String,
    hash: &'a str,
    set: Set<'a>,
}

impl<'a> From<&'a FaultCause> for CauseJson<'a> {
    fn from(cause: &'a FaultCause) -> CauseJson<'a> {
        CauseJson {
            stage: cause.stage.word(),
            cause: &cause.cause,
            weight: cause.weight,
            number: cause.number,
            of: &cause.of,
            test: &cause.test,
            series: cause.series.as_deref(),
            source: &cause.source,
            script: &cause.signed.script,
            whose: cause.signed.whose.to_string(),
            hash: &cause.signed.hash,
            set: Set(&cause.signed.set),
        }
    }
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        AnswerJson {
            fault: &self.fault,
            glaze: &self.glaze,
            spot: self.spot.map(Spot::word),
            causes: self.causes.iter().map(CauseJson::from).collect(),
            unknown: &self.unknown,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            fault: words.required("fault")?.to_owned(),
            glaze: words.required("glaze")?.to_owned(),
            spot: words.text("where").map(spot).transpose()?,
            clay: words.owned("clay"),
            script: words.owned("script"),
            set: words.list("set").to_vec(),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let workplace = desk.workplace();
        let book = Rulebook::open(workplace, workplace.settings())?;
        let (fault, scripts) = self.scripts(desk, &book)?;
        let found = desk.glaze(&self.glaze)?;
        let scene = book.with_limits(self.scene(desk, &found)?);
        let glaze = Arc::new(found.glaze.clone());
        let mut causes = Vec::new();
        for script in &scripts {
            let settings = book.settings_of(script, &self.set)?;
            let given = script.fault(&glaze, &fault, self.spot, &scene, &settings);
            desk.printed(book.printed.take());
            causes.extend(given?);
        }
        causes.sort_by(|a, b| a.stage.cmp(&b.stage).then(b.weight.total_cmp(&a.weight)));
        let unknown = glaze.unknown_materials().into_iter().map(str::to_owned);
        Ok(Answer {
            fault,
            spot: self.spot,
            causes,
            unknown: unknown.collect(),
            glaze: found.glaze.name,
        })
    }
}

impl Question {
    /// The fault as scripts write it, and those that know it.
    fn scripts(&self, desk: &Desk, book: &Rulebook) -> Result<(String, Vec<Arc<Script>>), Failure> {
        let named = self.script.as_ref();
        let OfKind { scripts, broken, .. } = match named {
            Some(name) => OfKind {
                scripts: vec![book.script(desk.workplace(), name)?],
                ..OfKind::default()
            },
            None => book.store.of_kind(Kind::FAULT),
        };
        desk.tell(broken.into_iter().map(|broken| broken.why));
        if named.is_none() && !self.set.is_empty() {
            return Err(Diagnostic::error("bad-option", "--set needs the --script whose option it sets").into());
        }
        let all = || scripts.iter().flat_map(|script| &script.about.faults);
        let fault = all().find(|known| alike(known, &self.fault));
        let Some(fault) = fault.cloned() else {
            let mut known: Vec<&str> = all().map(String::as_str).collect();
            known.sort_unstable();
            known.dedup();
            let near = suggestion(&self.fault, known.iter().copied());
            let near = near.map_or_else(String::new, |near| format!("{near} "));
            return Err(
                Diagnostic::error("unknown-fault", format!("no script knows the fault `{}`", self.fault))
                    .help(format!("{near}Known are: {}", known.join(", ")))
                    .into(),
            );
        };
        let knows = |script: &Arc<Script>| script.about.faults.iter().any(|known| alike(known, &fault));
        let knowing = scripts.iter().filter(|script| knows(script)).cloned().collect();
        Ok((fault, knowing))
    }

    /// What the scripts see: the glaze on its clay, and what the studio's pieces say.
    fn scene(&self, desk: &Desk, found: &FoundGlaze) -> Result<Arc<Scene>, Failure> {
        let workplace = desk.workplace();
        let clay = match (self.clay.as_deref(), found.glaze.about.clay.as_deref()) {
            (Some(asked), _) => Some(workplace.clay(asked)?.clay),
            // A clay that only the recipe names may have no file: nothing is lost.
            (None, Some(own)) => workplace.clay(own).ok().map(|found| found.clay),
            (None, None) => None,
        };
        let notebook = Pieces::open(desk)?.for_scripts(&found.settings);
        let scene = scene(&found.library, &found.settings, &found.origin, clay, None);
        Ok(Arc::new(Scene {
            notebook: Some(Arc::new(notebook)),
            ..Scene::clone(&scene)
        }))
    }
}

/// The same fault, whether one or several of it are named.
fn alike(known: &str, typed: &str) -> bool {
    let bare = |text: &str| folded(text).trim_end_matches('s').to_owned();
    bare(known) == bare(typed)
}

fn spot(word: &str) -> Result<Spot, Diagnostic> {
    Spot::from_word(word).ok_or_else(|| {
        let words = Spot::ALL.map(Spot::word);
        Diagnostic::error("unknown-word", format!("--where: nothing is seen at `{word}`"))
            .help(format!("it is one of {}", words.join(", ")))
    })
}
