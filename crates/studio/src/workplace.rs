//! What a call can see from where it stands: a studio's folder, or the shipped
//! materials with the example studio; and extra materials on top of either.

use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock, PoisonError, RwLock};

use glost_chemistry::diagnostic::{Diagnostic, Source, of_typed};
use glost_chemistry::glaze::{Glaze, GlazeFile, GlazeNotes, read_glaze};
use glost_chemistry::material::{Library, MaterialEntry};
use glost_chemistry::read::folded;
use glost_core::evidence::ware::Clay;
use glost_core::studio::{Studio, StudioSettings};

use crate::batch_book::BatchBook;
use crate::bench::{Bench, Origin, Recipe, clay_file, entries};
use crate::disk::{Disk, is_folder, is_taken, is_there, real_disk};
use crate::ends::FoundEnd;
use crate::folder::{FoundFile, STUDIO_FILE, ScriptFile, StudioFiles, StudioFolder, find_studio_on, yaml_files_in};
use crate::packages::Packages;
use crate::renaming::finish_what_was_begun;
use crate::sheet::{GlazeSheet, SheetRows};
use crate::shelf::{ClayFile, Named, Shelf};
use crate::text_file::{about_file, missing, open_stream, read_text_on};

/// A glaze with everything that goes with it.
#[derive(Debug, Clone)]
pub struct FoundGlaze {
    /// The glaze, its materials found.
    pub glaze: Glaze,
    /// Its file.
    pub file: GlazeFile,
    /// The materials it can see.
    pub library: Arc<Library>,
    /// The settings that hold for it.
    pub settings: Arc<StudioSettings>,
    /// Where it comes from.
    pub origin: Origin,
    /// The tile of a saved plan that it is, as notes have it: `PLAN/A3`.
    pub tile: Option<String>,
}

/// A clay with everything that goes with it.
#[derive(Debug, Clone)]
pub struct FoundClay {
    /// The clay.
    pub clay: Clay,
    /// Its file.
    pub source: Source,
    /// Where it comes from.
    pub origin: Origin,
}

/// Why a name gave nothing.
#[derive(Debug, Clone, PartialEq)]
pub struct NotFound {
    /// Nothing has this name; else what has it can't be used.
    pub unknown: bool,
    /// What is wrong; of an unknown name the first says so.
    pub complaints: Vec<Diagnostic>,
    /// What is known all the same of a glaze whose recipe can't be worked out.
    pub known: Option<Box<KnownGlaze>>,
}

/// A glaze whose recipe can't be worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownGlaze {
    /// Its name.
    pub name: String,
    /// What its file says beside the recipe, where that can be read.
    pub about: GlazeNotes,
}

impl NotFound {
    pub(crate) fn broken(complaints: Vec<Diagnostic>) -> NotFound {
        NotFound {
            unknown: false,
            complaints,
            known: None,
        }
    }

    /// The materials of a glaze's file aren't all to be had.
    fn unresolved(file: &GlazeFile, complaints: Vec<Diagnostic>) -> NotFound {
        let known = KnownGlaze {
            name: file.name.text.clone(),
            about: file.about.clone(),
        };
        NotFound {
            known: Some(Box::new(known)),
            ..NotFound::broken(complaints)
        }
    }
}

impl From<Diagnostic> for NotFound {
    fn from(complaint: Diagnostic) -> NotFound {
        NotFound::broken(vec![complaint])
    }
}

/// What one call can see. Settings and materials are read when it is opened;
/// glazes, clays and scripts when they are first asked for.
#[derive(Debug)]
pub struct Workplace {
    disk: Arc<dyn Disk>,
    cwd: PathBuf,
    home: Bench,
    extra: Vec<MaterialEntry>,
    /// The example studio, where there is no other.
    example: OnceLock<Result<Bench, Vec<Diagnostic>>>,
    /// Recipes that came with a question and stand in no file.
    handed: RwLock<Vec<Source>>,
}

impl Workplace {
    /// Takes recipes, written as glaze files are, that came with a question; they stand in
    /// place of those handed in before, and are called `-1`, `-2` and so on.
    pub fn hand_in(&self, recipes: Vec<Source>) {
        *self.handed.write().unwrap_or_else(PoisonError::into_inner) = recipes;
    }

    /// The recipe of a name such as `-1`, where one was handed in.
    fn handed(&self, name: &str) -> Option<Source> {
        let number: usize = name.strip_prefix('-')?.parse().ok()?;
        let handed = self.handed.read().unwrap_or_else(PoisonError::into_inner);
        handed.get(number.checked_sub(1)?).cloned()
    }

    /// Opens the studio in `studio_dir`, else the nearest one from `cwd`
    /// upward, else the shipped materials and the example studio. The files of
    /// `extra_materials` make one layer on top. Relative paths start at `cwd`.
    ///
    /// # Errors
    /// Everything wrong with the folder, `studio.yaml` or a file of `extra_materials`: those
    /// matter whatever is asked. What is wrong with the studio's own sheets of materials
    /// stops only whoever needs them: [`Workplace::broken_sheets`].
    pub fn open(
        studio_dir: Option<&Path>,
        extra_materials: &[PathBuf],
        cwd: &Path,
    ) -> Result<Workplace, Vec<Diagnostic>> {
        Workplace::open_on(real_disk(), studio_dir, extra_materials, cwd)
    }

    /// As [`Workplace::open`], on a disk of the caller's.
    ///
    /// # Errors
    /// As [`Workplace::open`].
    pub fn open_on(
        disk: Arc<dyn Disk>,
        studio_dir: Option<&Path>,
        extra_materials: &[PathBuf],
        cwd: &Path,
    ) -> Result<Workplace, Vec<Diagnostic>> {
        let (workplace, complaints) = Workplace::opened_on(disk, studio_dir, extra_materials, cwd)?;
        if complaints.is_empty() {
            Ok(workplace)
        } else {
            Err(complaints)
        }
    }

    /// What is wrong with the studio's own sheets of materials. Their names lead to no
    /// material, the shipped ones of that name included.
    pub fn broken_sheets(&self) -> &[Diagnostic] {
        &self.home.broken_sheets
    }

    /// As [`Workplace::open_on`], with whatever can be used, and what is wrong with the
    /// rest: for editors, in which files are half written.
    ///
    /// # Errors
    /// No such folder, or one that something which was begun in can't be finished.
    pub fn open_anyway_on(
        disk: Arc<dyn Disk>,
        studio_dir: Option<&Path>,
        extra_materials: &[PathBuf],
        cwd: &Path,
    ) -> Result<(Workplace, Vec<Diagnostic>), Vec<Diagnostic>> {
        let (workplace, mut complaints) = Workplace::opened_on(disk, studio_dir, extra_materials, cwd)?;
        complaints.extend_from_slice(workplace.broken_sheets());
        Ok((workplace, complaints))
    }

    fn opened_on(
        disk: Arc<dyn Disk>,
        studio_dir: Option<&Path>,
        extra_materials: &[PathBuf],
        cwd: &Path,
    ) -> Result<(Workplace, Vec<Diagnostic>), Vec<Diagnostic>> {
        let files = match studio_dir {
            Some(dir) => StudioFiles::Folder(named_folder(&disk, dir, cwd).map_err(|error| vec![error])?),
            None => find_studio_on(&*disk, cwd).map_or(StudioFiles::Nowhere, |dir| {
                StudioFiles::Folder(StudioFolder::seen_from(Arc::clone(&disk), dir, cwd))
            }),
        };
        if let StudioFiles::Folder(folder) = &files {
            finish_what_was_begun(folder).map_err(|error| vec![error])?;
        }
        let mut complaints = Vec::new();
        let mut extra = Vec::new();
        for path in extra_materials {
            let text = read_text_on(&*disk, &cwd.join(path), &path.to_string_lossy());
            extra.extend(entries(text, &mut complaints));
        }
        let workplace = Workplace {
            home: Bench::open(files, &extra, &mut complaints),
            disk,
            cwd: cwd.to_owned(),
            extra,
            example: OnceLock::new(),
            handed: RwLock::default(),
        };
        Ok((workplace, complaints))
    }

    /// The studio's folder, where there is one.
    pub fn studio_dir(&self) -> Option<&Path> {
        self.folder().map(|folder| folder.dir.as_path())
    }

    /// The disk that all is read from.
    pub(crate) fn disk(&self) -> &Arc<dyn Disk> {
        &self.disk
    }

    /// The studio's folder with all that is needed to read it.
    pub(crate) fn folder(&self) -> Option<&StudioFolder> {
        match &self.home.files {
            StudioFiles::Folder(folder) => Some(folder),
            StudioFiles::Example | StudioFiles::Nowhere => None,
        }
    }

    /// The studio's book of batches, where there is a studio.
    pub fn batch_book(&self) -> Option<BatchBook> {
        self.folder().map(BatchBook::of)
    }

    /// Where a file lies, seen from here or from the studio's folder; `None` where none does.
    pub fn file_at(&self, path: &str) -> Option<PathBuf> {
        let in_studio = self.studio_dir().map(|dir| dir.join(path));
        let mut places = std::iter::once(self.path(path)).chain(in_studio);
        places.find(|path| self.disk.about(path).is_ok_and(|about| about.is_file()))
    }

    /// Whether a file named in the call describes this material: its stock is then
    /// not that of the studio's own files.
    pub fn is_extra(&self, material: &str) -> bool {
        self.extra
            .iter()
            .any(|entry| folded(&entry.name.text) == folded(material))
    }

    /// The materials: shipped, the studio's over them, extra ones on top.
    pub fn library(&self) -> &Arc<Library> {
        &self.home.library
    }

    /// The studio's settings; the usual ones where there is no studio.
    pub fn settings(&self) -> &Arc<StudioSettings> {
        &self.home.settings
    }

    /// What the user should be told where there is no studio.
    pub fn notice(&self) -> Option<String> {
        self.studio_dir().is_none().then(|| {
            "no studio folder here (no studio.yaml upward): \
             using the shipped materials and the example studio"
                .to_owned()
        })
    }

    /// A glaze by its file's path or by name, its materials found.
    ///
    /// A name of the studio's own comes first, without case; then an existing file
    /// counts as a path; then names of the example; then what looks like a path (it
    /// ends in .yaml or .yml, or has a separator) is one. `NAME + 3 % rutile` and a
    /// saved plan's tile, `PLAN/A3`, are glazes too.
    ///
    /// # Errors
    /// What is wrong with the file, the name (with the nearest) or the materials.
    pub fn glaze(&self, name_or_path: &str) -> Result<FoundGlaze, Vec<Diagnostic>> {
        self.look_for_glaze(name_or_path).map_err(|nothing| nothing.complaints)
    }

    /// As [`Workplace::glaze`], for whoever can do without a file.
    ///
    /// # Errors
    /// Whether the name is unknown, and what is wrong.
    pub fn look_for_glaze(&self, name_or_path: &str) -> Result<FoundGlaze, NotFound> {
        if let Some(source) = self.handed(name_or_path) {
            let bench = self.names().map_err(NotFound::broken)?;
            let file = read_glaze(&source, bench.settings.cup)?;
            return bench.resolve(file).map_err(NotFound::broken);
        }
        let found = match self.look_up(name_or_path, Bench::glazes) {
            Err(nothing) if nothing.unknown => return self.glaze_of_parts(name_or_path, nothing),
            Err(mut nothing) => {
                // A file that can't be read seems to give this name.
                if self.names().is_ok_and(|bench| bench.glazes().is_named(name_or_path)) {
                    nothing.known = Some(Box::new(KnownGlaze {
                        name: name_or_path.trim().to_owned(),
                        about: GlazeNotes::default(),
                    }));
                }
                return Err(nothing);
            }
            Ok(found) => found,
        };
        match found {
            Found::Named(bench, file) => bench
                .resolve(file.clone())
                .map_err(|complaints| NotFound::unresolved(file, complaints)),
            Found::Path(source) => {
                let file = read_glaze(&source, self.home.settings.cup)?;
                self.home
                    .resolve(file)
                    .map_err(|errors| NotFound::broken(self.point_at_its_studio(name_or_path, errors)))
            }
        }
    }

    /// A clay by its file's path or by name, as [`Workplace::glaze`].
    ///
    /// # Errors
    /// What is wrong with the file, or the name with the nearest.
    pub fn clay(&self, name_or_path: &str) -> Result<FoundClay, Vec<Diagnostic>> {
        self.look_for_clay(name_or_path).map_err(|nothing| nothing.complaints)
    }

    /// As [`Workplace::clay`], for whoever can do without a file.
    ///
    /// # Errors
    /// Whether the name is unknown, and what is wrong.
    pub fn look_for_clay(&self, name_or_path: &str) -> Result<FoundClay, NotFound> {
        let (bench, file) = match self.look_up(name_or_path, Bench::clays)? {
            Found::Named(bench, file) => (bench, file.clone()),
            Found::Path(source) => {
                let folder = Path::new(name_or_path).parent().unwrap_or(Path::new(""));
                let table = |name: &str| self.text(&folder.join(name).to_string_lossy());
                (&self.home, clay_file(&source, &table)?)
            }
        };
        Ok(FoundClay {
            clay: file.clay,
            source: file.source,
            origin: bench.origin(),
        })
    }

    /// Every glaze that can be used, in order of the file names, and every
    /// complaint about the others. Without a studio: those of the example.
    pub fn all_glazes(&self) -> (Vec<FoundGlaze>, Vec<Diagnostic>) {
        let bench = match self.names() {
            Ok(bench) => bench,
            Err(complaints) => return (Vec::new(), complaints),
        };
        let (recipes, complaints) = bench.recipes();
        let found = recipes.iter().map(|recipe| FoundGlaze {
            glaze: Glaze::clone(&recipe.glaze),
            file: bench.glazes().items[recipe.place].clone(),
            library: bench.library.clone(),
            settings: recipe.settings.clone(),
            origin: bench.origin(),
            tile: None,
        });
        (found.collect(), complaints.clone())
    }

    /// The recipes of [`Workplace::all_glazes`], worked out once and shared, with the same
    /// complaints.
    pub fn all_recipes(&self) -> (Vec<Recipe>, Vec<Diagnostic>) {
        match self.names() {
            Ok(bench) => bench.recipes().clone(),
            Err(complaints) => (Vec::new(), complaints),
        }
    }

    /// Every clay that can be used, and every complaint about the others.
    pub fn all_clays(&self) -> (Vec<FoundClay>, Vec<Diagnostic>) {
        let bench = match self.names() {
            Ok(bench) => bench,
            Err(complaints) => return (Vec::new(), complaints),
        };
        let found = bench.clays().items.iter().map(|file| FoundClay {
            clay: file.clay.clone(),
            source: file.source.clone(),
            origin: bench.origin(),
        });
        (found.collect(), bench.clays().complaints())
    }

    /// The whole studio as plain data (without one: the example) and every
    /// complaint about its glazes and clays; what can be used is in it.
    pub fn studio(&self) -> (Studio, Vec<Diagnostic>) {
        let bench = match self.names() {
            Ok(bench) => bench,
            Err(complaints) => return (Studio::default(), complaints),
        };
        let studio = Studio {
            settings: (*bench.settings).clone(),
            library: (*bench.library).clone(),
            glazes: bench.glazes().items.clone(),
            clays: bench.clays().items.iter().map(|file| file.clay.clone()).collect(),
        };
        let mut complaints = bench.glazes().complaints();
        complaints.extend(bench.clays().complaints());
        (studio, complaints)
    }

    /// The studio's own scripts, in order of their names.
    pub fn scripts(&self) -> &[ScriptFile] {
        self.home.scripts()
    }

    /// The name of a script by the path of its file below the studio's `scripts/`:
    /// `check/own-rule`; `None` where it lies elsewhere.
    pub fn below_scripts(&self, path: &str) -> Option<String> {
        let root = self.disk.resolved(&self.studio_dir()?.join("scripts")).ok()?;
        let path = self.disk.resolved(&self.path(path)).ok()?;
        path.starts_with(&root)
            .then(|| crate::folder::script_name(&root, &path))
    }

    /// The packages that the studio took in, held to their lock.
    pub fn packages(&self) -> &Packages {
        &self.home.packages
    }

    /// The text of a file named in the call: a script, a table.
    ///
    /// # Errors
    /// As [`crate::read_text`].
    pub fn text(&self, path: &str) -> Result<Source, Diagnostic> {
        read_text_on(&*self.disk, &self.cwd.join(path), path)
    }

    /// Where a path named in the call leads.
    pub fn path(&self, path: &str) -> PathBuf {
        self.cwd.join(path)
    }

    /// A table of glazes named in the call, with the materials that can be seen.
    ///
    /// # Errors
    /// No such file, or headings that no row can be read with.
    pub fn glaze_sheet(&self, path: &str) -> Result<(GlazeSheet, SheetRows), Vec<Diagnostic>> {
        let file = open_stream(&*self.disk, &self.cwd.join(path), path).map_err(|error| vec![error])?;
        GlazeSheet::open(Box::new(file), path, self.library())
    }

    /// Whether a folder lies at a path named in the call.
    pub fn is_folder(&self, path: &str) -> bool {
        is_folder(&*self.disk, &self.cwd.join(path))
    }

    /// The YAML files of a folder named in the call, in order of their names,
    /// as paths that [`Workplace::glaze`] takes.
    ///
    /// # Errors
    /// None there, or a folder that can't be listed.
    pub fn yaml_files_in(&self, folder: &str) -> Result<Vec<PathBuf>, Diagnostic> {
        yaml_files_in(&*self.disk, &self.cwd.join(folder), Path::new(folder))
    }

    /// Where the materials of tables and of files read by path come from.
    pub fn origin(&self) -> Origin {
        self.home.origin()
    }

    /// The JSON files of one of the studio's folders.
    pub(crate) fn json_files(&self, folder: &str) -> Vec<FoundFile> {
        self.home.files.json_files(folder)
    }

    /// What goes with a name that is looked up, around an empty glaze.
    pub(crate) fn of_names(&self) -> Result<FoundEnd, Vec<Diagnostic>> {
        let bench = self.names()?;
        Ok(FoundEnd {
            glaze: Glaze {
                name: String::new(),
                base: Vec::new(),
                additions: Vec::new(),
                about: GlazeNotes::default(),
                assumptions: Vec::new(),
            },
            library: bench.library.clone(),
            settings: bench.settings.clone(),
            origin: bench.origin(),
        })
    }

    /// The studio's own glazes.
    pub(crate) fn own_glazes(&self) -> &Shelf<GlazeFile> {
        self.home.glazes()
    }

    /// The studio's own clays.
    pub(crate) fn own_clays(&self) -> &Shelf<ClayFile> {
        self.home.clays()
    }

    /// A glaze of this studio that no file of glazes gives.
    pub(crate) fn resolve_at_home(&self, file: GlazeFile) -> Result<FoundGlaze, Vec<Diagnostic>> {
        self.home.resolve(file)
    }

    /// The studio in which names are looked up.
    fn names(&self) -> Result<&Bench, Vec<Diagnostic>> {
        if self.studio_dir().is_some() {
            return Ok(&self.home);
        }
        let example = self.example.get_or_init(|| {
            let mut complaints = Vec::new();
            let bench = Bench::open(StudioFiles::Example, &self.extra, &mut complaints);
            if complaints.is_empty() {
                Ok(bench)
            } else {
                Err(complaints)
            }
        });
        example.as_ref().map_err(Clone::clone)
    }

    fn look_up<'a, T: Named>(
        &'a self,
        wanted: &str,
        shelf: impl Fn(&'a Bench) -> &'a Shelf<T>,
    ) -> Result<Found<'a, T>, NotFound> {
        let path = self.cwd.join(wanted);
        let read_path = || Ok(Found::Path(self.text(wanted)?));
        if wanted.trim().is_empty() {
            let message = format!("the {}'s name is empty", T::WHAT);
            return Err(Diagnostic::error("no-name", message).into());
        }
        let (there, is_folder) = (is_there(&*self.disk, &path), is_folder(&*self.disk, &path));
        let is_path = has_yaml_ending(wanted) || wanted.contains(['/', std::path::MAIN_SEPARATOR]);
        if self.studio_dir().is_some()
            && !is_path
            && let Some(item) = shelf(&self.home).find(wanted).map_err(NotFound::broken)?
        {
            return Ok(Found::Named(&self.home, item));
        }
        if there && !is_folder || has_yaml_ending(wanted) {
            return read_path();
        }
        let bench = self.names().map_err(NotFound::broken)?;
        if let Some(item) = shelf(bench).find(wanted).map_err(NotFound::broken)? {
            return Ok(Found::Named(bench, item));
        }
        // `PLAN/TILE` and `1/2 clear + 3 % rutile` are names although they look like paths.
        if (is_folder || is_path) && !self.may_be_made_up(wanted) {
            return match self.no_such_plan(wanted) {
                Some(complaint) => Err(NotFound {
                    unknown: true,
                    complaints: vec![complaint],
                    known: None,
                }),
                None => read_path(),
            };
        }
        let whose = match bench.files {
            StudioFiles::Example => "in the example studio",
            _ => "here",
        };
        Err(NotFound {
            unknown: true,
            complaints: shelf(bench).not_found(wanted, whose),
            known: None,
        })
    }

    /// Adds to complaints about materials that the glaze's file lies in a
    /// studio which isn't the one looked in.
    fn point_at_its_studio(&self, path: &str, mut errors: Vec<Diagnostic>) -> Vec<Diagnostic> {
        let file = self.cwd.join(path);
        let its_studio = file.parent().and_then(|folder| find_studio_on(&*self.disk, folder));
        // A folder that has gone is no other one: nothing is said about it.
        let whole = |dir: &Path| self.disk.resolved(dir).ok();
        if let (Some(dir), Some(first)) = (its_studio, errors.first_mut())
            && self.studio_dir().and_then(whole) != whole(&dir)
        {
            let hint = format!(
                "the file lies in a studio: `--studio \"{}\"` sees its materials",
                dir.display()
            );
            first.help = Some(match first.help.take() {
                Some(help) => format!("{help} Or: {hint}"),
                None => hint,
            });
        }
        errors
    }
}

enum Found<'a, T> {
    Named(&'a Bench, &'a T),
    Path(Source),
}

fn has_yaml_ending(text: &str) -> bool {
    Path::new(text)
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("yaml") || ending.eq_ignore_ascii_case("yml"))
}

/// The folder named with `--studio`.
fn named_folder(disk: &Arc<dyn Disk>, dir: &Path, cwd: &Path) -> Result<StudioFolder, Diagnostic> {
    let full = cwd.join(dir);
    let shown = dir.display().to_string();
    if !is_there(&**disk, &full) {
        return Err(missing(&**disk, &full, &shown, "folder"));
    }
    if !is_folder(&**disk, &full) {
        return Err(about_file(
            "not-a-folder",
            of_typed(&shown, "is a file, not a studio's folder"),
            &shown,
        )
        .help("name the folder that holds studio.yaml"));
    }
    if !is_taken(&**disk, &full.join(STUDIO_FILE)) {
        return Err(
            Diagnostic::error("no-studio-file", of_typed(shown, "holds no studio.yaml")).help(
                match find_studio_on(&**disk, &full) {
                    Some(outer) => format!("the studio above it is `{}`", outer.display()),
                    None => "`glost init` makes a studio's folder".to_owned(),
                },
            ),
        );
    }
    Ok(StudioFolder {
        disk: Arc::clone(disk),
        dir: full,
        shown: dir.to_owned(),
    })
}
