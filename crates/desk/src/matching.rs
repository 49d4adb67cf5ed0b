//! A recipe for a target chemistry from chosen materials.

use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source, suggestion};
use glost_chemistry::distance::Nearness;
use glost_chemistry::glaze::{Additions, Analysis};
use glost_chemistry::material::{Library, Material};
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_chemistry::quantity::{Grams, parse_number};
use glost_core::recipes::swap::{Comparison, MatchQuestion, SwapTrouble, match_target};
use glost_core::studio::StudioSettings;
use serde::{Serialize, Serializer};

use crate::wire::{Amounts, Offer};
use crate::{Desk, Failure, Words, lookup, trouble};

/// How many proposals are shown, unless said.
pub const SHOW: &str = "3";
/// Base for the weighed column, unless said.
pub const DRY: &str = "100 g";
/// Moles of one oxide that can be typed at most.
const MOST_MOLES: f64 = 1e6;
/// Below so much raw clay a bucket settles hard, per cent of the dry batch
/// (common practice, no source).
const LEAST_CLAY_PERCENT: f64 = 5.0;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// What is to be met.
    pub target: Target,
    /// The materials to choose from.
    pub with: Vec<String>,
    /// How many of them at most.
    pub at_most: Option<usize>,
    /// How many proposals to show.
    pub show: usize,
    /// Base for the weighed column.
    pub dry: Grams,
}

/// What is to be met.
#[derive(Debug, Clone, PartialEq)]
pub enum Target {
    /// A glaze, by name or file.
    Glaze(String),
    /// Oxides in moles, in any scale, and as they were typed.
    Unity(Box<OxideMoles>, String),
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let dry = words.or("dry", DRY).weight("dry")?;
        let show = words.or("show", SHOW).count("show")?;
        let at_most = words.count("at-most")?;
        if show == 0 || at_most == Some(0) {
            return Err(Diagnostic::error("bad-option", "--show and --at-most are 1 at least"));
        }
        Ok(Question {
            target: match words.text("unity") {
                Some(formula) => Target::Unity(Box::new(unity(formula)?), formula.to_owned()),
                None => Target::Glaze(words.required("glaze")?.to_owned()),
            },
            with: words.list("with").to_vec(),
            at_most,
            show,
            dry,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let bench = Bench::of(&self.target, desk)?;
        let with = lookup::as_named(&bench.library, "with", &self.with)?;
        let fired = |material: &Material| material.fired.as_ref().is_some_and(|fired| fired.oxides.total() > 0.0);
        let left_out = with.iter().filter(|material| !fired(material));
        let left_out = left_out.map(|material| material.name.clone()).collect();
        let fluxes = &bench.settings.fluxes;
        let asked = MatchQuestion {
            target: &bench.unity,
            fluxes,
            with,
            at_most: self.at_most,
            show: self.show,
            name: bench.name.clone().unwrap_or_default(),
        };
        let comparison = Comparison::with_target(&bench.unity, fluxes);
        let mut proposals = Vec::new();
        for candidate in match_target(&asked).map_err(|bad| nothing(&bad))? {
            let proposal = comparison.propose(candidate.glaze, self.dry.grams(), &bench.settings.scales);
            let proposal = proposal.map_err(|why| Failure::our_fault("a match", format!("{why:?}")))?;
            // A recipe without flux has no unity formula to set beside the target: it is no proposal.
            proposals.extend(proposal.map(|proposal| Offer {
                proposal,
                dry_grams: self.dry.grams(),
            }));
        }
        let clay = |best: &Offer| best.proposal.glaze.raw_clay_percent();
        Ok(Answer {
            low_clay_percent: proposals.first().map(clay).filter(|clay| *clay < LEAST_CLAY_PERCENT),
            step: bench.settings.scales.reads_to,
            target: bench.unity,
            proposals,
            left_out,
            name: bench.name,
            dry: self.dry,
        })
    }
}

/// Recipes for a target.
#[derive(Debug, Clone, Serialize)]
pub struct Answer {
    /// The target's unity formula.
    #[serde(serialize_with = "moles")]
    pub target: OxideMoles,
    /// Proposals, best first.
    pub proposals: Vec<Offer>,
    /// Materials that can't be counted: nothing is known to stay of them.
    pub left_out: Vec<String>,
    /// The glaze that is the target; `None` for a unity formula that was typed.
    #[serde(skip)]
    pub name: Option<String>,
    /// Raw clay of the best recipe in per cent, where it is too little for a bucket.
    #[serde(skip)]
    pub low_clay_percent: Option<f64>,
    /// What the weighed column is for.
    #[serde(skip)]
    pub dry: Grams,
    /// The step of the scales.
    #[serde(skip)]
    pub step: Grams,
}

impl crate::Answer for Answer {
    /// Even the best is far.
    fn says_no(&self) -> bool {
        let best = self.proposals.first();
        best.is_none_or(|best| best.proposal.nearness() == Nearness::Far)
    }
}

fn moles<S: Serializer>(amounts: &OxideMoles, to: S) -> Result<S::Ok, S::Error> {
    Amounts::moles(amounts).serialize(to)
}

/// The target worked out, and whose materials and settings serve.
struct Bench {
    name: Option<String>,
    unity: OxideMoles,
    library: Arc<Library>,
    settings: Arc<StudioSettings>,
}

impl Bench {
    fn of(target: &Target, desk: &Desk) -> Result<Bench, Failure> {
        match target {
            Target::Unity(moles, typed) => {
                let settings = desk.workplace().settings().clone();
                Ok(Bench {
                    name: None,
                    unity: settings.fluxes.unity(moles).ok_or_else(|| {
                        wrong(typed, typed, "the target has no flux".to_owned())
                            .help("give its fluxes too: K2O, Na2O, CaO, MgO ...")
                    })?,
                    library: desk.workplace().library().clone(),
                    settings,
                })
            }
            Target::Glaze(name) => {
                let found = desk.glaze(name)?;
                let analysis = Analysis::of(&found.glaze, &found.settings.fluxes, Additions::In)
                    .map_err(|bad| trouble::no_analysis(&found, &bad))?;
                Ok(Bench {
                    unity: analysis.unity.ok_or_else(|| trouble::no_flux(&found))?,
                    name: Some(found.glaze.name),
                    library: found.library,
                    settings: found.settings,
                })
            }
        }
    }
}

fn nothing(bad: &SwapTrouble) -> Diagnostic {
    match bad {
        SwapTrouble::NothingToSwapTo => Diagnostic::error(
            "nothing-to-match-with",
            "none of these materials has oxides to match with",
        )
        .help("name materials with a known analysis"),
        _ => Diagnostic::error("unsolvable", "these amounts are beyond what can be solved"),
    }
}

/// What is wrong with a part of a formula as typed.
fn wrong(text: &str, part: &str, message: String) -> Diagnostic {
    let at = text.find(part).unwrap_or(0);
    let column = text.get(..at).unwrap_or("").chars().count() + 1;
    let source = Source::from_text("--unity", text);
    Diagnostic::error("bad-unity", message).at(&source, Mark { line: 1, column }, part.chars().count())
}

/// A unity formula as typed: oxides with moles, in any scale.
fn unity(text: &str) -> Result<OxideMoles, Diagnostic> {
    let mut pairs: Vec<(Oxide, f64)> = Vec::new();
    for part in text.split([',', ';']).map(str::trim).filter(|part| !part.is_empty()) {
        let Some((name, amount)) = part.split_once([' ', ':', '=']) else {
            return Err(wrong(text, part, format!("`{part}` has no amount"))
                .help("write it such as \"K2O 0.3, CaO 0.7, Al2O3 0.5, SiO2 4\""));
        };
        let name = name.trim();
        let oxide = Oxide::from_formula(name).ok_or_else(|| {
            wrong(text, name, format!("`{name}` is no oxide that Glost knows"))
                .maybe_help(suggestion(name, Oxide::ALL.map(Oxide::formula)))
        })?;
        let amount = amount.trim();
        let moles = parse_number(amount)
            .map_err(|bad| wrong(text, amount, bad.message).maybe_help(bad.help))?
            .value;
        if !(0.0..=MOST_MOLES).contains(&moles) {
            return Err(wrong(text, amount, format!("{moles} mol of {oxide} can't be")));
        }
        if pairs.iter().any(|pair| pair.0 == oxide) {
            return Err(wrong(text, name, format!("`{oxide}` is given twice")));
        }
        pairs.push((oxide, moles));
    }
    OxideMoles::new(pairs).ok_or_else(|| wrong(text, text, format!("`{text}` holds an amount that can't be")))
}
