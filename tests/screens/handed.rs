//! What is handed over beside the program: completions for shells, manual pages.

use std::process::Command;

use crate::bench::Bench;

/// What a shell is offered for a call that is being typed.
fn offered(bench: &Bench, words: &[&str]) -> Vec<String> {
    let mut call = Command::new(env!("CARGO_BIN_EXE_glost"));
    call.current_dir(bench.path().join("studio"))
        .env("GLOST_COMPLETE", "bash")
        .env("_CLAP_IFS", "\n")
        .env("_CLAP_COMPLETE_COMP_TYPE", "9")
        .env("_CLAP_COMPLETE_SPACE", "true")
        .env("_CLAP_COMPLETE_INDEX", words.len().to_string())
        .args(["--", "glost"])
        .args(words);
    let ran = call.output().unwrap();
    assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
    String::from_utf8(ran.stdout)
        .unwrap()
        .lines()
        .map(str::to_owned)
        .collect()
}

#[test]
fn names_of_the_studio_are_offered_where_they_fit() {
    let bench = Bench::example_studio();
    assert_eq!(offered(&bench, &["unity", "lampl"]), ["Lamplight clear"]);
    assert_eq!(offered(&bench, &["unity", "lamplight\\ "]), ["Lamplight clear"]);
    assert_eq!(offered(&bench, &["unity", "\"lamplight "]), ["Lamplight clear"]);
    assert_eq!(offered(&bench, &["set", "white e"]), ["white earthenware"]);
    assert_eq!(offered(&bench, &["rename", "lampl"]), ["Lamplight clear"]);
    assert_eq!(
        offered(&bench, &["script", "show", "check/lead"]),
        ["check/lead-cadmium"]
    );
    let materials = offered(&bench, &["swap", "Lamplight clear", "--out", "whit"]);
    assert!(materials.contains(&"whiting".to_owned()), "{materials:?}");
    let scripts = offered(&bench, &["check", "Lamplight clear", "--script", "check/lead"]);
    assert_eq!(scripts, ["check/lead-cadmium"]);
    assert!(offered(&bench, &["wei"]).contains(&"weigh".to_owned()));
    assert!(offered(&bench, &["unity", "--form"]).contains(&"--format".to_owned()));
}

#[test]
fn a_studio_that_cannot_be_read_offers_nothing_and_says_nothing() {
    let bench = Bench::example_studio();
    bench.file("studio/studio.yaml", "studio: [");
    assert!(offered(&bench, &["unity", "lampl"]).is_empty());
}

#[test]
fn every_shell_has_its_completions() {
    let bench = Bench::empty();
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let ran = bench.run(&["completions", shell]);
        assert_eq!(ran.code, 0, "{}", ran.stderr);
        assert!(
            ran.stdout.contains("glost") && ran.stdout.contains("GLOST_COMPLETE"),
            "{shell}"
        );
    }
    insta::assert_snapshot!("completions_of_no_shell", bench.screen(&["completions", "fsh"]));
}

#[test]
fn every_command_has_its_page() {
    let bench = Bench::empty();
    insta::assert_snapshot!("manual_pages", bench.screen(&["man", "pages"]));
    let help = bench.run(&["--help"]).stdout;
    let commands = help.lines().filter_map(|line| {
        let word = line.strip_prefix("  ")?.split_whitespace().next()?;
        (!line.starts_with("   ") && !word.starts_with('-')).then_some(word)
    });
    let mut pages = 0;
    for command in commands {
        let page = std::fs::read_to_string(bench.path().join(format!("pages/glost-{command}.1")));
        assert!(page.unwrap().contains("NAME"), "{command}");
        pages += 1;
    }
    assert!(pages > 40, "{pages}");
    // Written again they are renewed; what is no page of ours stays as it is.
    assert_eq!(bench.run(&["man", "pages"]).code, 0);
    bench.file("pages/glost-unity.1", "my own notes");
    let ran = bench.run(&["man", "pages"]);
    assert_eq!(ran.code, 2);
    assert!(ran.stderr.contains("glost-unity.1"), "{}", ran.stderr);
}
