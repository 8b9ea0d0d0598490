//! The anti-roll link's angle: rules of thumb, points against slopes, refusals.

use proptest::prelude::*;

use super::*;
use crate::calc::tests::{example, typed};

fn spot(back: f64, up: f64) -> Spot {
    Spot {
        back: Length::of_si(back),
        up: Length::of_si(up),
    }
}

fn limb(near: Spot, far: Spot) -> Limb {
    Limb { near, far }
}

fn slope(degree: f64) -> Slope {
    Slope::of_si(degree.to_radians())
}

fn degree(angle: Angle) -> f64 {
    angle.si().to_degrees()
}

#[test]
fn known_figures_come_out() {
    // Our own: axes, a 3-4-5 triangle, a half turn.
    let joint = spot(1.0, 0.5);
    for (link, arm, expected) in [
        ((0.0, 0.3), (0.4, 0.0), 90.0),
        ((0.0, -0.3), (0.4, 0.0), 90.0),
        ((0.4, 0.3), (0.4, 0.0), 36.869_897_645_844_02),
        ((-0.4, 0.3), (0.4, 0.0), 143.130_102_354_155_98),
        ((-0.4, 0.0), (0.4, 0.0), 180.0),
        ((0.3, 0.3), (0.4, 0.4), 0.0),
    ] {
        let end = |(back, up): (f64, f64)| spot(1.0 + back, 0.5 + up);
        let found = angle_of_points(limb(joint, end(link)), limb(joint, end(arm))).unwrap();
        assert!(
            (degree(found) - expected).abs() < 1e-9,
            "{link:?} {}",
            degree(found)
        );
    }
}

#[test]
fn slopes_give_the_angle_for_every_way_they_go() {
    // A link whose top leans 10° ahead (slope 80° nose up), an arm 3° nose up.
    for (up, ahead, expected) in [
        (true, true, 77.0),
        (false, false, 77.0),
        (true, false, 103.0),
        (false, true, 103.0),
    ] {
        let found = angle_of_slopes(slope(80.0), slope(3.0), up, ahead).unwrap();
        assert!((degree(found) - expected).abs() < 1e-9, "{up} {ahead}");
    }
    // The top leaning 10° back: slope 80° nose down; 10° + 90° − 3° from an arm ahead.
    let found = angle_of_slopes(slope(-80.0), slope(3.0), true, true).unwrap();
    assert!((degree(found) - 97.0).abs() < 1e-9);
}

proptest! {
    #[test]
    fn points_and_slopes_agree(
        lean in -70.0_f64..70.0, arm in -15.0_f64..15.0, up: bool, ahead: bool,
    ) {
        // The lean of the link's top ahead of upright, turned into points.
        let (lean, tilt) = (lean.to_radians(), arm.to_radians());
        let (u, a) = (if up { 1.0 } else { -1.0 }, if ahead { 1.0 } else { -1.0 });
        let joint = spot(3.0, 0.5);
        let link_end = spot(3.0 - u * 0.3 * lean.sin(), 0.5 + u * 0.3 * lean.cos());
        let arm_end = spot(3.0 - a * 0.4 * tilt.cos(), 0.5 + a * 0.4 * tilt.sin());
        let by_points = angle_of_points(limb(joint, link_end), limb(joint, arm_end)).unwrap();
        let line = if lean > 0.0 { 90.0 - lean.to_degrees() } else { -90.0 - lean.to_degrees() };
        let by_slopes = angle_of_slopes(slope(line), slope(arm), up, ahead).unwrap();
        prop_assert!((by_points - by_slopes).si().abs() < 1e-9);
    }
}

#[test]
fn margins_and_the_change_with_height_come_out() {
    let sum = &ANTI_ROLL_SLOPES;
    let found = sum.evaluate(&example(sum)).unwrap();
    let number = |key: &str| {
        let at = sum.output(key).unwrap();
        found.value(at).unwrap().value().si().to_degrees()
    };
    // In the head: 180 − (87.5 + 1.0) = 91.5; 1.5 off; 15 mm at 11.3 mm/° is 1.327°.
    for (key, expected) in [
        ("angle", 91.5),
        ("deviation", 1.5),
        ("margin_low", 6.5),
        ("margin_high", 3.5),
        ("angle_after", 91.5 - 15.0 / 11.3),
    ] {
        assert!(
            (number(key) - expected).abs() < 1e-9,
            "{key} {}",
            number(key)
        );
    }
}

#[test]
fn points_of_the_demo_truck_come_out() {
    let sum = &ANTI_ROLL_POINTS;
    let found = sum.evaluate(&example(sum)).unwrap();
    // Link 10 back in 290, arm 5 up in 400: 90 + atan(10/290) − atan(5/400).
    let expected = 90.0 + 1.974_934_01 - 0.716_159_95;
    let angle = found.value(0).unwrap().value().si().to_degrees();
    assert!((angle - expected).abs() < 1e-6, "{angle}");
    assert!(found.value(4).is_none());
}

#[test]
fn what_says_nothing_is_refused_by_name() {
    for (sum, key, text, named) in [
        (&ANTI_ROLL_SLOPES, "link", "3° nose up", "link"),
        (
            &ANTI_ROLL_SLOPES,
            "height_per_degree",
            "0 mm/°",
            "height_per_degree",
        ),
    ] {
        let pairs: Vec<(&str, &str)> = sum
            .example
            .iter()
            .map(|(k, t)| (*k, if *k == key { text } else { t }))
            .collect();
        let said = sum.evaluate(&typed(sum, &pairs)).unwrap_err().to_string();
        assert!(said.contains(named), "{said}");
    }
    let one = spot(1.0, 1.0);
    let other = spot(1.0, 2.0);
    assert!(angle_of_points(limb(one, one), limb(one, other)).is_err());
    assert!(angle_of_points(limb(one, other), limb(one, one)).is_err());
    let mut pairs = ANTI_ROLL_SLOPES.example.to_vec();
    pairs.retain(|(key, _)| *key != "height_per_degree");
    assert!(
        ANTI_ROLL_SLOPES
            .evaluate(&typed(&ANTI_ROLL_SLOPES, &pairs))
            .is_err()
    );
}

#[test]
fn trials_agree_with_first_order() {
    let sum = &ANTI_ROLL_POINTS;
    let pairs: Vec<(&str, String)> = sum
        .example
        .iter()
        .map(|(k, t)| {
            let exact = k.starts_with("sheet") || k.starts_with("tol");
            (
                *k,
                if exact {
                    (*t).to_owned()
                } else {
                    format!("{t} ± 2 mm")
                },
            )
        })
        .collect();
    let pairs: Vec<(&str, &str)> = pairs.iter().map(|(k, t)| (*k, t.as_str())).collect();
    let inputs = typed(sum, &pairs);
    let first = sum.evaluate(&inputs).unwrap().value(0).unwrap().u().si();
    let trials = sum.draw(&inputs, 100_000, 3).unwrap();
    assert!((trials.results[0].deviation.si() / first - 1.0).abs() < 0.02);
}
