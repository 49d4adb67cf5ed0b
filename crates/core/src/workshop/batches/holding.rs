//! Which buckets hold a material, a lot, a glaze.

use glost_chemistry::read::same_name;

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
    let same = same_name;
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
        let named = names.iter().any(|name| same_name(name, &line.material));
        if let Some(lot) = line.lot.as_deref().filter(|lot| named && !lots.contains(lot)) {
            lots.push(lot);
        }
    }
    lots
}

#[cfg(test)]
mod tests {
    use super::super::booking::{BookedLine, MixedFrom};
    use super::super::journal::read_journal;
    use super::super::journal::tests::booking;
    use super::*;

    fn line(material: &str, lot: Option<&str>, from: &[(&str, &str)]) -> BookedLine {
        let from = from.iter().map(|(material, lot)| MixedFrom {
            material: (*material).to_owned(),
            lot: Some((*lot).to_owned()),
        });
        BookedLine {
            material: material.to_owned(),
            lot: lot.map(str::to_owned),
            grams: 10.0,
            addition: false,
            mixed_from: from.collect(),
        }
    }

    /// 1: kaolin K7; 2: a pre-mix that holds kaolin K7; 3: whiting alone, another glaze.
    fn batches() -> Vec<Batch> {
        let mut all = [booking("1"), booking("2"), booking("3")];
        all[0].lines = vec![
            line("Kaolin", Some("k7"), &[]),
            line("silica", None, &[]),
            line("kaolin", Some("L2"), &[]),
        ];
        all[1].lines = vec![line("white mix", None, &[("silica", "S1"), ("kaolin", "K7")])];
        all[1].on = all[1].on.plus_days(-1);
        all[2].lines = vec![line("whiting", Some("3"), &[])];
        all[2].glaze = "Moss matt".to_owned();
        let text: Vec<String> = all.into_iter().map(|one| one.named().line()).collect();
        read_journal("batches.jsonl", &text.join("\n")).batches
    }

    fn found(material: Option<&str>, lot: Option<&str>, glaze: Option<&str>) -> Vec<(String, usize, bool)> {
        let wanted = Wanted {
            material: material.map(|name| vec!["china clay".to_owned(), name.to_owned()]),
            lot: lot.map(str::to_owned),
            glaze: glaze.map(str::to_owned),
        };
        let batches = batches();
        let told = holdings(&batches, &wanted);
        told.iter()
            .map(|one| {
                (
                    one.batch.booking.number.text().to_owned(),
                    one.lines.len(),
                    one.through_a_mix,
                )
            })
            .collect()
    }

    fn told(rows: &[(&str, usize, bool)]) -> Vec<(String, usize, bool)> {
        rows.iter()
            .map(|(number, lines, mix)| ((*number).to_owned(), *lines, *mix))
            .collect()
    }

    #[test]
    fn buckets_are_found_by_material_lot_and_glaze() {
        // The newest last; through a mix it is only likely.
        assert_eq!(
            found(Some("kaolin"), None, None),
            told(&[("2", 1, true), ("1", 2, false)])
        );
        assert_eq!(
            found(Some("kaolin"), Some("K7"), None),
            told(&[("2", 1, true), ("1", 1, false)])
        );
        assert_eq!(found(None, Some("l2"), None), told(&[("1", 1, false)]));
        assert_eq!(found(Some("silica"), Some("K7"), None), told(&[]));
        assert_eq!(found(None, None, Some("moss Matt")), told(&[("3", 0, false)]));
        assert_eq!(found(Some("kaolin"), None, Some("Moss matt")), told(&[]));
        assert_eq!(found(None, None, None).len(), 3);
    }

    #[test]
    fn the_lots_ever_booked_are_each_told_once() {
        let batches = batches();
        assert_eq!(
            lots_of(&batches, &["kaolin".to_owned(), "whiting".to_owned()]),
            ["k7", "L2", "3"]
        );
        assert_eq!(lots_of(&batches, &["silica".to_owned()]), [""; 0]);
    }
}
