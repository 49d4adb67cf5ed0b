//! What a glaze is once fired: unity formula, ratios, loss on ignition, expansion.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glass::{Expansion, ExpansionModel};
use glost_chemistry::glaze::{Additions, Analysis, Atmosphere, FluxList, IronCount};
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_studio::FoundGlaze;
use serde::{Serialize, Serializer};

use crate::by_hand::UnitySteps;
use crate::wire::Amounts;
use crate::{Desk, Failure, Said, Words, trouble};

/// Whether additions count, unless said.
pub const ADDITIONS: &str = "in";

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The glaze's name or file.
    pub glaze: String,
    /// Whether additions count.
    pub additions: Additions,
    /// The expansion model to show instead of the usual ones.
    pub model: Option<ExpansionModel>,
    /// Whether the sum is shown as one does it by hand.
    pub steps: bool,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            model: words.text("model").map(model).transpose()?,
            glaze: words.required("glaze")?.to_owned(),
            steps: words.flag("steps"),
            additions: words.choice("additions", (ADDITIONS, Additions::In), &[("out", Additions::Out)])?,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let found = desk.glaze(&self.glaze)?;
        let fluxes = &found.settings.fluxes;
        let analysis =
            Analysis::of(&found.glaze, fluxes, self.additions).map_err(|bad| trouble::no_analysis(&found, &bad))?;
        Ok(Answer {
            additions: self.additions,
            steps: self.steps.then(|| UnitySteps::of(&found.glaze, fluxes, self.additions)),
            expansions: expansions(&analysis, self.model),
            own_fluxes: (fluxes.oxides() != FluxList::default().oxides()).then(|| fluxes.oxides().to_vec()),
            iron: fluxes.iron(),
            as_feo: hangs_on_iron(&found, &analysis.moles)
                .then(|| fluxes.clone().with_iron(IronCount::FEO).unity(&analysis.moles))
                .flatten(),
            analysis,
            glaze: found.glaze.name,
        })
    }
}

/// From this much Fe2O3 in the unity formula on, how iron is counted matters.
const IRON_MATTERS: f64 = 0.03;

/// Whether a glaze is fired in reduction with enough iron that its count matters, and nobody
/// says how it is counted.
fn hangs_on_iron(found: &FoundGlaze, moles: &OxideMoles) -> bool {
    let fluxes = &found.settings.fluxes;
    let reduced = found.glaze.about.atmosphere == Some(Atmosphere::Reduction);
    let iron = fluxes.unity(moles).map(|unity| unity.get(Oxide::Fe2O3));
    reduced
        && fluxes.iron() == IronCount::FE2O3
        && found.glaze.about.iron.is_none()
        && iron.is_some_and(|iron| iron >= IRON_MATTERS)
}

/// The glaze with all iron as FeO, where its firing leaves that open.
pub(crate) fn as_feo(found: &FoundGlaze, moles: &OxideMoles) -> Option<IronReading> {
    let as_feo = found.settings.fluxes.clone().with_iron(IronCount::FEO);
    let unity = hangs_on_iron(found, moles).then(|| as_feo.unity(moles)).flatten();
    unity.as_ref().map(IronReading::of)
}

/// A unity formula with all iron counted as FeO, moles.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct IronReading {
    /// SiO2.
    pub silica: f64,
    /// Al2O3.
    pub alumina: f64,
    /// FeO.
    pub feo: f64,
}

impl IronReading {
    fn of(unity: &OxideMoles) -> IronReading {
        IronReading {
            silica: unity.get(Oxide::SiO2),
            alumina: unity.get(Oxide::Al2O3),
            feo: 2.0 * unity.get(Oxide::Fe2O3),
        }
    }
}

/// The model of a name, without case.
fn model(name: &str) -> Result<ExpansionModel, Diagnostic> {
    let known = |model: &ExpansionModel| model.name().eq_ignore_ascii_case(name);
    ExpansionModel::ALL.into_iter().find(known).ok_or_else(|| {
        let names = ExpansionModel::ALL.map(ExpansionModel::name);
        Diagnostic::error(
            "unknown-model",
            format!("--model: no expansion model is called `{name}`"),
        )
        .help(format!("there are: {}", names.join(", ")))
    })
}

/// The models that are shown: the one asked for, else the default first and
/// then the alternative; the historical ones only where they are asked for.
fn expansions(analysis: &Analysis, asked: Option<ExpansionModel>) -> Vec<Expansion> {
    ExpansionModel::ALL
        .into_iter()
        .filter(|model| asked.map_or(!model.is_historical(), |asked| *model == asked))
        .filter_map(|model| model.predict(&analysis.moles))
        .collect()
}

/// A glaze's chemistry with what is said beside it.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The glaze's name.
    pub glaze: String,
    /// Whether additions count.
    pub additions: Additions,
    /// The analysis.
    pub analysis: Analysis,
    /// What the studio counts as fluxes, where that is its own list.
    pub own_fluxes: Option<Vec<Oxide>>,
    /// How iron is counted.
    pub iron: IronCount,
    /// The unity formula with all iron as FeO, where the glaze is fired in reduction, holds
    /// enough of it to matter, and nobody says how it is counted.
    pub as_feo: Option<OxideMoles>,
    /// What the expansion models say, the default first.
    pub expansions: Vec<Expansion>,
    /// The sum as one does it by hand, where it is asked for.
    pub steps: Option<UnitySteps>,
}

/// What is said of a unity formula.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum UnitySaid {
    /// So many per cent of the iron count as FeO.
    IronAsFeo(f64),
    /// Iron counts as Fe2O3; what it would be as FeO.
    IronAsFe2O3(IronReading),
    /// What checks say of the unity formula hangs on how iron is counted.
    ChecksHangOnIron(IronReading),
    /// These count as fluxes in this studio.
    OwnFluxes(Vec<Oxide>),
    /// Without flux it is undefined.
    NoFlux,
}

/// A line of a table of oxides: iron split as it is counted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// What is written.
    pub name: &'static str,
    /// The oxide that it is counted from.
    pub oxide: Oxide,
    /// How much of it, moles.
    pub moles: f64,
}

impl Answer {
    /// Moles of each line shown.
    pub fn lines(&self, amounts: &OxideMoles) -> Vec<Line> {
        let share = self.iron.feo_share();
        let mut lines = Vec::new();
        for (oxide, moles) in amounts.iter() {
            let line = |name, moles| Line { name, oxide, moles };
            match oxide {
                Oxide::Fe2O3 => {
                    lines.push(line("FeO", 2.0 * share * moles));
                    lines.push(line(oxide.formula(), (1.0 - share) * moles));
                }
                _ => lines.push(line(oxide.formula(), moles)),
            }
        }
        lines.retain(|line| line.moles > 0.0);
        lines
    }

    /// What the other way of counting iron would say.
    pub fn iron_left_open(&self) -> Option<Said> {
        let reading = self.as_feo.as_ref().map(IronReading::of);
        reading.map(UnitySaid::IronAsFe2O3).map(Said::Unity)
    }

    /// What it takes for granted.
    pub fn assumptions(&self) -> Vec<Said> {
        let mut said: Vec<Said> = self.analysis.assumptions.iter().map(Said::from).collect();
        let feo = (self.iron.feo_share() > 0.0).then(|| UnitySaid::IronAsFeo(100.0 * self.iron.feo_share()));
        let own = self.own_fluxes.clone().map(UnitySaid::OwnFluxes);
        let none = self.analysis.unity.is_none().then_some(UnitySaid::NoFlux);
        said.extend(feo.into_iter().chain(own).chain(none).map(Said::Unity));
        said
    }
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct IronJson {
    counted_as_feo: f64,
    unity_as_feo: Option<Amounts>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct BandsJson {
    unity: Amounts,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ExpansionJson<'a> {
    model: &'a str,
    value: f64,
    plus_minus: f64,
    unit: &'static str,
    range_c: (f64, f64),
    inside_domain: bool,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    glaze: &'a str,
    unity: Option<Amounts>,
    iron: IronJson,
    mole_percent: Amounts,
    weight_percent: Amounts,
    loss_on_ignition: f64,
    silica_to_alumina: Option<f64>,
    alkali_share: Option<f64>,
    bands: BandsJson,
    expansion: Vec<ExpansionJson<'a>>,
    assumptions: Vec<Said>,
    #[serde(skip_serializing_if = "Option::is_none")]
    steps: Option<&'a UnitySteps>,
}

fn expansion(expansion: &Expansion) -> ExpansionJson<'_> {
    ExpansionJson {
        model: expansion.model,
        value: expansion.value_per_million_per_kelvin,
        plus_minus: expansion.plus_minus_90,
        unit: "1e-6/K",
        range_c: expansion.range_celsius,
        inside_domain: expansion.inside_domain,
    }
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let analysis = &self.analysis;
        AnswerJson {
            glaze: &self.glaze,
            unity: analysis.unity.as_ref().map(|unity| {
                let lines = self.lines(unity).into_iter();
                Amounts(lines.map(|line| (line.name.to_owned(), line.moles)).collect())
            }),
            iron: IronJson {
                counted_as_feo: self.iron.feo_share(),
                unity_as_feo: self.as_feo.as_ref().map(Amounts::moles),
            },
            mole_percent: Amounts::moles(&analysis.mole_percent()),
            weight_percent: Amounts::grams(&analysis.weight_percent()),
            loss_on_ignition: analysis.loss_on_ignition_percent,
            silica_to_alumina: analysis.silica_to_alumina,
            alkali_share: analysis.alkali_share,
            bands: BandsJson {
                unity: Amounts::moles(&analysis.unity_bands),
            },
            expansion: self.expansions.iter().map(expansion).collect(),
            assumptions: self.assumptions(),
            steps: self.steps.as_ref(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);
