//! Left against right: roll, heights to the axle out of heights to the floor, and
//! where a side difference comes from.

use uom::si::f64::{Angle, Length};

use super::{SUBJECT, Sides, apart, over_axle, over_floor};
use crate::calc::amount::{Amount, Slope};
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

/// Roll out of a height difference over the distance between the measuring places.
///
/// # Units
/// + where the left side is higher.
///
/// # Source
/// Geometry, our derivation.
#[must_use]
pub fn roll(heights: Sides, spacing: Length) -> Angle {
    Angle::of_si((heights.difference().si() / spacing.si()).atan())
}

/// The tyres under an axle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tyres {
    /// Radii under load.
    pub radius: Sides,
    /// How far apart they stand.
    pub track: Length,
}

impl Tyres {
    /// How much the axle is higher on the left, between two places so far apart.
    #[must_use]
    pub fn lean(&self, spacing: Length) -> Length {
        self.radius.difference() * (spacing / self.track)
    }
}

/// Heights of the frame over the axle centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxleHeights {
    /// At the measuring places.
    pub over_axle: Sides,
    /// Frame to axle.
    pub roll_axle: Angle,
    /// Axle to floor, by the tyres.
    pub roll_tyres: Angle,
    /// Frame to floor.
    pub roll_floor: Angle,
}

/// Heights to the floor with the tyres taken off: heights over the axle centre.
///
/// # Units
/// Heights at two places `spacing` apart, evenly about the middle; rolls + where the
/// left is higher.
///
/// # Source
/// Geometry, our derivation.
#[must_use]
pub fn axle_heights(floor: Sides, spacing: Length, tyres: &Tyres) -> AxleHeights {
    let (radius, half) = (tyres.radius.mean(), tyres.lean(spacing) / 2.0);
    let over_axle = Sides::new(floor.left - radius - half, floor.right - radius + half);
    AxleHeights {
        over_axle,
        roll_axle: roll(over_axle, spacing),
        roll_tyres: roll(tyres.radius, tyres.track),
        roll_floor: roll(floor, spacing),
    }
}

const LEFT: Input = over_floor("left", "height, left");
const RIGHT: Input = over_floor("right", "height, right");
const FLOOR_LEFT: Input = over_floor("floor_left", "frame to floor, left");
const FLOOR_RIGHT: Input = over_floor("floor_right", "frame to floor, right");
const FLOOR_SPACING: Input = apart("floor_spacing", "between the two floor measuring places");
const TYRE_WHY: &str = "a truck's tyre under load has a radius of 0.2 m to 1 m";
const TYRE_LEFT: Input = Input::one("tyre_left", "tyre radius under load, left", Kind::Length)
    .within(0.2, 1.0, TYRE_WHY);
const TYRE_RIGHT: Input = Input::one("tyre_right", "tyre radius under load, right", Kind::Length)
    .within(0.2, 1.0, TYRE_WHY);
const TRACK: Input = apart("track", "track, between the middles of the wheels");

/// Roll of the frame.
pub(in crate::calc) static ROLL: Sum = Sum {
    name: "roll",
    subject: SUBJECT,
    title: "how far the frame leans to a side",
    formula: &["roll = atan((left − right) / distance between the measuring places)"],
    source: "geometry, our derivation",
    range: "Both heights to the same thing, axle or floor; the roll is that to axle or floor. + is \
            the left side higher, left as when sitting in the cab.",
    inputs: &[
        LEFT,
        RIGHT,
        apart("spacing", "between the two measuring places"),
    ],
    outputs: &[
        Output::of("roll", "roll, + left higher", Kind::Angle),
        Output::of("difference", "left less right", Kind::Length),
    ],
    example: &[
        ("left", "191 mm"),
        ("right", "188 mm"),
        ("spacing", "840 mm"),
    ],
    picture: None,
    work: |given, out| {
        let heights = Sides::new(given.get(0), given.get(1));
        out.set(0, roll(heights, given.get(2)));
        out.set(1, heights.difference());
        Ok(())
    },
};

/// Heights to the axle out of heights to the floor.
pub(in crate::calc) static AXLE_HEIGHTS: Sum = Sum {
    name: "axle_heights",
    subject: SUBJECT,
    title: "heights of the frame over the axle, out of heights to the floor",
    formula: &[
        "tyre lean = (radius left − radius right) × spacing / track",
        "over the axle = floor height − mean radius ∓ tyre lean / 2, − on the left",
        "over the level = floor height ± tan(floor slope across) × spacing / 2, + on the left",
        "roll over the level = roll to the floor + floor slope across",
    ],
    source: "geometry, our derivation",
    range: "Heights to the floor on which the tyres stand, at two places evenly about the middle. \
            The floor's slope does not change the height over the axle: the axle slopes with it. \
            It changes what a level sees. The mean over the axle is the mean to the floor less \
            the mean radius. Small leans; bending of the axle is left out.",
    inputs: &[
        FLOOR_LEFT,
        FLOOR_RIGHT,
        FLOOR_SPACING,
        TYRE_LEFT,
        TYRE_RIGHT,
        TRACK,
        Input::one(
            "floor_across",
            "slope of the floor across, + higher on the left",
            Kind::Slope,
        )
        .optional(),
    ],
    outputs: &[
        Output::of("left", "over the axle centre, left", Kind::Length),
        Output::of("right", "over the axle centre, right", Kind::Length),
        Output::of("mean", "over the axle centre, mean", Kind::Length),
        Output::of(
            "roll_axle",
            "roll, frame to axle, + left higher",
            Kind::Angle,
        ),
        Output::of(
            "roll_tyres",
            "roll, axle to floor by the tyres",
            Kind::Angle,
        ),
        Output::of("roll_floor", "roll, frame to floor", Kind::Angle),
        Output::of("left_level", "over the level, left", Kind::Length).optional(),
        Output::of("right_level", "over the level, right", Kind::Length).optional(),
        Output::of("roll_level", "roll over the level", Kind::Angle).optional(),
    ],
    example: &[
        ("floor_left", "807 mm"),
        ("floor_right", "805 mm"),
        ("floor_spacing", "840 mm"),
        ("tyre_left", "497 mm"),
        ("tyre_right", "495 mm"),
        ("track", "1840 mm"),
        ("floor_across", "1.5 mm/m"),
    ],
    picture: None,
    work: |given, out| {
        let (floor, spacing) = (
            Sides::new(given.get(0), given.get(1)),
            given.get::<Length>(2),
        );
        let tyres = Tyres {
            radius: Sides::new(given.get(3), given.get(4)),
            track: given.get(5),
        };
        let found = axle_heights(floor, spacing, &tyres);
        out.set(0, found.over_axle.left);
        out.set(1, found.over_axle.right);
        out.set(2, found.over_axle.mean());
        out.set(3, found.roll_axle);
        out.set(4, found.roll_tyres);
        out.set(5, found.roll_floor);
        if let Some(Slope(across)) = given.maybe::<Slope>(6) {
            let half = spacing * across.si().tan() / 2.0;
            out.set(6, floor.left + half);
            out.set(7, floor.right - half);
            out.set(8, found.roll_floor + across);
        }
        Ok(())
    },
};

/// Where a side difference comes from.
pub(in crate::calc) static SIDE_DIFFERENCE: Sum = Sum {
    name: "lean_cause",
    subject: SUBJECT,
    title: "how much of a left/right difference to the floor is suspension, tyres, or neither",
    formula: &[
        "all = floor left − right",
        "by the suspension = (axle left − right) × floor spacing / axle spacing",
        "by the tyres = (radius left − right) × floor spacing / track",
        "left over = all − suspension − tyres",
    ],
    source: "geometry, our derivation",
    range: "What is left over is the floor under the wheels, a bent axle or a misread tape. Only \
            the part by the suspension can be set; the tyres' part is put right at the tyres.",
    inputs: &[
        FLOOR_LEFT,
        FLOOR_RIGHT,
        FLOOR_SPACING,
        over_axle("axle_left", "frame to block seat or axle, left"),
        over_axle("axle_right", "frame to block seat or axle, right"),
        apart("axle_spacing", "between the two axle measuring places"),
        TYRE_LEFT,
        TYRE_RIGHT,
        TRACK,
    ],
    outputs: &[
        Output::of(
            "suspension",
            "by the suspension, + left higher",
            Kind::Length,
        ),
        Output::of("tyres", "by the tyres, + left higher", Kind::Length),
        Output::of("left_over", "left over, + left higher", Kind::Length),
        Output::of("all", "to the floor, left less right", Kind::Length),
    ],
    example: &[
        ("floor_left", "794 mm"),
        ("floor_right", "802 mm"),
        ("floor_spacing", "840 mm"),
        ("axle_left", "190 mm"),
        ("axle_right", "190 mm"),
        ("axle_spacing", "840 mm"),
        ("tyre_left", "480 mm"),
        ("tyre_right", "496 mm"),
        ("track", "1840 mm"),
    ],
    picture: None,
    work: |given, out| {
        let floor = Sides::new(given.get(0), given.get(1));
        let floor_spacing: Length = given.get(2);
        let axle = Sides::new(given.get(3), given.get(4));
        let axle_spacing: Length = given.get(5);
        let tyres = Tyres {
            radius: Sides::new(given.get(6), given.get(7)),
            track: given.get(8),
        };
        let suspension = axle.difference() * (floor_spacing / axle_spacing);
        let by_tyres = tyres.lean(floor_spacing);
        out.set(0, suspension);
        out.set(1, by_tyres);
        out.set(2, floor.difference() - suspension - by_tyres);
        out.set(3, floor.difference());
        Ok(())
    },
};
