//! What is said beside a clay's numbers, in words.

use glost_core::evidence::ware::{
    BRICK_SATURATION_LIMIT, BarAdvice, ClaySaid, FloorWhy, FrostWhy, NextFiring, QUARTZ_INVERSION_CELSIUS, RatioSaid,
    RatioSide, TablewareWhy, WallTileWhy, Why,
};
use glost_desk::clay::ClayWords;

/// As a sentence, or as the words behind a colon.
pub(crate) fn clay_words(said: &ClayWords) -> String {
    match said {
        ClayWords::Assumed(said) => assumed(said),
        ClayWords::Why(reason) => why(*reason),
        ClayWords::SourceOf(reason) => source_of(*reason).to_owned(),
        ClayWords::Next(advice) => next(advice),
        ClayWords::GroupIsComparison => "The tile standard (ISO 13006, EN 14411) is for extruded and dry-pressed tile: hand-made tile and pieces under 7 cm lie outside it, so its group is a comparison only.".to_owned(),
        ClayWords::OwnFrostTest => "Own frost test: saturate at least ten glazed pieces with backs and cut edges as they will be set, freeze and thaw 50 to 100 times, and every ten look with ink and weigh.".to_owned(),
        ClayWords::NoPromise => "No number here clears a piece for frost, food or wear: other firings, other lots, thick places, backs and cut edges, and the glaze itself decide. Absorption also hangs on the method (2 h or 5 h of boiling, or vacuum).".to_owned(),
        ClayWords::ExpansionMisses {
            range_given,
            misses_quartz,
            measured,
        } => expansion_misses(*range_given, *misses_quartz, *measured),
    }
}

fn assumed(said: &ClaySaid) -> String {
    match said {
        ClaySaid::WrittenFiner { step_grams } => {
            format!("weights are written to {step_grams} g, so scales of that step are taken to have weighed them")
        }
        ClaySaid::LightBar { least_grams } => {
            format!("a bar under {least_grams:.0} g tells little: use heavier ones")
        }
        ClaySaid::FewBars { bars } => format!(
            "{} stands for all the clay: how bars differ isn't in the error; three would show it",
            if *bars == 1 { "one bar" } else { "two bars" }
        ),
        ClaySaid::SoakedCold => "only soaked cold: boiling finds more, and the standards boil".to_owned(),
        ClaySaid::AsPrinted => {
            "absorption as printed, at the maker's firing: yours may differ by a point or more".to_owned()
        }
        ClaySaid::TableCounts => "the dilatometer's table counts, not the printed expansion".to_owned(),
        ClaySaid::Expansion(said) => super::fit_said::expansion_said(said),
        ClaySaid::UnknownCone { cone } => {
            format!("`cone: {cone}` is no cone that Glost knows, so no hotter one is named")
        }
    }
}

fn expansion_misses(range_given: bool, misses_quartz: bool, measured: bool) -> String {
    let quartz = format!(
        "{QUARTZ_INVERSION_CELSIUS:.0} C, where quartz in the clay shrinks by about 0.45 % of its own length on cooling"
    );
    let range = match (range_given, misses_quartz) {
        (true, true) => format!("what happens at {quartz}"),
        (true, false) => format!("how much of it happens at {quartz}"),
        (false, _) => format!("what happens at {quartz}, for its temperatures aren't given"),
    };
    let whose = if measured {
        "It holds for the firing of the piece that was measured"
    } else {
        "It is of the maker's firing, not of yours: cristobalite and glass grow with every firing"
    };
    format!("{range}. {whose}.")
}

fn next(next: &NextFiring) -> String {
    const HEED: &str = "weigh, measure and look for bloating, glaze on one of each for colour; stay within what the clay's maker allows";
    match (next.advice, next.cones.as_slice()) {
        (BarAdvice::WeighFirst, _) => "Fire three bars as you fire your ware; weigh them dry, after 24 h in cold water, and after 5 h of boiling."
            .to_owned(),
        (BarAdvice::TightAlready, _) => "It is tight at this firing; hotter may bloat or slump it. Weigh three bars from the coolest shelf, for that is where it drinks first."
            .to_owned(),
        (BarAdvice::Hotter, []) => format!("Fire three bars about 20 C and three about 40 C hotter: {HEED}."),
        (BarAdvice::Hotter, [(name, celsius)]) => {
            format!("Fire three bars to cone {name} (about {celsius:.0} C): {HEED}.")
        }
        (BarAdvice::Hotter, [(one, at_one), (two, at_two), ..]) => format!(
            "Fire three bars to cone {one} (about {at_one:.0} C) and three to cone {two} (about {at_two:.0} C; self-supporting cones at 60 C/h): {HEED}."
        ),
    }
}

fn why(why: Why) -> String {
    match why {
        Why::NotWeighed => "absorption isn't known: weigh three fired bars dry, soaked and boiled".to_owned(),
        Why::Tableware(why) => tableware(why).to_owned(),
        Why::WallTile(why) => wall_tile(why).to_owned(),
        Why::Floor(why) => floor(why).to_owned(),
        Why::Outdoor {
            frost: by_absorption,
            ratio: saturation,
            high_risk,
        } => {
            let mut words = frost(by_absorption).to_owned();
            if let Some(saturation) = saturation {
                words = format!("{words}. {}", ratio(saturation));
            }
            if high_risk {
                words.push_str(
                    ". What may help: a hotter firing and bars weighed again, a tighter clay, a cover, drainage, no level ledge",
                );
            }
            words + ". Any crazing: not outdoors, so see to fit first"
        }
    }
}

fn source_of(why: Why) -> &'static str {
    match why {
        Why::NotWeighed | Why::Tableware(_) => "common practice, no source",
        Why::WallTile(_) => "ISO 10545-11 (from memory); the rest common practice, no source",
        Why::Floor(_) => "ISO 13006 groups as orientation; the rest common practice, no source",
        Why::Outdoor { .. } => {
            "ASTM C216 for the ratio (brick, from memory); absorption in frost: rule of practice around EN 14411"
        }
    }
}

fn tableware(why: TablewareWhy) -> &'static str {
    match why {
        TablewareWhy::Tight => {
            "tight; an unglazed foot stays nearly dry. Cutlery marks and leaching are tests of the glaze, not of the clay"
        }
        TablewareWhy::TightEnough => "tight enough for most makers; look at the unglazed foot after a night in water",
        TablewareWhy::Seeps => {
            "glaze all over, no crazing; it may seep through the foot, mark a table and heat up in a microwave oven"
        }
        TablewareWhy::Drinks => {
            "earthenware: glaze all over and no crazing, for a crazed or bare place drinks; it swells with moisture for years, so crazing can come late; it heats up in a microwave oven"
        }
    }
}

fn wall_tile(why: WallTileWhy) -> &'static str {
    match why {
        WallTileWhy::Swells => {
            "usual indoors for glazed tile, but moisture swells it for years: late crazing is its way to fail (laboratories steam it: ISO 10545-11); keep it out of wet rooms' floors and of frost"
        }
        WallTileWhy::Serves => {
            "indoors any absorption of this size serves; whether the glaze holds is seen on tiles of some age"
        }
    }
}

fn floor(why: FloorWhy) -> &'static str {
    match why {
        FloorWhy::Tight => {
            "tight enough; strength, wear, slip and scratching are what floors fail by, and absorption says nothing of them"
        }
        FloorWhy::LightUse => {
            "lightly used floors only, thick and fully bedded; strength, wear and slip are not told by absorption"
        }
        FloorWhy::Weak => {
            "porous tile is weak: corners and edges break under feet; the standard lists this group for walls, glazed"
        }
    }
}

fn frost(why: FrostWhy) -> &'static str {
    match why {
        FrostWhy::TooThirsty => "above 6 % is not recommended outdoors where it freezes",
        FrostWhy::PoresFill => "frost: not for a seat, a ledge or any flat place where water stands",
        FrostWhy::Doubtful => {
            "doubtful in frost: upright, drained and covered at the most, and only after a test of your own"
        }
        FrostWhy::FarBetter => {
            "far better than a thirsty clay, and still no promise: vitrified pieces fail in frost too; test it as it will be set"
        }
        FrostWhy::NextToNothing => {
            "takes up next to nothing and rarely fails, and still no promise: water behind a tile or in a craze breaks it; test it as it will be set"
        }
    }
}

fn ratio(ratio: RatioSaid) -> String {
    let RatioSaid {
        value,
        plus_minus: off,
        side,
    } = ratio;
    let limit = BRICK_SATURATION_LIMIT;
    let against = match side {
        RatioSide::SaysNothing => {
            return format!(
                "C/B says nothing here: so little water was taken up that its error is {off:.1}; a heavier bar or finer scales would tell"
            );
        }
        RatioSide::Above => format!(
            "above the {limit} that brick for hard frost may have: cold water alone nearly fills its pores and leaves ice no room"
        ),
        RatioSide::Below => {
            format!("under the {limit} that brick for hard frost may have, a brick limit used for orientation")
        }
        RatioSide::TooNear => {
            format!("too near the {limit} that brick for hard frost may have to say which side it is on")
        }
    };
    let decimals = if off < 0.0095 { 3 } else { 2 };
    format!("C/B {value:.2} +/- {off:.decimals$} is {against}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn every_reason() -> Vec<Why> {
        let tableware = [
            TablewareWhy::Tight,
            TablewareWhy::TightEnough,
            TablewareWhy::Seeps,
            TablewareWhy::Drinks,
        ];
        let floors = [FloorWhy::Tight, FloorWhy::LightUse, FloorWhy::Weak];
        let mut all = vec![Why::NotWeighed];
        all.extend(tableware.map(Why::Tableware));
        all.extend([WallTileWhy::Swells, WallTileWhy::Serves].map(Why::WallTile));
        all.extend(floors.map(Why::Floor));
        for frost in [
            FrostWhy::TooThirsty,
            FrostWhy::PoresFill,
            FrostWhy::Doubtful,
            FrostWhy::FarBetter,
            FrostWhy::NextToNothing,
        ] {
            let sides = [
                RatioSide::SaysNothing,
                RatioSide::Above,
                RatioSide::Below,
                RatioSide::TooNear,
            ];
            all.extend(sides.map(|side| Why::Outdoor {
                frost,
                ratio: Some(RatioSaid {
                    value: 0.8,
                    plus_minus: 0.1,
                    side,
                }),
                high_risk: true,
            }));
        }
        all
    }

    #[test]
    fn no_word_clears_a_piece() {
        for reason in every_reason() {
            let words = why(reason).to_lowercase();
            for never in [
                "frost proof",
                "frostproof",
                "frost-proof",
                "food safe",
                "waterproof",
                "will not craze",
            ] {
                assert!(!words.contains(never), "{words}");
            }
        }
    }

    #[test]
    fn a_thirsty_clay_is_told_what_to_heed() {
        let cups = why(Why::Tableware(TablewareWhy::Seeps));
        for heed in ["glaze all over", "no crazing", "seep", "microwave"] {
            assert!(cups.contains(heed), "{cups}");
        }
    }
}
