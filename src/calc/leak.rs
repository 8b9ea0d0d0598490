//! Leak-down: a pressure watched over time, air at one temperature, side against
//! side, how long a gauge must watch, and the rule for the supply side.
//!
//! Invariant: gas laws take pressures over vacuum by type, so a gauge pressure can
//! never stand in a ratio.

mod air;
mod rule;
mod side;
mod trend;
mod watch;

#[cfg(test)]
mod tests;

pub use air::{AIR_CONSTANT, GAS_CONSTANT, amount_rate, free_air, mass_lost, throughput};
pub use rule::{BRAKES_FIRST_PA, SUPPLY_DROP_PA, SUPPLY_TIME_S, scaled_drop};
pub use trend::{PressureRate, Trend, corrected_trend, coverage, trend};
pub use watch::{drop_doubt, time_possible, time_sure};

pub(super) use air::{AIR_LOST, COOLED_AIR};
pub(super) use rule::SUPPLY_LEAK;
pub(super) use side::{HEIGHT_DROP, LEAK_SIDES};
pub(super) use trend::LEAK_RATE;
pub(super) use watch::WATCH_TIME;

const SUBJECT: &str = "leak-down";
