//! Universal joints and shaft lines: true angles, and how evenly shafts turn.
//!
//! Invariants: an [`Axis`] has length one; a [`Line`] is worked without allocation;
//! every angle here lies in space, never in a view of it, unless the name says so.

mod bound;
mod by_hand;
mod line;
mod single;
mod sum;
mod tube;

#[cfg(test)]
mod tests;

pub use bound::{Accelerations, Margins, Rule, SecondJoint, largest_angle, second_joint};
pub use by_hand::{coplanar_residual, rough_residual, rough_twisted_residual};
pub use line::{Axis, Joints, Line, Phase};
pub use single::{Extremes, Joint, Peak};
pub use tube::{Stuff, Tube};

pub(super) use sum::{
    ANGLE_FOR_UNEVENNESS, COMPOUND_ANGLE, JOINT_ACCELERATION, JOINT_ANGLES, JOINT_RULE,
    JOINT_SPEED, LARGEST_JOINT_ANGLE, RESIDUAL_BY_HAND, SECOND_JOINT, SHAFT_ACCELERATION,
    WHIRLING_SPEED,
};
