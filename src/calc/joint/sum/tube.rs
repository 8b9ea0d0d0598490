//! What the registry says of a propshaft tube.

use uom::si::f64::Length;

use super::{FORWARD, SUBJECT};
use crate::calc::amount::Amount;
use crate::calc::joint::{Stuff, Tube};
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

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
        length("outer", "outside diameter", 0.02, 0.5),
        length("wall", "wall", 0.5e-3, 0.1),
        length("length", "length from joint to joint", 0.05, 10.0),
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

const fn length(key: &'static str, title: &'static str, least: f64, most: f64) -> Input {
    Input::one(key, title, Kind::Length).within(
        least,
        most,
        "no propshaft tube is smaller or larger; look at the unit",
    )
}
