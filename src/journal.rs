//! A job's journal: entries to bytes and back, the hash chain, recovery after
//! a crash, and the one writer.
//!
//! Invariants: an entry is one line, kept whole or not at all. A line is
//! confirmed only after its bytes are synced. After the first failed write or
//! sync the writer never writes again, because a later sync may report
//! success with nothing written. Recovery never rewrites existing bytes; it
//! cuts only what cannot be an entry, and keeps what it cut.
//!
//! What the chain shows: an altered, missing, repeated or moved entry in front
//! of an unaltered one. What it cannot show: a cut end, a last line altered
//! (it looks like a line torn by a power cut), or everything from an entry to
//! the end written anew. Those show only against a printed [`Head`], or when
//! the commands are decided again.
//!
//! What a sync cannot tell: after one has failed, bytes can still be read that
//! are not on the disk, and a later sync of them may report success (A.
//! Rebello and others, "Can Applications Recover from fsync Failures?", USENIX
//! ATC 2020). Only a restart of the machine shows what is there; the failure
//! says so.
//!
//! Below [`Ledger`] nothing knows what commands and events mean: there they are
//! JSON text. `wire` gives them their text, and [`Ledger`] folds them and holds
//! them against what the engine decides. The disk is touched only through
//! [`Storage`].

mod chain;
mod damage;
mod digest;
mod entry;
mod failure;
mod folder;
mod holder;
mod job_id;
mod ledger;
mod opening;
mod reading;
mod recovery;
mod stamp;
mod standing;
mod storage;
mod wire;
mod writer;

#[cfg(test)]
pub(crate) mod fault;
#[cfg(test)]
mod tests;

pub use damage::{Damage, Fault};
pub use digest::Digest;
use entry::FORMAT;
pub use entry::{Draft, Entry, MAX_LINE};
pub use failure::{Failure, exit};
pub use folder::{FileName, Folder};
pub use holder::{Holder, Lock};
pub use job_id::{DirId, JobId};
pub use ledger::{Agreement, Difference, Disagreement, Ledger, fold, signer};
pub use opening::{Beginning, Resumed, create, look, resume};
pub use reading::{Head, Opened, Reading, Tail, read};
pub use recovery::Removed;
pub use stamp::Stamp;
pub use standing::{Standing, Standings};
pub use storage::{Sink, Storage, copy_to, ensure_dir, replace};
pub use wire::{
    JOURNAL_FORMAT, NotUnderstood, Part, Pins, Told, at_of, pins, understand, write_command,
    write_events, write_open,
};
pub use writer::{KEPT_BYTES, RESERVE_BYTES, Writer};
