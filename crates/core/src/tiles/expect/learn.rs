//! What a studio's grades say of a glaze, and how well they would have said it before.

use nalgebra::{DMatrix, DVector};

use super::features::{Features, Unlike, features};
use super::made::{Graded, Made};
use super::process::{Believed, Guess, Places, averaged, believed};

/// Things that the model holds apart at most; more are gathered about these.
const MOST_PLACES: usize = 250;
/// Grades differ by this at least, however alike they were noted.
const LEAST_SCATTER: f64 = 0.5;
/// Half of a band of 90 %, in standard deviations.
const NINETY: f64 = 1.644_853_6;
/// The scale that grades are of.
const SCALE: (f64, f64) = (0.0, 5.0);
/// Nearest things told.
const NEAREST: usize = 5;
/// Farther than this, in clear changes, nothing is like it (ours).
const LIKE_WITHIN: f64 = 2.0;
/// Nearer than this, in clear changes, two things are one under two names: they are left
/// out together (ours).
const ONE_WITHIN: f64 = 0.3;
/// Grades of one thing that differ by this much contradict each other.
const CONTRADICTS: f64 = 2.0;

/// What was learnt from everything that was graded for one property.
pub struct Studio {
    things: Vec<Graded>,
    features: Vec<Features>,
    /// Which thing stands at each of the model's places, and which things are gathered there.
    places: Vec<Place>,
    mean: f64,
    unit: f64,
    trend: Vec<(f64, f64)>,
    y: DVector<f64>,
    counts: Vec<f64>,
    pub(super) believed: Vec<Believed>,
}

struct Place {
    thing: usize,
    gathered: Vec<usize>,
    trend: Vec<f64>,
}

/// A grade that is expected, with its bands of 90 %.
#[derive(Debug, Clone, PartialEq)]
pub struct Expectation {
    /// The grade.
    pub value: f64,
    /// Where the grade of one tile lies, 5 % and 95 %.
    pub tile: (f64, f64),
    /// Where the mean of many tiles lies.
    pub level: (f64, f64),
    /// The nearest things that were made, the nearest first.
    pub nearest: Vec<Neighbour>,
    /// Whether anything like it was made.
    pub like: bool,
    /// In what it lies outside all that was made.
    pub unlike: Vec<Unlike>,
}

/// Something near that was made.
#[derive(Debug, Clone, PartialEq)]
pub struct Neighbour {
    /// The thing.
    pub made: Made,
    /// How far, in clear changes.
    pub distance: f64,
    /// Its mean grade.
    pub grade: f64,
    /// How often it was graded.
    pub count: usize,
}

/// How well grades are told that were left out.
#[derive(Debug, Clone, PartialEq)]
pub struct LeftOut {
    /// What was left out together.
    pub name: String,
    /// Grades of it.
    pub grades: usize,
    /// Root mean square of what was told less what was graded.
    pub error: f64,
    /// The same of the plain mean of all others.
    pub plain: f64,
    /// Share of the grades that lay in their band of 90 %.
    pub in_band: f64,
}

/// All grades at once.
#[derive(Debug, Clone, PartialEq)]
pub struct WholeStudio {
    /// Each thing left out alone.
    pub by_thing: LeftOut,
    /// Each glaze or plan left out as a whole; `None` where there is one only.
    pub by_glaze: Option<LeftOut>,
    /// The same, glaze by glaze.
    pub glazes: Vec<LeftOut>,
    /// Standard deviation of one grade about what its glaze is.
    pub scatter: f64,
    /// Things whose grades contradict each other.
    pub contradictions: Vec<Graded>,
}

/// Learns from everything that was graded; `None` where nothing was.
pub fn learn(things: Vec<Graded>) -> Option<Studio> {
    let grades: Vec<f64> = things
        .iter()
        .flat_map(|thing| &thing.grades)
        .map(|grade| grade.0)
        .collect();
    if grades.is_empty() {
        return None;
    }
    let mean = grades.iter().sum::<f64>() / grades.len() as f64;
    let square: f64 = grades.iter().map(|grade| (grade - mean).powi(2)).sum();
    let unit = (square / grades.len() as f64).sqrt().max(LEAST_SCATTER);
    let features: Vec<Features> = things.iter().map(|thing| features(&thing.made)).collect();
    let trend = trend_scales(&features);
    let places = places(&features, &trend);
    let own = |place: &Place| -> Vec<f64> {
        let gathered = place.gathered.iter().flat_map(|&thing| &things[thing].grades);
        gathered.map(|grade| (grade.0 - mean) / unit).collect()
    };
    let of_places: Vec<Vec<f64>> = places.iter().map(own).collect();
    let average = |grades: &Vec<f64>| grades.iter().sum::<f64>() / grades.len() as f64;
    let y = DVector::from_iterator(places.len(), of_places.iter().map(average));
    let counts: Vec<f64> = of_places.iter().map(|grades| grades.len() as f64).collect();
    let within = of_places.iter().zip(y.iter());
    let within = within.flat_map(|(grades, mean)| grades.iter().map(move |grade| (grade - mean).powi(2)));
    let distances = DMatrix::from_fn(places.len(), places.len(), |i, j| {
        features[places[i].thing].distance(&features[places[j].thing])
    });
    let trends: Vec<Vec<f64>> = places.iter().map(|place| place.trend.clone()).collect();
    let believed = believed(&Places {
        pair: &|i, j| {
            let (one, other) = (&features[places[i].thing], &features[places[j].thing]);
            (distances[(i, j)], one.on_one_clay(other))
        },
        trend: &trends,
        y: &y,
        counts: &counts,
        within: within.sum(),
    });
    Some(Studio {
        things,
        features,
        places,
        mean,
        unit,
        trend,
        y,
        counts,
        believed,
    })
}

/// Mean and scatter of each variable of the trend, where it is known.
fn trend_scales(features: &[Features]) -> Vec<(f64, f64)> {
    let of = |index: usize| {
        let known: Vec<f64> = features.iter().filter_map(|features| features.trend[index]).collect();
        let count = known.len().max(1) as f64;
        let mean = known.iter().sum::<f64>() / count;
        let square: f64 = known.iter().map(|value| (value - mean).powi(2)).sum();
        (mean, (square / count).sqrt())
    };
    (0..3).map(of).collect()
}

/// The trend's variables over their scatter; what isn't known, or never moved, says nothing.
fn trend_of(features: &Features, scales: &[(f64, f64)]) -> Vec<f64> {
    let both = features.trend.iter().zip(scales);
    both.map(|(value, (mean, scatter))| match value {
        Some(value) if *scatter > 1e-6 => ((value - mean) / scatter).clamp(-4.0, 4.0),
        _ => 0.0,
    })
    .collect()
}

/// One place a thing; of more than can be held apart, those farthest from each other, the
/// others gathered about the nearest.
fn places(features: &[Features], trend: &[(f64, f64)]) -> Vec<Place> {
    let place = |thing: usize| Place {
        thing,
        gathered: vec![thing],
        trend: trend_of(&features[thing], trend),
    };
    if features.len() <= MOST_PLACES {
        return (0..features.len()).map(place).collect();
    }
    let mut chosen = vec![0_usize];
    let mut nearest: Vec<(f64, usize)> = features.iter().map(|other| (features[0].distance(other), 0)).collect();
    while chosen.len() < MOST_PLACES {
        let mut farthest = 0;
        for (thing, (distance, _)) in nearest.iter().enumerate() {
            if *distance > nearest[farthest].0 {
                farthest = thing;
            }
        }
        for (thing, known) in nearest.iter_mut().enumerate() {
            let distance = features[farthest].distance(&features[thing]);
            if distance < known.0 {
                *known = (distance, chosen.len());
            }
        }
        nearest[farthest] = (0.0, chosen.len());
        chosen.push(farthest);
    }
    let mut places: Vec<Place> = chosen.iter().map(|&thing| place(thing)).collect();
    for (thing, (_, at)) in nearest.iter().enumerate() {
        if !chosen.contains(&thing) {
            places[*at].gathered.push(thing);
        }
    }
    places
}

impl Studio {
    /// Everything that was graded, equal things once.
    pub fn things(&self) -> &[Graded] {
        &self.things
    }

    /// How many places the model holds apart; fewer than things where they were too many.
    pub fn places(&self) -> usize {
        self.places.len()
    }

    /// Whether every grade is the same, and what it is.
    pub fn all_alike(&self) -> Option<f64> {
        let mut grades = self.things.iter().flat_map(|thing| &thing.grades).map(|grade| grade.0);
        let first = grades.next()?;
        grades.all(|grade| grade == first).then_some(first)
    }

    /// What is to be expected of a thing.
    pub fn expect(&self, made: &Made) -> Expectation {
        let own = features(made);
        let guess = self.guess(&own);
        let mut nearest: Vec<(f64, usize)> = self
            .features
            .iter()
            .enumerate()
            .map(|(thing, other)| (own.distance(other), thing))
            .collect();
        nearest.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let like = nearest.first().is_some_and(|(distance, _)| *distance <= LIKE_WITHIN);
        let neighbour = |&(distance, thing): &(f64, usize)| Neighbour {
            made: self.things[thing].made.clone(),
            distance,
            grade: self.things[thing].mean(),
            count: self.things[thing].grades.len(),
        };
        Expectation {
            value: self.clipped(guess.mean),
            tile: self.band(guess, guess.level + guess.noise),
            level: self.band(guess, guess.level),
            nearest: nearest.iter().take(NEAREST).map(neighbour).collect(),
            like,
            unlike: Unlike::of(&made.unity, self.things.iter().map(|thing| &thing.made.unity)),
        }
    }

    fn clipped(&self, y: f64) -> f64 {
        (self.mean + self.unit * y).clamp(SCALE.0, SCALE.1)
    }

    fn band(&self, guess: Guess, variance: f64) -> (f64, f64) {
        let half = NINETY * variance.sqrt();
        (self.clipped(guess.mean - half), self.clipped(guess.mean + half))
    }

    /// Covariances of a thing with the model's places, by one kernel, and its own variance.
    pub(super) fn beside(&self, believed: &Believed, own: &Features) -> (DVector<f64>, f64) {
        let trend = trend_of(own, &self.trend);
        let of_place = self.places.iter().map(|place| {
            let other = &self.features[place.thing];
            let pair = (own.distance(other), own.on_one_clay(other));
            believed.kernel.between(pair, &trend, &place.trend)
        });
        let with = DVector::from_iterator(self.places.len(), of_place);
        (with, believed.kernel.own(&trend))
    }

    /// Covariance of two things before anything was graded.
    pub(super) fn before(&self, believed: &Believed, one: &Features, other: &Features) -> f64 {
        let (own, others) = (trend_of(one, &self.trend), trend_of(other, &self.trend));
        let pair = (one.distance(other), one.on_one_clay(other));
        believed.kernel.between(pair, &own, &others)
    }

    /// The unit that the model counts grades in.
    pub(super) fn unit(&self) -> f64 {
        self.unit
    }

    fn guess(&self, own: &Features) -> Guess {
        let guesses: Vec<(f64, Guess)> = self
            .believed
            .iter()
            .map(|believed| {
                let (with, variance) = self.beside(believed, own);
                (believed.weight, believed.guess(&with, variance))
            })
            .collect();
        averaged(&guesses)
    }

    /// How well the studio's grades tell each other.
    pub fn whole(&self) -> WholeStudio {
        let alone: Vec<Vec<usize>> = (0..self.places.len()).map(|place| vec![place]).collect();
        let name = |place: &Place| self.things[place.thing].made.family.clone();
        let mut names: Vec<String> = self.places.iter().map(name).collect();
        names.sort();
        names.dedup();
        let of_family = |family: &String| -> Vec<usize> {
            let all = self.places.iter().enumerate();
            all.filter(|(_, place)| name(place) == *family)
                .map(|(number, _)| number)
                .collect()
        };
        let families: Vec<Vec<usize>> = names.iter().map(of_family).collect();
        let inverses: Vec<DMatrix<f64>> = self.believed.iter().map(|believed| believed.factor.inverse()).collect();
        let by_thing = self.misses(&alone, &inverses);
        let by_glaze = self.misses(&families, &inverses);
        let several = families.len() > 1;
        let glazes = names.iter().zip(&by_glaze).map(|(name, misses)| told(name, misses));
        let contradicts = |thing: &&Graded| {
            let (least, most) = thing.range();
            most - least >= CONTRADICTS
        };
        let noise: f64 = self
            .believed
            .iter()
            .map(|believed| believed.weight * believed.scale * believed.kernel.noise().powi(2))
            .sum();
        WholeStudio {
            by_thing: told("each thing", &by_thing.concat()),
            by_glaze: several.then(|| told("each glaze", &by_glaze.concat())),
            glazes: if several { glazes.collect() } else { Vec::new() },
            scatter: self.unit * noise.sqrt(),
            contradictions: self.things.iter().filter(contradicts).cloned().collect(),
        }
    }

    /// A group of several places with those of other groups that are the same under another
    /// name: a plan's end and the glaze that it is.
    fn with_its_doubles(&self, group: &[usize]) -> Vec<usize> {
        let family = |place: usize| &self.things[self.places[place].thing].made.family;
        let features = |place: usize| &self.features[self.places[place].thing];
        let mut out = group.to_vec();
        for place in 0..self.places.len() {
            let of_another = group.iter().all(|&own| family(own) != family(place));
            let double = |own: &usize| features(*own).distance(features(place)) <= ONE_WITHIN;
            if of_another && group.iter().any(double) {
                out.push(place);
            }
        }
        out
    }

    /// What each grade was missed by, where its group was left out.
    fn misses(&self, groups: &[Vec<usize>], inverses: &[DMatrix<f64>]) -> Vec<Vec<Miss>> {
        let grades: f64 = self.counts.iter().sum();
        let sum: f64 = self.y.iter().zip(&self.counts).map(|(y, count)| y * count).sum();
        let mut all = Vec::with_capacity(groups.len());
        for group in groups {
            let out = self.with_its_doubles(group);
            let of_kernels: Vec<(f64, Vec<Guess>)> = self
                .believed
                .iter()
                .zip(inverses)
                .map(|(believed, inverse)| (believed.weight, believed.left_out(inverse, &out, &self.y, &self.counts)))
                .collect();
            let own: f64 = out.iter().map(|&place| self.counts[place]).sum();
            let own_sum: f64 = out.iter().map(|&place| self.counts[place] * self.y[place]).sum();
            let plain = if grades > own {
                (sum - own_sum) / (grades - own)
            } else {
                0.0
            };
            let mut misses = Vec::new();
            for (number, &place) in group.iter().enumerate() {
                let guesses: Vec<(f64, Guess)> = of_kernels
                    .iter()
                    .filter_map(|(weight, guesses)| Some((*weight, *guesses.get(number)?)))
                    .collect();
                let guess = averaged(&guesses);
                let half = NINETY * (guess.level + guess.noise).sqrt();
                for thing in &self.places[place].gathered {
                    misses.extend(self.things[*thing].grades.iter().map(|grade| {
                        let y = (grade.0 - self.mean) / self.unit;
                        Miss {
                            error: self.unit * (y - guess.mean),
                            plain: self.unit * (y - plain),
                            in_band: (y - guess.mean).abs() <= half,
                        }
                    }));
                }
            }
            all.push(misses);
        }
        all
    }
}

/// What one grade was missed by, where it was left out.
#[derive(Debug, Clone, Copy)]
struct Miss {
    error: f64,
    plain: f64,
    in_band: bool,
}

fn told(name: &str, misses: &[Miss]) -> LeftOut {
    let count = misses.len().max(1) as f64;
    let root = |of: &dyn Fn(&Miss) -> f64| (misses.iter().map(|miss| of(miss).powi(2)).sum::<f64>() / count).sqrt();
    LeftOut {
        name: name.to_owned(),
        grades: misses.len(),
        error: root(&|miss| miss.error),
        plain: root(&|miss| miss.plain),
        in_band: misses.iter().filter(|miss| miss.in_band).count() as f64 / count,
    }
}
