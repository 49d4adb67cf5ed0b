//! A compiled script: a tree whose names are places.

use std::sync::Arc;

use glost_core::rules::{Level, Range};

use super::calls::Native;
use super::properties::Property;
use super::value::{Constant, KEYS};

/// A script's functions.
#[derive(Debug)]
pub(crate) struct Program {
    /// Those that are called, whoever is called before who calls.
    pub(super) functions: Vec<Function>,
    /// The place of the entry function.
    pub(super) entry: usize,
}

/// One function.
#[derive(Debug)]
pub(super) struct Function {
    /// Variables alive at once, parameters first.
    pub(super) slots: usize,
    pub(super) body: Block,
    /// No fewer steps than the engine takes through the body once, calls and turns of loops
    /// left out.
    pub(super) steps: u64,
    /// How deep expressions are nested in it and in what it calls.
    pub(super) depth: usize,
    /// Whether it, or what it calls, says something of the glaze.
    pub(super) speaks: bool,
}

/// Statements; worth what the last of them is.
pub(super) type Block = Box<[Node]>;

/// An operator between two values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Operator {
    Plus,
    Minus,
    Times,
    Over,
    Rest,
    Same,
    Other,
    Less,
    LessOrSame,
    More,
    MoreOrSame,
}

/// What is evaluated or done.
#[derive(Debug)]
pub(super) enum Node {
    Constant(Constant),
    Slot(usize),
    Template(Box<[Piece]>),
    /// A table with the keys of a finding.
    Table(Box<Cells>),
    Property(Box<Node>, Box<Property>),
    /// An oxide's amount by a name that is worked out.
    Index(Box<(Node, Node)>),
    Not(Box<Node>),
    Negative(Box<Node>),
    Operation(Operator, Box<(Node, Node)>),
    All(Box<[Node]>),
    Any(Box<[Node]>),
    Native(Native, Box<[Node]>),
    /// The ranges that amounts miss.
    Within(Box<Node>, Box<[(Arc<str>, Range)]>),
    Call(usize, Box<[Node]>),
    Say(Box<Say>),
    If(Box<(Node, Node, Node)>),
    Switch(Box<Switch>),
    Block(Block),
    /// A variable, or a key of the table it holds, set or changed by an operator.
    Set(Target, Option<Operator>, Box<Node>),
    For(Box<Turns>),
    Return(Box<Node>),
    Break,
    Continue,
}

/// What a finding's table is made of.
pub(super) type Cells = [Option<Node>; KEYS.len()];

/// A part of a text.
#[derive(Debug)]
pub(super) enum Piece {
    Plain(Box<str>),
    /// Any value.
    Shown(Node),
    /// What `+` joins to a text.
    Joined(Node),
    /// `fixed(x, decimals)`
    Fixed(Node, usize),
}

/// Where a value goes.
#[derive(Debug)]
pub(super) struct Target {
    pub(super) slot: usize,
    pub(super) key: Option<usize>,
}

/// Something said of the glaze.
#[derive(Debug)]
pub(super) struct Say {
    pub(super) level: Level,
    pub(super) line: Option<usize>,
    pub(super) owner: Node,
    pub(super) what: What,
}

/// How it is said.
#[derive(Debug)]
pub(super) enum What {
    /// Subject, message and a value.
    Short(Node, Node, Option<Node>),
    /// A table that is written out there.
    Cells(Cells),
    /// A table that was made before.
    Table(Node),
}

/// `switch` on a text.
#[derive(Debug)]
pub(super) struct Switch {
    pub(super) of: Node,
    pub(super) cases: Box<[(Box<str>, usize)]>,
    pub(super) default: Option<usize>,
    pub(super) arms: Box<[Node]>,
}

/// `for`
#[derive(Debug)]
pub(super) struct Turns {
    pub(super) counter: Option<usize>,
    pub(super) slot: usize,
    pub(super) through: Node,
    pub(super) body: Block,
    /// As [`Function::steps`], for one turn.
    pub(super) steps: u64,
}

impl Node {
    pub(super) const NOTHING: Node = Node::Constant(Constant::Nothing);
}
