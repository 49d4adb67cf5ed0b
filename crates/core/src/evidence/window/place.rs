//! Where a glaze lies in a clay's window, without what to do next: what scripts ask.

use std::sync::Arc;

use crate::evidence::ware::Clay;
use glost_chemistry::glaze::{Glaze, Use};

use super::belief::{GlazeBelief, clay_knowledge, glaze_belief};
use super::evidence::{Evidence, Notebook, Sought, gather};
use super::gathered::Pooled;
use super::kiln::{Kiln, bare_cone};
use super::learn::{Question, Window};
use super::look::{Edge, Witness};
use super::said::FitSaid;
use super::zone::Zone;

/// How a glaze is asked about.
#[derive(Debug, Clone, Copy, Default)]
pub struct Asking<'a> {
    /// The firing that the call names, one of the notebook's.
    pub firing: Option<&'a Kiln>,
    /// That firing as the call says it.
    pub called: Option<&'a str>,
    /// The use as the call names it; else the glaze's own, else decorative.
    pub usage: Option<Use>,
}

impl Asking<'_> {
    /// The use that a glaze is judged for.
    pub fn usage_of(&self, glaze: &Glaze) -> Use {
        self.usage.or(glaze.about.usage).unwrap_or(Use::Decorative)
    }
}

/// A glaze's place in the window of a clay at one firing. What the clay teaches is shared with
/// other glazes' places.
#[derive(Debug, Clone)]
pub struct FitPlace {
    /// What is believed of the glaze before its pieces are looked at.
    pub belief: GlazeBelief,
    /// The firing whose pieces are pooled.
    pub kiln: Kiln,
    /// The window learnt from them.
    pub window: Arc<Window>,
    /// Notes that can't all be right.
    pub contradictions: Arc<[FitSaid]>,
    question: Question,
    said: SaidOf,
}

/// What is said of a place: what is said of all glazes stands between the glaze's own.
#[derive(Debug, Clone)]
struct SaidOf {
    glaze: String,
    before: Vec<FitSaid>,
    /// `None` where the glaze's own is all.
    of_all: Option<Arc<Pooled>>,
    own: Vec<FitSaid>,
    after: Vec<FitSaid>,
}

impl SaidOf {
    fn all(&self) -> Vec<FitSaid> {
        let (of_all, unversioned) = self
            .of_all
            .as_ref()
            .map_or((&[][..], None), |pooled| pooled.pool.said());
        let before = self.before.iter().chain(of_all).chain(&self.own);
        let mut said: Vec<FitSaid> = before.cloned().chain(unversioned).collect();
        said.iter_mut().for_each(|said| said.may_mean(&self.glaze));
        said.extend(self.after.iter().cloned());
        said
    }
}

impl FitPlace {
    /// The glaze's own pieces.
    pub fn own(&self) -> Option<&Witness> {
        self.question.own.and_then(|index| self.window.witnesses.get(index))
    }

    /// The chance, 0 to 1, that a piece of a future batch fails within three years.
    pub fn chance(&self, edge: Edge) -> f64 {
        self.window.chance(edge, &self.question)
    }

    /// The same in words.
    pub fn zone(&self, edge: Edge) -> Zone {
        self.window.zone(edge, &self.question)
    }

    /// What was taken for granted of the pieces and the firing.
    pub fn said(&self) -> Vec<FitSaid> {
        self.said.all()
    }
}

/// A firing that was asked for by its name counts with all others to its cone.
fn counts_as(asking: &Asking<'_>) -> Option<FitSaid> {
    match (asking.called, asking.firing) {
        (Some(asked), Some(kiln @ Kiln::Cone(cone))) if bare_cone(asked) != *cone => Some(FitSaid::CountsAs {
            asked: asked.trim().to_owned(),
            kiln: kiln.clone(),
        }),
        _ => None,
    }
}

/// Places a glaze in the window, which is learnt once for all that are asked about.
pub fn place_in_window(book: &Notebook<'_>, glaze: &Glaze, clay: &Clay, asking: &Asking<'_>) -> FitPlace {
    let (knowledge, _) = clay_knowledge(clay);
    let sought = Sought::of(book, glaze, &clay.name, asking.firing);
    let pooled = sought.pooled(book, glaze, &knowledge, false);
    let mut belief = glaze_belief(glaze, book.fluxes, book.settings);
    let pool = sought.again(book, glaze, &knowledge, &pooled);
    let Some(standing) = pool.standing(&belief) else {
        return joined(whole_place(book, glaze, clay, asking), glaze);
    };
    belief.believed = standing.believed;
    let window = pooled.window(book.settings, &knowledge, book.learnt);
    let several = pooled.several_firings(|| sought.several_firings(book, glaze, &window.witnesses));
    FitPlace {
        question: Question {
            believed: belief.believed,
            own: standing.own,
            place: Some(standing.place),
            lot: standing.lot,
            usage: asking.usage_of(glaze),
            failed_test: standing.failed_test,
        },
        belief,
        contradictions: pooled.contradictions.clone(),
        window,
        said: SaidOf {
            glaze: glaze.name.clone(),
            before: sought.said,
            of_all: Some(pooled.clone()),
            own: standing.said,
            after: several.into_iter().chain(counts_as(asking)).collect(),
        },
        kiln: sought.kiln,
    }
}

/// The place of one that joined another's family.
fn joined(whole: WholePlace, glaze: &Glaze) -> FitPlace {
    FitPlace {
        question: whole.question,
        belief: whole.belief,
        kiln: whole.evidence.kiln,
        window: Arc::new(whole.window),
        contradictions: whole.evidence.contradictions.into(),
        said: SaidOf {
            glaze: glaze.name.clone(),
            before: Vec::new(),
            of_all: None,
            own: Vec::new(),
            after: whole.evidence.said,
        },
    }
}

/// A glaze's place with all that bears on it, and what could be tried on it.
pub(super) struct WholePlace {
    pub(super) belief: GlazeBelief,
    pub(super) evidence: Evidence,
    /// What is said of the clay's own numbers.
    pub(super) clay_said: Vec<FitSaid>,
    pub(super) window: Window,
    pub(super) question: Question,
}

/// Learns the window with the glaze in it.
pub(super) fn whole_place(book: &Notebook<'_>, glaze: &Glaze, clay: &Clay, asking: &Asking<'_>) -> WholePlace {
    let (knowledge, clay_said) = clay_knowledge(clay);
    let mut evidence = gather(book, glaze, &clay.name, &knowledge, asking.firing);
    evidence.said.extend(counts_as(asking));
    let mut belief = glaze_belief(glaze, book.fluxes, book.settings);
    belief.believed = evidence.believed;
    let families = std::mem::take(&mut evidence.families);
    let witnesses = evidence.witnesses.clone();
    WholePlace {
        window: Window::learn_with(book.settings, knowledge, families, witnesses, book.learnt),
        question: Question {
            believed: belief.believed,
            own: evidence.own,
            place: Some(evidence.place),
            lot: evidence.present_lot,
            usage: asking.usage_of(glaze),
            failed_test: evidence.failed_test(),
        },
        belief,
        evidence,
        clay_said,
    }
}
