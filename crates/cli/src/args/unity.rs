use clap::Args;

use super::AdditionsOption;

#[derive(Debug, Args)]
pub(crate) struct UnityOptions {
    /// A glaze's file or name
    pub(crate) glaze: String,
    /// Count the additions, or leave them out
    #[arg(long, value_enum, default_value_t = AdditionsOption::In)]
    pub(crate) additions: AdditionsOption,
    /// The expansion model to show instead of the default: Appen, or a
    /// historical one (English & Turner, Winkelmann & Schott, Mayer & Havas)
    #[arg(long, value_name = "MODEL")]
    pub(crate) model: Option<String>,
    /// Show the sum as one does it by hand
    #[arg(long, visible_alias = "by-hand")]
    pub(crate) steps: bool,
}
