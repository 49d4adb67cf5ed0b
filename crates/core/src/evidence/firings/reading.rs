//! Reading `firings.jsonl`.

use std::collections::HashSet;

use serde_json::Value;

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::quantity::{Celsius, Cone, Date};

use crate::evidence::notes::lines::{Line, Record, line_count, lines};
use crate::renames::{Rename, Renames};

use super::book::Firings;
use super::entry::{Entry, Put};
use super::firing::{Firing, FiringKind};
use super::opening::{Cooling, Opening, TakeBack};

/// The hottest kiln that is believed, deg C.
const HOTTEST: f64 = 1_500.0;
/// The longest soak that is believed, minutes.
const LONGEST_SOAK_MINUTES: f64 = 10_000.0;

enum Read {
    Load(Box<Firing>),
    Opening(Box<Opening>),
    TakeBack(TakeBack),
}

impl Firings {
    /// Reads the text of the book: every line that is whole, and a complaint for each that
    /// isn't, with its place.
    pub fn read(source: &Source) -> (Firings, Vec<Diagnostic>) {
        let (mut loads, mut openings, mut voids) = (Vec::new(), Vec::new(), Vec::new());
        let (mut complaints, mut conflict) = (Vec::new(), None);
        let mut renames = Renames::default();
        let any_renamed = Renames::may_stand_in(&source.text);
        for line in lines(source) {
            if any_renamed && let Some(rename) = Rename::of_line(line.text) {
                renames.push(rename);
                continue;
            }
            match read_line(line) {
                Ok(Read::Load(firing)) => loads.push(*firing),
                Ok(Read::Opening(opening)) => openings.push(*opening),
                Ok(Read::TakeBack(void)) => voids.push(void),
                Err(error) if line.is_conflict_mark() => {
                    conflict = conflict.or(Some(line.number));
                    complaints.push(error);
                }
                Err(error) => complaints.push(error.help(
                    "all other lines count; write it again with `glost kiln`, then take this line out of the file",
                )),
            }
        }
        if !renames.is_empty() {
            loads.iter_mut().for_each(|load| load.call_anew(&renames));
        }
        let book = Firings::of(loads, openings, voids, line_count(&source.text), conflict);
        let loaded: HashSet<&str> = book.all().iter().map(|firing| firing.id.as_str()).collect();
        for opening in &book.openings {
            if !loaded.contains(opening.of.as_str()) {
                complaints.extend(without_its_load(source, opening));
            }
        }
        (book, complaints)
    }
}

fn without_its_load(source: &Source, opening: &Opening) -> Option<Diagnostic> {
    let line = lines(source).find(|line| line.number == opening.line)?;
    let message = format!("no load here has the id `{}`: nothing is opened", opening.of);
    let mut doubt = line
        .about("opened", "opening-of-nothing", message)
        .help("it came without the load that it opens; merge again, or leave it: it does no harm");
    doubt.severity = glost_chemistry::diagnostic::Severity::Caution;
    Some(doubt)
}

fn read_line(line: Line<'_>) -> Result<Read, Diagnostic> {
    let mut record = line.record()?;
    let on = day(&mut record)?;
    let id = record.text("id", false)?;
    if let Some(of) = record.text("void", false)? {
        let void = TakeBack {
            line: line.number,
            id: String::new(),
            of: of.to_lowercase(),
            on,
            text: record.text("text", false)?,
        };
        return Ok(Read::TakeBack(match id {
            Some(id) => TakeBack { id, ..void },
            None => void.named(),
        }));
    }
    if let Some(of) = record.text("opened", false)? {
        let opening = opening(&mut record, line.number, of.to_lowercase(), on)?;
        return Ok(Read::Opening(Box::new(match id {
            Some(id) => Opening { id, ..opening },
            None => opening.named(),
        })));
    }
    let firing = load(&mut record, on)?;
    Ok(Read::Load(Box::new(match id {
        Some(id) => Firing { id, ..firing },
        None => firing.named(),
    })))
}

fn day(record: &mut Record<'_>) -> Result<Date, Diagnostic> {
    let line = record.line;
    let text = record.text("on", false)?;
    let text = text.ok_or_else(|| line.complaint("missing-key", "this line has no day", 1, 1))?;
    Date::parse(&text).map_err(|trouble| line.about("on", "bad-date", trouble.message))
}

fn word<T>(record: &mut Record<'_>, key: &str, read: fn(&str) -> Option<T>) -> Result<Option<T>, Diagnostic> {
    let line = record.line;
    let Some(text) = record.text(key, false)? else {
        return Ok(None);
    };
    let wrong = || line.about(key, "unknown-word", format!("`{text}` is no `{key}`"));
    read(&text).map(Some).ok_or_else(wrong)
}

fn cone(record: &mut Record<'_>, key: &str) -> Result<Option<String>, Diagnostic> {
    let line = record.line;
    let Some(text) = record.text(key, true)? else {
        return Ok(None);
    };
    let cone = Cone::parse(&text).map_err(|trouble| line.about(key, "bad-cone", trouble.message))?;
    Ok(Some(cone.name().to_owned()))
}

fn opening(record: &mut Record<'_>, line: usize, of: String, on: Date) -> Result<Opening, Diagnostic> {
    Ok(Opening {
        line,
        id: String::new(),
        of,
        on,
        cone_bent: cone(record, "cone_bent")?,
        peak: record.number("peak_c", 0.0, HOTTEST)?.and_then(Celsius::new),
        soak_minutes: record.number("soak_minutes", 0.0, LONGEST_SOAK_MINUTES)?,
        cooled: word(record, "cooled", Cooling::from_word)?,
        apart: record.take("apart") == Some(Value::Bool(true)),
        text: record.text("text", false)?,
    })
}

fn load(record: &mut Record<'_>, on: Date) -> Result<Firing, Diagnostic> {
    let line = record.line;
    let Some(Value::Array(load)) = record.take("load") else {
        return Err(line.complaint(
            "missing-key",
            "this line is no load, no opening and takes nothing back",
            1,
            1,
        ));
    };
    Ok(Firing {
        line: line.number,
        id: String::new(),
        on,
        firing: record.text("firing", true)?,
        kind: word(record, "kind", FiringKind::from_word)?.unwrap_or(FiringKind::Glost),
        cone_meant: cone(record, "cone_meant")?,
        atmosphere: record.text("atmosphere", false)?,
        load: load
            .iter()
            .map(|value| entry(line, value))
            .collect::<Result<_, Diagnostic>>()?,
        text: record.text("text", false)?,
        opened: None,
        void: None,
    })
}

fn entry(line: Line<'_>, value: &Value) -> Result<Entry, Diagnostic> {
    let text = |key: &str| -> Option<String> {
        let value = value.get(key)?;
        let text = value
            .as_str()
            .map_or_else(|| value.to_string(), |text| text.trim().to_owned());
        (!value.is_null() && !text.is_empty()).then_some(text)
    };
    let batch = text("batch").map(|number| Put::Batch {
        number,
        booking: text("booking"),
    });
    let put = batch
        .or_else(|| text("tile").map(Put::Tile))
        .or_else(|| text("glaze").map(Put::Glaze))
        .or_else(|| text("ware").map(Put::Ware));
    let put = put.ok_or_else(|| line.about("load", "missing-key", "an entry names no batch, glaze or tile"))?;
    let pieces = value.get("pieces").and_then(Value::as_u64);
    let pieces = pieces
        .and_then(|pieces| u32::try_from(pieces).ok())
        .filter(|pieces| *pieces > 0);
    let pieces = pieces.ok_or_else(|| line.about("load", "out-of-range", "an entry says no count of pieces"))?;
    Ok(Entry {
        put,
        over: text("over"),
        clay: text("clay"),
        pieces,
        shelf: text("shelf"),
        coat: text("coat"),
        mark: text("mark"),
        text: text("text"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::renames::Renamed;

    /// What was loaded before a glaze was renamed is called by its new name; a load of the
    /// old name after that day is of another glaze.
    #[test]
    fn a_load_is_called_by_the_names_of_today() {
        let days = ["2026-11-01", "2026-11-20", "2026-11-25"].map(Date::parse);
        let [Ok(before), Ok(on), Ok(after)] = days else {
            panic!("three days")
        };
        let load = |on: Date| format!(r#"{{"on":"{on}","load":[{{"glaze":"Tide clear","clay":"buff","pieces":2}}]}}"#);
        let rename = Rename {
            on,
            turn: 0,
            of: Renamed::Glaze,
            from: "Tide clear".to_owned(),
            to: "Ebb clear".to_owned(),
        };
        let text = [load(before), load(after), rename.to_line()].join("\n") + "\n";
        let (book, complaints) = Firings::read(&Source::from_text("firings.jsonl", &text));
        assert_eq!(complaints, []);
        let names: Vec<_> = book.all().iter().map(|firing| firing.load[0].put.clone()).collect();
        let glaze = |name: &str| Put::Glaze(name.to_owned());
        assert_eq!(names, [glaze("Ebb clear"), glaze("Tide clear")]);
    }

    /// Whoever takes back what took something back has it count again.
    #[test]
    fn what_is_taken_back_is_out_until_that_is_taken_back() {
        const LINES: [&str; 4] = [
            r#"{"on":"2026-11-01","id":"load1111","load":[{"ware":"mugs","pieces":4}]}"#,
            r#"{"on":"2026-11-02","id":"void2222","void":"load1111"}"#,
            r#"{"on":"2026-11-03","id":"void3333","void":"void2222"}"#,
            r#"{"on":"2026-11-04","id":"void4444","void":"void3333"}"#,
        ];
        let taken_back_by = |lines: usize, id: &str| {
            let (book, complaints) = Firings::read(&Source::from_text("firings.jsonl", &LINES[..lines].join("\n")));
            assert_eq!(complaints, []);
            book.taken_back_by(id).map(|void| void.id.clone())
        };
        let by = |id: &str| Some(id.to_owned());
        assert_eq!(taken_back_by(1, "load1111"), None);
        assert_eq!(taken_back_by(2, "load1111"), by("void2222"));
        assert_eq!(
            (taken_back_by(3, "load1111"), taken_back_by(3, "void2222")),
            (None, by("void3333"))
        );
        assert_eq!(
            (taken_back_by(4, "load1111"), taken_back_by(4, "void2222")),
            (by("void2222"), None)
        );
    }
}
