//! Measuring slurry by the syringe: whole marks, and what is too little.

use glost_chemistry::diagnostic::{Diagnostic, under};
use glost_chemistry::quantity::Millilitres;

/// A syringe or measuring cylinder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Syringe {
    /// What it holds, ml.
    pub holds_millilitres: f64,
    /// The volume between two marks, ml.
    pub mark_millilitres: f64,
}

impl Default for Syringe {
    /// 60 ml with a mark for each millilitre (common practice, no source).
    fn default() -> Syringe {
        Syringe {
            holds_millilitres: 60.0,
            mark_millilitres: 1.0,
        }
    }
}

/// Below so many marks a volume is off by a quarter or more.
const FEWEST_MARKS: f64 = 2.0;

impl Syringe {
    /// Reads `60 ml`, `60 ml by 0.5 ml`.
    ///
    /// # Errors
    /// No volume, or a mark of nothing or more than the syringe holds.
    pub fn parse(text: &str) -> Result<Syringe, Diagnostic> {
        let wrong = |message: String, help: Option<String>| {
            let usual = "write what it holds and its mark: \"60 ml by 1 ml\"".to_owned();
            Diagnostic::error("bad-option", format!("--syringe: {message}")).help(help.unwrap_or(usual))
        };
        let read = |text: &str| {
            Millilitres::parse(text, Millilitres::METRIC_CUP)
                .map(Millilitres::millilitres)
                .map_err(|why| wrong(why.message, why.help))
        };
        let (holds, mark) = match text.split_once(" by ") {
            Some((holds, mark)) => (read(holds)?, read(mark)?),
            None => (read(text)?, Syringe::default().mark_millilitres),
        };
        if holds <= 0.0 || mark <= 0.0 || mark > holds {
            return Err(wrong(
                under(text, "a mark lies between nothing and what it holds"),
                None,
            ));
        }
        Ok(Syringe {
            holds_millilitres: holds,
            mark_millilitres: mark,
        })
    }

    /// Volumes to whole marks. Where they sum to whole marks they still do: all
    /// down, then the largest remainders up.
    pub fn drawn(&self, millilitres: &[f64]) -> Vec<f64> {
        let mark = self.mark_millilitres;
        let mut marks: Vec<f64> = millilitres
            .iter()
            .map(|volume| (volume / mark + 1e-9).floor())
            .collect();
        let whole = millilitres.iter().sum::<f64>() / mark;
        let missing = (whole.round() - marks.iter().sum::<f64>()).max(0.0) as usize;
        let remainder = |index: usize| millilitres[index] / mark - marks[index];
        let mut order: Vec<usize> = (0..marks.len()).filter(|index| remainder(*index) > 1e-9).collect();
        order.sort_by(|a, b| remainder(*b).total_cmp(&remainder(*a)).then(a.cmp(b)));
        for index in order.into_iter().take(missing) {
            marks[index] += 1.0;
        }
        marks.into_iter().map(|marks| tidy(marks * mark)).collect()
    }

    /// Whether a volume is too little for this syringe.
    pub fn too_little(&self, millilitres: f64) -> bool {
        millilitres > 0.0 && millilitres < FEWEST_MARKS * self.mark_millilitres * (1.0 - 1e-9)
    }
}

/// 0.3 rather than 0.30000000000000004.
fn tidy(volume: f64) -> f64 {
    (volume * 1e6).round() / 1e6
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_marks_keep_the_tile_full() {
        let syringe = Syringe::default();
        assert_eq!(syringe.drawn(&[12.0, 12.0, 6.0]), [12.0, 12.0, 6.0]);
        assert_eq!(syringe.drawn(&[10.0, 10.0, 10.0]), [10.0, 10.0, 10.0]);
        let thirds = [25.0 / 3.0; 3];
        assert_eq!(syringe.drawn(&thirds).iter().sum::<f64>(), 25.0);
        assert_eq!(syringe.drawn(&[22.5, 7.5]).iter().sum::<f64>(), 30.0);
    }

    #[test]
    fn a_syringe_says_its_mark() {
        let fine = Syringe::parse("10 ml by 0.2 ml");
        assert_eq!(fine.map(|syringe| syringe.drawn(&[3.3])), Ok(vec![3.2]));
        assert!(Syringe::parse("60").is_err() && Syringe::parse("1 ml by 2 ml").is_err());
    }
}
