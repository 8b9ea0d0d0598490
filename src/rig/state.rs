//! What changes with time, and the two sides of a truck.

use super::params::Params;

/// The state of the rig, SI, pressures absolute: frame height, frame roll, axle height,
/// axle roll; their rates; mass and pressure of the air left, right, in the reservoir;
/// the three lagged gauge pressures; the air taken from and given to the outside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State(pub [f64; 19]);

/// What is done to the rig. It stays the same within a step.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Inputs {
    /// The raise valves.
    pub raise: [bool; 2],
    /// The lower valves.
    pub lower: [bool; 2],
    /// The cock of the shop air.
    pub feed: bool,
    /// Height of the spacer blocks, m; 0 is none.
    pub block: [f64; 2],
    /// Tops of the stands over the floor, m; 0 is none. They stand at ±`y_st` and carry
    /// the frame's underside.
    pub stand: [f64; 2],
    /// Height over the block's seat at which something in the gap begins to carry, m;
    /// 0 is nothing.
    pub lump: [f64; 2],
}

/// Where frame and axle are and how fast they move.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pose {
    pub(super) frame: f64,
    pub(super) frame_roll: f64,
    pub(super) axle: f64,
    pub(super) axle_roll: f64,
    pub(super) frame_rate: f64,
    pub(super) frame_roll_rate: f64,
    pub(super) axle_rate: f64,
    pub(super) axle_roll_rate: f64,
}

/// A height or a depth, m, and how fast it grows, m/s.
#[derive(Debug, Clone, Copy)]
pub(super) struct Moving {
    pub(super) here: f64,
    pub(super) rate: f64,
}

/// The air of one chamber.
#[derive(Debug, Clone, Copy)]
pub(super) struct Air {
    pub(super) mass: f64,
    pub(super) pressure: f64,
}

impl State {
    pub(super) fn pose(&self) -> Pose {
        let x = &self.0;
        Pose {
            frame: x[0],
            frame_roll: x[1],
            axle: x[2],
            axle_roll: x[3],
            frame_rate: x[4],
            frame_roll_rate: x[5],
            axle_rate: x[6],
            axle_roll_rate: x[7],
        }
    }

    /// The air of the left side, the right side and the reservoir.
    pub(super) fn air(&self) -> [Air; 3] {
        let x = &self.0;
        let air = |mass, pressure| Air { mass, pressure };
        [air(x[8], x[9]), air(x[10], x[11]), air(x[12], x[13])]
    }

    /// The lagged gauge pressures, Pa.
    pub(super) fn lagged(&self) -> [f64; 3] {
        [self.0[14], self.0[15], self.0[16]]
    }

    /// Air taken from outside, and given to it, kg.
    pub(super) fn ledger(&self) -> (f64, f64) {
        (self.0[17], self.0[18])
    }

    /// The ledger begins anew.
    pub(super) fn reset_ledger(&mut self) {
        self.0[17] = 0.0;
        self.0[18] = 0.0;
    }

    /// All air of the rig, with what was given and taken: it never changes.
    pub(super) fn balance(&self) -> f64 {
        let [left, right, tank] = self.air();
        let (taken, given) = self.ledger();
        left.mass + right.mass + tank.mass + given - taken
    }
}

impl Pose {
    /// Frame-to-axle height at a place y from the middle: the gap at the block's seat.
    pub(super) fn height(&self, p: &Params, y: f64) -> Moving {
        Moving {
            here: self.frame - self.axle - p.d_seat + y * (self.frame_roll - self.axle_roll),
            rate: self.frame_rate - self.axle_rate
                + y * (self.frame_roll_rate - self.axle_roll_rate),
        }
    }

    /// Height of the frame's underside over the floor at a place y from the middle.
    pub(super) fn over_floor(&self, y: f64, slope_tan: f64) -> Moving {
        Moving {
            here: self.frame + y * self.frame_roll - y * slope_tan,
            rate: self.frame_rate + y * self.frame_roll_rate,
        }
    }
}
