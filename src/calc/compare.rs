//! Differences, means and drops of readings.

use super::given::{Inputs, Outcome};
use super::sum::{Gives, Input, Output, Picture, Sum, Takes};

const ANY: Takes = Takes::AnyOf(&[]);
const SUBJECT: &str = "readings against each other";

/// First less second.
pub(super) static DIFFERENCE: Sum = Sum {
    name: "difference",
    subject: SUBJECT,
    title: "the first reading less the second",
    formula: &["first − second"],
    source: "JCGM 100:2008 5.1.2; read with one instrument its limit of error cancels (5.2.2)",
    range: "readings of one kind",
    inputs: &[
        Input::taking("first", "first reading", ANY),
        Input::taking("second", "second reading", Takes::Like(0)),
    ],
    outputs: &[Output::giving(
        "difference",
        "difference",
        Gives::ChangeOf(0),
    )],
    example: &[("first", "1.30 bar"), ("second", "1.25 bar")],
    picture: None,
    work: |given, out| {
        out.set(0, given.get::<f64>(0) - given.get::<f64>(1));
        Ok(())
    },
};

/// Middle of two.
pub(super) static MEAN: Sum = Sum {
    name: "mean",
    subject: SUBJECT,
    title: "the mean of two readings",
    formula: &["(first + second) / 2"],
    source: "JCGM 100:2008 5.1.2; read with one instrument its limit of error stays whole (5.2.2)",
    range: "readings of one kind",
    inputs: &[
        Input::taking("first", "first reading", ANY),
        Input::taking("second", "second reading", Takes::Like(0)),
    ],
    outputs: &[Output::giving("mean", "mean", Gives::Like(0))],
    example: &[("first", "191 mm"), ("second", "188 mm")],
    picture: None,
    work: |given, out| {
        out.set(0, f64::midpoint(given.get(0), given.get(1)));
        Ok(())
    },
};

/// Left less right by two gauges swapped on the points.
pub(super) static SWAPPED_DIFFERENCE: Sum = Sum {
    name: "swapped_difference",
    subject: SUBJECT,
    title: "left less right by two gauges that were swapped on the test points",
    formula: &["((left on A − right on B) + (left on B − right on A)) / 2"],
    source: "common practice; both gauges' errors cancel (JCGM 100:2008 5.2.2)",
    range: "four readings of one kind, the pressure the same before the swap and after it",
    inputs: &[
        Input::taking("left_on_a", "left on gauge A", ANY).shared('A'),
        Input::taking("right_on_b", "right on gauge B", Takes::Like(0)).shared('B'),
        Input::taking("left_on_b", "left on gauge B", Takes::Like(0)).shared('B'),
        Input::taking("right_on_a", "right on gauge A", Takes::Like(0)).shared('A'),
    ],
    outputs: &[Output::giving(
        "difference",
        "left less right",
        Gives::ChangeOf(0),
    )],
    example: &[
        ("left_on_a", "1.35 bar"),
        ("right_on_b", "1.20 bar"),
        ("left_on_b", "1.25 bar"),
        ("right_on_a", "1.30 bar"),
    ],
    picture: None,
    work: |given, out| {
        let before = given.get::<f64>(0) - given.get::<f64>(1);
        let after = given.get::<f64>(2) - given.get::<f64>(3);
        out.set(0, f64::midpoint(before, after));
        Ok(())
    },
};

/// First point less last point of a series.
pub(super) static SERIES_DROP: Sum = Sum {
    name: "series_drop",
    subject: SUBJECT,
    title: "how far a reading fell from the first point of a watch to the last",
    formula: &["first − last"],
    source: "JCGM 100:2008 5.2.2: on one instrument only the resolution counts",
    range: "a watch of two readings or more on one instrument",
    inputs: &[Input::taking("watch", "watched reading", ANY).series(2)],
    outputs: &[Output::giving("drop", "fall", Gives::ChangeOf(0))],
    example: &[("watch", "0 min: 1.30 bar, 10 min: 1.28 bar")],
    picture: Some(Picture::Trace),
    work: drop,
};

fn drop(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), super::Snag> {
    let mut points = given.all::<f64>(0);
    let first = points.next();
    if let (Some(first), Some(last)) = (first, points.last()) {
        out.set(0, first - last);
    }
    Ok(())
}
