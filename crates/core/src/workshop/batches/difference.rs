//! What differs between two batches: 14 was good, 15 is not.

use std::collections::BTreeSet;

use glost_chemistry::distance::{ChemistryDistance, NEAR};
use glost_chemistry::glaze::{Additions, FiredChemistry, FluxList, Glaze, GlazeNotes, Portion};
use glost_chemistry::material::Library;
use glost_chemistry::read::folded;
use serde::Serialize;

use super::booking::{BookedLine, Booking};

/// Water per dry weight that differs by less is the same: a jug's mark (common
/// practice, no source).
const SAME_WATER: f64 = 0.005;
/// Densities that differ by less are the same, g/ml: a weighed jar's own error.
const SAME_DENSITY: f64 = 0.005;

/// What is told of a batch in words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum About {
    /// The glaze's name.
    Glaze,
    /// The recipe's version.
    Version,
    /// The firing.
    Firing,
    /// The clay.
    Clay,
    /// Who mixed it.
    By,
}

/// How differences of weight are ranked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Ranked {
    /// By how far they move the fired glaze, by the sheets of today, lots aside.
    BySheetsOfToday,
    /// By their size: an analysis of the first batch is unknown, or a material is gone.
    BySize,
}

/// What one difference is about.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// A material's weight per 100 of base.
    Weight {
        /// The material.
        material: String,
        /// Per 100 of base, before and after.
        per_base: (f64, f64),
        /// How far this change alone moves the fired chemistry, in tolerances, by
        /// the sheets of today; `None` where an analysis isn't known.
        effect: Option<f64>,
    },
    /// A material's lot.
    Lot {
        /// The material.
        material: String,
        /// The lots; `None` where no lot was known.
        lots: (Option<String>, Option<String>),
        /// Its weight per 100 of base in the second batch.
        per_base: f64,
    },
    /// Water in ml per 100 g dry.
    Water(f64, f64),
    /// Expected density, g/ml.
    Density(f64, f64),
    /// Something in words.
    Words {
        /// What.
        about: About,
        /// Before and after.
        texts: (Option<String>, Option<String>),
    },
}

/// One difference with its weight among the others.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// What differs.
    pub what: What,
    /// Group, then size within it.
    rank: (u8, f64),
}

/// All differences between two batches, the likeliest to matter first.
#[derive(Debug, Clone, PartialEq)]
pub struct Differences {
    /// The differences.
    pub rows: Vec<Difference>,
    /// How far the weights together move the fired chemistry, in tolerances.
    pub together: Option<f64>,
    /// How the weights are ranked, where any differ.
    pub ranked: Option<Ranked>,
}

/// Compares two batches.
///
/// First weights that move the fired chemistry noticeably, then changed lots (the
/// most of the batch first), firing and clay, water, density, then weights that
/// move it little.
pub fn differences(before: &Booking, after: &Booking, library: &Library, fluxes: &FluxList) -> Differences {
    let mut rows = words(before, after);
    let chemistry = Chemistry::of(before, library, fluxes);
    rows.extend(weights(before, after, chemistry.as_ref()));
    rows.extend(lots(before, after));
    let water = |booking: &Booking| 100.0 * booking.water_millilitres / booking.dry_grams.max(f64::MIN_POSITIVE);
    let (old, new) = (water(before), water(after));
    if (new - old).abs() > SAME_WATER * old.max(new) {
        rows.push(row(What::Water(old, new), 3, (new - old).abs()));
    }
    if (after.density - before.density).abs() > SAME_DENSITY {
        let by = (after.density - before.density).abs();
        rows.push(row(What::Density(before.density, after.density), 4, by));
    }
    rows.sort_by(|a, b| a.rank.0.cmp(&b.rank.0).then(b.rank.1.total_cmp(&a.rank.1)));
    let weights_differ = rows.iter().any(|row| matches!(row.what, What::Weight { .. }));
    let ranked = match &chemistry {
        Some(_) => Ranked::BySheetsOfToday,
        None => Ranked::BySize,
    };
    Differences {
        together: chemistry
            .filter(|_| weights_differ)
            .and_then(|chemistry| chemistry.distance(&after.lines, after.base_grams)),
        rows,
        ranked: weights_differ.then_some(ranked),
    }
}

fn row(what: What, group: u8, size: f64) -> Difference {
    Difference {
        what,
        rank: (group, size),
    }
}

fn words(before: &Booking, after: &Booking) -> Vec<Difference> {
    let some = |text: &str| Some(text.to_owned());
    let pairs = [
        (About::Glaze, 0, (some(&before.glaze), some(&after.glaze))),
        (About::Version, 0, (before.version.clone(), after.version.clone())),
        (About::Firing, 2, (before.firing.clone(), after.firing.clone())),
        (About::Clay, 2, (before.clay.clone(), after.clay.clone())),
        (About::By, 6, (before.by.clone(), after.by.clone())),
    ];
    pairs
        .into_iter()
        .filter(|(_, _, (old, new))| old.as_deref().map(folded) != new.as_deref().map(folded))
        .map(|(about, group, texts)| row(What::Words { about, texts }, group, 0.0))
        .collect()
}

/// A batch's line of this material.
fn line<'a>(booking: &'a Booking, material: &str) -> Option<&'a BookedLine> {
    booking
        .lines
        .iter()
        .find(|line| folded(&line.material) == folded(material))
}

fn per_base(booking: &Booking, grams: f64) -> f64 {
    100.0 * grams / booking.base_grams.max(f64::MIN_POSITIVE)
}

fn share(booking: &Booking, material: &str) -> f64 {
    per_base(booking, line(booking, material).map_or(0.0, |line| line.grams))
}

/// The materials of both, those of the first batch first.
fn materials<'a>(before: &'a Booking, after: &'a Booking) -> Vec<&'a str> {
    let mut seen = BTreeSet::new();
    before
        .lines
        .iter()
        .chain(&after.lines)
        .map(|line| line.material.as_str())
        .filter(|name| seen.insert(folded(name)))
        .collect()
}

fn weights(before: &Booking, after: &Booking, chemistry: Option<&Chemistry<'_>>) -> Vec<Difference> {
    // A step of the scales in either batch is no difference.
    let rounding = per_base(before, before.step_grams) + per_base(after, after.step_grams);
    let mut rows = Vec::new();
    for material in materials(before, after) {
        let shares = (share(before, material), share(after, material));
        let by = (shares.1 - shares.0).abs();
        if by <= rounding * (1.0 + 1e-9) && shares.0 > 0.0 && shares.1 > 0.0 {
            continue;
        }
        let effect = chemistry.and_then(|chemistry| {
            let mut lines: Vec<BookedLine> = before
                .lines
                .iter()
                .filter(|line| folded(&line.material) != folded(material))
                .cloned()
                .collect();
            if let Some(new) = line(after, material) {
                lines.push(BookedLine {
                    grams: shares.1 / 100.0 * before.base_grams,
                    ..new.clone()
                });
            }
            chemistry.distance(&lines, before.base_grams)
        });
        let (group, size) = match effect {
            Some(effect) if effect > NEAR => (0, effect),
            Some(effect) => (5, effect),
            None => (1, by),
        };
        let what = What::Weight {
            material: material.to_owned(),
            per_base: shares,
            effect,
        };
        rows.push(row(what, group, size));
    }
    rows
}

fn lots(before: &Booking, after: &Booking) -> Vec<Difference> {
    let mut rows = Vec::new();
    for new in &after.lines {
        let Some(old) = line(before, &new.material) else {
            continue;
        };
        if old.lot.as_deref().map(folded) != new.lot.as_deref().map(folded) {
            let weight = per_base(after, new.grams);
            let what = What::Lot {
                material: new.material.clone(),
                lots: (old.lot.clone(), new.lot.clone()),
                per_base: weight,
            };
            rows.push(row(what, 1, weight));
        }
    }
    rows
}

/// The fired chemistry of the first batch, to measure changes from.
struct Chemistry<'a> {
    library: &'a Library,
    fluxes: &'a FluxList,
    yardstick: ChemistryDistance,
}

impl<'a> Chemistry<'a> {
    fn of(booking: &Booking, library: &'a Library, fluxes: &'a FluxList) -> Option<Chemistry<'a>> {
        let fired = fired(&booking.lines, booking.base_grams, library, fluxes)?;
        Some(Chemistry {
            library,
            fluxes,
            yardstick: ChemistryDistance::new(&fired.unity?, fluxes),
        })
    }

    /// How far these lines are from the first batch, in tolerances.
    fn distance(&self, lines: &[BookedLine], base_grams: f64) -> Option<f64> {
        let unity = fired(lines, base_grams, self.library, self.fluxes)?.unity?;
        Some(self.yardstick.distance(&unity))
    }
}

fn fired(lines: &[BookedLine], base_grams: f64, library: &Library, fluxes: &FluxList) -> Option<FiredChemistry> {
    let portions = |additions: bool| -> Option<Vec<Portion>> {
        lines
            .iter()
            .filter(|line| line.addition == additions && line.grams > 0.0)
            .map(|line| {
                Some(Portion {
                    material: library.find(&line.material)?.clone(),
                    percent: 100.0 * line.grams / base_grams,
                })
            })
            .collect()
    };
    let glaze = Glaze {
        name: String::new(),
        base: portions(false)?,
        additions: portions(true)?,
        about: GlazeNotes::default(),
        assumptions: Vec::new(),
    };
    FiredChemistry::of(&glaze, fluxes, Additions::In).ok()
}

#[cfg(test)]
mod tests {
    use super::super::journal::tests::booking;
    use super::*;
    use glost_chemistry::diagnostic::Source;
    use glost_chemistry::material::read_materials;

    fn library() -> Library {
        let text = "materials:
  - { name: feldspar, formula: KAlSi3O8, source: stoichiometric }
  - { name: silica, formula: SiO2, source: stoichiometric }
  - { name: whiting, formula: CaCO3, source: stoichiometric }
  - { name: powder, kind: powder, analysis: unknown, source: bag }
";
        let (entries, complaints) = read_materials(&Source::from_text("m.yaml", text));
        assert_eq!(complaints, []);
        let mut library = Library::default();
        assert_eq!(library.add_layer(entries, false), []);
        library
    }

    fn batch(number: &str, grams: [(&str, f64, &str); 3]) -> Booking {
        let lines: Vec<BookedLine> = grams
            .iter()
            .map(|&(material, grams, lot)| BookedLine {
                material: material.to_owned(),
                lot: Some(lot.to_owned()),
                grams,
                addition: false,
                mixed_from: Vec::new(),
            })
            .collect();
        let base_grams = lines.iter().map(|line| line.grams).sum();
        Booking {
            lines,
            base_grams,
            dry_grams: base_grams,
            water_millilitres: 0.9 * base_grams,
            ..booking(number)
        }
    }

    fn names(before: &Booking, after: &Booking) -> Vec<String> {
        let found = differences(before, after, &library(), &FluxList::default());
        let name = |row: &Difference| match &row.what {
            What::Weight { material, .. } => format!("{material} weight"),
            What::Lot { material, .. } => format!("{material} lot"),
            What::Water(..) => "water".to_owned(),
            What::Density(..) => "density".to_owned(),
            What::Words { about, .. } => format!("{about:?}").to_lowercase(),
        };
        found.rows.iter().map(name).collect()
    }

    #[test]
    fn a_bigger_batch_of_the_same_is_the_same() {
        let small = batch(
            "14",
            [
                ("feldspar", 500.0, "1"),
                ("silica", 300.0, "7"),
                ("whiting", 200.0, "3"),
            ],
        );
        let big = batch(
            "15",
            [
                ("feldspar", 2500.1, "1"),
                ("silica", 1499.9, "7"),
                ("whiting", 1000.0, "3"),
            ],
        );
        assert_eq!(names(&small, &big), [""; 0]);
    }

    #[test]
    fn a_slip_at_the_scales_comes_before_a_new_lot_and_a_new_lot_before_a_trifle() {
        let good = batch(
            "14",
            [
                ("feldspar", 500.0, "1"),
                ("silica", 300.0, "7"),
                ("whiting", 200.0, "3"),
            ],
        );
        let mut bad = batch(
            "15",
            [
                ("feldspar", 500.0, "1"),
                ("silica", 302.0, "8"),
                ("whiting", 250.0, "3"),
            ],
        );
        bad.base_grams = 1000.0;
        bad.dry_grams = 1000.0;
        bad.water_millilitres = 990.0;
        bad.by = Some("Jo".to_owned());
        assert_eq!(
            names(&good, &bad),
            ["whiting weight", "silica lot", "water", "silica weight", "by"]
        );
    }

    #[test]
    fn without_chemistry_the_bigger_change_comes_first() {
        let good = batch(
            "14",
            [("powder", 900.0, "1"), ("silica", 60.0, "7"), ("whiting", 40.0, "3")],
        );
        let bad = batch(
            "15",
            [("powder", 900.0, "1"), ("silica", 20.0, "7"), ("whiting", 80.0, "4")],
        );
        let found = differences(&good, &bad, &library(), &FluxList::default());
        assert_eq!(found.together, None);
        assert_eq!(found.ranked, Some(Ranked::BySize));
        assert_eq!(names(&good, &bad), ["whiting lot", "silica weight", "whiting weight"]);
    }

    /// By hand: 900 and 990 ml on 1000 g are 90 and 99 ml per 100 g; half a per cent is the same.
    #[test]
    fn water_and_density_differ_from_their_own_errors_on() {
        let grams = [
            ("feldspar", 500.0, "1"),
            ("silica", 300.0, "7"),
            ("whiting", 200.0, "3"),
        ];
        let told = |water: f64, density: f64| {
            let mut after = batch("15", grams);
            (after.water_millilitres, after.density) = (water, density);
            let found = differences(&batch("14", grams), &after, &library(), &FluxList::default());
            assert_eq!((found.together, found.ranked), (None, None));
            found.rows.into_iter().map(|row| row.what).collect::<Vec<_>>()
        };
        assert_eq!(told(990.0, 1.48), [What::Water(90.0, 99.0)]);
        assert_eq!(told(904.0, 1.484), []);
        assert_eq!(
            told(905.0, 1.486),
            [What::Water(90.0, 90.5), What::Density(1.48, 1.486)]
        );
        assert_eq!(told(900.0, 1.47), [What::Density(1.48, 1.47)]);
    }

    #[test]
    fn words_weights_and_lots_are_told_with_what_they_were() {
        let mut before = batch(
            "14",
            [
                ("feldspar", 500.0, "1"),
                ("silica", 300.0, "7"),
                ("whiting", 200.0, "3"),
            ],
        );
        let mut after = batch(
            "15",
            [("Feldspar", 500.0, "1"), ("silica", 300.0, "8"), ("kaolin", 200.0, "3")],
        );
        before.firing = Some("cone 6".to_owned());
        (after.firing, after.glaze) = (Some("Cone 6".to_owned()), "Lamplight matt".to_owned());
        let found = differences(&before, &after, &library(), &FluxList::default());
        let rows: Vec<What> = found.rows.into_iter().map(|row| row.what).collect();
        let lot = What::Lot {
            material: "silica".to_owned(),
            lots: (Some("7".to_owned()), Some("8".to_owned())),
            per_base: 30.0,
        };
        assert!(rows.contains(&lot), "{rows:?}");
        let words = What::Words {
            about: About::Glaze,
            texts: (Some("Lamplight clear".to_owned()), Some("Lamplight matt".to_owned())),
        };
        assert_eq!(
            rows.iter()
                .filter(|row| matches!(row, What::Words { .. }))
                .collect::<Vec<_>>(),
            [&words]
        );
        let weights: Vec<_> = rows
            .iter()
            .filter_map(|row| match row {
                What::Weight { material, per_base, .. } => Some((material.as_str(), *per_base)),
                _ => None,
            })
            .collect();
        assert_eq!(weights.len(), 2);
        assert!(weights.contains(&("whiting", (20.0, 0.0))) && weights.contains(&("kaolin", (0.0, 20.0))));
    }
}
