//! The machine's clocks.
#![expect(
    clippy::disallowed_methods,
    reason = "this is where the clocks are read"
)]

use std::time::Instant;

use chrono::Local;

use crate::journal::Stamp;

/// The wall clock with its offset, and a clock that never goes back, counted
/// from when this value was made.
///
/// While the machine sleeps the second may stand still (Linux) or go on; only
/// the wall time tells that it slept.
#[derive(Debug, Clone, Copy)]
pub struct Clock {
    start: Instant,
}

impl Clock {
    /// Starts the session's own clock.
    pub fn start() -> Self {
        Self {
            start: Instant::now(),
        }
    }

    /// Now.
    pub fn now(&self) -> Stamp {
        let there = Local::now();
        Stamp {
            wall_ms: there.timestamp_millis(),
            offset_min: there.offset().local_minus_utc() / 60,
            mono_ms: u64::try_from(self.start.elapsed().as_millis()).unwrap_or(u64::MAX),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gives_an_instant_that_can_be_written_and_never_goes_back() {
        let clock = Clock::start();
        let (first, second) = (clock.now(), clock.now());
        assert!(first.rfc3339().is_some(), "{first:?}");
        assert!(second.mono_ms >= first.mono_ms);
        // The year 2020: a clock before it is not set.
        assert!(first.wall_ms > 1_577_836_800_000, "{first:?}");
    }
}
