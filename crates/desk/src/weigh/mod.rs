//! What to weigh for a batch, in which order, into how much water; and its booking.

mod answer;
mod booking;
mod lots;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::{Date, Grams, Millilitres, SaidVolume, plain};
use glost_core::workshop::batches::{BatchNumber, Containers};
use glost_core::workshop::label::parse_mark;
use glost_core::workshop::scales::{Scales, parse_scales};
use glost_core::workshop::ticket::{BatchSize, Ticket, TicketOrder, ticket};
use glost_studio::FoundGlaze;

use crate::by_hand;
use crate::making::{AskedWater, no_ticket, water};
use crate::recorded::recorded_version;
use crate::{Desk, Failure, PageFile, Words};

pub use answer::{Answer, Coarse, Cost, Filled, Line, NamedSieve, OtherLot, Rounding, Stock, StockText, WhoseSieve};
pub(crate) use answer::{Bench, answer_of};
pub use lots::AskedLot;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The glaze's name or file.
    pub glaze: String,
    /// How much to make.
    pub size: AskedSize,
    /// How wet, instead of the glaze's own.
    pub water: Option<AskedWater>,
    /// Other scales than the studio's.
    pub scales: Option<Scales>,
    /// Out of which open lot a material is taken, instead of the oldest.
    pub lots: Vec<AskedLot>,
    /// The batch's number.
    pub batch: Option<BatchNumber>,
    /// The ticket as a page to print.
    pub page: Option<PageFile>,
    /// What it is filled into.
    pub into: Option<Containers>,
    /// To be booked.
    pub commit: Option<Commit>,
    /// Whether the sum is shown as one does it by hand.
    pub steps: bool,
}

/// How much to make.
#[derive(Debug, Clone, PartialEq)]
pub enum AskedSize {
    /// So much base, and what the bucket holds, where that is told.
    Dry(Grams, Option<SaidVolume>),
    /// So much slurry.
    Bucket(SaidVolume),
}

/// How a batch is booked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Commit {
    /// The day it was mixed; none: today.
    pub on: Option<Date>,
    /// Who mixed it.
    pub by: Option<String>,
    /// The mark on its pieces.
    pub mark: Option<String>,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let size = match (words.weight("dry")?, words.said_volume("bucket")?) {
            (Some(dry), bucket) => AskedSize::Dry(dry, bucket),
            (None, Some(bucket)) => AskedSize::Bucket(bucket),
            (None, None) => return Err(Diagnostic::error("bad-call", "how much? say --dry or --bucket")),
        };
        let commit = Commit {
            on: words.read("on", Date::parse)?,
            by: words.one_line("by"),
            mark: words.read("mark", parse_mark)?,
        };
        Ok(Question {
            glaze: words.required("glaze")?.to_owned(),
            size,
            scales: words.read("scales", parse_scales)?,
            water: AskedWater::from_words(words)?,
            lots: lots::asked(words)?,
            batch: words.read("batch", BatchNumber::parse)?,
            page: words.page("page")?,
            into: words.read("into", Containers::parse)?,
            commit: words.flag("commit").then_some(commit),
            steps: words.flag("steps"),
        })
    }

    fn tells_where(words: &Words) -> bool {
        words.weight("dry").is_ok()
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let mut found = desk.glaze(&self.glaze)?;
        found.glaze = lots::out_of_lots(found.glaze, &self.lots)?;
        let scales = self.scales.unwrap_or(found.settings.scales);
        let order = self.order(&found, &scales)?;
        let made = self.ticket(&found, &order)?;
        let steps = self.steps.then(|| by_hand::of_ticket(&order, &made));
        let bench = Bench {
            studio_sieve: found.settings.sieve.as_ref(),
            glaze: &found.glaze,
            step: scales.reads_to,
            cup: found.settings.cup,
        };
        let booking = match &self.commit {
            Some(commit) => Some(booking::book(self, commit, desk, &found, &made, scales.reads_to)?),
            None => None,
        };
        let number = booking.as_ref().map(|booking| &booking.number).or(self.batch.as_ref());
        let batch = number.map(|number| number.text().to_owned());
        let version = match &booking {
            Some(booking) => booking.version.clone(),
            None => recorded_version(desk, &found.glaze, desk.today()?),
        };
        let mut answer = answer_of(bench, made);
        answer.version = version;
        answer.steps = steps;
        answer.page = self.page.clone();
        answer.into = self.into.as_ref().map(|into| filled(into, answer.volume_millilitres));
        answer.numbered(batch, booking);
        Ok(answer)
    }

    fn rehearsal(&self) -> Option<Question> {
        let prints_what_it_books = self.page.is_some() && self.commit.is_some();
        prints_what_it_books.then(|| Question {
            commit: None,
            ..self.clone()
        })
    }
}

impl crate::Answer for Answer {
    fn unwritten(&self, why: Diagnostic) -> Diagnostic {
        let Some(booking) = &self.booking else { return why };
        let number = booking.number.text();
        let help =
            format!("batch {number} is booked all the same; print its ticket with --batch {number} and no --commit");
        why.help(help)
    }
}

impl Question {
    fn order<'a>(&self, found: &'a FoundGlaze, scales: &Scales) -> Result<TicketOrder<'a>, Failure> {
        Ok(TicketOrder {
            glaze: &found.glaze,
            fluxes: &found.settings.fluxes,
            scales: *scales,
            size: match &self.size {
                AskedSize::Dry(dry, _) => BatchSize::Dry(*dry),
                AskedSize::Bucket(bucket) => BatchSize::Bucket(bucket.with_cup(found.settings.cup)),
            },
            water: water(self.water.as_ref(), found)?,
            currency: found.settings.currency.as_deref(),
        })
    }

    fn ticket(&self, found: &FoundGlaze, order: &TicketOrder<'_>) -> Result<Ticket, Failure> {
        let holds = match &self.size {
            AskedSize::Dry(_, bucket) => bucket.as_ref().map(|bucket| bucket.with_cup(found.settings.cup)),
            AskedSize::Bucket(_) => None,
        };
        let made = ticket(order).map_err(|why| no_ticket(found, &why, &order.scales))?;
        match holds.filter(|bucket| made.volume_millilitres > bucket.millilitres()) {
            Some(bucket) => Err(too_small(&made, bucket).into()),
            None => Ok(made),
        }
    }
}

/// As much in each.
fn filled(into: &Containers, volume_millilitres: f64) -> Filled {
    Filled {
        count: into.count,
        one: into.one.clone(),
        each_millilitres: volume_millilitres / f64::from(into.count),
    }
}

fn too_small(made: &Ticket, bucket: Millilitres) -> Diagnostic {
    let bucket = bucket.millilitres();
    let powder = made.dry_grams / made.powder_density.value();
    let message = if powder > bucket {
        format!(
            "the powder alone fills {:.1} l, the bucket holds {:.1} l",
            powder / 1000.0,
            bucket / 1000.0
        )
    } else {
        format!(
            "that makes {:.1} l of slurry, the bucket holds {:.1} l",
            made.volume_millilitres / 1000.0,
            bucket / 1000.0
        )
    };
    let fits = made.base_grams * bucket / made.volume_millilitres;
    Diagnostic::error("bucket-too-small", message).help(format!(
        "the most base for this bucket is {} g: leave --dry out and say --bucket alone",
        plain(fits.floor())
    ))
}
