//! The disk as the journal sees it: few calls, each of which can fail or be
//! the last before a power cut.
//!
//! The real one is `io::Disk`; tests run on one in memory that loses, tears
//! and refuses. Built on it: whole new files, and files replaced whole.

use std::any::Any;
use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

use super::Failure;

/// A disk. Nothing is safe against a power cut before it is synced; a new,
/// renamed or removed name is safe only after its directory is.
pub trait Storage: fmt::Debug + Send + Sync {
    /// The whole of a file.
    fn read(&self, path: &Path) -> io::Result<Vec<u8>>;
    /// A file, to be read from its beginning piece by piece.
    fn open(&self, path: &Path) -> io::Result<Box<dyn io::Read>>;
    /// The names in a directory, sorted; names that are not Unicode are left out.
    fn list(&self, dir: &Path) -> io::Result<Vec<String>>;
    /// A new directory; `AlreadyExists` if there is one.
    fn make_dir(&self, dir: &Path) -> io::Result<()>;
    /// Whether anything stands at this path.
    fn exists(&self, path: &Path) -> io::Result<bool>;
    /// A new file that takes bytes at its end; `AlreadyExists` if there is one.
    fn create_new(&self, path: &Path) -> io::Result<Box<dyn Sink>>;
    /// An existing file, opened so that every write goes to its end.
    fn append(&self, path: &Path) -> io::Result<Box<dyn Sink>>;
    /// An existing file, opened so that it can be cut.
    fn amend(&self, path: &Path) -> io::Result<Box<dyn Sink>>;
    /// Gives a file another name, in place of whatever had it.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Removes a file.
    fn remove(&self, path: &Path) -> io::Result<()>;
    /// Makes the names in a directory safe. Does nothing where the platform
    /// cannot (Windows).
    fn sync_dir(&self, dir: &Path) -> io::Result<()>;
    /// An exclusive lock on a file, made if need be, held until the value is
    /// dropped; `None` if another holds it.
    fn lock(&self, path: &Path) -> io::Result<Option<Box<dyn Any + Send>>>;
}

/// An open file that takes bytes.
pub trait Sink: fmt::Debug + Send {
    /// Writes all of `bytes`. After an error some of them may be there.
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()>;
    /// Makes the bytes and the length safe.
    fn sync_data(&mut self) -> io::Result<()>;
    /// Makes the bytes and everything else about the file safe.
    fn sync_all(&mut self) -> io::Result<()>;
    /// Cuts the file to `len` bytes.
    fn cut(&mut self, len: u64) -> io::Result<()>;
}

/// Says what was being done to which path when the disk refused.
pub(super) fn storage<'a>(
    doing: &'static str,
    path: &'a Path,
) -> impl FnOnce(io::Error) -> Failure + 'a {
    move |source| Failure::Storage {
        doing,
        path: path.to_owned(),
        source,
    }
}

/// Writes a whole new file and makes it and its name safe. Refuses to
/// overwrite: [`Failure::Taken`].
pub fn copy_to(disk: &dyn Storage, path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let mut file = disk.create_new(path).map_err(|source| {
        if source.kind() == io::ErrorKind::AlreadyExists {
            Failure::Taken {
                path: path.to_owned(),
            }
        } else {
            storage("create", path)(source)
        }
    })?;
    file.write_all(bytes).map_err(storage("write", path))?;
    file.sync_all().map_err(storage("sync", path))?;
    sync_parent(disk, path)
}

/// Replaces a file whole: after a power cut there is the old one or the new
/// one, never a part of either.
pub fn replace(disk: &dyn Storage, path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let part = part_of(path);
    // Always a fresh file: one whose sync failed may never be safe again.
    match disk.remove(&part) {
        Err(source) if source.kind() == io::ErrorKind::NotFound => Ok(()),
        removed => removed.map_err(storage("remove", &part)),
    }?;
    let mut file = disk.create_new(&part).map_err(storage("create", &part))?;
    file.write_all(bytes).map_err(storage("write", &part))?;
    file.sync_all().map_err(storage("sync", &part))?;
    // Windows does not rename an open file.
    drop(file);
    disk.rename(&part, path).map_err(storage("rename", &part))?;
    sync_parent(disk, path)
}

/// Makes a directory and whatever is missing above it, and their names safe.
pub fn ensure_dir(disk: &dyn Storage, dir: &Path) -> Result<(), Failure> {
    if dir.as_os_str().is_empty() {
        return Ok(());
    }
    if disk.exists(dir).map_err(storage("look at", dir))? {
        return sync_found(disk, dir);
    }
    if let Some(parent) = dir.parent() {
        ensure_dir(disk, parent)?;
    }
    match disk.make_dir(dir) {
        // Another program was quicker: what is wanted is there.
        Err(source) if source.kind() == io::ErrorKind::AlreadyExists => Ok(()),
        made => made.map_err(storage("create", dir)),
    }?;
    sync_parent(disk, dir)
}

/// A program killed right after it made `dir` left the name unsynced. Levels
/// are made from the top and synced one by one, so only the deepest can be so.
fn sync_found(disk: &dyn Storage, dir: &Path) -> Result<(), Failure> {
    match sync_parent(disk, dir) {
        // A directory above that may not be read is not one of ours.
        Err(Failure::Storage { source, .. })
            if source.kind() == io::ErrorKind::PermissionDenied =>
        {
            Ok(())
        }
        synced => synced,
    }
}

/// Makes the name of `path` safe.
pub(super) fn sync_parent(disk: &dyn Storage, path: &Path) -> Result<(), Failure> {
    match path.parent() {
        Some(dir) if !dir.as_os_str().is_empty() => {
            disk.sync_dir(dir).map_err(storage("sync", dir))
        }
        Some(_) => disk
            .sync_dir(Path::new("."))
            .map_err(storage("sync", Path::new("."))),
        None => Ok(()),
    }
}

fn part_of(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".part");
    PathBuf::from(name)
}
