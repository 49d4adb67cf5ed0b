//! What `catch (why)` hands over: a text for every error, as it reads where nobody catches it.
//!
//! The engine hands over a table of its own for errors that it found itself. A variable that
//! `catch` made is looked at when it is read, and such a table is put in words.

use std::collections::HashSet;

use rhai::{AST, ASTNode, Dynamic, EvalAltResult, Expr, ImmutableString, Map, Position, Stmt};

use crate::trouble::{Trouble, in_words};

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

/// An error of the engine's that a script caught, as our own are caught; `None` for any other
/// value.
pub(crate) fn in_a_text(value: &Dynamic) -> Option<Dynamic> {
    let error = error_of(&*value.read_lock::<Map>()?)?;
    if let EvalAltResult::ErrorRuntime(message, _) = &error {
        return Some(message.clone());
    }
    let told = in_words(&error);
    let trouble = Trouble::new(told.code, told.message).maybe_help(told.help);
    Some(Dynamic::from(trouble))
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
