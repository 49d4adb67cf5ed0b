//! Words of adjustments: what a change does besides, ladders for powders.

use glost_core::evidence::window::LADDER_PERCENT;
use glost_core::recipes::adjust::{Outlook, Route};
use glost_desk::adjust::{Ladder, LadderSaid, SideEffect};

use crate::number;

pub(super) fn side_effect(effect: &SideEffect) -> String {
    match effect {
        SideEffect::OfRoute(route) => of_route(*route).to_owned(),
        SideEffect::SilicaToAlumina(before, after) => format!("SiO2:Al2O3 {before:.1} -> {after:.1}"),
        SideEffect::Silica(before, after) => format!("SiO2 {before:.2} -> {after:.2} to the fluxes"),
        SideEffect::MeltsLater(celsius) => {
            let way = if *celsius > 0.0 { "later" } else { "sooner" };
            format!("melts about {:.0} C {way}", celsius.abs())
        }
        SideEffect::Boron(before, after) => format!("boron {} -> {}", number::unity(*before), number::unity(*after)),
        SideEffect::Dissolves(percent) => format!("{percent:+.1} % that dissolves"),
    }
}

/// What such a change is known to do besides (common practice, no source).
fn of_route(route: Route) -> &'static str {
    match route {
        Route::Silica => "stiffer; may want a longer soak",
        Route::Alumina => "stiffer, less glossy; much raw clay shrinks and crawls",
        Route::Magnesia => "much of it turns satin or matt; cobalt goes violet, iron greyer",
        Route::Lithia => "runnier; lithium carbonate dissolves and is harmful, the minerals less so",
        Route::Boron => "may cloud blue; some borates dissolve or gel the bucket",
        Route::Zinc => "spoils chrome greens and browns iron; crystals when much and slow",
        Route::Lime => "stiffer or runnier by the cone; much of it turns matt",
        Route::Alkali => "brighter copper and cobalt; softer, less durable",
    }
}

/// Kaolin's steps, in per cent on the powder.
const KAOLIN_STEPS: &str = "0, 2, 4, 6";

/// What stands against a recipe's melting: a sentence.
pub(crate) fn outlook(outlook: Outlook, fired: Option<&str>) -> String {
    let there = fired.map_or_else(|| "where it is fired".to_owned(), |fired| format!("at {fired}"));
    match outlook {
        Outlook::TooStiff { celsius, at_least } => format!(
            "Won't melt out {there}: by the melt curve it comes {}{celsius:.0} C later.",
            if at_least { "at least " } else { "" }
        ),
        Outlook::NothingMelts { fired_celsius } => format!(
            "Won't melt {there}: no boron to speak of and little alkali, and a raw batch of lime and magnesia hardly \
             melts below some 1150 C ({fired_celsius:.0} C here). Name a boron frit with --with."
        ),
        Outlook::Untold => "How it melts isn't known: the melt curve has no number for it.".to_owned(),
        Outlook::FarFluxes { share } => format!(
            "How it melts isn't known from the old glaze: {:.0} % of its fluxes are others.",
            100.0 * share
        ),
    }
}

fn silica_steps() -> String {
    let percents: Vec<String> = LADDER_PERCENT.iter().map(|percent| number::plain(*percent)).collect();
    percents.join(", ")
}

/// What a ladder does is common practice, no source.
pub(super) fn ladder(said: &LadderSaid) -> String {
    match said {
        LadderSaid::Steps(ladder) => steps(*ladder),
        LadderSaid::Does(ladder) => does(*ladder).to_owned(),
        LadderSaid::Besides(ladder) => besides(*ladder).to_owned(),
        LadderSaid::Command(ladder, glaze) => command(*ladder, glaze),
    }
}

fn steps(ladder: Ladder) -> String {
    match ladder {
        Ladder::Silica => format!("powder + {} %", silica_steps()),
        Ladder::Kaolin => format!("powder + {KAOLIN_STEPS} %"),
        Ladder::Thickness => "one, two and three dips of thinned glaze on one piece".to_owned(),
        Ladder::Firing => "the usual peak, 10 C and 20 C hotter, and the usual with half an hour's soak".to_owned(),
        Ladder::SecondPowder => "a line of four tiles to a powder that holds on this clay".to_owned(),
    }
}

fn does(ladder: Ladder) -> &'static str {
    match ladder {
        Ladder::Silica => "lowers the expansion: the first thing to try against crazing",
        Ladder::Kaolin => "lowers the expansion a little, by alumina and silica both",
        Ladder::Thickness => "a thin coat crazes later than a thick one",
        Ladder::Firing => "takes more silica from body and glaze into the melt, and a harder biscuit swells less",
        Ladder::SecondPowder => "the blend's expansion lies between the two",
    }
}

fn besides(ladder: Ladder) -> &'static str {
    match ladder {
        Ladder::Silica => "melts later; too much goes dull; its dust scars lungs",
        Ladder::Kaolin => "stiffer and less glossy; much of it shrinks on the raw piece and crawls",
        Ladder::Thickness => "less depth of colour; note the millimetres with --thickness",
        Ladder::Firing => {
            "another cone is another clay here; one longer to the same cone counts with the others unless `glost kiln opened --apart`"
        }
        Ladder::SecondPowder => "two makers' powders may not melt alike; gloss and colour move",
    }
}

fn command(ladder: Ladder, glaze: &str) -> String {
    let series = |material: &str, steps: &str| format!("glost blend series \"{glaze}\" --add \"{material} {steps} %\"");
    match ladder {
        Ladder::Silica => series("silica", &silica_steps()),
        Ladder::Kaolin => series("kaolin", KAOLIN_STEPS),
        Ladder::Thickness | Ladder::Firing | Ladder::SecondPowder => {
            format!("glost blend line \"{glaze}\" \"OTHER POWDER\" --steps 4")
        }
    }
}
