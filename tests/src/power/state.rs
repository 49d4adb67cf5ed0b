//! What a simulated disk holds, and what of it is left when power fails.

use std::collections::BTreeMap;
use std::ffi::OsString;
use std::io;
use std::path::{Component, Path};

use super::Chance;

/// The folder at the top.
const ROOT: usize = 0;

/// A disk's files and folders at one moment.
#[derive(Debug, Clone)]
pub struct Moment {
    nodes: Vec<Node>,
}

/// How a call is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    /// Nothing is left of the disk's room; half of a write is taken.
    Full,
    /// The disk fails.
    Broken,
    /// A signal came in between; asked again it goes on.
    Interrupted,
    /// Half of a write is taken, without an error.
    Short,
}

impl Refusal {
    /// All of them.
    pub const ALL: [Refusal; 4] = [Refusal::Full, Refusal::Broken, Refusal::Interrupted, Refusal::Short];

    /// As the system says it.
    pub(super) fn error(self) -> io::Error {
        match self {
            // ENOSPC and EIO of Linux's errno.h.
            Refusal::Full => io::Error::from_raw_os_error(28),
            Refusal::Broken => io::Error::from_raw_os_error(5),
            Refusal::Interrupted | Refusal::Short => io::Error::from(io::ErrorKind::Interrupted),
        }
    }
}

#[derive(Debug, Clone)]
pub(super) enum Node {
    File(File),
    Folder(Folder),
}

#[derive(Debug, Clone, Default)]
pub(super) struct File {
    /// As programs read it.
    pub written: Vec<u8>,
    lasting: Vec<u8>,
    since: Vec<Piece>,
}

/// A change of a file's bytes.
#[derive(Debug, Clone)]
enum Piece {
    Write { at: usize, bytes: Vec<u8> },
    Cut(usize),
}

#[derive(Debug, Clone, Default)]
pub(super) struct Folder {
    /// As programs see it.
    pub names: BTreeMap<OsString, usize>,
    lasting: BTreeMap<OsString, usize>,
    since: Vec<Change>,
}

/// A change of names in one step: each has a new node, or none.
type Change = Vec<(OsString, Option<usize>)>;

fn no_such() -> io::Error {
    io::Error::from(io::ErrorKind::NotFound)
}

impl Default for Moment {
    fn default() -> Moment {
        Moment {
            nodes: vec![Node::Folder(Folder::default())],
        }
    }
}

impl Moment {
    /// What lies at an absolute path.
    pub(super) fn find(&self, path: &Path) -> io::Result<usize> {
        let mut at = ROOT;
        for part in path.components() {
            match part {
                Component::RootDir | Component::CurDir => {}
                Component::Normal(name) => at = *self.folder(at)?.names.get(name).ok_or_else(no_such)?,
                Component::ParentDir | Component::Prefix(_) => {
                    return Err(io::Error::from(io::ErrorKind::InvalidInput));
                }
            }
        }
        Ok(at)
    }

    /// The folder that a path lies in, with its last name.
    pub(super) fn place(&self, path: &Path) -> io::Result<(usize, OsString)> {
        let name = path.file_name().ok_or_else(no_such)?.to_owned();
        Ok((self.find(path.parent().ok_or_else(no_such)?)?, name))
    }

    pub(super) fn node(&self, id: usize) -> &Node {
        &self.nodes[id]
    }

    pub(super) fn folder(&self, id: usize) -> io::Result<&Folder> {
        match &self.nodes[id] {
            Node::Folder(folder) => Ok(folder),
            Node::File(_) => Err(io::Error::from(io::ErrorKind::NotADirectory)),
        }
    }

    pub(super) fn file(&self, id: usize) -> io::Result<&File> {
        match &self.nodes[id] {
            Node::File(file) => Ok(file),
            Node::Folder(_) => Err(io::Error::from(io::ErrorKind::IsADirectory)),
        }
    }

    /// Makes a node of a name in a folder.
    pub(super) fn make(&mut self, (folder, name): (usize, OsString), node: Node) -> usize {
        let id = self.nodes.len();
        self.nodes.push(node);
        self.change(folder, vec![(name, Some(id))]);
        id
    }

    /// Changes names of a folder in one step.
    pub(super) fn change(&mut self, id: usize, change: Change) {
        if let Node::Folder(folder) = &mut self.nodes[id] {
            named(&mut folder.names, &change);
            folder.since.push(change);
        }
    }

    /// Writes bytes at a place in a file.
    pub(super) fn write(&mut self, id: usize, at: usize, bytes: &[u8]) {
        self.piece(
            id,
            Piece::Write {
                at,
                bytes: bytes.to_vec(),
            },
        );
    }

    /// Cuts a file to a length.
    pub(super) fn cut(&mut self, id: usize, length: usize) {
        self.piece(id, Piece::Cut(length));
    }

    fn piece(&mut self, id: usize, piece: Piece) {
        if let Node::File(file) = &mut self.nodes[id] {
            put(&mut file.written, &piece);
            file.since.push(piece);
        }
    }

    /// Makes the bytes of a file, or the names of a folder, last.
    pub(super) fn sync(&mut self, id: usize) {
        match &mut self.nodes[id] {
            Node::File(file) => {
                file.lasting.clone_from(&file.written);
                file.since.clear();
            }
            Node::Folder(folder) => {
                folder.lasting.clone_from(&folder.names);
                folder.since.clear();
            }
        }
    }

    /// All that is there lasts, as of a studio that was written long ago.
    pub fn settle(&mut self) {
        for id in 0..self.nodes.len() {
            self.sync(id);
        }
    }

    /// What is left when power fails now: the least for cut 0, the most for cut 1, by
    /// chance for all others.
    pub fn after_cut(&self, cut: u64) -> Moment {
        let mut chance = Chance::from(cut);
        let mut kept = |changes: usize| match cut {
            0 => (0, 0),
            1 => (changes, 0),
            _ => (chance.below(changes + 1), chance.below(4)),
        };
        let nodes = self.nodes.iter().map(|node| match node {
            Node::File(file) => {
                let (whole, torn) = kept(file.since.len());
                Node::File(file.after_cut(whole, torn))
            }
            Node::Folder(folder) => {
                let (whole, _) = kept(folder.since.len());
                let mut names = folder.lasting.clone();
                for change in &folder.since[..whole] {
                    named(&mut names, change);
                }
                Node::Folder(Folder {
                    names: names.clone(),
                    lasting: names,
                    since: Vec::new(),
                })
            }
        });
        Moment { nodes: nodes.collect() }
    }
}

impl File {
    /// With so many pieces kept whole, and of the next one half, its length, or nothing.
    fn after_cut(&self, whole: usize, torn: usize) -> File {
        let mut bytes = self.lasting.clone();
        for piece in &self.since[..whole] {
            put(&mut bytes, piece);
        }
        match (self.since.get(whole), torn) {
            (Some(Piece::Write { at, bytes: new }), 1) => put(
                &mut bytes,
                &Piece::Write {
                    at: *at,
                    bytes: new[..new.len() / 2].to_vec(),
                },
            ),
            // The length came before the bytes.
            (Some(Piece::Write { at, bytes: new }), 2) if at + new.len() > bytes.len() => {
                bytes.resize(at + new.len(), 0);
            }
            _ => {}
        }
        File {
            written: bytes.clone(),
            lasting: bytes,
            since: Vec::new(),
        }
    }
}

fn put(bytes: &mut Vec<u8>, piece: &Piece) {
    match piece {
        Piece::Write { at, bytes: new } => {
            if bytes.len() < at + new.len() {
                bytes.resize(at + new.len(), 0);
            }
            bytes[*at..at + new.len()].copy_from_slice(new);
        }
        Piece::Cut(length) => bytes.resize(*length, 0),
    }
}

fn named(names: &mut BTreeMap<OsString, usize>, change: &Change) {
    for (name, node) in change {
        match node {
            Some(id) => names.insert(name.clone(), *id),
            None => names.remove(name),
        };
    }
}
