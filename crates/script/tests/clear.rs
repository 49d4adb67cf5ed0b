//! Every mistake has a place and a cure, and nothing wrong passes in silence.

mod support;

use glost_core::rules::Level;
use glost_script::{FailureKind, Script};
use support::{check, load, said};

/// What loading says, or `loads`.
fn loading(text: &str) -> String {
    load(text).map_or_else(|why| said(&why), |_| "loads".to_owned())
}

fn body(text: &str) -> String {
    loading(&check(text))
}

/// What a check with this body says of a plain clear.
fn running(text: &str) -> String {
    let scene = support::scene();
    let glaze = support::glaze(&scene, support::CLEAR);
    let script = match load(&check(text)) {
        Ok(script) => script,
        Err(why) => return format!("does not load: {}", said(&why)),
    };
    match script.check(&glaze, &scene, &[]) {
        Err(failure) => format!("{:?}: {}", failure.kind, said(&failure.diagnostic)),
        Ok(checked) => match checked.failure {
            Some(failure) => {
                assert_eq!(
                    checked.findings.first().map(|found| found.level),
                    Some(Level::NotChecked)
                );
                said(&failure.diagnostic)
            }
            None => checked
                .findings
                .iter()
                .map(|found| {
                    format!(
                        "{} {}: {}",
                        found.level.words(),
                        found.subject,
                        found.message.text().unwrap()
                    )
                })
                .collect::<Vec<_>>()
                .join("\n"),
        },
    }
}

/// The text that the expression makes, through a finding's message.
fn value(expression: &str) -> String {
    let found = running(&format!("glaze.caution(\"it\", `${{{expression}}}`);"));
    found.strip_prefix("caution it: ").map_or(found.clone(), str::to_owned)
}

#[test]
fn a_misspelt_oxide_is_an_error_with_the_nearest() {
    assert_eq!(
        body("let u = glaze.unity;\nif u.Si02 > 3 { glaze.caution(\"a\", \"b\"); }"),
        "4:6 amounts of oxides have no `Si02` | did you mean `SiO2`?"
    );
    assert_eq!(
        running("let name = \"Si02\"; if glaze.unity[name] > 3 { }"),
        "3:34 amounts of oxides have no `Si02` | did you mean `SiO2`?"
    );
    assert_eq!(value("glaze.unity.BaO"), "0");
}

#[test]
fn an_untaken_branch_is_read_too() {
    assert_eq!(
        body("if false {\n  let x = glaze.parts;\n  print(glaze.untiy.SiO2);\n}"),
        "5:15 a glaze has no `untiy` | did you mean `unity`?"
    );
    assert_eq!(
        body("if false { print(alkali); }"),
        "3:18 nothing here is called `alkali` | make it with `let`; a text goes in quotes"
    );
    assert_eq!(
        body("if false { print(fixd(2.0, 1)); }"),
        "3:18 there is no function `fixd` | did you mean `fixed`?"
    );
    assert_eq!(
        body("if false { [1].map(|x| glaze.nmae); }"),
        "3:30 a glaze has no `nmae` | did you mean `name`?"
    );
}

#[test]
fn what_a_helper_function_is_handed_is_known_in_it() {
    let text = check("helper(glaze);") + "fn helper(g) {\n  deeper(g.unity)\n}\nfn deeper(u) {\n  u.Al203\n}\n";
    assert_eq!(
        loading(&text),
        "9:5 amounts of oxides have no `Al203` | did you mean `Al2O3`?"
    );
}

#[test]
fn unlike_kinds_are_not_compared() {
    assert_eq!(
        body("if \"2\" < 3 { }"),
        "3:8 a text can't be compared with a number | a text becomes a number with `to_number(text)`; a cone with `cone_number(text)`"
    );
    assert_eq!(
        body("if glaze.cone > 3 { }"),
        "3:15 a text can't be compared with a number | a text becomes a number with `to_number(text)`; a cone with `cone_number(text)`"
    );
    assert_eq!(
        running("if glaze.peak > 3 { }"),
        "3:15 nothing, `()` can't be compared with a number | a value that isn't known is `()`; ask first: `if x != () { ... }`"
    );
    assert_eq!(
        body("if glaze.cone == 9 { }"),
        "3:15 a text can't be compared with a number | a text becomes a number with `to_number(text)`; a cone with `cone_number(text)`"
    );
    assert_eq!(value("glaze.peak == ()"), "true");
    assert_eq!(value("cone_number(glaze.cone) == 9"), "true");
}

#[test]
fn numbers_are_numbers() {
    for (expression, shown) in [
        ("5/2", "2.5"),
        ("6/3", "2"),
        ("sqrt(2) > 1.41", "true"),
        ("3 == 3.0", "true"),
        ("[3, 1.5, 2].sorted()", "[1.5, 2, 3]"),
        ("0.1 + 0.2", "0.3"),
        ("fixed(-0.001, 2)", "0.00"),
        ("round(2.5)", "3"),
        ("[1, 2.5].sum()", "3.5"),
        ("2 ** 0.5 < 1.42", "true"),
        ("7 % 4", "3"),
        ("max(1, 2.5)", "2.5"),
        ("[10, 20, 30][round(6 / 3)]", "30"),
        ("steps(0, 1, 3)", "[0, 0.5, 1]"),
        ("`${1.0}`", "1"),
        ("\"a\" + 1.5", "a1.5"),
    ] {
        assert_eq!(value(expression), shown, "{expression}");
    }
    assert!(value("1/0").starts_with("3:25 division by zero"), "{}", value("1/0"));
    assert!(
        value("sqrt(-1)").contains("`sqrt` gives no number here"),
        "{}",
        value("sqrt(-1)")
    );
    assert_eq!(value("9223372036854775807 + 1"), "9223372037000000000");
}

#[test]
fn a_sum_of_sixty_terms_is_fine() {
    let sum = vec!["glaze.unity.SiO2"; 60].join(" + ");
    assert_eq!(body(&format!("let x = {sum};")), "loads");
    assert_eq!(value(&vec!["1"; 60].join(" + ")), "60");
}

#[test]
fn literal_constants_are_seen_inside_functions_and_closures() {
    let text = "const ABOUT = #{ api: 1, kind: \"check\", title: \"t\" };
const MOST = 0.5;
const RANGES = #{ SiO2: [3, 5] };
fn check(glaze, option) {
    let found = [1].map(|x| x * MOST + RANGES.SiO2[0]);
    glaze.caution(\"it\", `${found[0]} ${helper()} ${materials.contains(\"whiting\")}`);
}
fn helper() { [1, 2].filter(|x| materials.contains(\"kaolin\") && x > MOST * 3).len }
";
    let scene = support::scene();
    let glaze = support::glaze(&scene, support::CLEAR);
    let script = load(text).unwrap_or_else(|why| panic!("{}", said(&why)));
    let checked = script
        .check(&glaze, &scene, &[])
        .unwrap_or_else(|why| panic!("{why:?}"));
    let messages: Vec<&str> = checked
        .findings
        .iter()
        .filter_map(|found| found.message.text())
        .collect();
    assert_eq!(messages, ["3.5 1 true"], "{:?}", checked.failure);
    assert_eq!(checked.findings.first().and_then(|found| found.line), Some(6));
}

#[test]
fn constants_and_values_of_the_engine_are_read_only() {
    assert_eq!(
        body("glaze.unity.SiO2 = 5;"),
        "3:13 amounts of oxides can't be changed | values from the engine are read only; `glaze.with_part` and `glaze.with_addition` make new recipes"
    );
    assert_eq!(
        body("ABOUT = 3;"),
        "3:1 `ABOUT` can't be changed | make a copy first: `let copy = ...`"
    );
}

#[test]
fn methods_properties_and_counts_are_checked() {
    assert_eq!(
        body("glaze.name();"),
        "3:7 a glaze has no `name(...)` | `name` is read without brackets: `.name`"
    );
    assert_eq!(
        body("print(glaze.holds);"),
        "3:13 a glaze has no `holds` | `holds` is called: `.holds(...)`"
    );
    assert_eq!(
        body("glaze.cuation(\"a\", \"b\");"),
        "3:7 a glaze has no `cuation(...)` | did you mean `caution`?"
    );
    assert_eq!(
        body("print(fixed(2.0));"),
        "3:7 `fixed` takes (x, decimals), it is given 1 value | such as `fixed(2.3456, 2) == \"2.35\"`"
    );
    assert_eq!(
        body("print(glaze.SiO2);"),
        "3:13 a glaze has no `SiO2` | the unity formula has it: `glaze.unity.SiO2`"
    );
    assert_eq!(
        body("for part in glaze.parts { print(part.soluble); }"),
        "3:38 a line of a recipe has no `soluble` | the material has it: `part.material.soluble`"
    );
    assert_eq!(
        body("for part in glaze.parts { print(part.material.solubel); }"),
        "3:47 a material has no `solubel` | did you mean `soluble`?"
    );
    assert_eq!(
        body("print(SiO2);"),
        "3:7 nothing here is called `SiO2` | the unity formula has it: `glaze.unity.SiO2`"
    );
}

#[test]
fn a_function_can_not_hide_what_a_value_has() {
    let text = check("") + "fn holds(name) { true }\n";
    assert_eq!(
        loading(&text),
        "5:4 `holds` would be called in place of what a glaze has by that name | give the function another name"
    );
}

#[test]
fn about_is_read_strictly() {
    let about = |inside: &str| {
        loading(&format!(
            "const ABOUT = #{{ {inside} }};\nfn check(glaze, option) {{ }}\n"
        ))
    };
    assert_eq!(about("api: 1, kind: \"check\", title: \"t\""), "loads");
    assert_eq!(
        about("api: 2, kind: \"check\", title: \"t\""),
        "1:23 this Glost opens door 1 to scripts, not this one | `api: 1`; a script for a later door needs a later Glost"
    );
    assert_eq!(
        about("api: 1, kind: \"chek\", title: \"t\""),
        "1:32 `chek` is no kind of script | did you mean `check`?"
    );
    assert_eq!(
        about("api: 1, kind: \"check\", titel: \"t\""),
        "1:41 `ABOUT` has no `titel` | did you mean `title`?"
    );
    assert!(
        about("api: 1, kind: \"check\"").starts_with("1:15 `ABOUT` lacks `title`"),
        "{}",
        about("api: 1, kind: \"check\"")
    );
    assert_eq!(
        about("api: 1, kind: \"check\", title: \"t\", uses: [\"tablewear\"]"),
        "1:60 `tablewear` is no use that Glost knows | did you mean `tableware`?"
    );
    assert_eq!(
        about("api: 1, kind: \"check\", title: \"t\", options: #{ most: #{ value: 3, maxx: 2 } }"),
        "1:84 an option has no `maxx` | did you mean `max`?"
    );
    assert_eq!(
        about("api: 1, kind: \"check\", title: \"t\", options: #{ most: #{ value: 3, max: 2 } }"),
        "1:81 `most` can't be 3 | it goes up to 2"
    );
    assert!(about("api: 1, kind: \"check\", title: 1 + 1").contains("has to be written out"));
    assert_eq!(
        loading("fn check(glaze, option) { }"),
        "1:1 the script doesn't say what it is: there is no `const ABOUT` | begin it with `const ABOUT = #{ api: 1, kind: \"check\", title: \"...\", source: \"...\" };`"
    );
}

#[test]
fn only_const_and_fn_stand_at_the_top() {
    let about = "const ABOUT = #{ api: 1, kind: \"check\", title: \"t\" };\n";
    assert_eq!(
        loading(&format!("{about}let x = 3;\nfn check(glaze, option) {{ }}")),
        "2:1 only `const`, `fn` and `import` stand at the top of a script | put it into a function"
    );
    assert_eq!(
        loading(&format!("{about}fn chekc(glaze, option) {{ }}")),
        "2:4 a script of kind `check` needs `fn check(glaze, option)` | is `chekc` meant? Then call it `check`"
    );
    assert_eq!(
        loading(&format!("{about}fn check(glaze) {{ }}")),
        "2:4 `check` takes two parameters: `fn check(glaze, option)` | the engine hands all of them over, used or not"
    );
    assert_eq!(
        loading(&format!("{about}fn check(glaze, option) {{ if }}"))
            .split(' ')
            .next(),
        Some("2:30")
    );
}

#[test]
fn options_are_typed_and_ranged() {
    let text = "const ABOUT = #{ api: 1, kind: \"check\", title: \"t\", options: #{
    most: #{ value: 0.35, unit: \"mol\", min: 0, max: 1, help: \"h\" },
    surface: #{ value: \"gloss\", choices: [\"gloss\", \"matt\"] },
    strict: #{ value: false },
} };
fn check(glaze, option) { glaze.caution(\"it\", `${option.most} ${option.surface} ${option.strict}`); }
";
    let script = load(text).unwrap_or_else(|why| panic!("{}", said(&why)));
    let scene = support::scene();
    let glaze = support::glaze(&scene, support::CLEAR);
    let with = |name: &str, value: &str| -> String {
        match script.check(&glaze, &scene, &[(name.to_owned(), value.to_owned())]) {
            Ok(checked) => checked.findings[0].message.text().unwrap().to_owned(),
            Err(failure) => {
                assert_eq!((failure.kind, failure.exit_code()), (FailureKind::DoesNotLoad, 2));
                said(&failure.diagnostic)
            }
        }
    };
    assert_eq!(with("most", "0,5 mol"), "0.5 gloss false");
    assert_eq!(with("strict", "yes"), "0.35 gloss true");
    assert_eq!(with("most", "2"), "nowhere `most` can't be 2 | it goes from 0 to 1 mol");
    assert_eq!(
        with("most", "nan").split(" |").next(),
        Some("nowhere `most` should be a number, not `nan`")
    );
    assert_eq!(
        with("mots", "0.2"),
        "nowhere the script has no option `mots` | did you mean `most`?"
    );
    assert_eq!(
        with("surface", "mat"),
        "nowhere `surface` can't be `mat` | did you mean `matt`?"
    );
    assert_eq!(
        loading(&text.replace("option.most", "option.mots")),
        "6:57 the script has no option `mots` | did you mean `most`?"
    );
}

#[test]
fn a_stray_return_value_is_told() {
    assert_eq!(
        running("glaze.unity.SiO2 > 3"),
        "2:4 `check` gives back true or false, and nobody reads it | a check speaks through `glaze.caution(...)`, `glaze.fail(...)`; what its last line makes is thrown away, with `;` or without"
    );
}

#[test]
fn a_check_that_breaks_is_never_silence() {
    assert_eq!(
        running("let x = [1];\nx[3];"),
        "4:3 the list has 1 item, there is no item 3 | items count from 0; the last is `list[-1]`"
    );
    assert_eq!(running("throw \"no idea\";"), "3:1 no idea | no help");
    assert_eq!(
        running("print(materials[\"whitting\"].name);"),
        "3:16 no material is called `whitting` | did you mean `whiting`?"
    );
    assert_eq!(
        running("let m = #{ a: 1 }; m.b + 1;"),
        "3:22 this table has no `b` | `contains` asks whether it has"
    );
}

#[test]
fn a_powder_nobody_tells_of_is_not_checked() {
    let scene = support::scene();
    let glaze = support::glaze(&scene, support::BOUGHT);
    let script = load(&check("if glaze.unity.SiO2 > 3 { glaze.fail(\"a\", \"b\"); }"))
        .unwrap_or_else(|why| panic!("{}", said(&why)));
    let checked = script
        .check(&glaze, &scene, &[])
        .unwrap_or_else(|why| panic!("{why:?}"));
    let found = &checked.findings[0];
    assert_eq!((found.level, &*found.subject), (Level::NotChecked, "bought clear"));
    assert!(found.message.text().unwrap().contains("bought clear"));
    assert!(checked.failure.is_none());
}

#[test]
fn words_of_other_languages_are_free_and_some_are_barred() {
    assert_eq!(
        body("let match = 1; let default = 2; let use = match + default; print(#{ with: use, is: 1 });"),
        "loads"
    );
    assert!(body("eval(\"1\");").contains("`eval` isn't available to scripts"));
    assert_eq!(value("glaze.use"), "tableware");
}

#[test]
fn too_long_a_script_is_refused() {
    let long = format!("{}{}", check(""), "// filler\n".repeat(7_000));
    assert!(loading(&long).contains("64 KB is the most"), "{}", loading(&long));
    assert_eq!(
        Script::load("x", glost_chemistry::diagnostic::Source::from_text("x", ""))
            .err()
            .map(|why| why.code),
        Some("no-about")
    );
}

#[test]
fn a_case_that_can_never_come_true_is_told() {
    assert_eq!(
        body("switch glaze.cone {\n  \"04\" => print(1), // low, 4 => high\n  9 => print(2),\n  _ => print(3)\n}"),
        "5:3 this case is a number, but the switch is over a text: it is never taken | a cone is a text: `\"6\" => ...`"
    );
    assert_eq!(
        body("switch glaze.cone { \"9\" => { print([1, 2]); } \"6\" => print(2), _ => print(3) }"),
        "loads"
    );
}

#[test]
fn what_is_right_elsewhere_is_explained() {
    assert_eq!(
        body("if glaze.known and true { }"),
        "3:16 `{` is missing to start a statement block | and is written `&&`"
    );
    assert_eq!(
        body("let x = null;"),
        "3:9 `null` isn't available to scripts | nothing is written `()`"
    );
    assert_eq!(
        body("let l = [1]; l.append(3);"),
        "3:16 a list has no `append(...)` | did you mean `push`?"
    );
    assert_eq!(
        body("if glaze.unity.SiO2 = 3 { }"),
        "3:21 `=` gives a name its value, it doesn't compare | did you mean `==`?"
    );
    assert_eq!(
        body("if glaze.unity.SiO2 { }"),
        "3:16 true or false is needed here, this is a number | compare it with something: `x > 0`"
    );
    assert_eq!(
        body("print(materials.whiting);"),
        "3:17 the materials have no `whiting` | a material is asked for in brackets: `materials[\"whiting\"]`"
    );
}

#[test]
fn a_closure_that_looks_at_its_own_chain_is_told_how_to_do_it() {
    let scene = support::scene();
    let script = load(&check(
        "let u = glaze.unity; glaze.nothing(\"n\", `${u.present.filter(|name| u[name] > 1).len}`);",
    ))
    .unwrap_or_else(|why| panic!("{why:?}"));
    let checked = script.check(&support::glaze(&scene, support::CLEAR), &scene, &[]);
    let failure = checked.unwrap_or_else(|why| panic!("{why:?}")).failure;
    let said = failure
        .map(|failure| support::said(&failure.diagnostic))
        .unwrap_or_default();
    assert!(said.contains("take the list out first"), "{said}");
}

/// What a swap says of a recipe, and what it costs, can be claimed in its tests.
#[test]
fn a_test_sees_why_a_recipe_is_proposed_and_what_it_costs() {
    let text = r#"const ABOUT = #{ api: 1, kind: "swap", title: "t", source: "s" };
fn swap(glaze, option) {
    let found = materials.solve(#{ match: glaze, without: request.out, with: request.with, show: 1 });
    let said = |one| #{ glaze: one.glaze, why: `${fixed(one.glaze.cost, 2)} a kg without ${request.out[0]}` };
    found.map(said)
}
fn test_why(t) {
    let prices = #{ "potash feldspar": #{ price: "2 EUR/kg" }, "silica": #{ price: "1 EUR/kg" },
        "wollastonite": #{ price: "3 EUR/kg" }, "kaolin": #{ price: "1 EUR/kg" }, "whiting": #{ price: "1 EUR/kg" } };
    let old = #{ parts: #{ "potash feldspar": 40, "silica": 28, "whiting": 20, "kaolin": 12 } };
    let found = t.among(#{ materials: prices }).asked(#{ out: ["whiting"], with: ["wollastonite"] }).swap(old);
    t.claim(found[0].why.contains("without whiting"), found[0].why);
    t.near(found[0].cost, to_number(found[0].why.split(" ")[0]), 0.006);
    t.claim(found[0].with_part("silica", 3).why == (), "another recipe has no reason yet");
}
"#;
    let script = Script::load(
        "swap/mine",
        glost_chemistry::diagnostic::Source::from_text("mine.rhai", text),
    );
    let outcomes = script
        .unwrap_or_else(|why| panic!("{why:?}"))
        .run_tests(&support::scene());
    assert!(outcomes.iter().all(glost_script::TestOutcome::passed), "{outcomes:?}");
}
