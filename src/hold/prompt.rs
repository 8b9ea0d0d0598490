//! What a hold is asked for.
//!
//! Invariant: the time is never under the least for its severity.
//!
//! Must not know: the step that asks.

use std::time::Duration;

use super::limit;

/// How much harm a mistaken confirmation can do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Tiers R, A and T will do.
    Caution,
    /// Only proven release, or two keys in turn and a typed number.
    Danger,
}

/// A hold that is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Prompt {
    severity: Severity,
    hold: Duration,
    number: u16,
}

impl Prompt {
    /// A prompt of this severity. `hold` is what the author asks for, if
    /// anything; a shorter time than the severity demands is not taken.
    /// `number` is the random number to be typed in tier T for a danger; one that
    /// has not three digits is brought to three.
    pub fn new(severity: Severity, hold: Option<Duration>, number: u16) -> Self {
        let least = match severity {
            Severity::Caution => limit::HOLD_CAUTION,
            Severity::Danger => limit::HOLD_DANGER,
        }
        .max(limit::HOLD_FLOOR);
        Self {
            severity,
            hold: hold.unwrap_or(least).max(least),
            number: match number {
                100..=999 => number,
                other => 100 + other % 900,
            },
        }
    }

    /// How much harm a mistake can do.
    pub fn severity(&self) -> Severity {
        self.severity
    }

    /// How long the key is to be held.
    pub fn hold(&self) -> Duration {
        self.hold
    }

    /// The number to be typed, 100 to 999.
    pub fn number(&self) -> u16 {
        self.number
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_author_may_raise_the_time_and_never_lower_it() {
        let ms = Duration::from_millis;
        let hold = |severity, asked| Prompt::new(severity, asked, 0).hold();
        assert_eq!(hold(Severity::Caution, None), ms(1500));
        assert_eq!(hold(Severity::Danger, None), ms(2500));
        assert_eq!(hold(Severity::Caution, Some(ms(1))), ms(1500));
        assert_eq!(hold(Severity::Danger, Some(ms(1600))), ms(2500));
        assert_eq!(hold(Severity::Danger, Some(ms(4000))), ms(4000));
    }

    #[test]
    fn the_number_always_has_three_digits() {
        for number in 0..=u16::MAX {
            let shown = Prompt::new(Severity::Danger, None, number).number();
            assert!((100..1000).contains(&shown));
        }
        assert_eq!(Prompt::new(Severity::Danger, None, 13).number(), 113);
    }
}
