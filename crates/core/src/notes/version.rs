//! What a version of a glaze was: its recipe and what each material in it was
//! by its sheet then, so that an old note still means the glaze it was made of.

use std::sync::Arc;

use serde_json::{Map, Value};

use crate::chemistry::{Oxide, OxideGrams};
use crate::diagnostic::Diagnostic;
use crate::glaze::{Additions, Analysis, FluxList, Glaze, GlazeNotes, NoAnalysis, Portion};
use crate::material::{FiredYield, Kind, LossStanding, Material};
use crate::quantity::{Date, PrintedExpansion};
use crate::read::folded;

use super::lines::{Line, Record, number};

/// Amounts and analyses that differ by less than this share are the same.
const SAME: f64 = 1e-9;

/// A recipe as it was on a day.
#[derive(Debug, Clone, PartialEq)]
pub struct Version {
    /// Its line in `versions.jsonl`, from 1; 0 before it is written.
    pub line: usize,
    /// The glaze's name.
    pub glaze: String,
    /// Its own name: `v3`.
    pub version: String,
    /// The day it was recorded.
    pub on: Date,
    /// The base: materials' names and shares of 100.
    pub parts: Vec<(String, f64)>,
    /// On top: materials' names and per cent of the base.
    pub additions: Vec<(String, f64)>,
    /// Each material once.
    pub materials: Vec<VersionMaterial>,
}

/// What a material was.
#[derive(Debug, Clone, PartialEq)]
pub struct VersionMaterial {
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: Kind,
    /// The supplier's lot.
    pub lot: Option<String>,
    /// What 100 g of it left in the fired glaze; `None` where nobody told.
    pub fired: Option<VersionYield>,
    /// The expansion printed on its bag.
    pub expansion: Option<PrintedExpansion>,
}

/// What 100 g of a material, as supplied, left in the fired glaze.
#[derive(Debug, Clone, PartialEq)]
pub struct VersionYield {
    /// Grams of fired oxides.
    pub oxides: OxideGrams,
    /// Loss on ignition in grams.
    pub loss_grams: f64,
    /// Moisture in grams.
    pub moisture_grams: f64,
    /// Sentences that go with every result built on this.
    pub assumptions: Vec<String>,
}

/// One way in which two versions differ.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// A material is of another lot.
    Lot {
        /// The material.
        material: String,
        /// The lot before.
        from: Option<String>,
        /// The lot after.
        to: Option<String>,
    },
    /// A material took the place of another of the same kind and amount: a lot under a name of its own.
    Renamed {
        /// The material before.
        from: String,
        /// The material after.
        to: String,
    },
    /// A material's analysis is another.
    Analysis {
        /// The material.
        material: String,
    },
    /// A material's amount is another, per cent of the base.
    Amount {
        /// The material.
        material: String,
        /// Before; 0 where it was not in it.
        from: f64,
        /// After; 0 where it is gone.
        to: f64,
    },
}

impl Change {
    /// Whether what is weighed in changed rather than how much of it.
    pub fn is_of_a_lot(&self) -> bool {
        !matches!(self, Change::Amount { .. })
    }
}

impl Version {
    /// The recipe of a glaze as it is, under this name.
    pub fn of(glaze: &Glaze, version: &str, on: Date) -> Version {
        let amounts = |portions: &[Portion]| {
            let held = portions.iter().filter(|portion| portion.percent > 0.0);
            held.map(|portion| (portion.material.name.clone(), portion.percent))
                .collect()
        };
        let mut materials: Vec<VersionMaterial> = Vec::new();
        for portion in glaze.portions().filter(|portion| portion.percent > 0.0) {
            let material = &portion.material;
            if materials.iter().all(|known| known.name != material.name) {
                materials.push(VersionMaterial {
                    name: material.name.clone(),
                    kind: material.kind,
                    lot: material.lot.clone(),
                    fired: material.fired.as_ref().map(|fired| VersionYield {
                        oxides: fired.oxides.clone(),
                        loss_grams: fired.loss_grams,
                        moisture_grams: fired.moisture_grams,
                        assumptions: fired.assumptions.clone(),
                    }),
                    expansion: material.expansion.clone(),
                });
            }
        }
        Version {
            line: 0,
            glaze: glaze.name.clone(),
            version: version.to_owned(),
            on,
            parts: amounts(&glaze.base),
            additions: amounts(&glaze.additions),
            materials,
        }
    }

    /// The version as a glaze, with its materials as they were then: whatever
    /// takes a glaze takes this. Tolerances of sheets are not kept.
    pub fn glaze(&self) -> Glaze {
        let portions = |amounts: &[(String, f64)]| -> Vec<Portion> {
            let found = amounts.iter().filter_map(|(name, percent)| {
                let material = self.materials.iter().find(|material| material.name == *name)?;
                Some(Portion {
                    material: Arc::new(material.material()),
                    percent: *percent,
                })
            });
            found.collect()
        };
        Glaze {
            name: self.glaze.clone(),
            base: portions(&self.parts),
            additions: portions(&self.additions),
            about: GlazeNotes::default(),
            assumptions: Vec::new(),
        }
    }

    /// What it was once fired.
    ///
    /// # Errors
    /// A material whose analysis nobody told, or nothing left after firing.
    pub fn analysis(&self, fluxes: &FluxList) -> Result<Analysis, NoAnalysis> {
        Analysis::of(&self.glaze(), fluxes, Additions::In)
    }

    /// Whether another is the same recipe of the same materials and lots.
    /// Names, days and printed expansions don't count.
    pub fn same_recipe(&self, other: &Version) -> bool {
        self.changes_to(other).is_empty()
    }

    /// How a later version differs from this one.
    pub fn changes_to(&self, later: &Version) -> Vec<Change> {
        let mut changes = Vec::new();
        for (before, after) in [(&self.parts, &later.parts), (&self.additions, &later.additions)] {
            changes.extend(amounts_changed(before, after));
        }
        // A bag under the name of its lot: one goes, one of the same kind comes, the amount stays.
        if let [
            Change::Amount {
                material: gone,
                from,
                to: 0.0,
            },
            Change::Amount {
                material: come,
                from: 0.0,
                to,
            },
        ] = changes.as_slice()
            && near(*from, *to)
            && let (Some(gone), Some(come)) = (self.material(gone), later.material(come))
            && gone.kind == come.kind
        {
            changes = vec![Change::Renamed {
                from: gone.name.clone(),
                to: come.name.clone(),
            }];
        }
        for before in &self.materials {
            let Some(after) = later.material(&before.name) else {
                continue;
            };
            let name = before.name.clone();
            if before.lot != after.lot {
                changes.push(Change::Lot {
                    material: name,
                    from: before.lot.clone(),
                    to: after.lot.clone(),
                });
            } else if !same_yield(before.fired.as_ref(), after.fired.as_ref()) {
                changes.push(Change::Analysis { material: name });
            }
        }
        changes
    }

    fn material(&self, name: &str) -> Option<&VersionMaterial> {
        self.materials.iter().find(|known| folded(&known.name) == folded(name))
    }

    /// As a line of the file, without its line end.
    pub fn to_line(&self) -> String {
        let amounts = |amounts: &[(String, f64)]| -> Value {
            let pairs = amounts.iter().map(|(name, amount)| (name.clone(), number(*amount)));
            Value::Object(pairs.collect())
        };
        let materials: Map<String, Value> = self
            .materials
            .iter()
            .map(|material| (material.name.clone(), material.json()))
            .collect();
        let mut fields = Map::new();
        for (key, value) in [
            ("glaze", Value::from(self.glaze.as_str())),
            ("version", Value::from(self.version.as_str())),
            ("on", Value::from(self.on.to_string())),
            ("parts", amounts(&self.parts)),
            ("additions", amounts(&self.additions)),
            ("materials", Value::Object(materials)),
        ] {
            fields.insert(key.to_owned(), value);
        }
        Value::Object(fields).to_string()
    }
}

impl VersionMaterial {
    /// As a material, with what was kept of it.
    fn material(&self) -> Material {
        Material {
            name: self.name.clone(),
            other_names: Vec::new(),
            kind: self.kind,
            formula: None,
            fired: self.fired.as_ref().map(|fired| FiredYield {
                oxides: fired.oxides.clone(),
                loss_grams: fired.loss_grams,
                moisture_grams: fired.moisture_grams,
                loss_standing: LossStanding::Stated,
                tolerance: Vec::new(),
                assumptions: fired.assumptions.clone(),
            }),
            mixed_from: Vec::new(),
            raw_clay_fraction: if self.kind == Kind::Clay { 1.0 } else { 0.0 },
            density_grams_per_millilitre: None,
            free_silica_percent: None,
            soluble: false,
            toxic: false,
            hazards: Vec::new(),
            price: None,
            stock: None,
            buyable: false,
            lot: self.lot.clone(),
            provenance: "versions.jsonl".to_owned(),
            expansion: self.expansion.clone(),
            firing: None,
            shipped: false,
            cautions: Vec::new(),
        }
    }

    /// `analysis` holds fired oxides in wt % of the material as supplied.
    fn json(&self) -> Value {
        let mut fields = Map::new();
        fields.insert("kind".to_owned(), Value::from(self.kind.word()));
        if let Some(lot) = &self.lot {
            fields.insert("lot".to_owned(), Value::from(lot.as_str()));
        }
        match &self.fired {
            None => {
                fields.insert("analysis".to_owned(), Value::from("unknown"));
            }
            Some(fired) => {
                let oxides = fired.oxides.iter();
                let analysis = oxides.map(|(oxide, grams)| (oxide.formula().to_owned(), number(grams)));
                fields.insert("analysis".to_owned(), Value::Object(analysis.collect()));
                fields.insert("loss_on_ignition".to_owned(), number(fired.loss_grams));
                fields.insert("moisture".to_owned(), number(fired.moisture_grams));
                if !fired.assumptions.is_empty() {
                    fields.insert("assumptions".to_owned(), Value::from(fired.assumptions.clone()));
                }
            }
        }
        if let Some(expansion) = &self.expansion {
            fields.insert("expansion".to_owned(), Value::from(expansion.printed.as_str()));
        }
        Value::Object(fields)
    }
}

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() <= SAME * one.abs().max(other.abs()).max(1.0)
}

fn same_yield(one: Option<&VersionYield>, other: Option<&VersionYield>) -> bool {
    match (one, other) {
        (None, None) => true,
        (Some(one), Some(other)) => {
            let oxides = one.oxides.as_slice().iter().zip(other.oxides.as_slice());
            near(one.loss_grams, other.loss_grams)
                && near(one.moisture_grams, other.moisture_grams)
                && oxides.into_iter().all(|(one, other)| near(*one, *other))
        }
        _ => false,
    }
}

fn amounts_changed(before: &[(String, f64)], after: &[(String, f64)]) -> Vec<Change> {
    let of = |list: &[(String, f64)], name: &str| {
        let found = list.iter().find(|(known, _)| folded(known) == folded(name));
        found.map_or(0.0, |(_, amount)| *amount)
    };
    let gone_or_moved = before.iter().map(|(name, from)| (name, *from, of(after, name)));
    let come = after
        .iter()
        .filter(|(name, _)| of(before, name) == 0.0)
        .map(|(name, to)| (name, 0.0, *to));
    gone_or_moved
        .chain(come)
        .filter(|(_, from, to)| !near(*from, *to))
        .map(|(name, from, to)| Change::Amount {
            material: name.clone(),
            from,
            to,
        })
        .collect()
}

/// Reads a line of `versions.jsonl`.
pub(super) fn read_version(line: Line<'_>) -> Result<Version, Diagnostic> {
    let mut record = line.record()?;
    let needed = |key: &str| line.complaint("missing-key", format!("this version has no `{key}`"), 1, 1);
    let glaze = record.text("glaze", false)?.ok_or_else(|| needed("glaze"))?;
    let version = record.text("version", true)?.ok_or_else(|| needed("version"))?;
    let on = record.text("on", false)?.ok_or_else(|| needed("on"))?;
    let on = Date::parse(&on).map_err(|bad| line.about("on", "bad-date", bad.message).maybe_help(bad.help))?;
    let mut parts = amounts(&mut record, "parts")?;
    let additions = amounts(&mut record, "additions")?;
    let total: f64 = parts.iter().map(|part| part.1).sum();
    if total <= 0.0 {
        return Err(needed("parts"));
    }
    if !near(total, 100.0) {
        parts.iter_mut().for_each(|part| part.1 *= 100.0 / total);
    }
    let mut materials = Vec::new();
    let known = match record.take("materials") {
        Some(Value::Object(map)) => map,
        _ => Map::new(),
    };
    for (name, value) in known {
        materials.push(material(line, &name, &value)?);
    }
    for (name, _) in parts.iter().chain(&additions) {
        if materials.iter().all(|known| known.name != *name) {
            return Err(line.about(name, "missing-key", format!("nothing says what `{name}` was")));
        }
    }
    Ok(Version {
        line: line.number,
        glaze,
        version,
        on,
        parts,
        additions,
        materials,
    })
}

fn amounts(record: &mut Record<'_>, key: &str) -> Result<Vec<(String, f64)>, Diagnostic> {
    let line = record.line;
    let map = match record.take(key) {
        None => return Ok(Vec::new()),
        Some(Value::Object(map)) => map,
        Some(_) => return Err(line.about(key, "wrong-type", format!("`{key}` should be like {{\"silica\": 26}}"))),
    };
    let positive = |value: &Value| value.as_f64().filter(|amount| *amount > 0.0 && *amount < 1e6);
    map.into_iter()
        .map(|(name, value)| match positive(&value) {
            Some(amount) => Ok((name, amount)),
            None => Err(line.about(&name, "out-of-range", format!("the amount of `{name}` is {value}"))),
        })
        .collect()
}

fn material(line: Line<'_>, name: &str, value: &Value) -> Result<VersionMaterial, Diagnostic> {
    let text = |key: &str| value.get(key).and_then(Value::as_str).map(str::to_owned);
    let plain = |key: &str| value.get(key).and_then(Value::as_f64).unwrap_or(0.0);
    let odd = |what: &str| line.about(name, "wrong-type", format!("`{name}`: {what}"));
    let fired = match value.get("analysis") {
        Some(Value::String(word)) if word == "unknown" => None,
        Some(Value::Object(lines)) => {
            let mut oxides = Vec::new();
            for (formula, amount) in lines {
                let oxide = Oxide::from_formula(formula).ok_or_else(|| odd(&format!("`{formula}` is no oxide")))?;
                oxides.push((oxide, amount.as_f64().unwrap_or(f64::NAN)));
            }
            Some(VersionYield {
                oxides: OxideGrams::new(oxides).ok_or_else(|| odd("an oxide's amount is no number above zero"))?,
                loss_grams: plain("loss_on_ignition"),
                moisture_grams: plain("moisture"),
                assumptions: value
                    .get("assumptions")
                    .and_then(Value::as_array)
                    .map(|said| said.iter().filter_map(Value::as_str).map(str::to_owned).collect())
                    .unwrap_or_default(),
            })
        }
        _ => return Err(odd("its analysis is missing; write \"unknown\" where nobody told")),
    };
    Ok(VersionMaterial {
        name: name.to_owned(),
        kind: text("kind")
            .and_then(|word| Kind::from_word(&word))
            .unwrap_or(Kind::Mineral),
        lot: text("lot"),
        fired,
        expansion: text("expansion").and_then(|printed| PrintedExpansion::parse(&printed).ok()),
    })
}
