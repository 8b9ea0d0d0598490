//! What the registry says of joints, shaft lines and tubes.

use std::f64::consts::FRAC_PI_4;

use uom::si::f64::{Angle, AngularAcceleration, AngularVelocity, Length, Ratio};

use super::super::Snag;
use super::super::amount::{Amount, Slope};
use super::super::given::Inputs;
use super::super::sum::{Input, Output, Sum};
use super::bound::{Rule, largest_angle, second_joint};
use super::by_hand::{coplanar_residual, rough_residual};
use super::line::{Axis, Line, Phase};
use super::single::Joint;
use super::tube::{Stuff, Tube};
use crate::quantity::Kind;

const SUBJECT: &str = "joints and shafts";
const PHASES: &[&str] = &["in_phase", "crossed"];
const NEAR_LEVEL: &str = "a shaft line lies within 45° of level and of straight back";
const SMALL: &str = "a propshaft joint stands at 45° at most";
const FORWARD: &str = "count a speed without a sign";

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

const fn joint_angle(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::Angle).within(0.0, FRAC_PI_4, SMALL)
}

const fn shaft_speed(title: &'static str) -> Input {
    Input::one("speed", title, Kind::RotationalSpeed).least(0.0, FORWARD)
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
        "joint angle = angle between the two axes in space",
        "cos(residual) = smaller / larger stretch of the whole line's pin map",
        "in one plane: cos(residual) = product of cos(joint angles), each to the power +1 or −1",
    ],
    source: "our derivation; equals the SAE AE-7 form for joints in one plane",
    range: "one to three joints under 90°; exact, whatever the planes of the joints. The \
            residual has a corner at zero: near it look at trials, not at the first order",
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
        let joints = with_line(given, |line| line.joints())?;
        out.set(0, joints.residual);
        for (at, angle) in joints.angles.iter().take(joints.count).enumerate() {
            out.set(1 + at, *angle);
        }
        out.set(4, Joint(joints.residual).uneven());
        Ok(())
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

/// Largest angle for an acceleration.
pub(in crate::calc) static LARGEST_JOINT_ANGLE: Sum = Sum {
    name: "largest_joint_angle",
    subject: SUBJECT,
    title: "the largest joint angle that keeps to an acceleration at a shaft speed",
    formula: &["β = asin(√limit / ω)"],
    source: "ω² · sin²β solved for β; published lists follow 1000 rad/s² (from memory)",
    range: "no result where the shaft turns so slowly that no angle reaches the limit. \
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
    ],
    example: &[
        ("speed", "1912 rev/min"),
        ("limit", "1000 rad/s²"),
        ("angle", "2.7°"),
    ],
    picture: None,
    work: |given, out| {
        let largest = largest_angle(given.get::<AngularAcceleration>(1), given.get(0));
        if let Some(largest) = largest {
            out.set(0, largest);
            if let Some(angle) = given.maybe::<Angle>(2) {
                out.set(1, largest - angle);
            }
        }
        Ok(())
    },
};

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
    range: "both joints in one plane, yokes in phase. No upper angle where the shaft turns so \
            slowly that none reaches the limit",
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
    range: "the two joints of one shaft, yokes in phase; + keeps to the rule, − does not",
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
    range: "both views show the angle to the same other axis, which lies square in both",
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
            they are crossed. The near form can miss 0.1° where joints all but cancel",
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

/// Whirling.
pub(in crate::calc) static WHIRLING_SPEED: Sum = Sum {
    name: "whirling_speed",
    subject: SUBJECT,
    title: "the speed at which a propshaft tube whirls, and how near it is run",
    formula: &[
        "n = 30 · π / L² · √(E · I / (ρ · A)), I/A = (D² + d²) / 16",
        "allowed = share · n",
    ],
    source: "beam formula for the first bending (our derivation); steel 206 GPa, 7850 kg/m³; \
             share 0.65 to 0.75 as in hand books (from memory)",
    range: "a uniform steel tube free to tilt at both ends. Yokes, slip joint, soft supports \
            and the hanger bearing lower the true speed; the share stands for them",
    inputs: &[
        length("outer", "outside diameter"),
        length("wall", "wall"),
        length("length", "length from joint to joint"),
        Input::one("share", "share that is run at most", Kind::Ratio).within(
            0.0,
            1.0,
            "no shaft is run above its whirling speed",
        ),
        Input::one("speed", "fastest shaft speed", Kind::RotationalSpeed)
            .least(0.0, FORWARD)
            .optional(),
    ],
    outputs: &[
        Output::of("whirling", "whirling speed", Kind::RotationalSpeed),
        Output::of("allowed", "allowed speed", Kind::RotationalSpeed),
        Output::of("run_share", "share that is run", Kind::Ratio).optional(),
        Output::of("margin", "left to the allowed speed", Kind::RotationalSpeed).optional(),
    ],
    example: &[
        ("outer", "120 mm"),
        ("wall", "3 mm"),
        ("length", "1420 mm"),
        ("share", "0.65"),
        ("speed", "1301 rev/min"),
    ],
    picture: None,
    work: |given, out| {
        let tube = Tube {
            outer: given.get::<Length>(0),
            wall: given.get(1),
            length: given.get(2),
            stuff: Stuff::steel(),
        };
        let whirling = tube.whirling()?.si();
        let allowed = whirling * given.get::<f64>(3);
        out.set(0, whirling);
        out.set(1, allowed);
        if let Some(speed) = given.maybe::<f64>(4) {
            out.set(2, speed / whirling);
            out.set(3, allowed - speed);
        }
        Ok(())
    },
};

const fn length(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::Length).least(1e-4, "a tube has a size")
}
