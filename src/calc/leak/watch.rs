//! How long a gauge must watch before it can tell.
//!
//! A fall is the first reading less the last, on one gauge. Its limit of error
//! cancels; each reading is rounded to the step d, so u = √2·d/(2√3) and
//! U = 2u = 0.816 d, however long the watch. What may fall grows with the time. A
//! guarded verdict needs |limit − fall| ≥ U: for a leak of the rate r against a
//! limit of the rate L
//!
//! - possible from t = U/|L − r|: the true fall, were it read exactly, is U away
//!   from the limit. With no leak at all (r = 0) both readings are the same, so this
//!   is sharp;
//! - sure from t = (U + d)/|L − r|: two readings are off by at most d/2 each, so no
//!   rounding can spoil it.
//!
//! To tell a leak of the rate r from none is the same with L = 0.

use uom::si::f64::{Pressure, Ratio, Time};

use super::SUBJECT;
use super::trend::PressureRate;
use crate::calc::amount::Amount;
use crate::calc::error::Snag;
use crate::calc::given::{Inputs, Outcome};
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::{COVERAGE, Kind};

#[cfg(test)]
mod tests;

/// The expanded uncertainty of a fall read with this step, first less last.
///
/// # Source
/// JCGM 100:2008 F.2.2.1 (d/(2√3) for a rounded reading), 5.1.2, 6.3.3 (k = 2).
pub fn drop_doubt(step: Pressure) -> Pressure {
    step * (COVERAGE * 2_f64.sqrt() / (2.0 * 3_f64.sqrt()))
}

/// The shortest watch that can give a verdict; `gap` is how far the leak's rate is
/// from the limit's.
///
/// # Source
/// Our derivation, at the head of this file.
pub fn time_possible(step: Pressure, gap: PressureRate) -> Time {
    Time::of_si(drop_doubt(step).si() / gap.si().abs())
}

/// The shortest watch that gives a verdict however the readings are rounded.
///
/// # Source
/// Our derivation, at the head of this file.
pub fn time_sure(step: Pressure, gap: PressureRate) -> Time {
    Time::of_si((drop_doubt(step) + step).si() / gap.si().abs())
}

const SOMETHING: &str = "falls smaller than the limit by U";
const NOTHING: &str = "nothing";

/// How long to watch.
pub(in crate::calc) static WATCH_TIME: Sum = Sum {
    name: "watch_time",
    subject: SUBJECT,
    title: "how long this gauge must watch to be able to tell",
    formula: &[
        "U of a fall = 2 · √2 · step / (2√3) = 0.816 · step",
        "limit rate = limit / time; gap = limit rate · |1 − share|",
        "verdict possible from U / gap, sure from (U + step) / gap",
        "a leak told from none: possible from U / leak, sure from (U + step) / leak",
    ],
    source: "JCGM 100:2008 F.2.2.1 and 6.3.3; ILAC-G8:09/2019 4.2.3 (guard band U); the times are our derivation",
    range: "First reading less last on one gauge, its pointer or figures read to the step, nothing else moving. \
            With no leak the time for a verdict is sharp. Readings in between help little while the pointer stands on one step. \
            Where U is over the limit, this gauge proves nothing in the limit's time, not even that there is no leak.",
    inputs: &[
        Input::one(
            "step",
            "smallest step that is read on the gauge",
            Kind::PressureDifference,
        )
        .least(1.0, "every gauge is read in steps"),
        Input::one("limit", "most that it may fall", Kind::PressureDifference)
            .least(1.0, "with no fall allowed nothing can be proved"),
        Input::one("over", "time that the limit is for", Kind::Time)
            .least(1.0, "in less than a second no leak is judged"),
        Input::one(
            "share",
            "true leak as a share of the limit (none if left out)",
            Kind::Ratio,
        )
        .optional()
        .least(0.0, "a leak is a size"),
        Input::one(
            "leak",
            "rate of a leak that is to be told from none",
            Kind::PressureRate,
        )
        .optional()
        .least(1e-3, "a leak of nothing can't be told from none"),
    ],
    outputs: &[
        Output::of("possible", "a verdict is possible from", Kind::Time),
        Output::of("sure", "a verdict is sure from", Kind::Time),
        Output::of(
            "doubt",
            "U of a fall on this gauge (k = 2)",
            Kind::PressureDifference,
        ),
        Output::of(
            "provable",
            "most that can be proved within, over the limit's time",
            Kind::PressureDifference,
        )
        .optional(),
        Output::of("leak_possible", "that leak can be told from", Kind::Time).optional(),
        Output::of("leak_sure", "that leak is surely told from", Kind::Time).optional(),
        Output::word(
            "proof",
            "what this gauge can prove in the limit's time",
            &[SOMETHING, NOTHING],
        ),
    ],
    example: &[
        ("step", "0.02 bar"),
        ("limit", "0.05 bar"),
        ("over", "10 min"),
        ("leak", "0.005 bar/min"),
    ],
    picture: None,
    work: watch_time,
};

fn watch_time(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let step = given.get::<Pressure>(0);
    let limit = given.get::<Pressure>(1);
    let share = given.maybe::<Ratio>(3).map_or(0.0, Amount::si);
    let gap = limit / given.get::<Time>(2) * (1.0 - share);
    if gap.si() == 0.0 {
        return Err(Snag::new(
            "share",
            "a leak that is just the limit is never told from it; take a smaller or a greater share",
        ));
    }
    out.set(0, time_possible(step, gap));
    out.set(1, time_sure(step, gap));
    out.set(2, drop_doubt(step));
    let provable = limit - drop_doubt(step);
    if provable.si() < 0.0 {
        out.say(6, NOTHING);
    } else {
        out.set(3, provable);
        out.say(6, SOMETHING);
    }
    if let Some(leak) = given.maybe::<PressureRate>(4) {
        out.set(4, time_possible(step, leak));
        out.set(5, time_sure(step, leak));
    }
    Ok(())
}
