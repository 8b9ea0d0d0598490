//! The tyres: one lumped wheel a side, standing on the floor.

use super::params::Params;
use super::spot::Side;
use super::state::Pose;

/// Force of the tyres of a side, N, up on the axle.
///
/// # Source
/// Spring and damper that never pull; our derivation. A hump under one wheel is the
/// same thing as another radius.
pub(super) fn force(p: &Params, pose: &Pose, side: Side, slope_tan: f64) -> f64 {
    let y = side.at(p.y_t);
    let pressed = side.of(p.r_tyre) - (pose.axle + y * pose.axle_roll - y * slope_tan);
    if pressed > 0.0 {
        let rate = pose.axle_rate + y * pose.axle_roll_rate;
        (p.k_t * pressed - p.c_t * rate).max(0.0)
    } else {
        0.0
    }
}
