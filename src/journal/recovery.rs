//! What opening a job does to the disk: the torn end is kept aside and cut,
//! and what was read is made safe before anyone is told of it.
//!
//! It can be cut short at any call and begun again, with the same result: the
//! bytes aside have their final name only when they are whole and safe, and
//! only then is the journal cut. A name carries the offset at which its bytes
//! began, so bytes that no `recovered` entry follows yet are still found.

use super::storage::{storage, sync_parent};
use super::{Digest, Failure, Folder, Reading, Storage, Tail, replace};

/// Bytes cut from the end of a journal and kept beside it: what a `recovered`
/// entry has to say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Removed {
    /// The file that holds them, in the job's directory.
    pub file: String,
    /// Where in the journal they began.
    pub offset: u64,
    /// How many.
    pub len: u64,
    /// Their SHA-256.
    pub digest: Digest,
}

/// Makes the journal end after a whole line, with everything in it safe.
/// Returns what was removed at this end and has no entry yet. `read` is the
/// journal read to its end.
pub(super) fn recover(
    disk: &dyn Storage,
    folder: &Folder,
    read: &Reading<'_>,
) -> Result<Vec<Removed>, Failure> {
    let path = folder.journal();
    let mut end = read.end();
    // Each step is safe before the next begins.
    if let Tail::Torn { offset, .. } = read.tail() {
        keep_aside(disk, folder, offset, read.torn())?;
        let mut file = disk.amend(&path).map_err(storage("open", &path))?;
        file.cut(offset).map_err(storage("cut", &path))?;
        file.sync_all().map_err(storage("sync", &path))?;
    }
    let mut file = disk.append(&path).map_err(storage("open", &path))?;
    if read.lacks_newline() {
        file.write_all(b"\n").map_err(storage("write", &path))?;
        end += 1;
    }
    // Also when nothing was torn: a program killed between write and sync
    // leaves a line that can be read and is not yet safe.
    file.sync_all().map_err(storage("sync", &path))?;
    sync_parent(disk, &path)?;
    pending(disk, folder, end)
}

/// Keeps the torn bytes in a numbered file of their own, unless an earlier try
/// has done so already and lost at most a part of them since.
fn keep_aside(
    disk: &dyn Storage,
    folder: &Folder,
    offset: u64,
    torn: &[u8],
) -> Result<(), Failure> {
    let all = numbers(disk, folder)?;
    for (number, at) in &all {
        if *at == offset && aside(disk, folder, *number, offset)?.starts_with(torn) {
            // The name may not be safe yet.
            return sync_parent(disk, &folder.journal());
        }
    }
    let last = all.last().map_or(0, |(number, _)| *number);
    replace(disk, &folder.path().join(name(last + 1, offset)), torn)
}

/// What lies aside and has no entry after it: it began where the journal now
/// ends, or where its last newline now stands.
fn pending(disk: &dyn Storage, folder: &Folder, end: u64) -> Result<Vec<Removed>, Failure> {
    let removed = |(number, offset)| {
        let bytes = aside(disk, folder, number, offset)?;
        Ok(Removed {
            file: name(number, offset),
            offset,
            len: bytes.len() as u64,
            digest: Digest::of(&bytes),
        })
    };
    let all = numbers(disk, folder)?;
    all.into_iter()
        .filter(|(_, at)| *at == end || at + 1 == end)
        .map(removed)
        .collect()
}

fn aside(
    disk: &dyn Storage,
    folder: &Folder,
    number: u32,
    offset: u64,
) -> Result<Vec<u8>, Failure> {
    let path = folder.path().join(name(number, offset));
    disk.read(&path).map_err(storage("read", &path))
}

fn name(number: u32, offset: u64) -> String {
    format!("torn-{number:03}-at-{offset}.bytes")
}

/// Number and offset of every file of torn bytes, in order.
fn numbers(disk: &dyn Storage, folder: &Folder) -> Result<Vec<(u32, u64)>, Failure> {
    let names = disk
        .list(folder.path())
        .map_err(storage("list", folder.path()))?;
    let mut numbers: Vec<(u32, u64)> = names.iter().filter_map(|found| number_of(found)).collect();
    numbers.sort_unstable();
    Ok(numbers)
}

fn number_of(found: &str) -> Option<(u32, u64)> {
    let inner = found.strip_prefix("torn-")?.strip_suffix(".bytes")?;
    let (number, offset) = inner.split_once("-at-")?;
    let (number, offset) = (number.parse().ok()?, offset.parse().ok()?);
    // The name of a name read back: no other spelling counts.
    (name(number, offset) == found).then_some((number, offset))
}
