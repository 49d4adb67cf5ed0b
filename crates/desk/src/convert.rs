//! The same metal in another form: carbonate for oxide.

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source, none_called, of_typed};
use glost_chemistry::material::{Library, Material};
use glost_core::recipes::convert::{Conversion, NoConversion, NotSummed, Side, Taken, convert};
use glost_core::workshop::slurry::{Dose, DoseAmount};
use serde::{Serialize, Serializer};

use std::sync::Arc;

use crate::wire::Amounts;
use crate::{Desk, Failure, Said, Words, lookup};

/// From here on a share of a base can't be mixed, per cent.
const MOST_PERCENT: f64 = 100.0;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// How much of what.
    pub dose: Dose,
    /// The dose as typed.
    pub typed: String,
    /// The material that takes its place.
    pub to: String,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let typed = words.required("dose")?;
        let dose = Dose::parse(typed).map_err(|bad| {
            Diagnostic::error("bad-dose", bad.message)
                .help("say how much of what, in per cent or a weight: \"1 % cobalt oxide\", \"2.5 g red iron oxide\"")
        })?;
        Ok(Question {
            dose,
            typed: typed.to_owned(),
            to: words.required("to")?.to_owned(),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let library = desk.workplace().library();
        let name = &self.dose.name;
        let from = self.from(library)?;
        let to = lookup::material(library, "to", &self.to)?;
        let (amount, unit) = match self.dose.amount {
            DoseAmount::Percent(percent) => (percent, DoseUnit::Percent),
            DoseAmount::Weight(weight) => (weight.grams(), DoseUnit::Grams),
        };
        let conversion = convert(library, &from, &to, amount).map_err(|why| refused(&why, &self.to, name))?;
        Ok(Answer {
            conversion,
            unit,
            typed: [name.clone(), self.to.clone()],
        })
    }
}

impl Question {
    fn from(&self, library: &Library) -> Result<Arc<Material>, Diagnostic> {
        let name = &self.dose.name;
        library.find(name).cloned().ok_or_else(|| {
            let source = Source::from_text("dose", &self.typed);
            let before = self.typed.split_once(name.as_str()).map_or("", |(before, _)| before);
            let mark = Mark {
                line: 1,
                column: before.chars().count() + 1,
            };
            Diagnostic::error("unknown-material", none_called("material", name))
                .at(&source, mark, name.chars().count())
                .help(
                    library
                        .suggestion(name)
                        .unwrap_or_else(|| "`glost materials` lists what there is".to_owned()),
                )
        })
    }
}

/// In what a dose is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DoseUnit {
    /// Per cent on the base.
    Percent,
    /// Grams.
    Grams,
}

impl DoseUnit {
    /// Its sign.
    pub fn sign(self) -> &'static str {
        match self {
            DoseUnit::Percent => "%",
            DoseUnit::Grams => "g",
        }
    }
}

/// A metal in another form.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The sum.
    pub conversion: Conversion,
    /// In what its amounts are.
    pub unit: DoseUnit,
    /// The two names as typed.
    pub typed: [String; 2],
}

/// What a conversion takes for granted.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Assumed {
    /// A name as typed, and the material that it is read as.
    ReadAs(String, String),
    /// What an analysis is taken to be.
    Taken(Taken),
    /// Per cent count on top of a base.
    PercentOnBase,
    /// No base can hold so much.
    MoreThanBase,
}

impl Answer {
    /// What it takes for granted.
    pub fn assumptions(&self) -> Vec<Said> {
        let conversion = &self.conversion;
        let sides = self.typed.iter().zip([&conversion.from, &conversion.to]);
        let mut said: Vec<Assumed> = sides
            .filter(|(typed, side)| !typed.eq_ignore_ascii_case(&side.material.name))
            .map(|(typed, side)| Assumed::ReadAs(typed.clone(), side.material.name.clone()))
            .collect();
        said.extend(conversion.assumptions.iter().cloned().map(Assumed::Taken));
        if self.unit == DoseUnit::Percent {
            said.push(Assumed::PercentOnBase);
            if conversion.to.amount > MOST_PERCENT {
                said.push(Assumed::MoreThanBase);
            }
        }
        said.into_iter().map(Said::Conversion).collect()
    }

    /// What the sum doesn't tell.
    pub fn notes(&self) -> Vec<Said> {
        let notes: &[NotSummed] = &self.conversion.notes;
        notes.iter().cloned().map(Said::NotSummed).collect()
    }
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct SideJson<'a> {
    material: &'a str,
    amount: f64,
    unit: &'static str,
    formula: Option<&'a str>,
    oxides: Amounts,
    loss_on_ignition: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AlongJson {
    oxide: &'static str,
    before: f64,
    after: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct OtherFormJson<'a> {
    material: &'a str,
    formula: Option<&'a str>,
    in_place_of: &'static str,
    amount: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    from: SideJson<'a>,
    to: SideJson<'a>,
    factor: f64,
    oxide: &'static str,
    stands_in: Option<&'static str>,
    loss_change: f64,
    along: Vec<AlongJson>,
    other_forms: Vec<OtherFormJson<'a>>,
    notes: Vec<Said>,
    assumptions: Vec<Said>,
}

fn side(side: &Side, unit: DoseUnit) -> SideJson<'_> {
    SideJson {
        material: &side.material.name,
        amount: side.amount,
        unit: unit.sign(),
        formula: side.material.formula.as_deref(),
        oxides: Amounts::grams(&side.fired.oxides),
        loss_on_ignition: side.fired.loss_grams,
    }
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let conversion = &self.conversion;
        AnswerJson {
            from: side(&conversion.from, self.unit),
            to: side(&conversion.to, self.unit),
            factor: conversion.factor,
            oxide: conversion.from.oxide.formula(),
            stands_in: conversion.stands_in().then(|| conversion.to.oxide.formula()),
            loss_change: conversion.loss_change,
            along: conversion
                .along
                .iter()
                .map(|(oxide, before, after)| AlongJson {
                    oxide: oxide.formula(),
                    before: *before,
                    after: *after,
                })
                .collect(),
            other_forms: conversion
                .other_forms
                .iter()
                .map(|other| OtherFormJson {
                    material: &other.material.name,
                    formula: other.material.formula.as_deref(),
                    in_place_of: if other.is_from { "from" } else { "to" },
                    amount: other.amount,
                })
                .collect(),
            notes: self.notes(),
            assumptions: self.assumptions(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);

fn refused(why: &NoConversion, to: &str, from: &str) -> Diagnostic {
    match why {
        NoConversion::Same(name) => Diagnostic::error(
            "same-material",
            format!("`{from}` and `{to}` are one material here, {name}"),
        )
        .help("name another form of the same metal"),
        NoConversion::UnknownAnalysis(name) => Diagnostic::error(
            "unknown-analysis",
            format!("nobody tells what is in `{name}`: how much of it would do can't be computed"),
        )
        .help("with an analysis from its maker in materials/ the sum follows; else find it by a line blend of tiles"),
        NoConversion::NothingLeft(name) => Diagnostic::error(
            "nothing-left",
            format!("nothing of `{name}` is left after firing: it brings no metal"),
        )
        .help("name a material that stays in the fire"),
        NoConversion::Locked(metal, name) => {
            Diagnostic::error("locked", format!("{name} holds {metal}: no dose is worked out"))
                .help(format!("recipes with {metal} are shown for arithmetic only"))
        }
        NoConversion::ManyOxides(name) => Diagnostic::error(
            "other-metal",
            of_typed(
                name,
                "brings many oxides, no one metal: one for one would change the glaze",
            ),
        )
        .help("`glost swap GLAZE --out MATERIAL --with MATERIAL` works out the whole recipe anew"),
        NoConversion::OtherMetal {
            from: old,
            to: new,
            opacifiers: true,
            ..
        } => Diagnostic::error(
            "other-metal",
            format!("`{from}` brings {old}, `{to}` brings {new}: they don't share a metal"),
        )
        .help(
            "how much whitens as well is no sum, it hangs on grain and glaze: try it on tiles, \
             `glost blend line` between the two whites",
        ),
        NoConversion::OtherMetal {
            from: old,
            to: new,
            instead,
            ..
        } => Diagnostic::error(
            "other-metal",
            format!("`{from}` brings {old}, `{to}` brings {new}: they don't share a metal"),
        )
        .help(if instead.is_empty() {
            format!("no other material here is weighed in for {old}")
        } else {
            format!("for {old} there is: {}", instead.join(", "))
        }),
    }
}
