//! Recipe cards as a user would meet them, on the screen and on paper.

use super::bench::Bench;

screens! {
    card_of_a_clear: 0, ["card", "Lamplight clear"];
    card_of_a_colour: 0, ["card", "Millpond copper green"];
    card_of_a_bought_powder: 0, ["card", "bought clear"];
    card_with_something_in_it: 0, ["card", "Lamplight clear + 0.4 % cobalt carbonate"];
    card_as_json: 0, ["card", "Millpond copper green", "--format", "json"];
    card_of_nobody: 2, ["card", "Lamplight cleer"];
    card_of_nothing: 2, ["card"];
    card_on_letter: 2, ["card", "Lamplight clear", "--page", "card.html", "--paper", "letter"];
    card_paper_without_a_page: 2, ["card", "Lamplight clear", "--paper", "A5"];
    card_as_a_picture: 2, ["card", "Lamplight clear", "--page", "card.png"];
    card_as_csv: 2, ["card", "Lamplight clear", "--format", "csv"];
}

#[test]
fn a_card_says_what_the_latest_pieces_looked_like_and_which_version() {
    let bench = Bench::example_studio();
    for look in [
        &[
            "note",
            "Lamplight clear",
            "--on",
            "2026-09-01",
            "--pieces",
            "5",
            "--crazed",
            "0",
        ][..],
        &[
            "note",
            "Lamplight clear",
            "--on",
            "2026-10-01",
            "--pieces",
            "5",
            "--crazed",
            "2",
        ][..],
    ] {
        let noted = bench.run_in("studio", look);
        assert_eq!(noted.code, 0, "{}", noted.stderr);
    }
    let card = bench.run_in("studio", &["card", "Lamplight clear"]);
    insta::assert_snapshot!("card_with_looks", card.stdout);
    assert!(card.stdout.contains("Version: v1"), "{}", card.stdout);
    let (later, earlier) = (card.stdout.find("2026-10-01"), card.stdout.find("2026-09-01"));
    assert!(later < earlier, "{}", card.stdout);
    let ticket = bench.run_in("studio", &["weigh", "Lamplight clear", "--dry", "1 kg"]);
    assert!(ticket.stdout.contains("version v1"), "{}", ticket.stdout);
}

#[test]
fn a_card_is_one_page_of_its_paper_and_written_once() {
    let bench = Bench::example_studio();
    for (paper, size, file) in [("A6", "105mm 148mm", "small.html"), ("a5", "148mm 210mm", "large.html")] {
        let call = ["card", "Millpond copper green", "--page", file, "--paper", paper];
        let made = bench.run_in("studio", &call);
        assert_eq!(made.code, 0, "{}", made.stderr);
        let page = std::fs::read_to_string(bench.path().join("studio").join(file)).unwrap();
        assert!(page.contains(&format!("size: {size}")), "{page}");
        assert_eq!(page.matches("<svg").count(), 1);
        assert!(
            page.contains("copper carbonate") && page.contains("leach test"),
            "{page}"
        );
        // A second call writes over nothing.
        assert_eq!(bench.run_in("studio", &call).code, 2);
    }
}

#[test]
fn a_card_of_lead_has_no_weights() {
    let bench = Bench::example_studio();
    bench.file(
        "studio/glazes/old_page.yaml",
        "glaze: Old page\nparts: { red lead: 60, silica: 30, kaolin: 10 }\n",
    );
    let card = bench.run_in("studio", &["card", "Old page"]);
    insta::assert_snapshot!("card_of_lead", card.stdout);
    let json = bench.run_in("studio", &["card", "Old page", "--format", "json"]);
    let answer: serde_json::Value = serde_json::from_str(&json.stdout).unwrap();
    assert_eq!(answer["batches"], serde_json::json!([]));
}

#[test]
fn weights_on_a_card_are_those_of_its_ticket() {
    let bench = Bench::example_studio();
    let read =
        |call: &[&str]| -> serde_json::Value { serde_json::from_str(&bench.run_in("studio", call).stdout).unwrap() };
    let card = read(&["card", "Millpond copper green", "--format", "json"]);
    let ticket = read(&["weigh", "Millpond copper green", "--dry", "5 kg", "--format", "json"]);
    let batch = &card["batches"][2];
    assert_eq!(batch["base_grams"], 5000.0);
    for line in ticket["lines"].as_array().unwrap() {
        assert_eq!(batch["grams"][line["material"].as_str().unwrap()], line["grams"]);
    }
}
