//! `glost blend`.

use glost_desk::Words;
use glost_desk::blend::Question;
use glost_page::layout::Style;

use crate::args::Common;
use crate::door;
use crate::outcome::Outcome;

pub(super) fn run(words: &Words, common: &Common, style: Style) -> Outcome {
    let words = words.clone().with("call", call_as_typed());
    door::answer::<Question>(&words, common, style)
}

/// The call, so that a saved plan says how it was made.
fn call_as_typed() -> String {
    let quoted = |word: String| {
        if word.is_empty() || word.contains(|sign: char| !(sign.is_ascii_alphanumeric() || "-_./=:".contains(sign))) {
            format!("\"{}\"", word.replace('"', "\\\""))
        } else {
            word
        }
    };
    let words: Vec<String> = std::env::args_os()
        .skip(1)
        .map(|word| quoted(word.to_string_lossy().into_owned()))
        .collect();
    format!("glost {}", words.join(" "))
}
