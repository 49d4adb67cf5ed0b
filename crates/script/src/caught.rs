//! What `catch (why)` hands over: a text for every error, as it reads where nobody catches it.
//!
//! The engine hands over a table of its own for errors that it found itself, and ours as they
//! are. A variable that `catch` made is looked at when it is read, and what it holds becomes a
//! text for good; the run remembers what else was to be told, for where it is thrown on.

use std::collections::HashSet;

use rhai::{AST, ASTNode, Dynamic, EvalAltResult, Expr, ImmutableString, Map, Position, Stmt};

use crate::scene;
use crate::trouble::{Trouble, in_words};

/// How many errors a run remembers beside their texts.
const REMEMBERED_MOST: usize = 32;

/// Names of variables that `catch` makes somewhere in a script.
pub(crate) fn names(ast: &AST) -> HashSet<String> {
    let mut names = HashSet::new();
    ast.walk(&mut |path| {
        if let Some(ASTNode::Stmt(Stmt::TryCatch(flow, _))) = path.last()
            && let Expr::Variable(name, ..) = &flow.expr
        {
            names.insert(name.1.to_string());
        }
        true
    });
    names
}

/// Makes a text of what a variable holds, where `catch` put an error into it.
pub(crate) fn make_a_text(value: &mut Dynamic) {
    let Some(trouble) = trouble_of(value) else { return };
    let text = Dynamic::from(ImmutableString::from(trouble.message.as_str()));
    // Without a run there is nobody to throw it on to.
    let _ = scene::present(|run| remember(&mut run.caught, trouble));
    if let Some(mut held) = value.write_lock::<Dynamic>() {
        *held = text;
    }
}

fn remember(caught: &mut Vec<Trouble>, trouble: Trouble) {
    if known_in(caught, &trouble.message).is_some() {
        return;
    }
    if caught.len() >= REMEMBERED_MOST {
        caught.remove(0);
    }
    caught.push(trouble);
}

fn known_in<'a>(caught: &'a [Trouble], text: &str) -> Option<&'a Trouble> {
    caught.iter().rev().find(|known| known.message == text)
}

/// What the present run caught that reads so.
pub(crate) fn known(text: &str) -> Option<Trouble> {
    scene::present(|run| known_in(&run.caught, text).cloned()).ok()?
}

/// An error of ours, or of the engine's, that a script caught; `None` for any other value.
fn trouble_of(value: &Dynamic) -> Option<Trouble> {
    if let Some(trouble) = value.read_lock::<Trouble>() {
        return Some(trouble.clone());
    }
    let error = error_of(&*value.read_lock::<Map>()?)?;
    let told = match &error {
        EvalAltResult::ErrorRuntime(message, _) => return Some(Trouble::new("script-failed", message.to_string())),
        other => in_words(other),
    };
    Some(Trouble::new(told.code, told.message).maybe_help(told.help))
}

/// The error that the engine made a table of, by the fields that it writes.
fn error_of(table: &Map) -> Option<EvalAltResult> {
    let text = |key: &str| {
        table
            .get(key)?
            .read_lock::<ImmutableString>()
            .map(|text| text.to_string())
    };
    let count = |key: &str| table.get(key)?.as_int().ok();
    // The engine writes the error's fields beside its name: they tell which it is.
    let (kind, message, nowhere) = (text("error")?, text("message")?, Position::NONE);
    use EvalAltResult as E;
    if !kind.starts_with("Error") {
        return None;
    }
    let of_text = kind.contains("String");
    let no_property = kind.contains("Property");
    let length = count("length").and_then(|length| usize::try_from(length).ok());
    Some(match (length, count("index")) {
        (Some(length), Some(index)) if of_text => E::ErrorStringBounds(length, index, nowhere),
        (Some(length), Some(index)) => E::ErrorArrayBounds(length, index, nowhere),
        _ => match (text("function"), text("requested"), text("actual"), text("variable")) {
            (Some(signature), ..) => E::ErrorFunctionNotFound(signature, nowhere),
            (_, Some(wanted), Some(found), _) => E::ErrorMismatchDataType(wanted, found, nowhere),
            (.., Some(name)) if no_property => E::ErrorPropertyNotFound(name, nowhere),
            _ => E::ErrorRuntime(message.into(), nowhere),
        },
    })
}
