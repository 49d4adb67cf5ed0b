//! Values of a kind that is of no use where they are handed, in words.

use glost_chemistry::diagnostic::{Diagnostic, of_typed};

use crate::reference::forms_of;
use crate::sort::Sort;
use crate::trouble::CLOSURE;

/// `1 item`, `2 items`.
pub(crate) fn counted(number: usize, what: &str) -> String {
    let many = if number == 1 { "" } else { "s" };
    format!("{number} {what}{many}")
}

/// Kinds that are one for us and two for the engine: what is said where the other is needed.
const ALIKE: [(&[&str], &str, &str); 2] = [
    (
        &["i64", "int"],
        "a whole number is needed here, this has decimals",
        "`round(x)` makes it whole",
    ),
    (
        &["char"],
        "letters of a text can't be changed one by one",
        "make a new text: `part` takes letters out of one, `+` joins them",
    ),
];
/// What is said of any others.
const OTHER: (&str, &str) = (
    "this is another sort of what is needed here",
    "see what is taken: `glost script reference`",
);

/// A value of another kind than is needed; of the same in our words, where the engine knows two.
pub(crate) fn mismatch(wanted: &str, found: &str) -> Diagnostic {
    let (needed, given) = (Sort::words_for_type(wanted), Sort::words_for_type(found));
    if needed != given {
        return Diagnostic::error("wrong-kind", format!("{needed} is needed here, this is {given}"));
    }
    let known = ALIKE.iter().find(|known| known.0.contains(&wanted));
    let (message, help) = known.map_or(OTHER, |known| (known.1, known.2));
    Diagnostic::error("wrong-kind", message).help(help)
}

/// A function in brackets that is handed another number of values than it takes.
fn wrong_closure(handed: usize) -> Diagnostic {
    let (values, form) = match handed {
        0 => ("nothing", "|| ..."),
        1 => ("one value", "|x| ..."),
        _ => ("two values", "|x, y| ..."),
    };
    let message = format!("the function in brackets is handed {values}, and takes another number of them");
    Diagnostic::error("wrong-count", message).help(of_typed(form, format_args!("takes {values}")))
}

/// `name (kind, kind)` as the engine writes it.
pub(crate) fn no_such_call(signature: &str) -> Diagnostic {
    let (name, kinds) = signature.split_once(" (").unwrap_or((signature, ""));
    let kinds: Vec<&str> = kinds
        .strip_suffix(')')
        .unwrap_or(kinds)
        .split(", ")
        .filter(|kind| !kind.is_empty())
        .map(Sort::words_for_type)
        .collect();
    if name.starts_with(CLOSURE) {
        return wrong_closure(kinds.len());
    }
    if !name.starts_with(|sign: char| sign.is_alphabetic() || sign == '_') {
        let name = name.trim_end_matches('$');
        let message = match kinds.as_slice() {
            [one] => format!("`{name}` doesn't work on {one}"),
            [left, right] => format!("`{name}` doesn't work between {left} and {right}"),
            _ => of_typed(name, "doesn't work here"),
        };
        let nothing = kinds.contains(&Sort::Nothing.words());
        let help = nothing.then(|| "a value that isn't known is `()`; ask first: `if x != () { ... }`".to_owned());
        return Diagnostic::error("wrong-kind", message).maybe_help(help);
    }
    let message = if kinds.is_empty() {
        of_typed(name, "can't be called without anything")
    } else {
        format!("`{name}` can't be called with {}", kinds.join(", "))
    };
    let forms = forms_of(name);
    let help = if forms.is_empty() {
        format!("see what `{name}` takes: `glost script reference`")
    } else {
        format!("it is written {}", forms.join(" or "))
    };
    Diagnostic::error("wrong-kind", message).help(help)
}
