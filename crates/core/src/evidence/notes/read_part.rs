//! Lines of a notebook in a row, read by themselves: they don't hang on each other.

use super::lines::Line;
use super::note::Note;
use super::quick::{Slips, plain_note};
use crate::renames::Rename;

/// What was read of lines in a row.
#[derive(Default)]
pub(super) struct ReadPart<'a> {
    /// The notes of plain lines.
    pub notes: Vec<Note>,
    /// The lines that the careful reader is needed for.
    pub others: Vec<Line<'a>>,
}

impl<'a> ReadPart<'a> {
    /// Reads the lines one after the other; `any_renamed`: some may be new names.
    pub fn of(lines: &[Line<'a>], any_renamed: bool) -> ReadPart<'a> {
        let mut slips = Slips::default();
        let mut part = ReadPart::default();
        part.notes.reserve_exact(lines.len());
        for line in lines.iter().copied() {
            match plain_note(line, &mut slips) {
                Some(note) if !(any_renamed && Rename::of_line(line.text).is_some()) => part.notes.push(note),
                _ => part.others.push(line),
            }
        }
        part
    }
}
