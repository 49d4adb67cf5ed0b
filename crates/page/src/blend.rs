//! `glost blend`.

use glost_core::blend::{BlendPlan, POWDER_GRAMS_PER_MILLILITRE, SPARE, Shape, Tile};
use glost_core::rules::{Finding, Level};
use serde_json::{Value, json};

use crate::amounts;
use crate::check::finding_json;
use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;
use crate::plan_map;

/// A plan of test tiles.
#[derive(Debug, Clone)]
pub struct BlendPage<'a> {
    /// The plan.
    pub plan: &'a BlendPlan,
    /// Grams of base a tile.
    pub dry_grams: f64,
    /// Millilitres a tile, where blended wet.
    pub volume_millilitres: Option<f64>,
    /// Density to bring all ends to, g/ml, where they are blended by volume.
    pub density: Option<f64>,
    /// The step of the scales in grams.
    pub step_grams: f64,
}

impl BlendPage<'_> {
    /// The contract's JSON.
    pub fn json(&self) -> Value {
        let plan = self.plan;
        json!({
            "kind": plan.kind,
            "ends": plan.ends,
            "tiles": plan.tiles.iter().map(tile_json).collect::<Vec<_>>(),
            "end_batches": plan.end_batches.iter().map(|batch| json!({
                "glaze": batch.glaze,
                "dry": batch.dry_grams,
                "millilitres": batch.millilitres,
                "grams": amounts::weights(&batch.grams),
            })).collect::<Vec<_>>(),
            "cannot_weigh": plan.cannot_weigh.iter().map(|trouble| json!({
                "tile": trouble.code,
                "material": trouble.material,
                "grams": trouble.grams,
                "error_percent": trouble.error_percent,
            })).collect::<Vec<_>>(),
            "density": self.density,
            "shape": plan.shape.word(),
            "rows": plan.rows,
            "notes": plan.notes,
            "cautions": plan.cautions,
            "assumptions": plan.assumptions,
        })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let plan = self.plan;
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push_str("\n\n");
        for (index, name) in plan.ends.iter().enumerate() {
            text.push_str(&format!("end {}: {name}\n", index + 1));
        }
        text.push('\n');
        text.push_str(&self.map());
        text.push_str(&self.shares_table());
        text.push('\n');
        text.push_str(&self.end_batches());
        text.push_str(&self.cannot_weigh());
        text.push_str(&self.findings());
        for caution in &plan.cautions {
            text.push_str(&indented("Caution: ", &format!("{caution}.")));
        }
        for note in &plan.notes {
            text.push_str(&indented("Note: ", note));
        }
        text.push_str(&assumed(&plan.assumptions));
        text.push_str(&indented(
            "Test: ",
            "scratch the code into the back of each tile before glazing; powder into water; look at them at 1 day, 30 days and 6 months.",
        ));
        text
    }

    fn headline(&self) -> String {
        let plan = self.plan;
        let weighed: usize = plan.tiles.iter().map(|tile| tile.grams.len()).sum();
        let wet: usize = plan.end_batches.iter().map(|batch| batch.grams.len()).sum();
        let ends = match plan.shape {
            Shape::Line => plan.ends.join(" to "),
            _ => format!("{} ends", plan.ends.len()),
        };
        format!(
            "{} tiles from {ends}: {wet} weighings if the ends are mixed and blended wet, {weighed} if each tile is weighed dry.",
            plan.tiles.len()
        )
    }

    /// The codes as they lie, where that says more than the list below.
    fn map(&self) -> String {
        let plan = self.plan;
        if matches!(plan.shape, Shape::Line | Shape::List) {
            return String::new();
        }
        let map = plan_map::text(plan, |index| {
            plan.tiles.get(index).map(|tile| tile.code.clone()).unwrap_or_default()
        });
        if map.is_empty() { map } else { format!("{map}\n") }
    }

    fn shares_table(&self) -> String {
        let plan = self.plan;
        let wet = self.volume_millilitres.is_some();
        let mut align = vec![Align::Left];
        let mut head = vec!["tile".to_owned()];
        for index in 0..plan.ends.len() {
            align.push(Align::Right);
            head.push(format!("end {}", index + 1));
        }
        if wet {
            for index in 0..plan.ends.len() {
                align.push(Align::Right);
                head.push(format!("ml of {}", index + 1));
            }
        }
        align.extend([Align::Right, Align::Right]);
        head.extend(["SiO2".to_owned(), "Al2O3".to_owned()]);
        let mut table = Table::new(&align);
        table.row(head);
        for tile in &plan.tiles {
            let mut row = vec![tile.code.clone()];
            row.extend(tile.shares.iter().map(|share| format!("{:.1} %", 100.0 * share)));
            if wet {
                row.extend(tile.millilitres.iter().flatten().map(|volume| format!("{volume:.1}")));
            }
            let amount = |oxide| {
                tile.unity
                    .as_ref()
                    .map_or_else(|| "-".to_owned(), |unity| number::unity(unity.get(oxide)))
            };
            row.extend([
                amount(glost_core::chemistry::Oxide::SiO2),
                amount(glost_core::chemistry::Oxide::Al2O3),
            ]);
            table.row(row);
        }
        let mut text = table.text();
        if wet {
            return text;
        }
        text.push_str(&format!(
            "\nGrams for each tile weighed dry ({} g of base):\n",
            number::plain(self.dry_grams)
        ));
        text.push_str(&self.dry_table());
        text
    }

    fn dry_table(&self) -> String {
        let plan = self.plan;
        let mut names: Vec<&str> = Vec::new();
        for line in plan.tiles.iter().flat_map(|tile| &tile.grams) {
            if !names.contains(&line.material.as_str()) {
                names.push(&line.material);
            }
        }
        let mut text = String::new();
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
            text.push_str(&table.text());
        }
        text
    }

    fn grams_of(&self, tile: &Tile, name: &str) -> String {
        let line = tile.grams.iter().find(|line| line.material == name);
        line.map_or_else(|| "-".to_owned(), |line| number::grams(line.grams, self.step_grams))
    }

    fn end_batches(&self) -> String {
        let spare = 100.0 * (SPARE - 1.0);
        let mut text = String::new();
        for (index, batch) in self.plan.end_batches.iter().enumerate() {
            let lines: Vec<String> = batch
                .grams
                .iter()
                .map(|line| format!("{} {} g", line.material, number::grams(line.grams, self.step_grams)))
                .collect();
            let volume = batch
                .millilitres
                .map(|volume| format!(", to {volume:.0} ml"))
                .unwrap_or_default();
            text.push_str(&indented(
                &format!("Wet, end {}: ", index + 1),
                &format!("{}{volume}.", lines.join(", ")),
            ));
        }
        text.push_str(&paragraph(
            &format!("Wet blending holds where equal volumes hold equal base: bring all ends to one volume from equal dry base. The batches above have {spare:.0} % to spare."),
            0,
        ));
        if let Some(density) = self.density {
            text.push_str(&paragraph(
                &format!("The volumes are for a slurry of about {density:.2} g/ml, with the powder taken as {POWDER_GRAMS_PER_MILLILITRE} +/- 0.1 g/ml. The volume rules: top each end up to it with water, whatever the density then is."),
                0,
            ));
        }
        text
    }

    fn cannot_weigh(&self) -> String {
        let mut by_material: Vec<(&str, Vec<&str>)> = Vec::new();
        for trouble in &self.plan.cannot_weigh {
            match by_material.iter_mut().find(|known| known.0 == trouble.material) {
                Some(known) => known.1.push(&trouble.code),
                None => by_material.push((&trouble.material, vec![&trouble.code])),
            }
        }
        if by_material.is_empty() {
            return String::new();
        }
        let lines: Vec<String> = by_material
            .into_iter()
            .map(|(material, codes)| format!("{material} on {}", codes.join(", ")))
            .collect();
        indented(
            "Too little to weigh dry: ",
            &format!(
                "{} (more than 5 % off at {} g a step). Blend wet, or make larger tests.",
                lines.join("; "),
                number::plain(self.step_grams)
            ),
        )
    }

    /// One line for each thing flagged; where the tiles differ only in how
    /// much, the heaviest speaks for all.
    fn findings(&self) -> String {
        let mut said: Vec<(&Finding, Vec<&str>)> = Vec::new();
        for tile in &self.plan.tiles {
            for finding in tile
                .findings
                .iter()
                .filter(|finding| finding.level > Level::NothingFound)
            {
                match said.iter_mut().find(|known| same_flag(known.0, finding)) {
                    Some((heaviest, codes)) => {
                        codes.retain(|code| *code != tile.code);
                        if weight(finding) > weight(heaviest) {
                            *heaviest = finding;
                            codes.insert(0, &tile.code);
                        } else {
                            codes.push(&tile.code);
                        }
                    }
                    None => said.push((finding, vec![&tile.code])),
                }
            }
        }
        said.into_iter()
            .map(|(finding, codes)| {
                let (first, others) = codes
                    .split_first()
                    .map_or(("", &[][..]), |(first, others)| (*first, others));
                let differ = finding.value.is_some() && !others.is_empty();
                let codes = if differ {
                    format!("{first}; likewise {}", others.join(", "))
                } else {
                    codes.join(", ")
                };
                indented("Flag: ", &format!("{}: {} ({codes})", finding.subject, finding.message))
            })
            .collect()
    }
}

/// The same words, or one script on one subject and one side of its bounds.
fn same_flag(one: &Finding, other: &Finding) -> bool {
    one.subject == other.subject
        && (one.message == other.message
            || (one.script == other.script
                && one.level == other.level
                && one.value.is_some()
                && is_below(one) == is_below(other)))
}

fn is_below(finding: &Finding) -> bool {
    finding.value.zip(finding.low).is_some_and(|(value, low)| value < low)
}

/// How far out a finding is: the more of it the heavier, below a bound the less.
fn weight(finding: &Finding) -> f64 {
    let value = finding.value.unwrap_or_default();
    if is_below(finding) { -value } else { value }
}

fn tile_json(tile: &Tile) -> Value {
    json!({
        "code": tile.code,
        "shares": tile.shares,
        "parts": amounts::portions(&tile.glaze.base),
        "additions": amounts::portions(&tile.glaze.additions),
        "grams": amounts::weights(&tile.grams),
        "millilitres": tile.millilitres,
        "unity": tile.unity.as_ref().map(amounts::moles),
        "findings": tile.findings.iter().map(finding_json).collect::<Vec<_>>(),
    })
}
