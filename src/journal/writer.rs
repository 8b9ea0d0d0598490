//! The one that appends: a line, a sync, and only then a confirmation.

use std::borrow::Cow;
use std::io;
use std::path::Path;

use super::storage::{storage, sync_parent};
use super::{
    Draft, Entry, Failure, Folder, Head, Lock, Reading, Sink, Storage, Tail, copy_to, replace,
};

/// Size of the file kept to be freed on a full disk: enough for a status sheet
/// and a copy of a long journal's end. Our choice.
pub const RESERVE_BYTES: usize = 256 * 1024;

/// The most bytes of confirmed lines that are kept in memory, so that a copy can
/// be saved when the disk gives nothing back: some 1,400 entries. A longer
/// journal is read back from its disk for a copy. Our choice.
pub const KEPT_BYTES: usize = 1024 * 1024;

/// The confirmed lines: their length, and their bytes while they are few.
#[derive(Debug)]
pub(super) struct Confirmed {
    len: u64,
    kept: Option<Vec<u8>>,
}

impl Default for Confirmed {
    fn default() -> Self {
        Self {
            len: 0,
            kept: Some(Vec::new()),
        }
    }
}

impl Confirmed {
    /// Takes the next line, with its newline.
    pub(super) fn take(&mut self, line: &[u8]) {
        self.len += line.len() as u64;
        if let Some(kept) = &mut self.kept {
            if kept.len() + line.len() > KEPT_BYTES {
                self.kept = None;
            } else {
                kept.extend_from_slice(line);
            }
        }
    }

    /// Takes a line as it was read; a newline that is missing is put in place
    /// before anything is confirmed.
    pub(super) fn take_read(&mut self, line: &[u8]) {
        self.take(line.strip_suffix(b"\n").unwrap_or(line));
        self.take(b"\n");
    }
}

/// Appends to one job's journal. After the first failed write or sync it
/// refuses everything, for ever: a later sync could report success with
/// nothing written.
#[derive(Debug)]
pub struct Writer {
    folder: Folder,
    sink: Box<dyn Sink>,
    confirmed: Confirmed,
    head: Head,
    broken: Option<(io::ErrorKind, String)>,
    _lock: Lock,
}

impl Writer {
    /// `confirmed` are the journal's synced lines, all of them whole, and
    /// `head` their head.
    pub(super) fn new(
        folder: Folder,
        sink: Box<dyn Sink>,
        confirmed: Confirmed,
        head: Head,
        lock: Lock,
    ) -> Self {
        Self {
            folder,
            sink,
            confirmed,
            head,
            broken: None,
            _lock: lock,
        }
    }

    /// Appends an entry; when this returns its number and hash are on disk.
    ///
    /// # Errors
    ///
    /// `TooLong` and `Unwritable`: nothing was written, the writer goes on.
    /// `NotSafe`: the record is not safe, now and at every later call.
    pub fn append(&mut self, draft: &Draft) -> Result<Head, Failure> {
        if self.broken.is_some() {
            return Err(self.not_safe());
        }
        let entry = Entry::new(self.head.count, draft);
        let (line, hash) = entry.line(self.head.hash)?;
        let written = self
            .sink
            .write_all(line.as_bytes())
            .and_then(|()| self.sink.sync_data());
        if let Err(error) = written {
            self.broken = Some((error.kind(), error.to_string()));
            return Err(self.not_safe());
        }
        self.confirmed.take(line.as_bytes());
        self.head = Head {
            count: self.head.count + 1,
            hash,
        };
        Ok(self.head)
    }

    fn not_safe(&self) -> Failure {
        let (kind, reason) = self
            .broken
            .clone()
            .unwrap_or((io::ErrorKind::Other, String::new()));
        Failure::NotSafe {
            path: self.folder.journal(),
            confirmed: self.head.count,
            kind,
            reason,
        }
    }

    /// Count and last hash of what is confirmed: print them.
    pub fn head(&self) -> Head {
        self.head
    }

    /// Whether entries can still be confirmed.
    pub fn is_safe(&self) -> bool {
        self.broken.is_none()
    }

    /// The job's directory.
    pub fn folder(&self) -> &Folder {
        &self.folder
    }

    /// The bytes of every confirmed line. Up to [`KEPT_BYTES`] they are in
    /// memory; of a longer journal they are read back from its disk and held
    /// against the head.
    ///
    /// # Errors
    /// `Storage` and `Damaged`, for a longer journal: the disk does not give
    /// back what was confirmed.
    pub fn confirmed(&self, disk: &dyn Storage) -> Result<Cow<'_, [u8]>, Failure> {
        if let Some(kept) = &self.confirmed.kept {
            return Ok(Cow::Borrowed(kept));
        }
        let path = self.folder.journal();
        let mut bytes = disk.read(&path).map_err(storage("read back", &path))?;
        // After a failed append there may be more than was confirmed.
        bytes.truncate(usize::try_from(self.confirmed.len).unwrap_or(usize::MAX));
        let mut reading = Reading::of(path.clone(), Box::new(bytes.as_slice()));
        while reading.next_entry()?.is_some() {}
        let same = (reading.head(), reading.tail()) == (self.head, Tail::Whole);
        drop(reading);
        if same {
            Ok(Cow::Owned(bytes))
        } else {
            let other = io::Error::other("what it gives is not what was confirmed");
            Err(storage("read back", &path)(other))
        }
    }

    /// Saves every confirmed line to a new file elsewhere, synced. Refuses to
    /// overwrite. `own` is the disk with the journal, `disk` the one for the copy.
    ///
    /// # Errors
    /// As [`Writer::confirmed`], and when the other place is taken or refuses.
    pub fn save_copy(
        &self,
        own: &dyn Storage,
        disk: &dyn Storage,
        path: &Path,
    ) -> Result<(), Failure> {
        copy_to(disk, path, &self.confirmed(own)?)
    }

    /// Replaces the status sheet. On a full disk the reserve is freed for it.
    pub fn write_sheet(&self, disk: &dyn Storage, text: &str) -> Result<(), Failure> {
        let path = self.folder.status();
        match replace(disk, &path, text.as_bytes()) {
            Err(Failure::Storage { source, .. }) if is_full(&source) => {
                free_reserve(disk, &self.folder)?;
                replace(disk, &path, text.as_bytes())
            }
            written => written,
        }
    }
}

fn is_full(error: &io::Error) -> bool {
    matches!(
        error.kind(),
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded
    )
}

/// Puts the reserve in place if it is not there. Its bytes are real and do
/// not compress, so that the disk cannot promise space it has not got.
pub(super) fn hold_reserve(disk: &dyn Storage, folder: &Folder) -> Result<(), Failure> {
    let path = folder.reserve();
    if disk.exists(&path).map_err(storage("look at", &path))? {
        return Ok(());
    }
    replace(disk, &path, &noise(RESERVE_BYTES))
}

fn free_reserve(disk: &dyn Storage, folder: &Folder) -> Result<(), Failure> {
    let path = folder.reserve();
    match disk.remove(&path) {
        Err(source) if source.kind() == io::ErrorKind::NotFound => Ok(()),
        removed => removed.map_err(storage("remove", &path)),
    }?;
    sync_parent(disk, &path)
}

/// Bytes without a pattern: the xorshift generator of G. Marsaglia, "Xorshift
/// RNGs", Journal of Statistical Software 8 (2003), shifts 13, 7, 17 (from
/// memory; nothing depends on its quality).
fn noise(len: usize) -> Vec<u8> {
    let mut state = 0x9E37_79B9_7F4A_7C15_u64;
    let mut next = || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        state.to_le_bytes()[0]
    };
    (0..len).map(|_| next()).collect()
}
