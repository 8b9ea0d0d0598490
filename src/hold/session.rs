//! What a session knows of its terminal and its person, from one hold to the
//! next.
//!
//! Invariants: proof of release is granted only by a calibration, and once
//! lost never comes back in the same session.
//!
//! Must not know: how the terminal is recognised; it is told.

use std::time::Duration;

use super::calibration::{Retry, Ruling};
use super::cause::Cause;
use super::evidence::Tier;
use super::limit;
use super::prompt::Severity;
use crate::input::{Input, Press, Stamp, Stamped};

/// What is known of this terminal's releases.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Release {
    /// Not yet tried.
    #[default]
    Unknown,
    /// Proved by a calibration.
    Proven {
        /// Whether the calibration saw the key repeat; if so, a hold must
        /// show repeats too.
        repeats: bool,
    },
    /// Tried, and not proved, or proved and then found untrue. Final.
    Refused,
}

/// The facts of one session.
#[derive(Debug, Clone)]
pub struct Session {
    terminal: String,
    local: bool,
    always_turns: bool,
    release: Release,
    key_repeats: bool,
    tries: u8,
    failures: u8,
    quiet_since: Option<Duration>,
    trail: Trail,
}

impl Session {
    /// A session on this terminal. `local` is true only where no network and
    /// no multiplexer lies between the keyboard and the program.
    pub fn new(terminal: impl Into<String>, local: bool) -> Self {
        Self {
            terminal: terminal.into(),
            local,
            always_turns: false,
            release: Release::Unknown,
            key_repeats: true,
            tries: 0,
            failures: 0,
            quiet_since: None,
            trail: Trail::default(),
        }
    }

    /// The setting for people who cannot hold a key, or have automatic repeat
    /// switched off: two keys in turn, always.
    pub fn set_always_turns(&mut self, always: bool) {
        self.always_turns = always;
    }

    /// Whether two keys in turn are used always.
    pub fn always_turns(&self) -> bool {
        self.always_turns
    }

    /// The terminal, as told.
    pub fn terminal(&self) -> &str {
        &self.terminal
    }

    /// Whether nothing lies between the keyboard and the program.
    pub fn is_local(&self) -> bool {
        self.local
    }

    /// What is known of this terminal's releases.
    pub fn release(&self) -> Release {
        self.release
    }

    /// Whether a calibration could still change the tier.
    pub fn wants_calibration(&self) -> bool {
        !self.always_turns && self.release == Release::Unknown
    }

    /// Keeps what a calibration found.
    pub(super) fn calibrated(&mut self, ruling: &Ruling) {
        if self.release == Release::Refused {
            return;
        }
        match ruling {
            Ruling::Proven { .. } => self.release = Release::Proven { repeats: true },
            Ruling::NoRepeats { .. } => {
                self.key_repeats = false;
                self.release = if self.local {
                    Release::Proven { repeats: false }
                } else {
                    Release::Refused
                };
            }
            Ruling::NoRelease | Ruling::Untrue(_) => self.release = Release::Refused,
            Ruling::Again(Retry::Disturbed(_)) => {}
            Ruling::Again(Retry::Short(_)) => {
                self.tries = self.tries.saturating_add(1);
                if self.tries >= limit::PROOF_TRIES {
                    self.release = Release::Refused;
                }
            }
        }
    }

    /// The tier for a hold of this severity now.
    pub fn tier(&self, severity: Severity) -> Tier {
        if self.always_turns {
            return Tier::Turns;
        }
        if matches!(self.release, Release::Proven { .. }) {
            return Tier::Release;
        }
        let repeat = self.key_repeats && self.failures < limit::REPEAT_FAILURES;
        match severity {
            Severity::Caution if repeat => Tier::Repeat,
            Severity::Caution | Severity::Danger => Tier::Turns,
        }
    }

    /// Whether this input falls in the time after a commit or a cancel in
    /// which keys, pastes and the pointer are thrown away. Ask before using
    /// any input outside a prompt. Signals, sizes and ticks always pass.
    pub fn swallows(&self, stamped: &Stamped) -> bool {
        self.quiet_until(stamped.at).is_some()
            && matches!(
                stamped.input,
                Input::Key { .. } | Input::Paste(_) | Input::Mouse
            )
    }

    /// How long to read and throw away what still comes, before the terminal is
    /// given back: a key let go late must not reach the shell.
    pub fn drains_for(&self) -> Duration {
        if self.local {
            limit::SWALLOW
        } else {
            limit::DRAIN_REMOTE
        }
    }

    /// The end of the time in which keys are thrown away, if it is running.
    pub(super) fn quiet_until(&self, at: Stamp) -> Option<Duration> {
        let since = self.quiet_since?;
        let until = since + limit::SWALLOW;
        (since..until).contains(&at.mono).then_some(until)
    }

    /// A commit or cancel happened: keys are thrown away from now for a while.
    pub(super) fn quiet_from(&mut self, at: Stamp) {
        self.quiet_since = Some(at.mono);
    }

    /// A tier A hold failed to show itself.
    pub(super) fn repeat_failed(&mut self) {
        self.failures = self.failures.saturating_add(1);
    }

    /// A tier A hold was committed.
    pub(super) fn repeat_succeeded(&mut self) {
        self.failures = 0;
    }

    /// Follows the hold key. Says what is wrong with a release; the proof of
    /// release is then lost for the session.
    pub(super) fn follow(&mut self, phase: Press, at: Stamp) -> Option<Cause> {
        let wrong = self.trail.follow(phase, at.mono)?;
        self.release = Release::Refused;
        Some(wrong)
    }
}

/// The hold key's way, to catch releases that no finger made.
#[derive(Debug, Clone, Copy, Default)]
struct Trail {
    pressed: Option<Duration>,
    released: bool,
}

impl Trail {
    fn follow(&mut self, phase: Press, at: Duration) -> Option<Cause> {
        match phase {
            Press::Down | Press::Repeat => {
                self.pressed = self.pressed.or(Some(at));
                self.released = false;
                None
            }
            Press::Up => {
                let twice = self.released.then_some(Cause::ReleasedTwice);
                let soon = self
                    .pressed
                    .is_some_and(|from| at.saturating_sub(from) <= limit::RELEASE_TOO_SOON)
                    .then_some(Cause::ReleaseTooSoon);
                *self = Self {
                    pressed: None,
                    released: true,
                };
                twice.or(soon)
            }
        }
    }
}
