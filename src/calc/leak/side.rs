//! Left against right: heights before and after, and two pressures that fall.
//!
//! Invariant: a limit on a difference that may go either way has two margins, one
//! for each way, so that its uncertainty is right also where both sides are alike.

use uom::si::f64::{Length, Pressure, Time};

use super::SUBJECT;
use super::trend::{PressureRate, trend};
use crate::calc::amount::{Amount, Gauge};
use crate::calc::error::Snag;
use crate::calc::given::{Inputs, Outcome};
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

const SIZE: &str = "a limit is a size";

/// How far apart the lengths of two watches may be, as a share of the longer.
const LENGTHS_APART: f64 = 0.1;

const fn height(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::Length).within(
        0.0,
        5.0,
        "a marked point is 0 m to 5 m high; look at the unit",
    )
}

/// Heights before and after a watch, left and right.
pub(in crate::calc) static HEIGHT_DROP: Sum = Sum {
    name: "height_drop",
    subject: SUBJECT,
    title: "how far each side sank over a watch, and side against side",
    formula: &[
        "drop = height before − height after",
        "side against side = left drop − right drop",
        "margins = limit − drop; side limit ∓ side against side",
    ],
    source: "common practice; on one instrument only the resolution counts (JCGM 100:2008 5.2.2)",
    range: "Same marked points, levelling stopped, nobody in the cab. A height can't be had from a fall of pressure: \
            a bellows under a load keeps its pressure while it sinks. Side against side has a margin each way; both must hold.",
    inputs: &[
        height("left_before", "left height before").shared('A'),
        height("right_before", "right height before").shared('A'),
        height("left_after", "left height after").shared('A'),
        height("right_after", "right height after").shared('A'),
        Input::one("limit", "most that a side may sink", Kind::Length)
            .optional()
            .least(0.0, SIZE),
        Input::one(
            "side_limit",
            "most that the sides may sink apart",
            Kind::Length,
        )
        .optional()
        .least(0.0, SIZE),
    ],
    outputs: &[
        Output::of("left", "left drop", Kind::Length),
        Output::of("right", "right drop", Kind::Length),
        Output::of("apart", "left drop less right drop", Kind::Length),
        Output::of("left_margin", "limit less left drop", Kind::Length).optional(),
        Output::of("right_margin", "limit less right drop", Kind::Length).optional(),
        Output::of(
            "left_apart_margin",
            "how much more left may sink",
            Kind::Length,
        )
        .optional(),
        Output::of(
            "right_apart_margin",
            "how much more right may sink",
            Kind::Length,
        )
        .optional(),
    ],
    example: &[
        ("left_before", "190 mm step 1 mm"),
        ("right_before", "191 mm step 1 mm"),
        ("left_after", "189 mm step 1 mm"),
        ("right_after", "191 mm step 1 mm"),
        ("limit", "2 mm"),
    ],
    picture: None,
    work: |given, out| {
        let left = given.get::<Length>(0) - given.get::<Length>(2);
        let right = given.get::<Length>(1) - given.get::<Length>(3);
        out.set(0, left);
        out.set(1, right);
        out.set(2, left - right);
        if let Some(limit) = given.maybe::<Length>(4) {
            out.set(3, limit - left);
            out.set(4, limit - right);
        }
        if let Some(limit) = given.maybe::<Length>(5) {
            out.set(5, limit - (left - right));
            out.set(6, limit + (left - right));
        }
        Ok(())
    },
};

/// Two watches against each other.
pub(in crate::calc) static LEAK_SIDES: Sum = Sum {
    name: "leak_sides",
    subject: SUBJECT,
    title: "the fall of the left pressure against that of the right",
    formula: &[
        "apart = left rate − right rate, each by the line through its readings",
        "fall apart = apart · time",
        "margins = limit ∓ fall apart",
        "standard error = √(left error² + right error²)",
    ],
    source: "least squares: JCGM 100:2008 H.3.2; independent errors: 5.1.2",
    range: "Both sides shut in and watched over the same minutes: refused where one watch is over a tenth shorter than the other. \
            Each counts from its own first reading, so that both began together is for you to see to. Cooling takes the same share from both, so it hardly shows here. \
            Where one valve feeds both sides, or they are joined by a pipe, a leak shows on both. There is a margin each way; both must hold.",
    inputs: &[
        Input::one("left", "watched pressure, left", Kind::GaugePressure).series(3),
        Input::one("right", "watched pressure, right", Kind::GaugePressure).series(3),
        Input::one(
            "over",
            "time that the limit is for (the shorter watch if left out)",
            Kind::Time,
        )
        .optional()
        .least(1.0, "in less than a second no leak is judged"),
        Input::one(
            "limit",
            "most that they may fall apart",
            Kind::PressureDifference,
        )
        .optional()
        .least(0.0, SIZE),
    ],
    outputs: &[
        Output::of("apart", "left rate less right rate", Kind::PressureRate),
        Output::of("left_rate", "left rate, + is falling", Kind::PressureRate),
        Output::of("right_rate", "right rate, + is falling", Kind::PressureRate),
        Output::of(
            "apart_error",
            "standard error of the difference from scatter alone",
            Kind::PressureRate,
        ),
        Output::of(
            "fall_apart",
            "how far they fall apart over the time",
            Kind::PressureDifference,
        ),
        Output::of(
            "left_margin",
            "how much more left may fall",
            Kind::PressureDifference,
        )
        .optional(),
        Output::of(
            "right_margin",
            "how much more right may fall",
            Kind::PressureDifference,
        )
        .optional(),
    ],
    example: &[
        (
            "left",
            "0 min: 1.30 bar step 0.02 bar, 5 min: 1.28 bar step 0.02 bar, 10 min: 1.26 bar step 0.02 bar",
        ),
        (
            "right",
            "0 min: 1.32 bar step 0.02 bar, 5 min: 1.32 bar step 0.02 bar, 10 min: 1.30 bar step 0.02 bar",
        ),
        ("limit", "0.03 bar"),
    ],
    picture: None,
    work: sides,
};

fn sides(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let of = |at: usize, key: &'static str| {
        trend(|| given.instants(at).zip(given.all::<Gauge>(at)))
            .map_err(|snag| Snag::new(key, snag.why))
    };
    let (left, right) = (of(0, "left")?, of(1, "right")?);
    let shorter = left.length.si().min(right.length.si());
    let longer = left.length.si().max(right.length.si());
    if longer - shorter > LENGTHS_APART * longer {
        let cut = if left.length < right.length {
            "left"
        } else {
            "right"
        };
        return Err(Snag::new(
            cut,
            "its watch is over a tenth shorter than the other; both sides are watched over the same minutes",
        ));
    }
    let over = given.maybe(2).unwrap_or_else(|| Time::of_si(shorter));
    let apart = left.rate - right.rate;
    let error = left.rate_error.si().hypot(right.rate_error.si());
    let fall: Pressure = apart * over;
    out.set(0, apart);
    out.set(1, left.rate);
    out.set(2, right.rate);
    out.set(3, PressureRate::of_si(error));
    out.set(4, fall);
    if let Some(limit) = given.maybe::<Pressure>(3) {
        out.set(5, limit - fall);
        out.set(6, limit + fall);
    }
    Ok(())
}
