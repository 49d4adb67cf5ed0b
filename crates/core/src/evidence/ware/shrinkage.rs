//! How much shorter a bar gets from wet clay to fired.

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::glaze::quantity;
use glost_chemistry::quantity::Millimetres;
use glost_chemistry::read::{Fields, Node};

/// A mark on wet clay is read to half a millimetre (common practice, no source).
const READ_TO_MILLIMETRES: f64 = 0.5;

/// One length, pressed into a wet bar, measured again dry and fired.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BarLengths {
    /// On the wet bar.
    pub wet: Millimetres,
    /// On the dry, unfired bar.
    pub dry: Option<Millimetres>,
    /// On the fired bar.
    pub fired: Millimetres,
}

impl BarLengths {
    /// From wet to fired, % of the wet length.
    pub fn total_percent(&self) -> f64 {
        percent(self.wet, self.fired)
    }

    /// From wet to dry, % of the wet length.
    pub fn drying_percent(&self) -> Option<f64> {
        Some(percent(self.wet, self.dry?))
    }

    /// From dry to fired, % of the dry length.
    pub fn firing_percent(&self) -> Option<f64> {
        Some(percent(self.dry?, self.fired))
    }

    /// How far off the total is at most, % of the wet length, if both ends were read to half
    /// a millimetre.
    pub fn plus_minus_percent(&self) -> f64 {
        100.0 * READ_TO_MILLIMETRES / self.wet.millimetres()
    }

    /// How long to make something wet for it to be this long fired.
    pub fn wet_for_fired(&self, fired_millimetres: f64) -> f64 {
        fired_millimetres * self.wet.millimetres() / self.fired.millimetres()
    }
}

fn percent(before: Millimetres, after: Millimetres) -> f64 {
    100.0 * (before.millimetres() - after.millimetres()) / before.millimetres()
}

/// `shrinkage: { wet: 100 mm, dry: 94 mm, fired: 88 mm }`.
pub(super) fn lengths(source: &Source, node: &Node) -> Result<BarLengths, Diagnostic> {
    const HELP: &str =
        "a line drawn 100 mm long on a wet bar, measured again: `shrinkage: { wet: 100 mm, dry: 94 mm, fired: 88 mm }`";
    let fields = Fields::new(source, node, "`shrinkage`", &["wet", "dry", "fired"])?;
    let length = |key: &str| quantity(source, &fields, key, Millimetres::parse);
    fields.required("wet", "`shrinkage`", HELP)?;
    fields.required("fired", "`shrinkage`", HELP)?;
    let (Some(wet), dry, Some(fired)) = (length("wet")?, length("dry")?, length("fired")?) else {
        return Err(Diagnostic::error("odd-lengths", "a length is missing")
            .at(source, node.mark, 1)
            .help(HELP));
    };
    let longer = |what: &str, than: &str, key: &str| {
        let mark = fields.get(key).map_or(node.mark, |value| value.mark);
        Diagnostic::error("odd-lengths", format!("the bar is longer {what} than {than}"))
            .at(source, mark, 1)
            .help("check which length is which, and that all are in the same line on the bar")
    };
    if fired > wet {
        return Err(longer("fired", "wet", "fired"));
    }
    if dry.is_some_and(|dry| dry > wet) {
        return Err(longer("dry", "wet", "dry"));
    }
    Ok(BarLengths { wet, dry, fired })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_of_a_hundred_millimetres_reads_in_per_cent() -> Result<(), &'static str> {
        let length = |millimetres| Millimetres::new(millimetres).ok_or("no length");
        let bar = BarLengths {
            wet: length(100.0)?,
            dry: Some(length(94.0)?),
            fired: length(88.0)?,
        };
        assert_eq!((bar.total_percent(), bar.drying_percent()), (12.0, Some(6.0)));
        assert!(bar.firing_percent().is_some_and(|firing| (firing - 6.383).abs() < 1e-3));
        assert_eq!(bar.plus_minus_percent(), 0.5);
        // 100 mm fired asks for 100 / 0.88 wet.
        assert!((bar.wet_for_fired(100.0) - 113.636).abs() < 1e-3);
        Ok(())
    }
}
