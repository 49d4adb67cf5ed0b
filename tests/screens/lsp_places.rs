//! Two hundred places in the shipped scripts, chosen from a fixed seed: a name is broken,
//! and its complaint stands at that place, as the terminal's does; a name is taken away
//! behind its dot, and is among what is offered there.

use std::path::Path;

use serde_json::Value;

use super::bench::Bench;
use super::editor::{Session, offered, published};

const PLACES: usize = 100;
const SEED: u64 = 0x61_7a_65;

/// A generator of numbers that is the same everywhere (Knuth's MMIX constants).
struct Seeded(u64);

impl Seeded {
    fn below(&mut self, count: usize) -> usize {
        let next = self.0.wrapping_mul(6_364_136_223_846_793_005);
        self.0 = next.wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % count
    }
}

/// A name behind a dot in a shipped script.
#[derive(Debug, Clone)]
struct Spot {
    script: String,
    text: String,
    line: usize,
    column: usize,
    name: String,
}

/// Where a value of a known kind is asked for something: in the functions that are handed
/// glaze, option or tester, and nowhere in texts or comments.
fn spots() -> Vec<Spot> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scripts");
    let mut files = Vec::new();
    for kind in ["blend", "check", "fault", "limits", "run", "swap"] {
        let folder = std::fs::read_dir(root.join(kind)).unwrap();
        files.extend(folder.map(|file| (kind, file.unwrap().path())));
    }
    files.sort();
    let mut spots = Vec::new();
    for (kind, file) in files {
        let text = std::fs::read_to_string(&file).unwrap();
        let script = format!("{kind}/{}", file.file_stem().unwrap().to_string_lossy());
        let mut handed: Vec<String> = Vec::new();
        for (line, row) in text.lines().enumerate() {
            if let Some(head) = row.strip_prefix("fn ") {
                let entry = head.starts_with(&format!("{kind}(")) || head.starts_with("test_");
                let inside = head.split(['(', ')']).nth(1).unwrap();
                let names = inside.split(',').map(|name| name.trim().to_owned());
                handed = names
                    .filter(|name| entry && ["glaze", "option", "t"].contains(&name.as_str()))
                    .collect();
            }
            let code = row.split(['"', '`']).next().unwrap().split("//").next().unwrap();
            for owner in &handed {
                let dotted = format!("{owner}.");
                for (at, _) in code.match_indices(&dotted) {
                    let before = code[..at].chars().next_back();
                    let column = at + dotted.len();
                    let name: String = code[column..]
                        .chars()
                        .take_while(|sign| sign.is_alphanumeric() || *sign == '_')
                        .collect();
                    let whole = before.is_none_or(|sign| !sign.is_alphanumeric() && !"_.".contains(sign));
                    if whole && !name.is_empty() {
                        let (script, text) = (script.clone(), text.clone());
                        spots.push(Spot {
                            script,
                            text,
                            line,
                            column,
                            name,
                        });
                    }
                }
            }
        }
    }
    spots
}

fn chosen() -> Vec<Spot> {
    let all = spots();
    assert!(all.len() > 2 * PLACES, "only {} places", all.len());
    let mut seeded = Seeded(SEED);
    (0..PLACES).map(|_| all[seeded.below(all.len())].clone()).collect()
}

impl Spot {
    /// The text with the name's line as `change` makes it.
    fn changed(&self, change: impl Fn(&str) -> String) -> String {
        let lines = self.text.lines().enumerate();
        let lines: Vec<String> = lines
            .map(|(index, line)| {
                if index == self.line {
                    change(line)
                } else {
                    line.to_owned()
                }
            })
            .collect();
        lines.join("\n") + "\n"
    }

    fn broken(&self) -> String {
        let end = self.column + self.name.len();
        self.changed(|line| format!("{}qq{}", &line[..end], &line[end..]))
    }

    /// As it reads while somebody writes it: nothing follows the dot.
    fn begun(&self) -> String {
        self.changed(|line| line[..self.column].to_owned())
    }

    fn path(&self, index: usize) -> String {
        let kind = self.script.split('/').next().unwrap();
        format!("scripts/{kind}/place-{index:03}.rhai")
    }
}

#[test]
fn a_broken_name_is_shown_where_it_stands() {
    let bench = Bench::example_studio();
    let mut session = Session::begun();
    let spots = chosen();
    for (index, spot) in spots.iter().enumerate() {
        let path = bench.path().join("studio").join(spot.path(index));
        session.opens(&path, &spot.broken());
        session.closes(&path);
    }
    let messages = session.ends(&bench);
    for (index, spot) in spots.iter().enumerate() {
        bench.file(&format!("studio/{}", spot.path(index)), spot.broken());
    }
    let listed = bench.run_in("studio", &["script", "list", "--format", "json"]);
    let listed: Value = serde_json::from_str(&listed.stdout).unwrap();
    let told = listed["broken"].as_array().unwrap();
    assert_eq!(told.len(), PLACES);
    for (index, spot) in spots.iter().enumerate() {
        let path = spot.path(index);
        let found = published(&messages, &bench.path().join("studio").join(&path))[0];
        let at = &found[0]["range"];
        let name = path.trim_start_matches("scripts/").trim_end_matches(".rhai");
        let error = &told.iter().find(|broken| broken["name"] == name).unwrap()["error"];
        let place = |value: &Value| value.as_u64().unwrap() as usize;
        let terminal = (place(&error["line"]) - 1, place(&error["column"]) - 1);
        let line = spot.text.lines().nth(spot.line).unwrap();
        let wanted = (spot.line, line[..spot.column].encode_utf16().count());
        assert_eq!(
            (place(&at["start"]["line"]), place(&at["start"]["character"])),
            wanted,
            "{spot:?}"
        );
        assert_eq!(terminal, (spot.line, line[..spot.column].chars().count()), "{spot:?}");
        assert_eq!(found[0]["code"], error["code"], "{spot:?}");
    }
}

#[test]
fn a_name_is_offered_behind_its_dot() {
    let bench = Bench::example_studio();
    let mut session = Session::begun();
    let mut asked = Vec::new();
    for (index, spot) in chosen().into_iter().enumerate() {
        let path = bench.path().join("studio").join(spot.path(index));
        session.opens(&path, &spot.begun());
        let line = spot.text.lines().nth(spot.line).unwrap();
        let character = line[..spot.column].encode_utf16().count();
        asked.push((session.asks_at("completion", &path, (spot.line, character)), spot));
        session.closes(&path);
    }
    let messages = session.ends(&bench);
    for (number, spot) in asked {
        let offers = offered(&messages, number);
        assert!(offers.contains(&spot.name), "{spot:?} isn't among {offers:?}");
    }
}
