//! A wet bucket: how much powder is in it, how much water brings it to a density.

use glost_chemistry::diagnostic::of_typed;
use glost_chemistry::quantity::{Grams, GramsPerMillilitre, Millilitres, PowderDensity};
use glost_core::workshop::slurry::{Amount, Bucket, Jar, Sums, SurveyTrouble, sums, survey};
use glost_core::workshop::wetting::powder_density;
use rhai::{Dynamic, EvalAltResult, Map};

use crate::bounds;
use crate::language::number;
use crate::scene;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::{Trouble, trouble};

use super::{GlazeValue, no_such_name};

type Raised = Box<EvalAltResult>;

/// A bucket as scripts see it.
#[derive(Debug, Clone)]
pub(crate) struct BucketValue {
    sums: Sums,
}

const KEYS: [&str; 6] = ["jar_ml", "jar_g", "gross", "tare", "to", "powder_density"];

/// A weight, volume or density of the description, above zero.
fn figure(given: &Map, key: &str) -> Result<Option<f64>, Raised> {
    let Some(value) = given.get(key) else { return Ok(None) };
    match number(value) {
        Some(figure) if figure.is_finite() && (0.0..=1e9).contains(&figure) => Ok(Some(figure)),
        _ => Err(trouble(
            "wrong-value",
            of_typed(key, "of a bucket should be a number, not negative"),
        )),
    }
}

fn needed(given: &Map, key: &str) -> Result<f64, Raised> {
    figure(given, key)?.ok_or_else(|| {
        Trouble::new("missing-key", format!("a bucket needs `{key}`"))
            .help("bucket(#{ jar_ml: 500, jar_g: 735, gross: 13480, tare: 620 }): millilitres and grams")
            .raise()
    })
}

fn surveyed(given: &Map) -> Result<BucketValue, Raised> {
    bounds::charge_or_end(20)?;
    if let Some(odd) = given.keys().find(|key| !KEYS.contains(&key.as_str())) {
        return Err(Trouble::new("unknown-key", format!("a bucket has no `{odd}`"))
            .maybe_help(glost_chemistry::diagnostic::suggestion(odd, KEYS))
            .raise());
    }
    let wrong = |message: &str| trouble("wrong-value", message);
    let powder = match figure(given, "powder_density")? {
        None => PowderDensity::UNKNOWN,
        Some(value) => PowderDensity::new(value, PowderDensity::USUAL_BAND)
            .ok_or_else(|| wrong("no powder in a glaze is that light or that heavy"))?,
    };
    let net = needed(given, "gross")? - needed(given, "tare")?;
    let net = Grams::new(net)
        .filter(|net| net.grams() > 0.0)
        .ok_or_else(|| wrong("the full bucket weighs no more than the empty one"))?;
    let volume = Millilitres::new(needed(given, "jar_ml")?).filter(|jar| jar.millilitres() > 0.0);
    let jar = Jar {
        volume: volume.ok_or_else(|| wrong("a jar of no size"))?,
        weight: Grams::new(needed(given, "jar_g")?).ok_or_else(|| wrong("a jar of no weight"))?,
    };
    let bucket = Bucket {
        jar,
        amount: Amount::Weighed(net),
    };
    let found = survey(&[bucket], powder).map_err(|why| not_surveyed(&why))?;
    let aim = figure(given, "to")?.and_then(GramsPerMillilitre::new);
    if given.contains_key("to") && aim.is_none() {
        return Err(wrong("`to` is no density: most glazes are 1.3 to 1.7"));
    }
    let scales = scene::scene()?.scales;
    let worked = sums(found, powder, &[], aim, &scales)
        .ok_or_else(|| wrong("this powder can't be brought to that density: most glazes are 1.3 to 1.7"))?;
    Ok(BucketValue { sums: worked })
}

fn not_surveyed(why: &SurveyTrouble) -> Raised {
    trouble(
        "wrong-value",
        match why {
            SurveyTrouble::NothingInJar | SurveyTrouble::NothingInBucket => "there is nothing in it".to_owned(),
            SurveyTrouble::LighterThanWater(density) => {
                format!("{density:.2} g/ml is no heavier than water: was the jar's own weight taken off twice?")
            }
            SurveyTrouble::TooDense(density, _) => {
                format!("{density:.2} g/ml is no slurry that pours: is the jar's own weight still in it?")
            }
        },
    )
}

impl BucketValue {
    fn water(&self, of: fn(&Sums) -> Option<f64>) -> Result<f64, Raised> {
        of(&self.sums).ok_or_else(|| {
            Trouble::new("missing-key", "to which density?")
                .help("say it when asking: `bucket(#{ ..., to: 1.45 })`")
                .raise()
        })
    }
}

pub(super) fn register(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Bucket;
    shelf.module.set_custom_type::<BucketValue>(OWNER.words());
    shelf.add(
        Entry::function(
            "bucket",
            "description",
            OWNER,
            "What is in a wet bucket (Brongniart): `jar_ml` and `jar_g` of a stirred jar, its own weight taken off; `gross` and `tare` of the bucket in grams; `to` a density; `powder_density`, 2.6 +/- 0.1 g/ml unless said.",
        )
        .example("bucket(#{ jar_ml: 500, jar_g: 735, gross: 13480, tare: 620, to: 1.45 }).dry > 6600"),
        |given: Map| surveyed(&given),
    );
    let mut figure = |name: &'static str, about: &'static str, of: fn(&Sums) -> f64| {
        shelf.add(
            Entry::property(OWNER, name, Sort::Number, about),
            move |bucket: &mut BucketValue| of(&bucket.sums),
        );
    };
    figure("density", "Density of the slurry in g/ml.", |sums| sums.survey.density);
    figure("grams", "Grams of slurry.", |sums| sums.survey.slurry_grams);
    figure("millilitres", "Millilitres of slurry.", |sums| {
        sums.survey.volume_millilitres
    });
    figure("dry", "Grams of dry powder in it.", |sums| sums.survey.dry_grams);
    figure(
        "dry_low",
        "The least dry powder there may be: powder 0.1 g/ml off, the jar read to 1 %.",
        |sums| sums.survey.dry_grams_low,
    );
    figure("dry_high", "The most dry powder there may be.", |sums| {
        sums.survey.dry_grams_high
    });
    figure(
        "new_millilitres",
        "Millilitres of slurry once it is at the density of `to`; as it is without one.",
        |sums| sums.new_volume_millilitres,
    );
    shelf.add(
        Entry::property(
            OWNER,
            "water_to_add",
            Sort::Number,
            "Millilitres of water that bring it to the density of `to`; 0 where water has to come off; an error without `to`.",
        ),
        |bucket: &mut BucketValue| bucket.water(|sums| sums.water_to_add_millilitres),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "water_to_remove",
            Sort::Number,
            "Millilitres of clear water to take off once it has settled; 0 where water has to be added; an error without `to`.",
        ),
        |bucket: &mut BucketValue| bucket.water(|sums| sums.water_to_remove_millilitres),
    );
    shelf.silent(
        "index$get$",
        |_: &mut BucketValue, name: &str| -> Result<Dynamic, Raised> {
            Err(no_such_name(OWNER, name, crate::reference::names_of(OWNER)))
        },
    );
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "powder_density",
            Sort::Number,
            "Density of its dry grains in g/ml, from its materials' own; 2.6 for those that give none.",
        ),
        |glaze: &mut GlazeValue| powder_density(glaze.recipe()).0.value(),
    );
}
