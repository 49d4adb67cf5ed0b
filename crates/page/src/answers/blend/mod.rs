//! `glost blend`: a plan of test tiles.

pub(crate) mod drawing;
mod flagged;
mod labels;
mod making;
pub(crate) mod map;
mod results;
mod sheets;
mod text;

pub(crate) use labels::{added_words, shares_words, short_name};

use std::path::Path;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Glaze;
use glost_core::tiles::blend::{BlendPlan, Tile};
use glost_desk::blend::Answer;
use glost_desk::by_hand::Line;

use crate::layout::{Style, paragraph};
use crate::print::{File, Printed};
use crate::words::signed::signed;
use crate::{Csv, Shown};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json_signed(self, "tiles", Some(&self.signed.0))
    }

    fn text(&self, style: Style) -> String {
        let planned = paragraph(&format!("({})", signed(&self.signed.0)), 0);
        BlendPage::of(self).text(style) + planned.as_str()
    }

    fn printed(&self) -> Result<Printed, Diagnostic> {
        let page = BlendPage::of(self);
        let name = self.name.as_deref();
        let mut printed = Printed::default();
        if let (Some(path), Some(name)) = (&self.saved_at, name) {
            printed.said.push_str(&saved_words(path, name, &self.plan));
        }
        if let Some(file) = &self.page {
            printed.files.push(File {
                path: file.path.clone(),
                text: page.pages(name, file.format).file(file.format)?,
            });
        }
        if let Some(path) = &self.sheet {
            printed.files.push(File {
                path: path.clone(),
                text: page.result_sheet(name),
            });
        }
        for file in &printed.files {
            printed.said.push_str(&format!("Written to {}.\n", file.path.display()));
        }
        Ok(printed)
    }
}

/// What to say once a plan is kept.
fn saved_words(path: &Path, name: &str, plan: &BlendPlan) -> String {
    let first = plan.tiles.first().map_or("A1", |tile| tile.code.as_str());
    paragraph(
        &format!(
            "Saved as {}. Notes by tile: glost note --tile \"{name}/{first}\" --grade gloss=4; its map: glost plan \"{name}\".",
            path.display()
        ),
        0,
    )
}

/// A plan of test tiles, for screens and paper.
#[derive(Debug, Clone)]
struct BlendPage<'a> {
    plan: &'a BlendPlan,
    /// Grams of base a tile.
    dry_grams: f64,
    /// Millilitres a tile, where blended wet.
    volume_millilitres: Option<f64>,
    /// The step of the scales in grams.
    step_grams: f64,
    /// Codes for each student.
    students: Option<&'a [Vec<String>]>,
    /// Additions of each wet tile, per cent, were the ends made to equal total weight.
    equal_totals: &'a [Vec<(String, f64)>],
    /// An end whose base is that of all tiles.
    one_base: Option<&'a Glaze>,
    wet: bool,
    /// The sum as one does it by hand.
    steps: Option<&'a [Line]>,
}

impl<'a> BlendPage<'a> {
    fn of(answer: &'a Answer) -> BlendPage<'a> {
        BlendPage {
            plan: &answer.plan,
            dry_grams: answer.dry_grams,
            volume_millilitres: answer.volume_millilitres,
            step_grams: answer.step_grams,
            students: answer.students.as_deref(),
            equal_totals: &answer.equal_totals,
            one_base: answer.one_base(),
            wet: answer.is_wet(),
            steps: answer.steps.as_deref(),
        }
    }

    /// What a tile is in a few words: `+ 2 % silica` on a ladder, else its shares.
    fn tile_words(&self, tile: &Tile) -> String {
        match &tile.added {
            Some(added) => added_words(&added.material, added.percent),
            None => shares_words(&tile.shares),
        }
    }

    /// The material that rises step by step, where the plan is a ladder of it.
    fn rises(&self) -> Option<&str> {
        let added = self.plan.tiles.first()?.added.as_ref()?;
        Some(&added.material)
    }

    fn is_wet(&self) -> bool {
        self.wet
    }
}
