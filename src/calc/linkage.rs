//! Everything of the driveline over the height of the frame.
//!
//! Side view, the floor as reference: `back` counts from the front axle to the
//! rear, `up` from the floor. A slope or a turn is + where the front end goes up.
//! Frame, gearbox and the front ends of the links turn rigidly about the point of
//! the frame underside above the front axle, whose height stays. The axle centre
//! stays at its height over the floor and is free fore and aft; straight above it
//! the frame underside stands by *height + seat to axle*.
//!
//! Invariant: nothing here allocates or rounds; angles between shafts come from the
//! joints' file and from nowhere else.

mod arm;
mod band;
mod driveline;
mod entry;
mod four_link;
mod input;

#[cfg(test)]
mod tests;

use uom::si::f64::Length;

use super::amount::{Amount, Slope};
use super::error::Snag;

pub use arm::{Rate, TrailingArm};
pub use band::{Allowed, Band, Limits, Rule};
pub use driveline::{Driveline, Piece, Shafting, Slopes, Spots, State};
pub(super) use entry::{
    DRIVELINE_AT_HEIGHT, DRIVELINE_FOUND, DRIVELINE_FOUR_LINK, FOUR_LINK_BAND, FOUR_LINK_FOUND,
    HEIGHT_BAND, MM_PER_DEGREE,
};
pub use four_link::{FourLink, Link};

/// A point in side view.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Behind the front axle.
    pub back: Length,
    /// Over the floor.
    pub up: Length,
}

/// How the truck stands at ride height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stance {
    /// Frame underside to block seat.
    pub ride_height: Length,
    /// Block seat to axle centre.
    pub seat_to_axle: Length,
    /// Front axle to drive axle.
    pub wheelbase: Length,
    /// Frame underside above the front axle, over the floor.
    pub frame_front: Length,
    /// Drive axle centre over the floor: the loaded radius of its tyres.
    pub axle_height: Length,
}

/// How the axle is held to the frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Linkage {
    /// By trailing arms that are clamped to it.
    Arm(TrailingArm),
    /// By an upper and a lower link.
    FourLink(FourLink),
}

impl Linkage {
    /// How the truck stands at ride height.
    pub const fn stance(&self) -> &Stance {
        match self {
            Self::Arm(arm) => arm.stance(),
            Self::FourLink(links) => links.stance(),
        }
    }

    fn at_ride(&self) -> Pose {
        match self {
            Self::Arm(arm) => arm.at_ride(),
            Self::FourLink(links) => links.at_ride(),
        }
    }

    fn pose(&self, height: Length) -> Result<Pose, Snag> {
        match self {
            Self::Arm(arm) => arm.pose(height),
            Self::FourLink(links) => links.pose(height),
        }
    }
}

/// A point or a way in side view, metres.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Dot {
    x: f64,
    z: f64,
}

impl Dot {
    const fn new(x: f64, z: f64) -> Self {
        Self { x, z }
    }

    fn of(spot: Spot) -> Self {
        Self::new(spot.back.value, spot.up.value)
    }

    fn spot(self) -> Spot {
        Spot {
            back: Length::of_si(self.x),
            up: Length::of_si(self.z),
        }
    }

    fn plus(self, way: Self) -> Self {
        Self::new(self.x + way.x, self.z + way.z)
    }

    fn from(self, start: Self) -> Self {
        Self::new(self.x - start.x, self.z - start.z)
    }

    /// Turned about the origin, front end up.
    fn turned(self, (sin, cos): (f64, f64)) -> Self {
        Self::new(self.x * cos + self.z * sin, self.z * cos - self.x * sin)
    }

    /// Turned back.
    fn unturned(self, (sin, cos): (f64, f64)) -> Self {
        self.turned((-sin, cos))
    }

    /// How it moves while it turns by a radian, front end up.
    const fn swing(self) -> Self {
        Self::new(self.z, -self.x)
    }

    fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.z * other.z
    }

    fn square(self) -> f64 {
        self.dot(self)
    }

    /// Slope of the way from front to rear, + down to the rear.
    fn slope(self) -> f64 {
        (-self.z).atan2(self.x)
    }
}

/// Where frame and axle stand.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Pose {
    /// Slope of the frame underside, radians.
    frame_rad: f64,
    /// Its sine and cosine.
    frame: (f64, f64),
    /// Axle centre.
    axle: Dot,
    /// Front end of the arm, or of the lower link.
    pivot: Dot,
    /// Slope of the arm, or of the lower link, radians.
    arm_rad: f64,
    /// How far the axle turned since ride height, radians.
    turn_rad: f64,
}

/// The numbers of a stance that the sums go by, metres.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Ground {
    /// The point that the frame turns about.
    front: Dot,
    /// Axle centre over the floor.
    axle_m: f64,
    /// Frame underside in front over axle centre.
    drop_m: f64,
    seat_m: f64,
    ride_m: f64,
    wheelbase_m: f64,
}

impl Ground {
    fn new(stance: &Stance) -> Result<Self, Snag> {
        let ground = Self {
            front: Dot::new(0.0, stance.frame_front.value),
            axle_m: stance.axle_height.value,
            drop_m: stance.frame_front.value - stance.axle_height.value,
            seat_m: stance.seat_to_axle.value,
            ride_m: stance.ride_height.value,
            wheelbase_m: stance.wheelbase.value,
        };
        if ground.wheelbase_m > 0.0 {
            Ok(ground)
        } else {
            Err(Snag::new(
                "wheelbase",
                "the drive axle stands behind the front axle",
            ))
        }
    }

    /// Frame underside over axle centre at a height.
    fn over_axle(&self, height_m: f64) -> f64 {
        height_m + self.seat_m
    }

    /// How much lower the frame underside is above the axle than in front.
    fn fall(&self, height_m: f64) -> f64 {
        self.drop_m - self.over_axle(height_m)
    }

    /// Axle centre so far behind the front axle.
    const fn axle(&self, back_m: f64) -> Dot {
        Dot::new(back_m, self.axle_m)
    }

    /// A point of the frame as it stands at ride height, seen from the frame.
    fn on_frame(&self, at_ride: Dot, frame: (f64, f64)) -> Dot {
        at_ride.from(self.front).unturned(frame)
    }

    /// A point of the frame where the frame stands.
    fn off_frame(&self, on_frame: Dot, frame: (f64, f64)) -> Dot {
        self.front.plus(on_frame.turned(frame))
    }
}

/// Sine and cosine of the frame's slope from its fall to the axle.
fn frame_of(fall_m: f64, back_m: f64) -> (f64, f64) {
    let along_m = fall_m.hypot(back_m);
    (fall_m / along_m, back_m / along_m)
}

fn slope(rad: f64) -> Slope {
    Slope::of_si(rad)
}
