//! Books of lines: what is added stands there whole and lasts, whoever else writes to them
//! and whatever the disk does.

mod support;

use std::fs;
use std::io;
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use glost_chemistry::diagnostic::Diagnostic;
use glost_core::evidence::notes::Notes;
use glost_studio::{Disk, Workplace, tell_of_waiting};
use support::Studio;
use support::watched::Watched;

const FIRST: &str = "{\"on\": \"2026-11-20\", \"tile\": \"A1\"}";
const SECOND: &str = "{\"on\": \"2026-11-21\", \"tile\": \"A2\"}";
const NOTES: &str = "notes.jsonl";

fn on(disk: &Watched, studio: &Studio) -> Workplace {
    let disk: Arc<dyn Disk> = Arc::new(disk.clone());
    let there = Workplace::open_on(disk, Some(studio.path()), &[], studio.path());
    there.unwrap_or_else(|errors| panic!("{errors:?}"))
}

fn add(there: &Workplace, lines: &[&str]) -> Result<(), Diagnostic> {
    let lines = lines.iter().map(|&line| line.to_owned()).collect();
    there.add_notes(|_: &Notes| Ok::<_, Diagnostic>((lines, ())))
}

#[test]
fn a_book_that_was_begun_lasts_with_its_name() {
    let studio = Studio::with(&[]);
    let disk = Watched::at(studio.path(), |_, _| Ok(()));
    let there = on(&disk, &studio);
    disk.asked();
    let calls = |with: &str| {
        let asked: Vec<String> = disk.asked();
        let wanted = ["open_to_append", "try_lock", "write", "sync"].map(|call| format!("{call} {NOTES}"));
        assert_eq!(asked[..4], wanted, "{with}");
        asked[4..].to_vec()
    };
    assert_eq!(add(&there, &[FIRST]), Ok(()));
    assert_eq!(calls("a new one"), ["sync_folder "]);
    assert_eq!(add(&there, &[SECOND]), Ok(()));
    assert!(calls("one that lasts").is_empty());
    assert_eq!(studio.read(NOTES), format!("{FIRST}\n{SECOND}\n"));
    // Whoever made it was stopped before it lasted.
    studio.write(NOTES, "");
    assert_eq!(add(&there, &[FIRST]), Ok(()));
    assert_eq!(calls("an empty one"), ["sync_folder "]);
    assert_eq!(add(&there, &[]), Ok(()));
    assert_eq!(
        disk.asked(),
        [format!("open_to_append {NOTES}"), format!("try_lock {NOTES}")]
    );
}

/// Half a line is taken away where the file is ours alone; where it may be another's, it stays.
#[test]
fn a_line_that_cannot_be_written_is_taken_back() {
    for (locks, left, told) in [(true, "", "nothing was added"), (false, SECOND, "half a line may stay")] {
        let studio = Studio::with(&[(NOTES, &format!("{FIRST}\n"))]);
        let fails = AtomicUsize::new(1);
        let disk = Watched::at(studio.path(), move |call, path| match call {
            "try_lock" if !locks => Err(io::ErrorKind::Unsupported.into()),
            "sync" if path == Path::new(NOTES) && fails.swap(0, Ordering::SeqCst) == 1 => {
                Err(io::ErrorKind::StorageFull.into())
            }
            _ => Ok(()),
        });
        let why = add(&on(&disk, &studio), &[SECOND]).err();
        assert_eq!(why.as_ref().map(|why| why.code), Some("cannot-write"));
        assert!(why.and_then(|why| why.help).is_some_and(|help| help.starts_with(told)));
        assert_eq!(studio.read(NOTES).trim_end(), format!("{FIRST}\n{left}").trim_end());
    }
}

/// Another program may put a new file in the place of the one that was waited for.
#[test]
fn lines_go_into_the_file_that_has_the_name() {
    let studio = Studio::with(&[(NOTES, &format!("{FIRST}\n")), ("new.jsonl", &format!("{SECOND}\n"))]);
    let dir = studio.path().to_owned();
    let moved = AtomicUsize::new(0);
    let disk = Watched::at(studio.path(), move |call, path| {
        if call == "try_lock" && path == Path::new(NOTES) && moved.fetch_add(1, Ordering::SeqCst) == 0 {
            fs::rename(dir.join("new.jsonl"), dir.join(NOTES))?;
        }
        Ok(())
    });
    assert_eq!(add(&on(&disk, &studio), &[FIRST]), Ok(()));
    assert_eq!(studio.read(NOTES), format!("{SECOND}\n{FIRST}\n"));
}

static HEARD: Mutex<Vec<String>> = Mutex::new(Vec::new());

fn hear(path: &Path) {
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    HEARD.lock().unwrap_or_else(PoisonError::into_inner).push(name);
}

/// After a second of waiting, once.
#[test]
fn who_waits_for_another_program_is_told_so() {
    tell_of_waiting(hear);
    for (tries, told) in [(50, 0), (150, 1)] {
        let studio = Studio::with(&[]);
        let left = AtomicUsize::new(tries);
        let disk = Watched::at(studio.path(), move |call, path| {
            let waits = call == "try_lock" && path == Path::new(NOTES);
            if waits
                && left
                    .fetch_update(Ordering::SeqCst, Ordering::SeqCst, |left| left.checked_sub(1))
                    .is_ok()
            {
                return Err(io::ErrorKind::WouldBlock.into());
            }
            Ok(())
        });
        assert_eq!(add(&on(&disk, &studio), &[FIRST]), Ok(()));
        let heard = std::mem::take(&mut *HEARD.lock().unwrap_or_else(PoisonError::into_inner));
        assert_eq!(heard, vec![NOTES; told]);
    }
}

/// No half line is read of somebody who is writing.
#[test]
fn a_reader_waits_for_the_writer() {
    let studio = Studio::with(&[(NOTES, &FIRST[..20])]);
    let dir = studio.path().to_owned();
    let tried = AtomicUsize::new(0);
    let disk = Watched::at(studio.path(), move |call, _| {
        if call == "try_lock_shared" && tried.fetch_add(1, Ordering::SeqCst) < 3 {
            fs::write(dir.join(NOTES), format!("{FIRST}\n"))?;
            return Err(io::ErrorKind::WouldBlock.into());
        }
        Ok(())
    });
    let read = on(&disk, &studio).notes();
    assert!(read.is_ok_and(|(notes, complaints)| notes.all().len() == 1 && complaints.is_empty()));
}

/// A book that is there and can't be read is never taken for one that wasn't begun.
#[test]
fn a_book_that_cannot_be_read_is_told() {
    let studio = Studio::with(&[
        (NOTES, FIRST),
        ("firings.jsonl", "no load\n"),
        ("versions.jsonl", "none\n"),
    ]);
    let there = studio.open();
    let told = |complaints: Vec<Diagnostic>| {
        let places = complaints.into_iter().filter_map(|why| why.place);
        places.map(|place| place.file.to_string()).collect::<Vec<_>>()
    };
    assert_eq!(
        there.kiln_book().map(|read| told(read.1)),
        Ok(vec!["firings.jsonl".to_owned()])
    );
    assert_eq!(
        there.versions().map(|read| told(read.1)),
        Ok(vec!["versions.jsonl".to_owned()])
    );
    assert_eq!(there.kept_in(), Ok(studio.path().to_owned()));
    let disk = Watched::at(studio.path(), |call, path| match call {
        "about" if path == Path::new(NOTES) => Err(io::ErrorKind::PermissionDenied.into()),
        _ => Ok(()),
    });
    let refused = on(&disk, &studio);
    assert_eq!(refused.notes().err().map(|why| why.code), Some("cannot-read"));
    assert!(refused.notebook_holds("B7"), "it may hold anything");
}

#[test]
fn a_quick_look_finds_what_stands_in_the_notebook() {
    let studio = Studio::with(&[(NOTES, FIRST)]);
    assert!(studio.open().notebook_holds("A1"));
    assert!(!studio.open().notebook_holds("A2"));
    assert!(!Studio::with(&[]).open().notebook_holds("A1"));
    assert!(!Studio::bare().open().notebook_holds("A1"));
}

/// Up to the last byte that may be, and one more.
#[test]
fn a_book_may_grow_to_its_bound() {
    let studio = Studio::with(&[]);
    let most: u64 = 64_000_000;
    for (bytes, code) in [(most - 1, None), (most, None), (most + 1, Some("cannot-read"))] {
        let grown = fs::File::create(studio.path().join("versions.jsonl")).and_then(|file| file.set_len(bytes));
        assert!(grown.is_ok());
        assert_eq!(studio.open().versions().err().map(|why| why.code), code, "{bytes}");
    }
}

/// What is taken back by its number is written down by its id with the next line, not before.
#[test]
fn a_void_by_number_gets_its_id_with_the_next_line() {
    let void = "{\"on\": \"2026-11-22\", \"void\": 1}";
    let book = format!("{FIRST}\n{void}\n");
    let studio = Studio::with(&[(NOTES, &book)]);
    assert_eq!(add(&studio.open(), &[]), Ok(()));
    assert_eq!(studio.read(NOTES), book);
    assert_eq!(add(&studio.open(), &[SECOND]), Ok(()));
    let after = studio.read(NOTES);
    assert!(after.starts_with(&format!("{book}{SECOND}\n{{")), "{after}");
    assert_eq!(after.lines().count(), 4);
}
