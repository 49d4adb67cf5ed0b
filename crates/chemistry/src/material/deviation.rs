//! How far a line of a sheet may be off.

use std::sync::Arc;

use indexmap::IndexMap;

use crate::oxides::Oxide;

/// One standard deviation of one line of one sheet.
///
/// A material may reach a glaze twice, in the base and on top, or by way of a
/// pre-mix. What is off on its sheet is then off everywhere at once, so each
/// deviation knows where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Deviation {
    /// The fired oxide that moves.
    pub oxide: Oxide,
    /// Grams of fired oxide per 100 g supplied, not negative.
    pub grams: f64,
    sheet: Arc<str>,
    line: usize,
}

impl Deviation {
    /// The deviations of the lines of one sheet: fired oxides with their grams.
    pub fn of_sheet(name: &str, lines: impl IntoIterator<Item = (Oxide, f64)>) -> Vec<Deviation> {
        let sheet: Arc<str> = name.into();
        let numbered = lines.into_iter().enumerate();
        numbered
            .map(|(line, (oxide, grams))| Deviation {
                oxide,
                grams,
                sheet: sheet.clone(),
                line,
            })
            .collect()
    }

    /// The same line with all grams times `factor`, which is not negative.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Deviation {
        Deviation {
            grams: self.grams * factor,
            ..self.clone()
        }
    }

    /// Whether both are one line of one sheet, so that they are off together.
    pub fn moves_with(&self, other: &Deviation) -> bool {
        Arc::ptr_eq(&self.sheet, &other.sheet) && self.line == other.line
    }
}

/// Deviations gathered from several routes, in the order of their first: one
/// line of one sheet is off by the sum of what it brings on each.
#[derive(Debug, Default)]
pub(super) struct Deviations(IndexMap<(usize, usize), Deviation>);

impl Deviations {
    /// Adds some.
    pub fn add(&mut self, more: impl IntoIterator<Item = Deviation>) {
        for deviation in more {
            // The sheet's address tells sheets apart; it lives as long as the deviation kept here.
            let key = (Arc::as_ptr(&deviation.sheet).cast::<u8>() as usize, deviation.line);
            match self.0.get_mut(&key) {
                Some(same) => same.grams += deviation.grams,
                None => {
                    self.0.insert(key, deviation);
                }
            }
        }
    }

    /// What was gathered.
    pub fn list(self) -> Vec<Deviation> {
        self.0.into_values().collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_of_one_sheet_move_with_themselves_only() {
        let sheet = |name| Deviation::of_sheet(name, [(Oxide::SiO2, 0.5), (Oxide::Fe2O3, 0.1)]);
        let (lot, other_lot) = (sheet("feldspar"), sheet("feldspar"));
        assert!(lot[0].moves_with(&lot[0].scaled(0.3)));
        assert!(!lot[0].moves_with(&lot[1]) && !lot[0].moves_with(&other_lot[0]));
    }
}
