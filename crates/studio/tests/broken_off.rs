//! A renaming that was broken off: whoever opens the studio next does the rest, or nothing
//! has happened.

mod support;

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::Date;
use glost_studio::{Disk, Workplace};
use support::Studio;
use support::watched::Watched;

const BEGUN: &str = ".glost-renaming.json";

fn studio() -> Studio {
    Studio::with(&[
        (
            "glazes/tide_clear.yaml",
            "glaze: Tide clear\nparts: { silica: 1 }\nclay: Harbour red\n",
        ),
        (
            "glazes/quay.yaml",
            "glaze: Quay white\nparts: { silica: 1 }\nclay: harbour red\n",
        ),
        ("clays/harbour_red.yaml", "clay: Harbour red\n"),
        ("clays/buff.yaml", "clay: Loft buff\n"),
        ("firings.jsonl", ""),
    ])
}

/// Files that can be seen, with their texts, and how many hidden ones lie beside them.
fn seen(studio: &Studio) -> (BTreeMap<PathBuf, String>, usize) {
    let (mut files, mut hidden) = (BTreeMap::new(), 0);
    for folder in ["", "glazes", "clays"] {
        let entries = fs::read_dir(studio.path().join(folder)).into_iter().flatten().flatten();
        for entry in entries.filter(|entry| entry.path().is_file()) {
            if entry.file_name().to_string_lossy().starts_with('.') {
                hidden += 1;
            } else {
                let text = fs::read_to_string(entry.path()).unwrap_or_default();
                files.insert(Path::new(folder).join(entry.file_name()), text);
            }
        }
    }
    (files, hidden)
}

fn rename_on(disk: Arc<dyn Disk>, studio: &Studio) -> Result<(), Vec<Diagnostic>> {
    let on = Date::parse("2026-11-20").unwrap_or_else(|error| panic!("{error:?}"));
    let there = Workplace::open_on(disk, Some(studio.path()), &[], studio.path())?;
    let found = there.editables("Harbour red")?;
    there.rename(&found[0], "Harbour brown", on).map(|_| ())
}

/// The disk of a process that dies at a call: nothing is done from there on.
fn dying(studio: &Studio, at: usize) -> (Watched, Arc<AtomicUsize>) {
    let calls = Arc::new(AtomicUsize::new(0));
    let counted = Arc::clone(&calls);
    let disk = Watched::at(studio.path(), move |call, _| {
        if call != "about" && counted.fetch_add(1, Ordering::SeqCst) + 1 >= at {
            return Err(io::ErrorKind::Other.into());
        }
        Ok(())
    });
    (disk, calls)
}

/// A studio in which a renaming died as soon as it had said what waits.
fn begun() -> Studio {
    let studio = studio();
    let dir = studio.path().to_owned();
    let disk = Watched::at(studio.path(), move |_, _| match dir.join(BEGUN).exists() {
        true => Err(io::ErrorKind::Other.into()),
        false => Ok(()),
    });
    assert!(rename_on(Arc::new(disk), &studio).is_err());
    assert!(studio.path().join(BEGUN).exists());
    studio
}

fn renamed() -> BTreeMap<PathBuf, String> {
    let studio = studio();
    let (disk, _) = dying(&studio, usize::MAX);
    assert_eq!(rename_on(Arc::new(disk), &studio), Ok(()));
    let (files, hidden) = seen(&studio);
    assert_eq!(hidden, 0);
    files
}

#[test]
fn a_renaming_that_dies_at_any_call_is_done_or_not() {
    let (before, after) = (seen(&studio()).0, renamed());
    let whole = studio();
    let (disk, calls) = dying(&whole, usize::MAX);
    assert_eq!(rename_on(Arc::new(disk), &whole), Ok(()));
    let calls = calls.load(Ordering::SeqCst);
    assert!(calls > 20, "{calls}");
    let mut done = 0;
    for at in 1..=calls {
        let studio = studio();
        let (disk, _) = dying(&studio, at);
        let _ = rename_on(Arc::new(disk), &studio);
        let said = studio.path().join(BEGUN).exists();
        let there = studio.open();
        let (files, hidden) = seen(&studio);
        if said {
            assert_eq!((&files, hidden), (&after, 0), "call {at}");
            assert!(there.clay("Harbour brown").is_ok());
            done += 1;
        } else if files != after {
            let old: BTreeMap<_, _> = files.into_iter().filter(|(_, text)| !text.is_empty()).collect();
            let wanted: BTreeMap<_, _> = before
                .clone()
                .into_iter()
                .filter(|(_, text)| !text.is_empty())
                .collect();
            assert_eq!(old, wanted, "call {at}");
            let (disk, _) = dying(&studio, usize::MAX);
            assert_eq!(rename_on(Arc::new(disk), &studio), Ok(()), "call {at}");
            assert_eq!(seen(&studio).0, after, "call {at}");
        }
    }
    assert!(done > 5, "{done}");
}

/// A new text that is gone can't take its place: then none does.
#[test]
fn a_renaming_whose_text_was_lost_is_given_up() {
    let studio = begun();
    let (before, hidden) = seen(&studio);
    assert_eq!(hidden, 4);
    let waits = fs::read_dir(studio.path().join("glazes"))
        .into_iter()
        .flatten()
        .flatten();
    let waits = waits
        .map(|entry| entry.path())
        .find(|path| path.to_string_lossy().contains(".glost-rename-"));
    assert!(waits.is_some_and(|path| fs::remove_file(path).is_ok()));
    let there = studio.open();
    assert_eq!(seen(&studio), (before, 0));
    assert!(there.clay("Harbour red").is_ok() && there.clay("Harbour brown").is_err());
}

/// Whoever changed a file meanwhile keeps the change.
#[test]
fn a_file_that_was_changed_meanwhile_stays_so() {
    let studio = begun();
    let mine = "glaze: Quay white\nparts: { silica: 1 }\nclay: Loft buff\n";
    studio.write("glazes/quay.yaml", mine);
    studio.open();
    let mut wanted = renamed();
    wanted.insert("glazes/quay.yaml".into(), mine.to_owned());
    assert_eq!(seen(&studio), (wanted, 0));
}

/// The file keeps its place where another has come into the new one.
#[test]
fn a_place_that_was_taken_meanwhile_stays_so() {
    let studio = begun();
    let mine = "clay: Harbour brown, fine\n";
    studio.write("clays/harbour_brown.yaml", mine);
    let there = studio.open();
    assert_eq!(studio.read("clays/harbour_brown.yaml"), mine);
    assert_eq!(studio.read("clays/harbour_red.yaml"), "clay: Harbour brown\n");
    assert!(there.clay("Harbour brown").is_ok());
}

#[test]
fn a_renaming_that_cannot_be_finished_is_told_and_waits() {
    let studio = begun();
    let (before, hidden) = seen(&studio);
    let (disk, _) = dying(&studio, 1);
    let told = rename_on(Arc::new(disk), &studio).err().unwrap_or_default();
    let [why] = told.as_slice() else { panic!("{told:?}") };
    assert!(
        why.message
            .starts_with("a renaming that was broken off can't be finished: ")
    );
    assert!(why.help.as_ref().is_some_and(|help| help.starts_with("allow writing")));
    assert_eq!(seen(&studio), (before, hidden));
    studio.open();
    assert_eq!(seen(&studio), (renamed(), 0));
}
