//! Tables from a spreadsheet, or a whole exported studio, taken into the studio.

mod already;
mod answer;
mod sources;
mod written;

use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_chemistry::material::shipped_library;
use glost_chemistry::quantity::Millilitres;
use glost_chemistry::read::folded;
use glost_core::evidence::ware::read_clay_with_tables;
use glost_core::intake::table::yaml::Yaml;
use glost_core::intake::table::{Known, Otherwise, Ready, Table, TakenAs, read_tables};

pub use answer::{Answer, Change, Kept, Taken};
use sources::Sources;
use written::files;

use crate::{Desk, Failure, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The table, or a folder of tables.
    pub from: String,
    /// Whether nothing is to be written.
    pub dry_run: bool,
    /// Columns and names to be taken otherwise, folded.
    pub otherwise: Otherwise,
    /// The folder of a new studio to make of it.
    pub into: Option<String>,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let mut otherwise = Otherwise::new();
        for text in words.list("as") {
            let (column, meaning) = text.split_once('=').ok_or_else(|| {
                Diagnostic::error("bad-option", format!("--as: `{text}` has no `=`")).help(
                    "write the heading or the name in the table, `=`, and what it means: \"Quarz=silica\", \"Farbe=notes\", \"Nr=skip\"",
                )
            })?;
            otherwise.insert(folded(column), meaning.trim().to_owned());
        }
        Ok(Question {
            from: words.required("from")?.to_owned(),
            dry_run: words.flag("dry-run"),
            otherwise,
            into: words.owned("into"),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let workplace = desk.workplace();
        if self.into.is_none() && !self.dry_run && workplace.studio_dir().is_none() {
            return Err(no_studio(&self.from).into());
        }
        let sources = Sources::open(workplace, &self.from)?;
        self.named_there(&sources.tables)?;
        let ready = self.read(desk, &sources)?;
        let mut answer = Answer {
            dry_run: self.dry_run,
            into: self.into.clone(),
            tables: sources.tables.len(),
            rows: ready.rows,
            recipes: Taken::all(ready.glazes),
            materials: Taken::all(ready.materials),
            clays: Taken::all(ready.clays),
            changes: Vec::new(),
            columns: ready.columns,
            open: ready.open,
            settings: ready.settings,
            kept: Vec::new(),
            written: Vec::new(),
        };
        if self.into.is_none() {
            answer.leave_what_is_there(workplace);
            answer.place_counts(workplace, ready.counts);
        } else {
            answer.uncounted(ready.counts);
        }
        let files = files(&mut answer, workplace, &sources, self.into.as_deref());
        let pairs: Vec<(&str, &str)> = files.iter().map(|file| (file.0.as_str(), file.1.as_str())).collect();
        if !self.dry_run {
            match &self.into {
                Some(into) => {
                    workplace.make_folder_of(into, &pairs)?;
                }
                None if pairs.is_empty() => {}
                None => workplace.add_files(&pairs)?,
            }
            answer.change(workplace);
        }
        answer.written = files.into_iter().map(|file| file.0).collect();
        Ok(answer)
    }
}

impl Question {
    /// What is taken otherwise has to stand in the tables: a slip would change nothing, in
    /// silence.
    fn named_there(&self, tables: &[Table]) -> Result<(), Diagnostic> {
        let headings = || tables.iter().flat_map(|table| &table.headings);
        let stands = |said: &String| {
            headings().any(|heading| folded(heading) == *said)
                || tables
                    .iter()
                    .flat_map(|table| &table.rows)
                    .any(|row| (0..row.width()).any(|at| folded(row.cell(at)).contains(said)))
        };
        let Some(lost) = self.otherwise.keys().filter(|said| !stands(said)).min() else {
            return Ok(());
        };
        let error = Diagnostic::error(
            "bad-option",
            format!("--as: `{lost}` is neither a heading nor a name in these tables"),
        );
        let near = suggestion(lost, headings().map(String::as_str));
        Err(error.help(near.unwrap_or_else(|| {
            let all: Vec<&str> = headings().map(String::as_str).take(12).collect();
            format!("there is: {}", all.join(", "))
        })))
    }

    fn read(&self, desk: &Desk, sources: &Sources) -> Result<Ready, Failure> {
        let workplace = desk.workplace();
        let today = desk.today()?;
        let settings = workplace.settings();
        let said = Said::of(&sources.tables);
        let (library, cup, currency) = match self.into {
            // A new studio starts from what is shipped, whatever studio stands around it.
            Some(_) => (shipped_library(), said.cup, said.currency.as_deref()),
            None => (&**workplace.library(), settings.cup, settings.currency.as_deref()),
        };
        let known = Known {
            library,
            cup,
            currency,
            source: &format!("{}, {today}", sources.name),
            otherwise: &self.otherwise,
            is_clay: &|clay| read_clay_with_tables(clay, &|name| sources.clay_table(name)).map(|_| ()),
        };
        Ok(read_tables(&sources.tables, &known)?)
    }
}

/// What the tables themselves say of the studio.
struct Said {
    cup: Millilitres,
    currency: Option<String>,
}

impl Said {
    fn of(tables: &[Table]) -> Said {
        let settings = tables.iter().filter(|table| {
            let headings: Vec<String> = table.headings.iter().map(|text| folded(text)).collect();
            headings == ["key", "value"]
        });
        let told = |key: &str| {
            let mut rows = settings.clone().flat_map(|table| &table.rows);
            rows.find(|row| row.cell(0) == key).map(|row| row.cell(1).to_owned())
        };
        let cup = told("cup").and_then(|text| Millilitres::parse(&text, Millilitres::METRIC_CUP).ok());
        Said {
            // A cup that can't be read is complained about with the settings.
            cup: cup.unwrap_or(Millilitres::METRIC_CUP),
            currency: told("currency"),
        }
    }
}

fn no_studio(from: &str) -> Diagnostic {
    Diagnostic::error("no-studio", "there is no studio folder here to write into").help(format!(
        "--dry-run only tells; `glost import \"{from}\" --into DIR` makes a new studio of it; or stand in yours"
    ))
}

/// What a column is taken for, in a word; none where it isn't known.
pub fn taken_word(taken: &TakenAs) -> Option<String> {
    Some(match taken {
        TakenAs::Glaze => "glaze".to_owned(),
        TakenAs::Material | TakenAs::Ingredient => "material".to_owned(),
        TakenAs::Clay => "clay".to_owned(),
        TakenAs::Role => "base or addition".to_owned(),
        TakenAs::Amount => "amount".to_owned(),
        TakenAs::Part {
            material,
            addition: false,
        } => material.clone(),
        TakenAs::Part {
            material,
            addition: true,
        } => format!("+ {material}"),
        TakenAs::Key(key) | TakenAs::Oxide(key) => key.clone(),
        TakenAs::Tolerance(oxide) => format!("tolerance {oxide}"),
        TakenAs::File => "file".to_owned(),
        TakenAs::Total => "total".to_owned(),
        TakenAs::Passed => "passed by".to_owned(),
        TakenAs::Blank => "blank".to_owned(),
        TakenAs::Unknown => return None,
    })
}

/// Whether two entries say the same, in whatever order.
fn alike(one: &[(String, Yaml)], other: &[(String, Yaml)]) -> Vec<String> {
    let find = |entries: &[(String, Yaml)], key: &str| {
        entries
            .iter()
            .find(|(known, _)| known == key)
            .map(|(_, value)| value.in_order())
    };
    let mut differs: Vec<String> = Vec::new();
    for (key, _) in one.iter().chain(other) {
        if !differs.contains(key) && find(one, key) != find(other, key) {
            differs.push(key.clone());
        }
    }
    differs
}
