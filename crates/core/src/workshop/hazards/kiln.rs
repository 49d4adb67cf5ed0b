//! Cautions that a firing brings, from what stands in the kiln.
//!
//! Common practice, no source, but where a figure says otherwise; they never replace the
//! kiln maker's instructions, the safety data sheets or local rules.

use glost_chemistry::material::{Kind, Material};
use glost_chemistry::oxides::{Formula, Oxide};
use glost_chemistry::quantity::Celsius;
use serde::Serialize;

use super::handling::{LOCKED, METALS, TRACE, oxide_grams};

/// Fluorine above this share of the dry batch, wt %, is told.
const FLUORINE_PERCENT: f64 = 0.3;
/// Manganese is told from this heat up, deg C.
const MANGANESE_FROM_CELSIUS: f64 = 1080.0;
/// At any heat from this share of the dry batch, wt % as MnO.
const MANGANESE_PERCENT: f64 = 2.0;

/// What pieces in the kiln were glazed with.
#[derive(Debug, Clone)]
pub struct InKiln<'a> {
    /// Its name.
    pub name: String,
    /// Its materials, each with its weight in whatever unit.
    pub lines: Vec<(&'a Material, f64)>,
}

/// One caution of a firing.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum KilnCaution {
    /// Fluorine leaves as hydrogen fluoride.
    Fluorine {
        /// The most of the glazes, wt % of its dry batch.
        percent: f64,
        /// The glazes.
        glazes: Vec<String>,
    },
    /// Sulphur leaves as its oxides.
    Sulphur(Vec<String>),
    /// Chlorine leaves as hydrogen chloride and chlorides.
    Chlorine(Vec<String>),
    /// Manganese fumes.
    Manganese(Vec<String>),
    /// Vanadium fumes.
    Vanadium(Vec<String>),
    /// Lead, cadmium or mercury fumes.
    Poison {
        /// The metal.
        metal: &'static str,
        /// The glazes.
        glazes: Vec<String>,
    },
    /// Zinc oxide turns to metal in reduction, and its fumes leave.
    ZincInReduction(Vec<String>),
    /// Reduction makes carbon monoxide.
    MonoxideInReduction,
    /// Gum, wax and paper burn out, at first to carbon monoxide and smoke.
    BurningOut(Vec<String>),
    /// Nobody tells what is in these.
    Untold(Vec<String>),
    /// Vented to outdoors, nobody stays in the room.
    VentAndLeave,
    /// Not opened above 100 C.
    OpenCold,
    /// Metals whose sludge is collected.
    Sludge(Vec<&'static str>),
    /// What students keep away from.
    Students,
}

/// A caution about some glazes.
type OfGlazes = fn(Vec<String>) -> KilnCaution;

/// What a load brings; `peak`: where it is known how hot it gets.
pub fn kiln_cautions(load: &[InKiln<'_>], reduction: bool, peak: Option<Celsius>) -> Vec<KilnCaution> {
    let with = |fits: &dyn Fn(&InKiln<'_>) -> bool| -> Vec<String> {
        let names = load.iter().filter(|one| fits(one)).map(|one| one.name.clone());
        let mut names: Vec<String> = names.collect();
        names.sort();
        names.dedup();
        names
    };
    let mut said = Vec::new();
    let fluorine = with(&|one| one.fluorine_percent() > FLUORINE_PERCENT);
    if !fluorine.is_empty() {
        said.push(KilnCaution::Fluorine {
            percent: load.iter().map(InKiln::fluorine_percent).fold(0.0, f64::max),
            glazes: fluorine,
        });
    }
    for (oxide, metal) in LOCKED {
        let glazes = with(&|one| one.share(|material| oxide_grams(material, oxide)) > TRACE);
        if !glazes.is_empty() {
            said.push(KilnCaution::Poison { metal, glazes });
        }
    }
    let hot = peak.is_none_or(|peak| peak.celsius() > MANGANESE_FROM_CELSIUS);
    let metal = |oxide: Oxide| move |material: &Material| oxide_grams(material, oxide);
    let manganese = |one: &InKiln<'_>| {
        let share = one.share(metal(Oxide::MnO));
        share > MANGANESE_PERCENT / 100.0 || (hot && share > TRACE)
    };
    let named: [(OfGlazes, Vec<String>); 7] = [
        (KilnCaution::Sulphur, with(&|one| one.holds_element("S"))),
        (KilnCaution::Chlorine, with(&|one| one.holds_element("Cl"))),
        (KilnCaution::Manganese, with(&manganese)),
        (
            KilnCaution::Vanadium,
            with(&|one| one.share(metal(Oxide::V2O5)) > TRACE),
        ),
        (
            KilnCaution::ZincInReduction,
            with(&|one| reduction && one.share(metal(Oxide::ZnO)) > TRACE),
        ),
        (
            KilnCaution::BurningOut,
            with(&|one| one.any(|material| material.kind == Kind::Gum)),
        ),
        (
            KilnCaution::Untold,
            with(&|one| one.any(|material| material.fired.is_none())),
        ),
    ];
    let named = named.into_iter().filter(|(_, glazes)| !glazes.is_empty());
    said.extend(named.map(|(caution, glazes)| caution(glazes)));
    if reduction {
        said.push(KilnCaution::MonoxideInReduction);
    }
    said.extend([KilnCaution::VentAndLeave, KilnCaution::OpenCold]);
    let held = |oxide: Oxide| load.iter().any(|one| one.share(metal(oxide)) > TRACE);
    let metals = LOCKED.iter().chain(&METALS).filter(|(oxide, _)| held(*oxide));
    let metals: Vec<&'static str> = metals.map(|(_, name)| *name).collect();
    if !metals.is_empty() {
        said.push(KilnCaution::Sludge(metals));
    }
    said.push(KilnCaution::Students);
    said
}

impl InKiln<'_> {
    /// Grams of something for a gram of the dry batch.
    fn share(&self, of: impl Fn(&Material) -> f64) -> f64 {
        let total: f64 = self.lines.iter().map(|line| line.1).sum();
        let grams: f64 = self.lines.iter().map(|(material, weight)| of(material) * weight).sum();
        if total > 0.0 { grams / total } else { 0.0 }
    }

    fn fluorine_percent(&self) -> f64 {
        self.share(|material| material.fired.as_ref().map_or(0.0, |fired| fired.fluorine_grams))
    }

    fn any(&self, is: impl Fn(&Material) -> bool) -> bool {
        self.lines
            .iter()
            .any(|(material, weight)| *weight > 0.0 && is(material))
    }

    /// Whether a material's formula has this element: sheets of analyses rarely tell it.
    fn holds_element(&self, symbol: &str) -> bool {
        self.any(|material| {
            let formula = material.formula.as_deref().and_then(|text| Formula::parse(text).ok());
            formula.is_some_and(|formula| formula.atoms_of(symbol) > 0.0)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_chemistry::diagnostic::Source;
    use glost_chemistry::material::{Library, read_materials};

    const SHELF: &str = "materials:
  - { name: silica, formula: SiO2, source: x }
  - { name: fluorspar, formula: CaF2, source: x }
  - { name: manganese carbonate, formula: MnCO3, source: x }
  - { name: copper sulphate, formula: CuSO4, source: x }
  - { name: salt, formula: NaCl, source: x }
  - { name: zinc oxide, formula: ZnO, source: x }
  - { name: bought clear, kind: powder, analysis: unknown, source: x }
";

    fn brought(recipe: &[(&str, f64)], reduction: bool, peak: f64) -> Vec<KilnCaution> {
        let mut library = Library::default();
        library.add_layer(read_materials(&Source::from_text("m.yaml", SHELF)).0, false);
        let lines = recipe
            .iter()
            .filter_map(|(name, weight)| Some((&**library.find(name)?, *weight)));
        let glaze = InKiln {
            name: "A".to_owned(),
            lines: lines.collect(),
        };
        kiln_cautions(&[glaze], reduction, Celsius::new(peak))
    }

    /// Fluorspar is 48.67 % fluorine (CaF2: 2 x 18.998 of 78.07): 0.3 % from 0.62 % of it on.
    #[test]
    fn fluorine_from_a_third_of_a_per_cent() {
        let says = |percent: f64| {
            let said = brought(&[("silica", 100.0 - percent), ("fluorspar", percent)], false, 1000.0);
            said.iter().any(|one| matches!(one, KilnCaution::Fluorine { .. }))
        };
        assert_eq!((says(0.6), says(0.65)), (false, true));
    }

    #[test]
    fn zinc_leaves_in_reduction_alone() {
        let says = |recipe: &[(&str, f64)], reduction: bool| {
            let said = brought(recipe, reduction, 1250.0);
            said.iter().any(|one| matches!(one, KilnCaution::ZincInReduction(_)))
        };
        let zinc = [("silica", 90.0), ("zinc oxide", 10.0)];
        assert_eq!((says(&zinc, true), says(&zinc, false)), (true, false));
        assert!(!says(&[("silica", 100.0)], true));
    }

    #[test]
    fn manganese_where_it_is_hot_or_much() {
        // MnCO3 leaves 61.7 % MnO (70.94 of 114.95).
        let says = |percent: f64, peak: f64| {
            let recipe = [("silica", 100.0 - percent), ("manganese carbonate", percent)];
            brought(&recipe, false, peak).contains(&KilnCaution::Manganese(vec!["A".to_owned()]))
        };
        assert_eq!((says(2.0, 1050.0), says(2.0, 1100.0)), (false, true));
        assert_eq!((says(3.0, 1050.0), says(3.5, 1050.0)), (false, true));
        assert_eq!((says(2.0, 1080.0), says(2.0, 1080.5)), (false, true));
    }

    #[test]
    fn what_leaves_with_the_smoke() {
        let a = || vec!["A".to_owned()];
        let said = brought(
            &[
                ("silica", 90.0),
                ("copper sulphate", 1.0),
                ("salt", 1.0),
                ("zinc oxide", 5.0),
                ("bought clear", 3.0),
            ],
            true,
            1250.0,
        );
        for one in [
            KilnCaution::Sulphur(a()),
            KilnCaution::Chlorine(a()),
            KilnCaution::ZincInReduction(a()),
            KilnCaution::Untold(a()),
            KilnCaution::MonoxideInReduction,
            KilnCaution::VentAndLeave,
            KilnCaution::OpenCold,
        ] {
            assert!(said.contains(&one), "{one:?}: {said:?}");
        }
        let bare = kiln_cautions(&[], false, None);
        assert_eq!(
            bare,
            [KilnCaution::VentAndLeave, KilnCaution::OpenCold, KilnCaution::Students]
        );
    }

    use crate::workshop::bench::{batch, near, shelf};

    #[test]
    fn a_load_tells_its_poisons_gums_and_sludge_by_glaze() {
        let shelf = shelf();
        let glaze = |name: &str, grams: &[(&str, f64)]| InKiln {
            name: name.to_owned(),
            lines: batch(&shelf, grams),
        };
        let load = [
            glaze("Reef", &[("silica", 90.0), ("fluorspar", 10.0)]),
            glaze("Old lead", &[("silica", 50.0), ("red lead", 50.0), ("gum", 1.0)]),
            glaze(
                "Moss",
                &[
                    ("silica", 95.0),
                    ("fluorspar", 5.0),
                    ("cobalt carbonate", 1.0),
                    ("gum", 0.0),
                ],
            ),
            glaze("Reef", &[("silica", 99.0), ("fluorspar", 1.0)]),
            glaze("Nothing", &[]),
        ];
        let said = kiln_cautions(&load, false, Celsius::new(1000.0));
        let Some(KilnCaution::Fluorine { percent, glazes }) = said.first() else {
            panic!("{said:?}");
        };
        assert!((percent - 4.866_67).abs() < 1e-3, "the most of them: {percent}");
        assert_eq!(glazes.as_slice(), ["Moss", "Reef"]);
        let lead = || vec!["Old lead".to_owned()];
        assert!(said.contains(&KilnCaution::Poison {
            metal: "lead",
            glazes: lead()
        }));
        assert!(said.contains(&KilnCaution::BurningOut(lead())) && said.contains(&KilnCaution::Untold(lead())));
        assert!(said.contains(&KilnCaution::Sludge(vec!["lead", "cobalt"])));
        assert!(!said.contains(&KilnCaution::MonoxideInReduction));
        assert!(!said.iter().any(|one| matches!(
            one,
            KilnCaution::Manganese(_) | KilnCaution::ZincInReduction(_) | KilnCaution::Sulphur(_)
        )));
        near(load[4].share(|_| 1.0), 0.0, "of nothing");
        near(
            load[1].share(|material| if material.name == "gum" { 1.0 } else { 0.0 }),
            1.0 / 101.0,
            "gum",
        );
    }
}
