//! Clays: what a bag and some bars say about a body.

use glost_chemistry::diagnostic::{Diagnostic, Source, under};
use glost_chemistry::glass::DilatometerCurve;
use glost_chemistry::glaze::{Use, one_of, one_word, quantity};
use glost_chemistry::quantity::{Celsius, Gigapascals, PrintedExpansion};
use glost_chemistry::read::{Fields, Node, NumberRange, Value, parse, text_of};

use super::absorption::Absorption;
use super::bar::{Weighings, bars};
use super::dilatometer::{from_list, read_dilatometer_table};
use super::shrinkage::{BarLengths, lengths};

/// What sort of clay it is, as potters sort them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ClayKind {
    /// Fired low and porous.
    Earthenware,
    /// Fired to stoneware heat.
    Stoneware,
    /// White and vitrified.
    Porcelain,
}

impl ClayKind {
    const WORDS: [&str; 3] = ["earthenware", "stoneware", "porcelain"];

    /// As files write it.
    pub const fn word(self) -> &'static str {
        match self {
            ClayKind::Earthenware => ClayKind::WORDS[0],
            ClayKind::Stoneware => ClayKind::WORDS[1],
            ClayKind::Porcelain => ClayKind::WORDS[2],
        }
    }

    fn from_word(word: &str) -> Option<ClayKind> {
        let all = [ClayKind::Earthenware, ClayKind::Stoneware, ClayKind::Porcelain];
        all.into_iter().find(|kind| kind.word() == word)
    }
}

/// A clay (body) as its file gives it.
#[derive(Debug, Clone)]
pub struct Clay {
    /// Its name.
    pub name: String,
    /// What sort it is, where its file says.
    pub kind: Option<ClayKind>,
    /// Cone it is fired to, as text.
    pub cone: Option<String>,
    /// Peak temperature.
    pub peak: Option<Celsius>,
    /// Expansion as printed, or as measured.
    pub expansion: Option<PrintedExpansion>,
    /// Whether `expansion` was measured on this clay at this firing.
    pub expansion_measured: bool,
    /// A dilatometer's table of this clay at this firing.
    pub dilatometer: Option<DilatometerCurve>,
    /// Young's modulus.
    pub modulus: Option<Gigapascals>,
    /// Printed absorption in wt %.
    pub absorption_percent: Option<f64>,
    /// Weighed bars.
    pub bars: Vec<Weighings>,
    /// A bar measured wet and fired.
    pub shrinkage: Option<BarLengths>,
    /// What it is meant for.
    pub usage: Option<Use>,
    /// Where the data come from.
    pub provenance: Option<String>,
    /// Free text.
    pub notes: Option<String>,
}

/// The keys that a clay's file may have, in their usual order.
pub const CLAY_KEYS: [&str; 15] = [
    "clay",
    "body",
    "kind",
    "cone",
    "peak",
    "expansion",
    "measured",
    "dilatometer",
    "modulus",
    "absorption",
    "weighings",
    "shrinkage",
    "use",
    "source",
    "notes",
];

impl Clay {
    /// A clay of which nothing is known, not even its name: some bars on the scales.
    pub fn unnamed() -> Clay {
        Clay {
            name: "this clay".to_owned(),
            kind: None,
            cone: None,
            peak: None,
            expansion: None,
            expansion_measured: false,
            dilatometer: None,
            modulus: None,
            absorption_percent: None,
            bars: Vec::new(),
            shrinkage: None,
            usage: None,
            provenance: None,
            notes: None,
        }
    }

    /// Absorption in wt % by boiling, or by soaking, or as printed; the mean of several bars.
    pub fn absorption(&self) -> Option<f64> {
        let weighed = self.weighed(0.0).and_then(|weighed| weighed.boiled.or(weighed.cold));
        weighed.map(|measured| measured.value).or(self.absorption_percent)
    }

    /// What its bars say, weighed on scales of this step; `None` without bars.
    pub fn weighed(&self, step_grams: f64) -> Option<Absorption> {
        Absorption::of(&self.bars, step_grams)
    }
}

/// Reads a clay file that stands alone.
///
/// # Errors
/// The first thing in it that can't be used, with its place; a table in another file.
pub fn read_clay(source: &Source) -> Result<Clay, Diagnostic> {
    read_clay_with_tables(source, &|name| {
        Err(Diagnostic::error(
            "no-such-file",
            under(name, "no other file can be read from here"),
        ))
    })
}

/// Reads a clay file; `table` gives the text of a file that it names, as seen from its folder.
///
/// # Errors
/// The first thing in it (or in the table) that can't be used, with its place.
pub fn read_clay_with_tables(
    source: &Source,
    table: &dyn Fn(&str) -> Result<Source, Diagnostic>,
) -> Result<Clay, Diagnostic> {
    let root = parse(source)?;
    let fields = Fields::new(source, &root, "a clay file", &CLAY_KEYS)?;
    let plain = |key: &str| -> Result<Option<String>, Diagnostic> { Ok(fields.text(key)?.map(|text| text.text)) };
    let name = match plain("clay")? {
        Some(name) => name,
        None => {
            let help = "start it with the clay's name: `clay: buff stoneware`";
            text_of(source, fields.required("body", "this file", help)?, "body")?.text
        }
    };
    Ok(Clay {
        name,
        kind: one_word(source, &fields, "kind", &ClayKind::WORDS)?.and_then(|word| ClayKind::from_word(&word)),
        cone: plain("cone")?,
        peak: quantity(source, &fields, "peak", Celsius::parse)?,
        expansion: quantity(source, &fields, "expansion", PrintedExpansion::parse)?,
        expansion_measured: measured(source, &fields)?,
        dilatometer: dilatometer(source, &fields, table)?,
        modulus: quantity(source, &fields, "modulus", Gigapascals::parse)?,
        absorption_percent: fields
            .number("absorption", NumberRange { least: 0.0, most: 60.0 })?
            .map(|number| number.value),
        bars: bars(source, &fields)?,
        shrinkage: fields.get("shrinkage").map(|node| lengths(source, node)).transpose()?,
        usage: one_of(source, &fields, "use")?,
        provenance: plain("source")?,
        notes: plain("notes")?,
    })
}

fn measured(source: &Source, fields: &Fields<'_>) -> Result<bool, Diagnostic> {
    let said = fields.yes("measured")?;
    match fields.key_mark("measured").filter(|_| said) {
        Some(mark) if fields.get("expansion").is_none() => {
            Err(Diagnostic::error("missing-key", "`measured` goes with an `expansion`, and there is none")
                .at(source, mark, "measured".len())
                .help("write the laboratory's number: `expansion: 7.1e-6/K at 20-500 C`; a table in `dilatometer` counts as measured without it"))
        }
        _ => Ok(said),
    }
}

/// A list in the file, or the name of a table beside it.
fn dilatometer(
    source: &Source,
    fields: &Fields<'_>,
    table: &dyn Fn(&str) -> Result<Source, Diagnostic>,
) -> Result<Option<DilatometerCurve>, Diagnostic> {
    match fields.get("dilatometer") {
        None => Ok(None),
        Some(
            node @ Node {
                value: Value::Text(_), ..
            },
        ) => {
            let name = text_of(source, node, "dilatometer")?;
            let text = table(&name.text).map_err(|error| match error.place {
                Some(_) => error,
                None => error
                    .at(source, name.mark, name.text.chars().count())
                    .help("a table named here is looked for beside the clay's file"),
            })?;
            read_dilatometer_table(&text).map(Some)
        }
        Some(node) => from_list(source, node).map(Some),
    }
}
