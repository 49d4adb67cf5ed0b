//! The scripts that a call can see: the shipped ones, those of packages, and a studio's own.

use std::sync::{Arc, OnceLock};

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source, did_you_mean, nearest, none_called, suggestion};
use glost_chemistry::glaze::{Glaze, GlazeNotes};
use glost_core::rules::{Finding, Level, Signature, Whose};

use crate::checking::Checked;
use crate::cones::{ConeRange, OwnFiring, Suits};
use crate::failure::ScriptFailure;
use crate::glance::Glance;
use crate::kinds::Kind;
use crate::libraries::{self, Shelves};
use crate::options::Settings;
use crate::scene::Scene;
use crate::script::{Script, first, hash_of, is_library};
use crate::shipped::SHIPPED;

/// The scripts of one kind.
#[derive(Debug, Default)]
pub struct OfKind {
    /// Those that load, in order of their names.
    pub scripts: Vec<Arc<Script>>,
    /// Those that don't.
    pub broken: Vec<Broken>,
    /// Names of those that the studio turned off.
    pub off: Vec<String>,
}

/// A script that can't be used.
#[derive(Debug, Clone)]
pub struct Broken {
    /// Its name.
    pub name: String,
    /// Its kind, as far as that can be told.
    pub kind: Option<Kind>,
    /// What is wrong with it, the first in its text.
    pub why: Diagnostic,
    /// What else is.
    pub more: Vec<Diagnostic>,
    /// Whose text it is; `None` where it can't be read.
    pub signed: Option<Arc<Signature>>,
}

impl Broken {
    /// *Not checked*: never silence.
    pub fn finding(&self) -> Finding {
        let place = self.why.place.as_ref();
        let at = place.map_or_else(String::new, |place| {
            format!(" ({}:{}:{})", place.file, place.mark.line, place.mark.column)
        });
        Finding {
            script: self.name.as_str().into(),
            level: Level::NotChecked,
            subject: self.name.as_str().into(),
            value: None,
            low: None,
            high: None,
            message: format!("the script doesn't load: {}{at}", self.why.message).into(),
            source: "".into(),
            line: place.map(|place| place.mark.line),
            signed: self.signed.clone(),
            accepted: None,
            broke: Some(Arc::new(self.why.clone())),
        }
    }
}

/// Limits by whether they are for a glaze's firing.
#[derive(Debug)]
pub struct LimitsByFiring {
    /// For its cone and atmosphere.
    pub meant: Vec<Arc<Script>>,
    /// For others.
    pub others: Vec<Arc<Script>>,
    /// Those that don't load: nobody knows what they are for.
    pub broken: Vec<Broken>,
}

struct Shelved {
    name: String,
    text: Result<Source, Diagnostic>,
    whose: Whose,
    /// Whether the studio turned it off.
    off: bool,
    /// What its cautions weigh here.
    level: Option<Level>,
    kind: OnceLock<Option<Kind>>,
    /// Loaded when it is first asked for.
    loaded: OnceLock<Result<Arc<Script>, Vec<Diagnostic>>>,
}

impl Shelved {
    fn new(name: &str, text: Result<Source, Diagnostic>, whose: Whose) -> Shelved {
        Shelved {
            name: name.to_owned(),
            text,
            whose,
            off: false,
            level: None,
            kind: OnceLock::new(),
            loaded: OnceLock::new(),
        }
    }

    /// The kind that `ABOUT` names, else that of the folder; nothing is parsed for it.
    fn kind(&self) -> Option<Kind> {
        *self.kind.get_or_init(|| {
            // What came with us lies in the folder of its kind.
            if self.whose == Whose::Shipped {
                return self.name.split('/').find_map(Kind::from_word);
            }
            let named = self.text.as_ref().ok().and_then(|source| Glance::at(source).kind());
            named.or_else(|| self.name.split('/').find_map(Kind::from_word))
        })
    }

    /// Whether its numbers may be for this firing, as far as can be told without loading it;
    /// only of what came with us, which surely loads.
    fn may_suit(&self, about: &GlazeNotes) -> bool {
        let text = self.text.as_ref().ok().filter(|_| self.whose == Whose::Shipped);
        let Some(source) = text else { return true };
        let Some(seen) = Glance::at(source).text("cones").map(|seen| seen.value.clone()) else {
            return false;
        };
        ConeRange::parse(&seen).map_or(true, |cones| OwnFiring::of(about).may_be_in(cones))
    }

    fn load(&self, store: &ScriptStore) -> Result<Arc<Script>, Diagnostic> {
        self.load_or_mistakes(store).map_err(first)
    }

    fn load_or_mistakes(&self, store: &ScriptStore) -> Result<Arc<Script>, Vec<Diagnostic>> {
        self.loaded
            .get_or_init(|| {
                let shelves = Beside {
                    store,
                    whose: &self.whose,
                };
                let text = self.text.clone().map_err(|why| vec![why])?;
                let script = Script::load_all(&self.name, text, self.whose.clone(), &shelves)?;
                let script = Script::adapted(script, self.level, kept_source(self));
                Ok(Script::doubted(script, other_folder(self)))
            })
            .clone()
    }

    fn broken(&self, mut mistakes: Vec<Diagnostic>) -> Broken {
        let more = mistakes.split_off(mistakes.len().min(1));
        let why = first(mistakes);
        let signed = self.text.as_ref().ok().map(|source| {
            Arc::new(Signature {
                script: self.name.clone(),
                whose: self.whose.clone(),
                hash: hash_of(&source.text),
                set: Vec::new(),
            })
        });
        Broken {
            name: self.name.clone(),
            kind: self.kind(),
            why,
            more,
            signed,
        }
    }

    fn is_own(&self) -> bool {
        matches!(self.whose, Whose::Yours | Whose::YoursInstead)
    }

    /// What lies over what: the studio's own over packages over what is shipped.
    fn rank(&self) -> u8 {
        match self.whose {
            Whose::Shipped => 0,
            Whose::Package { .. } => 1,
            Whose::Yours | Whose::YoursInstead => 2,
        }
    }
}

/// The libraries beside a script: the studio's, or those of its package.
struct Beside<'a> {
    store: &'a ScriptStore,
    whose: &'a Whose,
}

impl Shelves for Beside<'_> {
    fn library(&self, name: &str) -> Result<Arc<Script>, Diagnostic> {
        let near = |library: &&Shelved| match (self.whose, &library.whose) {
            (Whose::Package { name: one, .. }, Whose::Package { name: other, .. }) => one == other,
            (Whose::Package { .. }, _) | (_, Whose::Package { .. }) => false,
            _ => true,
        };
        let mut libraries = self.store.libraries.iter().filter(near);
        match libraries.clone().find(|library| library.name == name) {
            Some(found) => found.load(self.store),
            None => Err(libraries::unknown(
                name,
                libraries.by_ref().map(|library| library.name.as_str()),
            )),
        }
    }
}

/// The shipped text of a name.
pub fn shipped_text(name: &str) -> Option<&'static str> {
    SHIPPED.iter().find(|(known, _)| *known == name).map(|(_, text)| *text)
}

/// A text in place of a shipped one that cites the shipped one's source word for word:
/// the source counts only for the text that it was written for.
fn kept_source(own: &Shelved) -> Option<Diagnostic> {
    let source = own.text.as_ref().ok().filter(|_| own.whose != Whose::Shipped)?;
    let shipped = shipped_text(&own.name)?;
    if hash_of(&source.text) == hash_of(shipped) {
        return None;
    }
    let own = Glance::at(source);
    let (cited, shipped) = (own.text("source")?, Glance::at(&Source::from_text("shipped", shipped)));
    if own.text("based_on").is_some() || shipped.text("source").map(|seen| &seen.value) != Some(&cited.value) {
        return None;
    }
    let message = format!("source says `{}`, but this text is yours", cited.value);
    Some(
        Diagnostic::caution("kept-source", message)
            .help("say where your numbers come from, and `based_on: \"...\"` what the text was made from")
            .at(source, cited.mark, cited.value.chars().count() + 2),
    )
}

/// A script that lies elsewhere than in the folder of its kind: it runs as what it says.
fn other_folder(own: &Shelved) -> Option<Diagnostic> {
    let source = own.text.as_ref().ok().filter(|_| own.whose != Whose::Shipped)?;
    let said = Glance::at(source);
    let kind = said.kind().filter(|_| !is_library(&own.name))?.word();
    let place = match own.name.rsplit_once('/') {
        Some((folder, _)) if folder == kind => return None,
        Some((folder, _)) => format!("in `{folder}/`"),
        None => "in no folder".to_owned(),
    };
    let message = format!("this says kind `{kind}` and lies {place}: it runs as a {kind} script");
    let caution = Diagnostic::caution("other-folder", message);
    let caution = caution.help(format!("put it in `{kind}/`, or set its `kind` right"));
    Some(match said.text("kind") {
        Some(seen) => caution.at(source, seen.mark, seen.value.chars().count() + 2),
        None => caution.at(source, Mark { line: 1, column: 1 }, 1),
    })
}

/// Breaks the studio's own of two scripts whose names differ in capitals alone: where capitals
/// make no difference one file would be the other, and neither takes the other's place here.
fn tell_alike(known: &mut [Shelved], new: &mut Shelved) {
    let alike = |one: &&mut Shelved| one.name != new.name && one.name.to_lowercase() == new.name.to_lowercase();
    let names = |one: &str, other: &str| {
        let message = format!("two scripts of one name: `{one}` and `{other}`");
        Diagnostic::error("alike-names", message)
            .help("capitals make no difference on some systems: rename one of them")
    };
    for other in known.iter_mut().filter(alike).collect::<Vec<_>>() {
        let why = names(&other.name, &new.name);
        for script in [other, &mut *new] {
            if let (Ok(source), true) = (&script.text, script.is_own()) {
                script.text = Err(why.clone().at(source, Mark { line: 1, column: 1 }, 1));
            }
        }
    }
}

/// The scripts by name.
#[derive(Default)]
pub struct ScriptStore {
    shelved: Vec<Shelved>,
    libraries: Vec<Shelved>,
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
            store.add(
                name,
                Ok(Source::from_text(&format!("{name}.rhai"), text)),
                Whose::Shipped,
            );
        }
        store
    }

    /// Adds a studio's script; it takes the place of a shipped one of that name.
    pub fn add_studio(&mut self, name: &str, source: Source) {
        self.add(name, Ok(source), Whose::Yours);
    }

    /// Adds a script, or why its file can't be read; the studio's own lie over those of
    /// packages, and these over the shipped ones.
    pub fn add(&mut self, name: &str, text: Result<Source, Diagnostic>, whose: Whose) {
        let mut new = Shelved::new(name, text, whose);
        if let Whose::Package { instead, .. } = &mut new.whose {
            *instead = shipped_text(name).is_some();
        }
        if is_library(name) {
            tell_alike(&mut self.libraries, &mut new);
            return self.libraries.push(new);
        }
        tell_alike(&mut self.shelved, &mut new);
        let Some(known) = self.shelved.iter_mut().find(|known| known.name == name) else {
            return self.shelved.push(new);
        };
        self.overlaid.push(name.to_owned());
        if new.rank() < known.rank() {
            return;
        }
        if new.whose == Whose::Yours && shipped_text(name).is_some() {
            new.whose = Whose::YoursInstead;
        }
        *known = new;
    }

    /// Turns a script off: it runs only where somebody names it.
    pub fn turn_off(&mut self, name: &str) {
        for shelved in self.shelved.iter_mut().filter(|shelved| shelved.name == name) {
            shelved.off = true;
        }
    }

    /// Sets what a script's cautions weigh.
    pub fn set_level(&mut self, name: &str, level: Level) {
        for shelved in self.shelved.iter_mut().filter(|shelved| shelved.name == name) {
            shelved.level = Some(level);
            shelved.loaded = OnceLock::new();
        }
    }

    /// Whether the studio turned a script off.
    pub fn is_off(&self, name: &str) -> bool {
        self.shelved.iter().any(|shelved| shelved.off && shelved.name == name)
    }

    /// The kind of a script by its whole name, as far as that can be told.
    pub fn kind_of(&self, name: &str) -> Option<Kind> {
        self.shelved
            .iter()
            .find(|shelved| shelved.name == name)
            .and_then(Shelved::kind)
    }

    /// Whether this is the whole name of a library.
    pub fn is_library(&self, name: &str) -> bool {
        self.libraries.iter().any(|library| library.name == name)
    }

    /// Names of which there are two scripts: the studio's is used.
    pub fn overlaid(&self) -> &[String] {
        &self.overlaid
    }

    /// Every name, in order.
    pub fn names(&self) -> Vec<&str> {
        self.in_order().iter().map(|shelved| shelved.name.as_str()).collect()
    }

    fn in_order(&self) -> Vec<&Shelved> {
        let mut shelved: Vec<&Shelved> = self.shelved.iter().collect();
        shelved.sort_unstable_by(|a, b| a.name.cmp(&b.name));
        shelved
    }

    /// All scripts that load, and what is wrong with the others.
    pub fn all(&self) -> OfKind {
        self.those(|_| true)
    }

    /// The libraries, as [`ScriptStore::all`]; their tests run like any.
    pub fn libraries(&self) -> OfKind {
        let mut found = OfKind::default();
        for library in &self.libraries {
            match library.load_or_mistakes(self) {
                Ok(script) => found.scripts.push(script),
                Err(why) => found.broken.push(library.broken(why)),
            }
        }
        found
    }

    /// All scripts and libraries: whatever brings tests.
    pub fn with_libraries(&self) -> OfKind {
        let (mut all, libraries) = (self.all(), self.libraries());
        all.scripts.extend(libraries.scripts);
        all.broken.extend(libraries.broken);
        all
    }

    fn those(&self, wanted: impl Fn(&Shelved) -> bool) -> OfKind {
        let mut found = OfKind::default();
        for shelved in self.in_order().into_iter().filter(|shelved| wanted(shelved)) {
            match shelved.load_or_mistakes(self) {
                Ok(script) => found.scripts.push(script),
                Err(why) => found.broken.push(shelved.broken(why)),
            }
        }
        found
    }

    /// The whole name of a script: `check/alkali-balance`, or `alkali-balance` where only
    /// one has that name.
    ///
    /// # Errors
    /// No such script, with the nearest name; or several, all named.
    pub fn whole_name(&self, name: &str) -> Result<&str, Diagnostic> {
        self.shelved(name).map(|shelved| shelved.name.as_str())
    }

    fn shelved(&self, name: &str) -> Result<&Shelved, Diagnostic> {
        let wanted = name.strip_suffix(".rhai").unwrap_or(name);
        if let Some(whole) = self.shelved.iter().find(|shelved| shelved.name == wanted) {
            return Ok(whole);
        }
        let mut libraries = self.libraries.iter().filter(|library| library.name == wanted);
        if let Some(library) = libraries
            .clone()
            .max_by_key(|library| library.rank())
            .or(libraries.next())
        {
            return Ok(library);
        }
        let wanted = RENAMED
            .iter()
            .find(|(old, _)| *old == wanted)
            .map_or(wanted, |(_, new)| new);
        let shelves = self.in_order();
        let like: Vec<&Shelved> = shelves
            .into_iter()
            .filter(|one| last_word(&one.name) == wanted)
            .collect();
        match like.as_slice() {
            [only] => Ok(only),
            [] => Err(Diagnostic::error("unknown-script", none_called("script", name))
                .help("see `glost script list`")
                .maybe_help(self.near(wanted))),
            several => {
                let names: Vec<String> = several.iter().map(|one| format!("`{}`", one.name)).collect();
                let message = format!("{} scripts are called `{wanted}`: {}", names.len(), names.join(" and "));
                Err(Diagnostic::error("two-scripts", message).help("say the whole name of the one that is meant"))
            }
        }
    }

    /// The script whose name is nearest; of a name with a folder by its last word, since half
    /// of all names begin alike.
    fn near(&self, wanted: &str) -> Option<String> {
        let names = self.names();
        let short = names.iter().map(|name| last_word(name));
        if !wanted.contains('/') {
            return suggestion(wanted, names.iter().copied().chain(short));
        }
        let word = nearest(last_word(wanted), short)?;
        names.iter().find(|name| last_word(name) == word).map(did_you_mean)
    }

    /// The text of a script, whether it loads or not.
    ///
    /// # Errors
    /// No such script, several, or a file that can't be read.
    pub fn text(&self, name: &str) -> Result<Source, Diagnostic> {
        self.shelved(name)?.text.clone()
    }

    /// The script of a name, as [`ScriptStore::whole_name`] finds it.
    ///
    /// # Errors
    /// No such script, several, or one that doesn't load.
    pub fn find(&self, name: &str) -> Result<Arc<Script>, Diagnostic> {
        self.shelved(name)?.load(self)
    }

    /// As [`ScriptStore::find`], with every mistake in one that doesn't load.
    ///
    /// # Errors
    /// As [`ScriptStore::find`].
    pub fn find_or_mistakes(&self, name: &str) -> Result<Arc<Script>, Vec<Diagnostic>> {
        self.shelved(name).map_err(|why| vec![why])?.load_or_mistakes(self)
    }

    /// The scripts of one kind that are not turned off. One that doesn't load, and doesn't
    /// say its kind either, is among the broken of every kind.
    pub fn of_kind(&self, kind: Kind) -> OfKind {
        self.of_kind_where(kind, |_| true)
    }

    fn of_kind_where(&self, kind: Kind, wanted: impl Fn(&Shelved) -> bool) -> OfKind {
        let like = |shelved: &Shelved| shelved.kind().is_none_or(|own| own == kind) && wanted(shelved);
        let mut found = self.those(|shelved| like(shelved) && !shelved.off);
        found.scripts.retain(|script| script.about.kind == kind);
        let off = self
            .in_order()
            .into_iter()
            .filter(|shelved| like(shelved) && shelved.off);
        found.off = off.map(|shelved| shelved.name.clone()).collect();
        found
    }

    /// The limits whose cones and atmosphere are the glaze's, and those that name others. A
    /// script that names no cone is held against a glaze only where it is asked for.
    pub fn limits_for(&self, about: &GlazeNotes) -> LimitsByFiring {
        Self::by_firing(self.of_kind(Kind::LIMITS), about)
    }

    /// As [`ScriptStore::limits_for`], without loading those that came with us for other firings.
    fn limits_meant(&self, about: &GlazeNotes) -> LimitsByFiring {
        Self::by_firing(
            self.of_kind_where(Kind::LIMITS, |shelved| shelved.may_suit(about)),
            about,
        )
    }

    fn by_firing(limits: OfKind, about: &GlazeNotes) -> LimitsByFiring {
        let OfKind { scripts, broken, .. } = limits;
        let with_cones = scripts.into_iter().filter(|script| script.about.cones.is_some());
        let (meant, others) = with_cones.partition(|script| script.about.suits(about) == Suits::Yes);
        LimitsByFiring { meant, others, broken }
    }

    /// Loads what [`ScriptStore::run_checks`] will run on a glaze, for whoever has a core to
    /// spare; what doesn't load is told when it is run.
    pub fn load_checks(&self, about: &GlazeNotes) {
        self.of_kind(Kind::CHECK);
        self.limits_meant(about);
    }

    /// Runs every check that applies to a glaze in this scene, and the limits for its firing.
    ///
    /// # Errors
    /// A check that broke its bounds.
    pub fn run_checks(
        &self,
        glaze: &Arc<Glaze>,
        scene: &Arc<Scene>,
        options: &StudioOptions,
    ) -> Result<Checked, ScriptFailure> {
        let usage = scene.usage.or(glaze.about.usage);
        let mut all = Checked::default();
        let checks = self.of_kind(Kind::CHECK);
        let limits = self.limits_meant(&glaze.about);
        for script in checks.scripts.into_iter().chain(limits.meant) {
            if !script.applies_to(usage, scene) || script.about.suits(&glaze.about) != Suits::Yes {
                continue;
            }
            let checked = script.check(glaze, scene, options.of(&script.name))?;
            all.findings.extend(checked.findings);
            all.printed.extend(checked.printed);
            all.failure = all.failure.or(checked.failure);
        }
        let broken = checks.broken.iter().chain(&limits.broken);
        for finding in broken.map(Broken::finding) {
            if !all.findings.contains(&finding) {
                all.findings.push(finding);
            }
        }
        Ok(all)
    }
}

/// Shipped scripts that went by another name, which still finds them.
const RENAMED: [(&str, &str); 2] = [("corners", "extremes"), ("blend/corners", "extremes")];

fn last_word(name: &str) -> &str {
    name.rsplit('/').next().unwrap_or(name)
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
