//! The tester that `test_*` functions are handed: it runs the script itself
//! on chemistry given inline, on a recipe, or on a glaze of the studio.

use std::sync::Arc;

use indexmap::IndexMap;
use rhai::{Dynamic, EvalAltResult, Map, NativeCallContext};

use crate::options;
use crate::scene::{self, Request, Scene};
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::Trouble;

use super::claims;
use super::findings;
use super::given::{asks_what_can_be, glaze_from, request, studio_from};
use super::given_stock::restocked;
use super::{GlazeValue, OptionsValue, no_such_name};

type Raised = Box<EvalAltResult>;

/// The tester, with what it was told to set and ask. All that it runs takes
/// one value: a script's own functions of two would come before its methods.
#[derive(Debug, Clone, Default)]
pub(crate) struct TesterValue {
    set: Arc<Map>,
    asked: Arc<Map>,
    /// The studio that a check sees; else that of the test.
    among: Option<Arc<Scene>>,
}

impl TesterValue {
    /// The script's options, some of them set in the test.
    pub(crate) fn own_options(&self) -> Result<OptionsValue, Raised> {
        let script = scene::present(|run| run.script.clone())?;
        let mut values: IndexMap<String, Dynamic> = options::defaults(&script.about.options);
        for (name, value) in self.set.iter() {
            let value = options::checked(&script.about.options, name, value).map_err(|why| {
                Trouble::new(why.code, why.message.clone())
                    .maybe_help(why.help.clone())
                    .raise()
            })?;
            values.insert(name.to_string(), value);
        }
        Ok(OptionsValue {
            values: Arc::new(values),
            signed: script.signed(Vec::new()),
        })
    }

    /// A glaze as a test gives it, its materials with the prices and stocks of the test's studio.
    pub(crate) fn given(&self, given: &Dynamic) -> Result<GlazeValue, Raised> {
        self.in_its_scene(|| {
            let glaze = glaze_from(given)?;
            let Some(scene) = &self.among else { return Ok(glaze) };
            Ok(GlazeValue::new(restocked(glaze.recipe(), &scene.library), scene))
        })
    }

    /// What the test asks for beside the glaze.
    pub(super) fn request(&self) -> Result<Request, Raised> {
        request(&self.asked)
    }

    /// Does something where a check sees the studio of the test.
    pub(super) fn in_its_scene<R>(&self, work: impl FnOnce() -> Result<R, Raised>) -> Result<R, Raised> {
        let Some(scene) = &self.among else { return work() };
        let before = scene::present(|run| std::mem::replace(&mut run.scene, scene.clone()))?;
        let outcome = work();
        scene::present(|run| run.scene = before)?;
        outcome
    }
}

pub(super) fn register(shelf: &mut Shelf) {
    shelf.module.set_custom_type::<TesterValue>(Sort::Tester.words());
    running(shelf);
    claims::register(shelf);
    findings::register(shelf);
    shelf.silent(
        "index$get$",
        |_: &mut TesterValue, name: &str| -> Result<Dynamic, Raised> {
            Err(no_such_name(
                Sort::Tester,
                name,
                crate::reference::names_of(Sort::Tester),
            ))
        },
    );
}

fn running(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Tester;
    shelf.add(
        Entry::method(
            OWNER,
            "glaze",
            "given",
            Sort::Glaze,
            "A glaze from a table of oxides in moles, a recipe `#{ parts: #{ ... } }`, or the name of a glaze that `t.among` brings: tests see no studio.",
        )
        .example("t.glaze(#{ Na2O: 0.3, CaO: 0.7, Al2O3: 0.4, SiO2: 3, cone: \"6\" })"),
        |tester: &mut TesterValue, given: Dynamic| tester.given(&given),
    );
    shelf.add(
        Entry::method(
            OWNER,
            "with",
            "option",
            Sort::Tester,
            "A tester that sets some options: `#{ name: value }`.",
        )
        .example("t.with(#{ alkali_most: 0.25 }).check(glaze)"),
        |tester: &mut TesterValue, set: Map| TesterValue {
            set: Arc::new(set),
            ..tester.clone()
        },
    );
    shelf.add(
        Entry::method(
            OWNER,
            "asked",
            "request",
            Sort::Tester,
            "A tester that asks for something: `#{ out: [...], with: [...], at_most: 2, show: 3, steps: 5, rows: 4, columns: 3, add: [\"silica 0..9 %\"] }`.",
        )
        .example("t.asked(#{ steps: 5 }).blend(ends)"),
        |tester: &mut TesterValue, asked: Map| -> Result<TesterValue, Raised> {
            asks_what_can_be(&asked)?;
            Ok(TesterValue {
                asked: Arc::new(asked),
                ..tester.clone()
            })
        },
    );
    shelf.add(
        Entry::method(
            OWNER,
            "among",
            "studio",
            Sort::Tester,
            "A tester whose script sees a studio given as for `t.run`: its glazes, its `materials` with prices and stocks, and its `clays` and `notes` with the keys of their files.",
        )
        .example("t.among(#{ clays: [#{ clay: \"buff\", absorption: 2 }], notes: [#{ glaze: \"a\", clay: \"buff\", age_days: 400, pieces: 20, crazed: 0 }] }).check(glaze)"),
        |tester: &mut TesterValue, studio: Dynamic| -> Result<TesterValue, Raised> {
            Ok(TesterValue {
                among: Some(Arc::new(studio_from(&studio, &[])?)),
                ..tester.clone()
            })
        },
    );
    // What a kind is tried by stands in the table of kinds.
    for row in crate::kinds::Kind::all().map(crate::kinds::Kind::row) {
        let (verb, run) = (&row.verb, row.verb.run);
        shelf.add(
            Entry::method(OWNER, row.word, verb.parameter, verb.returns, verb.about),
            move |context: NativeCallContext, tester: &mut TesterValue, given: Dynamic| run(&context, tester, &given),
        );
    }
}
