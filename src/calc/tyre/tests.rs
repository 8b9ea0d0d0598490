//! Rules for tread as published, twins and turning by geometry, and what is refused.

use super::*;
use crate::calc::tests::typed;
use crate::quantity::{System, Unit};

fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{found} is not {expected} ± {tolerance}"
    );
}

fn value(sum: &'static Sum, inputs: &[(&str, &str)], key: &str, unit: Unit) -> f64 {
    let found = sum.evaluate(&typed(sum, inputs)).unwrap();
    let measured = found.value(sum.output(key).unwrap());
    let measured = measured.unwrap_or_else(|| panic!("no {key}"));
    measured.value().in_unit(unit).unwrap()
}

fn refusal(sum: &'static Sum, inputs: &[(&str, &str)]) -> String {
    sum.evaluate(&typed(sum, inputs)).unwrap_err().to_string()
}

fn margin(inputs: &[(&str, &str)]) -> f64 {
    value(&TREAD, inputs, "margin", Unit::Millimetre)
}

#[test]
fn the_us_rule_asks_for_more_in_front() {
    // 3.4 (read and computed): 4/32 in = 3.175 mm, 2/32 in = 1.5875 mm; front 3.17 mm
    // fails, 3.18 mm passes.
    for (axle, depth, left_mm) in [
        ("front", "3.17 mm", -0.005),
        ("front", "3.18 mm", 0.005),
        ("front", "4/32 in", 0.0),
        ("other", "3.17 mm", 1.5825),
        ("other", "2/32 in", 0.0),
        ("other", "1.58 mm", -0.0075),
    ] {
        let inputs = [("rule", "us_393_75"), ("axle", axle), ("depth", depth)];
        near(margin(&inputs), left_mm, 1e-9);
    }
    let said = refusal(&TREAD, &[("rule", "us_393_75"), ("depth", "5 mm")]);
    assert!(said.contains("say front or other"), "{said}");
}

#[test]
fn the_eu_directive_is_not_for_trucks() {
    // 3.5 (read): M1, N1, O1, O2 alone, 1.6 mm; N3 is not covered, use the national rule.
    for category in ["m1", "n1", "o1", "o2"] {
        let inputs = [
            ("rule", "eu_89_459"),
            ("category", category),
            ("depth", "1.7 mm"),
        ];
        near(margin(&inputs), 0.1, 1e-9);
    }
    for category in ["m2", "m3", "n2", "n3", "o3", "o4"] {
        let inputs = [
            ("rule", "eu_89_459"),
            ("category", category),
            ("depth", "9 mm"),
        ];
        let said = refusal(&TREAD, &inputs);
        assert!(
            said.contains(&format!("can't use {category} for category"))
                && said.contains("not covered by eu_89_459, use the national rule"),
            "{said}"
        );
    }
    let said = refusal(&TREAD, &[("rule", "eu_89_459"), ("depth", "9 mm")]);
    assert!(said.contains("say which it is"), "{said}");
}

#[test]
fn france_lets_one_of_four_points_be_lower() {
    // 3.6 (read): 1.2/1.1/0.9/1.3 passes, 0.9/0.9/1.2/1.2 fails.
    for (depths, left_mm, least_mm) in [
        ("1.2 mm, 1.1 mm, 0.9 mm, 1.3 mm", 0.1, 0.9),
        ("0.9 mm, 0.9 mm, 1.2 mm, 1.2 mm", -0.1, 0.9),
        ("0.2 mm, 1.0 mm, 1.0 mm, 1.0 mm", 0.0, 0.2),
    ] {
        let inputs = [("rule", "france_2019"), ("depth", depths)];
        near(margin(&inputs), left_mm, 1e-9);
        near(
            value(&TREAD, &inputs, "least", Unit::Millimetre),
            least_mm,
            1e-9,
        );
    }
    let said = refusal(
        &TREAD,
        &[("rule", "france_2019"), ("depth", "5 mm, 5 mm, 5 mm")],
    );
    assert!(said.contains("four points"), "{said}");
}

#[test]
fn french_tyres_on_one_axle_are_alike() {
    // 3.6 (read): 12.0 and 6.9 mm on one axle fail, at most 5 mm apart.
    for (left, right, margins) in [
        ("12.0 mm", "6.9 mm", (-0.1, 10.1)),
        ("6.9 mm", "12.0 mm", (10.1, -0.1)),
        ("12.0 mm", "7.0 mm", (0.0, 10.0)),
    ] {
        let inputs = [("left", left), ("right", right)];
        let got = |key| value(&TREAD_PAIR, &inputs, key, Unit::Millimetre);
        near(got("left_margin"), margins.0, 1e-9);
        near(got("right_margin"), margins.1, 1e-9);
    }
    let sheet = [("left", "12 mm"), ("right", "10 mm"), ("limit", "3 mm")];
    near(
        value(&TREAD_PAIR, &sheet, "left_margin", Unit::Millimetre),
        1.0,
        1e-9,
    );
}

#[test]
fn great_britain_and_the_sheet_have_one_limit() {
    // 3.7 (from memory, very sure): 1.0 mm over 3.5 t.
    let inputs = [("rule", "great_britain"), ("depth", "1.2 mm, 0.9 mm, 3 mm")];
    near(margin(&inputs), -0.1, 1e-9);
    let inputs = [
        ("rule", "sheet"),
        ("sheet_limit", "3 mm"),
        ("depth", "4.5 mm, 5 mm"),
    ];
    near(margin(&inputs), 1.5, 1e-9);
    near(value(&TREAD, &inputs, "limit", Unit::Millimetre), 3.0, 1e-9);
    let said = refusal(&TREAD, &[("rule", "sheet"), ("depth", "5 mm")]);
    assert!(said.contains("sheet_limit"), "{said}");
}

#[test]
fn trials_agree_with_first_order_for_the_least_of_several_depths() {
    // The least of several is not smooth where they are alike; a few steps apart it is.
    let depth = "5 mm ± 0.2 mm step 0.1 mm, 5.3 mm ± 0.2 mm step 0.1 mm";
    let given = typed(&TREAD, &[("rule", "great_britain"), ("depth", depth)]);
    let first = TREAD.evaluate(&given).unwrap().value(0).unwrap();
    let trials = TREAD.draw(&given, 100_000, 3).unwrap();
    let drawn = &trials.results[0];
    assert!((first.u().si() - drawn.deviation.si()).abs() < 0.1 * drawn.deviation.si());
}

#[test]
fn twins_are_told_by_their_circumference() {
    // Circles with diameters of 1010 and 1005 mm.
    let round = |mm: f64| format!("{:.4} mm", mm * PI);
    let (inner, outer) = (round(1010.0), round(1005.0));
    let inputs = [
        ("inner", inner.as_str()),
        ("outer", outer.as_str()),
        ("limit", "5 mm"),
    ];
    let mm = |key| value(&TWINS, &inputs, key, Unit::Millimetre);
    near(mm("apart"), 5.0, 1e-4);
    near(mm("inner_margin"), 0.0, 1e-4);
    near(mm("outer_margin"), 10.0, 1e-4);
    // Rolling n turns each: the ways differ by n·Δc; on a kilometre of the mean that is
    // 5/1007.5 of it.
    near(
        value(&TWINS, &inputs, "slip", Unit::One),
        5.0 / 1007.5,
        1e-7,
    );
    near(
        value(&TWINS, &inputs, "slip_in_km", Unit::Metre),
        4.9628,
        1e-4,
    );
    let found = TWINS.evaluate(&typed(&TWINS, &inputs)).unwrap();
    assert_eq!(found.text(3), Some("outer"));
    let alike = [("inner", "3170 mm"), ("outer", "3170 mm")];
    let found = TWINS.evaluate(&typed(&TWINS, &alike)).unwrap();
    assert_eq!(found.text(3), Some("can't be told"));
    let swapped = [("inner", "3150 mm"), ("outer", "3170 mm")];
    let found = TWINS.evaluate(&typed(&TWINS, &swapped)).unwrap();
    assert_eq!(found.text(3), Some("inner"));
}

#[test]
fn shaft_and_wheel_turn_as_the_demo_sheets_say() {
    // Computed with the invented sheets: 89 km/h, 3090 mm, 2.71 → 480 and 1301 rev/min;
    // 65 mph, 516 rev/mile, 3.42 → 559 and 1912 rev/min; to the whole turn.
    for (speed, key, rolling, ratio, wheel, shaft) in [
        ("89 km/h", "circumference", "3090 mm", "2.71", 480.0, 1301.0),
        ("65 mph", "turns_in_mile", "516", "3.42", 559.0, 1912.0),
    ] {
        let inputs = [("speed", speed), (key, rolling), ("ratio", ratio)];
        let got = |key| value(&SHAFT_SPEED, &inputs, key, Unit::RevPerMinute);
        near(got("wheel"), wheel, 0.5);
        near(got("shaft"), shaft, 0.5);
    }
    let said = refusal(&SHAFT_SPEED, &[("speed", "80 km/h"), ("ratio", "3")]);
    assert!(said.contains("circumference"), "{said}");
    let both = [
        ("speed", "80 km/h"),
        ("ratio", "3"),
        ("circumference", "3.1 m"),
        ("turns_in_mile", "516"),
    ];
    let said = refusal(&SHAFT_SPEED, &both);
    assert!(said.contains("one of the two"), "{said}");
}

#[test]
fn a_tyre_turns_as_often_as_its_round_fits() {
    // 1000 m / 3.090 m and 1609.344 m / 3.090 m, by hand.
    let inputs = [("circumference", "3090 mm")];
    near(
        value(&TYRE_TURNS, &inputs, "turns_in_km", Unit::Count),
        323.6246,
        1e-4,
    );
    near(
        value(&TYRE_TURNS, &inputs, "turns_in_mile", Unit::Count),
        520.8233,
        1e-4,
    );
    near(
        value(&TYRE_TURNS, &inputs, "rolling_radius", Unit::Millimetre),
        491.789,
        1e-3,
    );
    // Loaded radius alone: 2π·0.496 m = 3.11646 m.
    let inputs = [("loaded_radius", "496 mm")];
    near(
        value(&TYRE_TURNS, &inputs, "circumference_used", Unit::Metre),
        3.116_460,
        1e-6,
    );
    let said = refusal(&TYRE_TURNS, &[]);
    assert!(said.contains("or the loaded radius"), "{said}");
    let both = [("circumference", "3090 mm"), ("loaded_radius", "496 mm")];
    let said = refusal(&TYRE_TURNS, &both);
    assert!(said.contains("one of the two"), "{said}");
    // Turns and circumference are each other's way back.
    for n in [330.0, 516.0, 700.0] {
        near(turns(Length::of_si(MILE_M), circumference_of(n)), n, 1e-9);
    }
}

#[test]
fn twins_closer_than_the_step_of_the_tape_are_not_told_apart() {
    for (inner, outer, step, told) in [
        ("3170.4 mm", "3171 mm", None, "can't be told"),
        ("3170 mm", "3171 mm", None, "inner"),
        ("3171 mm", "3170 mm", None, "outer"),
        ("3170 mm", "3174 mm", Some("5 mm"), "can't be told"),
        ("3170 mm", "3175 mm", Some("5 mm"), "inner"),
        ("3170.4 mm", "3171 mm", Some("0.1 mm"), "inner"),
        ("3170 mm", "3170 mm", Some("0 mm"), "can't be told"),
    ] {
        let mut inputs = vec![("inner", inner), ("outer", outer)];
        inputs.extend(step.map(|step| ("reading_step", step)));
        let found = TWINS.evaluate(&typed(&TWINS, &inputs)).unwrap();
        assert_eq!(found.text(3), Some(told), "{inputs:?}");
    }
}

#[test]
fn a_loaded_radius_gives_no_circumference_that_would_be_refused() {
    for radius in ["0.235 m", "0.80 m"] {
        let said = refusal(&TYRE_TURNS, &[("loaded_radius", radius)]);
        assert!(said.contains("it takes"), "{radius}: {said}");
    }
    for radius in ["0.24 m", "0.79 m"] {
        let inputs = [("loaded_radius", radius)];
        let round = value(&TYRE_TURNS, &inputs, "circumference_used", Unit::Metre);
        assert!((1.5..=5.0).contains(&round), "{radius}: {round}");
        let again = format!("{round:.4} m");
        value(
            &TYRE_TURNS,
            &[("circumference", &again)],
            "turns_in_km",
            Unit::Count,
        );
    }
}

#[test]
fn turns_are_a_number_and_no_share() {
    let found = TYRE_TURNS
        .evaluate(&typed(&TYRE_TURNS, TYRE_TURNS.example))
        .unwrap();
    for key in ["turns_in_km", "turns_in_mile"] {
        let at = TYRE_TURNS.output(key).unwrap();
        let said = TYRE_TURNS.outputs[at].say(&found.value(at).unwrap(), System::Metric, 1);
        assert!(!said.contains(['%', '(', '=']), "{said}");
    }
}

#[test]
fn the_deciding_tread_has_its_corner_told() {
    assert!(TREAD.range.contains("corner where depths are alike"));
    // And it is so: of four like depths, the least of the trials lies under each.
    let depth = "5 mm step 1 mm, 5 mm step 1 mm, 5 mm step 1 mm, 5 mm step 1 mm";
    let given = typed(&TREAD, &[("rule", "great_britain"), ("depth", depth)]);
    let trials = TREAD.draw(&given, 10_000, 3).unwrap();
    let least = trials.results[0].mean.si();
    assert!(least < 0.004 - 0.0001, "{least}");
}
