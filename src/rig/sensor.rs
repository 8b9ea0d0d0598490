//! The height sensor: a lever on the frame, a rod down to the axle.

use super::params::Params;

/// Lever angle, rad, tip up positive, at this frame-to-axle height at the sensor.
///
/// # Source
/// Law of cosines in the triangle of lever, rod and the line between their far ends.
/// Our derivation.
pub fn angle(p: &Params, s: f64) -> f64 {
    let x = p.x_s + p.dx;
    let h = s + p.h_s + p.dy;
    let d = x.hypot(h);
    let cosine = (p.l1 * p.l1 + d * d - p.l2 * p.l2) / (2.0 * p.l1 * d);
    (-h).atan2(x) + cosine.clamp(-1.0, 1.0).acos()
}

/// Counts that the levelling unit sees, unrounded, at this height after the play.
pub(super) fn counts(p: &Params, s: f64) -> f64 {
    p.cnt0 - p.cnt_k * (angle(p, s) + p.dth)
}

/// A worn joint follows only what goes beyond its play.
pub(super) fn drag(held: f64, s: f64, play: f64) -> f64 {
    let half = play.max(0.0) / 2.0;
    held.max(s - half).min(s + half)
}
