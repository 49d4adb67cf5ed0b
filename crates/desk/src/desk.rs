//! Where questions are asked: a studio (or none), the day, and what is said aside.

use std::any::Any;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use glost_chemistry::diagnostic::{Diagnostic, Severity};
use glost_chemistry::quantity::Date;
use glost_studio::{Disk, FoundGlaze, Recipe, Workplace, real_disk};

use crate::{Failure, Question, Words};

/// Where a call stands.
#[derive(Debug, Clone)]
pub struct Place {
    /// The studio's folder, where one is named.
    pub studio: Option<PathBuf>,
    /// Further materials files for this call.
    pub materials: Vec<PathBuf>,
    /// The folder that relative paths start from.
    pub here: PathBuf,
}

/// Something to be told beside an answer, or before an error; it stops nothing.
#[derive(Debug, Clone, PartialEq)]
pub enum Aside {
    /// There is no studio folder: names are looked up in the example.
    NoStudio(String),
    /// A line that a script printed.
    Printed(String),
    /// A complaint about something that the answer could do without.
    Complaint(Diagnostic),
}

/// A desk: what one call can see, and the day it is.
#[derive(Debug)]
pub struct Desk {
    place: Place,
    workplace: Workplace,
    calendar: Calendar,
    today: OnceLock<Result<Date, Diagnostic>>,
    asides: Mutex<Vec<Aside>>,
    left_out: Mutex<Vec<Diagnostic>>,
    broken_bounds: Mutex<Vec<Diagnostic>>,
    /// That a package differs from its lock, where the answer leaves it out.
    changed_package: Option<Diagnostic>,
    progress: Option<Progress>,
    put_away: Mutex<Vec<Box<dyn Any + Send>>>,
}

/// Who tells the day, or why it can't be told: asked once, by the first who wants it.
pub type Calendar = fn() -> Result<Date, Diagnostic>;

/// Who hears how far long work is: so many done, of so many.
pub type Progress = fn(usize, usize);

impl Desk {
    /// Opens the studio that a call stands in. Whoever opens the door hands in who
    /// tells the day.
    ///
    /// # Errors
    /// Everything wrong with the studio's settings and materials.
    pub fn open(place: Place, calendar: Calendar) -> Result<Desk, Failure> {
        Desk::open_on(real_disk(), place, calendar)
    }

    /// As [`Desk::open`], on a disk of the caller's.
    ///
    /// # Errors
    /// As [`Desk::open`].
    pub fn open_on(disk: Arc<dyn Disk>, place: Place, calendar: Calendar) -> Result<Desk, Failure> {
        let mut desk = Desk::open_whole_on(disk, place, calendar)?;
        let packages = desk.workplace.packages();
        // Of a package that brings scripts alone, nothing but what asks scripts stops: see
        // `Rulebook::open`.
        if let (Some(changed), true) = (&packages.changed, packages.changed_brings_more) {
            return Err(Failure::Tampered(changed.clone()));
        }
        desk.tell_of_packages();
        Ok(desk)
    }

    /// As [`Desk::open`], where scripts are looked at and none is run: a package that differs
    /// from its lock is left out, and that is told.
    ///
    /// # Errors
    /// As [`Desk::open`], packages left aside.
    pub fn open_to_look(place: Place, calendar: Calendar) -> Result<Desk, Failure> {
        let mut desk = Desk::open_whole_on(real_disk(), place, calendar)?;
        desk.tell_of_packages();
        Ok(desk)
    }

    /// Tells which packages are left out.
    fn tell_of_packages(&mut self) {
        let packages = self.workplace.packages();
        self.changed_package = packages.changed.as_ref().map(|changed| {
            let message = format!("{}: nothing of that package is used", changed.message);
            Diagnostic::error("package-changed", message).maybe_help(changed.help.clone())
        });
        let strays = packages.strays.iter().map(|name| {
            let message = format!("the folder scripts/from/{name} isn't in scripts.lock: nothing in it is used");
            let help = "take it in with `glost script add`, or move scripts of your own out of scripts/from/";
            Diagnostic::caution("stray-package", message).help(help)
        });
        self.tell(strays);
    }

    /// As [`Desk::open`], whatever became of packages and settings: for what takes packages in
    /// and out. What is wrong with settings is told aside.
    ///
    /// # Errors
    /// No such studio.
    pub fn open_to_mend(place: Place, calendar: Calendar) -> Result<Desk, Failure> {
        let disk = real_disk();
        let (workplace, complaints) =
            Workplace::open_anyway_on(disk, place.studio.as_deref(), &place.materials, &place.here)?;
        let sheets = workplace.broken_sheets().to_vec();
        let desk = Desk::at(place, workplace, calendar);
        // Sheets are told of once the answer is there.
        let others = complaints.into_iter().filter(|why| !sheets.contains(why));
        desk.tell(others.map(|mut why| {
            why.severity = Severity::Caution;
            why
        }));
        Ok(desk)
    }

    fn open_whole_on(disk: Arc<dyn Disk>, place: Place, calendar: Calendar) -> Result<Desk, Failure> {
        let workplace = Workplace::open_on(disk, place.studio.as_deref(), &place.materials, &place.here)?;
        Ok(Desk::at(place, workplace, calendar))
    }

    fn at(place: Place, workplace: Workplace, calendar: Calendar) -> Desk {
        Desk {
            place,
            workplace,
            calendar,
            today: OnceLock::new(),
            asides: Mutex::default(),
            left_out: Mutex::default(),
            broken_bounds: Mutex::default(),
            changed_package: None,
            progress: None,
            put_away: Mutex::default(),
        }
    }

    /// Keeps what was read as long as the desk stands: books of years are given back with it,
    /// by whoever has nothing else to do, and not while an answer is waited for.
    pub(crate) fn put_away(&self, read: impl Any + Send) {
        let mut put_away = self.put_away.lock().unwrap_or_else(PoisonError::into_inner);
        put_away.push(Box::new(read));
    }

    /// As [`Desk::open`], with stocks as they are once every booking is finished:
    /// for what tells or counts on stocks. A book that can't be read is told and
    /// passed by.
    ///
    /// # Errors
    /// As [`Desk::open`].
    pub fn open_settled(place: Place, calendar: Calendar) -> Result<Desk, Failure> {
        Desk::open_settled_on(&real_disk(), place, calendar)
    }

    /// As [`Desk::open_settled`], on a disk of the caller's.
    ///
    /// # Errors
    /// As [`Desk::open`].
    pub fn open_settled_on(disk: &Arc<dyn Disk>, place: Place, calendar: Calendar) -> Result<Desk, Failure> {
        let desk = Desk::open_on(Arc::clone(disk), place, calendar)?;
        match desk.workplace.batch_book().map(|book| book.read()) {
            Some(Ok(read)) => {
                desk.tell(read.cautions);
                if read.stocks_changed {
                    let Desk {
                        place,
                        calendar,
                        asides,
                        ..
                    } = desk;
                    let again = Desk::open_on(Arc::clone(disk), place, calendar)?;
                    return Ok(Desk { asides, ..again });
                }
            }
            Some(Err(error)) => desk.tell([error]),
            None => {}
        }
        Ok(desk)
    }

    /// The same, with somebody who hears how far long work is.
    #[must_use]
    pub fn telling_progress(self, progress: Progress) -> Desk {
        Desk {
            progress: Some(progress),
            ..self
        }
    }

    /// Tells how far long work is.
    pub(crate) fn so_far(&self, done: usize, all: usize) {
        if let Some(hear) = self.progress {
            hear(done, all);
        }
    }

    /// What can be seen from here.
    pub fn workplace(&self) -> &Workplace {
        &self.workplace
    }

    /// Where the call stands.
    pub fn place(&self) -> &Place {
        &self.place
    }

    /// The day today.
    ///
    /// # Errors
    /// The door could not tell the day.
    pub fn today(&self) -> Result<Date, Diagnostic> {
        self.today.get_or_init(self.calendar).clone()
    }

    /// Reads a question.
    ///
    /// # Errors
    /// As [`Question::from_words`].
    pub fn read<Q: Question>(&self, words: &Words) -> Result<Q, Diagnostic> {
        let question = Q::from_words(words);
        if question.is_err() && Q::tells_where(words) {
            self.tell_where();
        }
        question
    }

    /// Notes complaints that stop nothing.
    pub fn tell(&self, complaints: impl IntoIterator<Item = Diagnostic>) {
        let mut asides = self.asides.lock().unwrap_or_else(PoisonError::into_inner);
        asides.extend(complaints.into_iter().map(Aside::Complaint));
    }

    /// Notes lines that a script printed.
    pub(crate) fn printed(&self, lines: impl IntoIterator<Item = String>) {
        let mut asides = self.asides.lock().unwrap_or_else(PoisonError::into_inner);
        asides.extend(lines.into_iter().map(Aside::Printed));
    }

    /// Notes, once, that there is no studio folder.
    pub(crate) fn tell_where(&self) {
        if let Some(notice) = self.workplace.notice() {
            let mut asides = self.asides.lock().unwrap_or_else(PoisonError::into_inner);
            asides.push(Aside::NoStudio(notice));
        }
    }

    /// Something that the answer in work should have read and can't: it is answered
    /// without, and said to be incomplete.
    pub(crate) fn leaves_out(&self, complaints: impl IntoIterator<Item = Diagnostic>) {
        let mut left_out = self.left_out.lock().unwrap_or_else(PoisonError::into_inner);
        for complaint in complaints {
            if !left_out.contains(&complaint) {
                left_out.push(complaint);
            }
        }
    }

    /// Scripts broke their bounds, and the answer in work goes on with the others.
    pub(crate) fn broke_bounds(&self, why: impl IntoIterator<Item = Diagnostic>) {
        let mut broken = self.broken_bounds.lock().unwrap_or_else(PoisonError::into_inner);
        broken.extend(why);
    }

    /// Scripts that broke their bounds since the last call of this: whoever asked hears of it
    /// beside the answer, by exit code 3.
    pub fn take_broken_bounds(&self) -> Vec<Diagnostic> {
        std::mem::take(&mut *self.broken_bounds.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// That a package differs from its lock and was left out: the answer stands without it,
    /// and the call ends as one that broke its bounds.
    pub fn changed_package(&self) -> Option<&Diagnostic> {
        self.changed_package.as_ref()
    }

    /// Every glaze that can be used; the others are left out of the answer, and said so.
    pub(crate) fn all_glazes(&self) -> Vec<FoundGlaze> {
        let (glazes, complaints) = self.workplace.all_glazes();
        self.leaves_out(complaints);
        glazes
    }

    /// The recipes of these, each worked out once.
    pub(crate) fn all_recipes(&self) -> Vec<Recipe> {
        let (recipes, complaints) = self.workplace.all_recipes();
        self.leaves_out(complaints);
        recipes
    }

    /// Notes that an answer looks over all materials: sheets that can't be used are left
    /// out of it, and said so.
    pub(crate) fn looks_over_materials(&self) {
        self.leaves_out(self.workplace.broken_sheets().iter().cloned());
    }

    /// What the answers since the last call of this left out, although they should have
    /// read it: they are incomplete. Sheets that were not needed are told aside.
    pub fn take_left_out(&self) -> Vec<Diagnostic> {
        let left_out = std::mem::take(&mut *self.left_out.lock().unwrap_or_else(PoisonError::into_inner));
        let sheets = self.workplace.broken_sheets().iter();
        let unneeded = sheets.filter(|why| !left_out.contains(why)).cloned().map(|mut why| {
            why.severity = Severity::Caution;
            why
        });
        self.tell(unneeded);
        left_out
    }

    /// What was told aside since the last call of this, in order.
    pub fn take_asides(&self) -> Vec<Aside> {
        std::mem::take(&mut self.asides.lock().unwrap_or_else(PoisonError::into_inner))
    }
}
