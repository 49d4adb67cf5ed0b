//! Words at the terminal: quotes, widths, signs that no terminal should get.

use super::bench::Bench;

#[test]
fn a_name_without_its_quotes_is_shown_with_them() {
    let bench = Bench::example_studio();
    let mut told = String::new();
    for call in [
        "unity Lamplight clear",
        "weigh Lamplight clear --dry 1 kg",
        "swap Lamplight clear --out feldspar A",
        "fit bought clear --clay white earthenware",
        "note Lamplight clear --crazed 0/5 --text it ran off",
        "keep ladder/A3 Clear for cups",
        "rename Lamplight clear Tern clear",
        "set Lamplight clear cone=8",
        "add clay Tern white",
        "unity Lamplight clear --format json",
        "unity --nonsense x",
    ] {
        let words: Vec<&str> = call.split(' ').collect();
        let ran = bench.run_in("studio", &words);
        assert_eq!(ran.code, 2, "{call}: {}", ran.stdout);
        told.push_str(&format!("$ glost {call}\n{}{}\n", ran.stdout, ran.stderr));
    }
    insta::assert_snapshot!(told);
}

#[test]
fn curly_quotes_and_dashes_are_read_as_meant() {
    let bench = Bench::example_studio();
    let plain = bench.run_in("studio", &["weigh", "Lamplight clear", "--dry", "1 kg"]);
    assert_eq!(plain.code, 0);
    for call in [
        &["weigh", "“Lamplight", "clear”", "—dry", "1 kg"][..],
        &["weigh", "‘Lamplight clear’", "–dry", "„1", "kg“"],
    ] {
        assert_eq!(bench.run_in("studio", call).stdout, plain.stdout, "{call:?}");
    }
}

/// What has words that can be wrapped stays within 50 columns.
#[test]
fn nothing_is_wider_than_a_narrow_terminal() {
    let bench = Bench::example_studio();
    bench.file(
        "studio/glazes/wide.yaml",
        "glaze: 釉薬の試験、白い土の上に掛ける\nparts: { feldspar B: 40, silica: 30, whiting: 20, kaolin: 10 }\ncone: 9\nwater: 0.9 l/kg\n",
    );
    for call in [
        &["unity", "Lamplight clear"][..],
        &["unity", "釉薬の試験、白い土の上に掛ける"],
        &["check", "Lamplight clear"],
        &["swap", "Lamplight clear", "--out", "feldspar A"],
        &["weigh", "Lamplight clear", "--dry", "1 kg"],
        &["weigh", "釉薬の試験、白い土の上に掛ける", "--dry", "1 kg"],
        &["cost", "Lamplight clear"],
        &["materials"],
        &["script", "list"],
        &["blend", "line", "Lamplight clear", "Highfell clear"],
        &["affected", "--out", "silica"],
        &["melt", "Lamplight clear"],
        &["slurry", "Lamplight clear", "--jar", "500 ml = 735 g"],
        &["adjust", "Lamplight clear", "SiO2 >= 3.3"],
        &["notes"],
        &["due"],
        &["formula", "CaCO3"],
        &["--help"],
        &["unity", "Lamplite clear"],
        &["fit", "Lamplight clear", "--clay", "whit earthenware"],
        &["fit", "Lamplight clear"],
        &["fit", "bought clear"],
        &["sensitivity", "Lamplight clear"],
        &["glazes"],
        &["glazes", "--near", "Lamplight clear"],
        &["glazes", "--problems"],
        &["label", "Lamplight clear"],
        &["card", "Lamplight clear"],
        &["compare", "Lamplight clear", "Highfell clear", "Honeyjar amber"],
        &["history", "Lamplight clear"],
        &["chart", "Lamplight clear"],
        &["reach", "Lamplight clear"],
        &["fault", "crazing", "Lamplight clear"],
        &[
            "blend",
            "series",
            "Lamplight clear",
            "--add",
            "silica 0..9 %",
            "--volume",
            "30 ml",
        ],
        &["blend", "line", "Lamplight clear", "Highfell clear", "--by-hand"],
        &["swap", "Lamplight clear", "--out", "feldspar A", "--steps"],
        &["weigh", "Lamplight clear", "--dry", "1 kg", "--steps"],
        &["unity", "Lamplight clear", "--steps"],
        &["run", "craze-window"],
        &["script", "reference"],
        &["exercises", "unity"],
        &["clay", "buff stoneware"],
        &["year"],
        &["sieve"],
        &["add", "--help"],
        &["slurry", "--help"],
        &["swap", "--help"],
    ] {
        let ran = bench.run_at(50, call);
        for line in ran.stdout.lines().chain(ran.stderr.lines()) {
            // Wide letters take two columns.
            let columns: usize = line
                .chars()
                .map(|sign| {
                    if ('\u{1100}'..'\u{ff60}').contains(&sign) && sign > '\u{2fff}' {
                        2
                    } else {
                        1
                    }
                })
                .sum();
            let one_word = !line.trim().contains(' ');
            assert!(
                columns <= 50 || one_word,
                "{columns} columns of {call:?}: {line}\n{}",
                ran.stdout
            );
        }
    }
    insta::assert_snapshot!(
        bench
            .run_at(50, &["weigh", "釉薬の試験、白い土の上に掛ける", "--dry", "1 kg"])
            .stdout
    );
    insta::assert_snapshot!(
        "an_error_wrapped",
        bench
            .run_at(50, &["fit", "Lamplight clear", "--clay", "whit earthenware"])
            .stderr
    );
}

/// A name, an error, a script's print: no sign of theirs moves the cursor.
#[test]
fn no_sign_that_moves_the_cursor_reaches_the_terminal() {
    let bench = Bench::example_studio();
    let evil = "\\x1b[2J\\u202e\\u009b31mred";
    bench.file(
        "studio/glazes/evil.yaml",
        format!("glaze: \"evil {evil}\"\nparts: {{ silica: 50, feldspar B: 50 }}\nnotes: \"{evil}\"\n"),
    );
    bench.file("studio/scripts/run/evil.rhai", "const ABOUT = #{ title: \"Evil\", kind: \"run\", source: \"none\" };\nfn run(studio) { print(\"a\\x1b[2Jb\"); }\n");
    let name = "evil \u{1b}[2J\u{202e}\u{9b}31mred";
    for call in [
        &["unity", name][..],
        &["weigh", name, "--dry", "1 kg"],
        &["unity", "no\u{1b}[31m such\u{7} glaze"],
        &["run", "evil"],
        &["unity", name, "--format", "json"],
        &["check", "evil"],
        &["\u{1b}[2J"],
    ] {
        let ran = bench.run_in("studio", call);
        for text in [&ran.stdout, &ran.stderr] {
            let odd = text
                .chars()
                .find(|sign| (sign.is_control() && *sign != '\n') || matches!(sign, '\u{202a}'..='\u{202e}'));
            assert_eq!(odd, None, "{call:?}: {text:?}");
        }
    }
    let json = bench.run_in("studio", &["unity", name, "--format", "json"]);
    let read: serde_json::Value = serde_json::from_str(&json.stdout).unwrap();
    assert_eq!(read["glaze"], name, "JSON keeps what was said");
}

#[test]
fn a_file_that_another_program_keeps_is_waited_for_and_that_is_said() {
    let bench = Bench::example_studio();
    let call = ["note", "Lamplight clear", "--clay", "buff stoneware", "--crazed", "0/3"];
    assert_eq!(bench.run_in("studio", &call).code, 0);
    let held = std::fs::File::options()
        .append(true)
        .open(bench.path().join("studio/notes.jsonl"))
        .unwrap();
    held.lock().unwrap();
    let mut running = std::process::Command::new(env!("CARGO_BIN_EXE_glost"))
        .args(["note", "Lamplight clear", "--clay", "buff stoneware", "--crazed", "1/4"])
        .current_dir(bench.path().join("studio"))
        .stdout(std::process::Stdio::null())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    let mut said = std::io::BufReader::new(running.stderr.take().unwrap());
    let mut line = String::new();
    // However long it takes: what is waited for is the line, not the time.
    std::io::BufRead::read_line(&mut said, &mut line).unwrap();
    assert!(
        line.contains("waiting for another program") && line.contains("notes.jsonl"),
        "{line}"
    );
    held.unlock().unwrap();
    assert!(running.wait().unwrap().success());
    let notes = std::fs::read_to_string(bench.path().join("studio/notes.jsonl")).unwrap();
    assert_eq!(notes.lines().count(), 2);
}
