//! The locks: hosts, origins, tokens, bodies, the way in.

use crate::bench::Bench;
use serde_json::json;

#[test]
fn twelve_spellings_of_a_foreign_host_are_refused_on_every_route() {
    let bench = Bench::of_the_example();
    let port = bench.host.rsplit(':').next().unwrap();
    let foreign = [
        "evil.example".to_owned(),
        format!("evil.example:{port}"),
        format!("evil.example@127.0.0.1:{port}"),
        format!("127.0.0.1.evil.example:{port}"),
        format!("localhost.evil.example:{port}"),
        format!("localhost.:{port}"),
        format!("0.0.0.0:{port}"),
        format!("127.1:{port}"),
        format!("0x7f000001:{port}"),
        format!("[::1]:{port}"),
        "127.0.0.1".to_owned(),
        "127.0.0.1:80".to_owned(),
    ];
    for host in &foreign {
        for path in ["/", "/api/unity", "/no/such/page", &format!("/?once={}", bench.once)] {
            let head = format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nCookie: {}\r\n", bench.cookie);
            let answer = bench.raw(&head, "");
            assert_eq!(answer.status, 403, "{host} {path}: {}", answer.head);
            assert!(answer.header("set-cookie").is_none());
        }
    }
    let cookie = format!("Cookie: {}\r\n", bench.cookie);
    let (host, none) = (format!("Host: {}\r\n", bench.host), String::new());
    for hosts in [none, format!("{host}Host: evil.example\r\n")] {
        let answer = bench.raw(&format!("GET / HTTP/1.1\r\n{hosts}{cookie}"), "");
        assert!([400, 403].contains(&answer.status), "{hosts}: {}", answer.status);
    }
    let in_line = format!("GET http://evil.example/ HTTP/1.1\r\n{host}{cookie}");
    assert_eq!(bench.raw(&in_line, "").status, 403);
    let by_name = format!("GET / HTTP/1.1\r\nHost: localhost:{port}\r\n{cookie}");
    assert_eq!(bench.raw(&by_name, "").status, 200);
}

#[test]
fn nothing_opens_without_the_cookie_and_the_secret_opens_once() {
    let bench = Bench::of_the_example();
    let head = |path: &str| format!("GET {path} HTTP/1.1\r\nHost: {}\r\n", bench.host);
    for path in [
        "/",
        "/mix",
        "/api/unity",
        "/no/such/page",
        &format!("/?once={}", bench.once),
        "/?once=",
    ] {
        assert_eq!(bench.raw(&head(path), "").status, 401, "{path}");
    }
    let forged = format!("{}Cookie: {}0\r\n", head("/"), bench.cookie);
    assert_eq!(bench.raw(&forged, "").status, 401);
    let bare = format!("POST /api/unity HTTP/1.1\r\nHost: {}\r\nX-Glost: 1\r\n", bench.host);
    assert_eq!(bench.raw(&bare, "").status, 401);
    assert_eq!(bench.get("/").status, 200);
    assert_eq!(bench.get("/no/such/page").status, 404);
}

#[test]
fn what_another_page_sends_is_refused() {
    let bench = Bench::of_the_example();
    let unity = json!({"glaze": "Lamplight clear"}).to_string();
    let post = |kind: &str, further: &str, body: &str| bench.post("/api/unity", kind, further, body).status;
    assert_eq!(post("application/json", "X-Glost: 1\r\n", &unity), 200);
    let own = format!(
        "X-Glost: 1\r\nOrigin: http://{}\r\nSec-Fetch-Site: same-origin\r\n",
        bench.host
    );
    assert_eq!(post("application/json", &own, &unity), 200);
    let origins = [
        "null",
        "http://evil.example",
        "http://127.0.0.1",
        "https://127.0.0.1",
        "",
    ];
    for origin in origins {
        let sent = format!("X-Glost: 1\r\nOrigin: {origin}\r\n");
        assert_eq!(post("application/json", &sent, &unity), 403, "{origin}");
    }
    for site in ["cross-site", "same-site"] {
        let sent = format!("X-Glost: 1\r\nSec-Fetch-Site: {site}\r\n");
        assert_eq!(post("application/json", &sent, &unity), 403, "{site}");
    }
    assert_eq!(post("application/json", "", &unity), 403, "no token");
    assert_eq!(post("application/json", "X-Glost: 0\r\n", &unity), 403);
    assert_eq!(post("application/x-www-form-urlencoded", "", "glaze=a&token=0"), 403);
    assert_eq!(post("text/plain", "X-Glost: 1\r\n", &unity), 415);
    let get = format!(
        "GET /api/unity HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\n",
        bench.host, bench.cookie
    );
    assert_eq!(bench.raw(&get, "").status, 405);
    assert_eq!(bench.raw(&get.replacen("GET", "DELETE", 1), "").status, 405);
}

#[test]
fn every_answer_is_locked_against_frames_scripts_and_sniffing() {
    let bench = Bench::of_the_example();
    let refused = bench.raw("GET / HTTP/1.1\r\nHost: evil.example\r\n", "");
    let asked = bench.ask("unity", &json!({"glaze": "Lamplight clear"}));
    for answer in [bench.get("/"), bench.get("/none"), asked, refused] {
        let policy = answer.header("content-security-policy").unwrap();
        assert!(policy.contains("default-src 'self'") && policy.contains("frame-ancestors 'none'"));
        assert_eq!(answer.header("x-content-type-options"), Some("nosniff"));
        assert_eq!(answer.header("referrer-policy"), Some("no-referrer"));
        assert_eq!(answer.header("cross-origin-resource-policy"), Some("same-origin"));
        assert_eq!(answer.header("cache-control"), Some("no-store"));
        assert!(!answer.head.to_lowercase().contains("access-control"));
    }
}

#[test]
fn a_body_that_is_too_large_is_not_read() {
    let bench = Bench::of_the_example();
    let large = format!("{{\"glaze\": \"{}\"}}", "x".repeat(1 << 20));
    assert_eq!(
        bench
            .post("/api/unity", "application/json", "X-Glost: 1\r\n", &large)
            .status,
        413
    );
    // Told by its length alone, before a byte of it came.
    let head = format!(
        "POST /api/unity HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nContent-Type: application/json\r\nX-Glost: 1\r\nContent-Length: 99999999999\r\n",
        bench.host, bench.cookie
    );
    assert_eq!(bench.raw(&head, "").status, 413);
    for broken in ["", "[]", "{", "\"x\"", "\u{0}"] {
        let answer = bench.post("/api/unity", "application/json", "X-Glost: 1\r\n", broken);
        assert_eq!(answer.status, 400, "{broken:?}");
    }
    assert_eq!(bench.get("/").status, 200, "and it stays open");
}

#[test]
fn the_end_of_the_standard_input_closes_it() {
    let mut bench = Bench::of_the_example();
    drop(bench.process().stdin.take());
    assert!(bench.process().wait().unwrap().success());
}
