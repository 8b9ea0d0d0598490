//! Documents on disk, read whole.

use std::io::{self, Read, Write as _};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Reads a document.
///
/// # Errors
/// When the file can't be read, or is larger than any document may be.
pub fn read(path: &Path) -> io::Result<Vec<u8>> {
    const MOST: u64 = 16 * 1024 * 1024;
    let about = std::fs::metadata(path)?;
    if !about.is_file() {
        return Err(io::Error::new(
            io::ErrorKind::InvalidInput,
            "not a plain file",
        ));
    }
    if about.len() > MOST {
        return Err(io::Error::new(
            io::ErrorKind::FileTooLarge,
            "larger than 16 MiB",
        ));
    }
    let mut bytes = Vec::new();
    std::fs::File::open(path)?
        .take(MOST)
        .read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Writes a file whole, synced, with the directory it is in; one that is there is left
/// as it is unless `over`.
///
/// # Errors
/// When there is one already, or the disk refuses.
pub fn put(path: &Path, bytes: &[u8], over: bool) -> io::Result<()> {
    if let Some(dir) = path.parent() {
        // Where a plain file stands in the way, the system says no more than that
        // something is there.
        std::fs::create_dir_all(dir).map_err(|error| {
            if error.kind() == io::ErrorKind::AlreadyExists {
                let said = format!("{} is no directory", dir.display());
                return io::Error::new(io::ErrorKind::NotADirectory, said);
            }
            error
        })?;
    }
    let mut options = std::fs::OpenOptions::new();
    options.write(true).truncate(over);
    if over {
        options.create(true);
    } else {
        options.create_new(true);
    }
    let mut file = options.open(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// Does nothing for so long.
pub fn pause(ms: u64) {
    std::thread::sleep(Duration::from_millis(ms));
}

/// Every `.json` file of a directory, in order of names. A directory that is not
/// there has none; what can't be read is said.
pub fn documents(dir: &Path, said: &mut Vec<String>) -> Vec<(PathBuf, Vec<u8>)> {
    let entries = match std::fs::read_dir(dir) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Vec::new(),
        Err(error) => {
            said.push(format!("{} can't be read: {error}", dir.display()));
            return Vec::new();
        }
    };
    let mut paths: Vec<PathBuf> = entries
        .filter_map(Result::ok)
        .map(|e| e.path())
        .filter(|p| p.extension().is_some_and(|e| e == "json"))
        .collect();
    paths.sort();
    paths
        .into_iter()
        .filter_map(|path| match read(&path) {
            Ok(bytes) => Some((path, bytes)),
            Err(error) => {
                said.push(format!("{} can't be read: {error}", path.display()));
                None
            }
        })
        .collect()
}
