//! Everything that was graded in the studio, learnt from.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze};
use glost_chemistry::oxides::OxideMoles;
use glost_core::tiles::blend::SavedPlan;
use glost_core::tiles::expect::{Graded, GradedBook, Made, Studio, graded, learn};
use glost_studio::FoundGlaze;

use crate::notebook::Book;
use crate::{Desk, Failure};

/// A studio's graded things with what they say.
pub(super) struct Learnt {
    pub studio: Studio,
    /// The glazes as they are today.
    pub glazes: Vec<FoundGlaze>,
    /// Lines of notes that were graded and whose chemistry nobody can tell.
    pub unplaced: Vec<usize>,
}

/// Reads and learns.
///
/// # Errors
/// Nothing was graded for this property, or nothing of it has a known chemistry.
pub(super) fn learnt(desk: &Desk, grade: &str) -> Result<Learnt, Failure> {
    let opened = Opened::of(desk)?;
    let (things, unplaced) = opened.graded(desk, grade);
    let studio = learn(things).ok_or_else(|| opened.nothing(grade, &unplaced))?;
    Ok(Learnt {
        studio,
        glazes: opened.glazes,
        unplaced,
    })
}

/// What graded things are looked for in.
pub(crate) struct Opened {
    book: Book,
    pub glazes: Vec<FoundGlaze>,
    recipes: Vec<Glaze>,
    plans: Vec<SavedPlan>,
}

impl Opened {
    /// Reads notes, versions, glazes and plans; what can't be read is told aside.
    pub fn of(desk: &Desk) -> Result<Opened, Failure> {
        let book = Book::open(desk, desk.today()?)?;
        let glazes = desk.all_glazes();
        let (plans, complaints) = desk.workplace().plans();
        desk.tell(complaints);
        Ok(Opened {
            book,
            recipes: glazes.iter().map(|found| found.glaze.clone()).collect(),
            glazes,
            plans,
        })
    }

    /// Everything that was graded for a property, and the lines that can't be placed.
    pub fn graded(&self, desk: &Desk, property: &str) -> (Vec<Graded>, Vec<usize>) {
        let glaze_fluxes: Vec<&FluxList> = self.glazes.iter().map(|found| &found.settings.fluxes).collect();
        let book = GradedBook {
            notes: &self.book.notes,
            versions: &self.book.versions,
            glazes: &self.recipes,
            plans: &self.plans,
            glaze_fluxes: &glaze_fluxes,
            fluxes: &desk.workplace().settings().fluxes,
        };
        graded(&book, property)
    }

    /// Properties that were graded, in order of their first note.
    pub fn properties(&self) -> Vec<String> {
        let mut known: Vec<String> = Vec::new();
        for grade in self.book.notes.standing().flat_map(|note| &note.grades) {
            if !known.iter().any(|name| name.eq_ignore_ascii_case(&grade.property)) {
                known.push(grade.property.clone());
            }
        }
        known
    }

    fn nothing(&self, grade: &str, unplaced: &[usize]) -> Diagnostic {
        if unplaced.is_empty() {
            let help = match self.properties().as_slice() {
                [] => "nothing is graded yet: `glost note GLAZE --grade gloss=4`".to_owned(),
                known => format!("graded so far: {}", known.join(", ")),
            };
            let message = format!("nothing here was graded for {grade}");
            return Diagnostic::error("not-noted", message).help(help);
        }
        let lines: Vec<String> = unplaced.iter().take(5).map(ToString::to_string).collect();
        let message = format!(
            "{grade} was graded in {} notes (line {} ...), and nobody tells the chemistry of any of them",
            unplaced.len(),
            lines.join(", ")
        );
        Diagnostic::error("no-chemistry", message)
            .help("with an analysis of their materials, or the plan of their tiles, they speak")
    }
}

/// A glaze as it is today, to be made on a clay with a coat; `None` where its chemistry
/// can't be told.
pub(super) fn to_make(found: &FoundGlaze, clay: Option<&str>, coat_mm: Option<f64>) -> Option<Made> {
    let about = &found.glaze.about;
    let unity = analysis(found)?.unity?;
    Some(Made {
        name: found.glaze.name.clone(),
        family: found.glaze.name.clone(),
        unity,
        cone: about
            .cone
            .clone()
            .or_else(|| about.peak.map(|peak| format!("{} C", peak.celsius()))),
        clay: clay.map(str::to_owned).or_else(|| about.clay.clone()),
        coat_mm,
    })
}

/// Half of each of two glazes, by weight of the base.
pub(super) fn halves(one: &FoundGlaze, other: &FoundGlaze) -> Option<Made> {
    let mut moles: OxideMoles = analysis(one)?.moles;
    moles.add_scaled(1.0, &analysis(other)?.moles);
    let made = to_make(one, None, None)?;
    let name = format!("half {}, half {}", one.glaze.name, other.glaze.name);
    Some(Made {
        unity: one.settings.fluxes.unity(&moles)?,
        family: name.clone(),
        name,
        ..made
    })
}

fn analysis(found: &FoundGlaze) -> Option<Analysis> {
    // A powder of unknown analysis has no chemistry to learn from.
    Analysis::of(&found.glaze, &found.settings.fluxes, Additions::In).ok()
}
