//! Glazes and requests that a test gives inline.

use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, Source, did_you_mean, is_no, nearest, of_typed, suggestion};
use glost_chemistry::glaze::{Glaze, GlazeNotes, OneOf, Portion};
use glost_chemistry::material::{FiredYield, Kind, Library, LossStanding, Material};
use glost_chemistry::oxides::OxideGrams;
use glost_chemistry::quantity::Celsius;
use glost_chemistry::read::parse_csv;
use glost_core::tiles::blend::AdditionSteps;
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, Map};

use crate::language::{cone_number, in_text, number};
use crate::scene::{self, Request, Scene};
use crate::sort::Sort;
use crate::tables::{GivenTable, TableSpec};
use crate::trouble::{Trouble, trouble};

use super::given_notes;
use super::given_stock::{restocked, stocked};
use super::glaze::find_glaze;
use super::materials::find;
use super::{GlazeValue, oxides};

type Raised = Box<EvalAltResult>;

/// Keys of an inline glaze beside its oxides.
const BESIDE_OXIDES: [&str; 9] = [
    "name",
    "clay",
    "cone",
    "peak",
    "use",
    "parts",
    "additions",
    "atmosphere",
    "ware",
];

/// A glaze from what a test gives: a table, a name, or a glaze.
pub(super) fn glaze_from(given: &Dynamic) -> Result<GlazeValue, Raised> {
    if let Some(glaze) = given.read_lock::<GlazeValue>() {
        return Ok(glaze.clone());
    }
    if let Some(name) = given.read_lock::<ImmutableString>() {
        return find_glaze(&name);
    }
    let table = given.read_lock::<Map>().ok_or_else(|| {
        trouble(
            "wrong-kind",
            format!(
                "a glaze is needed, or a table of oxides, not {}",
                Sort::words_for_type(given.type_name())
            ),
        )
    })?;
    let scene = scene::scene()?;
    if table.contains_key("parts")
        && let Some(odd) = table.keys().find(|key| !BESIDE_OXIDES.contains(&key.as_str()))
    {
        let fault = Trouble::new("unknown-key", format!("a glaze given by its `parts` has no `{odd}`"));
        let near = nearest(odd, BESIDE_OXIDES).map(did_you_mean);
        let help = near.unwrap_or_else(|| "give oxides or `parts`, not both".to_owned());
        return Err(fault.help(help).raise());
    }
    let about = GlazeNotes {
        cone: cone_of(&table)?,
        usage: one_of(&table, "use")?,
        atmosphere: one_of(&table, "atmosphere")?,
        ware: one_of(&table, "ware")?,
        clay: text_of(&table, "clay")?,
        peak: table.get("peak").and_then(number).and_then(Celsius::new),
        ..GlazeNotes::default()
    };
    let (base, additions) = match table.get("parts") {
        Some(parts) => (
            portions(parts, true)?,
            table
                .get("additions")
                .map_or(Ok(Vec::new()), |more| portions(more, false))?,
        ),
        None => (vec![of_chemistry(&table)?], Vec::new()),
    };
    let glaze = Glaze {
        name: text_of(&table, "name")?.unwrap_or_else(|| "the glaze of this test".to_owned()),
        base,
        additions,
        about,
        assumptions: Vec::new(),
    };
    Ok(GlazeValue::new(Arc::new(glaze), &scene))
}

fn text_of(table: &Map, key: &str) -> Result<Option<String>, Raised> {
    match table.get(key) {
        None => Ok(None),
        Some(value) => match value.read_lock::<ImmutableString>() {
            Some(text) => Ok(Some(text.to_string())),
            None => Err(trouble(
                "wrong-kind",
                format!("`{key}` should be a text: \"04\" is not 4"),
            )),
        },
    }
}

fn cone_of(table: &Map) -> Result<Option<String>, Raised> {
    let cone = text_of(table, "cone")?;
    // As in files a cone is a text: `6-7` may stand there. A number that is none is a slip.
    let no_cone = |cone: &&str| cone_number(cone).is_none() && cone.trim().parse::<f64>().is_ok();
    match cone.as_deref().filter(no_cone) {
        Some(odd) => Err(Trouble::new("wrong-value", is_no(odd, "cone"))
            .help("such as \"04\", \"6\" or \"10\"")
            .raise()),
        None => Ok(cone),
    }
}

/// One of the words that files use, too.
fn one_of<T: OneOf>(table: &Map, key: &str) -> Result<Option<T>, Raised> {
    let Some(word) = text_of(table, key)? else {
        return Ok(None);
    };
    let unknown = || {
        let help = suggestion(&word, T::words()).map_or_else(String::new, |help| format!(": {help}"));
        trouble(
            "unknown-word",
            format!("`{word}` is not one of the words for `{key}`{help}"),
        )
    };
    T::of_word(&word).map(Some).ok_or_else(unknown)
}

fn portions(parts: &Dynamic, as_base: bool) -> Result<Vec<Portion>, Raised> {
    let table = parts
        .read_lock::<Map>()
        .ok_or_else(|| trouble("wrong-kind", "a recipe is a table of materials: `#{ \"silica\": 30 }`"))?;
    let mut portions = Vec::new();
    for (name, amount) in table.iter() {
        let percent = number(amount)
            .filter(|amount| (0.0..=1e6).contains(amount))
            .ok_or_else(|| {
                trouble(
                    "wrong-value",
                    format!("the amount of `{name}` should be a number, not negative"),
                )
            })?;
        portions.push(Portion {
            material: find(name)?,
            percent,
        });
    }
    let total: f64 = portions.iter().map(|portion| portion.percent).sum();
    if as_base {
        if total <= 0.0 {
            return Err(trouble("wrong-value", "the recipe is empty"));
        }
        for portion in &mut portions {
            portion.percent *= 100.0 / total;
        }
    }
    Ok(portions)
}

/// One made-up material of exactly this chemistry.
fn of_chemistry(table: &Map) -> Result<Portion, Raised> {
    let mut amounts = table.clone();
    amounts.retain(|key, _| !BESIDE_OXIDES.contains(&key.as_str()));
    let moles = oxides::from_table(&amounts, &BESIDE_OXIDES)?;
    Ok(Portion {
        material: Arc::new(made_up(moles.to_grams())),
        percent: 100.0,
    })
}

fn made_up(oxides: OxideGrams) -> Material {
    Material {
        name: "chemistry given in the test".to_owned(),
        other_names: Vec::new(),
        kind: Kind::Glass,
        fired: Some(FiredYield {
            oxides,
            loss_grams: 0.0,
            moisture_grams: 0.0,
            loss_standing: LossStanding::Stated,
            fluorine_grams: 0.0,
            tolerance: Vec::new(),
            assumptions: Vec::new(),
        }),
        formula: None,
        mixed_from: Vec::new(),
        raw_clay_fraction: 0.0,
        density_grams_per_millilitre: None,
        free_silica_percent: None,
        free_silica_assumed: None,
        soluble: false,
        toxic: false,
        hazards: Vec::new(),
        hazards_of: None,
        price: None,
        stock: None,
        buyable: false,
        lot: None,
        open_lots: Vec::new(),
        provenance: "given in a script's test".to_owned(),
        expansion: None,
        firing: None,
        shipped: false,
        cautions: Vec::new(),
    }
}

/// A studio of glazes in a list, or with tables beside them.
pub(super) fn studio_from(given: &Dynamic, declared: &[TableSpec]) -> Result<Scene, Raised> {
    const KEYS: [&str; 6] = ["glazes", "tables", "materials", "currency", "clays", "notes"];
    let outer = scene::scene()?;
    let glazes = |list: &Array| -> Result<Vec<Arc<Glaze>>, Raised> {
        list.iter().map(|item| Ok(glaze_from(item)?.recipe().clone())).collect()
    };
    if let Some(list) = given.read_lock::<Array>() {
        return Ok(Scene {
            glazes: glazes(&list)?,
            tables: Vec::new(),
            ..Scene::clone(&outer)
        });
    }
    let wrong = || {
        trouble(
            "wrong-kind",
            "`t.run` takes a list of glazes, or a table with `glazes`, `clays`, `notes`, `tables`, `materials`, `currency`",
        )
    };
    let table = given.read_lock::<Map>().ok_or_else(wrong)?;
    if let Some(odd) = table.keys().find(|key| !KEYS.contains(&key.as_str())) {
        return Err(
            Trouble::new("unknown-key", format!("a studio in a test has no `{odd}`"))
                .maybe_help(glost_chemistry::diagnostic::suggestion(odd, KEYS))
                .raise(),
        );
    }
    let mut inner = Scene::clone(&outer);
    inner.tables = Vec::new();
    inner.currency = text_of(&table, "currency")?.or(inner.currency);
    if let Some(list) = table.get("glazes") {
        inner.glazes = glazes(&list.read_lock::<Array>().ok_or_else(wrong)?.clone())?;
    }
    if let Some(materials) = table.get("materials") {
        let mut library = Library::clone(&inner.library);
        library.lay_over(stocked(materials)?);
        inner.glazes = inner.glazes.iter().map(|glaze| restocked(glaze, &library)).collect();
        inner.library = Arc::new(library);
    }
    if let Some(list) = table.get("clays") {
        inner.clays = given_notes::clays(&list.read_lock::<Array>().ok_or_else(wrong)?.clone())?;
    }
    if let Some(list) = table.get("notes") {
        let list = list.read_lock::<Array>().ok_or_else(wrong)?.clone();
        inner.notebook = Some(Arc::new(given_notes::notebook(&list, &inner.glazes)?));
    }
    if let Some(tables) = table.get("tables") {
        for (name, rows) in tables.read_lock::<Map>().ok_or_else(wrong)?.iter() {
            let spec = declared.iter().find(|spec| spec.name == name.as_str()).ok_or_else(|| {
                let near = suggestion(name, declared.iter().map(|spec| spec.name.as_str()));
                Trouble::new("unknown-table", format!("the script declares no table `{name}`"))
                    .maybe_help(near)
                    .raise()
            })?;
            let rows = rows.read_lock::<Array>().ok_or_else(wrong)?.clone();
            inner.tables.push(Arc::new(handed_over(spec, &rows, &inner)?));
        }
    }
    Ok(inner)
}

/// Rows given in a test, typed as those of a file are.
fn handed_over(spec: &TableSpec, rows: &Array, scene: &Scene) -> Result<GivenTable, Raised> {
    let quoted = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
    let names: Vec<String> = spec.columns.iter().map(|column| quoted(&column.name)).collect();
    let mut text = names.join(",");
    for row in rows {
        let row = row
            .read_lock::<Map>()
            .ok_or_else(|| trouble("wrong-kind", "a row in a test is a table: `#{ column: value }`"))?;
        if let Some(odd) = row
            .keys()
            .find(|key| !spec.columns.iter().any(|column| column.name == key.as_str()))
        {
            let message = format!("the table `{}` has no column `{odd}`", spec.name);
            let near = suggestion(odd, spec.columns.iter().map(|column| column.name.as_str()));
            return Err(Trouble::new("unknown-key", message).maybe_help(near).raise());
        }
        let cells = spec.columns.iter().map(|column| match row.get(column.name.as_str()) {
            Some(value) if !value.is_unit() => quoted(&in_text(value)),
            _ => String::new(),
        });
        text.push('\n');
        text.push_str(&cells.collect::<Vec<_>>().join(","));
    }
    let raised = |why: Diagnostic| Trouble::new(why.code, why.message).maybe_help(why.help).raise();
    let csv = parse_csv(&Source::from_text("the table of this test", &text)).map_err(raised)?;
    spec.hand_over(&csv, scene)
        .map_err(|mut complaints| raised(complaints.swap_remove(0)))
}

/// Whether a request asks for nothing that can't be asked for.
pub(super) fn asks_what_can_be(asked: &Map) -> Result<(), Raised> {
    const KEYS: [&str; 11] = [
        "out", "with", "at_most", "show", "steps", "rows", "columns", "add", "tiles", "limits", "within",
    ];
    if let Some(odd) = asked.keys().find(|key| !KEYS.contains(&key.as_str())) {
        return Err(Trouble::new("unknown-key", format!("a request has no `{odd}`"))
            .maybe_help(suggestion(odd, KEYS))
            .raise());
    }
    Ok(())
}

/// The request of a table: `#{ out:, with:, at_most:, show:, steps: }`.
pub(super) fn request(asked: &Map) -> Result<Request, Raised> {
    let list = |key: &str| -> Result<Vec<_>, Raised> {
        let Some(value) = asked.get(key) else {
            return Ok(Vec::new());
        };
        let names = value
            .read_lock::<Array>()
            .ok_or_else(|| trouble("wrong-kind", of_typed(key, "should be a list of names")))?;
        names.iter().map(|name| find(&in_text(name))).collect()
    };
    let count = |key: &str, otherwise: usize| match asked.get(key) {
        None => Ok(otherwise),
        Some(value) => match value.as_int() {
            Ok(count @ 0..=10_000) => Ok(count as usize),
            _ => Err(trouble(
                "wrong-value",
                of_typed(key, "should be a whole number, not negative"),
            )),
        },
    };
    Ok(Request {
        out: list("out")?,
        with: list("with")?,
        at_most: asked.contains_key("at_most").then(|| count("at_most", 0)).transpose()?,
        show: count("show", 3)?,
        steps: count("steps", 5)?,
        rows: asked.contains_key("rows").then(|| count("rows", 0)).transpose()?,
        columns: asked.contains_key("columns").then(|| count("columns", 0)).transpose()?,
        add: additions(asked)?,
        tiles: asked.contains_key("tiles").then(|| count("tiles", 0)).transpose()?,
        limits: asked.get("limits").map(in_text),
        within: match asked
            .get("within")
            .map(|value| value.read_lock::<Array>().map(|list| list.clone()))
        {
            None => Vec::new(),
            Some(Some(list)) => list.iter().map(in_text).collect(),
            Some(None) => return Err(trouble("wrong-kind", "`within` should be a list of texts")),
        },
    })
}

/// The additions in steps of an inline request, as they would be typed.
fn additions(asked: &Map) -> Result<Vec<AdditionSteps>, Raised> {
    let Some(value) = asked.get("add") else {
        return Ok(Vec::new());
    };
    let list = value
        .read_lock::<Array>()
        .ok_or_else(|| trouble("wrong-kind", "`add` should be a list of texts"))?;
    let scene = scene::scene()?;
    list.iter()
        .map(|text| {
            AdditionSteps::parse(&in_text(text), &scene.library)
                .map_err(|why| Trouble::new(why.code, why.message).maybe_help(why.help).raise())
        })
        .collect()
}
