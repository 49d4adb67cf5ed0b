//! What a weighed gram of a material leaves in the fired glaze.
//!
//! Here the basis of an analysis is applied, the loss on ignition settled and
//! the sheet's arithmetic checked. Nothing is renormalised: what the sheet
//! says is used as it stands, or it is refused.

use crate::assumption::{Assumption, SheetAssumption};
use crate::material::expected_loss;
use crate::odd_sum::{LikelyCause, OddSum};
use crate::oxides::{AnalysisKey, Basis, FiredFormula, Oxide, OxideGrams};

use super::deviation::{Deviation, Deviations};
use super::kind::Kind;

/// Sums of an analysis in wt % that raise no question.
pub const SUM_UNQUESTIONED: (f64, f64) = (98.0, 101.5);
/// Sums in wt % outside which an analysis is refused unless taken as is.
pub const SUM_ACCEPTED: (f64, f64) = (90.0, 105.0);
/// Sums of oxides in wt % for which a missing loss is taken by difference.
const SUM_BY_DIFFERENCE: (f64, f64) = (40.0, 99.5);

/// Less fluorine than this, wt % of a material, isn't worth a word.
const FLUORINE_WORTH_SAYING_PERCENT: f64 = 1.0;

/// Where a loss on ignition comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LossStanding {
    /// On the sheet.
    Stated,
    /// From the formula, or from the volatile lines of the analysis.
    Computed,
    /// 100 less the oxides: a guess.
    ByDifference,
    /// Nobody says; counted as nothing, and said.
    Unknown,
}

/// What 100 g of a material, as supplied, leave in the fired glaze.
#[derive(Debug, Clone, PartialEq)]
pub struct FiredYield {
    /// Grams of fired oxides per 100 g supplied.
    pub oxides: OxideGrams,
    /// Loss on ignition in grams per 100 g supplied; negative for a gain.
    pub loss_grams: f64,
    /// Moisture in grams per 100 g supplied; not part of the loss.
    pub moisture_grams: f64,
    /// Where the loss comes from.
    pub loss_standing: LossStanding,
    /// Grams of fluorine per 100 g supplied; it leaves on firing, as hydrogen fluoride.
    pub fluorine_grams: f64,
    /// How far the lines of its sheet, or of its parts' sheets, may be off.
    pub tolerance: Vec<Deviation>,
    /// What goes with every result built on this.
    pub assumptions: Vec<Assumption>,
}

/// An analysis as printed.
#[derive(Debug, Clone, PartialEq)]
pub struct PrintedAnalysis {
    /// Its lines in wt %.
    pub lines: Vec<(AnalysisKey, f64)>,
    /// What its 100 % means.
    pub basis: Basis,
    /// Loss on ignition in wt %, where stated.
    pub loss_percent: Option<f64>,
    /// Moisture in wt % of the supplied material.
    pub moisture_percent: f64,
    /// One standard deviation of some lines, wt %.
    pub tolerance: Vec<(AnalysisKey, f64)>,
    /// Use it although its sum is odd.
    pub take_as_is: bool,
}

/// What to say of fluorine; a little of it is not worth a word.
fn fluorine_leaves(name: &str, percent: f64) -> Option<Assumption> {
    let much = percent >= FLUORINE_WORTH_SAYING_PERCENT;
    much.then(|| Assumption::of_sheet(name, SheetAssumption::FluorineLeaves))
}

/// What the sheet's arithmetic says.
#[derive(Debug, Clone, PartialEq)]
pub enum Verdict {
    /// Nothing to say.
    Fine,
    /// Usable, with a question.
    Question(OddSum),
    /// Refused unless taken as is: what is wrong, what to do.
    Refused(String, String),
}

impl PrintedAnalysis {
    /// Settles basis and loss and checks the sum.
    pub fn settle(&self, name: &str, kind: Kind) -> (FiredYield, Verdict) {
        let mut assumptions = self.conversions(name);
        let (loss_percent, loss_standing) = self.loss(name, kind, &mut assumptions);
        let dry = 1.0 - self.moisture_percent / 100.0;
        let (factor, loss_grams) = match self.basis {
            Basis::AsSupplied => (1.0, loss_percent),
            Basis::Dried => (dry, loss_percent * dry),
            Basis::Fired => (1.0 - loss_percent / 100.0, loss_percent),
        };
        let fired = |lines: &[(AnalysisKey, f64)]| -> Vec<(Oxide, f64)> {
            lines
                .iter()
                .filter_map(|(key, percent)| key.fired().map(|(oxide, grams)| (oxide, grams * percent * factor)))
                .collect()
        };
        let oxides = OxideGrams::worked_out(fired(&self.lines));
        let verdict = match self.verdict(loss_percent, loss_standing) {
            Verdict::Fine => self.looks_fired(name, loss_percent, loss_standing),
            odd => odd,
        };
        if self.take_as_is && verdict != Verdict::Fine {
            let sum = self.sum(loss_percent, loss_standing);
            assumptions.push(Assumption::of_sheet(name, SheetAssumption::TakenAsItIs(sum)));
        } else if let Verdict::Question(question) = &verdict {
            assumptions.push(Assumption::of_sheet(name, SheetAssumption::Odd(question.clone())));
        }
        if loss_grams < 0.0 {
            assumptions.push(Assumption::of_sheet(name, SheetAssumption::Gains(-loss_grams)));
        }
        let settled = FiredYield {
            oxides,
            loss_grams,
            moisture_grams: self.moisture_percent,
            loss_standing,
            fluorine_grams: self.fluorine_percent() * if self.basis == Basis::Dried { dry } else { 1.0 },
            tolerance: Deviation::of_sheet(name, fired(&self.tolerance)),
            assumptions,
        };
        (settled, verdict)
    }

    fn conversions(&self, name: &str) -> Vec<Assumption> {
        let mut said = Vec::new();
        for (key, percent) in &self.lines {
            if let AnalysisKey::Converted {
                printed,
                oxide,
                grams_per_gram,
            } = key
                && *percent > 0.0
            {
                let converted = SheetAssumption::Converted {
                    printed,
                    percent: *percent,
                    oxide: *oxide,
                    oxide_percent: percent * grams_per_gram,
                };
                said.push(Assumption::of_sheet(name, converted));
            }
            if let AnalysisKey::Leaves { printed: "F", .. } = key {
                said.extend(fluorine_leaves(name, *percent));
            }
        }
        said
    }

    fn oxide_sum(&self) -> f64 {
        self.lines
            .iter()
            .filter(|line| line.0.fired().is_some())
            .map(|line| line.1)
            .sum()
    }

    fn volatile_loss(&self) -> Option<f64> {
        let mut leaving = self.lines.iter().filter_map(|(key, percent)| match key {
            AnalysisKey::Leaves { grams_per_gram, .. } => Some(grams_per_gram * percent),
            _ => None,
        });
        let first = leaving.next()?;
        Some(first + leaving.sum::<f64>())
    }

    /// Oxygen taken up by lines of another valence, wt %; negative where it is given off.
    fn gain_on_conversion(&self) -> f64 {
        let gains = self.lines.iter().filter_map(|(key, percent)| match key {
            AnalysisKey::Converted { grams_per_gram, .. } => Some((grams_per_gram - 1.0) * percent),
            _ => None,
        });
        gains.fold(0.0, |sum, gain| sum + gain)
    }

    fn fluorine_percent(&self) -> f64 {
        let lines = self.lines.iter();
        let fluorine = lines.filter(|(key, _)| matches!(key, AnalysisKey::Leaves { printed: "F", .. }));
        fluorine.map(|line| line.1).sum()
    }

    /// Fluorine and chlorine less the oxygen that takes their place, wt %.
    fn halogen_loss(&self) -> f64 {
        let halogens = self.lines.iter().filter_map(|(key, percent)| match key {
            AnalysisKey::Leaves {
                printed: "F" | "Cl",
                grams_per_gram,
            } => Some(grams_per_gram * percent),
            _ => None,
        });
        halogens.sum()
    }

    /// Oxygen that lines such as MnO2 give off, wt %.
    fn oxygen_given_off(&self) -> f64 {
        (-self.gain_on_conversion()).max(0.0)
    }

    /// The loss and the sum of a sheet that states a loss. Whether its loss holds the fluorine
    /// and the oxygen that leave, or they come on top, is read from which brings the sum nearer
    /// to 100; as likely, they are in it.
    fn stated_balance(&self, stated: f64) -> (f64, f64) {
        let (halogens, oxygen) = (self.halogen_loss(), self.oxygen_given_off());
        let bare = self.oxide_sum() + stated;
        let ways = [
            (stated, bare - oxygen),
            (stated + oxygen, bare),
            (stated + halogens, bare + halogens - oxygen),
            (stated + halogens + oxygen, bare + halogens),
        ];
        let mut best = ways[0];
        for way in ways {
            if (way.1 - 100.0).abs() < (best.1 - 100.0).abs() - 1e-9 {
                best = way;
            }
        }
        best
    }

    fn loss(&self, name: &str, kind: Kind, assumptions: &mut Vec<Assumption>) -> (f64, LossStanding) {
        let mut assume = |assumed| assumptions.push(Assumption::of_sheet(name, assumed));
        if let Some(stated) = self.loss_percent {
            if self.basis == Basis::Fired {
                return (stated, LossStanding::Stated);
            }
            let (loss, _) = self.stated_balance(stated);
            if loss > stated {
                assume(SheetAssumption::LosesBesides { loss, stated });
            }
            return (loss, LossStanding::Stated);
        }
        if let (Some(volatile), true) = (self.volatile_loss(), self.basis != Basis::Fired) {
            // FeO that becomes Fe2O3 makes up for part of what leaves, as on the scales.
            let gain = self.gain_on_conversion();
            let loss = volatile - gain;
            assume(SheetAssumption::LossOfVolatiles {
                loss,
                oxygen: gain != 0.0,
            });
            return (loss, LossStanding::Computed);
        }
        let sum = self.oxide_sum();
        match self.basis {
            Basis::AsSupplied if (SUM_BY_DIFFERENCE.0..=SUM_BY_DIFFERENCE.1).contains(&sum) => {
                let loss = 100.0 - sum + self.oxygen_given_off();
                assume(SheetAssumption::LossByDifference(loss));
                (loss, LossStanding::ByDifference)
            }
            Basis::Fired if kind.already_melted() => (0.0, LossStanding::Stated),
            Basis::AsSupplied | Basis::Dried if self.oxygen_given_off() > 0.0 => {
                let loss = self.oxygen_given_off();
                assume(SheetAssumption::LossOfOxygen(loss));
                (loss, LossStanding::Computed)
            }
            _ => {
                assume(SheetAssumption::NoLoss);
                (0.0, LossStanding::Unknown)
            }
        }
    }

    fn sum(&self, loss_percent: f64, standing: LossStanding) -> f64 {
        match (self.basis, standing) {
            (Basis::Fired, _) | (_, LossStanding::Unknown) => self.oxide_sum(),
            // No volatile lines: oxygen alone leaves, and stands in the oxides' own lines.
            (_, LossStanding::Computed) => self.oxide_sum() + self.volatile_loss().unwrap_or(0.0),
            (_, LossStanding::ByDifference) => self.oxide_sum() + loss_percent - self.oxygen_given_off(),
            (_, LossStanding::Stated) => {
                let stated = self.loss_percent.unwrap_or(loss_percent);
                self.stated_balance(stated).1
            }
        }
    }

    fn verdict(&self, loss_percent: f64, standing: LossStanding) -> Verdict {
        if let Some((key, percent)) = self.lines.iter().find(|line| line.1 > 100.0) {
            let printed = key_name(key);
            return Verdict::Refused(
                format!("{printed} is {percent} %, more than the whole"),
                "correct the figure".to_owned(),
            );
        }
        let sum = self.sum(loss_percent, standing);
        let cause = LikelyCause::of(sum, self.basis, self.loss_percent);
        if sum < SUM_ACCEPTED.0 || sum > SUM_ACCEPTED.1 {
            let message = format!("the analysis sums to {sum:.1} %");
            return Verdict::Refused(
                message,
                format!("{cause}; or say `take_as_is: true` to use it all the same"),
            );
        }
        if sum < SUM_UNQUESTIONED.0 || sum > SUM_UNQUESTIONED.1 {
            return Verdict::Question(OddSum::Sum { percent: sum, cause });
        }
        if self.basis == Basis::Fired && standing == LossStanding::Unknown {
            return Verdict::Question(OddSum::FiredWithoutLoss);
        }
        Verdict::Fine
    }

    /// A raw clay or carbonate whose oxides leave no room for what it must lose.
    fn looks_fired(&self, name: &str, loss_percent: f64, standing: LossStanding) -> Verdict {
        let guessed = matches!(standing, LossStanding::ByDifference | LossStanding::Unknown);
        let Some(expected) = expected_loss(name).filter(|expected| guessed && loss_percent < expected.least / 2.0)
        else {
            return Verdict::Fine;
        };
        Verdict::Question(OddSum::LooksFired {
            oxides_percent: self.oxide_sum(),
            word: expected.word.clone(),
            why: expected.why.clone(),
            usual_loss: expected.usual,
        })
    }
}

fn key_name(key: &AnalysisKey) -> &'static str {
    match key {
        AnalysisKey::Fired(oxide) => oxide.formula(),
        AnalysisKey::Converted { printed, .. } | AnalysisKey::Leaves { printed, .. } => printed,
    }
}

impl FiredYield {
    /// From a formula fired in air.
    pub fn from_formula(name: &str, fired: &FiredFormula) -> FiredYield {
        let loss = fired.loss_on_ignition_percent;
        let mut assumptions = Vec::new();
        if loss < 0.0 {
            assumptions.push(Assumption::of_sheet(name, SheetAssumption::Gains(-loss)));
        }
        let fluorine = fired.written.iter().find(|line| line.name == "F");
        assumptions.extend(fluorine.and_then(|line| fluorine_leaves(name, line.weight_percent)));
        FiredYield {
            oxides: fired.grams_per_100.clone(),
            loss_grams: loss,
            moisture_grams: 0.0,
            loss_standing: LossStanding::Computed,
            fluorine_grams: fluorine.map_or(0.0, |line| line.weight_percent),
            tolerance: Vec::new(),
            assumptions,
        }
    }

    /// A mix of materials by weight; with `fired`, what is left of it after
    /// firing, per 100 g of the fired mix. `None` where nothing would be left.
    pub fn mixed<'a>(parts: impl Iterator<Item = (&'a FiredYield, f64)> + Clone, fired: bool) -> Option<FiredYield> {
        let weight: f64 = parts.clone().map(|part| part.1).sum();
        let kept: f64 = parts
            .clone()
            .map(|(part, grams)| grams * (1.0 - (part.loss_grams + part.moisture_grams) / 100.0))
            .sum();
        let per = if fired { kept } else { weight };
        if per <= 0.0 || weight <= 0.0 {
            return None;
        }
        let mut mix = FiredYield {
            oxides: OxideGrams::ZERO,
            loss_grams: 0.0,
            moisture_grams: 0.0,
            loss_standing: LossStanding::Computed,
            fluorine_grams: 0.0,
            tolerance: Vec::new(),
            assumptions: Vec::new(),
        };
        let mut deviations = Deviations::default();
        for (part, grams) in parts {
            let share = grams / per;
            mix.oxides.add_scaled(share, &part.oxides);
            if !fired {
                mix.loss_grams += share * part.loss_grams;
                mix.moisture_grams += share * part.moisture_grams;
                mix.fluorine_grams += share * part.fluorine_grams;
            }
            deviations.add(part.tolerance.iter().map(|deviation| deviation.scaled(share)));
            for assumption in &part.assumptions {
                if !mix.assumptions.contains(assumption) {
                    mix.assumptions.push(assumption.clone());
                }
            }
            if matches!(part.loss_standing, LossStanding::ByDifference | LossStanding::Unknown) {
                mix.loss_standing = part.loss_standing;
            }
        }
        mix.tolerance = deviations.list();
        Some(mix)
    }
}

#[cfg(test)]
mod tests;
