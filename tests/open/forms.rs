//! Forms: made from something that may change meanwhile, sent once, kept when something in
//! them is wrong, and a tab that comes back to where one was sent.

use std::fs;

use crate::bench::{Answer, Bench, sent, token};

const TICKET: &str = "glaze=Mothwing+tin+white&dry=1+kg";

/// What a page's form carries unseen, the last of that name.
fn hidden(page: &str, name: &str) -> String {
    let rest = page.rsplit(&format!("name=\"{name}\" value=\"")).next().unwrap();
    let value = rest.split('"').next().unwrap();
    value.bytes().map(|byte| format!("%{byte:02X}")).collect()
}

fn change_a_recipe(bench: &Bench) {
    let set = ["set", "Mothwing tin white", "parts.silica=13"];
    assert_eq!(bench.at_the_terminal(&set).0, 0);
}

fn batches(bench: &Bench) -> usize {
    let book = fs::read_to_string(bench.studio.join("batches.jsonl")).unwrap_or_default();
    book.matches("\"glaze\"").count()
}

#[test]
fn a_recipe_that_changed_since_it_was_weighed_is_not_booked() {
    let bench = Bench::of_the_example();
    let page = format!("/mix?{TICKET}");
    let made_from = hidden(&bench.get(&page).body, "made_from");
    change_a_recipe(&bench);
    let said = format!("{TICKET}&made_from={made_from}");
    let refused = sent(&bench, "/mix", &page, &said);
    assert_eq!((refused.status, batches(&bench)), (409, 0), "{}", refused.body);
    for shown in ["Weighed by", "The ticket is now", "silica 60.0 g"] {
        assert!(refused.body.contains(shown), "{shown}: {}", refused.body);
    }
    let now = hidden(&refused.body, "made_from");
    let booked = sent(&bench, "/mix", &page, &format!("{TICKET}&by=Ann&made_from={now}"));
    assert!(booked.body.contains("is in the book"), "{}", booked.body);
    let again = sent(&bench, "/mix", &page, &format!("{TICKET}&by=Ann&made_from={now}"));
    assert!(again.status == 200 && batches(&bench) == 1, "{}", again.body);
    let water = format!(
        "{TICKET}&first=700&half_cups=2&made_from={}",
        hidden(&booked.body, "made_from")
    );
    assert_eq!(
        bench.at_the_terminal(&["set", "Mothwing tin white", "notes=moved"]).0,
        0
    );
    assert_eq!(sent(&bench, "/mix/water", &page, &water).status, 409);
}

#[test]
fn a_second_bucket_of_one_day_gets_a_number_of_its_own() {
    let bench = Bench::of_the_example();
    let page = format!("/mix?{TICKET}");
    assert!(sent(&bench, "/mix", &page, TICKET).body.contains("is in the book"));
    let second = sent(&bench, "/mix", &page, &format!("{TICKET}&by=Ann"));
    assert!(
        second.body.contains("booked already") && second.body.contains("name=\"batch\" value=\"2\""),
        "{}",
        second.body
    );
    assert!(!second.body.contains("Book the second with --batch"));
    let booked = sent(&bench, "/mix", &page, &format!("{TICKET}&by=Ann&batch=2"));
    assert!(booked.body.contains("Batch 2 of"), "{}", booked.body);
}

#[test]
fn a_tab_that_comes_back_to_a_deed_is_led_to_its_door() {
    let bench = Bench::of_the_example();
    for (path, door) in [
        ("/mix/kept", "/mix"),
        ("/mix/water", "/mix"),
        ("/kiln/opened", "/kiln"),
        ("/kiln/loaded", "/kiln"),
        ("/tiles/try", "/tiles"),
        ("/look/back", "/look"),
        ("/shelf/set", "/shelf"),
        ("/shelf/bring", "/shelf"),
        ("/rules/set", "/rules"),
        ("/clock", "/"),
        ("/start", "/"),
        ("/plan/sheet", "/tiles"),
    ] {
        let led = bench.get(path);
        assert_eq!((led.status, led.header("location")), (303, Some(door)), "{path}");
    }
    let api = bench.get("/api/glazes");
    assert!(api.status == 405 && api.body.contains("\"error\""), "{}", api.body);
    let form = format!("token={}", token(&bench.get("/look").body));
    let no_form = bench.post("/more", "application/x-www-form-urlencoded", "", &form);
    assert!(
        no_form.status == 405 && no_form.body.contains("<h1>"),
        "{}",
        no_form.body
    );
}

#[test]
fn a_form_without_its_number_or_its_version_writes_nothing() {
    let bench = Bench::of_the_example();
    let page = bench.get("/shelf?material=whiting").body;
    let (token, made_from) = (token(&page), hidden(&page, "made_from"));
    let said = |more: &str| format!("token={token}&name=whiting&key=price&value=3+EUR/kg{more}");
    let send = |path: &str, body: &str| bench.post(path, "application/x-www-form-urlencoded", "", body);
    for more in ["", "&request=one", &format!("&made_from={made_from}")] {
        assert_eq!(send("/shelf/set", &said(more)).status, 400, "{more}");
    }
    for path in ["/mix", "/look", "/kiln/loaded"] {
        let body = format!("token={token}&{TICKET}&pieces=3&what=Lamplight+clear");
        assert_eq!(send(path, &body).status, 400, "{path}");
    }
    assert_eq!(batches(&bench), 0);
    let rule = "/rule/check/barium";
    let made_from = hidden(&bench.get(rule).body, "made_from");
    let off = format!("name=check/barium&state=off&made_from={made_from}");
    let asked = sent(&bench, "/rules/set", rule, &off);
    assert!(asked.status == 400 && asked.body.contains("ay why"), "{}", asked.body);
}

#[track_caller]
fn assert_keeps(answer: &Answer, kept: &[&str]) {
    assert!(answer.body.contains("role=\"alert\""), "{}", answer.body);
    for value in kept {
        assert!(answer.body.contains(value), "{value}: {}", answer.body);
    }
}

#[test]
fn a_form_with_a_mistake_keeps_what_was_said_in_it() {
    let bench = Bench::of_the_example();
    let look = "glaze=Lamplight+clear&pieces=5&crazed=7&looked=ink&grade_gloss=3&text=on+the+rim";
    assert_keeps(
        &sent(&bench, "/look", "/look", look),
        &[
            "value=\"7\"",
            "<option value=\"ink\" selected>",
            "<option selected>3</option>",
            "value=\"on the rim\"",
            "name=\"glaze\" value=\"Lamplight clear\"",
        ],
    );
    let uncounted = sent(&bench, "/look", "/look", "glaze=Lamplight+clear&pieces=&crazed=1");
    assert_keeps(
        &uncounted,
        &["how many pieces", "Nothing was noted"].map(|_| "Nothing was noted"),
    );
    let row = |cone: &str| {
        format!(
            "firing=spring&cone={cone}&what=Lamplight+clear&pieces=4&clay=&shelf=top&coat=1+dip&what=&pieces=0&clay=&shelf=&coat="
        )
    };
    assert_keeps(
        &sent(&bench, "/kiln/loaded", "/kiln", &row("99x")),
        &[
            "value=\"99x\"",
            "value=\"spring\"",
            "value=\"top\"",
            "value=\"1 dip\"",
            "value=\"4\"",
        ],
    );
    let loaded = sent(&bench, "/kiln/loaded", "/kiln", &row("6"));
    assert!(loaded.body.contains("The kiln is loaded"), "{}", loaded.body);
    let kiln = bench.get("/kiln").body;
    let (id, made_from) = (hidden(&kiln, "id"), hidden(&kiln, "made_from"));
    let open = |bent: &str| format!("id={id}&made_from={made_from}&bent={bent}&text=two+ran");
    assert_keeps(
        &sent(&bench, "/kiln/opened", "/kiln", &open("x")),
        &["value=\"two ran\"", "value=\"x\""],
    );
    let opened = sent(&bench, "/kiln/opened", "/kiln", &open("6"));
    assert!(opened.body.contains("The kiln is open"), "{}", opened.body);
    let late = sent(&bench, "/kiln/opened", "/kiln", &open("05"));
    assert!(late.status == 409 && late.body.contains("cone 6 bent"), "{}", late.body);
    let kiln = bench.get("/kiln").body;
    let back = format!("void={}&text=another+cone", hidden(&kiln, "void"));
    let back = sent(&bench, "/kiln/back", "/kiln", &back);
    assert!(back.body.contains("It counts no more"), "{}", back.body);
    assert!(
        bench.get("/kiln").body.contains("It is open</button>"),
        "to be opened again"
    );
    assert_keeps(
        &sent(&bench, "/shelf", "/shelf", "analysis=SiO2+100&source=bag&stock=3+kg"),
        &["value=\"3 kg\"", "stands on the bag"],
    );
}

#[test]
fn no_row_of_a_load_is_dropped() {
    let bench = Bench::of_the_example();
    let row = [
        "blend",
        "line",
        "Lamplight clear",
        "Highfell clear",
        "--steps",
        "3",
        "--save",
        "row",
    ];
    assert_eq!(bench.at_the_terminal(&row).0, 0);
    let of = |what: &str, pieces: &str| format!("what={what}&pieces={pieces}&clay=&shelf=&coat=");
    for (rows, told) in [
        ([of("Highfell+clear", "0"), of("", "0")], "no pieces of Highfell clear"),
        ([of("Highfell+clear", "2"), of("", "4")], "4 pieces of nothing"),
        ([of("", "0"), of("", "0")], "nothing stands in the kiln"),
    ] {
        let refused = sent(&bench, "/kiln/loaded", "/kiln", &rows.join("&"));
        assert!(refused.status == 400 && refused.body.contains(told), "{}", refused.body);
    }
    assert!(!bench.studio.join("firings.jsonl").exists());
    let more = sent(
        &bench,
        "/kiln/loaded",
        "/kiln",
        &format!("more=1&{}", of("Highfell+clear", "2")),
    );
    assert!(
        more.body.contains("id=\"what-9\"") && more.body.contains("value=\"2\""),
        "{}",
        more.body
    );
    let whole = sent(&bench, "/kiln/loaded", "/kiln", &of("row/*", "0"));
    assert!(whole.body.contains("1 of row/A3"), "{}", whole.body);
}

#[test]
fn a_rule_with_options_is_softened_beside_them() {
    for table in ["{ trace: 0.03 }", "\n    trace: 0.03  # the laboratory's"] {
        let bench = Bench::of_the_example();
        let settings = bench.studio.join("studio.yaml");
        let before = fs::read_to_string(&settings).unwrap();
        fs::write(&settings, format!("{before}scripts:\n  check/barium: {table}\n")).unwrap();
        let rule = "/rule/check/barium";
        for (state, because, level) in [
            ("note", "for+a+class", "note, because for a class"),
            ("off", "nobody+uses+it", "off, because nobody uses it"),
            ("on", "", "on"),
        ] {
            let made_from = hidden(&bench.get(rule).body, "made_from");
            let said = format!("name=check/barium&state={state}&because={because}&made_from={made_from}");
            let set = sent(&bench, "/rules/set", rule, &said);
            assert!(set.body.contains(&format!("is {state} now")), "{}", set.body);
            let text = fs::read_to_string(&settings).unwrap();
            assert!(
                text.contains("trace: 0.03") && text.contains(level) && text.starts_with(&before),
                "{text}"
            );
            let page = bench.get(rule).body;
            assert!(!page.contains("role=\"alert\""), "{page}");
            assert!(page.contains(&format!("<option value=\"{state}\" selected>")), "{page}");
        }
    }
}

#[test]
fn the_water_that_felt_right_takes_the_old_density_with_it() {
    let bench = Bench::of_the_example();
    let ticket = "glaze=Driftstone+satin+matt&dry=1+kg";
    let page = format!("/mix?{ticket}");
    let booked = sent(&bench, "/mix", &page, ticket);
    assert!(booked.body.contains("<ol class=\"big\">"), "{}", booked.body);
    let water = sent(
        &bench,
        "/mix/water",
        &page,
        &format!("{ticket}&batch=1&first=800&half_cups=2"),
    );
    assert!(water.body.contains("cups of water a kilo now"), "{}", water.body);
    let file = fs::read_to_string(bench.studio.join("glazes/driftstone_satin.yaml")).unwrap();
    assert!(file.contains("water: ") && !file.contains("density"), "{file}");
    let notes = fs::read_to_string(bench.studio.join("notes.jsonl")).unwrap();
    assert!(notes.contains("water that felt right: 4.2 cups a kilo"), "{notes}");
}

#[test]
fn a_search_goes_to_what_is_named() {
    let bench = Bench::of_the_example();
    sent(
        &bench,
        "/mix",
        "/mix?glaze=Lamplight+clear&dry=1+kg",
        "glaze=Lamplight+clear&dry=1+kg&mark=DS1",
    );
    for (wanted, to) in [
        ("lamplight+clear", "/glaze/Lamplight%20clear"),
        ("Driftstone+satin+matt+v1%2C+cone+6", "/glaze/Driftstone%20satin%20matt"),
    ] {
        let found = bench.get(&format!("/?q={wanted}"));
        assert_eq!((found.status, found.header("location")), (303, Some(to)), "{wanted}");
    }
    for (wanted, link) in [
        ("batch+1", "/recall?what=1"),
        ("DS1", "/recall?what=DS1"),
        ("Lamplght+clear", "/glaze/Lamplight%20clear"),
    ] {
        let found = bench.get(&format!("/?q={wanted}")).body;
        assert!(found.contains(link), "{wanted}: {found}");
    }
    let batches = bench.get("/batches").body;
    assert!(
        batches.contains("/recall?what=1") && batches.contains("/glaze/Lamplight%20clear"),
        "{batches}"
    );
}

#[test]
fn what_is_not_there_says_so_by_its_status() {
    let bench = Bench::of_the_example();
    for path in [
        "/glaze/Nope",
        "/rule/check/nope",
        "/plan?plan=nope",
        "/shelf?material=nope",
    ] {
        let page = bench.get(path);
        assert!(
            page.status == 404 && page.body.contains("role=\"alert\""),
            "{path}: {}",
            page.status
        );
    }
    assert!(bench.get("/").body.contains("<title>Quillbeck Pottery</title>"));
    let label = bench.get("/label?glaze=Lamplight+clear&kind=bucket").body;
    assert!(label.contains("<h1>") && label.contains("<main>"), "{label}");
    let lot = sent(&bench, "/missing/lot", "/missing", "of=whiting&lot=88&stock=25+kg");
    assert!(lot.body.contains("Lot 88 of whiting is open"), "{}", lot.body);
    let turned = "glaze: \"\u{202e}odd\"\ncone: 6\nparts: { feldspar A: 50, silica: 50 }\n";
    fs::write(bench.studio.join("glazes/odd.yaml"), turned).unwrap();
    let mix = bench.get("/mix").body;
    assert!(
        !mix.contains('\u{202e}') && mix.contains("value=\"&#8238;odd\">\u{fffd}odd"),
        "{mix}"
    );
    let nothing = Bench::of_nothing();
    for path in ["/mix", "/shelf", "/kiln"] {
        let page = nothing.get(path).body;
        assert!(
            page.contains("Begin with your first day") && !page.contains("glost init"),
            "{page}"
        );
    }
    let empty = sent(&nothing, "/start", "/", "powder=&clay=clay");
    assert!(
        empty.body.contains("Not answered yet: the powder, ") && !empty.body.contains("--powder"),
        "{}",
        empty.body
    );
}
