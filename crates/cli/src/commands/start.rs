use std::io::{self, BufRead, IsTerminal};
use std::path::Path;

use glost_core::diagnostic::{Diagnostic, Source};
use glost_core::glaze::{Glaze, read_glaze};
use glost_core::label::Label;
use glost_core::material::{Library, read_materials};
use glost_core::notebook::{Reading, read_page, write_reading};
use glost_core::quantity::{Grams, Millilitres, NumberTrouble};
use glost_core::start::{Answers, Glazing, StudioFile, parse_firing, parse_name, parse_water, studio_files};
use glost_core::studio::{StudioSettings, read_settings};
use glost_core::weigh::{BatchSize, NoTicket, TicketOrder, WaterAim, parse_scales, ticket};
use glost_page::label::LabelPage;
use glost_page::layout::Style;
use glost_page::start::StartPage;
use glost_page::weigh::WeighPage;
use glost_studio::{create, create_new, read_text, shipped_library};

use crate::args::StartOptions;
use crate::outcome::{Answer, Failure, Outcome};
use crate::trouble;

const CUP: Millilitres = Millilitres::METRIC_CUP;
/// Decimals of a written recipe.
const DECIMALS: i32 = 3;

pub(super) fn run(options: &StartOptions, style: Style) -> Outcome {
    let dry = super::weight("dry", &options.dry)?;
    let (answers, doubts) = answers(options)?;
    let files = studio_files(&answers);
    let (glaze, settings) = as_read_back(&files)?;
    let label = Label::of(&glaze, &settings);
    let order = TicketOrder {
        glaze: &glaze,
        fluxes: &settings.fluxes,
        scales: settings.scales,
        size: BatchSize::Dry(dry),
        water: WaterAim::PerKilo(answers.water),
        currency: settings.currency.as_deref(),
    };
    let made = ticket(&order).map_err(|why| no_ticket(&glaze.name, &why))?;
    let named: Vec<(&str, &str)> = files
        .iter()
        .map(|file| (file.path.as_str(), file.text.as_str()))
        .collect();
    if let Some(page) = &options.page
        && page.symlink_metadata().is_ok()
    {
        let message = format!("`{}` is already there", page.display());
        return Err(Diagnostic::error("already-there", message)
            .help("nothing was written; choose another name for the page")
            .into());
    }
    let created = create(&options.dir, &named)?;
    let dir = created.dir.display().to_string();
    let written: Vec<String> = created.files.iter().map(|file| file.display().to_string()).collect();
    let printed = options.page.as_ref().map(|page| page.display().to_string());
    let page = StartPage {
        dir: &dir,
        files: &written,
        ticket: WeighPage {
            glaze: &glaze,
            ticket: &made,
            step_grams: settings.scales.reads_to.grams(),
            up_to_grams: settings.scales.up_to.map(Grams::grams),
            cup_millilitres: settings.cup.millilitres(),
            batch: None,
            booked: None,
        },
        label: LabelPage {
            label: &label,
            cup: settings.cup,
            batch: None,
        },
        doubts: &doubts,
        page: printed.as_deref(),
    };
    if let Some(file) = &options.page {
        create_new(file, &page.html())?;
    }
    Ok(Answer::yes(page.text(style), page.json()))
}

/// A first batch that can't be weighed.
fn no_ticket(glaze: &str, why: &NoTicket) -> Diagnostic {
    let (message, help) = match why {
        NoTicket::LessThanAStep(_) => ("this batch is less than one step of the scales", "say more with --dry"),
        NoTicket::TooMuch(_) => ("that is more powder than a studio mixes", "is the unit of --dry right?"),
        NoTicket::TooManyWeighings(_) => ("it takes too many weighings on these scales", "say less with --dry"),
        NoTicket::Locked(metal, material) => {
            let message = format!("{glaze} holds {metal}, from {material}: no ticket is made of it");
            return Diagnostic::error("locked", message)
                .help("old recipes with it are shown for arithmetic only (`glost read`); choose one without");
        }
        NoTicket::Density(..) | NoTicket::Nothing => ("there is nothing in it to weigh", "give its lines weights"),
    };
    Diagnostic::error("no-ticket", format!("{glaze}: {message}")).help(help)
}

/// The files as the next command will read them: if they can't be, nothing is written.
fn as_read_back(files: &[StudioFile]) -> Result<(Glaze, StudioSettings), Failure> {
    let mut library: Library = shipped_library().0.clone();
    let mut settings = StudioSettings::default();
    let mut glaze = None;
    for file in files.iter().rev() {
        let source = Source::from_text(&file.path, &file.text);
        if file.path == "studio.yaml" {
            settings = read_settings(&source)?;
        } else if file.path.starts_with("materials/") {
            let (read, complaints) = read_materials(&source);
            if let Some(first) = complaints.into_iter().next() {
                return Err(first.into());
            }
            library.add_layer(read, false);
        } else if file.path.starts_with("glazes/") {
            glaze = Some(read_glaze(&source, settings.cup)?.resolve(&library)?);
        }
    }
    let glaze = glaze.ok_or_else(|| Diagnostic::error("no-glaze", "there is no glaze to begin with"))?;
    Ok((glaze, settings))
}

/// One of the five questions.
struct Question {
    option: &'static str,
    words: &'static str,
    example: &'static str,
}

const POWDER: Question = Question {
    option: "powder",
    words: "Which powder do you buy? (its name on the bag; or `recipe FILE` for a recipe in a text file)",
    example: "--powder \"bought clear\" (or --recipe FILE)",
};
const CLAY: Question = Question {
    option: "clay",
    words: "Which clay? (its name on the bag)",
    example: "--clay \"white earthenware\"",
};
const FIRING: Question = Question {
    option: "firing",
    words: "How hot is the glaze firing? (1060 C, or cone 6)",
    example: "--firing \"1060 C\"",
};
const WATER: Question = Question {
    option: "water",
    words: "How much water for a kilo of powder? (5 3/4 cups, or 0.7 l)",
    example: "--water \"5 3/4 cups\"",
};
const SCALES: Question = Question {
    option: "scales",
    words: "What do your scales read to, and up to what weight? (0.1 g up to 2 kg)",
    example: "--scales \"0.1 g\"",
};

/// The answers from the options; what is missing is asked for at a terminal.
fn answers(options: &StartOptions) -> Result<(Answers, Vec<String>), Failure> {
    let asking = io::stdin().is_terminal() && io::stderr().is_terminal();
    if !asking {
        all_given(options)?;
    }
    let (glazing, doubts) = match (&options.powder, &options.recipe) {
        (_, Some(file)) => recipe(file)?,
        (powder, None) => {
            let powder = answer(&POWDER, powder.as_deref(), parse_name)?;
            match powder.strip_prefix("recipe ") {
                Some(file) if asking && options.powder.is_none() => recipe(file.trim())?,
                _ => (Glazing::Powder(powder), Vec::new()),
            }
        }
    };
    let answers = Answers {
        glazing,
        clay: answer(&CLAY, options.clay.as_deref(), parse_name)?,
        firing: answer(&FIRING, options.firing.as_deref(), parse_firing)?,
        water: answer(&WATER, options.water.as_deref(), |text| parse_water(text, CUP))?,
        scales: answer(&SCALES, options.scales.as_deref(), parse_scales)?,
    };
    Ok((answers, doubts))
}

fn all_given(options: &StartOptions) -> Result<(), Diagnostic> {
    let given = [
        (options.powder.is_some() || options.recipe.is_some(), &POWDER),
        (options.clay.is_some(), &CLAY),
        (options.firing.is_some(), &FIRING),
        (options.water.is_some(), &WATER),
        (options.scales.is_some(), &SCALES),
    ];
    let missing: Vec<&str> = given
        .iter()
        .filter(|question| !question.0)
        .map(|question| question.1.example)
        .collect();
    if missing.is_empty() {
        return Ok(());
    }
    let count = missing.len();
    let answers = if count == 1 {
        "one answer is"
    } else {
        "some answers are"
    };
    Err(Diagnostic::error(
        "missing-answers",
        format!("{answers} missing, and there is no terminal to ask at"),
    )
    .help(format!("add {}", missing.join(" "))))
}

/// An answer from its option, else asked for until it can be read.
fn answer<T>(
    question: &Question,
    given: Option<&str>,
    read: impl Fn(&str) -> Result<T, NumberTrouble>,
) -> Result<T, Failure> {
    if let Some(text) = given {
        return Ok(read(text).map_err(|bad| trouble::option(question.option, bad))?);
    }
    loop {
        crate::complain(&format!("{} ", question.words));
        let mut line = String::new();
        if io::stdin().lock().read_line(&mut line).unwrap_or(0) == 0 {
            let error = Diagnostic::error(
                "missing-answers",
                "the questions were not answered; nothing was written",
            );
            return Err(error.help(format!("run it again, or add {}", question.example)).into());
        }
        match read(line.trim()) {
            Ok(answer) => return Ok(answer),
            Err(bad) => {
                let help = bad.help.map(|help| format!(" ({help})")).unwrap_or_default();
                crate::complain(&format!("  {}{help}\n", bad.message));
            }
        }
    }
}

/// A recipe of one's own from a notebook page.
fn recipe(file: &str) -> Result<(Glazing, Vec<String>), Failure> {
    let source = read_text(Path::new(file), file)?;
    let mut reading = read_page(&source, &shipped_library().0, CUP)?;
    let doubts = doubts(&reading);
    if let Some(glaze) = &mut reading.glaze {
        glaze.about.cone = None;
        glaze.about.peak = None;
    }
    let text = write_reading(&reading, DECIMALS)
        .map_err(|error| Diagnostic::error("cannot-write", format!("the recipe can't be written: {error}")))?;
    match (reading.glaze, text) {
        (Some(glaze), Some(text)) => Ok((Glazing::Recipe(Box::new(glaze), text), doubts)),
        _ => Err(
            Diagnostic::error("no-base", format!("no base could be read from `{file}`"))
                .help(format!("`glost read {file}` shows what was read from each line"))
                .into(),
        ),
    }
}

fn doubts(reading: &Reading) -> Vec<String> {
    let lines = reading.lines.iter().flat_map(|line| {
        line.doubts
            .iter()
            .map(|doubt| format!("line {}, {}: {doubt}", line.line, line.text))
    });
    lines.chain(reading.doubts.iter().cloned()).collect()
}
