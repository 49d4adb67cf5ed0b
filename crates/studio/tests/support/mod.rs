//! A studio in a folder of its own.
#![allow(dead_code, reason = "each test uses some of it")]

use std::fs;
use std::path::{Path, PathBuf};

use glost_chemistry::diagnostic::Diagnostic;
use glost_studio::Workplace;

pub mod watched;

pub struct Studio {
    dir: tempfile::TempDir,
}

impl Studio {
    pub fn with(files: &[(&str, &str)]) -> Studio {
        let studio = Studio::bare();
        studio.write("studio.yaml", "studio: Ternholm Tiles\ncup: 240 ml\n");
        for (path, text) in files {
            studio.write(path, text);
        }
        studio
    }

    pub fn bare() -> Studio {
        match tempfile::tempdir() {
            Ok(dir) => Studio { dir },
            Err(error) => panic!("{error}"),
        }
    }

    pub fn path(&self) -> &Path {
        self.dir.path()
    }

    pub fn write(&self, path: &str, text: impl AsRef<[u8]>) {
        let path = self.path().join(path);
        let made = path.parent().map(fs::create_dir_all);
        assert!(made.is_some_and(|made| made.is_ok()) && fs::write(path, text).is_ok());
    }

    pub fn try_open(&self, extra: &[&str]) -> Result<Workplace, Vec<Diagnostic>> {
        let extra: Vec<PathBuf> = extra.iter().map(PathBuf::from).collect();
        Workplace::open(None, &extra, self.path())
    }

    pub fn open(&self) -> Workplace {
        self.try_open(&[]).unwrap_or_else(|errors| panic!("{errors:?}"))
    }

    pub fn read(&self, path: &str) -> String {
        fs::read_to_string(self.path().join(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
    }
}
