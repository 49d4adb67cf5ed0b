//! A ladder of an addition known to lower a fault: how much of it holds.
//!
//! A piece fails where a threshold lies above its addition, blurred by a width, by effects
//! of its tile and of its firing. Threshold, width and effects lie on a fixed grid; what the
//! tiles say weighs its nodes. Everything is worked over the ladder's highest addition.

use std::sync::LazyLock;

use super::bell::{NORMAL_TENTH, cumulative, gauss_hermite};

/// Fewer pieces than this fail, over many firings: it holds.
pub const HOLDS_BELOW: f64 = 0.10;
/// The chance from which an addition is called.
pub const SURE: f64 = 0.90;
/// A tile of which more than this failed is never called holding, nor is less than it.
const FAILED: f64 = 0.34;
/// Chances of a piece stay this far from 0 and 1.
const NEAREST: f64 = 1e-12;
/// Thresholds, over the highest addition.
const THRESHOLDS: usize = 51;
/// Widths, and what speaks for each beforehand.
const WIDTHS: [(f64, f64); 5] = [(0.04, 1.0), (0.08, 1.0), (0.16, 1.0), (0.32, 1.0), (0.64, 0.5)];
/// Effects of tile and firing together, likewise.
const EFFECTS: [(f64, f64); 4] = [(0.0, 1.0), (0.5, 1.5), (1.0, 1.5), (1.6, 1.0)];
/// A threshold beyond the ladder speaks for itself a little less.
const BEYOND: f64 = 0.7;
const FIRING_NODES: usize = 7;

static TILE_RULE: LazyLock<[(f64, f64); 9]> = LazyLock::new(gauss_hermite);
static FIRING_RULE: LazyLock<[(f64, f64); FIRING_NODES]> = LazyLock::new(gauss_hermite);
pub(super) static FRESH_RULE: LazyLock<[(f64, f64); 15]> = LazyLock::new(gauss_hermite);

/// A tile of the ladder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rung {
    /// How much was added, per cent.
    pub(super) addition: f64,
    /// Pieces that failed.
    pub(super) failed: f64,
    /// Of so many.
    pub(super) of: f64,
    /// Which firing, by number.
    pub(super) firing: usize,
}

/// One node of the grid.
#[derive(Debug, Clone, Copy)]
pub(super) struct Node {
    pub(super) threshold: f64,
    pub(super) width: f64,
    pub(super) effect: f64,
}

/// What a ladder's tiles say.
#[derive(Debug, Clone)]
pub(super) struct Ladder {
    /// What additions are worked over: the highest made; where nothing was added at all, what
    /// the ladder was to go up to.
    pub(super) top: f64,
    /// The highest addition made.
    made: f64,
    pub(super) rungs: Vec<Rung>,
    pub(super) nodes: Vec<Node>,
    pub(super) weights: Vec<f64>,
}

/// The share of pieces that fail at an addition: mean and 5 and 95 % points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FailingShare {
    /// Mean, 0 to 1.
    pub mean: f64,
    /// 5 % point.
    pub low: f64,
    /// 95 % point.
    pub high: f64,
}

impl Node {
    /// How far the threshold lies above an addition over the top, in widths.
    fn above(&self, addition: f64) -> f64 {
        (self.threshold - addition) / self.width
    }

    /// Whether an addition over the top holds.
    pub(super) fn holds(&self, addition: f64) -> bool {
        -self.above(addition) >= NORMAL_TENTH * self.effect.hypot(1.0)
    }

    /// The share of pieces that fail there over many tiles and firings.
    fn share(&self, addition: f64) -> f64 {
        cumulative(self.above(addition) / self.effect.hypot(1.0))
    }
}

fn nodes() -> (Vec<Node>, Vec<f64>) {
    let (mut nodes, mut weights) = (Vec::new(), Vec::new());
    for step in 0..THRESHOLDS {
        let threshold = -0.5 + 0.05 * step as f64;
        let beyond = if threshold > 1.0 + 1e-9 { BEYOND } else { 1.0 };
        for (width, likely) in WIDTHS {
            for (effect, usual) in EFFECTS {
                nodes.push(Node {
                    threshold,
                    width,
                    effect,
                });
                weights.push(beyond * likely * usual);
            }
        }
    }
    (nodes, weights)
}

impl Ladder {
    /// From the tiles; firings are worked together, tile by tile within each. `planned` is the
    /// highest addition that was planned.
    pub(super) fn of(rungs: Vec<Rung>, planned: f64) -> Ladder {
        let made = rungs.iter().map(|rung| rung.addition).fold(0.0, f64::max);
        let top = match made {
            made if made > 0.0 => made,
            _ if planned > 0.0 => planned,
            _ => 1.0,
        };
        let (nodes, mut weights) = nodes();
        let mut firings: Vec<usize> = rungs.iter().map(|rung| rung.firing).collect();
        firings.sort_unstable();
        firings.dedup();
        for firing in firings {
            let mut together = vec![[1.0; FIRING_NODES]; nodes.len()];
            for rung in rungs.iter().filter(|rung| rung.firing == firing) {
                let tile: Vec<[f64; FIRING_NODES]> = nodes.iter().map(|node| in_a_firing(node, rung, top)).collect();
                let most = tile.iter().flatten().copied().fold(f64::MIN_POSITIVE, f64::max);
                for (product, tile) in together.iter_mut().zip(&tile) {
                    for (product, chance) in product.iter_mut().zip(tile) {
                        // Over the largest, so that no product runs out; only ratios count.
                        *product *= chance / most;
                    }
                }
            }
            for (weight, product) in weights.iter_mut().zip(&together) {
                let rule = product.iter().zip(FIRING_RULE.iter());
                *weight *= rule.map(|(chance, (_, share))| chance * share).sum::<f64>();
            }
        }
        let total: f64 = weights.iter().sum();
        for weight in &mut weights {
            *weight /= total;
        }
        Ladder {
            top,
            made,
            rungs,
            nodes,
            weights,
        }
    }

    /// Additions from none to the highest below `most`, a step apart.
    pub(super) fn steps(&self, step: f64, most: f64) -> Vec<f64> {
        let count = (most / step + 1e-9).floor() as usize;
        (0..=count).map(|place| place as f64 * step).collect()
    }

    /// The chance that an addition holds.
    pub(super) fn holding(&self, addition: f64) -> f64 {
        let pairs = self.nodes.iter().zip(&self.weights);
        let held = pairs.filter(|(node, _)| node.holds(addition / self.top));
        held.map(|(_, weight)| weight).sum()
    }

    /// The share of pieces that fail at an addition.
    pub(super) fn failing(&self, addition: f64) -> FailingShare {
        let pairs = self.nodes.iter().zip(&self.weights);
        let mut shares: Vec<(f64, f64)> = pairs
            .map(|(node, weight)| (node.share(addition / self.top), *weight))
            .collect();
        let mean = shares.iter().map(|(share, weight)| share * weight).sum();
        shares.sort_by(|one, other| one.0.total_cmp(&other.0));
        let point = |wanted: f64| {
            let mut sum = 0.0;
            let reached = shares.iter().find(|(_, weight)| {
                sum += weight;
                sum >= wanted
            });
            reached.or(shares.last()).map_or(0.0, |(share, _)| *share)
        };
        FailingShare {
            mean,
            low: point(0.05),
            high: point(0.95),
        }
    }

    /// The least step up to the highest made that holds, with its chance, and that has no tile
    /// that failed at it or above it.
    pub(super) fn least(&self, step: f64) -> Option<(f64, f64)> {
        let bad = |addition: f64| {
            self.rungs
                .iter()
                .any(|rung| rung.failed / rung.of > FAILED && rung.addition >= addition - 1e-9)
        };
        self.steps(step, self.made)
            .into_iter()
            .map(|addition| (addition, self.holding(addition)))
            .find(|(addition, chance)| *chance >= SURE - 1e-12 && !bad(*addition))
    }
}

/// The likelihood of one tile at a node, for each node of its firing.
fn in_a_firing(node: &Node, rung: &Rung, top: f64) -> [f64; FIRING_NODES] {
    let above = node.above(rung.addition / top);
    if node.effect == 0.0 {
        return [count_chance(cumulative(above), rung.failed, rung.of); FIRING_NODES];
    }
    std::array::from_fn(|place| {
        let firing = FIRING_RULE[place].0;
        let tiles = TILE_RULE.iter().map(|(tile, share)| {
            let z = above + node.effect * std::f64::consts::FRAC_1_SQRT_2 * (tile + firing);
            share * count_chance(cumulative(z), rung.failed, rung.of)
        });
        tiles.sum()
    })
}

/// The chance of a count, the number of orders left out.
fn count_chance(chance: f64, failed: f64, of: f64) -> f64 {
    let chance = chance.clamp(NEAREST, 1.0 - NEAREST);
    (failed * chance.ln() + (of - failed) * (-chance).ln_1p()).exp()
}

/// The chances of 0 to `pieces` failures of a tile of a new firing at an addition over the
/// top, for one node.
pub(super) fn outcomes(node: &Node, addition: f64, pieces: usize) -> Vec<f64> {
    let above = node.above(addition);
    let mut chances = vec![0.0; pieces + 1];
    for (effect, share) in FRESH_RULE.iter() {
        let chance = cumulative(above + node.effect * effect).clamp(NEAREST, 1.0 - NEAREST);
        let odds = chance / (1.0 - chance);
        // (1 - p)^n, then each more failure in turn: n choose k p^k (1 - p)^(n - k).
        let mut term = share * (pieces as f64 * (-chance).ln_1p()).exp();
        for (failed, sum) in chances.iter_mut().enumerate() {
            *sum += term;
            term *= odds * (pieces - failed) as f64 / (failed + 1) as f64;
        }
    }
    chances
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand where no effect of tile or firing blurs it: a threshold right at the addition
    /// fails each of three pieces with one half, so 1, 3, 3 and 1 of 8.
    #[test]
    fn the_counts_of_a_fresh_tile_are_binomial() {
        let node = Node {
            threshold: 0.5,
            width: 0.1,
            effect: 0.0,
        };
        let found = outcomes(&node, 0.5, 3);
        for (found, wanted) in found.iter().zip([0.125, 0.375, 0.375, 0.125]) {
            assert!((found - wanted).abs() < 1e-9, "{found}, not {wanted}");
        }
    }

    /// Whatever the effects, something comes of it, and as many fail as the share says.
    #[test]
    fn all_counts_together_are_certain_and_fail_as_often_as_the_share() {
        for (addition, effect) in [(0.2, 0.0), (0.4, 0.5), (0.5, 1.0), (0.7, 1.6)] {
            let node = Node {
                threshold: 0.45,
                width: 0.16,
                effect,
            };
            let chances = outcomes(&node, addition, 5);
            let all: f64 = chances.iter().sum();
            let failed: f64 = chances
                .iter()
                .zip(0_u8..)
                .map(|(chance, count)| chance * f64::from(count))
                .sum();
            assert!((all - 1.0).abs() < 1e-9, "{all}");
            let share = node.share(addition);
            assert!((failed / 5.0 - share).abs() < 1e-3, "{}, not {share}", failed / 5.0);
        }
    }

    #[test]
    fn thresholds_reach_from_below_the_ladder_to_beyond_it() {
        let (nodes, weights) = nodes();
        assert_eq!((nodes.len(), weights.len()), (51 * 5 * 4, 51 * 5 * 4));
        let (first, last) = (nodes[0].threshold, nodes[nodes.len() - 1].threshold);
        assert!(
            (first + 0.5).abs() < 1e-12 && (last - 2.0).abs() < 1e-12,
            "{first} {last}"
        );
        let of = |threshold: f64| {
            let mut pairs = nodes.iter().zip(&weights);
            pairs
                .find(|(node, _)| (node.threshold - threshold).abs() < 1e-9)
                .map(|pair| *pair.1)
        };
        assert_eq!(of(1.0), Some(1.0), "the highest addition itself");
        assert_eq!(of(1.05), Some(BEYOND));
    }
}
