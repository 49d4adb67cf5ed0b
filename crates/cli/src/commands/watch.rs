//! `glost script test --watch`: the tests again whenever a script is saved.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use glost_desk::Words;
use glost_desk::scripts::test::Question;
use glost_page::layout::Style;

use crate::args::Common;
use crate::door;
use crate::outcome::Outcome;

/// How often it is looked whether something was saved.
const LOOKS_EVERY: Duration = Duration::from_millis(300);
/// The most files that are looked at, and how deep.
const MOST: (usize, usize) = (5_000, 6);

/// When each file was saved, and its length: two saves may fall into one tick of the clock.
type Saved = BTreeMap<PathBuf, Option<(SystemTime, u64)>>;

/// Runs them, and again after each change, until it is ended from outside.
pub(super) fn run(name: Option<&str>, words: &Words, common: &Common, style: Style) -> Outcome {
    let here = std::env::current_dir().unwrap_or_else(|_| PathBuf::from("."));
    let studio = common.studio.as_ref().map(|studio| here.join(studio));
    let studio = studio.or_else(|| glost_desk::editor::studio_of(&here));
    let file = name.filter(|name| name.ends_with(".rhai")).map(|name| here.join(name));
    let watched: Vec<PathBuf> = studio
        .map(|studio| studio.join("scripts"))
        .into_iter()
        .chain(file)
        .collect();
    loop {
        let before = saved(&watched);
        glost_script::command_begins(common.script_time);
        // What is wrong is told, and may be mended by the next save.
        crate::finish(door::answer::<Question>(words, common, style), common.format);
        crate::complain("watching: save a script to run them again, Ctrl-C ends it\n");
        while saved(&watched) == before {
            pause();
        }
    }
}

#[allow(clippy::disallowed_methods, reason = "nobody tells when a file is saved")]
fn pause() {
    std::thread::sleep(LOOKS_EVERY);
}

/// The files at some places with when they were saved.
fn saved(places: &[PathBuf]) -> Saved {
    let mut found = Saved::new();
    for place in places {
        look(place, MOST.1, &mut found);
    }
    found
}

fn look(place: &Path, levels: usize, found: &mut Saved) {
    if found.len() >= MOST.0 {
        return;
    }
    // What can't be read now is looked at again.
    let Ok(entries) = std::fs::read_dir(place) else {
        let saved = std::fs::metadata(place).and_then(|about| Ok((about.modified()?, about.len())));
        found.insert(place.to_owned(), saved.ok());
        return;
    };
    if levels > 0 {
        for entry in entries.flatten() {
            look(&entry.path(), levels - 1, found);
        }
    }
}
