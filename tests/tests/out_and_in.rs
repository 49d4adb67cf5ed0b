//! A studio written as tables and read back is the same studio.

#[allow(dead_code, reason = "other laws use the rest of it")]
mod invented;

use std::collections::BTreeMap;
use std::fmt::Write;
use std::fs;
use std::path::Path;

use glost_chemistry::diagnostic::Source;
use glost_chemistry::glaze::{Additions, Analysis};
use glost_core::intake::table::yaml::Yaml;
use glost_core::intake::table::{Entry, entry, list_entries};
use glost_desk::{Desk, Place, Question, Words, export, import};
use glost_studio::Workplace;
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;
use proptest::test_runner::TestCaseError;

use invented::{Sheet, for_all, sheet};

/// Texts that spreadsheets, CSV or YAML could take for something else.
const AWKWARD: [&str; 16] = [
    "plain",
    "=1+2",
    "'=x",
    "+tin",
    "-",
    "@home",
    "a, b; \"c\"",
    "two\nlines",
    "04",
    "null",
    "yes",
    "[list]",
    "{ map: 1 }",
    "#not a comment",
    "Glasur für außen",
    "12,5",
];

#[derive(Debug, Clone)]
struct InventedStudio {
    sheets: Vec<Sheet>,
    names: Vec<&'static str>,
    glazes: Vec<InventedGlaze>,
    notes: Vec<(&'static str, u32)>,
}

#[derive(Debug, Clone)]
struct InventedGlaze {
    parts: Vec<f64>,
    addition: Option<f64>,
    cone: &'static str,
    notes: &'static str,
}

fn invented_studio() -> impl Strategy<Value = InventedStudio> {
    let glaze = (
        vec(0.5..60.0_f64, 8),
        proptest::option::of(0.1..10.0_f64),
        select(&["6", "04", "9", "10"][..]),
        select(&AWKWARD[..]),
    );
    let glaze = glaze.prop_map(|(parts, addition, cone, notes)| InventedGlaze {
        parts,
        addition,
        cone,
        notes,
    });
    (
        vec(sheet(), 8),
        vec(select(&AWKWARD[..]), 8),
        vec(glaze, 1..6),
        vec((select(&AWKWARD[..]), 0..9_u32), 0..4),
    )
        .prop_map(|(sheets, names, glazes, notes)| InventedStudio {
            sheets,
            names,
            glazes,
            notes,
        })
}

fn quoted(text: &str) -> String {
    serde_json::to_string(text).unwrap()
}

/// What is left of a material: as a sum, or by open lots of which one has figures of its own.
fn stock(index: usize, sheet: &Sheet, lot: &str) -> String {
    if index.is_multiple_of(2) {
        return format!("stock: {index}.5 kg");
    }
    let oxides: Vec<String> = sheet
        .oxides
        .iter()
        .map(|(oxide, amount)| format!("{oxide}: {amount}"))
        .collect();
    format!(
        "lots: [{{ lot: {}, stock: {index}.25 kg }}, {{ lot: L2, stock: 500 g, analysis: {{ {} }}, loss_on_ignition: {} }}]",
        quoted(&format!("{lot} 1")),
        oxides.join(", "),
        sheet.loss
    )
}

impl InventedStudio {
    fn name(&self, index: usize) -> String {
        format!("{} m{index}", self.names[index].replace('\n', " "))
    }

    fn write(&self, dir: &Path) {
        for folder in ["materials", "glazes", "clays", "scripts/check"] {
            fs::create_dir_all(dir.join(folder)).unwrap();
        }
        fs::write(
            dir.join("studio.yaml"),
            "studio: \"04, Ltd\"\nscales: { reads_to: 0.1 g, up_to: 2 kg }\ncup: 250 ml\n",
        )
        .unwrap();
        let mut materials = String::from("materials:\n");
        for (index, sheet) in self.sheets.iter().enumerate() {
            let oxides: Vec<String> = sheet
                .oxides
                .iter()
                .map(|(oxide, amount)| format!("{oxide}: {amount}"))
                .collect();
            write!(
                materials,
                "  - name: {}\n    analysis: {{ {} }}\n    loss_on_ignition: {}\n    basis: as supplied\n    take_as_is: true\n    \
                 other_names: [{}, \"x{index}\"]\n    {}\n    price: 1.6 EUR/kg\n    source: {}\n",
                quoted(&self.name(index)),
                oxides.join(", "),
                sheet.loss,
                quoted(&format!("other {}", self.name(index))),
                stock(index, sheet, self.names[index]),
                quoted(self.names[index]),
            )
            .unwrap();
        }
        fs::write(dir.join("materials/own.yaml"), materials).unwrap();
        for (index, glaze) in self.glazes.iter().enumerate() {
            let parts: Vec<String> = (0..8)
                .map(|at| format!("{}: {}", quoted(&self.name(at)), glaze.parts[at]))
                .collect();
            let mut text = format!(
                "glaze: {}\ncone: {}\nparts: {{ {} }}\n",
                quoted(&format!("g{index} {}", glaze.notes.replace('\n', " "))),
                glaze.cone,
                parts.join(", ")
            );
            if let Some(percent) = glaze.addition {
                writeln!(text, "additions: {{ {}: {percent} }}", quoted(&self.name(0))).unwrap();
            }
            writeln!(text, "notes: {}\nwater: 0.9 l/kg", quoted(glaze.notes)).unwrap();
            fs::write(dir.join(format!("glazes/g{index}.yaml")), text).unwrap();
        }
        fs::write(dir.join("clays/white.yaml"), "clay: \"=white\"\ncone: 04\nexpansion: 7.7e-6/K at 20-500 C\nweighings: { dry: 412.0 g, boiled: 436.7 g }\nsource: bag\n").unwrap();
        fs::write(dir.join("scripts/check/own.rhai"), "// own\n").unwrap();
        let notes: Vec<String> = self
            .notes
            .iter()
            .map(|(text, crazed)| format!("{{\"on\":\"2026-11-24\",\"glaze\":\"g0\",\"cone\":\"6\",\"pieces\":9,\"crazed\":{crazed},\"grades\":{{\"gloss\":4}},\"text\":{}}}\n", quoted(text)))
            .collect();
        if !notes.is_empty() {
            fs::write(dir.join("notes.jsonl"), notes.concat()).unwrap();
        }
    }
}

fn desk(studio: &Path) -> Desk {
    let place = Place {
        studio: Some(studio.to_owned()),
        materials: Vec::new(),
        here: studio.to_owned(),
    };
    let today = || Ok(glost_chemistry::quantity::Date::parse("2026-11-25").unwrap());
    Desk::open(place, today).unwrap()
}

/// Every key of every entry, by file and name; order aside.
fn keys(dir: &Path) -> BTreeMap<String, BTreeMap<String, Yaml>> {
    let mut found = BTreeMap::new();
    for folder in ["materials", "glazes", "clays", "."] {
        for file in fs::read_dir(dir.join(folder)).unwrap() {
            let path = file.unwrap().path();
            if path.extension().is_none_or(|ending| ending != "yaml") {
                continue;
            }
            let source = Source::from_text("f", &fs::read_to_string(&path).unwrap());
            let entries: Vec<Entry> = if folder == "materials" {
                list_entries(&source).unwrap()
            } else {
                vec![entry(&source).unwrap()]
            };
            let file = path.strip_prefix(dir).unwrap().display().to_string();
            for (index, entry) in entries.into_iter().enumerate() {
                found.insert(
                    format!("{file} {index}"),
                    entry.into_iter().map(|(key, value)| (key, value.in_order())).collect(),
                );
            }
        }
    }
    found
}

fn journal(dir: &Path) -> Vec<serde_json::Value> {
    let text = fs::read_to_string(dir.join("notes.jsonl")).unwrap_or_else(|_| String::new());
    text.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
}

fn same_unity(one: &Workplace, other: &Workplace) -> Result<usize, TestCaseError> {
    let (glazes, complaints) = one.all_glazes();
    prop_assert!(complaints.is_empty(), "{complaints:?}");
    for glaze in &glazes {
        let back = other.glaze(&glaze.glaze.name);
        let back = back.map_err(|why| TestCaseError::fail(format!("{why:?}")))?;
        let of = |glaze: &glost_studio::FoundGlaze| Analysis::of(&glaze.glaze, &glaze.settings.fluxes, Additions::In);
        match (of(glaze), of(&back)) {
            (Ok(before), Ok(after)) => {
                let (before, after) = (before.unity.unwrap(), after.unity.unwrap());
                for (oxide, moles) in before.iter() {
                    prop_assert!((moles - after.get(oxide)).abs() < 1e-9, "{oxide}");
                }
                prop_assert_eq!(before.iter().count(), after.iter().count());
            }
            (Err(_), Err(_)) => {}
            _ => return Err(TestCaseError::fail("known once, unknown once")),
        }
    }
    Ok(glazes.len())
}

fn out_and_in(studio: &Path, outer: &Path) -> Result<import::Answer, TestCaseError> {
    let failed = |why: glost_desk::Failure| TestCaseError::fail(format!("{why:?}"));
    let tables = outer.join("tables");
    let words = Words::default().with("folder", tables.to_str().unwrap());
    let wrong = |why| TestCaseError::fail(format!("{why:?}"));
    export::Question::from_words(&words)
        .map_err(wrong)?
        .ask(&desk(studio))
        .map_err(failed)?;
    let words = Words::default()
        .with("from", tables.to_str().unwrap())
        .with("into", outer.join("back").to_str().unwrap());
    import::Question::from_words(&words)
        .map_err(wrong)?
        .ask(&desk(studio))
        .map_err(failed)
}

#[test]
fn every_invented_studio_comes_back_with_every_key() {
    for_all(12, invented_studio(), |invented| {
        let outer = tempfile::tempdir().unwrap();
        let studio = outer.path().join("studio");
        invented.write(&studio);
        let answer = out_and_in(&studio, outer.path())?;
        prop_assert!(answer.open.is_empty(), "{:?}", answer.open);
        let back = outer.path().join("back");
        prop_assert_eq!(keys(&studio), keys(&back));
        prop_assert_eq!(journal(&studio), journal(&back));
        prop_assert!(back.join("scripts/check/own.rhai").is_file());
        let count = same_unity(desk(&studio).workplace(), desk(&back).workplace())?;
        prop_assert_eq!(count, invented.glazes.len());
        Ok(())
    });
}

#[test]
fn the_example_studio_comes_back() {
    let outer = tempfile::tempdir().unwrap();
    let studio = outer.path().join("studio");
    glost_studio::init(&studio, true).unwrap();
    let answer = out_and_in(&studio, outer.path()).unwrap();
    assert!(answer.open.is_empty(), "{:?}", answer.open);
    let back = outer.path().join("back");
    assert_eq!(keys(&studio), keys(&back));
    let count = same_unity(desk(&studio).workplace(), desk(&back).workplace()).unwrap();
    assert_eq!(count, 8);
}
