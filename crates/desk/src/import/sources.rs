//! Where tables come from: one file, or a folder of them.

use glost_chemistry::diagnostic::{Diagnostic, Source, of_typed};
use glost_core::intake::table::{Table, is_journal, journal_text};
use glost_studio::Workplace;

use crate::Failure;

/// The tables of journals in an exported studio, with the journals.
const JOURNALS: [(&str, &str); 4] = [
    ("notes.csv", "notes.jsonl"),
    ("versions.csv", "versions.jsonl"),
    ("batches.csv", "batches.jsonl"),
    ("firings.csv", "firings.jsonl"),
];
/// Folders of an exported studio whose files go along as they are.
const AS_THEY_ARE: [&str; 4] = ["plans/", "scripts/", "firings/", "clays/"];

/// What is taken in.
#[derive(Debug)]
pub(super) struct Sources {
    /// What it is called, without its folder.
    pub name: String,
    /// Tables of entries.
    pub tables: Vec<Table>,
    /// Journals: their files and texts.
    pub journals: Vec<(String, String)>,
    /// Files that go along as they are.
    pub others: Vec<(String, String)>,
}

impl Sources {
    /// Opens a table or a folder.
    pub fn open(workplace: &Workplace, from: &str) -> Result<Sources, Failure> {
        let path = std::path::Path::new(from);
        let name = path
            .file_name()
            .map_or_else(|| from.to_owned(), |name| name.to_string_lossy().into_owned());
        let mut sources = Sources {
            name,
            tables: Vec::new(),
            journals: Vec::new(),
            others: Vec::new(),
        };
        if !workplace.is_folder(from) {
            let table = Table::read(&workplace.table_text(from)?)?;
            if is_journal(&table) {
                return Err(a_notebook(from).into());
            }
            sources.tables.push(table);
            return Ok(sources);
        }
        let mut complaints = Vec::new();
        for below in workplace.files_in(from)? {
            let shown = path.join(&below).to_string_lossy().into_owned();
            if let Err(error) = sources.take(workplace, &below, &shown) {
                complaints.push(error);
            }
        }
        if !complaints.is_empty() {
            return Err(Failure::Wrong(complaints));
        }
        if sources.tables.is_empty() {
            let error = Diagnostic::error("no-tables", format!("the folder `{from}` holds no CSV files"));
            return Err(error
                .help("name a folder that `glost export` wrote, or a CSV file")
                .into());
        }
        Ok(sources)
    }

    fn take(&mut self, workplace: &Workplace, below: &str, shown: &str) -> Result<(), Diagnostic> {
        let is_table = below.to_lowercase().ends_with(".csv") && !below.contains('/');
        if is_table {
            let source = workplace.table_text(shown)?;
            // A studio of which nothing is noted has empty tables.
            if source.text.trim().is_empty() {
                return Ok(());
            }
            let table = Table::read(&source)?;
            match JOURNALS.iter().find(|journal| journal.0 == below) {
                Some(journal) if is_journal(&table) => {
                    self.journals.push((journal.1.to_owned(), journal_text(&table)));
                }
                _ => self.tables.push(table),
            }
        } else if AS_THEY_ARE.iter().any(|folder| below.starts_with(folder)) || below == "scripts.lock" {
            let source = workplace.text(shown)?;
            self.others.push((below.to_owned(), source.text.to_string()));
        }
        Ok(())
    }

    /// A table beside the clays.
    pub fn clay_table(&self, name: &str) -> Result<Source, Diagnostic> {
        let below = format!("clays/{name}");
        let found = self.others.iter().find(|other| other.0 == below);
        found
            .map(|(below, text)| Source::from_text(below, text))
            .ok_or_else(|| Diagnostic::error("no-such-file", format!("there is no file `{below}` beside the tables")))
    }
}

fn a_notebook(from: &str) -> Diagnostic {
    Diagnostic::error(
        "notes-table",
        of_typed(from, "is a table of notes, not of recipes or materials"),
    )
    .help(format!("`glost note --sheet \"{from}\"` takes it into the notebook"))
}
