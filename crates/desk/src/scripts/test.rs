//! The tests that scripts bring with them.

use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_core::rules::Whose;
use glost_script::{FailureKind, OfKind, Scene, Script, ScriptFailure, TestOutcome, lints_beside_tests};
use glost_studio::library_of;
use serde::{Serialize, Serializer};

use super::BrokenCard;
use crate::rulebook::Rulebook;
use crate::wire::Complaint;
use crate::{Desk, Failure, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The script's name or file; `None`: all of them.
    pub name: Option<String>,
    /// The one test to run; `None`: all of them.
    pub test: Option<String>,
    /// Whether to tell how long each took.
    pub times: bool,
}

/// How the tests went.
#[derive(Debug, Clone)]
pub struct Answer {
    /// Script by script.
    pub scripts: Vec<Tested>,
    /// Those that don't load, with what is wrong.
    pub broken: Vec<BrokenCard>,
}

/// A script with its tests.
#[derive(Debug, Clone)]
pub struct Tested {
    /// The script's name.
    pub script: String,
    /// Its tests, in the order of its text.
    pub tests: Vec<Test>,
}

/// A test of a script.
#[derive(Debug, Clone)]
pub struct Test {
    /// Its name.
    pub name: String,
    /// What didn't hold, or why it broke off; none where it passed.
    pub failures: Vec<Diagnostic>,
    /// Milliseconds of the processor's time, where that was asked.
    pub milliseconds: Option<f64>,
}

impl Tested {
    fn fails(&self) -> bool {
        self.tests.iter().any(|test| !test.failures.is_empty())
    }
}

impl crate::Answer for Answer {
    fn says_no(&self) -> bool {
        !self.broken.is_empty() || self.scripts.iter().any(Tested::fails)
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    tests: Vec<TestJson<'a>>,
    passed: bool,
    without_tests: Vec<&'a str>,
    broken: &'a [BrokenCard],
}

#[derive(Serialize, schemars::JsonSchema)]
struct TestJson<'a> {
    script: &'a str,
    test: &'a str,
    passed: bool,
    failures: Vec<Complaint<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    milliseconds: Option<f64>,
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let each = self
            .scripts
            .iter()
            .flat_map(|one| one.tests.iter().map(|test| (one.script.as_str(), test)));
        let tests = each.map(|(script, test)| TestJson {
            script,
            test: &test.name,
            passed: test.failures.is_empty(),
            failures: test.failures.iter().map(Complaint).collect(),
            milliseconds: test.milliseconds,
        });
        let without = self.scripts.iter().filter(|one| one.tests.is_empty());
        AnswerJson {
            tests: tests.collect(),
            passed: !crate::Answer::says_no(self),
            without_tests: without.map(|one| one.script.as_str()).collect(),
            broken: &self.broken,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            name: words.owned("name"),
            test: words.owned("test"),
            times: words.flag("times"),
        })
    }

    /// Tests see the shipped materials alone, so that no studio's sheets can fail them;
    /// what else a test needs it brings, by `t.among`.
    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let book = Rulebook::open(desk.workplace(), desk.workplace().settings())?;
        let OfKind { scripts, broken, .. } = match &self.name {
            Some(name) => OfKind {
                scripts: vec![book.script(desk.workplace(), name)?],
                ..OfKind::default()
            },
            None => book.store.with_libraries(),
        };
        desk.tell(scripts.iter().flat_map(|script| script.cautions.iter().cloned()));
        let own = scripts.iter().filter(|script| !script.is_shipped());
        // A test that claims nothing tells so itself.
        desk.tell(own.flat_map(|script| lints_beside_tests(&script.source)));
        let scene = book.with_limits(Arc::new(Scene {
            library: Arc::new(glost_studio::shipped_library().clone()),
            ..Scene::default()
        }));
        let mut tested = Vec::new();
        for script in &scripts {
            let scene = with_its_materials(&scene, script, desk);
            let tests = match &self.test {
                Some(test) => vec![script.run_one_test(test, &scene)?],
                None => script.run_tests(&scene),
            };
            desk.printed(book.printed.take());
            tested.push(Tested {
                script: script.name.clone(),
                tests: tests
                    .into_iter()
                    .map(|outcome| test(outcome, script, desk, self.times))
                    .collect(),
            });
        }
        Ok(Answer {
            scripts: tested,
            broken: broken.into_iter().map(BrokenCard::from).collect(),
        })
    }
}

/// The scene of a package's tests, who see its own materials over the shipped ones.
fn with_its_materials(scene: &Arc<Scene>, script: &Script, desk: &Desk) -> Arc<Scene> {
    let Whose::Package { name, .. } = &script.whose else {
        return scene.clone();
    };
    let packages = &desk.workplace().packages().whole;
    let package = packages.iter().find(|package| package.manifest.name == *name);
    package.map_or_else(
        || scene.clone(),
        |package| {
            Arc::new(Scene {
                library: Arc::new(library_of(package)),
                ..Scene::clone(scene)
            })
        },
    )
}

fn test(outcome: TestOutcome, script: &Script, desk: &Desk, times: bool) -> Test {
    desk.printed(outcome.printed.iter().map(|line| format!("{}: {line}", outcome.test)));
    let out_of_bounds = |broken: &&ScriptFailure| broken.kind == FailureKind::BrokeBounds;
    let broken = outcome.broke_off.iter().filter(out_of_bounds);
    desk.broke_bounds(broken.map(|broken| broken.diagnostic.clone()));
    let untrue = outcome.failures.iter().map(|failure| failure.diagnostic(script));
    let broke_off = outcome.broke_off.iter().map(|failure| failure.diagnostic.clone());
    Test {
        failures: untrue.chain(broke_off).collect(),
        milliseconds: times.then_some(outcome.took.as_secs_f64() * 1000.0),
        name: outcome.test,
    }
}
