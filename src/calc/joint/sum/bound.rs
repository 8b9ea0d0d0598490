//! What the registry says of limits for joints.

use uom::si::f64::{Angle, AngularAcceleration};

use super::{REACHED, SLOW, SUBJECT, joint_angle};
use crate::calc::joint::{Rule, largest_angle, second_joint};
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

/// Largest angle for an acceleration.
pub(in crate::calc) static LARGEST_JOINT_ANGLE: Sum = Sum {
    name: "largest_joint_angle",
    subject: SUBJECT,
    title: "the largest joint angle that keeps to an acceleration at a shaft speed",
    formula: &["β = asin(√limit / ω)"],
    source: "ω² · sin²β solved for β; published lists follow 1000 rad/s² (from memory)",
    range: "no largest angle where the shaft turns so slowly that none reaches the limit. The \
            published form reads low, by 6 % at 20°, so the angle comes out a little large. \
            Published limits: inertial 1000 rad/s², torsional 300 to 500 rad/s² (from memory)",
    inputs: &[
        Input::one("speed", "fastest shaft speed", Kind::RotationalSpeed)
            .least(1e-3, "a shaft that stands has no largest angle"),
        limit(),
        joint_angle("angle", "joint angle there is").optional(),
    ],
    outputs: &[
        Output::of("largest", "largest joint angle", Kind::Angle).optional(),
        Output::of("margin", "left to it", Kind::Angle).optional(),
        reach(),
    ],
    example: &[
        ("speed", "1912 rev/min"),
        ("limit", "1000 rad/s²"),
        ("angle", "2.7°"),
    ],
    picture: None,
    work: |given, out| {
        let largest = largest_angle(given.get::<AngularAcceleration>(1), given.get(0));
        out.say(2, if largest.is_some() { REACHED } else { SLOW });
        if let Some(largest) = largest {
            out.set(0, largest);
            if let Some(angle) = given.maybe::<Angle>(2) {
                out.set(1, largest - angle);
            }
        }
        Ok(())
    },
};

const fn reach() -> Output {
    Output::word("reach", "at this speed", &[REACHED, SLOW])
}

const fn limit() -> Input {
    Input::one(
        "limit",
        "acceleration to keep to",
        Kind::AngularAcceleration,
    )
    .least(0.0, "a limit has no sign")
}

/// The published two-joint table.
pub(in crate::calc) static SECOND_JOINT: Sum = Sum {
    name: "second_joint",
    subject: SUBJECT,
    title: "what the second joint of a shaft may have beside the first",
    formula: &["sin²β2 = sin²β1 ± limit/ω²"],
    source: "published two-joint table after SAE AE-7 3.1.1, which follows 400 rad/s²",
    range: "both joints in one plane, yokes in phase. The published form reads low, by 6 % \
            at 20°. No upper angle where the shaft turns so slowly that none reaches the limit",
    inputs: &[
        joint_angle("first", "first joint"),
        Input::one("speed", "fastest shaft speed", Kind::RotationalSpeed)
            .least(1e-3, "a shaft that stands has no largest angle"),
        limit(),
        joint_angle("second", "second joint there is").optional(),
    ],
    outputs: &[
        Output::of("most", "second joint at most", Kind::Angle).optional(),
        Output::of("least", "second joint at least", Kind::Angle),
        Output::of("margin_most", "left to the most", Kind::Angle).optional(),
        Output::of("margin_least", "left to the least", Kind::Angle).optional(),
        reach(),
    ],
    example: &[
        ("first", "2.5°"),
        ("speed", "1301 rev/min"),
        ("limit", "400 rad/s²"),
        ("second", "2.7°"),
    ],
    picture: None,
    work: |given, out| {
        let found = second_joint(given.get(0), given.get(2), given.get(1));
        let second = given.maybe::<Angle>(3);
        out.set(1, found.least);
        out.say(4, if found.most.is_some() { REACHED } else { SLOW });
        if let Some(most) = found.most {
            out.set(0, most);
            if let Some(second) = second {
                out.set(2, most - second);
            }
        }
        if let Some(second) = second {
            out.set(3, second - found.least);
        }
        Ok(())
    },
};

/// Margins to a trade rule.
pub(in crate::calc) static JOINT_RULE: Sum = Sum {
    name: "joint_rule",
    subject: SUBJECT,
    title: "what two joints of a shaft have left to a rule for them",
    formula: &[
        "equal: within − (larger − smaller)",
        "least: smaller − least",
        "most: most − larger",
    ],
    source: "public trade pages: 0.5° to 3° within 1°; up to 6° within 1.5° (common practice)",
    range: "the two joints of one shaft, yokes in phase; + keeps to the rule, − does not. A \
            joint angle and the difference are sizes with a corner at nothing: there the larger \
            side counts for ±",
    inputs: &[
        joint_angle("first", "first joint"),
        joint_angle("second", "second joint"),
        joint_angle("within", "they may differ by"),
        joint_angle("least", "each at least"),
        joint_angle("most", "each at most"),
    ],
    outputs: &[
        Output::of("equal", "left to the difference", Kind::Angle),
        Output::of("least", "left to the least", Kind::Angle),
        Output::of("most", "left to the most", Kind::Angle),
    ],
    example: &[
        ("first", "2.5°"),
        ("second", "2.7°"),
        ("within", "1.0°"),
        ("least", "0.5°"),
        ("most", "6.0°"),
    ],
    picture: None,
    work: |given, out| {
        let rule = Rule {
            within: given.get(2),
            least: given.get(3),
            most: given.get(4),
        };
        let margins = rule.margins(given.get(0), given.get(1));
        out.set(0, margins.equal);
        out.set(1, margins.least);
        out.set(2, margins.most);
        Ok(())
    },
};
