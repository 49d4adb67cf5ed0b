//! What a name means among the files that can be changed.

use std::path::{Path, PathBuf};

use glost_chemistry::diagnostic::{Diagnostic, Source, did_you_mean, nearest, none_called, of_typed};
use glost_chemistry::read::{Node, Step, Value, folded, parse};

use crate::folder::{MATERIALS_FOLDER, STUDIO_FILE, StudioFolder, YAML};
use crate::packages;
use crate::shelf::{Named, Shelf};
use crate::workplace::Workplace;

/// What a file's map is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OfWhat {
    /// The studio itself.
    Studio,
    /// A glaze.
    Glaze,
    /// A material.
    Material,
    /// A clay.
    Clay,
}

impl OfWhat {
    /// Those that have names.
    pub const NAMED: [OfWhat; 3] = [OfWhat::Glaze, OfWhat::Material, OfWhat::Clay];

    /// In a word.
    pub const fn word(self) -> &'static str {
        match self {
            OfWhat::Studio => "studio",
            OfWhat::Glaze => "glaze",
            OfWhat::Material => "material",
            OfWhat::Clay => "clay",
        }
    }
}

/// Something whose values can be changed where they stand.
#[derive(Debug, Clone)]
pub struct Editable {
    /// What it is.
    pub of: OfWhat,
    /// Its name, as its file has it.
    pub name: String,
    /// Its file.
    pub path: PathBuf,
    /// Its file's text.
    pub source: Source,
    /// From the file's root to its map.
    pub steps: Vec<Step>,
}

impl Workplace {
    /// What of the studio's own has this name; `studio` is the studio itself. Several may:
    /// a powder and the glaze that is made of it.
    ///
    /// # Errors
    /// No studio, nothing of that name (with the nearest), files that can't be used.
    pub fn editables(&self, name: &str) -> Result<Vec<Editable>, Vec<Diagnostic>> {
        self.own_folder("anything").map_err(|why| vec![why])?;
        let Some(folder) = self.folder() else {
            return Ok(Vec::new());
        };
        let mut found = Vec::new();
        if folded(name) == "studio" {
            found.push(self.the_studio(folder).map_err(|why| vec![why])?);
        }
        if let Some(glaze) = self.on_shelf(self.own_glazes(), OfWhat::Glaze, name)? {
            // A package's files are held to its lock.
            let package = self.package_of(&glaze.path);
            package.map_or(Ok(()), |package| Err(vec![glaze_of_package(&glaze.name, &package)]))?;
            found.push(glaze);
        }
        found.extend(self.own_materials(folder, name).map_err(|why| vec![why])?);
        found.extend(self.on_shelf(self.own_clays(), OfWhat::Clay, name)?);
        if found.is_empty() {
            return Err(vec![self.nothing_called(name)]);
        }
        Ok(found)
    }

    /// The package that a file came in with.
    pub(crate) fn package_of(&self, path: &Path) -> Option<String> {
        // Its files are named from the studio's folder, wherever the call stands.
        let places = [self.studio_dir()?.join(packages::FOLDER), self.path(packages::FOLDER)];
        let below = places.iter().find_map(|place| path.strip_prefix(place).ok())?;
        Some(below.iter().next()?.to_string_lossy().into_owned())
    }

    fn the_studio(&self, folder: &StudioFolder) -> Result<Editable, Diagnostic> {
        let shown = folder.shown(STUDIO_FILE);
        Ok(Editable {
            of: OfWhat::Studio,
            name: self.settings().name.clone(),
            path: folder.dir.join(STUDIO_FILE),
            source: self.text(&shown)?,
            steps: Vec::new(),
        })
    }

    fn on_shelf<T: Named>(
        &self,
        shelf: &Shelf<T>,
        of: OfWhat,
        name: &str,
    ) -> Result<Option<Editable>, Vec<Diagnostic>> {
        Ok(shelf.find(name)?.map(|item| Editable {
            of,
            name: item.name().to_owned(),
            path: self.path(&item.source().name),
            source: item.source().clone(),
            steps: Vec::new(),
        }))
    }

    /// The entries of the studio's own files that a material's name, or another name of it,
    /// stands for.
    fn own_materials(&self, folder: &StudioFolder, name: &str) -> Result<Option<Editable>, Diagnostic> {
        let meant = self
            .library()
            .find(name)
            .map_or(name, |material| material.name.as_str());
        for file in folder.files(MATERIALS_FOLDER, &YAML) {
            let source = file.text?;
            let root = parse(&source)?;
            if let Some((index, own)) = entry_of(&root, meant) {
                return Ok(Some(Editable {
                    of: OfWhat::Material,
                    name: own,
                    path: self.path(&source.name),
                    source,
                    steps: vec![Step::Item("materials".to_owned(), index)],
                }));
            }
        }
        Ok(None)
    }

    fn nothing_called(&self, name: &str) -> Diagnostic {
        if let Some(shipped) = self.library().find(name) {
            let whose = match self.packages().bringing(&shipped.name) {
                Some(package) => format!("from the package `{}`", package),
                None => "with Glost".to_owned(),
            };
            return Diagnostic::error(
                "not-your-own",
                format!("{} comes {whose}: it stands in none of your files", shipped.name),
            )
            .help(format!(
                "`glost add material \"{}\"` makes an entry of your own, with the figures from its bag",
                shipped.name
            ));
        }
        let glazes = self.own_glazes().items.iter().map(Named::name);
        let clays = self.own_clays().items.iter().map(Named::name);
        let materials = self.library().iter().map(|material| material.name.as_str());
        let error = Diagnostic::error("unknown-name", none_called("glaze, material or clay here", name));
        // What is reckoned from others has no file of its own to change.
        if self.glaze(name).is_ok() {
            return Diagnostic::error("not-your-own", of_typed(name, "has no file of its own yet"))
                .help(format!("keep it first: glost keep \"{name}\" \"NEW NAME\""));
        }
        match nearest(name, glazes.chain(clays).chain(materials).chain(["studio"])) {
            Some(near) => error.help(did_you_mean(near)),
            None => error.help(format!("`glost add material|clay|glaze \"{name}\"` makes one")),
        }
    }
}

/// A glaze that came in with a package is read, never written.
fn glaze_of_package(name: &str, package: &str) -> Diagnostic {
    let message = format!(
        "`{}` comes from the package `{}`, whose files are held to {}",
        name,
        package,
        packages::LOCK_FILE
    );
    let help = format!("make one of your own first: glost keep \"{}\" \"NEW NAME\"", name);
    Diagnostic::error("not-your-own", message).help(help)
}

/// Where in a materials file's list an entry of this name stands, with its name as written.
pub(crate) fn entry_of(root: &Node, name: &str) -> Option<(usize, String)> {
    let wanted = folded(name);
    let list = child(root, "materials")?;
    let Value::List(items) = &list.value else { return None };
    items.iter().enumerate().find_map(|(index, item)| {
        let Value::Text(own) = &child(item, "name")?.value else {
            return None;
        };
        (folded(own) == wanted).then(|| (index, own.trim().to_owned()))
    })
}

pub(crate) fn child<'a>(node: &'a Node, name: &str) -> Option<&'a Node> {
    let Value::Map(entries) = &node.value else { return None };
    entries.iter().find(|(key, _)| key.text == name).map(|(_, node)| node)
}
