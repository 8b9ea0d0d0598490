//! The registry as a whole: names, examples, uncertainty against what is known.

mod carrying;

use std::collections::BTreeSet;

use super::*;
use crate::quantity::{Kind, Measured, Quantity};

/// The inputs of a sum's example.
pub(super) fn example(sum: &'static Sum) -> Vec<Option<Given>> {
    typed(sum, sum.example)
}

/// Inputs as they are typed.
pub(super) fn typed(sum: &'static Sum, pairs: &[(&str, &str)]) -> Vec<Option<Given>> {
    let mut given: Vec<Option<Given>> = Vec::new();
    for (key, _) in pairs {
        assert!(sum.input(key).is_some(), "{} has no input {key}", sum.name);
    }
    for input in sum.inputs {
        let text = pairs.iter().find(|(key, _)| *key == input.key);
        let like = like_kind(input, &given);
        given.push(text.map(|(_, text)| {
            read_entry(input, text, like, None)
                .unwrap_or_else(|e| panic!("{} {}: {e}", sum.name, input.key))
        }));
    }
    given
}

#[test]
fn names_are_told_apart_and_fit_documents() {
    let fits = |name: &str| {
        name.starts_with(|c: char| c.is_ascii_lowercase())
            && name.len() < 48
            && name
                .chars()
                .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
    };
    let mut names = BTreeSet::new();
    for sum in REGISTRY {
        assert!(fits(sum.name) && names.insert(sum.name), "{}", sum.name);
        let mut inputs = BTreeSet::new();
        for input in sum.inputs {
            assert!(
                fits(input.key) && inputs.insert(input.key),
                "{} {}",
                sum.name,
                input.key
            );
        }
        let mut outputs = BTreeSet::new();
        for output in sum.outputs {
            assert!(
                fits(output.key) && outputs.insert(output.key),
                "{} {}",
                sum.name,
                output.key
            );
        }
        assert!(!sum.outputs.is_empty(), "{}", sum.name);
    }
}

#[test]
fn every_sum_tells_formula_source_and_range() {
    for sum in REGISTRY {
        for text in [sum.subject, sum.title, sum.source, sum.range] {
            assert!(text.len() > 3, "{}", sum.name);
        }
        assert!(!sum.formula.is_empty(), "{}", sum.name);
        for input in sum.inputs {
            let like_is_earlier = match input.takes {
                Takes::Like(at) => sum.inputs.get(at).is_some_and(|i| i.key != input.key),
                Takes::Is(_) | Takes::AnyOf(_) | Takes::Word(_) => true,
            };
            assert!(
                like_is_earlier && !input.title.is_empty(),
                "{} {}",
                sum.name,
                input.key
            );
            if input.least.is_some() || input.most.is_some() {
                assert!(
                    !input.why.is_empty(),
                    "{} {} has a bound without a why",
                    sum.name,
                    input.key
                );
            }
        }
    }
}

#[test]
fn every_example_comes_out() {
    for sum in REGISTRY {
        let found = sum.evaluate(&example(sum));
        assert!(found.is_ok(), "{}: {}", sum.name, found.unwrap_err());
    }
}

#[test]
fn every_bound_refuses_what_lies_over_it() {
    for sum in REGISTRY {
        let inputs = example(sum);
        for (at, input) in sum.inputs.iter().enumerate() {
            let Some(Given::Points(points)) = inputs.get(at).and_then(Option::as_ref) else {
                continue;
            };
            let kind = points[0].measured.kind();
            let size = |si: f64| si.abs().max(1e-3);
            let beyond = [
                input.least.map(|si| si - 1e-6 * size(si)),
                input.most.map(|si| si + 1e-6 * size(si)),
            ];
            for si in beyond.into_iter().flatten() {
                let Ok(value) = Quantity::from_si(si, kind) else {
                    continue;
                };
                let mut worse = inputs.clone();
                let mut points = points.clone();
                points[0].measured = Measured::exact(value);
                worse[at] = Some(Given::Points(points));
                let found = sum.evaluate(&worse);
                assert!(
                    matches!(found, Err(CalcError::Range { input: key, .. }) if key == input.key),
                    "{} {}: {found:?}",
                    sum.name,
                    input.key
                );
            }
        }
    }
}

#[test]
fn a_missing_input_is_named_with_what_it_should_be() {
    let sum = find("mean").unwrap();
    let mut inputs = example(sum);
    inputs[1] = None;
    let said = sum.evaluate(&inputs).unwrap_err().to_string();
    assert_eq!(
        said,
        "the sum mean needs second: the same kind as the first"
    );
}

#[test]
fn kinds_settle_by_what_the_other_input_is() {
    let sum = find("difference").unwrap();
    let offer = |kinds: &[Kind]| {
        Some(Offer {
            kinds: kinds.to_vec(),
            words: Vec::new(),
            count: Some(1),
        })
    };
    // "3 mm" may be a length or a tread depth; the second input decides.
    let settled = sum
        .settle(&[
            offer(&[Kind::Length, Kind::TreadDepth]),
            offer(&[Kind::TreadDepth]),
        ])
        .unwrap();
    assert_eq!(settled, [Some(Kind::TreadDepth), Some(Kind::TreadDepth)]);
    assert_eq!(sum.result_kind(0, &settled), Some(Kind::TreadDepth));
    assert!(
        sum.settle(&[offer(&[Kind::Length]), offer(&[Kind::Mass])])
            .is_err()
    );
}

#[test]
fn uncertainty_is_that_of_the_closed_forms() {
    use crate::quantity::{difference, mean, swapped_difference};
    let point = |bar: f64, instrument: &str| {
        let kind = Kind::GaugePressure;
        let value = Quantity::from_si(bar * 1e5, kind).unwrap();
        let part = |si: f64| Quantity::from_si(si, kind.difference()).unwrap();
        let measured = Measured::of_parts(value, part(5.8e3), part(1.4e3)).unwrap();
        Point {
            measured,
            instrument: Some(instrument.to_owned()),
            second: None,
        }
    };
    let given = |points: &[Point]| -> Vec<Option<Given>> {
        points
            .iter()
            .map(|p| Some(Given::Points(vec![p.clone()])))
            .collect()
    };
    let close = |found: Measured, known: Measured| {
        let near =
            |a: Quantity, b: Quantity| (a.si() - b.si()).abs() <= 1e-9 * b.si().abs().max(1.0);
        assert!(near(found.value(), known.value()), "{found:?} {known:?}");
        assert!(
            near(found.u_repeated(), known.u_repeated()),
            "{found:?} {known:?}"
        );
        assert!(
            near(found.u_fresh(), known.u_fresh()),
            "{found:?} {known:?}"
        );
    };
    for (a, b, same) in [("g1", "g1", true), ("g1", "g2", false)] {
        let points = [point(1.35, a), point(1.2, b)];
        let found = find("difference")
            .unwrap()
            .evaluate(&given(&points))
            .unwrap();
        let known = difference(&points[0].measured, &points[1].measured, same).unwrap();
        close(found.value(0).unwrap(), known);
        let found = find("mean").unwrap().evaluate(&given(&points)).unwrap();
        let both = [points[0].measured, points[1].measured];
        close(found.value(0).unwrap(), mean(&both, same).unwrap().unwrap());
    }
    let swap = [
        point(1.35, "a"),
        point(1.2, "b"),
        point(1.25, "b"),
        point(1.3, "a"),
    ];
    let found = find("swapped_difference")
        .unwrap()
        .evaluate(&given(&swap))
        .unwrap();
    let m: Vec<Measured> = swap.iter().map(|p| p.measured).collect();
    let known = swapped_difference((&m[0], &m[1]), (&m[2], &m[3])).unwrap();
    close(found.value(0).unwrap(), known);
}

#[test]
fn trials_agree_with_first_order_where_a_sum_is_linear() {
    let sum = find("difference").unwrap();
    let inputs = typed(
        sum,
        &[
            ("first", "1.35 bar ± 0.1 bar step 0.05 bar"),
            ("second", "1.20 bar ± 0.1 bar step 0.05 bar"),
        ],
    );
    let first_order = sum.evaluate(&inputs).unwrap().value(0).unwrap().u().si();
    let trials = sum.draw(&inputs, 200_000, 7).unwrap();
    let drawn = trials.results[0].deviation.si();
    assert!(
        (drawn / first_order - 1.0).abs() < 0.01,
        "{drawn} {first_order}"
    );
    assert_eq!(trials, sum.draw(&inputs, 200_000, 7).unwrap());
}
