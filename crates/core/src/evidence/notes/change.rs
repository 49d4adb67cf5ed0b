//! How two versions of a glaze differ.

use glost_chemistry::read::folded;
use serde::Serialize;

use super::version::{Version, VersionMaterial, VersionYield};

/// Amounts and analyses that differ by less than this share are the same.
const SAME: f64 = 1e-9;

/// One way in which two versions differ.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Change {
    /// A material is of another lot.
    Lot {
        /// The material.
        material: String,
        /// The lot before.
        from: Option<String>,
        /// The lot after.
        to: Option<String>,
    },
    /// A material took the place of another of the same kind and amount: a lot under a name of its own.
    Renamed {
        /// The material before.
        from: String,
        /// The material after.
        to: String,
    },
    /// A material's analysis is another.
    Analysis {
        /// The material.
        material: String,
    },
    /// A material's amount is another, in parts beside the earlier base of 100.
    Amount {
        /// The material.
        material: String,
        /// Before; 0 where it was not in it.
        from: f64,
        /// After; 0 where it is gone.
        to: f64,
    },
}

impl Change {
    /// Whether what is weighed in changed rather than how much of it.
    pub fn is_of_a_lot(&self) -> bool {
        !matches!(self, Change::Amount { .. })
    }
}

impl Version {
    /// Whether another is the same recipe of the same materials and lots.
    /// Names, days and printed expansions don't count.
    pub fn same_recipe(&self, other: &Version) -> bool {
        self.changes_to(other).is_empty()
    }

    /// How a later version differs from this one.
    pub fn changes_to(&self, later: &Version) -> Vec<Change> {
        let mut changes = Vec::new();
        let after = in_the_same_measure(&self.parts, &later.parts);
        changes.extend(amounts_changed(&self.parts, &after));
        changes.extend(amounts_changed(&self.additions, &later.additions));
        // A bag under the name of its lot: one goes, one of the same kind comes, the amount stays.
        if let [
            Change::Amount {
                material: gone,
                from,
                to: 0.0,
            },
            Change::Amount {
                material: come,
                from: 0.0,
                to,
            },
        ] = changes.as_slice()
            && near(*from, *to)
            && let (Some(gone), Some(come)) = (self.material(gone), later.material(come))
            && gone.kind == come.kind
        {
            changes = vec![Change::Renamed {
                from: gone.name.clone(),
                to: come.name.clone(),
            }];
        }
        for before in &self.materials {
            let Some(after) = later.material(&before.name) else {
                continue;
            };
            let name = before.name.clone();
            if before.lot != after.lot {
                changes.push(Change::Lot {
                    material: name,
                    from: before.lot.clone(),
                    to: after.lot.clone(),
                });
            } else if !same_yield(before.fired.as_ref(), after.fired.as_ref()) {
                changes.push(Change::Analysis { material: name });
            }
        }
        changes
    }

    fn material(&self, name: &str) -> Option<&VersionMaterial> {
        self.materials.iter().find(|known| folded(&known.name) == folded(name))
    }
}

impl VersionMaterial {
    /// Whether another is the same lot on the same sheet.
    pub(super) fn is_same_lot(&self, other: &VersionMaterial) -> bool {
        self.lot == other.lot && same_yield(self.fired.as_ref(), other.fired.as_ref())
    }
}

pub(super) fn near(one: f64, other: f64) -> bool {
    (one - other).abs() <= SAME * one.abs().max(other.abs()).max(1.0)
}

fn same_yield(one: Option<&VersionYield>, other: Option<&VersionYield>) -> bool {
    match (one, other) {
        (None, None) => true,
        (Some(one), Some(other)) => {
            let oxides = one.oxides.as_slice().iter().zip(other.oxides.as_slice());
            near(one.loss_grams, other.loss_grams)
                && near(one.moisture_grams, other.moisture_grams)
                && oxides.into_iter().all(|(one, other)| near(*one, *other))
        }
        _ => false,
    }
}

/// The later parts as if they had been written beside the earlier ones: where
/// most materials keep their proportions, those keep their amounts. Of 26
/// silica made 28 it then says just that, not that all other shares fell.
fn in_the_same_measure(before: &[(String, f64)], after: &[(String, f64)]) -> Vec<(String, f64)> {
    let ratios: Vec<f64> = before
        .iter()
        .filter_map(|(name, from)| {
            let (_, to) = after.iter().find(|(known, _)| folded(known) == folded(name))?;
            Some(to / from)
        })
        .collect();
    let agreeing = |ratio: f64| ratios.iter().filter(|other| near(ratio, **other)).count();
    let usual = ratios.iter().copied().max_by_key(|ratio| agreeing(*ratio));
    match usual {
        Some(ratio) if agreeing(ratio) > 1 && ratio > 0.0 => after
            .iter()
            .map(|(name, amount)| (name.clone(), amount / ratio))
            .collect(),
        _ => after.to_vec(),
    }
}

fn amounts_changed(before: &[(String, f64)], after: &[(String, f64)]) -> Vec<Change> {
    let of = |list: &[(String, f64)], name: &str| {
        let found = list.iter().find(|(known, _)| folded(known) == folded(name));
        found.map_or(0.0, |(_, amount)| *amount)
    };
    let gone_or_moved = before.iter().map(|(name, from)| (name, *from, of(after, name)));
    let come = after
        .iter()
        .filter(|(name, _)| of(before, name) == 0.0)
        .map(|(name, to)| (name, 0.0, *to));
    gone_or_moved
        .chain(come)
        .filter(|(_, from, to)| !near(*from, *to))
        .map(|(name, from, to)| Change::Amount {
            material: name.clone(),
            from,
            to,
        })
        .collect()
}
