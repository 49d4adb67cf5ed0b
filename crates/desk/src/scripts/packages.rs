//! Packages of scripts: taken in after a look and their tests, renewed, taken out, packed.

use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, of_typed};
use glost_core::rules::Whose;
use glost_script::{FailureKind, Scene, ScriptStore};
use glost_studio::{Incoming, Moved, Package, PackageFile, library_of};
use serde::Serialize;

use super::Told;
use super::difference::{Line, differing};
use crate::rulebook::add_package;
use crate::{Desk, Failure, Words};

/// What is to be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Deed {
    /// Take one in.
    Add,
    /// Take one in again.
    Update,
    /// Take one out.
    Remove,
    /// Make one file of a folder.
    Pack,
}

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// What is to be done.
    pub deed: Deed,
    /// A folder or an archive; of one that is here, its name.
    pub package: String,
    /// Where to take it from, instead of where it came from.
    pub from: Option<String>,
    /// Whether it is to be done; else it is only looked at.
    pub sure: bool,
    /// Whether it is taken in although tests of it don't hold.
    pub failing: bool,
    /// Whether what would come in was told already.
    pub told: bool,
}

/// What comes in, or came; what went.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
#[schemars(rename = "PackageAnswer")]
pub struct Answer {
    /// Its name.
    pub name: String,
    /// Its version.
    pub version: String,
    /// Who made it.
    pub author: Option<String>,
    /// Under which licence.
    pub licence: Option<String>,
    /// Where it comes from, as typed.
    pub from: String,
    /// Its scripts, libraries, tables, sheets and recipes.
    pub files: Vec<String>,
    /// Names that shipped scripts have too: the package's are used instead.
    pub instead: Vec<String>,
    /// How many of its tests hold.
    pub tests: usize,
    /// What is wrong with its scripts, or doesn't hold.
    pub failures: Vec<Told>,
    /// Files that move, where it is renewed.
    pub moved: Vec<MovedFile>,
    /// Whether it was done.
    pub done: bool,
    /// Whether it would have been done, if its tests held.
    pub held_back: bool,
    /// The file that was written, where one was packed.
    pub file: Option<String>,
    /// What was to be done.
    #[serde(skip)]
    pub deed: Deed,
    /// Whether what comes in was told already.
    #[serde(skip)]
    pub told: bool,
}

/// A file that moves.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct MovedFile {
    /// Its path.
    pub file: String,
    /// new, changed or gone.
    pub how: &'static str,
    /// Of one that changed, the lines that differ.
    pub lines: Vec<Line>,
}

impl MovedFile {
    fn of(moved: Moved, before: &[PackageFile], after: &Incoming) -> MovedFile {
        let (file, how) = match moved {
            Moved::New(file) => (file, "new"),
            Moved::Changed(file) => (file, "changed"),
            Moved::Gone(file) => (file, "gone"),
        };
        let text = |files: &[PackageFile]| {
            let found = files.iter().find(|known| known.path == file);
            found.map(|found| found.text.replace("\r\n", "\n"))
        };
        let both = text(before).zip(text(&after.files));
        MovedFile {
            lines: both.map_or_else(Vec::new, |(old, new)| differing(&old, &new)),
            file,
            how,
        }
    }
}

impl crate::Answer for Answer {
    fn says_no(&self) -> bool {
        !self.done
    }
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let deed = words.choice(
            "deed",
            ("add", Deed::Add),
            &[("update", Deed::Update), ("remove", Deed::Remove), ("pack", Deed::Pack)],
        )?;
        Ok(Question {
            deed,
            package: words.required("package")?.to_owned(),
            from: words.owned("from"),
            sure: words.flag("yes"),
            failing: words.flag("failing"),
            told: false,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        match self.deed {
            Deed::Add => self.add(desk),
            Deed::Update => self.update(desk),
            Deed::Remove => self.remove(desk),
            Deed::Pack => self.pack(desk),
        }
    }
}

impl Question {
    fn add(&self, desk: &Desk) -> Result<Answer, Failure> {
        let incoming = desk.workplace().incoming(&self.package)?;
        let mut answer = looked_at(desk, self, &incoming, &self.package)?;
        no_other_brings(desk, &incoming)?;
        answer.held_back = self.sure && !self.goes_on(&answer);
        if self.goes_on(&answer) {
            desk.workplace().take_in(&incoming, &self.package, false)?;
            answer.done = true;
        }
        Ok(answer)
    }

    fn update(&self, desk: &Desk) -> Result<Answer, Failure> {
        let workplace = desk.workplace();
        let locked = workplace.locked_package(&self.package)?;
        let from = self.from.clone().unwrap_or(locked.from);
        let incoming = workplace.incoming(&from)?;
        if incoming.manifest.name != self.package {
            let message = format!(
                "`{from}` is the package `{}`, not `{}`",
                incoming.manifest.name, self.package
            );
            return Err(Diagnostic::error("other-package", message)
                .help("say where it is: glost script update NAME --from PATH")
                .into());
        }
        let mut answer = looked_at(desk, self, &incoming, &from)?;
        let before = workplace.on_disk(&self.package);
        let moved = workplace.difference(&incoming, &before).into_iter();
        answer.moved = moved.map(|moved| MovedFile::of(moved, &before, &incoming)).collect();
        answer.held_back = self.sure && !self.goes_on(&answer);
        if self.goes_on(&answer) {
            workplace.take_in(&incoming, &from, true)?;
            answer.done = true;
        }
        Ok(answer)
    }

    /// Nobody takes in what doesn't hold without having said so.
    fn goes_on(&self, looked: &Answer) -> bool {
        self.sure && (self.failing || looked.failures.is_empty())
    }

    fn remove(&self, desk: &Desk) -> Result<Answer, Failure> {
        let gone = desk.workplace().take_out(&self.package)?;
        Ok(Answer {
            name: gone.manifest.name,
            version: gone.manifest.version,
            author: gone.manifest.author,
            licence: gone.manifest.licence,
            from: gone.from,
            files: gone.files.into_iter().map(|(path, _)| path).collect(),
            instead: Vec::new(),
            tests: 0,
            failures: Vec::new(),
            moved: Vec::new(),
            done: true,
            held_back: false,
            file: None,
            deed: self.deed,
            told: self.told,
        })
    }

    fn pack(&self, desk: &Desk) -> Result<Answer, Failure> {
        let incoming = desk.workplace().incoming(&self.package)?;
        if incoming.files.iter().all(|file| file.folder().is_empty()) {
            let message = of_typed(&self.package, "holds nothing that a studio could use");
            let help = "scripts lie in folders named by their kind, such as check/own-rule.rhai";
            return Err(Diagnostic::error("bad-package", message).help(help).into());
        }
        let mut answer = looked_at(desk, self, &incoming, &self.package)?;
        if let Some(Told(first)) = answer.failures.first() {
            return Err(first.clone().into());
        }
        answer.file = Some(desk.workplace().pack(&incoming)?.display().to_string());
        answer.done = true;
        Ok(answer)
    }
}

/// What would come in, its tests run inside the usual bounds.
fn looked_at(desk: &Desk, question: &Question, incoming: &Incoming, from: &str) -> Result<Answer, Failure> {
    let manifest = &incoming.manifest;
    let mut store = ScriptStore::with_shipped();
    let package = Package {
        manifest: manifest.clone(),
        files: incoming.files.clone(),
    };
    add_package(&mut store, &package);
    let mut wrong = desk.workplace().wrong_in(&package);
    wrong.extend(crate::run::wrong_tables(&store, &package));
    let there = |why: Diagnostic| where_it_lies(why, &manifest.name, from);
    if !wrong.is_empty() {
        return Err(Failure::Wrong(wrong.into_iter().map(there).collect()));
    }
    let all = store.all().scripts;
    let brought = all
        .iter()
        .filter(|script| matches!(script.whose, Whose::Package { .. }));
    desk.tell(brought.flat_map(|script| script.cautions.iter().cloned().map(there)));
    let (tests, failures, out_of_bounds) = tested(&store, &package).map_err(|why| match why {
        Failure::Wrong(wrong) => Failure::Wrong(wrong.into_iter().map(there).collect()),
        other => other,
    })?;
    let failures = failures.into_iter().map(|Told(why)| Told(there(why))).collect();
    desk.broke_bounds(out_of_bounds.into_iter().map(there));
    let scripts = incoming.files.iter().filter_map(|file| file.path.strip_suffix(".rhai"));
    let instead = scripts.filter(|name| glost_script::shipped_text(name).is_some());
    Ok(Answer {
        name: manifest.name.clone(),
        version: manifest.version.clone(),
        author: manifest.author.clone(),
        licence: manifest.licence.clone(),
        from: from.to_owned(),
        files: incoming.files.iter().map(|file| file.path.clone()).collect(),
        instead: instead.map(str::to_owned).collect(),
        tests,
        failures,
        moved: Vec::new(),
        done: false,
        held_back: false,
        file: None,
        deed: question.deed,
        told: question.told,
    })
}

/// A complaint about a file of a package at the place it comes from: in the studio it isn't yet.
fn where_it_lies(mut why: Diagnostic, name: &str, from: &str) -> Diagnostic {
    let inside = format!("scripts/from/{name}/");
    if let Some(place) = &mut why.place
        && let Some(below) = place.file.strip_prefix(&inside)
    {
        place.file = format!("{}/{below}", from.trim_end_matches('/')).into();
    }
    why
}

/// How many tests of a package hold, and what is wrong with the others.
/// What broke its bounds is among them, and by itself.
fn tested(store: &ScriptStore, package: &Package) -> Result<(usize, Vec<Told>, Vec<Diagnostic>), Failure> {
    let scene = Arc::new(Scene {
        library: Arc::new(library_of(package)),
        ..Scene::default()
    });
    let all = store.with_libraries();
    if !all.broken.is_empty() {
        return Err(Failure::Wrong(
            all.broken.into_iter().map(|broken| broken.why).collect(),
        ));
    }
    let (mut hold, mut failures, mut out_of_bounds) = (0, Vec::new(), Vec::new());
    let brought = all
        .scripts
        .iter()
        .filter(|script| matches!(script.whose, Whose::Package { .. }));
    for script in brought {
        for outcome in script.run_tests(&scene) {
            if let Some(broken) = &outcome.broke_off
                && broken.kind == FailureKind::BrokeBounds
            {
                out_of_bounds.push(broken.diagnostic.clone());
            }
            hold += usize::from(outcome.passed());
            let named = |why: Diagnostic| {
                let message = format!("{}: {}", outcome.test, why.message);
                Told(Diagnostic { message, ..why })
            };
            failures.extend(outcome.failures.iter().map(|failure| named(failure.diagnostic(script))));
            failures.extend(outcome.broke_off.iter().map(|broken| named(broken.diagnostic.clone())));
        }
    }
    Ok((hold, failures, out_of_bounds))
}

/// Two packages can't bring a script of one name: nobody could tell which is meant.
fn no_other_brings(desk: &Desk, incoming: &Incoming) -> Result<(), Diagnostic> {
    let script = |path: &str| path.ends_with(".rhai") && !path.starts_with("lib/");
    for package in &desk.workplace().packages().whole {
        let other = package.manifest.name != incoming.manifest.name;
        let both = package.files.iter().find(|file| {
            script(&file.path)
                && incoming
                    .files
                    .iter()
                    .any(|new| new.path.eq_ignore_ascii_case(&file.path))
        });
        if let Some(both) = both.filter(|_| other) {
            let message = format!("`{}` brings `{}` already", package.manifest.name, both.path);
            return Err(Diagnostic::error("already-there", message).help("take one of the two packages"));
        }
    }
    Ok(())
}
