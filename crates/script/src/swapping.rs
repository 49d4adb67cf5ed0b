//! Swaps: recipes that a script proposes.

use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Glaze;
use glost_core::rules::Signature;

use crate::failure::{Cause, FailureKind, ScriptFailure};
use crate::kinds::Kind;
use crate::running::{Asked, call, option_values};
use crate::scene::{Request, Scene, Solved};
use crate::script::Script;
use crate::values::{GlazeValue, recipes};
use crate::wrong_kinds::counted;

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

/// Why a script proposed nothing: in its own words, in the optimiser's, or by what was found
/// and not kept.
fn why_none(why: Option<String>, solved: Solved) -> String {
    match (why, solved) {
        (_, Solved { recipes: 1.., .. }) => {
            let found = counted(solved.recipes, "recipe");
            format!("the script proposed nothing; its `solve` had found {found}")
        }
        (Some(why), Solved { questions: 2.., .. }) => {
            let asked = solved.questions.to_string();
            [
                "none of the ",
                &asked,
                " questions to `solve` found a recipe; the last: ",
                &why,
            ]
            .concat()
        }
        (Some(why), _) => why,
        (None, Solved { questions: 0, .. }) => "the script proposed nothing, and asked `solve` nothing".to_owned(),
        (None, _) => "the script proposed nothing, and its `solve` found nothing".to_owned(),
    }
}

impl Script {
    /// The recipes that a swap script proposes, best first. Where there are none the
    /// failure's cause is [`Cause::NoRecipe`], and its message says why.
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
        if found.is_empty() {
            return Err(ScriptFailure {
                kind: FailureKind::Failed,
                diagnostic: Diagnostic::error("no-recipe", why_none(left.run.why, left.run.solved)),
                cause: Some(Cause::NoRecipe),
                found: Arc::default(),
            });
        }
        Ok(Swapped {
            recipes: found,
            signed: left.run.signed,
        })
    }
}
