//! A fired bar weighed dry, soaked and boiled.

use std::fmt::Write;

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source, under};
use glost_chemistry::glaze::quantity;
use glost_chemistry::quantity::Grams;
use glost_chemistry::read::{Fields, Node, Value, parse};

/// How the three weights are named, in the order in which they may not fall.
const STATES: [&str; 3] = ["dry", "soaked", "boiled"];

/// No fired clay takes up more water than this share of its weight.
const MOST_UPTAKE: f64 = 0.6;

/// A bar weighed dry, soaked and boiled, in grams; none of them below the one before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighings {
    /// Fired and dry.
    pub dry: Grams,
    /// After soaking in cold water.
    pub soaked: Option<Grams>,
    /// After boiling.
    pub boiled: Option<Grams>,
}

impl Weighings {
    /// Water taken up cold, g.
    pub fn cold_uptake_grams(&self) -> Option<f64> {
        Some(self.soaked?.grams() - self.dry.grams())
    }

    /// Water taken up by boiling, g.
    pub fn boiled_uptake_grams(&self) -> Option<f64> {
        Some(self.boiled?.grams() - self.dry.grams())
    }

    /// Reads `dry 412.0 g, soaked 432.6 g, boiled 436.7 g`; several bars are parted by
    /// semicolons or lines.
    ///
    /// # Errors
    /// A state that isn't named, a weight that isn't one, a wet weight below the dry one.
    pub fn parse_several(text: &str) -> Result<Vec<Weighings>, Diagnostic> {
        let source = Source::from_text("weighings", text);
        let bars = text.split([';', '\n']).filter(|bar| !bar.trim().is_empty());
        let read: Vec<Weighings> = bars.map(|bar| in_words(&source, bar)).collect::<Result<_, _>>()?;
        if read.is_empty() {
            return Err(Diagnostic::error("odd-weighings", "no weights are given").help(HOW_TO_SAY));
        }
        Ok(read)
    }
}

const HOW_TO_SAY: &str = "write them such as \"dry 412.0 g, soaked 432.6 g, boiled 436.7 g\"";

/// One bar in words; the words become the YAML that files hold, so that both are read alike.
fn in_words(source: &Source, bar: &str) -> Result<Weighings, Diagnostic> {
    let plain = bar.replace([':', '='], " ");
    let mut found: Vec<(&str, String)> = Vec::new();
    for word in plain.split_whitespace() {
        let bare = word.trim_matches([',', '.']).to_lowercase();
        match STATES.into_iter().find(|state| *state == bare) {
            Some(state) => found.push((state, String::new())),
            None => match found.last_mut() {
                Some((_, weight)) => {
                    weight.push_str(word);
                    weight.push(' ');
                }
                None => {
                    let message = under(word, "which weight is it, dry, soaked or boiled?");
                    return Err(Diagnostic::error("odd-weighings", message).help(HOW_TO_SAY));
                }
            },
        }
    }
    let mut lines = String::new();
    for (state, weight) in &found {
        let weight = weight.trim().trim_end_matches(',').replace(['"', '\\'], "");
        let _ = writeln!(lines, "{state}: \"{weight}\"");
    }
    let typed = Source::from_text(&source.name, &lines);
    let read = parse(&typed).and_then(|node| bar_of(&typed, &node));
    // The place in the YAML made of the words means nothing to whoever typed them.
    read.map_err(|mut error| {
        error.place = None;
        error.help.get_or_insert_with(|| HOW_TO_SAY.to_owned());
        error
    })
}

/// The step, g, of the scales that the bars were weighed on: `step_grams`, unless weights
/// are written finer than that, down to a milligram.
pub(super) fn step_seen(bars: &[Weighings], step_grams: f64) -> f64 {
    let weights = || {
        let each = bars.iter().flat_map(|bar| [Some(bar.dry), bar.soaked, bar.boiled]);
        each.flatten().map(Grams::grams)
    };
    let fits = |step: f64| weights().all(|weight| (weight / step - (weight / step).round()).abs() < 1e-6);
    let finer = [step_grams, 1.0, 0.1, 0.01, 0.001]
        .into_iter()
        .filter(|step| *step <= step_grams);
    finer.into_iter().find(|step| fits(*step)).unwrap_or(step_grams)
}

/// The bars of `weighings`: one map, or a list of them.
pub(super) fn bars(source: &Source, fields: &Fields<'_>) -> Result<Vec<Weighings>, Diagnostic> {
    match fields.get("weighings") {
        None => Ok(Vec::new()),
        Some(Node {
            value: Value::List(items),
            ..
        }) => items.iter().map(|item| bar_of(source, item)).collect(),
        Some(node) => Ok(vec![bar_of(source, node)?]),
    }
}

fn bar_of(source: &Source, node: &Node) -> Result<Weighings, Diagnostic> {
    let inner = Fields::new(source, node, "`weighings`", &STATES)?;
    let dry_node = inner.required("dry", "`weighings`", "weigh the fired bar dry first: `dry: 412.0 g`")?;
    let weight = |key: &str| quantity(source, &inner, key, Grams::parse);
    let (Some(dry), soaked, boiled) = (weight("dry")?, weight("soaked")?, weight("boiled")?) else {
        return Err(odd("the dry weight is missing", source, node.mark));
    };
    if dry.grams() <= 0.0 {
        return Err(odd(
            "a bar that weighs nothing dry can't be judged",
            source,
            dry_node.mark,
        ));
    }
    let bar = Weighings { dry, soaked, boiled };
    let mark = |key: &str| inner.get(key).map_or(node.mark, |value| value.mark);
    for (name, wet) in [("soaked", soaked), ("boiled", boiled)] {
        if let Some(wet) = wet.filter(|wet| wet.grams() < dry.grams()) {
            return Err(weighs_less((name, wet), ("dry", dry), source, mark(name)));
        }
    }
    if let (Some(soaked), Some(boiled)) = (soaked, boiled)
        && boiled.grams() < soaked.grams()
    {
        let complaint = weighs_less(("boiled", boiled), ("soaked", soaked), source, mark("boiled"));
        return Err(complaint.help(
            "which weight is which? on a dense bar the two can lie within the scales' step: wipe it the same way, weigh again, and write one weight for both if they agree",
        ));
    }
    if let Some(most) = [soaked, boiled]
        .into_iter()
        .flatten()
        .map(Grams::grams)
        .reduce(f64::max)
        && most > dry.grams() * (1.0 + MOST_UPTAKE)
    {
        let message = format!(
            "the bar would take up {:.0} % of its weight: no fired clay does",
            100.0 * (most / dry.grams() - 1.0)
        );
        return Err(odd(message, source, node.mark));
    }
    Ok(bar)
}

/// That a bar weighs less in one state than in another.
fn weighs_less(one: (&str, Grams), other: (&str, Grams), source: &Source, mark: Mark) -> Diagnostic {
    let (state, grams) = (one.0, one.1.grams());
    let message = format!(
        "the bar weighs less {state} ({grams} g) than {} ({} g)",
        other.0,
        other.1.grams()
    );
    odd(message, source, mark)
}

fn odd(message: impl Into<String>, source: &Source, mark: Mark) -> Diagnostic {
    Diagnostic::error("odd-weighings", message)
        .at(source, mark, 1)
        .help("check which weight is which; the dry one is taken after drying above 100 C and cooling")
}
