//! The shipped materials, inside the crate: textbook minerals, published
//! analyses, and representative ones that are invented and say so.

use std::sync::{Arc, OnceLock};

use crate::diagnostic::Source;
use crate::read::{packed_items, packed_texts, unpacked};

use super::entry::EntryReader;
use super::library::{Layer, Library, Material};
use super::mix::Mixer;

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

/// The shipped materials as the lowest layer. Their names are gathered once, at the first
/// call; what else a sheet says is read when somebody asks for it: a command needs six of them.
///
/// # Panics
/// Where the files packed at the build are no materials files; tests hold that they are.
pub fn shipped_library() -> &'static Library {
    static READ: OnceLock<Library> = OnceLock::new();
    READ.get_or_init(|| {
        let mut layer = Layer::default();
        for (file, bytes) in PACKED.into_iter().enumerate() {
            for bytes in packed_items(bytes, "materials").expect("a file lists its materials") {
                let settled = OnceLock::new();
                let texts = |key| packed_texts(bytes, key).expect("a sheet was packed whole");
                let (names, other_names) = (texts("name"), texts("other_names"));
                layer.put(PackedSheet { file, bytes, settled }, &names, &other_names);
            }
        }
        let mut library = Library::default();
        library.lay(layer);
        library
    })
}

/// A shipped sheet, packed until somebody asks for it.
#[derive(Debug)]
pub(super) struct PackedSheet {
    file: usize,
    bytes: &'static [u8],
    settled: OnceLock<Arc<Material>>,
}

impl PackedSheet {
    /// What the sheet says. Shipped sheets are mixed from nothing and lie over nothing.
    ///
    /// # Panics
    /// Where it can't be used; a test holds that each can.
    pub(super) fn material(&self) -> &Arc<Material> {
        self.settled.get_or_init(|| {
            let node = unpacked(self.bytes).expect("a sheet was packed whole");
            let read = EntryReader::new(source(self.file), &node).and_then(|reader| reader.read());
            let entry = read.unwrap_or_else(|why| panic!("a shipped sheet can't be read: {why:?}"));
            let (nothing, nowhere) = (Library::default(), Layer::default());
            let settled = Mixer::new(&nothing, &nowhere, &[entry]).settle(0);
            let mut material = settled.unwrap_or_else(|why| panic!("a shipped sheet can't be used: {why:?}"));
            Arc::make_mut(&mut material).shipped = true;
            material
        })
    }
}

/// The text of a shipped file.
fn source(file: usize) -> &'static Source {
    static SOURCES: [OnceLock<Source>; 3] = [const { OnceLock::new() }; 3];
    SOURCES[file].get_or_init(|| {
        let (name, text) = SHIPPED_FILES[file];
        Source::from_text(&format!("shipped/{name}"), text)
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
        shipped_library().clone()
    }
}

#[cfg(test)]
mod tests {
    use super::super::sheets::{Sheets, read_sheets};
    use super::*;

    /// Read from the files themselves, every sheet at once.
    fn read_whole() -> Library {
        let mut all = Sheets::default();
        for (name, text) in SHIPPED_FILES {
            let read = read_sheets(&Source::from_text(&format!("shipped/{name}"), text));
            all.entries.extend(read.entries);
            all.broken.extend(read.broken);
        }
        let mut library = Library::default();
        assert_eq!(library.add_sheets(all, true), []);
        library
    }

    #[test]
    fn each_sheet_by_itself_is_what_all_files_together_say() {
        let (library, whole) = (shipped_library(), read_whole());
        let told = |library: &Library| {
            library
                .iter()
                .map(|material| format!("{material:?}"))
                .collect::<Vec<_>>()
        };
        assert!(told(library).len() > 100);
        assert_eq!(told(library), told(&whole));
        for material in whole.iter() {
            assert!(material.shipped && material.fired.is_some(), "{}", material.name);
            for name in std::iter::once(&material.name).chain(&material.other_names) {
                let found = library.find(name).map(|found| &found.name);
                assert_eq!(found, whole.find(name).map(|found| &found.name), "{name}");
            }
        }
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
