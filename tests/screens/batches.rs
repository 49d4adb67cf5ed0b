//! Booking batches: the shelf, the book, where a lot went, what differs; and
//! real kills at random moments.

use std::collections::BTreeMap;
use std::process::{Command, Stdio};
use std::time::Duration;

use super::bench::{Bench, Ran};

const CLEAR: [&str; 4] = ["weigh", "Lamplight clear", "--dry", "5 kg"];
const GREEN: [&str; 4] = ["weigh", "Millpond copper green", "--dry", "2 kg"];
const DAY: &str = "2026-11-24";

fn json(ran: &Ran) -> serde_json::Value {
    serde_json::from_str(&ran.stdout).unwrap_or_else(|error| panic!("{error}: {}{}", ran.stdout, ran.stderr))
}

/// The example studio with three batches booked: a clear, a green, a clear from
/// another lot of silica, with a slip at the scales and more water.
fn three_batches() -> Bench {
    let bench = Bench::example_studio();
    booked(
        &bench,
        &[&CLEAR[..], &["--on", "2026-11-20", "--by", "Ada", "--batch", "14"]].concat(),
    );
    booked(&bench, &[&GREEN[..], &["--on", DAY]].concat());
    edit(&bench, "materials/clay_and_silica.yaml", "lot: \"305\"", "lot: \"306\"");
    edit(&bench, "glazes/lamplight_clear.yaml", "whiting: 18", "whiting: 21");
    let third = ["--on", DAY, "--by", "Jo", "--water", "1 l/kg"];
    booked(&bench, &[&CLEAR[..], &third].concat());
    bench
}

fn booked(bench: &Bench, call: &[&str]) -> Ran {
    let ran = bench.run_in("studio", &[call, &["--commit"]].concat());
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    ran
}

fn edit(bench: &Bench, file: &str, from: &str, to: &str) {
    let path = format!("studio/{file}");
    let text = std::fs::read_to_string(bench.path().join(&path)).unwrap();
    assert!(text.contains(from), "{file} has no `{from}`");
    bench.file(&path, text.replace(from, to));
}

fn screen(bench: &Bench, call: &[&str], code: u8) -> String {
    let screen = bench.screen(&[call, &["--studio", "studio"]].concat());
    assert!(screen.ends_with(&format!("--- exit {code}\n")), "{screen}");
    screen
}

macro_rules! pinned {
    ($($name:ident: $exit:literal, $bench:expr, [$($word:expr),+ $(,)?];)+) => {
        $(#[test]
        fn $name() {
            insta::assert_snapshot!(stringify!($name), screen(&$bench, &[$($word),+], $exit));
        })+
    };
}

pinned! {
    a_ticket_that_is_short: 0, Bench::example_studio(), ["weigh", "Lamplight clear", "--dry", "90 kg", "--scales", "1 g to 40 kg"];
    a_batch_is_booked: 0, Bench::example_studio(), ["weigh", "Millpond copper green", "--dry", "2 kg", "--commit", "--on", DAY, "--by", "Ada"];
    a_batch_is_booked_over_a_wrong_count: 0, Bench::example_studio(), ["weigh", "Lamplight clear", "--dry", "5 kg", "--commit", "--on", DAY, "--batch", "14b"];
    a_batch_as_json: 0, Bench::example_studio(), ["weigh", "Lamplight clear", "--dry", "1 kg", "--commit", "--on", DAY, "--format", "json"];
    a_ticket_with_its_number: 0, Bench::example_studio(), ["weigh", "Highfell clear", "--dry", "1 kg", "--batch", "14"];
    a_label_with_its_number: 0, Bench::example_studio(), ["label", "Highfell clear", "--batch", "14"];
    the_same_ticket_twice: 2, three_batches(), ["weigh", "Lamplight clear", "--dry", "5 kg", "--commit", "--on", DAY];
    the_same_number_twice: 2, three_batches(), ["weigh", "Highfell clear", "--dry", "1 kg", "--commit", "--batch", "14"];
    a_number_too_long_for_a_bucket: 2, Bench::example_studio(), ["weigh", "Highfell clear", "--dry", "1 kg", "--commit", "--batch", "the one that we mixed in May"];
    a_day_in_another_order: 2, Bench::example_studio(), ["weigh", "Highfell clear", "--dry", "1 kg", "--commit", "--on", "24.11.2026"];
    a_day_that_never_was: 2, Bench::example_studio(), ["weigh", "Highfell clear", "--dry", "1 kg", "--commit", "--on", "2026-02-29"];
    a_day_without_booking: 2, Bench::example_studio(), ["weigh", "Highfell clear", "--dry", "1 kg", "--on", DAY];
    no_batch_yet: 0, Bench::example_studio(), ["batches"];
    all_batches: 0, three_batches(), ["batches"];
    which_buckets_hold_this_lot: 0, three_batches(), ["batches", "--material", "flint", "--lot", "305"];
    which_buckets_hold_this_lot_as_json: 0, three_batches(), ["batches", "--material", "feldspar C", "--lot", "207", "--format", "json"];
    a_lot_that_was_never_booked: 0, three_batches(), ["batches", "--material", "silica", "--lot", "7"];
    a_material_through_all_lots: 0, three_batches(), ["batches", "--material", "silica"];
    batches_of_a_glaze: 0, three_batches(), ["batches", "--glaze", "lamplight clear"];
    one_batch_in_full: 0, three_batches(), ["batches", "14"];
    what_changed: 0, three_batches(), ["batches", "diff", "14", "16"];
    what_changed_as_json: 0, three_batches(), ["batches", "14", "--against", "16", "--format", "json"];
    a_batch_against_itself: 2, three_batches(), ["batches", "diff", "14", "14"];
    a_material_misspelt: 2, three_batches(), ["batches", "--material", "silca"];
    a_glaze_misspelt: 2, three_batches(), ["batches", "--glaze", "Lamplite clear"];
    a_batch_that_is_not_there: 2, three_batches(), ["batches", "41"];
    a_difference_of_one: 2, three_batches(), ["batches", "diff", "14"];
    two_batches_at_once: 2, three_batches(), ["batches", "14", "15"];
    a_booking_is_taken_back: 0, three_batches(), ["batches", "--void", "15", "--on", "2026-11-25", "--text", "never mixed"];
    taken_back_that_is_not_there: 2, three_batches(), ["batches", "--void", "41"];
}

#[test]
fn without_a_studio_nothing_is_booked() {
    let bench = Bench::empty();
    let book = bench.screen(&[&CLEAR[..], &["--commit"]].concat());
    assert!(book.ends_with("--- exit 2\n"), "{book}");
    insta::assert_snapshot!("booking_without_a_studio", book);
    insta::assert_snapshot!("batches_without_a_studio", bench.screen(&["batches"]));
    assert_eq!(std::fs::read_dir(bench.path()).unwrap().count(), 0);
}

#[test]
fn what_was_taken_back_is_marked_and_taken_back_once() {
    let bench = three_batches();
    let back = ["batches", "--void", "14", "--on", "2026-11-25"];
    assert_eq!(bench.run_in("studio", &back).code, 0);
    insta::assert_snapshot!("taken_back_twice", screen(&bench, &back, 2));
    insta::assert_snapshot!("a_list_with_one_taken_back", screen(&bench, &["batches"], 0));
    insta::assert_snapshot!("one_batch_taken_back", screen(&bench, &["batches", "14"], 0));
}

#[test]
fn a_torn_line_and_a_booking_broken_off_are_told() {
    let bench = three_batches();
    let path = bench.path().join("studio/batches.jsonl");
    let text = std::fs::read_to_string(&path).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    // The completion of 15 is gone, and a booking was torn in the middle of an ä.
    let mut broken = [lines[0], lines[1], lines[2], lines[4], lines[5]]
        .join("\n")
        .into_bytes();
    broken.extend_from_slice(b"\n{\"batch\":\"17\",\"on\":\"2026-11-24\",\"by\":\"K\xc3");
    std::fs::write(&path, broken).unwrap();
    insta::assert_snapshot!("a_book_that_was_torn", screen(&bench, &["batches"], 0));
    let next = booked(
        &bench,
        &[
            "weigh",
            "Highfell clear",
            "--dry",
            "1 kg",
            "--format",
            "json",
            "--on",
            DAY,
        ],
    );
    assert_eq!(json(&next)["batch"], "17");
}

#[test]
fn a_ticket_counts_on_the_shelf_as_it_is_once_all_is_finished() {
    let bench = Bench::example_studio();
    let shelf = std::fs::read_to_string(bench.path().join("studio/materials/clay_and_silica.yaml")).unwrap();
    booked(&bench, &[&CLEAR[..], &["--on", DAY]].concat());
    let path = bench.path().join("studio/batches.jsonl");
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(&path, text.lines().next().unwrap()).unwrap();
    bench.file("studio/materials/clay_and_silica.yaml", shelf);
    let ticket = bench.run_in("studio", &[&CLEAR[..], &["--format", "json"]].concat());
    assert!(ticket.stderr.contains("batch 1 was being booked"), "{}", ticket.stderr);
    assert_eq!(json(&ticket)["stock"][1]["before_grams"], 20_700.0);
}

#[test]
fn a_mix_may_hold_the_lot() {
    let bench = Bench::example_studio();
    bench.file(
        "studio/materials/mixes.yaml",
        "materials:\n  - { name: blue pre-mix, recipe: { silica: 97, cobalt carbonate: 3 }, lot: May, stock: 500 g, source: own }\n",
    );
    bench.file(
        "studio/glazes/blue.yaml",
        "glaze: Quay blue\nwater: 0.9 l/kg\nparts: { frit X: 60, kaolin: 40 }\nadditions: { blue pre-mix: 5 }\n",
    );
    booked(&bench, &["weigh", "Quay blue", "--dry", "1 kg", "--on", DAY]);
    let lot = ["batches", "--material", "silica", "--lot", "305"];
    insta::assert_snapshot!(screen(&bench, &lot, 0));
}

#[test]
fn a_stock_that_cannot_be_changed_in_place() {
    let bench = Bench::example_studio();
    edit(
        &bench,
        "materials/clay_and_silica.yaml",
        "stock: 22 kg",
        "stock: 22\n      kg",
    );
    let screen = screen(&bench, &[&CLEAR[..], &["--commit", "--on", DAY]].concat(), 2);
    insta::assert_snapshot!(screen);
    assert!(!bench.path().join("studio/batches.jsonl").exists());
}

#[test]
fn a_page_that_is_there_already_stops_the_booking() {
    let bench = Bench::example_studio();
    bench.file("ticket.html", "mine");
    let call = [&CLEAR[..], &["--commit", "--on", DAY, "--page", "ticket.html"]].concat();
    insta::assert_snapshot!(screen(&bench, &call, 2));
    assert!(!bench.path().join("studio/batches.jsonl").exists());
    let call = [
        &CLEAR[..],
        &[
            "--commit", "--on", DAY, "--by", "Ada", "--page", "14.html", "--batch", "14",
        ],
    ]
    .concat();
    screen(&bench, &call, 0);
    let page = std::fs::read_to_string(bench.path().join("14.html")).unwrap();
    assert!(page.contains("Batch 14 (booked), mixed 2026-11-24 by Ada"), "{page}");
}

/// What each stock holds, in grams, and all other bytes of the files.
type Shelf = (BTreeMap<String, f64>, Vec<String>);
/// More bookings than a taking back has moments.
const TAKEN_BACK: usize = 45;

/// The stocks of all materials files in grams, and the files without them.
fn shelf(bench: &Bench) -> Shelf {
    let mut stocks = BTreeMap::new();
    let mut rest = Vec::new();
    let folder = bench.path().join("studio/materials");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.sort();
    for file in files
        .iter()
        .filter(|file| file.extension().is_some_and(|ending| ending == "yaml"))
    {
        let mut name = String::new();
        for line in std::fs::read_to_string(file).unwrap().split_inclusive('\n') {
            if let Some(new) = line.trim().strip_prefix("- name: ") {
                name = new.to_owned();
            }
            match line.trim().strip_prefix("stock: ") {
                None => rest.push(line.to_owned()),
                Some(stock) => {
                    let (number, unit) = stock.split_once(' ').unwrap();
                    let factor = if unit == "kg" { 1000.0 } else { 1.0 };
                    stocks.insert(name.clone(), factor * number.parse::<f64>().unwrap());
                    rest.push("stock\n".to_owned());
                }
            }
        }
    }
    (stocks, rest)
}

/// Grams booked of each material, what was taken back aside.
fn booked_grams(bench: &Bench) -> BTreeMap<String, f64> {
    let mut grams = BTreeMap::new();
    let list = json(&bench.run_in("studio", &["batches", "--format", "json"]));
    for batch in list["batches"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|batch| batch["void"].is_null())
    {
        for line in batch["lines"].as_array().unwrap() {
            let name = line["material"].as_str().unwrap().to_owned();
            *grams.entry(name).or_insert(0.0) += line["grams"].as_f64().unwrap();
        }
    }
    grams
}

#[track_caller]
fn consistent(bench: &Bench, start: &Shelf) {
    let booked = booked_grams(bench);
    let (stocks, rest) = shelf(bench);
    assert_eq!(rest, start.1, "another byte than a stock's has changed");
    for (name, before) in &start.0 {
        let gone = booked.get(name).copied().unwrap_or(0.0);
        let left = stocks[name];
        assert!(
            (before - gone - left).abs() < 0.01,
            "{name}: {before} less {gone} is {left}"
        );
    }
}

#[test]
fn nothing_changed_but_the_size() {
    let bench = three_batches();
    let more = ["weigh", "Millpond copper green", "--dry", "5 kg", "--on", DAY];
    booked(&bench, &more);
    edit(&bench, "materials/clay_and_silica.yaml", "lot: \"306\"", "lot: \"305\"");
    booked(&bench, &[&more[..], &["--batch", "18"]].concat());
    booked(&bench, &[&GREEN[..], &["--batch", "19", "--on", DAY]].concat());
    insta::assert_snapshot!(screen(&bench, &["batches", "diff", "18", "19"], 0));
}

/// How far killed processes had come.
#[derive(Debug, Default, PartialEq)]
struct Moments {
    nothing_written: usize,
    line_torn: usize,
    begun: usize,
    done: usize,
}

impl Moments {
    fn count(&mut self, before: &str, after: &str) {
        let new = &after[before.len()..];
        match new.matches('\n').count() {
            0 if new.is_empty() => self.nothing_written += 1,
            0 => self.line_torn += 1,
            1 => self.begun += 1,
            _ => self.done += 1,
        }
    }
}

fn book_text(bench: &Bench) -> String {
    // No book before the first booking.
    std::fs::read_to_string(bench.path().join("studio/batches.jsonl")).unwrap_or_default()
}

/// A studio whose shelf suffices, whatever is mixed.
fn full_shelf() -> Bench {
    let bench = Bench::example_studio();
    for (file, from) in [
        ("feldspars", "stock: 0 kg"),
        ("feldspars", "stock: 6 kg"),
        ("frits", "stock: 7 kg"),
    ] {
        edit(&bench, &format!("materials/{file}.yaml"), from, "stock: 100 kg");
    }
    bench
}

fn temporary_files(bench: &Bench) -> Vec<std::path::PathBuf> {
    let left = std::fs::read_dir(bench.path().join("studio/materials")).unwrap();
    left.map(|entry| entry.unwrap())
        .filter(|entry| entry.file_name().to_string_lossy().starts_with('.'))
        .map(|entry| entry.path())
        .collect()
}

/// Kills `call` at each moment of its work in turn; after every other kill the one
/// that finishes it is killed too. `{}` in the call is the number of the round.
fn killed_at_every_moment(bench: &Bench, start: &Shelf, call: &[&str]) -> Moments {
    let mut moments = Moments::default();
    for moment in 1.. {
        let number = moment.to_string();
        let words: Vec<String> = call.iter().map(|word| word.replace("{}", &number)).collect();
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let before = book_text(bench);
        let (died, ran) = bench.dies(moment, &words);
        if !died {
            assert_eq!(ran.code, 0, "{}", ran.stderr);
            break;
        }
        moments.count(&before, &book_text(bench));
        if moment % 2 == 0 {
            bench.dies(moment * 7 % 20 + 1, &["batches"]);
        }
        consistent(bench, start);
        // What is left over is taken away by the next booking, and would shift its moments.
        for left in temporary_files(bench) {
            std::fs::remove_file(left).unwrap();
        }
    }
    moments
}

#[test]
fn killed_at_every_moment_of_a_booking_the_shelf_and_the_book_agree() {
    let bench = full_shelf();
    let start = shelf(&bench);
    // The first booking begins the book.
    booked(&bench, &["weigh", "Lamplight clear", "--dry", "10 g", "--on", DAY]);
    let call = [
        "weigh",
        "Lamplight clear",
        "--dry",
        "10 g",
        "--on",
        DAY,
        "--commit",
        "--batch",
        "k{}",
    ];
    let moments = killed_at_every_moment(&bench, &start, &call);
    assert_eq!(moments.line_torn, 1, "{moments:?}");
    assert!(
        moments.nothing_written > 10 && moments.begun > 10 && moments.done > 0,
        "{moments:?}"
    );
    let (died, _) = bench.dies(4, &call);
    assert!(died && temporary_files(&bench).len() == 1);
    booked(
        &bench,
        &[
            "weigh",
            "Lamplight clear",
            "--dry",
            "10 g",
            "--on",
            DAY,
            "--batch",
            "after",
        ],
    );
    assert!(
        temporary_files(&bench).is_empty(),
        "what kills leave behind is taken away"
    );
}

#[test]
fn killed_at_every_moment_of_a_taking_back_the_shelf_and_the_book_agree() {
    let bench = full_shelf();
    let start = shelf(&bench);
    // Enough to be taken back, each once.
    for number in 1..=TAKEN_BACK {
        let number = format!("k{number}");
        booked(
            &bench,
            &[
                "weigh",
                "bought clear",
                "--dry",
                "10 g",
                "--on",
                DAY,
                "--batch",
                &number,
            ],
        );
    }
    let moments = killed_at_every_moment(&bench, &start, &["batches", "--void", "k{}"]);
    assert_eq!(moments.line_torn, 1, "{moments:?}");
    assert!(
        moments.nothing_written > 0 && moments.begun > 0 && moments.done > 0,
        "{moments:?}"
    );
}

/// Real kills, at moments that nothing counts: `GLOST_KILLS=1000` says how many.
#[test]
#[ignore = "long: cargo test -p glost --test screens killed -- --ignored"]
fn killed_at_random_moments_the_shelf_and_the_book_agree() {
    let bench = full_shelf();
    let start = shelf(&bench);
    let kills: u64 = std::env::var("GLOST_KILLS").map_or(500, |text| text.parse().unwrap());
    let mut random: u64 = 20_261_124;
    let mut moments = Moments::default();
    for round in 0..kills {
        random = random
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let glaze = ["Lamplight clear", "Millpond copper green"][usize::from(!round.is_multiple_of(3))];
        let (number, earlier) = (format!("k{round}"), format!("k{}", round.saturating_sub(1)));
        let booking = [
            "weigh", glaze, "--dry", "10 g", "--on", DAY, "--commit", "--batch", &number,
        ];
        let void = ["batches", "--void", &earlier];
        let before = book_text(&bench);
        killed(
            &bench,
            if round % 5 == 4 { &void } else { &booking },
            (random >> 40) % 80_000,
        );
        moments.count(&before, &book_text(&bench));
        if round % 4 == 0 {
            // The one that finishes is killed too.
            killed(&bench, &["batches"], (random >> 20) % 80_000);
        }
        consistent(&bench, &start);
    }
    println!("\nfigure: bookings killed {kills} times, the shelf and the book agree: {moments:?}");
    assert!(
        temporary_files(&bench).len() <= 6,
        "what kills leave behind is taken away"
    );
}

#[allow(
    clippy::disallowed_methods,
    reason = "real kills come at moments that nothing counts"
)]
fn killed(bench: &Bench, call: &[&str], after_microseconds: u64) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_glost"))
        .args(call)
        .current_dir(bench.path().join("studio"))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    std::thread::sleep(Duration::from_micros(after_microseconds));
    // SIGKILL on Unix: nothing in the process can catch it.
    child.kill().unwrap();
    child.wait().unwrap();
}
