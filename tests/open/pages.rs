//! Pages: what every one of them has, that they work without a script, that nothing from
//! outside becomes markup, and that forms do what the terminal does.

use std::fs;

use crate::bench::{Answer, Bench, sent, token};

/// Every page that needs nothing said.
const PAGES: [&str; 16] = [
    "/", "/more", "/mix", "/look", "/kiln", "/glazes", "/shelf", "/rules", "/missing", "/change", "/tiles", "/clay",
    "/rescue", "/recall", "/batches", "/cost",
];
/// Words of the engine that a maker doesn't use.
const NOT_HERS: [&str; 7] = [
    "newcomer",
    "tolerance",
    "distance",
    "zone",
    "aim",
    "posterior",
    "finding",
];

/// What a reader sees: the page without its tags, and without the lines for the terminal.
fn seen(page: &str) -> String {
    let mut text = String::new();
    for piece in page.split('<') {
        let (tag, rest) = piece.split_once('>').unwrap_or(("", piece));
        if !tag.starts_with("code") {
            text.push_str(rest);
            text.push(' ');
        }
    }
    text.to_lowercase()
}

#[track_caller]
fn assert_well_made(path: &str, page: &str) {
    assert_eq!(page.matches("<h1>").count(), 1, "{path}");
    assert_eq!(page.matches("<main").count(), 1, "{path}");
    assert!(page.contains("lang=\"en\"") && page.contains("<title>"), "{path}");
    for (index, _) in page
        .match_indices("<input")
        .chain(page.match_indices("<select"))
        .chain(page.match_indices("<textarea"))
    {
        let tag = &page[index..index + page[index..].find('>').unwrap()];
        if tag.contains("type=\"hidden\"") {
            continue;
        }
        let id = tag.split(" id=\"").nth(1).and_then(|rest| rest.split('"').next());
        let id = id.unwrap_or_else(|| panic!("{path}: {tag}"));
        assert!(page.contains(&format!("for=\"{id}\"")), "{path}: no label for {id}");
        assert_eq!(page.matches(&format!(" id=\"{id}\"")).count(), 1, "{path}: {id} twice");
    }
    assert!(
        !page.contains(" style=") && !page.contains(" onclick") && !page.contains("<style"),
        "{path}"
    );
    let outside = page.replace("http://www.w3.org/2000/svg", "");
    assert!(
        !outside.contains("http://") && !outside.contains("https://") && !outside.contains("\"//"),
        "{path}"
    );
    // What a script's own header says stays as its writer wrote it.
    let is_of_scripts = path.starts_with("/rule");
    let words = seen(page);
    for word in NOT_HERS.iter().filter(|_| !is_of_scripts) {
        let is_there = words
            .split(|sign: char| !sign.is_alphabetic())
            .any(|one| one == *word || one == format!("{word}s"));
        assert!(!is_there, "{path} says {word}: {words}");
    }
}

#[test]
fn every_page_has_one_heading_a_main_and_labels() {
    let bench = Bench::of_the_example();
    for path in PAGES {
        let page = bench.get(path);
        assert_eq!(page.status, 200, "{path}");
        assert!(
            page.body.contains("At a terminal: <code>glost") || path == "/more",
            "{path}"
        );
        assert_well_made(path, &page.body);
    }
    let first = bench.get("/");
    assert!(first.body.len() < 60_000);
    let with_more = [
        "/glaze/Lamplight%20clear",
        "/shelf?material=whiting",
        "/mix?glaze=Lamplight+clear&dry=5+kg&into=5+bottles&jar=500+ml+%3D+760+g",
        "/cost?glaze=Lamplight+clear&pieces=12",
        "/rule/limits/cone-6",
        "/?q=clear",
    ];
    for path in with_more {
        let page = bench.get(path);
        assert_eq!(page.status, 200, "{path}");
        assert!(!page.body.contains("role=\"alert\""), "{path}: {}", page.body);
        assert_well_made(path, &page.body);
    }
}

#[test]
fn the_doors_say_what_one_wants_and_the_lists_are_whole() {
    let bench = Bench::of_the_example();
    let first = bench.get("/").body;
    for door in [
        "Mix a bucket",
        "Look at pieces",
        "Kiln opened",
        "My glazes",
        "I’ve run out",
        "Change a glaze",
        "Test tiles",
    ] {
        assert!(first.contains(door), "{door}");
    }
    for door in ["The shelf", "Checks", "Clay bars", "Rescue a bucket", "What it costs"] {
        assert!(first.contains(door), "{door}");
    }
    let (mix, shelf, rules) = (
        bench.get("/mix").body,
        bench.get("/shelf").body,
        bench.get("/rules").body,
    );
    let names = |command: &[&str], list: &str, key: &str| {
        let (_, answer) = bench.at_the_terminal(command);
        let answer: serde_json::Value = serde_json::from_str(&answer).unwrap();
        let all = answer[list].as_array().unwrap().iter();
        all.map(|one| one[key].as_str().unwrap().to_owned()).collect::<Vec<_>>()
    };
    for glaze in names(&["glazes"], "glazes", "glaze") {
        assert!(mix.contains(&glaze), "{glaze}");
    }
    for material in names(&["materials"], "materials", "name") {
        assert!(shelf.contains(&material.replace('\'', "&#39;")), "{material}");
    }
    for script in names(&["script", "list"], "scripts", "name") {
        assert!(rules.contains(&script), "{script}");
    }
}

#[test]
fn day_one_without_a_terminal() {
    let bench = Bench::of_nothing();
    let first = bench.get("/");
    assert!(first.body.contains("Your first day"), "{}", first.body);
    assert_well_made("/", &first.body);
    let answers = "powder=bought+clear&clay=white+earthenware&firing=1060+C&water=5+3/4+cups&scales=0.1+g+up+to+2+kg";
    let wrong = sent(&bench, "/start", "/", &answers.replace("1060+C", "warm"));
    assert!(wrong.body.contains("role=\"alert\"") && wrong.body.contains("value=\"white earthenware\""));
    assert!(!bench.studio.join("studio.yaml").exists());
    let made = sent(&bench, "/start", "/", answers);
    assert!(
        made.body.contains("Your studio is here") && made.body.contains("bought clear: 1 kg"),
        "{}",
        made.body
    );
    assert!(bench.studio.join("studio.yaml").exists());
    assert!(bench.get("/mix").body.contains("bought clear"));
    let noted = sent(
        &bench,
        "/look",
        "/look",
        "glaze=bought+clear&pieces=5&crazed=1&age=fresh",
    );
    assert!(noted.body.contains("<h1>Noted</h1>"), "{}", noted.body);
    assert_eq!(
        fs::read_to_string(bench.studio.join("notes.jsonl"))
            .unwrap()
            .lines()
            .count(),
        1
    );
}

#[test]
fn a_batch_from_ticket_to_book_with_its_ticks_kept() {
    let mut bench = Bench::of_the_example();
    let ticket = "glaze=Lamplight+clear&dry=5+kg&into=5+bottles";
    let path = format!("/mix?{ticket}");
    assert!(bench.get(&path).body.contains("Fill 5 bottles"));
    let kept = sent(
        &bench,
        "/mix/kept",
        &path,
        &format!("{ticket}&ticked=0&ticked=2&half_cups=3"),
    );
    assert_eq!(kept.status, 200);
    bench.again();
    let page = bench.get(&path).body;
    assert!(
        page.contains("id=\"line-0\" name=\"ticked\" value=\"0\" checked"),
        "{page}"
    );
    assert!(!page.contains("value=\"1\" checked") && page.contains("value=\"3\" data-count"));
    assert!(bench.get("/").body.contains("2 in the bowl"));
    let booked = sent(&bench, "/mix", &path, &format!("{ticket}&by=Ann"));
    assert!(
        booked.body.contains("Batch 1 of Lamplight clear is in the book"),
        "{}",
        booked.body
    );
    assert!(booked.body.contains("NOT A DRINK"));
    let again = sent(&bench, "/mix", &path, &format!("{ticket}&by=Ann"));
    assert!(again.body.contains("Batch 1 of"), "the same form twice");
    let book = fs::read_to_string(bench.studio.join("batches.jsonl")).unwrap();
    assert_eq!(book.matches("\"glaze\"").count(), 1, "{book}");
    assert!(!bench.get("/").body.contains("in the bowl"));
    let label = bench.get("/label?glaze=Lamplight+clear&batch=1&kind=bottle");
    assert!(
        label.body.contains("/print/") && !label.body.contains("<style"),
        "{}",
        label.head
    );
    let style = label.body.split("href=\"").nth(1).unwrap().split('"').next().unwrap();
    assert_eq!(bench.get(style).header("content-type"), Some("text/css; charset=utf-8"));
}

#[test]
fn one_value_edited_on_two_pages_is_shown_twice_and_written_once() {
    let bench = Bench::of_the_example();
    let page = bench.get("/shelf?material=whiting").body;
    let made_from = page
        .split("name=\"made_from\" value=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap()
        .to_owned();
    let change = |price: &str| format!("name=whiting&key=price&value={price}+EUR/kg&made_from={made_from}");
    let first = sent(&bench, "/shelf/set", "/shelf?material=whiting", &change("2.10"));
    assert!(
        first.status == 200 && first.body.contains("is now 2.10 EUR/kg"),
        "{}",
        first.body
    );
    let files = fs::read_to_string(bench.studio.join("materials/fluxes.yaml")).unwrap();
    let second = sent(&bench, "/shelf/set", "/shelf?material=whiting", &change("13"));
    assert_eq!(second.status, 409, "{}", second.body);
    assert!(
        second.body.contains("13 EUR/kg") && second.body.contains("2.10"),
        "{}",
        second.body
    );
    assert_eq!(
        fs::read_to_string(bench.studio.join("materials/fluxes.yaml")).unwrap(),
        files
    );
}

#[test]
fn a_file_that_breaks_while_the_page_is_open_is_told_and_the_rest_works() {
    let bench = Bench::of_the_example();
    fs::write(bench.studio.join("glazes/honeyjar_amber.yaml"), "glaze: [\n").unwrap();
    let mix = bench.get("/mix").body;
    assert!(
        mix.contains("honeyjar_amber.yaml") && mix.contains("Lamplight clear"),
        "{mix}"
    );
    fs::write(bench.studio.join("studio.yaml"), "studio: [\n").unwrap();
    let mix = bench.get("/mix");
    assert!(
        mix.body.contains("role=\"alert\"") && mix.body.contains("studio.yaml"),
        "{}",
        mix.body
    );
    assert_eq!(bench.get("/bench.css").status, 200);
    fs::remove_dir_all(&bench.studio).unwrap();
    assert!(bench.get("/").status < 500);
}

#[test]
fn names_with_markup_stay_names() {
    let bench = Bench::of_the_example();
    let name = "<img src=x onerror=alert(1)> \u{202e}🏺 \"&";
    let glaze = format!("glaze: '{name}'\ncone: 6\nparts: {{ feldspar A: 50, silica: 50 }}\n");
    fs::write(bench.studio.join("glazes/odd.yaml"), glaze).unwrap();
    for path in ["/mix", "/glazes", "/change", "/?q=onerror", "/?q=%3Cscript%3E"] {
        let page = bench.get(path).body;
        assert!(!page.contains("<img") && !page.contains("<script>"), "{path}");
        assert_well_made(path, &page);
    }
    let mix = bench.get("/mix").body;
    assert!(mix.contains("&lt;img src=x onerror=alert(1)&gt;") && mix.contains('🏺'));
}

#[test]
fn run_out_and_change_answer_with_recipes() {
    let bench = Bench::of_the_example();
    let gone = sent(&bench, "/missing", "/missing", "out=feldspar+A&glaze=Lamplight+clear");
    assert!(gone.body.contains("Use feldspar B"), "{}", gone.body);
    assert_well_made("/missing", &gone.body);
    let all = sent(&bench, "/missing", "/missing", "out=whiting");
    assert!(all.body.contains("Without it: Lamplight clear"), "{}", all.body);
    let change = sent(
        &bench,
        "/change",
        "/change",
        "glaze=Lamplight+clear&wish=expansion+%3C%3D+&value=6.0",
    );
    assert!(change.body.contains("The least change that does it"), "{}", change.body);
    assert_well_made("/change", &change.body);
    let cannot = sent(
        &bench,
        "/change",
        "/change",
        "glaze=Lamplight+clear&wish=no+&value=silica&wish=SiO2+%3E%3D+&value=90",
    );
    assert!(cannot.body.contains("can’t be done"), "{}", cannot.body);
    let checks = sent(&bench, "/glaze/Lamplight%20clear", "/glaze/Lamplight%20clear", "");
    assert!(checks.body.contains("limits/stoneware-cone-8-12"), "{}", checks.body);
    let plan = sent(
        &bench,
        "/tiles",
        "/tiles",
        "kind=line&end=Lamplight+clear&end=Highfell+clear&steps=3",
    );
    assert!(plan.body.contains("3 tiles from Lamplight clear"), "{}", plan.body);
}

#[test]
fn a_kiln_loaded_and_opened_puts_its_pieces_on_the_list() {
    let bench = Bench::of_the_example();
    let load = "what=Lamplight+clear&pieces=6&clay=&shelf=top&what=&pieces=0&clay=&shelf=";
    let loaded = sent(&bench, "/kiln/loaded", "/kiln", load);
    assert!(loaded.body.contains("6 of Lamplight clear"), "{}", loaded.body);
    assert!(bench.get("/kiln").body.contains("It is open"));
    let opened = sent(&bench, "/kiln/opened", "/kiln", "bent=9");
    assert!(opened.body.contains("To look at"), "{}", opened.body);
    assert!(bench.get("/look").body.contains("look at 30 days"));
    assert!(bench.get("/due.ics").body.starts_with("BEGIN:VCALENDAR"));
}

fn with_photo(bench: &Bench, photo: &str, request: &str) -> Answer {
    let token = token(&bench.get("/look").body);
    let part = |name: &str, value: &str| {
        format!("--AbC\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n")
    };
    let body = format!(
        "{}{}{}{}--AbC\r\nContent-Disposition: form-data; name=\"photo\"; filename=\"../../x.svg\"\r\nContent-Type: image/png\r\n\r\n{photo}\r\n--AbC--\r\n",
        part("token", &token),
        part("request", request),
        part("glaze", "Lamplight clear"),
        part("crazed", "1/5"),
    );
    bench.post("/look", "multipart/form-data; boundary=AbC", "", &body)
}

#[test]
fn a_photo_comes_in_bare_and_what_is_none_changes_nothing() {
    let bench = Bench::of_the_example();
    let refused = with_photo(&bench, "<svg onload=alert(1)>", "p1");
    assert_eq!(refused.status, 415, "{}", refused.body);
    let refused = with_photo(&bench, &"x".repeat(22 << 20), "p2");
    assert_eq!(refused.status, 413);
    assert!(!bench.studio.join("notes.jsonl").exists() && !bench.studio.join("photos").exists());
    // RIFF, its length, WEBP; a picture; where it was taken.
    let webp = "RIFF\u{1e}\0\0\0WEBPVP8 \u{2}\0\0\0okEXIF\u{8}\0\0\0GPS 52 N";
    let noted = with_photo(&bench, webp, "p3");
    assert!(noted.body.contains("<h1>Noted</h1>"), "{}", noted.body);
    let again = with_photo(&bench, webp, "p3");
    assert!(again.body.contains("<h1>Noted</h1>"), "{}", again.body);
    let photos: Vec<_> = fs::read_dir(bench.studio.join("photos"))
        .unwrap()
        .map(|entry| entry.unwrap())
        .collect();
    assert_eq!(photos.len(), 1);
    let name = photos[0].file_name().into_string().unwrap();
    assert!(!fs::read_to_string(photos[0].path()).unwrap().contains("GPS"));
    assert_eq!(
        fs::read_to_string(bench.studio.join("notes.jsonl"))
            .unwrap()
            .lines()
            .count(),
        1
    );
    assert!(
        bench
            .get("/glaze/Lamplight%20clear")
            .body
            .contains(&format!("/photo/{name}"))
    );
    let photo = bench.get(&format!("/photo/{name}"));
    assert_eq!(photo.header("content-type"), Some("image/webp"));
    assert_eq!(
        photo.header("content-security-policy"),
        Some("default-src 'none'; sandbox")
    );
    for path in ["/photo/x.webp", "/photo/..%2fstudio.yaml", "/photo/../studio.yaml"] {
        assert_eq!(bench.get(path).status, 404, "{path}");
    }
}

#[test]
fn tiles_are_planned_graded_on_their_map_and_teach() {
    let bench = Bench::of_the_example();
    let ends = "end=Lamplight+clear&end=Highfell+clear&end=Driftstone+satin+matt&end=";
    let plan = sent(
        &bench,
        "/tiles",
        "/tiles",
        &format!("kind=triaxial&{ends}&steps=2&save=tri"),
    );
    assert!(plan.body.contains("/plan?plan=tri"), "{}", plan.body);
    let map = bench.get("/plan?plan=tri");
    assert!(
        map.body.contains("grade-A1") && map.body.contains("grade-C3"),
        "{}",
        map.body
    );
    assert_well_made("/plan", &map.body);
    let grades = "plan=tri&property=gloss&age=fresh&grade-A1=4&grade-B1=3&grade-B2=2&grade-C1=5&grade-C2=1&grade-C3=0";
    let taught = sent(&bench, "/plan", "/plan?plan=tri", grades);
    assert!(
        taught.body.contains("Noted: A1, B1") && taught.body.contains("What they teach"),
        "{}",
        taught.body
    );
    assert_well_made("/plan", &taught.body);
    let again = sent(&bench, "/plan", "/plan?plan=tri", grades);
    assert_eq!(again.status, 200);
    assert_eq!(
        fs::read_to_string(bench.studio.join("notes.jsonl"))
            .unwrap()
            .lines()
            .count(),
        6
    );
}
