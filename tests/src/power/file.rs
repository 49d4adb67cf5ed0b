//! An open file of the simulated disk.

use std::fs::{Permissions, TryLockError};
use std::io::{self, Read, Seek, SeekFrom, Write};

use glost_studio::{About, DiskFile};

use super::disk::SimulatedDisk;
use super::state::Refusal;

/// An open file; its name may be gone.
#[derive(Debug)]
pub(super) struct OpenFile {
    disk: SimulatedDisk,
    id: usize,
    at: u64,
    at_end: bool,
}

impl OpenFile {
    pub fn new(disk: SimulatedDisk, id: usize, at_end: bool) -> OpenFile {
        OpenFile {
            disk,
            id,
            at: 0,
            at_end,
        }
    }

    fn length(&self) -> io::Result<u64> {
        Ok(self.disk.held().now.file(self.id)?.written.len() as u64)
    }
}

impl Read for OpenFile {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let held = self.disk.held();
        let bytes = &held.now.file(self.id)?.written;
        let rest = bytes.get(self.at as usize..).unwrap_or_default();
        let read = rest.len().min(buffer.len());
        buffer[..read].copy_from_slice(&rest[..read]);
        drop(held);
        self.at += read as u64;
        Ok(read)
    }
}

impl Seek for OpenFile {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        let from = |start: u64, by: i64| {
            start
                .checked_add_signed(by)
                .ok_or_else(|| io::Error::from(io::ErrorKind::InvalidInput))
        };
        self.at = match to {
            SeekFrom::Start(at) => at,
            SeekFrom::End(by) => from(self.length()?, by)?,
            SeekFrom::Current(by) => from(self.at, by)?,
        };
        Ok(self.at)
    }
}

impl Write for OpenFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.at_end {
            self.at = self.length()?;
        }
        let mut held = self.disk.held();
        let refused = held.call().err();
        let taken = match refused {
            None => bytes.len(),
            Some(Refusal::Full | Refusal::Short) => bytes.len() / 2,
            Some(Refusal::Broken | Refusal::Interrupted) => 0,
        };
        if taken > 0 {
            held.now.write(self.id, self.at as usize, &bytes[..taken]);
            held.remember();
        }
        drop(held);
        self.at += taken as u64;
        match refused {
            None => Ok(taken),
            // Half of one byte is none: a short write of nothing would read as a full disk.
            Some(Refusal::Short) if taken > 0 => Ok(taken),
            Some(how) => Err(how.error()),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl DiskFile for OpenFile {
    fn about(&self) -> io::Result<About> {
        Ok(self.disk.held().about(self.id))
    }

    fn sync(&mut self) -> io::Result<()> {
        let mut held = self.disk.held();
        held.call().map_err(Refusal::error)?;
        held.now.sync(self.id);
        held.remember();
        Ok(())
    }

    fn cut_to(&mut self, bytes: u64) -> io::Result<()> {
        let mut held = self.disk.held();
        held.call().map_err(Refusal::error)?;
        held.now.cut(self.id, bytes as usize);
        held.remember();
        Ok(())
    }

    fn allow(&mut self, _: &Permissions) -> io::Result<()> {
        Ok(())
    }

    fn try_lock(&mut self) -> Result<(), TryLockError> {
        Ok(())
    }

    fn try_lock_shared(&mut self) -> Result<(), TryLockError> {
        Ok(())
    }
}
