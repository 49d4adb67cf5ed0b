//! A package as one file to hand on.

use std::path::{Path, PathBuf};

use flate2::Compression;
use flate2::write::GzEncoder;
use glost_chemistry::diagnostic::Diagnostic;
use tar::{Builder, Header};

use super::install::Incoming;
use crate::disk::{is_taken, real_disk};
use crate::save::{already_there, create_new_bytes};

/// Packs what came in into `NAME-VERSION.tar.gz` in a folder; the same files give the same
/// bytes.
///
/// # Errors
/// Something of that name is there, or it can't be written.
pub(super) fn pack(incoming: &Incoming, folder: &Path) -> Result<PathBuf, Diagnostic> {
    let manifest = &incoming.manifest;
    let version: String = manifest
        .version
        .chars()
        .map(|sign| {
            if sign.is_alphanumeric() || sign == '.' {
                sign
            } else {
                '-'
            }
        })
        .collect();
    let path = folder.join(format!("{}-{version}.tar.gz", manifest.name));
    if is_taken(&*real_disk(), &path) {
        return Err(already_there(&path)
            .help("nothing was written; move it away, or raise `version` in package.yaml, which names the file"));
    }
    let trouble = |error: std::io::Error| Diagnostic::error("cannot-write", format!("it can't be packed: {error}"));
    let mut archive = Builder::new(GzEncoder::new(Vec::new(), Compression::default()));
    for file in &incoming.files {
        let text = file.text.replace("\r\n", "\n");
        let mut header = Header::new_gnu();
        header.set_size(text.len() as u64);
        header.set_mode(0o644);
        header.set_mtime(0);
        let name = format!("{}/{}", manifest.name, file.path);
        archive
            .append_data(&mut header, name, text.as_bytes())
            .map_err(trouble)?;
    }
    let bytes = archive.into_inner().and_then(GzEncoder::finish).map_err(trouble)?;
    create_new_bytes(&path, &bytes)?;
    Ok(path)
}
