//! `glost plan`: a saved plan with what was noted about its tiles, on its own map.

use glost_core::evidence::notes::Note;
use glost_core::tiles::blend::{PlanNotes, Shape, TileNotes};
use serde_json::{Value, json};

use crate::blend::drawing::MapOf;
use crate::blend::map;
use crate::flow::Flow;
use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::sheet::{PageFormat, Pages, Setting};
use crate::{amounts, number};

/// One saved plan.
#[derive(Debug, Clone)]
pub struct PlanPage<'a> {
    /// The plan with its notes.
    pub told: &'a PlanNotes<'a>,
    /// The property on the map; `None`: the first that was graded.
    pub show: Option<&'a str>,
}

/// All saved plans.
#[derive(Debug, Clone)]
pub struct PlanListPage<'a> {
    /// The plans with their notes.
    pub plans: &'a [PlanNotes<'a>],
}

impl PlanListPage<'_> {
    /// As JSON.
    pub fn json(&self) -> Value {
        let plans = self.plans.iter().map(|told| {
            json!({
                "plan": told.plan.name,
                "on": told.plan.on.map(|on| on.to_string()),
                "kind": told.plan.kind,
                "tiles": told.plan.tiles.len(),
                "noted": noted(told),
            })
        });
        json!({ "plans": plans.collect::<Vec<_>>() })
    }

    /// For a terminal.
    pub fn text(&self) -> String {
        if self.plans.is_empty() {
            return "No plan is saved here. `glost blend ... --save NAME` saves one.\n".to_owned();
        }
        let mut table = Table::new(&[Align::Left, Align::Left, Align::Left, Align::Right, Align::Right]);
        table.row(["plan", "made", "design", "tiles", "noted"]);
        for told in self.plans {
            table.row([
                told.plan.name.clone(),
                told.plan.on.map_or_else(|| "-".to_owned(), |on| on.to_string()),
                told.plan.kind.clone(),
                told.plan.tiles.len().to_string(),
                noted(told).to_string(),
            ]);
        }
        table.text()
    }
}

fn noted(told: &PlanNotes<'_>) -> usize {
    told.tiles.iter().filter(|tile| !tile.notes.is_empty()).count()
}

impl PlanPage<'_> {
    /// As JSON.
    pub fn json(&self) -> Value {
        let plan = self.told.plan;
        let tiles = self.told.tiles.iter().map(|tile| {
            let properties = self.told.properties();
            let grades = properties.iter().filter_map(|property| {
                let (grade, note) = tile.latest_grade(property)?;
                Some((
                    (*property).to_owned(),
                    json!({"grade": grade, "on": note.on.to_string(), "line": note.line}),
                ))
            });
            json!({
                "code": tile.tile.code,
                "shares": tile.tile.shares,
                "parts": amounts::map(tile.tile.parts.iter().cloned()),
                "additions": amounts::map(tile.tile.additions.iter().cloned()),
                "latest": grades.collect::<serde_json::Map<_, _>>(),
                "crazed": tile.latest_crazed().map(|(crazed, pieces, note)| json!({
                    "crazed": crazed, "pieces": pieces, "on": note.on.to_string(), "line": note.line,
                })),
                "lines": tile.notes.iter().map(|note| note.line).collect::<Vec<_>>(),
            })
        });
        json!({
            "plan": plan.name,
            "on": plan.on.map(|on| on.to_string()),
            "call": plan.call,
            "kind": plan.kind,
            "shape": plan.shape.word(),
            "rows": plan.rows,
            "ends": plan.ends,
            "properties": self.told.properties(),
            "tiles": tiles.collect::<Vec<_>>(),
            "unclear": self.told.unclear,
        })
    }

    /// The property on the map.
    fn property(&self) -> Option<&str> {
        self.show.or_else(|| self.told.properties().first().copied())
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let plan = self.told.plan;
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push_str("\n\n");
        for (index, name) in plan.ends.iter().enumerate() {
            text.push_str(&indented(&format!("end {}: ", index + 1), name));
        }
        text.push('\n');
        text.push_str(&self.map());
        text.push_str(&self.table());
        if !self.told.unclear.is_empty() {
            let lines: Vec<String> = self.told.unclear.iter().map(usize::to_string).collect();
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

    fn headline(&self) -> String {
        let plan = self.told.plan;
        let made = plan
            .on
            .map(|on| format!(", made on {}", on.words()))
            .unwrap_or_default();
        format!(
            "{}: {} tiles, {}{made}; {} of them noted.",
            plan.name,
            plan.tiles.len(),
            plan.kind,
            noted(self.told)
        )
    }

    fn map(&self) -> String {
        let plan = self.told.plan;
        let shares: Vec<&[f64]> = plan.tiles.iter().map(|tile| tile.shares.as_slice()).collect();
        let codes = map::map(plan.shape, &plan.rows, &shares, |index| {
            plan.tiles.get(index).map(|tile| tile.code.clone()).unwrap_or_default()
        });
        let Some(property) = self.property() else {
            return format!("{codes}\n");
        };
        // As wide as its code, so that it stands below it.
        let grades = map::map(plan.shape, &plan.rows, &shares, |index| {
            let tile = self.told.tiles.get(index);
            tile.map(|tile| format!("{:^1$}", grade(tile, property), tile.tile.code.chars().count()))
                .unwrap_or_default()
        });
        if matches!(plan.shape, Shape::Line | Shape::List) {
            return format!("{property}, the latest grade:\n{codes}{grades}\n");
        }
        format!("{codes}\n{property}, the latest grade:\n{grades}\n")
    }

    fn table(&self) -> String {
        let properties = self.told.properties();
        let mut align = vec![Align::Left, Align::Left];
        align.extend(properties.iter().map(|_| Align::Right));
        align.extend([Align::Left, Align::Left]);
        let mut table = Table::new(&align);
        let mut head = vec!["tile".to_owned(), "shares".to_owned()];
        head.extend(properties.iter().map(|property| (*property).to_owned()));
        head.extend(["crazed".to_owned(), "last looked at".to_owned()]);
        table.row(head);
        for tile in &self.told.tiles {
            let mut row = vec![tile.tile.code.clone(), crate::blend::shares_words(&tile.tile.shares)];
            row.extend(properties.iter().map(|property| grade(tile, property)));
            row.push(crazed(tile));
            let last = tile.notes.last();
            row.push(last.map_or_else(|| "-".to_owned(), |note| looked_at(note, tile.notes.len())));
            table.row(row);
        }
        table.text()
    }

    /// The map to print, with its results.
    pub fn pages(&self, format: PageFormat) -> Pages {
        let map = self.map_of();
        let drawings = match format {
            PageFormat::Svg => vec![map.svg()],
            PageFormat::Html => {
                let mut flow = Flow::new();
                flow.title(&self.told.plan.name);
                flow.paragraph(&self.headline());
                flow.picture(map.height(), |page| map.draw(page));
                flow.finish()
            }
        };
        Pages {
            title: self.told.plan.name.clone(),
            setting: Setting::AnyPaper,
            drawings,
        }
    }

    fn map_of(&self) -> MapOf<'_> {
        let plan = self.told.plan;
        let property = self.property();
        let words = |tile: &TileNotes<'_>| -> String {
            let grade = property.and_then(|property| {
                let (grade, _) = tile.latest_grade(property)?;
                Some(format!("{property} {}", number::plain(grade)))
            });
            let crazed = tile
                .latest_crazed()
                .filter(|found| found.0 > 0)
                .map(|_| "crazed".to_owned());
            grade.into_iter().chain(crazed).collect::<Vec<_>>().join(", ")
        };
        MapOf {
            shape: plan.shape,
            rows: &plan.rows,
            shares: plan.tiles.iter().map(|tile| tile.shares.as_slice()).collect(),
            ends: &plan.ends,
            marks: self
                .told
                .tiles
                .iter()
                .map(|tile| (tile.tile.code.clone(), words(tile)))
                .collect(),
        }
    }
}

fn grade(tile: &TileNotes<'_>, property: &str) -> String {
    let latest = tile.latest_grade(property);
    latest.map_or_else(|| "-".to_owned(), |(grade, _)| number::plain(grade))
}

fn crazed(tile: &TileNotes<'_>) -> String {
    match tile.latest_crazed() {
        None => "-".to_owned(),
        Some((crazed, Some(pieces), _)) => format!("{crazed} of {pieces}"),
        Some((0, None, _)) => "not so far".to_owned(),
        Some((crazed, None, _)) => crazed.to_string(),
    }
}

fn looked_at(note: &Note, notes: usize) -> String {
    let age = note
        .age_days
        .map(|days| format!(" at {}", glost_core::evidence::notes::age_words(days)));
    let more = if notes > 1 {
        format!(", {notes} notes")
    } else {
        String::new()
    };
    format!("{}{}{more}", note.on, age.unwrap_or_default())
}
