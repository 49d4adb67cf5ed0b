//! Why tiles can't answer, and which would.

use glost_chemistry::diagnostic::Diagnostic;
use glost_core::tiles::mixture::{MixtureModel, NoFit, NoLesson, TileTable};

/// Why the tiles can't answer, and which would.
pub(super) fn no_lesson(table: &TileTable, why: &NoLesson) -> Diagnostic {
    let value = &table.value;
    match why {
        NoLesson::NoTiles => Diagnostic::error("no-tiles", format!("no tile has a value for {value}"))
            .help("note what you see, tile by tile"),
        NoLesson::NoFit(model, NoFit::TooFew { blends, terms }) => {
            let blends = match blends {
                1 => "one blend".to_owned(),
                more => format!("{more} blends"),
            };
            Diagnostic::error(
                "too-few-tiles",
                format!(
                    "tiles of {blends} can't tell: the {} model of {} ends has {terms} terms",
                    model.name(),
                    table.ends.len()
                ),
            )
            .help(if *model == MixtureModel::Linear {
                "make a tile of each end alone, then of each two half and half"
            } else {
                "make more different blends (each end, each two half and half, all in equal parts), or ask for a simpler --model"
            })
        }
        NoLesson::NoFit(model, NoFit::CannotTell(tangles)) => {
            let name = |term: &glost_core::tiles::mixture::Term| term.name(&table.ends);
            let sentences: Vec<String> = tangles
                .iter()
                .take(3)
                .map(|tangle| match tangle.with.as_slice() {
                    [] => format!("no tile holds {}", name(&tangle.term).replace('*', " and ")),
                    with => {
                        let with: Vec<String> = with.iter().map(name).collect();
                        format!("{} can't be told from {}", name(&tangle.term), with.join(", "))
                    }
                })
                .collect();
            Diagnostic::error(
                "cannot-tell",
                format!("these tiles can't tell for a {} model: {}", model.name(), sentences.join("; ")),
            )
            .help("make tiles that vary those apart (each two half and half, all in equal parts), or ask for a simpler --model")
        }
        NoLesson::AllAlike(grade) => Diagnostic::error(
            "all-alike",
            format!("every tile has the same {value}, {grade}: there is nothing to tell blends apart by"),
        )
        .help("grade finer (half grades count), or try ends that lie further apart"),
        NoLesson::AllSaid(yes) => {
            let said = if *yes { "yes" } else { "no" };
            Diagnostic::error(
                "all-alike",
                format!("every tile says {said} for {value}: where it changes can't be told"),
            )
            .help("make tiles further out, until some say otherwise")
        }
        NoLesson::NoChance(wanted) => Diagnostic::error(
            "bad-option",
            format!("--goal: {wanted} is no chance: {value} is yes or no"),
        )
        .help("say max, least, or a share between 0 and 1, such as --goal 0.1"),
        NoLesson::NoSuchModel(model) if table.ends.len() < model.order() => Diagnostic::error(
            "bad-option",
            format!("--model: a {} model needs {} ends or more", model.name(), model.order()),
        )
        .help("with two ends, quadratic is the most that bends"),
        NoLesson::NoSuchModel(model) => Diagnostic::error(
            "bad-option",
            format!("--model: yes and no are not fitted by a {} model", model.name()),
        )
        .help("say linear, quadratic or auto"),
    }
}
