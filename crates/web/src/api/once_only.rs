//! A request that is done once: its id is kept on the disk before anything is done, its
//! answer afterwards. Where it was cut off in between, the books tell whether it may be
//! done again.

use std::collections::BTreeMap;
use std::fs;
use std::io::{Read, Seek, SeekFrom};
use std::path::Path;

use axum::http::StatusCode;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::Ran;
use crate::door::Refusal;
use crate::keeping::{Keeping, hex};

/// The longest id.
const MOST_SIGNS: usize = 100;

/// A request by its id, and what it asks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct OnceOnly {
    id: String,
    asks: String,
}

/// What is kept of it.
#[derive(Debug, Serialize, Deserialize)]
struct Kept {
    asks: String,
    /// How long each book was when it began, in bytes.
    books: BTreeMap<String, u64>,
    done: Option<Done>,
}

#[derive(Debug, Serialize, Deserialize)]
struct Done {
    exit: u8,
    answer: String,
}

impl OnceOnly {
    /// # Errors
    /// The id is no text, or too long.
    pub(crate) fn of(id: &Value, call: &[String]) -> Result<OnceOnly, Refusal> {
        let id = id
            .as_str()
            .filter(|id| !id.is_empty() && id.chars().count() <= MOST_SIGNS)
            .ok_or_else(|| {
                let message = format!("`request` is an id: text of 1 to {MOST_SIGNS} signs");
                Refusal::new(StatusCode::BAD_REQUEST, "bad-value", message)
            })?;
        Ok(OnceOnly {
            id: id.to_owned(),
            asks: hex(call.join("\0").as_bytes()),
        })
    }

    /// Its answer, where it was done before.
    ///
    /// # Errors
    /// The id was another request's; or it was cut off, and a book has grown since.
    pub(crate) fn known(&self, keeping: &Keeping, studio: &Path) -> Result<Option<Ran>, Refusal> {
        let Some(bytes) = keeping.request(&self.id) else {
            return Ok(None);
        };
        let conflict = |code, message: String| Refusal::new(StatusCode::CONFLICT, code, message);
        let kept: Kept = serde_json::from_slice(&bytes).map_err(|why| {
            conflict(
                "unreadable-request",
                format!("what is kept of this request can't be read: {why}"),
            )
        })?;
        if kept.asks != self.asks {
            let refusal = conflict(
                "other-request",
                "this request's id was another's, which asked something else".to_owned(),
            );
            return Err(refusal.help("send a new id with each new request"));
        }
        if let Some(done) = kept.done {
            return Ok(Some(Ran {
                exit: done.exit,
                answer: done.answer.into_bytes(),
                is_repeat: true,
            }));
        }
        let grown: Vec<String> = books(studio)
            .into_iter()
            .filter(|(name, length)| kept.books.get(name) != Some(length))
            .map(|(name, _)| name)
            .collect();
        if grown.is_empty() {
            return Ok(None);
        }
        let message = format!(
            "this was begun before and cut off; lines were added to {} since: it may be among them",
            grown.join(", ")
        );
        Err(conflict("may-be-done", message).help("look whether it is there; if not, send it with a new id"))
    }

    /// Keeps that it begins; gives how long the books are now.
    pub(crate) fn begin(&self, keeping: &Keeping, studio: &Path) -> Result<Books, Refusal> {
        let books = books(studio);
        self.keep(
            keeping,
            &Kept {
                asks: self.asks.clone(),
                books: books.clone(),
                done: None,
            },
        )?;
        Ok(Books(books))
    }

    /// Forgets it: nothing was done.
    pub(crate) fn forget(&self, keeping: &Keeping) {
        keeping.forget_request(&self.id);
    }

    /// Keeps its answer.
    pub(crate) fn done(&self, keeping: &Keeping, ran: &Ran) -> Result<(), Refusal> {
        let done = Done {
            exit: ran.exit,
            answer: String::from_utf8_lossy(&ran.answer).into_owned(),
        };
        let kept = Kept {
            asks: self.asks.clone(),
            books: BTreeMap::new(),
            done: Some(done),
        };
        self.keep(keeping, &kept)
    }

    fn keep(&self, keeping: &Keeping, kept: &Kept) -> Result<(), Refusal> {
        let failed = |why| Refusal::of(StatusCode::SERVICE_UNAVAILABLE, why);
        let bytes = serde_json::to_vec(kept).map_err(|why| {
            Refusal::new(
                StatusCode::INTERNAL_SERVER_ERROR,
                "our-fault",
                format!("a request can't be kept: {why}"),
            )
        })?;
        keeping.keep_request(&self.id, &bytes).map_err(failed)
    }
}

/// How long each book was at some moment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Books(BTreeMap<String, u64>);

impl Books {
    /// Whether none has grown since.
    pub(crate) fn still_holds(&self, studio: &Path) -> bool {
        books(studio) == self.0
    }
}

/// What a version was, added beside what is booked: said again it is said once.
const VERSIONS: &str = "versions.jsonl";

/// More than a line of a book has, in bytes.
const MOST_OF_A_LINE: u64 = 1 << 20;

/// How many bytes of a book are whole lines: what is behind them was cut off while it was
/// written, and says nothing.
fn whole_lines(path: &Path) -> std::io::Result<u64> {
    let mut file = fs::File::open(path)?;
    let length = file.metadata()?.len();
    file.seek(SeekFrom::Start(length.saturating_sub(MOST_OF_A_LINE)))?;
    let mut end = Vec::new();
    file.read_to_end(&mut end)?;
    let behind = end.iter().rev().take_while(|byte| **byte != b'\n').count();
    Ok(length - behind as u64)
}

/// The studio's books with their lengths in bytes, as far as they are whole lines; none where there is no folder yet.
fn books(studio: &Path) -> BTreeMap<String, u64> {
    let Ok(entries) = fs::read_dir(studio) else {
        return BTreeMap::new();
    };
    entries
        .flatten()
        .filter_map(|entry| {
            let name = entry.file_name().into_string().ok()?;
            let is_book = name.ends_with(".jsonl") && name != VERSIONS;
            is_book
                .then(|| Some((name, whole_lines(&entry.path()).ok()?)))
                .flatten()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn once(id: &str, call: &[&str]) -> OnceOnly {
        let call: Vec<String> = call.iter().map(|word| (*word).to_owned()).collect();
        OnceOnly::of(&json!(id), &call).unwrap()
    }

    #[test]
    fn a_request_is_done_once_and_told_again() {
        let folder = tempfile::tempdir().unwrap();
        let keeping = Keeping::inside(folder.path());
        let weigh = once("a/../b", &["weigh", "--commit"]);
        assert_eq!(weigh.known(&keeping, folder.path()).unwrap(), None);
        weigh.begin(&keeping, folder.path()).unwrap();
        // Cut off before anything was written: it may be done again.
        assert_eq!(weigh.known(&keeping, folder.path()).unwrap(), None);
        let ran = Ran {
            exit: 1,
            answer: b"{}\n".to_vec(),
            is_repeat: false,
        };
        weigh.done(&keeping, &ran).unwrap();
        let again = weigh.known(&keeping, folder.path()).unwrap().unwrap();
        assert!(again.is_repeat && again.exit == 1 && again.answer == ran.answer);
        assert!(once("a/../b", &["note"]).known(&keeping, folder.path()).is_err());
    }

    #[test]
    fn one_that_may_have_been_booked_is_not_booked_again() {
        let folder = tempfile::tempdir().unwrap();
        let keeping = Keeping::inside(folder.path());
        let note = once("n1", &["note"]);
        note.begin(&keeping, folder.path()).unwrap();
        fs::write(folder.path().join("notes.jsonl"), "{}\n").unwrap();
        assert!(note.known(&keeping, folder.path()).is_err());
    }

    #[test]
    fn a_line_that_was_cut_off_is_no_line() {
        let folder = tempfile::tempdir().unwrap();
        let keeping = Keeping::inside(folder.path());
        let book = folder.path().join("notes.jsonl");
        fs::write(&book, "{}\n").unwrap();
        let note = once("n1", &["note"]);
        note.begin(&keeping, folder.path()).unwrap();
        fs::write(&book, "{}\n{\"on\": ").unwrap();
        assert_eq!(note.known(&keeping, folder.path()).unwrap(), None);
        fs::write(&book, "{}\n{}\n").unwrap();
        assert!(note.known(&keeping, folder.path()).is_err());
    }
}
