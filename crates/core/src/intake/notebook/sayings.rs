//! What has to be said about a line or a page once roles are known.

use super::doubt::Doubt;
use super::judge::{Judged, SUM_EXACT, SUM_SLACK, is_base_like, sum};
use super::name::Named;
use super::reading::Role;
use super::split::Total;
use super::unit::Unit;

/// Loose dry powder in a spoon or cup, g/ml: common practice, no source.
const LOOSE_POWDER: (f64, f64) = (0.6, 1.4);

/// A volume of powder is no weight: what it might weigh, and what to do.
pub(super) fn say_volume(line: &mut Judged, base_grams: Option<f64>) {
    let Some(amount) = &line.entry.amount else { return };
    let Unit::Volume(Some((least, most))) = amount.unit else {
        return;
    };
    let low = amount.value * least * LOOSE_POWDER.0;
    let high = amount.high.unwrap_or(amount.value) * most * LOOSE_POWDER.1;
    line.doubts.retain(|doubt| *doubt != Doubt::VolumeToCome);
    line.doubts.push(Doubt::Volume {
        written: amount.written.clone(),
        millilitres: amount.value * least,
        low_grams: low,
        high_grams: high,
        of_base_percent: base_grams.map(|base| (100.0 * low / base, 100.0 * high / base)),
    });
}

/// What an unnamed line would be, if it belonged to the base.
pub(super) fn say_unnamed(line: &mut Judged, base: f64) {
    if let (Role::Open, Some(amount), Named::Unknown { .. }, true) = (
        line.role,
        line.amount,
        &line.entry.named,
        is_base_like(&line.entry) && base > 0.0,
    ) {
        line.doubts.push(Doubt::Unnamed {
            share_percent: 100.0 * amount / (base + amount),
            others_percent: 100.0 * base / (base + amount),
        });
    }
}

pub(super) fn twins(judged: &mut [Judged]) {
    for at in 1..judged.iter().take_while(|line| line.entry.second.is_none()).count() {
        let (before, here) = judged.split_at_mut(at);
        let Some(line) = here.first_mut() else { continue };
        let Some(material) = line.entry.material().cloned() else {
            continue;
        };
        let twin = before.iter().find(|other| {
            let known = other.entry.material();
            known.is_some_and(|known| known.name == material.name)
        });
        if let Some(twin) = twin {
            line.doubts.push(Doubt::Twin {
                material: material.name.clone(),
                line: twin.entry.line,
                added_up: twin.role == line.role,
            });
        }
    }
}

pub(super) fn page_doubts(judged: &[Judged], totals: &[Total], weights: bool, base: f64, doubts: &mut Vec<Doubt>) {
    let unnamed = sum(judged, |line| line.role == Role::Open && is_base_like(&line.entry));
    if !weights && base > 0.0 && (base - 100.0).abs() > SUM_EXACT && (base + unnamed - 100.0).abs() > SUM_EXACT {
        doubts.push(Doubt::BaseNotHundred(base));
    }
    for total in totals {
        let said = total.amount.value;
        let comparable = weights == matches!(total.amount.unit, Unit::Weight(_));
        let before = &judged[..total.after.min(judged.len())];
        let sums = [
            sum(before, |_| true),
            sum(before, |line| line.role == Role::Base),
            sum(before, |line| line.role != Role::Addition),
        ];
        let agrees = sums
            .iter()
            .any(|sum| (sum - said).abs() <= SUM_SLACK / 100.0 * said.max(1.0));
        if comparable && !agrees && !before.is_empty() {
            doubts.push(Doubt::TotalDisagrees {
                line: total.line,
                said,
                lines: sums[0],
                grams: weights,
            });
        }
    }
    let open = judged.iter().filter(|line| line.role == Role::Open).count();
    if open > 0 {
        doubts.push(Doubt::OpenLines(open));
    }
}
