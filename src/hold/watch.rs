//! The rules common to every tier: when a prompt is armed, and what disturbs.
//!
//! Must not know: the gesture.

use std::time::Duration;

use super::cause::Cause;
use super::limit;
use super::view::Wait;
use crate::input::{Input, Key, Stamp, Stamped};

/// Follows the clocks, the screen and the silence of the gesture keys.
#[derive(Debug, Clone)]
pub(super) struct Watch {
    now: Stamp,
    last_tick: Stamp,
    drawn_since: Option<Duration>,
    silent_since: Duration,
}

impl Watch {
    /// Begins at the opening of a prompt; nothing before it counts.
    pub(super) fn new(at: Stamp) -> Self {
        Self {
            now: at,
            last_tick: at,
            drawn_since: None,
            silent_since: at.mono,
        }
    }

    /// The instant of the last input.
    pub(super) fn now(&self) -> Duration {
        self.now.mono
    }

    /// The same, on both clocks.
    pub(super) fn stamp(&self) -> Stamp {
        self.now
    }

    /// A frame that shows the prompt reached the terminal.
    pub(super) fn drawn(&mut self, at: Stamp) {
        if self.drawn_since.is_none() {
            self.drawn_since = Some(at.mono.max(self.now.mono));
        }
    }

    /// Time on the screen before this instant does not count.
    pub(super) fn drawn_not_before(&mut self, at: Duration) {
        self.drawn_since = self.drawn_since.map(|since| since.max(at));
    }

    /// The prompt is to be shown anew before it can arm.
    pub(super) fn undrawn(&mut self) {
        self.drawn_since = None;
    }

    /// Whether the prompt was drawn since it was opened or last cancelled.
    pub(super) fn is_drawn(&self) -> bool {
        self.drawn_since.is_some()
    }

    /// A gesture key moved.
    pub(super) fn touched(&mut self) {
        self.silent_since = self.now.mono;
    }

    /// What still stands against arming, and for how long at least.
    pub(super) fn waits_for(&self) -> Option<(Duration, Wait)> {
        let now = self.now.mono;
        let Some(since) = self.drawn_since else {
            return Some((limit::DRAWN, Wait::NotDrawn));
        };
        let reading = limit::DRAWN.saturating_sub(now.saturating_sub(since));
        let silence = limit::SILENT.saturating_sub(now.saturating_sub(self.silent_since));
        if silence > reading {
            Some((silence, Wait::KeyNotSilent))
        } else if reading > Duration::ZERO {
            Some((reading, Wait::Reading))
        } else {
            None
        }
    }

    /// Moves the clocks on to this input, and says what is wrong with them.
    pub(super) fn advance(&mut self, stamped: &Stamped) -> Option<Cause> {
        let before = self.now.mono;
        let backward = before.saturating_sub(stamped.at.mono);
        if backward > limit::OUT_OF_ORDER {
            self.now = stamped.at;
            self.last_tick = stamped.at;
            return Some(Cause::ClocksDisagree(backward));
        }
        self.now = Stamp {
            mono: stamped.at.mono.max(before),
            wall_ms: stamped.at.wall_ms,
        };
        let gap = self.now.mono.saturating_sub(self.last_tick.mono);
        let apart = apart(self.last_tick, self.now);
        if matches!(stamped.input, Input::Tick) {
            self.last_tick = self.now;
        }
        if gap > limit::TICK_GAP {
            Some(Cause::Stalled(gap))
        } else if apart > limit::CLOCKS_APART {
            Some(Cause::ClocksDisagree(apart))
        } else {
            None
        }
    }
}

/// How far the wall clock's step differs from the steady clock's.
fn apart(from: Stamp, to: Stamp) -> Duration {
    let wall = i128::from(to.wall_ms) - i128::from(from.wall_ms);
    let steady = to.mono.saturating_sub(from.mono).as_millis();
    let by = (wall - i128::try_from(steady).unwrap_or(i128::MAX)).unsigned_abs();
    Duration::from_millis(u64::try_from(by).unwrap_or(u64::MAX))
}

/// What cancels whatever the gesture is. Keys are judged elsewhere.
pub(super) fn disturbance(input: &Input) -> Option<Cause> {
    match input {
        Input::Paste(_) => Some(Cause::Pasted),
        Input::FocusLost => Some(Cause::FocusLost),
        Input::Resize { .. } => Some(Cause::Resized),
        Input::Mouse => Some(Cause::Mouse),
        Input::Continued => Some(Cause::Continued),
        Input::Terminate | Input::HangUp | Input::Interrupt | Input::Suspend => {
            Some(Cause::Signalled)
        }
        Input::Overflow => Some(Cause::Overflow),
        Input::DrawFailed => Some(Cause::DrawFailed),
        // A gain of focus says nothing: some multiplexers send one at the
        // start without cause.
        Input::FocusGained | Input::Tick | Input::Key { .. } => None,
    }
}

/// The two keys of tier T.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    /// F.
    Left,
    /// J.
    Right,
}

/// Which of the two keys of tier T this is. Capitals count: Caps Lock may be
/// on, and most terminals cannot tell it from Shift.
pub(super) fn side(key: Key) -> Option<Side> {
    let Key::Char(letter) = key else {
        return None;
    };
    match letter {
        'f' | 'F' => Some(Side::Left),
        'j' | 'J' => Some(Side::Right),
        _ => None,
    }
}

/// Whether this is the hold key.
pub(super) fn is_hold_key(key: Key) -> bool {
    key == Key::Char(' ')
}
