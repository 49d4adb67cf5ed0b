//! Check glasses and random compositions for the tests of expansion.
#![allow(dead_code)]

use glost_chemistry::oxides::{Oxide, OxideMoles};

/// Moles by name.
pub fn moles<'a>(pairs: impl IntoIterator<Item = (&'a str, f64)>) -> OxideMoles {
    let pairs = pairs
        .into_iter()
        .map(|(name, amount)| (Oxide::from_formula(name).unwrap(), amount));
    OxideMoles::new(pairs).unwrap()
}

/// A glass with its measured expansion.
pub struct CheckGlass {
    pub moles: OxideMoles,
    /// Mean linear expansion, 1e-6/K.
    pub measured: f64,
    /// Measured over 20-300 C rather than 20-400 C.
    pub to_300: bool,
}

/// The cells of a line in which a cell may stand in quotes.
pub fn cells(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for letter in line.chars() {
        match letter {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            _ => cells.last_mut().unwrap().push(letter),
        }
    }
    cells
}

/// The glasses of `data/expansion/check_glasses.csv`.
pub fn check_glasses() -> Vec<CheckGlass> {
    let mut lines = include_str!("../data/expansion/check_glasses.csv").lines();
    let header = cells(lines.next().unwrap());
    let column = |name: &str| header.iter().position(|cell| cell == name).unwrap();
    let (measured, range) = (column("cte_ppm_per_K"), column("temp_range"));
    lines
        .map(|line| {
            let cells = cells(line);
            let shares = header.iter().zip(&cells).filter_map(|(name, cell)| {
                let oxide = name.strip_suffix("_mol")?;
                Some((Oxide::from_formula(oxide)?, cell.parse().unwrap()))
            });
            CheckGlass {
                moles: OxideMoles::new(shares).unwrap(),
                measured: cells[measured].parse().unwrap(),
                to_300: cells[range].starts_with("20-300"),
            }
        })
        .collect()
}

/// Pseudo-random numbers, the same on every run (splitmix64).
pub struct Draw(pub u64);

impl Draw {
    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((bits ^ (bits >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }
}

/// Mostly silica and alumina, some of the rest, at any scale; not always a sensible glaze.
pub fn random_glaze(draw: &mut Draw) -> OxideMoles {
    let scale = 10f64.powf(4.0 * draw.unit() - 2.0);
    let pairs = Oxide::ALL.map(|oxide| {
        let (chance, most) = match oxide {
            Oxide::SiO2 => (1.0, 5.0),
            Oxide::Al2O3 | Oxide::CaO | Oxide::Na2O | Oxide::K2O => (0.85, 0.7),
            Oxide::B2O3 | Oxide::MgO | Oxide::ZnO | Oxide::Li2O | Oxide::BaO | Oxide::SrO | Oxide::PbO => (0.4, 0.6),
            Oxide::TiO2 | Oxide::ZrO2 | Oxide::Fe2O3 | Oxide::P2O5 => (0.3, 0.3),
            _ => (0.05, 0.1),
        };
        let present = draw.unit() < chance;
        (oxide, if present { scale * most * draw.unit() } else { 0.0 })
    });
    OxideMoles::new(pairs).unwrap()
}
