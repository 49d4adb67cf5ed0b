use clap::Args;
use glost_desk::sensitivity;

#[derive(Debug, Args)]
pub(crate) struct SensitivityOptions {
    /// A glaze's file or name
    pub(crate) glaze: String,
    /// How many parts more of each, on 100 of base; less with a minus
    #[arg(long, value_name = "PARTS", default_value = sensitivity::STEP, allow_hyphen_values = true)]
    pub(crate) step: String,
    /// A material that isn't in the recipe (repeatable)
    #[arg(long, value_name = "MATERIAL")]
    pub(crate) with: Vec<String>,
    /// The batch whose weighing errors are shown
    #[arg(long, value_name = "WEIGHT", default_value = sensitivity::DRY)]
    pub(crate) dry: String,
    /// Other scales than the studio's: "1 g to 15 kg"
    #[arg(long, value_name = "SCALES")]
    pub(crate) scales: Option<String>,
}
