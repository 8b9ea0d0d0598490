//! Tyres: tread by the rule chosen, twins, how often a tyre turns and how fast the
//! shaft does.
//!
//! Invariant: a rule that does not cover a vehicle is refused by name, never filled
//! in from another.

use std::f64::consts::PI;

use uom::si::f64::{AngularVelocity, Length, Ratio, Velocity};

use super::amount::Amount;
use super::error::Snag;
use super::given::{Inputs, Outcome};
use super::sum::{Input, Output, Sum};
use crate::quantity::Kind;

mod tread;

#[cfg(test)]
mod tests;

pub use tread::{PAIR_APART_M, Tread, TreadRule, judged_tread};

pub(super) use tread::{TREAD, TREAD_PAIR};

const SUBJECT: &str = "tyres";

/// Metres in a kilometre and in a mile (exact).
const KILOMETRE_M: f64 = 1000.0;
const MILE_M: f64 = 1609.344;

/// Difference of diameters from circumferences: Δc/π; + is the first the greater.
pub fn diameter_difference(first: Length, second: Length) -> Length {
    (first - second) / PI
}

/// What share of the way one of two tyres on one hub must slip.
///
/// Both turn together; the greater wants to go further by the difference of
/// circumferences, against their mean. + is the first the greater.
///
/// # Source
/// Geometry; our derivation. The whole difference counts as slip, which is the most
/// it can be.
pub fn slip_share(first: Length, second: Length) -> Ratio {
    (first - second) / (0.5 * (first + second))
}

/// Turns on a way.
pub fn turns(way: Length, circumference: Length) -> f64 {
    (way / circumference).si()
}

/// Circumference of a tyre that turns so often on a mile.
pub fn circumference_of(turns_on_mile: f64) -> Length {
    Length::of_si(MILE_M / turns_on_mile)
}

/// How fast a wheel turns at a road speed.
pub fn wheel_speed(speed: Velocity, circumference: Length) -> AngularVelocity {
    AngularVelocity::of_si(2.0 * PI * speed.si() / circumference.si())
}

/// How fast the shaft turns before an axle of this ratio.
pub fn shaft_speed(wheel: AngularVelocity, ratio: Ratio) -> AngularVelocity {
    (wheel * ratio).into()
}

const TYRE_WHY: &str = "a truck tyre is 1.5 to 5 m round";

const fn round_input(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::Length).within(1.5, 5.0, TYRE_WHY)
}

const NOT_TOLD: &str = "can't be told";

/// Step of a tape, where none is given.
const TAPE_STEP_M: f64 = 0.001;

/// What binary numbers make of a difference of whole steps must not take it under one.
const NO_LENGTH_M: f64 = 1e-9;

/// Which of two twins is the smaller, so carries less; told from one step of the
/// reading on, since two readings in steps are wrong by less than a step together.
fn carries_less(inner: Length, outer: Length, step: Length) -> &'static str {
    let more = (inner - outer).si();
    if more.abs() <= NO_LENGTH_M || more.abs() < step.si() - NO_LENGTH_M {
        NOT_TOLD
    } else if more < 0.0 {
        "inner"
    } else {
        "outer"
    }
}

/// Twins against each other.
pub(super) static TWINS: Sum = Sum {
    name: "twins",
    subject: SUBJECT,
    title: "the two tyres of a twin pair against each other",
    formula: &[
        "diameters apart = (inner circumference − outer circumference) / π",
        "slip share = (inner − outer) / mean",
        "slip in a km = slip share · 1 km",
        "margins = limit ∓ diameters apart",
    ],
    source: "geometry; the slip is our derivation",
    range: "Both cold and at one pressure, measured round the middle of the tread. + is the inner the greater. \
            Which carries less can't be told where the circumferences differ by less than the step that they are read in. \
            That is all the word knows of uncertainty: where diameters apart is smaller than its own, trust that and not the word. \
            The smaller carries less and is dragged along; the greater carries more and runs hotter. \
            The whole difference counts as slip, which is the most it can be. There is a margin each way; both must hold.",
    inputs: &[
        round_input("inner", "circumference, inner").shared('A'),
        round_input("outer", "circumference, outer").shared('A'),
        Input::one("limit", "most that the diameters may differ", Kind::Length)
            .optional()
            .least(0.0, "a limit is a size"),
        Input::one(
            "reading_step",
            "step that circumferences are read in (1 mm if left out)",
            Kind::Length,
        )
        .optional()
        .within(
            0.0,
            0.05,
            "a tape read in steps over 50 mm tells no twins apart",
        ),
    ],
    outputs: &[
        Output::of("apart", "inner diameter less outer diameter", Kind::Length),
        Output::of("slip", "slip share", Kind::Ratio),
        Output::of("slip_in_km", "slip in a kilometre", Kind::Length),
        Output::word(
            "carries_less",
            "which carries less",
            &["inner", "outer", NOT_TOLD],
        ),
        Output::of(
            "inner_margin",
            "how much greater the inner may be",
            Kind::Length,
        )
        .optional(),
        Output::of(
            "outer_margin",
            "how much greater the outer may be",
            Kind::Length,
        )
        .optional(),
    ],
    example: &[
        ("inner", "3172 mm"),
        ("outer", "3164 mm"),
        ("limit", "5 mm"),
    ],
    picture: None,
    work: twins,
};

fn twins(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let (inner, outer) = (given.get::<Length>(0), given.get::<Length>(1));
    let apart = diameter_difference(inner, outer);
    let slip = slip_share(inner, outer);
    out.set(0, apart);
    out.set(1, slip);
    out.set(2, slip * Length::of_si(KILOMETRE_M));
    let step = given.maybe(3);
    let step = step.unwrap_or_else(|| Length::of_si(TAPE_STEP_M));
    out.say(3, carries_less(inner, outer, step));
    if let Some(limit) = given.maybe::<Length>(2) {
        out.set(4, limit - apart);
        out.set(5, limit + apart);
    }
    Ok(())
}

/// How often a tyre turns.
pub(super) static TYRE_TURNS: Sum = Sum {
    name: "tyre_turns",
    subject: SUBJECT,
    title: "how often a tyre turns on a kilometre and a mile",
    formula: &[
        "turns = way / rolling circumference",
        "without it: rolling circumference from the loaded radius, 2π · radius",
    ],
    source: "geometry; 1 mile = 1609.344 m exactly",
    range: "The rolling circumference is that of the tyre as it rolls under its load, from the sheet or a marked roll. \
            At the load that the sheet's rolling circumference is for, a tyre rolls on a little more than its loaded radius: \
            turns by that radius are then a few per cent too many. With less load the hub stands higher and the turns come out fewer; \
            which way they are off can't be said then.",
    inputs: &[
        round_input("circumference", "rolling circumference").optional(),
        Input::one("loaded_radius", "hub centre to floor", Kind::Length)
            .optional()
            .within(
                0.24,
                0.79,
                "a truck tyre is 1.5 to 5 m round, so its hub stands 0.24 to 0.79 m over the floor",
            ),
    ],
    outputs: &[
        Output::of("turns_in_km", "turns on a kilometre", Kind::Count).plain(),
        Output::of("turns_in_mile", "turns on a mile", Kind::Count).plain(),
        Output::of(
            "circumference_used",
            "circumference that was used",
            Kind::Length,
        ),
        Output::of("rolling_radius", "radius that it rolls on", Kind::Length),
    ],
    example: &[("circumference", "3090 mm")],
    picture: None,
    work: |given, out| {
        let by_radius = given.maybe::<Length>(1).map(|radius| radius * (2.0 * PI));
        let circumference = match (given.maybe::<Length>(0), by_radius) {
            (Some(_), Some(_)) => {
                return Err(Snag::new(
                    "loaded_radius",
                    "the circumference is given as well; give one of the two",
                ));
            }
            (Some(one), None) | (None, Some(one)) => one,
            (None, None) => {
                return Err(Snag::new(
                    "circumference",
                    "it is needed, or the loaded radius",
                ));
            }
        };
        out.set(0, turns(Length::of_si(KILOMETRE_M), circumference));
        out.set(1, turns(Length::of_si(MILE_M), circumference));
        out.set(2, circumference);
        out.set(3, circumference / (2.0 * PI));
        Ok(())
    },
};

/// How fast the shaft turns.
pub(super) static SHAFT_SPEED: Sum = Sum {
    name: "shaft_speed",
    subject: SUBJECT,
    title: "how fast wheel and shaft turn at a road speed",
    formula: &[
        "wheel = speed / rolling circumference, or speed · turns on a mile",
        "shaft = wheel · axle ratio",
    ],
    source: "geometry; 1 mile = 1609.344 m exactly",
    range: "Straight ahead, no slip; in a bend the mean of both wheels. With hub reduction the ratio is that of the axle's head alone.",
    inputs: &[
        Input::one("speed", "road speed", Kind::Speed).least(0.0, "speed is a size"),
        Input::one("ratio", "axle ratio", Kind::Ratio).within(
            0.5,
            20.0,
            "axles turn the wheel 0.5 to 20 times slower",
        ),
        round_input("circumference", "rolling circumference").optional(),
        Input::one("turns_in_mile", "turns on a mile", Kind::Count)
            .optional()
            .within(MILE_M / 5.0, MILE_M / 1.5, TYRE_WHY),
    ],
    outputs: &[
        Output::of("shaft", "shaft speed", Kind::RotationalSpeed),
        Output::of("wheel", "wheel speed", Kind::RotationalSpeed),
        Output::of(
            "circumference_used",
            "circumference that was used",
            Kind::Length,
        ),
    ],
    example: &[
        ("speed", "89 km/h"),
        ("ratio", "2.71"),
        ("circumference", "3090 mm"),
    ],
    picture: None,
    work: |given, out| {
        let by_turns = given.maybe::<f64>(3).map(circumference_of);
        let circumference = match (given.maybe::<Length>(2), by_turns) {
            (Some(_), Some(_)) => {
                return Err(Snag::new(
                    "turns_in_mile",
                    "the circumference is given as well; give one of the two",
                ));
            }
            (Some(one), None) | (None, Some(one)) => one,
            (None, None) => {
                return Err(Snag::new(
                    "circumference",
                    "it is needed, or the turns on a mile",
                ));
            }
        };
        let wheel = wheel_speed(given.get(0), circumference);
        out.set(0, shaft_speed(wheel, given.get(1)));
        out.set(1, wheel);
        out.set(2, circumference);
        Ok(())
    },
};
