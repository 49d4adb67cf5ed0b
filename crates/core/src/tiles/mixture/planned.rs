//! Graded tiles from saved plans and the notebook.

use crate::evidence::notes::Note;
use crate::tiles::blend::{PlanNotes, SavedTile, TileNotes};
use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_chemistry::read::folded;

use super::fit::Graded;
use super::lesson::Outcomes;
use super::logistic::Counted;
use super::table::{Fault, FiredTogether, TileLook, TileTable, WaitingTile};
use super::tile_reading::TileReading;

/// What notes count instead of grading it.
const COUNTED: [&str; 2] = ["crazed", "shivered"];

/// What a note says of a property: a grade, or how many of how many.
enum Said {
    Grade(f64),
    Count(f64, f64),
}

/// The tiles of plans of the same ends with the latest that was noted of a property;
/// `crazed` and `shivered` are counts of pieces. Without a property, the only one that was
/// graded. Earlier notes stay in the notebook and are said.
///
/// # Errors
/// Plans of different ends, a property that nobody noted, several to choose from.
pub fn planned_tiles(plans: &[PlanNotes<'_>], property: Option<&str>) -> Result<TileTable, Diagnostic> {
    let ends = same_ends(plans)?;
    let property = match property {
        Some(property) => property.trim().to_owned(),
        None => only_property(plans)?,
    };
    let many = plans.len() > 1;
    let counted = COUNTED.contains(&folded(&property).as_str());
    let (mut graded, mut counts, mut names) = (Vec::new(), Vec::new(), Vec::new());
    let mut looks = Vec::new();
    let (mut waiting, mut assumptions) = (Vec::new(), Vec::new());
    for plan in plans {
        for tile in &plan.tiles {
            let name = if many {
                plan.plan.whole_code(tile.tile)
            } else {
                tile.tile.code.clone()
            };
            let shares = tile.tile.shares.clone();
            let Some((said, note, count)) = latest(tile, &property) else {
                waiting.push(WaitingTile { name, shares });
                continue;
            };
            match said {
                Said::Grade(value) => graded.push(Graded { shares, value }),
                Said::Count(yes, of) => counts.push(Counted { shares, yes, of }),
            }
            if count > 1 {
                assumptions.push(TileReading::LatestOf {
                    tile: name.clone(),
                    notes: count,
                    on: note.on,
                });
            }
            looks.push(look(note));
            names.push(name);
        }
        if !plan.unclear.is_empty() {
            assumptions.push(TileReading::Unclear(plan.unclear.clone()));
        }
    }
    if names.is_empty() {
        return Err(nobody_noted(plans, &property));
    }
    if !waiting.is_empty() {
        assumptions.push(TileReading::NotNoted {
            property: property.clone(),
            tiles: waiting.iter().map(|tile| tile.name.clone()).collect(),
        });
    }
    Ok(TileTable {
        ends,
        value: property,
        outcomes: if counted {
            Outcomes::Counts(counts)
        } else {
            Outcomes::Grades(graded)
        },
        names,
        looks,
        waiting,
        assumptions,
    })
}

/// How a note's pieces came to be looked at. Tiles fired on one day in one kiln were fired
/// together; without an age the day isn't known.
fn look(note: &Note) -> TileLook {
    let fired = note.age_days.map(|age| {
        let day = note.on.day_number() - age.round() as i64;
        FiredTogether::OnDay(day, note.firing.as_deref().map(folded))
    });
    TileLook {
        firing: fired,
        age_days: note.age_days,
        clay: note.clay.clone(),
    }
}

fn same_ends(plans: &[PlanNotes<'_>]) -> Result<Vec<String>, Diagnostic> {
    let Some(first) = plans.first() else {
        return Err(Diagnostic::error("bad-call", "no plan is named").help("name a saved plan, or a table with --data"));
    };
    let names = |plan: &PlanNotes<'_>| plan.plan.ends.iter().map(|end| folded(end)).collect::<Vec<_>>();
    for other in plans {
        if names(other) != names(first) {
            let message = format!(
                "`{}` and `{}` have different ends: their tiles lie on no common map",
                first.plan.name, other.plan.name
            );
            return Err(Diagnostic::error("different-ends", message).help("learn from one at a time"));
        }
    }
    Ok(first.plan.ends.clone())
}

/// What notes say of a property, the latest first.
fn said_of<'a>(tile: &'a TileNotes<'_>, property: &'a str) -> impl Iterator<Item = (Said, &'a Note)> {
    let counted = Fault::of(property);
    tile.notes.iter().rev().filter_map(move |note| {
        let said = match counted {
            Some(Fault::Crazed) => Said::Count(f64::from(note.crazed?), f64::from(note.pieces?)),
            Some(Fault::Shivered) => Said::Count(f64::from(note.shivered?), f64::from(note.pieces?)),
            None => Said::Grade(note.grade(property)?),
        };
        Some((said, *note))
    })
}

/// The latest of a tile, and of how many.
fn latest<'a>(tile: &'a TileNotes<'_>, property: &'a str) -> Option<(Said, &'a Note, usize)> {
    let mut said = said_of(tile, property);
    let (last, note) = said.next()?;
    Some((last, note, said.count() + 1))
}

/// The properties of all plans, grades and counts.
fn properties(plans: &[PlanNotes<'_>]) -> Vec<String> {
    let mut known: Vec<String> = Vec::new();
    let mut add = |name: &str| {
        if !known.iter().any(|other| folded(other) == folded(name)) {
            known.push(name.to_owned());
        }
    };
    for plan in plans {
        plan.properties().into_iter().for_each(&mut add);
    }
    for counted in COUNTED {
        let noted = |tile: &TileNotes<'_>| said_of(tile, counted).next().is_some();
        if plans.iter().any(|plan| plan.tiles.iter().any(noted)) {
            add(counted);
        }
    }
    known
}

fn only_property(plans: &[PlanNotes<'_>]) -> Result<String, Diagnostic> {
    let known = properties(plans);
    match known.as_slice() {
        [only] => Ok(only.clone()),
        [] => Err(nobody_noted(plans, "anything")),
        many => Err(
            Diagnostic::error("which-property", "several properties were noted of this plan")
                .help(format!("say which with --grade: {}", many.join(", "))),
        ),
    }
}

fn nobody_noted(plans: &[PlanNotes<'_>], property: &str) -> Diagnostic {
    let known = properties(plans);
    let tile: Option<&SavedTile> = plans.iter().flat_map(|plan| &plan.tiles).map(|tile| tile.tile).next();
    let code = tile.map_or("A1", |tile| tile.code.as_str());
    let error = Diagnostic::error("not-noted", format!("no tile of this plan has a note of {property}"));
    match suggestion(property, known.iter().map(String::as_str)) {
        Some(near) => error.help(near),
        None => error.help(format!(
            "note what you see, tile by tile: `glost note --tile {code} --grade gloss=4`"
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evidence::notes::Notes;
    use crate::tiles::blend::{SavedPlan, plan_notes};
    use glost_chemistry::diagnostic::Source;
    use glost_chemistry::quantity::Date;

    const PLAN: &str = r#"{"ends": ["a", "b"], "tiles": [{"code": "A1", "shares": [1, 0]},
        {"code": "A2", "shares": [0.5, 0.5]}, {"code": "A3", "shares": [0, 1]}]}"#;
    const BOOK: &str = r#"{"on": "2026-11-24", "tile": "A1", "grades": {"gloss": 4}, "crazed": 1, "pieces": 5}
{"on": "2026-12-24", "tile": "A1", "grades": {"gloss": 2}}
{"on": "2026-12-24", "tile": "A2", "grades": {"gloss": 3.5, "matt": 1}}
"#;

    fn asked(property: Option<&str>) -> Result<TileTable, Diagnostic> {
        let plan = SavedPlan::read("first", &Source::from_text("plans/first.json", PLAN))?;
        let (notes, _) = Notes::read(&Source::from_text("notes.jsonl", BOOK));
        let plans = [plan];
        planned_tiles(&[plan_notes(&plans, &plans[0], &notes)], property)
    }

    #[test]
    fn the_latest_note_counts_and_the_rest_is_said() {
        let table = asked(Some("Gloss")).unwrap_or_else(|why| panic!("{why:?}"));
        assert_eq!(table.names, ["A1", "A2"]);
        let Outcomes::Grades(tiles) = &table.outcomes else {
            panic!("grades")
        };
        assert_eq!(tiles.iter().map(|tile| tile.value).collect::<Vec<_>>(), [2.0, 3.5]);
        assert_eq!(
            table.assumptions,
            [
                TileReading::LatestOf {
                    tile: "A1".to_owned(),
                    notes: 2,
                    on: Date::parse("2026-12-24").unwrap_or_else(|why| panic!("{why:?}")),
                },
                TileReading::NotNoted {
                    property: "Gloss".to_owned(),
                    tiles: vec!["A3".to_owned()],
                },
            ]
        );
    }

    #[test]
    fn counts_of_pieces_are_counts() {
        let table = asked(Some("crazed")).unwrap_or_else(|why| panic!("{why:?}"));
        assert!(matches!(table.outcomes, Outcomes::Counts(tiles) if tiles[0].of == 5.0));
    }

    #[test]
    fn a_property_has_to_be_named_where_there_are_several() {
        let help = |property| asked(property).err().and_then(|why| why.help);
        assert_eq!(
            help(None).as_deref(),
            Some("say which with --grade: gloss, matt, crazed")
        );
        assert_eq!(help(Some("glos")).as_deref(), Some("did you mean `gloss`?"));
    }
}
