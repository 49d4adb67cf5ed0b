//! Adjusts the glazes of a file and prints one JSON line for each, with the time of the best
//! of repeated calls in microseconds, everything from the aims to the answer counted.
//!
//! The file is one of `tests/peers/adjustments.py`: invented sheets, recipes with additions,
//! aims; `sure` where each must hold with a chance.
//!
//! `cargo run --release -q -p glost-core --example adjust_times -- FILE`

use std::error::Error;
use std::time::{Duration, Instant};

use glost_chemistry::diagnostic::Source;
use glost_chemistry::glaze::{FluxList, Glaze, Portion, read_glaze};
use glost_chemistry::material::{Library, read_materials};
use glost_chemistry::quantity::Millilitres;
use glost_core::recipes::adjust::{AdjustAnswer, AdjustQuestion, AdjustTrouble, Asked, Least, adjust};
use glost_core::recipes::aims::parse_phrase;
use serde_json::{Map, Value, json};

/// Repeats stop after this long, but not before three calls.
const TIME_PER_CASE: Duration = Duration::from_millis(30);

fn main() -> Result<(), Box<dyn Error>> {
    let path = std::env::args().nth(1).ok_or("usage: adjust_times FILE")?;
    let file: Value = serde_json::from_str(&std::fs::read_to_string(path)?)?;
    let library = sheets(&file)?;
    for (number, case) in file["cases"].as_array().ok_or("no cases")?.iter().enumerate() {
        let mut line = answered(case, &library).map_err(|why| format!("case {number}: {why}"))?;
        line["id"] = json!(number);
        println!("{line}");
    }
    Ok(())
}

/// A map as YAML in one line.
fn yaml(amounts: &Value) -> String {
    amounts.to_string().replace('"', "").replace(':', ": ")
}

fn sheets(file: &Value) -> Result<Library, Box<dyn Error>> {
    let mut text = "materials:\n".to_owned();
    for (name, sheet) in file["materials"].as_object().ok_or("no materials")? {
        let kind = sheet["kind"].as_str().ok_or("no kind")?;
        let (loss, analysis) = (&sheet["loss_on_ignition"], yaml(&sheet["analysis"]));
        let tolerance = match &file["tolerance"][name] {
            Value::Null => String::new(),
            stated => format!(", tolerance: {}", yaml(stated)),
        };
        text += &format!(
            "  - {{ name: {name}, kind: {kind}, basis: as supplied, source: invented, take_as_is: true, loss_on_ignition: {loss}, analysis: {analysis}{tolerance} }}\n"
        );
    }
    let (entries, mut complaints) = read_materials(&Source::from_text("materials.yaml", &text));
    let mut library = Library::default();
    complaints.extend(library.add_layer(entries, false));
    if complaints.is_empty() {
        Ok(library)
    } else {
        Err(format!("{complaints:?}").into())
    }
}

fn recipe(case: &Value, library: &Library) -> Result<Glaze, Box<dyn Error>> {
    let (parts, additions) = (yaml(&case["parts"]), yaml(&case["additions"]));
    let text = format!("glaze: drawn\nparts: {parts}\nadditions: {additions}\n");
    let file = read_glaze(&Source::from_text("glaze.yaml", &text), Millilitres::METRIC_CUP)
        .map_err(|complaint| format!("{complaint:?}"))?;
    Ok(file.resolve(library).map_err(|complaints| format!("{complaints:?}"))?)
}

fn answered(case: &Value, library: &Library) -> Result<Value, Box<dyn Error>> {
    let glaze = recipe(case, library)?;
    let words = |key: &str| case[key].as_array().into_iter().flatten().filter_map(Value::as_str);
    let fluxes = FluxList::default();
    let aims: Result<Vec<Asked>, String> = words("aims")
        .map(|aim| {
            parse_phrase(aim, library)
                .map(Asked::Phrase)
                .map_err(|why| format!("{why:?}"))
        })
        .collect();
    let question = AdjustQuestion {
        glaze: &glaze,
        fluxes: &fluxes,
        aims: aims?,
        with: words("with").filter_map(|name| library.find(name)).cloned().collect(),
        least: Least::Change,
        distance_from: None,
        sure: case["sure"].as_f64(),
    };
    let (begin, mut best, mut calls) = (Instant::now(), f64::INFINITY, 0);
    let mut answer = None;
    while calls < 3 || begin.elapsed() < TIME_PER_CASE {
        let start = Instant::now();
        answer = Some(adjust(&question));
        best = best.min(start.elapsed().as_secs_f64() * 1e6);
        calls += 1;
    }
    let answer = answer.ok_or("never asked")?;
    Ok(told(answer, best))
}

fn told(answer: Result<AdjustAnswer, AdjustTrouble>, micros: f64) -> Value {
    let amounts = |portions: &[Portion]| -> Map<String, Value> {
        let pair = |portion: &Portion| (portion.material.name.clone(), json!(portion.percent));
        portions.iter().map(pair).collect()
    };
    match answer {
        Ok(AdjustAnswer::Possible {
            glaze, objective, sure, ..
        }) => json!({
            "possible": true,
            "objective": objective,
            "parts": amounts(&glaze.base),
            "additions": amounts(&glaze.additions),
            "chances": sure.map(|sure| sure.chances.iter().map(|chance| chance.after).collect::<Vec<f64>>()),
            "micros": micros,
        }),
        Ok(AdjustAnswer::Impossible { clash, surest, .. }) => {
            json!({"possible": false, "clash": clash, "surest": surest, "micros": micros})
        }
        Err(why) => json!({"trouble": format!("{why:?}"), "micros": micros}),
    }
}
