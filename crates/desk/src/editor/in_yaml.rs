//! A studio's YAML files: what may stand at a place, what a name means, where it was made.

use std::path::Path;

use glost_chemistry::diagnostic::{Mark, Source};
use glost_core::rules::Level;
use glost_script::{Named, Offer, What};
use glost_studio::Workplace;
use serde_json::Value;

use crate::file_schemas::StudioFile;
use crate::rulebook::Rulebook;
use crate::scripts::Card;

use super::document::Sort;
use super::schema_place::{about, keys, under, words};
use super::told::{Explained, Made, Offers};
use super::yaml_place::{Due, ITEM, YamlPlace};
use super::{Editor, names};

/// The word that says what its cautions weigh.
const LEVEL: &str = "level";

/// What names a place is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Holds {
    Named(Named),
    Scripts,
    /// Options of the script that the path ends with.
    Options,
    /// The value of an option, by a path that ends with script and option.
    OptionValue,
    /// Nothing but what the schema says.
    Schema,
}

fn holds(sort: Sort, path: &[String], due: Due) -> Holds {
    let path: Vec<&str> = path.iter().map(String::as_str).collect();
    match (sort, path.as_slice(), due) {
        (Sort::Glaze, ["parts" | "additions"], Due::Key) | (Sort::Materials, [_, ITEM, "recipe"], Due::Key) => {
            Holds::Named(Named::Materials)
        }
        (Sort::Glaze, ["clay" | "body"] | ["recommended", ITEM], Due::Value)
        | (Sort::Glaze, ["recommended"], Due::Value) => Holds::Named(Named::Clays),
        (Sort::Glaze, ["accepted", ITEM, "finding"], Due::Value) | (Sort::Studio, ["scripts"], Due::Key) => {
            Holds::Scripts
        }
        (Sort::Studio, ["scripts", _], Due::Key) => Holds::Options,
        (Sort::Studio, ["scripts", _, _], Due::Value) => Holds::OptionValue,
        _ => Holds::Schema,
    }
}

fn schema(sort: Sort) -> Option<Value> {
    let file = match sort {
        Sort::Glaze => StudioFile::Glaze,
        Sort::Clay => StudioFile::Clay,
        Sort::Materials => StudioFile::Material,
        Sort::Studio => StudioFile::Studio,
        Sort::Script | Sort::Other => return None,
    };
    Some(file.schema())
}

impl Editor {
    pub(super) fn offers_in_yaml(&self, path: &Path, source: &Source, mark: Mark, sort: Sort) -> Option<Offers> {
        let schema = schema(sort)?;
        let place = YamlPlace::at(source, mark);
        let mut offers = match (holds(sort, &place.path, place.due), place.due) {
            (_, Due::Nothing) => Vec::new(),
            (Holds::Schema, Due::Key) => of_keys(&under(&schema, &place.path)),
            // Of a script what its value is: a table of options, or one word.
            (Holds::Schema, Due::Value) => of_values(&under(&schema, &place.path)),
            (Holds::Named(named), _) => {
                let workplace = self.names_from(path)?;
                names::of(named, &workplace)
            }
            (holds, _) => of_scripts(holds, &place, &self.names_from(path)?),
        };
        if place.due == Due::Key {
            // What stands there already, the word at the place aside, isn't offered again.
            let there = keys_beside(source, &place);
            offers.retain(|offer| !there.contains(&offer.name));
        }
        Some(Offers {
            from: place.from,
            offers,
        })
    }

    pub(super) fn explained_in_yaml(&self, path: &Path, source: &Source, mark: Mark, sort: Sort) -> Option<Explained> {
        let schema = schema(sort)?;
        let place = YamlPlace::at(source, mark);
        match (holds(sort, &place.path, place.due), place.due) {
            (_, Due::Nothing) => None,
            (Holds::Named(Named::Materials), _) => {
                let workplace = self.names_from(path)?;
                workplace.library().find(&place.word).cloned().map(Explained::Material)
            }
            (Holds::Scripts, _) => {
                let book = self.book(path)?;
                let script = book.store.find(script_name(&place.word)).ok()?;
                Some(Explained::Script(Box::new(Card::of(&script, &book))))
            }
            (Holds::Options, _) => {
                let book = self.book(path)?;
                let script = book.store.find(place.path.last()?).ok()?;
                let options = Card::of(&script, &book).options.into_iter();
                let mut options = options.filter(|option| option.name == place.word);
                options.next().map(Explained::Option)
            }
            (_, Due::Key) => {
                let tables = under(&schema, &place.path);
                let (key, own) = keys(&tables).into_iter().find(|(key, _)| *key == place.word)?;
                let (told, example) = about(own?);
                (!told.is_empty()).then(|| Explained::Words {
                    shape: format!("{key}: {example}"),
                    about: told.to_owned(),
                    example: String::new(),
                })
            }
            _ => None,
        }
    }

    pub(super) fn made_in_yaml(&self, path: &Path, source: &Source, mark: Mark, sort: Sort) -> Option<Made> {
        let place = YamlPlace::at(source, mark);
        let script = match holds(sort, &place.path, place.due) {
            Holds::Named(named) => return names::made(named, &place.word, &self.names_from(path)?),
            Holds::Scripts => script_name(&place.word).to_owned(),
            Holds::Options => place.path.last()?.clone(),
            Holds::OptionValue | Holds::Schema => return None,
        };
        let workplace = self.names_from(path)?;
        let book = Rulebook::open(&workplace, workplace.settings()).ok()?;
        let text = book.store.text(&script).ok()?;
        let option = (script != place.word).then(|| glost_script::declared_at(&text, &place.word));
        Some(Made {
            file: workplace.whole_path(&text.name)?,
            mark: option.flatten().unwrap_or(Mark { line: 1, column: 1 }),
            width: place.word.chars().count().max(1),
        })
    }
}

/// `check/metals-of-concern CuO`: the script's name without the subject.
fn script_name(finding: &str) -> &str {
    finding.split_whitespace().next().unwrap_or(finding)
}

fn of_keys(tables: &[&Value]) -> Vec<Offer> {
    let found = keys(tables).into_iter();
    found
        .map(|(key, own)| {
            let (told, example) = own.map_or(("", ""), about);
            Offer {
                shape: if example.is_empty() {
                    String::new()
                } else {
                    format!("{key}: {example}")
                },
                about: told.to_owned(),
                ..Offer::plain(key, What::Key)
            }
        })
        .collect()
}

fn of_values(values: &[&Value]) -> Vec<Offer> {
    let words = words(values).into_iter();
    let mut offers: Vec<Offer> = words.map(|word| Offer::plain(word, What::Word)).collect();
    if offers.is_empty() {
        let examples = values
            .iter()
            .map(|value| about(value).1)
            .filter(|example| !example.is_empty());
        offers.extend(examples.map(|example| Offer::plain(example, What::Word)));
    }
    offers
}

fn of_scripts(holds: Holds, place: &YamlPlace, workplace: &Workplace) -> Vec<Offer> {
    // Settings that are being written may be wrong: the scripts are there all the same.
    let store = Rulebook::unsettled(workplace);
    if holds == Holds::Scripts {
        let all = store.all().scripts.into_iter();
        return all
            .map(|script| Offer {
                about: script.about.title.clone(),
                ..Offer::plain(&script.name, What::Word)
            })
            .collect();
    }
    let script = place.path.iter().find_map(|step| store.find(step).ok());
    let Some(script) = script else { return Vec::new() };
    let specs = &script.about.options;
    if holds == Holds::Options {
        let level = Offer {
            about: "What its cautions weigh here".to_owned(),
            ..Offer::plain(LEVEL, What::Key)
        };
        let of_spec = |spec: &glost_script::OptionSpec| Offer {
            shape: spec.unit.as_ref().map_or_else(String::new, String::clone),
            about: spec.help.clone(),
            ..Offer::plain(&spec.name, What::Key)
        };
        let level = script.about.kind.finds().then_some(level);
        return specs.iter().map(of_spec).chain(level).collect();
    }
    let option = place.path.last().map_or("", String::as_str);
    if option == LEVEL {
        return Level::FOR_CAUTIONS
            .map(|level| Offer::plain(level.words(), What::Word))
            .to_vec();
    }
    let spec = specs.iter().find(|spec| spec.name == option);
    let mut words = spec.map_or_else(Vec::new, |spec| spec.choices.clone());
    words.extend(spec.map(|spec| spec.value.to_string()));
    words.dedup();
    words.into_iter().map(|word| Offer::plain(word, What::Word)).collect()
}

/// The keys of the same table as far as they stand before the place.
fn keys_beside(source: &Source, place: &YamlPlace) -> Vec<String> {
    let mut found = Vec::new();
    for (index, line) in source.text.lines().enumerate() {
        for (column, _) in line.match_indices(':') {
            let mark = Mark {
                line: index + 1,
                column: line[..column].chars().count() + 1,
            };
            if index + 1 > place.from.line || (index + 1 == place.from.line && mark.column > place.from.column) {
                return found;
            }
            let other = YamlPlace::at(source, mark);
            if other.due == Due::Key && other.path == place.path && other.from != place.from {
                found.push(other.word);
            }
        }
    }
    found
}
