//! The firings that a studio knows, to be asked for by cone, by name or by a record's id.

use std::sync::Arc;

use std::collections::{HashMap, HashSet};

use glost_chemistry::diagnostic::{Diagnostic, did_you_mean, nearest, of_typed};
use glost_chemistry::glaze::Glaze;
use glost_chemistry::read::folded;

use crate::evidence::firings::Firing;
use crate::evidence::notes::{Note, Notes};

use super::kiln::{Kiln, bare_cone};

/// Every firing that notes, glazes' files, the kiln's book or the studio's own files name.
#[derive(Debug, Clone, Default)]
pub struct KnownFirings {
    /// Each once, in the order they were met.
    kilns: Vec<Kiln>,
    met: HashSet<Kiln>,
    /// What firings of a name or an id count with, by the folded name.
    called: HashMap<String, Vec<Kiln>>,
    /// Names as written, for complaints.
    names: Vec<String>,
    /// Ids of the kiln's records.
    ids: Vec<String>,
}

/// What parts the firings of notes.
type Key<'a> = (Option<&'a str>, Option<&'a str>, Option<&'a str>, bool, bool);

/// Notes with the same key are of the same firing.
fn key(note: &Note) -> Key<'_> {
    let (missed, apart) = (note.missed_cones().is_some(), note.is_apart());
    (
        note.firing.as_deref(),
        note.cone.as_deref(),
        note.kiln_id(),
        missed,
        apart,
    )
}

/// What notes count with, each once; those that say no firing too.
pub(super) fn distinct_kilns<'a>(notes: impl Iterator<Item = &'a Note>) -> Vec<Kiln> {
    let mut kilns: Vec<Kiln> = Vec::new();
    let (mut seen, mut met): (HashSet<Key<'a>>, HashSet<Kiln>) = (HashSet::new(), HashSet::new());
    for note in notes.filter(|note| seen.insert(key(note))) {
        let kiln = Kiln::of_note(note);
        if met.insert(kiln.clone()) {
            kilns.push(kiln);
        }
    }
    kilns
}

impl KnownFirings {
    /// Of notes, glazes' files and the names of the studio's own files of firings.
    pub fn of(notes: &Notes, glazes: &[Arc<Glaze>], kept: &[String]) -> KnownFirings {
        let mut known = KnownFirings::default();
        let mut seen: HashSet<Key<'_>> = HashSet::new();
        for note in notes.all().iter().filter(|note| seen.insert(key(note))) {
            let kiln = Kiln::of_note(note);
            known.name(note.firing.as_deref(), kiln.clone());
            known.id(note.kiln_id(), kiln.clone());
            known.meet(kiln);
        }
        for glaze in glazes {
            let (firing, cone) = (glaze.about.firing.as_deref(), glaze.about.cone.as_deref());
            known.meet(Kiln::of(None, cone));
            known.keep(firing, Kiln::of(firing, cone));
        }
        for name in kept {
            known.keep(Some(name), Kiln::of(Some(name), None));
        }
        known
    }

    /// With a firing of the kiln's book, whether or not any of its pieces was looked at.
    pub fn book(&mut self, firing: &Firing) {
        let kiln = Kiln::of_firing(firing);
        self.name(firing.firing.as_deref(), kiln.clone());
        self.id(Some(&firing.id), kiln.clone());
        self.meet(kiln);
    }

    fn meet(&mut self, kiln: Kiln) {
        if kiln != Kiln::Unsaid && self.met.insert(kiln.clone()) && !self.kilns.iter().any(|other| other.is(&kiln)) {
            self.kilns.push(kiln);
        }
    }

    fn name(&mut self, name: Option<&str>, kiln: Kiln) {
        if let Some(name) = name.filter(|name| self.call(name, kiln)) {
            self.names.push(name.trim().to_owned());
        }
    }

    fn id(&mut self, id: Option<&str>, kiln: Kiln) {
        if let Some(id) = id.filter(|id| self.call(id, kiln)) {
            self.ids.push(id.to_owned());
        }
    }

    /// Whether nothing was called so before.
    fn call(&mut self, name: &str, kiln: Kiln) -> bool {
        let called = self.called.entry(folded(name)).or_default();
        let is_new = called.is_empty();
        if !called.iter().any(|other| other.is(&kiln)) {
            called.push(kiln);
        }
        is_new
    }

    /// A name that only a file gives: notes go before it.
    fn keep(&mut self, name: Option<&str>, kiln: Kiln) {
        if let Some(name) = name.filter(|name| !self.called.contains_key(&folded(name))) {
            self.name(Some(name), kiln.clone());
            self.meet(kiln);
        }
    }

    /// What the firing asked for in a call counts with: by its cone, its name or its id.
    ///
    /// # Errors
    /// None of them, with the nearest: a slip of the pen must not answer for no piece at all;
    /// or several of one name that don't count together.
    pub fn asked(&self, text: &str) -> Result<Kiln, Diagnostic> {
        let ways = [Kiln::Named(text.trim().to_owned()), Kiln::Cone(bare_cone(text))];
        let mut found = ways
            .into_iter()
            .filter_map(|way| self.kilns.iter().find(|kiln| kiln.is(&way)));
        if let Some(kiln) = found.next() {
            return Ok(kiln.clone());
        }
        match self.called.get(&folded(text)).map_or(&[][..], Vec::as_slice) {
            [] => Err(self.unknown(text)),
            [one] => Ok(one.clone()),
            several => {
                // Of one name that which counts by its cone goes before one that missed.
                let mut by_cone = several.iter().filter(|kiln| matches!(kiln, Kiln::Cone(_)));
                if let (Some(one), None) = (by_cone.next(), by_cone.next()) {
                    return Ok(one.clone());
                }
                let message = of_typed(text.trim(), "names several firings");
                let words: Vec<String> = several.iter().map(Kiln::words).collect();
                Err(Diagnostic::error("shared-name", message).help(format!("say which: {}", words.join("; "))))
            }
        }
    }

    fn unknown(&self, text: &str) -> Diagnostic {
        let mut words: Vec<String> = self.kilns.iter().map(Kiln::words).collect();
        let mut known: HashSet<String> = words.iter().map(|word| folded(word)).collect();
        let names = self.names.iter().filter(|name| known.insert(folded(name)));
        words.extend(names.cloned());
        let sought = words.iter().chain(&self.ids).map(String::as_str);
        let near = nearest(text, sought).map(did_you_mean);
        let known = match words.as_slice() {
            [] => "no note and no glaze names a firing or a cone yet".to_owned(),
            words => format!("known here: {}", words.join("; ")),
        };
        let error = Diagnostic::error("unknown-firing", format!("nothing here was fired to `{}`", text.trim()));
        let help: Vec<String> = near.into_iter().chain([known]).collect();
        error.help(help.join(" "))
    }
}
