//! `glost adjust GLAZE "fit: CLAY"`: the aim that a clay's own pieces give.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Glaze;
use glost_core::evidence::ware::Clay;
use glost_core::evidence::window::{FitAim, NoFitAim, fit, fit_aim};
use glost_core::recipes::adjust::{AdjustQuestion, Asked, MOST_RISE_PERCENT, Way, ways};
use glost_core::recipes::aims::{Phrase, parse_phrase};
use glost_core::recipes::swap::{Proposal, allowed};
use glost_page::layout::Style;
use glost_page::powder_ladders::PowderLadders;
use glost_page::ways::FitWays;
use glost_studio::{FoundGlaze, Origin};

use crate::args::AdjustOptions;
use crate::outcome::{Answer, Failure};

use glost_desk::Desk;
use glost_desk::pieces::Pieces;

/// The chance of crazing that is aimed at where nothing is said, per cent: the
/// edge of the zone *held*.
const USUAL_CHANCE_PERCENT: f64 = 10.0;

/// What a call asks of a clay's window.
pub(super) struct FitAsked {
    aim: FitAim,
}

/// The one `fit:` phrase of the call: the clay and the chance, 0 to 1.
fn phrase(options: &AdjustOptions, found: &FoundGlaze) -> Result<Option<(String, f64)>, Diagnostic> {
    let mut asked = None;
    for text in &options.aims {
        if !text.trim_start().starts_with("fit:") {
            continue;
        }
        if asked.is_some() {
            return Err(
                Diagnostic::error("bad-aim", "a glaze can be fitted to one clay at a time")
                    .help("ask once for each clay, and take the recipe that suits both"),
            );
        }
        if let Phrase::Fit { clay, chance_percent } = parse_phrase(text, &found.library)? {
            asked = Some((clay, chance_percent.unwrap_or(USUAL_CHANCE_PERCENT) / 100.0));
        }
    }
    Ok(asked)
}

/// For a powder whose recipe nobody tells: ladders instead of a recipe.
pub(super) fn ladders(
    options: &AdjustOptions,
    desk: &Desk,
    found: &FoundGlaze,
    style: Style,
) -> Result<Option<Answer>, Failure> {
    let Some((clay, _)) = phrase(options, found)? else {
        return Ok(None);
    };
    if found.glaze.unknown_materials().is_empty() {
        return Ok(None);
    }
    let (pieces, clay) = pieces_on(&clay, desk, found)?;
    let answer = fit(
        &pieces.notebook(&found.settings),
        &found.glaze,
        &clay,
        options.firing.as_deref(),
        Some(pieces.today),
    );
    let page = PowderLadders { answer: &answer };
    Ok(Some(Answer {
        text: page.text(style),
        json: page.json(),
        says_no: true,
    }))
}

fn pieces_on(clay: &str, desk: &Desk, found: &FoundGlaze) -> Result<(Pieces, Clay), Failure> {
    let pieces = Pieces::open(desk)?;
    let clay = pieces.clay(Some(clay), desk, found)?;
    Ok((pieces, clay))
}

impl FitAsked {
    /// The window that the call asks for, learnt; `None` where it asks for none.
    pub(super) fn of(options: &AdjustOptions, desk: &Desk, found: &FoundGlaze) -> Result<Option<FitAsked>, Failure> {
        let Some((clay, chance)) = phrase(options, found)? else {
            return Ok(None);
        };
        let (pieces, clay) = pieces_on(&clay, desk, found)?;
        let book = pieces.notebook(&found.settings);
        let firing = options.firing.as_deref();
        match fit_aim(&book, &found.glaze, &clay, firing, chance, Some(pieces.today)) {
            Ok(aim) => Ok(Some(FitAsked { aim })),
            Err(NoFitAim::NoChemistry) => Err(Diagnostic::error(
                "no-chemistry",
                format!(
                    "the expansion of {} can't be computed: it holds nothing that the model knows",
                    found.glaze.name
                ),
            )
            .help("`glost fit` answers from its pieces alone")
            .into()),
            Err(NoFitAim::NoRoom) => Err(Diagnostic::error(
                "no-room",
                format!(
                    "what is known of {} leaves no room between crazing and shivering",
                    clay.name
                ),
            )
            .help("look at more pieces on it (`glost due`), or aim at an expansion: \"expansion <= 6.2\"")
            .into()),
        }
    }

    /// As an aim.
    pub(super) fn asked(&self, phrase: &str) -> Asked {
        Asked::Fit {
            phrase: phrase.to_owned(),
            low: self.aim.least,
            high: Some(self.aim.most),
        }
    }

    /// The distinct ways to meet it, each worked out.
    pub(super) fn ways<'a>(
        &'a self,
        question: &AdjustQuestion<'_>,
        found: &'a FoundGlaze,
        worth: &dyn Fn(&Glaze) -> Result<Proposal, Failure>,
    ) -> Result<FitWays<'a>, Failure> {
        let newcomers = if question.with.is_empty() {
            allowed(&found.glaze, &[], &found.library, found.origin == Origin::Shipped)
        } else {
            Vec::new()
        };
        let all: Vec<Way> = ways(question, &newcomers).map_err(|bad| super::adjust::why_not(found, bad))?;
        let (ways, too_far): (Vec<Way>, Vec<Way>) =
            all.into_iter().partition(|way| way.rise_percent <= MOST_RISE_PERCENT);
        let ways = ways
            .into_iter()
            .map(|way| worth(&way.glaze).map(|proposal| (way, proposal)))
            .collect::<Result<_, _>>()?;
        Ok(FitWays {
            aim: &self.aim,
            old: &found.glaze,
            before: worth(&found.glaze)?,
            ways,
            too_far,
        })
    }
}
