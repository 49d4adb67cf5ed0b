//! What was meant where the parser stumbles over a number, a quote or a sign as people write
//! them elsewhere: told in place of what the parser says, with the text that was meant.

use glost_chemistry::diagnostic::{Diagnostic, Source, of_typed};
use rhai::{LexError, ParseError, ParseErrorType, Position};

/// Quotes as word processors set them.
const SET_QUOTES: [char; 9] = ['“', '”', '„', '‘', '’', '‚', '«', '»', '´'];
/// Words that begin a statement.
const BEGIN: [&str; 10] = [
    "let", "if", "for", "fn", "const", "return", "else", "while", "switch", "throw",
];
/// Signs that stand between two values.
const BETWEEN: [char; 9] = ['+', '-', '*', '/', '<', '>', '=', '&', '|'];

/// A stumble in its line.
struct Stumble {
    /// What stands before it.
    before: String,
    /// What stands from it on.
    from: String,
    line: usize,
}

/// What is said, and where in the line, counted from 1.
type Told = (usize, String, String);

/// What was meant at a stumble; `None` where nobody can tell.
pub(crate) fn meant(error: &ParseError, source: &Source) -> Option<Diagnostic> {
    let position = error.position();
    let line = position.line()?;
    let column = position.position().unwrap_or(1).max(1);
    let text = source.line(line);
    let stumble = Stumble {
        before: text.chars().take(column - 1).collect(),
        from: text.chars().skip(column - 1).collect(),
        line,
    };
    let told = set_quotes(&stumble, text)
        .or_else(|| decimal_comma(&stumble))
        .or_else(|| per_cent(text, error.err_type()))
        .or_else(|| in_kind(&stumble, error.err_type()))
        .or_else(|| unexpected(&stumble, error.err_type()));
    let (column, message, help) = told?;
    let fault = Diagnostic::error("script-syntax", message).help(help);
    let column = u16::try_from(column).ok()?;
    let at = Position::new(u16::try_from(stumble.line).ok()?, column);
    Some(crate::trouble::place(fault, source, at))
}

/// The text with a decimal comma made a point, or a per cent sign taken out: where it stands,
/// and what stands there instead.
pub(crate) fn mended(text: &str, column: usize) -> Option<(usize, &'static str)> {
    let before: String = text.chars().take(column.saturating_sub(1)).collect();
    let from: String = text.chars().skip(column.saturating_sub(1)).collect();
    if is_decimal(&before, &from) {
        return Some((column, "."));
    }
    per_cent_at(text).map(|column| (column, " "))
}

fn is_decimal(before: &str, from: &str) -> bool {
    let digits = |text: &str| text.starts_with(|sign: char| sign.is_ascii_digit());
    before.ends_with(|sign: char| sign.is_ascii_digit()) && from.strip_prefix(',').is_some_and(digits)
}

fn decimal_comma(at: &Stumble) -> Option<Told> {
    is_decimal(&at.before, &at.from).then(|| {
        let digit = |sign: &char| sign.is_ascii_digit();
        let whole: String = at.before.chars().rev().take_while(digit).collect();
        let whole: String = whole.chars().rev().collect();
        let rest: String = at.from.chars().skip(1).take_while(digit).collect();
        let point = of_typed([whole.as_str(), rest.as_str()].join("."), "is meant");
        let column = at.before.chars().count() + 1;
        (
            column,
            "numbers are written with a point, not a comma".to_owned(),
            point,
        )
    })
}

fn set_quotes(at: &Stumble, text: &str) -> Option<Told> {
    let sign = at.from.chars().next().filter(|sign| SET_QUOTES.contains(sign))?;
    let message = of_typed(sign, "is a quote of word processors");
    let column = text.chars().position(|other| other == sign)? + 1;
    Some((column, message, "write straight quotes: \"...\"".to_owned()))
}

/// Where a number stands with a per cent sign that nothing follows.
fn per_cent_at(text: &str) -> Option<usize> {
    let signs: Vec<char> = text.chars().collect();
    let is_one = |at: &usize| {
        let next = signs[at + 1..].iter().find(|sign| !sign.is_whitespace());
        let digit = at.checked_sub(1).is_some_and(|before| signs[before].is_ascii_digit());
        signs[*at] == '%' && digit && next.is_none_or(|next| [';', ')', '{', ','].contains(next))
    };
    (0..signs.len()).find(is_one).map(|at| at + 1)
}

fn per_cent(text: &str, kind: &ParseErrorType) -> Option<Told> {
    let stumbles = matches!(kind, ParseErrorType::BadInput(LexError::UnexpectedInput(_)))
        || matches!(kind, ParseErrorType::MissingToken(..));
    let column = per_cent_at(text).filter(|_| stumbles)?;
    let message = "`%` is what a division leaves, no per cent".to_owned();
    Some((
        column,
        message,
        "write the number alone; a share of 5 % is `0.05`".to_owned(),
    ))
}

/// What is told of a stumble of one kind.
fn in_kind(at: &Stumble, kind: &ParseErrorType) -> Option<Told> {
    use ParseErrorType as P;
    let column = at.before.chars().count() + 1;
    match kind {
        P::VariableExpected => {
            let word: String = at.from.chars().take_while(|sign| sign.is_alphanumeric()).collect();
            let message = if word.is_empty() {
                "a name is missing here".to_owned()
            } else {
                of_typed(&word, "is a word of the language and no name")
            };
            Some((column, message, "take another name: letters, digits and `_`".to_owned()))
        }
        P::BadInput(LexError::MalformedEscapeSequence(sequence)) => Some((
            column,
            of_typed(sequence, "means nothing in a text"),
            "`\\n` begins a line, `\\\"` is a quote, `\\\\` is `\\` itself".to_owned(),
        )),
        P::MissingToken(token, _) if token == "," => Some(missing_comma(at, column)),
        P::MissingToken(token, _) if token == ":" && at.from.starts_with('=') => Some((
            column,
            "in a table a value stands behind `:`, not `=`".to_owned(),
            "write `name: value`".to_owned(),
        )),
        P::MissingToken(token, _) if token == "}" && at.from.starts_with(':') => Some((
            column,
            "a name with `:` in it stands in quotes".to_owned(),
            "write `\"SiO2:Al2O3\": [7, 12]`".to_owned(),
        )),
        P::MissingToken(token, _) if token == "{" => Some((
            column,
            "`{` is missing before this".to_owned(),
            "what is done stands in `{` and `}`".to_owned(),
        )),
        P::MissingToken(token, _) if token == ";" => capital_word(at),
        _ => None,
    }
}

fn missing_comma(at: &Stumble, column: usize) -> Told {
    if at.before.ends_with('"') && at.from.starts_with(char::is_alphanumeric) {
        let help = "a quote inside a text is written `\\\"`, or the text stands in backticks";
        return (column, "the text ends before this".to_owned(), help.to_owned());
    }
    let help = "what is in a list, a table or brackets is parted by `,`";
    (column, "`,` is missing before this".to_owned(), help.to_owned())
}

/// `Let x = 3`.
fn capital_word(at: &Stumble) -> Option<Told> {
    let before = at.before.trim_end();
    let word = before.rsplit(|sign: char| !sign.is_alphanumeric()).next()?;
    let small = word.to_lowercase();
    let begins = BEGIN.contains(&small.as_str()) && small != word;
    begins.then(|| {
        let column = before.chars().count() - word.chars().count() + 1;
        let help = "words of the language are written small".to_owned();
        (column, of_typed(word, format_args!("is written `{small}`")), help)
    })
}

/// Something has no place here, or something is missing before it.
fn unexpected(at: &Stumble, kind: &ParseErrorType) -> Option<Told> {
    let ParseErrorType::BadInput(LexError::UnexpectedInput(sign)) = kind else {
        return None;
    };
    let column = at.before.chars().count() + 1;
    let before = at.before.trim_end();
    let told = |message: &str, help: &str| Some((column, message.to_owned(), help.to_owned()));
    if at.from.starts_with('.') && at.from.chars().nth(1).is_some_and(|next| next.is_ascii_digit()) {
        return told("a number begins with a digit", "write `0.5`, not `.5`");
    }
    if before.ends_with('<') && at.from.starts_with('>') {
        return told("there is no `<>`", "unequal is written `!=`");
    }
    if before.ends_with("&&") || before.ends_with("||") {
        return told(
            "a comparison names both its sides",
            "write the value again: `x > 3 && x < 5`",
        );
    }
    if before.ends_with(BETWEEN) {
        return told(
            "a value is missing before this",
            "what joins two values stands between them",
        );
    }
    let message = of_typed(sign, "has no place here");
    let help = "something before it isn't finished, or is written in another way here".to_owned();
    Some((column, message, help))
}
