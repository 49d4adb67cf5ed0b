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

/// A volume in half cups, as one adds it until it feels right: `4 1/2 cups`, the nearest.
/// `None` below half a cup.
pub fn half_cups(volume: f64, cup: Millilitres) -> Option<String> {
    let halves = (2.0 * volume / cup.millilitres()).round();
    in_cups(0.5 * halves * cup.millilitres(), cup)
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
        assert_eq!(half_cups(1100.0, cup).as_deref(), Some("4 1/2 cups"));
        assert_eq!(half_cups(40.0, cup), None);
    }
}
