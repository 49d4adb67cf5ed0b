//! Jars, buckets and doses as a call names them.

use glost_chemistry::diagnostic::{Diagnostic, is_no, under};
use glost_chemistry::quantity::{Grams, GramsPerMillilitre, Millilitres, SaidVolume};
use glost_core::workshop::slurry::{Amount, Bucket, Dose, Jar};

use crate::Words;
use crate::words::{bad_option, said_volume};

/// More doses than this at once is a slip.
const MOST_DOSES: usize = 20;

/// A jar of slurry, before it is known whose cup counts.
#[derive(Debug, Clone, PartialEq)]
pub struct AskedJar {
    /// What it was filled to.
    pub volume: SaidVolume,
    /// What the slurry in it weighs.
    pub weight: Grams,
}

/// How much slurry there is.
#[derive(Debug, Clone, PartialEq)]
pub enum AskedAmount {
    /// Nobody says: a litre of it.
    Litre,
    /// By weight, the bucket's own taken off.
    Weighed(Grams),
    /// By volume.
    Measured(SaidVolume),
}

/// One bucket as measured.
#[derive(Debug, Clone, PartialEq)]
pub struct AskedBucket {
    /// A jar of it.
    pub jar: AskedJar,
    /// How much of it there is.
    pub amount: AskedAmount,
}

impl AskedBucket {
    pub(super) fn with_cup(&self, cup: Millilitres) -> Bucket {
        Bucket {
            jar: Jar {
                volume: self.jar.volume.with_cup(cup),
                weight: self.jar.weight,
            },
            amount: match &self.amount {
                AskedAmount::Litre => Amount::Measured(SaidVolume::LITRE.with_cup(cup)),
                AskedAmount::Weighed(weight) => Amount::Weighed(*weight),
                AskedAmount::Measured(volume) => Amount::Measured(volume.with_cup(cup)),
            },
        }
    }
}

/// The buckets, each with its jar.
pub(super) fn buckets(words: &Words) -> Result<Vec<AskedBucket>, Diagnostic> {
    let jars = words.list("jar").iter().map(|text| jar(text));
    let jars = jars.collect::<Result<Vec<_>, _>>()?;
    let mut amounts = amounts(words)?;
    if jars.len() == 1 && amounts.is_empty() {
        amounts.push(AskedAmount::Litre);
    }
    if jars.len() != amounts.len() {
        let message = format!(
            "{} jars and {} buckets: each bucket needs its own",
            jars.len(),
            amounts.len()
        );
        return Err(Diagnostic::error("bad-call", message)
            .help("give --jar with --gross and --tare (or --volume) once for each bucket, in the same order"));
    }
    let pairs = jars.into_iter().zip(amounts);
    Ok(pairs.map(|(jar, amount)| AskedBucket { jar, amount }).collect())
}

fn amounts(words: &Words) -> Result<Vec<AskedAmount>, Diagnostic> {
    let weight = |option: &str, text: &str| Grams::parse(text).map_err(|bad| bad_option(option, bad));
    let (gross, tare) = (words.list("gross"), words.list("tare"));
    let volumes = words.list("volume").iter();
    let mut amounts = volumes
        .map(|text| said_volume("volume", text).map(AskedAmount::Measured))
        .collect::<Result<Vec<_>, _>>()?;
    if gross.is_empty() && !tare.is_empty() {
        return Err(Diagnostic::error(
            "bad-call",
            "--tare without --gross: what does the full bucket weigh?",
        ));
    }
    for (index, text) in gross.iter().enumerate() {
        // Several buckets of one sort may share one tare.
        let tare = tare.get(index).or_else(|| tare.last()).ok_or_else(|| {
            Diagnostic::error("bad-call", "what does the empty bucket weigh?")
                .help("add --tare \"620 g\"; `--tare \"0 g\"` if it is taken off already")
        })?;
        let (gross, tare) = (weight("gross", text)?, weight("tare", tare)?);
        let net = Grams::new(gross.grams() - tare.grams()).filter(|net| net.grams() > 0.0);
        amounts.push(AskedAmount::Weighed(net.ok_or_else(|| {
            Diagnostic::error("bad-option", "the full bucket weighs no more than the empty one")
                .help("--gross is bucket and slurry together, --tare the bucket alone")
        })?));
    }
    Ok(amounts)
}

/// `500 ml = 735 g`, or a density.
fn jar(text: &str) -> Result<AskedJar, Diagnostic> {
    let wrong = |message: String| {
        Diagnostic::error("bad-option", format!("--jar: {message}"))
            .help("write what the jar was filled to and what the slurry in it weighs: \"500 ml = 735 g\"")
    };
    let no_jar = || wrong(is_no(text, "weighed jar"));
    let Some((volume, weight)) = text.split_once('=') else {
        let density = GramsPerMillilitre::parse(text).map_err(|_| no_jar())?;
        // A density stands for a jar of one litre.
        let weight = Grams::new(1000.0 * density.grams_per_millilitre()).ok_or_else(no_jar)?;
        return Ok(AskedJar {
            volume: SaidVolume::LITRE,
            weight,
        });
    };
    let volume = SaidVolume::parse(volume).map_err(|bad| bad_option("jar", bad))?;
    let weight = Grams::parse(weight).map_err(|bad| bad_option("jar", bad))?;
    if volume.is_nothing() {
        return Err(wrong(under(text, "a jar of no size")));
    }
    Ok(AskedJar { volume, weight })
}

/// What to add.
pub(super) fn doses(words: &Words) -> Result<Vec<Dose>, Diagnostic> {
    let texts = words.list("add");
    if texts.len() > MOST_DOSES {
        return Err(Diagnostic::error(
            "bad-call",
            format!("--add: more than {MOST_DOSES} things at once"),
        ));
    }
    let doses = texts.iter();
    doses
        .map(|text| Dose::parse(text).map_err(|bad| bad_option("add", bad)))
        .collect()
}
