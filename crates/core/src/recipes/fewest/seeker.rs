//! One glaze in a search over sets: whether a set keeps it near, and what a set that
//! doesn't lacks.

use crate::recipes::swap::{Candidate, FromSet, SwapTrouble};

use super::set::Set;

/// Known answers kept of each kind; asking anew is cheaper than more of them.
const MOST_KNOWN: usize = 1500;

/// A glaze with what is known about sets so far.
pub(super) struct Seeker<'a> {
    from: FromSet<'a>,
    /// Materials that may be in it.
    pub allowed: Set,
    within: f64,
    own: Option<Set>,
    near: Vec<Set>,
    far: Vec<Set>,
    /// Whether a programme ended without an answer: it was taken as not near.
    pub doubtful: bool,
}

impl<'a> Seeker<'a> {
    /// `own`: what the old recipe is made of, where all of it is in sight.
    pub fn new(from: FromSet<'a>, allowed: Set, own: Option<Set>, within: f64) -> Seeker<'a> {
        Seeker {
            from,
            allowed,
            within,
            own,
            near: own.into_iter().collect(),
            far: Vec::new(),
            doubtful: false,
        }
    }

    /// Whether a recipe from the set is near.
    pub fn is_near(&mut self, set: Set, work: &mut Work) -> Result<bool, SwapTrouble> {
        let set = set.and(self.allowed);
        if self.near.iter().any(|known| known.is_within(set)) {
            return Ok(true);
        }
        if self.far.iter().any(|known| set.is_within(*known)) {
            return Ok(false);
        }
        work.recipe();
        let members: Vec<usize> = set.members().collect();
        let used = self.from.near(&members, self.within).unwrap_or_else(|_| {
            self.doubtful = true;
            None
        });
        let known = if used.is_some() { &mut self.near } else { &mut self.far };
        if known.len() < MOST_KNOWN {
            known.push(used.as_ref().map_or(set, |used| Set::of(used.iter().copied())));
        }
        Ok(used.is_some())
    }

    /// A cut that a set with no near recipe fails: it is grown, in this order, as long as
    /// none is near, and one of the rest is needed.
    pub fn cut(&mut self, set: Set, order: &[usize], work: &mut Work) -> Result<Set, SwapTrouble> {
        let mut far = set.and(self.allowed);
        work.recipe();
        let members: Vec<usize> = far.members().collect();
        let of_no_use = self.from.of_no_use(&members, self.within)?;
        far = far.or(Set::of(of_no_use).and(self.allowed));
        for &member in order {
            if self.allowed.has(member) && !far.has(member) && !self.is_near(far.with(member), work)? {
                far = far.with(member);
            }
        }
        self.far.retain(|known| !known.is_within(far));
        self.far.push(far);
        Ok(self.allowed.without(far))
    }

    /// The least distance from a set; `None` where it makes no recipe.
    pub fn distance(&mut self, set: Set) -> Result<Option<f64>, SwapTrouble> {
        let members: Vec<usize> = set.and(self.allowed).members().collect();
        self.from.distance(&members)
    }

    /// Whether a set holds all that the old recipe is made of.
    pub fn keeps_its_own(&self, set: Set) -> bool {
        self.own.is_some_and(|own| own.is_within(set))
    }

    /// The nearest recipe from a set.
    pub fn recipe(&mut self, set: Set) -> Result<Option<Candidate>, SwapTrouble> {
        let members: Vec<usize> = set.and(self.allowed).members().collect();
        self.from.recipe(&members, self.within)
    }
}

impl Seeker<'_> {
    /// The cheapest near recipe from a set, with what it is made of.
    pub fn cheapest(&mut self, set: Set, price_per_kg: &[Option<f64>]) -> Result<Option<Candidate>, SwapTrouble> {
        let members: Vec<usize> = set.and(self.allowed).members().collect();
        self.from.cheapest(&members, self.within, price_per_kg)
    }
}

/// How much may still be tried. It counts recipes and nodes and no time, so that the
/// same question always ends at the same place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Work {
    /// Nodes of the master that are left.
    pub left: u64,
    a_recipe: u64,
}

impl Work {
    /// What working out one recipe counts for, in nodes: it grows with the square of the
    /// materials (measured).
    pub fn new(left: u64, materials: usize) -> Work {
        Work {
            left,
            a_recipe: 2 + (materials * materials / 150) as u64,
        }
    }

    fn recipe(&mut self) {
        self.left = self.left.saturating_sub(self.a_recipe);
    }
}
