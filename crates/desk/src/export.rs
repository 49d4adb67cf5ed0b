//! The whole studio as tables, in a folder that `import` reads back.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::read::each_in_parts;
use glost_core::intake::table::{
    Entry, Row, TableText, clay_row, entry, glaze_row, journal_table, list_entries, material_row, recipe_rows,
    settings_rows,
};
use glost_studio::{Holding, OwnFile};
use serde::{Serialize, Serializer};

use crate::said::words_of;
use crate::{Desk, Failure, Said, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// The folder to make.
    pub folder: String,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            folder: words.required("folder")?.to_owned(),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        desk.tell_where();
        let workplace = desk.workplace();
        let mut tables = Tables::of(workplace.holding());
        let written: Vec<Written> = tables.written();
        let readme = words_of(&Said::ReadMe(written.clone()));
        let mut files = vec![("README.txt".to_owned(), readme)];
        files.append(&mut tables.files);
        let pairs: Vec<(&str, &str)> = files.iter().map(|file| (file.0.as_str(), file.1.as_str())).collect();
        workplace.make_folder_of(&self.folder, &pairs)?;
        desk.leaves_out(tables.unread);
        Ok(Answer {
            folder: self.folder.clone(),
            tables: written,
            files: files.into_iter().map(|file| file.0).collect(),
        })
    }
}

/// What was written.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The folder.
    pub folder: String,
    /// Its tables.
    pub tables: Vec<Written>,
    /// All its files.
    pub files: Vec<String>,
}

/// A table with what it holds.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Written {
    /// Its file.
    pub file: String,
    /// What a row is.
    #[serde(skip)]
    pub row: RowIs,
    /// How many rows it has.
    pub rows: usize,
}

/// What a row of a table is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowIs {
    /// A key of the studio's settings.
    Setting,
    /// A material.
    Material,
    /// A clay.
    Clay,
    /// A glaze without its recipe.
    Glaze,
    /// A line of a recipe.
    RecipeLine,
    /// A line of a journal.
    JournalLine,
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    folder: &'a str,
    tables: &'a [Written],
    files: &'a [String],
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        AnswerJson {
            folder: &self.folder,
            tables: &self.tables,
            files: &self.files,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);

/// Files gathered into tables.
#[derive(Default)]
struct Tables {
    tables: Vec<(String, RowIs, TableText)>,
    files: Vec<(String, String)>,
    unread: Vec<Diagnostic>,
}

impl Tables {
    fn of(holding: Holding) -> Tables {
        let mut tables = Tables::default();
        for file in holding.entries {
            match entries(&file) {
                Ok(entries) => entries.iter().for_each(|entry| tables.entry(&file.below, entry)),
                Err(error) => tables.unread.push(error),
            }
        }
        // Journals are years of lines, each by itself.
        let table = |journal: &OwnFile| {
            let text = journal.text.as_ref().map_err(Clone::clone);
            text.map(|source| journal_table(&source.text))
        };
        let of_journals = each_in_parts(&holding.journals, 1, table);
        for (journal, table) in holding.journals.iter().zip(of_journals) {
            let name = journal.below.replace(".jsonl", ".csv");
            match table {
                Ok(table) => tables.tables.push((name, RowIs::JournalLine, table)),
                Err(error) => tables.unread.push(error),
            }
        }
        for other in holding.others {
            match other.text {
                Ok(source) => tables.files.push((other.below, source.text.to_string())),
                Err(error) => tables.unread.push(error),
            }
        }
        tables
    }

    fn entry(&mut self, below: &str, entry: &Entry) {
        match below.split_once('/').map(|(folder, _)| folder) {
            Some("materials") => self.add("materials.csv", RowIs::Material, &[material_row(below, entry)]),
            Some("clays") => self.add("clays.csv", RowIs::Clay, &[clay_row(below, entry)]),
            Some(_) => {
                self.add("glazes.csv", RowIs::Glaze, &[glaze_row(below, entry)]);
                self.add("recipes.csv", RowIs::RecipeLine, &recipe_rows(entry));
            }
            None => self.add("studio.csv", RowIs::Setting, &settings_rows(entry)),
        }
    }

    fn add(&mut self, file: &str, is: RowIs, rows: &[Row]) {
        let known = self.tables.iter().position(|known| known.0 == file);
        let place = known.unwrap_or_else(|| {
            self.tables.push((file.to_owned(), is, TableText::default()));
            self.tables.len() - 1
        });
        rows.iter().for_each(|row| self.tables[place].2.add(row));
    }

    /// Writes the tables that hold something among the files, and tells them.
    fn written(&mut self) -> Vec<Written> {
        let mut written = Vec::new();
        for (file, row, table) in std::mem::take(&mut self.tables) {
            if table.is_empty() {
                continue;
            }
            written.push(Written {
                file: file.clone(),
                row,
                rows: table.len(),
            });
            self.files.push((file, table.whole()));
        }
        written
    }
}

fn entries(file: &OwnFile) -> Result<Vec<Entry>, Diagnostic> {
    let source = file.text.as_ref().map_err(Clone::clone)?;
    if file.below.starts_with("materials/") {
        list_entries(source)
    } else {
        Ok(vec![entry(source)?])
    }
}
