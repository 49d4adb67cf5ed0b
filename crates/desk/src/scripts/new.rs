//! A script to start from, written into the studio; never over anything.

use std::path::PathBuf;

use glost_chemistry::diagnostic::{Diagnostic, is_no, of_typed, suggestion};
use glost_script::{Kind, template};
use serde::Serialize;

use super::measured;
use crate::{Desk, Failure, Words};

/// The longest name that is taken, in bytes.
const LONGEST_NAME: usize = 60;

/// The folder of libraries.
const LIBRARY: &str = "lib";

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// What the script gives.
    pub kind: Kind,
    /// Its name, without kind and ending.
    pub name: String,
    /// Own glazes that limits are measured on; none: the usual beginning.
    pub from: Vec<String>,
}

/// What was written.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct Answer {
    /// The script's whole name.
    pub name: String,
    /// Its kind.
    pub kind: &'static str,
    /// Its file.
    pub file: String,
    /// The file's name as the studio shows it.
    #[serde(skip)]
    pub shown: String,
    /// Whether it is used from now on in place of a shipped one.
    #[serde(skip)]
    pub covers_shipped: bool,
}

impl crate::Answer for Answer {}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let kinds = Kind::words();
        let word = words.required("kind")?;
        if word == LIBRARY {
            return Err(Diagnostic::error("unknown-kind", "a library has no kind, and starts from no template").help(
                "write its functions into scripts/lib/NAME.rhai; a script takes it by `import \"lib/NAME\" as name;`",
            ));
        }
        let kind = Kind::from_word(word).ok_or_else(|| {
            Diagnostic::error("unknown-kind", is_no(word, "kind of script"))
                .help(format!("one of {}", kinds.join(", ")))
                .maybe_help(suggestion(word, kinds))
        })?;
        let from = words.list("from").iter().flat_map(|names| names.split(','));
        let from: Vec<String> = from.map(|name| name.trim().to_owned()).collect();
        if !from.is_empty() && kind != Kind::LIMITS {
            return Err(
                Diagnostic::error("bad-option", "--from goes with limits: ranges are measured on glazes")
                    .help("glost script new limits NAME --from \"GLAZE, GLAZE\""),
            );
        }
        Ok(Question {
            kind,
            from,
            name: plain_name(kind, words.required("name")?)?,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let book = super::book(desk)?;
        let Place { whole, path, shown } = self.place(desk);
        let text = if self.from.is_empty() {
            template(self.kind, &whole)
        } else {
            measured::script(desk, &self.from)?
        };
        if let Some(folder) = path.parent() {
            glost_studio::make_folder(folder)?;
        }
        glost_studio::create_new(&path, &text)?;
        let covered = book.store.find(&whole);
        Ok(Answer {
            covers_shipped: covered.is_ok_and(|known| known.name == whole && known.is_shipped()),
            name: whole,
            kind: self.kind.word(),
            file: path.display().to_string(),
            shown,
        })
    }
}

/// Where the script goes.
struct Place {
    whole: String,
    path: PathBuf,
    shown: String,
}

impl Question {
    fn place(&self, desk: &Desk) -> Place {
        match desk.workplace().studio_dir() {
            Some(dir) => {
                let whole = format!("{}/{}", self.kind.word(), self.name);
                Place {
                    path: dir.join("scripts").join(format!("{whole}.rhai")),
                    shown: format!("scripts/{whole}.rhai"),
                    whole,
                }
            }
            None => {
                let file = format!("{}.rhai", self.name);
                Place {
                    whole: file.clone(),
                    path: desk.workplace().path(&file),
                    shown: file,
                }
            }
        }
    }
}

/// The name without its kind and ending, if it can name a file.
fn plain_name(kind: Kind, name: &str) -> Result<String, Diagnostic> {
    let bare = name.strip_suffix(".rhai").unwrap_or(name);
    let bare = bare
        .strip_prefix(kind.word())
        .and_then(|rest| rest.strip_prefix('/'))
        .unwrap_or(bare);
    let fits = |sign: char| sign.is_alphanumeric() || matches!(sign, '-' | '_');
    let starts_well = bare.starts_with(char::is_alphanumeric);
    if bare.len() > LONGEST_NAME || !bare.chars().all(fits) || !starts_well {
        return Err(Diagnostic::error("bad-name", of_typed(name, "can't name a script"))
            .help("letters, digits and hyphens, such as spring-retest"));
    }
    Ok(bare.to_owned())
}
