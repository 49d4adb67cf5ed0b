//! All firings of a studio.

use std::collections::{HashMap, HashSet};

use glost_chemistry::read::folded;

use super::entry::Group;
use super::firing::Firing;
use super::opening::{Opening, TakeBack};

/// The kiln's book as read.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Firings {
    all: Vec<Firing>,
    pub(super) openings: Vec<Opening>,
    pub(super) voids: Vec<TakeBack>,
    pub(super) lines: usize,
    pub(super) conflict: Option<usize>,
}

/// Why a text names no one firing.
#[derive(Debug, Clone, PartialEq)]
pub enum NotOne<'a> {
    /// No firing has this id or name.
    Unknown,
    /// Several have this name.
    Several(Vec<&'a Firing>),
}

impl Firings {
    pub(super) fn of(
        loads: Vec<Firing>,
        openings: Vec<Opening>,
        voids: Vec<TakeBack>,
        lines: usize,
        conflict: Option<usize>,
    ) -> Firings {
        let mut book = Firings {
            all: loads,
            openings,
            voids,
            lines,
            conflict,
        };
        book.settle();
        book
    }

    /// All firings by the day they were loaded; those of one day by id, so that the order of
    /// lines says nothing.
    pub fn all(&self) -> &[Firing] {
        &self.all
    }

    /// The first of git's marks of a conflict.
    pub fn conflict(&self) -> Option<usize> {
        self.conflict
    }

    /// How many lines the book has.
    pub fn line_count(&self) -> usize {
        self.lines
    }

    /// Those that count.
    pub fn standing(&self) -> impl Iterator<Item = &Firing> {
        self.all.iter().filter(|firing| firing.stands())
    }

    /// Those that were opened, the latest opened last.
    pub fn opened(&self) -> Vec<&Firing> {
        let mut opened: Vec<&Firing> = self.standing().filter(|firing| firing.is_open()).collect();
        opened.sort_by_key(|firing| firing.opened.as_ref().map(|opened| opened.on));
        opened
    }

    /// The latest load that wasn't opened yet.
    pub fn latest_closed(&self) -> Option<&Firing> {
        self.standing().filter(|firing| firing.opened.is_none()).last()
    }

    /// The firing of this id, taken back or not; else the one that stands under this name.
    ///
    /// # Errors
    /// None, or several of that name.
    pub fn find(&self, text: &str) -> Result<&Firing, NotOne<'_>> {
        let wanted = folded(text);
        if let Some(firing) = self.all.iter().find(|firing| firing.id == wanted) {
            return Ok(firing);
        }
        let named: Vec<&Firing> = self
            .standing()
            .filter(|firing| firing.firing.as_deref().map(folded) == Some(wanted.clone()))
            .collect();
        match named.as_slice() {
            [] => Err(NotOne::Unknown),
            [one] => Ok(one),
            _ => Err(NotOne::Several(named)),
        }
    }

    /// The id of a load, an opening or a line that takes one back.
    pub fn has_id(&self, id: &str) -> bool {
        self.all.iter().any(|firing| firing.id == id)
            || self.openings.iter().any(|opening| opening.id == id)
            || self.voids.iter().any(|void| void.id == id)
    }

    /// The line that takes this one back and counts.
    pub fn taken_back_by(&self, id: &str) -> Option<&TakeBack> {
        let counts = self.which_count();
        let mut pairs = self.voids.iter().zip(counts);
        pairs.find(|(void, counts)| *counts && void.of == id).map(|pair| pair.0)
    }

    /// The pieces of all opened firings.
    pub fn groups(&self) -> Vec<Group<'_>> {
        self.opened().into_iter().flat_map(Firing::groups).collect()
    }

    /// A void counts unless one that counts takes it back.
    fn which_count(&self) -> Vec<bool> {
        let mut against: HashMap<&str, Vec<usize>> = HashMap::new();
        for (index, void) in self.voids.iter().enumerate() {
            against.entry(void.of.as_str()).or_default().push(index);
        }
        let counts = |index: usize| -> bool {
            // Each takes back one that was there before it, so a chain comes to an end; a ring
            // can only be forged.
            let mut seen = HashSet::new();
            let mut at = index;
            let mut counted = true;
            while let Some(next) = against.get(self.voids[at].id.as_str()).and_then(|all| all.first()) {
                if !seen.insert(*next) {
                    break;
                }
                counted = !counted;
                at = *next;
            }
            counted
        };
        (0..self.voids.len()).map(counts).collect()
    }

    /// Works out what is opened and what is taken back, whatever the order of the lines.
    fn settle(&mut self) {
        self.all
            .sort_by(|one, other| (one.on, &one.id).cmp(&(other.on, &other.id)));
        self.all.dedup_by(|one, other| one.id == other.id);
        self.openings
            .sort_by(|one, other| (one.on, &one.id).cmp(&(other.on, &other.id)));
        let counts = self.which_count();
        let gone: HashMap<String, TakeBack> = self
            .voids
            .iter()
            .zip(counts)
            .filter(|(_, counts)| *counts)
            .map(|(void, _)| (void.of.clone(), void.clone()))
            .collect();
        // Two clones may both have opened one: the first day counts.
        let mut first: HashMap<&str, &Opening> = HashMap::with_capacity(self.openings.len());
        for opening in self.openings.iter().filter(|opening| !gone.contains_key(&opening.id)) {
            first.entry(&opening.of).or_insert(opening);
        }
        for firing in &mut self.all {
            firing.void = gone.get(&firing.id).cloned();
            firing.opened = first.get(firing.id.as_str()).map(|opening| (*opening).clone());
        }
    }
}
