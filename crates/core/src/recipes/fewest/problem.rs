//! The question, and how a studio becomes a search.

use std::sync::Arc;

use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze, NoAnalysis, Portion};
use glost_chemistry::material::{Library, Material};

use crate::recipes::swap::{Candidate, FromSet, SwapTrouble, counts_in_bases, may_join_glaze, of_the_shelf};

use super::answer::{AsItIs, Fewest, Kept, KeptGlaze};
use super::master::Master;
use super::next;
use super::search::Search;
use super::seeker::{Seeker, Work};
use super::set::{MOST_MATERIALS, Set};
use super::twins::twins;

/// A studio whose shelf is to shrink.
pub struct FewestQuestion<'a> {
    /// The glazes that are to stay near.
    pub glazes: Vec<&'a Glaze>,
    /// All materials in sight.
    pub library: &'a Library,
    /// What counts as flux in each of them, in their order.
    pub fluxes: Vec<&'a FluxList>,
    /// Materials to keep whatever happens.
    pub keep: Vec<Arc<Material>>,
    /// Materials to do without.
    pub drop: Vec<Arc<Material>>,
    /// How far a glaze may move, in tolerances of the chemistry distance.
    pub within: f64,
    /// Whether raw clay stays in its band.
    pub clay_band: bool,
    /// Where the cheapest recipes are wanted first: what they are made of is kept, and the
    /// fewest others.
    pub cheapest: Option<Year<'a>>,
    /// How many other sets to look for.
    pub show: usize,
    /// Nodes and recipes that may be tried before the best so far is given.
    pub work: u64,
}

/// What a year took of each glaze, and what materials cost.
pub struct Year<'a> {
    /// Of each glaze, in the question's order.
    pub kilograms: Vec<f64>,
    /// A kilogram of a material, in one currency; `None` where it isn't known.
    pub price: &'a dyn Fn(&Material) -> Option<f64>,
}

/// Why there is no search.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FewestTrouble {
    /// A material is to be kept and to be dropped.
    KeptAndDropped(String),
    /// A material to be dropped is one that is held: an addition, or in a glaze whose
    /// chemistry nobody tells.
    DroppedButHeld {
        /// The material.
        material: String,
        /// The glaze that holds it.
        glaze: String,
    },
    /// More materials than can be told apart.
    TooMany(usize),
    /// The numbers are beyond what can be solved.
    Unsolvable,
}

impl From<SwapTrouble> for FewestTrouble {
    fn from(_: SwapTrouble) -> FewestTrouble {
        FewestTrouble::Unsolvable
    }
}

/// A glaze with what it is held against.
struct Target<'a> {
    glaze: &'a Glaze,
    /// The same without its base.
    bare: Glaze,
    measure: Result<ChemistryDistance, AsItIs>,
}

/// The materials of a search, by number.
pub(super) struct Shelf {
    pub materials: Vec<Arc<Material>>,
    pub held: Set,
}

/// The fewest materials that keep every glaze near.
///
/// # Errors
/// See [`FewestTrouble`].
pub fn fewest(question: &FewestQuestion<'_>) -> Result<Fewest, FewestTrouble> {
    let targets: Vec<Target<'_>> = question
        .glazes
        .iter()
        .zip(&question.fluxes)
        .map(|(glaze, fluxes)| target(glaze, fluxes))
        .collect();
    contradictions(question, &targets)?;
    let Within {
        shelf,
        mut found,
        mut seekers,
        work,
        gone,
    } = within(question, &targets)?;
    let all = Set::of(0..shelf.materials.len());
    let cheapest = cheapest(question, &shelf, &mut seekers)?;
    let of_cheapest = cheapest.iter().map(|(_, recipe)| shelf.numbers(&recipe.newcomers));
    let (numbers, glazes): (Vec<usize>, Vec<Seeker<'_>>) = seekers.into_iter().unzip();
    let mut search = Search {
        glazes,
        all,
        kept: of_cheapest.fold(shelf.held.or(shelf.numbers(&question.keep)), Set::or),
        master: Master::default(),
        work,
    };
    let least = search.least(question.show)?;
    let best = search.preferred(&least.sets)?.ok_or(FewestTrouble::Unsolvable)?;
    for (&index, seeker) in numbers.iter().zip(&mut search.glazes) {
        if !seeker.keeps_its_own(best) {
            let candidate = seeker.recipe(best)?.ok_or(FewestTrouble::Unsolvable)?;
            found[index].kept = Kept::New(candidate);
        }
    }
    for (index, candidate) in cheapest {
        found[index].kept = Kept::New(candidate);
    }
    let names: Vec<&str> = numbers.iter().map(|&index| found[index].glaze.as_str()).collect();
    let next = next::next(&mut search, &shelf, &names, &least.sets, best)?;
    let at_least = search.kept.len() + least.at_least;
    Ok(Fewest {
        next,
        keep: shelf.of(best),
        drop: question
            .drop
            .iter()
            .cloned()
            .chain(gone)
            .chain(shelf.of(all.without(best)))
            .collect(),
        held: shelf.of(shelf.held),
        at_least,
        proven: at_least >= best.len() && search.glazes.iter().all(|glaze| !glaze.doubtful),
        steps: question.work - search.work.left,
        glazes: found,
        twins: twins(&shelf.materials),
    })
}

/// What there is to choose from, and which glazes stay near with all of it.
struct Within<'a> {
    shelf: Shelf,
    found: Vec<KeptGlaze>,
    seekers: Vec<(usize, Seeker<'a>)>,
    work: Work,
    /// Materials of bases that are used up and can't be bought.
    gone: Vec<Arc<Material>>,
}

/// What is used up and can't be bought is done without, unless a glaze is lost without it.
fn within<'a>(question: &FewestQuestion<'_>, targets: &'a [Target<'_>]) -> Result<Within<'a>, FewestTrouble> {
    let mut best = with_all_but(question, targets, Vec::new())?;
    for candidate in gone(question, targets) {
        let without = best.gone.iter().cloned().chain([candidate]).collect();
        let tried = with_all_but(question, targets, without)?;
        if tried.seekers.len() >= best.seekers.len() {
            best = tried;
        }
    }
    Ok(best)
}

/// Which glazes stay near with all that there is but these.
fn with_all_but<'a>(
    question: &FewestQuestion<'_>,
    targets: &'a [Target<'_>],
    gone: Vec<Arc<Material>>,
) -> Result<Within<'a>, FewestTrouble> {
    let shelf = shelf(question, targets, &gone)?;
    let all = Set::of(0..shelf.materials.len());
    let mut found: Vec<KeptGlaze> = targets.iter().map(as_before).collect();
    let mut seekers: Vec<(usize, Seeker<'_>)> = Vec::new();
    let mut work = Work::new(question.work, shelf.materials.len());
    for (index, target) in targets.iter().enumerate() {
        if let Ok(measure) = &target.measure {
            let mut seeker = shelf.seeker(target, measure, question);
            if seeker.is_near(all, &mut work)? {
                seekers.push((index, seeker));
            } else {
                found[index].kept = Kept::Lost(seeker.recipe(all)?);
            }
        }
    }
    Ok(Within {
        shelf,
        found,
        seekers,
        work,
        gone,
    })
}

/// What stands in bases, is used up and can't be bought; what is held or to be kept or dropped
/// is spoken of elsewhere.
fn gone(question: &FewestQuestion<'_>, targets: &[Target<'_>]) -> Vec<Arc<Material>> {
    let mut gone: Vec<Arc<Material>> = Vec::new();
    let spoken_of = |material: &Arc<Material>| {
        let asked = question.keep.iter().chain(&question.drop);
        let held = targets.iter().flat_map(Target::held);
        asked.chain(held).any(|other| other.name == material.name)
    };
    let portions = targets.iter().flat_map(|target| &target.glaze.base);
    for portion in portions.filter(|portion| portion.percent > 0.0) {
        let material = &portion.material;
        // Where no stock is stated, there may be some.
        let is_out = material.stock.is_some() && !material.to_be_had();
        if is_out && !spoken_of(material) && !gone.iter().any(|known| known.name == material.name) {
            gone.push(material.clone());
        }
    }
    gone
}

/// The cheapest near recipe of each glaze that the year took any of.
fn cheapest(
    question: &FewestQuestion<'_>,
    shelf: &Shelf,
    seekers: &mut [(usize, Seeker<'_>)],
) -> Result<Vec<(usize, Candidate)>, FewestTrouble> {
    let Some(year) = &question.cheapest else {
        return Ok(Vec::new());
    };
    let all = Set::of(0..shelf.materials.len());
    let prices: Vec<Option<f64>> = shelf.materials.iter().map(|material| (year.price)(material)).collect();
    let mut found = Vec::new();
    for (index, seeker) in seekers.iter_mut().filter(|(index, _)| year.kilograms[*index] > 0.0) {
        found.extend(seeker.cheapest(all, &prices)?.map(|recipe| (*index, recipe)));
    }
    Ok(found)
}

fn target<'a>(glaze: &'a Glaze, fluxes: &FluxList) -> Target<'a> {
    let measure = match Analysis::of(glaze, fluxes, Additions::In) {
        Ok(Analysis { unity: Some(unity), .. }) => Ok(ChemistryDistance::new(&unity, fluxes)),
        Ok(_) | Err(NoAnalysis::NothingLeft) => Err(AsItIs::NoUnity),
        Err(NoAnalysis::Unknown(names)) => Err(AsItIs::Unknown(names)),
    };
    let bare = Glaze {
        base: Vec::new(),
        ..glaze.clone()
    };
    Target { glaze, bare, measure }
}

fn as_before(target: &Target<'_>) -> KeptGlaze {
    KeptGlaze {
        glaze: target.glaze.name.clone(),
        kept: match &target.measure {
            Ok(_) => Kept::Unchanged,
            Err(why) => Kept::AsItIs(why.clone()),
        },
    }
}

impl Target<'_> {
    /// What is kept for it whatever happens.
    fn held(&self) -> impl Iterator<Item = &Arc<Material>> {
        let stays = |portion: &&Portion| self.measure.is_err() || !counts_in_bases(&portion.material);
        let portions = self.glaze.additions.iter().chain(self.glaze.base.iter().filter(stays));
        portions
            .filter(|portion| portion.percent > 0.0)
            .map(|portion| &portion.material)
    }
}

fn contradictions(question: &FewestQuestion<'_>, targets: &[Target<'_>]) -> Result<(), FewestTrouble> {
    for dropped in &question.drop {
        if question.keep.iter().any(|keep| keep.name == dropped.name) {
            return Err(FewestTrouble::KeptAndDropped(dropped.name.clone()));
        }
        let holds = |target: &&Target<'_>| target.held().any(|held| held.name == dropped.name);
        if let Some(target) = targets.iter().find(holds) {
            return Err(FewestTrouble::DroppedButHeld {
                material: dropped.name.clone(),
                glaze: target.glaze.name.clone(),
            });
        }
    }
    Ok(())
}

/// What there is to choose from: what the glazes hold, what is to be kept, and what else
/// of the studio's own is to be had and may come into one of them. Where that is more
/// than can be told apart, the last of these stay out.
fn shelf(
    question: &FewestQuestion<'_>,
    targets: &[Target<'_>],
    gone: &[Arc<Material>],
) -> Result<Shelf, FewestTrouble> {
    let dropped = |material: &Arc<Material>| {
        let mut without = question.drop.iter().chain(gone);
        without.any(|drop| drop.name == material.name)
    };
    let mut shelf = Shelf {
        materials: Vec::new(),
        held: Set::default(),
    };
    let held: Vec<&Arc<Material>> = targets.iter().flat_map(Target::held).collect();
    held.iter().for_each(|material| shelf.take(material));
    let count = shelf.materials.len();
    let bases = targets.iter().filter(|target| target.measure.is_ok());
    for portion in bases
        .flat_map(|target| &target.glaze.base)
        .filter(|portion| portion.percent > 0.0)
    {
        if !dropped(&portion.material) {
            shelf.take(&portion.material);
        }
    }
    question.keep.iter().for_each(|material| shelf.take(material));
    if shelf.materials.len() > MOST_MATERIALS {
        return Err(FewestTrouble::TooMany(shelf.materials.len()));
    }
    shelf.held = Set::of(0..count);
    for material in of_the_shelf(question.library).filter(|material| !dropped(material)) {
        let joins = targets.iter().any(|target| may_join_glaze(target.glaze, material));
        if joins && shelf.materials.len() < MOST_MATERIALS {
            shelf.take(material);
        }
    }
    Ok(shelf)
}

impl Shelf {
    fn take(&mut self, material: &Arc<Material>) {
        if !self.materials.iter().any(|known| known.name == material.name) {
            self.materials.push(material.clone());
        }
    }

    fn number(&self, material: &Material) -> Option<usize> {
        self.materials.iter().position(|known| known.name == material.name)
    }

    fn numbers(&self, materials: &[Arc<Material>]) -> Set {
        Set::of(materials.iter().filter_map(|material| self.number(material)))
    }

    /// The materials of a set.
    pub fn of(&self, set: Set) -> Vec<Arc<Material>> {
        set.members().map(|member| self.materials[member].clone()).collect()
    }

    /// The base of a glaze, where all of it is here.
    fn own(&self, glaze: &Glaze) -> Option<Set> {
        let there = glaze.base.iter().filter(|portion| portion.percent > 0.0);
        let numbers: Option<Vec<usize>> = there.map(|portion| self.number(&portion.material)).collect();
        numbers.map(Set::of)
    }

    fn seeker<'a>(
        &self,
        target: &'a Target<'_>,
        measure: &ChemistryDistance,
        question: &FewestQuestion<'_>,
    ) -> Seeker<'a> {
        let own = |material: &Material| {
            target
                .glaze
                .base
                .iter()
                .any(|portion| portion.material.name == material.name)
        };
        let joins = |material: &Material| {
            let leaves_some = material.fired.as_ref().is_some_and(|fired| fired.oxides.total() > 0.0);
            leaves_some && (own(material) || counts_in_bases(material) && may_join_glaze(target.glaze, material))
        };
        let all = self.materials.iter().enumerate();
        let allowed = Set::of(all.filter(|(_, material)| joins(material)).map(|(number, _)| number));
        let clay_of = question.clay_band.then_some(target.glaze);
        let from = FromSet::new(&target.bare, measure, self.materials.clone(), clay_of);
        Seeker::new(from, allowed, self.own(target.glaze), question.within)
    }
}
