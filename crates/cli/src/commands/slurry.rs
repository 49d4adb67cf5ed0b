use std::sync::Arc;

use glost_core::diagnostic::Diagnostic;
use glost_core::glaze::Glaze;
use glost_core::material::{Library, Material};
use glost_core::quantity::{Grams, GramsPerMillilitre, Millilitres, PowderDensity, parse_number};
use glost_core::slurry::{
    Amount, Bucket, Dose, DoseAmount, Held, Jar, Survey, SurveyTrouble, cautions, powder_density, rescue, sums, survey,
};
use glost_core::weigh::locked_metal;
use glost_page::layout::Style;
use glost_page::slurry::{RescuePage, SlurryPage};
use glost_studio::{FoundGlaze, Workplace};

use crate::args::SlurryOptions;
use crate::outcome::{Answer, Outcome};
use crate::trouble;

/// More doses than this at once is a slip.
const MOST_DOSES: usize = 20;

pub(super) fn run(options: &SlurryOptions, workplace: &Workplace, style: Style) -> Outcome {
    let found = options
        .glaze
        .as_deref()
        .map(|name| super::glaze(workplace, name))
        .transpose()?;
    let settings = found.as_ref().map_or(workplace.settings(), |found| &found.settings);
    let library = found.as_ref().map_or(workplace.library(), |found| &found.library);
    let scales = super::scales(options.scales.as_deref(), settings.scales)?;
    let cup = settings.cup;
    let (powder, assumptions) = powder(options, found.as_ref())?;
    let buckets = buckets(options, cup)?;
    let surveyed = survey(&buckets, powder).map_err(|why| not_surveyed(why, powder))?;
    let doses = doses(&options.add, library)?;
    let aim = options
        .to
        .as_deref()
        .map(|text| super::slurry_density("to", text))
        .transpose()?;
    let full = options
        .bucket
        .as_deref()
        .map(|text| super::volume("bucket", text, cup))
        .transpose()?
        .map(Millilitres::millilitres);
    let held = options
        .holds
        .as_deref()
        .map(|text| held(text, options, found.as_ref(), library, &surveyed, powder))
        .transpose()?;
    let worked = sums(surveyed, powder, &doses, aim, &scales).ok_or_else(|| {
        Diagnostic::error("bad-option", "--to: this powder can't be brought to that density")
            .help("most glazes are 1.3 to 1.7 g/ml")
    })?;
    let page = SlurryPage {
        glaze: found.as_ref().map(|found| found.glaze.name.as_str()),
        cautions: cautions(&buckets, &worked, full),
        sums: &worked,
        buckets: &buckets,
        powder,
        aim: aim.map(GramsPerMillilitre::grams_per_millilitre),
        per_litre: options.gross.is_empty() && options.volume.is_empty(),
        step_grams: scales.reads_to.grams(),
        full_millilitres: full,
        rescue: held,
        assumptions,
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

fn powder(options: &SlurryOptions, found: Option<&FoundGlaze>) -> Result<(PowderDensity, Vec<String>), Diagnostic> {
    if let Some(text) = &options.powder_density {
        let density = PowderDensity::parse(text).map_err(|bad| trouble::option("powder-density", bad))?;
        return Ok((density, Vec::new()));
    }
    Ok(match found {
        Some(found) => powder_density(&found.glaze),
        None => (
            PowderDensity::UNKNOWN,
            vec![
                "the powder's own density isn't known: 2.6 +/- 0.1 g/ml (M. Cardew, Pioneer Pottery, 1969)".to_owned(),
            ],
        ),
    })
}

/// The buckets, each with its jar.
fn buckets(options: &SlurryOptions, cup: Millilitres) -> Result<Vec<Bucket>, Diagnostic> {
    let wrong = |message: &str, help: &str| Diagnostic::error("bad-call", message).help(help);
    let jars = options
        .jar
        .iter()
        .map(|text| jar(text, cup))
        .collect::<Result<Vec<_>, _>>()?;
    let amounts = amounts(options, cup)?;
    match (jars.as_slice(), amounts.as_slice()) {
        ([jar], []) => {
            let litre = Millilitres::new(1000.0).unwrap_or(Millilitres::METRIC_CUP);
            Ok(vec![Bucket {
                jar: *jar,
                amount: Amount::Measured(litre),
            }])
        }
        (jars, amounts) if jars.len() == amounts.len() => Ok(jars
            .iter()
            .zip(amounts)
            .map(|(jar, amount)| Bucket {
                jar: *jar,
                amount: *amount,
            })
            .collect()),
        (jars, amounts) => Err(wrong(
            &format!(
                "{} jars and {} buckets: each bucket needs its own",
                jars.len(),
                amounts.len()
            ),
            "give --jar with --gross and --tare (or --volume) once for each bucket, in the same order",
        )),
    }
}

fn amounts(options: &SlurryOptions, cup: Millilitres) -> Result<Vec<Amount>, Diagnostic> {
    let weight = |option: &str, text: &String| Grams::parse(text).map_err(|bad| trouble::option(option, bad));
    let volumes = options.volume.iter();
    let mut amounts = volumes
        .map(|text| super::volume("volume", text, cup).map(Amount::Measured))
        .collect::<Result<Vec<_>, _>>()?;
    if options.gross.is_empty() && !options.tare.is_empty() {
        return Err(Diagnostic::error(
            "bad-call",
            "--tare without --gross: what does the full bucket weigh?",
        ));
    }
    for (index, text) in options.gross.iter().enumerate() {
        // Several buckets of one sort may share one tare.
        let tare = options.tare.get(index).or_else(|| options.tare.last()).ok_or_else(|| {
            Diagnostic::error("bad-call", "what does the empty bucket weigh?")
                .help("add --tare \"620 g\"; `--tare \"0 g\"` if it is taken off already")
        })?;
        let (gross, tare) = (weight("gross", text)?, weight("tare", tare)?);
        let net = Grams::new(gross.grams() - tare.grams()).filter(|net| net.grams() > 0.0);
        amounts.push(Amount::Weighed(net.ok_or_else(|| {
            Diagnostic::error("bad-option", "the full bucket weighs no more than the empty one")
                .help("--gross is bucket and slurry together, --tare the bucket alone")
        })?));
    }
    Ok(amounts)
}

/// `500 ml = 735 g`, or a density.
fn jar(text: &str, cup: Millilitres) -> Result<Jar, Diagnostic> {
    let wrong = |message: String| {
        Diagnostic::error("bad-option", format!("--jar: {message}"))
            .help("write what the jar was filled to and what the slurry in it weighs: \"500 ml = 735 g\"")
    };
    let Some((volume, weight)) = text.split_once('=') else {
        let density = GramsPerMillilitre::parse(text).map_err(|_| wrong(format!("`{text}` is no weighed jar")))?;
        // A density stands for a jar of one litre.
        let litre = Millilitres::new(1000.0).ok_or_else(|| wrong(format!("`{text}` is no weighed jar")))?;
        let weight = Grams::new(1000.0 * density.grams_per_millilitre());
        return Ok(Jar {
            volume: litre,
            weight: weight.ok_or_else(|| wrong(format!("`{text}` is no weighed jar")))?,
        });
    };
    let volume = Millilitres::parse(volume, cup).map_err(|bad| trouble::option("jar", bad))?;
    let weight = Grams::parse(weight).map_err(|bad| trouble::option("jar", bad))?;
    if volume.millilitres() <= 0.0 {
        return Err(wrong(format!("`{text}`: a jar of no size")));
    }
    Ok(Jar { volume, weight })
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

fn doses(texts: &[String], library: &Library) -> Result<Vec<KnownDose>, Diagnostic> {
    if texts.len() > MOST_DOSES {
        return Err(Diagnostic::error(
            "bad-call",
            format!("--add: more than {MOST_DOSES} things at once"),
        ));
    }
    texts.iter().map(|text| dose("add", text, library)).collect()
}

fn dose(option: &str, text: &str, library: &Library) -> Result<KnownDose, Diagnostic> {
    let dose = Dose::parse(text).map_err(|bad| trouble::option(option, bad))?;
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
    Ok((dose, known))
}

/// What went wrong, and what brings it back.
fn held(
    text: &str,
    options: &SlurryOptions,
    found: Option<&FoundGlaze>,
    library: &Library,
    surveyed: &Survey,
    powder: PowderDensity,
) -> Result<RescuePage, Diagnostic> {
    let (dose, known) = dose("holds", text, library)?;
    let material = known.map_or_else(|| dose.name.clone(), |known| known.name.clone());
    let recipe = found.and_then(|found| share_of(&found.glaze, &material));
    let base_share = recipe.map_or(1.0, |(_, base_share)| base_share);
    let wanted = match &options.wanted {
        Some(text) => {
            let number = text.trim().trim_end_matches('%');
            parse_number(number)
                .map_err(|bad| trouble::option("wanted", bad))?
                .value
        }
        None => recipe.map(|(percent, _)| percent).ok_or_else(|| {
            Diagnostic::error("bad-call", format!("how much {material} should be in it?"))
                .help("add --wanted \"0.4 %\", or name the glaze whose recipe holds it")
        })?,
    };
    if !(wanted > 0.0 && wanted <= 1000.0) {
        return Err(
            Diagnostic::error("bad-option", format!("--wanted: {wanted} % is no share"))
                .help("write it such as \"0.4 %\""),
        );
    }
    let grams = match dose.amount {
        DoseAmount::Weight(weight) => weight.grams(),
        DoseAmount::Percent(percent) => {
            let to_others = percent / 100.0 * base_share;
            surveyed.dry_grams * to_others / (1.0 + to_others)
        }
    };
    let held = Held {
        grams,
        wanted_percent: wanted,
        base_share,
    };
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
        others(&found.glaze, &material, rescued.others_to_add_grams)
    });
    Ok(RescuePage {
        material,
        held,
        rescued,
        others,
    })
}

/// Per cent of a material on the other base, and the share of base in all else.
fn share_of(glaze: &Glaze, material: &str) -> Option<(f64, f64)> {
    let total: f64 = glaze.portions().map(|portion| portion.percent).sum();
    let own = |portions: &[glost_core::glaze::Portion]| -> f64 {
        portions
            .iter()
            .filter(|portion| portion.material.name == material)
            .map(|portion| portion.percent)
            .sum()
    };
    let (in_base, on_top) = (own(&glaze.base), own(&glaze.additions));
    let base: f64 = glaze.base.iter().map(|portion| portion.percent).sum::<f64>() - in_base;
    let others = total - in_base - on_top;
    (in_base + on_top > 0.0 && base > 0.0).then(|| (100.0 * (in_base + on_top) / base, base / others))
}

/// Everything else of a recipe, so many grams in all.
fn others(glaze: &Glaze, material: &str, grams: f64) -> Vec<(String, f64)> {
    let others: Vec<&glost_core::glaze::Portion> = glaze
        .portions()
        .filter(|portion| portion.material.name != material && portion.percent > 0.0)
        .collect();
    let total: f64 = others.iter().map(|portion| portion.percent).sum();
    others
        .iter()
        .map(|portion| (portion.material.name.clone(), grams * portion.percent / total))
        .filter(|(_, grams)| *grams > 0.0)
        .collect()
}
