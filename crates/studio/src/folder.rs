//! Where a studio's files lie: a folder on disk, or the example in the binary.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, Source, of_typed};
use glost_chemistry::read::each_in_parts;

use crate::disk::{Disk, is_folder, is_taken, real_disk};
use crate::shelf::FILES_FOR_A_CORE;
use crate::shipped::EXAMPLE;
use crate::text_file::{about_file, read_text_on};

/// The file that makes a folder a studio.
pub(crate) const STUDIO_FILE: &str = "studio.yaml";
/// The folder of its materials.
pub(crate) const MATERIALS_FOLDER: &str = "materials";
/// The folder of glazes.
pub(crate) const GLAZES_FOLDER: &str = "glazes";
/// The endings of YAML files.
pub(crate) const YAML: [&str; 2] = ["yaml", "yml"];
/// How deep folders of scripts are followed; a link may lead in a circle.
const MOST_NESTED_FOLDERS: usize = 8;

/// The nearest folder from `start` upward that holds `studio.yaml`.
pub fn find_studio(start: &Path) -> Option<PathBuf> {
    find_studio_on(&*real_disk(), start)
}

/// As [`find_studio`].
pub(crate) fn find_studio_on(disk: &dyn Disk, start: &Path) -> Option<PathBuf> {
    // An empty path, or no folder to stand in: nothing lies upward of that.
    let start = std::path::absolute(start).ok()?;
    start
        .ancestors()
        // Whatever it is: a studio.yaml that is a folder is complained about, not passed by.
        .find(|folder| is_taken(disk, &folder.join(STUDIO_FILE)))
        .map(Path::to_owned)
}

/// A file of a folder: its shown name, and its text or what is wrong with it.
#[derive(Debug, Clone)]
pub(crate) struct FoundFile {
    pub shown: String,
    pub text: Result<Source, Diagnostic>,
}

/// A script file of a studio.
#[derive(Debug, Clone)]
pub struct ScriptFile {
    /// Its path below `scripts/` without the ending, with `/`: `check/own-rule`.
    pub name: String,
    /// Its text, or why it can't be read.
    pub text: Result<Source, Diagnostic>,
}

/// A studio's folder on a disk.
#[derive(Debug, Clone)]
pub(crate) struct StudioFolder {
    pub disk: Arc<dyn Disk>,
    pub dir: PathBuf,
    /// What to show in front of its files' names.
    pub shown: PathBuf,
}

impl StudioFolder {
    /// A studio's folder, its files shown relative to `cwd` where that is
    /// within it, else as `dir` is given.
    pub fn seen_from(disk: Arc<dyn Disk>, dir: PathBuf, cwd: &Path) -> StudioFolder {
        let shown = match cwd.strip_prefix(&dir) {
            Ok(below) => below.components().map(|_| "..").collect(),
            Err(_) => dir.clone(),
        };
        StudioFolder { disk, dir, shown }
    }

    /// The name to show for one of its files.
    pub fn shown(&self, name: &str) -> String {
        self.shown.join(name).to_string_lossy().into_owned()
    }

    fn read(&self, name: &Path) -> Result<Source, Diagnostic> {
        read_text_on(
            &*self.disk,
            &self.dir.join(name),
            &self.shown.join(name).to_string_lossy(),
        )
    }

    /// The files with one of these endings in one of its folders, in order of their names.
    pub fn files(&self, folder: &str, endings: &[&str]) -> Vec<FoundFile> {
        let listed = list(
            &*self.disk,
            &self.dir.join(folder),
            &self.shown.join(folder),
            endings,
            1,
        );
        each_in_parts(&listed, FILES_FOR_A_CORE, |file| file.read(&*self.disk)).collect()
    }
}

/// Where a studio's files lie.
#[derive(Debug, Clone)]
pub(crate) enum StudioFiles {
    /// A folder.
    Folder(StudioFolder),
    /// The example studio in the binary.
    Example,
    /// Nowhere: shipped materials alone.
    Nowhere,
}

impl StudioFiles {
    /// `studio.yaml`.
    pub fn settings(&self) -> Option<Result<Source, Diagnostic>> {
        match self {
            StudioFiles::Folder(folder) => Some(folder.read(Path::new(STUDIO_FILE))),
            StudioFiles::Example => EXAMPLE
                .iter()
                .find(|file| file.path == STUDIO_FILE)
                .map(|file| Ok(file.source("example"))),
            StudioFiles::Nowhere => None,
        }
    }

    /// The YAML files of one of its folders in order of their names. A folder
    /// that isn't there holds none; one that can't be listed is one complaint.
    pub fn yaml_files(&self, folder: &str) -> Vec<FoundFile> {
        match self {
            StudioFiles::Folder(studio) => studio.files(folder, &YAML),
            StudioFiles::Example => EXAMPLE
                .iter()
                .filter(|file| file.path.split_once('/').is_some_and(|(first, _)| first == folder))
                .map(|file| file.source("example"))
                .map(|source| FoundFile {
                    shown: source.name.to_string(),
                    text: Ok(source),
                })
                .collect(),
            StudioFiles::Nowhere => Vec::new(),
        }
    }

    /// A file that one of the files in `folder` names, as seen from there.
    pub fn beside(&self, folder: &str, name: &str) -> Result<Source, Diagnostic> {
        match self {
            StudioFiles::Folder(studio) => studio.read(&Path::new(folder).join(name)),
            StudioFiles::Example | StudioFiles::Nowhere => {
                Err(Diagnostic::error("no-such-file", format!("there is no file `{name}`")))
            }
        }
    }

    /// The JSON files of one of its folders, as [`StudioFiles::yaml_files`].
    pub fn json_files(&self, folder: &str) -> Vec<FoundFile> {
        match self {
            StudioFiles::Folder(studio) => studio.files(folder, &["json"]),
            StudioFiles::Example | StudioFiles::Nowhere => Vec::new(),
        }
    }

    /// Its scripts, folders below `scripts/` included, in order of their names.
    pub fn scripts(&self) -> Vec<ScriptFile> {
        let StudioFiles::Folder(StudioFolder { disk, dir, shown }) = self else {
            return Vec::new();
        };
        let (root, shown) = (dir.join("scripts"), shown.join("scripts"));
        // What came in with packages is known from their lock alone.
        let own = |file: &Listed| {
            file.path
                .strip_prefix(&root)
                .is_ok_and(|below| !below.starts_with("from"))
        };
        let leads_out = |file: &Listed| {
            let below = file
                .path
                .strip_prefix(&root)
                .is_ok_and(|below| below.starts_with("lib"));
            let resolved = disk.resolved(&file.path).ok().zip(disk.resolved(dir).ok());
            below && resolved.is_some_and(|(file, dir)| !file.starts_with(dir))
        };
        let mut scripts: Vec<ScriptFile> = list(&**disk, &root, &shown, &["rhai"], MOST_NESTED_FOLDERS)
            .into_iter()
            .filter(own)
            .map(|file| ScriptFile {
                name: script_name(&root, &file.path),
                text: if leads_out(&file) {
                    let shown = file.shown.to_string_lossy();
                    let message = "the library is a link that leads out of the studio";
                    Err(about_file("leads-out", message, &shown)
                        .help("copy the file into scripts/lib/: what a studio's scripts do stands in the studio"))
                } else {
                    file.read(&**disk).text
                },
            })
            .collect();
        scripts.sort_by(|a, b| a.name.cmp(&b.name));
        scripts
    }
}

/// The name of a script, its path below `scripts/` without the ending.
pub(crate) fn script_name(root: &Path, path: &Path) -> String {
    let below = path.strip_prefix(root).unwrap_or(path).with_extension("");
    let steps: Vec<_> = below.iter().map(|step| step.to_string_lossy()).collect();
    steps.join("/")
}

/// The YAML files that lie in a folder somebody named, in order of their
/// names, as paths that begin with `shown`.
pub(crate) fn yaml_files_in(disk: &dyn Disk, folder: &Path, shown: &Path) -> Result<Vec<PathBuf>, Diagnostic> {
    let listed = list(disk, folder, shown, &YAML, 1).into_iter();
    let paths: Vec<PathBuf> = listed
        .map(|file| file.trouble.map_or(Ok(file.shown), Err))
        .collect::<Result<_, Diagnostic>>()?;
    let shown_name = shown.to_string_lossy();
    if is_taken(disk, &folder.join(STUDIO_FILE)) {
        return Err(about_file(
            "is-a-studio",
            of_typed(&shown_name, "is a studio's folder"),
            &shown_name,
        )
        .help(format!("its glazes lie in `{}`", shown.join("glazes").display())));
    }
    if paths.is_empty() {
        let message = format!("the folder `{shown_name}` holds no YAML files");
        return Err(about_file("no-glazes", message, &shown_name).help("name a folder of glazes, or a CSV file"));
    }
    Ok(paths)
}

struct Listed {
    path: PathBuf,
    shown: PathBuf,
    trouble: Option<Diagnostic>,
}

impl Listed {
    fn read(&self, disk: &dyn Disk) -> FoundFile {
        let shown = self.shown.to_string_lossy().into_owned();
        FoundFile {
            text: match &self.trouble {
                Some(trouble) => Err(trouble.clone()),
                None => read_text_on(disk, &self.path, &shown),
            },
            shown,
        }
    }
}

/// The files with one of these endings in a folder, sorted by name; `levels`
/// of folders are looked into, itself included.
fn list(disk: &dyn Disk, folder: &Path, shown: &Path, endings: &[&str], levels: usize) -> Vec<Listed> {
    let mut names = match disk.list(folder) {
        Ok(names) => names,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Vec::new(),
        Err(error) => {
            let shown_name = shown.to_string_lossy();
            let trouble = if error.kind() == io::ErrorKind::NotADirectory {
                about_file("not-a-folder", of_typed(&shown_name, "should be a folder"), &shown_name)
                    .help("rename it, or put it into a folder of that name")
            } else {
                let message = format!("the folder `{shown_name}` can't be listed: {error}");
                about_file("cannot-read", message, &shown_name)
            };
            return vec![Listed {
                path: folder.to_owned(),
                shown: shown.to_owned(),
                trouble: Some(trouble),
            }];
        }
    };
    names.sort();
    let mut found = Vec::new();
    for name in names {
        let text = name.to_string_lossy();
        // Hidden files, and what editors leave beside the file they edit.
        if text.starts_with(['.', '~', '#']) {
            continue;
        }
        let path = folder.join(&name);
        let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
        if ending.is_some_and(|ending| endings.contains(&ending.as_str())) {
            found.push(Listed {
                path,
                shown: shown.join(&name),
                trouble: None,
            });
        } else if levels > 1 && is_folder(disk, &path) {
            found.extend(list(disk, &path, &shown.join(&name), endings, levels - 1));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;

    fn seen_from(dir: &Path, cwd: &Path) -> StudioFiles {
        StudioFiles::Folder(StudioFolder::seen_from(real_disk(), dir.to_owned(), cwd))
    }

    #[test]
    fn the_nearest_studio_upward_is_found() -> io::Result<()> {
        let outer = tempfile::tempdir()?;
        let inner = outer.path().join("kiln shed/glazes/old");
        fs::create_dir_all(&inner)?;
        fs::write(outer.path().join(STUDIO_FILE), "studio: outer")?;
        assert_eq!(find_studio(&inner), Some(outer.path().to_owned()));
        let shed = outer.path().join("kiln shed");
        fs::write(shed.join(STUDIO_FILE), "studio: inner")?;
        assert_eq!(find_studio(&inner), Some(shed));
        Ok(())
    }

    #[test]
    fn backups_hidden_files_and_other_endings_are_passed_by() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let glazes = dir.path().join("glazes");
        fs::create_dir_all(glazes.join("old"))?;
        for name in [
            "b.yaml",
            "a.yml",
            "C.YAML",
            ".#b.yaml",
            "b.yaml~",
            "b.yaml.bak",
            "#b.yaml#",
            "~b.yaml",
            "notes.txt",
            "old/z.yaml",
        ] {
            fs::write(glazes.join(name), "x")?;
        }
        let files = seen_from(dir.path(), &glazes);
        let shown: Vec<_> = files.yaml_files("glazes").into_iter().map(|file| file.shown).collect();
        assert_eq!(shown, ["../glazes/C.YAML", "../glazes/a.yml", "../glazes/b.yaml"]);
        assert!(
            files.yaml_files("clays").is_empty(),
            "a folder that isn't there holds none"
        );
        Ok(())
    }

    #[test]
    fn scripts_are_named_by_their_path() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        fs::create_dir_all(dir.path().join("scripts/check"))?;
        fs::write(dir.path().join("scripts/check/own-rule.rhai"), "1")?;
        fs::write(dir.path().join("scripts/stock list.rhai"), b"\xff")?;
        let scripts = seen_from(dir.path(), dir.path()).scripts();
        let names: Vec<_> = scripts
            .iter()
            .map(|script| (script.name.as_str(), script.text.is_ok()))
            .collect();
        assert_eq!(names, [("check/own-rule", true), ("stock list", false)]);
        Ok(())
    }

    #[test]
    fn a_folder_that_cannot_be_listed_is_one_complaint() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        fs::write(dir.path().join("glazes"), "a file where a folder should be")?;
        let found = seen_from(dir.path(), dir.path()).yaml_files("glazes");
        let codes: Vec<_> = found
            .into_iter()
            .map(|file| file.text.err().map(|why| why.code))
            .collect();
        assert_eq!(codes, [Some("not-a-folder")]);
        Ok(())
    }

    #[test]
    fn a_folder_of_glazes_is_listed_if_it_is_one() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        for (folder, file) in [
            ("tests", "b.yaml"),
            ("tests", "a.yml"),
            ("bare", "notes.txt"),
            ("shed", STUDIO_FILE),
        ] {
            fs::create_dir_all(dir.path().join(folder))?;
            fs::write(dir.path().join(folder).join(file), "x")?;
        }
        let listed = |folder: &str| {
            let paths = yaml_files_in(&*real_disk(), &dir.path().join(folder), Path::new(folder));
            paths.map_err(|why| why.code)
        };
        assert_eq!(listed("tests"), Ok(vec!["tests/a.yml".into(), "tests/b.yaml".into()]));
        assert_eq!(listed("bare"), Err("no-glazes"));
        assert_eq!(listed("shed"), Err("is-a-studio"));
        Ok(())
    }

    /// Rules may be shared by a link; what they build on stands in the studio.
    #[cfg(unix)]
    #[test]
    fn a_library_that_leads_out_of_the_studio_is_not_read() -> io::Result<()> {
        use std::os::unix::fs::symlink;
        let (dir, other) = (tempfile::tempdir()?, tempfile::tempdir()?);
        let scripts = dir.path().join("scripts");
        fs::create_dir_all(scripts.join("lib"))?;
        fs::create_dir(scripts.join("check"))?;
        fs::write(other.path().join("shared.rhai"), "1")?;
        fs::write(scripts.join("lib/own.rhai"), "1")?;
        symlink(other.path().join("shared.rhai"), scripts.join("lib/out.rhai"))?;
        symlink(other.path().join("shared.rhai"), scripts.join("check/shared.rhai"))?;
        symlink(scripts.join("lib/own.rhai"), scripts.join("lib/within.rhai"))?;
        let scripts = seen_from(dir.path(), dir.path()).scripts();
        let told: Vec<_> = scripts
            .iter()
            .map(|script| (script.name.as_str(), script.text.as_ref().err().map(|why| why.code)))
            .collect();
        let read = |name| (name, None);
        assert_eq!(
            told,
            [
                read("check/shared"),
                ("lib/out", Some("leads-out")),
                read("lib/own"),
                read("lib/within")
            ]
        );
        Ok(())
    }

    #[cfg(unix)]
    #[test]
    fn folders_of_scripts_that_lead_in_a_circle_end() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let scripts = dir.path().join("scripts");
        fs::create_dir(&scripts)?;
        std::os::unix::fs::symlink(&scripts, scripts.join("again"))?;
        fs::write(scripts.join("x.rhai"), "1")?;
        let files = seen_from(dir.path(), dir.path());
        assert_eq!(files.scripts().len(), MOST_NESTED_FOLDERS);
        Ok(())
    }
}
