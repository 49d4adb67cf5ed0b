//! The tester that `test_*` functions are handed: it runs the script itself
//! on chemistry given inline, on a recipe, or on a glaze of the studio.

use std::sync::Arc;

use glost_core::chemistry::OxideGrams;
use glost_core::glaze::{Glaze, GlazeNotes, Portion};
use glost_core::material::{FiredYield, Kind, LossStanding, Material};
use glost_core::quantity::Celsius;
use glost_core::rules::{Finding, Level};
use indexmap::IndexMap;
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, Map, NativeCallContext};

use crate::language::{in_text, number, same};
use crate::options;
use crate::scene::{self, Request, TestFailure};
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::{Trouble, trouble};

use super::glaze::find_glaze;
use super::materials::find;
use super::{GlazeValue, OptionsValue, no_such_name, oxides};

type Raised = Box<EvalAltResult>;

/// The tester, with what it was told to set and ask. All that it runs takes
/// one value: a script's own functions of two would come before its methods.
#[derive(Debug, Clone, Default)]
pub(crate) struct TesterValue {
    set: Arc<Map>,
    asked: Arc<Map>,
}

/// What a check found, in a test.
#[derive(Debug, Clone)]
pub(crate) struct FindingsValue(Arc<[Finding]>);

/// Keys of an inline glaze beside its oxides.
const ABOUT_KEYS: [&str; 5] = ["cone", "peak", "use", "parts", "additions"];

/// A glaze from what a test gives: a table, a name, or a glaze.
fn glaze_from(given: &Dynamic) -> Result<GlazeValue, Raised> {
    if let Some(glaze) = given.read_lock::<GlazeValue>() {
        return Ok(glaze.clone());
    }
    if let Some(name) = given.read_lock::<ImmutableString>() {
        return find_glaze(&name);
    }
    let table = given.read_lock::<Map>().ok_or_else(|| {
        trouble(
            "wrong-kind",
            format!(
                "a glaze is needed, or a table of oxides, not {}",
                Sort::words_for_type(given.type_name())
            ),
        )
    })?;
    let scene = scene::scene()?;
    let about = GlazeNotes {
        cone: text_of(&table, "cone")?,
        usage: text_of(&table, "use")?,
        peak: table.get("peak").and_then(number).and_then(Celsius::new),
        ..GlazeNotes::default()
    };
    let (base, additions) = match table.get("parts") {
        Some(parts) => (
            portions(parts, true)?,
            table
                .get("additions")
                .map_or(Ok(Vec::new()), |more| portions(more, false))?,
        ),
        None => (vec![of_chemistry(&table)?], Vec::new()),
    };
    let glaze = Glaze {
        name: "the glaze of this test".to_owned(),
        base,
        additions,
        about,
        assumptions: Vec::new(),
    };
    Ok(GlazeValue::new(Arc::new(glaze), &scene))
}

fn text_of(table: &Map, key: &str) -> Result<Option<String>, Raised> {
    match table.get(key) {
        None => Ok(None),
        Some(value) => match value.read_lock::<ImmutableString>() {
            Some(text) => Ok(Some(text.to_string())),
            None => Err(trouble(
                "wrong-kind",
                format!("`{key}` should be a text: \"04\" is not 4"),
            )),
        },
    }
}

fn portions(parts: &Dynamic, as_base: bool) -> Result<Vec<Portion>, Raised> {
    let table = parts
        .read_lock::<Map>()
        .ok_or_else(|| trouble("wrong-kind", "a recipe is a table of materials: `#{ \"silica\": 30 }`"))?;
    let mut portions = Vec::new();
    for (name, amount) in table.iter() {
        let percent = number(amount)
            .filter(|amount| (0.0..=1e6).contains(amount))
            .ok_or_else(|| {
                trouble(
                    "wrong-value",
                    format!("the amount of `{name}` should be a number, not negative"),
                )
            })?;
        portions.push(Portion {
            material: find(name)?,
            percent,
        });
    }
    let total: f64 = portions.iter().map(|portion| portion.percent).sum();
    if as_base {
        if total <= 0.0 {
            return Err(trouble("wrong-value", "the recipe is empty"));
        }
        for portion in &mut portions {
            portion.percent *= 100.0 / total;
        }
    }
    Ok(portions)
}

/// One made-up material of exactly this chemistry.
fn of_chemistry(table: &Map) -> Result<Portion, Raised> {
    let mut amounts = table.clone();
    amounts.retain(|key, _| !ABOUT_KEYS.contains(&key.as_str()));
    let moles = oxides::from_table(&amounts)?;
    Ok(Portion {
        material: Arc::new(made_up(moles.to_grams())),
        percent: 100.0,
    })
}

fn made_up(oxides: OxideGrams) -> Material {
    Material {
        name: "chemistry given in the test".to_owned(),
        other_names: Vec::new(),
        kind: Kind::Glass,
        fired: Some(FiredYield {
            oxides,
            loss_grams: 0.0,
            moisture_grams: 0.0,
            loss_standing: LossStanding::Stated,
            tolerance: Vec::new(),
            assumptions: Vec::new(),
        }),
        mixed_from: Vec::new(),
        raw_clay_fraction: 0.0,
        density_grams_per_millilitre: None,
        free_silica_percent: None,
        soluble: false,
        toxic: false,
        hazards: Vec::new(),
        price: None,
        stock: None,
        buyable: false,
        lot: None,
        provenance: "given in a script's test".to_owned(),
        expansion: None,
        firing: None,
        shipped: false,
        cautions: Vec::new(),
    }
}

/// Runs the script's own `check` on a glaze.
fn check(context: &NativeCallContext, given: &Dynamic, set: &Map) -> Result<FindingsValue, Raised> {
    let glaze = glaze_from(given)?;
    let option = own_options(set)?;
    let before = scene::present(|run| std::mem::take(&mut run.findings))?;
    let outcome = context.call_fn::<Dynamic>("check", (glaze, option));
    let found = scene::present(|run| std::mem::replace(&mut run.findings, before))?;
    let answer = match outcome {
        Ok(answer) => answer,
        Err(error) => return unknown_becomes_a_finding(error),
    };
    crate::kind::nothing_back("check", &answer)?;
    Ok(FindingsValue(found.into()))
}

/// A check that meets a powder of unknown analysis says *not checked*, as it
/// does when it runs for real.
fn unknown_becomes_a_finding(error: Raised) -> Result<FindingsValue, Raised> {
    let script = scene::present(|run| run.script.clone())?;
    let broken = crate::trouble::while_running(&error, &script.source);
    match (broken.bound, broken.unknown_material) {
        (None, Some(name)) => Ok(FindingsValue(
            [crate::checking::not_checked(
                &script,
                &name,
                &broken.diagnostic.message,
                None,
            )]
            .into(),
        )),
        _ => Err(error),
    }
}

/// The script's options, some of them set in the test.
fn own_options(set: &Map) -> Result<OptionsValue, Raised> {
    let script = scene::present(|run| run.script.clone())?;
    let mut values: IndexMap<String, Dynamic> = options::defaults(&script.about.options);
    for (name, value) in set {
        let value = options::checked(&script.about.options, name, value).map_err(|why| {
            Trouble::new(why.code, why.message.clone())
                .maybe_help(why.help.clone())
                .raise()
        })?;
        values.insert(name.to_string(), value);
    }
    Ok(OptionsValue(Arc::new(values)))
}

fn with_request<R>(request: Request, work: impl FnOnce() -> Result<R, Raised>) -> Result<R, Raised> {
    let before = scene::present(|run| std::mem::replace(&mut run.request, Arc::new(request)))?;
    let outcome = work();
    scene::present(|run| run.request = before)?;
    outcome
}

/// The request of a table: `#{ out:, with:, at_most:, show:, steps: }`.
fn request(asked: &Map) -> Result<Request, Raised> {
    const KEYS: [&str; 5] = ["out", "with", "at_most", "show", "steps"];
    if let Some(odd) = asked.keys().find(|key| !KEYS.contains(&key.as_str())) {
        return Err(Trouble::new("unknown-key", format!("a request has no `{odd}`"))
            .maybe_help(glost_core::diagnostic::suggestion(odd, KEYS))
            .raise());
    }
    let list = |key: &str| -> Result<Vec<_>, Raised> {
        let Some(value) = asked.get(key) else {
            return Ok(Vec::new());
        };
        let names = value
            .read_lock::<Array>()
            .ok_or_else(|| trouble("wrong-kind", format!("`{key}` should be a list of names")))?;
        names.iter().map(|name| find(&in_text(name))).collect()
    };
    let count = |key: &str, otherwise: usize| match asked.get(key) {
        None => Ok(otherwise),
        Some(value) => match value.as_int() {
            Ok(count @ 0..=10_000) => Ok(count as usize),
            _ => Err(trouble(
                "wrong-value",
                format!("`{key}` should be a whole number, not negative"),
            )),
        },
    };
    Ok(Request {
        out: list("out")?,
        with: list("with")?,
        at_most: asked.contains_key("at_most").then(|| count("at_most", 0)).transpose()?,
        show: count("show", 3)?,
        steps: count("steps", 5)?,
    })
}

fn swap(context: &NativeCallContext, tester: &TesterValue, given: &Dynamic) -> Result<Dynamic, Raised> {
    let (glaze, option) = (glaze_from(given)?, own_options(&tester.set)?);
    let answer = with_request(request(&tester.asked)?, || {
        context.call_fn::<Dynamic>("swap", (glaze, option))
    })?;
    let scene = scene::scene()?;
    let found = super::recipes(&answer)?;
    Ok(Dynamic::from(
        found
            .into_iter()
            .map(|glaze| Dynamic::from(GlazeValue::new(glaze, &scene)))
            .collect::<Array>(),
    ))
}

fn blend(context: &NativeCallContext, tester: &TesterValue, ends: &Array) -> Result<Dynamic, Raised> {
    let ends: Array = ends
        .iter()
        .map(|end| glaze_from(end).map(Dynamic::from))
        .collect::<Result<_, _>>()?;
    let request = request(&tester.asked)?;
    let option = own_options(&tester.set)?;
    let count = ends.len();
    let answer = with_request(request, || context.call_fn::<Dynamic>("blend", (ends, option)))?;
    let tiles = crate::blending::tiles(&answer, count)?;
    Ok(Dynamic::from(
        tiles
            .into_iter()
            .map(|tile| Dynamic::from(tile.shares.into_iter().map(Dynamic::from).collect::<Array>()))
            .collect::<Array>(),
    ))
}

fn limits(context: &NativeCallContext, tester: &TesterValue, given: &Dynamic) -> Result<Map, Raised> {
    let (glaze, option) = (glaze_from(given)?, own_options(&tester.set)?);
    let answer = context.call_fn::<Dynamic>("limits", (glaze, option))?;
    crate::limiting::ranges(&answer)?;
    answer
        .try_cast::<Map>()
        .ok_or_else(|| trouble("stray-value", "`limits` should give back a table of ranges"))
}

fn claim(context: &NativeCallContext, holds: bool, message: impl FnOnce() -> String) -> Result<(), Raised> {
    if !holds {
        let failure = TestFailure {
            line: context.call_position().line(),
            message: message(),
        };
        scene::present(|run| run.failures.push(failure))?;
    }
    Ok(())
}

fn found_words(findings: &[Finding]) -> String {
    let said: Vec<String> = findings
        .iter()
        .map(|finding| format!("{}: {} ({})", finding.level.words(), finding.subject, finding.message))
        .collect();
    if said.is_empty() {
        "it found nothing".to_owned()
    } else {
        format!("it found {}", said.join("; "))
    }
}

pub(super) fn register(shelf: &mut Shelf) {
    shelf.module.set_custom_type::<TesterValue>(Sort::Tester.words());
    shelf.module.set_custom_type::<FindingsValue>(Sort::Findings.words());
    running(shelf);
    claims_about_findings(shelf);
    claims(shelf);
    findings(shelf);
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
            "A glaze from a table of oxides in moles, a recipe `#{ parts: #{ ... } }`, or a name in the studio.",
        )
        .example("t.glaze(#{ Na2O: 0.3, CaO: 0.7, Al2O3: 0.4, SiO2: 3, cone: \"6\" })"),
        |_: &mut TesterValue, given: Dynamic| glaze_from(&given),
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
            asked: tester.asked.clone(),
        },
    );
    shelf.add(
        Entry::method(
            OWNER,
            "asked",
            "request",
            Sort::Tester,
            "A tester that asks for something: `#{ out: [...], with: [...], at_most: 2, show: 3, steps: 5 }`.",
        )
        .example("t.asked(#{ steps: 5 }).blend(ends)"),
        |tester: &mut TesterValue, asked: Map| TesterValue {
            set: tester.set.clone(),
            asked: Arc::new(asked),
        },
    );
    shelf.add(
        Entry::method(
            OWNER,
            "check",
            "glaze",
            Sort::Findings,
            "What this script's `check` finds on a glaze, given as for `t.glaze`.",
        ),
        |context: NativeCallContext, tester: &mut TesterValue, given: Dynamic| check(&context, &given, &tester.set),
    );
    shelf.add(
        Entry::method(
            OWNER,
            "limits",
            "glaze",
            Sort::Table,
            "The ranges that this script's `limits` gives for a glaze.",
        ),
        |context: NativeCallContext, tester: &mut TesterValue, given: Dynamic| limits(&context, tester, &given),
    );
    shelf.add(
        Entry::method(
            OWNER,
            "swap",
            "glaze",
            Sort::List(&Sort::Glaze),
            "The recipes that this script's `swap` gives; say with `t.asked` what is gone.",
        ),
        |context: NativeCallContext, tester: &mut TesterValue, given: Dynamic| swap(&context, tester, &given),
    );
    shelf.add(
        Entry::method(
            OWNER,
            "blend",
            "ends",
            Sort::List(&Sort::Any),
            "The shares of each tile that this script's `blend` plans.",
        ),
        |context: NativeCallContext, tester: &mut TesterValue, ends: Array| blend(&context, tester, &ends),
    );
}

fn claims_about_findings(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Tester;
    shelf.add(
        Entry::method(
            OWNER,
            "expect",
            "findings, subject",
            Sort::Nothing,
            "There must be a caution, a fail or a not-checked about the subject.",
        )
        .example("t.expect(t.check(#{ Na2O: 0.6, CaO: 0.4, Al2O3: 0.4, SiO2: 3 }), \"R2O\")"),
        |context: NativeCallContext, _: &mut TesterValue, findings: FindingsValue, subject: &str| {
            let holds = findings
                .0
                .iter()
                .any(|finding| finding.subject == subject && finding.level != Level::NothingFound);
            claim(&context, holds, || {
                format!("expected a finding about {subject}; {}", found_words(&findings.0))
            })
        },
    );
    shelf.add(
        Entry::method(
            OWNER,
            "expect_level",
            "findings, level",
            Sort::Nothing,
            "The worst finding must be of this level: \"nothing found\", \"caution\", \"not checked\" or \"fail\".",
        ),
        |context: NativeCallContext, _: &mut TesterValue, findings: FindingsValue, level: &str| {
            let worst = findings.worst();
            claim(&context, worst == level, || {
                format!("expected {level}; {}", found_words(&findings.0))
            })
        },
    );
    shelf.add(
        Entry::method(
            OWNER,
            "expect_nothing",
            "findings",
            Sort::Nothing,
            "There must be nothing but what is of the level *nothing found*.",
        ),
        |context: NativeCallContext, _: &mut TesterValue, findings: FindingsValue| {
            let holds = findings.0.iter().all(|finding| finding.level == Level::NothingFound);
            claim(&context, holds, || {
                format!("expected nothing; {}", found_words(&findings.0))
            })
        },
    );
}

fn claims(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Tester;
    shelf.add(
        Entry::method(
            OWNER,
            "equal",
            "value, expected",
            Sort::Nothing,
            "Two values must be the same.",
        ),
        |context: NativeCallContext, _: &mut TesterValue, value: Dynamic, expected: Dynamic| -> Result<(), Raised> {
            let holds = same(&value, &expected)?;
            claim(&context, holds, || {
                format!("expected {}, got {}", in_text(&expected), in_text(&value))
            })
        },
    );
    shelf.add(
        Entry::method(
            OWNER,
            "near",
            "value, expected, tolerance",
            Sort::Nothing,
            "A number must be within a tolerance of another.",
        ),
        |context: NativeCallContext,
         _: &mut TesterValue,
         value: Dynamic,
         expected: Dynamic,
         tolerance: Dynamic|
         -> Result<(), Raised> {
            let (Some(value), Some(expected), Some(tolerance)) =
                (number(&value), number(&expected), number(&tolerance))
            else {
                return Err(trouble("wrong-kind", "`near` compares numbers"));
            };
            claim(&context, (value - expected).abs() <= tolerance, || {
                format!("expected {expected} within {tolerance}, got {value}")
            })
        },
    );
    shelf.add(
        Entry::method(
            OWNER,
            "claim",
            "holds, message",
            Sort::Nothing,
            "Something must be true; the message says what.",
        ),
        |context: NativeCallContext, _: &mut TesterValue, holds: bool, message: &str| {
            claim(&context, holds, || message.to_owned())
        },
    );
}

impl FindingsValue {
    fn worst(&self) -> &'static str {
        let worst = self.0.iter().map(|finding| finding.level).max();
        worst.unwrap_or(Level::NothingFound).words()
    }
}

fn findings(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Findings;
    shelf.add(
        Entry::property(OWNER, "len", Sort::Number, "How many there are."),
        |findings: &mut FindingsValue| findings.0.len() as i64,
    );
    shelf.add(
        Entry::property(OWNER, "worst", Sort::Text, "The worst level among them, in words."),
        |findings: &mut FindingsValue| ImmutableString::from(findings.worst()),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "subjects",
            Sort::List(&Sort::Text),
            "What they are about, in order.",
        ),
        |findings: &mut FindingsValue| -> Array {
            findings
                .0
                .iter()
                .map(|finding| Dynamic::from(ImmutableString::from(finding.subject.as_str())))
                .collect()
        },
    );
    shelf.add(
        Entry::property(OWNER, "messages", Sort::List(&Sort::Text), "What they say, in order."),
        |findings: &mut FindingsValue| -> Array {
            findings
                .0
                .iter()
                .map(|finding| Dynamic::from(ImmutableString::from(finding.message.as_str())))
                .collect()
        },
    );
    shelf.silent(
        "index$get$",
        |_: &mut FindingsValue, name: &str| -> Result<Dynamic, Raised> {
            Err(no_such_name(
                Sort::Findings,
                name,
                crate::reference::names_of(Sort::Findings),
            ))
        },
    );
}
