//! Names: what they stand for, how certain that is, and what was meant by one that nobody knows.

use std::collections::HashSet;

use glost_chemistry::diagnostic::{Diagnostic, did_you_mean, nearest, of_typed};
use rhai::{AST, ASTNode, Expr, Position, Stmt};

use crate::engine::entries;
use crate::kinds::Kind;
use crate::shelf::Form;
use crate::sort::Sort;

use super::Function;
use super::walk::Walk;

impl Walk<'_> {
    /// Whether what an expression gives hangs on something that was handed over.
    pub(super) fn hangs_on_handed(&self, expression: &Expr) -> bool {
        let mut hangs = false;
        expression.walk(&mut Vec::new(), &mut |path| {
            if let Some(ASTNode::Expr(Expr::Variable(name, ..))) = path.last() {
                hangs |= self.handed_over.contains(name.1.as_str());
            }
            !hangs
        });
        hangs
    }

    /// A name made of something that was handed over is no more certain than that.
    pub(super) fn made_of(&mut self, name: &str, expression: &Expr) {
        if self.hangs_on_handed(expression) {
            self.handed_over.insert(name.to_owned());
        }
    }

    /// Makes a name known; one that changes may hold anything.
    pub(super) fn name(&mut self, name: &str, sort: Sort) {
        let sort = if self.changing.contains(name) { Sort::Any } else { sort };
        self.names.push((name.to_owned(), sort));
    }

    /// The names that a kind's function which takes too few leaves out: the last of those that
    /// it doesn't have.
    pub(super) fn missing_of(&self, function: &Function) -> Vec<&'static str> {
        let (kind, taken) = (self.whole.kind, &function.definition.params);
        let handed = kind.parameters();
        let right = (kind.word().to_owned(), handed.len());
        if !self.is_entry || self.whole.functions.contains_key(&right) {
            return Vec::new();
        }
        let names = handed.iter().map(|parameter| parameter.0).rev();
        let unnamed = names.filter(|name| !taken.iter().any(|taken| taken == name));
        unnamed.take(handed.len().saturating_sub(taken.len())).collect()
    }

    /// A name that stands by itself.
    pub(super) fn variable(&mut self, name: &str, position: Position) -> Sort {
        if self.whole.lost.contains(name) {
            return Sort::Any;
        }
        if let Some(known) = self.names.iter().rev().find(|known| known.0 == name) {
            return known.1;
        }
        if let Some(constant) = self.whole.constants.get(name) {
            return sort_of_literal(constant);
        }
        if let Some(entry) = entries()
            .iter()
            .find(|entry| entry.form == Form::Global && entry.name == name)
        {
            if self.is_pure {
                let fault = Diagnostic::error("not-pure", "a library doesn't see this");
                self.mistake(
                    position,
                    fault.help("hand in what the function needs: it hangs on nothing else"),
                );
            }
            return entry.returns;
        }
        if self.whole.named().any(|function| function.0 == name) {
            self.handed_on.insert(name.to_owned());
            return Sort::Function;
        }
        if self.missing.contains(&name) {
            // That the function takes too few is told where it is defined.
            return Sort::Any;
        }
        let fault = Diagnostic::error("unknown-name", format!("nothing here is called `{name}`"));
        let help = self.help_for_name(name);
        self.mistake(position, fault.maybe_help(help));
        Sort::Any
    }

    fn help_for_name(&self, name: &str) -> Option<String> {
        let known: Vec<&str> = self
            .names
            .iter()
            .map(|known| known.0.as_str())
            .chain(self.whole.constants.keys().map(String::as_str))
            .collect();
        if let Some(near) = nearest(name, known) {
            return Some(did_you_mean(near));
        }
        if glost_chemistry::oxides::Oxide::from_formula(name).is_some() {
            return Some(format!("the unity formula has it: `glaze.unity.{name}`"));
        }
        if self.whole.options.contains(&name) {
            return Some(format!("options are asked for by `option.{name}`"));
        }
        if let Some(help) = self.handed_elsewhere(name) {
            return Some(help);
        }
        let globals = entries().iter().filter(|entry| entry.form == Form::Global);
        let mut functions: Vec<&str> = self.whole.named().map(|function| function.0.as_str()).collect();
        functions.sort_unstable();
        nearest(name, globals.map(|entry| entry.name).chain(functions))
            .map(did_you_mean)
            .or_else(|| crate::foreign::word(name).map(str::to_owned))
            .or_else(|| Some("make it with `let`; a text goes in quotes".to_owned()))
    }

    /// How an entry function that takes all it is handed calls what its kind calls otherwise.
    fn handed_as(&self, name: &str) -> Option<&str> {
        self.is_entry.then_some(())?;
        let parameters = self.whole.kind.parameters();
        let place = parameters.iter().position(|parameter| parameter.0 == name)?;
        let function = self
            .whole
            .functions
            .get(&(self.whole.kind.word().to_owned(), parameters.len()))?;
        function.definition.params.get(place).map(|called| called.as_str())
    }

    /// What an entry function is handed, of this kind or of another.
    fn handed_elsewhere(&self, name: &str) -> Option<String> {
        let is_handed = |kind: &Kind| kind.parameters().iter().any(|parameter| parameter.0 == name);
        let own = self.whole.kind;
        if is_handed(&own) {
            if let Some(called) = self.handed_as(name) {
                return Some(format!("`{}` hands it over by the name `{called}`", own.word()));
            }
            let help = of_typed(own.word(), "alone is handed it: hand it on to this function");
            return Some(help);
        }
        let kind = Kind::all().find(is_handed)?;
        Some(format!(
            "only a script of kind `{}` is handed it: `{}`",
            kind.word(),
            kind.entry()
        ))
    }
}

/// Whether a function of this name is called anywhere in a text.
pub(super) fn calls(ast: &AST, name: &str) -> bool {
    let mut found = false;
    ast.walk(&mut |path| {
        found |= match path.last() {
            Some(ASTNode::Expr(Expr::FnCall(call, _) | Expr::MethodCall(call, _))) => call.name == name,
            Some(ASTNode::Stmt(Stmt::FnCall(call, _))) => call.name == name,
            _ => false,
        };
        !found
    });
    found
}

/// Names that are assigned to.
pub(super) fn assigned(ast: &AST) -> HashSet<String> {
    let mut names = HashSet::new();
    ast.walk(&mut |path| {
        if let Some(ASTNode::Stmt(Stmt::Assignment(assignment))) = path.last()
            && let Expr::Variable(name, ..) = &assignment.1.lhs
        {
            names.insert(name.1.to_string());
        }
        true
    });
    names
}

fn sort_of_literal(literal: &crate::literal::Literal) -> Sort {
    use crate::literal::Shape;
    match &literal.shape {
        Shape::List(_) => Sort::List(&Sort::Any),
        Shape::Table(_) => Sort::Table,
        Shape::Plain(value) if value.is_string() => Sort::Text,
        Shape::Plain(value) if value.is_bool() => Sort::YesNo,
        // A constant that is nothing is one to be filled in; a guard asks.
        Shape::Plain(value) if value.is_unit() => Sort::Any,
        Shape::Plain(_) => Sort::Number,
    }
}
