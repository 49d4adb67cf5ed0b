//! The command line as it is typed.

use std::num::NonZeroUsize;
use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

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
    /// How to answer; csv goes with `run` and `check --over`
    #[arg(long, global = true, value_enum, default_value_t = Format::Text)]
    pub(crate) format: Format,
}

/// How an answer is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    Text,
    Json,
    // Goes with `run` and `check --over`.
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
    /// What a glaze is once fired: unity formula, ratios, loss on ignition
    Unity(UnityOptions),
    /// Run checks and limits on a glaze
    Check(CheckOptions),
    /// New weights when a material is gone, the fired chemistry held
    Swap(SwapOptions),
    /// A recipe for a target chemistry from chosen materials
    Match(MatchOptions),
    /// The least change (or cost) that meets stated aims
    Adjust(AdjustOptions),
    /// Which glazes suffer when a material goes or a lot changes
    Affected(AffectedOptions),
    /// Run a script over the whole studio
    Run(RunOptions),
    /// Plan test tiles between glazes
    Blend(BlendOptions),
    /// A weighing ticket: grams in order, water, what it makes and costs
    Weigh(WeighOptions),
    /// What is in a wet bucket, what to add, how much water to its density
    Slurry(SlurryOptions),
    /// Mesh numbers and their openings
    Sieve(SieveOptions),
    /// Read a recipe as written in a notebook
    Read(ReadOptions),
    /// Weigh and fire a chemical formula
    Formula(FormulaOptions),
    /// List materials, or show one
    Materials(MaterialsOptions),
    /// List scripts, or show one
    Script(ScriptOptions),
    /// The first day: five answers make a studio, a ticket and a label
    Start(StartOptions),
    /// A label for a bucket, a jar or a bag
    Label(LabelOptions),
    /// Make a studio folder
    Init(InitOptions),
}

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
}

#[derive(Debug, Args)]
pub(crate) struct CheckOptions {
    /// A glaze's file or name
    #[arg(required_unless_present = "over", conflicts_with = "over")]
    pub(crate) glaze: Option<String>,
    /// Check many glazes: a CSV file (a row a glaze, headed `glaze`, `cone`,
    /// `use` and by materials, additions as `+ material`), `-` for CSV on
    /// stdin, or a folder of glaze files; a line for each finding comes out as
    /// CSV, or as JSON with --format json
    #[arg(long, value_name = "FILE.csv|FOLDER|-")]
    pub(crate) over: Option<String>,
    /// Threads for --over; else one for each processor
    #[arg(long, value_name = "N", requires = "over")]
    pub(crate) threads: Option<NonZeroUsize>,
    /// A script to run (repeatable); else every check that says it applies
    #[arg(long, value_name = "SCRIPT")]
    pub(crate) script: Vec<String>,
    /// What the glaze is for: tableware, wall tile, floor, outdoor, decorative
    #[arg(long = "use", value_name = "USE")]
    pub(crate) usage: Option<String>,
    /// The clay it goes on, a file or a name
    #[arg(long, visible_alias = "body", value_name = "CLAY")]
    pub(crate) clay: Option<String>,
    /// Set a script's option: name=value (repeatable)
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,
}

#[derive(Debug, Args)]
pub(crate) struct SwapOptions {
    /// A glaze's file or name
    pub(crate) glaze: String,
    /// The material that is gone (repeatable)
    #[arg(long, value_name = "MATERIAL", required = true)]
    pub(crate) out: Vec<String>,
    /// A newcomer to allow, instead of what is in stock or buyable (repeatable)
    #[arg(long, value_name = "MATERIAL")]
    pub(crate) with: Vec<String>,
    /// How many newcomers at most
    #[arg(long, value_name = "N")]
    pub(crate) at_most: Option<usize>,
    /// The swap script
    #[arg(long, value_name = "SCRIPT", default_value = "swap/closest")]
    pub(crate) script: String,
    /// How many proposals to show
    #[arg(long, value_name = "N", default_value_t = 3)]
    pub(crate) show: usize,
    /// Grams of base for the weighed column
    #[arg(long, value_name = "WEIGHT", default_value = "100 g")]
    pub(crate) dry: String,
    /// Set an option of the script: name=value (repeatable)
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,
}

#[derive(Debug, Args)]
pub(crate) struct MatchOptions {
    /// A glaze's file or name, the target
    #[arg(required_unless_present = "unity", conflicts_with = "unity")]
    pub(crate) glaze: Option<String>,
    /// A target unity formula: "K2O 0.3, CaO 0.7, Al2O3 0.5, SiO2 4"
    #[arg(long, value_name = "FORMULA")]
    pub(crate) unity: Option<String>,
    /// A material to choose from (repeatable)
    #[arg(long, value_name = "MATERIAL", required = true)]
    pub(crate) with: Vec<String>,
    /// How many materials at most
    #[arg(long, value_name = "N")]
    pub(crate) at_most: Option<usize>,
    /// How many proposals to show
    #[arg(long, value_name = "N", default_value_t = 3)]
    pub(crate) show: usize,
    /// Grams of base for the weighed column
    #[arg(long, value_name = "WEIGHT", default_value = "100 g")]
    pub(crate) dry: String,
}

/// What an adjustment makes least.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum LeastOption {
    Change,
    Cost,
}

#[derive(Debug, Args)]
pub(crate) struct AdjustOptions {
    /// A glaze's file or name
    pub(crate) glaze: String,
    /// What the recipe should meet: "SiO2 >= 3.0", "Al2O3 in 0.35..0.45",
    /// "SiO2:Al2O3 in 7..10", "expansion <= 6.2", "loss on ignition <= 8",
    /// "cost <= 2.10", "whiting <= 15 %", "no barium carbonate",
    /// "keep kaolin", "limits: NAME"
    #[arg(value_name = "AIM")]
    pub(crate) aims: Vec<String>,
    /// A material that may come in (repeatable)
    #[arg(long, value_name = "MATERIAL")]
    pub(crate) with: Vec<String>,
    /// What to make least
    #[arg(long, value_enum, default_value_t = LeastOption::Change)]
    pub(crate) least: LeastOption,
    /// Grams of base for the weighed column
    #[arg(long, value_name = "WEIGHT", default_value = "100 g")]
    pub(crate) dry: String,
}

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

#[derive(Debug, Args)]
pub(crate) struct BlendOptions {
    /// The design: line, or a blend script's name
    pub(crate) kind: String,
    /// The glazes at the ends, files or names
    #[arg(required = true)]
    pub(crate) ends: Vec<String>,
    /// How many tiles a line has, its ends included
    #[arg(long, value_name = "N", default_value_t = 5)]
    pub(crate) steps: usize,
    /// A blend script instead of the one named after the design
    #[arg(long, value_name = "SCRIPT")]
    pub(crate) script: Option<String>,
    /// Base for one tile
    #[arg(long, value_name = "WEIGHT", default_value = "100 g")]
    pub(crate) dry: String,
    /// Slurry for one tile, to blend wet
    #[arg(long, value_name = "VOLUME")]
    pub(crate) volume: Option<String>,
    /// Density of the slurry in g/ml
    #[arg(long, value_name = "DENSITY")]
    pub(crate) density: Option<String>,
    /// Set an option of the script: name=value (repeatable)
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,
}

#[derive(Debug, Args)]
pub(crate) struct RunOptions {
    /// The script, a name or a file
    pub(crate) script: String,
    /// Set an option of the script: name=value (repeatable)
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,
    /// Hand over a table that the script reads: name=FILE.csv (repeatable)
    #[arg(long, value_name = "NAME=FILE.csv")]
    pub(crate) table: Vec<String>,
}

#[derive(Debug, Args)]
pub(crate) struct ReadOptions {
    /// The page as a text file, or - for stdin
    #[arg(value_name = "FILE|-")]
    pub(crate) file: String,
    /// Write the glaze into this file, which must be new
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
    /// Read other words in place of some on the page: "OLD=NEW" (repeatable)
    #[arg(long, value_name = "OLD=NEW")]
    pub(crate) instead: Vec<String>,
}

#[derive(Debug, Args)]
pub(crate) struct FormulaOptions {
    /// A formula such as "Al2Si2O5(OH)4"
    pub(crate) formula: String,
}

#[derive(Debug, Args)]
pub(crate) struct MaterialsOptions {
    /// A material's name
    pub(crate) name: Option<String>,
    /// Work out what a poor bag label means: "kaolin: SiO2 54.0, Al2O3 45.0",
    /// "chalk: calcium carbonate 98.5 %", or a name alone
    #[arg(long, value_name = "WORDS", conflicts_with = "name")]
    pub(crate) label: Option<String>,
    /// Write the entry into this file, which must be new
    #[arg(long, value_name = "FILE", requires = "label")]
    pub(crate) out: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct ScriptOptions {
    #[command(subcommand)]
    pub(crate) command: ScriptCommand,
}

#[derive(Debug, Subcommand)]
pub(crate) enum ScriptCommand {
    /// All scripts, the studio's and the shipped ones
    List,
    /// What a script does, its options and its source
    Show {
        /// The script's name
        name: String,
        /// Print its text instead, to copy it
        #[arg(long)]
        text: bool,
    },
    /// Write a working script to start from, with tests
    New {
        /// What it gives: limits, check, swap, blend or run
        kind: String,
        /// Its name
        name: String,
    },
    /// Run the tests that scripts bring with them
    Test {
        /// A script's name or file; else all of them
        name: Option<String>,
    },
    /// Everything that a script may use
    Reference {
        /// Write definitions for editors into this folder instead
        #[arg(long, value_name = "DIR")]
        definitions: Option<PathBuf>,
    },
}

#[derive(Debug, Args)]
pub(crate) struct StartOptions {
    /// The folder to make
    #[arg(default_value = "studio")]
    pub(crate) dir: PathBuf,
    /// The powder you buy, as on its bag
    #[arg(long, value_name = "NAME", conflicts_with = "recipe")]
    pub(crate) powder: Option<String>,
    /// Or a recipe of your own: a text file as written in your notebook
    #[arg(long, value_name = "FILE")]
    pub(crate) recipe: Option<String>,
    /// Your clay, as on its bag
    #[arg(long, visible_alias = "body", value_name = "NAME")]
    pub(crate) clay: Option<String>,
    /// The glaze firing: "1060 C", "1940 F" or "cone 6"
    #[arg(long, value_name = "PEAK")]
    pub(crate) firing: Option<String>,
    /// Water for a kilo of powder: "5 3/4 cups" or "0.7 l"
    #[arg(long, value_name = "VOLUME")]
    pub(crate) water: Option<String>,
    /// The step your scales read to: "0.1 g", "1 g up to 5 kg"
    #[arg(long, value_name = "STEP")]
    pub(crate) scales: Option<String>,
    /// Powder for the first batch
    #[arg(long, value_name = "WEIGHT", default_value = "1 kg")]
    pub(crate) dry: String,
    /// Write ticket and label as a page to print, into a new file
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct LabelOptions {
    /// A glaze's file or name
    pub(crate) glaze: String,
    /// Print the page for a browser instead of text
    #[arg(long)]
    pub(crate) html: bool,
    /// Write the page to print into a new file, beside the text
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
    /// How many labels on the page
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=100))]
    pub(crate) copies: u16,
}

#[derive(Debug, Args)]
pub(crate) struct InitOptions {
    /// The folder to make
    pub(crate) dir: PathBuf,
    /// Copy the example studio into it
    #[arg(long)]
    pub(crate) example: bool,
}

#[derive(Debug, Args)]
pub(crate) struct WeighOptions {
    /// A glaze's file or name
    pub(crate) glaze: String,
    /// How much base; additions come on top
    #[arg(long, value_name = "WEIGHT", required_unless_present = "bucket")]
    pub(crate) dry: Option<String>,
    /// How much slurry to make; with --dry, what the bucket holds
    #[arg(long, value_name = "VOLUME")]
    pub(crate) bucket: Option<String>,
    /// Water per dry weight, instead of the glaze's: "0.9 l/kg", "5 3/4 cups/kg"
    #[arg(long, value_name = "WATER", conflicts_with = "density")]
    pub(crate) water: Option<String>,
    /// Density to mix to, instead of the glaze's
    #[arg(long, value_name = "DENSITY")]
    pub(crate) density: Option<String>,
    /// Other scales than the studio's: "1 g to 15 kg"
    #[arg(long, value_name = "SCALES")]
    pub(crate) scales: Option<String>,
    /// Write the ticket as a page to print, into a new file
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct SlurryOptions {
    /// A glaze's file or name: its powder's own density and its recipe count
    pub(crate) glaze: Option<String>,
    /// A jar of it, the jar's own weight taken off: "500 ml = 735 g", or a
    /// density (repeat for buckets poured together)
    #[arg(long, value_name = "VOLUME = WEIGHT", required = true)]
    pub(crate) jar: Vec<String>,
    /// The bucket with the slurry in it (repeatable)
    #[arg(long, value_name = "WEIGHT", conflicts_with = "volume")]
    pub(crate) gross: Vec<String>,
    /// The empty bucket (repeatable)
    #[arg(long, value_name = "WEIGHT", conflicts_with = "volume")]
    pub(crate) tare: Vec<String>,
    /// How much slurry, instead of its weight (repeatable)
    #[arg(long, value_name = "VOLUME")]
    pub(crate) volume: Vec<String>,
    /// What to add, counted on the dry powder: "0.4 % cobalt carbonate"
    /// (repeatable)
    #[arg(long, value_name = "DOSE")]
    pub(crate) add: Vec<String>,
    /// The density to reach
    #[arg(long, value_name = "DENSITY")]
    pub(crate) to: Option<String>,
    /// The dry powder's own density: "2.6 +/- 0.1" g/ml
    #[arg(long, value_name = "DENSITY")]
    pub(crate) powder_density: Option<String>,
    /// What went wrong and is in already: "51 g cobalt carbonate", "0.77 %
    /// cobalt carbonate", or of a batch since used: "2600 g silica of 7340 g"
    #[arg(long, value_name = "DOSE")]
    pub(crate) holds: Option<String>,
    /// What there should be of it: "0.4 %"; else as the glaze's recipe says
    #[arg(long, value_name = "PERCENT", requires = "holds")]
    pub(crate) wanted: Option<String>,
    /// What the bucket holds when full
    #[arg(long, value_name = "VOLUME")]
    pub(crate) bucket: Option<String>,
    /// Other scales than the studio's: "1 g to 15 kg"
    #[arg(long, value_name = "SCALES")]
    pub(crate) scales: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct SieveOptions {
    /// A mesh number such as 100, or an opening such as "150 um"; else the table
    pub(crate) sieve: Option<String>,
}
