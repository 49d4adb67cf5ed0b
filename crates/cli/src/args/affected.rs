use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct AffectedOptions {
    /// The material that is gone
    #[arg(
        long,
        value_name = "MATERIAL",
        required_unless_present = "new_lot",
        conflicts_with = "new_lot"
    )]
    pub(crate) out: Option<String>,
    /// A materials file with the new sheet, under the old name
    #[arg(long, value_name = "FILE")]
    pub(crate) new_lot: Option<PathBuf>,
}
