//! More of what is hardly meant: a name made twice, what stands behind a
//! `return`, `${...}` in quotes that don't fill it in.

use std::ops::Range;

use glost_chemistry::diagnostic::{Diagnostic, Source, of_typed};

use super::lints::reads;
use super::sorts::Pieces;

type Found = Vec<(usize, Diagnostic)>;

/// The `{` of the block that a piece lies in, counted from the function's own.
fn block_of(pieces: &Pieces<'_>, body: &Range<usize>, index: usize) -> Option<usize> {
    let all = pieces.tokens;
    let mut depth = 0_usize;
    (body.start.saturating_sub(1)..index).rev().find(|at| {
        if all[*at].is('}') {
            depth += 1;
        } else if all[*at].is('{') {
            if depth == 0 {
                return true;
            }
            depth -= 1;
        }
        false
    })
}

/// `let x = 1; let x = 2;` before anything read the first, and `let x = 2;` in a block inside,
/// behind which the first is read as it was.
pub(super) fn made_again(pieces: &Pieces<'_>, body: &Range<usize>, found: &mut Found) {
    let all = pieces.tokens;
    let mut made: Vec<(usize, usize, &str)> = Vec::new();
    for index in body
        .clone()
        .filter(|index| *index > 0 && all[*index - 1].is_word("let"))
    {
        let (Some(name), Some(block)) = (all[index].word(), block_of(pieces, body, index)) else {
            continue;
        };
        let read = |mut range: Range<usize>| range.any(|at| at != index && reads(all, at, name));
        let last = made.iter().rev().find(|known| known.2 == name);
        let what = match last {
            Some((first, own, _)) if *own == block => {
                let end = statement_end(pieces, index, body.end).unwrap_or(index);
                let unread = !read(*first + 1..end);
                unread.then(|| of_typed(name, "is made a second time before anything reads the first"))
            }
            Some((_, outer, _)) => {
                let (outer, inner) = (pieces.closing(*outer), pieces.closing(block));
                let (outer, inner) = (outer.unwrap_or(body.end), inner.unwrap_or(body.end));
                let later = inner < outer && read(inner..outer);
                later.then(|| format!("this makes a second `{name}`; the first keeps its value"))
            }
            None => None,
        };
        if let Some(what) = what {
            let help = "change it without `let`, or take another name";
            found.push((index, Diagnostic::caution("made-again", what).help(help)));
        }
        made.push((index, block, name));
    }
}

/// `return x; more`: nobody comes to what is behind it.
pub(super) fn never_reached(pieces: &Pieces<'_>, body: &Range<usize>, found: &mut Found) {
    let all = pieces.tokens;
    for index in body.clone().filter(|index| *index > 0) {
        let before = &all[index - 1];
        let begins = [';', '{', '}'].into_iter().any(|sign| before.is(sign));
        if !begins || !["return", "throw"].iter().any(|word| all[index].is_word(word)) {
            continue;
        }
        let Some(end) = statement_end(pieces, index, body.end) else {
            continue;
        };
        let next = end + 1;
        if next < body.end && !all[next].is('}') {
            let what = "nothing comes to this: the line before it goes back";
            let help = "take it out, or go back under a condition: `if ... { return; }`";
            found.push((next, Diagnostic::caution("never-reached", what).help(help)));
        }
    }
}

/// The `;` that ends a statement.
fn statement_end(pieces: &Pieces<'_>, from: usize, end: usize) -> Option<usize> {
    let all = pieces.tokens;
    let mut depth = 0_usize;
    for (at, token) in all.iter().enumerate().take(end).skip(from) {
        match token.sign() {
            Some('(' | '[' | '{') => depth += 1,
            Some(')' | ']' | '}') => depth = depth.checked_sub(1)?,
            Some(';') if depth == 0 => return Some(at),
            _ => {}
        }
    }
    None
}

/// `"${x}"`: only backticks fill it in.
pub(super) fn not_filled_in(source: &Source, pieces: &Pieces<'_>, body: &Range<usize>, found: &mut Found) {
    let all = pieces.tokens;
    for index in body.clone() {
        let quoted = || {
            source
                .line(all[index].from.line)
                .chars()
                .nth(all[index].from.column - 1)
                == Some('"')
        };
        let holds = |text: &str| text.split_once("${").is_some_and(|(_, after)| after.contains('}'));
        if all[index].text().is_some_and(holds) && quoted() {
            let what = "`${...}` stands as it is in this text: only backticks fill it in";
            let help = "write the text between backticks: `` `...` ``";
            found.push((index, Diagnostic::caution("not-filled-in", what).help(help)));
        }
    }
}
