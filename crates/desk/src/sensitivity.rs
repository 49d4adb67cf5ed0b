//! What a part more of each material does to a glaze.

use std::ops::RangeInclusive;
use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::{Additions, Analysis};
use glost_chemistry::material::Material;
use glost_chemistry::quantity::{Grams, parse_number};
use glost_core::recipes::sensitivity::{Doubt, Effect, Place, Sensitivity, doubts, sensitivity};
use glost_core::workshop::scales::{Scales, parse_scales};
use glost_studio::FoundGlaze;
use serde::{Serialize, Serializer};

use crate::wire::Amounts;
use crate::words::bad_option;
use crate::{Desk, Failure, Said, Words, lookup, trouble};

/// Steps that still are steps, parts on 100 of base.
const STEPS: RangeInclusive<f64> = 0.01..=50.0;
/// The step, unless said.
pub const STEP: &str = "1";
/// The batch whose weighing errors are shown, unless said.
pub const DRY: &str = "100 g";

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The glaze's name or file.
    pub glaze: String,
    /// Parts more of each material, on 100 of base.
    pub step_parts: f64,
    /// Materials that aren't in the recipe.
    pub with: Vec<String>,
    /// The batch whose weighing errors are shown.
    pub dry: Grams,
    /// Other scales than the studio's.
    pub scales: Option<Scales>,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            step_parts: step(words.or("step", STEP).text())?,
            dry: words.or("dry", DRY).weight("dry")?,
            glaze: words.required("glaze")?.to_owned(),
            with: words.list("with").to_vec(),
            scales: words.read("scales", parse_scales)?,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let found = desk.glaze(&self.glaze)?;
        let scales = self.scales.unwrap_or(found.settings.scales);
        let newcomers = newcomers(&self.with, &found)?;
        let fluxes = &found.settings.fluxes;
        let no_analysis = |bad| trouble::no_analysis(&found, &bad);
        let analysis = Analysis::of(&found.glaze, fluxes, Additions::In).map_err(no_analysis)?;
        let steps = sensitivity(&found.glaze, fluxes, self.step_parts, &newcomers).map_err(no_analysis)?;
        let step = scales.reads_to;
        let doubts = doubts(&found.glaze, fluxes, step.grams(), self.dry.grams()).map_err(no_analysis)?;
        Ok(Answer {
            analysis,
            steps,
            doubts,
            dry: self.dry,
            step,
            glaze: found.glaze.name,
        })
    }
}

fn step(text: &str) -> Result<f64, Diagnostic> {
    let bare = text.trim().trim_end_matches("parts").trim_end_matches("part").trim();
    let value = parse_number(bare.trim_start_matches('+'))
        .map_err(|bad| bad_option("step", bad))?
        .value;
    if STEPS.contains(&value.abs()) {
        return Ok(value);
    }
    Err(
        Diagnostic::error("bad-option", format!("--step: `{text}` is no step to look at"))
            .help("it is in parts on 100 of base, from 0.01 to 50; less with a minus: --step \"-2\""),
    )
}

fn newcomers(with: &[String], found: &FoundGlaze) -> Result<Vec<Arc<Material>>, Diagnostic> {
    let mut newcomers: Vec<Arc<Material>> = Vec::new();
    for name in with {
        let material = lookup::material(&found.library, "with", name)?;
        if material.fired.is_none() {
            let message = format!(
                "--with: nobody tells what is in `{}`: its effect can't be computed",
                material.name
            );
            return Err(Diagnostic::error("unknown-analysis", message)
                .help("its effect can be seen: `glost blend series` makes a ladder of it, tile by tile"));
        }
        if !newcomers.iter().any(|other| Arc::ptr_eq(other, &material)) {
            newcomers.push(material);
        }
    }
    Ok(newcomers)
}

/// What a step of each material does.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The glaze's name.
    pub glaze: String,
    /// The glaze as it is.
    pub analysis: Analysis,
    /// The steps.
    pub steps: Sensitivity,
    /// What the inputs leave in doubt.
    pub doubts: Vec<Doubt>,
    /// The batch of the doubts.
    pub dry: Grams,
    /// The step of the scales.
    pub step: Grams,
}

impl Answer {
    /// What it takes for granted.
    pub fn assumptions(&self) -> Vec<Said> {
        let own = self.analysis.assumptions.iter().map(Said::from);
        let no_flux = self.steps.before.unity.is_none();
        own.chain(no_flux.then_some(Said::NoFluxNoChange)).collect()
    }
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct ExpansionJson<'a> {
    model: &'a str,
    value: f64,
    plus_minus: f64,
    inside_domain: bool,
    reasons: Vec<Said>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct BeforeJson<'a> {
    unity: Option<Amounts>,
    silica_to_alumina: Option<f64>,
    loss_on_ignition: f64,
    expansion: Option<ExpansionJson<'a>>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ChangeJson<'a> {
    model: &'a str,
    value: f64,
    plus_minus: f64,
    sure_of_direction: bool,
}

#[derive(Serialize, schemars::JsonSchema)]
struct EffectJson<'a> {
    material: &'a str,
    place: &'static str,
    percent: f64,
    possible: bool,
    unity_change: Option<Amounts>,
    silica_to_alumina_change: Option<f64>,
    expansion_change: Option<ChangeJson<'a>>,
    melt_1000_pa_s_change_c: Option<f64>,
    loss_on_ignition_change: Option<f64>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ByScalesJson {
    expansion: f64,
    silica_to_alumina: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct BySheetJson {
    expansion: f64,
    silica_to_alumina: Option<f64>,
    line: Option<&'static str>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct DoubtJson<'a> {
    material: &'a str,
    scales: ByScalesJson,
    sheet: Option<BySheetJson>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct DoubtsJson<'a> {
    dry_grams: f64,
    scales_step_grams: f64,
    by_material: Vec<DoubtJson<'a>>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    glaze: &'a str,
    step: f64,
    before: BeforeJson<'a>,
    effects: Vec<EffectJson<'a>>,
    doubts: DoubtsJson<'a>,
    assumptions: Vec<Said>,
}

impl Serialize for Answer {
    /// Changes are new less old.
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let before = &self.steps.before;
        let expansion = self.steps.before_expansion.as_ref();
        AnswerJson {
            glaze: &self.glaze,
            step: self.steps.step,
            before: BeforeJson {
                unity: before.unity.as_ref().map(Amounts::moles),
                silica_to_alumina: before.silica_to_alumina,
                loss_on_ignition: before.loss_on_ignition_percent,
                expansion: expansion.map(|expansion| ExpansionJson {
                    model: expansion.model,
                    value: expansion.value_per_million_per_kelvin,
                    plus_minus: expansion.plus_minus_90,
                    inside_domain: expansion.inside_domain,
                    reasons: expansion.reasons.iter().map(Said::from).collect(),
                }),
            },
            effects: self.steps.effects.iter().map(effect).collect(),
            doubts: DoubtsJson {
                dry_grams: self.dry.grams(),
                scales_step_grams: self.step.grams(),
                by_material: self.doubts.iter().map(doubt).collect(),
            },
            assumptions: self.assumptions(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);

fn effect(effect: &Effect) -> EffectJson<'_> {
    EffectJson {
        material: &effect.material.name,
        place: match effect.place {
            Place::Base => "base",
            Place::Addition => "addition",
            Place::NewInBase => "new in base",
            Place::NewOnTop => "new on top",
        },
        percent: effect.percent,
        possible: effect.after.is_some(),
        unity_change: effect.unity_change.as_deref().map(Amounts::oxides),
        silica_to_alumina_change: effect.ratio_change,
        expansion_change: effect.expansion.as_ref().map(|change| ChangeJson {
            model: change.model,
            value: change.value_per_million_per_kelvin,
            plus_minus: change.plus_minus_90,
            sure_of_direction: change.is_beyond_band(),
        }),
        melt_1000_pa_s_change_c: effect.melt_shift.as_ref().map(|shift| shift.celsius),
        loss_on_ignition_change: effect.loss_change,
    }
}

fn doubt(doubt: &Doubt) -> DoubtJson<'_> {
    DoubtJson {
        material: &doubt.material,
        scales: ByScalesJson {
            expansion: doubt.scales_expansion,
            silica_to_alumina: doubt.scales_ratio,
        },
        sheet: doubt.sheet_expansion.map(|expansion| BySheetJson {
            expansion,
            silica_to_alumina: doubt.sheet_ratio,
            line: doubt.sheet_line.map(|oxide| oxide.formula()),
        }),
    }
}
