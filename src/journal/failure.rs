//! What can go wrong between the program and the disk: what was found, where,
//! and the way out; and the exit codes of the program.

use std::error::Error;
use std::fmt;
use std::io;
use std::path::PathBuf;

use super::{Damage, Holder, MAX_LINE};

/// The program's exit codes.
pub mod exit {
    /// Done, and nothing found.
    pub const OK: u8 = 0;
    /// Findings in a document, or a record that did not verify.
    pub const FINDINGS: u8 = 1;
    /// Wrong usage or bad input.
    pub const USAGE: u8 = 2;
    /// The disk refused: nothing more was written.
    pub const STORAGE: u8 = 3;
    /// A record is damaged; the job does not continue.
    pub const DAMAGED: u8 = 4;
    /// Another program holds the job.
    pub const HELD: u8 = 5;
    /// A fault of this program.
    pub const INTERNAL: u8 = 70;
}

/// A failure of storage, or of what was asked of it. `Display` says what was
/// found and then what to do.
#[derive(Debug)]
pub enum Failure {
    /// The disk refused before anything of a job depended on it.
    Storage {
        /// What was being done, as "read", "create", "sync".
        doing: &'static str,
        /// The file or directory.
        path: PathBuf,
        /// The operating system's word for it.
        source: io::Error,
    },
    /// An entry's write or sync failed. The writer writes nothing more, ever.
    NotSafe {
        /// The journal.
        path: PathBuf,
        /// How many entries are confirmed on disk.
        confirmed: u64,
        /// Kind of the first error.
        kind: io::ErrorKind,
        /// The operating system's word for the first error.
        reason: String,
    },
    /// The record is damaged in front of a valid entry.
    Damaged {
        /// The journal.
        path: PathBuf,
        /// Where, and what was found.
        damage: Box<Damage>,
    },
    /// Another program holds the job.
    Held {
        /// The job's directory.
        path: PathBuf,
        /// Who holds it, if that can be read.
        holder: Option<Holder>,
    },
    /// Another program is releasing a document.
    Releasing {
        /// The lock.
        path: PathBuf,
    },
    /// The list of releases is damaged; nothing is added to it.
    ReleasesDamaged {
        /// The list.
        path: PathBuf,
        /// Which line, and what is wrong with it.
        what: String,
    },
    /// There is no whole first entry: no job was ever begun here.
    NoJob {
        /// The job's directory.
        path: PathBuf,
    },
    /// The place to write to is already taken.
    Taken {
        /// The file or directory.
        path: PathBuf,
    },
    /// An entry longer than a line may be; nothing was written.
    TooLong {
        /// Length the line would have had, in bytes.
        bytes: usize,
    },
    /// An entry that cannot be written as a line; nothing was written.
    Unwritable {
        /// Which member, and why.
        what: &'static str,
    },
    /// Not a job's id.
    BadJobId {
        /// What was given.
        typed: String,
    },
    /// Not a name for a job's document.
    BadFileName {
        /// What was given.
        typed: String,
    },
    /// The platform names no home or data directory.
    NoHome,
    /// The system gave no random numbers.
    NoRandomness {
        /// The operating system's word for it.
        reason: String,
    },
}

impl Failure {
    /// The program's exit code for this failure; see [`exit`].
    pub fn exit_code(&self) -> u8 {
        match self {
            Self::Storage { .. } | Self::NotSafe { .. } | Self::NoRandomness { .. } => {
                exit::STORAGE
            }
            Self::Damaged { .. } | Self::ReleasesDamaged { .. } => exit::DAMAGED,
            Self::Held { .. } | Self::Releasing { .. } => exit::HELD,
            Self::NoJob { .. }
            | Self::Taken { .. }
            | Self::BadJobId { .. }
            | Self::BadFileName { .. }
            | Self::TooLong { .. }
            | Self::NoHome => exit::USAGE,
            Self::Unwritable { .. } => exit::INTERNAL,
        }
    }

    /// What to do about it.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Storage { source, .. } if source.kind() == io::ErrorKind::StorageFull => {
                "Free some space on this disk, then try again."
            }
            Self::Storage { source, .. } if source.kind() == io::ErrorKind::PermissionDenied => {
                "Check who owns the directory, or name another one with --data."
            }
            Self::Storage { .. } => {
                "Check the disk and the path, or name another directory with --data."
            }
            Self::NotSafe { .. } => {
                "Make the truck safe. Save a copy to another disk and carry on from paper. \
                 Restart the computer before you open this job again."
            }
            Self::Damaged { .. } => {
                "This job can be read but not continued. Keep the file as it is, \
                 carry on from the status sheet, and start a new job."
            }
            Self::Held { .. } => "Close the job there first. To read it only: levelhand jobs show.",
            Self::Releasing { .. } => "Try again in a moment.",
            Self::ReleasesDamaged { .. } => {
                "Keep the file as it is: levelhand release --list tells what can be read of it. \
                 Put a sound copy back, or move it away and release again what you stand for."
            }
            Self::NoJob { .. } => "Nothing was confirmed under this job. Start a new one.",
            Self::Taken { .. } => {
                "Name a place that does not exist yet; nothing is ever overwritten."
            }
            Self::TooLong { .. } => "Shorten the note or the reason, and enter it again.",
            Self::Unwritable { .. } => {
                "This is a fault of the program. Please report it with this sentence."
            }
            Self::BadJobId { .. } => {
                "An id is the date, a hyphen and eight letters or digits without I, L, O and U, \
                 such as 20261124-7F3K9QXM."
            }
            Self::BadFileName { .. } => {
                "Use 1 to 64 small letters, digits, points, hyphens or underscores, beginning with a letter or digit."
            }
            Self::NoHome => "Name a directory for the data with --data.",
            Self::NoRandomness { .. } => "Try again; if it stays so, restart the computer.",
        }
    }

    /// The file or directory it is about, where there is one.
    pub fn path(&self) -> Option<&std::path::Path> {
        match self {
            Self::Storage { path, .. }
            | Self::NotSafe { path, .. }
            | Self::Damaged { path, .. }
            | Self::Held { path, .. }
            | Self::Releasing { path }
            | Self::ReleasesDamaged { path, .. }
            | Self::NoJob { path }
            | Self::Taken { path } => Some(path),
            Self::TooLong { .. }
            | Self::Unwritable { .. }
            | Self::BadJobId { .. }
            | Self::BadFileName { .. }
            | Self::NoHome
            | Self::NoRandomness { .. } => None,
        }
    }
}

/// That another program holds a job.
fn held(f: &mut fmt::Formatter<'_>, path: &std::path::Path, by: Option<&Holder>) -> fmt::Result {
    let path = path.display();
    match by {
        Some(holder) => write!(f, "The job in {path} is held by another program: {holder}."),
        None => write!(
            f,
            "The job in {path} is held by another program, which does not say who it is."
        ),
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Storage {
                doing,
                path,
                source,
            } => {
                write!(f, "Cannot {doing} {}: {source}.", path.display())
            }
            Self::NotSafe {
                path,
                confirmed,
                reason,
                ..
            } => write!(
                f,
                "RECORD NOT SAFE. {} could not be written: {reason}. {confirmed} entries are confirmed; \
                 nothing more will be written.",
                path.display()
            ),
            Self::Damaged { path, damage } => write!(f, "{} is damaged. {damage}", path.display()),
            Self::Held { path, holder } => held(f, path, holder.as_ref()),
            Self::Releasing { path } => write!(
                f,
                "Another program is releasing a document here; it holds {}.",
                path.display()
            ),
            Self::ReleasesDamaged { path, what } => write!(
                f,
                "The list of releases, {}, is damaged, and nothing is added to it. {what}.",
                path.display()
            ),
            Self::NoJob { path } => write!(
                f,
                "There is no job in {}: it has no whole first entry.",
                path.display()
            ),
            Self::Taken { path } => write!(f, "{} exists already.", path.display()),
            Self::TooLong { bytes } => write!(
                f,
                "The entry would be {bytes} bytes long; {MAX_LINE} is the most. It was not written."
            ),
            Self::Unwritable { what } => write!(f, "The entry cannot be written: {what}."),
            Self::BadJobId { typed } => write!(
                f,
                "\u{201c}{}\u{201d} is not a job's id.",
                typed.escape_debug()
            ),
            Self::BadFileName { typed } => {
                write!(
                    f,
                    "\u{201c}{}\u{201d} is not a name for a document.",
                    typed.escape_debug()
                )
            }
            Self::NoHome => write!(f, "This computer names no home directory for you."),
            Self::NoRandomness { reason } => {
                write!(f, "The system gave no random numbers: {reason}.")
            }
        }?;
        write!(f, " {}", self.hint())
    }
}

impl Error for Failure {
    fn source(&self) -> Option<&(dyn Error + 'static)> {
        if let Self::Storage { source, .. } = self {
            Some(source)
        } else {
            None
        }
    }
}
