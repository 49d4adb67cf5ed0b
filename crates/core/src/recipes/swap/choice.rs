//! Which of the recipes that were found come first.

use std::cmp::Ordering;

use super::clay_band::ClayBand;
use super::closest::Trial;
use super::columns::Problem;
use super::newcomers::{brings_fluorine, brings_unasked};
use super::question::SwapTrouble;

/// What one more newcomer costs, in tolerances of distance, when nobody is named.
const PRICE_OF_A_NEWCOMER: f64 = 0.5;
/// Two scores less than this apart are the same.
const ROUNDING: f64 = 1e-9;

impl Problem<'_> {
    /// A trial with its raw clay kept to its band, and as it is where that is much farther;
    /// none that hold a trace.
    pub(super) fn kept_to_the_band(&self, mut trial: Trial, band: Option<ClayBand>) -> Result<Vec<Trial>, SwapTrouble> {
        let mut found = Vec::new();
        if let Some(band) = band.filter(|band| !self.in_band(&trial, *band)) {
            found.extend(self.within_band(&trial, band)?);
            if !self.in_band(&trial, band.of_bentonite_alone()) {
                match self.within_band(&trial, band.of_bentonite_alone())? {
                    Some(other) => trial = other,
                    None => {
                        found.retain(|found| !self.holds_a_trace(found));
                        return Ok(found);
                    }
                }
            }
            trial.in_band = self.in_band(&trial, band);
        }
        found.push(trial);
        found.retain(|found| !self.holds_a_trace(found));
        Ok(found)
    }

    /// Whether nobody is handed by rule what they didn't ask for.
    pub(super) fn may_be_proposed(&self, trial: &Trial) -> bool {
        let candidate = self.candidate(trial);
        let (glaze, newcomers) = (&candidate.glaze, &candidate.newcomers);
        !self.by_rule || !brings_unasked(self.glaze, glaze, newcomers) && !brings_fluorine(glaze, newcomers, self.out)
    }

    /// What [`Problem::rank`] would put first. A band only takes a trial farther away: once a
    /// trial kept to it is nearer than all that are left, none of those is looked at.
    pub(super) fn best(&self, mut trials: Vec<Trial>, band: Option<ClayBand>) -> Result<Option<Trial>, SwapTrouble> {
        trials.sort_by(|a, b| self.score(a).total_cmp(&self.score(b)));
        let mut best: Option<Trial> = None;
        for trial in trials {
            let nearer = |best: &Trial| self.is_first_choice(best) && self.score(best) + ROUNDING < self.score(&trial);
            if best.as_ref().is_some_and(nearer) {
                break;
            }
            for found in self.kept_to_the_band(trial, band)? {
                let ahead = |best: &Trial| self.order(&found, best).is_lt();
                if best.as_ref().is_none_or(ahead) && self.may_be_proposed(&found) {
                    best = Some(found);
                }
            }
        }
        Ok(best)
    }

    /// In its band, and with clay where clay is gone: only a nearer one can be before it.
    fn is_first_choice(&self, trial: &Trial) -> bool {
        trial.in_band && !self.lacks_clay(trial)
    }

    fn lacks_clay(&self, trial: &Trial) -> bool {
        let clay_missing = self.by_rule && self.out.iter().any(|out| out.raw_clay_fraction > 0.0);
        clay_missing && trial.clayless
    }

    fn score(&self, trial: &Trial) -> f64 {
        let price = if self.by_rule { PRICE_OF_A_NEWCOMER } else { 0.0 };
        trial.distance + price * trial.used.len() as f64
    }

    /// Best first.
    fn order(&self, a: &Trial, b: &Trial) -> Ordering {
        let banded = b.in_band.cmp(&a.in_band);
        banded
            .then(self.lacks_clay(a).cmp(&self.lacks_clay(b)))
            .then(self.score(a).total_cmp(&self.score(b)))
    }

    /// Best first; one for each set of newcomers; none that a smaller set beats.
    pub(super) fn rank(&self, found: Vec<Trial>, show: usize) -> Vec<Trial> {
        let mut sorted = found;
        sorted.sort_by(|a, b| self.order(a, b));
        let mut kept: Vec<Trial> = Vec::new();
        for trial in sorted {
            if kept.len() > show {
                break;
            }
            if !kept
                .iter()
                .any(|better| better.used.iter().all(|newcomer| trial.used.contains(newcomer)))
            {
                kept.push(trial);
            }
        }
        kept
    }
}
