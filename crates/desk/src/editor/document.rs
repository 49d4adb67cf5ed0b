//! What sort of file a document is.

use std::path::Path;

use glost_chemistry::diagnostic::Source;

pub(super) const STUDIO_FILE: &str = "studio.yaml";

/// What a document is, by where it lies, else by what it says first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sort {
    Script,
    Glaze,
    Clay,
    Materials,
    Studio,
    /// Nothing that Glost reads.
    Other,
}

impl Sort {
    pub(super) fn of(path: &Path, source: &Source) -> Sort {
        let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
        match ending.as_deref() {
            Some("rhai") => return Sort::Script,
            Some("yaml" | "yml") => {}
            _ => return Sort::Other,
        }
        if path.ends_with(STUDIO_FILE) {
            return Sort::Studio;
        }
        let folder = path.parent().and_then(Path::file_name);
        match folder.map(|folder| folder.to_string_lossy()).as_deref() {
            Some("glazes") => Sort::Glaze,
            Some("clays") => Sort::Clay,
            Some("materials") => Sort::Materials,
            _ => Sort::by_its_keys(source),
        }
    }

    /// A file outside of a studio's folders: a glaze names its clay too, so `glaze` and
    /// `parts` count first.
    fn by_its_keys(source: &Source) -> Sort {
        let has = |key: &str| source.text.lines().any(|line| line.starts_with(key));
        if has("glaze:") || has("parts:") {
            Sort::Glaze
        } else if has("materials:") {
            Sort::Materials
        } else if has("clay:") || has("body:") {
            Sort::Clay
        } else {
            Sort::Other
        }
    }
}
