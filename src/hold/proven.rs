//! Tier R: the terminal has proved that it tells of a key let go.
//!
//! Must not know: whether the proof still holds; the session follows that.

use std::time::Duration;

use super::cause::Cause;
use super::limit;
use super::rhythm::median;
use super::strand::{Progress, Tally};
use crate::input::Press;

/// One hold, from its press.
#[derive(Debug, Clone)]
pub(super) struct Proven {
    pressed: Duration,
    hold: Duration,
    repeats_due: bool,
    repeats: Vec<Duration>,
    full: Option<Duration>,
    released: Option<Duration>,
}

impl Proven {
    /// Begins with a press. `repeats_due`: the calibration saw the key repeat,
    /// so this hold must show repeats.
    pub(super) fn new(pressed: Duration, hold: Duration, repeats_due: bool) -> Self {
        Self {
            pressed,
            hold,
            repeats_due,
            repeats: Vec::new(),
            full: None,
            released: None,
        }
    }

    /// The hold key moved. A press while down counts as a repeat.
    pub(super) fn key(&mut self, phase: Press, at: Duration) -> Progress {
        match (phase, self.full) {
            (Press::Down | Press::Repeat, _) => {
                self.repeats.push(at);
                Progress::On
            }
            (Press::Up, Some(_)) => {
                self.released = Some(at);
                Progress::Done
            }
            (Press::Up, None) => {
                Progress::Failed(Cause::ReleasedEarly(at.saturating_sub(self.pressed)))
            }
        }
    }

    /// Time passes. At the full time the key must still be repeating: a
    /// release that is late on a slow line must not count as holding.
    pub(super) fn tick(&mut self, at: Duration) -> Progress {
        if self.full.is_some() || at.saturating_sub(self.pressed) < self.hold {
            return Progress::On;
        }
        if self.repeats_due || !self.repeats.is_empty() {
            let last = self.repeats.last().copied().unwrap_or(self.pressed);
            let age = at.saturating_sub(last);
            if age > self.age_allowed() {
                return Progress::Failed(Cause::RepeatsStopped(age));
            }
        }
        self.full = Some(at);
        Progress::On
    }

    /// Since when NOW LET GO is shown.
    pub(super) fn full(&self) -> Option<Duration> {
        self.full
    }

    /// The part of the time that has passed.
    pub(super) fn progress(&self, now: Duration) -> f64 {
        now.saturating_sub(self.pressed).as_secs_f64() / self.hold.as_secs_f64()
    }

    /// What was seen.
    pub(super) fn tally(&self) -> Tally {
        let end = self.released.unwrap_or(self.pressed);
        Tally {
            held: end.saturating_sub(self.pressed),
            events: 1 + self.repeats.len() + usize::from(self.released.is_some()),
            median: self.median(),
        }
    }

    fn age_allowed(&self) -> Duration {
        let medians = self.median().unwrap_or_default() * limit::SILENCE_MEDIANS;
        medians.max(limit::REPEAT_AGE)
    }

    fn median(&self) -> Option<Duration> {
        let gaps: Vec<Duration> = self
            .repeats
            .windows(2)
            .filter_map(|pair| Some(pair.last()?.saturating_sub(*pair.first()?)))
            .collect();
        median(&gaps)
    }
}
