//! New values in a file's text: read back as ever, then put in the old text's place.

use std::path::Path;

use glost_chemistry::diagnostic::{Diagnostic, Source, of_typed};
use glost_chemistry::glaze::read_glaze;
use glost_chemistry::material::{LOT_KEYS, read_materials};
use glost_chemistry::quantity::Cone;
use glost_chemistry::read::{NewValue, Node, Step, Value, edited, folded, parse, without};
use glost_core::studio::read_settings;
use glost_core::workshop::scales::parse_scales;

use crate::bench::clay_file;
use crate::line_file::LineFile;
use crate::save::Prepared;
use crate::text_file::{about_file, read_bytes};
use crate::workplace::Workplace;

use super::found::{Editable, OfWhat, child};
use super::keys::{LOTS, Setting};

const BYTE_ORDER_MARK: &[u8] = b"\xEF\xBB\xBF";
/// The key beside a script's options that says whether it is on, and what its cautions weigh.
const LEVEL: &str = "level";
/// What new texts are called until they stand in their place.
const TEMPORARY: &str = ".glost-";

/// One value that was changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// Its key as typed: `price`, `analysis.SiO2`.
    pub key: String,
    /// What stood there; `None` where the key is new.
    pub before: Option<String>,
    /// What stands there now.
    pub after: String,
    /// The line, from 1.
    pub line: usize,
}

/// A file with changed values.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Changed {
    /// Each value, in the order of the call.
    pub changes: Vec<Change>,
    /// Whether the file was written: not where all stood there already.
    pub written: bool,
}

impl Workplace {
    /// Sets these values of something, all or none.
    ///
    /// # Errors
    /// A key that can't be set, a value that can't be read, one that can't be changed in
    /// place, a file that was changed meanwhile or can't be written. Nothing has changed then.
    pub fn set_values(&self, what: &Editable, settings: &[Setting]) -> Result<Changed, Vec<Diagnostic>> {
        let (source, changes) = self.new_text(what, settings)?;
        let written = source.text != what.source.text;
        if written {
            self.put(&what.path, &what.source, &source.text)
                .map_err(|why| vec![why])?;
        }
        Ok(Changed { changes, written })
    }

    /// The text of a new file with these values in it, read as it will be.
    ///
    /// # Errors
    /// As [`Workplace::set_values`]; a text that can't be used as it is.
    pub fn with_values(
        &self,
        of: OfWhat,
        shown: &str,
        text: &str,
        settings: &[Setting],
    ) -> Result<String, Vec<Diagnostic>> {
        let steps = match of {
            OfWhat::Material => vec![Step::Item("materials".to_owned(), 0)],
            _ => Vec::new(),
        };
        let new = Editable {
            of,
            name: String::new(),
            path: self.path(shown),
            source: Source::from_text(shown, text),
            steps,
        };
        self.reads(&new, &new.source)?;
        let (source, _) = self.new_text(&new, settings)?;
        Ok(source.text.to_string())
    }

    fn new_text(&self, what: &Editable, settings: &[Setting]) -> Result<(Source, Vec<Change>), Vec<Diagnostic>> {
        for setting in settings {
            setting.check(what.of).map_err(|why| vec![why])?;
        }
        let mut source = what.source.clone();
        let mut changes: Vec<Change> = Vec::new();
        for setting in settings.iter().flat_map(each_value) {
            let setting = setting.map_err(|why| vec![why])?;
            let (text, change) = self.one(what, &source, &setting).map_err(|why| vec![why])?;
            let (name, before) = (source.name.clone(), source.text.clone());
            source = Source {
                name,
                text: text.into(),
            };
            self.reads_as_before(what, &source, &setting)?;
            add_change(&mut changes, change, &before, &source.text);
            let sets = |key: &str| settings.iter().any(|other| other.map.is_none() && other.key == key);
            let is_water = what.of == OfWhat::Glaze && setting.map.is_none() && setting.key == "water";
            if is_water && !sets("density") && has(&source, &what.steps, "density") {
                let (text, change) = self.without(what, &source, "density")?;
                add_change(&mut changes, change, &source.text, &text);
                source.text = text.into();
            }
        }
        Ok((source, changes))
    }

    /// The text without a key that isn't so any more.
    fn without(&self, what: &Editable, source: &Source, key: &str) -> Result<(String, Change), Vec<Diagnostic>> {
        let one = |why| vec![why];
        let root = parse(source).map_err(one)?;
        let stood = map_at(&root, &what.steps).and_then(|map| child(map, key));
        let before = match stood.map(|node| &node.value) {
            Some(Value::Text(text)) => Some(text.clone()),
            _ => None,
        };
        let text = without(source, &what.steps, key).map_err(one)?;
        let change = Change {
            key: key.to_owned(),
            before,
            after: String::new(),
            line: stood.map_or(1, |node| node.mark.line),
        };
        let new = Source {
            name: source.name.clone(),
            text: text.as_str().into(),
        };
        self.reads(what, &new)?;
        Ok((text, change))
    }

    fn one(&self, what: &Editable, source: &Source, setting: &Setting) -> Result<(String, Change), Diagnostic> {
        let root = parse(source)?;
        let mut path = what.steps.clone();
        path.extend(setting.map.clone().map(Step::Key));
        let lots = map_at(&root, &what.steps).map_or_else(Vec::new, lots_in);
        if let (Some(first), OfWhat::Material, "stock" | "lot") = (lots.first(), what.of, setting.key.as_str()) {
            setting.of_one_lot(first)?;
        }
        if let Some(lot) = &setting.lot {
            path.push(place_of_lot(&root, &path, lot, what)?);
        }
        if let Some(sheet) = map_at(&root, &what.steps) {
            not_by_formula(sheet, setting, &what.name, source)?;
        }
        let mut key = as_written(&root, &path, setting);
        if setting.map.as_deref() == Some("scripts") {
            let options: Vec<Step> = path.iter().cloned().chain([Step::Key(key.clone())]).collect();
            let table = map_at(&root, &options).map(|node| &node.value);
            if matches!(table, Some(Value::Map(_))) {
                // How it weighs stands beside its options.
                path = options;
                LEVEL.clone_into(&mut key);
            }
        }
        let new = NewValue {
            path: &path,
            key: &key,
            text: &setting.text,
            order: match (&setting.lot, &setting.map) {
                (Some(_), _) => &LOT_KEYS,
                (None, Some(_)) if holds(&root, &path) => &[],
                (None, _) => what.of.keys(),
            },
            bare: setting.is_bare(),
        };
        let edited = edited(source, &new)?;
        let change = Change {
            key: setting.shown(),
            before: edited.before,
            after: setting.text.clone(),
            line: edited.line,
        };
        Ok((edited.text, change))
    }

    /// Whether the new text can be used as the old one could.
    fn reads_as_before(&self, what: &Editable, new: &Source, setting: &Setting) -> Result<(), Vec<Diagnostic>> {
        let place_off = |complaints: Vec<Diagnostic>| -> Result<(), Vec<Diagnostic>> {
            let bad = |why: Diagnostic| Diagnostic {
                message: format!("{}={}: {}", setting.shown(), setting.text, why.message),
                // The line is in no file.
                place: None,
                ..why
            };
            Err(complaints.into_iter().map(bad).collect())
        };
        if setting.key == "cone" && setting.map.is_none() {
            Cone::parse(&setting.text).map_err(|bad| {
                let why = Diagnostic::error("not-a-quantity", format!("cone: {}", bad.message));
                vec![why.maybe_help(bad.help)]
            })?;
        }
        self.reads(what, new).or_else(place_off)
    }

    /// Whether a file's text can be used.
    fn reads(&self, what: &Editable, new: &Source) -> Result<(), Vec<Diagnostic>> {
        match what.of {
            OfWhat::Studio => read_settings(new).map(|_| ()).map_err(|why| vec![why]),
            OfWhat::Glaze => self.glaze_reads(new),
            OfWhat::Material => {
                let (_, complaints) = read_materials(new);
                if complaints.is_empty() { Ok(()) } else { Err(complaints) }
            }
            OfWhat::Clay => {
                let folder = Path::new(&*new.name).parent().unwrap_or(Path::new(""));
                let table = |name: &str| self.text(&folder.join(name).to_string_lossy());
                clay_file(new, &table).map(|_| ()).map_err(|why| vec![why])
            }
        }
    }

    fn glaze_reads(&self, new: &Source) -> Result<(), Vec<Diagnostic>> {
        let file = read_glaze(new, self.settings().cup).map_err(|why| vec![why])?;
        file.resolve(self.library())?;
        match &file.about.clay {
            Some(clay) => self
                .look_for_clay(clay)
                .map(|_| ())
                .map_err(|nothing| nothing.complaints),
            None => Ok(()),
        }
    }

    /// Puts a file's new text in the old one's place, as a whole; a mark at its
    /// beginning stays.
    pub(crate) fn put(&self, path: &Path, before: &Source, text: &str) -> Result<(), Diagnostic> {
        let disk = self.disk();
        let _held = self.held();
        let bytes = read_bytes(&**disk, path, &before.name)?;
        let mark = if bytes.starts_with(BYTE_ORDER_MARK) {
            BYTE_ORDER_MARK
        } else {
            &[]
        };
        if bytes[mark.len()..] != *before.text.as_bytes() {
            let message = of_typed(&before.name, "was changed by somebody else just now");
            return Err(about_file("changed-meanwhile", message, &before.name).help("nothing was written; try again"));
        }
        if disk.about(path).is_ok_and(|file| file.is_read_only()) {
            let message = of_typed(&before.name, "is marked as not to be written");
            return Err(Diagnostic::error("cannot-write", message).help("allow writing to it, then try again"));
        }
        let new = [mark, text.as_bytes()].concat();
        let prepared = Prepared::new(disk, path, &new, TEMPORARY)?;
        prepared.holds(&new)?;
        prepared.put_in_place()
    }

    /// Keeps other changes of this kind out until it is let go. A studio whose own file
    /// can't be locked does without.
    pub(crate) fn held(&self) -> Option<LineFile> {
        let folder = self.folder()?;
        LineFile::open(self.disk(), &folder.dir.join(crate::folder::STUDIO_FILE)).ok()
    }
}

fn has(source: &Source, steps: &[Step], key: &str) -> bool {
    let root = parse(source);
    root.is_ok_and(|root| map_at(&root, steps).is_some_and(|map| child(map, key).is_some()))
}

fn lines(text: &str) -> usize {
    text.replace("\r\n", "\n").matches(['\n', '\r']).count()
}

/// One more change, which made a text of another: what is told below it moves along.
fn add_change(changes: &mut Vec<Change>, change: Change, before: &str, after: &str) {
    for earlier in changes.iter_mut().filter(|earlier| earlier.line >= change.line) {
        earlier.line = earlier.line + lines(after) - lines(before);
    }
    changes.push(change);
}

/// The values that one typed value stands for: scales are two.
fn each_value(setting: &Setting) -> Vec<Result<Setting, Diagnostic>> {
    let is_scales = setting.map.as_deref() == Some("scales") && folded(&setting.key) == "scales";
    if !is_scales {
        return vec![Ok(setting.clone())];
    }
    let scales = match parse_scales(&setting.text) {
        Ok(scales) => scales,
        Err(bad) => {
            let why = Diagnostic::error("not-a-quantity", format!("scales: {}", bad.message));
            return vec![Err(why.maybe_help(bad.help))];
        }
    };
    let value = |key: &str, grams: f64| {
        Ok(Setting {
            key: key.to_owned(),
            text: if grams < 1000.0 {
                format!("{grams} g")
            } else {
                format!("{} kg", grams / 1000.0)
            },
            ..setting.clone()
        })
    };
    let most = scales.up_to.map(|most| value("up_to", most.grams()));
    std::iter::once(value("reads_to", scales.reads_to.grams()))
        .chain(most)
        .collect()
}

/// A sheet is read by its formula or by its analysis: a line of the one, or its tolerance, can't
/// be set beside the other.
fn not_by_formula(sheet: &Node, setting: &Setting, name: &str, source: &Source) -> Result<(), Diagnostic> {
    let Some(formula) = child(sheet, "formula") else {
        return Ok(());
    };
    if setting.map.as_deref().is_none_or(|map| child(sheet, map).is_some()) {
        return Ok(());
    }
    let message = of_typed(name, "counts by its formula: there is no analysis to change");
    Err(Diagnostic::error("not-in-place", message)
        .at(source, formula.mark, formula.width())
        .help(
            "put what the supplier's sheet tells in place of that line, each on a line of its own: \
             `analysis: { SiO2: 67.2, Al2O3: 18.0 }`, `loss_on_ignition: 0.4`, `basis: as supplied`",
        ))
}

/// The key as the file has it: without case among names of materials; `body` for `clay`.
fn as_written(root: &Node, path: &[Step], setting: &Setting) -> String {
    let entries = match map_at(root, path).map(|node| &node.value) {
        Some(Value::Map(entries)) => entries.as_slice(),
        _ => &[],
    };
    let has = |wanted: &str| entries.iter().find(|(key, _)| folded(&key.text) == folded(wanted));
    let found = has(&setting.key).or_else(|| (setting.key == "clay").then(|| has("body")).flatten());
    found.map_or_else(|| setting.key.clone(), |(key, _)| key.text.clone())
}

/// Where one open lot stands in a material's list.
fn place_of_lot(root: &Node, material: &[Step], lot: &str, what: &Editable) -> Result<Step, Diagnostic> {
    let open = map_at(root, material).map_or_else(Vec::new, lots_in);
    let place = open.iter().position(|name| folded(name) == folded(lot));
    place.map(|index| Step::Item(LOTS.to_owned(), index)).ok_or_else(|| {
        let error = Diagnostic::error("unknown-lot", format!("no lot {lot} of {} is open", what.name));
        error.help(match open.as_slice() {
            [] => format!(
                "its file lists no lots: \"stock=3 kg\" sets the stock of what is there; `glost add lot \"{}\" --lot {lot} --stock \"5 kg\"` opens a new one",
                what.name
            ),
            _ => format!(
                "open: {}; `glost add lot \"{}\" --lot {lot} --stock \"5 kg\"` opens a new one",
                open.join(", "),
                what.name
            ),
        })
    })
}

/// The names of the open lots that a material's map lists.
pub(super) fn lots_in(material: &Node) -> Vec<String> {
    let Some(Value::List(items)) = child(material, LOTS).map(|lots| &lots.value) else {
        return Vec::new();
    };
    let name = |item: &Node| match child(item, "lot").map(|lot| &lot.value) {
        Some(Value::Text(lot)) => lot.trim().to_owned(),
        _ => String::new(),
    };
    items.iter().map(name).collect()
}

fn holds(root: &Node, path: &[Step]) -> bool {
    map_at(root, path).is_some()
}

pub(super) fn map_at<'a>(root: &'a Node, path: &[Step]) -> Option<&'a Node> {
    path.iter().try_fold(root, |node, step| match step {
        Step::Key(key) => child(node, key),
        Step::Item(key, index) => match &child(node, key)?.value {
            Value::List(items) => items.get(*index),
            _ => None,
        },
    })
}
