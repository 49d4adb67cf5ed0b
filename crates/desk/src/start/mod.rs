//! The first day: five answers become a studio, a first ticket and a label.

mod answer;
mod asked;

use std::path::{Path, PathBuf};

use glost_chemistry::diagnostic::{Diagnostic, Source, of_typed};
use glost_chemistry::glaze::{Glaze, read_glaze};
use glost_chemistry::material::{Library, read_materials};
use glost_chemistry::quantity::{Grams, Millilitres};
use glost_core::intake::notebook::{read_page, write_reading};
use glost_core::intake::start::{Answers, Glazing};
use glost_core::studio::{StudioSettings, read_settings};
use glost_core::workshop::label::{Label, LabelKind, Stamp};
use glost_core::workshop::ticket::{BatchSize, TicketOrder, ticket};
use glost_core::workshop::wetting::{NoTicket, WaterAim};
use glost_studio::{StudioFile, create, read_text, shipped_library, studio_files};

use crate::file_schemas::with_schemas;
use crate::label::short_text;
use crate::label::{OneLabel, Sheet, plain_sheet};
use crate::read::{doubts_of, in_the_file};
use crate::weigh::{Bench, answer_of};
use crate::{Desk, Failure, PageFile, PageFormat, Said, Words};

pub use answer::Answer;
pub use asked::{Asked, Item, missing, nothing_said};

const CUP: Millilitres = Millilitres::METRIC_CUP;
/// Decimals of a written recipe.
const DECIMALS: i32 = 3;
/// The folder to make, unless said.
pub const DIR: &str = "studio";
/// The page of ticket and label in it, unless another is said.
const PAGE: &str = "first_day.html";
/// The same as text.
const TEXT: &str = "first_day.txt";
/// Powder for the first batch, unless said.
pub const DRY: &str = "1 kg";

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The folder to make.
    pub dir: PathBuf,
    /// What was answered.
    pub asked: Asked,
    /// Powder for the first batch.
    pub dry: Grams,
    /// Ticket and label as pages to print.
    pub page: Option<PageFile>,
    /// Whether it is only tried, and nothing made.
    pub only_tried: bool,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            dry: words.or("dry", DRY).weight("dry")?,
            asked: Asked::from_words(words)?,
            dir: PathBuf::from(words.text("dir").unwrap_or(DIR)),
            page: words.page("page")?,
            only_tried: false,
        })
    }

    fn ask(&self, _: &Desk) -> Result<Answer, Failure> {
        self.made()
    }

    fn at_once(&self) -> Option<Result<Answer, Failure>> {
        Some(self.made())
    }

    fn rehearsal(&self) -> Option<Question> {
        Some(Question {
            only_tried: true,
            ..self.clone()
        })
    }
}

impl Question {
    fn made(&self) -> Result<Answer, Failure> {
        let (answers, doubts) = self.answers()?;
        let files = studio_files(&answers);
        let (glaze, settings) = as_read_back(&files)?;
        let order = TicketOrder {
            glaze: &glaze,
            fluxes: &settings.fluxes,
            scales: settings.scales,
            size: BatchSize::Dry(self.dry),
            water: WaterAim::PerKilo(answers.water),
            currency: settings.currency.as_deref(),
        };
        let made = ticket(&order).map_err(|why| no_ticket(&glaze.name, &why))?;
        let bench = Bench {
            studio_sieve: None,
            glaze: &glaze,
            step: settings.scales.reads_to,
            cup: settings.cup,
        };
        // Whatever may be wrong with the page is told before the first file is made.
        self.page.as_ref().map_or(Ok(()), free)?;
        let (dir, files) = if self.only_tried {
            (self.dir.clone(), Vec::new())
        } else {
            let files: Vec<(&str, &str)> = files
                .iter()
                .map(|file| (file.path.as_str(), file.text.as_str()))
                .collect();
            let files = with_schemas(&files);
            let files: Vec<(&str, &str)> = files
                .iter()
                .map(|(path, text)| (path.as_str(), text.as_str()))
                .collect();
            let created = create(&self.dir, &files)?;
            (created.dir, created.files)
        };
        let file = self.page.clone().unwrap_or_else(|| PageFile {
            path: dir.join(PAGE),
            format: PageFormat::Html,
        });
        let reading = dir.join(TEXT);
        let beside = [&reading, &file.path].into_iter().filter(|_| !self.only_tried);
        let stamp = Stamp::default();
        Ok(Answer {
            dir: dir.display().to_string(),
            files: files
                .iter()
                .chain(beside)
                .map(|file| file.display().to_string())
                .collect(),
            ticket: answer_of(bench, made),
            doubts,
            page: Some(file.path.display().to_string()),
            sheet: Sheet {
                grid: plain_sheet(LabelKind::Bucket),
                copies: 1,
                skip: 0,
                outlines: true,
                code_text: Some(short_text(&glaze, &stamp)),
            },
            label: OneLabel {
                laboratory: None,
                label: Label::of(&glaze, &settings.name),
                cup: settings.cup,
                kind: LabelKind::Bucket,
                stamp,
            },
            asked_for_page: self.page.is_some(),
            reading,
            file,
        })
    }

    /// The answers, and what is doubtful of a recipe that was read.
    fn answers(&self) -> Result<(Answers, Vec<Said>), Failure> {
        let (glazing, doubts) = match &self.asked.glazing {
            asked::Glazing::Powder(powder) => (Glazing::Powder(powder.clone()), Vec::new()),
            asked::Glazing::Recipe(file) => recipe(file)?,
        };
        let answers = Answers {
            glazing,
            clay: self.asked.clay.clone(),
            firing: self.asked.firing.clone(),
            water: self.asked.water,
            scales: self.asked.scales,
        };
        Ok((answers, doubts))
    }
}

/// A page can't be written over another file.
fn free(page: &PageFile) -> Result<(), Diagnostic> {
    if page.is_taken() {
        let message = of_typed(page.path.display(), "is already there");
        return Err(
            Diagnostic::error("already-there", message).help("nothing was written; choose another name for the page")
        );
    }
    Ok(())
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
    let mut library: Library = shipped_library().clone();
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

/// A recipe of one's own from a notebook page, with what is doubtful of it.
///
/// # Errors
/// The file can't be read, or no base in it.
pub fn recipe(file: &str) -> Result<(Glazing, Vec<Said>), Failure> {
    let source = read_text(Path::new(file), file)?;
    let mut reading = read_page(&source, shipped_library(), CUP)?;
    let doubts = doubts_of(&reading);
    if let Some(glaze) = &mut reading.glaze {
        glaze.about.cone = None;
        glaze.about.peak = None;
    }
    let text = write_reading(&reading, DECIMALS, &in_the_file)
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
