//! Reads a script through before it runs: every branch, taken or not.
//!
//! Unknown names, properties that a value doesn't have, functions that nobody
//! defined, and comparisons of unlike kinds are found here. What a value is
//! gets inferred where that is certain; where it isn't, the run decides.

mod calls;
mod closures;
mod names;
mod switches;
mod walk;

use std::collections::{HashMap, HashSet};

use glost_chemistry::diagnostic::{Diagnostic, Source};
use indexmap::IndexMap;
use rhai::{AST, Position, ScriptFuncDef, Shared};

use crate::about::About;
use crate::kinds::Kind;
use crate::libraries::Imported;
use crate::literal::Literal;
use crate::shelf::Form;
use crate::sort::Sort;
use crate::trouble::CLOSURE;

use walk::Walk;

/// Passes over the functions; each carries sorts one call further.
const PASSES: usize = 3;

/// A function of the script.
#[derive(Debug)]
pub(super) struct Function {
    pub(super) definition: Shared<ScriptFuncDef>,
    /// The script with nothing but this function in it.
    pub(super) alone: AST,
    /// The sorts of its parameters, as far as its callers agree.
    pub(super) parameters: Vec<Sort>,
    /// Whether those are certain, since the engine hands them over.
    pub(super) is_called_by_the_engine: bool,
}

/// What is known of the script as a whole.
pub(super) struct Whole<'a> {
    pub(super) source: &'a Source,
    pub(super) kind: Kind,
    /// Whether it is a library: pure functions, and their tests.
    pub(super) is_library: bool,
    pub(super) options: Vec<&'a str>,
    /// Columns of all declared tables.
    pub(super) columns: Vec<&'a str>,
    pub(super) constants: &'a IndexMap<String, Literal>,
    pub(super) imports: &'a [Imported],
    /// Words whose meaning is lost, since what they stand in can't be read.
    pub(super) lost: &'a HashSet<String>,
    /// Whether all options and columns are known.
    pub(super) about_is_whole: bool,
    pub(super) functions: HashMap<(String, usize), Function>,
    /// Names that functions in brackets assign to, which are names of those around them.
    pub(super) closures_change: HashSet<String>,
}

/// What is known of a script before its functions are looked through.
pub(crate) struct Known<'a> {
    pub(crate) about: &'a About,
    /// Names of its options, those that can't be read with them.
    pub(crate) options: Vec<&'a str>,
    pub(crate) about_is_whole: bool,
    pub(crate) is_library: bool,
    pub(crate) constants: &'a IndexMap<String, Literal>,
    pub(crate) imports: &'a [Imported],
    pub(crate) lost: &'a HashSet<String>,
    /// Functions that are handed things nobody knows.
    pub(crate) called: &'a HashSet<String>,
}

impl Whole<'_> {
    /// Functions by name, closures left out.
    pub(super) fn named(&self) -> impl Iterator<Item = &(String, usize)> {
        self.functions.keys().filter(|(name, _)| !name.starts_with(CLOSURE))
    }

    /// Keys in the order of the text, so that the first mistake is named first.
    fn in_order(&self) -> Vec<(String, usize)> {
        let mut keys: Vec<_> = self
            .functions
            .iter()
            .map(|(key, function)| (position_key(function.definition.body.start_position()), key.clone()))
            .collect();
        keys.sort();
        keys.into_iter().map(|(_, key)| key).collect()
    }
}

/// Positions in order of the text.
pub(super) fn position_key(position: Position) -> (usize, usize) {
    (position.line().unwrap_or(0), position.position().unwrap_or(0))
}

/// Looks through the whole script: every mistake, in the order of the text.
pub(crate) fn mistakes(ast: &AST, known: Known<'_>, source: &Source) -> Vec<Diagnostic> {
    let Known { about, lost, .. } = known;
    let columns = about.tables.iter().flat_map(|table| &table.columns);
    let mut whole = Whole {
        source,
        kind: about.kind,
        is_library: known.is_library,
        options: known.options,
        columns: columns.map(|column| column.name.as_str()).collect(),
        constants: known.constants,
        imports: known.imports,
        lost,
        about_is_whole: known.about_is_whole,
        functions: HashMap::new(),
        closures_change: HashSet::new(),
    };
    for (_, _, name, arity, definition) in ast.shared_lib().iter_script_fn_info() {
        let sorts = entry_sorts(name, arity, about);
        let function = Function {
            definition: definition.clone(),
            alone: alone(ast, name, arity),
            is_called_by_the_engine: sorts.is_some(),
            parameters: sorts.unwrap_or_else(|| vec![Sort::Any; arity]),
        };
        if name.starts_with(CLOSURE) {
            whole.closures_change.extend(names::assigned(&function.alone));
        }
        whole.functions.insert((name.to_owned(), arity), function);
    }
    let order = whole.in_order();
    // An entry function that takes too few is told by itself.
    let hiding = order.iter().filter(|key| key.0 != about.kind.word());
    let hiding = hiding.filter_map(|key| hidden(key, source));
    let mut told: Vec<Diagnostic> = hiding.collect();
    let mut mistakes = Vec::new();
    for pass in 0..PASSES {
        let mut handed: HashMap<(String, usize), Vec<Sort>> = HashMap::new();
        let mut handed_on = HashSet::new();
        mistakes.clear();
        for key in &order {
            let mut walk = Walk::new(&whole);
            if let Some(function) = whole.functions.get(key) {
                walk.function(function);
            }
            mistakes.extend(walk.mistakes);
            handed_on.extend(walk.handed_on);
            for (called, sorts) in walk.calls {
                join(&mut handed, called, sorts);
            }
        }
        if pass + 1 == PASSES {
            break;
        }
        for ((name, arity), sorts) in handed_in_order(handed) {
            // What is called from where nobody can read may be handed anything.
            let unclear = [known.called, lost, &handed_on]
                .iter()
                .any(|names| names.contains(&name));
            if unclear || entry_sorts(&name, arity, about).is_some() {
                continue;
            }
            if let Some(function) = whole.functions.get_mut(&(name, arity)) {
                function.parameters = sorts;
            }
        }
    }
    mistakes.sort_by_key(|(position, _)| position_key(*position));
    for (position, diagnostic) in mistakes {
        let placed = crate::trouble::place(diagnostic, source, position);
        if !told.contains(&placed) {
            told.push(placed);
        }
    }
    told
}

/// A script's function comes before a method of that name and count: a value's
/// own would silently not be called any more.
fn hidden((name, arity): &(String, usize), source: &Source) -> Option<Diagnostic> {
    let hidden = crate::engine::entries()
        .iter()
        .find(|entry| entry.form == Form::Method && entry.name == name && entry.arity() == *arity)?;
    let owner = hidden.owner.words();
    let message = format!("`{name}` would be called in place of what {owner} has by that name");
    let fault = Diagnostic::error("hides-a-name", message).help("give the function another name");
    Some(crate::script::at_function(fault, name, source))
}

/// The script with one function only. (A filtered clone takes them all along
/// where there is nothing to merge into, seen in rhai 1.27.)
fn alone(ast: &AST, name: &str, arity: usize) -> AST {
    let mut alone = ast.clone();
    alone.clear_statements();
    alone.retain_functions(|_, _, other, count| other == name && count == arity);
    alone
}

fn handed_in_order(handed: HashMap<(String, usize), Vec<Sort>>) -> Vec<((String, usize), Vec<Sort>)> {
    let mut pairs: Vec<_> = handed.into_iter().collect();
    pairs.sort_by(|left, right| left.0.cmp(&right.0));
    pairs
}

fn join(handed: &mut HashMap<(String, usize), Vec<Sort>>, called: (String, usize), sorts: Vec<Sort>) {
    // Where nothing is handed over, something else may be: that is what a guard is for.
    let some = |sort: Sort| if sort == Sort::Nothing { Sort::Any } else { sort };
    let sorts: Vec<Sort> = sorts.into_iter().map(some).collect();
    match handed.get_mut(&called) {
        None => {
            handed.insert(called, sorts);
        }
        Some(known) => {
            for (known, sort) in known.iter_mut().zip(sorts) {
                if *known != sort {
                    *known = Sort::Any;
                }
            }
        }
    }
}

/// The sorts that the engine hands to entry and test functions.
fn entry_sorts(name: &str, arity: usize, about: &About) -> Option<Vec<Sort>> {
    let parameters = about.kind.parameters();
    if name == about.kind.word() && arity == parameters.len() {
        return Some(parameters.iter().map(|parameter| parameter.1).collect());
    }
    (name.starts_with("test_") && arity == 1).then(|| vec![Sort::Tester])
}
