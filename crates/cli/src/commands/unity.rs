use glost_core::fit::ExpansionModel;
use glost_core::glaze::{Additions, Analysis, FluxList};
use glost_page::layout::Style;
use glost_page::unity::{Expansion, UnityPage};
use glost_studio::Workplace;

use crate::args::{AdditionsOption, UnityOptions};
use crate::outcome::{Answer, Outcome};
use crate::trouble;

pub(super) fn run(options: &UnityOptions, workplace: &Workplace, style: Style) -> Outcome {
    let found = super::glaze(workplace, &options.glaze)?;
    let additions = match options.additions {
        AdditionsOption::In => Additions::In,
        AdditionsOption::Out => Additions::Out,
    };
    let fluxes = &found.settings.fluxes;
    let analysis = Analysis::of(&found.glaze, fluxes, additions).map_err(|bad| trouble::no_analysis(&found, &bad))?;
    let own_fluxes = (*fluxes != FluxList::default()).then(|| {
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
        expansion: expansions(&analysis),
        analysis: &analysis,
        own_fluxes,
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

/// The models that are shown, the default first.
fn expansions(analysis: &Analysis) -> Vec<Expansion> {
    ExpansionModel::ALL
        .iter()
        .filter(|model| !model.is_historical())
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
