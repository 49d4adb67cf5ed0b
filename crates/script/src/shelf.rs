//! Everything a script may call, registered once with what is said about it.
//!
//! The same entries serve the engine, the checks at load and the reference
//! page, so none of them can know a name that the others don't.

use rhai::{FuncRegistration, Module, RhaiNativeFunc, Variant};

use crate::sort::Sort;

/// How a name is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// `value.name`.
    Property,
    /// `value.name(...)`.
    Method,
    /// `name(...)`; works as a method of its first argument too.
    Function,
    /// Between two values.
    Operator,
    /// `value["name"]`.
    Index,
    /// A name that stands by itself.
    Global,
}

/// One thing that a script may use.
#[derive(Debug, Clone)]
pub struct Entry {
    /// How it is used.
    pub form: Form,
    /// Whose it is; [`Sort::Any`] for plain functions.
    pub owner: Sort,
    /// Its name.
    pub name: &'static str,
    /// Its parameters as shown, without the owner.
    pub parameters: &'static str,
    /// What it gives.
    pub returns: Sort,
    /// One line about it.
    pub about: &'static str,
    /// An example; empty where the line says it all.
    pub example: &'static str,
    changes: bool,
    /// What each of its forms takes, the owner first.
    takes: Vec<Vec<Sort>>,
}

impl Entry {
    /// `owner.name`
    pub(crate) fn property(owner: Sort, name: &'static str, returns: Sort, about: &'static str) -> Entry {
        Entry {
            form: Form::Property,
            owner,
            name,
            parameters: "",
            returns,
            about,
            example: "",
            changes: false,
            takes: Vec::new(),
        }
    }

    /// `owner.name(parameters)`
    pub(crate) fn method(
        owner: Sort,
        name: &'static str,
        parameters: &'static str,
        returns: Sort,
        about: &'static str,
    ) -> Entry {
        Entry {
            form: Form::Method,
            parameters,
            ..Entry::property(owner, name, returns, about)
        }
    }

    /// `name(parameters)`
    pub(crate) fn function(name: &'static str, parameters: &'static str, returns: Sort, about: &'static str) -> Entry {
        Entry {
            form: Form::Function,
            parameters,
            ..Entry::property(Sort::Any, name, returns, about)
        }
    }

    /// `a name b`
    pub(crate) fn operator(name: &'static str, returns: Sort, about: &'static str) -> Entry {
        Entry {
            form: Form::Operator,
            ..Entry::property(Sort::Any, name, returns, about)
        }
    }

    /// `owner[parameters]`
    pub(crate) fn index(owner: Sort, parameters: &'static str, returns: Sort, about: &'static str) -> Entry {
        Entry {
            form: Form::Index,
            parameters,
            ..Entry::property(owner, "[]", returns, about)
        }
    }

    /// A name by itself.
    pub(crate) fn global(name: &'static str, returns: Sort, about: &'static str) -> Entry {
        Entry {
            form: Form::Global,
            ..Entry::property(Sort::Any, name, returns, about)
        }
    }

    /// With an example.
    pub(crate) fn example(self, example: &'static str) -> Entry {
        Entry { example, ..self }
    }

    /// It changes its owner.
    pub(crate) fn changes(self) -> Entry {
        Entry { changes: true, ..self }
    }

    /// Whether it leaves its owner as it is.
    pub(crate) fn makes_only(&self) -> bool {
        !self.changes
    }

    /// Whether some form of it takes values of these sorts, the owner first; what isn't known of
    /// a value lets it pass.
    pub(crate) fn may_take(&self, given: &[Sort]) -> bool {
        let fits = |form: &Vec<Sort>| {
            form.len() == given.len() && form.iter().zip(given).all(|(wanted, given)| may_be(*wanted, *given))
        };
        self.takes.iter().any(fits)
    }

    /// Number of arguments in a call, the owner not counted.
    pub(crate) fn arity(&self) -> usize {
        if self.parameters.is_empty() {
            0
        } else {
            self.parameters.split(',').count()
        }
    }
}

/// Whether a value of a sort may be handed over where one is wanted. What may be nothing is
/// guarded where it is used, so nothing passes, too.
fn may_be(wanted: Sort, given: Sort) -> bool {
    match (wanted, given) {
        (Sort::Any, _) | (_, Sort::Any | Sort::Nothing) | (Sort::List(_), Sort::List(_)) => true,
        (wanted, given) => wanted == given,
    }
}

/// The module for the engine with the entries beside it.
pub(crate) struct Shelf {
    pub(crate) module: Module,
    pub(crate) entries: Vec<Entry>,
}

impl Shelf {
    pub(crate) fn new() -> Shelf {
        Shelf {
            module: Module::new(),
            entries: Vec::new(),
        }
    }

    /// Puts a function on the shelf with its entry.
    pub(crate) fn add<A, const N: usize, const X: bool, R, const F: bool, FUNC>(&mut self, entry: Entry, function: FUNC)
    where
        A: 'static,
        R: Variant + Clone,
        FUNC: RhaiNativeFunc<A, N, X, R, F> + Send + Sync + 'static,
    {
        self.entries.push(entry);
        self.also(function);
    }

    /// A further form (other kinds of arguments) of the entry added last.
    pub(crate) fn also<A, const N: usize, const X: bool, R, const F: bool, FUNC>(&mut self, function: FUNC)
    where
        A: 'static,
        R: Variant + Clone,
        FUNC: RhaiNativeFunc<A, N, X, R, F> + Send + Sync + 'static,
    {
        if let Some(mut entry) = self.entries.pop() {
            entry.takes.push(FUNC::param_types().map(Sort::of_type).to_vec());
            self.form(&entry, function);
            self.entries.push(entry);
        }
    }

    /// A function that scripts reach without naming it.
    pub(crate) fn silent<A, const N: usize, const X: bool, R, const F: bool, FUNC>(
        &mut self,
        name: &str,
        function: FUNC,
    ) where
        A: 'static,
        R: Variant + Clone,
        FUNC: RhaiNativeFunc<A, N, X, R, F> + Send + Sync + 'static,
    {
        FuncRegistration::new(name)
            .in_global_namespace()
            .with_purity(true)
            .set_into_module(&mut self.module, function);
    }

    fn form<A, const N: usize, const X: bool, R, const F: bool, FUNC>(&mut self, entry: &Entry, function: FUNC)
    where
        A: 'static,
        R: Variant + Clone,
        FUNC: RhaiNativeFunc<A, N, X, R, F> + Send + Sync + 'static,
    {
        let registration = match entry.form {
            Form::Property => FuncRegistration::new_getter(entry.name),
            Form::Index => FuncRegistration::new_index_getter(),
            _ => FuncRegistration::new(entry.name),
        };
        registration
            .in_global_namespace()
            .with_purity(!entry.changes)
            .with_comments([entry.about])
            .set_into_module(&mut self.module, function);
    }
}
