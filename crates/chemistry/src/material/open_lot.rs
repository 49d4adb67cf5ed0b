//! Lots of one material that stand open beside each other: `lots:` in a materials file.

use crate::diagnostic::Diagnostic;
use crate::quantity::Grams;
use crate::read::{Fields, Key, Node, Text, Value, folded, kind_of, text_of};

use super::entry::{EntryReader, Makeup};
use super::fired_yield::FiredYield;
use super::kind::Kind;
use super::library::Material;

/// What an analysis is given with; of a lot's, what it doesn't say holds as on the
/// material's own sheet.
const SHEET_KEYS: [&str; 6] = [
    "analysis",
    "basis",
    "loss_on_ignition",
    "moisture",
    "tolerance",
    "take_as_is",
];

/// The keys that a lot may have.
pub const LOT_KEYS: [&str; 8] = [
    "lot",
    "stock",
    "analysis",
    "basis",
    "loss_on_ignition",
    "moisture",
    "tolerance",
    "take_as_is",
];

/// One open lot of a material.
#[derive(Debug, Clone)]
pub struct OpenLot {
    /// What stands on its bags.
    pub lot: String,
    /// What the studio has of it.
    pub stock: Grams,
    /// What it leaves in the fired glaze; `None` where the material isn't given by an analysis.
    pub fired: Option<FiredYield>,
}

/// The lot that is taken from unless another is asked for: the first listed that has
/// stock, the last where none has.
pub fn first_open(lots: &[OpenLot]) -> Option<&OpenLot> {
    lots.iter().find(|lot| lot.stock.grams() > 0.0).or(lots.last())
}

/// What there is of all lots together; `None` where none is listed.
pub(super) fn of_all(lots: &[OpenLot]) -> Option<Grams> {
    let sum = lots.iter().map(|lot| lot.stock.grams()).sum();
    Grams::new(sum).filter(|_| !lots.is_empty())
}

impl Material {
    /// An open lot by what stands on its bags, without case.
    pub fn open_lot(&self, lot: &str) -> Option<&OpenLot> {
        self.open_lots.iter().find(|open| folded(&open.lot) == folded(lot))
    }

    /// This material out of one of its open lots: its stock and its analysis are the lot's.
    #[must_use]
    pub fn out_of(&self, lot: &OpenLot) -> Material {
        Material {
            lot: Some(lot.lot.clone()),
            stock: Some(lot.stock),
            fired: lot.fired.clone().or_else(|| self.fired.clone()),
            ..self.clone()
        }
    }
}

impl EntryReader<'_> {
    /// The open lots that are listed; none where `lots` isn't there.
    pub(super) fn open_lots(
        &self,
        kind: Kind,
        makeup: &Makeup,
        cautions: &mut Vec<Diagnostic>,
    ) -> Result<Vec<OpenLot>, Diagnostic> {
        let (Some(node), Some(mark)) = (self.fields.get("lots"), self.fields.key_mark("lots")) else {
            return Ok(Vec::new());
        };
        for key in ["lot", "stock"] {
            if let Some(mark) = self.fields.key_mark(key) {
                let message = format!("{} has both `lots` and `{key}`", self.what);
                return Err(self
                    .error("lots-twice", message, mark, key.len())
                    .help("keep one: `lots` lists each open lot with its own stock"));
            }
        }
        let example = "list them, the oldest first: `lots: [{ lot: K7, stock: 2 kg }, { lot: L2, stock: 5 kg }]`";
        let items = match &node.value {
            Value::List(items) if !items.is_empty() => items,
            Value::List(_) | Value::Nothing => {
                return Err(self
                    .error("no-lots", "`lots` lists none", mark, "lots".len())
                    .help(example));
            }
            _ => {
                let message = format!("`lots` should be a list, this is {}", kind_of(node));
                return Err(self.error("wrong-type", message, node.mark, node.width()).help(example));
            }
        };
        let mut lots: Vec<OpenLot> = Vec::new();
        for item in items {
            let (name, lot) = self.one_lot(item, kind, makeup, cautions)?;
            if lots.iter().any(|known| folded(&known.lot) == folded(&lot.lot)) {
                let message = format!("lot {} of {} is listed twice", lot.lot, self.what);
                return Err(self
                    .error("lots-twice", message, name.mark, name.text.chars().count())
                    .help("keep one of them with the stock of both"));
            }
            lots.push(lot);
        }
        Ok(lots)
    }

    fn one_lot(
        &self,
        item: &Node,
        kind: Kind,
        makeup: &Makeup,
        cautions: &mut Vec<Diagnostic>,
    ) -> Result<(Text, OpenLot), Diagnostic> {
        let fields = Fields::new(self.source, item, "a lot", &LOT_KEYS)?;
        let lot = fields.required("lot", "this lot", "say what stands on its bag: `lot: K7`")?;
        let name = text_of(self.source, lot, "lot")?;
        let what = format!("lot {}", name.text);
        fields.required("stock", &what, "say what is left of it: `stock: 2 kg`, or `0 kg`")?;
        let Some(stock) = self.quantity_in(&fields, "stock", Grams::parse)? else {
            return Err(self.error("missing-key", format!("{what} has no `stock`"), name.mark, 1));
        };
        let sheet = match makeup {
            Makeup::Known(fired) if self.fields.get("analysis").is_some() => Some(fired.as_ref()),
            _ => None,
        };
        let own = SHEET_KEYS
            .into_iter()
            .find_map(|key| Some((key, fields.key_mark(key)?)));
        let fired = match (own, sheet) {
            (None, sheet) => sheet.cloned(),
            (Some((key, mark)), None) => {
                let message = format!("`{key}` of {what}: {} itself is given by no analysis", self.what);
                return Err(self
                    .error("needless-key", message, mark, key.len())
                    .help("give the material its usual analysis, and the lot what differs; or take it out"));
            }
            (Some((key, mark)), Some(_)) if fields.get("analysis").is_none() => {
                let message = format!("`{key}` has no meaning for {what} without an `analysis` of its own");
                return Err(self
                    .error("needless-key", message, mark, key.len())
                    .help("give the lot's analysis beside it, or take it out"));
            }
            (Some(_), Some(_)) => Some(self.own_sheet(item, &name, kind, cautions)?),
        };
        let open = OpenLot {
            lot: name.text.clone(),
            stock,
            fired,
        };
        Ok((name, open))
    }

    /// What a lot leaves by its own analysis: the material's sheet with the lot's in its place.
    fn own_sheet(
        &self,
        lot: &Node,
        name: &Text,
        kind: Kind,
        cautions: &mut Vec<Diagnostic>,
    ) -> Result<FiredYield, Diagnostic> {
        let mut sheet = self.item.clone();
        if let (Value::Map(entries), Value::Map(own)) = (&mut sheet.value, &lot.value) {
            let no_map = |(key, value): &&(Key, Node)| key.text == "analysis" && !matches!(value.value, Value::Map(_));
            if let Some((_, node)) = own.iter().find(no_map) {
                return Err(self.no_analysis(&name.text, node));
            }
            let own = own.iter().filter(|(key, _)| SHEET_KEYS.contains(&key.text.as_str()));
            for (key, value) in own {
                entries.retain(|(known, _)| known.text != key.text);
                entries.push((key.clone(), value.clone()));
            }
        }
        let mut reader = EntryReader::new(self.source, &sheet)?;
        reader.what = format!("lot {} of {}", name.text, self.what);
        reader.name.text = format!("{}, lot {}", self.name.text, name.text);
        let makeup = reader.analysis(kind, cautions)?;
        self.commas.borrow_mut().extend(reader.commas.take());
        match makeup {
            Makeup::Known(fired) => Ok(*fired),
            Makeup::Unknown | Makeup::Recipe { .. } => Err(self.no_analysis(&name.text, lot)),
        }
    }

    fn no_analysis(&self, lot: &str, node: &Node) -> Diagnostic {
        let message = format!(
            "the analysis of lot {lot} should be a map of oxides, this is {}",
            kind_of(node)
        );
        self.error("wrong-type", message, node.mark, node.width())
            .help("write { SiO2: 47.2, Al2O3: 37.1, ... }, or take it out: the lot then counts as on the material's own sheet")
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Library, read_materials};
    use super::*;
    use crate::diagnostic::Source;
    use crate::oxides::Oxide;

    const KAOLIN: &str = "materials:
  - name: kaolin
    kind: clay
    analysis: { SiO2: 47, Al2O3: 37.5, Fe2O3: 0.6 }
    loss_on_ignition: 13
    basis: as supplied
    source: sheet
    lots:
      - { lot: K7, stock: 2 kg }
      - { lot: L2, stock: 5 kg, analysis: { SiO2: 49, Al2O3: 36, Fe2O3: 1.2 }, loss_on_ignition: 12.4 }
";

    fn kaolin(text: &str) -> Result<Material, Diagnostic> {
        let (entries, mut complaints) = read_materials(&Source::from_text("m.yaml", text));
        let mut library = Library::default();
        complaints.extend(library.add_layer(entries, false));
        match (complaints.pop(), library.find("kaolin")) {
            (None, Some(found)) => Ok((**found).clone()),
            (Some(complaint), _) => Err(complaint),
            (None, None) => panic!("no kaolin"),
        }
    }

    fn iron(material: &Material) -> f64 {
        let fired = material.fired.as_ref();
        fired.map_or(f64::NAN, |fired| fired.oxides.get(Oxide::Fe2O3))
    }

    #[test]
    fn the_oldest_lot_with_stock_is_the_open_one() {
        let first = kaolin(KAOLIN).unwrap();
        assert_eq!(first.lot.as_deref(), Some("K7"));
        assert_eq!(first.stock.map(Grams::grams), Some(7000.0));
        assert!((iron(&first) - 0.6).abs() < 1e-9);
        let second = first.out_of(first.open_lot("l2").unwrap());
        assert_eq!(
            (second.lot.as_deref(), second.stock.map(Grams::grams)),
            (Some("L2"), Some(5000.0))
        );
        assert!((iron(&second) - 1.2).abs() < 1e-9);

        let emptied = kaolin(&KAOLIN.replace("stock: 2 kg", "stock: 0 kg")).unwrap();
        assert_eq!(emptied.lot.as_deref(), Some("L2"));
        assert!((iron(&emptied) - 1.2).abs() < 1e-9);
        let old = emptied.out_of(emptied.open_lot("K7").unwrap());
        assert!((iron(&old) - 0.6).abs() < 1e-9);
        let none = KAOLIN
            .replace("stock: 2 kg", "stock: 0 kg")
            .replace("stock: 5 kg", "stock: 0 g");
        assert_eq!(kaolin(&none).unwrap().lot.as_deref(), Some("L2"));
    }

    #[test]
    fn what_is_wrong_with_lots_is_said_with_its_place() {
        let wrong = |from: &str, to: &str| {
            let why = kaolin(&KAOLIN.replace(from, to)).unwrap_err();
            (why.code, why.place.map_or(0, |place| place.mark.line))
        };
        assert_eq!(wrong("lot: L2", "lot: k7"), ("lots-twice", 10));
        assert_eq!(wrong("lot: L2,", "lot: L2, price: 3 EUR/kg,"), ("unknown-key", 10));
        assert_eq!(
            wrong("    source: sheet", "    source: sheet\n    lot: K7"),
            ("lots-twice", 8)
        );
        assert_eq!(
            wrong("    source: sheet", "    source: sheet\n    stock: 2 kg"),
            ("lots-twice", 8)
        );
        assert_eq!(wrong(", stock: 2 kg", ""), ("missing-key", 9));
        assert_eq!(wrong("stock: 2 kg", "stock: 2"), ("not-a-quantity", 9));
        assert_eq!(wrong("stock: 2 kg", "stock: 2 kg, basis: dried"), ("needless-key", 9));
        assert_eq!(wrong("{ SiO2: 49, Al2O3: 36, Fe2O3: 1.2 }", "unknown").1, 10);
        assert_eq!(wrong("SiO2: 49", "SiO2: 20"), ("odd-sum", 10));
        let several = KAOLIN.split("    lots:").next().unwrap();
        for (lots, code) in [("[]", "no-lots"), ("K7", "wrong-type"), ("", "no-lots")] {
            let why = kaolin(&format!("{several}    lots: {lots}\n")).unwrap_err();
            assert_eq!(why.code, code, "{lots}");
        }
    }
}
