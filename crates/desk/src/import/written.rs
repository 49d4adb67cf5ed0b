//! The files that tables become.

use std::collections::HashSet;

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_core::intake::table::yaml::{Yaml, lines};
use glost_core::intake::table::{At, Open, What};
use glost_core::studio::read_settings;
use glost_studio::{Workplace, file_stem};
use indexmap::IndexMap;

use super::answer::Answer;
use super::sources::Sources;

/// Journals of two clones are merged by keeping the lines of both.
const GIT_ATTRIBUTES: (&str, &str) = (".gitattributes", "*.jsonl merge=union\n");
/// A material's file is split after so many bytes, so that it can be read again.
const MOST_FILE_BYTES: usize = 2_000_000;

/// Where files go: never over one that is there.
struct Places<'a> {
    workplace: Option<&'a Workplace>,
    taken: HashSet<String>,
}

impl Places<'_> {
    fn is_free(&self, below: &str) -> bool {
        !self.taken.contains(&below.to_lowercase()) && self.workplace.is_none_or(|workplace| !workplace.holds(below))
    }

    /// A free path: the one told, where it may be, else one by the name.
    fn place(&mut self, folder: &str, told: Option<&str>, name: &str, what: &str) -> String {
        let told = told.filter(|told| is_safe(told, folder));
        let stem = file_stem(name, what);
        let wanted = told.map_or_else(|| format!("{folder}/{stem}.yaml"), str::to_owned);
        let base = wanted
            .rsplit_once('.')
            .map_or(wanted.as_str(), |(base, _)| base)
            .to_owned();
        let mut free = wanted;
        let mut number = 2;
        while !self.is_free(&free) {
            free = format!("{base}_{number}.yaml");
            number += 1;
        }
        self.taken.insert(free.to_lowercase());
        free
    }
}

/// Whether a path from a table stays within its folder of the studio.
fn is_safe(told: &str, folder: &str) -> bool {
    let Some(rest) = told.strip_prefix(folder).and_then(|rest| rest.strip_prefix('/')) else {
        return false;
    };
    let ends = rest.ends_with(".yaml") || rest.ends_with(".yml");
    let plain = |sign: char| !sign.is_control() && !"/\\:*?\"<>|".contains(sign);
    ends && rest.chars().all(plain) && !rest.starts_with('.')
}

/// The files for all that is new, (path below the studio, text); what stands in the way
/// becomes an open question.
pub(super) fn files(
    answer: &mut Answer,
    workplace: &Workplace,
    sources: &Sources,
    into: Option<&str>,
) -> Vec<(String, String)> {
    let mut places = Places {
        workplace: into.is_none().then_some(workplace),
        taken: HashSet::new(),
    };
    let mut files = materials(answer, sources, &mut places);
    for clay in answer.clays.iter().filter(|clay| !clay.there) {
        let draft = &clay.ready.draft;
        let place = places.place("clays", draft.file.as_deref(), &draft.name, "clay");
        files.push((place, clay.ready.text.clone()));
    }
    for glaze in answer.recipes.iter().filter(|glaze| glaze.is_written()) {
        let draft = &glaze.ready.draft;
        let place = places.place("glazes", draft.file.as_deref(), &draft.name, "glaze");
        files.push((place, glaze.ready.text.clone()));
    }
    for (below, text) in &sources.others {
        // What is there stays: a plan or a script is never changed under its name.
        if places.is_free(below) {
            files.push((below.clone(), text.clone()));
        }
    }
    for (below, text) in &sources.journals {
        if places.is_free(below) {
            files.push((below.clone(), text.clone()));
        } else {
            answer.open.push(a_journal_is_there(below));
        }
    }
    if let Some(into) = into {
        files.insert(0, (GIT_ATTRIBUTES.0.to_owned(), GIT_ATTRIBUTES.1.to_owned()));
        files.push(("studio.yaml".to_owned(), settings(answer, into)));
    }
    files
}

/// Materials by the file that they stood in, else by their table.
fn materials(answer: &Answer, sources: &Sources, places: &mut Places<'_>) -> Vec<(String, String)> {
    let mut groups: IndexMap<String, String> = IndexMap::new();
    for material in answer.materials.iter().filter(|material| !material.there) {
        let draft = &material.ready.draft;
        let table = std::path::Path::new(&draft.at.file).file_stem();
        let stem = table.map_or_else(|| sources.name.clone(), |stem| stem.to_string_lossy().into_owned());
        let told = draft.file.clone().filter(|told| is_safe(told, "materials"));
        let mut wanted = told.unwrap_or_else(|| format!("materials/{}.yaml", file_stem(&stem, "materials")));
        let full = |file: &str| groups.get(file).is_some_and(|text| text.len() > MOST_FILE_BYTES);
        let mut number = 2;
        let base = wanted.trim_end_matches(".yaml").to_owned();
        while full(&wanted) {
            wanted = format!("{base}_{number}.yaml");
            number += 1;
        }
        let text = groups.entry(wanted).or_insert_with(|| "materials:\n".to_owned());
        text.push_str(&material.ready.text);
    }
    let placed = groups.into_iter();
    placed
        .map(|(file, text)| (places.place("materials", Some(&file), "materials", "materials"), text))
        .collect()
}

fn settings(answer: &mut Answer, into: &str) -> String {
    let mut entries = std::mem::take(&mut answer.settings);
    if !entries.iter().any(|(key, _)| key == "studio") {
        let name = std::path::Path::new(into).file_name();
        let name = name.map_or_else(|| "My studio".to_owned(), |name| name.to_string_lossy().into_owned());
        entries.insert(0, ("studio".to_owned(), Yaml::text(name)));
    }
    let text = lines(&entries, 0);
    match read_settings(&Source::from_text("studio.csv", &text)) {
        Ok(_) => text,
        Err(mut complaint) => {
            complaint.place = None;
            answer.open.push(Open::Unusable {
                at: At {
                    file: "studio.csv".to_owned(),
                    line: 1,
                },
                what: What::Settings,
                name: "studio.yaml".to_owned(),
                complaint: Box::new(complaint),
            });
            lines(&entries[..1], 0)
        }
    }
}

fn a_journal_is_there(below: &str) -> Open {
    let message = format!("the studio has a {below} of its own; its lines stay, those of the table weren't taken in");
    Open::Unusable {
        at: At {
            file: below.replace(".jsonl", ".csv"),
            line: 1,
        },
        what: What::Journal,
        name: below.to_owned(),
        complaint: Box::new(
            Diagnostic::error("already-there", message).help("--into DIR makes a new studio of the tables"),
        ),
    }
}
