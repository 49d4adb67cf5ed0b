//! Tickets, wet buckets and sieves as a user would meet them, right and wrong.

use super::bench::Bench;

const JAR: &str = "500 ml = 735 g";

screens! {
    weigh_five_kilos: 0, ["weigh", "Lamplight clear", "--dry", "5 kg"];
    weigh_a_bucket_on_gram_scales: 0, ["weigh", "Millpond copper green", "--bucket", "12 l", "--scales", "1 g to 2 kg"];
    weigh_a_bought_powder_in_cups: 0, ["weigh", "bought clear", "--dry", "1 kg", "--water", "5 3/4 cups/kg"];
    weigh_too_little_for_the_scales: 0, ["weigh", "Millpond copper green", "--dry", "100 g", "--scales", "1 g"];
    weigh_as_json: 0, ["weigh", "Millpond copper green", "--dry", "2 kg", "--format", "json"];
    weigh_without_a_unit: 2, ["weigh", "Lamplight clear", "--dry", "5"];
    weigh_nothing: 2, ["weigh", "Lamplight clear", "--dry", "0 g"];
    weigh_how_much: 2, ["weigh", "Lamplight clear"];
    weigh_less_than_a_step: 2, ["weigh", "Lamplight clear", "--dry", "50 g", "--scales", "100 g"];
    weigh_too_much: 2, ["weigh", "Lamplight clear", "--dry", "1e8 kg"];
    weigh_on_tiny_scales: 2, ["weigh", "Lamplight clear", "--dry", "50 kg", "--scales", "0.01 g to 200 g"];
    weigh_into_two_pints: 2, ["weigh", "Lamplight clear", "--bucket", "2 pints"];
    weigh_too_much_for_the_bucket: 2, ["weigh", "Lamplight clear", "--dry", "5 kg", "--bucket", "5 l"];
    weigh_more_powder_than_bucket: 2, ["weigh", "Lamplight clear", "--dry", "5 kg", "--bucket", "1 l"];
    weigh_lighter_than_water: 2, ["weigh", "Lamplight clear", "--dry", "5 kg", "--density", "0.9"];
    weigh_denser_than_mud: 2, ["weigh", "Lamplight clear", "--dry", "5 kg", "--density", "2.15"];
    weigh_with_a_sea_of_water: 2, ["weigh", "Lamplight clear", "--dry", "5 kg", "--water", "900 l/kg"];
    weigh_on_scales_of_nothing: 2, ["weigh", "Lamplight clear", "--dry", "5 kg", "--scales", "0 g"];
    slurry_two_doses: 0, ["slurry", "--jar", JAR, "--gross", "13480 g", "--tare", "620 g", "--add", "0.4 % cobalt carbonate", "--add", "1 % bentonite", "--scales", "1 g to 15 kg"];
    slurry_a_try_out: 0, ["slurry", "--jar", JAR, "--gross", "200 g", "--tare", "0 g", "--add", "0.4 % cobalt carbonate", "--scales", "1 g to 15 kg"];
    slurry_wrong_dose: 0, ["slurry", "--jar", JAR, "--gross", "13480 g", "--tare", "620 g", "--holds", "51 g cobalt carbonate", "--wanted", "0.4 %", "--bucket", "12 l"];
    slurry_too_much_silica: 0, ["slurry", "Lamplight clear", "--jar", JAR, "--volume", "5 l", "--holds", "2 kg silica", "--bucket", "12 l"];
    slurry_half_used: 0, ["slurry", "Lamplight clear", "--jar", JAR, "--volume", "5 l", "--holds", "2600 g silica of 6300 g", "--bucket", "15 l"];
    slurry_too_little: 0, ["slurry", "Millpond copper green", "--jar", JAR, "--volume", "5 l", "--holds", "1 % copper carbonate"];
    slurry_of_no_batch: 2, ["slurry", "Lamplight clear", "--jar", JAR, "--volume", "5 l", "--holds", "260 g silica of 0 g"];
    slurry_water_to_add: 0, ["slurry", "Lamplight clear", "--jar", "1.52", "--volume", "8.7 l", "--to", "1.45"];
    slurry_water_to_take_off: 0, ["slurry", "Lamplight clear", "--jar", "1.40", "--volume", "8.7 l", "--to", "1.45"];
    slurry_too_thick: 0, ["slurry", "Hearthside clear", "--jar", "1.56", "--volume", "5 l"];
    slurry_too_thin: 0, ["slurry", "Hearthside clear", "--jar", "1.35", "--volume", "5 l"];
    slurry_as_it_should_be: 0, ["slurry", "Hearthside clear", "--jar", "1.45"];
    slurry_ten_times_the_silica: 0, ["slurry", "Lamplight clear", "--jar", "1.70", "--volume", "8 l", "--suspect", "silica 10x", "--bucket", "15 l"];
    slurry_a_line_left_out: 0, ["slurry", "Lamplight clear", "--jar", "1.45", "--volume", "5 l", "--suspect", "whiting left out"];
    slurry_suspect_of_what: 2, ["slurry", "Lamplight clear", "--jar", "1.45", "--suspect", "talc 10x"];
    slurry_suspect_without_times: 2, ["slurry", "Lamplight clear", "--jar", "1.45", "--suspect", "silica"];
    slurry_of_a_litre: 0, ["slurry", "--jar", "1 imperial pint = 29 oz"];
    slurry_two_buckets: 0, ["slurry", "--jar", JAR, "--jar", "500 ml = 690 g", "--volume", "4 l", "--volume", "3 l", "--bucket", "6 l"];
    slurry_of_an_unknown_material: 0, ["slurry", "--jar", JAR, "--volume", "5 l", "--add", "2 % magic dust"];
    slurry_as_json: 0, ["slurry", "--jar", JAR, "--volume", "8.7 l", "--add", "0.4 % cobalt carbonate", "--to", "1.45", "--powder-density", "2.65 +/- 0.05", "--format", "json"];
    slurry_a_jar_of_nothing: 2, ["slurry", "--jar", "500 ml = 0 g"];
    slurry_a_jar_of_no_size: 2, ["slurry", "--jar", "0 ml = 735 g"];
    slurry_lighter_than_water: 2, ["slurry", "--jar", "500 ml = 450 g"];
    slurry_too_dense: 2, ["slurry", "--jar", "500 ml = 1450 g"];
    slurry_no_jar: 2, ["slurry", "--volume", "5 l"];
    slurry_a_jar_in_words: 2, ["slurry", "--jar", "half full"];
    slurry_tare_above_gross: 2, ["slurry", "--jar", JAR, "--gross", "500 g", "--tare", "620 g"];
    slurry_negative_tare: 2, ["slurry", "--jar", JAR, "--gross", "500 g", "--tare=-620 g"];
    slurry_no_tare: 2, ["slurry", "--jar", JAR, "--gross", "13480 g"];
    slurry_two_jars_one_bucket: 2, ["slurry", "--jar", JAR, "--jar", JAR, "--volume", "5 l"];
    slurry_dose_above_a_hundred: 2, ["slurry", "--jar", JAR, "--volume", "5 l", "--add", "120 % rutile"];
    slurry_dose_without_a_unit: 2, ["slurry", "--jar", JAR, "--volume", "5 l", "--add", "0.4 cobalt carbonate"];
    slurry_dose_of_lead: 2, ["slurry", "--jar", JAR, "--volume", "5 l", "--add", "1 % red lead"];
    slurry_to_water: 2, ["slurry", "--jar", JAR, "--volume", "5 l", "--to", "1.0"];
    slurry_to_mud: 2, ["slurry", "--jar", JAR, "--volume", "5 l", "--to", "2.3"];
    slurry_of_feathers: 2, ["slurry", "--jar", JAR, "--powder-density", "0.9"];
    slurry_holds_more_than_there_is: 2, ["slurry", "--jar", JAR, "--volume", "1 l", "--holds", "5 kg cobalt carbonate", "--wanted", "1 %"];
    slurry_holds_and_no_wish: 2, ["slurry", "--jar", JAR, "--volume", "1 l", "--holds", "5 g cobalt carbonate"];
    slurry_huge: 2, ["slurry", "--jar", JAR, "--volume", "1e30 l"];
    sieve_a_hundred: 0, ["sieve", "100"];
    sieve_that_is_not_made: 0, ["sieve", "110"];
    sieve_by_opening: 0, ["sieve", "0.15 mm"];
    sieve_table: 0, ["sieve"];
    sieve_as_json: 0, ["sieve", "80", "--format", "json"];
    sieve_fine: 2, ["sieve", "fine"];
    sieve_of_nothing: 2, ["sieve", "0 um"];
}

#[test]
fn a_ticket_for_lead_is_not_made() {
    let bench = Bench::empty();
    bench.file(
        "glaze.yaml",
        "glaze: Old page\nparts: { red lead: 60, silica: 30, kaolin: 10 }\n",
    );
    let screen = bench.screen(&["weigh", "glaze.yaml", "--dry", "1 kg"]);
    assert!(screen.ends_with("--- exit 2\n"), "{screen}");
    insta::assert_snapshot!(screen);
}

#[test]
fn tickets_and_buckets_of_any_size_never_panic() {
    let bench = Bench::empty();
    for dry in [
        "0.1 g",
        "1e-9 g",
        "9999 kg",
        "1e9 kg",
        "0,5 kg",
        "-1 kg",
        "nan kg",
        "5 furlongs",
        "",
    ] {
        for scales in ["0.001 g", "1 g to 1 g", "30 kg"] {
            let ran = bench.run(&["weigh", "Millpond copper green", "--dry", dry, "--scales", scales]);
            assert!([0, 2].contains(&ran.code), "{dry} {scales}: {}", ran.stderr);
        }
    }
    for jar in [
        "1e-9 ml = 1 g",
        "1e9 l = 1.5e9 kg",
        "500 ml = 500.0000001 g",
        "500 ml=735 g=3",
        "=",
        "1/0 l = 3 g",
    ] {
        for amount in ["1e-9 ml", "1e9 l", "5 l"] {
            let add = "100 % bentonite";
            let ran = bench.run(&["slurry", "--jar", jar, "--volume", amount, "--add", add, "--to", "1.02"]);
            assert!([0, 2].contains(&ran.code), "{jar} {amount}: {}", ran.stderr);
            assert!(
                !ran.stdout.contains("NaN") && !ran.stdout.contains("inf"),
                "{}",
                ran.stdout
            );
        }
    }
}
