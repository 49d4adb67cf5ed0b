//! From a script's text to a compiled one: expressions.

use glost_chemistry::oxides::Oxide;
use glost_core::rules::Level;
use rhai::{ASTFlags, BinaryExpr, Expr, FnCallExpr, Map, Position};

use crate::values::range;

use super::calls::{CALL_STEPS, NATIVES};
use super::compiler::Compiler;
use super::program::{Cells, Node, Operator, Piece, Say, What};
use super::properties::{self, Property};
use super::saying::FINDING_STEPS;
use super::value::Constant;

/// What is said of a glaze, by the method that says it.
const SAYINGS: [(&str, Level); 4] = [
    ("caution", Level::Caution),
    ("fail", Level::Fail),
    ("not_checked", Level::NotChecked),
    ("nothing", Level::NothingFound),
];

/// Operators between two values.
const OPERATORS: [(&str, Operator); 11] = [
    ("+", Operator::Plus),
    ("-", Operator::Minus),
    ("*", Operator::Times),
    ("/", Operator::Over),
    ("%", Operator::Rest),
    ("==", Operator::Same),
    ("!=", Operator::Other),
    ("<", Operator::Less),
    ("<=", Operator::LessOrSame),
    (">", Operator::More),
    (">=", Operator::MoreOrSame),
];

const FIXED: &str = "fixed";
const WITHIN: &str = "within";
/// No fewer steps than making a text of a few KB is counted as.
const TEXT_STEPS: u64 = 150;

impl Compiler<'_> {
    pub(super) fn expression(&mut self, expression: &Expr) -> Option<Node> {
        self.deeper(|compiler| compiler.one(expression))
    }

    fn one(&mut self, expression: &Expr) -> Option<Node> {
        self.step()?;
        match expression {
            Expr::InterpolatedString(pieces, _) => self.template(pieces),
            Expr::Map(table, _) => self.table(&table.0).map(|cells| Node::Table(Box::new(cells))),
            Expr::Variable(name, ..) => match self.slot_of(expression) {
                Some(slot) => Some(Node::Slot(slot)),
                None if name.2.is_empty() && !self.is_local(expression) => {
                    Constant::of(self.constants.get(name.1.as_str())?).map(Node::Constant)
                }
                None => None,
            },
            Expr::Stmt(block) => self.block(block).map(Node::Block),
            Expr::FnCall(call, _) => self.call(call),
            Expr::Dot(sides, flags, _) => self.chain(sides, false, *flags),
            Expr::Index(sides, flags, _) => self.chain(sides, true, *flags),
            Expr::And(items, _) => self.parts(items.iter()).map(Node::All),
            Expr::Or(items, _) => self.parts(items.iter()).map(Node::Any),
            other => Constant::of(&other.get_literal_value(None)?).map(Node::Constant),
        }
    }

    /// Whether the engine found a variable of the function's own there.
    fn is_local(&self, expression: &Expr) -> bool {
        matches!(expression, Expr::Variable(name, short, _) if short.is_some() || name.0.is_some())
    }

    fn parts<'e>(&mut self, items: impl IntoIterator<Item = &'e Expr>) -> Option<Box<[Node]>> {
        items.into_iter().map(|item| self.part(item)).collect()
    }

    fn template(&mut self, pieces: &[Expr]) -> Option<Node> {
        self.steps += TEXT_STEPS;
        let pieces = pieces.iter().map(|piece| self.piece(piece));
        pieces.collect::<Option<_>>().map(Node::Template)
    }

    fn piece(&mut self, piece: &Expr) -> Option<Piece> {
        self.steps += TEXT_STEPS;
        if let Expr::StringConstant(text, _) = piece {
            return Some(Piece::Plain(text.as_str().into()));
        }
        if let Expr::Stmt(block) = piece
            && let [rhai::Stmt::Expr(own)] = block.statements()
        {
            return self.piece(own);
        }
        if let Expr::FnCall(call, _) = piece
            && let Some((of, decimals)) = self.fixed(call)
        {
            self.steps += CALL_STEPS;
            return self.part(of).map(|of| Piece::Fixed(of, decimals));
        }
        self.part(piece).map(Piece::Shown)
    }

    /// What is shown with how many decimals, where a call is `fixed(x, 2)`.
    fn fixed<'e>(&self, call: &'e FnCallExpr) -> Option<(&'e Expr, usize)> {
        let [of, Expr::IntegerConstant(decimals, _)] = call.args.as_slice() else {
            return None;
        };
        let is_own = self.has_function(FIXED, 2) || call.is_qualified();
        let decimals = usize::try_from(*decimals).ok().filter(|decimals| *decimals <= 12)?;
        (call.name == FIXED && !is_own).then_some((of, decimals))
    }

    /// A table with no other keys than a finding's.
    fn table(&mut self, entries: &[(rhai::Ident, Expr)]) -> Option<Cells> {
        let mut cells = Cells::default();
        let (mut before, mut in_order, mut speaks) = (0, true, false);
        for (name, value) in entries {
            let value = self.part(value)?;
            let key = properties::key(&name.name)?;
            in_order &= before <= key;
            before = key;
            speaks |= self.says(&value);
            cells[key] = Some(value);
        }
        // They are worked out in the order of the keys here.
        (in_order || !speaks).then_some(cells)
    }

    pub(super) fn call(&mut self, call: &FnCallExpr) -> Option<Node> {
        if call.is_qualified() || call.capture_parent_scope {
            return None;
        }
        if call.is_operator_call() {
            return self.operation(call);
        }
        let (name, count) = (call.name.as_str(), call.args.len());
        if self.has_function(name, count) {
            let arguments = self.parts(&call.args)?;
            let place = self.function(name, count)?;
            let (depth, speaks) = (self.done[place].depth, self.done[place].speaks);
            self.deepen(self.depth() + depth)?;
            self.speaks |= speaks;
            return Some(Node::Call(place, arguments));
        }
        if let (WITHIN, [amounts, ranges]) = (name, call.args.as_slice()) {
            let amounts = self.part(amounts)?;
            return self.within(amounts, ranges);
        }
        let arguments = self.parts(&call.args)?;
        self.native(name, arguments.into_vec())
    }

    fn native(&mut self, name: &str, arguments: Vec<Node>) -> Option<Node> {
        self.steps += CALL_STEPS + TEXT_STEPS;
        let known = NATIVES
            .iter()
            .find(|native| native.0 == name && native.1 == arguments.len())?;
        Some(Node::Native(known.2, arguments.into()))
    }

    fn within(&mut self, amounts: Node, ranges: &Expr) -> Option<Node> {
        let ranges = match ranges {
            Expr::Variable(name, ..) if self.slot_of(ranges).is_none() && !self.is_local(ranges) => {
                self.constants.get(name.1.as_str())?.clone()
            }
            other => other.get_literal_value(None)?,
        };
        let ranges = ranges.try_cast::<Map>()?;
        self.steps += CALL_STEPS + ranges.len() as u64;
        let ranges = ranges
            .iter()
            .map(|(name, ends)| Some((name.as_str().into(), range(name, ends).ok()?)));
        Some(Node::Within(Box::new(amounts), ranges.collect::<Option<_>>()?))
    }

    fn operation(&mut self, call: &FnCallExpr) -> Option<Node> {
        let name = call.name.as_str();
        match call.args.as_slice() {
            [of] => {
                let of = Box::new(self.part(of)?);
                match name.as_bytes() {
                    b"!" => Some(Node::Not(of)),
                    b"-" => Some(Node::Negative(of)),
                    _ => None,
                }
            }
            [left, right] => {
                let operator = OPERATORS.iter().find(|operator| operator.0 == name)?.1;
                self.steps += TEXT_STEPS;
                let (left, right) = (self.part(left)?, self.part(right)?);
                Some(joined(operator, left, right))
            }
            _ => None,
        }
    }

    fn chain(&mut self, sides: &BinaryExpr, is_index: bool, flags: ASTFlags) -> Option<Node> {
        if let (false, Expr::MethodCall(call, position)) = (is_index, &sides.rhs)
            && let Some(saying) = SAYINGS.iter().find(|saying| *call.name == *saying.0)
        {
            return self.saying(saying.1, &sides.lhs, call, *position);
        }
        let owner = self.part(&sides.lhs)?;
        self.links(owner, &sides.rhs, is_index, flags)
    }

    fn links(&mut self, owner: Node, link: &Expr, is_index: bool, flags: ASTFlags) -> Option<Node> {
        self.step()?;
        if flags.intersects(ASTFlags::NEGATED) {
            return None;
        }
        match link {
            Expr::Dot(next, next_flags, _) | Expr::Index(next, next_flags, _)
                if !(is_index && flags.intersects(ASTFlags::BREAK)) =>
            {
                let owner = self.link(owner, &next.lhs, is_index)?;
                self.links(owner, &next.rhs, matches!(link, Expr::Index(..)), *next_flags)
            }
            last => self.link(owner, last, is_index),
        }
    }

    fn link(&mut self, owner: Node, link: &Expr, is_index: bool) -> Option<Node> {
        if is_index {
            if let Expr::StringConstant(name, _) = link {
                // Only amounts have anything by a name in brackets here.
                Oxide::from_formula(name)?;
                let name = Node::Constant(Constant::Text(name.as_str().into()));
                return Some(Node::Index(Box::new((owner, name))));
            }
            let name = self.part(link)?;
            return (!self.says(&name)).then(|| Node::Index(Box::new((owner, name))));
        }
        match link {
            Expr::Property(property, _) => {
                let property = Property::named(&property.2, &self.options)?;
                Some(Node::Property(Box::new(owner), Box::new(property)))
            }
            Expr::MethodCall(call, _) => self.method(owner, call),
            _ => None,
        }
    }

    /// A method; the engine works out what stands in its brackets first.
    fn method(&mut self, owner: Node, call: &FnCallExpr) -> Option<Node> {
        let name = call.name.as_str();
        let is_saying = SAYINGS.iter().any(|saying| saying.0 == name);
        // A function of the script's own would be called on the value as `this`.
        if is_saying || call.is_qualified() || self.has_function(name, call.args.len()) {
            return None;
        }
        if let (WITHIN, [ranges]) = (name, call.args.as_slice()) {
            return self.within(owner, ranges);
        }
        let mut arguments = vec![owner];
        for argument in &call.args {
            let argument = self.part(argument)?;
            if self.says(&argument) {
                return None;
            }
            arguments.push(argument);
        }
        self.native(name, arguments)
    }

    fn saying(&mut self, level: Level, owner: &Expr, call: &FnCallExpr, position: Position) -> Option<Node> {
        self.steps += FINDING_STEPS;
        if call.is_qualified() || self.has_function(&call.name, call.args.len()) {
            return None;
        }
        let what = match call.args.as_slice() {
            [Expr::Map(table, _)] => What::Cells(self.table(&table.0)?),
            [table] => What::Table(self.part(table)?),
            [subject, message] => What::Short(self.part(subject)?, self.part(message)?, None),
            [subject, message, value] => What::Short(self.part(subject)?, self.part(message)?, Some(self.part(value)?)),
            _ => return None,
        };
        let owner = self.part(owner)?;
        self.speaks = true;
        Some(Node::Say(Box::new(Say {
            level,
            line: position.line(),
            owner,
            what,
        })))
    }
}

/// An operator between two; texts that grow by `+` are written in one go.
fn joined(operator: Operator, left: Node, right: Node) -> Node {
    match (operator, left) {
        (Operator::Plus, Node::Template(pieces)) => {
            let mut pieces = pieces.into_vec();
            match right {
                Node::Constant(Constant::Text(text)) => pieces.push(Piece::Plain((&*text).into())),
                Node::Template(more) => pieces.extend(more.into_vec()),
                other => pieces.push(Piece::Joined(other)),
            }
            Node::Template(pieces.into())
        }
        (operator, left) => Node::Operation(operator, Box::new((left, right))),
    }
}
