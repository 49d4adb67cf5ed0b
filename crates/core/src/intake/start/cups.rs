//! Water in cups, as it is measured.

use std::fmt;

use glost_chemistry::quantity::Millilitres;

/// So many cups, to the quarter: `5 3/4 cups`, `1/2 cup`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cups {
    quarters: u32,
}

impl fmt::Display for Cups {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let part = match self.quarters % 4 {
            1 => "1/4",
            2 => "1/2",
            3 => "3/4",
            _ => "",
        };
        match (self.quarters / 4, part) {
            (0, part) => f.write_str(part)?,
            (whole, "") => write!(f, "{whole}")?,
            (whole, part) => write!(f, "{whole} {part}")?,
        }
        f.write_str(if self.quarters <= 4 { " cup" } else { " cups" })
    }
}

/// A volume in cups to the quarter, where it is that to 1 %.
pub fn in_cups(volume: f64, cup: Millilitres) -> Option<Cups> {
    let cups = volume / cup.millilitres();
    let quarters = (cups * 4.0).round();
    if !(1.0..=200.0).contains(&quarters) || (quarters / 4.0 - cups).abs() > 0.01 * cups {
        return None;
    }
    Some(Cups {
        quarters: quarters as u32,
    })
}

/// What a count of cups may be off by, where one adds it until it feels right.
const NEAR: f64 = 0.1;

/// A volume in the fewest cups that are near it, as one adds it until it feels right: the nearest
/// half, `4 1/2 cups`, else the nearest quarter. `None` where either is more than a tenth off.
pub fn near_cups(volume: f64, cup: Millilitres) -> Option<Cups> {
    let cups = volume / cup.millilitres();
    let parts = [2.0, 4.0].map(|parts| (parts * cups).round() / parts);
    let near = parts.into_iter().find(|near| (near - cups).abs() <= NEAR * cups)?;
    in_cups(near * cup.millilitres(), cup)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cups_are_told_in_quarters() {
        let told = |millilitres: f64| in_cups(millilitres, Millilitres::METRIC_CUP).map(|cups| cups.to_string());
        assert_eq!(told(1437.5).as_deref(), Some("5 3/4 cups"));
        assert_eq!(told(250.0).as_deref(), Some("1 cup"));
        assert_eq!(told(125.0).as_deref(), Some("1/2 cup"));
        assert_eq!(told(660.0), None);
    }

    #[test]
    fn cups_that_are_only_near_are_within_a_tenth() {
        let cup = Millilitres::METRIC_CUP;
        let near = |millilitres: f64| near_cups(millilitres, cup).map(|cups| cups.to_string());
        assert_eq!(near(1100.0).as_deref(), Some("4 1/2 cups"));
        assert_eq!(near(120.0).as_deref(), Some("1/2 cup"));
        assert_eq!(near(65.0).as_deref(), Some("1/4 cup"));
        assert_eq!(near(190.0).as_deref(), Some("3/4 cup"));
        // 71 ml is neither a quarter (62.5) nor a half (125), 150 ml neither a half nor 3/4.
        for neither in [0.0, 40.0, 51.0, 71.0, 111.0, 150.0] {
            assert_eq!(near(neither), None, "{neither} ml");
        }
    }
}
