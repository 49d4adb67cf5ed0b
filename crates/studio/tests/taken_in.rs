//! Folders as they lie on disk: what is in them, what of a package moves, what stays.

mod support;

use std::fs;

use glost_studio::{EXAMPLE, Incoming, Moved, OwnFile, Package};
use support::Studio;

const MANIFEST: &str = "name: harbour\nversion: 1\nauthor: a\nlicence: MIT\napi: 1\n";

fn studio() -> Studio {
    Studio::with(&[
        ("pack/package.yaml", MANIFEST),
        ("pack/check/a.rhai", "// a\n"),
        ("pack/check/b.rhai", "// b\n"),
    ])
}

fn incoming(studio: &Studio) -> Incoming {
    let incoming = studio.open().incoming("pack");
    incoming.unwrap_or_else(|error| panic!("{error:?}"))
}

#[test]
fn a_folder_is_a_package_by_what_it_says_of_itself() {
    let studio = studio();
    assert_eq!(incoming(&studio).files.len(), 3);
    assert!(fs::remove_file(studio.path().join("pack/package.yaml")).is_ok());
    assert!(studio.open().incoming("pack").is_err());
    assert!(studio.open().incoming("nowhere").is_err());
}

#[test]
fn only_what_differs_moves() {
    let studio = studio();
    let before = incoming(&studio).files;
    assert_eq!(studio.open().difference(&incoming(&studio), &before), []);
    studio.write("pack/check/a.rhai", "// another\n");
    studio.write("pack/check/c.rhai", "// c\n");
    assert!(fs::remove_file(studio.path().join("pack/check/b.rhai")).is_ok());
    let moved = studio.open().difference(&incoming(&studio), &before);
    let named = |name: &str| format!("check/{name}.rhai");
    let expected = [
        Moved::Changed(named("a")),
        Moved::New(named("c")),
        Moved::Gone(named("b")),
    ];
    assert_eq!(moved, expected);
}

/// A kill between a package's files and the lock leaves the files: they are taken as they
/// are if they are the same, and left alone if somebody has changed one.
#[test]
fn the_same_files_may_lie_there_already_but_no_others() {
    let studio = studio();
    let lock = studio.path().join("scripts.lock");
    let take = || studio.open().take_in(&incoming(&studio), "pack", false).map(|_| ());
    assert_eq!(take(), Ok(()));
    assert!(fs::remove_file(&lock).is_ok());
    assert_eq!(take(), Ok(()));
    assert!(fs::remove_file(&lock).is_ok());
    let own = "scripts/from/harbour/check/a.rhai";
    assert_eq!(studio.read(own), "// a\n");
    studio.write(own, "// mine\n");
    assert_eq!(take().err().map(|why| why.code), Some("already-there"));
    assert_eq!(studio.read(own), "// mine\n");
}

#[test]
fn every_file_below_a_folder_is_listed_as_deep_as_is_looked() {
    let deep = format!("tables{}/deep.csv", "/in".repeat(20));
    let studio = Studio::with(&[("tables/a.csv", "a\n"), ("tables/more/b.csv", "b\n"), (&deep, "c\n")]);
    let mut found = studio.open().files_in("tables").unwrap_or_default();
    found.sort();
    assert_eq!(found, ["a.csv", "more/b.csv"]);
    assert!(studio.open().files_in("tables/a.csv").is_err());
}

#[test]
fn a_folder_is_made_of_files_where_there_is_none_or_an_empty_one() {
    let studio = studio();
    assert!(fs::create_dir(studio.path().join("empty")).is_ok());
    let make = |folder: &str| {
        let made = studio.open().make_folder_of(folder, &[("in/of may/a.csv", "a\n")]);
        made.map_err(|why| why.code)
    };
    for folder in ["new", "empty", "new/er"] {
        assert_eq!(make(folder), Ok(studio.path().join(folder)));
        assert_eq!(studio.read(&format!("{folder}/in/of may/a.csv")), "a\n");
    }
    for (folder, code) in [
        ("pack", "already-there"),
        ("studio.yaml", "not-a-folder"),
        ("studio.yaml/new", "cannot-write"),
        ("nowhere/new", "no-such-file"),
        (" ", "no-name"),
    ] {
        assert_eq!(make(folder), Err(code), "{folder}");
    }
    assert_eq!(incoming(&studio).files.len(), 3);
}

/// A link that leads nowhere is in the way: what it was to lead to is somebody's own.
#[cfg(unix)]
#[test]
fn a_folder_is_not_made_over_a_link() {
    let studio = studio();
    let link = studio.path().join("later");
    assert!(std::os::unix::fs::symlink("nowhere", &link).is_ok());
    let made = studio.open().make_folder_of("later", &[("a.csv", "a\n")]);
    assert_eq!(
        made.map_err(|why| why.message),
        Err(format!("`{}` can't be written: its folder isn't there", link.display()))
    );
    let names = fs::read_dir(studio.path()).map_or(0, Iterator::count);
    assert_eq!(names, 3, "nothing is left beside it");
}

#[test]
fn files_are_added_all_or_none() {
    let studio = studio();
    let add = |files: &[(&str, &str)]| studio.open().add_files(files);
    assert_eq!(add(&[("firings/of may/a.csv", "a\n"), ("b.csv", "b\n")]), Ok(()));
    assert_eq!(studio.read("firings/of may/a.csv"), "a\n");
    let taken = add(&[("firings/c.csv", "c\n"), ("b.csv", "other\n")]);
    assert_eq!(taken.map_err(|why| why.code), Err("already-there"));
    let blocked = add(&[("firings/c.csv", "c\n"), ("b.csv/in/d.csv", "d\n")]);
    let blocked = blocked.map_err(|why| why.message).err().unwrap_or_default();
    assert!(
        blocked.ends_with("b.csv/in` can't be written: a file stands where a folder should be"),
        "{blocked}"
    );
    assert!(!studio.path().join("firings/c.csv").exists());
    assert_eq!(studio.read("b.csv"), "b\n");
    assert!(studio.open().holds("b.csv") && !studio.open().holds("firings/c.csv"));
    let bare = Studio::bare().open().add_files(&[("b.csv", "b\n")]);
    assert_eq!(bare.map_err(|why| why.code), Err("no-studio"));
}

/// Each package is taken in, renewed and taken out by itself.
#[test]
fn packages_come_and_go_one_by_one() {
    let studio = studio();
    studio.write("quay/package.yaml", MANIFEST.replace("harbour", "quay"));
    studio.write("quay/check/q.rhai", "// q\n");
    let from = |folder: &str| {
        let incoming = studio.open().incoming(folder);
        incoming.unwrap_or_else(|error| panic!("{error:?}"))
    };
    let take = |folder: &str, renew: bool| {
        let taken = studio.open().take_in(&from(folder), folder, renew);
        taken.map_err(|why| why.code)
    };
    assert_eq!((take("pack", false), take("quay", false)), (Ok(()), Ok(())));
    assert_eq!(take("quay", false), Err("already-there"));
    studio.write("quay/check/q.rhai", "// renewed\n");
    assert_eq!(take("quay", true), Ok(()));
    assert_eq!(studio.read("scripts/from/quay/check/q.rhai"), "// renewed\n");
    let there = studio.open();
    assert_eq!(there.on_disk("quay"), from("quay").files);
    assert!(there.on_disk("nowhere").is_empty());
    for (name, folder) in [("quay", "quay"), ("harbour", "pack")] {
        let locked = there.locked_package(name).unwrap_or_else(|why| panic!("{why:?}"));
        assert_eq!((locked.manifest.name.as_str(), locked.from.as_str()), (name, folder));
        assert_eq!(locked.files.len(), from(folder).files.len());
    }
    assert_eq!(
        there.take_out("quay").map(|gone| gone.manifest.name),
        Ok("quay".to_owned())
    );
    assert!(!studio.path().join("scripts/from/quay").exists());
    assert!(studio.open().locked_package("harbour").is_ok());
    let help = |name: &str| {
        studio
            .open()
            .locked_package(name)
            .err()
            .and_then(|why| why.help)
            .unwrap_or_default()
    };
    assert!(help("harbor").contains("harbour"), "the nearest is named");
    assert_eq!(
        studio.open().take_out("quay").map_err(|why| why.code),
        Err("unknown-package")
    );
    // A folder that the lock doesn't know.
    studio.write("scripts/from/shed/check/s.rhai", "// s\n");
    assert!(help("shed").contains("scripts.lock"), "{}", help("shed"));
    assert!(
        !help("harbor").contains("scripts.lock"),
        "another's folder is nothing to it"
    );
}

/// What can't be used of a package is told before it comes in.
#[test]
fn a_package_is_read_before_it_comes_in() {
    let studio = studio();
    let wrong = || {
        let incoming = incoming(&studio);
        let (manifest, files) = (incoming.manifest, incoming.files);
        let package = Package { manifest, files };
        studio.open().wrong_in(&package).len()
    };
    assert_eq!(wrong(), 0);
    studio.write("pack/glazes/own.yaml", "glaze: own\nparts: { silica: 1 }\n");
    assert_eq!(wrong(), 0);
    studio.write("pack/glazes/odd.yaml", "glaze: odd\nparts: { moonrock: 1 }\n");
    studio.write("pack/materials/torn.yaml", "materials: none\n");
    assert_eq!(wrong(), 2);
}

/// A package in one file is the same package.
#[test]
fn what_is_packed_comes_in_as_it_was() {
    let studio = studio();
    let packed = studio.open().pack(&incoming(&studio));
    assert_eq!(packed, Ok(studio.path().join("harbour-1.tar.gz")));
    let again = studio.open().incoming("harbour-1.tar.gz");
    let again = again.unwrap_or_else(|error| panic!("{error:?}"));
    assert_eq!(studio.open().difference(&again, &incoming(&studio).files), []);
    assert_eq!(again.manifest.name, "harbour");
    let twice = studio.open().pack(&incoming(&studio));
    assert_eq!(twice.map_err(|why| why.code), Err("already-there"));
}

/// What a studio holds goes along as a whole: entries, journals, and whatever else is its own.
#[test]
fn every_file_of_a_studio_is_held_in_its_place() {
    let studio = Studio::with(&[
        ("materials/own.yaml", "materials:\n"),
        ("materials/Old.YML", "materials:\n"),
        ("materials/old/kept.yaml", "materials:\n"),
        ("clays/red.yaml", "clay: red\n"),
        ("clays/red.csv", "20,0\n"),
        ("clays/red.txt", "soft\n"),
        ("glazes/tide.yaml", "glaze: tide\n"),
        ("glazes/.tide.yaml", "hidden\n"),
        ("notes.jsonl", "{}\n"),
        ("scripts.lock", "packages: []\n"),
        ("todo.txt", "sieve\n"),
        ("plans/clears.json", "{}\n"),
        ("scripts/check/own.rhai", "1\n"),
        ("firings/may/one.csv", "0,20\n"),
        ("pots/one.yaml", "none\n"),
    ]);
    let holding = studio.open().holding();
    let named = |files: &[OwnFile]| {
        let told = files.iter().map(|file| {
            let text = file.text.as_ref().map(|source| source.text.to_string());
            assert_eq!(text.as_deref(), Ok(studio.read(&file.below).as_str()));
            file.below.clone()
        });
        told.collect::<Vec<_>>()
    };
    assert_eq!(
        named(&holding.entries),
        [
            "studio.yaml",
            "materials/Old.YML",
            "materials/own.yaml",
            "clays/red.yaml",
            "glazes/tide.yaml"
        ]
    );
    assert_eq!(named(&holding.journals), ["notes.jsonl"]);
    assert_eq!(
        named(&holding.others),
        [
            "clays/red.csv",
            "scripts.lock",
            "plans/clears.json",
            "scripts/check/own.rhai",
            "firings/may/one.csv"
        ]
    );
}

#[test]
fn without_a_studio_the_example_is_held() {
    let holding = Studio::bare().open().holding();
    let yaml = EXAMPLE.iter().filter(|file| {
        let folder = file.path.split_once('/').map_or("", |(folder, _)| folder);
        ["", "materials", "clays", "glazes"].contains(&folder) && file.path.ends_with(".yaml")
    });
    let mut wanted: Vec<(&str, &str)> = yaml.map(|file| (file.path, file.text)).collect();
    wanted.sort_unstable();
    let text = |file: &OwnFile| {
        file.text
            .as_ref()
            .map_or_else(|why| why.message.clone(), |text| text.text.to_string())
    };
    let mut found: Vec<(String, String)> = holding
        .entries
        .iter()
        .map(|file| (file.below.clone(), text(file)))
        .collect();
    found.sort_unstable();
    assert_eq!(
        found,
        wanted
            .iter()
            .map(|(path, text)| (path.to_string(), text.to_string()))
            .collect::<Vec<_>>()
    );
}

#[test]
fn a_table_of_another_encoding_is_told_so() {
    let studio = Studio::with(&[("plain.csv", "a;b\n")]);
    let code = |path: &str| studio.open().table_text(path).map(|_| ()).map_err(|why| why.code);
    studio.write("little.csv", b"\xFF\xFEa\0");
    studio.write("big.csv", b"\xFE\xFF\0a");
    assert_eq!(code("plain.csv"), Ok(()));
    assert_eq!(
        (code("little.csv"), code("big.csv")),
        (Err("not-utf8"), Err("not-utf8"))
    );
    let told = studio.open().table_text("little.csv").err().and_then(|why| why.help);
    assert_eq!(told.as_deref(), Some("save it again as CSV in UTF-8"));
    let told = studio.open().table_text("big.csv").err().and_then(|why| why.help);
    assert_eq!(told.as_deref(), Some("save it again as CSV in UTF-8"));
}

/// Whoever reads of a broken line learns in which file it is.
#[test]
fn a_broken_line_is_told_with_its_file() {
    let studio = Studio::with(&[("notes.jsonl", "no note\n")]);
    let complaints = studio.open().notes().map(|(_, complaints)| complaints);
    let places = complaints.unwrap_or_default().into_iter().filter_map(|why| why.place);
    let places: Vec<_> = places.map(|place| (place.file.to_string(), place.mark.line)).collect();
    assert_eq!(places, [("notes.jsonl".to_owned(), 1)]);
}
