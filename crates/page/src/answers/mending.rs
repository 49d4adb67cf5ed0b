//! A mis-dosed bucket, in the words of `glost slurry`.

use glost_chemistry::quantity::{Grams, Millilitres};
use glost_core::workshop::scales::to_step;
use glost_core::workshop::slurry::Slip;
use glost_desk::slurry::{Mending, Suspected};

use super::slurry::{figures, small, whole};
use crate::layout::indented;
use crate::number;
use crate::words::ticket::volume;

/// Slips that are named.
const MOST_SLIPS: usize = 4;

/// What a mis-dosed bucket is, and whether it can be brought back.
pub(super) fn verdict(mending: &Mending) -> String {
    let rescued = &mending.rescued;
    let fits = mending.fits.unwrap_or(true);
    let cure = if rescued.others_to_add_grams <= 0.0 {
        format!("{} g more brings it back.", small(rescued.add_grams))
    } else if fits {
        format!(
            "{} g of everything else brings it back.",
            whole(rescued.others_to_add_grams)
        )
    } else {
        "what would bring it back doesn't fit the bucket.".to_owned()
    };
    format!(
        "{} is {} %, not {} %: {cure}",
        mending.material,
        figures(mending.share_percent(rescued.percent)),
        figures(mending.share_percent(mending.held.wanted_percent))
    )
}

/// What it is now, and how it is brought back.
pub(super) fn mending_text(mending: &Mending, step: Grams, full: Option<Millilitres>) -> String {
    let rescued = &mending.rescued;
    let mut text = indented(
        "Now: ",
        &format!(
            "{} g of {} on {} g of the rest: {} % instead of {} %.",
            small(mending.held.grams),
            mending.material,
            whole(rescued.other_grams),
            figures(mending.share_percent(rescued.percent)),
            figures(mending.share_percent(mending.held.wanted_percent))
        ),
    );
    if rescued.others_to_add_grams > 0.0 {
        text.push_str(&bring_back(mending, step, full));
    } else if rescued.add_grams > 0.0 {
        text.push_str(&indented(
            "Bring back: ",
            &format!(
                "add {} g of {}, wetted first.",
                small(rescued.add_grams),
                mending.material
            ),
        ));
    }
    text.push_str(&indented(
        "Test: ",
        "a tile from this bucket before anything is added, and one after.",
    ));
    text
}

/// Which slips the jar bears out, and what it costs to begin anew.
pub(super) fn suspect_text(suspect: &Suspected) -> String {
    let mut text = String::new();
    let fitting: Vec<String> = suspect
        .slips
        .iter()
        .filter(|slip| slip.fits)
        .take(MOST_SLIPS)
        .map(slip_words)
        .collect();
    if !suspect.slips.is_empty() {
        let asked = suspect
            .slips
            .iter()
            .find(|slip| slip.material.as_deref() == Some(suspect.material.as_str()) && slip.times == suspect.times);
        let said = match asked {
            Some(slip) if slip.fits => format!(
                "with the water of its file that would weigh {:.2} g/ml, and the jar says so too",
                slip.density
            ),
            Some(slip) => format!(
                "with the water of its file that would weigh {:.2} g/ml: the jar says otherwise",
                slip.density
            ),
            None => "its water tells nothing".to_owned(),
        };
        text.push_str(&indented("By the jar: ", &format!("{said}.")));
        if !fitting.is_empty() {
            text.push_str(&indented("It fits: ", &format!("{}.", fitting.join("; "))));
        }
    }
    if let (Some(bin), Some(currency)) = (suspect.bin_cost, &suspect.currency) {
        let back = suspect.bring_back_cost.map_or_else(
            || "what bringing it back costs isn't known".to_owned(),
            |back| format!("bringing it back takes powder for {back:.2} {currency}"),
        );
        text.push_str(&indented(
            "Or bin it: ",
            &format!("its powder cost about {bin:.2} {currency}; {back}. Sludge with metals goes to the hazardous collection."),
        ));
    }
    text
}

fn slip_words(slip: &Slip) -> String {
    match (&slip.material, slip.times) {
        (None, _) => "nothing went wrong at all".to_owned(),
        (Some(material), 0.0) => format!("{material} left out"),
        (Some(material), times) => format!("{material} {} times", number::plain(times)),
    }
}

fn bring_back(mending: &Mending, step: Grams, full: Option<Millilitres>) -> String {
    let rescued = &mending.rescued;
    let each: Vec<String> = mending
        .others
        .iter()
        .map(|other| {
            format!(
                "{} {} g",
                other.material,
                number::grams(to_step(other.grams, step.grams()), step.grams())
            )
        })
        .collect();
    let each = if each.is_empty() {
        String::new()
    } else {
        format!(" ({})", each.join(", "))
    };
    let mut text = indented(
        "Bring back: ",
        &format!(
            "{} g of dry without {}{each} and {} of water; it makes {}.",
            whole(rescued.others_to_add_grams),
            mending.material,
            volume(rescued.water_to_add_millilitres),
            volume(rescued.volume_millilitres)
        ),
    );
    if let Some(full) = full.filter(|_| mending.fits == Some(false)) {
        text.push_str(&indented(
            "            ",
            &format!("It doesn't fit: the bucket holds {}.", volume(full.millilitres())),
        ));
    }
    text.push_str(&indented(
        "Or: ",
        "keep it as another glaze under a new name, try it on a tile, or split it into two buckets and bring one back.",
    ));
    text
}
