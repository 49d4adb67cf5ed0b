//! Phones and a class: how they come in, what they find, what isn't there for them.

use crate::bench::{Answer, Bench};

/// What a phone finds, and what it doesn't.
const FOUND: [&str; 10] = [
    "/",
    "/more",
    "/mix",
    "/look",
    "/kiln",
    "/glazes",
    "/glaze/Lamplight%20clear",
    "/recall",
    "/batches",
    "/due.ics",
];
const NOT_FOUND: [&str; 9] = [
    "/shelf",
    "/rules",
    "/rule/limits/cone-6",
    "/missing",
    "/change",
    "/tiles",
    "/cost",
    "/phones",
    "/api/unity",
];

fn codes(page: &str) -> Vec<String> {
    let addresses = page.split("<code>").filter_map(|piece| piece.split("</code>").next());
    addresses
        .filter(|text| text.contains("?once="))
        .map(str::to_owned)
        .collect()
}

fn get(bench: &Bench, (host, cookie): &(String, String), path: &str) -> Answer {
    bench.raw_to(
        host,
        &format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nCookie: {cookie}\r\n"),
        "",
    )
}

fn post(bench: &Bench, (host, cookie): &(String, String), path: &str, body: &str) -> Answer {
    let head = format!(
        "POST {path} HTTP/1.1\r\nHost: {host}\r\nCookie: {cookie}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n",
        body.len()
    );
    bench.raw_to(host, &head, body)
}

fn token(page: &str) -> String {
    page.split("name=\"token\" value=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap()
        .to_owned()
}

#[test]
fn a_phone_is_paired_once_and_stays_paired() {
    let mut bench = Bench::with_phones();
    let way_in = codes(&bench.get("/phones").body)[0].clone();
    let phone = bench.paired(&way_in);
    let (host, _) = &phone;
    let once = way_in.split_once('?').unwrap().1;
    let again = bench.raw_to(host, &format!("GET /?{once} HTTP/1.1\r\nHost: {host}\r\n"), "");
    assert_eq!(again.status, 401);
    assert_ne!(
        codes(&bench.get("/phones").body)[0],
        way_in,
        "a new code is on the screen"
    );
    bench.again();
    assert_eq!(get(&bench, &phone, "/mix").status, 200, "after a restart too");
    let name = bench.get("/phones").body.split("value=\"Forget ").count();
    assert_eq!(name, 1);
    let page = bench.get("/phones").body;
    let forget = page
        .split("name=\"forget\" value=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap();
    let body = format!("token={}&forget={forget}", token(&page));
    assert_eq!(
        bench
            .post("/phones", "application/x-www-form-urlencoded", "", &body)
            .status,
        200
    );
    assert_eq!(get(&bench, &phone, "/mix").status, 401);
}

#[test]
fn a_phone_reaches_no_scripts_shelf_or_settings() {
    let bench = Bench::with_phones();
    let way_in = codes(&bench.get("/phones").body)[0].clone();
    let phone = bench.paired(&way_in);
    for path in FOUND {
        let page = get(&bench, &phone, path);
        assert_eq!(page.status, 200, "{path}");
        for hidden in ["EUR", "Check it", "/shelf", "/rules", "/missing"] {
            assert!(!page.body.contains(hidden), "{path} shows {hidden}");
        }
    }
    let ticket = get(&bench, &phone, "/mix?glaze=Lamplight+clear&dry=5+kg");
    assert!(ticket.body.contains("1900.0") && !ticket.body.contains("EUR"));
    let token = token(&get(&bench, &phone, "/mix?glaze=Lamplight+clear&dry=5+kg").body);
    for path in NOT_FOUND {
        assert_eq!(get(&bench, &phone, path).status, 404, "{path}");
        let said = format!("token={token}&name=whiting&key=price&value=1+EUR/kg");
        assert_eq!(post(&bench, &phone, path, &said).status, 404, "{path}");
    }
    for path in [
        "/shelf/set",
        "/mix/water",
        "/start",
        "/glaze/Lamplight%20clear",
        "/glazes",
    ] {
        let refused = post(&bench, &phone, path, &format!("token={token}"));
        assert!([404, 405].contains(&refused.status), "{path}: {}", refused.status);
    }
    let booked = post(
        &bench,
        &phone,
        "/mix",
        &format!("token={token}&request=p1&glaze=Lamplight+clear&dry=5+kg"),
    );
    assert!(booked.body.contains("is in the book"), "{}", booked.body);
    // The phone's cookie opens nothing at the machine's own address, nor the owner's there.
    let (host, cookie) = &phone;
    let head = format!("GET / HTTP/1.1\r\nHost: {}\r\nCookie: {cookie}\r\n", bench.host);
    assert_eq!(bench.raw(&head, "").status, 401);
    let owners = (host.clone(), bench.cookie.clone());
    assert_eq!(get(&bench, &owners, "/").status, 401);
}

#[test]
fn a_class_of_eight_counts_and_sees_no_recipe() {
    let bench = Bench::with_phones();
    let row = [
        "blend",
        "line",
        "Lamplight clear",
        "Highfell clear",
        "--steps",
        "8",
        "--save",
        "row",
    ];
    assert_eq!(bench.at_the_terminal(&row).0, 0);
    let way_in = codes(&bench.get("/phones").body)[1].clone();
    let pupils: Vec<_> = (0..8).map(|_| bench.paired(&way_in)).collect();
    for (index, pupil) in pupils.iter().enumerate() {
        let page = get(&bench, pupil, "/");
        assert!(
            page.status == 200 && page.body.contains("What stands on your tile?"),
            "{}",
            page.body
        );
        assert!(!page.body.contains("feldspar") && !page.body.contains("Lamplight"));
        let said = format!(
            "token={}&request=c{index}&tile=row/A{}&pieces=1&crazed=0&initials=k{index}",
            token(&page.body),
            index + 1
        );
        let noted = post(&bench, pupil, "/look", &said);
        assert!(noted.body.contains("<h1>Noted</h1>"), "{}", noted.body);
        for path in FOUND
            .iter()
            .chain(&NOT_FOUND)
            .filter(|path| !["/", "/look"].contains(path))
        {
            assert_eq!(get(&bench, pupil, path).status, 404, "{path}");
        }
    }
    let notes = std::fs::read_to_string(bench.studio.join("notes.jsonl")).unwrap();
    assert_eq!(notes.lines().count(), 8, "{notes}");
}
