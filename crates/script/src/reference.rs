//! What scripts may call, from the same shelf that the engine runs on.

use crate::engine::entries;
use crate::shelf::{Entry, Form};
use crate::sort::Sort;

/// Everything a script may call, in the order of the shelf.
pub fn reference() -> &'static [Entry] {
    entries()
}

/// Whether an entry belongs to values of this sort.
pub(crate) fn belongs(entry: &Entry, owner: Sort) -> bool {
    match (entry.owner, owner) {
        (Sort::List(_), Sort::List(_)) => true,
        (one, other) => one == other,
    }
}

/// How a function or method of this name is written, each form once: `` `round(x)` ``.
pub(crate) fn forms_of(name: &str) -> Vec<String> {
    let mut forms: Vec<String> = Vec::new();
    for entry in entries() {
        let callable = matches!(entry.form, Form::Function | Form::Method);
        let form = format!("`{}`", entry.signature());
        if callable && entry.name == name && !forms.contains(&form) {
            forms.push(form);
        }
    }
    forms
}

/// The properties and methods of a sort, each once, for suggestions.
pub(crate) fn names_of(owner: Sort) -> impl Iterator<Item = &'static str> {
    let mut names: Vec<&'static str> = Vec::new();
    for entry in entries() {
        let asked_of_it = matches!(entry.form, Form::Property | Form::Method);
        if asked_of_it && belongs(entry, owner) && !names.contains(&entry.name) {
            names.push(entry.name);
        }
    }
    names.into_iter()
}

impl Sort {
    /// What a value of this sort is called in examples.
    fn stand_in(self) -> &'static str {
        match self {
            Sort::Oxides => "u",
            Sort::Parts => "glaze.parts",
            Sort::Part => "line",
            Sort::List(_) => "list",
            Sort::Table => "#{ a: 1 }",
            Sort::Text => "\"glaze\"",
            Sort::Findings => "t.check(glaze)",
            Sort::Bucket => "bucket(#{ jar_ml: 500, jar_g: 735, gross: 13480, tare: 620, to: 1.45 })",
            Sort::Report => "table(#{ columns: [\"glaze\", \"SiO2\"] })",
            other => other.word(),
        }
    }
}

/// What stands for a parameter in examples.
fn argument(owner: Sort, method: &str, parameter: &str) -> &'static str {
    match (owner, parameter) {
        (Sort::Table, "name") => "\"a\"",
        (Sort::Materials, "name") => "\"whiting\"",
        (Sort::Options, "name") => "\"most\"",
        (Sort::Studio, "name") if method == "glaze" => "\"Ashford clear\"",
        (Sort::Studio, "name") if method == "clay" => "\"buff stoneware\"",
        (Sort::Studio, "name") => "\"sales\"",
        (Sort::Tester, "ends") => "[glaze, glaze]",
        (Sort::Tester, "studio") => "[glaze]",
        (Sort::Tester, "seen") => "#{ fault: \"specks\", glaze: glaze, where: \"rims\" }",
        (_, "column") => "\"pieces\"",
        (_, "x" | "b" | "letters") => "2",
        (_, "place" | "start") => "0",
        (_, "part" | "old") => "\"gl\"",
        (_, "new") => "\"c\"",
        (_, "other" | "glaze") => "glaze",
        (_, "finding") => "#{ subject: \"SiO2\", message: \"little silica\", value: 1.8, low: 2.5 }",
        (_, "findings") => "t.check(glaze)",
        (_, "level") => "\"nothing found\"",
        (_, "holds") => "true",
        (_, "message") => "\"it holds\"",
        (_, "tolerance") => "0.01",
        _ => "1",
    }
}

impl Entry {
    fn parameter_names(&self) -> impl Iterator<Item = &'static str> {
        self.parameters
            .split(',')
            .map(str::trim)
            .filter(|name| !name.is_empty())
    }

    /// How it is written: `glaze.with_part(material, parts)`.
    pub fn signature(&self) -> String {
        let owner = self.owner.word();
        match self.form {
            Form::Property => format!("{owner}.{}", self.name),
            Form::Method => format!("{owner}.{}({})", self.name, self.parameters),
            Form::Function => format!("{}({})", self.name, self.parameters),
            Form::Operator if self.name == "!" => "!a".to_owned(),
            Form::Operator => format!("a {} b", self.name),
            Form::Index => format!("{owner}[{}]", self.parameters),
            Form::Global => self.name.to_owned(),
        }
    }

    /// An example that works: its own, or one from its form.
    pub fn shown_example(&self) -> String {
        if !self.example.is_empty() {
            return self.example.to_owned();
        }
        let owner = self.owner.stand_in();
        let arguments: Vec<&str> = self
            .parameter_names()
            .map(|parameter| argument(self.owner, self.name, parameter))
            .collect();
        let arguments = arguments.join(", ");
        match self.form {
            Form::Property => format!("{owner}.{}", self.name),
            Form::Method => format!("{owner}.{}({arguments})", self.name),
            Form::Function => format!("{}({arguments})", self.name),
            Form::Operator if self.name == "!" => "!glaze.known".to_owned(),
            Form::Operator if self.name == "+=" => "list += [3]".to_owned(),
            Form::Operator if self.name == "==" => "3 == 3.0".to_owned(),
            Form::Operator => format!("3 {} 2", self.name),
            Form::Index => format!("{owner}[{arguments}]"),
            Form::Global => self.name.to_owned(),
        }
    }

    /// The heading that it stands under.
    pub fn group(&self) -> &'static str {
        match self.owner {
            Sort::Glaze => "A glaze",
            Sort::Oxides => "Amounts of oxides",
            Sort::Parts | Sort::Part => "The lines of a recipe",
            Sort::Material | Sort::Materials => "Materials and the optimiser",
            Sort::Proposal => "A recipe that the optimiser found",
            Sort::Clay => "A clay",
            Sort::Options => "Options",
            Sort::Request => "What was asked of a swap or a blend",
            Sort::Seen => "What was seen, in `fault` scripts",
            Sort::Studio | Sort::Row => "The studio and its tables, in `run` scripts",
            Sort::Report => "Putting out tables, in `run` scripts",
            Sort::Bucket => "A wet bucket",
            Sort::Note | Sort::Fit | Sort::Band => "What the pieces say",
            Sort::Tester | Sort::Findings => "Tests",
            Sort::List(_) => "Lists",
            Sort::Table => "Tables, `#{ name: value }`",
            Sort::Text => "Texts",
            _ => match (self.form, self.name) {
                (Form::Global, "materials") => "Materials and the optimiser",
                (Form::Global, _) => "What was asked of a swap or a blend",
                (Form::Operator, _) => "Operators",
                (Form::Function, "say" | "table") => "Putting out tables, in `run` scripts",
                (Form::Function, "bucket") => "A wet bucket",
                (Form::Function, "within") => "Amounts of oxides",
                _ => "Numbers and more",
            },
        }
    }
}

/// The headings, in the order of the page.
pub const GROUPS: [&str; 19] = [
    "A glaze",
    "Amounts of oxides",
    "The lines of a recipe",
    "A clay",
    "What the pieces say",
    "A wet bucket",
    "Options",
    "Materials and the optimiser",
    "A recipe that the optimiser found",
    "What was asked of a swap or a blend",
    "What was seen, in `fault` scripts",
    "The studio and its tables, in `run` scripts",
    "Putting out tables, in `run` scripts",
    "Tests",
    "Numbers and more",
    "Operators",
    "Texts",
    "Lists",
    "Tables, `#{ name: value }`",
];

/// A sort as definitions for editors name it.
fn type_name(sort: Sort) -> &'static str {
    match sort {
        Sort::Any => "?",
        Sort::Nothing => "()",
        Sort::YesNo => "bool",
        Sort::Number => "float",
        Sort::Text => "String",
        Sort::List(_) => "Array",
        Sort::Table => "Map",
        Sort::Function => "Fn",
        Sort::Glaze => "Glaze",
        Sort::Oxides => "Oxides",
        Sort::Parts => "Parts",
        Sort::Part => "Part",
        Sort::Material => "Material",
        Sort::Materials => "Materials",
        Sort::Clay => "Clay",
        Sort::Options => "Options",
        Sort::Request => "Request",
        Sort::Seen => "Seen",
        Sort::Findings => "Findings",
        Sort::Tester => "Tester",
        Sort::Proposal => "Proposal",
        Sort::Studio => "Studio",
        Sort::Row => "Row",
        Sort::Report => "Report",
        Sort::Bucket => "Bucket",
        Sort::Note => "Note",
        Sort::Fit => "Fit",
        Sort::Band => "Band",
    }
}

/// The first line of the definitions.
pub const DEFINITIONS_HEAD: &str = "// What Glost scripts may use; written by `glost script reference --definitions`.";

/// Definitions for editors, in the language's own form for them.
pub fn definitions() -> String {
    let mut text = format!("{DEFINITIONS_HEAD}\nmodule static;\n");
    for entry in entries() {
        let returns = type_name(entry.returns);
        let parameters: Vec<String> = entry.parameter_names().map(|name| format!("{name}: ?")).collect();
        let owner = type_name(entry.owner);
        let with_owner = std::iter::once(format!("self: {owner}"))
            .chain(parameters.iter().cloned())
            .collect::<Vec<_>>()
            .join(", ");
        let line = match entry.form {
            Form::Operator => continue,
            Form::Property => format!("fn get {}(self: {owner}) -> {returns};", entry.name),
            Form::Method => format!("fn {}({with_owner}) -> {returns};", entry.name),
            Form::Function => format!("fn {}({}) -> {returns};", entry.name, parameters.join(", ")),
            Form::Index => format!("fn index get({with_owner}) -> {returns};"),
            Form::Global => format!("let {}: {returns};", entry.name),
        };
        text.push_str(&format!(
            "\n/// {}\n/// `{}`\n{line}\n",
            entry.about,
            entry.shown_example()
        ));
    }
    text
}
