//! The keys of `ABOUT` and of an option in it, with what each says.

/// A key with what it says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AboutKey {
    /// The key.
    pub name: &'static str,
    /// Whether every script needs it.
    pub needed: bool,
    /// What it says.
    pub about: &'static str,
    /// What may stand under it.
    pub example: &'static str,
}

const fn needed(name: &'static str, about: &'static str, example: &'static str) -> AboutKey {
    AboutKey {
        name,
        needed: true,
        about,
        example,
    }
}

const fn free(name: &'static str, about: &'static str, example: &'static str) -> AboutKey {
    AboutKey {
        needed: false,
        ..needed(name, about, example)
    }
}

/// The keys of `ABOUT`.
pub const ABOUT_KEYS: [AboutKey; 17] = [
    needed("api", "The door to scripts that it was written for.", "1"),
    needed("kind", "What it gives, and so which function is called.", "\"check\""),
    needed("title", "What it is, in a line.", "\"Alkali balance for tableware\""),
    free(
        "source",
        "Where its numbers come from; findings carry it.",
        "\"common practice, no source\"",
    ),
    free("version", "Its version, as its author counts.", "\"2\""),
    free("author", "Who wrote it.", "\"a studio\""),
    free("licence", "Under which licence it may be used.", "\"CC0\""),
    free(
        "based_on",
        "What its text was made from.",
        "\"check/alkali-balance as shipped\"",
    ),
    free(
        "uses",
        "The uses it applies to; without it, all.",
        "[\"tableware\", \"wall tile\"]",
    ),
    free(
        "faults",
        "In a fault script, and needed there: what it gives causes of.",
        "[\"pinholes\", \"blisters\"]",
    ),
    free("cones", "The cones it is for; without it, all.", "\"5..7\""),
    free(
        "atmospheres",
        "The atmospheres it is for; without it, all.",
        "[\"oxidation\"]",
    ),
    free(
        "fluxes",
        "In a limits script: what the list's author counted as flux; without it, the usual nine.",
        "[\"K2O\", \"Na2O\", \"CaO\", \"MgO\"]",
    ),
    free(
        "only_with",
        "In a check: the oxides (or `fluorine`, `soluble`) that it is about; a glaze that surely holds none of them has nothing found, and the script isn't run.",
        "[\"PbO\", \"CdO\"]",
    ),
    free(
        "needs",
        "What it needs to have something to say: pieces that were looked at.",
        "[\"pieces\"]",
    ),
    free(
        "options",
        "What its user may set, each described.",
        "#{ most: #{ value: 0.35, unit: \"mol\", min: 0, max: 1, help: \"most R2O\" } }",
    ),
    free(
        "tables",
        "The CSV tables it reads, each with its columns. After `: ` what a column holds: text, number, yes/no, material or glaze; `?` at the end where a file may leave it out.",
        "#{ sales: [\"glaze\", \"pieces: number\"] }",
    ),
];

/// The keys of an option.
pub const OPTION_KEYS: [AboutKey; 6] = [
    needed(
        "value",
        "What it is unless set: a number, a text, true or false.",
        "0.35",
    ),
    free("unit", "The unit of a number.", "\"mol\""),
    free("min", "The least it may be.", "0"),
    free("max", "The most it may be.", "1"),
    free("choices", "The texts it may be.", "[\"gloss\", \"matt\"]"),
    free("help", "What it does, in a line.", "\"most R2O in the unity formula\""),
];

/// The names of some keys.
pub(crate) fn names(keys: &'static [AboutKey]) -> impl Iterator<Item = &'static str> {
    keys.iter().map(|key| key.name)
}
