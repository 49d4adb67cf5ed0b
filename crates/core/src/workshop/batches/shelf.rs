//! The stock in a materials file: what it says, and the file's text with another
//! one in its place. Every other byte stays: comments, order, spaces, line ends.

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source, under};
use glost_chemistry::quantity::Grams;
use glost_chemistry::read::{Key, Node, Value, folded, parse};

/// A stock as a file states it.
#[derive(Debug, Clone, PartialEq)]
pub struct StatedStock {
    /// The material's name.
    pub material: String,
    /// Its lot, where the file lists several.
    pub lot: Option<String>,
    /// The stock's text.
    pub text: String,
    /// The same in grams.
    pub grams: Grams,
    /// Where the text starts.
    pub mark: Mark,
}

/// A stock that gets another text.
#[derive(Debug, Clone, PartialEq)]
pub struct NewStock<'a> {
    /// The material's name.
    pub material: &'a str,
    /// Its lot, where the file lists several.
    pub lot: Option<&'a str>,
    /// The text that stands there.
    pub before: &'a str,
    /// The text to stand there.
    pub after: &'a str,
}

/// The stocks that a materials file states, in its order.
///
/// # Errors
/// Text that isn't YAML, a stock that is no weight.
pub fn stated_stocks(source: &Source) -> Result<Vec<StatedStock>, Diagnostic> {
    let root = parse(source)?;
    let mut stocks = Vec::new();
    for (name, lot, stock) in stock_nodes(&root) {
        let Value::Text(text) = &stock.value else { continue };
        let blank = text.chars().take_while(|sign| sign.is_whitespace()).count();
        let mark = Mark {
            column: stock.mark.column + blank,
            ..stock.mark
        };
        let text = text.trim();
        let grams = Grams::parse(text).map_err(|trouble| {
            Diagnostic::error("not-a-quantity", under("stock", trouble.message))
                .at(source, mark, text.chars().count())
                .maybe_help(trouble.help)
        })?;
        stocks.push(StatedStock {
            material: name.to_owned(),
            lot: lot.map(str::to_owned),
            text: text.to_owned(),
            grams,
            mark,
        });
    }
    Ok(stocks)
}

/// A material's name, its lot where several are listed, its stock.
type StockNode<'a> = (&'a str, Option<&'a str>, &'a Node);

/// A material and its lot without case.
type Place = (String, Option<String>);

fn place(material: &str, lot: Option<&str>) -> Place {
    (folded(material), lot.map(folded))
}

/// A material by name, with its lot where several are open: `kaolin lot K7`.
pub fn of_lot(material: &str, lot: Option<&str>) -> String {
    lot.map_or_else(|| material.to_owned(), |lot| format!("{material} lot {lot}"))
}

impl StatedStock {
    fn place(&self) -> Place {
        place(&self.material, self.lot.as_deref())
    }

    /// Whether it is that of this material and lot, without case.
    pub fn is_of(&self, material: &str, lot: Option<&str>) -> bool {
        self.place() == place(material, lot)
    }

    /// Whose it is, in words.
    pub fn whose(&self) -> String {
        of_lot(&self.material, self.lot.as_deref())
    }
}

/// Each material's name with its stock; where lots are listed, with each lot and its own.
fn stock_nodes(root: &Node) -> Vec<StockNode<'_>> {
    let Some(Value::List(items)) = entry(root, "materials").map(|node| &node.value) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for item in items {
        let Some(name) = word(item, "name") else { continue };
        found.extend(entry(item, "stock").map(|stock| (name, None, stock)));
        let Some(Value::List(lots)) = entry(item, "lots").map(|node| &node.value) else {
            continue;
        };
        let of_lot = |lot| Some((name, Some(word(lot, "lot")?), entry(lot, "stock")?));
        found.extend(lots.iter().filter_map(of_lot));
    }
    found
}

fn word<'a>(node: &'a Node, name: &str) -> Option<&'a str> {
    match &entry(node, name)?.value {
        Value::Text(text) => Some(text.trim()),
        _ => None,
    }
}

fn entry<'a>(node: &'a Node, name: &str) -> Option<&'a Node> {
    let Value::Map(entries) = &node.value else { return None };
    let found = entries.iter().find(|(key, _): &&(Key, Node)| key.text == name)?;
    Some(&found.1)
}

/// The file's text with these stocks in it. Each must stand there with its
/// `before` text, and nothing but it may change: that is checked on the new text.
///
/// # Errors
/// A stock written in a way that can't be changed in place (over two lines, by an
/// alias, with escapes), or not there with this text.
pub fn restock(source: &Source, stocks: &[NewStock<'_>]) -> Result<String, Diagnostic> {
    let root = parse(source)?;
    let stated = stated_stocks(source)?;
    let mut edits: Vec<(usize, usize, &str)> = Vec::new();
    let mut expected: Vec<(Place, &str)> = Vec::new();
    for stock in stocks {
        let Some(found) = stated
            .iter()
            .find(|known| known.place() == place(stock.material, stock.lot) && known.text == stock.before)
        else {
            let whose = of_lot(stock.material, stock.lot);
            let message = format!("the stock of {whose} is no longer `{}`", stock.before);
            return Err(Diagnostic::error("stock-changed", message).help("somebody changed it just now: try again"));
        };
        let start = source.offset(found.mark).filter(|&at| {
            let after = at + found.text.len();
            source.text.get(at..after) == Some(found.text.as_str()) && ends_there(&source.text[after..])
        });
        let Some(start) = start else {
            return Err(not_in_place(source, found));
        };
        edits.push((start, start + found.text.len(), stock.after));
        expected.push((found.place(), stock.after));
    }
    edits.sort_by_key(|edit| edit.0);
    let mut text = String::with_capacity(source.text.len());
    let mut from = 0;
    for (start, end, after) in edits {
        text.push_str(&source.text[from..start]);
        text.push_str(after);
        from = end;
    }
    text.push_str(&source.text[from..]);
    let renewed = Source {
        name: source.name.clone(),
        text: text.as_str().into(),
    };
    let same = parse(&renewed).is_ok_and(|new| says_the_same(&root, &new, &expected));
    let first = stated
        .iter()
        .find(|known| expected.iter().any(|new| new.0 == known.place()));
    match first {
        Some(first) if !same => Err(not_in_place(source, first)),
        _ => Ok(text),
    }
}

/// Whether a file says the same as before, these stocks aside.
fn says_the_same(before: &Node, after: &Node, expected: &[(Place, &str)]) -> bool {
    let (old_stocks, new_stocks) = (stock_nodes(before), stock_nodes(after));
    let as_expected = |((name, lot, old), (new_name, new_lot, new)): (&StockNode<'_>, &StockNode<'_>)| {
        let wanted = expected.iter().find(|known| known.0 == place(name, *lot));
        (name, lot) == (new_name, new_lot)
            && match wanted {
                Some((_, text)) => matches!(&new.value, Value::Text(new) if new.trim() == *text),
                None => alike(old, new),
            }
    };
    old_stocks.len() == new_stocks.len()
        && old_stocks.iter().zip(&new_stocks).all(as_expected)
        && alike_but_stocks(before, after)
}

/// Whether a scalar can end where this text follows.
fn ends_there(rest: &str) -> bool {
    let rest = rest.trim_start_matches([' ', '\t']);
    rest.is_empty() || rest.starts_with(['\n', '\r', '#', ',', '}', ']', '"', '\''])
}

fn not_in_place(source: &Source, stock: &StatedStock) -> Diagnostic {
    Diagnostic::error(
        "stock-in-place",
        format!("the stock of {} can't be changed where it stands", stock.whose()),
    )
    .at(source, stock.mark, stock.text.chars().count())
    .help(format!("write it plainly on its own line: `stock: {}`", stock.text))
}

fn alike(a: &Node, b: &Node) -> bool {
    match (&a.value, &b.value) {
        (Value::Text(a), Value::Text(b)) => a == b,
        (Value::Nothing, Value::Nothing) => true,
        (Value::List(a), Value::List(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| alike(a, b)),
        (Value::Map(a), Value::Map(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| a.0.text == b.0.text && alike(&a.1, &b.1))
        }
        _ => false,
    }
}

/// Whether two files say the same, the values of `stock` aside.
fn alike_but_stocks(a: &Node, b: &Node) -> bool {
    match (&a.value, &b.value) {
        (Value::List(a), Value::List(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| alike_but_stocks(a, b)),
        (Value::Map(a), Value::Map(b)) => {
            a.len() == b.len()
                && a.iter()
                    .zip(b)
                    .all(|(a, b)| a.0.text == b.0.text && (a.0.text == "stock" || alike_but_stocks(&a.1, &b.1)))
        }
        _ => alike(a, b),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHELF: &str = "\
# what we have\r
materials:\r
  - name: silica   # not the sand\r
    stock:   12 kg      # counted in May\r
    formula: SiO2\r
  - { name: 'Kaolin', stock: \"2 lb 3 oz\", kind: clay } # 12 kg\r
  - name: whiting
    stock: '5 kg'";

    fn one<'a>(material: &'a str, before: &'a str, after: &'a str) -> NewStock<'a> {
        NewStock {
            material,
            lot: None,
            before,
            after,
        }
    }

    #[test]
    fn each_lot_has_a_stock_of_its_own() {
        let shelf = "materials:\n  - name: kaolin # soft\n    lots: [{ lot: K7, stock: 2 kg }, { lot: L2, stock: 2 kg }]\n  - name: ball clay\n    lots:\n      - lot: L2   # the new\n        stock: 2 kg   # counted\n";
        let source = Source::from_text("m.yaml", shelf);
        let new = |material, lot, after| NewStock {
            lot: Some(lot),
            ..one(material, "2 kg", after)
        };
        let stocks = [new("Kaolin", "l2", "1.5 kg"), new("ball clay", "L2", "0.25 kg")];
        let wanted = shelf
            .replace("lot: L2, stock: 2 kg", "lot: L2, stock: 1.5 kg")
            .replace("stock: 2 kg   #", "stock: 0.25 kg   #");
        assert_eq!(restock(&source, &stocks), Ok(wanted));
        let gone = restock(&source, &[new("kaolin", "K8", "1 kg")]);
        assert_eq!(gone.map_err(|why| why.code), Err("stock-changed"));
    }

    #[test]
    fn only_the_stock_changes() {
        let source = Source::from_text("m.yaml", SHELF);
        let stocks = [
            one("whiting", "5 kg", "4.25 kg"),
            one("silica", "12 kg", "9.5 kg"),
            one("kaolin", "2 lb 3 oz", "2 lb 1 oz"),
        ];
        let wanted = SHELF
            .replace("stock:   12 kg ", "stock:   9.5 kg ")
            .replace("2 lb 3 oz", "2 lb 1 oz")
            .replace("'5 kg'", "'4.25 kg'");
        assert_eq!(restock(&source, &stocks), Ok(wanted));
    }

    #[test]
    fn what_is_no_longer_there_is_not_changed() {
        let source = Source::from_text("m.yaml", SHELF);
        for stock in [one("silica", "11 kg", "9 kg"), one("sand", "12 kg", "9 kg")] {
            assert_eq!(
                restock(&source, &[stock]).err().map(|error| error.code),
                Some("stock-changed")
            );
        }
    }

    #[test]
    fn a_text_that_reads_back_otherwise_is_refused() {
        let source = Source::from_text("m.yaml", SHELF);
        for after in ["9 kg # of it", "9 kg: 3", "9 kg\r\n    lot: 3"] {
            let error = restock(&source, &[one("silica", "12 kg", after)]).err();
            assert_eq!(error.map(|error| error.code), Some("stock-in-place"), "{after}");
        }
    }

    #[test]
    fn what_cannot_be_changed_in_place_is_refused_with_its_place() {
        for shelf in [
            // An alias and what it points at: one change would be two.
            "materials:\n  - { name: silica, stock: &all 12 kg }\n  - { name: kaolin, stock: *all }\n",
            "materials:\n  - { name: kaolin, lot: &all 12 kg }\n  - { name: silica, stock: *all }\n",
            "materials:\n  - { name: silica, stock: \"12\\x20kg\" }\n",
            "materials:\n  - name: silica\n    stock: 12\n      kg\n",
        ] {
            let source = Source::from_text("m.yaml", shelf);
            let error = restock(&source, &[one("silica", "12 kg", "9 kg")]).err();
            assert_eq!(
                error.as_ref().map(|error| error.code),
                Some("stock-in-place"),
                "{shelf}"
            );
            assert!(error.is_some_and(|error| error.place.is_some()), "{shelf}");
        }
    }

    #[test]
    fn places_count_letters_not_bytes() {
        let shelf =
            "materials:\r  - { name: grün, stock: 1 kg }\r  - { other_names: [ä, 土], name: silica, stock: 12 kg }\r";
        let source = Source::from_text("m.yaml", shelf);
        let new = restock(&source, &[one("silica", "12 kg", "9 kg")]);
        assert_eq!(new, Ok(shelf.replace("12 kg", "9 kg")));
    }

    #[test]
    fn what_stands_empty_or_in_lists_stays_as_it_was() {
        let shelf = "description:\nmaterials:\n  - name: silica\n    notes:\n    hazards: [dust, quartz]\n    stock: 12 kg\n  - name: water\n  - stock: 3 kg\n";
        let source = Source::from_text("m.yaml", shelf);
        let new = restock(&source, &[one("silica", "12 kg", "9 kg")]);
        assert_eq!(new, Ok(shelf.replace("12 kg", "9 kg")));
        let stated = stated_stocks(&source).unwrap();
        assert_eq!(stated.len(), 1);
        assert_eq!(
            (stated[0].whose().as_str(), stated[0].grams.grams(), stated[0].mark.line),
            ("silica", 12_000.0, 6)
        );
        assert!(
            stated[0].is_of("SILICA", None) && !stated[0].is_of("silica", Some("7")) && !stated[0].is_of("water", None)
        );
        assert_eq!(of_lot("kaolin", Some("K7")), "kaolin lot K7");
        assert!(stated_stocks(&Source::from_text("m", "materials: []\n")).is_ok_and(|stocks| stocks.is_empty()));
        let wrong = stated_stocks(&Source::from_text(
            "m",
            "materials:\n  - { name: silica, stock: \" much\" }\n",
        ))
        .unwrap_err();
        assert_eq!(
            (wrong.code, wrong.place.map(|place| place.mark.column)),
            ("not-a-quantity", Some(30))
        );
    }

    #[test]
    fn a_weight_ends_at_a_sign_that_ends_a_value() {
        for rest in ["", "\n", "  # counted", ", x", " }", "]", "\"", "'", "\t\r\n"] {
            assert!(ends_there(rest), "{rest:?}");
        }
        for rest in [" and more", "x", ".5", " 3 oz"] {
            assert!(!ends_there(rest), "{rest:?}");
        }
    }
}
