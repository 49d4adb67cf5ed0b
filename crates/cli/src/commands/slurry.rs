use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::material::{Library, Material};
use glost_chemistry::quantity::{Grams, GramsPerMillilitre, Millilitres, PowderDensity, parse_number};
use glost_core::workshop::hazards::locked_metal;
use glost_core::workshop::slurry::{
    Amount, Bucket, Dose, DoseAmount, Held, Jar, Survey, SurveyTrouble, cautions, everything_else, recipe_share,
    rescue, share_on_the_rest, sums, survey,
};
use glost_core::workshop::wetting::powder_density;
use glost_page::layout::Style;
use glost_page::rescue::RescuePage;
use glost_page::slurry::SlurryPage;
use glost_studio::{FoundGlaze, Workplace};

use crate::args::SlurryOptions;
use crate::outcome::{Answer, Outcome};
use glost_desk::trouble;

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
    let (powder, mut assumptions) = powder(options, found.as_ref())?;
    let buckets = buckets(options, cup)?;
    let surveyed = survey(&buckets, powder).map_err(|why| not_surveyed(why, powder))?;
    let doses = doses(&options.add, library)?;
    for (dose, known) in &doses {
        let called = known.as_ref().map(|known| known.name.as_str());
        if let Some(name) = called.filter(|name| !name.eq_ignore_ascii_case(&dose.name)) {
            assumptions.push(format!("{} is taken as {name}", dose.name));
        }
    }
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
    let (text, whole) = part_of(text)?;
    let (dose, known) = dose("holds", text, library)?;
    let material = known.map_or_else(|| dose.name.clone(), |known| known.name.clone());
    let recipe = found.and_then(|found| recipe_share(&found.glaze, &material));
    let base_share = recipe.map_or(1.0, |recipe| recipe.base_share);
    let in_base = recipe.is_some_and(|recipe| recipe.in_base);
    let wanted = match &options.wanted {
        Some(text) => {
            let number = text.trim().trim_end_matches('%');
            parse_number(number)
                .map_err(|bad| trouble::option("wanted", bad))?
                .value
        }
        None => recipe.map(|recipe| recipe.percent).ok_or_else(|| {
            Diagnostic::error("bad-call", format!("how much {material} should be in it?"))
                .help("add --wanted \"0.4 %\", or name the glaze whose recipe holds it")
        })?,
    };
    let wanted_percent = on_the_rest("wanted", wanted, in_base)?;
    let grams = match dose.amount {
        // Of what went into the whole batch, this bucket has its share.
        DoseAmount::Weight(weight) => weight.grams() * whole.map_or(1.0, |whole| surveyed.dry_grams / whole.grams()),
        DoseAmount::Percent(percent) => {
            let to_others = on_the_rest("holds", percent, in_base)? / 100.0 * base_share;
            surveyed.dry_grams * to_others / (1.0 + to_others)
        }
    };
    let held = Held {
        grams,
        wanted_percent,
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
        everything_else(&found.glaze, &material, rescued.others_to_add_grams)
    });
    Ok(RescuePage {
        material,
        in_base,
        held,
        rescued,
        others,
    })
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
