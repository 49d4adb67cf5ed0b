//! Materials: a list, one of them, or what a poor bag label means.

use std::path::PathBuf;
use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, none_called};
use glost_chemistry::material::{Material, OpenLot};
use glost_core::intake::bag::{Label, Mended, mend, read_label};
use serde::{Serialize, Serializer};

use crate::wire::Amounts;
use crate::{Desk, Failure, Said, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub enum Question {
    /// All of them.
    All,
    /// One, by its name.
    One(String),
    /// What a bag's label means; its entry goes into a file, where one is named.
    Label(Label, Option<PathBuf>),
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(match (words.text("label"), words.text("name")) {
            (Some(label), _) => Question::Label(read_label(label)?, words.text("out").map(PathBuf::from)),
            (None, Some(name)) => Question::One(name.to_owned()),
            (None, None) => Question::All,
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let library = desk.workplace().library();
        Ok(match self {
            Question::All => {
                desk.looks_over_materials();
                Answer::All(library.iter().cloned().collect())
            }
            Question::One(name) => Answer::One(library.find(name).cloned().ok_or_else(|| {
                let unknown = Diagnostic::error("unknown-material", none_called("material", name));
                library.why_not(name, unknown.maybe_help(library.suggestion(name)))
            })?),
            Question::Label(label, out) => Answer::Label(Box::new(Bag {
                mended: mend(label, library)?,
                out: out.clone(),
            })),
        })
    }
}

/// Materials, or an entry for one.
#[derive(Debug, Clone)]
pub enum Answer {
    /// All of them.
    All(Vec<Arc<Material>>),
    /// One.
    One(Arc<Material>),
    /// What a label means.
    Label(Box<Bag>),
}

/// What a label means, and the file that its entry goes to.
#[derive(Debug, Clone)]
pub struct Bag {
    /// What it means.
    pub mended: Mended,
    /// The file, which must be new.
    pub out: Option<PathBuf>,
}

impl crate::Answer for Answer {}

#[derive(Serialize, schemars::JsonSchema)]
struct PriceJson<'a> {
    per_kg: f64,
    currency: &'a str,
}

#[derive(Serialize, schemars::JsonSchema)]
struct MaterialJson<'a> {
    name: &'a str,
    other_names: &'a [String],
    kind: &'static str,
    fired_oxides: Option<Amounts>,
    loss_on_ignition: Option<f64>,
    moisture: Option<f64>,
    mixed_from: Amounts,
    density: Option<f64>,
    free_silica: Option<f64>,
    soluble: bool,
    toxic: bool,
    hazards: Vec<&'a str>,
    price: Option<PriceJson<'a>>,
    stock_grams: Option<f64>,
    buyable: bool,
    lot: Option<&'a str>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    lots: Vec<LotJson<'a>>,
    source: &'a str,
    shipped: bool,
    cautions: Vec<&'a str>,
    assumptions: Vec<Said>,
}

/// One of several open lots.
#[derive(Serialize, schemars::JsonSchema)]
struct LotJson<'a> {
    lot: &'a str,
    stock_grams: f64,
    fired_oxides: Option<Amounts>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AllJson<'a> {
    materials: Vec<MaterialJson<'a>>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct BagJson<'a> {
    name: &'a str,
    analysis: Amounts,
    basis: &'static str,
    loss_on_ignition: f64,
    reasons: Vec<Said>,
    assumed: Option<Said>,
    stand_in: Option<&'a str>,
    entry: Said,
    written: Option<String>,
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match self {
            Answer::All(materials) => AllJson {
                materials: materials.iter().map(|material| one(material)).collect(),
            }
            .serialize(to),
            Answer::One(material) => one(material).serialize(to),
            Answer::Label(bag) => bag.json().serialize(to),
        }
    }
}

crate::wire::written_as!(Answer: AllJson<'_>, MaterialJson<'_>, BagJson<'_>);

fn one(material: &Material) -> MaterialJson<'_> {
    let fired = material.fired.as_ref();
    let assumptions = fired.into_iter().flat_map(|fired| &fired.assumptions);
    MaterialJson {
        name: &material.name,
        other_names: &material.other_names,
        kind: material.kind.word(),
        fired_oxides: fired.map(|fired| Amounts::grams(&fired.oxides)),
        loss_on_ignition: fired.map(|fired| fired.loss_grams),
        moisture: fired.map(|fired| fired.moisture_grams),
        mixed_from: Amounts(material.mixed_from.clone()),
        density: material.density_grams_per_millilitre,
        free_silica: material.free_silica_percent,
        soluble: material.soluble,
        toxic: material.toxic,
        hazards: material.hazards.iter().map(|hazard| hazard.text.as_str()).collect(),
        price: material.price.as_ref().map(|price| PriceJson {
            per_kg: price.per_kg,
            currency: &price.currency,
        }),
        stock_grams: material.stock.map(|stock| stock.grams()),
        buyable: material.buyable,
        lot: material.lot.as_deref(),
        lots: material.open_lots.iter().map(open_lot).collect(),
        source: &material.provenance,
        shipped: material.shipped,
        cautions: material
            .cautions
            .iter()
            .map(|caution| caution.message.as_str())
            .collect(),
        assumptions: assumptions.map(Said::from).collect(),
    }
}

fn open_lot(open: &OpenLot) -> LotJson<'_> {
    LotJson {
        lot: &open.lot,
        stock_grams: open.stock.grams(),
        fired_oxides: open.fired.as_ref().map(|fired| Amounts::grams(&fired.oxides)),
    }
}

impl Bag {
    /// Its entry as a file's text.
    pub fn entry(&self) -> Said {
        Said::BagEntry(Box::new(self.mended.clone()))
    }

    fn json(&self) -> BagJson<'_> {
        let mended = &self.mended;
        BagJson {
            name: &mended.name,
            analysis: Amounts(mended.oxides.clone()),
            basis: mended.basis.words(),
            loss_on_ignition: mended.loss_percent,
            reasons: mended.reasons.iter().cloned().map(Said::BagReason).collect(),
            assumed: mended.assumed.clone().map(Said::BagGuess),
            stand_in: mended.stand_in.as_deref(),
            entry: self.entry(),
            written: self.out.as_ref().map(|out| out.display().to_string()),
        }
    }
}
