//! `glost blend`.

use glost_desk::Words;
use glost_desk::blend::Question;
use glost_page::layout::Style;

use crate::args::Common;
use crate::door;
use crate::outcome::Outcome;
use crate::typed::as_call;

pub(super) fn run(words: &Words, common: &Common, style: Style) -> Outcome {
    let words = words.clone().with("call", call_as_typed());
    door::answer::<Question>(&words, common, style)
}

/// The call, so that a saved plan says how it was made.
fn call_as_typed() -> String {
    let words: Vec<String> = std::env::args_os()
        .skip(1)
        .map(|word| word.to_string_lossy().into_owned())
        .collect();
    let unusual = |sign: char| !(sign.is_ascii_alphanumeric() || "-_./=:".contains(sign));
    as_call(words.iter().map(String::as_str), unusual)
}
