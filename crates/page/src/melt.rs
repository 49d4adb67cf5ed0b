//! `glost melt`.

use glost_chemistry::glass::{Estimate, MeltCurve, MeltPoint, MeltReading, MeltShape, PropertyEstimate};
use glost_chemistry::oxides::Oxide;
use glost_chemistry::quantity::{Celsius, Cone, ConePoint};
use serde_json::{Value, json};

use crate::layout::{Align, Style, Table, assumed, paragraph};
use crate::melt_words::{NOT_FOR, names, pascal_seconds, refusal, refusal_key, refusals, told};

/// How hot a glaze is fired.
#[derive(Debug, Clone, PartialEq)]
pub enum Peak {
    /// To a cone.
    Cone(Cone, ConePoint),
    /// To a temperature.
    Temperature(Celsius),
}

impl Peak {
    fn estimate(&self) -> Estimate {
        match self {
            Peak::Cone(_, point) => Estimate::new(point.celsius, point.plus_minus),
            Peak::Temperature(celsius) => Estimate::exact(celsius.celsius()),
        }
    }

    fn name(&self) -> String {
        match self {
            Peak::Cone(cone, _) => format!("cone {}", cone.name()),
            Peak::Temperature(celsius) => format!("{:.0} C", celsius.celsius()),
        }
    }
}

/// A glaze's melt beside its firing.
#[derive(Debug, Clone)]
pub struct MeltPage<'a> {
    /// The glaze's name.
    pub glaze: &'a str,
    /// Whether additions are left out.
    pub additions_out: bool,
    /// The curve of the glaze.
    pub curve: &'a MeltCurve,
    /// The curve without oxides that alone stand between it and a number, and which they are.
    pub without: Option<(&'a MeltCurve, &'a [Oxide])>,
    /// Where it sets and how stiff it is, where that may be told.
    pub cold: Option<ColdGlass<'a>>,
    /// Temperatures asked for.
    pub at: Vec<Celsius>,
    /// How hot it is fired, where that is known.
    pub peak: Option<Peak>,
    /// Sentences that go with the glaze.
    pub assumptions: Vec<String>,
}

/// The glass once it has set.
#[derive(Debug, Clone, Copy)]
pub struct ColdGlass<'a> {
    /// Glass transition temperature, deg C.
    pub transition: &'a PropertyEstimate,
    /// Young's modulus, GPa.
    pub modulus: &'a PropertyEstimate,
}

const FEEL: &str = "For feel, roughly: honey has about 10 Pa.s, peanut butter about 250 (from memory).";
/// Powers of ten, Pa s, whose temperatures are shown.
const SHOWN_POWERS: [f64; 3] = [4.0, 3.0, 2.0];

impl MeltPage<'_> {
    /// The curve that is told: without what may be left out, where that is needed.
    fn told_curve(&self) -> &MeltCurve {
        self.without.map_or(self.curve, |(curve, _)| curve)
    }

    /// The temperatures to tell: those asked for, else the peak.
    fn asked(&self) -> Vec<Celsius> {
        if self.at.is_empty() {
            let peak = self.peak.as_ref().map(|peak| peak.estimate().value);
            peak.and_then(Celsius::new).into_iter().collect()
        } else {
            self.at.clone()
        }
    }

    fn said(&self) -> Vec<String> {
        let mut said = self.assumptions.clone();
        if let Some((_, oxides)) = self.without {
            said.push(format!(
                "{} left out, the rest counted as the whole: the curve knows too few glasses with as much",
                names(oxides)
            ));
        }
        if let Some((oxides, percent)) = &self.curve.left_out
            && *percent >= 0.05
        {
            said.push(format!(
                "{percent:.2} mol % left out ({}: unknown to the curve), the rest counted as the whole",
                names(oxides)
            ));
        }
        if self.told_curve().inside_domain() && self.told_curve().opacifier_percent >= 1.0 {
            said.push("ZrO2, SnO2 and TiO2 count as dissolved in the melt".to_owned());
        }
        if let Some(Peak::Cone(_, point)) = &self.peak {
            said.extend(point.assumptions.iter().cloned());
        }
        if self.peak.is_none() && self.at.is_empty() {
            said.push("its cone isn't known: say --at \"1220 C\" or --cone \"6\"".to_owned());
        }
        said
    }

    /// As JSON; temperatures in deg C, viscosities as log10 of Pa s, bands 90 %.
    pub fn json(&self) -> Value {
        let curve = self.curve;
        let without = self.without.map(|(rest, oxides)| {
            json!({
                "left_out": oxides.iter().map(|oxide| oxide.formula()).collect::<Vec<_>>(),
                "curve": shape_json(rest),
                "log_eta": self.readings_json(rest),
                "points": points_json(rest),
            })
        });
        json!({
            "glaze": self.glaze,
            "curve": shape_json(curve),
            "log_eta": self.readings_json(curve),
            "points": points_json(curve),
            "inside_domain": curve.inside_domain(),
            "reasons": curve.refusals.iter().map(refusal).collect::<Vec<_>>(),
            "refused_for": curve.refusals.iter().map(refusal_key).collect::<Vec<_>>(),
            "without": without,
            "excess": curve.excess,
            "leverage": curve.leverage,
            "transition_c": self.cold.map(|cold| property_json(cold.transition)),
            "youngs_modulus_gpa": self.cold.map(|cold| property_json(cold.modulus)),
            "peak": self.peak.as_ref().map(peak_json),
            "note": NOT_FOR,
            "assumptions": self.said(),
        })
    }

    fn readings_json(&self, curve: &MeltCurve) -> Vec<Value> {
        self.asked().into_iter().map(|at| reading_json(curve, at)).collect()
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let curve = self.told_curve();
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push_str("\n\n");
        if let Some((_, oxides)) = self.without {
            let sentence = format!(
                "No figure with its {}: {}. What follows leaves it out.",
                names(oxides),
                refusals(&self.curve.refusals)
            );
            text.push_str(&paragraph(&sentence, 0));
            text.push('\n');
        }
        if curve.inside_domain() {
            let readings = self.readings_table(curve);
            if !readings.is_empty() {
                text.push_str(&readings);
                text.push('\n');
            }
        }
        let places = self.places_table(curve);
        if !places.is_empty() {
            text.push_str(&places);
            text.push('\n');
        }
        if let Some(cold) = self.cold {
            let modulus = cold.modulus.estimate;
            let sentence = format!(
                "Stiffness when cold: Young's modulus {:.0} +/- {:.0} GPa.",
                modulus.value, modulus.plus_minus_90
            );
            text.push_str(&paragraph(&sentence, 0));
        }
        if curve.inside_domain() {
            text.push_str(&paragraph(FEEL, 0));
            text.push_str(&paragraph(NOT_FOR, 0));
        }
        text.push_str(&assumed(&self.said()));
        text
    }

    fn headline(&self) -> String {
        let curve = self.told_curve();
        let mut name = self.glaze.to_owned();
        if self.additions_out {
            name.push_str(" without its additions");
        } else if let Some((_, oxides)) = self.without {
            name.push_str(&format!(" without its {}", names(oxides)));
        }
        if !curve.inside_domain() {
            return format!(
                "{name}: no figure for its melt. {}.",
                capital(&refusals(&curve.refusals))
            );
        }
        match (&self.peak, self.at.as_slice()) {
            (_, [first, ..]) => format!("{name} at {:.0} C: {}.", first.celsius(), reading_words(curve, *first)),
            (Some(peak), []) => {
                let celsius = peak.estimate().value;
                let near = match peak {
                    Peak::Cone(..) => format!(" (near {celsius:.0} C)"),
                    Peak::Temperature(_) => String::new(),
                };
                let words = Celsius::new(celsius).map_or_else(String::new, |at| reading_words(curve, at));
                format!("{name} at {}{near}: {words}.", peak.name())
            }
            (None, []) => match curve.celsius_at(3.0) {
                MeltPoint::Celsius(found) => format!(
                    "{name}: the melt has 1000 Pa.s near {:.0} +/- {:.0} C.",
                    found.value, found.plus_minus_90
                ),
                MeltPoint::Below | MeltPoint::Above | MeltPoint::Refused => format!("{name}: its melt."),
            },
        }
    }

    /// One line for each temperature asked for; nothing where the headline says it all.
    fn readings_table(&self, curve: &MeltCurve) -> String {
        if self.at.len() < 2 {
            return String::new();
        }
        let mut table = Table::new(&[Align::Right, Align::Right, Align::Left, Align::Left]);
        table.row(["C", "Pa.s", "90 %", "log10, 90 %"]);
        for at in &self.at {
            let celsius = format!("{:.0}", at.celsius());
            match curve.at(*at) {
                MeltReading::Power(power) => table.row([
                    celsius,
                    pascal_seconds(power.value),
                    format!("{} to {}", pascal_seconds(power.low()), pascal_seconds(power.high())),
                    format!("{:.2} +/- {:.2}", power.value, power.plus_minus_90),
                ]),
                MeltReading::Thinner => table.row([celsius, "< 10".to_owned(), "no number".to_owned(), String::new()]),
                MeltReading::Thicker => {
                    table.row([celsius, "> 100 000".to_owned(), "no number".to_owned(), String::new()])
                }
                MeltReading::Refused(_) => table.row([celsius, "-".to_owned(), "refused".to_owned(), String::new()]),
            }
        }
        let mut text = table.text();
        if self
            .at
            .iter()
            .any(|at| matches!(curve.at(*at), MeltReading::Refused(_)))
        {
            let (low, high) = MeltCurve::TOLD_CELSIUS;
            text.push_str(&format!("refused: the curve was checked for {low:.0} to {high:.0} C\n"));
        }
        text
    }

    /// Where it sets, where it has round viscosities, and its peak.
    fn places_table(&self, curve: &MeltCurve) -> String {
        let mut rows: Vec<(Estimate, String)> = Vec::new();
        let mut unknown = Vec::new();
        if let Some(cold) = self.cold {
            rows.push((cold.transition.estimate, "it sets (transition)".to_owned()));
        }
        for power in SHOWN_POWERS {
            let name = format!("{} Pa.s", pascal_seconds(power));
            match curve.celsius_at(power) {
                MeltPoint::Celsius(found) => rows.push((found, name)),
                MeltPoint::Below => unknown.push(format!("{name} lies below {:.0} C", MeltCurve::TOLD_CELSIUS.0)),
                MeltPoint::Above => unknown.push(format!("{name} lies above {:.0} C", MeltCurve::TOLD_CELSIUS.1)),
                MeltPoint::Refused => {}
            }
        }
        if let Some(peak) = &self.peak {
            rows.push((peak.estimate(), peak_words(peak)));
        }
        if rows.is_empty() {
            return String::new();
        }
        rows.sort_by(|a, b| a.0.value.total_cmp(&b.0.value));
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Left]);
        table.row(["", "C", "90 %"]);
        for (celsius, what) in rows {
            let band = if celsius.plus_minus_90 > 0.0 {
                format!("+/- {:.0}", celsius.plus_minus_90)
            } else {
                String::new()
            };
            table.row([what, format!("{:.0}", celsius.value), band]);
        }
        let mut text = table.text();
        for sentence in unknown {
            text.push_str(&paragraph(&format!("{sentence}, outside what the curve tells."), 0));
        }
        text
    }
}

fn peak_words(peak: &Peak) -> String {
    match peak {
        Peak::Cone(_, point) => match point.celsius_per_hour {
            Some(rate) => format!("{}, {}, {rate:.0} C/h", peak.name(), point.family.name()),
            None => format!("{}, {}", peak.name(), point.family.name()),
        },
        Peak::Temperature(_) => "the peak".to_owned(),
    }
}

fn capital(clause: &str) -> String {
    let mut letters = clause.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// What the curve says at a temperature, as a clause; never a number without its band.
fn reading_words(curve: &MeltCurve, at: Celsius) -> String {
    match curve.at(at) {
        MeltReading::Power(power) => format!(
            "about {} Pa.s (90 %: {} to {})",
            pascal_seconds(power.value),
            pascal_seconds(power.low()),
            pascal_seconds(power.high())
        ),
        MeltReading::Thinner => "thinner than 10 Pa.s, no number: likely to run; a catcher under the tile".to_owned(),
        MeltReading::Thicker => {
            "stiffer than 100 000 Pa.s, no number: hardly melted, likely dry or underfired".to_owned()
        }
        MeltReading::Refused(reasons) => format!("no figure: {}", refusals(&reasons)),
    }
}

fn shape_json(curve: &MeltCurve) -> Value {
    if !curve.inside_domain() {
        return Value::Null;
    }
    json!({
        "A": MeltShape::HOT_END,
        "t12_kelvin": curve.shape.t12_kelvin(),
        "c": curve.shape.bend(),
    })
}

fn reading_json(curve: &MeltCurve, at: Celsius) -> Value {
    let reading = curve.at(at);
    let (power, refused_for) = match &reading {
        MeltReading::Power(power) => (Some(*power), Vec::new()),
        MeltReading::Refused(reasons) => (None, reasons.iter().map(refusal_key).collect()),
        MeltReading::Thinner | MeltReading::Thicker => (None, Vec::new()),
    };
    json!({
        "celsius": at.celsius(),
        "value": power.map(|power| power.value),
        "low": power.map(Estimate::low),
        "high": power.map(Estimate::high),
        "told": told(&reading),
        "refused_for": refused_for,
    })
}

fn points_json(curve: &MeltCurve) -> Vec<Value> {
    let point = |power: f64| {
        let (found, told) = match curve.celsius_at(power) {
            MeltPoint::Celsius(found) => (Some(found), "number"),
            MeltPoint::Below => (None, "cooler"),
            MeltPoint::Above => (None, "hotter"),
            MeltPoint::Refused => (None, "refused"),
        };
        json!({
            "log_eta": power,
            "celsius": found.map(|found| found.value),
            "low": found.map(Estimate::low),
            "high": found.map(Estimate::high),
            "told": told,
        })
    };
    SHOWN_POWERS.map(point).to_vec()
}

fn property_json(property: &PropertyEstimate) -> Value {
    let estimate = property.estimate;
    json!({
        "value": estimate.value,
        "plus_minus": estimate.plus_minus_90,
        "low": estimate.low(),
        "high": estimate.high(),
        "inside_domain": property.inside_domain,
        "reasons": property.reasons,
    })
}

fn peak_json(peak: &Peak) -> Value {
    match peak {
        Peak::Cone(cone, point) => json!({
            "cone": cone.name(),
            "family": point.family.name(),
            "rate_c_per_h": point.celsius_per_hour,
            "celsius": point.celsius,
            "plus_minus": point.plus_minus,
        }),
        Peak::Temperature(celsius) => json!({"celsius": celsius.celsius()}),
    }
}
