//! The shipped materials, inside the crate: textbook minerals, published
//! analyses, and representative ones that are invented and say so.

use std::sync::OnceLock;

use crate::diagnostic::{Diagnostic, Source};

use crate::read::unpacked;

use super::library::Library;
use super::sheets::{Sheets, read_sheets, sheets_in};

/// The files by name, in order; each material in them names its source.
pub const SHIPPED_FILES: [(&str, &str); 3] = [
    ("published.yaml", include_str!("../../materials/published.yaml")),
    (
        "representative.yaml",
        include_str!("../../materials/representative.yaml"),
    ),
    ("textbook.yaml", include_str!("../../materials/textbook.yaml")),
];

/// The same files' values, packed when the crate was built.
const PACKED: [&[u8]; 3] = [
    include_bytes!(concat!(env!("OUT_DIR"), "/published.values")),
    include_bytes!(concat!(env!("OUT_DIR"), "/representative.values")),
    include_bytes!(concat!(env!("OUT_DIR"), "/textbook.values")),
];

/// The shipped materials as the lowest layer, with any complaint about them
/// (there is none in a build whose tests pass). Read once, at the first call.
pub fn shipped_library() -> &'static (Library, Vec<Diagnostic>) {
    static READ: OnceLock<(Library, Vec<Diagnostic>)> = OnceLock::new();
    READ.get_or_init(|| {
        let mut all = Sheets::default();
        for ((name, text), packed) in SHIPPED_FILES.into_iter().zip(PACKED) {
            let source = Source::from_text(&format!("shipped/{name}"), text);
            let read = match unpacked(packed) {
                Some(root) => sheets_in(&source, &root),
                None => read_sheets(&source),
            };
            all.entries.extend(read.entries);
            all.broken.extend(read.broken);
        }
        let mut library = Library::default();
        let complaints = library.add_sheets(all, true);
        (library, complaints)
    })
}

impl Library {
    /// The materials that come with the crate: more than a hundred, by their
    /// mineral's or chemical's plain name.
    ///
    /// ```
    /// use glost_chemistry::Materials;
    ///
    /// let materials = Materials::shipped();
    /// assert!(materials.find("whiting").is_some());
    /// assert!(materials.iter().count() > 100);
    /// ```
    pub fn shipped() -> Library {
        shipped_library().0.clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shipped_materials_load_without_complaint() {
        let (library, complaints) = shipped_library();
        assert_eq!(complaints, &[]);
        assert!(library.iter().count() > 100);
        assert!(
            library
                .iter()
                .all(|material| material.shipped && material.fired.is_some())
        );
    }

    #[test]
    fn what_was_packed_is_what_the_files_say() {
        for ((name, text), packed) in SHIPPED_FILES.into_iter().zip(PACKED) {
            let read = crate::read::parse(&Source::from_text(name, text));
            let same = format!("{:?}", read.ok()) == format!("{:?}", unpacked(packed));
            assert!(same, "{name}");
        }
    }

    #[test]
    fn every_file_on_disk_is_embedded() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("materials");
        let Ok(listed) = std::fs::read_dir(&folder) else {
            panic!("{} can't be listed", folder.display())
        };
        let mut on_disk: Vec<String> = listed
            .flatten()
            .map(|file| file.file_name().to_string_lossy().into_owned())
            .collect();
        on_disk.sort();
        assert_eq!(SHIPPED_FILES.map(|file| file.0.to_owned()).to_vec(), on_disk);
    }
}
