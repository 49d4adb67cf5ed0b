//! What a user can do wrong, in one table: the code, the place, whether a cure is told.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::bench::Bench;

/// One call that goes wrong in a copy of the example studio.
struct Row {
    code: &'static str,
    /// `file:line:column`; empty where the call itself is wrong.
    place: &'static str,
    /// Whether the error says how to mend it.
    cure: bool,
    files: &'static [(&'static str, &'static str)],
    call: &'static [&'static str],
}

const fn row(
    code: &'static str,
    place: &'static str,
    cure: bool,
    files: &'static [(&'static str, &'static str)],
    call: &'static [&'static str],
) -> Row {
    Row {
        code,
        place,
        cure,
        files,
        call,
    }
}

#[rustfmt::skip]
const TABLE: &[Row] = &[
    row("unknown-key", "glazes/x.yaml:3:1", true, &[("glazes/x.yaml", "glaze: A\nparts: { silica: 1 }\ncolor: blue\n")], &["unity", "A"]),
    row("duplicate-key", "glazes/x.yaml:2:1", true, &[("glazes/x.yaml", "glaze: A\nglaze: B\nparts: { silica: 1 }\n")], &["unity", "A"]),
    row("wrong-type", "glazes/x.yaml:2:8", true, &[("glazes/x.yaml", "glaze: A\nparts: [silica]\n")], &["unity", "glazes/x.yaml"]),
    row("missing-key", "glazes/x.yaml:1:1", true, &[("glazes/x.yaml", "parts: { silica: 1 }\n")], &["unity", "glazes/x.yaml"]),
    row("not-a-quantity", "glazes/x.yaml:3:7", true, &[("glazes/x.yaml", "glaze: A\nparts: { silica: 1 }\npeak: hot\n")], &["unity", "A"]),
    row("unknown-word", "glazes/x.yaml:3:6", true, &[("glazes/x.yaml", "glaze: A\nparts: { silica: 1 }\nuse: bath\n")], &["unity", "A"]),
    row("unknown-material", "glazes/x.yaml:2:10", true, &[("glazes/x.yaml", "glaze: A\nparts: { silicca: 1 }\n")], &["unity", "A"]),
    row("not-a-number", "glazes/x.yaml:2:18", true, &[("glazes/x.yaml", "glaze: A\nparts: { silica: much }\n")], &["unity", "A"]),
    row("empty-file", "glazes/x.yaml:1:1", true, &[("glazes/x.yaml", "")], &["unity", "glazes/x.yaml"]),
    row("two-documents", "glazes/x.yaml:3:1", true, &[("glazes/x.yaml", "glaze: A\nparts: { silica: 1 }\n---\nglaze: B\n")], &["unity", "glazes/x.yaml"]),
    row("odd-key", "glazes/x.yaml:3:3", true, &[("glazes/x.yaml", "glaze: A\nparts: { silica: 1 }\n? [a]\n: b\n")], &["unity", "glazes/x.yaml"]),
    row("not-yaml", "glazes/x.yaml:2:8", true, &[("glazes/x.yaml", "glaze: A\nparts: *p\n")], &["unity", "glazes/x.yaml"]),
    row("not-yaml", "glazes/x.yaml:3:1", true, &[("glazes/x.yaml", "glaze: A\nparts: { silica: 1\n")], &["unity", "glazes/x.yaml"]),
    row("beside-its-column", "glazes/x.yaml:2:2", true, &[("glazes/x.yaml", "glaze: A\n parts: { silica: 1 }\n")], &["unity", "glazes/x.yaml"]),
    row("unknown-kind", "materials/x.yaml:2:25", true, &[("materials/x.yaml", "materials:\n  - { name: spar, kind: stone, basis: as supplied, source: x, analysis: { SiO2: 100 } }\n")], &["materials", "spar"]),
    row("unknown-oxide", "materials/x.yaml:2:77", true, &[("materials/x.yaml", "materials:\n  - { name: spar, kind: mineral, basis: as supplied, source: x, analysis: { SiO3: 100 } }\n")], &["materials", "spar"]),
    row("odd-sum", "materials/x.yaml:2:65", true, &[("materials/x.yaml", "materials:\n  - { name: spar, kind: mineral, basis: as supplied, source: x, analysis: { SiO2: 27 } }\n")], &["materials", "spar"]),
    row("out-of-range", "materials/x.yaml:2:99", true, &[("materials/x.yaml", "materials:\n  - { name: spar, kind: mineral, basis: as supplied, source: x, analysis: { SiO2: 100 }, density: 90 }\n")], &["materials", "spar"]),
    row("missing-key", "materials/x.yaml:2:5", true, &[("materials/x.yaml", "materials:\n  - { name: spar, kind: mineral, basis: as supplied, analysis: { SiO2: 100 } }\n")], &["materials", "spar"]),
    row("bad-formula", "formula:1:9", true, &[], &["formula", "Al2Si2O5(OH"]),
    row("bad-formula", "formula:1:1", true, &[], &["formula", "Xx2O3"]),
    row("odd-weighings", "clays/x.yaml:2:34", true, &[("clays/x.yaml", "clay: X\nweighings: { dry: 412 g, soaked: 400 g }\n")], &["clay", "X"]),
    row("odd-lengths", "clays/x.yaml:2:34", true, &[("clays/x.yaml", "clay: X\nshrinkage: { wet: 100 mm, fired: 120 mm }\n")], &["clay", "X"]),
    row("missing-column", "clays/bar.csv:1:1", true, &[("clays/x.yaml", "clay: X\ndilatometer: bar.csv\n"), ("clays/bar.csv", "a,b\n1,2\n")], &["clay", "X"]),
    row("odd-curve", "clays/x.yaml:2:14", true, &[("clays/x.yaml", "clay: X\ndilatometer: [{ c: 25, percent: 0 }]\n")], &["clay", "X"]),
    row("no-such-file", "", true, &[], &["unity", "glazes/none.yaml"]),
    row("unknown-glaze", "", true, &[], &["unity", "Lamplite clear"]),
    row("unknown-clay", "", true, &[], &["fit", "Lamplight clear", "--clay", "bluff stoneware"]),
    row("unknown-firing", "", true, &[], &["fit", "Lamplight clear", "--clay", "buff stoneware", "--firing", "sprng glost"]),
    row("unknown-script", "", true, &[], &["check", "Lamplight clear", "--script", "alkali"]),
    row("unknown-model", "", true, &[], &["unity", "Lamplight clear", "--model", "best"]),
    row("unknown-analysis", "glazes/bought_clear.yaml:5:11", true, &[], &["unity", "bought clear"]),
    row("bad-aim", "aim:1:1", true, &[], &["adjust", "Lamplight clear", "SiO2 about 3"]),
    row("no-aims", "", true, &[], &["adjust", "Lamplight clear"]),
    row("not-a-folder", "", true, &[("pages", "mine\n")], &["man", "pages"]),
    row("bad-option", "", true, &[], &["completions", "fsh"]),
    row("bad-option", "", true, &[], &["check", "--over", "t.csv", "--part", "5/4"]),
    row("bad-option", "", true, &[], &["adjust", "Lamplight clear", "SiO2 >= 3.1", "--sure", "120 %"]),
    row("nothing-to-hold", "", true, &[], &["adjust", "Lamplight clear", "hold PbO"]),
    row("not-in-recipe", "", true, &[], &["adjust", "Lamplight clear", "keep talc"]),
    row("unknown-analysis", "glazes/bought_clear.yaml:5:11", true, &[], &["adjust", "bought clear", "cone 6"]),
    row("bad-unity", "--unity:1:5", true, &[], &["reach", "--unity", "K2O much", "--with", "silica"]),
    row("unknown-material", "", true, &[], &["reach", "--unity", "K2O 0.3, CaO 0.7, SiO2 3", "--with", "bought clear"]),
    row("not-in-recipe", "glazes/lamplight_clear.yaml:5:1", true, &[], &["swap", "Lamplight clear", "--out", "talc"]),
    row("not-a-newcomer", "", true, &[], &["swap", "Lamplight clear", "--out", "feldspar A", "--with", "feldspar A"]),
    row("unknown-material", "", true, &[], &["swap", "Lamplight clear", "--out", "felspar A"]),
    row("bad-option", "", false, &[], &["weigh", "Lamplight clear", "--dry", "0 g"]),
    row("bad-option", "", true, &[], &["weigh", "Lamplight clear", "--dry", "much"]),
    row("batch-too-small", "", true, &[], &["weigh", "Lamplight clear", "--dry", "0.05 g"]),
    row("batch-too-big", "", true, &[], &["weigh", "Lamplight clear", "--dry", "90 t"]),
    row("bad-option", "", true, &[], &["weigh", "Lamplight clear", "--bucket", "12 l", "--density", "3"]),
    row("bad-option", "", true, &[], &["slurry", "--jar", "500 ml = 450 g"]),
    row("bad-option", "", true, &[], &["slurry", "--jar", "500 ml"]),
    row("bad-option", "", true, &[], &["slurry", "Lamplight clear", "--jar", "500 ml = 720 g", "--add", "cobalt"]),
    row("same-ends", "", true, &[], &["blend", "line", "Lamplight clear", "Lamplight clear"]),
    row("bad-series", "", true, &[], &["blend", "series", "Lamplight clear", "--add", "cobalt carbonate"]),
    row("bad-end", "", true, &[], &["blend", "line", "Lamplight clear", "Lamplight clear + much rutile"]),
    row("unknown-design", "", true, &[], &["blend", "lines", "Lamplight clear", "Highfell clear"]),
    row("script-gave-up", "blend/triaxial.rhai:21:23", false, &[], &["blend", "triaxial", "Lamplight clear", "Highfell clear", "Honeyjar amber", "--steps", "140"]),
    row("volume-below-mark", "", true, &[], &["blend", "line", "Lamplight clear", "Highfell clear", "--volume", "1 ml", "--syringe", "60 ml by 5 ml"]),
    row("bad-plan-name", "", true, &[], &["blend", "line", "Lamplight clear", "Highfell clear", "--save", "a/b"]),
    row("bad-plan", "plans/p.json:1:1", true, &[("plans/p.json", "{\"ends\": []}")], &["plan", "p"]),
    row("unknown-plan", "", true, &[], &["plan", "nothing"]),
    row("unknown-property", "", true, &[("plans/p.json", "{\"ends\": [\"a\", \"b\"], \"tiles\": [{\"code\": \"A1\", \"shares\": [1, 0]}, {\"code\": \"A2\", \"shares\": [0, 1]}]}")], &["plan", "p", "--show", "gloss"]),
    row("not-noted", "", true, &[("plans/p.json", "{\"ends\": [\"a\", \"b\"], \"tiles\": [{\"code\": \"A1\", \"shares\": [1, 0]}, {\"code\": \"A2\", \"shares\": [0, 1]}]}")], &["results", "p", "--grade", "gloss"]),
    row("no-such-column", "t.csv:1:1", true, &[("t.csv", "a,b,gloss\n1,0,3\n")], &["results", "--data", "t.csv", "--shares", "a,c", "--value", "gloss"]),
    row("shares-do-not-sum", "t.csv:3:1", true, &[("t.csv", "a,b,gloss\n1,0,3\n0.5,0.6,3\n")], &["results", "--data", "t.csv", "--shares", "a,b", "--value", "gloss"]),
    row("bad-count", "t.csv:2:5", true, &[("t.csv", "a,b,y\n1,0,7/5\n")], &["results", "--data", "t.csv", "--shares", "a,b", "--value", "y"]),
    row("mixed-results", "t.csv:3:5", true, &[("t.csv", "a,b,y\n1,0,2/5\n0,1,3.5\n")], &["results", "--data", "t.csv", "--shares", "a,b", "--value", "y"]),
    row("bad-share", "t.csv:2:1", false, &[("t.csv", "a,b,y\n-1,2,3\n")], &["results", "--data", "t.csv", "--shares", "a,b", "--value", "y"]),
    row("too-few-tiles", "", true, &[("t.csv", "a,b,y\n1,0,3\n0,1,2\n")], &["results", "--data", "t.csv", "--shares", "a,b", "--value", "y", "--model", "quadratic"]),
    row("no-tiles", "t.csv:1:5", true, &[("t.csv", "a,b,y\n")], &["results", "--data", "t.csv", "--shares", "a,b", "--value", "y"]),
    row("no-tiles", "t.csv:1:5", true, &[("t.csv", "a,b,y\n1,0\n")], &["results", "--data", "t.csv", "--shares", "a,b", "--value", "y"]),
    row("open-quote", "t.csv:2:1", true, &[("t.csv", "a,b,y\n\"1,0,3\n")], &["results", "--data", "t.csv", "--shares", "a,b", "--value", "y"]),
    row("empty-table", "t.csv:1:1", true, &[("t.csv", "")], &["results", "--data", "t.csv", "--shares", "a,b", "--value", "y"]),
    row("bad-option", "", true, &[], &["note", "Lamplight clear", "--crazed", "5/2"]),
    row("bad-option", "", true, &[], &["note", "Lamplight clear", "--age", "old"]),
    row("bad-option", "", true, &[], &["note", "Lamplight clear", "--grade", "gloss=7"]),
    row("nothing-named", "", true, &[], &["note", "--crazed", "0/5"]),
    row("nothing-seen", "", true, &[], &["note", "Lamplight clear"]),
    row("unknown-report", "", true, &[], &["note", "Lamplight clear", "--lab", "nosuch"]),
    row("two-glazes", "", true, &[], &["fit", "Lamplight clear over Millpond copper green"]),
    row("no-such-line", "", true, &[], &["note", "--void", "zzz"]),
    row("unknown-column", "n.csv:1:7", true, &[("n.csv", "glaze,glosss\nLamplight clear,4\n")], &["note", "--sheet", "n.csv"]),
    row("bad-cell", "n.csv:2:1", true, &[("n.csv", "glaze,crazed\nLamplight clear,7/5\n")], &["note", "--sheet", "n.csv"]),
    row("empty-page", "", true, &[("p.txt", "")], &["read", "p.txt"]),
    row("same-material", "", true, &[], &["convert", "1 % iron oxide", "--to", "iron oxide"]),
    row("other-metal", "", true, &[], &["convert", "1 % cobalt carbonate", "--to", "tin oxide"]),
    row("bad-page", "", true, &[], &["label", "Lamplight clear", "--page", "x.pdf"]),
    row("unknown-lot", "", false, &[], &["notes", "--lot", "K999"]),
    row("open-quote", "in.csv:2:3", true, &[("in.csv", "glaze,silica,whiting\nA,\"50,50\nB,40,60\n")], &["import", "in.csv", "--dry-run"]),
    row("unknown-word", "", true, &[], &["exercises", "weighing"]),
    row("bad-option", "", false, &[], &["exercises", "weigh", "--count", "0"]),
    row("bad-result", "lab.csv:2:1", true, &[("lab.csv", "metal,value,unit,shape\nPb,0.2,mg/l,bowl\n")], &["lab", "Lamplight clear", "--sheet", "lab.csv"]),
    row("no-column", "lab.csv:1:1", true, &[("lab.csv", "metal,value,shape\nPb,0.2,cup\n")], &["lab", "Lamplight clear", "--sheet", "lab.csv"]),
    row("empty-cell", "lab.csv:2:4", true, &[("lab.csv", "metal,value,unit,shape\nPb,,mg/l,cup\n")], &["lab", "Lamplight clear", "--sheet", "lab.csv"]),
    row("bad-table", "", true, &[("lab.csv", "metal,value,unit,shape\n")], &["lab", "Lamplight clear", "--sheet", "lab.csv"]),
    row("bad-call", "", true, &[], &["lab", "--sheet", "lab.csv"]),
    row("bad-call", "", true, &[], &["lab", "Lamplight clear", "--batch", "14"]),
    row("unknown-plan", "", true, &[], &["keep", "p/A3", "clear for cups"]),
    row("unknown-plan", "", true, &[], &["note", "--tile", "gone/A1", "--crazed", "0/3"]),
    row("plan-gone", "", true, &[("notes.jsonl", "{\"on\": \"2026-11-01\", \"tile\": \"gone/A1\", \"pieces\": 5, \"crazed\": 0}\n")], &["results", "gone", "--grade", "crazed"]),
    row("lots-twice", "", true, &[("materials/x.yaml", "materials:\n  - { name: pit, kind: powder, analysis: unknown, source: x, lot: A, stock: 1 kg }\n")], &["add", "lot", "pit", "--lot", "a", "--stock", "2 kg"]),
    row("lot-unsaid", "", true, &[("materials/x.yaml", "materials:\n  - { name: pit, kind: powder, analysis: unknown, source: x, stock: 1 kg }\n")], &["add", "lot", "pit", "--lot", "B", "--stock", "2 kg"]),
    row("several-values", "", true, &[("materials/x.yaml", "materials:\n  - { name: pit, kind: powder, analysis: unknown, source: x, lots: [{ lot: A, stock: 1 kg }] }\n")], &["set", "pit", "stock=2 kg"]),
    row("unknown-lot", "", true, &[("materials/x.yaml", "materials:\n  - { name: pit, kind: powder, analysis: unknown, source: x, lots: [{ lot: A, stock: 1 kg }] }\n")], &["set", "pit", "lots.B.stock=2 kg"]),
    row("not-a-quantity", "glazes/x.yaml:3:8", true, &[("glazes/x.yaml", "glaze: A\nparts: { silica: 1 }\nsieve: fine\n")], &["unity", "A"]),
    row("bad-option", "", true, &[], &["label", "Lamplight clear over Millpond copper green", "--kind", "jar"]),
    row("unknown-recall", "", true, &[], &["recall", "nobody"]),
    row("unknown-fault", "", true, &[], &["fault", "ugly", "Lamplight clear"]),
    row("bad-option", "", true, &[], &["schema", "glasse"]),
    row("unknown-name", "", true, &[], &["set", "Lamplite clear", "use=tableware"]),
    row("unknown-batch", "", true, &[], &["batches", "99"]),
    row("unknown-firing", "", true, &[], &["kiln", "opened", "zzz"]),
    row("already-there", "", true, &[], &["init", "."]),
    row("script-syntax", "scripts/check/x.rhai:2:22", true, &[("scripts/check/x.rhai", "const ABOUT = #{ api: 1, kind: \"check\", title: \"x\", source: \"x\" };\nfn check(g, o) { let }\n")], &["check", "Lamplight clear", "--script", "check/x"]),
    row("bad-about", "scripts/check/x.rhai:1:23", true, &[("scripts/check/x.rhai", "const ABOUT = #{ api: 9, kind: \"check\", title: \"x\", source: \"x\" };\nfn check(g, o) { }\n")], &["check", "Lamplight clear", "--script", "check/x"]),
    row("not-a-literal", "scripts/check/x.rhai:1:25", true, &[("scripts/check/x.rhai", "const ABOUT = #{ api: 1 + 1, kind: \"check\", title: \"x\", source: \"x\" };\nfn check(g, o) { }\n")], &["check", "Lamplight clear", "--script", "check/x"]),
    row("no-entry", "scripts/check/x.rhai:1:7", true, &[("scripts/check/x.rhai", "const ABOUT = #{ api: 1, kind: \"check\", title: \"x\", source: \"x\" };\n")], &["check", "Lamplight clear", "--script", "check/x"]),
    row("wrong-entry", "scripts/check/x.rhai:2:4", true, &[("scripts/check/x.rhai", "const ABOUT = #{ api: 1, kind: \"check\", title: \"x\", source: \"x\" };\nfn check(g) { }\n")], &["check", "Lamplight clear", "--script", "check/x"]),
    row("alike-names", "scripts/check/own.rhai:1:1", true, &[("scripts/check/Own.rhai", "const ABOUT = #{ api: 1, kind: \"check\", title: \"x\", source: \"x\" };\nfn check(g, o) { }\n"), ("scripts/check/own.rhai", "const ABOUT = #{ api: 1, kind: \"check\", title: \"x\", source: \"x\" };\nfn check(g, o) { }\n")], &["check", "Lamplight clear", "--script", "check/own"]),
    row("unknown-option", "", true, &[], &["run", "run/out-of-stock", "--set", "colour=blue"]),
    row("unknown-table", "", true, &[], &["run", "run/out-of-stock", "--table", "x=t.csv"]),
    row("unknown-kind", "", true, &[], &["script", "new", "rule", "mine"]),
    row("bad-name", "", true, &[], &["script", "new", "check", "../x"]),
    row("all-alike", "", true, &[("t.csv", "a,b,y\n1,0,3\n0,1,3\n0.5,0.5,3\n")], &["results", "--data", "t.csv", "--shares", "a,b", "--value", "y", "--model", "linear"]),
    row("cannot-tell", "", true, &[("t.csv", "a,b,c,y\n1,0,0,3\n0,1,0,4\n0.5,0.5,0,3\n0.25,0.75,0,3\n")], &["results", "--data", "t.csv", "--shares", "a,b,c", "--value", "y", "--model", "linear"]),
    row("duplicate-key", "t.csv:1:3", false, &[("t.csv", "a,a,y\n1,0,3\n")], &["results", "--data", "t.csv", "--shares", "a,b", "--value", "y"]),
    row("no-map", "", true, &[("t.csv", "a,b,c,d,y\n1,0,0,0,3\n0,1,0,0,4\n0,0,1,0,5\n0,0,0,1,5\n0.25,0.25,0.25,0.25,4\n0.5,0.5,0,0,3\n")], &["results", "--data", "t.csv", "--shares", "a,b,c,d", "--value", "y", "--page", "m.svg"]),
    row("bad-dose", "", true, &[], &["convert", "much cobalt carbonate", "--to", "cobalt oxide"]),
    row("bad-dose", "", true, &[], &["convert", "cobalt", "--to", "cobalt oxide"]),
    row("density-out-of-reach", "", true, &[], &["weigh", "Lamplight clear", "--bucket", "12 l", "--density", "2.19"]),
    row("bad-amount", "glazes/x.yaml:2:8", true, &[("glazes/x.yaml", "glaze: A\nparts: { silica: 0 }\n")], &["weigh", "A", "--dry", "1 kg"]),
    row("conflict-mark", "", true, &[("notes.jsonl", "<<<<<<< HEAD\n")], &["note", "Lamplight clear", "--crazed", "0/5"]),
    row("is-a-folder", "glazes:1:1", true, &[("materials/x.yaml", "materials: []\n")], &["unity", "glazes"]),
    row("recipe-of-itself", "materials/x.yaml:2:28", true, &[("materials/x.yaml", "materials:\n  - { name: mix, recipe: { mix: 1 }, source: own }\n")], &["materials", "mix"]),
    row("no-makeup", "materials/x.yaml:2:13", true, &[("materials/x.yaml", "materials:\n  - { name: spar, kind: mineral, source: own }\n")], &["materials", "spar"]),
    row("name-taken", "materials/x.yaml:3:13", true, &[("materials/x.yaml", "materials:\n  - { name: spar, formula: SiO2, kind: textbook, source: x }\n  - { name: spar, formula: SiO2, kind: textbook, source: x }\n")], &["materials", "spar"]),
    row("empty-fluxes", "studio.yaml:2:1", true, &[("studio.yaml", "studio: X\nfluxes: []\n")], &["unity", "Lamplight clear"]),
    row("out-of-range", "studio.yaml:2:24", true, &[("studio.yaml", "studio: X\nfit: { fallen_by: { 0: 2 } }\n")], &["unity", "Lamplight clear"]),
    row("wrong-value", "studio.yaml:2:33", true, &[("studio.yaml", "studio: X\nscripts: { check/settling-risk: maybe }\n")], &["check", "Lamplight clear"]),
    row("unknown-material", "", true, &[], &["adjust", "Lamplight clear", "cost <= 0.1", "--with", "textbook"]),
    row("no-source", "", true, &[], &["adjust", "Lamplight clear", "PbO >= 0.1"]),
    row("held-by-weight", "", true, &[("materials/x.yaml", "materials:\n  - { name: pale stain, kind: stain, analysis: unknown, source: bag }\n"), ("glazes/x.yaml", "glaze: A\nparts: { feldspar B: 50, silica: 25, whiting: 25 }\nadditions: { pale stain: 5 }\n")], &["adjust", "A", "pale stain <= 3 %"]),
    row("unknown-analysis", "glazes/bought_clear.yaml:5:11", true, &[], &["adjust", "bought clear", "melt: same"]),
    row("unknown-clay", "", true, &[], &["adjust", "Lamplight clear", "fit: no clay"]),
    row("unknown-material", "", true, &[], &["swap", "Lamplight clear", "--out", "feldspar A", "--with", "bought clear"]),
    row("bad-option", "", true, &[], &["melt", "Lamplight clear", "--at", "hot"]),
    row("row-twice", "", true, &[("n.csv", "glaze,on,crazed\nLamplight clear,2026-11-20,0/5\nLamplight clear,2026-11-20,0/5\n")], &["note", "--sheet", "n.csv"]),
    row("no-such-file", "", true, &[], &["--studio", "nowhere", "unity", "Lamplight clear"]),
    row("computed-value", "", true, &[], &["set", "Lamplight clear", "unity=3"]),
    row("bad-setting", "", true, &[], &["set", "Lamplight clear", "use"]),
    row("name-by-set", "", true, &[], &["set", "Lamplight clear", "glaze=B"]),
    row("same-name", "", true, &[], &["rename", "Lamplight clear", "Lamplight clear"]),
    row("already-there", "", true, &[], &["rename", "Lamplight clear", "Highfell clear"]),
    row("bad-table", "t.csv:1:1", true, &[("t.csv", "")], &["import", "t.csv"]),
    row("no-headings", "t.csv:1:1", true, &[("t.csv", "1,2,3\n4,5,6\n")], &["import", "t.csv"]),
    row("missing-key", "p/package.yaml:1:1", true, &[("p/package.yaml", "name: 1\n")], &["script", "add", "p"]),
    row("not-pure", "scripts/lib/x.rhai:1:10", true, &[("scripts/lib/x.rhai", "fn f() { materials }\n")], &["script", "test", "lib/x"]),
    row("unknown-package", "", false, &[], &["script", "remove", "nothing"]),
    row("nothing-loaded", "", true, &[], &["kiln", "opened"]),
    row("wrong-script-kind", "", true, &[], &["check", "Lamplight clear", "--script", "blend/line"]),
    row("unknown-function", "scripts/check/x.rhai:2:27", true, &[("scripts/check/x.rhai", "const ABOUT = #{ api: 1, kind: \"check\", title: \"x\", source: \"x\" };\nfn check(glaze, option) { nothing_such(1) }\n")], &["check", "Lamplight clear", "--script", "check/x"]),
    row("no-about", "scripts/check/x.rhai:1:1", true, &[("scripts/check/x.rhai", "fn check(glaze, option) { }\n")], &["check", "Lamplight clear", "--script", "check/x"]),
    row("different-ends", "", true, &[("plans/p.json", "{\"ends\": [\"a\", \"b\"], \"tiles\": [{\"code\": \"A1\", \"shares\": [1, 0]}, {\"code\": \"A2\", \"shares\": [0, 1]}]}"), ("plans/q.json", "{\"ends\": [\"a\", \"c\"], \"tiles\": [{\"code\": \"A1\", \"shares\": [1, 0]}, {\"code\": \"A2\", \"shares\": [0, 1]}]}")], &["results", "p", "q", "--grade", "gloss"]),
    row("batch-too-big", "", true, &[], &["weigh", "Lamplight clear", "--dry", "900 t"]),
    row("no-flux", "glazes/x.yaml:2:1", true, &[("glazes/x.yaml", "glaze: A\nparts: { silica: 1 }\n")], &["swap", "A", "--out", "silica"]),
    row("no-base", "", true, &[("p.txt", "zzz\nqqq 3\n")], &["read", "p.txt", "--out", "a.yaml"]),
    row("is-a-folder", "glazes:1:1", true, &[], &["read", "glazes"]),
    row("bad-label", "", true, &[("l.txt", "SiO2 abc\n")], &["materials", "--label", "l.txt"]),
    row("kept-and-dropped", "", true, &[], &["shelf", "--keep", "silica", "--drop", "silica"]),
    row("dropped-but-held", "", true, &[], &["shelf", "--drop", "tin oxide"]),
    row("not-on-the-shelf", "", true, &[], &["shelf", "--keep", "lithium carbonate"]),
    row("unknown-material", "", true, &[], &["shelf", "--keep", "silicca"]),
    row("unknown-glaze", "", true, &[], &["shelf", "--glazes", "Lamplite clear"]),
    row("bad-option", "", true, &[], &["shelf", "--within", "near"]),
    row("bad-option", "", true, &[], &["shelf", "--within", "90"]),
    row("bad-option", "", true, &[], &["shelf", "--clay-band", "maybe"]),
    row("bad-option", "", true, &[], &["shelf", "--least", "glazes"]),
    row("bad-option", "", true, &[], &["year", "MMXXVI"]),
    row("bad-page", "", true, &[], &["year", "2026", "--page", "year.pdf"]),
    row("no-place-on-chart", "glazes/x.yaml:2:1", true, &[("glazes/x.yaml", "glaze: A\nparts: { silica: 1 }\n")], &["chart", "A"]),
    row("unknown-analysis", "glazes/bought_clear.yaml:5:11", true, &[], &["chart", "bought clear"]),
    row("not-noted", "", true, &[], &["chart", "--grade", "gloss"]),
    row("not-noted", "", true, &[], &["expect", "Lamplight clear", "--grade", "gloss"]),
    row("not-noted", "", true, &[], &["results", "--all", "--grade", "gloss"]),
    row("no-chemistry", "", true, &[("notes.jsonl", "{\"on\": \"2026-11-01\", \"glaze\": \"bought clear\", \"grades\": {\"gloss\": 4}}\n")], &["expect", "Lamplight clear", "--grade", "gloss"]),
    row("unknown-analysis", "glazes/bought_clear.yaml:5:11", true, &[("notes.jsonl", "{\"on\": \"2026-11-01\", \"glaze\": \"Lamplight clear\", \"grades\": {\"gloss\": 4}}\n")], &["expect", "bought clear", "--grade", "gloss"]),
    row("bad-option", "", true, &[], &["expect", "Lamplight clear", "--grade", "gloss", "--coat", "thick"]),
];

/// Codes that no row has yet: they are pinned by screens, by tests of their own rooms, or
/// not at all. Who adds a diagnostic adds its row; who adds a row takes its code away here.
#[rustfmt::skip]
const ELSEWHERE: &[&str] = &[
    "bad-ageing",
    "bad-bound",
    "bad-code",
    "bad-finding",
    "bad-import",
    // Of the module for Python: tests/wheel/test_module.py.
    "bad-value",
    "no-command",
    "not-here",
    "no-folder",
    "no-own-file",
    "no-own-folder",
    "no-phone-address",
    "no-secret",
    "not-kept",
    "not-opened",
    "port-taken",
    "no-such-finding",
    "not-acceptable",
    "bad-lock",
    "bad-number",
    "bad-package",
    "bad-version",
    // Told beside lines, which no row can hold: tests/screens/script_bounds.rs.
    "turned-off",
    // Cautions of `script test`, each pinned with its place beside its rule.
    "changes-a-copy",
    "claims-nothing",
    "dropped-result",
    "made-again",
    "never-reached",
    "not-filled-in",
    "unused-name",
    "batch-booked",
    "batch-finished",
    "batch-line",
    "batch-void",
    "batch-was-fired",
    "bucket-too-small",
    "cannot-read",
    "cannot-write",
    "decimal-comma",
    "duplicate-column",
    "end-is-gone",
    "file-too-big",
    "file-too-large",
    "firing-void",
    "hides-a-name",
    "in-use",
    "kept-source",
    "label-too-small",
    "line-end-inside",
    "load-void",
    "lost-words",
    "lot-short",
    "missing-answers",
    "name-given-twice",
    "name-of-several",
    "no-chance",
    "no-clay",
    "no-cone",
    "no-date",
    "no-glaze",
    "no-glazes",
    "no-heading",
    "no-melt",
    "no-name",
    "no-name-column",
    "no-price",
    "no-prices",
    "no-recipe",
    "no-room",
    "no-studio",
    "no-studio-file",
    "no-such-item",
    "no-tables",
    "too-many-materials",
    "no-ticket",
    "not-a-page",
    "not-a-plain-file",
    "not-at-the-top",
    "not-in-place",
    "not-json",
    "not-utf8",
    "not-your-own",
    "noted-already",
    "notes-table",
    "nothing-left",
    "nothing-to-compare",
    "nothing-to-match-with",
    "nothing-to-swap-to",
    "nothing-to-weigh",
    "off-and-set",
    "opened-already",
    "opened-too-early",
    "opening-void",
    "other-package",
    "our-fault",
    "other-folder",
    "package-api",
    "package-changed",
    "ragged-row",
    "read-only",
    "recipe-too-deep",
    "script-bounds",
    "script-engine",
    "script-failed",
    "script-too-large",
    "shared-name",
    "shared-number",
    "short-row",
    "stock-changed",
    "stock-in-place",
    "stray-package",
    "test-failed",
    "ticket-booked",
    "tile-in-many-plans",
    "too-few-glazes",
    "too-many-pages",
    "too-many-tiles",
    "too-many-weighings",
    "two-scripts",
    "unknown-library",
    "unknown-melt",
    "unknown-test",
    "unknown-tile",
    "unknown-version",
    "unlike-kinds",
    "void-already",
    "which-property",
    "wrong-count",
    "wrong-kind",
];

#[test]
fn every_row_says_its_code_place_and_cure() {
    let mut wrong = Vec::new();
    for row in TABLE {
        let bench = Bench::example_studio();
        for (name, text) in row.files {
            bench.file(&format!("studio/{name}"), text);
        }
        let ran = bench.run_in("studio", &[row.call, &["--format", "json"]].concat());
        let answer: Value = serde_json::from_str(&ran.stdout).unwrap_or_default();
        let error = &answer["error"];
        let place = match error["line"].as_u64() {
            Some(line) => format!("{}:{line}:{}", error["file"].as_str().unwrap_or(""), error["column"]),
            None => String::new(),
        };
        let told = (
            ran.code,
            error["code"].as_str().unwrap_or(""),
            place.as_str(),
            error["help"].is_string(),
        );
        if told != (2, row.code, row.place, row.cure) {
            wrong.push(format!(
                "{:?}: {told:?}, not {:?}",
                row.call,
                (2, row.code, row.place, row.cure)
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    entries
        .flat_map(|path| if path.is_dir() { rust_files(&path) } else { vec![path] })
        .filter(|path| path.extension().is_some_and(|extension| extension == "rs"))
        .collect()
}

/// The codes that the crates give their diagnostics.
fn codes() -> BTreeSet<String> {
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut found = BTreeSet::new();
    for path in rust_files(&crates)
        .iter()
        .filter(|path| path.components().any(|part| part.as_os_str() == "src"))
    {
        let text = std::fs::read_to_string(path).unwrap();
        let code = text.split("#[cfg(test)]\nmod tests").next().unwrap_or("");
        for call in ["Diagnostic::error(", "Diagnostic::caution("] {
            let first = code
                .split(call)
                .skip(1)
                .filter_map(|rest| rest.trim_start().strip_prefix('"'));
            found.extend(first.filter_map(|rest| Some(rest.split_once('"')?.0.to_owned())));
        }
    }
    found.retain(|code| code.contains('-'));
    found
}

#[test]
fn every_code_has_its_row_or_its_reason() {
    let pinned: BTreeSet<&str> = TABLE.iter().map(|row| row.code).collect();
    let codes = codes();
    let new: Vec<&String> = codes
        .iter()
        .filter(|code| !pinned.contains(code.as_str()) && !ELSEWHERE.contains(&code.as_str()))
        .collect();
    assert!(new.is_empty(), "give them a row: {new:?}");
    let done: Vec<&&str> = ELSEWHERE
        .iter()
        .filter(|code| pinned.contains(**code) || !codes.contains(**code))
        .collect();
    assert!(done.is_empty(), "they have a row, or are gone: {done:?}");
}
