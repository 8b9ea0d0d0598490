//! A rig that stands still at given heights.

use super::bellows;
use super::motion::tangent;
use super::params::{GRAVITY, Params, R_AIR};
use super::state::State;

/// The state at rest with these frame-to-axle heights at ±`y_b`, m, the air as warm as
/// outside, this absolute pressure in the reservoir, gauges settled, nothing touching
/// but the tyres.
///
/// # Source
/// Statics of the two bodies. Our derivation.
pub(super) fn at_heights(p: &Params, left: f64, right: f64, reservoir: f64) -> State {
    let roll = (left - right) / (2.0 * p.y_b);
    let weight = p.m_f * GRAVITY;
    let (fl, fr) = halves(weight, (p.k_arb * roll + weight * p.y_cg) / p.y_b);
    let side = |s: f64, force: f64| {
        let x = bellows::travel(p, s);
        let pressure = p.p_atm + force / (p.nb * p.i_b * bellows::area(p, x));
        let mass = pressure * p.nb * bellows::volume(p, x) / (R_AIR * p.t_amb);
        (mass, pressure)
    };
    let (ml, pl) = side(left, fl);
    let (mr, pr) = side(right, fr);
    let (tl, tr) = halves((p.m_f + p.m_a) * GRAVITY, weight * p.y_cg / p.y_t);
    let rise = p.y_t * tangent(p.slope);
    let wheel_left = p.r_tyre[0] - tl / p.k_t + rise;
    let wheel_right = p.r_tyre[1] - tr / p.k_t - rise;
    let axle = f64::midpoint(wheel_left, wheel_right);
    let axle_roll = (wheel_left - wheel_right) / (2.0 * p.y_t);
    let frame = axle + p.d_seat + f64::midpoint(left, right);
    let mt = reservoir * p.v_t / (R_AIR * p.t_amb);
    State([
        frame,
        axle_roll + roll,
        axle,
        axle_roll,
        0.0,
        0.0,
        0.0,
        0.0,
        ml,
        pl,
        mr,
        pr,
        mt,
        reservoir,
        pl - p.p_atm,
        pr - p.p_atm,
        reservoir - p.p_atm,
        0.0,
        0.0,
    ])
}

/// The two that have this sum and this difference.
fn halves(sum: f64, difference: f64) -> (f64, f64) {
    let one = f64::midpoint(sum, difference);
    (one, sum - one)
}
