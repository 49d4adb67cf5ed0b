//! Sensitivity and melt as a user would meet them, right and wrong.

use super::bench::Bench;

macro_rules! screens {
    ($($name:ident: $exit:literal, [$($word:expr),+ $(,)?];)+) => {
        $(#[test]
        fn $name() {
            let screen = Bench::empty().screen(&[$($word),+]);
            assert!(screen.ends_with(concat!("--- exit ", $exit, "\n")), "{screen}");
            insta::assert_snapshot!(stringify!($name), screen);
        })+
    };
}

screens! {
    sensitivity_of_the_example: 0, ["sensitivity", "Lamplight clear"];
    sensitivity_with_newcomers: 0, ["sensitivity", "Lamplight clear", "--step", "5", "--with", "talc", "--with", "cobalt carbonate"];
    sensitivity_of_less: 0, ["sensitivity", "Lamplight clear", "--step", "-10"];
    sensitivity_outside_the_model: 0, ["sensitivity", "Mothwing tin white"];
    sensitivity_as_json: 0, ["sensitivity", "Lamplight clear", "--step", "2", "--format", "json"];
    sensitivity_of_a_powder: 2, ["sensitivity", "bought clear"];
    sensitivity_with_a_powder: 2, ["sensitivity", "Lamplight clear", "--with", "bought clear, lot 4"];
    sensitivity_with_what: 2, ["sensitivity", "Lamplight clear", "--with", "tlac"];
    sensitivity_of_no_step: 2, ["sensitivity", "Lamplight clear", "--step", "0"];
    sensitivity_of_a_word: 2, ["sensitivity", "Lamplight clear", "--step", "some"];
    melt_of_the_example: 0, ["melt", "Lamplight clear"];
    melt_at_a_large_cone: 0, ["melt", "Millpond copper green", "--cone", "large 6", "--rate", "100 C/h"];
    melt_at_a_temperature: 0, ["melt", "Lamplight clear", "--cone", "1220 C"];
    melt_far_too_cool: 0, ["melt", "Lamplight clear", "--cone", "small 08"];
    melt_without_the_opacifier: 0, ["melt", "Mothwing tin white", "--additions", "out"];
    melt_as_json: 0, ["melt", "Highfell clear", "--format", "json"];
    melt_of_a_powder: 2, ["melt", "bought clear"];
    melt_at_no_cone: 2, ["melt", "Lamplight clear", "--cone", "66"];
    melt_at_a_small_cone_without_a_figure: 2, ["melt", "Lamplight clear", "--cone", "small 6"];
    melt_at_no_rate: 2, ["melt", "Lamplight clear", "--rate", "fast"];
}

#[test]
fn what_has_no_flux_or_no_cone_is_still_answered() {
    let bench = Bench::empty();
    bench.file("bare.yaml", "glaze: Bare\nparts: { silica: 60, kaolin: 40 }\n");
    for name in ["sensitivity", "melt"] {
        let screen = bench.screen(&[name, "bare.yaml"]);
        assert!(screen.ends_with("--- exit 0\n"), "{screen}");
        insta::assert_snapshot!(format!("{name}_without_flux_or_cone"), screen);
    }
}

#[test]
fn steps_of_any_size_never_panic() {
    let bench = Bench::empty();
    for step in [
        "0.01", "-0.01", "50", "-50", "51", "1e9", "nan", "1/2", "", "--", "2 parts", "+3",
    ] {
        let ran = bench.run(&[
            "sensitivity",
            "Millpond copper green",
            "--step",
            step,
            "--with",
            "silica",
        ]);
        assert!([0, 2].contains(&ran.code), "{step}: {}", ran.stderr);
        assert!(
            !ran.stdout.contains("NaN") && !ran.stdout.contains("inf"),
            "{}",
            ran.stdout
        );
    }
    for cone in [
        "022",
        "14",
        "5 1/2",
        "Seger 6",
        "04 self-supporting",
        "-4",
        "",
        "3000 C",
        "cone",
    ] {
        for rate in ["1", "60 C/h", "2000", "0", "108 F/h"] {
            let ran = bench.run(&["melt", "Lamplight clear", "--cone", cone, "--rate", rate]);
            assert!([0, 2].contains(&ran.code), "{cone} {rate}: {}", ran.stderr);
            assert!(
                !ran.stdout.contains("NaN") && !ran.stdout.contains("inf"),
                "{}",
                ran.stdout
            );
        }
    }
}
