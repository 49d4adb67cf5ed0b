//! What a clay's absorption says for a use, in careful words.
//!
//! Absorption is a hint, never a clearance: frost, wear, strength and food contact are each a
//! test of their own. So the best standing there is here is [`Standing::Usual`], and outdoors
//! none reaches it.

use glost_chemistry::glaze::Use;
use serde::Serialize;

use super::absorption::Absorption;
use super::clay::Clay;
use super::measured::Measured;

/// The saturation ratio that frost-resisting facing brick may have at most (ASTM C216, grade
/// for severe weathering; from memory). A brick limit: orientation for other ware.
pub const BRICK_SATURATION_LIMIT: f64 = 0.78;

/// How a use stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Within what is usual for it.
    Usual,
    /// It can be done, with what the words say.
    WithCare,
    /// Many pieces are likely to fail.
    HighRisk,
    /// Nothing is known that would tell.
    NotKnown,
}

impl Standing {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Standing::Usual => "usual",
            Standing::WithCare => "with care",
            Standing::HighRisk => "high risk",
            Standing::NotKnown => "not known",
        }
    }
}

/// What is said about one use.
#[derive(Debug, Clone, PartialEq)]
pub struct Suitability {
    /// The use.
    pub usage: Use,
    /// How it stands.
    pub standing: Standing,
    /// Why, and what to heed.
    pub why: Why,
}

/// Why a use stands as it does. Tableware: common practice, no source. Wall tile: late
/// crazing by moisture is ISO 10545-11 (from memory), the rest common practice. Floors: the
/// groups of ISO 13006 as orientation, the rest common practice. Outdoors: ASTM C216 for the
/// ratio (brick, from memory); absorption in frost is a rule of practice around EN 14411.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Why {
    /// Its absorption isn't known.
    NotWeighed,
    /// Plates and cups.
    Tableware(TablewareWhy),
    /// Tile on walls.
    WallTile(WallTileWhy),
    /// Tile on floors.
    Floor(FloorWhy),
    /// Where it freezes.
    Outdoor {
        /// By absorption.
        frost: FrostWhy,
        /// By the saturation ratio, where it is known.
        ratio: Option<RatioSaid>,
        /// Whether many pieces are likely to fail.
        high_risk: bool,
    },
}

/// How a clay does for tableware.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TablewareWhy {
    /// Up to 1 %.
    Tight,
    /// Up to 3 %.
    TightEnough,
    /// Up to 7 %: it may seep.
    Seeps,
    /// Above: earthenware, which drinks.
    Drinks,
}

/// How a clay does for wall tile.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WallTileWhy {
    /// Above 10 %: moisture swells it for years.
    Swells,
    /// Less.
    Serves,
}

/// How a clay does for floors.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FloorWhy {
    /// Up to 3 %.
    Tight,
    /// Up to 10 %.
    LightUse,
    /// Above: weak.
    Weak,
}

/// How a clay does in frost, by its absorption.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FrostWhy {
    /// Above 6 %.
    TooThirsty,
    /// Above 3 %, and its pores fill.
    PoresFill,
    /// Above 3 %.
    Doubtful,
    /// Above 0.5 %.
    FarBetter,
    /// Next to nothing is taken up.
    NextToNothing,
}

/// The saturation ratio beside the brick limit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct RatioSaid {
    /// Cold over boiled uptake.
    pub value: f64,
    /// Its 90 % half-width.
    pub plus_minus: f64,
    /// Which side of [`BRICK_SATURATION_LIMIT`] it is on.
    pub side: RatioSide,
}

/// Where the saturation ratio lies against the brick limit, its error counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RatioSide {
    /// So little was taken up that it says nothing.
    SaysNothing,
    /// Above.
    Above,
    /// Below.
    Below,
    /// Too near to tell.
    TooNear,
}

/// The four uses that absorption says something about, in the order of [`Use::ALL`].
pub fn suitability(clay: &Clay, weighed: Option<&Absorption>) -> Vec<Suitability> {
    let Some(percent) = clay.absorption() else {
        return [Use::Tableware, Use::WallTile, Use::Floor, Use::Outdoor]
            .map(unknown)
            .into();
    };
    let saturation = weighed.and_then(|weighed| weighed.saturation);
    vec![
        tableware(percent),
        wall_tile(percent),
        floor(percent),
        outdoor(percent, saturation),
    ]
}

fn unknown(usage: Use) -> Suitability {
    Suitability {
        usage,
        standing: Standing::NotKnown,
        why: Why::NotWeighed,
    }
}

fn tableware(percent: f64) -> Suitability {
    let (standing, why) = if percent <= 1.0 {
        (Standing::Usual, TablewareWhy::Tight)
    } else if percent <= 3.0 {
        (Standing::Usual, TablewareWhy::TightEnough)
    } else if percent <= 7.0 {
        (Standing::WithCare, TablewareWhy::Seeps)
    } else {
        (Standing::WithCare, TablewareWhy::Drinks)
    };
    Suitability {
        usage: Use::Tableware,
        standing,
        why: Why::Tableware(why),
    }
}

fn wall_tile(percent: f64) -> Suitability {
    let (standing, why) = if percent > 10.0 {
        (Standing::WithCare, WallTileWhy::Swells)
    } else {
        (Standing::Usual, WallTileWhy::Serves)
    };
    Suitability {
        usage: Use::WallTile,
        standing,
        why: Why::WallTile(why),
    }
}

fn floor(percent: f64) -> Suitability {
    let (standing, why) = if percent <= 3.0 {
        (Standing::WithCare, FloorWhy::Tight)
    } else if percent <= 10.0 {
        (Standing::WithCare, FloorWhy::LightUse)
    } else {
        (Standing::HighRisk, FloorWhy::Weak)
    };
    Suitability {
        usage: Use::Floor,
        standing,
        why: Why::Floor(why),
    }
}

fn outdoor(percent: f64, saturation: Option<Measured>) -> Suitability {
    let ratio = saturation.map(ratio_said);
    let full = ratio.is_some_and(|ratio| ratio.side == RatioSide::Above);
    let (standing, frost) = if percent > 6.0 {
        (Standing::HighRisk, FrostWhy::TooThirsty)
    } else if full && percent > 3.0 {
        (Standing::HighRisk, FrostWhy::PoresFill)
    } else if percent > 3.0 {
        (Standing::WithCare, FrostWhy::Doubtful)
    } else if percent > 0.5 {
        (Standing::WithCare, FrostWhy::FarBetter)
    } else {
        (Standing::WithCare, FrostWhy::NextToNothing)
    };
    Suitability {
        usage: Use::Outdoor,
        standing,
        why: Why::Outdoor {
            frost,
            ratio,
            high_risk: standing == Standing::HighRisk,
        },
    }
}

fn ratio_said(ratio: Measured) -> RatioSaid {
    let off = ratio.plus_minus();
    let limit = BRICK_SATURATION_LIMIT;
    let side = if off > 0.15 {
        RatioSide::SaysNothing
    } else if ratio.value - off > limit {
        RatioSide::Above
    } else if ratio.value + off < limit {
        RatioSide::Below
    } else {
        RatioSide::TooNear
    };
    RatioSaid {
        value: ratio.value,
        plus_minus: off,
        side,
    }
}
