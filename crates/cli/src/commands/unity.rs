use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glass::ExpansionModel;
use glost_chemistry::glaze::{Additions, Analysis, FluxList, IronCount};
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_page::layout::Style;
use glost_page::unity::{Expansion, UnityPage};
use glost_studio::{FoundGlaze, Workplace};

use crate::args::{AdditionsOption, UnityOptions};
use crate::outcome::{Answer, Outcome};
use glost_desk::trouble;

pub(super) fn run(options: &UnityOptions, workplace: &Workplace, style: Style) -> Outcome {
    let model = options.model.as_deref().map(model).transpose()?;
    let found = super::glaze(workplace, &options.glaze)?;
    let additions = match options.additions {
        AdditionsOption::In => Additions::In,
        AdditionsOption::Out => Additions::Out,
    };
    let fluxes = &found.settings.fluxes;
    let analysis = Analysis::of(&found.glaze, fluxes, additions).map_err(|bad| trouble::no_analysis(&found, &bad))?;
    let own_fluxes = (fluxes.oxides() != FluxList::default().oxides()).then(|| {
        fluxes
            .oxides()
            .iter()
            .map(|oxide| oxide.formula())
            .collect::<Vec<_>>()
            .join(", ")
    });
    let page = UnityPage {
        glaze: &found.glaze.name,
        additions_out: additions == Additions::Out,
        expansion: expansions(&analysis, model),
        iron: fluxes.iron(),
        as_feo: hangs_on_iron(&found, &analysis.moles)
            .then(|| fluxes.clone().with_iron(IronCount::FEO).unity(&analysis.moles))
            .flatten(),
        analysis: &analysis,
        own_fluxes,
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

/// From this much Fe2O3 in the unity formula on, how iron is counted matters.
const IRON_MATTERS: f64 = 0.03;

/// Whether a glaze is fired in reduction with enough iron that its count matters, and nobody
/// says how it is counted.
pub(super) fn hangs_on_iron(found: &FoundGlaze, moles: &OxideMoles) -> bool {
    let fluxes = &found.settings.fluxes;
    let reduced = found.glaze.about.atmosphere.as_deref() == Some("reduction");
    let iron = fluxes.unity(moles).map(|unity| unity.get(Oxide::Fe2O3));
    reduced
        && fluxes.iron() == IronCount::FE2O3
        && found.glaze.about.iron.is_none()
        && iron.is_some_and(|iron| iron >= IRON_MATTERS)
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
        .map(|expansion| Expansion {
            model: expansion.model.to_owned(),
            value: expansion.value_per_million_per_kelvin,
            plus_minus: expansion.plus_minus_90,
            range_celsius: expansion.range_celsius,
            inside_domain: expansion.inside_domain,
            reasons: expansion.reasons,
        })
        .collect()
}
