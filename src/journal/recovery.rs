//! What opening a job does to the disk: the torn end is kept aside and cut,
//! and what was read is made safe before anyone is told of it.
//!
//! It can be cut short at any call and begun again, with the same result: the
//! bytes aside have their final name only when they are whole and safe, and
//! only then is the journal cut. A name carries the offset at which its bytes
//! began, so bytes that no `recovered` entry follows yet are still found.

use super::storage::{storage, sync_parent};
use super::{Digest, Failure, Folder, Opened, Storage, Tail, replace};

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
/// Returns its bytes, and what was removed at this end and has no entry yet.
pub(super) fn recover(
    disk: &dyn Storage,
    folder: &Folder,
    mut bytes: Vec<u8>,
    opened: &Opened,
) -> Result<(Vec<u8>, Vec<Removed>), Failure> {
    let path = folder.journal();
    match opened.tail {
        Tail::Torn { offset, .. } => {
            let torn = bytes.split_off(
                usize::try_from(offset)
                    .unwrap_or(usize::MAX)
                    .min(bytes.len()),
            );
            keep_aside(disk, folder, offset, &torn)?;
            let mut file = disk.amend(&path).map_err(storage("open", &path))?;
            file.cut(offset).map_err(storage("cut", &path))?;
            file.sync_all().map_err(storage("sync", &path))?;
        }
        Tail::NewlineMissing => {
            let mut file = disk.append(&path).map_err(storage("open", &path))?;
            file.write_all(b"\n").map_err(storage("write", &path))?;
            file.sync_all().map_err(storage("sync", &path))?;
            bytes.push(b'\n');
        }
        // A program killed between write and sync leaves a line that can be
        // read and is not yet safe.
        Tail::Whole => {
            let mut file = disk.append(&path).map_err(storage("open", &path))?;
            file.sync_all().map_err(storage("sync", &path))?;
        }
    }
    sync_parent(disk, &path)?;
    let removed = removed_at(disk, folder, bytes.len() as u64)?;
    Ok((bytes, removed))
}

/// Keeps the torn bytes in a numbered file of their own, unless an earlier try
/// has done so already.
fn keep_aside(
    disk: &dyn Storage,
    folder: &Folder,
    offset: u64,
    torn: &[u8],
) -> Result<(), Failure> {
    let digest = Digest::of(torn);
    let there = removed_at(disk, folder, offset)?;
    if there.iter().any(|removed| removed.digest == digest) {
        // The name may not be safe yet.
        return sync_parent(disk, &folder.journal());
    }
    let last = numbers(disk, folder)?
        .map(|(number, _)| number)
        .max()
        .unwrap_or(0);
    replace(disk, &folder.path().join(name(last + 1, offset)), torn)
}

/// What lies aside that began at `offset`.
fn removed_at(disk: &dyn Storage, folder: &Folder, offset: u64) -> Result<Vec<Removed>, Failure> {
    numbers(disk, folder)?
        .filter(|(_, at)| *at == offset)
        .map(|(number, _)| {
            let file = name(number, offset);
            let path = folder.path().join(&file);
            let bytes = disk.read(&path).map_err(storage("read", &path))?;
            Ok(Removed {
                file,
                offset,
                len: bytes.len() as u64,
                digest: Digest::of(&bytes),
            })
        })
        .collect()
}

fn name(number: u32, offset: u64) -> String {
    format!("torn-{number:03}-at-{offset}.bytes")
}

/// Number and offset of every file of torn bytes.
fn numbers(
    disk: &dyn Storage,
    folder: &Folder,
) -> Result<impl Iterator<Item = (u32, u64)>, Failure> {
    let names = disk
        .list(folder.path())
        .map_err(storage("list", folder.path()))?;
    Ok(names.into_iter().filter_map(|found| {
        let inner = found.strip_prefix("torn-")?.strip_suffix(".bytes")?;
        let (number, offset) = inner.split_once("-at-")?;
        let (number, offset) = (number.parse().ok()?, offset.parse().ok()?);
        (name(number, offset) == found).then_some((number, offset))
    }))
}
