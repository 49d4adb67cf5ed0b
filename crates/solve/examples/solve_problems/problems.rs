//! Reads a problem file into matrices.

use serde_json::Value;

/// `min |A x - b|^2`, column-major, rows over their tolerances.
pub struct Fit {
    pub columns: Vec<f64>,
    pub rhs: Vec<f64>,
}

/// Least change under rows: the data of a quadratic programme in `x - x0`.
pub struct Repair {
    pub start: Vec<f64>,
    /// Row-major, symmetric.
    pub hessian: Vec<f64>,
    /// Row-major; the first row is the total.
    pub rows: Vec<f64>,
    pub row_lower: Vec<f64>,
    pub row_upper: Vec<f64>,
}

/// Least change of what is fired: the quadratic as it stands, rows that must be 0 at least.
pub struct Change {
    /// Row-major, symmetric.
    pub hessian: Vec<f64>,
    pub linear: Vec<f64>,
    /// Row-major.
    pub rows: Vec<f64>,
}

/// One problem, by kind.
pub enum Problem {
    Change(Change),
    Substitution(Fit),
    BestSubset { fit: Fit, free: usize, at_most: usize },
    Repair(Repair),
    Cheapest { fit: Fit, prices: Vec<f64> },
}

/// The problems of a file with their names, or what is wrong with it.
pub fn read(text: &str) -> Result<Vec<(String, Problem)>, String> {
    let file: Value = serde_json::from_str(text).map_err(|e| e.to_string())?;
    let molar_mass = numbers(&file["molar_mass"])?;
    let oxides = list(&file["oxides"])?;
    let is_flux: Vec<bool> = oxides
        .iter()
        .map(|o| list(&file["fluxes"]).is_ok_and(|f| f.contains(o)))
        .collect();
    let mut problems = Vec::new();
    for problem in list(&file["problems"])? {
        let id = problem["id"].as_str().ok_or("a problem without id")?.to_string();
        let read = one(problem, &molar_mass, &is_flux).map_err(|e| format!("{id}: {e}"))?;
        problems.push((id, read));
    }
    Ok(problems)
}

fn one(problem: &Value, molar_mass: &[f64], is_flux: &[bool]) -> Result<Problem, String> {
    if problem["kind"] == "change" {
        return Ok(Problem::Change(Change {
            hessian: all_numbers(&problem["hessian"])?,
            linear: numbers(&problem["linear"])?,
            rows: all_numbers(&problem["rows"])?,
        }));
    }
    let materials = list(&problem["materials"])?;
    let tolerance = numbers(&problem["tol"])?;
    // moles of each oxide per 100 g
    let mut moles = Vec::new();
    for material in materials {
        let percent = numbers(&material["wt"])?;
        moles.push(percent.iter().zip(molar_mass).map(|(w, m)| w / m).collect::<Vec<f64>>());
    }
    let count = |key: &str| problem[key].as_u64().map(|v| v as usize).ok_or(format!("no {key}"));
    match problem["kind"].as_str() {
        Some("substitution") => Ok(Problem::Substitution(fit(problem, &moles, &tolerance)?)),
        Some("best_subset") => Ok(Problem::BestSubset {
            fit: fit(problem, &moles, &tolerance)?,
            free: count("n_free")?,
            at_most: count("k")?,
        }),
        Some("cheapest") => {
            let price = |m: &Value| m["price"].as_f64().ok_or("a material without price");
            Ok(Problem::Cheapest {
                fit: fit(problem, &moles, &tolerance)?,
                prices: materials.iter().map(price).collect::<Result<_, _>>()?,
            })
        }
        Some("repair") => Ok(Problem::Repair(repair(problem, &moles, &tolerance, is_flux)?)),
        other => Err(format!("unknown kind {other:?}")),
    }
}

fn fit(problem: &Value, moles: &[Vec<f64>], tolerance: &[f64]) -> Result<Fit, String> {
    let target = numbers(&problem["target"])?;
    // an oxide that neither target nor any material has adds nothing
    let rows: Vec<usize> = (0..target.len())
        .filter(|&i| target[i] != 0.0 || moles.iter().any(|m| m[i] != 0.0))
        .collect();
    Ok(Fit {
        columns: moles
            .iter()
            .flat_map(|m| rows.iter().map(|&i| m[i] / tolerance[i]))
            .collect(),
        rhs: rows.iter().map(|&i| target[i] / tolerance[i]).collect(),
    })
}

fn repair(problem: &Value, moles: &[Vec<f64>], tolerance: &[f64], is_flux: &[bool]) -> Result<Repair, String> {
    let start = numbers(&problem["x0"])?;
    let step = numbers(&problem["step"])?;
    let weight = problem["chem_weight"].as_f64().ok_or("no chem_weight")?;
    let total = problem["total"].as_f64().ok_or("no total")?;
    let count = start.len();
    let flux: f64 = (0..count)
        .map(|j| {
            start[j]
                * (0..is_flux.len())
                    .filter(|&i| is_flux[i])
                    .map(|i| moles[j][i])
                    .sum::<f64>()
                / 100.0
        })
        .sum();
    let chemistry: Vec<Vec<f64>> = moles
        .iter()
        .map(|m| m.iter().zip(tolerance).map(|(v, t)| v / 100.0 / (flux * t)).collect())
        .collect();
    let mut hessian = vec![0.0; count * count];
    for j in 0..count {
        for k in 0..count {
            let common: f64 = chemistry[j].iter().zip(&chemistry[k]).map(|(a, b)| a * b).sum();
            hessian[j * count + k] = weight * common;
        }
        hessian[j * count + j] += 1.0 / (step[j] * step[j]);
    }
    let (mut rows, mut row_lower, mut row_upper) = (vec![1.0; count], vec![total], vec![total]);
    for row in list(&problem["rows"])? {
        rows.extend(numbers(row)?);
    }
    let limits = |key: &str, none: f64| -> Result<Vec<f64>, String> {
        Ok(list(&problem[key])?
            .iter()
            .map(|v| v.as_f64().unwrap_or(none))
            .collect())
    };
    row_lower.extend(limits("row_lo", f64::NEG_INFINITY)?);
    row_upper.extend(limits("row_hi", f64::INFINITY)?);
    Ok(Repair {
        start,
        hessian,
        rows,
        row_lower,
        row_upper,
    })
}

fn list(value: &Value) -> Result<&Vec<Value>, String> {
    value.as_array().ok_or_else(|| "a list was expected".to_string())
}

/// The numbers of a list of rows.
fn all_numbers(value: &Value) -> Result<Vec<f64>, String> {
    let rows: Result<Vec<Vec<f64>>, String> = list(value)?.iter().map(numbers).collect();
    Ok(rows?.concat())
}

fn numbers(value: &Value) -> Result<Vec<f64>, String> {
    list(value)?
        .iter()
        .map(|v| v.as_f64().ok_or_else(|| "a number was expected".to_string()))
        .collect()
}
