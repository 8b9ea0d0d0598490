//! Trailing arms that are clamped to the axle: the axle turns with the arm.
//!
//! Invariant: the axle centre lies behind the pivot.

use uom::si::f64::Length;

use super::{Dot, Ground, Pose, Snag, Stance, frame_of};
use crate::calc::amount::Amount;

/// Steps of Newton's way that are taken at most; three or four are usual.
const STEPS: usize = 24;

/// What is near enough, metres.
const NEAR_M: f64 = 1e-13;

/// Trailing arms with what the truck stands on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrailingArm {
    stance: Stance,
    ground: Ground,
    /// Pivot as the frame sees it: along the underside from above the front axle,
    /// and square to it.
    pivot: Dot,
    arm_m: f64,
    ride: Pose,
}

/// How much height it takes to turn things by a radian.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    /// The axle, with the frame pitching about the front axle; for a radian.
    pub axle: Length,
    /// The axle, if the frame stayed parallel; for a radian.
    pub arm_alone: Length,
    /// The frame, for a radian, + as it goes nose down while it rises behind.
    pub frame: Length,
}

impl TrailingArm {
    /// Arms of a length from pivot to axle centre, their pivots so far below the
    /// frame underside (square to it); where the pivots are along the frame follows
    /// from the wheelbase.
    ///
    /// # Errors
    /// `arm_length` where the arm does not reach from the pivot's height to the
    /// axle; `wheelbase` where that is nothing.
    pub fn new(stance: Stance, arm_length: Length, pivot_below: Length) -> Result<Self, Snag> {
        let ground = Ground::new(&stance)?;
        let frame = frame_of(ground.fall(ground.ride_m), ground.wheelbase_m);
        let axle = ground.on_frame(ground.axle(ground.wheelbase_m), frame);
        let down_m = -pivot_below.value;
        let arm_m = arm_length.value;
        let reach = arm_m * arm_m - (axle.z - down_m).powi(2);
        if arm_m > 0.0 && reach > 0.0 {
            let pivot = Dot::new(axle.x - reach.sqrt(), down_m);
            Self::finish(stance, ground, pivot, arm_m)
        } else {
            Err(Snag::new(
                "arm_length",
                "the arm does not reach from the pivot to the axle at ride height",
            ))
        }
    }

    /// Arms by their pivot, which is so far behind the front axle along the frame
    /// underside and so far below it; where the axle stands follows, and the
    /// wheelbase is only near it.
    ///
    /// # Errors
    /// `arm_length` where the arm does not reach.
    pub fn from_pivot(
        stance: Stance,
        arm_length: Length,
        pivot_back: Length,
        pivot_below: Length,
    ) -> Result<Self, Snag> {
        let ground = Ground::new(&stance)?;
        let pivot = Dot::new(pivot_back.value, -pivot_below.value);
        Self::finish(stance, ground, pivot, arm_length.value)
    }

    fn finish(stance: Stance, ground: Ground, pivot: Dot, arm_m: f64) -> Result<Self, Snag> {
        let mut arm = Self {
            stance,
            ground,
            pivot,
            arm_m,
            ride: Pose {
                frame_rad: 0.0,
                frame: (0.0, 1.0),
                axle: ground.axle(ground.wheelbase_m),
                pivot,
                arm_rad: 0.0,
                turn_rad: 0.0,
            },
        };
        let mut ride = arm
            .pose(stance.ride_height)
            .map_err(|snag| Snag::new("arm_length", snag.why))?;
        ride.turn_rad = 0.0;
        arm.ride = ride;
        Ok(arm)
    }

    pub(super) const fn stance(&self) -> &Stance {
        &self.stance
    }

    pub(super) const fn at_ride(&self) -> Pose {
        self.ride
    }

    /// Where frame and axle stand at a height.
    pub(super) fn pose(&self, height: Length) -> Result<Pose, Snag> {
        let ground = &self.ground;
        let fall_m = ground.fall(height.value);
        let back_m = self.axle_back(height.value)?;
        let frame = frame_of(fall_m, back_m);
        let axle = ground.axle(back_m);
        let pivot = ground.off_frame(self.pivot, frame);
        let arm = axle.from(pivot);
        if arm.x <= 0.0 {
            return Err(SHORT);
        }
        let arm_rad = arm.slope();
        Ok(Pose {
            frame_rad: fall_m.atan2(back_m),
            frame,
            axle,
            pivot,
            arm_rad,
            turn_rad: arm_rad - self.ride.arm_rad,
        })
    }

    /// How much height it takes to turn axle and frame, at a height.
    ///
    /// # Errors
    /// `height` where the arm does not reach.
    ///
    /// # Source
    /// Our derivation: the loop's equation differentiated.
    pub fn rate(&self, height: Length) -> Result<Rate, Snag> {
        let pose = self.pose(height)?;
        let ground = &self.ground;
        let fall_m = ground.fall(height.value);
        let back_m = pose.axle.x;
        let (_, by_back, by_height) = self.loop_of(back_m, height.value);
        let back_rate = -by_height / by_back;
        let along = fall_m * fall_m + back_m * back_m;
        let frame_rate = (-back_m - fall_m * back_rate) / along;
        let swing = pose.pivot.from(ground.front).swing();
        let arm = pose.axle.from(pose.pivot);
        let move_x = back_rate - swing.x * frame_rate;
        let move_z = -swing.z * frame_rate;
        // Slope of the arm is atan(−z / x).
        let arm_rate = (arm.z * move_x - arm.x * move_z) / arm.square();
        Ok(Rate {
            axle: Length::of_si(1.0 / arm_rate),
            arm_alone: Length::of_si(self.arm_m * pose.arm_rad.cos()),
            frame: Length::of_si(-1.0 / frame_rate),
        })
    }

    /// How far behind the front axle the axle centre stands.
    fn axle_back(&self, height_m: f64) -> Result<f64, Snag> {
        let mut back_m = self.ride.axle.x;
        for _ in 0..STEPS {
            let (miss, by_back, _) = self.loop_of(back_m, height_m);
            let step_m = miss / by_back;
            back_m -= step_m;
            if step_m.abs() < NEAR_M {
                return Ok(back_m);
            }
        }
        Err(SHORT)
    }

    /// Square of pivot to axle less that of the arm, and how that changes with the
    /// axle's place and with the height.
    ///
    /// With x the axle's place, D the frame underside in front over the axle centre,
    /// H the same above the axle, e = D − H, r² = x² + e² and the pivot (p, −q) on
    /// the frame: x² + D² + p² + q² − 2/r · (p (x² + D e) + q x H) = arm².
    fn loop_of(&self, back_m: f64, height_m: f64) -> (f64, f64, f64) {
        let (x, d) = (back_m, self.ground.drop_m);
        let h = self.ground.over_axle(height_m);
        let e = d - h;
        let (p, q) = (self.pivot.x, -self.pivot.z);
        let square = x * x + e * e;
        let r = square.sqrt();
        let n = p * (x * x + d * e) + q * x * h;
        let miss = x * x + d * d + self.pivot.square() - 2.0 * n / r - self.arm_m * self.arm_m;
        let by_back = 2.0 * x - 2.0 * (2.0 * p * x + q * h) / r + 2.0 * n * x / (r * square);
        let by_height = -2.0 * (q * x - p * d) / r - 2.0 * n * e / (r * square);
        (miss, by_back, by_height)
    }

    /// Where the pivot is: along the frame underside from above the front axle, and
    /// below it, square.
    pub fn pivot(&self) -> (Length, Length) {
        (Length::of_si(self.pivot.x), Length::of_si(-self.pivot.z))
    }
}

const SHORT: Snag = Snag::new("height", "the arm does not reach the axle at this height");
