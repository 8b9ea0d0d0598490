//! Whether a document was released when a job was begun with it, and by whom.
//!
//! Must not know where releases are kept: entry 0 carries what was found there.

use std::fmt;

/// How a document stood when the job was begun.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing {
    /// Built into the program.
    Shipped,
    /// Released by the shop.
    Released {
        /// By whom; names are not proved.
        by: String,
        /// On which day, as `2026-11-28`.
        on: String,
    },
    /// Neither: for practice only.
    NotReleased,
}

impl fmt::Display for Standing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Shipped => write!(f, "shipped with the program"),
            Self::Released { by, on } => write!(f, "released by {by} on {on}"),
            Self::NotReleased => write!(f, "not released"),
        }
    }
}

/// How the three documents of a job stood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Standings {
    /// The procedure.
    pub procedure: Standing,
    /// The sheet.
    pub sheet: Standing,
    /// The list of instruments.
    pub instruments: Standing,
}
