//! Literals read from the script's text without running anything.

use glost_chemistry::diagnostic::{Diagnostic, Source, of_typed};
use rhai::{Array, Dynamic, Expr, Map, Position};

use crate::trouble::place;

/// A literal with its place.
#[derive(Debug, Clone)]
pub(crate) struct Literal {
    pub(crate) position: Position,
    pub(crate) shape: Shape,
}

/// What a literal is.
#[derive(Debug, Clone)]
pub(crate) enum Shape {
    Plain(Dynamic),
    List(Vec<Literal>),
    Table(Vec<(String, Position, Literal)>),
}

impl Literal {
    /// Reads an expression.
    ///
    /// # Errors
    /// It isn't a literal.
    pub(crate) fn read(expression: &Expr, source: &Source) -> Result<Literal, Diagnostic> {
        let position = expression.position();
        let shape = match expression {
            Expr::Array(items, _) => Shape::List(
                items
                    .iter()
                    .map(|item| Literal::read(item, source))
                    .collect::<Result<_, _>>()?,
            ),
            Expr::Map(table, _) => Shape::Table(
                table
                    .0
                    .iter()
                    .map(|(key, value)| Ok((key.name.to_string(), key.pos, Literal::read(value, source)?)))
                    .collect::<Result<_, Diagnostic>>()?,
            ),
            Expr::IntegerConstant(number, _) => Shape::Plain((*number).into()),
            Expr::FloatConstant(number, _) => Shape::Plain(Dynamic::from(**number)),
            Expr::StringConstant(text, _) => Shape::Plain(text.clone().into()),
            Expr::BoolConstant(truth, _) => Shape::Plain((*truth).into()),
            Expr::CharConstant(sign, _) => Shape::Plain(sign.to_string().into()),
            Expr::Unit(_) => Shape::Plain(Dynamic::UNIT),
            Expr::Variable(name, _, _) => {
                let fault = Diagnostic::error(
                    "not-a-literal",
                    of_typed(&name.1, "is a name, and what stands here is written out"),
                );
                let help = format!("a text stands in quotes: \"{}\"", name.1);
                return Err(place(fault.help(help), source, position));
            }
            _ => {
                return Err(place(
                    Diagnostic::error(
                        "not-a-literal",
                        "this has to be written out: a number, a text, a list or a table of such",
                    )
                    .help("it is read before anything runs; compute inside a function"),
                    source,
                    position,
                ));
            }
        };
        Ok(Literal { position, shape })
    }

    /// The value for the engine.
    pub(crate) fn value(&self) -> Dynamic {
        match &self.shape {
            Shape::Plain(value) => value.clone(),
            Shape::List(items) => items.iter().map(Literal::value).collect::<Array>().into(),
            Shape::Table(entries) => entries
                .iter()
                .map(|(name, _, value)| (name.as_str().into(), value.value()))
                .collect::<Map>()
                .into(),
        }
    }

    /// The entries of a table; none of what is none.
    pub(crate) fn entries(&self) -> &[(String, Position, Literal)] {
        match &self.shape {
            Shape::Table(entries) => entries,
            _ => &[],
        }
    }

    /// What a table has under a key.
    pub(crate) fn entry(&self, key: &str) -> Option<&Literal> {
        self.entries().iter().find(|entry| entry.0 == key).map(|entry| &entry.2)
    }

    /// Its text, if it is one.
    pub(crate) fn text(&self) -> Option<String> {
        match &self.shape {
            Shape::Plain(value) if value.is_string() => value.clone().into_string().ok(),
            _ => None,
        }
    }
}
