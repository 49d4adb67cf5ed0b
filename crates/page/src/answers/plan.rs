//! `glost plan`: a saved plan with what was noted about its tiles, on its own map.

use crate::words::age::age_words;
use glost_chemistry::diagnostic::Diagnostic;
use glost_core::tiles::blend::{SavedTile, Shape};
use glost_core::tiles::mixture::{EndsDiffer, PlanLadder, ends_differ};
use glost_desk::PageFormat;
use glost_desk::plan::{AllPlans, Answer, Crazed, OnePlan, Tile};

use super::blend::drawing::{MapOf, WIDTH_MM};
use super::blend::{added_words, map, shares_words, short_name};
use crate::flow::Flow;
use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::number;
use crate::print::Printed;
use crate::sheet::{Pages, Setting};
use crate::strip::{self, STRIP_HEIGHT, StripTile};
use crate::svg::Svg;
use crate::{Csv, Shown};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        let list = match self {
            Answer::One(_) => "tiles",
            Answer::All(_) => "plans",
        };
        Csv::of_json(self, list)
    }

    fn text(&self, style: Style) -> String {
        match self {
            Answer::One(one) => one_text(one, style),
            Answer::All(all) => list(all),
        }
    }

    fn printed(&self) -> Result<Printed, Diagnostic> {
        match self {
            Answer::One(one) => match &one.page {
                Some(page) => {
                    let said = format!("Written to {}.\n", page.path.display());
                    Printed::pages(page, &pages(one, page.format), said)
                }
                None => Ok(Printed::default()),
            },
            Answer::All(_) => Ok(Printed::default()),
        }
    }
}

fn list(all: &AllPlans) -> String {
    if all.plans.is_empty() {
        return "No plan is saved here. `glost blend ... --save NAME` saves one.\n".to_owned();
    }
    let mut table = Table::new(&[Align::Left, Align::Left, Align::Left, Align::Right, Align::Right]);
    table.row(["plan", "made", "design", "tiles", "noted"]);
    for plan in &all.plans {
        table.row([
            plan.name.clone(),
            plan.on.map_or_else(|| "-".to_owned(), |on| on.to_string()),
            plan.kind.clone(),
            plan.tiles.to_string(),
            plan.noted.to_string(),
        ]);
    }
    table.text()
}

fn one_text(one: &OnePlan, style: Style) -> String {
    let plan = &one.plan;
    let mut text = style.bold(paragraph(&headline(one), 0).trim_end());
    text.push_str("\n\n");
    for (index, name) in plan.ends.iter().enumerate() {
        text.push_str(&indented(&format!("end {}: ", index + 1), name));
    }
    text.push('\n');
    text.push_str(&text_map(one));
    text.push_str(&table(one));
    if !one.unclear.is_empty() {
        let lines: Vec<String> = one.unclear.iter().map(usize::to_string).collect();
        text.push_str(&indented(
            "Left out: ",
            &format!(
                "notes.jsonl line {}: the code stands in several plans, and nobody says which. Note it again as \"{}/CODE\" and take the line back.",
                lines.join(", "),
                plan.name
            ),
        ));
    }
    text.push_str(&indented(
        "Next: ",
        "glost note --tile CODE --grade gloss=4, or many at once with glost note --sheet FILE.csv.",
    ));
    text
}

fn headline(one: &OnePlan) -> String {
    let plan = &one.plan;
    let made = plan
        .on
        .map_or_else(String::new, |on| format!(", made on {}", on.words()));
    format!(
        "{}: {} tiles, {}{made}; {} of them noted.",
        plan.name,
        plan.tiles.len(),
        plan.kind,
        one.noted
    )
}

fn shares(one: &OnePlan) -> Vec<&[f64]> {
    one.plan.tiles.iter().map(|tile| tile.shares.as_slice()).collect()
}

fn text_map(one: &OnePlan) -> String {
    let plan = &one.plan;
    let shares = shares(one);
    let code = |index: usize| plan.tiles.get(index).map_or("", |tile| tile.code.as_str());
    let codes = map::map(plan.shape, &plan.rows, &shares, |index| code(index).to_owned());
    let Some(property) = &one.shown else {
        return format!("{codes}\n");
    };
    // As wide as its code, so that it stands below it.
    let grades = map::map(plan.shape, &plan.rows, &shares, |index| {
        let tile = one.tiles.get(index);
        tile.map_or_else(String::new, |tile| {
            format!("{:^1$}", grade(tile, property), code(index).chars().count())
        })
    });
    if matches!(plan.shape, Shape::Line | Shape::List) {
        return format!("{property}, the latest grade:\n{codes}{grades}\n");
    }
    format!("{codes}\n{property}, the latest grade:\n{grades}\n")
}

/// What is added step by step, where the plan is a ladder of one addition.
fn ladder(one: &OnePlan) -> Option<PlanLadder> {
    match ends_differ(&one.plan.tiles.iter().collect::<Vec<_>>()) {
        EndsDiffer::Ladder(ladder) => Some(ladder),
        EndsDiffer::Several(_) | EndsDiffer::Otherwise => None,
    }
}

fn step_percent(ladder: &PlanLadder, tile: &SavedTile) -> f64 {
    let held = tile.additions.iter().find(|(name, _)| *name == ladder.material);
    held.map_or(0.0, |(_, percent)| *percent)
}

fn table(one: &OnePlan) -> String {
    let ladder = ladder(one);
    let properties = &one.properties;
    let mut align = vec![Align::Left, Align::Left];
    align.extend(properties.iter().map(|_| Align::Right));
    align.extend([Align::Left, Align::Left]);
    let mut table = Table::new(&align);
    let what = ladder
        .as_ref()
        .map_or_else(|| "shares".to_owned(), |ladder| short_name(&ladder.material));
    let mut head = vec!["tile".to_owned(), what];
    head.extend(properties.iter().cloned());
    head.extend(["crazed".to_owned(), "last looked at".to_owned()]);
    table.row(head);
    for (saved, tile) in one.plan.tiles.iter().zip(&one.tiles) {
        let share = match &ladder {
            Some(ladder) => added_words("", step_percent(ladder, saved)).trim_end().to_owned(),
            None => shares_words(&saved.shares),
        };
        let mut row = vec![saved.code.clone(), share];
        row.extend(properties.iter().map(|property| grade(tile, property)));
        row.push(crazed(tile));
        row.push(last_looked_at(tile));
        table.row(row);
    }
    table.text()
}

/// The map to print, with its results.
fn pages(one: &OnePlan, format: PageFormat) -> Pages {
    let map = map_of(one);
    let strip = strip_of(one);
    let name = &one.plan.name;
    let drawings = match format {
        PageFormat::Svg => vec![picture(&map, strip.as_ref())],
        PageFormat::Html => {
            let mut flow = Flow::new();
            flow.title(name);
            flow.paragraph(&headline(one));
            flow.picture(map.height(), |page| map.draw(page));
            if let Some((title, tiles)) = &strip {
                flow.picture(STRIP_HEIGHT, |page| strip::draw(page, WIDTH_MM, title, tiles));
            }
            flow.finish()
        }
    };
    Pages {
        title: name.clone(),
        setting: Setting::AnyPaper,
        drawings,
    }
}

/// The map by itself, with the ladder's strip below.
fn picture(map: &MapOf<'_>, strip: Option<&(String, Vec<StripTile>)>) -> String {
    let Some((title, tiles)) = strip else {
        return map.svg();
    };
    let mut svg = Svg::new(WIDTH_MM, map.height() + STRIP_HEIGHT);
    map.draw(&mut svg);
    svg.moved(0.0, map.height(), |svg| strip::draw(svg, WIDTH_MM, title, tiles));
    svg.finish()
}

/// A ladder's tiles in a row once one was looked at for crazing: what was added, what became of
/// it. The least addition stands first.
fn strip_of(one: &OnePlan) -> Option<(String, Vec<StripTile>)> {
    let ladder = ladder(one)?;
    let looked = |tile: &Tile| tile.crazed.is_some() || tile.failed_test.is_some();
    if !one.tiles.iter().any(looked) {
        return None;
    }
    let both = one.plan.tiles.iter().zip(&one.tiles);
    let mut tiles: Vec<(f64, StripTile)> = both
        .map(|(saved, tile)| {
            let percent = step_percent(&ladder, saved);
            let added = format!("{}: {}", saved.code, added_words("", percent).trim_end());
            (percent, strip_tile(tile, added))
        })
        .collect();
    tiles.sort_by(|one, other| one.0.total_cmp(&other.0));
    let title = format!("{} step by step", ladder.material);
    Some((title, tiles.into_iter().map(|(_, tile)| tile).collect()))
}

fn strip_tile(tile: &Tile, added: String) -> StripTile {
    let counted = tile.crazed.and_then(|look| Some((look.crazed, look.pieces?)));
    let counted = counted.map(|(crazed, pieces)| format!("{crazed} of {pieces}"));
    let age = tile.crazed.and_then(|look| look.age_days).map(age_words);
    let test = tile.failed_test.as_ref().map(|test| format!("crazed in {test}"));
    StripTile {
        added,
        crazed: tile.crazed.map(|look| look.crazed > 0),
        seen: counted.into_iter().chain(age).chain(test).collect(),
    }
}

fn map_of(one: &OnePlan) -> MapOf<'_> {
    let plan = &one.plan;
    let ladder = ladder(one);
    let words = |saved: &SavedTile, tile: &Tile| -> String {
        let grade = one.shown.as_ref().and_then(|property| {
            let grade = tile.latest.get(property)?.grade;
            Some(format!("{property} {}", number::plain(grade)))
        });
        let crazed = tile.crazed.filter(|look| look.crazed > 0).map(|_| "crazed".to_owned());
        let added = ladder.as_ref();
        let added = added.map(|ladder| added_words(&ladder.material, step_percent(ladder, saved)));
        added
            .into_iter()
            .chain(grade)
            .chain(crazed)
            .collect::<Vec<_>>()
            .join(", ")
    };
    let tiles = plan.tiles.iter().zip(&one.tiles);
    MapOf {
        shape: plan.shape,
        rows: &plan.rows,
        shares: shares(one),
        ends: &plan.ends,
        marks: tiles
            .map(|(saved, tile)| (saved.code.clone(), words(saved, tile)))
            .collect(),
    }
}

fn grade(tile: &Tile, property: &str) -> String {
    let latest = tile.latest.get(property);
    latest.map_or_else(|| "-".to_owned(), |latest| number::plain(latest.grade))
}

fn crazed(tile: &Tile) -> String {
    let test = tile.failed_test.as_ref().map(|test| format!("in {test}"));
    let Some(look) = tile.crazed else {
        return test.unwrap_or_else(|| "-".to_owned());
    };
    let by_itself = counted(look);
    test.map_or(by_itself.clone(), |test| format!("{by_itself}, some {test}"))
}

fn counted(look: Crazed) -> String {
    match (look.crazed, look.pieces) {
        (crazed, Some(pieces)) => format!("{crazed} of {pieces}"),
        (0, None) => "not so far".to_owned(),
        (crazed, None) => crazed.to_string(),
    }
}

fn last_looked_at(tile: &Tile) -> String {
    let Some((on, age_days)) = tile.last else {
        return "-".to_owned();
    };
    let age = age_days.map_or_else(String::new, |days| format!(" at {}", age_words(days)));
    let more = match tile.lines.len() {
        0 | 1 => String::new(),
        notes => format!(", {notes} notes"),
    };
    format!("{on}{age}{more}")
}
