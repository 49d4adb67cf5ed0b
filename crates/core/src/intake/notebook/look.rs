//! One entry by itself: its number settled, whether it can be weighed, what
//! sort of material it is.

use glost_chemistry::material::{Kind, Material};
use glost_chemistry::oxides::Oxide;

use super::amount::Amount;
use super::doubt::Doubt;
use super::judge::{Judged, is_base_like};
use super::line_kind::Section;
use super::name::Named;
use super::reading::Role;
use super::split::Entry;
use super::unit::Unit;

pub(super) fn settle_number(entry: &mut Entry, commas: bool, column: Option<&Unit>) {
    let Some(amount) = entry.amount.as_mut() else { return };
    if let Some(other) = amount.or_else {
        let thousands = amount.decimal_comma != commas;
        let point = !amount.decimal_comma && !commas;
        if thousands && !point {
            entry.doubts.push(Doubt::ThousandsSign(amount.written.clone()));
            amount.value = other;
        } else if amount.decimal_comma {
            entry.doubts.push(Doubt::CommaNotThousands(amount.written.clone()));
        }
    } else if amount.decimal_comma {
        entry.doubts.push(Doubt::DecimalComma(amount.written.clone()));
    }
    entry.doubts.append(&mut amount.doubts);
    if let (Unit::Bare, Some(unit)) = (&amount.unit, column) {
        if let Unit::Weight(grams) = unit {
            amount.value *= grams;
            amount.high = amount.high.map(|high| high * grams);
        }
        amount.unit = unit.clone();
        entry.doubts.push(Doubt::UnitOfColumn);
    }
}

/// A colourant, opacifier, gum or suspender, which recipes usually give on top of the base.
pub(crate) fn comes_on_top(material: &Material) -> bool {
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

fn open(entry: Entry, doubts: Vec<Doubt>, amount: Option<f64>) -> Judged {
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
        doubts.push(Doubt::OfSecondRecipe(line));
        return open(entry, doubts, None);
    }
    let Some(amount) = entry.amount.clone() else {
        doubts.push(Doubt::NoAmount);
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
            doubts.push(Doubt::WeightAmongParts(amount.written.clone()));
            None
        }
        (Unit::Bare, true) if carry.is_some() => {
            doubts.push(Doubt::UnitFromAbove(amount.written.clone()));
            carry.map(|grams| grams * amount.value)
        }
        (Unit::Bare, true) if on_top => {
            doubts.push(Doubt::ReadAsPercent {
                written: amount.written.clone(),
                percent: amount.value,
            });
            percent = Some(amount.value);
            None
        }
        (Unit::Percent, true) => {
            if !on_top {
                doubts.push(Doubt::PercentAmongWeights);
            }
            percent = Some(amount.value);
            None
        }
        (Unit::Bare | Unit::Parts, true) => {
            doubts.push(Doubt::NoUnitOfWeight(amount.written.clone()));
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
        doubts.push(Doubt::AmongAdditions);
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
fn unusable(amount: &Amount, entry: &Entry) -> Option<Doubt> {
    if entry.alternative {
        return Some(Doubt::Alternative);
    }
    if !(amount.value > 0.0 && amount.value < 1e9) {
        return Some(Doubt::NoAmountToWeigh(amount.written.clone()));
    }
    if entry.dose {
        return Some(Doubt::Dose(amount.written.clone()));
    }
    if let (Some(_), false) = (amount.high, matches!(amount.unit, Unit::Volume(_))) {
        return Some(Doubt::Range(amount.written.clone()));
    }
    match amount.unit {
        Unit::Volume(None) => Some(Doubt::NoWeight(amount.written.clone())),
        // The words follow once the base is known.
        Unit::Volume(Some(_)) => Some(Doubt::VolumeToCome),
        _ => None,
    }
}
