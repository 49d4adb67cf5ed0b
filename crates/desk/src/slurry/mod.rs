//! What is in a wet bucket, what to add, and what brings a mis-dosed one back.

mod answer;
mod asked;
mod mending;
mod suspect;

use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::material::{Library, Material};
use glost_chemistry::quantity::{GramsPerMillilitre, Millilitres, PowderDensity, SaidVolume, SlurryDensity};
use glost_chemistry::read::folded;
use glost_core::workshop::hazards::locked_metal;
use glost_core::workshop::scales::{Scales, parse_scales};
use glost_core::workshop::slurry::{Bucket, Dose, SurveyTrouble, Suspicion, cautions, sums, survey, to_its_own};
use glost_core::workshop::wetting::{self, powder_density};
use glost_studio::FoundGlaze;

use crate::by_hand::{self, Mended, Surveyed};
use crate::{Desk, Failure, Said, Words};

pub use answer::{Addition, Answer};
pub use asked::{AskedAmount, AskedBucket, AskedJar};
pub use mending::{AskedRescue, Costs, Mending, Other};
pub use suspect::Suspected;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The glaze's name or file, where one is named.
    pub glaze: Option<String>,
    /// The buckets, each with its jar.
    pub buckets: Vec<AskedBucket>,
    /// What to add.
    pub add: Vec<Dose>,
    /// The density to reach.
    pub to: Option<SlurryDensity>,
    /// The dry powder's own density.
    pub powder_density: Option<PowderDensity>,
    /// What went wrong.
    pub rescue: Option<AskedRescue>,
    /// What slip is suspected.
    pub suspect: Option<Suspicion>,
    /// What the bucket holds when full.
    pub full: Option<SaidVolume>,
    /// Other scales than the studio's.
    pub scales: Option<Scales>,
    /// Whether the sum is shown as one does it by hand.
    pub steps: bool,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            glaze: words.owned("glaze"),
            scales: words.read("scales", parse_scales)?,
            powder_density: words.read("powder-density", PowderDensity::parse)?,
            buckets: asked::buckets(words)?,
            add: asked::doses(words)?,
            to: words.slurry_density("to")?,
            full: words.said_volume("bucket")?,
            rescue: AskedRescue::from_words(words)?,
            suspect: words.read("suspect", Suspicion::parse)?,
            steps: words.flag("steps"),
        })
    }

    fn tells_where(words: &Words) -> bool {
        words.text("glaze").is_some()
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let found = self.glaze.as_deref().map(|name| desk.glaze(name)).transpose()?;
        let workplace = desk.workplace();
        let settings = found.as_ref().map_or(workplace.settings(), |found| &found.settings);
        let library = found.as_ref().map_or(workplace.library(), |found| &found.library);
        let scales = self.scales.unwrap_or(settings.scales);
        let (powder, assumption) = self.powder(found.as_ref());
        let mut assumptions: Vec<Said> = assumption.into_iter().map(Said::Wetting).collect();
        let cup = settings.cup;
        let buckets: Vec<Bucket> = self.buckets.iter().map(|bucket| bucket.with_cup(cup)).collect();
        let surveyed = survey(&buckets, powder).map_err(|why| not_surveyed(why, powder))?;
        let doses = known_doses(&self.add, library)?;
        for (dose, known) in &doses {
            let called = known.as_ref().map(|known| known.name.as_str());
            if let Some(name) = called.filter(|name| !name.eq_ignore_ascii_case(&dose.name)) {
                assumptions.push(Said::TakenAs {
                    typed: dose.name.clone(),
                    material: name.to_owned(),
                });
            }
        }
        let full = self.full.as_ref().map(|full| full.with_cup(cup).millilitres());
        let rescue = self.rescue.as_ref();
        let mending = rescue
            .map(|rescue| rescue.mend(found.as_ref(), library, &surveyed, powder, full))
            .transpose()?;
        let aim = self.to.map(SlurryDensity::density);
        let bench = suspect::Bench {
            found: found.as_ref(),
            library,
            full,
            powder,
        };
        let suspect = self.suspect.as_ref();
        let suspected = suspect.map(|suspect| bench.suspected(suspect, &surveyed)).transpose()?;
        let (suspected, mending) = match suspected {
            Some((suspected, mended)) => (Some(suspected), Some(mended)),
            None => (None, mending),
        };
        let worked = sums(surveyed, powder, &doses, aim, &scales).ok_or_else(|| {
            Diagnostic::error("bad-option", "--to: this powder can't be brought to that density")
                .help("most glazes are 1.3 to 1.7 g/ml")
        })?;
        let own_powder = found.as_ref().is_some_and(|found| is_own_powder(found, &doses));
        let cautions = cautions(&buckets, &worked, full, own_powder);
        let plain = self.rescue.is_none() && self.suspect.is_none() && self.add.is_empty();
        let own = own_density(aim, found.as_ref(), powder).filter(|_| plain);
        let by_water = own.is_some_and(|own| own.1);
        let own = own.and_then(|(own, _)| to_its_own(&worked.survey, powder, own));
        let steps = self.steps.then(|| {
            by_hand::of_bucket(Surveyed {
                buckets: &buckets,
                powder: powder.value(),
                sums: &worked,
                aim: aim.map(GramsPerMillilitre::grams_per_millilitre),
                own,
                mending: mending.as_ref().map(|mending| Mended {
                    material: &mending.material,
                    held: &mending.held,
                    rescued: &mending.rescued,
                }),
            })
        });
        Ok(Answer {
            own,
            by_water,
            steps,
            own_powder,
            cup,
            suspect: suspected,
            glaze: found.map(|found| found.glaze.name),
            cautions: cautions.into_iter().map(Said::Bucket).collect(),
            per_litre: self.is_per_litre(),
            sums: worked,
            buckets,
            powder,
            aim,
            step: scales.reads_to,
            full: full.and_then(Millilitres::new),
            mending,
            assumptions,
        })
    }
}

impl crate::Answer for Answer {}

impl Question {
    /// Neither weight nor volume is told: a litre.
    fn is_per_litre(&self) -> bool {
        self.buckets.iter().any(|bucket| bucket.amount == AskedAmount::Litre)
    }

    fn powder(&self, found: Option<&FoundGlaze>) -> (PowderDensity, Option<wetting::Assumption>) {
        match (self.powder_density, found) {
            (Some(density), _) => (density, None),
            (None, Some(found)) => powder_density(&found.glaze),
            (None, None) => (PowderDensity::UNKNOWN, Some(wetting::Assumption::UsualPowder)),
        }
    }
}

/// The density that a bucket should have: as asked, else as the glaze's file says; else what
/// its water makes of it, and that it is so.
fn own_density(
    asked: Option<GramsPerMillilitre>,
    found: Option<&FoundGlaze>,
    powder: PowderDensity,
) -> Option<(GramsPerMillilitre, bool)> {
    if let Some(asked) = asked {
        return Some((asked, false));
    }
    let about = &found?.glaze.about;
    if let Some(own) = about.density_grams_per_millilitre {
        return GramsPerMillilitre::new(own).map(|own| (own, false));
    }
    let water = about.water?.millilitres_per_kg / 1000.0;
    let density = (1.0 + water) / (1.0 / powder.value() + water);
    GramsPerMillilitre::new(density).map(|own| (own, true))
}

/// Whether all that is added is the powder that the bucket is made of: the bag of a glaze that
/// is one bag, or the glaze by its own name.
fn is_own_powder(found: &FoundGlaze, doses: &[KnownDose]) -> bool {
    let portions: Vec<_> = found.glaze.portions().filter(|portion| portion.percent > 0.0).collect();
    let is_own = |(dose, known): &KnownDose| {
        let bag = match (known, portions.as_slice()) {
            (Some(known), [only]) => known.name == only.material.name,
            _ => false,
        };
        bag || folded(&dose.name) == folded(&found.glaze.name)
    };
    !doses.is_empty() && doses.iter().all(is_own)
}

fn not_surveyed(why: SurveyTrouble, powder: PowderDensity) -> Diagnostic {
    let wrong = |message: String| Diagnostic::error("bad-option", format!("--jar: {message}"));
    match why {
        SurveyTrouble::NothingInJar | SurveyTrouble::NothingInBucket => wrong("there is nothing in it".to_owned())
            .help("weigh the jar full of stirred slurry, its own weight taken off"),
        SurveyTrouble::LighterThanWater(density) => wrong(format!(
            "{density:.3} g/ml is no heavier than water: no powder in it"
        ))
        .help(
            "is the volume right, or was the jar's own weight taken off twice? water is 1.00, most glazes 1.3 to 1.7",
        ),
        SurveyTrouble::TooDense(density, most) => {
            wrong(format!("{density:.2} g/ml is no slurry that pours")).help(format!(
                "is the jar's own weight still in it? with a powder of {:.2} g/ml the most is {most:.2}",
                powder.value()
            ))
        }
    }
}

type KnownDose = (Dose, Option<Arc<Material>>);

fn known_doses(doses: &[Dose], library: &Library) -> Result<Vec<KnownDose>, Diagnostic> {
    let known = |dose: &Dose| Ok((dose.clone(), known(dose, "add", library)?));
    doses.iter().map(known).collect()
}

/// The material of a dose, where the studio knows it; none with a locked metal.
fn known(dose: &Dose, option: &str, library: &Library) -> Result<Option<Arc<Material>>, Diagnostic> {
    let known = library.find(&dose.name).cloned();
    if let Some(material) = &known
        && let Some((metal, name)) = locked_metal(&[(material, 1.0)])
    {
        return Err(Diagnostic::error(
            "locked",
            format!("--{option}: {name} holds {metal}: no dose is worked out"),
        )
        .help(format!("recipes with {metal} are shown for arithmetic only")));
    }
    Ok(known)
}
