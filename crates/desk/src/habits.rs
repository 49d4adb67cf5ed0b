//! How a new glaze is made: firing, clay, water and use, as a call says them.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::{GlazeNotes, Use};
use glost_core::intake::start::{Firing, parse_firing, parse_water};

use crate::words::bad_option;
use crate::{Desk, Failure, Words};

/// What a call says of how a new glaze is made.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Habits {
    /// Its firing.
    pub firing: Option<Firing>,
    /// Its clay's name.
    pub clay: Option<String>,
    /// Water for a kilo of powder, as typed: the studio says what a cup is.
    pub water: Option<String>,
    /// What it is for.
    pub usage: Option<Use>,
}

impl Habits {
    /// Reads the options `firing`, `clay`, `water` and `use`.
    ///
    /// # Errors
    /// One that can't be read.
    pub fn from_words(words: &Words) -> Result<Habits, Diagnostic> {
        Ok(Habits {
            firing: words.read("firing", parse_firing)?,
            clay: words.one_line("clay"),
            water: words.owned("water"),
            usage: words.usage()?,
        })
    }

    /// Writes them over what a glaze says. Where there is a studio the clay has to be one
    /// of its own.
    ///
    /// # Errors
    /// No such clay, water that can't be read.
    pub fn onto(&self, about: &mut GlazeNotes, desk: &Desk) -> Result<(), Failure> {
        let workplace = desk.workplace();
        match &self.firing {
            Some(Firing::Cone(cone)) => (about.cone, about.peak) = (Some(cone.clone()), None),
            Some(Firing::Peak(peak)) => (about.cone, about.peak) = (None, Some(*peak)),
            None => {}
        }
        if let Some(clay) = &self.clay {
            about.clay = Some(match workplace.studio_dir() {
                Some(_) => workplace.clay(clay)?.clay.name,
                None => clay.clone(),
            });
        }
        if let Some(water) = &self.water {
            let read = parse_water(water, workplace.settings().cup).map_err(|bad| bad_option("water", bad))?;
            about.water = Some(read);
        }
        if let Some(usage) = self.usage {
            about.usage = Some(usage);
        }
        Ok(())
    }
}
