//! A plan for a terminal.

use glost_chemistry::oxides::Oxide;
use glost_core::tiles::blend::{Shape, Tile, Way};

use super::super::by_hand;
use super::{BlendPage, map, short_name};
use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;
use crate::words::chemistry::assumptions;
use crate::words::finding::unlike_ends;

/// Rounding moves a tile less than anybody sees, in tolerances.
const UNSEEN: f64 = 0.5;
/// With more ends than this the table shows what is measured, not the shares too.
const MOST_ENDS_WITH_BOTH: usize = 3;

impl BlendPage<'_> {
    /// For a terminal.
    pub(super) fn text(&self, style: Style) -> String {
        let plan = self.plan;
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push_str("\n\n");
        for (index, name) in plan.ends.iter().enumerate() {
            text.push_str(&indented(&format!("end {}: ", index + 1), name));
        }
        text.push('\n');
        text.push_str(&self.map());
        text.push_str(&self.shares_table());
        if !self.is_wet() {
            text.push_str(&self.dry_table());
        }
        text.push('\n');
        if let Some(steps) = self.steps {
            let taken = if self.is_wet() { "taken" } else { "on the scales" };
            text.push_str(&by_hand::lines(steps, taken));
            text.push('\n');
        }
        text.push_str(&self.make());
        text.push_str(&self.too_little());
        text.push_str(&self.rounding());
        text.push_str(&self.limits());
        text.push_str(&self.findings());
        text.push_str(&self.lab());
        for caution in &plan.cautions {
            text.push_str(&indented("Caution: ", &format!("{}.", unlike_ends(caution))));
        }
        for note in &plan.notes {
            text.push_str(&indented("Note: ", note));
        }
        for caution in &plan.handling {
            text.push_str(&indented(
                "Care: ",
                &format!("{}.", crate::words::hazards::caution(caution)),
            ));
        }
        text.push_str(&self.class());
        text.push_str(&assumed(&assumptions(&plan.assumptions)));
        text.push_str(&indented(
            "Test: ",
            "fire all of them together, with a cone beside them; look at 1 day, 30 days and 6 months.",
        ));
        text
    }

    pub(super) fn headline(&self) -> String {
        let plan = self.plan;
        let ends = match plan.shape {
            Shape::Line => plan.ends.join(" to "),
            _ => format!("{} ends", plan.ends.len()),
        };
        let of = |way: Way| plan.ways.iter().find(|known| known.way == way).copied();
        let dry = of(Way::Dry).map_or(0, |way| way.all);
        let tiles = plan.tiles.len();
        match plan.way {
            Way::Dry => {
                let wet = plan.ways.iter().find(|known| known.way != Way::Dry);
                let wet =
                    wet.map(|way| format!("; {}: {}, with --volume", crate::words::finding::way(way.way), way.all));
                format!(
                    "{tiles} tiles from {ends}, weighed dry: {dry} weighings{}.",
                    wet.unwrap_or_default()
                )
            }
            way => {
                let made = of(way).map_or((0, 0), |made| (made.all, made.additions));
                let colours = of(Way::Dry).map_or(0, |dry| dry.additions);
                let colours = if colours > made.1 {
                    format!(", {} of additions instead of {colours}", made.1)
                } else {
                    String::new()
                };
                format!(
                    "{tiles} tiles from {ends}, blended wet: {} weighings instead of {dry} dry{colours}.",
                    made.0
                )
            }
        }
    }

    /// The codes as they lie, where that says more than the list below.
    fn map(&self) -> String {
        let plan = self.plan;
        if matches!(plan.shape, Shape::Line | Shape::List) || plan.rows.len() < 2 {
            return String::new();
        }
        let map = map::of_plan(plan, |index| {
            plan.tiles.get(index).map_or_else(String::new, |tile| tile.code.clone())
        });
        if map.is_empty() { map } else { format!("{map}\n") }
    }

    fn shares_table(&self) -> String {
        let plan = self.plan;
        let (wet, ends) = (self.is_wet(), plan.ends.len());
        let shares = !wet || ends <= MOST_ENDS_WITH_BOTH;
        let oxides = self.oxides_that_differ();
        let mut align = vec![Align::Left];
        let mut head = vec!["tile".to_owned()];
        let rises = self.rises();
        if let Some(material) = rises {
            align.push(Align::Right);
            head.push(short_name(material));
        }
        if shares {
            align.extend((0..ends).map(|_| Align::Right));
            head.extend((1..=ends).map(|end| format!("end {end}")));
        }
        if wet {
            align.extend((0..ends).map(|_| Align::Right));
            head.extend((1..=ends).map(|end| format!("ml of {end}")));
        }
        align.extend(oxides.iter().map(|_| Align::Point));
        head.extend(oxides.iter().map(|oxide| oxide.formula().to_owned()));
        let mut table = Table::new(&align);
        table.row(head);
        for tile in &plan.tiles {
            let mut row = vec![tile.code.clone()];
            if let Some(added) = tile.added.as_ref().filter(|_| rises.is_some()) {
                row.push(format!(
                    "+ {} %",
                    number::plain((1000.0 * added.percent).round() / 1000.0)
                ));
            }
            if shares {
                row.extend(tile.shares.iter().map(|share| format!("{:.1} %", 100.0 * share)));
            }
            if wet {
                row.extend(tile.drawn.iter().flatten().map(|volume| number::plain(*volume)));
            }
            row.extend(oxides.iter().map(|oxide| {
                let unity = tile.unity.as_ref();
                unity.map_or_else(|| "-".to_owned(), |unity| number::unity_of(*oxide, unity.get(*oxide)))
            }));
            table.row(row);
        }
        table.text()
    }

    /// Silica and alumina where some tiles have more of them than others.
    fn oxides_that_differ(&self) -> Vec<Oxide> {
        let differs = |oxide: &Oxide| {
            let amounts = self
                .plan
                .tiles
                .iter()
                .filter_map(|tile| Some(tile.unity.as_ref()?.get(*oxide)));
            let (low, high) = amounts.fold((f64::INFINITY, 0.0_f64), |(low, high), amount| {
                (low.min(amount), high.max(amount))
            });
            high - low > 0.015
        };
        [Oxide::SiO2, Oxide::Al2O3].into_iter().filter(differs).collect()
    }

    fn dry_table(&self) -> String {
        let plan = self.plan;
        let mut names: Vec<&str> = Vec::new();
        for line in plan.tiles.iter().flat_map(|tile| &tile.grams) {
            if !names.contains(&line.material.as_str()) {
                names.push(&line.material);
            }
        }
        let mut text = format!("\nGrams for each tile ({} g of base):\n", number::plain(self.dry_grams));
        for tiles in plan.tiles.chunks(6) {
            let mut align = vec![Align::Left];
            align.extend(tiles.iter().map(|_| Align::Right));
            let mut table = Table::new(&align);
            table.row(std::iter::once(String::new()).chain(tiles.iter().map(|tile| tile.code.clone())));
            for name in &names {
                let mut label: String = (*name).to_owned();
                if label.chars().count() > 26 {
                    label = label.chars().take(25).chain(['…']).collect();
                }
                let grams = tiles.iter().map(|tile| self.grams_of(tile, name));
                table.row(std::iter::once(label).chain(grams));
            }
            if tiles.iter().any(|tile| tile.water_millilitres.is_some()) {
                let water = |tile: &Tile| {
                    tile.water_millilitres
                        .map_or_else(|| "-".to_owned(), |ml| format!("{ml:.0}"))
                };
                table.row(std::iter::once("water, ml".to_owned()).chain(tiles.iter().map(water)));
            }
            text.push_str(&table.text());
        }
        text
    }

    fn grams_of(&self, tile: &Tile, name: &str) -> String {
        let line = tile.grams.iter().find(|line| line.material == name);
        line.map_or_else(|| "-".to_owned(), |line| number::weighed(line, self.step_grams))
    }

    /// The steps; of a dry plan only those that a list of grams doesn't say.
    fn make(&self) -> String {
        let mut text = String::new();
        if self.is_wet() {
            for (index, step) in self.steps().iter().enumerate() {
                text.push_str(&indented(&format!("{}. ", index + 1), step));
            }
            text.push('\n');
            for sentence in self.convention() {
                text.push_str(&paragraph(&sentence, 0));
            }
        }
        text
    }

    fn too_little(&self) -> String {
        let plan = self.plan;
        let step = number::plain(self.step_grams);
        let mut text = String::new();
        if self.is_wet() {
            text.push_str(&self.too_little_for_batches(&step));
            text.push_str(&self.too_little_to_draw());
            return text;
        }
        for premix in &plan.premixes {
            let uses: Vec<String> = premix
                .uses
                .iter()
                .map(|own| {
                    format!(
                        "{} {} g ({} {} g beside it)",
                        own.code,
                        number::grams(own.premix_grams, self.step_grams),
                        premix.carrier,
                        number::grams(own.carrier_grams, self.step_grams)
                    )
                })
                .collect();
            text.push_str(&indented(
                "Pre-mix: ",
                &format!(
                    "{} is too little to weigh alone on some tiles (more than 5 % off at {step} g a step). Grind {} g of it with {} g of {}: {:.0} %, good to {:.0} %. Then {}.",
                    premix.material,
                    number::grams(premix.little_grams, self.step_grams),
                    number::grams(premix.carrier_grams, self.step_grams),
                    premix.carrier,
                    premix.percent,
                    premix.error_percent,
                    uses.join(", ")
                ),
            ));
        }
        let larger = &plan.larger_tests;
        if let Some(base) = larger.iter().map(|test| test.base_grams).max_by(f64::total_cmp) {
            let mut names: Vec<&str> = Vec::new();
            for test in larger {
                if !names.contains(&test.material.as_str()) {
                    names.push(&test.material);
                }
            }
            text.push_str(&indented(
                "Too little to weigh: ",
                &format!(
                    "{} (more than 5 % off at {step} g a step), and no pre-mix helps. Blend wet, or make {:.0} g of base a tile or more.",
                    names.join(", "),
                    base.ceil()
                ),
            ));
        }
        text
    }

    /// What the batches of a wet plan take too little of, and the size at which
    /// the scales do.
    fn too_little_for_batches(&self, step: &str) -> String {
        let plan = self.plan;
        let ends = plan.end_batches.iter().enumerate();
        let of_ends = ends.flat_map(|(index, batch)| {
            let where_to = format!("for end {}", index + 1);
            batch.cannot_weigh.iter().map(move |own| (own, where_to.clone()))
        });
        let of_bases = plan.base_batches.iter().flat_map(|base| {
            let where_to = "in the base".to_owned();
            base.cannot_weigh.iter().map(move |own| (own, where_to.clone()))
        });
        let troubles: Vec<_> = of_bases.chain(of_ends).collect();
        let Some(most) = troubles
            .iter()
            .map(|trouble| trouble.0.error_percent)
            .max_by(f64::total_cmp)
        else {
            return String::new();
        };
        let each: Vec<String> = troubles
            .iter()
            .map(|(own, where_to)| {
                format!(
                    "{} {:.2} g {where_to} ({:.0} % off)",
                    own.material, own.grams, own.error_percent
                )
            })
            .collect();
        // 5 % is the most that is let by: so much larger, and all of it is.
        let larger = most / 5.0;
        indented(
            "Too little to weigh: ",
            &format!(
                "at {step} g a step {}. Make {larger:.1} times the batches ({:.0} ml a tile), or use finer scales.",
                each.join(", "),
                (self.volume_millilitres.unwrap_or(0.0) * larger).ceil()
            ),
        )
    }

    fn too_little_to_draw(&self) -> String {
        let volumes = &self.plan.cannot_draw;
        let Some(least) = volumes.iter().map(|volume| volume.millilitres).min_by(f64::total_cmp) else {
            return String::new();
        };
        let mut codes: Vec<&str> = volumes.iter().map(|volume| volume.code.as_str()).collect();
        codes.dedup();
        let mark = self.plan.syringe.mark_millilitres;
        let tile = self.volume_millilitres.unwrap_or(0.0) * 2.0 * mark / least;
        indented(
            "Too little to draw: ",
            &format!(
                "{} (down to {least:.1} ml, on marks of {} ml). Use a finer syringe for those (--syringe \"10 ml by 0.2 ml\"), or {:.0} ml a tile.",
                codes.join(", "),
                number::plain(mark),
                tile.ceil()
            ),
        )
    }

    fn rounding(&self) -> String {
        let most = self
            .plan
            .tiles
            .iter()
            .filter_map(|tile| Some((tile.rounding?, tile)))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        let Some((distance, tile)) = most.filter(|most| most.0 > UNSEEN) else {
            return String::new();
        };
        let how = if self.is_wet() {
            "weighed and drawn so"
        } else {
            "weighed so"
        };
        indented(
            "Rounding: ",
            &format!(
                "{how}, {} moves most: by {} tolerances (to 2 is near).",
                tile.code,
                number::distance(distance)
            ),
        )
    }

    fn class(&self) -> String {
        let Some(students) = self.students else {
            return String::new();
        };
        let shares: Vec<String> = students
            .iter()
            .enumerate()
            .map(|(index, codes)| format!("{}: {}", index + 1, codes.join(" ")))
            .collect();
        indented("Students: ", &format!("{}.", shares.join("; ")))
    }
}
