//! The words that assumptions, cautions and doubts get, in one place.
//!
//! The engine knows what is to be said and says it as data ([`Said`]); how it reads
//! is decided here and nowhere else.

pub(crate) mod adjust;
pub(crate) mod age;
mod bag;
pub(crate) mod by_hand;
pub(crate) mod card;
pub(crate) mod chemistry;
pub(crate) mod clay;
pub(crate) mod due;
pub(crate) mod fit;
pub(crate) mod fit_said;
pub(crate) mod notebook;
pub(crate) mod notes;
mod proposal;
mod read_me;
mod recipes;
pub(crate) mod results;

pub use bag::bag_entry;
pub use explained::explained;
pub use notebook::open_line;
pub use notes::amiss;

mod batches;
mod cost;
mod explained;
pub(crate) mod finding;
pub(crate) mod hazards;
pub(crate) mod kiln;
pub(crate) mod label;
pub(crate) mod laboratory;
pub(crate) mod signed;
mod slurry;
pub(crate) mod tables;
pub(crate) mod ticket;
pub(crate) mod wetting;

use glost_desk::{Said, speak_with};

/// Chooses these words for every answer of this process.
pub fn install() {
    speak_with(say);
}

/// Names joined; of very many the first, and how many more there are.
pub(crate) fn few_names(names: &[String]) -> String {
    const SHOWN: usize = 24;
    match names.get(..SHOWN) {
        Some(first) if names.len() > SHOWN + 1 => {
            format!("{} and {} more", first.join(", "), names.len() - SHOWN)
        }
        _ => names.join(", "),
    }
}

/// What is said, as a sentence.
pub fn say(said: &Said) -> String {
    match said {
        Said::AsOnSheet {
            material,
            provenance,
            lot,
        } => {
            let lot = lot.as_ref().map_or_else(String::new, |lot| format!(", lot {lot}"));
            format!("{material} as on its sheet ({provenance}{lot})")
        }
        Said::Note(noticed) => notes::noticed(noticed),
        Said::Seen(note) => notes::seen_words(note),
        Said::NotCounted(why) => fit::why_not_words(why),
        Said::Change(change) => notes::change_words(change),
        Said::ToDo(task) => due::to_do(task),
        Said::Command(task) => due::command(task),
        Said::SideEffect(effect) => adjust::side_effect(effect),
        Said::Ladder(said) => adjust::ladder(said),
        Said::Clay(words) => clay::clay_words(words),
        Said::Proposal(said) => proposal::said(said),
        Said::OfPage(doubt) => notebook::doubt(doubt),
        Said::OfPageLine { line, text, doubt } => format!("line {line}, {text}: {}", notebook::doubt(doubt)),
        Said::InGlazeFile(remark) => notebook::in_glaze_file(remark),
        Said::Melt(said) => crate::melt_words::said(said),
        Said::MeltRefused(refusal) => crate::melt_words::refusal(refusal),
        Said::Hazard(caution) => hazards::caution(caution),
        Said::Wetting(assumption) => wetting::assumption(assumption),
        Said::Bucket(caution) => slurry::caution(caution),
        Said::TakenAs { typed, material } => format!("{typed} is taken as {material}"),
        Said::Usual(usual) => cost::usual(*usual),
        Said::Ranked(ranked) => batches::ranked(*ranked),
        Said::Batch(why) => amiss(why),
        Said::Kiln(said) => kiln::said(said),
        Said::NoLonger(why) => laboratory::no_longer(why),
        Said::Label(saying) => label::saying(saying),
        Said::Happened(happened) => recipes::happened(happened),
        Said::NoNumbers(why) => recipes::no_numbers(why),
        Said::Unity(said) => recipes::unity(said),
        Said::NoFluxNoChange => recipes::NO_FLUX_NO_CHANGE.to_owned(),
        Said::Conversion(assumed) => recipes::conversion(assumed),
        Said::NotSummed(note) => recipes::not_summed(note),
        Said::BagReason(reason) => bag::reason(reason),
        Said::BagGuess(guess) => bag::guess(guess),
        Said::BagEntry(mended) => bag::bag_entry(mended),
        Said::Fit(said) => fit_said::fit_said(said),
        Said::Odd(odd) => fit_said::story_odd(odd),
        Said::Tiles(said) => results::tiles_said(said),
        Said::Taught(taught, word) => results::taught_word(taught, *word),
        Said::OpenInTable(open) => tables::open(open),
        Said::ReadMe(tables) => read_me::readme(tables),
        Said::Assumed(assumed) => chemistry::assumption(assumed),
        Said::Cone(assumed) => chemistry::of_cone(assumed),
        Said::Outside(outside) => chemistry::outside_model(outside),
        Said::Found(found) => finding::told(found).into_owned(),
        Said::Range { low, high } => finding::range(*low, *high),
        Said::Way(way) => finding::way(*way).to_owned(),
        Said::Ends(unlike) => finding::unlike_ends(unlike),
        Said::Text(text) => text.clone(),
    }
}

/// Several things that are said, as sentences.
pub fn say_all(said: &[Said]) -> Vec<String> {
    said.iter().map(say).collect()
}

#[cfg(test)]
mod tests {
    use super::few_names;

    #[test]
    fn thousands_of_names_are_few_and_a_number() {
        let names = |count: usize| (1..=count).map(|name| format!("clear {name}")).collect::<Vec<_>>();
        assert_eq!(few_names(&names(2)), "clear 1, clear 2");
        assert!(few_names(&names(25)).ends_with("clear 24, clear 25"));
        let many = few_names(&names(5000));
        assert!(many.ends_with("clear 23, clear 24 and 4976 more"), "{many}");
    }
}
