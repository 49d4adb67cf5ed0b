use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct ClayOptions {
    /// A clay's file or name; without one, the list
    pub(crate) clay: Option<String>,
    /// Bars weighed just now: "dry 412.0 g, soaked 432.6 g, boiled 436.7 g";
    /// several parted by semicolons
    #[arg(long, value_name = "WEIGHTS")]
    pub(crate) weigh: Option<String>,
    /// A dilatometer's table in CSV, with columns c and percent
    #[arg(long, value_name = "FILE", requires = "clay")]
    pub(crate) dilatometer: Option<String>,
    /// What it is for: tableware, wall tile, floor, outdoor
    #[arg(long = "use", value_name = "USE")]
    pub(crate) usage: Option<String>,
    /// Other scales than the studio's: "0.01 g to 500 g"
    #[arg(long, value_name = "SCALES")]
    pub(crate) scales: Option<String>,
}
