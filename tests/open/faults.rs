//! What goes wrong: kills while something is written, idle connections, a port that is
//! taken, a desk that is busy.

use std::fs;
use std::net::{TcpListener, TcpStream};
use std::thread;

use crate::bench::Bench;
use serde_json::{Value, json};

/// Kills of one run; each at another moment.
const KILLS: u64 = 16;

/// How often a batch was booked under a name.
fn booked(bench: &Bench, by: &str) -> usize {
    let book = fs::read_to_string(bench.studio.join("batches.jsonl")).unwrap_or_default();
    let lines = book.lines().map(|line| serde_json::from_str::<Value>(line).unwrap());
    lines
        .filter(|line| line["by"] == by && line["glaze"].is_string())
        .count()
}

#[test]
#[allow(clippy::disallowed_methods, reason = "a lost call fails the test")]
fn killed_at_any_moment_nothing_is_booked_twice_and_nothing_acknowledged_is_lost() {
    let mut bench = Bench::of_the_example();
    for kill in 0..KILLS {
        let by = format!("k{kill}");
        let weigh = json!({"glaze": "Lamplight clear", "dry": format!("{} kg", kill + 1), "commit": true, "by": by, "request": by});
        let acknowledged = thread::scope(|scope| {
            let asked = scope.spawn(|| bench.ask("weigh", &weigh).status == 200);
            // What moment this is depends on the machine; what must hold doesn't.
            bench.kill_after(kill * 8);
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
