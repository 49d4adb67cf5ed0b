//! What has to be said about a line or a page once roles are known.

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
    let share = match base_grams {
        Some(base) => format!(", {:.1}-{:.1} % of this base", 100.0 * low / base, 100.0 * high / base),
        None => String::new(),
    };
    line.doubts.retain(|doubt| !doubt.is_empty());
    line.doubts.push(format!(
        "`{}` is a volume, {} ml: a loose powder weighs very roughly {}-{} g{share} (common practice, no source). Weigh one and write the grams",
        amount.written,
        short(amount.value * least),
        short(low),
        short(high)
    ));
}

/// What an unnamed line would be, if it belonged to the base.
pub(super) fn say_unnamed(line: &mut Judged, base: f64) {
    if let (Role::Open, Some(amount), Named::Unknown { .. }, true) = (
        line.role,
        line.amount,
        &line.entry.named,
        is_base_like(&line.entry) && base > 0.0,
    ) {
        line.doubts.push(format!(
            "it doesn't count yet; in the base it would be {} % and the others {} % of what is shown",
            short(100.0 * amount / (base + amount)),
            short(100.0 * base / (base + amount))
        ));
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
            let how = if twin.role == line.role {
                "; the two are added up"
            } else {
                ""
            };
            line.doubts
                .push(format!("{} stands on line {} too{how}", material.name, twin.entry.line));
        }
    }
}

pub(super) fn page_doubts(judged: &[Judged], totals: &[Total], weights: bool, base: f64, doubts: &mut Vec<String>) {
    let unnamed = sum(judged, |line| line.role == Role::Open && is_base_like(&line.entry));
    if !weights && base > 0.0 && (base - 100.0).abs() > SUM_EXACT && (base + unnamed - 100.0).abs() > SUM_EXACT {
        doubts.push(format!(
            "the base adds up to {}, not 100: read as shares of its own total",
            short(base)
        ));
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
            let unit = if weights { " g" } else { "" };
            doubts.push(format!(
                "line {}: the page says {}{unit} in all, its lines add up to {}{unit}: is one missing or misread?",
                total.line,
                short(said),
                short(sums[0])
            ));
        }
    }
    let open = judged.iter().filter(|line| line.role == Role::Open).count();
    if open > 0 {
        let (word, verb) = if open == 1 {
            ("line is", "doesn't")
        } else {
            ("lines are", "don't")
        };
        doubts.push(format!("{open} {word} open and {verb} count yet"));
    }
}

/// A number without needless zeros, at most four figures after the point's start.
pub(super) fn short(value: f64) -> String {
    let decimals = match value.abs() {
        size if size >= 100.0 => 1,
        size if size >= 1.0 => 2,
        _ => 3,
    };
    let text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}
