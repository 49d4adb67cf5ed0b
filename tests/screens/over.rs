//! `glost check --over`: many glazes, a line for each finding.

use super::bench::Bench;

const CHECK: &str = r#"const ABOUT = #{ api: 1, kind: "check", title: "Lime", source: "own",
    options: #{ most: #{ value: 0.7, help: "most CaO" } } };
fn check(glaze, option) {
    let lime = glaze.unity.CaO;
    if lime > option.most { glaze.caution(#{ subject: "CaO", value: lime, high: option.most, message: `lime ${fixed(lime, 2)}` }); }
    if glaze.use == "tableware" && glaze.known_oxides.PbO > 0 { glaze.fail("PbO", "lead"); }
}
"#;
const TABLE: &str = "glaze,cone,use,potash feldspar,silica,whiting,kaolin,+ tin oxide
Ashford clear,9,tableware,40,25,20,15,
\"Limebank, dry\",9,,20,20,45,15,5
Seventh,6,floor,45,30,12,13,
";

fn bench(table: &str) -> Bench {
    let bench = Bench::empty();
    bench.file("lime.rhai", CHECK);
    bench.file("many.csv", table);
    bench
}

macro_rules! over {
    ($name:ident, $bench:expr, $($word:expr),+) => {
        #[test]
        fn $name() {
            insta::assert_snapshot!(stringify!($name), $bench.screen(&["check", "--over", $($word),+]));
        }
    };
}

over!(over_a_table, bench(TABLE), "many.csv", "--script", "lime.rhai");
over!(
    over_a_table_as_json,
    bench(TABLE),
    "many.csv",
    "--script",
    "lime.rhai",
    "--set",
    "most=0.6",
    "--format",
    "json"
);
over!(
    over_with_the_usual_checks,
    bench(TABLE),
    "many.csv",
    "--use",
    "tableware"
);
over!(over_a_folder, with_folder(), "glazes", "--script", "lime.rhai");
over!(
    over_rows_that_cannot_be_read,
    bench(WRONG_ROWS),
    "many.csv",
    "--script",
    "lime.rhai"
);
over!(
    over_rows_that_cannot_be_read_as_json,
    bench(WRONG_ROWS),
    "many.csv",
    "--script",
    "lime.rhai",
    "--format",
    "json"
);
over!(over_no_such_table, bench(TABLE), "man.csv");
over!(over_a_table_without_names, bench("name,silica\nA,1\n"), "many.csv");
over!(over_an_empty_table, bench(""), "many.csv");
over!(over_a_column_twice, bench("glaze,silica,Silica\nA,1,1\n"), "many.csv");
over!(over_an_empty_folder, with_folder(), ".");
over!(over_a_studio, Bench::example_studio(), "studio");
over!(
    over_a_script_of_another_kind,
    bench(TABLE),
    "many.csv",
    "--script",
    "blend/line"
);
over!(
    over_a_table_with_an_unknown_option,
    bench(TABLE),
    "many.csv",
    "--script",
    "lime.rhai",
    "--set",
    "mots=1"
);
over!(
    over_a_script_that_is_a_folder,
    with_folder(),
    "many.csv",
    "--script",
    "glazes.rhai"
);
over!(over_no_threads, bench(TABLE), "many.csv", "--threads", "0");
over!(
    over_a_script_without_end,
    endless(),
    "many.csv",
    "--script",
    "endless.rhai"
);
over!(
    over_a_script_without_end_as_json,
    endless(),
    "many.csv",
    "--script",
    "endless.rhai",
    "--format",
    "json"
);

const WRONG_ROWS: &str = "glaze,use,silica,whiting,whitting,+ tin oxide
A,,3,1,0,
B,,3,1,2,
C,tablewear,3,x,,
D,,3,-1,,1 g
E,,,,,4
,,3,1,,
F,,3
G,,3,1,,
";

fn with_folder() -> Bench {
    let bench = bench(TABLE);
    bench.file("glazes/b.yaml", "glaze: B\nparts: { silica: 3, whiting: 1 }\n");
    bench.file("glazes/a.yaml", "glaze: A\nparts: { silica: 3, whitting: 1 }\n");
    bench.file("glazes/notes.txt", "not a glaze");
    std::fs::create_dir(bench.path().join("glazes.rhai")).unwrap();
    bench
}

fn endless() -> Bench {
    let bench = bench(TABLE);
    let text = "const ABOUT = #{ api: 1, kind: \"check\", title: \"Endless\", source: \"own\" };
fn check(glaze, option) {
    if glaze.name == \"Seventh\" { while true { } }
}
";
    bench.file("endless.rhai", text);
    bench
}

/// Enough rows for many batches; one in the middle has what nobody knows.
fn many(rows: usize) -> String {
    let mut table = "glaze,silica,whiting,kaolin,mystery spar\n".to_owned();
    for row in 0..rows {
        let mystery = if row == rows / 2 { "2" } else { "" };
        table.push_str(&format!(
            "glaze {row},{},{},{},{mystery}\n",
            30 + row % 7,
            10 + row % 13,
            row % 5
        ));
    }
    table
}

#[test]
fn a_bad_row_in_the_middle_is_told_and_the_rest_are_done_alike_on_any_number_of_threads() {
    let bench = bench(&many(3001));
    let run = |threads: &str, format: &str| {
        bench.run(&[
            "check",
            "--over",
            "many.csv",
            "--script",
            "lime.rhai",
            "--threads",
            threads,
            "--format",
            format,
        ])
    };
    for format in ["csv", "json"] {
        let one = run("1", format);
        assert_eq!(one.code, 2);
        assert!(one.stderr.contains("many.csv:1502:"), "{}", one.stderr);
        assert!(
            one.stderr.contains("no material is called `mystery spar`"),
            "{}",
            one.stderr
        );
        let told: Vec<&str> = one.stdout.lines().filter(|line| line.contains("mystery")).collect();
        assert_eq!(told.len(), 1);
        let header = usize::from(format == "csv");
        assert_eq!(one.stdout.lines().count(), 3001 + header, "each row has its line");
        assert!(one.stdout.contains("glaze 3000"));
        for threads in ["2", "3", "7"] {
            let other = run(threads, format);
            assert_eq!(
                (other.code, &other.stdout, &other.stderr),
                (2, &one.stdout, &one.stderr),
                "{threads}"
            );
        }
    }
}

#[test]
fn four_parts_one_after_another_are_the_whole() {
    let bench = bench(&many(1003));
    let run = |more: &[&str]| {
        let call = ["check", "--over", "many.csv", "--script", "lime.rhai"];
        bench.run(&[&call, more].concat())
    };
    for format in ["csv", "json"] {
        let whole = run(&["--format", format]);
        let mut parts = String::new();
        for part in ["1/4", "2/4", "3/4", "4/4"] {
            parts.push_str(&run(&["--format", format, "--part", part]).stdout);
        }
        assert!(whole.stdout == parts, "{format}");
        // More parts than rows: some are empty.
        assert_eq!(run(&["--format", format, "--part", "1100/2000"]).stdout, "");
    }
}

over!(over_no_such_part, bench(TABLE), "many.csv", "--part", "5/4");
over!(over_a_part_of_stdin, bench(TABLE), "-", "--part", "1/4");

#[test]
fn csv_comes_from_what_has_rows_alone() {
    let ran = Bench::empty().run(&["formula", "CaCO3", "--format", "csv"]);
    assert_eq!(ran.code, 2);
    assert!(ran.stderr.contains("--format csv goes with tables"), "{}", ran.stderr);
}

#[test]
fn what_a_glaze_gets_over_a_table_is_what_it_gets_alone() {
    let bench = bench(TABLE);
    bench.file(
        "alone.yaml",
        "glaze: Limebank, dry\ncone: 9\nparts: { potash feldspar: 20, silica: 20, whiting: 45, kaolin: 15 }\nadditions: { tin oxide: 5 }\n",
    );
    let alone = bench.run(&["check", "alone.yaml", "--format", "json"]);
    let alone: serde_json::Value = serde_json::from_str(&alone.stdout).unwrap();
    let over = bench.run(&["check", "--over", "many.csv", "--format", "json"]);
    let lines = over
        .stdout
        .lines()
        .map(|line| serde_json::from_str::<serde_json::Value>(line).unwrap());
    let mut found: Vec<serde_json::Value> = lines.filter(|line| line["row"] == 3).collect();
    for line in &mut found {
        let line = line.as_object_mut().unwrap();
        for key in ["file", "row", "glaze"] {
            line.remove(key);
        }
    }
    assert_eq!(serde_json::Value::Array(found), alone["findings"]);
}

#[cfg(unix)]
#[test]
fn a_cancelled_run_and_a_closed_pipe_leave_whole_lines() {
    use std::io::{BufRead, BufReader, Read, Write};
    use std::process::{Command, Stdio};
    let bench = bench(TABLE);
    let glost = |stdin: Stdio| {
        Command::new(env!("CARGO_BIN_EXE_glost"))
            .args(["check", "--over", "-", "--script", "lime.rhai"])
            .current_dir(bench.path())
            .stdin(stdin)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap()
    };
    // Rows that keep coming until the run is cancelled; each is answered when it comes.
    let mut running = glost(Stdio::piped());
    let mut rows = running.stdin.take().unwrap();
    let mut lines = BufReader::new(running.stdout.take().unwrap());
    rows.write_all(b"glaze,silica,whiting\n").unwrap();
    let mut line = String::new();
    lines.read_line(&mut line).unwrap();
    for row in 0..20 {
        rows.write_all(format!("glaze {row},3,1\n").as_bytes()).unwrap();
        line.clear();
        lines.read_line(&mut line).unwrap();
        assert!(
            line.starts_with(&format!("stdin,{},glaze {row},", row + 2)) && line.ends_with('\n'),
            "{line}"
        );
    }
    let interrupted = Command::new("kill")
        .args(["-INT", &running.id().to_string()])
        .status()
        .unwrap();
    assert!(interrupted.success());
    let mut rest = String::new();
    lines.read_to_string(&mut rest).unwrap();
    assert_eq!(rest, "");
    assert_eq!(running.wait().unwrap().code(), Some(130));
    // A reader who has seen enough.
    let mut running = glost(Stdio::from(
        std::fs::File::open(bench.file("long.csv", many(20_000))).unwrap(),
    ));
    let mut first = [0; 100];
    running.stdout.take().unwrap().read_exact(&mut first).unwrap();
    let ended = running.wait_with_output().unwrap();
    assert!(matches!(ended.status.code(), Some(0 | 2)), "{:?}", ended.status);
    assert_eq!(
        String::from_utf8_lossy(&ended.stderr).matches("error").count(),
        usize::from(ended.status.code() == Some(2))
    );
}
