//! Everything that a script may use.

use std::path::PathBuf;

use glost_chemistry::diagnostic::{Diagnostic, did_you_mean, nearest, none_called};
use glost_script::{
    ABOUT_KEYS, AROUND, AboutKey, DEFINITIONS_HEAD, Form, GROUPS, Kind, LANGUAGE, OPTION_KEYS, SEALED, bounds_in_words,
};
use serde::Serialize;

use crate::{Desk, Failure, Words};

/// The file of definitions for editors.
const DEFINITIONS: &str = "glost.d.rhai";

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The folder to write definitions for editors into, where those are wanted.
    pub definitions: Option<PathBuf>,
    /// A name, an owner or a heading: what has it is shown and nothing else.
    pub word: Option<String>,
}

/// The reference, or where definitions were written.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
#[serde(untagged)]
pub enum Answer {
    /// The reference.
    Reference(Box<Reference>),
    /// What has the word that was asked for.
    Found(Box<Found>),
    /// Definitions for editors were written.
    Definitions {
        /// Their file.
        file: String,
    },
}

/// Everything, in the order of the shelf.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct Reference {
    /// The language in one page.
    pub language: Vec<PointCard>,
    /// The keys of `ABOUT`.
    pub about: Vec<KeyCard>,
    /// The keys of an option.
    pub option: Vec<KeyCard>,
    /// What a run may use up.
    pub bounds: Vec<String>,
    /// What isn't there, and is meant not to be.
    pub sealed: &'static str,
    /// What a studio and a glaze's file say of scripts, and packages of them.
    pub around: [&'static str; 5],
    /// The kinds of scripts.
    pub kinds: Vec<KindCard>,
    /// What may be used.
    pub entries: Vec<Entry>,
    /// The headings, in order.
    #[serde(skip)]
    pub groups: &'static [&'static str],
}

/// The part of the reference that has a word.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct Found {
    /// The word as typed.
    pub word: String,
    /// The kind of scripts of that word.
    pub kinds: Vec<KindCard>,
    /// Points about the language of that title.
    pub language: Vec<PointCard>,
    /// Keys of `ABOUT` and of an option.
    pub keys: Vec<KeyCard>,
    /// What may be used: of that name, of that owner, or under that heading.
    pub entries: Vec<Entry>,
}

/// A point about the language.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct PointCard {
    /// What it is about.
    pub title: &'static str,
    /// What holds.
    pub about: &'static str,
    /// Lines that show it.
    pub example: &'static str,
}

/// A key.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct KeyCard {
    /// The key.
    pub key: &'static str,
    /// Whether it has to be there.
    pub needed: bool,
    /// What it says.
    pub about: &'static str,
    /// What may stand under it.
    pub example: &'static str,
}

impl From<&AboutKey> for KeyCard {
    fn from(key: &AboutKey) -> KeyCard {
        KeyCard {
            key: key.name,
            needed: key.needed,
            about: key.about,
            example: key.example,
        }
    }
}

/// A kind of script.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct KindCard {
    /// Its word.
    pub kind: &'static str,
    /// The function that is called.
    pub entry: String,
    /// What it gives.
    pub about: &'static str,
    /// What its function gives back.
    pub gives: &'static str,
    /// The call that asks it.
    pub asked_by: &'static str,
}

/// One thing that a script may use.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct Entry {
    /// The heading it stands under.
    pub group: &'static str,
    /// What it is.
    pub form: FormCard,
    /// Its name.
    pub name: &'static str,
    /// How it is written.
    pub signature: String,
    /// What it gives, in a word.
    pub returns: &'static str,
    /// One line about it.
    pub about: &'static str,
    /// An example that works.
    pub example: String,
}

/// What sort of thing an entry is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum FormCard {
    /// `glaze.unity`
    Property,
    /// `glaze.caution(...)`
    Method,
    /// `round(x, 2)`
    Function,
    /// `a + b`
    Operator,
    /// `parts["silica"]`
    Index,
    /// A name that is there.
    Name,
}

impl From<Form> for FormCard {
    fn from(form: Form) -> FormCard {
        match form {
            Form::Property => FormCard::Property,
            Form::Method => FormCard::Method,
            Form::Function => FormCard::Function,
            Form::Operator => FormCard::Operator,
            Form::Index => FormCard::Index,
            Form::Global => FormCard::Name,
        }
    }
}

impl crate::Answer for Answer {}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            definitions: words.text("definitions").map(PathBuf::from),
            word: words.text("word").map(str::to_owned),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        // A script that can't be read is told before anything is shown or written.
        super::book(desk)?;
        match (&self.definitions, &self.word) {
            (Some(folder), _) => definitions(desk.workplace().path(&folder.to_string_lossy())),
            (None, Some(word)) => Ok(Answer::Found(Box::new(found(word)?))),
            (None, None) => Ok(Answer::Reference(Box::new(reference()))),
        }
    }
}

/// The part of the reference that has a word, capitals left aside.
fn found(word: &str) -> Result<Found, Diagnostic> {
    let wanted = word.trim().trim_end_matches("()");
    let is_it = |name: &str| name.eq_ignore_ascii_case(wanted);
    let whole = reference();
    // Entries know their owner, their cards don't.
    let owners = glost_script::reference().iter().map(|entry| entry.owner.word());
    let entries: Vec<(&str, Entry)> = owners.zip(whole.entries).collect();
    let keys: Vec<KeyCard> = whole.about.into_iter().chain(whole.option).collect();
    let mut names: Vec<String> = Vec::new();
    names.extend(
        entries
            .iter()
            .flat_map(|(owner, entry)| [*owner, entry.name, entry.group].map(str::to_owned)),
    );
    names.extend(keys.iter().map(|key| key.key.to_owned()));
    names.extend(whole.language.iter().map(|point| point.title.to_owned()));
    let found = Found {
        word: word.to_owned(),
        kinds: whole.kinds.into_iter().filter(|kind| is_it(kind.kind)).collect(),
        language: whole.language.into_iter().filter(|point| is_it(point.title)).collect(),
        keys: keys.into_iter().filter(|key| is_it(key.key)).collect(),
        entries: entries
            .into_iter()
            .filter(|(owner, entry)| is_it(owner) || is_it(entry.name) || is_it(entry.group))
            .map(|(_, entry)| entry)
            .collect(),
    };
    let nothing = found.kinds.is_empty() && found.language.is_empty() && found.keys.is_empty();
    if nothing && found.entries.is_empty() {
        let fault = Diagnostic::error("unknown-name", none_called("entry of the reference", word));
        let near = nearest(wanted, names.iter().map(String::as_str)).map(did_you_mean);
        let help = near.unwrap_or_else(|| "`glost script reference` shows all of it".to_owned());
        return Err(fault.help(help));
    }
    Ok(found)
}

fn reference() -> Reference {
    let entries = glost_script::reference().iter().map(|entry| Entry {
        group: entry.group(),
        form: entry.form.into(),
        name: entry.name,
        signature: entry.signature(),
        returns: entry.returns.word(),
        about: entry.about,
        example: entry.shown_example(),
    });
    let kinds = Kind::all().map(|kind| KindCard {
        kind: kind.word(),
        entry: kind.entry(),
        about: kind.about(),
        gives: kind.gives(),
        asked_by: kind.asked_by(),
    });
    let language = LANGUAGE.iter().map(|point| PointCard {
        title: point.title,
        about: point.about,
        example: point.example,
    });
    Reference {
        language: language.collect(),
        about: ABOUT_KEYS.iter().map(KeyCard::from).collect(),
        option: OPTION_KEYS.iter().map(KeyCard::from).collect(),
        bounds: bounds_in_words(),
        sealed: SEALED,
        around: AROUND,
        kinds: kinds.collect(),
        entries: entries.collect(),
        groups: &GROUPS,
    }
}

/// Writes the definitions; over an older one of ours, never over anything else.
fn definitions(folder: PathBuf) -> Result<Answer, Failure> {
    glost_studio::make_folder(&folder)?;
    let path = folder.join(DEFINITIONS);
    glost_studio::create_or_renew(&path, &glost_script::definitions(), DEFINITIONS_HEAD)?;
    Ok(Answer::Definitions {
        file: path.display().to_string(),
    })
}
