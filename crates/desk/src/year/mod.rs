//! A year of the studio: what was mixed, fired, seen, used up and learnt.

mod seen;
mod tiles;

use std::borrow::Cow;
use std::collections::HashMap;

use glost_chemistry::diagnostic::{Diagnostic, is_no};
use glost_chemistry::material::Material;
use glost_chemistry::quantity::{Date, Grams};
use glost_chemistry::read::{folding, same_name};
use glost_core::evidence::firings::{Firing, FiringKind};
use glost_core::workshop::batches::Booking;
use glost_core::workshop::cost::cost;
use serde::{Serialize, Serializer};

use crate::notebook::Book;
use crate::{Desk, Failure, PageFile, Words};

pub use seen::{LotSeen, WareSeen};
pub use tiles::{Became, PlanMade};

/// Years that a book may be of.
const YEARS: std::ops::RangeInclusive<i64> = 1900..=2200;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The year; none: this one.
    pub year: Option<i64>,
    /// The page to print.
    pub page: Option<PageFile>,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let year = words.text("year").map(|text| {
            // What is no number is told with the rest.
            let year = text.trim().parse().ok().filter(|year| YEARS.contains(year));
            year.ok_or_else(|| Diagnostic::error("bad-option", is_no(text, "year")).help("write it such as 2026"))
        });
        Ok(Question {
            year: year.transpose()?,
            page: words.page("page")?,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let today = desk.today()?;
        let year = self.year.unwrap_or_else(|| today.year());
        // What the book of batches holds of other years is gone again before the notebook is read.
        let bookings = bookings(desk, year);
        let book = Book::open(desk, today)?;
        let (bookings, cautions) = bookings?;
        desk.tell(cautions);
        let (firings, complaints) = desk.workplace().kiln_book()?;
        desk.tell(complaints);
        let firings: Vec<&Firing> = firings.standing().filter(|firing| firing.on.year() == year).collect();
        let glazes = desk.all_recipes();
        let (ware, lots) = seen::of(&book, year);
        let mut shelf = Priced::of(desk);
        Ok(Answer {
            year,
            so_far: year == today.year(),
            batches: mixed(&mut shelf, &bookings),
            spent: Spent::of(&mut shelf, &bookings),
            firings: Fired::of(&firings),
            ware,
            lots,
            ran_out: ran_out(&bookings),
            plans: tiles::made(desk, &book, &glazes, year),
            page: self.page.clone(),
        })
    }
}

/// The batches of a year that stand.
fn bookings(desk: &Desk, year: i64) -> Result<(Vec<Booking>, Vec<Diagnostic>), Failure> {
    let Some(book) = desk.workplace().batch_book() else {
        return Ok(Default::default());
    };
    let read = book.read()?;
    let standing = read.journal.batches.into_iter().filter(|batch| batch.stands());
    let of_year = standing
        .map(|batch| batch.booking)
        .filter(|booking| booking.on.year() == year);
    Ok((of_year.map(|booking| *booking).collect(), read.cautions))
}

/// What was mixed of one glaze.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Mixed {
    /// The glaze.
    pub glaze: String,
    /// Batches.
    pub batches: usize,
    /// Dry kilograms.
    pub kilograms: f64,
    /// What the materials cost at today's prices; the least where one is unknown.
    pub cost: Option<f64>,
}

/// The materials that batches name, each looked up once.
struct Priced<'a> {
    desk: &'a Desk,
    known: HashMap<&'a str, Option<&'a Material>>,
}

impl<'a> Priced<'a> {
    fn of(desk: &'a Desk) -> Priced<'a> {
        Priced {
            desk,
            known: HashMap::new(),
        }
    }

    fn find(&mut self, name: &'a str) -> Option<&'a Material> {
        let library = self.desk.workplace().library();
        *self
            .known
            .entry(name)
            .or_insert_with(|| library.find(name).map(|material| &**material))
    }
}

fn mixed<'a>(shelf: &mut Priced<'a>, bookings: &'a [Booking]) -> Vec<Mixed> {
    let mut found: Vec<Mixed> = Vec::new();
    let mut places: HashMap<Cow<'_, str>, usize> = HashMap::new();
    for booking in bookings {
        let kilograms = booking.dry_grams / 1000.0;
        let amount = Spent::of(shelf, std::slice::from_ref(booking)).amount;
        let place = *places.entry(folding(&booking.glaze)).or_insert(found.len());
        match found.get_mut(place) {
            Some(known) => {
                known.batches += 1;
                known.kilograms += kilograms;
                known.cost = amount.map(|amount| amount + known.cost.unwrap_or(0.0)).or(known.cost);
            }
            None => found.push(Mixed {
                glaze: booking.glaze.clone(),
                batches: 1,
                kilograms,
                cost: amount,
            }),
        }
    }
    found.sort_by(|a, b| b.kilograms.total_cmp(&a.kilograms));
    found
}

/// What the year's batches cost in materials, at today's prices.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Spent {
    /// The sum; the least where a price is unknown, null where all are.
    pub amount: Option<f64>,
    /// Its currency.
    pub currency: Option<String>,
    /// Materials whose price isn't known, or that are no longer there.
    pub unknown: Vec<String>,
}

impl Spent {
    fn of<'a>(shelf: &mut Priced<'a>, bookings: &'a [Booking]) -> Spent {
        let (mut found, mut gone) = (Vec::new(), Vec::new());
        for line in bookings.iter().flat_map(|booking| &booking.lines) {
            match shelf.find(&line.material) {
                Some(material) => found.push((material, line.grams)),
                None => gone.push(line.material.clone()),
            }
        }
        let currency = shelf.desk.workplace().settings().currency.as_deref();
        let cost = cost(found.into_iter(), currency);
        let mut unknown: Vec<String> = cost.unknown.iter().map(|unpriced| unpriced.material.clone()).collect();
        unknown.extend(gone);
        unknown.sort();
        unknown.dedup();
        Spent {
            amount: cost.amount,
            currency: cost.currency,
            unknown,
        }
    }
}

/// The year's firings.
#[derive(Debug, Clone, Default, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Fired {
    /// All of them.
    pub count: usize,
    /// Biscuit firings.
    pub biscuit: usize,
    /// Glost firings, once-fired ones among them.
    pub glost: usize,
    /// Those that went a cone or more off what was meant.
    pub missed: usize,
    /// Those that nobody noted as opened.
    pub not_opened: usize,
    /// Pieces that were loaded, where it was said.
    pub pieces: u64,
}

impl Fired {
    fn of(firings: &[&Firing]) -> Fired {
        let biscuit = firings
            .iter()
            .filter(|firing| firing.kind == FiringKind::Biscuit)
            .count();
        Fired {
            count: firings.len(),
            biscuit,
            glost: firings.len() - biscuit,
            missed: firings.iter().filter(|firing| firing.missed().is_some()).count(),
            not_opened: firings.iter().filter(|firing| firing.opened.is_none()).count(),
            pieces: firings.iter().map(|firing| firing.pieces()).sum(),
        }
    }
}

/// A material whose count on the shelf came to nothing.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct RanOut {
    /// The material, with its lot where several are listed.
    pub material: String,
    /// The day.
    #[schemars(with = "String")]
    pub on: Date,
    /// The batch that took the last of it.
    pub batch: String,
    /// What it was short of, g.
    #[schemars(with = "f64")]
    #[serde(serialize_with = "grams")]
    pub short: Grams,
}

fn grams<S: Serializer>(grams: &Grams, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_f64(grams.grams())
}

/// Stocks that a batch took to nothing, the first time in the year that each did.
fn ran_out(bookings: &[Booking]) -> Vec<RanOut> {
    let mut found: Vec<RanOut> = Vec::new();
    for booking in bookings {
        for moved in &booking.stock {
            let empty = moved.before_grams > 0.0 && moved.after_grams() <= 0.0 || moved.short_grams > 0.0;
            let known = || found.iter().any(|known| same_name(&known.material, &moved.whose()));
            if let (true, Some(short)) = (empty, Grams::new(moved.short_grams))
                && !known()
            {
                found.push(RanOut {
                    material: moved.whose(),
                    on: booking.on,
                    batch: booking.number.text().to_owned(),
                    short,
                });
            }
        }
    }
    found
}

/// A year.
#[derive(Debug, Clone)]
pub struct Answer {
    /// Which.
    pub year: i64,
    /// Whether it isn't over.
    pub so_far: bool,
    /// What was mixed, the most first.
    pub batches: Vec<Mixed>,
    /// What that cost.
    pub spent: Spent,
    /// What was fired.
    pub firings: Fired,
    /// What was seen of each glaze on each clay.
    pub ware: Vec<WareSeen>,
    /// What was seen of each lot, where any of it crazed.
    pub lots: Vec<LotSeen>,
    /// What ran out.
    pub ran_out: Vec<RanOut>,
    /// Plans of tiles.
    pub plans: Vec<PlanMade>,
    /// The page to print.
    pub page: Option<PageFile>,
}

impl Answer {
    /// Whether nothing at all is on record.
    pub fn is_empty(&self) -> bool {
        self.batches.is_empty() && self.firings.count == 0 && self.ware.is_empty() && self.plans.is_empty()
    }

    /// Batches of all glazes.
    pub fn batch_count(&self) -> usize {
        self.batches.iter().map(|mixed| mixed.batches).sum()
    }

    /// Dry kilograms of all glazes.
    pub fn kilograms(&self) -> f64 {
        // A sum of nothing is -0.0.
        self.batches.iter().map(|mixed| mixed.kilograms).sum::<f64>() + 0.0
    }
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    year: i64,
    so_far: bool,
    batches: usize,
    kilograms: f64,
    glazes: &'a [Mixed],
    cost: &'a Spent,
    firings: &'a Fired,
    seen: &'a [WareSeen],
    lots: &'a [LotSeen],
    ran_out: &'a [RanOut],
    tiles: usize,
    plans: &'a [PlanMade],
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        AnswerJson {
            year: self.year,
            so_far: self.so_far,
            batches: self.batch_count(),
            kilograms: self.kilograms(),
            glazes: &self.batches,
            cost: &self.spent,
            firings: &self.firings,
            seen: &self.ware,
            lots: &self.lots,
            ran_out: &self.ran_out,
            tiles: self.plans.iter().map(|plan| plan.tiles).sum(),
            plans: &self.plans,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);
