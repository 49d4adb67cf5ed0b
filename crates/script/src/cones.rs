//! For which firings a script's numbers hold.

use std::cell::OnceCell;

use glost_chemistry::diagnostic::did_you_mean;
use glost_chemistry::glaze::GlazeNotes;
use glost_chemistry::quantity::{Cone, FiringPeak, NumberTrouble};

use crate::about::About;

/// Cones from the coolest to the hottest, both taken in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ConeRange {
    /// The coolest.
    pub low: Cone,
    /// The hottest.
    pub high: Cone,
}

impl ConeRange {
    /// Reads `04..3`, `6`.
    ///
    /// # Errors
    /// No cone of the table, or the hotter one first.
    pub fn parse(text: &str) -> Result<ConeRange, NumberTrouble> {
        let (low, high) = text.split_once("..").unwrap_or((text, text));
        let (low, high) = match (Cone::parse(low), Cone::parse(high)) {
            (Ok(low), Ok(high)) => (low, high),
            (Err(why), _) | (_, Err(why)) => {
                let ends = text.split_once(['-', '–']);
                let ends =
                    ends.filter(|(low, high)| Cone::parse(low.trim()).is_ok() && Cone::parse(high.trim()).is_ok());
                return Err(match ends {
                    Some((low, high)) => NumberTrouble {
                        help: Some(did_you_mean([low.trim(), high.trim()].join(".."))),
                        ..why
                    },
                    None => why,
                });
            }
        };
        if low > high {
            return Err(NumberTrouble {
                message: format!("cone {} is hotter than cone {}", low.name(), high.name()),
                help: Some("write the cooler cone first, such as `cones: \"04..3\"`".to_owned()),
            });
        }
        Ok(ConeRange { low, high })
    }

    /// As scripts write it.
    pub fn text(self) -> String {
        if self.low == self.high {
            self.low.name().to_owned()
        } else {
            format!("{}..{}", self.low.name(), self.high.name())
        }
    }

    fn holds(self, cone: Cone) -> bool {
        (self.low..=self.high).contains(&cone)
    }

    /// Whether a temperature, deg C, lies where these cones bend, charts' differences included.
    fn holds_celsius(self, celsius: f64) -> bool {
        let end = |cone: Cone| cone.end_point(None, None);
        match (end(self.low), end(self.high)) {
            (Some(low), Some(high)) => {
                celsius >= low.celsius - low.plus_minus && celsius <= high.celsius + high.plus_minus
            }
            _ => false,
        }
    }
}

/// Whether a script's numbers are for a glaze's firing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Suits {
    /// They are.
    Yes,
    /// They are for other cones.
    OtherCones,
    /// They are for another atmosphere.
    OtherAtmosphere,
    /// The glaze says neither cone nor peak.
    NoCone,
}

/// A glaze's firing as its notes tell it, read once for however many scripts.
pub(crate) struct OwnFiring<'a> {
    cone: OnceCell<Option<FiringPeak>>,
    notes: &'a GlazeNotes,
}

impl<'a> OwnFiring<'a> {
    pub(crate) fn of(notes: &'a GlazeNotes) -> OwnFiring<'a> {
        OwnFiring {
            cone: OnceCell::new(),
            notes,
        }
    }

    fn cone(&self) -> Option<FiringPeak> {
        let read = || self.notes.cone.as_deref().and_then(|text| FiringPeak::parse(text).ok());
        *self.cone.get_or_init(read)
    }
}

impl OwnFiring<'_> {
    /// Whether it lies among these cones; `None` where nobody tells the firing.
    fn is_in(&self, cones: ConeRange) -> Option<bool> {
        match (self.cone(), self.notes.peak) {
            (Some(FiringPeak::Cone(cone, _)), _) => Some(cones.holds(cone)),
            (Some(FiringPeak::Temperature(peak)), _) | (None, Some(peak)) => Some(cones.holds_celsius(peak.celsius())),
            (None, None) => None,
        }
    }

    /// Whether it may lie among these cones.
    pub(crate) fn may_be_in(&self, cones: ConeRange) -> bool {
        self.is_in(cones) == Some(true)
    }
}

impl About {
    /// Whether its numbers are for this glaze's firing. An atmosphere that isn't told suits all.
    pub fn suits(&self, glaze: &GlazeNotes) -> Suits {
        self.suits_firing(&OwnFiring::of(glaze))
    }

    pub(crate) fn suits_firing(&self, firing: &OwnFiring<'_>) -> Suits {
        if let Some(cones) = self.cones {
            match firing.is_in(cones) {
                Some(true) => {}
                Some(false) => return Suits::OtherCones,
                None => return Suits::NoCone,
            }
        }
        match firing.notes.atmosphere {
            Some(own) if !self.atmospheres.is_empty() && !self.atmospheres.contains(&own) => Suits::OtherAtmosphere,
            _ => Suits::Yes,
        }
    }

    /// What its numbers are for, in its own words: `cones 04..3, oxidation`.
    pub fn meant_for(&self) -> String {
        let cones = self.cones.map(|cones| {
            let noun = if cones.low == cones.high { "cone" } else { "cones" };
            format!("{noun} {}", cones.text())
        });
        let words: Vec<&str> = self.atmospheres.iter().map(|own| own.word()).collect();
        let atmospheres = (!self.atmospheres.is_empty()).then(|| words.join(" or "));
        cones.into_iter().chain(atmospheres).collect::<Vec<_>>().join(", ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cones_are_read_with_their_noughts() {
        let text = |range: &str| ConeRange::parse(range).map(ConeRange::text).ok();
        assert_eq!(text("04..3").as_deref(), Some("04..3"));
        assert_eq!(text("6").as_deref(), Some("6"));
        assert_eq!(text(" 8 .. 12 ").as_deref(), Some("8..12"));
        for odd in ["", "3..04", "04...3", "66", "a..b"] {
            assert_eq!(text(odd), None, "{odd}");
        }
    }
}
