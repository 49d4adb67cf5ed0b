//! What came of an adjustment, and its JSON.

use glost_chemistry::glass::MeltRefusal;
use glost_chemistry::glaze::{Glaze, Portion};
use glost_chemistry::oxides::OxideMoles;
use glost_chemistry::quantity::Grams;
use glost_core::recipes::adjust::{Binding, Least, Miss, Outlook, Unasked};
use serde::{Serialize, Serializer};

use crate::Said;
use crate::wire::{Offer, OfferJson};

use super::fit::{FitJson, FitWays, WorkedWay};
use super::ladders::Ladders;
use super::melt::InStep;
use super::sure::{Sure, SureJson};

/// A change of a share that is no change, in parts.
const LEAST_CHANGE_PARTS: f64 = 0.05;

/// A recipe; or ladders, for a powder whose recipe nobody tells.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
#[serde(untagged)]
pub enum Answer {
    /// An adjustment of a recipe.
    Recipe(Box<Adjusted>),
    /// Series of tiles for a powder.
    Ladders(Box<Ladders>),
}

impl crate::Answer for Answer {
    /// No recipe was found.
    fn says_no(&self) -> bool {
        match self {
            Answer::Recipe(adjusted) => !matches!(adjusted.outcome, Outcome::Possible { .. }),
            Answer::Ladders(_) => true,
        }
    }
}

/// A recipe with what it is worth.
#[derive(Debug, Clone)]
pub struct Recipe {
    /// The recipe.
    pub offer: Offer,
    /// Its expansion by the default model, 1e-6/K.
    pub expansion: Option<f64>,
}

impl Recipe {
    /// Shares that moved since, in parts, the largest move first.
    pub(super) fn changes_from(&self, old: &Glaze) -> Vec<(String, f64)> {
        let before = |name: &str| {
            let same = old.portions().find(|portion| portion.material.name == name);
            same.map_or(0.0, |portion| portion.percent)
        };
        let portions = self.offer.proposal.glaze.portions();
        let mut moved: Vec<(String, f64)> = portions
            .map(|portion| {
                let name = &portion.material.name;
                (name.clone(), portion.percent - before(name))
            })
            .filter(|(_, change)| change.abs() >= LEAST_CHANGE_PARTS)
            .collect();
        moved.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
        moved
    }
}

/// What came of it.
#[derive(Debug, Clone)]
pub enum Outcome {
    /// A recipe that meets every aim.
    Possible {
        /// It.
        recipe: Box<Recipe>,
        /// Change or cost.
        objective: f64,
        /// Whether it is proven best.
        certified: bool,
        /// What holds it back.
        binding: Vec<Binding>,
        /// Oxides that move though no aim is about them.
        unasked: Vec<Unasked>,
        /// How sure it is, where that was asked.
        sure: Option<Box<Sure>>,
    },
    /// None.
    Impossible {
        /// Aims that can't hold together.
        clash: Vec<String>,
        /// Further clashes.
        other_clashes: usize,
        /// The recipe that misses least.
        nearest: Option<Box<Recipe>>,
        /// What it misses.
        misses: Vec<Miss>,
        /// Whether the clash is proven.
        certified: bool,
        /// How sure one can be at most, where only the chance is out of reach.
        surest: Option<f64>,
    },
    /// The melt curve refuses the old glaze, and the melt was asked for.
    Refused {
        /// Why.
        reasons: Vec<MeltRefusal>,
    },
}

impl Outcome {
    /// The recipe that meets every aim, else the nearest.
    pub fn recipe(&self) -> Option<&Recipe> {
        match self {
            Outcome::Possible { recipe, .. } => Some(recipe),
            Outcome::Impossible { nearest, .. } => nearest.as_deref(),
            Outcome::Refused { .. } => None,
        }
    }

    pub(super) fn recipe_mut(&mut self) -> Option<&mut Recipe> {
        match self {
            Outcome::Possible { recipe, .. } => Some(recipe),
            Outcome::Impossible { nearest, .. } => nearest.as_deref_mut(),
            Outcome::Refused { .. } => None,
        }
    }
}

/// An adjustment of a glaze.
#[derive(Debug, Clone)]
pub struct Adjusted {
    /// What came of it.
    pub outcome: Outcome,
    /// What a clay's window asked, and the distinct ways to meet it.
    pub fit: Option<FitWays>,
    /// What stands against the recipe's melting where it is fired.
    pub outlook: Vec<Outlook>,
    /// Whether an aim is on the melt.
    pub melts: bool,
    /// The other way to a cone, to be made on the same strip.
    pub in_step: Option<InStep>,
    /// Additions of unknown analysis: held at their per cents, not counted.
    pub held: Vec<Portion>,
    /// Shares that moved, in parts, the largest move first.
    pub changes: Vec<(String, f64)>,
    /// The old glaze.
    pub old: Glaze,
    /// Its unity formula.
    pub old_unity: OxideMoles,
    /// What was made least.
    pub least: Least,
    /// The studio's currency.
    pub currency: Option<String>,
    /// What the weighed column is for.
    pub dry: Grams,
    /// The step of the scales.
    pub step: Grams,
}

#[derive(Serialize, schemars::JsonSchema)]
struct BindingJson<'a> {
    aim: &'a str,
    quantity: &'a str,
    bound: f64,
    price: f64,
    per: &'a str,
}

#[derive(Serialize, schemars::JsonSchema)]
struct UnaskedJson {
    oxide: &'static str,
    before: f64,
    after: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct MissJson<'a> {
    aim: &'a str,
    quantity: &'a str,
    bound: f64,
    reached: f64,
}

/// Keys of an answer where a clay's window was the aim.
#[derive(Serialize, schemars::JsonSchema)]
struct WaysJson<'a> {
    fit: FitJson<'a>,
    ways: &'a [WorkedWay],
}

#[derive(Serialize, schemars::JsonSchema)]
struct PossibleJson<'a> {
    possible: bool,
    certified: bool,
    proposal: &'a Offer,
    expansion: Option<f64>,
    objective: f64,
    binding: Vec<BindingJson<'a>>,
    unasked: Vec<UnaskedJson>,
    sure: Option<SureJson<'a>>,
    clash: [&'a str; 0],
    nearest: Option<Offer>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    #[schemars(with = "Vec<serde_json::Value>")]
    melt_outlook: &'a [Outlook],
    #[serde(skip_serializing_if = "Option::is_none")]
    in_step: Option<&'a Offer>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    held: Vec<HeldJson<'a>>,
    #[serde(flatten)]
    fit: Option<WaysJson<'a>>,
}

/// An addition that is held as a weight.
#[derive(Serialize, schemars::JsonSchema)]
struct HeldJson<'a> {
    material: &'a str,
    percent: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct NearestJson<'a> {
    #[serde(flatten)]
    offer: OfferJson<'a, Option<f64>>,
    misses: Vec<MissJson<'a>>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ImpossibleJson<'a> {
    possible: bool,
    certified: bool,
    proposal: Option<Offer>,
    objective: Option<f64>,
    binding: [&'a str; 0],
    clash: &'a [String],
    other_clashes: usize,
    surest: Option<f64>,
    reasons: Vec<Said>,
    nearest: Option<NearestJson<'a>>,
    #[serde(flatten)]
    fit: Option<WaysJson<'a>>,
}

impl Serialize for Adjusted {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let fit = |found: bool| {
            self.fit.as_ref().map(|fit| WaysJson {
                fit: fit.json(found),
                ways: &fit.ways,
            })
        };
        match &self.outcome {
            Outcome::Possible {
                recipe,
                objective,
                certified,
                binding,
                unasked,
                sure,
            } => PossibleJson {
                possible: true,
                certified: *certified,
                proposal: &recipe.offer,
                expansion: recipe.expansion,
                objective: *objective,
                binding: binding.iter().map(BindingJson::from).collect(),
                unasked: unasked.iter().map(UnaskedJson::from).collect(),
                sure: sure
                    .as_ref()
                    .map(|sure| sure.json(recipe, *objective, self.currency.as_deref())),
                clash: [],
                nearest: None,
                melt_outlook: &self.outlook,
                in_step: self.in_step.as_ref().map(|other| &other.recipe.offer),
                held: self
                    .held
                    .iter()
                    .map(|portion| HeldJson {
                        material: &portion.material.name,
                        percent: portion.percent,
                    })
                    .collect(),
                fit: fit(true),
            }
            .serialize(to),
            Outcome::Impossible {
                clash,
                other_clashes,
                nearest,
                misses,
                certified,
                surest,
            } => ImpossibleJson {
                possible: false,
                certified: *certified,
                proposal: None,
                objective: None,
                binding: [],
                clash,
                other_clashes: *other_clashes,
                surest: *surest,
                reasons: Vec::new(),
                nearest: nearest.as_ref().map(|nearest| NearestJson {
                    offer: nearest.offer.shape(nearest.expansion),
                    misses: misses.iter().map(MissJson::from).collect(),
                }),
                fit: fit(false),
            }
            .serialize(to),
            Outcome::Refused { reasons } => ImpossibleJson {
                possible: false,
                certified: false,
                proposal: None,
                objective: None,
                binding: [],
                clash: &[],
                other_clashes: 0,
                surest: None,
                reasons: reasons.iter().cloned().map(Said::MeltRefused).collect(),
                nearest: None,
                fit: None,
            }
            .serialize(to),
        }
    }
}

crate::wire::written_as!(Adjusted: PossibleJson<'_>, ImpossibleJson<'_>);

impl<'a> From<&'a Binding> for BindingJson<'a> {
    fn from(binding: &'a Binding) -> BindingJson<'a> {
        BindingJson {
            aim: &binding.aim,
            quantity: &binding.quantity,
            bound: binding.bound,
            price: binding.price,
            per: &binding.per,
        }
    }
}

impl<'a> From<&'a Miss> for MissJson<'a> {
    fn from(miss: &'a Miss) -> MissJson<'a> {
        MissJson {
            aim: &miss.aim,
            quantity: &miss.quantity,
            bound: miss.bound,
            reached: miss.reached,
        }
    }
}

impl From<&Unasked> for UnaskedJson {
    fn from(moved: &Unasked) -> UnaskedJson {
        UnaskedJson {
            oxide: moved.oxide.formula(),
            before: moved.before_moles,
            after: moved.after_moles,
        }
    }
}
