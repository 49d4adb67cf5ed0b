//! The scripts that a call can see, with the studio's settings for them.

use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::FluxList;
use glost_chemistry::material::Library;
use glost_core::evidence::ware::Clay;
use glost_core::studio::StudioSettings;
use glost_script::{Scene, Script, ScriptRules, ScriptStore, StudioOptions, limits_door};
use glost_studio::{FoundGlaze, Origin, Workplace};

/// The scripts, and what is set of their options.
pub struct Rulebook {
    /// The scripts by name.
    pub store: Arc<ScriptStore>,
    /// What the studio sets of their options.
    pub options: StudioOptions,
}

impl Rulebook {
    /// The shipped scripts with the studio's over them, and its settings.
    pub fn open(workplace: &Workplace, settings: &StudioSettings) -> Result<Rulebook, Diagnostic> {
        let mut store = ScriptStore::with_shipped();
        for file in workplace.scripts() {
            let source = file.text.clone()?;
            // An empty file is one being written just now: `script show NAME --text > scripts/NAME.rhai`.
            if !source.text.trim().is_empty() {
                store.add_studio(&file.name, source);
            }
        }
        let mut options = StudioOptions::default();
        for setting in &settings.options {
            options.set(&setting.script.text, &setting.option.text, &setting.value.text);
        }
        Ok(Rulebook {
            store: Arc::new(store),
            options,
        })
    }

    /// The scene, with a way to the limits for scripts that ask the optimiser.
    pub fn with_limits(&self, scene: Arc<Scene>) -> Arc<Scene> {
        Arc::new(Scene {
            limits: Some(limits_door(&self.store, &self.options)),
            ..Scene::clone(&scene)
        })
    }

    /// A script by name, or by the path of its file.
    pub fn script(&self, workplace: &Workplace, name: &str) -> Result<Arc<Script>, Diagnostic> {
        if !name.ends_with(".rhai") {
            return self.store.find(name);
        }
        let source = workplace.text(name)?;
        Script::load(name.trim_end_matches(".rhai"), source)
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
    fluxes: &FluxList,
    origin: &Origin,
    clay: Option<Clay>,
    usage: Option<String>,
) -> Arc<Scene> {
    Arc::new(Scene {
        library: library.clone(),
        fluxes: Arc::new(fluxes.clone()),
        clay: clay.map(Arc::new),
        usage,
        shipped_may_come: *origin == Origin::Shipped,
        ..Scene::default()
    })
}

/// The scene of a glaze without clay or use asked.
pub fn scene_of(found: &FoundGlaze) -> Arc<Scene> {
    scene(&found.library, &found.settings.fluxes, &found.origin, None, None)
}
