//! No two folders of one crate need each other, be it over others, by their `use` lines
//! and paths that begin with `crate` or `super`.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use super::{ARROWS, code, root, source_files};

/// A file's place among the modules: `["values", "clay"]`; `mod.rs` is its folder.
fn module(source: &Path, path: &Path) -> Vec<String> {
    let below = path.strip_prefix(source).unwrap().with_extension("");
    let mut steps: Vec<String> = below.iter().map(|step| step.to_str().unwrap().to_owned()).collect();
    if steps
        .last()
        .is_some_and(|last| ["mod", "lib", "main"].contains(&last.as_str()))
    {
        steps.pop();
    }
    steps
}

/// Every path in a text that begins with `crate` or `super`; of `a::{b, c::d}` each.
fn paths(code: &str) -> Vec<Vec<String>> {
    let mut found = Vec::new();
    for start in ["crate::", "super::"] {
        for (at, _) in code.match_indices(start) {
            // Inside another path, or in words.
            if code[..at].ends_with(|before: char| before.is_alphanumeric() || before == '_' || before == ':') {
                continue;
            }
            spell_out(&code[at..], &[], &mut found);
        }
    }
    found
}

/// Adds the paths at the start of `text`, each behind `before`; gives back what follows.
fn spell_out<'a>(text: &'a str, before: &[String], found: &mut Vec<Vec<String>>) -> &'a str {
    let mut path = before.to_vec();
    let mut rest = text.trim_start();
    loop {
        if let Some(inner) = rest.strip_prefix('{') {
            rest = inner;
            loop {
                rest = spell_out(rest, &path, found).trim_start();
                // ` as NAME` and the like are no step.
                rest = rest.trim_start_matches(|sign: char| !matches!(sign, ',' | '}'));
                match rest.strip_prefix(',').map(str::trim_start) {
                    Some(next) if !next.starts_with('}') => rest = next,
                    Some(next) => return next.strip_prefix('}').unwrap_or(next),
                    None => return rest.strip_prefix('}').unwrap_or(rest),
                }
            }
        }
        let end = rest
            .find(|sign: char| !sign.is_alphanumeric() && sign != '_')
            .unwrap_or(rest.len());
        path.push(rest[..end].to_owned());
        rest = &rest[end..];
        match rest.strip_prefix("::") {
            Some(next) => rest = next,
            None => break,
        }
    }
    found.push(path);
    rest
}

/// The path from the crate's root.
fn resolved(me: &[String], path: &[String]) -> Vec<String> {
    let mut at = match path[0].as_str() {
        "crate" => Vec::new(),
        _ => me.to_vec(),
    };
    for step in path.iter().filter(|step| *step != "crate" && *step != "self") {
        if step == "super" {
            at.pop();
        } else {
            at.push(step.clone());
        }
    }
    at
}

/// Which folder needs which, both inside the same one, and by which file.
type Needs = BTreeMap<(String, String), BTreeSet<String>>;

fn needs(krate: &str) -> Needs {
    let source = root().join("crates").join(krate).join("src");
    let is_folder = |steps: &[String]| source.join(steps.join("/")).is_dir();
    let mut needs = Needs::new();
    for path in source_files(krate) {
        let me = module(&source, &path);
        for used in paths(&code(&path)) {
            let used = resolved(&me, &used);
            let shared = me.iter().zip(&used).take_while(|(a, b)| a == b).count();
            if shared == me.len() || shared == used.len() {
                continue;
            }
            let (from, to) = (&me[..=shared], &used[..=shared]);
            if is_folder(from) && is_folder(to) {
                let pair = (from.join("/"), to.join("/"));
                needs.entry(pair).or_default().insert(path.display().to_string());
            }
        }
    }
    needs
}

/// All that a folder needs, also over others.
fn reached<'a>(needs: &'a Needs, from: &'a str) -> BTreeSet<&'a str> {
    let mut reached = BTreeSet::new();
    let mut open = vec![from];
    while let Some(folder) = open.pop() {
        for (_, to) in needs.keys().filter(|(needing, _)| needing == folder) {
            if reached.insert(to.as_str()) {
                open.push(to);
            }
        }
    }
    reached
}

#[test]
fn no_folders_need_each_other() {
    // The commands are to be one file each.
    for (krate, _) in ARROWS.iter().filter(|arrow| arrow.0 != "cli") {
        let needs = needs(krate);
        for ((from, to), files) in &needs {
            assert!(
                !reached(&needs, to).contains(from.as_str()),
                "in {krate}, {from} needs {to} ({files:?}) and {to} needs {from}, be it over others"
            );
        }
    }
}

#[test]
fn paths_are_spelled_out() {
    let text = "use crate::a::{b, c::{self, D as E},\n};\nlet x = super::f::g(1); my_crate::h";
    let spelled: Vec<String> = paths(text).iter().map(|path| path.join(" ")).collect();
    assert_eq!(spelled, ["crate a b", "crate a c self", "crate a c D", "super f g"]);
    let me = ["values".to_owned(), "clay".to_owned()];
    assert_eq!(resolved(&me, &paths("super::glaze::x")[0]), ["values", "glaze", "x"]);
}
