//! Pupils of a class: notes say `pupil 3`; whose initials that were is kept outside the
//! studio's folder, and can be wiped there.

use glost_chemistry::diagnostic::Diagnostic;
use serde::{Deserialize, Serialize};

use crate::keeping::Keeping;

/// The file that they are kept in.
const FILE: &str = "class.json";
/// The longest initials.
const MOST_SIGNS: usize = 12;
/// More than a studio teaches in a year.
const MOST: usize = 1000;

/// One pupil.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Pupil {
    /// As notes have it.
    pub(crate) number: u32,
    /// As the pupil wrote them.
    pub(crate) initials: String,
}

/// All whose initials are known, and the next number.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Pupils {
    given: u32,
    known: Vec<Pupil>,
}

impl Pupils {
    pub(crate) fn kept(keeping: &Keeping) -> Pupils {
        // A list that can't be read is wiped already.
        let kept = keeping.kept(FILE);
        let read = kept.and_then(|kept| serde_json::from_slice(&kept).ok());
        read.unwrap_or_default()
    }

    pub(crate) fn known(&self) -> &[Pupil] {
        &self.known
    }

    /// The number of whoever has these initials, a new one where nobody does.
    pub(crate) fn number_of(keeping: &Keeping, initials: &str) -> Result<u32, Diagnostic> {
        let initials: String = initials.trim().to_uppercase().chars().take(MOST_SIGNS).collect();
        let mut pupils = Pupils::kept(keeping);
        if let Some(known) = pupils.known.iter().find(|pupil| pupil.initials == initials) {
            return Ok(known.number);
        }
        pupils.given += 1;
        let number = pupils.given;
        pupils.known.push(Pupil { number, initials });
        let surplus = pupils.known.len().saturating_sub(MOST);
        pupils.known.drain(..surplus);
        pupils.keep(keeping).map(|()| number)
    }

    /// Forgets all initials; numbers that notes have aren't given again.
    pub(crate) fn wipe(keeping: &Keeping) -> Result<(), Diagnostic> {
        let mut pupils = Pupils::kept(keeping);
        pupils.known.clear();
        pupils.keep(keeping)
    }

    fn keep(&self, keeping: &Keeping) -> Result<(), Diagnostic> {
        let bytes = serde_json::to_vec(self)
            .map_err(|why| Diagnostic::error("our-fault", format!("pupils can't be kept: {why}")))?;
        keeping.keep(FILE, &bytes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn initials_are_a_number_that_stays_until_they_are_wiped() {
        let folder = tempfile::tempdir().unwrap();
        let keeping = Keeping::inside(folder.path());
        let number = |initials| Pupils::number_of(&keeping, initials).unwrap();
        assert_eq!((number("ab"), number("CD"), number(" Ab ")), (1, 2, 1));
        assert_eq!(Pupils::kept(&keeping).known().len(), 2);
        Pupils::wipe(&keeping).unwrap();
        assert!(Pupils::kept(&keeping).known().is_empty());
        assert_eq!(number("ab"), 3, "no two pupils have one number");
    }
}
