//! Area and volume of a bellows over its height.

use super::params::Params;
use super::state::Moving;

/// How far a bellows is from `h_ref`, m, at a frame-to-axle height at its place.
///
/// # Source
/// `x = i_b (s − s_ref)`; `i_b` is the lever ratio of the trailing arm. Our derivation.
pub(super) fn travel(p: &Params, s: f64) -> f64 {
    p.i_b * (s - p.s_ref)
}

/// Effective area of one bellows, m², so far from `h_ref`. Beyond `x_lo` and `x_hi` it
/// stays what it is there.
///
/// # Source
/// A = A0 + A1 x + A2 x² + A3 x³: common practice for measured bellows; numbers invented.
pub(super) fn area(p: &Params, x: f64) -> f64 {
    let x = x.max(p.x_lo).min(p.x_hi);
    p.a0 + x * (p.a1 + x * (p.a2 + x * p.a3))
}

/// Volume of one bellows, m³, so far from `h_ref`.
///
/// # Source
/// The integral of [`area`] over the height, so that dV/dh = A everywhere.
pub(super) fn volume(p: &Params, x: f64) -> f64 {
    let c = x.max(p.x_lo).min(p.x_hi);
    let inside = c * (p.a0 + c * (p.a1 / 2.0 + c * (p.a2 / 3.0 + c * p.a3 / 4.0)));
    p.v_ref + inside + (x - c) * area(p, x)
}

/// The bellows of one side together.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bellows {
    /// m³
    pub(super) volume: f64,
    /// m³/s
    pub(super) growth: f64,
    /// Force for each pascal over the outside, m².
    pub(super) lift: f64,
}

/// The bellows of a side at this height at their place.
///
/// # Source
/// Virtual work: `force = (p − p_atm) dV/ds`.
pub(super) fn side(p: &Params, s: Moving) -> Bellows {
    let x = travel(p, s.here);
    let lift = p.nb * area(p, x) * p.i_b;
    Bellows {
        volume: p.nb * volume(p, x),
        growth: lift * s.rate,
        lift,
    }
}
