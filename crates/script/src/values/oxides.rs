//! Amounts of oxides: a unity formula, mole or weight per cent.

use glost_chemistry::diagnostic::is_no;
use std::fmt::Write;
use std::sync::{Arc, LazyLock};

use glost_chemistry::glaze::FluxList;
use glost_chemistry::oxides::{OXIDE_COUNT, Oxide, OxideMoles};
use glost_core::rules::{Range, Subject};
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, Map};

use crate::bounds;
use crate::language::{in_text, number};
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::{Trouble, trouble};

use super::{no_such_name, or_nothing};

const ALKALIS: [Oxide; 3] = [Oxide::Li2O, Oxide::Na2O, Oxide::K2O];
const POTASH_AND_SODA: [Oxide; 2] = [Oxide::Na2O, Oxide::K2O];
const EARTHS: [Oxide; 5] = [Oxide::MgO, Oxide::CaO, Oxide::SrO, Oxide::BaO, Oxide::ZnO];
type Sum = fn(Amounts<'_>) -> f64;

/// Sums by name, with what is said of them.
const SUMS: [(&str, &str, Sum); 5] = [
    ("R2O", "Alkalis: Li2O, Na2O and K2O together.", |oxides| {
        oxides.sum(&ALKALIS)
    }),
    ("KNaO", "Potash and soda: K2O and Na2O together.", |oxides| {
        oxides.sum(&POTASH_AND_SODA)
    }),
    ("RO", "MgO, CaO, SrO, BaO and ZnO together.", |oxides| {
        oxides.sum(&EARTHS)
    }),
    ("flux", "All fluxes together; 1 in a unity formula.", |oxides| {
        oxides.sum(oxides.fluxes.oxides())
    }),
    ("total", "All oxides together.", |oxides| oxides.amounts.iter().sum()),
];

/// Amounts of oxides where they stand, with what counts as flux.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Amounts<'a> {
    pub(crate) amounts: &'a [f64; OXIDE_COUNT],
    pub(crate) fluxes: &'a FluxList,
}

/// What a name stands for among amounts.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Amount {
    Of(Oxide),
    Sum(Sum),
}

impl Amount {
    /// The oxide or sum of a name.
    pub(crate) fn named(name: &str) -> Option<Amount> {
        let sum = || SUMS.into_iter().find(|(sum, ..)| *sum == name);
        let oxide = Oxide::from_formula(name).map(Amount::Of);
        oxide.or_else(|| sum().map(|(.., sum)| Amount::Sum(sum)))
    }
}

impl Amounts<'_> {
    pub(crate) fn get(self, oxide: Oxide) -> f64 {
        self.amounts[oxide.index()]
    }

    pub(crate) fn of(self, amount: Amount) -> f64 {
        match amount {
            Amount::Of(oxide) => self.get(oxide),
            Amount::Sum(sum) => sum(self),
        }
    }

    fn sum(self, oxides: &[Oxide]) -> f64 {
        oxides.iter().map(|oxide| self.get(*oxide)).sum()
    }

    /// SiO2:Al2O3; `None` without alumina.
    pub(crate) fn silica_to_alumina(self) -> Option<f64> {
        let alumina = self.get(Oxide::Al2O3);
        (alumina > 0.0).then(|| self.get(Oxide::SiO2) / alumina)
    }

    /// As core reads amounts; `None` where one of them is none.
    pub(crate) fn moles(self) -> Option<OxideMoles> {
        OxideMoles::new(Oxide::ALL.map(|oxide| (oxide, self.get(oxide))))
    }
}

/// Amounts of oxides with what counts as flux.
#[derive(Debug, Clone)]
pub(crate) struct OxidesValue {
    amounts: Arc<[f64; OXIDE_COUNT]>,
    fluxes: Arc<FluxList>,
}

impl OxidesValue {
    pub(crate) fn new(amounts: &[f64; OXIDE_COUNT], fluxes: &Arc<FluxList>) -> OxidesValue {
        OxidesValue {
            amounts: Arc::new(*amounts),
            fluxes: fluxes.clone(),
        }
    }

    pub(crate) fn amounts(&self) -> Amounts<'_> {
        Amounts {
            amounts: &self.amounts,
            fluxes: &self.fluxes,
        }
    }

    pub(super) fn get(&self, oxide: Oxide) -> f64 {
        self.amounts[oxide.index()]
    }

    fn named(&self, name: &str) -> Result<f64, Box<EvalAltResult>> {
        let amount = Amount::named(name).ok_or_else(|| no_such_name(Sort::Oxides, name, names()))?;
        Ok(self.amounts().of(amount))
    }

    fn present(&self) -> impl Iterator<Item = Oxide> + '_ {
        Oxide::ALL.into_iter().filter(|oxide| self.get(*oxide) > 0.0)
    }

    pub(crate) fn write(&self, text: &mut String) {
        for (index, oxide) in self.present().enumerate() {
            let comma = if index > 0 { ", " } else { "" };
            let _ = write!(text, "{comma}{oxide} {:.3}", self.get(oxide));
        }
    }
}

/// The name of an oxide as scripts get it, made once.
fn name_of(oxide: Oxide) -> Dynamic {
    static NAMES: LazyLock<[ImmutableString; OXIDE_COUNT]> =
        LazyLock::new(|| Oxide::ALL.map(|oxide| oxide.formula().into()));
    Dynamic::from(NAMES[oxide.index()].clone())
}

/// Those of some oxides of which there is more than an amount, in the usual order.
fn above(oxides: &OxidesValue, names: &Array, amount: f64) -> Result<Array, Box<EvalAltResult>> {
    bounds::charge_or_end(names.len() as u64)?;
    let mut found = [false; OXIDE_COUNT];
    for name in names {
        let name = name.read_lock::<ImmutableString>();
        let name = name.ok_or_else(|| trouble("wrong-kind", "`above` takes a list of oxides' names"))?;
        let oxide = Oxide::from_formula(&name).ok_or_else(|| no_such_name(Sort::Oxides, &name, names_of_oxides()))?;
        found[oxide.index()] = oxides.get(oxide) > amount;
    }
    let found = Oxide::ALL.into_iter().filter(|oxide| found[oxide.index()]);
    Ok(found.map(name_of).collect())
}

fn names_of_oxides() -> impl Iterator<Item = &'static str> {
    Oxide::ALL.into_iter().map(Oxide::formula)
}

/// Every name that amounts of oxides have.
pub(crate) fn names() -> impl Iterator<Item = &'static str> {
    names_of_oxides().chain(SUMS.map(|(name, ..)| name))
}

/// What makes a range one for glazes that hold the oxide.
const OPTIONAL: &str = "if used";

/// A range as scripts write it: `[low, high]`, either may be `()`; `[low, high, "if used"]`
/// for an oxide that needn't be there.
pub(crate) fn range(name: &str, ends: &Dynamic) -> Result<Range, Box<EvalAltResult>> {
    let subject = subject(name)?;
    let (low, high, optional) = low_and_high(ends).map_err(|why| bad_range(name, ends, &why))?;
    Ok(Range {
        subject,
        low,
        high,
        optional,
    })
}

/// The ends of a range and whether the oxide needn't be there, or what is wrong with it.
fn low_and_high(range: &Dynamic) -> Result<(Option<f64>, Option<f64>, bool), String> {
    let pair = range.read_lock::<Array>();
    let pair = pair.ok_or_else(|| format!("it is {}, not a list", Sort::words_for_type(range.type_name())))?;
    let (low, high, word) = match pair.as_slice() {
        [low, high] => (low, high, None),
        [low, high, word] => (low, high, Some(word)),
        other => return Err(counted(other.len())),
    };
    let is_optional = |word: &Dynamic| {
        word.read_lock::<ImmutableString>()
            .is_some_and(|word| word.as_str() == OPTIONAL)
    };
    if let Some(word) = word.filter(|word| !is_optional(word)) {
        return Err(format!(
            "its third item is `{}`, and may be `if used` only",
            in_text(word)
        ));
    }
    let bound = |value: &Dynamic| match (number(value), value.is_unit()) {
        (Some(number), _) if number.is_finite() => Ok(Some(number)),
        (None, true) => Ok(None),
        _ => Err(format!(
            "one end is {}, not a number",
            Sort::words_for_type(value.type_name())
        )),
    };
    match (bound(low)?, bound(high)?) {
        (None, None) => Err("it has no bound at all".to_owned()),
        (Some(low), Some(high)) if low > high => Err("the larger number stands first".to_owned()),
        (low, high) => Ok((low, high, word.is_some())),
    }
}

fn counted(items: usize) -> String {
    match items {
        1 => "it has one item only".to_owned(),
        more => format!("it has {more} items"),
    }
}

/// What a range is about, or the error that names the nearest.
fn subject(name: &str) -> Result<Subject, Box<EvalAltResult>> {
    Subject::parse(name).ok_or_else(|| {
        Trouble::new("unknown-oxide", is_no(name, "oxide or ratio that a range can be about"))
            .maybe_help(glost_chemistry::diagnostic::suggestion(name, Subject::names()))
            .raise()
    })
}

/// The ranges that are missed, each as a table.
fn within(oxides: &OxidesValue, ranges: &Map) -> Result<Array, Box<EvalAltResult>> {
    bounds::charge_or_end(ranges.len() as u64)?;
    let moles = oxides.amounts().moles();
    let mut misses = Array::new();
    for (name, ends) in ranges {
        let range = range(name, ends)?;
        let value = moles.as_ref();
        let value = value.and_then(|moles| range.subject.value(moles, &oxides.fluxes));
        if !value.is_some_and(|value| range.holds(value)) {
            let mut miss = Map::new();
            miss.insert("subject".into(), ImmutableString::from(name.as_str()).into());
            miss.insert("value".into(), or_nothing(value));
            miss.insert("low".into(), or_nothing(range.low));
            miss.insert("high".into(), or_nothing(range.high));
            misses.push(miss.into());
        }
    }
    Ok(misses)
}

fn bad_range(name: &str, given: &Dynamic, why: &str) -> Box<EvalAltResult> {
    let message = format!("the range of `{name}` isn't `[low, high]`: {why} ({})", in_text(given));
    Trouble::new("bad-range", message)
        .help("two numbers, the smaller first; `()` for a bound that isn't there")
        .raise()
}

pub(super) fn register(shelf: &mut Shelf) {
    shelf.module.set_custom_type::<OxidesValue>(Sort::Oxides.words());
    for oxide in Oxide::ALL {
        shelf.add(
            Entry::property(
                Sort::Oxides,
                oxide.formula(),
                Sort::Number,
                "How much of it there is: moles in a unity formula, per cent elsewhere; 0 where it is absent.",
            ),
            move |oxides: &mut OxidesValue| oxides.get(oxide),
        );
    }
    sums(shelf);
    shelf.add(
        Entry::index(Sort::Oxides, "name", Sort::Number, "The amount by a name in a text.").example("u[\"SiO2\"]"),
        |oxides: &mut OxidesValue, name: &str| oxides.named(name),
    );
    shelf.add(
        Entry::property(
            Sort::Oxides,
            "present",
            Sort::List(&Sort::Text),
            "The names of the oxides that are there, in the usual order.",
        ),
        |oxides: &mut OxidesValue| -> Array { oxides.present().map(name_of).collect() },
    );
    let entry = Entry::method(
        Sort::Oxides,
        "above",
        "names, amount",
        Sort::List(&Sort::Text),
        "The names of those of these oxides of which there is more than an amount, in the usual order.",
    );
    shelf.add(
        entry.example("glaze.known_oxides.above([\"CoO\", \"CuO\"], 0.1)"),
        |oxides: &mut OxidesValue, names: Array, amount: f64| above(oxides, &names, amount),
    );
    shelf.also(|oxides: &mut OxidesValue, names: Array, amount: i64| above(oxides, &names, amount as f64));
    shelf.add(
        Entry::function(
            "within",
            "oxides, ranges",
            Sort::List(&Sort::Table),
            "The ranges that are missed, each with subject, value, low and high; an empty list where all hold.",
        )
        .example("within(u, #{ SiO2: [3, 5], \"SiO2:Al2O3\": [7, 12] })"),
        |oxides: OxidesValue, ranges: Map| within(&oxides, &ranges),
    );
}

fn sums(shelf: &mut Shelf) {
    for (name, about, amount) in SUMS {
        shelf.add(
            Entry::property(Sort::Oxides, name, Sort::Number, about),
            move |oxides: &mut OxidesValue| amount(oxides.amounts()),
        );
    }
    shelf.add(
        Entry::property(
            Sort::Oxides,
            "silica_to_alumina",
            Sort::Number,
            "SiO2:Al2O3; by moles in a unity formula. `()` without alumina.",
        ),
        |oxides: &mut OxidesValue| or_nothing(oxides.amounts().silica_to_alumina()),
    );
}

/// Oxides from a table in a script, `#{ Na2O: 0.6, CaO: 0.4 }`, where keys of these names
/// might be meant too.
pub(crate) fn from_table(table: &Map, keys: &[&str]) -> Result<OxideMoles, Box<EvalAltResult>> {
    let mut pairs = Vec::new();
    for (name, amount) in table {
        let oxide = Oxide::from_formula(name).ok_or_else(|| {
            Trouble::new("unknown-oxide", is_no(name, "oxide that Glost knows"))
                .maybe_help(glost_chemistry::diagnostic::suggestion(
                    name,
                    Oxide::ALL.map(Oxide::formula).into_iter().chain(keys.iter().copied()),
                ))
                .raise()
        })?;
        let amount = number(amount)
            .ok_or_else(|| trouble("wrong-kind", format!("the amount of `{name}` should be a number")))?;
        pairs.push((oxide, amount));
    }
    OxideMoles::new(pairs).ok_or_else(|| trouble("wrong-value", "amounts of oxides can't be negative"))
}
