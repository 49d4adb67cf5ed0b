use std::path::PathBuf;

use clap::{Args, Subcommand};

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
        /// Print the text that comes with Glost, whatever lies over it
        #[arg(long)]
        shipped: bool,
    },
    /// Write a working script to start from, with tests
    New {
        /// What it gives: limits, check, swap, blend, run or fault
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
