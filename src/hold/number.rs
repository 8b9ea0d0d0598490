//! The number that is typed after taps in turn, for a danger.
//!
//! Must not know: where the number comes from.

use std::time::Duration;

use super::cause::Cause;
use super::limit;
use super::strand::{Progress, Tally};
use crate::input::Press;

/// The typing of one number.
#[derive(Debug, Clone)]
pub(super) struct Number {
    shown: u16,
    typed: u8,
    last: Duration,
    taps: Tally,
}

impl Number {
    /// Begins when the taps are complete and the keys are let go.
    pub(super) fn new(shown: u16, taps: Tally, at: Duration) -> Self {
        Self {
            shown,
            typed: 0,
            last: at,
            taps,
        }
    }

    /// A digit key moved. Only presses count; a digit that repeats by itself
    /// is not typed.
    pub(super) fn digit(&mut self, digit: u32, phase: Press, at: Duration) -> Progress {
        if phase != Press::Down {
            return Progress::On;
        }
        let gap = at.saturating_sub(self.last);
        if self.typed > 0 && gap < limit::DIGIT_GAP {
            return Progress::Failed(Cause::DigitsTooFast);
        }
        if digit != self.due() {
            return Progress::Failed(Cause::WrongDigit);
        }
        self.last = at;
        self.typed += 1;
        if self.typed >= 3 {
            Progress::Done
        } else {
            Progress::On
        }
    }

    /// Time passes.
    pub(super) fn tick(&self, at: Duration) -> Progress {
        if at.saturating_sub(self.last) > limit::DIGIT_WAIT {
            Progress::Failed(Cause::DigitsTooSlow)
        } else {
            Progress::On
        }
    }

    /// The number.
    pub(super) fn shown(&self) -> u16 {
        self.shown
    }

    /// How many digits are typed.
    pub(super) fn typed(&self) -> u8 {
        self.typed
    }

    /// The taps before.
    pub(super) fn taps(&self) -> Tally {
        self.taps
    }

    fn due(&self) -> u32 {
        let digit = match self.typed {
            0 => self.shown / 100,
            1 => self.shown / 10 % 10,
            _ => self.shown % 10,
        };
        u32::from(digit)
    }
}
