//! Scripts that mean harm, each in a process of its own: every one ends,
//! with an exit code that means something, and without much memory. How soon is
//! counted, not timed: by the bounds on steps and processor time.

mod support;

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

use glost_chemistry::diagnostic::Source;
use glost_script::{Checked, CountingAllocator, Script, ScriptFailure};

#[global_allocator]
static MEMORY: CountingAllocator = CountingAllocator;

const MOST_MEGABYTES: u64 = 300;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/hostile")
}

fn run(path: &Path) -> (i32, String) {
    let text = std::fs::read_to_string(path).unwrap_or_default();
    let scene = support::scene();
    let glaze = support::glaze(&scene, support::CLEAR);
    let script = match Script::load("check/hostile", Source::from_text("hostile.rhai", &text)) {
        Ok(script) => script,
        Err(why) => return (2, support::said(&why)),
    };
    match script.check(&glaze, &scene, &[]) {
        Ok(Checked { failure: None, .. }) => (0, "ran to its end".to_owned()),
        Ok(Checked {
            failure: Some(failure), ..
        }) => (1, support::said(&failure.diagnostic)),
        Err(ScriptFailure { kind, diagnostic, .. }) => {
            let code = match kind {
                glost_script::FailureKind::BrokeBounds => 3,
                _ => 2,
            };
            (code, support::said(&diagnostic))
        }
    }
}

/// Not a test by itself: the process that one hostile script runs in.
#[test]
#[ignore = "run by every_hostile_script_ends, once for each script"]
#[allow(clippy::disallowed_methods, reason = "a process of its own tells by its exit code")]
fn one_hostile_script() {
    let Ok(path) = std::env::var("HOSTILE_SCRIPT") else {
        return;
    };
    let (code, said) = run(Path::new(&path));
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak: u64 = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))
        .and_then(|rest| rest.trim().strip_suffix(" kB"))
        .and_then(|kilobytes| kilobytes.trim().parse().ok())
        .unwrap_or(0);
    println!("PEAK {} SAID {said}", peak / 1024);
    std::process::exit(code);
}

/// What is wrong with how a script ended, if anything.
fn complaint(path: &Path, name: &str) -> Option<String> {
    let start = Instant::now();
    let output = Command::new(std::env::current_exe().unwrap_or_default())
        .args(["--exact", "one_hostile_script", "--ignored", "--nocapture"])
        .env("HOSTILE_SCRIPT", path)
        .output()
        .unwrap_or_else(|why| panic!("{name} did not start: {why}"));
    let took = start.elapsed();
    let shown = format!(
        "{}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    );
    let peak = shown
        .split("PEAK ")
        .nth(1)
        .and_then(|rest| rest.split(' ').next()?.parse::<u64>().ok());
    let code = output.status.code();
    println!(
        "{name:24} {code:?} {:.2} s {peak:?} MB {}",
        took.as_secs_f64(),
        last_line(&shown)
    );
    let fine = matches!(code, Some(0..=3)) && peak.is_none_or(|peak| peak < MOST_MEGABYTES);
    (!fine).then(|| format!("{name}: {:?} in {took:?}, {peak:?} MB\n{shown}", output.status))
}

#[test]
fn every_hostile_script_ends() {
    let mut scripts: Vec<PathBuf> = std::fs::read_dir(folder())
        .map(|entries| entries.flatten().map(|entry| entry.path()).collect())
        .unwrap_or_default();
    scripts.sort();
    assert!(scripts.len() >= 61, "only {} hostile scripts found", scripts.len());
    let complaints: Vec<String> = scripts
        .iter()
        .filter_map(|path| complaint(path, &path.file_stem().unwrap_or_default().to_string_lossy()))
        .collect();
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}

fn last_line(shown: &str) -> &str {
    shown.lines().find_map(|line| line.split("SAID ").nth(1)).unwrap_or("")
}

/// Hostile texts that are made rather than written: deep, wide or long.
fn made_up() -> Vec<(&'static str, String)> {
    let body = |text: String| support::check(&text);
    let about = "const ABOUT = #{ api: 1, kind: \"check\", title: \"hostile\" };\n";
    let in_folds = |open: &str, middle: &str, close: &str, count: usize| {
        body(format!("{}{middle}{}", open.repeat(count), close.repeat(count)))
    };
    let list = |count: usize, of: &dyn Fn(usize) -> String| (0..count).map(of).collect::<Vec<_>>();
    vec![
        ("deep_brackets", in_folds("(", "1", ")", 30_000)),
        ("deep_blocks", in_folds("{", "", "}", 30_000)),
        ("deep_lists", in_folds("[", "", "]", 30_000)),
        ("deep_tables", in_folds("#{a:", "1", "}", 12_000)),
        ("deep_ifs", in_folds("if true {", "", "}", 6_000)),
        ("deep_loops", in_folds("loop {", "break;", "}", 6_000)),
        ("deep_nots", body("!".repeat(60_000) + "true")),
        ("deep_minus", body(format!("let x = 1; {}x", "- ".repeat(30_000)))),
        ("deep_closures", body("|a| ".repeat(15_000) + "1")),
        ("deep_calls", in_folds("print(", "1", ")", 8_000)),
        ("deep_texts", in_folds("`${", "1", "}`", 12_000)),
        ("deep_switch", in_folds("switch 1 { _ => ", "1", "}", 3_500)),
        ("deep_try", in_folds("try {", "", "} catch { }", 3_500)),
        ("long_else_if", body("if false { } ".to_owned() + &*"else if false { } ".repeat(3_500))),
        ("long_dots", body(format!("let x = #{{}}; x{}", ".a".repeat(30_000)))),
        ("long_indexes", body(format!("let x = []; x{}", "[0]".repeat(20_000)))),
        ("long_sum", body(format!("1{}", "+1".repeat(30_000)))),
        ("long_and", body(format!("true{}", "&&true".repeat(10_000)))),
        ("long_coalesce", body(format!("(){}", "??()".repeat(15_000)))),
        ("long_methods", body(format!("let x = []; x{}", ".len()".repeat(10_000)))),
        ("many_lets", body(list(5_000, &|n| format!("let a{n}=1;")).concat())),
        ("many_functions", about.to_owned() + &*list(3_000, &|n| format!("fn f{n}(){{}}\n")).concat()),
        ("many_parameters", format!("{about}fn check(glaze, option) {{ }}\nfn f({}) {{ }}", list(9_000, &|n| format!("a{n}")).join(","))),
        ("many_arguments", body(format!("print({})", list(20_000, &|_| "1".to_owned()).join(",")))),
        ("many_cases", body(format!("switch 5 {{ {} }}", list(6_000, &|n| format!("{n}=>1")).join(",")))),
        ("many_text_cases", body(format!("switch 5 {{ {} }}", list(5_000, &|n| format!("\"{n}\"=>1")).join(",")))),
        ("many_keys", body(format!("let x = #{{ {} }};", list(6_000, &|n| format!("a{n}:1")).join(",")))),
        ("many_constants", about.to_owned() + &*list(4_000, &|n| format!("const A{n}=1;")).concat() + "\nfn check(glaze, option) { }"),
        ("long_name", body(format!("let {} = 1;", "a".repeat(60_000)))),
        ("long_number", body(format!("let x = {};", "9".repeat(60_000)))),
        ("long_literal", body(format!("let x = \"{}\";", "a".repeat(60_000)))),
        ("nested_comments", about.to_owned() + &*"/*".repeat(30_000)),
        ("not_text", "\u{0}\u{1}\u{2}".repeat(1_000)),
        ("half_a_text", about.to_owned() + "fn check(glaze, option) { \"abc"),
        ("text_of_texts", body("let s = \"x\"; loop { s = `${s}${s}`; }".to_owned())),
        ("list_of_texts", body("let s = \"x\"; let l = []; loop { s += \"yyyyyyyy\"; l.push(s); }".to_owned())),
        ("table_of_tables", body("let m = #{}; loop { m.a = m; m.b = m; }".to_owned())),
        ("closure_memory", body("let fs = []; let l = steps(0, 1, 5000); loop { let b = l + []; fs.push(|| b); }".to_owned())),
        ("findings_without_end", body("loop { glaze.caution(\"a\", \"bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb\"); }".to_owned())),
        ("printing_without_end", body("loop { print(\"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa\"); }".to_owned())),
        ("solving_without_end", body("loop { materials.solve(#{ match: glaze, without: [\"whiting\"], with: [\"wollastonite\", \"talc\", \"spodumene\", \"petalite\", \"nepheline\", \"lime feldspar\", \"soda feldspar\"] }); }".to_owned())),
        ("materials_without_end", body("let l = []; loop { l += materials.list; }".to_owned())),
        ("recipes_without_end", body("let g = glaze; loop { g = g.with_addition(\"bentonite\", 2).with_part(\"silica\", 1e6); print(g.unity.SiO2); }".to_owned())),
        ("sorting_without_end", body("let l = steps(0, 1, 5000); loop { l = l.reversed(); l.sort(); }".to_owned())),
        ("copying_without_end", body("let l = steps(0, 1, 5000); let b = 0; loop { b = l; }".to_owned())),
        ("joining_without_end", body("let l = steps(0, 1, 2000); loop { l.join(\"\"); }".to_owned())),
        ("comparing_without_end", body("let l = steps(0, 1, 5000); let k = l + []; loop { let x = l == k; }".to_owned())),
        ("replacing", body("let s = \"a\"; loop { s = s.replace(\"a\", \"aaaaaaaaaaaaaaaa\"); }".to_owned())),
        ("huge_steps", body("steps(0, 1, 9223372036854775807);".to_owned())),
        ("odd_places", body("let l = [1]; l.part(-9223372036854775808, 9223372036854775807); l.remove(-9223372036854775808);".to_owned())),
        ("odd_places_in_a_text", body("\"abc\".part(-9223372036854775808, 9223372036854775807).part(9223372036854775807, -1);".to_owned())),
        ("odd_decimals", body("fixed(1.0, 9223372036854775807);".to_owned())),
        ("odd_numbers", body("let x = 1e308 * 10; fixed(x, 2); round(x);".to_owned())),
        ("odd_amounts", body("glaze.with_part(\"silica\", 1e308 * 10).unity.SiO2;".to_owned())),
        ("throwing_a_list", body("let l = steps(0, 1, 5000); throw l;".to_owned())),
        ("caught_for_ever", body("loop { try { throw 1; } catch (e) { } }".to_owned())),
        ("caught_too_long", body("let s = \"x\"; loop { try { s += s; } catch (e) { s = \"x\"; } }".to_owned())),
        ("sorting_with_itself", body("let l = steps(0, 1, 3000); loop { l.sorted_by(|x| -x); }".to_owned())),
        ("reducing_to_lists", body("steps(0, 1, 5000).reduce(|l, x| l + [l], []);".to_owned())),
        ("function_of_itself", body("let f = |g, n| g.call(g, n); try { f.call(f, 1); } catch { }".to_owned())),
        ("range_of_ranges", body("for i in 0..9223372036854775807 { for j in 0..9223372036854775807 { } }".to_owned())),
        ("do_until", body("do { } until false".to_owned())),
        ("shifting", body("let x = 1 << 9223372036854775807; let y = 1 >> -9223372036854775808;".to_owned())),
        ("this_and_that", body("this.x = 1;".to_owned())),
    ]
}

#[test]
fn every_made_up_hostile_script_ends() {
    let folder = std::env::temp_dir().join(format!("hostile-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap_or_else(|why| panic!("{why}"));
    let mut complaints = Vec::new();
    for (name, text) in made_up() {
        let path = folder.join(name);
        std::fs::write(&path, text).unwrap_or_else(|why| panic!("{why}"));
        complaints.extend(complaint(&path, name));
    }
    let _ = std::fs::remove_dir_all(&folder);
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}
