//! A new lot of a material, listed in its file beside those that are left.

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::material::{OpenLot, read_materials};
use glost_chemistry::quantity::plain;
use glost_chemistry::read::{ItemValue, NewItem, Node, Value, folded, parse, with_item, without};

use crate::workplace::Workplace;

use super::found::{Editable, child};
use super::keys::LOTS;
use super::written::{lots_in, map_at};

/// A lot to be opened.
#[derive(Debug, Clone, PartialEq)]
pub struct NewLot {
    /// What stands on its bags.
    pub lot: String,
    /// What there is of it, as typed.
    pub stock: String,
    /// Its own analysis, wt %; empty: as on the material's sheet.
    pub analysis: Vec<(String, f64)>,
    /// Its own loss on ignition, wt %.
    pub loss_percent: Option<f64>,
}

/// A lot that was opened.
#[derive(Debug, Clone)]
pub struct OpenedLot {
    /// Its line, from 1.
    pub line: usize,
    /// All that stand open now, in the order of the file.
    pub open: Vec<OpenLot>,
}

impl Workplace {
    /// Lists a new lot in a material's file. What the file says of its one lot so far becomes
    /// the first of the list.
    ///
    /// # Errors
    /// A lot that is open already; a file that doesn't say what is left of what, that can't be
    /// changed in place, or that can't be used with the lot in it. Nothing has changed then.
    pub fn open_lot(&self, material: &Editable, new: &NewLot) -> Result<OpenedLot, Vec<Diagnostic>> {
        let one = |why: Diagnostic| vec![why];
        let before = self.with_a_list(material, new).map_err(one)?;
        let amounts: Vec<(String, String)> = new
            .analysis
            .iter()
            .map(|(oxide, percent)| (oxide.clone(), plain(*percent)))
            .collect();
        let loss = new.loss_percent.map(plain);
        let mut pairs = vec![
            ("lot", ItemValue::Text(&new.lot)),
            ("stock", ItemValue::Text(&new.stock)),
        ];
        if !amounts.is_empty() {
            pairs.push(("analysis", ItemValue::Amounts(&amounts)));
        }
        pairs.extend(loss.as_deref().map(|loss| ("loss_on_ignition", ItemValue::Text(loss))));
        let item = NewItem {
            path: &material.steps,
            list: LOTS,
            pairs: &pairs,
        };
        let edited = with_item(&before, &item).map_err(one)?;
        let renewed = Source {
            name: before.name.clone(),
            text: edited.text.into(),
        };
        let (entries, complaints) = read_materials(&renewed);
        if !complaints.is_empty() {
            // The line is in no file.
            let unplaced = |why: Diagnostic| Diagnostic { place: None, ..why };
            return Err(complaints.into_iter().map(unplaced).collect());
        }
        let own = entries
            .into_iter()
            .find(|entry| folded(&entry.name.text) == folded(&material.name));
        self.put(&material.path, &material.source, &renewed.text).map_err(one)?;
        Ok(OpenedLot {
            line: edited.line,
            open: own.map_or_else(Vec::new, |entry| entry.open_lots),
        })
    }

    /// The file with a list of lots in it, or with none where it says nothing of what is left.
    fn with_a_list(&self, material: &Editable, new: &NewLot) -> Result<Source, Diagnostic> {
        let source = &material.source;
        let root = parse(source)?;
        let (name, steps) = (&material.name, &material.steps);
        let Some(map) = map_at(&root, steps) else {
            return Ok(source.clone());
        };
        let open = lots_in(map);
        let text = |key: &str| text_of(map, key);
        let is_open = |lot: &str| folded(lot) == folded(&new.lot);
        if open.iter().any(|lot| is_open(lot)) || text("lot").is_some_and(is_open) {
            let message = format!("lot {} of {name} is open already", new.lot);
            return Err(Diagnostic::error("lots-twice", message).help(match open.is_empty() {
                true => format!(
                    "`glost set \"{name}\" \"stock={}\"` says what there is of it",
                    new.stock
                ),
                false => format!(
                    "`glost set \"{name}\" \"lots.{}.stock={}\"` says what there is of it",
                    new.lot, new.stock
                ),
            }));
        }
        let unsaid = |what: &str, setting: &str| {
            let message = format!("{name}: its file doesn't say {what}; nothing was written");
            Diagnostic::error("lot-unsaid", message).help(format!("say it first: glost set \"{name}\" \"{setting}\""))
        };
        match (open.as_slice(), text("lot"), text("stock")) {
            ([_, ..], ..) | ([], None, None) => Ok(source.clone()),
            ([], Some(lot), None) => Err(unsaid(&format!("what is left of lot {lot}"), "stock=0 kg")),
            ([], None, Some(stock)) => Err(unsaid(&format!("of which lot its {stock} are"), "lot=NAME")),
            ([], Some(lot), Some(stock)) => {
                let first = NewItem {
                    path: steps,
                    list: LOTS,
                    pairs: &[("lot", ItemValue::Text(lot)), ("stock", ItemValue::Text(stock))],
                };
                let renewed = |text: String| Source {
                    name: source.name.clone(),
                    text: text.into(),
                };
                let no_lot = renewed(without(source, steps, "lot")?);
                let neither = renewed(without(&no_lot, steps, "stock")?);
                Ok(renewed(with_item(&neither, &first)?.text))
            }
        }
    }
}

fn text_of<'a>(map: &'a Node, key: &str) -> Option<&'a str> {
    match &child(map, key)?.value {
        Value::Text(text) => Some(text.trim()),
        _ => None,
    }
}
