//! What loads and runs, and is hardly meant: names that nothing reads, results that are
//! thrown away, changes to a copy, names that hide what is always there, keys of ranges
//! that don't exist, tests that claim nothing. Told by `script test` and in editors.

use std::ops::Range;

use glost_chemistry::diagnostic::{Diagnostic, Source, is_no, of_typed, suggestion};
use glost_core::rules::Subject;

use crate::engine::entries;
use crate::kinds::Kind;
use crate::reference::belongs;
use crate::shelf::{Entry, Form};
use crate::sort::Sort;

use super::odd;
use super::sorts::{MOST_STEPS, Pieces};
use super::tokens::{Spot, Token};

/// Methods by which a test claims something.
const CLAIMS: [&str; 6] = ["expect", "expect_level", "expect_nothing", "equal", "near", "claim"];
/// What a test's name begins with.
const TEST: &str = "test_";

/// What a script's author should look at, in the order of the text.
pub fn lints(source: &Source) -> Vec<Diagnostic> {
    looked_at(source, true)
}

/// As [`lints`], but for tests that claim nothing: those say so when they run.
pub fn lints_beside_tests(source: &Source) -> Vec<Diagnostic> {
    looked_at(source, false)
}

fn looked_at(source: &Source, tests: bool) -> Vec<Diagnostic> {
    let start = glost_chemistry::diagnostic::Mark { line: 1, column: 1 };
    let spot = Spot::at(source, start);
    let pieces = Pieces::of(&spot);
    let mut found: Vec<(usize, Diagnostic)> = Vec::new();
    for function in functions(&pieces) {
        unread_names(&pieces, &function, &mut found);
        hidden_names(&pieces, &function, &mut found);
        dropped_results(&pieces, &function, &mut found);
        odd::made_again(&pieces, &function.body, &mut found);
        odd::never_reached(&pieces, &function.body, &mut found);
        odd::not_filled_in(source, &pieces, &function.body, &mut found);
        changed_copies(&pieces, &function, &mut found);
        if tests {
            claims_nothing(&pieces, &function, &mut found);
        }
    }
    unread_at_the_top(&pieces, &mut found);
    hiding_functions(&pieces, &mut found);
    unknown_ranges(&pieces, &mut found);
    found.sort_by_key(|(index, _)| *index);
    found.dedup_by_key(|(index, _)| *index);
    let placed = found.into_iter().map(|(index, what)| {
        let token = &spot.tokens[index];
        let width = token.word().or(token.text()).map_or(1, |word| word.chars().count());
        what.at(source, token.from, width)
    });
    placed.collect()
}

/// Whether a function reads a parameter of its own, counted from 0; true of one that isn't
/// there.
pub(crate) fn reads_parameter(source: &Source, function: &str, place: usize) -> bool {
    let start = glost_chemistry::diagnostic::Mark { line: 1, column: 1 };
    let spot = Spot::at(source, start);
    let pieces = Pieces::of(&spot);
    let all = pieces.tokens;
    let found = functions(&pieces)
        .into_iter()
        .find(|one| all[one.name].is_word(function));
    let parameter = found
        .as_ref()
        .and_then(|one| Some((one, all[*one.parameters.get(place)?].word()?)));
    parameter.is_none_or(|(one, name)| one.body.clone().any(|at| reads(all, at, name)))
}

/// Where a loop stands that nothing inside ends, in a function or else in another of the text
/// that is no test.
pub(crate) fn endless_loop(source: &Source, function: &str) -> Option<glost_chemistry::diagnostic::Mark> {
    let start = glost_chemistry::diagnostic::Mark { line: 1, column: 1 };
    let spot = Spot::at(source, start);
    let pieces = Pieces::of(&spot);
    let all = pieces.tokens;
    let ends = |token: &Token| ["break", "return", "throw"].iter().any(|word| token.is_word(word));
    let endless = |at: &usize| {
        let begins = all[*at].is_word("loop")
            || all[*at].is_word("while") && all.get(at + 1).is_some_and(|next| next.is_word("true"));
        let open = (*at..all.len()).find(|index| all[*index].is('{'));
        let body = open.and_then(|open| Some(open..pieces.closing(open)?));
        begins && body.is_some_and(|body| !all[body].iter().any(ends))
    };
    let (own, others): (Vec<Function>, Vec<Function>) = functions(&pieces)
        .into_iter()
        .partition(|one| all[one.name].is_word(function));
    let is_test = |one: &Function| all[one.name].word().is_some_and(|name| name.starts_with(TEST));
    let others = others.into_iter().filter(|one| !is_test(one));
    let mut loops = own.into_iter().chain(others).flat_map(|one| one.body);
    loops.find(|at| endless(at)).map(|at| all[at].from)
}

/// A function of the text by the indexes of its pieces.
struct Function {
    /// Its name's index.
    name: usize,
    /// Its parameters' indexes.
    parameters: Vec<usize>,
    /// What stands between its braces.
    body: Range<usize>,
}

fn functions(pieces: &Pieces<'_>) -> Vec<Function> {
    let all = pieces.tokens;
    let heads = (0..all.len()).filter(|index| all[*index].is_word("fn"));
    heads
        .filter_map(|index| {
            let close = pieces.closing(index + 2)?;
            let end = pieces.closing(close + 1)?;
            let parameters = (index + 3..close).filter(|at| all[*at].word().is_some());
            Some(Function {
                name: index + 1,
                parameters: parameters.collect(),
                body: close + 2..end,
            })
        })
        .collect()
}

/// Whether the piece at an index reads a name: not as a key, nor behind a dot.
pub(super) fn reads(all: &[Token], index: usize, name: &str) -> bool {
    let token = &all[index];
    if let Some(text) = token.text() {
        // `...${name}...`
        let words = text.split(|sign: char| !sign.is_alphanumeric() && sign != '_');
        return text.contains("${") && words.into_iter().any(|word| word == name);
    }
    let behind_a_dot = index > 0 && all[index - 1].is('.') && !(index > 1 && all[index - 2].is('.'));
    let is_key =
        all.get(index + 1).is_some_and(|next| next.is(':')) && !all.get(index + 2).is_some_and(|next| next.is(':'));
    token.is_word(name) && !behind_a_dot && !is_key
}

fn unread(name: &str) -> Diagnostic {
    let what = Diagnostic::caution("unused-name", format!("nothing reads `{name}`"));
    what.help("take it out, or begin its name with `_`")
}

fn unread_names(pieces: &Pieces<'_>, function: &Function, found: &mut Vec<(usize, Diagnostic)>) {
    let all = pieces.tokens;
    for index in function.body.clone() {
        let made = index > 0 && all[index - 1].is_word("let");
        let Some(name) = all[index].word().filter(|name| made && !name.starts_with('_')) else {
            continue;
        };
        let read = function.body.clone().any(|at| at != index && reads(all, at, name));
        if !read {
            found.push((index, unread(name)));
        }
    }
}

/// Constants, libraries and functions that nothing in the text reads. What a library has
/// others read.
fn unread_at_the_top(pieces: &Pieces<'_>, found: &mut Vec<(usize, Diagnostic)>) {
    let all = pieces.tokens;
    let named = |index: usize, word: &str| index > 0 && all[index - 1].is_word(word);
    if !(0..all.len()).any(|at| all[at].is_word("ABOUT") && named(at, "const")) {
        return;
    }
    for index in 0..all.len() {
        let Some(name) = all[index].word().filter(|name| !name.starts_with('_')) else {
            continue;
        };
        let entered = Kind::from_word(name).is_some() || name.starts_with(TEST);
        let made = named(index, "const") && !all[index].is_word("ABOUT")
            || named(index, "as")
            || named(index, "fn") && !entered;
        let asked = |at: usize| {
            let text = all[at]
                .text()
                .is_some_and(|text| text.contains("${") && text.contains(name));
            at != index && (all[at].is_word(name) || text)
        };
        if made && !(0..all.len()).any(asked) {
            found.push((index, unread(name)));
        }
    }
}

/// Functions that come before one that is always there.
fn hiding_functions(pieces: &Pieces<'_>, found: &mut Vec<(usize, Diagnostic)>) {
    for function in functions(pieces) {
        let name = pieces.tokens[function.name].word().unwrap_or("");
        let arity = function.parameters.len();
        let hides = |entry: &Entry| entry.form == Form::Function && entry.name == name && entry.arity() == arity;
        if entries().iter().any(hides) {
            let what = Diagnostic::caution(
                "hides-a-name",
                "this is called in place of what is always there by that name",
            );
            found.push((function.name, what.help("give it another name")));
        }
    }
}

fn hidden_names(pieces: &Pieces<'_>, function: &Function, found: &mut Vec<(usize, Diagnostic)>) {
    let all = pieces.tokens;
    let made = function.body.clone().filter(|index| {
        let before = &all[index - 1];
        before.is_word("let") || before.is_word("for")
    });
    for index in made.chain(function.parameters.iter().copied()) {
        let Some(name) = all[index].word() else { continue };
        // A variable and a function of one name don't meet; a name that is always there is hidden.
        let hides = |entry: &&Entry| entry.name == name && entry.form == Form::Global;
        let own = function
            .parameters
            .iter()
            .find(|at| all[**at].is_word(name) && **at != index);
        if own.is_some() {
            let what = Diagnostic::caution("hides-a-name", "this hides what the function was handed");
            found.push((index, what.help("give it another name")));
        } else if entries().iter().any(|entry| hides(&entry)) {
            let what = Diagnostic::caution(
                "hides-a-name",
                of_typed(name, "hides what is always there by that name"),
            );
            found.push((index, what.help("give it another name")));
        }
    }
}

fn method_of(owner: Sort, name: &str) -> Option<&'static Entry> {
    let is_it = |entry: &&Entry| entry.form == Form::Method && entry.name == name && belongs(entry, owner);
    entries().iter().find(is_it)
}

/// Statements that are one call of a method, by the index where they begin and that of the
/// method's name.
fn calls(pieces: &Pieces<'_>, body: &Range<usize>) -> Vec<(usize, usize)> {
    let all = pieces.tokens;
    let begins = |index: usize| {
        let before = &all[index - 1];
        let table = before.is('{') && index > 1 && all[index - 2].is('#');
        (before.is(';') || before.is('{') || before.is('}')) && !table
    };
    let mut found = Vec::new();
    for start in body
        .clone()
        .filter(|index| begins(*index) && all[*index].word().is_some())
    {
        let (_, end) = pieces.chain(start, body.end, MOST_STEPS);
        if !all.get(end).is_some_and(|token| token.is(';')) || end < start + 4 || !all[end - 1].is(')') {
            continue;
        }
        let method = pieces.opening(end - 1).and_then(|open| open.checked_sub(1));
        if let Some(method) = method.filter(|method| *method > start && all[method - 1].is('.')) {
            found.push((start, method));
        }
    }
    found
}

/// `glaze.with_part(...)` by itself: the new recipe is thrown away.
fn dropped_results(pieces: &Pieces<'_>, function: &Function, found: &mut Vec<(usize, Diagnostic)>) {
    let all = pieces.tokens;
    for (start, method) in calls(pieces, &function.body) {
        let Some(name) = pieces.tokens[method].word() else {
            continue;
        };
        let owner = pieces.chain(start, method - 1, MOST_STEPS).0;
        // A tester is also asked for what breaks on the way.
        let Some(entry) = method_of(owner, name).filter(|_| !matches!(owner, Sort::Any | Sort::Tester)) else {
            continue;
        };
        // What a function's last line makes is its answer, unless it is one that speaks.
        let name_of = all[function.name].word().unwrap_or("");
        let speaks = Kind::from_word(name_of).is_some_and(Kind::speaks);
        let last = !speaks
            && pieces
                .closing(method + 1)
                .is_some_and(|close| close + 2 >= function.body.end);
        let silent = matches!(entry.returns, Sort::Nothing | Sort::Any | Sort::Report);
        if entry.makes_only() && !silent && !last {
            let what = format!("what `{name}` gives is thrown away, and it changes nothing else");
            let help = format!("keep it: `let made = {};`", entry.signature());
            found.push((method, Diagnostic::caution("dropped-result", what).help(help)));
        }
    }
}

/// `glaze.known_list.push(...)`, or a push on a list that was handed in: what changes is a copy.
fn changed_copies(pieces: &Pieces<'_>, function: &Function, found: &mut Vec<(usize, Diagnostic)>) {
    let all = pieces.tokens;
    let changes = |method: usize| {
        let name = all[method].word().unwrap_or("");
        !matches!(name, "") && entries().iter().any(|entry| entry.name == name && !entry.makes_only())
    };
    let mut handed: Vec<(usize, bool)> = function.parameters.iter().map(|index| (*index, true)).collect();
    for (start, method) in calls(pieces, &function.body).into_iter().filter(|call| changes(call.1)) {
        let plain = method == start + 2;
        if plain {
            continue;
        }
        let property = method >= 4 && all[method - 3].is('.') && all[method - 2].word().is_some();
        let owner = if property {
            pieces.chain(start, method - 3, MOST_STEPS).0
        } else {
            Sort::Any
        };
        if owner.is_closed() {
            let what = format!("this changes a copy: what {} gives stays as it was", owner.words());
            let help = "take it first: `let list = ...;`, then change that".to_owned();
            found.push((method, Diagnostic::caution("changes-a-copy", what).help(help)));
        }
    }
    for (parameter, only_changed) in &mut handed {
        let name = all[*parameter].word().unwrap_or("");
        let uses: Vec<usize> = function.body.clone().filter(|at| reads(all, *at, name)).collect();
        let changed = |at: &usize| {
            let is_call =
                all.get(at + 1).is_some_and(|dot| dot.is('.')) && all.get(at + 3).is_some_and(|open| open.is('('));
            is_call
                && matches!(
                    all.get(at + 2).and_then(Token::word),
                    Some("push" | "pop" | "insert" | "sort")
                )
        };
        *only_changed = !uses.is_empty() && uses.iter().all(changed);
        if let Some(first) = uses.first().filter(|_| *only_changed) {
            let what = of_typed(name, "is a copy here: whoever handed it in sees no change");
            let help = format!("give it back: `{name}` as the last line, and take it: `list = ...(list)`");
            found.push((*first, Diagnostic::caution("changes-a-copy", what).help(help)));
        }
    }
}

fn claims_nothing(pieces: &Pieces<'_>, function: &Function, found: &mut Vec<(usize, Diagnostic)>) {
    let all = pieces.tokens;
    let name = all[function.name].word().unwrap_or("");
    let ([tester], true) = (function.parameters.as_slice(), name.starts_with(TEST)) else {
        return;
    };
    let tester = all[*tester].word().unwrap_or("");
    let claims = function.body.clone().any(|at| {
        let word = all[at].word().unwrap_or("");
        let handed_on = reads(all, at, tester) && !all.get(at + 1).is_some_and(|next| next.is('.'));
        handed_on || (all[at - 1].is('.') && CLAIMS.contains(&word))
    });
    if !claims {
        let what = Diagnostic::error(
            "claims-nothing",
            "this test claims nothing: it holds whatever the script does",
        );
        found.push((
            function.name,
            what.help("`t.expect(...)`, `t.equal(...)`, `t.near(...)` and `t.claim(...)` claim"),
        ));
    }
}

/// Keys of a table of ranges that are neither oxide nor ratio.
fn unknown_ranges(pieces: &Pieces<'_>, found: &mut Vec<(usize, Diagnostic)>) {
    let all = pieces.tokens;
    let tables = (1..all.len()).filter(|index| all[*index].is('{') && all[index - 1].is('#'));
    for open in tables {
        let Some(close) = pieces.closing(open) else { continue };
        let (mut keys, mut depth) = (Vec::new(), 0_usize);
        for at in open..close {
            match () {
                () if ['(', '[', '{'].into_iter().any(|sign| all[at].is(sign)) => depth += 1,
                () if [')', ']', '}'].into_iter().any(|sign| all[at].is(sign)) => depth -= 1,
                () => {}
            }
            let is_key = depth == 1 && all[at + 1].is(':');
            if let Some(name) = all[at].word().or(all[at].text()).filter(|_| is_key) {
                keys.push((at, name, all.get(at + 2).is_some_and(|value| value.is('['))));
            }
        }
        let known = |name: &str| Subject::parse(name).is_some();
        let ranges = keys.iter().all(|key| key.2) && keys.iter().any(|key| known(key.1));
        for (at, name, _) in keys.iter().filter(|key| ranges && !known(key.1)) {
            let what = is_no(name, "oxide or ratio that a range can be about");
            let near = suggestion(name, Subject::names());
            found.push((*at, Diagnostic::error("unknown-oxide", what).maybe_help(near)));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const HEAD: &str =
        "const ABOUT = #{ api: 1, kind: \"check\", title: \"x\", source: \"own\", options: #{ a: #{ value: 1 } } };\n";

    fn codes(body: &str) -> Vec<(&'static str, usize, usize)> {
        let found = lints(&Source::from_text("x", &[HEAD, body].concat()));
        let place = |one: &Diagnostic| one.place.as_ref().map(|place| (place.mark.line, place.mark.column));
        found
            .iter()
            .map(|one| {
                let (line, column) = place(one).unwrap_or((0, 0));
                (one.code, line, column)
            })
            .collect()
    }

    #[test]
    fn what_is_hardly_meant_is_told_at_its_place() {
        let check = |text: &str| {
            codes(&format!(
                "fn check(glaze, option) {{\n{text}\nglaze.nothing(\"a\", \"b\");\n}}\n"
            ))
        };
        assert_eq!(check("let u = glaze.unity;"), [("unused-name", 3, 5)]);
        assert_eq!(check("let u = glaze.unity; if u.SiO2 > 1 { }"), []);
        assert_eq!(check("let u = 1; let text = `${u}`; say(text);"), []);
        assert_eq!(check("let x = 1; let x = 2; say(x);"), [("made-again", 3, 16)]);
        assert_eq!(check("let x = 1; say(x); let x = 2; say(x);"), []);
        assert_eq!(check("let x = 1; let x = x + 1; say(x);"), []);
        assert_eq!(
            check("let x = 1; if 1 > 0 { let x = 2; say(x); } say(x);"),
            [("made-again", 3, 27)]
        );
        assert_eq!(check("let x = 1; if x > 0 { let x = 2; say(x); }"), []);
        assert_eq!(check("say(1); return; say(2);"), [("never-reached", 3, 17)]);
        assert_eq!(check("if glaze.known { return; } say(2);"), []);
        assert_eq!(check("let x = 1; say(\"it is ${x}\");"), [("not-filled-in", 3, 16)]);
        assert_eq!(check("let x = 1; say(`it is ${x}`);"), []);
        assert_eq!(check("let materials = 1; say(materials);"), [("hides-a-name", 3, 5)]);
        assert_eq!(check("let option = 1; say(option);"), [("hides-a-name", 3, 5)]);
        assert_eq!(
            codes("fn round(x) { x }\nfn check(glaze, option) { round(1) }"),
            [("hides-a-name", 2, 4)]
        );
        assert_eq!(
            codes("const MOST = 1;\nfn check(glaze, option) { }"),
            [("unused-name", 2, 7)]
        );
        assert_eq!(
            codes("fn half(x) { x / 2 }\nfn check(glaze, option) { }"),
            [("unused-name", 2, 4)]
        );
        assert_eq!(codes("import \"lib/x\" as x;\nfn check(glaze, option) { x::f(); }"), []);
        assert_eq!(
            codes("import \"lib/x\" as x;\nfn check(glaze, option) { }"),
            [("unused-name", 2, 19)]
        );
        assert_eq!(
            codes("fn check(glaze, option) { glaze.with_part(\"silica\", 10); }"),
            [("dropped-result", 2, 33)]
        );
        assert_eq!(check("glaze.with_part(\"silica\", 3);"), [("dropped-result", 3, 7)]);
        assert_eq!(
            check("let more = glaze.with_part(\"silica\", 3); more.holds(\"x\");"),
            [("dropped-result", 3, 47)]
        );
        assert_eq!(check("glaze.unknown.push(\"x\");"), [("changes-a-copy", 3, 15)]);
        assert_eq!(check("let list = []; list.push(3);"), []);
        assert_eq!(codes("fn _add(list, x) { list.push(x); }"), [("changes-a-copy", 2, 20)]);
        assert_eq!(codes("fn _add(list, x) { list.push(x); list }"), []);
        assert_eq!(
            codes("fn test_it(t) { let x = t.check(1); print(x); }"),
            [("claims-nothing", 2, 4)]
        );
        assert_eq!(codes("fn test_it(t) { holds(t, 3); }"), []);
        assert_eq!(
            codes("const _R = #{ SiO2: [1, 2], Si02: [1, 3] };"),
            [("unknown-oxide", 2, 29)]
        );
        assert_eq!(codes("const _R = #{ a: [1, 2], b: [1, 3] };"), []);
    }

    #[test]
    fn shipped_scripts_are_clean() {
        for (name, text) in crate::SHIPPED {
            let found = lints(&Source::from_text(name, text));
            assert!(found.is_empty(), "{name}: {found:?}");
        }
    }
}
