//! What the registry says of one joint.

use uom::si::f64::{AngularVelocity, Ratio};

use super::{FORWARD, SUBJECT, joint_angle, shaft_speed};
use crate::calc::amount::Amount;
use crate::calc::joint::Joint;
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

/// Speed behind one joint.
pub(in crate::calc) static JOINT_SPEED: Sum = Sum {
    name: "joint_speed",
    subject: SUBJECT,
    title: "how unevenly a shaft turns behind one joint",
    formula: &[
        "driven / driving = cos β / (1 − sin²β · cos²θ)",
        "fastest 1/cos β at θ = 0, slowest cos β at 90°, alike where cos²θ = 1/(1 + cos β)",
        "unevenness = 1/cos β − cos β",
        "tan(lag) = (1 − cos β) / (2 · √cos β)",
    ],
    source: "Carvill, Mechanical Engineer's Data Handbook (1993) 2.4.3 p. 72; the rest derived",
    range: "one joint, driving shaft turning evenly; θ from where the driving yoke lies in \
            the plane of both shafts",
    inputs: &[
        joint_angle("angle", "joint angle β"),
        shaft_speed("speed of the driving shaft"),
        Input::one("turn", "turn of the driving yoke θ", Kind::Angle).optional(),
    ],
    outputs: &[
        Output::of("uneven", "fastest less slowest, as a share", Kind::Ratio),
        Output::of("fastest", "fastest", Kind::RotationalSpeed),
        Output::of("slowest", "slowest", Kind::RotationalSpeed),
        Output::of("lag", "most ahead or behind", Kind::Angle),
        Output::of("even_turn", "turn at which both are alike", Kind::Angle),
        Output::of("ratio", "driven by driving at that turn", Kind::Ratio).optional(),
        Output::of("driven", "driven shaft at that turn", Kind::RotationalSpeed).optional(),
    ],
    example: &[
        ("angle", "2.5°"),
        ("speed", "1301 rev/min"),
        ("turn", "30°"),
    ],
    picture: None,
    work: |given, out| {
        let joint = Joint(given.get(0));
        let speed = given.get::<f64>(1);
        let extremes = joint.extremes();
        out.set(0, joint.uneven());
        out.set(1, speed * extremes.fastest.si());
        out.set(2, speed * extremes.slowest.si());
        out.set(3, joint.lag());
        out.set(4, joint.even_turn());
        if let Some(turn) = given.maybe(2) {
            let ratio = joint.ratio(turn);
            out.set(5, ratio);
            out.set(6, speed * ratio.si());
        }
        Ok(())
    },
};

/// Acceleration behind one joint.
pub(in crate::calc) static JOINT_ACCELERATION: Sum = Sum {
    name: "joint_acceleration",
    subject: SUBJECT,
    title: "how hard one joint shakes the shaft it drives",
    formula: &[
        "α = −ω² · cos β · sin²β · sin 2θ / (1 − sin²β · cos²θ)²",
        "greatest where sin²β · C² + (2 − sin²β) · C = 2 · sin²β, C = cos 2θ",
        "in tables: ω² · sin²β; shortest: ω² · β²",
    ],
    source: "text-book form (from memory, very sure); its greatest value is our derivation",
    range: "one joint, driving shaft turning evenly. The form in tables reads low: under 1 % \
            up to 7°, 6 % at 20°",
    inputs: &[
        joint_angle("angle", "joint angle β"),
        shaft_speed("speed of the driving shaft"),
        Input::one("turn", "turn of the driving yoke θ", Kind::Angle).optional(),
    ],
    outputs: &[
        Output::of("greatest", "greatest in a turn", Kind::AngularAcceleration),
        Output::of(
            "greatest_turn",
            "turn at which it slows the most",
            Kind::Angle,
        ),
        Output::of("in_tables", "as tables have it", Kind::AngularAcceleration),
        Output::of(
            "shortest",
            "by the shortest form",
            Kind::AngularAcceleration,
        ),
        Output::of("at_turn", "at that turn", Kind::AngularAcceleration).optional(),
    ],
    example: &[("angle", "2.7°"), ("speed", "1301 rev/min")],
    picture: None,
    work: |given, out| {
        let joint = Joint(given.get(0));
        let speed = given.get::<AngularVelocity>(1);
        let peak = joint.peak(speed);
        out.set(0, peak.amount);
        out.set(1, peak.turn);
        out.set(2, joint.peak_by_sine(speed));
        out.set(3, joint.peak_by_angle(speed));
        if let Some(turn) = given.maybe(2) {
            out.set(4, joint.acceleration(speed, turn));
        }
        Ok(())
    },
};

/// The joint angle for an unevenness.
pub(in crate::calc) static ANGLE_FOR_UNEVENNESS: Sum = Sum {
    name: "angle_for_unevenness",
    subject: SUBJECT,
    title: "the joint angle behind which a shaft turns so unevenly",
    formula: &["1/cos β − cos β = unevenness"],
    source: "our derivation; a published limit for the residual is 0.0027, which is 3° rounded",
    range: "one joint, or the residual angle of a line",
    inputs: &[
        Input::one("uneven", "fastest less slowest, as a share", Kind::Ratio)
            .least(0.0, "the fastest is not slower than the slowest"),
        Input::one("speed", "speed of the driving shaft", Kind::RotationalSpeed)
            .least(0.0, FORWARD)
            .optional(),
    ],
    outputs: &[
        Output::of("angle", "joint angle", Kind::Angle),
        Output::of("fastest", "fastest", Kind::RotationalSpeed).optional(),
        Output::of("slowest", "slowest", Kind::RotationalSpeed).optional(),
    ],
    example: &[("uneven", "0.0027")],
    picture: None,
    work: |given, out| {
        // A little below zero, inside the uncertainty of a small unevenness, is none.
        let uneven = Ratio::of_si(given.get::<f64>(0).max(0.0));
        let joint = Joint::of_uneven(uneven);
        out.set(0, joint.0);
        if let Some(speed) = given.maybe::<f64>(1) {
            out.set(1, speed * joint.extremes().fastest.si());
            out.set(2, speed * joint.extremes().slowest.si());
        }
        Ok(())
    },
};
