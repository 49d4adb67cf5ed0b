//! Limits measured on the studio's own glazes.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::{Additions, Analysis, FluxList};
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_chemistry::quantity::{Cone, FiringPeak};
use glost_core::rules::Subject;

use crate::{Desk, Failure, trouble};

/// An oxide of which no glaze has more is a trace, moles of the unity formula.
const TRACE_MOLES: f64 = 0.005;
/// Steps to which a range is widened, so that every glaze lies inside.
const STEPS: f64 = 1000.0;

/// One glaze with its unity formula.
struct Own {
    name: String,
    unity: OxideMoles,
    cone: Option<Cone>,
}

/// The text of a limits script: from the least to the most of each oxide.
pub(super) fn script(desk: &Desk, names: &[String]) -> Result<String, Failure> {
    let fluxes = FluxList::default();
    let mut own: Vec<Own> = Vec::new();
    for name in names {
        let found = desk.glaze(name)?;
        let analysis = Analysis::of(&found.glaze, &fluxes, Additions::In);
        let analysis = analysis.map_err(|bad| trouble::no_analysis(&found, &bad))?;
        let cone = found.glaze.about.cone.as_deref();
        let glaze = Own {
            unity: analysis.unity.ok_or_else(|| trouble::no_flux(&found))?,
            cone: cone.and_then(|text| match FiringPeak::parse(text) {
                Ok(FiringPeak::Cone(cone, _)) => Some(cone),
                _ => None,
            }),
            name: found.glaze.name,
        };
        if !own.iter().any(|known| known.name == glaze.name) {
            own.push(glaze);
        }
    }
    if own.len() < 2 {
        return Err(Diagnostic::error("too-few-glazes", "one glaze gives no ranges")
            .help("name two at least, better five: --from \"GLAZE, GLAZE, GLAZE\"")
            .into());
    }
    Ok(text(&own))
}

/// `KNaO` in the place of potash and soda, which the trade counts together.
fn subjects() -> Vec<Subject> {
    let alone = Oxide::ALL
        .into_iter()
        .filter(|oxide| !matches!(oxide, Oxide::K2O | Oxide::Na2O));
    let together = Subject::parse("KNaO");
    together.into_iter().chain(alone.map(Subject::Oxide)).collect()
}

fn ranges(own: &[Own]) -> String {
    let fluxes = FluxList::default();
    let mut lines = Vec::new();
    for subject in subjects() {
        let values = own.iter().filter_map(|glaze| subject.value(&glaze.unity, &fluxes));
        let (low, high) = values.fold((f64::INFINITY, 0.0_f64), |(low, high), value| {
            (low.min(value), high.max(value))
        });
        if high <= TRACE_MOLES {
            continue;
        }
        let (low, high) = ((low * STEPS).floor() / STEPS, (high * STEPS).ceil() / STEPS);
        lines.push(format!("    {}: [{low}, {high}],\n", subject.name()));
    }
    lines.concat()
}

fn text(own: &[Own]) -> String {
    let plain = |name: &str| name.replace(['"', '\\', '\n'], " ");
    let names: Vec<String> = own.iter().map(|glaze| plain(&glaze.name)).collect();
    let (count, names) = (names.len(), names.join(", "));
    let cones = own.iter().filter_map(|glaze| glaze.cone);
    let cones = match (cones.clone().min(), cones.max()) {
        (Some(low), Some(high)) if low != high => format!(" cones: \"{}..{}\",", low.name(), high.name()),
        (Some(only), _) => format!(" cones: \"{}\",", only.name()),
        (None, _) => String::new(),
    };
    let first = own.first().map_or_else(String::new, |glaze| {
        let oxides = glaze.unity.iter().filter(|(_, moles)| *moles > 0.0);
        let oxides: Vec<String> = oxides.map(|(oxide, moles)| format!("{oxide}: {moles:.6}")).collect();
        oxides.join(", ")
    });
    let ranges = ranges(own);
    format!(
        "// Ranges of the unity formula measured on {count} own glazes.
//
// Why it matters: a glaze far from those that hold here is a step into the dark.
// Where the numbers come from: the recipes and sheets of {names}
// on the day this was written; from the least to the most of each oxide, nothing
// published. Take a glaze out that turned out bad, and measure anew.

const ABOUT = #{{
    api: 1, kind: \"limits\", title: \"Like {count} own glazes\",{cones}
    source: \"own glazes, {count}: {names}\",
}};

const RANGES = #{{
{ranges}}};

fn limits(glaze, option) {{
    RANGES
}}

fn test_the_first_of_them_lies_inside(t) {{
    t.equal(within(t.glaze(#{{ {first} }}).unity, RANGES).len, 0);
}}
"
    )
}
