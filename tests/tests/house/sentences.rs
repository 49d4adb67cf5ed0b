//! What the engine has to say is data: chemistry and core hold no sentence that a person
//! reads, complaints aside, and no crate words more than it does now.

use std::path::Path;

use super::{code, source_files};

/// So many words in a row make a sentence.
const SENTENCE_FROM: usize = 4;

/// A function that holds one of these makes complaints, or passes one on.
const COMPLAINTS: [&str; 16] = [
    "Diagnostic",
    "Trouble",
    "trouble",
    "Error",
    "Err(",
    ".ok_or(",
    "wrong",
    "complaint",
    "Formatter",
    "write!",
    "panic!",
    "assert",
    "efus",
    "fault",
    "Slip",
    "bad(",
];

/// Functions that hold citations, the words of complaints, or what a parser said; without a
/// name, what stands before a file's first function.
const OTHERWISE: [(&str, &str); 5] = [
    ("expansion.rs", ""),
    ("expansion.rs", "source"),
    ("diagnostic.rs", "none_called"),
    ("diagnostic.rs", "did_you_mean"),
    ("node.rs", "reworded"),
];

/// Sentences that stand there still: names of ways, of firings and of an exported column.
const STILL: [(&str, usize); 2] = [("chemistry", 0), ("core", 4)];

/// The texts of a file's code, each with its place.
fn texts(code: &str) -> Vec<(usize, &str)> {
    let signs: Vec<(usize, char)> = code.char_indices().collect();
    let mut found = Vec::new();
    let mut at = 0;
    while at < signs.len() {
        match signs[at].1 {
            '"' => {
                let start = at + 1;
                at += 1;
                while at < signs.len() && signs[at].1 != '"' {
                    at += if signs[at].1 == '\\' { 2 } else { 1 };
                }
                let end = signs.get(at).map_or(code.len(), |sign| sign.0);
                found.push((signs[start].0, &code[signs[start].0..end]));
            }
            // A sign in quotes, not a lifetime.
            '\'' => {
                let escaped = signs.get(at + 1).is_some_and(|sign| sign.1 == '\\');
                let length = if escaped { 3 } else { 2 };
                if signs.get(at + length).is_some_and(|sign| sign.1 == '\'') {
                    at += length;
                }
            }
            _ => {}
        }
        at += 1;
    }
    found
}

fn is_sentence(text: &str) -> bool {
    let is_word = |piece: &&str| piece.chars().filter(|sign| sign.is_alphabetic()).count() >= 2;
    text.split_whitespace().filter(is_word).count() >= SENTENCE_FROM
}

/// Where functions begin: the place of each `fn`, and its name.
fn functions(code: &str) -> Vec<(usize, &str)> {
    let mut place = 0;
    let mut found = Vec::new();
    for line in code.split_inclusive('\n') {
        if let Some((before, after)) = line.split_once("fn ")
            && before
                .split_whitespace()
                .all(|word| word.starts_with("pub") || word == "const")
        {
            found.push((place, after.split(['(', '<']).next().unwrap_or(after)));
        }
        place += line.len();
    }
    found
}

/// The sentences of a file that stand in no function that complains.
fn sentences(path: &Path) -> Vec<String> {
    let code = code(path);
    let functions = functions(&code);
    let file = path.file_name().unwrap().to_string_lossy().into_owned();
    let others = |text: &(usize, &str)| {
        let index = functions.partition_point(|function| function.0 <= text.0);
        let (start, name) = index.checked_sub(1).map_or((0, ""), |index| functions[index]);
        let end = functions.get(index).map_or(code.len(), |next| next.0);
        let complains = COMPLAINTS.iter().any(|sign| code[start..end].contains(sign));
        !complains && !OTHERWISE.contains(&(file.as_str(), name))
    };
    let texts = texts(&code).into_iter().filter(|text| is_sentence(text.1));
    texts
        .filter(others)
        .map(|text| format!("{}: {}", path.display(), text.1))
        .collect()
}

/// Files that only tests have.
fn is_for_tests(path: &Path) -> bool {
    let folder = path.parent().unwrap();
    let name = path.file_stem().unwrap().to_string_lossy();
    name == "tests"
        || path.iter().any(|step| step == "tests")
        || ["mod.rs", "lib.rs"].iter().any(|face| {
            let face = std::fs::read_to_string(folder.join(face)).unwrap_or_default();
            face.contains(&format!("#[cfg(test)]\nmod {name};"))
        })
}

#[test]
fn chemistry_and_core_hold_no_sentence_that_a_person_reads() {
    for (krate, most) in STILL {
        let files = source_files(krate).into_iter().filter(|path| !is_for_tests(path));
        let found: Vec<String> = files.flat_map(|path| sentences(&path)).collect();
        assert!(found.len() <= most, "{krate}: {found:#?}");
    }
}

/// What is taken for granted and why something lies outside is never text.
#[test]
fn assumptions_and_reasons_are_data() {
    for krate in ["chemistry", "core"] {
        for path in source_files(krate) {
            let code = code(&path);
            for key in ["assumptions", "reasons", "cautions", "doubts", "findings"] {
                let field = format!("pub {key}: Vec<String>");
                assert!(!code.contains(&field), "{} has `{field}`", path.display());
            }
        }
    }
}

/// The most `format!` of each crate: those that say something new to people go to page,
/// and complaints of one kind have one place (`of_typed`, `is_no`, `none_called`).
const FORMATS: [(&str, usize); 7] = [
    ("chemistry", 116),
    ("core", 122),
    ("script", 325),
    ("studio", 178),
    ("desk", 441),
    ("web", 180),
    ("cli", 53),
];

#[test]
fn few_texts_are_put_together_outside_of_page() {
    for (krate, most) in FORMATS {
        let files = source_files(krate).into_iter().filter(|path| !is_for_tests(path));
        let found: usize = files.map(|path| code(&path).matches("format!(").count()).sum();
        assert!(found <= most, "{found} times format! in {krate}, at most {most}");
    }
}

#[test]
fn sentences_are_told_from_names_and_complaints() {
    let code = "fn a() -> String {\n    format!(\"it is {x} and more\")\n}\nfn b(c: char) { c == '\"' || \"no one reads this\" }\n";
    let found: Vec<&str> = texts(code).into_iter().map(|text| text.1).collect();
    assert_eq!(found, ["it is {x} and more", "no one reads this"]);
    assert!(is_sentence("it is {x} and more") && !is_sentence("oxide,low,high") && !is_sentence("a b c d"));
    let names: Vec<&str> = functions(code).into_iter().map(|function| function.1).collect();
    assert_eq!(names, ["a", "b"]);
}
