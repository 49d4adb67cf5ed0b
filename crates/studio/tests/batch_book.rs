//! Booking and taking back, broken off at each moment in turn: stock is taken off
//! once, whatever the moment, and nothing else in a file changes.

mod support;

use std::fs;
use std::io;
use std::path::Path;
use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, Severity};
use glost_chemistry::quantity::Date;
use glost_core::workshop::batches::{BatchNumber, BookedLine, Booking, Journal};
use glost_studio::{BatchBook, Disk, Take, Workplace};
use support::watched::Watched;
use tempfile::TempDir;

const CLAYS: &str = "\u{FEFF}# clays, counted in May\r\nmaterials:\r\n  - name: kaolin # soft\r\n    stock:  12,5 kg   # half a bag\r\n    formula: Al2Si2O5(OH)4\r\n    source: sheet\r\n";
const SANDS: &str = "materials:\n  - { name: silica, stock: '2 lb 3 oz', formula: SiO2, source: sheet }\n  - { name: whiting, formula: CaCO3, source: sheet } # never counted\n";
const JOURNAL: &str = "batches.jsonl";

fn studio() -> io::Result<TempDir> {
    let dir = tempfile::tempdir()?;
    fs::create_dir(dir.path().join("materials"))?;
    fs::write(dir.path().join("studio.yaml"), "studio: Ternholm Tiles\n")?;
    fs::write(dir.path().join("materials/clays.yaml"), CLAYS)?;
    fs::write(dir.path().join("materials/sands.yaml"), SANDS)?;
    Ok(dir)
}

fn book(dir: &Path) -> BatchBook {
    let workplace = Workplace::open(Some(dir), &[], dir).unwrap_or_else(|errors| panic!("{errors:?}"));
    workplace.batch_book().unwrap_or_else(|| panic!("a studio"))
}

fn day(text: &str) -> Date {
    Date::parse(text).unwrap_or_else(|trouble| panic!("{}", trouble.message))
}

fn draft(glaze: &str) -> (Booking, Vec<Take>) {
    let weights = [("kaolin", 1300.0), ("silica", 500.0), ("whiting", 200.0)];
    let line = |&(material, grams): &(&str, f64)| BookedLine {
        material: material.to_owned(),
        lot: None,
        grams,
        addition: false,
        mixed_from: Vec::new(),
    };
    let take = |&(material, grams): &(&str, f64)| Take {
        material: material.to_owned(),
        lot: None,
        grams,
    };
    let booking = Booking {
        number: BatchNumber::counted(0),
        on: day("2026-11-24"),
        by: Some("Ada".to_owned()),
        glaze: glaze.to_owned(),
        version: None,
        firing: None,
        clay: None,
        base_grams: 2000.0,
        dry_grams: 2000.0,
        water_millilitres: 1800.0,
        volume_millilitres: 2570.0,
        density: 1.48,
        step_grams: 0.1,
        lines: weights.iter().map(line).collect(),
        stock: Vec::new(),
        cone: None,
        fired_in: None,
        mark: None,
        into: None,
        copy: None,
        id: String::new(),
    };
    (booking, weights.iter().map(take).collect())
}

fn booked(dir: &Path, glaze: &str) -> Result<String, Diagnostic> {
    let (booking, takes) = draft(glaze);
    let booked = book(dir).book(booking, None, &takes)?;
    Ok(booked.booking.number.text().to_owned())
}

/// The files as they are before, after, and the journal's lines.
struct Course {
    before: [String; 2],
    after: [String; 2],
    lines: Vec<String>,
}

fn files(dir: &Path) -> [String; 2] {
    ["clays", "sands"].map(|name| fs::read_to_string(dir.join(format!("materials/{name}.yaml"))).unwrap_or_default())
}

/// One whole booking, or its taking back, with what lay in the files around it.
fn course(void: bool) -> io::Result<Course> {
    let dir = studio()?;
    let mut before = files(dir.path());
    assert_eq!(booked(dir.path(), "Lamplight clear"), Ok("1".to_owned()));
    if void {
        before = files(dir.path());
        let done = book(dir.path()).void("1", day("2026-11-25"), Some("not mixed"));
        assert!(done.is_ok(), "{done:?}");
    }
    let text = fs::read_to_string(dir.path().join(JOURNAL))?;
    Ok(Course {
        before,
        after: files(dir.path()),
        lines: text.lines().map(|line| format!("{line}\n")).collect(),
    })
}

fn journal(dir: &Path) -> (Journal, usize) {
    let read = book(dir).read().unwrap_or_else(|error| panic!("{error:?}"));
    (read.journal, read.cautions.len())
}

#[test]
fn a_booking_changes_the_stocks_and_no_other_byte() -> io::Result<()> {
    let course = course(false)?;
    assert_eq!(course.after[0], CLAYS.replace("12,5 kg", "11,2 kg"));
    // 35 oz are 992.2333 g; 492.2333 g are 1 lb 1.36302 oz.
    assert_eq!(course.after[1], SANDS.replace("2 lb 3 oz", "1 lb 1.36302 oz"));
    assert_eq!(course.lines.len(), 2);
    // The last line names the booking by number and by the id at the end of its own line.
    let of = course.lines[1]
        .strip_prefix("{\"booked\":\"1\",\"of\":\"")
        .and_then(|rest| rest.strip_suffix("\"}\n"));
    assert!(of.is_some_and(|id| course.lines[0].ends_with(&format!("\"id\":\"{id}\"}}\n"))));
    Ok(())
}

#[test]
fn a_booking_taken_back_leaves_the_shelf_as_it_was() -> io::Result<()> {
    let course = course(true)?;
    assert_eq!(course.after[0], CLAYS);
    assert_eq!(course.after[1], SANDS);
    assert_eq!(course.lines.len(), 4);
    Ok(())
}

/// Lays a broken-off state down and opens the book, twice.
fn recovered(lines: &[String], torn: Option<&str>, materials: [&String; 2]) -> io::Result<([String; 2], Journal)> {
    let dir = studio()?;
    for (name, text) in ["clays", "sands"].iter().zip(materials) {
        fs::write(dir.path().join(format!("materials/{name}.yaml")), text)?;
    }
    fs::write(dir.path().join("materials/.glost-stock-AbCdEf"), "half a te")?;
    fs::write(dir.path().join(JOURNAL), lines.concat() + torn.unwrap_or_default())?;
    let unfinished = !lines.len().is_multiple_of(2);
    let (_, told) = journal(dir.path());
    assert_eq!(told, usize::from(unfinished) + usize::from(torn.is_some()));
    let first = files(dir.path());
    assert_eq!(dir.path().join("materials/.glost-stock-AbCdEf").exists(), !unfinished);
    let (again, told) = journal(dir.path());
    assert_eq!(told, usize::from(torn.is_some()), "finished once is finished");
    assert_eq!(files(dir.path()), first, "nothing is taken off twice");
    Ok((first, again))
}

#[test]
fn a_kill_at_each_moment_ends_in_all_or_nothing() -> io::Result<()> {
    for void in [false, true] {
        let Course { before, after, lines } = course(void)?;
        let begun = lines.len() - 1;
        // Before the line is whole nothing has happened.
        for cut in [1, 40, lines[begun - 1].len() - 2] {
            let torn = &lines[begun - 1][..cut];
            let (found, journal) = recovered(&lines[..begun - 1], Some(torn), [&before[0], &before[1]])?;
            assert_eq!(found, before, "{cut}");
            assert_eq!(
                journal.batches.iter().filter(|batch| batch.stands()).count(),
                usize::from(void)
            );
        }
        // Once it is, all will happen: no file changed yet, one, both; a last line
        // that lost only its line end; a torn line of completion.
        for materials in [
            [&before[0], &before[1]],
            [&after[0], &before[1]],
            [&before[0], &after[1]],
            [&after[0], &after[1]],
        ] {
            for torn in [None, Some("{\"boo")] {
                let (found, journal) = recovered(&lines[..begun], torn, materials)?;
                assert_eq!(found, after);
                assert_eq!(
                    journal.batches.iter().filter(|batch| batch.stands()).count(),
                    usize::from(!void)
                );
            }
        }
        let (found, _) = recovered(&lines, None, [&after[0], &after[1]])?;
        assert_eq!(found, after, "what is done stays done");
    }
    Ok(())
}

#[test]
fn a_stock_that_was_counted_anew_meanwhile_is_left_alone() -> io::Result<()> {
    let Course { before, lines, .. } = course(false)?;
    let dir = studio()?;
    let counted = before[0].replace("12,5 kg", "7 kg");
    fs::write(dir.path().join("materials/clays.yaml"), &counted)?;
    fs::write(dir.path().join(JOURNAL), &lines[0])?;
    let read = book(dir.path()).read().unwrap_or_else(|error| panic!("{error:?}"));
    let help = read.cautions[0].help.clone().unwrap_or_default();
    assert!(
        help.contains("kaolin (12,5 kg to 11,2 kg)") && !help.contains("silica"),
        "{help}"
    );
    assert_eq!(files(dir.path())[0], counted);
    assert!(files(dir.path())[1].contains("1 lb 1.36302 oz"));
    Ok(())
}

#[test]
fn a_booking_that_was_broken_off_is_finished_before_the_next() -> io::Result<()> {
    let Course { lines, .. } = course(false)?;
    let dir = studio()?;
    fs::write(dir.path().join(JOURNAL), &lines[0])?;
    // The same again is the same ticket; another glaze is the next batch.
    let again = booked(dir.path(), "lamplight  Clear").err();
    assert_eq!(again.as_ref().map(|error| error.code), Some("ticket-booked"));
    assert_eq!(booked(dir.path(), "Highfell clear"), Ok("2".to_owned()));
    assert!(files(dir.path())[0].contains("9,9 kg"), "12.5 less twice 1.3");
    Ok(())
}

#[test]
fn a_shelf_that_was_counted_wrong_ends_at_nothing() -> io::Result<()> {
    let dir = studio()?;
    let (booking, mut takes) = draft("Lamplight clear");
    takes[0].grams = 13_000.0;
    let done = book(dir.path()).book(booking, BatchNumber::parse("14b").ok().as_ref(), &takes);
    let done = done.unwrap_or_else(|error| panic!("{error:?}"));
    let kaolin = &done.booking.stock[0];
    assert_eq!(
        (kaolin.after.as_str(), kaolin.taken_grams, kaolin.short_grams),
        ("0,0 kg", 12_500.0, 500.0)
    );
    // What never stood on the shelf isn't put back on it.
    let back = book(dir.path()).void("14B", day("2026-11-25"), None);
    assert!(back.is_ok(), "{back:?}");
    assert_eq!(files(dir.path())[0], CLAYS);
    Ok(())
}

#[test]
fn what_is_refused_leaves_no_trace() -> io::Result<()> {
    let dir = studio()?;
    let odd = SANDS.replace("'2 lb 3 oz'", "\"2\\x20lb\"");
    fs::write(dir.path().join("materials/sands.yaml"), &odd)?;
    assert_eq!(
        booked(dir.path(), "Lamplight clear").err().map(|error| error.code),
        Some("stock-in-place")
    );
    assert!(!dir.path().join(JOURNAL).exists());
    assert_eq!(files(dir.path()), [CLAYS.to_owned(), odd]);
    let left = fs::read_dir(dir.path().join("materials"))?.count();
    assert_eq!(left, 2, "no temporary file stays");
    Ok(())
}

#[test]
fn a_number_is_used_once_until_it_is_taken_back() -> io::Result<()> {
    let dir = studio()?;
    let number = BatchNumber::parse("14").ok();
    let again = || {
        let (booking, takes) = draft("Lamplight clear");
        book(dir.path())
            .book(booking, number.as_ref(), &takes)
            .map(|done| done.booking.number)
    };
    assert!(again().is_ok());
    let error = again().err().unwrap_or_else(|| panic!("booked twice"));
    assert_eq!(error.code, "batch-booked");
    assert!(error.help.is_some_and(|help| help.contains("--batch 15")));
    let void = |number: &str| {
        book(dir.path())
            .void(number, day("2026-11-25"), None)
            .err()
            .map(|error| error.code)
    };
    assert_eq!(void("41"), Some("unknown-batch"));
    assert_eq!(void("14"), None);
    assert_eq!(void("14"), Some("batch-void"));
    assert!(again().is_ok(), "the bucket still says 14");
    Ok(())
}

#[test]
fn the_same_ticket_on_another_day_is_another_batch() -> io::Result<()> {
    let dir = studio()?;
    let on = |date: &str| {
        let (booking, takes) = draft("Lamplight clear");
        let booking = Booking {
            on: day(date),
            ..booking
        };
        book(dir.path())
            .book(booking, None, &takes)
            .map(|done| done.booking.number.text().to_owned())
            .map_err(|error| error.code)
    };
    assert_eq!(on("2026-11-24"), Ok("1".to_owned()));
    assert_eq!(on("2026-11-24"), Err("ticket-booked"));
    assert_eq!(on("2026-11-25"), Ok("2".to_owned()));
    Ok(())
}

#[test]
fn who_waits_for_a_lock_in_vain_changes_nothing() -> io::Result<()> {
    let dir = studio()?;
    assert_eq!(booked(dir.path(), "Lamplight clear"), Ok("1".to_owned()));
    let before = files(dir.path());
    let held = fs::OpenOptions::new().append(true).open(dir.path().join(JOURNAL))?;
    held.lock()?;
    assert_eq!(
        booked(dir.path(), "Highfell clear").err().map(|error| error.code),
        Some("locked")
    );
    assert_eq!(files(dir.path()), before);
    // Reading needs no lock where nothing is unfinished.
    assert_eq!(journal(dir.path()).0.batches.len(), 1);
    Ok(())
}

#[test]
fn many_at_once_book_each_once() -> io::Result<()> {
    let dir = studio()?;
    let path = dir.path();
    std::thread::scope(|scope| {
        for bench in 0..4 {
            scope.spawn(move || {
                for glaze in 0..2 {
                    assert!(booked(path, &format!("glaze {bench} {glaze}")).is_ok());
                }
            });
        }
    });
    let (journal, told) = journal(path);
    let mut numbers: Vec<u64> = journal
        .batches
        .iter()
        .filter_map(|batch| batch.booking.number.count())
        .collect();
    numbers.sort_unstable();
    assert_eq!((numbers, told), ((1..=8).collect(), 0));
    assert!(files(path)[0].contains(" 2,1 kg "), "12.5 less eight times 1.3");
    Ok(())
}

#[test]
fn a_book_that_is_no_file_is_refused() -> io::Result<()> {
    let dir = studio()?;
    fs::create_dir(dir.path().join(JOURNAL))?;
    assert_eq!(
        book(dir.path()).read().err().map(|error| error.code),
        Some("is-a-folder")
    );
    assert_eq!(
        booked(dir.path(), "Lamplight clear").err().map(|error| error.code),
        Some("is-a-folder")
    );
    Ok(())
}

#[test]
fn a_file_marked_read_only_is_respected_before_anything_is_booked() -> io::Result<()> {
    let dir = studio()?;
    let file = dir.path().join("materials/sands.yaml");
    let mut permissions = fs::metadata(&file)?.permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&file, permissions)?;
    let refused = booked(dir.path(), "Lamplight clear").err().map(|error| error.code);
    assert_eq!(refused, Some("cannot-write"));
    assert!(!dir.path().join(JOURNAL).exists());
    assert_eq!(files(dir.path()), [CLAYS, SANDS]);
    Ok(())
}

#[test]
fn what_cannot_be_finished_now_is_told_and_finished_later() -> io::Result<()> {
    let Course { before, after, lines } = course(false)?;
    let dir = studio()?;
    fs::write(dir.path().join(JOURNAL), &lines[0])?;
    let file = dir.path().join("materials/sands.yaml");
    let writable = fs::metadata(&file)?.permissions();
    let mut read_only = writable.clone();
    read_only.set_readonly(true);
    fs::set_permissions(&file, read_only)?;
    let read = book(dir.path()).read().unwrap_or_else(|error| panic!("{error:?}"));
    let told: Vec<_> = read.cautions.iter().map(|caution| caution.severity).collect();
    assert_eq!((read.journal.batches.len(), told), (1, vec![Severity::Caution]));
    assert_eq!(files(dir.path()), before);
    let error = booked(dir.path(), "Highfell clear").err();
    assert!(error.is_some_and(|error| error.message.starts_with("batch 1 was broken off")));
    fs::set_permissions(&file, writable)?;
    assert!(book(dir.path()).read().is_ok_and(|read| read.stocks_changed));
    assert_eq!(files(dir.path()), after);
    Ok(())
}

/// What to do depends on whether there are any.
#[test]
fn an_unknown_number_is_told_with_those_that_are_there() -> io::Result<()> {
    let dir = studio()?;
    let help = |number: &str| {
        let told = book(dir.path()).unknown(&journal(dir.path()).0, number);
        told.help.unwrap_or_default()
    };
    assert!(help("7").contains("--commit"), "{}", help("7"));
    assert!(booked(dir.path(), "Lamplight clear").is_ok());
    assert!(help("7").ends_with(": 1"), "{}", help("7"));
    Ok(())
}

/// The same powder weighed again after it was taken back is another booking each time.
#[test]
fn bookings_alike_are_counted() -> io::Result<()> {
    let dir = studio()?;
    let copies = [None, Some(2), Some(3)].map(|copy| {
        let (booking, takes) = draft("Lamplight clear");
        let done = book(dir.path()).book(booking, BatchNumber::parse("14").ok().as_ref(), &takes);
        let done = done.unwrap_or_else(|error| panic!("{error:?}")).booking;
        assert_eq!(done.copy, copy);
        assert!(book(dir.path()).void("14", day("2026-11-25"), None).is_ok());
        done.id
    });
    assert!(copies[0] != copies[1] && copies[1] != copies[2] && copies[0] != copies[2]);
    Ok(())
}

/// Whoever is told of a disk that fails half-way learns what is written down already.
#[test]
fn a_stock_that_cannot_be_settled_is_told_with_its_batch() -> io::Result<()> {
    for (void, what) in [(false, "batch 1 is written down"), (true, "batch 1 is taken back")] {
        let dir = studio()?;
        if void {
            assert_eq!(booked(dir.path(), "Lamplight clear"), Ok("1".to_owned()));
        }
        let disk: Arc<dyn Disk> = Arc::new(Watched::at(dir.path(), |call, _| match call {
            "rename" => Err(io::ErrorKind::StorageFull.into()),
            _ => Ok(()),
        }));
        let workplace = Workplace::open_on(disk, Some(dir.path()), &[], dir.path());
        let book = workplace.ok().and_then(|workplace| workplace.batch_book());
        let book = book.unwrap_or_else(|| panic!("a studio"));
        let (booking, takes) = draft("Lamplight clear");
        let told = if void {
            book.void("1", day("2026-11-25"), None).err()
        } else {
            book.book(booking, None, &takes).err()
        };
        let told = told.map(|error| error.message).unwrap_or_default();
        assert!(told.starts_with(what) && told.ends_with("the disk is full"), "{told}");
        assert_eq!(journal(dir.path()).1, 1, "and it is finished");
    }
    Ok(())
}

/// What was counted anew after the booking gets back what the batch took.
#[test]
fn a_booking_taken_back_adds_to_what_was_counted_since() -> io::Result<()> {
    let dir = studio()?;
    assert_eq!(booked(dir.path(), "Lamplight clear"), Ok("1".to_owned()));
    let counted = files(dir.path())[0].replace("11,2 kg", "7,0 kg");
    fs::write(dir.path().join("materials/clays.yaml"), counted)?;
    assert!(book(dir.path()).void("1", day("2026-11-25"), None).is_ok());
    assert_eq!(files(dir.path())[0], CLAYS.replace("12,5 kg", "8,3 kg"));
    Ok(())
}

/// A stock's text is kept to half a milligram.
#[test]
fn nobody_is_short_of_a_milligram() -> io::Result<()> {
    for (grams, short) in [(0.001, 0.0), (0.002, 0.002)] {
        let dir = studio()?;
        fs::write(
            dir.path().join("materials/clays.yaml"),
            CLAYS.replace("12,5 kg", "0 kg"),
        )?;
        let (booking, mut takes) = draft("Lamplight clear");
        takes[0].grams = grams;
        let done = book(dir.path()).book(booking, None, &takes);
        let done = done.unwrap_or_else(|error| panic!("{error:?}"));
        assert_eq!(
            done.booking.stock[0].short_grams.to_bits(),
            f64::to_bits(short),
            "{grams}"
        );
    }
    Ok(())
}
