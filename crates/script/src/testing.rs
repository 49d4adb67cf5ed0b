//! Runs the `test_*` functions that a script's author wrote.

use std::sync::Arc;
use std::time::Duration;

use glost_chemistry::diagnostic::{Diagnostic, suggestion};

use crate::clock::process_time;
use crate::failure::ScriptFailure;
use crate::running::{Asked, call};
use crate::scene::{Scene, TestFailure};
use crate::script::{Script, function_mark};
use crate::values::TesterValue;

/// How one test went.
#[derive(Debug, Clone)]
pub struct TestOutcome {
    /// Name of the script.
    pub script: String,
    /// Name of the test function.
    pub test: String,
    /// What did not hold, in order; empty for a test that passed.
    pub failures: Vec<TestFailure>,
    /// Why it could not run to its end.
    pub broke_off: Option<ScriptFailure>,
    /// What it printed.
    pub printed: Vec<String>,
    /// The processor's time that it took.
    pub took: Duration,
}

impl TestOutcome {
    /// Whether everything held.
    pub fn passed(&self) -> bool {
        self.failures.is_empty() && self.broke_off.is_none()
    }
}

impl Script {
    /// Runs every test of the script, in the order of its text.
    pub fn run_tests(self: &Arc<Script>, scene: &Arc<Scene>) -> Vec<TestOutcome> {
        self.tests.iter().map(|test| self.run_test(test, scene)).collect()
    }

    /// Runs one test.
    ///
    /// # Errors
    /// The script has no such test, with the nearest name.
    pub fn run_one_test(self: &Arc<Script>, test: &str, scene: &Arc<Scene>) -> Result<TestOutcome, Diagnostic> {
        let whole = format!("test_{test}");
        let found = self.tests.iter().find(|known| *known == test || **known == whole);
        match found {
            Some(test) => Ok(self.run_test(test, scene)),
            None => {
                let near = suggestion(test, self.tests.iter().map(String::as_str));
                let help = near.unwrap_or_else(|| "it has no tests at all".to_owned());
                Err(Diagnostic::error("unknown-test", format!("`{}` has no test `{test}`", self.name)).help(help))
            }
        }
    }

    /// A test that claims nothing holds whatever the script does.
    fn claims_nothing(&self, test: &str) -> TestFailure {
        TestFailure {
            line: function_mark(test, &self.source).map(|mark| mark.line),
            message: "this test claims nothing: `t.expect(...)`, `t.equal(...)`, `t.near(...)` and `t.claim(...)` do"
                .to_owned(),
        }
    }

    fn run_test(self: &Arc<Script>, test: &str, scene: &Arc<Scene>) -> TestOutcome {
        let asked = Asked {
            request: Arc::default(),
            signed: self.signed(Vec::new()),
        };
        // Tests run on threads of their own, and nothing else does meanwhile.
        let before = process_time();
        let outcome = call(self, scene, asked, test, (TesterValue::default(),), |_| Ok(()));
        let (failures, printed, broke_off) = match outcome {
            Ok(((), left)) if left.run.claims == 0 => (vec![self.claims_nothing(test)], left.run.printed, None),
            Ok(((), left)) => (left.run.failures, left.run.printed, None),
            Err(failure) => (Vec::new(), Vec::new(), Some(failure)),
        };
        TestOutcome {
            script: self.name.clone(),
            test: test.to_owned(),
            failures,
            broke_off,
            printed,
            took: process_time().saturating_sub(before),
        }
    }
}

impl TestFailure {
    /// As a complaint with the line of the script.
    pub fn diagnostic(&self, script: &Script) -> Diagnostic {
        let diagnostic = Diagnostic::error("test-failed", self.message.clone());
        match self.line {
            None => diagnostic,
            Some(line) => {
                let text = script.source.line(line);
                let indent = text.chars().take_while(|sign| sign.is_whitespace()).count();
                let mark = glost_chemistry::diagnostic::Mark {
                    line,
                    column: indent + 1,
                };
                diagnostic.at(&script.source, mark, text.trim().chars().count())
            }
        }
    }
}
