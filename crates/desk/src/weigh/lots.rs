//! Out of which bags a batch is weighed, where several lots of a material stand open.

use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_chemistry::glaze::{Glaze, Portion};
use glost_chemistry::material::{Material, OpenLot, first_open};
use glost_chemistry::quantity::plain;
use glost_chemistry::read::folded;
use glost_core::workshop::ticket::TicketLine;

use crate::Words;

/// A lot that is asked for: `--lot "kaolin=L2"`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AskedLot {
    /// The material's name.
    pub material: String,
    /// What stands on the bag.
    pub lot: String,
}

/// The lots that a call asks for.
pub(super) fn asked(words: &Words) -> Result<Vec<AskedLot>, Diagnostic> {
    let mut asked: Vec<AskedLot> = Vec::new();
    for typed in words.list("lot") {
        let wrong = |message: String| {
            Diagnostic::error("bad-option", message).help("name the material and its lot: --lot \"kaolin=L2\"")
        };
        let parts = typed
            .split_once('=')
            .map(|(material, lot)| (material.trim(), lot.trim()));
        let Some((material, lot)) = parts.filter(|(material, lot)| !material.is_empty() && !lot.is_empty()) else {
            return Err(wrong(format!("--lot: `{typed}` doesn't say which lot of what")));
        };
        if asked.iter().any(|known| folded(&known.material) == folded(material)) {
            let message = format!("--lot: two lots of {material} are asked for");
            return Err(
                Diagnostic::error("bad-option", message).help("a batch is weighed out of one lot: book one for each")
            );
        }
        asked.push(AskedLot {
            material: material.to_owned(),
            lot: lot.to_owned(),
        });
    }
    Ok(asked)
}

/// The glaze with each material out of one lot: the one asked for, else the oldest open one.
pub(super) fn out_of_lots(mut glaze: Glaze, asked: &[AskedLot]) -> Result<Glaze, Diagnostic> {
    for one in asked {
        let mut known = glaze.portions().map(|portion| portion.material.as_ref());
        if !known.any(|material| is_called(material, &one.material)) {
            let names: Vec<&str> = glaze.portions().map(|portion| portion.material.name.as_str()).collect();
            let message = format!("--lot: {} has no `{}`", glaze.name, one.material);
            let near = suggestion(&one.material, names.iter().copied());
            let help = near.unwrap_or_else(|| format!("it is weighed from {}", names.join(", ")));
            return Err(Diagnostic::error("bad-option", message).help(help));
        }
    }
    for portion in glaze.base.iter_mut().chain(&mut glaze.additions) {
        take_out_of(portion, asked)?;
    }
    Ok(glaze)
}

fn is_called(material: &Material, name: &str) -> bool {
    let mut names = std::iter::once(&material.name).chain(&material.other_names);
    names.any(|known| folded(known) == folded(name))
}

fn take_out_of(portion: &mut Portion, asked: &[AskedLot]) -> Result<(), Diagnostic> {
    let material = &portion.material;
    let lot = match asked.iter().find(|one| is_called(material, &one.material)) {
        None => first_open(&material.open_lots),
        Some(one) => match (material.open_lot(&one.lot), &material.lot) {
            (Some(lot), _) => Some(lot),
            (None, Some(only)) if folded(only) == folded(&one.lot) => None,
            (None, _) => return Err(unknown_lot(material, &one.lot)),
        },
    };
    if let Some(lot) = lot {
        portion.material = Arc::new(material.out_of(lot));
    }
    Ok(())
}

fn unknown_lot(material: &Material, lot: &str) -> Diagnostic {
    let open: Vec<&str> = match material.open_lots.as_slice() {
        [] => material.lot.as_deref().into_iter().collect(),
        lots => lots.iter().map(|open| open.lot.as_str()).collect(),
    };
    let name = &material.name;
    Diagnostic::error("unknown-lot", format!("no lot {lot} of {name} is open")).help(match open.as_slice() {
        [] => format!("its file names none: write `lot: {lot}` there, or leave --lot out"),
        open => format!(
            "open: {}; `glost add lot \"{name}\" --lot {lot} --stock \"5 kg\"` opens a new one",
            open.join(", ")
        ),
    })
}

/// The lots of a line's material that stand open beside the one it is taken from.
pub(super) fn others(line: &TicketLine) -> impl Iterator<Item = &OpenLot> {
    let open = line.material.open_lots.iter();
    open.filter(|open| line.material.lot.as_ref() != Some(&open.lot) && open.stock.grams() > 0.0)
}

/// A batch is of one lot: what that lot can't give isn't booked while another could.
pub(super) fn enough(lines: &[TicketLine]) -> Result<(), Diagnostic> {
    /// Stocks are kept to half a milligram.
    const NOTHING_GRAMS: f64 = 0.001;
    for line in lines {
        let (Some(lot), Some(stock)) = (&line.material.lot, line.material.stock) else {
            continue;
        };
        let others: Vec<&OpenLot> = others(line).collect();
        if others.is_empty() || line.grams <= stock.grams() + NOTHING_GRAMS {
            continue;
        }
        let name = &line.material.name;
        let message = format!(
            "lot {lot} of {name} holds {} g, this batch takes {} g",
            plain(stock.grams()),
            plain(line.grams)
        );
        let roomy = others.iter().find(|other| other.stock.grams() >= line.grams);
        let way = match roomy {
            Some(other) => format!(
                "--lot \"{name}={}\" takes it from there ({} g)",
                other.lot,
                plain(other.stock.grams())
            ),
            None => "make a smaller batch of each lot".to_owned(),
        };
        let help = format!("{way}; if the count is wrong, correct the lot's `stock` in its file. Nothing was booked");
        return Err(Diagnostic::error("lot-short", message).help(help));
    }
    Ok(())
}
