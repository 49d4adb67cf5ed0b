//! Sieves: mesh numbers and the openings they stand for.
//!
//! A mesh number counts openings along one inch, wires and all, so the opening
//! depends on the wire; the standard fixes both. Table: `data/sieves.csv` (ASTM E11).

use std::sync::LazyLock;

const TABLE: &str = include_str!("../../../data/sieves.csv");
const MICROMETRES_PER_INCH: f64 = 25_400.0;
const MICROMETRES_PER_CENTIMETRE: f64 = 10_000.0;

/// One sieve of the standard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sieve {
    /// Its number: openings per linear inch, near enough.
    pub mesh: u32,
    /// The opening in micrometres.
    pub micrometres: f64,
    /// The wire in micrometres.
    pub wire_micrometres: f64,
    /// Whether the opening was found in print (else from memory, cross-checked).
    pub found_in_print: bool,
}

static SIEVES: LazyLock<Vec<Sieve>> = LazyLock::new(|| {
    TABLE
        .lines()
        .filter(|line| !line.starts_with('#') && !line.starts_with("mesh,"))
        .filter_map(|line| {
            let mut cells = line.split(',');
            Some(Sieve {
                mesh: cells.next()?.parse().ok()?,
                micrometres: cells.next()?.parse().ok()?,
                wire_micrometres: 1000.0 * cells.next()?.parse::<f64>().ok()?,
                found_in_print: cells.next()? == "found",
            })
        })
        .collect()
});

impl Sieve {
    /// All sieves of the table, the coarsest first.
    pub fn all() -> &'static [Sieve] {
        &SIEVES
    }

    /// The sieve with this number, where the standard has it.
    pub fn with_mesh(mesh: u32) -> Option<Sieve> {
        SIEVES.iter().find(|sieve| sieve.mesh == mesh).copied()
    }

    /// The sieve whose opening is nearest, by ratio; `None` unless the size is above zero.
    pub fn nearest_opening(micrometres: f64) -> Option<Sieve> {
        let apart = |sieve: &Sieve| (sieve.micrometres / micrometres).ln().abs();
        let usable = micrometres.is_finite() && micrometres > 0.0;
        let nearest = SIEVES.iter().min_by(|a, b| apart(a).total_cmp(&apart(b)));
        nearest.filter(|_| usable).copied()
    }

    /// The standard's neighbours of a number that it doesn't have: next coarser, next finer.
    pub fn beside(mesh: u32) -> (Option<Sieve>, Option<Sieve>) {
        let coarser = SIEVES.iter().rev().find(|sieve| sieve.mesh < mesh);
        let finer = SIEVES.iter().find(|sieve| sieve.mesh > mesh);
        (coarser.copied(), finer.copied())
    }

    /// Openings per linear inch as opening and wire give them.
    pub fn openings_per_inch(&self) -> f64 {
        MICROMETRES_PER_INCH / (self.micrometres + self.wire_micrometres)
    }

    /// Openings per linear centimetre.
    pub fn openings_per_centimetre(&self) -> f64 {
        MICROMETRES_PER_CENTIMETRE / (self.micrometres + self.wire_micrometres)
    }

    /// Openings per square centimetre.
    pub fn openings_per_square_centimetre(&self) -> f64 {
        self.openings_per_centimetre().powi(2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hundred_mesh_is_150_micrometres() {
        let sieve = Sieve::with_mesh(100);
        assert_eq!(sieve.map(|sieve| sieve.micrometres), Some(150.0));
        assert!(sieve.is_some_and(|sieve| (sieve.openings_per_centimetre() - 40.0).abs() < 1e-9));
        assert_eq!(Sieve::with_mesh(110), None);
        let meshes = |pair: (Option<Sieve>, Option<Sieve>)| [pair.0, pair.1].map(|one| one.map(|sieve| sieve.mesh));
        assert_eq!(meshes(Sieve::beside(110)), [Some(100), Some(120)]);
        assert_eq!(meshes(Sieve::beside(500)), [Some(400), None]);
        assert_eq!(Sieve::nearest_opening(0.0), None);
        assert_eq!(Sieve::nearest_opening(74.0).map(|sieve| sieve.mesh), Some(200));
    }

    #[test]
    fn finer_sieves_follow_coarser_ones_and_count_as_they_say() {
        for pair in Sieve::all().windows(2) {
            assert!(pair[0].mesh < pair[1].mesh && pair[0].micrometres > pair[1].micrometres);
        }
        for sieve in Sieve::all() {
            // A number of E11 is the count to within a tenth.
            let count = sieve.openings_per_inch();
            assert!((count / f64::from(sieve.mesh) - 1.0).abs() < 0.16, "{sieve:?} {count}");
        }
    }

    /// ASTM E11: 100 mesh, 150 um opening and 100 um wire (40 to the centimetre, 1600 to the square
    /// centimetre, 101.6 to the inch).
    #[test]
    fn openings_are_counted_with_their_wires() {
        let sieve = Sieve::with_mesh(100).unwrap();
        assert!((sieve.openings_per_inch() - 101.6).abs() < 1e-9);
        assert!((sieve.openings_per_square_centimetre() - 1600.0).abs() < 1e-6);
        assert_eq!(
            (
                sieve.wire_micrometres,
                Sieve::nearest_opening(f64::INFINITY),
                Sieve::nearest_opening(-1.0)
            ),
            (100.0, None, None)
        );
        // By ratio: between 150 and 125 lies 136.93.
        let nearest = |size: f64| Sieve::nearest_opening(size).map(|sieve| sieve.mesh);
        assert_eq!((nearest(138.0), nearest(136.0)), (Some(100), Some(120)));
        let beside = |mesh| {
            (
                Sieve::beside(mesh).0.map(|one| one.mesh),
                Sieve::beside(mesh).1.map(|one| one.mesh),
            )
        };
        assert_eq!(beside(100), (Some(80), Some(120)));
        let coarsest = Sieve::all()[0].mesh;
        assert_eq!(beside(coarsest).0, None);
        assert!(
            Sieve::all().iter().any(|one| one.found_in_print) && Sieve::all().iter().any(|one| !one.found_in_print)
        );
    }
}
