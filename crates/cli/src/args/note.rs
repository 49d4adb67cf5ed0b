use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct NoteOptions {
    /// A glaze's file or name
    pub(crate) glaze: Option<String>,
    /// A tile by its code, with or without its glaze
    #[arg(long, value_name = "CODE")]
    pub(crate) tile: Option<String>,
    /// The clay it is on; else the one that the glaze's file names
    #[arg(long, visible_alias = "body", value_name = "CLAY")]
    pub(crate) clay: Option<String>,
    /// The firing's name, or its id in `glost kiln`
    #[arg(long, value_name = "FIRING")]
    pub(crate) firing: Option<String>,
    /// The cone: 6, or 04
    #[arg(long, value_name = "CONE")]
    pub(crate) cone: Option<String>,
    /// Which pieces: a booked batch gives glaze, lots, clay and cone, an opened
    /// kiln the firing, the age and how many
    #[arg(long, value_name = "BATCH")]
    pub(crate) batch: Option<String>,
    /// Which version of the recipe; else the one that it is today
    #[arg(long, value_name = "VERSION")]
    pub(crate) version: Option<String>,
    /// The day they were looked at; else today
    #[arg(long, value_name = "DATE")]
    pub(crate) on: Option<String>,
    /// How old the pieces are: 30d, "6 months", "1 year", fresh
    #[arg(long, value_name = "AGE")]
    pub(crate) age: Option<String>,
    /// Or when they were made: 2025-03
    #[arg(long, value_name = "MONTH", conflicts_with = "age")]
    pub(crate) made: Option<String>,
    /// How they were looked at: ink, loupe or eye
    #[arg(long, value_name = "HOW")]
    pub(crate) looked: Option<String>,
    /// How many pieces were looked at
    #[arg(long, value_name = "N")]
    pub(crate) pieces: Option<String>,
    /// How many of them are crazed: 2/5
    #[arg(long, value_name = "N/PIECES")]
    pub(crate) crazed: Option<String>,
    /// How many of them have shivered: 0/5
    #[arg(long, value_name = "N/PIECES")]
    pub(crate) shivered: Option<String>,
    /// How many of them cracked through: 0/5
    #[arg(long, value_name = "N/PIECES")]
    pub(crate) dunted: Option<String>,
    /// What made them fail, where it was not the fit: thick, "pulled hot",
    /// "cold shock", chip
    #[arg(long, value_name = "CAUSE")]
    pub(crate) cause: Option<String>,
    /// How the pieces are kept: shelf, in use or outdoors
    #[arg(long, value_name = "WHERE")]
    pub(crate) kept: Option<String>,
    /// A grade from 0 to 5: gloss=4 (repeatable)
    #[arg(long, value_name = "PROPERTY=GRADE")]
    pub(crate) grade: Vec<String>,
    /// How thick the fired glaze is: "0.4 mm"
    #[arg(long, value_name = "THICKNESS")]
    pub(crate) thickness: Option<String>,
    /// Where a picture lies
    #[arg(long, value_name = "PATH")]
    pub(crate) photo: Option<String>,
    /// A laboratory's report: its file, number or date
    #[arg(long, value_name = "REPORT")]
    pub(crate) lab: Option<String>,
    /// What was done to the pieces before they were looked at, such as "boil
    /// and ice": evidence of its own, never pooled with what held by itself
    #[arg(long, value_name = "TEST")]
    pub(crate) test: Option<String>,
    /// The mark scratched or stamped on the pieces
    #[arg(long, value_name = "MARK")]
    pub(crate) mark: Option<String>,
    /// The glaze that lies over this one
    #[arg(long, value_name = "GLAZE")]
    pub(crate) over: Option<String>,
    /// Anything else
    #[arg(long, value_name = "TEXT")]
    pub(crate) text: Option<String>,
    /// A later look at the pieces of this note
    #[arg(long, value_name = "LINE or ID", conflicts_with_all = ["void", "sheet", "blank"])]
    pub(crate) again: Option<String>,
    /// Take this note back
    #[arg(long, value_name = "LINE or ID", conflicts_with_all = ["sheet", "blank"])]
    pub(crate) void: Option<String>,
    /// Many notes: a table with the note's keys as headings (all rows, or none)
    #[arg(long, value_name = "FILE.csv", conflicts_with = "blank")]
    pub(crate) sheet: Option<String>,
    /// Write a blank sheet into a new file: .csv to type into, .html to print
    #[arg(long, value_name = "FILE")]
    pub(crate) blank: Option<PathBuf>,
    /// Take a glaze, clay or tile that no file names
    #[arg(long)]
    pub(crate) unlisted: bool,
    /// Note it although a note, or a sheet's rows, are there already
    #[arg(long)]
    pub(crate) twice: bool,
}
