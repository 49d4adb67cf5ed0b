//! A mis-dosed bucket, in the words of `glost slurry`.

use glost_core::workshop::scales::to_step;
use glost_core::workshop::slurry::{Held, Rescue};
use serde_json::{Value, json};

use crate::layout::indented;
use crate::number;
use crate::slurry::{figures, small, whole};
use crate::weigh::volume;

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

    pub(crate) fn json(&self, full_millilitres: Option<f64>) -> Value {
        let rescued = &self.rescued;
        let others = self
            .others
            .iter()
            .map(|(material, grams)| json!({"material": material, "grams": grams}));
        json!({
            "material": self.material,
            "grams": self.held.grams,
            "percent": self.share(rescued.percent),
            "wanted_percent": self.share(self.held.wanted_percent),
            "add_grams": rescued.add_grams,
            "others_to_add_grams": rescued.others_to_add_grams,
            "others": others.collect::<Vec<_>>(),
            "water_to_add_millilitres": rescued.water_to_add_millilitres,
            "volume_millilitres": rescued.volume_millilitres,
            "fits": full_millilitres.map(|full| rescued.volume_millilitres <= full),
        })
    }

    /// What a mis-dosed bucket is, and whether it can be brought back.
    pub(crate) fn verdict(&self, full_millilitres: Option<f64>) -> String {
        let rescued = &self.rescued;
        let fits = full_millilitres.is_none_or(|full| rescued.volume_millilitres <= full);
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
            self.material,
            figures(self.share(rescued.percent)),
            figures(self.share(self.held.wanted_percent))
        )
    }

    pub(crate) fn text(&self, step_grams: f64, full_millilitres: Option<f64>) -> String {
        let rescued = &self.rescued;
        let mut text = indented(
            "Now: ",
            &format!(
                "{} g of {} on {} g of the rest: {} % instead of {} %.",
                small(self.held.grams),
                self.material,
                whole(rescued.other_grams),
                figures(self.share(rescued.percent)),
                figures(self.share(self.held.wanted_percent))
            ),
        );
        if rescued.others_to_add_grams > 0.0 {
            text.push_str(&self.bring_back(step_grams, full_millilitres));
        } else if rescued.add_grams > 0.0 {
            text.push_str(&indented(
                "Bring back: ",
                &format!("add {} g of {}, wetted first.", small(rescued.add_grams), self.material),
            ));
        }
        text.push_str(&indented(
            "Test: ",
            "a tile from this bucket before anything is added, and one after.",
        ));
        text
    }

    fn bring_back(&self, step_grams: f64, full_millilitres: Option<f64>) -> String {
        let rescued = &self.rescued;
        let each: Vec<String> = self
            .others
            .iter()
            .map(|(material, grams)| {
                format!(
                    "{material} {} g",
                    number::grams(to_step(*grams, step_grams), step_grams)
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
                self.material,
                volume(rescued.water_to_add_millilitres),
                volume(rescued.volume_millilitres)
            ),
        );
        if let Some(full) = full_millilitres.filter(|full| rescued.volume_millilitres > *full) {
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
