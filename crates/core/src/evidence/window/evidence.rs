//! From the notebook to witnesses: which notes are pooled for one clay and one firing, and
//! why the others aren't.

use std::borrow::Cow;
use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use crate::evidence::notes::{Cause, Note, Notes, Story, Versions, stories};
use glost_chemistry::glaze::{FluxList, Glaze};
use glost_chemistry::material::Library;
use glost_chemistry::quantity::Date;
use glost_chemistry::read::{folded, same_name};
use serde::Serialize;

use super::gathered::{Names, OnClay, Pooled};
use super::kiln::Kiln;
use super::known::KnownFirings;
use super::ladder::LadderTile;
use super::look::{Believed, Edge, Family, FamilyPlace, Witness};
use super::next::LadderStep;
use super::pooling::{Of, Pool};
use super::said::FitSaid;
use super::settings::{ClayKnowledge, WindowSettings};
use super::tables::LearntTables;

/// Where notes and recipes come from.
#[derive(Debug, Clone, Copy)]
pub struct Notebook<'a> {
    /// The notes.
    pub notes: &'a Notes,
    /// What versions of glazes were.
    pub versions: &'a Versions,
    /// Today's recipes.
    pub glazes: &'a [Arc<Glaze>],
    /// Tiles of saved plans that are steps of a ladder.
    pub ladders: &'a [LadderTile],
    /// The materials that additions are looked up in.
    pub library: &'a Library,
    /// Names of firings that the studio keeps files of.
    pub firings: &'a [String],
    /// What counts as flux.
    pub fluxes: &'a FluxList,
    /// Priors and assumptions.
    pub settings: &'a WindowSettings,
    /// What was worked out for glazes asked about before.
    pub learnt: &'a LearntTables,
}

impl Notebook<'_> {
    /// Every firing that a note, a glaze's file or the studio names.
    pub fn firings_known(&self) -> KnownFirings {
        KnownFirings::of(self.notes, self.glazes, self.firings)
    }
}

/// Why a note isn't counted.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WhyNot {
    /// Another firing is another clay.
    OtherFiring(Kiln),
    /// A tile of which no plan tells the recipe.
    UntoldTile,
    /// After a torture test: evidence of its own.
    Tested(String),
    /// Something else than the fit made its pieces fail.
    Cause(Cause),
    /// Another glaze lies over it: the fit of two is another matter.
    Over(String),
    /// Nobody said how many pieces were looked at.
    NoPieces,
    /// Much thicker or thinner than the glaze's usual.
    Thickness {
        /// The note's, mm.
        own_mm: f64,
        /// The usual, mm.
        usual_mm: f64,
    },
    /// What its version was is not recorded.
    UnrecordedVersion(String),
    /// A later look at the same pieces counts.
    LaterLook,
}

/// One look as the notebook has it, pooled or set aside.
#[derive(Debug, Clone, PartialEq)]
pub struct EvidenceLine {
    /// Its line in the notebook, from 1.
    pub line: usize,
    /// When it was noted.
    pub on: Date,
    /// The glaze's name, or the tile's code.
    pub glaze: String,
    /// The version as noted.
    pub version: Option<String>,
    /// The firing.
    pub kiln: Kiln,
    /// The batch.
    pub batch: Option<String>,
    /// Which lots its pieces were made of, as the sums part them.
    pub lots: Arc<Vec<(String, String)>>,
    /// Days since the kiln, as noted.
    pub age_days: Option<f64>,
    /// How many pieces.
    pub pieces: Option<u32>,
    /// How many had crazed.
    pub crazed: Option<u32>,
    /// How many had shivered.
    pub shivered: Option<u32>,
    /// The witness it belongs to.
    pub witness: Option<usize>,
    /// Why it isn't counted; `None` where it is.
    pub why_not: Option<WhyNot>,
}

/// Pieces of the asked glaze after a torture test, or cracked through.
#[derive(Debug, Clone, PartialEq)]
pub struct Tested {
    /// The line of the note.
    pub line: usize,
    /// The test.
    pub test: String,
    /// How many pieces.
    pub pieces: Option<u32>,
    /// How many of them crazed.
    pub crazed: u32,
}

/// What the notebook says about one clay at one firing.
#[derive(Debug, Clone)]
pub struct Evidence {
    /// The firing.
    pub kiln: Kiln,
    /// The families of the witnesses and of the asked glaze.
    pub families: Vec<Family>,
    /// Glazes whose pieces were looked at.
    pub witnesses: Arc<Vec<Witness>>,
    /// The place of the asked glaze's own pieces among them.
    pub own: Option<usize>,
    /// Its place in its family.
    pub place: FamilyPlace,
    /// Its expansion before its family is looked at.
    pub believed: Believed,
    /// Steps of silica and of kaolin that could be tried.
    pub ladder: Vec<LadderStep>,
    /// Of which of the family's lots its next pieces are made.
    pub present_lot: usize,
    /// That lot by its materials.
    pub present_lots: Arc<Vec<(String, String)>>,
    /// Every look at this clay, in the notebook's order.
    pub lines: Arc<[EvidenceLine]>,
    /// Torture tests of the asked glaze's pieces.
    pub tested: Vec<Tested>,
    /// How many of its pieces had cracked through.
    pub dunted: u64,
    /// Notes that can't all be right.
    pub contradictions: Vec<FitSaid>,
    /// What goes with it.
    pub said: Vec<FitSaid>,
}

impl Evidence {
    /// Whether some of its pieces crazed in a torture test.
    pub fn failed_test(&self) -> bool {
        self.tested.iter().any(|tested| tested.crazed > 0)
    }
}

/// A clay at the firing that a glaze is asked about, with what has to be said of it.
pub(super) struct Sought {
    /// The clay's name folded.
    clay: String,
    on_clay: Arc<OnClay>,
    names: Arc<Names>,
    pub(super) kiln: Kiln,
    pub(super) said: Vec<FitSaid>,
}

impl Sought {
    /// `firing`: what the call names, one of the notebook's.
    pub(super) fn of(book: &Notebook<'_>, asked: &Glaze, clay: &str, firing: Option<&Kiln>) -> Sought {
        let clay = folded(clay);
        let on_clay = book.learnt.gathered.on_clay(book, &clay);
        let (kiln, mut said) = kiln_asked(asked, &on_clay, firing);
        said.extend(on_clay.said.iter().cloned());
        Sought {
            clay,
            on_clay,
            names: book.learnt.gathered.names(book),
            kiln,
            said,
        }
    }

    /// Its notes pooled, with a line for each where that is wanted.
    pub(super) fn pooled(
        &self,
        book: &Notebook<'_>,
        asked: &Glaze,
        knowledge: &ClayKnowledge,
        with_lines: bool,
    ) -> Arc<Pooled> {
        let of = self.pool_of(knowledge);
        let pool = || pooled((book, &self.names), asked, of.clone(), &self.on_clay, with_lines);
        book.learnt
            .gathered
            .pooled((book, &self.names), asked, &of, with_lines, pool)
    }

    /// The pool as it was left, for this glaze.
    pub(super) fn again<'a>(
        &'a self,
        book: &'a Notebook<'a>,
        asked: &'a Glaze,
        knowledge: &'a ClayKnowledge,
        pooled: &'a Pooled,
    ) -> Pool<'a> {
        let kept = Cow::Borrowed(&pooled.pool);
        Pool::again((book, &self.names), asked, self.pool_of(knowledge), kept)
    }

    fn pool_of<'a>(&'a self, knowledge: &'a ClayKnowledge) -> Of<'a> {
        Of {
            clay: &self.clay,
            knowledge,
            kiln: self.kiln.clone(),
        }
    }

    /// Where notes say no firing and the glazes' files say several: they are pooled all the
    /// same.
    pub(super) fn several_firings(&self, book: &Notebook<'_>, asked: &Glaze, witnesses: &[Witness]) -> Option<FitSaid> {
        if self.kiln != Kiln::Unsaid {
            return None;
        }
        let mut firings: Vec<Kiln> = Vec::new();
        for witness in witnesses {
            let known = match same_name(&asked.name, &witness.glaze) {
                true => asked,
                false => self.names.first_glaze(book, &folded(&witness.glaze))?,
            };
            let firing = Kiln::of(known.about.firing.as_deref(), known.about.cone.as_deref());
            if !firings.contains(&firing) {
                firings.push(firing);
            }
        }
        (firings.len() > 1).then_some(FitSaid::SeveralFirings(firings))
    }
}

/// Gathers what bears on `asked` on a clay. `firing`: what the call names, one of the
/// notebook's. What hangs on no glaze is gathered once.
pub fn gather(
    book: &Notebook<'_>,
    asked: &Glaze,
    clay: &str,
    knowledge: &ClayKnowledge,
    firing: Option<&Kiln>,
) -> Evidence {
    let sought = Sought::of(book, asked, clay, firing);
    let pooled = sought.pooled(book, asked, knowledge, true);
    let mut pool = sought.again(book, asked, knowledge, &pooled);
    let (place, present) = pool.asked_place();
    let evidence = pool.finish(place, present);
    let mut said = sought.said.clone();
    said.extend(evidence.said);
    said.iter_mut().for_each(|said| said.may_mean(&asked.name));
    said.extend(sought.several_firings(book, asked, &evidence.witnesses));
    Evidence {
        // A pool that is asked for with lines has them.
        lines: pooled.lines.clone().unwrap_or_else(|| [].into()),
        contradictions: pooled.contradictions.to_vec(),
        said,
        ..evidence
    }
}

/// Whether any piece on a clay speaks for a glaze at its own firing.
pub fn any_piece_speaks(book: &Notebook<'_>, asked: &Glaze, clay: &str) -> bool {
    let sought = Sought::of(book, asked, clay, None);
    if !sought.on_clay.kilns.iter().any(|kiln| kiln.is(&sought.kiln)) {
        return false;
    }
    let knowledge = ClayKnowledge::default();
    let of = sought.pool_of(&knowledge);
    let mut pool = Pool::new((book, &sought.names), asked, of, &[]);
    let mut here = sought.on_clay.notes(book);
    here.any(|note| pool.line(note).witness.is_some())
}

/// The notes of a clay pooled for one firing.
fn pooled(
    (book, names): (&Notebook<'_>, &Names),
    asked: &Glaze,
    of: Of<'_>,
    on_clay: &OnClay,
    with_lines: bool,
) -> Pooled {
    let told = stories(on_clay.notes(book));
    let mut pool = Pool::new((book, names), asked, of, &told);
    let mut lines: Vec<EvidenceLine> = on_clay.notes(book).map(|note| pool.line(note)).collect();
    let pool = pool.gathered();
    set_later_looks_aside(&mut lines, pool.witnesses());
    let witness_of: HashMap<usize, usize> = lines
        .iter()
        .filter_map(|line| Some((line.line, line.witness?)))
        .collect();
    let is_pooled = |story: &&Story<'_>| story.looks.iter().any(|note| witness_of.contains_key(&note.line));
    let odd = told.iter().filter(is_pooled).flat_map(Story::contradictions);
    let mut contradictions: Vec<FitSaid> = odd.map(FitSaid::Odd).collect();
    let two = told.iter().filter_map(|story| two_recipes(story, &witness_of));
    contradictions.extend(two);
    contradictions.extend(super::contradiction::contradictions(pool.witnesses(), book.settings));
    Pooled::new(pool, with_lines.then(|| lines.into()), contradictions)
}

/// Lines whose look doesn't count for either edge.
fn set_later_looks_aside(lines: &mut [EvidenceLine], witnesses: &[Witness]) {
    let latest = |witness: &Witness| -> Vec<usize> {
        let both = Edge::BOTH.iter().flat_map(|edge| witness.latest(*edge));
        both.map(|look| look.line).collect()
    };
    let counting: HashSet<usize> = witnesses.iter().flat_map(latest).collect();
    for line in lines.iter_mut().filter(|line| line.why_not.is_none()) {
        if !counting.contains(&line.line) {
            line.why_not = Some(WhyNot::LaterLook);
        }
    }
}

/// The firing that is asked about, with what has to be said of it.
fn kiln_asked(asked: &Glaze, on_clay: &OnClay, firing: Option<&Kiln>) -> (Kiln, Vec<FitSaid>) {
    let kilns = &on_clay.kilns;
    let mut said = Vec::new();
    if let Some(kiln) = firing {
        if !kilns.is_empty() && !kilns.iter().any(|other| other.is(kiln)) {
            said.push(FitSaid::NoNoteOf(kiln.clone()));
        }
        return (kiln.clone(), said);
    }
    let (kiln, how) = Kiln::usual(asked.about.firing.as_deref(), asked.about.cone.as_deref(), kilns);
    // A file that names a cone only, where every note of that cone names one firing.
    let of_cone = (how.is_none() && !kilns.contains(&kiln))
        .then(|| on_clay.only_at_cone(asked.about.cone.as_deref()?))
        .flatten();
    if let Some(only) = &of_cone {
        said.push(FitSaid::ConeOnly(only.clone()));
    }
    said.extend(how);
    (of_cone.unwrap_or(kiln), said)
}

/// A batch that is noted under two recipes: somebody used its name again, or a later look
/// was noted under today's recipe.
fn two_recipes(story: &Story<'_>, witness_of: &HashMap<usize, usize>) -> Option<FitSaid> {
    let of = |note: &&Note| Some((note.line, *witness_of.get(&note.line)?));
    let mut pooled = story.looks.iter().filter_map(of);
    let first = pooled.next()?;
    let other = pooled.find(|other| other.1 != first.1)?;
    Some(FitSaid::TwoRecipes(first.0.min(other.0), first.0.max(other.0)))
}

/// Whether a note says anything about crazing, shivering or cracks.
pub(super) fn looks_at_fit(note: &Note) -> bool {
    note.crazed.is_some() || note.shivered.is_some() || note.dunted.is_some()
}
