//! Pre-mixes for tiles weighed dry: where the scales can't show a little, it is
//! ground with something that every one of those tiles takes plenty of.

use crate::workshop::scales::Scales;
use crate::workshop::scales::{MOST_WEIGHING_ERROR, to_step, way_out};

use super::plan::Tile;
use super::weights::{CannotWeigh, ExactLine, exact_lines};
use super::wet::SPARE;

/// What one tile takes of a pre-mix.
#[derive(Debug, Clone, PartialEq)]
pub struct PremixUse {
    /// The tile's code.
    pub code: String,
    /// Grams of the pre-mix, to the scales' step.
    pub premix_grams: f64,
    /// Grams of the carrier left to weigh beside it, to the scales' step.
    pub carrier_grams: f64,
}

/// A dry pre-mix of one little material with a carrier.
#[derive(Debug, Clone, PartialEq)]
pub struct TilePremix {
    /// What there is too little of.
    pub material: String,
    /// What it is ground with: in every one of those tiles already.
    pub carrier: String,
    /// Per cent of the little one in it.
    pub percent: f64,
    /// Grams of the little one for one batch of it.
    pub little_grams: f64,
    /// Grams of the carrier with it.
    pub carrier_grams: f64,
    /// What each tile takes.
    pub uses: Vec<PremixUse>,
    /// What the scales may be off by on the smallest, per cent.
    pub error_percent: f64,
}

/// A little that no pre-mix helps; the base of one tile for which the scales do.
#[derive(Debug, Clone, PartialEq)]
pub struct LargerTest {
    /// The material.
    pub material: String,
    /// Grams of base for one tile.
    pub base_grams: f64,
}

/// The pre-mixes that let every tile be weighed, and what none helps.
pub(super) fn premixes(
    tiles: &[Tile],
    cannot: &[CannotWeigh],
    dry_grams: f64,
    scales: &Scales,
) -> (Vec<TilePremix>, Vec<LargerTest>) {
    let mut materials: Vec<&str> = Vec::new();
    for trouble in cannot {
        if !materials.contains(&trouble.material.as_str()) {
            materials.push(&trouble.material);
        }
    }
    let (mut found, mut larger): (Vec<TilePremix>, _) = (Vec::new(), Vec::new());
    for material in materials {
        let concerned: Vec<Concerned<'_>> = cannot
            .iter()
            .filter(|trouble| trouble.material == material)
            .filter_map(|trouble| {
                let tile = tiles.iter().find(|tile| tile.code == trouble.code)?;
                Some(Concerned {
                    code: &tile.code,
                    grams: trouble.grams,
                    lines: exact_lines(&tile.glaze, dry_grams),
                })
            })
            .collect();
        match premix(material, &concerned, &found, dry_grams, scales) {
            Some(premix) => found.push(premix),
            None => larger.push(LargerTest {
                material: material.to_owned(),
                base_grams: larger_base(&concerned, dry_grams, scales),
            }),
        }
    }
    settle_carriers(&mut found, tiles, dry_grams, scales);
    (found, larger)
}

/// A tile with too little of something.
struct Concerned<'a> {
    code: &'a str,
    grams: f64,
    lines: Vec<ExactLine>,
}

/// What pre-mixes already bring of a carrier into a tile.
fn brought(premixes: &[TilePremix], carrier: &str, code: &str) -> f64 {
    premixes
        .iter()
        .filter(|premix| premix.carrier == carrier)
        .flat_map(|premix| premix.uses.iter().map(move |own| (own, 1.0 - premix.percent / 100.0)))
        .filter(|(own, _)| own.code == code)
        .map(|(own, share)| own.premix_grams * share)
        .sum()
}

/// What is left to weigh of each carrier, once all that pre-mixes bring is known.
fn settle_carriers(premixes: &mut [TilePremix], tiles: &[Tile], dry_grams: f64, scales: &Scales) {
    let known = premixes.to_vec();
    for premix in premixes {
        for own in &mut premix.uses {
            let Some(tile) = tiles.iter().find(|tile| tile.code == own.code) else {
                continue;
            };
            let whole = grams_of(&exact_lines(&tile.glaze, dry_grams), &premix.carrier);
            let rest = whole - brought(&known, &premix.carrier, &own.code);
            own.carrier_grams = to_step(rest.max(0.0), scales.reads_to.grams());
        }
    }
}

fn least(concerned: &[Concerned<'_>]) -> f64 {
    concerned.iter().map(|own| own.grams).fold(f64::INFINITY, f64::min)
}

fn larger_base(concerned: &[Concerned<'_>], dry_grams: f64, scales: &Scales) -> f64 {
    let percent = 100.0 * least(concerned) / dry_grams;
    way_out(percent, dry_grams, scales.reads_to.grams()).smallest_base_grams
}

fn premix(
    material: &str,
    concerned: &[Concerned<'_>],
    others: &[TilePremix],
    dry_grams: f64,
    scales: &Scales,
) -> Option<TilePremix> {
    let step = scales.reads_to.grams();
    let smallest = way_out(100.0 * least(concerned) / dry_grams, dry_grams, step).premix?;
    let share = smallest.percent / 100.0;
    let carrier = carrier(material, concerned, others, share, step)?;
    let uses: Vec<PremixUse> = concerned
        .iter()
        .map(|own| PremixUse {
            code: own.code.to_owned(),
            premix_grams: to_step(own.grams / share, step),
            carrier_grams: 0.0,
        })
        .collect();
    let taken: f64 = concerned.iter().map(|own| own.grams).sum();
    // Whole measures of the amount that is weighed well, enough for all tiles.
    let measure = smallest.little_grams;
    let little_grams = (taken * SPARE / measure - 1e-9).ceil().max(1.0) * measure;
    Some(TilePremix {
        material: material.to_owned(),
        percent: smallest.percent,
        carrier_grams: little_grams * (1.0 - share) / share,
        little_grams,
        error_percent: smallest.error_percent,
        carrier,
        uses,
    })
}

/// What the pre-mix is ground with: of all that stands in every one of the tiles,
/// the one that leaves most beside the pre-mixes, and enough to be weighed.
fn carrier(
    material: &str,
    concerned: &[Concerned<'_>],
    others: &[TilePremix],
    share: f64,
    step: f64,
) -> Option<String> {
    let left = |name: &str| -> f64 {
        concerned
            .iter()
            .map(|own| grams_of(&own.lines, name) - brought(others, name, own.code) - own.grams * (1.0 - share) / share)
            .fold(f64::INFINITY, f64::min)
    };
    let first = concerned.first()?;
    let mut best: Option<(&str, f64)> = None;
    for line in first.lines.iter().filter(|line| line.material.name != material) {
        let left = left(&line.material.name);
        if left >= 0.5 * step / MOST_WEIGHING_ERROR && best.is_none_or(|known| left > known.1) {
            best = Some((&line.material.name, left));
        }
    }
    best.map(|(name, _)| name.to_owned())
}

fn grams_of(lines: &[ExactLine], name: &str) -> f64 {
    let line = lines.iter().find(|line| line.material.name == name);
    line.map_or(0.0, |line| line.grams)
}

#[cfg(test)]
mod tests {
    use glost_chemistry::diagnostic::Source;
    use glost_chemistry::glaze::read_glaze;
    use glost_chemistry::material::{Library, read_materials};
    use glost_chemistry::quantity::Millilitres;

    use super::*;

    /// The lines of a tile of 100 g: so much silica, the rest whiting, and a little oxide.
    fn lines(silica: f64) -> Vec<ExactLine> {
        let sheets = "materials:\n  - { name: silica, kind: textbook, formula: SiO2, source: stoichiometric }\n  \
                      - { name: whiting, kind: textbook, formula: CaCO3, source: stoichiometric }\n  \
                      - { name: cobalt oxide, kind: textbook, formula: CoO, source: stoichiometric }\n";
        let (entries, wrong) = read_materials(&Source::from_text("m.yaml", sheets));
        assert_eq!(wrong, []);
        let mut library = Library::default();
        assert_eq!(library.add_layer(entries, false), []);
        let text = format!(
            "glaze: A\nparts: {{ silica: {silica}, whiting: {} }}\nadditions: {{ cobalt oxide: 0.2 }}\n",
            100.0 - silica
        );
        let file = read_glaze(&Source::from_text("a.yaml", &text), Millilitres::METRIC_CUP);
        let glaze = file
            .map_err(|error| vec![error])
            .and_then(|file| file.resolve(&library));
        exact_lines(&glaze.unwrap_or_else(|errors| panic!("{errors:?}")), 100.0)
    }

    /// 0.2 g of the oxide at 2 % of the pre-mix brings 9.8 g of the carrier with it.
    fn carrier_for(silica: f64) -> Option<String> {
        let tile = Concerned {
            code: "A1",
            grams: 0.2,
            lines: lines(silica)
                .into_iter()
                .filter(|line| line.material.name != "whiting")
                .collect(),
        };
        carrier("cobalt oxide", &[tile], &[], 0.02, 0.1)
    }

    #[test]
    fn a_carrier_has_enough_beside_its_own_share_of_the_pre_mix() {
        assert_eq!(carrier_for(30.0).as_deref(), Some("silica"));
        // All but 0.2 g of it would be in the pre-mix: too little to be weighed.
        assert_eq!(carrier_for(10.0), None);
    }

    /// 10 g of a pre-mix at 2 % bring 9.8 g of its carrier, 5 g of one at 10 % another 4.5 g.
    #[test]
    fn a_tile_has_the_carrier_of_all_its_own_pre_mixes() {
        let premix = |carrier: &str, percent: f64, uses: &[(&str, f64)]| TilePremix {
            material: "cobalt oxide".to_owned(),
            carrier: carrier.to_owned(),
            percent,
            little_grams: 1.0,
            carrier_grams: 49.0,
            uses: uses
                .iter()
                .map(|(code, grams)| PremixUse {
                    code: (*code).to_owned(),
                    premix_grams: *grams,
                    carrier_grams: 0.0,
                })
                .collect(),
            error_percent: 0.0,
        };
        let all = [
            premix("silica", 2.0, &[("A1", 10.0), ("A2", 30.0)]),
            premix("silica", 10.0, &[("A1", 5.0)]),
            premix("whiting", 50.0, &[("A1", 7.0)]),
        ];
        let near = |carrier: &str, code: &str, wanted: f64| {
            let found = brought(&all, carrier, code);
            assert!((found - wanted).abs() < 1e-9, "{carrier} {code}: {found}");
        };
        near("silica", "A1", 9.8 + 4.5);
        near("silica", "A2", 29.4);
        near("whiting", "A1", 3.5);
        near("whiting", "A2", 0.0);
    }
}
