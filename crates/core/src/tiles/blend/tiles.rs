//! Blends: tiles as shares of end glazes.

use glost_chemistry::diagnostic::{Diagnostic, of_typed};
use glost_chemistry::glaze::{Glaze, Portion};

/// A tile as shares of the ends, in their order; the shares sum to 1.
pub type Shares = Vec<f64>;

/// A line between two ends: `tiles` tiles, ends included, from the first to the second.
/// `None` for fewer than two tiles.
pub fn line(tiles: usize) -> Option<Vec<Shares>> {
    (tiles >= 2).then(|| {
        (0..tiles)
            .map(|index| {
                let second = index as f64 / (tiles - 1) as f64;
                vec![1.0 - second, second]
            })
            .collect()
    })
}

/// The recipe of a tile: base blended by shares, additions by shares of the
/// base that carries them (equal base in equal volume keeps both exact).
pub fn blended(name: &str, ends: &[Glaze], shares: &[f64]) -> Glaze {
    let mut glaze = Glaze {
        name: name.to_owned(),
        base: Vec::new(),
        additions: Vec::new(),
        about: ends.first().map(|end| end.about.clone()).unwrap_or_default(),
        assumptions: Vec::new(),
    };
    for (end, share) in ends.iter().zip(shares) {
        for assumption in &end.assumptions {
            if !glaze.assumptions.contains(assumption) {
                glaze.assumptions.push(assumption.clone());
            }
        }
        mix_in(&mut glaze.base, &end.base, *share);
        mix_in(&mut glaze.additions, &end.additions, *share);
    }
    glaze
}

fn mix_in(mixed: &mut Vec<Portion>, portions: &[Portion], share: f64) {
    for portion in portions {
        let percent = share * portion.percent;
        match mixed
            .iter_mut()
            .find(|known| known.material.name == portion.material.name)
        {
            Some(same) => same.percent += percent,
            None => mixed.push(Portion {
                material: portion.material.clone(),
                percent,
            }),
        }
    }
}

/// Codes for the backs of tiles, in reading order: a letter for the row, a
/// number for the place in it. `row_lengths` are tiles per row. No I or O, so
/// that nobody reads a 1 or a 0.
pub fn codes(row_lengths: &[usize]) -> Vec<String> {
    const LETTERS: [char; 24] = [
        'A', 'B', 'C', 'D', 'E', 'F', 'G', 'H', 'J', 'K', 'L', 'M', 'N', 'P', 'Q', 'R', 'S', 'T', 'U', 'V', 'W', 'X',
        'Y', 'Z',
    ];
    let letter = |row: usize| LETTERS.get(row % LETTERS.len()).copied().unwrap_or('A');
    let mut codes = Vec::new();
    for (row, &length) in row_lengths.iter().enumerate() {
        let prefix: String = if row < LETTERS.len() {
            letter(row).to_string()
        } else {
            [letter(row / LETTERS.len() - 1), letter(row)].iter().collect()
        };
        codes.extend((1..=length).map(|place| format!("{prefix}{place}")));
    }
    codes
}

/// Codes that a script gives stand on the backs of tiles: short, each once, and
/// nothing in them that reads as something else.
///
/// # Errors
/// The first code that can't serve.
pub fn check_codes<'a>(codes: impl Iterator<Item = &'a str>) -> Result<(), Diagnostic> {
    const MOST_SIGNS: usize = 6;
    let mut seen = std::collections::HashSet::new();
    for code in codes {
        let signs = code.chars().count();
        let plain = code.chars().all(|sign| sign.is_ascii_alphanumeric() || sign == '-');
        let why = if signs == 0 || signs > MOST_SIGNS || !plain {
            of_typed(code, "doesn't fit on the back of a tile")
        } else if code.contains(['O', 'I', 'o', 'i', 'l']) {
            of_typed(code, "could be read with a 0 or a 1 in it")
        } else if !seen.insert(code) {
            format!("two tiles are called `{code}`")
        } else {
            continue;
        };
        return Err(Diagnostic::error("bad-code", why).help(format!(
            "up to {MOST_SIGNS} letters and digits without O, I and l, each code once; or leave codes out: tiles are then A1, A2, ..."
        )));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_of_five_goes_in_quarters() {
        let halves = line(5).unwrap_or_else(|| panic!("no such line"));
        assert_eq!(halves, [[1.0, 0.0], [0.75, 0.25], [0.5, 0.5], [0.25, 0.75], [0.0, 1.0]]);
        assert_eq!(line(1), None);
    }

    #[test]
    fn codes_have_no_letter_that_reads_as_a_digit() {
        let codes = codes(&[1; 60]);
        assert_eq!(codes[0], "A1");
        assert!(codes.iter().all(|code| !code.contains(['I', 'O'])));
        let mut unique = codes.clone();
        unique.sort();
        unique.dedup();
        assert_eq!(unique.len(), 60);
    }
}
