//! `glost read`.

use glost_core::intake::notebook::{Reading, Role};
use glost_desk::read::{Answer, Unsaid};

use crate::Shown;
use crate::layout::{Align, Style, Table, indented};
use crate::number;
use crate::words::notebook::doubt as words;

impl Shown for Answer {
    /// For a terminal: as written and as read side by side, doubts below.
    fn text(&self, style: Style) -> String {
        let reading = &self.reading;
        let mut text = style.bold(headline(reading).trim_end());
        text.push_str("\n\n");
        let mut table = Table::new(&[Align::Left, Align::Left, Align::Left, Align::Right, Align::Left]);
        table.row(["line", "as written", "read as", "% of base", ""]);
        for line in &reading.lines {
            let amount = match (line.role, line.percent) {
                (Role::Open, _) | (_, None) => "open".to_owned(),
                (Role::Addition, Some(percent)) => format!("+ {}", number::parts(percent)),
                (Role::Base, Some(percent)) => number::parts(percent),
            };
            let mark = if line.doubts.is_empty() { "" } else { "?" };
            table.row([
                line.line.to_string(),
                cut(&line.text, 30),
                cut(line.material.as_deref().unwrap_or("?"), 24),
                amount,
                mark.to_owned(),
            ]);
        }
        if !reading.lines.is_empty() {
            text.push_str(&table.text());
        }
        if let Some(grams) = reading.base_grams {
            text.push_str(&format!("\nBase: {} g.\n", number::grams(grams, 0.1)));
        }
        say_doubts(reading, &mut text);
        for remark in &reading.remarks {
            let lead = format!("Line {}, {}: ", remark.line, remark.kind.word());
            text.push_str(&indented(&lead, &remark.text));
        }
        if !reading.remarks.is_empty() {
            text.push('\n');
        }
        if let Some(unsaid) = unsaid(self) {
            text.push_str(&indented("Not said yet: ", &unsaid));
        }
        let open = reading.open().next().is_some();
        let next = match (&self.written, &reading.glaze) {
            (Some(file), _) if open => {
                format!("look at {file}, then `glost unity {file}`; weigh what is open and read again.")
            }
            (Some(file), _) => format!("look at {file}, then `glost unity {file}`."),
            (None, Some(_)) if reading.doubt_count() == 0 => "`--out FILE` writes the glaze file.".to_owned(),
            (None, Some(_)) => {
                "settle the doubts on the page and read it again; `--out FILE` writes the glaze file.".to_owned()
            }
            (None, None) => "give each material its weight, or its parts, and read the page again.".to_owned(),
        };
        text.push_str(&indented("Next: ", &next));
        text
    }
}

/// What a written file doesn't say of how the glaze is made, and how to say it.
fn unsaid(answer: &Answer) -> Option<String> {
    answer.written.as_ref()?;
    let words: Vec<&str> = answer.unsaid().into_iter().map(Unsaid::option).collect();
    let glaze = answer.reading.glaze.as_ref()?;
    let all = words.join(", ");
    let examples: Vec<&str> = answer
        .unsaid()
        .into_iter()
        .map(|unsaid| match unsaid {
            Unsaid::Firing => "cone=6",
            Unsaid::Clay => "clay=NAME",
            Unsaid::Water => "\"water=0.9 l/kg\"",
        })
        .collect();
    let help = format!("{all}; glost set \"{}\" {}", glaze.name, examples.join(" "));
    (!words.is_empty()).then_some(help)
}

fn headline(reading: &Reading) -> String {
    let count = |role: Role| reading.lines.iter().filter(|line| line.role == role).count();
    let plural = |count: usize, word: &str| {
        let end = if count == 1 { "" } else { "s" };
        format!("{count} {word}{end}")
    };
    let Some(glaze) = &reading.glaze else {
        return "No base could be read from this page.".to_owned();
    };
    let mut said = format!("{}: {} in the base", glaze.name, plural(count(Role::Base), "line"));
    if count(Role::Addition) > 0 {
        said.push_str(&format!(", {}", plural(count(Role::Addition), "addition")));
    }
    if count(Role::Open) > 0 {
        said.push_str(&format!(", {} open", count(Role::Open)));
    }
    said.push_str(&format!("; {}.", plural(reading.doubt_count(), "doubt")));
    crate::layout::paragraph(&said, 0)
}

fn say_doubts(reading: &Reading, text: &mut String) {
    if reading.doubt_count() > 0 {
        text.push_str("\nDoubts, to settle with whoever wrote it:\n");
    }
    for line in &reading.lines {
        for doubt in &line.doubts {
            let lead = format!("  line {}, {}: ", line.line, cut(&line.written_name, 24));
            text.push_str(&indented(&lead, &words(doubt)));
        }
        if !line.suggestions.is_empty() {
            let lead = format!("  line {}, meant may be: ", line.line);
            text.push_str(&indented(&lead, &line.suggestions.join(", ")));
        }
    }
    for doubt in &reading.doubts {
        text.push_str(&indented("  page: ", &words(doubt)));
    }
    text.push('\n');
}

/// A text cut to fit a column.
fn cut(text: &str, width: usize) -> String {
    if text.chars().count() <= width {
        return text.to_owned();
    }
    text.chars().take(width - 1).chain(['…']).collect()
}
