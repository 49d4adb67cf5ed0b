//! Names as written to materials.

use std::sync::{Arc, LazyLock};

use glost_chemistry::diagnostic::nearest;
use glost_chemistry::material::{Library, Material};
use glost_chemistry::read::folded;

use super::doubt::Doubt;

/// What a written name stands for.
#[derive(Debug, Clone)]
pub(super) enum Named {
    /// A material, with what is to be said of the reading.
    Known(Arc<Material>, Vec<Doubt>),
    /// Several could be meant, or none is known.
    Unknown {
        /// Why it stays open.
        doubt: Doubt,
        /// What may be meant.
        suggestions: Vec<String>,
    },
}

struct Nickname {
    word: String,
    materials: Vec<String>,
    doubt: Option<String>,
}

static NICKNAMES: LazyLock<Vec<Nickname>> = LazyLock::new(|| {
    include_str!("../../../data/nicknames.csv")
        .lines()
        .filter(|line| !line.starts_with('#') && !line.trim().is_empty())
        .filter_map(|line| {
            let mut columns = line.splitn(3, ';');
            let word = folded(columns.next()?);
            let materials = columns.next()?;
            let doubt = columns.next().unwrap_or("").trim();
            Some(Nickname {
                word,
                materials: materials
                    .split('|')
                    .map(str::trim)
                    .filter(|name| !name.is_empty())
                    .map(str::to_owned)
                    .collect(),
                doubt: (!doubt.is_empty()).then(|| doubt.to_owned()),
            })
        })
        .collect()
});

/// Short forms inside names.
const SHORT: [(&str, &str); 14] = [
    ("carb", "carbonate"),
    ("ox", "oxide"),
    ("diox", "dioxide"),
    ("sil", "silicate"),
    ("sulph", "sulphate"),
    ("sulf", "sulphate"),
    ("pot", "potash"),
    ("potassium", "potash"),
    ("sodium", "soda"),
    ("felds", "feldspar"),
    ("felspar", "feldspar"),
    ("spar", "feldspar"),
    ("feld", "feldspar"),
    ("mang", "manganese"),
];

/// Words that say how a material looks and not what it is.
const NEEDLESS: [&str; 18] = [
    "washed",
    "unwashed",
    "powder",
    "powdered",
    "ground",
    "fine",
    "dry",
    "best",
    "good",
    "pure",
    "plain",
    "ordinary",
    "natural",
    "white",
    "extra",
    "more",
    "commercial",
    "mesh",
];

/// Words that label one of several versions: `blue - cobalt oxide 0.5`.
pub(super) const COLOURS: [&str; 12] = [
    "blue",
    "green",
    "red",
    "black",
    "yellow",
    "brown",
    "white",
    "pink",
    "purple",
    "turquoise",
    "grey",
    "celadon",
];

/// The material that a written name most likely stands for, by the trade's nicknames.
pub(crate) fn likely(written: &str, library: &Library) -> Option<String> {
    match exact(written, library)? {
        Named::Known(material, _) => Some(material.name.clone()),
        Named::Unknown { .. } => None,
    }
}

/// What `written` stands for.
pub(super) fn name(written: &str, library: &Library) -> Named {
    match exact(written, library) {
        Some(found) => found,
        None => without_letter(written, library).unwrap_or_else(|| guess(written, library)),
    }
}

/// A name that is known as it stands, by a nickname, or once needless words are left out.
pub(super) fn exact(written: &str, library: &Library) -> Option<Named> {
    let wanted = folded(&written.replace(['.', '-', '_'], " "));
    if wanted.is_empty() {
        return None;
    }
    if let Some(material) = library.find(written.trim()).filter(|found| !found.shipped) {
        return Some(Named::Known(material.clone(), Vec::new()));
    }
    let mut forms = vec![wanted.clone()];
    if let Some((first, second)) = wanted.split_once(", ") {
        forms.push(format!("{second} {first}"));
        forms.push(wanted.replacen(", ", " ", 1));
    }
    for form in forms.clone() {
        forms.extend(form.strip_suffix('s').map(str::to_owned));
        let long: Vec<&str> = form
            .split(' ')
            .map(|word| SHORT.iter().find(|short| short.0 == word).map_or(word, |short| short.1))
            .collect();
        forms.push(long.join(" "));
    }
    if let Some(found) = forms.iter().find_map(|form| looked_up(form, library)) {
        return Some(found);
    }
    if let Some((label, rest)) = wanted.split_once(' ').filter(|(label, _)| COLOURS.contains(label))
        && let Some(Named::Known(material, mut doubts)) = exact(rest, library)
    {
        doubts.push(Doubt::ColourBeforeName(label.to_owned()));
        return Some(Named::Known(material, doubts));
    }
    let bare: Vec<&str> = wanted.split(' ').filter(|word| !NEEDLESS.contains(word)).collect();
    let left_out: Vec<&str> = wanted.split(' ').filter(|word| NEEDLESS.contains(word)).collect();
    if left_out.is_empty() || bare.is_empty() {
        return None;
    }
    match looked_up(&bare.join(" "), library)? {
        Named::Known(material, mut doubts) => {
            doubts.push(Doubt::LeftOutOfName(left_out.join(" ")));
            Some(Named::Known(material, doubts))
        }
        unknown => Some(unknown),
    }
}

/// The studio's own material where a page's name would be a shipped one's: the own
/// one whose name contains it; two candidates are a doubt.
fn own_of_that_name(form: &str, library: &Library) -> Option<Named> {
    let wanted: Vec<&str> = form.split(' ').collect();
    // Calcined is another material: it is meant only where it is written.
    let calcined = |name: &str| name.contains("calcined");
    let contains = |name: &str| {
        let name = folded(name);
        let words: Vec<&str> = name.split([' ', ',', '-']).collect();
        words.windows(wanted.len()).any(|words| words == wanted) && calcined(&name) == calcined(form)
    };
    let own: Vec<&Arc<Material>> = library
        .iter()
        .filter(|material| !material.shipped && contains(&material.name))
        .collect();
    match own.as_slice() {
        [] => None,
        [only] => Some(Named::Known(
            (*only).clone(),
            vec![Doubt::TakenAsOwn {
                written: form.to_owned(),
                material: only.name.clone(),
            }],
        )),
        several => Some(Named::Unknown {
            doubt: Doubt::SeveralOwn(form.to_owned()),
            suggestions: several.iter().map(|material| material.name.clone()).collect(),
        }),
    }
}

fn looked_up(form: &str, library: &Library) -> Option<Named> {
    if let Some(material) = library.find(form) {
        if material.shipped
            && let Some(own) = own_of_that_name(form, library)
        {
            return Some(own);
        }
        return Some(Named::Known(material.clone(), Vec::new()));
    }
    let nickname = NICKNAMES.iter().find(|nickname| nickname.word == form)?;
    let doubt = nickname.doubt.clone().map(Doubt::Nickname);
    if let [only] = nickname.materials.as_slice() {
        let material = library.find(only)?;
        return Some(Named::Known(material.clone(), doubt.into_iter().collect()));
    }
    Some(Named::Unknown {
        doubt: doubt.unwrap_or_else(|| Doubt::UnknownName(form.to_owned())),
        suggestions: nickname.materials.clone(),
    })
}

/// `kaolin G`: a material with a letter that the shelf doesn't know.
fn without_letter(written: &str, library: &Library) -> Option<Named> {
    let (rest, letter) = written.trim().rsplit_once(' ')?;
    if letter.chars().count() != 1 || !letter.chars().all(char::is_alphabetic) {
        return None;
    }
    match exact(rest, library)? {
        Named::Known(material, mut doubts) => {
            doubts.push(Doubt::WithoutLetter {
                written: written.trim().to_owned(),
                material: material.name.clone(),
                letter: letter.to_owned(),
            });
            Some(Named::Known(material, doubts))
        }
        unknown => Some(unknown),
    }
}

/// The nearest name: taken where the slip is plain, else suggested.
fn guess(written: &str, library: &Library) -> Named {
    let wanted = folded(&written.replace(['.', '-', '_'], " "));
    let allowed = match wanted.chars().count() {
        0..5 => 0,
        5..9 => 1,
        _ => 2,
    };
    let mut names: Vec<&str> = library
        .iter()
        .flat_map(|material| std::iter::once(&material.name).chain(&material.other_names))
        .map(String::as_str)
        .collect();
    names.extend(
        NICKNAMES
            .iter()
            .filter(|nickname| nickname.materials.len() == 1)
            .map(|nickname| nickname.word.as_str()),
    );
    if wanted.chars().count() > 60 {
        return unknown(written, Vec::new());
    }
    let mut near: Vec<(usize, &str)> = names
        .iter()
        .map(|known| (strsim::damerau_levenshtein(&wanted, &folded(known)), *known))
        .filter(|(edits, _)| *edits <= allowed)
        .collect();
    near.sort_by_key(|(edits, _)| *edits);
    let least = near.first().map_or(0, |first| first.0);
    let mut meant: Vec<Arc<Material>> = Vec::new();
    for (_, known) in near.iter().filter(|(edits, _)| *edits == least) {
        if let Some(Named::Known(material, _)) = looked_up(&folded(known), library)
            && !meant.iter().any(|other| other.name == material.name)
        {
            meant.push(material);
        }
    }
    if let [only] = meant.as_slice() {
        let doubts = vec![Doubt::SlipOfThePen {
            written: written.trim().to_owned(),
            material: only.name.clone(),
        }];
        return Named::Known(only.clone(), doubts);
    }
    let mut suggestions: Vec<String> = meant.iter().map(|material| material.name.clone()).collect();
    if suggestions.is_empty() {
        suggestions.extend(nearest(&wanted, names).map(str::to_owned));
    }
    unknown(written, suggestions)
}

fn unknown(written: &str, suggestions: Vec<String>) -> Named {
    Named::Unknown {
        doubt: Doubt::UnknownName(written.trim().to_owned()),
        suggestions,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_nickname_has_three_columns_and_no_twin() {
        let mut words: Vec<&str> = NICKNAMES.iter().map(|nickname| nickname.word.as_str()).collect();
        assert!(words.len() > 100);
        words.sort_unstable();
        let all = words.len();
        words.dedup();
        assert_eq!(words.len(), all);
    }
}
