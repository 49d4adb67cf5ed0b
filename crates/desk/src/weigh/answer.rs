//! A weighing ticket as it is answered.

use glost_chemistry::glaze::Glaze;
use glost_chemistry::oxides::Oxide;
use glost_chemistry::quantity::{Grams, Millilitres};
use glost_core::workshop::batches::{Booking, on_shelf};
use glost_core::workshop::cost;
use glost_core::workshop::scales::WayOut;
use glost_core::workshop::slurry::Sieve;
use glost_core::workshop::ticket::{self, Ticket, TicketLine};
use serde::Serialize;

use super::lots;
use crate::wire::Amounts;
use crate::{PageFile, Said, sieve};

/// The sieve named on a ticket: 80 to 120 mesh is what the books say (C. F. Binns;
/// G. J. Cox 1914).
const USUAL_MESH: u32 = 80;
/// A change of the unity formula smaller than this isn't worth a line.
const SMALLEST_CHANGE: f64 = 0.005;
/// Below this distance a weighed recipe counts as the asked one.
const SMALLEST_DISTANCE: f64 = 0.5;

/// A weighing ticket.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct Answer {
    /// The glaze.
    pub glaze: String,
    /// Its cone.
    pub cone: Option<String>,
    /// The clay it goes on.
    pub clay: Option<String>,
    /// The version that the notebook has this recipe as.
    pub version: Option<String>,
    /// What to weigh, in order.
    pub lines: Vec<Line>,
    /// Grams of base.
    pub base_grams: f64,
    /// Grams of all lines.
    pub dry_grams: f64,
    /// Water.
    pub water_millilitres: f64,
    /// The part of it to begin with.
    pub water_first_millilitres: f64,
    /// Slurry.
    pub volume_millilitres: f64,
    /// Its density, g/ml.
    pub density: f64,
    /// Its density for the lightest powder.
    pub density_low: f64,
    /// And for the heaviest.
    pub density_high: f64,
    /// The powder's grain density, g/ml.
    pub powder_density: f64,
    /// What that may be off by.
    pub powder_density_plus_minus: f64,
    /// Unity formula of what is weighed less that of the recipe, in moles.
    pub unity_change: Amounts,
    /// The chemistry distance between the two, in tolerances.
    pub distance: Option<f64>,
    /// Weights off by more than 5 %.
    pub cannot_weigh: Vec<Coarse>,
    /// Weights off by 2 to 5 %.
    pub weighed_roughly: Vec<Coarse>,
    /// Cautions from what is in this batch.
    pub cautions: Vec<Said>,
    /// What it costs.
    pub cost: Cost,
    /// What goes with the numbers.
    pub assumptions: Vec<Said>,
    /// The batch's number.
    pub batch: Option<String>,
    /// Whether it was booked.
    pub booked: bool,
    /// What it takes from the shelf.
    pub stock: Vec<Stock>,
    /// Materials that nothing is taken off for.
    pub stock_not_stated: Vec<String>,
    /// What it is filled into.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub into: Option<Filled>,
    /// The sum as one does it by hand, where it is asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub steps: Option<Vec<crate::by_hand::Line>>,
    /// What rounding to the scales does to the fired glaze; `None` without chemistry.
    #[serde(skip)]
    pub rounding: Option<Rounding>,
    /// The step of the scales.
    #[serde(skip)]
    pub step: Grams,
    /// The studio's cup.
    #[serde(skip)]
    pub cup: Millilitres,
    /// The sieve to name.
    pub sieve: Option<NamedSieve>,
    /// How it was booked.
    #[serde(skip)]
    pub booking: Option<Booking>,
    /// The page to print it on.
    #[serde(skip)]
    pub page: Option<PageFile>,
}

/// Who says which sieve.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WhoseSieve {
    /// The glaze's own file.
    Glaze,
    /// The studio's.
    Studio,
    /// Nobody: what the books say.
    Usual,
}

/// The sieve that a batch goes through.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct NamedSieve {
    /// As whoever names it says it.
    pub said: String,
    /// Who names it.
    pub of: WhoseSieve,
    /// Its opening, where it is one of the standard's.
    pub micrometres: Option<f64>,
}

fn named_sieve(bench: &Bench<'_>) -> Option<NamedSieve> {
    let said = |text: &String, of| NamedSieve {
        micrometres: sieve::opening_of(text),
        said: text.clone(),
        of,
    };
    let own = bench
        .glaze
        .about
        .sieve
        .as_ref()
        .map(|text| said(text, WhoseSieve::Glaze));
    let studios = || bench.studio_sieve.map(|text| said(text, WhoseSieve::Studio));
    let usual = || {
        Sieve::with_mesh(USUAL_MESH).map(|sieve| NamedSieve {
            said: format!("{} mesh", sieve.mesh),
            of: WhoseSieve::Usual,
            micrometres: Some(sieve.micrometres),
        })
    };
    own.or_else(studios).or_else(usual)
}

/// A batch in its containers.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Filled {
    /// How many.
    pub count: u32,
    /// One of them in a word.
    pub one: String,
    /// What goes into each.
    pub each_millilitres: f64,
}

/// One material to weigh.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Line {
    /// Its name.
    pub material: String,
    /// Grams on the scales.
    pub grams: f64,
    /// Grams in the bowl after it.
    pub running: f64,
    /// The weight in weighings that the scales can carry, grams.
    pub weighings: Vec<f64>,
    /// Whether it comes on top of the base.
    pub addition: bool,
    /// The lot it is taken from.
    pub lot: Option<String>,
    /// Lots that stand open beside it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub other_lots: Vec<OtherLot>,
}

/// A lot that something could be taken from, too.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct OtherLot {
    /// What stands on its bags.
    pub lot: String,
    /// What there is of it.
    pub stock_grams: f64,
}

/// A weight that the scales can't show well enough.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Coarse {
    /// The material.
    pub material: String,
    /// Grams wanted, unrounded.
    pub grams: f64,
    /// Half a step over the weight, per cent.
    pub error_percent: f64,
    /// What else to do.
    #[schemars(with = "serde_json::Value")]
    pub ways_out: WayOut,
}

/// What a batch costs.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Cost {
    /// The sum of what is known.
    pub amount: Option<f64>,
    /// Its currency.
    pub currency: Option<String>,
    /// Materials whose price isn't known, or in another currency.
    pub unknown: Vec<String>,
    /// The material that costs most, and its amount.
    #[serde(skip)]
    pub dearest: Option<(String, f64)>,
}

/// What a batch takes, or took, of a stated stock.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Stock {
    /// The material.
    pub material: String,
    /// The lot whose stock it is, where several are open.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lot: Option<String>,
    /// Grams before.
    pub before_grams: f64,
    /// Grams taken.
    pub taken_grams: f64,
    /// Grams after.
    pub after_grams: f64,
    /// Grams missing.
    pub short_grams: f64,
    /// The change in the studio's file, where it was booked.
    #[serde(flatten)]
    pub text: Option<StockText>,
}

/// A stock's text in its file.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct StockText {
    /// The file below the studio's folder.
    pub file: String,
    /// The text before.
    pub before: String,
    /// The text after.
    pub after: String,
}

/// What rounding to the scales does.
#[derive(Debug, Clone, PartialEq)]
pub enum Rounding {
    /// Nothing that matters.
    Nothing,
    /// It moves these oxides of the unity formula, moles each; none: a little of each.
    Moves(Vec<(Oxide, f64)>),
}

/// What a ticket is weighed with.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bench<'a> {
    pub(crate) glaze: &'a Glaze,
    pub(crate) step: Grams,
    pub(crate) cup: Millilitres,
    /// The sieve that the studio always uses.
    pub(crate) studio_sieve: Option<&'a String>,
}

/// A ticket as an answer, without a number and not booked.
pub(crate) fn answer_of(bench: Bench<'_>, ticket: Ticket) -> Answer {
    let rounding = rounding(&ticket);
    let mut assumptions: Vec<Said> = ticket.assumptions.into_iter().map(Said::Wetting).collect();
    for said in bench.glaze.material_assumptions().iter().map(Said::from) {
        if !assumptions.contains(&said) {
            assumptions.push(said);
        }
    }
    let mut answer = Answer {
        glaze: bench.glaze.name.clone(),
        cone: bench.glaze.about.cone.clone(),
        clay: bench.glaze.about.clay.clone(),
        version: None,
        lines: ticket.lines.iter().map(line).collect(),
        base_grams: ticket.base_grams,
        dry_grams: ticket.dry_grams,
        water_millilitres: ticket.water_millilitres,
        water_first_millilitres: ticket.first_water_millilitres,
        volume_millilitres: ticket.volume_millilitres,
        density: ticket.density,
        density_low: ticket.density_between.0,
        density_high: ticket.density_between.1,
        powder_density: ticket.powder_density.value(),
        powder_density_plus_minus: ticket.powder_density.plus_minus(),
        // Without chemistry there is no change to tell of.
        unity_change: ticket
            .unity_change
            .as_deref()
            .map_or_else(Amounts::default, Amounts::oxides),
        distance: ticket.distance,
        cannot_weigh: ticket.cannot_weigh.into_iter().map(coarse).collect(),
        weighed_roughly: ticket.roughly.into_iter().map(coarse).collect(),
        cautions: ticket.cautions.into_iter().map(Said::Hazard).collect(),
        cost: cost_of(ticket.cost),
        assumptions,
        batch: None,
        booked: false,
        stock: would_take(&ticket.lines),
        stock_not_stated: Vec::new(),
        into: None,
        steps: None,
        rounding,
        step: bench.step,
        cup: bench.cup,
        sieve: named_sieve(&bench),
        booking: None,
        page: None,
    };
    answer.tell_not_stated();
    answer
}

impl Answer {
    /// With its number, and as it was booked.
    pub(super) fn numbered(&mut self, batch: Option<String>, booking: Option<Booking>) {
        self.batch = batch;
        self.booked = booking.is_some();
        if let Some(booking) = &booking {
            self.stock = taken(booking);
            self.tell_not_stated();
        }
        self.booking = booking;
    }

    fn tell_not_stated(&mut self) {
        let stated = |name: &str| self.stock.iter().any(|one| one.material == name);
        let names = self.lines.iter().map(|line| line.material.clone());
        self.stock_not_stated = names.filter(|name| !stated(name)).collect();
    }
}

fn line(line: &TicketLine) -> Line {
    Line {
        material: line.material.name.clone(),
        grams: line.grams,
        running: line.running,
        weighings: line.weighings.clone(),
        addition: line.is_addition,
        lot: line.material.lot.clone(),
        other_lots: lots::others(line)
            .map(|other| OtherLot {
                lot: other.lot.clone(),
                stock_grams: other.stock.grams(),
            })
            .collect(),
    }
}

fn coarse(line: ticket::Coarse) -> Coarse {
    Coarse {
        material: line.material,
        grams: line.grams,
        error_percent: line.error_percent,
        ways_out: line.way_out,
    }
}

fn cost_of(cost: cost::Cost) -> Cost {
    Cost {
        amount: cost.amount,
        currency: cost.currency,
        unknown: cost.unknown.iter().map(ToString::to_string).collect(),
        dearest: cost.dearest,
    }
}

fn rounding(ticket: &Ticket) -> Option<Rounding> {
    let change = ticket.unity_change.as_ref()?;
    let moved = change.iter().filter(|(_, by)| by.abs() >= SMALLEST_CHANGE);
    let moved: Vec<(Oxide, f64)> = moved.copied().collect();
    let near = ticket.distance.is_none_or(|distance| distance < SMALLEST_DISTANCE);
    Some(if near && moved.is_empty() {
        Rounding::Nothing
    } else {
        Rounding::Moves(moved)
    })
}

fn would_take(lines: &[TicketLine]) -> Vec<Stock> {
    let shelf = on_shelf(lines).into_iter();
    let stock = shelf.map(|stock| Stock {
        before_grams: stock.before_grams,
        taken_grams: stock.before_grams - stock.after_grams(),
        after_grams: stock.after_grams(),
        short_grams: stock.short_grams(),
        material: stock.material,
        lot: stock.lot,
        text: None,
    });
    stock.collect()
}

fn taken(booking: &Booking) -> Vec<Stock> {
    let moves = booking.stock.iter();
    let stock = moves.map(|one| Stock {
        material: one.material.clone(),
        lot: one.lot.clone(),
        before_grams: one.before_grams,
        taken_grams: one.taken_grams,
        after_grams: one.after_grams(),
        short_grams: one.short_grams,
        text: Some(StockText {
            file: one.file.clone(),
            before: one.before.clone(),
            after: one.after.clone(),
        }),
    });
    stock.collect()
}
