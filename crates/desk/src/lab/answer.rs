//! Reports as they are answered.

use glost_chemistry::quantity::{Date, parse_number};
use glost_core::evidence::laboratory::{LabResult, NoLonger};
use glost_core::evidence::notes::Note;
use glost_script::{Item, ReportTable};
use serde::{Serialize, Serializer};

use super::Compared;
use crate::Said;
use crate::wire::NoteJson;

/// Laboratories' reports, the latest first.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The glaze that they are of; none: all.
    pub glaze: Option<String>,
    /// The reports.
    pub reports: Vec<Report>,
    /// The line of the one that was kept just now.
    pub kept: Option<usize>,
    /// Whether that was kept before: nothing was written then.
    pub already: bool,
    /// What was taken for granted.
    pub assumptions: Vec<Said>,
}

impl crate::Answer for Answer {}

/// One report.
#[derive(Debug, Clone)]
pub struct Report {
    /// The note that keeps it.
    pub note: Note,
    /// Its results; none where only its name was noted.
    pub results: Vec<LabResult>,
    /// These beside the limits.
    pub compared: Option<Compared>,
    /// Why it no longer speaks of the glaze; empty: it does.
    pub no_longer: Vec<NoLonger>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ReportJson<'a> {
    report: Option<&'a str>,
    #[serde(flatten)]
    note: NoteJson<'a>,
    #[schemars(with = "Vec<serde_json::Value>")]
    results: &'a [LabResult],
    compared: Option<&'a Compared>,
    belongs: bool,
    no_longer: Vec<Said>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    glaze: Option<&'a str>,
    reports: Vec<ReportJson<'a>>,
    kept: Option<usize>,
    already: bool,
    assumptions: &'a [Said],
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let reports = self.reports.iter().map(|report| ReportJson {
            report: report.note.lab.as_deref(),
            note: NoteJson(&report.note),
            results: &report.results,
            compared: report.compared.as_ref(),
            belongs: report.no_longer.is_empty(),
            no_longer: report.no_longer.iter().cloned().map(Said::NoLonger).collect(),
        });
        AnswerJson {
            glaze: self.glaze.as_deref(),
            reports: reports.collect(),
            kept: self.kept,
            already: self.already,
            assumptions: &self.assumptions,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);

/// A report beside something else: a label, a card, a check.
#[derive(Debug, Clone, PartialEq)]
pub struct Brief {
    /// Its name.
    pub report: String,
    /// Its line in the notebook.
    pub line: usize,
    /// Its day.
    pub on: Date,
    /// The version that was tested.
    pub version: Option<String>,
    /// The batch that was tested.
    pub batch: Option<String>,
    /// Each result with the limits for its shape and market.
    pub results: Vec<BriefResult>,
    /// The first that is to be said of them.
    pub said: Option<String>,
    /// The results above a limit, each with the limits that it is above; they stay said when
    /// the report no longer speaks of the glaze.
    pub above: Vec<BriefResult>,
    /// Why it no longer speaks of the glaze; empty: it does.
    pub no_longer: Vec<NoLonger>,
}

/// One result beside its limits.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct BriefResult {
    /// The metal.
    pub metal: String,
    /// The figure with its unit.
    pub result: String,
    /// The limits.
    pub beside: Vec<Beside>,
}

/// A limit.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Beside {
    /// Whose.
    pub whose: String,
    /// The limit with its unit.
    pub limit: String,
}

impl Brief {
    pub(super) fn of(report: &Report) -> Brief {
        let note = &report.note;
        let mut results: Vec<BriefResult> = Vec::new();
        for table in report.compared.iter().flat_map(|compared| &compared.tables) {
            add_rows(&mut results, &table.0);
        }
        let said = report.compared.as_ref().and_then(|compared| compared.said.first());
        Brief {
            report: note.lab.clone().unwrap_or_else(|| note.id.clone()),
            line: note.line,
            on: note.on,
            version: note.version.clone(),
            batch: note.batch.clone(),
            above: results.iter().filter_map(BriefResult::above).collect(),
            results,
            said: said.cloned(),
            no_longer: report.no_longer.clone(),
        }
    }
}

impl BriefResult {
    /// With those limits alone that it is above; none where it is above none.
    fn above(&self) -> Option<BriefResult> {
        let result = Concentration::read(&self.result)?;
        let is_below =
            |beside: &&Beside| Concentration::read(&beside.limit).is_some_and(|limit| result.is_above(&limit));
        let beside: Vec<Beside> = self.beside.iter().filter(is_below).cloned().collect();
        (!beside.is_empty()).then(|| BriefResult { beside, ..self.clone() })
    }
}

/// Other ways to write milligrams a litre of thin acid, each with how many it is.
const LITRES: [(&str, f64); 4] = [("ppm", 1.0), ("ug/ml", 1.0), ("ppb", 0.001), ("ug/l", 0.001)];

/// How much of a metal left a piece.
struct Concentration {
    /// In its unit.
    amount: f64,
    /// `mg/l` of the acid however that is written, or per area of a plate.
    unit: String,
}

impl Concentration {
    /// Reads `0.7 mg/l`; none of `<0.01 mg/l`, which is above nothing that can be told.
    fn read(text: &str) -> Option<Concentration> {
        let (amount, unit) = text.trim().split_once(' ')?;
        let amount = parse_number(amount).ok()?.value;
        let unit = unit.trim().to_lowercase();
        let (amount, unit) = match LITRES.iter().find(|known| known.0 == unit) {
            Some((_, milligrams)) => (amount * milligrams, "mg/l".to_owned()),
            None => (amount, unit),
        };
        Some(Concentration { amount, unit })
    }

    fn is_above(&self, limit: &Concentration) -> bool {
        self.unit == limit.unit && self.amount > limit.amount
    }
}

/// A row a limit, as the script puts them: those of one result together. A table without
/// these columns tells its results alone.
fn add_rows(results: &mut Vec<BriefResult>, table: &ReportTable) {
    let place = |name: &str| table.columns.iter().position(|column| column.name == name);
    let (Some(metal), Some(result)) = (place("metal"), place("result")) else {
        return;
    };
    let text = |row: &[Item], at: Option<usize>| match at.and_then(|at| row.get(at)) {
        Some(Item::Text(text)) => Some(text.clone()),
        _ => None,
    };
    for row in &table.rows {
        let (Some(metal), Some(result)) = (text(row, Some(metal)), text(row, Some(result))) else {
            continue;
        };
        let limit = text(row, place("limit")).zip(text(row, place("whose")));
        let same = |known: &BriefResult| known.metal == metal && known.result == result;
        let known = match results.iter().position(same) {
            Some(at) => &mut results[at],
            None => {
                results.push(BriefResult {
                    metal,
                    result,
                    beside: Vec::new(),
                });
                let last = results.len() - 1;
                &mut results[last]
            }
        };
        known.beside.extend(limit.map(|(limit, whose)| Beside { whose, limit }));
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct BriefJson<'a> {
    report: &'a str,
    line: usize,
    on: String,
    version: Option<&'a str>,
    batch: Option<&'a str>,
    results: &'a [BriefResult],
    said: Option<&'a str>,
    above: &'a [BriefResult],
    belongs: bool,
    no_longer: Vec<Said>,
}

impl Serialize for Brief {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        BriefJson {
            report: &self.report,
            line: self.line,
            on: self.on.to_string(),
            version: self.version.as_deref(),
            batch: self.batch.as_deref(),
            results: &self.results,
            said: self.said.as_deref(),
            above: &self.above,
            belongs: self.no_longer.is_empty(),
            no_longer: self.no_longer.iter().cloned().map(Said::NoLonger).collect(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Brief: BriefJson<'_>);
