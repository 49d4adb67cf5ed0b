//! The language of scripts in one page: each point with an example that a test runs.

use crate::bounds::{Bounds, CALL_LEVELS, ITEMS_MOST, SOURCE_MOST_BYTES, TEXT_MOST_BYTES, VARIABLES_MOST};
use crate::command::USUAL;

/// A point about the language.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Point {
    /// What it is about.
    pub title: &'static str,
    /// What holds, in a sentence or two.
    pub about: &'static str,
    /// Lines of a function that show it; each `true` in it is claimed by a test.
    pub example: &'static str,
}

const fn point(title: &'static str, about: &'static str, example: &'static str) -> Point {
    Point { title, about, example }
}

/// The language, from names to what is left out.
pub const LANGUAGE: [Point; 16] = [
    point(
        "Names",
        "`let` makes a name, `=` gives it another value; each line ends with `;`. A `const` stands at the top of the script and is read everywhere in it.",
        "let grams = 3; grams += 0.5; grams == 3.5",
    ),
    point(
        "Numbers",
        "Whole or not makes no difference: 5 / 2 is 2.5. A power is `**`; numbers have no bits. `round`, `fixed` and the like are in the list below.",
        "5 / 2 == 2.5 && 10 % 4 == 2 && 2 ** 3 == 8",
    ),
    point(
        "Texts",
        "In double quotes. In backticks, `${...}` puts a value in, over several lines if need be. What isn't there, `()`, shows as `()` in backticks; joined by `+` it adds nothing.",
        "let oxide = \"SiO2\"; `${oxide} is ${fixed(3.456, 2)}` == \"SiO2 is 3.46\" && \"a\" + () == \"a\" && `${()}` == \"()\"",
    ),
    point(
        "If",
        "Braces are needed, brackets around the question aren't. It gives a value too: that is how one chooses between two.",
        "let ratio = 8; let reads = if ratio < 5 { \"matt\" } else if ratio < 7 { \"satin\" } else { \"gloss\" }; reads == \"gloss\"",
    ),
    point(
        "And, or, not",
        "`&&`, `||`, `!`; `==` compares, `=` doesn't. Unlike kinds never compare: an error, not a silent no.",
        "(3 > 2 && !(2 > 3)) || false",
    ),
    point(
        "Choosing among many",
        "`switch` takes the first case that fits; `_` is for all others. Where none fits and there is no `_`, it gives `()`.",
        "let metal = switch \"CuO\" { \"CuO\" => \"copper\", \"CoO\" => \"cobalt\", _ => \"another\" }; metal == \"copper\"",
    ),
    point(
        "Lists",
        "Items count from 0, the last is `list[-1]`. A list given to a function is a copy: give it back to see the change.",
        "let list = [3, 1]; list.push(2); list.len == 3 && list[0] == 3 && list[-1] == 2",
    ),
    point(
        "Tables",
        "`#{ name: value }`; `table.name` reads and sets. A key that isn't there is an error, `contains` asks.",
        "let table = #{ K2O: 0.3 }; table.CaO = 0.7; table.contains(\"CaO\") && table.K2O == 0.3",
    ),
    point(
        "For",
        "Goes through a list, the lines of a recipe, or a range; `0..3` ends before 3, `0..=3` with it. `break` leaves it, `continue` takes the next. `for (item, place) in list` counts from 0.",
        "let sum = 0; for n in 0..=3 { if n == 1 { continue; } sum += n; } for (n, place) in [5, 7] { sum += n * place; } sum == 12",
    ),
    point(
        "Other loops",
        "`while question { ... }`, `do { ... } while question;` and `loop { ... }`, which `break` ends. A loop without an end is ended with the script: see its bounds.",
        "let n = 1; while n < 10 { n *= 2; } loop { n -= 5; if n < 10 { break; } } n == 6",
    ),
    point(
        "Functions",
        "`fn name(a, b) { ... }` at the top. The last line is what it gives, or `return`. It sees its parameters and the constants, no other names.",
        "cone_number(\"6\") > cone_number(\"04\")",
    ),
    point(
        "Names of one's own functions",
        "A function may not take the name of a method in the list below with as many values, `least()` of a list for one: it would be called in its place. The script doesn't load then, and says so.",
        "[3, 1.5].least() == 1.5",
    ),
    point(
        "Functions without a name",
        "`|x| ...` is handed to methods of lists. In a variable it is called by `.call(...)`. Other than `fn`, it sees the names around it, and changes them.",
        "let double = |x| 2 * x; let sum = 0; [1, 2].map(|n| { sum += n; n }); sum == 3 && double.call(4) == 8 && [1, 2, 3].filter(|n| n > 1).len == 2",
    ),
    point(
        "Nothing",
        "`()` stands for what isn't there: a glaze without a cone has `glaze.cone == ()`. It never counts as 0.",
        "let nothing = (); nothing == ()",
    ),
    point(
        "Giving up",
        "`throw \"why\"` ends the script; a check is then *not checked*, never silent. `try { ... } catch (why) { ... }` goes on.",
        "let said = \"\"; try { throw \"no cone\"; } catch (why) { said = why; } said == \"no cone\"",
    ),
    point(
        "Comments and other files",
        "`//` to the end of the line. `import \"lib/cones\" as cones;` at the top makes the functions of `scripts/lib/cones.rhai` known as `cones::name(...)`; a library imports nothing itself.",
        "true // and so on",
    ),
];

/// What a run may use up, in numbers.
pub fn bounds_in_words() -> Vec<String> {
    let usual = Bounds::default();
    let studio = Bounds::for_studio(1);
    let a_note = Bounds::default().walking(1).operations - usual.operations;
    vec![
        format!(
            "{} steps a run; `run` scripts {} more for each glaze, {a_note} for each note or row",
            usual.operations,
            studio.operations - usual.operations
        ),
        format!(
            "{} s of the processor's time; all scripts of a command together {} s, and a little more for each glaze it goes through; `--script-time` gives them longer",
            usual.time.as_secs(),
            USUAL.as_secs()
        ),
        format!("{} MB of memory", usual.memory_bytes >> 20),
        format!("{CALL_LEVELS} calls inside each other, {VARIABLES_MOST} names at once"),
        format!(
            "{ITEMS_MOST} items in a list or table that the script makes; lists that the engine hands over have no such end"
        ),
        format!(
            "{} KB a text, all texts of one list or table together counted as one; {} KB of output",
            TEXT_MOST_BYTES >> 10,
            usual.output_bytes >> 10
        ),
        format!("{} KB a script", SOURCE_MOST_BYTES >> 10),
    ]
}

/// What isn't there, and is meant not to be.
pub const SEALED: &str = "This is meant: scripts read and write no files, know no network, no clock, no chance and no other program: the same glaze gives the same answer everywhere. `eval`, `export`, `curry` and `Fn` aren't there. Data come as tables, declared in `ABOUT`.";

/// What is said of scripts outside of them.
pub const AROUND: [&str; 5] = [
    "In studio.yaml: `scripts: { check/own-rule: { most: 0.3, level: note, because: \"...\" } }` sets options and what its cautions weigh (fail stays fail); `check/own-rule: off` turns a check, limits or a fault script off until it is named.",
    "In a glaze's file: `accepted: [{ finding: check/own-rule CuO, because: \"lab report 12\", until: 2027-06-01, of: ... }]` keeps a finding in sight and lets it weigh nothing; `glost check GLAZE --accept` writes it, with `of:`, by which it comes back when recipe, clay, firing, lot or rule change.",
    "Libraries: `scripts/lib/NAME.rhai` holds pure functions and their tests; they see neither `materials` nor `request`, and say nothing themselves.",
    "Packages: a folder with package.yaml (name, version, author, licence, api), scripts by kind, lib/, data/*.csv for declared tables, materials/*.yaml, glazes/*.yaml. `glost script add FOLDER` looks at it, runs its tests, asks, copies it and holds it to its bytes by scripts.lock; `update`, `remove`; `pack` writes NAME-VERSION.tar.gz into the folder one stands in.",
    "A script of the studio's own comes before one of a package by the same name. It sees the studio's libraries, not the package's: a copy needs a copy of `lib/` too. `hash` in answers is of the script's text with the libraries that it imports, 12 digits; scripts.lock holds those of single files of a package.",
];
