//! `glost kiln`: what the call leaves open is asked for at the terminal.

use glost_chemistry::diagnostic::of_typed;
use glost_chemistry::glaze::ATMOSPHERES;
use glost_chemistry::quantity::{Celsius, Cone, NumberTrouble};
use glost_core::evidence::firings::FiringKind;
use glost_desk::kiln::{List, Load, Open, parse_put, parse_soak};
use glost_desk::{Words, bad_option};
use glost_page::layout::Style;

use crate::args::{Common, KilnCommand, KilnOptions};
use crate::asking::Asking;
use crate::door;
use crate::outcome::{Failure, Outcome};

/// A question for one option, and whether an answer can be read.
struct Asked {
    option: &'static str,
    question: &'static str,
    check: fn(&str) -> Result<(), NumberTrouble>,
}

/// What a load is asked for before its list.
const OF_LOAD: [Asked; 4] = [
    Asked {
        option: "firing",
        question: "Which firing? (its name, such as spring glost; nothing: it has none)",
        check: |_| Ok(()),
    },
    Asked {
        option: "cone",
        question: "To which cone? (6, or 04; nothing: the one its glazes name)",
        check: |text| Cone::parse(text).map(|_| ()),
    },
    Asked {
        option: "kind",
        question: "What is it for? (biscuit, glost or once; nothing: glost)",
        check: |text| one_of(text, FiringKind::from_word(text).is_some(), "biscuit, glost or once"),
    },
    Asked {
        option: "atmosphere",
        question: "In which atmosphere? (oxidation, reduction or neutral; nothing: as its glazes' files say)",
        check: |text| one_of(text, ATMOSPHERES.contains(&text), "oxidation, reduction or neutral"),
    },
];

/// A word that has to be one of a few.
fn one_of(text: &str, is_one: bool, choices: &str) -> Result<(), NumberTrouble> {
    match is_one {
        true => Ok(()),
        false => Err(NumberTrouble {
            message: of_typed(text, "is no choice here"),
            help: Some(format!("write {}", choices)),
        }),
    }
}

/// What an opening is asked for.
const OF_OPENING: [Asked; 3] = [
    Asked {
        option: "bent",
        question: "Which cone bent? (6, or 04; nothing: nobody looked)",
        check: |text| Cone::parse(text).map(|_| ()),
    },
    Asked {
        option: "peak",
        question: "How hot was it? (1222 C; nothing: not known)",
        check: |text| Celsius::parse(text).map(|_| ()),
    },
    Asked {
        option: "soak",
        question: "How long was it held there? (15 min; nothing: not known)",
        check: |text| parse_soak(text).map(|_| ()),
    },
];

/// A firing's name may hold an equals sign.
const FIRST: &str = OF_LOAD[0].option;

const PUT: Asked = Asked {
    option: "put",
    question: "What stands in it? (BATCH or GLAZE or PLAN/TILE = PIECES on CLAY at SHELF; nothing: that is all)",
    check: |text| parse_put(text).map(|_| ()),
};

pub(super) fn run(options: &KilnOptions, words: &Words, common: &Common, style: Style) -> Outcome {
    match &options.command {
        None => door::answer::<List>(words, common, style),
        Some(KilnCommand::Load(load)) => {
            let mut words = words.clone();
            if load.put.is_empty() && !load.said.iter().any(|said| said.contains('=')) {
                ask_for(&OF_LOAD, &mut words, true)?;
            }
            door::answer::<Load>(&words, common, style)
        }
        Some(KilnCommand::Opened(opened)) => {
            let mut words = words.clone();
            let said = [
                &opened.bent,
                &opened.peak,
                &opened.soak,
                &opened.cooled,
                &opened.on,
                &opened.text,
            ];
            if said.iter().all(|option| option.is_none()) && !opened.apart {
                ask_for(&OF_OPENING, &mut words, false)?;
            }
            door::answer::<Open>(&words, common, style)
        }
    }
}

/// Asks at a terminal, or takes lines from a pipe that somebody writes to; else nobody is
/// asked.
fn ask_for(questions: &[Asked], words: &mut Words, with_list: bool) -> Result<(), Failure> {
    let asking = Asking::who(true);
    for asked in questions {
        if words.text(asked.option).is_none()
            && !(asked.option == "firing" && words.text("said").is_some())
            && let Some(line) = answer(asked, asking, with_list)?
        {
            // Whoever goes on to the list has no more to say before it.
            if with_list && asked.option != FIRST && parse_put(&line).is_ok() {
                words.push(PUT.option, line);
                break;
            }
            words.push(asked.option, line);
        }
    }
    if with_list {
        while let Some(line) = answer(&PUT, asking, false)? {
            words.push(PUT.option, line);
        }
    }
    Ok(())
}

/// One answer; `None` where nothing is said. At a terminal a wrong one is asked for again, a
/// wrong line ends the call.
fn answer(asked: &Asked, asking: Asking, or_put: bool) -> Result<Option<String>, Failure> {
    loop {
        let Some(line) = asking.line(asked.question).filter(|line| !line.is_empty()) else {
            return Ok(None);
        };
        match (asked.check)(&line) {
            Ok(()) => return Ok(Some(line)),
            Err(_) if or_put && parse_put(&line).is_ok() => return Ok(Some(line)),
            Err(bad) if asking == Asking::Lines => return Err(bad_option(asked.option, bad).into()),
            Err(bad) => {
                crate::complain(&format!("  {bad}\n"));
            }
        }
    }
}
