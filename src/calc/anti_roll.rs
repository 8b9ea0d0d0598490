//! The angle between the anti-roll bar's arm and its link, in side view.
//!
//! Invariant: the angle is that at their common joint, 0° to 180°: from the link, seen
//! from the joint towards its other end, to the arm, seen from the joint towards the bar.

#[cfg(test)]
mod tests;

use std::f64::consts::PI;

use uom::si::f64::{Angle, Length};

use super::amount::{Amount, Slope};
use super::error::Snag;
use super::given::{Inputs, Outcome};
use super::sum::{Input, Output, Sum};
use crate::quantity::Kind;

const SUBJECT: &str = "anti-roll bar";
const SOURCE: &str =
    "our derivation; no published limit: the angle and its tolerance are the sheet's";
const RANGE: &str = "side view only; the angle at the joint of link and arm, link and arm each \
                     seen from that joint";

/// A slope under which a link does not say which end is its top, rad.
const LYING: f64 = 0.1;

/// A point in side view.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spot {
    /// Way to the rear.
    pub(super) back: Length,
    /// Height.
    pub(super) up: Length,
}

/// A line seen from the joint of link and arm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Limb {
    /// Its point at the joint.
    pub(super) near: Spot,
    /// Its other point.
    pub(super) far: Spot,
}

/// Angle between link and arm from two points on each.
///
/// # Errors
/// The two points of a line are one.
pub(super) fn angle_of_points(link: Limb, arm: Limb) -> Result<Angle, Snag> {
    let way = |limb: Limb, input| {
        let way = (
            (limb.far.back - limb.near.back).si(),
            (limb.far.up - limb.near.up).si(),
        );
        if way == (0.0, 0.0) {
            return Err(Snag::new(input, "its two points are one"));
        }
        Ok(way)
    };
    let (link_back, link_up) = way(link, "link_end_back")?;
    let (arm_back, arm_up) = way(arm, "arm_end_back")?;
    let across = link_back * arm_up - link_up * arm_back;
    let along = link_back * arm_back + link_up * arm_up;
    Ok(Angle::of_si(across.abs().atan2(along)))
}

/// Angle between link and arm from their slopes.
///
/// `link_up`: the link goes up from the joint. `arm_ahead`: the arm goes ahead from the
/// joint to the bar.
///
/// # Errors
/// A link that lies nearly level.
pub(super) fn angle_of_slopes(
    link: Slope,
    arm: Slope,
    link_up: bool,
    arm_ahead: bool,
) -> Result<Angle, Snag> {
    let (link, arm) = (link.si(), arm.si());
    if link.abs() < LYING {
        return Err(Snag::new(
            "link",
            "the link lies nearly level, so its slope does not say which end is its top; use points",
        ));
    }
    // From ahead, turning up, to the link's upward end.
    let top = if link > 0.0 { link } else { PI + link };
    let turn = top - arm;
    // Turning one of both to its other end gives the neighbouring angle.
    let angle = if link_up == arm_ahead {
        turn
    } else {
        PI - turn
    };
    Ok(Angle::of_si(angle))
}

const SHEET: Input = Input::one("sheet_angle", "angle by the sheet", Kind::Angle).within(
    0.0,
    PI,
    "two lines stand at 0° to 180°",
);
const TOLERANCE: Input = Input::one("tolerance", "tolerance, either way", Kind::Angle)
    .least(0.0, "a tolerance is no less than nothing");
const CHANGE: Input = Input::one("height_change", "frame goes up by", Kind::Length).optional();
const WAY: Input = Input::one(
    "height_per_degree",
    "way up for 1° more",
    Kind::LengthPerAngle,
)
.optional();

const OUTPUTS: [Output; 5] = [
    Output::of("angle", "link to arm", Kind::Angle),
    Output::of("deviation", "off the sheet's angle", Kind::Angle),
    Output::of("margin_low", "room down to the tolerance", Kind::Angle),
    Output::of("margin_high", "room up to the tolerance", Kind::Angle),
    Output::of("angle_after", "link to arm after the change", Kind::Angle).optional(),
];

/// The results from the angle and where sheet angle, tolerance, change and way stand.
fn judge(
    given: &Inputs<'_>,
    out: &mut Outcome,
    angle: Angle,
    [sheet, tolerance, change, way]: [usize; 4],
) -> Result<(), Snag> {
    let deviation = angle - given.get::<Angle>(sheet);
    let tolerance: Angle = given.get(tolerance);
    out.set(0, angle);
    out.set(1, deviation);
    out.set(2, tolerance + deviation);
    out.set(3, tolerance - deviation);
    match (given.maybe::<f64>(change), given.maybe::<f64>(way)) {
        (Some(_), Some(0.0)) => Err(Snag::new("height_per_degree", "it can't be nothing")),
        (Some(change), Some(way)) => {
            out.set(4, angle.si() + change / way);
            Ok(())
        }
        (Some(_), None) => Err(Snag::new(
            "height_per_degree",
            "the sheet's way for 1° is needed with height_change",
        )),
        (None, Some(_) | None) => Ok(()),
    }
}

/// From points.
pub(super) static ANTI_ROLL_POINTS: Sum = Sum {
    name: "anti_roll_points",
    subject: SUBJECT,
    title: "angle of the anti-roll link to the bar's arm, from points",
    formula: &[
        "angle between the ways joint → link end and joint → bar",
        "margin = tolerance ± (angle − sheet angle)",
        "after = angle + height change / way for 1°",
    ],
    source: SOURCE,
    range: RANGE,
    inputs: &[
        Input::one("link_joint_back", "link at the joint, back", Kind::Length),
        Input::one("link_joint_up", "link at the joint, up", Kind::Length),
        Input::one("link_end_back", "link, other end, back", Kind::Length),
        Input::one("link_end_up", "link, other end, up", Kind::Length),
        Input::one("arm_joint_back", "arm at the joint, back", Kind::Length),
        Input::one("arm_joint_up", "arm at the joint, up", Kind::Length),
        Input::one("arm_end_back", "arm at the bar, back", Kind::Length),
        Input::one("arm_end_up", "arm at the bar, up", Kind::Length),
        SHEET,
        TOLERANCE,
        CHANGE,
        WAY,
    ],
    outputs: &OUTPUTS,
    example: &[
        ("link_joint_back", "3200 mm"),
        ("link_joint_up", "520 mm"),
        ("link_end_back", "3190 mm"),
        ("link_end_up", "810 mm"),
        ("arm_joint_back", "3200 mm"),
        ("arm_joint_up", "520 mm"),
        ("arm_end_back", "3600 mm"),
        ("arm_end_up", "525 mm"),
        ("sheet_angle", "90°"),
        ("tolerance", "5°"),
    ],
    picture: None,
    work: |given, out| {
        let spot = |at: usize| Spot {
            back: given.get(at),
            up: given.get(at + 1),
        };
        let limb = |at: usize| Limb {
            near: spot(at),
            far: spot(at + 2),
        };
        let angle = angle_of_points(limb(0), limb(4))?;
        judge(given, out, angle, [8, 9, 10, 11])
    },
};

/// From slopes.
pub(super) static ANTI_ROLL_SLOPES: Sum = Sum {
    name: "anti_roll_slopes",
    subject: SUBJECT,
    title: "angle of the anti-roll link to the bar's arm, from two slopes",
    formula: &[
        "angle = slope of the link − slope of the arm (+ 180° for a link whose top leans back)",
        "180° − that, if the link goes down or the arm goes back from the joint, but not both",
        "margin = tolerance ± (angle − sheet angle)",
        "after = angle + height change / way for 1°",
    ],
    source: SOURCE,
    range: RANGE,
    inputs: &[
        Input::one(
            "link",
            "slope of the link, nose up: top leans ahead",
            Kind::Slope,
        ),
        Input::one("arm", "slope of the arm", Kind::Slope),
        Input::word("link_goes", "the link goes from the joint", &["up", "down"]),
        Input::word(
            "arm_goes",
            "the arm goes from the joint",
            &["ahead", "back"],
        ),
        SHEET,
        TOLERANCE,
        CHANGE,
        WAY,
    ],
    outputs: &OUTPUTS,
    example: &[
        ("link", "87.5° nose up"),
        ("arm", "1.0° nose down"),
        ("link_goes", "up"),
        ("arm_goes", "back"),
        ("sheet_angle", "90°"),
        ("tolerance", "5°"),
        ("height_change", "-15 mm"),
        ("height_per_degree", "11.3 mm/°"),
    ],
    picture: None,
    work: |given, out| {
        let (up, ahead) = (given.word(2) == "up", given.word(3) == "ahead");
        let angle = angle_of_slopes(given.get(0), given.get(1), up, ahead)?;
        judge(given, out, angle, [4, 5, 6, 7])
    },
};
