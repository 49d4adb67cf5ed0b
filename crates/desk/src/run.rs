//! A script over the whole studio: its sentences and tables.

use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, Source, suggestion};
use glost_chemistry::read::parse_csv;
use glost_core::rules::{Signature, Whose};
use glost_script::{ColumnKind, GivenTable, Kind, Scene, Script, ScriptStore};
use glost_studio::{Package, library_of};
use indexmap::IndexMap;
use serde::{Serialize, Serializer};

pub use glost_script::{Item, ReportColumn, ReportTable};

use crate::pieces::Pieces;
use crate::rulebook::Rulebook;
use crate::wire::Set;
use crate::{Desk, Failure, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The script, a name or a file.
    pub script: String,
    /// Options of the script, `name=value`.
    pub set: Vec<String>,
    /// Tables that the script reads.
    pub tables: Vec<NamedTable>,
}

/// A table handed over: `invoices=invoices.csv`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedTable {
    /// The name that the script knows it by.
    pub name: String,
    /// Its file.
    pub file: String,
}

impl NamedTable {
    fn read(text: &str) -> Result<NamedTable, Diagnostic> {
        let (name, file) = text.split_once('=').ok_or_else(|| {
            Diagnostic::error("bad-option", format!("--table: `{text}` names no file"))
                .help("write it such as --table invoices=invoices.csv")
        })?;
        Ok(NamedTable {
            name: name.trim().to_owned(),
            file: file.trim().to_owned(),
        })
    }
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let tables = words.list("table").iter().map(|text| NamedTable::read(text));
        Ok(Question {
            script: words.required("script")?.to_owned(),
            set: words.list("set").to_vec(),
            tables: tables.collect::<Result<_, _>>()?,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        desk.tell_where();
        let scene = studio_scene(desk)?;
        let book = Rulebook::open(desk.workplace(), desk.workplace().settings())?;
        let script = book.script(desk.workplace(), &self.script)?;
        if script.about.kind != Kind::RUN {
            return Err(wrong_kind(&script).into());
        }
        let settings = book.settings_of(&script, &self.set)?;
        let scene = book.with_limits(scene);
        let scene = Arc::new(Scene {
            tables: tables(self, desk, &script, &scene)?,
            ..Scene::clone(&scene)
        });
        let reported = script.report(&scene, &settings);
        desk.printed(book.printed.take());
        let (report, printed) = reported?;
        desk.printed(printed);
        Ok(Answer {
            script: script.name.clone(),
            title: script.about.title.clone(),
            source: script.about.source.clone(),
            said: report.said,
            tables: report.tables.into_iter().map(Table).collect(),
            signed: script.signature(&settings)?,
        })
    }
}

/// What a run put out.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The script's name.
    pub script: String,
    /// The script's title.
    pub title: String,
    /// Where its rule comes from.
    pub source: String,
    /// Its sentences.
    pub said: Vec<String>,
    /// Its tables.
    pub tables: Vec<Table>,
    /// Its very text.
    pub signed: Arc<Signature>,
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    script: &'a str,
    title: &'a str,
    source: &'a str,
    #[schemars(with = "String")]
    whose: &'a Whose,
    hash: &'a str,
    set: Set<'a>,
    said: &'a [String],
    tables: &'a [Table],
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        AnswerJson {
            script: &self.script,
            title: &self.title,
            source: &self.source,
            whose: &self.signed.whose,
            hash: &self.signed.hash,
            set: Set(&self.signed.set),
            said: &self.said,
            tables: &self.tables,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);

/// A table that a script put out.
#[derive(Debug, Clone)]
pub struct Table(pub ReportTable);

#[derive(Serialize, schemars::JsonSchema)]
struct TableJson<'a> {
    title: &'a str,
    columns: Vec<ColumnJson<'a>>,
    rows: Vec<IndexMap<&'a str, ItemJson<'a>>>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ColumnJson<'a> {
    name: &'a str,
    unit: Option<&'a str>,
}

impl<'a> From<&'a ReportColumn> for ColumnJson<'a> {
    fn from(column: &'a ReportColumn) -> ColumnJson<'a> {
        ColumnJson {
            name: &column.name,
            unit: column.unit.as_deref(),
        }
    }
}

#[derive(Serialize, schemars::JsonSchema)]
#[serde(untagged)]
enum ItemJson<'a> {
    Nothing,
    Number(f64),
    Text(&'a str),
    YesNo(bool),
}

impl<'a> From<&'a Item> for ItemJson<'a> {
    fn from(item: &'a Item) -> ItemJson<'a> {
        match item {
            Item::Nothing => ItemJson::Nothing,
            Item::Number(number) => ItemJson::Number(*number),
            Item::Text(text) => ItemJson::Text(text),
            Item::YesNo(truth) => ItemJson::YesNo(*truth),
        }
    }
}

fn named<'a>(columns: &'a [ReportColumn], row: &'a [Item]) -> IndexMap<&'a str, ItemJson<'a>> {
    let cells = columns.iter().zip(row);
    cells
        .map(|(column, item)| (column.name.as_str(), ItemJson::from(item)))
        .collect()
}

impl Serialize for Table {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let ReportTable { title, columns, rows } = &self.0;
        TableJson {
            title,
            columns: columns.iter().map(ColumnJson::from).collect(),
            rows: rows.iter().map(|row| named(columns, row)).collect(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Table: TableJson<'_>);

/// The whole studio for a script. Glazes and clays that can't be read are told
/// aside and left out.
pub(crate) fn studio_scene(desk: &Desk) -> Result<Arc<Scene>, Failure> {
    let workplace = desk.workplace();
    let (glazes, mut complaints) = workplace.all_recipes();
    let (clays, of_clays) = workplace.all_clays();
    complaints.extend(of_clays);
    if glazes.is_empty() && !complaints.is_empty() {
        return Err(complaints.into());
    }
    desk.leaves_out(complaints);
    desk.looks_over_materials();
    let library = glazes.first().map_or(workplace.library(), |glaze| &glaze.library);
    let settings = glazes
        .first()
        .map_or(workplace.settings(), |glaze| &glaze.settings)
        .clone();
    Ok(Arc::new(Scene {
        library: library.clone(),
        fluxes: Arc::new(settings.fluxes.clone()),
        students: settings.students,
        glazes: glazes.into_iter().map(|recipe| recipe.glaze).collect(),
        notebook: Some(Arc::new(Pieces::open(desk)?.for_scripts(&settings))),
        clays: clays.into_iter().map(|found| Arc::new(found.clay)).collect(),
        studio: settings.name.clone(),
        currency: settings.currency.clone(),
        scales: settings.scales,
        ..Scene::default()
    }))
}

fn wrong_kind(script: &Script) -> Diagnostic {
    let word = script.about.kind.word();
    let message = format!(
        "`{}` is a script of kind `{word}`, `glost run` takes those of kind `run`",
        script.name
    );
    let help = script.about.kind.asked_by().replace("NAME", &script.name);
    Diagnostic::error("wrong-script-kind", message).help(help)
}

/// The tables that were handed over, typed as the script declares.
fn tables(question: &Question, desk: &Desk, script: &Script, scene: &Scene) -> Result<Vec<Arc<GivenTable>>, Failure> {
    let mut found: Vec<Arc<GivenTable>> = Vec::new();
    let mut names: Vec<&str> = Vec::new();
    for NamedTable { name, file } in &question.tables {
        let Some(spec) = script.about.tables.iter().find(|spec| &spec.name == name) else {
            let message = format!("--table: `{}` reads no table `{name}`", script.name);
            let declared = script.about.tables.iter().map(|spec| spec.name.as_str());
            let help = suggestion(name, declared).unwrap_or_else(|| "it reads no tables at all".to_owned());
            return Err(Diagnostic::error("unknown-table", message).help(help).into());
        };
        if names.contains(&name.as_str()) {
            return Err(Diagnostic::error("bad-option", format!("--table: `{name}` is given twice")).into());
        }
        names.push(name);
        let csv = parse_csv(&desk.workplace().text(file)?)?;
        found.push(Arc::new(spec.hand_over(&csv, scene)?));
    }
    for spec in &script.about.tables {
        if !names.contains(&spec.name.as_str())
            && let Some(source) = of_package(desk, script, &spec.name)
        {
            found.push(Arc::new(spec.hand_over(&parse_csv(&source)?, scene)?));
        }
    }
    Ok(found)
}

/// What is wrong with the tables that a package brings for its scripts.
pub(crate) fn wrong_tables(store: &ScriptStore, package: &Package) -> Vec<Diagnostic> {
    let scene = Scene {
        library: Arc::new(library_of(package)),
        ..Scene::default()
    };
    let own = |script: &&Arc<Script>| matches!(script.whose, Whose::Package { .. });
    let scripts = store.all().scripts;
    let specs = scripts.iter().filter(own).flat_map(|script| &script.about.tables);
    let wrong = specs.filter_map(|spec| {
        // Glazes that it names are the studio's: nobody knows them yet.
        let names_glazes = spec.columns.iter().any(|column| column.kind == ColumnKind::Glaze);
        let path = place_of_table(&spec.name);
        let file = package.files.iter().find(|file| file.path == path && !names_glazes)?;
        let csv = parse_csv(&file.source(&package.manifest.name)).ok()?;
        spec.hand_over(&csv, &scene).err()
    });
    wrong.flatten().collect()
}

/// A table that the script's package brings, `data/NAME.csv`.
fn of_package(desk: &Desk, script: &Script, table: &str) -> Option<Source> {
    let Whose::Package { name, .. } = &script.whose else {
        return None;
    };
    let packages = &desk.workplace().packages().whole;
    let package = packages.iter().find(|package| package.manifest.name == *name)?;
    let path = place_of_table(table);
    let file = package.files.iter().find(|file| file.path == path)?;
    Some(file.source(name))
}

/// Where a package keeps a table.
fn place_of_table(name: &str) -> String {
    format!("data/{name}.csv")
}
