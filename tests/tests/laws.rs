//! Laws of glaze arithmetic, on recipes and sheets that nobody ever printed.

mod invented;

use std::collections::BTreeMap;

use glost_chemistry::diagnostic::Source;
use glost_chemistry::glaze::{Additions, Analysis, Atmosphere, FluxList, Glaze, NoAnalysis, read_glaze, write_glaze};
use glost_chemistry::material::{Kind, Makeup, read_materials};
use glost_chemistry::oxides::{Formula, Oxide, OxideGrams, fire};
use glost_chemistry::quantity::Millilitres;
use glost_tests::{data, glaze, library};
use invented::{Invented, alike, analysis, for_all, invented, name, sheet, shelf};
use proptest::collection::{btree_map, vec};
use proptest::prelude::*;
use proptest::sample::{select, subsequence};
use serde::{Deserialize, Serialize};

/// Rounding of double precision, with room for a sum of a few dozen terms.
const EXACT: f64 = 1e-12;

fn unity(glaze: &Glaze) -> Vec<f64> {
    analysis(glaze).unity.unwrap().as_slice().to_vec()
}

#[test]
fn doubling_a_batch_keeps_the_unity_formula() {
    for_all(256, (invented(), 0.01..5000.0_f64), |(recipe, times)| {
        let shelf = shelf(&recipe.sheets);
        let single = recipe.glaze(&shelf);
        let more = |factor: f64| {
            let parts: Vec<(String, f64)> = recipe
                .named_parts()
                .into_iter()
                .map(|(name, amount)| (name, amount * factor))
                .collect();
            recipe.glaze_of(&shelf, &parts, &recipe.named_additions())
        };
        // Doubling only moves the exponent: the same to the last bit.
        prop_assert_eq!(unity(&single), unity(&more(2.0)));
        alike(&unity(&single), &unity(&more(times)), EXACT)
    });
}

#[test]
fn weight_to_mole_to_weight_returns() {
    let amounts = vec((select(Oxide::ALL.to_vec()), 0.0..1e6_f64), 0..20);
    for_all(256, amounts, |pairs| {
        let grams = OxideGrams::new(pairs).unwrap();
        let back = grams.to_moles().to_grams();
        for oxide in Oxide::ALL {
            let (before, after) = (grams.get(oxide), back.get(oxide));
            prop_assert!((before - after).abs() <= EXACT * before, "{oxide}: {before} {after}");
        }
        Ok(())
    });
}

#[derive(Deserialize)]
struct Mineral {
    formula: String,
}

#[test]
fn fired_is_raw_less_what_leaves() {
    // Formulas of data/minerals.yaml, gains on firing among them.
    let minerals: Vec<Mineral> = serde_yaml::from_str(&data("minerals.yaml")).unwrap();
    let entries: Vec<String> = minerals
        .iter()
        .enumerate()
        .map(|(index, mineral)| {
            format!(
                "  - {{ name: {}, formula: {}, source: x }}\n",
                name(index),
                mineral.formula
            )
        })
        .collect();
    let library = library(&format!("materials:\n{}", entries.concat()));
    let weights = btree_map(0..minerals.len(), 0.1..80.0_f64, 1..7);
    for_all(256, weights, |weights| {
        let parts: Vec<String> = weights
            .iter()
            .map(|(index, grams)| format!("{}: {grams}", name(*index)))
            .collect();
        let analysis = analysis(&glaze(&library, &parts.join(", "), ""));
        let total: f64 = weights.values().sum();
        let leaving = |index: &usize| {
            let fired = fire(&Formula::parse(&minerals[*index].formula).unwrap()).unwrap();
            let stays = |line: &str| Oxide::from_formula(line).is_some() || line == "O";
            let other_valence = ["FeO", "Cu2O", "Co3O4", "MnO2", "Pb3O4"];
            let leaves: f64 = fired
                .written
                .iter()
                .filter(|line| !stays(&line.name) && !other_valence.contains(&line.name.as_str()))
                .map(|line| line.weight_percent)
                .sum();
            // Oxygen taken up or given off by a change of valence.
            let valence = fired.loss_on_ignition_percent - leaves;
            assert!(
                valence.abs() < 1e-9
                    || fired
                        .written
                        .iter()
                        .any(|line| other_valence.contains(&line.name.as_str()))
            );
            leaves + valence
        };
        let lost: f64 = weights
            .iter()
            .map(|(index, grams)| grams * leaving(index) / total)
            .sum();
        alike(&[analysis.grams.total()], &[100.0 - lost], 1e-11)?;
        alike(&[analysis.loss_on_ignition_percent], &[lost], 1e-11)
    });
}

#[test]
fn fired_is_raw_less_the_loss_on_the_sheet() {
    for_all(256, invented(), |recipe| {
        let glaze = recipe.glaze(&shelf(&recipe.sheets));
        let analysis = analysis(&glaze);
        let batch: f64 = glaze.portions().map(|portion| portion.percent).sum();
        let raw: f64 = recipe_raw(&recipe, &glaze);
        alike(
            &[analysis.grams.total()],
            &[raw - analysis.loss_on_ignition_percent / 100.0 * batch],
            EXACT,
        )
    });
}

/// Grams on the sheets, oxides and loss, for 100 g of base.
fn recipe_raw(recipe: &Invented, glaze: &Glaze) -> f64 {
    let sum = |index: usize| {
        let sheet = &recipe.sheets[index];
        sheet.oxides.iter().map(|line| line.1).sum::<f64>() + sheet.loss
    };
    let index = |name: &str| name.trim_start_matches('m').parse::<usize>().unwrap();
    glaze
        .portions()
        .map(|portion| portion.percent / 100.0 * sum(index(&portion.material.name)))
        .sum()
}

#[test]
fn shares_do_not_depend_on_the_order_of_the_parts() {
    for_all(256, (invented(), any::<u64>()), |(recipe, turn)| {
        let shelf = shelf(&recipe.sheets);
        let mut parts = recipe.named_parts();
        let first = recipe.glaze_of(&shelf, &parts, &recipe.named_additions());
        let turn = usize::try_from(turn % parts.len() as u64).unwrap();
        parts.rotate_left(turn);
        parts.swap(0, 1);
        let second = recipe.glaze_of(&shelf, &parts, &recipe.named_additions());
        for portion in &first.base {
            let same = second
                .base
                .iter()
                .find(|other| other.material.name == portion.material.name);
            alike(&[portion.percent], &[same.unwrap().percent], EXACT)?;
        }
        let total: f64 = second.base.iter().map(|portion| portion.percent).sum();
        alike(&[total], &[100.0], EXACT)?;
        alike(&unity(&first), &unity(&second), EXACT)
    });
}

#[test]
fn additions_in_are_the_same_materials_in_parts() {
    for_all(256, invented(), |recipe| {
        let shelf = shelf(&recipe.sheets);
        let on_top = recipe.glaze(&shelf);
        let mut parts: BTreeMap<String, f64> = BTreeMap::new();
        for portion in on_top.portions() {
            *parts.entry(portion.material.name.clone()).or_default() += portion.percent;
        }
        let parts: Vec<(String, f64)> = parts.into_iter().collect();
        let mixed_in = recipe.glaze_of(&shelf, &parts, &[]);
        let (a, b) = (analysis(&on_top), analysis(&mixed_in));
        alike(&unity(&on_top), &unity(&mixed_in), EXACT)?;
        alike(a.unity_bands.as_slice(), b.unity_bands.as_slice(), EXACT)?;
        alike(a.weight_percent().as_slice(), b.weight_percent().as_slice(), EXACT)?;
        alike(a.mole_percent().as_slice(), b.mole_percent().as_slice(), EXACT)?;
        alike(&[a.loss_on_ignition_percent], &[b.loss_on_ignition_percent], EXACT)
    });
}

#[test]
fn additions_left_out_leave_the_base_alone() {
    for_all(64, invented(), |recipe| {
        let shelf = shelf(&recipe.sheets);
        let out = Analysis::of(&recipe.glaze(&shelf), &FluxList::default(), Additions::Out).unwrap();
        let base = recipe.glaze_of(&shelf, &recipe.named_parts(), &[]);
        prop_assert_eq!(out, analysis(&base));
        Ok(())
    });
}

#[test]
fn a_pre_mix_counts_as_its_parts() {
    for_all(128, (invented(), 0.1..0.9_f64), |(recipe, share)| {
        let mut text = "materials:\n".to_owned();
        for (index, sheet) in recipe.sheets.iter().enumerate() {
            text += &sheet.entry(&name(index), "tolerance: { SiO2: 0.4, CaO: 0.2 },");
        }
        text += "  - { name: pre-mix, recipe: { m0: 3, m1: 5 }, source: own }\n";
        text += "  - { name: calcine, recipe: { m0: 3, m1: 5 }, fired: true, source: own }\n";
        let shelf = library(&text);
        // Some of m0 is weighed in besides.
        let rest = format!("m2: {}, m0: 10", 100.0 * (1.0 - share));
        let mixed = analysis(&glaze(&shelf, &format!("pre-mix: {}, {rest}", 100.0 * share), ""));
        let (m0, m1) = (10.0 + 37.5 * share, 62.5 * share);
        let rest = format!("m2: {}", 100.0 * (1.0 - share));
        let apart = analysis(&glaze(&shelf, &format!("m0: {m0}, m1: {m1}, {rest}"), ""));
        alike(mixed.moles.as_slice(), apart.moles.as_slice(), EXACT)?;
        alike(
            &[mixed.loss_on_ignition_percent],
            &[apart.loss_on_ignition_percent],
            EXACT,
        )?;
        alike(mixed.unity_bands.as_slice(), apart.unity_bands.as_slice(), 1e-9)?;
        // Calcined, the same oxides come without the loss, per gram that is left.
        let whole = |name: &str| glost_tests::material(&shelf, name).fired.clone().unwrap();
        let (raw, fired) = (whole("pre-mix"), whole("calcine"));
        prop_assert_eq!(fired.loss_grams, 0.0);
        let left = 1.0 - raw.loss_grams / 100.0;
        alike(raw.oxides.scaled(1.0 / left).as_slice(), fired.oxides.as_slice(), EXACT)
    });
}

#[test]
fn none_of_a_powder_is_nothing_unknown() {
    let shelf = library(
        "materials:
  - { name: bought clear, kind: powder, analysis: unknown, source: bag }
  - { name: whiting, formula: CaCO3, source: stoichiometric }
  - { name: mix, recipe: { bought clear: 0, whiting: 3 }, source: own }
",
    );
    let mixed = analysis(&glaze(&shelf, "mix: 1", ""));
    let plain = analysis(&glaze(&shelf, "whiting: 1, bought clear: 0", ""));
    assert_eq!(mixed.moles, plain.moles);
    let some = Analysis::of(
        &glaze(&shelf, "whiting: 1, bought clear: 0.1", ""),
        &FluxList::default(),
        Additions::In,
    );
    assert_eq!(some, Err(NoAnalysis::Unknown(vec!["bought clear".to_owned()])));
}

#[test]
fn a_recipe_that_is_written_out_reads_the_same() {
    for_all(128, invented(), |recipe| {
        let shelf = shelf(&recipe.sheets);
        let first = recipe.glaze(&shelf);
        let text = write_glaze(&first, 12).map_err(TestCaseError::fail)?;
        let file = read_glaze(&Source::from_text("g.yaml", &text), Millilitres::METRIC_CUP);
        let second = file.unwrap().resolve(&shelf).unwrap();
        prop_assert_eq!(&first.name, &second.name);
        let listed = |glaze: &Glaze| glaze.portions().map(|portion| portion.percent).collect::<Vec<_>>();
        alike(&listed(&first), &listed(&second), 1e-11)?;
        alike(&unity(&first), &unity(&second), 1e-10)
    });
}

#[test]
fn the_order_of_the_flux_list_changes_nothing() {
    for_all(128, (invented(), 0..9_usize), |(recipe, turn)| {
        let glaze = recipe.glaze(&shelf(&recipe.sheets));
        let mut turned = Oxide::USUAL_FLUXES.to_vec();
        turned.rotate_left(turn);
        turned.reverse();
        let turned = FluxList::new(turned).unwrap();
        let other = Analysis::of(&glaze, &turned, Additions::In).unwrap().unity.unwrap();
        alike(&unity(&glaze), other.as_slice(), EXACT)
    });
}

#[test]
fn the_fluxes_of_any_list_sum_to_one() {
    let lists = subsequence(Oxide::ALL.to_vec(), 1..20);
    for_all(256, (invented(), lists), |(recipe, mut list)| {
        let glaze = recipe.glaze(&shelf(&recipe.sheets));
        // At least one of them must be in the glaze.
        let present = analysis(&glaze).moles.iter().next().map(|line| line.0).unwrap();
        if !list.contains(&present) {
            list.push(present);
        }
        let fluxes = FluxList::new(list).unwrap();
        let unity = Analysis::of(&glaze, &fluxes, Additions::In).unwrap().unity.unwrap();
        alike(&[unity.sum_of(fluxes.oxides())], &[1.0], EXACT)
    });
}

/// Names that are awkward in YAML, and plain ones.
fn awkward_name() -> impl Strategy<Value = String> {
    let known = vec![
        "null",
        "~",
        "yes",
        "04",
        "1e3",
        "0x10",
        ".nan",
        "a: b",
        "# 7",
        "- x",
        "{x}",
        "*a",
        "&a",
        "!x",
        "'",
        "\"",
        "%",
        "kaolin, lot 7",
        "feldspar\tA",
        "Émail blanc",
        "SiO₂",
        "<<",
        "=",
        "?",
    ];
    prop_oneof![
        select(known).prop_map(str::to_owned),
        "[ -~äöüßéÅ·₂—]{1,24}".prop_map(|text| text.trim().to_owned()),
    ]
    .prop_filter("a name has letters", |name| !name.is_empty())
}

#[derive(Debug, Clone, Serialize)]
struct WrittenGlaze {
    glaze: String,
    cone: String,
    parts: BTreeMap<String, f64>,
    additions: BTreeMap<String, f64>,
    atmosphere: &'static str,
    notes: String,
}

#[test]
fn a_glaze_reads_as_it_was_written() {
    let written = (
        awkward_name(),
        select(vec!["04", "4", "06", "6", "10", "022", "4a"]),
        btree_map(awkward_name(), 1e-9..1e9_f64, 1..8),
        btree_map(awkward_name(), 1e-9..1e3_f64, 0..4),
        "[ -~äö\n]{1,80}".prop_map(|text| text.trim().to_owned()),
    )
        .prop_filter("there are notes", |written| !written.4.is_empty())
        .prop_map(|(glaze, cone, parts, additions, notes)| WrittenGlaze {
            glaze,
            cone: cone.to_owned(),
            parts,
            additions,
            atmosphere: "reduction",
            notes,
        });
    for_all(512, written, |written| {
        let text = serde_yaml::to_string(&written).unwrap();
        let read = read_glaze(&Source::from_text("g.yaml", &text), Millilitres::METRIC_CUP);
        let read = read.map_err(|error| TestCaseError::fail(format!("{text}\n{error:?}")))?;
        prop_assert_eq!(&read.name.text, &written.glaze);
        prop_assert_eq!(read.about.cone.as_ref(), Some(&written.cone));
        prop_assert_eq!(read.about.notes.as_ref(), Some(&written.notes));
        prop_assert_eq!(read.about.atmosphere, Some(Atmosphere::Reduction));
        for (lines, amounts) in [(&read.parts, &written.parts), (&read.additions, &written.additions)] {
            let lines: Vec<(&str, f64)> = lines
                .iter()
                .map(|line| (line.name.text.as_str(), line.amount))
                .collect();
            let amounts: Vec<(&str, f64)> = amounts.iter().map(|(name, amount)| (name.as_str(), *amount)).collect();
            prop_assert_eq!(lines, amounts);
        }
        Ok(())
    });
}

#[derive(Debug, Clone, Serialize)]
struct WrittenFile {
    materials: Vec<WrittenMaterial>,
}

#[derive(Debug, Clone, Serialize)]
struct WrittenMaterial {
    name: String,
    kind: &'static str,
    basis: &'static str,
    moisture: f64,
    analysis: BTreeMap<&'static str, f64>,
    loss_on_ignition: f64,
    tolerance: BTreeMap<&'static str, f64>,
    density: f64,
    soluble: bool,
    toxic: bool,
    buyable: bool,
    hazards: Vec<String>,
    lot: String,
    price: String,
    stock: String,
    source: String,
}

#[test]
fn a_material_reads_as_it_was_written() {
    let written = (
        (awkward_name(), awkward_name(), awkward_name()),
        select(Kind::WORDS.to_vec()),
        sheet(),
        (0.0..20.0_f64, 0.5..8.0_f64, 0.01..2.0_f64),
        (any::<bool>(), any::<bool>(), any::<bool>()),
    );
    for_all(
        512,
        written,
        |((name, lot, hazard), kind, sheet, (moisture, density, deviation), flags)| {
            let (first, _) = sheet.oxides[0];
            let material = WrittenMaterial {
                name,
                kind: kind.0,
                basis: "dried",
                moisture,
                analysis: sheet.oxides.iter().copied().collect(),
                loss_on_ignition: sheet.loss,
                tolerance: BTreeMap::from([(first, deviation)]),
                density,
                soluble: flags.0,
                toxic: flags.1,
                buyable: flags.2,
                hazards: vec![hazard],
                lot,
                price: "1.60 EUR/kg".to_owned(),
                stock: "12 kg".to_owned(),
                source: "invented".to_owned(),
            };
            let file = WrittenFile {
                materials: vec![material.clone()],
            };
            let text = serde_yaml::to_string(&file).unwrap();
            let (entries, complaints) = read_materials(&Source::from_text("m.yaml", &text));
            prop_assert!(complaints.is_empty(), "{text}\n{complaints:?}");
            let read = &entries[0];
            prop_assert_eq!(&read.name.text, &material.name);
            prop_assert_eq!(read.kind, kind.1);
            prop_assert_eq!(read.lot.as_ref(), Some(&material.lot));
            let hazards: Vec<String> = read.hazards.iter().map(|hazard| hazard.text.clone()).collect();
            prop_assert_eq!(&hazards, &material.hazards);
            prop_assert_eq!((read.soluble, read.toxic, read.buyable), flags);
            prop_assert_eq!(read.density_grams_per_millilitre, Some(density));
            prop_assert_eq!(read.stock.map(|stock| stock.grams()), Some(12_000.0));
            let Makeup::Known(found) = &read.makeup else {
                return Err(TestCaseError::fail("no analysis"));
            };
            let dry = 1.0 - moisture / 100.0;
            for (oxide, percent) in &material.analysis {
                let oxide = Oxide::from_formula(oxide).unwrap();
                alike(&[found.oxides.get(oxide)], &[percent * dry], EXACT)?;
            }
            alike(&[found.loss_grams], &[sheet.loss * dry], EXACT)
        },
    );
}
