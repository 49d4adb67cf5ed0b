//! Made-up glazes, the same for the same number: usual ones and odd ones.

use std::fmt::Write;
use std::sync::Arc;

use glost_chemistry::glaze::Glaze;
use glost_script::Scene;

/// Numbers by chance, the same each time.
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64) -> Chance {
        Chance(seed.wrapping_mul(2).wrapping_add(1))
    }

    pub fn below(&mut self, most: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % most
    }

    pub fn one<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.below(of.len())]
    }

    pub fn is(&mut self, in_a_hundred: usize) -> bool {
        self.below(100) < in_a_hundred
    }
}

const BASE: [&str; 16] = [
    "potash feldspar",
    "soda feldspar",
    "nepheline",
    "silica",
    "whiting",
    "dolomite",
    "wollastonite",
    "talc",
    "zinc oxide",
    "kaolin",
    "bentonite",
    "soda ash",
    "barium carbonate",
    "fluorspar",
    "spar one",
    "bought clear",
];
const ON_TOP: [&str; 8] = [
    "tin oxide",
    "red iron oxide",
    "copper carbonate",
    "cobalt carbonate",
    "chrome oxide",
    "manganese dioxide",
    "bentonite",
    "rutile",
];
const FIRST_LINES: [&str; 16] = [
    "",
    "cone: 6\n",
    "cone: \"04\"\n",
    "cone: 11\n",
    "cone: 9\nuse: tableware\n",
    "use: tableware\n",
    "use: floor\ncone: 10\n",
    "use: outdoor\n",
    "use: decorative\ncone: 6\natmosphere: oxidation\n",
    "cone: 10\natmosphere: reduction\n",
    "ware: raw\ncone: 6\n",
    "ware: biscuit\ncone: 6\nuse: tableware\n",
    "peak: 1040 C\n",
    "peak: 1240 C\nuse: tableware\n",
    "cone: 6\nclay: buff\nuse: floor\n",
    "cone: 6\nnotes: \"runs, \\\"a lot\\\"\"\nfiring: slow\n",
];

/// A glaze; one in some holds what nobody tells the analysis of, no flux, or next to nothing.
pub fn made_up(scene: &Scene, number: usize) -> Arc<Glaze> {
    let mut chance = Chance::new(number as u64);
    let known: Vec<&str> = BASE
        .into_iter()
        .filter(|name| scene.library.find(name).is_some())
        .collect();
    let on_top: Vec<&str> = ON_TOP
        .into_iter()
        .filter(|name| scene.library.find(name).is_some())
        .collect();
    let mut text = format!("glaze: made up {number}\n{}parts: {{ ", chance.one(&FIRST_LINES));
    let mut taken: Vec<&str> = Vec::new();
    for _ in 0..1 + chance.below(6) {
        let name = match chance.below(20) {
            0 => "silica",
            1 => "bought clear",
            _ => chance.one(&known[..known.len() - 1]),
        };
        if !taken.contains(&name) {
            let amount = chance.one(&["1", "7.5", "12", "20.25", "33.3", "40", "0.001"]);
            let comma = if taken.is_empty() { "" } else { ", " };
            write!(text, "{comma}{name}: {amount}").unwrap();
            taken.push(name);
        }
    }
    text.push_str(" }\n");
    if chance.is(50) {
        let (first, second) = (chance.one(&on_top), chance.one(&on_top));
        let amount = chance.one(&["0.05", "1", "2.5", "8"]);
        let more = if first == second {
            String::new()
        } else {
            format!(", {second}: {amount}")
        };
        writeln!(text, "additions: {{ {first}: {amount}{more} }}").unwrap();
    }
    super::glaze(scene, &text)
}
