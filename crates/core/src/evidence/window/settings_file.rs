//! `fit:` in studio.yaml: a studio's own priors and assumptions.

use glost_chemistry::diagnostic::{Diagnostic, Source, of_typed, under};
use glost_chemistry::quantity::parse_number;
use glost_chemistry::read::{Fields, Node, NumberRange, Text, entries};

use super::ageing::Ageing;
use super::said::Departure;
use super::settings::{Belief, WindowSettings};

const KEYS: [&str; 23] = [
    "craze_threshold",
    "below_clay",
    "shiver_below_craze",
    "computed_glaze",
    "widen_outside_model",
    "printed_powder",
    "unknown_powder",
    "between_pieces",
    "dense_up_to",
    "earthenware",
    "stoneware",
    "porcelain",
    "recommended_below",
    "between_batches",
    "between_lots",
    "falls_dense",
    "falls_porous",
    "fallen_by",
    "held_below",
    "held_below_tableware",
    "held_below_outdoor",
    "expect_above",
    "tested",
];

/// Expansions that a prior may name, 1e-6/K.
const EXPANSION: NumberRange = NumberRange { least: 0.0, most: 20.0 };
/// Standard deviations that the grids can work with, 1e-6/K.
const SD: NumberRange = NumberRange { least: 0.05, most: 4.0 };
const CHANCE: NumberRange = NumberRange {
    least: 0.001,
    most: 0.999,
};

/// Reads the map under `fit:`; what isn't in it stays as usual.
///
/// # Errors
/// The first thing in it that can't be used, with its place.
pub(crate) fn read_window_settings(source: &Source, node: &Node) -> Result<WindowSettings, Diagnostic> {
    let reader = Reader {
        source,
        fields: Fields::new(source, node, "`fit`", &KEYS)?,
    };
    let mut settings = WindowSettings::default();
    let mut said = Vec::new();
    reader.belief("craze_threshold", &mut settings.craze_threshold, &mut said)?;
    reader.belief("below_clay", &mut settings.below_clay, &mut said)?;
    reader.belief("shiver_below_craze", &mut settings.floor_below_threshold, &mut said)?;
    reader.belief("unknown_powder", &mut settings.unknown, &mut said)?;
    reader.belief("earthenware", &mut settings.earthenware, &mut said)?;
    reader.belief("stoneware", &mut settings.stoneware, &mut said)?;
    reader.belief("porcelain", &mut settings.porcelain, &mut said)?;
    reader.belief("recommended_below", &mut settings.recommended_below, &mut said)?;
    reader.belief("falls_dense", &mut settings.falls_on_dense, &mut said)?;
    reader.belief("falls_porous", &mut settings.falls_on_porous, &mut said)?;
    reader.number("between_batches", SD, &mut settings.between_batches, &mut said)?;
    reader.number("between_lots", SD, &mut settings.between_lots, &mut said)?;
    reader.number("computed_glaze", SD, &mut settings.computed_sd, &mut said)?;
    reader.number("printed_powder", SD, &mut settings.printed_sd, &mut said)?;
    reader.number("between_pieces", SD, &mut settings.between_pieces, &mut said)?;
    reader.number(
        "dense_up_to",
        NumberRange { least: 0.0, most: 30.0 },
        &mut settings.dense_up_to_percent,
        &mut said,
    )?;
    reader.number("held_below", CHANCE, &mut settings.held_below, &mut said)?;
    reader.number(
        "held_below_tableware",
        CHANCE,
        &mut settings.held_below_tableware,
        &mut said,
    )?;
    reader.number(
        "held_below_outdoor",
        CHANCE,
        &mut settings.held_below_outdoor,
        &mut said,
    )?;
    reader.number("expect_above", CHANCE, &mut settings.expect_above, &mut said)?;
    reader.ageing("fallen_by", &mut settings.ageing, &mut said)?;
    reader.tested(&mut settings, &mut said)?;
    settings.widen_outside_model = reader.fields.yes("widen_outside_model")?;
    if settings.widen_outside_model {
        said.push(Departure::Set("widen_outside_model"));
    }
    if settings.held_below > settings.expect_above {
        let error = Diagnostic::error("out-of-range", "`held_below` lies above `expect_above`");
        let key = ["held_below", "expect_above"]
            .into_iter()
            .find_map(|key| Some((key, reader.fields.key_mark(key)?)));
        let error = match key {
            Some((key, mark)) => error.at(source, mark, key.len()),
            None => error,
        };
        return Err(error.help("usual are 0.1 and 0.5: below the first a glaze held, above the second it will fail"));
    }
    settings.departures = said;
    Ok(settings)
}

struct Reader<'a> {
    source: &'a Source,
    fields: Fields<'a>,
}

impl Reader<'_> {
    fn belief(&self, key: &str, belief: &mut Belief, said: &mut Vec<Departure>) -> Result<(), Diagnostic> {
        let Some(text) = self.fields.text(key)? else {
            return Ok(());
        };
        let wrong = |message: String| {
            Diagnostic::error("not-a-quantity", under(key, message))
                .at(self.source, text.mark, text.text.chars().count())
                .help(format!(
                    "write the value and one standard deviation in 1e-6/K: {key}: {} +/- {}",
                    belief.mean, belief.sd
                ))
        };
        let bare = text
            .text
            .trim()
            .trim_end_matches("x 1e-6/K")
            .trim_end_matches("1e-6/K")
            .trim();
        let Some((mean, sd)) = ["+/-", "±", "+-"].iter().find_map(|sign| bare.split_once(sign)) else {
            return Err(wrong(of_typed(&text.text, "has no +/-")));
        };
        let number = |part: &str, range: NumberRange, what: &str| {
            let value = parse_number(part).map_err(|bad| wrong(bad.message))?.value;
            if (range.least..=range.most).contains(&value) {
                return Ok(value);
            }
            Err(wrong(format!(
                "{what} should lie between {} and {}",
                range.least, range.most
            )))
        };
        let own = Belief::new(number(mean, EXPANSION, "the value")?, number(sd, SD, "the deviation")?);
        said.push(Departure::Belief {
            key: key.to_owned(),
            own,
            usual: *belief,
        });
        *belief = own;
        Ok(())
    }

    fn number(
        &self,
        key: &str,
        range: NumberRange,
        value: &mut f64,
        said: &mut Vec<Departure>,
    ) -> Result<(), Diagnostic> {
        if let Some(own) = self.fields.number(key, range)? {
            said.push(Departure::Number {
                key: key.to_owned(),
                own: own.value,
                usual: *value,
            });
            *value = own.value;
        }
        Ok(())
    }

    fn ageing(&self, key: &'static str, ageing: &mut Ageing, said: &mut Vec<Departure>) -> Result<(), Diagnostic> {
        let Some(node) = self.fields.get(key) else {
            return Ok(());
        };
        let mut points = Vec::new();
        for (days, share) in entries(self.source, node, key)? {
            let day = parse_number(&days.text).map_err(|bad| {
                Diagnostic::error("not-a-number", under(key, bad.message))
                    .at(self.source, days.mark, days.text.chars().count())
                    .help("name each age in days: { 0: 0, 30: 0.4, 1095: 1 }")
            })?;
            let share = glost_chemistry::read::number_of(
                self.source,
                share,
                &days.text,
                NumberRange { least: 0.0, most: 1.0 },
            )?;
            points.push((day.value, share.value));
        }
        let Some(own) = Ageing::new(points) else {
            return Err(Diagnostic::error(
                "bad-ageing",
                of_typed(key, "should start at day 0 and rise to 1"),
            )
            .at(self.source, node.mark, node.width())
            .help("such as { 0: 0, 30: 0.38, 365: 0.8, 1095: 1 }: the share of its fall that the craze line has behind it by then"));
        };
        said.push(Departure::Set(key));
        *ageing = own;
        Ok(())
    }

    /// `tested: 5 pieces for 180 days`.
    fn tested(&self, settings: &mut WindowSettings, said: &mut Vec<Departure>) -> Result<(), Diagnostic> {
        let Some(text) = self.fields.text("tested")? else {
            return Ok(());
        };
        let Some((pieces, days)) = pieces_and_days(&text) else {
            return Err(
                Diagnostic::error("not-a-quantity", format!("`tested`: `{}` isn't understood", text.text))
                    .at(self.source, text.mark, text.text.chars().count())
                    .help("say how many pieces, and for how long they must have held: tested: 5 pieces for 180 days"),
            );
        };
        said.push(Departure::Tested {
            own: (pieces, days),
            usual: (settings.tested_pieces, settings.tested_days),
        });
        settings.tested_pieces = pieces;
        settings.tested_days = days;
        Ok(())
    }
}

fn pieces_and_days(text: &Text) -> Option<(u32, f64)> {
    let (pieces, days) = text.text.split_once(" for ")?;
    let pieces: u32 = pieces.trim().trim_end_matches("pieces").trim().parse().ok()?;
    let days: u32 = days.trim().trim_end_matches("days").trim().parse().ok()?;
    (pieces > 0).then_some((pieces, f64::from(days)))
}
