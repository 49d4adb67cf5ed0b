//! The scripts that a call can see, with the studio's settings for them.

use glost_chemistry::glaze::Use;
use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, Place};
use glost_chemistry::material::Library;
use glost_core::evidence::ware::Clay;
use glost_core::rules::Whose;
use glost_core::studio::StudioSettings;
use glost_script::{PrintedLines, Scene, Script, ScriptRules, ScriptStore, StudioOptions, limits_door};
use glost_studio::{FoundGlaze, Origin, Package, Workplace};

use crate::Failure;
use crate::settled::{self, SetAt};

/// The scripts, and what is set of their options.
pub struct Rulebook {
    /// The scripts by name.
    pub store: Arc<ScriptStore>,
    /// What the studio sets of their options.
    pub options: StudioOptions,
    /// Where each was set.
    places: Vec<SetAt>,
    /// Why it has a script as it has it.
    reasons: Vec<(String, String)>,
    /// What scripts print beside answers that carry no lines.
    pub printed: PrintedLines,
}

impl Rulebook {
    /// The shipped scripts with the studio's over them, and its settings.
    ///
    /// # Errors
    /// A package that differs from its lock; settings of scripts or options that there are
    /// none of, or that can't be, with place. A script that can't be read breaks nothing but
    /// itself.
    pub fn open(workplace: &Workplace, settings: &StudioSettings) -> Result<Rulebook, Failure> {
        match &workplace.packages().changed {
            Some(changed) => Err(Failure::Tampered(changed.clone())),
            None => Ok(Rulebook::to_look(workplace, settings)?),
        }
    }

    /// As [`Rulebook::open`], where none of the scripts is run: a package that differs from its
    /// lock is left out.
    ///
    /// # Errors
    /// As [`Rulebook::open`], packages left aside.
    pub(crate) fn to_look(workplace: &Workplace, settings: &StudioSettings) -> Result<Rulebook, Vec<Diagnostic>> {
        let mut store = Rulebook::unsettled(workplace);
        let settled = settled::settle(&mut store, settings)?;
        Ok(Rulebook {
            store: Arc::new(store),
            options: settled.options,
            places: settled.places,
            reasons: settled.reasons,
            printed: PrintedLines::default(),
        })
    }

    /// The scripts alone, nothing set.
    pub(crate) fn unsettled(workplace: &Workplace) -> ScriptStore {
        let mut store = ScriptStore::with_shipped();
        for file in workplace.scripts() {
            store.add(&file.name, file.text.clone(), Whose::Yours);
        }
        for package in &workplace.packages().whole {
            add_package(&mut store, package);
        }
        store
    }

    /// Why the studio has a script as it has it, where it says.
    pub fn reason(&self, script: &str) -> Option<&str> {
        let found = self.reasons.iter().rfind(|(name, _)| name == script);
        found.map(|(_, reason)| reason.as_str())
    }

    /// Where `studio.yaml` sets an option of a script.
    pub fn set_at(&self, script: &str, option: &str) -> Option<&Place> {
        let found = self
            .places
            .iter()
            .rfind(|set| set.script == script && set.option == option);
        found.map(|set| &set.place)
    }

    /// The scene, with a way to the limits for scripts that ask the optimiser.
    pub fn with_limits(&self, scene: Arc<Scene>) -> Arc<Scene> {
        Arc::new(Scene {
            limits: Some(limits_door(&self.store, &self.options)),
            printed: self.printed.clone(),
            ..Scene::clone(&scene)
        })
    }

    /// A script by name, or by the path of its file.
    ///
    /// # Errors
    /// No such script, or every mistake in it.
    pub fn script(&self, workplace: &Workplace, name: &str) -> Result<Arc<Script>, Failure> {
        if !name.ends_with(".rhai") {
            return self.store.find_or_mistakes(name).map_err(Failure::Wrong);
        }
        let source = workplace.text(name)?;
        if let Some(below) = workplace.below_scripts(name) {
            if below.starts_with("from/") {
                return self.of_package(workplace, &below, name);
            }
            // One of the studio's own is the same by name: its libraries lie beside it.
            let found = self.store.find_or_mistakes(&below);
            return found.map_err(Failure::Wrong);
        }
        Script::load_or_mistakes(name.trim_end_matches(".rhai"), source).map_err(Failure::Wrong)
    }

    /// A script by the path of its file among those of packages: of one that was taken in
    /// alone.
    fn of_package(&self, workplace: &Workplace, below: &str, typed: &str) -> Result<Arc<Script>, Failure> {
        let mut steps = below.splitn(3, '/').skip(1);
        let (package, script) = (steps.next(), steps.next());
        let (package, script) = (package.map_or("", |name| name), script.map_or("", |name| name));
        let known = workplace
            .packages()
            .whole
            .iter()
            .any(|one| one.manifest.name == package);
        if !known {
            let message = format!(
                "`{}` came in with no package that scripts.lock knows: nothing in its folder is used",
                typed
            );
            let help = "take the package in with `glost script add`, or move scripts of your own out of scripts/from/";
            return Err(Diagnostic::error("stray-package", message).help(help).into());
        }
        self.store.find_or_mistakes(script).map_err(Failure::Wrong)
    }

    /// Options of one script: the studio's, then those of the call.
    pub fn settings_of(&self, script: &Script, set: &[String]) -> Result<Vec<(String, String)>, Diagnostic> {
        let mut settings = self.options.of(&script.name).to_vec();
        for text in set {
            let Some((name, value)) = text.split_once('=') else {
                return Err(Diagnostic::error("bad-option", format!("--set: `{text}` sets nothing"))
                    .help("write it such as --set alkali_most=0.3"));
            };
            settings.push((name.trim().to_owned(), value.trim().to_owned()));
        }
        Ok(settings)
    }

    /// Core's plans ask for rules through this.
    pub fn rules(self, scene: Arc<Scene>) -> OwnedRules {
        OwnedRules { book: self, scene }
    }
}

/// Adds the scripts and libraries of a package.
pub(crate) fn add_package(store: &mut ScriptStore, package: &Package) {
    let manifest = &package.manifest;
    let whose = Whose::Package {
        instead: false,
        name: manifest.name.clone(),
        version: manifest.version.clone(),
    };
    for file in &package.files {
        if let Some(name) = file.path.strip_suffix(".rhai") {
            store.add(name, Ok(file.source(&manifest.name)), whose.clone());
        }
    }
}

/// Scripts and the scene they see, together.
pub struct OwnedRules {
    book: Rulebook,
    scene: Arc<Scene>,
}

impl OwnedRules {
    /// The rules as scripts hold them.
    pub fn as_rules(&self) -> ScriptRules<'_> {
        ScriptRules {
            store: &self.book.store,
            scene: self.scene.clone(),
            options: self.book.options.clone(),
        }
    }
}

/// What scripts may look at for one glaze.
pub fn scene(
    library: &Arc<Library>,
    settings: &StudioSettings,
    origin: &Origin,
    clay: Option<Clay>,
    usage: Option<Use>,
) -> Arc<Scene> {
    Arc::new(Scene {
        library: library.clone(),
        fluxes: Arc::new(settings.fluxes.clone()),
        students: settings.students,
        clay: clay.map(Arc::new),
        usage,
        shipped_may_come: *origin == Origin::Shipped,
        ..Scene::default()
    })
}

/// The scene of a glaze without clay or use asked.
pub fn scene_of(found: &FoundGlaze) -> Arc<Scene> {
    scene(&found.library, &found.settings, &found.origin, None, None)
}
