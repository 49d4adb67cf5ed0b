//! Errors that native functions raise, and errors of the engine as complaints
//! with a place and a cure.

use std::fmt;

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source, of_typed};
use rhai::{Dynamic, EvalAltResult, ImmutableString, ParseError, ParseErrorType, Position};

use crate::bounds::{self, Bound};
use crate::caught;
use crate::failure::Cause;
use crate::wrong_kinds::{counted, mismatch, no_such_call};

/// What a native function has to say when it can't do what was asked.
#[derive(Debug, Clone)]
pub(crate) struct Trouble {
    pub(crate) code: &'static str,
    pub(crate) message: String,
    pub(crate) help: Option<String>,
    /// What the answer's reader may want to know of it.
    pub(crate) cause: Option<Cause>,
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl Trouble {
    pub(crate) fn new(code: &'static str, message: impl Into<String>) -> Trouble {
        Trouble {
            code,
            message: message.into(),
            help: None,
            cause: None,
        }
    }

    pub(crate) fn because(mut self, cause: Cause) -> Trouble {
        self.cause = Some(cause);
        self
    }

    pub(crate) fn help(mut self, help: impl Into<String>) -> Trouble {
        self.help = Some(help.into());
        self
    }

    pub(crate) fn maybe_help(mut self, help: Option<String>) -> Trouble {
        self.help = help.or(self.help);
        self
    }

    pub(crate) fn raise(self) -> Box<EvalAltResult> {
        EvalAltResult::ErrorRuntime(Dynamic::from(self), Position::NONE).into()
    }
}

/// A raised [`Trouble`].
pub(crate) fn trouble(code: &'static str, message: impl Into<String>) -> Box<EvalAltResult> {
    Trouble::new(code, message).raise()
}

/// What the engine calls functions in brackets, `|x| ...`.
pub(crate) const CLOSURE: &str = "anon$";

/// How a run of a script went wrong.
#[derive(Debug, Clone)]
pub(crate) struct Broken {
    pub(crate) bound: Option<Bound>,
    pub(crate) diagnostic: Diagnostic,
    pub(crate) cause: Option<Cause>,
}

/// Underlines the word at a position.
pub(crate) fn place(diagnostic: Diagnostic, source: &Source, position: Position) -> Diagnostic {
    let Some(line) = position.line() else {
        return diagnostic;
    };
    let column = position.position().unwrap_or(1).max(1);
    let width = source
        .line(line)
        .chars()
        .skip(column - 1)
        .take_while(|sign| sign.is_alphanumeric() || *sign == '_')
        .count();
    diagnostic.at(source, Mark { line, column }, width.max(1))
}

/// Whether an error is a bound that was broken.
fn bound_of(error: &EvalAltResult) -> Option<Bound> {
    match error {
        EvalAltResult::ErrorTooManyOperations(_) => Some(Bound::Operations),
        EvalAltResult::ErrorStackOverflow(_) => Some(Bound::Calls),
        EvalAltResult::ErrorDataTooLarge(what, _) if what.contains("string") => Some(Bound::Text),
        EvalAltResult::ErrorDataTooLarge(..) => Some(Bound::Items),
        EvalAltResult::ErrorTooManyVariables(_) => Some(Bound::Variables),
        EvalAltResult::ErrorTerminated(..) => Some(bounds::broken().map_or(Bound::Engine, |broken| broken.0)),
        EvalAltResult::ErrorInFunctionCall(_, _, inner, _) => bound_of(inner),
        _ => None,
    }
}

/// The innermost error, where it happened.
fn innermost(error: &EvalAltResult) -> &EvalAltResult {
    match error {
        EvalAltResult::ErrorInFunctionCall(_, _, inner, _) => innermost(inner),
        other => other,
    }
}

/// The innermost position that is known.
fn position_of(error: &EvalAltResult) -> Position {
    match error {
        EvalAltResult::ErrorInFunctionCall(_, _, inner, outer) => {
            let inner = position_of(inner);
            if inner.is_none() { *outer } else { inner }
        }
        other => other.position(),
    }
}

/// What went wrong while a script ran.
pub(crate) fn while_running(error: &EvalAltResult, source: &Source) -> Broken {
    let position = position_of(error);
    if let Some((bound, used)) = bounds::broken().or_else(|| Some((bound_of(error)?, bounds::present()))) {
        return Broken {
            bound: Some(bound),
            diagnostic: place(
                Diagnostic::error("script-bounds", bound.message(&used)).help(bound.help()),
                source,
                position,
            ),
            cause: None,
        };
    }
    let (diagnostic, cause) = match innermost(error) {
        EvalAltResult::ErrorRuntime(token, _) => thrown(token),
        other => (in_words(other), None),
    };
    Broken {
        bound: None,
        diagnostic: place(diagnostic, source, position),
        cause,
    }
}

fn thrown(token: &Dynamic) -> (Diagnostic, Option<Cause>) {
    let caught = token
        .read_lock::<ImmutableString>()
        .and_then(|text| caught::known(&text));
    let own = || token.read_lock::<Trouble>().map(|trouble| trouble.clone());
    if let Some(trouble) = caught.or_else(own) {
        let diagnostic = Diagnostic::error(trouble.code, trouble.message).maybe_help(trouble.help);
        return (diagnostic, trouble.cause);
    }
    let said = if token.is_unit() {
        "the script gave up without saying why".to_owned()
    } else {
        let said: String = token.to_string().chars().take(400).collect();
        said
    };
    (Diagnostic::error("script-gave-up", said), None)
}

pub(crate) fn in_words(error: &EvalAltResult) -> Diagnostic {
    use EvalAltResult as E;
    match error {
        E::ErrorVariableNotFound(name, _) => {
            Diagnostic::error("unknown-name", format!("nothing here is called `{name}`"))
        }
        E::ErrorPropertyNotFound(name, _) => Diagnostic::error("unknown-key", format!("this table has no `{name}`"))
            .help("`contains` asks whether it has"),
        E::ErrorDotExpr(..) | E::ErrorIndexingType(..) => {
            Diagnostic::error("unknown-name", "this value has nothing of that name to read or change")
                .help("values from the engine are read only; see `glost script reference`")
        }
        E::ErrorDataRace(..) => Diagnostic::error(
            "in-use",
            "the function in brackets looks at the very value that this chain starts from",
        )
        .help("take the list out first: `let names = old.present;`, then `names.filter(...)`"),
        E::ErrorIndexNotFound(index, _) => Diagnostic::error("unknown-key", format!("there is nothing at `{index}`")),
        E::ErrorFunctionNotFound(signature, _) => no_such_call(signature),
        E::ErrorMismatchDataType(wanted, found, _) | E::ErrorMismatchOutputType(wanted, found, _) => {
            mismatch(wanted, found)
        }
        E::ErrorArrayBounds(len, index, _) => Diagnostic::error(
            "no-such-item",
            format!("the list has {}, there is no item {index}", counted(*len, "item")),
        )
        .help("items count from 0; the last is `list[-1]`"),
        E::ErrorStringBounds(len, index, _) => Diagnostic::error(
            "no-such-item",
            format!("the text has {}, there is no letter {index}", counted(*len, "letter")),
        ),
        E::ErrorBitFieldBounds(..) => Diagnostic::error("wrong-kind", "a number has no items"),
        E::ErrorFor(_) => Diagnostic::error("wrong-kind", "this can't be gone through one by one")
            .help("`for` takes a list, the parts of a glaze, or a range such as 0..5; of a table `table.keys()`"),
        E::ErrorAssignmentToConstant(name, _) => Diagnostic::error("read-only", of_typed(name, "can't be changed"))
            .help("make a copy first: `let copy = ...`"),
        E::ErrorNonPureMethodCallOnConstant(name, _) => {
            Diagnostic::error("read-only", of_typed(name, "would change a constant"))
                .help("make a copy first: `let copy = ...`")
        }
        E::ErrorArithmetic(what, _) => Diagnostic::error("arithmetic", format!("this can't be computed: {what}")),
        E::ErrorUnboundThis(_) => Diagnostic::error("unknown-name", "`this` means nothing here"),
        E::ErrorParsing(kind, _) => parse_words(kind),
        other => Diagnostic::error("script-failed", strip_place(&other.to_string())),
    }
}

fn strip_place(text: &str) -> String {
    text.rsplit_once(" (line ")
        .map_or(text, |(before, _)| before)
        .to_owned()
}

/// What the engine's parser calls kinds of values, and what they are here.
const KINDS_HERE: [(&str, &str); 3] = [
    ("an object map", "a table"),
    ("an array", "a list"),
    ("a string", "a text"),
];

/// What the parser complains about, with its place.
pub(crate) fn while_parsing(error: &ParseError, source: &Source) -> Diagnostic {
    let foreign = help_from_line(source, error.position());
    if let Some(fault) = crate::meant::meant(error, source).filter(|_| foreign.is_none()) {
        return fault;
    }
    let diagnostic = parse_words(error.err_type());
    place(diagnostic.maybe_help(foreign), source, error.position())
}

/// A word of another language at the place or just before it.
fn help_from_line(source: &Source, position: Position) -> Option<String> {
    let line = source.line(position.line()?);
    let column = position.position().unwrap_or(1);
    let from: String = line.chars().skip(column.saturating_sub(1)).collect();
    if let Some(help) = crate::foreign::line(line).or_else(|| crate::foreign::sign(&from)) {
        return Some(help.to_owned());
    }
    let end = line
        .char_indices()
        .enumerate()
        .filter(|(index, (_, sign))| *index + 1 >= column && !sign.is_alphanumeric())
        .map(|(_, (at, _))| at)
        .next()
        .unwrap_or(line.len());
    line.get(..end)?
        .split(|sign: char| !sign.is_alphanumeric())
        .rev()
        .filter(|word| !word.is_empty())
        .take(2)
        .find_map(crate::foreign::word)
        .map(str::to_owned)
}

fn parse_words(kind: &ParseErrorType) -> Diagnostic {
    use ParseErrorType as P;
    match kind {
        P::UnexpectedEOF => Diagnostic::error("script-syntax", "the script ends in the middle of something")
            .help("a `}`, `)` or `;` is missing"),
        P::MissingToken(token, _) if token == ";" => {
            Diagnostic::error("script-syntax", "`;` is missing before this").help("end each line with `;`")
        }
        P::MissingToken(token, why) => Diagnostic::error("script-syntax", format!("`{token}` is missing {why}")),
        P::VariableUndefined(name) => Diagnostic::error("unknown-name", format!("nothing here is called `{name}`")),
        P::Reserved(word) => Diagnostic::error("script-syntax", of_typed(word, "isn't available to scripts")),
        P::ExprTooDeep => Diagnostic::error("script-syntax", "this expression is nested too deep")
            .help("give its parts names: `let part = ...`"),
        P::FnDuplicatedDefinition(name, parameters) => Diagnostic::error(
            "script-syntax",
            format!("there are two functions `{name}` of {parameters} parameters"),
        )
        .help("give one of them another name"),
        P::FnDuplicatedParam(name, parameter) => Diagnostic::error(
            "script-syntax",
            format!("`{name}` has two parameters called `{parameter}`"),
        ),
        P::DuplicatedProperty(name) => {
            Diagnostic::error("duplicate-key", of_typed(name, "is given twice")).help("keep one of them")
        }
        P::AssignmentToConstant(name) => Diagnostic::error("read-only", of_typed(name, "can't be changed"))
            .help("make a copy first: `let copy = ...`"),
        P::MismatchedType(wanted, found) => {
            let wanted = match wanted.as_str() {
                "a boolean expression" => "true or false",
                "an iterable value" => "a list, the parts of a glaze, or a range such as 0..5",
                other => other,
            };
            let here = KINDS_HERE.iter().find(|known| known.0 == found);
            let found = here.map_or(found.as_str(), |known| known.1);
            let each = wanted
                .contains("0..5")
                .then(|| "of a table `table.keys()` lists the names".to_owned());
            Diagnostic::error("wrong-kind", format!("{wanted} is needed here, this is {found}")).maybe_help(each)
        }
        P::BadInput(rhai::LexError::MalformedChar(_)) => {
            Diagnostic::error("script-syntax", "a text goes in double quotes: \"...\"")
                .help("single quotes hold one letter")
        }
        P::BadInput(rhai::LexError::UnterminatedString) => {
            Diagnostic::error("script-syntax", "this text has no closing quote")
                .help("end it with `\"`, or `` ` `` where it began so")
        }
        P::UnknownOperator(operator) => {
            Diagnostic::error("script-syntax", format!("there is no `{operator}` here")).help("`x += 1` adds to x")
        }
        P::TooManyFunctions => Diagnostic::error("script-syntax", "there are too many functions in this script")
            .help("split the script up"),
        P::LiteralTooLarge(..) => Diagnostic::error("script-syntax", "this literal is too large"),
        P::WrongFnDefinition => Diagnostic::error(
            "script-syntax",
            "functions stand at the top of a script, not inside others",
        ),
        P::BadInput(rhai::LexError::ImproperSymbol(_, why)) if why.contains("typo of '=='") => {
            Diagnostic::error("script-syntax", "`=` gives a name its value, it doesn't compare")
                .help("did you mean `==`?")
        }
        P::BadInput(rhai::LexError::ImproperSymbol(sign, _))
            if crate::foreign::sign(sign).or(crate::foreign::bits(sign)).is_some() =>
        {
            Diagnostic::error("script-syntax", format!("there is no `{sign}` here"))
                .maybe_help(crate::foreign::bits(sign).map(str::to_owned))
        }
        P::BadInput(rhai::LexError::ImproperSymbol(_, why)) => Diagnostic::error("script-syntax", why.clone()),
        P::BadInput(lexical) => Diagnostic::error("script-syntax", lexical.to_string()),
        P::LoopBreak => {
            Diagnostic::error("script-syntax", "`break` and `continue` stand inside loops").help("write `return`")
        }
        other => Diagnostic::error("script-syntax", other.to_string()),
    }
}
