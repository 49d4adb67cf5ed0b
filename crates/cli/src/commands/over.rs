//! `glost check --over`: many glazes, their findings written as they are made.
//!
//! Whoever is free takes the next few glazes, checks them and waits for its
//! turn to write: the lines come in the order of the glazes, and what is held
//! at once doesn't grow with their number.

use std::collections::HashMap;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::{Glaze, USES};
use glost_chemistry::read::folded;
use glost_core::rules::Level;
use glost_page::over::{LineFormat, Tally, Whose};
use glost_script::{Scene, Screening, Settings, on_script_thread};
use glost_studio::{GlazeSheet, RowBlock, SheetRows, Workplace};

use crate::args::{CheckOptions, Format};
use crate::outcome::{Failure, Outcome};
use glost_desk::rulebook::{Rulebook, scene};

use super::check;
use super::over_turns::{Done, Turns};

/// Glazes that one thread takes at once: enough to make the taking cheap, few
/// enough to show findings soon.
const ROWS_AT_ONCE: usize = 256;
const FILES_AT_ONCE: usize = 32;
const MOST_THREADS: usize = 64;

/// What the glazes are taken from.
enum Intake {
    Sheet(Box<SheetRows>),
    Files(std::vec::IntoIter<PathBuf>),
}

/// Some glazes to check.
enum Batch {
    Rows(RowBlock),
    Files(Vec<PathBuf>),
    /// The table can't be read on.
    Broken(Diagnostic),
}

/// What all threads share.
struct Work<'a> {
    workplace: &'a Workplace,
    intake: Mutex<(u64, Intake)>,
    sheet: Option<GlazeSheet>,
    rules: Rules,
    format: LineFormat,
    turns: Arc<Turns>,
}

/// The checks by use, and what they see by clay.
struct Rules {
    by_use: Vec<(Option<&'static str>, Screening)>,
    /// The use that was asked for.
    usage: Option<String>,
    scene: Arc<Scene>,
    on_clay: HashMap<String, Arc<Scene>>,
}

pub(super) fn run(options: &CheckOptions, workplace: &Workplace, format: Format) -> Outcome {
    let over = options.over.as_deref().unwrap_or_default();
    let rules = Rules::of(options, workplace)?;
    if let Some(notice) = workplace.notice() {
        crate::complain(&format!("{notice}\n"));
    }
    let (intake, sheet) = if over == "-" {
        let (sheet, rows) = GlazeSheet::open(Box::new(std::io::stdin()), "stdin", workplace.library())?;
        (Intake::Sheet(Box::new(rows)), Some(sheet))
    } else if workplace.is_folder(over) {
        (Intake::Files(workplace.yaml_files_in(over)?.into_iter()), None)
    } else {
        let (sheet, rows) = workplace.glaze_sheet(over)?;
        (Intake::Sheet(Box::new(rows)), Some(sheet))
    };
    let format = match format {
        Format::Json => LineFormat::JsonLines,
        Format::Text | Format::Csv => LineFormat::Csv,
    };
    let turns = Turns::begin(format);
    let work = Work {
        workplace,
        intake: Mutex::new((0, intake)),
        sheet,
        rules,
        format,
        turns: turns.clone(),
    };
    let processors = || thread::available_parallelism().map_or(1, usize::from);
    let threads = options.threads.map_or_else(processors, usize::from).min(MOST_THREADS);
    thread::scope(|scope| {
        for _ in 1..threads {
            scope.spawn(|| work.do_all());
        }
        work.do_all();
    });
    turns.finish()
}

impl Rules {
    fn of(options: &CheckOptions, workplace: &Workplace) -> Result<Rules, Failure> {
        let usage = check::usage(options.usage.as_deref())?;
        let settings = workplace.settings();
        let book = Rulebook::open(workplace, settings)?;
        let clay = match &options.clay {
            Some(name) => Some(workplace.clay(name)?.clay),
            None => None,
        };
        let scene_on = |clay| {
            book.with_limits(scene(
                workplace.library(),
                &settings.fluxes,
                &workplace.origin(),
                clay,
                usage.clone(),
            ))
        };
        let mut on_clay = HashMap::new();
        if options.clay.is_none() {
            // A clay that only a recipe names may have no file, or a broken one: nothing is lost.
            for found in workplace.all_clays().0 {
                on_clay.insert(folded(&found.clay.name), scene_on(Some(found.clay)));
            }
        }
        let scene = scene_on(clay);
        // Without a use asked for, each glaze's own says which checks apply.
        let uses: Vec<Option<&'static str>> = match &usage {
            Some(asked) => vec![USES.into_iter().find(|known| known == asked)],
            None => std::iter::once(None).chain(USES.map(Some)).collect(),
        };
        let mut by_use = Vec::new();
        for one in uses {
            let scripts = check::scripts(options, workplace, &book, one, &scene)?;
            let settings: Vec<Settings> = scripts
                .iter()
                .map(|script| book.settings_of(script, &options.set))
                .collect::<Result<_, Diagnostic>>()?;
            let screening = Screening::new(scripts.iter().zip(&settings))?;
            let screening = if options.script.is_empty() {
                screening.unasked()
            } else {
                screening
            };
            by_use.push((one, screening));
        }
        Ok(Rules {
            by_use,
            scene,
            usage,
            on_clay,
        })
    }

    fn screening(&self, glaze: &Glaze) -> Option<&Screening> {
        let usage = self.usage.as_deref().or(glaze.about.usage.as_deref());
        let found = self.by_use.iter().find(|(one, _)| *one == usage);
        found.or(self.by_use.first()).map(|(_, screening)| screening)
    }

    fn scene(&self, glaze: &Glaze) -> &Arc<Scene> {
        let clay = glaze.about.clay.as_deref().filter(|_| !self.on_clay.is_empty());
        clay.and_then(|name| self.on_clay.get(&folded(name)))
            .unwrap_or(&self.scene)
    }
}

/// A lock that a panic elsewhere doesn't spoil: what it guards is whole at any time.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Work<'_> {
    /// Takes batch after batch until none is left, on a thread that scripts may run on.
    fn do_all(&self) {
        let outcome = on_script_thread(|| {
            while let Some((number, batch)) = self.next() {
                if !self.turns.hand_in(number, self.check(batch)) {
                    break;
                }
            }
        });
        if let Err(why) = outcome {
            let error = Diagnostic::error("script-engine", format!("the script engine gave up: {why}"));
            self.turns
                .stop(Failure::BrokeBounds(error.help("please report it with the script")));
        }
    }

    fn next(&self) -> Option<(u64, Batch)> {
        let (taken, intake) = &mut *locked(&self.intake);
        let batch = match intake {
            Intake::Sheet(rows) => rows.next_block(ROWS_AT_ONCE)?.map_or_else(Batch::Broken, Batch::Rows),
            Intake::Files(paths) => {
                let some: Vec<PathBuf> = paths.take(FILES_AT_ONCE).collect();
                if some.is_empty() {
                    return None;
                }
                Batch::Files(some)
            }
        };
        let number = *taken;
        *taken += 1;
        Some((number, batch))
    }

    fn check(&self, batch: Batch) -> Done {
        let mut done = Done::default();
        match batch {
            Batch::Rows(block) => {
                let Some(sheet) = &self.sheet else { return done };
                for row in sheet.glazes(&block) {
                    let whose = Whose {
                        file: sheet.shown(),
                        row: Some(row.line),
                        glaze: &row.name,
                    };
                    let more = match row.glaze {
                        Ok(glaze) => self.screen(&mut done, whose, Arc::new(glaze)),
                        Err(errors) => self.unreadable(&mut done, whose, errors),
                    };
                    if !more {
                        break;
                    }
                }
            }
            Batch::Files(paths) => {
                for path in paths {
                    let shown = path.to_string_lossy();
                    let found = self.workplace.glaze(&shown);
                    let name = found.as_ref().map(|found| found.glaze.name.clone()).unwrap_or_default();
                    let whose = Whose {
                        file: &shown,
                        row: None,
                        glaze: &name,
                    };
                    let more = match found {
                        Ok(found) => self.screen(&mut done, whose, Arc::new(found.glaze)),
                        Err(errors) => self.unreadable(&mut done, whose, errors),
                    };
                    if !more {
                        break;
                    }
                }
            }
            Batch::Broken(error) => done.stop = Some(Failure::Wrong(vec![error])),
        }
        done
    }

    /// Checks one glaze; false where a script broke its bounds.
    fn screen(&self, done: &mut Done, whose: Whose<'_>, glaze: Arc<Glaze>) -> bool {
        let Some(screening) = self.rules.screening(&glaze) else {
            return true;
        };
        match screening.screen(&glaze, self.rules.scene(&glaze)) {
            Ok(checked) => {
                for finding in &checked.findings {
                    self.format.finding(&mut done.lines, whose, finding);
                }
                for line in &checked.printed {
                    done.printed.push_str(line);
                    done.printed.push('\n');
                }
                let worst = checked.findings.iter().map(|finding| finding.level).max();
                done.tally.count(worst.unwrap_or(Level::NothingFound));
                true
            }
            Err(mut failure) => {
                failure.diagnostic.message.push_str(&format!(" on `{}`", whose.glaze));
                if let Some(row) = whose.row {
                    failure.diagnostic.message.push_str(&format!(" ({}:{row})", whose.file));
                }
                done.stop = Some(failure.into());
                false
            }
        }
    }

    fn unreadable(&self, done: &mut Done, whose: Whose<'_>, errors: Vec<Diagnostic>) -> bool {
        for error in &errors {
            self.format.unreadable(&mut done.lines, whose, error);
        }
        done.tally.add(&Tally {
            unreadable: 1,
            ..Tally::default()
        });
        done.complaints.extend(errors);
        true
    }
}
