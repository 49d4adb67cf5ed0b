//! Right scripts load: what only the run can tell is left to the run.

mod support;

use support::{check, told};

const ABOUT: &str = "const ABOUT = #{ api: 1, kind: \"check\", title: \"t\" };\n";

/// Functions that a check has beside its entry, and the entry's body.
const RIGHT: [(&str, &str); 18] = [
    (
        "fn show(g, low, high) { print(fixed(low, 1)); if high != () { print(fixed(high, 1)); } }",
        "show(glaze, 2, ());",
    ),
    ("const MOST = ();", "if MOST != () { print(round(MOST)); }"),
    ("const NAMES = ();", "if NAMES != () { print(NAMES.len); }"),
    (
        "fn f(v) { if v == () { return 0; } round(v) }",
        "[1, ()].map(f); f(());",
    ),
    ("fn f(v) { v.len }", "print([\"a\"].map(f)); print(f([1]));"),
    ("fn f(v) { v.len() }", "let g = f; print(g.call([1])); f(());"),
    (
        "fn num(v) { if type_of(v) == \"string\" { return v.len; } round(v) }",
        "print(num(2)); print(num(3));",
    ),
    ("fn f(v) { let w = v; for x in [w] { print(round(x)); } }", "f(\"a\");"),
    (
        "",
        "let n = (); [1.5, 2].map(|x| { n = x; x }); if n != () { print(fixed(n, 2)); }",
    ),
    ("", "let t = \"\"; [1].map(|x| { t = 4; x }); print(round(t));"),
    (
        "",
        "let hit = (); [1].any(|x| { hit = \"big\"; true }); print(hit.len);",
    ),
    (
        "",
        "let n = (); [1].map(|x| [2].map(|y| { n = \"a\"; y })); print(n.len);",
    ),
    ("", "for x in glaze.parts { x = 3; print(round(x)); }"),
    (
        "fn num(v) { try { return round(v); } catch { return 0; } }",
        "print(num([1, 2]));",
    ),
    (
        "fn small(v) { if v < 3 { 1 } else { 2 } }",
        "try { print(small(\"a\")); } catch { print(0); }",
    ),
    ("", "try { print(round([1])); } catch (why) { print(why); }"),
    ("", "try { print(2 - \"a\"); } catch (why) { print(why); }"),
    ("", "try { if round(2) { print(2 < \"a\"); } } catch { print(1); }"),
];

#[test]
fn what_may_be_right_is_left_to_the_run() {
    for (functions, body) in RIGHT {
        let text = [functions, "\n", &check(body)].concat();
        assert_eq!(told(&text), "loads", "{functions} {body}");
    }
}

#[test]
fn what_an_entry_is_handed_under_another_name_is_unknown() {
    let cases = [
        (
            "fn check(g, o) { if g.unity.SiO2 > 300 { g.caution(\"a\", \"b\"); let q = option.foo; print(q); } }",
            "2:71 nothing here is called `option` | `check` hands it over by the name `o`",
        ),
        (
            "fn check(g, o) { if g.unity.SiO2 > 300 { glaze.caution(\"a\", \"b\"); print(o); } }",
            "2:42 nothing here is called `glaze` | `check` hands it over by the name `g`",
        ),
        (
            "fn check(g) { print(glaze.name); print(option); }",
            "2:4 `check` takes two parameters: `fn check(glaze, option)` | the engine hands all of them over, used or not\n2:21 nothing here is called `glaze` | `check` alone is handed it: hand it on to this function",
        ),
        (
            "fn check(option) { print(glaze.name); print(option); }",
            "2:4 `check` takes two parameters: `fn check(glaze, option)` | the engine hands all of them over, used or not",
        ),
        (
            "fn check() { print(glaze.name); print(option); }",
            "2:4 `check` takes two parameters: `fn check(glaze, option)` | the engine hands all of them over, used or not",
        ),
    ];
    for (function, wanted) in cases {
        assert_eq!(told(&[ABOUT, function, "\n"].concat()), wanted, "{function}");
    }
}
