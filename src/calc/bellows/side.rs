//! Left against right, and gauges against what they are used for.

use uom::si::f64::{Pressure, Ratio};

use super::SUBJECT;
use crate::calc::amount::{Amount, Gauge};
use crate::calc::error::Snag;
use crate::calc::given::{Inputs, Outcome};
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

/// What is known against a gauge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GaugeDoubt {
    /// How far it may be wrong, either way.
    pub limit: Pressure,
    /// The smallest step that is read.
    pub step: Pressure,
}

/// How steady a pressure is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pulse {
    /// Steady.
    Steady,
    /// Going up and down.
    Fluctuating,
}

impl Pulse {
    /// How much of the scale it may use, at most.
    ///
    /// # Source
    /// EN 837-2:1997 (from memory, very sure): 75 % steady, 65 % fluctuating.
    pub fn most_share(self) -> Ratio {
        Ratio::of_si(match self {
            Self::Steady => 0.75,
            Self::Fluctuating => 0.65,
        })
    }
}

/// The limits of error of two gauges added up: a difference up to this may be all
/// theirs.
///
/// # Source
/// Worst case, our derivation.
pub fn limits_added(first: GaugeDoubt, second: GaugeDoubt) -> Pressure {
    first.limit + second.limit
}

/// Expanded uncertainty (k = 2) of a difference read with two gauges, one a side:
/// 2 √(a₁²/3 + a₂²/3 + d₁²/12 + d₂²/12) with the limits a and the steps d.
///
/// # Source
/// JCGM 100:2008 4.3.7, F.2.2.1, 5.1.2.
pub fn two_gauge_uncertainty(first: GaugeDoubt, second: GaugeDoubt) -> Pressure {
    let square =
        |gauge: GaugeDoubt| gauge.limit.si().powi(2) / 3.0 + gauge.step.si().powi(2) / 12.0;
    Pressure::of_si(2.0 * (square(first) + square(second)).sqrt())
}

/// Expanded uncertainty (k = 2) of the mean of two differences, the gauges swapped
/// between: the limits of error cancel, the steps of four readings stay:
/// 2 √((d₁² + d₂²) / 24).
///
/// # Source
/// JCGM 100:2008 5.2.2 and F.2.2.1; our derivation.
pub fn swapped_uncertainty(first_step: Pressure, second_step: Pressure) -> Pressure {
    let squares = first_step.si().powi(2) + second_step.si().powi(2);
    Pressure::of_si(2.0 * (squares / 24.0).sqrt())
}

/// Whether a difference is more than what the gauges may make of nothing.
pub fn differs_really(difference: Pressure, doubt: Pressure) -> bool {
    difference.si().abs() > doubt.si()
}

/// How much of its scale a gauge uses.
pub fn working_share(pressure: Gauge, full_scale: Gauge) -> Ratio {
    pressure.0 / full_scale.0
}

const REAL: &str = "real";
const UNSURE: &str = "may be the gauges";
const FINDINGS: &[&str] = &[REAL, UNSURE];
const NO_LESS: &str = "a limit or a step has no sign";

fn finding(difference: Pressure, doubt: Pressure) -> &'static str {
    if differs_really(difference, doubt) {
        REAL
    } else {
        UNSURE
    }
}

const fn doubt(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::PressureDifference).least(0.0, NO_LESS)
}

const DIFFERENCE: Output = Output::of("difference", "left less right", Kind::PressureDifference);

/// Left less right with two gauges.
pub(in crate::calc) static SIDE_DIFFERENCE: Sum = Sum {
    name: "side_difference",
    subject: SUBJECT,
    title: "whether left and right really differ, read with one gauge a side",
    formula: &[
        "difference = left − right",
        "limits added = limit of the left gauge + limit of the right gauge",
        "U (k = 2) = 2 × √(a₁²/3 + a₂²/3 + d₁²/12 + d₂²/12), limits a and steps d",
    ],
    source: "JCGM 100:2008 4.3.7, F.2.2.1; limits added: worst case, our derivation",
    range: "two gauges that err on their own. One gauge plugged left, then right, or the gauges swapped, tells far more",
    inputs: &[
        Input::one("left", "left bellows pressure", Kind::GaugePressure),
        Input::one("right", "right bellows pressure", Kind::GaugePressure),
        doubt("left_limit", "limit of error of the left gauge"),
        doubt("right_limit", "limit of error of the right gauge"),
        doubt("left_step", "smallest step read on the left gauge").optional(),
        doubt("right_step", "smallest step read on the right gauge").optional(),
    ],
    outputs: &[
        DIFFERENCE,
        Output::of(
            "limits_added",
            "both limits added",
            Kind::PressureDifference,
        ),
        Output::word("by_limits", "by the limits added", FINDINGS),
        Output::of(
            "expanded",
            "U (k = 2) of the difference",
            Kind::PressureDifference,
        ),
        Output::word("by_uncertainty", "by U (k = 2)", FINDINGS),
    ],
    example: &[
        ("left", "1.35 bar"),
        ("right", "1.20 bar"),
        ("left_limit", "0.1 bar"),
        ("right_limit", "0.1 bar"),
        ("left_step", "0.05 bar"),
        ("right_step", "0.05 bar"),
    ],
    picture: None,
    work: two_gauges,
};

fn two_gauges(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let difference = given.get::<Pressure>(0) - given.get::<Pressure>(1);
    let gauge = |limit: usize, step: usize| GaugeDoubt {
        limit: given.get(limit),
        step: given.maybe(step).unwrap_or(Pressure::of_si(0.0)),
    };
    let (left, right) = (gauge(2, 4), gauge(3, 5));
    let (added, expanded) = (
        limits_added(left, right),
        two_gauge_uncertainty(left, right),
    );
    out.set(0, difference);
    out.set(1, added);
    out.say(2, finding(difference, added));
    out.set(3, expanded);
    out.say(4, finding(difference, expanded));
    Ok(())
}

/// Left less right with the gauges swapped.
pub(in crate::calc) static SIDE_DIFFERENCE_SWAPPED: Sum = Sum {
    name: "side_difference_swapped",
    subject: SUBJECT,
    title: "whether left and right really differ, the two gauges swapped between",
    formula: &[
        "difference = ((left on A − right on B) + (left on B − right on A)) / 2",
        "A over B = ((left on A − left on B) + (right on A − right on B)) / 2",
        "U (k = 2) = 2 × √((dA² + dB²) / 24), steps d",
    ],
    source: "JCGM 100:2008 5.2.2 and F.2.2.1; our derivation: each gauge's error is once in each side and cancels",
    range: "the pressures are the same before the swap and after it; one gauge with both marks (plugged left, then right) does as well",
    inputs: &[
        Input::one("left_on_a", "left on gauge A", Kind::GaugePressure).shared('A'),
        Input::one("right_on_b", "right on gauge B", Kind::GaugePressure).shared('B'),
        Input::one("left_on_b", "left on gauge B", Kind::GaugePressure).shared('B'),
        Input::one("right_on_a", "right on gauge A", Kind::GaugePressure).shared('A'),
        doubt("step_a", "smallest step read on gauge A"),
        doubt("step_b", "smallest step read on gauge B"),
    ],
    outputs: &[
        DIFFERENCE,
        Output::of(
            "expanded",
            "U (k = 2) of the difference",
            Kind::PressureDifference,
        ),
        Output::word("by_uncertainty", "by U (k = 2)", FINDINGS),
        Output::of(
            "a_over_b",
            "how much gauge A shows over gauge B",
            Kind::PressureDifference,
        ),
    ],
    example: &[
        ("left_on_a", "1.35 bar"),
        ("right_on_b", "1.20 bar"),
        ("left_on_b", "1.25 bar"),
        ("right_on_a", "1.30 bar"),
        ("step_a", "0.05 bar"),
        ("step_b", "0.05 bar"),
    ],
    picture: None,
    work: swapped_gauges,
};

fn swapped_gauges(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let read = |at| given.get::<Pressure>(at);
    let (left_a, right_b, left_b, right_a) = (read(0), read(1), read(2), read(3));
    let difference = ((left_a - right_b) + (left_b - right_a)) / 2.0;
    let expanded = swapped_uncertainty(read(4), read(5));
    out.set(0, difference);
    out.set(1, expanded);
    out.say(2, finding(difference, expanded));
    out.set(3, ((left_a - left_b) + (right_a - right_b)) / 2.0);
    Ok(())
}

/// The scale of a gauge against the pressure it is for.
pub(in crate::calc) static GAUGE_RANGE: Sum = Sum {
    name: "gauge_range",
    subject: SUBJECT,
    title: "whether a gauge's scale fits the pressure that it is to read",
    formula: &[
        "share = pressure / end of scale",
        "steady: at most 75 % of the scale; fluctuating: at most 65 %",
    ],
    source: "EN 837-2:1997 (from memory, very sure)",
    range: "gauges whose scale begins at zero; room is the part of the scale that is left, + is good",
    inputs: &[
        Input::one("pressure", "pressure to be read", Kind::GaugePressure)
            .least(0.0, "the scale begins at zero"),
        Input::one(
            "full_scale",
            "end of the gauge's scale",
            Kind::GaugePressure,
        )
        .least(1e3, "a scale ends over zero, at least at 0.01 bar"),
        Input::word(
            "pulse",
            "how steady the pressure is",
            &["steady", "fluctuating"],
        ),
    ],
    outputs: &[
        Output::of("share", "share of the scale in use", Kind::Ratio),
        Output::of("limit", "most that may be in use", Kind::Ratio),
        Output::of("margin", "room", Kind::Ratio),
        Output::of(
            "most",
            "highest pressure for this gauge",
            Kind::GaugePressure,
        ),
    ],
    example: &[
        ("pressure", "7.5 bar"),
        ("full_scale", "10 bar"),
        ("pulse", "steady"),
    ],
    picture: None,
    work: |given, out| {
        let full_scale: Gauge = given.get(1);
        let pulse = if given.word(2) == "fluctuating" {
            Pulse::Fluctuating
        } else {
            Pulse::Steady
        };
        let (share, limit) = (working_share(given.get(0), full_scale), pulse.most_share());
        out.set(0, share);
        out.set(1, limit);
        out.set(2, limit - share);
        out.set(3, Gauge(full_scale.0 * limit));
        Ok(())
    },
};
