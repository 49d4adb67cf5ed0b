//! What a `run` script puts out: `say` and `table`.

use glost_chemistry::diagnostic::suggestion;
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, Map};

use crate::bounds;
use crate::language::{in_text, number};
use crate::report::{Item, ReportColumn, ReportTable};
use crate::scene;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::{Trouble, trouble};

type Raised = Box<EvalAltResult>;

/// A table that is being filled, by its number in the run.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ReportValue(usize);

const TABLE_KEYS: [&str; 3] = ["title", "columns", "rows"];
const COLUMN_KEYS: [&str; 3] = ["name", "unit", "decimals"];

fn only(table: &Map, keys: &[&'static str], what: &str) -> Result<(), Raised> {
    match table.keys().find(|key| !keys.contains(&key.as_str())) {
        None => Ok(()),
        Some(odd) => Err(Trouble::new("unknown-key", format!("{what} has no `{odd}`"))
            .maybe_help(suggestion(odd, keys.iter().copied()))
            .raise()),
    }
}

fn item(value: &Dynamic) -> Item {
    if value.is_unit() {
        Item::Nothing
    } else if let Some(number) = number(value) {
        Item::Number(number)
    } else if let Ok(truth) = value.as_bool() {
        Item::YesNo(truth)
    } else {
        Item::Text(in_text(value))
    }
}

fn column(value: &Dynamic) -> Result<ReportColumn, Raised> {
    if let Some(name) = value.read_lock::<ImmutableString>() {
        return Ok(ReportColumn {
            name: name.to_string(),
            unit: None,
            decimals: None,
        });
    }
    let table = value.read_lock::<Map>().ok_or_else(|| {
        Trouble::new("wrong-kind", "a column is a text, or a table with its name")
            .help("such as `\"glaze\"` or `#{ name: \"silica\", unit: \"g\", decimals: 1 }`")
            .raise()
    })?;
    only(&table, &COLUMN_KEYS, "a column")?;
    let name = table
        .get("name")
        .ok_or_else(|| trouble("missing-key", "a column needs a `name`"))?;
    let decimals = match table.get("decimals") {
        None => None,
        Some(value) => match number(value) {
            Some(count) if count.fract() == 0.0 && (0.0..=9.0).contains(&count) => Some(count as usize),
            _ => {
                return Err(trouble(
                    "wrong-value",
                    "`decimals` should be a whole number from 0 to 9",
                ));
            }
        },
    };
    Ok(ReportColumn {
        name: in_text(name),
        unit: table.get("unit").map(in_text),
        decimals,
    })
}

fn begin(given: &Map) -> Result<ReportValue, Raised> {
    only(given, &TABLE_KEYS, "a table to put out")?;
    let title = given.get("title").map_or_else(String::new, in_text);
    let columns = given
        .get("columns")
        .and_then(|list| list.read_lock::<Array>().map(|list| list.clone()));
    let columns = columns.filter(|columns| !columns.is_empty()).ok_or_else(|| {
        Trouble::new("missing-key", "a table needs `columns`")
            .help("such as `columns: [\"glaze\", #{ name: \"SiO2\", unit: \"mol\" }]`")
            .raise()
    })?;
    let columns = columns.iter().map(column).collect::<Result<Vec<_>, _>>()?;
    for (index, column) in columns.iter().enumerate() {
        if columns[..index].iter().any(|other| other.name == column.name) {
            return Err(trouble(
                "duplicate-key",
                format!("the column `{}` is named twice", column.name),
            ));
        }
    }
    put_out(title.len() + columns.iter().map(|column| column.name.len()).sum::<usize>())?;
    let handle = scene::present(|run| {
        run.report.tables.push(ReportTable {
            title,
            columns,
            rows: Vec::new(),
        });
        ReportValue(run.report.tables.len() - 1)
    })?;
    if let Some(rows) = given.get("rows") {
        let rows = rows
            .read_lock::<Array>()
            .ok_or_else(|| trouble("wrong-kind", "`rows` should be a list of rows"))?;
        for row in rows.iter() {
            handle.row(row)?;
        }
    }
    Ok(handle)
}

/// Counts text that goes out; a broken bound ends the script.
fn put_out(bytes: usize) -> Result<(), Raised> {
    bounds::charge_output(bytes);
    bounds::charge_or_end(1 + bytes as u64 / 64)
}

impl ReportValue {
    fn table<R>(self, look: impl FnOnce(&mut ReportTable) -> R) -> Result<R, Raised> {
        scene::present(|run| run.report.tables.get_mut(self.0).map(look))?
            .ok_or_else(|| trouble("no-table", "this table isn't part of the run"))
    }

    fn row(self, given: &Dynamic) -> Result<(), Raised> {
        let names: Vec<String> =
            self.table(|table| table.columns.iter().map(|column| column.name.clone()).collect())?;
        let items: Vec<Item> = if let Some(list) = given.read_lock::<Array>() {
            if list.len() != names.len() {
                return Err(trouble(
                    "wrong-count",
                    format!(
                        "a row needs {} values, one for each column, not {}",
                        names.len(),
                        list.len()
                    ),
                ));
            }
            list.iter().map(item).collect()
        } else if let Some(table) = given.read_lock::<Map>() {
            if let Some(odd) = table.keys().find(|key| !names.iter().any(|name| name == key.as_str())) {
                return Err(Trouble::new("unknown-key", format!("the table has no column `{odd}`"))
                    .maybe_help(suggestion(odd, names.iter().map(String::as_str)))
                    .raise());
            }
            names
                .iter()
                .map(|name| table.get(name.as_str()).map_or(Item::Nothing, item))
                .collect()
        } else {
            return Err(
                Trouble::new("wrong-kind", "a row is a list of values, or a table by column")
                    .help("such as `list.row([glaze.name, distance])`")
                    .raise(),
            );
        };
        let bytes = items.iter().map(|item| match item {
            Item::Text(text) => text.len(),
            _ => 8,
        });
        put_out(bytes.sum())?;
        self.table(|table| table.rows.push(items))
    }

    fn sort(self, column: &str, largest_first: bool) -> Result<(), Raised> {
        let names: Vec<String> =
            self.table(|table| table.columns.iter().map(|column| column.name.clone()).collect())?;
        let index = names.iter().position(|name| name == column).ok_or_else(|| {
            Trouble::new("unknown-name", format!("the table has no column `{column}`"))
                .maybe_help(suggestion(column, names.iter().map(String::as_str)))
                .raise()
        })?;
        let rows = self.table(|table| table.rows.len())?;
        bounds::charge_or_end(rows as u64 * 4)?;
        self.table(|table| table.sort(index, largest_first))
    }
}

fn say(text: &Dynamic) -> Result<(), Raised> {
    let text = in_text(text);
    put_out(text.len())?;
    scene::present(|run| run.report.said.push(text))
}

/// What a run put out, as a table for its tests.
pub(super) fn as_table(report: &crate::report::Report) -> Map {
    let value = |item: &Item| match item {
        Item::Nothing => Dynamic::UNIT,
        Item::Number(number) => Dynamic::from(*number),
        Item::Text(text) => Dynamic::from(ImmutableString::from(text.as_str())),
        Item::YesNo(truth) => Dynamic::from(*truth),
    };
    let table = |table: &ReportTable| -> Dynamic {
        let rows = table.rows.iter().map(|row| {
            let cells = table.columns.iter().zip(row);
            Dynamic::from(
                cells
                    .map(|(column, item)| (column.name.as_str().into(), value(item)))
                    .collect::<Map>(),
            )
        });
        let mut shown = Map::new();
        shown.insert(
            "title".into(),
            Dynamic::from(ImmutableString::from(table.title.as_str())),
        );
        shown.insert("rows".into(), rows.collect::<Array>().into());
        shown.into()
    };
    let said = report
        .said
        .iter()
        .map(|text| Dynamic::from(ImmutableString::from(text.as_str())));
    let mut found = Map::new();
    found.insert("said".into(), said.collect::<Array>().into());
    found.insert(
        "tables".into(),
        report.tables.iter().map(table).collect::<Array>().into(),
    );
    found
}

pub(super) fn register(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Report;
    shelf.module.set_custom_type::<ReportValue>(OWNER.words());
    shelf.add(
        Entry::function(
            "say",
            "text",
            Sort::Nothing,
            "Puts out a sentence; in `run` scripts, before the tables.",
        )
        .example("say(\"Nothing to retest.\")"),
        |text: Dynamic| say(&text),
    );
    shelf.add(
        Entry::function(
            "table",
            "description",
            OWNER,
            "Begins a table to put out, in `run` scripts: title, columns (each a name, or name, unit and decimals) and, where they are ready, rows.",
        )
        .example("table(#{ title: \"Retest\", columns: [\"glaze\", #{ name: \"distance\", decimals: 1 }] })"),
        |given: Map| begin(&given),
    );
    shelf.add(
        Entry::method(
            OWNER,
            "row",
            "values",
            Sort::Nothing,
            "Adds a row: a list with one value for each column, or a table by column; `()` leaves a cell empty.",
        )
        .example("table(#{ columns: [\"glaze\", \"SiO2\"] }).row([glaze.name, u.SiO2])"),
        |table: &mut ReportValue, row: Dynamic| table.row(&row),
    );
    shelf.add(
        Entry::method(
            OWNER,
            "sort",
            "column",
            Sort::Nothing,
            "Orders its rows by a column, the smallest first, empty ones last.",
        )
        .example("table(#{ columns: [\"glaze\", \"SiO2\"] }).sort(\"SiO2\")"),
        |table: &mut ReportValue, column: &str| table.sort(column, false),
    );
    shelf.add(
        Entry::method(
            OWNER,
            "sort_down",
            "column",
            Sort::Nothing,
            "Orders its rows by a column, the largest first, empty ones before all: what isn't known is the worst.",
        )
        .example("table(#{ columns: [\"glaze\", \"SiO2\"] }).sort_down(\"SiO2\")"),
        |table: &mut ReportValue, column: &str| table.sort(column, true),
    );
}
