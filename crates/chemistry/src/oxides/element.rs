//! The elements and their atomic weights.
//!
//! One table, `data/atomic_weights.csv` (IUPAC/CIAAW abridged standard atomic
//! weights 2021); every molar mass in Glost is computed from it.

use std::sync::LazyLock;

const TABLE: &str = include_str!("../../data/atomic_weights.csv");

/// A chemical element that Glost knows, as an index into the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Element(u8);

struct Row {
    symbol: &'static str,
    grams_per_mole: f64,
}

static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| {
    TABLE
        .lines()
        .filter(|line| !line.starts_with('#') && !line.starts_with("element,"))
        .filter_map(|line| {
            let mut cells = line.split(',');
            let symbol = cells.next()?;
            let grams_per_mole = cells.next()?.parse().ok()?;
            Some(Row { symbol, grams_per_mole })
        })
        .collect()
});

impl Element {
    /// The element with this symbol (`Si`, case matters), if Glost knows it.
    pub fn from_symbol(symbol: &str) -> Option<Element> {
        let index = ROWS.iter().position(|row| row.symbol == symbol)?;
        u8::try_from(index).ok().map(Element)
    }

    /// The symbol, `Si`.
    pub fn symbol(self) -> &'static str {
        ROWS[usize::from(self.0)].symbol
    }

    /// Abridged standard atomic weight in g/mol (CIAAW 2021).
    pub fn grams_per_mole(self) -> f64 {
        ROWS[usize::from(self.0)].grams_per_mole
    }

    /// All known elements in table order.
    pub fn all() -> impl Iterator<Item = Element> {
        (0..ROWS.len()).filter_map(|index| u8::try_from(index).ok().map(Element))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn silicon_weighs_28_085_grams_a_mole() {
        let silicon = Element::from_symbol("Si").map(Element::grams_per_mole);
        assert_eq!(silicon, Some(28.085));
        assert_eq!(Element::from_symbol("si"), None);
        assert_eq!(Element::all().count(), 76);
    }
}
