//! What a batch takes from the shelf, and what the shelf is short of.

use crate::workshop::ticket::TicketLine;

/// A material of a ticket whose stock is stated.
#[derive(Debug, Clone, PartialEq)]
pub struct OnShelf {
    /// The material.
    pub material: String,
    /// The lot it is taken from, where several are open.
    pub lot: Option<String>,
    /// Grams that the shelf is said to hold.
    pub before_grams: f64,
    /// Grams that the batch needs.
    pub needed_grams: f64,
}

impl OnShelf {
    /// Grams left afterwards, none where it doesn't suffice.
    pub fn after_grams(&self) -> f64 {
        (self.before_grams - self.needed_grams).max(0.0)
    }

    /// Grams that are missing.
    pub fn short_grams(&self) -> f64 {
        let short = self.needed_grams - self.before_grams;
        // The stock's own text is kept to half a milligram.
        if short > 0.001 { short } else { 0.0 }
    }
}

/// The lines of a ticket whose stock is stated, in its order.
pub fn on_shelf(lines: &[TicketLine]) -> Vec<OnShelf> {
    lines
        .iter()
        .filter_map(|line| {
            Some(OnShelf {
                material: line.material.name.clone(),
                lot: line
                    .material
                    .lot
                    .clone()
                    .filter(|_| !line.material.open_lots.is_empty()),
                before_grams: line.material.stock?.grams(),
                needed_grams: line.grams,
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_missing_is_told_from_a_milligram_up() {
        let shelf = |before_grams, needed_grams| OnShelf {
            material: "silica".to_owned(),
            lot: None,
            before_grams,
            needed_grams,
        };
        let both = |before, needed| (shelf(before, needed).after_grams(), shelf(before, needed).short_grams());
        assert_eq!(both(500.0, 300.0), (200.0, 0.0));
        assert_eq!(both(300.0, 500.0), (0.0, 200.0));
        assert_eq!(both(300.0, 300.0005), (0.0, 0.0));
        assert_eq!(both(0.0, 0.001), (0.0, 0.0));
        assert!(shelf(300.0, 300.002).short_grams() > 0.0);
    }

    use crate::workshop::bench::shelf;

    #[test]
    fn the_shelf_tells_lots_where_several_are_open() {
        let shelf = shelf();
        let line = |name: &str, grams| TicketLine {
            material: shelf.find(name).unwrap().clone(),
            grams,
            running: 0.0,
            weighings: Vec::new(),
            is_addition: false,
        };
        // Feldspar's stock isn't stated; whiting has one lot, kaolin two.
        let told = on_shelf(&[line("kaolin", 100.0), line("feldspar", 400.0), line("whiting", 200.0)]);
        let told: Vec<_> = told
            .iter()
            .map(|one| {
                (
                    one.material.as_str(),
                    one.lot.as_deref(),
                    one.before_grams,
                    one.short_grams(),
                )
            })
            .collect();
        assert_eq!(
            told,
            [("kaolin", Some("K7"), 7000.0, 0.0), ("whiting", None, 150.0, 50.0)]
        );
    }
}
