//! Tier A: a held key is seen only by its automatic repeat.
//!
//! The signature of automatic repeat is one long gap, then many short and even
//! ones. A tapping hand has no such first gap; a paste has no gaps at all.
//!
//! Must not know: what happens after a failure.

use std::time::Duration;

use super::cause::Cause;
use super::limit;
use super::rhythm::{median, spread};
use super::strand::{Progress, Tally};
use crate::input::Press;

/// One hold, from its first event.
#[derive(Debug, Clone)]
pub(super) struct Repeat {
    first: Duration,
    last: Duration,
    hold: Duration,
    first_gap: Option<Duration>,
    counted: Vec<Duration>,
    short_run: usize,
    events: usize,
    full: Option<Duration>,
}

impl Repeat {
    /// Begins with a press.
    pub(super) fn new(pressed: Duration, hold: Duration) -> Self {
        Self {
            first: pressed,
            last: pressed,
            hold,
            first_gap: None,
            counted: Vec::new(),
            short_run: 0,
            events: 1,
            full: None,
        }
    }

    /// The hold key moved. A release that comes although none is proved says
    /// that the key is up.
    pub(super) fn key(&mut self, phase: Press, at: Duration) -> Progress {
        if phase == Press::Up {
            return if self.full.is_some() {
                Progress::On
            } else {
                Progress::Failed(Cause::ReleasedEarly(at.saturating_sub(self.first)))
            };
        }
        let gap = at.saturating_sub(self.last);
        let silence = self.silence();
        self.last = at;
        self.events += 1;
        let judged = match self.first_gap {
            None => self.first_repeat(gap),
            Some(first_gap) => self.next_repeat(gap, silence, first_gap),
        };
        match judged {
            Ok(()) => Progress::On,
            Err(cause) => Progress::Failed(cause),
        }
    }

    fn first_repeat(&mut self, gap: Duration) -> Result<(), Cause> {
        let (least, most) = limit::FIRST_GAP;
        if gap < least || gap > most {
            return Err(Cause::FirstGap(gap));
        }
        self.first_gap = Some(gap);
        Ok(())
    }

    fn next_repeat(
        &mut self,
        gap: Duration,
        silence: Duration,
        first_gap: Duration,
    ) -> Result<(), Cause> {
        if gap < limit::SHORT {
            self.short_run += 1;
            return if self.short_run >= limit::SHORT_RUN {
                Err(Cause::Burst)
            } else {
                Ok(())
            };
        }
        self.short_run = 0;
        if self.full.is_some() {
            return Ok(());
        }
        if gap >= silence {
            let held = self.last.saturating_sub(self.first).saturating_sub(gap);
            return Err(Cause::ReleasedEarly(held));
        }
        self.counted.push(gap);
        let long_enough = self.last.saturating_sub(self.first) >= self.hold;
        if self.counted.len() >= limit::COUNTED && long_enough {
            self.judge(first_gap)?;
            self.full = Some(self.last);
        }
        Ok(())
    }

    /// The statistics, once there is enough to judge. A hold that fails them
    /// is refused at once and not given time to look better.
    fn judge(&self, first_gap: Duration) -> Result<(), Cause> {
        let (Some(middle), Some(spread)) = (median(&self.counted), spread(&self.counted)) else {
            return Err(Cause::Burst);
        };
        if middle > limit::MEDIAN_MOST {
            return Err(Cause::Slow(middle));
        }
        if first_gap < middle.mul_f64(limit::SIGNATURE) {
            return Err(Cause::Tapping);
        }
        if spread.mad > limit::SPREAD_MAD || spread.sd > limit::SPREAD_SD {
            return Err(Cause::Uneven);
        }
        Ok(())
    }

    /// Time passes: silence is the only sign of letting go.
    pub(super) fn tick(&mut self, at: Duration) -> Progress {
        let quiet = at.saturating_sub(self.last);
        if self.full.is_some() {
            return if quiet >= self.silence() {
                Progress::Done
            } else {
                Progress::On
            };
        }
        if self.first_gap.is_none() {
            return if quiet > limit::FIRST_GAP.1 {
                Progress::Failed(Cause::NoRepeat)
            } else {
                Progress::On
            };
        }
        if quiet >= self.silence() {
            let held = self.last.saturating_sub(self.first);
            return Progress::Failed(Cause::ReleasedEarly(held));
        }
        Progress::On
    }

    /// The silence that means "let go"; the longest, until an interval is
    /// known.
    fn silence(&self) -> Duration {
        let (least, most) = limit::SILENCE;
        median(&self.counted).map_or(most, |middle| {
            (middle * limit::SILENCE_MEDIANS).clamp(least, most)
        })
    }

    /// Since when NOW LET GO is shown.
    pub(super) fn full(&self) -> Option<Duration> {
        self.full
    }

    /// The part of the time that has passed: the hold, or the intervals to be
    /// counted if those take longer. The slowest keyboard is taken for granted
    /// until the first interval is known, so that the bar need not go back.
    pub(super) fn progress(&self, now: Duration) -> f64 {
        let known = self.first_gap.zip(median(&self.counted));
        let (first, middle) = known.unwrap_or((limit::FIRST_GAP.1, limit::MEDIAN_MOST));
        let intervals = middle.as_secs_f64() * limit::COUNTED as f64;
        let due = self.hold.as_secs_f64().max(first.as_secs_f64() + intervals);
        now.saturating_sub(self.first).as_secs_f64() / due
    }

    /// What was seen.
    pub(super) fn tally(&self) -> Tally {
        Tally {
            held: self.last.saturating_sub(self.first),
            events: self.events,
            median: median(&self.counted),
        }
    }
}
