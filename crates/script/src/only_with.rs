//! What a check is about: where a glaze holds none of it, there is nothing to run it for.

use std::sync::LazyLock;

use glost_chemistry::oxides::Oxide;

use crate::values::GlazeValue;

const FLUORINE: &str = "fluorine";
const SOLUBLE: &str = "soluble";

/// Every word that `only_with` takes.
static WORDS: LazyLock<Vec<&'static str>> = LazyLock::new(|| {
    let oxides = Oxide::ALL.into_iter().map(Oxide::formula);
    oxides.chain([FLUORINE, SOLUBLE]).collect()
});

/// What `only_with` may name: oxides, `fluorine`, `soluble`.
pub(crate) fn words() -> &'static [&'static str] {
    &WORDS
}

/// Oxides of the fired glaze, and what leaves it or its batch.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct OnlyWith {
    oxides: Vec<Oxide>,
    fluorine: bool,
    soluble: bool,
}

impl OnlyWith {
    /// Of words that [`words`] holds.
    pub(crate) fn of(named: &[String]) -> OnlyWith {
        let holds = |word: &str| named.iter().any(|named| named == word);
        OnlyWith {
            oxides: named.iter().filter_map(|name| Oxide::from_formula(name)).collect(),
            fluorine: holds(FLUORINE),
            soluble: holds(SOLUBLE),
        }
    }

    fn names_something(&self) -> bool {
        self.fluorine || self.soluble || !self.oxides.is_empty()
    }

    /// Whether some of it is in a glaze, or may be: nobody knows what is in a powder of
    /// unknown analysis.
    pub(crate) fn may_be_in(&self, glaze: &GlazeValue) -> bool {
        if !self.names_something() || !glaze.is_known() {
            return true;
        }
        let recipe = glaze.recipe();
        glaze.holds_any(&self.oxides)
            || self.fluorine && recipe.fluorine_percent() > 0.0
            || self.soluble && recipe.soluble_percent() > 0.0
    }
}
