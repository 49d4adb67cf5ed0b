//! What was meant where the parser stumbles over a number, a quote or a sign as people write
//! them elsewhere: told in place of what the parser says, with the text that was meant.

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source, of_typed};
use rhai::{LexError, ParseError, ParseErrorType, Position};

use crate::editing::tokens::{Token, tokens};

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
    if matches!(error.err_type(), ParseErrorType::MissingToken(token, _) if token == "{")
        && let Some(at) = per_cent_before_braces(&tokens(source), Mark { line, column })
    {
        let (_, message, help) = no_per_cent(at.column);
        return Some(Diagnostic::error("script-syntax", message).help(help).at(source, at, 1));
    }
    let told = set_quotes(&stumble)
        .or_else(|| decimal_comma(&stumble))
        .or_else(|| per_cent(&stumble, error.err_type()))
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
    per_cent_at(&before, &from).map(|column| (column, " "))
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
        let number = |sign: &char| *sign == ',' || digit(sign);
        let rest: String = at.from.chars().skip(1).take_while(number).collect();
        let groups: Vec<&str> = rest.split(',').filter(|group| !group.is_empty()).collect();
        let thousands = format!("{whole}{}", groups.concat());
        let point = format!("{whole}.{}", groups[0]);
        let help = match groups[..] {
            [group] if group.len() == 3 => format!("write `{thousands}` or `{point}`, whichever is meant"),
            [_, _, ..] if groups.iter().all(|group| group.len() == 3) => of_typed(thousands, "is meant"),
            _ => of_typed(point, "is meant"),
        };
        let column = at.before.chars().count() + 1;
        (column, "numbers are written with a point, not a comma".to_owned(), help)
    })
}

fn set_quotes(at: &Stumble) -> Option<Told> {
    let sign = at.from.chars().next().filter(|sign| SET_QUOTES.contains(sign))?;
    let message = of_typed(sign, "is a quote of word processors");
    let column = at.before.chars().count() + 1;
    Some((column, message, "write straight quotes: \"...\"".to_owned()))
}

/// Where a number stands with a per cent sign, next to what is stumbled over.
fn per_cent_at(before: &str, from: &str) -> Option<usize> {
    let before = before.trim_end();
    let number = before.strip_suffix('%').filter(|_| !from.starts_with('%'))?;
    let is_one = number.ends_with(|sign: char| sign.is_ascii_digit());
    is_one.then(|| before.chars().count())
}

/// `if x > 5% { ... }`: what stands in the braces was taken for what is divided by.
pub(crate) fn per_cent_before_braces(all: &[Token], at: Mark) -> Option<Mark> {
    let before = &all[..all.iter().take_while(|token| token.from < at).count()];
    let mut depth = 0_usize;
    before.last().filter(|last| last.is('}'))?;
    let opens = |token: &Token| {
        match token.sign() {
            Some('}') => depth += 1,
            Some('{') => depth = depth.saturating_sub(1),
            _ => return false,
        }
        depth == 0
    };
    let open = before.iter().rposition(opens)?;
    let [number, sign] = before.get(open.checked_sub(2)?..open)? else {
        return None;
    };
    let digit = number
        .word()
        .is_some_and(|word| word.starts_with(|sign: char| sign.is_ascii_digit()));
    (sign.is('%') && digit && number.to == sign.from).then_some(sign.from)
}

fn per_cent(at: &Stumble, kind: &ParseErrorType) -> Option<Told> {
    let stumbles = matches!(kind, ParseErrorType::BadInput(LexError::UnexpectedInput(_)))
        || matches!(kind, ParseErrorType::MissingToken(..));
    let column = per_cent_at(&at.before, &at.from).filter(|_| stumbles)?;
    Some(no_per_cent(column))
}

fn no_per_cent(column: usize) -> Told {
    let message = "`%` is what a division leaves, no per cent".to_owned();
    let help = "write the number alone; a share of 5 % is `0.05`".to_owned();
    (column, message, help)
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
            } else if word.starts_with(|sign: char| sign.is_ascii_digit()) {
                of_typed(&word, "begins with a digit, a name with a letter")
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
        P::MissingToken(token, _) if token == "}" && at.from.starts_with(':') => Some(second_colon(at, column)),
        P::MissingToken(token, _) if token == "{" => Some((
            column,
            "`{` is missing before this".to_owned(),
            "what is done stands in `{` and `}`".to_owned(),
        )),
        P::MissingToken(token, _) if token == ";" => capital_word(at),
        _ => None,
    }
}

/// `SiO2:Al2O3: [7, 12]`, and `a: 1 : 2`.
fn second_colon(at: &Stumble, column: usize) -> Told {
    let is_part = |sign: char| sign.is_alphanumeric() || sign == '_';
    let name_before = |text: &str| {
        let rest = text.trim_end_matches(is_part);
        text[rest.len()..]
            .starts_with(char::is_alphabetic)
            .then(|| rest.trim_end().to_owned())
    };
    let key = name_before(at.before.trim_end()).and_then(|rest| rest.strip_suffix(':').map(str::to_owned));
    let names = key.is_some_and(|key| name_before(key.trim_end()).is_some());
    let (message, help) = if names {
        (
            "a name with `:` in it stands in quotes",
            "write `\"SiO2:Al2O3\": [7, 12]`",
        )
    } else {
        (
            "`:` has no place here: what stands before it is a value",
            "what is in a table is parted by `,`: `#{ a: 1, b: 2 }`",
        )
    };
    (column, message.to_owned(), help.to_owned())
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
