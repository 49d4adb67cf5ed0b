use super::*;
use crate::workshop::bench::{batch, glaze, near, shelf};

/// 400 g of silica at 1 and 200 g of whiting at 0.50 EUR/kg: 0.40 + 0.10.
#[test]
fn a_batch_costs_the_sum_of_its_grams() {
    let shelf = shelf();
    let found = cost(
        batch(&shelf, &[("whiting", 200.0), ("silica", 300.0), ("silica", 100.0)]).into_iter(),
        None,
    );
    near(found.amount.unwrap(), 0.5, "amount");
    near(found.per_kg().unwrap(), 0.5 / 0.6, "per kilogram");
    near(found.grams(), 600.0, "grams");
    assert_eq!((found.currency.as_deref(), found.is_whole()), (Some("EUR"), true));
    assert_eq!(found.lines.len(), 2);
    near(found.lines[1].amount.unwrap(), 0.4, "silica");
    let (name, most) = found.dearest.unwrap();
    assert_eq!(name, "silica");
    near(most, 0.4, "dearest");
}

#[test]
fn what_has_no_price_or_another_currency_is_named_and_never_nothing() {
    let shelf = shelf();
    let lines = [
        ("feldspar", 500.0),
        ("tin oxide", 50.0),
        ("kaolin", 100.0),
        ("feldspar", 10.0),
    ];
    let in_euros = cost(batch(&shelf, &lines).into_iter(), Some("eur"));
    let unknown: Vec<String> = in_euros.unknown.iter().map(ToString::to_string).collect();
    assert_eq!(unknown, ["feldspar", "tin oxide (priced in USD)"]);
    assert!(!in_euros.is_whole());
    // 8 EUR for 10 kg: 0.08 for 100 g.
    near(in_euros.amount.unwrap(), 0.08, "kaolin");
    assert_eq!(in_euros.lines[0].amount, None);
    let none = cost(batch(&shelf, &[("feldspar", 1.0)]).into_iter(), None);
    assert_eq!(
        (none.amount, none.per_kg(), none.is_whole(), none.dearest),
        (None, None, false, None)
    );
    // Without a studio's currency the first one met counts.
    let dollars = cost(batch(&shelf, &lines[1..]).into_iter(), None);
    assert_eq!(dollars.currency.as_deref(), Some("USD"));
    near(dollars.amount.unwrap(), 1.5, "tin oxide");
}

#[test]
fn a_glaze_counts_its_additions_and_leaves_out_what_is_not_in_it() {
    let found = Cost::of_glaze(
        &glaze("parts: { silica: 60, whiting: 40, feldspar: 0 }\nadditions: { cobalt carbonate: 1 }"),
        None,
    );
    near(found.grams(), 101.0, "grams");
    near(found.amount.unwrap(), 0.06 + 0.02 + 0.06, "amount");
    assert!(found.is_whole());
}
