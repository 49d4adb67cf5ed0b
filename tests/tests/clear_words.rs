//! No word that clears a piece: looked for in everything that people may read, the
//! code's own texts, scripts, screens, documents and starter files.

use std::fs;
use std::path::{Path, PathBuf};

/// Said of a piece, a glaze or a clay, any of these would clear it. Compared in lower
/// case, with hyphens and line ends as blanks.
const CLEARING: [&str; 48] = [
    "food safe",
    "foodsafe",
    "safe for food",
    "safe with food",
    "safe food",
    "safe to eat",
    "safe to drink",
    "safe to use",
    "safe for use",
    "safe for tableware",
    "safe for cups",
    "dinnerware safe",
    "tableware safe",
    "dishwasher safe",
    "microwave safe",
    "oven safe",
    "is safe",
    "are safe",
    "be safe",
    "completely safe",
    "perfectly safe",
    "frost proof",
    "frostproof",
    "craze proof",
    "crazeproof",
    "acid proof",
    "leak proof",
    "leakproof",
    "waterproof",
    "will not craze",
    "won't craze",
    "never crazes",
    "cannot craze",
    "can't craze",
    "will not shiver",
    "won't shiver",
    "will not leach",
    "won't leach",
    "does not leach",
    "doesn't leach",
    "guarantee",
    "guaranteed",
    "non toxic",
    "nontoxic",
    "harmless",
    "risk free",
    "no risk",
    "food grade",
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_owned()
}

fn files(folder: &Path, endings: &[&str]) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for path in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
        if path.is_dir() {
            found.extend(files(&path, endings));
        } else if endings
            .iter()
            .any(|ending| path.extension().is_some_and(|own| own == *ending))
        {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// What people may read of a file: of code its texts, comments and tests left out.
fn readable(path: &Path) -> String {
    let text = fs::read_to_string(path).unwrap();
    if path.extension().is_none_or(|ending| ending != "rs") {
        return text;
    }
    let before_tests = text.split("#[cfg(test)]").next().unwrap();
    let kept: Vec<&str> = before_tests
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .collect();
    // A text broken over lines goes on where the next one begins.
    kept.join("\n").replace("\\\n", " ")
}

fn plain(text: &str) -> String {
    let blanks: String = text
        .to_lowercase()
        .chars()
        .map(|sign| if sign == '-' || sign.is_whitespace() { ' ' } else { sign })
        .collect();
    blanks.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The clearing words of a text, each with what stands around it.
fn clearing(text: &str) -> Vec<String> {
    let text = plain(text);
    let mut found = Vec::new();
    for word in CLEARING {
        for (at, _) in text.match_indices(word) {
            let starts = !text[..at].ends_with(char::is_alphanumeric);
            let ends = !text[at + word.len()..].starts_with(|sign: char| sign.is_alphanumeric() && sign != 's');
            if starts && ends {
                let around: String = text[..at]
                    .chars()
                    .rev()
                    .take(40)
                    .collect::<Vec<_>>()
                    .into_iter()
                    .rev()
                    .collect();
                found.push(format!("{around}[{word}]"));
            }
        }
    }
    found
}

#[test]
fn nothing_that_people_read_clears_a_piece() {
    let root = root();
    let mut all = Vec::new();
    for (folder, endings) in [
        ("crates", &["rs", "yaml", "md", "txt", "html", "rhai"][..]),
        ("scripts", &["rhai"]),
        ("materials", &["yaml"]),
        ("tests/screens", &["snap"]),
    ] {
        all.extend(files(&root.join(folder), endings));
    }
    all.extend(["README.md", "DEVELOPERS.md"].map(|name| root.join(name)));
    let mut wrong = Vec::new();
    for path in &all {
        let name = path.strip_prefix(&root).unwrap().to_string_lossy().replace('\\', "/");
        if name.contains("/tests/") || name.contains("/target/") {
            continue;
        }
        let text = readable(path);
        wrong.extend(clearing(&text).into_iter().map(|found| format!("{name}: {found}")));
    }
    assert!(all.len() > 1000, "only {} files were looked at", all.len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_words_are_found_in_all_their_forms() {
    for text in [
        "This glaze is food-safe.",
        "it is\n   safe",
        "Frost proof",
        "it won't craze here",
        "GUARANTEED",
        "nobody guarantees it",
    ] {
        let found = clearing(text);
        assert!(!found.is_empty(), "{text}");
    }
    assert!(clearing("one can never know how safely it holds").is_empty());
}
