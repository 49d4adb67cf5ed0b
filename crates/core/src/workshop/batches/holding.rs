//! Which buckets hold a material, a lot, a glaze.

use glost_chemistry::read::folded;

use super::booking::BookedLine;
use super::journal::Batch;

/// What is asked for; what isn't named fits everything.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Wanted {
    /// Names of one material: any of them fits.
    pub material: Option<Vec<String>>,
    /// A lot.
    pub lot: Option<String>,
    /// A glaze.
    pub glaze: Option<String>,
}

/// A batch that fits.
#[derive(Debug, Clone, PartialEq)]
pub struct Holding<'a> {
    /// The batch.
    pub batch: &'a Batch,
    /// The weighed lines that fit; empty where neither material nor lot is asked for.
    pub lines: Vec<&'a BookedLine>,
    /// Whether all that fits came in through mixes, whose lots are those on their
    /// parts' sheets that day: likely, not known.
    pub through_a_mix: bool,
}

/// The batches that fit, the newest last, those taken back too.
pub fn holdings<'a>(batches: &'a [Batch], wanted: &Wanted) -> Vec<Holding<'a>> {
    let same = |a: &str, b: &str| folded(a) == folded(b);
    let by_line = wanted.material.is_some() || wanted.lot.is_some();
    let fits = |material: &str, lot: Option<&str>| {
        let named = |names: &Vec<String>| names.iter().any(|name| same(name, material));
        wanted.material.as_ref().is_none_or(named)
            && wanted
                .lot
                .as_ref()
                .is_none_or(|wanted| lot.is_some_and(|lot| same(wanted, lot)))
    };
    let mut found = Vec::new();
    for batch in batches {
        let booking = &batch.booking;
        if wanted.glaze.as_ref().is_some_and(|glaze| !same(glaze, &booking.glaze)) {
            continue;
        }
        let plain = |line: &&BookedLine| fits(&line.material, line.lot.as_deref());
        let mixed = |line: &&BookedLine| {
            let mut parts = line.mixed_from.iter();
            parts.any(|part| fits(&part.material, part.lot.as_deref()))
        };
        let lines: Vec<&BookedLine> = match by_line {
            true => booking.lines.iter().filter(|line| plain(line) || mixed(line)).collect(),
            false => Vec::new(),
        };
        if by_line && lines.is_empty() {
            continue;
        }
        found.push(Holding {
            batch,
            through_a_mix: by_line && !lines.iter().any(plain),
            lines,
        });
    }
    // Those of one day stay in order of booking.
    found.sort_by_key(|holding| holding.batch.booking.on);
    found
}

/// The lots of a material that were ever booked, in order of booking.
pub fn lots_of<'a>(batches: &'a [Batch], names: &[String]) -> Vec<&'a str> {
    let mut lots = Vec::new();
    for line in batches.iter().flat_map(|batch| &batch.booking.lines) {
        let named = names.iter().any(|name| folded(name) == folded(&line.material));
        if let Some(lot) = line.lot.as_deref().filter(|lot| named && !lots.contains(lot)) {
            lots.push(lot);
        }
    }
    lots
}
