//! Published and computed values for aim, bands and heights. IDs are those of the
//! table of check values; the confidence words are its own.

use proptest::prelude::*;

use super::lamp::{LampBand, illuminance, lamp_band, wall_mark};
use super::*;
use crate::calc::sum::Gives;
use crate::calc::tests::{example, typed};
use crate::calc::{CalcError, Evaluation};
use crate::quantity::Unit;
use uom::si::f64::LuminousIntensity;

fn metre(m: f64) -> Length {
    Length::of_si(m)
}

fn percent(p: f64) -> Slope {
    Slope::of_si((p / 100.0).atan())
}

fn evaluate(sum: &'static Sum, pairs: &[(&str, &str)]) -> Result<Evaluation, CalcError> {
    sum.evaluate(&typed(sum, pairs))
}

fn si(sum: &'static Sum, found: &Evaluation, key: &str) -> f64 {
    let at = sum.output(key).unwrap();
    found
        .value(at)
        .unwrap_or_else(|| panic!("{key}"))
        .value()
        .si()
}

fn value(sum: &'static Sum, pairs: &[(&str, &str)], key: &str) -> f64 {
    let found = evaluate(sum, pairs).unwrap_or_else(|e| panic!("{pairs:?}: {e}"));
    si(sum, &found, key)
}

/// Percent of a slope in rad.
fn in_percent(rad: f64) -> f64 {
    rad.tan() * 100.0
}

/// Inside: no room is negative by more than dust.
fn inside(sum: &'static Sum, pairs: &[(&str, &str)], keys: [&str; 2]) -> bool {
    keys.iter().all(|key| value(sum, pairs, key) >= -1e-12)
}

#[test]
fn a_wall_mark_is_the_drop_under_the_lamp() {
    // 2.1, 2.2 (geometry, computed); 2.4 (German definition, read and computed): mm.
    for (id, lamp, e, distance, mark, drop) in [
        ("2.1", "1000 mm", "-1.0 %", "10 m", 900.0, 100.0),
        ("2.1", "1000 mm", "-1.0 %", "25 m", 750.0, 250.0),
        ("2.2", "1000 mm", "-1.5 %", "10 m", 850.0, 150.0),
        ("2.2", "1000 mm", "-1.5 %", "25 m", 625.0, 375.0),
        ("2.4", "90 cm", "-1.0 %", "10 m", 800.0, 100.0),
    ] {
        let pairs = [
            ("lamp_height", lamp),
            ("inclination", e),
            ("distance", distance),
        ];
        assert!(
            (value(&WALL_MARK, &pairs, "mark") * 1e3 - mark).abs() < 0.1,
            "{id}"
        );
        assert!(
            (value(&WALL_MARK, &pairs, "drop") * 1e3 - drop).abs() < 0.1,
            "{id}"
        );
    }
    // 2.1, 2.2: the angles, through the way back from the wall.
    for (id, mark, degree) in [("2.1", "900 mm", 0.5729), ("2.2", "850 mm", 0.8594)] {
        let pairs = [
            ("lamp_height", "1000 mm"),
            ("mark", mark),
            ("distance", "10 m"),
        ];
        let found = value(&WALL_INCLINATION, &pairs, "inclination").to_degrees();
        assert!((found + degree).abs() < 1e-4, "{id} {found}");
    }
    // 2.13 (FMVSS 108 S10.18.9, from memory; computed): 0.4° at 25 ft, 2.094 in.
    let down = Slope::of_si(-0.4_f64.to_radians());
    let drop = -wall_mark(metre(0.0), down, metre(25.0 * 0.3048)).si();
    assert!((drop / 0.0254 - 2.094).abs() < 0.01 && (drop * 1e3 - 53.20).abs() < 0.25);
}

/// A measured beam, and whether it is wanted so.
fn stays(lamp: &str, e: &str) -> bool {
    let pairs = [("inclination", e), ("lamp_height", lamp)];
    inside(&LAMP_BAND, &pairs, ["stay_margin_up", "stay_margin_down"])
}

#[test]
fn the_bands_hold_their_edges() {
    // 2.5, 2.6 and the table (UN R48, from memory, very sure).
    for (id, lamp, e, expected) in [
        ("2.5", "0.75 m", "-0.5 %", true),
        ("2.5", "0.75 m", "-0.4 %", false),
        ("2.5", "0.75 m", "-2.5 %", true),
        ("2.5", "0.75 m", "-2.6 %", false),
        ("2.6", "1.10 m", "-0.9 %", false),
        ("2.6", "1.10 m", "-1.0 %", true),
        ("2.6", "1.10 m", "-3.0 %", true),
        ("2.6", "1.10 m", "-3.1 %", false),
    ] {
        assert_eq!(stays(lamp, e), expected, "{id} {lamp} {e}");
    }
    let found = |height: f64, off_road| lamp_band(metre(height), off_road, None, None).unwrap();
    for (height, off_road, rule, loose) in [
        (0.799, false, "lamp under 0.8 m", false),
        (
            0.8,
            false,
            "lamp from 0.8 to 1.0 m, either band: the stricter edges count",
            true,
        ),
        (
            1.0,
            false,
            "lamp from 0.8 to 1.0 m, either band: the stricter edges count",
            true,
        ),
        (1.001, false, "lamp over 1.0 m", false),
        (1.2, true, "lamp over 1.0 m", false),
        (1.201, true, "off-road truck, lamp over 1.2 m", false),
        (1.201, false, "lamp over 1.0 m", false),
    ] {
        let LampBand {
            rule: said,
            loose: two,
            ..
        } = found(height, off_road);
        assert_eq!((said, two.is_some()), (rule, loose), "{height}");
    }
}

#[test]
fn each_row_gives_its_edges() {
    // The table of UN R48 (from memory, very sure): set high, low, stay high, low in %.
    let both = [-1.5, -1.5, -1.0, -2.5];
    for (pairs, edges) in [
        (&[("lamp_height", "0.72 m")][..], [-1.0, -1.5, -0.5, -2.5]),
        (&[("lamp_height", "1.1 m")], [-1.5, -2.0, -1.0, -3.0]),
        (
            &[("lamp_height", "1.3 m"), ("off_road", "yes")],
            [-2.0, -2.5, -1.5, -3.5],
        ),
        (&[("lamp_height", "0.9 m")], both),
        (&[("lamp_height", "0.8 m")], both),
        (&[("lamp_height", "1.0 m"), ("marked", "-1.5 %")], both),
        (
            &[("lamp_height", "0.8 m"), ("marked", "-1.2 %")],
            [-1.0, -1.5, -0.5, -2.5],
        ),
        (
            &[("lamp_height", "1.0 m"), ("marked", "-1.8 %")],
            [-1.5, -2.0, -1.0, -3.0],
        ),
        (
            &[("lamp_height", "0.9 m"), ("choice", "first")],
            [-1.0, -1.5, -0.5, -2.5],
        ),
        (
            &[("lamp_height", "0.9 m"), ("choice", "second")],
            [-1.5, -2.0, -1.0, -3.0],
        ),
    ] {
        let mut all = pairs.to_vec();
        all.push(("inclination", "-1.3 %"));
        let keys = ["set_high", "set_low", "stay_high", "stay_low"];
        for (key, edge) in keys.iter().zip(edges) {
            let found = in_percent(value(&LAMP_BAND, &all, key));
            assert!((found - edge).abs() < 1e-9, "{all:?} {key} {found}");
        }
    }
    let loose = [("lamp_height", "0.9 m"), ("inclination", "-1.3 %")];
    for (key, edge) in [
        ("set_high_loose", -1.0),
        ("set_low_loose", -2.0),
        ("stay_high_loose", -0.5),
        ("stay_low_loose", -3.0),
    ] {
        assert!(
            (in_percent(value(&LAMP_BAND, &loose, key)) - edge).abs() < 1e-9,
            "{key}"
        );
    }
}

#[test]
fn a_marked_value_that_fits_no_band_is_refused() {
    for (lamp, marked, choice) in [
        ("0.72 m", "-1.8 %", "first"),
        ("1.1 m", "-1.2 %", "second"),
        ("0.9 m", "-2.2 %", "first"),
        ("0.9 m", "-1.2 %", "second"),
    ] {
        let pairs = [
            ("inclination", "-1.3 %"),
            ("lamp_height", lamp),
            ("marked", marked),
            ("choice", choice),
        ];
        let said = evaluate(&LAMP_BAND, &pairs).unwrap_err().to_string();
        assert!(said.contains("marked"), "{said}");
    }
}

#[test]
fn lowering_the_rear_lifts_the_beam() {
    // 2.7 and 13.6 (computed): -1.0 % becomes -0.459 %, out of the -0.5 % edge.
    let after = [
        ("before", "-1.0 %"),
        ("rear_change", "-20 mm"),
        ("wheelbase", "3700 mm"),
    ];
    let e = in_percent(value(&LAMP_AFTER, &after, "after"));
    assert!((e + 0.459).abs() < 0.001, "{e}");
    assert!(value(&LAMP_AFTER, &after, "change") > 0.0);
    assert!(!stays("0.75 m", &format!("{e:.3} %")));
    // The demo truck (invented sheet, computed there), to its printed digits.
    for (rear, printed) in [("-7 mm", -1.01), ("-15 mm", -0.79)] {
        let pairs = [
            ("before", "-1.20 %"),
            ("rear_change", rear),
            ("wheelbase", "3700 mm"),
        ];
        let e = in_percent(value(&LAMP_AFTER, &pairs, "after"));
        assert!((e - printed).abs() <= 0.005, "{rear} {e}");
    }
    let set = |e: &str| {
        let pairs = [
            ("inclination", e),
            ("lamp_height", "720 mm"),
            ("marked", "-1.2 %"),
        ];
        inside(&LAMP_BAND, &pairs, ["set_margin_up", "set_margin_down"])
    };
    assert!(set("-1.01 %") && !set("-0.79 %"));
}

#[test]
fn a_change_of_height_pitches_the_truck() {
    // 13.1, 13.2 (computed): degrees, metres at 100 m. The rear goes down: nose up.
    for (id, rear, wheelbase, degree, shift) in [
        ("13.1", "-10 mm", "3600 mm", 0.15915, 0.2778),
        ("13.2", "-15 mm", "3700 mm", 0.23228, 0.4054),
        ("13.6", "15 mm", "3700 mm", -0.23228, -0.4054),
    ] {
        let pairs = [
            ("rear_change", rear),
            ("wheelbase", wheelbase),
            ("distance", "100 m"),
        ];
        let found = evaluate(&BEAM_SHIFT, &pairs).unwrap();
        let pitch = si(&BEAM_SHIFT, &found, "pitch").to_degrees();
        assert!((pitch - degree).abs() < 1e-5, "{id} {pitch}");
        assert!(
            (si(&BEAM_SHIFT, &found, "shift") - shift).abs() < 1e-4,
            "{id}"
        );
    }
    // Demo sheets (invented, computed there): pitch for 1 mm and 1 in, in ° and %.
    for (rear, wheelbase, degree, d_tol, percent, p_tol) in [
        ("-1 mm", "3700 mm", 0.0155, 5e-5, 0.027, 5e-4),
        ("-1 in", "160 in", 0.358, 5e-4, 0.625, 5e-4),
        ("-15 mm", "3700 mm", 0.23, 5e-3, 0.405, 5e-4),
    ] {
        let pairs = [("rear_change", rear), ("wheelbase", wheelbase)];
        let pitch = value(&PITCH, &pairs, "pitch");
        assert!((pitch.to_degrees() - degree).abs() <= d_tol, "{rear}");
        assert!((in_percent(pitch) - percent).abs() <= p_tol, "{rear}");
    }
}

#[test]
fn a_front_that_follows_leaves_no_pitch() {
    let pairs = [
        ("rear_change", "20 mm"),
        ("front_change", "20 mm"),
        ("wheelbase", "3.7 m"),
    ];
    assert!(value(&PITCH, &pairs, "pitch").abs() < 1e-15);
}

#[test]
fn a_limit_leaves_room_both_ways() {
    let found = evaluate(&BEAM_SHIFT, BEAM_SHIFT.example).unwrap();
    let room = |key: &str| si(&BEAM_SHIFT, &found, key).to_degrees();
    // 0.2° ∓ 0.23228° (13.2).
    assert!((room("margin_up") + 0.03228).abs() < 1e-5);
    assert!((room("margin_down") - 0.43228).abs() < 1e-5);
}

#[test]
fn one_side_higher_rolls_the_truck() {
    // 13.5 (computed).
    let found = evaluate(&ROLL, ROLL.example).unwrap();
    let degree = si(&ROLL, &found, "roll").to_degrees();
    assert!((degree - 0.12062).abs() < 1e-5, "{degree}");
    assert!((si(&ROLL, &found, "margin_right").to_degrees() - 0.07938).abs() < 1e-5);
    assert!((si(&ROLL, &found, "margin_left").to_degrees() - 0.32062).abs() < 1e-5);
}

#[test]
fn national_rules_hold_their_edges() {
    // 2.9, 2.10 (read).
    for (id, lamp, e, expected) in [
        ("2.9", "850 mm", "-0.5 %", true),
        ("2.9", "85 cm", "-0.5 %", true),
        ("2.9", "850 mm", "-0.4 %", false),
        ("2.9", "850 mm", "-2.75 %", true),
        ("2.9", "850 mm", "-2.8 %", false),
        ("2.10", "851 mm", "-1.25 %", true),
        ("2.10", "851 mm", "-1.2 %", false),
        ("2.10", "851 mm", "-2.75 %", true),
        ("2.10", "851 mm", "-2.8 %", false),
    ] {
        let pairs = [
            ("rule", "uk_test"),
            ("inclination", e),
            ("lamp_height", lamp),
        ];
        let found = inside(&LAMP_RULE, &pairs, ["margin_up", "margin_down"]);
        assert_eq!(found, expected, "{id} {lamp} {e}");
    }
    // 2.11 (read; H = 150 cm gives 50 cm on 10 m), 2.13 (from memory).
    for (id, rule, lamp, target) in [
        ("2.11", "germany_level", "100 cm", -1.0),
        ("2.11", "germany_tall", "150 cm", -5.0),
        ("2.13", "us_left", "36 in", -0.698_131_7 - 1.13e-5),
        ("2.13", "us_right", "36 in", 0.0),
    ] {
        let pairs = [
            ("rule", rule),
            ("inclination", "-1.0 %"),
            ("lamp_height", lamp),
        ];
        let found = in_percent(value(&LAMP_RULE, &pairs, "target"));
        assert!((found - target).abs() < 1e-5, "{id} {rule} {found}");
    }
    let off = [
        ("rule", "us_left"),
        ("inclination", "-0.6°"),
        ("tolerance", "0.76°"),
    ];
    assert!((value(&LAMP_RULE, &off, "deviation").to_degrees() + 0.2).abs() < 1e-9);
    assert!((value(&LAMP_RULE, &off, "margin_down").to_degrees() - 0.56).abs() < 1e-9);
}

#[test]
fn a_rule_that_goes_by_height_wants_one() {
    for rule in ["uk_test", "germany_tall"] {
        let said = evaluate(&LAMP_RULE, &[("rule", rule), ("inclination", "-1 %")]);
        assert!(said.unwrap_err().to_string().contains("lamp_height"));
    }
    let low = [
        ("rule", "germany_tall"),
        ("inclination", "-1 %"),
        ("lamp_height", "140 cm"),
    ];
    assert!(
        evaluate(&LAMP_RULE, &low)
            .unwrap_err()
            .to_string()
            .contains("140 cm")
    );
}

#[test]
fn lamp_heights_have_their_edges() {
    // 2.15 (49 CFR 571.108 Table X, from memory): mm; UN R48 500 to 1200 mm, 1500 mm
    // for off-road trucks (from memory, very sure).
    for (rule, lowest, highest) in [
        ("us", 558.8, 1371.6),
        ("un_r48", 500.0, 1200.0),
        ("un_r48_off_road", 500.0, 1500.0),
    ] {
        let pairs = [("rule", rule), ("height", "900 mm")];
        let found = evaluate(&LAMP_HEIGHT, &pairs).unwrap();
        let mm = |key: &str| si(&LAMP_HEIGHT, &found, key) * 1e3;
        assert!((mm("lowest") - lowest).abs() < 0.1 && (mm("highest") - highest).abs() < 0.1);
        assert!((mm("margin_low") - (900.0 - lowest)).abs() < 0.1);
        assert!((mm("margin_high") - (highest - 900.0)).abs() < 0.1);
    }
    let raised = value(&LAMP_HEIGHT, LAMP_HEIGHT.example, "after");
    assert!((raised - 36.5 * 0.0254).abs() < 1e-12);
}

#[test]
fn a_beam_of_625_candela_just_does_not_glare() {
    // 2.12 (German guideline of 2018, read and computed).
    let lux = illuminance(LuminousIntensity::of_si(625.0), metre(25.0)).si();
    assert!((lux - 1.0).abs() < 1e-9);
    // The same beam read at 10 m: 6.25 lx.
    let pairs = [("reading_lux", "6.25"), ("distance", "10 m")];
    assert!((value(&GLARE, &pairs, "candela") - 625.0).abs() < 1e-9);
    assert!(value(&GLARE, &pairs, "margin_lux").abs() < 1e-9);
}

#[test]
fn a_raise_may_take_a_truck_over_four_metres() {
    // 3.8 (Directive 96/53/EC, from memory, very sure).
    let pairs = [
        ("height", "3985 mm"),
        ("raise", "20 mm"),
        ("limit", "4010 mm"),
    ];
    for (key, expected) in [("after", 4.005), ("margin_eu", -0.005), ("margin", 0.005)] {
        let found = value(&OVERALL_HEIGHT, &pairs, key);
        assert!((found - expected).abs() < 1e-9, "{key} {found}");
    }
}

#[test]
fn a_coupling_height_has_its_band() {
    // 3.15 (ISO 1726-1, from memory; check the document).
    for (height, expected) in [
        ("1149 mm", false),
        ("1150 mm", true),
        ("1300 mm", true),
        ("1301 mm", false),
    ] {
        let pairs = [
            ("height", height),
            ("rear_change", "0 mm"),
            ("wheelbase", "3700 mm"),
            ("ahead", "600 mm"),
            ("band_low", "1150 mm"),
            ("band_high", "1300 mm"),
        ];
        let found = inside(&COUPLING_HEIGHT, &pairs, ["margin_low", "margin_high"]);
        assert_eq!(found, expected, "{height}");
    }
    // A quarter of the wheelbase ahead of the axle: three quarters of the change.
    let pairs = [
        ("height", "1240 mm"),
        ("rear_change", "-16 mm"),
        ("wheelbase", "3600 mm"),
        ("ahead", "900 mm"),
    ];
    assert!((value(&COUPLING_HEIGHT, &pairs, "change") + 0.012).abs() < 1e-12);
    assert!((value(&COUPLING_HEIGHT, &pairs, "after") - 1.228).abs() < 1e-12);
}

proptest! {
    #[test]
    fn the_wall_gives_the_inclination_back(
        lamp in 0.5_f64..1.5, e in -4.0_f64..1.0, distance in 3.0_f64..12.0,
    ) {
        let mark = wall_mark(metre(lamp), percent(e), metre(distance)).si();
        let pairs = [
            ("lamp_height", format!("{lamp:.6} m")),
            ("mark", format!("{mark:.6} m")),
            ("distance", format!("{distance:.6} m")),
        ];
        let pairs: Vec<(&str, &str)> = pairs.iter().map(|(k, t)| (*k, t.as_str())).collect();
        let found = in_percent(value(&WALL_INCLINATION, &pairs, "inclination"));
        prop_assert!((found - e).abs() < 1e-3);
    }

    #[test]
    fn the_coupling_over_the_axle_goes_with_it(
        rear in -0.1_f64..0.1, front in -0.1_f64..0.1, wheelbase in 2.0_f64..8.0,
    ) {
        let at = |from: f64| {
            rise_at(metre(from), metre(front), metre(rear), metre(wheelbase)).si()
        };
        prop_assert!((at(wheelbase) - rear).abs() < 1e-12);
        prop_assert!((at(0.0) - front).abs() < 1e-12);
        prop_assert!((at(wheelbase / 2.0) - f64::midpoint(front, rear)).abs() < 1e-12);
    }

    #[test]
    fn a_set_lamp_stays_in_its_band(height in 0.5_f64..1.5, off_road: bool, first: bool) {
        // Every initial aim lies at least half a percent inside what it must stay in.
        let band = lamp_band(metre(height), off_road, Some(first), None).unwrap();
        prop_assert!(band.loose.is_none());
        let pairs = [
            ("lamp_height", format!("{height:.6} m")),
            ("off_road", if off_road { "yes" } else { "no" }.to_owned()),
            ("choice", if first { "first" } else { "second" }.to_owned()),
            ("inclination", "-1.5 %".to_owned()),
        ];
        let pairs: Vec<(&str, &str)> = pairs.iter().map(|(k, t)| (*k, t.as_str())).collect();
        let edge = |key: &str| in_percent(value(&LAMP_BAND, &pairs, key));
        prop_assert!(edge("stay_high") - edge("set_high") > 0.5 - 1e-9);
        prop_assert!(edge("set_low") - edge("stay_low") > 1.0 - 1e-9);
    }
}

#[test]
fn trials_agree_with_first_order() {
    let sum = &LAMP_AFTER;
    let inputs = typed(
        sum,
        &[
            ("before", "-1.2 % ± 0.1 %"),
            ("rear_change", "-15 mm ± 2 mm"),
            ("wheelbase", "3700 mm ± 10 mm"),
        ],
    );
    let first = sum.evaluate(&inputs).unwrap().value(0).unwrap().u().si();
    let trials = sum.draw(&inputs, 100_000, 5).unwrap();
    assert!((trials.results[0].deviation.si() / first - 1.0).abs() < 0.02);
    assert!(LAMP_BAND.evaluate(&example(&LAMP_BAND)).is_ok());
}

#[test]
fn a_beam_is_told_in_percent_with_its_sign() {
    use crate::quantity::System;
    let said = |sum: &'static Sum, key: &str| {
        let at = sum.output(key).unwrap();
        let found = sum.evaluate(&example(sum)).unwrap();
        sum.outputs[at].say(&found.value(at).unwrap(), System::Metric, 2)
    };
    // -0.5 % over -1.01 %; 7 mm on 3700 mm; 120 mm on 10 m. By hand.
    for (sum, key, expected) in [
        (&LAMP_BAND, "stay_high", "-0.50 %"),
        (&LAMP_BAND, "set_margin_up", "0.01 %"),
        (&LAMP_AFTER, "after", "-1.01 %"),
        (&LAMP_AFTER, "change", "0.19 %"),
        (&LAMP_RULE, "low", "-2.75 %"),
        (&WALL_INCLINATION, "inclination", "-1.20 %"),
    ] {
        let found = said(sum, key).replace(['−', '\u{2011}'], "-");
        assert_eq!(
            found.trim_start_matches('+'),
            expected,
            "{} {key}",
            sum.name
        );
    }
    for sum in [
        &LAMP_AFTER,
        &LAMP_BAND,
        &LAMP_RULE,
        &WALL_MARK,
        &WALL_INCLINATION,
    ] {
        let slopes = sum
            .outputs
            .iter()
            .filter(|o| o.gives == Gives::Is(Kind::Slope));
        for output in slopes {
            assert!(output.plain && output.unit == Some(Unit::Percent));
            let title = output.title;
            assert!(
                title.contains("is down")
                    || title.contains("is inside")
                    || title.contains("is further down"),
                "{title}"
            );
        }
    }
}

#[test]
fn a_beam_typed_without_its_sign_is_refused_with_the_way_out() {
    for (sum, key) in [
        (&LAMP_AFTER, "before"),
        (&LAMP_AFTER, "marked"),
        (&LAMP_BAND, "inclination"),
        (&LAMP_RULE, "inclination"),
        (&WALL_MARK, "inclination"),
    ] {
        let with = |text: &'static str| {
            let mut pairs = sum.example.to_vec();
            pairs.retain(|(k, _)| *k != key);
            pairs.push((key, text));
            evaluate(sum, &pairs)
        };
        let said = with("1.2 %").unwrap_err().to_string();
        assert!(said.contains("type -1.2 %"), "{} {said}", sum.name);
        assert!(with("-1.2 %").is_ok());
    }
}

#[test]
fn heights_in_the_wrong_unit_are_refused() {
    for (sum, key, text) in [
        (&LAMP_HEIGHT, "height", "900 m"),
        (&LAMP_HEIGHT, "height", "9 mm"),
        (&WALL_MARK, "lamp_height", "72 mm"),
        (&WALL_INCLINATION, "mark", "600 m"),
        (&OVERALL_HEIGHT, "height", "3720 in"),
        (&COUPLING_HEIGHT, "height", "1240 in"),
        (&BEAM_SHIFT, "distance", "100000 m"),
        (&BEAM_SHIFT, "rear_change", "15 m"),
        (&ROLL, "left", "192 m"),
    ] {
        let mut pairs = sum.example.to_vec();
        pairs.retain(|(k, _)| *k != key);
        pairs.push((key, text));
        let found = evaluate(sum, &pairs);
        assert!(
            matches!(found, Err(CalcError::Range { input, .. }) if input == key),
            "{} {key} {found:?}",
            sum.name
        );
    }
}
