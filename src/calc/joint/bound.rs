//! What joints are judged by: accelerations of a line, published and trade rules.
//!
//! Invariant: a margin is what is left to a limit, + is good; no verdict is made here.

use uom::si::f64::{Angle, AngularAcceleration, AngularVelocity};

use super::super::Snag;
use super::super::amount::Amount;
use super::line::Line;
use super::single::Joint;

/// Greatest accelerations in a line, at one shaft speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Accelerations {
    /// Of the last shaft, by the residual angle.
    pub torsional: AngularAcceleration,
    /// Of the shaft between when the gearbox drives; the greatest if there are two.
    pub drive: Option<AngularAcceleration>,
    /// Of the shaft between when the axle drives; the greatest if there are two.
    pub coast: Option<AngularAcceleration>,
}

impl Line<'_> {
    /// Greatest accelerations at this shaft speed.
    ///
    /// The shaft beside the driving end is shaken by the joint at that end alone; a
    /// second shaft by both joints before it, so by the residual angle of that part.
    ///
    /// # Errors
    /// As [`Line::joints`].
    ///
    /// # Source
    /// [`Joint::peak`] of each part's residual angle (our derivation); torsional and
    /// inertial acceleration as in SAE AE-7 (from memory).
    pub fn accelerations(&self, speed: AngularVelocity) -> Result<Accelerations, Snag> {
        let torsional = Joint(self.joints()?.residual).peak(speed).amount;
        let (mut drive, mut coast) = (None, None);
        for joints in 1..self.axes.len() - 1 {
            drive = greater(drive, self.front(joints).joints()?.residual);
            coast = greater(coast, self.rear(joints).joints()?.residual);
        }
        let amount = |angle: Option<Angle>| angle.map(|a| Joint(a).peak(speed).amount);
        Ok(Accelerations {
            torsional,
            drive: amount(drive),
            coast: amount(coast),
        })
    }

    /// The part with the first joints only.
    fn front(&self, joints: usize) -> Line<'_> {
        Line {
            axes: self.axes.get(..=joints).unwrap_or_default(),
            phases: self.phases.get(..joints - 1).unwrap_or_default(),
        }
    }

    /// The part with the last joints only.
    fn rear(&self, joints: usize) -> Line<'_> {
        let skip = self.axes.len() - 1 - joints;
        Line {
            axes: self.axes.get(skip..).unwrap_or_default(),
            phases: self.phases.get(skip..).unwrap_or_default(),
        }
    }
}

fn greater(so_far: Option<Angle>, angle: Angle) -> Option<Angle> {
    Some(so_far.map_or(angle, |a| if a > angle { a } else { angle }))
}

/// The largest joint angle that keeps to an acceleration; `None` if any angle does.
///
/// # Source
/// ω²·sin²β solved for β (F1.5), the form behind published lists, which follow
/// 1000 rad/s² (from memory).
pub fn largest_angle(limit: AngularAcceleration, speed: AngularVelocity) -> Option<Angle> {
    let sin = limit.si().max(0.0).sqrt() / speed.si();
    (sin <= 1.0).then(|| Angle::of_si(sin.asin()))
}

/// What the second joint of a shaft may have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SecondJoint {
    /// At least; zero if the first joint alone keeps to the limit.
    pub least: Angle,
    /// At most; `None` if any angle keeps to the limit.
    pub most: Option<Angle>,
}

/// What the second joint may have beside a first one, both in phase and in one plane.
///
/// # Source
/// sin²β2 = sin²β1 ± limit/ω²; with 400 rad/s² this gives the published two-joint
/// table after SAE AE-7 3.1.1 to within 0.1° (check value 1.24).
pub fn second_joint(
    first: Angle,
    limit: AngularAcceleration,
    speed: AngularVelocity,
) -> SecondJoint {
    let square = first.si().sin().powi(2);
    let room = limit.si() / speed.si().powi(2);
    let most = square + room;
    SecondJoint {
        least: Angle::of_si((square - room).max(0.0).sqrt().asin()),
        most: (most <= 1.0).then(|| Angle::of_si(most.sqrt().asin())),
    }
}

/// A trade rule for the two joints of one shaft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// They differ by at most this.
    pub within: Angle,
    /// Each has at least this, so that its needles roll.
    pub least: Angle,
    /// Each has at most this.
    pub most: Angle,
}

/// What is left to each limit of a rule; + keeps to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margins {
    /// To the largest difference.
    pub equal: Angle,
    /// To the least angle, of the joint that has less.
    pub least: Angle,
    /// To the most, of the joint that has more.
    pub most: Angle,
}

impl Rule {
    /// Joints up to 6°, within 1.5° of each other.
    ///
    /// # Source
    /// Published beside the two-joint table (check value 1.25).
    pub fn six_degree() -> Self {
        Self::of_degrees(1.5, 0.0, 6.0)
    }

    /// Joints of 0.5° to 3°, within 1° of each other.
    ///
    /// # Source
    /// Several public trade pages (check value 1.26); common practice.
    pub fn three_degree() -> Self {
        Self::of_degrees(1.0, 0.5, 3.0)
    }

    fn of_degrees(within: f64, least: f64, most: f64) -> Self {
        let angle = |degrees: f64| Angle::of_si(degrees.to_radians());
        Self {
            within: angle(within),
            least: angle(least),
            most: angle(most),
        }
    }

    /// What is left for these two joints.
    pub fn margins(self, first: Angle, second: Angle) -> Margins {
        let (low, high) = if first < second {
            (first, second)
        } else {
            (second, first)
        };
        Margins {
            equal: self.within - (high - low),
            least: low - self.least,
            most: self.most - high,
        }
    }
}
