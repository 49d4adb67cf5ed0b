//! What firing in air does to a formula.
//!
//! H2O, CO2, SO3, N2O5, F, Cl and C leave. What stays is counted in one oxide
//! for each element: Fe as Fe2O3, Mn as MnO, Co as CoO, Cu as CuO, Pb as PbO,
//! the Si of SiC as SiO2 (the ceramic convention; iron and copper can take up
//! oxygen, so a loss on ignition can be negative).

use super::composition::{OxideGrams, OxideMoles};
use super::formula::Formula;
use super::oxide::Oxide;

/// Elements that leave on firing, each with the form in which an analysis
/// prints it, its atoms and its oxygens per formula unit.
const LEAVING: [(&str, &str, f64, f64); 8] = [
    ("H", "H2O", 2.0, 1.0),
    ("C", "CO2", 1.0, 2.0),
    ("S", "SO3", 1.0, 3.0),
    ("N", "N2O5", 2.0, 5.0),
    ("F", "F", 1.0, 0.0),
    ("Cl", "Cl", 1.0, 0.0),
    ("Br", "Br", 1.0, 0.0),
    ("I", "I", 1.0, 0.0),
];

/// A named oxide: (formula, metal atoms, oxygen atoms).
type Form = (&'static str, f64, f64);

/// Elements that occur in several valences, with their named oxides from
/// poorest to richest in oxygen.
const SEVERAL_VALENCES: [(&str, &[Form]); 5] = [
    ("Fe", &[("FeO", 1.0, 1.0), ("Fe2O3", 2.0, 3.0)]),
    (
        "Mn",
        &[
            ("MnO", 1.0, 1.0),
            ("Mn3O4", 3.0, 4.0),
            ("Mn2O3", 2.0, 3.0),
            ("MnO2", 1.0, 2.0),
        ],
    ),
    ("Co", &[("CoO", 1.0, 1.0), ("Co3O4", 3.0, 4.0), ("Co2O3", 2.0, 3.0)]),
    ("Cu", &[("Cu2O", 2.0, 1.0), ("CuO", 1.0, 1.0)]),
    ("Pb", &[("PbO", 1.0, 1.0), ("Pb3O4", 3.0, 4.0), ("PbO2", 1.0, 2.0)]),
];

/// One line of a formula written as oxides, volatile parts included.
#[derive(Debug, Clone, PartialEq)]
pub struct Written {
    /// `SiO2`, `H2O`, `F`, `O_equiv_of_F` (negative: the oxygen that fluorine
    /// replaces), `oxygen_from_air` (negative: taken up on firing).
    pub name: String,
    /// wt % of the formula mass.
    pub weight_percent: f64,
}

/// A formula after firing in air.
#[derive(Debug, Clone, PartialEq)]
pub struct FiredFormula {
    /// Formula mass in g/mol before firing.
    pub grams_per_mole: f64,
    /// Moles of fired oxides per mole of formula.
    pub moles: OxideMoles,
    /// Grams of fired oxides per 100 g of the unfired substance.
    pub grams_per_100: OxideGrams,
    /// Loss on ignition, wt % of the unfired substance; negative for a gain.
    pub loss_on_ignition_percent: f64,
    /// The unfired substance written as oxides, summing to 100 wt %.
    pub written: Vec<Written>,
}

/// Fires a formula in air.
///
/// # Errors
/// The symbol of an element whose fired oxide Glost doesn't know (gold, say).
pub fn fire(formula: &Formula) -> Result<FiredFormula, &'static str> {
    let grams_per_mole = formula.grams_per_mole();
    let mut pairs = Vec::new();
    for (element, atoms) in formula.atoms() {
        let symbol = element.symbol();
        if symbol == "O" || LEAVING.iter().any(|leaving| leaving.0 == symbol) {
            continue;
        }
        let oxide = Oxide::of_element(symbol).ok_or(symbol)?;
        pairs.push((oxide, atoms / oxide.metal_atoms()));
    }
    let moles = OxideMoles::worked_out(pairs);
    let grams_per_100 = moles.to_grams().scaled(100.0 / grams_per_mole);
    let loss = 100.0 - grams_per_100.total();
    Ok(FiredFormula {
        grams_per_mole,
        moles,
        loss_on_ignition_percent: if loss.abs() < 1e-9 { 0.0 } else { loss },
        grams_per_100,
        written: written(formula),
    })
}

fn mass(formula: &str) -> f64 {
    Formula::parse(formula).map_or(f64::NAN, |formula| formula.grams_per_mole())
}

/// The unfired substance as oxides; the oxygen balance tells the valences.
fn written(formula: &Formula) -> Vec<Written> {
    let total = formula.grams_per_mole();
    let mut lines: Vec<(String, f64)> = Vec::new();
    let mut oxygen = formula.atoms_of("O");
    let mut several = Vec::new();
    let mut after = Vec::new();
    for (element, atoms) in formula.atoms() {
        let symbol = element.symbol();
        if let Some(forms) = SEVERAL_VALENCES.iter().find(|known| known.0 == symbol) {
            several.push((forms.1, atoms));
            lines.push((symbol.to_owned(), 0.0));
        } else if let Some((_, name, per, oxygens)) = LEAVING.iter().find(|leaving| leaving.0 == symbol) {
            oxygen -= atoms / per * oxygens;
            after.push(((*name).to_owned(), atoms / per * mass(name)));
            if *oxygens == 0.0 {
                oxygen += atoms / 2.0;
                after.push((format!("O_equiv_of_{name}"), -atoms / 2.0 * mass("O")));
            }
        } else if let Some(oxide) = Oxide::of_element(symbol) {
            let count = atoms / oxide.metal_atoms();
            oxygen -= count * oxide.oxygen_atoms();
            lines.push((oxide.formula().to_owned(), count * oxide.grams_per_mole()));
        }
    }
    let placed = spread_oxygen(&several, &mut oxygen);
    lines.retain(|line| line.1 > 0.0);
    lines.extend(placed);
    lines.extend(after);
    if oxygen < -1e-9 {
        lines.push(("oxygen_from_air".to_owned(), oxygen * mass("O")));
    } else if oxygen > 1e-9 {
        lines.push(("O".to_owned(), oxygen * mass("O")));
    }
    lines
        .into_iter()
        .map(|(name, grams)| Written {
            name,
            weight_percent: 100.0 * grams / total,
        })
        .collect()
}

/// Every element of several valences starts in its poorest form; the oxygen
/// left over raises them in turn, iron first.
fn spread_oxygen(several: &[(&[Form], f64)], oxygen: &mut f64) -> Vec<(String, f64)> {
    let per_atom = |form: &Form| form.2 / form.1;
    for (forms, atoms) in several {
        *oxygen -= atoms * per_atom(&forms[0]);
    }
    let mut placed = Vec::new();
    for (forms, atoms) in several {
        let poorest = per_atom(&forms[0]);
        let richest = per_atom(&forms[forms.len() - 1]);
        let extra = (*oxygen).clamp(0.0, atoms * (richest - poorest));
        *oxygen -= extra;
        let wanted = poorest + extra / atoms;
        let above = forms
            .iter()
            .position(|form| per_atom(form) > wanted - 1e-9)
            .unwrap_or(forms.len() - 1);
        let upper = &forms[above];
        let lower = &forms[above.saturating_sub(1)];
        let share = if above == 0 {
            1.0
        } else {
            (wanted - per_atom(lower)) / (per_atom(upper) - per_atom(lower))
        };
        for (form, share) in [(lower, 1.0 - share), (upper, share)] {
            if share > 1e-9 {
                placed.push((form.0.to_owned(), atoms * share / form.1 * mass(form.0)));
            }
        }
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fired(text: &str) -> FiredFormula {
        Formula::parse(text)
            .ok()
            .and_then(|formula| fire(&formula).ok())
            .unwrap_or_else(|| panic!("{text}"))
    }

    #[test]
    fn whiting_loses_44_percent_and_magnetite_gains() {
        assert!((fired("CaCO3").loss_on_ignition_percent - 43.971).abs() < 0.001);
        assert!((fired("Fe3O4").loss_on_ignition_percent - -3.455).abs() < 0.001);
        assert_eq!(fired("SiO2").loss_on_ignition_percent, 0.0);
    }

    #[test]
    fn valences_follow_the_oxygen() {
        let names = |text: &str| {
            fired(text)
                .written
                .into_iter()
                .map(|line| line.name)
                .collect::<Vec<_>>()
        };
        assert_eq!(names("Fe3O4"), ["FeO", "Fe2O3"]);
        assert_eq!(names("FeCO3"), ["FeO", "CO2"]);
        assert_eq!(names("MnO2"), ["MnO2"]);
        assert_eq!(names("Co3O4"), ["Co3O4"]);
        assert_eq!(names("CaF2"), ["CaO", "F", "O_equiv_of_F"]);
        assert_eq!(names("SiC"), ["SiO2", "CO2", "oxygen_from_air"]);
    }

    #[test]
    fn written_oxides_make_the_whole() {
        for text in [
            "CaMg(CO3)2",
            "CaF2",
            "SiC",
            "FeS2",
            "K(Li1.5Al1.5)(AlSi3)O10F2",
            "C6H10O5",
        ] {
            let sum: f64 = fired(text).written.iter().map(|line| line.weight_percent).sum();
            assert!((sum - 100.0).abs() < 1e-9, "{text}: {sum}");
        }
    }

    /// Formula masses and shares from the standard atomic weights: Fe3O4 is 231.53 g, of it FeO
    /// 71.844; Mn3O4 2 MnO + MnO2; Pb3O4 2 PbO + PbO2; C3H8O3 burns wholly.
    #[test]
    fn a_formula_written_as_oxides_has_the_shares_of_its_weights() {
        let share = |text: &str, name: &str| {
            let lines = fired(text).written;
            lines
                .into_iter()
                .find(|line| line.name == name)
                .map_or(f64::NAN, |line| line.weight_percent)
        };
        for (text, name, percent) in [
            ("Fe3O4", "FeO", 100.0 * 71.844 / 231.531),
            ("Fe3O4", "Fe2O3", 100.0 * 159.687 / 231.531),
            ("CaF2", "F", 100.0 * 37.996 / 78.074),
            ("CaF2", "O_equiv_of_F", -100.0 * 15.999 / 78.074),
            ("CaF2", "CaO", 100.0 * 56.077 / 78.074),
            ("NaCl", "Cl", 100.0 * 35.45 / 58.44),
            ("NaCl", "O_equiv_of_Cl", -100.0 * 7.9995 / 58.44),
            ("SiC", "oxygen_from_air", -100.0 * 4.0 * 15.999 / 40.096),
            ("KNO3", "N2O5", 100.0 * 108.009 / 2.0 / 101.102),
            ("CaSO4", "SO3", 100.0 * 80.057 / 136.134),
            ("Al(OH)3", "H2O", 100.0 * 1.5 * 18.015 / 78.003),
            ("BaO2", "O", 100.0 * 15.999 / 169.325),
            ("Mn3O4", "Mn3O4", 100.0),
            ("CuO", "CuO", 100.0),
            ("Cu2O", "Cu2O", 100.0),
            ("FeMnO3", "Fe2O3", 100.0 * 79.8435 / 158.78),
        ] {
            let found = share(text, name);
            assert!(
                (found - percent).abs() < 0.01,
                "{name} of {text}: {found}, not {percent}"
            );
        }
    }

    #[test]
    fn what_is_fired_weighs_its_moles_and_gold_is_refused() {
        let kaolinite = fired("Al2Si2O5(OH)4");
        // 101.961 and 2 x 60.083 of 258.157 g; 2 x 18.015 leave.
        assert!((kaolinite.grams_per_mole - 258.157).abs() < 0.01);
        assert!((kaolinite.grams_per_100.get(Oxide::Al2O3) - 39.496).abs() < 0.005);
        assert!((kaolinite.grams_per_100.get(Oxide::SiO2) - 46.548).abs() < 0.005);
        assert!((kaolinite.loss_on_ignition_percent - 13.957).abs() < 0.005);
        assert_eq!(
            (kaolinite.moles.get(Oxide::SiO2), kaolinite.moles.get(Oxide::Al2O3)),
            (2.0, 1.0)
        );
        assert_eq!(fire(&Formula::parse("Au").unwrap()), Err("Au"));
        assert!((fired("C6H10O5").loss_on_ignition_percent - 100.0).abs() < 1e-9);
    }
}
