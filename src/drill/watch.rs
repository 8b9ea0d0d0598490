//! What goes on while time goes by: the trace, what is held too long, what moves by
//! itself.
//!
//! Must not know: keys; the procedure beyond its sheet.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "few deeds can be unsafe by themselves"
)]

use super::{Act, Drill};
use crate::job::Setup;
use crate::procedure::SheetKey;
use crate::rig::{By, Hand, Happening, Level, Side, Spot, Way};

/// A point of the trace.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// When, ms.
    pub at_ms: u64,
    /// Frame to axle, m.
    pub height: [f64; 2],
    /// Gauge pressure of the bellows, bar, as it truly is.
    pub bar: [f64; 2],
    /// Reservoir, bar.
    pub reservoir: f64,
    /// Height value.
    pub counts: f64,
}

/// How often the trace is taken, ms.
const SAMPLE_MS: u64 = 500;

/// How often it is looked at what goes on, ms.
const LOOK_MS: u64 = 100;

/// Raise may be held so long at the stop, ms: common practice says let go within a
/// second.
const AT_STOP_MS: u64 = 1_000;

/// The same act within so long is one act, ms. *Ours.*
const ONE_ACT_MS: u64 = 10_000;

/// A jump that is an unsafe act, mm.
const JUMP_MM: f64 = 20.0;

/// The air carries less than this share of the frame when it sits elsewhere. *Ours.*
const AFLOAT: f64 = 0.15;

/// A frame at its upper stop sinks no further than this as its air cools, m.
const SINKS: f64 = 0.003;

/// A stand catches the frame within this gap, m: common practice sets it 5 to 10 mm
/// below, and the frame sinks a little as its air cools.
const CAUGHT: f64 = 0.015;

/// A step's name without the place of its fragment.
pub(super) fn step_name(step: &str) -> &str {
    step.rsplit_once("__").map_or(step, |(_, name)| name)
}

impl Drill {
    /// Lets time go by.
    pub fn pass(&mut self, setup: &Setup, ms: u64) -> Vec<Happening> {
        let mut all = Vec::new();
        let mut left = ms;
        while left > 0 {
            let now = self.now_ms();
            let run = left.min(LOOK_MS - now % LOOK_MS);
            let happened = self.bay.pass(run);
            left -= run;
            self.take_happenings(&happened);
            all.extend(happened);
            if self.now_ms().is_multiple_of(LOOK_MS) {
                self.look_on(setup);
            }
        }
        all
    }

    fn look_on(&mut self, setup: &Setup) {
        let now = self.now_ms();
        self.go_on_looking();
        let seen = self.bay.readout();
        if now.is_multiple_of(SAMPLE_MS) {
            self.trace.push(Sample {
                at_ms: now,
                height: seen.height,
                bar: seen.true_bar,
                reservoir: seen.reservoir_bar,
                counts: seen.counts,
            });
        }
        if self.bay.held.is_some() || self.bay.levelling.opens().is_some() {
            self.moved_ms = now;
        }
        let raised = matches!(self.bay.held, Some((Way::Up, _)));
        let pulls = raised && seen.upper.iter().any(|n| *n > 1.0);
        self.at_stop_ms = if pulls { self.at_stop_ms + LOOK_MS } else { 0 };
        if self.at_stop_ms > AT_STOP_MS {
            self.once(Act::PastStop, || {
                "Raise was still held more than a second after the stop.".to_owned()
            });
        }
        let limit = sheet_bar(setup, "upper_pressure");
        let most = seen.true_bar[0].max(seen.true_bar[1]);
        if raised && limit.is_some_and(|limit| most > limit) {
            self.once(Act::OverPressure, || {
                format!("{most:.2} bar in the bellows.")
            });
        }
        self.look_on_people();
    }

    fn look_on_people(&mut self) {
        let by_itself = self.bay.levelling.opens().is_some();
        if by_itself && let Some(who) = self.near() {
            self.once(Act::SelfMove, || {
                format!("Levelling moved the frame with {who}.")
            });
        }
        if self.bay.spot == Spot::Under && self.afloat() {
            self.once(Act::UnderOnAir, || "The frame hung on air.".to_owned());
        }
    }

    /// Who stands where a moving frame catches them.
    fn near(&self) -> Option<String> {
        if self.bay.spot == Spot::Under {
            return Some("you under the truck".to_owned());
        }
        let at = self.bay.helper;
        (at != Spot::Line).then(|| format!("your helper at the {}", at.title()))
    }

    /// The same for a frame that is moved on purpose: nobody has to be at a wheel then.
    fn near_or_at_wheel(&self) -> Option<String> {
        let at = self.bay.spot;
        let wheel = matches!(at, Spot::LeftWheel | Spot::RightWheel);
        self.near()
            .or_else(|| wheel.then(|| format!("you at the {}", at.title())))
    }

    /// Whether the frame is not safely down on both blocks.
    fn afloat(&self) -> bool {
        !(self.bay.sits_on_blocks() && self.bay.air_carries() < AFLOAT)
    }

    /// Commits an act unless the same one was committed just now.
    pub(super) fn once(&mut self, act: Act, what: impl FnOnce() -> String) {
        let now = self.now_ms();
        let last = self.unsafe_acts.iter().rev().find(|c| c.act == act);
        if last.is_none_or(|c| now.saturating_sub(c.at_ms) >= ONE_ACT_MS) {
            self.commit(act, what());
        }
    }

    /// What is unsafe about a deed, by how the truck stands before it.
    pub(super) fn judge_before(&self, setup: &Setup, hand: &Hand) -> Vec<(Act, String)> {
        match hand {
            Hand::Open(way, reach) if self.bay.held != Some((*way, *reach)) => {
                self.judge_move(setup, *way)
            }
            Hand::Ride => self.judge_people_and_chocks("Ride height was called", self.near()),
            Hand::Levelling(true) => {
                self.judge_people_and_chocks("Levelling was started", self.near())
            }
            Hand::Block(side, _, by) => self.judge_block(*side, *by),
            Hand::Wipe(side) | Hand::Square(side) => self.judge_block(*side, By::Hand),
            Hand::Look(Spot::Under) => self.judge_under(),
            Hand::Brake(false) if !self.bay.front_chocks => {
                vec![(Act::NotChocked, "The parking brake was let off.".to_owned())]
            }
            _ => Vec::new(),
        }
    }

    fn judge_people_and_chocks(&self, what: &str, near: Option<String>) -> Vec<(Act, String)> {
        let mut found = Vec::new();
        if let Some(who) = near {
            found.push((Act::MovedOnSomeone, format!("{what} with {who}.")));
        }
        if !self.bay.front_chocks {
            found.push((Act::NotChocked, format!("{what}.")));
        }
        if self.bay.stands != [false; 2] {
            found.push((Act::StandsIn, format!("{what}.")));
        }
        found
    }

    fn judge_move(&self, setup: &Setup, way: Way) -> Vec<(Act, String)> {
        let what = match way {
            Way::Up => "Raise was opened",
            Way::Down => "Lower was opened",
        };
        let mut found = self.judge_people_and_chocks(what, self.near_or_at_wheel());
        let free = sheet_word(setup, "brake_while_setting").is_some_and(|w| w == "released");
        if self.bay.wheels_held() && free && self.bay.truck.arm.is_some() {
            let by = if self.bay.brake {
                "the parking brake"
            } else {
                "a chock at a drive wheel"
            };
            found.push((Act::BrakeHeld, format!("{what} with {by} on.")));
        }
        if way == Way::Down {
            found.extend(self.judge_lowering());
        }
        found
    }

    fn judge_lowering(&self) -> Vec<(Act, String)> {
        let mut found = Vec::new();
        let fitted = self.bay.fitted;
        let one = fitted[0].is_some() != fitted[1].is_some();
        if one {
            found.push((Act::HalfBlocks, "Only one block was in.".to_owned()));
        }
        for side in Side::BOTH {
            let Some(block) = side.of(fitted) else {
                continue;
            };
            let word = side.word();
            if block.tipped {
                found.push((Act::HalfBlocks, format!("The {word} block stood tipped.")));
            } else if side.of(self.bay.dirt) > 0.0 {
                let mm = side.of(self.bay.dirt) * 1000.0;
                let what = format!("The {word} block stood on {mm:.0} mm of dirt.");
                found.push((Act::HalfBlocks, what));
            }
            if side.of(self.bay.hose) > 0.0 {
                let what = format!("A hose lay on the {word} block.");
                found.push((Act::HoseCaught, what));
            }
        }
        found
    }

    fn judge_block(&self, side: Side, by: By) -> Vec<(Act, String)> {
        let mut found = Vec::new();
        let word = side.word();
        if self.bay.held.is_some() || self.bay.levelling.opens().is_some() {
            found.push((Act::BlockValveOpen, format!("At the {word} block.")));
        }
        if by == By::Handle {
            return found;
        }
        let caught = Side::BOTH
            .into_iter()
            .all(|s| self.bay.stand_gap(s).is_some_and(|gap| gap <= CAUGHT));
        if !caught && self.afloat() {
            found.push((
                Act::HandsOnAir,
                format!("At the {word} gap, no stands close under both rails."),
            ));
        }
        if !self.bay.levelling.stopped {
            found.push((
                Act::SelfMove,
                format!("At the {word} gap, levelling not stopped."),
            ));
        }
        found
    }

    fn judge_under(&self) -> Vec<(Act, String)> {
        let mut found = Vec::new();
        if self.afloat() {
            found.push((
                Act::UnderOnAir,
                "The frame did not sit on both blocks with the air out.".to_owned(),
            ));
        }
        if !self.bay.levelling.stopped {
            found.push((
                Act::SelfMove,
                "Under the truck, levelling not stopped.".to_owned(),
            ));
        }
        if self.bay.key {
            found.push((Act::KeyLeft, "The ignition was on.".to_owned()));
        }
        found
    }

    /// Whether both sides are at their upper stops; as the air cools the frame sinks a
    /// little there.
    fn at_upper_stop(&self) -> bool {
        let heights = self.bay.readout().height;
        let stops = self.bay.rig.params.s_up;
        heights
            .iter()
            .zip(stops)
            .all(|(height, stop)| *height > stop - SINKS)
    }

    /// A height that was kept: whether the frame sat where it should.
    pub(super) fn judge_store(&mut self, level: Level) {
        let seen = self.bay.readout();
        let carried = self.bay.air_carries();
        let wrong = match level {
            Level::Ride if self.bay.fitted.iter().all(Option::is_none) => None,
            Level::Ride => self.afloat().then(|| {
                format!(
                    "The air still carried {:.0} % of the frame, or a block was loose.",
                    carried * 100.0
                )
            }),
            Level::Upper => (!self.at_upper_stop())
                .then(|| "The frame was not at its upper stop on both sides.".to_owned()),
            Level::Lower => {
                (!(seen.bump.iter().all(|n| *n > 1.0) && carried < AFLOAT)).then(|| {
                    format!(
                        "The frame did not lie on both stops; the air still carried {:.0} %.",
                        carried * 100.0
                    )
                })
            }
        };
        if let Some(what) = wrong {
            self.once(Act::StoredAfloat, || what);
        }
    }

    /// What was wound up let go.
    pub(super) fn judge_jump(&mut self, mm: f64) {
        if mm > JUMP_MM {
            self.commit(Act::Jump, format!("It jumped {mm:.0} mm."));
        }
    }

    /// When the frame was last moved, ms.
    pub(super) const fn moved_ms(&self) -> u64 {
        self.moved_ms
    }

    /// When the step at hand was opened, ms.
    pub(super) const fn entered_ms(&self) -> u64 {
        self.entered_ms
    }
}

/// A pressure of the sheet, bar.
pub(super) fn sheet_bar(setup: &Setup, key: &str) -> Option<f64> {
    let key = SheetKey::new(key).ok()?;
    Some(setup.sheet.quantity(&key)?.si() / 1e5)
}

fn sheet_word<'s>(setup: &'s Setup, key: &str) -> Option<&'s str> {
    let key = SheetKey::new(key).ok()?;
    setup.sheet.word(&key)
}
