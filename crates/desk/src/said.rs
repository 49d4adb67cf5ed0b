//! What the engine has to say in sentences, as data.
//!
//! The desk and everything below it know *what* is to be said; the words belong to
//! whoever talks to people. A door chooses them once, with [`speak_with`]; where
//! nobody did, the data itself is serialised.

use std::sync::{Arc, OnceLock};

use glost_chemistry::glass::MeltRefusal;
use glost_chemistry::quantity::ConeAssumption;
use glost_chemistry::{Assumption, OutsideModel};

use glost_core::evidence::laboratory::NoLonger;
use glost_core::evidence::notes::{Change, Note, StoryOdd};
use glost_core::evidence::window::{FitSaid, WhyNot};
use glost_core::intake::bag::{Guess, Mended, Reason};
use glost_core::intake::notebook::{Doubt, FileRemark};
use glost_core::recipes::affected::NoNumbers;
use glost_core::recipes::convert::NotSummed;
use glost_core::rules::{Finding, Message};
use glost_core::tiles::blend::{UnlikeEnds, Way};
use glost_core::workshop::{batches, cost, hazards, slurry, wetting};
use serde::{Serialize, Serializer};

use crate::adjust::{LadderSaid, SideEffect};
use crate::affected::Happened;
use crate::booked::Amiss;
use crate::clay::ClayWords;
use crate::convert::Assumed;
use crate::due::Task;
use crate::kiln::KilnSaid;
use crate::label::Saying;
use crate::looked::{ProposalJson, ProposalSaid};
use crate::melt::MeltSaid;
use crate::note::Noticed;
use crate::results::{Taught, TaughtWord, TilesSaid};
use crate::unity::UnitySaid;
use crate::wire::NoteJson;

/// How what is said gets its words.
pub type Tongue = fn(&Said) -> String;

static TONGUE: OnceLock<Tongue> = OnceLock::new();

/// Chooses the words of every answer of this process. The first choice stands.
pub fn speak_with(tongue: Tongue) {
    TONGUE.get_or_init(|| tongue);
    glost_script::speak_of_fit(|said| words_of(&Said::Fit(said.clone())));
}

/// One thing that is said beside an answer: an assumption, a caution, a doubt.
#[derive(Debug, Clone, PartialEq)]
pub enum Said {
    /// A material counts as its sheet says.
    AsOnSheet {
        /// The material.
        material: String,
        /// Where its analysis comes from.
        provenance: String,
        /// Its lot, where one is open.
        lot: Option<String>,
    },
    /// Beside a note.
    Note(Noticed),
    /// What a look saw: counts, age, grades, report.
    Seen(Box<Note>),
    /// Why a note isn't counted.
    NotCounted(Box<WhyNot>),
    /// What changed between two versions of a recipe.
    Change(Change),
    /// Something that is due.
    ToDo(Box<Task>),
    /// The call that notes it once it is done.
    Command(Box<Task>),
    /// What a change of a recipe moves besides the expansion.
    SideEffect(SideEffect),
    /// Of a series of tiles for a powder.
    Ladder(LadderSaid),
    /// Beside a clay's numbers.
    Clay(ClayWords),
    /// Of a proposed recipe.
    Proposal(ProposalSaid),
    /// What is uncertain on a notebook page.
    OfPage(Doubt),
    /// The same of one of its lines.
    OfPageLine {
        /// The line's number.
        line: usize,
        /// Its text.
        text: String,
        /// What is doubtful.
        doubt: Doubt,
    },
    /// In the file of a recipe that was read from a page.
    InGlazeFile(FileRemark),
    /// Why the melt curve gives no number.
    MeltRefused(MeltRefusal),
    /// Beside a melt.
    Melt(MeltSaid),
    /// A batch that can harm.
    Hazard(hazards::Caution),
    /// Powder and water.
    Wetting(wetting::Assumption),
    /// A wet bucket.
    Bucket(slurry::Caution),
    /// A dose goes by another name here.
    TakenAs {
        /// As typed.
        typed: String,
        /// The material.
        material: String,
    },
    /// How much glaze goes on the ware.
    Usual(cost::Usual),
    /// How differences between two batches are ranked.
    Ranked(batches::Ranked),
    /// A batch's number that the book doesn't bear out.
    Batch(Amiss),
    /// Beside a firing.
    Kiln(KilnSaid),
    /// Why a laboratory's report no longer speaks of a glaze.
    NoLonger(NoLonger),
    /// What stands on a label.
    Label(Saying),
    /// What happens to a studio's materials.
    Happened(Happened),
    /// Why there are no numbers of what an event does to a glaze.
    NoNumbers(NoNumbers),
    /// Of a glaze's unity formula.
    Unity(UnitySaid),
    /// Without flux no change of the unity formula is shown.
    NoFluxNoChange,
    /// What a conversion takes for granted.
    Conversion(Assumed),
    /// What the sum of a conversion doesn't tell.
    NotSummed(NotSummed),
    /// Why a bag's label was read so.
    BagReason(Reason),
    /// What is guessed of a bag's label.
    BagGuess(Guess),
    /// The entry of a materials file that a bag's label becomes.
    BagEntry(Box<Mended>),
    /// Beside a glaze's fit on a clay.
    Fit(FitSaid),
    /// What can't all be true of one batch.
    Odd(StoryOdd),
    /// Beside graded tiles.
    Tiles(TilesSaid),
    /// What graded tiles taught.
    Taught(Arc<Taught>, TaughtWord),
    /// What a table leaves open.
    OpenInTable(Box<glost_core::intake::table::Open>),
    /// What stands beside exported tables.
    ReadMe(Vec<crate::export::Written>),
    /// What a recipe, a sheet or a model takes for granted.
    Assumed(Assumption),
    /// What the end point of a cone takes for granted.
    Cone(ConeAssumption),
    /// In which way a glaze lies outside what a model was checked for.
    Outside(OutsideModel),
    /// What a check found.
    Found(Box<Finding>),
    /// A range of chosen limits.
    Range {
        /// The least it allows.
        low: Option<f64>,
        /// The most.
        high: Option<f64>,
    },
    /// How the tiles of a blend are made.
    Way(Way),
    /// In what the ends of a blend are unlike.
    Ends(UnlikeEnds),
    /// What a script, a file or a user wrote.
    Text(String),
}

/// In the words of this process; the data where none were chosen.
pub(crate) fn words_of(said: &Said) -> String {
    match TONGUE.get() {
        Some(tongue) => tongue(said),
        None => format!("{said:?}"),
    }
}

/// The same without words.
#[derive(Serialize)]
#[serde(rename_all = "snake_case")]
enum Bare<'a> {
    AsOnSheet {
        material: &'a str,
        provenance: &'a str,
        lot: Option<&'a str>,
    },
    Note(&'a Noticed),
    Seen(NoteJson<'a>),
    NotCounted(&'a WhyNot),
    Change(&'a Change),
    ToDo(&'a Task),
    Command(&'a Task),
    SideEffect(&'a SideEffect),
    Ladder(&'a LadderSaid),
    Clay(&'a ClayWords),
    Proposal(ProposalJson<'a>),
    OfPage(&'a Doubt),
    OfPageLine {
        line: usize,
        text: &'a str,
        doubt: &'a Doubt,
    },
    InGlazeFile(&'a FileRemark),
    Melt(&'a MeltSaid),
    MeltRefused {
        of: &'static str,
        oxide: Option<&'static str>,
    },
    Hazard(&'a hazards::Caution),
    Wetting(&'a wetting::Assumption),
    Bucket(&'a slurry::Caution),
    TakenAs {
        typed: &'a str,
        material: &'a str,
    },
    Usual(cost::Usual),
    Ranked(batches::Ranked),
    Batch(&'a Amiss),
    Kiln(&'a KilnSaid),
    NoLonger(&'a NoLonger),
    Label(&'a Saying),
    Happened(&'a Happened),
    NoNumbers(&'a NoNumbers),
    Unity(&'a UnitySaid),
    NoFluxNoChange,
    Conversion(&'a Assumed),
    NotSummed(&'a NotSummed),
    BagReason(&'a Reason),
    BagGuess(&'a Guess),
    BagEntry(&'a str),
    Fit(&'a FitSaid),
    Odd(&'a StoryOdd),
    Tiles(&'a TilesSaid),
    Taught(TaughtWord),
    OpenInTable(String),
    ReadMe(&'a [crate::export::Written]),
    Assumed(&'a Assumption),
    Cone(&'a ConeAssumption),
    Outside(&'a OutsideModel),
    Found(&'a Message),
    Range {
        low: Option<f64>,
        high: Option<f64>,
    },
    Way(Way),
    Ends(&'a UnlikeEnds),
    Text(&'a str),
}

/// What a refusal is about, in a word.
fn refused(refusal: &MeltRefusal) -> Bare<'static> {
    let (of, oxide) = match refusal {
        MeltRefusal::Oxide { oxide, .. } => ("oxide", Some(oxide.formula())),
        MeltRefusal::FluxesHardlyAboveAlumina { .. } => ("fluxes hardly above alumina", None),
        MeltRefusal::FluxesFarAboveAlumina { .. } => ("fluxes far above alumina", None),
        MeltRefusal::Unlike { .. } => ("unlike", None),
        MeltRefusal::UnknownOxides { .. } => ("unknown oxides", None),
        MeltRefusal::Temperature { .. } => ("temperature", None),
    };
    Bare::MeltRefused { of, oxide }
}

impl Serialize for Said {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        if let Some(tongue) = TONGUE.get() {
            return to.serialize_str(&tongue(self));
        }
        match self {
            Said::AsOnSheet {
                material,
                provenance,
                lot,
            } => Bare::AsOnSheet {
                material,
                provenance,
                lot: lot.as_deref(),
            },
            Said::Note(noticed) => Bare::Note(noticed),
            Said::Seen(note) => Bare::Seen(NoteJson(note)),
            Said::NotCounted(why) => Bare::NotCounted(why),
            Said::Change(change) => Bare::Change(change),
            Said::ToDo(task) => Bare::ToDo(task),
            Said::Command(task) => Bare::Command(task),
            Said::SideEffect(effect) => Bare::SideEffect(effect),
            Said::Ladder(said) => Bare::Ladder(said),
            Said::Clay(words) => Bare::Clay(words),
            Said::Proposal(said) => Bare::Proposal(said.into()),
            Said::OfPage(doubt) => Bare::OfPage(doubt),
            Said::OfPageLine { line, text, doubt } => Bare::OfPageLine {
                line: *line,
                text,
                doubt,
            },
            Said::InGlazeFile(remark) => Bare::InGlazeFile(remark),
            Said::MeltRefused(refusal) => refused(refusal),
            Said::Melt(said) => Bare::Melt(said),
            Said::Hazard(caution) => Bare::Hazard(caution),
            Said::Wetting(assumption) => Bare::Wetting(assumption),
            Said::Bucket(caution) => Bare::Bucket(caution),
            Said::TakenAs { typed, material } => Bare::TakenAs { typed, material },
            Said::Usual(usual) => Bare::Usual(*usual),
            Said::Ranked(ranked) => Bare::Ranked(*ranked),
            Said::Batch(amiss) => Bare::Batch(amiss),
            Said::Kiln(said) => Bare::Kiln(said),
            Said::NoLonger(why) => Bare::NoLonger(why),
            Said::Label(saying) => Bare::Label(saying),
            Said::Happened(happened) => Bare::Happened(happened),
            Said::NoNumbers(why) => Bare::NoNumbers(why),
            Said::Unity(said) => Bare::Unity(said),
            Said::NoFluxNoChange => Bare::NoFluxNoChange,
            Said::Conversion(assumed) => Bare::Conversion(assumed),
            Said::NotSummed(note) => Bare::NotSummed(note),
            Said::BagReason(reason) => Bare::BagReason(reason),
            Said::BagGuess(guess) => Bare::BagGuess(guess),
            Said::BagEntry(mended) => Bare::BagEntry(&mended.name),
            Said::Fit(said) => Bare::Fit(said),
            Said::Odd(odd) => Bare::Odd(odd),
            Said::Tiles(said) => Bare::Tiles(said),
            Said::Taught(_, word) => Bare::Taught(*word),
            Said::OpenInTable(open) => Bare::OpenInTable(format!("{open:?}")),
            Said::ReadMe(tables) => Bare::ReadMe(tables),
            Said::Assumed(assumed) => Bare::Assumed(assumed),
            Said::Cone(assumed) => Bare::Cone(assumed),
            Said::Outside(outside) => Bare::Outside(outside),
            Said::Found(finding) => Bare::Found(&finding.message),
            Said::Range { low, high } => Bare::Range { low: *low, high: *high },
            Said::Way(way) => Bare::Way(*way),
            Said::Ends(unlike) => Bare::Ends(unlike),
            Said::Text(text) => Bare::Text(text),
        }
        .serialize(to)
    }
}

impl From<&FitSaid> for Said {
    fn from(said: &FitSaid) -> Said {
        Said::Fit(said.clone())
    }
}

impl From<&StoryOdd> for Said {
    fn from(odd: &StoryOdd) -> Said {
        Said::Odd(odd.clone())
    }
}

impl From<&Assumption> for Said {
    fn from(assumed: &Assumption) -> Said {
        Said::Assumed(assumed.clone())
    }
}

impl From<&OutsideModel> for Said {
    fn from(outside: &OutsideModel) -> Said {
        Said::Outside(outside.clone())
    }
}

impl From<&UnlikeEnds> for Said {
    fn from(unlike: &UnlikeEnds) -> Said {
        Said::Ends(unlike.clone())
    }
}

impl From<&String> for Said {
    fn from(text: &String) -> Said {
        Said::Text(text.clone())
    }
}

impl schemars::JsonSchema for Said {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Said".into()
    }

    /// In words: where a door chose none, its data stands there.
    fn json_schema(all: &mut schemars::SchemaGenerator) -> schemars::Schema {
        all.subschema_for::<String>()
    }
}
