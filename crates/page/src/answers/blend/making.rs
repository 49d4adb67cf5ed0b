//! The steps of making a plan's tiles, in working order.

use glost_core::tiles::blend::{EndBatch, SPARE, Way};
use glost_core::workshop::scales::WeighedLine;

use glost_core::workshop::wetting::Assumption;

use super::BlendPage;
use crate::number;
use crate::words::wetting;

impl BlendPage<'_> {
    /// What to do, one sentence or two a step.
    pub(super) fn steps(&self) -> Vec<String> {
        match self.plan.way {
            Way::Dry => self.dry_steps(),
            Way::Ends | Way::Split => self.wet_steps(),
        }
    }

    fn grams(&self, grams: f64) -> String {
        number::grams(grams, self.step_grams)
    }

    fn lines(&self, lines: &[WeighedLine]) -> String {
        let each: Vec<String> = lines
            .iter()
            .map(|line| format!("{} {} g", line.material, number::weighed(line, self.step_grams)))
            .collect();
        each.join(", ")
    }

    fn dry_steps(&self) -> Vec<String> {
        let mut steps = vec![self.codes_first()];
        for premix in &self.plan.premixes {
            steps.push(format!(
                "Pre-mix of {:.0} % {}: grind {} g of it with {} g of {}. Each tile that has too little of it alone takes its pre-mix instead, and so much less {}.",
                premix.percent,
                premix.material,
                self.grams(premix.little_grams),
                self.grams(premix.carrier_grams),
                premix.carrier,
                premix.carrier
            ));
        }
        steps.push(
            "Weigh tile by tile in the order of the list; tick each powder as it goes in; powder into water, never water onto powder."
                .to_owned(),
        );
        steps.push("Sieve each, rinse sieve and cup between tiles, palest first.".to_owned());
        steps
    }

    fn codes_first(&self) -> String {
        "Scratch the code into the back of each tile before anything is glazed.".to_owned()
    }

    fn wet_steps(&self) -> Vec<String> {
        let plan = self.plan;
        let mut steps = vec![self.codes_first()];
        let mut in_a_base = Vec::new();
        for batch in &plan.base_batches {
            in_a_base.extend(&batch.ends);
            let shares: Vec<String> = batch
                .ends
                .iter()
                .zip(&batch.split_grams)
                .map(|(end, grams)| format!("{} g for end {}", self.grams(*grams), end + 1))
                .collect();
            steps.push(format!(
                "One batch of base, {} g dry: {}. Powder into {:.0} ml of water, sieve it.",
                self.grams(batch.dry_grams),
                self.lines(&batch.grams),
                batch.water_millilitres
            ));
            steps.push(format!(
                "Weigh that slurry (about {} g) and split it by weight: {}. More or less slurry than that: split it in the same proportion.",
                self.grams(batch.slurry_grams),
                shares.join(", ")
            ));
        }
        for (index, batch) in plan.end_batches.iter().enumerate() {
            let split = in_a_base.contains(&index);
            let lines = if split { &batch.additions } else { &batch.grams };
            let words = self.lines(lines);
            match (split, lines.is_empty()) {
                (true, true) => {}
                (true, false) => steps.push(format!(
                    "Into end {} ({}): {words}. Wet it first, stir, sieve.",
                    index + 1,
                    batch.glaze
                )),
                (false, _) => steps.push(format!(
                    "End {} ({}): {words}. Powder into water, sieve.",
                    index + 1,
                    batch.glaze
                )),
            }
        }
        steps.push(self.to_the_mark(&plan.end_batches));
        steps.push(self.draw_step());
        steps
    }

    fn to_the_mark(&self, batches: &[EndBatch]) -> String {
        let each: Vec<String> = batches
            .iter()
            .enumerate()
            .filter_map(|(index, batch)| {
                let volume = batch.millilitres?;
                let density = batch.density.map(|density| format!(" (about {density:.2} g/ml)"));
                // Up to the next millilitre: a hair of water more, the same in every end.
                let volume = (volume - 1e-6).ceil();
                Some(format!(
                    "end {} to {volume:.0} ml{}",
                    index + 1,
                    density.unwrap_or_default()
                ))
            })
            .collect();
        format!(
            "Bring each end up to its volume with water: {}. The volume decides, whatever the density then is; {:.0} % of it is to spare.",
            each.join(", "),
            100.0 * (SPARE - 1.0)
        )
    }

    fn draw_step(&self) -> String {
        let plan = self.plan;
        let order: Vec<String> = plan.draw_order.iter().map(|end| (end + 1).to_string()).collect();
        let mark = number::plain(plan.syringe.mark_millilitres);
        format!(
            "With a syringe of {} ml with marks of {mark} ml: all tiles of one end, then the next, in the order {}. Stir before every draw, rinse the syringe between ends, shake each cup well.",
            number::plain(plan.syringe.holds_millilitres),
            order.join(", ")
        )
    }

    /// Which of the two conventions holds, and what the other would change.
    pub(super) fn convention(&self) -> Vec<String> {
        let mut said = vec![
            "Equal dry base in equal volume, additions on top: so a tile's additions are exactly its shares of the ends'."
                .to_owned(),
        ];
        let changes = self.plan.tiles.iter().zip(self.equal_totals).flat_map(|(tile, other)| {
            let own = &tile.glaze.additions;
            let change = own
                .iter()
                .filter_map(|portion| {
                    let there = other.iter().find(|known| known.0 == portion.material.name)?;
                    Some((there.1 - portion.percent).abs())
                })
                .fold(0.0, f64::max);
            let held = own.iter().filter(|portion| portion.percent > 0.0).count();
            (change > 0.005).then_some((held, change, tile, other))
        });
        // The tile with the most additions in it shows it best.
        if let Some((_, _, tile, other)) = changes.max_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))) {
            let each: Vec<String> = tile
                .glaze
                .additions
                .iter()
                .filter(|portion| portion.percent > 0.0)
                .filter_map(|portion| {
                    let there = other.iter().find(|known| known.0 == portion.material.name)?;
                    Some(format!(
                        "{} {:.2} instead of {:.2} %",
                        portion.material.name, there.1, portion.percent
                    ))
                })
                .collect();
            said.push(format!(
                "Were the ends made to equal total dry weight instead, {} would hold {}.",
                tile.code,
                each.join(", ")
            ));
        }
        said.push(self.powders());
        said
    }

    /// The density of the ends' powders, and which of their materials give none.
    fn powders(&self) -> String {
        let batches = &self.plan.end_batches;
        let told = |batch: &EndBatch| format!("{:.2}", batch.powder_density.value());
        let each: Vec<String> = batches.iter().map(told).collect();
        let densities = match each.split_first() {
            Some((first, rest)) if rest.iter().all(|other| other == first) => format!("{first} g/ml"),
            _ => {
                let ends = each.iter().enumerate();
                let ends: Vec<String> = ends.map(|(end, told)| format!("{told} in end {}", end + 1)).collect();
                format!("{} g/ml", ends.join(", "))
            }
        };
        let mut guessed: Vec<String> = batches.iter().flat_map(|batch| batch.usual_grains.clone()).collect();
        guessed.sort();
        guessed.dedup();
        if guessed.is_empty() {
            return format!("The powder's grains, by the materials' own: {densities}.");
        }
        let guess = wetting::assumption(&Assumption::UsualGrains(guessed));
        format!("The powder's grains: {densities}; {guess}.")
    }
}
