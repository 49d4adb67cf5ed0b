//! The kinds of scripts, one row of a table each, a file a row: the function it enters by
//! and what that is handed, what it may speak through, how it is tried in tests, and the
//! words about it. What is read back stands beside the call.

mod blend;
mod check;
mod fault;
mod limits;
mod run;
mod swap;
#[cfg(test)]
mod trial;

use std::fmt;

use rhai::{Dynamic, EvalAltResult, NativeCallContext};

use crate::sort::Sort;
use crate::trouble::Trouble;
use crate::values::{ReportValue, TesterValue};

type Raised = Box<EvalAltResult>;

/// A kind of script.
pub(crate) struct Row {
    /// The word in `ABOUT`, the folder's name and the entry function's name.
    pub(crate) word: &'static str,
    /// The parameters of the entry function with their sorts.
    pub(crate) parameters: &'static [(&'static str, Sort)],
    /// What it gives, for whoever chooses a kind.
    pub(crate) about: &'static str,
    /// What its function gives back.
    pub(crate) gives: &'static str,
    /// The call that asks it.
    pub(crate) asked_by: &'static str,
    /// What it speaks through; empty where it gives its answer back.
    pub(crate) speaks: &'static [&'static str],
    /// A working script to start from.
    pub(crate) template: &'static str,
    /// How a test runs it: `t.word(given)`.
    pub(crate) verb: Verb,
}

/// What the tester does for a kind.
pub(crate) struct Verb {
    pub(crate) parameter: &'static str,
    pub(crate) returns: Sort,
    pub(crate) about: &'static str,
    pub(crate) run: fn(&NativeCallContext, &TesterValue, &Dynamic) -> Result<Dynamic, Raised>,
}

/// The table.
static TABLE: &[&Row] = &[
    &limits::ROW,
    &check::ROW,
    &swap::ROW,
    &blend::ROW,
    &run::ROW,
    &fault::ROW,
    #[cfg(test)]
    &trial::ROW,
];

/// What a script gives.
#[derive(Clone, Copy)]
pub struct Kind(&'static Row);

impl PartialEq for Kind {
    fn eq(&self, other: &Kind) -> bool {
        self.0.word == other.0.word
    }
}

impl Eq for Kind {}

impl fmt::Debug for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0.word)
    }
}

impl Kind {
    /// Ranges.
    pub const LIMITS: Kind = Kind(&limits::ROW);
    /// Findings on a glaze.
    pub const CHECK: Kind = Kind(&check::ROW);
    /// Recipe proposals.
    pub const SWAP: Kind = Kind(&swap::ROW);
    /// A plan of tiles.
    pub const BLEND: Kind = Kind(&blend::ROW);
    /// Tables and text over the whole studio.
    pub const RUN: Kind = Kind(&run::ROW);
    /// Causes of what is seen on a piece.
    pub const FAULT: Kind = Kind(&fault::ROW);

    /// Every kind, in the order of the table.
    pub fn all() -> impl Iterator<Item = Kind> {
        TABLE.iter().map(|row| Kind(row))
    }

    /// The word of every kind.
    pub fn words() -> Vec<&'static str> {
        Kind::all().map(Kind::word).collect()
    }

    /// The word in `ABOUT`, the folder's name and the entry function's name.
    pub fn word(self) -> &'static str {
        self.0.word
    }

    /// What it gives, for whoever chooses a kind.
    pub fn about(self) -> &'static str {
        self.0.about
    }

    /// What its function gives back.
    pub fn gives(self) -> &'static str {
        self.0.gives
    }

    /// The call that asks scripts of this kind, with NAME for the script's.
    pub fn asked_by(self) -> &'static str {
        self.0.asked_by
    }

    /// Whether what it gives are findings on a glaze.
    pub fn finds(self) -> bool {
        self == Kind::CHECK || self == Kind::LIMITS
    }

    /// The kind of this word.
    pub fn from_word(word: &str) -> Option<Kind> {
        Kind::all().find(|kind| kind.word() == word)
    }

    /// The parameters of the entry function with their sorts.
    pub(crate) fn parameters(self) -> &'static [(&'static str, Sort)] {
        self.0.parameters
    }

    pub(crate) fn row(self) -> &'static Row {
        self.0
    }

    /// The entry function as it should be written.
    pub fn entry(self) -> String {
        let names: Vec<&str> = self.0.parameters.iter().map(|parameter| parameter.0).collect();
        format!("fn {}({})", self.word(), names.join(", "))
    }

    /// Whether its entry function speaks, and gives nothing back.
    pub(crate) fn speaks(self) -> bool {
        !self.0.speaks.is_empty()
    }

    /// Whether scripts of this kind speak through a name.
    pub(crate) fn speaks_by(self, name: &str) -> bool {
        self.0.speaks.iter().any(|known| known.rsplit('.').next() == Some(name))
    }

    /// Why a script of this kind can't speak through a name that other kinds speak
    /// through; `None` where it can, or where nobody does.
    pub(crate) fn cannot_speak(self, name: &str) -> Option<(String, String)> {
        let speaks = |kind: &Kind| kind.speaks_by(name);
        if speaks(&self) {
            return None;
        }
        let able = Kind::all().find(speaks)?;
        let message = format!(
            "`{name}` is of no use in a script of kind `{}`: nobody reads it",
            self.word()
        );
        let instead = match self.0.speaks {
            [] => format!(
                "`{}` gives its answer back; scripts of kind `{}` can",
                self.word(),
                able.word()
            ),
            own => format!(
                "here one speaks through `{}`; scripts of kind `{}` can",
                own.join("`, `"),
                able.word()
            ),
        };
        Some((
            message,
            format!("{instead} use `{name}`; `print` notes a line in every kind"),
        ))
    }
}

/// A working script of a kind under a name, with comments and tests; it passes them.
pub fn template(kind: Kind, name: &str) -> String {
    let last = name.rsplit('/').next().unwrap_or(name);
    let words = last.trim_end_matches(".rhai").replace(['-', '_'], " ");
    let mut signs = words.chars();
    let title: String = match signs.next() {
        Some(first) => first.to_uppercase().chain(signs).collect(),
        None => String::new(),
    };
    kind.0.template.replace("{{name}}", name).replace("{{title}}", &title)
}

/// A kind that speaks gives nothing back: what it gives would be lost.
pub(crate) fn nothing_back(kind: Kind, answer: &Dynamic) -> Result<(), Raised> {
    // What `table(...)` gives has said its rows already.
    if answer.is_unit() || answer.is::<ReportValue>() {
        return Ok(());
    }
    let speaks = kind.0.speaks.iter().take(2);
    let speaks: Vec<String> = speaks.map(|name| format!("`{name}(...)`")).collect();
    Err(Trouble::new(
        "stray-value",
        format!(
            "`{}` gives back {}, and nobody reads it",
            kind.word(),
            Sort::words_for_type(answer.type_name())
        ),
    )
    .help(format!(
        "a {} speaks through {}; what its last line makes is thrown away, with `;` or without",
        kind.word(),
        speaks.join(if kind.finds() { ", " } else { " and " })
    ))
    .raise())
}
