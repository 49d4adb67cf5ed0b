//! All recorded versions, and which of them a recipe is.

use std::collections::HashMap;

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::quantity::Date;
use glost_chemistry::read::{folded, same_name};

use super::lines::lines;
use super::note::Note;
use super::version::Version;
use super::version_line::read_version;
use crate::renames::{Rename, Renames};

/// The versions of `versions.jsonl` in the order of their lines.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Versions {
    records: Vec<Version>,
    /// Places of each glaze's, by its name folded.
    places: HashMap<String, Vec<usize>>,
}

impl Versions {
    /// Reads the text of `versions.jsonl`: every record that is whole, and
    /// every complaint. A name recorded twice means the first record.
    pub fn read(source: &Source) -> (Versions, Vec<Diagnostic>) {
        let mut versions = Versions::default();
        let mut complaints = Vec::new();
        let mut renames = Renames::default();
        let any_renamed = Renames::may_stand_in(&source.text);
        for line in lines(source) {
            if any_renamed && let Some(rename) = Rename::of_line(line.text) {
                renames.push(rename);
                continue;
            }
            match read_version(line) {
                Ok(version) => match versions.get(&version.glaze, &version.version) {
                    None => versions.push(version),
                    // Two writers may both record the recipe of the day.
                    Some(first) if first.same_recipe(&version) => {}
                    Some(first) => {
                        let message = format!(
                            "{} {} is recorded already, otherwise, on line {}",
                            first.glaze, first.version, first.line
                        );
                        complaints.push(
                            line.about("version", "version-twice", message)
                                .help("the first record counts"),
                        );
                    }
                },
                Err(error) => complaints.push(error.help(
                    "this record is passed by and does no harm; a recipe without one is recorded with its next note",
                )),
            }
        }
        if !renames.is_empty() {
            versions
                .records
                .iter_mut()
                .for_each(|record| record.call_anew(&renames));
            versions.places.clear();
            for place in 0..versions.records.len() {
                versions.take_place(place);
            }
        }
        (versions, complaints)
    }

    /// The versions of a glaze, the oldest first.
    pub fn of<'a>(&'a self, glaze: &str) -> impl DoubleEndedIterator<Item = &'a Version> {
        let places = self.places.get(&folded(glaze)).into_iter().flatten();
        places.filter_map(|place| self.records.get(*place))
    }

    fn take_place(&mut self, place: usize) {
        let glaze = folded(&self.records[place].glaze);
        self.places.entry(glaze).or_default().push(place);
    }

    /// A version by the glaze's name and its own.
    pub fn get(&self, glaze: &str, version: &str) -> Option<&Version> {
        let wanted = folded(version);
        self.of(glaze).find(|known| same_name(&known.version, &wanted))
    }

    /// The version that a recipe is, the latest first.
    pub fn same_as(&self, recipe: &Version) -> Option<&Version> {
        self.of(&recipe.glaze).rev().find(|known| known.same_recipe(recipe))
    }

    /// The lots that a note's pieces were made of: as it says, else as its version's sheets did.
    pub fn lots_of(&self, note: &Note) -> Vec<(String, String)> {
        let version = || self.get(note.glaze.as_deref()?, note.version.as_deref()?);
        match version().filter(|_| note.lots.is_empty()) {
            Some(version) => {
                let materials = version.materials.iter();
                materials
                    .filter_map(|material| Some((material.name.clone(), material.lot.clone()?)))
                    .collect()
            }
            None => note.lots.clone(),
        }
    }

    /// The version that was the recipe on a day, where this one was recorded
    /// only after that day and an older one before it.
    pub fn before(&self, version: &Version, day: Date) -> Option<&Version> {
        let older = self
            .of(&version.glaze)
            .filter(|known| known.on <= day && known.on < version.on);
        older.max_by_key(|known| known.on).filter(|_| version.on > day)
    }

    /// The name that the next version of a glaze gets: `v1`, `v2`.
    pub fn next_name(&self, glaze: &str) -> String {
        let numbers = self.of(glaze).filter_map(|known| {
            let digits = known.version.trim().strip_prefix(['v', 'V'])?;
            digits.parse::<u32>().ok()
        });
        format!("v{}", numbers.max().unwrap_or(0).saturating_add(1))
    }

    /// With a further record.
    pub fn push(&mut self, version: Version) {
        self.records.push(version);
        self.take_place(self.records.len() - 1);
    }

    /// All of them.
    pub fn all(&self) -> &[Version] {
        &self.records
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evidence::notes::Change;
    use glost_chemistry::glaze::{FluxList, Glaze, read_glaze};
    use glost_chemistry::material::{Library, read_materials};
    use glost_chemistry::quantity::Millilitres;

    const SHELF: &str = "materials:
  - { name: spar, kind: mineral, lot: '14', basis: as supplied, source: x, analysis: { SiO2: 67, Al2O3: 18, K2O: 14 }, loss_on_ignition: 0.4 }
  - { name: silica, formula: SiO2, source: x }
  - { name: whiting, formula: CaCO3, source: x }
  - { name: 'clear, lot 3', kind: powder, analysis: unknown, lot: '3', expansion: 6.2e-6/K at 20-400 C, source: x }
  - { name: 'clear, lot 4', kind: powder, analysis: unknown, lot: '4', source: x }
";

    fn glaze(shelf: &str, recipe: &str) -> Glaze {
        let mut library = Library::default();
        library.add_layer(read_materials(&Source::from_text("m.yaml", shelf)).0, false);
        let file = read_glaze(&Source::from_text("g.yaml", recipe), Millilitres::METRIC_CUP);
        file.map_err(|error| vec![error])
            .and_then(|file| file.resolve(&library))
            .unwrap_or_else(|errors| panic!("{errors:?}"))
    }

    fn version(shelf: &str, recipe: &str) -> Version {
        let day = Date::parse("2026-11-24").unwrap_or_else(|why| panic!("{why:?}"));
        Version::of(&glaze(shelf, recipe), "v1", day)
    }

    const CLEAR: &str = "glaze: A\nparts: { spar: 41, silica: 29, whiting: 20 }\nadditions: { silica: 0.7 }\n";

    #[test]
    fn a_version_that_was_written_fires_to_the_same() {
        let made = version(SHELF, CLEAR);
        let (read, complaints) = Versions::read(&Source::from_text(
            "versions.jsonl",
            &made.to_line(&|said| format!("{said:?}")),
        ));
        assert_eq!(complaints, []);
        let again = read.get("a", "V1").unwrap_or_else(|| panic!("not found"));
        assert!(again.same_recipe(&made));
        let fluxes = FluxList::default();
        let unity = |version: &Version| version.analysis(&fluxes).ok().and_then(|analysis| analysis.unity);
        let (before, after) = (unity(&made), unity(again));
        let (Some(before), Some(after)) = (before, after) else {
            panic!("no unity")
        };
        let pairs = before.as_slice().iter().zip(after.as_slice());
        assert!(pairs.into_iter().all(|(one, other)| (one - other).abs() < 1e-12));
        assert_eq!(
            (read.next_name("A"), read.next_name("B")),
            ("v2".to_owned(), "v1".to_owned())
        );
    }

    #[test]
    fn what_changed_is_named() {
        let old = version(SHELF, CLEAR);
        let more = version(
            SHELF,
            &CLEAR.replace("additions: { silica: 0.7 }", "additions: { silica: 0.8 }"),
        );
        assert!(matches!(&old.changes_to(&more)[..], [Change::Amount { material, .. }] if material == "silica"));
        assert_eq!(
            old.changes_to(&version(
                SHELF,
                &CLEAR.replace("41, silica: 29, whiting: 20", "82, silica: 58, whiting: 40")
            )),
            []
        );
        let silica = version(SHELF, &CLEAR.replace("silica: 29", "silica: 38"));
        let [Change::Amount { material, from, to }] = &old.changes_to(&silica)[..] else {
            panic!("{:?}", old.changes_to(&silica))
        };
        assert_eq!(material, "silica");
        assert!((to / from - 38.0 / 29.0).abs() < 1e-9);
        let lot = version(&SHELF.replace("lot: '14'", "lot: '15'"), CLEAR);
        assert!(matches!(&old.changes_to(&lot)[..], [Change::Lot { to: Some(lot), .. }] if lot == "15"));
        let sheet = version(&SHELF.replace("SiO2: 67", "SiO2: 67.2"), CLEAR);
        assert!(matches!(&old.changes_to(&sheet)[..], [Change::Analysis { .. }]));
        let bag = |lot: &str| version(SHELF, &format!("glaze: B\nparts: {{ 'clear, lot {lot}': 100 }}\n"));
        assert!(matches!(&bag("3").changes_to(&bag("4"))[..], [Change::Renamed { .. }]));
        assert!(
            bag("3").analysis(&FluxList::default()).is_err(),
            "nobody told what is in it"
        );
    }

    #[test]
    fn records_that_cannot_be_read_are_said_and_hide_no_other() {
        let line = version(SHELF, CLEAR).to_line(&|said| format!("{said:?}"));
        let other = version(SHELF, &CLEAR.replace("29", "30")).to_line(&|said| format!("{said:?}"));
        let text = format!("{}\n{line}\n{other}\n{{\"glaze\": \"A\"}}\n", &line[..40]);
        let (read, complaints) = Versions::read(&Source::from_text("versions.jsonl", &text));
        assert_eq!(read.all().len(), 1);
        let codes: Vec<_> = complaints.iter().map(|complaint| complaint.code).collect();
        assert_eq!(codes, ["cut-off", "version-twice", "missing-key"]);
    }

    #[test]
    fn a_version_is_the_recipe_from_the_day_on_that_it_was_recorded() {
        let day = |text: &str| Date::parse(text).unwrap_or_else(|why| panic!("{why:?}"));
        let on = |name: &str, text: &str| Version::of(&glaze(SHELF, CLEAR), name, day(text));
        let (first, second) = (on("v1", "2026-03-01"), on("v2", "2026-06-01"));
        let mut versions = Versions::default();
        versions.push(first.clone());
        versions.push(second.clone());
        let before = |text: &str| {
            let found = versions.before(&second, day(text));
            found.map(|version| version.version.clone())
        };
        assert_eq!(before("2026-02-28"), None, "there was none");
        assert_eq!(before("2026-03-01").as_deref(), Some("v1"));
        assert_eq!(before("2026-05-31").as_deref(), Some("v1"));
        assert_eq!(before("2026-06-01"), None, "it was itself");
        assert_eq!(before("2026-06-02"), None);
    }
}
