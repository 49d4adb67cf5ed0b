//! An answer as it reads at a terminal, turned into paragraphs and tables that fit any
//! width: lines that were wrapped flow again, columns become cells.

use super::{Html, for_page};
use crate::html;

/// How wide the text must have been laid out, in letters.
pub const COLUMNS: usize = 200;
/// The longest word before a colon that is a heading of its line.
const MOST_OF_A_LEAD: usize = 18;
/// Blanks between two columns, at least.
const GAP: usize = 2;
/// Indented further than this, a line goes on from the one before.
const HANGING: usize = 4;

/// The answer.
pub fn prose(text: &str) -> Html {
    // A line for the terminal stands at the foot of the page.
    let is_said = |line: &&str| !line.trim_start().starts_with("glost ");
    let lines: Vec<&str> = text.lines().map(str::trim_end).filter(is_said).collect();
    let blocks = lines.split(|line| line.is_empty()).filter(|block| !block.is_empty());
    let shown: Html = blocks.map(block).collect();
    html!("<div class=\"said\">{}</div>", shown)
}

/// Lines without an empty one between them: paragraphs and tables as they come.
fn block(lines: &[&str]) -> Html {
    if lines.iter().any(|line| is_drawn(line)) || is_a_map(lines) {
        return html!(
            "<div class=\"wide\" tabindex=\"0\"><pre>{}</pre></div>",
            lines.join("\n")
        );
    }
    let mut shown = Html::default();
    let mut at = 0;
    while at < lines.len() {
        let columned = table_length(&lines[at..]);
        if columned > 1 {
            shown.push(table(&lines[at..at + columned]));
            at += columned;
            continue;
        }
        let mut paragraph = lines[at].to_owned();
        let mut before = lines[at];
        at += 1;
        while at < lines.len() && goes_on(before, lines[at]) {
            paragraph.push(' ');
            paragraph.push_str(lines[at].trim_start());
            before = lines[at];
            at += 1;
        }
        let said = for_page(paragraph.trim_start());
        let indented = &paragraph[..paragraph.len() - paragraph.trim_start().len()];
        if !said.is_empty() {
            shown.push(line(&format!("{indented}{said}")));
        }
    }
    shown
}

/// A drawing in letters.
fn is_drawn(line: &str) -> bool {
    ["----", "====", "+--"].iter().any(|drawn| line.contains(drawn))
}

/// A map of tiles: rows of codes, `A1`, and nothing else.
fn is_a_map(lines: &[&str]) -> bool {
    let is_code = |word: &str| {
        let mut signs = word.chars();
        signs.next().is_some_and(|sign| sign.is_ascii_uppercase())
            && signs.clone().next().is_some()
            && signs.all(|sign| sign.is_ascii_digit())
    };
    lines.len() > 1 && lines.iter().all(|line| line.split_whitespace().all(is_code))
}

fn indent(line: &str) -> usize {
    line.chars().take_while(|sign| *sign == ' ').count()
}

fn has_columns(line: &str) -> bool {
    line.trim_start().contains("  ")
}

/// Whether a line was wrapped onto the next: its first word didn't fit.
fn goes_on(line: &str, next: &str) -> bool {
    let word = next.trim_start().split(' ').next().unwrap_or("");
    line.chars().count() + 1 + word.chars().count() > COLUMNS && indent(next) >= indent(line)
}

/// How many lines from the first on stand in columns.
fn table_length(lines: &[&str]) -> usize {
    if !has_columns(lines[0]) {
        return 0;
    }
    let inside = |line: &&&str| has_columns(line) || indent(line) > HANGING;
    lines.iter().take_while(inside).count()
}

/// Where columns begin: behind two blanks or more in every line.
fn columns(lines: &[Vec<char>]) -> Vec<(usize, usize)> {
    let width = lines.iter().map(Vec::len).max().unwrap_or(0);
    let is_free = |column: usize| {
        lines
            .iter()
            .all(|line| line.get(column).is_none_or(|sign| *sign == ' '))
    };
    let (mut found, mut start, mut free) = (Vec::new(), None, 0);
    for column in 0..width {
        if is_free(column) {
            free += 1;
            continue;
        }
        match start {
            Some(begun) if free >= GAP => {
                found.push((begun, column - free));
                start = Some(column);
            }
            None => start = Some(column),
            Some(_) => {}
        }
        free = 0;
    }
    found.extend(start.map(|begun| (begun, width)));
    found
}

fn table(lines: &[&str]) -> Html {
    let letters: Vec<Vec<char>> = lines.iter().map(|line| line.chars().collect()).collect();
    let columns = columns(&letters);
    let cell = |line: &Vec<char>, (from, to): (usize, usize)| {
        let text: String = line.iter().take(to).skip(from).collect();
        text.trim().to_owned()
    };
    let cells_of = |line: &Vec<char>| -> Vec<String> { columns.iter().map(|column| cell(line, *column)).collect() };
    let heads = |index: &usize| heads_another(&cells_of(&letters[index - 1]), &cells_of(&letters[*index]));
    if let Some(at) = (1..lines.len()).find(heads) {
        return [table(&lines[..at]), table(&lines[at..])].into_iter().collect();
    }
    let mut rows: Vec<Vec<String>> = Vec::new();
    for line in &letters {
        let cells = cells_of(line);
        match rows.last_mut() {
            // Wrapped inside a cell.
            Some(above) if cells.first().is_some_and(String::is_empty) && rows_on(&cells) => {
                for (above, more) in above.iter_mut().zip(cells) {
                    if !more.is_empty() {
                        above.push(' ');
                        above.push_str(&more);
                    }
                }
            }
            _ => rows.push(cells),
        }
    }
    let has_heading = rows.len() > 1
        && rows[0].iter().all(|cell| !is_number(cell))
        && rows[1..].iter().flatten().any(|cell| is_number(cell));
    let shown: Html = rows
        .iter()
        .enumerate()
        .map(|(index, row)| shown_row(row, has_heading && index == 0))
        .collect();
    html!("<div class=\"wide\" tabindex=\"0\"><table>{}</table></div>", shown)
}

/// Whether a row without a first cell only goes on with words, not with numbers of its own.
fn rows_on(cells: &[String]) -> bool {
    cells.iter().all(|cell| !is_number(cell))
}

/// Whether a row of names below numbers begins another table.
fn heads_another(above: &[String], cells: &[String]) -> bool {
    let is_below = |(above, cell): (&String, &String)| !cell.is_empty() && is_number(above);
    cells.first().is_some_and(String::is_empty) && rows_on(cells) && above.iter().zip(cells).any(is_below)
}

fn shown_row(row: &[String], is_heading: bool) -> Html {
    let cell = |(index, text): (usize, &String)| {
        let class = if is_number(text) { "number" } else { "" };
        match (is_heading, index) {
            (true, _) => html!("<th scope=\"col\">{}</th>", text),
            (false, 0) => html!("<th scope=\"row\">{}</th>", text),
            (false, _) => html!("<td class=\"{}\">{}</td>", class, text),
        }
    };
    let cells: Html = row.iter().enumerate().map(cell).collect();
    html!("<tr>{}</tr>", cells)
}

fn is_number(text: &str) -> bool {
    let text = text.trim_end_matches(" %");
    // A day is none.
    text.matches('-').count() < 2
        && !text.is_empty()
        && text.chars().any(|sign| sign.is_ascii_digit())
        && text.chars().all(|sign| sign.is_ascii_digit() || ".-+,".contains(sign))
}

/// One line: what stands before its colon leads it.
fn line(text: &str) -> Html {
    let class = if indent(text) > 0 { "in" } else { "" };
    let text = text.trim();
    let lead = text.split_once(": ").filter(|(lead, _)| {
        lead.chars().count() <= MOST_OF_A_LEAD && lead.starts_with(char::is_uppercase) && !lead.contains(". ")
    });
    match (lead, text.split_once("  ")) {
        (Some((lead, rest)), _) => html!("<p class=\"{}\"><strong>{}</strong>: {}</p>", class, lead, rest.trim()),
        (None, Some((lead, rest))) => html!("<p class=\"{}\"><strong>{}</strong> {}</p>", class, lead, rest.trim()),
        (None, None) => html!("<p class=\"{}\">{}</p>", class, text),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wrapped_lines_flow_and_leads_stand_out() {
        let long = "word ".repeat(39);
        let text = format!("Next: {}\n      and <more>.\nSeen: it held.\n", long.trim_end());
        let shown = prose(&text).into_string();
        assert_eq!(shown.matches("<p").count(), 2, "{shown}");
        assert!(shown.contains("<strong>Next</strong>: word") && shown.contains("word and &lt;more&gt;.</p>"));
    }

    #[test]
    fn columns_become_cells() {
        let text = "bar  dry g  cold %   C/B\n1    398.0     1.9  0.71\n2      7.0    11.9  0.80\nError: little.\n";
        let shown = prose(text).into_string();
        assert!(
            shown.contains("<th scope=\"col\">dry g</th>") && shown.contains("<td class=\"number\">11.9</td>"),
            "{shown}"
        );
        assert!(shown.contains("<strong>Error</strong>: little."));
    }

    #[test]
    fn a_map_of_tiles_keeps_its_shape() {
        let shown = prose("     A1\n   B1  B2\n").into_string();
        assert!(shown.contains("<pre>     A1\n   B1  B2</pre>"), "{shown}");
    }

    #[test]
    fn a_second_row_of_headings_begins_another_table() {
        let text = "             A1    B1\nsilica     26.0  21.3\nwater, ml    90    92\n             D1    D2\nsilica     12.0  14.7\n";
        let shown = prose(text).into_string();
        assert_eq!(shown.matches("<table>").count(), 2, "{shown}");
        assert!(
            shown.contains("<th scope=\"col\">D2</th>") && shown.contains("<td class=\"number\">92</td>"),
            "{shown}"
        );
    }

    #[test]
    fn a_cell_that_was_wrapped_is_one() {
        let text = "tableware  usual: tight enough\noutdoor    with care: far better than a\n           thirsty clay\n";
        let shown = prose(text).into_string();
        assert!(shown.contains("far better than a thirsty clay</td>"), "{shown}");
        assert_eq!(shown.matches("<tr>").count(), 2);
    }

    #[test]
    fn a_drawing_stays_as_it_is() {
        let shown = prose("5.0   5.5\n+------+\n   o    0 of 6\n").into_string();
        assert!(
            shown.contains("<pre>5.0   5.5\n+------+\n   o    0 of 6</pre>"),
            "{shown}"
        );
    }
}
