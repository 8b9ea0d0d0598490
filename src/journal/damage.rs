//! What is wrong with a journal, and where: the sentences.

use std::fmt;

use super::{FORMAT, MAX_LINE, Opened};

/// Damage: the job can be read up to here and not be continued.
#[derive(Debug, Clone, PartialEq)]
pub struct Damage {
    /// The line, counted from 1.
    pub line: usize,
    /// The line's first byte, counted from 0.
    pub offset: u64,
    /// What was found.
    pub fault: Fault,
    /// The entries before it.
    pub valid: Opened,
}

/// What is wrong with a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// It does not end in a hash.
    NotALine,
    /// Its bytes do not give the hash it carries.
    Altered,
    /// Longer than a line may be.
    TooLong {
        /// Its length in bytes.
        bytes: usize,
    },
    /// An unaltered line stands inside it, after other bytes.
    Fused,
    /// A later format, or one that never was.
    Format {
        /// Its number.
        found: u64,
    },
    /// Its hash is right, but it is not in this format.
    Form {
        /// Which rule it breaks.
        what: String,
    },
    /// Entries are missing before it.
    Missing {
        /// The first that is missing.
        first: u64,
        /// The last that is missing.
        last: u64,
    },
    /// It stands before entries that belong before it.
    Moved {
        /// The entry that belongs here.
        expected: u64,
        /// The entry that stands here.
        found: u64,
    },
    /// An entry stands here a second time.
    Repeated {
        /// Its number.
        seq: u64,
    },
    /// It follows another entry than the one before it.
    Unchained {
        /// Its number.
        seq: u64,
    },
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotALine => write!(f, "the line is not an entry: it does not end in its hash"),
            Self::Altered => write!(
                f,
                "the entry was altered: its bytes do not give the hash it carries"
            ),
            Self::TooLong { bytes } => {
                write!(
                    f,
                    "{bytes} bytes stand here without being an entry; an entry has {MAX_LINE} at most"
                )
            }
            Self::Fused => write!(f, "two entries run together and the first is not whole"),
            Self::Format { found } => {
                write!(
                    f,
                    "the entry has format {found}; this version reads format {FORMAT}"
                )
            }
            Self::Form { what } => write!(f, "the entry is not in this format: {what}"),
            Self::Missing { first, last } if first == last => write!(f, "entry {first} is missing"),
            Self::Missing { first, last } => write!(f, "entries {first} to {last} are missing"),
            Self::Moved { expected, found } => {
                write!(
                    f,
                    "entries are out of order: entry {found} stands where entry {expected} belongs"
                )
            }
            Self::Repeated { seq } => write!(f, "entry {seq} stands here a second time"),
            Self::Unchained { seq } => write!(
                f,
                "entry {seq} follows another entry than the one that stands before it; one of the two was replaced"
            ),
        }
    }
}

impl fmt::Display for Damage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            line,
            offset,
            fault,
            valid,
        } = self;
        write!(f, "Line {line} (byte {offset}): {fault}. ")?;
        match valid.head.count {
            0 => write!(f, "No entry stands before it."),
            1 => write!(f, "The 1 entry before it is unaltered."),
            count => write!(f, "The {count} entries before it are unaltered."),
        }
    }
}
