//! Glazes and clays by name. A file that can't be used stands on the shelf
//! too, with its complaint, so that it stops only whoever asks for it.

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source, nearest};
use glost_chemistry::glaze::GlazeFile;
use glost_chemistry::read::{each_in_parts, folded};
use glost_core::evidence::ware::Clay;

use crate::folder::FoundFile;

/// A clay with the file it stands in.
#[derive(Debug, Clone)]
pub struct ClayFile {
    /// The file's text.
    pub source: Source,
    /// The clay.
    pub clay: Clay,
}

/// Something in a file of its own, found by name.
pub trait Named: Send {
    /// What it is, in a word: `glaze`.
    const WHAT: &'static str;
    /// The code of the complaint that none has a name.
    const UNKNOWN: &'static str;
    /// The keys that may hold its name.
    const NAME_KEYS: &'static [&'static str];
    /// Whether a name that isn't there may well be a new one.
    const OFTEN_NEW: bool;

    /// Its name.
    fn name(&self) -> &str;
    /// The file it stands in.
    fn source(&self) -> &Source;
}

impl Named for GlazeFile {
    const WHAT: &'static str = "glaze";
    const UNKNOWN: &'static str = "unknown-glaze";
    const NAME_KEYS: &'static [&'static str] = &["glaze"];
    const OFTEN_NEW: bool = false;

    fn name(&self) -> &str {
        &self.name.text
    }

    fn source(&self) -> &Source {
        &self.source
    }
}

impl Named for ClayFile {
    const WHAT: &'static str = "clay";
    const UNKNOWN: &'static str = "unknown-clay";
    const NAME_KEYS: &'static [&'static str] = &["clay", "body"];
    const OFTEN_NEW: bool = true;

    fn name(&self) -> &str {
        &self.clay.name
    }

    fn source(&self) -> &Source {
        &self.source
    }
}

/// A file that can't be used.
#[derive(Debug, Clone)]
pub struct BrokenFile {
    /// The names it may be meant by: the one it seems to give, and its file's.
    pub names: Vec<String>,
    /// What is wrong with it.
    pub complaint: Diagnostic,
}

/// So many files at least are worth a core of their own.
pub(crate) const FILES_FOR_A_CORE: usize = 100;

/// All the files of one sort, in order of their names.
#[derive(Debug, Clone)]
pub struct Shelf<T> {
    /// Those that can be used.
    pub items: Vec<T>,
    /// Those that can't.
    pub broken: Vec<BrokenFile>,
}

impl<T: Named> Shelf<T> {
    pub(crate) fn read(files: &[FoundFile], read: impl Fn(&Source) -> Result<T, Diagnostic> + Sync) -> Shelf<T> {
        let one = |file: &FoundFile| match &file.text {
            Ok(source) => read(source),
            Err(why) => Err(why.clone()),
        };
        let results = each_in_parts(files, FILES_FOR_A_CORE, one);
        let mut shelf = Shelf {
            items: Vec::with_capacity(files.len()),
            broken: Vec::new(),
        };
        for (file, result) in files.iter().zip(results) {
            match result {
                Ok(item) => shelf.items.push(item),
                Err(complaint) => {
                    let named = file.text.as_ref().ok();
                    let named = named.and_then(|source| name_line(source, T::NAME_KEYS));
                    let stem = std::path::Path::new(&file.shown).file_stem();
                    let stem = stem.map(|stem| stem.to_string_lossy().into_owned());
                    let names = named.map(|found| found.0).into_iter().chain(stem).collect();
                    shelf.broken.push(BrokenFile { names, complaint });
                }
            }
        }
        shelf
    }

    /// With those of a lower shelf whose names it doesn't have.
    pub(crate) fn with_those_of(mut self, lower: Shelf<T>) -> Shelf<T> {
        for item in lower.items {
            if self.items.iter().all(|own| folded(own.name()) != folded(item.name())) {
                self.items.push(item);
            }
        }
        self.broken.extend(lower.broken);
        self
    }

    /// The one of this name, without case; `None` where there is none.
    ///
    /// # Errors
    /// Two files give this name, or the file that seems to give it can't be used.
    pub fn find(&self, name: &str) -> Result<Option<&T>, Vec<Diagnostic>> {
        let wanted = folded(name);
        let mut fitting = self.items.iter().filter(|item| folded(item.name()) == wanted);
        let first = fitting.next();
        let mut complaints: Vec<Diagnostic> = match (first, fitting.next()) {
            (Some(first), Some(second)) => vec![given_twice(first, second)],
            _ => Vec::new(),
        };
        complaints.extend(
            self.broken
                .iter()
                .filter(|broken| broken.names.iter().any(|name| folded(name) == wanted))
                .map(|broken| broken.complaint.clone()),
        );
        if complaints.is_empty() {
            Ok(first)
        } else {
            Err(complaints)
        }
    }

    /// Whether a file, however little of it can be read, seems to give this name.
    pub(crate) fn is_named(&self, name: &str) -> bool {
        let wanted = folded(name);
        let broken = self.broken.iter().flat_map(|broken| &broken.names);
        let fits = |name: &str| folded(name) == wanted;
        self.items.iter().any(|item| fits(item.name())) || broken.into_iter().any(|name| fits(name))
    }

    /// The complaint that nothing has this name: the nearest name, or the files
    /// that can't be used and may hold it.
    pub(crate) fn not_found(&self, name: &str, whose: &str) -> Vec<Diagnostic> {
        let what = T::WHAT;
        let error = Diagnostic::error(T::UNKNOWN, format!("no {what} {whose} is called `{name}`"));
        let add = format!("`glost add {what} \"{name}\"` makes it");
        // A glaze that isn't there is misspelt; a clay may well be new.
        let or_add = if T::OFTEN_NEW {
            format!("; a new one: {add}")
        } else {
            String::new()
        };
        if let Some(near) = nearest(name, self.items.iter().map(T::name)) {
            let or_add = if T::OFTEN_NEW {
                format!(" A new one: {add}")
            } else {
                String::new()
            };
            return vec![error.help(format!("did you mean `{near}`?{or_add}"))];
        }
        let names: Vec<&str> = self.items.iter().map(T::name).collect();
        let help = match names.len() {
            0 => format!("{add}; or name a file by its path"),
            1..=12 => format!("known here: {}; or name a file by its path{or_add}", names.join(", ")),
            many => format!("there are {many} of them in {what}s/; or name a file by its path{or_add}"),
        };
        let mut complaints = vec![error.help(help)];
        complaints.extend(self.broken.iter().map(|broken| broken.complaint.clone()));
        complaints
    }

    /// Every complaint about the shelf: files that can't be used, names given twice.
    pub fn complaints(&self) -> Vec<Diagnostic> {
        let mut complaints: Vec<Diagnostic> = self.broken.iter().map(|broken| broken.complaint.clone()).collect();
        let mut seen = std::collections::HashMap::new();
        for item in &self.items {
            match seen.entry(folded(item.name())) {
                std::collections::hash_map::Entry::Occupied(first) => complaints.push(given_twice(*first.get(), item)),
                std::collections::hash_map::Entry::Vacant(free) => {
                    free.insert(item);
                }
            }
        }
        complaints
    }
}

fn given_twice<T: Named>(first: &T, second: &T) -> Diagnostic {
    let mark = name_line(second.source(), T::NAME_KEYS).map_or(Mark { line: 1, column: 1 }, |found| found.1);
    Diagnostic::error(
        "name-given-twice",
        format!(
            "two {what}s are called `{name}`: in `{one}` and in `{other}`",
            what = T::WHAT,
            name = second.name(),
            one = first.source().name,
            other = second.source().name,
        ),
    )
    .at(second.source(), mark, second.name().chars().count())
    .help("give one of them another name, or name the file by its path")
}

/// The name that a file seems to give and where, read by eye alone: the file
/// may not be YAML at all.
pub(crate) fn name_line(source: &Source, keys: &[&str]) -> Option<(String, Mark)> {
    source.text.lines().enumerate().find_map(|(number, line)| {
        let (key, value) = line.split_once(':')?;
        if !keys.contains(&key.trim_end()) {
            return None;
        }
        let value = value.split_once(" #").map_or(value, |(value, _)| value);
        let name = value.trim().trim_matches(['"', '\'']);
        let column = line.find(name).map_or(1, |byte| line[..byte].chars().count() + 1);
        let mark = Mark {
            line: number + 1,
            column,
        };
        Some((name.to_owned(), mark))
    })
}
