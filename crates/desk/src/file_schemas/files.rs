//! The schemas of a studio's files. Their keys are those that the readers know: a test
//! holds each table against the reader's own.

use glost_chemistry::glaze::{ATMOSPHERES, USES, Ware};
use glost_chemistry::material::Kind;
use glost_chemistry::oxides::AnalysisKey;
use serde_json::{Value, json};

use super::keys::Holds::{Amounts, Number, Own, Text, Texts, Word, Yes};
use super::keys::{Key, map, number, text};

/// A kind of file of a studio.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StudioFile {
    /// `studio.yaml`.
    Studio,
    /// A file of materials.
    Material,
    /// A glaze's file.
    Glaze,
    /// A clay's file.
    Clay,
    /// A line of `notes.jsonl`.
    Note,
}

impl StudioFile {
    /// All of them.
    pub const ALL: [StudioFile; 5] = [
        StudioFile::Studio,
        StudioFile::Material,
        StudioFile::Glaze,
        StudioFile::Clay,
        StudioFile::Note,
    ];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            StudioFile::Studio => "studio",
            StudioFile::Material => "material",
            StudioFile::Glaze => "glaze",
            StudioFile::Clay => "clay",
            StudioFile::Note => "note",
        }
    }

    /// Its schema, draft-07: what editors of YAML read.
    pub fn schema(self) -> Value {
        let mut schema = match self {
            StudioFile::Studio => map(&STUDIO, &["studio"]),
            StudioFile::Material => materials(),
            StudioFile::Glaze => map(&GLAZE, &["glaze", "parts"]),
            StudioFile::Clay => clay(),
            StudioFile::Note => note(),
        };
        schema["$schema"] = "http://json-schema.org/draft-07/schema#".into();
        schema["title"] = self.title().into();
        schema
    }

    fn title(self) -> &'static str {
        match self {
            StudioFile::Studio => "studio.yaml: what holds for the whole studio",
            StudioFile::Material => "materials/*.yaml: materials with their analyses",
            StudioFile::Glaze => "glazes/*.yaml: a glaze",
            StudioFile::Clay => "clays/*.yaml: a clay",
            StudioFile::Note => "notes.jsonl: one look at pieces, a line",
        }
    }
}

const STUDIO: [Key; 11] = [
    Key::new("studio", Text, "The studio's name", "Ternholm Tiles"),
    Key::new(
        "scales",
        Own(scales),
        "What step the scales read to, and how much they carry",
        "{ reads_to: 0.1 g, up_to: 2 kg }",
    ),
    Key::new("students", Yes, "Whether students work there", "yes"),
    Key::new("cup", Text, "How much a cup holds", "250 ml"),
    Key::new("sieve", Text, "The sieve that the studio always uses", "100 mesh"),
    Key::new("currency", Text, "The currency of all prices", "EUR"),
    Key::new(
        "fluxes",
        Texts,
        "Oxides that count as flux in unity formulas",
        "[Na2O, K2O, CaO, MgO]",
    ),
    Key::new(
        "iron",
        Text,
        "Whether iron counts as a flux in reduction",
        "flux in reduction",
    ),
    Key::new(
        "fit",
        Own(open_map),
        "Priors of the window between crazing and shivering",
        "{ held_below: 0.1 }",
    ),
    Key::new(
        "scripts",
        Own(scripts),
        "Options of scripts, or off",
        "{ check/settling-risk: off }",
    ),
    Key::new("notes", Text, "Anything else", "gas kiln"),
];

const GLAZE: [Key; 19] = [
    Key::new("glaze", Text, "The glaze's name", "Lamplight clear"),
    Key::new(
        "parts",
        Amounts,
        "The base: parts by weight, any total, or weights",
        "{ feldspar A: 38, silica: 26 }",
    ),
    Key::new(
        "additions",
        Amounts,
        "On top, per cent of a base of 100",
        "{ cobalt carbonate: 0.8 }",
    ),
    Key::new("cone", Text, "The cone it is fired to", "6"),
    Key::new(
        "peak",
        Text,
        "The hottest point of the firing, instead of a cone",
        "1220 C",
    ),
    Key::new("firing", Text, "The firing's name", "spring glost"),
    Key::new(
        "atmosphere",
        Word(&ATMOSPHERES),
        "What the kiln's air does",
        "oxidation",
    ),
    Key::new("iron", Text, "Whether iron counts as a flux here", "flux"),
    Key::new("ware", Word(&Ware::WORDS), "Onto what it goes", "biscuit"),
    Key::new("clay", Text, "The clay it goes on", "buff stoneware"),
    Key::new("body", Text, "The same as clay", "buff stoneware"),
    Key::new("use", Word(&USES), "What the pieces are for", "tableware"),
    Key::new("water", Text, "Water for a kilo of powder", "0.9 l/kg"),
    Key::new(
        "density",
        Number,
        "Density of the slurry, g/ml, instead of water",
        "1.45",
    ),
    Key::new("sieve", Text, "The sieve that it goes through", "100 mesh"),
    Key::new("crackle", Word(&["wanted"]), "That crazing is wanted", "wanted"),
    Key::new(
        "recommended",
        Texts,
        "Clays that the maker of the powder recommends it for",
        "buff stoneware",
    ),
    Key::new(
        "accepted",
        Own(accepted),
        "Findings that were accepted, each with its reason; `glost check GLAZE --accept` writes them",
        "[{ finding: check/metals-of-concern CuO, because: lab report 12, until: 2027-06-01 }]",
    ),
    Key::new("notes", Text, "Anything else", "stoneware liner"),
];

const ACCEPTED: [Key; 4] = [
    Key::new(
        "finding",
        Text,
        "The rule, and what it found something about",
        "check/metals-of-concern CuO",
    ),
    Key::new("because", Text, "Why it was accepted", "lab report 12"),
    Key::new("until", Text, "The last day on which it is", "2027-06-01"),
    Key::new(
        "of",
        Text,
        "What it was accepted of, as `glost check GLAZE --accept` writes it",
        "3f9a1c0d77be",
    ),
];

const MATERIAL: [Key; 28] = [
    Key::new("name", Text, "The name that recipes use", "feldspar A"),
    Key::new("kind", Own(kinds), "What sort of material it is", "mineral"),
    Key::new("other_names", Texts, "Other names for it", "[potash spar]"),
    Key::new(
        "analysis",
        Own(analysis),
        "Oxides in wt %, or unknown",
        "{ SiO2: 67.0, Al2O3: 18.0 }",
    ),
    Key::new("formula", Text, "Its formula, instead of an analysis", "CaCO3"),
    Key::new(
        "recipe",
        Amounts,
        "What it is mixed of, parts by weight",
        "{ silica: 97, cobalt carbonate: 3 }",
    ),
    Key::new("fired", Yes, "Whether a mix is fired before it is weighed", "true"),
    Key::new(
        "loss_on_ignition",
        Number,
        "Loss on ignition, wt % of the material as supplied",
        "0.4",
    ),
    Key::new(
        "basis",
        Word(&["as supplied", "dried", "fired"]),
        "What the analysis is of",
        "as supplied",
    ),
    Key::new(
        "moisture",
        Number,
        "Moisture, wt %, where the analysis is of the dried material",
        "0.5",
    ),
    Key::new(
        "tolerance",
        Amounts,
        "One standard deviation of each oxide, wt %",
        "{ SiO2: 0.5 }",
    ),
    Key::new(
        "take_as_is",
        Yes,
        "Take an analysis whose sum is odd; said in every result",
        "true",
    ),
    Key::new("density", Number, "Density of its grains, g/ml", "2.56"),
    Key::new("free_silica", Number, "Crystalline silica, wt %", "6"),
    Key::new("soluble", Yes, "Whether it dissolves in water", "false"),
    Key::new("toxic", Yes, "Whether it is poisonous", "false"),
    Key::new(
        "hazards",
        Texts,
        "What its safety data sheet warns of",
        "[dust with free silica]",
    ),
    Key::new(
        "fumes",
        Texts,
        "What its sheet warns of that leaves in the fire",
        "[\"sulphur oxides leave on firing: fire with ventilation\"]",
    ),
    Key::new("lot", Text, "The open lot", "14"),
    Key::new(
        "lots",
        Own(lots),
        "Several open lots instead of one, the oldest first",
        "[{ lot: K7, stock: 2 kg }, { lot: L2, stock: 5 kg }]",
    ),
    Key::new("price", Text, "What it costs", "1.60 EUR/kg"),
    Key::new("stock", Text, "How much there is", "12 kg"),
    Key::new("buyable", Yes, "Whether it can be bought", "true"),
    Key::new(
        "firing",
        Text,
        "What a ready-made powder is to be fired to",
        "1060-1080 C",
    ),
    Key::new(
        "expansion",
        Text,
        "A ready-made powder's expansion, as printed",
        "6.2e-6/K at 20-400 C",
    ),
    Key::new("source", Text, "Where the figures come from", "supplier sheet, 2026-03"),
    Key::new("notes", Text, "Anything else", "fine"),
    Key::new("assumed", Text, "What was guessed of it", "as potash feldspar"),
];

const CLAY: [Key; 15] = [
    Key::new("clay", Text, "The clay's name", "buff stoneware"),
    Key::new("body", Text, "The same as clay", "buff stoneware"),
    Key::new(
        "kind",
        Word(&["earthenware", "stoneware", "porcelain"]),
        "What sort of clay it is",
        "stoneware",
    ),
    Key::new("cone", Text, "The cone it is fired to", "6"),
    Key::new(
        "peak",
        Text,
        "The hottest point of the firing, instead of a cone",
        "1220 C",
    ),
    Key::new(
        "expansion",
        Text,
        "Its expansion, as printed on the bag",
        "7.7e-6/K at 20-500 C",
    ),
    Key::new(
        "measured",
        Yes,
        "Whether the expansion was measured on this clay",
        "true",
    ),
    Key::new(
        "dilatometer",
        Own(dilatometer),
        "A dilatometer's table, or the file that holds it",
        "bar.csv",
    ),
    Key::new("modulus", Text, "Its stiffness", "50 GPa"),
    Key::new(
        "absorption",
        Number,
        "Water it takes up once fired, wt %, as printed",
        "2.5",
    ),
    Key::new(
        "weighings",
        Own(bars),
        "Bars weighed dry, soaked and boiled",
        "{ dry: 412.0 g, boiled: 436.7 g }",
    ),
    Key::new(
        "shrinkage",
        Own(lengths),
        "A bar's length wet, dry and fired",
        "{ wet: 100 mm, fired: 88 mm }",
    ),
    Key::new("use", Word(&USES), "What it is for", "tableware"),
    Key::new("source", Text, "Where the figures come from", "bag label, 2026-02"),
    Key::new("notes", Text, "Anything else", "grogged"),
];

fn materials() -> Value {
    let mut material = map(&MATERIAL, &["name", "source"]);
    material["anyOf"] = json!([
        { "required": ["analysis"] },
        { "required": ["formula"] },
        { "required": ["recipe"] }
    ]);
    // An analysis says of what it is.
    material["if"] = json!({ "required": ["analysis"], "properties": { "analysis": { "type": "object" } } });
    material["then"] = json!({ "required": ["basis"] });
    json!({
        "type": "object",
        "properties": {
            "materials": { "type": "array", "items": material, "description": "One entry a material" },
            "description": text(),
            "units": text(),
            "source": text()
        },
        "required": ["materials"],
        "additionalProperties": false
    })
}

fn clay() -> Value {
    let mut clay = map(&CLAY, &[]);
    clay["oneOf"] = json!([{ "required": ["clay"] }, { "required": ["body"] }]);
    clay
}

const LOT: [Key; 8] = [
    Key::new("lot", Text, "What stands on its bags", "K7"),
    Key::new("stock", Text, "How much there is of it", "2 kg"),
    Key::new(
        "analysis",
        Own(analysis),
        "Its own analysis, where it differs",
        "{ SiO2: 47.2, Al2O3: 37.1 }",
    ),
    Key::new(
        "basis",
        Word(&["as supplied", "dried", "fired"]),
        "What its own analysis is of, where it differs",
        "as supplied",
    ),
    Key::new(
        "loss_on_ignition",
        Number,
        "Its loss on ignition, wt %, where it differs",
        "12.9",
    ),
    Key::new("moisture", Number, "Its moisture, wt %, where it differs", "0.5"),
    Key::new(
        "tolerance",
        Amounts,
        "One standard deviation of each oxide, wt %, where it differs",
        "{ SiO2: 0.5 }",
    ),
    Key::new(
        "take_as_is",
        Yes,
        "Take its analysis although the sum is odd; said in every result",
        "true",
    ),
];

fn lots() -> Value {
    json!({ "type": "array", "minItems": 1, "items": map(&LOT, &["lot", "stock"]) })
}

fn kinds() -> Value {
    let words: Vec<&str> = Kind::WORDS.iter().map(|kind| kind.0).collect();
    json!({ "enum": words })
}

fn analysis() -> Value {
    let names: Vec<&str> = AnalysisKey::names().collect();
    json!({ "anyOf": [
        { "const": "unknown" },
        { "type": "object", "propertyNames": { "enum": names }, "additionalProperties": number() }
    ] })
}

fn scales() -> Value {
    json!({
        "type": "object",
        "properties": { "reads_to": text(), "up_to": text() },
        "required": ["reads_to"],
        "additionalProperties": false
    })
}

fn accepted() -> Value {
    json!({ "type": "array", "items": map(&ACCEPTED, &["finding", "because"]) })
}

fn open_map() -> Value {
    json!({ "type": "object" })
}

fn scripts() -> Value {
    json!({ "type": "object", "additionalProperties": { "anyOf": [
        { "enum": ["off", false] },
        { "type": "string", "pattern": "^(off|on|note|caution|fail)(,.*)?$" },
        { "type": "object", "additionalProperties": text() }
    ] } })
}

fn dilatometer() -> Value {
    let point = json!({
        "type": "object",
        "properties": { "c": number(), "percent": number() },
        "required": ["c", "percent"],
        "additionalProperties": false
    });
    json!({ "anyOf": [{ "type": "string" }, { "type": "array", "items": point }] })
}

fn bars() -> Value {
    let bar = json!({
        "type": "object",
        "properties": { "dry": text(), "soaked": text(), "boiled": text() },
        "required": ["dry"],
        "additionalProperties": false
    });
    json!({ "anyOf": [bar, { "type": "array", "items": bar }] })
}

fn lengths() -> Value {
    json!({
        "type": "object",
        "properties": { "wet": text(), "dry": text(), "fired": text() },
        "required": ["wet", "fired"],
        "additionalProperties": false
    })
}

/// A line of the notebook; keys of somebody else's are kept, so they are allowed.
fn note() -> Value {
    let count = || json!({ "type": ["integer", "null"], "minimum": 0 });
    let word = || json!({ "type": ["string", "null"] });
    json!({
        "type": "object",
        "properties": {
            "id": { "type": "string", "pattern": "^[a-z2-7]{8}$", "description": "Of its other keys, as Glost writes it" },
            "on": { "type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$", "description": "The day", "examples": ["2026-11-24"] },
            "glaze": word(), "version": word(), "clay": word(), "firing": word(), "batch": word(), "tile": word(),
            "cone": { "type": ["string", "number", "null"] },
            "age_days": { "type": ["number", "null"], "minimum": 0, "description": "Days since the kiln" },
            "pieces": count(), "crazed": count(), "shivered": count(), "dunted": count(),
            "grades": { "type": ["object", "null"], "additionalProperties": { "type": "number", "minimum": 0, "maximum": 5 }, "description": "0 is none of it, 5 as much as can be" },
            "looked": { "enum": ["ink", "loupe", "eye", null] },
            "lots": { "type": ["object", "null"], "additionalProperties": { "type": "string" }, "description": "Which lot of each material the pieces were made of" },
            "void": { "type": ["string", "integer"], "description": "The note that is taken back, by id" },
            "test": word(), "lab": word(), "photo": word(), "cause": word(), "kept": word(), "text": word()
        },
        "required": ["on"],
        "anyOf": [{ "required": ["glaze"] }, { "required": ["tile"] }, { "required": ["void"] }]
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_chemistry::glaze::{ACCEPTED_KEYS, GLAZE_KEYS};
    use glost_chemistry::material::{LOT_KEYS, MATERIAL_KEYS};
    use glost_core::evidence::ware::CLAY_KEYS;
    use glost_core::studio::SETTINGS_KEYS;

    #[test]
    fn the_schemas_have_the_readers_own_keys() {
        let same = |table: &[Key], known: &[&str]| {
            let mut own: Vec<&str> = table.iter().map(|key| key.name).collect();
            let mut known = known.to_vec();
            own.sort_unstable();
            known.sort_unstable();
            assert_eq!(own, known);
        };
        same(&STUDIO, &SETTINGS_KEYS);
        same(&GLAZE, &GLAZE_KEYS);
        same(&ACCEPTED, &ACCEPTED_KEYS);
        same(&MATERIAL, &MATERIAL_KEYS);
        same(&LOT, &LOT_KEYS);
        same(&CLAY, &CLAY_KEYS);
    }
}
