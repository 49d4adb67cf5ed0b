use super::*;
use crate::oxides::Oxide;

fn fire(parts: &[(&str, f64)], additions: &[(&str, f64)]) -> Result<Fired, RecipeError> {
    let recipe = Recipe::parts(parts.iter().copied());
    let recipe = additions
        .iter()
        .fold(recipe, |recipe, (name, percent)| recipe.with(*name, *percent));
    recipe.fire(&Library::shipped())
}

/// Wollastonite's oxides from 100.086 g of calcite and 60.083 g of quartz: 1 CaO, 1 SiO2.
#[test]
fn a_recipe_in_parts_of_any_total_is_fired() {
    let fired = fire(&[("calcite", 200.174), ("quartz", 120.166)], &[]).unwrap();
    let unity = fired.unity().unwrap();
    assert!((unity.get(Oxide::CaO) - 1.0).abs() < 1e-9 && (unity.get(Oxide::SiO2) - 1.0).abs() < 1e-4);
    assert!((fired.loss_on_ignition_percent() - 100.0 * 44.009 / 160.17).abs() < 0.01);
    assert_eq!(fired.silica_to_alumina(), None);
    assert!((fired.weight_percent().get(Oxide::CaO) - 100.0 * 56.077 / 116.16).abs() < 0.01);
    assert_eq!(fired.glaze().base.len(), 2);
    assert!((fired.glaze().base[0].percent - 100.0 * 200.174 / 320.34).abs() < 1e-9);
    assert!((fired.analysis().loss_on_ignition_percent - fired.loss_on_ignition_percent()).abs() < 1e-12);
    let clay = fire(&[("kaolinite", 1.0)], &[]).unwrap();
    assert!((clay.silica_to_alumina().unwrap() - 2.0).abs() < 1e-9 && clay.unity().is_none());
    // 10 % on the base, of 110 in all: SiO2 alone, no loss.
    let more = fire(&[("quartz", 50.0)], &[("kaolinite", 10.0)]).unwrap();
    assert!((more.loss_on_ignition_percent() - 10.0 * 0.139_57 / 1.1).abs() < 1e-3);
}

#[test]
fn amounts_that_are_none_are_refused_by_name() {
    let why = |parts: &[(&str, f64)], additions: &[(&str, f64)]| fire(parts, additions).unwrap_err();
    for bad in [-1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(
            why(&[("quartz", 50.0)], &[("calcite", bad)]),
            RecipeError::BadAmount("calcite".to_owned())
        );
    }
    assert_eq!(
        why(&[("quartz", -1.0), ("calcite", 5.0)], &[]),
        RecipeError::BadAmount("quartz".to_owned())
    );
    assert_eq!(why(&[("quartz", 0.0)], &[]), RecipeError::Empty);
    assert_eq!(why(&[], &[]), RecipeError::Empty);
    let unknown = why(&[("zzzzzzzzzzzz", 1.0)], &[]);
    assert_eq!(unknown.to_string(), "no material is called `zzzzzzzzzzzz`");
    assert_eq!(RecipeError::Empty.to_string(), "the base weighs nothing");
    let amount = RecipeError::BadAmount("quartz".to_owned()).to_string();
    assert_eq!(amount, "`quartz`: the amount must be a number, zero or more");
    assert!(fire(&[("quartz", 1.0)], &[("calcite", 0.0)]).is_ok());
}

/// Feldspar, quartz, calcite, kaolinite 40 : 30 : 20 : 10: any model puts such a glass between
/// 4 and 9 millionths a kelvin (common practice, no source).
#[test]
fn a_usual_glaze_has_an_expansion() {
    let parts = [
        ("orthoclase", 40.0),
        ("quartz", 30.0),
        ("calcite", 20.0),
        ("kaolinite", 10.0),
    ];
    let expansion = fire(&parts, &[]).unwrap().expansion().unwrap();
    assert!((4.0..9.0).contains(&expansion.value_per_million_per_kelvin));
}
