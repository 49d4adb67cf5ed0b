//! Pyrometric cones: what they are called and where they bend.
//!
//! A cone answers to heat over time: its end point depends on the rate of the last 100 C, and
//! on its family, which share numbers. A hold lowers it: one to two hours count for about one
//! cone (a published rule of thumb, from memory). Table: `data/cones.csv`.

use crate::diagnostic::is_no;
use std::sync::LazyLock;

use serde::{Serialize, Serializer};

use super::number::NumberTrouble;

const TABLE: &str = include_str!("../../data/cones.csv");
const HEADING: &str = "cone,";
/// The columns of the table after the name: family and rate in C/h.
const COLUMNS: [(ConeFamily, Option<f64>); 7] = [
    (ConeFamily::SelfSupporting, Some(15.0)),
    (ConeFamily::SelfSupporting, Some(60.0)),
    (ConeFamily::SelfSupporting, Some(150.0)),
    (ConeFamily::Large, Some(60.0)),
    (ConeFamily::Large, Some(150.0)),
    (ConeFamily::Small, Some(300.0)),
    (ConeFamily::Seger, None),
];
/// Charts of one maker differ by this, C.
const PLUS_MINUS: f64 = 10.0;

/// What kind of cone; the kinds share numbers and bend at different temperatures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ConeFamily {
    /// Large cones that stand in a plaque.
    Large,
    /// Small cones, as in a shut-off switch.
    Small,
    /// Large cones with a foot of their own.
    SelfSupporting,
    /// Seger cones.
    Seger,
}

impl ConeFamily {
    /// All of them.
    pub const ALL: [ConeFamily; 4] = [
        ConeFamily::Large,
        ConeFamily::Small,
        ConeFamily::SelfSupporting,
        ConeFamily::Seger,
    ];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            ConeFamily::Large => "large",
            ConeFamily::Small => "small",
            ConeFamily::SelfSupporting => "self-supporting",
            ConeFamily::Seger => "Seger",
        }
    }

    /// The rate that goes without saying, C/h.
    const fn usual_rate(self) -> Option<f64> {
        match self {
            ConeFamily::Large | ConeFamily::SelfSupporting => Some(60.0),
            ConeFamily::Small => Some(300.0),
            ConeFamily::Seger => None,
        }
    }

    /// The family of a word, without case.
    pub fn from_word(word: &str) -> Option<ConeFamily> {
        let word = word.to_lowercase();
        ConeFamily::ALL.into_iter().find(|family| {
            family.name().to_lowercase() == word || (word == "self" && *family == ConeFamily::SelfSupporting)
        })
    }
}

struct Row {
    name: &'static str,
    celsius: [Option<f64>; COLUMNS.len()],
    found_in_print: bool,
}

static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| {
    let lines = TABLE
        .lines()
        .filter(|line| !line.starts_with('#') && !line.starts_with(HEADING));
    let row = |line: &'static str| {
        let mut cells = line.split(',');
        let name = cells.next()?;
        let mut celsius = [None; COLUMNS.len()];
        for place in &mut celsius {
            *place = cells.next()?.parse().ok();
        }
        Some(Row {
            name,
            celsius,
            found_in_print: cells.next()? == "found",
        })
    };
    lines.filter_map(row).collect()
});

/// A cone's number, from 022 to 14, coolest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Cone(usize);

/// By its name.
impl Serialize for Cone {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.name())
    }
}

/// Where a cone bends.
#[derive(Debug, Clone, PartialEq)]
pub struct ConePoint {
    /// The end point, deg C.
    pub celsius: f64,
    /// How far charts differ, C.
    pub plus_minus: f64,
    /// The family it is of.
    pub family: ConeFamily,
    /// The heating rate it is for, C/h; `None` for Seger cones, whose text gives none.
    pub celsius_per_hour: Option<f64>,
    /// What had to be taken for granted.
    pub assumptions: Vec<ConeAssumption>,
}

/// What an end point takes for granted. Rates in C/h.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ConeAssumption {
    /// Of which family it is isn't said: self-supporting.
    FamilyUnsaid(Cone),
    /// No figure for the large cone: that of the self-supporting one stands in.
    LargeBySelfSupporting(Cone),
    /// The figure is from memory of a printed chart.
    FromMemory(Cone),
    /// No figure for a rate: that of the nearest is shown.
    NearestRate {
        /// The rate that was asked for.
        asked: f64,
        /// The nearest of the table.
        nearest: f64,
    },
    /// Between the figures for two rates.
    BetweenRates {
        /// The slower.
        low: f64,
        /// The faster.
        high: f64,
    },
}

impl Cone {
    /// All cones of the table.
    pub fn all() -> impl Iterator<Item = Cone> {
        (0..ROWS.len()).map(Cone)
    }

    /// Reads `6`, `04`, `5.5`, `5 1/2`, `cone 6`; `04` is not 4.
    ///
    /// # Errors
    /// No cone of the table.
    pub fn parse(text: &str) -> Result<Cone, NumberTrouble> {
        let lower = text.trim().to_lowercase();
        let bare = lower
            .strip_prefix("cone")
            .unwrap_or(&lower)
            .trim_start_matches(['^', ' ']);
        let plain = bare
            .replace(" 1/2", ".5")
            .replace('½', ".5")
            .replace(',', ".")
            .replace(' ', "");
        let place = ROWS.iter().position(|row| row.name == plain);
        place.map(Cone).ok_or_else(|| NumberTrouble {
            message: is_no(text.trim(), "cone that Glost knows"),
            help: Some("cones run 022 (coolest) to 01, then 1 to 14; 05.5 and 5.5 lie between".to_owned()),
        })
    }

    /// Its number as it is written.
    pub fn name(self) -> &'static str {
        ROWS.get(self.0).map_or("", |row| row.name)
    }

    /// How many cones hotter than another it is, below zero where cooler; those between two
    /// whole numbers count half.
    pub fn steps_above(self, other: Cone) -> f64 {
        let place = |cone: Cone| {
            let whole = ROWS
                .iter()
                .take(cone.0 + 1)
                .filter(|row| !row.name.contains('.'))
                .count() as f64;
            whole + if cone.name().contains('.') { 0.5 } else { 0.0 }
        };
        place(self) - place(other)
    }

    /// The whole-numbered cone that is `steps` hotter, where the table has it.
    pub fn hotter(self, steps: usize) -> Option<Cone> {
        let whole = |cone: &Cone| !cone.name().contains('.');
        Cone::all().skip(self.0 + 1).filter(whole).nth(steps.checked_sub(1)?)
    }

    /// Where it bends, in a family (self-supporting where none is named) and at a heating rate
    /// in C/h (the family's usual one where none is given). Rates between two of the table are
    /// interpolated in their logarithm; outside, the nearest serves. Large cones from 07 up
    /// have no figures here: the self-supporting ones stand in. `None` where nothing does.
    pub fn end_point(self, family: Option<ConeFamily>, celsius_per_hour: Option<f64>) -> Option<ConePoint> {
        let row = ROWS.get(self.0)?;
        let mut assumptions = Vec::new();
        let asked = family.unwrap_or(ConeFamily::SelfSupporting);
        if family.is_none() {
            assumptions.push(ConeAssumption::FamilyUnsaid(self));
        }
        let of = |family: ConeFamily| -> Vec<(Option<f64>, f64)> {
            let columns = COLUMNS.iter().zip(row.celsius).filter(|((own, _), _)| *own == family);
            columns
                .filter_map(|((_, rate), celsius)| Some((*rate, celsius?)))
                .collect()
        };
        let mut listed = of(asked);
        if listed.is_empty() && asked == ConeFamily::Large {
            listed = of(ConeFamily::SelfSupporting);
            assumptions.push(ConeAssumption::LargeBySelfSupporting(self));
        }
        let rate = celsius_per_hour.or(asked.usual_rate());
        let (celsius, rate) = at_rate(&listed, rate, &mut assumptions)?;
        if !row.found_in_print && asked != ConeFamily::Seger {
            assumptions.push(ConeAssumption::FromMemory(self));
        }
        Some(ConePoint {
            celsius,
            plus_minus: PLUS_MINUS,
            family: asked,
            celsius_per_hour: rate,
            assumptions,
        })
    }
}

/// The end point at a rate, and the rate that it is for.
fn at_rate(
    listed: &[(Option<f64>, f64)],
    rate: Option<f64>,
    assumptions: &mut Vec<ConeAssumption>,
) -> Option<(f64, Option<f64>)> {
    let (first, last) = (listed.first()?, listed.last()?);
    let (Some(rate), Some(slowest), Some(fastest)) = (rate, first.0, last.0) else {
        return Some((first.1, first.0));
    };
    if rate < slowest || rate > fastest {
        let (nearest, celsius) = if rate < slowest {
            (slowest, first.1)
        } else {
            (fastest, last.1)
        };
        assumptions.push(ConeAssumption::NearestRate { asked: rate, nearest });
        return Some((celsius, Some(nearest)));
    }
    listed
        .windows(2)
        .find_map(|pair| {
            let ((low, at_low), (high, at_high)) = ((pair[0].0?, pair[0].1), (pair[1].0?, pair[1].1));
            if !(low..=high).contains(&rate) {
                return None;
            }
            let along = (rate / low).ln() / (high / low).ln();
            if rate != low && rate != high {
                assumptions.push(ConeAssumption::BetweenRates { low, high });
            }
            Some((at_low + along * (at_high - at_low), Some(rate)))
        })
        .or(Some((first.1, first.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bends(cone: &str, family: ConeFamily, rate: f64) -> Option<f64> {
        Some(Cone::parse(cone).ok()?.end_point(Some(family), Some(rate))?.celsius)
    }

    /// Figures of a cone-maker's chart (those below 07 found in print, the others from memory
    /// of it), copied by hand.
    #[test]
    fn cones_bend_where_the_chart_says() {
        use ConeFamily::{Large, Seger, SelfSupporting, Small};
        for (cone, family, rate, celsius) in [
            ("6", SelfSupporting, 60.0, 1222.0),
            ("6", SelfSupporting, 150.0, 1243.0),
            ("04", SelfSupporting, 60.0, 1063.0),
            ("4", SelfSupporting, 60.0, 1162.0),
            ("018", Large, 60.0, 712.0),
            ("018", Large, 150.0, 732.0),
            ("018", Small, 300.0, 752.0),
            ("08", Small, 300.0, 983.0),
            ("10", SelfSupporting, 15.0, 1251.0),
            ("022", SelfSupporting, 60.0, 586.0),
            ("6", Seger, 60.0, 1200.0),
            ("10", Seger, 60.0, 1300.0),
        ] {
            assert_eq!(bends(cone, family, rate), Some(celsius), "cone {cone}");
        }
        assert_eq!(bends("6", Small, 300.0), None);
        assert_eq!(Cone::all().count(), 38);
    }

    #[test]
    fn no_line_of_the_table_is_lost_and_each_column_rises() {
        for column in 0..COLUMNS.len() {
            let celsius: Vec<f64> = ROWS.iter().filter_map(|row| row.celsius[column]).collect();
            assert!(
                celsius.len() >= 12 && celsius.is_sorted(),
                "column {column}: {celsius:?}"
            );
        }
        for row in ROWS.iter() {
            let own: Vec<f64> = row.celsius[..3].iter().flatten().copied().collect();
            assert!(own.is_sorted(), "cone {}: faster heating bends later", row.name);
        }
    }

    #[test]
    fn an_oh_four_is_not_a_four() {
        let name = |text: &str| Cone::parse(text).map(Cone::name);
        assert_eq!(name("04"), Ok("04"));
        assert_eq!(name("cone 4"), Ok("4"));
        assert_eq!(name("5 1/2"), Ok("5.5"));
        assert_eq!(name("05½"), Ok("05.5"));
        for text in ["", "66", "-4", "4.0", "six", "cone"] {
            assert!(name(text).is_err(), "{text}");
        }
        let hotter = |text: &str, steps| Cone::parse(text).ok()?.hotter(steps).map(Cone::name);
        assert_eq!(hotter("04", 1), Some("03"));
        assert_eq!(hotter("01", 2), Some("2"));
        assert_eq!(hotter("5", 1), Some("6"));
        assert_eq!(hotter("14", 1), None);
    }

    #[test]
    fn what_is_taken_for_granted_is_said() {
        let said = |cone: &str, family, rate| {
            let point = Cone::parse(cone).ok()?.end_point(family, rate)?;
            Some((point.celsius.round(), point.assumptions))
        };
        let cone = |name: &str| Cone::parse(name).unwrap();
        let large = Some(ConeFamily::Large);
        let nearest = |asked, nearest| ConeAssumption::NearestRate { asked, nearest };
        let between = ConeAssumption::BetweenRates { low: 60.0, high: 150.0 };
        let stands_in = ConeAssumption::LargeBySelfSupporting(cone("6"));
        for (name, family, rate, celsius, expected) in [
            ("08", None, None, 942.0, ConeAssumption::FamilyUnsaid(cone("08"))),
            ("08", large, Some(95.0), 948.0, between),
            ("08", large, Some(400.0), 954.0, nearest(400.0, 150.0)),
            ("018", large, Some(30.0), 712.0, nearest(30.0, 60.0)),
            ("6", large, None, 1222.0, stands_in),
        ] {
            let (found, said) = said(name, family, rate).unwrap();
            assert_eq!(found, celsius, "{name}");
            assert!(said.contains(&expected), "{name}: {said:?}");
        }
    }

    #[test]
    fn cones_are_counted_in_steps() {
        let steps = |cone: &str, other: &str| Some(Cone::parse(cone).ok()?.steps_above(Cone::parse(other).ok()?));
        // 022 ... 02, 01, 1, 2 ...: there is no cone 0.
        for (cone, other, apart) in [
            ("6", "6", 0.0),
            ("6", "5", 1.0),
            ("5.5", "5", 0.5),
            ("6", "5.5", 0.5),
            ("1", "01", 1.0),
            ("04", "06", 2.0),
            ("06", "04", -2.0),
            ("6", "04", 9.0),
        ] {
            assert_eq!(steps(cone, other), Some(apart), "{cone} above {other}");
        }
        let hotter = |text: &str, steps| Cone::parse(text).ok()?.hotter(steps).map(Cone::name);
        assert_eq!(hotter("6", 0), None);
        assert_eq!((hotter("5.5", 1), hotter("6", 4)), (Some("6"), Some("10")));
    }

    #[test]
    fn each_family_has_its_usual_rate_and_its_words() {
        let point = |cone: &str, family, rate| Cone::parse(cone).ok()?.end_point(Some(family), rate);
        for (family, rate) in [
            (ConeFamily::Large, Some(60.0)),
            (ConeFamily::SelfSupporting, Some(60.0)),
            (ConeFamily::Small, Some(300.0)),
            (ConeFamily::Seger, None),
        ] {
            let found = point("010", family, None).or(point("6", family, None)).unwrap();
            assert_eq!((found.celsius_per_hour, found.family), (rate, family));
            // Charts of one maker differ by 10 C.
            assert_eq!(found.plus_minus, 10.0);
            assert_eq!(ConeFamily::from_word(&family.name().to_uppercase()), Some(family));
        }
        assert_eq!(ConeFamily::from_word("self"), Some(ConeFamily::SelfSupporting));
        assert_eq!(ConeFamily::from_word("big"), None);
        let said = |cone: &str, family, rate| {
            let assumptions = point(cone, family, rate).unwrap().assumptions;
            assumptions
                .iter()
                .any(|said| matches!(said, ConeAssumption::FromMemory(_)))
        };
        // Found in print below 07, the others are from memory of the chart; Seger's are his own text.
        assert!(!said("010", ConeFamily::SelfSupporting, None) && said("6", ConeFamily::SelfSupporting, None));
        assert!(!said("6", ConeFamily::Seger, None));
        let listed = point("6", ConeFamily::SelfSupporting, Some(150.0)).unwrap();
        assert!(
            !listed
                .assumptions
                .iter()
                .any(|said| matches!(said, ConeAssumption::BetweenRates { .. })),
            "{listed:?}"
        );
    }
}
