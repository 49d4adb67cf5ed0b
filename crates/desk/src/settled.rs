//! What `studio.yaml` says of scripts: options, what is off, what cautions weigh; each
//! name looked up, so that a misspelt one is no silence.

use glost_chemistry::diagnostic::{Diagnostic, Place, of_typed, suggestion};
use glost_chemistry::read::Text;
use glost_core::rules::Level;
use glost_core::studio::{OptionSetting, StudioSettings};
use glost_script::{Kind, ScriptStore, StudioOptions};

/// The word under a script's name that says what its cautions weigh.
const LEVEL: &str = "level";
/// The word under a script's name that says why.
const BECAUSE: &str = "because";

/// Where an option was set.
pub(crate) struct SetAt {
    pub(crate) script: String,
    pub(crate) option: String,
    pub(crate) place: Place,
}

/// What a studio sets of its scripts, names in full.
pub(crate) struct Settled {
    pub(crate) options: StudioOptions,
    /// Where each option was set.
    pub(crate) places: Vec<SetAt>,
    /// Why it has a script as it has it.
    pub(crate) reasons: Vec<(String, String)>,
}

/// Puts the settings into the store; gives the options, and where each was set.
///
/// # Errors
/// Names that no script or option has, values that can't be, options of a script that is
/// off, kinds that can't be off: all of them, each with its place.
pub(crate) fn settle(store: &mut ScriptStore, settings: &StudioSettings) -> Result<Settled, Vec<Diagnostic>> {
    let mut settled = Settled {
        options: StudioOptions::default(),
        places: Vec::new(),
        reasons: Vec::new(),
    };
    let mut wrong: Vec<Diagnostic> = Vec::new();
    for script in &settings.off {
        wrong.extend(turn_off(store, settings, script).err());
    }
    for (script, reason) in &settings.reasons {
        match store.whole_name(&script.text) {
            Ok(name) => settled.reasons.push((name.to_owned(), reason.clone())),
            Err(why) => wrong.push(at(settings, why, script)),
        }
    }
    for setting in &settings.options {
        wrong.extend(set(store, settings, setting, &mut settled).err());
    }
    if wrong.is_empty() {
        return Ok(settled);
    }
    let mut once: Vec<Diagnostic> = Vec::new();
    for why in wrong {
        // A name that is wrong is wrong in each of its settings.
        if !once.contains(&why) {
            once.push(why);
        }
    }
    Err(once)
}

fn at(settings: &StudioSettings, error: Diagnostic, word: &Text) -> Diagnostic {
    match &settings.source {
        Some(source) => error.at(source, word.mark, word.text.chars().count().max(1)),
        None => error,
    }
}

/// Turns a script off that runs unasked; one that runs only where it is named has nothing
/// that could be turned off.
fn turn_off(store: &mut ScriptStore, settings: &StudioSettings, script: &Text) -> Result<(), Diagnostic> {
    let whole = store
        .whole_name(&script.text)
        .map_err(|why| at(settings, why, script))?;
    let name = whole.to_owned();
    if store.is_library(&name) {
        let message = of_typed(
            &name,
            "can't be off: it is a library, and runs only where a script imports it",
        );
        let help = "turn the scripts off that import it";
        return Err(at(
            settings,
            Diagnostic::error("wrong-script-kind", message).help(help),
            script,
        ));
    }
    let may_be = |kind: &Kind| kind.finds() || *kind == Kind::FAULT;
    if let Some(kind) = store.kind_of(&name).filter(|kind| !may_be(kind)) {
        let words: Vec<&str> = Kind::all().filter(may_be).map(Kind::word).collect();
        let message = format!(
            "`{name}` can't be off: a script of kind `{}` runs only where it is asked for",
            kind.word()
        );
        let help = format!("kinds that can be off: {}", words.join(", "));
        return Err(at(
            settings,
            Diagnostic::error("wrong-script-kind", message).help(help),
            script,
        ));
    }
    store.turn_off(&name);
    Ok(())
}

fn set(
    store: &mut ScriptStore,
    settings: &StudioSettings,
    setting: &OptionSetting,
    settled: &mut Settled,
) -> Result<(), Diagnostic> {
    let at = |error: Diagnostic, word: &Text| at(settings, error, word);
    let OptionSetting { script, option, value } = setting;
    let name = store.whole_name(&script.text).map_err(|why| at(why, script))?;
    let name = name.to_owned();
    // Options beside `level: off` wait there for the day it is on again.
    if settings.off.iter().any(|off| off.text == script.text) {
        return Ok(());
    }
    if store.is_off(&name) {
        let message = format!("`{name}` is off, and `{}` is set for it", option.text);
        let help = "take one of the two out of studio.yaml";
        return Err(at(Diagnostic::error("off-and-set", message).help(help), script));
    }
    // One that doesn't load has no options yet: what is set of it is looked at once it does.
    let script = store.find(&name).ok();
    let spec = |wanted: &str| {
        let specs = script.as_ref().map_or(&[][..], |script| &script.about.options);
        specs.iter().find(|spec| spec.name == wanted)
    };
    match (&script, spec(&option.text)) {
        (None, _) => {}
        (Some(_), Some(spec)) => spec.may_be(&value.text).map_err(|why| at(why, value))?,
        (Some(script), None) if option.text == LEVEL => {
            let level = level(&value.text, script.about.kind).map_err(|why| at(why, value))?;
            store.set_level(&name, level);
            return Ok(());
        }
        (Some(_), None) if option.text == BECAUSE => {
            settled.reasons.push((name, value.text.clone()));
            return Ok(());
        }
        (Some(script), None) => {
            let names = script.about.options.iter().map(|spec| spec.name.as_str());
            let error = Diagnostic::error("unknown-option", format!("`{name}` has no option `{}`", option.text));
            let near = suggestion(&option.text, names.chain([LEVEL, BECAUSE]));
            let error = error.help(format!("`glost script show {name}` tells its options"));
            return Err(at(error.maybe_help(near), option));
        }
    }
    settled.options.set(&name, &option.text, &value.text);
    settled.places.extend(settings.source.as_ref().map(|source| SetAt {
        place: source.place(option.mark, option.text.chars().count()),
        option: option.text.clone(),
        script: name,
    }));
    Ok(())
}

fn level(word: &str, kind: Kind) -> Result<Level, Diagnostic> {
    if !kind.finds() {
        let message = format!(
            "a script of kind `{}` finds nothing that could have a level",
            kind.word()
        );
        return Err(Diagnostic::error("wrong-script-kind", message));
    }
    let levels = Level::FOR_CAUTIONS;
    levels.into_iter().find(|level| level.words() == word).ok_or_else(|| {
        let words = levels.map(Level::words);
        Diagnostic::error("wrong-value", format!("`level` can't be `{word}`")).help(format!(
            "its cautions become one of: {}; `off` turns it off",
            words.join(", ")
        ))
    })
}
