//! A new name for a glaze, a material or a clay, in every file that names it.
//!
//! The order that makes a kill harmless at any moment: the new texts are written beside
//! the old ones; a file says which text goes where, and what line the journals get; the
//! texts take their places, the line is added, that file goes. Before it was there
//! nothing has happened; while it is there, whoever opens the studio next does the rest.

mod begun;
mod places;

use std::path::PathBuf;

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::quantity::Date;
use glost_chemistry::read::{folded, parse, rewritten};
use glost_core::renames::{Rename, Renamed, Renames};
use glost_core::tiles::blend::renamed_plan;

use crate::folder::{MATERIALS_FOLDER, StudioFolder, YAML};
use crate::new_names::{file_stem, name_taken, new_name};
use crate::text_file::read_bytes;
use crate::values::{Editable, OfWhat};
use crate::workplace::Workplace;

pub(crate) use begun::finish_what_was_begun;

/// A name that stands where it isn't changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedIn {
    /// The file.
    pub file: String,
    /// The line, from 1.
    pub line: usize,
}

/// What was renamed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RenameDone {
    /// The old and the new name, as a journal has them.
    pub rename: Rename,
    /// Files that name it and were changed, below the studio's folder.
    pub files: Vec<String>,
    /// Its own file's new place, where that was named after it.
    pub moved_to: Option<String>,
    /// Where the old name stands in scripts.
    pub named_in: Vec<NamedIn>,
}

/// A file's new text.
pub(crate) struct NewText {
    path: PathBuf,
    before: Vec<u8>,
    after: Vec<u8>,
}

/// The sort of thing, as journals call it.
fn sort_of(of: OfWhat) -> Result<Renamed, Diagnostic> {
    match of {
        OfWhat::Glaze => Ok(Renamed::Glaze),
        OfWhat::Material => Ok(Renamed::Material),
        OfWhat::Clay => Ok(Renamed::Clay),
        OfWhat::Studio => Err(
            Diagnostic::error("name-by-set", "the studio's name is one of its values")
                .help("glost set studio \"studio=NEW NAME\""),
        ),
    }
}

impl Workplace {
    /// Gives something of the studio's own a new name, everywhere, or nowhere.
    ///
    /// # Errors
    /// A name that can't be one or that something has already; a file that names it and
    /// can't be read or changed in place; it can't be written.
    pub fn rename(&self, what: &Editable, to: &str, on: Date) -> Result<RenameDone, Vec<Diagnostic>> {
        let of = sort_of(what.of).map_err(|why| vec![why])?;
        let to = new_name(of.word(), to).map_err(|why| vec![why])?;
        self.is_free(of, &what.name, &to)?;
        let folder = self.keeping().map_err(|why| vec![why])?;
        let held = self.held();
        let rename = Rename {
            on,
            turn: 0,
            of,
            from: what.name.clone(),
            to,
        };
        let texts = self.new_texts(folder, &rename)?;
        let own_file = self.own_file(folder, what, &rename);
        let turn = begun::journal_renames(folder).map_err(|why| vec![why])?.next_turn();
        let rename = Rename { turn, ..rename };
        let files = texts.iter().map(|text| self.below_studio(&text.path)).collect();
        begun::begin(folder, &texts, &rename, own_file.as_ref()).map_err(|why| vec![why])?;
        begun::finish(folder).map_err(|why| vec![why])?;
        drop(held);
        Ok(RenameDone {
            files,
            moved_to: own_file.map(|(_, to)| to),
            named_in: self.named_in_scripts(&rename.from),
            rename,
        })
    }

    /// Whether nothing else of its sort has the new name.
    fn is_free(&self, of: Renamed, from: &str, to: &str) -> Result<(), Vec<Diagnostic>> {
        if from == to {
            let message = format!("that is its name: `{to}`");
            return Err(vec![
                Diagnostic::error("same-name", message).help("name the new one second"),
            ]);
        }
        if folded(from) == folded(to) {
            return Ok(());
        }
        let taken = match of {
            Renamed::Glaze => self.own_glazes().find(to)?.is_some(),
            Renamed::Clay => self.own_clays().find(to)?.is_some(),
            Renamed::Material => self.library().find(to).is_some(),
        };
        if taken {
            return Err(vec![name_taken(of.word(), to)]);
        }
        Ok(())
    }

    /// The new text of every file that names it.
    fn new_texts(&self, folder: &StudioFolder, rename: &Rename) -> Result<Vec<NewText>, Vec<Diagnostic>> {
        let (mut texts, mut complaints) = (Vec::new(), Vec::new());
        let mut take = |path: PathBuf, name: &str, source: &Source, after: Result<String, Diagnostic>| match after {
            Ok(after) if after == *source.text => {}
            Ok(after) => match read_bytes(&*folder.disk, &path, name) {
                Ok(before) => texts.push(NewText {
                    after: with_its_mark(&before, &after),
                    before,
                    path,
                }),
                Err(why) => complaints.push(why),
            },
            // A torn file that doesn't speak of it is left to whoever tore it.
            Err(why) if folded(&source.text).contains(&folded(&rename.from)) => complaints.push(why),
            Err(_) => {}
        };
        for (below, in_file) in [
            ("glazes", places::in_glaze as places::Find),
            ("clays", places::in_clay),
            (MATERIALS_FOLDER, places::in_materials),
        ] {
            for file in folder.files(below, &YAML) {
                let Ok(source) = &file.text else { continue };
                let after = parse(source).and_then(|root| rewritten(source, &in_file(&root, rename)));
                take(self.path(&file.shown), &file.shown, source, after);
            }
        }
        let is_glaze_too =
            rename.of == Renamed::Material && self.own_glazes().find(&rename.from).is_ok_and(|it| it.is_some());
        for file in self.json_files("plans") {
            let Ok(source) = &file.text else { continue };
            let after = renamed_plan(source, rename, is_glaze_too);
            take(self.path(&file.shown), &file.shown, source, after);
        }
        if complaints.is_empty() {
            Ok(texts)
        } else {
            Err(complaints)
        }
    }

    /// Where its own file goes: that of a glaze or clay is named after it, where it was so
    /// far and the place is free.
    fn own_file(&self, folder: &StudioFolder, what: &Editable, rename: &Rename) -> Option<(String, String)> {
        let below = match rename.of {
            Renamed::Glaze => "glazes",
            Renamed::Clay => "clays",
            Renamed::Material => return None,
        };
        let stem = |name: &str| file_stem(name, rename.of.word());
        let (old, new) = (stem(&rename.from), stem(&rename.to));
        let file = what.path.file_name()?.to_string_lossy().into_owned();
        let ending = file.strip_prefix(&format!("{old}."))?;
        let to = format!("{below}/{new}.{ending}");
        let free = old != new && !crate::disk::is_taken(&*folder.disk, &folder.dir.join(&to));
        (free && YAML.contains(&ending)).then(|| (format!("{below}/{file}"), to))
    }

    /// Lines of the studio's scripts that hold the name: a script is never changed.
    fn named_in_scripts(&self, name: &str) -> Vec<NamedIn> {
        let wanted = folded(name);
        let scripts = self.scripts().iter().filter_map(|script| script.text.as_ref().ok());
        let lines = scripts.flat_map(|source| {
            let lines = source.text.lines().enumerate();
            let with_it = lines.filter(|(_, line)| folded(line).contains(&wanted));
            with_it.map(|(number, _)| NamedIn {
                file: source.name.to_string(),
                line: number + 1,
            })
        });
        lines.collect()
    }
}

/// The new text behind the mark that the old one begins with.
fn with_its_mark(before: &[u8], after: &str) -> Vec<u8> {
    const BYTE_ORDER_MARK: &[u8] = b"\xEF\xBB\xBF";
    let mark = if before.starts_with(BYTE_ORDER_MARK) {
        BYTE_ORDER_MARK
    } else {
        &[]
    };
    [mark, after.as_bytes()].concat()
}

/// The new names in a journal's text.
fn renames_in(text: &str) -> Renames {
    Renames::of_text(text)
}
