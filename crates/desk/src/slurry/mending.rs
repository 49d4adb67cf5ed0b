//! A mis-dosed bucket: what is in it, and what brings it back.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::material::Library;
use glost_chemistry::quantity::{Grams, PowderDensity, parse_number};
use glost_core::workshop::cost::{self, Cost};
use glost_core::workshop::slurry::{
    Dose, DoseAmount, Held, RecipeShare, Rescue, Survey, everything_else, recipe_share, rescue, share_on_the_rest,
};
use glost_studio::FoundGlaze;
use serde::{Serialize, Serializer};

use super::known;
use crate::Words;
use crate::words::bad_option;

/// What went wrong and is in already.
#[derive(Debug, Clone, PartialEq)]
pub struct AskedRescue {
    /// What is in, and how much.
    pub holds: Dose,
    /// The dry weight of the batch that it went into, where that was another.
    pub whole: Option<Grams>,
    /// What there should be, per cent; none: as the recipe says.
    pub wanted_percent: Option<f64>,
}

/// A material that went wrong and what brings it back.
#[derive(Debug, Clone, PartialEq)]
pub struct Mending {
    /// The material.
    pub material: String,
    /// Whether the recipe counts it in the base: shares are then of the base, not on it.
    pub in_base: bool,
    /// What was told.
    pub held: Held,
    /// What follows.
    pub rescued: Rescue,
    /// What to add of everything else, where the recipe is known.
    pub others: Vec<Other>,
    /// Whether it fits the bucket, where that is told.
    pub fits: Option<bool>,
    /// What binning it or bringing it back costs.
    pub costs: Costs,
}

/// Two ways out of a mis-dosed bucket, each with its price where the prices are known.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Costs {
    /// What the powder in the bucket cost.
    pub bin: Option<f64>,
    /// What bringing it back costs.
    pub bring_back: Option<f64>,
    /// The currency.
    pub currency: Option<String>,
}

/// So much of a material.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Other {
    /// Its name.
    pub material: String,
    /// Grams.
    pub grams: f64,
}

impl Mending {
    /// A percentage on everything else as the recipe counts it.
    pub fn share_percent(&self, percent: f64) -> f64 {
        if self.in_base {
            100.0 * percent / (100.0 + percent)
        } else {
            percent
        }
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct MendingJson<'a> {
    material: &'a str,
    grams: f64,
    percent: f64,
    wanted_percent: f64,
    add_grams: f64,
    others_to_add_grams: f64,
    others: &'a [Other],
    water_to_add_millilitres: f64,
    volume_millilitres: f64,
    fits: Option<bool>,
    bin_cost: Option<f64>,
    bring_back_cost: Option<f64>,
    currency: &'a Option<String>,
}

impl Serialize for Mending {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let rescued = &self.rescued;
        MendingJson {
            material: &self.material,
            grams: self.held.grams,
            percent: self.share_percent(rescued.percent),
            wanted_percent: self.share_percent(self.held.wanted_percent),
            add_grams: rescued.add_grams,
            others_to_add_grams: rescued.others_to_add_grams,
            others: &self.others,
            water_to_add_millilitres: rescued.water_to_add_millilitres,
            volume_millilitres: rescued.volume_millilitres,
            fits: self.fits,
            bin_cost: self.costs.bin,
            bring_back_cost: self.costs.bring_back,
            currency: &self.costs.currency,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Mending: MendingJson<'_>);

impl AskedRescue {
    pub(super) fn from_words(words: &Words) -> Result<Option<AskedRescue>, Diagnostic> {
        let Some(text) = words.text("holds") else {
            return Ok(None);
        };
        let (text, whole) = part_of(text)?;
        let wanted = words.text("wanted").map(|text| {
            let number = parse_number(text.trim().trim_end_matches('%'));
            number
                .map(|number| number.value)
                .map_err(|bad| bad_option("wanted", bad))
        });
        Ok(Some(AskedRescue {
            holds: Dose::parse(text).map_err(|bad| bad_option("holds", bad))?,
            whole,
            wanted_percent: wanted.transpose()?,
        }))
    }

    /// What went wrong, and what brings it back.
    pub(super) fn mend(
        &self,
        found: Option<&FoundGlaze>,
        library: &Library,
        surveyed: &Survey,
        powder: PowderDensity,
        full_millilitres: Option<f64>,
    ) -> Result<Mending, Diagnostic> {
        let known = known(&self.holds, "holds", library)?;
        let material = known.map_or_else(|| self.holds.name.clone(), |known| known.name.clone());
        let recipe = found.and_then(|found| recipe_share(&found.glaze, &material));
        let held = self.held(&material, recipe, surveyed)?;
        let grams = held.grams;
        let rescued = rescue(surveyed, held, powder.value()).ok_or_else(|| {
            Diagnostic::error(
                "bad-option",
                format!(
                    "--holds: {grams:.1} g of {material}, but the bucket holds {:.1} g of powder in all",
                    surveyed.dry_grams
                ),
            )
            .help("count what is in this bucket now, not what went into a bigger one")
        })?;
        let others = found.map_or_else(Vec::new, |found| {
            everything_else(&found.glaze, &material, rescued.others_to_add_grams)
        });
        let own = Other {
            material: material.clone(),
            grams: rescued.add_grams,
        };
        let others: Vec<Other> = others
            .into_iter()
            .map(|(material, grams)| Other { material, grams })
            .collect();
        let costs = found.map_or_else(Costs::default, |found| {
            costs(found, library, others.iter().chain([&own]), surveyed)
        });
        Ok(Mending {
            material,
            in_base: recipe.is_some_and(|recipe| recipe.in_base),
            held,
            costs,
            others,
            fits: full_millilitres.map(|full| rescued.volume_millilitres <= full),
            rescued,
        })
    }

    fn held(&self, material: &str, recipe: Option<RecipeShare>, surveyed: &Survey) -> Result<Held, Diagnostic> {
        let base_share = recipe.map_or(1.0, |recipe| recipe.base_share);
        let in_base = recipe.is_some_and(|recipe| recipe.in_base);
        let wanted = self.wanted_percent.or(recipe.map(|recipe| recipe.percent));
        let wanted = wanted.ok_or_else(|| {
            Diagnostic::error("bad-call", format!("how much {material} should be in it?"))
                .help("add --wanted \"0.4 %\", or name the glaze whose recipe holds it")
        })?;
        let wanted_percent = on_the_rest("wanted", wanted, in_base)?;
        let grams = match self.holds.amount {
            // Of what went into the whole batch, this bucket has its share.
            DoseAmount::Weight(weight) => {
                weight.grams() * self.whole.map_or(1.0, |whole| surveyed.dry_grams / whole.grams())
            }
            DoseAmount::Percent(percent) => {
                let to_others = on_the_rest("holds", percent, in_base)? / 100.0 * base_share;
                surveyed.dry_grams * to_others / (1.0 + to_others)
            }
        };
        Ok(Held {
            grams,
            wanted_percent,
            base_share,
        })
    }
}

/// What the powder in a bucket cost, and what goes in to bring it back.
fn costs<'a>(
    found: &FoundGlaze,
    library: &Library,
    added: impl Iterator<Item = &'a Other>,
    surveyed: &Survey,
) -> Costs {
    let currency = found.settings.currency.as_deref();
    let added: Vec<&Other> = added.filter(|other| other.grams > 0.0).collect();
    let known: Vec<_> = added
        .iter()
        .filter_map(|other| Some((library.find(&other.material)?, other.grams)))
        .collect();
    let back = cost::cost(known.iter().map(|(material, grams)| (&***material, *grams)), currency);
    let per_kg = Cost::of_glaze(&found.glaze, currency);
    let bin = per_kg.is_whole().then(|| per_kg.per_kg()).flatten();
    Costs {
        bin: bin.map(|per_kg| per_kg * surveyed.dry_grams / 1000.0),
        bring_back: back.amount.filter(|_| back.is_whole() && known.len() == added.len()),
        currency: per_kg.currency,
    }
}

/// `2600 g silica of 7340 g`: the dose, and the dry weight of the batch it went into.
fn part_of(text: &str) -> Result<(&str, Option<Grams>), Diagnostic> {
    let Some((dose, whole)) = text.rsplit_once(" of ") else {
        return Ok((text, None));
    };
    match Grams::parse(whole) {
        Ok(grams) if grams.grams() > 0.0 => Ok((dose, Some(grams))),
        Ok(_) => Err(
            Diagnostic::error("bad-option", format!("--holds: a batch of `{whole}`?"))
                .help("write what went in and the dry weight it went into: \"2600 g silica of 7340 g\""),
        ),
        // A material may have " of " in its name.
        Err(_) => Ok((text, None)),
    }
}

fn on_the_rest(option: &str, percent: f64, in_base: bool) -> Result<f64, Diagnostic> {
    share_on_the_rest(percent, in_base).ok_or_else(|| {
        Diagnostic::error(
            "bad-option",
            format!("--{option}: {percent} % is no share that can be mixed"),
        )
        .help("write it such as \"0.4 %\"")
    })
}
