//! Goes through the statements and expressions of one function.

use std::collections::HashSet;

use glost_chemistry::diagnostic::{Diagnostic, did_you_mean, nearest, of_typed};
use rhai::{ASTFlags, ASTNode, BinaryExpr, Expr, FnCallExpr, FnPtr, OpAssignment, Position, Stmt, StmtBlock};

use crate::engine::entries;
use crate::kinds::Kind;
use crate::shelf::Form;
use crate::sort::Sort;

use super::{Function, Whole};

/// Mistakes with their places.
pub(super) type Mistakes = Vec<(Position, Diagnostic)>;

/// The walk through one function.
pub(super) struct Walk<'a> {
    pub(super) whole: &'a Whole<'a>,
    /// Whether this is a function of a library, and no test of it: it hangs on nothing but
    /// what it is handed, and speaks by what it gives back.
    pub(super) is_pure: bool,
    /// Whether this is the function that the kind calls.
    is_entry: bool,
    names: Vec<(String, Sort)>,
    /// Names that are assigned to somewhere: what they hold may change.
    changing: HashSet<String>,
    pub(super) mistakes: Mistakes,
    /// Calls of the script's own functions with the sorts handed over.
    pub(super) calls: Vec<((String, usize), Vec<Sort>)>,
}

impl<'a> Walk<'a> {
    pub(super) fn new(whole: &'a Whole<'a>) -> Walk<'a> {
        Walk {
            whole,
            is_pure: false,
            is_entry: false,
            names: Vec::new(),
            changing: HashSet::new(),
            mistakes: Vec::new(),
            calls: Vec::new(),
        }
    }

    /// Whether a variable has this name here.
    pub(super) fn knows(&self, name: &str) -> bool {
        self.names.iter().any(|known| known.0 == name)
    }

    /// What a value of a sort is called here: a variable's name, else that of the sort.
    pub(super) fn called_here(&self, sort: Sort) -> &str {
        let known = self.names.iter().rev().find(|known| known.1 == sort);
        known.map_or(sort.word(), |known| known.0.as_str())
    }

    pub(super) fn mistake(&mut self, position: Position, diagnostic: Diagnostic) {
        self.mistakes.push((position, diagnostic));
    }

    pub(super) fn function(&mut self, function: &Function) {
        self.is_entry = function.definition.name == self.whole.kind.word() && !self.whole.is_library;
        self.is_pure = self.whole.is_library && !function.definition.name.starts_with("test_");
        function.alone.walk(&mut |path| {
            if let Some(ASTNode::Stmt(Stmt::Assignment(assignment))) = path.last()
                && let Expr::Variable(name, ..) = &assignment.1.lhs
            {
                self.changing.insert(name.1.to_string());
            }
            true
        });
        for (name, sort) in function.definition.params.iter().zip(&function.parameters) {
            let sort = if self.changing.contains(name.as_str()) {
                Sort::Any
            } else {
                *sort
            };
            self.names.push((name.to_string(), sort));
        }
        function.alone.walk(&mut |path| {
            if let [ASTNode::Stmt(statement)] = path {
                self.statement(statement);
            }
            true
        });
    }

    fn block(&mut self, block: &StmtBlock) {
        let depth = self.names.len();
        self.statements(block.statements());
        self.names.truncate(depth);
    }

    fn statements(&mut self, statements: &[Stmt]) {
        for statement in statements {
            self.statement(statement);
        }
    }

    fn statement(&mut self, statement: &Stmt) {
        match statement {
            Stmt::Var(declared, ..) => {
                let sort = self.expression(&declared.1);
                let name = declared.0.name.to_string();
                let sort = if self.changing.contains(&name) { Sort::Any } else { sort };
                self.names.push((name, sort));
            }
            Stmt::If(flow, _) | Stmt::While(flow, _) | Stmt::Do(flow, ..) => {
                self.truth(&flow.expr);
                self.block(&flow.body);
                self.block(&flow.branch);
            }
            Stmt::Switch(switch, position) => {
                let subject = self.expression(&switch.0);
                if let Some(fault) = super::switches::unlike_case(subject, *position, self.whole.source) {
                    self.mistakes.push(fault);
                }
                for case in &switch.1.expressions {
                    self.expression(&case.lhs);
                    self.expression(&case.rhs);
                }
            }
            Stmt::For(parts, _) => {
                let gone_through = self.expression(&parts.2.expr);
                let depth = self.names.len();
                self.names.push((parts.0.name.to_string(), item_of(gone_through)));
                if let Some(counter) = &parts.1 {
                    self.names.push((counter.name.to_string(), Sort::Number));
                }
                self.block(&parts.2.body);
                self.names.truncate(depth);
            }
            Stmt::TryCatch(flow, _) => {
                self.block(&flow.body);
                let depth = self.names.len();
                if let Expr::Variable(caught, ..) = &flow.expr {
                    self.names.push((caught.1.to_string(), Sort::Any));
                }
                self.block(&flow.branch);
                self.names.truncate(depth);
            }
            Stmt::Assignment(assignment) => self.assignment(&assignment.0, &assignment.1),
            Stmt::FnCall(call, position) => {
                self.call(call, *position);
            }
            Stmt::Import(_, position) => {
                let fault = Diagnostic::error("not-at-the-top", "an import stands at the top of a script");
                self.mistake(*position, fault.help("put it above the functions"));
            }
            Stmt::Block(block) => self.block(block),
            Stmt::Expr(expression) => {
                self.expression(expression);
            }
            Stmt::BreakLoop(Some(expression), ..) | Stmt::Return(Some(expression), ..) => {
                self.expression(expression);
            }
            _ => {}
        }
    }

    fn assignment(&mut self, how: &OpAssignment, sides: &BinaryExpr) {
        let right = self.expression(&sides.rhs);
        if let Expr::Variable(name, _, position) = &sides.lhs {
            let name = name.1.as_str();
            let is_local = self.names.iter().any(|known| known.0 == name);
            if !is_local && (self.whole.constants.contains_key(name) || is_global(name)) {
                let fault = Diagnostic::error("read-only", of_typed(name, "can't be changed"));
                self.mistake(*position, fault.help("make a copy first: `let copy = ...`"));
                return;
            }
            self.variable(name, *position);
            return;
        }
        let left = self.expression(&sides.lhs);
        if let Some((owner, position)) = self.owner_of_last(&sides.lhs)
            && owner.is_closed()
            && !matches!(owner, Sort::List(_) | Sort::Text | Sort::Number)
        {
            let fault = Diagnostic::error("read-only", format!("{} can't be changed", owner.words()));
            self.mistake(
                position,
                fault.help("values from the engine are read only; `glaze.with_part` and `glaze.with_addition` make new recipes"),
            );
        }
        if how.is_op_assignment() {
            self.unlike(left, right, how.position());
        }
    }

    /// The sort that the last link of a chain belongs to.
    fn owner_of_last(&mut self, chain: &Expr) -> Option<(Sort, Position)> {
        let (Expr::Dot(sides, flags, _) | Expr::Index(sides, flags, _)) = chain else {
            return None;
        };
        let faults = self.mistakes.len();
        let mut owner = self.expression(&sides.lhs);
        let mut is_index = matches!(chain, Expr::Index(..));
        let mut flags = *flags;
        let mut link = &sides.rhs;
        loop {
            match link {
                Expr::Dot(next, next_flags, _) | Expr::Index(next, next_flags, _)
                    if !(is_index && flags.intersects(ASTFlags::BREAK)) =>
                {
                    owner = self.link(owner, &next.lhs, is_index);
                    is_index = matches!(link, Expr::Index(..));
                    flags = *next_flags;
                    link = &next.rhs;
                }
                last => {
                    self.mistakes.truncate(faults);
                    return Some((owner, last.position()));
                }
            }
        }
    }

    /// What an expression gives; mistakes in it are noted on the way.
    pub(super) fn expression(&mut self, expression: &Expr) -> Sort {
        match expression {
            Expr::BoolConstant(..) => Sort::YesNo,
            Expr::IntegerConstant(..) | Expr::FloatConstant(..) => Sort::Number,
            Expr::StringConstant(..) | Expr::CharConstant(..) => Sort::Text,
            Expr::Unit(_) => Sort::Nothing,
            Expr::InterpolatedString(parts, _) => {
                for part in parts.iter() {
                    self.expression(part);
                }
                Sort::Text
            }
            Expr::Array(items, _) => {
                for item in items.iter() {
                    self.expression(item);
                }
                Sort::List(&Sort::Any)
            }
            Expr::Map(table, _) => {
                for (_, value) in &table.0 {
                    self.expression(value);
                }
                Sort::Table
            }
            Expr::Variable(name, _, position) => self.variable(&name.1, *position),
            Expr::Stmt(block) => {
                self.block(block);
                Sort::Any
            }
            Expr::FnCall(call, position) => self.call(call, *position),
            Expr::Dot(sides, flags, _) => self.chain(sides, false, *flags),
            Expr::Index(sides, flags, _) => self.chain(sides, true, *flags),
            Expr::And(items, _) | Expr::Or(items, _) => {
                for item in items.iter() {
                    self.truth(item);
                }
                Sort::YesNo
            }
            Expr::Coalesce(items, _) => {
                for item in items.iter() {
                    self.expression(item);
                }
                Sort::Any
            }
            _ => Sort::Any,
        }
    }

    /// An expression that has to be true or false.
    fn truth(&mut self, expression: &Expr) {
        let sort = self.expression(expression);
        if matches!(sort, Sort::Number | Sort::Text)
            || (sort.is_closed() && !matches!(sort, Sort::YesNo | Sort::Nothing))
        {
            let fault = Diagnostic::error(
                "wrong-kind",
                format!("true or false is needed here, this is {}", sort.words()),
            );
            self.mistake(end_of(expression), fault.help("compare it with something: `x > 0`"));
        }
    }

    fn chain(&mut self, sides: &BinaryExpr, is_index: bool, flags: ASTFlags) -> Sort {
        let owner = self.expression(&sides.lhs);
        self.links(owner, &sides.rhs, is_index, flags)
    }

    /// Follows a chain from its second link on.
    fn links(&mut self, owner: Sort, link: &Expr, is_index: bool, flags: ASTFlags) -> Sort {
        match link {
            Expr::Dot(next, next_flags, _) | Expr::Index(next, next_flags, _)
                if !(is_index && flags.intersects(ASTFlags::BREAK)) =>
            {
                let owner = self.link(owner, &next.lhs, is_index);
                self.links(owner, &next.rhs, matches!(link, Expr::Index(..)), *next_flags)
            }
            last => self.link(owner, last, is_index),
        }
    }

    fn link(&mut self, owner: Sort, link: &Expr, is_index: bool) -> Sort {
        if is_index {
            let by = self.expression(link);
            return self.indexed(owner, by, link);
        }
        match link {
            Expr::Property(property, position) => self.property(owner, &property.2, *position),
            Expr::MethodCall(call, position) => self.method(owner, call, *position),
            other => self.expression(other),
        }
    }

    /// A name that stands by itself.
    fn variable(&mut self, name: &str, position: Position) -> Sort {
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
            return Sort::Function;
        }
        let handed = self.whole.kind.parameters().iter().any(|parameter| parameter.0 == name);
        if handed && self.is_entry {
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

    /// What an entry function is handed, of this kind or of another.
    fn handed_elsewhere(&self, name: &str) -> Option<String> {
        let is_handed = |kind: &Kind| kind.parameters().iter().any(|parameter| parameter.0 == name);
        let own = self.whole.kind;
        if is_handed(&own) {
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

    /// A closure with the names that it takes along.
    pub(super) fn closure(&mut self, call: &FnCallExpr) {
        let sorts: Vec<Sort> = call.args.iter().skip(1).map(|taken| self.expression(taken)).collect();
        let Some(Expr::DynamicConstant(value, _)) = call.args.first() else {
            return;
        };
        let Some(pointer) = value.read_lock::<FnPtr>() else {
            return;
        };
        let name = pointer.fn_name();
        let keys = self.whole.functions.keys().filter(|key| key.0 == name);
        for key in keys {
            let mut handed = sorts.clone();
            handed.resize(key.1, Sort::Any);
            self.calls.push((key.clone(), handed));
        }
    }

    /// Two sorts that can never be alike meet in a comparison.
    pub(super) fn unlike(&mut self, left: Sort, right: Sort, position: Position) {
        let certain = |sort: Sort| matches!(sort, Sort::Number | Sort::Text | Sort::YesNo);
        let text_joins = [left, right].contains(&Sort::Text) && [left, right].contains(&Sort::Number);
        if certain(left) && certain(right) && left != right && !text_joins {
            let fault = Diagnostic::error(
                "unlike-kinds",
                format!("{} and {} don't go together here", left.words(), right.words()),
            );
            self.mistake(position, fault);
        }
    }
}

/// Where the last link of a chain stands: what it gives is at fault.
fn end_of(expression: &Expr) -> Position {
    match expression {
        Expr::Dot(sides, ..) => end_of(&sides.rhs),
        other => other.position(),
    }
}

fn is_global(name: &str) -> bool {
    entries()
        .iter()
        .any(|entry| entry.form == Form::Global && entry.name == name)
}

/// What `for` hands out of it.
fn item_of(sort: Sort) -> Sort {
    match sort {
        Sort::List(item) => *item,
        Sort::Parts => Sort::Part,
        _ => Sort::Any,
    }
}

fn sort_of_literal(literal: &crate::literal::Literal) -> Sort {
    use crate::literal::Shape;
    match &literal.shape {
        Shape::List(_) => Sort::List(&Sort::Any),
        Shape::Table(_) => Sort::Table,
        Shape::Plain(value) if value.is_string() => Sort::Text,
        Shape::Plain(value) if value.is_bool() => Sort::YesNo,
        Shape::Plain(value) if value.is_unit() => Sort::Nothing,
        Shape::Plain(_) => Sort::Number,
    }
}
