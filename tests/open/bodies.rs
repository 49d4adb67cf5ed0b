//! Bodies of any kind: none is answered as what it isn't, none stops the bench, and what is
//! refused says why.

use crate::bench::Bench;

/// How many bodies; `GLOST_BODIES` says otherwise.
const MANY: usize = 300;
/// What people and programs send.
const SEEDS: [&str; 4] = [
    r#"{"glaze": "Lamplight clear", "out": ["feldspar A"], "show": 1}"#,
    r#"{"glaze": "Lamplight clear", "aims": ["SiO2 >= 3.2"], "request": "a1"}"#,
    r#"{"glaze": "bought clear", "crazed": "0/5", "on": "2026-11-24", "text": "even"}"#,
    "glaze=Lamplight+clear&dry=5+kg&token=x",
];
const PIECES: [&str; 20] = [
    "{",
    "}",
    "[",
    "]",
    "\"",
    "\\u0000",
    "\\ud800",
    "null",
    "1e999",
    "-0",
    "\u{202e}",
    "%00",
    "%zz",
    "&&",
    "=",
    "../../",
    "\"glaze\":",
    "<script>",
    "=1+1",
    ",",
];
const WAYS: [&str; 4] = ["/api/swap", "/api/adjust", "/api/note", "/mix"];
const KINDS: [&str; 3] = [
    "application/json",
    "application/x-www-form-urlencoded",
    "multipart/form-data; boundary=x",
];

/// Numbers that look like chance and are the same each time (an LCG of Knuth's).
struct Chance(u64);

impl Chance {
    fn below(&mut self, end: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % end as u64) as usize
    }

    fn body(&mut self) -> Vec<u8> {
        let mut body = SEEDS[self.below(SEEDS.len())].as_bytes().to_vec();
        for _ in 0..=self.below(5) {
            let at = self.below(body.len() + 1);
            match self.below(4) {
                0 => {
                    let to = (at + self.below(8)).min(body.len());
                    body.drain(at..to);
                }
                1 if at < body.len() => body[at] = self.below(256) as u8,
                2 => body.truncate(at),
                _ => {
                    let piece = PIECES[self.below(PIECES.len())];
                    body.splice(at..at, piece.bytes());
                }
            }
        }
        body
    }
}

#[test]
fn no_body_stops_the_bench() {
    let many = std::env::var("GLOST_BODIES").ok().and_then(|many| many.parse().ok());
    let bench = Bench::of_the_example();
    let mut chance = Chance(20_261_129);
    for _ in 0..many.unwrap_or(MANY) {
        let (way, kind) = (WAYS[chance.below(WAYS.len())], KINDS[chance.below(KINDS.len())]);
        let body = chance.body();
        let head = format!(
            "POST {way} HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nX-Glost: 1\r\nContent-Type: {kind}\r\nContent-Length: {}\r\n",
            bench.host,
            bench.cookie,
            body.len()
        );
        let answer = bench.bytes_to(&bench.host, &head, &body);
        let known = [200, 303, 400, 401, 403, 404, 409, 413, 415, 422, 503];
        assert!(
            known.contains(&answer.status),
            "{way} {kind} {:?}: {answer:?}",
            String::from_utf8_lossy(&body)
        );
        if answer.status == 200 && way.starts_with("/api/") {
            assert_ne!(
                answer.header("X-Glost-Exit"),
                Some("4"),
                "{:?}: {answer:?}",
                String::from_utf8_lossy(&body)
            );
        }
        if answer.status != 200 && answer.status != 303 {
            assert!(!answer.body.trim().is_empty(), "{way}: a refusal says why: {answer:?}");
        }
    }
    assert_eq!(bench.get("/").status, 200);
}
