//! Swaps: recipes that a script proposes.

use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Glaze;
use glost_core::rules::Signature;

use crate::failure::{Cause, FailureKind, ScriptFailure};
use crate::kinds::Kind;
use crate::running::{Asked, call, option_values};
use crate::scene::{Request, Scene};
use crate::script::Script;
use crate::values::{GlazeValue, recipes};

/// A recipe that a script proposes.
#[derive(Debug, Clone)]
pub struct Proposed {
    /// The recipe.
    pub glaze: Arc<Glaze>,
    /// Why, in the script's words.
    pub why: Option<String>,
}

/// What a swap script gave back.
#[derive(Debug, Clone)]
pub struct Swapped {
    /// Recipes, best first.
    pub recipes: Vec<Proposed>,
    /// Who signs them.
    pub signed: Arc<Signature>,
}

impl Script {
    /// The recipes that a swap script proposes, best first. Where its question
    /// to the optimiser has no answer the failure's cause is [`Cause::NoRecipe`].
    ///
    /// # Errors
    /// A script of another kind, options that can't be, a failure on the way.
    pub fn swap(
        self: &Arc<Script>,
        glaze: &Arc<Glaze>,
        request: Request,
        scene: &Arc<Scene>,
        settings: &[(String, String)],
    ) -> Result<Swapped, ScriptFailure> {
        if self.about.kind != Kind::SWAP {
            return Err(self.wrong_kind(self.about.kind, "swap"));
        }
        let option = option_values(self, settings)?;
        let value = GlazeValue::new(glaze.clone(), scene);
        let (found, left) = call(
            self,
            scene,
            Asked::that(request, &option),
            "swap",
            (value, option),
            recipes,
        )?;
        scene.printed.keep(left.run.printed);
        match left.run.why {
            Some(why) if found.is_empty() => Err(ScriptFailure {
                kind: FailureKind::Failed,
                diagnostic: Diagnostic::error("no-recipe", why),
                cause: Some(Cause::NoRecipe),
                found: Arc::default(),
            }),
            _ => Ok(Swapped {
                recipes: found,
                signed: left.run.signed,
            }),
        }
    }
}
