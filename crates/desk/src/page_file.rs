//! A page to print that a call asks for.

use std::path::{Path, PathBuf};

use glost_chemistry::diagnostic::{Diagnostic, under};

/// What a file of pages is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PageFormat {
    /// To open in a browser and print: any number of pages.
    Html,
    /// One drawing.
    Svg,
}

impl PageFormat {
    /// By the file's ending.
    ///
    /// # Errors
    /// Another ending, or none.
    pub fn of(file: &Path) -> Result<PageFormat, Diagnostic> {
        let ending = file.extension().map(|ending| ending.to_string_lossy().to_lowercase());
        match ending.as_deref() {
            Some("html" | "htm") => Ok(PageFormat::Html),
            Some("svg") => Ok(PageFormat::Svg),
            _ => Err(Diagnostic::error(
                "bad-page",
                under(file.display(), "a page to print ends in .html or .svg"),
            )
            .help("nothing was written; say .html to open in a browser and print (a PDF comes from its print window), .svg for a drawing")),
        }
    }
}

/// A file of pages to be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PageFile {
    /// Its path, as named in the call.
    pub path: PathBuf,
    /// What it holds.
    pub format: PageFormat,
}

impl PageFile {
    /// Of a path.
    ///
    /// # Errors
    /// Its ending is neither .html nor .svg.
    pub fn of(path: &str) -> Result<PageFile, Diagnostic> {
        let path = PathBuf::from(path);
        let format = PageFormat::of(&path)?;
        Ok(PageFile { path, format })
    }

    /// Whether something of this name is there already.
    pub fn is_taken(&self) -> bool {
        glost_studio::is_there(&self.path)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ending_picks_the_form() {
        assert_eq!(PageFormat::of(Path::new("a.HTML")), Ok(PageFormat::Html));
        assert_eq!(PageFormat::of(Path::new("a.svg")), Ok(PageFormat::Svg));
        for other in ["a.pdf", "a", "svg", ""] {
            assert!(PageFormat::of(Path::new(other)).is_err(), "{other}");
        }
    }
}
