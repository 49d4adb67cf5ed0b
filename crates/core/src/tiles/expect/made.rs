//! The things that were made and graded: pieces of glazes in their versions, tiles of plans.

use std::collections::{BTreeMap, HashMap};

use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze};
use glost_chemistry::oxides::OxideMoles;
use glost_chemistry::read::folded;

use crate::evidence::notes::{Note, Notes, Versions};
use crate::tiles::blend::{SavedPlan, tile_meant};

/// Where graded things are looked for.
#[derive(Debug, Clone, Copy)]
pub struct GradedBook<'a> {
    /// What was seen.
    pub notes: &'a Notes,
    /// What the versions were that notes name.
    pub versions: &'a Versions,
    /// The glazes as they are today.
    pub glazes: &'a [Glaze],
    /// The saved plans.
    pub plans: &'a [SavedPlan],
    /// What counts as flux in each of them, in their order.
    pub glaze_fluxes: &'a [&'a FluxList],
    /// The same in a glaze that is gone.
    pub fluxes: &'a FluxList,
}

/// One thing that can be made again: a chemistry in its firing, clay and coat.
#[derive(Debug, Clone, PartialEq)]
pub struct Made {
    /// What it is called: `Moss green v2`, `spring/A4`.
    pub name: String,
    /// The glaze or the plan that it belongs to: what is left out together.
    pub family: String,
    /// Its fired chemistry, fluxes = 1.
    pub unity: OxideMoles,
    /// Its cone as text.
    pub cone: Option<String>,
    /// Its clay.
    pub clay: Option<String>,
    /// Its coat in mm, where it was measured.
    pub coat_mm: Option<f64>,
}

/// A thing with its grades.
#[derive(Debug, Clone, PartialEq)]
pub struct Graded {
    /// The thing.
    pub made: Made,
    /// Each grade with the line of its note, in the notebook's order.
    pub grades: Vec<(f64, usize)>,
}

impl Graded {
    /// The mean of its grades.
    pub fn mean(&self) -> f64 {
        let sum: f64 = self.grades.iter().map(|grade| grade.0).sum();
        sum / self.grades.len().max(1) as f64
    }

    /// Least and most.
    pub fn range(&self) -> (f64, f64) {
        let grades = self.grades.iter().map(|grade| grade.0);
        grades.fold((f64::INFINITY, f64::NEG_INFINITY), |range, grade| {
            (range.0.min(grade), range.1.max(grade))
        })
    }
}

/// Everything of known chemistry that was graded for a property, equal things once, and
/// the lines of notes that couldn't be placed.
pub fn graded(book: &GradedBook<'_>, property: &str) -> (Vec<Graded>, Vec<usize>) {
    let mut known = Known::of(book);
    let mut found: Vec<Graded> = Vec::new();
    let mut places: HashMap<Told, usize> = HashMap::new();
    let mut unplaced = Vec::new();
    for note in book.notes.standing() {
        let Some(grade) = note.grade(property) else { continue };
        let Some(made) = made(book, note, &mut known) else {
            unplaced.push(note.line);
            continue;
        };
        let place = *places.entry(told(&made)).or_insert(found.len());
        match found.get_mut(place) {
            Some(known) => known.grades.push((grade, note.line)),
            None => found.push(Graded {
                made,
                grades: vec![(grade, note.line)],
            }),
        }
    }
    (found, unplaced)
}

/// What tells things apart: name, coat by its bits, clay and cone folded.
type Told = (String, Option<u64>, Option<String>, Option<String>);

fn told(made: &Made) -> Told {
    let text = |text: &Option<String>| text.as_deref().map(folded);
    // Nought is nought, whatever its sign.
    let coat = made.coat_mm.map(|coat| (coat + 0.0).to_bits());
    (made.name.clone(), coat, text(&made.clay), text(&made.cone))
}

/// What was looked up for earlier notes.
struct Known {
    /// Places of today's glazes by their names folded; of several alike the first.
    glazes: HashMap<String, usize>,
    chemistries: BTreeMap<(String, String), Option<OxideMoles>>,
}

impl Known {
    fn of(book: &GradedBook<'_>) -> Known {
        let mut glazes = HashMap::with_capacity(book.glazes.len());
        for (place, glaze) in book.glazes.iter().enumerate() {
            glazes.entry(folded(&glaze.name)).or_insert(place);
        }
        Known {
            glazes,
            chemistries: BTreeMap::new(),
        }
    }
}

/// What a note is about, with its chemistry; `None` where nobody can tell it.
fn made(book: &GradedBook<'_>, note: &Note, known: &mut Known) -> Option<Made> {
    if let Some(code) = note.tile.as_deref() {
        let (plan, tile) = tile_meant(book.plans, code, note)?;
        let unity = OxideMoles::new(tile.unity.iter().copied()).filter(|unity| unity.total() > 0.0)?;
        return Some(Made {
            name: plan.whole_code(tile),
            family: plan.name.clone(),
            unity,
            cone: note.cone.clone().or_else(|| plan.cone.clone()),
            clay: note.clay.clone().or_else(|| plan.clay.clone()),
            coat_mm: note.thickness_mm,
        });
    }
    let glaze = note.glaze.as_deref()?;
    let place = known.glazes.get(&folded(glaze)).copied();
    let today = place.and_then(|place| book.glazes.get(place));
    let fluxes = place.and_then(|place| book.glaze_fluxes.get(place).copied());
    let version = note.version.as_deref();
    let key = (folded(glaze), version.map_or_else(String::new, folded));
    let unity = known.chemistries.entry(key).or_insert_with(|| {
        let recorded = version.and_then(|version| book.versions.get(glaze, version));
        let recipe = recorded.map(|version| version.glaze()).or_else(|| today.cloned())?;
        // A powder of unknown analysis says nothing about chemistry.
        Analysis::of(&recipe, fluxes.unwrap_or(book.fluxes), Additions::In)
            .ok()?
            .unity
    });
    let about = today.map(|today| &today.about);
    Some(Made {
        name: version.map_or_else(|| glaze.to_owned(), |version| format!("{glaze} {version}")),
        family: today.map_or_else(|| glaze.to_owned(), |today| today.name.clone()),
        unity: unity.clone()?,
        cone: note.cone.clone().or_else(|| about?.cone.clone()),
        clay: note.clay.clone().or_else(|| about?.clay.clone()),
        coat_mm: note.thickness_mm,
    })
}
