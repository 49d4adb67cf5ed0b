//! The whole studio, and the rows of the tables handed over.

use std::sync::Arc;

use rhai::{Array, Dynamic, EvalAltResult, ImmutableString};

use crate::bounds;
use crate::scene;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::tables::{GivenTable, Typed};
use crate::trouble::{Trouble, trouble};

use super::clay::find_clay;
use super::glaze::find_glaze;
use super::materials::{MaterialValue, MaterialsValue};
use super::walked::handed_over;
use super::{ClayValue, GlazeValue, no_such_name, text_or_nothing};

type Raised = Box<EvalAltResult>;

/// Looks into the present run's scene.
#[derive(Debug, Clone, Copy)]
pub(crate) struct StudioValue;

/// A row of a table, by its place.
#[derive(Debug, Clone)]
pub(crate) struct RowValue {
    table: Arc<GivenTable>,
    index: usize,
}

fn at_most<T>(items: &[T], what: &str) -> Result<(), Raised> {
    if items.len() > bounds::ITEMS_MOST {
        return Err(trouble(
            "too-many",
            format!("there are {} {what}, a list holds {}", items.len(), bounds::ITEMS_MOST),
        ));
    }
    bounds::charge_or_end(items.len() as u64)
}

fn find_table(name: &str) -> Result<Option<Arc<GivenTable>>, Raised> {
    let (scene, declared) = scene::present(|run| (run.scene.clone(), run.script.about.tables.clone()))?;
    if !declared.iter().any(|table| table.name == name) {
        return Err(
            Trouble::new("unknown-table", format!("the script declares no table `{name}`"))
                .help("declare it in `ABOUT`: `tables: #{ invoices: [\"material\", \"kg: number\"] }`")
                .maybe_help(glost_chemistry::diagnostic::suggestion(
                    name,
                    declared.iter().map(|table| table.name.as_str()),
                ))
                .raise(),
        );
    }
    Ok(scene.tables.iter().find(|table| table.name == name).cloned())
}

fn rows(name: &str) -> Result<Dynamic, Raised> {
    let table = find_table(name)?.ok_or_else(|| {
        Trouble::new("no-table", format!("the table `{name}` wasn't handed over"))
            .help(format!("--table {name}=FILE.csv"))
            .raise()
    })?;
    handed_over(table.rows.len(), move |index| {
        Dynamic::from(RowValue {
            table: table.clone(),
            index,
        })
    })
}

impl RowValue {
    fn value(&self, column: &str) -> Result<&Typed, Raised> {
        let index = self.table.columns.iter().position(|name| name == column);
        let index = index.ok_or_else(|| {
            Trouble::new(
                "unknown-name",
                format!("the table `{}` has no column `{column}`", self.table.name),
            )
            .help("columns are declared in `ABOUT`, under `tables`")
            .maybe_help(glost_chemistry::diagnostic::suggestion(
                column,
                self.table.columns.iter().map(String::as_str),
            ))
            .raise()
        })?;
        Ok(&self.table.rows[self.index].values[index])
    }

    fn get(&self, column: &str) -> Result<Dynamic, Raised> {
        let scene = scene::scene()?;
        Ok(match self.value(column)? {
            Typed::Text(text) => Dynamic::from(ImmutableString::from(text.as_str())),
            Typed::Number(number) => Dynamic::from(*number),
            Typed::YesNo(truth) => Dynamic::from(*truth),
            Typed::Material(material) => Dynamic::from(MaterialValue(material.clone())),
            Typed::Glaze(glaze) => Dynamic::from(GlazeValue::new(glaze.clone(), &scene)),
            Typed::Empty => {
                return Err(Trouble::new(
                    "missing-value",
                    format!(
                        "row {} of {} (line {}) has no `{column}`",
                        self.index + 1,
                        self.table.file,
                        self.table.rows[self.index].line
                    ),
                )
                .help("fill it in, or take the row out")
                .raise());
            }
        })
    }
}

pub(super) fn register(shelf: &mut Shelf) {
    shelf.module.set_custom_type::<StudioValue>(Sort::Studio.words());
    shelf.module.set_custom_type::<RowValue>(Sort::Row.words());
    things(shelf);
    tables(shelf);
    a_row(shelf);
    shelf.silent(
        "index$get$",
        |_: &mut StudioValue, name: &str| -> Result<Dynamic, Raised> {
            Err(no_such_name(
                Sort::Studio,
                name,
                crate::reference::names_of(Sort::Studio),
            ))
        },
    );
}

fn things(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Studio;
    shelf.add(
        Entry::property(
            OWNER,
            "name",
            Sort::Text,
            "Its name; `()` where there is no studio folder.",
        ),
        |_: &mut StudioValue| -> Result<Dynamic, Raised> {
            let scene = scene::scene()?;
            Ok(text_or_nothing(
                Some(scene.studio.as_str()).filter(|name| !name.is_empty()),
            ))
        },
    );
    shelf.add(
        Entry::property(
            OWNER,
            "glazes",
            Sort::List(&Sort::Glaze),
            "Its glazes, in order of their files.",
        ),
        |_: &mut StudioValue| -> Result<Dynamic, Raised> {
            let scene = scene::scene()?;
            handed_over(scene.glazes.len(), move |place| {
                Dynamic::from(GlazeValue::new(scene.glazes[place].clone(), &scene))
            })
        },
    );
    shelf.add(
        Entry::method(
            OWNER,
            "glaze",
            "name",
            Sort::Glaze,
            "The glaze of a name; an error where there is none.",
        ),
        |_: &mut StudioValue, name: &str| find_glaze(name),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "clays",
            Sort::List(&Sort::Clay),
            "Its clays, in order of their files.",
        ),
        |_: &mut StudioValue| -> Result<Array, Raised> {
            let scene = scene::scene()?;
            at_most(&scene.clays, "clays")?;
            Ok(scene
                .clays
                .iter()
                .cloned()
                .map(|clay| Dynamic::from(ClayValue(clay)))
                .collect())
        },
    );
    shelf.add(
        Entry::method(
            OWNER,
            "clay",
            "name",
            Sort::Clay,
            "The clay of a name; an error where there is none.",
        ),
        |_: &mut StudioValue, name: &str| find_clay(name),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "notes",
            Sort::List(&Sort::Note),
            "The notes of its notebook that nobody has taken back, in the order of their lines; those after tests that maltreat pieces (boil and ice, autoclave, freezing) are left out, see `notes_with_tests`.",
        ),
        |_: &mut StudioValue| super::notes::standing(false),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "notes_with_tests",
            Sort::List(&Sort::Note),
            "The same with those after tests that maltreat pieces: `note.test` names the test.",
        ),
        |_: &mut StudioValue| super::notes::standing(true),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "materials",
            Sort::Materials,
            "All materials in sight, the same as `materials`.",
        ),
        |_: &mut StudioValue| MaterialsValue,
    );
    shelf.add(
        Entry::property(OWNER, "currency", Sort::Text, "Its currency; `()` where none is given."),
        |_: &mut StudioValue| -> Result<Dynamic, Raised> { Ok(text_or_nothing(scene::scene()?.currency.as_deref())) },
    );
    shelf.add(
        Entry::property(
            OWNER,
            "scales_step",
            Sort::Number,
            "The step its scales read to, in grams.",
        ),
        |_: &mut StudioValue| -> Result<f64, Raised> { Ok(scene::scene()?.scales.reads_to.grams()) },
    );
}

fn tables(shelf: &mut Shelf) {
    shelf.add(
        Entry::method(
            Sort::Studio,
            "table",
            "name",
            Sort::List(&Sort::Row),
            "The rows of a table that `ABOUT` declares and the call hands over: `--table name=FILE.csv`.",
        ),
        |_: &mut StudioValue, name: &str| rows(name),
    );
    shelf.add(
        Entry::method(
            Sort::Studio,
            "has_table",
            "name",
            Sort::YesNo,
            "Whether a declared table was handed over.",
        ),
        |_: &mut StudioValue, name: &str| -> Result<bool, Raised> { Ok(find_table(name)?.is_some()) },
    );
}

fn a_row(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Row;
    shelf.add(
        Entry::property(OWNER, "line", Sort::Number, "The line of its file, from 1."),
        |row: &mut RowValue| row.table.rows[row.index].line as i64,
    );
    shelf.add(
        Entry::method(
            OWNER,
            "has",
            "column",
            Sort::YesNo,
            "Whether there is a value in a column.",
        ),
        |row: &mut RowValue, column: &str| -> Result<bool, Raised> { Ok(!matches!(row.value(column)?, Typed::Empty)) },
    );
    shelf.add(
        Entry::index(
            OWNER,
            "column",
            Sort::Any,
            "The value of a column, mostly written `row.column`; an empty one stops the script and names row and column.",
        ),
        |row: &mut RowValue, column: &str| row.get(column),
    );
}
