//! Words for what the window's evidence says.

use crate::words::age::age_words;
use glost_chemistry::glaze::Use;
use glost_chemistry::read::folded;
use glost_core::evidence::window::{Edge, FitAnswer, Step, WhyNot, Witness};

use crate::number;

/// So many pieces make a chance finer than 1 in 10 worth saying.
const MANY_PIECES: u64 = 30;

/// A chance, 0 to 1, no finer than 1 in 10 where the pieces are few.
pub(crate) fn odds(chance: f64, pieces: u64) -> String {
    let finest = if pieces < MANY_PIECES { 10.0 } else { 100.0 };
    if chance < 0.75 / finest {
        return format!("fewer than 1 in {finest:.0}");
    }
    if chance < 0.42 {
        let steps = [3.0, 4.0, 5.0, 7.0, 10.0, 15.0, 20.0, 30.0, 50.0, 100.0];
        let apart = |step: &f64| (step.ln() + chance.ln()).abs();
        let within = steps.into_iter().filter(|step| *step <= finest);
        let nearest = within.min_by(|one, other| apart(one).total_cmp(&apart(other)));
        return format!("about 1 in {:.0}", nearest.unwrap_or(finest));
    }
    if chance < 0.945 {
        format!("about {:.0} in 10", 10.0 * chance)
    } else {
        "nearly all".to_owned()
    }
}

/// `bought clear + 3 % silica`.
pub(crate) fn step_words(base: &str, step: Option<&Step>) -> String {
    match step {
        Some(step) => format!("{base} + {} % {}", number::plain(step.percent), step.material),
        None => base.to_owned(),
    }
}

/// Why a note isn't counted.
pub(crate) fn why_not_words(why: &WhyNot) -> String {
    match why {
        WhyNot::OtherFiring(kiln) => format!("another firing ({}) is another clay", kiln.words()),
        WhyNot::UntoldTile => "a step of no ladder that is saved here (is its plan's file gone?)".to_owned(),
        WhyNot::Tested(test) => format!("after {test}: evidence of its own, not of time on the shelf"),
        WhyNot::Cause(cause) => format!("its cause is told: {}", cause.word()),
        WhyNot::Over(over) => format!("{over} lies over it: the fit of two glazes is another matter"),
        WhyNot::NoPieces => "nobody said how many pieces were looked at".to_owned(),
        WhyNot::Thickness { own_mm, usual_mm } => format!("{own_mm} mm thick where {usual_mm} mm is usual"),
        WhyNot::UnrecordedVersion(version) => format!("what version {version} was is not recorded"),
        WhyNot::LaterLook => "a later look at the same pieces counts".to_owned(),
    }
}

/// What was seen of pieces of its older versions: `v1 2 of 12 crazed`.
fn of_older(answer: &FitAnswer) -> Option<String> {
    let same = |witness: &&Witness| folded(&witness.glaze) == folded(&answer.glaze) && witness.step.is_none();
    let older = answer.evidence.witnesses.iter().filter(same).filter_map(|witness| {
        let version = witness.version.as_ref()?;
        let (pieces, crazed) = witness.counted(Edge::Craze);
        (pieces > 0).then(|| format!("{version} {crazed} of {pieces} crazed"))
    });
    let older: Vec<String> = older.collect();
    (!older.is_empty()).then(|| older.join(", "))
}

/// What was seen of a glaze's own pieces: `no crazing seen (20 pieces, 4 batches, to 14 months)`.
pub(crate) fn seen_words(answer: &FitAnswer) -> String {
    let (pieces, crazed) = answer.counted(Edge::Craze);
    if pieces == 0 {
        return match of_older(answer) {
            Some(older) => {
                format!("no piece of today's recipe on this clay was looked at yet; of an older one {older}")
            }
            None => "no piece of it on this clay was looked at yet".to_owned(),
        };
    }
    let some = |count: u64, one: &str, many: &str| match count {
        1 => format!("1 {one}"),
        several => format!("{several} {many}"),
    };
    let some_pieces = |count: u64| some(count, "piece", "pieces");
    let age = match answer.oldest_days() {
        Some(days) if days < 0.5 => "straight from the kiln".to_owned(),
        Some(days) => format!("to {}", age_words(days)),
        None => "age not said".to_owned(),
    };
    let (batches, mixings) = (answer.batches(Edge::Craze), answer.mixings(Edge::Craze));
    let batches = match mixings < batches {
        true => format!("{} in {batches} firings", some(mixings as u64, "batch", "batches")),
        false => some(batches as u64, "batch", "batches"),
    };
    let ever = answer.ever_failed(Edge::Craze);
    match crazed {
        fewer if fewer < ever => format!(
            "{ever} crazed, though a later look says {fewer} of {} ({batches}, {age})",
            some_pieces(pieces)
        ),
        0 => format!("no crazing seen ({}, {batches}, {age})", some_pieces(pieces)),
        _ => format!("{crazed} of {} crazed ({batches}, {age})", some_pieces(pieces)),
    }
}

/// What a use is called after `for`.
pub(crate) fn use_words(usage: Use) -> &'static str {
    match usage {
        Use::Tableware => "tableware",
        Use::WallTile => "a wall",
        Use::Floor => "a floor",
        Use::Outdoor => "outdoors",
        Use::Decorative => "decorative ware",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_are_never_finer_than_the_pieces() {
        for (chance, pieces, words) in [
            (0.148, 5, "about 1 in 7"),
            (0.096, 5, "about 1 in 10"),
            (0.022, 20, "fewer than 1 in 10"),
            (0.022, 60, "about 1 in 50"),
            (0.001, 60, "fewer than 1 in 100"),
            (0.494, 20, "about 5 in 10"),
            (0.99, 5, "nearly all"),
            (0.3, 0, "about 1 in 3"),
        ] {
            assert_eq!(odds(chance, pieces), words, "{chance}");
        }
    }
}
