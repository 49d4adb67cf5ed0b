//! A property as a sum of coefficients times terms.

use super::fractions::Fractions;
use super::table::data_lines;
use super::term::{Shares, Term, spread_sums};

/// Coefficients and terms, as a table gives them.
#[derive(Debug)]
pub(super) struct TermModel {
    terms: Vec<(f64, Term)>,
}

impl TermModel {
    /// Reads `coefficient,kind,term` lines; a term may stand in quotes.
    pub(super) fn parse(table: &'static str) -> TermModel {
        let terms = data_lines(table, "coefficient,kind,term").filter_map(|line| {
            let mut cells = line.splitn(3, ',');
            let coefficient = cells.next()?.parse().ok()?;
            let term = cells.nth(1)?.trim_matches('"');
            Some((coefficient, Term::parse(term)?))
        });
        TermModel { terms: terms.collect() }
    }

    /// The property's value, in the unit of its table.
    pub(super) fn value(&self, fractions: &Fractions) -> f64 {
        let contributions = self
            .terms
            .iter()
            .map(|(coefficient, term)| coefficient * term.value(&fractions.shares));
        contributions.sum()
    }

    /// The terms' values into `values`, in the order of the table; the sum of coefficients
    /// times values.
    pub(super) fn fill(&self, fractions: &Fractions, values: &mut [f64]) -> f64 {
        let mut sum = 0.0;
        for ((coefficient, term), value) in self.terms.iter().zip(values) {
            *value = term.value(&fractions.shares);
            sum += coefficient * *value;
        }
        sum
    }

    /// Slopes in each mole fraction, the others held (they need not sum to 1).
    pub(super) fn slopes(&self, fractions: &Fractions) -> Shares {
        let mut slopes = [0.0; super::fractions::SHARE_COUNT];
        for (coefficient, term) in &self.terms {
            term.add_slopes(&fractions.shares, *coefficient, &mut slopes);
        }
        spread_sums(&mut slopes);
        slopes
    }

    /// How many terms the table gave.
    #[cfg(test)]
    pub(super) fn term_count(&self) -> usize {
        self.terms.len()
    }
}
