//! A mis-dosed bucket, in the words of `glost slurry`.

use glost_chemistry::quantity::{Grams, Millilitres};
use glost_core::workshop::scales::to_step;
use glost_desk::slurry::Mending;

use super::slurry::{figures, small, whole};
use crate::layout::indented;
use crate::number;
use crate::words::ticket::volume;

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
