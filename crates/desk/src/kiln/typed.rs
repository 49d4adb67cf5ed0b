//! An entry of a load as it is typed: `14 = 5 on buff at top`.

use glost_chemistry::diagnostic::{is_no, of_typed};
use glost_chemistry::quantity::NumberTrouble;

/// The most pieces of one entry that are believed.
const MOST_PIECES: u32 = 100_000;
/// The longest part of an entry, in characters.
const LONGEST: usize = 120;

/// An entry as typed, its names not looked up yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SaidEntry {
    /// What was put in: a batch, a glaze or a tile.
    pub what: String,
    /// How many pieces.
    pub pieces: u32,
    /// On which clay.
    pub clay: Option<String>,
    /// On which shelf.
    pub shelf: Option<String>,
    /// Marked how.
    pub mark: Option<String>,
    /// How the glaze was put on.
    pub coat: Option<String>,
}

/// Reads `BATCH or GLAZE or PLAN/TILE = PIECES [on CLAY] [at SHELF] [mark MARK] [coat COAT]`.
///
/// # Errors
/// No `=`, nothing before it, no count after it, a word that stands for nothing.
pub fn parse_put(text: &str) -> Result<SaidEntry, NumberTrouble> {
    let trouble = |message: String| NumberTrouble {
        message,
        help: Some(
            "write what was put in, how many, on which clay, where: \"14 = 5 on white stoneware at top\"".to_owned(),
        ),
    };
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let Some((what, rest)) = text.rsplit_once('=') else {
        return Err(trouble(of_typed(text.trim(), "says no count of pieces")));
    };
    let what = words(what);
    if what.is_empty() || what.chars().count() > LONGEST || what.chars().any(char::is_control) {
        return Err(trouble(of_typed(text.trim(), "doesn't say what was put in")));
    }
    let mut rest = rest.split_whitespace();
    let count = rest.next().unwrap_or("");
    let pieces = count
        .parse::<u32>()
        .ok()
        .filter(|pieces| (1..=MOST_PIECES).contains(pieces));
    let Some(pieces) = pieces else {
        return Err(trouble(is_no(count, "count of pieces")));
    };
    let mut said = SaidEntry {
        what,
        pieces,
        clay: None,
        shelf: None,
        mark: None,
        coat: None,
    };
    let mut rest: Vec<&str> = rest.collect();
    if rest.first().is_some_and(|word| ["pieces", "piece"].contains(word)) {
        rest.remove(0);
    }
    let mut at: Option<&str> = None;
    for word in rest {
        match (word, at) {
            ("on" | "at" | "mark" | "coat", _) => at = Some(word),
            (_, Some(at)) => {
                let part = match at {
                    "on" => &mut said.clay,
                    "at" => &mut said.shelf,
                    "mark" => &mut said.mark,
                    _ => &mut said.coat,
                };
                match part {
                    Some(part) => {
                        part.push(' ');
                        part.push_str(word);
                    }
                    None => *part = Some(word.to_owned()),
                }
            }
            (_, None) => return Err(trouble(of_typed(word, "says nothing here"))),
        }
    }
    Ok(said)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_how_many_on_which_clay_where() {
        let said = parse_put("Lamplight clear = 5 on buff stoneware at the top mark K7")
            .unwrap_or_else(|why| panic!("{why:?}"));
        assert_eq!((said.what.as_str(), said.pieces), ("Lamplight clear", 5));
        assert_eq!(said.clay.as_deref(), Some("buff stoneware"));
        assert_eq!(
            (said.shelf.as_deref(), said.mark.as_deref()),
            (Some("the top"), Some("K7"))
        );
        assert_eq!(parse_put("14=3 pieces").map(|said| said.pieces), Ok(3));
        for wrong in ["14", "= 5", "14 = none", "14 = 0", "14 = 5 buff", "14 = 1000000", ""] {
            assert!(parse_put(wrong).is_err(), "{wrong}");
        }
    }
}
