//! Several distinct ways to one expansion: each meets the aims, each by another
//! material, silica helping, none better than the least change of all.

use glost_chemistry::glass::ExpansionModel;
use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze};
use glost_core::recipes::adjust::{AdjustAnswer, AdjustQuestion, Asked, Least, Route, adjust, ways};
use glost_core::recipes::aims::parse_phrase;
use glost_tests::{glaze, library};

/// Analyses of the acceptance scenario (invented data).
const SHEETS: &str = "materials:
  - { name: nepheline syenite, kind: mineral, basis: as supplied, loss_on_ignition: 0.5, source: sheet, analysis: { SiO2: 60.0, Al2O3: 23.5, K2O: 5.0, Na2O: 10.3, CaO: 0.4, Fe2O3: 0.10 } }
  - { name: kaolin, kind: clay, basis: as supplied, loss_on_ignition: 13.8, source: sheet, analysis: { SiO2: 46.0, Al2O3: 38.0, K2O: 0.6, CaO: 0.2, MgO: 0.1, Fe2O3: 0.5, TiO2: 0.3 } }
  - { name: silica, kind: mineral, basis: as supplied, loss_on_ignition: 0.2, source: sheet, analysis: { SiO2: 99.5 } }
  - { name: whiting, kind: mineral, basis: as supplied, loss_on_ignition: 43.8, source: sheet, analysis: { CaO: 55.8, MgO: 0.3 } }
  - { name: talc, kind: mineral, basis: as supplied, loss_on_ignition: 5.5, source: sheet, analysis: { SiO2: 61.0, Al2O3: 0.6, CaO: 0.3, MgO: 31.8, Fe2O3: 0.3 } }
  - { name: frit X, kind: frit, basis: fired, loss_on_ignition: 0, source: sheet, analysis: { SiO2: 47.0, B2O3: 23.0, Na2O: 10.0, CaO: 20.0 } }
  - { name: spodumene, kind: mineral, formula: LiAlSi2O6, source: stoichiometric }
";

fn expansion(glaze: &Glaze) -> f64 {
    let analysis = Analysis::of(glaze, &FluxList::default(), Additions::In).unwrap();
    ExpansionModel::default().value(&analysis.moles).unwrap()
}

#[test]
fn a_crazing_cup_glaze_has_several_cures() {
    let library = library(SHEETS);
    let crazed = glaze(
        &library,
        "nepheline syenite: 38, frit X: 24, silica: 14, kaolin: 10, whiting: 10, talc: 4",
        "",
    );
    let most = expansion(&crazed) - 0.5;
    let fluxes = FluxList::default();
    let question = AdjustQuestion {
        glaze: &crazed,
        fluxes: &fluxes,
        aims: vec![
            Asked::Fit {
                phrase: "fit: white clay".to_owned(),
                low: None,
                high: Some(most),
            },
            Asked::Phrase(parse_phrase("SiO2:Al2O3 in 7..10", &library).unwrap()),
        ],
        with: Vec::new(),
        least: Least::Weights,
        distance_from: None,
        sure: None,
    };
    let AdjustAnswer::Possible {
        objective: least,
        glaze: found,
        ..
    } = adjust(&question).unwrap()
    else {
        panic!("no recipe found");
    };
    assert!(expansion(&found) <= most + 1e-6);
    let ways = ways(&question, &[library.find("spodumene").unwrap().clone()]).unwrap();
    let routes: Vec<Route> = ways.iter().map(|way| way.route).collect();
    for wanted in [Route::Silica, Route::Magnesia, Route::Lithia] {
        assert!(routes.contains(&wanted), "{routes:?}");
    }
    assert!(!routes.contains(&Route::Alkali), "alkali raises the expansion");
    for way in &ways {
        assert!(expansion(&way.glaze) <= most + 1e-6, "{:?}", way.route);
        let before = |name: &str| {
            let same = crazed.base.iter().find(|portion| portion.material.name == name);
            same.map_or(0.0, |portion| portion.percent)
        };
        let risen: Vec<&str> = way
            .glaze
            .base
            .iter()
            .filter(|portion| portion.percent > before(&portion.material.name) + 1e-6)
            .map(|portion| portion.material.name.as_str())
            .collect();
        let own = way.material.name.as_str();
        assert!(risen.contains(&own), "{risen:?}");
        assert!(risen.iter().all(|name| [own, "silica"].contains(name)), "{risen:?}");
        // A newcomer can do better than the least change without one.
        if before(&way.material.name) > 0.0 {
            assert!(way.objective >= least - 1e-6, "{:?}", way.route);
        }
    }
    assert!(ways.windows(2).all(|pair| pair[0].objective <= pair[1].objective));
}
