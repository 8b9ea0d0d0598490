//! A live valve of the simulated truck: open for as long as there is evidence
//! of a key down.
//!
//! Invariants: it opens only on a press; without evidence it shuts by itself;
//! whatever cancels a hold shuts it.
//!
//! Must not know: which valve it is. Never used for anything but a simulation.

use std::time::Duration;

use super::evidence::Tier;
use super::limit;
use super::prompt::Severity;
use super::rhythm::median;
use super::session::{Release, Session};
use super::watch::{Watch, disturbance};
use crate::input::{Input, Key, Press, Stamp, Stamped};

/// How many of the last repeats the median is taken of.
const REMEMBERED: usize = 9;

/// How far a run of one key's events has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Run {
    Ended,
    Pressed,
    Repeating,
}

/// One valve and its key.
#[derive(Debug, Clone)]
pub struct Valve {
    key: Key,
    watch: Watch,
    tier: Tier,
    repeats_due: bool,
    last: Duration,
    barred: bool,
    gaps: Vec<Duration>,
    run: Run,
    opened: bool,
    shuts: Option<Duration>,
}

impl Valve {
    /// A shut valve that this key opens.
    pub fn new(session: &Session, key: Key, at: Stamp) -> Self {
        Self {
            key,
            watch: Watch::new(at),
            tier: session.tier(Severity::Caution),
            repeats_due: session.release() != Release::Proven { repeats: false },
            last: at.mono,
            // The key may be down already.
            barred: true,
            gaps: Vec::new(),
            run: Run::Ended,
            opened: false,
            shuts: None,
        }
    }

    /// Whether it judges its key by what is known of keys in this session; a trial may
    /// have shown more since it was made.
    pub fn suits(&self, session: &Session) -> bool {
        let fresh = Self::new(session, self.key, Stamp::from_millis(0, 0));
        (self.tier, self.repeats_due) == (fresh.tier, fresh.repeats_due)
    }

    /// Whether the valve is open at the last input.
    pub fn is_open(&self) -> bool {
        self.opened
    }

    /// The instant at which it shuts if nothing more comes; none while it is
    /// shut, or where only a release shuts it.
    pub fn shuts_at(&self) -> Option<Duration> {
        self.shuts
    }

    /// Takes one input; says whether the valve is open after it. Give it every
    /// input, ticks among them.
    pub fn take(&mut self, stamped: &Stamped) -> bool {
        let clocks = self.watch.advance(stamped);
        let now = self.watch.now();
        if self.shuts.is_some_and(|at| now >= at) {
            self.opened = false;
            self.shuts = None;
            if self.run == Run::Repeating {
                self.end_run();
            }
        }
        if clocks.is_some() || disturbance(&stamped.input).is_some() {
            self.shut();
        } else if let Input::Key {
            key,
            modifiers,
            phase,
        } = stamped.input
        {
            if key == self.key && modifiers.is_none() {
                self.moved(phase, now);
            } else if phase != Press::Up {
                self.shut();
            }
        }
        self.is_open()
    }

    fn moved(&mut self, phase: Press, now: Duration) {
        let gap = now.saturating_sub(self.last);
        let silent = gap >= limit::SILENT;
        self.last = now;
        if phase == Press::Up {
            self.shut();
            self.barred = false;
            return;
        }
        if self.barred {
            // Only a press after silence, or after a release, opens again.
            if !silent || phase == Press::Repeat {
                return;
            }
            self.barred = false;
        }
        if silent || self.run == Run::Ended || self.tier == Tier::Turns {
            self.end_run();
            self.run = Run::Pressed;
        } else {
            // The first gap of a run is the delay before the repeat.
            if self.run == Run::Repeating {
                self.gaps.push(gap);
            }
            self.run = Run::Repeating;
        }
        if self.gaps.len() > REMEMBERED {
            self.gaps.remove(0);
        }
        self.opened = true;
        self.shuts = self.patience().map(|time| now + time);
    }

    fn end_run(&mut self) {
        self.run = Run::Ended;
        self.gaps.clear();
    }

    /// How long the evidence of this event lasts; none where a release must
    /// come and no repeat does.
    fn patience(&self) -> Option<Duration> {
        let (least, most) = limit::VALVE_SILENCE;
        let after_repeat = || {
            median(&self.gaps).map_or(most, |it| (it * limit::SILENCE_MEDIANS).clamp(least, most))
        };
        match self.tier {
            Tier::Turns => Some(limit::VALVE_TAP),
            Tier::Repeat if self.run == Run::Repeating => Some(after_repeat()),
            Tier::Repeat => Some(limit::VALVE_PRESS),
            Tier::Release if !self.repeats_due => None,
            Tier::Release if self.run == Run::Repeating => Some(after_repeat()),
            // The slowest delay before a repeat that is due.
            Tier::Release => Some(limit::SILENT),
        }
    }

    /// Shuts the valve. The key must be let go, or silent, and pressed anew.
    pub fn shut(&mut self) {
        self.opened = false;
        self.shuts = None;
        self.barred = true;
        self.end_run();
    }
}
