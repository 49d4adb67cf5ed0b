//! Entries into base, additions and open lines, with per cent of the base.

use glost_chemistry::glaze::{Glaze, Portion};

use super::doubt::Doubt;
use super::line_kind::Section;
use super::look::{comes_on_top, first_look, settle_number};
use super::name::Named;
use super::reading::{Reading, ReadingLine, Remark, RemarkKind, Role};
use super::sayings::{page_doubts, say_unnamed, say_volume, twins};
use super::second::set_second_apart;
use super::split::{Entry, Page, Total};
use super::unit::Unit;

/// How far a sum may be from 100 (or from what the page says) and still be meant, in parts of 100.
pub(super) const SUM_SLACK: f64 = 0.5;
/// A sum this near to 100 is exactly 100 on paper.
pub(crate) const SUM_EXACT: f64 = 0.05;
/// An addition above this per cent is asked about.
const LARGE_ADDITION: f64 = 25.0;
/// Most unmarked colourants tried in and out of the base.
const MOST_TRIED: usize = 12;

/// An entry with what was decided about it.
pub(super) struct Judged {
    pub(super) entry: Entry,
    /// Grams where the base is in weights, else parts; `None` where it can't be told.
    pub(super) amount: Option<f64>,
    /// Per cent of the base as written.
    pub(super) percent: Option<f64>,
    pub(super) role: Role,
    pub(super) doubts: Vec<Doubt>,
}

/// Decides what each entry is to the recipe.
pub(super) fn judge(mut page: Page) -> Reading {
    take_title(&mut page);
    plus_as_bullet(&mut page);
    set_second_apart(&mut page);
    let commas = page
        .entries
        .iter()
        .filter_map(|entry| entry.amount.as_ref())
        .any(|amount| amount.decimal_comma && amount.or_else.is_none());
    let column = page.column.clone();
    for entry in &mut page.entries {
        settle_number(entry, commas, column.as_ref());
    }
    let weights = page.entries.iter().any(|entry| is_base_like(entry) && is_weight(entry));
    let carry = carried_unit(&page.entries, weights);
    let mut judged: Vec<Judged> = std::mem::take(&mut page.entries)
        .into_iter()
        .map(|entry| first_look(entry, weights, carry))
        .collect();
    after_total(&mut judged, &page.totals);
    if !weights {
        plus_as_and(&mut judged);
    }
    unmarked(&mut judged, weights);
    finish(judged, page, weights)
}

/// A first line such as `Tenmoku no 4` is a name and no amount.
fn take_title(page: &mut Page) {
    let numbers = |entry: &Entry| entry.amount.as_ref().is_some_and(|amount| amount.unit == Unit::Bare);
    let Some(first) = page.entries.first() else { return };
    let alone = page.entries.iter().filter(|entry| entry.line == first.line).count() == 1;
    let before_all = page.remarks.iter().all(|remark| remark.line > first.line);
    let unnamed = matches!(&first.named, Named::Unknown { suggestions, .. } if suggestions.is_empty());
    if page.title.is_some() || !alone || !before_all || !unnamed || !numbers(first) || page.entries.len() < 3 {
        return;
    }
    let sum: f64 = page.entries[1..]
        .iter()
        .filter_map(|entry| entry.amount.as_ref())
        .map(|amount| amount.value)
        .sum();
    let with = sum + first.amount.as_ref().map_or(0.0, |amount| amount.value);
    if (with - 100.0).abs() <= SUM_SLACK {
        return;
    }
    let first = page.entries.remove(0);
    for total in &mut page.totals {
        total.after = total.after.saturating_sub(1);
    }
    page.doubts.push(Doubt::TakenForTitle {
        line: first.line,
        text: first.text.clone(),
    });
    page.remarks.push(Remark {
        line: first.line,
        text: first.text.clone(),
        kind: RemarkKind::Title,
    });
    page.title = Some(first.text);
}

/// Where nearly every line starts with `+`, it is only a bullet.
fn plus_as_bullet(page: &mut Page) {
    let signed = page.entries.iter().filter(|entry| entry.plus).count();
    let first = page.entries.first().is_some_and(|entry| entry.plus);
    if !first || signed * 2 < page.entries.len() {
        return;
    }
    for entry in page.entries.iter_mut().filter(|entry| entry.plus) {
        entry.plus = false;
        entry.section = Section::Unsaid;
    }
    page.doubts.push(Doubt::PlusAsBullet);
}

fn is_weight(entry: &Entry) -> bool {
    matches!(entry.amount.as_ref().map(|amount| &amount.unit), Some(Unit::Weight(_)))
}

pub(super) fn is_base_like(entry: &Entry) -> bool {
    let on_top = entry.section == Section::Additions || entry.plus;
    !on_top && !entry.material().is_some_and(|material| comes_on_top(material))
}

/// Grams of the one unit of weight that the base starts with, where later lines leave it out.
fn carried_unit(entries: &[Entry], weights: bool) -> Option<f64> {
    if !weights {
        return None;
    }
    let mut units = entries.iter().filter_map(|entry| match entry.amount.as_ref()?.unit {
        Unit::Weight(grams) => Some(grams),
        _ => None,
    });
    let first = units.next()?;
    let bare = |entry: &&Entry| entry.amount.as_ref().is_some_and(|amount| amount.unit == Unit::Bare);
    let starts = entries.iter().find(|entry| is_base_like(entry)).is_some_and(is_weight);
    let any_bare = entries
        .iter()
        .filter(|entry| is_base_like(entry))
        .any(|entry| bare(&entry));
    (starts && any_bare && units.all(|unit| unit == first)).then_some(first)
}

/// What stands below the first total is on top of it.
fn after_total(judged: &mut [Judged], totals: &[Total]) {
    let agrees = |total: &&Total| {
        let before = sum(&judged[..total.after.min(judged.len())], |_| true);
        total.said || (before - total.amount.value).abs() <= SUM_SLACK / 100.0 * before
    };
    let Some(total) = totals
        .iter()
        .filter(agrees)
        .find(|total| total.after >= 2 && total.after < judged.len())
    else {
        return;
    };
    for line in judged.iter_mut().skip(total.after) {
        if line.role == Role::Base && line.entry.section == Section::Unsaid {
            line.role = Role::Addition;
            line.doubts.push(Doubt::BelowTotal);
        }
    }
}

pub(super) fn sum(judged: &[Judged], keep: impl Fn(&Judged) -> bool) -> f64 {
    judged
        .iter()
        .filter(|line| keep(line))
        .filter_map(|line| line.amount)
        .sum()
}

/// `feldspar 40 + silica 30 + ...`: where the sum needs them, `+` means `and`.
fn plus_as_and(judged: &mut [Judged]) {
    let base_like =
        |line: &Judged| line.entry.plus && line.entry.material().is_some_and(|material| !comes_on_top(material));
    let in_base = |line: &Judged| line.role != Role::Addition && is_base_like(&line.entry);
    let without = sum(judged, in_base);
    let with = sum(judged, |line| in_base(line) || base_like(line));
    if (without - 100.0).abs() <= SUM_SLACK || (with - 100.0).abs() > SUM_SLACK {
        return;
    }
    for line in judged.iter_mut().filter(|line| base_like(line)) {
        line.role = Role::Base;
        line.doubts.push(Doubt::PlusAsAnd);
    }
}

/// Colourants, opacifiers and gums with no sign before them: outside the base
/// unless the base comes to 100 only with them.
fn unmarked(judged: &mut [Judged], weights: bool) {
    // Under a heading `Base` they belong to it, unless it is 100 without them.
    let rest = sum(judged, |line| {
        line.role == Role::Base && line.entry.material().is_none_or(|material| !comes_on_top(material))
    });
    let complete = !weights && (rest - 100.0).abs() <= SUM_EXACT;
    let loose: Vec<usize> = (0..judged.len())
        .filter(|at| {
            let line = &judged[*at];
            line.role == Role::Base
                && (line.entry.section == Section::Unsaid || complete)
                && line.entry.material().is_some_and(|material| comes_on_top(material))
        })
        .collect();
    if loose.is_empty() {
        return;
    }
    let fixed = sum(judged, |line| {
        let unnamed = line.role == Role::Open && line.entry.section != Section::Additions && !line.entry.plus;
        unnamed || line.role == Role::Base
    }) - loose.iter().filter_map(|at| judged[*at].amount).sum::<f64>();
    let inside = if fixed <= 0.0 {
        // Nothing else could be the base.
        (1usize << loose.len().min(MOST_TRIED)) - 1
    } else {
        inside_the_base(
            fixed,
            &loose.iter().filter_map(|at| judged[*at].amount).collect::<Vec<_>>(),
            weights,
        )
    };
    // What isn't named yet doesn't count in the percentages shown.
    let unnamed = sum(judged, |line| line.role == Role::Open && is_base_like(&line.entry));
    let shown = if fixed - unnamed > 0.0 { fixed - unnamed } else { fixed };
    for (bit, at) in loose.iter().enumerate() {
        let line = &mut judged[*at];
        let amount = line.amount.unwrap_or_default();
        if bit < MOST_TRIED && inside & (1 << bit) != 0 {
            line.doubts.push(Doubt::InsideTheBase);
        } else {
            line.role = Role::Addition;
            line.doubts.push(Doubt::Unmarked {
                on_base_percent: 100.0 * amount / shown,
                inside_percent: 100.0 * amount / (shown + amount),
            });
        }
    }
}

/// Which of the loose amounts belong inside, as bits: the fewest that bring the
/// base nearest to 100 (or, in weights, to a round 100, 1000 or 10 000 g).
pub(crate) fn inside_the_base(fixed: f64, loose: &[f64], weights: bool) -> usize {
    let miss = |total: f64| -> f64 {
        if !weights {
            return (total - 100.0).abs();
        }
        [100.0, 1000.0, 10_000.0]
            .iter()
            .map(|round| (total - round).abs() * 100.0 / round)
            .fold(f64::INFINITY, f64::min)
    };
    let tried = loose.len().min(MOST_TRIED);
    let mut best = (f64::INFINITY, 0);
    let mut sets: Vec<usize> = (0..1 << tried).collect();
    sets.sort_by_key(|set| set.count_ones());
    for set in sets {
        let within: f64 = (0..tried)
            .filter(|bit| set & (1 << bit) != 0)
            .map(|bit| loose[bit])
            .sum();
        let off = miss(fixed + within);
        let off = if off <= SUM_EXACT { 0.0 } else { off };
        if off < best.0 - 1e-9 {
            best = (off, set);
        }
    }
    if best.0 <= SUM_SLACK { best.1 } else { 0 }
}

fn finish(mut judged: Vec<Judged>, page: Page, weights: bool) -> Reading {
    let base = sum(&judged, |line| line.role == Role::Base);
    let base_grams = (weights && base > 0.0).then_some(base);
    let unnamed = sum(&judged, |line| line.role == Role::Open && is_base_like(&line.entry));
    let on_paper_100 = (base + unnamed - 100.0).abs() <= SUM_EXACT;
    let base_in_per_cent = judged
        .iter()
        .filter(|line| line.role == Role::Base)
        .all(|line| matches!(&line.entry.amount, Some(amount) if amount.unit == Unit::Percent));
    let mut doubts = page.doubts.clone();
    for line in &mut judged {
        if let (Role::Base | Role::Addition, true) = (line.role, base > 0.0) {
            let unit = line.entry.amount.as_ref().map(|amount| &amount.unit);
            let per_cent = line.role == Role::Addition
                && !weights
                && (on_paper_100 || unit == Some(&Unit::Percent) && !base_in_per_cent);
            if per_cent {
                line.percent = line.amount;
            } else if line.role == Role::Addition && !weights && line.amount.is_some() {
                let amount = line.amount.unwrap_or_default();
                let differs = (base - 100.0).abs() > SUM_EXACT;
                line.doubts.extend(differs.then(|| Doubt::InPartsOfBase {
                    base,
                    percent: 100.0 * amount / base,
                    as_percent: amount,
                }));
            }
            line.percent = line.percent.or(line.amount.map(|amount| 100.0 * amount / base));
        } else if line.role != Role::Open {
            line.role = Role::Open;
            line.doubts.push(Doubt::NoBase);
        }
        if let (Role::Addition, Some(percent)) = (line.role, line.percent)
            && percent > LARGE_ADDITION
        {
            line.doubts.push(Doubt::MuchForAddition(percent));
        }
        say_volume(line, base_grams);
        say_unnamed(line, base);
    }
    if page.versions.len() > 1 {
        doubts.push(Doubt::SeveralVersions(page.versions.clone()));
    }
    twins(&mut judged);
    page_doubts(&judged, &page.totals, weights, base, &mut doubts);
    let glaze = glaze(&judged, &page);
    Reading {
        lines: judged.into_iter().map(reading_line).collect(),
        remarks: page.remarks,
        doubts,
        base_grams,
        glaze,
    }
}

fn glaze(judged: &[Judged], page: &Page) -> Option<Glaze> {
    let portions = |role: Role| -> Vec<Portion> {
        let mut list: Vec<Portion> = Vec::new();
        for line in judged.iter().filter(|line| line.role == role) {
            let (Some(material), Some(percent)) = (line.entry.material(), line.percent) else {
                continue;
            };
            match list.iter_mut().find(|portion| portion.material.name == material.name) {
                Some(same) => same.percent += percent,
                None => list.push(Portion {
                    material: material.clone(),
                    percent,
                }),
            }
        }
        list
    };
    let base = portions(Role::Base);
    (!base.is_empty()).then(|| Glaze {
        name: page
            .title
            .clone()
            .filter(|title| !title.is_empty())
            .unwrap_or_else(|| "From the notebook".to_owned()),
        base,
        additions: portions(Role::Addition),
        about: page.about.clone(),
        assumptions: Vec::new(),
    })
}

fn reading_line(line: Judged) -> ReadingLine {
    let grams = match &line.entry.amount {
        Some(amount) if matches!(amount.unit, Unit::Weight(_)) && amount.high.is_none() => Some(amount.value),
        Some(amount) if amount.unit == Unit::Bare && line.percent.is_some() => {
            line.amount.filter(|grams| *grams != amount.value)
        }
        _ => None,
    };
    let suggestions = match &line.entry.named {
        Named::Unknown { suggestions, .. } => suggestions.clone(),
        Named::Known(..) => Vec::new(),
    };
    let material = line.entry.material().map(|material| material.name.clone());
    ReadingLine {
        line: line.entry.line,
        text: line.entry.text,
        written_name: line.entry.written_name,
        material,
        grams,
        percent: line.percent.filter(|_| line.role != Role::Open),
        role: line.role,
        doubts: line.doubts,
        suggestions,
    }
}
