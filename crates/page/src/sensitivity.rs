//! `glost sensitivity`.

use glost_chemistry::oxides::Oxide;
use glost_core::recipes::sensitivity::{Doubt, Effect, Place, Sensitivity};
use serde_json::{Value, json};

use crate::amounts;
use crate::layout::{Align, Style, Table, assumed, paragraph};
use crate::melt_words::names;
use crate::number;

/// So many oxides fit beside the names in 80 columns.
const MOST_OXIDES: usize = 7;
/// A change of unity that would be shown as 0.
const SHOWN_AS_NOTHING: f64 = 0.0005;
/// The longest name in a table.
const NAME_WIDTH: usize = 22;

/// What a step of each material does.
#[derive(Debug, Clone, Copy)]
pub struct SensitivityPage<'a> {
    /// The glaze's name.
    pub glaze: &'a str,
    /// The steps.
    pub sensitivity: &'a Sensitivity,
    /// What the inputs leave in doubt.
    pub doubts: &'a [Doubt],
    /// The batch of the doubts, g of base.
    pub dry_grams: f64,
    /// The step of the scales, g.
    pub step_grams: f64,
    /// Sentences that go with the glaze.
    pub assumptions: &'a [String],
}

impl SensitivityPage<'_> {
    /// As JSON; changes are new less old.
    pub fn json(&self) -> Value {
        let before = &self.sensitivity.before;
        json!({
            "glaze": self.glaze,
            "step": self.sensitivity.step,
            "before": {
                "unity": before.unity.as_ref().map(amounts::moles),
                "silica_to_alumina": before.silica_to_alumina,
                "loss_on_ignition": before.loss_on_ignition_percent,
                "expansion": self.sensitivity.before_expansion.as_ref().map(|expansion| json!({
                    "model": expansion.model,
                    "value": expansion.value_per_million_per_kelvin,
                    "plus_minus": expansion.plus_minus_90,
                    "inside_domain": expansion.inside_domain,
                    "reasons": expansion.reasons,
                })),
            },
            "effects": self.sensitivity.effects.iter().map(effect_json).collect::<Vec<_>>(),
            "doubts": {
                "dry_grams": self.dry_grams,
                "scales_step_grams": self.step_grams,
                "by_material": self.doubts.iter().map(doubt_json).collect::<Vec<_>>(),
            },
            "assumptions": self.said(),
        })
    }

    fn said(&self) -> Vec<String> {
        let mut said = self.assumptions.to_vec();
        if self.sensitivity.before.unity.is_none() {
            said.push("no flux in this glaze: its unity formula is undefined, so no change of it is shown".to_owned());
        }
        said
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push_str("\n\n");
        text.push_str(&self.main_table());
        text.push('\n');
        text.push_str(&self.unity_table());
        text.push_str(&self.doubts_words());
        text.push_str(&paragraph(&self.reading(), 0));
        text.push_str(&assumed(&self.said()));
        text
    }

    fn headline(&self) -> String {
        let step = self.sensitivity.step;
        let (way, parts) = (if step < 0.0 { "less" } else { "more" }, number::plain(step.abs()));
        let noun = if step.abs() == 1.0 { "part" } else { "parts" };
        let ratio = self.sensitivity.before.silica_to_alumina;
        let ratio = ratio.map_or_else(String::new, |ratio| format!(" SiO2:Al2O3 is {ratio:.1} now."));
        format!(
            "{}: what {parts} {noun} {way} of each material does, on 100 of base.{ratio}",
            self.glaze
        )
    }

    fn main_table(&self) -> String {
        let mut table = Table::new(&[
            Align::Left,
            Align::Right,
            Align::Right,
            Align::Right,
            Align::Left,
            Align::Right,
            Align::Right,
        ]);
        table.row(["", "now", "SiO2:Al2O3", "expansion", "90 %", "melt C", "loss %"]);
        for effect in &self.sensitivity.effects {
            let shown = |change: Option<f64>, decimals: usize| {
                change.map_or_else(|| "-".to_owned(), |change| signed(change, decimals))
            };
            let now = match effect.place {
                Place::NewInBase | Place::NewOnTop => "new".to_owned(),
                Place::Base => number::parts(effect.percent),
                Place::Addition => format!("+{}", number::parts(effect.percent)),
            };
            let expansion = effect.expansion.as_ref();
            let (change, band) = match expansion {
                Some(found) => (
                    signed(found.value_per_million_per_kelvin, 2),
                    format!("+/- {:.2}", found.plus_minus_90),
                ),
                None => ("-".to_owned(), String::new()),
            };
            table.row([
                name_of(effect),
                now,
                shown(effect.ratio_change, 2),
                change,
                band,
                shown(effect.melt_shift.as_ref().map(|shift| shift.celsius), 0),
                shown(effect.loss_change, 2),
            ]);
        }
        let mut text = table.text();
        if self.sensitivity.effects.iter().any(|effect| effect.after.is_none()) {
            text.push_str("- there is less of it than the step would take away\n");
        }
        text
    }

    /// Why the bands are wide, where they are.
    fn outside(&self) -> String {
        let expansion = self.sensitivity.before_expansion.as_ref();
        let Some(outside) = expansion.filter(|expansion| !expansion.inside_domain) else {
            return String::new();
        };
        let reasons: Vec<&str> = outside
            .reasons
            .iter()
            .map(|reason| reason.trim_end_matches('.'))
            .collect();
        format!(
            " This glaze lies outside what the model has seen, so its bands are wide: {}.",
            reasons.join("; ")
        )
    }

    /// The oxides that move, as many as fit.
    fn unity_table(&self) -> String {
        let mut oxides: Vec<(Oxide, f64)> = Vec::new();
        for effect in &self.sensitivity.effects {
            for (oxide, change) in effect.unity_change.iter().flatten() {
                match oxides.iter_mut().find(|(known, _)| known == oxide) {
                    Some((_, most)) => *most = most.max(change.abs()),
                    None => oxides.push((*oxide, change.abs())),
                }
            }
        }
        if oxides.is_empty() {
            return String::new();
        }
        let all = oxides.len();
        oxides.retain(|(_, most)| *most >= SHOWN_AS_NOTHING);
        let mut largest = oxides.clone();
        largest.sort_by(|a, b| b.1.total_cmp(&a.1));
        let least = largest.get(MOST_OXIDES - 1).map_or(0.0, |(_, most)| *most);
        let mut shown: Vec<Oxide> = oxides
            .iter()
            .filter(|(_, most)| *most >= least)
            .map(|(oxide, _)| *oxide)
            .collect();
        shown.truncate(MOST_OXIDES);
        let mut align = vec![Align::Left];
        align.extend(shown.iter().map(|_| Align::Right));
        let mut table = Table::new(&align);
        let mut head = vec!["unity formula".to_owned()];
        head.extend(shown.iter().map(Oxide::to_string));
        table.row(head);
        let mut now = vec!["now".to_owned()];
        let unity = self.sensitivity.before.unity.as_ref();
        now.extend(
            shown
                .iter()
                .map(|oxide| number::unity(unity.map_or(0.0, |unity| unity.get(*oxide)))),
        );
        table.row(now);
        for effect in &self.sensitivity.effects {
            let Some(changes) = &effect.unity_change else {
                continue;
            };
            let change = |oxide: &Oxide| {
                changes
                    .iter()
                    .find(|(known, _)| known == oxide)
                    .map_or(0.0, |(_, change)| *change)
            };
            let mut row = vec![name_of(effect)];
            row.extend(shown.iter().map(|oxide| signed(change(oxide), 3)));
            table.row(row);
        }
        let mut text = table.text();
        if all > shown.len() {
            text.push_str("(the oxides that move most; all of them with --format json)\n");
        }
        text.push('\n');
        text
    }

    /// Which of scales and sheets leaves most in doubt.
    fn doubts_words(&self) -> String {
        let mut said = Vec::new();
        let by_scales = self
            .doubts
            .iter()
            .max_by(|a, b| a.scales_expansion.total_cmp(&b.scales_expansion));
        if let Some(most) = by_scales {
            said.push(format!(
                "half a step of the scales ({} g) in a batch of {} g moves the expansion by {} at most ({}) and SiO2:Al2O3 by {}",
                number::plain(0.5 * self.step_grams),
                number::plain(self.dry_grams),
                small(most.scales_expansion),
                most.material,
                small(self.doubts.iter().map(|doubt| doubt.scales_ratio).fold(0.0, f64::max))
            ));
        }
        let sheets = self
            .doubts
            .iter()
            .filter_map(|doubt| Some((doubt, doubt.sheet_expansion?)));
        match sheets.max_by(|a, b| a.1.total_cmp(&b.1)) {
            Some((most, expansion)) => said.push(format!(
                "the sheet's tolerances of {} move them by {} and {} (90 %; most by its {})",
                most.material,
                small(expansion),
                small(most.sheet_ratio.unwrap_or(0.0)),
                most.sheet_line.map_or_else(|| "lines".to_owned(), |oxide| oxide.to_string())
            )),
            None => said.push("no sheet here states a tolerance; a supplier's figures are off by half a per cent or so [common practice, no source]".to_owned()),
        }
        paragraph(&format!("What matters most: {}.", said.join("; ")), 0)
    }

    fn reading(&self) -> String {
        let any_beyond = self
            .sensitivity
            .effects
            .iter()
            .filter_map(|effect| effect.expansion.as_ref())
            .any(|change| change.is_beyond_band());
        let expansion = if any_beyond {
            "Expansion in 1e-6/K (Glost 54); only a change beyond its 90 % has a sure direction."
        } else {
            "Expansion in 1e-6/K (Glost 54): every change lies within its own 90 %, so no direction is sure; larger steps on tiles tell more."
        };
        format!(
            "{expansion} Melt: where it has 1000 Pa.s{}, a rough guide; the error of a change is not measured. Additions count on top of base.{}",
            left_out_words(&self.sensitivity.effects),
            self.outside()
        )
    }
}

fn left_out_words(effects: &[Effect]) -> String {
    let shifts = || effects.iter().filter_map(|effect| effect.melt_shift.as_ref());
    match shifts().find(|shift| !shift.left_out.is_empty()) {
        Some(shift) => format!(
            " without its {} (the curve knows too few glasses with as much)",
            names(&shift.left_out)
        ),
        None if shifts().next().is_none() => " (the curve gives no number here)".to_owned(),
        None => String::new(),
    }
}

fn name_of(effect: &Effect) -> String {
    let name = &effect.material.name;
    if name.chars().count() > NAME_WIDTH {
        return name.chars().take(NAME_WIDTH - 1).chain(['…']).collect();
    }
    name.clone()
}

/// With its sign; what rounds to nothing is 0.
fn signed(change: f64, decimals: usize) -> String {
    let text = format!("{change:+.decimals$}");
    if text.chars().all(|sign| !sign.is_ascii_digit() || sign == '0') {
        "0".to_owned()
    } else {
        text
    }
}

/// A small amount with one or two figures.
fn small(amount: f64) -> String {
    if amount >= 0.095 {
        format!("{amount:.2}")
    } else if amount >= 0.0095 {
        format!("{amount:.3}")
    } else if amount >= 0.0005 {
        format!("{amount:.4}")
    } else {
        "less than 0.0005".to_owned()
    }
}

fn effect_json(effect: &Effect) -> Value {
    json!({
        "material": effect.material.name,
        "place": match effect.place {
            Place::Base => "base",
            Place::Addition => "addition",
            Place::NewInBase => "new in base",
            Place::NewOnTop => "new on top",
        },
        "percent": effect.percent,
        "possible": effect.after.is_some(),
        "unity_change": effect.unity_change.as_ref().map(|changes| amounts::pairs(changes)),
        "silica_to_alumina_change": effect.ratio_change,
        "expansion_change": effect.expansion.as_ref().map(|change| json!({
            "model": change.model,
            "value": change.value_per_million_per_kelvin,
            "plus_minus": change.plus_minus_90,
            "sure_of_direction": change.is_beyond_band(),
        })),
        "melt_1000_pa_s_change_c": effect.melt_shift.as_ref().map(|shift| shift.celsius),
        "loss_on_ignition_change": effect.loss_change,
    })
}

fn doubt_json(doubt: &Doubt) -> Value {
    json!({
        "material": doubt.material,
        "scales": {"expansion": doubt.scales_expansion, "silica_to_alumina": doubt.scales_ratio},
        "sheet": doubt.sheet_expansion.map(|expansion| json!({
            "expansion": expansion,
            "silica_to_alumina": doubt.sheet_ratio,
            "line": doubt.sheet_line.map(|oxide| oxide.to_string()),
        })),
    })
}
