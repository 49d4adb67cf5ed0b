//! Labels for buckets, jars, bags and tiles, and the sheets that they are printed on.

mod answer;
mod grid;
mod grid_words;
pub mod paper;
mod short_text;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::Date;
use glost_core::workshop::batches::Containers;
use glost_core::workshop::label::{Container, Label, LabelKind, Stamp, parse_mark};
use glost_studio::{FoundGlaze, Workplace};

use crate::booked::{Booked, booked};
use crate::words::bad_option;
use crate::{Desk, Failure, PageFile, Words, lab};

pub use answer::{Answer, Labels, OneLabel, Saying, Sheet};
pub use grid::{Ground, LabelGrid, plain_grid, shipped_grids};
pub use grid_words::parse_grid;
pub use short_text::short_text;

/// Labels of each at most.
const MOST_COPIES: usize = 1000;
/// How many of each, unless said.
pub const COPIES: &str = "1";
/// Places of the first sheet that are used already, unless said.
pub const SKIP: &str = "0";
/// What is asked for instead of a grid, to see them all.
const LIST: &str = "list";

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub enum Question {
    /// The sheets of labels that come along.
    Grids,
    /// Labels.
    Labels(Box<AskedLabels>),
}

/// Labels of one glaze.
#[derive(Debug, Clone, PartialEq)]
pub struct AskedLabels {
    /// The glaze's name or file.
    pub glaze: String,
    /// What they are stuck on.
    pub kind: LabelKind,
    /// How many containers there are; none: as many as the batch was filled into.
    pub of: Option<Containers>,
    /// One for each label.
    pub stamps: Vec<Stamp>,
    /// The sheet of labels; none: to cut from plain paper.
    pub grid: Option<LabelGrid>,
    /// The page to print.
    pub page: Option<PageFile>,
    /// The page instead of text.
    pub html: bool,
    /// How many of each.
    pub copies: usize,
    /// Places of the first sheet that are used already.
    pub skip: usize,
    /// With the labels' outlines.
    pub outlines: bool,
    /// Without the code of the recipe.
    pub no_code: bool,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        if words.text("grid") == Some(LIST) {
            return Ok(Question::Grids);
        }
        let Some(glaze) = words.owned("glaze") else {
            return Err(Diagnostic::error("bad-call", "a label of which glaze?")
                .help("name one: glost label \"Lamplight clear\" --grid \"70 x 37 mm\" --page labels.html"));
        };
        let copies = words.or("copies", COPIES).count("copies")?;
        if !(1..=MOST_COPIES).contains(&copies) {
            let message = format!("--copies: from 1 to {MOST_COPIES} of each label");
            return Err(Diagnostic::error("bad-option", message));
        }
        Ok(Question::Labels(Box::new(AskedLabels {
            glaze,
            kind: kind(words)?,
            of: words.read("of", Containers::parse)?,
            grid: words.read("grid", parse_grid)?,
            page: words.page("page")?,
            stamps: stamps(words)?,
            html: words.flag("html"),
            copies,
            skip: words.or("skip", SKIP).count("skip")?,
            outlines: words.flag("outlines"),
            no_code: words.flag("no-code"),
        })))
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        match self {
            Question::Grids => Ok(Answer::Grids(shipped_grids())),
            Question::Labels(asked) => Ok(Answer::Labels(Box::new(asked.labels(desk)?))),
        }
    }

    fn at_once(&self) -> Option<Result<Answer, Failure>> {
        match self {
            Question::Grids => Some(Ok(Answer::Grids(shipped_grids()))),
            Question::Labels(_) => None,
        }
    }
}

impl AskedLabels {
    fn labels(&self, desk: &Desk) -> Result<Labels, Failure> {
        if let Some((over, under)) = desk.two_glazes(&self.glaze) {
            return self.of_two(desk, &over, under);
        }
        let found = desk.glaze(&self.glaze)?;
        let label = Label::of(&found.glaze, &found.settings.name);
        self.of(desk, &found, label)
    }

    /// Labels of test pieces with one glaze over another.
    fn of_two(&self, desk: &Desk, over: &str, under: String) -> Result<Labels, Failure> {
        let (over, found) = (desk.glaze(over)?, desk.glaze(&under)?);
        // What --kind is without a word: pieces are meant.
        let kind = match self.kind {
            LabelKind::Bucket | LabelKind::Tile => LabelKind::Tile,
            kind => {
                let message = format!("--kind: a {} holds one glaze", kind.word());
                return Err(Diagnostic::error("bad-option", message)
                    .help(format!(
                        "leave --kind out for the pieces' label; for what holds each, `glost label \"{}\"` and `glost label \"{}\"`",
                        over.glaze.name, found.glaze.name
                    ))
                    .into());
            }
        };
        let over = Label::of(&over.glaze, "");
        let label = Label::of(&found.glaze, &found.settings.name).under(&over);
        AskedLabels { kind, ..self.clone() }.of(desk, &found, label)
    }

    fn of(&self, desk: &Desk, found: &FoundGlaze, label: Label) -> Result<Labels, Failure> {
        let mut stamps = self.stamps.clone();
        let into = from_the_book(desk.workplace(), &found.glaze.name, &mut stamps)?;
        if self.kind == LabelKind::Bottle {
            stamps = each_container(&stamps, self.of.clone().or(into));
        }
        let has_code = !self.no_code && self.kind != LabelKind::Tile;
        let code_text = stamps
            .first()
            .filter(|_| has_code)
            .map(|stamp| short_text(&found.glaze, stamp));
        let is_printed = self.page.is_some() || self.html || self.grid.is_some();
        let sheet = is_printed.then(|| Sheet {
            grid: self.grid.clone().unwrap_or_else(|| plain_sheet(self.kind)),
            copies: self.copies,
            skip: self.skip,
            outlines: self.outlines,
            code_text,
        });
        let version = stamps.first().and_then(|stamp| stamp.version.clone());
        let laboratory = match self.kind {
            LabelKind::Tile => None,
            _ => lab::latest(desk, found, version.as_deref())?,
        };
        let labels = stamps.into_iter().map(|stamp| OneLabel {
            laboratory: laboratory.clone(),
            label: label.clone(),
            cup: found.settings.cup,
            kind: self.kind,
            stamp,
        });
        Ok(Labels {
            labels: labels.collect(),
            sheet,
            page: self.page.clone(),
            html: self.html,
        })
    }
}

/// Labels cut from plain paper, of a size for what they are stuck on.
pub fn plain_sheet(kind: LabelKind) -> LabelGrid {
    match kind {
        LabelKind::Bucket => plain_grid(186.0, 127.5),
        LabelKind::Jar | LabelKind::Bottle => plain_grid(93.0, 63.75),
        LabelKind::Bag => plain_grid(93.0, 127.5),
        LabelKind::Tile => plain_grid(46.5, 25.5),
    }
}

/// What the labels are stuck on.
fn kind(words: &Words) -> Result<LabelKind, Diagnostic> {
    let kind = match words.text("kind") {
        None => LabelKind::Bucket,
        Some(word) => *LabelKind::ALL.iter().find(|kind| kind.word() == word).ok_or_else(|| {
            let known = LabelKind::ALL.map(LabelKind::word).join(", ");
            Diagnostic::error("bad-option", format!("--kind: nothing is called `{word}`"))
                .help(format!("one of {known}"))
        })?,
    };
    if words.list("tile").is_empty() || kind == LabelKind::Tile {
        return Ok(kind);
    }
    if kind == LabelKind::Bucket {
        // What --kind is without a word: codes say that tiles are meant.
        return Ok(LabelKind::Tile);
    }
    Err(
        Diagnostic::error("bad-option", format!("--tile: a {} has no tile's code", kind.word()))
            .help("leave --kind out, or say --batch for what is in it"),
    )
}

/// Day and version of a booked batch, where the call doesn't say others.
///
/// # Errors
/// A batch that isn't this glaze's: its label would stick on another bucket.
fn from_the_book(workplace: &Workplace, glaze: &str, stamps: &mut [Stamp]) -> Result<Option<Containers>, Diagnostic> {
    let mut into = None;
    for stamp in stamps {
        let Some(number) = stamp.batch.clone() else { continue };
        match booked(workplace, &number, glaze) {
            Booked::Here(booking) => {
                stamp.day = stamp.day.or(Some(booking.on));
                stamp.lots = booking.lots();
                stamp.by = stamp.by.take().or(booking.by);
                stamp.version = stamp.version.take().or(booking.version);
                into = booking.into;
            }
            Booked::Amiss(amiss) => return Err(amiss.refused()),
            Booked::NoBook => {}
        }
    }
    Ok(into)
}

/// A label for each container, where it is told how many there are.
fn each_container(stamps: &[Stamp], into: Option<Containers>) -> Vec<Stamp> {
    let Some(into) = into else { return stamps.to_vec() };
    let numbered = stamps.iter().flat_map(|stamp| {
        (1..=into.count).map(|number| Stamp {
            container: Some(Container {
                what: into.one.clone(),
                number,
                of: into.count,
            }),
            ..stamp.clone()
        })
    });
    numbered.collect()
}

/// One stamp for each label.
fn stamps(words: &Words) -> Result<Vec<Stamp>, Diagnostic> {
    let common = Stamp {
        version: words.read("version", parse_mark)?,
        batch: words.read("batch", parse_mark)?,
        day: words.read("on", Date::parse)?,
        code: None,
        lots: Vec::new(),
        by: words.one_line("by"),
        container: None,
    };
    let codes = words.list("tile");
    if codes.is_empty() {
        return Ok(vec![common]);
    }
    let stamps = codes.iter().map(|code| {
        Ok(Stamp {
            code: Some(parse_mark(code).map_err(|bad| bad_option("tile", bad))?),
            ..common.clone()
        })
    });
    stamps.collect()
}
