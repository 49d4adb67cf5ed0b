//! What notes say of a clay at one firing, gathered once for however many glazes are asked
//! about: only their own places are looked for anew.

use std::collections::{HashMap, HashSet};
use std::fmt;
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};

use crate::evidence::notes::Note;
use glost_chemistry::glaze::{FluxList, Glaze, Portion};
use glost_chemistry::read::folded;

use super::evidence::{EvidenceLine, Notebook, looks_at_fit};
use super::kiln::Kiln;
use super::known::distinct_kilns;
use super::ladder::LadderTile;
use super::learn::Window;
use super::pooling::{Kept, Of};
use super::said::FitSaid;
use super::settings::{ClayKnowledge, WindowSettings};
use super::tables::LearntTables;

/// Clays, and firings on them, kept at most.
const MOST_KEPT: usize = 64;

/// Today's recipes, the tiles of plans and what notes name, by their names folded.
#[derive(Debug, Default)]
pub(super) struct Names {
    /// The first of a name and the last, by their places.
    glazes: HashMap<String, (usize, usize)>,
    tiles: HashMap<String, usize>,
    /// Glazes that any note names.
    noted: HashSet<String>,
    /// The median thickness, mm, of each glaze over all its notes that tell one.
    thickness: HashMap<String, f64>,
}

impl Names {
    fn of(book: &Notebook<'_>) -> Names {
        let mut names = Names::default();
        for (place, glaze) in book.glazes.iter().enumerate() {
            let known = names.glazes.entry(folded(&glaze.name)).or_insert((place, place));
            known.1 = place;
        }
        let tiles = book.ladders.iter().enumerate();
        names.tiles = tiles.map(|(place, tile)| (folded(&tile.tile), place)).collect();
        names.noted = noted(book);
        names.thickness = usual_thickness(book);
        names
    }

    /// Whether a note names a glaze.
    pub(super) fn is_noted(&self, name: &str) -> bool {
        self.noted.contains(name)
    }

    /// A glaze's usual thickness, mm, as its notes tell it.
    pub(super) fn thickness_mm(&self, name: &str) -> Option<f64> {
        self.thickness.get(name).copied()
    }

    /// The recipe of a name that is folded; the last of several.
    pub(super) fn glaze<'a>(&self, book: &Notebook<'a>, name: &str) -> Option<&'a Glaze> {
        let (_, last) = self.glazes.get(name)?;
        book.glazes.get(*last).map(|glaze| &**glaze)
    }

    /// The first of several.
    pub(super) fn first_glaze<'a>(&self, book: &Notebook<'a>, name: &str) -> Option<&'a Glaze> {
        let (first, _) = self.glazes.get(name)?;
        book.glazes.get(*first).map(|glaze| &**glaze)
    }

    /// The tile of a code that is folded.
    pub(super) fn tile<'a>(&self, book: &Notebook<'a>, code: &str) -> Option<&'a LadderTile> {
        book.ladders.get(*self.tiles.get(code)?)
    }

    /// Whether a glaze is to the letter the recipe that the notebook has under its name.
    fn has(&self, book: &Notebook<'_>, asked: &Glaze) -> bool {
        let own = self.glaze(book, &folded(&asked.name));
        own.is_some_and(|own| std::ptr::eq(own, asked) || are_one(own, asked))
    }
}

/// Whether two glazes are to the letter one recipe.
fn are_one(one: &Glaze, other: &Glaze) -> bool {
    let text = |part: &dyn fmt::Debug| format!("{part:?}");
    // Glazes of one studio share their materials, of which there is most to tell.
    let same = |one: &Portion, other: &Portion| {
        one.percent.to_bits() == other.percent.to_bits()
            && (Arc::ptr_eq(&one.material, &other.material) || text(&one.material) == text(&other.material))
    };
    let all_same = |one: &[Portion], other: &[Portion]| {
        one.len() == other.len() && one.iter().zip(other).all(|(one, other)| same(one, other))
    };
    let Glaze {
        name,
        base,
        additions,
        about,
        assumptions,
    } = one;
    *name == other.name
        && all_same(base, &other.base)
        && all_same(additions, &other.additions)
        && text(about) == text(&other.about)
        && text(assumptions) == text(&other.assumptions)
}

fn noted(book: &Notebook<'_>) -> HashSet<String> {
    let mut noted: HashSet<String> = HashSet::new();
    // Most are written as they were before.
    let mut written: HashSet<&str> = HashSet::new();
    for name in book.notes.standing().filter_map(|note| note.glaze.as_deref()) {
        if written.insert(name) {
            noted.insert(folded(name));
        }
    }
    noted
}

fn usual_thickness(book: &Notebook<'_>) -> HashMap<String, f64> {
    let mut told: HashMap<String, Vec<f64>> = HashMap::new();
    for note in book.notes.standing() {
        if let (Some(glaze), Some(mm)) = (&note.glaze, note.thickness_mm.filter(|mm| *mm > 0.0)) {
            told.entry(folded(glaze)).or_default().push(mm);
        }
    }
    told.into_iter()
        .filter_map(|(name, mut all)| {
            all.sort_by(f64::total_cmp);
            let upper = all.get(all.len() / 2)?;
            let lower = all.get((all.len() - 1) / 2)?;
            Some((name, 0.5 * (lower + upper)))
        })
        .collect()
}

/// The notes that look at one clay.
#[derive(Debug)]
pub(super) struct OnClay {
    /// Places among all notes.
    places: Vec<usize>,
    /// Their firings, each once.
    pub(super) kilns: Vec<Kiln>,
    /// Their cones, each once with each firing.
    at_cones: Vec<(Kiln, Kiln)>,
    /// Of notes that name no clay, or say the same twice.
    pub(super) said: Vec<FitSaid>,
}

/// Its notes pooled for one firing.
#[derive(Debug)]
pub(super) struct Pooled {
    pub(super) pool: Kept,
    /// A line for each note, where they were wanted.
    pub(super) lines: Option<Arc<[EvidenceLine]>>,
    pub(super) contradictions: Arc<[FitSaid]>,
    /// What it teaches, once somebody asked.
    window: OnceLock<Arc<Window>>,
    /// Firings that the files of its glazes say, once somebody asked.
    several: OnceLock<Option<FitSaid>>,
}

impl Pooled {
    pub(super) fn new(pool: Kept, lines: Option<Arc<[EvidenceLine]>>, contradictions: Vec<FitSaid>) -> Pooled {
        Pooled {
            pool,
            lines,
            contradictions: contradictions.into(),
            window: OnceLock::new(),
            several: OnceLock::new(),
        }
    }

    /// The window that it teaches, learnt once for all glazes.
    pub(super) fn window(
        &self,
        settings: &WindowSettings,
        knowledge: &ClayKnowledge,
        tables: &LearntTables,
    ) -> Arc<Window> {
        let learn = || {
            let (families, witnesses) = (self.pool.families(), self.pool.witnesses().clone());
            Arc::new(Window::learn_with(settings, *knowledge, families, witnesses, tables))
        };
        self.window.get_or_init(learn).clone()
    }

    /// What is said of the firings of its glazes' files, worked out once.
    pub(super) fn several_firings(&self, said: impl FnOnce() -> Option<FitSaid>) -> Option<FitSaid> {
        self.several.get_or_init(said).clone()
    }
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

impl Key {
    fn of(book: &Notebook<'_>, of: &Of<'_>) -> Key {
        Key {
            clay: of.clay.to_owned(),
            kiln: of.kiln.clone(),
            knowledge: *of.knowledge,
            fluxes: book.fluxes.clone(),
            settings: book.settings.clone(),
        }
    }

    fn is(&self, book: &Notebook<'_>, of: &Of<'_>) -> bool {
        self.clay == of.clay
            && self.kiln == of.kiln
            && self.knowledge == *of.knowledge
            && self.fluxes == *book.fluxes
            && self.settings == *book.settings
    }
}

/// Which notes and recipes: where they stand in memory, since they don't change there.
type Book = [(usize, usize); 3];

#[derive(Debug, Default)]
struct All {
    book: Book,
    names: Option<Arc<Names>>,
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
        let here = || places.iter().map(|place| &book.notes.all()[*place]);
        let mut at_cones: Vec<(Kiln, Kiln)> = Vec::new();
        let mut met: HashSet<(&str, Kiln)> = HashSet::new();
        for note in here() {
            let Some(cone) = note.cone.as_deref() else { continue };
            let kiln = Kiln::of_note(note);
            if met.insert((cone, kiln.clone())) {
                at_cones.push((Kiln::of(None, Some(cone)), kiln));
            }
        }
        OnClay {
            kilns: distinct_kilns(here()),
            at_cones,
            places,
            said: homeless.into_iter().chain(twins).collect(),
        }
    }

    /// Its notes, in their order.
    pub(super) fn notes<'a>(&self, book: &Notebook<'a>) -> impl Iterator<Item = &'a Note> {
        let all = book.notes.all();
        self.places.iter().map(move |place| &all[*place])
    }

    /// The one firing of all notes to a cone, where they are of one.
    pub(super) fn only_at_cone(&self, cone: &str) -> Option<Kiln> {
        let cone = Kiln::of(None, Some(cone));
        let mut firings = self.at_cones.iter().filter(|(own, _)| own.is(&cone));
        let (_, first) = firings.next()?;
        firings.all(|(_, firing)| firing.is(first)).then(|| first.clone())
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

    /// Today's recipes and tiles by their names.
    pub(super) fn names(&self, book: &Notebook<'_>) -> Arc<Names> {
        let mut all = self.all(book);
        all.names.get_or_insert_with(|| Arc::new(Names::of(book))).clone()
    }

    /// The pool of a clay at a firing, made where it isn't known. It hangs on the asked glaze
    /// too where that is none of the notebook's own recipes.
    pub(super) fn pooled(
        &self,
        (book, names): (&Notebook<'_>, &Names),
        asked: &Glaze,
        of: &Of<'_>,
        with_lines: bool,
        pool: impl FnOnce() -> Pooled,
    ) -> Arc<Pooled> {
        if !names.has(book, asked) {
            return Arc::new(pool());
        }
        let is_it = |(key, known): &&(Key, Arc<Pooled>)| key.is(book, of) && (known.lines.is_some() || !with_lines);
        if let Some((_, known)) = self.all(book).pools.iter().find(is_it) {
            return known.clone();
        }
        // Others may go on meanwhile; the same pool twice is the same.
        let pooled = Arc::new(pool());
        let mut all = self.all(book);
        all.pools.retain(|(key, _)| !key.is(book, of));
        all.pools.push((Key::of(book, of), pooled.clone()));
        pooled
    }
}
