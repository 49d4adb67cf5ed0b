//! `glost glazes`: a line each, or what checks found in all of them.

use glost_core::rules::Level;
use glost_desk::glazes::{Answer, Layers, Line, Problem, Surface};

use crate::fitted::fitted;
use crate::layout::{Style, indented, paragraph};
use crate::words::finding::told_in_one as told_by;
use crate::{Csv, Shown, csv_number};

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&headline(self), 0).trim_end());
        text.push('\n');
        match &self.problems {
            Some(problems) => text.push_str(&problem_table(problems)),
            None if self.lines.is_empty() => {}
            None => text.push_str(&lines(self)),
        }
        if self.problems.is_none() && !self.layers.is_empty() {
            text.push_str("\nTwo on one piece (no chemistry is claimed of the two):\n");
            for layers in &self.layers {
                text.push_str(&indented("  ", &layers_words(layers)));
            }
        }
        text
    }

    fn csv(&self) -> Option<Csv> {
        Some(match &self.problems {
            Some(problems) => Csv::of(
                &[
                    "glaze", "level", "script", "subject", "value", "low", "high", "message", "source",
                ],
                problems.iter().map(problem_cells),
            ),
            None => Csv::of(
                &[
                    "glaze",
                    "file",
                    "cone",
                    "peak (C)",
                    "use",
                    "clay",
                    "SiO2:Al2O3",
                    "reads",
                    "expansion (1e-6/K)",
                    "crazing",
                    "shivering",
                    "cost per kg",
                    "currency",
                    "last batch",
                    "on",
                    "distance",
                ],
                self.lines.iter().map(cells),
            ),
        })
    }
}

fn headline(answer: &Answer) -> String {
    let glazes = |count: usize| format!("{count} {}", if count == 1 { "glaze" } else { "glazes" });
    if let Some(problems) = &answer.problems {
        let mut named: Vec<&str> = problems.iter().map(|problem| problem.glaze.as_str()).collect();
        named.sort_unstable();
        named.dedup();
        return match named.len() {
            0 => format!("{} checked: nothing found.", glazes(answer.lines.len())),
            some => format!(
                "{} checked, something found in {some}. The heaviest first.",
                glazes(answer.lines.len())
            ),
        };
    }
    let of = if answer.lines.len() == answer.all {
        String::new()
    } else {
        format!(" of {}", answer.all)
    };
    match (&answer.near, answer.lines.len()) {
        (_, 0) if answer.all == 0 => "No glaze here that can be read.".to_owned(),
        (_, 0) => format!("None of {} is like that.", glazes(answer.all)),
        (Some(near), count) => format!("{}{of}, the nearest to {near} first.", glazes(count)),
        (None, count) => format!("{}{of}.", glazes(count)),
    }
}

/// The columns that hold something, a row a glaze.
fn lines(answer: &Answer) -> String {
    const HEADINGS: [&str; 9] = [
        "glaze", "cone", "for", "clay", "Si:Al", "crazing", "a kg", "batch", "distance",
    ];
    const RIGHT: [bool; 9] = [false, false, false, false, false, false, true, false, true];
    let mut rows = vec![HEADINGS.map(str::to_owned).to_vec()];
    // SiO2:Al2O3 by moles.
    rows[0][4] = "SiO2:Al2O3".to_owned();
    for line in &answer.lines {
        rows.push(vec![
            line.glaze.clone(),
            firing(line),
            line.usage.map_or_else(none, |usage| usage.to_string()),
            line.clay.clone().unwrap_or_else(none),
            ratio(line),
            line.zone_craze.map_or_else(none, str::to_owned),
            cost(line),
            line.last_batch
                .as_ref()
                .map_or_else(none, |last| format!("{}, {}", last.batch, last.on)),
            line.distance.map_or_else(none, |distance| format!("{distance:.1}")),
        ]);
    }
    let held: Vec<usize> = (0..HEADINGS.len())
        .filter(|at| rows.iter().skip(1).any(|row| row[*at] != "-"))
        .collect();
    let rows: Vec<Vec<String>> = rows
        .into_iter()
        .map(|mut row| held.iter().map(|at| std::mem::take(&mut row[*at])).collect())
        .collect();
    let right: Vec<bool> = held.iter().map(|at| RIGHT[*at]).collect();
    fitted(&rows, &right)
}

/// `clear over Tern blue: 2 looks, 1 of 5 crazed; photo photos/7.jpg`.
fn layers_words(layers: &Layers) -> String {
    let looks = match layers.looks {
        1 => "1 look".to_owned(),
        looks => format!("{looks} looks"),
    };
    let mut said = format!("{} over {}: {looks}", layers.over, layers.glaze);
    match (layers.crazed, layers.pieces) {
        (_, 0) => {}
        (0, pieces) => said.push_str(&format!(", none of {pieces} crazed")),
        (crazed, pieces) => said.push_str(&format!(", {crazed} of {pieces} crazed")),
    }
    if !layers.photos.is_empty() {
        said.push_str(&format!("; photo {}", layers.photos.join(", ")));
    }
    said
}

fn none() -> String {
    "-".to_owned()
}

fn firing(line: &Line) -> String {
    match (&line.cone, line.peak_celsius) {
        (Some(cone), _) => cone.clone(),
        (None, Some(peak)) => format!("{peak:.0} C"),
        (None, None) => none(),
    }
}

fn ratio(line: &Line) -> String {
    let Some(ratio) = line.silica_to_alumina else {
        return none();
    };
    match line.reads {
        Some(reads) => format!("{ratio:.1} {}", reads_word(reads)),
        None => format!("{ratio:.1}"),
    }
}

fn reads_word(reads: Surface) -> &'static str {
    match reads {
        Surface::Matt => "matt",
        Surface::Satin => "satin",
        Surface::Glossy => "glossy",
    }
}

fn cost(line: &Line) -> String {
    let Some(cost) = line.cost_per_kg else { return none() };
    let least = if line.cost_at_least { "> " } else { "" };
    format!("{least}{cost:.2}")
}

fn cells(line: &Line) -> Vec<String> {
    let own = |text: &Option<String>| text.as_deref().unwrap_or("").to_owned();
    let last = line.last_batch.as_ref();
    vec![
        line.glaze.clone(),
        line.file.clone(),
        own(&line.cone),
        csv_number(line.peak_celsius),
        line.usage.map_or_else(String::new, |usage| usage.to_string()),
        own(&line.clay),
        csv_number(line.silica_to_alumina),
        line.reads.map_or("", reads_word).to_owned(),
        csv_number(line.expansion),
        line.zone_craze.unwrap_or("").to_owned(),
        line.zone_shiver.unwrap_or("").to_owned(),
        csv_number(line.cost_per_kg),
        own(&line.currency),
        last.map_or_else(String::new, |last| last.batch.clone()),
        last.map_or_else(String::new, |last| last.on.to_string()),
        csv_number(line.distance),
    ]
}

/// A row a finding; of a powder of which nothing is known, one row for all its checks.
fn problem_table(problems: &[Problem]) -> String {
    if problems.is_empty() {
        return String::new();
    }
    let not_checked = |problem: &Problem| problem.finding.level == Level::NotChecked;
    let mut rows = vec![["", "glaze", "what was found"].map(str::to_owned).to_vec()];
    for (index, problem) in problems.iter().enumerate() {
        let finding = &problem.finding;
        let same = |other: &&Problem| not_checked(other) && not_checked(problem) && other.glaze == problem.glaze;
        if problems.iter().take(index).any(|other| same(&other)) {
            continue;
        }
        let more = problems.iter().skip(index + 1).filter(same).count();
        let beside = match more {
            0 => short(&finding.script),
            more => format!("{} and {more} more checks", short(&finding.script)),
        };
        let message = told_by(finding);
        let told = message.to_lowercase().contains(&finding.subject.to_lowercase());
        let about = if told {
            String::new()
        } else {
            format!("{}: ", finding.subject)
        };
        rows.push(vec![
            match finding.accepted {
                Some(_) => format!("accepted {}", finding.level.words()),
                None => finding.level.words().to_owned(),
            },
            problem.glaze.clone(),
            format!("{about}{message} ({beside})"),
        ]);
    }
    fitted(&rows, &[false; 3])
}

/// A script's name without its folder.
fn short(script: &str) -> String {
    script.rsplit('/').next().unwrap_or(script).to_owned()
}

fn problem_cells(problem: &Problem) -> Vec<String> {
    let finding = &problem.finding;
    vec![
        problem.glaze.clone(),
        finding.level.words().to_owned(),
        finding.script.to_string(),
        finding.subject.to_string(),
        csv_number(finding.value),
        csv_number(finding.low),
        csv_number(finding.high),
        told_by(finding).into_owned(),
        finding.source.to_string(),
    ]
}
