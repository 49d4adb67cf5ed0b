//! `glost slurry`.

use glost_core::quantity::{GramsPerMillilitre, PowderDensity};
use glost_core::slurry::{Amount, Bucket, DoseSum, Held, Rescue, Sums};
use glost_core::weigh::to_step;
use serde_json::{Value, json};

use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;
use crate::weigh::{off, volume, way_out_json, way_out_text};

/// A material that went wrong and what brings it back.
#[derive(Debug, Clone)]
pub struct RescuePage {
    /// The material.
    pub material: String,
    /// Whether the recipe counts it in the base: shares are then of the base, not on it.
    pub in_base: bool,
    /// What was told.
    pub held: Held,
    /// What follows.
    pub rescued: Rescue,
    /// What to add of everything else, where the recipe is known: names and grams.
    pub others: Vec<(String, f64)>,
}

impl RescuePage {
    /// A percentage on everything else as the recipe counts it.
    fn share(&self, percent: f64) -> f64 {
        if self.in_base {
            100.0 * percent / (100.0 + percent)
        } else {
            percent
        }
    }
}

/// A bucket's answer.
#[derive(Debug, Clone)]
pub struct SlurryPage<'a> {
    /// The glaze, where one was named.
    pub glaze: Option<&'a str>,
    /// The sums.
    pub sums: &'a Sums,
    /// What was measured.
    pub buckets: &'a [Bucket],
    /// The powder's density.
    pub powder: PowderDensity,
    /// The density to reach, g/ml.
    pub aim: Option<f64>,
    /// Neither weight nor volume was told: a litre.
    pub per_litre: bool,
    /// The step of the scales in grams.
    pub step_grams: f64,
    /// What the bucket holds, where told.
    pub full_millilitres: Option<f64>,
    /// A mis-dosed material.
    pub rescue: Option<RescuePage>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// Sentences that go with the numbers.
    pub assumptions: Vec<String>,
}

impl SlurryPage<'_> {
    /// The contract's JSON.
    pub fn json(&self) -> Value {
        let (sums, survey) = (self.sums, &self.sums.survey);
        json!({
            "glaze": self.glaze,
            "density": survey.density,
            "slurry_grams": survey.slurry_grams,
            "volume_millilitres": survey.volume_millilitres,
            "dry_grams": survey.dry_grams,
            "dry_grams_low": survey.dry_grams_low,
            "dry_grams_high": survey.dry_grams_high,
            "water_millilitres": survey.water_grams(),
            "powder_density": self.powder.value(),
            "powder_density_plus_minus": self.powder.plus_minus(),
            "per_litre": self.per_litre,
            "add": sums.doses.iter().map(|dose| self.dose_json(dose)).collect::<Vec<_>>(),
            "water_to_add_millilitres": sums.water_to_add_millilitres,
            "water_to_remove_millilitres": sums.water_to_remove_millilitres,
            "new_density": sums.new_density,
            "new_volume_millilitres": sums.new_volume_millilitres,
            "new_pre_wet_water_millilitres": sums.new_pre_wet_millilitres,
            "density_if_slaked_in_new_water": sums.density_if_slaked_in_new_water,
            "rescue": self.rescue.as_ref().map(|rescue| self.rescue_json(rescue)),
            "cautions": self.cautions,
            "assumptions": self.assumptions,
        })
    }

    fn dose_json(&self, dose: &DoseSum) -> Value {
        json!({
            "material": dose.material,
            "grams": dose.grams,
            "grams_low": dose.grams_between.0,
            "grams_high": dose.grams_between.1,
            "on_the_scales": to_step(dose.grams, self.step_grams),
            "percent": dose.percent,
            "pre_wet_millilitres": dose.pre_wet_millilitres,
            "error_percent": dose.weighing_error_percent,
            "ways_out": dose.way_out.as_ref().map(way_out_json),
        })
    }

    fn rescue_json(&self, rescue: &RescuePage) -> Value {
        let rescued = &rescue.rescued;
        let others = rescue
            .others
            .iter()
            .map(|(material, grams)| json!({"material": material, "grams": grams}));
        json!({
            "material": rescue.material,
            "grams": rescue.held.grams,
            "percent": rescue.share(rescued.percent),
            "wanted_percent": rescue.share(rescue.held.wanted_percent),
            "add_grams": rescued.add_grams,
            "others_to_add_grams": rescued.others_to_add_grams,
            "others": others.collect::<Vec<_>>(),
            "water_to_add_millilitres": rescued.water_to_add_millilitres,
            "volume_millilitres": rescued.volume_millilitres,
            "fits": self.full_millilitres.map(|full| rescued.volume_millilitres <= full),
        })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push_str("\n\n");
        text.push_str(&self.working());
        if !self.sums.doses.is_empty() {
            text.push('\n');
            text.push_str(&self.doses());
        }
        text.push_str(&self.water());
        text.push_str(&self.rescue());
        for caution in &self.cautions {
            text.push_str(&indented("Caution: ", &format!("{caution}.")));
        }
        text.push_str(&assumed(&self.assumptions));
        if !self.sums.doses.is_empty() {
            text.push_str(&indented(
                "New label: ",
                "name with a new version, today's date, the new density, what was added, \"not tested\".",
            ));
        }
        text
    }

    fn headline(&self) -> String {
        match &self.rescue {
            Some(rescue) => format!("{} {}", self.verdict(rescue), self.contents()),
            None => self.contents(),
        }
    }

    /// What a mis-dosed bucket is, and whether it can be brought back.
    fn verdict(&self, page: &RescuePage) -> String {
        let rescued = &page.rescued;
        let fits = self
            .full_millilitres
            .is_none_or(|full| rescued.volume_millilitres <= full);
        let cure = if rescued.others_to_add_grams <= 0.0 {
            format!("{} g more brings it back.", small(rescued.add_grams))
        } else if fits {
            format!(
                "{} g of everything else brings it back.",
                whole(rescued.others_to_add_grams)
            )
        } else {
            "what would bring it back doesn't fit the bucket.".to_owned()
        };
        format!(
            "{} is {} %, not {} %: {cure}",
            page.material,
            figures(page.share(rescued.percent)),
            figures(page.share(page.held.wanted_percent))
        )
    }

    fn contents(&self) -> String {
        let survey = &self.sums.survey;
        let where_it_is = match (self.per_litre, self.buckets.len()) {
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
    fn working(&self) -> String {
        let powder = self.powder.value();
        let mut lines = Vec::new();
        for bucket in self.buckets {
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
        let mut text: String = lines.iter().map(|line| indented("Working: ", line)).collect();
        let ounces =
            GramsPerMillilitre::new(self.sums.survey.density).map(GramsPerMillilitre::ounces_per_imperial_pint);
        text.push_str(&indented(
            "Band: ",
            &format!(
                "powder {powder:.2} +/- {} g/ml, jar read to 1 %. {:.1} g per 100 ml; {:.1} oz per imperial pint.",
                number::plain(self.powder.plus_minus()),
                100.0 * self.sums.survey.density,
                ounces.unwrap_or_default()
            ),
        ));
        text
    }

    fn doses(&self) -> String {
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Right, Align::Right]);
        table.row(["add", "% of dry", "weigh, g", "between", "wet with, ml"]);
        for dose in &self.sums.doses {
            let (low, high) = dose.grams_between;
            table.row([
                shortened(&dose.material),
                number::percent(dose.percent),
                if dose.way_out.is_some() {
                    "see below".to_owned()
                } else {
                    number::grams(to_step(dose.grams, self.step_grams), self.step_grams)
                },
                format!("{} to {}", small(low), small(high)),
                format!("{:.0}", dose.pre_wet_millilitres),
            ]);
        }
        let mut text = table.text();
        text.push('\n');
        for dose in &self.sums.doses {
            if let Some(way) = &dose.way_out {
                text.push_str(&indented(
                    "Can't weigh: ",
                    &format!(
                        "{} {} g on {} g scales is {} % off.",
                        dose.material,
                        small(dose.grams),
                        number::plain(self.step_grams),
                        off(dose.weighing_error_percent)
                    ),
                ));
                text.push_str(&way_out_text(&dose.material, way, self.step_grams));
                if let Some(strong) = &way.strong {
                    let survey = &self.sums.survey;
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

    fn water(&self) -> String {
        let sums = self.sums;
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
            self.aim,
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
                    sums.density_if_slaked_in_new_water
                        .map(|density| format!(" With the bentonite slaked in new water: {density:.3}; dip longer."))
                        .unwrap_or_default()
                ),
            )),
            _ => {}
        }
        text
    }

    fn rescue(&self) -> String {
        let Some(page) = &self.rescue else {
            return String::new();
        };
        let rescued = &page.rescued;
        let mut text = indented(
            "Now: ",
            &format!(
                "{} g of {} on {} g of the rest: {} % instead of {} %.",
                small(page.held.grams),
                page.material,
                whole(rescued.other_grams),
                figures(page.share(rescued.percent)),
                figures(page.share(page.held.wanted_percent))
            ),
        );
        if rescued.others_to_add_grams > 0.0 {
            text.push_str(&self.bring_back(page));
        } else if rescued.add_grams > 0.0 {
            text.push_str(&indented(
                "Bring back: ",
                &format!("add {} g of {}, wetted first.", small(rescued.add_grams), page.material),
            ));
        }
        text.push_str(&indented(
            "Test: ",
            "a tile from this bucket before anything is added, and one after.",
        ));
        text
    }

    fn bring_back(&self, page: &RescuePage) -> String {
        let rescued = &page.rescued;
        let each: Vec<String> = page
            .others
            .iter()
            .map(|(material, grams)| {
                format!(
                    "{material} {} g",
                    number::grams(to_step(*grams, self.step_grams), self.step_grams)
                )
            })
            .collect();
        let each = if each.is_empty() {
            String::new()
        } else {
            format!(" ({})", each.join(", "))
        };
        let mut text = indented(
            "Bring back: ",
            &format!(
                "{} g of dry without {}{each} and {} of water; it makes {}.",
                whole(rescued.others_to_add_grams),
                page.material,
                volume(rescued.water_to_add_millilitres),
                volume(rescued.volume_millilitres)
            ),
        );
        if let Some(full) = self.full_millilitres.filter(|full| rescued.volume_millilitres > *full) {
            text.push_str(&indented(
                "            ",
                &format!("It doesn't fit: the bucket holds {}.", volume(full)),
            ));
        }
        text.push_str(&indented(
            "Or: ",
            "keep it as another glaze under a new name, try it on a tile, or split it into two buckets and bring one back.",
        ));
        text
    }
}

/// Grams of a bucket: whole ones, a decimal below 100.
fn whole(grams: f64) -> String {
    if grams < 99.95 {
        format!("{grams:.1}")
    } else {
        format!("{grams:.0}")
    }
}

/// Small amounts: three figures.
fn small(grams: f64) -> String {
    if grams < 0.995 {
        format!("{grams:.3}")
    } else if grams < 9.95 {
        format!("{grams:.2}")
    } else {
        whole(grams)
    }
}

/// A percentage with two decimals where it is small.
fn figures(percent: f64) -> String {
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
