//! The trial that proves, or does not prove, that this terminal tells of a key
//! let go.
//!
//! A terminal's own answer to "do you report releases?" proves nothing; only a
//! hold seen from press to release does.
//!
//! Must not know: how releases are asked for from the terminal.

use std::time::Duration;

use super::cause::Cause;
use super::limit;
use super::rhythm::median;
use super::session::Session;
use super::view::Wait;
use super::watch::{Watch, disturbance, is_hold_key};
use crate::input::{Input, Key, Modifiers, Press, Stamp, Stamped};

/// What a calibration found.
#[derive(Debug, Clone, PartialEq)]
pub enum Ruling {
    /// Press, repeats and one release: releases are told.
    Proven {
        /// Press to release.
        held: Duration,
        /// Repeats between.
        repeats: u32,
        /// Median interval between the repeats.
        median: Option<Duration>,
    },
    /// Press and release, and no repeat in between: enough only where nothing
    /// lies between the keyboard and the program.
    NoRepeats {
        /// Press to release.
        held: Duration,
    },
    /// No release came.
    NoRelease,
    /// A release came that no finger made.
    Untrue(Cause),
    /// Nothing can be said; try again.
    Again(Retry),
}

/// Why a calibration says nothing.
#[derive(Debug, Clone, PartialEq)]
pub enum Retry {
    /// Let go after this time: too soon to tell.
    Short(Duration),
    /// Something disturbed it.
    Disturbed(Cause),
}

/// Where a calibration stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CalibrationView {
    /// Not ready yet.
    Waiting {
        /// At least this long still.
        left: Duration,
        /// What is waited for.
        why: Wait,
    },
    /// Ready: hold the key for two seconds, then let go.
    Ready,
    /// The key is down for this long, with this many repeats.
    Held {
        /// Since the press.
        held: Duration,
        /// Repeats so far.
        repeats: u32,
    },
    /// A ruling was given.
    Over,
}

#[derive(Debug, Clone)]
enum Stage {
    Waiting,
    Ready,
    Held {
        pressed: Duration,
        repeats: Vec<Duration>,
    },
    Over,
}

/// One trial.
#[derive(Debug, Clone)]
pub struct Calibration {
    watch: Watch,
    stage: Stage,
}

impl Calibration {
    /// Opens a trial. It waits until it is drawn.
    pub fn new(at: Stamp) -> Self {
        Self {
            watch: Watch::new(at),
            stage: Stage::Waiting,
        }
    }

    /// A frame that shows the trial reached the terminal.
    pub fn drawn(&mut self, at: Stamp) {
        self.watch.drawn(at);
    }

    /// Takes one input. A ruling ends the trial and is kept by the session; for
    /// another try open another trial.
    pub fn take(&mut self, session: &mut Session, stamped: &Stamped) -> Option<Ruling> {
        let clocks = self.watch.advance(stamped);
        let untrue = self.follow(session, &stamped.input);
        if matches!(self.stage, Stage::Over) || session.swallows(stamped) {
            return None;
        }
        let ruling = if let Some(cause) = untrue {
            Some(Ruling::Untrue(cause))
        } else if let Some(cause) = clocks.or_else(|| disturbance(&stamped.input)) {
            Some(disturbed(cause))
        } else {
            self.step(&stamped.input)
        }?;
        self.stage = Stage::Over;
        session.quiet_from(self.watch.stamp());
        session.calibrated(&ruling);
        Some(ruling)
    }

    /// The trial as it stands at the last input.
    pub fn view(&self) -> CalibrationView {
        match &self.stage {
            Stage::Waiting => {
                let (left, why) = self
                    .watch
                    .waits_for()
                    .unwrap_or((Duration::ZERO, Wait::Reading));
                CalibrationView::Waiting { left, why }
            }
            Stage::Ready => CalibrationView::Ready,
            Stage::Held { pressed, repeats } => CalibrationView::Held {
                held: self.watch.now().saturating_sub(*pressed),
                repeats: count(repeats),
            },
            Stage::Over => CalibrationView::Over,
        }
    }

    fn follow(&mut self, session: &mut Session, input: &Input) -> Option<Cause> {
        let &Input::Key { key, phase, .. } = input else {
            return None;
        };
        if !is_hold_key(key) {
            return None;
        }
        self.watch.touched();
        session.follow(phase, self.watch.stamp())
    }

    fn step(&mut self, input: &Input) -> Option<Ruling> {
        if let &Input::Key {
            key,
            modifiers,
            phase,
        } = input
        {
            self.key(key, modifiers, phase)
        } else if *input == Input::Tick {
            self.tick()
        } else {
            None
        }
    }

    fn tick(&mut self) -> Option<Ruling> {
        let now = self.watch.now();
        match &self.stage {
            Stage::Waiting => {
                if self.watch.waits_for().is_none() {
                    self.stage = Stage::Ready;
                }
                None
            }
            Stage::Held { pressed, repeats } => {
                let (last, patience) = match repeats.last() {
                    Some(last) => (*last, limit::PROOF_SILENCE),
                    None => (*pressed, limit::PROOF_PATIENCE),
                };
                (now.saturating_sub(last) > patience).then_some(Ruling::NoRelease)
            }
            Stage::Ready | Stage::Over => None,
        }
    }

    fn key(&mut self, key: Key, modifiers: Modifiers, phase: Press) -> Option<Ruling> {
        let now = self.watch.now();
        if phase == Press::Up && matches!(self.stage, Stage::Waiting) {
            return None;
        }
        if !is_hold_key(key) {
            return Some(disturbed(Cause::OtherKey { key, modifiers }));
        }
        if !modifiers.is_none() {
            return Some(disturbed(Cause::Modified));
        }
        match (&mut self.stage, phase) {
            (Stage::Ready, Press::Down) => {
                self.stage = Stage::Held {
                    pressed: now,
                    repeats: Vec::new(),
                };
                None
            }
            (Stage::Ready, Press::Repeat) => Some(disturbed(Cause::RepeatWithoutPress)),
            (Stage::Ready, Press::Up) => {
                self.stage = Stage::Waiting;
                None
            }
            (Stage::Held { repeats, .. }, Press::Down | Press::Repeat) => {
                repeats.push(now);
                None
            }
            (Stage::Held { pressed, repeats }, Press::Up) => Some(ruling(*pressed, repeats, now)),
            (Stage::Waiting | Stage::Over, Press::Down | Press::Repeat | Press::Up) => None,
        }
    }
}

/// The ruling on a press, its repeats and its release.
fn ruling(pressed: Duration, repeats: &[Duration], released: Duration) -> Ruling {
    let held = released.saturating_sub(pressed);
    if held >= limit::PROOF_HELD && repeats.len() >= limit::PROOF_REPEATS {
        let gaps: Vec<Duration> = repeats
            .windows(2)
            .filter_map(|pair| Some(pair.last()?.saturating_sub(*pair.first()?)))
            .collect();
        return Ruling::Proven {
            held,
            repeats: count(repeats),
            median: median(&gaps),
        };
    }
    if repeats.is_empty() && held >= limit::PROOF_NO_REPEAT {
        return Ruling::NoRepeats { held };
    }
    Ruling::Again(Retry::Short(held))
}

fn count(repeats: &[Duration]) -> u32 {
    u32::try_from(repeats.len()).unwrap_or(u32::MAX)
}

fn disturbed(cause: Cause) -> Ruling {
    Ruling::Again(Retry::Disturbed(cause))
}
