//! Check values 1.1 to 1.30 by the formulas.

use uom::si::f64::{Length, MassDensity, Pressure, Ratio};

use super::*;

#[test]
fn speeds_behind_one_joint_are_the_published_ones() {
    // 1.1 (C; same exercise public), 1.5 (text book, M/C), 1.12 (speeds R, its printed
    // angle is wrong and not used).
    for (id, degrees, speed, fastest, slowest, tolerance) in [
        ("1.1", 25.0, 100.0, 110.338, 90.631, 0.001),
        ("1.5", 20.0, 500.0, 532.09, 469.85, 0.01),
        ("1.12", 16.423, 1200.0, 1251.04, 1151.04, 0.01),
    ] {
        let found = Joint(deg(degrees)).extremes();
        near(id, speed * found.fastest.si(), fastest, tolerance);
        near(id, speed * found.slowest.si(), slowest, tolerance);
    }
    // 1.2 (F1.1, C).
    let at_15_degrees = [
        1.064_178, 1.054_817, 1.030_064, 0.998_069, 0.968_001, 0.947_114, 0.939_693,
    ];
    for (nth, expected) in at_15_degrees.into_iter().enumerate() {
        let found = Joint(deg(20.0)).ratio(deg(15.0 * nth as f64)).si();
        near("1.2", found, expected, 1e-6);
    }
}

#[test]
fn unevenness_and_lag_are_those_of_the_list() {
    // 1.3 (F1.3, C).
    for (degrees, expected) in [
        (1.0, 0.000_304_63),
        (2.0, 0.001_218_72),
        (3.0, 0.002_742_81),
        (5.0, 0.007_625_14),
        (7.0, 0.014_963_67),
        (10.0, 0.030_618_86),
    ] {
        near("1.3", Joint(deg(degrees)).uneven().si(), expected, 1e-8);
    }
    // 1.4 (F1.6, C).
    for (degrees, expected) in [(3.0, 0.039_288), (5.0, 0.109_222), (10.0, 0.438_561)] {
        near("1.4", in_deg(Joint(deg(degrees)).lag()), expected, 1e-6);
    }
    // 1.11 (exercise public, C), 1.12 (C), 1.27 (limit R; exact angle C).
    for (id, uneven, expected) in [
        ("1.11", 0.125, 20.040),
        ("1.12", 100.0 / 1200.0, 16.423),
        ("1.27", 0.0027, 2.9765),
        ("1.27", 0.002_742_81, 3.0),
    ] {
        let found = in_deg(Joint::of_uneven(Ratio::of_si(uneven)).0);
        near(id, found, expected, 0.001);
    }
}

#[test]
fn the_unit_ratio_and_the_accelerations_of_the_text_book_come_out() {
    // 1.7 (text book, M/C).
    let turn = in_deg(Joint(deg(18.0)).even_turn());
    near("1.7", turn, 44.28, 0.01);
    near("1.7", 180.0 - turn, 135.72, 0.01);
    near("1.7", Joint(deg(18.0)).ratio(deg(turn)).si(), 1.0, 1e-12);
    // 1.8 (text book, M/C): 0.1 % against the computed value, 0.5 % against the book,
    // which rounds to 3090 and 371.
    let peak = Joint(deg(20.0)).peak(rpm(1500.0));
    let inertia = 12.0 * 0.100_f64.powi(2);
    near("1.8", in_deg(peak.turn), 41.46, 0.01);
    near("1.8", peak.amount.si(), 3083.4, 3.1);
    near("1.8 book", peak.amount.si(), 3090.0, 15.5);
    near("1.8", peak.amount.si() * inertia, 370.0, 0.37);
    near("1.8 book", peak.amount.si() * inertia, 371.0, 1.9);
    // 1.9 (text book, M/C): torque of the driven shaft, carried to the driving one.
    let joint = Joint(deg(20.0));
    let slowing = joint.acceleration(rpm(240.0), deg(45.0)).si();
    near("1.9", slowing, -78.33, 0.01);
    let torque = 200.0 + 55.0 * 0.15_f64.powi(2) * slowing;
    near("1.9", torque * joint.ratio(deg(45.0)).si(), 102.87, 0.01);
    // 1.23 (C): small forms and the exact amplitude.
    let six = Joint(deg(6.0));
    near("1.23", six.peak_by_sine(rpm(1800.0)).si(), 388.2, 0.1);
    near("1.23", six.peak_by_angle(rpm(1800.0)).si(), 389.6, 0.1);
    near("1.23", six.peak(rpm(1800.0)).amount.si(), 390.4, 0.1);
}

#[test]
fn compound_angles_are_those_of_the_list() {
    // 1.13, 1.14 (F1.7, C).
    for (id, v, h, exact) in [("1.13", 4.0, 3.0, 4.9942), ("1.14", 8.0, 6.0, 9.9538)] {
        let found = side(0.0).angle_to(Axis::seen(deg(v), deg(h)));
        near(id, in_deg(found), exact, 1e-4);
    }
}

/// Coplanar axes that give these joint angles; the sign says which way a joint bends.
fn bent(angles: &[f64]) -> Vec<Axis> {
    let mut at = 1.0;
    let mut axes = vec![side(at)];
    for angle in angles {
        at += angle;
        axes.push(side(at));
    }
    axes
}

#[test]
fn residual_angles_of_lines_in_one_plane_are_those_of_the_list() {
    // 1.16, 1.17 (F1.9, C), each bent both ways: Z and W are alike.
    for (id, first, second, exact) in [("1.16", 4.0, 3.0, 2.6470), ("1.17", 5.0, 4.5, 2.1817)] {
        for sign in [1.0, -1.0] {
            let found = joints(&bent(&[first, sign * second]), &[Phase::InPhase]);
            near(id, in_deg(found.residual), exact, 1e-4);
        }
        let by_hand = coplanar_residual([deg(first), deg(-second)].into_iter());
        near(id, in_deg(by_hand), exact, 1e-4);
    }
    let rough = rough_residual([deg(4.0), deg(-3.0)].into_iter());
    near("1.16 small", in_deg(rough), 2.6458, 1e-4);
    // 1.20, 1.21 (F1.11, C): signs + − + are yokes in phase on both shafts.
    for (id, angles, exact, small) in [
        ("1.20", [1.5, 2.0, 2.5], 2.1214, 2.1213),
        ("1.21", [3.0, 5.0, 4.0], 0.1211, 0.0),
    ] {
        let found = joints(&bent(&angles), &[Phase::InPhase; 2]);
        near(id, in_deg(found.residual), exact, 1e-4);
        let signed = || [deg(angles[0]), deg(-angles[1]), deg(angles[2])].into_iter();
        near(id, in_deg(coplanar_residual(signed())), exact, 1e-4);
        near(id, in_deg(rough_residual(signed())), small, 1e-4);
    }
}

#[test]
fn a_quarter_turn_of_twist_is_the_worst() {
    // 1.19 (F1.10, C).
    let axes = [side(4.0), side(0.0), Axis::of(Slope(deg(0.0)), deg(4.0))];
    let found = joints(&axes, &[Phase::InPhase]);
    near("1.19", in_deg(found.residual), 5.6569, 0.003);
    let rough = rough_twisted_residual(deg(4.0), deg(4.0), deg(90.0));
    near("1.19 small", in_deg(rough), 5.6569, 1e-4);
}

#[test]
fn the_published_two_joint_table_comes_out_to_a_tenth_of_a_degree() {
    // 1.24 (published after SAE AE-7 3.1.1, R/C): first joint 0°, 1°, 2° …
    let table: [(f64, &[f64]); 3] = [
        (
            1500.0,
            &[7.3, 7.4, 7.6, 7.9, 8.3, 8.9, 9.5, 10.1, 10.8, 11.6],
        ),
        (1600.0, &[6.9, 6.9, 7.1, 7.5, 7.9, 8.5, 9.1, 9.8, 10.5]),
        (1700.0, &[6.5, 6.5, 6.8, 7.1, 7.6, 8.2, 8.8]),
    ];
    for (speed, row) in table {
        for (first, expected) in row.iter().enumerate() {
            let found = second_joint(deg(first as f64), shake(400.0), rpm(speed));
            near("1.24", in_deg(found.most.unwrap()), *expected, 0.1);
        }
    }
    // The angle to a limit of 1000 rad/s², below the table of the list (C).
    for (speed, expected) in [(1500.0, 11.61), (2000.0, 8.68), (3000.0, 5.78)] {
        let found = largest_angle(shake(1000.0), rpm(speed)).unwrap();
        near("1000 rad/s²", in_deg(found), expected, 0.005);
    }
    // At a slow shaft 400 rad/s² asks for 8.4° (C).
    let found = largest_angle(shake(400.0), rpm(1301.0)).unwrap();
    near("1301 rev/min", in_deg(found), 8.4, 0.05);
}

#[test]
fn the_trade_rules_pass_and_fail_what_they_say() {
    // 1.25, 1.26 (published trade pages, R).
    let keeps = |rule: Rule, first: f64, second: f64| {
        let m = rule.margins(deg(first), deg(second));
        // At a limit exactly, the last bit of the angles may fall either way.
        [m.equal, m.least, m.most].iter().all(|m| m.si() > -1e-12)
    };
    for (first, second, kept) in [(6.0, 4.5, true), (6.1, 6.0, false), (5.0, 3.4, false)] {
        assert_eq!(keeps(Rule::six_degree(), first, second), kept, "1.25");
        assert_eq!(keeps(Rule::six_degree(), second, first), kept, "1.25");
    }
    for (first, second, kept) in [(3.0, 2.0, true), (0.4, 0.4, false), (2.5, 1.4, false)] {
        assert_eq!(keeps(Rule::three_degree(), first, second), kept, "1.26");
        assert_eq!(keeps(Rule::three_degree(), second, first), kept, "1.26");
    }
}

fn whirls_at(outer: f64, wall: f64, length: f64, stuff: Stuff) -> f64 {
    let tube = Tube {
        outer: Length::of_si(outer),
        wall: Length::of_si(wall),
        length: Length::of_si(length),
        stuff,
    };
    tube.whirling().unwrap().si() * 60.0 / std::f64::consts::TAU
}

#[test]
fn whirling_speeds_are_those_of_the_list() {
    // 1.30 (F1.12, C).
    let found = whirls_at(0.100, 0.003, 1.5, Stuff::steel());
    near("1.30", found, 7362.0, 1.0);
    // 1.28 (R/C), in US units; the page prints 11 390.
    let inch = 0.0254;
    let stuff = Stuff {
        modulus: Pressure::of_si(30e6 * 4.448_221_615_260_5 / (inch * inch)),
        density: MassDensity::of_si(0.283 * 0.453_592_37 / inch.powi(3)),
    };
    let found = whirls_at(3.5 * inch, 0.083 * inch, 45.0 * inch, stuff);
    near("1.28", found, 11_378.0, 0.002 * 11_378.0);
    near("1.28 page", found, 11_390.0, 0.002 * 11_390.0);
    // The invented trucks (C).
    for (outer, wall, length, expected) in [
        (0.120, 0.003, 1.420, 9908.0),
        (4.0 * inch, 0.125 * inch, 48.0 * inch, 11_300.0),
        (3.5 * inch, 0.125 * inch, 30.0 * inch, 25_200.0),
    ] {
        let found = whirls_at(outer, wall, length, Stuff::steel());
        near("trucks", found, expected, 0.002 * expected);
    }
}

#[test]
fn the_invented_trucks_have_the_angles_that_were_worked_out_for_them() {
    // Invented scenario (C), rounded to 0.01° and 0.1°.
    let found = joints(&[side(4.5), side(7.0), side(4.3)], &[Phase::InPhase]);
    assert_eq!(found.count, 2);
    near("BW-07", in_deg(found.angles[0]), 2.5, 1e-9);
    near("BW-07", in_deg(found.angles[1]), 2.7, 1e-9);
    near("BW-07", in_deg(found.angles[2]), 0.0, 0.0);
    near("BW-07", in_deg(found.residual), 1.02, 0.005);
    let axes = [side(3.5), side(4.3), side(7.0), side(4.4)];
    let found = joints(&axes, &[Phase::InPhase; 2]);
    near("SR-214", in_deg(found.angles[0]), 0.8, 1e-9);
    near("SR-214", in_deg(found.residual), 0.33, 0.005);
}
