//! Tier T: two keys far apart, tapped in turn.
//!
//! A held or jammed key cannot alternate, and a paste is too fast. A slip only
//! starts the count again.
//!
//! Must not know: which keys they are on the keyboard.

use std::time::Duration;

use super::cause::Slip;
use super::limit;
use super::rhythm::median;
use super::strand::{Progress, Tally};
use super::watch::Side;
use crate::input::Press;

/// One run of taps.
#[derive(Debug, Clone)]
pub(super) struct Turn {
    taps: Vec<(Side, Duration)>,
    last: Duration,
    slip: Option<Slip>,
    full: Option<Duration>,
}

impl Turn {
    /// Begins with a tap.
    pub(super) fn new(side: Side, at: Duration) -> Self {
        Self {
            taps: vec![(side, at)],
            last: at,
            slip: None,
            full: None,
        }
    }

    /// One of the two keys moved. Letting a key go is not looked at.
    pub(super) fn key(&mut self, side: Side, phase: Press, at: Duration) -> Progress {
        if phase == Press::Up {
            return Progress::On;
        }
        self.last = at;
        if self.full.is_some() {
            return Progress::On;
        }
        match self.slip_of(side, at) {
            Some(slip) => {
                self.slip = Some(slip);
                // The tap that slipped is the first of the new count.
                self.taps = vec![(side, at)];
            }
            None => self.count(side, at),
        }
        Progress::On
    }

    fn slip_of(&self, side: Side, at: Duration) -> Option<Slip> {
        let &(last_side, last) = self.taps.last()?;
        let gap = at.saturating_sub(last);
        if side == last_side {
            Some(Slip::SameKey)
        } else if gap < limit::TAP_GAP.0 {
            Some(Slip::TooFast)
        } else if gap > limit::TAP_GAP.1 {
            Some(Slip::TooSlow)
        } else {
            None
        }
    }

    /// A quick hand reaches the number of taps before the time; it goes on
    /// tapping until both are reached.
    fn count(&mut self, side: Side, at: Duration) {
        self.taps.push((side, at));
        if self.taps.len() >= 3 {
            self.slip = None;
        }
        if self.taps.len() >= limit::TAPS && self.total() >= limit::TAPS_TOTAL {
            self.full = Some(at);
        }
    }

    /// Time passes.
    pub(super) fn tick(&mut self, at: Duration) -> Progress {
        let quiet = at.saturating_sub(self.last);
        if self.full.is_some() {
            return if quiet >= limit::TAPS_SILENCE {
                Progress::Done
            } else {
                Progress::On
            };
        }
        if !self.taps.is_empty() && quiet > limit::TAP_GAP.1 {
            self.taps.clear();
            self.slip = Some(Slip::TooSlow);
        }
        Progress::On
    }

    /// Since when NOW LET GO is shown.
    pub(super) fn full(&self) -> Option<Duration> {
        self.full
    }

    /// Why the count began again, for as long as it matters.
    pub(super) fn slip(&self) -> Option<Slip> {
        self.slip
    }

    /// The part of the taps and of the time that has been seen.
    pub(super) fn progress(&self) -> f64 {
        let taps = self.taps.len() as f64 / limit::TAPS as f64;
        let time = self.total().as_secs_f64() / limit::TAPS_TOTAL.as_secs_f64();
        if self.taps.len() < 2 {
            taps
        } else {
            taps.min(time.max(1.0 / limit::TAPS as f64))
        }
    }

    /// What was seen.
    pub(super) fn tally(&self) -> Tally {
        let gaps: Vec<Duration> = self
            .taps
            .windows(2)
            .filter_map(|pair| Some(pair.last()?.1.saturating_sub(pair.first()?.1)))
            .collect();
        Tally {
            held: self.total(),
            events: self.taps.len(),
            median: median(&gaps),
        }
    }

    fn total(&self) -> Duration {
        match (self.taps.first(), self.taps.last()) {
            (Some((_, first)), Some((_, last))) => last.saturating_sub(*first),
            _ => Duration::ZERO,
        }
    }
}
