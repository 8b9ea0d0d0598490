//! The straight line through a pressure that was watched.
//!
//! Invariant: only differences of instants count, so any clock will do. Sums are
//! taken about the means, so that a late clock loses no digits.

use std::ops::Div;

use uom::si::f64::{Pressure, ThermodynamicTemperature, Time};

use super::SUBJECT;
use crate::calc::amount::{Absolute, Amount, Gauge};
use crate::calc::error::Snag;
use crate::calc::given::{Inputs, Outcome};
use crate::calc::sum::{Input, Output, Picture, Sum};
use crate::quantity::Kind;

/// Pressure in a time.
pub type PressureRate = <Pressure as Div<Time>>::Output;

/// Fewest readings that show a line and how well they keep to it.
const FEWEST: usize = 3;

/// The line through a watch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trend {
    /// How fast the pressure falls; − is rising.
    pub rate: PressureRate,
    /// The line at the first instant.
    pub start: Gauge,
    /// From the first instant to the last.
    pub length: Time,
    /// How far readings lie off the line: the square root of the squares' sum over
    /// (readings − 2).
    pub scatter: Pressure,
    /// Standard error of the rate, from the scatter alone.
    pub rate_error: PressureRate,
    /// Standard error of `start`, from the scatter alone.
    pub start_error: Pressure,
    /// How many readings.
    pub points: usize,
}

impl Trend {
    /// How far the line falls in a time.
    pub fn drop_over(&self, time: Time) -> Pressure {
        self.rate * time
    }

    /// What the scatter leaves open of a drop over a time: about 95 % of such
    /// watches would give a line within ± this of the true one.
    ///
    /// # Source
    /// JCGM 100:2008 G.3.2 with the degrees of freedom readings − 2.
    pub fn scatter_doubt(&self, time: Time) -> Pressure {
        self.rate_error * time * coverage(self.points.saturating_sub(2))
    }
}

/// How many standard errors hold 95 % with so many degrees of freedom; between two
/// lines of the table the greater.
///
/// # Source
/// JCGM 100:2008 Table G.2, p = 95 % (from memory, very sure; in the tests against
/// the quantiles that `SciPy` prints).
pub fn coverage(degrees: usize) -> f64 {
    const FEW: [f64; 20] = [
        12.71, 4.30, 3.18, 2.78, 2.57, 2.45, 2.36, 2.31, 2.26, 2.23, 2.20, 2.18, 2.16, 2.14, 2.13,
        2.12, 2.11, 2.10, 2.09, 2.09,
    ];
    let few = degrees.checked_sub(1).and_then(|at| FEW.get(at));
    match (few, degrees) {
        (Some(factor), _) => *factor,
        (None, 0) => f64::INFINITY,
        (None, ..25) => 2.09,
        (None, 25..30) => 2.06,
        (None, 30..35) => 2.04,
        (None, 35..40) => 2.03,
        (None, 40..45) => 2.02,
        (None, 45..100) => 2.01,
        (None, 100..) => 1.984,
    }
}

/// The line of least squares through readings with their instants. `points` gives
/// the same readings each time it is called.
///
/// # Errors
/// `watch`: fewer than three readings, or all at one instant.
///
/// # Source
/// Least squares for a line, JCGM 100:2008 H.3.2 (the example's closed form).
pub fn trend<I>(points: impl Fn() -> I) -> Result<Trend, Snag>
where
    I: Iterator<Item = (Time, Gauge)>,
{
    line(|| points().map(|(time, read)| (time.si(), read.si())))
}

/// The same with each reading brought to the temperature at the first instant:
/// p·T(first)/T(then), over vacuum, the temperature running straight from the first
/// instant to the last.
///
/// # Units
/// Readings over the air outside, whose pressure over vacuum is `outside`.
///
/// # Errors
/// As [`trend`].
///
/// # Source
/// Ideal gas at one volume (Gay-Lussac); our derivation for the course of
/// temperature.
pub fn corrected_trend<I>(
    points: impl Fn() -> I,
    outside: Absolute,
    at_first: ThermodynamicTemperature,
    at_last: ThermodynamicTemperature,
) -> Result<Trend, Snag>
where
    I: Iterator<Item = (Time, Gauge)>,
{
    let (first, last) = span(points().map(|(time, _)| time.si()));
    let (warm_k, rise_k) = (at_first.si(), at_last.si() - at_first.si());
    line(|| {
        points().map(|(time, read)| {
            let way = (time.si() - first) / (last - first);
            let then = ThermodynamicTemperature::of_si(warm_k + rise_k * way);
            let same = crate::calc::air::locked_pressure(read.over(outside), then, at_first);
            (time.si(), same.si() - outside.si())
        })
    })
}

fn span(instants: impl Iterator<Item = f64>) -> (f64, f64) {
    instants.fold((f64::INFINITY, f64::NEG_INFINITY), |(first, last), t| {
        (first.min(t), last.max(t))
    })
}

/// The line through seconds and Pa.
fn line<I>(points: impl Fn() -> I) -> Result<Trend, Snag>
where
    I: Iterator<Item = (f64, f64)>,
{
    let count = points().count();
    if count < FEWEST {
        return Err(Snag::new(
            "watch",
            "a line and its scatter need three readings",
        ));
    }
    let (first, last) = span(points().map(|(t, _)| t));
    let n = count as f64;
    let (t_sum, p_sum) = points().fold((0.0, 0.0), |(t, p), (ti, pi)| (t + (ti - first), p + pi));
    let (t_mean, p_mean) = (t_sum / n, p_sum / n);
    let (mut tt, mut tp) = (0.0, 0.0);
    for (t, p) in points() {
        let off = t - first - t_mean;
        tt += off * off;
        tp += off * (p - p_mean);
    }
    if !(tt > 0.0 && last > first) {
        return Err(Snag::new("watch", "all were read at one instant"));
    }
    let slope = tp / tt;
    let squares: f64 = points()
        .map(|(t, p)| (p - p_mean - slope * (t - first - t_mean)).powi(2))
        .sum();
    let scatter = (squares / (n - 2.0)).sqrt();
    Ok(Trend {
        rate: PressureRate::of_si(-slope),
        start: Gauge::of_si(p_mean - slope * t_mean),
        length: Time::of_si(last - first),
        scatter: Pressure::of_si(scatter),
        rate_error: PressureRate::of_si(scatter / tt.sqrt()),
        start_error: Pressure::of_si(scatter * (1.0 / n + t_mean * t_mean / tt).sqrt()),
        points: count,
    })
}

/// A watch as a line.
pub(in crate::calc) static LEAK_RATE: Sum = Sum {
    name: "leak_rate",
    subject: SUBJECT,
    title: "how fast a watched pressure falls, by the line through all readings",
    formula: &[
        "rate = − Σ(t − t mean)·(p − p mean) / Σ(t − t mean)²",
        "scatter = √(Σ(p − line)² / (readings − 2))",
        "standard error of the rate = scatter / √Σ(t − t mean)²",
        "at one temperature: p abs · T first / T(t), T straight from first to last",
        "margin = limit − rate · time",
    ],
    source: "least squares: JCGM 100:2008 H.3.2; 95 % from scatter: Table G.2 (from memory, very sure); one temperature: ideal gas at one volume",
    range: "Levelling stopped and the air settled, one gauge from first to last, the volume shut in. \
            The uncertainty beside each result comes from the instrument; what the scatter leaves open stands as results of its own. \
            The resolution counts as new in each reading: where a gauge shows the same value many times over, look at the time that it must watch instead. \
            The air in a bellows follows the air outside slowly; a line also hides a leak that stops.",
    inputs: &[
        Input::one("watch", "watched pressure", Kind::GaugePressure).series(FEWEST),
        TEMPERATURE_FIRST,
        TEMPERATURE_LAST,
        super::air::OUTSIDE,
        Input::one("over", "time that the limit is for", Kind::Time)
            .optional()
            .least(1.0, "in less than a second no leak is judged"),
        Input::one("limit", "most that it may fall", Kind::PressureDifference)
            .optional()
            .least(0.0, "a limit is a size"),
    ],
    outputs: &[
        Output::of("rate", "rate as read, + is falling", Kind::PressureRate),
        Output::of(
            "drop",
            "fall of the line over the watch, as read",
            Kind::PressureDifference,
        ),
        Output::of(
            "start",
            "the line at the first reading",
            Kind::GaugePressure,
        ),
        Output::of(
            "scatter",
            "scatter of the readings about the line",
            Kind::PressureDifference,
        ),
        Output::of(
            "rate_error",
            "standard error of the rate from scatter alone",
            Kind::PressureRate,
        ),
        Output::of(
            "corrected_rate",
            "rate at one temperature",
            Kind::PressureRate,
        )
        .optional(),
        Output::of(
            "judged_drop",
            "fall over the stated time, at one temperature where temperatures are given",
            Kind::PressureDifference,
        ),
        Output::of(
            "scatter_doubt",
            "what scatter leaves open of that fall, 95 %",
            Kind::PressureDifference,
        ),
        Output::of("margin", "limit less that fall", Kind::PressureDifference).optional(),
    ],
    example: &[
        (
            "watch",
            "0 min: 1.30 bar step 0.02 bar, 2 min: 1.30 bar step 0.02 bar, 5 min: 1.28 bar step 0.02 bar, \
             8 min: 1.28 bar step 0.02 bar, 10 min: 1.26 bar step 0.02 bar",
        ),
        ("first_temperature", "18 °C"),
        ("last_temperature", "16 °C"),
        ("over", "10 min"),
        ("limit", "0.05 bar"),
    ],
    picture: Some(Picture::Trace),
    work: leak_rate,
};

const YARD_K: (f64, f64) = (223.15, 353.15);
const YARD: &str = "air in a shop or yard is between −50 and 80 °C";

const TEMPERATURE_FIRST: Input = Input::one(
    "first_temperature",
    "air temperature at the first reading",
    Kind::Temperature,
)
.optional()
.within(YARD_K.0, YARD_K.1, YARD);

const TEMPERATURE_LAST: Input = Input::one(
    "last_temperature",
    "air temperature at the last reading",
    Kind::Temperature,
)
.optional()
.within(YARD_K.0, YARD_K.1, YARD);

fn leak_rate(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let points = || given.instants(0).zip(given.all::<Gauge>(0));
    let read = trend(points)?;
    let outside = super::air::outside(given, 3);
    let corrected = match (given.maybe(1), given.maybe(2)) {
        (Some(first), Some(last)) => Some(corrected_trend(points, outside, first, last)?),
        (None, None) => None,
        (Some(_), None) => {
            return Err(Snag::new(
                "last_temperature",
                "the first temperature is given, so the last is needed too",
            ));
        }
        (None, Some(_)) => {
            return Err(Snag::new(
                "first_temperature",
                "the last temperature is given, so the first is needed too",
            ));
        }
    };
    let judged = corrected.unwrap_or(read);
    let over = given.maybe(4).unwrap_or(read.length);
    let drop = judged.drop_over(over);
    out.set(0, read.rate);
    out.set(1, read.drop_over(read.length));
    out.set(2, read.start);
    out.set(3, read.scatter);
    out.set(4, read.rate_error);
    if let Some(corrected) = corrected {
        out.set(5, corrected.rate);
    }
    out.set(6, drop);
    out.set(7, judged.scatter_doubt(over));
    if let Some(limit) = given.maybe::<Pressure>(5) {
        out.set(8, limit - drop);
    }
    Ok(())
}
