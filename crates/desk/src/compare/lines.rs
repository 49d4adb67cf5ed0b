//! The lines of a comparison, in the order of what they change on the fired glaze:
//! chemistry, expansion, melt, cost, findings, then recipe and making.

use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glass::{ExpansionModel, MeltCurve};
use glost_chemistry::glaze::{Additions, Analysis, Portion};
use glost_chemistry::oxides::Oxide;
use glost_core::rules::{Finding, Level};
use glost_core::workshop::cost::Cost;
use glost_studio::FoundGlaze;
use serde::{Serialize, Serializer};

/// Below this nobody sees a difference of an oxide, moles in the unity formula.
const LEAST_MOLES: f64 = 0.0005;
/// Below this an amount counts as the same, per cent.
const LEAST_PERCENT: f64 = 0.005;

/// One of the glazes with all that is compared.
#[derive(Debug)]
pub struct Held {
    /// The glaze.
    pub found: FoundGlaze,
    /// What checks find.
    findings: Vec<Finding>,
    analysis: Option<Analysis>,
}

impl Held {
    /// Works out what is compared.
    pub(super) fn of(found: FoundGlaze, findings: Vec<Finding>) -> Held {
        Held {
            // A powder of unknown analysis is compared by what is known of it.
            analysis: Analysis::of(&found.glaze, &found.settings.fluxes, Additions::In).ok(),
            found,
            findings,
        }
    }

    fn measure(&self) -> Option<ChemistryDistance> {
        let unity = self.analysis.as_ref()?.unity.as_ref()?;
        Some(ChemistryDistance::new(unity, &self.found.settings.fluxes))
    }

    /// How far another's chemistry is from its.
    pub(super) fn distance(&self, other: &Held) -> Option<f64> {
        let unity = other.analysis.as_ref()?.unity.as_ref()?;
        Some(self.measure()?.distance(unity))
    }
}

/// What a line is about.
#[derive(Debug, Clone, PartialEq)]
pub enum Quantity {
    /// An oxide, moles in the unity formula.
    Oxide(Oxide),
    /// SiO2:Al2O3 by moles.
    SilicaToAlumina,
    /// Expansion, 1e-6/K.
    Expansion,
    /// How much hotter the melt of the others gets as thin as the first's, C.
    Melt,
    /// Currency per kilogram of dry glaze.
    Cost,
    /// What checks find: how many fails, not checked, cautions.
    Findings,
    /// Loss on ignition, wt % of the dry batch.
    Loss,
    /// A material of the base, per cent.
    Part(String),
    /// An addition, per cent on the base.
    Addition(String),
    /// A key of the file that is words.
    Told(&'static str),
}

/// A value of one glaze.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
#[serde(untagged)]
pub enum Value {
    /// A number.
    Number(f64),
    /// Words.
    Words(String),
    /// Not known, or not there.
    Nothing,
}

impl Value {
    fn number(number: Option<f64>) -> Value {
        number.map_or(Value::Nothing, Value::Number)
    }

    fn as_number(&self) -> Option<f64> {
        match self {
            Value::Number(number) => Some(*number),
            _ => None,
        }
    }
}

/// One line.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it is about.
    pub what: Quantity,
    /// The value of each glaze.
    pub values: Vec<Value>,
    /// Whether they differ.
    pub differs: bool,
    /// By how many tolerances an oxide differs at most.
    pub tolerances: Option<f64>,
    /// The 90 % band of the difference between the first and each other, where one is known.
    pub plus_minus: Vec<f64>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct LineJson<'a> {
    what: &'static str,
    name: Option<&'a str>,
    values: &'a [Value],
    differs: bool,
    tolerances: Option<f64>,
    plus_minus: &'a [f64],
}

impl Serialize for Line {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let (what, name) = self.what.words();
        LineJson {
            what,
            name,
            values: &self.values,
            differs: self.differs,
            tolerances: self.tolerances,
            plus_minus: &self.plus_minus,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Line: LineJson<'_>);

impl Quantity {
    /// In a word, with the name of the oxide, the material or the key.
    pub fn words(&self) -> (&'static str, Option<&str>) {
        match self {
            Quantity::Oxide(oxide) => ("unity", Some(oxide.formula())),
            Quantity::SilicaToAlumina => ("silica_to_alumina", None),
            Quantity::Expansion => ("expansion", None),
            Quantity::Melt => ("melt", None),
            Quantity::Cost => ("cost_per_kg", None),
            Quantity::Findings => ("findings", None),
            Quantity::Loss => ("loss_on_ignition", None),
            Quantity::Part(material) => ("part", Some(material)),
            Quantity::Addition(material) => ("addition", Some(material)),
            Quantity::Told(key) => ("told", Some(key)),
        }
    }
}

fn line(what: Quantity, values: Vec<Value>, least: f64) -> Line {
    let first = &values[0];
    let same = |value: &Value| match (first.as_number(), value.as_number()) {
        (Some(one), Some(other)) => (one - other).abs() < least,
        // What isn't known of one of them is no difference.
        (Some(_), None) | (None, Some(_)) => true,
        _ => first == value,
    };
    Line {
        differs: !values.iter().all(same),
        what,
        values,
        tolerances: None,
        plus_minus: Vec::new(),
    }
}

/// Every line, differences and what is alike.
pub(super) fn of(held: &[Held]) -> Vec<Line> {
    let mut lines = oxides(held);
    let by = |of: &dyn Fn(&Held) -> Option<f64>| held.iter().map(|one| Value::number(of(one))).collect::<Vec<_>>();
    let analysis = |of: fn(&Analysis) -> Option<f64>| by(&|one| one.analysis.as_ref().and_then(of));
    lines.push(line(
        Quantity::SilicaToAlumina,
        analysis(|analysis| analysis.silica_to_alumina),
        0.005,
    ));
    lines.push(expansion(held));
    lines.push(melt(held));
    let cost = |one: &Held| Cost::of_glaze(&one.found.glaze, one.found.settings.currency.as_deref()).per_kg();
    lines.push(line(Quantity::Cost, by(&cost), 0.005));
    let findings = held.iter().map(|one| Value::Words(found_words(&one.findings)));
    lines.push(line(Quantity::Findings, findings.collect(), 0.0));
    lines.push(line(
        Quantity::Loss,
        analysis(|analysis| Some(analysis.loss_on_ignition_percent)),
        0.05,
    ));
    lines.extend(portions(held, |one| &one.found.glaze.base, Quantity::Part));
    lines.extend(portions(held, |one| &one.found.glaze.additions, Quantity::Addition));
    lines.extend(told(held));
    lines.retain(|line| line.values.iter().any(|value| *value != Value::Nothing));
    lines
}

/// The oxides, those first that differ by most of their tolerances.
fn oxides(held: &[Held]) -> Vec<Line> {
    let unity = |one: &Held, oxide: Oxide| {
        let unity = one.analysis.as_ref()?.unity.as_ref()?;
        Some(unity.get(oxide))
    };
    let measure = held[0].measure();
    let mut lines = Vec::new();
    for oxide in Oxide::ALL {
        let values: Vec<Value> = held.iter().map(|one| Value::number(unity(one, oxide))).collect();
        if values
            .iter()
            .all(|value| value.as_number().is_none_or(|moles| moles == 0.0))
        {
            continue;
        }
        let mut line = line(Quantity::Oxide(oxide), values, LEAST_MOLES);
        let off = held[1..].iter().filter_map(|other| {
            let unity = other.analysis.as_ref()?.unity.as_ref()?;
            Some(measure.as_ref()?.tolerances_off(oxide, unity).abs())
        });
        line.tolerances = off.fold(None, |most: Option<f64>, off| {
            Some(most.map_or(off, |most| most.max(off)))
        });
        lines.push(line);
    }
    let size = |line: &Line| line.tolerances.unwrap_or(0.0);
    lines.sort_by(|one, other| size(other).total_cmp(&size(one)));
    lines
}

fn expansion(held: &[Held]) -> Line {
    let model = ExpansionModel::default();
    let value = |one: &Held| {
        let expansion = model.predict(&one.analysis.as_ref()?.moles)?;
        Some(expansion.value_per_million_per_kelvin)
    };
    let mut line = line(
        Quantity::Expansion,
        held.iter().map(|one| Value::number(value(one))).collect(),
        0.005,
    );
    let band = |other: &Held| {
        let (first, second) = (held[0].analysis.as_ref()?, other.analysis.as_ref()?);
        Some(model.difference(&first.moles, &second.moles)?.plus_minus_90)
    };
    line.plus_minus = held[1..].iter().filter_map(band).collect();
    line
}

fn melt(held: &[Held]) -> Line {
    let shift = |other: &Held| {
        let (first, second) = (held[0].analysis.as_ref()?, other.analysis.as_ref()?);
        Some(MeltCurve::shift(&first.moles, &second.moles)?.celsius)
    };
    let others: Vec<Value> = held[1..].iter().map(|other| Value::number(shift(other))).collect();
    let first = if others.iter().all(|value| *value == Value::Nothing) {
        Value::Nothing
    } else {
        Value::Number(0.0)
    };
    line(Quantity::Melt, std::iter::once(first).chain(others).collect(), 0.5)
}

/// `1 fail, 2 cautions`, as keys of levels.
fn found_words(findings: &[Finding]) -> String {
    let count = |level: Level| findings.iter().filter(|finding| finding.level == level).count();
    let levels = [Level::Fail, Level::NotChecked, Level::Caution, Level::Note];
    let told: Vec<String> = levels
        .into_iter()
        .filter(|level| count(*level) > 0)
        .map(|level| format!("{} {}{}", count(level), level.words(), plural(level, count(level))))
        .collect();
    if told.is_empty() {
        Level::NothingFound.words().to_owned()
    } else {
        told.join(", ")
    }
}

/// The `s` of several cautions or notes.
fn plural(level: Level, count: usize) -> &'static str {
    match level {
        Level::Caution | Level::Note if count > 1 => "s",
        _ => "",
    }
}

/// Materials, those first whose amounts differ most.
fn portions(held: &[Held], of: fn(&Held) -> &Vec<Portion>, what: fn(String) -> Quantity) -> Vec<Line> {
    let mut names: Vec<&str> = Vec::new();
    for portion in held.iter().flat_map(of) {
        if !names.contains(&portion.material.name.as_str()) {
            names.push(&portion.material.name);
        }
    }
    let mut lines: Vec<Line> = names
        .into_iter()
        .map(|name| {
            let amount = |one: &Held| {
                let of_it = of(one).iter().filter(|portion| portion.material.name == name);
                of_it.map(|portion| portion.percent).sum()
            };
            let values = held.iter().map(|one| Value::Number(amount(one))).collect();
            line(what(name.to_owned()), values, LEAST_PERCENT)
        })
        .collect();
    let spread = |line: &Line| {
        let numbers = || line.values.iter().filter_map(Value::as_number);
        numbers().fold(f64::NEG_INFINITY, f64::max) - numbers().fold(f64::INFINITY, f64::min)
    };
    lines.sort_by(|one, other| spread(other).total_cmp(&spread(one)));
    lines
}

fn told(held: &[Held]) -> Vec<Line> {
    type Told = (&'static str, fn(&FoundGlaze) -> Option<String>);
    const KEYS: [Told; 7] = [
        ("cone", |found| found.glaze.about.cone.clone()),
        ("peak", |found| {
            found.glaze.about.peak.map(|peak| format!("{} C", peak.celsius()))
        }),
        ("firing", |found| found.glaze.about.firing.clone()),
        ("atmosphere", |found| {
            found.glaze.about.atmosphere.map(|own| own.to_string())
        }),
        ("clay", |found| found.glaze.about.clay.clone()),
        ("use", |found| found.glaze.about.usage.map(|own| own.to_string())),
        ("water", |found| {
            let water = found.glaze.about.water?;
            Some(format!("{} ml/kg", water.millilitres_per_kg.round()))
        }),
    ];
    KEYS.into_iter()
        .map(|(key, of)| {
            let value = |one: &Held| of(&one.found).map_or(Value::Nothing, Value::Words);
            line(Quantity::Told(key), held.iter().map(value).collect(), 0.0)
        })
        .collect()
}
