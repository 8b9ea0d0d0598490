//! What a prompt shows of itself at an instant.
//!
//! Must not know: how it is drawn.

use std::time::Duration;

use super::cause::{Cause, Slip};
use super::evidence::{Evidence, Tier, whole_ms};

/// A prompt as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// How this hold is proved.
    pub tier: Tier,
    /// Where the gesture stands.
    pub phase: Phase,
    /// Why the last try was cancelled, until the next one begins.
    pub last_cancel: Option<Cause>,
    /// Tries cancelled so far.
    pub cancels: u32,
    /// Whether `t` chooses two keys in turn now.
    pub offers_turns: bool,
}

/// Why a prompt is not armed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wait {
    /// It has not been drawn yet.
    NotDrawn,
    /// It has not been on the screen long enough to be read.
    Reading,
    /// A gesture key was pressed a moment ago, or is held down.
    KeyNotSilent,
    /// After a cancel or a commit keys are thrown away for a moment.
    Swallowing,
}

/// Where the gesture stands.
#[derive(Debug, Clone, PartialEq)]
pub enum Phase {
    /// Not ready yet.
    Waiting {
        /// At least this long still.
        left: Duration,
        /// What is waited for.
        why: Wait,
    },
    /// Ready for the gesture.
    Armed,
    /// The gesture has begun.
    Holding {
        /// 0 to 1.
        progress: f64,
        /// Tier T: why the count began again, if it did.
        slip: Option<Slip>,
    },
    /// Complete; it commits when the key is let go.
    LetGo {
        /// It cancels after this long.
        left: Duration,
    },
    /// Tier T for a danger: the number is to be typed.
    Typing {
        /// The number.
        number: u16,
        /// How many of its digits are typed.
        typed: u8,
    },
    /// Confirmed.
    Committed(Evidence),
}

impl View {
    /// What to do now, in a sentence.
    pub fn text(&self) -> String {
        match &self.phase {
            Phase::Waiting { left, why } => self.waiting(*left, *why),
            Phase::Armed => match self.tier {
                Tier::Release | Tier::Repeat => "Hold Space until NOW LET GO is shown.".to_owned(),
                Tier::Turns => "Tap F and J in turn, about two taps a second.".to_owned(),
            },
            Phase::Holding { slip: Some(it), .. } => it.to_string(),
            Phase::Holding { .. } => match self.tier {
                Tier::Release | Tier::Repeat => "Keep holding.".to_owned(),
                Tier::Turns => "Go on: F and J in turn.".to_owned(),
            },
            Phase::LetGo { .. } => "NOW LET GO".to_owned(),
            Phase::Typing { number, typed } => {
                format!("Type the number {number:03}: {typed} of 3 digits.")
            }
            Phase::Committed(_) => "Confirmed.".to_owned(),
        }
    }

    fn waiting(&self, left: Duration, why: Wait) -> String {
        match why {
            Wait::NotDrawn => "Wait.".to_owned(),
            Wait::Reading | Wait::Swallowing => {
                format!("Read first. Ready in {:.1} s.", tenths_up(left))
            }
            Wait::KeyNotSilent => match self.tier {
                Tier::Release | Tier::Repeat => "Take your finger off Space first.".to_owned(),
                Tier::Turns => "Take your fingers off F and J first.".to_owned(),
            },
        }
    }
}

/// Seconds, in tenths, rounded up: never shows 0.0 while there is time left.
fn tenths_up(left: Duration) -> f64 {
    whole_ms(left).div_ceil(100) as f64 / 10.0
}
