//! Documents on disk, read whole.
#![expect(
    clippy::disallowed_methods,
    reason = "this is where documents are read"
)]

use std::io;
use std::path::{Path, PathBuf};

/// Reads a document.
///
/// # Errors
/// When the file can't be read, or is larger than any document may be.
pub fn read(path: &Path) -> io::Result<Vec<u8>> {
    const MOST: u64 = 16 * 1024 * 1024;
    let size = std::fs::metadata(path)?.len();
    if size > MOST {
        return Err(io::Error::new(
            io::ErrorKind::FileTooLarge,
            "larger than 16 MiB",
        ));
    }
    std::fs::read(path)
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
