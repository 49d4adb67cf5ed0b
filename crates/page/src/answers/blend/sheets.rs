//! The whole set on paper: map, mixing sheet, labels, result sheet, answer key.

use glost_core::tiles::blend::{Tile, TilePremix, Way};
use glost_desk::PageFormat;

use super::drawing::MapOf;
use super::{BlendPage, labels};
use crate::flow::Flow;
use crate::number;
use crate::ruled::{Cell, Column, table};
use crate::sheet::{Pages, Setting};
use crate::words::hazards::caution;

impl BlendPage<'_> {
    /// What is printed: the whole set, or for a drawing the map alone. `name` is
    /// the saved plan's.
    pub(super) fn pages(&self, name: Option<&str>, format: PageFormat) -> Pages {
        let title = name.unwrap_or(&self.plan.kind);
        let drawings = match format {
            PageFormat::Svg => vec![self.map_of().svg()],
            PageFormat::Html => {
                let mut flow = Flow::new();
                self.draw_map(&mut flow, title);
                self.draw_mixing(&mut flow, title);
                self.draw_class(&mut flow);
                self.draw_labels(&mut flow, title);
                self.draw_results(&mut flow);
                self.draw_key(&mut flow, title);
                flow.finish()
            }
        };
        Pages {
            title: title.to_owned(),
            setting: Setting::AnyPaper,
            drawings,
        }
    }

    fn map_of(&self) -> MapOf<'_> {
        let plan = self.plan;
        MapOf {
            shape: plan.shape,
            rows: &plan.rows,
            shares: plan.tiles.iter().map(|tile| tile.shares.as_slice()).collect(),
            ends: &plan.ends,
            marks: plan
                .tiles
                .iter()
                .map(|tile| (tile.code.clone(), self.tile_words(tile)))
                .collect(),
        }
    }

    fn draw_map(&self, flow: &mut Flow, title: &str) {
        flow.title(title);
        flow.blanks(&["Date", "By", "Clay"]);
        let map = self.map_of();
        flow.picture(map.height(), |page| map.draw(page));
        flow.paragraph(&self.headline());
    }

    fn draw_mixing(&self, flow: &mut Flow, title: &str) {
        flow.next_page();
        flow.title(&format!("{title}: mixing"));
        let cautions: Vec<String> = self
            .plan
            .handling
            .iter()
            .map(|said| format!("{}.", caution(said)))
            .collect();
        flow.warning(&cautions);
        flow.gap(3.0);
        for (index, end) in self.plan.ends.iter().enumerate() {
            flow.paragraph(&format!("End {}: {end}", index + 1));
        }
        for step in self.steps() {
            flow.tick(&step);
        }
        if self.plan.way == Way::Dry {
            self.draw_grams(flow);
            return;
        }
        self.draw_volumes(flow);
        for sentence in self.convention() {
            flow.paragraph(&sentence);
        }
    }

    /// Millilitres, in the order that the ends are drawn.
    fn draw_volumes(&self, flow: &mut Flow) {
        let plan = self.plan;
        let headings: Vec<String> = plan.draw_order.iter().map(|end| format!("ml of {}", end + 1)).collect();
        let width = (160.0 / headings.len().max(1) as f64).min(40.0);
        let mut columns: Vec<Column<'_>> = vec![("tile", 20.0)];
        columns.extend(headings.iter().map(|heading| (heading.as_str(), width)));
        let rows: Vec<Vec<Cell>> = plan
            .tiles
            .iter()
            .map(|tile| {
                let mut row = vec![Cell::Bold(tile.code.clone())];
                row.extend(plan.draw_order.iter().map(|end| {
                    let volume = tile.drawn.as_ref().and_then(|drawn| drawn.get(*end));
                    match volume.filter(|volume| **volume > 0.0) {
                        Some(volume) => Cell::Ticks(vec![number::plain(*volume)]),
                        None => Cell::Text(String::new()),
                    }
                }));
                row
            })
            .collect();
        table(flow, &columns, &rows, 7.0);
    }

    /// Grams, tile by tile, pre-mixes in place of what they hold.
    fn draw_grams(&self, flow: &mut Flow) {
        let rows: Vec<Vec<Cell>> = self
            .plan
            .tiles
            .iter()
            .map(|tile| {
                let mut columns = vec![Vec::new(), Vec::new()];
                for (index, line) in tile.grams.iter().enumerate() {
                    let mut usual = format!("{} {} g", line.material, number::weighed(line, self.step_grams));
                    if line.is_off() {
                        usual.push_str(" (finer scales)");
                    }
                    let text = self.with_premix(tile, &line.material).unwrap_or(usual);
                    columns[index % 2].push(text);
                }
                if let Some(water) = tile.water_millilitres {
                    columns[tile.grams.len() % 2].push(format!("water {water:.0} ml"));
                }
                let mut row = vec![Cell::Bold(tile.code.clone())];
                row.extend(columns.into_iter().map(Cell::Ticks));
                row
            })
            .collect();
        table(flow, &[("tile", 20.0), ("weigh", 82.0), ("", 82.0)], &rows, 7.0);
    }

    /// What a tile takes of a pre-mix instead of a material, or of a carrier
    /// beside it.
    fn with_premix(&self, tile: &Tile, material: &str) -> Option<String> {
        let premixes = &self.plan.premixes;
        let used = |premix: &TilePremix| premix.uses.iter().find(|own| own.code == tile.code).cloned();
        let grams = |grams| number::grams(grams, self.step_grams);
        let own = premixes.iter().find(|premix| premix.material == material);
        if let Some((premix, own)) = own.and_then(|premix| Some((premix, used(premix)?))) {
            return Some(format!(
                "{:.0} % pre-mix of {material} {} g",
                premix.percent,
                grams(own.premix_grams)
            ));
        }
        let carried = premixes
            .iter()
            .filter(|premix| premix.carrier == material)
            .find_map(used)?;
        Some(format!("{material} {} g", grams(carried.carrier_grams)))
    }

    fn draw_class(&self, flow: &mut Flow) {
        let Some(students) = self.students else { return };
        flow.next_page();
        flow.title("Who makes which");
        let rows: Vec<Vec<Cell>> = students
            .iter()
            .enumerate()
            .map(|(index, codes)| {
                vec![
                    Cell::Text((index + 1).to_string()),
                    Cell::Blank,
                    Cell::Text(codes.join("   ")),
                ]
            })
            .collect();
        table(flow, &[("", 10.0), ("name", 80.0), ("tiles", 94.0)], &rows, 10.0);
    }

    fn draw_labels(&self, flow: &mut Flow, title: &str) {
        flow.next_page();
        flow.paragraph(
            "Scratch or paint the code onto the back before glazing: paper burns. These go onto the cups, and onto the tiles after the firing.",
        );
        labels::draw(self.plan, title, flow, |tile| self.tile_words(tile));
    }

    /// What each tile is; where all have one base, that once and the additions.
    fn draw_key(&self, flow: &mut Flow, title: &str) {
        flow.next_page();
        flow.title(&format!("{title}: answer key"));
        let one_base = self.one_base;
        if let Some(first) = one_base {
            let base: Vec<String> = first
                .base
                .iter()
                .map(|portion| format!("{} {}", portion.material.name, number::plain(portion.percent)))
                .collect();
            flow.paragraph(&format!(
                "Base of all tiles: {}. On top, per cent of it:",
                base.join(", ")
            ));
        }
        let rows: Vec<Vec<Cell>> = self
            .plan
            .tiles
            .iter()
            .map(|tile| {
                let tested = self.plan.lab.iter().any(|own| own.code == tile.code);
                let flag = if tested { "not tested" } else { "" };
                vec![
                    Cell::Bold(tile.code.clone()),
                    Cell::Text(self.tile_words(tile).replace('/', " / ")),
                    Cell::Text(key(tile, one_base.is_none())),
                    Cell::Text(flag.to_owned()),
                ]
            })
            .collect();
        let columns = [
            ("tile", 16.0),
            ("shares", 36.0),
            ("recipe", 106.0),
            ("food contact", 26.0),
        ];
        table(flow, &columns, &rows, 6.0);
    }
}

fn key(tile: &Tile, with_base: bool) -> String {
    let there = |portion: &&glost_chemistry::glaze::Portion| portion.percent > 0.0;
    let base = tile.glaze.base.iter().filter(there).filter(|_| with_base);
    let mut recipe: Vec<String> = base
        .map(|portion| format!("{} {}", portion.material.name, number::parts(portion.percent)))
        .collect();
    let on_top = tile.glaze.additions.iter().filter(there);
    recipe.extend(on_top.map(|portion| format!("+ {} {}", portion.material.name, number::percent(portion.percent))));
    if recipe.is_empty() {
        recipe.push("the base alone".to_owned());
    }
    recipe.join(", ")
}
