//! The simulated rear end of a truck: frame, axle, bellows, air, gauges, sensor. Pure
//! physics, stepped a millisecond at a time; the same commands give the same bits.
//!
//! Knows no clock, no file, no chance, and nothing of jobs or drills. SI inside,
//! pressures absolute; what is read off has its unit beside it. No memory is asked for
//! in a step. Nothing real is meant: every number of the truck is invented.
//!
//! Left out on purpose: pitch and the front axle; the height of the centre of gravity;
//! opening times of valves; moisture; ageing. Wheels stay on the floor. Good for heights
//! of 80 to 330 mm and up to about 11 bar.

mod arm;
mod bay;
mod bellows;
mod contact;
mod equipment;
mod friction;
mod gas;
mod gauge;
mod hand;
mod happening;
mod integrate;
mod levelling;
mod motion;
mod parameter;
mod params;
mod readout;
mod sensor;
mod spot;
mod start;
mod state;
#[cfg(test)]
mod tests;
mod timetable;
mod truck;
mod tyre;

pub use bay::{Bay, Fitted, Seen, Sight, sights};
pub use equipment::{Answer, Equipment, Write};
pub use gas::flow;
pub use hand::{BadHand, By, Deed, Hand, Level, Reach, VERBS, Way};
pub use happening::{Happening, Refused};
pub use levelling::Levelling;
pub use motion::derivative;
pub use parameter::{PARAMETERS, Parameter};
pub use params::{GRAVITY, Params, R_AIR, SYMBOLS, Symbol, T_REF};
pub use readout::Readout;
pub use sensor::angle;
pub use spot::{Side, Spot};
pub use state::{Inputs, State};
pub use timetable::Timetable;
pub use truck::{
    ArmGeometry, Card, Chosen, Coaching, Fact, Fault, Plain, Plan, Remedy, Set, Truck, Truth,
};

use friction::Grip;

/// A truck with its state, and what is being done to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Rig {
    /// What it is made of. Changed in the middle of a run it is a fault that begins.
    pub params: Params,
    /// Where it is.
    pub state: State,
    /// What is done to it now.
    pub inputs: Inputs,
    /// Height at the sensor behind the play of its rod, m.
    sensed: f64,
    /// Where its sides stick.
    grip: Grip,
    /// Steps since the start.
    steps: u64,
    /// All air at the start of the ledger, kg.
    air_at_start: f64,
}

impl Rig {
    /// Length of a step, s. Half a millisecond would be no better to the eye; two are
    /// still stable.
    pub const STEP: f64 = 1e-3;

    /// A rig at rest with these frame-to-axle heights at the bellows, m, its reservoir
    /// as full as the shop air fills it.
    pub fn at_heights(params: Params, left_m: f64, right_m: f64) -> Self {
        let state = start::at_heights(&params, left_m, right_m, params.p_shop);
        Self::from_state(params, state)
    }

    /// The same with this absolute pressure in the reservoir, Pa, as warm as outside.
    #[must_use]
    pub fn with_reservoir(mut self, pa: f64) -> Self {
        let x = &mut self.state.0;
        x[12] = pa * self.params.v_t / (R_AIR * self.params.t_amb);
        x[13] = pa;
        x[16] = pa - self.params.p_atm;
        self.air_at_start = self.state.balance();
        self
    }

    /// A rig in this state, at step 0.
    pub fn from_state(params: Params, state: State) -> Self {
        let pose = state.pose();
        Self {
            sensed: pose.height(&params, params.y_s).here,
            grip: Grip::at(&params, &pose),
            steps: 0,
            air_at_start: state.balance(),
            params,
            state,
            inputs: Inputs::default(),
        }
    }

    /// Lets it stand for so long with all valves shut, then begins time and ledger anew.
    /// Blocks, stands and what lies in the gap stay, and the inputs are afterwards as
    /// before.
    pub fn settle(&mut self, seconds: f64) {
        let before = self.inputs;
        self.inputs = Inputs {
            raise: [false; 2],
            lower: [false; 2],
            feed: false,
            ..before
        };
        let steps = (seconds.max(0.0) / Self::STEP).round() as u64;
        for _ in 0..steps {
            self.step();
        }
        self.inputs = before;
        self.steps = 0;
        self.state.reset_ledger();
        self.air_at_start = self.state.balance();
    }

    /// Goes on by one step.
    pub fn step(&mut self) {
        let p = &self.params;
        self.state = integrate::step(p, &self.state, &self.inputs, self.grip, Self::STEP);
        let pose = self.state.pose();
        let s = pose.height(p, p.y_s).here;
        self.sensed = sensor::drag(self.sensed, s, p.play);
        self.grip = self.grip.dragged(p, &pose);
        self.steps += 1;
    }

    /// Goes on by so many steps.
    pub fn run(&mut self, steps: u32) {
        for _ in 0..steps {
            self.step();
        }
    }

    /// Steps since the start.
    pub const fn steps(&self) -> u64 {
        self.steps
    }

    /// Seconds since the start.
    pub fn time(&self) -> f64 {
        self.steps as f64 * Self::STEP
    }

    /// Height of the frame's underside over the floor, so far from the middle, m.
    fn over_floor(&self, y: f64) -> f64 {
        let slope_tan = motion::tangent(self.params.slope);
        self.state.pose().over_floor(y, slope_tan).here
    }

    /// What can be read off it now.
    pub fn readout(&self) -> Readout {
        readout::read(&self.params, &self.state, &self.inputs, self.sensed)
    }

    /// How far the ledger is from the air that is there, as a share of all air.
    pub fn ledger_error(&self) -> f64 {
        ((self.state.balance() - self.air_at_start) / self.air_at_start).abs()
    }
}
