//! Two and three slips in one script: each is told at its line in one run, and nothing else.

use std::collections::BTreeSet;

use glost_chemistry::diagnostic::Source;
use glost_script::{SHIPPED, Script};

/// Of how many places for one slip one is tried.
const ONE_OF: usize = 10;
/// How many scripts with several slips are tried for each count.
const TRIED: usize = 100;

/// A place where somebody slipped, and the line where that shows.
#[derive(Clone)]
struct Slip {
    line: usize,
    shows: usize,
    text: String,
    what: &'static str,
}

/// A line with one slip in it, where it has what that slip needs.
type Way = fn(&str) -> Option<String>;

const WAYS: [(&str, Way); 17] = [
    ("no ;", |line| line.strip_suffix(';').map(str::to_owned)),
    ("and", |line| replaced(line, " && ", " and ")),
    ("or", |line| replaced(line, " || ", " or ")),
    ("elif", |line| replaced(line, "else if ", "elif ")),
    ("===", |line| replaced(line, " == ", " === ")),
    ("!==", |line| replaced(line, " != ", " !== ")),
    ("= for ==", |line| {
        replaced(line.contains("if ").then_some(line)?, " == ", " = ")
    }),
    ("no )", |line| last_without(line, ')')),
    ("two )", |line| replaced(line, ");", "));")),
    ("no closing quote", |line| {
        (!line.contains('`')).then(|| last_without(line, '"'))?
    }),
    ("single quotes", |line| {
        (line.matches('"').count() == 2).then(|| line.replace('"', "'"))
    }),
    ("function", |line| replaced(line, "fn ", "function ")),
    ("def", |line| replaced(line, "fn ", "def ")),
    ("var", |line| replaced(line, "let ", "var ")),
    ("no ,", |line| {
        (!line.trim_start().starts_with("for")).then(|| replaced(line, ", ", " "))?
    }),
    ("null", |line| replaced(line, " ();", " null;")),
    ("misspelt", misspelt),
];

fn replaced(line: &str, from: &str, to: &str) -> Option<String> {
    line.contains(from).then(|| line.replacen(from, to, 1))
}

fn last_without(line: &str, sign: char) -> Option<String> {
    let at = line.rfind(sign)?;
    Some(format!("{}{}", &line[..at], &line[at + 1..]))
}

/// Two letters change places in what comes after the first dot.
fn misspelt(line: &str) -> Option<String> {
    let at = line
        .find("glaze.")
        .or_else(|| line.find("option."))
        .or_else(|| line.find("t."))?;
    let from = at + line[at..].find('.')? + 1;
    let letters: Vec<char> = line[from..]
        .chars()
        .take_while(|sign| sign.is_alphanumeric() || *sign == '_')
        .collect();
    let swapped = (letters.len() > 4 && letters[2] != letters[3]).then(|| {
        let mut swapped = letters.clone();
        swapped.swap(2, 3);
        swapped.iter().collect::<String>()
    })?;
    Some(format!("{}{}{}", &line[..from], swapped, &line[from + letters.len()..]))
}

/// Lines that a script's complaints are about.
fn told(name: &str, lines: &[String]) -> BTreeSet<usize> {
    match Script::load_or_mistakes(name, Source::from_text(name, &lines.join("\n"))) {
        Ok(_) => BTreeSet::new(),
        Err(faults) => faults
            .iter()
            .map(|fault| fault.place.as_ref().map_or(0, |place| place.mark.line))
            .collect(),
    }
}

/// All places of a script where somebody might slip.
fn slips(text: &str) -> Vec<Slip> {
    let lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let mut found = Vec::new();
    let mut add = |line: usize, shows: usize, text: String, what| {
        found.push(Slip {
            line,
            shows,
            text,
            what,
        })
    };
    for (index, line) in lines
        .iter()
        .enumerate()
        .filter(|(_, line)| !line.trim_start().starts_with("//"))
    {
        let code = line.split(" // ").next().unwrap_or(line).trim_end();
        for (what, way) in WAYS {
            if let Some(text) = way(code) {
                add(index + 1, index + 1, text, what);
            }
        }
        if let Some(head) = code.strip_suffix(" {") {
            let indent = line.len() - line.trim_start().len();
            add(index + 1, index + 1, head.to_owned(), "no {");
            // Without its `}` the opening one is shown.
            let own = |line: &&String| line.trim_end() == format!("{}}}", " ".repeat(indent));
            if let Some(close) = lines[index..].iter().position(|line| own(&line)) {
                let between = &lines[index + 1..index + close];
                if between
                    .iter()
                    .all(|line| line.len() - line.trim_start().len() > indent || line.is_empty())
                {
                    add(index + close + 1, index + 1, String::new(), "no }");
                    add(
                        index + close + 1,
                        index + close + 1,
                        format!("{}}} }}", " ".repeat(indent)),
                        "two }",
                    );
                }
            }
        }
    }
    found
}

/// Numbers that are the same in every run.
struct Dice(u64);

impl Dice {
    fn throw(&mut self, sides: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap_or(0) % sides.max(1)
    }
}

/// The lines that are told of a script with slips.
fn told_with(name: &str, text: &str, slips: &[&Slip]) -> BTreeSet<usize> {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for slip in slips {
        lines[slip.line - 1].clone_from(&slip.text);
    }
    told(name, &lines)
}

/// What isn't told as it stands: the slips, and the lines that are told.
fn wrong(name: &str, text: &str, slips: &[&Slip]) -> Option<String> {
    let wanted: BTreeSet<usize> = slips.iter().map(|slip| slip.shows).collect();
    let found = told_with(name, text, slips);
    let slip = |slip: &&Slip| format!("  {}: {} [{}]", slip.shows, slip.text, slip.what);
    let slips: Vec<String> = slips.iter().map(slip).collect();
    (found != wanted).then(|| format!("{name}: told {found:?}\n{}", slips.join("\n")))
}

/// Whether a slip keeps a script from loading.
fn is_one(name: &str, text: &str, slip: &Slip) -> bool {
    !told_with(name, text, &[slip]).is_empty()
}

#[test]
fn one_slip_is_told_at_its_line_and_nothing_else() {
    let (mut tried, mut all, mut dice) = (0, Vec::new(), Dice(3));
    for (name, text) in SHIPPED {
        for slip in slips(text) {
            if dice.throw(ONE_OF) == 0 && is_one(name, text, &slip) {
                tried += 1;
                all.extend(wrong(name, text, &[&slip]));
            }
        }
    }
    assert!(all.is_empty(), "{} of {tried}\n{}", all.len(), all.join("\n"));
    assert!(tried > 400, "only {tried} slips were tried");
}

#[test]
fn several_slips_are_told_in_one_run() {
    let scripts = SHIPPED.map(|(name, text)| (name, text, slips(text)));
    let (mut dice, mut all) = (Dice(11), Vec::new());
    for count in [2, 3] {
        for _ in 0..TRIED {
            let (name, text, slips) = &scripts[dice.throw(scripts.len())];
            let mut taken: Vec<&Slip> = Vec::new();
            while taken.len() < count {
                let slip = &slips[dice.throw(slips.len())];
                // (A `{` and a `}` that are missing make up for each other.)
                let braces = |slip: &Slip| slip.what.ends_with(['{', '}']);
                let apart = taken.iter().all(|other| {
                    let both = braces(other) && braces(slip);
                    !both && other.line != slip.line && other.shows != slip.shows
                });
                if apart && is_one(name, text, slip) {
                    taken.push(slip);
                }
            }
            all.extend(wrong(name, text, &taken));
        }
    }
    assert!(all.is_empty(), "{} of {}\n{}", all.len(), 2 * TRIED, all.join("\n"));
}
