//! One entry by itself: its number settled, whether it can be weighed, what
//! sort of material it is.

use glost_chemistry::material::{Kind, Material};
use glost_chemistry::oxides::Oxide;

use super::amount::Amount;
use super::judge::{Judged, is_base_like};
use super::line_kind::Section;
use super::name::Named;
use super::reading::Role;
use super::sayings::short;
use super::split::Entry;
use super::unit::Unit;

pub(super) fn settle_number(entry: &mut Entry, commas: bool, column: Option<&Unit>) {
    let Some(amount) = entry.amount.as_mut() else { return };
    if let Some(other) = amount.or_else {
        let thousands = amount.decimal_comma != commas;
        let point = !amount.decimal_comma && !commas;
        if thousands && !point {
            entry.doubts.push(format!(
                "`{}` read with a thousands sign; with a decimal one it would be a thousandth of that",
                amount.written
            ));
            amount.value = other;
        } else if amount.decimal_comma {
            entry.doubts.push(format!(
                "`{}` read with a decimal comma; as thousands it would be a thousand times that",
                amount.written
            ));
        }
    } else if amount.decimal_comma {
        entry
            .doubts
            .push(format!("`{}` read with a decimal comma", amount.written));
    }
    entry.doubts.append(&mut amount.doubts);
    if let (Unit::Bare, Some(unit)) = (&amount.unit, column) {
        if let Unit::Weight(grams) = unit {
            amount.value *= grams;
            amount.high = amount.high.map(|high| high * grams);
        }
        amount.unit = unit.clone();
        entry.doubts.push("its unit is from the head of the column".to_owned());
    }
}

/// A colourant, opacifier, gum or suspender, which recipes usually give on top of the base.
pub(super) fn comes_on_top(material: &Material) -> bool {
    const COLOUR_AND_OPACITY: [Oxide; 12] = [
        Oxide::Fe2O3,
        Oxide::MnO,
        Oxide::CoO,
        Oxide::CuO,
        Oxide::Cr2O3,
        Oxide::NiO,
        Oxide::V2O5,
        Oxide::CeO2,
        Oxide::TiO2,
        Oxide::ZrO2,
        Oxide::SnO2,
        Oxide::Sb2O3,
    ];
    if matches!(material.kind, Kind::Colourant | Kind::Stain | Kind::Gum) {
        return true;
    }
    let name = material.name.to_lowercase();
    if name.contains("bentonite") || name == "magnesium sulphate" {
        return true;
    }
    let Some(fired) = &material.fired else { return false };
    let total = fired.oxides.total();
    let share: f64 = COLOUR_AND_OPACITY.iter().map(|oxide| fired.oxides.get(*oxide)).sum();
    total <= 0.0 || share > 0.5 * total
}

fn open(entry: Entry, doubts: Vec<String>, amount: Option<f64>) -> Judged {
    Judged {
        entry,
        amount,
        percent: None,
        role: Role::Open,
        doubts,
    }
}

/// Amount and role of one entry by itself; unmarked colourants are left as base.
pub(super) fn first_look(mut entry: Entry, weights: bool, carry: Option<f64>) -> Judged {
    let mut doubts = std::mem::take(&mut entry.doubts);
    match &entry.named {
        Named::Known(_, said) => doubts.extend(said.iter().cloned()),
        Named::Unknown { doubt, .. } => doubts.push(doubt.clone()),
    }
    if let Some(line) = entry.second {
        doubts.push(format!(
            "belongs to a second recipe, from line {line} on: read that one by itself"
        ));
        return open(entry, doubts, None);
    }
    let Some(amount) = entry.amount.clone() else {
        doubts.push("no amount stands beside it".to_owned());
        return open(entry, doubts, None);
    };
    if let Some(doubt) = unusable(&amount, &entry) {
        doubts.push(doubt);
        return open(entry, doubts, None);
    }
    let on_top = !is_base_like(&entry);
    let mut percent = None;
    let value = match (&amount.unit, weights) {
        (Unit::Weight(_), true) => Some(amount.value),
        (Unit::Weight(_), false) => {
            doubts.push(format!(
                "`{}` is a weight and the base is in parts: of how much base?",
                amount.written
            ));
            None
        }
        (Unit::Bare, true) if carry.is_some() => {
            doubts.push(format!(
                "`{}` has no unit: read in the unit of the lines above",
                amount.written
            ));
            carry.map(|grams| grams * amount.value)
        }
        (Unit::Bare, true) if on_top => {
            doubts.push(format!(
                "`{}` has no unit: read as {} per cent of the base, please confirm",
                amount.written,
                short(amount.value)
            ));
            percent = Some(amount.value);
            None
        }
        (Unit::Percent, true) => {
            if !on_top {
                doubts.push("a percentage among weights: read as an addition, per cent of the base".to_owned());
            }
            percent = Some(amount.value);
            None
        }
        (Unit::Bare | Unit::Parts, true) => {
            doubts.push(format!(
                "`{}` has no unit of weight, and the lines about it have",
                amount.written
            ));
            None
        }
        _ => Some(amount.value),
    };
    if value.is_none() && percent.is_none() {
        return open(entry, doubts, None);
    }
    let role = match (&entry.named, entry.section) {
        (Named::Unknown { .. }, _) => Role::Open,
        _ if percent.is_some() => Role::Addition,
        (_, Section::Additions) => Role::Addition,
        _ => Role::Base,
    };
    let stuck = entry.section == Section::Additions && !entry.plus;
    if stuck && entry.material().is_some_and(|material| !comes_on_top(material)) && role == Role::Addition {
        doubts.push("stands among the additions: read as one".to_owned());
    }
    Judged {
        entry,
        amount: value,
        percent,
        role,
        doubts,
    }
}

/// Why an amount can't be weighed as it stands.
fn unusable(amount: &Amount, entry: &Entry) -> Option<String> {
    if entry.alternative {
        return Some("an alternative to the line before (`or`): it doesn't count until you choose".to_owned());
    }
    if !(amount.value > 0.0 && amount.value < 1e9) {
        return Some(format!("`{}` is no amount to weigh", amount.written));
    }
    if entry.dose {
        return Some(format!(
            "`{}` is a dose per something: work out how much this base takes and write that",
            amount.written
        ));
    }
    if let (Some(_), false) = (amount.high, matches!(amount.unit, Unit::Volume(_))) {
        return Some(format!("`{}` is a range: choose one amount", amount.written));
    }
    match amount.unit {
        Unit::Volume(None) => Some(format!(
            "`{}` is no weight: weigh it and write the grams",
            amount.written
        )),
        // The words follow once the base is known.
        Unit::Volume(Some(_)) => Some(String::new()),
        _ => None,
    }
}
