//! Differences, means and drops of readings.

use super::{CalcError, Given, Input, Sum};
use crate::quantity::{Kind, Measured, difference, drop_between, mean, swapped_difference};

/// A plain input.
const fn plain(name: &'static str) -> Input {
    Input {
        name,
        series: false,
    }
}

/// First less second.
pub(super) static DIFFERENCE: Sum = Sum {
    name: "difference",
    title: "the first reading less the second",
    formula: "a - b",
    source: "JCGM 100:2008 5.1.2; read on one instrument its limit of error cancels (5.2.2)",
    inputs: &[plain("first"), plain("second")],
    kind: difference_kind,
    work: |given| {
        let [a, b] = firsts(&DIFFERENCE, given)?;
        difference(&a, &b, same(given)).map_err(|e| mismatch(&DIFFERENCE, 1, e.found))
    },
};

/// Middle of two.
pub(super) static MEAN: Sum = Sum {
    name: "mean",
    title: "the mean of two readings",
    formula: "(a + b) / 2",
    source: "JCGM 100:2008 5.1.2; read on one instrument its limit of error stays whole (5.2.2)",
    inputs: &[plain("first"), plain("second")],
    kind: |kinds| match kinds {
        [a, b] if a == b => Ok(*a),
        [_, b] => Err(mismatch(&MEAN, 1, *b)),
        _ => Err(MEAN.miscount(kinds.len())),
    },
    work: |given| {
        let both: [Measured; 2] = firsts(&MEAN, given)?;
        match mean(&both, same(given)) {
            Ok(Some(mean)) => Ok(mean),
            Ok(None) => Err(MEAN.miscount(0)),
            Err(e) => Err(mismatch(&MEAN, 1, e.found)),
        }
    },
};

/// Left less right by two gauges swapped on the points.
pub(super) static SWAPPED_DIFFERENCE: Sum = Sum {
    name: "swapped_difference",
    title: "left less right by two gauges that were swapped on the test points",
    formula: "((left on A - right on B) + (left on B - right on A)) / 2",
    source: "common practice; both gauges' errors cancel (JCGM 100:2008 5.2.2)",
    inputs: &[
        plain("left on gauge A"),
        plain("right on gauge B"),
        plain("left on gauge B"),
        plain("right on gauge A"),
    ],
    kind: |kinds| match kinds {
        [a, rest @ ..] if rest.len() == 3 => match rest.iter().position(|k| k != a) {
            None => Ok(a.difference()),
            Some(at) => Err(mismatch(
                &SWAPPED_DIFFERENCE,
                at + 1,
                rest.get(at).copied().unwrap_or(*a),
            )),
        },
        _ => Err(SWAPPED_DIFFERENCE.miscount(kinds.len())),
    },
    work: |given| {
        let [la, rb, lb, ra] = firsts(&SWAPPED_DIFFERENCE, given)?;
        swapped_difference((&la, &rb), (&lb, &ra))
            .map_err(|e| mismatch(&SWAPPED_DIFFERENCE, 1, e.found))
    },
};

/// First point less last point of a series.
pub(super) static SERIES_DROP: Sum = Sum {
    name: "series_drop",
    title: "how far a reading fell from the first point of a watch to the last",
    formula: "first - last",
    source: "JCGM 100:2008 5.2.2: on one instrument only the resolution counts",
    inputs: &[Input {
        name: "watched reading",
        series: true,
    }],
    kind: |kinds| match kinds {
        [a] => Ok(a.difference()),
        _ => Err(SERIES_DROP.miscount(kinds.len())),
    },
    work: |given| {
        let points = given.first().map_or(&[][..], |g| &g.points);
        let (Some(first), Some(last)) = (points.first(), points.last()) else {
            return Err(SERIES_DROP.miscount(0));
        };
        drop_between(first, last).map_err(|e| mismatch(&SERIES_DROP, 0, e.found))
    },
};

fn difference_kind(kinds: &[Kind]) -> Result<Kind, CalcError> {
    match kinds {
        [a, b] if a == b => Ok(a.difference()),
        [_, b] => Err(mismatch(&DIFFERENCE, 1, *b)),
        _ => Err(DIFFERENCE.miscount(kinds.len())),
    }
}

fn mismatch(sum: &Sum, input: usize, found: Kind) -> CalcError {
    CalcError::Kind {
        sum: sum.name,
        input: sum.inputs.get(input).map_or("an input", |i| i.name),
        found,
        wanted: "the same kind as the first",
    }
}

/// The first point of each of N inputs.
fn firsts<const N: usize>(sum: &Sum, given: &[Given]) -> Result<[Measured; N], CalcError> {
    let points: Vec<Measured> = given
        .iter()
        .filter_map(|g| g.points.first().copied())
        .collect();
    let found = points.len();
    <[Measured; N]>::try_from(points).map_err(|_short| sum.miscount(found))
}

/// Whether all inputs were read with one known instrument.
fn same(given: &[Given]) -> bool {
    let mut instruments = given.iter().map(|g| g.instrument.as_deref());
    match instruments.next().flatten() {
        Some(first) => instruments.all(|i| i == Some(first)),
        None => false,
    }
}
