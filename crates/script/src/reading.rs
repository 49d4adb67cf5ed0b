//! A script's text read through: what it declares, and all that is wrong with it in one run.

use std::collections::HashSet;
use std::sync::LazyLock;

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source, nearest, of_typed};
use glost_core::rules::Whose;
use indexmap::IndexMap;
use rhai::{AST, ASTFlags, Engine, Stmt};

use crate::about::About;
use crate::bounds::SOURCE_MOST_BYTES;
use crate::engine::new_engine;
use crate::glance::{Glance, open_comment};
use crate::kinds::Kind;
use crate::libraries::{self, Imported, Shelves};
use crate::literal::Literal;
use crate::recovery::{self, Recovered};
use crate::script::is_library;
use crate::scrutiny::{self, Known};
use crate::trouble::place;

/// The constant in which a script says what it is.
const ABOUT: &str = "ABOUT";

/// A script that was read through.
pub(crate) struct Parsed {
    pub(crate) ast: AST,
    pub(crate) constants: IndexMap<String, Literal>,
    pub(crate) about: About,
    pub(crate) imports: Vec<Imported>,
    /// Its `test_*` functions, in the order of the text.
    pub(crate) tests: Vec<String>,
}

/// Parses every text; nothing runs on it.
static PARSER: LazyLock<Engine> = LazyLock::new(|| new_engine([], HashSet::new()));

/// A text that can't be a script at all.
fn unreadable(source: &Source) -> Option<Diagnostic> {
    let start = Mark { line: 1, column: 1 };
    if source.text.trim().is_empty() {
        let fault = Diagnostic::error("no-about", "the file is empty").at(source, start, 1);
        return Some(fault.help("`glost script new check NAME` writes a script that works"));
    }
    let (bytes, most) = (source.text.len(), SOURCE_MOST_BYTES >> 10);
    (bytes > SOURCE_MOST_BYTES).then(|| {
        let message = format!("the script has {bytes} bytes, {most} KB is the most");
        let fault = Diagnostic::error("script-too-large", message).at(source, start, 1);
        fault.help("split it into several scripts, or keep data in a table")
    })
}

/// Reads a text through.
///
/// # Errors
/// All that is wrong with it, in the order of the text.
pub(crate) fn parsed(
    name: &str,
    source: &Source,
    whose: &Whose,
    shelves: &dyn Shelves,
) -> Result<Parsed, Vec<Diagnostic>> {
    if let Some(why) = unreadable(source) {
        return Err(vec![why]);
    }
    let mut read = recovery::read(&PARSER, source);
    read.ast.set_source(name);
    let (constants, mut mistakes) = constants(&read.ast, source);
    let about = match constants.get(ABOUT) {
        None if is_library(name) => Some(About::of_library(&purpose(source))),
        Some(literal) => {
            let (about, faults) = About::read(literal, source);
            let faults = faults.into_iter().filter(|_| read.about_is_whole);
            mistakes.extend(faults.map(|why| match is_library(name) {
                true => why.help("a library needs no `ABOUT`: take it out, the comment at the top says what it is"),
                false => why,
            }));
            about
        }
        None => {
            let stands = |statement: &Stmt| matches!(statement, Stmt::Var(declared, ..) if declared.0.name == ABOUT);
            let unread = !read.faults.is_empty() && source.text.contains(ABOUT);
            if !unread && !read.ast.statements().iter().any(stands) {
                let miswritten = constants.keys().find(|name| name.eq_ignore_ascii_case(ABOUT));
                let told = miswritten.map(|name| About::miswritten(name, source));
                mistakes.push(
                    told.or_else(|| swallowed(source))
                        .unwrap_or_else(|| About::missing(source)),
                );
            }
            None
        }
    };
    let imports = libraries_of(name, &mut read, shelves, source, &mut mistakes);
    if let Some(about) = about.as_ref().filter(|_| !is_library(name)) {
        let entry = (!read.lost.contains(about.kind.word())).then(|| entry_is_there(&read.ast, about, source));
        mistakes.extend(entry.and_then(Result::err));
    }
    let (tests, faults) = tests(&read.ast, source);
    mistakes.extend(faults);
    // What came with us was looked through when it was built: a test holds it to the same.
    if *whose != Whose::Shipped || !read.faults.is_empty() {
        mistakes.extend(looked_through(
            name,
            about.as_ref(),
            &read,
            &constants,
            &imports,
            source,
        ));
    }
    if read.faults.is_empty()
        && mistakes.is_empty()
        && let Some(about) = about
    {
        let ast = read.ast;
        return Ok(Parsed {
            ast,
            constants,
            about,
            imports,
            tests,
        });
    }
    Err(all_told(read.faults, mistakes))
}

/// What can't be read with what is wrong in the rest, in the order of the text. A line that
/// can't be read is told once: what else seems wrong there is no mistake of its own.
fn all_told(faults: Vec<Diagnostic>, mistakes: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let lines: Vec<Option<usize>> = faults.iter().map(recovery::line_of).collect();
    let own = mistakes
        .into_iter()
        .filter(|mistake| !lines.contains(&recovery::line_of(mistake)));
    let mut all: Vec<Diagnostic> = faults.into_iter().chain(own).collect();
    all.sort_by_key(|one| one.place.as_ref().map(|place| place.mark));
    all.dedup();
    all
}

/// The libraries that a script imports; what can't be imported is a mistake, and what it has
/// is lost.
fn libraries_of(
    name: &str,
    read: &mut Recovered,
    shelves: &dyn Shelves,
    source: &Source,
    mistakes: &mut Vec<Diagnostic>,
) -> Vec<Imported> {
    if is_library(name) {
        mistakes.extend(libraries::stands_alone(&read.ast, source).err());
        return Vec::new();
    }
    let (imports, faults) = libraries::imports(&read.ast, shelves, source);
    if !faults.is_empty() {
        read.lost.extend(libraries::aliases(&read.ast));
    }
    mistakes.extend(faults);
    imports
}

/// What is wrong in functions; in a script whose kind nobody can tell they are passed by.
fn looked_through(
    name: &str,
    about: Option<&About>,
    read: &Recovered,
    constants: &IndexMap<String, Literal>,
    imports: &[Imported],
    source: &Source,
) -> Vec<Diagnostic> {
    let by_itself = || {
        let kind = Glance::at(source).kind()?;
        Some(About {
            kind,
            ..About::of_library("")
        })
    };
    let Some(known) = about.cloned().or_else(by_itself) else {
        return Vec::new();
    };
    let known = Known {
        about: &known,
        options: options_named(constants),
        about_is_whole: about.is_some() && read.options_are_known,
        is_library: is_library(name),
        constants,
        imports,
        lost: &read.lost,
        called: &read.called,
    };
    scrutiny::mistakes(&read.ast, known, source)
}

/// Names of the options that `ABOUT` declares, rightly or not.
fn options_named(constants: &IndexMap<String, Literal>) -> Vec<&str> {
    let options = constants.get(ABOUT).and_then(|about| about.entry("options"));
    let entries = options.map_or(&[][..], Literal::entries);
    entries.iter().map(|(name, ..)| name.as_str()).collect()
}

/// A comment that swallows the rest of the text, `ABOUT` with it.
fn swallowed(source: &Source) -> Option<Diagnostic> {
    open_comment(source).map(|mark| recovery::never_closed_comment(source, mark))
}

/// The constants at the top; nothing else may stand there.
pub(crate) fn constants(ast: &AST, source: &Source) -> (IndexMap<String, Literal>, Vec<Diagnostic>) {
    let mut constants: IndexMap<String, Literal> = IndexMap::new();
    let mut faults = Vec::new();
    for statement in ast.statements() {
        match statement {
            Stmt::Noop(_) | Stmt::Import(..) => {}
            Stmt::Var(declared, flags, position) if flags.intersects(ASTFlags::CONSTANT) => {
                let name = declared.0.name.to_string();
                if constants.contains_key(&name) {
                    let fault = Diagnostic::error("duplicate-key", of_typed(name, "is given twice"));
                    let own = declared.0.pos;
                    let at = if own.is_none() { *position } else { own };
                    faults.push(place(fault.help("keep one of them"), source, at));
                    continue;
                }
                match Literal::read(&declared.1, source) {
                    Ok(literal) => drop(constants.insert(name, literal)),
                    Err(why) => faults.push(why),
                }
            }
            other => {
                let message = "only `const`, `fn` and `import` stand at the top of a script";
                let fault = Diagnostic::error("not-at-the-top", message).help("put it into a function");
                faults.push(place(fault, source, other.position()));
            }
        }
    }
    (constants, faults)
}

/// Named functions of the text, without closures.
pub(crate) fn functions(ast: &AST) -> impl Iterator<Item = (&str, usize)> {
    ast.iter_functions()
        .filter(|function| !function.name.starts_with("anon$"))
        .map(|function| (function.name, function.params.len()))
}

fn entry_is_there(ast: &AST, about: &About, source: &Source) -> Result<(), Diagnostic> {
    let (kind, wanted) = (about.kind, about.kind.entry());
    let word = kind.word();
    let mut named = functions(ast).filter(|function| function.0 == word).peekable();
    if named.peek().is_none() {
        let others: Vec<&str> = functions(ast).map(|function| function.0).collect();
        let like = nearest(word, others.iter().copied())
            .or_else(|| others.iter().copied().find(|name| Kind::from_word(name).is_some()));
        let diagnostic = Diagnostic::error("no-entry", format!("a script of kind `{word}` needs `{wanted}`"));
        return Err(match like {
            Some(like) => at_function(
                diagnostic.help(format!("is `{like}` meant? Then call it `{word}`")),
                like,
                source,
            ),
            None => at_text(diagnostic.help("add that function"), "ABOUT", source),
        });
    }
    let count = kind.parameters().len();
    if named.any(|function| function.1 == count) {
        return Ok(());
    }
    let count = if count == 2 { "two" } else { "three" };
    let diagnostic = Diagnostic::error("wrong-entry", format!("`{word}` takes {count} parameters: `{wanted}`"));
    Err(at_function(
        diagnostic.help("the engine hands all of them over, used or not"),
        word,
        source,
    ))
}

/// Points at the name of a function where it is defined.
pub(crate) fn at_function(diagnostic: Diagnostic, name: &str, source: &Source) -> Diagnostic {
    match function_mark(name, source) {
        Some(mark) => diagnostic.at(source, mark, name.chars().count()),
        None => diagnostic,
    }
}

/// Where a function's name stands in its definition.
pub(crate) fn function_mark(name: &str, source: &Source) -> Option<Mark> {
    source.text.lines().enumerate().find_map(|(index, line)| {
        let (before, after) = line.split_once("fn ")?;
        let after_blanks = after.trim_start();
        let rest = after_blanks.strip_prefix(name)?;
        (before.trim().is_empty() && rest.trim_start().starts_with('(')).then(|| Mark {
            line: index + 1,
            column: before.chars().count() + 3 + (after.len() - after_blanks.len()) + 1,
        })
    })
}

/// Points at the first place where a word stands.
pub(crate) fn at_text(diagnostic: Diagnostic, word: &str, source: &Source) -> Diagnostic {
    let found = source.text.lines().enumerate().find_map(|(index, line)| {
        let at = line.find(word)?;
        Some(Mark {
            line: index + 1,
            column: line[..at].chars().count() + 1,
        })
    });
    match found {
        Some(mark) => diagnostic.at(source, mark, word.chars().count()),
        None => diagnostic,
    }
}

fn tests(ast: &AST, source: &Source) -> (Vec<String>, Vec<Diagnostic>) {
    let named = functions(ast).filter(|function| function.0.starts_with("test_"));
    let (right, wrong): (Vec<_>, Vec<_>) = named.partition(|function| function.1 == 1);
    let mut tests: Vec<String> = right.into_iter().map(|(name, _)| name.to_owned()).collect();
    tests.sort_by_cached_key(|name| (function_mark(name, source), name.clone()));
    let fault = |(name, _): (&str, usize)| {
        let message = format!("`{name}` takes one parameter: `fn {name}(t)`");
        let fault = Diagnostic::error("wrong-entry", message).help("the tester is handed over");
        at_function(fault, name, source)
    };
    (tests, wrong.into_iter().map(fault).collect())
}

/// The comment at the head of the text, without its marks.
pub(crate) fn purpose(source: &Source) -> String {
    let lines: Vec<&str> = source
        .text
        .lines()
        .map(str::trim)
        .skip_while(|line| line.is_empty())
        .map_while(|line| line.strip_prefix("//"))
        .map(|line| line.trim_start_matches('/').trim())
        .collect();
    lines.join("\n").trim().to_owned()
}
