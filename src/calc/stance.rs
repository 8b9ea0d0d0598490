//! How the frame stands: heights left and right, roll, pitch, what blocks and
//! sensors make of them, and what they do to the axle.
//!
//! Invariants: left is left when sitting in the cab; a roll is + where the left side
//! is higher, a pitch is + nose up, places across are + to the left. Swapping left
//! and right turns the sign of roll and rear steer and changes nothing else. It must
//! not know what a truck allows.

mod pitch;
mod sensor;
mod setting;
mod side;
mod steer;
#[cfg(test)]
mod tests;

pub(super) use pitch::FRAME_PITCH;
pub(super) use sensor::{ONE_SENSOR, TWO_SENSORS};
pub(super) use setting::{BLOCK_SETTING, RIDE_HEIGHT_ERROR, STAND_HEIGHT, TOLERANCE_STACK};
pub(super) use side::{AXLE_HEIGHTS, ROLL, SIDE_DIFFERENCE};
pub(super) use steer::REAR_STEER;

pub use pitch::pitch;
pub use sensor::{height_at, held_mean, seats};
pub use setting::{Stack, stack, stand_window};
pub use side::{AxleHeights, Tyres, axle_heights, roll};
pub use steer::{RearSteer, TrailingArms, rear_steer};

use uom::si::f64::Length;

use super::sum::Input;
use crate::quantity::Kind;

const SUBJECT: &str = "how the truck stands";

/// The same thing on the left side and on the right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sides {
    /// Left as when sitting in the cab.
    pub left: Length,
    /// The other.
    pub right: Length,
}

impl Sides {
    /// Left and right.
    #[must_use]
    pub const fn new(left: Length, right: Length) -> Self {
        Self { left, right }
    }

    /// The mean of both.
    #[must_use]
    pub fn mean(self) -> Length {
        (self.left + self.right) / 2.0
    }

    /// Left less right.
    #[must_use]
    pub fn difference(self) -> Length {
        self.left - self.right
    }
}

/// A height of the frame over its axle or the seats on it.
const fn over_axle(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::Length).within(
        0.0,
        2.0,
        "over axle or seat a height is 0 m to 2 m; look at the unit",
    )
}

/// A height of the frame over the floor, or over whatever it is read to.
const fn over_floor(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::Length).within(
        0.0,
        5.0,
        "a frame stands 0 m to 5 m over the floor; look at the unit",
    )
}

/// A distance across the truck.
const fn apart(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::Length).within(
        0.2,
        3.0,
        "places on one axle lie 0.2 m to 3 m apart",
    )
}

/// A distance along the truck.
const fn between_axles(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::Length).within(
        1.0,
        15.0,
        "front and rear of a truck lie 1 m to 15 m apart",
    )
}
