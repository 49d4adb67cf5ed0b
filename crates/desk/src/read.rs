//! A recipe as somebody wrote it on a page.

use std::path::PathBuf;

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::glaze::{Atmosphere, Glaze};
use glost_core::intake::notebook::{Doubt, FileRemark, Reading, ReadingLine, Remark, Role, read_page, write_reading};
use glost_studio::create_new;
use serde::{Serialize, Serializer};

use crate::habits::Habits;
use crate::said::words_of;
use crate::wire::Amounts;
use crate::{Desk, Failure, Said, Words};

/// Decimals of a written recipe.
const DECIMALS: i32 = 3;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The page.
    pub page: Page,
    /// Words of the page to read otherwise.
    pub instead: Vec<Instead>,
    /// The glaze file to write, which must be new.
    pub out: Option<PathBuf>,
    /// How the glaze is made, where the page doesn't say.
    pub habits: Habits,
}

/// Where the page is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Page {
    /// In a file.
    File(String),
    /// In hand, as its door took it in.
    Text(String),
}

/// `OLD=NEW`: words of the page to read otherwise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Instead {
    /// What the page says.
    pub old: String,
    /// What to read.
    pub new: String,
}

impl Instead {
    fn read(change: &str) -> Result<Instead, Diagnostic> {
        let (old, new) = change.split_once('=').ok_or_else(|| {
            Diagnostic::error("bad-option", format!("--instead: `{change}` has no `=`"))
                .help("write the words of the page, `=`, and what to read instead: \"iron 1 tablespoon=iron 12 g\"")
        })?;
        Ok(Instead {
            old: old.trim().to_owned(),
            new: new.trim().to_owned(),
        })
    }

    /// The page with the first such words changed.
    fn apply(&self, source: &Source) -> Result<Source, Diagnostic> {
        if self.old.is_empty() || !source.text.contains(&self.old) {
            return Err(Diagnostic::error(
                "bad-option",
                format!("--instead: the page doesn't say `{}`", self.old),
            ));
        }
        let changed = source.text.replacen(&self.old, &self.new, 1);
        Ok(Source::from_text(&source.name, &changed))
    }
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let page = match words.text("page") {
            Some(text) => Page::Text(text.to_owned()),
            None => Page::File(words.required("file")?.to_owned()),
        };
        let instead = words.list("instead").iter().map(|change| Instead::read(change));
        Ok(Question {
            page,
            instead: instead.collect::<Result<_, _>>()?,
            out: words.text("out").map(PathBuf::from),
            habits: Habits::from_words(words)?,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let workplace = desk.workplace();
        let mut source = match &self.page {
            Page::File(file) => workplace.text(file)?,
            Page::Text(text) => Source::from_text("stdin", text),
        };
        for change in &self.instead {
            source = change.apply(&source)?;
        }
        let mut reading = read_page(&source, workplace.library(), workplace.settings().cup)?;
        if let Some(glaze) = &mut reading.glaze {
            self.habits.onto(&mut glaze.about, desk)?;
        }
        let written = self.out.as_ref().map(|out| out.display().to_string());
        if let Some(out) = &self.out {
            create_new(&workplace.path(&out.to_string_lossy()), &glaze_file(&reading)?)?;
        }
        Ok(Answer {
            reading,
            written,
            page: source,
        })
    }
}

/// What is said in the file of a recipe, in the words of this process.
pub(crate) fn in_the_file(remark: FileRemark) -> String {
    words_of(&Said::InGlazeFile(remark))
}

fn glaze_file(reading: &Reading) -> Result<String, Diagnostic> {
    write_reading(reading, DECIMALS, &in_the_file)
        .map_err(|error| Diagnostic::error("cannot-write", format!("the glaze can't be written: {error}")))?
        .ok_or_else(|| {
            Diagnostic::error("no-base", "no base could be read, so there is no glaze to write")
                .help("leave --out away to see what was read from each line")
        })
}

/// What a glaze's file may say and a page seldom does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unsaid {
    /// How hot it is fired.
    Firing,
    /// On which clay.
    Clay,
    /// With how much water.
    Water,
}

impl Unsaid {
    /// The option that says it.
    pub const fn option(self) -> &'static str {
        match self {
            Unsaid::Firing => "firing",
            Unsaid::Clay => "clay",
            Unsaid::Water => "water",
        }
    }
}

/// What was read.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The reading.
    pub reading: Reading,
    /// The glaze file that was written, where one was.
    pub written: Option<String>,
    /// The page as it was read.
    pub page: Source,
}

impl crate::Answer for Answer {}

impl Answer {
    /// What a written glaze doesn't say of how it is made.
    pub fn unsaid(&self) -> Vec<Unsaid> {
        let Some(about) = self.reading.glaze.as_ref().map(|glaze| &glaze.about) else {
            return Vec::new();
        };
        let fired = about.cone.is_some() || about.peak.is_some() || about.firing.is_some();
        let watered = about.water.is_some() || about.density_grams_per_millilitre.is_some();
        let all = [
            (fired, Unsaid::Firing),
            (about.clay.is_some(), Unsaid::Clay),
            (watered, Unsaid::Water),
        ];
        all.into_iter()
            .filter(|(said, _)| !said)
            .map(|(_, unsaid)| unsaid)
            .collect()
    }

    /// The next line that can't be weighed or named yet and isn't among those
    /// `asked` about.
    pub fn next_open(&self, asked: &[String]) -> Option<&ReadingLine> {
        let mut open = self.reading.lines.iter().filter(|line| line.role == Role::Open);
        open.find(|line| !asked.contains(&line.text))
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    glaze: Option<GlazeJson<'a>>,
    base_grams: Option<f64>,
    lines: Vec<LineJson<'a>>,
    remarks: Vec<RemarkJson<'a>>,
    doubts: Vec<Said>,
    written: Option<&'a str>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct GlazeJson<'a> {
    name: &'a str,
    cone: Option<&'a str>,
    peak_celsius: Option<f64>,
    atmosphere: Option<&'static str>,
    parts: Amounts,
    additions: Amounts,
}

#[derive(Serialize, schemars::JsonSchema)]
struct LineJson<'a> {
    line: usize,
    text: &'a str,
    material: Option<&'a str>,
    grams: Option<f64>,
    percent: Option<f64>,
    role: &'static str,
    doubts: Vec<Said>,
    suggestions: &'a [String],
}

#[derive(Serialize, schemars::JsonSchema)]
struct RemarkJson<'a> {
    line: usize,
    text: &'a str,
    kind: &'static str,
}

impl<'a> From<&'a Glaze> for GlazeJson<'a> {
    fn from(glaze: &'a Glaze) -> GlazeJson<'a> {
        GlazeJson {
            name: &glaze.name,
            cone: glaze.about.cone.as_deref(),
            peak_celsius: glaze.about.peak.map(|peak| peak.celsius()),
            atmosphere: glaze.about.atmosphere.map(Atmosphere::word),
            parts: Amounts::portions(&glaze.base),
            additions: Amounts::portions(&glaze.additions),
        }
    }
}

impl<'a> From<&'a ReadingLine> for LineJson<'a> {
    fn from(line: &'a ReadingLine) -> LineJson<'a> {
        LineJson {
            line: line.line,
            text: &line.text,
            material: line.material.as_deref(),
            grams: line.grams,
            percent: line.percent,
            role: line.role.word(),
            doubts: said(&line.doubts),
            suggestions: &line.suggestions,
        }
    }
}

impl<'a> From<&'a Remark> for RemarkJson<'a> {
    fn from(remark: &'a Remark) -> RemarkJson<'a> {
        RemarkJson {
            line: remark.line,
            text: &remark.text,
            kind: remark.kind.word(),
        }
    }
}

fn said(doubts: &[Doubt]) -> Vec<Said> {
    doubts.iter().cloned().map(Said::OfPage).collect()
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let reading = &self.reading;
        AnswerJson {
            glaze: reading.glaze.as_ref().map(GlazeJson::from),
            base_grams: reading.base_grams,
            lines: reading.lines.iter().map(LineJson::from).collect(),
            remarks: reading.remarks.iter().map(RemarkJson::from).collect(),
            doubts: said(&reading.doubts),
            written: self.written.as_deref(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);

/// The doubts about a page's reading, line by line, then of the whole.
pub(crate) fn doubts_of(reading: &Reading) -> Vec<Said> {
    let lines = reading.lines.iter().flat_map(|line| {
        line.doubts.iter().map(|doubt| Said::OfPageLine {
            line: line.line,
            text: line.text.clone(),
            doubt: doubt.clone(),
        })
    });
    lines.chain(reading.doubts.iter().cloned().map(Said::OfPage)).collect()
}
