//! Front against rear: how far the nose is up, and how far it goes up.

use uom::si::f64::{Angle, Length};

use super::{SUBJECT, Sides, between_axles, over_floor};
use crate::calc::amount::{Amount, Slope};
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

/// Pitch out of how much the front is higher than the rear.
///
/// # Units
/// + is nose up.
///
/// # Source
/// Geometry, our derivation.
#[must_use]
pub fn pitch(front_over_rear: Length, apart: Length) -> Slope {
    Slope(Angle::of_si((front_over_rear.si() / apart.si()).atan()))
}

/// Pitch of the frame from heights at four places.
pub(in crate::calc) static FRAME_PITCH: Sum = Sum {
    name: "frame_pitch",
    subject: SUBJECT,
    title: "pitch of the frame from its heights to the floor, front and rear",
    formula: &[
        "pitch = atan((mean of the front − mean of the rear) / distance along)",
        "pitch over the level = pitch + floor slope along",
    ],
    source: "geometry, our derivation",
    range: "Heights of the same face of the frame, front and rear, to the floor. + is nose up. \
            Without front heights there is no pitch and no sum for the lamps. Where the face does \
            not run straight, only a change of pitch says something.",
    inputs: &[
        over_floor("front_left", "frame to floor, front left"),
        over_floor("front_right", "frame to floor, front right"),
        over_floor("rear_left", "frame to floor, rear left"),
        over_floor("rear_right", "frame to floor, rear right"),
        between_axles(
            "distance",
            "along, from the front places to the rear places",
        ),
        Input::one(
            "floor_along",
            "slope of the floor along, + higher at the front",
            Kind::Slope,
        )
        .optional(),
    ],
    outputs: &[
        Output::of("pitch", "pitch to the floor, + nose up", Kind::Slope),
        Output::of("front", "front, mean", Kind::Length),
        Output::of("rear", "rear, mean", Kind::Length),
        Output::of("front_difference", "front, left less right", Kind::Length),
        Output::of("rear_difference", "rear, left less right", Kind::Length),
        Output::of(
            "pitch_level",
            "pitch over the level, + nose up",
            Kind::Slope,
        )
        .optional(),
    ],
    example: &[
        ("front_left", "806 mm"),
        ("front_right", "807 mm"),
        ("rear_left", "821 mm"),
        ("rear_right", "820 mm"),
        ("distance", "3700 mm"),
    ],
    picture: None,
    work: |given, out| {
        let front = Sides::new(given.get(0), given.get(1));
        let rear = Sides::new(given.get(2), given.get(3));
        let found = pitch(front.mean() - rear.mean(), given.get(4));
        out.set(0, found);
        out.set(1, front.mean());
        out.set(2, rear.mean());
        out.set(3, front.difference());
        out.set(4, rear.difference());
        if let Some(Slope(along)) = given.maybe::<Slope>(5) {
            out.set(5, found.0 + along);
        }
        Ok(())
    },
};
