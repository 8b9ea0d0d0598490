//! A line of shafts: the axes, the true angle at each joint, and the one joint that
//! would turn the last shaft just as unevenly.
//!
//! Invariant: nothing here depends on how the line lies in space, only on how its
//! axes lie to each other.

use uom::si::f64::{Angle, Length};

use super::super::Snag;
use super::super::amount::{Amount, Slope};

/// Direction of a shaft in the truck: length one, pointing back.
///
/// # Units
/// x back, y to the right, z up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axis {
    /// Back.
    pub x: f64,
    /// To the right.
    pub y: f64,
    /// Up.
    pub z: f64,
}

/// How the two yokes on one shaft stand to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Phase {
    /// Their pins are parallel: the usual way.
    InPhase,
    /// Their pins are at right angles.
    Crossed,
}

/// Shafts one behind the other, a joint between each two.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line<'a> {
    /// Two to four axes: gearbox, shaft or shafts, pinion.
    pub axes: &'a [Axis],
    /// How the yokes stand on each shaft between two joints; two fewer than axes.
    pub phases: &'a [Phase],
}

/// What the joints of a line do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joints {
    /// True angle of each joint, from the gearbox back; zero after the last.
    pub angles: [Angle; 3],
    /// How many joints there are.
    pub count: usize,
    /// Angle of the single joint that would turn the last shaft just as unevenly.
    pub residual: Angle,
}

impl Axis {
    /// The axis of a shaft with this inclination.
    ///
    /// # Units
    /// `slope` as an inclinometer laid along the shaft reads it, + down to the rear;
    /// `plan` as seen from above, + to the right going back.
    pub fn of(slope: Slope, plan: Angle) -> Self {
        let (sin_slope, cos_slope) = slope.si().sin_cos();
        let (sin_plan, cos_plan) = plan.si().sin_cos();
        Self {
            x: cos_slope * cos_plan,
            y: cos_slope * sin_plan,
            z: -sin_slope,
        }
    }

    /// The axis from one joint to the next.
    ///
    /// # Units
    /// Points as back, right, up.
    ///
    /// # Errors
    /// When both are the same point.
    pub fn between(from: [Length; 3], to: [Length; 3]) -> Result<Self, Snag> {
        let [x, y, z] = [
            to[0].si() - from[0].si(),
            to[1].si() - from[1].si(),
            to[2].si() - from[2].si(),
        ];
        let length = x.hypot(y).hypot(z);
        if length > 0.0 && length.is_finite() {
            Ok(Self {
                x: x / length,
                y: y / length,
                z: z / length,
            })
        } else {
            Err(Snag::new(
                "joint_points",
                "both joints are at one point; a shaft needs two",
            ))
        }
    }

    /// The angle to another axis, without a sense; exact also near zero.
    ///
    /// # Source
    /// Check values F1.8, in the form that keeps its figures near zero.
    pub fn angle_to(self, other: Self) -> Angle {
        Angle::of_si(self.cross(other).length().atan2(self.dot(other)))
    }

    fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    fn cross(self, other: Self) -> Self {
        Self {
            x: self.y * other.z - self.z * other.y,
            y: self.z * other.x - self.x * other.z,
            z: self.x * other.y - self.y * other.x,
        }
    }

    fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    fn plus(self, other: Self) -> Self {
        Self {
            x: self.x + other.x,
            y: self.y + other.y,
            z: self.z + other.z,
        }
    }

    fn less(self, other: Self) -> Self {
        Self {
            x: self.x - other.x,
            y: self.y - other.y,
            z: self.z - other.z,
        }
    }

    /// Some direction at right angles; its length does not matter.
    fn across(self) -> Self {
        let side = if self.y.abs() < 0.9 {
            Self {
                x: 0.0,
                y: 1.0,
                z: 0.0,
            }
        } else {
            Self {
                x: 1.0,
                y: 0.0,
                z: 0.0,
            }
        };
        self.cross(side)
    }
}

impl Line<'_> {
    /// The angle of each joint and the residual angle of the line.
    ///
    /// # Errors
    /// When there are not two to four axes, not two phases fewer, or a joint stands
    /// at a right angle or more.
    ///
    /// # Source
    /// Our derivation. The pin of a joint's driving yoke, a direction p at right
    /// angles to shaft a, and the pin of its driven yoke, q at right angles to shaft
    /// b, are at right angles to each other. So q lies along b × p: the pin is carried
    /// on by a *linear* map. A shaft with yokes in phase hands the pin on as it is,
    /// with crossed yokes turned by 90°. The whole line is thus one linear map M of
    /// the plane across the first shaft to the plane across the last, and the turn of
    /// the last shaft is the angle of M·(cos θ, sin θ). M is a turn, a stretch by σ1
    /// and σ2 in two directions, and a turn; a single joint is the same with
    /// stretches 1 and cos β. So the line turns its last shaft exactly as a single
    /// joint with cos β = σ2/σ1 would, whatever the planes of its joints.
    ///
    /// M splits into a part that keeps angles (size p) and one that mirrors them
    /// (size m); σ1 = p + m, σ2 = p − m, hence tan²(β/2) = m/p, which keeps its figures
    /// where the joints all but cancel.
    pub fn joints(&self) -> Result<Joints, Snag> {
        self.fits()?;
        let mut angles = [Angle::of_si(0.0); 3];
        for (angle, (a, b)) in angles.iter_mut().zip(self.pairs()) {
            *angle = a.angle_to(*b);
        }
        let (kept, mirrored) = self.carried();
        Ok(Joints {
            angles,
            count: self.axes.len() - 1,
            residual: Angle::of_si(2.0 * (mirrored / kept).sqrt().atan()),
        })
    }

    fn pairs(&self) -> impl Iterator<Item = (&Axis, &Axis)> {
        self.axes.iter().zip(self.axes.iter().skip(1))
    }

    fn fits(&self) -> Result<(), Snag> {
        if !(2..=4).contains(&self.axes.len()) {
            return Err(Snag::new("slopes", "a line has two to four axes"));
        }
        if self.phases.len() + 2 != self.axes.len() {
            return Err(Snag::new(
                "phases",
                "each shaft between two joints has one phase, so two fewer than axes",
            ));
        }
        if self.pairs().any(|(a, b)| a.dot(*b) <= 0.0) {
            return Err(Snag::new(
                "slopes",
                "a joint at 90° or more can't turn; look at the signs",
            ));
        }
        Ok(())
    }

    /// Twice the sizes of the part of the map that keeps angles and of the part that
    /// mirrors them.
    fn carried(&self) -> (f64, f64) {
        let Some((first, rest)) = self.axes.split_first() else {
            return (1.0, 0.0);
        };
        let start = first.across();
        let (mut one, mut two, mut last) = (start, first.cross(start), *first);
        let mut phases = self.phases.iter();
        for axis in rest {
            (one, two, last) = (axis.cross(one), axis.cross(two), *axis);
            if phases.next() == Some(&Phase::Crossed) {
                (one, two) = (axis.cross(one), axis.cross(two));
            }
        }
        let turned = last.cross(one);
        (two.plus(turned).length(), two.less(turned).length())
    }
}
