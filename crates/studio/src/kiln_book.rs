//! The kiln's book, `firings.jsonl` in the studio's folder.

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_core::evidence::firings::Firings;

use crate::journal::{Journal, Kept, Unreadable};
use crate::line_file::MOST_JOURNAL_BYTES;
use crate::notebook::{cannot_read, left_by_a_merge};
use crate::workplace::Workplace;

impl Kept for Firings {
    const FILE: &'static str = "firings.jsonl";
    const MOST_BYTES: u64 = MOST_JOURNAL_BYTES;

    fn parse(source: &Source) -> (Firings, Vec<Diagnostic>) {
        Firings::read(source)
    }

    fn unreadable(journal: &Journal<Firings>, why: &Unreadable) -> Diagnostic {
        cannot_read(&journal.shown(), why)
    }
}

impl Workplace {
    /// The firings of the studio, and every complaint about the book's lines; none where no
    /// kiln was loaded yet or there is no studio.
    ///
    /// # Errors
    /// The book is there and can't be read at all.
    pub fn kiln_book(&self) -> Result<(Firings, Vec<Diagnostic>), Diagnostic> {
        self.read_journal()
    }

    /// Adds the lines that `compose` makes of the book, all or none; they are on disk when this
    /// returns, and no other `glost` writes to it meanwhile.
    ///
    /// # Errors
    /// No studio to keep a book in; what `compose` says; it can't be written.
    pub fn add_firings<T, E: From<Diagnostic>>(
        &self,
        compose: impl FnOnce(&Firings) -> Result<(Vec<String>, T), E>,
    ) -> Result<T, E> {
        Journal::of(self.keeping()?).add(|firings: &Firings| match firings.conflict() {
            Some(line) => Err(left_by_a_merge("firings.jsonl", line).into()),
            None => compose(firings),
        })
    }
}
