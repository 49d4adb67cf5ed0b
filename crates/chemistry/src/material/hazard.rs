//! What a material's sheet warns of.

/// One hazard as a material's sheet says it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hazard {
    /// The sheet's words.
    pub text: String,
    /// Whether it is of what leaves in the fire, which the sheet has under `fumes`; else it is
    /// of handling.
    pub fumes: bool,
}
