//! Exercises for a class, with a key that the engine itself works out. The same seed gives
//! the same sheet, on every machine and in every studio: they are of textbook materials.

use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze, GlazeNotes, Portion};
use glost_chemistry::material::Library;
use glost_core::workshop::slurry::dry_grams;
use serde::{Serialize, Serializer};

use crate::wire::Amounts;
use crate::{Desk, Failure, PageFile, Words};

/// The most of one sheet.
const MOST: usize = 200;
/// How many, and of which seed, unless said.
pub const COUNT: &str = "12";
/// The seed unless said.
pub const SEED: &str = "1";
/// What recipes are made of, each with its least and its most parts of 100 before they are
/// brought to 100: ranges that give glazes, common practice, no source.
const BASES: [(&str, u32, u32); 4] = [
    ("potash feldspar", 30, 50),
    ("silica", 15, 32),
    ("whiting", 12, 24),
    ("kaolin", 8, 18),
];
/// Of these some recipes hold one more.
const MORE: [(&str, u32, u32); 4] = [
    ("dolomite", 4, 12),
    ("zinc oxide", 3, 8),
    ("talc", 3, 10),
    ("soda feldspar", 5, 15),
];
/// What may come on top, per cent in tenths.
const ON_TOP: [(&str, u32, u32); 3] = [
    ("red iron oxide", 10, 80),
    ("copper carbonate", 5, 30),
    ("tin oxide", 20, 60),
];

/// What is practised.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// From a recipe to its unity formula.
    Unity,
    /// From a recipe to a batch.
    Weigh,
    /// From a weighed jar to the dry powder in a bucket.
    Slurry,
    /// From two ends to the tiles between them.
    Blend,
}

impl Kind {
    /// All of them.
    pub const ALL: [Kind; 4] = [Kind::Unity, Kind::Weigh, Kind::Slurry, Kind::Blend];

    /// Its word.
    pub const fn word(self) -> &'static str {
        match self {
            Kind::Unity => "unity",
            Kind::Weigh => "weigh",
            Kind::Slurry => "slurry",
            Kind::Blend => "blend",
        }
    }
}

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// What is practised.
    pub kind: Kind,
    /// How many exercises.
    pub count: usize,
    /// The seed.
    pub seed: u64,
    /// The sheet to print, its key on a page of its own.
    pub page: Option<PageFile>,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let word = words.required("kind")?;
        let kind = Kind::ALL.into_iter().find(|kind| kind.word() == word).ok_or_else(|| {
            Diagnostic::error("unknown-word", format!("no exercises are of kind `{word}`"))
                .maybe_help(suggestion(word, Kind::ALL.map(Kind::word)))
        })?;
        let count = words.or("count", COUNT).count("count")?;
        if !(1..=MOST).contains(&count) {
            return Err(Diagnostic::error(
                "bad-option",
                format!("--count: from 1 to {MOST} exercises"),
            ));
        }
        Ok(Question {
            kind,
            count,
            seed: words.or("seed", SEED).count("seed")? as u64,
            page: words.page("page")?,
        })
    }

    fn ask(&self, _: &Desk) -> Result<Answer, Failure> {
        self.answer()
    }

    fn at_once(&self) -> Option<Result<Answer, Failure>> {
        Some(self.answer())
    }
}

impl Question {
    /// The sheet, which needs no studio.
    ///
    /// # Errors
    /// A textbook material is missing: our fault.
    pub fn answer(&self) -> Result<Answer, Failure> {
        let mut maker = Maker {
            chance: Chance::of(self.kind, self.seed),
            library: Library::shipped(),
        };
        let each = (1..=self.count).map(|number| {
            Ok(Exercise {
                number,
                sum: maker.sum(self.kind)?,
            })
        });
        Ok(Answer {
            kind: self.kind,
            seed: self.seed,
            exercises: each.collect::<Result<_, Failure>>()?,
            page: self.page.clone(),
        })
    }
}

/// Numbers that look like chance (Knuth's linear congruential generator, MMIX).
struct Chance(u64);

impl Chance {
    fn of(kind: Kind, seed: u64) -> Chance {
        let mut chance = Chance(seed.wrapping_mul(4).wrapping_add(kind as u64));
        // Seeds beside each other begin alike.
        for _ in 0..4 {
            chance.between(0, 1);
        }
        chance
    }

    /// A whole number from `least` to `most`.
    fn between(&mut self, least: u32, most: u32) -> u32 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let span = u64::from(most - least) + 1;
        least + ((self.0 >> 33) % span) as u32
    }

    fn one_of<T: Copy>(&mut self, list: &[T]) -> T {
        list[self.between(0, list.len() as u32 - 1) as usize]
    }
}

struct Maker {
    chance: Chance,
    library: Library,
}

impl Maker {
    fn sum(&mut self, kind: Kind) -> Result<Sum, Failure> {
        match kind {
            Kind::Unity => self.unity(),
            Kind::Weigh => Ok(self.weigh()),
            Kind::Slurry => Ok(self.slurry()),
            Kind::Blend => Ok(self.blend()),
        }
    }

    /// Whole parts that add up to 100.
    fn parts(&mut self) -> Vec<(&'static str, f64)> {
        let mut parts: Vec<(&'static str, u32)> = BASES
            .iter()
            .map(|(name, least, most)| (*name, self.chance.between(*least, *most)))
            .collect();
        if self.chance.between(0, 1) == 1 {
            let (name, least, most) = self.chance.one_of(&MORE);
            parts.push((name, self.chance.between(least, most)));
        }
        let rest: u32 = parts.iter().skip(1).map(|part| part.1).sum();
        // The feldspar takes what is left.
        parts[0].1 = 100_u32.saturating_sub(rest);
        parts
            .into_iter()
            .map(|(name, parts)| (name, f64::from(parts)))
            .collect()
    }

    fn addition(&mut self) -> (&'static str, f64) {
        let (name, least, most) = self.chance.one_of(&ON_TOP);
        (name, f64::from(self.chance.between(least, most)) / 10.0)
    }

    fn unity(&mut self) -> Result<Sum, Failure> {
        let parts = self.parts();
        let portion = |(name, percent): &(&str, f64)| -> Result<Portion, Failure> {
            let material = self.library.find(name).cloned();
            Ok(Portion {
                material: material.ok_or_else(|| Failure::our_fault("an exercise", format!("{name} is missing")))?,
                percent: *percent,
            })
        };
        let glaze = Glaze {
            name: String::new(),
            base: parts.iter().map(portion).collect::<Result<_, _>>()?,
            additions: Vec::new(),
            about: GlazeNotes::default(),
            assumptions: Vec::new(),
        };
        let analysis = Analysis::of(&glaze, &FluxList::default(), Additions::In)
            .map_err(|why| Failure::our_fault("an exercise", format!("{why:?}")))?;
        let unity = analysis
            .unity
            .as_ref()
            .ok_or_else(|| Failure::our_fault("an exercise", "no flux"))?;
        Ok(Sum::Unity {
            unity: Amounts::moles(unity),
            silica_to_alumina: analysis.silica_to_alumina,
            parts: amounts(&parts),
        })
    }

    fn weigh(&mut self) -> Sum {
        let (parts, addition) = (self.parts(), self.addition());
        let base_grams = f64::from(self.chance.between(3, 50)) * 100.0;
        let line = |(name, percent): &(&str, f64)| ((*name).to_owned(), percent / 100.0 * base_grams);
        let lines: Vec<(String, f64)> = parts.iter().chain([&addition]).map(line).collect();
        Sum::Weigh {
            total_grams: lines.iter().map(|line| line.1).sum(),
            grams: Amounts(lines),
            parts: amounts(&parts),
            additions: amounts(&[addition]),
            base_grams,
        }
    }

    fn slurry(&mut self) -> Sum {
        let jar_millilitres = self.chance.one_of(&[100.0, 250.0, 500.0, 1000.0]);
        let density = 1.0 + f64::from(self.chance.between(25, 60)) / 100.0;
        let jar_grams = (density * jar_millilitres).round();
        let bucket_litres = f64::from(self.chance.between(2, 24)) / 2.0;
        let density = jar_grams / jar_millilitres;
        let volume_millilitres = 1000.0 * bucket_litres;
        let powder_density = self.chance.one_of(&[2.5, 2.6, 2.7]);
        Sum::Slurry {
            jar_millilitres,
            jar_grams,
            bucket_litres,
            powder_density,
            density,
            dry_grams: dry_grams(density * volume_millilitres, volume_millilitres, powder_density),
        }
    }

    fn blend(&mut self) -> Sum {
        let tiles = self.chance.one_of(&[3_u32, 4, 5, 6, 9, 11]);
        let tile_millilitres = self.chance.one_of(&[20.0, 30.0, 50.0, 60.0]);
        let share = |tile: u32| f64::from(tile) / f64::from(tiles - 1);
        Sum::Blend {
            tile_millilitres,
            millilitres: (0..tiles)
                .map(|tile| [(1.0 - share(tile)) * tile_millilitres, share(tile) * tile_millilitres])
                .collect(),
            tiles,
        }
    }
}

fn amounts(parts: &[(&str, f64)]) -> Amounts {
    Amounts(
        parts
            .iter()
            .map(|(name, amount)| ((*name).to_owned(), *amount))
            .collect(),
    )
}

/// A sheet of exercises with its key.
#[derive(Debug, Clone)]
pub struct Answer {
    /// What is practised.
    pub kind: Kind,
    /// The seed.
    pub seed: u64,
    /// The exercises.
    pub exercises: Vec<Exercise>,
    /// The sheet to print.
    pub page: Option<PageFile>,
}

impl crate::Answer for Answer {}

/// One exercise.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct Exercise {
    /// Its number, from 1.
    pub number: usize,
    /// What is given and what comes out.
    #[serde(flatten)]
    pub sum: Sum,
}

/// What is given and, as the key, what comes out.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Sum {
    /// From a recipe to its unity formula.
    Unity {
        /// The recipe, parts of 100.
        parts: Amounts,
        /// Key: the formula.
        unity: Amounts,
        /// Key: SiO2 : Al2O3 by moles.
        silica_to_alumina: Option<f64>,
    },
    /// From a recipe to a batch.
    Weigh {
        /// The recipe, parts of 100.
        parts: Amounts,
        /// On top, per cent of the base.
        additions: Amounts,
        /// Grams of base.
        base_grams: f64,
        /// Key: grams of each.
        grams: Amounts,
        /// Key: grams in all.
        total_grams: f64,
    },
    /// From a weighed jar to the dry powder in a bucket.
    Slurry {
        /// What the jar holds.
        jar_millilitres: f64,
        /// What the slurry in it weighs.
        jar_grams: f64,
        /// What is in the bucket.
        bucket_litres: f64,
        /// The powder's own density, g/ml.
        powder_density: f64,
        /// Key: the slurry's density, g/ml.
        density: f64,
        /// Key: dry powder in the bucket, grams.
        dry_grams: f64,
    },
    /// From two ends to the tiles between them.
    Blend {
        /// How many tiles, the ends among them.
        tiles: u32,
        /// Slurry of each tile.
        tile_millilitres: f64,
        /// Key: of the first and of the second end, for each tile.
        millilitres: Vec<[f64; 2]>,
    },
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    kind: &'static str,
    seed: u64,
    exercises: &'a [Exercise],
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        AnswerJson {
            kind: self.kind.word(),
            seed: self.seed,
            exercises: &self.exercises,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);
