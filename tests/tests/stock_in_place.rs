//! Laws of changing a stock in a materials file: the weight that was taken is the
//! weight that is gone, and no other byte changes.

use glost_chemistry::diagnostic::Source;
use glost_chemistry::quantity::Grams;
use glost_core::workshop::batches::{NewStock, restated, restock, stated_stocks};
use proptest::prelude::*;

/// A weight as people write it.
fn weights() -> impl Strategy<Value = String> {
    let number = prop_oneof![
        (0u32..100_000).prop_map(|whole| whole.to_string()),
        (0u32..1000, 1u32..1000).prop_map(|(whole, part)| format!("{whole}.{part:03}")),
        (0u32..50).prop_map(|whole| format!("{whole} 3/4")),
        (1u32..50).prop_map(|whole| format!("{whole},5")),
    ];
    let unit = prop::sample::select(vec!["g", "kg", " g", " kg", "  kilos", " lb", " oz", " Grams", " t"]);
    prop_oneof![
        4 => (number, unit).prop_map(|(number, unit)| format!("{number}{unit}")),
        1 => (0u32..90, 0u32..16).prop_map(|(pounds, ounces)| format!("{pounds} lb {ounces}.5 oz")),
    ]
}

/// One material's entry with its stock's text left open.
#[derive(Debug, Clone)]
struct Entry {
    before: String,
    after: String,
    stock: String,
}

fn entries() -> impl Strategy<Value = Entry> {
    let quote = prop::sample::select(vec!["'", "\"", ""]);
    let note = prop::sample::select(vec!["", "  # stock: 12 kg, counted in Mäi", " #", "\t# 土"]);
    let extra = prop::sample::select(vec![
        "",
        "lot: \"stock: 3 kg\"",
        "notes: it's 12 kg, or so",
        "other_names: [x, y]",
    ]);
    (weights(), quote, note, extra, any::<bool>()).prop_map(|(stock, quote, note, extra, braces)| {
        // A decimal comma between braces would end the entry.
        let quote = if braces && stock.contains(',') { "'" } else { quote };
        let (before, after) = if braces {
            (
                format!("{{ name: NAME, stock: {quote}"),
                format!("{quote}, formula: SiO2, source: own }}{note}\n"),
            )
        } else {
            let more = if extra.is_empty() {
                String::new()
            } else {
                format!("    {extra}\n")
            };
            (
                format!("name: NAME{note}\n{more}    stock:   {quote}"),
                format!("{quote}{note}\n    source: own\n    formula: SiO2\n"),
            )
        };
        Entry { before, after, stock }
    })
}

/// The whole file with these stocks.
fn file(entries: &[Entry], stocks: &[String], end: &str) -> String {
    let mut text = "# the shelf, ½ counted\nmaterials: # stock: 5 kg\n".to_owned();
    for (index, (entry, stock)) in entries.iter().zip(stocks).enumerate() {
        let before = entry.before.replace("NAME", &format!("Matter {index}"));
        text.push_str(&format!("\n  - {before}{stock}{}", entry.after));
    }
    text.replace('\n', end)
}

proptest! {
    #[test]
    fn a_stock_less_what_was_taken_is_what_is_left(text in weights(), share in 0.0f64..1.0) {
        let before = Grams::parse(&text).map_or(0.0, Grams::grams);
        let after = restated(&text, before * share).unwrap_or_default();
        let left = Grams::parse(&after).map_or(f64::NAN, Grams::grams);
        prop_assert!((left - before * share).abs() <= 0.001 + 1e-9 * before, "{text} {after}");
        let unit = |text: &str| text.chars().filter(|sign| sign.is_alphabetic()).collect::<String>();
        prop_assert_eq!(unit(&after), unit(&text));
        prop_assert_eq!(after.contains(','), text.contains(','));
    }

    #[test]
    fn no_byte_but_the_stocks_changes(
        entries in prop::collection::vec(entries(), 1..6),
        chosen in prop::collection::vec(any::<bool>(), 6),
        end in prop::sample::select(vec!["\n", "\r\n"]),
    ) {
        let stocks: Vec<String> = entries.iter().map(|entry| entry.stock.clone()).collect();
        let source = Source::from_text("m.yaml", &file(&entries, &stocks, end));
        let stated = stated_stocks(&source).map_err(|error| TestCaseError::fail(error.message))?;
        prop_assert_eq!(stated.len(), entries.len());
        let mut wanted = stocks.clone();
        let mut moves = Vec::new();
        for (index, stock) in stated.iter().enumerate().filter(|(index, _)| chosen[*index]) {
            wanted[index] = restated(&stock.text, stock.grams.grams() / 3.0).unwrap_or_default();
            moves.push((stock.material.clone(), stock.text.clone(), wanted[index].clone()));
        }
        let new: Vec<NewStock<'_>> = moves
            .iter()
            .map(|(material, before, after)| NewStock { material, lot: None, before, after })
            .collect();
        let text = restock(&source, &new).map_err(|error| TestCaseError::fail(error.message))?;
        prop_assert_eq!(text, file(&entries, &wanted, end));
    }
}
