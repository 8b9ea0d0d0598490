//! Engineering sums and the one registry that names them.
//!
//! A sum takes measured values with their kinds and gives measured values; it
//! reads no clock and keeps nothing. The registry says for each sum what goes in,
//! what comes out, the formula, its source and its range. Documents, the checker,
//! the command line and the calculators on the screen all read it there.
//!
//! Each subject is a file: its formulas as functions with `uom` types, then its
//! entries for the registry, which only carry inputs to a formula and results back.

mod aim;
pub mod air;
mod amount;
mod anti_roll;
pub mod bellows;
mod compare;
mod draw;
pub mod electric;
mod entry;
mod error;
mod evaluate;
pub mod floor;
mod given;
pub mod joint;
pub mod leak;
pub mod linkage;
mod sensor;
pub mod stance;
mod sum;
pub mod tyre;

#[cfg(test)]
mod tests;

pub use amount::{AIR_OUTSIDE_PA, Absolute, Amount, GRAVITY, Gauge, Slope};
pub use draw::{Drawn, FEWEST_DRAWS, MOST_DRAWS, Trials};
pub use entry::{Misentry, like_kind, read_entry};
pub use error::{CalcError, Snag};
pub use evaluate::{Evaluation, Found, Ready, Share};
pub use given::{Given, Inputs, Outcome, Point};
pub use sum::{Gives, Input, Offer, Output, Picture, Shape, Sum, Takes};

/// Every sum, in the order of the reference.
pub const REGISTRY: &[&Sum] = &[
    &compare::DIFFERENCE,
    &compare::MEAN,
    &compare::SWAPPED_DIFFERENCE,
    &compare::SERIES_DROP,
    &floor::FLOOR_PLANE,
    &floor::FLOOR_WHEELS,
    &floor::WHEEL_OFF,
    &floor::FLOOR_CORRECTION,
    &floor::FLATNESS_LIMIT,
    &floor::FLOOR_SAG,
    &floor::LAMP_BAY,
    &stance::ROLL,
    &stance::AXLE_HEIGHTS,
    &stance::SIDE_DIFFERENCE,
    &stance::FRAME_PITCH,
    &stance::RIDE_HEIGHT_ERROR,
    &stance::BLOCK_SETTING,
    &stance::STAND_HEIGHT,
    &stance::TOLERANCE_STACK,
    &stance::REAR_STEER,
    &stance::ONE_SENSOR,
    &stance::TWO_SENSORS,
    &bellows::BELLOWS_LOAD,
    &bellows::AXLE_LOAD,
    &bellows::BELLOWS_PRESSURE,
    &bellows::PLACE_PRESSURE,
    &bellows::LOAD_OFFSET,
    &bellows::SIDE_DIFFERENCE,
    &bellows::SIDE_DIFFERENCE_SWAPPED,
    &bellows::GAUGE_RANGE,
    &bellows::BELLOWS_FREQUENCY,
    &bellows::DAMPING,
    &bellows::AIR_SUSPENSION_EQUIVALENCE,
    &air::OUTSIDE_PRESSURE,
    &air::ABSOLUTE_PRESSURE,
    &air::VALVE_FLOW,
    &air::FILL_TIME,
    &air::VENT_TIME,
    &air::AIR_FOR_LIFTS,
    &leak::LEAK_RATE,
    &leak::LEAK_SIDES,
    &leak::HEIGHT_DROP,
    &leak::WATCH_TIME,
    &leak::AIR_LOST,
    &leak::COOLED_AIR,
    &leak::SUPPLY_LEAK,
    &joint::JOINT_ANGLES,
    &joint::SHAFT_ACCELERATION,
    &joint::JOINT_SPEED,
    &joint::JOINT_ACCELERATION,
    &joint::LARGEST_JOINT_ANGLE,
    &joint::SECOND_JOINT,
    &joint::JOINT_RULE,
    &joint::ANGLE_FOR_UNEVENNESS,
    &joint::COMPOUND_ANGLE,
    &joint::RESIDUAL_BY_HAND,
    &joint::WHIRLING_SPEED,
    &linkage::DRIVELINE_AT_HEIGHT,
    &linkage::DRIVELINE_FOUR_LINK,
    &linkage::DRIVELINE_FOUND,
    &linkage::FOUR_LINK_FOUND,
    &linkage::HEIGHT_BAND,
    &linkage::FOUR_LINK_BAND,
    &linkage::MM_PER_DEGREE,
    &sensor::SENSOR_POINTS,
    &sensor::SENSOR_VALUE,
    &sensor::SENSOR_PATTERN,
    &anti_roll::ANTI_ROLL_POINTS,
    &anti_roll::ANTI_ROLL_SLOPES,
    &aim::PITCH,
    &aim::BEAM_SHIFT,
    &aim::ROLL,
    &aim::LAMP_AFTER,
    &aim::LAMP_BAND,
    &aim::LAMP_RULE,
    &aim::LAMP_HEIGHT,
    &aim::WALL_MARK,
    &aim::WALL_INCLINATION,
    &aim::GLARE,
    &aim::OVERALL_HEIGHT,
    &aim::COUPLING_HEIGHT,
    &electric::SUPPORT_VOLTAGE,
    &electric::SUPPLY_CODE,
    &electric::REST_VOLTAGE,
    &electric::CHARGE,
    &electric::RECHARGE,
    &electric::METER_DOUBT,
    &tyre::TREAD,
    &tyre::TREAD_PAIR,
    &tyre::TWINS,
    &tyre::TYRE_TURNS,
    &tyre::SHAFT_SPEED,
];

/// The sum of that name.
pub fn find(name: &str) -> Option<&'static Sum> {
    REGISTRY.iter().find(|s| s.name == name).copied()
}
