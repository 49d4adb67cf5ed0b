//! Many glazes checked, their findings handed over as they are made.
//!
//! Whoever is free takes the next few glazes, checks them and waits for its
//! turn: the findings come in the order of the glazes, and what is held
//! at once doesn't grow with their number.

use std::collections::HashMap;
use std::io::Read;
use std::path::PathBuf;
use std::sync::{Arc, Mutex};
use std::thread;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::{Glaze, Use};
use glost_chemistry::quantity::Date;
use glost_chemistry::read::folded;
use glost_core::rules::{Circumstances, Finding, Level, accept};
use glost_script::{OfKind, Scene, Screening, Settings, command_walks};
use glost_studio::{GlazeSheet, RowBlock, SheetRows, Workplace};

use crate::rulebook::{Rulebook, scene};
use crate::{Desk, Failure, Words};

use super::part::Part;
use super::turns::{Then, in_turn, locked};
use super::{Checks, OnClays};

/// Glazes that one thread takes at once: enough to make the taking cheap, few
/// enough to show findings soon.
const ROWS_AT_ONCE: usize = 256;
const FILES_AT_ONCE: usize = 32;
const MOST_THREADS: usize = 64;
/// What stands for a table handed in with the call.
const HANDED_IN: &str = "-";

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// A table, a folder of glaze files, or `-` for a table handed in.
    pub over: String,
    /// One of several parts of it; `None`: all.
    pub part: Option<Part>,
    /// Threads; `None`: one for each processor.
    pub threads: Option<usize>,
    /// Which checks, and on what.
    pub checks: Checks,
}

/// Where a glaze stands.
#[derive(Debug, Clone, Copy)]
pub struct Whose<'a> {
    /// The file as shown.
    pub file: &'a str,
    /// The line in which its row begins; `None` for a file of its own.
    pub row: Option<usize>,
    /// Its name.
    pub glaze: &'a str,
}

/// How many glazes came out how.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tally {
    /// Glazes whose heaviest finding is a *fail*.
    pub failed: u64,
    /// Those with something *not checked*, and no *fail*.
    pub not_checked: u64,
    /// Those with *cautions* alone.
    pub cautioned: u64,
    /// Those with *notes* alone.
    pub noted: u64,
    /// Those with nothing found.
    pub quiet: u64,
    /// Rows or files that can't be read.
    pub unreadable: u64,
    /// Glazes on which a script broke its bounds; *not checked* by that script.
    pub out_of_bounds: u64,
}

impl Tally {
    /// Counts a glaze by its heaviest finding.
    pub fn count(&mut self, worst: Level) {
        match worst {
            Level::Fail => self.failed += 1,
            Level::NotChecked => self.not_checked += 1,
            Level::Caution => self.cautioned += 1,
            Level::Note => self.noted += 1,
            Level::NothingFound => self.quiet += 1,
        }
    }

    /// Adds another tally.
    pub fn add(&mut self, other: &Tally) {
        self.failed += other.failed;
        self.not_checked += other.not_checked;
        self.cautioned += other.cautioned;
        self.noted += other.noted;
        self.quiet += other.quiet;
        self.unreadable += other.unreadable;
        self.out_of_bounds += other.out_of_bounds;
    }

    /// Glazes that were checked.
    pub fn glazes(&self) -> u64 {
        self.failed + self.not_checked + self.cautioned + self.noted + self.quiet
    }

    /// The exit code: 3 where a script broke its bounds, 2 where something can't be read, 1
    /// where a glaze fails or is not checked, else 0.
    pub fn exit_code(&self) -> u8 {
        if self.out_of_bounds > 0 {
            return 3;
        }
        match (self.unreadable, self.failed + self.not_checked) {
            (0, 0) => 0,
            (0, _) => 1,
            _ => 2,
        }
    }
}

/// What came of some glazes.
#[derive(Debug, Default)]
pub struct Batch<Lines> {
    /// The findings, as whoever takes them has them.
    pub lines: Lines,
    /// What scripts printed.
    pub printed: String,
    /// What can't be read.
    pub complaints: Vec<Diagnostic>,
    /// How the glazes came out.
    pub tally: Tally,
    stop: Option<Failure>,
}

/// Whoever takes findings: makes lines of them on any thread, and gets them by turns.
pub trait Taker: Sync {
    /// What findings become.
    type Lines: Default + Send;

    /// Adds a finding.
    fn finding(&self, lines: &mut Self::Lines, whose: Whose<'_>, finding: &Finding);

    /// Adds a glaze that can't be read.
    fn unreadable(&self, lines: &mut Self::Lines, whose: Whose<'_>, error: &Diagnostic);
}

/// Why whoever takes the findings wants no more.
#[derive(Debug, Clone, PartialEq)]
pub enum NoMore {
    /// Whoever reads the lines has gone away: no error.
    NobodyReads,
    /// The lines can't be written.
    Failed(Failure),
}

/// What the glazes are taken from.
enum Intake {
    /// A table with the rows that are left to take of it.
    Sheet(Box<SheetRows>, usize),
    Files(std::vec::IntoIter<PathBuf>),
}

/// Some glazes to check.
enum Piece {
    Rows(RowBlock),
    Files(Vec<PathBuf>),
    /// The table can't be read on.
    Broken(Diagnostic),
}

impl Piece {
    fn glazes(&self) -> usize {
        match self {
            Piece::Rows(block) => block.row_count(),
            Piece::Files(files) => files.len(),
            Piece::Broken(_) => 0,
        }
    }
}

/// Many glazes, opened.
pub struct Over<'a> {
    workplace: &'a Workplace,
    intake: Mutex<(u64, Intake)>,
    sheet: Option<GlazeSheet>,
    rules: Rules,
    threads: usize,
    /// The day, where one can be told: what files accept may have an end.
    today: Result<Date, Diagnostic>,
}

/// The checks by use, and what they see by clay.
struct Rules {
    by_use: Vec<(Option<Use>, Screening)>,
    /// The use that was asked for.
    usage: Option<Use>,
    scene: Arc<Scene>,
    on_clay: HashMap<String, Arc<Scene>>,
    /// The clay that was asked for.
    clay: Option<String>,
    /// What pieces say, where any on a clay was looked at.
    pieces: Option<OnClays>,
}

impl Question {
    /// Reads it from the values as typed.
    ///
    /// # Errors
    /// A value that can't be read, with what to write instead.
    pub fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let threads = words.count("threads")?;
        if threads == Some(0) {
            return Err(Diagnostic::error("bad-option", "--threads: one at least"));
        }
        Ok(Question {
            over: words.required("over")?.to_owned(),
            part: words.text("part").map(Part::parse).transpose()?,
            threads,
            checks: Checks::from_words(words)?,
        })
    }

    /// Opens the glazes and the checks; `handed_in` gives the table that comes with
    /// the call.
    ///
    /// # Errors
    /// What can't be read of them.
    pub fn open<'a>(
        &self,
        desk: &'a Desk,
        handed_in: impl FnOnce() -> Box<dyn Read + Send>,
    ) -> Result<Over<'a>, Failure> {
        let workplace = desk.workplace();
        let rules = Rules::of(&self.checks, desk)?;
        desk.tell_where();
        let over = &self.over;
        let (intake, sheet) = if over == HANDED_IN {
            if self.part.is_some() {
                return Err(part_of_what_is_handed_in().into());
            }
            let (sheet, rows) = GlazeSheet::open(handed_in(), "stdin", workplace.library())?;
            (Intake::Sheet(Box::new(rows), usize::MAX), Some(sheet))
        } else if workplace.is_folder(over) {
            let mut files = workplace.yaml_files_in(over)?;
            if let Some(part) = self.part {
                files = files[part.of_rows(files.len())].to_vec();
            }
            (Intake::Files(files.into_iter()), None)
        } else {
            let (sheet, mut rows) = workplace.glaze_sheet(over)?;
            let left = match self.part {
                // The first reading only counts.
                Some(part) => {
                    let own = part.of_rows(skipped(&mut rows, usize::MAX));
                    rows = workplace.glaze_sheet(over)?.1;
                    skipped(&mut rows, own.start);
                    // The last one reads to the end, and tells where the table breaks off.
                    if part.is_last() { usize::MAX } else { own.len() }
                }
                None => usize::MAX,
            };
            (Intake::Sheet(Box::new(rows), left), Some(sheet))
        };
        let processors = || thread::available_parallelism().map_or(1, usize::from);
        Ok(Over {
            workplace,
            intake: Mutex::new((0, intake)),
            sheet,
            rules,
            today: desk.today(),
            threads: self.threads.unwrap_or_else(processors).min(MOST_THREADS),
        })
    }
}

/// Goes past so many rows, or to the end, or to where the table breaks off; how many
/// there were.
fn skipped(rows: &mut SheetRows, most: usize) -> usize {
    let mut past = 0;
    while past < most
        && let Some(Ok(block)) = rows.next_block(ROWS_AT_ONCE.min(most - past))
    {
        past += block.row_count();
    }
    past
}

fn part_of_what_is_handed_in() -> Diagnostic {
    Diagnostic::error(
        "bad-option",
        "--part: a part of what comes on stdin can't be told, nobody knows its end",
    )
    .help("write it to a file first: --over FILE.csv --part 2/4")
}

impl Rules {
    fn of(checks: &Checks, desk: &Desk) -> Result<Rules, Failure> {
        let workplace = desk.workplace();
        let settings = workplace.settings();
        let book = Rulebook::open(workplace, settings)?;
        let pieces = OnClays::read(desk)?;
        let clay = match &checks.clay {
            Some(name) => Some(workplace.clay(name)?.clay),
            None => None,
        };
        let scene_on = |clay| {
            book.with_limits(scene(
                workplace.library(),
                settings,
                &workplace.origin(),
                clay,
                checks.usage,
            ))
        };
        let mut on_clay = HashMap::new();
        if checks.clay.is_none() {
            // A clay that only a recipe names may have no file, or a broken one: nothing is lost.
            for found in workplace.all_clays().0 {
                on_clay.insert(folded(&found.clay.name), scene_on(Some(found.clay)));
            }
        }
        let scene = scene_on(clay);
        // Without a use asked for, each glaze's own says which checks apply.
        let uses: Vec<Option<Use>> = match checks.usage {
            Some(asked) => vec![Some(asked)],
            None => std::iter::once(None).chain(Use::ALL.map(Some)).collect(),
        };
        // Which of them has pieces is seen glaze by glaze.
        let with_pieces = Scene {
            notebook: pieces.as_ref().map(|pieces| pieces.notebook.clone()),
            ..Scene::clone(&scene)
        };
        let (mut by_use, mut told) = (Vec::new(), Vec::new());
        for one in uses {
            let OfKind { scripts, broken, off } = checks.scripts(workplace, &book, one, &with_pieces)?;
            told.extend(scripts.iter().flat_map(|script| script.cautions.iter().cloned()));
            told.extend(turned_off(&off));
            let settings: Vec<Settings> = scripts
                .iter()
                .map(|script| book.settings_of(script, &checks.set))
                .collect::<Result<_, Diagnostic>>()?;
            let screening = Screening::new(scripts.iter().zip(&settings))?.without(&broken);
            let screening = if checks.scripts.is_empty() {
                screening.unasked()
            } else {
                screening
            };
            by_use.push((one, screening));
        }
        let mut once: Vec<Diagnostic> = Vec::new();
        for why in told {
            if !once.contains(&why) {
                once.push(why);
            }
        }
        desk.tell(once);
        Ok(Rules {
            by_use,
            scene,
            usage: checks.usage,
            on_clay,
            clay: checks.clay.clone(),
            pieces,
        })
    }

    /// What scripts see of a glaze, with the pieces that speak of it.
    fn scene_with_pieces(&self, glaze: &Glaze) -> Arc<Scene> {
        let scene = self.scene(glaze);
        let clay = self.clay.as_deref().or(glaze.about.clay.as_deref());
        match (&self.pieces, clay) {
            (Some(pieces), Some(clay)) if pieces.speak(glaze, clay, &scene.fluxes) => Arc::new(Scene {
                notebook: Some(pieces.notebook.clone()),
                ..Scene::clone(scene)
            }),
            _ => scene.clone(),
        }
    }

    fn screening(&self, glaze: &Glaze) -> Option<&Screening> {
        let usage = self.usage.or(glaze.about.usage);
        let found = self.by_use.iter().find(|(one, _)| *one == usage);
        found.or(self.by_use.first()).map(|(_, screening)| screening)
    }

    fn scene(&self, glaze: &Glaze) -> &Arc<Scene> {
        let clay = glaze.about.clay.as_deref().filter(|_| !self.on_clay.is_empty());
        clay.and_then(|name| self.on_clay.get(&folded(name)))
            .unwrap_or(&self.scene)
    }
}

/// What the studio turned off is told beside the lines.
fn turned_off(off: &[String]) -> Option<Diagnostic> {
    let names = off.join(", ");
    let caution = || {
        Diagnostic::caution(
            "turned-off",
            format!("turned off in studio.yaml, and not run: {}", names),
        )
    };
    (!off.is_empty()).then(|| caution().help("`--script NAME` runs one all the same"))
}

impl Over<'_> {
    /// Checks all of them; `take` gets what came of some glazes after others, in
    /// their order. True where somebody took everything.
    ///
    /// # Errors
    /// A table that can't be read on, a script that broke its bounds, lines that
    /// can't be written; a worker that was lost is our fault.
    pub fn run<T: Taker>(
        &self,
        taker: &T,
        mut take: impl FnMut(Batch<T::Lines>) -> Result<(), NoMore> + Send,
    ) -> Result<bool, Failure> {
        let mut ended = Ok(true);
        let hand_in = |mut batch: Batch<T::Lines>| {
            let stop = batch.stop.take();
            ended = match (take(batch), stop) {
                (Err(NoMore::NobodyReads), _) => Ok(false),
                (Err(NoMore::Failed(failure)), _) | (Ok(()), Some(failure)) => Err(failure),
                (Ok(()), None) => return Then::GoOn,
            };
            Then::Stop
        };
        let lost = in_turn(self.threads, || self.next(), |piece| self.check(taker, piece), hand_in);
        // What stopped the work came before what was lost.
        ended.and_then(|whole| match lost {
            Err(why) if whole => Err(Failure::our_fault("a check of many glazes", why)),
            _ => Ok(whole),
        })
    }

    fn next(&self) -> Option<(u64, Piece)> {
        let (taken, intake) = &mut *locked(&self.intake);
        let piece = match intake {
            Intake::Sheet(_, 0) => return None,
            Intake::Sheet(rows, left) => match rows.next_block(ROWS_AT_ONCE.min(*left))? {
                Ok(block) => {
                    *left -= block.row_count();
                    Piece::Rows(block)
                }
                Err(error) => Piece::Broken(error),
            },
            Intake::Files(paths) => {
                let some: Vec<PathBuf> = paths.take(FILES_AT_ONCE).collect();
                if some.is_empty() {
                    return None;
                }
                Piece::Files(some)
            }
        };
        let number = *taken;
        *taken += 1;
        Some((number, piece))
    }

    fn check<T: Taker>(&self, taker: &T, piece: Piece) -> Batch<T::Lines> {
        let mut batch = Batch::default();
        command_walks(piece.glazes());
        match piece {
            Piece::Rows(block) => self.check_rows(taker, &mut batch, &block),
            Piece::Files(paths) => {
                for path in paths {
                    let shown = path.to_string_lossy();
                    let found = self.workplace.glaze(&shown);
                    let name = found.as_ref().map_or("", |found| &found.glaze.name).to_owned();
                    let whose = Whose {
                        file: &shown,
                        row: None,
                        glaze: &name,
                    };
                    if !self.one(taker, &mut batch, whose, found.map(|found| found.glaze)) {
                        break;
                    }
                }
            }
            Piece::Broken(error) => batch.stop = Some(error.into()),
        }
        batch
    }

    fn check_rows<T: Taker>(&self, taker: &T, batch: &mut Batch<T::Lines>, block: &RowBlock) {
        // Rows come from a table alone.
        let Some(sheet) = &self.sheet else { return };
        for row in sheet.glazes(block) {
            let whose = Whose {
                file: sheet.shown(),
                row: Some(row.line),
                glaze: &row.name,
            };
            if !self.one(taker, batch, whose, row.glaze) {
                break;
            }
        }
    }

    /// One glaze, or why it can't be read; false where a script broke its bounds.
    fn one<T: Taker>(
        &self,
        taker: &T,
        batch: &mut Batch<T::Lines>,
        whose: Whose<'_>,
        glaze: Result<Glaze, Vec<Diagnostic>>,
    ) -> bool {
        match glaze {
            Ok(glaze) => self.screen(taker, batch, whose, Arc::new(glaze)),
            Err(errors) => {
                for error in &errors {
                    taker.unreadable(&mut batch.lines, whose, error);
                }
                batch.tally.unreadable += 1;
                batch.complaints.extend(errors);
                true
            }
        }
    }

    /// Marks what the glaze's own file accepts; `glost check GLAZE` tells what of it isn't.
    fn accept(&self, glaze: &Glaze, findings: &mut [Finding]) -> Result<(), Diagnostic> {
        if glaze.about.accepted.is_empty() {
            return Ok(());
        }
        let clay = self.rules.scene(glaze).clay.as_deref();
        let named = self.rules.clay.as_deref().or(glaze.about.clay.as_deref());
        let usage = self.rules.usage.or(glaze.about.usage);
        let of = Circumstances::of(glaze, (named, clay), usage);
        accept(findings, &glaze.about.accepted, &of, self.today.clone()?, |_| true);
        Ok(())
    }

    fn screen<T: Taker>(&self, taker: &T, batch: &mut Batch<T::Lines>, whose: Whose<'_>, glaze: Arc<Glaze>) -> bool {
        let Some(screening) = self.rules.screening(&glaze) else {
            return true;
        };
        let scene = self.rules.scene_with_pieces(&glaze);
        match screening.screen(&glaze, &scene) {
            Ok(mut checked) => {
                if let Err(why) = self.accept(&glaze, &mut checked.findings) {
                    batch.stop = Some(why.into());
                    return false;
                }
                for finding in &checked.findings {
                    taker.finding(&mut batch.lines, whose, finding);
                }
                batch.tally.out_of_bounds += u64::from(!checked.out_of_bounds.is_empty());
                let on = |why: Diagnostic| on_glaze(why, whose);
                batch.complaints.extend(checked.out_of_bounds.into_iter().map(on));
                // Lines before an error lie with the scene, which all glazes share.
                checked.printed.extend(scene.printed.take());
                for line in &checked.printed {
                    batch.printed.push_str(line);
                    batch.printed.push('\n');
                }
                let weighing = checked.findings.iter().filter(|finding| finding.accepted.is_none());
                let worst = weighing.map(|finding| finding.level).max();
                batch.tally.count(worst.unwrap_or(Level::NothingFound));
                true
            }
            Err(mut failure) => {
                failure.diagnostic = on_glaze(failure.diagnostic, whose);
                batch.stop = Some(failure.into());
                false
            }
        }
    }
}

/// What is wrong, with the glaze on which it was found.
fn on_glaze(mut why: Diagnostic, whose: Whose<'_>) -> Diagnostic {
    let row = whose
        .row
        .map_or_else(String::new, |row| format!(" ({}:{row})", whose.file));
    why.message = format!("{} on `{}`{row}", why.message, whose.glaze);
    why
}
