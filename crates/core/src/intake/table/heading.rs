//! What a column's heading says: what it is taken for, in which unit.

use glost_chemistry::glaze::GLAZE_KEYS;
use glost_chemistry::material::MATERIAL_KEYS;
use glost_chemistry::oxides::AnalysisKey;
use glost_chemistry::quantity::unit_grams;
use glost_chemistry::read::folded;

/// What a column is taken for.
#[derive(Debug, Clone, PartialEq)]
pub enum TakenAs {
    /// The names of glazes.
    Glaze,
    /// The names of materials, each with its own entry.
    Material,
    /// The names of clays.
    Clay,
    /// Whether a line is of the base or an addition.
    Role,
    /// The material of a line of a recipe.
    Ingredient,
    /// How much of it.
    Amount,
    /// Parts of the base of one material, or an addition of it.
    Part {
        /// The material.
        material: String,
        /// Whether the heading says that it comes on top.
        addition: bool,
    },
    /// One key of a file, as `cone` or `price`.
    Key(String),
    /// One line of an analysis.
    Oxide(String),
    /// Its standard deviation.
    Tolerance(String),
    /// The file that it stood in.
    File,
    /// A sum, which is worked out anew.
    Total,
    /// Passed by, as asked.
    Passed,
    /// No heading and nothing below it.
    Blank,
    /// Not known.
    Unknown,
}

/// A heading taken apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Heading {
    /// As it stands.
    pub text: String,
    /// Without its unit, folded.
    pub name: String,
    /// Its unit, where it has one.
    pub unit: Option<String>,
}

impl Heading {
    /// Takes a heading apart: `Silica (g)`, `Price, EUR/kg`, `Cobalt %`.
    pub fn of(text: &str) -> Heading {
        let (name, unit) = apart(text);
        Heading {
            text: text.to_owned(),
            name: folded(&name.replace('_', " ")),
            unit,
        }
    }

    /// Whether it is one of these words.
    pub fn is(&self, words: &[&str]) -> bool {
        words.contains(&self.name.as_str())
    }

    /// The line of an analysis that it names, whatever its case or its figures.
    pub fn oxide(&self) -> Option<&'static str> {
        oxide(&self.name)
    }

    /// The oxide whose standard deviation it holds.
    pub fn tolerance(&self) -> Option<&'static str> {
        let rest = self.name.strip_prefix("tolerance ").or(self.name.strip_prefix("± "))?;
        oxide(rest)
    }

    /// The glaze file's key that it means.
    pub fn glaze_key(&self) -> Option<&'static str> {
        key(
            &self.name,
            &GLAZE_WORDS,
            GLAZE_KEYS.into_iter(),
            &["glaze", "parts", "additions", "accepted"],
        )
    }

    /// The materials file's key that it means.
    pub fn material_key(&self) -> Option<&'static str> {
        key(&self.name, &MATERIAL_WORDS, MATERIAL_KEYS.into_iter(), &["name"])
    }
}

/// Headings of the names of glazes; other languages' too, for sheets from elsewhere.
pub const GLAZE: [&str; 19] = [
    "glaze",
    "glaze name",
    "glazes",
    "recipe",
    "recipe name",
    "name",
    "title",
    "glasur",
    "glasurname",
    "rezept",
    "bezeichnung",
    "nom",
    "émail",
    "recette",
    "nombre",
    "esmalte",
    "receta",
    "nome",
    "smalto",
];
/// Headings of materials.
pub const MATERIAL: [&str; 15] = [
    "material",
    "material name",
    "materials",
    "raw material",
    "ingredient",
    "ingredients",
    "rohstoff",
    "rohstoffe",
    "matière",
    "matière première",
    "ingrédient",
    "materia prima",
    "materia",
    "ingrediente",
    "component",
];
/// Headings of amounts.
pub const AMOUNT: [&str; 18] = [
    "amount",
    "amounts",
    "parts",
    "part",
    "weight",
    "quantity",
    "qty",
    "grams",
    "gram",
    "g",
    "percent",
    "%",
    "wt%",
    "menge",
    "anteil",
    "gewicht",
    "quantité",
    "cantidad",
];
/// Headings of what a line counts as.
pub const ROLE: [&str; 6] = ["role", "type", "base or addition", "addition", "section", "part of"];
/// Headings of sums.
pub const TOTAL: [&str; 7] = ["total", "sum", "summe", "gesamt", "total %", "somme", "totale"];

const GLAZE_WORDS: [(&str, &str); 24] = [
    ("comment", "notes"),
    ("comments", "notes"),
    ("remark", "notes"),
    ("remarks", "notes"),
    ("note", "notes"),
    ("bemerkung", "notes"),
    ("bemerkungen", "notes"),
    ("notiz", "notes"),
    ("notizen", "notes"),
    ("remarques", "notes"),
    ("kegel", "cone"),
    ("segerkegel", "cone"),
    ("cône", "cone"),
    ("cono", "cone"),
    ("temperature", "peak"),
    ("temp", "peak"),
    ("temperatur", "peak"),
    ("brenntemperatur", "peak"),
    ("peak temperature", "peak"),
    ("clay body", "clay"),
    ("ton", "clay"),
    ("masse", "clay"),
    ("atmosphäre", "atmosphere"),
    ("specific gravity", "density"),
];
const MATERIAL_WORDS: [(&str, &str); 27] = [
    ("loi", "loss_on_ignition"),
    ("l.o.i.", "loss_on_ignition"),
    ("l.o.i", "loss_on_ignition"),
    ("loss", "loss_on_ignition"),
    ("ignition loss", "loss_on_ignition"),
    ("glühverlust", "loss_on_ignition"),
    ("gv", "loss_on_ignition"),
    ("perte au feu", "loss_on_ignition"),
    ("paf", "loss_on_ignition"),
    ("specific gravity", "density"),
    ("cost", "price"),
    ("preis", "price"),
    ("prix", "price"),
    ("price per kg", "price"),
    ("cost per kg", "price"),
    ("preis pro kg", "price"),
    ("in stock", "stock"),
    ("on hand", "stock"),
    ("count", "stock"),
    ("counted", "stock"),
    ("bestand", "stock"),
    ("lager", "stock"),
    ("inventory", "stock"),
    ("aliases", "other_names"),
    ("synonyms", "other_names"),
    ("lot number", "lot"),
    ("charge", "lot"),
];

fn key(
    name: &str,
    words: &[(&'static str, &'static str)],
    mut keys: impl Iterator<Item = &'static str>,
    apart_from: &[&str],
) -> Option<&'static str> {
    keys.find(|key| key.replace('_', " ") == name)
        .or_else(|| words.iter().find(|word| word.0 == name).map(|word| word.1))
        .filter(|key| !apart_from.contains(key))
}

/// An analysis line by its name without case, low figures read as figures.
fn oxide(name: &str) -> Option<&'static str> {
    let plain: String = name
        .chars()
        .map(|sign| match sign {
            '₀'..='₉' => char::from_digit(u32::from(sign) - u32::from('₀'), 10).unwrap_or(sign),
            other => other,
        })
        .filter(|sign| !sign.is_whitespace())
        .collect();
    // `co2` is carbon dioxide, `coo` cobalt oxide: no two lines differ by case alone.
    AnalysisKey::names().find(|known| known.to_lowercase() == plain)
}

/// A heading's name and unit.
fn apart(text: &str) -> (String, Option<String>) {
    let text = text.trim();
    for (open, close) in [('(', ')'), ('[', ']')] {
        if let Some(before) = text.strip_suffix(close)
            && let Some((name, unit)) = before.rsplit_once(open)
            && is_unit(unit)
        {
            return (name.trim().to_owned(), Some(unit.trim().to_owned()));
        }
    }
    if let Some(name) = text.strip_suffix('%').filter(|name| !name.trim().is_empty()) {
        let name = name.trim().trim_end_matches("wt").trim_end();
        return (name.to_owned(), Some("%".to_owned()));
    }
    // `frit C` is a name: one letter alone is no unit after a blank.
    let last_word = text.rsplit_once(' ').filter(|(_, word)| word.chars().count() > 1);
    for parted in [text.rsplit_once(','), text.rsplit_once(" in "), last_word] {
        if let Some((name, unit)) = parted
            && is_unit(unit)
            && !name.trim().is_empty()
        {
            return (
                name.trim().trim_end_matches(',').to_owned(),
                Some(unit.trim().to_owned()),
            );
        }
    }
    (text.to_owned(), None)
}

/// Whether it can be a unit: of weight, per cent, degrees, a price per weight.
fn is_unit(text: &str) -> bool {
    let text = text.trim();
    let lower = text.to_lowercase();
    let price = |sep: &str| {
        lower
            .split_once(sep)
            .is_some_and(|(money, weight)| !money.is_empty() && unit_grams(weight.trim()).is_some())
    };
    unit_grams(text).is_some()
        || matches!(
            lower.as_str(),
            "%" | "wt%"
                | "wt %"
                | "wt.%"
                | "wt.-%"
                | "gew.-%"
                | "parts"
                | "°c"
                | "c"
                | "°f"
                | "f"
                | "g/ml"
                | "g/cm3"
                | "l/kg"
                | "ml/kg"
        )
        || price("/")
        || price(" per ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_come_off_and_names_stay_whole() {
        for (text, name, unit) in [
            ("Silica (g)", "silica", Some("g")),
            ("Kaolin (china clay)", "kaolin (china clay)", None),
            ("Cobalt oxide %", "cobalt oxide", Some("%")),
            ("Price, EUR/kg", "price", Some("EUR/kg")),
            ("Price EUR/kg", "price", Some("EUR/kg")),
            ("Stock [kg]", "stock", Some("kg")),
            ("SiO2 wt%", "sio2", Some("%")),
            ("frit 3", "frit 3", None),
            ("frit C", "frit c", None),
            ("loss_on_ignition", "loss on ignition", None),
        ] {
            let heading = Heading::of(text);
            assert_eq!((heading.name.as_str(), heading.unit.as_deref()), (name, unit), "{text}");
        }
        assert_eq!(Heading::of("SiO₂").oxide(), Some("SiO2"));
        assert_eq!(Heading::of("al2o3 (%)").oxide(), Some("Al2O3"));
        assert_eq!(Heading::of("tolerance SiO2").tolerance(), Some("SiO2"));
        assert_eq!(Heading::of("LOI").material_key(), Some("loss_on_ignition"));
        assert_eq!(Heading::of("Glasur").glaze_key(), None);
    }

    #[test]
    fn no_two_lines_of_an_analysis_differ_by_case_alone() {
        let mut names: Vec<String> = AnalysisKey::names().map(str::to_lowercase).collect();
        let all = names.len();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), all);
    }
}
