use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};

#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(crate) struct KilnOptions {
    #[command(subcommand)]
    pub(crate) command: Option<KilnCommand>,
    /// With what was seen of each firing's pieces
    #[arg(long)]
    pub(crate) log: bool,
    /// Write the page to take to the kiln into a new file, .html or .svg: what stands in it,
    /// room for cones, peak and looks; an empty list where nothing waits
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
    /// Take a load or an opening back
    #[arg(long, value_name = "ID", conflicts_with_all = ["log", "page"])]
    pub(crate) void: Option<String>,
    /// Why it is taken back
    #[arg(long, value_name = "WORDS", requires = "void")]
    pub(crate) text: Option<String>,
    /// The day it is taken back, instead of today
    #[arg(long, value_name = "DATE", requires = "void")]
    pub(crate) on: Option<String>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum KilnCommand {
    /// Write down what stands in the kiln; asks for it where nothing is said
    Load(KilnLoadOptions),
    /// It is opened: its pieces get their age 0 and stand on `glost due`
    Opened(KilnOpenedOptions),
}

#[derive(Debug, Args)]
pub(crate) struct KilnLoadOptions {
    /// The firing's name, and what stands in it, as --firing and --put say them
    #[arg(value_name = "NAME or WHAT = PIECES")]
    pub(crate) said: Vec<String>,
    /// The firing's name: "spring glost"
    #[arg(long, value_name = "NAME")]
    pub(crate) firing: Option<String>,
    /// What it is for; else glost
    #[arg(long, value_enum)]
    pub(crate) kind: Option<Kind>,
    /// The cone that is meant; else the one that all its glazes name
    #[arg(long, value_name = "CONE")]
    pub(crate) cone: Option<String>,
    /// oxidation, reduction or neutral
    #[arg(long, value_name = "ATMOSPHERE")]
    pub(crate) atmosphere: Option<String>,
    /// The day, instead of today: 2026-11-24
    #[arg(long, value_name = "DATE")]
    pub(crate) on: Option<String>,
    /// What stands in it: "BATCH or GLAZE or PLAN/TILE = PIECES [on CLAY] [at SHELF]
    /// [mark MARK] [coat COAT]" (repeatable)
    #[arg(long, value_name = "WHAT = PIECES")]
    pub(crate) put: Vec<String>,
    /// Anything else
    #[arg(long, value_name = "TEXT")]
    pub(crate) text: Option<String>,
    /// Take glazes and clays that no file names
    #[arg(long)]
    pub(crate) unlisted: bool,
}

#[derive(Debug, Args)]
pub(crate) struct KilnOpenedOptions {
    /// The firing's id or name; else the latest that isn't opened yet
    #[arg(value_name = "ID")]
    pub(crate) id: Option<String>,
    /// The cone that bent
    #[arg(long, value_name = "CONE")]
    pub(crate) bent: Option<String>,
    /// The hottest it was: "1222 C"
    #[arg(long, value_name = "TEMPERATURE")]
    pub(crate) peak: Option<String>,
    /// How long it was held there: "15 min"
    #[arg(long, value_name = "TIME")]
    pub(crate) soak: Option<String>,
    /// How it cooled: slow, free or fast
    #[arg(long, value_name = "HOW")]
    pub(crate) cooled: Option<String>,
    /// Don't count its pieces with those of other firings to its cone
    #[arg(long)]
    pub(crate) apart: bool,
    /// The day, instead of today: 2026-11-24
    #[arg(long, value_name = "DATE")]
    pub(crate) on: Option<String>,
    /// Anything else
    #[arg(long, value_name = "TEXT")]
    pub(crate) text: Option<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Kind {
    Biscuit,
    Glost,
    Once,
}
