//! One writer a job: a locked file, and a note beside it that says who.

use std::any::Any;
use std::fmt;

use serde::{Deserialize, Serialize};

use super::storage::storage;
use super::{Failure, Folder, Storage, replace};

/// Who holds a job.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Holder {
    /// Process number on its machine.
    pub pid: u32,
    /// The person.
    pub who: String,
    /// Since when, as RFC 3339.
    pub since: String,
    /// The machine's name, where it is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub host: Option<String>,
}

impl fmt::Display for Holder {
    /// The note is a file that anyone may have written: shown without control
    /// characters.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            pid,
            who,
            since,
            host,
        } = self;
        write!(
            f,
            "{}, since {}, process {pid}",
            who.escape_debug(),
            since.escape_debug()
        )?;
        host.as_ref()
            .map_or(Ok(()), |host| write!(f, " on {}", host.escape_debug()))
    }
}

/// A job held: nobody else can until this is dropped.
pub struct Lock {
    _held: Box<dyn Any + Send>,
}

impl fmt::Debug for Lock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Lock")
    }
}

/// Takes the job, or says who has it. In the instant between lock and note the
/// note still names the holder before.
pub(super) fn hold(disk: &dyn Storage, folder: &Folder, holder: &Holder) -> Result<Lock, Failure> {
    let path = folder.lock();
    let Some(held) = disk.lock(&path).map_err(storage("lock", &path))? else {
        return Err(Failure::Held {
            path: folder.path().to_owned(),
            holder: who(disk, folder),
        });
    };
    let note = serde_json::to_vec(holder).map_err(|_never| Failure::Unwritable {
        what: "the holder of the job is not text",
    })?;
    replace(disk, &folder.holder(), &note)?;
    Ok(Lock { _held: held })
}

/// The note beside the lock; `None` if it cannot be read.
fn who(disk: &dyn Storage, folder: &Folder) -> Option<Holder> {
    serde_json::from_slice(&disk.read(&folder.holder()).ok()?).ok()
}
