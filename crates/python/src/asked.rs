//! Which questions are asked, and a question's JSON as words.

use std::sync::OnceLock;

use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_cli::{Asked, Takes};
use glost_desk::{Answer, Desk, Failure, Question, Words, wire};
use serde_json::{Map, Value};

type Ask = fn(&Words, &Desk) -> Result<String, Failure>;

/// The questions that change nothing in a studio, by their commands, each with the names
/// of what would change or print something there and isn't taken here.
const QUESTIONS: [(&str, Ask, &[&str]); 15] = [
    ("unity", ask::<glost_desk::unity::Question>, &[]),
    (
        "check",
        ask::<glost_desk::check::Question>,
        &["over", "part", "threads", "accept", "because", "until"],
    ),
    ("swap", ask::<glost_desk::swap::Question>, &[]),
    ("reach", ask::<glost_desk::reach::Question>, &[]),
    ("adjust", ask::<glost_desk::adjust::Question>, &[]),
    ("fit", ask::<glost_desk::fit::Question>, &["page"]),
    ("melt", ask::<glost_desk::melt::Question>, &[]),
    ("compare", ask::<glost_desk::compare::Question>, &[]),
    ("affected", ask::<glost_desk::affected::Question>, &[]),
    ("blend", ask::<glost_desk::blend::Question>, &["save", "page", "sheet"]),
    ("cost", ask::<glost_desk::cost::Question>, &[]),
    ("formula", ask::<glost_desk::formula::Question>, &[]),
    ("glazes", ask::<glost_desk::glazes::Question>, &[]),
    ("materials", ask::<glost_desk::materials::Question>, &["label", "out"]),
    ("notes", ask::<glost_desk::notes::Question>, &[]),
];

/// Their names.
pub(crate) const COMMANDS: [&str; QUESTIONS.len()] = {
    let mut names = [""; QUESTIONS.len()];
    let mut at = 0;
    while at < names.len() {
        names[at] = QUESTIONS[at].0;
        at += 1;
    }
    names
};

fn ask<Q: Question>(words: &Words, desk: &Desk) -> Result<String, Failure> {
    let question = Q::from_words(words)?;
    let answer = match question.at_once() {
        Some(answer) => answer?,
        None => question.ask(desk)?,
    };
    json(&answer, &desk.take_left_out())
}

fn json<A: Answer>(answer: &A, left_out: &[Diagnostic]) -> Result<String, Failure> {
    let fault = |why| Failure::our_fault("writing the answer as JSON", why);
    if left_out.is_empty() {
        return serde_json::to_string(answer).map_err(fault);
    }
    let mut json = serde_json::to_value(answer).map_err(fault)?;
    wire::incomplete(&mut json, left_out).map_err(fault)?;
    Ok(json.to_string())
}

/// The answer to a question, as JSON.
pub(crate) fn answer(command: &str, question: &Map<String, Value>, desk: &Desk) -> Result<String, Failure> {
    let found = QUESTIONS.iter().find(|(name, ..)| *name == command);
    let Some((_, ask, not_here)) = found else {
        let unknown = Diagnostic::error("no-command", format!("there is no `{command}` to ask"));
        let help = suggestion(command, COMMANDS).unwrap_or_else(|| format!("there are: {}", COMMANDS.join(", ")));
        return Err(unknown.help(help).into());
    };
    let words = words(command, question)?;
    if let Some(name) = not_here.iter().find(|name| words.text(name).is_some()) {
        let message = format!("`{name}` of `{command}` writes files or reads tables: not from here");
        let help = "use the command for it, or Studio.screen for tables";
        return Err(Diagnostic::error("not-here", message).help(help).into());
    }
    ask(&words, desk)
}

/// A question's JSON as words: long options as keys (`_` stands for `-`), repeated ones
/// as lists, null left out.
///
/// # Errors
/// A name that the command doesn't take, a value that is no word.
pub(crate) fn words(command: &str, question: &Map<String, Value>) -> Result<Words, Diagnostic> {
    static ALL: OnceLock<Vec<Asked>> = OnceLock::new();
    let all = ALL.get_or_init(glost_cli::commands);
    let asked = all.iter().find(|asked| asked.words == [command]);
    let mut words = Words::default();
    for (name, value) in question.iter().filter(|(_, value)| !value.is_null()) {
        let plain = name.replace('_', "-");
        let key = asked.and_then(|asked| asked.key(&plain).or_else(|| asked.key(name)));
        let Some(key) = key else {
            return Err(unknown(command, name, asked));
        };
        let values = match value {
            Value::Array(values) => values.as_slice(),
            one => std::slice::from_ref(one),
        };
        for value in values {
            match value {
                Value::Bool(false) | Value::Null => {}
                Value::Bool(true) if key.takes != Takes::Value => words.push(&key.name, "true"),
                Value::String(text) if key.takes != Takes::Nothing => words.push(&key.name, text.as_str()),
                Value::Number(number) if key.takes != Takes::Nothing => words.push(&key.name, number.to_string()),
                other => {
                    let message = format!("`{name}`: {other} isn't taken");
                    let takes = match key.takes {
                        Takes::Nothing => "True or False",
                        Takes::Value | Takes::MaybeValue => "text or a number, or a list of them",
                    };
                    return Err(Diagnostic::error("bad-value", message).help(format!("it takes {takes}")));
                }
            }
        }
    }
    Ok(words)
}

fn unknown(command: &str, name: &str, asked: Option<&Asked>) -> Diagnostic {
    let known: Vec<&str> = asked.map_or(Vec::new(), |asked| {
        asked.keys.iter().map(|key| key.name.as_str()).collect()
    });
    let error = Diagnostic::error("unknown-key", format!("`{command}` takes no `{name}`"));
    let help = suggestion(name, known.iter().copied());
    error.help(help.unwrap_or_else(|| format!("it takes {}", known.join(", "))))
}
