//! What sums and their inputs say when they can't be used.

use levelhand::calc::{CalcError, Misentry};
use levelhand::quantity::{Kind, Quantity, Unit, read, read_literal};

pub(super) fn refused() -> Vec<CalcError> {
    let length = |mm: f64| Quantity::new(mm, Unit::Millimetre, Kind::Length).unwrap();
    vec![
        CalcError::Inputs {
            sum: "difference",
            wanted: 2,
            found: 3,
        },
        CalcError::Missing {
            sum: "difference",
            input: "second",
            wanted: "the same kind as the first".to_owned(),
        },
        CalcError::Kind {
            sum: "difference",
            input: "second",
            found: "an absolute pressure".to_owned(),
            wanted: "the same kind as the first".to_owned(),
        },
        CalcError::Points {
            sum: "series_drop",
            input: "watch",
            wanted: 2,
            most: usize::MAX,
            found: 1,
        },
        CalcError::Points {
            sum: "floor_plane",
            input: "heights",
            wanted: 4,
            most: 8,
            found: 9,
        },
        CalcError::Instants {
            sum: "series_drop",
            input: "watch",
        },
        CalcError::Range {
            sum: "pitch",
            input: "wheelbase",
            found: length(10.0),
            least: Some(length(1000.0)),
            most: Some(length(20_000.0)),
            why: "the axles of a truck stand that far apart",
        },
        CalcError::Refused {
            sum: "floor_plane",
            input: "along",
            found: "0 mm, 0 mm, 0 mm, 0 mm".to_owned(),
            why: "all points lie on one line",
        },
        CalcError::Edge {
            sum: "driveline",
            input: "slope",
        },
        CalcError::NoNumber {
            sum: "mean",
            output: "mean",
        },
    ]
}

pub(super) fn misentries() -> Vec<Misentry> {
    let no_length = read_literal("190", Kind::Length).unwrap_err();
    let no_doubt = read("0,1x bar", Kind::PressureDifference, Unit::Bar).unwrap_err();
    let no_time = read_literal("ten min", Kind::Time).unwrap_err();
    vec![
        Misentry::Value(no_length),
        Misentry::Doubt(no_doubt),
        Misentry::Time(no_time),
        Misentry::NoTime {
            typed: "1.28 bar".to_owned(),
        },
        Misentry::Many {
            typed: "191 mm, 192 mm".to_owned(),
        },
        Misentry::NotLater {
            time: Quantity::new(5.0, Unit::Minute, Kind::Time).unwrap(),
            before: Quantity::new(10.0, Unit::Minute, Kind::Time).unwrap(),
        },
        Misentry::SomeDoubt {
            typed: "191 mm".to_owned(),
        },
        Misentry::Word {
            typed: "twisted".to_owned(),
            known: &["in_phase", "crossed"],
        },
    ]
}
