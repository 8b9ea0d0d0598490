//! The gesture of whichever tier is in use, as one.
//!
//! Must not know: what cancels in every tier; the judge asks that first.

use std::time::Duration;

use super::cause::Cause;
use super::limit;
use super::proven::Proven;
use super::repeat::Repeat;
use super::turn::Turn;
use super::view::Phase;
use super::watch::Side;
use crate::input::Press;

/// What a gesture made of an input.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Progress {
    /// It goes on.
    On,
    /// It is complete, and the key is let go.
    Done,
    /// It is not what it should be.
    Failed(Cause),
}

/// What was seen of a gesture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Tally {
    /// How long it took.
    pub(super) held: Duration,
    /// Events of the gesture keys.
    pub(super) events: usize,
    /// Median interval.
    pub(super) median: Option<Duration>,
}

/// The gesture of one tier.
#[derive(Debug, Clone)]
pub(super) enum Strand {
    Proven(Proven),
    Repeat(Repeat),
    Turn(Turn),
}

impl Strand {
    pub(super) fn tick(&mut self, at: Duration) -> Progress {
        match self {
            Self::Proven(it) => it.tick(at),
            Self::Repeat(it) => it.tick(at),
            Self::Turn(it) => it.tick(at),
        }
    }

    pub(super) fn key(&mut self, touch: Touch, phase: Press, at: Duration) -> Progress {
        match (self, touch) {
            (Self::Proven(it), Touch::Hold) => it.key(phase, at),
            (Self::Repeat(it), Touch::Hold) => it.key(phase, at),
            (Self::Turn(it), Touch::Tap(side)) => it.key(side, phase, at),
            (Self::Turn(_), Touch::Hold) | (Self::Proven(_) | Self::Repeat(_), Touch::Tap(_)) => {
                Progress::On
            }
        }
    }

    pub(super) fn full(&self) -> Option<Duration> {
        match self {
            Self::Proven(it) => it.full(),
            Self::Repeat(it) => it.full(),
            Self::Turn(it) => it.full(),
        }
    }

    pub(super) fn tally(&self) -> Tally {
        match self {
            Self::Proven(it) => it.tally(),
            Self::Repeat(it) => it.tally(),
            Self::Turn(it) => it.tally(),
        }
    }

    pub(super) fn phase(&self, now: Duration) -> Phase {
        if let Some(full) = self.full() {
            let left = limit::LET_GO.saturating_sub(now.saturating_sub(full));
            return Phase::LetGo { left };
        }
        let (progress, slip) = match self {
            Self::Proven(it) => (it.progress(now), None),
            Self::Repeat(it) => (it.progress(now), None),
            Self::Turn(it) => (it.progress(), it.slip()),
        };
        Phase::Holding {
            progress: progress.clamp(0.0, 1.0),
            slip,
        }
    }
}

/// A gesture key of the tier in use.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Touch {
    Hold,
    Tap(Side),
}
