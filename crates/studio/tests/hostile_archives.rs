//! Archives that mean no good: each is refused with its name and a cure, none writes
//! anything, none is unpacked as far as it would like.

use std::io::{Read, Write};
use std::path::Path;

use flate2::Compression;
use flate2::write::GzEncoder;
use tar::{Builder, EntryType, Header};

use glost_studio::Workplace;

const MANIFEST: &str = "name: bad\nversion: 1\nauthor: a\nlicence: MIT\nneeds: { api: 1 }\n";

/// An entry as its maker wrote it: no path is too odd for its header.
fn entry(archive: &mut Builder<impl Write>, path: &str, kind: EntryType, text: &mut dyn Read, bytes: u64) {
    let mut header = Header::new_gnu();
    header.as_old_mut().name[..path.len()].copy_from_slice(path.as_bytes());
    header.set_entry_type(kind);
    if matches!(kind, EntryType::Symlink | EntryType::Link) {
        header.set_link_name("/etc/passwd").unwrap();
    }
    header.set_size(bytes);
    header.set_mode(0o644);
    header.set_cksum();
    archive.append(&header, text).unwrap();
}

fn plain(archive: &mut Builder<impl Write>, path: &str, text: &str) {
    entry(
        archive,
        path,
        EntryType::Regular,
        &mut text.as_bytes(),
        text.len() as u64,
    );
}

/// Looks at an archive that `fill` makes, in a studio's folder; what it is refused with.
fn refused(folder: &Path, fill: impl FnOnce(&mut Builder<GzEncoder<std::fs::File>>)) -> String {
    let file = std::fs::File::create(folder.join("bad.tar.gz")).unwrap();
    let mut archive = Builder::new(GzEncoder::new(file, Compression::fast()));
    plain(&mut archive, "package.yaml", MANIFEST);
    fill(&mut archive);
    archive.into_inner().unwrap().finish().unwrap();
    let workplace = Workplace::open(None, &[], folder).unwrap();
    let why = workplace.incoming("bad.tar.gz").unwrap_err();
    assert_eq!(why.code, "bad-package");
    assert_eq!(&*why.place.as_ref().unwrap().file, "bad.tar.gz", "{why:?}");
    assert!(why.help.is_some(), "{why:?}");
    why.message
}

#[test]
fn hostile_archives_are_refused() {
    let outer = tempfile::tempdir().unwrap();
    let folder = outer.path().join("studio");
    std::fs::create_dir(&folder).unwrap();
    std::fs::write(folder.join("studio.yaml"), "studio: x\n").unwrap();
    for path in ["../../evil.rhai", "/evil.rhai", "check/../../evil.rhai"] {
        let why = refused(&folder, |archive| plain(archive, path, "x"));
        assert!(why.contains("leads out of the package"), "{why}");
    }
    for kind in [EntryType::Symlink, EntryType::Link, EntryType::Fifo, EntryType::Char] {
        let why = refused(&folder, |archive| {
            entry(archive, "check/a.rhai", kind, &mut "".as_bytes(), 0)
        });
        assert!(why.contains("is a link, or no plain file"), "{why}");
    }
    for other in ["check/a.rhai", "check/A.rhai"] {
        let why = refused(&folder, |archive| {
            plain(archive, "check/a.rhai", "x");
            plain(archive, other, "y");
        });
        assert!(why.contains("two files of one name"), "{why}");
    }
    // It says a gigabyte; nobody reads on after the first.
    let why = refused(&folder, |archive| {
        entry(
            archive,
            "data/a.csv",
            EntryType::Regular,
            &mut std::io::repeat(b'0').take(2 << 20),
            1 << 30,
        );
    });
    assert!(why.contains("larger than 1 MB"), "{why}");
    let megabyte = "0".repeat(1 << 20);
    let why = refused(&folder, |archive| {
        (0..12).for_each(|number| plain(archive, &format!("data/{number}.csv"), &megabyte));
    });
    assert!(
        why.contains("larger than 8 MB") || why.contains("can't be read"),
        "{why}"
    );
    let why = refused(&folder, |archive| {
        (0..3_000).for_each(|number| plain(archive, &format!("data/{number}.csv"), "a\n"));
    });
    assert!(why.contains("more than 500 files"), "{why}");
    let left: Vec<_> = std::fs::read_dir(outer.path()).unwrap().collect();
    assert_eq!(left.len(), 1, "something lies beside the studio");
    assert!(!folder.join("scripts").exists());
}
