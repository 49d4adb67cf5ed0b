//! What is due as an iCalendar file (RFC 5545): an event of a whole day for each.

use glost_chemistry::quantity::Date;
use glost_desk::due::{Answer, Due};

use super::details;
use crate::words::due::{lasting_command, to_do};
use crate::words::notes::HOW_TO_LOOK;

/// The most octets of a line without its end (RFC 5545, 3.1).
const LINE_OCTETS: usize = 75;

/// The file's text; `None` where nothing is due, for a calendar holds at least one event
/// (RFC 5545, 3.6).
pub(super) fn ics(answer: &Answer) -> Option<String> {
    if answer.due.is_empty() {
        return None;
    }
    let mut text = String::new();
    for line in [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Glost//Due//EN",
        "CALSCALE:GREGORIAN",
    ] {
        push(&mut text, line);
    }
    for due in &answer.due {
        event(&mut text, due, answer.on);
    }
    push(&mut text, "END:VCALENDAR");
    Some(text)
}

fn event(text: &mut String, due: &Due, seen_from: Date) {
    let mut told = details(&due.task);
    told.push(lasting_command(&due.task));
    told.push(HOW_TO_LOOK.to_owned());
    push(text, "BEGIN:VEVENT");
    push(text, &format!("UID:{}@glost", due.uid));
    push(text, &format!("DTSTAMP:{}T000000Z", basic(seen_from)));
    push(text, &format!("DTSTART;VALUE=DATE:{}", basic(due.on)));
    push(text, &format!("SUMMARY:{}", escaped(&to_do(&due.task))));
    push(text, &format!("DESCRIPTION:{}", escaped(&told.join("\n"))));
    push(text, "TRANSP:TRANSPARENT");
    push(text, "END:VEVENT");
}

/// `20261128` (RFC 5545, 3.3.4).
fn basic(day: Date) -> String {
    format!("{:04}{:02}{:02}", day.year(), day.month(), day.day())
}

/// A value of type TEXT (RFC 5545, 3.3.11): what has a meaning of its own gets a backslash,
/// and control characters, which it may not hold, are left out.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '\n' => safe.push_str("\\n"),
            '\\' | ';' | ',' => safe.extend(['\\', sign]),
            sign if sign.is_control() && sign != '\t' => {}
            sign => safe.push(sign),
        }
    }
    safe
}

/// Adds a line, folded where it is long: the next begins with a blank (RFC 5545, 3.1). No
/// letter is parted.
fn push(text: &mut String, line: &str) {
    let mut octets = 0;
    for sign in line.chars() {
        if octets + sign.len_utf8() > LINE_OCTETS {
            text.push_str("\r\n ");
            octets = 1;
        }
        text.push(sign);
        octets += sign.len_utf8();
    }
    text.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_lines_are_folded_between_letters() {
        let mut text = String::new();
        push(&mut text, &format!("SUMMARY:{}", "ä".repeat(120)));
        for line in text.split("\r\n") {
            assert!(line.len() <= LINE_OCTETS, "{line}");
        }
        assert_eq!(text.replace("\r\n ", "").matches('ä').count(), 120);
        let mut full = String::new();
        push(&mut full, &"x".repeat(LINE_OCTETS));
        assert_eq!(full.matches("\r\n").count(), 1);
    }

    #[test]
    fn what_has_a_meaning_is_escaped() {
        assert_eq!(escaped("a, b; c\\d\nnext\u{7}"), "a\\, b\\; c\\\\d\\nnext");
    }
}
