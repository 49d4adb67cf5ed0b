//! Reads on past what doesn't parse, so that all mistakes of a text are told in one run.
//!
//! The parser stops at its first stumble. Here each stumble is told, then mended or blanked
//! in a copy of the text (its lines stay where they are), and the copy is parsed again. What
//! was blanked is remembered: nothing that hangs on it is a mistake of its own.

mod patched;
mod quotes;
mod repairs;
mod shape;

use std::collections::HashSet;

use glost_chemistry::diagnostic::{Diagnostic, MOST_COMPLAINTS, Source};
use rhai::{AST, Engine};

use crate::editing::tokens::{Token, tokens};
use patched::Patched;
pub(crate) use shape::never_closed_comment;

/// The most characters that are parsed for one text, all its copies together: a script of
/// 60 lines has 3,000.
const MOST_PARSED: usize = 4_000_000;

/// The most repairs of one text.
const MOST_TURNS: usize = 100;

/// A text as far as it can be read.
pub(crate) struct Recovered {
    /// What parses of it.
    pub(crate) ast: AST,
    /// What doesn't, in the order of the text.
    pub(crate) faults: Vec<Diagnostic>,
    /// Words of what was left out: what they mean nobody knows.
    pub(crate) lost: HashSet<String>,
    /// Functions that are called from lines at fault: with what nobody knows.
    pub(crate) called: HashSet<String>,
    /// Whether `ABOUT` is as it was written.
    pub(crate) about_is_whole: bool,
    /// Whether all that it declares can be read.
    pub(crate) options_are_known: bool,
}

/// Reads a text, and past what doesn't parse of it.
pub(crate) fn read(engine: &Engine, source: &Source) -> Recovered {
    match engine.compile(source.text.as_ref()) {
        Ok(ast) => Recovered {
            ast,
            faults: Vec::new(),
            lost: HashSet::new(),
            called: HashSet::new(),
            about_is_whole: true,
            options_are_known: true,
        },
        Err(_) => recover(engine, source),
    }
}

fn recover(engine: &Engine, source: &Source) -> Recovered {
    let mut text = Patched::of(source);
    let stumbles = |text: &str| engine.compile(text).err().map(|error| error.position());
    let mut faults = shape::faults(&mut text, source, &stumbles);
    let mut left = MOST_PARSED;
    let mut parse = |text: &Patched| {
        left = left.checked_sub(text.len())?;
        Some(engine.compile(text.text()))
    };
    let tell = |faults: &mut Vec<Diagnostic>, fault: Diagnostic| {
        let line = line_of(&fault);
        if !faults.iter().any(|known| line_of(known) == line) {
            faults.push(fault);
        }
    };
    let mut turns = 0;
    let ast = loop {
        let error = match parse(&text) {
            Some(Ok(ast)) => break ast,
            Some(Err(error)) if faults.len() < MOST_COMPLAINTS => error,
            _ => break AST::empty(),
        };
        // One repair may undo another: that comes to an end.
        turns += 1;
        if turns > MOST_TURNS {
            break AST::empty();
        }
        let repaired = repairs::repair(&text, &error, &mut parse);
        tell(&mut faults, repairs::told(&text, &error, source));
        match repaired {
            Some(repaired) => text = repaired,
            None => break AST::empty(),
        }
    };
    faults.sort_by_key(|fault| fault.place.as_ref().map(|place| place.mark));
    let about = lines_of_about(source);
    Recovered {
        ast,
        about_is_whole: !faults
            .iter()
            .any(|fault| line_of(fault).is_none_or(|line| about.contains(&line))),
        options_are_known: !text
            .unsure
            .iter()
            .any(|lines| lines.0 < about.end && lines.1 >= about.start),
        called: called_from(source, &faults),
        lost: text.lost.into_iter().chain(made_in(source, &faults)).collect(),
        faults,
    }
}

/// Names that are made on lines at fault: what they hold nobody can tell. (A line that lacks
/// nothing but its `;` says it.)
fn made_in(source: &Source, faults: &[Diagnostic]) -> Vec<String> {
    let all = tokens(source);
    let told = faults.iter().filter(|fault| !fault.message.starts_with("`;`"));
    let lines: Vec<Option<usize>> = told.map(line_of).collect();
    let made = all
        .windows(2)
        .filter(|pair| pair[0].is_word("let") && lines.contains(&Some(pair[1].from.line)));
    made.filter_map(|pair| pair[1].word().map(str::to_owned)).collect()
}

/// Names of what is called on lines at fault.
fn called_from(source: &Source, faults: &[Diagnostic]) -> HashSet<String> {
    let all = tokens(source);
    let lines: Vec<Option<usize>> = faults.iter().map(line_of).collect();
    let heads = ["fn", "function", "def"];
    let called = all.windows(3).filter(|three| {
        let defined = heads.iter().any(|word| three[0].is_word(word));
        three[2].is('(') && !defined && lines.contains(&Some(three[1].from.line))
    });
    called.filter_map(|three| three[1].word().map(str::to_owned)).collect()
}

/// The lines from `const ABOUT` to what stands next at the top; none where there is none.
fn lines_of_about(source: &Source) -> std::ops::Range<usize> {
    let all = tokens(source);
    let at_the_top =
        |token: &&Token| token.from.column == 1 && shape::AT_THE_TOP.iter().any(|word| token.is_word(word));
    let Some(about) = all.iter().position(|token| token.is_word("ABOUT")) else {
        return 0..0;
    };
    let next = all[about..].iter().find(at_the_top);
    all[about].from.line..next.map_or(usize::MAX, |token| token.from.line)
}

/// The line that a complaint is about.
pub(crate) fn line_of(fault: &Diagnostic) -> Option<usize> {
    fault.place.as_ref().map(|place| place.mark.line)
}
