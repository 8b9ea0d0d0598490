//! What bellows carry: load from pressure, pressure at other heights, left against
//! right, and how the frame swings on them.
//!
//! Loads come from gauge pressure, since the air outside pushes on the bellows too;
//! stiffness comes from absolute pressure, since it is the gas that springs. Both
//! are told apart by their types.

mod load;
mod side;
mod swing;

#[cfg(test)]
mod tests;

pub(super) use load::{AXLE_LOAD, BELLOWS_LOAD, BELLOWS_PRESSURE, LOAD_OFFSET, PLACE_PRESSURE};
pub use load::{
    Axle, AxleLoad, axle_load, bellows_force, carried_mass, load_offset, pressure_at,
    sprung_pressure,
};
pub(super) use side::{GAUGE_RANGE, SIDE_DIFFERENCE, SIDE_DIFFERENCE_SWAPPED};
pub use side::{
    GaugeDoubt, Pulse, differs_really, limits_added, swapped_uncertainty, two_gauge_uncertainty,
    working_share,
};
pub(super) use swing::{AIR_SUSPENSION_EQUIVALENCE, BELLOWS_FREQUENCY, DAMPING};
pub use swing::{
    AirSpring, Equivalence, LEAST_AIR_SHARE, LEAST_DAMPING, MOST_FREQUENCY_HZ, MOST_UNDAMPED_SHARE,
    Stiffness, damping_ratio, damping_short_form, frequency, stiffness, undamped_frequency,
};

use uom::si::f64::Ratio;

use super::error::Snag;

const SUBJECT: &str = "bellows and axle load";

/// Refuses what is counted but not in whole ones.
///
/// # Errors
/// A part of one.
pub(super) fn whole(count: Ratio, input: &'static str, why: &'static str) -> Result<(), Snag> {
    if count.value.fract() == 0.0 {
        Ok(())
    } else {
        Err(Snag::new(input, why))
    }
}
