//! Whether a glaze fits a clay: its own pieces first, chemistry where there is any.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glass::FIRED_GLAZE_PLUS_MINUS_90;
use glost_chemistry::glaze::Use;
use glost_core::evidence::notes::rate_below_percent;
use glost_core::evidence::ware::Clay;
use glost_core::evidence::window::{
    Asking, Band90, Candidate, Edge, EvidenceLine, FitAnswer, Known, LineByAge, LookAgain, Tested, fit, line_by_age,
};
use glost_studio::FoundGlaze;
use std::collections::BTreeMap;

use serde::{Serialize, Serializer};

use crate::pieces::Pieces;
use crate::wire::{Amounts, Stress};
use crate::{Desk, Failure, PageFile, Said, Words, lab};

/// 90 % of a normal distribution lies within this many standard deviations.
const DEVIATIONS_FOR_90_PERCENT: f64 = 1.644_853_626_951_472_2;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The glaze's name or file.
    pub glaze: String,
    /// The clay; else the glaze's own.
    pub clay: Option<String>,
    /// The firing, by its name or cone; else the glaze's own.
    pub firing: Option<String>,
    /// What it is for; else the glaze's own use.
    pub usage: Option<Use>,
    /// Where the picture goes.
    pub page: Option<PageFile>,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            glaze: words.required("glaze")?.to_owned(),
            clay: words.owned("clay"),
            firing: words.owned("firing"),
            usage: words.usage()?,
            page: words.page("page")?,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let found = desk.one_glaze(&self.glaze)?;
        let pieces = Pieces::open(desk)?;
        let clay = pieces.clay(self.clay.as_deref(), desk, &found.glaze)?;
        let book = pieces.notebook(&found.settings);
        let firing = pieces.firing(desk, self.firing.as_deref())?;
        let asking = Asking {
            firing: firing.as_ref(),
            called: self.firing.as_deref(),
            usage: self.usage,
        };
        let fit = fit(&book, &found.glaze, &clay, &asking, Some(pieces.today));
        desk.put_away(pieces);
        Ok(Answer {
            laboratory: lab::latest(desk, &found, None)?,
            ..Answer::of(fit, self.page.clone())
        })
    }
}

impl Question {
    /// A glaze on a clay at its own firing, for a use: what a check says first.
    pub(crate) fn about(pieces: &Pieces, found: &FoundGlaze, clay: &Clay, usage: Use) -> Answer {
        let asking = Asking {
            usage: Some(usage),
            ..Asking::default()
        };
        let book = pieces.notebook(&found.settings);
        Answer::of(fit(&book, &found.glaze, clay, &asking, Some(pieces.today)), None)
    }
}

/// Whether a glaze fits a clay, as far as pieces and chemistry say.
#[derive(Debug, Clone)]
pub struct Answer {
    /// Everything that bears on it.
    pub fit: FitAnswer,
    /// What its expansion may be off by when it is compared with other glazes', 1e-6/K, 90 %.
    pub comparing_plus_minus_90: f64,
    /// What it shows that none of its pieces crazed, where some were looked at.
    pub none_of: Option<NoneOf>,
    /// The line as it falls with age, for the picture.
    pub by_age: Option<LineByAge>,
    /// Where the picture goes.
    pub page: Option<PageFile>,
    /// The latest laboratory's report, where one is kept.
    pub laboratory: Option<lab::Brief>,
}

impl Answer {
    fn of(fit: FitAnswer, page: Option<PageFile>) -> Answer {
        Answer {
            comparing_plus_minus_90: DEVIATIONS_FOR_90_PERCENT * fit.belief.shown_sd,
            none_of: none_of(&fit),
            by_age: page.as_ref().map(|_| line_by_age(&fit.window)),
            fit,
            page,
            laboratory: None,
        }
    }
}

/// What it shows that none of some pieces crazed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoneOf {
    /// How many were looked at.
    pub pieces: u32,
    /// Fewer than so many per cent of such pieces craze by that age, 95 % confidence.
    pub below_percent: f64,
}

fn none_of(fit: &FitAnswer) -> Option<NoneOf> {
    let (pieces, _) = fit.counted(Edge::Craze);
    let pieces = u32::try_from(pieces).unwrap_or(u32::MAX);
    (pieces > 0 && fit.ever_failed(Edge::Craze) == 0).then(|| NoneOf {
        pieces,
        below_percent: rate_below_percent(pieces),
    })
}

impl crate::Answer for Answer {
    fn says_no(&self) -> bool {
        self.fit.says_no()
    }
}

#[derive(Serialize, schemars::JsonSchema)]
#[serde(untagged)]
enum ExpansionJson<'a> {
    Computed {
        model: &'a str,
        value: f64,
        plus_minus: f64,
        plus_minus_fired_glaze: (f64, f64),
        plus_minus_comparing_glazes: f64,
        unit: &'static str,
        range_c: (f64, f64),
        inside_domain: bool,
    },
    Printed {
        model: &'static str,
        value: f64,
        plus_minus: f64,
        unit: &'static str,
    },
}

#[derive(Serialize, schemars::JsonSchema)]
struct ClayJson<'a> {
    name: &'a str,
    absorption: Option<f64>,
    dense: bool,
    expansion: Option<f64>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct BandJson {
    median: f64,
    low: f64,
    high: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct WindowJson {
    craze_threshold: BandJson,
    line_today: Option<BandJson>,
    shiver_floor: BandJson,
}

#[derive(Serialize, schemars::JsonSchema)]
struct LineJson<'a> {
    line: usize,
    on: String,
    glaze: &'a str,
    version: Option<&'a str>,
    firing: String,
    batch: Option<&'a str>,
    age_days: Option<f64>,
    pieces: Option<u32>,
    crazed: Option<u32>,
    shivered: Option<u32>,
    lots: BTreeMap<&'a str, &'a str>,
    expansion: Option<f64>,
    counted: bool,
    why_not: Option<Said>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct LookJson<'a> {
    on: String,
    age_days: f64,
    line: usize,
    batch: Option<&'a str>,
    overdue: bool,
}

/// Pieces that are there already.
#[derive(Serialize, schemars::JsonSchema)]
struct OlderJson {
    line: usize,
    pieces: u32,
    age_then_days: f64,
    age_days: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct TestJson<'a> {
    glaze: &'a str,
    add: Amounts,
    look_again: Option<OlderJson>,
    expansion: Option<f64>,
    p_craze: f64,
    reduces_variance_by: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct TestedJson<'a> {
    line: usize,
    test: &'a str,
    pieces: Option<u32>,
    crazed: u32,
}

fn tested_json(tested: &Tested) -> TestedJson<'_> {
    TestedJson {
        line: tested.line,
        test: &tested.test,
        pieces: tested.pieces,
        crazed: tested.crazed,
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    glaze: &'a str,
    firing: String,
    expansion: Option<ExpansionJson<'a>>,
    clay: ClayJson<'a>,
    stress_mpa: Option<Stress<'a>>,
    window: WindowJson,
    p_craze: f64,
    p_shiver: f64,
    zone_craze: &'static str,
    zone_shiver: &'static str,
    #[serde(rename = "use")]
    usage: &'static str,
    says_no: bool,
    crackle_wanted: bool,
    pieces: u64,
    crazed: u64,
    batches: usize,
    oldest_days: Option<f64>,
    failed_test: bool,
    tests: Vec<TestedJson<'a>>,
    dunted: u64,
    rests_on_counts_alone: bool,
    evidence: Vec<LineJson<'a>>,
    look_again: Vec<LookJson<'a>>,
    next_tests: Vec<TestJson<'a>>,
    contradictions: Vec<Said>,
    assumptions: Vec<Said>,
    #[serde(skip_serializing_if = "Option::is_none")]
    laboratory: Option<&'a lab::Brief>,
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let fit = &self.fit;
        let window = &fit.window;
        AnswerJson {
            glaze: &fit.glaze,
            firing: fit.evidence.kiln.words(),
            expansion: self.expansion_json(),
            clay: ClayJson {
                name: &fit.clay,
                absorption: window.clay.absorption_percent,
                dense: window.settings.is_dense(&window.clay),
                expansion: window.clay.expansion_per_million_per_kelvin,
            },
            stress_mpa: fit.stress.as_ref().map(Stress),
            window: WindowJson {
                craze_threshold: band_json(window.craze.band()),
                line_today: fit.line_today_days().map(|days| band_json(window.craze.band_at(days))),
                shiver_floor: band_json(window.shiver.band()),
            },
            p_craze: fit.craze.chance,
            p_shiver: fit.shiver.chance,
            zone_craze: fit.craze.zone.word(Edge::Craze),
            zone_shiver: fit.shiver.zone.word(Edge::Shiver),
            usage: fit.usage.word(),
            says_no: fit.says_no(),
            crackle_wanted: fit.crackle_wanted,
            pieces: fit.counted(Edge::Craze).0,
            crazed: fit.counted(Edge::Craze).1,
            batches: fit.batches(Edge::Craze),
            oldest_days: fit.oldest_days(),
            failed_test: fit.evidence.failed_test(),
            tests: fit.evidence.tested.iter().map(tested_json).collect(),
            dunted: fit.evidence.dunted,
            rests_on_counts_alone: fit.rests_on_counts(),
            evidence: fit.evidence.lines.iter().map(|line| self.line_json(line)).collect(),
            look_again: fit.look_again.iter().map(look_json).collect(),
            next_tests: fit.next.iter().map(|candidate| self.test_json(candidate)).collect(),
            contradictions: fit.evidence.contradictions.iter().map(Said::from).collect(),
            assumptions: fit.assumptions.iter().map(Said::from).collect(),
            laboratory: self.laboratory.as_ref(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);

impl Answer {
    fn expansion_json(&self) -> Option<ExpansionJson<'_>> {
        let believed = self.fit.belief.believed;
        match (&self.fit.expansion, believed.known) {
            (Some(expansion), Known::Computed) => Some(ExpansionJson::Computed {
                model: expansion.model,
                value: expansion.value_per_million_per_kelvin,
                plus_minus: expansion.plus_minus_90,
                plus_minus_fired_glaze: FIRED_GLAZE_PLUS_MINUS_90,
                plus_minus_comparing_glazes: self.comparing_plus_minus_90,
                unit: "1e-6/K",
                range_c: expansion.range_celsius,
                inside_domain: expansion.inside_domain,
            }),
            (_, Known::Printed) => Some(ExpansionJson::Printed {
                model: "printed on the bag",
                value: believed.belief.mean,
                plus_minus: self.comparing_plus_minus_90,
                unit: "1e-6/K",
            }),
            _ => None,
        }
    }

    fn line_json<'a>(&'a self, line: &'a EvidenceLine) -> LineJson<'a> {
        let witness = line.witness.and_then(|index| self.fit.evidence.witnesses.get(index));
        LineJson {
            line: line.line,
            on: line.on.to_string(),
            glaze: &line.glaze,
            version: line.version.as_deref(),
            firing: line.kiln.words(),
            batch: line.batch.as_deref(),
            age_days: line.age_days,
            pieces: line.pieces,
            crazed: line.crazed,
            shivered: line.shivered,
            lots: line
                .lots
                .iter()
                .map(|(name, lot)| (name.as_str(), lot.as_str()))
                .collect(),
            expansion: witness.and_then(|witness| witness.believed.expansion()),
            counted: line.why_not.is_none(),
            why_not: line.why_not.clone().map(|why| Said::NotCounted(Box::new(why))),
        }
    }

    fn test_json(&self, candidate: &Candidate) -> TestJson<'_> {
        let mut add = Amounts::default();
        if let Some(step) = &candidate.step {
            add.0.push((step.material.clone(), step.percent));
        }
        let older = candidate.older.as_ref();
        let glaze = older.and_then(|older| self.fit.evidence.witnesses.get(older.witness));
        TestJson {
            glaze: glaze.map_or(&self.fit.glaze, |witness| &witness.glaze),
            add,
            look_again: older.map(|older| OlderJson {
                line: older.line,
                pieces: older.pieces,
                age_then_days: older.then_days,
                age_days: older.now_days,
            }),
            expansion: candidate.expansion,
            p_craze: candidate.p_craze,
            reduces_variance_by: candidate.reduces_variance_by,
        }
    }
}

fn look_json(look: &LookAgain) -> LookJson<'_> {
    LookJson {
        on: look.on.to_string(),
        age_days: look.at_days,
        line: look.line,
        batch: look.batch.as_deref(),
        overdue: look.overdue,
    }
}

fn band_json(band: Band90) -> BandJson {
    BandJson {
        median: band.median,
        low: band.low,
        high: band.high,
    }
}
