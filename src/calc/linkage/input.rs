//! What the driveline's sums ask for, and how that becomes a driveline.
//!
//! Invariant: a sum's inputs stand in the order that [`inputs`] lists them; the
//! numbers of the places below follow that order.

use uom::si::f64::Length;

use super::{
    Driveline, FourLink, Link, Linkage, Piece, Shafting, Slopes, Spot, Stance, TrailingArm,
};
use crate::calc::amount::Slope;
use crate::calc::error::Snag;
use crate::calc::given::Inputs;
use crate::calc::sum::Input;
use crate::quantity::Kind;

/// A length that may not be so short or so long.
const fn length(key: &'static str, title: &'static str, least: f64, most: f64) -> Input {
    Input::one(key, title, Kind::Length).within(
        least,
        most,
        "no truck has it shorter or longer; look at the unit",
    )
}

/// A slope of a shaft.
const fn incline(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::Slope).within(
        -0.6,
        0.6,
        "no driveline lies steeper than 34°; look at the reading",
    )
}

pub(super) const HEIGHT: Input = length("height", "frame underside to block seat, now", 0.0, 2.0);
pub(super) const RIDE_HEIGHT: Input = length(
    "ride_height",
    "frame underside to block seat at ride height",
    0.0,
    2.0,
);
pub(super) const SEAT_TO_AXLE: Input = length(
    "seat_to_axle",
    "block seat to axle centre, straight down",
    -1.0,
    1.0,
);
pub(super) const WHEELBASE: Input = length("wheelbase", "front axle to drive axle", 1.5, 12.0);
pub(super) const FRAME_FRONT: Input = length(
    "frame_front_height",
    "frame underside above the front axle, over the floor",
    0.2,
    3.0,
);
pub(super) const AXLE_HEIGHT: Input = length(
    "axle_height",
    "axle centre over the floor (loaded radius of the tyres)",
    0.2,
    1.0,
);
pub(super) const ARM_LENGTH: Input = length(
    "arm_length",
    "trailing arm from pivot to axle centre",
    0.1,
    2.0,
);
pub(super) const PIVOT_BELOW: Input = length(
    "pivot_below",
    "arm pivot below the frame underside",
    -1.0,
    1.5,
);
pub(super) const LOWER_FRONT_BACK: Input = length(
    "lower_front_back",
    "lower link's end on the frame, behind the front axle, at ride height",
    0.5,
    15.0,
);
pub(super) const LOWER_FRONT_UP: Input = length(
    "lower_front_up",
    "lower link's end on the frame, over the floor, at ride height",
    0.0,
    2.0,
);
pub(super) const LOWER_REAR_BACK: Input = length(
    "lower_rear_back",
    "lower link's end on the axle, behind the front axle, at ride height",
    0.5,
    15.0,
);
pub(super) const LOWER_REAR_UP: Input = length(
    "lower_rear_up",
    "lower link's end on the axle, over the floor, at ride height",
    0.0,
    2.0,
);
pub(super) const UPPER_FRONT_BACK: Input = length(
    "upper_front_back",
    "upper link's end on the frame, behind the front axle, at ride height",
    0.5,
    15.0,
);
pub(super) const UPPER_FRONT_UP: Input = length(
    "upper_front_up",
    "upper link's end on the frame, over the floor, at ride height",
    0.0,
    2.0,
);
pub(super) const UPPER_REAR_BACK: Input = length(
    "upper_rear_back",
    "upper link's end on the axle, behind the front axle, at ride height",
    0.5,
    15.0,
);
pub(super) const UPPER_REAR_UP: Input = length(
    "upper_rear_up",
    "upper link's end on the axle, over the floor, at ride height",
    0.0,
    2.0,
);
pub(super) const GEARBOX_SLOPE: Input = incline("gearbox_slope", "gearbox slope at ride height");
pub(super) const SHAFT_SLOPE: Input = incline(
    "shaft_slope",
    "slope of the shaft to the axle at ride height; or give its front joint",
)
.optional();
pub(super) const PINION_SLOPE: Input = incline("pinion_slope", "pinion slope at ride height");
pub(super) const SHAFT_LENGTH: Input = length(
    "shaft_length",
    "shaft to the axle, joint to joint, at ride height",
    0.2,
    5.0,
)
.optional();
pub(super) const JOINT_AHEAD: Input = length(
    "joint_ahead",
    "last joint ahead of the axle centre, along the pinion's slope",
    0.0,
    1.5,
);
pub(super) const JOINT_BELOW: Input = length(
    "joint_below",
    "last joint below that line, square to it",
    -0.5,
    0.5,
);
pub(super) const PIECES: Input = Input::word(
    "pieces",
    "shafts from gearbox to axle; two: a coupling shaft with a hanger bearing first (left out: one)",
    &["one", "two"],
)
.optional();
pub(super) const COUPLING_SLOPE: Input = incline(
    "coupling_slope",
    "slope of the coupling shaft at ride height",
)
.optional();
pub(super) const COUPLING_LENGTH: Input = length(
    "coupling_length",
    "coupling shaft, joint to joint",
    0.1,
    4.0,
)
.optional();
pub(super) const JOINT1_BACK: Input = length(
    "joint1_back",
    "gearbox's joint behind the front axle at ride height, instead of slope and length",
    -1.0,
    12.0,
)
.optional();
pub(super) const JOINT1_UP: Input = length(
    "joint1_up",
    "gearbox's joint over the floor at ride height",
    0.0,
    3.0,
)
.optional();
pub(super) const HANGER_BACK: Input = length(
    "hanger_back",
    "joint at the hanger bearing behind the front axle at ride height, instead of slope and length",
    -1.0,
    12.0,
)
.optional();
pub(super) const HANGER_UP: Input = length(
    "hanger_up",
    "joint at the hanger bearing over the floor at ride height",
    0.0,
    3.0,
)
.optional();
pub(super) const BLOCK_HEIGHT: Input = length(
    "block_height",
    "height on the blocks, where slopes were measured",
    0.0,
    2.0,
);
pub(super) const GEARBOX_ON_BLOCKS: Input =
    incline("gearbox_on_blocks", "gearbox slope measured on the blocks");
pub(super) const COUPLING_ON_BLOCKS: Input = incline(
    "coupling_on_blocks",
    "coupling shaft's slope measured on the blocks",
)
.optional();
pub(super) const SHAFT_ON_BLOCKS: Input = incline(
    "shaft_on_blocks",
    "slope of the shaft to the axle measured on the blocks",
);
pub(super) const PINION_ON_BLOCKS: Input =
    incline("pinion_on_blocks", "pinion slope measured on the blocks");
pub(super) const LOWER_STOP: Input = length("lower_stop", "height at the lower stop", 0.0, 2.0);
pub(super) const UPPER_STOP: Input = length("upper_stop", "height at the upper stop", 0.0, 2.0);

/// The inputs of a sum: some first, the truck with its linkage and shafts, some last.
macro_rules! inputs {
    (@stance $first:tt [$($linkage:expr),*] $last:tt) => {
        inputs!(@all $first
            [RIDE_HEIGHT, SEAT_TO_AXLE, WHEELBASE, FRAME_FRONT, AXLE_HEIGHT, $($linkage),*]
            $last)
    };
    (@all [$($first:expr),*] [$($truck:expr),*] [$($last:expr),*]) => {
        &[$($first,)* $($truck,)*
            GEARBOX_SLOPE, SHAFT_SLOPE, PINION_SLOPE, SHAFT_LENGTH, JOINT_AHEAD, JOINT_BELOW,
            PIECES, COUPLING_SLOPE, COUPLING_LENGTH, JOINT1_BACK, JOINT1_UP, HANGER_BACK,
            HANGER_UP, $($last),*]
    };
    (arm $first:tt $last:tt) => {
        inputs!(@stance $first [ARM_LENGTH, PIVOT_BELOW] $last)
    };
    (links $first:tt $last:tt) => {
        inputs!(@stance $first
            [LOWER_FRONT_BACK, LOWER_FRONT_UP, LOWER_REAR_BACK, LOWER_REAR_UP,
             UPPER_FRONT_BACK, UPPER_FRONT_UP, UPPER_REAR_BACK, UPPER_REAR_UP]
            $last)
    };
}
pub(super) use inputs;

/// How many inputs say how the truck stands.
const STANCE: usize = 5;

/// How many inputs say how the shafts lie.
const SHAFTS: usize = 13;

/// Which linkage a sum is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Held {
    /// Trailing arms.
    Arm,
    /// Two links.
    FourLink,
}

impl Held {
    /// How many inputs the linkage has.
    const fn count(self) -> usize {
        match self {
            Self::Arm => 2,
            Self::FourLink => 8,
        }
    }

    /// Where the inputs after the shafts begin.
    pub(super) const fn end(self, first: usize) -> usize {
        first + STANCE + self.count() + SHAFTS
    }

    /// The driveline of a sum whose truck begins at an input.
    pub(super) fn driveline(self, given: &Inputs<'_>, first: usize) -> Result<Driveline, Snag> {
        let linkage = self.linkage(given, first)?;
        let shafting = shafting(given, first + STANCE + self.count())?;
        Driveline::new(linkage, &shafting)
    }

    fn linkage(self, given: &Inputs<'_>, first: usize) -> Result<Linkage, Snag> {
        match self {
            Self::Arm => trailing_arm(given, first).map(Linkage::Arm),
            Self::FourLink => {
                let link = |at: usize| Link {
                    front: spot(given, at),
                    rear: spot(given, at + 2),
                };
                let at = first + STANCE;
                FourLink::new(stance(given, first), link(at), link(at + 4)).map(Linkage::FourLink)
            }
        }
    }
}

/// The arms of a sum whose truck begins at an input.
pub(super) fn trailing_arm(given: &Inputs<'_>, first: usize) -> Result<TrailingArm, Snag> {
    let at = first + STANCE;
    TrailingArm::new(stance(given, first), given.get(at), given.get(at + 1))
}

/// The driveline with its slopes as they were measured, if they were.
pub(super) fn as_measured(
    driveline: &Driveline,
    given: &Inputs<'_>,
    at: usize,
) -> Result<Driveline, Snag> {
    let coupling = given.maybe::<Slope>(at + 2);
    let measured = (
        given.maybe::<Length>(at),
        given.maybe::<Slope>(at + 1),
        given.maybe::<Slope>(at + 3),
        given.maybe::<Slope>(at + 4),
    );
    match measured {
        (Some(height), Some(gearbox), Some(shaft), Some(pinion)) => {
            let slopes = Slopes {
                gearbox,
                coupling,
                shaft,
                pinion,
            };
            driveline.measured(height, &slopes).map_err(|snag| {
                if snag.input == "height" {
                    Snag::new("block_height", snag.why)
                } else {
                    snag
                }
            })
        }
        (None, None, None, None) if coupling.is_none() => Ok(*driveline),
        (height, ..) => Err(Snag::new(
            if height.is_some() {
                "pinion_on_blocks"
            } else {
                "block_height"
            },
            "slopes on the blocks come all together, with the height on the blocks, or not at all",
        )),
    }
}

fn stance(given: &Inputs<'_>, at: usize) -> Stance {
    Stance {
        ride_height: given.get(at),
        seat_to_axle: given.get(at + 1),
        wheelbase: given.get(at + 2),
        frame_front: given.get(at + 3),
        axle_height: given.get(at + 4),
    }
}

fn spot(given: &Inputs<'_>, at: usize) -> Spot {
    Spot {
        back: given.get(at),
        up: given.get(at + 1),
    }
}

fn shafting(given: &Inputs<'_>, at: usize) -> Result<Shafting, Snag> {
    let two = given.word(at + 6) == "two";
    let front = (given.maybe(at + 9), given.maybe(at + 10));
    let hanger = (given.maybe(at + 11), given.maybe(at + 12));
    let main = (given.maybe(at + 1), given.maybe(at + 3));
    let coupling = (given.maybe(at + 7), given.maybe(at + 8));
    if !two && (coupling != (None, None) || hanger != (None, None)) {
        return Err(Snag::new(
            "pieces",
            "a coupling shaft or a hanger bearing is given, so there are two",
        ));
    }
    let (shaft, coupling) = if two {
        (
            piece(main, hanger, "shaft_slope")?,
            Some(piece(coupling, front, "coupling_slope")?),
        )
    } else {
        (piece(main, front, "shaft_slope")?, None)
    };
    Ok(Shafting {
        gearbox: given.get(at),
        pinion: given.get(at + 2),
        joint_ahead: given.get(at + 4),
        joint_below: given.get(at + 5),
        shaft,
        coupling,
    })
}

fn piece(
    laid: (Option<Slope>, Option<Length>),
    from: (Option<Length>, Option<Length>),
    key: &'static str,
) -> Result<Piece, Snag> {
    match (laid, from) {
        ((Some(slope), Some(length)), (None, None)) => Ok(Piece::Laid { slope, length }),
        ((None, None), (Some(back), Some(up))) => Ok(Piece::From(Spot { back, up })),
        _ => Err(Snag::new(
            key,
            "a shaft is given by its slope and its length, or by its front joint, back and up: one of the two",
        )),
    }
}
