//! Further notebook pages, of many hands: base and additions worked beside them.
//!
//! The pages are invented. A percentage is a line's weight (or parts) over the
//! sum of the base's lines; pounds are 16 oz, a stone is 14 lb.

use glost_chemistry::diagnostic::Source;
use glost_chemistry::quantity::Millilitres;
use glost_core::intake::notebook::{Reading, Role, read_page};
use glost_studio::shipped_library;

fn read(page: &str) -> Reading {
    read_page(
        &Source::from_text("page", page),
        shipped_library(),
        Millilitres::METRIC_CUP,
    )
    .unwrap()
}

fn shown(reading: &Reading, role: Role) -> String {
    let of_role = reading.lines.iter().filter(|line| line.role == role);
    of_role
        .map(|line| {
            let material = line.material.as_deref().unwrap_or("?");
            format!("{material} {:.2}", line.percent.unwrap_or(f64::NAN))
        })
        .collect::<Vec<_>>()
        .join(", ")
}

fn all_doubts(reading: &Reading) -> String {
    let lines = reading.lines.iter().flat_map(|line| &line.doubts);
    lines
        .chain(&reading.doubts)
        .map(|doubt| glost_page::words::say(&glost_desk::Said::OfPage(doubt.clone())))
        .collect::<Vec<_>>()
        .join("\n")
}

/// Base, additions and a doubt (empty: none at all) of a page.
#[track_caller]
fn expect(page: &str, base: &str, additions: &str, doubt: &str) {
    let reading = read(page);
    assert_eq!(shown(&reading, Role::Base), base, "base of:\n{page}\n{reading:#?}");
    assert_eq!(
        shown(&reading, Role::Addition),
        additions,
        "additions of:\n{page}\n{reading:#?}"
    );
    let doubts = all_doubts(&reading);
    if doubt.is_empty() {
        assert_eq!(doubts, "", "{page}");
    }
    assert!(doubts.contains(doubt), "no `{doubt}` for:\n{page}\n{doubts}");
}

const PLAIN: &str = "potash feldspar 40.00, silica 30.00, whiting 20.00, kaolin 10.00";
const LINES: &str = "potash feldspar 40\nsilica 30\nwhiting 20\nkaolin 10\n";

#[test]
fn weights_of_the_trade_and_the_market() {
    // 84, 48, 28, 24 oz of 184.
    expect(
        "Nepheline syenite 5 lb 4 oz\nSilica 3lb\nWhiting 1lb 12oz\nKaolin 1 1/2 lb",
        "typical nepheline syenite 45.65, silica 26.09, whiting 15.22, kaolin 13.04",
        "",
        "",
    );
    // 8, 35, 12, 5 oz of 60.
    expect(
        "1/2 lb whiting\n2 lb 3 oz potash feldspar\n¾ lb flint\n5 oz ball clay\nbentonite 2%",
        "whiting 13.33, potash feldspar 58.33, silica 20.00, typical ball clay 8.33",
        "typical bentonite 2.00",
        "",
    );
    // 14, 7, 4, 3 lb of 28.
    expect(
        "potash feldspar 1 stone\nsilica 7 lb\nwhiting 4 lb\nkaolin 3 lb",
        "potash feldspar 50.00, silica 25.00, whiting 14.29, kaolin 10.71",
        "",
        "",
    );
    // 28, 14, 7, 7 lb of 56.
    expect(
        "potash feldspar 1/4 cwt\nsilica 14 lb\nwhiting 7 lb\nkaolin 7 lb",
        "potash feldspar 50.00, silica 25.00, whiting 12.50, kaolin 12.50",
        "",
        "American one is 100 lb",
    );
    // 72, 32, 24, 16 oz of 144.
    expect(
        "potash feldspar 4lb8\nsilica 2lb\nwhiting 1lb8oz\nkaolin 1lb",
        "potash feldspar 50.00, silica 22.22, whiting 16.67, kaolin 11.11",
        "",
        "`8` after the pounds read as ounces",
    );
    // 32, 16, 8, 8 oz of 64.
    expect(
        "potash feldspar 2#\nsilica (200#) 1#\nwhiting 8 oz\nkaolin 8 oz",
        "potash feldspar 50.00, silica 25.00, whiting 12.50, kaolin 12.50",
        "",
        "`#` read as pounds",
    );
    // 24, 24, 16 oz of 64.
    expect(
        "one and a half lb potash feldspar\n1 and 1/2 lb silica\n1 lb kaolin",
        "potash feldspar 37.50, silica 37.50, kaolin 25.00",
        "",
        "",
    );
    // 226.796 g, 170 g, 113.4 g, 56.699 g of 566.895 g.
    expect(
        "potash feldspar 8 oz\nsilica 170 g\nwhiting 113.4 g\nkaolin 2 oz",
        "potash feldspar 40.01, silica 29.99, whiting 20.00, kaolin 10.00",
        "",
        "",
    );
    // 20 grains are 1.29598 g, on 10 oz of 283.495 g.
    expect(
        "potash feldspar 4 oz\nsilica 3 oz\nwhiting 2 oz\nkaolin 1 oz\ncobalt oxide 20 grains",
        PLAIN,
        "cobalt oxide 0.46",
        "read as an addition",
    );
}

#[test]
fn additions_however_they_are_said() {
    for (words, additions) in [
        (
            "+copper carb 2\n + 0.5% cobalt ox.",
            "copper carbonate 2.00, cobalt oxide 0.50",
        ),
        (
            "add 3 copper carb\nadd: 2 bentonite",
            "copper carbonate 3.00, typical bentonite 2.00",
        ),
        ("* add 2% bentonite", "typical bentonite 2.00"),
        ("To every 100 parts add 3 rutile", "rutile 3.00"),
        (
            "plus 1 cobalt carb, 4 tin oxide",
            "cobalt carbonate 1.00, tin oxide 4.00",
        ),
        ("  Add:\nred iron oxide ...... 4.5", "red iron oxide 4.50"),
    ] {
        expect(&format!("{LINES}{words}"), PLAIN, additions, "");
    }
    expect(
        &format!("{LINES}zircon silicate 10%\nbentonite 2%"),
        PLAIN,
        "zirconium silicate 10.00, typical bentonite 2.00",
        "no sign before it",
    );
    expect(
        &format!("Base 100:\n{LINES}red iron oxide 6"),
        PLAIN,
        "red iron oxide 6.00",
        "no sign before it",
    );
    expect(
        &format!("{LINES}----\n100.0\n\n2.0 copper carbonate\n102.0"),
        PLAIN,
        "copper carbonate 2.00",
        "below the total",
    );
}

#[test]
fn doses_per_something_stay_open() {
    let page = "potash feldspar 2 lb\nsilica 1 lb\nkaolin 1 lb\ncobalt carb 1 g per lb\n1 g rutile to every pound";
    expect(
        page,
        "potash feldspar 50.00, silica 25.00, kaolin 25.00",
        "",
        "a dose per something",
    );
    assert_eq!(read(page).open().count(), 2);
}

#[test]
fn a_second_recipe_is_never_mixed_into_the_first() {
    let page = "Winter white\npotash feldspar 40\nsilica 30\nwhiting 20\nkaolin 10\ntin oxide 5\n\n\
                Winter blue, cone 9\npotash feldspar 50\nsilica 20\ndolomite 20\nkaolin 10\ncobalt carb 1\n";
    expect(
        page,
        PLAIN,
        "tin oxide 5.00",
        "a second recipe seems to start by line 9",
    );
    let reading = read(page);
    assert_eq!(reading.open().count(), 5);
    let glaze = reading.glaze.unwrap();
    assert_eq!((glaze.name.as_str(), glaze.about.cone), ("Winter white", None));
    // A gap alone, and a material that stands twice, are no second recipe.
    let page = "potash feldspar 40\nsilica 20\n\nwhiting 20\nkaolin 10\nsilica 10";
    expect(
        page,
        "potash feldspar 40.00, silica 20.00, whiting 20.00, kaolin 10.00, silica 10.00",
        "",
        "silica stands on line 2 too",
    );
}

#[test]
fn colours_of_several_versions_are_asked_about() {
    for page in [
        format!("Base 100:\n{LINES}Blue: cobalt carb 1\nGreen: copper carb 3"),
        format!("{LINES}Blue\ncobalt carb 1\nGreen\ncopper carb 3"),
    ] {
        let additions = "cobalt carbonate 1.00, copper carbonate 3.00";
        expect(&page, PLAIN, additions, "Blue, Green: several versions?");
    }
}

#[test]
fn letters_that_look_like_units_and_signs() {
    expect(
        "frit X 20\npotash feldspar 40\nsilica 40",
        "potash feldspar 50.00, silica 50.00",
        "",
        "frit",
    );
    expect(
        "Kaolin G 20\npotash feldspar 40\nsilica 40",
        "kaolin 20.00, potash feldspar 40.00, silica 40.00",
        "",
        "no material of yours has the letter G",
    );
    // An l for a one: the line isn't lost.
    let page = "potash feldspar 40\nsilica 30\nwhiting 20\nkaolin l0";
    expect(
        page,
        "potash feldspar 44.44, silica 33.33, whiting 22.22",
        "",
        "no amount could be read from this line",
    );
    expect(
        &format!("{LINES}tin oxide 5/6"),
        PLAIN,
        "tin oxide 0.83",
        "`5/6` read as a fraction; if it means 5 or 6, choose one",
    );
    expect(
        &format!("{LINES}~~copper carb 3~~\n+ copper carb 2"),
        PLAIN,
        "copper carbonate 2.00",
        "line 5 is crossed out",
    );
}

#[test]
fn about_equal_and_dated() {
    expect(
        "potash feldspar ~40\nsilica about 30\nwhiting approx 20\nkaolin c. 10",
        PLAIN,
        "",
        "the page says `c`",
    );
    expect(
        "Equal parts of potash feldspar, whiting, silica and china clay",
        "potash feldspar 25.00, whiting 25.00, silica 25.00, kaolin 25.00",
        "",
        "one part by weight of each",
    );
    expect(
        &format!("3 May 1974\nFrom the evening class, p. 12\n{LINES}Tested twice, 2 tiles good"),
        PLAIN,
        "",
        "",
    );
    let page =
        format!("Recipe: Moon white\nCone: 9-10\nAtmosphere: reduction\nIngredients:\n{LINES}Colourants:\nrutile: 3");
    expect(&page, PLAIN, "rutile 3.00", "");
    let glaze = read(&page).glaze.unwrap();
    assert_eq!(glaze.about.cone.as_deref(), Some("9-10"));
}

#[test]
fn tables_out_of_other_programs() {
    expect(
        "| Material | % |\n|---|---|\n| Potash feldspar | 40 |\n| Silica | 30 |\n| Whiting | 20 |\n| Kaolin | 10 |\n| *Add* | |\n| Rutile | 3 |",
        PLAIN,
        "rutile 3.00",
        "",
    );
    expect(
        "material;amount\npotash feldspar;40,0\nsilica;30,0\nwhiting;20,0\nkaolin;10,0",
        PLAIN,
        "",
        "decimal comma",
    );
    expect(
        "potash feldspar — 40\nSilica – 30\nWhiting—20\nKaolin–10",
        PLAIN,
        "",
        "",
    );
    expect(
        "potash feldspar   40   45\nsilica  30  30\nwhiting 20  15\nkaolin 10 10",
        PLAIN,
        "",
        "a second amount, `45`, is not used",
    );
    expect(
        "potash feldspar 4 : silica 3 : whiting 2 : kaolin 1",
        PLAIN,
        "",
        "adds up to 10",
    );
}
