//! Both printed tables. Their numbers were computed apart from this program for the
//! invented sheets; every printed digit must come out.

use super::*;

/// A number as it is printed with so many places, without a lonely sign before zero.
fn printed(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let is_zero = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    if is_zero { text.replace('-', "") } else { text }
}

fn agree(at: &str, expected: &str, value: f64) {
    if expected.is_empty() {
        return;
    }
    let expected = expected.trim_start_matches('+');
    let places = expected.split_once('.').map_or(0, |(_, after)| after.len());
    assert_eq!(printed(value, places), expected, "at {at}");
}

#[test]
fn every_printed_digit_of_the_metric_table_comes_out() {
    // from ride, gearbox, shaft, pinion, β1, β2, equal, residual, plunge, turn, roll
    let rows = [
        [
            "-92", "5.93", "7.14", "-3.88", "1.21", "11.02", "9.81", "10.95", "-0.7", "-8.18",
            "-71",
        ],
        [
            "-20", "4.81", "7.03", "2.52", "2.22", "4.51", "2.29", "3.92", "+0.2", "-1.78", "-15",
        ],
        [
            "-10", "4.65", "7.01", "3.41", "2.36", "3.60", "1.24", "2.72", "+0.2", "-0.89", "-8",
        ],
        [
            "-7.7", "4.62", "7.01", "3.62", "2.39", "3.40", "1.0", "2.41", "", "", "",
        ],
        [
            "0", "4.50", "7.00", "4.30", "2.50", "2.70", "0.20", "1.02", "0", "0", "0",
        ],
        [
            "7", "4.39", "6.99", "4.92", "2.60", "2.07", "0.53", "1.57", "-0.1", "+0.62", "5",
        ],
        [
            "11.5", "4.32", "6.98", "5.32", "2.66", "1.66", "1.0", "2.08", "", "", "",
        ],
        [
            "15", "4.27", "6.98", "5.63", "2.71", "1.34", "1.37", "2.35", "-0.3", "+1.33", "12",
        ],
        [
            "20", "4.19", "6.97", "6.08", "2.78", "0.89", "1.89", "2.63", "-0.5", "+1.78", "15",
        ],
        [
            "120", "2.64", "6.82", "15.11", "4.19", "8.29", "4.11", "7.16", "-6.2", "+10.81", "94",
        ],
    ];
    let driveline = brackwater();
    for row in rows {
        let [from, rest @ ..] = row;
        let state = driveline
            .at(mm(190.0 + from.parse::<f64>().unwrap()))
            .unwrap();
        let [first, second, _] = state.joints.angles;
        let found = [
            degrees(state.slopes.gearbox.0),
            degrees(state.slopes.shaft.0),
            degrees(state.slopes.pinion.0),
            degrees(first),
            degrees(second),
            degrees(state.equal),
            degrees(state.joints.residual),
            state.plunge.si() * 1e3,
            degrees(state.axle_turn.0),
            state.tyre_roll.si() * 1e3,
        ];
        for (expected, value) in rest.iter().zip(found) {
            agree(from, expected, value);
        }
        // "at the upper stop the shaft's rear joint changes side"
        assert_eq!(state.pinion_is_steeper, from == "120", "{from}");
    }
}

#[test]
fn the_metric_band_ends_where_the_joints_stop_being_equal() {
    // Printed: unrounded 182.330 and 201.496; ± 5 sits inside.
    let Allowed::Within(band) = brackwater().band(&limits(), mm(98.0), mm(310.0)).unwrap() else {
        panic!("no band");
    };
    agree("lowest", "182.330", band.lowest.si() * 1e3);
    agree("highest", "201.496", band.highest.si() * 1e3);
    assert_eq!((band.below, band.above), (Rule::Equal, Rule::Equal));
    for (height, side) in [(band.lowest, -1.0), (band.highest, 1.0)] {
        let over = Length::of_si(height.si() + side * 2e-9);
        assert!(brackwater().at(height).unwrap().equal <= deg(1.0 + 1e-9));
        assert!(brackwater().at(over).unwrap().equal > deg(1.0));
    }
}

#[test]
fn the_sheet_s_own_points_come_out() {
    // Printed: joint points (1929, 666), (3339, 493); pivot (3150.8, 526); arm 3.1° down.
    let state = brackwater().at(mm(190.0)).unwrap();
    let joints: Vec<Spot> = state.spots.joints().collect();
    for (name, spot, back, up) in [
        ("joint 1", joints[0], "1929", "666"),
        ("joint 2", joints[1], "3339", "493"),
        ("pivot", state.spots.pivot, "3150.8", "526.0"),
        ("axle", state.spots.axle, "3700", "496"),
        ("frame over the axle", state.spots.frame_rear, "3700", "806"),
    ] {
        agree(name, back, spot.back.si() * 1e3);
        agree(name, up, spot.up.si() * 1e3);
    }
    assert_eq!(joints.len(), 2);
    agree("arm", "3.1", degrees(state.arm.0));
    // Frame underside over the floor at the stops: 926 upper, 714 lower, near the axle.
    for (height, over_floor) in [(310.0, "926"), (98.0, "714")] {
        let spots = brackwater().at(mm(height)).unwrap().spots;
        agree("frame", over_floor, spots.frame_rear.up.si() * 1e3);
    }
}

#[test]
fn a_degree_of_the_axle_takes_the_printed_millimetres() {
    // Printed: 11.3 mm/° with the frame pitching about the front axle, arm alone 9.6;
    // pitch 0.0155°/mm. US: pitch 0.358°/in.
    let per_degree = |length: Length| length.si() * 1e3 * 1_f64.to_radians();
    let rate = arm().rate(mm(190.0)).unwrap();
    agree("axle", "11.3", per_degree(rate.axle));
    agree("arm alone", "9.6", per_degree(rate.arm_alone));
    agree("pitch", "0.0155", 1.0 / per_degree(rate.frame));
    let Linkage::Arm(us) = *sable_ridge().linkage() else {
        panic!("SR-214 has trailing arms");
    };
    let rate = us.rate(inch(7.5)).unwrap();
    agree("pitch", "0.358", 25.4 / per_degree(rate.frame));
}

#[test]
fn brakes_on_the_tyre_rolls_as_printed() {
    // Printed: axle 10.8° and tyre 94 mm from ride to upper stop, 164 mm stop to stop;
    // with the brake off the axle moves only 8–9 mm.
    let (low, ride, high) = (
        brackwater().at(mm(98.0)).unwrap(),
        brackwater().at(mm(190.0)).unwrap(),
        brackwater().at(mm(310.0)).unwrap(),
    );
    agree("upper", "10.8", degrees(high.axle_turn.0));
    agree("stops", "164", (high.tyre_roll - low.tyre_roll).si() * 1e3);
    let back = [low, ride, high].map(|state| state.spots.axle.back.si() * 1e3);
    agree("lower, axle", "9", back[1] - back[0]);
    agree("upper, axle", "8", back[1] - back[2]);
}

#[test]
fn every_printed_digit_of_the_us_table_comes_out() {
    // from ride in inches, β1, β2, β3, residual
    let rows = [
        ["0", "0.8", "2.7", "2.6", "0.33"],
        ["-0.43", "0.8", "2.54", "3.56", ""],
        ["0.35", "0.8", "2.83", "1.82", ""],
        ["0.50", "0.8", "2.89", "1.49", "2.35"],
        ["3.75", "0.8", "4.13", "5.83", ""],
        ["-3.25", "0.8", "1.46", "9.84", ""],
    ];
    for row in rows {
        let [from, rest @ ..] = row;
        let state = sable_ridge()
            .at(inch(7.5 + from.parse::<f64>().unwrap()))
            .unwrap();
        assert_eq!(state.joints.count, 3);
        let [first, second, third] = state.joints.angles.map(degrees);
        let residual = degrees(state.joints.residual);
        for (expected, value) in rest.iter().zip([first, second, third, residual]) {
            agree(from, expected, value);
        }
    }
    // Printed: brake on, ride to upper stop: axle turns 8.5°, tire rolls 2.8 in.
    let top = sable_ridge().at(inch(11.25)).unwrap();
    agree("upper", "8.5", degrees(top.axle_turn.0));
    agree("upper", "2.8", top.tyre_roll.si() / INCH);
    // Printed: joint points (67.4, 27.05), (97.3, 24.80), (144.95, 18.95); arm 3.3°.
    let ride = sable_ridge().at(inch(7.5)).unwrap();
    agree("arm", "3.3", degrees(ride.arm.0));
    let points = [("67.4", "27.05"), ("97.3", "24.80"), ("144.95", "18.95")];
    assert_eq!(ride.spots.joints().count(), points.len());
    for ((back, up), spot) in points.into_iter().zip(ride.spots.joints()) {
        agree("joint", back, spot.back.si() / INCH);
        agree("joint", up, spot.up.si() / INCH);
    }
}

#[test]
fn the_us_band_comes_out_rounded_inwards() {
    // Printed: 7.08 … 7.84 in, both ends by equality; + 0.50 in fails equality.
    let limits = limits_sable_ridge();
    let band = sable_ridge()
        .band(&limits, inch(4.25), inch(11.25))
        .unwrap();
    let Allowed::Within(band) = band else {
        panic!("no band");
    };
    let inwards = |value: f64, toward: fn(f64) -> f64| toward(value * 100.0) / 100.0;
    agree(
        "lowest",
        "7.08",
        inwards(band.lowest.si() / INCH, f64::ceil),
    );
    agree(
        "highest",
        "7.84",
        inwards(band.highest.si() / INCH, f64::floor),
    );
    assert_eq!((band.below, band.above), (Rule::Equal, Rule::Equal));
    let high = sable_ridge().at(inch(8.0)).unwrap();
    assert_eq!(limits.broken(&high), Some(Rule::Equal));
}
