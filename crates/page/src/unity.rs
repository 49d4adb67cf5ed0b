//! `glost unity`.

use glost_chemistry::glaze::{Analysis, IronCount};
use glost_chemistry::oxides::{Oxide, OxideMoles};
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
    /// How iron is counted.
    pub iron: IronCount,
    /// The unity formula with all iron as FeO, where the glaze is fired in reduction, holds
    /// enough of it to matter, and nobody says how it is counted.
    pub as_feo: Option<OxideMoles>,
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
            "unity": analysis.unity.as_ref().map(|unity| self.unity_json(unity)),
            "iron": {"counted_as_feo": self.iron.feo_share(), "unity_as_feo": self.as_feo.as_ref().map(amounts::moles)},
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

    /// Moles of each line shown: iron split as it is counted.
    fn lines(&self, amounts: &OxideMoles) -> Vec<(&'static str, Oxide, f64)> {
        let share = self.iron.feo_share();
        let mut lines = Vec::new();
        for (oxide, moles) in amounts.iter() {
            match oxide {
                Oxide::Fe2O3 => {
                    lines.push(("FeO", oxide, 2.0 * share * moles));
                    lines.push((oxide.formula(), oxide, (1.0 - share) * moles));
                }
                _ => lines.push((oxide.formula(), oxide, moles)),
            }
        }
        lines.retain(|line| line.2 > 0.0);
        lines
    }

    fn unity_json(&self, unity: &OxideMoles) -> Value {
        amounts::map(
            self.lines(unity)
                .into_iter()
                .map(|(name, _, amount)| (name.to_owned(), amount)),
        )
    }

    /// What the other way of counting iron would say.
    fn iron_words(&self) -> Option<String> {
        let feo = self.as_feo.as_ref()?;
        let amount = |oxide: Oxide| number::unity(feo.get(oxide));
        Some(format!(
            "Iron counts as Fe2O3, no flux. In reduction 30 to 90 % of it is FeO, which fluxes (from memory): with all of it as FeO, SiO2 would be {}, Al2O3 {}, FeO {}. `iron: FeO` or `iron: 60 % FeO` in the glaze's file counts it so.",
            amount(Oxide::SiO2),
            amount(Oxide::Al2O3),
            number::unity(2.0 * feo.get(Oxide::Fe2O3)),
        ))
    }

    fn assumptions(&self) -> Vec<String> {
        let mut said = self.analysis.assumptions.clone();
        if self.iron.feo_share() > 0.0 {
            let percent = number::percent(100.0 * self.iron.feo_share());
            said.push(format!(
                "{percent} % of the iron counts as FeO, a flux: two for each Fe2O3; mol % and wt % are as Fe2O3"
            ));
        }
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
        for (name, oxide, _) in self.lines(&moles) {
            let unity = analysis
                .unity
                .as_ref()
                .and_then(|unity| self.lines(unity).into_iter().find(|line| line.0 == name))
                .map_or_else(|| "-".to_owned(), |line| number::unity(line.2));
            let mut row = vec![name.to_owned(), unity];
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
            row.extend(if name == oxide.formula() || self.iron == IronCount::FEO {
                [number::percent(moles.get(oxide)), number::percent(grams.get(oxide))]
            } else {
                [String::new(), String::new()]
            });
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
        if let Some(words) = self.iron_words() {
            text.push_str(&paragraph(&words, 0));
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
