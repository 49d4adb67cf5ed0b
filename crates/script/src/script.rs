//! A loaded script: parsed once, checked through, ready to run.

use glost_chemistry::glaze::Use;
use std::fmt;
use std::sync::{Arc, OnceLock};

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source};
use glost_core::rules::{Level, OptionValue, Signature, Whose};
use rhai::{AST, Dynamic, Engine};
use sha2::{Digest, Sha256};

use crate::about::About;
use crate::bounds::{Bounds, Metered};
use crate::caught;
use crate::compiled::Compiled;
use crate::editing::reads_parameter;
use crate::engine::new_engine;
use crate::entry::Entry;
use crate::libraries::{self, Imported, Shelves};
use crate::options::with_settings;
use crate::reading::{Parsed, constants, parsed, purpose};
pub(crate) use crate::reading::{at_function, function_mark, functions};
use crate::scene::Scene;
use crate::thread::on_script_thread;
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
    compiled: OnceLock<Option<Arc<Compiled>>>,
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

    /// The word of its kind; of a library, that it is one.
    pub fn kind_word(&self) -> &'static str {
        if is_library(&self.name) {
            "library"
        } else {
            self.about.kind.word()
        }
    }

    /// The same, with a doubt about it that is told wherever it is used.
    pub(crate) fn doubted(script: Arc<Script>, doubt: Option<Diagnostic>) -> Arc<Script> {
        let Some(doubt) = doubt else { return script };
        // It was loaded just now, and nobody else holds it.
        Arc::try_unwrap(script).map_or_else(
            |shared| shared,
            |mut script| {
                script.cautions.push(doubt);
                Arc::new(script)
            },
        )
    }

    /// Whether its answer hangs on nothing but its options.
    pub(crate) fn looks_at_no_glaze(&self) -> bool {
        *self
            .looks_at_no_glaze
            .get_or_init(|| !reads_parameter(&self.source, self.about.kind.word(), 0))
    }

    /// The same compiled, for many glazes; `None` where it is the engine's alone.
    pub(crate) fn compiled(&self) -> Option<&Arc<Compiled>> {
        let compiled = self.compiled.get_or_init(|| Compiled::of(self).map(Arc::new));
        compiled.as_ref()
    }

    /// Whether many glazes go through it compiled, not walked node by node by the engine.
    pub fn is_compiled(&self) -> bool {
        self.compiled().is_some()
    }

    /// Its constants; `None` where a library has some, too.
    pub(crate) fn constants(&self) -> Option<Vec<(String, Dynamic)>> {
        let imports = |statement: &rhai::Stmt| matches!(statement, rhai::Stmt::Import(..));
        if self.ast.statements().iter().any(imports) {
            return None;
        }
        let (own, _) = constants(&self.ast, &self.source);
        Some(
            own.iter()
                .map(|(name, literal)| (name.clone(), literal.value()))
                .collect(),
        )
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

fn load(name: &str, source: Source, whose: Whose, shelves: &dyn Shelves) -> Result<Arc<Script>, Vec<Diagnostic>> {
    // Parsing takes no steps that could be counted; the watchdog looks all the same.
    let _metered = Metered::start(Bounds::default());
    let Parsed {
        ast,
        constants,
        about,
        imports,
        tests,
    } = parsed(name, &source, &whose, shelves)?;
    let values: Vec<_> = constants
        .iter()
        .map(|(name, literal)| (name.clone(), literal.value()))
        .collect();
    let libraries = imports.iter().map(|import| &import.library.ast);
    let caught = std::iter::once(&ast).chain(libraries).flat_map(caught::names);
    let mut engine = new_engine(values.into_iter().chain(of_libraries(&imports)), caught.collect());
    libraries::register(&mut engine, &imports).map_err(|why| vec![why])?;
    options_read_by_name(&mut engine, about.options.iter().map(|option| option.name.as_str()));
    Ok(Arc::new(Script {
        name: name.to_owned(),
        purpose: purpose(&source),
        tests,
        hash: hash_with(&source.text, &imports),
        whose,
        cautions: Vec::new(),
        level: None,
        entry: (!is_library(name)).then(|| Entry::of(about.kind, &engine)).flatten(),
        told: Told::of(name, &about),
        looks_at_no_glaze: OnceLock::new(),
        compiled: OnceLock::new(),
        engine,
        about,
        source,
        ast,
    }))
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
        .flat_map(|library| constants(&library.ast, &library.source).0)
        .map(|(name, literal)| (name, literal.value()))
        .collect()
}
