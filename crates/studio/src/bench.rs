//! A studio's settings and materials as read, with its glazes, clays and
//! scripts to be read when they are asked for.

use std::path::PathBuf;
use std::sync::{Arc, OnceLock};

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::glaze::{Glaze, GlazeFile, read_glaze};
use glost_chemistry::material::{BrokenSheet, Library, MaterialEntry, Sheets, read_materials, read_sheets};
use glost_chemistry::read::each_in_parts;
use glost_chemistry::{Assumption, RecipeAssumption};
use glost_core::evidence::ware::read_clay_with_tables;
use glost_core::studio::{StudioSettings, read_settings};

use crate::folder::{FoundFile, GLAZES_FOLDER, MATERIALS_FOLDER, ScriptFile, StudioFiles};
use crate::packages::{self, Package, Packages};
use crate::shelf::{ClayFile, FILES_FOR_A_CORE, Shelf};
use crate::workplace::FoundGlaze;
use glost_chemistry::material::shipped_library;

/// Where a glaze or clay comes from, and so whose materials it is made of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origin {
    /// The studio in this folder, or a file read by path while standing in it.
    Studio(PathBuf),
    /// The example studio in the binary.
    Example,
    /// A file read by path where there is no studio: the shipped materials serve.
    Shipped,
}

/// The recipe of a glaze's file.
#[derive(Debug, Clone)]
pub struct Recipe {
    /// The glaze, its materials found.
    pub glaze: Arc<Glaze>,
    /// The materials it can see.
    pub library: Arc<Library>,
    /// The settings that hold for it.
    pub settings: Arc<StudioSettings>,
    /// The file that it stands in, as shown.
    pub file: Arc<str>,
    /// Which of the files that is.
    pub(crate) place: usize,
}

/// A studio's files with its settings and materials.
#[derive(Debug)]
pub(crate) struct Bench {
    pub files: StudioFiles,
    pub settings: Arc<StudioSettings>,
    pub library: Arc<Library>,
    /// What is wrong with sheets of materials: each stops only whoever needs it.
    pub broken_sheets: Vec<Diagnostic>,
    glazes: OnceLock<Shelf<GlazeFile>>,
    recipes: OnceLock<(Vec<Recipe>, Vec<Diagnostic>)>,
    clays: OnceLock<Shelf<ClayFile>>,
    scripts: OnceLock<Vec<ScriptFile>>,
    pub packages: Packages,
}

impl Bench {
    /// Reads settings and materials; everything wrong with settings and `extra` is put into
    /// `complaints`, what is wrong with sheets of the studio and of packages is kept. What
    /// can't be used is left out: the usual settings stand for those of a `studio.yaml`
    /// that can't.
    pub fn open(files: StudioFiles, extra: &[MaterialEntry], complaints: &mut Vec<Diagnostic>) -> Bench {
        let read = files
            .settings()
            .map(|text| text.and_then(|source| read_settings(&source)));
        let settings = read.unwrap_or_else(|| Ok(StudioSettings::default()));
        let settings = settings.unwrap_or_else(|error| {
            complaints.push(error);
            StudioSettings::default()
        });
        let mut library = shipped_library().clone();
        let packages = match &files {
            StudioFiles::Folder(folder) => packages::read(folder),
            StudioFiles::Example | StudioFiles::Nowhere => Packages::default(),
        };
        let mut broken_sheets = Vec::new();
        for package in &packages.whole {
            broken_sheets.extend(add_package(&mut library, package));
        }
        let mut own = Sheets::default();
        for file in files.yaml_files(MATERIALS_FOLDER) {
            let read = sheets(file.text);
            own.entries.extend(read.entries);
            own.broken.extend(read.broken);
        }
        if !(own.entries.is_empty() && own.broken.is_empty()) {
            broken_sheets.extend(library.add_sheets(own, false));
        }
        if !extra.is_empty() {
            complaints.extend(library.add_layer(extra.to_vec(), false));
        }
        Bench {
            files,
            settings: Arc::new(settings),
            library: Arc::new(library),
            broken_sheets,
            glazes: OnceLock::new(),
            recipes: OnceLock::new(),
            clays: OnceLock::new(),
            scripts: OnceLock::new(),
            packages,
        }
    }

    /// The studio's own scripts.
    pub fn scripts(&self) -> &[ScriptFile] {
        self.scripts.get_or_init(|| self.files.scripts())
    }

    pub fn origin(&self) -> Origin {
        match &self.files {
            StudioFiles::Folder(folder) => Origin::Studio(folder.dir.clone()),
            StudioFiles::Example => Origin::Example,
            StudioFiles::Nowhere => Origin::Shipped,
        }
    }

    pub fn glazes(&self) -> &Shelf<GlazeFile> {
        self.glazes.get_or_init(|| {
            let read = |source: &Source| read_glaze(source, self.settings.cup);
            let own = Shelf::read(&self.files.yaml_files(GLAZES_FOLDER), read);
            self.packages.whole.iter().fold(own, |shelf, package| {
                shelf.with_those_of(Shelf::read(&glazes_of(package), |source| {
                    read(source).map(|file| signed(file, package))
                }))
            })
        })
    }

    /// The recipes of glazes that can be used, in order of the file names; what is wrong with
    /// the others.
    pub fn recipes(&self) -> &(Vec<Recipe>, Vec<Diagnostic>) {
        self.recipes.get_or_init(|| {
            let files = &self.glazes().items;
            let found = each_in_parts(files, FILES_FOR_A_CORE, |file| file.resolve(&self.library));
            let mut complaints = self.glazes().complaints();
            let mut recipes = Vec::with_capacity(files.len());
            for ((place, file), found) in files.iter().enumerate().zip(found) {
                match found {
                    Ok(glaze) => recipes.push(Recipe {
                        glaze: Arc::new(glaze),
                        library: self.library.clone(),
                        settings: self.settings_for(file),
                        file: file.source.name.clone(),
                        place,
                    }),
                    Err(errors) => complaints.extend(errors),
                }
            }
            (recipes, complaints)
        })
    }

    pub fn clays(&self) -> &Shelf<ClayFile> {
        self.clays.get_or_init(|| {
            let table = |name: &str| self.files.beside("clays", name);
            Shelf::read(&self.files.yaml_files("clays"), |source| clay_file(source, &table))
        })
    }

    pub fn resolve(&self, file: GlazeFile) -> Result<FoundGlaze, Vec<Diagnostic>> {
        Ok(FoundGlaze {
            glaze: file.resolve(&self.library)?,
            library: self.library.clone(),
            settings: self.settings_for(&file),
            origin: self.origin(),
            tile: None,
            file,
        })
    }

    fn settings_for(&self, file: &GlazeFile) -> Arc<StudioSettings> {
        let Some(iron) = file.about.iron else {
            return self.settings.clone();
        };
        let mut settings = StudioSettings::clone(&self.settings);
        settings.fluxes = settings.fluxes.with_iron(iron);
        Arc::new(settings)
    }
}

/// Adds the materials of a package, each saying where it is from, as a layer; gives what is
/// wrong with its sheets.
pub(crate) fn add_package(library: &mut Library, package: &Package) -> Vec<Diagnostic> {
    let manifest = &package.manifest;
    let mut layer = Sheets::default();
    for file in package.files.iter().filter(|file| file.folder() == MATERIALS_FOLDER) {
        let read = read_sheets(&file.source(&manifest.name));
        layer.entries.extend(read.entries);
        layer.broken.extend(read.broken);
    }
    if layer.entries.is_empty() && layer.broken.is_empty() {
        return Vec::new();
    }
    for entry in &mut layer.entries {
        entry.provenance = format!("{} (from {} {})", entry.provenance, manifest.name, manifest.version);
    }
    library.add_sheets(layer, false)
}

/// The glazes of a package as files.
pub(crate) fn glazes_of(package: &Package) -> Vec<FoundFile> {
    let recipes = package.files.iter().filter(|file| file.folder() == GLAZES_FOLDER);
    recipes
        .map(|file| file.source(&package.manifest.name))
        .map(|source| FoundFile {
            shown: source.name.to_string(),
            text: Ok(source),
        })
        .collect()
}

/// A package's glaze, which says so wherever a number comes from it.
fn signed(mut file: GlazeFile, package: &Package) -> GlazeFile {
    let manifest = &package.manifest;
    let from = RecipeAssumption::FromPackage {
        package: manifest.name.clone(),
        version: manifest.version.clone(),
    };
    file.assumptions.insert(0, Assumption::Recipe(from));
    file
}

/// A clay's file; `table` reads what lies beside it.
pub(crate) fn clay_file(
    source: &Source,
    table: &dyn Fn(&str) -> Result<Source, Diagnostic>,
) -> Result<ClayFile, Diagnostic> {
    Ok(ClayFile {
        source: source.clone(),
        clay: read_clay_with_tables(source, table)?,
    })
}

/// The sheets of a file as far as it can be read.
fn sheets(text: Result<Source, Diagnostic>) -> Sheets {
    match text {
        Ok(source) => read_sheets(&source),
        Err(why) => Sheets {
            entries: Vec::new(),
            broken: vec![BrokenSheet { names: Vec::new(), why }],
        },
    }
}

/// The materials of a file; what is wrong with it goes into `complaints`.
pub(crate) fn entries(text: Result<Source, Diagnostic>, complaints: &mut Vec<Diagnostic>) -> Vec<MaterialEntry> {
    match text {
        Ok(source) => {
            let (read, wrong) = read_materials(&source);
            complaints.extend(wrong);
            read
        }
        Err(error) => {
            complaints.push(error);
            Vec::new()
        }
    }
}
