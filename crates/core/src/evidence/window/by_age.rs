//! The craze line as it falls with age, with the looks that taught it.

use super::learn::Window;
use super::look::{Edge, Known};
use super::posterior::{Band90, Pieces};

/// Ages, days, at which the line is told.
const AT_DAYS: [f64; 9] = [0.0, 1.0, 7.0, 30.0, 90.0, 180.0, 365.0, 730.0, 1095.0];
/// Chances this near to 0 and to 1 have no place along the expansion.
const PLACED_BETWEEN: (f64, f64) = (0.001, 0.999);

/// The line at several ages, and what was looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct LineByAge {
    /// Days since the kiln, and where the line stands then.
    pub line: Vec<(f64, Band90)>,
    /// The looks that count for crazing.
    pub looks: Vec<LookByAge>,
}

/// One look beside the line.
#[derive(Debug, Clone, PartialEq)]
pub struct LookByAge {
    /// Whose pieces: its place among the witnesses.
    pub witness: usize,
    /// Days since the kiln.
    pub age_days: f64,
    /// Its glaze's expansion, 1e-6/K.
    pub expansion: f64,
    /// Nobody tells the expansion: it stands where a glaze that is known would have the same
    /// chance of crazing.
    pub by_chance: bool,
    /// How many pieces.
    pub pieces: u32,
    /// How many of them had crazed.
    pub crazed: u32,
}

/// The line of a window by age.
pub fn line_by_age(window: &Window) -> LineByAge {
    let line = &window.craze;
    let mut looks = Vec::new();
    for (index, witness) in window.witnesses.iter().enumerate() {
        let latest = witness.latest(Edge::Craze);
        let Some(last) = latest.last() else { continue };
        let unknown = witness.believed.known == Known::Unknown;
        let expansion = if unknown {
            let chance = line.chance_of(&Pieces {
                place: witness.place,
                lot: last.lot,
            });
            line.expansion_at(chance.clamp(PLACED_BETWEEN.0, PLACED_BETWEEN.1), 0.0)
        } else {
            Some(witness.believed.belief.mean)
        };
        let Some(expansion) = expansion else { continue };
        looks.extend(latest.into_iter().map(|look| LookByAge {
            witness: index,
            age_days: look.age_days,
            expansion,
            by_chance: unknown,
            pieces: look.pieces,
            crazed: look.crazed.unwrap_or(0),
        }));
    }
    LineByAge {
        line: AT_DAYS.map(|days| (days, line.band_at(days))).into(),
        looks,
    }
}
