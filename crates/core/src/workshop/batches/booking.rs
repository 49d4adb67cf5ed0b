//! One batch as it is written down.

use crate::renames::{Renamed, Renames};
use glost_chemistry::diagnostic::is_no;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use glost_chemistry::quantity::{Date, NumberTrouble};

use crate::line_id::id_of;

use super::containers::Containers;
use super::shelf::of_lot;

/// Batch numbers are written on buckets: longer ones don't fit.
const LONGEST_NUMBER: usize = 24;

/// A batch's number as text: `14`, `14b`, `spring 2`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct BatchNumber(String);

impl BatchNumber {
    /// Reads a number.
    ///
    /// # Errors
    /// Empty, longer than a bucket's label has room for, control characters, or a
    /// word that the command takes for itself.
    pub fn parse(text: &str) -> Result<BatchNumber, NumberTrouble> {
        let trimmed = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let trouble = |message: String| NumberTrouble {
            message,
            help: Some("a short number or word that fits on the bucket: 14, 14b".to_owned()),
        };
        if trimmed.is_empty() {
            return Err(trouble("the batch's number is empty".to_owned()));
        }
        if trimmed.chars().count() > LONGEST_NUMBER || trimmed.chars().any(char::is_control) || trimmed == "diff" {
            let shown: String = trimmed.chars().filter(|sign| !sign.is_control()).take(40).collect();
            return Err(trouble(is_no(shown, "number for a batch")));
        }
        Ok(BatchNumber(trimmed))
    }

    /// The plain number `number`.
    pub fn counted(number: u64) -> BatchNumber {
        BatchNumber(number.to_string())
    }

    /// Its text.
    pub fn text(&self) -> &str {
        &self.0
    }

    /// The count that it begins with: 14 of `14` and `14b`; `None` of `spring 2`
    /// and of `2026-03`.
    pub fn count(&self) -> Option<u64> {
        let rest = self.0.trim_start_matches(|sign: char| sign.is_ascii_digit());
        let digits = &self.0[..self.0.len() - rest.len()];
        let counts = digits.len() <= 12 && !rest.contains(|sign: char| sign.is_ascii_digit());
        counts.then(|| digits.parse().ok()).flatten()
    }
}

/// A material of a mix with the lot that its sheet named at the time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct MixedFrom {
    /// The material.
    pub material: String,
    /// Its lot.
    pub lot: Option<String>,
}

/// One material that was weighed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BookedLine {
    /// The material.
    pub material: String,
    /// The lot it came from.
    #[serde(default)]
    pub lot: Option<String>,
    /// Grams on the scales.
    pub grams: f64,
    /// Whether it came on top of the base.
    #[serde(default)]
    pub addition: bool,
    /// What it is itself mixed from, by its sheet at the time.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub mixed_from: Vec<MixedFrom>,
}

/// A stock that changes: the text in the studio's file before and after.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StockMove {
    /// The file below the studio's folder, with `/`.
    pub file: String,
    /// The material's name in it.
    pub material: String,
    /// The lot whose own stock it is, where the file lists several.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lot: Option<String>,
    /// The stock's text before.
    pub before: String,
    /// The stock's text after.
    pub after: String,
    /// Grams before.
    pub before_grams: f64,
    /// Grams taken off the shelf's count; below zero where they are put back.
    pub taken_grams: f64,
    /// Grams that were weighed though the shelf's count had none left.
    #[serde(default)]
    pub short_grams: f64,
}

impl StockMove {
    /// Whose stock it is, in words.
    pub fn whose(&self) -> String {
        of_lot(&self.material, self.lot.as_deref())
    }

    /// Grams after.
    pub fn after_grams(&self) -> f64 {
        (self.before_grams - self.taken_grams).max(0.0)
    }
}

/// A batch that was mixed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Booking {
    /// Its number.
    #[serde(rename = "batch")]
    pub number: BatchNumber,
    /// The day it was mixed.
    pub on: Date,
    /// Who mixed it.
    #[serde(default)]
    pub by: Option<String>,
    /// The glaze.
    pub glaze: String,
    /// The recipe's version, where one was named.
    #[serde(default)]
    pub version: Option<String>,
    /// What the recipe said of its firing at the time.
    #[serde(default)]
    pub firing: Option<String>,
    /// The clay that the recipe named at the time.
    #[serde(default)]
    pub clay: Option<String>,
    /// Grams of base.
    pub base_grams: f64,
    /// Grams of all lines.
    pub dry_grams: f64,
    /// Water.
    pub water_millilitres: f64,
    /// Slurry.
    pub volume_millilitres: f64,
    /// Its expected density, g/ml.
    pub density: f64,
    /// The step of the scales in grams.
    pub step_grams: f64,
    /// What was weighed.
    pub lines: Vec<BookedLine>,
    /// What left the shelf.
    #[serde(default)]
    pub stock: Vec<StockMove>,
    /// The cone that the recipe named at the time.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cone: Option<String>,
    /// The firing that the recipe named at the time.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fired_in: Option<String>,
    /// The mark scratched or stamped on its pieces.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mark: Option<String>,
    /// What it was filled into.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub into: Option<Containers>,
    /// Which of several bookings alike it is, from the second.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub copy: Option<u32>,
    /// Its id: what its other keys give; two clones may give one number twice.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub id: String,
}

impl Booking {
    /// Whatever was renamed since is called by its new name.
    pub(super) fn call_anew(&mut self, renames: &Renames) {
        let on = self.on;
        if let Some(new) = renames.glaze(&self.glaze, on) {
            self.glaze = new;
        }
        if let Some(new) = self
            .clay
            .as_deref()
            .and_then(|clay| renames.name(Renamed::Clay, clay, on))
        {
            self.clay = Some(new);
        }
        let anew = |name: &mut String| {
            if let Some(new) = renames.name(Renamed::Material, name, on) {
                *name = new;
            }
        };
        for line in &mut self.lines {
            anew(&mut line.material);
            line.mixed_from.iter_mut().for_each(|from| anew(&mut from.material));
        }
        self.stock.iter_mut().for_each(|one| anew(&mut one.material));
    }

    /// The booking as one line of the journal.
    pub fn line(&self) -> String {
        // A struct of texts and finite numbers always has a JSON text.
        serde_json::to_string(self).unwrap_or_default()
    }

    /// With the id that its keys give.
    #[must_use]
    pub fn named(self) -> Booking {
        let id = id_of_keys(&self);
        Booking { id, ..self }
    }

    /// The lots that were weighed: of a material from several bags all of them.
    pub fn lots(&self) -> Vec<(String, String)> {
        let mut lots: Vec<(String, String)> = Vec::with_capacity(self.lines.len());
        for line in &self.lines {
            let Some(lot) = &line.lot else { continue };
            match lots.iter_mut().find(|(material, _)| *material == line.material) {
                Some((_, known)) if known == lot => {}
                Some((_, known)) => {
                    known.push_str(" + ");
                    known.push_str(lot);
                }
                None => lots.push((line.material.clone(), lot.clone())),
            }
        }
        lots
    }

    /// Whether its weights can be reckoned with: base, powder and step above zero,
    /// the others not below.
    pub(super) fn weighs_something(&self) -> bool {
        let above = [
            self.base_grams,
            self.dry_grams,
            self.step_grams,
            self.volume_millilitres,
        ];
        let others = self.lines.iter().map(|line| line.grams);
        above.iter().all(|&amount| amount > 0.0 && amount < 1e12)
            && others
                .chain([self.water_millilitres, self.density])
                .all(|amount| (0.0..1e12).contains(&amount))
    }

    /// Whether the same powder of the same glaze was weighed on the same day.
    pub fn same_ticket(&self, other: &Booking) -> bool {
        let sorted = |booking: &Booking| {
            let mut lines: Vec<(String, i64)> = booking
                .lines
                .iter()
                // Milligrams: finer than any scales that weigh glazes.
                .map(|line| {
                    (
                        glost_chemistry::read::folded(&line.material),
                        (line.grams * 1000.0).round() as i64,
                    )
                })
                .collect();
            lines.sort();
            lines
        };
        self.on == other.on
            && glost_chemistry::read::folded(&self.glaze) == glost_chemistry::read::folded(&other.glaze)
            && sorted(self) == sorted(other)
    }
}

/// A booking taken back.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Void {
    /// The batch's number.
    #[serde(rename = "void")]
    pub number: BatchNumber,
    /// The day it was taken back.
    pub on: Date,
    /// Why.
    #[serde(default)]
    pub text: Option<String>,
    /// What was put back on the shelf.
    #[serde(default)]
    pub stock: Vec<StockMove>,
    /// The id of the booking.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub of: Option<String>,
    /// Its own id.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub id: String,
}

impl Void {
    /// With the id that its keys give.
    #[must_use]
    pub fn named(self) -> Void {
        let id = id_of_keys(&self);
        Void { id, ..self }
    }
}

/// The id of a line with these keys.
fn id_of_keys(line: &impl Serialize) -> String {
    match serde_json::to_value(line) {
        Ok(Value::Object(keys)) => id_of(&keys.into_iter().collect::<Vec<_>>()),
        // A struct of texts and finite numbers always is an object.
        _ => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_texts_that_fit_on_a_bucket() {
        let texts = |text: &str| BatchNumber::parse(text).map(|number| number.text().to_owned()).ok();
        assert_eq!(texts(" 014 "), Some("014".to_owned()));
        assert_eq!(texts("spring  2"), Some("spring 2".to_owned()));
        for text in [
            "",
            "  ",
            "a\u{7}b",
            "diff",
            "a number that no bucket's label has room for",
        ] {
            assert_eq!(texts(text), None, "{text}");
        }
        let count = |text: &str| BatchNumber::parse(text).ok().and_then(|number| number.count());
        assert_eq!((count("14"), count("14b")), (Some(14), Some(14)));
        for text in ["9999999999999999999", "spring 2", "2026-03", "b"] {
            assert_eq!(count(text), None, "{text}");
        }
    }

    use super::super::journal::tests::booking;

    fn line(material: &str, lot: Option<&str>, grams: f64) -> BookedLine {
        BookedLine {
            material: material.to_owned(),
            lot: lot.map(str::to_owned),
            grams,
            addition: false,
            mixed_from: Vec::new(),
        }
    }

    #[test]
    fn a_shelf_gives_what_it_has_and_no_more() {
        let stock = |before_grams, taken_grams, lot: Option<&str>| StockMove {
            file: "materials/own.yaml".to_owned(),
            material: "kaolin".to_owned(),
            lot: lot.map(str::to_owned),
            before: String::new(),
            after: String::new(),
            before_grams,
            taken_grams,
            short_grams: 0.0,
        };
        assert_eq!(stock(5000.0, 1200.0, None).after_grams(), 3800.0);
        assert_eq!(stock(5000.0, 5200.0, None).after_grams(), 0.0);
        // Put back: taken is below zero.
        assert_eq!(stock(3800.0, -1200.0, None).after_grams(), 5000.0);
        assert_eq!(stock(1.0, 0.0, None).whose(), "kaolin");
        assert_eq!(stock(1.0, 0.0, Some("K7")).whose(), "kaolin lot K7");
    }

    #[test]
    fn the_lots_of_a_batch_are_told_by_material() {
        let mut batch = booking("14");
        batch.lines = vec![
            line("kaolin", Some("K7"), 100.0),
            line("silica", None, 300.0),
            line("kaolin", Some("L2"), 50.0),
            line("whiting", Some("3"), 200.0),
            line("whiting", Some("3"), 20.0),
        ];
        let lots = batch.lots();
        assert_eq!(
            lots,
            [
                ("kaolin".to_owned(), "K7 + L2".to_owned()),
                ("whiting".to_owned(), "3".to_owned())
            ]
        );
    }

    #[test]
    fn a_batch_that_weighs_nothing_is_not_reckoned_with() {
        let with = |change: fn(&mut Booking)| {
            let mut batch = booking("14");
            batch.lines = vec![line("kaolin", None, 0.0)];
            change(&mut batch);
            batch.weighs_something()
        };
        assert!(with(|_| {}));
        assert!(with(|batch| batch.water_millilitres = 0.0) && with(|batch| batch.density = 0.0));
        assert!(!with(|batch| batch.base_grams = 0.0) && !with(|batch| batch.dry_grams = -1.0));
        assert!(!with(|batch| batch.step_grams = 0.0) && !with(|batch| batch.volume_millilitres = 0.0));
        assert!(!with(|batch| batch.base_grams = 1e12) && !with(|batch| batch.density = f64::NAN));
        assert!(!with(|batch| batch.lines[0].grams = -0.1) && !with(|batch| batch.water_millilitres = 1e12));
    }

    #[test]
    fn the_same_ticket_is_the_same_powder_on_the_same_day() {
        let one = |glaze: &str, grams: [f64; 2]| Booking {
            glaze: glaze.to_owned(),
            lines: vec![line("Kaolin", None, grams[0]), line("silica", None, grams[1])],
            ..booking("14")
        };
        let first = one("Lamplight clear", [100.0, 300.0]);
        let mut turned = one("lamplight Clear", [100.0, 300.0002]);
        turned.lines.reverse();
        assert!(first.same_ticket(&turned));
        assert!(!first.same_ticket(&one("Lamplight clear", [100.0, 300.001])));
        assert!(!first.same_ticket(&one("Lamplight matt", [100.0, 300.0])));
        let mut other_day = turned.clone();
        other_day.on = other_day.on.plus_days(1);
        assert!(!first.same_ticket(&other_day));
    }

    #[test]
    fn a_number_holds_twenty_four_signs_and_its_count_twelve_digits() {
        let reads = |signs: usize| BatchNumber::parse(&"b".repeat(signs)).is_ok();
        assert!(reads(24) && !reads(25));
        let count = |text: &str| BatchNumber::parse(text).ok().and_then(|number| number.count());
        assert_eq!(
            (count("999999999999"), count("9999999999999")),
            (Some(999_999_999_999), None)
        );
        assert_eq!(BatchNumber::counted(14).text(), "14");
    }
}
