//! The shafts from gearbox to axle and what becomes of them at a height.
//!
//! The gearbox, and a hanger bearing, turn with the frame; the last joint is fixed
//! to the axle. Slopes that were measured on the blocks replace those of the sheet:
//! what the model says between two heights is added to what was measured at one.

use uom::si::f64::{Angle, Length};

use super::{Dot, Linkage, Pose, Snag, Spot, slope};
use crate::calc::amount::{Amount, Slope};
use crate::calc::joint::{Axis, Joints, Line, Phase};

/// One shaft, at ride height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Piece {
    /// By its slope and the distance of its joints.
    Laid {
        /// Slope.
        slope: Slope,
        /// From joint to joint.
        length: Length,
    },
    /// By where its front joint is.
    From(Spot),
}

/// The driveline as a sheet states it, at ride height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shafting {
    /// Slope of the gearbox's output shaft.
    pub gearbox: Slope,
    /// Slope of the pinion's shaft.
    pub pinion: Slope,
    /// From the axle centre forward along the pinion's slope to the last joint.
    pub joint_ahead: Length,
    /// From there down to it, square to the pinion's slope.
    pub joint_below: Length,
    /// The shaft to the axle.
    pub shaft: Piece,
    /// The shaft before it, to a hanger bearing on the frame, if there are two.
    pub coupling: Option<Piece>,
}

/// The slopes of a driveline, from gearbox to pinion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slopes {
    /// Of the gearbox's output shaft.
    pub gearbox: Slope,
    /// Of the coupling shaft, if there is one.
    pub coupling: Option<Slope>,
    /// Of the shaft to the axle.
    pub shaft: Slope,
    /// Of the pinion's shaft.
    pub pinion: Slope,
}

/// Points of a side view.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spots {
    /// Frame underside above the front axle.
    pub frame_front: Spot,
    /// Frame underside above the drive axle.
    pub frame_rear: Spot,
    /// Front end of the arm, or of the lower link.
    pub pivot: Spot,
    /// Centre of the drive axle.
    pub axle: Spot,
    joints: [Spot; 3],
    count: usize,
}

/// A driveline at a height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// The height that it is at.
    pub height: Length,
    /// All slopes.
    pub slopes: Slopes,
    /// Angles of the joints from the gearbox on, and what is left of them together.
    pub joints: Joints,
    /// How far the sizes of the last two joints' angles are apart.
    pub equal: Angle,
    /// The last joint bends to the other side than with the pinion flatter than the
    /// shaft: the pinion is steeper.
    pub pinion_is_steeper: bool,
    /// Distance of the last shaft's joints less that at ride height, + longer.
    pub plunge: Length,
    /// How far the axle turned since ride height, + nose up.
    pub axle_turn: Slope,
    /// How far the tyre rolls for that with the brake on, + to the rear.
    pub tyre_roll: Length,
    /// Slope of the arm, or of the lower link.
    pub arm: Slope,
    /// How far the frame turned since ride height, + nose up.
    pub frame_turn: Slope,
    /// Where things are; by the sheet, whatever was measured.
    pub spots: Spots,
}

/// A driveline on its truck.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Driveline {
    linkage: Linkage,
    ride: Pose,
    /// Slopes of gearbox and pinion at ride height, radians.
    gearbox_rad: f64,
    pinion_rad: f64,
    /// Front joint of the last shaft, and of the coupling shaft, seen from the frame.
    shaft: Dot,
    coupling: Option<Dot>,
    /// Last joint, seen from the axle with a level pinion.
    last: Dot,
    /// The last shaft at ride height.
    length_m: f64,
    /// What was measured less what the sheet gives, gearbox to pinion.
    shift_rad: Runs,
}

/// A slope for each run: gearbox, coupling shaft, shaft, pinion; radians.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Runs {
    gearbox: f64,
    coupling: f64,
    shaft: f64,
    pinion: f64,
}

impl Slopes {
    fn of(runs: Runs, pieces: Option<Dot>) -> Self {
        Self {
            gearbox: slope(runs.gearbox),
            coupling: pieces.map(|_there| slope(runs.coupling)),
            shaft: slope(runs.shaft),
            pinion: slope(runs.pinion),
        }
    }

    /// Angles of the joints between these, all in the plane of the side view and all
    /// shafts in phase.
    ///
    /// # Errors
    /// `pinion_slope` where a joint would stand at a right angle or more.
    pub fn joints(&self) -> Result<Joints, Snag> {
        let flat = Angle::of_si(0.0);
        let [gearbox, shaft, pinion] =
            [self.gearbox, self.shaft, self.pinion].map(|slope| Axis::of(slope, flat));
        let joints = match self.coupling {
            Some(coupling) => Line {
                axes: &[gearbox, Axis::of(coupling, flat), shaft, pinion],
                phases: &[Phase::InPhase, Phase::InPhase],
            }
            .joints(),
            None => Line {
                axes: &[gearbox, shaft, pinion],
                phases: &[Phase::InPhase],
            }
            .joints(),
        };
        joints.map_err(|snag| Snag::new("pinion_slope", snag.why))
    }
}

impl Spots {
    /// The joints from the gearbox on.
    pub fn joints(&self) -> impl Iterator<Item = Spot> + use<> {
        self.joints.into_iter().take(self.count)
    }
}

impl Piece {
    /// Its front joint, given its rear one.
    fn front(self, rear: Dot) -> Dot {
        match self {
            Self::Laid { slope, length } => {
                let forward = Dot::new(-length.value, 0.0);
                rear.plus(forward.turned(slope.si().sin_cos()))
            }
            Self::From(spot) => Dot::of(spot),
        }
    }
}

impl Driveline {
    /// A driveline as its sheet states it.
    ///
    /// # Errors
    /// `shaft_length` where the shaft has none.
    pub fn new(linkage: Linkage, shafting: &Shafting) -> Result<Self, Snag> {
        let ride = linkage.at_ride();
        let pinion_rad = shafting.pinion.si();
        let last = Dot::new(-shafting.joint_ahead.value, -shafting.joint_below.value);
        let rear = ride.axle.plus(last.turned(pinion_rad.sin_cos()));
        let middle = shafting.shaft.front(rear);
        let length_m = rear.from(middle).square().sqrt();
        if length_m < 1e-3 {
            return Err(Snag::new("shaft_length", "the shaft's joints stand apart"));
        }
        let origin = Dot::new(0.0, linkage.stance().frame_front.value);
        let on_frame = |dot: Dot| dot.from(origin).unturned(ride.frame);
        let front = shafting.coupling.map(|piece| piece.front(middle));
        Ok(Self {
            linkage,
            ride,
            gearbox_rad: shafting.gearbox.si(),
            pinion_rad,
            shaft: on_frame(middle),
            coupling: front.map(on_frame),
            last,
            length_m,
            shift_rad: Runs::default(),
        })
    }

    /// The same driveline, its slopes as they were measured at a height.
    ///
    /// # Errors
    /// `coupling_on_blocks` where a coupling shaft was measured and there is none, or
    /// the other way round; as [`Driveline::at`] otherwise.
    pub fn measured(&self, at: Length, slopes: &Slopes) -> Result<Self, Snag> {
        let why = match (slopes.coupling, self.coupling) {
            (Some(_), None) => Some("there is no coupling shaft in one piece"),
            (None, Some(_)) => Some("the coupling shaft's slope is wanted with the others"),
            (Some(_), Some(_)) | (None, None) => None,
        };
        if let Some(why) = why {
            return Err(Snag::new("coupling_on_blocks", why));
        }
        let runs = self.lay(&self.linkage.pose(at)?).runs;
        let shift_rad = Runs {
            gearbox: slopes.gearbox.si() - runs.gearbox,
            coupling: slopes.coupling.map_or(0.0, |c| c.si() - runs.coupling),
            shaft: slopes.shaft.si() - runs.shaft,
            pinion: slopes.pinion.si() - runs.pinion,
        };
        Ok(Self { shift_rad, ..*self })
    }

    /// How the axle is held.
    pub const fn linkage(&self) -> &Linkage {
        &self.linkage
    }

    /// The driveline at a height.
    ///
    /// # Errors
    /// `height` where the arm or the links don't reach the axle.
    pub fn at(&self, height: Length) -> Result<State, Snag> {
        let pose = self.linkage.pose(height)?;
        let lay = self.lay(&pose);
        let runs = lay.runs.plus(&self.shift_rad);
        let slopes = Slopes::of(runs, self.coupling);
        let joints = slopes.joints()?;
        let [first, second, third] = joints.angles;
        let (before, last) = match self.coupling {
            Some(_) => (second, third),
            None => (first, second),
        };
        let stance = self.linkage.stance();
        Ok(State {
            height,
            slopes,
            joints,
            equal: (before - last).abs(),
            pinion_is_steeper: runs.pinion > runs.shaft,
            plunge: Length::of_si(lay.length_m - self.length_m),
            axle_turn: slope(pose.turn_rad),
            tyre_roll: Length::of_si(stance.axle_height.value * pose.turn_rad),
            arm: slope(pose.arm_rad),
            frame_turn: slope(pose.frame_rad - self.ride.frame_rad),
            spots: self.spots(&pose, &lay, height),
        })
    }

    /// Where the shafts lie and how, by the sheet.
    fn lay(&self, pose: &Pose) -> Lay {
        let front = Dot::new(0.0, self.linkage.stance().frame_front.value);
        let off_frame = |dot: Dot| front.plus(dot.turned(pose.frame));
        let frame_rad = pose.frame_rad - self.ride.frame_rad;
        let pinion = self.pinion_rad + pose.turn_rad;
        let rear = pose.axle.plus(self.last.turned(pinion.sin_cos()));
        let middle = off_frame(self.shaft);
        let first = self.coupling.map(off_frame);
        let way = rear.from(middle);
        Lay {
            runs: Runs {
                gearbox: self.gearbox_rad + frame_rad,
                coupling: first.map_or(0.0, |first| middle.from(first).slope()),
                shaft: way.slope(),
                pinion,
            },
            first,
            middle,
            rear,
            length_m: way.square().sqrt(),
        }
    }

    fn spots(&self, pose: &Pose, lay: &Lay, height: Length) -> Spots {
        let stance = self.linkage.stance();
        let axle = pose.axle.spot();
        let (middle, rear) = (lay.middle.spot(), lay.rear.spot());
        let (joints, count) = match lay.first {
            Some(first) => ([first.spot(), middle, rear], 3),
            None => ([middle, rear, rear], 2),
        };
        Spots {
            frame_front: Spot {
                back: Length::of_si(0.0),
                up: stance.frame_front,
            },
            frame_rear: Spot {
                back: axle.back,
                up: axle.up + stance.seat_to_axle + height,
            },
            pivot: pose.pivot.spot(),
            axle,
            joints,
            count,
        }
    }
}

/// Where the shafts lie.
struct Lay {
    runs: Runs,
    first: Option<Dot>,
    middle: Dot,
    rear: Dot,
    length_m: f64,
}

impl Runs {
    fn plus(&self, other: &Self) -> Self {
        Self {
            gearbox: self.gearbox + other.gearbox,
            coupling: self.coupling + other.coupling,
            shaft: self.shaft + other.shaft,
            pinion: self.pinion + other.pinion,
        }
    }
}
