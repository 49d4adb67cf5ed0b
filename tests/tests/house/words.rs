//! Nothing hangs on a word of ours: what a word means is an enum where it is read. What is
//! left compares keys of files and words that people type, and reads units and numerals.

use super::{code, source_files};

/// The most lines of each crate that compare a word; readers of files and pages have most.
const COMPARED: [(&str, usize); 8] = [
    ("chemistry", 72),
    ("core", 131),
    ("script", 41),
    ("studio", 23),
    ("desk", 42),
    ("page", 4),
    ("web", 6),
    ("cli", 7),
];

/// Whether a line compares something with a word, or matches one.
fn compares_a_word(line: &str) -> bool {
    let begins = |text: &str| text.starts_with('"') && text[1..].starts_with(|sign: char| sign.is_ascii_alphabetic());
    let compared = ["== ", "!= "].iter().any(|sign| {
        line.match_indices(sign).any(|(at, _)| {
            let other = line[at + sign.len()..].trim_start_matches('&');
            begins(other) || other.strip_prefix("Some(").is_some_and(begins)
        })
    });
    let own = line.trim_start();
    let arm = own.split_once("=>").is_some_and(|(before, _)| {
        let pattern = before.trim_start_matches("Some(");
        begins(pattern)
    });
    compared || arm
}

#[test]
fn few_things_hang_on_a_word() {
    for (krate, most) in COMPARED {
        let count = |code: String| code.lines().filter(|line| compares_a_word(line)).count();
        let files = source_files(krate)
            .into_iter()
            .filter(|path| !path.ends_with("tests.rs"));
        let found: usize = files.map(|path| count(code(&path))).sum();
        assert!(found <= most, "{found} lines compare a word in {krate}, at most {most}");
    }
}

/// Words that are enums everywhere: an atmosphere, a use, onto what a glaze goes.
#[test]
fn atmospheres_and_uses_are_compared_nowhere() {
    let words = [
        "oxidation",
        "reduction",
        "neutral",
        "tableware",
        "wall tile",
        "floor",
        "outdoor",
        "decorative",
    ];
    for krate in ["chemistry", "core", "desk", "page", "studio", "script", "cli", "web"] {
        for path in source_files(krate) {
            let code = code(&path);
            for word in words {
                for compared in [
                    format!("== \"{word}\""),
                    format!("== Some(\"{word}\")"),
                    format!("Some(\"{word}\") =>"),
                ] {
                    assert!(!code.contains(&compared), "{} has `{compared}`", path.display());
                }
            }
        }
    }
}
