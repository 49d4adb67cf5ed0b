//! Goes through the statements and expressions of one function.

use std::collections::HashSet;

use glost_chemistry::diagnostic::{Diagnostic, of_typed};
use rhai::{ASTFlags, ASTNode, BinaryExpr, Expr, FnCallExpr, FnPtr, OpAssignment, Position, Stmt, StmtBlock};

use crate::engine::entries;
use crate::shelf::Form;
use crate::sort::Sort;

use super::names::{assigned, calls};
use super::{Function, Whole};

/// Mistakes with their places.
pub(super) type Mistakes = Vec<(Position, Diagnostic)>;

/// The walk through one function.
pub(super) struct Walk<'a> {
    pub(super) whole: &'a Whole<'a>,
    /// Whether this is a function of a library, and no test of it: it hangs on nothing but
    /// what it is handed, and speaks by what it gives back.
    pub(super) is_pure: bool,
    /// What the kind's function would be handed besides, where this is that function and takes
    /// too few.
    pub(super) missing: Vec<&'static str>,
    /// Whether this is the function that the kind calls.
    pub(super) is_entry: bool,
    pub(super) names: Vec<(String, Sort)>,
    /// Parameters of the script's own functions, and what was made of them: their sorts are
    /// those of the calls that can be read, so a guard may stand for others.
    pub(super) handed_over: HashSet<String>,
    /// Whether the chain that is followed begins at one of those.
    pub(super) from_handed: bool,
    /// How many `try` stand around this place: what is tried may go wrong.
    pub(super) tried: usize,
    /// Names that are assigned to somewhere: what they hold may change.
    pub(super) changing: HashSet<String>,
    pub(super) mistakes: Mistakes,
    /// Calls of the script's own functions with the sorts handed over.
    pub(super) calls: Vec<((String, usize), Vec<Sort>)>,
    /// Own functions that stand as values: nobody knows what they are called with.
    pub(super) handed_on: HashSet<String>,
}

impl<'a> Walk<'a> {
    pub(super) fn new(whole: &'a Whole<'a>) -> Walk<'a> {
        Walk {
            whole,
            is_pure: false,
            missing: Vec::new(),
            is_entry: false,
            names: Vec::new(),
            handed_over: HashSet::new(),
            from_handed: false,
            tried: 0,
            changing: HashSet::new(),
            mistakes: Vec::new(),
            calls: Vec::new(),
            handed_on: HashSet::new(),
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

    /// A mistake in the kinds of values, which `try` may be there for.
    pub(super) fn unless_tried(&mut self, position: Position, diagnostic: Diagnostic) {
        if self.tried == 0 {
            self.mistake(position, diagnostic);
        }
    }

    pub(super) fn function(&mut self, function: &Function) {
        self.is_pure = self.whole.is_library && !function.definition.name.starts_with("test_");
        self.is_entry = function.definition.name == self.whole.kind.word() && !self.whole.is_library;
        self.missing = self.missing_of(function);
        self.changing = assigned(&function.alone);
        self.changing.extend(self.whole.closures_change.iter().cloned());
        // A function that asks for the kind of a value takes several.
        let asks = calls(&function.alone, "type_of") && !function.is_called_by_the_engine;
        for (name, sort) in function.definition.params.iter().zip(&function.parameters) {
            if !function.is_called_by_the_engine {
                self.handed_over.insert(name.to_string());
            }
            self.name(name, if asks { Sort::Any } else { *sort });
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
                self.made_of(&declared.0.name, &declared.1);
                self.name(&declared.0.name, sort);
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
                self.made_of(&parts.0.name, &parts.2.expr);
                self.name(&parts.0.name, item_of(gone_through));
                if let Some(counter) = &parts.1 {
                    self.name(&counter.name, Sort::Number);
                }
                self.block(&parts.2.body);
                self.names.truncate(depth);
            }
            Stmt::TryCatch(flow, _) => {
                self.tried += 1;
                self.block(&flow.body);
                self.tried -= 1;
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
            self.unless_tried(end_of(expression), fault.help("compare it with something: `x > 0`"));
        }
    }

    fn chain(&mut self, sides: &BinaryExpr, is_index: bool, flags: ASTFlags) -> Sort {
        let owner = self.expression(&sides.lhs);
        let hangs = self.hangs_on_handed(&sides.lhs);
        let around = std::mem::replace(&mut self.from_handed, hangs);
        let sort = self.links(owner, &sides.rhs, is_index, flags);
        self.from_handed = around;
        sort
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
            self.unless_tried(position, fault);
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
