//! The published rule for the supply side of air suspensions in the US.
//!
//! It is about the truck's own system at its normal pressure, not about bellows
//! shut in for a leak-down.

use uom::si::f64::{Pressure, Time};

use super::SUBJECT;
use crate::calc::amount::{Amount, Gauge};
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::{Kind, PSI_PA};

/// Most that the supply may fall: 3 psi.
///
/// # Source
/// 49 CFR 393.207(f) (from memory, very sure; the number also in a state inspector's
/// public exam page).
pub const SUPPLY_DROP_PA: f64 = 3.0 * PSI_PA;

/// In this time: 5 min.
///
/// # Source
/// As [`SUPPLY_DROP_PA`].
pub const SUPPLY_TIME_S: f64 = 300.0;

/// No air to the suspension before the brakes have this: 55 psi.
///
/// # Source
/// As [`SUPPLY_DROP_PA`].
pub const BRAKES_FIRST_PA: f64 = 55.0 * PSI_PA;

/// A fall brought to the 5 min of the rule.
pub fn scaled_drop(drop: Pressure, over: Time) -> Pressure {
    drop * (SUPPLY_TIME_S / over.si())
}

/// The rule as margins.
pub(in crate::calc) static SUPPLY_LEAK: Sum = Sum {
    name: "supply_leak",
    subject: SUBJECT,
    title: "leak of the suspension's supply by the US rule",
    formula: &[
        "fall in 5 min = fall · 5 min / time",
        "margin = 3 psi − fall in 5 min",
        "brake margin = brake pressure − 55 psi",
    ],
    source: "49 CFR 393.207(f) (from memory, very sure)",
    range: "The truck's own system at its normal pressure, read on one gauge. \
            The brake pressure is that at which air begins to flow to the suspension. The rule is not for a leak-down of the bellows.",
    inputs: &[
        Input::one(
            "drop",
            "fall of the system's pressure",
            Kind::PressureDifference,
        ),
        Input::one("over", "time of the fall", Kind::Time)
            .least(1.0, "in less than a second no leak is judged"),
        Input::one(
            "brakes",
            "brake pressure as the suspension begins to fill",
            Kind::GaugePressure,
        )
        .optional(),
    ],
    outputs: &[
        Output::of(
            "margin",
            "3 psi less the fall in 5 min",
            Kind::PressureDifference,
        ),
        Output::of("scaled_drop", "fall in 5 min", Kind::PressureDifference),
        Output::of(
            "limit",
            "most that it may fall in 5 min",
            Kind::PressureDifference,
        ),
        Output::of("rate", "rate, + is falling", Kind::PressureRate),
        Output::of(
            "brake_margin",
            "brake pressure over 55 psi",
            Kind::PressureDifference,
        )
        .optional(),
    ],
    example: &[("drop", "2 psi"), ("over", "5 min"), ("brakes", "60 psi")],
    picture: None,
    work: |given, out| {
        let (drop, over) = (given.get::<Pressure>(0), given.get::<Time>(1));
        let limit = Pressure::of_si(SUPPLY_DROP_PA);
        let scaled = scaled_drop(drop, over);
        out.set(0, limit - scaled);
        out.set(1, scaled);
        out.set(2, limit);
        out.set(3, drop / over);
        if let Some(brakes) = given.maybe::<Gauge>(2) {
            out.set(4, brakes.0 - Pressure::of_si(BRAKES_FIRST_PA));
        }
        Ok(())
    },
};
