//! Thermal expansion of a fired glass from its composition.
//!
//! Five models, never mixed in one answer: our own fit (the default), Appen's factors as the
//! alternative, and three historical sets that are off unless asked for.

use std::fmt;
use std::sync::LazyLock;

use crate::assumption::{ModelAssumption, OutsideModel};
use crate::oxides::{OXIDE_COUNT, Oxide, OxideMoles};

use super::accuracy::{Accuracy, accuracy_of};
use super::bounds;
use super::fractions::{Fractions, MODEL_OXIDES, R2O, left_out_oxides};
use super::leverage::{Coverage, TERM_COUNT, leverage, leverage_half_width};
use super::linearisation::Linearisation;
use super::term_model::TermModel;
use super::weight_set::WeightSet;

/// Mean expansion over 20-400 C divided by that over 20-300 C: the median of 795 SciGlass
/// glasses measured over both.
pub const PER_20_300_FROM_20_400: f64 = 1.027;

/// 90 % half-widths in 1e-6/K that a fired glaze deserves, from careful to very careful: on
/// 48 glazes, enamels and frits measured at 20-400 C 90 % lay within 1.05, on 126 from old
/// glaze papers with unstated range within 1.4. A glaze on ware has taken up clay, lost
/// alkali and kept crystals: its glass is not the recipe's.
pub const FIRED_GLAZE_PLUS_MINUS_90: (f64, f64) = (1.0, 1.4);

/// The words that go with the fitted coefficients.
pub const SCIGLASS_ATTRIBUTION: &str =
    "Fitted to SciGlass data (ODC Open Database License as headed, (c) 2019 EPAM Systems).";

static GLOST_54: LazyLock<TermModel> =
    LazyLock::new(|| TermModel::parse(include_str!("../../data/expansion/glost_54_terms.csv")));
static APPEN: LazyLock<TermModel> =
    LazyLock::new(|| TermModel::parse(include_str!("../../data/expansion/appen_terms.csv")));
/// 1e-7/K per wt %, linear: 100 wt % of factor 1 are 10e-6/K.
static ENGLISH_TURNER: LazyLock<WeightSet> =
    LazyLock::new(|| WeightSet::parse(include_str!("../../data/expansion/english_turner.csv"), 10.0));
/// Cubic: a third of it is linear.
static WINKELMANN_SCHOTT: LazyLock<WeightSet> =
    LazyLock::new(|| WeightSet::parse(include_str!("../../data/expansion/winkelmann_schott.csv"), 10.0 / 3.0));
static MAYER_HAVAS: LazyLock<WeightSet> =
    LazyLock::new(|| WeightSet::parse(include_str!("../../data/expansion/mayer_havas.csv"), 10.0 / 3.0));

/// What the factors of a model multiply.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FactorBasis {
    /// Mole per cent.
    MolePercent,
    /// Weight per cent.
    WeightPercent,
}

/// How a model's numbers came here.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ModelStanding {
    /// Fitted for Glost; the error was measured on authors kept out of the fit.
    Fitted,
    /// From memory of the book.
    FromMemory {
        /// Checked against data of the same authors in SciGlass, where it holds any.
        checked: Option<ModelCheck>,
    },
}

/// A check of remembered numbers against glasses that their authors measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ModelCheck {
    /// How many glasses.
    pub glasses: u32,
    /// Mean of predicted less measured, 1e-6/K.
    pub bias_per_million_per_kelvin: f64,
    /// Mean of the absolute errors, 1e-6/K.
    pub mean_error_per_million_per_kelvin: f64,
}

/// A model of expansion.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum ExpansionModel {
    /// Our own fit of 54 terms to 14,694 glasses.
    #[default]
    Glost54,
    /// Appen's factors.
    Appen,
    /// English and Turner, 1927; historical.
    EnglishTurner,
    /// Winkelmann and Schott, 1894; historical.
    WinkelmannSchott,
    /// Mayer and Havas, 1909-1911; historical.
    MayerHavas,
}

/// A predicted expansion, for a glass of exactly this composition.
#[derive(Debug, Clone, PartialEq)]
pub struct Expansion {
    /// The model's name.
    pub model: &'static str,
    /// Mean linear expansion over the range, 1e-6/K.
    pub value_per_million_per_kelvin: f64,
    /// 90 % half-width, 1e-6/K.
    pub plus_minus_90: f64,
    /// The range, deg C.
    pub range_celsius: (f64, f64),
    /// How unlike the glasses of the fit the composition is (20 is usual); default model only.
    pub leverage: Option<f64>,
    /// Whether the composition lies within what the model was checked for.
    pub inside_domain: bool,
    /// In which ways it doesn't.
    pub reasons: Vec<OutsideModel>,
    /// What the number takes for granted.
    pub assumptions: Vec<ModelAssumption>,
    /// Where the model is from.
    pub source: &'static str,
}

/// `{:.1}` gives `6.2 +/- 0.6 x 1e-6/K at 20-400 C (glost 54-term)`.
impl fmt::Display for Expansion {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let decimals = f.precision().unwrap_or(2);
        write!(
            f,
            "{:.decimals$} +/- {:.decimals$} x 1e-6/K at {:.0}-{:.0} C ({})",
            self.value_per_million_per_kelvin,
            self.plus_minus_90,
            self.range_celsius.0,
            self.range_celsius.1,
            self.model
        )
    }
}

enum Numbers {
    Terms(&'static TermModel),
    Weights(&'static WeightSet),
}

impl ExpansionModel {
    /// All of them, the default first.
    pub const ALL: [ExpansionModel; 5] = [
        ExpansionModel::Glost54,
        ExpansionModel::Appen,
        ExpansionModel::EnglishTurner,
        ExpansionModel::WinkelmannSchott,
        ExpansionModel::MayerHavas,
    ];

    /// Its name, as answers show it.
    pub const fn name(self) -> &'static str {
        match self {
            ExpansionModel::Glost54 => "glost 54-term",
            ExpansionModel::Appen => "Appen",
            ExpansionModel::EnglishTurner => "English & Turner",
            ExpansionModel::WinkelmannSchott => "Winkelmann & Schott",
            ExpansionModel::MayerHavas => "Mayer & Havas",
        }
    }

    /// The model of this name.
    pub fn from_name(name: &str) -> Option<ExpansionModel> {
        ExpansionModel::ALL.into_iter().find(|model| model.name() == name)
    }

    /// Whether it is kept for comparison with old papers only.
    pub const fn is_historical(self) -> bool {
        !matches!(self, ExpansionModel::Glost54 | ExpansionModel::Appen)
    }

    /// What its factors multiply.
    pub const fn basis(self) -> FactorBasis {
        if self.is_historical() {
            FactorBasis::WeightPercent
        } else {
            FactorBasis::MolePercent
        }
    }

    /// The range its value is a mean over, deg C. That of Mayer and Havas isn't established.
    pub const fn range_celsius(self) -> (f64, f64) {
        match self {
            ExpansionModel::Glost54 | ExpansionModel::Appen => (20.0, 400.0),
            ExpansionModel::EnglishTurner => (25.0, 90.0),
            ExpansionModel::WinkelmannSchott => (0.0, 100.0),
            ExpansionModel::MayerHavas => (20.0, 150.0),
        }
    }

    /// Where it is from.
    pub const fn source(self) -> &'static str {
        match self {
            ExpansionModel::Glost54 => {
                "Glost's own fit to SciGlass data (ODC Open Database License as headed, (c) 2019 EPAM Systems)"
            }
            ExpansionModel::Appen => {
                "A. A. Appen, Zh. Prikl. Khim. 1953; Khimiya Stekla (Chemistry of Glass), Khimiya, Leningrad 1970/1974"
            }
            ExpansionModel::EnglishTurner => "S. English and W. E. S. Turner, J. Am. Ceram. Soc. 10 (1927) 551-560",
            ExpansionModel::WinkelmannSchott => "A. Winkelmann and O. Schott, Ann. Phys. Chem. 51 (1894) 697-730",
            ExpansionModel::MayerHavas => "M. Mayer and B. Havas, Sprechsaal 42 (1909) 497; 44 (1911) 188, 207, 220",
        }
    }

    /// How its numbers came here.
    pub fn standing(self) -> ModelStanding {
        let from_memory = |glasses, bias, mean_error| ModelStanding::FromMemory {
            checked: Some(ModelCheck {
                glasses,
                bias_per_million_per_kelvin: bias,
                mean_error_per_million_per_kelvin: mean_error,
            }),
        };
        match self {
            ExpansionModel::Glost54 => ModelStanding::Fitted,
            ExpansionModel::Appen => from_memory(188, 0.06, 0.35),
            ExpansionModel::EnglishTurner => from_memory(114, -0.13, 0.43),
            ExpansionModel::WinkelmannSchott => from_memory(26, 0.00, 0.44),
            // Nor is its range established: enamels, roughly 20-150 C.
            ExpansionModel::MayerHavas => ModelStanding::FromMemory { checked: None },
        }
    }

    /// Its measured errors.
    pub fn accuracy(self) -> impl Iterator<Item = &'static Accuracy> {
        accuracy_of(self.name())
    }

    /// 90 % half-width in 1e-6/K of a model without a band of its own: so far off were 90 %
    /// of the glasses measured over its range (`accuracy.csv`).
    const fn flat_band(self) -> f64 {
        match self {
            ExpansionModel::Glost54 | ExpansionModel::Appen => 1.00,
            ExpansionModel::EnglishTurner => 2.26,
            ExpansionModel::WinkelmannSchott => 2.70,
            ExpansionModel::MayerHavas => 2.58,
        }
    }

    fn numbers(self) -> Numbers {
        match self {
            ExpansionModel::Glost54 => Numbers::Terms(&GLOST_54),
            ExpansionModel::Appen => Numbers::Terms(&APPEN),
            ExpansionModel::EnglishTurner => Numbers::Weights(&ENGLISH_TURNER),
            ExpansionModel::WinkelmannSchott => Numbers::Weights(&WINKELMANN_SCHOTT),
            ExpansionModel::MayerHavas => Numbers::Weights(&MAYER_HAVAS),
        }
    }

    /// The bare value, 1e-6/K: no band, no reasons, nothing allocated. The amounts may have
    /// any scale. `None` where the model knows none of the oxides.
    pub fn value(self, amounts: &OxideMoles) -> Option<f64> {
        match self.numbers() {
            Numbers::Terms(model) => Some(model.value(&Fractions::of(amounts)?)),
            Numbers::Weights(set) => set.mean(amounts).map(|mean| mean.value),
        }
    }

    /// The expansion with its band and what it takes for granted. Oxides that the model
    /// doesn't know are left out and the rest counted as the whole: up to 1 mol % that is an
    /// assumption, beyond it the composition is outside. `None` where it knows none of them.
    pub fn predict(self, amounts: &OxideMoles) -> Option<Expansion> {
        let fractions = Fractions::of(amounts)?;
        let (mut reasons, mut assumptions) = (Vec::new(), Vec::new());
        bounds::add_reasons(&fractions, &mut reasons);
        let (value, far) = match self.numbers() {
            Numbers::Terms(model) => {
                let mut values = [0.0; TERM_COUNT];
                let value = model.fill(&fractions, &mut values);
                let far = (self == ExpansionModel::Glost54).then(|| leverage(&values));
                bounds::add_left_out(
                    fractions.left_out,
                    left_out_oxides(amounts),
                    &mut reasons,
                    &mut assumptions,
                );
                (value, far)
            }
            Numbers::Weights(set) => {
                let mean = set.mean(amounts)?;
                let unknown = amounts.iter().map(|(oxide, _)| oxide);
                let unknown = unknown.filter(|oxide| set.factors[oxide.index()].is_none());
                bounds::add_left_out(mean.left_out, unknown, &mut reasons, &mut assumptions);
                (mean.value, None)
            }
        };
        if let Some(far) = far {
            bounds::add_leverage_reason(far, &mut reasons);
        }
        bounds::add_opacifiers(&fractions, &mut assumptions);
        Some(Expansion {
            model: self.name(),
            value_per_million_per_kelvin: value,
            plus_minus_90: far.map_or(self.flat_band(), |far| leverage_half_width(Coverage::Percent90, far)),
            range_celsius: self.range_celsius(),
            leverage: far,
            inside_domain: reasons.is_empty(),
            reasons,
            assumptions,
            source: self.source(),
        })
    }

    /// The tangent at a composition; on a kink that of one side. `None` where the model knows
    /// none of the oxides.
    pub fn linearise(self, amounts: &OxideMoles) -> Option<Linearisation> {
        let mut factors = [0.0; OXIDE_COUNT];
        let mut weights = [0.0; OXIDE_COUNT];
        let (value, total) = match self.numbers() {
            Numbers::Terms(model) => {
                let fractions = Fractions::of(amounts)?;
                let value = model.value(&fractions);
                let slopes = model.slopes(&fractions);
                let mean: f64 = slopes[..R2O]
                    .iter()
                    .zip(&fractions.shares)
                    .map(|(slope, share)| slope * share)
                    .sum();
                for (oxide, slope) in MODEL_OXIDES.into_iter().zip(slopes) {
                    factors[oxide.index()] = value + slope - mean;
                    weights[oxide.index()] = 1.0;
                }
                (value, fractions.moles)
            }
            Numbers::Weights(set) => {
                for oxide in Oxide::ALL {
                    if let Some(factor) = set.factors[oxide.index()] {
                        factors[oxide.index()] = factor;
                        weights[oxide.index()] = oxide.grams_per_mole();
                    }
                }
                (set.mean(amounts)?.value, set.known_grams(amounts))
            }
        };
        Some(Linearisation {
            value_per_million_per_kelvin: value,
            factors,
            weights,
            total,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_of_the_tables_is_lost() {
        assert_eq!((GLOST_54.term_count(), APPEN.term_count()), (TERM_COUNT, 25));
        let known = |set: &WeightSet| set.factors.iter().flatten().count();
        assert_eq!(
            (known(&ENGLISH_TURNER), known(&WINKELMANN_SCHOTT), known(&MAYER_HAVAS)),
            (11, 12, 23)
        );
        let rows = ExpansionModel::ALL.map(|model| model.accuracy().count());
        assert_eq!(rows, [3, 3, 2, 2, 2]);
    }

    #[test]
    fn a_band_without_leverage_is_the_measured_one() {
        for model in ExpansionModel::ALL.into_iter().skip(1) {
            let measured = model.accuracy().map(|row| row.ninety_percent_within);
            assert!(
                measured.into_iter().any(|width| width == model.flat_band()),
                "{}",
                model.name()
            );
        }
    }
}
