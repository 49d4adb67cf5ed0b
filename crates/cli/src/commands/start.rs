use std::io::{self, BufRead, IsTerminal};
use std::path::Path;
use std::sync::mpsc;
use std::time::Duration;

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::glaze::{Glaze, read_glaze};
use glost_chemistry::material::{Library, read_materials};
use glost_chemistry::quantity::{Grams, Millilitres, NumberTrouble};
use glost_core::intake::notebook::{Reading, read_page, write_reading};
use glost_core::intake::start::{Answers, Glazing, StudioFile, parse_firing, parse_name, parse_water, studio_files};
use glost_core::studio::{StudioSettings, read_settings};
use glost_core::workshop::label::{Label, LabelKind, Stamp, short_text};
use glost_core::workshop::scales::parse_scales;
use glost_core::workshop::ticket::{BatchSize, TicketOrder, ticket};
use glost_core::workshop::wetting::{NoTicket, WaterAim};
use glost_page::label::LabelPage;
use glost_page::layout::Style;
use glost_page::sheet::{PageFormat, Pages};
use glost_page::start::{StartPage, first_pages};
use glost_page::weigh::WeighPage;
use glost_studio::{create, create_new, read_text, shipped_library};

use crate::args::StartOptions;
use crate::outcome::{Answer, Failure, Outcome};
use glost_desk::trouble;

const CUP: Millilitres = Millilitres::METRIC_CUP;
/// How long to wait for a first answer on a pipe.
const PATIENCE: Duration = Duration::from_secs(2);
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
    let stamp = Stamp::default();
    let ticket = WeighPage {
        glaze: &glaze,
        ticket: &made,
        step_grams: settings.scales.reads_to.grams(),
        up_to_grams: settings.scales.up_to.map(Grams::grams),
        cup_millilitres: settings.cup.millilitres(),
        batch: None,
        booked: None,
    };
    let label = LabelPage {
        label: &label,
        cup: settings.cup,
        kind: LabelKind::Bucket,
        stamp: &stamp,
    };
    // Whatever may be wrong with the page is told before the first file is made.
    let page_text = options
        .page
        .as_deref()
        .map(|file| page_text(file, &first_pages(ticket, label, &short_text(&glaze, &stamp))?))
        .transpose()?;
    let created = create(&options.dir, &named)?;
    let dir = created.dir.display().to_string();
    let written: Vec<String> = created.files.iter().map(|file| file.display().to_string()).collect();
    let printed = options.page.as_ref().map(|page| page.display().to_string());
    if let (Some(file), Some(text)) = (&options.page, page_text) {
        create_new(file, &text)?;
    }
    let page = StartPage {
        dir: &dir,
        files: &written,
        ticket,
        label,
        doubts: &doubts,
        page: printed.as_deref(),
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

/// The page's file, where one of this name may be made.
fn page_text(file: &Path, pages: &Pages) -> Result<String, Diagnostic> {
    if file.symlink_metadata().is_ok() {
        let message = format!("`{}` is already there", file.display());
        return Err(
            Diagnostic::error("already-there", message).help("nothing was written; choose another name for the page")
        );
    }
    pages.file(PageFormat::of(file)?)
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
    let asking = Asking::of(options);
    if asking == Asking::Nobody {
        all_given(options)?;
    }
    let (glazing, doubts) = match (&options.powder, &options.recipe) {
        (_, Some(file)) => recipe(file)?,
        (powder, None) => {
            let powder = answer(&POWDER, asking, powder.as_deref(), parse_name)?;
            match powder.strip_prefix("recipe ") {
                Some(file) if options.powder.is_none() => recipe(file.trim())?,
                _ => (Glazing::Powder(powder), Vec::new()),
            }
        }
    };
    let answers = Answers {
        glazing,
        clay: answer(&CLAY, asking, options.clay.as_deref(), parse_name)?,
        firing: answer(&FIRING, asking, options.firing.as_deref(), parse_firing)?,
        water: answer(&WATER, asking, options.water.as_deref(), |text| parse_water(text, CUP))?,
        scales: answer(&SCALES, asking, options.scales.as_deref(), parse_scales)?,
    };
    Ok((answers, doubts))
}

/// Who answers what the call leaves open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Asking {
    /// Someone at a terminal: a wrong answer is asked for again.
    Terminal,
    /// Lines that come in on stdin, an answer each: a wrong one ends the call.
    Lines,
    /// No one.
    Nobody,
}

impl Asking {
    fn of(options: &StartOptions) -> Asking {
        if io::stdin().is_terminal() && io::stderr().is_terminal() {
            return Asking::Terminal;
        }
        if all_given(options).is_err() && !io::stdin().is_terminal() && lines_come() {
            return Asking::Lines;
        }
        Asking::Nobody
    }
}

/// Whether anything comes in on stdin. A pipe that nobody writes to is not
/// waited for; the thread that listens to it ends with the process.
fn lines_come() -> bool {
    let (tell, hear) = mpsc::channel();
    std::thread::spawn(move || {
        let comes = io::stdin().lock().fill_buf().is_ok_and(|bytes| !bytes.is_empty());
        // Nobody hears it where it came too late.
        let _ = tell.send(comes);
    });
    hear.recv_timeout(PATIENCE).unwrap_or(false)
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
    asking: Asking,
    given: Option<&str>,
    read: impl Fn(&str) -> Result<T, NumberTrouble>,
) -> Result<T, Failure> {
    if let Some(text) = given {
        return Ok(read(text).map_err(|bad| trouble::option(question.option, bad))?);
    }
    loop {
        if asking == Asking::Terminal {
            crate::complain(&format!("{} ", question.words));
        }
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
            Err(bad) if asking == Asking::Lines => return Err(trouble::option(question.option, bad).into()),
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
    let text = write_reading(&reading, DECIMALS, &in_words)
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
            .map(|doubt| format!("line {}, {}: {}", line.line, line.text, in_words(doubt)))
    });
    lines.chain(reading.doubts.iter().map(in_words)).collect()
}

fn in_words(doubt: &glost_core::intake::notebook::Doubt) -> String {
    glost_page::words::say(&glost_desk::Said::OfPage(doubt.clone()))
}
