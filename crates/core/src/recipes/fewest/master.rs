//! The least set that meets every cut: a hitting set, by branch and bound.
//!
//! A node has chosen some materials and ruled others out. A cut with nothing left to
//! meet it ends the node, one with a single material left decides it; a material whose
//! cuts another meets as well is ruled out. What is still needed is at least the
//! greater of two bounds: cuts that share no material, and a fractional price of the
//! materials that no cut may exceed. Branches go over the materials of the smallest
//! cut, each without those before it.

use super::set::Set;

/// The cuts so far: of each, at least one material must be kept.
#[derive(Debug, Clone, Default)]
pub(super) struct Master {
    cuts: Vec<Set>,
}

/// What a search for a set came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Hit {
    /// A set of at most the size asked for.
    Found(Set),
    /// There is none.
    None,
    /// The work ran out before that was known.
    Unknown,
}

impl Master {
    /// Takes a cut; those that hold it say less and go.
    pub fn add(&mut self, cut: Set) {
        if self.cuts.iter().any(|known| known.is_within(cut)) {
            return;
        }
        self.cuts.retain(|known| !cut.is_within(*known));
        self.cuts.push(cut);
    }

    /// How many cuts a material meets.
    pub fn weight(&self, member: usize) -> usize {
        self.cuts.iter().filter(|cut| cut.has(member)).count()
    }

    /// Cuts that another doesn't have.
    pub fn new_since(&self, before: &Master) -> Vec<Set> {
        let own = self.cuts.iter().copied();
        own.filter(|cut| !before.cuts.contains(cut)).collect()
    }

    /// A set of at most `most` materials beside those kept anyway that meets every cut;
    /// `work` counts nodes down.
    pub fn hit(&self, kept: Set, most: usize, work: &mut u64) -> Hit {
        let mut cuts: Vec<Set> = self.cuts.iter().copied().filter(|cut| !cut.meets(kept)).collect();
        cuts.sort_by_key(|cut| cut.len());
        let mut search = Search { work, spent: false };
        match search.node(&cuts, Set::default(), most) {
            Some(found) => Hit::Found(found.or(kept)),
            None if search.spent => Hit::Unknown,
            None => Hit::None,
        }
    }
}

struct Search<'a> {
    work: &'a mut u64,
    spent: bool,
}

impl Search<'_> {
    /// A set that meets these cuts with at most `left` more materials.
    fn node(&mut self, cuts: &[Set], chosen: Set, left: usize) -> Option<Set> {
        if cuts.is_empty() {
            return Some(chosen);
        }
        if *self.work == 0 {
            self.spent = true;
            return None;
        }
        *self.work -= 1;
        if left == 0 || disjoint(cuts) > left || priced(cuts) > left {
            return None;
        }
        let cuts = &undominated(cuts);
        let smallest = cuts.iter().min_by_key(|cut| cut.len()).copied()?;
        let weight = |member: usize| cuts.iter().filter(|cut| cut.has(member)).count();
        let mut members: Vec<(usize, usize)> = smallest.members().map(|member| (weight(member), member)).collect();
        members.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
        let mut out = Set::default();
        for (_, member) in members {
            let rest: Vec<Set> = cuts
                .iter()
                .filter(|cut| !cut.has(member))
                .map(|cut| cut.without(out))
                .collect();
            if rest.iter().all(|cut| !cut.is_empty())
                && let Some(found) = self.node(&rest, chosen.with(member), left - 1)
            {
                return Some(found);
            }
            out = out.with(member);
        }
        None
    }
}

/// Cuts that share no material, picked from the smallest on.
fn disjoint(cuts: &[Set]) -> usize {
    let mut order: Vec<Set> = cuts.to_vec();
    order.sort_by_key(|cut| cut.len());
    let mut taken = Set::default();
    let mut count = 0;
    for cut in order {
        if !cut.meets(taken) {
            taken = taken.or(cut);
            count += 1;
        }
    }
    count
}

/// A lower bound from a packing of the cuts in fractions: each cut gets a share, so
/// that the shares of the cuts of one material sum to 1 at most. A cut's first share is
/// one over the most that one of its materials has to serve; what is left over is dealt
/// out in order.
fn priced(cuts: &[Set]) -> usize {
    let mut weights = [0.0_f64; super::set::MOST_MATERIALS];
    for cut in cuts {
        cut.members().for_each(|member| weights[member] += 1.0);
    }
    let mut used = [0.0_f64; super::set::MOST_MATERIALS];
    let mut total = 0.0;
    for cut in cuts {
        let most = cut.members().map(|member| weights[member]).fold(1.0, f64::max);
        cut.members().for_each(|member| used[member] += 1.0 / most);
        total += 1.0 / most;
    }
    for cut in cuts {
        let most = cut.members().map(|member| used[member]).fold(0.0, f64::max);
        let more = (1.0 - most).max(0.0);
        cut.members().for_each(|member| used[member] += more);
        total += more;
    }
    // Whole materials are needed; rounding must not ask for one too many.
    (total - 1e-7).ceil().max(0.0) as usize
}

/// The cuts without materials whose cuts another meets as well, and without cuts that
/// hold another.
fn undominated(cuts: &[Set]) -> Vec<Set> {
    let all = cuts.iter().fold(Set::default(), |all, cut| all.or(*cut));
    let members: Vec<usize> = all.members().collect();
    let met: Vec<Vec<u64>> = members.iter().map(|&member| met_by(cuts, member)).collect();
    let mut out = Set::default();
    for (i, &member) in members.iter().enumerate() {
        let beaten = members.iter().enumerate().any(|(j, &other)| {
            let as_well = i != j && !out.has(other) && met[i].iter().zip(&met[j]).all(|(own, other)| own & !other == 0);
            // Of two alike the first stays.
            as_well && (met[i] != met[j] || j < i)
        });
        if beaten {
            out = out.with(member);
        }
    }
    let mut kept: Vec<Set> = cuts.iter().map(|cut| cut.without(out)).collect();
    kept.sort_by_key(|cut| cut.len());
    let mut least: Vec<Set> = Vec::with_capacity(kept.len());
    for cut in kept {
        if !least.iter().any(|known| known.is_within(cut)) {
            least.push(cut);
        }
    }
    least
}

fn met_by(cuts: &[Set], member: usize) -> Vec<u64> {
    let bits = |chunk: &[Set]| {
        let own = chunk
            .iter()
            .enumerate()
            .map(|(bit, cut)| u64::from(cut.has(member)) << bit);
        own.sum()
    };
    cuts.chunks(64).map(bits).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn set(members: &[usize]) -> Set {
        Set::of(members.iter().copied())
    }

    #[test]
    fn three_pairs_in_a_ring_need_two() {
        let mut master = Master::default();
        for cut in [set(&[0, 1]), set(&[1, 2]), set(&[0, 2]), set(&[0, 1, 2])] {
            master.add(cut);
        }
        assert_eq!(master.cuts.len(), 3, "what holds another says nothing");
        assert_eq!(master.hit(Set::default(), 1, &mut 1000), Hit::None);
        let Hit::Found(two) = master.hit(Set::default(), 2, &mut 1000) else {
            panic!("two suffice")
        };
        assert_eq!(two.len(), 2);
        assert_eq!(master.hit(Set::default(), 2, &mut 0), Hit::Unknown);
        assert_eq!(master.hit(set(&[0]), 1, &mut 1000), Hit::Found(set(&[0, 1])));
    }

    #[test]
    fn as_small_as_by_trying_every_set() {
        let mut seed = 7_u64;
        let mut next = move || {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (seed >> 33) as usize
        };
        for _ in 0..200 {
            let mut master = Master::default();
            let cuts: Vec<Set> = (0..12)
                .map(|_| Set::of((0..1 + next() % 4).map(|_| next() % 10).collect::<Vec<_>>()))
                .collect();
            cuts.iter().for_each(|cut| master.add(*cut));
            let all = (0..1_usize << 10).map(|bits| Set::of((0..10).filter(|bit| bits >> bit & 1 == 1)));
            let least = all
                .filter(|set| cuts.iter().all(|cut| cut.meets(*set)))
                .map(Set::len)
                .min();
            let found =
                (0..=10).find(|&most| matches!(master.hit(Set::default(), most, &mut 1_000_000), Hit::Found(_)));
            assert_eq!(found, least);
        }
    }
}
