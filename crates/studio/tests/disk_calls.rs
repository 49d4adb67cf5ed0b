//! What the disk is asked when files are made, and in what order.

mod support;

use std::fs;
use std::path::Path;
use std::sync::Arc;

use glost_studio::{Disk, Workplace};
use support::Studio;
use support::watched::Watched;

fn on(disk: &Watched, studio: &Studio) -> Workplace {
    let disk: Arc<dyn Disk> = Arc::new(disk.clone());
    let there = Workplace::open_on(disk, Some(studio.path()), &[], studio.path());
    there.unwrap_or_else(|errors| panic!("{errors:?}"))
}

/// The calls, temporary names left out.
fn asked(disk: &Watched) -> Vec<String> {
    let plain = |call: String| match call.find(".glost-") {
        Some(at) => format!("{}TEMPORARY", &call[..at]),
        None => call,
    };
    disk.asked().into_iter().map(plain).collect()
}

/// Else what is written into it goes with it when power fails.
#[test]
fn each_new_folder_lasts_before_anything_is_put_into_it() {
    let studio = Studio::with(&[]);
    let disk = Watched::at(studio.path(), |_, _| Ok(()));
    let there = on(&disk, &studio);
    asked(&disk);
    let file = |folder: &str, name: &str| {
        let below = format!("{folder}{name}");
        assert_eq!(there.create_in_studio(Path::new(&below), "x"), Ok(()));
        let folder = if folder.is_empty() {
            "."
        } else {
            folder.trim_end_matches('/')
        };
        let last = [format!("rename_to_new {below}"), format!("sync_folder {folder}")];
        (asked(&disk), last)
    };
    let (calls, last) = file("tests/of may/", "a.yaml");
    let made = [
        "create_folder tests",
        "sync_folder .",
        "create_folder tests/of may",
        "sync_folder tests",
    ];
    assert_eq!(calls[..4], made);
    assert!(calls.ends_with(&last), "{calls:?}");
    for (folder, name) in [("tests/of may/", "b.yaml"), ("", "c.yaml")] {
        let (calls, last) = file(folder, name);
        assert!(calls[0].starts_with("create ") && calls.ends_with(&last), "{calls:?}");
    }
}

#[test]
fn who_makes_a_folder_just_then_is_welcome() {
    let studio = Studio::with(&[]);
    let dir = studio.path().to_owned();
    let disk = Watched::at(studio.path(), move |call, path| match call {
        "create_folder" if path == Path::new("tests") => fs::create_dir(dir.join(path)),
        "create_folder" => fs::write(dir.join(path), "a file"),
        _ => Ok(()),
    });
    let there = on(&disk, &studio);
    assert_eq!(there.create_in_studio(Path::new("tests/a.yaml"), "x"), Ok(()));
    let refused = there.create_in_studio(Path::new("glazes/a.yaml"), "x");
    assert_eq!(refused.map_err(|why| why.code), Err("cannot-write"));
}

/// Whoever was quicker keeps the file, and no half of the other lies about.
#[test]
fn who_makes_a_file_just_then_keeps_it() {
    let studio = Studio::with(&[]);
    let dir = studio.path().to_owned();
    let disk = Watched::at(studio.path(), move |call, path| match call {
        "rename_to_new" => fs::write(dir.join(path), "theirs"),
        _ => Ok(()),
    });
    let refused = on(&disk, &studio).create_in_studio(Path::new("a.yaml"), "mine");
    assert_eq!(refused.map_err(|why| why.code), Err("already-there"));
    assert_eq!(studio.read("a.yaml"), "theirs");
    let names = fs::read_dir(studio.path()).map_or(0, Iterator::count);
    assert_eq!(names, 2, "and studio.yaml");
}
