//! Doors that do more than show: proposals tried, clocks, tables brought in, rules set,
//! scripts that never end.

use std::fs;

use crate::bench::{Answer, Bench, sent, token};

fn hidden(page: &str, name: &str) -> String {
    let rest = page.split(&format!("name=\"{name}\" value=\"")).nth(1);
    let rest = rest.unwrap_or_else(|| panic!("no {name} in {page}"));
    rest.split('"').next().unwrap().to_owned()
}

fn in_form(text: &str) -> String {
    text.bytes().map(|byte| format!("%{byte:02X}")).collect()
}

#[test]
fn a_proposal_is_kept_as_a_glaze_and_planned_in_three_steps() {
    let bench = Bench::of_the_example();
    let gone = sent(&bench, "/missing", "/missing", "out=feldspar+A&glaze=Lamplight+clear").body;
    let recipe = hidden(&gone, "recipe");
    assert!(
        recipe.contains("feldspar B 39.") && !recipe.contains("feldspar A"),
        "{recipe}"
    );
    let said = format!("old=Lamplight+clear&name=Lamplight+B&recipe={}", in_form(&recipe));
    let tried = sent(&bench, "/tiles/try", "/kiln", &said);
    assert!(tried.body.contains("three tiles are planned"), "{}", tried.body);
    let again = sent(&bench, "/tiles/try", "/kiln", &said);
    assert!(again.body.contains("three tiles are planned"), "the same form twice");
    let (_, card) = bench.at_the_terminal(&["card", "Lamplight B"]);
    let card: serde_json::Value = serde_json::from_str(&card).unwrap();
    for (key, value) in [
        ("cone", "9"),
        ("clay", "buff stoneware"),
        ("use", "tableware"),
        ("atmosphere", "oxidation"),
    ] {
        assert_eq!(card[key], value, "{card}");
    }
    let map = bench.get("/plan?plan=Lamplight+B+steps").body;
    assert!(map.contains("grade-A1") && map.contains("grade-A3"), "{map}");
    let taken = format!("old=Lamplight+clear&name=Highfell+clear&recipe={}", in_form(&recipe));
    let taken = sent(&bench, "/tiles/try", "/kiln", &taken);
    assert!(
        taken.body.contains("role=\"alert\"") && taken.body.contains("name=\"recipe\""),
        "{}",
        taken.body
    );
}

#[test]
fn clocks_run_on_while_the_bench_is_closed() {
    let mut bench = Bench::of_the_example();
    let started = sent(
        &bench,
        "/clock",
        "/kiln",
        "what=%3Cb%3E+soaks&minutes=30&back=/mix%3Fglaze%3Dx",
    );
    assert!(started.body.contains("&lt;b&gt; soaks: <strong data-seconds=") && started.body.contains("30 min to go"));
    sent(
        &bench,
        "/clock",
        "/kiln",
        "what=%3Cb%3E+soaks&minutes=30&back=/mix%3Fglaze%3Dx",
    );
    bench.again();
    let home = bench.get("/").body;
    assert_eq!(home.matches("data-seconds").count(), 1, "the same form twice: {home}");
    let stopped = sent(&bench, "/clock/stop", "/", &format!("id={}", hidden(&home, "id")));
    assert!(stopped.body.contains("No clock runs"), "{}", stopped.body);
    for wrong in [
        "what=x&minutes=0",
        "what=x&minutes=99999",
        "what=x&minutes=-1",
        "minutes=5",
    ] {
        assert!(
            sent(&bench, "/clock", "/kiln", wrong).body.contains("wasn’t said"),
            "{wrong}"
        );
    }
}

#[test]
fn a_rule_is_run_with_its_options_and_turned_off_with_a_reason() {
    let bench = Bench::of_the_example();
    let page = "/rule/check/alkali-balance";
    let ran = sent(&bench, page, page, "glaze=Lamplight+clear&set-alkali_most=0.1").body;
    assert!(ran.contains("1 caution") && ran.contains("alkali_most=0.1"), "{ran}");
    let wrong = sent(&bench, page, page, "glaze=Lamplight+clear&set-alkali_most=much").body;
    assert!(
        wrong.contains("role=\"alert\"") && wrong.contains("value=\"much\""),
        "{wrong}"
    );
    let made_from = hidden(&bench.get(page).body, "made_from");
    let off = format!("name=check/alkali-balance&state=off&because=the+laboratory+tests+it&made_from={made_from}");
    let set = sent(&bench, "/rules/set", page, &off);
    assert!(
        set.body.contains("is off now, because the laboratory tests it"),
        "{}",
        set.body
    );
    let settings = || fs::read_to_string(bench.studio.join("studio.yaml")).unwrap();
    assert!(settings().contains("scripts: { check/alkali-balance: \"off, because the laboratory tests it\" }"));
    assert!(
        bench
            .get("/rules")
            .body
            .contains("off, because the laboratory tests it; shipped")
    );
    let before = settings();
    let late = format!("name=check/barium&state=note&made_from={made_from}");
    let late = sent(&bench, "/rules/set", page, &late);
    assert!(
        late.status == 409 && late.body.contains("changed elsewhere"),
        "{}",
        late.body
    );
    assert_eq!(settings(), before);
    let now = hidden(&bench.get(page).body, "made_from");
    let softer = sent(
        &bench,
        "/rules/set",
        page,
        &format!("name=check/alkali-balance&state=note&because=&made_from={now}"),
    );
    assert!(softer.body.contains("is note now"), "{}", softer.body);
    for wrong in [
        "name=check/alkali-balance&state=gone",
        "name=check/none&state=off",
        "state=off",
    ] {
        let refused = sent(&bench, "/rules/set", page, wrong).body;
        assert!(!refused.contains(" now.</p>"), "{wrong}: {refused}");
    }
    for rule in [
        "swap/closest",
        "fault/pinholes",
        "run/out-of-stock",
        "limits/cone-6",
        "blend/line",
    ] {
        let shown = bench.get(&format!("/rule/{rule}")).body;
        assert!(
            !shown.contains("role=\"alert\"") && shown.contains("Its text"),
            "{rule}: {shown}"
        );
    }
}

#[test]
fn a_script_that_never_ends_is_told_and_the_bench_stays() {
    let bench = Bench::of_the_example();
    fs::create_dir_all(bench.studio.join("scripts/run")).unwrap();
    let endless = "const ABOUT = #{ api: 1, kind: \"run\", title: \"Endless\", source: \"own\" };\nfn run(studio, option) { loop { } }\n";
    fs::write(bench.studio.join("scripts/run/endless.rhai"), endless).unwrap();
    let ran = sent(&bench, "/rule/run/endless", "/rule/run/endless", "").body;
    assert!(ran.contains("role=\"alert\"") && ran.contains("endless"), "{ran}");
    assert_eq!(bench.get("/mix").status, 200);
    fs::write(bench.studio.join("scripts/run/endless.rhai"), "fn run(").unwrap();
    let rules = bench.get("/rules").body;
    assert!(
        rules.contains("Can’t be read") && rules.contains("endless") && rules.contains("Barium"),
        "{rules}"
    );
}

fn brought(bench: &Bench, table: &str) -> Answer {
    let part = |name: &str, value: &str| {
        format!("--AbC\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n")
    };
    let body = format!(
        "{}{}--AbC\r\nContent-Disposition: form-data; name=\"table\"; filename=\"../p.csv\"\r\n\r\n{table}\r\n--AbC--\r\n",
        part("token", &token(&bench.get("/shelf").body)),
        part("as", ""),
    );
    bench.post("/shelf/bring", "multipart/form-data; boundary=AbC", "", &body)
}

#[test]
fn a_table_is_looked_at_first_and_brought_in_once() {
    let mut bench = Bench::of_the_example();
    let price = |bench: &Bench| {
        let (_, whiting) = bench.at_the_terminal(&["materials", "whiting"]);
        let whiting: serde_json::Value = serde_json::from_str(&whiting).unwrap();
        whiting["price"]["per_kg"].as_f64().unwrap()
    };
    let looked = brought(&bench, "material,price\nwhiting,\"2,20 EUR/kg\"\n");
    assert!(
        looked.body.contains("Would change") && looked.body.contains("2.20"),
        "{}",
        looked.body
    );
    assert!((price(&bench) - 1.0).abs() < 1e-9, "only looked at");
    let said = format!("kept={}&as=", hidden(&looked.body, "kept"));
    let taken = sent(&bench, "/shelf/brought", "/shelf", &said);
    assert!(
        taken.body.contains("It is in.") && (price(&bench) - 2.2).abs() < 1e-9,
        "{}",
        taken.body
    );
    assert!(
        !taken.body.contains("/table-"),
        "where it was kept is nobody's business: {}",
        taken.body
    );
    bench.again();
    let again = sent(&bench, "/shelf/brought", "/shelf", &said);
    assert!(
        again.body.contains("It is in."),
        "the same form after a restart: {}",
        again.body
    );
    let none = brought(&bench, "");
    assert!(none.body.contains("No file was chosen"), "{}", none.body);
    assert!(
        brought(&bench, "\u{0}\u{1}").body.contains("Nothing was written") || brought(&bench, "\u{0}").status == 200
    );
    let unkept = sent(&bench, "/shelf/brought", "/shelf", "kept=../../studio&as=");
    assert_eq!(unkept.status, 409, "{}", unkept.body);
    assert_eq!(brought(&bench, &"x".repeat(6 << 20)).status, 413);
}

#[test]
fn a_photo_of_100_megabytes_is_refused_by_its_length() {
    let bench = Bench::of_the_example();
    let head = format!(
        "POST /look HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nContent-Type: multipart/form-data; boundary=AbC\r\nContent-Length: {}\r\n",
        bench.host,
        bench.cookie,
        100 << 20
    );
    assert_eq!(bench.raw(&head, "").status, 413);
}

#[test]
fn the_same_page_form_after_a_restart_books_once() {
    let mut bench = Bench::of_the_example();
    let said = "glaze=Lamplight+clear&dry=2+kg&into=&by=Ann";
    let first = sent(&bench, "/mix", "/kiln", said);
    assert!(first.body.contains("is in the book"), "{}", first.body);
    bench.again();
    let again = sent(&bench, "/mix", "/kiln", said);
    assert!(again.body.contains("Batch 1 of Lamplight clear"), "{}", again.body);
    let book = fs::read_to_string(bench.studio.join("batches.jsonl")).unwrap();
    assert_eq!(book.matches("\"glaze\"").count(), 1, "{book}");
}

#[test]
fn odd_names_stay_names_on_every_page() {
    let bench = Bench::of_the_example();
    let name = "<img src=x onerror=alert(1)> \u{202e}🏺 \"&' שלום";
    let glaze = format!(
        "glaze: '{}'\ncone: 6\nclay: '{0}'\nparts: {{ '{0}': 50, silica: 50 }}\n",
        name.replace('\'', "''")
    );
    fs::write(bench.studio.join("glazes/odd.yaml"), glaze).unwrap();
    let clay = format!("clay: '{}'\ncone: 6\nsource: own\n", name.replace('\'', "''"));
    fs::write(bench.studio.join("clays/odd.yaml"), clay).unwrap();
    let material = format!(
        "materials:\n  - name: '{}'\n    kind: mineral\n    formula: CaCO3\n    stock: 1 kg\n    source: '{0}'\n",
        name.replace('\'', "''")
    );
    fs::write(bench.studio.join("materials/odd.yaml"), material).unwrap();
    let odd = in_form(name);
    for path in [
        "/".to_owned(),
        "/glazes".to_owned(),
        "/shelf".to_owned(),
        "/missing".to_owned(),
        "/clay".to_owned(),
        "/look".to_owned(),
        "/kiln".to_owned(),
        format!("/glaze/{odd}"),
        format!("/mix?glaze={odd}&dry=1+kg"),
        format!("/shelf?material={odd}"),
        format!("/?q={odd}"),
        format!("/cost?glaze={odd}"),
        format!("/clay?clay={odd}"),
        format!("/recall?what={odd}"),
        format!("/label?glaze={odd}&kind=bucket"),
    ] {
        let page = bench.get(&path);
        let wanted = if path.starts_with("/?q=") { 303 } else { 200 };
        assert_eq!(page.status, wanted, "{path}: {}", page.body);
        assert!(
            !page.body.contains("<img") && !page.body.contains("onerror=alert(1)>"),
            "{path}"
        );
    }
    for (path, said) in [
        ("/missing", format!("out={odd}")),
        ("/change", format!("glaze={odd}&wish=expansion+%3C%3D+&value=6")),
        ("/tiles", format!("kind=line&end={odd}&end=Lamplight+clear&steps=3")),
        ("/mix", format!("glaze={odd}&dry=1+kg&by={odd}")),
        ("/look", format!("glaze={odd}&text={odd}&pieces=1&crazed=0")),
        (
            "/kiln/loaded",
            format!("firing={odd}&what={odd}&pieces=2&clay=&shelf={odd}"),
        ),
    ] {
        let page = sent(&bench, path, "/kiln", &said);
        assert!(
            page.status < 500 && !page.body.contains("<img"),
            "{path}: {}",
            page.body
        );
    }
}

#[test]
#[cfg(target_os = "linux")]
fn a_starter_is_put_on_the_desktop_and_nothing_else_is_overwritten() {
    let bench = Bench::of_the_example();
    fs::create_dir_all(bench.studio.with_file_name("home/Desktop")).unwrap();
    let (code, told) = bench.at_the_terminal(&["open", "--icon"]);
    assert_eq!(code, 0, "{told}");
    let desktop = bench.studio.with_file_name("home").join("Desktop");
    let file = desktop.join("glost-quillbeck-pottery.desktop");
    let entry = fs::read_to_string(&file).unwrap();
    let studio = format!("open \"{}\"", bench.studio.display());
    for line in [
        "[Desktop Entry]",
        "Type=Application",
        "Name=Glost: Quillbeck Pottery",
        "Terminal=true",
        &studio,
    ] {
        assert!(entry.contains(line), "{line}: {entry}");
    }
    let mode = std::os::unix::fs::PermissionsExt::mode(&fs::metadata(&file).unwrap().permissions());
    assert_eq!(mode & 0o111, 0o111);
    assert_eq!(bench.at_the_terminal(&["open", "--icon"]).0, 0, "again");
    fs::write(&file, "mine").unwrap();
    assert_eq!(bench.at_the_terminal(&["open", "--icon"]).0, 2);
    assert_eq!(fs::read_to_string(&file).unwrap(), "mine");
}
