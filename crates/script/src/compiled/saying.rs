//! `glaze.caution(...)` and its like in the compiled walk.

use std::sync::Arc;

use super::program::{Cells, Node, Say, What};
use super::value::Value;
use super::walk::{Halt, Told, Walk, Walked, odd};

/// No fewer steps than the engine counts for a finding beside what it is made of.
pub(super) const FINDING_STEPS: u64 = 40;

/// Subject, message, and value, low, high.
type Said = (Arc<str>, Arc<str>, [Option<f64>; 3]);

impl<'a> Walk<'a, '_> {
    pub(super) fn say(&mut self, say: &'a Say) -> Walked<Value<'a>> {
        let (subject, message, amounts) = match &say.what {
            What::Short(subject, message, value) => {
                let (subject, message) = (self.shared(subject)?, self.shared(message)?);
                let value = value.as_ref().map(|value| self.number(value)).transpose()?;
                (subject, message, [value, None, None])
            }
            What::Cells(cells) => self.cells(cells)?,
            What::Table(table) => self.table(table)?,
        };
        if !self.is_glaze(&say.owner)? {
            return Err(Halt::Odd);
        }
        // The engine has an error to tell.
        if subject.trim().is_empty() || message.trim().is_empty() {
            return Err(Halt::Odd);
        }
        let left = self.output_left.checked_sub(subject.len() + message.len());
        self.output_left = left.ok_or(Halt::Odd)?;
        (self.tell)(Told {
            level: say.level,
            line: say.line,
            subject,
            message,
            amounts,
        });
        Ok(Value::Nothing)
    }

    fn cell(&mut self, cell: &'a Option<Node>) -> Walked<Option<f64>> {
        let value = cell.as_ref().map(|node| self.value(node)).transpose()?;
        amount(value.as_ref())
    }

    /// Subject, message and amounts of a table that is written out.
    fn cells(&mut self, cells: &'a Cells) -> Walked<Said> {
        let [subject, message, value, low, high] = cells;
        let subject = self.shared(odd(subject.as_ref())?)?;
        let message = self.shared(odd(message.as_ref())?)?;
        Ok((subject, message, [self.cell(value)?, self.cell(low)?, self.cell(high)?]))
    }

    /// The same of a table that was made before.
    fn table(&mut self, node: &'a Node) -> Walked<Said> {
        match node {
            Node::Slot(slot) => of_table(self.slot(*slot)),
            other => of_table(&self.value(other)?),
        }
    }

    /// A value that has to be a number with a point, as a short finding takes it.
    fn number(&mut self, node: &'a Node) -> Walked<f64> {
        match self.value(node)? {
            Value::Number(number) => Ok(number),
            _ => Err(Halt::Odd),
        }
    }

    fn is_glaze(&mut self, node: &'a Node) -> Walked<bool> {
        Ok(matches!(self.value(node)?, Value::Glaze))
    }
}

pub(super) fn shared(text: &Value<'_>) -> Walked<Arc<str>> {
    match text {
        Value::Text(text) => Ok(text.shared()),
        _ => Err(Halt::Odd),
    }
}

fn amount(value: Option<&Value<'_>>) -> Walked<Option<f64>> {
    match value {
        None | Some(Value::Nothing) => Ok(None),
        Some(value) => odd(value.number()).map(Some),
    }
}

fn of_table(table: &Value<'_>) -> Walked<Said> {
    let Value::Table(table) = table else {
        return Err(Halt::Odd);
    };
    let [subject, message, value, low, high] = &table.0;
    let (subject, message) = (odd(subject.as_ref())?, odd(message.as_ref())?);
    let amounts = [amount(value.as_ref())?, amount(low.as_ref())?, amount(high.as_ref())?];
    Ok((shared(subject)?, shared(message)?, amounts))
}
