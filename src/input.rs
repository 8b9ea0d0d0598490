//! What reaches the program from the person and the machine, each with its
//! instant.
//!
//! Invariants: an input is stamped once, where it is read, and never again.
//! Both clocks travel with every input, so that whoever judges time can see
//! them disagree.
//!
//! Must not know: the terminal library, any screen, what an input means.

use std::time::Duration;

/// A key by what it prints or does, without its modifiers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Key {
    /// A key that prints this character. Case is as the terminal sent it.
    Char(char),
    /// Enter or Return.
    Enter,
    /// Tab.
    Tab,
    /// Shift and Tab, where the terminal sends it as a key of its own.
    BackTab,
    /// Escape.
    Esc,
    /// Backspace.
    Backspace,
    /// Delete.
    Delete,
    /// Arrow left.
    Left,
    /// Arrow right.
    Right,
    /// Arrow up.
    Up,
    /// Arrow down.
    Down,
    /// Home.
    Home,
    /// End.
    End,
    /// Page up.
    PageUp,
    /// Page down.
    PageDown,
    /// Any other key, a modifier key on its own among them.
    Other,
}

/// Which modifier keys were down with a key. Lock keys are not modifiers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "the four are independent keys, and any combination can be down"
)]
pub struct Modifiers {
    /// Shift.
    pub shift: bool,
    /// Alt or Option.
    pub alt: bool,
    /// Control.
    pub ctrl: bool,
    /// Super, Windows or Command.
    pub super_: bool,
}

impl Modifiers {
    /// No modifier at all.
    pub const NONE: Self = Self {
        shift: false,
        alt: false,
        ctrl: false,
        super_: false,
    };

    /// Whether no modifier was down.
    pub fn is_none(self) -> bool {
        self == Self::NONE
    }

    /// Whether at most Shift was down, as it is with any capital letter and,
    /// on most terminals, with any letter under Caps Lock.
    pub fn is_at_most_shift(self) -> bool {
        !(self.alt || self.ctrl || self.super_)
    }
}

/// Which way a key went. Terminals that tell no more send only `Down`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Press {
    /// The key went down; from many terminals also each automatic repeat.
    Down,
    /// The key is still down and repeats.
    Repeat,
    /// The key was let go.
    Up,
}

/// One thing that happened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Input {
    /// A key went down, repeated, or was let go.
    Key {
        /// Which key.
        key: Key,
        /// What was held with it.
        modifiers: Modifiers,
        /// Which way it went.
        phase: Press,
    },
    /// Text pasted as one block. Never a key.
    Paste(String),
    /// The terminal window came to the front.
    FocusGained,
    /// The terminal window is no longer in front.
    FocusLost,
    /// The screen has a new size, in character cells.
    Resize {
        /// Width.
        cols: u16,
        /// Height.
        rows: u16,
    },
    /// Any pointer event; the program has no use for them.
    Mouse,
    /// Time passes. Sent several times a second, also when nothing happens.
    Tick,
    /// The program was stopped by job control and goes on.
    Continued,
    /// The system asks the program to end.
    Terminate,
    /// The terminal is gone.
    HangUp,
    /// The system delivered an interrupt; a Ctrl-C typed in raw mode is a key.
    Interrupt,
    /// The system asks the program to stop for job control.
    Suspend,
    /// Inputs came faster than they were taken, and some were dropped.
    Overflow,
    /// A frame could not be written to the terminal.
    DrawFailed,
}

impl Input {
    /// A plain press of a key, without modifiers.
    pub fn press(key: Key) -> Self {
        Self::Key {
            key,
            modifiers: Modifiers::NONE,
            phase: Press::Down,
        }
    }
}

/// An instant on both clocks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Stamp {
    /// Time since the program started, on the clock that never goes back.
    pub mono: Duration,
    /// Milliseconds since 1970-01-01 UTC, on the clock that people set.
    pub wall_ms: i64,
}

impl Stamp {
    /// An instant by both clocks.
    ///
    /// # Units
    /// Both in milliseconds: `mono_ms` since the program started, `wall_ms`
    /// since 1970-01-01 UTC.
    pub fn from_millis(mono_ms: u64, wall_ms: i64) -> Self {
        Self {
            mono: Duration::from_millis(mono_ms),
            wall_ms,
        }
    }
}

/// An input with the instant at which it was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamped {
    /// What happened.
    pub input: Input,
    /// When it was read.
    pub at: Stamp,
}

impl Stamped {
    /// An input with its instant.
    pub fn new(input: Input, at: Stamp) -> Self {
        Self { input, at }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_capital_letter_has_at_most_shift() {
        let shift = Modifiers {
            shift: true,
            ..Modifiers::NONE
        };
        let both = Modifiers {
            ctrl: true,
            ..shift
        };
        assert!(Modifiers::NONE.is_at_most_shift());
        assert!(shift.is_at_most_shift() && !shift.is_none());
        assert!(!both.is_at_most_shift());
    }

    #[test]
    fn a_stamp_keeps_both_clocks_apart() {
        let at = Stamp::from_millis(1_500, -3);
        assert_eq!(at.mono, Duration::from_millis(1_500));
        assert_eq!(at.wall_ms, -3);
    }
}
