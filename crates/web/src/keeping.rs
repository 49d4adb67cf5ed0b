//! What is kept outside the studio's folder: its port, the requests that were done,
//! and for a moment the way in for the browser.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use glost_chemistry::diagnostic::Diagnostic;
use sha2::{Digest, Sha256};

/// How long a request is known again.
const KEPT_FOR: Duration = Duration::from_secs(30 * 24 * 3600);

/// A folder of the user's own, one for each studio.
#[derive(Debug, Clone)]
pub struct Keeping {
    folder: PathBuf,
}

impl Keeping {
    /// The folder for a studio, made where it isn't there; readable by its owner alone.
    ///
    /// # Errors
    /// No folder of the user's own is known, or it can't be made.
    pub fn of(studio: &Path) -> Result<Keeping, Diagnostic> {
        let own = own_folder().ok_or_else(|| {
            Diagnostic::error(
                "no-own-folder",
                "there is no folder of your own to keep what was done in",
            )
            .help("set HOME, or XDG_STATE_HOME")
        })?;
        let whole = fs::canonicalize(studio).unwrap_or_else(|_| studio.to_owned());
        let folder = own.join("glost").join(&hex(whole.to_string_lossy().as_bytes())[..16]);
        let keeping = Keeping { folder };
        keeping.make().map_err(|why| unkept(&keeping.folder, &why))?;
        Ok(keeping)
    }

    fn make(&self) -> io::Result<()> {
        fs::create_dir_all(self.folder.join("requests"))?;
        only_the_owner(&self.folder, 0o700)
    }

    /// The port that this studio was given.
    pub fn port(&self) -> Option<u16> {
        fs::read_to_string(self.folder.join("port"))
            .ok()
            .and_then(|text| text.trim().parse().ok())
    }

    /// Keeps the port.
    ///
    /// # Errors
    /// It can't be written.
    pub fn keep_port(&self, port: u16) -> Result<(), Diagnostic> {
        self.write("port", format!("{port}\n").as_bytes())
    }

    /// What is kept under a name of ours.
    pub(crate) fn kept(&self, name: &'static str) -> Option<Vec<u8>> {
        fs::read(self.folder.join(name)).ok()
    }

    /// Keeps something under a name of ours.
    pub(crate) fn keep(&self, name: &'static str, bytes: &[u8]) -> Result<(), Diagnostic> {
        self.write(name, bytes)
    }

    /// Keeps a table that was brought along until it is taken in, instead of the one before;
    /// gives its name.
    pub(crate) fn keep_table(&self, bytes: &[u8]) -> Result<String, Diagnostic> {
        for old in self.tables() {
            // Left there, it only takes up room.
            let _ = fs::remove_file(old);
        }
        let name = hex(bytes)[..32].to_owned();
        self.write(&table_file(&name), bytes)?;
        Ok(name)
    }

    /// Holds a photo until its form is mended, instead of the one before; gives its name.
    pub(crate) fn keep_photo(&self, bytes: &[u8]) -> Result<String, Diagnostic> {
        self.write(PHOTO, bytes)?;
        Ok(hex(bytes)[..32].to_owned())
    }

    /// Lets the photo go: its form is through.
    pub(crate) fn forget_photo(&self) {
        // Most forms held none.
        let _ = fs::remove_file(self.folder.join(PHOTO));
    }

    /// The photo of this name, where it is still held.
    pub(crate) fn photo(&self, name: &str) -> Option<Vec<u8>> {
        let held = fs::read(self.folder.join(PHOTO)).ok()?;
        (hex(&held)[..32] == *name).then_some(held)
    }

    /// The table of this name, where it is still kept.
    pub(crate) fn table(&self, name: &str) -> Option<PathBuf> {
        let path = self.folder.join(table_file(name));
        self.tables().into_iter().find(|table| *table == path)
    }

    fn tables(&self) -> Vec<PathBuf> {
        let Ok(entries) = fs::read_dir(&self.folder) else {
            return Vec::new();
        };
        let paths = entries.flatten().map(|entry| entry.path());
        paths
            .filter(|path| path.extension().is_some_and(|ending| ending == TABLE))
            .collect()
    }

    /// Where a file may stand for a moment.
    pub(crate) fn new_file(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }

    /// An empty file, locked until whoever holds it is done; waits for its turn.
    ///
    /// # Errors
    /// The disk's.
    pub fn locked(&self) -> io::Result<File> {
        let file = File::options()
            .read(true)
            .write(true)
            .create(true)
            .truncate(false)
            .open(self.folder.join("requests.lock"))?;
        file.lock()?;
        Ok(file)
    }

    /// What is kept of a request.
    pub fn request(&self, id: &str) -> Option<Vec<u8>> {
        fs::read(self.folder.join(request_file(id))).ok()
    }

    /// Keeps what is known of a request, on the disk before this returns.
    ///
    /// # Errors
    /// It can't be written.
    pub fn keep_request(&self, id: &str, known: &[u8]) -> Result<(), Diagnostic> {
        self.write(&request_file(id), known)
    }

    /// Forgets a request that did nothing.
    pub(crate) fn forget_request(&self, id: &str) {
        // Left there, it is one that was cut off before it did anything.
        let _ = fs::remove_file(self.folder.join(request_file(id)));
    }

    /// Forgets requests of more than 30 days ago.
    #[allow(
        clippy::disallowed_methods,
        reason = "no day that a user reads: how old a file of our own is"
    )]
    pub fn forget_old(&self) {
        let now = SystemTime::now();
        let Ok(entries) = fs::read_dir(self.folder.join("requests")) else {
            return;
        };
        for entry in entries.flatten() {
            let written = entry.metadata().and_then(|about| about.modified());
            let is_old = written
                .ok()
                .and_then(|written| now.duration_since(written).ok())
                .is_some_and(|age| age > KEPT_FOR);
            if is_old {
                // Left there, it is only known longer than it need be.
                let _ = fs::remove_file(entry.path());
            }
        }
    }

    /// Writes a page that leads a browser to an address, for its owner alone: an
    /// address on a command line can be read by everybody on the machine.
    ///
    /// # Errors
    /// It can't be written.
    pub fn way_in(&self, address: &str) -> Result<PathBuf, Diagnostic> {
        let path = self.way_in_file();
        let page = format!(
            "<!doctype html><meta charset=\"utf-8\"><title>Glost</title>\
             <meta http-equiv=\"refresh\" content=\"0; url={address}\"><p><a href=\"{address}\">To the bench</a>\n"
        );
        write_for_owner(&path, page.as_bytes()).map_err(|why| unkept(&path, &why))?;
        Ok(path)
    }

    /// Takes that page away: it leads nowhere once the bench is closed.
    pub(crate) fn forget_way_in(&self) {
        // Most starts have none.
        let _ = fs::remove_file(self.way_in_file());
    }

    fn way_in_file(&self) -> PathBuf {
        let folder = std::env::var_os("XDG_RUNTIME_DIR")
            .map(PathBuf::from)
            .filter(|folder| folder.is_dir())
            .unwrap_or_else(|| self.folder.clone());
        folder.join(format!("glost-{}.html", std::process::id()))
    }

    fn write(&self, name: &str, bytes: &[u8]) -> Result<(), Diagnostic> {
        let path = self.folder.join(name);
        let new = path.with_extension("new");
        write_for_owner(&new, bytes)
            .and_then(|()| fs::rename(&new, &path))
            .and_then(|()| sync_folder(&path))
            .map_err(|why| unkept(&path, &why))
    }
}

/// A photo whose form has a mistake in it.
const PHOTO: &str = "photo.held";
/// How tables that were brought along end.
const TABLE: &str = "csv";

fn table_file(name: &str) -> String {
    format!("table-{name}.{TABLE}")
}

/// Any id makes a file's name of our own.
fn request_file(id: &str) -> String {
    format!("requests/{}.json", &hex(id.as_bytes())[..32])
}

fn own_folder() -> Option<PathBuf> {
    let said = |name: &str| {
        std::env::var_os(name)
            .map(PathBuf::from)
            .filter(|path| path.is_absolute())
    };
    said("XDG_STATE_HOME")
        .or_else(|| said("LOCALAPPDATA"))
        .or_else(|| said("HOME").map(|home| home.join(".local/state")))
}

fn write_for_owner(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut options = File::options();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(path)?;
    // One that was there already keeps its mode unless told.
    only_the_owner(path, 0o600)?;
    file.write_all(bytes)?;
    file.sync_all()
}

#[cfg(unix)]
fn only_the_owner(path: &Path, mode: u32) -> io::Result<()> {
    fs::set_permissions(path, std::os::unix::fs::PermissionsExt::from_mode(mode))
}

#[cfg(not(unix))]
fn only_the_owner(_: &Path, _: u32) -> io::Result<()> {
    Ok(())
}

#[cfg(unix)]
fn sync_folder(path: &Path) -> io::Result<()> {
    path.parent().map_or(Ok(()), |folder| File::open(folder)?.sync_all())
}

#[cfg(not(unix))]
fn sync_folder(_: &Path) -> io::Result<()> {
    Ok(())
}

fn unkept(path: &Path, why: &io::Error) -> Diagnostic {
    Diagnostic::error("not-kept", format!("{} can't be written: {why}", path.display()))
        .help("nothing was changed in the studio; make room, or let that folder be written")
}

/// SHA-256 in hexadecimal.
pub(crate) fn hex(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
impl Keeping {
    pub(crate) fn inside(folder: &Path) -> Keeping {
        let keeping = Keeping {
            folder: folder.join("kept"),
        };
        keeping.make().unwrap();
        keeping
    }
}
