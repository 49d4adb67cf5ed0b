//! A kiln is opened: its pieces are of age 0 from then on.

use glost_chemistry::diagnostic::{Diagnostic, is_no};
use glost_chemistry::quantity::{Celsius, Cone, Date, NumberTrouble, parse_number};
use glost_core::evidence::firings::{Cooling, Firing, FiringKind, Firings, Opening};
use glost_core::evidence::notes::{self, Notes, TodaysRecipes, Versions};

use super::{KilnSaid, MAYBE_A_SLIP_CELSIUS, Opened, cone, day, described, find, pieces_from_kilns};
use crate::{Desk, Failure, Said, Words, due};

/// The longest soak that is believed, minutes.
const LONGEST_SOAK_MINUTES: f64 = 10_000.0;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The firing's id or name; none: the latest that isn't open yet.
    pub firing: Option<String>,
    /// The cone that bent.
    pub bent: Option<String>,
    /// The hottest it was.
    pub peak: Option<Celsius>,
    /// How long it was held there, minutes.
    pub soak_minutes: Option<f64>,
    /// How it cooled.
    pub cooled: Option<Cooling>,
    /// Whether its pieces don't count with those of other firings to its cone.
    pub apart: bool,
    /// The day; none: today.
    pub on: Option<Date>,
    /// Anything else.
    pub text: Option<String>,
}

impl crate::Question for Question {
    type Answer = Opened;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let ways = Cooling::ALL.map(|cooling| (cooling.word(), Some(cooling)));
        Ok(Question {
            firing: words.one_line("id"),
            bent: cone(words, "bent")?,
            peak: words.read("peak", Celsius::parse)?,
            soak_minutes: words.read("soak", parse_soak)?,
            cooled: match words.text("cooled") {
                None => None,
                Some(_) => words.choice("cooled", ways[0], &ways[1..])?,
            },
            apart: words.flag("apart"),
            on: words.read("on", Date::parse)?,
            text: words.one_line("text"),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Opened, Failure> {
        desk.workplace().kept_in()?;
        let today = desk.today()?;
        let on = day(self.on, today)?;
        let firing = desk.workplace().add_firings(|book| -> Result<_, Failure> {
            let firing = self.which(book)?;
            let opening = self.opening(book, firing, on)?;
            let line = opening.to_line();
            let opened = Firing {
                opened: Some(Opening {
                    line: book.line_count() + 1,
                    ..opening
                }),
                ..firing.clone()
            };
            Ok((vec![line], opened))
        })?;
        let mut opened = Opened::of(firing);
        opened.due = due_of(desk, &opened.firing, today)?;
        opened.cautions = cautions(&opened.firing).into_iter().map(Said::Kiln).collect();
        Ok(opened)
    }
}

impl Question {
    /// The firing that is meant, ready to be opened.
    fn which<'a>(&self, book: &'a Firings) -> Result<&'a Firing, Diagnostic> {
        let Some(text) = &self.firing else {
            return book.latest_closed().ok_or_else(|| none_waits(book));
        };
        // Of several of one name the one that isn't open yet is meant.
        let mut closed = book.standing().filter(|firing| firing.opened.is_none());
        let named = |firing: &&Firing| {
            let name = firing.firing.as_deref().map(glost_chemistry::read::folded);
            name == Some(glost_chemistry::read::folded(text))
        };
        let (one, more) = (closed.find(named), closed.any(|firing| named(&firing)));
        match one {
            Some(firing) if !more => Ok(firing),
            _ => find(book, text),
        }
    }

    fn opening(&self, book: &Firings, firing: &Firing, on: Date) -> Result<Opening, Diagnostic> {
        if let Some(void) = &firing.void {
            let message = format!("this firing was taken back on {}: {}", void.on, described(firing));
            return Err(Diagnostic::error("firing-void", message)
                .help(format!("`glost kiln --void {}` makes it stand again", void.id)));
        }
        if let Some(opened) = &firing.opened {
            let message = format!("this kiln was opened already, on {}: {}", opened.on, described(firing));
            return Err(Diagnostic::error("opened-already", message).help(format!(
                "was that wrong? `glost kiln --void {}` takes the opening back; then open it again",
                opened.id
            )));
        }
        if on < firing.on {
            let message = format!("{on} is before it was loaded: {}", described(firing));
            return Err(Diagnostic::error("opened-too-early", message).help("check the day, and which firing is meant"));
        }
        let opening = Opening {
            line: 0,
            id: String::new(),
            of: firing.id.clone(),
            on,
            cone_bent: self.bent.clone(),
            peak: self.peak,
            soak_minutes: self.soak_minutes,
            cooled: self.cooled,
            apart: self.apart,
            text: self.text.clone(),
        }
        .named();
        if book.has_id(&opening.id) {
            let error = Diagnostic::error("opening-void", "this very opening was written down and taken back");
            let void = book.taken_back_by(&opening.id).map(|void| void.id.clone());
            return Err(error.help(match void {
                Some(id) => format!("`glost kiln --void {id}` makes it stand again"),
                None => "change what differs now, or add --text".to_owned(),
            }));
        }
        Ok(opening)
    }
}

fn none_waits(book: &Firings) -> Diagnostic {
    let error = Diagnostic::error("nothing-loaded", "no load waits to be opened");
    match book.opened().last() {
        Some(last) => error.help(format!(
            "the last, {}, is open already; `glost kiln load --put ...` writes the next load down",
            described(last)
        )),
        None => error.help("write it down first: glost kiln load --put \"14 = 5 on white stoneware\""),
    }
}

/// The first looks at the pieces.
fn due_of(desk: &Desk, firing: &Firing, today: Date) -> Result<Vec<due::Due>, Failure> {
    let read = desk.workplace().batch_book().and_then(|book| book.read().ok());
    let batches = read.map(|read| read.journal);
    let pieces = pieces_from_kilns([firing], batches.as_ref());
    let (nothing, recipes) = (Notes::default(), TodaysRecipes::default());
    // Pieces that were opened in the past may be due already; nothing is of a later day.
    let seen_from = firing.opened.as_ref().map_or(today, |opened| opened.on.max(today));
    let list = notes::due(&nothing, &pieces, &Versions::default(), &recipes, seen_from);
    Ok(list.into_iter().map(|due| due::Due::of(due, today)).collect())
}

fn cautions(firing: &Firing) -> Vec<KilnSaid> {
    let mut said = Vec::new();
    let bent = firing.opened.as_ref().and_then(|opened| opened.cone_bent.clone());
    match (firing.missed(), &firing.cone_meant, bent) {
        (Some(cones), Some(meant), Some(bent)) => said.push(KilnSaid::Missed {
            cones,
            meant: meant.clone(),
            bent,
        }),
        (_, meant, None) if firing.kind != FiringKind::Biscuit => {
            said.push(KilnSaid::BentUnsaid { meant: meant.clone() })
        }
        _ => {}
    }
    said.extend(peak_far_from_cone(firing));
    said
}

fn peak_far_from_cone(firing: &Firing) -> Option<KilnSaid> {
    let peak = firing.opened.as_ref()?.peak?;
    let cone = firing.cone()?;
    let end = Cone::parse(cone).ok()?.end_point(None, None)?;
    let far = (peak.celsius() - end.celsius).abs() > MAYBE_A_SLIP_CELSIUS;
    far.then(|| KilnSaid::PeakFarFromCone {
        peak_celsius: peak.celsius(),
        cone: cone.to_owned(),
        cone_celsius: end.celsius,
    })
}

/// Reads minutes of a soak: `15 min`, `1 h`, `1.5 hours`.
///
/// # Errors
/// No number, no unit, or longer than any soak.
pub fn parse_soak(text: &str) -> Result<f64, NumberTrouble> {
    let trouble = || NumberTrouble {
        message: is_no(text.trim(), "time to soak"),
        help: Some("write it such as 15 min or 1 h".to_owned()),
    };
    let lower = text.trim().to_lowercase();
    let split = lower.find(char::is_alphabetic).unwrap_or(lower.len());
    let (amount, unit) = lower.split_at(split);
    let amount = parse_number(amount).map_err(|_| trouble())?.value;
    let minutes = match unit.trim() {
        "min" | "mins" | "minute" | "minutes" => amount,
        "h" | "hr" | "hrs" | "hour" | "hours" => 60.0 * amount,
        _ => return Err(trouble()),
    };
    (0.0..=LONGEST_SOAK_MINUTES)
        .contains(&minutes)
        .then_some(minutes)
        .ok_or_else(trouble)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_soak_says_its_unit() {
        assert_eq!(parse_soak("15 min").ok(), Some(15.0));
        assert_eq!(parse_soak("1.5h").ok(), Some(90.0));
        for wrong in ["", "15", "min", "-3 min", "3 days"] {
            assert!(parse_soak(wrong).is_err(), "{wrong}");
        }
    }
}
