//! `glost unity`.

use glost_chemistry::glaze::Analysis;
use glost_chemistry::oxides::Oxide;
use serde_json::{Value, json};

use crate::amounts;
use crate::layout::{Align, Style, Table, assumed, paragraph};
use crate::number;

/// A glaze's chemistry with what is said beside it.
#[derive(Debug, Clone)]
pub struct UnityPage<'a> {
    /// The glaze's name.
    pub glaze: &'a str,
    /// Whether additions are left out.
    pub additions_out: bool,
    /// The analysis.
    pub analysis: &'a Analysis,
    /// Whether the studio has a flux list of its own.
    pub own_fluxes: Option<String>,
    /// Expansion models' answers, the default first.
    pub expansion: Vec<Expansion>,
}

/// One model's expansion of the glass.
#[derive(Debug, Clone)]
pub struct Expansion {
    /// The model's name.
    pub model: String,
    /// Mean linear expansion in 1e-6/K.
    pub value: f64,
    /// 90 % half-width for a glass of exactly this composition.
    pub plus_minus: f64,
    /// The range in deg C.
    pub range_celsius: (f64, f64),
    /// Whether the composition lies within the model's bounds.
    pub inside_domain: bool,
    /// Why not, where it doesn't.
    pub reasons: Vec<String>,
}

impl UnityPage<'_> {
    /// The contract's JSON.
    pub fn json(&self) -> Value {
        let analysis = self.analysis;
        json!({
            "glaze": self.glaze,
            "unity": analysis.unity.as_ref().map(amounts::moles),
            "mole_percent": amounts::moles(&analysis.mole_percent()),
            "weight_percent": amounts::grams(&analysis.weight_percent()),
            "loss_on_ignition": analysis.loss_on_ignition_percent,
            "silica_to_alumina": analysis.silica_to_alumina,
            "alkali_share": analysis.alkali_share,
            "bands": {"unity": amounts::moles(&analysis.unity_bands)},
            "expansion": self.expansion.iter().map(Expansion::json).collect::<Vec<_>>(),
            "assumptions": self.assumptions(),
        })
    }

    fn assumptions(&self) -> Vec<String> {
        let mut said = self.analysis.assumptions.clone();
        if let Some(fluxes) = &self.own_fluxes {
            said.push(format!("counted as fluxes in this studio: {fluxes}"));
        }
        if self.analysis.unity.is_none() {
            said.push(
                "no flux in this glaze: its unity formula is undefined; weight and mole per cent stand".to_owned(),
            );
        }
        said
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let analysis = self.analysis;
        let mut text = style.bold(self.headline().trim_end());
        text.push_str("\n\n");
        let banded = analysis.unity_bands.total() > 0.0;
        let mut align = vec![Align::Left, Align::Right];
        let mut head = vec!["fired", "unity"];
        if banded {
            align.push(Align::Left);
            head.push("90 %");
        }
        align.extend([Align::Right, Align::Right]);
        head.extend(["mol %", "wt %"]);
        let mut table = Table::new(&align);
        table.row(head);
        let (moles, grams) = (analysis.mole_percent(), analysis.weight_percent());
        for oxide in Oxide::ALL.into_iter().filter(|oxide| moles.get(*oxide) > 0.0) {
            let unity = analysis
                .unity
                .as_ref()
                .map_or_else(|| "-".to_owned(), |unity| number::unity(unity.get(oxide)));
            let mut row = vec![oxide.to_string(), unity];
            if banded {
                let band = analysis.unity_bands.get(oxide);
                row.push(if band > 0.0 {
                    format!(
                        "+/- {}",
                        number::band(analysis.unity.as_ref().map_or(0.0, |unity| unity.get(oxide)), band)
                    )
                } else {
                    String::new()
                });
            }
            row.extend([number::percent(moles.get(oxide)), number::percent(grams.get(oxide))]);
            table.row(row);
        }
        text.push_str(&table.text());
        text.push('\n');
        for expansion in self.expansion.iter().take(1) {
            text.push_str(&expansion.text());
        }
        if banded {
            text.push_str(&paragraph(
                "The 90 % column comes from the tolerances on the materials' sheets alone, for this recipe as it stands.",
                0,
            ));
        }
        text.push_str(&assumed(&self.assumptions()));
        text
    }

    fn headline(&self) -> String {
        let analysis = self.analysis;
        let mut facts = Vec::new();
        if let Some(ratio) = analysis.silica_to_alumina {
            facts.push(format!("SiO2:Al2O3 is {ratio:.1}"));
        }
        if let Some(share) = analysis.alkali_share {
            facts.push(format!("alkalis are {} of the fluxes", number::unity(share)));
        }
        facts.push(format!("{:.1} % is lost in firing", analysis.loss_on_ignition_percent));
        let out = if self.additions_out {
            " without its additions"
        } else {
            ""
        };
        paragraph(&format!("{}{out}: {}.", self.glaze, facts.join(", ")), 0)
    }
}

impl Expansion {
    fn json(&self) -> Value {
        json!({
            "model": self.model,
            "value": self.value,
            "plus_minus": self.plus_minus,
            "unit": "1e-6/K",
            "range_c": [self.range_celsius.0, self.range_celsius.1],
            "inside_domain": self.inside_domain,
        })
    }

    fn text(&self) -> String {
        let mut sentence = format!(
            "Expansion {:.1} +/- {:.1} x 1e-6/K at {:.0}-{:.0} C ({}), for a glass of exactly this composition; your fired glaze may differ by 1.0 to 1.4.",
            self.value, self.plus_minus, self.range_celsius.0, self.range_celsius.1, self.model
        );
        if !self.inside_domain {
            let reasons: Vec<&str> = self.reasons.iter().map(|reason| reason.trim_end_matches('.')).collect();
            sentence.push_str(&format!(" Outside what the model has seen: {}.", reasons.join("; ")));
        }
        paragraph(&sentence, 0)
    }
}
