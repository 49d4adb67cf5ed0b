//! A recipe card as it is answered.

use glost_chemistry::glaze::{Atmosphere, Use};
use glost_chemistry::quantity::{Date, Millilitres};
use glost_core::evidence::notes::Note;
use glost_core::workshop::label::Wetness;
use serde::{Serialize, Serializer};

use crate::wire::Amounts;
use crate::{PageFile, Said, lab};

/// The sizes of a card (ISO 216).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum CardPaper {
    /// 105 x 148 mm.
    #[default]
    A6,
    /// 148 x 210 mm.
    A5,
}

impl CardPaper {
    /// All of them.
    pub const ALL: [CardPaper; 2] = [CardPaper::A6, CardPaper::A5];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            CardPaper::A6 => "A6",
            CardPaper::A5 => "A5",
        }
    }

    /// Width and height in mm, upright.
    pub const fn size_mm(self) -> (f64, f64) {
        match self {
            CardPaper::A6 => (105.0, 148.0),
            CardPaper::A5 => (148.0, 210.0),
        }
    }
}

/// A recipe card.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct Answer {
    /// The glaze.
    pub glaze: String,
    /// Its cone.
    pub cone: Option<String>,
    /// The peak of its firing, degrees Celsius.
    pub peak_celsius: Option<f64>,
    /// The kiln's atmosphere.
    #[schemars(with = "Option<String>")]
    pub atmosphere: Option<Atmosphere>,
    /// The clay it goes on.
    pub clay: Option<String>,
    /// What it is used for.
    #[serde(rename = "use")]
    #[schemars(with = "Option<String>")]
    pub usage: Option<Use>,
    /// The package that the recipe came with, and its version.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub package: Option<String>,
    /// The version that the notebook has this recipe as.
    pub version: Option<String>,
    /// The base in shares of 100.
    pub parts: Amounts,
    /// What comes on top, per cent of the base.
    pub additions: Amounts,
    /// Weights; none of what no ticket is made of.
    pub batches: Vec<Batch>,
    /// Grams of base that these scales can't do.
    pub unweighed: Vec<Unweighed>,
    /// The step of the scales, grams.
    pub step_grams: f64,
    /// Water to a kilogram of dry powder, where the recipe says how wet.
    pub water_millilitres_per_kg: Option<f64>,
    /// Its slurry's density, g/ml: as the recipe says, else by its water.
    pub density: Option<f64>,
    /// What it looked like, the latest first.
    pub looks: Vec<Look>,
    /// Cautions from what is in it.
    pub cautions: Vec<Said>,
    /// The latest laboratory's report, where one is kept.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub laboratory: Option<lab::Brief>,
    /// How wet it should be, and how that is known.
    #[serde(skip)]
    pub wetness: Option<Wetness>,
    /// The studio's cup.
    #[serde(skip)]
    pub cup: Millilitres,
    /// The card to print.
    #[serde(skip)]
    pub page: Option<PageFile>,
    /// Its paper.
    #[serde(skip)]
    pub paper: CardPaper,
}

impl crate::Answer for Answer {}

/// A metal whose recipes are for arithmetic only.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Locked {
    /// The metal.
    pub metal: &'static str,
    /// The material that brings it.
    pub material: String,
}

/// A batch at the scales' step.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Batch {
    /// Grams of base asked for.
    pub base_grams: f64,
    /// Grams of all that is weighed, additions too.
    pub dry_grams: f64,
    /// Grams of each material on the scales.
    pub grams: Amounts,
    /// Materials whose weight is off by more than 5 % on these scales.
    pub cannot_weigh: Vec<String>,
    /// Each line of the recipe.
    #[serde(skip)]
    pub lines: Vec<Weight>,
}

/// What a line of the recipe weighs.
#[derive(Debug, Clone, PartialEq)]
pub struct Weight {
    /// The material.
    pub material: String,
    /// Grams on the scales.
    pub grams: f64,
    /// Whether it comes on top of the base.
    pub is_addition: bool,
}

/// Grams of base that the scales can't do.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Unweighed(pub f64);

/// A look at pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Look(pub Note);

#[derive(Serialize, schemars::JsonSchema)]
struct LookJson<'a> {
    #[schemars(with = "String")]
    on: Date,
    version: Option<&'a str>,
    clay: Option<&'a str>,
    cone: Option<&'a str>,
    seen: Said,
    text: Option<&'a str>,
    line: usize,
}

impl Serialize for Look {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let note = &self.0;
        LookJson {
            on: note.on,
            version: note.version.as_deref(),
            clay: note.clay.as_deref(),
            cone: note.cone.as_deref(),
            seen: Said::Seen(Box::new(note.clone())),
            text: note.text.as_deref(),
            line: note.line,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Look: LookJson<'_>);
