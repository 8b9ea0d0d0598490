//! What the registry says of whole shaft lines.

use std::f64::consts::FRAC_PI_4;

use uom::si::f64::{Angle, AngularVelocity};

use super::{SMALL, SUBJECT, shaft_speed};
use crate::calc::Snag;
use crate::calc::amount::{Amount, Slope};
use crate::calc::given::Inputs;
use crate::calc::joint::{Axis, Joint, Line, Phase, coplanar_residual, rough_residual};
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

const PHASES: &[&str] = &["in_phase", "crossed"];
const NEAR_LEVEL: &str = "a shaft line lies within 45° of level and of straight back";
const SLOPES: Input = Input::one(
    "slopes",
    "slopes of gearbox, shaft or shafts, pinion, in this order",
    Kind::Slope,
)
.several(2, 4)
.within(-FRAC_PI_4, FRAC_PI_4, NEAR_LEVEL);
const PLAN: Input = Input::one(
    "plan",
    "the same seen from above, + to the right going back",
    Kind::Angle,
)
.several(0, 4)
.within(-FRAC_PI_4, FRAC_PI_4, NEAR_LEVEL);
const FIRST_PHASE: Input = word_or_none("phase", "yokes on the shaft after the first joint");
const SECOND_PHASE: Input =
    word_or_none("second_phase", "yokes on the shaft after the second joint");
const fn word_or_none(key: &'static str, title: &'static str) -> Input {
    Input::word(key, title, PHASES).optional()
}

/// Hands on the line that the first four inputs of a sum make.
fn with_line<T>(
    given: &Inputs<'_>,
    then: impl FnOnce(&Line<'_>) -> Result<T, Snag>,
) -> Result<T, Snag> {
    let count = given.count(0);
    if given.count(1) != 0 && given.count(1) != count {
        return Err(Snag::new(
            "plan",
            "it takes as many as slopes, or none where all lie straight",
        ));
    }
    let mut axes = [Axis::of(Slope::of_si(0.0), Angle::of_si(0.0)); 4];
    let straight = std::iter::repeat(Angle::of_si(0.0));
    let plan = given.all::<Angle>(1).chain(straight);
    for ((axis, slope), plan) in axes.iter_mut().zip(given.all::<Slope>(0)).zip(plan) {
        *axis = Axis::of(slope, plan);
    }
    let phases = [
        phase(given, 2, "phase", count >= 3)?,
        phase(given, 3, "second_phase", count >= 4)?,
    ];
    then(&Line {
        axes: axes.get(..count).unwrap_or_default(),
        phases: phases.get(..count.saturating_sub(2)).unwrap_or_default(),
    })
}

fn phase(given: &Inputs<'_>, at: usize, key: &'static str, shaft: bool) -> Result<Phase, Snag> {
    match (given.word(at), shaft) {
        ("", true) => Err(Snag::new(
            key,
            "say how the yokes on this shaft stand: in_phase or crossed",
        )),
        ("crossed", true) => Ok(Phase::Crossed),
        ("", false) | (_, true) => Ok(Phase::InPhase),
        (_, false) => Err(Snag::new(
            key,
            "there is no such shaft between two joints; give one slope more or leave it out",
        )),
    }
}

/// True joint angles and the residual angle.
pub(in crate::calc) static JOINT_ANGLES: Sum = Sum {
    name: "joint_angles",
    subject: SUBJECT,
    title: "the true angle of each joint of a shaft line, and what is left over",
    formula: &[
        "slope = what an inclinometer along the shaft reads: its true inclination",
        "joint angle = angle between the two axes in space",
        "cos(residual) = smaller / larger stretch of the whole line's pin map",
        "in one plane: cos(residual) = product of cos(joint angles), each to the power +1 or −1",
    ],
    source: "our derivation; equals the SAE AE-7 form for joints in one plane",
    range: "one to three joints under 90°; exact, whatever the planes of the joints. A slope \
            is not the angle seen in the side view: for that see compound_angle. Joint angles \
            and residual are sizes with a corner at nothing: there the larger side counts for ±, \
            and trials tell more",
    inputs: &[SLOPES, PLAN, FIRST_PHASE, SECOND_PHASE],
    outputs: &[
        Output::of("residual", "residual angle", Kind::Angle),
        Output::of("first", "first joint", Kind::Angle),
        Output::of("second", "second joint", Kind::Angle).optional(),
        Output::of("third", "third joint", Kind::Angle).optional(),
        Output::of("uneven", "unevenness of the last shaft", Kind::Ratio),
    ],
    example: &[("slopes", "4.5°, 7.0°, 4.3°"), ("phase", "in_phase")],
    picture: None,
    work: |given, out| {
        with_line(given, |line| {
            let joints = line.joints()?;
            out.set(0, joints.residual);
            for (at, angle) in joints.angles.iter().take(joints.count).enumerate() {
                out.set(1 + at, *angle);
            }
            out.set(4, Joint(joints.residual).uneven());
            Ok(())
        })
    },
};

/// Accelerations of a line.
pub(in crate::calc) static SHAFT_ACCELERATION: Sum = Sum {
    name: "shaft_acceleration",
    subject: SUBJECT,
    title: "how hard joints shake the last shaft and the shaft between",
    formula: &[
        "torsional: greatest acceleration of one joint at the residual angle",
        "drive and coast: the same at the joint, or joints, before the shaft between",
    ],
    source: "our derivation; what is called torsional and inertial as in SAE AE-7 (from memory)",
    range: "one to three joints, exact. Published limits: torsional 300 to 500 rad/s², \
            inertial 1000 rad/s² (from memory). Leaves out twist and bending of the shafts",
    inputs: &[
        SLOPES,
        PLAN,
        FIRST_PHASE,
        SECOND_PHASE,
        shaft_speed("fastest shaft speed"),
    ],
    outputs: &[
        Output::of("torsional", "last shaft", Kind::AngularAcceleration),
        Output::of(
            "drive",
            "shaft between, gearbox drives",
            Kind::AngularAcceleration,
        )
        .optional(),
        Output::of(
            "coast",
            "shaft between, axle drives",
            Kind::AngularAcceleration,
        )
        .optional(),
        Output::of("residual", "residual angle", Kind::Angle),
    ],
    example: &[
        ("slopes", "4.5°, 7.0°, 4.3°"),
        ("phase", "in_phase"),
        ("speed", "1301 rev/min"),
    ],
    picture: None,
    work: |given, out| {
        let speed = given.get::<AngularVelocity>(4);
        let (found, joints) = with_line(given, |line| {
            Ok((line.accelerations(speed)?, line.joints()?))
        })?;
        out.set(0, found.torsional);
        for (at, amount) in [(1, found.drive), (2, found.coast)] {
            if let Some(amount) = amount {
                out.set(at, amount);
            }
        }
        out.set(3, joints.residual);
        Ok(())
    },
};

/// Compound angle.
pub(in crate::calc) static COMPOUND_ANGLE: Sum = Sum {
    name: "compound_angle",
    subject: SUBJECT,
    title: "the true angle of a joint seen bent from the side and from above",
    formula: &[
        "tan²β = tan²(side) + tan²(plan)",
        "nearly: √(side² + plan²)",
    ],
    source: "geometry; our derivation",
    range: "both views show the angle to the same other axis, which lies square in both. The angle \
            is a size with a corner at nothing: there the larger side counts for ±",
    inputs: &[
        Input::one("side", "angle in the side view", Kind::Angle)
            .within(-FRAC_PI_4, FRAC_PI_4, SMALL),
        Input::one("plan", "angle seen from above", Kind::Angle)
            .within(-FRAC_PI_4, FRAC_PI_4, SMALL),
    ],
    outputs: &[
        Output::of("angle", "true angle", Kind::Angle),
        Output::of("rough", "by the root of the squares", Kind::Angle),
    ],
    example: &[("side", "2.5°"), ("plan", "1.0°")],
    picture: None,
    work: |given, out| {
        let (side, plan) = (given.get::<Angle>(0), given.get::<Angle>(1));
        let square = Axis::of(Slope::of_si(0.0), Angle::of_si(0.0));
        out.set(0, square.angle_to(Axis::seen(side, plan)));
        out.set(1, side.si().hypot(plan.si()));
        Ok(())
    },
};

/// The residual angle by hand.
pub(in crate::calc) static RESIDUAL_BY_HAND: Sum = Sum {
    name: "residual_by_hand",
    subject: SUBJECT,
    title: "the residual angle of joints in one plane as it is worked by hand",
    formula: &[
        "exact: ln cos(residual) = −|Σ ± ln cos β|",
        "nearly: √|Σ ± β²|",
    ],
    source: "SAE AE-7 form (from memory, very sure)",
    range: "joints in one plane. Give the first angle with +; from one joint to the next the \
            sign changes where the yokes on the shaft between are in phase and stays where \
            they are crossed. The near form can miss 0.1° where joints all but cancel. The residual \
            is a size with a corner there: the larger side counts for ±",
    inputs: &[
        Input::one("angles", "joint angles, each with its sign", Kind::Angle)
            .several(1, 3)
            .within(-FRAC_PI_4, FRAC_PI_4, SMALL),
    ],
    outputs: &[
        Output::of("residual", "residual angle", Kind::Angle),
        Output::of("rough", "by the near form", Kind::Angle),
    ],
    example: &[("angles", "2.5°, -2.7°")],
    picture: None,
    work: |given, out| {
        out.set(0, coplanar_residual(given.all(0)));
        out.set(1, rough_residual(given.all(0)));
        Ok(())
    },
};
