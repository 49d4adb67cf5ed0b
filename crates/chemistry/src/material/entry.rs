//! A material as its file gives it, before its names and recipes are looked up.

use std::cell::RefCell;

use crate::assumption::{Assumption, SheetAssumption};
use crate::diagnostic::{Diagnostic, MOST_COMPLAINTS, Mark, Source, is_no, suggestion, under};
use crate::oxides::{AnalysisKey, Basis, Formula, fire};
use crate::quantity::{DecimalComma, Grams, NumberTrouble, Price, PrintedExpansion, decimal_comma, parse_number};
use crate::read::{Fields, Node, NumberRange, Text, Value, amounts, entries, kind_of, number_of};

use super::fired_yield::{FiredYield, PrintedAnalysis, Verdict};
use super::hazard::Hazard;
use super::kind::Kind;
use super::open_lot::{OpenLot, first_open, of_all};
use super::sheets::read_sheets;

/// How a sheet told of fumes among its hazards before it had a key for them.
const FUMES_ONCE: &str = "fire with ventilation";

/// The keys that a material may have, in their usual order.
pub const MATERIAL_KEYS: [&str; 28] = [
    "name",
    "kind",
    "other_names",
    "analysis",
    "formula",
    "recipe",
    "fired",
    "loss_on_ignition",
    "basis",
    "moisture",
    "tolerance",
    "take_as_is",
    "density",
    "free_silica",
    "soluble",
    "toxic",
    "hazards",
    "fumes",
    "lot",
    "lots",
    "price",
    "stock",
    "buyable",
    "firing",
    "expansion",
    "source",
    "notes",
    "assumed",
];

/// What a material is made of, as its file says.
#[derive(Debug, Clone)]
pub enum Makeup {
    /// An analysis or a formula, already settled.
    Known(Box<FiredYield>),
    /// `analysis: unknown`.
    Unknown,
    /// A recipe of other materials: names with places and parts by weight.
    Recipe {
        /// The other materials and how much of each.
        parts: Vec<(Text, f64)>,
        /// Whether the mix is fired before it is weighed.
        fired: bool,
    },
}

/// One entry of a materials file.
#[derive(Debug, Clone)]
pub struct MaterialEntry {
    /// The file it stands in.
    pub source: Source,
    /// Its name with its place.
    pub name: Text,
    /// Other names with their places.
    pub other_names: Vec<Text>,
    /// Its kind.
    pub kind: Kind,
    /// What it is made of.
    pub makeup: Makeup,
    /// Its formula, where its file gives that instead of an analysis.
    pub formula: Option<String>,
    /// Density in g/ml.
    pub density_grams_per_millilitre: Option<f64>,
    /// Crystalline silica in wt %.
    pub free_silica_percent: Option<f64>,
    /// Dissolves in water.
    pub soluble: bool,
    /// Poisonous to handle.
    pub toxic: bool,
    /// Hazards as the file says them, those of handling first.
    pub hazards: Vec<Hazard>,
    /// What it costs.
    pub price: Option<Price>,
    /// What the studio has of it.
    pub stock: Option<Grams>,
    /// Whether it can be bought.
    pub buyable: bool,
    /// The supplier's lot; of several open ones that which is taken from.
    pub lot: Option<String>,
    /// The open lots, where they are listed apart.
    pub open_lots: Vec<OpenLot>,
    /// Where the data come from.
    pub provenance: String,
    /// Printed expansion of a ready-made powder.
    pub expansion: Option<PrintedExpansion>,
    /// Printed firing range, as text.
    pub firing: Option<String>,
    /// What was guessed in writing this entry; goes with every result.
    pub assumed: Option<String>,
    /// Questions about its sheet.
    pub cautions: Vec<Diagnostic>,
}

/// Reads a materials file: what could be understood, and every complaint, up to
/// [`MOST_COMPLAINTS`].
pub fn read_materials(source: &Source) -> (Vec<MaterialEntry>, Vec<Diagnostic>) {
    let sheets = read_sheets(source);
    let wrong = sheets.broken.into_iter().map(|sheet| sheet.why);
    (sheets.entries, wrong.take(MOST_COMPLAINTS).collect())
}

/// Whether a sheet says that there is too little to measure: `<0.05`, `trace`, `n.d.`, `-`.
fn is_below_detection(value: &Node) -> bool {
    const WORDS: [&str; 11] = [
        "trace", "traces", "tr", "tr.", "n.d.", "n.d", "nd", "b.d.l.", "bdl", "-", "\u{2013}",
    ];
    let Value::Text(text) = &value.value else {
        return false;
    };
    let word = text.trim().to_lowercase();
    let bound = word.strip_prefix('<').map(str::trim);
    WORDS.contains(&word.as_str())
        || bound.is_some_and(|bound| parse_number(bound).is_ok_and(|number| number.value >= 0.0))
}

/// A text as far as a message has room for it.
fn shortened(text: &str) -> String {
    const ROOM: usize = 40;
    if text.chars().count() <= ROOM {
        return text.to_owned();
    }
    text.chars().take(ROOM - 1).chain(['…']).collect()
}

pub(super) fn list_of<'n>(source: &'n Source, root: &'n Node) -> Result<&'n [Node], Diagnostic> {
    let fields = Fields::new(
        source,
        root,
        "a materials file",
        &["materials", "description", "units", "source"],
    )?;
    let node = fields.required(
        "materials",
        "the file",
        "start it with `materials:` and list them with `- name: ...`",
    )?;
    match &node.value {
        Value::List(items) => Ok(items),
        // Nothing but comments stands under it yet.
        Value::Nothing => Ok(&[]),
        _ => Err(Diagnostic::error(
            "wrong-type",
            format!("`materials` should be a list, this is {}", kind_of(node)),
        )
        .at(source, node.mark, node.width())
        .help("each material starts with `- name: ...`")),
    }
}

pub(super) struct EntryReader<'a> {
    pub(super) source: &'a Source,
    pub(super) item: &'a Node,
    pub(super) fields: Fields<'a>,
    pub(super) name: Text,
    pub(super) what: String,
    /// Decimal commas that were read, each with its place.
    pub(super) commas: RefCell<Vec<(DecimalComma, Diagnostic)>>,
    /// Lines that the laboratory couldn't put a number to.
    below: RefCell<Vec<String>>,
}

impl<'a> EntryReader<'a> {
    pub(super) fn new(source: &'a Source, item: &'a Node) -> Result<EntryReader<'a>, Diagnostic> {
        let fields = Fields::new(source, item, "a material", &MATERIAL_KEYS)?;
        fields.required("name", "this material", "give it the name that recipes use")?;
        let name = fields.text("name")?.unwrap_or(Text {
            text: String::new(),
            mark: item.mark,
        });
        let what = format!("`{}`", name.text);
        Ok(EntryReader {
            source,
            item,
            fields,
            name,
            what,
            commas: RefCell::default(),
            below: RefCell::default(),
        })
    }

    /// Keeps what is to be said of a reading.
    fn note(&self, note: Option<DecimalComma>, mark: Mark, width: usize) {
        let caution = |note: DecimalComma| {
            let caution = Diagnostic::caution("decimal-comma", note.to_string());
            (note, caution.at(self.source, mark, width))
        };
        self.commas.borrow_mut().extend(note.map(caution));
    }

    fn number(&self, node: &Node, name: &str, range: NumberRange) -> Result<f64, Diagnostic> {
        let number = number_of(self.source, node, name, range)?;
        self.note(number.note, node.mark, node.width());
        Ok(number.value)
    }

    pub(super) fn error(&self, code: &'static str, message: impl Into<String>, mark: Mark, width: usize) -> Diagnostic {
        Diagnostic::error(code, message).at(self.source, mark, width)
    }

    pub(super) fn read(self) -> Result<MaterialEntry, Diagnostic> {
        let fields = &self.fields;
        let provenance = fields
            .required(
                "source",
                &self.what,
                "say where the figures come from: `source: supplier sheet, 2026-03`, `source: stoichiometric`",
            )
            .and_then(|_| Ok(fields.text("source")?.map_or_else(String::new, |text| text.text)))?;
        let kind = self.kind()?;
        let mut cautions = Vec::new();
        let makeup = self.makeup(kind, &mut cautions)?;
        let open_lots = self.open_lots(kind, &makeup, &mut cautions)?;
        let open = first_open(&open_lots);
        let makeup = match open.and_then(|open| open.fired.clone()) {
            Some(fired) => Makeup::Known(Box::new(fired)),
            None => makeup,
        };
        Ok(MaterialEntry {
            source: self.source.clone(),
            other_names: fields.texts("other_names")?,
            kind,
            makeup,
            formula: fields.text("formula")?.map(|text| text.text),
            density_grams_per_millilitre: self.figure("density", NumberRange { least: 0.1, most: 25.0 })?,
            free_silica_percent: self.figure("free_silica", NumberRange::PERCENT)?,
            soluble: fields.yes("soluble")?,
            toxic: fields.yes("toxic")?,
            hazards: self.hazards()?,
            price: self.quantity("price", Price::parse)?,
            stock: of_all(&open_lots).map_or_else(|| self.quantity("stock", Grams::parse), |sum| Ok(Some(sum)))?,
            buyable: fields.yes("buyable")?,
            lot: match open {
                Some(open) => Some(open.lot.clone()),
                None => fields.text("lot")?.map(|text| text.text),
            },
            open_lots,
            expansion: self.quantity("expansion", PrintedExpansion::parse)?,
            firing: fields.text("firing")?.map(|text| text.text),
            assumed: fields.text("assumed")?.map(|text| text.text),
            provenance,
            cautions: cautions
                .into_iter()
                .chain(self.commas.into_inner().into_iter().map(|(_, caution)| caution))
                .collect(),
            name: self.name,
        })
    }

    fn figure(&self, key: &str, range: NumberRange) -> Result<Option<f64>, Diagnostic> {
        let node = self.fields.get(key);
        node.map(|node| self.number(node, key, range)).transpose()
    }

    fn quantity<T>(&self, key: &str, read: impl Fn(&str) -> Result<T, NumberTrouble>) -> Result<Option<T>, Diagnostic> {
        self.quantity_in(&self.fields, key, read)
    }

    pub(super) fn quantity_in<T>(
        &self,
        fields: &Fields<'_>,
        key: &str,
        read: impl Fn(&str) -> Result<T, NumberTrouble>,
    ) -> Result<Option<T>, Diagnostic> {
        let Some(text) = fields.text(key)? else {
            return Ok(None);
        };
        let width = text.text.chars().count();
        match read(&text.text) {
            Ok(quantity) => {
                self.note(decimal_comma(&text.text), text.mark, width);
                Ok(Some(quantity))
            }
            Err(trouble) => {
                let message = under(key, trouble.message);
                Err(self
                    .error("not-a-quantity", message, text.mark, width)
                    .maybe_help(trouble.help))
            }
        }
    }

    fn kind(&self) -> Result<Kind, Diagnostic> {
        let Some(word) = self.fields.text("kind")? else {
            return Ok(if self.fields.get("formula").is_some() {
                Kind::Textbook
            } else {
                Kind::Mineral
            });
        };
        Kind::from_word(&word.text).ok_or_else(|| {
            self.error(
                "unknown-kind",
                is_no(&word.text, "kind of material"),
                word.mark,
                word.text.chars().count(),
            )
            .maybe_help(suggestion(&word.text, Kind::WORDS.iter().map(|known| known.0)))
        })
    }

    fn makeup(&self, kind: Kind, cautions: &mut Vec<Diagnostic>) -> Result<Makeup, Diagnostic> {
        let mut given: Vec<&str> = ["analysis", "formula", "recipe"]
            .into_iter()
            .filter(|key| self.fields.get(key).is_some())
            .collect();
        given.sort_by_key(|key| self.fields.key_mark(key));
        match given.as_slice() {
            ["analysis"] => self.analysis(kind, cautions),
            ["formula"] => self.formula(),
            ["recipe"] => self.recipe(),
            [] => Err(self
                .error(
                    "no-makeup",
                    format!("{} has no analysis, formula or recipe", self.what),
                    self.name.mark,
                    self.name.text.chars().count(),
                )
                .help("add one of them, or `analysis: unknown` for a ready-made powder")),
            several => {
                let mark = self.fields.key_mark(several[1]).unwrap_or(self.name.mark);
                let message = format!("{} has both `{}` and `{}`", self.what, several[0], several[1]);
                Err(self
                    .error("two-makeups", message, mark, several[1].len())
                    .help("keep the one that describes what is in the bag"))
            }
        }
    }

    fn not_with(&self, keys: &[&str], with: &str) -> Result<(), Diagnostic> {
        for key in keys {
            if let Some(mark) = self.fields.key_mark(key) {
                return Err(self
                    .error(
                        "needless-key",
                        format!("`{key}` has no meaning with {with}"),
                        mark,
                        key.len(),
                    )
                    .help("take it out, or give an analysis with its basis"));
            }
        }
        Ok(())
    }

    fn formula(&self) -> Result<Makeup, Diagnostic> {
        self.not_with(
            &["basis", "moisture", "loss_on_ignition", "tolerance", "fired"],
            "a formula",
        )?;
        let Some(text) = self.fields.text("formula")? else {
            return Ok(Makeup::Unknown);
        };
        let formula = Formula::parse(&text.text).map_err(|trouble| {
            let mark = Mark {
                line: text.mark.line,
                column: text.mark.column + trouble.offset,
            };
            self.error(
                "bad-formula",
                under(shortened(&text.text), trouble.message),
                mark,
                trouble.width,
            )
            .maybe_help(trouble.help)
        })?;
        let fired = fire(&formula).map_err(|symbol| {
            self.error(
                "unknown-oxide",
                format!("Glost knows no fired oxide of {symbol}"),
                text.mark,
                text.text.chars().count(),
            )
            .help("it can't be counted in a glaze; give an analysis of what it leaves, or `analysis: unknown`")
        })?;
        Ok(Makeup::Known(Box::new(FiredYield::from_formula(
            &self.name.text,
            &fired,
        ))))
    }

    fn recipe(&self) -> Result<Makeup, Diagnostic> {
        self.not_with(
            &["basis", "moisture", "loss_on_ignition", "tolerance", "take_as_is"],
            "a recipe",
        )?;
        let Some(node) = self.fields.get("recipe") else {
            return Ok(Makeup::Unknown);
        };
        let mut parts = Vec::new();
        for (key, value) in amounts(self.source, node, "recipe")? {
            let amount = self.number(value, &key.text, NumberRange::AMOUNT)?;
            parts.push((
                Text {
                    text: key.text.clone(),
                    mark: key.mark,
                },
                amount,
            ));
        }
        if parts.iter().map(|part| part.1).sum::<f64>() <= 0.0 {
            let error = self.error(
                "empty-recipe",
                format!("the recipe of {} weighs nothing", self.what),
                node.mark,
                1,
            );
            return Err(error.help("give at least one of its parts an amount above zero"));
        }
        Ok(Makeup::Recipe {
            parts,
            fired: self.fields.yes("fired")?,
        })
    }

    pub(super) fn analysis(&self, kind: Kind, cautions: &mut Vec<Diagnostic>) -> Result<Makeup, Diagnostic> {
        let Some(node) = self.fields.get("analysis") else {
            return Ok(Makeup::Unknown);
        };
        if let Value::Text(text) = &node.value {
            if text.trim() == "unknown" {
                self.not_with(
                    &["basis", "moisture", "tolerance", "take_as_is", "fired"],
                    "`analysis: unknown`",
                )?;
                return Ok(Makeup::Unknown);
            }
            return Err(self
                .error(
                    "wrong-type",
                    format!("`analysis` should be a map of oxides, this is `{text}`"),
                    node.mark,
                    node.width(),
                )
                .help("write { SiO2: 67.0, Al2O3: 18.0, ... }, or `unknown`"));
        }
        self.not_with(&["fired"], "an analysis")?;
        let printed = PrintedAnalysis {
            lines: self.lines("analysis", node)?,
            basis: self.basis(node)?,
            loss_percent: self.figure(
                "loss_on_ignition",
                NumberRange {
                    least: -40.0,
                    most: 100.0,
                },
            )?,
            moisture_percent: self.moisture()?,
            tolerance: self
                .fields
                .get("tolerance")
                .map(|node| self.lines("tolerance", node))
                .transpose()?
                .unwrap_or_default(),
            take_as_is: self.fields.yes("take_as_is")?,
        };
        if printed.lines.is_empty() {
            return Err(self
                .error("empty-analysis", "the analysis is empty", node.mark, 1)
                .help("give its oxides, or say `analysis: unknown`"));
        }
        let (mut settled, verdict) = printed.settle(&self.name.text, kind);
        let commas = self.commas.borrow();
        let mut assume = |assumed| settled.assumptions.push(Assumption::of_sheet(&self.name.text, assumed));
        for (comma, _) in commas.iter() {
            assume(SheetAssumption::DecimalComma(comma.clone()));
        }
        let below = self.below.borrow();
        if !below.is_empty() {
            assume(SheetAssumption::CountedAsNothing(below.clone()));
        }
        let mark = self.fields.key_mark("analysis").unwrap_or(node.mark);
        match verdict {
            Verdict::Refused(message, help) if !printed.take_as_is => {
                return Err(self
                    .error("odd-sum", format!("{}: {message}", self.what), mark, "analysis".len())
                    .help(help));
            }
            Verdict::Question(odd) if !printed.take_as_is => {
                cautions.push(Diagnostic::caution("odd-sum", format!("{}: {odd}", self.what)).at(
                    self.source,
                    mark,
                    "analysis".len(),
                ));
            }
            _ => {}
        }
        Ok(Makeup::Known(Box::new(settled)))
    }

    fn hazards(&self) -> Result<Vec<Hazard>, Diagnostic> {
        let handling = self.fields.texts("hazards")?.into_iter().map(|text| Hazard {
            fumes: text.text.contains(FUMES_ONCE),
            text: text.text,
        });
        let fumes = self.fields.texts("fumes")?.into_iter().map(|text| Hazard {
            text: text.text,
            fumes: true,
        });
        Ok(handling.chain(fumes).collect())
    }

    fn lines(&self, what: &str, node: &Node) -> Result<Vec<(AnalysisKey, f64)>, Diagnostic> {
        let mut lines = Vec::new();
        for (key, value) in entries(self.source, node, what)? {
            let parsed = AnalysisKey::parse(&key.text).ok_or_else(|| {
                let error = self.error(
                    "unknown-oxide",
                    is_no(&key.text, "oxide that Glost knows"),
                    key.mark,
                    key.text.chars().count(),
                );
                let lower = key.text.to_lowercase();
                if lower == "loi" || lower.contains("ignition") {
                    return error.help("write the loss beside the analysis: `loss_on_ignition: 12.1`");
                }
                if lower == "kno" || lower == "knao" {
                    return error.help("give K2O and Na2O apart; they act differently");
                }
                error.maybe_help(suggestion(&key.text, AnalysisKey::names()))
            })?;
            let range = NumberRange {
                least: 0.0,
                most: 1000.0,
            };
            if is_below_detection(value) {
                if let Value::Text(word) = &value.value {
                    self.below.borrow_mut().push(format!("{} {}", key.text, word.trim()));
                }
                continue;
            }
            lines.push((parsed, self.number(value, &key.text, range)?));
        }
        Ok(lines)
    }

    fn basis(&self, node: &Node) -> Result<Basis, Diagnostic> {
        let help = "say what its 100 % means: `basis: as supplied`, `dried` or `fired` (oxides alone near 100: fired; oxides and loss together: as supplied)";
        let Some(text) = self.fields.text("basis")? else {
            return Err(self
                .error(
                    "no-basis",
                    format!("the analysis of {} has no basis", self.what),
                    node.mark,
                    1,
                )
                .help(help));
        };
        Basis::from_words(&text.text).ok_or_else(|| {
            self.error(
                "unknown-basis",
                is_no(&text.text, "basis"),
                text.mark,
                text.text.chars().count(),
            )
            .maybe_help(suggestion(&text.text, Basis::WORDS))
        })
    }

    fn moisture(&self) -> Result<f64, Diagnostic> {
        let Some(moisture) = self.figure("moisture", NumberRange { least: 0.0, most: 60.0 })? else {
            return Ok(0.0);
        };
        let basis = self.fields.text("basis")?.map(|text| text.text);
        if moisture > 0.0 && basis.as_deref() != Some(Basis::Dried.words()) {
            let mark = self.fields.key_mark("moisture").unwrap_or(self.name.mark);
            return Err(self
                .error(
                    "moisture-basis",
                    "`moisture` is taken off only where the analysis is of the dried material",
                    mark,
                    "moisture".len(),
                )
                .help("set `basis: dried`, or take the moisture out"));
        }
        Ok(moisture)
    }
}

#[cfg(test)]
mod tests;
