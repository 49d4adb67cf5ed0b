//! Water in cups, as it is measured.

use glost_chemistry::quantity::Millilitres;

/// A volume in cups to the quarter, `5 3/4 cups`, where it is that to 1 %.
pub fn in_cups(volume: f64, cup: Millilitres) -> Option<String> {
    let cups = volume / cup.millilitres();
    let quarters = (cups * 4.0).round();
    if !(1.0..=200.0).contains(&quarters) || (quarters / 4.0 - cups).abs() > 0.01 * cups {
        return None;
    }
    let whole = (quarters / 4.0).floor();
    let part = match (quarters - 4.0 * whole) as i64 {
        1 => "1/4",
        2 => "1/2",
        3 => "3/4",
        _ => "",
    };
    let count = match (whole as i64, part) {
        (0, part) => part.to_owned(),
        (whole, "") => whole.to_string(),
        (whole, part) => format!("{whole} {part}"),
    };
    let word = if quarters <= 4.0 { "cup" } else { "cups" };
    Some(format!("{count} {word}"))
}

/// What a count of cups may be off by, where one adds it until it feels right.
const NEAR: f64 = 0.1;

/// A volume in the fewest cups that are near it, as one adds it until it feels right: the nearest
/// half, `4 1/2 cups`, else the nearest quarter. `None` where either is more than a tenth off.
pub fn near_cups(volume: f64, cup: Millilitres) -> Option<String> {
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
        let cup = Millilitres::METRIC_CUP;
        assert_eq!(in_cups(1437.5, cup).as_deref(), Some("5 3/4 cups"));
        assert_eq!(in_cups(250.0, cup).as_deref(), Some("1 cup"));
        assert_eq!(in_cups(125.0, cup).as_deref(), Some("1/2 cup"));
        assert_eq!(in_cups(660.0, cup), None);
    }

    #[test]
    fn cups_that_are_only_near_are_within_a_tenth() {
        let cup = Millilitres::METRIC_CUP;
        let near = |millilitres: f64| near_cups(millilitres, cup);
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
