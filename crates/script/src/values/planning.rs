//! What plans of tiles ask of glazes: mixtures of ends, a chemistry moved with
//! its fluxes held, limits passed, and the corners of a region of mixtures.

use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, is_no, suggestion};
use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glaze::{Additions, Analysis, Glaze};
use glost_chemistry::material::Material;
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_core::recipes::adjust::{AdjustAnswer, AdjustQuestion, Asked, Least, adjust};
use glost_core::recipes::aims::parse_phrase;
use glost_core::recipes::swap::{ReachQuestion, reach};
use glost_core::tiles::blend::{self, MOST_BOUNDS, MOST_REGION_ENDS, ShareBound, Shares};
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, Map};

use crate::bounds;
use crate::failure::Cause;
use crate::language::{in_text, number};
use crate::scene;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::{Trouble, trouble};

use super::materials::find;
use super::{GlazeValue, unknown_analysis};

type Raised = Box<EvalAltResult>;

/// Steps that one recipe to be matched, one region or one choice counts for.
const WORK_STEPS: u64 = 2_000;

fn raised(why: Diagnostic) -> Raised {
    Trouble::new(why.code, why.message).maybe_help(why.help).raise()
}

fn glazes(ends: &Array) -> Result<Vec<Glaze>, Raised> {
    ends.iter()
        .map(|end| {
            let glaze = end.read_lock::<GlazeValue>();
            let glaze = glaze.ok_or_else(|| trouble("wrong-kind", "a list of glazes is needed"))?;
            Ok(Glaze::clone(glaze.recipe()))
        })
        .collect()
}

fn point(shares: &Dynamic) -> Result<Shares, Raised> {
    let wrong = || trouble("wrong-kind", "shares are a list of numbers");
    let list = shares.read_lock::<Array>().ok_or_else(wrong)?;
    list.iter().map(|share| number(share).ok_or_else(wrong)).collect()
}

fn listed(points: Vec<Shares>) -> Array {
    let one = |shares: Shares| Dynamic::from(shares.into_iter().map(Dynamic::from).collect::<Array>());
    points.into_iter().map(one).collect()
}

/// A tile between ends.
fn mix(ends: &Array, shares: &Array) -> Result<GlazeValue, Raised> {
    bounds::charge_or_end(50)?;
    let recipes = glazes(ends)?;
    let shares = point(&Dynamic::from(shares.clone()))?;
    let total: f64 = shares.iter().sum();
    if shares.len() != recipes.len() || shares.iter().any(|share| *share < 0.0) || (total - 1.0).abs() > 1e-9 {
        return Err(trouble(
            "wrong-value",
            "one share for each glaze is needed, summing to 1",
        ));
    }
    let first = ends
        .first()
        .and_then(|end| end.read_lock::<GlazeValue>().map(|end| end.clone()));
    let first = first.ok_or_else(|| trouble("wrong-value", "a mixture needs glazes"))?;
    Ok(first.changed(blend::blended(first.name(), &recipes, &shares)))
}

impl GlazeValue {
    /// What of a limit set the glaze lies outside of.
    fn outside(&self, name: &str) -> Result<Array, Raised> {
        bounds::charge_or_end(50)?;
        let scene = scene::scene()?;
        let Some(door) = &scene.limits else {
            return Err(trouble(
                "no-limits",
                format!("the limits `{name}` can't be looked up here"),
            ));
        };
        let set = door.ranges(name, self.recipe(), &scene).map_err(raised)?;
        let chemistry = self.chemistry()?;
        let Some(unity) = &chemistry.unity else {
            return Err(trouble("no-flux", "a glaze without flux has no unity formula"));
        };
        let outside = blend::outside(unity, &scene.fluxes, &set);
        Ok(outside
            .into_iter()
            .map(|(range, _)| Dynamic::from(ImmutableString::from(range.subject.name())))
            .collect())
    }

    /// The recipe whose base has these oxides in its unity formula, all others as
    /// they are, from materials; additions stay on top.
    fn with_unity(&self, oxides: &Map, materials: &Array) -> Result<GlazeValue, Raised> {
        bounds::charge_or_end(WORK_STEPS)?;
        let scene = scene::scene()?;
        let old = self.recipe();
        let analysis = Analysis::of(old, &scene.fluxes, Additions::Out).map_err(|why| unknown_analysis(&why))?;
        let unity = analysis
            .unity
            .ok_or_else(|| trouble("no-flux", "a glaze without flux has no fluxes to hold"))?;
        let mut wanted: Vec<(Oxide, f64)> = unity.iter().collect();
        let mut aims = Vec::new();
        for (name, moles) in oxides {
            let oxide = Oxide::from_formula(name).ok_or_else(|| {
                Trouble::new("unknown-oxide", is_no(name, "oxide that Glost knows"))
                    .maybe_help(suggestion(name, Oxide::ALL.map(Oxide::formula)))
                    .raise()
            })?;
            let moles = number(moles).filter(|moles| (0.0..=1000.0).contains(moles));
            let moles = moles.ok_or_else(|| trouble("wrong-value", "moles are numbers from 0 up"))?;
            wanted.retain(|own| own.0 != oxide);
            wanted.push((oxide, moles));
            let phrase = parse_phrase(&format!("{oxide} in {moles}..{moles}"), &scene.library).map_err(raised)?;
            aims.push(Asked::Phrase(phrase));
        }
        let target = OxideMoles::new(wanted).ok_or_else(|| trouble("wrong-value", "there is no such glaze"))?;
        let mut with: Vec<Arc<Material>> = old.base.iter().map(|portion| portion.material.clone()).collect();
        for name in materials {
            let material = find(&in_text(name))?;
            if !with.iter().any(|known| known.name == material.name) {
                with.push(material);
            }
        }
        let question = ReachQuestion {
            distance: &ChemistryDistance::new(&target, &scene.fluxes),
            with,
            at_most: None,
            show: 1,
            name: old.name.clone(),
        };
        let found = reach(&question).ok().and_then(|found| found.into_iter().next());
        let found = found.ok_or_else(|| {
            Trouble::new("nothing-to-swap-to", "these materials make no such glaze")
                .because(Cause::NothingToSwapTo)
                .raise()
        })?;
        // The nearest recipe spreads its misses over all oxides; those named are held.
        let held = adjust(&AdjustQuestion {
            glaze: &found.glaze,
            fluxes: &scene.fluxes,
            aims,
            with: Vec::new(),
            least: Least::Change,
            distance_from: None,
            sure: None,
        });
        let base = match held {
            Ok(AdjustAnswer::Possible { glaze, .. }) => *glaze,
            _ => found.glaze,
        };
        Ok(self.changed(Glaze {
            additions: old.additions.clone(),
            about: old.about.clone(),
            assumptions: old.assumptions.clone(),
            ..base
        }))
    }
}

fn region(ends: &Array, within: &Array) -> Result<(usize, Vec<ShareBound>), Raised> {
    bounds::charge_or_end(WORK_STEPS)?;
    let recipes = glazes(ends)?;
    if recipes.len() < 2 || recipes.len() > MOST_REGION_ENDS || within.len() > MOST_BOUNDS {
        return Err(trouble(
            "wrong-value",
            format!("a region has 2 to {MOST_REGION_ENDS} glazes and {MOST_BOUNDS} bounds at most"),
        ));
    }
    let scene = scene::scene()?;
    let bounds = within
        .iter()
        .map(|text| ShareBound::parse(&in_text(text), &recipes, &scene.library).map_err(raised))
        .collect::<Result<_, _>>()?;
    Ok((recipes.len(), bounds))
}

fn extreme_points(ends: &Array, within: &Array) -> Result<Array, Raised> {
    let (count, bounds) = region(ends, within)?;
    let corners = blend::region_corners(count, &bounds);
    Ok(listed(corners.into_iter().map(|corner| corner.shares).collect()))
}

fn points_within(ends: &Array, within: &Array) -> Result<Array, Raised> {
    let (count, bounds) = region(ends, within)?;
    let corners = blend::region_corners(count, &bounds);
    Ok(listed(blend::region_points(count, &corners)))
}

fn spread(points: &Array, tiles: i64) -> Result<Dynamic, Raised> {
    let points: Vec<Shares> = points.iter().map(point).collect::<Result<_, _>>()?;
    let tiles = usize::try_from(tiles).unwrap_or(0);
    bounds::charge_or_end(WORK_STEPS + (20 * points.len() * tiles) as u64)?;
    if points.windows(2).any(|pair| pair[0].len() != pair[1].len()) {
        return Err(trouble("wrong-value", "all points need the same number of shares"));
    }
    let Some(found) = blend::spread(&points, tiles) else {
        return Ok(Dynamic::UNIT);
    };
    let mut table = Map::new();
    table.insert("tiles".into(), listed(found.tiles).into());
    table.insert("efficiency".into(), Dynamic::from(found.efficiency_at_least));
    let model = if found.quadratic { "quadratic" } else { "linear" };
    table.insert("model".into(), ImmutableString::from(model).into());
    Ok(Dynamic::from(table))
}

pub(super) fn register(shelf: &mut Shelf) {
    const POINTS: Sort = Sort::List(&Sort::Any);
    shelf.add(
        Entry::function(
            "mix",
            "ends, shares",
            Sort::Glaze,
            "The glaze of a tile: so much of each end.",
        )
        .example("mix([glaze, glaze], [0.25, 0.75])"),
        |ends: Array, shares: Array| mix(&ends, &shares),
    );
    shelf.add(
        Entry::method(
            Sort::Glaze,
            "outside",
            "limits",
            Sort::List(&Sort::Text),
            "What of a set of limits the glaze lies outside of, by the name of the limits.",
        )
        .example("request.limits == () || glaze.outside(request.limits).is_empty()"),
        |glaze: &mut GlazeValue, name: &str| glaze.outside(name),
    );
    shelf.add(
        Entry::method(
            Sort::Glaze,
            "with_unity",
            "oxides, materials",
            Sort::Glaze,
            "The recipe with these moles in the unity formula of its base and all else held as near as can be, from its own materials and those named.",
        )
        .example("glaze.with_unity(#{ SiO2: 3.2 }, [\"silica\"])"),
        |glaze: &mut GlazeValue, oxides: Map, materials: Array| glaze.with_unity(&oxides, &materials),
    );
    shelf.add(
        Entry::function(
            "extreme_points",
            "ends, within",
            POINTS,
            "The extremes of all mixtures of these glazes that meet some bounds, such as \"end 1 <= 60 %\" or \"silica in 10..30 %\".",
        )
        .example("extreme_points([glaze, glaze], [\"end 1 <= 60 %\"]) == [[0.6, 0.4], [0, 1]]"),
        |ends: Array, within: Array| extreme_points(&ends, &within),
    );
    shelf.add(
        Entry::function(
            "points_within",
            "ends, within",
            POINTS,
            "Points to choose tiles from: those extremes, the middles of edges and sides, and the middle of all.",
        )
        .example("points_within([glaze, glaze], []).len == 3"),
        |ends: Array, within: Array| points_within(&ends, &within),
    );
    shelf.add(
        Entry::function(
            "spread",
            "points, tiles",
            Sort::Table,
            "So many of the points that tell a mixture model most: a table with `tiles`, `model` and `efficiency` (D-efficiency at least, 0 to 1); `()` where none can be chosen.",
        )
        .example("spread(lattice(3, 2), 6).model == \"quadratic\""),
        |points: Array, tiles: i64| spread(&points, tiles),
    );
    shelf.also(|points: Array, tiles: f64| spread(&points, tiles as i64));
}
