//! What height sensors off the middle see of heights left and right.

use uom::si::f64::Length;

use super::side::roll;
use super::{SUBJECT, Sides, apart, over_axle};
use crate::calc::error::Snag;
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

/// Height of the frame over the axle at a place, from heights at two places evenly
/// about the middle.
///
/// # Units
/// `place` is + to the left of the middle.
///
/// # Source
/// A stiff frame over a stiff axle, our derivation.
#[must_use]
pub fn height_at(heights: Sides, spacing: Length, place: Length) -> Length {
    heights.mean() + heights.difference() * (place / spacing)
}

/// The mean height of both sides while the sensor sees a height, for a side
/// difference.
///
/// # Units
/// As [`height_at`]; the difference is left less right.
#[must_use]
pub fn held_mean(seen: Length, difference: Length, spacing: Length, place: Length) -> Length {
    seen - difference * (place / spacing)
}

/// Heights at the seats from heights at two sensors.
///
/// # Units
/// Places count from the middle to the own side.
///
/// # Errors
/// `left_place`: both sensors are at one place, or nearly.
///
/// # Source
/// A stiff frame over a stiff axle, our derivation.
pub fn seats(sensors: Sides, places: Sides, spacing: Length) -> Result<Sides, Snag> {
    let apart = places.left + places.right;
    if apart < spacing / 20.0 {
        return Err(Snag::new(
            "left_place",
            "two sensors so close together can't tell the sides apart",
        ));
    }
    let slope = sensors.difference() / apart;
    Ok(Sides::new(
        sensors.left + slope * (spacing / 2.0 - places.left),
        sensors.right - slope * (spacing / 2.0 - places.right),
    ))
}

const PLACE_WHY: &str = "a height sensor sits between the wheels";

/// One sensor off the middle.
pub(in crate::calc) static ONE_SENSOR: Sum = Sum {
    name: "one_sensor",
    subject: SUBJECT,
    title: "what one height sensor off the middle sees of heights left and right",
    formula: &[
        "seen = mean + (left − right) × place / spacing",
        "while it holds a target: mean = target − (left − right) × place / spacing",
    ],
    source: "a stiff frame over a stiff axle, our derivation",
    range: "One sensor can't see which side is higher: it holds the height at its own place. \
            Place is + to the left of the middle.",
    inputs: &[
        over_axle("left", "frame to seat, left"),
        over_axle("right", "frame to seat, right"),
        apart("spacing", "between the two seats"),
        Input::one(
            "place",
            "sensor off the middle, + to the left",
            Kind::Length,
        )
        .within(-1.5, 1.5, PLACE_WHY),
        over_axle("target", "height that it holds").optional(),
    ],
    outputs: &[
        Output::of("seen", "height at the sensor", Kind::Length),
        Output::of("over_mean", "sensor over the mean", Kind::Length),
        Output::of("held_mean", "mean while it holds the target", Kind::Length).optional(),
        Output::of("held_left", "left while it holds the target", Kind::Length).optional(),
        Output::of(
            "held_right",
            "right while it holds the target",
            Kind::Length,
        )
        .optional(),
    ],
    example: &[
        ("left", "193 mm"),
        ("right", "188 mm"),
        ("spacing", "840 mm"),
        ("place", "300 mm"),
        ("target", "190 mm"),
    ],
    picture: None,
    work: |given, out| {
        let heights = Sides::new(given.get(0), given.get(1));
        let (spacing, place) = (given.get::<Length>(2), given.get::<Length>(3));
        let seen = height_at(heights, spacing, place);
        out.set(0, seen);
        out.set(1, seen - heights.mean());
        if let Some(target) = given.maybe(4) {
            let difference = heights.difference();
            let mean = held_mean(target, difference, spacing, place);
            out.set(2, mean);
            out.set(3, mean + difference / 2.0);
            out.set(4, mean - difference / 2.0);
        }
        Ok(())
    },
};

/// Two sensors, one a side.
pub(in crate::calc) static TWO_SENSORS: Sum = Sum {
    name: "two_sensors",
    subject: SUBJECT,
    title: "heights at the seats while two height sensors each hold their own side",
    formula: &[
        "slope = (left sensor − right sensor) / (left place + right place)",
        "left seat = left sensor + slope × (spacing / 2 − left place)",
        "right seat = right sensor − slope × (spacing / 2 − right place)",
    ],
    source: "a stiff frame over a stiff axle, our derivation",
    range: "Places count from the middle to the own side. Each sensor holds its side within its \
            dead band; close to the middle a small difference of theirs is a large one at the \
            seats. Refused where both sensors sit closer than a twentieth of the spacing.",
    inputs: &[
        over_axle("left", "height at the left sensor"),
        over_axle("right", "height at the right sensor"),
        Input::one("left_place", "left sensor off the middle", Kind::Length)
            .within(0.0, 1.5, PLACE_WHY),
        Input::one("right_place", "right sensor off the middle", Kind::Length)
            .within(0.0, 1.5, PLACE_WHY),
        apart("spacing", "between the two seats"),
    ],
    outputs: &[
        Output::of("left_seat", "frame to seat, left", Kind::Length),
        Output::of("right_seat", "frame to seat, right", Kind::Length),
        Output::of("mean", "mean of the seats", Kind::Length),
        Output::of("difference", "left less right at the seats", Kind::Length),
        Output::of("roll", "roll, + left higher", Kind::Angle),
    ],
    example: &[
        ("left", "191.5 mm"),
        ("right", "188.5 mm"),
        ("left_place", "300 mm"),
        ("right_place", "300 mm"),
        ("spacing", "840 mm"),
    ],
    picture: None,
    work: |given, out| {
        let sensors = Sides::new(given.get(0), given.get(1));
        let places = Sides::new(given.get(2), given.get(3));
        let spacing: Length = given.get(4);
        let seats = seats(sensors, places, spacing)?;
        out.set(0, seats.left);
        out.set(1, seats.right);
        out.set(2, seats.mean());
        out.set(3, seats.difference());
        out.set(4, roll(seats, spacing));
        Ok(())
    },
};
