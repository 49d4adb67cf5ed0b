//! Clays: what a bag and three weighings say about a body.

use crate::diagnostic::{Diagnostic, Source};
use crate::glaze::{USES, one_of, quantity};
use crate::quantity::{Celsius, Grams, PrintedExpansion};
use crate::read::{Fields, NumberRange, parse};

/// A bar weighed dry, soaked and boiled, in grams.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighings {
    /// Fired and dry.
    pub dry: Grams,
    /// After soaking in cold water.
    pub soaked: Option<Grams>,
    /// After boiling.
    pub boiled: Option<Grams>,
}

/// A clay (body) as its file gives it.
#[derive(Debug, Clone)]
pub struct Clay {
    /// Its name.
    pub name: String,
    /// Cone it is fired to, as text.
    pub cone: Option<String>,
    /// Peak temperature.
    pub peak: Option<Celsius>,
    /// Printed expansion.
    pub expansion: Option<PrintedExpansion>,
    /// Printed absorption in wt %.
    pub absorption_percent: Option<f64>,
    /// Weighed bars.
    pub weighings: Option<Weighings>,
    /// What it is meant for.
    pub usage: Option<String>,
    /// Where the data come from.
    pub provenance: Option<String>,
    /// Free text.
    pub notes: Option<String>,
}

const KEYS: [&str; 10] = [
    "clay",
    "body",
    "cone",
    "peak",
    "expansion",
    "absorption",
    "weighings",
    "use",
    "source",
    "notes",
];

impl Clay {
    /// Absorption in wt % by boiling, or by soaking, or as printed.
    pub fn absorption(&self) -> Option<f64> {
        let weighed = self.weighings.and_then(|weights| {
            let wet = weights.boiled.or(weights.soaked)?;
            Some(100.0 * (wet.grams() - weights.dry.grams()) / weights.dry.grams())
        });
        weighed.or(self.absorption_percent)
    }
}

/// Reads a clay file.
///
/// # Errors
/// The first thing in it that can't be used, with its place.
pub fn read_clay(source: &Source) -> Result<Clay, Diagnostic> {
    let root = parse(source)?;
    let fields = Fields::new(source, &root, "a clay file", &KEYS)?;
    let name = match fields.text("clay")? {
        Some(name) => name,
        None => {
            fields.required(
                "body",
                "this file",
                "start it with the clay's name: `clay: buff stoneware`",
            )?;
            fields.text("body")?.unwrap_or(crate::read::Text {
                text: String::new(),
                mark: root.mark,
            })
        }
    };
    let plain = |key: &str| -> Result<Option<String>, Diagnostic> { Ok(fields.text(key)?.map(|text| text.text)) };
    Ok(Clay {
        name: name.text,
        cone: plain("cone")?,
        peak: quantity(source, &fields, "peak", Celsius::parse)?,
        expansion: quantity(source, &fields, "expansion", PrintedExpansion::parse)?,
        absorption_percent: fields
            .number("absorption", NumberRange { least: 0.0, most: 60.0 })?
            .map(|number| number.value),
        weighings: weighings(source, &fields)?,
        usage: one_of(source, &fields, "use", &USES)?,
        provenance: plain("source")?,
        notes: plain("notes")?,
    })
}

fn weighings(source: &Source, fields: &Fields<'_>) -> Result<Option<Weighings>, Diagnostic> {
    let Some(node) = fields.get("weighings") else {
        return Ok(None);
    };
    let inner = Fields::new(source, node, "`weighings`", &["dry", "soaked", "boiled"])?;
    inner.required("dry", "`weighings`", "weigh the fired bar dry first: `dry: 412.0 g`")?;
    let weight = |key: &str| quantity(source, &inner, key, Grams::parse);
    let Some(dry) = weight("dry")? else {
        return Ok(None);
    };
    let (soaked, boiled) = (weight("soaked")?, weight("boiled")?);
    let order = [Some(dry), soaked, boiled];
    let rising = order
        .iter()
        .flatten()
        .zip(order.iter().flatten().skip(1))
        .all(|(less, more)| less.grams() <= more.grams());
    if dry.grams() <= 0.0 || !rising {
        return Err(Diagnostic::error(
            "odd-weighings",
            "a bar can't weigh less soaked than dry, or boiled than soaked",
        )
        .at(source, node.mark, 1)
        .help("check which weight is which"));
    }
    Ok(Some(Weighings { dry, soaked, boiled }))
}
