//! `glost melt`.

use glost_chemistry::glass::{Estimate, MeltGuide, PropertyEstimate, Thinness};
use glost_chemistry::quantity::{Cone, ConePoint};
use serde_json::{Value, json};

use crate::layout::{Align, Style, Table, assumed, paragraph};

/// How hot a glaze is fired.
#[derive(Debug, Clone, PartialEq)]
pub enum Peak {
    /// To a cone.
    Cone(Cone, ConePoint),
    /// To a temperature, deg C.
    Temperature(f64),
}

impl Peak {
    fn celsius(&self) -> Estimate {
        match self {
            Peak::Cone(_, point) => Estimate::new(point.celsius, point.plus_minus),
            Peak::Temperature(celsius) => Estimate::exact(*celsius),
        }
    }

    fn name(&self) -> String {
        match self {
            Peak::Cone(cone, _) => format!("cone {}", cone.name()),
            Peak::Temperature(celsius) => format!("{celsius:.0} C"),
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
    /// What the composition says.
    pub guide: &'a MeltGuide,
    /// How hot it is fired, where that is known.
    pub peak: Option<Peak>,
    /// Sentences that go with the glaze.
    pub assumptions: Vec<String>,
}

const GUIDE: &str = "A rough guide, for a glass of exactly this composition: a raw batch melts later, takes up clay, keeps crystals and bubbles, and a hold gives it time. Set it beside a glaze of yours that melts well at this cone.";
const FEEL: &str = "For feel, roughly: honey has about 10 Pa.s, peanut butter about 250 (from memory).";

impl MeltPage<'_> {
    fn thinness(&self) -> Option<Thinness> {
        let celsius = self.peak.as_ref()?.celsius();
        self.guide.at(celsius.value, celsius.plus_minus_90)
    }

    fn said(&self) -> Vec<String> {
        let mut said = self.assumptions.clone();
        said.extend(self.guide.at_100.assumptions.iter().cloned());
        if let Some(Peak::Cone(_, point)) = &self.peak {
            said.extend(point.assumptions.iter().cloned());
        }
        if self.peak.is_none() {
            said.push("its cone isn't known: say --cone \"6\" or --cone \"1220 C\"".to_owned());
        }
        said
    }

    /// As JSON; temperatures in deg C, bands 90 %.
    pub fn json(&self) -> Value {
        let guide = self.guide;
        json!({
            "glaze": self.glaze,
            "melt_1000_pa_s_c": property_json(&guide.at_1000),
            "melt_100_pa_s_c": property_json(&guide.at_100),
            "transition_c": property_json(&guide.transition),
            "youngs_modulus_gpa": property_json(&guide.modulus),
            "peak": self.peak.as_ref().map(peak_json),
            "at_peak": self.thinness().map(thinness_json),
            "inside_domain": guide.inside_domain(),
            "reasons": guide.at_100.reasons,
            "note": GUIDE,
            "assumptions": self.said(),
        })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let guide = self.guide;
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push_str("\n\n");
        let mut rows: Vec<(Estimate, String)> = vec![
            (guide.transition.estimate, "it sets (transition)".to_owned()),
            (guide.at_1000.estimate, "1000 Pa.s".to_owned()),
            (guide.at_100.estimate, "100 Pa.s".to_owned()),
        ];
        if let Some(peak) = &self.peak {
            let family = match peak {
                Peak::Cone(_, point) => match point.celsius_per_hour {
                    Some(rate) => format!(", {}, {rate:.0} C/h", point.family.name()),
                    None => format!(", {}", point.family.name()),
                },
                Peak::Temperature(_) => String::new(),
            };
            let name = match peak {
                Peak::Cone(..) => peak.name(),
                Peak::Temperature(_) => "the peak".to_owned(),
            };
            rows.push((peak.celsius(), format!("{name}{family}")));
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
        text.push_str(&table.text());
        text.push('\n');
        if let Some(sentence) = self.at_peak_words() {
            text.push_str(&paragraph(&sentence, 0));
        }
        if !guide.inside_domain() {
            let reasons: Vec<&str> = guide
                .at_100
                .reasons
                .iter()
                .map(|reason| reason.trim_end_matches('.'))
                .collect();
            let sentence = format!(
                "Outside what the models have seen, so the bands are doubled: {}.",
                reasons.join("; ")
            );
            text.push_str(&paragraph(&sentence, 0));
        }
        let modulus = guide.modulus.estimate;
        text.push_str(&paragraph(
            &format!(
                "Stiffness when cold: Young's modulus {:.0} +/- {:.0} GPa.",
                modulus.value, modulus.plus_minus_90
            ),
            0,
        ));
        text.push_str(&paragraph(GUIDE, 0));
        text.push_str(&assumed(&self.said()));
        text
    }

    fn headline(&self) -> String {
        let guide = self.guide;
        let points = format!(
            "{}{}: the melt has 1000 Pa.s near {:.0} C and 100 Pa.s near {:.0} C",
            self.glaze,
            if self.additions_out {
                " without its additions"
            } else {
                ""
            },
            guide.at_1000.estimate.value,
            guide.at_100.estimate.value
        );
        match &self.peak {
            Some(peak @ Peak::Cone(..)) => {
                format!("{points}; {} bends near {:.0} C.", peak.name(), peak.celsius().value)
            }
            Some(peak) => format!("{points}; it is fired to {}.", peak.name()),
            None => format!("{points}."),
        }
    }

    fn at_peak_words(&self) -> Option<String> {
        let name = self.peak.as_ref()?.name();
        Some(match self.thinness() {
            None => "How thin it is at the peak can't be told: the two points lie in the wrong order.".to_owned(),
            Some(Thinness::Thicker) => {
                format!(
                    "At {name} it would still be thicker than 10 000 Pa.s: hardly melted, likely dry or underfired."
                )
            }
            Some(Thinness::Thinner) => {
                format!(
                    "At {name} it would be thinner than 30 Pa.s: likely to run; test with a catcher under the tile."
                )
            }
            Some(Thinness::Power(power)) => format!(
                "At {name} it would have about {} Pa.s (90 %: {} to {}). {FEEL}",
                round_two(power.value),
                round_two(power.low()),
                round_two(power.high())
            ),
        })
    }
}

/// A power of ten as a number of two figures.
fn round_two(power: f64) -> String {
    let value = 10f64.powf(power);
    let step = 10f64.powf(power.floor() - 1.0).max(1.0);
    format!("{:.0}", (value / step).round() * step)
}

fn property_json(property: &PropertyEstimate) -> Value {
    let estimate = property.estimate;
    json!({
        "value": estimate.value,
        "plus_minus": estimate.plus_minus_90,
        "low": estimate.low(),
        "high": estimate.high(),
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
        Peak::Temperature(celsius) => json!({"celsius": celsius}),
    }
}

fn thinness_json(thinness: Thinness) -> Value {
    match thinness {
        Thinness::Power(power) => json!({
            "pa_s": 10f64.powf(power.value),
            "low": 10f64.powf(power.low()),
            "high": 10f64.powf(power.high()),
        }),
        Thinness::Thicker => json!({"thicker_than_pa_s": 10_000}),
        Thinness::Thinner => json!({"thinner_than_pa_s": 10f64.powf(1.5)}),
    }
}
