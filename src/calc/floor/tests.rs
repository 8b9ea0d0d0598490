//! Published limits, known closed forms, planes that were made and must be found again.
//!
//! IDs are those of the list of check values; a tag says how sure each is: R read in a
//! public copy, C worked out apart from this program.

mod flatness;
mod wheels;

use proptest::prelude::*;

use super::*;
use crate::calc::tests::{example, typed};
use crate::calc::{CalcError, Evaluation, REGISTRY, Sum};
use crate::quantity::System;

fn mm(value: f64) -> Length {
    Length::of_si(value * 1e-3)
}

fn m(value: f64) -> Length {
    Length::of_si(value)
}

fn in_mm(length: Length) -> f64 {
    length.si() * 1e3
}

/// Rise in mm on a metre of run.
fn mm_per_m(slope: Slope) -> f64 {
    slope.si().tan() * 1e3
}

/// Places in metres, heights in millimetres.
fn spots(read: &[(f64, f64, f64)]) -> Vec<Spot> {
    let spot = |&(along, across, height): &(f64, f64, f64)| Spot {
        along: m(along),
        across: m(across),
        height: mm(height),
    };
    read.iter().map(spot).collect()
}

fn close(found: f64, wanted: f64, tolerance: f64) {
    assert!((found - wanted).abs() <= tolerance, "{found} {wanted}");
}

fn evaluate(sum: &'static Sum, pairs: &[(&str, &str)]) -> Evaluation {
    sum.evaluate(&typed(sum, pairs))
        .unwrap_or_else(|e| panic!("{e}"))
}

fn si(found: &Evaluation, sum: &'static Sum, key: &str) -> f64 {
    let at = sum.output(key).unwrap();
    found.value(at).unwrap().value().si()
}

fn u(found: &Evaluation, sum: &'static Sum, key: &str) -> f64 {
    let at = sum.output(key).unwrap();
    found.value(at).unwrap().u().si()
}

const CORNERS: &[(f64, f64, f64)] = &[
    (0.0, 0.0, 0.0),
    (3.7, 0.0, 3.0),
    (0.0, 2.0, 2.0),
    (3.7, 2.0, 7.0),
];

#[test]
fn the_plane_through_four_corners_is_the_published_one() {
    // 11.8 (C, least squares).
    let spots = spots(CORNERS);
    let fit = fit_plane(&spots).unwrap();
    close(in_mm(fit.plane.offset), -0.5, 1e-5);
    close(mm_per_m(fit.plane.along), 1.08108, 1e-5);
    close(mm_per_m(fit.plane.across), 1.5, 1e-5);
    for (spot, residual) in spots.iter().zip([0.5, -0.5, -0.5, 0.5]) {
        close(in_mm(over_plane(*spot, fit.plane)), residual, 1e-5);
    }
    close(in_mm(fit.rms), 0.5, 1e-5);
    close(in_mm(fit.largest), 0.5, 1e-5);
    // 11.9 (C, closed form).
    close(in_mm(fit.twist.unwrap()), 0.5, 1e-9);
    // With four points the places alone say how the residuals are shared.
    assert_eq!(fit.worst, None);
}

#[test]
fn the_published_plane_comes_through_the_registry() {
    // 11.8, 11.9 (C).
    let sum = &FLOOR_PLANE;
    let found = evaluate(
        sum,
        &[
            ("along", "0 m, 3.7 m, 0 m, 3.7 m"),
            ("across", "0 m, 0 m, 2 m, 2 m"),
            ("height", "0 mm, 3 mm, 2 mm, 7 mm"),
        ],
    );
    close(si(&found, sum, "slope_along").tan() * 1e3, 1.08108, 1e-5);
    close(si(&found, sum, "slope_across").tan() * 1e3, 1.5, 1e-5);
    close(si(&found, sum, "offset") * 1e3, -0.5, 1e-5);
    close(si(&found, sum, "rms") * 1e3, 0.5, 1e-5);
    close(si(&found, sum, "twist") * 1e3, 0.5, 1e-9);
    assert_eq!(found.text(sum.output("worst").unwrap()), None);
}

/// Five points, solved apart in exact fractions (C).
const FIVE: &[(f64, f64, f64)] = &[
    (0.0, 0.92, 0.0),
    (0.0, -0.92, 2.0),
    (3.7, 1.02, 5.0),
    (3.7, -1.02, 4.0),
    (1.8, 0.1, 7.0),
];

#[test]
fn five_points_agree_with_a_solution_in_fractions() {
    let fit = fit_plane(&spots(FIVE)).unwrap();
    close(in_mm(fit.plane.offset), 1.885_145_720_9, 1e-9);
    close(mm_per_m(fit.plane.along), 0.933_354_968_4, 1e-9);
    close(mm_per_m(fit.plane.across), -0.125_943_140_5, 1e-9);
    close(in_mm(fit.rms), 1.855_331_280_2, 1e-9);
    close(in_mm(fit.largest), 3.447_409_649_98, 1e-9);
    close(in_mm(fit.twist.unwrap()), 0.792_090_483_6, 1e-9);
    assert_eq!(fit.worst, Some(4));
}

#[test]
fn six_wheels_agree_with_a_solution_in_fractions() {
    let six = spots(&[
        (0.0, 0.92, 1.0),
        (0.0, -0.92, 3.0),
        (3.7, 1.02, 6.0),
        (3.7, -1.02, 4.0),
        (5.05, 0.92, 2.0),
        (5.05, -0.92, -1.0),
    ]);
    let fit = fit_plane(&six).unwrap();
    close(in_mm(fit.plane.offset), 2.681_336_096_6, 1e-9);
    close(mm_per_m(fit.plane.along), -0.062_172_376_0, 1e-9);
    close(mm_per_m(fit.plane.across), 0.541_489_828_8, 1e-9);
    close(in_mm(fit.rms), 2.152_188_694_8, 1e-9);
    close(in_mm(fit.twist.unwrap()), 1.398_620_300_2, 1e-9);
    assert_eq!(fit.worst, Some(2));
}

#[test]
fn the_worst_point_is_told_through_the_registry() {
    let sum = &FLOOR_PLANE;
    let found = evaluate(
        sum,
        &[
            ("along", "0 m, 0 m, 3.7 m, 3.7 m, 1.8 m"),
            ("across", "0.92 m, -0.92 m, 1.02 m, -1.02 m, 0.1 m"),
            ("height", "0 mm, 2 mm, 5 mm, 4 mm, 7 mm"),
        ],
    );
    assert_eq!(found.text(sum.output("worst").unwrap()), Some("fifth"));
}

#[test]
fn points_that_do_not_pair_up_are_refused_by_name() {
    let four = "0 m, 3.7 m, 0 m, 3.7 m";
    let five = "0 m, 3.7 m, 0 m, 3.7 m, 2 m";
    for (along, across, height, named) in [
        (five, four, five, "across"),
        (four, five, four, "across"),
        (four, "0 m, 0 m, 2 m, 2 m", five, "height"),
        (five, "0 m, 0 m, 2 m, 2 m, 1 m", four, "height"),
    ] {
        let given = typed(
            &FLOOR_PLANE,
            &[("along", along), ("across", across), ("height", height)],
        );
        let found = FLOOR_PLANE.evaluate(&given);
        assert!(
            matches!(found, Err(CalcError::Refused { input, .. }) if input == named),
            "{found:?}"
        );
    }
}

#[test]
fn three_or_nine_points_are_refused() {
    for count in [3, 9] {
        let many = vec!["1 m"; count].join(", ");
        let pairs = [
            ("along", many.as_str()),
            ("across", many.as_str()),
            ("height", many.as_str()),
        ];
        let found = FLOOR_PLANE.evaluate(&typed(&FLOOR_PLANE, &pairs));
        assert!(
            matches!(found, Err(CalcError::Points { found, .. }) if found == count),
            "{found:?}"
        );
    }
}

#[test]
fn points_on_one_line_are_refused_whichever_way_it_runs() {
    for (read, blamed) in [
        ([(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (3.0, 0.0)], "across"),
        ([(0.0, 0.0), (0.0, 1.0), (0.0, 2.0), (0.0, 3.0)], "along"),
        ([(0.0, 0.0), (1.0, 0.7), (2.0, 1.4), (3.0, 2.1)], "across"),
        // A line but for the width of a chalk mark.
        (
            [(0.0, 0.0), (1.0, 0.005), (2.0, 0.0), (3.0, 0.005)],
            "across",
        ),
        (
            [(0.0, 0.0), (0.005, 1.0), (0.0, 2.0), (0.005, 3.0)],
            "along",
        ),
        ([(1.0, 1.0), (1.0, 1.0), (1.0, 1.0), (1.0, 1.0)], "along"),
    ] {
        let read: Vec<_> = read.iter().map(|(x, y)| (*x, *y, 1.0)).collect();
        let refused = fit_plane(&spots(&read)).unwrap_err();
        assert_eq!(refused.input, blamed, "{read:?}");
    }
    // A narrow bay that is none.
    let narrow = spots(&[
        (0.0, 0.0, 1.0),
        (3.0, 0.0, 1.0),
        (0.0, 0.2, 1.0),
        (3.0, 0.2, 1.0),
    ]);
    assert!(fit_plane(&narrow).is_ok());
}

#[test]
fn places_that_can_not_show_a_twist_give_none() {
    let diamond = spots(&[
        (1.0, 0.0, 1.0),
        (-1.0, 0.0, 2.0),
        (0.0, 1.0, 3.0),
        (0.0, -1.0, 4.0),
    ]);
    assert_eq!(fit_plane(&diamond).unwrap().twist, None);
}

#[test]
fn the_order_of_the_points_changes_nothing() {
    let mut turned = spots(FIVE);
    let fit = fit_plane(&turned).unwrap();
    for _ in 0..5 {
        turned.rotate_left(1);
        let again = fit_plane(&turned).unwrap();
        close(in_mm(again.twist.unwrap()), in_mm(fit.twist.unwrap()), 1e-9);
        close(in_mm(again.rms), in_mm(fit.rms), 1e-9);
        close(mm_per_m(again.plane.along), mm_per_m(fit.plane.along), 1e-9);
    }
}

#[test]
fn one_wheel_off_agrees_with_a_solution_in_fractions() {
    // Trapezoid of the demo tractor's tracks, solved apart (C).
    let read = spots(&[
        (0.0, 0.92, 0.0),
        (0.0, -0.92, 2.0),
        (3.7, 1.02, 3.0),
        (3.7, -1.02, 4.0),
    ]);
    let off = off_the_others(&[read[0], read[1], read[2], read[3]]).unwrap();
    let wanted = [
        -1.098_039_215_7,
        1.098_039_215_7,
        1.217_391_304_3,
        -1.217_391_304_3,
    ];
    for (off, wanted) in off.into_iter().zip(wanted) {
        close(in_mm(off), wanted, 1e-9);
    }
    let found = evaluate(&WHEEL_OFF, WHEEL_OFF.example);
    close(si(&found, &WHEEL_OFF, "off") * 1e3, 1.217_391_304_3, 1e-9);
    close(
        si(&found, &WHEEL_OFF, "first") * 1e3,
        -1.098_039_215_7,
        1e-9,
    );
}

#[test]
fn on_a_rectangle_one_wheel_off_is_four_twists() {
    // Closed form of 11.9 (C): z00 − z10 − z01 + z11.
    let read = spots(CORNERS);
    let off = off_the_others(&[read[0], read[1], read[2], read[3]]).unwrap();
    for (off, sign) in off.into_iter().zip([1.0, -1.0, -1.0, 1.0]) {
        close(in_mm(off), sign * 2.0, 1e-9);
    }
}

#[test]
fn one_wheel_off_refuses_three_on_a_line() {
    let read = spots(&[
        (0.0, 0.0, 0.0),
        (1.0, 0.0, 0.0),
        (2.0, 0.0, 0.0),
        (1.0, 2.0, 0.0),
    ]);
    let refused = off_the_others(&[read[0], read[1], read[2], read[3]]).unwrap_err();
    assert_eq!(refused.input, "across");
    let turned = read.iter().map(|spot| Spot {
        along: spot.across,
        across: spot.along,
        ..*spot
    });
    let read: Vec<Spot> = turned.collect();
    let refused = off_the_others(&[read[0], read[1], read[2], read[3]]).unwrap_err();
    assert_eq!(refused.input, "along");
}

#[test]
fn ranges_end_in_one_full_stop_and_sources_in_none() {
    let subjects = [
        "the floor",
        "how the truck stands",
        "leak-down",
        "battery and support",
        "tyres",
    ];
    for subject in subjects {
        let mut sums = REGISTRY.iter().filter(|s| s.subject == subject).peekable();
        assert!(sums.peek().is_some(), "{subject}");
        for sum in sums {
            let range = sum.range;
            assert!(range.ends_with('.') && !range.ends_with(".."), "{range}");
            assert!(!sum.source.ends_with('.'), "{}", sum.name);
        }
    }
}

/// A result as people read it.
fn said(sum: &'static Sum, pairs: &[(&str, &str)], key: &str) -> String {
    let at = sum.output(key).unwrap();
    let found = evaluate(sum, pairs);
    sum.outputs[at].say(&found.value(at).unwrap(), System::Metric, 2)
}

#[test]
fn slopes_across_are_no_nose_up_and_all_are_in_workshop_units() {
    let plane = [
        ("along", "0 m, 4 m, 0 m, 4 m"),
        ("across", "0 m, 0 m, 2 m, 2 m"),
        ("height", "0 mm, 4 mm, -3 mm, 1 mm"),
    ];
    assert_eq!(said(&FLOOR_PLANE, &plane, "slope_across"), "-1.50 mm/m");
    let along = said(&FLOOR_PLANE, &plane, "slope_along");
    assert!(
        along.contains("1.00 mm/m") && along.contains("nose up"),
        "{along}"
    );
    let wheels = [
        ("front_left", "400 mm"),
        ("front_right", "397 mm"),
        ("rear_left", "404 mm"),
        ("rear_right", "401 mm"),
        ("wheelbase", "4 m"),
        ("track_front", "2 m"),
        ("track_rear", "2 m"),
        ("counted", "down"),
    ];
    assert_eq!(said(&FLOOR_WHEELS, &wheels, "slope_across"), "-1.50 mm/m");
    let along = said(&FLOOR_WHEELS, &wheels, "slope_along");
    assert!(
        along.contains("1.00 mm/m") && along.contains("nose up"),
        "{along}"
    );
    let bay = [("first", "0 mm"), ("second", "-3 mm"), ("distance", "2 m")];
    for (key, text) in [
        ("slope", "-0.15 %"),
        ("limit", "0.10 %"),
        ("margin", "-0.05 %"),
    ] {
        assert_eq!(said(&LAMP_BAY, &bay, key), text, "{key}");
    }
}

#[test]
fn a_size_that_loses_its_sign_is_told_in_the_range() {
    for sum in [&FLOOR_SAG, &LAMP_BAY] {
        assert!(sum.range.contains("corner at nothing"), "{}", sum.name);
    }
    // And it is so: at nothing the margin can only fall, whichever way the reading was off.
    let pairs = [
        ("first", "0 mm"),
        ("second", "0 mm step 1 mm"),
        ("distance", "1 m"),
    ];
    let trials = LAMP_BAY.draw(&typed(&LAMP_BAY, &pairs), 10_000, 5).unwrap();
    let margin = trials.results.last().unwrap();
    assert!(margin.mean.si() < 0.001 - 0.0001, "{margin:?}");
}

#[test]
fn a_frame_is_not_ten_metres_high() {
    let mut pairs = FLOOR_CORRECTION.example.to_vec();
    pairs[0].1 = "8.06 m";
    let found = FLOOR_CORRECTION.evaluate(&typed(&FLOOR_CORRECTION, &pairs));
    assert!(
        matches!(
            found,
            Err(CalcError::Range {
                input: "height",
                ..
            })
        ),
        "{found:?}"
    );
}

#[test]
fn one_level_for_all_readings_leaves_the_slope_certain() {
    // JCGM 100 5.2.2: what the level repeats lifts all points alike.
    let sum = &FLOOR_PLANE;
    let height = "0 mm ± 2 mm, 3 mm ± 2 mm, 2 mm ± 2 mm, 7 mm ± 2 mm";
    let pairs = [
        ("along", "0 m, 3.7 m, 0 m, 3.7 m"),
        ("across", "0 m, 0 m, 2 m, 2 m"),
        ("height", height),
    ];
    let found = evaluate(sum, &pairs);
    close(u(&found, sum, "slope_along"), 0.0, 1e-12);
    close(u(&found, sum, "offset") * 1e3, 2.0 / 3.0_f64.sqrt(), 1e-9);
    close(u(&found, sum, "twist"), 0.0, 1e-12);
}

#[test]
fn what_is_new_in_each_reading_is_carried_as_the_closed_form_has_it() {
    // u(b) = u / √Σ(x − x̄)², u(twist) = u / 2 for four corners (C).
    let sum = &FLOOR_PLANE;
    let step = "0 mm step 1 mm, 3 mm step 1 mm, 2 mm step 1 mm, 7 mm step 1 mm";
    let pairs = [
        ("along", "0 m, 3.7 m, 0 m, 3.7 m"),
        ("across", "0 m, 0 m, 2 m, 2 m"),
        ("height", step),
    ];
    let found = evaluate(sum, &pairs);
    let reading = 1e-3 / 12.0_f64.sqrt();
    close(u(&found, sum, "slope_along"), reading / 3.7, 1e-9);
    close(u(&found, sum, "twist"), reading / 2.0, 1e-9);
    let trials = sum.draw(&typed(sum, &pairs), 100_000, 5).unwrap();
    let drawn = trials.results[0].deviation.si();
    assert!((drawn / (reading / 3.7) - 1.0).abs() < 0.01, "{drawn}");
}

#[test]
fn four_wheels_with_their_signs_keep_their_uncertainty_at_nothing() {
    // Where the largest is nothing, first order can't see it; the signed ones can.
    let sum = &WHEEL_OFF;
    let step = "0 mm step 1 mm, 0 mm step 1 mm, 0 mm step 1 mm, 0 mm step 1 mm";
    let pairs = [
        ("along", "0 m, 0 m, 4 m, 4 m"),
        ("across", "1 m, -1 m, 1 m, -1 m"),
        ("height", step),
    ];
    let found = evaluate(sum, &pairs);
    // off = z − z − z + z of four readings: u = 2 × u of one (C).
    close(u(&found, sum, "first"), 2.0 * 1e-3 / 12.0_f64.sqrt(), 1e-9);
}

#[test]
fn a_place_under_the_plane_takes_height_off() {
    // By hand: plane 1 + 0.3 × 2 − 0.4 × 1 = 1.2 mm at the place, floor 0 mm there.
    let sum = &FLOOR_CORRECTION;
    let pairs = [
        ("height", "806 mm"),
        ("floor", "0 mm"),
        ("along", "300 mm"),
        ("across", "400 mm"),
        ("offset", "1 mm"),
        ("slope_along", "2 mm/m"),
        ("slope_across", "-1 mm/m"),
    ];
    let found = evaluate(sum, &pairs);
    close(si(&found, sum, "plane") * 1e3, 1.2, 1e-9);
    close(si(&found, sum, "correction") * 1e3, -1.2, 1e-9);
    close(si(&found, sum, "corrected") * 1e3, 804.8, 1e-9);
    close(si(&found, sum, "over_level") * 1e3, 806.0, 1e-9);
}

#[test]
fn every_example_of_the_floor_gives_a_main_result() {
    for sum in [&FLOOR_PLANE, &WHEEL_OFF, &FLOOR_CORRECTION, &FLOOR_SAG] {
        let found = sum.evaluate(&example(sum)).unwrap();
        assert!(found.value(0).is_some(), "{}", sum.name);
    }
}

fn plane() -> impl Strategy<Value = Plane> {
    (-0.05..0.05_f64, -0.02..0.02_f64, -0.02..0.02_f64).prop_map(|(offset, along, across)| Plane {
        offset: m(offset),
        along: Slope(Angle::of_si(along)),
        across: Slope(Angle::of_si(across)),
    })
}

/// Four to eight places about the wheels of a truck.
fn places() -> impl Strategy<Value = Vec<(f64, f64)>> {
    let corner = |x: f64, y: f64| (x - 0.3..x + 0.3, y - 0.3..y + 0.3);
    let more = prop::collection::vec((-1.0..6.0_f64, -1.2..1.2_f64), 0..=4);
    let four = (
        corner(0.0, 0.9),
        corner(0.0, -0.9),
        corner(3.7, 1.0),
        corner(3.7, -1.0),
    );
    (four, more).prop_map(|((a, b, c, d), more)| {
        let mut places = vec![a, b, c, d];
        places.extend(more);
        places
    })
}

fn on(plane: &Plane, places: &[(f64, f64)]) -> Vec<Spot> {
    let spot = |&(x, y): &(f64, f64)| Spot {
        along: m(x),
        across: m(y),
        // Written out, not taken from the plane's own function.
        height: m(plane.offset.si() + x * plane.along.si().tan() + y * plane.across.si().tan()),
    };
    places.iter().map(spot).collect()
}

/// How many random cases: few, or as many as `LEVELHAND_CASES` asks for.
#[expect(
    clippy::disallowed_methods,
    reason = "only a test asks how long to look"
)]
fn cases() -> ProptestConfig {
    let asked = std::env::var("LEVELHAND_CASES").ok();
    let cases = asked.and_then(|cases| cases.parse().ok()).unwrap_or(128);
    ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn a_plane_is_found_again_and_its_points_need_no_correction(
        plane in plane(), places in places()
    ) {
        let spots = on(&plane, &places);
        let fit = fit_plane(&spots).unwrap();
        prop_assert!((fit.plane.offset - plane.offset).si().abs() < 1e-12);
        prop_assert!((fit.plane.along.si() - plane.along.si()).abs() < 1e-12);
        prop_assert!((fit.plane.across.si() - plane.across.si()).abs() < 1e-12);
        prop_assert!(fit.largest.si() < 1e-12 && fit.rms.si() < 1e-12);
        prop_assert!(fit.twist.unwrap().si().abs() < 1e-11);
        for spot in &spots {
            prop_assert!(over_plane(*spot, fit.plane).si().abs() < 1e-12);
        }
        let four = [spots[0], spots[1], spots[2], spots[3]];
        for off in off_the_others(&four).unwrap() {
            prop_assert!(off.si().abs() < 1e-12);
        }
    }

    #[test]
    fn one_raised_point_is_found_by_how_much(
        plane in plane(), places in places(), bump in -0.02..0.02_f64
    ) {
        let mut spots = on(&plane, &places);
        spots[2].height += m(bump);
        let off = off_the_others(&[spots[0], spots[1], spots[2], spots[3]]).unwrap();
        prop_assert!((off[2].si() - bump).abs() < 1e-12);
    }

    #[test]
    fn no_other_plane_has_smaller_squares(
        plane in plane(),
        places in places(),
        bumps in prop::collection::vec(-0.01..0.01_f64, 8),
        nudge in (-1e-3..1e-3_f64, -1e-3..1e-3_f64, -1e-3..1e-3_f64),
    ) {
        let mut spots = on(&plane, &places);
        for (spot, bump) in spots.iter_mut().zip(&bumps) {
            spot.height += m(*bump);
        }
        let squares = |plane: Plane| -> f64 {
            spots.iter().map(|s| over_plane(*s, plane).si().powi(2)).sum()
        };
        let best = fit_plane(&spots).unwrap();
        let other = Plane {
            offset: best.plane.offset + m(nudge.0),
            along: Slope(best.plane.along.0 + Angle::of_si(nudge.1)),
            across: Slope(best.plane.across.0 + Angle::of_si(nudge.2)),
        };
        prop_assert!(squares(best.plane) <= squares(other) + 1e-15);
        let rms = (squares(best.plane) / spots.len() as f64).sqrt();
        prop_assert!((rms - best.rms.si()).abs() < 1e-12);
    }

    #[test]
    fn left_and_right_changed_turns_slope_across_and_twist_and_nothing_else(
        plane in plane(), places in places(), bumps in prop::collection::vec(-0.01..0.01_f64, 8),
    ) {
        let mut spots = on(&plane, &places);
        for (spot, bump) in spots.iter_mut().zip(&bumps) {
            spot.height += m(*bump);
        }
        let fit = fit_plane(&spots).unwrap();
        for spot in &mut spots {
            spot.across = -spot.across;
        }
        let other = fit_plane(&spots).unwrap();
        prop_assert!((other.plane.across.si() + fit.plane.across.si()).abs() < 1e-12);
        prop_assert!((other.twist.unwrap() + fit.twist.unwrap()).si().abs() < 1e-12);
        prop_assert!((other.plane.along.si() - fit.plane.along.si()).abs() < 1e-12);
        prop_assert!((other.plane.offset - fit.plane.offset).si().abs() < 1e-12);
        prop_assert!((other.rms - fit.rms).si().abs() < 1e-12);
        prop_assert!((other.largest - fit.largest).si().abs() < 1e-12);
    }
}
