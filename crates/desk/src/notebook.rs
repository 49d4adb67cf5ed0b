//! The notebook of what was seen, with everything that goes with it.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::Date;
use glost_core::evidence::notes::{Note, Notes, TodaysRecipes, Versions};

use crate::{Desk, Failure};

/// The notebook with everything that goes with it.
#[derive(Debug)]
pub struct Book {
    /// Its notes.
    pub notes: Notes,
    /// What the versions were that notes name.
    pub versions: Versions,
    /// What the recipes are today.
    pub recipes: TodaysRecipes,
    /// Complaints about lines that can't be read.
    pub unread: Vec<Diagnostic>,
}

/// The note of a line, moved out of those of a notebook, which stand in the order of their
/// lines.
pub(crate) fn taken_from(notes: &mut [Note], line: usize) -> Option<Note> {
    let at = notes.binary_search_by_key(&line, |note| note.line).ok()?;
    notes.get_mut(at).map(Note::taken)
}

impl Book {
    /// Reads it; that there is no studio and what can't be read is told aside.
    ///
    /// # Errors
    /// A notebook that can't be read at all.
    pub fn open(desk: &Desk, today: Date) -> Result<Book, Failure> {
        desk.tell_where();
        Book::read(desk, today)
    }

    /// The same where it was told already that there is no studio.
    ///
    /// # Errors
    /// As [`Book::open`].
    pub fn read(desk: &Desk, today: Date) -> Result<Book, Failure> {
        Book::with(desk, desk.workplace().notes()?, today)
    }

    /// The same of notes that are read already, with the complaints about their lines.
    ///
    /// # Errors
    /// As [`Book::open`].
    pub fn with(desk: &Desk, (notes, unread): (Notes, Vec<Diagnostic>), today: Date) -> Result<Book, Failure> {
        let workplace = desk.workplace();
        let (versions, more) = workplace.versions()?;
        desk.tell(unread.iter().chain(&more).cloned());
        let (recipes, _) = workplace.all_recipes();
        Ok(Book {
            notes,
            versions,
            recipes: TodaysRecipes::of(recipes.into_iter().map(|recipe| recipe.glaze), today),
            unread,
        })
    }
}
