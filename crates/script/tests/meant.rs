//! Slips of a newcomer who has the reference alone: each told as what it is, with the cure.

mod support;

use glost_chemistry::diagnostic::Source;
use glost_script::Script;
use support::{check, said, told};

/// What a check with this body is told of, at load, and what tells it.
const BODIES: [(&str, &str); 44] = [
    (
        "let x = 0,5;",
        "3:10 numbers are written with a point, not a comma | `0.5` is meant",
    ),
    (
        "if glaze.unity.SiO2 < 2,5 { print(1); }",
        "3:24 numbers are written with a point, not a comma | `2.5` is meant",
    ),
    (
        "print(“hello”);",
        "3:7 `“` is a quote of word processors | write straight quotes: \"...\"",
    ),
    (
        "let x = 5%;",
        "3:10 `%` is what a division leaves, no per cent | write the number alone; a share of 5 % is `0.05`",
    ),
    (
        "let fn = 3;",
        "3:5 `fn` is a word of the language and no name | take another name: letters, digits and `_`",
    ),
    (
        "print(`a ${1 + } b`);",
        "3:16 a value is missing before this | what joins two values stands between them",
    ),
    (
        "let x = .5;",
        "3:9 a number begins with a digit | write `0.5`, not `.5`",
    ),
    (
        "if 2 <> 3 { print(1); }",
        "3:7 there is no `<>` | unequal is written `!=`",
    ),
    (
        "let a = 4; if a > 3 && < 5 { print(1); }",
        "3:24 a comparison names both its sides | write the value again: `x > 3 && x < 5`",
    ),
    (
        r#"print("a\qb");"#,
        r#"3:10 `\q` means nothing in a text | `\n` begins a line, `\"` is a quote, `\\` is `\` itself"#,
    ),
    (
        r#"print("say "hello" now");"#,
        r#"3:13 the text ends before this | a quote inside a text is written `\"`, or the text stands in backticks"#,
    ),
    (
        "if glaze.known print(1);",
        "3:16 `{` is missing before this | what is done stands in `{` and `}`",
    ),
    (
        "let r = #{ SiO2:Al2O3: [2, 3] }; print(r);",
        "3:22 a name with `:` in it stands in quotes | write `\"SiO2:Al2O3\": [7, 12]`",
    ),
    (
        "Let u = 3;",
        "3:1 `Let` is written `let` | words of the language are written small",
    ),
    (
        "let x = 2.6; if 2.5 < x < 3 { print(1); }",
        "3:25 true or false can't be compared with a number | two comparisons are joined by `&&`: `2 < x && x < 3`",
    ),
    (
        "print(glaze.parts.length);",
        "3:19 the lines of a recipe have no `length` | did you mean `len`?",
    ),
    (
        "print(glaze.unity[\"SiO2:Al2O3\"]);",
        "3:19 amounts of oxides have no `SiO2:Al2O3` | a ratio is asked for by its name: `glaze.unity.silica_to_alumina`",
    ),
    (
        "print(studio.notes);",
        "3:7 nothing here is called `studio` | only a script of kind `run` is handed it: `fn run(studio, option)`",
    ),
    (
        "for k in #{a: 1} { print(k); }",
        "3:10 a list, the parts of a glaze, or a range such as 0..5 is needed here, this is a table | of a table `table.keys()` lists the names",
    ),
    (
        "glaze.caution(\"SiO2\");",
        "3:7 `caution` can't be called with a text | it is written `glaze.caution(subject, message)` or `glaze.caution(subject, message, value)` or `glaze.caution(finding)`",
    ),
    (
        "print(fixed(\"3\", 2));",
        "3:7 `fixed` can't be called with a text, a number | it is written `fixed(x, decimals)`",
    ),
    (
        "caution(\"a\", \"b\");",
        "3:1 `caution` is asked of a glaze | write `glaze.caution(...)`",
    ),
    (
        "let g = glaze; caution(\"a\", \"b\");",
        "3:16 `caution` is asked of a glaze | write `g.caution(...)`",
    ),
    (
        "print(round(1, 2, 3));",
        "3:7 `round` takes (x) or (x, decimals), it is given 3 values | no help",
    ),
    (
        "print([1, 2].map(|| 3));",
        "3:18 `map` hands over one value, this function takes none | write `map(|x| ...)`",
    ),
    (
        "let n = 2; print([1, 2].map(|x, i| x * n));",
        "3:29 `map` hands over one value, this function takes two | write `map(|x| ...)`",
    ),
    ("let n = 2; print([1, 2].map(|x| x * n));", "loads"),
    ("print([1, 2].reduce(|so_far, x| so_far + x, 0));", "loads"),
    (
        "glaze.caution(\"SiO2\", \"low\", glaze.unity.SiO2); glaze.caution(#{ subject: \"a\", message: \"b\" });",
        "loads",
    ),
    (
        "let x = [1 2]; // at least 5%",
        "3:12 `,` is missing before this | what is in a list, a table or brackets is parted by `,`",
    ),
    (
        "let a = [1, 2; // 50%",
        "3:13 `]` is missing after this | each bracket that is opened is closed",
    ),
    (
        "let s = \"over 5%, under\"; let y = foo bar;",
        "3:39 `;` is missing before this | end each line with `;`",
    ),
    (
        "let s = \"over 5%\" foo;",
        "3:19 `;` is missing before this | end each line with `;`",
    ),
    (
        "let x = [5%, 6]; print(x);",
        "3:11 `%` is what a division leaves, no per cent | write the number alone; a share of 5 % is `0.05`",
    ),
    (
        "print(round(5%));",
        "3:14 `%` is what a division leaves, no per cent | write the number alone; a share of 5 % is `0.05`",
    ),
    (
        "if glaze.unity.SiO2 > 5% { print(1); }",
        "3:24 `%` is what a division leaves, no per cent | write the number alone; a share of 5 % is `0.05`",
    ),
    (
        "if glaze.unity.SiO2 > 0.5% {\n    print(1); // 5%\n}",
        "3:26 `%` is what a division leaves, no per cent | write the number alone; a share of 5 % is `0.05`",
    ),
    (
        "let a = \"it’s fine\"; let b = ’x’;",
        "3:30 `’` is a quote of word processors | write straight quotes: \"...\"",
    ),
    (
        "let a = 1,000;",
        "3:10 numbers are written with a point, not a comma | write `1000` or `1.000`, whichever is meant",
    ),
    (
        "let a = 1,000,000;",
        "3:10 numbers are written with a point, not a comma | `1000000` is meant",
    ),
    (
        "let 2nd = 3;",
        "3:5 `2nd` begins with a digit, a name with a letter | take another name: letters, digits and `_`",
    ),
    (
        "let t = #{ a: 1 : 2 };",
        "3:17 `:` has no place here: what stands before it is a value | what is in a table is parted by `,`: `#{ a: 1, b: 2 }`",
    ),
    (
        "let x = 2; if x<-1 { print(1); }",
        "3:16 there is no `<-` here | put a blank before the sign of the number: `x < -1`",
    ),
    (
        "let t = #{ a: 1, K2O:Na2O: 2 };",
        "3:26 a name with `:` in it stands in quotes | write `\"SiO2:Al2O3\": [7, 12]`",
    ),
];

#[test]
fn a_slip_is_told_as_what_it_is() {
    for (body, wanted) in BODIES {
        assert_eq!(told(&check(body)), wanted, "{body}");
    }
}

#[test]
fn slips_in_about_and_entry_are_told() {
    let end = "fn check(glaze, option) { }\n";
    let cases = [
        (
            ["const About = #{ api: 1, kind: \"check\", title: \"T\" };\n", end].concat(),
            "1:7 the script doesn't say what it is: `ABOUT` is written in capitals | did you mean `ABOUT`?",
        ),
        (
            ["const ABOUT = #{ api: 1, kind: check, title: \"T\" };\n", end].concat(),
            "1:32 `check` is a name, and what stands here is written out | a text stands in quotes: \"check\"",
        ),
        (
            ["const ABOUT = #{ api: 1, kind = \"check\", title: \"T\" };\n", end].concat(),
            "1:31 in a table a value stands behind `:`, not `=` | write `name: value`",
        ),
        (
            [
                "const ABOUT = #{ api: 1, kind: \"check\", title: \"T\", cones: \"5-7\" };\n",
                end,
            ]
            .concat(),
            "1:60 `cones`: `5-7` is no cone that Glost knows | did you mean `5..7`?",
        ),
        (
            "const ABOUT = #{ api: 1, kind: \"check\", title: \"T\" };\nfn check(glaze) { print(option); }\n"
                .to_owned(),
            "2:4 `check` takes two parameters: `fn check(glaze, option)` | the engine hands all of them over, used or not",
        ),
    ];
    for (text, wanted) in cases {
        assert_eq!(told(&text), wanted, "{text}");
    }
}

/// What a check with this body prints, or why it broke off.
fn printed(body: &str) -> String {
    let scene = support::scene();
    let glaze = support::glaze(&scene, support::CLEAR);
    let script = support::load(&check(body)).unwrap();
    let checked = script.check(&glaze, &scene, &[]).unwrap();
    let failure = checked.failure.map(|failure| said(&failure.diagnostic));
    failure.unwrap_or_else(|| checked.printed.join("\n"))
}

#[test]
fn what_is_caught_is_a_text() {
    let caught = [
        ("1 + ()", "`+` doesn't work between a number and nothing, `()`"),
        ("let q = \"a\"; q * 3", "`*` doesn't work between a text and a number"),
        ("let t = #{ a: 1 }; t.b", "this table has no `b`"),
        ("[1][4]", "the list has 1 item, there is no item 4"),
        ("throw \"own\"", "own"),
        ("1 / 0", "division by zero"),
    ];
    for (body, wanted) in caught {
        assert_eq!(
            printed(&["try { ", body, "; } catch (why) { print(why); }"].concat()),
            wanted
        );
    }
    // And behaves as one.
    let used = [
        ("why + \"!\"", "division by zero!"),
        ("\"a: \" + why", "a: division by zero"),
        ("`${why}`", "division by zero"),
        ("why.contains(\"zero\")", "true"),
        ("why == \"division by zero\"", "true"),
        ("why.len", "16"),
        ("[why]", "[\"division by zero\"]"),
        ("[1].map(|x| why + x)", "[\"division by zero1\"]"),
        ("type_of(why)", "string"),
    ];
    for (body, wanted) in used {
        let text = ["try { 1 / 0; } catch (why) { print(", body, "); }"].concat();
        assert_eq!(printed(&text), wanted, "{body}");
    }
    assert_eq!(
        printed("try { 1 + (); } catch (why) { why += \"!\"; print(why); }"),
        "`+` doesn't work between a number and nothing, `()`!"
    );
    assert_eq!(
        printed("try { 1 + (); } catch (why) { why = \"own\"; print(why); }"),
        "own"
    );
    assert_eq!(
        printed("try { try { 1 + (); } catch (a) { throw a + \"!\"; } } catch (b) { print(b); }"),
        "`+` doesn't work between a number and nothing, `()`!"
    );
    assert_eq!(
        printed("let why = #{ a: 1 }; try { throw why; } catch (why) { print(why.a); }"),
        "1"
    );
    // Thrown on, it keeps its cure.
    assert_eq!(
        printed("try { let t = #{ a: 1 }; t.b; } catch (why) { throw why; }"),
        "3:47 this table has no `b` | `contains` asks whether it has"
    );
    assert_eq!(
        printed("try { steps(0.3, 0.7, 1); } catch (why) { let copy = why; throw copy; }"),
        "3:59 `steps` takes 2 to 5000 steps, not 1 | both ends are counted in: `steps(0, 1, 3)` is [0, 0.5, 1]"
    );
    assert_eq!(
        printed("try { 1 + (); } catch (why) { throw why + \"!\"; }"),
        "3:31 `+` doesn't work between a number and nothing, `()`! | no help"
    );
}

#[test]
fn a_run_that_breaks_says_what_was_meant() {
    let cases = [
        (
            "let l = [1, 2]; print(l[1.5]);",
            "3:25 a whole number is needed here, this has decimals | `round(x)` makes it whole",
        ),
        (
            "let a = \"x\"; a[0] = \"y\";",
            "3:19 letters of a text can't be changed one by one | make a new text: `part` takes letters out of one, `+` joins them",
        ),
        (
            "let n = (); print(5 / n);",
            "3:21 `/` doesn't work between a number and nothing, `()` | a value that isn't known is `()`; ask first: `if x != () { ... }`",
        ),
        (
            "print(steps(0.3, 0.7, 1));",
            "3:7 `steps` takes 2 to 5000 steps, not 1 | both ends are counted in: `steps(0, 1, 3)` is [0, 0.5, 1]",
        ),
    ];
    for (body, wanted) in cases {
        assert_eq!(printed(body), wanted, "{body}");
    }
}

#[test]
fn a_range_that_is_none_says_why_at_its_line() {
    let cases = [
        ("[4, 2]", "the larger number stands first"),
        ("[2]", "it has one item only"),
        ("3", "it is a number, not a list"),
        ("[\"2\", \"3\"]", "one end is a text, not a number"),
        ("[(), ()]", "it has no bound at all"),
        (
            "[0.1, 0.3, \"if usedd\"]",
            "its third item is `if usedd`, and may be `if used` only",
        ),
    ];
    for (range, why) in cases {
        let text = [
            "const ABOUT = #{ api: 1, kind: \"limits\", title: \"T\" };\nfn limits(glaze, option) {\n    #{\n        CaO: [0.1, 0.9],\n        SiO2: ",
            range,
            ",\n    }\n}\n",
        ];
        let scene = support::scene();
        let glaze = support::glaze(&scene, support::CLEAR);
        let script = support::load(&text.concat()).unwrap();
        let failure = script.limits(&glaze, &scene, &[]).unwrap_err();
        let told = said(&failure.diagnostic);
        assert!(
            told.starts_with(&["5:9 the range of `SiO2` isn't `[low, high]`: ", why].concat()),
            "{told}"
        );
    }
}

#[test]
fn a_range_is_pointed_at_in_the_function_alone() {
    let about = "const ABOUT = #{ api: 1, kind: \"limits\", title: \"T\" };\n";
    let cases = [
        ("const BASE = #{ SiO2: 60 };\n", "#{ SiO2: [4, 2] }", "3:31"),
        ("", "let base = #{ SiO2: 60 }; print(base); #{ SiO2: [4, 2] }", "2:70"),
        ("", "#{ \"SiO2\": 3 }", "2:31"),
        (
            "",
            "if glaze.known { #{ SiO2: [4, 2] } } else { #{ SiO2: [4, 1] } }",
            "2:4",
        ),
        ("", "let r = #{}; r.SiO2 = [4, 2]; r", "2:4"),
        ("fn base() { #{ SiO2: [4, 2] } }\n", "base()", "3:4"),
    ];
    for (before, body, place) in cases {
        let text = [about, before, "fn limits(glaze, option) { ", body, " }\n"].concat();
        let scene = support::scene();
        let glaze = support::glaze(&scene, support::CLEAR);
        let failure = support::load(&text).unwrap().limits(&glaze, &scene, &[]).unwrap_err();
        let told = said(&failure.diagnostic);
        assert!(
            told.starts_with(&[place, " the range of `SiO2`"].concat()),
            "{body}: {told}"
        );
    }
}

/// A point put in for a comma makes another slip of it: the two took turns for ever.
#[test]
fn repairs_that_undo_each_other_come_to_an_end() {
    for text in ["0,5const ABOUT = #{ api: 1 };\nfn f() {}\n", "0,5const A\nlet"] {
        let mistakes = Script::load_or_mistakes("check/one", Source::from_text("one.rhai", text)).unwrap_err();
        assert_eq!(mistakes[0].place.as_ref().unwrap().mark.line, 1, "{mistakes:?}");
    }
}
