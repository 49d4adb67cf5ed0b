//! Words for what is taken for granted of fit, and for what contradicts itself.

use glost_core::evidence::notes::StoryOdd;
use glost_core::evidence::ware::{ExpansionSaid, StressSaid};
use glost_core::evidence::window::{Departure, Edge, FitSaid, Kiln};

use super::{chemistry, few_names};

/// One thing said beside a glaze's fit.
pub(crate) fn fit_said(said: &FitSaid) -> String {
    match said {
        FitSaid::Clay(said) => expansion_said(said),
        FitSaid::Stress(said) => stress_said(said),
        FitSaid::Chemistry(assumed) => chemistry::assumption(assumed),
        FitSaid::Departure(departure) => departure_words(departure),
        FitSaid::Homeless(1) => "one look names no clay and was left out".to_owned(),
        FitSaid::Homeless(several) => format!("{several} looks name no clay and were left out"),
        FitSaid::Twins { .. } | FitSaid::TwoRecipes(..) | FitSaid::Odd(_) | FitSaid::WrongOrder { .. } => {
            of_lines(said)
        }
        FitSaid::NoNoteOf(_)
        | FitSaid::CountsAs { .. }
        | FitSaid::ConeOnly(_)
        | FitSaid::OtherFiring { .. }
        | FitSaid::OnlyFiring(_)
        | FitSaid::SeveralFirings(_) => of_firings(said),
        FitSaid::NoAge(_)
        | FitSaid::Changed { .. }
        | FitSaid::NoVersions { .. }
        | FitSaid::Unversioned(_)
        | FitSaid::Untold { .. } => of_recipes(said),
        FitSaid::BeforeAnyPiece { .. } | FitSaid::Ageing { .. } | FitSaid::NoPiece(_) => of_the_line(said),
        FitSaid::Recommended { .. }
        | FitSaid::OutsideModel { .. }
        | FitSaid::Lead(_)
        | FitSaid::AsPrinted { .. }
        | FitSaid::UnknownExpansion { .. }
        | FitSaid::LoweredBound { .. } => of_expansions(said),
    }
}

fn of_lines(said: &FitSaid) -> String {
    match said {
        FitSaid::Twins {
            count: 1,
            earlier,
            first,
        } => format!("lines {earlier} and {first} are alike and count once"),
        FitSaid::Twins { count, earlier, first } => {
            format!("{count} notes are alike with earlier ones (the first: lines {earlier} and {first}) and count once")
        }
        FitSaid::TwoRecipes(first, other) => format!(
            "lines {first} and {other} note one batch under two recipes: counted as different pieces; if they are the same \
             ones, say the version they were made of"
        ),
        FitSaid::Odd(odd) => format!("{}; the later look counts", story_odd(odd)),
        FitSaid::WrongOrder {
            edge,
            failing,
            failed: (failed, pieces),
            held,
            gap,
        } => {
            let (fault, way) = match edge {
                Edge::Craze => ("crazed", "higher"),
                Edge::Shiver => ("shivered", "lower"),
            };
            format!(
                "{failing} {fault} ({failed} of {pieces}) although {held}, {gap:.1} {way} by its composition, held; \
                 was the clay, the firing or the thickness another? Both are counted"
            )
        }
        _ => String::new(),
    }
}

/// What can't all be true of one batch.
pub(crate) fn story_odd(odd: &StoryOdd) -> String {
    match odd {
        StoryOdd::Healed {
            fault,
            before: (before, more),
            later: (later, fewer),
        } => format!("line {before} says {more} {fault}, line {later} later {fewer}: what has {fault} stays so"),
        StoryOdd::Grown {
            before: (before, some),
            later: (later, other),
        } => format!("line {before} looks at {some} pieces, line {later} later at {other}: a batch doesn't grow"),
    }
}

fn of_firings(said: &FitSaid) -> String {
    match said {
        FitSaid::CountsAs { asked, kiln } => {
            format!("{asked} counts with all firings to {} on this clay", kiln.words())
        }
        FitSaid::NoNoteOf(kiln) => format!("no note on this clay is of {}", kiln.words()),
        FitSaid::ConeOnly(kiln) => format!(
            "the glaze's file names a cone only; all notes of that cone are of {}: those were taken",
            kiln.words()
        ),
        FitSaid::OtherFiring { wanted, taken } => {
            let taken = match taken {
                Kiln::Unsaid => "no firing and no cone".to_owned(),
                other => other.words(),
            };
            format!("no note is of {}; those of {taken} were taken", wanted.words())
        }
        FitSaid::OnlyFiring(kiln) => format!(
            "the glaze's file names no firing; all notes on this clay are of {}: those were taken",
            kiln.words()
        ),
        FitSaid::SeveralFirings(kilns) => format!(
            "these notes say no firing, and their glazes' files say several ({}): they are taken as one; \
             say firing or cone in the notes to part them",
            kilns.iter().map(Kiln::words).collect::<Vec<_>>().join(", ")
        ),
        _ => String::new(),
    }
}

fn of_recipes(said: &FitSaid) -> String {
    match said {
        FitSaid::NoAge(line) => format!(
            "line {line} says no age: its pieces count as straight from the kiln, the least that they can prove"
        ),
        FitSaid::Changed { glaze, version } => {
            format!("{glaze} has changed since {version}: those pieces count by what the recipe was then")
        }
        FitSaid::NoVersions { glaze, version } => {
            format!("no version of {glaze} is recorded: notes of {version} count for today's recipe")
        }
        FitSaid::Unversioned(glazes) => {
            format!(
                "notes without a version count for today's recipe ({})",
                few_names(glazes)
            )
        }
        FitSaid::Untold { glaze, near } => {
            let meant = near.as_ref().map_or_else(String::new, |near| {
                format!("; if {near} is meant, take the note back and write it anew")
            });
            format!("no file tells what {glaze} is: its pieces speak for a glaze of unknown expansion{meant}")
        }
        _ => String::new(),
    }
}

fn of_the_line(said: &FitSaid) -> String {
    match said {
        FitSaid::BeforeAnyPiece {
            line,
            below_clay: Some((expansion, below)),
        } => format!(
            "before any piece was looked at: glazes craze on this clay from {:.1} +/- {} up, its own {expansion:.1} \
             less {below} (common practice, no source)",
            line.mean, line.sd
        ),
        FitSaid::BeforeAnyPiece { line, below_clay: None } => format!(
            "before any piece was looked at: glazes craze on this clay from {} +/- {} up (common practice, no source)",
            line.mean, line.sd
        ),
        FitSaid::Ageing {
            dense,
            fall,
            percent_by: (by_30, by_180),
            learnt,
        } => {
            let kind = match dense {
                Some(true) => "a dense clay",
                Some(false) => "a porous clay",
                None => "a clay whose absorption isn't known, taken as porous,",
            };
            format!(
                "the craze line of {kind} falls by {} +/- {} within three years, {by_30:.0} % of it by 30 days and \
                 {by_180:.0} % by 180: an assumption, no table is published; old pieces teach it (here {learnt:.2} by now)",
                fall.mean, fall.sd
            )
        }
        FitSaid::NoPiece(clay) => {
            format!("no piece on {clay} was looked at at this firing: the bound rests on common practice alone")
        }
        _ => String::new(),
    }
}

fn of_expansions(said: &FitSaid) -> String {
    match said {
        FitSaid::Recommended { glaze, below } => format!(
            "{glaze} is recommended for this clay by its maker: taken as {} below its line, +/- {}",
            below.mean, below.sd
        ),
        FitSaid::OutsideModel {
            glaze,
            reasons,
            counted,
        } => {
            let counted = if *counted {
                "and counted so (widen_outside_model)"
            } else {
                "but its pieces are counted like any other's (fit: widen_outside_model in studio.yaml changes that)"
            };
            format!(
                "{glaze} lies outside what the expansion model has seen ({}): its band is shown wider, {counted}",
                chemistry::outside_in_a_line(reasons)
            )
        }
        FitSaid::Lead(glaze) => {
            format!("{glaze} holds lead: how well differences between lead glazes are predicted was not measured")
        }
        FitSaid::AsPrinted { glaze, printed, sd } => {
            format!("the expansion of {glaze} is as printed on its bag ({printed}), +/- {sd} one standard deviation")
        }
        FitSaid::UnknownExpansion { glaze, taken } => format!(
            "nobody tells the expansion of {glaze}: taken as {} +/- {}",
            taken.mean, taken.sd
        ),
        FitSaid::LoweredBound { glaze, by } => {
            format!("{glaze} crazed more than its computed expansion accounts for: the bound is lowered by {by:.2}")
        }
        _ => String::new(),
    }
}

fn departure_words(departure: &Departure) -> String {
    let set = match departure {
        Departure::Belief { key, own, usual } => {
            format!(
                "{key} {} +/- {} (usual {} +/- {})",
                own.mean, own.sd, usual.mean, usual.sd
            )
        }
        Departure::Number { key, own, usual } => format!("{key} {own} (usual {usual})"),
        Departure::Tested { own, usual } => format!(
            "tested {} pieces for {} days (usual {} for {})",
            own.0, own.1, usual.0, usual.1
        ),
        Departure::Set(key) => (*key).to_owned(),
    };
    format!("set in studio.yaml: {set}")
}

/// What is taken for granted of a clay's expansion.
pub(crate) fn expansion_said(said: &ExpansionSaid) -> String {
    match said {
        ExpansionSaid::NoRange => {
            "the clay's expansion doesn't say over which temperatures; it is counted as of 20-400 C".to_owned()
        }
        ExpansionSaid::To300 => "the clay's expansion over 20-300 C is multiplied by 1.027 to stand for 20-400 C, as glasses measured over both show".to_owned(),
        ExpansionSaid::OtherRange(low, high) => {
            format!("the clay's expansion is of {low:.0}-{high:.0} C and is counted as of 20-400 C, unchanged")
        }
    }
}

/// What is taken for granted of the stress in a glaze.
pub(crate) fn stress_said(said: &StressSaid) -> String {
    match said {
        StressSaid::Model(assumed) => chemistry::of_model(assumed),
        StressSaid::Coat {
            glaze_mm,
            wall_mm,
            set_celsius,
        } => format!(
            "glaze {glaze_mm} mm thick on a wall of {wall_mm} mm; the glaze's 20-400 C expansion holds up to {set_celsius:.0} C, where it sets"
        ),
        StressSaid::Stiffness(low, high) => {
            format!("the clay's stiffness is {low:.0} to {high:.0} GPa, as of clays that take up as much water")
        }
        StressSaid::BeyondQuartz {
            range,
            set_celsius,
            quartz_celsius,
        } => {
            let range = range.map_or_else(
                || "an unsaid range".to_owned(),
                |(low, high)| format!("{low:.0}-{high:.0} C"),
            );
            format!(
                "the clay's expansion over {range} is taken to hold up to {set_celsius:.0} C; quartz at {quartz_celsius:.0} C would squeeze the glaze more than is shown"
            )
        }
        StressSaid::TableEnds {
            last_celsius,
            set_celsius,
        } => format!(
            "the clay's table ends at {last_celsius:.0} C and is drawn on straight to {set_celsius:.0} C, where the glaze sets"
        ),
    }
}
