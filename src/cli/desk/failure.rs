//! Why a job can't be begun, opened or gone on with: what was found, and the way out.

use std::fmt;

use super::ReadOnly;
use crate::finding::escape;
use crate::job::{Mode, Refusal};
use crate::journal::{Digest, Failure, JobId, NotUnderstood, exit};

/// Why not.
#[derive(Debug)]
pub(crate) enum DeskError {
    /// The disk, the lock or the journal.
    Failed(Failure),
    /// The engine says no; nothing has happened.
    Refused(Box<Refusal>),
    /// An entry that this version does not know.
    NotUnderstood(NotUnderstood),
    /// The job is open for reading only.
    ReadOnly(ReadOnly),
    /// A document can't be loaded.
    Document {
        /// What is wrong with it.
        what: String,
    },
    /// A document is not the one the job was begun with.
    OtherDocument {
        /// Which.
        name: &'static str,
        /// SHA-256 in entry 0.
        pinned: Digest,
        /// SHA-256 of the file.
        found: Digest,
    },
    /// The record is of another job than its directory says.
    OtherJob {
        /// The id in entry 0.
        pinned: JobId,
        /// The directory's name.
        found: JobId,
    },
    /// A drill among the jobs, or a job among the drills.
    OtherMode {
        /// What the record says.
        pinned: Mode,
    },
}

impl DeskError {
    /// The program's exit code.
    pub(crate) fn exit_code(&self) -> u8 {
        match self {
            Self::Failed(failure) => failure.exit_code(),
            Self::Refused(_) | Self::ReadOnly(_) => exit::USAGE,
            Self::Document { .. } => exit::FINDINGS,
            Self::NotUnderstood(_)
            | Self::OtherDocument { .. }
            | Self::OtherJob { .. }
            | Self::OtherMode { .. } => exit::DAMAGED,
        }
    }
}

impl From<Failure> for DeskError {
    fn from(failure: Failure) -> Self {
        Self::Failed(failure)
    }
}

impl From<Refusal> for DeskError {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(Box::new(refusal))
    }
}

impl From<NotUnderstood> for DeskError {
    fn from(error: NotUnderstood) -> Self {
        Self::NotUnderstood(error)
    }
}

impl fmt::Display for ReadOnly {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Asked => write!(f, "This job was opened only to be read."),
            Self::Over => write!(f, "This job is over. Open a new one that names it."),
            Self::Damaged(damage) => write!(
                f,
                "This job's file is damaged. {damage} It can be read up to there and not continued. \
                 Keep the file as it is, carry on from the status sheet, and start a new job."
            ),
            Self::Differs => write!(
                f,
                "Decided again, this job does not come out as recorded: it was altered, or made by \
                 another program. It can be read and not continued. Start a new job that names it."
            ),
            Self::Refused(refusal) => write!(
                f,
                "This job can be read and not continued: {}. Start a new job that names it.",
                escape(&refusal.to_string())
            ),
        }
    }
}

impl fmt::Display for DeskError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Failed(failure) => write!(f, "{failure}"),
            Self::Refused(refusal) => write!(f, "Not done: {}.", escape(&refusal.to_string())),
            Self::NotUnderstood(error) => write!(f, "{error}"),
            Self::ReadOnly(why) => write!(f, "{why}"),
            Self::Document { what } => write!(f, "{what}"),
            Self::OtherDocument {
                name,
                pinned,
                found,
            } => write!(
                f,
                "{name} in the job's directory is not the one it was begun with: entry 0 says \
                 SHA-256 {pinned}, the file has {found}. Put the right file back; the job can't be \
                 opened without it."
            ),
            Self::OtherJob { pinned, found } => write!(
                f,
                "The record says that it is job {pinned}; it lies in the directory of job {found}. \
                 Put it back under its own name."
            ),
            Self::OtherMode { pinned } => match pinned {
                Mode::Practice => write!(
                    f,
                    "This record is practice and lies among the jobs. Practice never counts as a job; move it back."
                ),
                Mode::Job => write!(
                    f,
                    "This record is a job and lies among the practice. Move it back."
                ),
            },
        }
    }
}

impl std::error::Error for DeskError {}
