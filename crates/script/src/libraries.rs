//! Libraries: pure functions in `lib/`, named at the top of a script that uses them,
//! `import "lib/cones" as cones;`, and called as `cones::hotter(...)`.
//!
//! A library is found inside the studio, or inside the package of its script, and nowhere
//! else; it stands by itself, inside the bounds of whoever calls it.

use std::collections::HashSet;
use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, Source, is_no, of_typed, suggestion};
use rhai::{AST, Engine, Expr, Module, Position, Scope, Stmt};

use crate::script::{Script, functions};
use crate::trouble::{place, while_running};

/// The folder that they lie in.
pub(crate) const FOLDER: &str = "lib/";

/// Where a script's libraries are looked up.
pub(crate) trait Shelves {
    /// The library of a name, `lib/cones`.
    ///
    /// # Errors
    /// There is none (with the nearest name), or it doesn't load.
    fn library(&self, name: &str) -> Result<Arc<Script>, Diagnostic>;
}

/// No libraries at all: a script that stands by itself.
pub(crate) struct None;

impl Shelves for None {
    fn library(&self, name: &str) -> Result<Arc<Script>, Diagnostic> {
        let message = of_typed(
            name,
            "can't be seen from here: this script lies in no `scripts/` folder of a studio",
        );
        Err(Diagnostic::error("unknown-library", message)
            .help("put the script into the studio's `scripts/`, beside its `lib/`, and name it by that path"))
    }
}

/// No library has this name.
pub(crate) fn unknown<'a>(name: &str, known: impl Iterator<Item = &'a str>) -> Diagnostic {
    Diagnostic::error("unknown-library", format!("there is no library `{name}` here"))
        .help("it is a file `scripts/lib/NAME.rhai` of the studio, or of the same package")
        .maybe_help(suggestion(name, known))
}

/// A library as a script knows it.
pub(crate) struct Imported {
    /// The name before `::`.
    pub(crate) alias: String,
    pub(crate) library: Arc<Script>,
    pub(crate) functions: HashSet<(String, usize)>,
}

/// Reads the imports at the top of a script, and what is wrong with those that name no
/// library, or have the alias of another.
pub(crate) fn imports(ast: &AST, shelves: &dyn Shelves, source: &Source) -> (Vec<Imported>, Vec<Diagnostic>) {
    let (mut found, mut faults) = (Vec::new(), Vec::new());
    for statement in ast.statements() {
        let Stmt::Import(import, position) = statement else {
            continue;
        };
        match imported((&import.0, import.1.as_str(), *position), &found, shelves, source) {
            Ok(import) => found.push(import),
            Err(why) => faults.push(why),
        }
    }
    (found, faults)
}

/// Names that imports give.
pub(crate) fn aliases(ast: &AST) -> impl Iterator<Item = String> {
    ast.statements().iter().filter_map(|statement| match statement {
        Stmt::Import(import, _) => Some(import.1.as_str().to_owned()),
        _ => Option::None,
    })
}

fn imported(
    (path, alias, position): (&Expr, &str, Position),
    found: &[Imported],
    shelves: &dyn Shelves,
    source: &Source,
) -> Result<Imported, Diagnostic> {
    let at = |fault: Diagnostic, position: Position| place(fault, source, position);
    let example = "`import \"lib/cones\" as cones;`";
    let Expr::StringConstant(name, of_path) = path else {
        let fault = Diagnostic::error("bad-import", "an import names its library in quotes");
        return Err(at(fault.help(example), path.position()));
    };
    if !name.starts_with(FOLDER) || name.contains("..") {
        let fault = Diagnostic::error("bad-import", is_no(name, "library: they lie in `lib/`"));
        return Err(at(fault.help(example), *of_path));
    }
    if alias.is_empty() || found.iter().any(|known| known.alias == alias) {
        let fault = Diagnostic::error("bad-import", "each import needs a name of its own");
        return Err(at(fault.help(example), position));
    }
    let library = shelves
        .library(name)
        .map_err(|why| if why.place.is_none() { at(why, *of_path) } else { why })?;
    Ok(Imported {
        alias: alias.to_owned(),
        functions: functions(&library.ast)
            .map(|(name, arity)| (name.to_owned(), arity))
            .collect(),
        library,
    })
}

/// A library imports nothing: neither itself nor another that may import it.
pub(crate) fn stands_alone(ast: &AST, source: &Source) -> Result<(), Diagnostic> {
    let import = ast
        .statements()
        .iter()
        .find(|statement| matches!(statement, Stmt::Import(..)));
    import.map_or(Ok(()), |import| {
        let fault = Diagnostic::error("bad-import", "a library stands by itself, it can't import another");
        let fault = fault.help("put what both need into one file");
        Err(place(fault, source, import.position()))
    })
}

/// Makes the functions of libraries known to a script's engine.
///
/// # Errors
/// The engine can't take one up.
pub(crate) fn register(engine: &mut Engine, imports: &[Imported]) -> Result<(), Diagnostic> {
    for import in imports {
        let library = &import.library;
        // Nothing runs: what stands at the top of a library are constants.
        let module = Module::eval_ast_as_new(Scope::new(), &library.ast, &library.engine)
            .map_err(|error| while_running(&error, &library.source).diagnostic)?;
        engine.register_static_module(&import.alias, module.into());
    }
    Ok(())
}
