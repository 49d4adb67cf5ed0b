//! A value of a glaze, a material, a clay or the studio, changed where it stands.

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_core::studio::read_settings;
use glost_studio::{Change, Editable, OfWhat, Setting};
use serde::{Serialize, Serializer};

use crate::rulebook::Rulebook;
use crate::settled::settle;
use crate::{Desk, Failure, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// The name of what is changed; `studio` for the studio itself.
    pub name: String,
    /// What it is, where several have the name.
    pub of: Option<OfWhat>,
    /// The values.
    pub settings: Vec<Setting>,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        name_in_one_piece(words)?;
        let settings = words.list("setting").iter().map(|typed| Setting::parse(typed));
        Ok(Question {
            name: words.required("name")?.to_owned(),
            of: of_what(words)?,
            settings: settings.collect::<Result<_, _>>()?,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let workplace = desk.workplace();
        let found = workplace.editables(&self.name)?;
        let what = meant(found, self.of, &self.settings, &self.name)?;
        if what.of == OfWhat::Studio {
            scripts_can_be_so(desk, &self.settings)?;
        }
        let changed = workplace.set_values(&what, &self.settings)?;
        Ok(Answer {
            file: workplace.below_studio(&what.path),
            of: what.of,
            name: what.name,
            changes: changed.changes,
            written: changed.written,
        })
    }
}

/// Whether what is set of scripts names some, and says what can be said of them: else it
/// would stop everything that asks a script.
fn scripts_can_be_so(desk: &Desk, settings: &[Setting]) -> Result<(), Vec<Diagnostic>> {
    for setting in settings
        .iter()
        .filter(|setting| setting.map.as_deref() == Some("scripts"))
    {
        // Text in JSON is text in YAML.
        let [name, said] = [&setting.key, &setting.text].map(|text| serde_json::Value::from(text.as_str()).to_string());
        let file = Source::from_text("studio.yaml", &format!("studio: x\nscripts:\n  {name}: {said}\n"));
        let read = read_settings(&file).map_err(|why| vec![why]).and_then(|read| {
            let mut store = Rulebook::unsettled(desk.workplace());
            settle(&mut store, &read)
        });
        // The line is in no file.
        let placeless = |why: Diagnostic| Diagnostic { place: None, ..why };
        read.map_err(|wrong| wrong.into_iter().map(placeless).collect::<Vec<_>>())?;
    }
    Ok(())
}

/// A name of several words that came as several looks like a value without `=`.
fn name_in_one_piece(words: &Words) -> Result<(), Diagnostic> {
    let settings = words.list("setting");
    let of_name = settings.iter().take_while(|word| !word.contains('=')).count();
    if of_name == 0 || of_name == settings.len() {
        return Ok(());
    }
    let (more, rest) = settings.split_at(of_name);
    let name = [&[words.required("name")?.to_owned()], more].concat().join(" ");
    let rest: Vec<String> = rest.iter().map(|setting| format!("\"{setting}\"")).collect();
    Err(
        Diagnostic::error("bad-call", "a name of several words stands in quotes")
            .help(format!("glost set \"{name}\" {}", rest.join(" "))),
    )
}

/// The sort of thing that a call says it means.
pub(crate) fn of_what(words: &Words) -> Result<Option<OfWhat>, Diagnostic> {
    let Some(_) = words.text("of") else { return Ok(None) };
    let [first, rest @ ..] = OfWhat::NAMED.map(|of| (of.word(), of));
    words.choice("of", first, &rest).map(Some)
}

/// Which of several of one name is meant: the one that may have all these keys.
fn meant(found: Vec<Editable>, of: Option<OfWhat>, settings: &[Setting], name: &str) -> Result<Editable, Diagnostic> {
    let asked: Vec<Editable> = found
        .into_iter()
        .filter(|one| of.is_none_or(|of| one.of == of))
        .collect();
    let fits = |one: &&Editable| settings.iter().all(|setting| setting.fits(one.of));
    let fitting: Vec<&Editable> = asked.iter().filter(fits).collect();
    match (fitting.as_slice(), asked.as_slice()) {
        ([one], _) => Ok((*one).clone()),
        // Whatever is wrong with the key is told of the first.
        ([], [first, ..]) => Ok(first.clone()),
        ([], []) => Err(no_such(name, of)),
        (several, _) => {
            let words: Vec<&str> = several.iter().map(|one| one.of.word()).collect();
            Err(Diagnostic::error(
                "name-of-several",
                format!("`{name}` is the name of a {}", words.join(" and of a ")),
            )
            .help(format!("say which: --of {}", words.join(" or --of "))))
        }
    }
}

/// Nothing of that sort has the name.
pub(crate) fn no_such(name: &str, of: Option<OfWhat>) -> Diagnostic {
    let what = of.map_or("such thing", OfWhat::word);
    Diagnostic::error("unknown-name", format!("no {what} here is called `{name}`"))
        .help("leave --of out, or name it as its file does")
}

/// What was changed.
#[derive(Debug, Clone)]
pub struct Answer {
    /// What it is.
    pub of: OfWhat,
    /// Its name.
    pub name: String,
    /// Its file, below the studio's folder.
    pub file: String,
    /// The values.
    pub changes: Vec<Change>,
    /// Whether anything was written.
    pub written: bool,
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct ChangeJson<'a> {
    key: &'a str,
    before: Option<&'a str>,
    after: &'a str,
    line: usize,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    of: &'static str,
    name: &'a str,
    file: &'a str,
    changes: Vec<ChangeJson<'a>>,
    written: bool,
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let changes = self.changes.iter().map(|change| ChangeJson {
            key: &change.key,
            before: change.before.as_deref(),
            after: &change.after,
            line: change.line,
        });
        AnswerJson {
            of: self.of.word(),
            name: &self.name,
            file: &self.file,
            changes: changes.collect(),
            written: self.written,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);
