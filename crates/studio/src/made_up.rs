//! Glazes that have no file of their own: one with additions typed behind it, and
//! the tile of a saved plan.

use std::path::Path;

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source};
use glost_chemistry::glaze::{GlazeFile, GlazeNotes, RecipeLine};
use glost_chemistry::read::{Text, folded};
use glost_core::tiles::blend::{EndText, SavedPlan, SavedTile, find_plan, find_tile};

use crate::workplace::{FoundGlaze, NotFound, Workplace};

/// Between a plan's name and a tile's code.
const BEFORE_TILE: char = '/';
/// Before an addition.
const BEFORE_ADDITION: &str = " + ";

/// A saved plan with the text of its file.
#[derive(Debug, Clone)]
pub struct PlanFile {
    /// The plan.
    pub plan: SavedPlan,
    /// Its file.
    pub source: Source,
}

impl Workplace {
    /// Whether what looks like a path is rather a name with additions, or a tile of a
    /// plan that is kept here.
    pub(crate) fn may_be_made_up(&self, wanted: &str) -> bool {
        wanted.contains(BEFORE_ADDITION) || self.plan_of(wanted).is_some()
    }

    /// The plan that the beginning of `PLAN/TILE` names.
    fn plan_of(&self, wanted: &str) -> Option<PlanFile> {
        let (plan, _) = wanted.rsplit_once(BEFORE_TILE)?;
        let plan = folded(plan);
        self.plan_files()
            .into_iter()
            .find(|file| folded(&file.plan.name) == plan)
    }

    /// That no plan is called so, where a text looks more like `PLAN/TILE` than like a path.
    pub(crate) fn no_such_plan(&self, wanted: &str) -> Option<Diagnostic> {
        let (plan, tile) = wanted.rsplit_once(BEFORE_TILE)?;
        let is_code = {
            let digits = tile.trim().trim_start_matches(|sign: char| sign.is_ascii_alphabetic());
            !digits.is_empty() && digits.len() < tile.trim().len() && digits.chars().all(|sign| sign.is_ascii_digit())
        };
        if self.studio_dir().is_none() || !is_code || plan.contains(BEFORE_TILE) || self.is_folder(plan) {
            return None;
        }
        find_plan(&self.plans().0, plan.trim()).err()
    }

    /// A glaze with additions behind its name, or a plan's tile; `nothing` where the name
    /// is neither.
    pub(crate) fn glaze_of_parts(&self, wanted: &str, nothing: NotFound) -> Result<FoundGlaze, NotFound> {
        if wanted.contains(BEFORE_ADDITION) {
            let unread = |complaint| NotFound {
                unknown: true,
                complaints: vec![complaint],
                known: None,
            };
            let typed = EndText::parse(wanted).map_err(unread)?;
            let base = self.look_for_glaze(&typed.name)?;
            return with_additions(base, &typed).map_err(NotFound::from);
        }
        match self.plan_of(wanted) {
            Some(file) => self.tile(&file, wanted),
            None => Err(nothing),
        }
    }

    /// A tile of a plan; clay, firing, water and use are those of the plan's first end,
    /// where that is still there.
    fn tile(&self, file: &PlanFile, wanted: &str) -> Result<FoundGlaze, NotFound> {
        let plans = std::slice::from_ref(&file.plan);
        let (plan, tile) = find_tile(plans, wanted)?;
        let mut about = match plan.ends.first().map(|end| self.end(end)) {
            Some(Ok(end)) => end.glaze.about,
            // What the plan itself says has to do.
            _ => GlazeNotes::default(),
        };
        // Words that were written for the end, not for the tile.
        about.notes = None;
        about.clay = plan.clay.clone().or(about.clay);
        about.firing = plan.firing.clone().or(about.firing);
        about.cone = plan.cone.clone().or(about.cone);
        let code = format!("{}{BEFORE_TILE}{}", plan.name, tile.code);
        let glaze = glaze_file(&code, tile, about, &file.source);
        let found = self.resolve_at_home(glaze).map_err(NotFound::broken)?;
        Ok(FoundGlaze {
            tile: Some(code),
            ..found
        })
    }

    /// Whether every end of a plan is still there.
    ///
    /// # Errors
    /// The first that is gone or can't be used, with what to do.
    pub fn ends_stand(&self, plan: &SavedPlan) -> Result<(), Vec<Diagnostic>> {
        for end in &plan.ends {
            if let Err(complaints) = self.end(end) {
                let why = complaints.first().map_or("", |first| first.message.as_str());
                let gone = Diagnostic::error(
                    "end-is-gone",
                    format!("`{}` lies between glazes of which one is gone: {why}", plan.name),
                );
                return Err(vec![gone.help(format!(
                    "bring the file of `{end}` back, or give a glaze its old name again (`glost rename`); \
                     the tile's own recipe is in `glost plan \"{}\" --format json`",
                    plan.name
                ))]);
            }
        }
        Ok(())
    }
}

/// The glaze with these additions, in its file's text too.
fn with_additions(base: FoundGlaze, typed: &EndText) -> Result<FoundGlaze, Diagnostic> {
    let mut found = base;
    let before = found.glaze.additions.len();
    found.glaze = typed.onto(found.glaze, &found.library)?;
    found.tile = None;
    found.file.name.text.clone_from(&found.glaze.name);
    let mark = found.file.parts_mark;
    let new = found.glaze.additions.iter().skip(before).map(|portion| RecipeLine {
        name: Text {
            text: portion.material.name.clone(),
            mark,
        },
        amount: portion.percent,
    });
    found.file.additions.extend(new);
    Ok(found)
}

fn glaze_file(name: &str, tile: &SavedTile, about: GlazeNotes, source: &Source) -> GlazeFile {
    let mark = place_of(&tile.code, source);
    let text = |text: &str| Text {
        text: text.to_owned(),
        mark,
    };
    let lines = |amounts: &[(String, f64)]| -> Vec<RecipeLine> {
        let some = amounts.iter().filter(|(_, amount)| *amount > 0.0);
        some.map(|(name, amount)| RecipeLine {
            name: text(name),
            amount: *amount,
        })
        .collect()
    };
    GlazeFile {
        source: source.clone(),
        name: text(name),
        parts_mark: mark,
        parts: lines(&tile.parts),
        additions: lines(&tile.additions),
        about,
        assumptions: Vec::new(),
    }
}

/// Where a tile's code stands in its plan's file; the beginning where it can't be told.
fn place_of(code: &str, source: &Source) -> Mark {
    let quoted = format!("\"{code}\"");
    let lines = source.text.lines().enumerate();
    lines
        .filter_map(|(number, line)| Some((number, line, line.find(&quoted)?)))
        .map(|(number, line, byte)| Mark {
            line: number + 1,
            column: line[..byte].chars().count() + 1,
        })
        .next()
        .unwrap_or(Mark { line: 1, column: 1 })
}

/// A plan's name, which is its file's without the ending.
pub(crate) fn plan_name_of(shown: &str) -> String {
    let stem = Path::new(shown).file_stem();
    // A folder that can't be listed is one complaint, of whatever name.
    stem.map_or_else(String::new, |stem| stem.to_string_lossy().into_owned())
}
