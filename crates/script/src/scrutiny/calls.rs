//! Properties, methods, functions and indexes: whether they exist for what
//! they are asked of.

use glost_chemistry::diagnostic::{Diagnostic, did_you_mean, nearest, of_typed, suggestion};
use rhai::{Expr, FnCallExpr, Position};

use crate::engine::entries;
use crate::kinds::Kind;
use crate::reference::{belongs, forms_of, names_of};
use crate::shelf::{Entry, Form};
use crate::sort::Sort;

use super::walk::Walk;

/// Methods that the engine has on everything.
const EVERYWHERE: [&str; 4] = ["to_string", "to_debug", "type_of", "call"];

fn callable(form: Form) -> bool {
    matches!(form, Form::Function | Form::Method)
}

impl Walk<'_> {
    pub(super) fn property(&mut self, owner: Sort, name: &str, position: Position) -> Sort {
        if owner == Sort::Options {
            return self.option(name, position);
        }
        let found = entries()
            .iter()
            .find(|entry| entry.form == Form::Property && entry.name == name && belongs(entry, owner));
        if let Some(entry) = found {
            return entry.returns;
        }
        if owner == Sort::Row {
            return self.column(name, position);
        }
        if owner.is_closed() {
            let fault = Diagnostic::error("unknown-name", format!("{} `{name}`", owner.has_no()));
            let help = if names_of(owner).any(|known| known == name) {
                Some(format!("`{name}` is called: `.{name}(...)`"))
            } else {
                hint_elsewhere(name, owner)
                    .or_else(|| suggestion(name, names_of(owner)))
                    .or_else(|| Some("see what it has: `glost script reference`".to_owned()))
            };
            self.mistake(position, fault.maybe_help(help));
        }
        Sort::Any
    }

    fn option(&mut self, name: &str, position: Position) -> Sort {
        if self.whole.about_is_whole && !self.whole.options.contains(&name) {
            let fault = Diagnostic::error("unknown-option", format!("the script has no option `{name}`"));
            let help = if self.whole.options.is_empty() {
                Some("declare it in `ABOUT`: `options: #{ ... }`".to_owned())
            } else {
                suggestion(name, self.whole.options.iter().copied())
            };
            self.mistake(position, fault.maybe_help(help));
        }
        Sort::Any
    }

    /// A row has the columns that `ABOUT` declares for some table.
    fn column(&mut self, name: &str, position: Position) -> Sort {
        if self.whole.about_is_whole && !self.whole.columns.contains(&name) {
            let fault = Diagnostic::error("unknown-name", format!("no declared table has a column `{name}`"));
            let near = suggestion(name, self.whole.columns.iter().copied());
            let help = near.unwrap_or_else(|| "declare it in `ABOUT`, under `tables`".to_owned());
            self.mistake(position, fault.help(help));
        }
        Sort::Any
    }

    pub(super) fn method(&mut self, owner: Sort, call: &FnCallExpr, position: Position) -> Sort {
        let sorts: Vec<Sort> = call.args.iter().map(|argument| self.expression(argument)).collect();
        let (name, given) = (call.name.as_str(), call.args.len());
        let own_function = self
            .whole
            .named()
            .any(|function| function.0 == name && function.1 == given);
        if own_function || self.whole.lost.contains(name) || EVERYWHERE.contains(&name) || owner == Sort::Table {
            return Sort::Any;
        }
        let fits = |entry: &&Entry| match entry.form {
            Form::Method => owner == Sort::Any || belongs(entry, owner),
            Form::Function => true,
            _ => false,
        };
        let named: Vec<&Entry> = entries()
            .iter()
            .filter(|entry| entry.name == name)
            .filter(fits)
            .collect();
        let right: Vec<&Entry> = named
            .iter()
            .copied()
            .filter(|entry| entry.arity() == given + usize::from(entry.form == Form::Function))
            .collect();
        if let Some(first) = right.first() {
            self.may_speak(first, position);
            let owned = if self.from_handed { Sort::Any } else { owner };
            let given = [&[owned][..], &self.certain(&call.args, &sorts)].concat();
            self.handed(&right, given, position);
            self.closure_takes(name, owner, call);
            let agree = owner != Sort::Any && right.iter().all(|entry| entry.returns == first.returns);
            return if agree { first.returns } else { Sort::Any };
        }
        if !named.is_empty() {
            self.mistake(position, wrong_count(&named, given));
        } else if owner != Sort::Any {
            self.mistake(position, no_method(owner, name));
        }
        Sort::Any
    }

    pub(super) fn indexed(&mut self, owner: Sort, by: Sort, link: &Expr) -> Sort {
        match owner {
            Sort::List(item) => *item,
            Sort::Parts => match by {
                Sort::Text => Sort::Number,
                Sort::Number => Sort::Part,
                _ => Sort::Any,
            },
            Sort::Materials => Sort::Material,
            Sort::Oxides => {
                if let Expr::StringConstant(name, position) = link {
                    return self.property(owner, name, *position);
                }
                Sort::Number
            }
            Sort::Options => match link {
                Expr::StringConstant(name, position) => self.option(name, *position),
                _ => Sort::Any,
            },
            _ => Sort::Any,
        }
    }

    pub(super) fn call(&mut self, call: &FnCallExpr, position: Position) -> Sort {
        let name = call.name.as_str();
        if name == "curry" {
            self.closure(call);
            return Sort::Function;
        }
        let sorts: Vec<Sort> = call.args.iter().map(|argument| self.expression(argument)).collect();
        if call.is_operator_call() {
            return self.operator(name, &sorts, position);
        }
        let given = sorts.len();
        if self.whole.lost.contains(name) {
            return Sort::Any;
        }
        if !call.namespace.is_empty() {
            if self.whole.lost.contains(call.namespace.root()) {
                return Sort::Any;
            }
            self.library_call(call.namespace.root(), name, given, position);
            return Sort::Any;
        }
        if self.whole.functions.contains_key(&(name.to_owned(), given)) {
            // What is tried may be handed what the function doesn't take.
            let sorts = if self.tried > 0 { vec![Sort::Any; given] } else { sorts };
            self.calls.push(((name.to_owned(), given), sorts));
            return Sort::Any;
        }
        if let Some((_, wanted)) = self.whole.named().find(|function| function.0 == name) {
            let fault = Diagnostic::error(
                "wrong-count",
                format!("`{name}` takes {wanted} values here, not {given}"),
            );
            self.mistake(position, fault.help("see its definition"));
            return Sort::Any;
        }
        if EVERYWHERE.contains(&name) || name == "debug" {
            return Sort::Any;
        }
        let sorts = self.certain(&call.args, &sorts);
        self.shelf_call(name, &sorts, position)
    }

    /// What is handed over, as far as that is certain whoever calls this function.
    fn certain(&self, arguments: &[Expr], sorts: &[Sort]) -> Vec<Sort> {
        let both = arguments.iter().zip(sorts);
        let certain = both.map(|(argument, sort)| match self.hangs_on_handed(argument) {
            true => Sort::Any,
            false => *sort,
        });
        certain.collect()
    }

    fn shelf_call(&mut self, name: &str, sorts: &[Sort], position: Position) -> Sort {
        let given = sorts.len();
        let named: Vec<&Entry> = entries()
            .iter()
            .filter(|entry| entry.name == name && callable(entry.form))
            .collect();
        let arity = |entry: &Entry| entry.arity() + usize::from(entry.form == Form::Method);
        let right: Vec<&Entry> = named.iter().copied().filter(|entry| arity(entry) == given).collect();
        let asked_of = |entry: &&&Entry| entry.form == Form::Method && entry.arity() == given;
        let fits = right.iter().any(|entry| entry.may_take(sorts));
        if let Some(entry) = named.iter().find(asked_of).filter(|_| !fits) {
            let owner = self.called_here(entry.owner).to_owned();
            let fault = Diagnostic::error(
                "wrong-count",
                of_typed(name, format_args!("is asked of {}", entry.owner.words())),
            );
            self.mistake(position, fault.help(format!("write `{owner}.{name}(...)`")));
            return Sort::Any;
        }
        if let Some(first) = right.first() {
            self.may_speak(first, position);
            self.handed(&right, sorts.to_vec(), position);
            let agree = right.iter().all(|entry| entry.returns == first.returns);
            return if agree { first.returns } else { Sort::Any };
        }
        match named.is_empty() {
            false => self.mistake(position, wrong_count(&named, given)),
            true => {
                let fault = Diagnostic::error("unknown-function", format!("there is no function `{name}`"));
                let mut known: Vec<&str> = self.whole.named().map(|function| function.0.as_str()).collect();
                known.sort_unstable();
                known.extend(
                    entries()
                        .iter()
                        .filter(|entry| entry.form == Form::Function)
                        .map(|entry| entry.name),
                );
                let help = nearest(name, known).map(did_you_mean);
                let in_a_variable = self
                    .knows(name)
                    .then(|| format!("a function in a variable is called `{name}.call(...)`"));
                let help = in_a_variable.or_else(|| crate::foreign::call(name)).or(help);
                let help = help.unwrap_or_else(|| "see what there is: `glost script reference`".to_owned());
                self.mistake(position, fault.help(help));
            }
        }
        Sort::Any
    }

    /// No form of a function takes values of these sorts: the run would find none either.
    fn handed(&mut self, forms: &[&Entry], given: Vec<Sort>, position: Position) {
        if forms.iter().any(|entry| entry.may_take(&given)) {
            return;
        }
        let Some(first) = forms.first() else { return };
        let owned = first.form == Form::Method;
        let kinds: Vec<&str> = given.iter().skip(usize::from(owned)).map(|sort| sort.words()).collect();
        let message = of_typed(first.name, format_args!("can't be called with {}", kinds.join(", ")));
        let help = format!("it is written {}", forms_of(first.name).join(" or "));
        self.unless_tried(position, Diagnostic::error("wrong-kind", message).help(help));
    }

    /// `cones::hotter(...)`: the library is imported, and has such a function.
    fn library_call(&mut self, alias: &str, name: &str, given: usize, position: Position) {
        let Some(import) = self.whole.imports.iter().find(|import| import.alias == alias) else {
            let fault = Diagnostic::error("unknown-library", format!("no library is imported as `{alias}`"));
            let near = suggestion(alias, self.whole.imports.iter().map(|import| import.alias.as_str()));
            let help = near.unwrap_or_else(|| format!("at the top: `import \"lib/{alias}\" as {alias};`"));
            return self.mistake(position, fault.help(help));
        };
        if import.functions.contains(&(name.to_owned(), given)) {
            return;
        }
        let mut known: Vec<&(String, usize)> = import.functions.iter().collect();
        known.sort();
        let fault = match known.iter().find(|function| function.0 == name) {
            Some((_, takes)) => {
                let values = if *takes == 1 { "value" } else { "values" };
                let message = format!("`{alias}::{name}` takes {takes} {values}, it is given {given}");
                Diagnostic::error("wrong-count", message)
            }
            None => {
                let message = format!("the library `{alias}` has no function `{name}`");
                let near = suggestion(name, known.iter().map(|function| function.0.as_str()));
                Diagnostic::error("unknown-function", message).maybe_help(near)
            }
        };
        self.mistake(position, fault);
    }

    /// What a script says in a way that its kind has no use for would be lost.
    fn may_speak(&mut self, entry: &Entry, position: Position) {
        let spoken = entry.returns == Sort::Nothing || entry.returns == Sort::Report;
        let ours = matches!((entry.form, entry.owner), (Form::Function, _) | (_, Sort::Glaze));
        if !spoken || !ours {
            return;
        }
        if self.is_pure {
            if Kind::all().any(|kind| kind.speaks_by(entry.name)) {
                let message = "this is of no use in a library";
                let help = "a function of a library gives back what it found, and the script says it";
                self.mistake(position, Diagnostic::error("lost-words", message).help(help));
            }
            return;
        }
        if let Some((message, help)) = self.whole.kind.cannot_speak(entry.name) {
            self.mistake(position, Diagnostic::error("lost-words", message).help(help));
        }
    }

    fn operator(&mut self, name: &str, sorts: &[Sort], position: Position) -> Sort {
        match (name, sorts) {
            ("<" | "<=" | ">" | ">=" | "==" | "!=", [left, right]) => {
                self.compared(*left, *right, position);
                Sort::YesNo
            }
            ("in" | "!in" | "!", _) => Sort::YesNo,
            ("|", _) => {
                let fault = Diagnostic::error("script-syntax", "there is no `|` here");
                self.mistake(
                    position,
                    fault.maybe_help(crate::foreign::bits(name).map(str::to_owned)),
                );
                Sort::YesNo
            }
            ("+", [Sort::Text, _] | [_, Sort::Text]) => Sort::Text,
            ("+" | "-" | "*" | "/" | "%" | "**", [left, right]) => {
                self.unlike(*left, *right, position);
                if (*left, *right) == (Sort::Number, Sort::Number) {
                    Sort::Number
                } else {
                    Sort::Any
                }
            }
            _ => Sort::Any,
        }
    }

    fn compared(&mut self, left: Sort, right: Sort, position: Position) {
        let certain = |sort: Sort| matches!(sort, Sort::Number | Sort::Text | Sort::YesNo);
        if certain(left) && certain(right) && left != right {
            let fault = Diagnostic::error(
                "unlike-kinds",
                format!("{} can't be compared with {}", left.words(), right.words()),
            );
            let help = if (left, right) == (Sort::YesNo, Sort::Number) {
                "two comparisons are joined by `&&`: `2 < x && x < 3`"
            } else if [left, right].contains(&Sort::YesNo) {
                "compare numbers with numbers, texts with texts"
            } else {
                "a text becomes a number with `to_number(text)`; a cone with `cone_number(text)`"
            };
            self.unless_tried(position, fault.help(help));
        }
    }
}

/// The name exists, but on something else or in another form.
fn hint_elsewhere(name: &str, owner: Sort) -> Option<String> {
    let has = |sort: Sort| names_of(sort).any(|known| known == name);
    let called = crate::foreign::called_here(name).filter(|here| names_of(owner).any(|known| known == *here));
    match owner {
        Sort::Parts if called.is_some() => called.map(did_you_mean),
        Sort::Oxides if name.contains(':') => {
            Some("a ratio is asked for by its name: `glaze.unity.silica_to_alumina`".to_owned())
        }
        Sort::Glaze if has(Sort::Oxides) => Some(format!("the unity formula has it: `glaze.unity.{name}`")),
        Sort::Part if has(Sort::Material) => Some(format!("the material has it: `part.material.{name}`")),
        Sort::Proposal if has(Sort::Glaze) => Some(format!("the glaze has it: `proposal.glaze.{name}`")),
        Sort::Oxides if has(Sort::Glaze) => Some(format!("the glaze has it: `glaze.{name}`")),
        Sort::Parts => Some(format!(
            "a material's share is asked for in brackets: `[\"{name}\"]`; of one line: `[0]`"
        )),
        Sort::Materials => Some(format!("a material is asked for in brackets: `materials[\"{name}\"]`")),
        _ => crate::foreign::call(name),
    }
}

fn no_method(owner: Sort, name: &str) -> Diagnostic {
    let fault = Diagnostic::error("unknown-function", format!("{} `{name}(...)`", owner.has_no()));
    let is_property = entries()
        .iter()
        .any(|entry| entry.form == Form::Property && entry.name == name && belongs(entry, owner));
    let help = if is_property {
        Some(format!("`{name}` is read without brackets: `.{name}`"))
    } else if matches!(owner, Sort::Parts | Sort::Materials) {
        suggestion(name, names_of(owner))
    } else {
        hint_elsewhere(name, owner)
            .or_else(|| suggestion(name, names_of(owner)))
            .or_else(|| Some("see what it has: `glost script reference`".to_owned()))
    };
    fault.maybe_help(help)
}

fn wrong_count(named: &[&Entry], given: usize) -> Diagnostic {
    let mut forms: Vec<String> = Vec::new();
    for entry in named {
        let takes = match entry.parameters {
            "" => "nothing".to_owned(),
            parameters => format!("({parameters})"),
        };
        if !forms.contains(&takes) {
            forms.push(takes);
        }
    }
    let entry = named[0];
    let values = if given == 1 { "value" } else { "values" };
    let takes = forms.join(" or ");
    let message = of_typed(entry.name, format_args!("takes {takes}, it is given {given} {values}"));
    let fault = Diagnostic::error("wrong-count", message);
    match entry.name {
        "sort" => fault.help("`list.sorted_by(|x| ...)` puts in order by what a function makes of each item"),
        _ => fault.maybe_help((!entry.example.is_empty()).then(|| format!("such as `{}`", entry.example))),
    }
}
