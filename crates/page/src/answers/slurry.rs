//! `glost slurry`.

use glost_chemistry::quantity::GramsPerMillilitre;
use glost_core::intake::start::near_cups;
use glost_core::workshop::scales::to_step;
use glost_core::workshop::slurry::{Amount, Thickness, ToItsOwn};
use glost_desk::slurry::Answer;

use super::by_hand;
use super::mending::{bin_text, mending_text, suspect_text, verdict};
use super::weigh::{off, way_out_text};
use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;
use crate::words::ticket::volume;
use crate::words::{say, say_all};
use crate::{Csv, Shown};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "")
    }

    fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&headline(self), 0).trim_end());
        text.push_str("\n\n");
        match &self.steps {
            Some(steps) => text.push_str(&format!("{}\n", by_hand::lines(steps, ""))),
            None => text.push_str(&working(self)),
        }
        text.push_str(&band(self));
        if !self.sums.doses.is_empty() {
            text.push('\n');
            text.push_str(&doses(self));
        }
        text.push_str(&water(self));
        if let Some(mending) = &self.mending {
            text.push_str(&mending_text(mending, self.suspect.is_some(), self.step, self.full));
            text.push_str(&self.suspect.as_ref().map_or_else(String::new, suspect_text));
            text.push_str(&bin_text(&mending.costs));
        }
        for caution in &self.cautions {
            text.push_str(&indented("Caution: ", &format!("{}.", say(caution))));
        }
        text.push_str(&assumed(&say_all(&self.assumptions)));
        if !self.sums.doses.is_empty() && !self.own_powder {
            text.push_str(&indented(
                "New label: ",
                "name with a new version, today's date, the new density, what was added, \"not tested\".",
            ));
        }
        text
    }
}

fn headline(answer: &Answer) -> String {
    match (&answer.mending, answer.own) {
        (Some(mending), _) => format!("{} {}", verdict(mending, answer.suspect.as_ref()), contents(answer)),
        (None, Some(own)) => format!("{} {}", what_to_do(answer, own), contents(answer)),
        (None, None) => contents(answer),
    }
}

/// `Too thick: 1.44, yours is 1.34. Add 1.10 l (about 4 1/2 cups of 250 ml).`
fn what_to_do(answer: &Answer, own: ToItsOwn) -> String {
    let is = answer.sums.survey.density;
    let aim = if answer.by_water {
        format!("by its water about {:.2}", own.own_density)
    } else {
        format!("{:.2}", own.own_density)
    };
    let of_a_litre = if answer.per_litre { " to each litre" } else { "" };
    let cups = |millilitres: f64| {
        let cups = near_cups(millilitres, answer.cup);
        cups.map_or_else(String::new, |cups| {
            format!(" (about {cups} of {} ml)", number::plain(answer.cup.millilitres()))
        })
    };
    match own.state {
        Thickness::Right => format!("As it should be, as near as the jar tells: {is:.2}, yours is {aim}."),
        Thickness::TooThick => {
            let water = own.water_to_add_millilitres;
            format!(
                "Too thick: {is:.2}, yours is {aim}. Add {}{}{of_a_litre}.",
                volume(water),
                cups(water)
            )
        }
        Thickness::TooThin => format!(
            "Too thin: {is:.2}, yours is {aim}. Add {} g of its own powder{of_a_litre}, or let it settle and take {}{} of clear water off.",
            whole(own.powder_to_add_grams),
            volume(own.water_to_remove_millilitres),
            cups(own.water_to_remove_millilitres)
        ),
    }
}

fn contents(answer: &Answer) -> String {
    let survey = &answer.sums.survey;
    let where_it_is = match (answer.per_litre, answer.buckets.len()) {
        (true, _) => "a litre of it".to_owned(),
        (false, 1) => format!("{} of slurry", volume(survey.volume_millilitres)),
        (false, count) => format!("{count} buckets together, {}", volume(survey.volume_millilitres)),
    };
    format!(
        "{} g of dry powder ({} to {}) in {where_it_is} at {:.3} g/ml.",
        whole(survey.dry_grams),
        whole(survey.dry_grams_low),
        whole(survey.dry_grams_high),
        survey.density
    )
}

/// The sum, so that it can be followed by hand.
fn working(answer: &Answer) -> String {
    let powder = answer.powder.value();
    let mut lines = Vec::new();
    for bucket in &answer.buckets {
        let (grams, millilitres) = (bucket.jar.weight.grams(), bucket.jar.volume.millilitres());
        let density = grams / millilitres;
        let slurry = match bucket.amount {
            Amount::Weighed(weight) => weight.grams(),
            Amount::Measured(volume) => volume.millilitres() * density,
        };
        let filled = slurry / density;
        lines.push(format!(
            "jar {} g / {} ml = {density:.3} g/ml; slurry {} g, {} ml; as water {} g, so {} g more: times {powder:.2} / {:.2} = {} g dry, the rest water.",
            number::plain(grams),
            number::plain(millilitres),
            whole(slurry),
            whole(filled),
            whole(filled),
            whole(slurry - filled),
            powder - 1.0,
            whole((slurry - filled) * powder / (powder - 1.0))
        ));
    }
    lines.iter().map(|line| indented("Working: ", line)).collect()
}

/// How sure that is, and the density in other words.
fn band(answer: &Answer) -> String {
    let powder = answer.powder.value();
    let ounces = GramsPerMillilitre::new(answer.sums.survey.density).map(GramsPerMillilitre::ounces_per_imperial_pint);
    indented(
        "Band: ",
        &format!(
            "powder {powder:.2} +/- {} g/ml, jar read to 1 %. {:.1} g per 100 ml; {:.1} oz per imperial pint.",
            number::plain(answer.powder.plus_minus()),
            100.0 * answer.sums.survey.density,
            ounces.unwrap_or(0.0)
        ),
    )
}

fn doses(answer: &Answer) -> String {
    let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Right, Align::Right]);
    table.row(["add", "% of dry", "weigh, g", "between", "wet with, ml"]);
    for dose in &answer.sums.doses {
        let (low, high) = dose.grams_between;
        table.row([
            shortened(&dose.material),
            number::percent(dose.percent),
            if dose.way_out.is_some() {
                "see below".to_owned()
            } else {
                number::grams(to_step(dose.grams, answer.step.grams()), answer.step.grams())
            },
            format!("{} to {}", small(low), small(high)),
            format!("{:.0}", dose.pre_wet_millilitres),
        ]);
    }
    let mut text = table.text();
    text.push('\n');
    for dose in &answer.sums.doses {
        if let Some(way) = &dose.way_out {
            text.push_str(&indented(
                "Can't weigh: ",
                &format!(
                    "{} {} g on {} g scales is {} % off.",
                    dose.material,
                    small(dose.grams),
                    number::plain(answer.step.grams()),
                    off(dose.weighing_error_percent)
                ),
            ));
            text.push_str(&way_out_text(&dose.material, way, answer.step.grams()));
            if let Some(strong) = &way.strong {
                let survey = &answer.sums.survey;
                text.push_str(&indented(
                    "     ",
                    &format!(
                        "{} g of base is {} g of this slurry.",
                        whole(strong.base_grams),
                        whole(strong.base_grams * survey.slurry_grams / survey.dry_grams)
                    ),
                ));
            }
        }
    }
    text
}

fn water(answer: &Answer) -> String {
    let sums = &answer.sums;
    let mut text = String::new();
    let pre_wet: f64 = sums.doses.iter().map(|dose| dose.pre_wet_millilitres).sum();
    if pre_wet > 0.0 {
        let own = pre_wet - sums.new_pre_wet_millilitres;
        text.push_str(&indented(
            "Pre-wet: ",
            &format!(
                "let the bucket settle, take {} of its own clear water off first and wet what goes in with that{}: salts stay and the density holds.",
                volume(own),
                if sums.doses.iter().any(|dose| dose.is_bentonite) { ", the bentonite overnight" } else { "" }
            ),
        ));
        if sums.new_pre_wet_millilitres > 0.0 {
            text.push_str(&indented(
                "         ",
                &format!(
                    "that is all that stands clear; {} has to be new water.",
                    volume(sums.new_pre_wet_millilitres)
                ),
            ));
        }
    }
    match (
        answer.aim.map(GramsPerMillilitre::grams_per_millilitre),
        sums.water_to_add_millilitres,
        sums.water_to_remove_millilitres,
    ) {
        (Some(aim), Some(add), _) if add > 0.0 => text.push_str(&indented(
            "Water: ",
            &format!(
                "add {} to reach {aim:.2} g/ml, most of it first, then weigh a jar again; it makes {}.",
                volume(add),
                volume(sums.new_volume_millilitres)
            ),
        )),
        (Some(aim), _, Some(remove)) if remove > 0.0 => text.push_str(&indented(
            "Water: ",
            &format!(
                "take {} of clear water off to reach {aim:.2} g/ml; it leaves {}.",
                volume(remove),
                volume(sums.new_volume_millilitres)
            ),
        )),
        (Some(aim), _, _) => text.push_str(&indented("Water: ", &format!("none: it is at {aim:.2} g/ml."))),
        (None, _, _) if !sums.doses.is_empty() => text.push_str(&indented(
            "New density: ",
            &format!(
                "{:.3} g/ml, {}.{}",
                sums.new_density,
                volume(sums.new_volume_millilitres),
                sums.density_if_slaked_in_new_water.map_or_else(String::new, |density| {
                    format!(" With the bentonite slaked in new water: {density:.3}; dip longer.")
                })
            ),
        )),
        _ => {}
    }
    text
}

/// Grams of a bucket: whole ones, a decimal below 100.
pub(crate) fn whole(grams: f64) -> String {
    if grams < 99.95 {
        format!("{grams:.1}")
    } else {
        format!("{grams:.0}")
    }
}

/// Small amounts: three figures.
pub(crate) fn small(grams: f64) -> String {
    if grams < 0.995 {
        format!("{grams:.3}")
    } else if grams < 9.95 {
        format!("{grams:.2}")
    } else {
        whole(grams)
    }
}

/// A percentage with two decimals where it is small.
pub(crate) fn figures(percent: f64) -> String {
    if percent < 10.0 {
        format!("{percent:.2}")
    } else {
        format!("{percent:.1}")
    }
}

fn shortened(name: &str) -> String {
    if name.chars().count() > 30 {
        name.chars().take(29).chain(['…']).collect()
    } else {
        name.to_owned()
    }
}
