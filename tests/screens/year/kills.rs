//! Five hundred kills at moments drawn from a seed, while a kiln is loaded and opened and its
//! pieces are noted: what was acknowledged stands, and `due` agrees.

use serde_json::Value;

use super::studio::Chance;
use crate::bench::Bench;

const KILLS: usize = 500;
/// Moments that a call can die in; one that has fewer comes to its end.
const MOMENTS: usize = 9;

/// What was acknowledged.
#[derive(Default)]
struct Kept {
    loaded: Vec<String>,
    opened: Vec<String>,
    notes: Vec<String>,
    killed: usize,
}

impl Kept {
    /// Runs a call that may die; its answer, where it came to give one.
    fn run(&mut self, bench: &Bench, chance: &mut Chance, call: &[&str]) -> Option<Value> {
        let moment = 1 + chance.below(MOMENTS) as u64;
        let (died, ran) = bench.dies(moment, &[call, &["--format", "json"]].concat());
        self.killed += usize::from(died);
        // Whatever was printed whole was acknowledged, even where it died on its way out.
        serde_json::from_str(&ran.stdout).ok()
    }

    fn load(&mut self, bench: &Bench, chance: &mut Chance, round: usize) {
        let text = format!("round {round}");
        let load = [
            "kiln",
            "load",
            "--cone",
            "9",
            "--put",
            "14 = 5 on buff stoneware",
            "--on",
            "2026-09-28",
        ];
        let told = self.run(bench, chance, &[&load[..], &["--text", &text]].concat());
        let id = told.and_then(|load| Some(load["firing"]["id"].as_str()?.to_owned()));
        self.loaded.extend(id);
    }

    fn open(&mut self, bench: &Bench, chance: &mut Chance, round: usize) {
        let text = format!("round {round}");
        let open = ["kiln", "opened", "--bent", "9", "--on", "2026-10-01", "--text", &text];
        let told = self.run(bench, chance, &open);
        let id = told.and_then(|opened| Some(opened["firing"]["id"].as_str()?.to_owned()));
        self.opened.extend(id);
    }

    fn note(&mut self, bench: &Bench, chance: &mut Chance, round: usize) {
        let Some(firing) = self.opened.last().cloned() else {
            return;
        };
        let text = format!("look of round {round}");
        let note = [
            "note", "--batch", "14", "--firing", &firing, "--crazed", "0/5", "--text", &text,
        ];
        let told = self.run(bench, chance, &note);
        self.notes
            .extend(told.filter(|note| note["text"] == *text).map(|_| text));
    }

    /// All of it is there, and what is due is what was opened.
    fn stands(&self, bench: &Bench) {
        let json = |call: &[&str]| -> Value {
            let ran = bench.run_in("studio", &[call, &["--format", "json"]].concat());
            serde_json::from_str(&ran.stdout).unwrap_or_else(|error| panic!("{call:?}: {error}: {}", ran.stderr))
        };
        let list = |value: &Value| value.as_array().unwrap().clone();
        let firings = list(&json(&["kiln"])["firings"]);
        let opened = |id: &str| {
            let found = firings.iter().find(|firing| firing["id"] == *id);
            !found.unwrap_or_else(|| panic!("{id} was acknowledged"))["opened_on"].is_null()
        };
        for id in &self.loaded {
            opened(id);
        }
        assert!(
            self.opened.iter().all(|id| opened(id)),
            "all that was acknowledged as opened"
        );
        let notes = list(&json(&["notes"])["notes"]);
        for text in &self.notes {
            assert!(
                notes.iter().any(|note| note["text"] == **text),
                "`{text}` was acknowledged"
            );
        }
        let due = list(&json(&["due"])["due"]);
        for firing in &firings {
            let is_due = due.iter().any(|one| one["firing_id"] == firing["id"]);
            assert_eq!(is_due, !firing["opened_on"].is_null(), "{}", firing["id"]);
        }
    }
}

#[test]
fn five_hundred_kills_lose_nothing_that_was_acknowledged() {
    let bench = Bench::example_studio();
    let weigh = [
        "weigh",
        "Lamplight clear",
        "--dry",
        "1 kg",
        "--batch",
        "14",
        "--commit",
        "--on",
        "2026-09-20",
    ];
    assert_eq!(bench.run_in("studio", &weigh).code, 0);
    let (mut kept, mut chance) = (Kept::default(), Chance::of(14));
    for round in 0.. {
        if kept.killed >= KILLS {
            break;
        }
        match chance.below(4) {
            0 => kept.load(&bench, &mut chance, round),
            1 => kept.open(&bench, &mut chance, round),
            _ => kept.note(&bench, &mut chance, round),
        }
        if round % 250 == 0 {
            kept.stands(&bench);
        }
        assert!(round < 20 * KILLS, "{} kills only", kept.killed);
    }
    kept.stands(&bench);
    let acknowledged = [kept.loaded.len(), kept.opened.len(), kept.notes.len()];
    assert!(acknowledged.iter().all(|some| *some > 5), "{acknowledged:?}");
}
