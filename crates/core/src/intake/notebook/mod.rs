//! Recipes as people write them in notebooks: pounds and ounces, per cent,
//! parts, spoons, nicknames, sums that aren't 100.
//!
//! A page goes through four stages, each its own type: text -> tokens
//! (`lex`) -> lines with an amount and a name (`split`, `amount`, `name`) ->
//! roles and percentages (`judge`) -> [`Reading`]. Every guess is a doubt
//! beside the line it came from. Volumes are never turned into weights, and
//! what can't be weighed or named stays open.

mod amount;
mod doubt;
mod equal;
mod glaze_file;
mod judge;
mod lex;
mod line_kind;
mod look;
mod name;
mod numerals;
mod piece;
mod pieces;
mod reading;
mod sayings;
mod second;
mod split;
mod unit;

pub use doubt::{Doubt, UnitGuess};
pub use glaze_file::{FileRemark, write_reading};
pub(crate) use judge::{SUM_EXACT, inside_the_base};
pub(crate) use look::comes_on_top;
pub(crate) use name::likely;
pub use reading::{Reading, ReadingLine, Remark, RemarkKind, Role};

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::material::Library;
use glost_chemistry::quantity::Millilitres;

/// The most lines of a page that are read.
const MOST_LINES: usize = 400;
/// The longest line of a page that is read, in characters.
const LONGEST_LINE: usize = 2_000;

/// Reads a notebook page. `cup` is the studio's cup.
///
/// # Errors
/// An empty page; more than 400 lines, or one above 2000 characters: no
/// notebook page.
pub fn read_page(source: &Source, library: &Library, cup: Millilitres) -> Result<Reading, Diagnostic> {
    let lines: Vec<&str> = source.text.lines().collect();
    if lines.iter().all(|line| line.trim().is_empty()) {
        return Err(Diagnostic::error("empty-page", "there is nothing on the page")
            .help("write one material a line with its amount, such as: whiting 12 oz"));
    }
    let long = lines.iter().position(|line| line.chars().count() > LONGEST_LINE);
    if lines.len() > MOST_LINES || long.is_some() {
        return Err(Diagnostic::error("not-a-page", "this is too long for one recipe")
            .help("give it one recipe at a time, one material a line"));
    }
    Ok(judge::judge(split::split(&lines, library, cup)))
}
