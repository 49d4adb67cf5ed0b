//! What was seen on a piece, as a fault script is handed it, and the causes it gives back.

use glost_chemistry::diagnostic::{did_you_mean, nearest, of_typed, suggestion};
use glost_core::rules::{Spot, Stage};
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, Map};

use crate::language::{number, short_number};
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::{Trouble, trouble};

use super::{no_such_name, text_or_nothing};

type Raised = Box<EvalAltResult>;

/// A fault and where it sits.
#[derive(Debug, Clone)]
pub(crate) struct SeenValue {
    pub(crate) fault: ImmutableString,
    pub(crate) spot: Option<Spot>,
}

const TEST_KEYS: [&str; 3] = ["glaze", "fault", "where"];

impl SeenValue {
    /// As a test gives it.
    pub(crate) fn from_table(table: &Map) -> Result<SeenValue, Raised> {
        only(table, &TEST_KEYS, "what was seen").map_err(|why| why.raise())?;
        let text = |key: &str| text(table, key).map_err(|why| why.raise());
        let fault = text("fault")?.ok_or_else(|| trouble("missing-key", "`fault` says what was seen"))?;
        let spot = text("where")?.map(|word| spot(&word)).transpose()?;
        Ok(SeenValue {
            fault: fault.into(),
            spot,
        })
    }
}

/// The spot of a word that a script writes.
fn spot(word: &str) -> Result<Spot, Raised> {
    Spot::from_word(word).ok_or_else(|| {
        let words = Spot::ALL.map(Spot::word);
        Trouble::new("wrong-value", format!("nothing is seen at `{word}`"))
            .help(format!("it is one of {}", words.join(", ")))
            .maybe_help(suggestion(word, words))
            .raise()
    })
}

fn only(table: &Map, keys: &[&'static str], what: &str) -> Result<(), Box<Trouble>> {
    match table.keys().find(|key| !keys.contains(&key.as_str())) {
        None => Ok(()),
        Some(odd) => Err(Box::new(
            Trouble::new("unknown-key", format!("{what} has no `{odd}`"))
                .maybe_help(suggestion(odd, keys.iter().copied())),
        )),
    }
}

fn text(table: &Map, key: &str) -> Result<Option<String>, Box<Trouble>> {
    let wrong = |what: &str| Err(Box::new(Trouble::new("wrong-kind", of_typed(key, what))));
    match given(table, key) {
        None => Ok(None),
        Some(value) => match value.read_lock::<ImmutableString>() {
            Some(text) if !text.trim().is_empty() => Ok(Some(text.to_string())),
            Some(_) => wrong("is empty"),
            None => {
                let found = Sort::words_for_type(value.type_name());
                wrong(&format!("should be a text, and is {found}"))
            }
        },
    }
}

/// A cause as a script gives it, before it is signed.
#[derive(Debug, Clone)]
pub(crate) struct GivenCause {
    pub(crate) stage: Stage,
    pub(crate) cause: String,
    pub(crate) weight: f64,
    pub(crate) number: Option<f64>,
    pub(crate) of: String,
    pub(crate) test: String,
    pub(crate) series: Option<String>,
    pub(crate) source: Option<String>,
}

const CAUSE_KEYS: [&str; 8] = ["stage", "cause", "weight", "number", "of", "test", "series", "source"];
const EXAMPLE: &str =
    "such as `#{ stage: \"coat\", cause: \"thick coat\", weight: 0.5, test: \"one, two, three dips\" }`";

/// The causes in a script's answer.
pub(crate) fn causes(answer: &Dynamic) -> Result<Vec<GivenCause>, Raised> {
    let stray = || {
        let found = Sort::words_for_type(answer.type_name());
        Trouble::new(
            "stray-value",
            format!("`fault` gives back a list of causes, this is {found}"),
        )
        .help(EXAMPLE)
        .raise()
    };
    let list = answer.read_lock::<Array>().ok_or_else(stray)?;
    let each = list.iter().enumerate();
    each.map(|(index, item)| {
        let own = match item.read_lock::<Map>() {
            Some(table) => cause(&table),
            None => {
                let found = Sort::words_for_type(item.type_name());
                Err(wrong_cause("stray-value", format!("it is {found}, not a table")))
            }
        };
        own.map_err(|why| {
            let message = format!("cause {}: {}", index + 1, why.message);
            Trouble { message, ..*why }.raise()
        })
    })
    .collect()
}

fn wrong_cause(code: &'static str, message: impl Into<String>) -> Box<Trouble> {
    Box::new(Trouble::new(code, message).help(EXAMPLE))
}

fn cause(table: &Map) -> Result<GivenCause, Box<Trouble>> {
    only(table, &CAUSE_KEYS, "it")?;
    let lacks = |key: &str| wrong_cause("missing-key", format!("it needs a `{key}`"));
    let needed = |key: &str| text(table, key)?.ok_or_else(|| lacks(key));
    let word = needed("stage")?;
    let stage = Stage::from_word(&word).ok_or_else(|| {
        let words = Stage::ALL.map(Stage::word);
        let near = nearest(&word, words).map(did_you_mean);
        let which = format!("`stage` is one of {}", words.join(", "));
        let why = Trouble::new("wrong-value", format!("no cause lies in `{word}`"));
        Box::new(why.help(which).maybe_help(near))
    })?;
    let weight = match given(table, "weight") {
        None => return Err(lacks("weight")),
        Some(value) => weight(value)?,
    };
    let rests_on = match given(table, "number") {
        None => None,
        Some(value) => {
            let finite = number(value).filter(|number| number.is_finite());
            let wrong = || wrong_cause("wrong-kind", "`number` should be a number, or `()`");
            Some(finite.ok_or_else(wrong)?)
        }
    };
    let of = text(table, "of")?;
    if rests_on.is_some() && of.is_none() {
        let why = Trouble::new("missing-key", "with a `number` it says `of` what, with its unit");
        return Err(Box::new(why.help("such as `of: \"loss on ignition, %\"`")));
    }
    Ok(GivenCause {
        stage,
        cause: needed("cause")?,
        weight,
        number: rests_on,
        of: of.unwrap_or_else(String::new),
        test: needed("test")?,
        series: text(table, "series")?,
        source: text(table, "source")?,
    })
}

/// A key's value; `()` counts as not given.
fn given<'a>(table: &'a Map, key: &str) -> Option<&'a Dynamic> {
    table.get(key).filter(|value| !value.is_unit())
}

fn weight(value: &Dynamic) -> Result<f64, Box<Trouble>> {
    let Some(weight) = number(value) else {
        let found = Sort::words_for_type(value.type_name());
        let message = format!("`weight` is {found}, and should be a number from 0 to 1");
        return Err(wrong_cause("wrong-kind", message));
    };
    if (0.0..=1.0).contains(&weight) {
        return Ok(weight);
    }
    let message = format!("`weight` is {}, and should be from 0 to 1", short_number(weight));
    Err(wrong_cause("wrong-value", message))
}

pub(super) fn register(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Seen;
    shelf.module.set_custom_type::<SeenValue>(OWNER.words());
    shelf.add(
        Entry::property(OWNER, "fault", Sort::Text, "What was seen, one of `faults` in `ABOUT`."),
        |seen: &mut SeenValue| seen.fault.clone(),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "spot",
            Sort::Text,
            "Where it sits: all over, rims, thick, thin, foot, one shelf, one clay, one batch; `()` where nobody says.",
        ),
        |seen: &mut SeenValue| text_or_nothing(seen.spot.map(Spot::word)),
    );
    shelf.add(
        Entry::method(
            OWNER,
            "weighed",
            "weight, spots",
            Sort::Number,
            "A cause's weight with what the spot says: half as near to 1 where it sits at one of these spots, half of it where it sits elsewhere, as it is where nobody says.",
        )
        .example("seen.weighed(0.4, [\"rims\", \"thick\"])"),
        |seen: &mut SeenValue, weight: Dynamic, spots: Array| -> Result<f64, Raised> {
            let weight = number(&weight).ok_or_else(|| trouble("wrong-kind", "a weight is a number"))?;
            let mut named = Vec::new();
            for word in &spots {
                let word = word.read_lock::<ImmutableString>().map(|word| word.to_string());
                named.push(spot(&word.unwrap_or_else(String::new))?);
            }
            Ok(match seen.spot {
                None => weight,
                Some(spot) if named.contains(&spot) => (1.0 + weight) / 2.0,
                Some(_) => weight / 2.0,
            })
        },
    );
    shelf.silent(
        "index$get$",
        |_: &mut SeenValue, name: &str| -> Result<Dynamic, Raised> {
            Err(no_such_name(OWNER, name, crate::reference::names_of(OWNER)))
        },
    );
}
