//! What goes wrong: kills while something is written, idle connections, a port that is
//! taken, a desk that is busy.

use std::fs;
use std::net::{TcpListener, TcpStream};
use std::thread;

use crate::bench::{Bench, Opened};
use serde_json::{Value, json};

/// Kills of one run at moments that nothing counts; `GLOST_KILLS` says otherwise.
fn kills() -> u64 {
    std::env::var("GLOST_KILLS").map_or(8, |text| text.parse().unwrap())
}

/// How often a batch was booked under a name.
fn booked(bench: &Bench, by: &str) -> usize {
    let book = fs::read_to_string(bench.studio.join("batches.jsonl")).unwrap_or_default();
    // A line that was cut off is none.
    let lines = book.lines().filter_map(|line| serde_json::from_str::<Value>(line).ok());
    lines
        .filter(|line| line["by"] == by && line["glaze"].is_string())
        .count()
}

#[test]
#[allow(clippy::disallowed_methods, reason = "a lost call fails the test")]
fn killed_at_any_moment_nothing_is_booked_twice_and_nothing_acknowledged_is_lost() {
    let mut bench = Bench::of_the_example();
    for kill in 0..kills() {
        let by = format!("k{kill}");
        let weigh = json!({"glaze": "Lamplight clear", "dry": format!("{} g", 100 + kill), "commit": true, "by": by, "request": by});
        let acknowledged = thread::scope(|scope| {
            let asked = scope.spawn(|| bench.ask("weigh", &weigh).status == 200);
            // What moment this is depends on the machine; what must hold doesn't.
            bench.kill_after(kill * 8 % 120);
            asked.join().unwrap()
        });
        bench.again();
        let answer = bench.ask("weigh", &weigh);
        let again = answer.status;
        assert!([200, 409].contains(&again), "{again}: {}", answer.body);
        assert!(!acknowledged || again == 200, "what was acknowledged is known");
        assert_eq!(
            booked(&bench, &by),
            1,
            "after kill {kill}, told {again}: {}",
            answer.body
        );
    }
}

/// Moments tried at which an answer dies while it books: more than there are.
const MOMENTS: u64 = 200;

#[test]
fn an_answer_that_dies_at_any_moment_of_the_disk_is_booked_once() {
    let bench = Bench::of_the_example();
    for moment in 1..MOMENTS {
        let by = format!("m{moment}");
        let dry = format!("{} g", 100 + moment);
        let weigh = json!({"glaze": "Lamplight clear", "dry": dry, "commit": true, "by": by, "request": by});
        let dying = bench.beside(Opened {
            options: vec!["--port".to_owned(), Bench::free_port()],
            dies_at: Some(moment),
            blocks: None,
        });
        let first = dying.ask("weigh", &weigh);
        drop(dying);
        let again = bench.ask("weigh", &weigh);
        if first.status == 200 {
            assert_eq!((again.status, &again.body), (200, &first.body), "moment {moment}");
            assert_eq!(booked(&bench, &by), 1, "moment {moment}: {first:?}");
            assert!(moment > 10, "only {moment} moments");
            return;
        }
        assert_eq!(first.status, 503, "moment {moment}: {}", first.body);
        // Where it can't be told, it is left to her to look: never is it booked again.
        let times = booked(&bench, &by);
        match again.status {
            200 => assert_eq!(times, 1, "moment {moment}: {}", again.body),
            409 => assert!(
                times <= 1 && again.body.contains("look whether it is there"),
                "{}",
                again.body
            ),
            other => panic!("moment {moment}: {other} {}", again.body),
        }
    }
    panic!("it never lived");
}

#[test]
fn a_full_disk_is_told_and_the_same_form_is_done_once_there_is_room() {
    let mut bench = Bench::of_the_example();
    let old = "{\"on\":\"2026-11-01\",\"glaze\":\"Lamplight clear\",\"text\":\"x\"}\n";
    fs::write(bench.studio.join("notes.jsonl"), old.repeat(16 * 1024 / old.len())).unwrap();
    let notes = || fs::read_to_string(bench.studio.join("notes.jsonl")).unwrap();
    let before = notes();
    let note = json!({"glaze": "Lamplight clear", "crazed": "1/5", "age": "30d", "request": "full"});
    // 16 KiB: what is there already fills it.
    let full = bench.beside(Opened {
        options: vec!["--port".to_owned(), Bench::free_port()],
        dies_at: None,
        blocks: Some(32),
    });
    let refused = full.ask("note", &note);
    assert_eq!(
        (refused.status, refused.header("x-glost-exit")),
        (200, Some("2")),
        "{}",
        refused.body
    );
    assert!(
        refused.body.contains("notes.jsonl") && notes() == before,
        "{}",
        refused.body
    );
    assert_eq!(full.get("/mix").status, 200, "all else works");
    drop(full);
    bench.again();
    let done = bench.ask("note", &note);
    assert_eq!(
        (done.status, done.header("x-glost-exit")),
        (200, Some("0")),
        "{}",
        done.body
    );
    assert_eq!(bench.ask("note", &note).header("x-glost-repeat"), Some("1"));
    let after = fs::read_to_string(bench.studio.join("notes.jsonl")).unwrap();
    assert_eq!(after.lines().count(), before.lines().count() + 1);
    // Where nothing can be kept of a request it isn't begun.
    let full = bench.beside(Opened {
        options: vec!["--port".to_owned(), Bench::free_port()],
        dies_at: None,
        blocks: Some(0),
    });
    let weigh = json!({"glaze": "Lamplight clear", "dry": "1 kg", "commit": true, "by": "full", "request": "f2"});
    let refused = full.ask("weigh", &weigh);
    assert_eq!(refused.status, 503, "{}", refused.body);
    assert!(refused.body.contains("make room"), "{}", refused.body);
    assert_eq!(booked(&bench, "full"), 0);
}

#[test]
fn idle_connections_keep_nobody_out() {
    let bench = Bench::of_the_example();
    let idle: Vec<TcpStream> = (0..64).map(|_| TcpStream::connect(&bench.host).unwrap()).collect();
    assert_eq!(bench.get("/bench.css").status, 200);
    drop(idle);
}

#[test]
fn a_port_that_is_taken_is_told() {
    let taken = TcpListener::bind("127.0.0.1:0").unwrap();
    let port = taken.local_addr().unwrap().port().to_string();
    let bench = Bench::of_the_example();
    let (code, told) = bench.at_the_terminal(&["open", "--no-browser", "--port", &port]);
    assert!(code == 2 && told.contains("port-taken"), "{told}");
    let (code, told) = bench.at_the_terminal(&["open", "--no-browser"]);
    assert!(code == 2 && told.contains("may be open already"), "{told}");
    let (code, told) = bench.at_the_terminal(&["open", "nowhere", "--no-browser"]);
    assert!(code == 2 && told.contains("no-folder"), "{told}");
}

#[test]
#[allow(clippy::disallowed_methods, reason = "a lost call fails the test")]
fn more_questions_than_the_desk_takes_are_told_that_it_is_busy() {
    let bench = Bench::of_the_example();
    let body = json!({"glaze": "Lamplight clear", "out": ["feldspar A"]});
    let all: Vec<u16> = thread::scope(|scope| {
        let asked: Vec<_> = (0..24)
            .map(|_| scope.spawn(|| bench.ask("swap", &body).status))
            .collect();
        asked.into_iter().map(|one| one.join().unwrap()).collect()
    });
    assert!(all.iter().all(|status| [200, 503].contains(status)), "{all:?}");
    assert!(all.iter().filter(|status| **status == 200).count() >= 10, "{all:?}");
    assert_eq!(bench.ask("swap", &body).status, 200);
}
