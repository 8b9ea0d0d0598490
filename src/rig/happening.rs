//! Why something can't be done at the truck, and what happened there.
//!
//! Must not know: whether it was wise.

use std::fmt;

use super::hand::Level;
use super::spot::Side;

/// Why something can't be done; nothing has changed then.
#[derive(Debug, Clone, PartialEq)]
pub enum Refused {
    /// The gap is too low for the block.
    GapTooLow {
        /// Which side.
        side: Side,
        /// The gap, mm.
        gap_mm: f64,
        /// What is needed, mm.
        needed_mm: f64,
    },
    /// The block carries the frame.
    BlockCarries {
        /// Which side.
        side: Side,
    },
    /// The stand carries the frame.
    StandCarries {
        /// Which side.
        side: Side,
    },
    /// The mudguard hides it.
    Hidden {
        /// Which side.
        side: Side,
    },
    /// It is so already.
    Already {
        /// What is so.
        what: &'static str,
    },
    /// Something else must be so first.
    Needs {
        /// What must be so.
        what: &'static str,
    },
    /// There is nothing of the kind.
    Nothing {
        /// What was wanted.
        what: &'static str,
    },
    /// To mend it is a workshop job of its own.
    NotHere,
    /// No fault of that name is known.
    UnknownFault {
        /// The name.
        name: String,
    },
    /// That was looked at closely, and is in order.
    InOrder {
        /// What was to be mended.
        what: String,
    },
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::GapTooLow {
                side,
                gap_mm,
                needed_mm,
            } => write!(
                f,
                "The {} gap is {gap_mm:.0} mm, and {needed_mm:.0} mm is needed. Raise first.",
                side.word()
            ),
            Self::BlockCarries { side } => write!(
                f,
                "The {} block carries the frame: it can't be moved. Raise first.",
                side.word()
            ),
            Self::StandCarries { side } => write!(
                f,
                "The {} stand carries the frame: it can't be pulled out. Raise first.",
                side.word()
            ),
            Self::Hidden { side } => write!(
                f,
                "The {} mudguard hides gap and bellows. Take the mudguards off first.",
                side.word()
            ),
            Self::Already { what } => write!(f, "Nothing to do: {what} already."),
            Self::Needs { what } => write!(f, "Not yet: first {what}."),
            Self::Nothing { what } => write!(f, "There is no {what} here."),
            Self::NotHere => f.write_str(
                "That is a workshop job of its own and not mended here. Stop work, and hand the truck over.",
            ),
            Self::UnknownFault { name } => write!(
                f,
                "No fault is called {name:?} here; levelhand practise --list names them all."
            ),
            Self::InOrder { what } => {
                write!(
                    f,
                    "{what}: looked at closely and found in order; nothing was changed."
                )
            }
        }
    }
}

impl std::error::Error for Refused {}

/// What happened at the truck.
#[derive(Debug, Clone, PartialEq)]
pub enum Happening {
    /// The axle was wound up and let go: the truck jumped by so much, mm.
    Jumped(f64),
    /// The control unit has kept a height, in counts.
    Stored(Level, u16),
    /// The control unit refuses, because.
    NotStored(Level, &'static str),
    /// The write-out began.
    WriteBegan,
    /// The write-out refuses, because.
    WriteRefused(&'static str),
    /// The write-out stopped by itself.
    WriteStopped,
    /// The write-out finished.
    WriteFinished,
    /// Settings took effect at the turn of the key.
    SettingsTaken,
    /// Levelling woke by itself.
    LevellingWoke,
    /// A fault was mended.
    Mended(String),
    /// A fault was named: rightly or not.
    Named(String, bool),
}

impl fmt::Display for Happening {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Jumped(mm) => write!(f, "A bang: the truck jumps {mm:.0} mm."),
            Self::Stored(level, counts) => {
                write!(
                    f,
                    "The equipment says: {} stored, {counts} counts.",
                    level.title()
                )
            }
            Self::NotStored(level, why) => {
                write!(f, "The equipment refuses {}: {why}.", level.title())
            }
            Self::WriteBegan => {
                f.write_str("Writing. Press again and again until it says finished.")
            }
            Self::WriteRefused(why) => write!(f, "The equipment refuses to write: {why}."),
            Self::WriteStopped => f.write_str("The write-out has stopped by itself."),
            Self::WriteFinished => f.write_str("The equipment says: finished."),
            Self::SettingsTaken => f.write_str("The control unit starts with the new settings."),
            Self::LevellingWoke => f.write_str("A hiss: levelling is awake."),
            Self::Mended(_) => f.write_str("That is mended."),
            Self::Named(..) => {
                f.write_str("Noted, with the time. The debrief says whether it was right.")
            }
        }
    }
}
