//! What a ticket says on screens and on paper alike.

use glost_desk::weigh::{Answer, NamedSieve, WhoseSieve};

use crate::layout::capital;
use crate::number;

/// `Batch 14`, and when it was booked by whom; nothing without a number.
pub(crate) fn batch_line(answer: &Answer) -> String {
    let Some(number) = &answer.batch else {
        return String::new();
    };
    match &answer.booking {
        None => format!("Batch {number}\n"),
        Some(booking) => {
            let by = booking.by.as_ref().map_or_else(String::new, |by| format!(" by {by}"));
            format!("Batch {number} (booked), mixed {}{by}\n", booking.on)
        }
    }
}

/// `Cone 6, clay: buff stoneware, version v2`, as far as known; nothing where none of it is.
pub(crate) fn about_line(answer: &Answer) -> Option<String> {
    let of = [
        answer.cone.as_ref().map(|cone| format!("Cone {cone}")),
        answer.clay.as_ref().map(|clay| format!("clay: {clay}")),
        answer.version.as_ref().map(|version| format!("version {version}")),
    ];
    let of: Vec<String> = of.into_iter().flatten().collect();
    (!of.is_empty()).then(|| capital(&of.join(", ")))
}

/// All the water, in cups too where one would count them.
pub(crate) fn water_words(answer: &Answer) -> String {
    let millilitres = answer.water_millilitres;
    let cups = millilitres / answer.cup.millilitres();
    let in_cups = if cups <= 40.0 {
        format!(
            " ({} cups of {} ml)",
            quarters(cups),
            number::plain(answer.cup.millilitres())
        )
    } else {
        String::new()
    };
    format!("{}{in_cups}", volume(millilitres))
}

/// Millilitres to the nearest that a jug shows.
pub(crate) fn volume(millilitres: f64) -> String {
    if millilitres >= 9_950.0 {
        format!("{:.1} l", millilitres / 1000.0)
    } else if millilitres >= 995.0 {
        format!("{:.2} l", millilitres / 1000.0)
    } else if millilitres >= 9.95 {
        format!("{millilitres:.0} ml")
    } else {
        format!("{millilitres:.1} ml")
    }
}

/// Cups in quarters: `5 3/4`.
fn quarters(cups: f64) -> String {
    let quarters = (4.0 * cups).round();
    let (whole, rest) = ((quarters / 4.0).floor(), quarters % 4.0);
    let part = ["", "1/4", "1/2", "3/4"].get(rest as usize).copied().unwrap_or("");
    match (whole > 0.0, part) {
        (true, "") => format!("{whole}"),
        (true, part) => format!("{whole} {part}"),
        (false, "") => "under 1/4".to_owned(),
        (false, part) => part.to_owned(),
    }
}

/// `100 mesh (150 micrometres), as this glaze's file says.`
pub(crate) fn sieve_line(sieve: &NamedSieve) -> String {
    let opening = sieve.micrometres.map_or_else(String::new, |opening| {
        format!(" ({} micrometres)", number::plain(opening))
    });
    let said = &sieve.said;
    match sieve.of {
        WhoseSieve::Glaze => format!("{said}{opening}, as this glaze's file says."),
        WhoseSieve::Studio => format!("{said}{opening}, the studio's own."),
        WhoseSieve::Usual => format!("{said}{opening} or the one you always use (common practice: 80 to 120)."),
    }
}
