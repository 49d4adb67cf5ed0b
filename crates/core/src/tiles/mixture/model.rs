//! The mixture models of Scheffe: what a property is as shares move.
//!
//! Shares sum to one, so a straight-line model has no constant: the coefficient of an end
//! *is* the property at that end, and a product bends the line between two ends (H. Scheffe,
//! J. R. Stat. Soc. B 20 (1958) 344; NIST/SEMATECH e-Handbook 5.5.4).

/// Which products of shares a model has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum MixtureModel {
    /// `sum b_i x_i`
    Linear,
    /// and `sum b_ij x_i x_j`
    Quadratic,
    /// and `sum b_ijk x_i x_j x_k`
    SpecialCubic,
}

/// One term: the product of the shares of one, two or three different ends.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Term {
    /// The ends, by place, rising.
    pub ends: Vec<usize>,
}

impl MixtureModel {
    /// All, the simplest first.
    pub const ALL: [MixtureModel; 3] = [
        MixtureModel::Linear,
        MixtureModel::Quadratic,
        MixtureModel::SpecialCubic,
    ];

    /// The name in options and JSON.
    pub fn name(self) -> &'static str {
        match self {
            MixtureModel::Linear => "linear",
            MixtureModel::Quadratic => "quadratic",
            MixtureModel::SpecialCubic => "special-cubic",
        }
    }

    /// The most ends that one of its terms multiplies.
    pub fn order(self) -> usize {
        match self {
            MixtureModel::Linear => 1,
            MixtureModel::Quadratic => 2,
            MixtureModel::SpecialCubic => 3,
        }
    }

    /// Its terms over this many ends: ends, pairs, threes, each in order.
    pub fn terms(self, ends: usize) -> Vec<Term> {
        let mut terms: Vec<Term> = (0..ends).map(|end| Term { ends: vec![end] }).collect();
        let mut shorter = terms.clone();
        for _ in 1..self.order() {
            shorter = shorter
                .iter()
                .flat_map(|term| {
                    let from = term.ends.last().map_or(0, |last| last + 1);
                    (from..ends).map(|end| Term {
                        ends: term.ends.iter().copied().chain([end]).collect(),
                    })
                })
                .collect();
            terms.extend(shorter.iter().cloned());
        }
        terms
    }

    /// How many terms it has over this many ends.
    pub fn size(self, ends: usize) -> usize {
        let pairs = ends * ends.saturating_sub(1) / 2;
        match self {
            MixtureModel::Linear => ends,
            MixtureModel::Quadratic => ends + pairs,
            MixtureModel::SpecialCubic => ends + pairs + pairs * ends.saturating_sub(2) / 3,
        }
    }
}

impl Term {
    /// The product of its shares.
    pub fn value(&self, shares: &[f64]) -> f64 {
        self.ends.iter().filter_map(|end| shares.get(*end)).product()
    }

    /// `a`, `a*b` or `a*b*c`, by the ends' names.
    pub fn name(&self, ends: &[String]) -> String {
        let names: Vec<&str> = self
            .ends
            .iter()
            .filter_map(|end| ends.get(*end).map(String::as_str))
            .collect();
        names.join("*")
    }
}

/// The terms' values at a point.
pub(super) fn row(terms: &[Term], shares: &[f64]) -> Vec<f64> {
    terms.iter().map(|term| term.value(shares)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn terms_come_as_ends_pairs_and_threes() {
        let ends = ["a", "b", "c"].map(str::to_owned);
        let names = |model: MixtureModel| {
            let terms = model.terms(3);
            assert_eq!(terms.len(), model.size(3));
            terms.iter().map(|term| term.name(&ends)).collect::<Vec<_>>().join(" ")
        };
        assert_eq!(names(MixtureModel::Linear), "a b c");
        assert_eq!(names(MixtureModel::Quadratic), "a b c a*b a*c b*c");
        assert_eq!(names(MixtureModel::SpecialCubic), "a b c a*b a*c b*c a*b*c");
        for ends in 2..8 {
            for model in MixtureModel::ALL {
                assert_eq!(model.terms(ends).len(), model.size(ends), "{model:?} of {ends}");
            }
        }
    }
}
