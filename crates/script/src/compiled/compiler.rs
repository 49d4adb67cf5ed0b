//! From a script's text as the engine parsed it to a compiled one: functions and statements.
//!
//! `None` anywhere: something stands there that the compiled walk doesn't know, and the
//! whole script is left to the engine.

use std::collections::HashMap;

use rhai::{ASTFlags, ASTNode, BinaryExpr, Dynamic, Expr, OpAssignment, Stmt, StmtBlock, Token};

use crate::script::Script;

use super::program::{Block, Function, Node, Operator, Program, Target, Turns};
use super::properties;

/// No fewer steps than the engine takes for one node of its tree.
const NODE_STEPS: u64 = 10;
/// Variables of one function; the engine's bound lies above.
const SLOTS_MOST: usize = 100;
/// Expressions inside expressions, through calls: few enough for any thread's stack.
const DEPTH_MOST: usize = 150;

/// A function as it was parsed.
struct Parsed {
    parameters: Vec<String>,
    body: Vec<Stmt>,
}

/// How far a function is compiled.
#[derive(Debug, Clone, Copy)]
enum State {
    /// A call of it now is a call of itself.
    UnderWay,
    Done(usize),
}

/// What is known of the script, and of the function that is compiled.
pub(super) struct Compiler<'s> {
    pub(super) script: &'s Script,
    pub(super) constants: HashMap<String, Dynamic>,
    pub(super) options: Vec<String>,
    parsed: HashMap<(String, usize), Parsed>,
    states: HashMap<(String, usize), State>,
    pub(super) done: Vec<Function>,
    /// Variables in sight, in their order on the stack.
    scope: Vec<String>,
    slots: usize,
    pub(super) steps: u64,
    depth: usize,
    deepest: usize,
    pub(super) speaks: bool,
    /// Whether what is compiled is a part of an expression, where nothing may change.
    inside: usize,
}

/// Compiles a check.
pub(super) fn compile(script: &Script) -> Option<Program> {
    let mut parsed = HashMap::new();
    for (_, _, name, arity, definition) in script.ast.shared_lib().iter_script_fn_info() {
        let parameters = definition.params.iter().map(ToString::to_string).collect();
        let body = body_of(script, name, arity);
        parsed.insert((name.to_owned(), arity), Parsed { parameters, body });
    }
    let mut compiler = Compiler {
        script,
        constants: script.constants()?.into_iter().collect(),
        options: script.about.options.iter().map(|option| option.name.clone()).collect(),
        parsed,
        states: HashMap::new(),
        done: Vec::new(),
        scope: Vec::new(),
        slots: 0,
        steps: 0,
        depth: 0,
        deepest: 0,
        speaks: false,
        inside: 0,
    };
    let kind = script.about.kind;
    let entry = compiler.function(kind.word(), kind.parameters().len())?;
    Some(Program {
        functions: compiler.done,
        entry,
    })
}

/// The statements of one function.
fn body_of(script: &Script, name: &str, arity: usize) -> Vec<Stmt> {
    let mut alone = script.ast.clone();
    alone.clear_statements();
    alone.retain_functions(|_, _, other, count| other == name && count == arity);
    let mut body = Vec::new();
    alone.walk(&mut |path| {
        if let [ASTNode::Stmt(statement)] = path {
            body.push(Stmt::clone(statement));
        }
        true
    });
    body
}

impl Compiler<'_> {
    /// Whether the script has a function of this name.
    pub(super) fn has_function(&self, name: &str, arity: usize) -> bool {
        let key = (name.to_owned(), arity);
        self.parsed.contains_key(&key) || self.states.contains_key(&key)
    }

    /// The place of a function, compiled now unless it is already.
    pub(super) fn function(&mut self, name: &str, arity: usize) -> Option<usize> {
        let key = (name.to_owned(), arity);
        match self.states.get(&key) {
            Some(State::Done(place)) => return Some(*place),
            Some(State::UnderWay) => return None,
            None => {}
        }
        self.states.insert(key.clone(), State::UnderWay);
        let Parsed { parameters, body } = self.parsed.remove(&key)?;
        let slots = parameters.len();
        let outer = (
            std::mem::replace(&mut self.scope, parameters),
            std::mem::replace(&mut self.slots, slots),
            std::mem::take(&mut self.steps),
            std::mem::take(&mut self.depth),
            std::mem::take(&mut self.deepest),
            std::mem::take(&mut self.speaks),
            std::mem::take(&mut self.inside),
        );
        let body = self.statements(&body);
        let function = body.map(|body| Function {
            slots: self.slots,
            body,
            steps: self.steps + NODE_STEPS,
            depth: self.deepest,
            speaks: self.speaks,
        });
        (
            self.scope,
            self.slots,
            self.steps,
            self.depth,
            self.deepest,
            self.speaks,
            self.inside,
        ) = outer;
        let place = self.done.len();
        self.done.push(function?);
        self.states.insert(key, State::Done(place));
        Some(place)
    }

    /// Counts a node; `None` where they are nested too deep.
    pub(super) fn step(&mut self) -> Option<()> {
        self.steps += NODE_STEPS;
        self.deepen(self.depth)
    }

    /// What lies so deep is reached from here.
    pub(super) fn deepen(&mut self, depth: usize) -> Option<()> {
        self.deepest = self.deepest.max(depth);
        (self.deepest <= DEPTH_MOST).then_some(())
    }

    pub(super) fn depth(&self) -> usize {
        self.depth
    }

    /// A part of an expression: nothing in it may change a variable, since the engine reads
    /// some of them late.
    pub(super) fn part(&mut self, expression: &Expr) -> Option<Node> {
        self.inside += 1;
        let node = self.expression(expression);
        self.inside -= 1;
        node
    }

    /// One level further in.
    pub(super) fn deeper<T>(&mut self, what: impl FnOnce(&mut Self) -> Option<T>) -> Option<T> {
        self.depth += 1;
        let done = what(self);
        self.depth -= 1;
        done
    }

    fn statements(&mut self, statements: &[Stmt]) -> Option<Block> {
        statements.iter().map(|statement| self.statement(statement)).collect()
    }

    /// A block with variables of its own.
    pub(super) fn block(&mut self, block: &StmtBlock) -> Option<Block> {
        let before = self.scope.len();
        let nodes = self.deeper(|compiler| compiler.statements(block.statements()));
        self.scope.truncate(before);
        nodes
    }

    fn declared(&mut self, name: &str) -> Option<usize> {
        self.scope.push(name.to_owned());
        self.slots = self.slots.max(self.scope.len());
        (self.slots <= SLOTS_MOST).then(|| self.scope.len() - 1)
    }

    /// The variable so many places from the end, as the engine counts.
    pub(super) fn variable(&self, name: &str, from_the_end: usize) -> Option<usize> {
        let slot = self.scope.len().checked_sub(from_the_end)?;
        (self.scope.get(slot)? == name).then_some(slot)
    }

    fn statement(&mut self, statement: &Stmt) -> Option<Node> {
        self.step()?;
        match statement {
            Stmt::Noop(_) => Some(Node::NOTHING),
            Stmt::Expr(expression) => self.expression(expression),
            Stmt::Block(block) => self.block(block).map(Node::Block),
            Stmt::FnCall(call, _) => self.call(call),
            Stmt::Var(declared, flags, _) if flags.is_empty() => {
                let (name, value, again) = &**declared;
                let value = self.expression(value)?;
                let slot = match again {
                    Some(from_the_end) => self.variable(&name.name, from_the_end.get())?,
                    None => self.declared(&name.name)?,
                };
                Some(Node::Set(Target { slot, key: None }, None, Box::new(value)))
            }
            Stmt::Assignment(assignment) => self.assignment(&assignment.0, &assignment.1),
            Stmt::If(flow, _) => {
                let condition = self.expression(&flow.expr)?;
                let then = Node::Block(self.block(&flow.body)?);
                let other = Node::Block(self.block(&flow.branch)?);
                Some(Node::If(Box::new((condition, then, other))))
            }
            Stmt::Switch(switch, _) => self.switch(&switch.0, &switch.1),
            Stmt::For(..) => self.turns(statement),
            Stmt::Return(value, flags, _) if !flags.intersects(ASTFlags::BREAK) => {
                let value = match value {
                    Some(value) => self.expression(value)?,
                    None => Node::NOTHING,
                };
                Some(Node::Return(Box::new(value)))
            }
            Stmt::BreakLoop(None, flags, _) if flags.intersects(ASTFlags::BREAK) => Some(Node::Break),
            Stmt::BreakLoop(None, ..) => Some(Node::Continue),
            _ => None,
        }
    }

    fn turns(&mut self, statement: &Stmt) -> Option<Node> {
        let Stmt::For(parts, _) = statement else {
            return None;
        };
        let (name, counter, flow) = &**parts;
        let through = self.expression(&flow.expr)?;
        let before = self.scope.len();
        let counter = match counter {
            Some(counter) => Some(self.declared(&counter.name)?),
            None => None,
        };
        let slot = self.declared(&name.name)?;
        let steps = self.steps;
        let body = self.block(&flow.body)?;
        self.scope.truncate(before);
        Some(Node::For(Box::new(Turns {
            counter,
            slot,
            through,
            body,
            steps: self.steps - steps + NODE_STEPS,
        })))
    }

    fn assignment(&mut self, how: &OpAssignment, sides: &BinaryExpr) -> Option<Node> {
        if self.inside > 0 {
            return None;
        }
        self.steps += NODE_STEPS;
        let operator = match how.get_op_assignment_info() {
            None => None,
            Some((_, _, _, _, Token::Plus, _)) => Some(Operator::Plus),
            Some((_, _, _, _, Token::Minus, _)) => Some(Operator::Minus),
            Some((_, _, _, _, Token::Multiply, _)) => Some(Operator::Times),
            Some((_, _, _, _, Token::Divide, _)) => Some(Operator::Over),
            Some(_) => return None,
        };
        let value = self.expression(&sides.rhs)?;
        let (variable, key) = match &sides.lhs {
            Expr::Dot(of, flags, _) if !flags.intersects(ASTFlags::NEGATED) => match &of.rhs {
                Expr::Property(property, _) => (&of.lhs, Some(properties::key(&property.2)?)),
                _ => return None,
            },
            other => (other, None),
        };
        let slot = self.slot_of(variable)?;
        Some(Node::Set(Target { slot, key }, operator, Box::new(value)))
    }

    /// The place of a variable of the function's own.
    pub(super) fn slot_of(&self, expression: &Expr) -> Option<usize> {
        let Expr::Variable(name, short, _) = expression else {
            return None;
        };
        let short = short.map(|place| usize::from(place.get()));
        let from_the_end = short.or_else(|| name.0.map(std::num::NonZeroUsize::get))?;
        name.2.is_empty().then(|| self.variable(&name.1, from_the_end))?
    }
}
