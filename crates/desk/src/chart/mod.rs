//! Where glazes lie: silica against its ratio to alumina, with what was made and graded
//! here; and a glaze within the limits for its cone.

mod ranges;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::{Additions, Analysis};
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_core::rules::LimitSet;
use glost_studio::FoundGlaze;
use serde::{Serialize, Serializer};

use crate::expect::book::Opened;
use crate::glazes::{Surface, reads};
use crate::{Desk, Failure, PageFile, Words, trouble};

pub use ranges::Within;

/// What is graded, unless said, where it was.
const GRADE: &str = "gloss";
/// Glazes that can be marked by number at most.
const MOST_GLAZES: usize = 60;

/// Borders of surfaces in SiO2:Al2O3 (R. T. Stull, Trans. Am. Ceram. Soc. 14 (1912), from
/// memory, within 0.5; cone 11, 0.3 KNaO, 0.7 CaO).
pub const MATT_BELOW: f64 = 5.0;
/// From here on it is bright.
pub const BRIGHT_FROM: f64 = 6.0;
/// From here on silica comes out again.
pub const DEVITRIFIES_FROM: f64 = 12.0;
/// Silica above which what reads as matt may only be underfired, moles of the unity formula.
pub const UNDERFIRED_SILICA: f64 = 4.0;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The glazes to mark; none: all.
    pub glazes: Vec<String>,
    /// The property whose graded tiles are drawn.
    pub grade: Option<String>,
    /// Where the drawing goes.
    pub page: Option<PageFile>,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            glazes: words.list("glazes").to_vec(),
            grade: words.text("grade").map(|grade| grade.trim().to_lowercase()),
            page: words.page("page")?,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let opened = Opened::of(desk)?;
        let grade = self.graded(&opened)?;
        let graded = grade.as_deref().map(|grade| opened.graded(desk, grade).0);
        let tiles = graded.unwrap_or_default();
        let tiles = tiles.iter().filter_map(|thing| {
            let place = Spot::of(&thing.made.unity)?;
            Some(Tile {
                made: thing.made.name.clone(),
                place,
                grade: thing.mean(),
                count: thing.grades.len(),
            })
        });
        let (glazes, unplaced) = self.marked(desk, &opened)?;
        let within = match (self.glazes.as_slice(), glazes.as_slice()) {
            ([_], [only]) => Some(ranges::within(desk, &desk.glaze(&self.glazes[0])?, &only.unity)?),
            _ => None,
        };
        Ok(Answer {
            tiles: tiles.collect(),
            grade,
            glazes,
            unplaced,
            within,
            page: self.page.clone(),
        })
    }
}

impl Question {
    /// What is drawn of the grades: what was asked for, else gloss, where there is any.
    fn graded(&self, opened: &Opened) -> Result<Option<String>, Diagnostic> {
        let known = opened.properties();
        let there = |name: &str| known.iter().any(|known| known.eq_ignore_ascii_case(name));
        match &self.grade {
            Some(asked) if !there(asked) => {
                let help = match known.as_slice() {
                    [] => "nothing is graded yet: `glost note GLAZE --grade gloss=4`".to_owned(),
                    known => format!("graded so far: {}", known.join(", ")),
                };
                Err(Diagnostic::error("not-noted", format!("nothing here was graded for {asked}")).help(help))
            }
            Some(asked) => Ok(Some(asked.clone())),
            None => Ok(there(GRADE).then(|| GRADE.to_owned())),
        }
    }

    /// The glazes that are marked, and those without a place.
    fn marked(&self, desk: &Desk, opened: &Opened) -> Result<(Vec<Marked>, Vec<String>), Failure> {
        if self.glazes.is_empty() {
            let all = opened.glazes.iter().map(|found| (found, Marked::of(found)));
            let (mut marked, mut unplaced) = (Vec::new(), Vec::new());
            for (found, mark) in all {
                match mark {
                    Some(mark) if marked.len() < MOST_GLAZES => marked.push(mark),
                    _ => unplaced.push(found.glaze.name.clone()),
                }
            }
            return Ok((marked, unplaced));
        }
        let mut marked = Vec::new();
        for name in &self.glazes {
            let found = desk.glaze(name)?;
            Analysis::of(&found.glaze, &found.settings.fluxes, Additions::In)
                .map_err(|why| trouble::no_analysis(&found, &why))?;
            let mark = Marked::of(&found).ok_or_else(|| no_place(&found))?;
            if !marked.iter().any(|known: &Marked| known.glaze == mark.glaze) {
                marked.push(mark);
            }
        }
        Ok((marked, Vec::new()))
    }
}

fn no_place(found: &FoundGlaze) -> Diagnostic {
    let message = format!(
        "{} has no place on the chart: it wants fluxes, silica and alumina",
        found.glaze.name
    );
    Diagnostic::error("no-place-on-chart", message)
        .at(&found.file.source, found.file.parts_mark, "parts".len())
        .help("`glost unity` gives what it holds")
}

/// A place on the chart.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Spot {
    /// SiO2 in the unity formula.
    pub silica: f64,
    /// Al2O3 there.
    pub alumina: f64,
    /// SiO2:Al2O3.
    pub ratio: f64,
}

impl Spot {
    fn of(unity: &OxideMoles) -> Option<Spot> {
        let (silica, alumina) = (unity.get(Oxide::SiO2), unity.get(Oxide::Al2O3));
        (silica > 0.0 && alumina > 0.0).then_some(Spot {
            silica,
            alumina,
            ratio: silica / alumina,
        })
    }
}

/// Something made and graded.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Tile {
    /// What it is called.
    pub made: String,
    /// Where it lies.
    #[serde(flatten)]
    pub place: Spot,
    /// Its mean grade.
    pub grade: f64,
    /// How often it was graded.
    pub count: usize,
}

/// A glaze that is marked.
#[derive(Debug, Clone, PartialEq)]
pub struct Marked {
    /// Its name.
    pub glaze: String,
    /// Its unity formula.
    pub unity: OxideMoles,
    /// Where it lies.
    pub place: Spot,
    /// How the ratio reads; `None` where other oxides or the heat make the surface.
    pub reads: Option<Surface>,
    /// Its cone.
    pub cone: Option<String>,
}

impl Marked {
    fn of(found: &FoundGlaze) -> Option<Marked> {
        // A powder of unknown analysis has no place.
        let analysis = Analysis::of(&found.glaze, &found.settings.fluxes, Additions::In).ok()?;
        let unity = analysis.unity.clone()?;
        Some(Marked {
            glaze: found.glaze.name.clone(),
            place: Spot::of(&unity)?,
            reads: reads(&found.glaze, &analysis),
            cone: found.glaze.about.cone.clone(),
            unity,
        })
    }
}

/// The chart.
#[derive(Debug, Clone)]
pub struct Answer {
    /// What the tiles were graded for.
    pub grade: Option<String>,
    /// What was made and graded.
    pub tiles: Vec<Tile>,
    /// The glazes that are marked.
    pub glazes: Vec<Marked>,
    /// Glazes without a place.
    pub unplaced: Vec<String>,
    /// One glaze within the limits for its cone.
    pub within: Option<Vec<Within>>,
    /// Where the drawing goes.
    pub page: Option<PageFile>,
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    axes: [&'static str; 2],
    bands: Vec<BandJson>,
    source: &'static str,
    grade: Option<&'a str>,
    glazes: Vec<MarkedJson<'a>>,
    tiles: &'a [Tile],
    unplaced: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    limits: Option<Vec<LimitsJson<'a>>>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct BandJson {
    surface: &'static str,
    from_ratio: Option<f64>,
    below_ratio: Option<f64>,
    from_silica: Option<f64>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct MarkedJson<'a> {
    glaze: &'a str,
    #[serde(flatten)]
    place: Spot,
    #[schemars(with = "Option<String>")]
    reads: Option<Surface>,
    cone: Option<&'a str>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct LimitsJson<'a> {
    script: &'a str,
    whose: String,
    source: &'a str,
    ranges: Vec<RangeJson>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct RangeJson {
    subject: &'static str,
    low: Option<f64>,
    high: Option<f64>,
    optional: bool,
    value: Option<f64>,
    holds: Option<bool>,
}

/// Where the bands come from.
pub const SOURCE: &str =
    "R. T. Stull, Trans. Am. Ceram. Soc. 14 (1912), from memory, borders within 0.5: cone 11, 0.3 KNaO, 0.7 CaO";

fn bands() -> Vec<BandJson> {
    let band = |surface, from_ratio, below_ratio, from_silica| BandJson {
        surface,
        from_ratio,
        below_ratio,
        from_silica,
    };
    vec![
        band("matt", None, Some(MATT_BELOW), None),
        band("satin", Some(MATT_BELOW), Some(BRIGHT_FROM), None),
        band("bright", Some(BRIGHT_FROM), Some(DEVITRIFIES_FROM), None),
        band("short of alumina", Some(DEVITRIFIES_FROM), None, None),
        band("underfired", None, Some(MATT_BELOW), Some(UNDERFIRED_SILICA)),
    ]
}

fn limits<'a>(within: &'a Within) -> LimitsJson<'a> {
    let set: &LimitSet = &within.set;
    LimitsJson {
        script: &set.name,
        whose: within.whose.to_string(),
        source: &set.source,
        ranges: within
            .values()
            .map(|(range, value)| RangeJson {
                subject: range.subject.name(),
                low: range.low,
                high: range.high,
                optional: range.optional,
                value,
                holds: value.map(|value| range.holds(value)),
            })
            .collect(),
    }
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let marked = self.glazes.iter().map(|marked| MarkedJson {
            glaze: &marked.glaze,
            place: marked.place,
            reads: marked.reads,
            cone: marked.cone.as_deref(),
        });
        AnswerJson {
            axes: ["SiO2", "SiO2:Al2O3"],
            bands: bands(),
            source: SOURCE,
            grade: self.grade.as_deref(),
            glazes: marked.collect(),
            tiles: &self.tiles,
            unplaced: &self.unplaced,
            limits: self.within.as_ref().map(|within| within.iter().map(limits).collect()),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);
