//! A value with its uncertainty, and what becomes of it in differences and means.
//!
//! Invariant: uncertainties are of the difference kind, never negative. The
//! part of an uncertainty that an instrument repeats (its error limit) is kept
//! apart from the part that is new in each reading (its resolution), because
//! only the first cancels. Clauses of JCGM 100:2008 (the GUM) are cited from
//! memory, very sure; the sums are computed in the tests.

use super::kind::Kind;
use super::show::places_for;
use super::unit::Unit;
use super::value::{KindError, Quantity};
use super::verdict::COVERAGE;

/// A value and its standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    value: Quantity,
    /// Standard uncertainty that the instrument repeats, SI.
    repeated: f64,
    /// Standard uncertainty that is new in each reading, SI.
    fresh: f64,
}

impl Measured {
    /// A value with one standard uncertainty of all sources; nothing of it
    /// cancels later.
    ///
    /// # Errors
    /// `u` must be of the difference kind of the value.
    pub fn new(value: Quantity, u: Quantity) -> Result<Measured, KindError> {
        Measured::of_parts(value, Quantity::zero(value.kind().difference()), u)
    }

    /// A value taken as exact: a literal, a sheet value.
    pub fn exact(value: Quantity) -> Measured {
        Measured {
            value,
            repeated: 0.0,
            fresh: 0.0,
        }
    }

    /// A value whose standard uncertainty is known in its two parts: what the
    /// instrument repeats in each reading, and what is new in each.
    ///
    /// # Errors
    /// Both parts must be of the difference kind of the value.
    pub fn of_parts(
        value: Quantity,
        repeated: Quantity,
        fresh: Quantity,
    ) -> Result<Measured, KindError> {
        let wanted = value.kind().difference();
        let repeated = repeated.of_kind(wanted)?.si().abs();
        let fresh = fresh.of_kind(wanted)?.si().abs();
        Ok(Measured {
            value,
            repeated,
            fresh,
        })
    }

    /// The value.
    pub fn value(&self) -> Quantity {
        self.value
    }

    /// The kind of the value.
    pub fn kind(&self) -> Kind {
        self.value.kind()
    }

    /// The standard uncertainty, of the difference kind.
    ///
    /// # Source
    /// JCGM 100:2008 5.1.2: root of the sum of squares.
    pub fn u(&self) -> Quantity {
        self.part(self.repeated.hypot(self.fresh))
    }

    /// The expanded uncertainty U = 2 u, of the difference kind.
    ///
    /// # Source
    /// JCGM 100:2008 6.2.1, k = 2.
    pub fn expanded(&self) -> Quantity {
        self.part(COVERAGE * self.repeated.hypot(self.fresh))
    }

    /// The part of the standard uncertainty that the instrument repeats.
    pub fn u_repeated(&self) -> Quantity {
        self.part(self.repeated)
    }

    /// The part of the standard uncertainty that is new in each reading.
    pub fn u_fresh(&self) -> Quantity {
        self.part(self.fresh)
    }

    /// What people read: "1.30 bar (U 0.12 bar, k 2)"; two digits of U decide
    /// how many decimals are shown.
    pub fn sentence_in(&self, unit: Unit) -> String {
        let places = places_for(self.expanded(), unit);
        let value = self.value.show_in_words(unit, places);
        format!(
            "{value} (U {}, k {COVERAGE})",
            self.expanded().show_some(unit, places)
        )
    }

    /// As [`Measured::sentence_in`], the value in one more unit too:
    /// "0.05 bar = 5 kPa (U 0.17 bar, k 2)".
    pub fn echo_in(&self, unit: Unit) -> String {
        let places = self.places(unit);
        format!(
            "{} (U {}, k {COVERAGE})",
            self.value.echo(unit, places),
            self.expanded().show_some(unit, places)
        )
    }

    /// As [`Measured::sentence_in`], with a sign instead of words.
    pub fn figure_in(&self, unit: Unit) -> String {
        let places = self.places(unit);
        format!(
            "{} (U {}, k {COVERAGE})",
            self.value.show(unit, places),
            self.expanded().show_some(unit, places)
        )
    }

    /// Decimals of the value that its uncertainty leaves a meaning.
    pub fn places(&self, unit: Unit) -> u8 {
        places_for(self.expanded(), unit)
    }

    fn part(&self, amount: f64) -> Quantity {
        Quantity::raw(amount, self.kind().difference())
    }
}

/// One reading less another.
///
/// Read on the same instrument, its error limit cancels and only the two
/// resolutions are left; on two instruments everything counts.
///
/// # Errors
/// Both must be of one kind; the result is of its difference kind.
///
/// # Source
/// JCGM 100:2008 5.1.2 (independent) and 5.2.2 note 1 (fully correlated).
pub fn difference(
    from: &Measured,
    less: &Measured,
    same_instrument: bool,
) -> Result<Measured, KindError> {
    let value = from.value.less(less.value)?;
    let repeated = if same_instrument {
        (from.repeated - less.repeated).abs()
    } else {
        from.repeated.hypot(less.repeated)
    };
    Ok(Measured {
        value,
        repeated,
        fresh: from.fresh.hypot(less.fresh),
    })
}

/// How far a reading fell on one instrument: before less after.
///
/// # Errors
/// Both must be of one kind.
pub fn drop_between(before: &Measured, after: &Measured) -> Result<Measured, KindError> {
    difference(before, after, true)
}

/// The mean of readings, or nothing for no readings.
///
/// Read on the same instrument, its error limit stays whole in the mean; on as
/// many instruments as readings it shrinks with their root. The fresh parts are
/// taken as independent: the instrument is lifted and read afresh each time.
///
/// # Errors
/// All must be of one kind.
///
/// # Source
/// JCGM 100:2008 5.1.2 (independent) and 5.2.2 note 1 (fully correlated).
pub fn mean(readings: &[Measured], same_instrument: bool) -> Result<Option<Measured>, KindError> {
    let Some(first) = readings.first() else {
        return Ok(None);
    };
    let count = readings.len() as f64;
    let (mut sum, mut repeated, mut repeated_squares, mut fresh_squares) = (0.0, 0.0, 0.0, 0.0);
    for reading in readings {
        sum += reading.value.of_kind(first.kind())?.si();
        repeated += reading.repeated;
        repeated_squares += reading.repeated * reading.repeated;
        fresh_squares += reading.fresh * reading.fresh;
    }
    let repeated = if same_instrument {
        repeated
    } else {
        f64::sqrt(repeated_squares)
    };
    Ok(Some(Measured {
        value: Quantity::raw(sum / count, first.kind()),
        repeated: repeated / count,
        fresh: fresh_squares.sqrt() / count,
    }))
}

/// Left less right by two gauges that were swapped on the test points: the mean
/// of left less right before the swap and after it.
///
/// `before` is (left on gauge a, right on gauge b), `after` is (left on gauge b,
/// right on gauge a). Both gauges' errors cancel; four resolutions are left.
///
/// # Errors
/// All four must be of one kind.
///
/// # Source
/// Common practice (swapping), with JCGM 100:2008 5.2.2: with the errors e of a
/// and b, ((L + ea) - (R + eb) + (L + eb) - (R + ea)) / 2 = L - R.
pub fn swapped_difference(
    before: (&Measured, &Measured),
    after: (&Measured, &Measured),
) -> Result<Measured, KindError> {
    let first = difference(before.0, before.1, false)?;
    let second = difference(after.0, after.1, false)?;
    // An error limit that differs along the scale does not cancel whole.
    let left_over_a = (before.0.repeated - after.1.repeated).abs();
    let left_over_b = (before.1.repeated - after.0.repeated).abs();
    Ok(Measured {
        value: Quantity::raw(
            f64::midpoint(first.value.si(), second.value.si()),
            first.kind(),
        ),
        repeated: left_over_a.hypot(left_over_b) / 2.0,
        fresh: first.fresh.hypot(second.fresh) / 2.0,
    })
}
