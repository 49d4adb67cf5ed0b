//! What a batch is filled into.

use glost_chemistry::diagnostic::is_no;
use serde::{Deserialize, Serialize};

use glost_chemistry::quantity::NumberTrouble;

/// The most containers of one batch that are believed.
const MOST: u32 = 200;

/// What a batch is filled into: `5 bottles`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Containers {
    /// How many.
    pub count: u32,
    /// One of them in a word: `bottle`.
    pub one: String,
}

impl Containers {
    /// Reads `5 bottles`, `a bucket`, `2 jars`.
    ///
    /// # Errors
    /// No count, or no word for what they are.
    pub fn parse(text: &str) -> Result<Containers, NumberTrouble> {
        let trouble = |message: String| NumberTrouble {
            message,
            help: Some("write how many and what: \"5 bottles\", \"1 bucket\"".to_owned()),
        };
        let words: Vec<&str> = text.split_whitespace().collect();
        let [count, what @ ..] = words.as_slice() else {
            return Err(trouble("nothing to fill it into".to_owned()));
        };
        let number = match *count {
            "a" | "an" | "one" => Some(1),
            other => other.parse::<u32>().ok().filter(|count| (1..=MOST).contains(count)),
        };
        let what = what.join(" ").to_lowercase();
        let plain = !what.is_empty() && what.chars().count() <= 40 && !what.chars().any(char::is_control);
        if what.split(' ').any(|word| ["and", "+", "&"].contains(&word)) || what.contains(',') {
            return Err(NumberTrouble {
                message: format!("`{}` is several sorts of containers", text.trim()),
                help: Some(
                    "a batch is divided evenly among containers of one sort: weigh one for each, or say the bottles \
                     and keep what is left over in the bucket"
                        .to_owned(),
                ),
            });
        }
        match number {
            Some(count) if plain => Ok(Containers {
                count,
                one: singular(&what),
            }),
            _ => Err(trouble(is_no(text.trim(), "number of containers"))),
        }
    }
}

/// `bottle` of `bottles`, `box` of `boxes`, `glass` of `glass`.
fn singular(what: &str) -> String {
    let bare = if what.ends_with("xes") || what.ends_with("sses") {
        what.strip_suffix("es")
    } else if what.ends_with("ss") {
        None
    } else {
        what.strip_suffix('s')
    };
    bare.unwrap_or(what).to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn so_many_of_what() {
        let read = |text: &str| Containers::parse(text).map(|into| (into.count, into.one)).ok();
        assert_eq!(read("5 bottles"), Some((5, "bottle".to_owned())));
        assert_eq!(read("1 Bucket"), Some((1, "bucket".to_owned())));
        assert_eq!(read("a 2 l tub"), Some((1, "2 l tub".to_owned())));
        assert_eq!(read("2 boxes"), Some((2, "box".to_owned())));
        assert_eq!(read("3 glasses"), Some((3, "glass".to_owned())));
        assert_eq!(read("1 glass"), Some((1, "glass".to_owned())));
        for wrong in [
            "5 bottles and 1 bucket",
            "5 bottles, a bucket",
            "2 jars + 1 tub",
            "",
            "bottles",
            "0 bottles",
            "5",
            "900 bottles",
            "-1 jar",
        ] {
            assert_eq!(read(wrong), None, "{wrong}");
        }
    }
}
