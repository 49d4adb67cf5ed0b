//! What is said of a proposed recipe beside its numbers.

use glost_chemistry::oxides::Oxide;
use glost_core::recipes::swap::{ClayOut, ClaySide, CompanyMove};
use glost_desk::looked::{ProposalSaid, Short};

use crate::number;

pub(super) fn said(said: &ProposalSaid) -> String {
    match said {
        ProposalSaid::Clay(out) => clay(out),
        ProposalSaid::Suspending {
            before_parts,
            after_parts,
        } => format!(
            "less keeps it afloat: as much as {before_parts:.0} parts of kaolin before, {after_parts:.0} now \
             (bentonite counts five times); 1 to 2 % bentonite, wetted first, mends that"
        ),
        ProposalSaid::Company(moved) => company(moved),
        ProposalSaid::Short(short) => stock(short),
    }
}

fn clay(out: &ClayOut) -> String {
    let (parts, bound) = (format!("{:.1}", out.parts), format!("{:.1}", out.bound_parts));
    match out.side {
        ClaySide::Below => format!(
            "raw clay {parts} %, below {bound} %: nothing keeps it afloat; with what may come in no recipe of this \
             chemistry does"
        ),
        ClaySide::Above => format!(
            "raw clay {parts} %, above {bound} %: it shrinks as it dries and may crawl; calcine part of it, a third \
             and more"
        ),
        ClaySide::Bentonite => {
            format!("bentonite {parts} %, above {bound} %: it gels the bucket and cracks as it dries")
        }
    }
}

fn company(moved: &CompanyMove) -> String {
    let CompanyMove {
        colour,
        base,
        before_moles,
        after_moles,
    } = moved;
    let how = match colour {
        Oxide::Cr2O3 => "chrome goes brown beside zinc, green without",
        Oxide::CuO => "copper is turquoise by much alkali, green with less",
        _ => "cobalt goes violet by much magnesia, a purer blue with less",
    };
    format!(
        "{} {} -> {}, and the colour hangs on it: {how}",
        base.formula(),
        number::unity(*before_moles),
        number::unity(*after_moles)
    )
}

fn stock(short: &Short) -> String {
    format!(
        "{} of {} in stock, {} wanted for {} of base, and it can't be bought again",
        weight(short.stock_grams),
        short.material,
        weight(short.needed_grams),
        weight(short.batch_grams)
    )
}

fn weight(grams: f64) -> String {
    if grams >= 1000.0 {
        format!("{} kg", number::plain((grams / 100.0).round() / 10.0))
    } else {
        format!("{grams:.0} g")
    }
}
