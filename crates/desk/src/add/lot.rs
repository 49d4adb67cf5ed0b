//! A new lot of a material, open beside the ones that are left.

use glost_chemistry::diagnostic::{Diagnostic, is_no};
use glost_chemistry::material::OpenLot;
use glost_chemistry::quantity::Grams;
use glost_core::intake::bag::read_label;
use glost_studio::{NewLot, OfWhat};
use serde::{Serialize, Serializer};

use crate::{Desk, Failure, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The material's name.
    pub material: String,
    /// The lot.
    pub new: NewLot,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let missing = |option: &str, help: &str| {
            Diagnostic::error("missing-answers", format!("--{option} isn't said; nothing was written")).help(help)
        };
        let lot = words
            .text("lot")
            .map(str::trim)
            .filter(|lot| !lot.is_empty())
            .ok_or_else(|| missing("lot", "what stands on its bags: --lot L2"))?;
        if lot.chars().any(char::is_control) {
            return Err(
                Diagnostic::error("bad-option", "--lot: a lot is one line of plain text")
                    .help("write it as it stands on the bag"),
            );
        }
        let stock = words
            .text("stock")
            .ok_or_else(|| missing("stock", "what there is of it: --stock \"5 kg\""))?;
        words.read("stock", Grams::parse)?;
        let others = [
            "recipe",
            "kind",
            "price",
            "buyable",
            "source",
            "cone",
            "peak",
            "expansion",
            "notes",
        ];
        if let Some(other) = others.into_iter().find(|option| words.text(option).is_some()) {
            let message = format!("--{other}: a lot has no such value");
            return Err(Diagnostic::error("bad-option", message)
                .help("`glost set MATERIAL` changes the material's own; a lot has its stock, and its analysis where that differs"));
        }
        let (analysis, loss_percent) = words.text("analysis").map(figures).transpose()?.unwrap_or_default();
        Ok(Question {
            material: words.required("name")?.to_owned(),
            new: NewLot {
                lot: lot.to_owned(),
                stock: stock.trim().to_owned(),
                analysis,
                loss_percent,
            },
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let workplace = desk.workplace();
        let found = workplace.editables(&self.material)?;
        let material = found.into_iter().find(|one| one.of == OfWhat::Material);
        let material = material.ok_or_else(|| {
            Diagnostic::error("unknown-name", is_no(&self.material, "material: lots are of materials")).help(
                workplace
                    .library()
                    .suggestion(&self.material)
                    .unwrap_or_else(|| "`glost materials` lists them".to_owned()),
            )
        })?;
        let opened = workplace.open_lot(&material, &self.new)?;
        Ok(Answer {
            material: material.name,
            lot: self.new.lot.clone(),
            file: workplace.below_studio(&material.path),
            line: opened.line,
            open: opened.open.iter().map(Opened::of).collect(),
        })
    }
}

/// Oxides in wt %, and the loss where it is printed.
type Figures = (Vec<(String, f64)>, Option<f64>);

fn figures(typed: &str) -> Result<Figures, Diagnostic> {
    // The label's reader takes a name off at the first colon.
    let label = read_label(&format!("it: {typed}")).map_err(|why| Diagnostic { place: None, ..why })?;
    if label.oxides.is_empty() || !label.compounds.is_empty() {
        return Err(
            Diagnostic::error("bad-option", format!("--analysis: `{typed}` is no list of oxides"))
                .help("write the figures of its sheet, \"SiO2 49.0, Al2O3 36.0, loss 12.4\"; or leave it out: the lot then counts as on the material's own sheet"),
        );
    }
    Ok((label.oxides, label.loss_percent))
}

/// A lot that stands open.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Opened {
    /// What stands on its bags.
    pub lot: String,
    /// What there is of it, g.
    pub stock_grams: f64,
}

impl Opened {
    fn of(open: &OpenLot) -> Opened {
        Opened {
            lot: open.lot.clone(),
            stock_grams: open.stock.grams(),
        }
    }
}

/// A lot that was opened.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The material.
    pub material: String,
    /// The lot.
    pub lot: String,
    /// The file, below the studio's folder.
    pub file: String,
    /// Its line there.
    pub line: usize,
    /// All lots that stand open now, the one first that is taken from unless said otherwise.
    pub open: Vec<Opened>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    added: &'static str,
    name: &'a str,
    lot: &'a str,
    file: &'a str,
    line: usize,
    open: &'a [Opened],
}

impl crate::Answer for Answer {}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        AnswerJson {
            added: "lot",
            name: &self.material,
            lot: &self.lot,
            file: &self.file,
            line: self.line,
            open: &self.open,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);
