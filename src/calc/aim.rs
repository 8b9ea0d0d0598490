//! What a change of height does to where the truck looks: pitch, roll, radar, camera,
//! overall height, coupling height; lamps are in [`lamp`].
//!
//! Invariants: a height change is + for a frame that goes up; a slope is + nose up,
//! which is a higher beam. So a rear axle that goes down lifts every beam.

mod lamp;

#[cfg(test)]
mod tests;

use uom::si::f64::{Angle, Length};

use super::amount::{Amount, Slope};
use super::given::Inputs;
use super::sum::{Input, Output, Sum};
use crate::quantity::Kind;

pub(super) use lamp::{
    GLARE, LAMP_AFTER, LAMP_BAND, LAMP_HEIGHT, LAMP_RULE, WALL_INCLINATION, WALL_MARK,
};

const SUBJECT: &str = "lamps, radar, camera, and heights after a change";
/// Why a greater change of height is not taken.
const NO_FURTHER: &str = "a frame goes up or down by no more than 1 m; look at the unit";
const REAR: Input = change("rear_change", "rear goes up by");
const FRONT: Input = change("front_change", "front goes up by").optional();
const WHEELBASE: Input = Input::one("wheelbase", "wheelbase", Kind::Length).within(
    1.0,
    15.0,
    "front axle to drive axle of a truck",
);
const LIMIT: Input = Input::one("limit", "the maker's limit, either way", Kind::Angle)
    .optional()
    .least(0.0, "a limit is no less than nothing");

const fn change(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::Length).within(-1.0, 1.0, NO_FURTHER)
}

const fn height(key: &'static str, title: &'static str, least: f64, most: f64) -> Input {
    Input::one(key, title, Kind::Length).within(
        least,
        most,
        "no truck has it lower or higher; look at the unit",
    )
}

/// How far the nose comes up.
///
/// # Units
/// + nose up; changes + for a frame that goes up.
///
/// # Source
/// atan(Δh / wheelbase), geometry.
pub(super) fn pitch(front: Length, rear: Length, wheelbase: Length) -> Slope {
    super::stance::pitch(front - rear, wheelbase)
}

/// How far a level beam moves at a distance, + up.
pub(super) fn beam_shift(pitch: Slope, distance: Length) -> Length {
    distance * pitch.si().tan()
}

/// How far the frame leans, + left side higher.
pub(super) fn roll(left_less_right: Length, track: Length) -> Angle {
    Angle::of_si((left_less_right / track).value.atan())
}

/// How far a point of the frame goes up.
///
/// `from_front`: behind the front axle.
///
/// # Source
/// Our derivation: the frame stays straight; lever ratio `from_front` / wheelbase.
pub(super) fn rise_at(
    from_front: Length,
    front: Length,
    rear: Length,
    wheelbase: Length,
) -> Length {
    front + (rear - front) * (from_front / wheelbase).value
}

/// Pitch from rear change, wheelbase and front change.
fn pitch_of(given: &Inputs<'_>, [rear, wheelbase, front]: [usize; 3]) -> Slope {
    let front = given.maybe(front).unwrap_or(Length::of_si(0.0));
    pitch(front, given.get(rear), given.get(wheelbase))
}

/// Pitch after a height change.
pub(super) static PITCH: Sum = Sum {
    name: "pitch",
    subject: SUBJECT,
    title: "how far the nose comes up when the rear goes up or down",
    formula: &["pitch = atan((front change − rear change) / wheelbase)"],
    source: "geometry",
    range: "a stiff frame on its front axle and its drive axle; wheelbase along the floor",
    inputs: &[REAR, WHEELBASE, FRONT],
    outputs: &[Output::of("pitch", "nose comes up by", Kind::Slope)],
    example: &[("rear_change", "-15 mm"), ("wheelbase", "3700 mm")],
    picture: None,
    work: |given, out| {
        out.set(0, pitch_of(given, [0, 1, 2]));
        Ok(())
    },
};

/// Radar and camera.
pub(super) static BEAM_SHIFT: Sum = Sum {
    name: "beam_shift",
    subject: SUBJECT,
    title: "how far a radar or camera looks higher after a height change",
    formula: &[
        "pitch = atan((front change − rear change) / wheelbase)",
        "shift = distance · tan(pitch)",
        "room = limit ± pitch",
    ],
    source: "geometry; no published limit: the limit is the maker's",
    range: "a sensor fixed to the frame; its own levelling, if it has one, is left out",
    inputs: &[
        REAR,
        WHEELBASE,
        FRONT,
        Input::one("distance", "distance ahead", Kind::Length).within(
            0.1,
            500.0,
            "a distance ahead that radar and camera look; look at the unit",
        ),
        LIMIT,
    ],
    outputs: &[
        Output::of("pitch", "looks higher by", Kind::Slope),
        Output::of("shift", "higher at the distance by", Kind::Length),
        Output::of("margin_up", "room upwards in the limit", Kind::Angle).optional(),
        Output::of("margin_down", "room downwards in the limit", Kind::Angle).optional(),
    ],
    example: &[
        ("rear_change", "-15 mm"),
        ("wheelbase", "3700 mm"),
        ("distance", "100 m"),
        ("limit", "0.2°"),
    ],
    picture: None,
    work: |given, out| {
        let pitch = pitch_of(given, [0, 1, 2]);
        out.set(0, pitch);
        out.set(1, beam_shift(pitch, given.get(3)));
        if let Some(limit) = given.maybe::<Angle>(4) {
            out.set(2, limit - pitch.0);
            out.set(3, limit + pitch.0);
        }
        Ok(())
    },
};

/// Roll.
pub(super) static ROLL: Sum = Sum {
    name: "radar_roll",
    subject: SUBJECT,
    title: "how far radar and camera lean when one side of the frame is higher",
    formula: &["roll = atan((left − right) / track)", "room = limit ± roll"],
    source: "geometry; no published limit: the limit is the maker's",
    range: "heights at the two sides, as far apart as the track given",
    inputs: &[
        height("left", "height left", 0.0, 5.0),
        height("right", "height right", 0.0, 5.0),
        Input::one("track", "between the two places", Kind::Length).within(
            0.3,
            3.0,
            "no truck is wider",
        ),
        LIMIT,
    ],
    outputs: &[
        Output::of("roll", "leans to the right by", Kind::Angle),
        Output::of("margin_left", "room to the left in the limit", Kind::Angle).optional(),
        Output::of(
            "margin_right",
            "room to the right in the limit",
            Kind::Angle,
        )
        .optional(),
    ],
    example: &[
        ("left", "192 mm"),
        ("right", "188 mm"),
        ("track", "1900 mm"),
        ("limit", "0.2°"),
    ],
    picture: None,
    work: |given, out| {
        let roll = roll(given.get::<Length>(0) - given.get(1), given.get(2));
        out.set(0, roll);
        if let Some(limit) = given.maybe::<Angle>(3) {
            out.set(1, limit + roll);
            out.set(2, limit - roll);
        }
        Ok(())
    },
};

/// Greatest height of a vehicle in the European Union, m.
///
/// # Source
/// Directive 96/53/EC Annex I (from memory, very sure).
const EU_HEIGHT_M: f64 = 4.0;

/// Overall height.
pub(super) static OVERALL_HEIGHT: Sum = Sum {
    name: "overall_height",
    subject: SUBJECT,
    title: "overall height after a raise, against the limit",
    formula: &[
        "height after = height + raise",
        "room = limit − height after",
    ],
    source: "Directive 96/53/EC Annex I: 4.00 m (from memory, very sure); \
             the sheet's limit where there is one",
    range: "the raise is that at the highest point; the highest point stays the same one",
    inputs: &[
        height("height", "overall height before", 1.0, 6.0),
        change("raise", "highest point goes up by"),
        height("limit", "limit of the sheet", 1.0, 6.0).optional(),
    ],
    outputs: &[
        Output::of("after", "overall height after", Kind::Length),
        Output::of("margin_eu", "room under 4.00 m (96/53/EC)", Kind::Length),
        Output::of("margin", "room under the sheet's limit", Kind::Length).optional(),
    ],
    example: &[("height", "3720 mm"), ("raise", "15 mm")],
    picture: None,
    work: |given, out| {
        let after = given.get::<f64>(0) + given.get::<f64>(1);
        out.set(0, after);
        out.set(1, EU_HEIGHT_M - after);
        if let Some(limit) = given.maybe::<f64>(2) {
            out.set(2, limit - after);
        }
        Ok(())
    },
};

/// Coupling height.
pub(super) static COUPLING_HEIGHT: Sum = Sum {
    name: "coupling_height",
    subject: SUBJECT,
    title: "coupling height after a height change, against its band",
    formula: &[
        "change = front change + (rear change − front change) · \
         (wheelbase − coupling ahead of the axle) / wheelbase",
        "room = band edge against height after",
    ],
    source: "geometry; the band is the sheet's. General cargo by ISO 1726-1: 1150 to 1300 mm \
             (from memory; check the document)",
    range: "a stiff frame; coupling ahead of the drive axle is +, behind it −",
    inputs: &[
        height("height", "coupling height before", 0.2, 2.5),
        REAR,
        WHEELBASE,
        Input::one("ahead", "coupling ahead of the drive axle", Kind::Length).within(
            -10.0,
            15.0,
            "no truck is longer; look at the unit",
        ),
        FRONT,
        height("band_low", "lowest of the band", 0.2, 2.5).optional(),
        height("band_high", "highest of the band", 0.2, 2.5).optional(),
    ],
    outputs: &[
        Output::of("after", "coupling height after", Kind::Length),
        Output::of("change", "coupling goes up by", Kind::Length),
        Output::of("margin_low", "room down to the band's edge", Kind::Length).optional(),
        Output::of("margin_high", "room up to the band's edge", Kind::Length).optional(),
    ],
    example: &[
        ("height", "1240 mm"),
        ("rear_change", "-15 mm"),
        ("wheelbase", "3700 mm"),
        ("ahead", "600 mm"),
        ("band_low", "1150 mm"),
        ("band_high", "1300 mm"),
    ],
    picture: None,
    work: |given, out| {
        let wheelbase: Length = given.get(2);
        let front = given.maybe(4).unwrap_or(Length::of_si(0.0));
        let from_front = wheelbase - given.get::<Length>(3);
        let change = rise_at(from_front, front, given.get(1), wheelbase);
        let after = given.get::<Length>(0) + change;
        out.set(0, after);
        out.set(1, change);
        if let Some(low) = given.maybe::<Length>(5) {
            out.set(2, after - low);
        }
        if let Some(high) = given.maybe::<Length>(6) {
            out.set(3, high - after);
        }
        Ok(())
    },
};
