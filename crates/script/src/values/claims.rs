//! What a test claims: one that doesn't hold is kept with its line, and the test goes on.

use rhai::{Dynamic, EvalAltResult, NativeCallContext};

use crate::language::{in_text, number, same};
use crate::scene::{self, TestFailure};
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::trouble;

use super::TesterValue;

type Raised = Box<EvalAltResult>;

pub(super) fn claim(context: &NativeCallContext, holds: bool, message: impl FnOnce() -> String) -> Result<(), Raised> {
    scene::present(|run| run.claims += 1)?;
    if !holds {
        let failure = TestFailure {
            line: context.call_position().line(),
            message: message(),
        };
        scene::present(|run| run.failures.push(failure))?;
    }
    Ok(())
}

pub(super) fn register(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Tester;
    shelf.add(
        Entry::method(
            OWNER,
            "equal",
            "value, expected",
            Sort::Nothing,
            "Two values must be the same.",
        ),
        |context: NativeCallContext, _: &mut TesterValue, value: Dynamic, expected: Dynamic| -> Result<(), Raised> {
            let holds = same(&value, &expected)?;
            claim(&context, holds, || {
                format!("expected {}, got {}", in_text(&expected), in_text(&value))
            })
        },
    );
    shelf.add(
        Entry::method(
            OWNER,
            "near",
            "value, expected, tolerance",
            Sort::Nothing,
            "A number must be within a tolerance of another.",
        ),
        |context: NativeCallContext,
         _: &mut TesterValue,
         value: Dynamic,
         expected: Dynamic,
         tolerance: Dynamic|
         -> Result<(), Raised> {
            let (Some(value), Some(expected), Some(tolerance)) =
                (number(&value), number(&expected), number(&tolerance))
            else {
                return Err(trouble("wrong-kind", "`near` compares numbers"));
            };
            claim(&context, (value - expected).abs() <= tolerance, || {
                format!("expected {expected} within {tolerance}, got {value}")
            })
        },
    );
    shelf.add(
        Entry::method(
            OWNER,
            "claim",
            "holds, message",
            Sort::Nothing,
            "Something must be true; the message says what.",
        ),
        |context: NativeCallContext, _: &mut TesterValue, holds: bool, message: &str| {
            claim(&context, holds, || message.to_owned())
        },
    );
}
