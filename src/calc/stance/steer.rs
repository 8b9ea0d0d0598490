//! How a side difference turns an axle on trailing arms: the rear wheels steer.

use uom::si::f64::{Angle, Length};

use super::{SUBJECT, apart};
use crate::calc::amount::{Amount, Slope};
use crate::calc::error::Snag;
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

/// Two trailing arms: pivots on the frame, the axle at their rear ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrailingArms {
    /// Pivot to axle centre.
    pub length: Length,
    /// At ride height; + is down to the rear.
    pub slope: Slope,
    /// How far apart they are.
    pub spacing: Length,
}

/// Where the axle goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RearSteer {
    /// How far the wheels point to the right.
    pub angle: Angle,
    /// How far the left arm's end is ahead of the right's.
    pub left_ahead: Length,
    /// Slope of the left arm.
    pub left: Slope,
    /// Slope of the right arm.
    pub right: Slope,
}

/// Rear steer from how much the frame is higher on the left, at the arms.
///
/// Each arm's end is as far behind its pivot as the arm is long in plan; the side
/// that is higher has its arm the steeper.
///
/// # Units
/// The angle is + where the wheels point to the right: the left end is ahead.
///
/// # Errors
/// `difference`: an arm could not reach the axle.
///
/// # Source
/// Geometry, our derivation.
pub fn rear_steer(arms: &TrailingArms, difference: Length) -> Result<RearSteer, Snag> {
    let (length, half) = (arms.length.si(), difference.si() / 2.0);
    let drop = length * arms.slope.si().sin();
    let turned = |drop: f64| {
        let sine = drop / length;
        if sine.abs() < 1.0 {
            Ok(sine.asin())
        } else {
            Err(Snag::new(
                "difference",
                "an arm of this length can't reach the axle then",
            ))
        }
    };
    let (left, right) = (turned(drop + half)?, turned(drop - half)?);
    let left_ahead = length * (right.cos() - left.cos());
    Ok(RearSteer {
        angle: Angle::of_si((left_ahead / arms.spacing.si()).atan()),
        left_ahead: Length::of_si(left_ahead),
        left: Slope(Angle::of_si(left)),
        right: Slope(Angle::of_si(right)),
    })
}

/// Rear steer of an axle on trailing arms.
pub(in crate::calc) static REAR_STEER: Sum = Sum {
    name: "rear_steer",
    subject: SUBJECT,
    title: "how far the drive axle steers when one side stands higher",
    formula: &[
        "difference at the arms = difference × arm spacing / measuring spacing",
        "drop = arm × sin(slope) ± half the difference, + on the left",
        "left end ahead = √(arm² − drop right²) − √(arm² − drop left²)",
        "steer = atan(left end ahead / arm spacing)",
    ],
    source: "geometry, our derivation",
    range: "Two equal arms, pivots on the frame at one height, free to turn; give of the bushes and \
            twisting of the axle are left out. + is the wheels pointing to the right, the left end \
            ahead. Without a measuring spacing the difference counts at the arms.",
    inputs: &[
        Input::one("arm", "arm, pivot to axle centre", Kind::Length).within(
            0.2,
            2.0,
            "a trailing arm is 0.2 m to 2 m long",
        ),
        Input::one(
            "slope",
            "arm slope at ride height, + down to the rear",
            Kind::Slope,
        )
        .within(-1.0, 1.0, "an arm that stands steeper guides no axle"),
        Input::one("difference", "height, left less right", Kind::Length),
        apart("arm_spacing", "between the two arms"),
        apart("measuring_spacing", "between the places of the heights").optional(),
    ],
    outputs: &[
        Output::of("steer", "rear steer, + wheels to the right", Kind::Angle),
        Output::of("left_ahead", "left end of the axle ahead", Kind::Length),
        Output::of("left_slope", "slope of the left arm", Kind::Slope),
        Output::of("right_slope", "slope of the right arm", Kind::Slope),
    ],
    example: &[
        ("arm", "550 mm"),
        ("slope", "3.1°"),
        ("difference", "5 mm"),
        ("arm_spacing", "800 mm"),
        ("measuring_spacing", "840 mm"),
    ],
    picture: None,
    work: |given, out| {
        let arms = TrailingArms {
            length: given.get(0),
            slope: given.get(1),
            spacing: given.get(3),
        };
        let measured = given.maybe(4).unwrap_or(arms.spacing);
        let difference = given.get::<Length>(2) * (arms.spacing / measured);
        let found = rear_steer(&arms, difference)?;
        out.set(0, found.angle);
        out.set(1, found.left_ahead);
        out.set(2, found.left);
        out.set(3, found.right);
        Ok(())
    },
};
