//! One of several equal parts of a table, so that many machines, or an engine that
//! spreads work, can share it: the parts one after another are the whole.

use std::ops::Range;

use glost_chemistry::diagnostic::Diagnostic;

/// The most parts that a table is shared into.
const MOST_PARTS: usize = 1_000_000;

/// A part: the second of four.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Part {
    /// Which, from 1.
    number: usize,
    /// Of how many.
    of: usize,
}

impl Part {
    /// Reads `2/4`.
    ///
    /// # Errors
    /// No two whole numbers, or a part that isn't among them.
    pub fn parse(text: &str) -> Result<Part, Diagnostic> {
        let read = text
            .split_once('/')
            .and_then(|(number, of)| Some((number.trim().parse().ok()?, of.trim().parse().ok()?)));
        let wrong = |message: String| {
            Diagnostic::error("bad-option", message).help("the second of four parts is --part 2/4, the last --part 4/4")
        };
        match read {
            None => Err(wrong(format!("--part: `{text}` is no part"))),
            Some((_, of)) if of == 0 || of > MOST_PARTS => Err(wrong(format!(
                "--part: {of} parts; between 1 and {MOST_PARTS} are made"
            ))),
            Some((number, of)) if number == 0 || number > of => {
                Err(wrong(format!("--part: there is no part {number} of {of}")))
            }
            Some((number, of)) => Ok(Part { number, of }),
        }
    }

    /// Whether it is the first: the one with the headings.
    pub fn is_first(self) -> bool {
        self.number == 1
    }

    /// Whether it is the last.
    pub(super) fn is_last(self) -> bool {
        self.number == self.of
    }

    /// Its share of so many rows; parts differ by one row at most.
    pub(super) fn of_rows(self, rows: usize) -> Range<usize> {
        let (least, longer) = (rows / self.of, rows % self.of);
        let from = |number: usize| number * least + number.min(longer);
        from(self.number - 1)..from(self.number)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_one_after_another_are_the_whole() {
        for rows in [0, 1, 3, 7, 100] {
            for of in 1..=9 {
                let mut next = 0;
                for number in 1..=of {
                    let range = Part { number, of }.of_rows(rows);
                    assert_eq!(range.start, next);
                    next = range.end;
                }
                assert_eq!(next, rows);
            }
        }
    }

    #[test]
    fn what_is_no_part_says_what_one_is() {
        for text in ["", "2", "0/4", "5/4", "1/0", "a/b", "-1/4", "1/9999999999"] {
            let error = Part::parse(text).err();
            assert!(error.is_some_and(|error| error.help.is_some()), "{text}");
        }
        assert_eq!(Part::parse("2/4").ok(), Some(Part { number: 2, of: 4 }));
    }
}
