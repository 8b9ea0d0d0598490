//! Bellows sums against published and computed values.
//!
//! Confidence: C computed from the stated formula, R read in a public copy, M+ from
//! memory, very sure.

use uom::si::f64::{Area, Frequency, Length, Mass, Pressure, Ratio, Volume};

use super::*;
use crate::calc::amount::{AIR_OUTSIDE_PA, Absolute, Amount, GRAVITY, Gauge};
use crate::calc::tests::{example, typed};
use crate::calc::{CalcError, Evaluation, find};

const PSI_PA: f64 = 6_894.757_293_168_361;
const POUND_KG: f64 = 0.453_592_37;
const SQUARE_INCH_M2: f64 = 0.025_4 * 0.025_4;

fn bar(bar: f64) -> Gauge {
    Gauge::of_si(bar * 1e5)
}

fn near(found: f64, known: f64, tolerance: f64) {
    assert!((found - known).abs() <= tolerance, "{found} for {known}");
}

/// The sum of that name with what is typed.
fn run(name: &str, pairs: &[(&str, &str)]) -> Result<Evaluation, CalcError> {
    let sum = find(name).unwrap();
    sum.evaluate(&typed(sum, pairs))
}

fn value(name: &str, found: &Evaluation, output: &str) -> f64 {
    let at = find(name).unwrap().output(output).unwrap();
    found.value(at).unwrap().value().si()
}

fn text(name: &str, found: &Evaluation, output: &str) -> &'static str {
    let at = find(name).unwrap().output(output).unwrap();
    found.text(at).unwrap()
}

fn spring(pressure_bar: f64) -> AirSpring {
    AirSpring {
        pressure: bar(pressure_bar),
        outside: Absolute::of_si(AIR_OUTSIDE_PA),
        area: Area::of_si(0.070),
        volume: Volume::of_si(0.020),
        area_gain: Length::of_si(0.0),
    }
}

fn hertz(spring: &AirSpring, exponent: f64) -> f64 {
    frequency(spring, Ratio::of_si(exponent), Ratio::of_si(1.0))
        .unwrap()
        .si()
}

#[test]
fn force_is_gauge_pressure_times_area() {
    // 7.1 (C): 5 bar, 0.070 m².
    let force = bellows_force(bar(5.0), Area::of_si(0.070));
    near(force.si(), 35_000.0, 0.1);
    near(carried_mass(force).si(), 3569.0, 0.1);
    // 7.4 (C), its force.
    near(
        bellows_force(bar(3.0), Area::of_si(0.070)).si(),
        21_000.0,
        0.1,
    );
    let found = run(
        "bellows_load",
        &[("pressure", "5 bar"), ("area", "700 cm²")],
    )
    .unwrap();
    near(value("bellows_load", &found, "load"), 3569.0, 0.1);
    near(value("bellows_load", &found, "force"), 35_000.0, 0.1);
}

#[test]
fn stiffness_and_frequency_follow_from_absolute_and_gauge_pressure() {
    // 7.2 (C).
    near(
        stiffness(&spring(5.0), Ratio::of_si(1.38)).si(),
        203_308.0,
        1.0,
    );
    // 7.2, 7.3, 7.4 (C): gauge pressure, exponent, frequency.
    for (pressure, exponent, known) in [
        (5.0, 1.38, 1.2012),
        (5.0, 1.0, 1.0225),
        (5.0, 1.3, 1.1659),
        (5.0, 1.4, 1.2099),
        (3.0, 1.4, 1.2760),
    ] {
        near(hertz(&spring(pressure), exponent), known, 1e-4);
    }
    let name = "bellows_frequency";
    let typed = [
        ("pressure", "5 bar"),
        ("area", "700 cm²"),
        ("volume", "20 dm³"),
        ("exponent", "1.38"),
    ];
    let found = run(name, &typed).unwrap();
    for (output, known, tolerance) in [
        ("frequency", 1.2012, 1e-4),
        ("stiffness", 203_308.0, 1.0),
        ("slow_frequency", 1.0225, 1e-4),
        ("fast_frequency", 1.2099, 1e-4),
    ] {
        near(value(name, &found, output), known, tolerance);
    }
}

#[test]
fn frequency_rises_when_unloaded() {
    // 7.4 says so; here for every load.
    let all: Vec<f64> = (1..80)
        .map(|p| hertz(&spring(f64::from(p) / 10.0), 1.4))
        .collect();
    assert!(all.windows(2).all(|two| two[1] < two[0]));
}

#[test]
fn stiffness_is_the_force_lost_for_a_small_rise() {
    // The same bellows worked by hand: closed air p Vⁿ, area falling with height.
    let (area, volume, gain, n) = (0.070, 0.020, 0.05, 1.3);
    let mut bellows = spring(5.0);
    bellows.area_gain = Length::of_si(gain);
    let force = |up: f64| {
        // dV/dh = A, so V(h) = V + A h − gain h²/2.
        let there = volume + area * up - gain * up * up / 2.0;
        let absolute = (5e5 + AIR_OUTSIDE_PA) * (volume / there).powf(n);
        (absolute - AIR_OUTSIDE_PA) * (area - gain * up)
    };
    let step = 1e-5;
    let slope = (force(-step) - force(step)) / (2.0 * step);
    near(stiffness(&bellows, Ratio::of_si(n)).si() / slope, 1.0, 1e-6);
}

#[test]
fn a_lever_raises_the_frequency_by_its_root() {
    // Worked from the arm: a mass on the axle, the bellows further out.
    let (r, n) = (1.2, 1.38);
    let bellows = spring(5.0);
    let stiff_at_axle = stiffness(&bellows, Ratio::of_si(n)).si() * r * r;
    let mass_at_axle = 35_000.0 * r / GRAVITY;
    let known = (stiff_at_axle / mass_at_axle).sqrt() / std::f64::consts::TAU;
    let found = frequency(&bellows, Ratio::of_si(n), Ratio::of_si(r)).unwrap();
    near(found.si(), known, 1e-9);
}

#[test]
fn thin_air_outside_makes_a_softer_bellows() {
    let typed = |outside| {
        [
            ("pressure", "5 bar"),
            ("area", "700 cm²"),
            ("volume", "20 dm³"),
            ("exponent", "1.0"),
            ("outside", outside),
        ]
    };
    let name = "bellows_frequency";
    let sea = run(name, &typed("1.01325 bar abs")).unwrap();
    let hill = run(name, &typed("0.89875 bar abs")).unwrap();
    near(value(name, &sea, "frequency"), 1.0225, 1e-4);
    assert!(value(name, &hill, "frequency") < value(name, &sea, "frequency"));
}

#[test]
fn a_change_of_area_needs_all_its_three_inputs() {
    let mut pairs = vec![
        ("pressure", "5 bar"),
        ("area", "700 cm²"),
        ("volume", "20 dm³"),
        ("exponent", "1.38"),
        ("area_above", "690 cm²"),
        ("area_below", "710 cm²"),
    ];
    let said = run("bellows_frequency", &pairs).unwrap_err().to_string();
    assert!(said.contains("give all three or none"), "{said}");
    pairs.push(("height_between", "40 mm"));
    let found = run("bellows_frequency", &pairs).unwrap();
    // 20 cm² over 40 mm at 5 bar: 25 000 N/m more than 7.2.
    near(
        value("bellows_frequency", &found, "stiffness"),
        203_308.0 + 25_000.0,
        1.0,
    );
    pairs[4] = ("area_above", "1600 cm²");
    let said = run("bellows_frequency", &pairs).unwrap_err().to_string();
    assert!(said.contains("does not push back"), "{said}");
}

#[test]
fn the_metric_truck_stands_at_its_pressures() {
    // Invented truck BW-07 (I, pressures C): to the last printed digit.
    let lever = Ratio::of_si(1.2);
    for (sprung, known) in [(1750.0, 1.30), (11_500.0 - 1100.0, 7.7)] {
        let found = sprung_pressure(
            Mass::of_si(sprung),
            Ratio::of_si(2.0),
            lever,
            Area::of_si(0.0550),
        );
        near(
            found.si() / 1e5,
            known,
            if known < 2.0 { 0.005 } else { 0.05 },
        );
    }
    let name = "bellows_pressure";
    let found = run(
        name,
        &[
            ("axle_load", "11500 kg"),
            ("unsprung", "1100 kg"),
            ("bellows", "2"),
            ("lever_ratio", "1.20"),
            ("area_ride", "550 cm²"),
        ],
    )
    .unwrap();
    near(value(name, &found, "ride") / 1e5, 7.7, 0.05);
}

#[test]
fn the_us_truck_stands_at_its_pressures() {
    // Invented truck SR-214 (I, pressures C): areas 85, 73, 92 in².
    let name = "bellows_pressure";
    let pairs = |load: &'static str| {
        [
            ("axle_load", load),
            ("unsprung", "2300 lb"),
            ("bellows", "2"),
            ("lever_ratio", "1.30"),
            ("area_ride", "85 in²"),
            ("area_upper", "73 in²"),
            ("area_lower", "92 in²"),
        ]
    };
    let found = run(name, &pairs("6700 lb")).unwrap();
    for (output, psi) in [("ride", 19.9), ("upper", 23.2), ("lower", 18.4)] {
        near(value(name, &found, output) / PSI_PA, psi, 0.05);
    }
    let found = run(name, &pairs("23000 lb")).unwrap();
    near(value(name, &found, "ride") / PSI_PA, 94.0, 0.5);
    // The formula itself with pounds and inches, by hand: 4400 / (2 × 1.3 × 85).
    let found = sprung_pressure(
        Mass::of_si(4400.0 * POUND_KG),
        Ratio::of_si(2.0),
        Ratio::of_si(1.3),
        Area::of_si(85.0 * SQUARE_INCH_M2),
    );
    near(found.si() / PSI_PA, 4400.0 / 221.0, 1e-9);
}

#[test]
fn pressure_as_found_tells_the_other_places() {
    // SR-214 again, from 19.9 psi as found.
    let name = "place_pressure";
    let found = run(name, find(name).unwrap().example).unwrap();
    for (output, psi) in [("ride", 19.9), ("upper", 23.2), ("lower", 18.4)] {
        near(value(name, &found, output) / PSI_PA, psi, 0.05);
    }
    near(
        value(name, &found, "upper_margin") / PSI_PA,
        29.0 - 23.17,
        0.01,
    );
    // Left out, there is no such result.
    let found = run(
        name,
        &[
            ("pressure", "1.30 bar"),
            ("area_found", "550 cm²"),
            ("area_ride", "520 cm²"),
        ],
    )
    .unwrap();
    near(value(name, &found, "ride"), 1.3e5 * 550.0 / 520.0, 1e-6);
    assert!(found.value(1).is_none() && found.value(2).is_none() && found.value(3).is_none());
}

#[test]
fn going_there_and_back_is_the_pressure_as_found() {
    let areas: Vec<Area> = (1..30).map(|a| Area::of_si(f64::from(a) * 0.004)).collect();
    for here in &areas {
        for there in &areas {
            let back = pressure_at(pressure_at(bar(1.3), *here, *there), *there, *here);
            near(back.si(), 1.3e5, 1e-6);
        }
    }
}

#[test]
fn pressures_give_the_axle_load_back() {
    // BW-07 empty: 2850 kg on the drive axle, 1750 kg sprung (I).
    let axle = Axle {
        area: Area::of_si(0.0550),
        bellows_a_side: Ratio::of_si(1.0),
        lever_ratio: Ratio::of_si(1.2),
        unsprung: Mass::of_si(1100.0),
    };
    let load = axle_load(bar(1.30), bar(1.30), &axle);
    near(load.sprung.si(), 1750.0, 1.0);
    near(load.total.si(), 2850.0, 1.0);
    near(load.left_share().unwrap().si(), 0.5, 1e-12);
    // Pressure from a load and the load from that pressure, over many axles.
    for (sprung, bellows, lever, area) in [
        (1750.0, 1.0, 1.2, 0.055),
        (10_400.0, 1.0, 1.2, 0.055),
        (5000.0, 2.0, 0.8, 0.03),
        (900.0, 1.0, 1.0, 0.09),
    ] {
        let axle = Axle {
            area: Area::of_si(area),
            bellows_a_side: Ratio::of_si(bellows),
            lever_ratio: Ratio::of_si(lever),
            unsprung: Mass::of_si(700.0),
        };
        let both = Ratio::of_si(2.0 * bellows);
        let p = sprung_pressure(Mass::of_si(sprung), both, axle.lever_ratio, axle.area);
        near(axle_load(p, p, &axle).sprung.si(), sprung, 1e-6);
    }
}

#[test]
fn a_left_share_has_an_uncertainty_of_its_own() {
    let name = "axle_load";
    let sum = find(name).unwrap();
    let given = example(sum);
    let found = sum.evaluate(&given).unwrap();
    let known_u = |one_gauge: f64| one_gauge * 2.0_f64.sqrt();
    // u of one pressure by hand: limit 0.1 bar, step 0.05 bar.
    let u_bar = (0.01_f64 / 3.0 + 0.0025 / 12.0).sqrt();
    let kg_per_bar = 1e5 * 0.055 * 1.2 / GRAVITY;
    let difference = found.value(sum.output("side_difference").unwrap()).unwrap();
    near(difference.value().si(), 0.1 * kg_per_bar, 1e-6);
    near(difference.u().si(), known_u(u_bar * kg_per_bar), 1e-4);
    // Share L/(L+R): slope R/(L+R)² and −L/(L+R)².
    let share = found.value(sum.output("left_share").unwrap()).unwrap();
    near(share.value().si(), 1.35 / 2.60, 1e-9);
    let slope = (1.35_f64.powi(2) + 1.25_f64.powi(2)).sqrt() / 2.6_f64.powi(2);
    near(share.u().si() / (slope * u_bar), 1.0, 5e-3);
    // Trials agree with first order.
    let trials = sum.draw(&given, 100_000, 11).unwrap();
    let drawn = trials.results.iter().find(|d| d.output == 4).unwrap();
    near(drawn.deviation.si() / share.u().si(), 1.0, 0.02);
}

#[test]
fn an_axle_without_load_has_no_share() {
    let found = run(
        "axle_load",
        &[
            ("left", "0 bar"),
            ("right", "0 bar"),
            ("area", "550 cm²"),
            ("bellows_a_side", "1"),
            ("lever_ratio", "1.2"),
            ("unsprung", "1100 kg"),
        ],
    )
    .unwrap();
    near(value("axle_load", &found, "axle_load"), 1100.0, 1e-9);
    near(value("axle_load", &found, "side_difference"), 0.0, 0.0);
    let share = find("axle_load").unwrap().output("left_share").unwrap();
    assert!(found.value(share).is_none());
    assert!(load_offset(Mass::of_si(0.0), Mass::of_si(0.0), Length::of_si(0.8)).is_err());
    let said = run(
        "bellows_pressure",
        &[
            ("axle_load", "1000 kg"),
            ("unsprung", "1100 kg"),
            ("bellows", "2"),
            ("lever_ratio", "1.2"),
            ("area_ride", "550 cm²"),
        ],
    )
    .unwrap_err()
    .to_string();
    assert!(said.contains("can't weigh more"), "{said}");
}

#[test]
fn the_load_lies_where_moments_balance() {
    let spacing = Length::of_si(0.8);
    for (left, right) in [
        (900.0, 850.0),
        (850.0, 900.0),
        (1.0, 0.0),
        (0.0, 3.0),
        (7.0, 7.0),
    ] {
        let offset = load_offset(Mass::of_si(left), Mass::of_si(right), spacing)
            .unwrap()
            .si();
        let about_left = right * 0.8 - (left + right) * (0.4 - offset);
        near(about_left, 0.0, 1e-9);
    }
}

#[test]
fn two_poor_gauges_can_not_tell_a_side_difference() {
    // 4.10 (C): class 1.6, 0–16 bar, 5.0 and 5.3 bar.
    let name = "side_difference";
    let gauges = |left, right| {
        [
            ("left", left),
            ("right", right),
            ("left_limit", "0.256 bar"),
            ("right_limit", "0.256 bar"),
        ]
    };
    let found = run(name, &gauges("5.0 bar", "5.3 bar")).unwrap();
    near(value(name, &found, "difference") / 1e5, -0.3, 1e-9);
    near(value(name, &found, "limits_added") / 1e5, 0.512, 1e-9);
    assert_eq!(text(name, &found, "by_limits"), "may be the gauges");
    let found = run(name, &gauges("5.0 bar", "5.52 bar")).unwrap();
    assert_eq!(text(name, &found, "by_limits"), "real");
}

#[test]
fn two_class_1_gauges_can_not_meet_a_guarded_0_15_bar() {
    // Trade figure (C): limits of error alone give U 0.16 bar.
    let doubt = |step: f64| GaugeDoubt {
        limit: Pressure::of_si(1e4),
        step: Pressure::of_si(step),
    };
    near(
        two_gauge_uncertainty(doubt(0.0), doubt(0.0)).si() / 1e5,
        0.16,
        0.005,
    );
    near(
        two_gauge_uncertainty(doubt(5e3), doubt(5e3)).si() / 1e5,
        2.0 * (2.0 * 0.01 / 3.0 + 2.0 * 0.0025_f64 / 12.0).sqrt(),
        1e-12,
    );
}

#[test]
fn its_own_uncertainty_is_the_one_carried_from_the_readings() {
    // Two ways to one number: the closed form, and limits typed with the readings.
    let name = "side_difference";
    let found = run(
        name,
        &[
            ("left", "1.35 bar ± 0.1 bar step 0.05 bar"),
            ("right", "1.20 bar ± 0.256 bar step 0.2 bar"),
            ("left_limit", "0.1 bar"),
            ("right_limit", "0.256 bar"),
            ("left_step", "0.05 bar"),
            ("right_step", "0.2 bar"),
        ],
    )
    .unwrap();
    let carried = 2.0 * found.value(0).unwrap().u().si();
    near(value(name, &found, "expanded") / carried, 1.0, 1e-9);
    let name = "side_difference_swapped";
    let found = run(
        name,
        &[
            ("left_on_a", "1.35 bar ± 0.1 bar step 0.05 bar"),
            ("right_on_b", "1.20 bar ± 0.256 bar step 0.02 bar"),
            ("left_on_b", "1.25 bar ± 0.256 bar step 0.02 bar"),
            ("right_on_a", "1.30 bar ± 0.1 bar step 0.05 bar"),
            ("step_a", "0.05 bar"),
            ("step_b", "0.02 bar"),
        ],
    )
    .unwrap();
    let carried = 2.0 * found.value(0).unwrap().u().si();
    near(value(name, &found, "expanded") / carried, 1.0, 1e-9);
    near(value(name, &found, "difference") / 1e5, 0.05, 1e-9);
    near(value(name, &found, "a_over_b") / 1e5, 0.10, 1e-9);
}

#[test]
fn swapping_takes_any_gauge_error_out() {
    // True 1.32 and 1.24 bar, gauges off by anything: 0.08 bar is found.
    let name = "side_difference_swapped";
    for (a, b) in [(0.0, 0.0), (0.1, -0.1), (-0.05, 0.07), (0.2, 0.2)] {
        let shown = |true_bar: f64, off: f64| format!("{:.4} bar", true_bar + off);
        let texts = [
            shown(1.32, a),
            shown(1.24, b),
            shown(1.32, b),
            shown(1.24, a),
        ];
        let found = run(
            name,
            &[
                ("left_on_a", texts[0].as_str()),
                ("right_on_b", texts[1].as_str()),
                ("left_on_b", texts[2].as_str()),
                ("right_on_a", texts[3].as_str()),
                ("step_a", "0.02 bar"),
                ("step_b", "0.02 bar"),
            ],
        )
        .unwrap();
        near(value(name, &found, "difference") / 1e5, 0.08, 1e-9);
        near(value(name, &found, "a_over_b") / 1e5, a - b, 1e-9);
        assert_eq!(text(name, &found, "by_uncertainty"), "real");
    }
}

#[test]
fn a_gauge_is_used_up_to_three_quarters_when_steady() {
    // 4.8 (M+): 0–10 bar, 7.5 and 7.6 bar steady; 65 % where it fluctuates.
    let name = "gauge_range";
    for (pressure, pulse, good) in [
        ("7.5 bar", "steady", true),
        ("7.6 bar", "steady", false),
        ("6.5 bar", "fluctuating", true),
        ("6.6 bar", "fluctuating", false),
    ] {
        let pairs = [
            ("pressure", pressure),
            ("full_scale", "10 bar"),
            ("pulse", pulse),
        ];
        let found = run(name, &pairs).unwrap();
        assert_eq!(
            value(name, &found, "margin") > -1e-12,
            good,
            "{pressure} {pulse}"
        );
    }
    let found = run(name, find(name).unwrap().example).unwrap();
    near(value(name, &found, "most") / 1e5, 7.5, 1e-9);
}

#[test]
fn a_swing_of_known_damping_gives_it_back() {
    // Peaks of a damped swing, written from its equation of motion.
    for known in [0.02, 0.1, 0.2, 0.35, 0.6] {
        let decrement = std::f64::consts::TAU * known / (1.0_f64 - known * known).sqrt();
        for swings in [1.0, 2.0, 3.0] {
            let later = 0.04 * (-decrement * swings).exp();
            let (first, later) = (Length::of_si(0.04), Length::of_si(later));
            let swings = Ratio::of_si(swings);
            near(
                damping_ratio(first, later, swings).unwrap().si(),
                known,
                1e-9,
            );
            assert!(damping_short_form(first, later, swings).unwrap().si() > known);
        }
    }
    let name = "damping";
    let found = run(name, find(name).unwrap().example).unwrap();
    // ln 4 / 2π = 0.2206 short; by hand 0.21546 exact.
    near(value(name, &found, "short_form"), 0.220_636, 1e-6);
    near(value(name, &found, "damping"), 0.215_453, 1e-5);
    let timed = value(name, &found, "timed_frequency");
    near(timed, 1.0 / 0.75, 1e-12);
    assert!(value(name, &found, "frequency") > timed);
}

#[test]
fn a_swing_that_grows_is_refused() {
    let one = Ratio::of_si(1.0);
    let mm = |mm: f64| Length::of_si(mm / 1e3);
    for (first, later) in [(10.0, 10.0), (10.0, 11.0), (10.0, 0.0)] {
        let snag = damping_ratio(mm(first), mm(later), one).unwrap_err();
        assert_eq!(snag.input, "later");
    }
    let said = run("damping", &[("first", "10 mm"), ("later", "12 mm")])
        .unwrap_err()
        .to_string();
    assert!(said.contains("must be smaller than the first"), "{said}");
}

#[test]
fn as_good_as_air_by_the_numbers_of_the_law() {
    // 3.10 (M+, "more than 20" R).
    let name = "air_suspension_equivalence";
    for (frequency, damping, without, known) in [
        ("2.0 Hz", "0.21", "0.10", "all numbers are met"),
        ("2.0 Hz", "0.20", "0.10", "damping too low"),
        ("2.0 Hz", "20 %", "10 %", "damping too low"),
        ("2.0 Hz", "0.21", "0.11", "damping without dampers too high"),
        ("2.01 Hz", "0.21", "0.10", "frequency too high"),
    ] {
        let pairs = [
            ("frequency", frequency),
            ("damping", damping),
            ("without_dampers", without),
        ];
        let found = run(name, &pairs).unwrap();
        assert_eq!(text(name, &found, "finding"), known);
    }
    let found = run(name, &[("frequency", "2.0 Hz"), ("damping", "0.21")]).unwrap();
    assert_eq!(
        text(name, &found, "finding"),
        "met so far, damping without dampers not known"
    );
    near(value(name, &found, "undamped_limit"), 0.105, 1e-12);
    near(value(name, &found, "frequency_margin"), 0.0, 1e-12);
}

#[test]
fn air_means_three_quarters_of_the_spring_effect() {
    // 3.9 (M+).
    let name = "air_suspension_equivalence";
    for (share, known) in [
        ("0.74", "too little of the spring effect is air"),
        ("0.75", "air suspension"),
        ("75 %", "air suspension"),
    ] {
        let pairs = [
            ("frequency", "1.4 Hz"),
            ("damping", "0.24"),
            ("air_share", share),
        ];
        let found = run(name, &pairs).unwrap();
        assert_eq!(text(name, &found, "air_finding"), known);
    }
}

#[test]
fn nothing_swings_without_a_load() {
    let one = Ratio::of_si(1.0);
    assert!(frequency(&spring(0.0), one, one).is_err());
    let found = Equivalence {
        frequency: Frequency::of_si(1.0),
        damping: Ratio::of_si(0.3),
        without_dampers: Some(Ratio::of_si(0.1)),
    };
    assert_eq!(found.finding(), "all numbers are met");
}

#[test]
fn bellows_and_swings_are_counted_in_whole_ones() {
    for (name, key, text) in [
        ("axle_load", "bellows_a_side", "1.5"),
        ("bellows_pressure", "bellows", "2.5"),
        ("damping", "swings", "1.5"),
    ] {
        let with = |text: &'static str| {
            let mut pairs = find(name).unwrap().example.to_vec();
            pairs.retain(|(k, _)| *k != key);
            pairs.push((key, text));
            run(name, &pairs)
        };
        let said = with(text).unwrap_err().to_string();
        assert!(said.contains(key) && said.contains("whole"), "{said}");
        assert!(with("2").is_ok(), "{name}");
    }
}
