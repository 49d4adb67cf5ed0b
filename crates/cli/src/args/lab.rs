use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct LabOptions {
    /// The glaze that was tested; alone it lists its reports
    pub(crate) glaze: Option<String>,
    /// Keep a report: its results as a table with the columns metal, value, unit, shape and,
    /// where known, market: Pb,<0.01,mg/l,cup
    #[arg(long, value_name = "FILE.csv")]
    pub(crate) sheet: Option<String>,
    /// The booked batch that the tested pieces are of: it gives version, lots, clay and cone
    #[arg(long, value_name = "BATCH")]
    pub(crate) batch: Option<String>,
    /// The report's name or number [default: the file's name]
    #[arg(long, value_name = "NAME")]
    pub(crate) report: Option<String>,
    /// Whose limits count where the table doesn't say: US, EU, ISO, California [default: all]
    #[arg(long, value_name = "MARKET")]
    pub(crate) market: Option<String>,
    /// The day of the report; else today
    #[arg(long, value_name = "DATE")]
    pub(crate) on: Option<String>,
    /// The version that was tested; else the batch's, or the recipe of today
    #[arg(long, value_name = "VERSION")]
    pub(crate) version: Option<String>,
    /// The clay of the tested pieces; else the batch's or the glaze's own
    #[arg(long, visible_alias = "body", value_name = "CLAY")]
    pub(crate) clay: Option<String>,
    /// Their firing, by its name or its id in `glost kiln`
    #[arg(long, value_name = "FIRING")]
    pub(crate) firing: Option<String>,
    /// Their cone
    #[arg(long, value_name = "CONE")]
    pub(crate) cone: Option<String>,
    /// Anything else
    #[arg(long, value_name = "TEXT")]
    pub(crate) text: Option<String>,
}
