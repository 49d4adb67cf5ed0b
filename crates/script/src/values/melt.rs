//! How stiff a glaze's melt is at its peak.

use glost_chemistry::glass::{MeltCurve, MeltReading};
use glost_chemistry::glaze::Glaze;
use glost_chemistry::quantity::{Celsius, FiringPeak};
use rhai::{Dynamic, EvalAltResult};

use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;

use super::{GlazeValue, or_nothing};

/// The glaze's peak: as its file says, else where its cone bends.
fn peak(glaze: &Glaze) -> Option<Celsius> {
    if let Some(peak) = glaze.about.peak {
        return Celsius::new(peak.celsius());
    }
    // A cone that isn't one is complained about where glazes are read.
    match FiringPeak::parse(glaze.about.cone.as_deref()?).ok()? {
        FiringPeak::Temperature(celsius) => Some(celsius),
        FiringPeak::Cone(cone, family) => Celsius::new(cone.end_point(family, None)?.celsius),
    }
}

/// Its peak in degrees Celsius, as [`register`] tells of it.
pub(crate) fn peak_or_cone(glaze: &Glaze) -> Option<f64> {
    peak(glaze).map(Celsius::celsius)
}

pub(super) fn register(shelf: &mut Shelf) {
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "peak_or_cone",
            Sort::Number,
            "Its peak in degrees Celsius: as given, else where its cone bends; `()` where neither is given.",
        ),
        |glaze: &mut GlazeValue| or_nothing(peak_or_cone(glaze.recipe())),
    );
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "peak_viscosity",
            Sort::Number,
            "How stiff its melt is at the peak, log10 of Pa s, for a glass of exactly this composition (90 % within about 0.5): 1 stands for thinner than that, 5 for stiffer; `()` where the model has nothing to say.",
        )
        .example("glaze.peak_viscosity != ()"),
        |glaze: &mut GlazeValue| -> Result<Dynamic, Box<EvalAltResult>> {
            let moles = &glaze.chemistry()?.moles;
            let Some(peak) = peak(glaze.recipe()) else {
                return Ok(Dynamic::UNIT);
            };
            let curve = MeltCurve::of(&moles.without(&MeltCurve::leavable(moles)));
            Ok(match curve.map(|curve| curve.at(peak)) {
                None | Some(MeltReading::Refused(_)) => Dynamic::UNIT,
                Some(MeltReading::Power(power)) => power.value.into(),
                Some(MeltReading::Thinner) => MeltCurve::TOLD_POWERS.0.into(),
                Some(MeltReading::Thicker) => MeltCurve::TOLD_POWERS.1.into(),
            })
        },
    );
}
