//! The lines of a recipe.

use std::fmt::Write;
use std::sync::Arc;

use glost_chemistry::diagnostic::suggestion;
use glost_chemistry::glaze::{Glaze, Portion};
use glost_chemistry::material::Material;
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString};

use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::{Trouble, trouble};

use super::{MaterialValue, no_such_name};

type Raised = Box<EvalAltResult>;

/// One line: so much of a material.
#[derive(Debug, Clone)]
pub(crate) struct PartValue {
    pub(crate) material: Arc<Material>,
    pub(crate) percent: f64,
    pub(crate) is_addition: bool,
}

/// Some lines.
#[derive(Debug, Clone)]
pub(crate) struct PartsValue(Arc<[PartValue]>);

impl IntoIterator for PartsValue {
    type Item = PartValue;
    type IntoIter = std::vec::IntoIter<PartValue>;

    fn into_iter(self) -> Self::IntoIter {
        Vec::from(&*self.0).into_iter()
    }
}

fn part(is_addition: bool) -> impl Fn(&Portion) -> PartValue {
    move |portion| PartValue {
        material: portion.material.clone(),
        percent: portion.percent,
        is_addition,
    }
}

impl PartsValue {
    /// The lines as a text: `[feldspar A 40, silica 20]`.
    pub(super) fn write(&self, text: &mut String) {
        text.push('[');
        for (index, part) in self.0.iter().enumerate() {
            let percent = crate::language::number_text(part.percent);
            let between = if index > 0 { ", " } else { "" };
            let _ = write!(text, "{between}{} {percent}", part.material.name);
        }
        text.push(']');
    }

    pub(super) fn base(glaze: &Glaze) -> PartsValue {
        PartsValue(glaze.base.iter().map(part(false)).collect())
    }

    pub(super) fn additions(glaze: &Glaze) -> PartsValue {
        PartsValue(glaze.additions.iter().map(part(true)).collect())
    }

    pub(super) fn batch(glaze: &Glaze) -> PartsValue {
        let base = glaze.base.iter().map(part(false));
        PartsValue(base.chain(glaze.additions.iter().map(part(true))).collect())
    }

    /// How much of a material is in these lines; 0 where it isn't in them.
    fn of(&self, name: &str) -> Result<f64, Raised> {
        let material = super::materials::find(name)?;
        let lines = self.0.iter().filter(|part| part.material.name == material.name);
        Ok(lines.map(|part| part.percent).sum())
    }
}

pub(super) fn register(shelf: &mut Shelf) {
    shelf.module.set_custom_type::<PartsValue>(Sort::Parts.words());
    shelf.module.set_custom_type::<PartValue>(Sort::Part.words());
    shelf.module.set_iterable::<PartsValue>();
    shelf.add(
        Entry::property(Sort::Parts, "len", Sort::Number, "How many lines there are."),
        |parts: &mut PartsValue| parts.0.len() as i64,
    );
    shelf.add(
        Entry::property(
            Sort::Parts,
            "names",
            Sort::List(&Sort::Text),
            "The materials' names, in the recipe's order.",
        ),
        |parts: &mut PartsValue| -> Array {
            parts
                .0
                .iter()
                .map(|part| Dynamic::from(ImmutableString::from(part.material.name.as_str())))
                .collect()
        },
    );
    shelf.add(
        Entry::index(
            Sort::Parts,
            "material",
            Sort::Number,
            "How much of a material is in these lines; 0 where it isn't.",
        )
        .example("glaze.parts[\"whiting\"]"),
        |parts: &mut PartsValue, name: &str| parts.of(name),
    );
    shelf.add(
        Entry::index(
            Sort::Parts,
            "place",
            Sort::Part,
            "The line at a place, counted from 0; -1 is the last.",
        ),
        |parts: &mut PartsValue, place: i64| -> Result<PartValue, Raised> {
            let at = if place < 0 {
                place.saturating_add(parts.0.len() as i64)
            } else {
                place
            };
            usize::try_from(at)
                .ok()
                .and_then(|at| parts.0.get(at))
                .cloned()
                .ok_or_else(|| {
                    trouble(
                        "no-such-item",
                        format!("there are {} lines, there is no line {place}", parts.0.len()),
                    )
                })
        },
    );
    shelf.add(
        Entry::property(Sort::Part, "name", Sort::Text, "The material's name."),
        |part: &mut PartValue| ImmutableString::from(part.material.name.as_str()),
    );
    shelf.add(
        Entry::property(
            Sort::Part,
            "percent",
            Sort::Number,
            "In the base its share of 100; an addition's per cent of the base.",
        ),
        |part: &mut PartValue| part.percent,
    );
    shelf.add(
        Entry::property(
            Sort::Part,
            "is_addition",
            Sort::YesNo,
            "Whether it comes on top of the base.",
        ),
        |part: &mut PartValue| part.is_addition,
    );
    shelf.add(
        Entry::property(Sort::Part, "material", Sort::Material, "The material."),
        |part: &mut PartValue| MaterialValue(part.material.clone()),
    );
    shelf.silent(
        "index$get$",
        |_: &mut PartValue, name: &str| -> Result<Dynamic, Raised> {
            let names = crate::reference::names_of(Sort::Part);
            let help = suggestion(name, names).or_else(|| {
                crate::reference::names_of(Sort::Material)
                    .any(|known| known == name)
                    .then(|| format!("the material has it: `part.material.{name}`"))
            });
            match help {
                Some(help) => Err(
                    Trouble::new("unknown-name", format!("a line of a recipe has no `{name}`"))
                        .help(help)
                        .raise(),
                ),
                None => Err(no_such_name(Sort::Part, name, [])),
            }
        },
    );
}
