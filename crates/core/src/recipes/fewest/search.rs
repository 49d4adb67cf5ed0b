//! The search: an implicit hitting set.
//!
//! A master proposes a least set for the cuts that are known; each glaze says whether
//! its nearest recipe from that set is near. One that isn't gives cuts that the set
//! fails. A proposal that all glazes accept is least, since every cut is a truth about
//! some glaze; no set for a size proves that more are needed.

use crate::recipes::swap::SwapTrouble;

use super::master::{Hit, Master};
use super::seeker::{Seeker, Work};
use super::set::Set;

/// What the search knows.
pub(super) struct Search<'a> {
    pub glazes: Vec<Seeker<'a>>,
    /// All materials that may be kept.
    pub all: Set,
    /// Those that are kept anyway.
    pub kept: Set,
    pub master: Master,
    pub work: Work,
}

/// What it came to.
#[derive(Debug, Clone)]
pub(super) struct Least {
    /// Sets of one size that keep every glaze near, the first found first.
    pub sets: Vec<Set>,
    /// No fewer than so many materials beside those kept anyway.
    pub at_least: usize,
}

impl Search<'_> {
    /// The least set, and up to `show` others of its size where the work lasts.
    pub fn least(&mut self, show: usize) -> Result<Least, SwapTrouble> {
        self.first_cuts()?;
        let mut best = self.descend(self.all)?;
        for order in [0, 1] {
            let other = self.descend_in(self.all, order)?;
            if other.len() < best.len() {
                best = other;
            }
        }
        let mut size = 0;
        while self.beside(best) > size {
            match self.master.hit(self.kept, size, &mut self.work.left) {
                Hit::Unknown => break,
                Hit::None => size += 1,
                Hit::Found(set) if self.learn(set)? => best = set,
                Hit::Found(set) => {
                    let better = self.grown(set, self.beside(best))?;
                    best = better.unwrap_or(best);
                }
            }
            if self.work.left == 0 {
                break;
            }
        }
        let mut least = Least {
            sets: vec![best],
            at_least: size,
        };
        if self.beside(best) == size {
            self.others(&mut least, show)?;
        }
        Ok(least)
    }

    /// Of several sets the one that keeps most glazes unchanged, then moves the others
    /// least.
    pub fn preferred(&mut self, sets: &[Set]) -> Result<Option<Set>, SwapTrouble> {
        let mut best: Option<(usize, f64, Set)> = None;
        for &set in sets {
            let (mut changed, mut moved) = (0, 0.0);
            for glaze in self.glazes.iter_mut() {
                if !glaze.keeps_its_own(set) {
                    changed += 1;
                    moved += glaze.distance(set)?.unwrap_or(0.0);
                }
            }
            if best.is_none_or(|best| (changed, moved) < (best.0, best.1)) {
                best = Some((changed, moved, set));
            }
        }
        Ok(best.map(|best| best.2))
    }

    /// How many of a set aren't kept anyway.
    fn beside(&self, set: Set) -> usize {
        set.without(self.kept).len()
    }

    /// Cuts of each glaze alone, that share no material: the first bound.
    fn first_cuts(&mut self) -> Result<(), SwapTrouble> {
        for index in 0..self.glazes.len() {
            let mut set = self.kept;
            while !self.glazes[index].is_near(set, &mut self.work)? {
                let cut = self.cut(index, set, 0)?;
                set = set.or(cut);
            }
        }
        Ok(())
    }

    /// Takes the cuts that a set fails; whether it fails none.
    fn learn(&mut self, set: Set) -> Result<bool, SwapTrouble> {
        let mut fails_none = true;
        for index in 0..self.glazes.len() {
            if !self.glazes[index].is_near(set, &mut self.work)? {
                fails_none = false;
                for order in 0..3 {
                    self.cut(index, set, order)?;
                }
            }
        }
        Ok(fails_none)
    }

    /// One cut of a glaze that a set fails, grown in one of some orders.
    fn cut(&mut self, index: usize, set: Set, order: usize) -> Result<Set, SwapTrouble> {
        let order = self.order(order);
        let cut = self.glazes[index].cut(set, &order, &mut self.work)?;
        self.master.add(cut);
        Ok(cut)
    }

    /// Orders of the materials: those that meet most cuts first or last, or as they stand,
    /// from either end.
    fn order(&self, kind: usize) -> Vec<usize> {
        let mut order: Vec<usize> = self.all.members().collect();
        match kind {
            0 => order.sort_by_key(|&member| std::cmp::Reverse(self.master.weight(member))),
            1 => order.reverse(),
            2 => {}
            _ => order.sort_by_key(|&member| self.master.weight(member)),
        }
        order
    }

    /// A set with materials taken away as long as all glazes stay near, those that meet
    /// the fewest cuts first.
    fn descend(&mut self, set: Set) -> Result<Set, SwapTrouble> {
        self.descend_in(set, 3)
    }

    fn descend_in(&mut self, mut set: Set, order: usize) -> Result<Set, SwapTrouble> {
        for member in self.order(order) {
            if set.has(member) && !self.kept.has(member) {
                let fewer = set.without(Set::default().with(member));
                if self.all_near(fewer)? {
                    set = fewer;
                }
            }
        }
        Ok(set)
    }

    fn all_near(&mut self, set: Set) -> Result<bool, SwapTrouble> {
        for glaze in &mut self.glazes {
            if !glaze.is_near(set, &mut self.work)? {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// A proposal that falls short, filled up until all glazes are near and thinned out
    /// again; where that beats what is known.
    fn grown(&mut self, mut set: Set, below: usize) -> Result<Option<Set>, SwapTrouble> {
        for member in self.order(0) {
            if self.all_near(set)? {
                break;
            }
            if !set.has(member) && self.of_use(set, member)? {
                set = set.with(member);
            }
        }
        if !self.all_near(set)? {
            return Ok(None);
        }
        let thin = self.descend(set)?;
        Ok((self.beside(thin) < below).then_some(thin))
    }

    /// Whether one more material brings a glaze near that isn't.
    fn of_use(&mut self, set: Set, member: usize) -> Result<bool, SwapTrouble> {
        for glaze in &mut self.glazes {
            if glaze.allowed.has(member)
                && !glaze.is_near(set, &mut self.work)?
                && glaze.is_near(set.with(member), &mut self.work)?
            {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// Other sets of the least size: each that is found is ruled out by asking for one of
    /// the rest.
    fn others(&mut self, least: &mut Least, show: usize) -> Result<(), SwapTrouble> {
        let Some(&first) = least.sets.first() else {
            return Ok(());
        };
        let mut master = self.master.clone();
        master.add(self.all.without(first));
        while least.sets.len() <= show && self.work.left > 0 {
            let Hit::Found(set) = master.hit(self.kept, least.at_least, &mut self.work.left) else {
                return Ok(());
            };
            let before = self.master.clone();
            if self.learn(set)? {
                least.sets.push(set);
                master.add(self.all.without(set));
            }
            // What was learnt goes into both; the sets that are ruled out only into one.
            for cut in self.master.new_since(&before) {
                master.add(cut);
            }
        }
        Ok(())
    }
}
