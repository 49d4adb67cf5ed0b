//! Sums by hand end where the engine ends, and every line adds up.

#[allow(dead_code, reason = "other laws use the rest of it")]
mod invented;

use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze, IronCount};
use glost_chemistry::oxides::Oxide;
use glost_desk::by_hand::{Line, SwapSteps, UnitySteps};
use glost_desk::{Desk, Question, Words, blend, slurry, swap, weigh};
use invented::{Invented, alike, for_all, invented, name, shelf};
use proptest::test_runner::TestCaseError;

/// Rounding of double precision, with room for a sum of a few dozen terms.
const EXACT: f64 = 1e-12;

/// Each line from the line before it, and the last equal to the engine's formula.
fn adds_up(glaze: &Glaze, fluxes: &FluxList, additions: Additions) -> Result<(), TestCaseError> {
    let steps = UnitySteps::of(glaze, fluxes, additions);
    let engine = Analysis::of(glaze, fluxes, additions).map_err(|why| TestCaseError::fail(format!("{why:?}")))?;
    for line in steps.materials.iter().flat_map(|material| {
        let percent = material.percent;
        material.oxides.iter().map(move |line| (percent, line))
    }) {
        let (percent, oxide) = line;
        alike(&[percent * oxide.percent_of_material / 100.0], &[oxide.grams], EXACT)?;
    }
    let mut flux = 0.0;
    for step in &steps.oxides {
        let brought = steps.materials.iter().flat_map(|material| &material.oxides);
        let grams: f64 = brought
            .filter(|line| line.oxide == step.oxide)
            .map(|line| line.grams)
            .sum();
        alike(&[grams], &[step.grams], EXACT)?;
        alike(&[step.grams], &[engine.grams.get(step.oxide)], EXACT)?;
        alike(&[step.grams / step.grams_per_mole], &[step.moles], EXACT)?;
        alike(&[step.moles], &[engine.moles.get(step.oxide)], EXACT)?;
        flux += step.moles * step.counts_as_flux;
    }
    alike(&[flux], &[steps.flux_moles], EXACT)?;
    let of = |amounts: &Option<glost_chemistry::oxides::OxideMoles>| {
        amounts
            .as_ref()
            .map_or_else(Vec::new, |amounts| amounts.as_slice().to_vec())
    };
    alike(&of(&steps.unity()), &of(&engine.unity), EXACT)
}

#[test]
fn unity_by_hand_is_the_engine_s_for_random_recipes() {
    let own = FluxList::new(vec![Oxide::Na2O, Oxide::K2O, Oxide::CaO, Oxide::MgO, Oxide::B2O3]).unwrap();
    let lists = [FluxList::default(), FluxList::default().with_iron(IronCount::FEO), own];
    for_all(256, invented(), |recipe| {
        let glaze = recipe.glaze(&shelf(&recipe.sheets));
        for fluxes in &lists {
            adds_up(&glaze, fluxes, Additions::In)?;
            adds_up(&glaze, fluxes, Additions::Out)?;
        }
        Ok(())
    });
}

#[test]
fn unity_by_hand_is_the_engine_s_for_the_example_s_glazes() {
    let outer = tempfile::tempdir().unwrap();
    let studio = outer.path().join("studio");
    glost_studio::init(&studio, true).unwrap();
    let place = glost_desk::Place {
        studio: Some(studio.clone()),
        materials: Vec::new(),
        here: studio,
    };
    let today = || Ok(glost_chemistry::quantity::Date::parse("2026-11-25").unwrap());
    let desk = glost_desk::Desk::open(place, today).unwrap();
    let (glazes, complaints) = desk.workplace().all_glazes();
    assert!(complaints.is_empty(), "{complaints:?}");
    let mut held = 0;
    for found in &glazes {
        // A bought powder has no analysis, so no sum.
        if Analysis::of(&found.glaze, &found.settings.fluxes, Additions::In).is_ok() {
            adds_up(&found.glaze, &found.settings.fluxes, Additions::In).unwrap();
            held += 1;
        }
    }
    assert!(held >= 6, "{held} of {}", glazes.len());
}

/// A desk beside a shelf of invented sheets and a glaze of them, `own.yaml`.
fn bench(recipe: &Invented) -> (tempfile::TempDir, Desk) {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path().to_owned();
    let entries: Vec<String> = recipe
        .sheets
        .iter()
        .enumerate()
        .map(|(index, sheet)| sheet.entry(&name(index), ""))
        .collect();
    let listed = |amounts: Vec<(String, f64)>| {
        let lines: Vec<String> = amounts
            .iter()
            .map(|(name, amount)| format!("{name}: {amount}"))
            .collect();
        lines.join(", ")
    };
    std::fs::write(here.join("shelf.yaml"), format!("materials:\n{}", entries.concat())).unwrap();
    let text = format!(
        "glaze: Own\nparts: {{ {} }}\nadditions: {{ {} }}\n",
        listed(recipe.named_parts()),
        listed(recipe.named_additions())
    );
    std::fs::write(here.join("own.yaml"), text).unwrap();
    let place = glost_desk::Place {
        studio: None,
        materials: vec![here.join("shelf.yaml")],
        here,
    };
    let today = || Ok(glost_chemistry::quantity::Date::parse("2026-11-25").unwrap());
    (folder, Desk::open(place, today).unwrap())
}

fn asked<Q: Question>(desk: &Desk, words: &[(&str, &str)]) -> Q::Answer {
    let mut said = Words::default();
    for (name, text) in words {
        said.push(name, *text);
    }
    Q::from_words(&said)
        .map_err(glost_desk::Failure::from)
        .and_then(|question| question.ask(desk))
        .unwrap_or_else(|why| panic!("{words:?}: {why:?}"))
}

/// Each sum comes to what the engine says; what is weighed is less than a step off.
fn each_line_holds(lines: &[Line], step: f64) -> Result<(), TestCaseError> {
    for line in lines {
        let value = line.sum.value();
        let size = value.abs().max(line.value.abs()).max(1.0);
        let off = (value - line.value).abs();
        if off > 1e-9 * size {
            return Err(TestCaseError::fail(format!(
                "{:?}: {} is {value}, not {}",
                line.step, line.sum, line.value
            )));
        }
        let wide = line
            .rounded
            .is_some_and(|rounded| (rounded - line.value).abs() >= step * (1.0 + 1e-9));
        if wide && step > 0.0 {
            return Err(TestCaseError::fail(format!(
                "{:?}: {} is taken as {:?}",
                line.step, line.value, line.rounded
            )));
        }
    }
    Ok(())
}

fn last_is(lines: &[Line], wanted: f64) -> Result<(), TestCaseError> {
    alike(&[lines.last().unwrap().value], &[wanted], EXACT)
}

#[test]
fn tickets_by_hand_are_the_engine_s() {
    for_all(24, invented(), |recipe| {
        let (_folder, desk) = bench(&recipe);
        for size in [
            &[("dry", "3 kg")][..],
            &[("bucket", "7 l"), ("density", "1.45")],
            &[("bucket", "5 l"), ("water", "0.9 l/kg")],
        ] {
            let words = [&[("glaze", "own.yaml"), ("steps", "true")], size].concat();
            let answer = asked::<weigh::Question>(&desk, &words);
            let lines = answer.steps.unwrap();
            // A step for a base, and one for what is also an addition.
            each_line_holds(&lines, 0.2)?;
            last_is(&lines, answer.density)?;
            let weighed: Vec<f64> = lines.iter().filter_map(|line| line.rounded).collect();
            alike(&[weighed.iter().sum()], &[answer.dry_grams], EXACT)?;
        }
        Ok(())
    });
}

#[test]
fn buckets_by_hand_are_the_engine_s() {
    let (_folder, desk) = bench(&Invented {
        sheets: vec![invented::Sheet {
            oxides: vec![("SiO2", 60.0), ("CaO", 40.0)],
            loss: 0.0,
        }],
        parts: vec![1.0],
        additions: Vec::new(),
    });
    let told: [&[(&str, &str)]; 5] = [
        &[("jar", "500 ml = 735 g"), ("volume", "12 l")],
        &[
            ("jar", "500 ml = 735 g"),
            ("gross", "9 kg"),
            ("tare", "620 g"),
            ("to", "1.38"),
        ],
        &[("jar", "500 ml = 690 g"), ("volume", "12 l"), ("to", "1.45")],
        &[
            ("jar", "500 ml = 735 g"),
            ("volume", "12 l"),
            ("jar", "1.40"),
            ("volume", "3 l"),
            ("add", "0.4 % cobalt carbonate"),
            ("add", "60 g bentonite"),
        ],
        &[
            ("jar", "1.48"),
            ("volume", "9 l"),
            ("holds", "51 g cobalt carbonate"),
            ("wanted", "0.4 %"),
        ],
    ];
    for words in told {
        let answer = asked::<slurry::Question>(&desk, &[words, &[("steps", "true")]].concat());
        let lines = answer.steps.unwrap();
        each_line_holds(&lines, 0.0).unwrap();
        let dry = answer.sums.survey.dry_grams;
        assert!(lines.iter().any(|line| line.value == dry), "{lines:?}");
    }
}

/// The rows that are shown come to the engine's distance, each by its own figures.
fn comes_to(steps: &SwapSteps, distance: f64) -> Result<(), TestCaseError> {
    let mut sum = 0.0;
    for row in &steps.rows {
        let off = (row.new * steps.scale - row.old) / row.tolerance;
        alike(&[off, off * off], &[row.off, row.squared], EXACT)?;
        sum += row.squared;
    }
    alike(&[sum, sum.sqrt()], &[steps.sum_of_squares, steps.distance], EXACT)?;
    alike(&[distance], &[steps.distance], 1e-9)
}

#[test]
fn swaps_by_hand_are_the_engine_s() {
    for_all(12, invented(), |recipe| {
        let (_folder, desk) = bench(&recipe);
        let with = name(1);
        let words = [
            ("glaze", "own.yaml"),
            ("out", "m0"),
            ("with", with.as_str()),
            ("with", "silica"),
            ("with", "whiting"),
            ("steps", "true"),
        ];
        let answer = asked::<swap::Question>(&desk, &words);
        if let (Some(steps), Some(best)) = (&answer.steps, answer.proposals.first()) {
            comes_to(steps, best.proposal.distance)?;
            let unity = steps.unity.unity().unwrap();
            alike(unity.as_slice(), best.proposal.unity.as_slice(), 1e-9)?;
        }
        Ok(())
    });
}

#[test]
fn plans_by_hand_are_the_engine_s() {
    for_all(12, invented(), |recipe| {
        let (_folder, desk) = bench(&recipe);
        let own = [
            ("kind", "line"),
            ("ends", "own.yaml"),
            ("ends", "own.yaml + 4 % rutile"),
            ("by-hand", "true"),
        ];
        let dry = asked::<blend::Question>(&desk, &own).steps.unwrap();
        each_line_holds(&dry, 0.1)?;
        let wet = asked::<blend::Question>(&desk, &[&own[..], &[("volume", "30 ml")]].concat())
            .steps
            .unwrap();
        // Slurry is drawn to whole millilitres, base brought up to a round figure.
        each_line_holds(&wet, 0.0)
    });
}
