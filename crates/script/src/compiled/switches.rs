//! `switch` on texts. The engine's tree keeps a hash in a case's place: which text is
//! whose is asked of the engine itself, with every text that stands in the script.

use std::collections::BTreeMap;

use rhai::{BinaryExpr, Caches, Dynamic, Expr, Position, Scope, Stmt, SwitchCasesCollection};

use super::compiler::Compiler;
use super::program::{Node, Switch};

impl Compiler<'_> {
    pub(super) fn switch(&mut self, of: &Expr, cases: &SwitchCasesCollection) -> Option<Node> {
        let plain = |case: &BinaryExpr| matches!(case.lhs, Expr::BoolConstant(true, _));
        if !cases.ranges.is_empty() || !cases.expressions.iter().all(plain) {
            return None;
        }
        let texts = self.texts_of(cases)?;
        let of = self.expression(of)?;
        let arms: Option<_> = cases
            .expressions
            .iter()
            .map(|case| self.expression(&case.rhs))
            .collect();
        Some(Node::Switch(Box::new(Switch {
            of,
            cases: texts.into_iter().map(|(text, arm)| (text.into(), arm)).collect(),
            default: cases.def_case,
            arms: arms?,
        })))
    }

    /// Each text that is a case, with its arm; `None` where some case is no text.
    fn texts_of(&self, cases: &SwitchCasesCollection) -> Option<BTreeMap<String, usize>> {
        let mut found = BTreeMap::new();
        for text in self.script.source.text.split('"') {
            if let Some(arm) = self.arm(cases, text)? {
                found.insert(text.to_owned(), arm);
            }
        }
        (found.len() == cases.cases.len()).then_some(found)
    }

    /// The arm that the engine takes for a text.
    fn arm(&self, cases: &SwitchCasesCollection, text: &str) -> Option<Option<usize>> {
        let number = |arm: usize| BinaryExpr {
            lhs: Expr::BoolConstant(true, Position::NONE),
            rhs: Expr::IntegerConstant(arm as i64, Position::NONE),
        };
        let numbered = SwitchCasesCollection {
            expressions: (0..cases.expressions.len()).map(number).collect(),
            def_case: None,
            ..cases.clone()
        };
        let asked = Expr::StringConstant(text.into(), Position::NONE);
        let statement = Stmt::Switch(Box::new((asked, numbered)), Position::NONE);
        let engine = &self.script.engine;
        let (mut state, mut caches) = (engine.new_global_runtime_state(), Caches::new());
        #[allow(deprecated)] // not deprecated, but marked so as the engine's own unstable door
        let answer = engine.eval_statements_raw(&mut state, &mut caches, &mut Scope::new(), &[statement]);
        let arm = answer.ok().map(|answer: Dynamic| answer.as_int().ok())?;
        Some(arm.and_then(|arm| usize::try_from(arm).ok()))
    }
}
