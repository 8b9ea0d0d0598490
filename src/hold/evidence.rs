//! What a committed hold rests on, for the record.
//!
//! Must not know: how the record is written.

use std::fmt;
use std::time::Duration;

/// How a hold was proved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Tier {
    /// R: this terminal has proved that it tells of a key let go.
    Release,
    /// A: only the automatic repeat of the held key is seen.
    Repeat,
    /// T: two keys tapped in turn.
    Turns,
}

impl Tier {
    /// The letter used in records: R, A or T.
    pub fn letter(self) -> char {
        match self {
            Self::Release => 'R',
            Self::Repeat => 'A',
            Self::Turns => 'T',
        }
    }
}

impl fmt::Display for Tier {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Release => "held, release seen",
            Self::Repeat => "held, seen by the key's repeats",
            Self::Turns => "two keys in turn",
        })
    }
}

/// The evidence of one committed hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Evidence {
    /// How it was proved.
    pub tier: Tier,
    /// R: press to release. A and T: first event to last. To the millisecond
    /// when shown.
    pub held: Duration,
    /// Events of the gesture keys that were seen: presses, repeats, taps and,
    /// in tier R, the release.
    pub events: u32,
    /// Median interval between repeats (without the delay before the first),
    /// or between taps; none where fewer than two repeats were seen.
    pub median_interval: Option<Duration>,
    /// The terminal, as the session was told.
    pub terminal: String,
    /// Cancelled tries at this prompt before the commit.
    pub cancels: u32,
    /// Whether the shown number was typed.
    pub number_typed: bool,
}

impl Evidence {
    /// How long the gesture took, in whole milliseconds.
    pub fn held_ms(&self) -> u64 {
        whole_ms(self.held)
    }

    /// The median interval in whole milliseconds.
    pub fn median_interval_ms(&self) -> Option<u64> {
        self.median_interval.map(whole_ms)
    }
}

/// A duration in whole milliseconds, cut off.
pub(super) fn whole_ms(time: Duration) -> u64 {
    u64::try_from(time.as_millis()).unwrap_or(u64::MAX)
}
