//! Engineering sums and the one registry that names them.
//!
//! A sum takes measured values with their kinds and gives measured values; it
//! reads no clock and keeps nothing. The registry says for each sum what goes in,
//! what comes out, the formula, its source and its range. Documents, the checker,
//! the command line and the calculators on the screen all read it there.
//!
//! Each subject is a file: its formulas as functions with `uom` types, then its
//! entries for the registry, which only carry inputs to a formula and results back.

mod amount;
mod compare;
mod draw;
mod entry;
mod error;
mod evaluate;
mod given;
pub mod joint;
pub mod linkage;
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
    &linkage::DRIVELINE_AT_HEIGHT,
    &linkage::DRIVELINE_FOUR_LINK,
    &linkage::DRIVELINE_FOUND,
    &linkage::FOUR_LINK_FOUND,
    &linkage::HEIGHT_BAND,
    &linkage::FOUR_LINK_BAND,
    &linkage::MM_PER_DEGREE,
];

/// The sum of that name.
pub fn find(name: &str) -> Option<&'static Sum> {
    REGISTRY.iter().find(|s| s.name == name).copied()
}
