//! What was taken in, as the contract's JSON.

use glost_core::intake::table::yaml::Yaml;
use glost_core::intake::table::{At, ColumnTaken, Open, ReadyClay, ReadyGlaze, ReadyMaterial, RecipeLine, What};
use serde::{Serialize, Serializer};

use super::taken_word;
use crate::Said;
use crate::wire::Amounts;

/// What was taken in, or would be.
#[derive(Debug, Clone)]
pub struct Answer {
    /// Whether nothing is written.
    pub dry_run: bool,
    /// The new studio's folder, where one is made.
    pub into: Option<String>,
    /// How many tables were read.
    pub tables: usize,
    /// How many rows they hold below their headings.
    pub rows: usize,
    /// Glazes.
    pub recipes: Vec<Taken<ReadyGlaze>>,
    /// Materials.
    pub materials: Vec<Taken<ReadyMaterial>>,
    /// Clays.
    pub clays: Vec<Taken<ReadyClay>>,
    /// Values of materials that are there: what they are, what the table says.
    pub changes: Vec<Change>,
    /// What each column is taken for.
    pub columns: Vec<ColumnTaken>,
    /// What only whoever wrote the table can say.
    pub open: Vec<Open>,
    /// Keys of `studio.yaml`, for a new studio.
    pub settings: Vec<(String, Yaml)>,
    /// What is there already, just so.
    pub kept: Vec<Kept>,
    /// The files that are written, or would be.
    pub written: Vec<String>,
}

/// An entry with whether the studio has one of its name.
#[derive(Debug, Clone)]
pub struct Taken<T> {
    /// The entry.
    pub ready: T,
    /// Whether the studio has one of its name, which is left as it is.
    pub there: bool,
}

impl<T> Taken<T> {
    pub(super) fn all(entries: Vec<T>) -> Vec<Taken<T>> {
        let taken = |ready| Taken { ready, there: false };
        entries.into_iter().map(taken).collect()
    }
}

impl Taken<ReadyGlaze> {
    /// Whether its file is written.
    pub fn is_written(&self) -> bool {
        !self.there && self.ready.file.is_some()
    }
}

/// A value of a material that is there.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Change {
    /// The material.
    pub material: String,
    /// Its file.
    pub file: String,
    /// `stock`, `price` and the like.
    pub key: String,
    /// What its file says.
    pub before: Option<String>,
    /// What the table says.
    pub after: String,
    /// Whether its file says it now.
    pub done: bool,
    /// Where the table says it.
    #[serde(skip)]
    pub at: At,
}

/// Something that the studio has already, just so.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// What it is.
    pub what: What,
    /// Its name.
    pub name: String,
    /// Its file.
    pub file: String,
}

impl crate::Answer for Answer {
    /// Something is left open.
    fn says_no(&self) -> bool {
        !self.open.is_empty()
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct RecipeJson<'a> {
    glaze: &'a str,
    parts: Amounts,
    additions: Amounts,
    table: &'a str,
    line: usize,
    waits_for: &'a [String],
    taken_as_additions: &'a [String],
    written: bool,
}

#[derive(Serialize, schemars::JsonSchema)]
struct EntryJson<'a> {
    name: &'a str,
    table: &'a str,
    line: usize,
    entry: Value<'a>,
    written: bool,
}

/// An entry's keys as JSON; numbers stay the text of their file.
struct Value<'a>(&'a [(String, Yaml)]);

impl Serialize for Value<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_map(self.0.iter().map(|(key, value)| (key, Inner(value))))
    }
}

struct Inner<'a>(&'a Yaml);

impl Serialize for Inner<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match self.0 {
            Yaml::Text(text) => text.serialize(to),
            Yaml::List(items) => to.collect_seq(items.iter().map(Inner)),
            Yaml::Map(entries) => to.collect_map(entries.iter().map(|(key, value)| (key, Inner(value)))),
        }
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct ColumnJson<'a> {
    column: &'a str,
    taken_as: Option<String>,
    file: &'a str,
}

#[derive(Serialize, schemars::JsonSchema)]
struct OpenJson<'a> {
    file: Option<&'a str>,
    line: Option<usize>,
    column: Option<&'a str>,
    name: Option<&'a str>,
    cells: Option<usize>,
    nearest: Option<&'a str>,
    question: Said,
}

#[derive(Serialize, schemars::JsonSchema)]
struct KeptJson<'a> {
    what: &'static str,
    name: &'a str,
    file: &'a str,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    dry_run: bool,
    tables: usize,
    rows: usize,
    recipes: Vec<RecipeJson<'a>>,
    materials: Vec<EntryJson<'a>>,
    clays: Vec<EntryJson<'a>>,
    changes: &'a [Change],
    columns: Vec<ColumnJson<'a>>,
    open: Vec<OpenJson<'a>>,
    kept: Vec<KeptJson<'a>>,
    written: &'a [String],
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        AnswerJson {
            dry_run: self.dry_run,
            tables: self.tables,
            rows: self.rows,
            recipes: self.recipes.iter().map(recipe).collect(),
            materials: self
                .materials
                .iter()
                .map(|material| {
                    let draft = &material.ready.draft;
                    entry(
                        &draft.name,
                        &draft.at.file,
                        draft.at.line,
                        &draft.entries,
                        !material.there,
                    )
                })
                .collect(),
            clays: self
                .clays
                .iter()
                .map(|clay| {
                    let draft = &clay.ready.draft;
                    entry(&draft.name, &draft.at.file, draft.at.line, &draft.entries, !clay.there)
                })
                .collect(),
            changes: &self.changes,
            columns: self
                .columns
                .iter()
                .map(|column| ColumnJson {
                    column: &column.column,
                    taken_as: taken_word(&column.taken),
                    file: &column.file,
                })
                .collect(),
            open: self.open.iter().map(open).collect(),
            kept: self
                .kept
                .iter()
                .map(|kept| KeptJson {
                    what: what_word(kept.what),
                    name: &kept.name,
                    file: &kept.file,
                })
                .collect(),
            written: &self.written,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);

fn recipe(glaze: &Taken<ReadyGlaze>) -> RecipeJson<'_> {
    let draft = &glaze.ready.draft;
    let amounts = |addition: bool| {
        let of = |line: &&RecipeLine| (line.addition == Some(true)) == addition;
        let lines = draft.lines.iter().filter(of);
        Amounts(lines.map(|line| (line.material.clone(), line.amount)).collect())
    };
    RecipeJson {
        glaze: &draft.name,
        parts: amounts(false),
        additions: amounts(true),
        table: &draft.at.file,
        line: draft.at.line,
        waits_for: &draft.waits_for,
        taken_as_additions: &draft.on_top,
        written: glaze.is_written(),
    }
}

fn entry<'a>(
    name: &'a str,
    table: &'a str,
    line: usize,
    entries: &'a [(String, Yaml)],
    written: bool,
) -> EntryJson<'a> {
    EntryJson {
        name,
        table,
        line,
        entry: Value(entries),
        written,
    }
}

/// What a name belongs to, in a word.
pub fn what_word(what: What) -> &'static str {
    match what {
        What::Glaze => "glaze",
        What::Material => "material",
        What::Clay => "clay",
        What::Settings => "settings",
        What::Journal => "journal",
    }
}

fn open(open: &Open) -> OpenJson<'_> {
    let mut json = OpenJson {
        file: None,
        line: None,
        column: None,
        name: None,
        cells: None,
        nearest: None,
        question: Said::OpenInTable(Box::new(open.clone())),
    };
    let at = match open {
        Open::Column {
            file,
            column,
            cells,
            nearest,
            ..
        } => {
            json.file = Some(file);
            json.column = Some(column);
            json.cells = Some(*cells);
            json.nearest = nearest.as_deref();
            return json;
        }
        Open::TwoColumns {
            file,
            columns,
            material,
            ..
        } => {
            json.file = Some(file);
            json.column = columns.first().map(String::as_str);
            json.name = Some(material);
            return json;
        }
        Open::Material {
            at, material, nearest, ..
        }
        | Open::NoEntry { at, material, nearest } => {
            json.name = Some(material);
            json.nearest = nearest.as_deref();
            at
        }
        Open::Cell { at, column, .. } => {
            json.column = Some(column);
            at
        }
        Open::NoName { at } => at,
        Open::TwoRows { at, name } | Open::Unusable { at, name, .. } | Open::AlreadyThere { at, name, .. } => {
            json.name = Some(name);
            at
        }
    };
    json.file = Some(&at.file);
    json.line = Some(at.line);
    json
}

impl schemars::JsonSchema for Value<'_> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Value".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": "object" })
    }
}
