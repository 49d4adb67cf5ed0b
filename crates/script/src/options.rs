//! Options: what a script lets its user set, with range and unit.

use glost_chemistry::diagnostic::{Diagnostic, Source, is_no, of_typed, suggestion};
use glost_core::rules::OptionValue;
use indexmap::IndexMap;
use rhai::{Dynamic, ImmutableString};

use crate::about_keys::{OPTION_KEYS, names};
use crate::language::{number, number_text};
use crate::literal::{Literal, Shape};
use crate::trouble::place;

fn dynamic(value: &OptionValue) -> Dynamic {
    match value {
        OptionValue::Number(number) => Dynamic::from(*number),
        OptionValue::Text(text) => Dynamic::from(ImmutableString::from(text.as_str())),
        OptionValue::YesNo(truth) => Dynamic::from(*truth),
    }
}

fn from_dynamic(value: &Dynamic) -> Option<OptionValue> {
    if let Some(number) = number(value) {
        return Some(OptionValue::Number(number));
    }
    if let Ok(truth) = value.as_bool() {
        return Some(OptionValue::YesNo(truth));
    }
    let text = value.clone().into_string().ok()?;
    Some(OptionValue::Text(text))
}

/// One option as a script declares it.
#[derive(Debug, Clone, PartialEq)]
pub struct OptionSpec {
    /// Its name.
    pub name: String,
    /// The value it has unless set.
    pub value: OptionValue,
    /// The unit of a number.
    pub unit: Option<String>,
    /// The least value.
    pub min: Option<f64>,
    /// The most.
    pub max: Option<f64>,
    /// The texts it may be; empty for any.
    pub choices: Vec<String>,
    /// One line about it.
    pub help: String,
}

/// Values of options that a user has set, as text.
pub type Settings = Vec<(String, String)>;

fn wrong(source: &Source, at: &Literal, message: String, help: &str) -> Diagnostic {
    place(Diagnostic::error("bad-option", message).help(help), source, at.position)
}

impl OptionSpec {
    /// Reads one declaration.
    pub(crate) fn read(name: &str, literal: &Literal, source: &Source) -> Result<OptionSpec, Diagnostic> {
        let Shape::Table(entries) = &literal.shape else {
            return Err(wrong(
                source,
                literal,
                format!("the option `{name}` isn't described"),
                "write it as `#{ value: 0.3, unit: \"mol\", min: 0, max: 1, help: \"...\" }`",
            ));
        };
        if let Some((key, at, _)) = entries
            .iter()
            .find(|entry| names(&OPTION_KEYS).all(|key| key != entry.0))
        {
            let diagnostic = Diagnostic::error("unknown-key", format!("an option has no `{key}`"))
                .maybe_help(suggestion(key, names(&OPTION_KEYS)));
            return Err(place(diagnostic, source, *at));
        }
        let is_sign = |sign: char| sign.is_alphanumeric() || sign == '_';
        if !name.chars().all(is_sign) || !name.starts_with(|first: char| first.is_alphabetic() || first == '_') {
            let help = "letters, digits and _, such as `alkali_most`: a script reads `option.alkali_most`";
            return Err(wrong(source, literal, is_no(name, "name for an option"), help));
        }
        let get = |key: &str| entries.iter().find(|entry| entry.0 == key).map(|entry| &entry.2);
        let text = |key: &str| -> Result<Option<String>, Diagnostic> {
            get(key).map_or(Ok(None), |literal| {
                literal
                    .text()
                    .map(Some)
                    .ok_or_else(|| wrong(source, literal, of_typed(key, "should be a text"), "put it in quotes"))
            })
        };
        let bound = |key: &str| -> Result<Option<f64>, Diagnostic> {
            get(key).map_or(Ok(None), |literal| {
                number(&literal.value())
                    .map(Some)
                    .ok_or_else(|| wrong(source, literal, of_typed(key, "should be a number"), "such as 0.35"))
            })
        };
        let default = get("value").ok_or_else(|| {
            wrong(
                source,
                literal,
                format!("the option `{name}` has no `value`"),
                "`value` is what it is unless set",
            )
        })?;
        let value = match &default.shape {
            Shape::Plain(value) => from_dynamic(value),
            _ => None,
        }
        .ok_or_else(|| {
            wrong(
                source,
                default,
                "this should be a number, a text, true or false".to_owned(),
                "an option holds one value",
            )
        })?;
        let spec = OptionSpec {
            name: name.to_owned(),
            value,
            unit: text("unit")?,
            min: bound("min")?,
            max: bound("max")?,
            choices: get("choices").map_or(Ok(Vec::new()), |literal| texts(literal, source))?,
            help: text("help")?.unwrap_or_default(),
        };
        let bounded = ["min", "max", "unit"]
            .into_iter()
            .find_map(|key| Some((key, get(key)?)));
        if let (Some((key, at)), false) = (bounded, matches!(spec.value, OptionValue::Number(_))) {
            let message = of_typed(key, "belongs to a number, and this option's `value` is none");
            return Err(wrong(
                source,
                at,
                message,
                "take one of the two out; texts have `choices`",
            ));
        }
        if let Err(why) = spec.allows(&spec.value) {
            return Err(place(why, source, default.position));
        }
        Ok(spec)
    }

    /// Whether a value is of the right sort and in range.
    fn allows(&self, value: &OptionValue) -> Result<(), Diagnostic> {
        let name = &self.name;
        let fault = |what: String, help: String| Err(Diagnostic::error("bad-option", what).help(help));
        match (value, &self.value) {
            (OptionValue::Number(number), OptionValue::Number(_)) => {
                let (low, high) = (self.min, self.max);
                if number.is_finite() && low.is_none_or(|low| *number >= low) && high.is_none_or(|high| *number <= high)
                {
                    return Ok(());
                }
                fault(
                    format!("`{name}` can't be {}", number_text(*number)),
                    format!("it goes {}", self.range_words()),
                )
            }
            (OptionValue::Text(text), OptionValue::Text(_)) => {
                if self.choices.is_empty() || self.choices.contains(text) {
                    return Ok(());
                }
                let near = suggestion(text, self.choices.iter().map(String::as_str));
                fault(
                    format!("`{name}` can't be `{text}`"),
                    near.unwrap_or_else(|| format!("it is one of {}", self.choices.join(", "))),
                )
            }
            (OptionValue::YesNo(_), OptionValue::YesNo(_)) => Ok(()),
            (_, wanted) => fault(
                format!("`{name}` should be {}", kind_words(wanted)),
                format!("such as {}", wanted),
            ),
        }
    }

    /// `from 0 to 1 mol`
    pub fn range_words(&self) -> String {
        let unit = self.unit.as_deref().map_or(String::new(), |unit| format!(" {unit}"));
        match (self.min, self.max) {
            (Some(low), Some(high)) => format!("from {} to {}{unit}", number_text(low), number_text(high)),
            (Some(low), None) => format!("from {}{unit} up", number_text(low)),
            (None, Some(high)) => format!("up to {}{unit}", number_text(high)),
            (None, None) => format!("anywhere{unit}"),
        }
    }

    /// Reads a value from a user's text; what is set shows how it would be written there.
    fn parse(&self, text: &str, set: fn(&str, &str) -> String) -> Result<OptionValue, Diagnostic> {
        let text = text.trim();
        let value = match &self.value {
            OptionValue::Text(_) => OptionValue::Text(text.to_owned()),
            OptionValue::YesNo(_) => match text {
                "yes" | "true" => OptionValue::YesNo(true),
                "no" | "false" => OptionValue::YesNo(false),
                _ => {
                    return Err(
                        Diagnostic::error("bad-option", format!("`{}` is yes or no, not `{text}`", self.name))
                            .help(format!("such as {}", set(&self.name, "yes"))),
                    );
                }
            },
            OptionValue::Number(_) => {
                let bare = self
                    .unit
                    .as_deref()
                    .and_then(|unit| text.strip_suffix(unit))
                    .unwrap_or(text);
                let read = glost_chemistry::quantity::parse_number(bare.trim()).map_err(|why| {
                    Diagnostic::error(
                        "bad-option",
                        format!("`{}` should be a number, not `{text}`", self.name),
                    )
                    .maybe_help(why.help)
                    .help(format!("such as {}", set(&self.name, &self.value.to_string())))
                })?;
                OptionValue::Number(read.value)
            }
        };
        self.allows(&value)?;
        Ok(value)
    }
}

fn kind_words(value: &OptionValue) -> &'static str {
    match value {
        OptionValue::Number(_) => "a number",
        OptionValue::Text(_) => "a text",
        OptionValue::YesNo(_) => "true or false",
    }
}

/// The texts of a list.
pub(crate) fn texts(literal: &Literal, source: &Source) -> Result<Vec<String>, Diagnostic> {
    let wrong_item = |at: &Literal| {
        wrong(
            source,
            at,
            "this should be a list of texts".to_owned(),
            "such as [\"tableware\", \"floor\"]",
        )
    };
    let Shape::List(items) = &literal.shape else {
        return Err(wrong_item(literal));
    };
    items
        .iter()
        .map(|item| item.text().ok_or_else(|| wrong_item(item)))
        .collect()
}

/// What the options are unless set.
pub(crate) fn defaults(specs: &[OptionSpec]) -> IndexMap<String, Dynamic> {
    specs
        .iter()
        .map(|spec| (spec.name.clone(), dynamic(&spec.value)))
        .collect()
}

/// The option of a name.
fn find<'a>(specs: &'a [OptionSpec], name: &str) -> Result<&'a OptionSpec, Diagnostic> {
    specs.iter().find(|spec| spec.name == name).ok_or_else(|| {
        let fault = Diagnostic::error("unknown-option", format!("the script has no option `{name}`"));
        if specs.is_empty() {
            fault.help("it has no options at all")
        } else {
            fault.maybe_help(suggestion(name, specs.iter().map(|spec| spec.name.as_str())))
        }
    })
}

/// A value that a script sets in its own tests.
pub(crate) fn checked(specs: &[OptionSpec], name: &str, value: &Dynamic) -> Result<Dynamic, Diagnostic> {
    let spec = find(specs, name)?;
    let value = from_dynamic(value)
        .ok_or_else(|| Diagnostic::error("bad-option", format!("`{name}` should be {}", kind_words(&spec.value))))?;
    spec.allows(&value)?;
    Ok(dynamic(&value))
}

/// The options with what a user set, and those of them that are not at their default.
///
/// # Errors
/// A name that isn't declared, or a value out of range, with the nearest right one.
pub(crate) fn with_settings(specs: &[OptionSpec], settings: &[(String, String)]) -> Result<InForce, Diagnostic> {
    let mut values = defaults(specs);
    let mut typed: IndexMap<&str, OptionValue> = IndexMap::new();
    for (name, text) in settings {
        let spec = find(specs, name)?;
        let value = spec.parse(text, |name, value| format!("--set {name}={value}"))?;
        values.insert(name.clone(), dynamic(&value));
        typed.insert(&spec.name, value);
    }
    let set = specs.iter().filter_map(|spec| {
        let value = typed.get(spec.name.as_str())?;
        (*value != spec.value).then(|| (spec.name.clone(), value.clone()))
    });
    Ok(InForce {
        set: set.collect(),
        values,
    })
}

/// The values of a script's options in one call.
pub(crate) struct InForce {
    pub(crate) values: IndexMap<String, Dynamic>,
    /// Those that are not at their default.
    pub(crate) set: Vec<(String, OptionValue)>,
}

impl OptionSpec {
    /// Whether a studio's settings may set this; what is wrong with it, else.
    ///
    /// # Errors
    /// No such value, or one out of range.
    pub fn may_be(&self, text: &str) -> Result<(), Diagnostic> {
        self.parse(text, |name, value| format!("`{name}: {value}`")).map(|_| ())
    }
}
