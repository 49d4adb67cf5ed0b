//! A recipe card: what to keep of a glaze by the scales, in a box of cards.

mod answer;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::Grams;
use glost_chemistry::read::folded;
use glost_chemistry::{Assumption, RecipeAssumption};
use glost_core::evidence::notes::Note;
use glost_core::workshop::hazards::locked_metal;
use glost_core::workshop::label::{Label, Wetness};
use glost_core::workshop::ticket::{BatchSize, Ticket, TicketOrder, ticket};
use glost_core::workshop::wetting::NoTicket;
use glost_studio::FoundGlaze;

use crate::label::Saying;
use crate::making::{no_ticket, water};
use crate::recorded::recorded_version;
use crate::wire::Amounts;
use crate::{Desk, Failure, PageFile, Said, Words, lab};

pub use answer::{Answer, Batch, CardPaper, Locked, Look, Unweighed, Weight};

/// Grams of base that a card gives weights for.
const SIZES_GRAMS: [f64; 3] = [100.0, 1000.0, 5000.0];
/// The latest looks that a card has room for.
const LOOKS: usize = 4;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The glaze's name or file.
    pub glaze: String,
    /// The card to print.
    pub page: Option<PageFile>,
    /// Its paper.
    pub paper: CardPaper,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            glaze: words.required("glaze")?.to_owned(),
            page: words.page("page")?,
            paper: paper(words)?,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let found = desk.glaze(&self.glaze)?;
        let glaze = &found.glaze;
        let about = &glaze.about;
        let label = Label::of(glaze, &found.settings.name);
        let locked = locked(&found);
        let (batches, unweighed, by_density) = match &locked {
            Some(_) => (Vec::new(), Vec::new(), None),
            None => batches(&found)?,
        };
        let stated = about.water.map(|water| water.millilitres_per_kg);
        let mut cautions: Vec<Said> = Vec::new();
        cautions.extend(
            locked
                .iter()
                .map(|held| Said::Label(Saying::Locked(held.metal, held.material.clone()))),
        );
        let hazards = label.contents.hazards().into_iter();
        cautions.extend(hazards.map(|hazard| Said::Label(Saying::Hazard(hazard))));
        cautions.push(Said::Label(Saying::PowderIntoWater));
        let laboratory = lab::latest(desk, &found, None)?;
        if !laboratory.as_ref().is_some_and(|report| report.no_longer.is_empty()) {
            cautions.push(Said::Label(Saying::NotTested));
        }
        Ok(Answer {
            glaze: glaze.name.clone(),
            cone: about.cone.clone(),
            peak_celsius: about.peak.map(|peak| peak.celsius()),
            atmosphere: about.atmosphere,
            clay: about.clay.clone(),
            usage: about.usage,
            package: found.file.assumptions.iter().find_map(|assumption| match assumption {
                Assumption::Recipe(RecipeAssumption::FromPackage { package, version }) => {
                    Some([package.as_str(), version].join(" "))
                }
                _ => None,
            }),
            version: recorded_version(desk, glaze, desk.today()?),
            parts: Amounts::portions(&glaze.base),
            additions: Amounts::portions(&glaze.additions),
            batches,
            unweighed,
            step_grams: found.settings.scales.reads_to.grams(),
            water_millilitres_per_kg: stated.or(by_density),
            density: label.wetness.map(|wetness| match wetness {
                Wetness::Density(density) | Wetness::Water { density, .. } => density,
            }),
            looks: looks(desk, &found)?,
            cautions,
            laboratory,
            wetness: label.wetness,
            cup: found.settings.cup,
            page: self.page.clone(),
            paper: self.paper,
        })
    }
}

/// The card's paper: A6 unless said; either case.
fn paper(words: &Words) -> Result<CardPaper, Diagnostic> {
    let Some(text) = words.text("paper") else {
        return Ok(CardPaper::A6);
    };
    let found = CardPaper::ALL.iter().find(|paper| folded(paper.name()) == folded(text));
    found.copied().ok_or_else(|| {
        Diagnostic::error("bad-option", format!("--paper: no card is cut to `{}`", text.trim()))
            .help("A6 (105 x 148 mm) or A5 (148 x 210 mm); nothing was written")
    })
}

fn locked(found: &FoundGlaze) -> Option<Locked> {
    let lines: Vec<_> = found
        .glaze
        .portions()
        .map(|portion| (&*portion.material, portion.percent))
        .collect();
    locked_metal(&lines).map(|(metal, material)| Locked {
        metal,
        material: material.to_owned(),
    })
}

/// Weights of each size, the sizes that these scales can't do, and the water to a kilogram
/// where the recipe says a density alone, ml.
type Weighed = (Vec<Batch>, Vec<Unweighed>, Option<f64>);

fn batches(found: &FoundGlaze) -> Result<Weighed, Failure> {
    let scales = &found.settings.scales;
    let (mut batches, mut unweighed, mut water_per_kilo) = (Vec::new(), Vec::new(), None);
    for size in SIZES_GRAMS {
        let Some(grams) = Grams::new(size) else { continue };
        let order = TicketOrder {
            glaze: &found.glaze,
            fluxes: &found.settings.fluxes,
            scales: *scales,
            size: BatchSize::Dry(grams),
            water: water(None, found)?,
            currency: None,
        };
        match ticket(&order) {
            Ok(made) => {
                if found.glaze.about.density_grams_per_millilitre.is_some() {
                    water_per_kilo = Some(1000.0 * made.water_millilitres / made.dry_grams);
                }
                batches.push(batch(size, &made));
            }
            Err(NoTicket::LessThanAStep(_) | NoTicket::TooManyWeighings(_)) => unweighed.push(Unweighed(size)),
            Err(why) => return Err(no_ticket(found, &why, scales).into()),
        }
    }
    Ok((batches, unweighed, water_per_kilo))
}

fn batch(base_grams: f64, made: &Ticket) -> Batch {
    let mut grams: Vec<(String, f64)> = Vec::new();
    for line in &made.lines {
        // What is in the base and on top too is one heap on the scales.
        match grams.iter_mut().find(|held| held.0 == line.material.name) {
            Some(held) => held.1 += line.grams,
            None => grams.push((line.material.name.clone(), line.grams)),
        }
    }
    let lines = made.lines.iter().map(|line| Weight {
        material: line.material.name.clone(),
        grams: line.grams,
        is_addition: line.is_addition,
    });
    Batch {
        base_grams,
        dry_grams: made.dry_grams,
        grams: Amounts(grams),
        lines: lines.collect(),
        cannot_weigh: made.cannot_weigh.iter().map(|line| line.material.clone()).collect(),
    }
}

/// What it looked like, the latest first.
fn looks(desk: &Desk, found: &FoundGlaze) -> Result<Vec<Look>, Failure> {
    let (notes, unread) = desk.workplace().notes()?;
    desk.tell(unread);
    let is_own = |note: &&Note| {
        let named = note.glaze.as_deref().map(folded) == Some(folded(&found.glaze.name));
        named || (found.tile.is_some() && note.tile == found.tile)
    };
    let mut own: Vec<&Note> = notes.standing().filter(is_own).collect();
    own.sort_by_key(|note| std::cmp::Reverse((note.on, note.line)));
    Ok(own.into_iter().take(LOOKS).map(|note| Look(note.clone())).collect())
}
