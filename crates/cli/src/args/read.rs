use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct ReadOptions {
    /// The page as a text file, or - for stdin
    #[arg(value_name = "FILE|-")]
    pub(crate) file: String,
    /// Write the glaze into this file, which must be new
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
    /// With --out: its firing, "cone 6" or "1060 C"
    #[arg(long, value_name = "PEAK")]
    pub(crate) firing: Option<String>,
    /// With --out: its clay
    #[arg(long, visible_alias = "body", value_name = "CLAY")]
    pub(crate) clay: Option<String>,
    /// With --out: water for a kilo of powder, "0.9 l" or "5 3/4 cups"
    #[arg(long, value_name = "VOLUME")]
    pub(crate) water: Option<String>,
    /// With --out: what it is for
    #[arg(long = "use", value_name = "USE")]
    pub(crate) usage: Option<String>,
    /// Read other words in place of some on the page: "OLD=NEW" (repeatable)
    #[arg(long, value_name = "OLD=NEW")]
    pub(crate) instead: Vec<String>,
}
