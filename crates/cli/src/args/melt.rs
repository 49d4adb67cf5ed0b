use clap::Args;

use super::AdditionsOption;

#[derive(Debug, Args)]
pub(crate) struct MeltOptions {
    /// A glaze's file or name
    pub(crate) glaze: String,
    /// How stiff it is at a temperature, 850 to 1450 C: "1200 C" (repeat for more)
    #[arg(long, value_name = "CELSIUS", allow_hyphen_values = true)]
    pub(crate) at: Vec<String>,
    /// The peak, instead of the glaze's: "6", "large 6", "small 08", "1220 C"
    #[arg(long, value_name = "CONE")]
    pub(crate) cone: Option<String>,
    /// Count the additions, or leave them out: an opacifier hardly melts in
    #[arg(long, value_enum, default_value_t = AdditionsOption::In)]
    pub(crate) additions: AdditionsOption,
    /// How fast the last 100 C go: "60 C/h"
    #[arg(long, value_name = "RATE")]
    pub(crate) rate: Option<String>,
}
