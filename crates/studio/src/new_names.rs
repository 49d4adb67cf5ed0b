//! Names that are given to new glazes, materials and clays, and the files they go into.

use std::path::{Path, PathBuf};

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::material::Material;
use glost_chemistry::read::folded;

use crate::workplace::Workplace;

/// The longest name, in signs.
const MOST_SIGNS: usize = 80;
/// The longest name of a file without its ending, in signs.
const MOST_FILE_SIGNS: usize = 40;
/// Windows knows no files of these names.
const RESERVED: [&str; 8] = ["con", "prn", "aux", "nul", "com1", "com2", "lpt1", "lpt2"];

/// A name as it may be given, blanks put right.
///
/// # Errors
/// Empty, too long, or one that would be read as something else: a path, a name with
/// an addition, several lines.
pub fn new_name(what: &str, text: &str) -> Result<String, Diagnostic> {
    let wrong = |why: &str, help: &str| {
        Err(Diagnostic::error("bad-name", format!("a {what} can't be called `{}`: {why}", text.trim())).help(help))
    };
    if text.chars().any(char::is_control) {
        return wrong(
            "it holds signs that can't be seen",
            "one line of letters, digits and blanks",
        );
    }
    let name = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if name.is_empty() {
        let message = format!("the {what}'s name is empty");
        return Err(
            Diagnostic::error("no-name", message).help("nothing was written; say one, such as \"clear for cups\"")
        );
    }
    if name.chars().count() > MOST_SIGNS {
        return wrong("it is too long", "80 signs at most; put the rest into `notes`");
    }
    if name.contains(['/', '\\']) {
        return wrong(
            "`/` parts folders, and a plan from its tile",
            "take another sign: \"clear for cups\"",
        );
    }
    let ending = Path::new(&name).extension();
    if ending.is_some_and(|ending| ending.eq_ignore_ascii_case("yaml") || ending.eq_ignore_ascii_case("yml")) {
        return wrong(
            "that is a file's name",
            "name it without the ending: \"clear for cups\"",
        );
    }
    if name.contains(" + ") {
        return wrong(
            "` + ` stands before an addition",
            "take another word: \"clear with rutile\"",
        );
    }
    Ok(name)
}

/// The name of a file for a name: its letters and digits, of any script.
pub fn file_stem(name: &str, otherwise: &str) -> String {
    let mut stem = String::new();
    for sign in name.to_lowercase().chars() {
        if sign.is_alphanumeric() {
            stem.push(sign);
        } else if !stem.ends_with('_') && !stem.is_empty() {
            stem.push('_');
        }
    }
    let stem: String = stem.chars().take(MOST_FILE_SIGNS).collect();
    let stem = stem.trim_end_matches('_');
    if stem.is_empty() || RESERVED.contains(&stem) {
        otherwise.to_owned()
    } else {
        stem.to_owned()
    }
}

impl Workplace {
    /// Where a new glaze's file goes.
    ///
    /// # Errors
    /// No studio, a name that can't be one, or that a glaze has already.
    pub fn place_for_glaze(&self, name: &str) -> Result<PathBuf, Vec<Diagnostic>> {
        let name = new_name("glaze", name).map_err(|why| vec![why])?;
        let dir = self.own_folder("a glaze").map_err(|why| vec![why])?;
        match self.look_for_glaze(&name) {
            Ok(_) => Err(vec![name_taken("glaze", &name)]),
            Err(nothing) if nothing.unknown => {
                Ok(dir.join("glazes").join(format!("{}.yaml", file_stem(&name, "glaze"))))
            }
            Err(nothing) => Err(nothing.complaints),
        }
    }

    /// Where a new clay's file goes.
    ///
    /// # Errors
    /// As [`Workplace::place_for_glaze`].
    pub fn place_for_clay(&self, name: &str) -> Result<PathBuf, Vec<Diagnostic>> {
        let name = new_name("clay", name).map_err(|why| vec![why])?;
        let dir = self.own_folder("a clay").map_err(|why| vec![why])?;
        match self.look_for_clay(&name) {
            Ok(_) => Err(vec![name_taken("clay", &name)]),
            Err(nothing) if nothing.unknown => Ok(dir.join("clays").join(format!("{}.yaml", file_stem(&name, "clay")))),
            Err(nothing) => Err(nothing.complaints),
        }
    }

    /// Where a new material's file goes: one of its own. A material that comes with Glost may
    /// get an entry of the studio's own.
    ///
    /// # Errors
    /// As [`Workplace::place_for_glaze`].
    pub fn place_for_material(&self, name: &str) -> Result<PathBuf, Vec<Diagnostic>> {
        let name = new_name("material", name).map_err(|why| vec![why])?;
        let dir = self.own_folder("a material").map_err(|why| vec![why])?;
        match self.library().find(&name) {
            // Another name of the shipped one that an own sheet lies over is free.
            Some(known) if !known.shipped && is_called(known, &name) => Err(vec![name_taken("material", &name)]),
            _ => Ok(dir
                .join("materials")
                .join(format!("{}.yaml", file_stem(&name, "material")))),
        }
    }

    /// The studio's own folder, to put something into.
    pub(crate) fn own_folder(&self, what: &str) -> Result<&Path, Diagnostic> {
        self.studio_dir().ok_or_else(|| {
            Diagnostic::error("no-studio", format!("there is no studio folder here to keep {what} in"))
                .help("`glost start` makes one and asks five questions; `glost init my-studio` makes an empty one")
        })
    }

    /// A file's path as it is shown: below the studio's folder.
    pub fn below_studio(&self, path: &Path) -> String {
        let below = self.studio_dir().and_then(|dir| path.strip_prefix(dir).ok());
        below.unwrap_or(path).display().to_string()
    }

    /// Makes a new file with the folder it lies in, as a whole; never over another.
    ///
    /// # Errors
    /// Something of this name is there, or it can't be written.
    pub fn create_in_studio(&self, path: &Path, text: &str) -> Result<(), Diagnostic> {
        if let Some(folder) = path.parent() {
            let made = crate::disk::create_folders(&**self.disk(), folder);
            made.map_err(|error| crate::save::cannot_write(folder, &error))?;
        }
        crate::save::create_new_on(self.disk(), path, text)
    }
}

/// Whether a material's own sheet gives it this name.
fn is_called(material: &Material, name: &str) -> bool {
    let mut names = std::iter::once(&material.name).chain(&material.other_names);
    names.any(|own| folded(own) == folded(name))
}

/// The complaint that something has this name already.
pub(crate) fn name_taken(what: &str, name: &str) -> Diagnostic {
    Diagnostic::error("already-there", format!("a {what} is called `{name}` already"))
        .help("nothing was written; choose another name")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_that_would_be_read_otherwise_are_refused() {
        for (name, read) in [("  clear  for cups ", Ok("clear for cups")), ("釉 1", Ok("釉 1"))] {
            assert_eq!(new_name("glaze", name).as_deref().map_err(|why| why.code), read);
        }
        assert!(new_name("glaze", &"x".repeat(80)).is_ok());
        for name in [
            "",
            "a/b",
            "clear.yaml",
            "clear + 3 % rutile",
            "a\nb",
            "\u{1b}[1m",
            &"x".repeat(81),
        ] {
            assert!(new_name("glaze", name).is_err(), "{name:?}");
        }
    }

    #[test]
    fn files_are_named_by_letters_of_any_script() {
        assert_eq!(file_stem("Clear (for) cups!", "glaze"), "clear_for_cups");
        assert_eq!(file_stem("釉 1", "glaze"), "釉_1");
        assert_eq!(file_stem("CON", "glaze"), "glaze");
        assert_eq!(file_stem("//", "glaze"), "glaze");
    }
}
