//! The scripts that a call can see: the shipped ones and a studio's own.

use std::fmt;
use std::sync::{Arc, OnceLock};

use glost_chemistry::diagnostic::{Diagnostic, Source, suggestion};
use glost_chemistry::glaze::{Glaze, GlazeNotes};
use glost_core::rules::{Finding, Level, LimitSet, Rules};

use crate::checking::Checked;
use crate::cones::Suits;
use crate::failure::ScriptFailure;
use crate::kind::Kind;
use crate::options::{OptionSpec, Settings};
use crate::scene::{LimitsDoor, Scene};
use crate::script::Script;
use crate::shipped::SHIPPED;

/// A script's card for a list.
#[derive(Debug, Clone)]
pub struct ScriptCard {
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: Kind,
    /// Its title.
    pub title: String,
    /// Where its numbers come from.
    pub source: String,
    /// The uses it is for; empty for all.
    pub uses: Vec<String>,
    /// Its options.
    pub options: Vec<OptionSpec>,
    /// Whether it came with Glost.
    pub shipped: bool,
}

/// Limits by whether they are for a glaze's firing.
#[derive(Debug)]
pub struct LimitsByFiring {
    /// For its cone and atmosphere.
    pub meant: Vec<Arc<Script>>,
    /// For others.
    pub others: Vec<Arc<Script>>,
}

struct Shelved {
    name: String,
    source: Source,
    shipped: bool,
    /// Loaded when it is first asked for.
    loaded: OnceLock<Result<Arc<Script>, Diagnostic>>,
}

/// The scripts by name; a studio's own lie over the shipped ones.
#[derive(Default)]
pub struct ScriptStore {
    shelved: Vec<Shelved>,
    overlaid: Vec<String>,
}

impl ScriptStore {
    /// An empty store.
    pub fn new() -> ScriptStore {
        ScriptStore::default()
    }

    /// A store with every shipped script.
    pub fn with_shipped() -> ScriptStore {
        let mut store = ScriptStore::new();
        for (name, text) in SHIPPED {
            store.add_shipped(name, Source::from_text(&format!("{name}.rhai"), text));
        }
        store
    }

    /// Adds a shipped script, `check/alkali-balance`.
    pub fn add_shipped(&mut self, name: &str, source: Source) {
        self.add(name, source, true);
    }

    /// Adds a studio's script; it takes the place of a shipped one of that name.
    pub fn add_studio(&mut self, name: &str, source: Source) {
        self.add(name, source, false);
    }

    fn add(&mut self, name: &str, source: Source, shipped: bool) {
        let new = Shelved {
            name: name.to_owned(),
            source,
            shipped,
            loaded: OnceLock::new(),
        };
        match self.shelved.iter_mut().find(|known| known.name == name) {
            Some(known) if known.shipped || !shipped => {
                self.overlaid.push(name.to_owned());
                *known = new;
            }
            Some(_) => self.overlaid.push(name.to_owned()),
            None => self.shelved.push(new),
        }
    }

    /// Names of which there are two scripts: the studio's is used.
    pub fn overlaid(&self) -> &[String] {
        &self.overlaid
    }

    /// Every name, in order.
    pub fn names(&self) -> Vec<&str> {
        let mut names: Vec<&str> = self.shelved.iter().map(|shelved| shelved.name.as_str()).collect();
        names.sort_unstable();
        names
    }

    /// The cards of all scripts that load, and what is wrong with the others.
    pub fn list(&self) -> (Vec<ScriptCard>, Vec<Diagnostic>) {
        let (mut cards, mut complaints) = (Vec::new(), Vec::new());
        for name in self.names() {
            match self.find(name) {
                Ok(script) => cards.push(card(&script)),
                Err(why) => complaints.push(why),
            }
        }
        (cards, complaints)
    }

    /// The script of a name: `check/alkali-balance`, or `alkali-balance` where
    /// only one has that name.
    ///
    /// # Errors
    /// No such script, with the nearest name; or one that doesn't load.
    pub fn find(&self, name: &str) -> Result<Arc<Script>, Diagnostic> {
        let wanted = name.strip_suffix(".rhai").unwrap_or(name);
        let whole = self.shelved.iter().find(|shelved| shelved.name == wanted);
        let by_last_word = || {
            let mut like = self.shelved.iter().filter(|shelved| last_word(&shelved.name) == wanted);
            match (like.next(), like.next()) {
                (Some(only), None) => Some(only),
                _ => None,
            }
        };
        let found = whole.or_else(by_last_word).ok_or_else(|| {
            let names = self.names();
            Diagnostic::error("unknown-script", format!("no script is called `{name}`")).maybe_help(
                suggestion(
                    wanted,
                    names.iter().copied().chain(names.iter().map(|name| last_word(name))),
                )
                .or_else(|| Some("see `glost script list`".to_owned())),
            )
        })?;
        found
            .loaded
            .get_or_init(|| {
                let script = Script::load(&found.name, found.source.clone())?;
                if !found.shipped {
                    return Ok(script);
                }
                Ok(Arc::try_unwrap(script).map_or_else(
                    |shared| shared,
                    |script| {
                        Arc::new(Script {
                            shipped: true,
                            ..script
                        })
                    },
                ))
            })
            .clone()
    }

    /// The scripts of one kind, in order of their names.
    ///
    /// # Errors
    /// The first that doesn't load.
    pub fn of_kind(&self, kind: Kind) -> Result<Vec<Arc<Script>>, Diagnostic> {
        let mut found = Vec::new();
        for name in self.names() {
            let script = self.find(name)?;
            if script.about.kind == kind {
                found.push(script);
            }
        }
        Ok(found)
    }

    /// The limits whose cones and atmosphere are the glaze's, and those that name others. A
    /// script that names no cone is held against a glaze only where it is asked for.
    ///
    /// # Errors
    /// The first that doesn't load.
    pub fn limits_for(&self, about: &GlazeNotes) -> Result<LimitsByFiring, Diagnostic> {
        let with_cones = self.of_kind(Kind::Limits)?;
        let with_cones = with_cones.into_iter().filter(|script| script.about.cones.is_some());
        let (meant, others) = with_cones.partition(|script| script.about.suits(about) == Suits::Yes);
        Ok(LimitsByFiring { meant, others })
    }

    /// Runs every check that applies to a glaze in this scene, and the limits for its firing.
    ///
    /// # Errors
    /// A check that doesn't load, or one that broke its bounds.
    pub fn run_checks(
        &self,
        glaze: &Arc<Glaze>,
        scene: &Arc<Scene>,
        options: &StudioOptions,
    ) -> Result<Checked, ScriptFailure> {
        let usage = scene.usage.as_deref().or(glaze.about.usage.as_deref());
        let mut all = Checked::default();
        let checks = self.of_kind(Kind::Check).map_err(ScriptFailure::does_not_load)?;
        let limits = self.limits_for(&glaze.about).map_err(ScriptFailure::does_not_load)?;
        for script in checks.into_iter().chain(limits.meant) {
            if !script.applies_to(usage, scene) || script.about.suits(&glaze.about) != Suits::Yes {
                continue;
            }
            let checked = script.check(glaze, scene, options.of(&script.name))?;
            all.findings.extend(checked.findings);
            all.printed.extend(checked.printed);
            all.failure = all.failure.or(checked.failure);
        }
        Ok(all)
    }
}

fn last_word(name: &str) -> &str {
    name.rsplit('/').next().unwrap_or(name)
}

fn card(script: &Script) -> ScriptCard {
    ScriptCard {
        name: script.name.clone(),
        kind: script.about.kind,
        title: script.about.title.clone(),
        source: script.about.source.clone(),
        uses: script.about.uses.clone(),
        options: script.about.options.clone(),
        shipped: script.shipped,
    }
}

/// What a studio sets of its scripts' options.
#[derive(Debug, Clone, Default)]
pub struct StudioOptions(Vec<(String, Settings)>);

impl StudioOptions {
    /// Sets one option of one script; a later one of the same name counts.
    pub fn set(&mut self, script: &str, option: &str, value: &str) {
        let setting = (option.to_owned(), value.to_owned());
        match self.0.iter_mut().find(|known| known.0 == script) {
            Some(known) => known.1.push(setting),
            None => self.0.push((script.to_owned(), vec![setting])),
        }
    }

    /// What is set of a script, by its whole name or its last word.
    pub fn of(&self, script: &str) -> &[(String, String)] {
        self.0
            .iter()
            .find(|known| known.0 == script || known.0 == last_word(script))
            .map_or(&[], |known| known.1.as_slice())
    }
}

/// Limits by name for scripts that ask the optimiser.
struct Door {
    store: Arc<ScriptStore>,
    options: StudioOptions,
}

impl fmt::Debug for Door {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("limits by name")
    }
}

impl LimitsDoor for Door {
    fn ranges(&self, name: &str, glaze: &Arc<Glaze>, scene: &Arc<Scene>) -> Result<LimitSet, Diagnostic> {
        let script = self.store.find(name)?;
        script
            .limits(glaze, scene, self.options.of(&script.name))
            .map_err(|failure| failure.diagnostic)
    }
}

/// A way for scripts to the limits of a store, with what the studio sets.
pub fn limits_door(store: &Arc<ScriptStore>, options: &StudioOptions) -> Arc<dyn LimitsDoor> {
    Arc::new(Door {
        store: store.clone(),
        options: options.clone(),
    })
}

/// The rules that core's plans ask for, from scripts.
pub struct ScriptRules<'a> {
    /// The scripts.
    pub store: &'a ScriptStore,
    /// The scene they see.
    pub scene: Arc<Scene>,
    /// What the studio sets.
    pub options: StudioOptions,
}

impl Rules for ScriptRules<'_> {
    fn ranges(&self, name: &str, glaze: &Glaze) -> Result<LimitSet, Diagnostic> {
        let script = self.store.find(name)?;
        script
            .limits(&Arc::new(glaze.clone()), &self.scene, self.options.of(&script.name))
            .map_err(|failure| failure.diagnostic)
    }

    fn findings(&self, glaze: &Glaze) -> Vec<Finding> {
        match self
            .store
            .run_checks(&Arc::new(glaze.clone()), &self.scene, &self.options)
        {
            Ok(checked) => checked.findings,
            Err(failure) => {
                let place = failure.diagnostic.place.as_ref();
                vec![Finding {
                    script: place.map_or("scripts".to_owned(), |place| place.file.to_string()),
                    level: Level::NotChecked,
                    subject: glaze.name.clone(),
                    value: None,
                    low: None,
                    high: None,
                    message: failure.diagnostic.message.clone(),
                    source: String::new(),
                    line: place.map(|place| place.mark.line),
                }]
            }
        }
    }
}
