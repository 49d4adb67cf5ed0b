use super::*;
use crate::workshop::bench::{glaze, near};

#[test]
fn what_harms_is_told_from_what_is_in_the_glaze() {
    let found = contents(&glaze(
        "parts: { silica: 40, whiting: 30, kaolin: 10, soda ash: 5, barium carbonate: 15, feldspar: 0 }\nadditions: { gum: 1, wood ash: 24 }",
    ));
    // 40 g of silica, 98 % crystalline, in 125 g.
    near(found.free_silica_percent, 40.0 * 98.0 / 125.0, "crystalline silica");
    assert_eq!(found.silica_untold, ["kaolin", "gum"]);
    assert_eq!(found.toxic, ["barium carbonate"]);
    assert_eq!(
        (found.soluble.as_slice(), found.unknown.as_slice()),
        (&["soda ash".to_owned()][..], &["gum".to_owned()][..])
    );
    assert_eq!(found.gas, ["gum", "wood ash"]);
    // BaCO3 leaves 153.326 of 197.335 g.
    assert_eq!(found.metals.len(), 1);
    assert_eq!(found.metals[0].0, "barium");
    assert!(
        (found.metals[0].1 - 15.0 * 77.698 / 125.0).abs() < 1e-3,
        "{:?}",
        found.metals
    );
    assert!(found.is_silica_dust());
}

#[test]
fn soda_ash_is_no_plants_ash_and_a_frit_no_quartz() {
    let found = contents(&glaze("parts: { frit: 90, whiting: 10 }"));
    assert_eq!(found, Contents::default());
    assert!(!found.is_silica_dust());
    assert!(contents(&glaze("parts: { soda ash: 1 }")).gas.is_empty());
    assert_eq!(contents(&glaze("parts: { feldspar: 1 }")).silica_untold, ["feldspar"]);
}

/// Lead of any amount, cobalt above 0.05 % as CoO: 63.00 % of the carbonate.
#[test]
fn metals_are_told_above_a_trace_and_lead_always() {
    let metals = |carbonate: f64, lead: f64| {
        let glaze = glaze(&format!(
            "parts: {{ silica: {}, cobalt carbonate: {carbonate}, red lead: {lead} }}",
            100.0 - carbonate - lead
        ));
        contents(&glaze).metals.iter().map(|metal| metal.0).collect::<Vec<_>>()
    };
    assert_eq!(metals(0.07, 0.0), [""; 0]);
    assert_eq!(metals(0.09, 0.0), ["cobalt"]);
    assert_eq!(metals(0.0, 0.001), ["lead"]);
}

fn of(percent: f64, untold: bool) -> Contents {
    Contents {
        free_silica_percent: percent,
        silica_untold: if untold { vec!["clay".to_owned()] } else { Vec::new() },
        ..Contents::default()
    }
}

#[test]
fn silica_is_told_in_figures_from_half_a_per_cent() {
    let silica = |percent, at_least| Hazard::Silica { percent, at_least };
    assert_eq!(of(0.5, false).hazards(), [silica(0.5, false)]);
    assert_eq!(of(30.0, true).hazards(), [silica(30.0, true)]);
    assert_eq!(of(0.4, true).hazards(), [Hazard::SilicaUntold]);
    assert_eq!(of(0.4, false).hazards(), []);
    assert!(of(0.5, false).is_silica_dust() && of(0.0, true).is_silica_dust() && !of(0.49, false).is_silica_dust());
}

#[test]
fn two_glazes_on_a_piece_hold_what_either_holds() {
    let one = contents(&glaze("parts: { silica: 50, barium carbonate: 50 }"));
    let other = contents(&glaze(
        "parts: { silica: 70, barium carbonate: 20, cobalt carbonate: 5, soda ash: 5 }",
    ));
    let both = one.clone().and(&other);
    assert_eq!(both.toxic, ["barium carbonate", "cobalt carbonate"]);
    assert_eq!(both.soluble, ["soda ash"]);
    near(both.free_silica_percent, 0.98 * 70.0, "the more of both");
    assert_eq!(
        both.metals.iter().map(|metal| metal.0).collect::<Vec<_>>(),
        ["barium", "cobalt"]
    );
    near(both.metals[0].1, one.metals[0].1, "the more of both");
    let told = both.hazards();
    assert_eq!(told.len(), 4, "{told:?}");
}
