//! What the registry says of joints, shaft lines and tubes.
//!
//! Invariant: nothing is worked out here; an entry carries inputs to a formula and its
//! results back.

mod bound;
mod line;
mod single;
mod tube;

use std::f64::consts::FRAC_PI_4;

use super::super::sum::Input;
use crate::quantity::Kind;

pub(in crate::calc) use bound::{JOINT_RULE, LARGEST_JOINT_ANGLE, SECOND_JOINT};
pub(in crate::calc) use line::{
    COMPOUND_ANGLE, JOINT_ANGLES, RESIDUAL_BY_HAND, SHAFT_ACCELERATION,
};
pub(in crate::calc) use single::{ANGLE_FOR_UNEVENNESS, JOINT_ACCELERATION, JOINT_SPEED};
pub(in crate::calc) use tube::WHIRLING_SPEED;

const SUBJECT: &str = "joints and shafts";
const SMALL: &str = "a propshaft joint stands at 45° at most";
const SLOW: &str = "no angle reaches the limit";
const REACHED: &str = "larger angles break the limit";
const FORWARD: &str = "count a speed without a sign";

const fn joint_angle(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::Angle).within(0.0, FRAC_PI_4, SMALL)
}

const fn shaft_speed(title: &'static str) -> Input {
    Input::one("speed", title, Kind::RotationalSpeed).least(0.0, FORWARD)
}
