//! What the studio has already: it is left as it is, and what differs is asked about.

use glost_chemistry::diagnostic::{Diagnostic, nearest};
use glost_chemistry::read::folded;
use glost_core::intake::table::yaml::Yaml;
use glost_core::intake::table::{At, Count, Entry, Open, What, entry, list_entries};
use glost_studio::{OfWhat, Setting, Workplace};
use indexmap::IndexMap;

use super::alike;
use super::answer::{Answer, Change, Kept};

/// The studio's own entries by their folded names, and the files they stand in.
struct Own {
    glazes: IndexMap<String, (String, Entry)>,
    materials: IndexMap<String, (String, Entry)>,
    clays: IndexMap<String, (String, Entry)>,
    settings: Entry,
}

impl Own {
    fn of(workplace: &Workplace) -> Own {
        let mut own = Own {
            glazes: IndexMap::new(),
            materials: IndexMap::new(),
            clays: IndexMap::new(),
            settings: Vec::new(),
        };
        if workplace.studio_dir().is_none() {
            return own;
        }
        for file in workplace.holding().entries {
            // What can't be read has been told, or will be by whoever needs it.
            let Ok(source) = file.text else { continue };
            if file.below.starts_with("materials/") {
                for entry in list_entries(&source).into_iter().flatten() {
                    put(&mut own.materials, &["name"], &file.below, entry);
                }
                continue;
            }
            let Ok(entry) = entry(&source) else { continue };
            if file.below.starts_with("glazes/") {
                put(&mut own.glazes, &["glaze"], &file.below, entry);
            } else if file.below.starts_with("clays/") {
                put(&mut own.clays, &["clay", "body"], &file.below, entry);
            } else {
                own.settings = entry;
            }
        }
        own
    }
}

fn put(all: &mut IndexMap<String, (String, Entry)>, keys: &[&str], file: &str, mut entry: Entry) {
    let name = entry.iter_mut().find(|(key, _)| keys.contains(&key.as_str()));
    let Some((key, Yaml::Text(name))) = name else { return };
    // `body` and `clay` mean the same.
    keys[0].clone_into(key);
    let name = folded(name);
    all.insert(name, (file.to_owned(), entry));
}

fn set<'a>(
    workplace: &Workplace,
    material: &str,
    changes: impl Iterator<Item = &'a Change>,
) -> Result<(), Vec<Diagnostic>> {
    let settings: Vec<Setting> = changes
        .map(|change| Setting::parse(&format!("{}={}", change.key, change.after)))
        .collect::<Result<_, _>>()
        .map_err(|error| vec![error])?;
    let found = workplace.editables(material)?;
    let Some(what) = found.iter().find(|one| one.of == OfWhat::Material) else {
        return Ok(());
    };
    workplace.set_values(what, &settings).map(|_| ())
}

impl Answer {
    /// Takes out what the studio has; what it has otherwise is an open question.
    pub(super) fn leave_what_is_there(&mut self, workplace: &Workplace) {
        let own = Own::of(workplace);
        let (mut kept, mut open) = (Vec::new(), Vec::new());
        let mut there =
            |what: What, at: &At, name: &str, entries: &Entry, known: &IndexMap<String, (String, Entry)>| {
                let Some((file, old)) = known.get(&folded(name)) else {
                    return false;
                };
                let differs = alike(old, entries);
                if differs.is_empty() {
                    kept.push(Kept {
                        what,
                        name: name.to_owned(),
                        file: file.clone(),
                    });
                } else {
                    open.push(Open::AlreadyThere {
                        at: at.clone(),
                        what,
                        name: name.to_owned(),
                        differs,
                    });
                }
                true
            };
        for glaze in &mut self.recipes {
            let draft = &glaze.ready.draft;
            glaze.there = there(What::Glaze, &draft.at, &draft.name, &glaze.ready.entries, &own.glazes);
        }
        for material in &mut self.materials {
            let draft = &material.ready.draft;
            material.there = there(What::Material, &draft.at, &draft.name, &draft.entries, &own.materials);
        }
        for clay in &mut self.clays {
            let draft = &clay.ready.draft;
            clay.there = there(What::Clay, &draft.at, &draft.name, &draft.entries, &own.clays);
        }
        self.open.extend(open);
        self.kept.extend(kept);
        if !self.settings.is_empty() {
            let differs = alike(&own.settings, &self.settings);
            if !differs.is_empty() {
                self.open.push(Open::AlreadyThere {
                    at: At {
                        file: "studio.csv".to_owned(),
                        line: 1,
                    },
                    what: What::Settings,
                    name: "studio.yaml".to_owned(),
                    differs,
                });
            }
            self.settings.clear();
        }
    }

    /// Finds the entries whose stock or price a table tells.
    pub(super) fn place_counts(&mut self, workplace: &Workplace, counts: Vec<Count>) {
        if counts.is_empty() {
            return;
        }
        let own = Own::of(workplace);
        for count in counts {
            let typed = folded(&count.material);
            let by_other_name = || {
                workplace
                    .library()
                    .find(&count.material)
                    .map(|found| folded(&found.name))
            };
            let found = own
                .materials
                .get(&typed)
                .or_else(|| own.materials.get(&by_other_name()?));
            let Some((file, entry)) = found else {
                let names = own.materials.keys().map(String::as_str);
                let nearest = nearest(&typed, names).map(str::to_owned);
                let told = |open: &Open| matches!(open, Open::NoEntry { material, .. } if *material == count.material);
                if self.open.iter().any(told) {
                    continue;
                }
                self.open.push(Open::NoEntry {
                    at: count.at,
                    material: count.material,
                    nearest,
                });
                continue;
            };
            let text = |key: &str| {
                entry
                    .iter()
                    .find(|(known, _)| known == key)
                    .map(|(_, value)| value.cell())
            };
            let before = text(&count.key);
            if before.as_deref() != Some(count.value.as_str()) {
                self.changes.push(Change {
                    at: count.at,
                    done: false,
                    material: text("name").unwrap_or(count.material),
                    file: file.clone(),
                    key: count.key,
                    before,
                    after: count.value,
                });
            }
        }
    }

    /// Changes stocks and prices in their files, a material at a time; what can't be
    /// changed there is asked about.
    pub(super) fn change(&mut self, workplace: &Workplace) {
        let mut by_material: IndexMap<String, Vec<usize>> = IndexMap::new();
        for (index, change) in self.changes.iter().enumerate() {
            by_material.entry(change.material.clone()).or_default().push(index);
        }
        for (material, indices) in by_material {
            let changes = indices.iter().map(|at| &self.changes[*at]);
            match set(workplace, &material, changes) {
                Ok(()) => indices.iter().for_each(|at| self.changes[*at].done = true),
                Err(complaints) => self
                    .open
                    .extend(complaints.into_iter().take(1).map(|complaint| Open::Unusable {
                        at: self.changes[indices[0]].at.clone(),
                        what: What::Material,
                        name: material.clone(),
                        complaint: Box::new(complaint),
                    })),
            }
        }
    }

    /// Stocks and prices of a studio that isn't there yet belong to nobody.
    pub(super) fn uncounted(&mut self, counts: Vec<Count>) {
        self.open.extend(counts.into_iter().map(|count| Open::NoEntry {
            at: count.at,
            material: count.material,
            nearest: None,
        }));
    }
}
