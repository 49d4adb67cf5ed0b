//! Functions in brackets: whether they take what they are handed.

use glost_chemistry::diagnostic::{Diagnostic, of_typed};
use rhai::{Expr, FnCallExpr, Position, Stmt};

use crate::sort::Sort;
use crate::trouble::CLOSURE;

use super::walk::Walk;

/// What a list's methods hand over to a function in brackets.
const HANDS_OVER: [(&str, usize, &str); 6] = [
    ("map", 1, "one value"),
    ("filter", 1, "one value"),
    ("any", 1, "one value"),
    ("all", 1, "one value"),
    ("sorted_by", 1, "one value"),
    ("reduce", 2, "two values"),
];

impl Walk<'_> {
    /// A function in brackets takes as many values as a list's method hands over.
    pub(super) fn closure_takes(&mut self, name: &str, owner: Sort, call: &FnCallExpr) {
        let Some((_, handed, words)) = HANDS_OVER.iter().find(|known| known.0 == name) else {
            return;
        };
        if !matches!(owner, Sort::List(_)) {
            return;
        }
        let Some((taken, position)) = call.args.first().and_then(|first| self.parameters_of(first)) else {
            return;
        };
        if taken != *handed {
            let takes = match taken {
                0 => "none".to_owned(),
                1 => "one".to_owned(),
                2 => "two".to_owned(),
                more => more.to_string(),
            };
            let message = of_typed(name, format_args!("hands over {words}, this function takes {takes}"));
            let form = if *handed == 1 { "|x| ..." } else { "|so_far, x| ..." };
            let fault = Diagnostic::error("wrong-count", message).help(format!("write `{name}({form})`"));
            self.mistake(position, fault);
        }
    }

    /// How many values a function in brackets takes that stands as an argument, those that it
    /// takes along from around it not counted.
    fn parameters_of(&self, argument: &Expr) -> Option<(usize, Position)> {
        let (pointer, along) = match argument {
            Expr::DynamicConstant(..) => (argument, 0),
            // What it takes along is shared first, and then handed to it.
            Expr::Stmt(block) => match block.statements().last()? {
                Stmt::Expr(inner) => return self.parameters_of(inner),
                Stmt::FnCall(call, _) => (call.args.first()?, call.args.len() - 1),
                _ => return None,
            },
            Expr::FnCall(call, _) => (call.args.first()?, call.args.len().checked_sub(1)?),
            _ => return None,
        };
        let Expr::DynamicConstant(value, position) = pointer else {
            return None;
        };
        let name = value.read_lock::<rhai::FnPtr>()?.fn_name().to_owned();
        let (_, all) = self.whole.functions.keys().find(|key| key.0 == name)?;
        let own = all.checked_sub(along)?;
        name.starts_with(CLOSURE).then_some((own, *position))
    }
}
