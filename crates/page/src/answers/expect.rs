//! `glost expect` and `glost results --all`: what everything that was graded says.

use glost_core::tiles::expect::{Expectation, Graded, LeftOut, Teaching, Unlike};
use glost_desk::expect::Answer;
use glost_desk::expect::whole::{self, Told};

use crate::layout::{Align, Style, Table, capital, indented, paragraph};
use crate::number;
use crate::{Csv, Shown};

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        let expected = &self.expected;
        let mut text = style.bold(paragraph(&headline(self), 0).trim_end());
        text.push_str("\n\n");
        if let Some(alike) = self.told.all_alike {
            text.push_str(&indented("All alike: ", &all_alike(alike, &self.told)));
        }
        for unlike in &expected.unlike {
            text.push_str(&indented("Unlike: ", &outside(unlike)));
        }
        text.push_str(&nearest(expected));
        text.push_str(&worth(&self.told));
        text.push_str(&indented(
            "Band: ",
            &format!(
                "one tile in ten is graded outside it; the mean of many lies between {} and {}. Learnt from fired chemistry, melt at the cone, clay and coat, as far as they were noted; cooling and grinding are not in it.",
                grade(expected.level.0),
                grade(expected.level.1)
            ),
        ));
        text
    }
}

fn headline(answer: &Answer) -> String {
    let expected = &answer.expected;
    let band = format!("{} to {}, 90 %", grade(expected.tile.0), grade(expected.tile.1));
    if expected.like {
        return format!(
            "{} of {}: {} ({band}).",
            capital(&answer.told.grade),
            answer.glaze,
            grade(expected.value)
        );
    }
    format!(
        "Nothing like {} was made here: its {} is a guess, {} ({band}). Make a tile.",
        answer.glaze,
        answer.told.grade,
        grade(expected.value)
    )
}

fn grade(value: f64) -> String {
    format!("{value:.1}")
}

fn all_alike(alike: f64, told: &Told) -> String {
    if told.whole.by_thing.grades == 1 {
        return format!("there is one grade only, {alike:.1}: it says nothing about chemistry.");
    }
    format!("every grade is {alike:.1}: what makes a difference was not seen yet.")
}

fn outside(unlike: &Unlike) -> String {
    let names: Vec<&str> = unlike.oxides.iter().map(|oxide| oxide.formula()).collect();
    format!(
        "{} is {}; what was made had {} to {}.",
        names.join(" + "),
        number::unity(unlike.moles),
        number::unity(unlike.made.0),
        number::unity(unlike.made.1)
    )
}

fn nearest(expected: &Expectation) -> String {
    let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Right, Align::Left]);
    table.row(["nearest made", "apart", "grade", "times", "on"]);
    for near in &expected.nearest {
        let clay = near.made.clay.clone().unwrap_or_default();
        let cone = near.made.cone.as_deref().map(|cone| format!("cone {cone}"));
        let on: Vec<String> = [Some(clay).filter(|clay| !clay.is_empty()), cone]
            .into_iter()
            .flatten()
            .collect();
        table.row([
            near.made.name.clone(),
            format!("{:.1}", near.distance),
            grade(near.grade),
            near.count.to_string(),
            on.join(", "),
        ]);
    }
    let mut text = table.text();
    text.push_str(&paragraph(
        "Apart 1 is one clear change: a quarter more silica, 0.12 B2O3, 50 C; beyond 2 it counts as unlike.",
        0,
    ));
    text.push('\n');
    text
}

/// What left-out grades say of the whole.
fn worth(told: &Told) -> String {
    let whole = &told.whole;
    let mut text = String::new();
    let off = |left: &LeftOut| {
        format!(
            "off by {:.2}, the plain mean by {:.2}; {:.0} % lay in their band",
            left.error,
            left.plain,
            100.0 * left.in_band
        )
    };
    if whole.by_thing.grades > 1 {
        text.push_str(&indented(
            "Left out one at a time: ",
            &format!(
                "{} grades of {} things, {}.",
                whole.by_thing.grades,
                told.things,
                off(&whole.by_thing)
            ),
        ));
    }
    if let Some(glaze) = &whole.by_glaze {
        text.push_str(&indented(
            "A whole glaze or plan left out: ",
            &format!("{}.", off(glaze)),
        ));
        if glaze.error >= 0.95 * glaze.plain {
            text.push_str(&indented(
                "So far: ",
                "the mean of all grades tells a new glaze as well. These grades don't yet show what makes the difference.",
            ));
        }
    }
    if whole.by_thing.grades > 1 {
        text.push_str(&indented(
            "Scatter: ",
            &format!(
                "one grade lies {:.1} about what its glaze is (one standard deviation).",
                whole.scatter
            ),
        ));
    }
    if told.places < told.things {
        text.push_str(&indented(
            "Gathered: ",
            &format!(
                "{} things about the {} that lie farthest apart.",
                told.things, told.places
            ),
        ));
    }
    for thing in &whole.contradictions {
        text.push_str(&indented("These disagree: ", &contradiction(thing)));
    }
    if !told.unplaced.is_empty() {
        let lines: Vec<String> = told.unplaced.iter().take(8).map(ToString::to_string).collect();
        let more = if told.unplaced.len() > 8 { " ..." } else { "" };
        text.push_str(&indented(
            "Not counted: ",
            &format!(
                "{} graded notes of unknown chemistry, line {}{more}.",
                told.unplaced.len(),
                lines.join(", ")
            ),
        ));
    }
    text
}

fn contradiction(thing: &Graded) -> String {
    let grades: Vec<String> = thing
        .grades
        .iter()
        .map(|(value, line)| format!("{} (line {line})", grade(*value)))
        .collect();
    format!("{} was graded {}; both count.", thing.made.name, grades.join(" and "))
}

impl Shown for whole::Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "glazes")
    }

    fn text(&self, style: Style) -> String {
        let told = &self.told;
        let grades = told.whole.by_thing.grades;
        let headline = match told.all_alike {
            Some(alike) => capital(&all_alike(alike, told)),
            None => format!(
                "{}: {grades} grades of {} things, learnt from as one.",
                capital(&told.grade),
                told.things
            ),
        };
        let mut text = style.bold(paragraph(&headline, 0).trim_end());
        text.push_str("\n\n");
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Left, Align::Left]);
        table.row(["glaze", told.grade.as_str(), "90 %", ""]);
        for glaze in &self.glazes {
            let like = if glaze.like { "" } else { "nothing like it was made" };
            table.row([
                glaze.glaze.clone(),
                grade(glaze.value),
                format!("{} to {}", grade(glaze.tile.0), grade(glaze.tile.1)),
                like.to_owned(),
            ]);
        }
        text.push_str(&table.text());
        text.push('\n');
        text.push_str(&worth(told));
        text.push_str(&by_glaze(told));
        for (place, teaching) in self.teaches.iter().enumerate() {
            let lead = if place == 0 {
                "Tile that teaches most: "
            } else {
                "Next: "
            };
            text.push_str(&indented(lead, &teaches(teaching, &told.grade)));
        }
        text
    }
}

fn by_glaze(told: &Told) -> String {
    if told.whole.glazes.is_empty() {
        return String::new();
    }
    let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Right]);
    table.row(["left out as a whole", "grades", "off by", "plain mean"]);
    for glaze in &told.whole.glazes {
        table.row([
            glaze.name.clone(),
            glaze.grades.to_string(),
            format!("{:.2}", glaze.error),
            format!("{:.2}", glaze.plain),
        ]);
    }
    format!("\n{}\n", table.text())
}

fn teaches(teaching: &Teaching, graded: &str) -> String {
    let what = match teaching.candidate.of.as_slice() {
        [one] => format!("a tile of {one}, graded for {graded}"),
        [one, other] => format!(
            "{} (`glost blend line \"{one}\" \"{other}\" --steps 3`)",
            teaching.candidate.made.name
        ),
        _ => teaching.candidate.made.name.clone(),
    };
    format!(
        "{what}: the doubt about this studio's glazes falls from {:.2} to {:.2}.",
        teaching.doubt, teaching.doubt_after
    )
}
