//! Reading a file that somebody named: bounded, and each way it can go wrong
//! in plain words.

use std::ffi::OsStr;
use std::io;
use std::path::Path;

use glost_chemistry::diagnostic::{Diagnostic, Mark, Place, Source, did_you_mean, is_no, nearest, of_typed};

use crate::disk::{About, Disk, DiskFile, is_folder, read_at_most, real_disk};
use crate::save::folder_of;

/// The largest text file that is read, in bytes; a studio's files stay far below.
pub const MOST_TEXT_BYTES: u64 = 4_000_000;
/// The most names looked through for one like the name that isn't there.
const MOST_NAMES_LOOKED_AT: usize = 5_000;

/// Reads a text file. `shown` is its name in complaints, usually the path as typed.
///
/// # Errors
/// Missing (with the nearest name in its folder), a folder, not a plain file
/// (a pipe, a device), no permission, larger than [`MOST_TEXT_BYTES`], not UTF-8.
pub fn read_text(path: &Path, shown: &str) -> Result<Source, Diagnostic> {
    read_text_on(&*real_disk(), path, shown)
}

/// As [`read_text`], on a disk of the caller's.
///
/// # Errors
/// As [`read_text`].
pub fn read_text_on(disk: &dyn Disk, path: &Path, shown: &str) -> Result<Source, Diagnostic> {
    Source::from_bytes(shown, &read_bytes(disk, path, shown)?)
}

/// The bytes of a text file, as [`read_text`].
pub(crate) fn read_bytes(disk: &dyn Disk, path: &Path, shown: &str) -> Result<Vec<u8>, Diagnostic> {
    read_bytes_up_to(disk, path, shown, MOST_TEXT_BYTES)
}

/// The same with another limit.
pub(crate) fn read_bytes_up_to(disk: &dyn Disk, path: &Path, shown: &str, most: u64) -> Result<Vec<u8>, Diagnostic> {
    let trouble = |error: io::Error| cannot_read(disk, path, shown, &error);
    // Opening a pipe would wait for its other end, so what it is comes first.
    plain_and_small(&disk.about(path).map_err(trouble)?, shown, most)?;
    let mut file = disk.open(path).map_err(trouble)?;
    plain_and_small(&file.about().map_err(trouble)?, shown, most)?;
    // Some files state a size of 0 and never end.
    let bytes = read_at_most(&mut *file, most + 1).map_err(trouble)?;
    if bytes.len() as u64 > most {
        return Err(too_large(shown, None, most));
    }
    Ok(bytes)
}

/// Opens a file, or a pipe, that is read as it comes in.
///
/// # Errors
/// Missing (with the nearest name in its folder), a folder, no permission.
pub(crate) fn open_stream(disk: &dyn Disk, path: &Path, shown: &str) -> Result<Box<dyn DiskFile>, Diagnostic> {
    let trouble = |error: io::Error| cannot_read(disk, path, shown, &error);
    if disk.about(path).map_err(trouble)?.is_folder() {
        let error = about_file("is-a-folder", of_typed(shown, "is a folder, not a file"), shown);
        return Err(error.help("name a file in it"));
    }
    disk.open(path).map_err(trouble)
}

/// An error about a file as a whole: its place is the file's start.
pub(crate) fn about_file(code: &'static str, message: impl Into<String>, shown: &str) -> Diagnostic {
    let mut error = Diagnostic::error(code, message);
    error.place = Some(Box::new(Place {
        file: shown.into(),
        mark: Mark { line: 1, column: 1 },
        width: 1,
        source_line: String::new(),
    }));
    error
}

fn plain_and_small(about: &About, shown: &str, most: u64) -> Result<(), Diagnostic> {
    plain(about, shown)?;
    if about.bytes > most {
        return Err(too_large(shown, Some(about.bytes), most));
    }
    Ok(())
}

/// Refuses folders, pipes and devices.
pub(crate) fn plain(about: &About, shown: &str) -> Result<(), Diagnostic> {
    if about.is_file() {
        Ok(())
    } else {
        Err(not_plain(about, shown))
    }
}

/// The complaint that something is no plain file.
pub(crate) fn not_plain(about: &About, shown: &str) -> Diagnostic {
    if about.is_folder() {
        return about_file("is-a-folder", of_typed(shown, "is a folder, not a file"), shown).help("name a file in it");
    }
    about_file(
        "not-a-plain-file",
        of_typed(shown, "is a pipe or a device, not a file on disk"),
        shown,
    )
    .help("save what it gives as a file and name that")
}

fn megabytes(bytes: u64) -> String {
    format!("{:.1} MB", bytes as f64 / 1e6)
}

fn too_large(shown: &str, bytes: Option<u64>, most: u64) -> Diagnostic {
    let limit = megabytes(most);
    let size = bytes.map_or_else(|| format!("more than {limit}"), megabytes);
    about_file(
        "file-too-large",
        format!("`{shown}` is {size} large; a file may have up to {limit}"),
        shown,
    )
    .help("check that it is the file you mean; a long list of materials can be split over several files")
}

/// The complaint for what the system said about opening or reading `path`.
pub(crate) fn cannot_read(disk: &dyn Disk, path: &Path, shown: &str, error: &io::Error) -> Diagnostic {
    match error.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => missing(disk, path, shown, "file"),
        io::ErrorKind::PermissionDenied => {
            about_file("no-permission", of_typed(shown, "may not be read by you"), shown)
                .help("change its permissions, or ask whoever owns it")
        }
        _ if shown.trim().is_empty() => Diagnostic::error("no-such-file", "the file's name is empty"),
        _ => about_file("cannot-read", format!("`{shown}` can't be read: {error}"), shown),
    }
}

/// The complaint that nothing lies at `path`, with the nearest name in its folder.
pub(crate) fn missing(disk: &dyn Disk, path: &Path, shown: &str, what: &str) -> Diagnostic {
    let error = Diagnostic::error("no-such-file", format!("there is no {what} `{shown}`"));
    if path.parent().is_none() {
        return error;
    }
    let folder = folder_of(path);
    // A path that ends in dots has no name of its own.
    let typed = path.file_name().unwrap_or(OsStr::new("")).to_string_lossy();
    let shown_folder = Path::new(shown).parent().unwrap_or(Path::new(""));
    if !is_folder(disk, folder) {
        return error.help(is_no(shown_folder.display(), "folder; check the path"));
    }
    // A folder that can't be listed has no name to propose.
    let listed = disk.list(folder).unwrap_or_else(|_| Vec::new()).into_iter();
    let names: Vec<String> = listed
        .take(MOST_NAMES_LOOKED_AT)
        .map(|name| name.to_string_lossy().into_owned())
        .collect();
    let mut sorted: Vec<&str> = names.iter().map(String::as_str).collect();
    sorted.sort_unstable();
    match nearest(&typed, sorted) {
        Some(near) => error.help(did_you_mean(shown_folder.join(near).display())),
        None => error.help("check the path; it is read from the folder you stand in"),
    }
}

#[cfg(test)]
mod tests {
    use std::fs::{self, File};

    use super::*;

    fn refused(path: &Path) -> Diagnostic {
        match read_text(path, "glazes/it.yaml") {
            Ok(_) => panic!("{} was read", path.display()),
            Err(error) => error,
        }
    }

    #[test]
    fn a_folder_or_a_missing_file_is_told_apart() -> io::Result<()> {
        let folder = tempfile::tempdir()?;
        fs::create_dir(folder.path().join("it.yaml"))?;
        let error = refused(&folder.path().join("it.yaml"));
        assert_eq!(error.code, "is-a-folder");
        assert_eq!(error.message, "`glazes/it.yaml` is a folder, not a file");
        assert!(error.place.is_some_and(|place| &*place.file == "glazes/it.yaml"));

        fs::write(folder.path().join("lamplight.yaml"), "x")?;
        let Err(error) = read_text(&folder.path().join("lamplite.yaml"), "glazes/lamplite.yaml") else {
            panic!("read")
        };
        assert_eq!(error.message, "there is no file `glazes/lamplite.yaml`");
        assert_eq!(error.help.as_deref(), Some("did you mean `glazes/lamplight.yaml`?"));

        let Err(error) = read_text(&folder.path().join("glaze/x.yaml"), "glaze/x.yaml") else {
            panic!("read")
        };
        assert_eq!(error.help.as_deref(), Some("`glaze` is no folder; check the path"));
        Ok(())
    }

    #[test]
    fn a_file_of_100_megabytes_is_refused_by_its_size() -> io::Result<()> {
        let folder = tempfile::tempdir()?;
        let path = folder.path().join("big.yaml");
        File::create(&path)?.set_len(100_000_000)?;
        let error = refused(&path);
        assert_eq!(error.code, "file-too-large");
        assert_eq!(
            error.message,
            "`glazes/it.yaml` is 100.0 MB large; a file may have up to 4.0 MB"
        );
        File::create(&path)?.set_len(MOST_TEXT_BYTES)?;
        assert!(read_text(&path, "x").is_ok(), "exactly the limit is read");
        Ok(())
    }

    #[cfg(target_os = "linux")]
    #[test]
    fn files_that_hide_their_size_pipes_and_devices_are_bounded() -> io::Result<()> {
        assert_eq!(refused(Path::new("/dev/zero")).code, "not-a-plain-file");
        // A plain file that states a size of 0.
        assert!(read_text(Path::new("/proc/self/status"), "status").is_ok());
        let folder = tempfile::tempdir()?;
        let pipe = folder.path().join("pipe");
        let made = std::process::Command::new("mkfifo").arg(&pipe).status()?;
        assert!(made.success());
        assert_eq!(refused(&pipe).code, "not-a-plain-file");
        Ok(())
    }

    #[test]
    fn text_of_another_encoding_is_placed() -> io::Result<()> {
        let folder = tempfile::tempdir()?;
        let path = folder.path().join("latin.yaml");
        fs::write(&path, b"glaze: x\nnotes: caf\xe9\n")?;
        let error = refused(&path);
        assert_eq!(error.code, "not-utf8");
        assert_eq!(error.place.map(|place| place.mark), Some(Mark { line: 2, column: 11 }));
        Ok(())
    }

    #[cfg(unix)]
    #[test]
    fn a_file_without_permission_says_so() -> io::Result<()> {
        use std::os::unix::fs::PermissionsExt;
        let denied = io::Error::from(io::ErrorKind::PermissionDenied);
        let error = cannot_read(&*real_disk(), Path::new("it.yaml"), "it.yaml", &denied);
        assert_eq!(error.code, "no-permission");
        let folder = tempfile::tempdir()?;
        let path = folder.path().join("it.yaml");
        fs::write(&path, "x")?;
        fs::set_permissions(&path, fs::Permissions::from_mode(0o000))?;
        // The superuser reads everything.
        if File::open(&path).is_err() {
            assert_eq!(refused(&path).code, "no-permission");
        }
        Ok(())
    }
}
