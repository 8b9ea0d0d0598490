//! The sums through the registry: the sheets as they are typed, uncertainty, and the
//! inputs that are refused.

use super::*;
use crate::calc::tests::{example, typed};
use crate::calc::{CalcError, Evaluation, Given, Sum, find};

/// An input's key and what is typed for it.
type Typed = (&'static str, &'static str);

fn value(sum: &'static Sum, found: &Evaluation, key: &str) -> f64 {
    let at = sum.output(key).unwrap();
    found
        .value(at)
        .unwrap_or_else(|| panic!("{key}"))
        .value()
        .si()
}

fn text(sum: &'static Sum, found: &Evaluation, key: &str) -> &'static str {
    found.text(sum.output(key).unwrap()).unwrap()
}

/// The example with some inputs typed otherwise, or left out where the text is empty.
fn with(sum: &'static Sum, changes: &[Typed]) -> Vec<Option<Given>> {
    let mut pairs: Vec<(&str, &str)> = sum.example.to_vec();
    for (key, text) in changes {
        pairs.retain(|(k, _)| k != key);
        if !text.is_empty() {
            pairs.push((key, text));
        }
    }
    typed(sum, &pairs)
}

const SABLE_RIDGE: &[(&str, &str)] = &[
    ("ride_height", "7.5 in"),
    ("seat_to_axle", "3.5 in"),
    ("wheelbase", "160 in"),
    ("frame_front_height", "30.0 in"),
    ("axle_height", "19.0 in"),
    ("arm_length", "22.0 in"),
    ("pivot_below", "9.75 in"),
    ("gearbox_slope", "3.5°"),
    ("shaft_slope", "7.0°"),
    ("pinion_slope", "4.4°"),
    ("shaft_length", "48.0 in"),
    ("joint_ahead", "15.0 in"),
    ("joint_below", "1.2 in"),
    ("pieces", "two"),
    ("coupling_slope", "4.3°"),
    ("coupling_length", "30.0 in"),
];

fn sable_ridge_with(more: &[Typed]) -> Vec<Typed> {
    [SABLE_RIDGE, more].concat()
}

#[test]
fn the_as_found_story_comes_out_as_typed() {
    // Printed row + 15 mm of BW-07.
    let sum = find("driveline_at_height").unwrap();
    let found = sum.evaluate(&example(sum)).unwrap();
    for (key, expected, tol) in [
        ("equal", 1.37, 0.005),
        ("joint1", 2.71, 0.005),
        ("joint2", 1.34, 0.005),
        ("residual", 2.35, 0.005),
        ("gearbox", 4.27, 0.005),
        ("shaft", 6.98, 0.005),
        ("pinion", 5.63, 0.005),
        ("axle_turn", 1.33, 0.005),
    ] {
        let degrees = value(sum, &found, key).to_degrees();
        assert!((degrees - expected).abs() <= tol, "{key}: {degrees}");
    }
    assert!((value(sum, &found, "plunge") * 1e3 + 0.3).abs() < 0.05);
    assert!((value(sum, &found, "tyre_roll") * 1e3 - 12.0).abs() < 0.5);
    assert_eq!(
        text(sum, &found, "last_joint"),
        "pinion flatter than the shaft"
    );
    assert_eq!(found.value(sum.output("joint3").unwrap()), None);
    let top = sum.evaluate(&with(sum, &[("height", "310 mm")])).unwrap();
    assert_eq!(
        text(sum, &top, "last_joint"),
        "pinion steeper than the shaft"
    );
}

#[test]
fn two_shafts_come_out_as_typed() {
    // Printed for SR-214 at + 0.50 in.
    let sum = find("driveline_at_height").unwrap();
    let pairs = sable_ridge_with(&[("height", "8.00 in")]);
    let found = sum.evaluate(&typed(sum, &pairs)).unwrap();
    for (key, expected, tol) in [
        ("joint1", 0.8, 0.05),
        ("joint2", 2.89, 0.005),
        ("joint3", 1.49, 0.005),
        ("residual", 2.35, 0.005),
    ] {
        let degrees = value(sum, &found, key).to_degrees();
        assert!((degrees - expected).abs() <= tol, "{key}: {degrees}");
    }
}

#[test]
fn the_bands_come_out_as_typed() {
    let sum = find("height_band").unwrap();
    let found = sum.evaluate(&example(sum)).unwrap();
    let (lowest, highest) = (value(sum, &found, "lowest"), value(sum, &found, "highest"));
    assert!((lowest * 1e3 - 182.330).abs() < 5e-4, "{lowest}");
    assert!((highest * 1e3 - 201.496).abs() < 5e-4, "{highest}");
    // ± 5 sits inside: 185 − 182.330 is the nearer end.
    assert!((value(sum, &found, "margin") * 1e3 - 2.670).abs() < 5e-4);
    for key in ["closes_below", "closes_above"] {
        assert_eq!(text(sum, &found, key), "joints unequal");
    }
    assert_eq!(text(sum, &found, "at_ride"), "all limits hold");
    let pairs = sable_ridge_with(&[
        ("lower_stop", "4.25 in"),
        ("upper_stop", "11.25 in"),
        ("tolerance", "0.20 in"),
        ("equal_within", "1.0°"),
        ("joint1_least", "0.5°"),
        ("joint1_most", "1.5°"),
        ("joint2_least", "0.5°"),
        ("joint2_most", "6.0°"),
        ("joint3_least", "0.5°"),
        ("joint3_most", "6.0°"),
        ("residual_most", "3.0°"),
    ]);
    let found = sum.evaluate(&typed(sum, &pairs)).unwrap();
    let (lowest, highest) = (value(sum, &found, "lowest"), value(sum, &found, "highest"));
    assert!((7.07..=7.08).contains(&(lowest / INCH)), "{lowest}");
    assert!((7.84..7.85).contains(&(highest / INCH)), "{highest}");
}

#[test]
fn a_wrong_pinion_has_no_band_and_says_why() {
    let sum = find("height_band").unwrap();
    let found = sum
        .evaluate(&with(sum, &[("pinion_slope", "6.6°")]))
        .unwrap();
    assert_eq!(found.value(sum.output("lowest").unwrap()), None);
    assert_eq!(text(sum, &found, "at_ride"), "joints unequal");
    // Without that limit the last joint is too straight already.
    let changes = [("pinion_slope", "6.6°"), ("equal_within", "")];
    let found = sum.evaluate(&with(sum, &changes)).unwrap();
    assert_eq!(text(sum, &found, "closes_above"), "joint 2 too straight");
}

#[test]
fn stops_close_a_band_that_no_limit_closes() {
    let sum = find("height_band").unwrap();
    let changes = [("lower_stop", "185 mm"), ("upper_stop", "200 mm")];
    let found = sum.evaluate(&with(sum, &changes)).unwrap();
    assert_eq!(text(sum, &found, "closes_below"), "the lower stop");
    assert_eq!(text(sum, &found, "closes_above"), "the upper stop");
    assert!(value(sum, &found, "margin").abs() < 1e-12);
}

#[test]
fn slopes_on_the_blocks_move_slopes_and_band() {
    // Measured just as the model has them on the blocks: nothing changes.
    let sum = find("driveline_at_height").unwrap();
    let same = [
        ("block_height", "190 mm"),
        ("gearbox_on_blocks", "4.5°"),
        ("shaft_on_blocks", "7.0°"),
        ("pinion_on_blocks", "4.3°"),
    ];
    let plain = sum.evaluate(&example(sum)).unwrap();
    let found = sum.evaluate(&with(sum, &same)).unwrap();
    for key in ["equal", "joint1", "joint2", "pinion", "plunge"] {
        let (a, b) = (value(sum, &plain, key), value(sum, &found, key));
        assert!((a - b).abs() < 1e-12, "{key}");
    }
    // The pinion 0.6° steeper: equality is used up 0.6° of axle turn lower, where the
    // height for a degree is about 11.3 mm.
    let band = find("height_band").unwrap();
    let mut steeper = same.to_vec();
    steeper[3] = ("pinion_on_blocks", "4.9°");
    let (plain, found) = (
        band.evaluate(&example(band)).unwrap(),
        band.evaluate(&with(band, &steeper)).unwrap(),
    );
    let moved = value(band, &plain, "highest") - value(band, &found, "highest");
    // Both the pinion's turn and the frame's count: 11.3 mm/° less a seventh.
    assert!((5.0e-3..8.0e-3).contains(&moved), "{moved}");
}

#[test]
fn found_tells_ride_height_and_stops_too() {
    let sum = find("driveline_found").unwrap();
    let same = [
        ("block_height", "190 mm"),
        ("gearbox_on_blocks", "4.5°"),
        ("shaft_on_blocks", "7.0°"),
        ("pinion_on_blocks", "4.3°"),
    ];
    // Printed rows 0, −92 and + 120 of BW-07.
    let found = sum.evaluate(&with(sum, &same)).unwrap();
    for (key, expected, tol) in [
        ("equal", 1.37, 0.005),
        ("ride_equal", 0.20, 0.005),
        ("ride_joint1", 2.50, 0.005),
        ("ride_joint2", 2.70, 0.005),
        ("ride_residual", 1.02, 0.005),
        ("lower_joint", 11.02, 0.005),
        ("upper_joint", 8.29, 0.005),
    ] {
        let degrees = value(sum, &found, key).to_degrees();
        assert!((degrees - expected).abs() <= tol, "{key}: {degrees}");
    }
    for (key, expected) in [("lower_plunge", -0.7), ("upper_plunge", -6.2)] {
        let plunge = value(sum, &found, key) * 1e3;
        assert!((plunge - expected).abs() <= 0.05, "{key}: {plunge}");
    }
}

#[test]
fn a_degree_takes_the_printed_millimetres_as_typed() {
    let sum = find("mm_per_degree").unwrap();
    let found = sum.evaluate(&example(sum)).unwrap();
    let per_degree = |key| value(sum, &found, key) * 1e3 * 1_f64.to_radians();
    assert!((per_degree("axle") - 11.3).abs() < 0.05);
    assert!((per_degree("arm_alone") - 9.6).abs() < 0.05);
    assert!((1.0 / per_degree("frame") - 0.0155).abs() < 5e-5);
}

#[test]
fn the_links_turn_the_pinion_little() {
    // Worked by halving in the test of the loop: − 0.188 162° at 205 mm.
    let sum = find("driveline_four_link").unwrap();
    let found = sum.evaluate(&example(sum)).unwrap();
    let turn = value(sum, &found, "axle_turn").to_degrees();
    assert!((turn + 0.188_162).abs() < 1e-6, "{turn}");
    let band = find("four_link_band").unwrap();
    let found = band.evaluate(&example(band)).unwrap();
    let arm = find("height_band").unwrap();
    let by_arm = arm.evaluate(&example(arm)).unwrap();
    let wide = |sum, found: &Evaluation| value(sum, found, "highest") - value(sum, found, "lowest");
    assert!(wide(band, &found) > 1.5 * wide(arm, &by_arm));
}

const DOUBTED: &[(&str, &str)] = &[
    ("height", "205 mm ± 1 mm"),
    ("ride_height", "190 mm ± 0.3 mm"),
    ("arm_length", "550 mm ± 2 mm"),
    ("frame_front_height", "806 mm ± 2 mm"),
    ("block_height", "189.7 mm ± 0.3 mm"),
    ("gearbox_on_blocks", "4.5° ± 0.1°"),
    ("shaft_on_blocks", "7.0° ± 0.1°"),
    ("pinion_on_blocks", "4.3° ± 0.1°"),
];

/// First order and trials of a result: standard uncertainty and deviation.
fn both_ways(changes: &[Typed], key: &str) -> (f64, f64) {
    let sum = find("driveline_at_height").unwrap();
    let given = with(sum, &[DOUBTED, changes].concat());
    let at = sum.output(key).unwrap();
    let first = sum.evaluate(&given).unwrap().value(at).unwrap().u().si();
    let trials = sum.draw(&given, 100_000, 11).unwrap();
    assert_eq!(trials.refused, 0);
    let drawn = trials.results.iter().find(|d| d.output == at).unwrap();
    (first, drawn.deviation.si())
}

#[test]
fn trials_agree_with_first_order_away_from_kinks() {
    for key in [
        "equal",
        "joint1",
        "joint2",
        "residual",
        "pinion",
        "plunge",
        "axle_turn",
    ] {
        let (first, drawn) = both_ways(&[], key);
        assert!(
            first > 0.0 && (drawn / first - 1.0).abs() < 0.03,
            "{key}: {first} {drawn}"
        );
    }
}

#[test]
fn trials_and_first_order_part_where_a_joint_is_straight() {
    // About 30 mm over ride height the pinion is as steep as the shaft: the angle's
    // size turns there. The mean of both sides would see no slope at all; the larger of
    // them counts, so that first order is never surer than the trials, which see the fold.
    let straight = {
        let second = |h: f64| brackwater().at(mm(h)).unwrap();
        let (mut low, mut high) = (205.0, 260.0);
        for _ in 0..40 {
            let middle = f64::midpoint(low, high);
            if second(middle).pinion_is_steeper {
                high = middle;
            } else {
                low = middle;
            }
        }
        low
    };
    let sum = find("driveline_at_height").unwrap();
    let height = format!("{straight:.6} mm ± 1 mm");
    let mut pairs: Vec<(&str, &str)> = sum.example.to_vec();
    pairs.retain(|(key, _)| *key != "height" && *key != "ride_height");
    pairs.extend([("height", height.as_str()), ("ride_height", "190 mm")]);
    let given = typed(sum, &pairs);
    let at = sum.output("joint2").unwrap();
    let first = sum.evaluate(&given).unwrap().value(at).unwrap().u().si();
    let trials = sum.draw(&given, 20_000, 3).unwrap();
    let drawn = trials.results.iter().find(|d| d.output == at).unwrap();
    let ratio = first / drawn.deviation.si();
    assert!((1.0..2.1).contains(&ratio), "{first} {drawn:?}");
    // An even spread folded in the middle: half its old width, so half its deviation.
    let pinion = sum.output("pinion").unwrap();
    let shaft = sum.output("shaft").unwrap();
    let of = |at| {
        trials
            .results
            .iter()
            .find(|d| d.output == at)
            .unwrap()
            .deviation
            .si()
    };
    assert!((drawn.deviation.si() / (of(pinion) + of(shaft)) - 0.5).abs() < 0.01);
}

#[test]
fn the_inputs_it_refuses_and_why() {
    let height = find("driveline_at_height").unwrap();
    let band = find("height_band").unwrap();
    let links = find("driveline_four_link").unwrap();
    let found = find("driveline_found").unwrap();
    let rows: [(&'static Sum, &[Typed], &str); 13] = [
        (
            height,
            &[("arm_length", "20 mm"), ("pivot_below", "0 mm")],
            "",
        ),
        (
            height,
            &[("arm_length", "200 mm"), ("pivot_below", "0 mm")],
            "arm_length",
        ),
        (height, &[("height", "1500 mm")], "height"),
        (height, &[("shaft_length", "")], "shaft_slope"),
        (
            height,
            &[("joint1_back", "1929 mm"), ("joint1_up", "666 mm")],
            "shaft_slope",
        ),
        (height, &[("coupling_length", "700 mm")], "pieces"),
        (height, &[("pieces", "two")], "coupling_slope"),
        (height, &[("block_height", "190 mm")], "pinion_on_blocks"),
        (height, &[("pinion_on_blocks", "4.3°")], "block_height"),
        (band, &[("lower_stop", "200 mm")], "lower_stop"),
        (band, &[("upper_stop", "180 mm")], "upper_stop"),
        (links, &[("height", "1900 mm")], "height"),
        (found, &[("upper_stop", "1500 mm")], "upper_stop"),
    ];
    for (sum, changes, key) in rows {
        match (sum.evaluate(&with(sum, changes)), key) {
            (Err(CalcError::Range { input, .. }), "") => assert_eq!(input, "arm_length"),
            (Err(CalcError::Refused { input, .. } | CalcError::Missing { input, .. }), key) => {
                assert_eq!(input, key, "{changes:?}");
            }
            (other, _) => panic!("{changes:?}: {other:?}"),
        }
    }
    // Both links on one line: 930 mm further ahead and 60 mm higher at each end.
    let line = [
        ("upper_front_back", "2130 mm"),
        ("upper_front_up", "530 mm"),
        ("upper_rear_back", "2750 mm"),
        ("upper_rear_up", "490 mm"),
    ];
    let said = links.evaluate(&with(links, &line)).unwrap_err().to_string();
    assert!(said.contains("do not hold the axle"), "{said}");
}

#[test]
fn slopes_that_are_read_make_the_margin_doubtful() {
    // Equality closes below: pinion less gearbox, each ± 0.1°, at the printed 11.3 mm for
    // a degree of the axle, less what the frame turns (0.0155°/mm) meanwhile: 9.6 mm/°
    // as both turn. Ride height ± 0.5 mm moves room and end alike or against each other.
    let sum = find("height_band").unwrap();
    assert!(sum.range.contains("without ± is taken as exact"));
    assert!(sum.range.contains("about 1 mm"));
    let given = example(sum);
    let found = sum.evaluate(&given).unwrap();
    let of = |key| found.value(sum.output(key).unwrap()).unwrap();
    let u = of("margin").u().si() * 1e3;
    let by_slopes = 0.1 * 2.0_f64.sqrt() / 3.0_f64.sqrt() * 9.6;
    assert!((by_slopes * 0.9..by_slopes * 1.6).contains(&u), "{u}");
    let trials = sum.draw(&given, 4000, 9).unwrap();
    let at = sum.output("margin").unwrap();
    let drawn = trials.results.iter().find(|d| d.output == at).unwrap();
    let ratio = u / (drawn.deviation.si() * 1e3);
    assert!((ratio - 1.0).abs() < 0.1, "{u} {ratio}");
    // 0.1° more of the pinion: the end moves by about 1 mm.
    let more = sum
        .evaluate(&with(sum, &[("pinion_slope", "4.4°")]))
        .unwrap();
    let moved = (value(sum, &found, "lowest") - value(sum, &more, "lowest")).abs() * 1e3;
    assert!((0.8..1.2).contains(&moved), "{moved}");
}

#[test]
fn links_move_an_end_further_than_a_clamped_arm() {
    // Joint 1 closes below: only frame and shaft turn for it, so 0.1° takes more height.
    let sum = find("four_link_band").unwrap();
    assert!(sum.range.contains("more on links"));
    let given = example(sum);
    let found = sum.evaluate(&given).unwrap();
    assert_eq!(text(sum, &found, "closes_below"), "joint 1 too straight");
    let more = sum
        .evaluate(&with(sum, &[("gearbox_slope", "4.6°")]))
        .unwrap();
    let moved = (value(sum, &found, "lowest") - value(sum, &more, "lowest")).abs() * 1e3;
    assert!((1.2..5.0).contains(&moved), "{moved}");
    let at = sum.output("margin").unwrap();
    let u = found.value(at).unwrap().u().si();
    let trials = sum.draw(&given, 4000, 9).unwrap();
    let drawn = trials.results.iter().find(|d| d.output == at).unwrap();
    let ratio = u / drawn.deviation.si();
    assert!((ratio - 1.0).abs() < 0.1, "{u} {ratio}");
}
