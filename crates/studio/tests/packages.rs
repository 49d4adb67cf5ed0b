//! Archives that somebody made to do harm.

use std::io::Write;
use std::path::Path;

use flate2::Compression;
use flate2::write::GzEncoder;
use glost_studio::Workplace;
use tar::{Builder, EntryType, Header};

const MANIFEST: &[u8] = b"name: a\nversion: 1\nauthor: a\nlicence: MIT\napi: 1\n";

/// Entries with any path, as no honest packer writes them.
fn archive(path: &Path, entries: &[(&str, EntryType, u64)]) {
    let mut builder = Builder::new(GzEncoder::new(Vec::new(), Compression::fast()));
    for (name, kind, size) in entries {
        let mut header = Header::new_gnu();
        let field = &mut header.as_gnu_mut().unwrap().name;
        field[..name.len()].copy_from_slice(name.as_bytes());
        header.set_entry_type(*kind);
        header.set_mode(0o644);
        let text = if name.ends_with("package.yaml") {
            MANIFEST.to_vec()
        } else {
            vec![b'/'; *size as usize]
        };
        header.set_size(if *kind == EntryType::Regular {
            text.len() as u64
        } else {
            0
        });
        if *kind == EntryType::Symlink {
            header.set_link_name("/etc/passwd").unwrap();
        }
        header.set_cksum();
        let text: &[u8] = if *kind == EntryType::Regular { &text } else { &[] };
        builder.append(&header, text).unwrap();
    }
    let bytes = builder.into_inner().unwrap().finish().unwrap();
    std::fs::File::create(path).unwrap().write_all(&bytes).unwrap();
}

fn said(entries: &[(&str, EntryType, u64)]) -> String {
    let dir = tempfile::tempdir().unwrap();
    archive(&dir.path().join("a.tar.gz"), entries);
    let workplace = Workplace::open(None, &[], dir.path()).unwrap();
    match workplace.incoming("a.tar.gz") {
        Ok(incoming) => format!("{} files", incoming.files.len()),
        Err(why) => why.message,
    }
}

#[test]
fn harm_is_refused_by_name() {
    const FILE: EntryType = EntryType::Regular;
    let manifest = ("package.yaml", FILE, 0);
    assert_eq!(said(&[manifest, ("check/a.rhai", FILE, 10)]), "2 files");
    assert_eq!(
        said(&[("out/package.yaml", FILE, 0), ("out/check/a.rhai", FILE, 10)]),
        "2 files"
    );
    for (entry, told) in [
        (("../a.rhai", FILE, 1), "leads out of the package"),
        (("check/../../a.rhai", FILE, 1), "leads out of the package"),
        (("/etc/a.rhai", FILE, 1), "leads out of the package"),
        (("check\\a.rhai", FILE, 1), "is no plain path"),
        (("check/.a.rhai", FILE, 1), "is no plain path"),
        (("check/a.rhai", EntryType::Symlink, 0), "is a link"),
        (("check/a.rhai", EntryType::Link, 0), "is a link"),
        (("check/a.rhai", EntryType::Char, 0), "is a link, or no plain file"),
        (("check/a.rhai", FILE, (1 << 20) + 1), "is larger than 1 MB"),
        (("check/a.exe", FILE, 1), "has no place in a package"),
    ] {
        let why = said(&[manifest, entry]);
        assert!(why.contains(told), "{entry:?}: {why}");
    }
    let twice = said(&[manifest, ("check/a.rhai", FILE, 1), ("check/A.rhai", FILE, 1)]);
    assert!(twice.contains("two files of one name"), "{twice}");
    let names: Vec<String> = (0..3_000).map(|number| format!("check/a{number}.rhai")).collect();
    let many: Vec<_> = std::iter::once(manifest)
        .chain(names.iter().map(|name| (name.as_str(), FILE, 1)))
        .collect();
    assert!(said(&many).contains("more than 500 files"));
    let large: Vec<_> = std::iter::once(manifest)
        .chain(names[..20].iter().map(|name| (name.as_str(), FILE, 1 << 20)))
        .collect();
    let why = said(&large);
    assert!(
        why.contains("larger than 8 MB") || why.contains("can't be read"),
        "{why}"
    );
}

/// No disk takes such a name: nothing of the package stays behind.
#[test]
fn a_package_that_cannot_be_written_leaves_nothing() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("studio.yaml"), "studio: x\n").unwrap();
    let file = std::fs::File::create(dir.path().join("long.tar.gz")).unwrap();
    let mut builder = Builder::new(GzEncoder::new(file, Compression::fast()));
    let long = format!("data/{}.csv", "a".repeat(300));
    for (path, text) in [("package.yaml", MANIFEST), (long.as_str(), b"a\n1\n")] {
        let mut header = Header::new_gnu();
        header.set_size(text.len() as u64);
        header.set_mode(0o644);
        builder.append_data(&mut header, path, text).unwrap();
    }
    builder.into_inner().unwrap().finish().unwrap();
    let workplace = Workplace::open(None, &[], dir.path()).unwrap();
    let incoming = workplace.incoming("long.tar.gz").unwrap();
    assert!(workplace.take_in(&incoming, "long.tar.gz", false).is_err());
    let from = dir.path().join("scripts/from");
    assert_eq!(std::fs::read_dir(from).map_or(0, Iterator::count), 0);
    assert!(!dir.path().join("scripts.lock").exists());
}
