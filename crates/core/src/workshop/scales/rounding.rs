//! From shares to grams that the scales can show.
//!
//! The base keeps its total to the step. Where rounding each weight to the nearest
//! step moves the fired chemistry so far that it could matter, a search looks for
//! the way to round it that moves it least.

use crate::workshop::scales::{MOST_WEIGHING_ERROR, Scales};
use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glaze::{FluxList, Glaze, Portion};
use glost_chemistry::material::Material;
use glost_chemistry::oxides::OxideMoles;

/// Rounds of improvement after which the search stops.
const MOST_ROUNDS: usize = 200;

/// Plain rounding stands where it moves the chemistry by less than this share of
/// a tolerance: nobody could see more in it, and a potter expects her own rounding.
const UNSEEN: f64 = 0.1;

/// Less than this of a material is none, g.
const LEAST_GRAMS: f64 = 1e-3;

/// One line of a weighed recipe.
#[derive(Debug, Clone, PartialEq)]
pub struct WeighedLine {
    /// The material's name.
    pub material: String,
    /// Grams on the scales.
    pub grams: f64,
    /// Grams that are wanted, unrounded.
    pub exact_grams: f64,
}

impl WeighedLine {
    /// Whether the scales show so much else than what is wanted that it isn't to be weighed so:
    /// more than 5 %, down to nothing at all.
    pub fn is_off(&self) -> bool {
        // What is a hair of a gram in a solver's answer is none.
        self.exact_grams > LEAST_GRAMS && (self.grams - self.exact_grams).abs() > MOST_WEIGHING_ERROR * self.exact_grams
    }

    /// Whether any of it is wanted.
    pub fn is_wanted(&self) -> bool {
        self.grams > 0.0 || self.exact_grams > LEAST_GRAMS
    }
}

/// A recipe rounded to the scales.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighed {
    /// The base, in the recipe's order.
    pub base: Vec<WeighedLine>,
    /// The additions.
    pub additions: Vec<WeighedLine>,
    /// The unity formula of what is weighed; `None` without flux or analysis.
    pub unity: Option<OxideMoles>,
    /// Its chemistry distance from the yardstick's target; `None` likewise.
    pub distance: Option<f64>,
}

/// Rounds a recipe for `dry_grams` of base, measured against a target.
pub fn weigh_out(
    glaze: &Glaze,
    fluxes: &FluxList,
    target: &ChemistryDistance,
    dry_grams: f64,
    scales: &Scales,
) -> Weighed {
    let step = scales.reads_to.grams();
    let exact: Vec<f64> = glaze
        .base
        .iter()
        .map(|portion| portion.percent / 100.0 * dry_grams)
        .collect();
    let mut steps = largest_remainders(&exact, step);
    let addition_steps: Vec<f64> = glaze
        .additions
        .iter()
        .map(|portion| (portion.percent / 100.0 * dry_grams / step).round())
        .collect();
    let columns: Option<Vec<OxideMoles>> = glaze
        .portions()
        .map(|portion| moles_per_gram(&portion.material))
        .collect();
    if let Some(columns) = columns {
        let unrounded = mix(&columns, &exact_grams(glaze, dry_grams));
        if let Some(unity) = fluxes.unity(&unrounded) {
            let own = ChemistryDistance::new(&unity, fluxes);
            let score = |steps: &[f64]| own.distance(&mix(&columns, &grams(steps, &addition_steps, step)));
            if score(&steps) > UNSEEN {
                improve(&mut steps, &exact, step, score);
            }
        }
        let weighed = mix(&columns, &grams(&steps, &addition_steps, step));
        let unity = fluxes.unity(&weighed);
        let distance = unity.as_ref().map(|_| target.distance(&weighed));
        return lines(glaze, dry_grams, (&steps, &addition_steps, step), unity, distance);
    }
    lines(glaze, dry_grams, (&steps, &addition_steps, step), None, None)
}

fn moles_per_gram(material: &Material) -> Option<OxideMoles> {
    material
        .fired
        .as_ref()
        .map(|fired| fired.oxides.to_moles().scaled(0.01))
}

fn exact_grams(glaze: &Glaze, dry_grams: f64) -> Vec<f64> {
    glaze
        .portions()
        .map(|portion| portion.percent / 100.0 * dry_grams)
        .collect()
}

fn grams(base: &[f64], additions: &[f64], step: f64) -> Vec<f64> {
    base.iter().chain(additions).map(|steps| steps * step).collect()
}

fn mix(columns: &[OxideMoles], grams: &[f64]) -> OxideMoles {
    let mut moles = OxideMoles::ZERO;
    for (column, grams) in columns.iter().zip(grams) {
        moles.add_scaled(*grams, column);
    }
    moles
}

/// Whole steps that keep the total: everything down, then the largest
/// remainders up.
fn largest_remainders(exact: &[f64], step: f64) -> Vec<f64> {
    let mut steps: Vec<f64> = exact.iter().map(|grams| (grams / step + 1e-9).floor()).collect();
    let total = (exact.iter().sum::<f64>() / step).round();
    let mut order: Vec<usize> = (0..exact.len()).collect();
    let remainder = |index: &usize| exact[*index] / step - steps[*index];
    order.sort_by(|a, b| remainder(b).total_cmp(&remainder(a)).then(a.cmp(b)));
    let missing = (total - steps.iter().sum::<f64>()).max(0.0) as usize;
    for &index in order.iter().cycle().take(missing) {
        steps[index] += 1.0;
    }
    steps
}

/// Moves single steps from one material to another while that brings the
/// chemistry nearer; no weight leaves its exact value by a whole step or more.
fn improve(steps: &mut [f64], exact: &[f64], step: f64, score: impl Fn(&[f64]) -> f64) {
    let mut best = score(steps);
    for _ in 0..MOST_ROUNDS {
        let mut chosen = None;
        for from in 0..steps.len() {
            for to in 0..steps.len() {
                if from == to || !may_move(steps, exact, step, from, to) {
                    continue;
                }
                steps[from] -= 1.0;
                steps[to] += 1.0;
                let now = score(steps);
                if now < best - 1e-12 {
                    best = now;
                    chosen = Some((from, to));
                }
                steps[from] += 1.0;
                steps[to] -= 1.0;
            }
        }
        let Some((from, to)) = chosen else { return };
        steps[from] -= 1.0;
        steps[to] += 1.0;
    }
}

fn may_move(steps: &[f64], exact: &[f64], step: f64, from: usize, to: usize) -> bool {
    let near = |index: usize, steps: f64| (steps - exact[index] / step).abs() < 1.0;
    steps[from] >= 1.0 && exact[to] > 0.0 && near(from, steps[from] - 1.0) && near(to, steps[to] + 1.0)
}

fn lines(
    glaze: &Glaze,
    dry_grams: f64,
    (base, additions, step): (&[f64], &[f64], f64),
    unity: Option<OxideMoles>,
    distance: Option<f64>,
) -> Weighed {
    let line = |(portion, steps): (&Portion, &f64)| WeighedLine {
        material: portion.material.name.clone(),
        grams: tidy(steps * step, step),
        exact_grams: portion.percent / 100.0 * dry_grams,
    };
    Weighed {
        base: glaze.base.iter().zip(base).map(line).collect(),
        additions: glaze.additions.iter().zip(additions).map(line).collect(),
        unity,
        distance,
    }
}

/// The nearest whole step, `step` in grams.
pub fn to_step(grams: f64, step: f64) -> f64 {
    tidy((grams / step).round() * step, step)
}

/// 39.7 rather than 39.700000000000003: rounded to the decimals that the step
/// itself has. An eighth of an ounce in grams has too many, and is left alone.
fn tidy(grams: f64, step: f64) -> f64 {
    let whole = |scale: &f64| {
        let scaled = step * scale;
        (scaled - scaled.round()).abs() <= 1e-9 * scaled
    };
    let mut scales = (0..=6).map(|decimals| 10f64.powi(decimals));
    match scales.find(whole) {
        Some(scale) => (grams * scale).round() / scale,
        None => grams,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounding_keeps_the_total() {
        let exact = [39.652, 23.774, 18.146, 12.424, 6.004];
        let steps = largest_remainders(&exact, 0.1);
        assert_eq!(steps.iter().sum::<f64>(), 1000.0);
        assert_eq!(steps, [397.0, 238.0, 181.0, 124.0, 60.0]);
    }

    #[test]
    fn a_weight_has_the_decimals_of_its_step() {
        assert_eq!(to_step(39.72, 0.1), 39.7);
        assert_eq!(to_step(39.7, 0.125), 39.75);
        assert_eq!(to_step(38.0, 5.0), 40.0);
        assert_eq!(to_step(0.123_451, 0.000_01), 0.123_45);
        let eighth_of_an_ounce = glost_chemistry::quantity::GRAMS_PER_OUNCE / 8.0;
        assert_eq!(to_step(7.0, eighth_of_an_ounce), 2.0 * eighth_of_an_ounce);
    }

    use crate::workshop::bench::{glaze, near};
    use glost_chemistry::glaze::{Additions, Analysis};

    const CELADON: &str =
        "parts: { feldspar: 42.3, silica: 27.7, whiting: 19.6, kaolin: 10.4 }\nadditions: { red iron oxide: 1.3 }";

    fn weighed(base: f64, step: f64) -> (Weighed, ChemistryDistance, OxideMoles) {
        let (glaze, fluxes) = (glaze(CELADON), FluxList::default());
        let unity = Analysis::of(&glaze, &fluxes, Additions::In).unwrap().unity.unwrap();
        let target = ChemistryDistance::new(&unity, &fluxes);
        let scales = Scales {
            reads_to: glost_chemistry::quantity::Grams::new(step).unwrap(),
            up_to: None,
        };
        (weigh_out(&glaze, &fluxes, &target, base, &scales), target, unity)
    }

    /// 1 kg on 1 g scales: every share is a whole gram, and the chemistry stays.
    #[test]
    fn whole_grams_are_weighed_as_they_are() {
        let (found, _, unity) = weighed(1000.0, 1.0);
        let grams: Vec<f64> = found
            .base
            .iter()
            .chain(&found.additions)
            .map(|line| line.grams)
            .collect();
        assert_eq!(grams, [423.0, 277.0, 196.0, 104.0, 13.0]);
        let own = found.unity.unwrap();
        for (oxide, moles) in unity.iter() {
            near(own.get(oxide), moles, "unity");
        }
        assert!(found.distance.is_some_and(|distance| distance < 1e-6));
    }

    /// 0.26 g of iron on scales of a gram is nothing: what is wanted stands beside it.
    #[test]
    fn what_rounds_to_nothing_is_still_wanted() {
        let (found, _, _) = weighed(20.0, 1.0);
        let iron = &found.additions[0];
        assert!(iron.grams == 0.0 && iron.is_off() && iron.is_wanted());
        near(iron.exact_grams, 0.26, "iron");
        let (whole, _, _) = weighed(1000.0, 1.0);
        assert!(!whole.base.iter().chain(&whole.additions).any(WeighedLine::is_off));
        let none = WeighedLine {
            material: "silica".to_owned(),
            grams: 0.0,
            exact_grams: 1e-9,
        };
        assert!(!none.is_off() && !none.is_wanted());
    }

    /// Tried one by one: no way to weigh 20 g on 1 g scales, each weight within a step of its
    /// own, lies nearer to the recipe.
    #[test]
    fn no_other_rounding_lies_nearer() {
        let (found, target, _) = weighed(20.0, 1.0);
        let glaze = glaze(CELADON);
        let columns: Vec<OxideMoles> = glaze
            .portions()
            .filter_map(|portion| moles_per_gram(&portion.material))
            .collect();
        let exact: Vec<f64> = [42.3, 27.7, 19.6, 10.4].iter().map(|percent| percent * 0.2).collect();
        let mut least = f64::INFINITY;
        for ups in 0..16_u32 {
            let steps: Vec<f64> = exact
                .iter()
                .enumerate()
                .map(|(index, grams)| grams.floor() + f64::from((ups >> index) & 1))
                .collect();
            if steps.iter().sum::<f64>() == 20.0 {
                least = least.min(target.distance(&mix(&columns, &grams(&steps, &[0.0], 1.0))));
            }
        }
        assert_eq!(found.base.iter().map(|line| line.grams).sum::<f64>(), 20.0);
        assert!(
            (found.distance.unwrap() - least).abs() < 1e-9,
            "{:?}, {least}",
            found.distance
        );
        let plain = largest_remainders(&exact, 1.0);
        assert!(least <= target.distance(&mix(&columns, &grams(&plain, &[0.0], 1.0))));
    }

    #[test]
    fn a_step_moves_only_between_weights_that_stay_near_their_own() {
        // 8.46, 5.54 and nothing; in steps of 2 g 4.23 and 2.77.
        let exact = [8.46, 5.54, 0.0];
        let may = |steps: [f64; 3], from, to| may_move(&steps, &exact, 1.0, from, to);
        assert!(may([9.0, 5.0, 0.0], 0, 1));
        assert!(!may([9.0, 5.0, 0.0], 1, 0) && !may([8.0, 6.0, 0.0], 0, 1));
        assert!(may([8.0, 6.0, 0.0], 1, 0));
        assert!(!may([9.0, 5.0, 0.0], 0, 2), "what isn't in the recipe stays out");
        assert!(may_move(&[5.0, 2.0], &[8.46, 5.54], 2.0, 0, 1) && !may_move(&[4.0, 3.0], &[8.46, 5.54], 2.0, 0, 1));
        assert!(
            !may_move(&[0.0, 1.0], &[0.4, 0.6], 1.0, 0, 1),
            "nothing can't lose a step"
        );
    }

    /// 6 remainders of 0.5: the first ones go up, and the total stays.
    #[test]
    fn equal_remainders_go_up_in_the_recipes_order() {
        assert_eq!(largest_remainders(&[1.5, 2.5, 3.5, 2.5], 1.0), [2.0, 3.0, 3.0, 2.0]);
        assert_eq!(largest_remainders(&[0.3, 0.3, 0.4], 0.1), [3.0, 3.0, 4.0]);
        assert_eq!(largest_remainders(&[16.0, 84.0], 5.0), [3.0, 17.0]);
    }
}
