//! What stands on a printed label of some size: all of it, or the parts that
//! matter most there.

use glost_core::workshop::label::{Contents, LabelKind, Wetness};
use glost_desk::label::OneLabel;

use crate::face::Piece;
use crate::number;
use crate::words::label::{DUST, five_lines, food, food_briefly, hazard, measured, water_words};
use crate::words::label::{facts, fired, marks, title};

/// A choice of what to print.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Face {
    pub(crate) pieces: Vec<Piece>,
    /// What this choice leaves off, in words.
    pub(crate) left_off: Vec<&'static str>,
}

/// What shorter choices leave off, in this order.
const LEFT_OFF: [&str; 5] = [
    "the studio's name",
    "lines for measured density and sieve",
    "how to handle the dust",
    "lines to write on",
    "water and density",
];

/// The pieces there are, the first so many of [`LEFT_OFF`] left off.
fn choice(pieces: &[&Option<Piece>], left_off: usize) -> Face {
    Face {
        pieces: pieces.iter().copied().flatten().cloned().collect(),
        left_off: LEFT_OFF.iter().copied().take(left_off).collect(),
    }
}

/// Beside each other with room between, each whole on its line.
fn apart<Text: AsRef<str>>(parts: &[Text]) -> String {
    let whole: Vec<String> = parts.iter().map(|part| part.as_ref().replace(' ', "\u{a0}")).collect();
    whole.join("\u{a0}\u{a0} ")
}

/// What there is, on one line.
fn joined<const COUNT: usize>(parts: [Option<String>; COUNT]) -> Option<String> {
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join(" · "))
}

/// The choices, fullest first.
pub(crate) fn faces(one: &OneLabel) -> Vec<Face> {
    match one.kind {
        LabelKind::Tile => tile_faces(one),
        LabelKind::Bucket | LabelKind::Bag => [vec![full(one)], shorter(one)].concat(),
        LabelKind::Jar => shorter(one),
        LabelKind::Bottle => bottle_faces(one),
    }
}

fn full(one: &OneLabel) -> Face {
    let mut pieces = vec![Piece::bold(2.4, title(one))];
    let is_bag = one.kind == LabelKind::Bag;
    if is_bag {
        pieces.push(Piece::bold(1.3, "Dry powder"));
    }
    pieces.extend(facts(one).into_iter().map(|fact| Piece::plain(1.25, fact)));
    let [version, batch, day, by] = marks(one);
    pieces.push(Piece::plain(1.25, apart(&[version, batch])));
    pieces.push(Piece::plain(1.25, apart(&[day, by])));
    let to_measure: &[&str] = if is_bag {
        &["Weight ________"]
    } else {
        &["Density measured ________", "Sieve ______"]
    };
    pieces.push(Piece::plain(1.25, apart(to_measure)));
    pieces.extend(
        one.label
            .contents
            .hazards()
            .iter()
            .map(|told| Piece::plain(1.0, hazard(told))),
    );
    pieces.push(Piece::plain(1.0, DUST));
    pieces.push(Piece::bold(1.0, food(one)));
    if !one.label.studio.is_empty() {
        pieces.push(Piece::plain(1.0, one.label.studio.as_str()));
    }
    Face {
        pieces,
        left_off: Vec::new(),
    }
}

/// Shorter and shorter, down to what no bucket may be without.
fn shorter(one: &OneLabel) -> Vec<Face> {
    let is_bag = one.kind == LabelKind::Bag;
    let [version, batch, day, _] = marks(one);
    let name = |scale| Some(Piece::bold(scale, title(one)));
    let powder = is_bag.then(|| Piece::bold(1.0, "Dry powder"));
    let firing = Some(Piece::bold(1.15, fired(one)));
    let water = one
        .label
        .water
        .map(|water| Piece::plain(1.15, water_words(water, one.cup)));
    let density = (!is_bag).then(|| short_density(one));
    let wetness = density.clone().map(|density| Piece::plain(1.15, density));
    let marks = Some(Piece::plain(1.15, apart(&[version, batch, day])));
    let harm = short_hazards(&one.label.contents);
    let alone = |text: &str| Some(Piece::plain(1.0, text));
    let in_short = food_briefly(one);
    let together = alone(&format!("{harm} {in_short}"));
    let food = Some(Piece::bold(1.0, in_short));
    let given = given_marks(one);
    let wet = joined([density, short_water(one)]);
    let given_line = given.as_deref().and_then(alone);
    let wet_line = wet.as_deref().and_then(alone);
    let all = joined([Some(fired(one)), wet, given.clone()]);
    let least = joined([Some(fired(one)), given]);
    let harm = alone(&harm);
    vec![
        choice(
            &[&name(1.8), &powder, &firing, &water, &wetness, &marks, &harm, &food],
            3,
        ),
        choice(
            &[&name(1.55), &powder, &firing, &wet_line, &given_line, &harm, &food],
            4,
        ),
        choice(&[&name(1.4), &powder, &all.as_deref().and_then(alone), &together], 4),
        choice(&[&name(1.2), &powder, &least.as_deref().and_then(alone), &together], 5),
    ]
}

/// Five lines and what harms; on the smallest the five lines alone.
fn bottle_faces(one: &OneLabel) -> Vec<Face> {
    let [drink, name, container, lots, by] = five_lines(one);
    let five = |scale: f64| {
        vec![
            Piece::bold(1.2 * scale, drink.as_str()),
            Piece::bold(1.5 * scale, name.as_str()),
            Piece::plain(scale, container.as_str()),
            Piece::plain(scale, lots.as_str()),
            Piece::plain(scale, by.as_str()),
        ]
    };
    let harm = Piece::plain(1.0, short_hazards(&one.label.contents));
    let food = Piece::bold(1.0, food_briefly(one));
    vec![
        Face {
            pieces: [five(1.3), vec![harm.clone(), food.clone()]].concat(),
            left_off: Vec::new(),
        },
        Face {
            pieces: [five(1.0), vec![harm, food]].concat(),
            left_off: Vec::new(),
        },
    ]
}

fn tile_faces(one: &OneLabel) -> Vec<Face> {
    let stamp = &one.stamp;
    let code = |scale| match &stamp.code {
        Some(code) => Piece::bold(scale, code.as_str()),
        None => Piece::plain(1.3, "________"),
    };
    let day = match stamp.day {
        Some(day) => Piece::plain(1.0, day.to_string()),
        None => Piece::plain(1.0, "Date ________"),
    };
    let version = stamp
        .version
        .as_ref()
        .map_or_else(String::new, |version| format!(" {version}"));
    let name = |scale| Piece::plain(scale, format!("{}{version}", title(one)));
    let firing = one.label.firing.as_ref().map(ToString::to_string);
    let firing = firing.unwrap_or_else(|| "cone ______".to_owned());
    let clay = one
        .label
        .clay
        .as_ref()
        .map(|clay| Piece::plain(1.0, format!("on {clay}")));
    let fired = Piece::plain(1.0, fired(one));
    let more = [
        vec![code(1.9), name(1.15), fired],
        clay.into_iter().collect(),
        vec![day.clone()],
    ]
    .concat();
    let short = vec![code(1.7), name(1.0), Piece::plain(1.0, firing.as_str()), day.clone()];
    let shortest = match &stamp.code {
        Some(code) => vec![Piece::bold(1.2, format!("{code} · {firing}")), name(1.0), day],
        None => vec![Piece::plain(1.0, format!("________ · {firing}")), name(1.0), day],
    };
    let off = vec!["clay and atmosphere"];
    vec![
        Face {
            pieces: more,
            left_off: Vec::new(),
        },
        Face {
            pieces: short,
            left_off: off.clone(),
        },
        Face {
            pieces: shortest,
            left_off: off,
        },
    ]
}

/// `v3, batch 14, 2026-11-24`, as far as they are given.
fn given_marks(one: &OneLabel) -> Option<String> {
    let stamp = &one.stamp;
    let batch = stamp.batch.as_ref().map(|batch| format!("batch {batch}"));
    let lot = match stamp.lots.as_slice() {
        [(_, lot)] => Some(format!("lot {lot}")),
        _ => None,
    };
    let given: Vec<String> = [stamp.version.clone(), batch, lot, stamp.day.map(|day| day.to_string())]
        .into_iter()
        .flatten()
        .collect();
    (!given.is_empty()).then(|| given.join(", "))
}

fn short_water(one: &OneLabel) -> Option<String> {
    let (cups, litres) = measured(one.label.water?, one.cup);
    Some(format!("1 kg to {}", cups.unwrap_or(litres)))
}

fn short_density(one: &OneLabel) -> String {
    match one.label.wetness {
        Some(Wetness::Density(density)) => format!("mix to {} g/ml", number::plain(density)),
        Some(Wetness::Water { density, .. }) => format!("about {density:.2} g/ml: weigh a jar"),
        None => "____ g/ml: weigh a jar".to_owned(),
    }
}

/// The hazards in as few words as say them.
fn short_hazards(contents: &Contents) -> String {
    let mut said = Vec::new();
    if !contents.unknown.is_empty() {
        said.push("Contents not told: see its safety data sheet.".to_owned());
    }
    if contents.is_silica_dust() {
        said.push("Dust scars lungs (silica).".to_owned());
    } else {
        said.push("Don't breathe the dust.".to_owned());
    }
    if !contents.toxic.is_empty() {
        said.push(format!("Poisonous: {}.", contents.toxic.join(", ")));
    }
    if !contents.gas.is_empty() {
        said.push("Makes gas: vent the lid.".to_owned());
    }
    if !contents.soluble.is_empty() {
        said.push(format!("Soluble: {}.", contents.soluble.join(", ")));
    }
    let metals: Vec<&str> = contents.metals.iter().map(|metal| metal.0).collect();
    if !metals.is_empty() {
        said.push(format!("May leach: {}.", metals.join(", ")));
    }
    said.join(" ")
}
