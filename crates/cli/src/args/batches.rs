use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct BatchesOptions {
    /// A batch's number, to see it in full; or `diff 14 15`, to see what differs
    #[arg(value_name = "NUMBER", num_args = 0..=3)]
    pub(crate) words: Vec<String>,
    /// With a number: what differs between the two
    #[arg(long, value_name = "NUMBER")]
    pub(crate) against: Option<String>,
    /// Only batches that hold this lot
    #[arg(long, value_name = "LOT")]
    pub(crate) lot: Option<String>,
    /// Only batches that hold this material
    #[arg(long, value_name = "MATERIAL")]
    pub(crate) material: Option<String>,
    /// Only batches of this glaze
    #[arg(long, value_name = "GLAZE")]
    pub(crate) glaze: Option<String>,
    /// Take a booking back: it wasn't mixed; its stock goes back on the shelf
    #[arg(long, value_name = "NUMBER", conflicts_with_all = ["words", "against", "lot", "material", "glaze"])]
    pub(crate) void: Option<String>,
    /// Why it is taken back
    #[arg(long, value_name = "WORDS", requires = "void")]
    pub(crate) text: Option<String>,
    /// The day it is taken back, instead of today: 2026-11-24
    #[arg(long, value_name = "DATE", requires = "void")]
    pub(crate) on: Option<String>,
}
