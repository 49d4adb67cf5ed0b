//! What a table is about, and what each of its columns is taken for.

use std::collections::HashMap;

use glost_chemistry::material::Library;
use glost_chemistry::read::folded;

use super::cells::Table;
use super::heading::{AMOUNT, GLAZE, Heading, MATERIAL, ROLE, TOTAL, TakenAs};

/// What a table is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// A row a glaze, a column a material.
    WideRecipes,
    /// A row for each material of each glaze.
    LongRecipes,
    /// A row a glaze, its keys alone.
    Glazes,
    /// A row a material with what it is made of.
    Materials,
    /// A row a material, its stock or price alone.
    Counts,
    /// A row a clay.
    Clays,
    /// A row a key of `studio.yaml`.
    Settings,
}

/// Columns to be taken otherwise, by their folded headings: a material's name, `+ name`,
/// a key, or [`PASS`]. Names in the cells of a recipe's materials are looked up too.
pub type Otherwise = HashMap<String, String>;
/// What a column is called that is to be passed by.
pub const PASS: &str = "skip";

/// A table with what it is about.
#[derive(Debug, Clone)]
pub struct Sorted {
    /// What it is about.
    pub sort: Sort,
    /// What each column is taken for, with its heading taken apart.
    pub columns: Vec<(Heading, TakenAs)>,
}

impl Sorted {
    /// The first column taken for this.
    pub fn column(&self, wanted: &TakenAs) -> Option<usize> {
        self.columns.iter().position(|(_, taken)| taken == wanted)
    }
}

/// Sorts a table; none where nothing of it is known.
pub fn sort(table: &Table, library: &Library, otherwise: &Otherwise) -> Option<Sorted> {
    let headings: Vec<Heading> = table
        .headings
        .iter()
        .map(|text| Heading::of(otherwise.get(&folded(text)).map_or(text, |instead| instead)))
        .collect();
    let sort = about(&headings, library)?;
    let mut columns: Vec<(Heading, TakenAs)> = headings
        .into_iter()
        .map(|heading| {
            let taken = if heading.name == PASS {
                TakenAs::Passed
            } else if heading.text.is_empty() {
                TakenAs::Blank
            } else {
                match sort {
                    Sort::WideRecipes => wide(&heading, library),
                    Sort::LongRecipes => long(&heading),
                    Sort::Glazes => about_glaze(&heading),
                    Sort::Materials | Sort::Counts => about_material(&heading),
                    Sort::Clays => about_clay(&heading),
                    Sort::Settings => TakenAs::Key(heading.name.clone()),
                }
            };
            (heading, taken)
        })
        .collect();
    one_name(table, sort, &mut columns);
    Some(Sorted { sort, columns })
}

fn about(headings: &[Heading], library: &Library) -> Option<Sort> {
    let any = |words: &[&str]| headings.iter().any(|heading| heading.is(words));
    let first = |words: &[&str]| headings.first().is_some_and(|heading| heading.is(words));
    let materials = headings
        .iter()
        .filter(|heading| material(heading, library).is_some())
        .count();
    let oxides = headings.iter().filter(|heading| heading.oxide().is_some()).count();
    let material_keys = |keys: &[&str]| {
        let of = |heading: &Heading| heading.material_key().is_some_and(|key| keys.contains(&key));
        headings.iter().any(of)
    };
    let named = any(&GLAZE) || any(&MATERIAL);
    if first(&["key"]) && headings.len() == 2 && headings[1].is(&["value"]) {
        Some(Sort::Settings)
    } else if first(&["clay", "body", "clay body"]) && materials == 0 {
        Some(Sort::Clays)
    } else if oxides >= 2 && oxides >= materials || oxides == 1 && materials <= 1 && !any(&["glaze", "recipe"]) && named
    {
        Some(Sort::Materials)
    } else if any(&MATERIAL) && any(&AMOUNT) {
        Some(Sort::LongRecipes)
    } else if any(&MATERIAL) && material_keys(&["analysis", "formula", "recipe", "kind"]) {
        Some(Sort::Materials)
    } else if (any(&MATERIAL) || any(&["name"])) && material_keys(&["price", "stock", "lot", "lots", "buyable"]) {
        Some(Sort::Counts)
    } else if materials > 0 {
        Some(Sort::WideRecipes)
    } else if any(&GLAZE) {
        let known = |heading: &&Heading| heading.glaze_key().is_some() || heading.is(&["file"]);
        let keys = headings.iter().filter(known).count();
        Some(if keys + 1 == headings.len() {
            Sort::Glazes
        } else {
            Sort::WideRecipes
        })
    } else {
        None
    }
}

/// The material that a heading names, and whether it is said to come on top.
fn material(heading: &Heading, library: &Library) -> Option<(String, bool)> {
    let lower = heading.text.to_lowercase();
    let (addition, text) = match heading.text.strip_prefix('+') {
        Some(rest) => (true, rest.trim()),
        None => match ["add ", "add. ", "addition "]
            .iter()
            .find(|word| lower.starts_with(**word))
        {
            // ASCII words: as long in both.
            Some(word) => (true, heading.text.get(word.len()..).unwrap_or("").trim()),
            None => (false, heading.text.as_str()),
        },
    };
    let bare = Heading::of(text).name;
    let found = library.find(text).or_else(|| library.find(&bare))?;
    Some((found.name.clone(), addition))
}

fn wide(heading: &Heading, library: &Library) -> TakenAs {
    if heading.is(&["file"]) {
        return TakenAs::File;
    }
    if let Some(key) = heading.glaze_key() {
        return TakenAs::Key(key.to_owned());
    }
    if let Some((material, addition)) = material(heading, library) {
        return TakenAs::Part { material, addition };
    }
    if heading.is(&GLAZE) {
        return TakenAs::Glaze;
    }
    if heading.is(&TOTAL) {
        return TakenAs::Total;
    }
    TakenAs::Unknown
}

fn long(heading: &Heading) -> TakenAs {
    if heading.is(&MATERIAL) {
        TakenAs::Ingredient
    } else if heading.is(&AMOUNT) {
        TakenAs::Amount
    } else if heading.is(&ROLE) {
        TakenAs::Role
    } else {
        about_glaze(heading)
    }
}

fn about_glaze(heading: &Heading) -> TakenAs {
    if heading.is(&["file"]) {
        TakenAs::File
    } else if let Some(key) = heading.glaze_key() {
        TakenAs::Key(key.to_owned())
    } else if heading.is(&GLAZE) {
        TakenAs::Glaze
    } else if heading.is(&TOTAL) {
        TakenAs::Total
    } else {
        TakenAs::Unknown
    }
}

fn about_material(heading: &Heading) -> TakenAs {
    if heading.is(&["file"]) {
        TakenAs::File
    } else if let Some(oxide) = heading.tolerance() {
        TakenAs::Tolerance(oxide.to_owned())
    } else if let Some(oxide) = heading.oxide() {
        TakenAs::Oxide(oxide.to_owned())
    } else if let Some(key) = heading.material_key() {
        TakenAs::Key(key.to_owned())
    } else if heading.is(&MATERIAL) || heading.is(&["name"]) {
        TakenAs::Material
    } else if heading.is(&TOTAL) {
        TakenAs::Total
    } else {
        TakenAs::Unknown
    }
}

fn about_clay(heading: &Heading) -> TakenAs {
    if heading.is(&["file"]) {
        TakenAs::File
    } else if heading.is(&["clay", "body", "clay body"]) {
        TakenAs::Clay
    } else {
        TakenAs::Key(heading.text.clone())
    }
}

/// Sees to it that one column, and one alone, holds the names: without a heading that
/// says so the first column of words.
fn one_name(table: &Table, sort: Sort, columns: &mut [(Heading, TakenAs)]) {
    let wanted = match sort {
        Sort::WideRecipes | Sort::LongRecipes | Sort::Glazes => TakenAs::Glaze,
        Sort::Materials | Sort::Counts => TakenAs::Material,
        Sort::Clays => TakenAs::Clay,
        Sort::Settings => return,
    };
    for unique in [wanted.clone(), TakenAs::Ingredient, TakenAs::Amount, TakenAs::Role] {
        for (_, taken) in columns.iter_mut().filter(|(_, taken)| *taken == unique).skip(1) {
            *taken = TakenAs::Unknown;
        }
    }
    if columns.iter().any(|(_, taken)| *taken == wanted) {
        return;
    }
    let of_words = |column: usize| {
        let mut cells = table
            .rows
            .iter()
            .map(|row| row.cell(column))
            .filter(|cell| !cell.is_empty());
        cells.next().is_some_and(|cell| cell.chars().any(char::is_alphabetic))
    };
    let free = |taken: &TakenAs| matches!(taken, TakenAs::Unknown | TakenAs::Blank);
    if let Some(at) = (0..columns.len()).find(|at| free(&columns[*at].1) && of_words(*at)) {
        columns[at].1 = wanted;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_chemistry::diagnostic::Source;
    use glost_chemistry::material::read_materials;

    #[test]
    fn a_table_is_about_what_its_headings_say() {
        let shelf =
            "materials: [{ name: silica, formula: SiO2, source: x }, { name: whiting, formula: CaCO3, source: x }]";
        let mut library = Library::default();
        library.add_layer(read_materials(&Source::from_text("m.yaml", shelf)).0, false);
        for (headings, sort) in [
            ("key,value", Some(Sort::Settings)),
            ("key,value,why", None),
            ("key,price", None),
            ("what,value", None),
            ("clay,absorption", Some(Sort::Clays)),
            ("clay,silica,whiting", Some(Sort::WideRecipes)),
            ("material,SiO2,Al2O3", Some(Sort::Materials)),
            ("material,SiO2", Some(Sort::Materials)),
            ("glaze,SiO2", Some(Sort::WideRecipes)),
            ("glaze,material,amount", Some(Sort::LongRecipes)),
            ("material,formula", Some(Sort::Materials)),
            ("material,stock", Some(Sort::Counts)),
            ("name,price", Some(Sort::Counts)),
            ("glaze,silica,whiting", Some(Sort::WideRecipes)),
            ("glaze,cone", Some(Sort::Glazes)),
            ("glaze,cone,ball clay", Some(Sort::WideRecipes)),
            ("day,weather", None),
        ] {
            let headings: Vec<Heading> = headings.split(',').map(Heading::of).collect();
            assert_eq!(about(&headings, &library), sort, "{headings:?}");
        }
    }
}
