//! Words from other languages, and what they are here.
use glost_chemistry::diagnostic::did_you_mean;

/// Words that stand by themselves.
const WORDS: [(&str, &str); 16] = [
    ("and", "and is written `&&`"),
    ("or", "or is written `||`"),
    ("not", "not is written `!`"),
    (
        "function",
        "functions are written `fn name(a, b) { ... }`, at the top of the script",
    ),
    (
        "def",
        "functions are written `fn name(a, b) { ... }`, at the top of the script",
    ),
    ("var", "variables are made with `let`"),
    ("null", "nothing is written `()`"),
    ("nil", "nothing is written `()`"),
    ("None", "nothing is written `()`"),
    ("undefined", "nothing is written `()`"),
    ("True", "write `true`"),
    ("False", "write `false`"),
    ("elif", "write `else if`"),
    ("elseif", "write `else if`"),
    ("then", "write `if x > 1 { ... }`"),
    ("Math", "`sqrt(x)`, `round(x, 2)`, `min(a, b)` are called as they are"),
];

/// How a word of another language is written here, where it has one word here.
const HERE: [(&str, &str); 13] = [
    ("and", "&&"),
    ("or", "||"),
    ("not", "!"),
    ("function", "fn"),
    ("def", "fn"),
    ("var", "let"),
    ("null", "()"),
    ("nil", "()"),
    ("None", "()"),
    ("True", "true"),
    ("False", "false"),
    ("elif", "else if"),
    ("elseif", "else if"),
];

/// Signs of other languages, and those meant.
pub(crate) const SIGNS_HERE: [(&str, &str); 3] = [("===", "=="), ("!==", "!="), ("<-", "< -")];

/// Functions and methods.
const CALLS: [(&str, &str); 14] = [
    ("append", "push"),
    ("add", "push"),
    ("length", "len"),
    ("size", "len"),
    ("count", "len"),
    ("some", "any"),
    ("every", "all"),
    ("find", "filter"),
    ("slice", "part"),
    ("extract", "part"),
    ("sub_string", "part"),
    ("toFixed", "fixed"),
    ("to_int", "round"),
    ("parse_float", "to_number"),
];

/// What a word of another language is here.
pub(crate) fn word(typed: &str) -> Option<&'static str> {
    WORDS.iter().find(|known| known.0 == typed).map(|known| known.1)
}

/// How a word of another language is written here.
pub(crate) fn here(typed: &str) -> Option<&'static str> {
    HERE.iter().find(|known| known.0 == typed).map(|known| known.1)
}

/// Signs of other languages, at the place where they are stumbled over.
const SIGNS: [(&str, &str); 6] = [
    ("<-", "put a blank before the sign of the number: `x < -1`"),
    ("=>", "at least is written `>=`; a function in brackets `|x| x + 1`"),
    ("->", "a function in brackets is written `|x| x + 1`"),
    ("===", "equal is written `==`"),
    ("!==", "unequal is written `!=`"),
    ("?", "one of two values is written `if a { b } else { c }`"),
];

/// Signs that reckon with bits elsewhere, and what is meant by them.
const BITS: [(&str, &str); 10] = [
    ("^", "a power is written `**`: `x ** 2`"),
    ("&", "and is written `&&`"),
    ("|", "or is written `||`"),
    ("<<", "a power of two is written `2 ** n`; less is `<`"),
    (">>", "a power of two is written `2 ** n`; more is `>`"),
    ("^=", "a power is written `x = x ** 2`"),
    ("&=", "and is written `x = x && y`"),
    ("|=", "or is written `x = x || y`"),
    ("<<=", "at most is written `<=`"),
    (">>=", "at least is written `>=`"),
];

/// What a sign that reckons with bits elsewhere is here.
pub(crate) fn bits(sign: &str) -> Option<&'static str> {
    BITS.iter().find(|known| known.0 == sign).map(|known| known.1)
}

/// What a whole line of another language is here.
pub(crate) fn line(text: &str) -> Option<&'static str> {
    let bare = text.trim_start();
    let before_text = bare.split('"').next().unwrap_or(bare);
    // `= {`, `({`, `[{`, and then a key.
    let is_table = before_text.char_indices().any(|(at, sign)| {
        let before = before_text[..at].trim_end();
        let mut key = before_text[at + sign.len_utf8()..].trim_start().chars();
        let word: String = key
            .by_ref()
            .take_while(|sign| sign.is_alphanumeric() || *sign == '_')
            .collect();
        sign == '{' && before.ends_with(['=', '(', '[', ',']) && !word.is_empty() && before_text[at..].contains(':')
    });
    match () {
        () if bare.starts_with('#') && !bare.starts_with("#{") => Some("a comment begins with `//`"),
        () if bare.starts_with("for (") || bare.starts_with("for(") => {
            Some("a loop is written `for i in 0..10 { ... }`")
        }
        () if bare.starts_with("fn ") && before_text.contains("->") => {
            Some("a function doesn't say what it gives back: take the arrow out")
        }
        () if before_text.contains("!==") => Some("unequal is written `!=`"),
        () if before_text.contains("===") => Some("equal is written `==`"),
        () if is_table => Some("a table is written `#{ name: value }`"),
        () => None,
    }
}

/// What a sign of another language is here.
pub(crate) fn sign(from: &str) -> Option<&'static str> {
    SIGNS
        .iter()
        .find(|known| from.starts_with(known.0))
        .map(|known| known.1)
}

/// The name by which a call of another language goes here.
pub(crate) fn called_here(typed: &str) -> Option<&'static str> {
    CALLS.iter().find(|known| known.0 == typed).map(|known| known.1)
}

/// What a call of another language is here.
pub(crate) fn call(typed: &str) -> Option<String> {
    called_here(typed).map(did_you_mean)
}
