//! What a call names, found: a glaze, a material, several.

use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::material::{Library, Material};
use glost_core::evidence::notes::two_glazes;
use glost_studio::FoundGlaze;

use crate::{Desk, Failure};

impl Desk {
    /// A glaze by file or name; where there is no studio, that is told aside.
    pub fn glaze(&self, name: &str) -> Result<FoundGlaze, Failure> {
        self.tell_where();
        Ok(self.workplace().glaze(name)?)
    }

    /// The glazes of `A over B`, as typed; none where a glaze has that very name.
    pub(crate) fn two_glazes(&self, name: &str) -> Option<(String, String)> {
        let (over, under) = two_glazes(name)?;
        let is_one = self.workplace().look_for_glaze(name).is_ok();
        (!is_one).then(|| (over.to_owned(), under.to_owned()))
    }
}

impl Desk {
    /// A glaze whose pieces or chemistry are asked about.
    ///
    /// # Errors
    /// There is none of that name, or two lie one over the other: that is another matter.
    pub(crate) fn one_glaze(&self, name: &str) -> Result<FoundGlaze, Failure> {
        let Some((over, under)) = self.two_glazes(name) else {
            return self.glaze(name);
        };
        let message = format!(
            "{} over {} are two glazes on one piece: their fit, running and leaching are another matter than of each alone",
            over, under
        );
        let help = format!(
            "no chemistry is claimed of the two; `glost notes \"{}\"` shows what was seen, `glost fit \"{}\"` asks about the one below alone",
            name, under
        );
        Err(Diagnostic::error("two-glazes", message).help(help).into())
    }
}

/// A material named under an option.
pub fn material(library: &Library, option: &str, name: &str) -> Result<Arc<Material>, Diagnostic> {
    library.find(name).cloned().ok_or_else(|| {
        let unknown = Diagnostic::error(
            "unknown-material",
            format!("--{option}: no material is called `{name}`"),
        );
        let help = library.suggestion(name);
        library.why_not(
            name,
            unknown.help(help.unwrap_or_else(|| "`glost materials` lists what there is".to_owned())),
        )
    })
}

/// Materials named under an option, as often as they were named.
pub fn as_named(library: &Library, option: &str, names: &[String]) -> Result<Vec<Arc<Material>>, Diagnostic> {
    names.iter().map(|name| material(library, option, name)).collect()
}

/// Materials named under an option, each once.
pub fn materials(library: &Library, option: &str, names: &[String]) -> Result<Vec<Arc<Material>>, Diagnostic> {
    let mut found: Vec<Arc<Material>> = Vec::new();
    for name in names {
        let material = material(library, option, name)?;
        if !found.iter().any(|known| known.name == material.name) {
            found.push(material);
        }
    }
    Ok(found)
}
