//! Firings, in words.

use glost_core::evidence::firings::{Entry, Firing, Put};
use glost_core::workshop::hazards::KilnCaution;
use glost_desk::kiln::{KilnSaid, MAYBE_A_SLIP_CONES};

use crate::number;
use crate::words::notes::{lines_words, missed_words};

/// Something said beside a firing, without a full stop.
pub(crate) fn said(said: &KilnSaid) -> String {
    match said {
        KilnSaid::Caution(brought) => caution(brought),
        KilnSaid::ClayFromFile { what, clay } => {
            let what: Vec<String> = what.iter().map(put).collect();
            format!(
                "{} on {clay}, as booking or file says; `on CLAY` says another",
                what.join(", ")
            )
        }
        KilnSaid::AtmosphereOfGlazes { atmosphere } => {
            format!("fired in {atmosphere}, as its glazes' files say; --atmosphere says another")
        }
        KilnSaid::RunsOff { .. }
        | KilnSaid::StaysDry { .. }
        | KilnSaid::ConesApart { .. }
        | KilnSaid::OtherAtmosphere { .. } => beside_glazes(said),
        KilnSaid::NoClay { what } => {
            format!(
                "nothing says on which clay {} is: add `on CLAY`, or its pieces tell nothing of fit",
                put(what)
            )
        }
        KilnSaid::ConeOfGlazes { cone } => format!("to cone {cone}, as its glazes say; --cone says another"),
        KilnSaid::NoCone => "no cone is meant: --cone 6 says one, and cones that miss are seen".to_owned(),
        KilnSaid::SameName { name, id, on } => {
            format!(
                "another load called {name} isn't opened yet ({id}, loaded {on}): firings of one name are told apart by their ids"
            )
        }
        KilnSaid::MixedLater { batch, on } => {
            format!("batch {batch} was mixed on {on}, after this load: check the days")
        }
        KilnSaid::Missed { cones, meant, bent } => {
            let slip = if cones.abs() >= MAYBE_A_SLIP_CONES {
                "; so many may be a slip of the pen: look again"
            } else {
                ""
            };
            format!(
                "{}, cone {bent} bent{slip}. Its pieces count as a firing of their own",
                missed_words(*cones, meant)
            )
        }
        KilnSaid::PeakFarFromCone {
            peak_celsius,
            cone,
            cone_celsius,
        } => format!(
            "a peak of {peak_celsius:.0} C is far from cone {cone} (about {cone_celsius:.0} C): perhaps a slip of the pen, or F for C"
        ),
        KilnSaid::BentUnsaid { meant } => match meant {
            Some(meant) => format!(
                "nobody said which cone bent: its pieces count as cone {meant}, as meant; put a cone in every load"
            ),
            None => "no cone was meant and none bent: its pieces count as fired to nobody knows what".to_owned(),
        },
        KilnSaid::NotesStand { lines } => format!(
            "what is noted of its pieces stands as it is, on {} of the notebook: take back what is wrong",
            lines_words(lines)
        ),
    }
}

/// What may go wrong with its glazes.
fn beside_glazes(said: &KilnSaid) -> String {
    let to_cones = |glazes: &[(String, String)]| -> String {
        let each = glazes.iter().map(|(glaze, cone)| format!("{glaze} (cone {cone})"));
        each.collect::<Vec<_>>().join(", ")
    };
    match said {
        KilnSaid::RunsOff { cone, glazes } => format!(
            "to cone {cone}, above the cone of {}: it may run off the piece onto the shelf; a tile on waste clay first, \
             a dish and washed shelf under each, or another firing",
            to_cones(glazes)
        ),
        KilnSaid::StaysDry { cone, glazes } => format!(
            "to cone {cone}, below the cone of {}: it may stay dry and open, nothing to eat from",
            to_cones(glazes)
        ),
        KilnSaid::ConesApart { glazes } => format!(
            "its glazes' cones are apart, and one kiln has one heat: {}; --cone says which is meant, the others wait \
             for their own firing",
            to_cones(glazes)
        ),
        KilnSaid::OtherAtmosphere { fired, glazes } => {
            let each: Vec<String> = glazes
                .iter()
                .map(|(glaze, atmosphere)| format!("{glaze} ({atmosphere})"))
                .collect();
            match fired {
                Some(fired) => format!(
                    "fired in {fired}, and the files say otherwise of {}: colour and surface come out another",
                    each.join(", ")
                ),
                None => format!(
                    "its glazes' files disagree on the atmosphere: {}; --atmosphere says which it is. Until then the \
                     cautions are those of reduction",
                    each.join(", ")
                ),
            }
        }
        _ => String::new(),
    }
}

fn caution(caution: &KilnCaution) -> String {
    match caution {
        KilnCaution::Fluorine { percent, glazes } => format!(
            "fluorine leaves ({}; to {} % of the powder): it etches lungs, glass and kilns",
            glazes.join(", "),
            number::percent(*percent)
        ),
        KilnCaution::Sulphur(glazes) => format!("sulphur leaves ({}): acid fumes", glazes.join(", ")),
        KilnCaution::Chlorine(glazes) => format!("chlorine leaves ({}): acid fumes", glazes.join(", ")),
        KilnCaution::Manganese(glazes) => {
            format!(
                "manganese fumes leave ({}): they harm nerves for good",
                glazes.join(", ")
            )
        }
        KilnCaution::Vanadium(glazes) => format!("vanadium fumes leave ({}): poisonous", glazes.join(", ")),
        KilnCaution::Poison { metal, glazes } => {
            format!(
                "{metal} fumes leave ({}): they poison kiln, shelves and the next ware too",
                glazes.join(", ")
            )
        }
        KilnCaution::ZincInReduction(glazes) => {
            format!(
                "in reduction zinc leaves as fumes ({}): metal fume fever",
                glazes.join(", ")
            )
        }
        KilnCaution::MonoxideInReduction => {
            "reduction makes carbon monoxide: no smell, deadly; an alarm, and the flue drawing".to_owned()
        }
        KilnCaution::BurningOut(glazes) => {
            format!(
                "gum and wax burn out ({}): smoke and carbon monoxide until red heat",
                glazes.join(", ")
            )
        }
        KilnCaution::Untold(glazes) => {
            format!(
                "nobody tells what is in {}: take its fumes for poisonous",
                glazes.join(", ")
            )
        }
        KilnCaution::VentAndLeave => "vent to outdoors, and nobody stays in the room while it fires".to_owned(),
        KilnCaution::Sludge(metals) => format!(
            "{} in its glazes: sludge and rinsing water to the hazardous collection",
            metals.join(", ")
        ),
        KilnCaution::Students => {
            "students: no dry powder in the room, no weighing, no kiln; poisonous glazes come to them mixed wet"
                .to_owned()
        }
        KilnCaution::OpenCold => "open it below 100 C: hot ware cracks, and burns".to_owned(),
    }
}

/// `spring glost, cone 6 (jpq5lo67)`.
pub(crate) fn firing(firing: &Firing) -> String {
    let cone = firing.cone_meant.as_ref().map(|cone| format!("cone {cone}"));
    let named: Vec<String> = firing.firing.iter().cloned().chain(cone).collect();
    let named = if named.is_empty() {
        format!("{} firing", firing.kind.word())
    } else {
        named.join(", ")
    };
    format!("{named} ({})", firing.id)
}

/// `batch 14`, `tile ladder/A1`.
pub(crate) fn put(put: &Put) -> String {
    match put {
        Put::Batch { number, .. } => format!("batch {number}"),
        Put::Tile(name) => format!("tile {name}"),
        Put::Glaze(name) | Put::Ware(name) => name.clone(),
    }
}

/// `5 of batch 14 on buff stoneware, at the top`.
pub(crate) fn entry(entry: &Entry) -> String {
    let over = entry
        .over
        .as_ref()
        .map_or_else(String::new, |over| format!("{over} over "));
    let mut text = format!("{} of {over}{}", entry.pieces, put(&entry.put));
    let parts = [
        (" on ", &entry.clay),
        (", at ", &entry.shelf),
        (", coat ", &entry.coat),
        (", marked ", &entry.mark),
        (", ", &entry.text),
    ];
    for (lead, part) in parts {
        if let Some(part) = part {
            text.push_str(lead);
            text.push_str(part);
        }
    }
    text
}

/// `cone 7 bent, 1222 C, held 15 min, cooled slow`.
pub(crate) fn how_it_came_out(firing: &Firing) -> String {
    let Some(opened) = &firing.opened else {
        return String::new();
    };
    let said = [
        opened.cone_bent.as_ref().map(|cone| format!("cone {cone} bent")),
        opened.peak.map(|peak| format!("{:.0} C", peak.celsius())),
        opened
            .soak_minutes
            .map(|minutes| format!("held {} min", number::plain(minutes))),
        opened.cooled.map(|cooled| format!("cooled {}", cooled.word())),
        opened.apart.then(|| "set apart".to_owned()),
        opened.text.clone(),
    ];
    said.into_iter().flatten().collect::<Vec<_>>().join(", ")
}
