//! Known angles, numbers worked out apart, and what a mirror must not change.
//!
//! IDs are those of the list of check values; a tag says how sure each is: C worked out
//! apart from this program, P common practice.

use proptest::prelude::*;
use uom::si::f64::Angle;

use super::*;
use crate::calc::tests::typed;
use crate::calc::{Amount, CalcError, Evaluation, Given, Point, Slope, Sum};
use crate::quantity::{Measured, Quantity};

fn mm(value: f64) -> Length {
    Length::of_si(value * 1e-3)
}

fn in_mm(length: Length) -> f64 {
    length.si() * 1e3
}

fn deg(value: f64) -> Angle {
    Angle::of_si(value.to_radians())
}

fn close(found: f64, wanted: f64, tolerance: f64) {
    assert!((found - wanted).abs() <= tolerance, "{found} {wanted}");
}

fn evaluate(sum: &'static Sum, pairs: &[(&str, &str)]) -> Evaluation {
    sum.evaluate(&typed(sum, pairs))
        .unwrap_or_else(|e| panic!("{e}"))
}

/// The example with some inputs said otherwise.
fn with(sum: &'static Sum, other: &[(&'static str, &'static str)]) -> Evaluation {
    let mut pairs: Vec<(&str, &str)> = sum.example.to_vec();
    for (key, text) in other {
        pairs.retain(|(known, _)| known != key);
        pairs.push((key, text));
    }
    evaluate(sum, &pairs)
}

fn si(found: &Evaluation, sum: &'static Sum, key: &str) -> f64 {
    let at = sum.output(key).unwrap();
    found.value(at).unwrap().value().si()
}

fn u(found: &Evaluation, sum: &'static Sum, key: &str) -> f64 {
    let at = sum.output(key).unwrap();
    found.value(at).unwrap().u().si()
}

fn degrees(found: &Evaluation, sum: &'static Sum, key: &str) -> f64 {
    si(found, sum, key).to_degrees()
}

fn millimetres(found: &Evaluation, sum: &'static Sum, key: &str) -> f64 {
    si(found, sum, key) * 1e3
}

#[test]
fn roll_is_the_published_angle() {
    // 13.5 (C): 4 mm over 1900 mm.
    let found = roll(Sides::new(mm(814.0), mm(810.0)), mm(1900.0));
    close(found.si().to_degrees(), 0.12062, 1e-5);
    let pairs = [
        ("left", "814 mm"),
        ("right", "810 mm"),
        ("spacing", "1900 mm"),
    ];
    let found = evaluate(&ROLL, &pairs);
    close(degrees(&found, &ROLL, "roll"), 0.12062, 1e-5);
    close(millimetres(&found, &ROLL, "difference"), 4.0, 1e-9);
}

#[test]
fn pitch_of_the_frame_is_front_less_rear() {
    // By hand: front 806.5, rear 820.5; 14 mm on 3700 mm nose down.
    let sum = &FRAME_PITCH;
    let found = evaluate(sum, sum.example);
    close(si(&found, sum, "pitch").tan(), -14.0 / 3700.0, 1e-12);
    close(millimetres(&found, sum, "front"), 806.5, 1e-9);
    close(millimetres(&found, sum, "front_difference"), -1.0, 1e-9);
    close(millimetres(&found, sum, "rear_difference"), 1.0, 1e-9);
    assert!(found.value(sum.output("pitch_level").unwrap()).is_none());
    // A floor that rises to the front brings a level nose up.
    let found = with(sum, &[("floor_along", "14 mm/m")]);
    let floor = 0.014_f64.atan();
    let level = si(&found, sum, "pitch_level");
    close(level, floor - (14.0_f64 / 3700.0).atan(), 1e-12);
}

#[test]
fn tyres_are_taken_off_heights_to_the_floor() {
    // Worked out apart (C): lean of the tyres 2 × 840 / 1840 mm.
    let sum = &AXLE_HEIGHTS;
    let found = evaluate(sum, sum.example);
    close(millimetres(&found, sum, "left"), 310.543_478_260_9, 1e-9);
    close(millimetres(&found, sum, "right"), 309.456_521_739_1, 1e-9);
    close(millimetres(&found, sum, "mean"), 310.0, 1e-9);
    close(degrees(&found, sum, "roll_axle"), 0.074_140_460_06, 1e-9);
    close(si(&found, sum, "roll_tyres").tan(), 2.0 / 1840.0, 1e-12);
    close(si(&found, sum, "roll_floor").tan(), 2.0 / 840.0, 1e-12);
    // Floor 1.5 mm/m up to the left: 0.63 mm at 420 mm.
    close(millimetres(&found, sum, "left_level"), 807.63, 1e-9);
    close(millimetres(&found, sum, "right_level"), 804.37, 1e-9);
    let level = (2.0_f64 / 840.0).atan() + 0.0015_f64.atan();
    close(si(&found, sum, "roll_level"), level, 1e-12);
}

#[test]
fn the_demo_tractor_stands_by_its_sheet() {
    // Invented sheet, itself consistent: 806 mm to the floor, tyres 496 mm, so 310 mm
    // to the axle, 190 mm to a seat 120 mm over it.
    let tyres = Tyres {
        radius: Sides::new(mm(496.0), mm(496.0)),
        track: mm(1840.0),
    };
    let level = Sides::new(mm(806.0), mm(806.0));
    let found = axle_heights(level, mm(840.0), &tyres);
    close(in_mm(found.over_axle.left), 190.0 + 120.0, 1e-9);
    close(found.roll_axle.si(), 0.0, 1e-15);
}

#[test]
fn a_soft_tyre_is_told_from_the_suspension() {
    // Left tyre 16 mm low: 16 × 840 / 1840 = 7.304 mm at the frame (by hand, C).
    let sum = &SIDE_DIFFERENCE;
    let found = evaluate(sum, sum.example);
    close(millimetres(&found, sum, "all"), -8.0, 1e-9);
    close(millimetres(&found, sum, "suspension"), 0.0, 1e-9);
    close(millimetres(&found, sum, "tyres"), -7.304_347_826_1, 1e-9);
    close(
        millimetres(&found, sum, "left_over"),
        -0.695_652_173_9,
        1e-9,
    );
    // The suspension's share is brought to the floor's places: 3 × 800 / 960 = 2.5 mm.
    let found = with(
        sum,
        &[
            ("axle_left", "193 mm"),
            ("axle_spacing", "960 mm"),
            ("floor_spacing", "800 mm"),
        ],
    );
    close(millimetres(&found, sum, "suspension"), 2.5, 1e-9);
}

/// A value with its standard uncertainty, read with an instrument.
fn read(mm: f64, u_mm: f64) -> Option<Given> {
    let value = Quantity::from_si(mm * 1e-3, Kind::Length).unwrap();
    let u = Quantity::from_si(u_mm * 1e-3, Kind::Length).unwrap();
    Some(Given::Points(vec![Point {
        measured: Measured::of_parts(value, u, Quantity::zero(Kind::Length)).unwrap(),
        instrument: Some("tape".to_owned()),
        second: None,
    }]))
}

/// Share of a normal distribution under z, by its series (Abramowitz and Stegun
/// 26.2.10, from memory, very sure).
fn normal(z: f64) -> f64 {
    let (mut term, mut sum) = (z, z);
    for n in 1..60 {
        let n = f64::from(n);
        term *= -z * z / (2.0 * n);
        sum += term / (2.0 * n + 1.0);
    }
    0.5 + sum / std::f64::consts::TAU.sqrt()
}

#[test]
fn ride_height_error_carries_what_the_decision_rule_needs() {
    // 5.23 (C): 4.0 mm over the target ± 5 mm, u = 0.6 mm of one tape: 95.221 % within.
    let sum = &RIDE_HEIGHT_ERROR;
    let given = [
        read(194.0, 0.6),
        read(194.0, 0.6),
        read(190.0, 0.0),
        read(5.0, 0.0),
    ];
    let found = sum.evaluate(&given).unwrap();
    close(millimetres(&found, sum, "error"), 4.0, 1e-9);
    close(u(&found, sum, "error") * 1e3, 0.6, 1e-9);
    close(millimetres(&found, sum, "margin"), 1.0, 1e-9);
    let z = si(&found, sum, "margin") / u(&found, sum, "margin");
    close(normal(z), 0.95221, 1e-5);
    // One tape: what it repeats does not touch the sides' difference.
    close(u(&found, sum, "difference"), 0.0, 1e-12);
}

#[test]
fn each_side_has_its_own_error() {
    let sum = &RIDE_HEIGHT_ERROR;
    let found = with(sum, &[("left", "196 mm"), ("right", "187 mm")]);
    for (key, wanted) in [
        ("error", 1.5),
        ("mean", 191.5),
        ("left_error", 6.0),
        ("right_error", -3.0),
        ("difference", 9.0),
        ("margin", 3.5),
        ("left_margin", -1.0),
        ("right_margin", 2.0),
    ] {
        close(millimetres(&found, sum, key), wanted, 1e-9);
    }
}

#[test]
fn blocks_sit_lower_by_their_squash() {
    // The demo sheet's block of 190.0 mm with 0.3 mm squash sits at 189.7 mm.
    let sum = &BLOCK_SETTING;
    let found = with(sum, &[("block_left", "190 mm"), ("block_right", "190 mm")]);
    close(millimetres(&found, sum, "mean"), 189.7, 1e-9);
    close(millimetres(&found, sum, "error"), -0.3, 1e-9);
    close(si(&found, sum, "roll"), 0.0, 1e-15);
    // A 0.4 mm chip of rust on the left seat only.
    let found = with(
        sum,
        &[
            ("block_left", "190 mm"),
            ("block_right", "190 mm"),
            ("seat_left", "0.4 mm"),
        ],
    );
    close(millimetres(&found, sum, "mean"), 189.9, 1e-9);
    close(millimetres(&found, sum, "difference"), 0.4, 1e-9);
    close(si(&found, sum, "roll").tan(), 0.4 / 840.0, 1e-12);
    close(millimetres(&found, sum, "left"), 190.1, 1e-9);
    close(millimetres(&found, sum, "right"), 189.7, 1e-9);
}

#[test]
fn stands_of_the_demo_truck_go_where_its_sheet_says() {
    // 831 mm raised, 5 to 10 mm under it: 821 to 826 mm (P).
    let sum = &STAND_HEIGHT;
    let found = evaluate(sum, sum.example);
    close(millimetres(&found, sum, "lowest"), 821.0, 1e-9);
    close(millimetres(&found, sum, "highest"), 826.0, 1e-9);
}

#[test]
fn a_gap_turned_about_is_refused() {
    let given = typed(
        &STAND_HEIGHT,
        &[
            ("raised", "831 mm"),
            ("gap_least", "10 mm"),
            ("gap_most", "5 mm"),
        ],
    );
    let found = STAND_HEIGHT.evaluate(&given);
    assert!(
        matches!(
            found,
            Err(CalcError::Refused {
                input: "gap_most",
                ..
            })
        ),
        "{found:?}"
    );
}

#[test]
fn limits_stack_up_at_the_worst_and_by_squares() {
    // By hand: 3 and 4 give 7 and 5; the demo's 0.3 + 0.3 + 0.2 + 1.5 = 2.3 mm.
    let found = stack(&[mm(3.0), mm(4.0)]);
    close(in_mm(found.worst), 7.0, 1e-9);
    close(in_mm(found.likely), 5.0, 1e-9);
    let sum = &TOLERANCE_STACK;
    let found = evaluate(sum, sum.example);
    close(millimetres(&found, sum, "worst"), 2.3, 1e-9);
    close(millimetres(&found, sum, "margin"), 2.7, 1e-9);
    // √(0.09 + 0.09 + 0.04 + 2.25) = √2.47.
    close(millimetres(&found, sum, "likely"), 1.571_623_364_6, 1e-9);
    close(
        millimetres(&found, sum, "likely_margin"),
        3.428_376_635_4,
        1e-9,
    );
}

fn arms(length_mm: f64, slope: f64) -> TrailingArms {
    TrailingArms {
        length: mm(length_mm),
        slope: Slope(deg(slope)),
        spacing: mm(800.0),
    }
}

#[test]
fn rear_steer_agrees_with_arms_turned_by_halving() {
    // Arm angles found by halving an interval, apart from this program (C):
    // arm, slope, difference, left end ahead, steer.
    for (length, slope, difference, ahead, steer) in [
        (550.0, 3.1, 5.0, 0.270_793_134_334, 0.019_394_128_907),
        (550.0, 3.1, -5.0, -0.270_793_134_334, -0.019_394_128_907),
        (550.0, 13.9, 12.0, 2.969_898_806_072, 0.212_702_356_830),
        (558.8, 3.3, 3.175, 0.183_070_091_828, 0.013_111_429_292),
    ] {
        let found = rear_steer(&arms(length, slope), mm(difference)).unwrap();
        close(in_mm(found.left_ahead), ahead, 1e-9);
        close(found.angle.si().to_degrees(), steer, 1e-9);
    }
    let found = rear_steer(&arms(550.0, 3.1), mm(5.0)).unwrap();
    close(found.left.si().to_degrees(), 3.360_850_082, 1e-9);
    close(found.right.si().to_degrees(), 2.839_214_219, 1e-9);
}

#[test]
fn rear_steer_brings_a_difference_at_the_seats_to_the_arms() {
    let sum = &REAR_STEER;
    // 5.25 mm over 840 mm are 5 mm over 800 mm.
    let found = with(sum, &[("difference", "5.25 mm")]);
    close(degrees(&found, sum, "steer"), 0.019_394_128_907, 1e-9);
    close(millimetres(&found, sum, "left_ahead"), 0.270_793_134, 1e-9);
}

#[test]
fn level_arms_steer_nothing_and_short_ones_are_refused() {
    let found = rear_steer(&arms(550.0, 0.0), mm(30.0)).unwrap();
    close(found.left_ahead.si(), 0.0, 1e-15);
    let refused = rear_steer(&arms(550.0, 40.0), mm(450.0)).unwrap_err();
    assert_eq!(refused.input, "difference");
    assert!(rear_steer(&arms(550.0, -40.0), mm(450.0)).is_err());
}

#[test]
fn trials_of_rear_steer_agree_with_first_order() {
    let sum = &REAR_STEER;
    let pairs = [
        ("arm", "550 mm ± 2 mm"),
        ("slope", "3.1° ± 0.2°"),
        ("difference", "5 mm ± 1 mm step 1 mm"),
        ("arm_spacing", "800 mm ± 2 mm"),
    ];
    let given = typed(sum, &pairs);
    let first_order = sum.evaluate(&given).unwrap().value(0).unwrap().u().si();
    let drawn = sum.draw(&given, 100_000, 11).unwrap();
    let ratio = drawn.results[0].deviation.si() / first_order;
    assert!((ratio - 1.0).abs() < 0.02, "{ratio}");
}

#[test]
fn a_sensor_off_the_middle_sees_part_of_the_difference() {
    // By hand: 5 mm × 300 / 840 = 1.786 mm over the mean of 190.5 mm.
    let sum = &ONE_SENSOR;
    let found = evaluate(sum, sum.example);
    close(millimetres(&found, sum, "over_mean"), 1.785_714_285_7, 1e-9);
    close(millimetres(&found, sum, "seen"), 192.285_714_285_7, 1e-9);
    close(
        millimetres(&found, sum, "held_mean"),
        188.214_285_714_3,
        1e-9,
    );
    close(
        millimetres(&found, sum, "held_left"),
        190.714_285_714_3,
        1e-9,
    );
    close(
        millimetres(&found, sum, "held_right"),
        185.714_285_714_3,
        1e-9,
    );
    // Over a seat it sees that seat.
    let heights = Sides::new(mm(193.0), mm(188.0));
    close(in_mm(height_at(heights, mm(840.0), mm(420.0))), 193.0, 1e-9);
    close(
        in_mm(height_at(heights, mm(840.0), mm(-420.0))),
        188.0,
        1e-9,
    );
    close(in_mm(height_at(heights, mm(840.0), mm(0.0))), 190.5, 1e-9);
}

#[test]
fn two_sensors_close_in_leave_more_at_the_seats() {
    // By hand: 3 mm over 600 mm are 4.2 mm over 840 mm.
    let sum = &TWO_SENSORS;
    let found = evaluate(sum, sum.example);
    close(millimetres(&found, sum, "difference"), 4.2, 1e-9);
    close(millimetres(&found, sum, "left_seat"), 192.1, 1e-9);
    close(millimetres(&found, sum, "right_seat"), 187.9, 1e-9);
    close(si(&found, sum, "roll").tan(), 3.0 / 600.0, 1e-12);
    let one_place = seats(
        Sides::new(mm(190.0), mm(190.0)),
        Sides::new(mm(0.0), mm(10.0)),
        mm(840.0),
    );
    assert_eq!(one_place.unwrap_err().input, "left_place");
}

/// The sums that have a left and a right, with the inputs that change places and the
/// results that change their sign; the others that carry a side change places too.
const MIRRORED: &[(&Sum, &[&str])] = &[
    (&ROLL, &["roll", "difference"]),
    (
        &AXLE_HEIGHTS,
        &["roll_axle", "roll_tyres", "roll_floor", "roll_level"],
    ),
    (
        &SIDE_DIFFERENCE,
        &["suspension", "tyres", "left_over", "all"],
    ),
    (&FRAME_PITCH, &["front_difference", "rear_difference"]),
    (&RIDE_HEIGHT_ERROR, &["difference"]),
    (&BLOCK_SETTING, &["difference", "roll"]),
    (&ONE_SENSOR, &[]),
    (&TWO_SENSORS, &["difference", "roll"]),
];

/// Inputs that are to one side by their sign.
const SIDED: &[&str] = &["floor_across", "place"];

fn other_side(key: &str) -> String {
    if key.contains("left") {
        key.replace("left", "right")
    } else {
        key.replace("right", "left")
    }
}

fn mirrored(sum: &'static Sum, given: &[Option<Given>]) -> Vec<Option<Given>> {
    let turned = |given: &Option<Given>| match given {
        Some(Given::Points(points)) => {
            let kind = points[0].measured.kind();
            let value = Quantity::from_si(-points[0].measured.value().si(), kind).unwrap();
            Some(Given::Points(vec![Point::plain(Measured::exact(value))]))
        }
        given => given.clone(),
    };
    let from = |input: &crate::calc::Input| {
        let at = sum.input(&other_side(input.key)).unwrap();
        if SIDED.contains(&input.key) {
            turned(&given[at])
        } else {
            given[at].clone()
        }
    };
    sum.inputs.iter().map(from).collect()
}

#[test]
fn a_mirror_turns_roll_and_nothing_else() {
    for (sum, turned) in MIRRORED {
        let sum: &'static Sum = sum;
        let given = crate::calc::tests::example(sum);
        let found = sum.evaluate(&given).unwrap();
        let mirror = sum.evaluate(&mirrored(sum, &given)).unwrap();
        for (at, output) in sum.outputs.iter().enumerate() {
            let Some(here) = found.value(at) else {
                continue;
            };
            let (key, sign) = if turned.contains(&output.key) {
                (output.key.to_owned(), -1.0)
            } else {
                (other_side(output.key), 1.0)
            };
            let there = si(&mirror, sum, &key);
            let apart = (there - sign * here.value().si()).abs();
            assert!(apart < 1e-12, "{} {}", sum.name, output.key);
        }
    }
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
    fn a_mirror_turns_rear_steer_and_changes_its_arms_about(
        length in 400.0..700.0_f64, slope in -10.0..20.0_f64, difference in -60.0..60.0_f64
    ) {
        let arms = arms(length, slope);
        let here = rear_steer(&arms, mm(difference)).unwrap();
        let there = rear_steer(&arms, mm(-difference)).unwrap();
        prop_assert!((here.angle + there.angle).si().abs() < 1e-15);
        prop_assert!((here.left_ahead + there.left_ahead).si().abs() < 1e-15);
        prop_assert_eq!(here.left, there.right);
        prop_assert_eq!(here.right, there.left);
    }

    #[test]
    fn both_arms_keep_their_length_and_reach_the_axle(
        length in 400.0..700.0_f64, slope in -10.0..20.0_f64, difference in -60.0..60.0_f64
    ) {
        let found = rear_steer(&arms(length, slope), mm(difference)).unwrap();
        let drop = length * (found.left.si().sin() - found.right.si().sin());
        prop_assert!((drop - difference).abs() < 1e-9);
        let run = length * (found.right.si().cos() - found.left.si().cos());
        prop_assert!((run - in_mm(found.left_ahead)).abs() < 1e-9);
        // The higher side's arm is the steeper; with arms down to the rear its end comes
        // forward.
        let mean_drop = found.left.si().sin() + found.right.si().sin();
        prop_assert!(run * difference * mean_drop >= -1e-9);
    }

    #[test]
    fn two_sensors_and_the_height_between_the_seats_undo_each_other(
        left in 90.0..320.0_f64, right in 90.0..320.0_f64,
        left_place in 100.0..500.0_f64, right_place in 100.0..500.0_f64,
    ) {
        let heights = Sides::new(mm(left), mm(right));
        let spacing = mm(840.0);
        let sensors = Sides::new(
            height_at(heights, spacing, mm(left_place)),
            height_at(heights, spacing, mm(-right_place)),
        );
        let places = Sides::new(mm(left_place), mm(right_place));
        let found = seats(sensors, places, spacing).unwrap();
        prop_assert!((in_mm(found.left) - left).abs() < 1e-9);
        prop_assert!((in_mm(found.right) - right).abs() < 1e-9);
    }

    #[test]
    fn a_held_sensor_sees_its_target(
        target in 90.0..320.0_f64, difference in -30.0..30.0_f64, place in -600.0..600.0_f64
    ) {
        let spacing = mm(840.0);
        let mean = held_mean(mm(target), mm(difference), spacing, mm(place));
        let half = mm(difference / 2.0);
        let seen = height_at(Sides::new(mean + half, mean - half), spacing, mm(place));
        prop_assert!((in_mm(seen) - target).abs() < 1e-9);
    }

    #[test]
    fn heights_over_the_axle_and_the_tyres_make_the_heights_to_the_floor(
        left in 700.0..950.0_f64, right in 700.0..950.0_f64,
        tyre_left in 470.0..510.0_f64, tyre_right in 470.0..510.0_f64,
    ) {
        let tyres = Tyres {
            radius: Sides::new(mm(tyre_left), mm(tyre_right)),
            track: mm(1840.0),
        };
        let found = axle_heights(Sides::new(mm(left), mm(right)), mm(840.0), &tyres).over_axle;
        // The axle as a straight line through both hubs, at 420 mm either way.
        let at = |y: f64| tyre_right + (tyre_left - tyre_right) * (y + 920.0) / 1840.0;
        prop_assert!((in_mm(found.left) + at(420.0) - left).abs() < 1e-9);
        prop_assert!((in_mm(found.right) + at(-420.0) - right).abs() < 1e-9);
    }
}

#[test]
fn heights_that_no_truck_has_are_refused_by_name() {
    let over_axle: &[(&'static Sum, &[&str])] = &[
        (&RIDE_HEIGHT_ERROR, &["left", "right", "target"]),
        (&BLOCK_SETTING, &["block_left", "block_right", "target"]),
        (&ONE_SENSOR, &["left", "right", "target"]),
        (&TWO_SENSORS, &["left", "right"]),
        (&SIDE_DIFFERENCE, &["axle_left", "axle_right"]),
    ];
    let over_floor: &[(&'static Sum, &[&str])] = &[
        (&ROLL, &["left", "right"]),
        (&AXLE_HEIGHTS, &["floor_left", "floor_right"]),
        (&SIDE_DIFFERENCE, &["floor_left", "floor_right"]),
        (
            &FRAME_PITCH,
            &["front_left", "front_right", "rear_left", "rear_right"],
        ),
        (&STAND_HEIGHT, &["raised"]),
    ];
    let cases = [(over_axle, "2.1 m"), (over_floor, "5.1 m")];
    for (sums, high) in cases {
        for (sum, keys) in sums {
            for key in *keys {
                for text in [high, "-1 mm"] {
                    let mut pairs = sum.example.to_vec();
                    let pair = pairs.iter_mut().find(|(k, _)| k == key).unwrap();
                    pair.1 = text;
                    let found = sum.evaluate(&typed(sum, &pairs));
                    assert!(
                        matches!(found, Err(CalcError::Range { input, .. }) if input == *key),
                        "{} {key} {text}: {found:?}",
                        sum.name
                    );
                }
            }
        }
    }
}
