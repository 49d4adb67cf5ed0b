//! Tables to the entries of files: gathered, written as YAML, read back.

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::glaze::{GlazeFile, read_glaze};
use glost_chemistry::material::{Library, MaterialEntry, read_materials};
use glost_chemistry::quantity::Millilitres;

use super::cells::Table;
use super::draft::{At, ColumnTaken, Count, EntryDraft, Gathered, GlazeDraft, Open, What};
use super::entries::Entries;
use super::recipes::{Recipes, settle};
use super::sort::{Otherwise, Sort, Sorted, sort};
use super::yaml::{Yaml, lines};

/// What is known before the tables are read.
pub struct Known<'a> {
    /// The materials of the studio, the shipped ones below.
    pub library: &'a Library,
    /// The studio's cup.
    pub cup: Millilitres,
    /// Its currency.
    pub currency: Option<&'a str>,
    /// What is written as the source of figures that name none.
    pub source: &'a str,
    /// Columns and names to be taken otherwise.
    pub otherwise: &'a Otherwise,
    /// Whether a clay's file can be read.
    pub is_clay: &'a dyn Fn(&Source) -> Result<(), Diagnostic>,
}

/// What the tables come to.
#[derive(Debug, Clone, Default)]
pub struct Ready {
    /// Glazes that can be written, and those that wait for an answer.
    pub glazes: Vec<ReadyGlaze>,
    /// Materials.
    pub materials: Vec<ReadyMaterial>,
    /// Clays.
    pub clays: Vec<ReadyClay>,
    /// Keys of `studio.yaml`.
    pub settings: Vec<(String, Yaml)>,
    /// Values of materials that are there already.
    pub counts: Vec<Count>,
    /// Every column with what it is taken for.
    pub columns: Vec<ColumnTaken>,
    /// What can't be decided here.
    pub open: Vec<Open>,
    /// Rows below headings, of all tables.
    pub rows: usize,
}

/// A glaze with its file's text.
#[derive(Debug, Clone)]
pub struct ReadyGlaze {
    /// As its rows tell it.
    pub draft: GlazeDraft,
    /// Everything in its file.
    pub entries: Vec<(String, Yaml)>,
    /// Its file's text.
    pub text: String,
    /// The file as it is read back; none where it waits for an answer.
    pub file: Option<GlazeFile>,
}

/// A material with its entry's text.
#[derive(Debug, Clone)]
pub struct ReadyMaterial {
    /// As its row tells it.
    pub draft: EntryDraft,
    /// Its entry's text, to stand below `materials:`.
    pub text: String,
    /// The entry as it is read back.
    pub entry: MaterialEntry,
}

/// A clay with its file's text.
#[derive(Debug, Clone)]
pub struct ReadyClay {
    /// As its row tells it.
    pub draft: EntryDraft,
    /// Its file's text.
    pub text: String,
}

/// Reads tables into entries; each is read back, as from its file.
///
/// # Errors
/// A table of which nothing is known.
pub fn read_tables(tables: &[Table], known: &Known<'_>) -> Result<Ready, Vec<Diagnostic>> {
    let mut gathered = Gathered {
        rows: tables.iter().map(|table| table.rows.len()).sum(),
        ..Gathered::default()
    };
    let mut later = Vec::new();
    for table in tables {
        match sort(table, known.library, known.otherwise) {
            Some(sorted) if is_entries(sorted.sort) => {
                columns(table, &sorted, &mut gathered);
                entries(table, &sorted, known, &mut gathered);
            }
            _ => later.push(table),
        }
    }
    let mut ready = Ready::default();
    // Recipes may be of materials that come in the same folder.
    let mut library = known.library.clone();
    materials(&mut gathered, &mut ready, &mut library);
    clays(&mut gathered, &mut ready, known);
    let mut strange = Vec::new();
    for table in later {
        match sort(table, &library, known.otherwise) {
            Some(sorted) => {
                columns(table, &sorted, &mut gathered);
                recipes(table, &sorted, &library, known.otherwise, &mut gathered);
            }
            None => strange.push(nothing_known(table)),
        }
    }
    if !strange.is_empty() {
        return Err(strange);
    }
    glazes(&mut gathered, &mut ready, &library, known.cup);
    ready.settings = gathered.settings;
    ready.counts = gathered.counts;
    ready.columns = gathered.columns;
    ready.open = gathered.open;
    ready.rows = gathered.rows;
    Ok(ready)
}

fn is_entries(sort: Sort) -> bool {
    matches!(sort, Sort::Materials | Sort::Counts | Sort::Clays | Sort::Settings)
}

fn columns(table: &Table, sorted: &Sorted, gathered: &mut Gathered) {
    let taken = table.headings.iter().zip(&sorted.columns);
    gathered.columns.extend(taken.map(|(heading, (_, taken))| ColumnTaken {
        file: table.file.clone(),
        column: heading.clone(),
        taken: taken.clone(),
    }));
}

fn entries(table: &Table, sorted: &Sorted, known: &Known<'_>, gathered: &mut Gathered) {
    let reader = Entries {
        table,
        sorted,
        currency: known.currency,
        source: known.source,
        gathered,
    };
    match sorted.sort {
        Sort::Materials => reader.materials(),
        Sort::Counts => reader.counts(),
        Sort::Clays => reader.clays(),
        _ => reader.settings(),
    }
}

fn recipes(table: &Table, sorted: &Sorted, library: &Library, otherwise: &Otherwise, gathered: &mut Gathered) {
    let reader = Recipes {
        table,
        sorted,
        library,
        otherwise,
        gathered,
        unknown: indexmap::IndexMap::new(),
    };
    match sorted.sort {
        Sort::LongRecipes => reader.long(),
        Sort::Glazes => reader.keys(),
        _ => reader.wide(),
    }
}

fn nothing_known(table: &Table) -> Diagnostic {
    const SHOWN: usize = 8;
    let some: Vec<&str> = table.headings.iter().take(SHOWN).map(String::as_str).collect();
    let more = if table.headings.len() > SHOWN { ", ..." } else { "" };
    let source = Source::from_text(&table.file, &table.headings.join(&table.delimiter.to_string()));
    Diagnostic::error(
        "unknown-table",
        format!("no column of this table is known: {}{more}", some.join(", ")),
    )
    .at(&source, glost_chemistry::diagnostic::Mark { line: 1, column: 1 }, 1)
    .help("head the columns `glaze` and the materials' names; `glaze,material,amount`; or `material` and oxides, `stock` or `price`. --as \"HEADING=MEANING\" says what a column is")
}

/// Puts the materials into the library; those that can't be used are asked about.
fn materials(gathered: &mut Gathered, ready: &mut Ready, library: &mut Library) {
    let mut layer = Vec::new();
    for draft in std::mem::take(&mut gathered.materials).into_values() {
        let text = list_item(&draft.entries);
        let file = Source::from_text(&draft.at.file, &format!("materials:\n{text}"));
        let (mut read, mut complaints) = read_materials(&file);
        match (read.pop(), complaints.pop()) {
            (Some(entry), None) => {
                layer.push(entry.clone());
                ready.materials.push(ReadyMaterial { draft, text, entry });
            }
            (_, complaint) => {
                let complaint = complaint.unwrap_or_else(|| Diagnostic::error("no-makeup", "nothing is told of it"));
                gathered
                    .open
                    .push(unusable(&draft.at, What::Material, &draft.name, complaint));
            }
        }
    }
    if layer.is_empty() {
        return;
    }
    // What is wrong among them shows where a recipe needs them; the rest serves.
    for complaint in library.add_layer(layer, false) {
        let at = At {
            file: "materials".to_owned(),
            line: 1,
        };
        gathered.open.push(unusable(&at, What::Material, "", complaint));
    }
}

fn clays(gathered: &mut Gathered, ready: &mut Ready, known: &Known<'_>) {
    for draft in std::mem::take(&mut gathered.clays).into_values() {
        let text = lines(&draft.entries, 0);
        let source = Source::from_text(&draft.at.file, &text);
        match (known.is_clay)(&source) {
            Ok(()) => ready.clays.push(ReadyClay { draft, text }),
            Err(complaint) => gathered
                .open
                .push(unusable(&draft.at, What::Clay, &draft.name, complaint)),
        }
    }
}

fn glazes(gathered: &mut Gathered, ready: &mut Ready, library: &Library, cup: Millilitres) {
    for mut draft in std::mem::take(&mut gathered.glazes).into_values() {
        settle(&mut draft, library);
        let entries = glaze_entries(&draft);
        let text = lines(&entries, 0);
        let mut file = None;
        if draft.waits_for.is_empty() {
            let source = Source::from_text(&draft.at.file, &text);
            let read = read_glaze(&source, cup).map_err(|error| vec![error]);
            match read.and_then(|read| read.clone().resolve(library).map(|_| read)) {
                Ok(read) => file = Some(read),
                Err(complaints) => {
                    for complaint in complaints.into_iter().take(1) {
                        gathered
                            .open
                            .push(unusable(&draft.at, What::Glaze, &draft.name, complaint));
                    }
                }
            }
        }
        ready.glazes.push(ReadyGlaze {
            draft,
            entries,
            text,
            file,
        });
    }
}

/// The keys of a glaze file in the order that people write them.
fn glaze_entries(draft: &GlazeDraft) -> Vec<(String, Yaml)> {
    const BEFORE_THE_RECIPE: [&str; 4] = ["cone", "peak", "firing", "atmosphere"];
    let recipe = |addition: bool| -> Vec<(String, Yaml)> {
        let of = draft
            .lines
            .iter()
            .filter(|line| (line.addition == Some(true)) == addition);
        of.map(|line| (line.material.clone(), Yaml::text(&line.text))).collect()
    };
    let first = |key: &str| BEFORE_THE_RECIPE.contains(&key);
    let mut entries = vec![("glaze".to_owned(), Yaml::text(&draft.name))];
    entries.extend(draft.keys.iter().filter(|(key, _)| first(key)).cloned());
    entries.push(("parts".to_owned(), Yaml::Map(recipe(false))));
    let additions = recipe(true);
    if !additions.is_empty() {
        entries.push(("additions".to_owned(), Yaml::Map(additions)));
    }
    entries.extend(draft.keys.iter().filter(|(key, _)| !first(key)).cloned());
    entries
}

/// An entry of a list, below `materials:`.
fn list_item(entries: &[(String, Yaml)]) -> String {
    let text = lines(entries, 4);
    format!("  - {}", text.trim_start())
}

fn unusable(at: &At, what: What, name: &str, mut complaint: Diagnostic) -> Open {
    // Its place is in a text that nobody has seen.
    complaint.place = None;
    Open::Unusable {
        at: at.clone(),
        what,
        name: name.to_owned(),
        complaint: Box::new(complaint),
    }
}
