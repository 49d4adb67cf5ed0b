//! Goes through a compiled script on one glaze.

use std::sync::Arc;

use glost_chemistry::oxides::Oxide;
use glost_core::rules::{Level, Range};

use crate::values::Amount;

use super::calls::{is_short, made, push_joined, push_shown};
use super::operators::operate;
use super::oxide_names;
use super::program::{Block, Node, Operator, Piece, Program, Switch, Target, Turns};
use super::properties::Seen;
use super::saying::shared;
use super::value::{Lines, List, Table, Text, Value};

/// Why a piece of a script isn't gone on with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Halt {
    /// The engine has to decide: nothing that was found so far counts.
    Odd,
    Return,
    Break,
    Continue,
}

pub(super) type Walked<T> = Result<T, Halt>;

/// One run.
pub(super) struct Walk<'a, 'f> {
    pub(super) program: &'a Program,
    pub(super) seen: Seen<'a>,
    /// Variables of all functions under way.
    stack: Vec<Value<'a>>,
    /// Where those of the present one begin.
    base: usize,
    returned: Value<'a>,
    /// Room for texts that are needed but once.
    scratch: String,
    pub(super) steps_left: u64,
    pub(super) output_left: usize,
    /// Makes a finding of what is said.
    pub(super) tell: &'f mut dyn FnMut(Told),
}

/// What is said of a glaze.
pub(super) struct Told {
    pub(super) level: Level,
    pub(super) line: Option<usize>,
    pub(super) subject: Arc<str>,
    pub(super) message: Arc<str>,
    /// Value, low, high.
    pub(super) amounts: [Option<f64>; 3],
}

pub(super) fn odd<T>(found: Option<T>) -> Walked<T> {
    found.ok_or(Halt::Odd)
}

impl<'a, 'f> Walk<'a, 'f> {
    pub(super) fn new(
        program: &'a Program,
        seen: Seen<'a>,
        (steps_left, output_left): (u64, usize),
        tell: &'f mut dyn FnMut(Told),
    ) -> Walk<'a, 'f> {
        Walk {
            program,
            seen,
            stack: Vec::with_capacity(16),
            base: 0,
            returned: Value::Nothing,
            scratch: String::new(),
            steps_left,
            output_left,
            tell,
        }
    }

    /// Calls the entry function; what a check gives back is nothing.
    pub(super) fn run(&mut self) -> Walked<()> {
        self.stack.push(Value::Glaze);
        self.stack.push(Value::Options);
        match self.enter(self.program.entry, 0)? {
            Value::Nothing => Ok(()),
            _ => Err(Halt::Odd),
        }
    }

    /// Runs a function whose arguments lie on the stack from a place on.
    fn enter(&mut self, function: usize, base: usize) -> Walked<Value<'a>> {
        let function = &self.program.functions[function];
        self.spend(function.steps)?;
        self.stack.resize_with(base + function.slots, Value::default);
        let outer = std::mem::replace(&mut self.base, base);
        let value = match self.block(&function.body) {
            Err(Halt::Return) => Ok(std::mem::take(&mut self.returned)),
            // A loop's own words outside of one are no program.
            Err(Halt::Break | Halt::Continue) => Err(Halt::Odd),
            other => other,
        };
        self.base = outer;
        self.stack.truncate(base);
        value
    }

    fn spend(&mut self, steps: u64) -> Walked<()> {
        self.steps_left = odd(self.steps_left.checked_sub(steps))?;
        Ok(())
    }

    pub(super) fn slot(&mut self, slot: usize) -> &mut Value<'a> {
        &mut self.stack[self.base + slot]
    }

    fn block(&mut self, block: &'a Block) -> Walked<Value<'a>> {
        let Some((last, before)) = block.split_last() else {
            return Ok(Value::Nothing);
        };
        for node in before {
            self.value(node)?;
        }
        self.value(last)
    }

    fn truth(&mut self, node: &'a Node) -> Walked<bool> {
        match self.value(node)? {
            Value::Truth(truth) => Ok(truth),
            _ => Err(Halt::Odd),
        }
    }

    pub(super) fn value(&mut self, node: &'a Node) -> Walked<Value<'a>> {
        match node {
            Node::Constant(constant) => Ok(constant.value()),
            Node::Slot(slot) => Ok(self.slot(*slot).clone()),
            Node::Template(pieces) => {
                let mut text = String::new();
                self.write(&mut text, pieces)?;
                odd(made(text))
            }
            Node::Table(cells) => {
                let [subject, message, value, low, high] = &**cells;
                let mut cell = |cell: &'a Option<Node>| cell.as_ref().map(|node| self.value(node)).transpose();
                let cells = [cell(subject)?, cell(message)?, cell(value)?, cell(low)?, cell(high)?];
                Ok(Value::Table(Box::new(Table(cells))))
            }
            Node::Property(owner, property) => match &**owner {
                Node::Slot(slot) => odd(property.read(&self.stack[self.base + slot], self.seen)),
                owner => odd(property.read(&self.value(owner)?, self.seen)),
            },
            Node::Index(sides) => self.indexed(&sides.0, &sides.1),
            Node::Not(of) => Ok(Value::Truth(!self.truth(of)?)),
            Node::Negative(of) => match self.value(of)? {
                Value::Number(number) => Ok(Value::Number(-number)),
                Value::Whole(number) => Ok(number
                    .checked_neg()
                    .map_or(Value::Number(-(number as f64)), Value::Whole)),
                _ => Err(Halt::Odd),
            },
            Node::Operation(operator, sides) => {
                let left = self.value(&sides.0)?;
                let right = self.value(&sides.1)?;
                odd(operate(*operator, left, &right))
            }
            Node::All(items) => Ok(Value::Truth(self.ends_with(items, false)?)),
            Node::Any(items) => Ok(Value::Truth(self.ends_with(items, true)?)),
            Node::If(parts) => {
                let (condition, then, other) = &**parts;
                let taken = if self.truth(condition)? { then } else { other };
                self.value(taken)
            }
            Node::Block(block) => self.block(block),
            other => self.done(other),
        }
    }

    /// What does something, or is done seldom.
    fn done(&mut self, node: &'a Node) -> Walked<Value<'a>> {
        match node {
            Node::Native(native, arguments) => {
                let mut values: [Value<'a>; 3] = Default::default();
                for (value, argument) in values.iter_mut().zip(arguments) {
                    *value = self.value(argument)?;
                }
                odd(native(self.seen, &values))
            }
            Node::Within(amounts, ranges) => self.within(amounts, ranges),
            Node::Call(function, arguments) => {
                let base = self.stack.len();
                for argument in arguments {
                    let value = self.value(argument)?;
                    self.stack.push(value);
                }
                self.enter(*function, base)
            }
            Node::Say(say) => self.say(say),
            Node::Switch(switch) => self.switch(switch),
            Node::Set(target, operator, value) => self.set(target, *operator, value),
            Node::For(turns) => self.turns(turns),
            Node::Return(value) => {
                self.returned = self.value(value)?;
                Err(Halt::Return)
            }
            Node::Break => Err(Halt::Break),
            Node::Continue => Err(Halt::Continue),
            _ => Err(Halt::Odd),
        }
    }

    /// Whether one of some is as asked, the rest left alone then; else the contrary.
    fn ends_with(&mut self, items: &'a [Node], asked: bool) -> Walked<bool> {
        for item in items {
            if self.truth(item)? == asked {
                return Ok(asked);
            }
        }
        Ok(!asked)
    }

    fn indexed(&mut self, owner: &'a Node, name: &'a Node) -> Walked<Value<'a>> {
        let name = self.value(name)?;
        let Value::Oxides(amounts) = self.value(owner)? else {
            return Err(Halt::Odd);
        };
        let amount = odd(Amount::named(odd(name.text())?))?;
        Ok(Value::Number(amounts.of(amount)))
    }

    fn within(&mut self, amounts: &'a Node, ranges: &'a [(Arc<str>, Range)]) -> Walked<Value<'a>> {
        let Value::Oxides(amounts) = self.value(amounts)? else {
            return Err(Halt::Odd);
        };
        let moles = odd(amounts.moles())?;
        let mut missed = Vec::new();
        for (name, range) in ranges {
            let value = range.subject.value(&moles, amounts.fluxes);
            if !value.is_some_and(|value| range.holds(value)) {
                let amount = |amount: Option<f64>| Some(Value::number_or_nothing(amount));
                let subject = Some(Value::Text(Text::Kept(name)));
                missed.push(Table([
                    subject,
                    None,
                    amount(value),
                    amount(range.low),
                    amount(range.high),
                ]));
            }
        }
        Ok(Value::List(List::Tables(missed)))
    }

    fn switch(&mut self, switch: &'a Switch) -> Walked<Value<'a>> {
        let value = self.value(&switch.of)?;
        // What is no text is none of the cases.
        let case = value.text().and_then(|text| {
            let mut cases = switch.cases.iter();
            cases.find(|case| *case.0 == *text).map(|case| case.1)
        });
        match case.or(switch.default) {
            Some(arm) => self.value(&switch.arms[arm]),
            None => Ok(Value::Nothing),
        }
    }

    fn set(&mut self, target: &Target, operator: Option<Operator>, value: &'a Node) -> Walked<Value<'a>> {
        let value = self.value(value)?;
        let slot = self.slot(target.slot);
        let Some(key) = target.key else {
            *slot = match operator {
                None => value,
                Some(operator) => odd(operate(operator, std::mem::take(slot), &value))?,
            };
            return Ok(Value::Nothing);
        };
        let Value::Table(table) = slot else {
            return Err(Halt::Odd);
        };
        let cell = &mut table.0[key];
        *cell = match operator {
            None => Some(value),
            Some(operator) => Some(odd(operate(operator, odd(cell.take())?, &value))?),
        };
        Ok(Value::Nothing)
    }

    fn turns(&mut self, turns: &'a Turns) -> Walked<Value<'a>> {
        let through = self.value(&turns.through)?;
        let mut turned = 0;
        let mut turn = |walk: &mut Self, item: Value<'a>| {
            turned += 1;
            walk.turn(turns, turned - 1, item)
        };
        let seen = self.seen.glaze.glaze();
        match through {
            Value::Lines(lines) => {
                let base = seen.base.iter().filter(|_| lines != Lines::Additions);
                let on_top = seen.additions.iter().filter(|_| lines != Lines::Base);
                let lines = base.map(|line| (line, false)).chain(on_top.map(|line| (line, true)));
                for (line, is_addition) in lines {
                    if !turn(self, Value::Line(line, is_addition))? {
                        break;
                    }
                }
            }
            Value::List(list) => {
                for place in 0..list.len() {
                    if !turn(self, item(&list, place))? {
                        break;
                    }
                }
            }
            _ => return Err(Halt::Odd),
        }
        Ok(Value::Nothing)
    }

    /// One turn of a loop; false where it was the last.
    fn turn(&mut self, turns: &'a Turns, number: i64, item: Value<'a>) -> Walked<bool> {
        self.spend(turns.steps)?;
        if let Some(counter) = turns.counter {
            *self.slot(counter) = Value::Whole(number);
        }
        *self.slot(turns.slot) = item;
        match self.block(&turns.body) {
            Ok(_) | Err(Halt::Continue) => Ok(true),
            Err(Halt::Break) => Ok(false),
            Err(other) => Err(other),
        }
    }

    fn write(&mut self, text: &mut String, pieces: &'a [Piece]) -> Walked<()> {
        for piece in pieces {
            match piece {
                Piece::Plain(plain) => text.push_str(plain),
                Piece::Shown(Node::Slot(slot)) => odd(push_shown(text, &self.stack[self.base + slot], self.seen))?,
                Piece::Shown(node) => odd(push_shown(text, &self.value(node)?, self.seen))?,
                Piece::Joined(Node::Slot(slot)) => odd(push_joined(text, &self.stack[self.base + slot]))?,
                Piece::Joined(node) => odd(push_joined(text, &self.value(node)?))?,
                Piece::Fixed(node, decimals) => {
                    let number = odd(self.value(node)?.number())?;
                    odd(crate::language::push_fixed_number(text, number, *decimals))?;
                }
            }
        }
        if is_short(text) { Ok(()) } else { Err(Halt::Odd) }
    }

    /// A text for a finding.
    pub(super) fn shared(&mut self, node: &'a Node) -> Walked<Arc<str>> {
        let Node::Template(pieces) = node else {
            let text = self.value(node)?;
            return shared(&text);
        };
        let mut text = std::mem::take(&mut self.scratch);
        text.clear();
        self.write(&mut text, pieces)?;
        let shared = text.as_str().into();
        self.scratch = text;
        Ok(shared)
    }
}

/// An item of a list, as `for` hands it out.
fn item<'a>(list: &List<'a>, place: usize) -> Value<'a> {
    match list {
        List::Kept(items) => items[place].value(),
        List::Oxides(oxides) => Value::Text(Text::Kept(oxide_name(oxides[place]))),
        List::Texts(texts) => Value::seen(texts[place]),
        List::Tables(tables) => Value::Table(Box::new(tables[place].clone())),
    }
}

fn oxide_name(oxide: Oxide) -> &'static Arc<str> {
    &oxide_names()[oxide.index()]
}
