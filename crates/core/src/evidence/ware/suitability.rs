//! What a clay's absorption says for a use, in careful words.
//!
//! Absorption is a hint, never a clearance: frost, wear, strength and food contact are each a
//! test of their own. So the best standing there is here is [`Standing::Usual`], and outdoors
//! none reaches it.

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
    /// One of [`USES`](glost_chemistry::glaze::USES).
    pub usage: &'static str,
    /// How it stands.
    pub standing: Standing,
    /// Why, and what to heed.
    pub words: String,
    /// Where that is from.
    pub source: &'static str,
}

/// The four uses that absorption says something about, in the order of [`USES`](glost_chemistry::glaze::USES).
pub fn suitability(clay: &Clay, weighed: Option<&Absorption>) -> Vec<Suitability> {
    let Some(percent) = clay.absorption() else {
        return ["tableware", "wall tile", "floor", "outdoor"].map(unknown).into();
    };
    let saturation = weighed.and_then(|weighed| weighed.saturation);
    vec![
        tableware(percent),
        wall_tile(percent),
        floor(percent),
        outdoor(percent, saturation),
    ]
}

const PRACTICE: &str = "common practice, no source";

fn unknown(usage: &'static str) -> Suitability {
    Suitability {
        usage,
        standing: Standing::NotKnown,
        words: "absorption isn't known: weigh three fired bars dry, soaked and boiled".to_owned(),
        source: PRACTICE,
    }
}

fn tableware(percent: f64) -> Suitability {
    let (standing, words) = if percent <= 1.0 {
        (
            Standing::Usual,
            "tight; an unglazed foot stays nearly dry. Cutlery marks and leaching are tests of the glaze, not of the clay",
        )
    } else if percent <= 3.0 {
        (
            Standing::Usual,
            "tight enough for most makers; look at the unglazed foot after a night in water",
        )
    } else if percent <= 7.0 {
        (
            Standing::WithCare,
            "glaze all over, no crazing; it may seep through the foot, mark a table and heat up in a microwave oven",
        )
    } else {
        (
            Standing::WithCare,
            "earthenware: glaze all over and no crazing, for a crazed or bare place drinks; it swells with moisture for years, so crazing can come late; it heats up in a microwave oven",
        )
    };
    Suitability {
        usage: "tableware",
        standing,
        words: words.to_owned(),
        source: PRACTICE,
    }
}

fn wall_tile(percent: f64) -> Suitability {
    let (standing, words) = if percent > 10.0 {
        (
            Standing::WithCare,
            "usual indoors for glazed tile, but moisture swells it for years: late crazing is its way to fail (laboratories steam it: ISO 10545-11); keep it out of wet rooms' floors and of frost",
        )
    } else {
        (
            Standing::Usual,
            "indoors any absorption of this size serves; whether the glaze holds is seen on tiles of some age",
        )
    };
    Suitability {
        usage: "wall tile",
        standing,
        words: words.to_owned(),
        source: "ISO 10545-11 (from memory); the rest common practice, no source",
    }
}

fn floor(percent: f64) -> Suitability {
    let (standing, words) = if percent <= 3.0 {
        (
            Standing::WithCare,
            "tight enough; strength, wear, slip and scratching are what floors fail by, and absorption says nothing of them",
        )
    } else if percent <= 10.0 {
        (
            Standing::WithCare,
            "lightly used floors only, thick and fully bedded; strength, wear and slip are not told by absorption",
        )
    } else {
        (
            Standing::HighRisk,
            "porous tile is weak: corners and edges break under feet; the standard lists this group for walls, glazed",
        )
    };
    Suitability {
        usage: "floor",
        standing,
        words: words.to_owned(),
        source: "ISO 13006 groups as orientation; the rest common practice, no source",
    }
}

fn outdoor(percent: f64, saturation: Option<Measured>) -> Suitability {
    let ratio = saturation.map(|ratio| ratio_words(percent, ratio));
    let full = ratio.as_ref().is_some_and(|(fill, _)| *fill == Fill::Above);
    let (standing, mut words) = if percent > 6.0 {
        (
            Standing::HighRisk,
            "above 6 % is not recommended outdoors where it freezes".to_owned(),
        )
    } else if full && percent > 3.0 {
        (
            Standing::HighRisk,
            "frost: not for a seat, a ledge or any flat place where water stands".to_owned(),
        )
    } else if percent > 3.0 {
        (
            Standing::WithCare,
            "doubtful in frost: upright, drained and covered at the most, and only after a test of your own".to_owned(),
        )
    } else if percent > 0.5 {
        (
            Standing::WithCare,
            "far better than a thirsty clay, and still no promise: vitrified pieces fail in frost too; test it as it will be set"
                .to_owned(),
        )
    } else {
        (
            Standing::WithCare,
            "takes up next to nothing and rarely fails, and still no promise: water behind a tile or in a craze breaks it; test it as it will be set"
                .to_owned(),
        )
    };
    if let Some((_, said)) = ratio {
        words = format!("{words}. {said}");
    }
    if standing == Standing::HighRisk {
        words.push_str(
            ". What may help: a hotter firing and bars weighed again, a tighter clay, a cover, drainage, no level ledge",
        );
    }
    words.push_str(". Any crazing: not outdoors, so see to fit first");
    Suitability {
        usage: "outdoor",
        standing,
        words,
        source: "ASTM C216 for the ratio (brick, from memory); absorption in frost: rule of practice around EN 14411",
    }
}

/// Where the saturation ratio lies against the brick limit, its error counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fill {
    Above,
    Below,
    Unsure,
}

fn ratio_words(percent: f64, ratio: Measured) -> (Fill, String) {
    let off = ratio.plus_minus();
    let limit = BRICK_SATURATION_LIMIT;
    if off > 0.15 {
        let words = format!(
            "C/B says nothing here: so little water was taken up that its error is {off:.1}; a heavier bar or finer scales would tell"
        );
        return (Fill::Unsure, words);
    }
    let (fill, against) = if ratio.value - off > limit {
        (
            Fill::Above,
            format!(
                "above the {limit} that brick for hard frost may have: cold water alone nearly fills its pores and leaves ice no room"
            ),
        )
    } else if ratio.value + off < limit {
        (
            Fill::Below,
            format!("under the {limit} that brick for hard frost may have, a brick limit used for orientation"),
        )
    } else {
        (
            Fill::Unsure,
            format!("too near the {limit} that brick for hard frost may have to say which side it is on"),
        )
    };
    let decimals = if off < 0.0095 { 3 } else { 2 };
    let words = format!("C/B {:.2} +/- {off:.decimals$} is {against}", ratio.value);
    // At half a per cent there is hardly a pore to fill.
    (if percent <= 0.5 { Fill::Unsure } else { fill }, words)
}

/// What no number about a clay can promise.
pub const NO_PROMISE: &str = "No number here clears a piece for frost, food or wear: other firings, other lots, thick places, backs and cut edges, and the glaze itself decide. Absorption also hangs on the method (2 h or 5 h of boiling, or vacuum).";

/// How to test pieces that lie outside the standard's sizes and ways of making.
pub const OWN_FROST_TEST: &str = "Own frost test: saturate at least ten glazed pieces with backs and cut edges as they will be set, freeze and thaw 50 to 100 times, and every ten look with ink and weigh.";

/// Why the tile standard's group is a comparison and no more.
pub const GROUP_IS_COMPARISON: &str = "The tile standard (ISO 13006, EN 14411) is for extruded and dry-pressed tile: hand-made tile and pieces under 7 cm lie outside it, so its group is a comparison only.";
