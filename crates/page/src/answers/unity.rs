//! `glost unity`.

use glost_chemistry::glass::Expansion;
use glost_chemistry::glaze::{Additions, IronCount};
use glost_desk::unity::Answer;

use super::by_hand;
use crate::layout::{Align, Style, Table, assumed, paragraph};
use crate::number;
use crate::words::chemistry::outside_in_a_line;
use crate::words::say;
use crate::{Csv, Shown, csv_number};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        let analysis = &self.analysis;
        let (moles, grams) = (analysis.mole_percent(), analysis.weight_percent());
        let unity = analysis.unity.as_ref().map_or_else(Vec::new, |unity| self.lines(unity));
        let rows = self.lines(&moles).into_iter().map(|line| {
            // Iron that is counted as FeO in part has its percentages on one line.
            let whole = line.name == line.oxide.formula() || self.iron == IronCount::FEO;
            let own = unity.iter().find(|own| own.name == line.name);
            let band = Some(analysis.unity_bands.get(line.oxide)).filter(|band| *band > 0.0);
            vec![
                line.name.to_owned(),
                csv_number(own.map(|own| own.moles)),
                csv_number(band),
                csv_number(whole.then(|| moles.get(line.oxide))),
                csv_number(whole.then(|| grams.get(line.oxide))),
            ]
        });
        Some(Csv::of(
            &["oxide", "unity", "plus_minus_90", "mole_percent", "weight_percent"],
            rows,
        ))
    }

    fn text(&self, style: Style) -> String {
        let analysis = &self.analysis;
        let mut text = style.bold(headline(self).trim_end());
        text.push_str("\n\n");
        let banded = analysis.unity_bands.total() > 0.0;
        let mut align = vec![Align::Left, Align::Point];
        let mut head = vec!["fired", "unity"];
        if banded {
            align.push(Align::Left);
            head.push("90 %");
        }
        align.extend([Align::Point, Align::Point]);
        head.extend(["mol %", "wt %"]);
        let mut table = Table::new(&align);
        table.row(head);
        let (moles, grams) = (analysis.mole_percent(), analysis.weight_percent());
        for line in self.lines(&moles) {
            let oxide = line.oxide;
            let unity = analysis
                .unity
                .as_ref()
                .and_then(|unity| self.lines(unity).into_iter().find(|own| own.name == line.name))
                .map_or_else(|| "-".to_owned(), |own| number::unity_of(oxide, own.moles));
            let mut row = vec![line.name.to_owned(), unity];
            if banded {
                let band = analysis.unity_bands.get(oxide);
                row.push(if band > 0.0 {
                    format!("+/- {}", number::band(band))
                } else {
                    String::new()
                });
            }
            row.extend(if line.name == oxide.formula() || self.iron == IronCount::FEO {
                [number::percent(moles.get(oxide)), number::percent(grams.get(oxide))]
            } else {
                [String::new(), String::new()]
            });
            table.row(row);
        }
        text.push_str(&table.text());
        text.push('\n');
        if let Some(steps) = &self.steps {
            text.push_str(&by_hand::unity(steps));
            text.push('\n');
        }
        for expansion in self.expansions.iter().take(1) {
            text.push_str(&told(expansion));
        }
        if banded {
            text.push_str(&paragraph(
                "The 90 % column comes from the tolerances on the materials' sheets alone, for this recipe as it stands.",
                0,
            ));
        }
        if let Some(said) = self.iron_left_open() {
            text.push_str(&paragraph(&say(&said), 0));
        }
        text.push_str(&assumed(&self.assumptions().iter().map(say).collect::<Vec<_>>()));
        text
    }
}

fn headline(answer: &Answer) -> String {
    let analysis = &answer.analysis;
    let mut facts = Vec::new();
    if let Some(ratio) = analysis.silica_to_alumina {
        facts.push(format!("SiO2:Al2O3 is {ratio:.1}"));
    }
    if let Some(share) = analysis.alkali_share {
        facts.push(format!("alkalis are {} of the fluxes", number::unity(share)));
    }
    facts.push(format!("{:.1} % is lost in firing", analysis.loss_on_ignition_percent));
    let out = if answer.additions == Additions::Out {
        " without its additions"
    } else {
        ""
    };
    paragraph(&format!("{}{out}: {}.", answer.glaze, facts.join(", ")), 0)
}

fn told(expansion: &Expansion) -> String {
    let mut sentence = format!(
        "Expansion {:.1} +/- {:.1} x 1e-6/K at {:.0}-{:.0} C ({}), for a glass of exactly this composition; your fired glaze may differ by 1.0 to 1.4.",
        expansion.value_per_million_per_kelvin,
        expansion.plus_minus_90,
        expansion.range_celsius.0,
        expansion.range_celsius.1,
        expansion.model
    );
    if !expansion.inside_domain {
        sentence.push_str(&format!(
            " Outside what the model has seen: {}.",
            outside_in_a_line(&expansion.reasons)
        ));
    }
    paragraph(&sentence, 0)
}
