//! Glazes that stand in the wrong order: notes that can't all be right, or that speak of more
//! than expansion.

use super::look::{Edge, Known, Witness};
use super::said::FitSaid;
use super::settings::WindowSettings;

/// Glazes whose computed expansions differ by more than so many standard deviations of the
/// difference stand in a known order.
const CLEARLY_APART: f64 = 2.0;

/// Glazes that contradict each other; all of them are counted all the same.
pub(super) fn contradictions(witnesses: &[Witness], settings: &WindowSettings) -> Vec<FitSaid> {
    let mut said = Vec::new();
    let apart = CLEARLY_APART * settings.computed_sd * std::f64::consts::SQRT_2;
    for edge in Edge::BOTH {
        let computed = || {
            witnesses
                .iter()
                .filter(|witness| witness.believed.known == Known::Computed)
        };
        let held: Vec<&Witness> = computed()
            .filter(|witness| held_for_long(witness, edge, settings))
            .collect();
        for failing in computed() {
            let (pieces, failed) = failing.counted(edge);
            if pieces == 0 || 2 * failed < pieces {
                continue;
            }
            let further_out = |held: &&&Witness| {
                let gap = edge.past(held.believed.belief.mean, failing.believed.belief.mean);
                gap > apart
            };
            for held in held.iter().filter(further_out) {
                let gap = (held.believed.belief.mean - failing.believed.belief.mean).abs();
                said.push(FitSaid::WrongOrder {
                    edge,
                    failing: failing.glaze.clone(),
                    failed: (failed, pieces),
                    held: held.glaze.clone(),
                    gap,
                });
            }
        }
    }
    said
}

/// Whether enough pieces held for long enough, none of its pieces failing.
fn held_for_long(witness: &Witness, edge: Edge, settings: &WindowSettings) -> bool {
    let latest = witness.latest(edge);
    let old_enough = latest.iter().filter(|look| look.age_days >= settings.tested_days);
    let pieces: u64 = old_enough.map(|look| u64::from(look.pieces)).sum();
    let failed = latest
        .iter()
        .any(|look| look.failed(edge).is_some_and(|failed| failed > 0));
    pieces >= u64::from(settings.tested_pieces) && !failed
}
