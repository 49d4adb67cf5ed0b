use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_chemistry::glaze::{Additions, Analysis};
use glost_core::evidence::ware::{Clay, ClayReport, GlazeStress, Weighings, read_dilatometer_table, stress_on};
use glost_page::clay::{ClayPage, list_json, list_text};
use glost_page::layout::Style;
use glost_studio::Workplace;

use crate::args::ClayOptions;
use crate::outcome::{Answer, Failure, Outcome};
use glost_desk::trouble;

/// The uses that a clay says something about.
const USES: [&str; 4] = ["tableware", "wall tile", "floor", "outdoor"];

pub(super) fn run(options: &ClayOptions, workplace: &Workplace, style: Style) -> Outcome {
    let usage = options.usage.as_deref().map(usage).transpose()?;
    let scales = super::scales(options.scales.as_deref(), workplace.settings().scales)?;
    let step = scales.reads_to.grams();
    let Some(clay) = one_clay(options, workplace)? else {
        if usage.is_some() {
            let error = Diagnostic::error("bad-call", "--use goes with a clay, or with bars weighed just now");
            return Err(error
                .help("name one: `glost clay \"buff stoneware\" --use outdoor`; `glost clay` alone lists them")
                .into());
        }
        return Ok(list(workplace, step, style));
    };
    let report = ClayReport::of(&clay, step);
    let glaze = options
        .glaze
        .as_deref()
        .map(|name| on_it(name, &clay, workplace))
        .transpose()?;
    let page = ClayPage {
        report: &report,
        usage,
        glaze: glaze.as_ref().map(|(name, stress)| (name.as_str(), stress.as_ref())),
    };
    Ok(Answer {
        text: page.text(style),
        json: page.json(),
        says_no: page.says_no(),
    })
}

/// The clay that is asked about, the bars of the call in place of its own.
fn one_clay(options: &ClayOptions, workplace: &Workplace) -> Result<Option<Clay>, Failure> {
    let bars = options.weigh.as_deref().map(Weighings::parse_several).transpose()?;
    let mut clay = match (&options.clay, bars.is_some()) {
        (Some(name), _) => {
            if let Some(notice) = workplace.notice() {
                crate::complain(&format!("{notice}\n"));
            }
            workplace.clay(name)?.clay
        }
        (None, true) => Clay::unnamed(),
        (None, false) => return Ok(None),
    };
    if let Some(bars) = bars {
        clay.bars = bars;
    }
    if let Some(file) = &options.dilatometer {
        clay.dilatometer = Some(read_dilatometer_table(&workplace.text(file)?)?);
    }
    Ok(Some(clay))
}

/// A glaze's name and its stress on the clay.
fn on_it(name: &str, clay: &Clay, workplace: &Workplace) -> Result<(String, Option<GlazeStress>), Failure> {
    let found = workplace.glaze(name)?;
    let analysis = Analysis::of(&found.glaze, &found.settings.fluxes, Additions::In)
        .map_err(|bad| trouble::no_analysis(&found, &bad))?;
    Ok((found.glaze.name.clone(), stress_on(&analysis.moles, clay)))
}

fn list(workplace: &Workplace, step: f64, style: Style) -> Answer {
    if let Some(notice) = workplace.notice() {
        crate::complain(&format!("{notice}\n"));
    }
    let (found, complaints) = workplace.all_clays();
    for complaint in &complaints {
        crate::complain(&glost_page::diagnostic::text(complaint));
    }
    let reports: Vec<ClayReport<'_>> = found.iter().map(|found| ClayReport::of(&found.clay, step)).collect();
    Answer::yes(list_text(&reports, style), list_json(&reports))
}

fn usage(word: &str) -> Result<&'static str, Diagnostic> {
    USES.into_iter().find(|known| *known == word).ok_or_else(|| {
        Diagnostic::error(
            "bad-option",
            format!("--use: a clay's numbers say nothing for `{word}`"),
        )
        .help(format!("it is one of: {}", USES.join(", ")))
        .maybe_help(suggestion(word, USES))
    })
}
