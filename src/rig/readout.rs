//! What can be read off the rig: what an apprentice sees, and what only a teacher does.

use super::contact;
use super::gas::Chamber;
use super::gauge;
use super::motion::tangent;
use super::params::Params;
use super::spot::Side;
use super::state::{Inputs, Moving, State};
use super::{bellows, sensor, tyre};

/// Nothing of the absolute scale, in K.
const ZERO_CELSIUS: f64 = 273.15;

/// What the rig shows at an instant. Pairs are left and right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Readout {
    /// Frame to axle at ±`y_bl`, m.
    pub height: [f64; 2],
    /// Frame to floor at ±`y_bl`, m.
    pub floor: [f64; 2],
    /// How fast the heights grow, m/s.
    pub rate: [f64; 2],
    /// Roll of the frame, rad, left high positive.
    pub roll: f64,
    /// True gauge pressure of the bellows, bar.
    pub true_bar: [f64; 2],
    /// True gauge pressure of the reservoir, bar.
    pub reservoir_bar: f64,
    /// What the gauges show, bar: left, right, reservoir.
    pub gauge: [f64; 3],
    /// Temperature of the air in the bellows, °C.
    pub temperature: [f64; 2],
    /// Counts of the height sensor, unrounded.
    pub counts: f64,
    /// What the spacer blocks carry, N.
    pub block: [f64; 2],
    /// What the stands carry, N.
    pub stand: [f64; 2],
    /// What lies in the gap carries, N.
    pub lump: [f64; 2],
    /// What the upper stops hold, N.
    pub upper: [f64; 2],
    /// What the bump stops carry, N.
    pub bump: [f64; 2],
    /// What the tyres carry, N.
    pub tyre: [f64; 2],
    /// Air taken from outside since the start, kg.
    pub ledger_in: f64,
    /// Air given to the outside since the start, kg.
    pub ledger_out: f64,
}

/// Reads the rig off; `sensed` is the height at the sensor behind the play of its rod.
pub(super) fn read(p: &Params, state: &State, inputs: &Inputs, sensed: f64) -> Readout {
    let pose = state.pose();
    let slope_tan = tangent(p.slope);
    let heights = Side::BOTH.map(|side| pose.height(p, side.at(p.y_bl)));
    let volumes = Side::BOTH.map(|side| {
        let s = pose.height(p, side.at(p.y_b));
        bellows::side(p, s).volume
    });
    let [left, right, tank] = state.air();
    let gauge_bar = |pa: f64| (pa - p.p_atm) / 1e5;
    let celsius = |air, volume| Chamber::new(air, volume, 0.0, 0.0).temperature - ZERO_CELSIUS;
    let (ledger_in, ledger_out) = state.ledger();
    Readout {
        height: heights.map(|s: Moving| s.here),
        floor: Side::BOTH.map(|side| pose.over_floor(side.at(p.y_bl), slope_tan).here),
        rate: heights.map(|s| s.rate),
        roll: pose.frame_roll,
        true_bar: [gauge_bar(left.pressure), gauge_bar(right.pressure)],
        reservoir_bar: gauge_bar(tank.pressure),
        gauge: gauge::readings(p, state.lagged()),
        temperature: [celsius(left, volumes[0]), celsius(right, volumes[1])],
        counts: sensor::counts(p, sensed),
        block: Side::BOTH.map(|side| contact::block(p, &pose, inputs, side)),
        stand: Side::BOTH.map(|side| contact::stand(p, &pose, inputs, side, slope_tan)),
        lump: Side::BOTH.map(|side| contact::lump(p, &pose, inputs, side)),
        upper: Side::BOTH.map(|side| contact::upper(p, &pose, side)),
        bump: Side::BOTH.map(|side| contact::bump(p, &pose, side)),
        tyre: Side::BOTH.map(|side| tyre::force(p, &pose, side, slope_tan)),
        ledger_in,
        ledger_out,
    }
}
