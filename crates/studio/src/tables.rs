//! A studio's files as a whole, for tables out and in.

use std::path::{Path, PathBuf};

use glost_chemistry::diagnostic::{Diagnostic, Source};

use crate::disk::{Disk, is_folder};
use crate::folder::{STUDIO_FILE, StudioFiles, YAML};
use crate::init;
use crate::text_file::{about_file, missing, read_bytes_up_to, read_text_on};
use crate::workplace::Workplace;

/// The largest table that is read as a whole, in bytes.
pub const MOST_TABLE_BYTES: u64 = 32_000_000;
/// The folders whose files are entries.
const FOLDERS: [&str; 3] = ["materials", "clays", "glazes"];
/// The folders whose files go along as they are.
const AS_THEY_ARE: [&str; 3] = ["plans", "scripts", "firings"];
/// Single files that go along as they are.
const LOOSE: [&str; 1] = ["scripts.lock"];
/// How deep folders are followed.
const MOST_NESTED_FOLDERS: usize = 8;

/// One file of a studio.
#[derive(Debug, Clone)]
pub struct OwnFile {
    /// Its path below the studio's folder, with `/`.
    pub below: String,
    /// Its text, or why it can't be read.
    pub text: Result<Source, Diagnostic>,
}

/// What a studio holds.
#[derive(Debug, Clone, Default)]
pub struct Holding {
    /// `studio.yaml` and the YAML files of its folders.
    pub entries: Vec<OwnFile>,
    /// Its journals, `*.jsonl`.
    pub journals: Vec<OwnFile>,
    /// Plans, scripts and tables beside the clays.
    pub others: Vec<OwnFile>,
}

impl Workplace {
    /// Every file of the studio; without one, those of the example.
    pub fn holding(&self) -> Holding {
        let Some(studio) = self.folder() else {
            return example();
        };
        let disk = &*studio.disk;
        let mut holding = Holding::default();
        let take = |below: String| OwnFile {
            text: read_text_on(disk, &studio.dir.join(&below), &studio.shown(&below)),
            below,
        };
        holding.entries.push(take(STUDIO_FILE.to_owned()));
        for folder in FOLDERS {
            for below in files_below(disk, &studio.dir, folder, 1) {
                if has_ending(&below, &YAML) {
                    holding.entries.push(take(below));
                } else if has_ending(&below, &["csv"]) {
                    holding.others.push(take(below));
                }
            }
        }
        for below in files_below(disk, &studio.dir, "", 1) {
            if has_ending(&below, &["jsonl"]) {
                let shown = studio.shown(&below);
                let path = studio.dir.join(&below);
                let bytes = read_bytes_up_to(disk, &path, &shown, crate::line_file::MOST_JOURNAL_BYTES);
                let text = bytes.and_then(|bytes| Source::from_bytes(&shown, &bytes));
                holding.journals.push(OwnFile { below, text });
            } else if LOOSE.contains(&below.as_str()) {
                holding.others.push(take(below));
            }
        }
        for folder in AS_THEY_ARE {
            let below = files_below(disk, &studio.dir, folder, MOST_NESTED_FOLDERS);
            holding.others.extend(below.into_iter().map(take));
        }
        holding
    }

    /// The text of a table named in the call.
    ///
    /// # Errors
    /// As [`crate::read_text`], with [`MOST_TABLE_BYTES`] as its limit.
    pub fn table_text(&self, path: &str) -> Result<Source, Diagnostic> {
        let bytes = read_bytes_up_to(&**self.disk(), &self.path(path), path, MOST_TABLE_BYTES)?;
        if bytes.starts_with(b"\xFF\xFE") || bytes.starts_with(b"\xFE\xFF") {
            return Err(
                about_file("not-utf8", "the table isn't UTF-8 text", path).help("save it again as CSV in UTF-8")
            );
        }
        Source::from_bytes(path, &bytes)
    }

    /// Every file in a folder named in the call, as paths below it, with `/`.
    ///
    /// # Errors
    /// No such folder.
    pub fn files_in(&self, folder: &str) -> Result<Vec<String>, Diagnostic> {
        let path = self.path(folder);
        if !is_folder(&**self.disk(), &path) {
            return Err(missing(&**self.disk(), &path, folder, "folder"));
        }
        Ok(files_below(&**self.disk(), &path, "", MOST_NESTED_FOLDERS))
    }

    /// Whether something lies at a path below the studio's folder.
    pub fn holds(&self, below: &str) -> bool {
        self.folder()
            .is_some_and(|studio| crate::disk::is_taken(&*studio.disk, &studio.dir.join(below)))
    }

    /// Adds files, (path below the studio's folder with `/`, text): all of them or none.
    ///
    /// # Errors
    /// No studio; one of them is there already, or can't be written.
    pub fn add_files(&self, files: &[(&str, &str)]) -> Result<(), Diagnostic> {
        let Some(studio) = self.folder() else {
            return Err(
                Diagnostic::error("no-studio", "there is no studio folder here to write into")
                    .help("make one with `glost init DIR`, or stand in yours"),
            );
        };
        init::add(&studio.disk, &studio.dir, files)
    }

    /// Makes a folder named in the call of these files; one that is there has to be empty.
    ///
    /// # Errors
    /// It holds something, or can't be written.
    pub fn make_folder_of(&self, folder: &str, files: &[(&str, &str)]) -> Result<PathBuf, Diagnostic> {
        if folder.trim().is_empty() {
            return Err(Diagnostic::error("no-name", "the folder's name is empty"));
        }
        let path = self.path(folder);
        init::make_folder_of(self.disk(), &path, folder, files)?;
        Ok(path)
    }
}

fn example() -> Holding {
    let files = StudioFiles::Example;
    let mut holding = Holding::default();
    let settings = files.settings().map(|text| OwnFile {
        below: STUDIO_FILE.to_owned(),
        text,
    });
    holding.entries.extend(settings);
    for folder in FOLDERS {
        let found = files.yaml_files(folder).into_iter();
        holding.entries.extend(found.map(|file| OwnFile {
            below: file.shown.strip_prefix("example/").unwrap_or(&file.shown).to_owned(),
            text: file.text,
        }));
    }
    holding
}

fn has_ending(name: &str, endings: &[&str]) -> bool {
    let ending = Path::new(name)
        .extension()
        .map(|ending| ending.to_string_lossy().to_lowercase());
    ending.is_some_and(|ending| endings.contains(&ending.as_str()))
}

/// The files in one of a folder's folders, by name, hidden ones aside; links to folders
/// aren't followed.
fn files_below(disk: &dyn Disk, dir: &Path, below: &str, levels: usize) -> Vec<String> {
    // A folder that isn't there, or may not be listed, holds nothing that could go along.
    let mut names: Vec<String> = disk
        .list(&dir.join(below))
        .into_iter()
        .flatten()
        .filter_map(|name| name.into_string().ok())
        .filter(|name| !name.starts_with(['.', '~', '#']))
        .collect();
    names.sort();
    let mut found = Vec::new();
    for name in names {
        let path = if below.is_empty() {
            name
        } else {
            format!("{below}/{name}")
        };
        match disk.about_name(&dir.join(&path)) {
            Ok(about) if about.is_folder() && levels > 1 => found.extend(files_below(disk, dir, &path, levels - 1)),
            Ok(about) if about.is_folder() => {}
            _ => found.push(path),
        }
    }
    found
}
