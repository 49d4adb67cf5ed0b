//! The ways to make a glaze fit a clay: beside the least change of all, one for
//! each kind of change.

use glost_core::recipes::adjust::MOST_RISE_PERCENT;
use glost_desk::Said;
use glost_desk::adjust::{FitWays, LADDER_TILES, WorkedWay};

use crate::layout::{Align, Table, indented};
use crate::number;
use crate::words::fit_said::fit_said;
use crate::words::say;

/// Below the answer.
pub(super) fn text(fit: &FitWays) -> String {
    let mut text = so_changed(fit);
    text.push_str(&ways(fit));
    if !fit.too_far.is_empty() {
        let left_out: Vec<String> = fit
            .too_far
            .iter()
            .map(|way| format!("{} ({:+.0} {})", way.route.name(), way.rise_percent, way.material.name))
            .collect();
        let told = format!(
            "{}: more than {MOST_RISE_PERCENT:.0} parts is another glaze.",
            left_out.join(", ")
        );
        text.push_str(&indented("Left out: ", &told));
    }
    for said in &fit.aim.said {
        text.push_str(&indented("Assumed: ", &format!("{}.", fit_said(said))));
    }
    text
}

/// What the recipe comes to on the clay.
fn so_changed(fit: &FitWays) -> String {
    let now = &fit.aim.now;
    let Some(after) = fit.after else {
        return String::new();
    };
    let told = format!(
        "now {} that a piece crazes within three years on {}; so changed {}. Shivering: {}. The aim: at most {:.0} %.",
        number::chance(now.craze.chance),
        now.clay,
        number::chance(after.craze),
        number::chance(after.shiver),
        100.0 * fit.aim.level
    );
    let mut text = indented("Fit: ", &told);
    if let Some(lowest) = fit.untried_below {
        text.push_str(&indented(
            "Untried: ",
            &format!(
                "the lowest glaze that was looked at on {} comes to {lowest:.1}: go below it in steps, and look \
                 at rims and edges for shivering (slivers are sharp).",
                now.clay
            ),
        ));
    }
    text
}

fn ways(fit: &FitWays) -> String {
    if fit.ways.is_empty() {
        return indented(
            "Ways: ",
            "none by one kind of change from what is at hand; name a material with --with to try it.",
        );
    }
    let mut text = "\nDistinct ways: one material rises, silica with it, all else gives way.\n".to_owned();
    text.push_str(&table(&fit.ways));
    for worked in &fit.ways {
        let effects = worked.side_effects.iter().cloned().map(Said::SideEffect);
        let effects: Vec<String> = effects.map(|effect| say(&effect)).collect();
        text.push_str(&indented(
            &format!("{}: ", worked.way.route.name()),
            &format!("{}.", effects.join("; ")),
        ));
    }
    text.push_str(&indented(
        "Ladder: ",
        &format!(
            "test the way you choose with {LADDER_TILES} tiles from old to new (--format json lists their parts), \
             5 pieces each, looked at after a day, 30 and 180 days: `glost note` keeps them, `glost fit` learns from them."
        ),
    ));
    text
}

fn table(ways: &[WorkedWay]) -> String {
    let mut table = Table::new(&[
        Align::Left,
        Align::Left,
        Align::Right,
        Align::Right,
        Align::Right,
        Align::Right,
    ]);
    table.row(["way", "what rises", "from", "to", "silica to", "crazes"]);
    for worked in ways {
        let craze = worked
            .chances
            .map_or_else(|| "-".to_owned(), |chances| format!("{:.0} %", 100.0 * chances.craze));
        table.row([
            worked.way.route.name().to_owned(),
            worked.way.material.name.clone(),
            number::parts(worked.before_parts),
            number::parts(worked.before_parts + worked.way.rise_percent),
            number::parts(worked.silica_parts),
            craze,
        ]);
    }
    table.text()
}
