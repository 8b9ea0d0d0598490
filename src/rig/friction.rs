//! Friction of bellows, bushes and joints: it holds a side where it stuck.
//!
//! A law of the speed alone would let go at rest and let the frame creep to its place
//! within seconds; a real frame stays some millimetres off. So the place where a side
//! stuck is remembered, once a step.

use super::params::Params;
use super::spot::Side;
use super::state::Pose;

/// How far a side gives before it slips, m.
///
/// # Source
/// Ours: rubber gives some tenths of a millimetre; it keeps the force free of jumps and
/// no stiffer than steps of a millisecond bear.
const GIVE: f64 = 3.0e-4;

/// The heights at ±`y_d` at which the sides stick, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Grip([f64; 2]);

impl Grip {
    /// Nothing pulls yet.
    pub(super) fn at(p: &Params, pose: &Pose) -> Self {
        Self(Side::BOTH.map(|side| place(p, pose, side)))
    }

    /// Where the sides stick after they moved here: what gave more than it can slipped
    /// after.
    pub(super) fn dragged(self, p: &Params, pose: &Pose) -> Self {
        Self(Side::BOTH.map(|side| {
            let s = place(p, pose, side);
            side.of(self.0).max(s - GIVE).min(s + GIVE)
        }))
    }

    /// Force on the frame, N: against the way from where the side stuck, at most the
    /// friction of the side.
    ///
    /// # Source
    /// A spring and a slider in a row, friction × clamp(way / give): Jenkins' element,
    /// common practice for dry friction with a give.
    pub(super) fn force(self, p: &Params, pose: &Pose, side: Side) -> f64 {
        let full = side.of(p.friction);
        if full == 0.0 {
            return 0.0;
        }
        let way = place(p, pose, side) - side.of(self.0);
        -full * (way / GIVE).clamp(-1.0, 1.0)
    }
}

fn place(p: &Params, pose: &Pose, side: Side) -> f64 {
    pose.height(p, side.at(p.y_d)).here
}
