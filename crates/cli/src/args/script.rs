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
        /// Own glazes that hold, for limits measured on them: "GLAZE, GLAZE"
        #[arg(long, value_name = "GLAZES")]
        from: Vec<String>,
    },
    /// Run the tests that scripts bring with them
    Test {
        /// A script's name or file; else all of them
        name: Option<String>,
        /// One of its tests by name; else all of them
        test: Option<String>,
        /// Run them again whenever a script is saved, until Ctrl-C
        #[arg(long)]
        watch: bool,
        /// Tell how long each test took of the processor
        #[arg(long)]
        times: bool,
    },
    /// What differs between a script of yours and the shipped one of its name
    Diff {
        /// The script's name
        name: String,
    },
    /// Take in a package of scripts, after a look and its tests
    Add {
        /// A folder, or an archive (.tar.gz)
        package: String,
        /// Don't ask
        #[arg(long)]
        yes: bool,
        /// With --yes: take it in although tests of it don't hold
        #[arg(long, requires = "yes")]
        failing: bool,
    },
    /// Take a package in again: what moves is shown first
    Update {
        /// The package's name
        package: String,
        /// A folder or archive, instead of where it came from
        #[arg(long, value_name = "PATH")]
        from: Option<String>,
        /// Don't ask
        #[arg(long)]
        yes: bool,
        /// With --yes: take it in although tests of it don't hold
        #[arg(long, requires = "yes")]
        failing: bool,
    },
    /// Take a package out
    Remove {
        /// The package's name
        package: String,
    },
    /// Make one file of a package's folder, to hand on
    Pack {
        /// The folder
        package: String,
    },
    /// Help an editor with scripts and the studio's files: a language server on stdio
    Lsp {
        /// Said by some editors; there is no other way
        #[arg(long, hide = true)]
        stdio: bool,
    },
    /// Everything that a script may use
    Reference {
        /// Only what has this name, this owner or this heading: `caution`, `glaze`, `lists`
        word: Option<String>,
        /// Write definitions for editors into this folder instead
        #[arg(long, value_name = "DIR", conflicts_with = "word")]
        definitions: Option<PathBuf>,
    },
}
