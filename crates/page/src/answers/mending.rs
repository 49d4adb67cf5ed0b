//! A mis-dosed bucket, in the words of `glost slurry`.

use glost_chemistry::quantity::{Grams, Millilitres};
use glost_core::workshop::scales::to_step;
use glost_core::workshop::slurry::Slip;
use glost_desk::slurry::{Costs, Mending, Suspected};

use super::slurry::{figures, small, whole};
use crate::layout::indented;
use crate::number;
use crate::words::ticket::volume;

/// Slips that are named.
const MOST_SLIPS: usize = 4;

/// What a mis-dosed bucket is, and whether it can be brought back; of a suspected slip first what
/// the jar says against it, and the rest with an if.
pub(super) fn verdict(mending: &Mending, suspected: Option<&Suspected>) -> String {
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
    let is = format!(
        "{} %, not {} %: {cure}",
        figures(mending.share_percent(rescued.percent)),
        figures(mending.share_percent(mending.held.wanted_percent))
    );
    match suspected {
        None => format!("{} is {is}", mending.material),
        Some(suspected) => format!("{}If {}, it is {is}", denied(suspected), went_wrong(suspected)),
    }
}

/// What the jar says against the suspected slip; nothing where it doesn't.
fn denied(suspected: &Suspected) -> String {
    let Some(asked) = suspected.asked().filter(|asked| !asked.fits) else {
        return String::new();
    };
    let nothing = suspected.slips.iter().any(|slip| slip.material.is_none() && slip.fits);
    let rather = if nothing {
        ", it fits a batch in which nothing went wrong"
    } else {
        ""
    };
    format!(
        "The jar says otherwise: so it would weigh {:.2} g/ml{rather}. Add nothing before a tile says so. ",
        asked.density
    )
}

/// `whiting was left out`.
fn went_wrong(suspected: &Suspected) -> String {
    if suspected.times == 0.0 {
        return format!("{} was left out", suspected.material);
    }
    format!(
        "{} went in {} times",
        suspected.material,
        number::plain(suspected.times)
    )
}

/// What it is now, and how it is brought back.
pub(super) fn mending_text(mending: &Mending, only_suspected: bool, step: Grams, full: Option<Millilitres>) -> String {
    let rescued = &mending.rescued;
    let now = if only_suspected { "If so: " } else { "Now: " };
    let mut text = indented(
        now,
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
        let said = match suspect.asked() {
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
    text
}

/// What it costs to begin anew, beside what bringing it back costs.
pub(super) fn bin_text(costs: &Costs) -> String {
    let currency = costs.currency.as_deref();
    let priced = |amount: Option<f64>| Some(format!("{:.2} {}", amount?, currency?));
    let bin = priced(costs.bin).map_or_else(
        || "what its powder cost isn't known (materials without a price)".to_owned(),
        |bin| format!("its powder cost about {bin}"),
    );
    let back = priced(costs.bring_back).map_or_else(
        || "what bringing it back costs isn't known".to_owned(),
        |back| format!("bringing it back takes powder for {back}"),
    );
    indented(
        "Or bin it: ",
        &format!("{bin}; {back}. Sludge with metals goes to the hazardous collection."),
    )
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
