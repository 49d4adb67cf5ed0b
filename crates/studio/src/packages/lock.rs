//! `scripts.lock`: which packages the studio took in, from where, and the hash of every file.

use std::path::Path;

use glost_chemistry::diagnostic::{Diagnostic, Source, of_typed};
use glost_chemistry::read::{Fields, Node, Value, entries, parse, text_of};

use super::{LOCK_FILE, Manifest, PackageFile};
use crate::disk::is_taken;
use crate::folder::StudioFolder;
use crate::text_file::read_text_on;

const HEAD: &str = "# Written by `glost script add`: which packages came in, and every file's SHA-256.\n";
const KEYS: [&str; 6] = ["name", "version", "author", "licence", "from", "files"];

/// A package as the lock knows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Locked {
    /// What it said of itself.
    pub manifest: Manifest,
    /// Where it came from, as typed.
    pub from: String,
    /// Path and SHA-256 of each file.
    pub files: Vec<(String, String)>,
}

impl Locked {
    pub(super) fn of(manifest: Manifest, from: &str, files: &[PackageFile]) -> Locked {
        Locked {
            manifest,
            from: from.to_owned(),
            files: files.iter().map(|file| (file.path.clone(), file.hash())).collect(),
        }
    }
}

/// The lock of a studio; none where there is no file.
///
/// # Errors
/// It is there and can't be read.
pub(super) fn read(folder: &StudioFolder) -> Result<Vec<Locked>, Diagnostic> {
    let path = folder.dir.join(LOCK_FILE);
    if !is_taken(&*folder.disk, &path) {
        return Ok(Vec::new());
    }
    let source = read_text_on(&*folder.disk, &path, &folder.shown(LOCK_FILE))?;
    let root = parse(&source)?;
    let fields = Fields::new(&source, &root, LOCK_FILE, &["packages"])?;
    match fields.get("packages").map(|node| &node.value) {
        Some(Value::List(items)) => items.iter().map(|item| locked(&source, item)).collect(),
        _ => Ok(Vec::new()),
    }
}

fn locked(source: &Source, node: &Node) -> Result<Locked, Diagnostic> {
    let fields = Fields::new(source, node, "a package", &KEYS)?;
    let text = |key: &str| -> Result<Option<String>, Diagnostic> { Ok(fields.text(key)?.map(|text| text.text)) };
    let needed = |key: &str| -> Result<String, Diagnostic> {
        text(key)?.ok_or_else(|| {
            Diagnostic::error("bad-lock", format!("a package in {LOCK_FILE} has no `{key}`"))
                .at(source, node.mark, 1)
                .help("take the package in again: `glost script add`")
        })
    };
    let mut files = Vec::new();
    if let Some(node) = fields.get("files") {
        for (path, hash) in entries(source, node, "files")? {
            files.push((path.text.clone(), text_of(source, hash, &path.text)?.text));
        }
    }
    let name = needed("name")?;
    if !super::manifest::is_name(&name) {
        return Err(Diagnostic::error("bad-lock", of_typed(name, "can't name a package")).at(source, node.mark, 1));
    }
    Ok(Locked {
        manifest: Manifest {
            name,
            version: needed("version")?,
            author: text("author")?,
            licence: text("licence")?,
        },
        from: needed("from")?,
        files,
    })
}

/// Writes the lock as a whole.
pub(super) fn write(path: &Path, packages: &[Locked]) -> Result<(), Diagnostic> {
    let mut text = HEAD.to_owned();
    text.push_str(if packages.is_empty() {
        "packages: []\n"
    } else {
        "packages:\n"
    });
    for package in packages {
        let manifest = &package.manifest;
        text.push_str(&format!("  - name: {}\n", quoted(&manifest.name)));
        text.push_str(&format!("    version: {}\n", quoted(&manifest.version)));
        for (key, told) in [("author", &manifest.author), ("licence", &manifest.licence)] {
            if let Some(told) = told {
                text.push_str(&format!("    {key}: {}\n", quoted(told)));
            }
        }
        text.push_str(&format!("    from: {}\n    files:\n", quoted(&package.from)));
        for (path, hash) in &package.files {
            text.push_str(&format!("      {}: {}\n", quoted(path), quoted(hash)));
        }
    }
    crate::save::replace(path, &text)
}

/// In double quotes, as YAML reads them.
fn quoted(text: &str) -> String {
    let plain: String = text
        .chars()
        .map(|sign| if sign.is_control() { ' ' } else { sign })
        .collect();
    format!("\"{}\"", plain.replace('\\', "\\\\").replace('"', "\\\""))
}
