//! Lines that don't stand under each other, found by eye where YAML only says that it
//! can't go on.

use crate::diagnostic::{Diagnostic, Mark, Source};

/// Farther off than this a line is rather meant to lie deeper.
const MOST_OFF: usize = 3;

/// A line `name: value`, or `- name: value`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Entry<'a> {
    line: usize,
    /// Where the dash is, in a list.
    dash: Option<usize>,
    column: usize,
    name: &'a str,
    /// Whether something stands behind the colon.
    has_value: bool,
    /// Whether that is a number.
    has_number: bool,
}

impl<'a> Entry<'a> {
    fn of(line: usize, text: &'a str) -> Option<Entry<'a>> {
        let bare = text.trim_start_matches(' ');
        let indent = text.len() - bare.len();
        let (dash, bare, indent) = match bare.strip_prefix("- ") {
            Some(rest) => {
                let name = rest.trim_start_matches(' ');
                (Some(indent + 1), name, text.len() - name.len())
            }
            None => (None, bare, indent),
        };
        let (name, rest) = bare.split_once(':')?;
        let value = rest.split(" #").next().unwrap_or("").trim();
        let is_entry = !name.is_empty()
            && !name.starts_with(['#', '{', '[', '}', ']'])
            && (rest.is_empty() || rest.starts_with([' ', '\t']));
        is_entry.then_some(Entry {
            line,
            dash,
            column: indent + 1,
            name: name.trim(),
            has_value: !value.is_empty(),
            has_number: value.starts_with(|sign: char| sign.is_ascii_digit()),
        })
    }
}

/// The first line, up to a little behind where YAML gave up, that starts beside the
/// column of the entries around it.
pub(super) fn beside_its_column(source: &Source, gave_up: usize) -> Option<Diagnostic> {
    let lines = source.text.replace("\r\n", "\n").replace('\r', "\n");
    let entries: Vec<Entry<'_>> = lines
        .split('\n')
        .enumerate()
        .take(gave_up + 1)
        .filter_map(|(number, text)| Entry::of(number + 1, text))
        .collect();
    let (first, rest) = entries.split_first()?;
    if first.column > 1 && first.dash.is_none() && rest.first().is_some_and(|next| next.column == 1) {
        return Some(told(source, first, first.column, 1));
    }
    // The columns in which entries may stand, the outermost first.
    let mut open = vec![*first];
    for entry in rest {
        let last = *open.last()?;
        let may_lie_deeper = !last.has_value || last.dash.is_some() && entry.column == last.column;
        if entry.dash.is_some() {
            let outer = open.iter().rev().find_map(|known| known.dash);
            if let (Some(dash), Some(outer)) = (entry.dash, outer)
                && dash != outer
                && dash.abs_diff(outer) <= MOST_OFF
                && last.has_value
            {
                return Some(told(source, entry, dash, outer));
            }
            open.retain(|known| known.column < entry.column && known.dash.is_none());
            open.push(*entry);
            continue;
        }
        let wanted = open.iter().map(|known| known.column);
        if wanted.clone().any(|column| column == entry.column) {
            open.retain(|known| known.column < entry.column || known.column == entry.column && known.dash.is_some());
            open.push(Entry {
                dash: open.last().and_then(|known| known.dash),
                ..*entry
            });
            continue;
        }
        if entry.column > last.column && may_lie_deeper {
            open.push(*entry);
            continue;
        }
        // Half-way between two: with an amount among amounts, else with what they are of.
        let with_last = last.dash.is_some() || last.has_number == entry.has_number;
        let nearest = wanted.min_by_key(|column| {
            let further = if with_last { usize::MAX - column } else { *column };
            (column.abs_diff(entry.column), further)
        })?;
        if nearest.abs_diff(entry.column) <= MOST_OFF {
            return Some(told(source, entry, entry.column, nearest));
        }
        return None;
    }
    None
}

fn told(source: &Source, entry: &Entry<'_>, column: usize, wanted: usize) -> Diagnostic {
    let mark = Mark {
        line: entry.line,
        column,
    };
    let blanks = match column.abs_diff(wanted) {
        1 => "one blank".to_owned(),
        many => format!("{many} blanks"),
    };
    let help = if column > wanted {
        format!("take {blanks} away in front of it, so that it stands under the entry above")
    } else {
        format!("put {blanks} in front of it, so that it stands under the entry above")
    };
    Diagnostic::error(
        "beside-its-column",
        format!(
            "`{}` starts in column {column}; here it has to start in column {wanted}",
            entry.name
        ),
    )
    .at(source, mark, entry.name.chars().count())
    .help(help)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::parse;

    fn read(text: &str) -> Option<(String, usize, usize)> {
        let error = parse(&Source::from_text("x.yaml", text)).err()?;
        let place = error.place?;
        Some((error.message, place.mark.line, place.mark.column))
    }

    fn wants(text: &str, line: usize, column: usize, wanted: usize) {
        let Some((message, at_line, at_column)) = read(text) else {
            panic!("it reads: {text}")
        };
        assert_eq!((at_line, at_column), (line, column), "{text}\n{message}");
        assert!(
            message.ends_with(&format!("has to start in column {wanted}")),
            "{text}\n{message}"
        );
    }

    #[test]
    fn a_line_beside_its_column_is_told_with_the_column_it_wants() {
        wants("clay: x\n expansion: 7.7e-6/K\n", 2, 2, 1);
        wants("# clay\nclay: \"x\"\n absorption: 10   # wt %\n", 3, 2, 1);
        wants(" glaze: x\nparts: { silica: 100 }\n", 1, 2, 1);
        wants("glaze: x\nparts:\n  silica: 100\n additions: { rutile: 3 }\n", 4, 2, 1);
        wants("glaze: x\nparts: { silica: 100 }\n   clay: y\n", 3, 4, 1);
        let item = "materials:\n  - name: a\n    kind: powder\n    analysis: unknown\n";
        wants(&format!("{item}   lot: \"4\"\n    source: x\n"), 5, 4, 5);
        wants(&format!("{item}     lot: \"4\"\n    source: x\n"), 5, 6, 5);
        wants(&format!("{item}  lot: \"4\"\n"), 5, 3, 5);
        wants(&format!("{item}    source: x\n   - name: b\n"), 6, 4, 3);
        wants(&format!("{item}    source: x\n - name: b\n"), 6, 2, 3);
    }

    #[test]
    fn other_faults_are_told_as_before() {
        for text in [
            "a: {b: 1",
            "a:\n\t- b",
            "a: \"b",
            "a: b: c",
            "--- a\n--- b",
            "a: 1\nb\n",
        ] {
            let told = read(text).unwrap_or_default().0;
            assert!(!told.contains("has to start in column"), "{text}: {told}");
        }
    }

    #[test]
    fn a_line_is_an_entry_by_its_colon_and_its_blank() {
        let entry = |text| {
            Entry::of(7, text).map(|entry| (entry.dash, entry.column, entry.name, entry.has_value, entry.has_number))
        };
        for (text, wanted) in [
            ("name: x", Some((None, 1, "name", true, false))),
            ("  silica: 26", Some((None, 3, "silica", true, true))),
            ("parts:", Some((None, 1, "parts", false, false))),
            ("parts: # of 100", Some((None, 1, "parts", false, false))),
            ("  - name: a", Some((Some(3), 5, "name", true, false))),
            ("-   name: a", Some((Some(1), 5, "name", true, false))),
            ("parts:\t1", Some((None, 1, "parts", true, true))),
            ("tin oxide : 4", Some((None, 1, "tin oxide", true, true))),
            ("a:b", None),
            ("no colon", None),
            (": x", None),
            ("# note: x", None),
            ("{ a: 1 }", None),
            ("[a: 1]", None),
            ("}: 1", None),
            ("]: 1", None),
            ("", None),
        ] {
            assert_eq!(entry(text), wanted, "{text}");
        }
    }

    #[test]
    fn how_many_blanks_to_take_or_put_is_said() {
        let help = |text: &str| parse(&Source::from_text("x.yaml", text)).err().and_then(|why| why.help);
        let said = |text: &str, wanted: &str| {
            assert!(
                help(text).is_some_and(|help| help.starts_with(wanted)),
                "{text}: {:?}",
                help(text)
            )
        };
        said("clay: x\n expansion: 7.7e-6/K\n", "take one blank away");
        said("glaze: x\nparts: { silica: 100 }\n   clay: y\n", "take 3 blanks away");
        let item = "materials:\n  - name: a\n    kind: powder\n";
        said(
            &format!("{item}   lot: \"4\"\n    source: x\n"),
            "put one blank in front",
        );
        said(&format!("{item}  lot: \"4\"\n"), "put 2 blanks in front");
        // Four off is rather meant to lie deeper: told as YAML tells it.
        wants("glaze: x\nclay: a\n   cone: y\n", 3, 4, 1);
        assert!(read("glaze: x\nclay: a\n    cone: y\n").is_some_and(|told| !told.0.contains("has to start")));
        // An amount half-way goes with amounts, a word with what they are of.
        wants("parts:\n    silica: 10\n    clay: 20\n  tin: 3\n", 4, 3, 5);
        wants("glaze: x\nparts:\n    silica: 10\n  cone: six\n", 4, 3, 1);
    }
}
