//! The scales of a studio.

use glost_chemistry::quantity::Grams;

/// The scales a studio weighs with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scales {
    /// The step they read to.
    pub reads_to: Grams,
    /// The most they carry.
    pub up_to: Option<Grams>,
}

impl Default for Scales {
    /// 0.1 g steps, no limit known.
    fn default() -> Self {
        Scales {
            reads_to: Grams::TENTH,
            up_to: None,
        }
    }
}
