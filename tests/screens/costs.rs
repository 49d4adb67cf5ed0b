//! What a glaze costs, as a user would ask, right and wrong.

use super::bench::Bench;

macro_rules! screens {
    ($($name:ident: $exit:literal, [$($word:expr),+ $(,)?];)+) => {
        $(#[test]
        fn $name() {
            let screen = Bench::empty().screen(&[$($word),+]);
            assert!(screen.ends_with(concat!("--- exit ", $exit, "\n")), "{screen}");
            insta::assert_snapshot!(stringify!($name), screen);
        })+
    };
}

screens! {
    cost_of_a_recipe: 0, ["cost", "Millpond copper green"];
    cost_of_an_area: 0, ["cost", "Lamplight clear", "--area", "4.2 m2", "--coverage", "0.9 kg/m2", "--loss", "20 %", "--density", "1.45"];
    cost_of_pieces_from_a_bag: 0, ["cost", "bought clear", "--pieces", "120", "--per-piece", "35 g", "--loss", "15 %"];
    cost_as_json: 0, ["cost", "Lamplight clear", "--pieces", "30", "--format", "json"];
    cost_of_a_number: 2, ["cost", "Lamplight clear", "--area", "4.2"];
    cost_of_no_area: 2, ["cost", "Lamplight clear", "--area", "0 m2"];
    cost_of_a_layer_without_area: 2, ["cost", "Lamplight clear", "--coverage", "0.9 kg"];
    cost_of_a_layer_too_thick: 2, ["cost", "Lamplight clear", "--coverage", "90 kg/m2"];
    cost_of_a_loss_of_what: 2, ["cost", "Lamplight clear", "--loss", "20"];
    cost_of_a_loss_above_all: 2, ["cost", "Lamplight clear", "--loss", "120 %"];
    cost_of_a_loss_of_all: 2, ["cost", "Lamplight clear", "--loss", "100 %"];
    cost_of_half_a_piece: 2, ["cost", "Lamplight clear", "--pieces", "0.5"];
    cost_of_a_piece_of_nothing: 2, ["cost", "Lamplight clear", "--per-piece", "0 g"];
    cost_of_a_negative_piece: 2, ["cost", "Lamplight clear", "--per-piece=-40 g"];
    cost_at_no_density: 2, ["cost", "Lamplight clear", "--density", "2.3"];
    cost_of_nothing_here: 2, ["cost", "Lamplit clear"];
}

/// A folder whose studio counts in EUR, with these prices.
fn priced(clay: &str, cobalt: &str) -> Bench {
    let bench = Bench::empty();
    bench.file("studio.yaml", "studio: Two Rivers\ncurrency: EUR\n");
    bench.file(
        "materials/own.yaml",
        format!(
            "materials:\n  - {{ name: clay, kind: clay, analysis: unknown, source: own{clay} }}\n  \
             - {{ name: blue, kind: stain, analysis: unknown, source: own{cobalt} }}\n"
        ),
    );
    bench.file(
        "glazes/slip.yaml",
        "glaze: Slip\nparts: { clay: 100 }\nadditions: { blue: 3 }\ndensity: 1.4\n",
    );
    bench
}

#[test]
fn a_missing_price_is_named_and_the_sum_is_at_least() {
    let bench = priced(", price: 9 EUR per 12.5 kg", "");
    let screen = bench.screen(&["cost", "Slip", "--area", "2 m2"]);
    assert!(screen.ends_with("--- exit 0\n"), "{screen}");
    insta::assert_snapshot!(screen);
}

#[test]
fn another_currency_is_named_and_not_added() {
    let bench = priced(", price: 0.72 EUR/kg", ", price: 30 USD per 500 g");
    insta::assert_snapshot!(bench.screen(&["cost", "Slip"]));
}

#[test]
fn no_price_at_all_is_no_answer() {
    let screen = priced("", "").screen(&["cost", "Slip"]);
    assert!(screen.ends_with("--- exit 1\n"), "{screen}");
    insta::assert_snapshot!(screen);
}

#[test]
fn a_glaze_of_lead_is_not_costed() {
    let bench = Bench::empty();
    bench.file(
        "glaze.yaml",
        "glaze: Old page\nparts: { red lead: 60, silica: 30, kaolin: 10 }\n",
    );
    let screen = bench.screen(&["cost", "glaze.yaml"]);
    assert!(screen.ends_with("--- exit 2\n"), "{screen}");
    insta::assert_snapshot!(screen);
}
