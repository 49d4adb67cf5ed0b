//! A new studio's folder.

use std::path::PathBuf;

use glost_chemistry::diagnostic::Diagnostic;
use serde::Serialize;

use crate::file_schemas::with_schemas;
use crate::{Desk, Failure, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// The folder to make.
    pub dir: PathBuf,
    /// With the example studio in it.
    pub example: bool,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            dir: PathBuf::from(words.required("dir")?),
            example: words.flag("example"),
        })
    }

    fn ask(&self, _: &Desk) -> Result<Answer, Failure> {
        self.make()
    }

    fn at_once(&self) -> Option<Result<Answer, Failure>> {
        Some(self.make())
    }
}

impl Question {
    /// Makes the folder, which needs no studio.
    ///
    /// # Errors
    /// A studio or a file in the way, or it can't be written.
    pub fn make(&self) -> Result<Answer, Failure> {
        let files = with_schemas(&glost_studio::first_files(self.example));
        let files: Vec<(&str, &str)> = files
            .iter()
            .map(|(path, text)| (path.as_str(), text.as_str()))
            .collect();
        let created = glost_studio::create(&self.dir, &files)?;
        Ok(Answer {
            dir: created.dir.display().to_string(),
            files: created.files.iter().map(|file| file.display().to_string()).collect(),
            example: self.example,
        })
    }
}

/// A studio that was made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Answer {
    /// Its folder, as named.
    pub dir: String,
    /// Its files.
    pub files: Vec<String>,
    /// Whether it is the example.
    #[serde(skip)]
    pub example: bool,
}

impl crate::Answer for Answer {}
