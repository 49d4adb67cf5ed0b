//! What notes say of a clay at one firing, gathered once for however many glazes are asked
//! about: only their own places are looked for anew.

use std::fmt;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use crate::evidence::notes::Note;
use glost_chemistry::glaze::{FluxList, Glaze};
use glost_chemistry::read::{folded, same_name};

use super::evidence::{EvidenceLine, Notebook, looks_at_fit};
use super::kiln::Kiln;
use super::known::distinct_kilns;
use super::pooling::Kept;
use super::said::FitSaid;
use super::settings::{ClayKnowledge, WindowSettings};

/// Clays, and firings on them, kept at most.
const MOST_KEPT: usize = 32;

/// The notes that look at one clay.
#[derive(Debug)]
pub(super) struct OnClay {
    /// Places among all notes.
    places: Vec<usize>,
    /// Their firings, each once.
    pub(super) kilns: Vec<Kiln>,
    /// Of notes that name no clay, or say the same twice.
    pub(super) said: Vec<FitSaid>,
}

/// Its notes pooled for one firing.
#[derive(Debug)]
pub(super) struct Pooled {
    pub(super) pool: Kept,
    pub(super) lines: Arc<[EvidenceLine]>,
    pub(super) contradictions: Vec<FitSaid>,
}

/// What a pool hangs on beside the notebook's notes and recipes.
#[derive(Debug, PartialEq)]
struct Key {
    clay: String,
    kiln: Kiln,
    knowledge: ClayKnowledge,
    fluxes: FluxList,
    settings: WindowSettings,
}

/// Which notes and recipes: where they stand in memory, since they don't change there.
type Book = [(usize, usize); 3];

#[derive(Debug, Default)]
struct All {
    book: Book,
    clays: Vec<(String, Arc<OnClay>)>,
    pools: Vec<(Key, Arc<Pooled>)>,
}

/// What was gathered from one notebook. A copy begins anew: it may come to another one.
#[derive(Default)]
pub(super) struct GatheredNotes(Mutex<All>);

impl Clone for GatheredNotes {
    fn clone(&self) -> GatheredNotes {
        GatheredNotes::default()
    }
}

impl fmt::Debug for GatheredNotes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("gathered notes")
    }
}

impl OnClay {
    fn of(book: &Notebook<'_>, clay: &str) -> OnClay {
        let is_on = |note: &Note| note.clay.as_deref().is_some_and(|noted| folded(noted) == clay);
        let stands = |note: &Note| note.void.is_none() && note.twin.is_none() && looks_at_fit(note);
        let looks = book.notes.all().iter().enumerate().filter(|(_, note)| stands(note));
        let homeless = looks.clone().filter(|(_, note)| note.clay.is_none()).count();
        let places: Vec<usize> = looks.filter(|(_, note)| is_on(note)).map(|(place, _)| place).collect();
        let twins: Vec<&Note> = book.notes.twins().filter(|note| is_on(note)).collect();
        let twins = twins.first().map(|first| FitSaid::Twins {
            count: twins.len(),
            earlier: first.twin.unwrap_or(first.line),
            first: first.line,
        });
        let homeless = (homeless > 0).then_some(FitSaid::Homeless(homeless));
        OnClay {
            kilns: distinct_kilns(places.iter().map(|place| &book.notes.all()[*place])),
            places,
            said: homeless.into_iter().chain(twins).collect(),
        }
    }

    /// Its notes, in their order.
    pub(super) fn notes<'a>(&self, book: &Notebook<'a>) -> impl Iterator<Item = &'a Note> {
        let all = book.notes.all();
        self.places.iter().map(move |place| &all[*place])
    }
}

impl GatheredNotes {
    fn all(&self, book: &Notebook<'_>) -> MutexGuard<'_, All> {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let own: Book = [
            (book.notes.all().as_ptr().addr(), book.notes.all().len()),
            (book.glazes.as_ptr().addr(), book.glazes.len()),
            (book.ladders.as_ptr().addr(), book.ladders.len()),
        ];
        if all.book != own || all.clays.len() + all.pools.len() > MOST_KEPT {
            *all = All {
                book: own,
                ..All::default()
            };
        }
        all
    }

    /// The notes of a clay, its name folded.
    pub(super) fn on_clay(&self, book: &Notebook<'_>, clay: &str) -> Arc<OnClay> {
        let mut all = self.all(book);
        if let Some((_, known)) = all.clays.iter().find(|(name, _)| name == clay) {
            return known.clone();
        }
        let found = Arc::new(OnClay::of(book, clay));
        all.clays.push((clay.to_owned(), found.clone()));
        found
    }

    /// The pool of a clay at a firing, made where it isn't known. It hangs on the asked glaze
    /// too where that is none of the notebook's own recipes.
    pub(super) fn pooled(
        &self,
        book: &Notebook<'_>,
        asked: &Glaze,
        (clay, kiln): (&str, &Kiln),
        knowledge: &ClayKnowledge,
        pool: impl FnOnce() -> Pooled,
    ) -> Arc<Pooled> {
        if !is_own(book, asked) {
            return Arc::new(pool());
        }
        let key = Key {
            clay: clay.to_owned(),
            kiln: kiln.clone(),
            knowledge: *knowledge,
            fluxes: book.fluxes.clone(),
            settings: book.settings.clone(),
        };
        if let Some((_, known)) = self.all(book).pools.iter().find(|(known, _)| *known == key) {
            return known.clone();
        }
        // Others may go on meanwhile; the same pool twice is the same.
        let pooled = Arc::new(pool());
        self.all(book).pools.push((key, pooled.clone()));
        pooled
    }
}

/// Whether a glaze is to the letter the recipe that the notebook has under its name.
fn is_own(book: &Notebook<'_>, asked: &Glaze) -> bool {
    let own = book.glazes.iter().rfind(|glaze| same_name(&glaze.name, &asked.name));
    let text = |glaze: &Glaze| format!("{glaze:?}");
    own.is_some_and(|own| std::ptr::eq(&**own, asked) || text(own) == text(asked))
}
