//! A finding that was accepted, written into the glaze's own file.

use glost_chemistry::diagnostic::{Diagnostic, Source, of_typed};
use glost_chemistry::glaze::{ACCEPTED_KEYS, Accepted, read_glaze};
use glost_chemistry::read::{ItemValue, NewItem, NewValue, Step, edited, folded, with_item};

use crate::bench::Origin;
use crate::workplace::{FoundGlaze, Workplace};

/// The key of the list in a glaze's file.
const LIST: &str = "accepted";

/// Where an accepted finding stands now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AcceptedIn {
    /// The file, below the studio's folder.
    pub file: String,
    /// Its line, from 1.
    pub line: usize,
    /// All that the file accepts now.
    pub entries: Vec<Accepted>,
    /// Whether the file was written: not where all stood there already.
    pub written: bool,
}

impl Workplace {
    /// Writes an accepted finding into a glaze's file: anew, or over what the file says of
    /// the same finding.
    ///
    /// # Errors
    /// A glaze without a file of its own in this studio; a list that can't be changed in
    /// place; a file that was changed meanwhile or can't be written. Nothing has changed then.
    pub fn accept_finding(&self, found: &FoundGlaze, entry: &Accepted) -> Result<AcceptedIn, Diagnostic> {
        let source = &found.file.source;
        let path = self.path(&source.name);
        // The text of a tile is no glaze's file.
        let before = read_glaze(source, self.settings().cup).ok();
        let own = before.filter(|file| file.name.text == found.glaze.name && found.tile.is_none());
        // A package's files are held to its lock.
        let locked = self.package_of(&path).is_some();
        let (Some(before), Origin::Studio(_), false) = (own, &found.origin, locked) else {
            let message = of_typed(
                &found.glaze.name,
                "has no file of its own in this studio to write it in",
            );
            return Err(Diagnostic::error("no-own-file", message)
                .help("keep it as a glaze of its own first: `glost keep`; a studio is made by `glost start`"));
        };
        let (until, finding) = (entry.until.map(|day| day.to_string()), entry.finding());
        let texts = [
            Some(finding.as_str()),
            Some(entry.because.as_str()),
            until.as_deref(),
            entry.of.as_deref(),
        ];
        let pairs: Vec<(&str, &str)> = ACCEPTED_KEYS
            .into_iter()
            .zip(texts)
            .filter_map(|(key, text)| Some((key, text?)))
            .collect();
        let known = before
            .about
            .accepted
            .iter()
            .position(|known| folded(&known.finding()) == folded(&finding));
        let (text, line) = match known {
            Some(index) => changed(source, index, &pairs)?,
            None => {
                let values: Vec<(&str, ItemValue<'_>)> =
                    pairs.iter().map(|(key, text)| (*key, ItemValue::Text(text))).collect();
                let new = NewItem {
                    path: &[],
                    list: LIST,
                    pairs: &values,
                };
                let edited = with_item(source, &new)?;
                (edited.text, edited.line)
            }
        };
        let renewed = Source {
            name: source.name.clone(),
            text: text.into(),
        };
        let entries = read_glaze(&renewed, self.settings().cup)?.about.accepted;
        let written = renewed.text != source.text;
        if written {
            self.put(&path, source, &renewed.text)?;
        }
        Ok(AcceptedIn {
            file: self.below_studio(&path),
            line,
            entries,
            written,
        })
    }
}

/// The values of an entry that is there, the finding's name as it is.
fn changed(source: &Source, index: usize, pairs: &[(&str, &str)]) -> Result<(String, usize), Diagnostic> {
    let mut source = source.clone();
    let mut line = 0;
    for (key, text) in pairs.iter().filter(|(key, _)| *key != ACCEPTED_KEYS[0]) {
        let new = NewValue {
            path: &[Step::Item(LIST.to_owned(), index)],
            key,
            text,
            order: &ACCEPTED_KEYS,
            bare: false,
        };
        let edited = edited(&source, &new)?;
        line = edited.line;
        source.text = edited.text.into();
    }
    Ok((source.text.to_string(), line))
}
