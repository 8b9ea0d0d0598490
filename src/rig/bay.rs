//! The truck in its bay: the physics, and everything a person can set, open, fit,
//! look at and press around it.
//!
//! Time is counted in whole steps of the physics. Pure and seeded: the same truck,
//! faults, seed and deeds give the same bay, bit for bit on one platform.
//!
//! Must not know: procedures, keys, clocks.

mod act;
mod begin;
mod sight;

use std::sync::Arc;

use super::Rig;
use super::equipment::{Equipment, Write};
use super::hand::{Reach, Way};
use super::happening::Happening;
use super::levelling::{Levelling, WAKES_MS};
use super::readout::Readout;
use super::spot::{Side, Spot};
use super::truck::{Fact, Fault, Truck};

pub use sight::{Seen, Sight, sights};

/// Steps of the physics between two looks at what the bay does by itself.
const TICK: u32 = 20;

/// The frame counts as still below this rate, m/s.
const STILL: f64 = 4.0e-4;

/// Needles count as still below this difference between true and shown, bar.
const NEEDLE_STILL: f64 = 0.004;

/// A block carries more than this, N: it can't be moved.
const TIGHT: f64 = 500.0;

/// How much higher a tipped block stands, m.
const TIPPED: f64 = 0.004;

/// Brake circuits are never filled higher, bar.
const BRAKE_MOST: f64 = 8.0;

/// How far a stand is set below the frame, m.
const STAND_BELOW: f64 = 0.007;

/// A block in the gap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitted {
    /// It stands tipped.
    pub tipped: bool,
}

/// The bay.
#[derive(Debug, Clone, PartialEq)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "brake, chocks, key and the like are each on or off, in any mix"
)]
pub struct Bay {
    /// The physics.
    pub rig: Rig,
    /// The truck.
    pub truck: Arc<Truck>,
    /// Its faults that are not mended.
    pub faults: Vec<Arc<Fault>>,
    /// Control unit and equipment.
    pub equipment: Equipment,
    /// Levelling.
    pub levelling: Levelling,
    /// True heights of the blocks, m.
    pub blocks: [f64; 2],
    /// Blocks in the gap.
    pub fitted: [Option<Fitted>; 2],
    /// Dirt on the seats, m.
    pub dirt: [f64; 2],
    /// Something that lies in the gap, so thick, m.
    pub hose: [f64; 2],
    /// A block set by hand will stand tipped.
    pub tips: [bool; 2],
    /// Stands under the rails.
    pub stands: [bool; 2],
    /// Where the person stands.
    pub spot: Spot,
    /// Where the helper stands; behind the line nobody is in the way.
    pub helper: Spot,
    /// The valve that a person holds open.
    pub held: Option<(Way, Reach)>,
    /// Since when, ms.
    pub held_since_ms: u64,
    /// Parking brake.
    pub brake: bool,
    /// Chocks at both front wheels, front and back.
    pub front_chocks: bool,
    /// A chock tight against a drive wheel.
    pub drive_chock: bool,
    /// Support charger.
    pub charger: bool,
    /// Mudguards are on.
    pub mudguards: bool,
    /// Gauges are on their points.
    pub gauges: bool,
    /// Each gauge is on the other one's point.
    pub swapped: bool,
    /// Ignition.
    pub key: bool,
    /// There is air at the wall: nobody has shut it elsewhere.
    pub air_at_wall: bool,
    /// Rolled since the start.
    pub rolled: bool,
    /// What was written counts now.
    pub settings_taken: bool,
    /// Pressure of the brake circuits, bar.
    pub brake_bar: f64,
    /// How far the wheels would have rolled while they were held, m.
    pub wound: f64,
    /// The highest that either gauge showed since the last raise began, bar.
    pub peak: f64,
    /// How long the last raise took, ms.
    pub raise_ms: u64,
    /// Height value when the last raise began.
    raised_from: f64,
    /// The same, when it ended.
    raised_to: f64,
    last_height: f64,
    steps: u64,
}

impl Bay {
    /// Milliseconds since the start.
    pub const fn now_ms(&self) -> u64 {
        self.steps
    }

    /// What the physics shows.
    pub fn readout(&self) -> Readout {
        self.rig.readout()
    }

    /// Lets time go by, one step of the physics a millisecond.
    pub fn pass(&mut self, ms: u64) -> Vec<Happening> {
        let mut happened = Vec::new();
        let mut left = ms;
        while left > 0 {
            // Up to the next instant at which the bay looks at itself.
            let into = self.steps % u64::from(TICK);
            let run = left.min(u64::from(TICK) - into);
            self.rig.run(run as u32);
            self.steps += run;
            left -= run;
            if self.steps.is_multiple_of(u64::from(TICK)) {
                self.look_at_itself(&mut happened);
            }
        }
        happened
    }

    fn look_at_itself(&mut self, happened: &mut Vec<Happening>) {
        let seen = self.rig.readout();
        let now = self.steps;
        self.brake_bar = self.brake_bar.max(seen.reservoir_bar.min(BRAKE_MOST));
        let [left, right, _] = seen.gauge;
        self.peak = self.peak.max(left).max(right);
        self.wind(&seen);
        happened.extend(self.equipment.pass(now));
        let idle = self.levelling.rests_since_ms;
        let may_level = self.key && !self.equipment.setting && self.held.is_none();
        if may_level
            && !self.levelling.stopped
            && idle.is_some_and(|since| now.saturating_sub(since) >= WAKES_MS)
        {
            self.levelling.rests_since_ms = None;
            happened.push(Happening::LevellingWoke);
        }
        let target = self.equipment.stored.first().copied().unwrap_or_default();
        self.levelling.decide(now, may_level, seen.counts, target);
        self.set_valves();
    }

    /// What the wheels would have rolled, while brake or chock held them.
    fn wind(&mut self, seen: &Readout) {
        let [left, right] = seen.height;
        let height = f64::midpoint(left, right);
        if let Some(arm) = &self.truck.arm
            && self.wheels_held()
        {
            let seat = self.rig.params.d_seat;
            self.wound += arm.roll(self.last_height, height, seat);
        }
        self.last_height = height;
    }

    /// Whether the drive wheels can't turn.
    pub const fn wheels_held(&self) -> bool {
        self.brake || self.drive_chock
    }

    /// Brings valves, blocks, stands and what lies in the gap to the physics.
    fn set_valves(&mut self) {
        let mut inputs = self.rig.inputs;
        let by_itself = self.levelling.opens().map(|way| (way, Reach::Both));
        let open = self.held.or(by_itself);
        for side in Side::BOTH {
            let way = open
                .filter(|(_, reach)| reach.takes(side))
                .map(|(way, _)| way);
            *side.of_mut(&mut inputs.raise) = way == Some(Way::Up);
            *side.of_mut(&mut inputs.lower) = way == Some(Way::Down);
            let top = side.of(self.fitted).map(|fitted| self.top_of(side, fitted));
            *side.of_mut(&mut inputs.block) = top.unwrap_or(0.0);
            let hose = side.of(self.hose);
            let lump = top.filter(|_| hose > 0.0).map(|top| top + hose);
            *side.of_mut(&mut inputs.lump) = lump.unwrap_or(0.0);
        }
        self.rig.inputs = inputs;
    }

    /// How high over the seat a block stands, m: with the dirt under it, and tipped.
    fn top_of(&self, side: Side, fitted: Fitted) -> f64 {
        let tipped = if fitted.tipped { TIPPED } else { 0.0 };
        side.of(self.blocks) + side.of(self.dirt) + tipped
    }

    /// The highest that a stand set now would reach, m over the floor.
    fn stand_top(&self, side: Side) -> f64 {
        self.rig.over_floor(side.at(self.rig.params.y_st)) - STAND_BELOW
    }

    /// The gap between a stand and the frame, m, if one stands there.
    pub fn stand_gap(&self, side: Side) -> Option<f64> {
        let top = side.of(self.rig.inputs.stand);
        side.of(self.stands)
            .then(|| (self.stand_top(side) + STAND_BELOW - top).max(0.0))
    }

    /// Whether the frame stands still.
    pub fn still(&self) -> bool {
        self.rig
            .readout()
            .rate
            .iter()
            .all(|rate| rate.abs() < STILL)
    }

    /// Whether the needles stand still.
    pub fn needles_still(&self) -> bool {
        let seen = self.rig.readout();
        let params = &self.rig.params;
        let [left, right, _] = seen.gauge;
        let shown = [(left, 0), (right, 1)];
        shown
            .into_iter()
            .zip(seen.true_bar)
            .all(|((shown, at), real)| {
                let scale = params.g_scale.get(at).copied().unwrap_or(1.0);
                let off = params.g_off.get(at).copied().unwrap_or(0.0);
                (shown - off - scale * real).abs() < NEEDLE_STILL
            })
    }

    /// Whether any valve is open or anything still moves: only then must it be drawn
    /// often.
    pub fn moves(&self) -> bool {
        self.held.is_some()
            || self.levelling.opens().is_some()
            || !self.still()
            || !self.needles_still()
            || matches!(self.equipment.write, Write::Running { .. })
    }

    /// Whether a fact is so.
    pub fn is(&self, fact: Fact) -> bool {
        match fact {
            Fact::ChargerOn => self.charger,
            Fact::ShopAirOpen => self.rig.inputs.feed,
            Fact::BrakeOn => self.brake,
            Fact::MudguardsOff => !self.mudguards,
            Fact::Written => self.settings_taken,
            Fact::Rolled => self.rolled,
            Fact::LevellingStopped => self.levelling.stopped,
        }
    }

    /// Mean frame-to-axle height, m.
    pub fn height(&self) -> f64 {
        let [left, right] = self.rig.readout().height;
        f64::midpoint(left, right)
    }

    /// Whether the frame sits on both blocks, which then can't be moved.
    pub fn sits_on_blocks(&self) -> bool {
        let load = self.rig.readout().block;
        Side::BOTH
            .into_iter()
            .all(|side| side.of(self.fitted).is_some() && side.of(load) > TIGHT)
    }

    /// The share of the frame that the bellows carry, from 0 to 1.
    pub fn air_carries(&self) -> f64 {
        let seen = self.rig.readout();
        let carried: f64 = [seen.block, seen.stand, seen.lump, seen.bump]
            .iter()
            .flatten()
            .sum();
        let weight = self.rig.params.m_f * super::params::GRAVITY;
        (1.0 - carried / weight).clamp(0.0, 1.0)
    }
}
