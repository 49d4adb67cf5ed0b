use std::path::PathBuf;

use clap::{Args, ValueEnum};

#[derive(Debug, Args)]
pub(crate) struct LabelOptions {
    /// A glaze's file or name
    #[arg(required_unless_present = "grid")]
    pub(crate) glaze: Option<String>,
    /// What it is stuck on
    #[arg(long, value_enum, default_value = "bucket")]
    pub(crate) kind: Kind,
    /// The glaze's version, such as v3
    #[arg(long, value_name = "VERSION")]
    pub(crate) version: Option<String>,
    /// The batch's number
    #[arg(long, value_name = "BATCH")]
    pub(crate) batch: Option<String>,
    /// Who mixed it; else who booked it
    #[arg(long, value_name = "NAME")]
    pub(crate) by: Option<String>,
    /// How many containers, a label for each, with --kind bottle: "5 bottles"; else
    /// as many as the batch was filled into
    #[arg(long, value_name = "CONTAINERS")]
    pub(crate) of: Option<String>,
    /// The day it was mixed, such as 2026-11-24
    #[arg(long, value_name = "DATE")]
    pub(crate) on: Option<String>,
    /// A tile's code, a label for each; makes tile labels
    #[arg(long, value_name = "CODE")]
    pub(crate) tile: Vec<String>,
    /// Print the page for a browser instead of text
    #[arg(long)]
    pub(crate) html: bool,
    /// Write the page to print into a new file, .html or .svg, beside the text
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
    /// The sheet of labels to print on: "70 x 37 mm"; "list" shows those there
    /// are; without it, labels to cut from plain paper
    #[arg(long, value_name = "GRID")]
    pub(crate) grid: Option<String>,
    /// How many of each label
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=1000))]
    pub(crate) copies: u16,
    /// Labels of the first sheet that are used already, counted row by row
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub(crate) skip: u16,
    /// Draw the labels' outlines, to try a grid on plain paper
    #[arg(long)]
    pub(crate) outlines: bool,
    /// Leave the QR code of the recipe off
    #[arg(long)]
    pub(crate) no_code: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Kind {
    Bucket,
    Jar,
    Bag,
    Bottle,
    Tile,
}
