//! A loaded script: parsed once, checked through, ready to run.

use glost_chemistry::glaze::Use;
use std::fmt;
use std::sync::{Arc, LazyLock, OnceLock};

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source, nearest, of_typed};
use glost_core::rules::{Level, OptionValue, Signature, Whose};
use indexmap::IndexMap;
use rhai::{AST, ASTFlags, Dynamic, Engine, Stmt};
use sha2::{Digest, Sha256};

use crate::about::About;
use crate::bounds::{Bounds, Metered, SOURCE_MOST_BYTES};
use crate::editing::reads_parameter;
use crate::engine::new_engine;
use crate::entry::Entry;
use crate::glance::{Unclosed, unclosed};
use crate::kinds::Kind;
use crate::libraries::{self, Imported, Shelves};
use crate::literal::Literal;
use crate::options::with_settings;
use crate::scene::Scene;
use crate::scrutiny;
use crate::thread::on_script_thread;
use crate::trouble::{place, while_parsing};
use crate::values::options_read_by_name;

/// A script that has been loaded.
pub struct Script {
    /// Its name, `check/alkali-balance`.
    pub name: String,
    /// Its text.
    pub source: Source,
    /// What it says of itself.
    pub about: About,
    /// The comment at its head.
    pub purpose: String,
    /// Its `test_*` functions, in the order of the text.
    pub tests: Vec<String>,
    /// Whose text it is.
    pub whose: Whose,
    /// The first 12 hex digits of SHA-256 of its text, lines ending with LF.
    pub hash: String,
    /// What its author should know, though it loads.
    pub cautions: Vec<Diagnostic>,
    /// What its cautions weigh in this studio.
    pub level: Option<Level>,
    /// What every finding of its own says.
    pub(crate) told: Told,
    pub(crate) engine: Engine,
    pub(crate) ast: AST,
    /// The call of its entry function; a library has none.
    pub(crate) entry: Option<Entry>,
    looks_at_no_glaze: OnceLock<bool>,
}

/// What all findings of a script have in common: made once, shared by each.
pub(crate) struct Told {
    pub(crate) script: Arc<str>,
    pub(crate) title: Arc<str>,
    pub(crate) source: Arc<str>,
}

impl Told {
    fn of(name: &str, about: &About) -> Told {
        Told {
            script: name.into(),
            title: about.title.as_str().into(),
            source: about.source.as_str().into(),
        }
    }
}

impl fmt::Debug for Script {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Script")
            .field("name", &self.name)
            .field("about", &self.about)
            .finish_non_exhaustive()
    }
}

impl Script {
    /// Loads a script of the caller's own. Nothing in it runs.
    ///
    /// # Errors
    /// Whatever keeps it from being used, with its place and a cure.
    pub fn load(name: &str, source: Source) -> Result<Arc<Script>, Diagnostic> {
        Script::load_as(name, source, Whose::Yours)
    }

    /// As [`Script::load`], whoever's text it is.
    ///
    /// # Errors
    /// As [`Script::load`].
    pub fn load_as(name: &str, source: Source, whose: Whose) -> Result<Arc<Script>, Diagnostic> {
        Script::load_all(name, source, whose, &libraries::None).map_err(first)
    }

    /// As [`Script::load`], with every mistake in it.
    ///
    /// # Errors
    /// Whatever keeps it from being used, in the order of the text.
    pub fn load_or_mistakes(name: &str, source: Source) -> Result<Arc<Script>, Vec<Diagnostic>> {
        Script::load_all(name, source, Whose::Yours, &libraries::None)
    }

    /// As [`Script::load_or_mistakes`], with libraries to import.
    pub(crate) fn load_all(
        name: &str,
        source: Source,
        whose: Whose,
        shelves: &(dyn Shelves + Sync),
    ) -> Result<Arc<Script>, Vec<Diagnostic>> {
        let broke_off = source.clone();
        on_script_thread(|| load(name, source, whose, shelves)).unwrap_or_else(|why| {
            let message = format!("the script engine gave up on this script: {why}");
            let fault = Diagnostic::error("script-engine", message);
            Err(vec![fault.at(&broke_off, Mark { line: 1, column: 1 }, 1)])
        })
    }

    /// The same script as a studio has it.
    pub(crate) fn adapted(script: Arc<Script>, level: Option<Level>, caution: Option<Diagnostic>) -> Arc<Script> {
        // It was loaded just now, and nobody else holds it.
        Arc::try_unwrap(script).map_or_else(
            |shared| shared,
            |mut script| {
                if let Some(caution) = &caution {
                    let cited = &script.about.source;
                    script.about.source = format!("this text is yours; the text it replaces cites: {cited}");
                    script.told = Told::of(&script.name, &script.about);
                    script.cautions.push(caution.clone());
                }
                Arc::new(Script { level, ..script })
            },
        )
    }

    /// Whether its answer hangs on nothing but its options.
    pub(crate) fn looks_at_no_glaze(&self) -> bool {
        *self
            .looks_at_no_glaze
            .get_or_init(|| !reads_parameter(&self.source, self.about.kind.word(), 0))
    }

    /// Whether it came with Glost.
    pub fn is_shipped(&self) -> bool {
        self.whose == Whose::Shipped
    }

    /// What its answers are signed with, where these options are set.
    pub(crate) fn signed(&self, set: Vec<(String, OptionValue)>) -> Arc<Signature> {
        Arc::new(Signature {
            script: self.name.clone(),
            whose: self.whose.clone(),
            hash: self.hash.clone(),
            set,
        })
    }

    /// What its answers are signed with, with settings as typed.
    ///
    /// # Errors
    /// Options that can't be.
    pub fn signature(&self, settings: &[(String, String)]) -> Result<Arc<Signature>, Diagnostic> {
        Ok(self.signed(with_settings(&self.about.options, settings)?.set))
    }

    /// Whether this script is meant for a use; one that names none is for all.
    /// Where nobody says what the glaze is for, only those count. One that needs pieces is for
    /// scenes in which some speak.
    pub fn applies_to(&self, usage: Option<Use>, scene: &Scene) -> bool {
        if self.about.needs_pieces && scene.notebook.is_none() {
            return false;
        }
        self.about.uses.is_empty() || usage.is_some_and(|usage| self.about.uses.contains(&usage))
    }
}

/// Whether a script is a library, by its name.
pub(crate) fn is_library(name: &str) -> bool {
    name.starts_with(libraries::FOLDER)
}

/// The first of some complaints, of which there is one at least.
pub(crate) fn first(complaints: Vec<Diagnostic>) -> Diagnostic {
    let nothing = || Diagnostic::error("script-engine", "the script doesn't load");
    complaints.into_iter().next().unwrap_or_else(nothing)
}

/// A script read so far that only its functions are left to look through.
struct Parsed {
    ast: AST,
    constants: IndexMap<String, Literal>,
    about: About,
    imports: Vec<Imported>,
}

fn load(name: &str, source: Source, whose: Whose, shelves: &dyn Shelves) -> Result<Arc<Script>, Vec<Diagnostic>> {
    let one = |why: Diagnostic| vec![why];
    // Parsing takes no steps that could be counted; the watchdog looks all the same.
    let _metered = Metered::start(Bounds::default());
    let Parsed {
        ast,
        constants,
        about,
        imports,
    } = parsed(name, &source, shelves).map_err(one)?;
    // What came with us was looked through when it was built: a test holds it to the same.
    if whose != Whose::Shipped {
        scrutiny::check(&ast, (&about, is_library(name)), &constants, &imports, &source)?;
    }
    let values: Vec<_> = constants
        .iter()
        .map(|(name, literal)| (name.clone(), literal.value()))
        .collect();
    let mut engine = new_engine(values.into_iter().chain(of_libraries(&imports)));
    libraries::register(&mut engine, &imports).map_err(one)?;
    options_read_by_name(&mut engine, about.options.iter().map(|option| option.name.as_str()));
    Ok(Arc::new(Script {
        name: name.to_owned(),
        purpose: purpose(&source),
        tests: tests(&ast, &source).map_err(one)?,
        hash: hash_with(&source.text, &imports),
        whose,
        cautions: Vec::new(),
        level: None,
        entry: (!is_library(name)).then(|| Entry::of(about.kind, &engine)).flatten(),
        told: Told::of(name, &about),
        looks_at_no_glaze: OnceLock::new(),
        engine,
        about,
        source,
        ast,
    }))
}

/// Parses every text; nothing runs on it.
static PARSER: LazyLock<Engine> = LazyLock::new(|| new_engine([]));

fn parsed(name: &str, source: &Source, shelves: &dyn Shelves) -> Result<Parsed, Diagnostic> {
    if source.text.trim().is_empty() {
        return Err(Diagnostic::error("no-about", "the file is empty")
            .at(source, Mark { line: 1, column: 1 }, 1)
            .help("`glost script new check NAME` writes a script that works"));
    }
    if source.text.len() > SOURCE_MOST_BYTES {
        return Err(Diagnostic::error(
            "script-too-large",
            format!(
                "the script has {} bytes, {} KB is the most",
                source.text.len(),
                SOURCE_MOST_BYTES >> 10
            ),
        )
        .at(source, Mark { line: 1, column: 1 }, 1)
        .help("split it into several scripts, or keep data in a table"));
    }
    let mut ast = PARSER
        .compile(source.text.as_ref())
        .map_err(|error| while_parsing(&error, source))?;
    ast.set_source(name);
    let constants = constants(&ast, source)?;
    let about = match constants.get("ABOUT") {
        Some(literal) if is_library(name) => About::read(literal, source).map_err(|why| {
            why.help("a library needs no `ABOUT`: take it out, the comment at the top says what it is")
        })?,
        Some(literal) => About::read(literal, source)?,
        None if is_library(name) => About::of_library(&purpose(source)),
        None => return Err(never_closed_comment(source).unwrap_or_else(|| About::missing(source))),
    };
    let imports = if is_library(name) {
        libraries::stands_alone(&ast, source)?;
        Vec::new()
    } else {
        let imports = libraries::imports(&ast, shelves, source)?;
        entry_is_there(&ast, &about, source)?;
        imports
    };
    Ok(Parsed {
        ast,
        constants,
        about,
        imports,
    })
}

/// A comment that swallows the rest of the text, `ABOUT` with it.
fn never_closed_comment(source: &Source) -> Option<Diagnostic> {
    let (mark, Unclosed::Comment) = unclosed(source)? else {
        return None;
    };
    let fault = Diagnostic::error("script-syntax", "this comment is never closed");
    Some(fault.help("end it with `*/`").at(source, mark, 2))
}

/// What a text is signed with: the first 12 hex digits of SHA-256, lines ending with LF.
pub fn hash_of(text: &str) -> String {
    let hash = Sha256::digest(text.replace("\r\n", "\n").as_bytes());
    hash.iter().take(6).map(|byte| format!("{byte:02x}")).collect()
}

/// As [`hash_of`], of a text with the libraries that it imports, in their order: whatever
/// changes its answers changes its hash.
fn hash_with(text: &str, imports: &[Imported]) -> String {
    if imports.is_empty() {
        return hash_of(text);
    }
    let libraries = imports.iter().map(|import| import.library.source.text.as_ref());
    let texts: Vec<&str> = std::iter::once(text).chain(libraries).collect();
    hash_of(&texts.join("\0"))
}

/// Constants of libraries, which their functions ask for by plain names.
fn of_libraries(imports: &[Imported]) -> Vec<(String, Dynamic)> {
    let libraries = imports.iter().map(|import| &import.library);
    libraries
        .flat_map(|library| constants(&library.ast, &library.source).into_iter().flatten())
        .map(|(name, literal)| (name, literal.value()))
        .collect()
}

/// The constants at the top; nothing else may stand there.
fn constants(ast: &AST, source: &Source) -> Result<IndexMap<String, Literal>, Diagnostic> {
    let mut constants: IndexMap<String, Literal> = IndexMap::new();
    for statement in ast.statements() {
        match statement {
            Stmt::Noop(_) => {}
            Stmt::Var(declared, flags, position) if flags.intersects(ASTFlags::CONSTANT) => {
                let name = declared.0.name.to_string();
                if constants.contains_key(&name) {
                    return Err(place(
                        Diagnostic::error("duplicate-key", of_typed(name, "is given twice")).help("keep one of them"),
                        source,
                        if declared.0.pos.is_none() {
                            *position
                        } else {
                            declared.0.pos
                        },
                    ));
                }
                constants.insert(name, Literal::read(&declared.1, source)?);
            }
            Stmt::Import(..) => {}
            other => {
                return Err(place(
                    Diagnostic::error(
                        "not-at-the-top",
                        "only `const`, `fn` and `import` stand at the top of a script",
                    )
                    .help("put it into a function"),
                    source,
                    other.position(),
                ));
            }
        }
    }
    Ok(constants)
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
fn at_text(diagnostic: Diagnostic, word: &str, source: &Source) -> Diagnostic {
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

fn tests(ast: &AST, source: &Source) -> Result<Vec<String>, Diagnostic> {
    let mut tests = Vec::new();
    for (name, parameters) in functions(ast).filter(|function| function.0.starts_with("test_")) {
        if parameters != 1 {
            let diagnostic = Diagnostic::error("wrong-entry", format!("`{name}` takes one parameter: `fn {name}(t)`"));
            return Err(at_function(diagnostic.help("the tester is handed over"), name, source));
        }
        tests.push(name.to_owned());
    }
    tests.sort_by_cached_key(|name| (function_mark(name, source), name.clone()));
    Ok(tests)
}

/// The comment at the head of the text, without its marks.
fn purpose(source: &Source) -> String {
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
