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
mod amount;
mod anti_roll;
mod compare;
mod draw;
mod entry;
mod error;
mod evaluate;
mod given;
mod sensor;
mod sum;

#[cfg(test)]
mod tests;

pub use amount::{AIR_OUTSIDE_PA, Absolute, Amount, GRAVITY, Gauge, Slope};
pub use draw::{Drawn, FEWEST_DRAWS, MOST_DRAWS, Trials};
pub use entry::{Misentry, read_entry};
pub use error::{CalcError, Snag};
pub use evaluate::{Evaluation, Found, Share};
pub use given::{Given, Inputs, Outcome, Point};
pub use sum::{Gives, Input, Offer, Output, Picture, Shape, Sum, Takes};

/// Every sum, in the order of the reference.
pub const REGISTRY: &[&Sum] = &[
    &compare::DIFFERENCE,
    &compare::MEAN,
    &compare::SWAPPED_DIFFERENCE,
    &compare::SERIES_DROP,
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
];

/// The sum of that name.
pub fn find(name: &str) -> Option<&'static Sum> {
    REGISTRY.iter().find(|s| s.name == name).copied()
}
