//! What differs between two texts, line by line: the longest common lines stay.

use serde::{Serialize, Serializer};

/// A line of a difference.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Line {
    /// In both, with its number in the new text.
    Both(usize, String),
    /// In the old text alone.
    Old(String),
    /// In the new text alone.
    New(String),
}

impl Line {
    /// As it is usually shown: ` `, `-` or `+` and the text.
    pub fn shown(&self) -> String {
        match self {
            Line::Both(_, text) => format!("  {text}"),
            Line::Old(text) => format!("- {text}"),
            Line::New(text) => format!("+ {text}"),
        }
    }
}

impl Serialize for Line {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&self.shown())
    }
}

crate::wire::written_as!(Line: String);

/// All lines of both texts, those that are common once.
pub(super) fn lines(old: &str, new: &str) -> Vec<Line> {
    let (old, new): (Vec<&str>, Vec<&str>) = (old.lines().collect(), new.lines().collect());
    // The length of the longest common rest, from each pair of lines on.
    let mut rest = vec![vec![0_u32; new.len() + 1]; old.len() + 1];
    for i in (0..old.len()).rev() {
        for j in (0..new.len()).rev() {
            rest[i][j] = if old[i] == new[j] {
                rest[i + 1][j + 1] + 1
            } else {
                rest[i + 1][j].max(rest[i][j + 1])
            };
        }
    }
    let (mut i, mut j, mut found) = (0, 0, Vec::new());
    while i < old.len() || j < new.len() {
        if i < old.len() && j < new.len() && old[i] == new[j] {
            found.push(Line::Both(j + 1, new[j].to_owned()));
            (i, j) = (i + 1, j + 1);
        } else if j == new.len() || (i < old.len() && rest[i + 1][j] >= rest[i][j + 1]) {
            found.push(Line::Old(old[i].to_owned()));
            i += 1;
        } else {
            found.push(Line::New(new[j].to_owned()));
            j += 1;
        }
    }
    found
}

/// The lines that differ, with up to two common ones around them.
pub(super) fn differing(old: &str, new: &str) -> Vec<Line> {
    const AROUND: usize = 2;
    let all = lines(old, new);
    let differs = |index: usize| !matches!(all.get(index), None | Some(Line::Both(..)));
    let near = |index: usize| (index.saturating_sub(AROUND)..=index + AROUND).any(differs);
    let kept = (0..all.len()).filter(|index| near(*index));
    kept.map(|index| all[index].clone()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_differs_is_shown_with_its_neighbours() {
        let old = "a\nb\nc\nd\ne\nf\ng";
        let shown: Vec<String> = differing(old, &old.replace('d', "D\nD2"))
            .iter()
            .map(Line::shown)
            .collect();
        assert_eq!(shown, ["  b", "  c", "- d", "+ D", "+ D2", "  e", "  f"]);
        assert!(differing(old, old).is_empty());
    }
}
