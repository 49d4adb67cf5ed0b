//! Amounts of oxides as one line of text.

use std::fmt;

use super::composition::{OxideGrams, OxideMoles};
use super::oxide::Oxide;

fn line(amounts: impl Iterator<Item = (Oxide, f64)>, f: &mut fmt::Formatter<'_>) -> fmt::Result {
    for (index, (oxide, amount)) in amounts.enumerate() {
        let between = if index == 0 { "" } else { "  " };
        match f.precision() {
            Some(decimals) => write!(f, "{between}{amount:.decimals$} {oxide}")?,
            None => write!(f, "{between}{amount} {oxide}")?,
        }
    }
    Ok(())
}

/// Moles of each oxide that is there: `{:.3}` gives `0.300 K2O  0.700 CaO`.
impl fmt::Display for OxideMoles {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        line(self.iter(), f)
    }
}

/// Grams, or wt %, of each oxide that is there: `{:.1}` gives `64.7 SiO2`.
impl fmt::Display for OxideGrams {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        line(self.iter(), f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_read_as_a_line() {
        let moles = OxideMoles::new([(Oxide::CaO, 0.7), (Oxide::K2O, 0.3)]);
        assert_eq!(
            moles.map(|moles| format!("{moles:.2}")).as_deref(),
            Some("0.30 K2O  0.70 CaO")
        );
        let grams = OxideGrams::new([(Oxide::SiO2, 64.66), (Oxide::Al2O3, 18.32)]);
        let line = |grams: OxideGrams| [format!("{grams:.1}"), format!("{grams}")];
        assert_eq!(
            grams.map(line),
            Some(["18.3 Al2O3  64.7 SiO2".to_owned(), "18.32 Al2O3  64.66 SiO2".to_owned()])
        );
    }
}
