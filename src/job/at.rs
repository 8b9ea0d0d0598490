//! An instant as the engine sees it: two clocks and the session they belong to.

/// When a command was given.
///
/// # Units
/// `wall_ms` counts ms since 1970-01-01T00:00Z; `mono_ms` counts ms of a clock that
/// never goes back, from an arbitrary start of its own in each session.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct At {
    /// Wall clock, UTC ms.
    pub wall_ms: i64,
    /// The reader's offset from UTC in minutes.
    pub offset_min: i32,
    /// Monotonic clock, ms.
    pub mono_ms: u64,
    /// Counts up each time a program opens the job.
    pub session: u32,
}

impl At {
    /// At least how long it is from `self` to `later`, in ms: for "has it been long
    /// enough". A machine asleep does not count within a session; between sessions
    /// only the wall clock is left, and one that went back proves nothing.
    pub fn at_least_until(&self, later: &Self) -> u64 {
        if self.session == later.session {
            return later.mono_ms.saturating_sub(self.mono_ms);
        }
        u64::try_from(later.wall_ms - self.wall_ms).unwrap_or(0)
    }

    /// At most how long it is from `self` to `later`, in ms: for "has it been too
    /// long". `None` when the wall clock went back, so that nothing can be said.
    pub fn at_most_until(&self, later: &Self) -> Option<u64> {
        let wall = u64::try_from(later.wall_ms - self.wall_ms);
        if self.session == later.session {
            let mono = later.mono_ms.saturating_sub(self.mono_ms);
            return Some(wall.map_or(mono, |w| w.max(mono)));
        }
        wall.ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(wall_ms: i64, mono_ms: u64, session: u32) -> At {
        At {
            wall_ms,
            offset_min: 0,
            mono_ms,
            session,
        }
    }

    #[test]
    fn sleep_counts_as_too_long_but_not_as_long_enough() {
        let (a, b) = (at(0, 0, 1), at(600_000, 1_000, 1));
        assert_eq!(a.at_least_until(&b), 1_000);
        assert_eq!(a.at_most_until(&b), Some(600_000));
    }

    #[test]
    fn a_clock_that_went_back_between_sessions_proves_nothing() {
        let (a, b) = (at(600_000, 9, 1), at(0, 1, 2));
        assert_eq!(a.at_least_until(&b), 0);
        assert_eq!(a.at_most_until(&b), None);
    }
}
