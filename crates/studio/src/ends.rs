//! Ends of blends by name: glazes, glazes with additions typed behind them, and
//! materials by themselves.

use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::Library;
use glost_core::studio::StudioSettings;
use glost_core::tiles::blend::{EndText, glaze_of};

use crate::bench::Origin;
use crate::workplace::{FoundGlaze, NotFound, Workplace};

/// The end of a blend with everything that goes with it.
#[derive(Debug, Clone)]
pub struct FoundEnd {
    /// The glaze.
    pub glaze: Glaze,
    /// The materials it can see.
    pub library: Arc<Library>,
    /// The settings that hold for it.
    pub settings: Arc<StudioSettings>,
    /// Where it comes from.
    pub origin: Origin,
}

impl From<FoundGlaze> for FoundEnd {
    fn from(found: FoundGlaze) -> FoundEnd {
        FoundEnd {
            glaze: found.glaze,
            library: found.library,
            settings: found.settings,
            origin: found.origin,
        }
    }
}

impl Workplace {
    /// An end of a blend: a glaze by its file or name, else a material by its
    /// name, with additions behind plus signs: `bought clear + 3 % silica`.
    ///
    /// # Errors
    /// As [`Workplace::glaze`]; an addition that can't be read or found.
    pub fn end(&self, text: &str) -> Result<FoundEnd, Vec<Diagnostic>> {
        let whole = self.look_for_glaze(text);
        if whole.is_ok() || !text.contains(" + ") {
            return self.end_by_name(text, whole);
        }
        let typed = EndText::parse(text).map_err(|why| vec![why])?;
        let mut end = self.end_by_name(&typed.name, self.look_for_glaze(&typed.name))?;
        end.glaze = typed.onto(end.glaze, &end.library).map_err(|why| vec![why])?;
        Ok(end)
    }

    fn end_by_name(&self, name: &str, glaze: Result<FoundGlaze, NotFound>) -> Result<FoundEnd, Vec<Diagnostic>> {
        let NotFound {
            unknown, complaints, ..
        } = match glaze {
            Ok(found) => return Ok(found.into()),
            Err(nothing) => nothing,
        };
        let home = self.of_names()?;
        match home.library.find(name).filter(|_| unknown) {
            Some(material) => Ok(FoundEnd {
                glaze: glaze_of(material),
                ..home
            }),
            None => Err(complaints),
        }
    }
}
