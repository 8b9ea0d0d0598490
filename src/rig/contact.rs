//! What touches on one side only: blocks, stops, stands, things in the gap.

use super::params::Params;
use super::spot::Side;
use super::state::{Inputs, Moving, Pose};

/// Force of a contact, N: pressed in so deep and going deeper at this rate. Its damping
/// grows with the depth, so that nothing jumps at the first touch; it never pulls.
///
/// # Source
/// F = k δ (1 + χ δ'), after Hunt and Crossley, 1975 (from memory, sure of the idea).
fn press(elastic: impl FnOnce(f64) -> f64, chi: f64, depth: Moving) -> f64 {
    if depth.here > 0.0 {
        elastic(depth.here) * (1.0 + chi * depth.rate).max(0.0)
    } else {
        0.0
    }
}

/// How deep a height is under this one.
fn under(top: f64, s: Moving) -> Moving {
    Moving {
        here: top - s.here,
        rate: -s.rate,
    }
}

/// Force of the spacer block of a side, N: up on the frame, down on the axle.
pub(super) fn block(p: &Params, pose: &Pose, inputs: &Inputs, side: Side) -> f64 {
    let top = side.of(inputs.block);
    if top <= 0.0 {
        return 0.0;
    }
    let s = pose.height(p, side.at(p.y_bl));
    press(|depth| p.k_bl * depth, p.chi_bl, under(top, s))
}

/// Force of something in the gap at the block's seat, N: up on the frame, down on the
/// axle.
pub(super) fn lump(p: &Params, pose: &Pose, inputs: &Inputs, side: Side) -> f64 {
    let top = side.of(inputs.lump);
    if top <= 0.0 {
        return 0.0;
    }
    let s = pose.height(p, side.at(p.y_bl));
    press(|depth| p.k_lump * depth, p.chi_lump, under(top, s))
}

/// Force of the bump stop of a side, N: up on the frame, down on the axle.
pub(super) fn bump(p: &Params, pose: &Pose, side: Side) -> f64 {
    let s = pose.height(p, side.at(p.y_bp));
    let elastic = |depth: f64| p.k_bp * depth + p.k3_bp * depth * depth * depth;
    press(elastic, p.chi_bp, under(side.of(p.s_bp), s))
}

/// Force of the upper stop of a side, N: down on the frame, up on the axle.
pub(super) fn upper(p: &Params, pose: &Pose, side: Side) -> f64 {
    let s = pose.height(p, side.at(p.y_up));
    let depth = Moving {
        here: s.here - side.of(p.s_up),
        rate: s.rate,
    };
    press(|depth| p.k_up * depth, p.chi_up, depth)
}

/// Force of the stand of a side, N: up on the frame, from the floor.
pub(super) fn stand(p: &Params, pose: &Pose, inputs: &Inputs, side: Side, slope_tan: f64) -> f64 {
    let top = side.of(inputs.stand);
    if top <= 0.0 {
        return 0.0;
    }
    let under_frame = pose.over_floor(side.at(p.y_st), slope_tan);
    press(|depth| p.k_st * depth, p.chi_st, under(top, under_frame))
}
