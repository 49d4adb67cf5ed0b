use glost_core::diagnostic::Diagnostic;
use glost_core::mixture::{Goal, MixtureModel, NoFit, NoLesson, Question, TileTable, learn, read_tiles};
use glost_core::quantity::parse_number;
use glost_page::layout::Style;
use glost_page::results::ResultsPage;
use glost_studio::read_text;

use crate::args::{ModelOption, ResultsOptions};
use crate::outcome::{Answer, Outcome};

/// Tiles advised at most: more are a plan of their own.
const MOST_NEXT: usize = 30;

pub(super) fn run(options: &ResultsOptions, style: Style) -> Outcome {
    let goal = goal(&options.goal)?;
    if options.next > MOST_NEXT {
        return Err(Diagnostic::error(
            "bad-option",
            format!(
                "--next: {} tiles at once are more than the {MOST_NEXT} advised",
                options.next
            ),
        )
        .help("for a whole plan: `glost blend`")
        .into());
    }
    let source = read_text(&options.data, &options.data.display().to_string())?;
    let names: Vec<String> = options.shares.iter().map(|name| name.trim().to_owned()).collect();
    let table = read_tiles(&source, &names, options.value.trim())?;
    let question = Question {
        ends: table.ends.len(),
        model: match options.model {
            ModelOption::Linear => Some(MixtureModel::Linear),
            ModelOption::Quadratic => Some(MixtureModel::Quadratic),
            ModelOption::SpecialCubic => Some(MixtureModel::SpecialCubic),
            ModelOption::Auto => None,
        },
        goal,
        next: options.next,
    };
    let lesson = learn(&table.outcomes, &question).map_err(|why| no_lesson(&table, &why))?;
    let page = ResultsPage {
        ends: &table.ends,
        value: &table.value,
        goal,
        outcomes: &table.outcomes,
        lesson: &lesson,
        assumptions: &table.assumptions,
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

fn goal(text: &str) -> Result<Goal, Diagnostic> {
    match text.trim().to_lowercase().as_str() {
        "max" => Ok(Goal::Most),
        "min" => Ok(Goal::Least),
        number => parse_number(number).map(|read| Goal::Value(read.value)).map_err(|_| {
            Diagnostic::error("bad-option", format!("--goal: `{text}` is no goal"))
                .help("say max, min, or the value wanted, such as --goal 3.5")
        }),
    }
}

/// Why the tiles can't answer, and which would.
fn no_lesson(table: &TileTable, why: &NoLesson) -> Diagnostic {
    let value = &table.value;
    match why {
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
            let name = |term: &glost_core::mixture::Term| term.name(&table.ends);
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
