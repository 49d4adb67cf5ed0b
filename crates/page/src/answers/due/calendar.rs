//! What is due as a calendar to print: what is late first, then a month a box.

use glost_chemistry::quantity::Date;
use glost_desk::due::{Answer, Due, Task};

use super::{details, headline, now_and_coming};
use crate::flow::{FOOT, Flow, SMALL};
use crate::paper::COMMON_WIDTH_MM;
use crate::sheet::{Pages, Setting};
use crate::svg::{Anchor, Paint, Svg, Weight, text_width};
use crate::words::due::{lasting_command, to_do};
use crate::words::notes::HOW_TO_LOOK;

/// Months ahead that are drawn; what comes later is counted.
const MONTHS: i64 = 12;
const DAYS: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
const COLUMN: f64 = COMMON_WIDTH_MM / 7.0;
const HEAD: f64 = 6.0;
const ROW: f64 = 14.0;
/// Lines of type in a day's box.
const LINES: usize = 3;
const TYPE: f64 = 2.7;
const THIN: Paint = Paint::outline(0.2);

/// The pages.
pub(super) fn pages(answer: &Answer) -> Pages {
    let (now, coming) = now_and_coming(answer);
    let mut flow = Flow::new();
    flow.title("What to look at again");
    let seen_from = format!("As of {}: {}", answer.on.words(), headline(answer, &now, &coming));
    flow.paragraph(&seen_from);
    if answer.due.iter().any(|due| matches!(due.task, Task::Look { .. })) {
        flow.paragraph(&format!("To look: {HOW_TO_LOOK}"));
    }
    for due in &now {
        flow.tick(&entry(due, None));
    }
    let (drawn, later): (Vec<&Due>, Vec<&Due>) = coming
        .into_iter()
        .partition(|due| month_of(due.on) - month_of(answer.on) < MONTHS);
    for in_month in drawn.chunk_by(|one, other| month_of(one.on) == month_of(other.on)) {
        month(&mut flow, in_month);
    }
    if !later.is_empty() {
        flow.paragraph(&format!("And {} later.", later.len()));
    }
    Pages {
        title: format!("Due from {}", answer.on),
        setting: Setting::AnyPaper,
        drawings: flow.finish(),
    }
}

/// Months since the year 0.
fn month_of(day: Date) -> i64 {
    12 * day.year() + i64::from(day.month()) - 1
}

/// A month with what is due in it, each with its number in the list below.
fn month(flow: &mut Flow, due: &[&Due]) {
    let Some(first) = due.first() else { return };
    let start = first.on.plus_days(1 - i64::from(first.on.day()));
    let column = weekday(start);
    let weeks = (column + length(start)).div_ceil(7);
    // `November 2026`.
    let name = start.words().trim_start_matches("1 ").to_owned();
    flow.need(HEAD * 3.0 + ROW * weeks as f64);
    flow.heading(&name);
    flow.picture(HEAD + ROW * weeks as f64, |svg| {
        for (place, day) in DAYS.iter().enumerate() {
            svg.text(COLUMN * place as f64 + 1.0, FOOT * SMALL, SMALL, Anchor::Start, day);
        }
        for day in 0..length(start) {
            let cell = column + day;
            let (x, y) = (COLUMN * (cell % 7) as f64, HEAD + ROW * (cell / 7) as f64);
            svg.rect(x, y, COLUMN, ROW, THIN);
            svg.text(x + 1.0, y + 3.6, TYPE, Anchor::Start, &(day + 1).to_string());
            let numbered = due.iter().enumerate();
            let here: Vec<String> = numbered
                .filter(|(_, due)| usize::from(due.on.day()) == day + 1)
                .map(|(place, due)| format!("{} {}", place + 1, what(&due.task)))
                .collect();
            in_the_box(svg, x, y, &here);
        }
    });
    for (place, due) in due.iter().enumerate() {
        flow.tick(&entry(due, Some(place + 1)));
    }
}

/// Days from Monday: 1 January 1970 was a Thursday.
fn weekday(day: Date) -> usize {
    (day.day_number() + 3).rem_euclid(7) as usize
}

/// How many days the month that starts on this day has.
fn length(start: Date) -> usize {
    let same = |days: &i64| month_of(start.plus_days(*days)) == month_of(start);
    (0..31).filter(same).count()
}

fn in_the_box(svg: &mut Svg, x: f64, y: f64, said: &[String]) {
    let shown = if said.len() > LINES { LINES - 1 } else { said.len() };
    let mut foot = y + 3.6;
    let mut write = |text: &str| {
        foot += TYPE + 0.7;
        svg.text(x + 1.0, foot, TYPE, Anchor::Start, &fitting(text, COLUMN - 2.0));
    };
    for text in said.iter().take(shown) {
        write(text);
    }
    if said.len() > shown {
        write(&format!("and {} more", said.len() - shown));
    }
}

/// As much of a text as a width holds.
fn fitting(text: &str, width: f64) -> String {
    if text_width(text, TYPE, Weight::Regular) <= width {
        return text.to_owned();
    }
    let mut kept = String::new();
    for letter in text.chars() {
        kept.push(letter);
        if text_width(&format!("{kept}…"), TYPE, Weight::Regular) > width {
            kept.pop();
            break;
        }
    }
    kept + "…"
}

/// What a day's box holds of a task.
fn what(task: &Task) -> String {
    match task {
        Task::Look { looks, .. } => {
            let name = looks
                .iter()
                .find_map(|look| look.glaze.as_deref().or(look.tile.as_deref()));
            name.unwrap_or("pieces").to_owned()
        }
        Task::Lab { note, .. } => note.glaze.as_deref().unwrap_or("report").to_owned(),
        Task::NewLot { .. } => "new lot".to_owned(),
    }
}

/// A line of the list: the day, what to do, what was seen, and the call that notes it.
fn entry(due: &Due, number: Option<usize>) -> String {
    let number = number.map_or_else(String::new, |number| format!("{number}. "));
    let mut said = format!("{number}{}: {}", due.on, to_do(&due.task));
    for detail in details(&due.task) {
        said.push_str(&format!("; {detail}"));
    }
    format!("{said}. {}", lasting_command(&due.task))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Date {
        Date::parse(text).unwrap_or_else(|why| panic!("{why:?}"))
    }

    /// Days of the week and lengths of months by the civil calendar (checked with Python's
    /// `calendar`).
    #[test]
    fn months_start_on_their_day_of_the_week() {
        for (start, column, days) in [
            ("2026-11-01", 6, 30),
            ("2027-02-01", 0, 28),
            ("2028-02-01", 1, 29),
            ("2027-01-01", 4, 31),
        ] {
            assert_eq!((weekday(day(start)), length(day(start))), (column, days), "{start}");
        }
    }
}
