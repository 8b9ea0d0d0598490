//! What is known of an instrument: span, error limit, resolution, calibration,
//! and the uncertainty that follows.
//!
//! Invariants: the span is not empty, all values are of the kind that the
//! instrument reads (resolution and absolute limit of its difference kind),
//! resolution and limit are not negative. Today is always an input.

use super::day::Day;
use super::error_limit::ErrorLimit;
use super::kind::{Kind, System};
use super::measured::Measured;
use super::unit::Unit;
use super::value::{KindError, Quantity, order};
use super::verdict::COVERAGE;
use std::cmp::Ordering;
use std::fmt;

/// What is known of an instrument.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Metrology {
    span_low: Quantity,
    span_high: Quantity,
    limit: ErrorLimit,
    resolution: Quantity,
    due: Option<Day>,
    zero_found: Option<Quantity>,
}

/// Why these values describe no instrument.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NotAnInstrument {
    /// A value is of another kind.
    Kind(KindError),
    /// The low end of the span is not under the high end.
    EmptySpan,
    /// The resolution is not over zero.
    Resolution,
    /// The error limit is negative or no number.
    Limit,
}

impl fmt::Display for NotAnInstrument {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NotAnInstrument::Kind(error) => error.fmt(out),
            NotAnInstrument::EmptySpan => {
                out.write_str("the low end of the span must be under the high end")
            }
            NotAnInstrument::Resolution => out.write_str("the resolution must be over zero"),
            NotAnInstrument::Limit => {
                out.write_str("the error limit must be a number, zero or more")
            }
        }
    }
}

impl std::error::Error for NotAnInstrument {}

impl From<KindError> for NotAnInstrument {
    fn from(error: KindError) -> NotAnInstrument {
        NotAnInstrument::Kind(error)
    }
}

/// What an instrument shows when there is nothing to measure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ZeroCheck {
    /// Exactly zero.
    Clean,
    /// Off by up to half the error limit: noted, and not subtracted.
    Noted {
        /// What it shows.
        found: Quantity,
        /// Half the error limit, of the difference kind.
        allowed: Quantity,
    },
    /// Off by more: the instrument is not used.
    Refused {
        /// What it shows.
        found: Quantity,
        /// Half the error limit, of the difference kind.
        allowed: Quantity,
    },
}

impl ZeroCheck {
    /// What people read, without a full stop.
    pub fn sentence_in(&self, unit: Unit) -> String {
        match self {
            ZeroCheck::Clean => "zero is right".to_owned(),
            ZeroCheck::Noted { found, allowed } => format!(
                "shows {} at zero: noted, not subtracted (up to {} is)",
                found.show_plain(unit),
                allowed.show_plain(unit)
            ),
            ZeroCheck::Refused { found, allowed } => format!(
                "shows {} at zero, over {}: use another instrument",
                found.show_plain(unit),
                allowed.show_plain(unit)
            ),
        }
    }
}

impl Metrology {
    /// An instrument from `low` to `high`, wrong by up to `limit`, read to
    /// `resolution` (the smallest step that is read, of the difference kind).
    ///
    /// # Errors
    /// Kinds that do not match, an empty span, a resolution of zero, a limit
    /// under zero.
    pub fn new(
        low: Quantity,
        high: Quantity,
        limit: ErrorLimit,
        resolution: Quantity,
    ) -> Result<Metrology, NotAnInstrument> {
        let step = low.kind().difference();
        if low.compare(high)? != Ordering::Less {
            return Err(NotAnInstrument::EmptySpan);
        }
        if resolution.of_kind(step)?.si() <= 0.0 {
            return Err(NotAnInstrument::Resolution);
        }
        let amount = match limit {
            ErrorLimit::Class(percent) | ErrorLimit::OfReading(percent) => percent,
            ErrorLimit::Grade(_) => 0.0,
            ErrorLimit::Absolute(limit) => limit.of_kind(step)?.si(),
        };
        if !amount.is_finite() || amount < 0.0 {
            return Err(NotAnInstrument::Limit);
        }
        Ok(Metrology {
            span_low: low,
            span_high: high,
            limit,
            resolution,
            due: None,
            zero_found: None,
        })
    }

    /// With the last day of its calibration.
    #[must_use]
    pub fn with_due(self, due: Day) -> Metrology {
        Metrology {
            due: Some(due),
            ..self
        }
    }

    /// With what it showed when there was nothing to measure.
    ///
    /// # Errors
    /// It must be of the kind that the instrument reads.
    pub fn with_zero_found(self, found: Quantity) -> Result<Metrology, KindError> {
        let found = found.of_kind(self.kind())?;
        Ok(Metrology {
            zero_found: Some(found),
            ..self
        })
    }

    /// The kind it reads.
    pub fn kind(&self) -> Kind {
        self.span_low.kind()
    }

    /// The low end of the scale.
    pub fn span_low(&self) -> Quantity {
        self.span_low
    }

    /// The high end of the scale.
    pub fn span_high(&self) -> Quantity {
        self.span_high
    }

    /// How far it may be wrong.
    pub fn limit(&self) -> ErrorLimit {
        self.limit
    }

    /// The smallest step that is read.
    pub fn resolution(&self) -> Quantity {
        self.resolution
    }

    /// The last day of its calibration.
    pub fn due(&self) -> Option<Day> {
        self.due
    }

    /// What it showed when there was nothing to measure.
    pub fn zero_found(&self) -> Option<Quantity> {
        self.zero_found
    }

    /// Whether its calibration ran out before today; unknown counts as not
    /// known to be overdue.
    pub fn overdue(&self, today: Day) -> bool {
        self.due.is_some_and(|due| due < today)
    }

    /// Whether the value is on the scale, ends included.
    pub fn covers(&self, value: Quantity) -> Result<bool, KindError> {
        Ok(value.compare(self.span_low)? != Ordering::Less
            && value.compare(self.span_high)? != Ordering::Greater)
    }

    /// The error limit where it shows `value`, of the difference kind.
    pub fn limit_at(&self, value: Quantity) -> Result<Quantity, KindError> {
        let at = value.of_kind(self.kind())?.si();
        Ok(Quantity::raw(self.limit_si(at), self.kind().difference()))
    }

    /// Standard uncertainty of one reading at `value`: root of a²/3 + d²/12
    /// with the error limit a and the resolution d, both rectangular.
    ///
    /// # Source
    /// JCGM 100:2008 4.3.7 and F.2.2.1.
    pub fn standard_uncertainty(&self, value: Quantity) -> Result<Quantity, KindError> {
        let at = value.of_kind(self.kind())?.si();
        Ok(Quantity::raw(self.u_si(at), self.kind().difference()))
    }

    /// Standard uncertainty from the resolution d alone: d/(2√3).
    ///
    /// # Source
    /// JCGM 100:2008 F.2.2.1.
    pub fn resolution_uncertainty(&self) -> Quantity {
        Quantity::raw(self.fresh_si(), self.kind().difference())
    }

    /// A reading of it, with its uncertainty.
    pub fn reading(&self, value: Quantity) -> Result<Measured, KindError> {
        let step = self.kind().difference();
        let repeated = self.limit_at(value)?.si() / 3.0_f64.sqrt();
        Measured::of_parts(
            value,
            Quantity::raw(repeated, step),
            self.resolution_uncertainty(),
        )
    }

    /// Judges what it shows when there is nothing to measure: up to half the
    /// error limit is noted and not subtracted, beyond it the instrument is
    /// refused. A limit of no size there (percent of reading) counts as one
    /// step of the resolution.
    ///
    /// # Source
    /// Common practice.
    pub fn zero_check(&self, found: Quantity) -> Result<ZeroCheck, KindError> {
        let off = found.of_kind(self.kind())?.si().abs();
        let at_zero = match self.limit {
            ErrorLimit::OfReading(_) => 2.0 * self.resolution.si(),
            ErrorLimit::Class(_) | ErrorLimit::Grade(_) | ErrorLimit::Absolute(_) => {
                self.limit_si(0.0)
            }
        };
        let allowed = Quantity::raw(at_zero / 2.0, self.kind().difference());
        Ok(if off == 0.0 {
            ZeroCheck::Clean
        } else if order(off, allowed.si(), off) == Ordering::Greater {
            ZeroCheck::Refused { found, allowed }
        } else {
            ZeroCheck::Noted { found, allowed }
        })
    }

    /// What people read: `0 bar to 10 bar, class 1, read to 0.05 bar`.
    pub fn sentence(&self, system: System) -> String {
        self.sentence_in(self.kind().shown(system))
    }

    /// The same in a unit of choice.
    pub fn sentence_in(&self, unit: Unit) -> String {
        let due = self
            .due
            .map_or_else(String::new, |day| format!(", calibrated until {day}"));
        format!(
            "{} to {}, {}, read to {}{due}",
            self.span_low.show_plain(unit),
            self.span_high.show_plain(unit),
            self.limit.sentence_in(unit),
            self.resolution.show_plain(unit),
        )
    }

    fn span_si(&self) -> f64 {
        self.span_high.si() - self.span_low.si()
    }

    fn limit_si(&self, at: f64) -> f64 {
        let span = self.span_si();
        match self.limit {
            ErrorLimit::Class(percent) => percent / 100.0 * span,
            ErrorLimit::Grade(grade) => {
                grade.percent_at((at - self.span_low.si()) / span) / 100.0 * span
            }
            ErrorLimit::Absolute(limit) => limit.si(),
            ErrorLimit::OfReading(percent) => percent / 100.0 * at.abs(),
        }
    }

    fn fresh_si(&self) -> f64 {
        self.resolution.si() / (2.0 * 3.0_f64.sqrt())
    }

    fn u_si(&self, at: f64) -> f64 {
        (self.limit_si(at) / 3.0_f64.sqrt()).hypot(self.fresh_si())
    }
}

/// The highest value that a reading of this instrument may show and still be
/// proved, by the guarded rule, to be at most `limit`: y + 2 u(y) = limit.
/// Nothing if no reading on its scale can.
///
/// # Errors
/// The limit must be of the kind that the instrument reads.
///
/// # Source
/// ILAC-G8:09/2019 4.2.3, acceptance limit = limit − U; our derivation where u
/// depends on the reading (each part of the scale on its own, by bisection).
pub fn highest_provable(
    limit: Quantity,
    instrument: &Metrology,
) -> Result<Option<Quantity>, KindError> {
    let limit = limit.of_kind(instrument.kind())?.si();
    let low = instrument.span_low.si();
    let span = instrument.span_si();
    let proved = |y: f64| y + COVERAGE * instrument.u_si(y) <= limit;
    let step = |share: f64| low + share * span;
    // Within each part y + 2 u rises with y, so the proved values of a part are
    // all of it up to one point. The parts' ends are tried a hair inside.
    let hair = 1e-9;
    let parts = [
        (step(0.75), step(1.0)),
        (step(0.25 + hair), step(0.75 - hair)),
        (step(0.0), step(0.25)),
    ];
    let best = parts
        .into_iter()
        .find_map(|(from, to)| highest_in(from, to, &proved));
    Ok(best.map(|y| Quantity::raw(y, instrument.kind())))
}

/// The highest value of a part that is proved, if its lowest is.
fn highest_in(from: f64, to: f64, proved: &impl Fn(f64) -> bool) -> Option<f64> {
    if proved(to) {
        return Some(to);
    }
    if !proved(from) {
        return None;
    }
    let (mut good, mut bad) = (from, to);
    for _ in 0..100 {
        let middle = f64::midpoint(good, bad);
        if proved(middle) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    Some(good)
}
