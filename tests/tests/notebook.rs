//! Notebook pages: what each line is read as, and which doubts are raised.
//!
//! The pages are invented. Percentages are worked by hand beside them: a line's
//! weight over the weight of the base, in per cent.

use glost_chemistry::diagnostic::Source;
use glost_chemistry::glaze::Atmosphere;
use glost_chemistry::quantity::Millilitres;
use glost_core::intake::notebook::{Doubt, Reading, ReadingLine, Role, read_page};
use glost_studio::shipped_library;

fn read(page: &str) -> Reading {
    read_page(
        &Source::from_text("page", page),
        shipped_library(),
        Millilitres::METRIC_CUP,
    )
    .unwrap()
}

/// `base` and `additions` as `material percent, ...`, to 0.01 %.
/// A doubt as people read it.
fn said(doubt: &Doubt) -> String {
    glost_page::words::say(&glost_desk::Said::OfPage(doubt.clone()))
}

#[track_caller]
fn expect(page: &str, base: &str, additions: &str) -> Reading {
    let reading = read(page);
    let show = |role: Role| {
        let of_role = reading.lines.iter().filter(|line| line.role == role);
        of_role
            .map(|line| {
                let material = line.material.as_deref().unwrap_or("?");
                format!("{material} {:.2}", line.percent.unwrap_or(f64::NAN))
            })
            .collect::<Vec<_>>()
            .join(", ")
    };
    assert_eq!(show(Role::Base), base, "base of:\n{page}\n{reading:#?}");
    assert_eq!(show(Role::Addition), additions, "additions of:\n{page}\n{reading:#?}");
    let total: f64 = reading
        .glaze
        .iter()
        .flat_map(|glaze| &glaze.base)
        .map(|portion| portion.percent)
        .sum();
    assert!(base.is_empty() || (total - 100.0).abs() < 1e-9);
    reading
}

fn line<'a>(reading: &'a Reading, text: &str) -> &'a ReadingLine {
    let starts = |words: &str| {
        words
            .match_indices(text)
            .any(|(at, _)| !words[..at].ends_with(char::is_alphabetic))
    };
    let found = reading.lines.iter().find(|line| starts(&line.text));
    found.unwrap_or_else(|| panic!("no line with {text}: {reading:#?}"))
}

#[track_caller]
fn doubted(reading: &Reading, text: &str, words: &str) {
    let doubts = &line(reading, text).doubts;
    assert!(
        doubts.iter().any(|doubt| said(doubt).contains(words)),
        "{text}: no `{words}` in {doubts:?}"
    );
}

#[track_caller]
fn page_doubted(reading: &Reading, words: &str) {
    assert!(
        reading.doubts.iter().any(|doubt| said(doubt).contains(words)),
        "no `{words}` in {:?}",
        reading.doubts
    );
}

fn open_texts(reading: &Reading) -> Vec<&str> {
    reading.open().map(|line| line.text.as_str()).collect()
}

#[track_caller]
fn no_doubts(reading: &Reading) {
    assert_eq!(reading.doubt_count(), 0, "{reading:#?}");
}

const PLAIN: &str = "potash feldspar 40.00, silica 30.00, whiting 20.00, kaolin 10.00";

#[test]
fn grandmothers_page_comes_out_to_the_digits() {
    let page = "feldspar 2 lb 3 oz, chalk 12 oz, flint 1 lb, china clay half a pound. \
                Then half oz cobalt carb. Bentonite 2. Iron 1 level tablespoon.";
    let reading = expect(
        page,
        "potash feldspar 49.30, whiting 16.90, silica 22.54, kaolin 11.27",
        "cobalt carbonate 0.70, typical bentonite 2.00",
    );
    // 71 oz of 28.349523125 g.
    assert!((reading.base_grams.unwrap() - 2_012.816_141_875).abs() < 1e-6);
    doubted(&reading, "Bentonite", "per cent of the base, please confirm");
    doubted(&reading, "feldspar", "says no kind");
    let iron = line(&reading, "Iron");
    assert_eq!((iron.role, iron.grams), (Role::Open, None));
    assert_eq!(iron.material.as_deref(), Some("red iron oxide"));
    doubted(&reading, "Iron", "15 ml");
    doubted(&reading, "Iron", "9-21 g, 0.4-1.0 % of this base");
}

#[test]
fn the_same_page_line_by_line() {
    let page = "Grandmother's blue\n\nFeldspar 2 lb 3 oz\nChalk - 12 oz\nFlint: 1 lb\n½ lb china clay\n\nThen\nhalf oz cobalt carb\nBentonite 2\n1 level tbsp iron";
    let reading = expect(
        page,
        "potash feldspar 49.30, whiting 16.90, silica 22.54, kaolin 11.27",
        "cobalt carbonate 0.70, typical bentonite 2.00",
    );
    assert_eq!(reading.glaze.as_ref().unwrap().name, "Grandmother's blue");
    assert_eq!(open_texts(&reading), ["1 level tbsp iron"]);
    assert_eq!(line(&reading, "Chalk").line, 4);
}

#[test]
fn plain_columns_raise_no_doubt() {
    for page in [
        "potash feldspar 40\nsilica 30\nwhiting 20\nkaolin 10\n",
        "potash feldspar\t40\nsilica\t30\nwhiting\t20\nkaolin\t10\n",
        "40 potash feldspar\n30 flint\n20 chalk\n10 china clay\n",
        "Potash feldspar: 40\nFlint = 30\nChalk - 20\nChina clay ..... 10\n",
        "- potash feldspar 40\n- silica 30\n- whiting 20\n- kaolin 10\n",
        "• potash feldspar 40 %\n• silica 30 %\n• whiting 20 %\n• kaolin 10 %\n",
        "1. potash feldspar 40\n2. silica 30\n3. whiting 20\n4. kaolin 10\n",
        "1) 40 potash feldspar\n2) 30 silica\n3) 20 whiting\n4) 10 kaolin\n",
        "a) potash feldspar 40\nb) silica 30\nc) whiting 20\nd) kaolin 10\n",
        "[ ] potash feldspar 40\n[x] silica 30\n[ ] whiting 20\n[ ] kaolin 10\n",
        "| potash feldspar | 40 |\n| silica | 30 |\n|---|---|\n| whiting | 20 |\n| kaolin | 10 |\n",
        "potash feldspar 40 parts\nsilica 30 parts\nwhiting 20 parts\nkaolin 10 parts\n",
        "potash feldspar,40\nsilica,30\nwhiting,20\nkaolin,10\n",
        "potash feldspar 40, silica 30, whiting 20 and kaolin 10",
        "potash feldspar 40; silica 30; whiting 20; kaolin 10",
        "potash feldspar 40 silica 30 whiting 20 kaolin 10",
        "40 potash feldspar, 30 silica, 20 whiting, 10 kaolin.",
        "feldspar, potash 40\nsilica (200 mesh) 30\nwhiting 20\nkaolin 10\n",
        "potash feldspar 400 g\nsilica 300 g\nwhiting 200 g\nkaolin 100 g\n",
        "potash feldspar 400g\nsilica 300gm\nwhiting 200 gms.\nkaolin 100 grams\n",
        "POTASH FELDSPAR 40\nSILICA 30\nWHITING 20\nKAOLIN 10\n",
        "pot. feldspar 40\r\nsilica 30\r\nwhiting 20\r\nkaolin 10\r\n",
        "Base: potash feldspar 40, silica 30, whiting 20, kaolin 10",
        "potash feldspar 40\nsilica 30\nwhiting 20\nkaolin 10\n-----\nTotal 100\n",
        "potash feldspar 40\nsilica 30\nwhiting 20\nkaolin 10\n= 100\n",
    ] {
        let reading = expect(page, PLAIN, "");
        no_doubts(&reading);
    }
}

#[test]
fn pounds_and_ounces_however_joined() {
    // 35 of 70 oz is half; 20, 10 and 5 oz are 28.571, 14.286 and 7.143 %.
    let base = "potash feldspar 50.00, silica 28.57, whiting 14.29, kaolin 7.14";
    for page in [
        "2-lb-3-oz potash feldspar\n1lb4oz silica\n10oz whiting\n5 oz. kaolin",
        "potash feldspar 2lb. 3oz.\nsilica 1 lb 4 oz\nwhiting 10 ozs\nkaolin 5 ounces",
        "potash feldspar 2 lb and 3 oz\nsilica a pound and a quarter\nwhiting 10 oz\nkaolin five ounces",
        "potash feldspar 2 lbs, 3 oz; silica 1 1/4 lb; whiting 10 oz; kaolin 5 oz",
        "potash feldspar 2 3/16 lb\nsilica 1¼ lb\nwhiting 5/8 lb\nkaolin 5 oz",
        "potash feldspar 35 oz\nsilica one and a quarter lb\nwhiting 10 oz\nkaolin 5 oz",
    ] {
        no_doubts(&expect(page, base, ""));
    }
}

#[test]
fn halves_and_quarters_in_words() {
    // 8, 4, 12 and 8 oz of 32.
    let page = "half a pound of potash feldspar\na quarter lb whiting\nthree quarters of a pound silica\n1/2 lb kaolin";
    let base = "potash feldspar 25.00, whiting 12.50, silica 37.50, kaolin 25.00";
    no_doubts(&expect(page, base, ""));
    let page = "8 oz potash feldspar\n4 oz whiting\n12 oz silica\nhalf-pound kaolin\nplus a quarter oz tin oxide";
    // 0.25 of 32 oz.
    expect(page, base, "tin oxide 0.78");
}

#[test]
fn kilos_mixed_with_grams() {
    let page = "potash feldspar 2 kg\nsilica 1,5 kg\nwhiting 1 kg\nkaolin 500 g\n+ tin oxide 250 g\n";
    let reading = expect(page, PLAIN, "tin oxide 5.00");
    doubted(&reading, "silica", "decimal comma");
    assert_eq!(reading.doubt_count(), 1);
    assert_eq!(line(&reading, "tin").grams, Some(250.0));
}

#[test]
fn a_comma_before_three_figures_is_asked_about() {
    let reading = expect(
        "potash feldspar 2,000 g\nsilica 1,500 g\nwhiting 1,000 g\nkaolin 500 g",
        PLAIN,
        "",
    );
    doubted(&reading, "silica", "thousands");
    // Where other lines have decimal commas, so has this one.
    let reading = expect("potash feldspar 40,0\nsilica 30,000\nwhiting 20\nkaolin 10", PLAIN, "");
    doubted(&reading, "silica", "decimal comma");
    let reading = expect(
        "potash feldspar 2.000 g\nsilica 1.500 g\nwhiting 1.000 g\nkaolin 500,0 g",
        PLAIN,
        "",
    );
    doubted(&reading, "silica", "thousands");
}

#[test]
fn additions_with_or_without_a_plus() {
    let base = "potash feldspar 40\nsilica 30\nwhiting 20\nkaolin 10\n";
    for (added, doubt) in [
        ("+ cobalt carbonate 0.5\n+ tin oxide 5\n", ""),
        ("+ 0.5 % cobalt carbonate\n+ 5% tin oxide\n", ""),
        ("plus cobalt carb 0.5\nplus tin 5\n", "tin"),
        ("Add: cobalt carbonate 0.5, tin oxide 5\n", ""),
        ("Additions\ncobalt carbonate 1/2\ntin oxide 5\n", ""),
        ("Colour:\ncobalt carbonate .5\ntin oxide 5\n", ""),
        ("to this add half cobalt carbonate and 5 tin oxide\n", ""),
        ("for blue add cobalt carbonate 0.5, tin oxide 5\n", ""),
        ("cobalt carbonate 0.5\ntin oxide 5\n", "no sign before it"),
        ("total 100\ncobalt carbonate 0.5\ntin oxide 5\n", "below the total"),
        ("------\n100\ncobalt carbonate 0.5\ntin oxide 5\n", "below the total"),
        ("cobalt carbonate 0,5 per cent\ntin oxide 5 pct\n", "no sign before it"),
    ] {
        let reading = expect(
            &format!("{base}{added}"),
            PLAIN,
            "cobalt carbonate 0.50, tin oxide 5.00",
        );
        if doubt.is_empty() {
            no_doubts(&reading);
        } else {
            doubted(&reading, "tin", doubt);
        }
    }
}

#[test]
fn a_colourant_inside_a_base_of_100_stays_inside() {
    let reading = expect(
        "potash feldspar 40\nsilica 25\nwhiting 17\nkaolin 10\nred iron oxide 8\n",
        "potash feldspar 40.00, silica 25.00, whiting 17.00, kaolin 10.00, red iron oxide 8.00",
        "",
    );
    doubted(&reading, "iron", "inside the base");
    // 92 and 8 make 100; the cobalt is on top.
    let reading = expect(
        "potash feldspar 40\nsilica 25\nwhiting 17\nkaolin 10\nrutile 8\ncobalt carb 1",
        "potash feldspar 40.00, silica 25.00, whiting 17.00, kaolin 10.00, rutile 8.00",
        "cobalt carbonate 1.00",
    );
    doubted(&reading, "cobalt", "no sign before it");
}

#[test]
fn an_unmarked_colourant_in_grams_is_an_addition_and_a_doubt() {
    let reading = expect(
        "potash feldspar 400 g\nsilica 300 g\nwhiting 200 g\nkaolin 100 g\ncobalt carb 8 g\nbentonite 20 g\nCMC 5 g",
        PLAIN,
        "cobalt carbonate 0.80, typical bentonite 2.00, CMC gum 0.50",
    );
    for text in ["cobalt", "bentonite", "CMC"] {
        doubted(&reading, text, "no sign before it");
    }
}

#[test]
fn sums_that_are_not_100() {
    // 97: 40/97 and so on.
    let reading = expect(
        "potash feldspar 40\nsilica 30\nwhiting 20\nkaolin 7",
        "potash feldspar 41.24, silica 30.93, whiting 20.62, kaolin 7.22",
        "",
    );
    page_doubted(&reading, "adds up to 97, not 100");
    // 110, and an addition in the same parts: 2.2 of 110 is 2 %.
    let reading = expect(
        "potash feldspar 44\nsilica 33\nwhiting 22\nkaolin 11\n+ copper carbonate 2.2",
        PLAIN,
        "copper carbonate 2.00",
    );
    page_doubted(&reading, "adds up to 110");
    let reading = expect(
        "potash feldspar 40\nsilica 30\nwhiting 20\nkaolin 10\ntotal 95",
        PLAIN,
        "",
    );
    page_doubted(&reading, "the page says 95 in all, its lines add up to 100");
}

#[test]
fn cups_of_powder_are_never_weights() {
    let reading = read("feldspar 4 cups\nflint 2 cups\nchalk 1 1/2 cups\nchina clay 1 cup");
    assert!(reading.glaze.is_none());
    assert_eq!(reading.open().count(), 4);
    doubted(&reading, "chalk", "375 ml");
    doubted(&reading, "chalk", "Weigh one");
    for spoon in [
        "iron 2 tsp",
        "iron 1 heaped tablespoon",
        "iron 3 spoons",
        "a pinch of iron",
        "iron 1 T",
        "iron 1 t",
        "some iron",
        "iron 2 fl oz",
        "2 scoops iron",
        "iron 1 pint",
    ] {
        let reading = read(&format!("potash feldspar 50\nwhiting 50\n{spoon}"));
        assert_eq!(open_texts(&reading), [spoon], "{reading:#?}");
        assert!(reading.lines.iter().all(|line| line.grams.is_none()));
        assert!(reading.glaze.is_some());
    }
    doubted(&read("potash feldspar 1 lb\niron 1 T"), "iron", "tablespoon");
    doubted(&read("potash feldspar 1 lb\niron 1 heaped tsp"), "iron", "heaped");
}

#[test]
fn unknown_words_stay_open_with_suggestions() {
    let reading = expect(
        "potash feldspar 40\nmoonrock 10\nsilica 25\nwhiting 25",
        "potash feldspar 44.44, silica 27.78, whiting 27.78",
        "",
    );
    assert_eq!(open_texts(&reading), ["moonrock 10"]);
    doubted(&reading, "moonrock", "no material is called");
    doubted(&reading, "moonrock", "in the base it would be 10 %");
    for (word, meant) in [
        ("cobalt", "cobalt oxide"),
        ("copper", "copper carbonate"),
        ("manganese", "manganese dioxide"),
    ] {
        let reading = read(&format!("potash feldspar 50\nwhiting 50\n+ {word} 1"));
        let open = line(&reading, word);
        assert_eq!((open.role, &open.material), (Role::Open, &None));
        assert!(
            open.suggestions.iter().any(|name| name == meant),
            "{:?}",
            open.suggestions
        );
    }
    let reading = read("potash feldspar 50\nwhiting 50\nfrit 12 20");
    assert_eq!(line(&reading, "frit").role, Role::Open);
    let reading = read("potash feldspar 50\nwhiting 40\nwood ash 10");
    assert_eq!(line(&reading, "ash").role, Role::Open);
}

#[test]
fn slips_of_the_pen_are_read_and_doubted() {
    let reading = expect("potash feldspat 40\nsilca 30\nwhitting 20\nkoalin 10", PLAIN, "");
    for text in ["feldspat", "silca", "whitting", "koalin"] {
        doubted(&reading, text, "a slip of the pen?");
    }
}

#[test]
fn nicknames_and_formulas() {
    let reading = expect(
        "pot spar 40, SiO2 30, CaCO3 20, china clay 10 + RIO 2, SnO2 5, CoCO3 1",
        PLAIN,
        "red iron oxide 2.00, tin oxide 5.00, cobalt carbonate 1.00",
    );
    assert_eq!(line(&reading, "RIO").doubts, []);
}

#[test]
fn a_missing_unit_among_weights() {
    // The first line says grams, the others go on.
    let reading = expect(
        "potash feldspar 400 g\nsilica 300\nwhiting 200\nkaolin 100\n+ tin oxide 50",
        PLAIN,
        "tin oxide 5.00",
    );
    doubted(&reading, "silica", "unit of the lines above");
    // With pounds and ounces on the page nobody can tell.
    let reading = read("potash feldspar 2 lb\nsilica 12 oz\nwhiting 6");
    assert_eq!(open_texts(&reading), ["whiting 6"]);
    // A head of the column says it for all.
    let reading = expect(
        "Amounts in grams\npotash feldspar 400\nsilica 300\nwhiting 200\nkaolin 100",
        PLAIN,
        "",
    );
    assert_eq!(reading.base_grams, Some(1000.0));
    // Grams of what, when the base is in parts?
    let reading = read("potash feldspar 40\nsilica 30\nwhiting 20\nkaolin 10\n+ cobalt carb 5 g");
    assert_eq!(open_texts(&reading), ["+ cobalt carb 5 g"]);
    doubted(&reading, "cobalt", "of how much base");
}

#[test]
fn ranges_alternatives_and_question_marks() {
    let base = "potash feldspar 40\nsilica 30\nwhiting 20\nkaolin 10\n";
    let reading = read(&format!("{base}+ cobalt carb 0.5-1"));
    doubted(&reading, "cobalt", "range");
    assert_eq!(reading.open().count(), 1);
    let reading = read(&format!("{base}+ rutile 2 to 4 %"));
    assert_eq!(reading.open().count(), 1);
    let reading = expect(&format!("{base}+ tin oxide 8 or zircon 12"), PLAIN, "tin oxide 8.00");
    doubted(&reading, "zircon", "alternative");
    let reading = expect(&format!("{base}+ rutile 4?"), PLAIN, "rutile 4.00");
    doubted(&reading, "rutile", "question mark");
    let reading = expect(&format!("{base}+ about 4 rutile"), PLAIN, "rutile 4.00");
    doubted(&reading, "rutile", "`about`");
    let reading = read(&format!("{base}+ rutile 0"));
    assert_eq!(reading.open().count(), 1);
    let reading = read(&format!("{base}rutile"));
    doubted(&reading, "rutile", "no amount");
}

#[test]
fn remarks_are_no_materials() {
    let page = "Mossbank green, cone 6 oxidation\n12/3/1974\npotash feldspar 40\nsilica 30 (the fine one)\nwhiting 20\n\
                kaolin 10\n# from the old book\nwater 900 ml\nsieve 100 mesh twice\nFired to 1220 C in March 1974\napply thin\n";
    let reading = expect(page, PLAIN, "");
    let glaze = reading.glaze.as_ref().unwrap();
    assert_eq!(glaze.name, "Mossbank green");
    assert_eq!(glaze.about.cone.as_deref(), Some("6"));
    assert_eq!(glaze.about.peak.map(|peak| peak.celsius()), Some(1220.0));
    assert_eq!(glaze.about.atmosphere, Some(Atmosphere::Oxidation));
    doubted(&reading, "silica", "not used: `(the fine one)`");
    assert_eq!(reading.doubt_count(), 1, "{reading:#?}");
    let reading = expect(
        "Mossbank no. 4\npotash feldspar 40\nsilica 30\nwhiting 20\nkaolin 10",
        PLAIN,
        "",
    );
    assert_eq!(reading.glaze.as_ref().unwrap().name, "Mossbank no. 4");
    page_doubted(&reading, "read as the glaze's name");
    let reading = expect(
        "Cone 04\npotash feldspar 40\nsilica 30\nwhiting 20\nkaolin 10",
        PLAIN,
        "",
    );
    assert_eq!(reading.glaze.unwrap().about.cone.as_deref(), Some("04"));
}

#[test]
fn plus_as_a_bullet_or_as_and() {
    let reading = expect(
        "+ potash feldspar 40\n+ silica 30\n+ whiting 20\n+ kaolin 10",
        PLAIN,
        "",
    );
    page_doubted(&reading, "bullet");
    let reading = expect("potash feldspar 40 + silica 30 + whiting 20 + kaolin 10", PLAIN, "");
    doubted(&reading, "kaolin", "`+` read as `and`");
}

#[test]
fn the_same_material_twice_is_added_up() {
    let reading = expect(
        "potash feldspar 40\nflint 20\nsilica 10\nwhiting 20\nkaolin 10",
        "potash feldspar 40.00, silica 20.00, silica 10.00, whiting 20.00, kaolin 10.00",
        "",
    );
    doubted(&reading, "silica 10", "too; the two are added up");
    assert_eq!(reading.glaze.unwrap().base.len(), 4);
}

#[test]
fn hostile_pages_end_in_words() {
    let library = shipped_library();
    let try_read = |text: &str| read_page(&Source::from_text("page", text), library, Millilitres::METRIC_CUP);
    assert!(try_read("").is_err_and(|error| error.code == "empty-page"));
    assert!(try_read(&"silica 1\n".repeat(500)).is_err());
    assert!(try_read(&"x".repeat(5000)).is_err());
    for text in [
        "silica 1e400",
        "silica 99999999999999999999999999",
        "silica 1/0",
        "½½½",
        "%",
        "+",
        "=",
        "...",
        "((((",
        "silica -5",
        "\u{202e}silica 5",
        "silica 5 silica 5 silica",
        "\u{0}",
        "1 2 3 4 5 6 7 8",
        "half",
        "a",
        "then",
        "add",
        "or or or",
        "kaolin 1/2/3/4",
        "lb oz g",
        "cone",
        "12/12/12/12",
        "[",
        ")",
        "silica (",
        "一 二 三",
        "Σ 5 µg",
    ] {
        if let Ok(reading) = try_read(text) {
            for line in &reading.lines {
                assert!(line.percent.is_none_or(f64::is_finite), "{text}: {line:?}");
            }
        }
    }
}

#[test]
fn a_title_may_sound_like_a_material() {
    let page = "Tin white (from the old book, 1931)\npotash feldspar 4 lb\nsilica 3 lb\nwhiting 2 lb\nkaolin 1 lb\nTin ox. 8 oz\n";
    // 8 of 160 oz.
    let reading = expect(page, PLAIN, "tin oxide 5.00");
    assert_eq!(reading.glaze.unwrap().name, "Tin white (from the old book, 1931)");
}

#[test]
fn an_explicit_percentage_is_per_cent_whatever_the_parts() {
    let parts = "feldspar, potash 8 parts\nflint 6 parts\nchalk 4 parts\nchina clay 2 parts\n";
    let reading = expect(&format!("{parts}plus cobalt carb 1 %"), PLAIN, "cobalt carbonate 1.00");
    page_doubted(&reading, "adds up to 20");
    // Without the sign it is one of the same parts: 1 of 20.
    let reading = expect(&format!("{parts}plus cobalt carb 1"), PLAIN, "cobalt carbonate 5.00");
    doubted(&reading, "cobalt", "as per cent it would be 1 %");
    // On paper the base is 100, though one line of it has no name yet.
    let reading = expect(
        "potash feldspar 40\nsilica 30\nwhiting 20\nmoonrock 10\n+ rutile 4",
        "potash feldspar 44.44, silica 33.33, whiting 22.22",
        "rutile 4.00",
    );
    assert_eq!(open_texts(&reading), ["moonrock 10"]);
}

#[test]
fn odd_ways_to_part_names_from_amounts() {
    for page in [
        "potash feldspar x 40\nsilica x 30\nwhiting x 20\nkaolin x 10",
        "potash feldspar 40 / silica 30 / whiting 20 / kaolin 10",
        "Feldspar (potash) 40\nSilica (30)\nWhiting 20\nKaolin 10",
        "potash feldspar -40\nsilica-30\nwhiting –20\nkaolin—10",
        "One pound potash feldspar, twelve ounces silica, half a pound of whiting and a quarter pound of china clay",
        "potash feldspar 40. silica 30. whiting 20. kaolin 10.",
    ] {
        no_doubts(&expect(page, PLAIN, ""));
    }
    let reading = expect(
        "potash feldspar 40\nsilica 30\n2 x 10 whiting\nkaolin 10 (+ 2 bentonite)",
        PLAIN,
        "typical bentonite 2.00",
    );
    doubted(&reading, "2 x 10", "2 times 10");
    let reading = expect(
        "Base glaze:\npotash feldspar 40\nsilica 30\nwhiting 20\nkaolin 10\nColours:\nblue - cobalt oxide 0.5\ngreen - copper carb 3",
        PLAIN,
        "cobalt oxide 0.50, copper carbonate 3.00",
    );
    doubted(&reading, "green", "several versions");
    let reading = expect(
        "potash feldspar 400\nsilica 300\nwhiting 200\nkaolin 100 (all grams)",
        PLAIN,
        "",
    );
    assert!(reading.doubt_count() > 0);
}

#[test]
fn millilitres_and_lone_amounts() {
    let reading = read("potash feldspar 40\nsilica 30\nwhiting 18\n12 cc\n");
    assert_eq!(open_texts(&reading), ["12 cc"]);
    // A number alone that doesn't add up is asked about, and parts nothing.
    let reading = expect("potash feldspar 40\nsilica 30\n55\nwhiting 20\nkaolin 10", PLAIN, "");
    page_doubted(&reading, "the page says 55 in all");
}
