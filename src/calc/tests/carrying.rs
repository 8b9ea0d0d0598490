//! Uncertainty and trials against what is published of them.

use super::super::*;
use super::typed;
use crate::quantity::Measured;

fn points(given: &mut [Option<Given>], instrument: Option<&str>) {
    for point in given.iter_mut().flatten().flat_map(|given| match given {
        Given::Points(points) => points.iter_mut(),
        Given::Word(_) => [].iter_mut(),
    }) {
        point.instrument = instrument.map(str::to_owned);
    }
}

fn first(sum: &'static Sum, given: &[Option<Given>]) -> Measured {
    sum.evaluate(given).unwrap().value(0).unwrap()
}

#[test]
fn one_instrument_adds_its_error_as_often_as_it_is_read() {
    // JCGM 100:2008 5.2.2, example (from memory, very sure): ten resistors compared
    // with one standard in series have 10 times its uncertainty, not √10 times. Here
    // four lengths in a row, 0.3 mm each as a limit: 4 times and twice.
    let sum = find("tolerance_stack").unwrap();
    let length = "3 mm ± 0.3 mm";
    let mut given = typed(
        sum,
        &[
            ("block", length),
            ("squash", length),
            ("seat", length),
            ("dead_band", length),
            ("tolerance", "20 mm"),
        ],
    );
    let single = 0.000_3 / f64::sqrt(3.0);
    points(&mut given, None);
    let apart = first(sum, &given).u().si();
    assert!((apart / (2.0 * single) - 1.0).abs() < 1e-9, "{apart}");
    points(&mut given, Some("tape"));
    let together = first(sum, &given).u().si();
    assert!((together / (4.0 * single) - 1.0).abs() < 1e-9, "{together}");
}

#[test]
fn relative_uncertainties_of_a_product_add_as_squares() {
    // JCGM 100:2008 5.1.6, equation 12 (from memory, very sure): y = p·A.
    let sum = find("bellows_load").unwrap();
    let given = typed(
        sum,
        &[
            ("pressure", "5 bar ± 0.05 bar"),
            ("area", "700 cm² ± 14 cm²"),
        ],
    );
    let load = first(sum, &given);
    let share = load.u().si() / load.value().si();
    let known = f64::hypot(0.01, 0.02) / f64::sqrt(3.0);
    assert!((share / known - 1.0).abs() < 1e-9, "{share} {known}");
}

/// Half the 95 % interval of trials, and their standard deviation.
fn spread(sum: &'static Sum, given: &[Option<Given>]) -> (f64, f64) {
    let trials = sum.draw(given, 400_000, 11).unwrap();
    let drawn = trials.results.first().unwrap();
    assert_eq!(trials.refused, 0);
    (
        (drawn.high.si() - drawn.low.si()) / 2.0,
        drawn.deviation.si(),
    )
}

#[test]
fn trials_of_two_even_errors_make_a_triangle() {
    // The sum of two even distributions of half-width a is the triangle on ±2a: 95 %
    // lie within 2a(1 − √0.05) (closed form).
    let sum = find("difference").unwrap();
    let given = typed(
        sum,
        &[("first", "100 mm ± 1 mm"), ("second", "80 mm ± 1 mm")],
    );
    let (half, deviation) = spread(sum, &given);
    let known = 0.002 * (1.0 - f64::sqrt(0.05));
    assert!((half / known - 1.0).abs() < 0.005, "{half} {known}");
    let known = 0.001 * f64::sqrt(2.0 / 3.0);
    assert!(
        (deviation / known - 1.0).abs() < 0.005,
        "{deviation} {known}"
    );
}

#[test]
fn trials_of_four_even_errors_are_the_published_ones() {
    // JCGM 101:2008 9.2.3 (from memory, sure): the sum of four even errors of standard
    // uncertainty 1 each lies within ±3.88 for 95 %, where k = 1.96 says ±3.92. The
    // exact quantile of that distribution is 3.879 41 (computed from its closed form).
    // Here the four resolutions of a swap, whose result is half their sum.
    let sum = find("swapped_difference").unwrap();
    let given = typed(
        sum,
        &[
            ("left_on_a", "1.35 bar step 0.05 bar"),
            ("right_on_b", "1.20 bar step 0.05 bar"),
            ("left_on_b", "1.25 bar step 0.05 bar"),
            ("right_on_a", "1.30 bar step 0.05 bar"),
        ],
    );
    let single = 5000.0 / (2.0 * f64::sqrt(3.0));
    let (half, deviation) = spread(sum, &given);
    assert!((2.0 * half / single - 3.879_41).abs() < 0.02, "{half}");
    assert!((deviation / single - 1.0).abs() < 0.005, "{deviation}");
    assert!((first(sum, &given).u().si() / single - 1.0).abs() < 1e-9);
}

#[test]
fn what_reaches_over_the_edge_is_told_and_not_hidden() {
    // A wheelbase that may as well be refused on one side still gives a slope from
    // the other; one that can't be nudged at all is an error.
    let sum = find("pitch").unwrap();
    let given = typed(
        sum,
        &[
            ("rear_change", "15 mm ± 1 mm"),
            ("wheelbase", "3700 mm ± 1 mm"),
        ],
    );
    assert!(first(sum, &given).u().si() > 0.0);
    let none = sum.draw(&given, 0, 1).unwrap();
    assert_eq!(none.made, FEWEST_DRAWS);
}
