//! What is wrong, where, and how to mend it.
//!
//! One type for every complaint: the file readers, the script host and the
//! command line make them, `page` renders them.

use std::fmt;
use std::sync::Arc;

/// Text of a file with its name, kept so that a complaint can show its line.
#[derive(Debug, Clone)]
pub struct Source {
    /// The name to show, usually the path as the user gave it.
    pub name: Arc<str>,
    /// The whole text, without a byte-order mark.
    pub text: Arc<str>,
}

/// A position in a file; lines and columns count from 1, columns in characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Mark {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

/// A place in a file with the line to show.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The file's name as shown.
    pub file: Arc<str>,
    /// Where in it.
    pub mark: Mark,
    /// How many characters the caret underlines, at least 1.
    pub width: usize,
    /// The whole source line, without its line end.
    pub source_line: String,
}

/// How bad it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Severity {
    /// It can't be used as it is.
    Error,
    /// It can be used; the user should know.
    Caution,
}

/// One complaint.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// A short stable name, `unknown-material`.
    pub code: &'static str,
    /// How bad it is.
    pub severity: Severity,
    /// What is wrong, one line.
    pub message: String,
    /// Where, if it is in a file.
    pub place: Option<Box<Place>>,
    /// What to do.
    pub help: Option<String>,
}

impl Diagnostic {
    /// An error without a place yet.
    pub fn error(code: &'static str, message: impl Into<String>) -> Diagnostic {
        Diagnostic {
            code,
            severity: Severity::Error,
            message: message.into(),
            place: None,
            help: None,
        }
    }

    /// A caution without a place yet.
    pub fn caution(code: &'static str, message: impl Into<String>) -> Diagnostic {
        Diagnostic {
            severity: Severity::Caution,
            ..Diagnostic::error(code, message)
        }
    }

    /// Adds what to do.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Diagnostic {
        self.help = Some(help.into());
        self
    }

    /// Adds what to do, where there is something.
    #[must_use]
    pub fn maybe_help(mut self, help: Option<String>) -> Diagnostic {
        self.help = help.or(self.help);
        self
    }

    /// Adds the place.
    #[must_use]
    pub fn at(mut self, source: &Source, mark: Mark, width: usize) -> Diagnostic {
        self.place = Some(Box::new(source.place(mark, width)));
        self
    }
}

impl Source {
    /// From the bytes of a file; a byte-order mark is taken off.
    ///
    /// # Errors
    /// Bytes that aren't UTF-8, with the line where they stand.
    pub fn from_bytes(name: &str, bytes: &[u8]) -> Result<Source, Diagnostic> {
        let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
        match std::str::from_utf8(bytes) {
            Ok(text) => Ok(Source {
                name: name.into(),
                text: text.into(),
            }),
            Err(error) => {
                let text = String::from_utf8_lossy(&bytes[..error.valid_up_to()]);
                let line = text.matches('\n').count() + 1;
                let last = text.rsplit_once('\n').map_or(&*text, |(_, last)| last);
                let place = Place {
                    file: name.into(),
                    mark: Mark {
                        line,
                        column: last.chars().count() + 1,
                    },
                    width: 1,
                    source_line: format!("{last}\u{FFFD}"),
                };
                let mut diagnostic = Diagnostic::error("not-utf8", "the file isn't UTF-8 text")
                    .help("save it again as UTF-8 (most editors: Save as, encoding UTF-8)");
                diagnostic.place = Some(Box::new(place));
                Err(diagnostic)
            }
        }
    }

    /// From text that is already in hand.
    pub fn from_text(name: &str, text: &str) -> Source {
        Source {
            name: name.into(),
            text: text.strip_prefix('\u{FEFF}').unwrap_or(text).into(),
        }
    }

    /// A line without its line end; empty past the last.
    ///
    /// Lines end in any of the three ways that YAML knows: LF, CR LF and CR alone.
    pub fn line(&self, line: usize) -> &str {
        let ends = |text: &str| text.find(['\n', '\r']);
        let mut rest: &str = &self.text;
        for _ in 1..line {
            let Some(end) = ends(rest) else { return "" };
            let width = if rest[end..].starts_with("\r\n") { 2 } else { 1 };
            rest = &rest[end + width..];
        }
        &rest[..ends(rest).unwrap_or(rest.len())]
    }

    /// How many bytes of the text lie before a position; `None` where its line is
    /// shorter. Lines end as in [`Source::line`].
    pub fn offset(&self, mark: Mark) -> Option<usize> {
        let mut start = 0;
        for _ in 1..mark.line {
            let rest = &self.text[start..];
            let end = rest.find(['\n', '\r'])?;
            start += end + if rest[end..].starts_with("\r\n") { 2 } else { 1 };
        }
        let line = self.line(mark.line);
        let before = mark.column.checked_sub(1)?;
        let mut ends = line.char_indices().map(|(at, _)| at).chain([line.len()]);
        ends.nth(before).map(|at| start + at)
    }

    /// A place with the line to show.
    pub fn place(&self, mark: Mark, width: usize) -> Place {
        Place {
            file: self.name.clone(),
            mark,
            width: width.max(1),
            source_line: self.line(mark.line).to_owned(),
        }
    }
}

/// The most complaints that are gathered about one file, layer or recipe; whoever
/// mends these sees the next ones.
pub const MOST_COMPLAINTS: usize = 20;

/// Names longer than this, in bytes, are compared with nothing: it would take long.
const LONGEST_COMPARED: usize = 200;

/// The candidate nearest to `typed`, where one is near enough to be meant.
///
/// Compared without case; zero and O, one and l count as the same letter.
pub fn nearest<'a>(typed: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let fold = |text: &str| -> String {
        text.chars()
            .flat_map(char::to_lowercase)
            .map(|sign| match sign {
                '0' => 'o',
                '1' => 'l',
                '_' | '-' => ' ',
                other => other,
            })
            .collect()
    };
    if typed.len() > LONGEST_COMPARED {
        return None;
    }
    let wanted = fold(typed);
    candidates
        .into_iter()
        .filter(|candidate| candidate.len() <= LONGEST_COMPARED)
        .map(|candidate| {
            let folded = fold(candidate);
            let close = strsim::jaro_winkler(&wanted, &folded);
            let edits = strsim::damerau_levenshtein(&wanted, &folded);
            let inside =
                wanted.len() >= 4 && (folded.contains(&wanted) || wanted.contains(&folded)) && folded.len() >= 4;
            let score = if inside { close.max(0.9) } else { close } - 0.02 * edits as f64;
            (score, edits, candidate)
        })
        .filter(|(score, edits, _)| *score >= 0.75 || *edits <= 1)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, _, candidate)| candidate)
}

/// What is wrong with what was typed or is called so, quoted in one way everywhere: `12 a` has
/// no unit.
pub fn of_typed(text: impl fmt::Display, wrong: impl fmt::Display) -> String {
    format!("`{text}` {wrong}")
}

/// That what was typed is none of a kind: `12 sacks` is no weight.
pub fn is_no(text: impl fmt::Display, what: &str) -> String {
    of_typed(text, format_args!("is no {what}"))
}

/// What is wrong under a key or about what was typed: `peak`: `12` doesn't say C or F.
pub fn under(key: impl fmt::Display, wrong: impl fmt::Display) -> String {
    format!("`{key}`: {wrong}")
}

/// That nothing of a kind has a name: no material is called `kaoln`.
pub fn none_called(what: &str, name: impl fmt::Display) -> String {
    format!("no {what} is called `{name}`")
}

/// The nearest right thing.
pub fn did_you_mean(near: impl fmt::Display) -> String {
    format!("did you mean `{near}`?")
}

/// `did you mean X?` for the nearest candidate, else a list of up to twelve.
pub fn suggestion<'a>(typed: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let all: Vec<&str> = candidates.into_iter().collect();
    if let Some(near) = nearest(typed, all.iter().copied()) {
        return Some(did_you_mean(near));
    }
    (!all.is_empty() && all.len() <= 12).then(|| format!("known here: {}", all.join(", ")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn complaints_quote_what_was_typed() {
        assert_eq!(none_called("material", "kaoln"), "no material is called `kaoln`");
        assert_eq!(is_no("12 sacks", "weight"), "`12 sacks` is no weight");
        assert_eq!(under("peak", "no scale"), "`peak`: no scale");
        assert_eq!(did_you_mean("kaolin"), "did you mean `kaolin`?");
    }

    #[test]
    fn a_slip_of_the_pen_finds_its_word() {
        assert_eq!(nearest("Si02", ["SnO2", "SiO2", "TiO2"]), Some("SiO2"));
        assert_eq!(nearest("feldspr A", ["feldspar A", "feldspar B"]), Some("feldspar A"));
        assert_eq!(nearest("whitting", ["whiting", "wollastonite"]), Some("whiting"));
        assert_eq!(nearest("qqq", ["whiting", "wollastonite"]), None);
    }

    #[test]
    fn a_line_is_found_however_lines_end() {
        for text in ["a\nb\nc", "a\r\nb\r\nc", "a\rb\rc", "\u{FEFF}a\nb\r\nc\n"] {
            let source = Source::from_text("x", text);
            assert_eq!(
                [1, 2, 3, 9].map(|line| source.line(line)),
                ["a", "b", "c", ""],
                "{text:?}"
            );
        }
    }

    #[test]
    fn bytes_that_are_not_text_are_placed() {
        let error = Source::from_bytes("glaze.yaml", b"glaze: x\nnotes: \xff").err();
        let place = error
            .and_then(|error| error.place)
            .map(|place| (place.mark.line, place.mark.column));
        assert_eq!(place, Some((2, 8)));
    }

    #[test]
    fn a_word_of_a_name_finds_the_name() {
        assert_eq!(nearest("clay", ["ball clay", "silica"]), Some("ball clay"));
        assert_eq!(
            nearest("china clay, lot 7", ["silica", "china clay"]),
            Some("china clay")
        );
        assert_eq!(nearest("S1LICA_SAND", ["silica sand"]), Some("silica sand"));
        // One letter off is enough for short ones, two are another word.
        assert_eq!((nearest("ab", ["cb"]), nearest("ab", ["cd"])), (Some("cb"), None));
        assert_eq!(
            nearest("feldspar b", ["feldspar a", "feldspar b", "feldspar c"]),
            Some("feldspar b")
        );
        assert_eq!(nearest("x", []), None);
        // Two hundred bytes are compared, longer ones aren't.
        let long = |count: usize| format!("{}b", "a".repeat(count - 1));
        assert!(nearest(&long(200), [long(199).as_str()]).is_some());
        assert_eq!(nearest(&long(201), [long(200).as_str()]), None);
        assert_eq!(nearest(&long(200), [long(201).as_str()]), None);
    }

    #[test]
    fn a_short_list_is_told_where_nothing_is_near() {
        let names: Vec<String> = (0..13).map(|number| format!("name{number}")).collect();
        let said = |count: usize| suggestion("zzzzzzzzzz", names[..count].iter().map(String::as_str));
        assert!(said(12).is_some_and(|said| said.starts_with("known here: name0, name1")));
        assert_eq!((said(13), said(0)), (None, None));
        assert_eq!(suggestion("nmae0", ["name0"]).as_deref(), Some("did you mean `name0`?"));
    }

    #[test]
    fn a_place_counts_letters_and_an_offset_bytes() {
        let source = Source::from_text("x", "ab\r\ncdé\rf\n");
        let offset = |line, column| source.offset(Mark { line, column });
        assert_eq!((offset(1, 1), offset(1, 3), offset(1, 4)), (Some(0), Some(2), None));
        assert_eq!((offset(2, 1), offset(2, 3), offset(2, 4)), (Some(4), Some(6), Some(8)));
        assert_eq!(
            (offset(3, 1), offset(4, 1), offset(5, 1), offset(1, 0)),
            (Some(9), Some(11), None, None)
        );
        let place = source.place(Mark { line: 2, column: 1 }, 0);
        assert_eq!((place.width, place.source_line.as_str(), &*place.file), (1, "cdé", "x"));
        let bytes = Source::from_bytes("x", b"\xEF\xBB\xBFa: 1").map(|source| source.text.to_string());
        assert_eq!(bytes.ok().as_deref(), Some("a: 1"));
        let first = Source::from_bytes("x", b"ab\xff").unwrap_err();
        assert_eq!(
            first.place.map(|place| (place.mark.line, place.mark.column)),
            Some((1, 3))
        );
    }

    #[test]
    fn help_is_kept_where_nothing_better_comes() {
        let error = Diagnostic::error("x", "y").help("first").maybe_help(None);
        assert_eq!(
            (error.help.as_deref(), error.severity),
            (Some("first"), Severity::Error)
        );
        assert_eq!(
            error.maybe_help(Some("second".to_owned())).help.as_deref(),
            Some("second")
        );
        assert_eq!(Diagnostic::caution("x", "y").severity, Severity::Caution);
    }
}
