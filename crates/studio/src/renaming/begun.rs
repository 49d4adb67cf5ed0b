//! A renaming on its way, so that a kill leaves it to be finished.

use std::collections::BTreeSet;
use std::path::PathBuf;

use glost_chemistry::diagnostic::{Diagnostic, of_typed};
use glost_chemistry::read::each_in_parts;
use glost_core::renames::{Rename, Renames};
use serde::{Deserialize, Serialize};

use crate::disk::{Disk, is_taken, is_there, read_at_most};
use crate::folder::{STUDIO_FILE, StudioFolder};
use crate::line_file::{LineFile, MOST_JOURNAL_BYTES};
use crate::save::{Prepared, cannot_write, create_new_on, folder_of};
use crate::shelf::FILES_FOR_A_CORE;
use crate::text_file::{read_bytes, read_text_on};

use super::{NewText, renames_in};

/// What says that a renaming is on its way; hidden, so that no folder lists it.
const BEGUN: &str = ".glost-renaming.json";
/// What new texts are called until they stand in their place.
const TEMPORARY: &str = ".glost-rename-";
/// Journals that get the line: the first always, the others where they are.
const JOURNALS: [&str; 4] = ["notes.jsonl", "versions.jsonl", "batches.jsonl", "firings.jsonl"];

#[derive(Debug, Serialize, Deserialize)]
struct Begun {
    line: String,
    files: Vec<Waiting>,
    moved: Option<(String, String)>,
}

/// A text that waits beside the file whose place it takes.
#[derive(Debug, Serialize, Deserialize)]
struct Waiting {
    beside: PathBuf,
    file: PathBuf,
    /// What the file held, so that nobody's later change is lost.
    before: u64,
}

/// The new names that the notebook tells of.
pub(super) fn journal_renames(folder: &StudioFolder) -> Result<Renames, Diagnostic> {
    let path = folder.dir.join(JOURNALS[0]);
    if !is_there(&*folder.disk, &path) {
        return Ok(Renames::default());
    }
    let mut file = folder.disk.open(&path).map_err(|why| cannot_write(&path, &why))?;
    let bytes = read_at_most(&mut *file, MOST_JOURNAL_BYTES).map_err(|why| cannot_write(&path, &why))?;
    Ok(renames_in(&String::from_utf8_lossy(&bytes)))
}

/// Writes the new texts beside the old ones, then what says that they wait.
pub(super) fn begin(
    folder: &StudioFolder,
    texts: &[NewText],
    rename: &Rename,
    moved: Option<&(String, String)>,
) -> Result<(), Diagnostic> {
    for text in texts {
        if folder.disk.about(&text.path).is_ok_and(|file| file.is_read_only()) {
            let message = of_typed(text.path.display(), "is marked as not to be written");
            return Err(Diagnostic::error("cannot-write", message).help("allow writing to it, then try again"));
        }
    }
    let prepare = |text: &NewText| {
        let prepared = Prepared::new(&folder.disk, &text.path, &text.after, TEMPORARY)?;
        prepared.holds(&text.after).map(|()| prepared)
    };
    // Each waits for the disk.
    let prepared = each_in_parts(texts, FILES_FOR_A_CORE, prepare);
    let prepared: Vec<Prepared> = prepared.collect::<Result<_, Diagnostic>>()?;
    let waiting = prepared.iter().zip(texts).map(|(new, text)| {
        let (beside, file) = new.places();
        Waiting {
            beside: beside.to_owned(),
            file: file.to_owned(),
            before: sum_of(&text.before),
        }
    });
    let begun = Begun {
        line: rename.to_line(),
        files: waiting.collect(),
        moved: moved.cloned(),
    };
    let text = serde_json::to_string(&begun)
        .map_err(|why| Diagnostic::error("cannot-write", format!("the renaming can't be written down: {why}")))?;
    // Their names have to last before anything says that they wait.
    for folder_of_text in texts.iter().map(|text| folder_of(&text.path)).collect::<BTreeSet<_>>() {
        let trouble = |why: std::io::Error| cannot_write(folder_of_text, &why);
        folder.disk.sync_folder(folder_of_text).map_err(trouble)?;
    }
    create_new_on(&folder.disk, &folder.dir.join(BEGUN), &text)?;
    // From here on they wait for whoever comes next.
    prepared.into_iter().for_each(Prepared::stays);
    Ok(())
}

/// Finishes a renaming that a kill broke off; nothing where there is none.
///
/// # Errors
/// It can't be finished now: a disk that can only be read.
pub(crate) fn finish_what_was_begun(folder: &StudioFolder) -> Result<(), Diagnostic> {
    if !is_taken(&*folder.disk, &folder.dir.join(BEGUN)) {
        return Ok(());
    }
    // Somebody may be about it just now.
    let _held = LineFile::open(&folder.disk, &folder.dir.join(STUDIO_FILE)).ok();
    finish(folder).map_err(|why| {
        let help = why.help.clone().unwrap_or_default();
        Diagnostic {
            message: format!("a renaming that was broken off can't be finished: {}", why.message),
            ..why
        }
        .help(format!("allow writing to the studio's folder, then try again. {help}"))
    })
}

/// Puts what waits in its place, adds the line to the journals, moves the file.
pub(super) fn finish(folder: &StudioFolder) -> Result<(), Diagnostic> {
    let (disk, path) = (&folder.disk, folder.dir.join(BEGUN));
    if !is_taken(&**disk, &path) {
        return Ok(());
    }
    let source = read_text_on(&**disk, &path, BEGUN)?;
    let begun: Begun = serde_json::from_str(&source.text)
        .map_err(|why| Diagnostic::error("not-json", format!("`{BEGUN}` can't be read: {why}")))?;
    if begun.files.iter().any(|waiting| is_lost(&**disk, waiting)) {
        // It was refused when it was begun, and nothing is done of it.
        return give_up(folder, &begun);
    }
    for waiting in &begun.files {
        put(&**disk, waiting)?;
    }
    // Before a journal tells of it, all of them have to last.
    for folder_of_file in begun
        .files
        .iter()
        .map(|waiting| folder_of(&waiting.file))
        .collect::<BTreeSet<_>>()
    {
        let trouble = |why: std::io::Error| cannot_write(folder_of_file, &why);
        disk.sync_folder(folder_of_file).map_err(trouble)?;
    }
    for (index, journal) in JOURNALS.iter().enumerate() {
        let journal = folder.dir.join(journal);
        if index == 0 || is_there(&**disk, &journal) {
            LineFile::open(disk, &journal)?.append_once(&begun.line)?;
        }
    }
    if let Some((from, to)) = &begun.moved {
        let (from, to) = (folder.dir.join(from), folder.dir.join(to));
        if is_there(&**disk, &from) && !is_taken(&**disk, &to) {
            disk.rename_to_new(&from, &to).map_err(|why| cannot_write(&to, &why))?;
            disk.sync_folder(folder_of(&to))
                .map_err(|why| cannot_write(&to, &why))?;
        }
    }
    disk.remove(&path).map_err(|why| cannot_write(&path, &why))?;
    disk.sync_folder(&folder.dir).map_err(|why| cannot_write(&path, &why))
}

/// Whether a text neither waits nor stands in its place.
fn is_lost(disk: &dyn Disk, waiting: &Waiting) -> bool {
    let now = || read_bytes(disk, &waiting.file, &waiting.file.to_string_lossy());
    !is_taken(disk, &waiting.beside) && now().is_ok_and(|now| sum_of(&now) == waiting.before)
}

fn give_up(folder: &StudioFolder, begun: &Begun) -> Result<(), Diagnostic> {
    let waiting = begun.files.iter().map(|waiting| &waiting.beside);
    let paths = waiting.filter(|beside| is_taken(&*folder.disk, beside)).cloned();
    for path in paths.chain([folder.dir.join(BEGUN)]) {
        folder.disk.remove(&path).map_err(|why| cannot_write(&path, &why))?;
    }
    let trouble = |why: std::io::Error| cannot_write(&folder.dir, &why);
    folder.disk.sync_folder(&folder.dir).map_err(trouble)
}

/// A text takes its file's place, unless that has been changed since: then it stays as
/// whoever changed it wants it.
fn put(disk: &dyn Disk, waiting: &Waiting) -> Result<(), Diagnostic> {
    let trouble = |why: std::io::Error| cannot_write(&waiting.file, &why);
    if !is_taken(disk, &waiting.beside) {
        return Ok(());
    }
    let now = read_bytes(disk, &waiting.file, &waiting.file.to_string_lossy());
    if now.is_ok_and(|now| sum_of(&now) == waiting.before) {
        disk.rename(&waiting.beside, &waiting.file).map_err(trouble)
    } else {
        disk.remove(&waiting.beside).map_err(trouble)
    }
}

/// A sum that another text hardly has (FNV-1a, 64 bits).
fn sum_of(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |sum, byte| {
        (sum ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

#[cfg(test)]
mod tests {
    use std::fs;
    use std::io;

    use super::*;
    use crate::disk::real_disk;

    #[test]
    fn a_text_that_waits_takes_the_old_ones_place_but_nobodys_change() -> io::Result<()> {
        for (now, after) in [("old", "new"), ("mine", "mine")] {
            let dir = tempfile::tempdir()?;
            let waiting = Waiting {
                beside: dir.path().join("beside"),
                file: dir.path().join("file"),
                before: sum_of(b"old"),
            };
            fs::write(&waiting.beside, "new")?;
            fs::write(&waiting.file, now)?;
            assert_eq!(put(&*real_disk(), &waiting), Ok(()));
            assert_eq!(fs::read_to_string(&waiting.file)?, after);
            assert!(!waiting.beside.exists());
        }
        Ok(())
    }

    /// A renaming that another release began is finished by this one: its sums are the same.
    #[test]
    fn sums_are_those_that_are_printed() {
        // FNV-1a of 64 bits, as its authors print it.
        for (text, sum) in [
            ("", 0xcbf2_9ce4_8422_2325),
            ("a", 0xaf63_dc4c_8601_ec8c),
            ("foobar", 0x8594_4171_f739_67e8),
        ] {
            assert_eq!(sum_of(text.as_bytes()), sum, "{text:?}");
        }
    }
}
