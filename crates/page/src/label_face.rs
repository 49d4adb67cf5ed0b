//! What stands on a printed label of some size: all of it, or the parts that
//! matter most there.

use glost_core::label::{Contents, LabelKind, Wetness};

use crate::face::Piece;
use crate::label::{DUST, LabelPage, NOT_TESTED, hazards};
use crate::number;

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

fn face(pieces: Vec<Piece>, left_off: &[&'static str]) -> Face {
    Face {
        pieces,
        left_off: left_off.to_vec(),
    }
}

impl LabelPage<'_> {
    /// The choices, fullest first.
    pub(crate) fn faces(&self) -> Vec<Face> {
        match self.kind {
            LabelKind::Tile => self.tile_faces(),
            LabelKind::Bucket | LabelKind::Bag => [vec![self.full()], self.shorter()].concat(),
            LabelKind::Jar => self.shorter(),
        }
    }

    fn full(&self) -> Face {
        let mut pieces = vec![Piece::bold(2.4, self.title())];
        let is_bag = self.kind == LabelKind::Bag;
        if is_bag {
            pieces.push(Piece::bold(1.3, "Dry powder"));
        }
        pieces.extend(self.facts().into_iter().map(|fact| Piece::plain(1.25, fact)));
        let [version, batch, day, by] = self.marks();
        pieces.push(Piece::plain(1.25, format!("{version} · {batch}")));
        pieces.push(Piece::plain(1.25, format!("{day} · {by}")));
        pieces.push(Piece::plain(
            1.25,
            if is_bag {
                "Weight ________"
            } else {
                "Density measured ________ · Sieve ______"
            },
        ));
        pieces.extend(
            hazards(&self.label.contents)
                .into_iter()
                .map(|hazard| Piece::plain(1.0, hazard)),
        );
        pieces.push(Piece::plain(1.0, DUST));
        pieces.push(Piece::bold(1.0, NOT_TESTED));
        if !self.label.studio.is_empty() {
            pieces.push(Piece::plain(1.0, self.label.studio.as_str()));
        }
        face(pieces, &[])
    }

    /// Shorter and shorter, down to what no bucket may be without.
    fn shorter(&self) -> Vec<Face> {
        let is_bag = self.kind == LabelKind::Bag;
        let [version, batch, day, _] = self.marks();
        let name = Some(Piece::bold(1.8, self.title()));
        let small_name = Some(Piece::bold(1.55, self.title()));
        let powder = is_bag.then(|| Piece::bold(1.0, "Dry powder"));
        let firing = Some(Piece::bold(1.15, self.fired()));
        let water = self.water().map(|water| Piece::plain(1.15, water));
        let wetness = |scale| (!is_bag).then(|| Piece::plain(scale, self.short_density()));
        let marks = Some(Piece::plain(1.15, format!("{version} · {batch} · {day}")));
        let harm = Some(Piece::plain(1.0, short_hazards(&self.label.contents)));
        let food = Some(Piece::bold(1.0, "Not tested for food."));
        let short_water = self.short_water().map(|water| Piece::plain(1.0, water));
        let short_marks = self.given_marks().map(|given| Piece::plain(1.0, given));
        let choice = |pieces: &[&Option<Piece>], left_off: usize| Face {
            pieces: pieces.iter().copied().flatten().cloned().collect(),
            left_off: LEFT_OFF.iter().copied().take(left_off).collect(),
        };
        vec![
            choice(
                &[&name, &powder, &firing, &water, &wetness(1.15), &marks, &harm, &food],
                3,
            ),
            choice(
                &[
                    &small_name,
                    &powder,
                    &firing,
                    &wetness(1.0),
                    &short_water,
                    &short_marks,
                    &harm,
                    &food,
                ],
                4,
            ),
            choice(&[&small_name, &powder, &firing, &short_marks, &harm, &food], 5),
        ]
    }

    fn tile_faces(&self) -> Vec<Face> {
        let stamp = self.stamp;
        let code = match &stamp.code {
            Some(code) => Piece::bold(1.9, code.as_str()),
            None => Piece::plain(1.3, "________"),
        };
        let day = match &stamp.day {
            Some(day) => Piece::plain(1.0, day.as_str()),
            None => Piece::plain(1.0, "Date ________"),
        };
        let version = stamp.version.as_ref().map(|version| format!(" {version}"));
        let name = Piece::plain(1.15, format!("{}{}", self.title(), version.unwrap_or_default()));
        let firing = self.label.firing.clone().unwrap_or_else(|| "cone ______".to_owned());
        let mut more = vec![code.clone(), name.clone(), Piece::plain(1.0, self.fired())];
        more.extend(
            self.label
                .clay
                .as_ref()
                .map(|clay| Piece::plain(1.0, format!("on {clay}"))),
        );
        more.push(day.clone());
        let short = vec![code, name, Piece::plain(1.0, firing), day];
        if more == short {
            return vec![face(short, &[])];
        }
        vec![face(more, &[]), face(short, &["clay and atmosphere"])]
    }

    /// `v3, batch 14, 2026-11-24`, as far as they are given.
    fn given_marks(&self) -> Option<String> {
        let stamp = self.stamp;
        let batch = stamp.batch.as_ref().map(|batch| format!("batch {batch}"));
        let given: Vec<String> = [stamp.version.clone(), batch, stamp.day.clone()]
            .into_iter()
            .flatten()
            .collect();
        (!given.is_empty()).then(|| given.join(", "))
    }

    fn short_water(&self) -> Option<String> {
        let (cups, litres) = self.water_measured()?;
        Some(format!("1 kg to {}", cups.unwrap_or(litres)))
    }

    fn short_density(&self) -> String {
        match &self.label.wetness {
            Some(Wetness::Density(density)) => format!("mix to {} g/ml", number::plain(*density)),
            Some(Wetness::Water { density, .. }) => format!("about {density:.2} g/ml: weigh a jar"),
            None => "____ g/ml: weigh a jar".to_owned(),
        }
    }
}

/// The hazards in as few words as say them.
fn short_hazards(contents: &Contents) -> String {
    let mut said = Vec::new();
    if !contents.unknown.is_empty() {
        said.push("Contents not told: see its safety data sheet.".to_owned());
    }
    if contents.free_silica_percent >= 0.5 || !contents.silica_untold.is_empty() {
        said.push("Dust scars lungs (silica).".to_owned());
    } else {
        said.push("Don't breathe the dust.".to_owned());
    }
    if !contents.toxic.is_empty() {
        said.push(format!("Poisonous: {}.", contents.toxic.join(", ")));
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
