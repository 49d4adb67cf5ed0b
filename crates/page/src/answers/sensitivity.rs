//! `glost sensitivity`.

use glost_chemistry::oxides::Oxide;
use glost_core::recipes::sensitivity::{Effect, Place};
use glost_desk::sensitivity::Answer;

use crate::layout::{Align, Style, Table, assumed, paragraph};
use crate::melt_words::names;
use crate::number;
use crate::words::chemistry::outside_in_a_line;
use crate::words::say;
use crate::{Csv, Shown};

/// So many oxides fit beside the names in 80 columns.
const MOST_OXIDES: usize = 7;
/// A change of unity that would be shown as 0.
const SHOWN_AS_NOTHING: f64 = 0.0005;
/// The longest name in a table.
const NAME_WIDTH: usize = 22;

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "effects")
    }

    fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&headline(self), 0).trim_end());
        text.push_str("\n\n");
        text.push_str(&main_table(self));
        text.push('\n');
        text.push_str(&unity_table(self));
        text.push_str(&doubts_words(self));
        text.push_str(&paragraph(&reading(self), 0));
        text.push_str(&assumed(&self.assumptions().iter().map(say).collect::<Vec<_>>()));
        text
    }
}

fn headline(answer: &Answer) -> String {
    let step = answer.steps.step;
    let (way, parts) = (if step < 0.0 { "less" } else { "more" }, number::plain(step.abs()));
    let noun = if step.abs() == 1.0 { "part" } else { "parts" };
    let ratio = answer.steps.before.silica_to_alumina;
    let ratio = ratio.map_or_else(String::new, |ratio| format!(" SiO2:Al2O3 is {ratio:.1} now."));
    format!(
        "{}: what {parts} {noun} {way} of each material does, on 100 of base.{ratio}",
        answer.glaze
    )
}

fn main_table(answer: &Answer) -> String {
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
    for effect in &answer.steps.effects {
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
    if answer.steps.effects.iter().any(|effect| effect.after.is_none()) {
        text.push_str("- there is less of it than the step would take away\n");
    }
    text
}

/// Why the bands are wide, where they are.
fn outside(answer: &Answer) -> String {
    let expansion = answer.steps.before_expansion.as_ref();
    let Some(outside) = expansion.filter(|expansion| !expansion.inside_domain) else {
        return String::new();
    };
    format!(
        " This glaze lies outside what the model has seen, so its bands are wide: {}.",
        outside_in_a_line(&outside.reasons)
    )
}

/// The oxides that move, as many as fit.
fn unity_table(answer: &Answer) -> String {
    let mut oxides: Vec<(Oxide, f64)> = Vec::new();
    for effect in &answer.steps.effects {
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
    align.extend(shown.iter().map(|_| Align::Point));
    let mut table = Table::new(&align);
    let mut head = vec!["unity formula".to_owned()];
    head.extend(shown.iter().map(Oxide::to_string));
    table.row(head);
    let mut now = vec!["now".to_owned()];
    let unity = answer.steps.before.unity.as_ref();
    now.extend(
        shown
            .iter()
            .map(|oxide| number::unity_of(*oxide, unity.map_or(0.0, |unity| unity.get(*oxide)))),
    );
    table.row(now);
    for effect in &answer.steps.effects {
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
fn doubts_words(answer: &Answer) -> String {
    let mut said = Vec::new();
    let by_scales = answer
        .doubts
        .iter()
        .max_by(|a, b| a.scales_expansion.total_cmp(&b.scales_expansion));
    if let Some(most) = by_scales {
        said.push(format!(
            "half a step of the scales ({} g) in a batch of {} g moves the expansion by {} at most ({}) and SiO2:Al2O3 by {}",
            number::plain(0.5 * answer.step.grams()),
            number::plain(answer.dry.grams()),
            small(most.scales_expansion),
            most.material,
            small(answer.doubts.iter().map(|doubt| doubt.scales_ratio).fold(0.0, f64::max))
        ));
    }
    let sheets = answer
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

fn reading(answer: &Answer) -> String {
    let any_beyond = answer
        .steps
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
        left_out_words(&answer.steps.effects),
        outside(answer)
    )
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
