//! The command line as it is typed.

mod add;
mod adjust;
mod affected;
mod batches;
mod blend;
mod card;
mod chart;
mod check;
mod clay;
mod compare;
mod convert;
mod cost;
mod due;
mod exercises;
mod expect;
mod export;
mod fault;
mod fit;
mod formula;
mod glazes;
mod handing;
mod history;
mod import;
mod init;
mod keep;
mod kiln;
mod lab;
mod label;
mod materials;
mod melt;
mod note;
mod notes;
mod open;
mod plan;
mod reach;
mod read;
mod recall;
mod rename;
mod results;
mod run;
mod schema;
mod script;
mod sensitivity;
mod set;
mod shelf;
mod sieve;
mod slurry;
mod start;
mod swap;
mod unity;
mod weigh;
mod year;

use std::path::PathBuf;
use std::time::Duration;

use clap::{Args, Parser, Subcommand, ValueEnum};

pub(crate) use add::AddOptions;
pub(crate) use adjust::AdjustOptions;
pub(crate) use affected::AffectedOptions;
pub(crate) use batches::BatchesOptions;
pub(crate) use blend::BlendOptions;
pub(crate) use card::CardOptions;
pub(crate) use chart::ChartOptions;
pub(crate) use check::CheckOptions;
pub(crate) use clay::ClayOptions;
pub(crate) use compare::CompareOptions;
pub(crate) use convert::ConvertOptions;
pub(crate) use cost::CostOptions;
pub(crate) use due::DueOptions;
pub(crate) use exercises::ExercisesOptions;
pub(crate) use expect::ExpectOptions;
pub(crate) use export::ExportOptions;
pub(crate) use fault::FaultOptions;
pub(crate) use fit::FitOptions;
pub(crate) use formula::FormulaOptions;
pub(crate) use glazes::GlazesOptions;
pub(crate) use handing::{CompletionsOptions, ManOptions};
pub(crate) use history::HistoryOptions;
pub(crate) use import::ImportOptions;
pub(crate) use init::InitOptions;
pub(crate) use keep::KeepOptions;
pub(crate) use kiln::{KilnCommand, KilnOptions};
pub(crate) use lab::LabOptions;
pub(crate) use label::LabelOptions;
pub(crate) use materials::MaterialsOptions;
pub(crate) use melt::MeltOptions;
pub(crate) use note::NoteOptions;
pub(crate) use notes::NotesOptions;
pub(crate) use open::OpenOptions;
pub(crate) use plan::PlanOptions;
pub(crate) use reach::ReachOptions;
pub(crate) use read::ReadOptions;
pub(crate) use recall::RecallOptions;
pub(crate) use rename::RenameOptions;
pub(crate) use results::ResultsOptions;
pub(crate) use run::RunOptions;
pub(crate) use schema::SchemaOptions;
pub(crate) use script::{ScriptCommand, ScriptOptions};
pub(crate) use sensitivity::SensitivityOptions;
pub(crate) use set::SetOptions;
pub(crate) use shelf::ShelfOptions;
pub(crate) use sieve::SieveOptions;
pub(crate) use slurry::SlurryOptions;
pub(crate) use start::StartOptions;
pub(crate) use swap::SwapOptions;
pub(crate) use unity::UnityOptions;
pub(crate) use weigh::WeighOptions;
pub(crate) use year::YearOptions;

/// Glaze chemistry for a studio: what a glaze is, whether it is inside limits,
/// what to weigh when a material is gone, which tiles to test.
#[derive(Debug, Parser)]
#[command(name = "glost", version, max_term_width = 80)]
pub(crate) struct Arguments {
    #[command(flatten)]
    pub(crate) common: Common,
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// Options of every command.
#[derive(Debug, Args)]
pub(crate) struct Common {
    /// The studio's folder; else the nearest folder upward with a studio.yaml
    #[arg(long, global = true, value_name = "DIR")]
    pub(crate) studio: Option<PathBuf>,
    /// A further materials file for this call, over the studio's (repeatable)
    #[arg(long, global = true, value_name = "FILE")]
    pub(crate) materials: Vec<PathBuf>,
    /// Seconds of the processor that all scripts of this call may take together; 60 unless said
    #[arg(long, global = true, value_name = "SECONDS", value_parser = seconds, hide_short_help = true)]
    pub(crate) script_time: Option<Duration>,
    /// How to answer; csv is for tables
    #[arg(long, global = true, value_enum, default_value_t = Format::Text)]
    pub(crate) format: Format,
}

fn seconds(text: &str) -> Result<Duration, String> {
    let seconds: f64 = text.parse().map_err(|_| "a number of seconds is needed".to_owned())?;
    let time = Duration::try_from_secs_f64(seconds).ok().filter(|time| !time.is_zero());
    time.ok_or_else(|| "a number of seconds above 0 is needed".to_owned())
}

/// How an answer is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    Text,
    Json,
    Csv,
}

/// Whether additions count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum AdditionsOption {
    In,
    Out,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// The studio's glazes, a line each; found by words, material, cone, clay, chemistry
    Glazes(GlazesOptions),
    /// Two or three glazes beside each other, the biggest difference first
    Compare(CompareOptions),
    /// A glaze's versions by date: what changed, what was made of them and seen
    History(HistoryOptions),
    /// What a glaze is once fired: unity formula, ratios, loss on ignition
    Unity(UnityOptions),
    /// Where glazes lie: silica against its ratio to alumina, as a drawing
    Chart(ChartOptions),
    /// Run checks and limits on a glaze
    Check(CheckOptions),
    /// New weights when a material is gone, the fired chemistry held
    Swap(SwapOptions),
    /// A recipe that reaches a target chemistry, from chosen materials or the shelf
    #[command(alias = "match")]
    Reach(ReachOptions),
    /// The least change (or cost) that meets stated aims
    Adjust(AdjustOptions),
    /// Does this glaze fit my clay? Own pieces first, chemistry where there is any
    Fit(FitOptions),
    /// What may have caused pinholes, crawling, crazing ..., and how to tell
    Fault(FaultOptions),
    /// Which glazes suffer when a material goes or a lot changes
    Affected(AffectedOptions),
    /// The fewest materials that keep every glaze near what it is
    Shelf(ShelfOptions),
    /// Run a script over the whole studio
    Run(RunOptions),
    /// Plan test tiles between glazes
    Blend(BlendOptions),
    /// Saved plans: a plan's map with what was noted about its tiles
    Plan(PlanOptions),
    /// Keep a tile that won, or a glaze with something in it, as a glaze of its own
    Keep(KeepOptions),
    /// Exercises for a class with their key: unity formulas, batches, buckets, blends
    Exercises(ExercisesOptions),
    /// Learn from graded tiles: the best blend, and the next tiles to make
    Results(ResultsOptions),
    /// The bench in a browser: the same studio on pages, for wet hands
    Open(OpenOptions),
    /// The grade to expect of a glaze, from everything that was graded here
    Expect(ExpectOptions),
    /// A weighing ticket: grams in order, water, what it makes and costs
    Weigh(WeighOptions),
    /// The batches that were booked: which hold a lot, what differs between two
    Batches(BatchesOptions),
    /// What a glaze costs: a kilogram, a litre, a square metre, a piece
    Cost(CostOptions),
    /// The same metal in another form: carbonate for oxide
    Convert(ConvertOptions),
    /// What is in a wet bucket, what to add, how much water to its density
    Slurry(SlurryOptions),
    /// What a clay's bars and bag say, and what no number promises
    Clay(ClayOptions),
    /// What a part more of each material does to a glaze
    Sensitivity(SensitivityOptions),
    /// How thin a glaze's melt is, beside the cone: a rough guide
    Melt(MeltOptions),
    /// The JSON Schema of a studio's files and of every answer
    Schema(SchemaOptions),
    /// Mesh numbers and their openings
    Sieve(SieveOptions),
    /// Note what pieces look like: crazed, held, grades
    Note(Box<NoteOptions>),
    /// Find notes by glaze, clay, firing, property, date
    Notes(NotesOptions),
    /// The kiln: load it, open it, list its firings and what they taught
    Kiln(KilnOptions),
    /// A cup that came back: its batch, firing, lots, sisters, what was seen of them
    Recall(RecallOptions),
    /// A laboratory's report, kept with what was tested, beside the limits
    Lab(LabOptions),
    /// What to look at again, and when
    Due(DueOptions),
    /// A year of the studio: mixed, fired, seen, used up, learnt
    Year(YearOptions),
    /// Read a recipe as written in a notebook
    Read(ReadOptions),
    /// Weigh and fire a chemical formula
    Formula(FormulaOptions),
    /// List materials, or show one
    Materials(MaterialsOptions),
    /// A new material, clay or glaze: asks what it must know
    Add(Box<AddOptions>),
    /// Change a value in its file: price, stock, lot, clay, cone, water ...
    Set(SetOptions),
    /// A new name for a glaze, material or clay, in all files and notes
    Rename(RenameOptions),
    /// List scripts, or show one
    Script(ScriptOptions),
    /// The first day: five answers make a studio, a ticket and a label
    Start(StartOptions),
    /// A label for a bucket, a jar or a bag
    Label(LabelOptions),
    /// A recipe card: recipe, batch sizes, water, what it looked like, cautions
    Card(CardOptions),
    /// Take in recipes, materials, stocks, prices from a spreadsheet's CSV
    Import(ImportOptions),
    /// The whole studio as CSV, which `import` reads back
    Export(ExportOptions),
    /// What a shell has to read once to complete commands and names
    Completions(CompletionsOptions),
    /// Write manual pages into a folder
    Man(ManOptions),
    /// Make a studio folder
    Init(InitOptions),
}
