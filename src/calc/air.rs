//! Air itself: what is outside, what is locked in, what a valve lets through, and
//! whether the reservoirs can make the lifts asked for.
//!
//! Gas laws take absolute pressures only; a gauge reading comes in through
//! [`Gauge::over`](super::Gauge::over) with the air outside.

mod fill;
mod flow;
mod gas;
mod lift;

#[cfg(test)]
mod tests;

pub(super) use fill::{FILL_TIME, VENT_TIME};
pub use fill::{Line, fill_time, vent_time};
pub(super) use flow::VALVE_FLOW;
pub use flow::{
    Conductance, FLOW_AIR_DENSITY_KG_M3, FLOW_AIR_K, FLOW_AIR_PA, Valve, is_sonic, mass_flow,
    volume_flow,
};
pub(super) use gas::{ABSOLUTE_PRESSURE, OUTSIDE_PRESSURE};
pub use gas::{cooling_for_drop, locked_pressure, outside_pressure};
pub(super) use lift::AIR_FOR_LIFTS;
pub use lift::{Lift, Reservoir};

const SUBJECT: &str = "air, reservoirs and valves";
