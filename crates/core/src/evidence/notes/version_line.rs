//! A version as a line of `versions.jsonl`.

use serde_json::{Map, Value};

use glost_chemistry::Assumption;
use glost_chemistry::diagnostic::{Diagnostic, is_no, under};
use glost_chemistry::material::Kind;
use glost_chemistry::oxides::{Oxide, OxideGrams};
use glost_chemistry::quantity::{Date, PrintedExpansion};

use super::change::near;
use super::lines::{Line, Record, number};
use super::version::{Version, VersionMaterial, VersionYield};

impl Version {
    /// As a line of the file, without its line end; what was taken for granted stands in it
    /// in the words of `say`.
    pub fn to_line(&self, say: &dyn Fn(&Assumption) -> String) -> String {
        let amounts = |amounts: &[(String, f64)]| -> Value {
            let pairs = amounts.iter().map(|(name, amount)| (name.clone(), number(*amount)));
            Value::Object(pairs.collect())
        };
        let materials: Map<String, Value> = self
            .materials
            .iter()
            .map(|material| (material.name.clone(), material.json(say)))
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
    /// `analysis` holds fired oxides in wt % of the material as supplied.
    fn json(&self, say: &dyn Fn(&Assumption) -> String) -> Value {
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
                    let said: Vec<String> = fired.assumptions.iter().map(say).collect();
                    fields.insert("assumptions".to_owned(), Value::from(said));
                }
            }
        }
        if let Some(expansion) = &self.expansion {
            fields.insert("expansion".to_owned(), Value::from(expansion.printed.as_str()));
        }
        Value::Object(fields)
    }
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
    let odd = |what: &str| line.about(name, "wrong-type", under(name, what));
    let fired = match value.get("analysis") {
        Some(Value::String(word)) if word == "unknown" => None,
        Some(Value::Object(lines)) => {
            let mut oxides = Vec::new();
            for (formula, amount) in lines {
                let oxide = Oxide::from_formula(formula).ok_or_else(|| odd(&is_no(formula, "oxide")))?;
                oxides.push((oxide, amount.as_f64().unwrap_or(f64::NAN)));
            }
            Some(VersionYield {
                oxides: OxideGrams::new(oxides).ok_or_else(|| odd("an oxide's amount is no number above zero"))?,
                loss_grams: plain("loss_on_ignition"),
                moisture_grams: plain("moisture"),
                assumptions: value
                    .get("assumptions")
                    .and_then(Value::as_array)
                    .map(|said| {
                        let said = said.iter().filter_map(Value::as_str);
                        said.map(|words| Assumption::Recorded(words.to_owned())).collect()
                    })
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
