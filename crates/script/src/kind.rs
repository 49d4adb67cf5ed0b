//! The kinds of scripts and the functions they enter by.

use rhai::{Dynamic, EvalAltResult};

use crate::sort::Sort;
use crate::trouble::Trouble;

/// What a script gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Ranges.
    Limits,
    /// Findings on a glaze.
    Check,
    /// Recipe proposals.
    Swap,
    /// A plan of tiles.
    Blend,
    /// Tables and text over the whole studio.
    Run,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Kind; 5] = [Kind::Limits, Kind::Check, Kind::Swap, Kind::Blend, Kind::Run];

    /// The word in `ABOUT`, the folder's name and the entry function's name.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Limits => "limits",
            Kind::Check => "check",
            Kind::Swap => "swap",
            Kind::Blend => "blend",
            Kind::Run => "run",
        }
    }

    /// The kind of this word.
    pub fn from_word(word: &str) -> Option<Kind> {
        Kind::ALL.into_iter().find(|kind| kind.word() == word)
    }

    /// The parameters of the entry function with their sorts.
    pub(crate) fn parameters(self) -> [(&'static str, Sort); 2] {
        let first = match self {
            Kind::Limits | Kind::Check | Kind::Swap => ("glaze", Sort::Glaze),
            Kind::Blend => ("ends", Sort::List(&Sort::Glaze)),
            Kind::Run => ("studio", Sort::Studio),
        };
        [first, ("option", Sort::Options)]
    }

    /// The entry function as it should be written.
    pub fn entry(self) -> String {
        let [first, second] = self.parameters();
        format!("fn {}({}, {})", self.word(), first.0, second.0)
    }
}

/// A check or a run gives nothing back: what it gives would be lost.
pub(crate) fn nothing_back(function: &str, answer: &Dynamic) -> Result<(), Box<EvalAltResult>> {
    if answer.is_unit() {
        return Ok(());
    }
    let help = if function == Kind::Run.word() {
        "a run speaks through `say(...)` and `table(...)`; end the last line with `;`"
    } else {
        "a check speaks through `glaze.caution(...)`, `glaze.fail(...)`; end the last line with `;`"
    };
    Err(Trouble::new(
        "stray-value",
        format!(
            "`{function}` gives back {}, and nobody reads it",
            Sort::words_for_type(answer.type_name())
        ),
    )
    .help(help)
    .raise())
}
