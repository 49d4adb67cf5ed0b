//! A sum in numbers: what is added, multiplied, divided, and what comes out.

use std::fmt;

use serde::{Serialize, Serializer};

/// A sum: numbers and what is done with them.
#[derive(Debug, Clone, PartialEq)]
pub enum Sum {
    /// A number that is told, or one that an earlier line ends in.
    Number(f64),
    /// All together.
    Plus(Vec<Sum>),
    /// The first less the second.
    Minus(Box<Sum>, Box<Sum>),
    /// One times the other.
    Times(Vec<Sum>),
    /// The first divided by the second.
    Over(Box<Sum>, Box<Sum>),
}

impl From<f64> for Sum {
    fn from(number: f64) -> Sum {
        Sum::Number(number)
    }
}

impl Sum {
    /// `a + b + ...`
    pub fn plus(terms: impl IntoIterator<Item = impl Into<Sum>>) -> Sum {
        Sum::Plus(terms.into_iter().map(Into::into).collect())
    }

    /// `a x b x ...`
    pub fn times(terms: impl IntoIterator<Item = impl Into<Sum>>) -> Sum {
        Sum::Times(terms.into_iter().map(Into::into).collect())
    }

    /// `self - other`
    #[must_use]
    pub fn less(self, other: impl Into<Sum>) -> Sum {
        Sum::Minus(Box::new(self), Box::new(other.into()))
    }

    /// `self x other`
    #[must_use]
    pub fn by(self, other: impl Into<Sum>) -> Sum {
        match self {
            Sum::Times(mut terms) => {
                terms.push(other.into());
                Sum::Times(terms)
            }
            one => Sum::Times(vec![one, other.into()]),
        }
    }

    /// `self / other`
    #[must_use]
    pub fn over(self, other: impl Into<Sum>) -> Sum {
        Sum::Over(Box::new(self), Box::new(other.into()))
    }

    /// What comes out.
    pub fn value(&self) -> f64 {
        match self {
            Sum::Number(number) => *number,
            Sum::Plus(terms) => terms.iter().map(Sum::value).sum(),
            Sum::Minus(one, other) => one.value() - other.value(),
            Sum::Times(terms) => terms.iter().map(Sum::value).product(),
            Sum::Over(one, other) => one.value() / other.value(),
        }
    }

    /// The sum in signs, each number as `number` writes it, `times` between what is multiplied.
    pub fn written(&self, number: &impl Fn(f64) -> String, times: &str) -> String {
        let joined = |terms: &[Sum], sign: &str, least: u8| {
            let each: Vec<String> = terms.iter().map(|term| term.bound(least, number, times)).collect();
            each.join(sign)
        };
        match self {
            Sum::Number(value) => number(*value),
            Sum::Plus(terms) => joined(terms, " + ", SUM),
            Sum::Minus(one, other) => format!(
                "{} - {}",
                one.bound(SUM, number, times),
                other.bound(PRODUCT, number, times)
            ),
            Sum::Times(terms) => joined(terms, times, PRODUCT),
            Sum::Over(one, other) => format!(
                "{} / {}",
                one.bound(PRODUCT, number, times),
                other.bound(NUMBER, number, times)
            ),
        }
    }

    /// With brackets where it binds less than `least`.
    fn bound(&self, least: u8, number: &impl Fn(f64) -> String, times: &str) -> String {
        let own = match self {
            Sum::Number(value) if *value < 0.0 => NEGATIVE,
            Sum::Number(_) => NUMBER,
            Sum::Plus(terms) | Sum::Times(terms) if terms.len() == 1 => NUMBER,
            Sum::Plus(_) | Sum::Minus(..) => SUM,
            Sum::Times(_) | Sum::Over(..) => PRODUCT,
        };
        let written = self.written(number, times);
        if own < least { format!("({written})") } else { written }
    }
}

/// How firmly a sign binds.
const NEGATIVE: u8 = 0;
const SUM: u8 = 1;
const PRODUCT: u8 = 2;
const NUMBER: u8 = 3;

/// In full precision, with the signs that programs read.
impl fmt::Display for Sum {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.written(&|number| format!("{number}"), " * "))
    }
}

/// What a line of a sum works out.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
#[serde(tag = "what", rename_all = "snake_case")]
pub enum Step {
    /// Grams of all powder to a gram of base.
    PowderPerBase,
    /// Millilitres of water to a gram of powder, from the density wanted and the powder's own.
    WaterPerGramByDensity,
    /// Millilitres of water to a gram of powder, from the litres to a kilogram.
    WaterPerGram,
    /// Grams of base that fill the bucket.
    BaseOfBucket,
    /// Grams of a material in the batch, before they are rounded to the scales.
    Material {
        /// Its name.
        material: String,
    },
    /// Grams of all that is weighed.
    AllPowder,
    /// Water for the batch, ml.
    Water,
    /// The part of it that goes in first, ml.
    FirstWater,
    /// What the batch fills, ml.
    Volume,
    /// What a millilitre of it weighs, g/ml.
    Density,
    /// What a millilitre of the jar weighs, g/ml.
    JarDensity {
        /// Which bucket, from 1.
        bucket: usize,
    },
    /// What the slurry of a bucket weighs, g.
    SlurryWeight {
        /// Which bucket, from 1.
        bucket: usize,
    },
    /// What the slurry of a bucket fills, ml.
    SlurryVolume {
        /// Which bucket, from 1.
        bucket: usize,
    },
    /// Dry powder in a bucket, g (Brongniart).
    PowderIn {
        /// Which bucket, from 1.
        bucket: usize,
    },
    /// Dry powder of all buckets, g.
    PowderInAll,
    /// Slurry of all buckets, g.
    SlurryInAll,
    /// What all buckets fill, ml.
    VolumeInAll,
    /// Water in it, g and so ml.
    WaterIn,
    /// Grams of what is added.
    Dose {
        /// The material.
        material: String,
    },
    /// Per cent of the dry powder that what is added is.
    DosePercent {
        /// The material.
        material: String,
    },
    /// All of it with what is added, g.
    WeightThen,
    /// What that fills, ml.
    VolumeThen,
    /// Its density then, g/ml.
    DensityThen,
    /// Water to add to reach the density, ml; below nothing: to take off.
    WaterToDensity,
    /// Powder to have in all so that its water is enough, g.
    PowderForItsWater,
    /// Powder of its own to add, g.
    PowderToAdd,
    /// All powder but the one that went wrong, g.
    OtherPowder,
    /// Of the other powder what counts as base, g.
    BaseInIt,
    /// Per cent that the material is of the base.
    ShareNow {
        /// The material.
        material: String,
    },
    /// Grams of base that so much of it is right for.
    BaseForIt {
        /// The material.
        material: String,
    },
    /// Everything else to add, g.
    OthersToAdd,
    /// What of the material to add, g.
    MoreOfIt {
        /// The material.
        material: String,
    },
    /// Per cent of a material in a tile: each end's per cent by its share.
    PercentInTile {
        /// The tile's code.
        tile: String,
        /// The material.
        material: String,
    },
    /// Grams of it for the tile, before they are rounded.
    GramsOfTile {
        /// The tile's code.
        tile: String,
        /// The material.
        material: String,
    },
    /// Slurry of an end for a tile, ml.
    SlurryOfTile {
        /// The tile's code.
        tile: String,
        /// The end, from 1.
        end: usize,
    },
    /// How many tiles' worth of an end the plan takes.
    TilesOfEnd {
        /// The end, from 1.
        end: usize,
    },
    /// Slurry to make of an end, ml.
    SlurryOfEnd {
        /// The end, from 1.
        end: usize,
    },
    /// Base in a millilitre of every end's slurry, g: the density, the powder's own, and what
    /// the end with the most additions holds on top.
    BasePerMillilitre,
    /// Base for an end, g; the largest is brought up to a round figure, the others with it.
    BaseOfEnd {
        /// The end, from 1.
        end: usize,
    },
    /// All powder of an end, g.
    PowderOfEnd {
        /// The end, from 1.
        end: usize,
    },
    /// Water that brings an end to its volume, ml.
    WaterOfEnd {
        /// The end, from 1.
        end: usize,
    },
    /// Its density then, g/ml.
    DensityOfEnd {
        /// The end, from 1.
        end: usize,
    },
    /// Slurry of a base that several ends share, before it is split, g.
    SlurryToSplit,
    /// An end's part of it, g.
    SplitOfEnd {
        /// The end, from 1.
        end: usize,
    },
}

/// A line of a sum as one does it by hand.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What is worked out.
    pub step: Step,
    /// The sum.
    pub sum: Sum,
    /// What the engine says it comes to.
    pub value: f64,
    /// What scales or syringe make of it, where it is weighed or drawn.
    pub rounded: Option<f64>,
}

impl Line {
    /// A line whose sum ends in what the engine says.
    pub(super) fn new(step: Step, sum: Sum, value: f64) -> Line {
        Line {
            step,
            sum,
            value,
            rounded: None,
        }
    }

    /// A line that only leads to the next.
    pub(super) fn between(step: Step, sum: Sum) -> Line {
        let value = sum.value();
        Line::new(step, sum, value)
    }

    /// The same with what is weighed or drawn.
    pub(super) fn taken(self, rounded: f64) -> Line {
        Line {
            rounded: Some(rounded),
            ..self
        }
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct LineJson<'a> {
    #[serde(flatten)]
    step: &'a Step,
    sum: String,
    value: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    rounded: Option<f64>,
}

impl Serialize for Line {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        LineJson {
            step: &self.step,
            sum: self.sum.to_string(),
            value: self.value,
            rounded: self.rounded,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Line: LineJson<'_>);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sum_reads_as_it_is_reckoned() {
        let sum = Sum::plus([7340.0, -1.0]).less(Sum::plus([2.0, 3.0])).over(2.6).by(2.0);
        assert_eq!(sum.to_string(), "(7340 + (-1) - (2 + 3)) / 2.6 * 2");
        assert!((sum.value() - (7340.0 - 1.0 - 5.0) / 2.6 * 2.0).abs() < 1e-12);
        let over = Sum::Number(1.0).over(Sum::times([2.0, 4.0]));
        assert_eq!((over.to_string().as_str(), over.value()), ("1 / (2 * 4)", 0.125));
    }
}
