//! Adjustments at their edges: ratios over nothing, cones that no curve tells of.

use glost_chemistry::diagnostic::Source;
use glost_chemistry::glaze::{FluxList, Glaze, read_glaze};
use glost_chemistry::material::{Library, read_materials};
use glost_chemistry::quantity::Millilitres;
use glost_core::recipes::adjust::{AdjustAnswer, AdjustQuestion, AdjustTrouble, Asked, Least, MeltTrouble, adjust};
use glost_core::recipes::aims::parse_phrase;

/// Invented sheets of generic minerals.
const SHEETS: &str = "materials:
  - { name: spar, kind: mineral, basis: as supplied, loss_on_ignition: 0.3, source: invented, analysis: { SiO2: 66.1, Al2O3: 18.3, K2O: 11.2, Na2O: 2.9, CaO: 0.3, Fe2O3: 0.08 } }
  - { name: flint, kind: mineral, basis: as supplied, loss_on_ignition: 0.2, source: invented, analysis: { SiO2: 99.4, Al2O3: 0.2 } }
  - { name: chalk, kind: mineral, basis: as supplied, loss_on_ignition: 43.5, source: invented, analysis: { CaO: 55.4, MgO: 0.4, SiO2: 0.4 } }
  - { name: china clay, kind: clay, basis: as supplied, loss_on_ignition: 13, source: invented, analysis: { SiO2: 46.4, Al2O3: 37.5, MgO: 0.2, Fe2O3: 0.7 } }
";

fn shelf() -> Library {
    let (entries, mut complaints) = read_materials(&Source::from_text("materials.yaml", SHEETS));
    let mut library = Library::default();
    complaints.extend(library.add_layer(entries, false));
    assert!(complaints.is_empty(), "{complaints:?}");
    library
}

fn glaze(library: &Library, text: &str) -> Glaze {
    let source = Source::from_text("glaze.yaml", &format!("glaze: test\n{text}"));
    let file = read_glaze(&source, Millilitres::METRIC_CUP).unwrap_or_else(|why| panic!("{why:?}"));
    file.resolve(library).unwrap_or_else(|why| panic!("{why:?}"))
}

fn asked(text: &str, aim: &str, sure: Option<f64>) -> Result<AdjustAnswer, AdjustTrouble> {
    let library = shelf();
    let phrase = parse_phrase(aim, &library).unwrap_or_else(|why| panic!("{why:?}"));
    adjust(&AdjustQuestion {
        glaze: &glaze(&library, text),
        fluxes: &FluxList::default(),
        aims: vec![Asked::Phrase(phrase)],
        with: Vec::new(),
        least: Least::Change,
        distance_from: None,
        sure,
    })
}

/// It is met as 0 >= 0 and says nothing: nobody is sure of potash over soda by weighing
/// neither. The spar's own ratio is 2.54; its sheet alone can't make 2.53 sure.
#[test]
fn nobody_is_sure_of_a_ratio_over_nothing() {
    let parts = "parts: { spar: 30, flint: 25, chalk: 33, china clay: 12 }\n";
    let answer = asked(parts, "K2O:Na2O <= 2.53", Some(0.9));
    assert!(matches!(answer, Ok(AdjustAnswer::Impossible { .. })), "{answer:?}");
}

/// The melt curve ends at 850 C: no recipe is worked out for a cone far below.
#[test]
fn a_cone_below_the_curve_is_refused() {
    let parts = "cone: 10\nparts: { spar: 42, flint: 26, chalk: 18, china clay: 14 }\n";
    for aim in ["cone 022", "melt 700 C"] {
        let answer = asked(parts, aim, None);
        let refused = matches!(answer, Err(AdjustTrouble::Melt(MeltTrouble::Refused(_))));
        assert!(refused, "{aim}: {answer:?}");
    }
    assert!(asked(parts, "cone 8", None).is_ok());
}
