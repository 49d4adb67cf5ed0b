//! The sorts of values a script meets, in words for messages and checks.

use std::any::TypeId;

use rhai::{Array, FnPtr, ImmutableString, Map};

/// What sort of value it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// Not known before it runs, or any.
    Any,
    /// `()`.
    Nothing,
    /// true or false.
    YesNo,
    /// A number; whole or not makes no difference.
    Number,
    /// A text.
    Text,
    /// A list of one sort.
    List(&'static Sort),
    /// `#{ name: value }`.
    Table,
    /// `|x| ...`.
    Function,
    /// A glaze.
    Glaze,
    /// Amounts of oxides.
    Oxides,
    /// The lines of a recipe.
    Parts,
    /// One line of a recipe.
    Part,
    /// A material.
    Material,
    /// All materials in sight.
    Materials,
    /// A clay.
    Clay,
    /// The options of the script.
    Options,
    /// What was asked of a swap or a blend.
    Request,
    /// What was seen on a piece, and where.
    Seen,
    /// What a check found, in a test.
    Findings,
    /// The tester handed to `test_*` functions.
    Tester,
    /// A recipe that the optimiser found.
    Proposal,
    /// The whole studio.
    Studio,
    /// A row of a table handed over.
    Row,
    /// A table that a script puts out.
    Report,
    /// A wet bucket.
    Bucket,
    /// A note of the studio's notebook.
    Note,
    /// A glaze's place in a clay's window.
    Fit,
    /// A median with its band.
    Band,
}

/// The types of our own values.
const VALUES: [(&str, Sort); 21] = [
    ("GlazeValue", Sort::Glaze),
    ("OxidesValue", Sort::Oxides),
    ("PartsValue", Sort::Parts),
    ("PartValue", Sort::Part),
    ("MaterialValue", Sort::Material),
    ("MaterialsValue", Sort::Materials),
    ("ClayValue", Sort::Clay),
    ("OptionsValue", Sort::Options),
    ("RequestValue", Sort::Request),
    ("SeenValue", Sort::Seen),
    ("FindingsValue", Sort::Findings),
    ("TesterValue", Sort::Tester),
    ("ProposalValue", Sort::Proposal),
    ("StudioValue", Sort::Studio),
    ("RowValue", Sort::Row),
    ("ReportValue", Sort::Report),
    ("BucketValue", Sort::Bucket),
    ("NoteValue", Sort::Note),
    ("FitValue", Sort::Fit),
    ("BandValue", Sort::Band),
    ("WalkedValue", Sort::List(&Sort::Any)),
];

impl Sort {
    /// The sort with its article, for messages.
    pub fn words(self) -> &'static str {
        match self {
            Sort::Any => "a value",
            Sort::Nothing => "nothing, `()`",
            Sort::YesNo => "true or false",
            Sort::Number => "a number",
            Sort::Text => "a text",
            Sort::List(_) => "a list",
            Sort::Table => "a table, `#{ ... }`",
            Sort::Function => "a function",
            Sort::Glaze => "a glaze",
            Sort::Oxides => "amounts of oxides",
            Sort::Parts => "the lines of a recipe",
            Sort::Part => "a line of a recipe",
            Sort::Material => "a material",
            Sort::Materials => "the materials",
            Sort::Clay => "a clay",
            Sort::Options => "the options",
            Sort::Request => "the request",
            Sort::Seen => "what was seen",
            Sort::Findings => "findings",
            Sort::Tester => "the tester",
            Sort::Proposal => "a proposal",
            Sort::Studio => "the studio",
            Sort::Row => "a row",
            Sort::Report => "a table to put out",
            Sort::Bucket => "a bucket",
            Sort::Note => "a note",
            Sort::Fit => "a fit",
            Sort::Band => "a band",
        }
    }

    /// `a glaze has no`, `the materials have no`.
    pub(crate) fn has_no(self) -> String {
        let many = matches!(
            self,
            Sort::Oxides | Sort::Parts | Sort::Materials | Sort::Options | Sort::Findings
        );
        format!("{} {} no", self.words(), if many { "have" } else { "has" })
    }

    /// One word, for tables and definitions.
    pub fn word(self) -> &'static str {
        match self {
            Sort::Any => "value",
            Sort::Nothing => "nothing",
            Sort::YesNo => "yes/no",
            Sort::Number => "number",
            Sort::Text => "text",
            Sort::List(_) => "list",
            Sort::Table => "table",
            Sort::Function => "function",
            Sort::Glaze => "glaze",
            Sort::Oxides => "oxides",
            Sort::Parts => "parts",
            Sort::Part => "part",
            Sort::Material => "material",
            Sort::Materials => "materials",
            Sort::Clay => "clay",
            Sort::Options => "option",
            Sort::Request => "request",
            Sort::Seen => "seen",
            Sort::Findings => "findings",
            Sort::Tester => "t",
            Sort::Proposal => "proposal",
            Sort::Studio => "studio",
            Sort::Row => "row",
            Sort::Report => "table out",
            Sort::Bucket => "bucket",
            Sort::Note => "note",
            Sort::Fit => "fit",
            Sort::Band => "band",
        }
    }

    /// Only names that are registered for it can be asked of it.
    pub(crate) fn is_closed(self) -> bool {
        !matches!(self, Sort::Any | Sort::Table)
    }

    /// The words for a type as the script engine names it.
    pub(crate) fn words_for_type(type_name: &str) -> &str {
        match type_name {
            "i64" | "f64" | "float" | "int" => "a number",
            "string" | "&str" | "ImmutableString" | "char" | "&str | ImmutableString | String" => "a text",
            "bool" => "true or false",
            "()" => "nothing, `()`",
            "array" | "Array" => "a list",
            "map" | "Map" => "a table",
            "Fn" | "FnPtr" => "a function",
            "range" | "range=" => "a range",
            other => match Sort::of_value(other) {
                Some(sort) => sort.words(),
                None => other,
            },
        }
    }

    /// The sort of a parameter by its type, as far as values of it are of one sort only.
    pub(crate) fn of_type(id: TypeId) -> Sort {
        let is = |others: &[TypeId]| others.contains(&id);
        match () {
            () if is(&[TypeId::of::<i64>(), TypeId::of::<f64>()]) => Sort::Number,
            () if is(&[TypeId::of::<ImmutableString>(), TypeId::of::<String>()]) => Sort::Text,
            () if is(&[TypeId::of::<bool>()]) => Sort::YesNo,
            () if is(&[TypeId::of::<Array>()]) => Sort::List(&Sort::Any),
            () if is(&[TypeId::of::<Map>()]) => Sort::Table,
            () if is(&[TypeId::of::<FnPtr>()]) => Sort::Function,
            () => Sort::Any,
        }
    }

    /// The sort of one of our own values, by the name of its type.
    fn of_value(type_name: &str) -> Option<Sort> {
        let own = type_name.rsplit("::").next()?;
        VALUES.iter().find(|known| known.0 == own).map(|known| known.1)
    }
}
