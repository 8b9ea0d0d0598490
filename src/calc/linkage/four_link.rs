//! An axle on an upper and a lower link, each with one end on the frame and one on
//! the axle.
//!
//! Invariant: the links stand on the side of their dead points where they stand at
//! ride height.

use super::{Dot, Ground, Pose, Snag, Spot, Stance, frame_of};
use uom::si::f64::Length;

/// Steps of Newton's way that are taken at most; three or four are usual.
const STEPS: usize = 24;

/// What is near enough, metres and radians.
const NEAR: f64 = 1e-13;

/// Links nearer to one line than this do not hold an axle against turning, metres.
const LEAST_APART_M: f64 = 5e-3;

/// The ends of one link at ride height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Link {
    /// On the frame.
    pub front: Spot,
    /// On the axle.
    pub rear: Spot,
}

/// One link as the sums use it.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Bar {
    /// Front end, seen from the frame.
    front: Dot,
    /// Rear end from the axle centre, axle as at ride height.
    rear: Dot,
    /// Length squared.
    square: f64,
}

/// An axle on two links.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FourLink {
    stance: Stance,
    ground: Ground,
    bars: [Bar; 2],
    ride: Pose,
    /// On which side of their dead points the links stand.
    side: f64,
}

/// What the square of a link's length is off, and how that changes.
struct Miss {
    square: f64,
    by_back: f64,
    by_turn: f64,
}

impl FourLink {
    /// Links by their ends as they stand at ride height.
    ///
    /// # Errors
    /// `lower_rear_back` or `upper_rear_back` where a link has no length,
    /// `upper_front_up` where the two links do not hold the axle against turning.
    pub fn new(stance: Stance, lower: Link, upper: Link) -> Result<Self, Snag> {
        let ground = Ground::new(&stance)?;
        let fall_m = ground.fall(ground.ride_m);
        let frame = frame_of(fall_m, ground.wheelbase_m);
        let axle = ground.axle(ground.wheelbase_m);
        let bar = |link: &Link, key| {
            let (front, rear) = (Dot::of(link.front), Dot::of(link.rear));
            let square = rear.from(front).square();
            if square > 1e-6 {
                Ok(Bar {
                    front: ground.on_frame(front, frame),
                    rear: rear.from(axle),
                    square,
                })
            } else {
                Err(Snag::new(key, "the ends of a link stand apart"))
            }
        };
        let bars = [
            bar(&lower, "lower_rear_back")?,
            bar(&upper, "upper_rear_back")?,
        ];
        let pivot = Dot::of(lower.front);
        let mut links = Self {
            stance,
            ground,
            bars,
            ride: Pose {
                frame_rad: fall_m.atan2(ground.wheelbase_m),
                frame,
                axle,
                pivot,
                arm_rad: Dot::of(lower.rear).from(pivot).slope(),
                turn_rad: 0.0,
            },
            side: 1.0,
        };
        let side = links.spread(ground.wheelbase_m, 0.0, ground.ride_m);
        // For links side by side this is four times both lengths and the way between.
        let [lower_m, upper_m] = links.bars.map(|bar| bar.square.sqrt());
        if side.abs() < 4.0 * lower_m * upper_m * LEAST_APART_M {
            return Err(Snag::new(
                "upper_front_up",
                "the links do not hold the axle: they lie on one line",
            ));
        }
        links.side = side.signum();
        Ok(links)
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
        let (back_m, turn_rad) = self.solve(height.value)?;
        let fall_m = ground.fall(height.value);
        let frame = frame_of(fall_m, back_m);
        let axle = ground.axle(back_m);
        let [lower, _] = self.bars;
        let pivot = ground.off_frame(lower.front, frame);
        let rear = axle.plus(lower.rear.turned(turn_rad.sin_cos()));
        Ok(Pose {
            frame_rad: fall_m.atan2(back_m),
            frame,
            axle,
            pivot,
            arm_rad: rear.from(pivot).slope(),
            turn_rad,
        })
    }

    /// The axle's place and turn that fit both links: Newton's way from ride height.
    fn solve(&self, height_m: f64) -> Result<(f64, f64), Snag> {
        let (mut back_m, mut turn_rad) = (self.ride.axle.x, 0.0);
        for _ in 0..STEPS {
            let [lower, upper] = self.misses(back_m, turn_rad, height_m);
            let spread = lower.by_back * upper.by_turn - lower.by_turn * upper.by_back;
            let back_step = (lower.square * upper.by_turn - lower.by_turn * upper.square) / spread;
            let turn_step = (lower.by_back * upper.square - lower.square * upper.by_back) / spread;
            back_m -= back_step;
            turn_rad -= turn_step;
            if back_step.abs() < NEAR && turn_step.abs() < NEAR {
                if spread * self.side > 0.0 && back_m > 0.0 {
                    return Ok((back_m, turn_rad));
                }
                break;
            }
        }
        Err(Snag::new(
            "height",
            "the links do not reach the axle at this height",
        ))
    }

    fn spread(&self, back_m: f64, turn_rad: f64, height_m: f64) -> f64 {
        let [lower, upper] = self.misses(back_m, turn_rad, height_m);
        lower.by_back * upper.by_turn - lower.by_turn * upper.by_back
    }

    fn misses(&self, back_m: f64, turn_rad: f64, height_m: f64) -> [Miss; 2] {
        let ground = &self.ground;
        let fall_m = ground.fall(height_m);
        let frame = frame_of(fall_m, back_m);
        // The frame's slope is atan(fall / back).
        let frame_by_back = -fall_m / (fall_m * fall_m + back_m * back_m);
        let turn = turn_rad.sin_cos();
        self.bars.map(|bar| {
            let from_front = bar.front.turned(frame);
            let from_axle = bar.rear.turned(turn);
            let front = ground.front.plus(from_front);
            let rear = ground.axle(back_m).plus(from_axle);
            let way = rear.from(front);
            Miss {
                square: way.square() - bar.square,
                by_back: 2.0 * (way.x - way.dot(from_front.swing()) * frame_by_back),
                by_turn: 2.0 * way.dot(from_axle.swing()),
            }
        })
    }
}
