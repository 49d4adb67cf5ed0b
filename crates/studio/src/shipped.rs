//! Files that travel inside the binary: the example studio and the starter files of a new studio.

use glost_chemistry::diagnostic::Source;

/// A file inside the binary.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Embedded {
    /// Its path in its folder, with `/`.
    pub path: &'static str,
    /// Its text.
    pub text: &'static str,
}

macro_rules! embedded {
    ($folder:literal: $($path:literal),* $(,)?) => {
        &[$(Embedded { path: $path, text: include_str!(concat!($folder, $path)) }),*]
    };
}

/// The example studio; paths are within `crates/studio/example/`.
pub const EXAMPLE: &[Embedded] = embedded!("../example/":
    "clays/buff_stoneware.yaml",
    "clays/red_earthenware.yaml",
    "clays/white_earthenware.yaml",
    "glazes/bought_clear.yaml",
    "glazes/driftstone_satin.yaml",
    "glazes/hearthside_clear.yaml",
    "glazes/highfell_clear.yaml",
    "glazes/honeyjar_amber.yaml",
    "glazes/lamplight_clear.yaml",
    "glazes/millpond_green.yaml",
    "glazes/mothwing_tin_white.yaml",
    "materials/bought_powders.yaml",
    "materials/clay_and_silica.yaml",
    "materials/colourants.yaml",
    "materials/feldspars.yaml",
    "materials/fluxes.yaml",
    "materials/frits.yaml",
    "studio.yaml",
);

/// What `init` writes; paths are within `crates/studio/starter/`.
pub const STARTER: &[Embedded] = embedded!("../starter/":
    "clays/README.txt",
    "glazes/first_clear.yaml",
    "materials/own.yaml",
    "scripts/README.txt",
    "studio.yaml",
);

impl Embedded {
    /// Its text under the name to show.
    pub fn source(&self, folder_shown: &str) -> Source {
        Source::from_text(&format!("{folder_shown}/{}", self.path), self.text)
    }
}

#[cfg(test)]
mod tests {
    use std::path::{Path, PathBuf};

    use super::*;

    fn files_below(folder: &Path) -> Vec<PathBuf> {
        let mut found = Vec::new();
        let Ok(entries) = std::fs::read_dir(folder) else {
            panic!("{} can't be listed", folder.display())
        };
        for entry in entries.flatten() {
            if entry.path().is_dir() {
                found.extend(files_below(&entry.path()));
            } else {
                found.push(entry.path());
            }
        }
        found
    }

    /// Each file on disk is in the list with its text, and no other.
    fn check(folder: &str, list: &[Embedded]) {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        let mut on_disk: Vec<String> = files_below(&folder)
            .iter()
            .filter_map(|path| path.strip_prefix(&folder).ok())
            .map(|path| path.to_string_lossy().replace('\\', "/"))
            .collect();
        on_disk.sort();
        let listed: Vec<&str> = list.iter().map(|file| file.path).collect();
        assert_eq!(
            listed,
            on_disk,
            "list the files of {} in shipped.rs, sorted",
            folder.display()
        );
    }

    #[test]
    fn every_file_on_disk_is_embedded() {
        check("example", EXAMPLE);
        check("starter", STARTER);
    }
}
