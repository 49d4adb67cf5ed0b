//! Which tile to fire next: the one whose result narrows the threshold most.

use glost_chemistry::glass::ExpansionModel;
use glost_chemistry::oxides::{Oxide, OxideGrams, OxideMoles};

use super::learn::{Question, Window};
use super::look::{Believed, Known, Witness};

/// Pieces of one test, and their age when they are looked at (common practice: five cups,
/// looked at after a month).
const TEST_PIECES: u32 = 5;
/// Days until a test is looked at.
const TEST_DAYS: f64 = 30.0;
/// Steps of a silica ladder, wt % on the base.
pub const LADDER_PERCENT: [f64; 4] = [0.0, 3.0, 6.0, 9.0];
/// What 1 % silica does to a glaze of unknown recipe, 1e-6/K: about what the default model
/// says for gloss glazes (-0.04 to -0.07). Its direction is known, its size is a guess.
const UNKNOWN_PER_PERCENT_SILICA: f64 = -0.05;

/// One tile that could be fired next.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Silica on top of the base, wt %.
    pub silica_percent: f64,
    /// Its expansion, 1e-6/K, where the glaze's is computed.
    pub expansion: Option<f64>,
    /// The chance that it crazes within three years, by what is known now.
    pub p_craze: f64,
    /// By how much its result is expected to reduce the threshold's variance, 0 to 1.
    pub reduces_variance_by: f64,
}

/// The steps of a silica ladder, the most telling first. `moles` is the fired glaze for 100 g
/// of base, where it is known. Ties go to less silica.
pub fn ladder(window: &Window, question: &Question, moles: Option<&OxideMoles>) -> Vec<Candidate> {
    let variance = window.craze.variance();
    let own = question.own.and_then(|index| window.witnesses.get(index));
    let fresh = |believed: Believed| Witness {
        glaze: String::new(),
        version: None,
        believed,
        looks: Vec::new(),
    };
    let mut found: Vec<Candidate> = LADDER_PERCENT
        .into_iter()
        .map(|silica_percent| {
            let with_silica = moles.filter(|_| question.believed.known == Known::Computed);
            let with_silica = with_silica.and_then(|moles| expansion_with(moles, silica_percent));
            // A glaze with chemistry is a glaze of its own at each step; a powder's steps
            // share what nobody knows of the powder.
            let (witness, shift) = match (with_silica, own) {
                (Some(expansion), _) if silica_percent > 0.0 => {
                    let mut believed = question.believed;
                    believed.belief.mean = expansion;
                    (fresh(believed), 0.0)
                }
                (_, Some(own)) => (own.clone(), UNKNOWN_PER_PERCENT_SILICA * silica_percent),
                (_, None) => (fresh(question.believed), UNKNOWN_PER_PERCENT_SILICA * silica_percent),
            };
            let after = window.craze.expected_variance(&witness, shift, TEST_PIECES, TEST_DAYS);
            Candidate {
                silica_percent,
                expansion: with_silica,
                p_craze: window.craze.chance_shifted(&witness, shift),
                reduces_variance_by: (1.0 - after / variance).max(0.0),
            }
        })
        .collect();
    found.sort_by(|one, other| {
        other
            .reduces_variance_by
            .total_cmp(&one.reduces_variance_by)
            .then(one.silica_percent.total_cmp(&other.silica_percent))
    });
    found
}

/// The default model's expansion, 1e-6/K, of a glaze with more silica on 100 g of its base.
fn expansion_with(moles: &OxideMoles, silica_percent: f64) -> Option<f64> {
    let silica = OxideGrams::new([(Oxide::SiO2, silica_percent)])?.to_moles();
    let mut with = moles.clone();
    with.add_scaled(1.0, &silica);
    ExpansionModel::default().value(&with)
}
