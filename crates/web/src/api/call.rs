//! A question's JSON as the words of a call: by the command line's own names, each value
//! in one word with its option, so that no value can become an option.

use axum::http::StatusCode;
use glost_chemistry::diagnostic::{of_typed, suggestion, under};
use serde_json::{Map, Value};

use crate::command::{Command, Key, Takes};
use crate::door::Refusal;

/// The command that a path names, and the words of the call.
///
/// # Errors
/// No such command (404); a name or a value that it doesn't take (400).
pub(crate) fn call(commands: &[Command], path: &str, body: &Map<String, Value>) -> Result<Vec<String>, Refusal> {
    let words: Vec<&str> = path.split(['/', ' ']).filter(|word| !word.is_empty()).collect();
    let command = commands.iter().find(|command| command.words == words).ok_or_else(|| {
        let known: Vec<String> = commands.iter().map(|command| command.words.join("/")).collect();
        let refusal = Refusal::new(
            StatusCode::NOT_FOUND,
            "no-command",
            format!("there is no `{path}` to ask"),
        );
        match suggestion(path, known.iter().map(String::as_str)) {
            Some(nearest) => refusal.help(nearest),
            None => refusal.help("the commands are those of `glost --help`"),
        }
    })?;
    let mut call = command.words.clone();
    let mut places: Vec<(usize, Vec<String>)> = Vec::new();
    for (name, value) in body.iter().filter(|(_, value)| !value.is_null()) {
        let key = command.key(name).ok_or_else(|| unknown(command, name))?;
        let values = match value {
            Value::Array(values) => values.iter().collect(),
            one => vec![one],
        };
        let mut own = Vec::new();
        for value in values {
            match (key.position, said(key, value)?) {
                (_, Said::Nothing) => {}
                (None, Said::Bare) => call.push(format!("--{}", key.name)),
                (Some(_), Said::Bare) => return Err(not_taken(key, "true")),
                (None, Said::Words(words)) => call.push(format!("--{}={words}", key.name)),
                (Some(_), Said::Words(words)) => own.push(words),
            }
        }
        if let Some(position) = key.position.filter(|_| !own.is_empty()) {
            places.push((position, own));
        }
    }
    places.sort_by_key(|place| place.0);
    gapless(command, &places)?;
    if !places.is_empty() {
        call.push("--".to_owned());
        call.extend(places.into_iter().flat_map(|place| place.1));
    }
    Ok(call)
}

/// A call as somebody types it at a terminal: what has no option first.
pub(crate) fn typed(call: &[String]) -> String {
    let mut parts = call.splitn(2, |word| word == "--");
    let (options, named) = (parts.next().unwrap_or(&[]), parts.next().unwrap_or(&[]));
    let words = options.iter().take_while(|word| !word.starts_with("--")).count();
    let (command, options) = options.split_at(words);
    let mut line = format!("glost {}", command.join(" "));
    for name in named {
        line.push_str(&format!(" {}", quoted(name)));
    }
    for option in options {
        match option.split_once('=') {
            Some((name, value)) => line.push_str(&format!(" {name} {}", quoted(value))),
            None => line.push_str(&format!(" {option}")),
        }
    }
    line
}

fn quoted(word: &str) -> String {
    let is_plain = !word.is_empty() && word.chars().all(|sign| sign.is_alphanumeric() || "._/-".contains(sign));
    if is_plain {
        word.to_owned()
    } else {
        format!("\"{}\"", word.replace('"', "\\\""))
    }
}

/// What has no option is told apart by its place alone.
fn gapless(command: &Command, places: &[(usize, Vec<String>)]) -> Result<(), Refusal> {
    for (index, (position, _)) in places.iter().enumerate() {
        if index + 1 < *position {
            let missing = command.keys.iter().find(|key| key.position == Some(index + 1));
            let missing = missing.map_or("a value", |key| key.name.as_str());
            let message = of_typed(missing, "is missing: what comes after it is told");
            return Err(Refusal::new(StatusCode::BAD_REQUEST, "missing-value", message));
        }
    }
    Ok(())
}

/// What a value says.
enum Said {
    Nothing,
    Bare,
    Words(String),
}

fn said(key: &Key, value: &Value) -> Result<Said, Refusal> {
    let words = match value {
        Value::Null => return Ok(Said::Nothing),
        Value::Bool(false) if key.takes != Takes::Value => return Ok(Said::Nothing),
        Value::Bool(true) if key.takes != Takes::Value => return Ok(Said::Bare),
        Value::String(text) if key.takes != Takes::Nothing => text.clone(),
        Value::Number(number) if key.takes != Takes::Nothing => number.to_string(),
        other => return Err(not_taken(key, &other.to_string())),
    };
    if words.contains('\0') {
        return Err(not_taken(key, "a sign of value zero"));
    }
    if !key.is_text && leads_out(&words) {
        let message = under(
            &key.name,
            "a path out of the studio's folder isn't taken from a request",
        );
        let refusal = Refusal::new(StatusCode::BAD_REQUEST, "path-outside", message);
        return Err(refusal.help("say a name, or a file inside the studio's folder"));
    }
    Ok(Said::Words(words))
}

/// Whether words, or what they set a name to, are a path that leaves the folder.
fn leads_out(words: &str) -> bool {
    let is_out = |path: &str| {
        let path = path.trim();
        let drive = path.as_bytes().get(1) == Some(&b':') && path.starts_with(|sign: char| sign.is_ascii_alphabetic());
        path.starts_with(['/', '\\', '~']) || drive || path.split(['/', '\\']).any(|part| part.trim() == "..")
    };
    is_out(words) || words.split_once('=').is_some_and(|(_, value)| is_out(value))
}

fn unknown(command: &Command, name: &str) -> Refusal {
    let asked = command.words.join(" ");
    let refusal = Refusal::new(
        StatusCode::BAD_REQUEST,
        "unknown-key",
        format!("`{asked}` takes no `{name}`"),
    );
    let names = command
        .keys
        .iter()
        .flat_map(|key| std::iter::once(&key.name).chain(&key.other_names));
    match suggestion(name, names.clone().map(String::as_str)) {
        Some(nearest) => refusal.help(nearest),
        None => {
            let names: Vec<&str> = names.map(String::as_str).collect();
            refusal.help(format!("it takes {}", names.join(", ")))
        }
    }
}

fn not_taken(key: &Key, value: &str) -> Refusal {
    let takes = match key.takes {
        Takes::Nothing => "true or false",
        Takes::Value => "text or a number, or a list of them",
        Takes::MaybeValue => "text, a number, or true",
    };
    let message = format!("`{}`: {value} isn't taken", key.name);
    Refusal::new(StatusCode::BAD_REQUEST, "bad-value", message).help(format!("it takes {takes}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn key(name: &str, takes: Takes, position: Option<usize>) -> Key {
        Key {
            name: name.to_owned(),
            other_names: Vec::new(),
            takes,
            position,
            is_text: name == "text",
        }
    }

    fn called(path: &str, body: &Value) -> Result<Vec<String>, Refusal> {
        let adjust = Command {
            words: vec!["adjust".to_owned()],
            keys: vec![
                key("glaze", Takes::Value, Some(1)),
                key("aims", Takes::Value, Some(2)),
                key("with", Takes::Value, None),
                key("quick", Takes::Nothing, None),
                key("text", Takes::Value, None),
            ],
        };
        call(&[adjust], path, body.as_object().unwrap())
    }

    #[test]
    fn names_become_options_and_places() {
        let body =
            json!({"aims": ["SiO2 >= 3", "no barium carbonate"], "with": ["a", "b"], "quick": true, "glaze": "x"});
        let call = called("adjust", &body).unwrap();
        let words = [
            "adjust",
            "--with=a",
            "--with=b",
            "--quick",
            "--",
            "x",
            "SiO2 >= 3",
            "no barium carbonate",
        ];
        assert_eq!(call, words);
        let left_out = json!({"glaze": "x", "with": null, "quick": false, "aims": []});
        assert_eq!(called("adjust", &left_out).unwrap(), ["adjust", "--", "x"]);
    }

    #[test]
    fn a_call_is_shown_as_it_is_typed() {
        let body = json!({"glaze": "Lamplight clear", "aims": ["no barium carbonate"], "with": "a", "quick": true});
        let call = called("adjust", &body).unwrap();
        let line = "glost adjust \"Lamplight clear\" \"no barium carbonate\" --with a --quick";
        assert_eq!(typed(&call), line);
    }

    #[test]
    fn no_value_becomes_an_option() {
        let body = json!({"glaze": "--studio=/", "with": "--quick", "text": "-- $(true) ; ../../x"});
        let call = called("adjust", &body);
        assert!(call.is_err(), "it sets a path outside");
        let body = json!({"glaze": "--quick", "with": "--quick", "text": "-- $(true) ; ../../x"});
        let words = [
            "adjust",
            "--with=--quick",
            "--text=-- $(true) ; ../../x",
            "--",
            "--quick",
        ];
        assert_eq!(called("adjust", &body).unwrap(), words);
    }

    #[test]
    fn what_is_not_taken_is_refused() {
        for (path, body) in [
            ("adjusted", json!({})),
            ("adjust", json!({"glaces": "x"})),
            ("adjust", json!({"format": "text"})),
            ("adjust", json!({"glaze": {"a": 1}})),
            ("adjust", json!({"glaze": true})),
            ("adjust", json!({"quick": "yes"})),
            ("adjust", json!({"aims": ["x"]})),
            ("adjust", json!({"glaze": "a\u{0}b"})),
            ("adjust", json!({"glaze": "../../etc/passwd"})),
            ("adjust", json!({"glaze": "/etc/passwd"})),
            ("adjust", json!({"glaze": "glazes/../../x"})),
            ("adjust", json!({"glaze": "C:\\x"})),
            ("adjust", json!({"with": "name=../x"})),
        ] {
            assert!(called(path, &body).is_err(), "{path} {body}");
        }
    }
}
