//! How much room a text takes.

use crate::layout::words_with;

use super::widths::{BOLD, FIRST, FURTHER, REGULAR, UNITS_PER_SIZE};

/// Units that stay beside their number.
const UNITS: [&str; 10] = ["%", "g", "kg", "ml", "l", "g/ml", "C", "pt", "cup", "cups"];

/// The words of a text; a number keeps its unit beside it.
pub(crate) fn words(text: &str) -> Vec<String> {
    words_with(text, &UNITS)
}

/// How thick letters are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Weight {
    /// Plain.
    #[default]
    Regular,
    /// Set off.
    Bold,
}

/// The width in mm of a text on one line, its type `size_mm` high. Kerning is
/// left out, and letters without a table entry count as wide as they are high:
/// both err to the wide side.
pub fn text_width(text: &str, size_mm: f64, weight: Weight) -> f64 {
    let units: f64 = text
        .chars()
        .map(|letter| charted_units(letter, weight).unwrap_or(UNITS_PER_SIZE))
        .sum();
    units / UNITS_PER_SIZE * size_mm
}

/// Whether the width of every letter is known, not guessed.
pub(super) fn is_charted(text: &str) -> bool {
    text.chars()
        .all(|letter| charted_units(letter, Weight::Regular).is_some())
}

fn charted_units(letter: char, weight: Weight) -> Option<f64> {
    // Combining accents stand over the letter before them.
    if ('\u{300}'..='\u{36f}').contains(&letter) {
        return Some(0.0);
    }
    let table = match weight {
        Weight::Regular => &REGULAR,
        Weight::Bold => &BOLD,
    };
    let index = u32::from(letter).checked_sub(FIRST).map(|index| index as usize);
    let further = || {
        let (_, regular, bold) = FURTHER.iter().find(|further| further.0 == letter)?;
        Some(if weight == Weight::Bold { bold } else { regular })
    };
    index
        .and_then(|index| table.get(index))
        .or_else(further)
        .map(|units| f64::from(*units))
}

/// A text in lines no wider than `width_mm`, parted at spaces only and not
/// between a number and its unit; `None`
/// where a single word is wider.
pub fn wrapped(text: &str, width_mm: f64, size_mm: f64, weight: Weight) -> Option<Vec<String>> {
    let mut lines: Vec<String> = Vec::new();
    for word in &words(text) {
        if text_width(word, size_mm, weight) > width_mm {
            return None;
        }
        match lines.last_mut() {
            Some(line) if text_width(&format!("{line} {word}"), size_mm, weight) <= width_mm => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    Some(lines)
}

/// The largest type, no larger than `most_mm`, that keeps a text on one line of
/// `width_mm`.
pub fn largest_size(text: &str, width_mm: f64, most_mm: f64, weight: Weight) -> f64 {
    let width = text_width(text, 1.0, weight);
    if width <= 0.0 {
        return most_mm;
    }
    most_mm.min(width_mm / width)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the face itself: `Glaze 123` in Liberation Sans 1.07 is 1593 + 455
    /// + 1139 + 1024 + 1139 + 569 + 3 x 1139 of 2048 wide.
    #[test]
    fn a_word_is_as_wide_as_its_letters() {
        let expected = (1593.0 + 455.0 + 1139.0 + 1024.0 + 1139.0 + 569.0 + 3.0 * 1139.0) / 2048.0 * 5.0;
        assert!((text_width("Glaze 123", 5.0, Weight::Regular) - expected).abs() < 1e-9);
        assert!(text_width("Glaze", 5.0, Weight::Bold) > text_width("Glaze", 5.0, Weight::Regular));
    }

    #[test]
    fn accents_take_no_room_and_strange_letters_enough() {
        let width = |text| text_width(text, 5.0, Weight::Regular);
        assert_eq!(width("e\u{301}"), width("e"));
        assert_eq!(width("釉"), 5.0);
        assert!(is_charted("Émail – 5 €") && !is_charted("釉"));
    }

    #[test]
    fn nothing_is_cut_when_it_wraps() {
        let text = "potash feldspar, silica,  whiting";
        let lines = wrapped(text, 20.0, 4.0, Weight::Regular).unwrap();
        assert_eq!(lines.join(" "), "potash feldspar, silica, whiting");
        assert!(lines.len() > 1);
        assert!(lines.iter().all(|line| text_width(line, 4.0, Weight::Regular) <= 20.0));
        assert_eq!(wrapped("wollastonite", 5.0, 4.0, Weight::Regular), None);
    }

    #[test]
    fn a_long_name_gets_smaller_type() {
        let size = largest_size("Lamplight clear", 30.0, 10.0, Weight::Bold);
        assert!(size < 10.0);
        assert!((text_width("Lamplight clear", size, Weight::Bold) - 30.0).abs() < 1e-9);
        assert_eq!(largest_size("", 30.0, 10.0, Weight::Bold), 10.0);
    }
}
