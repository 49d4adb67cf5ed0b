//! Results beside the limits, by the script that knows them.

use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::read::{parse_csv, push_cell};
use glost_core::evidence::laboratory::LabResult;
use glost_core::rules::Signature;
use glost_script::Scene;
use serde::{Serialize, Serializer};

use crate::rulebook::Rulebook;
use crate::run::Table;
use crate::{Desk, Failure};

/// The script that holds the limits; a studio's own of this name takes its place.
const SCRIPT: &str = "run/lab-compare";
/// The table that it reads.
const TABLE: &str = "results";

/// Results beside the limits.
#[derive(Debug, Clone)]
pub struct Compared {
    /// What the script says.
    pub said: Vec<String>,
    /// Its tables.
    pub tables: Vec<Table>,
    /// Its very text.
    pub signed: Arc<Signature>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ComparedJson<'a> {
    script: &'a str,
    hash: &'a str,
    said: &'a [String],
    tables: &'a [Table],
}

impl Serialize for Compared {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        ComparedJson {
            script: &self.signed.script,
            hash: &self.signed.hash,
            said: &self.said,
            tables: &self.tables,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Compared: ComparedJson<'_>);

/// Puts results beside the limits.
///
/// # Errors
/// A metal, shape, market or unit that the script doesn't know, a figure that is none; a script
/// that doesn't load.
pub(super) fn compare(
    desk: &Desk,
    results: &[LabResult],
    glaze: Option<&str>,
    version: Option<&str>,
) -> Result<Compared, Failure> {
    let workplace = desk.workplace();
    let book = Rulebook::open(workplace, workplace.settings())?;
    let script = book.script(workplace, SCRIPT)?;
    let Some(spec) = script.about.tables.iter().find(|spec| spec.name == TABLE) else {
        let message = format!("`{SCRIPT}` reads no table `{TABLE}`");
        return Err(Diagnostic::error("unknown-table", message)
            .help("take your own script of that name away, or let it read the shipped one's table")
            .into());
    };
    let settings = book.settings_of(&script, &[])?;
    let scene = Scene::default();
    let table = spec.hand_over(&parse_csv(&as_table(results, glaze, version))?, &scene)?;
    let scene = book.with_limits(Arc::new(Scene {
        tables: vec![Arc::new(table)],
        ..scene
    }));
    let (report, printed) = script.report(&scene, &settings)?;
    desk.printed(printed);
    Ok(Compared {
        said: report.said,
        tables: report.tables.into_iter().map(Table).collect(),
        signed: script.signature(&settings)?,
    })
}

fn as_table(results: &[LabResult], glaze: Option<&str>, version: Option<&str>) -> Source {
    let mut text = "metal,value,unit,shape,market,glaze,version\n".to_owned();
    for result in results {
        let own = [&result.metal, &result.value, &result.unit, &result.shape];
        let of = [result.market.as_deref(), glaze, version].map(|text| text.unwrap_or(""));
        for (index, cell) in own.into_iter().map(String::as_str).chain(of).enumerate() {
            if index > 0 {
                text.push(',');
            }
            push_cell(&mut text, cell);
        }
        text.push('\n');
    }
    Source::from_text("the report", &text)
}
