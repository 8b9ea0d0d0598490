//! Beginning a job, resuming one, and looking at one.

use std::io;
use std::path::Path;

use super::holder::hold;
use super::recovery::recover;
use super::storage::{storage, sync_parent};
use super::writer::{Confirmed, hold_reserve};
use super::{
    Damage, Draft, Entry, Failure, FileName, Folder, Head, Holder, JobId, Opened, Reading, Removed,
    Storage, Writer, copy_to, ensure_dir, read,
};

/// What a job begins with.
#[derive(Debug, Clone, Copy)]
pub struct Beginning<'a> {
    /// The directory of all jobs, or of all practice jobs.
    pub parent: &'a Path,
    /// Who holds the job.
    pub holder: &'a Holder,
    /// The exact bytes of its documents.
    pub documents: &'a [(FileName, Vec<u8>)],
}

/// How often an id that is already taken is drawn anew. With 40 random bits a
/// second draw means that something is wrong with the randomness.
const DRAWS: u32 = 8;

/// Begins a job: its directory, its documents, its first entry. When this
/// returns all of it is safe. A first entry that cannot be written is refused
/// before anything is made.
pub fn create(
    disk: &dyn Storage,
    beginning: &Beginning<'_>,
    draw: &mut dyn FnMut() -> Result<JobId, Failure>,
    first: &mut dyn FnMut(&JobId) -> Draft,
) -> Result<(JobId, Writer), Failure> {
    let mut taken = None;
    for _ in 0..DRAWS {
        let id = draw()?;
        let (line, hash) = Entry::new(0, &first(&id)).line(super::Digest::NOTHING)?;
        let folder = Folder::new(beginning.parent, &id);
        ensure_dir(disk, beginning.parent)?;
        match disk.make_dir(folder.path()) {
            Err(source) if source.kind() == io::ErrorKind::AlreadyExists => {
                taken = Some(folder);
                continue;
            }
            made => made.map_err(storage("create", folder.path()))?,
        }
        let head = Head { count: 1, hash };
        return Ok((id, fill(disk, beginning, folder, &line, head)?));
    }
    Err(Failure::Taken {
        path: taken.map_or_else(
            || beginning.parent.to_owned(),
            |folder| folder.path().to_owned(),
        ),
    })
}

/// The journal comes last: without it there is no job.
fn fill(
    disk: &dyn Storage,
    beginning: &Beginning<'_>,
    folder: Folder,
    line: &str,
    head: Head,
) -> Result<Writer, Failure> {
    sync_parent(disk, folder.path())?;
    let lock = hold(disk, &folder, beginning.holder)?;
    let documents = folder.documents();
    disk.make_dir(&documents)
        .map_err(storage("create", &documents))?;
    for (name, bytes) in beginning.documents {
        copy_to(disk, &folder.document(name), bytes)?;
    }
    hold_reserve(disk, &folder)?;
    let path = folder.journal();
    let mut sink = disk.create_new(&path).map_err(storage("create", &path))?;
    sink.write_all(line.as_bytes())
        .map_err(storage("write", &path))?;
    sink.sync_all().map_err(storage("sync", &path))?;
    sync_parent(disk, &path)?;
    let mut confirmed = Confirmed::default();
    confirmed.take(line.as_bytes());
    Ok(Writer::new(folder, sink, confirmed, head, lock))
}

/// A job taken up again.
#[derive(Debug)]
pub struct Resumed {
    /// Goes on where the journal ends.
    pub writer: Writer,
    /// What was cut from the end and has no entry yet. If there is any, the
    /// first thing to append is a `recovered` entry that names it.
    pub removed: Vec<Removed>,
    /// Whether space is kept for a safe stop; if not, the disk is nearly full.
    pub has_reserve: bool,
}

/// Takes up a job: holds it, reads it, cuts a torn end, makes safe what was
/// read. Each whole entry is handed to `each` as it is read; before this returns
/// none of them is safe.
///
/// # Errors
///
/// `Held`, `NoJob`, `Damaged`, `Storage`; after any of them the journal's whole
/// entries are as they were, and another try gives the same.
pub fn resume(
    disk: &dyn Storage,
    folder: Folder,
    holder: &Holder,
    each: &mut dyn FnMut(Entry),
) -> Result<Resumed, Failure> {
    let path = folder.journal();
    if !disk.exists(&path).map_err(storage("look at", &path))? {
        return Err(Failure::NoJob {
            path: folder.path().to_owned(),
        });
    }
    let lock = hold(disk, &folder, holder)?;
    let mut reading = Reading::open(disk, &folder)?;
    let mut confirmed = Confirmed::default();
    while let Some(entry) = reading.next_entry()? {
        confirmed.take_read(reading.line());
        each(entry);
    }
    let head = reading.head();
    if head == Head::EMPTY {
        return Err(Failure::NoJob {
            path: folder.path().to_owned(),
        });
    }
    let removed = recover(disk, &folder, &reading)?;
    let has_reserve = hold_reserve(disk, &folder).is_ok();
    let sink = disk.append(&path).map_err(storage("open", &path))?;
    let writer = Writer::new(folder, sink, confirmed, head, lock);
    Ok(Resumed {
        writer,
        removed,
        has_reserve,
    })
}

/// Reads a whole job at once, without holding or changing it.
pub fn look(disk: &dyn Storage, folder: &Folder) -> Result<Opened, Failure> {
    let path = folder.journal();
    let no_job = || Failure::NoJob {
        path: folder.path().to_owned(),
    };
    let bytes = disk.read(&path).map_err(|source| {
        if source.kind() == io::ErrorKind::NotFound {
            no_job()
        } else {
            storage("read", &path)(source)
        }
    })?;
    let damaged = |damage: Box<Damage>| Failure::Damaged {
        path: path.clone(),
        damage,
    };
    let opened = read(&bytes).map_err(damaged)?;
    if opened.entries.is_empty() {
        Err(no_job())
    } else {
        Ok(opened)
    }
}
