//! The parts of the rig by themselves, against values worked out apart from this
//! program, to nine figures.

use super::params::{Params, SYMBOLS};
use super::spot::Side;
use super::state::Moving;
use super::{Inputs, Rig, Timetable, angle, bellows, flow, sensor};

fn near(found: f64, wanted: f64) {
    let off = ((found - wanted) / wanted).abs();
    assert!(off < 3e-9, "found {found}, wanted {wanted}");
}

#[track_caller]
fn same(found: f64, wanted: f64) {
    assert_eq!(found.to_bits(), wanted.to_bits(), "{found}, {wanted}");
}

#[test]
fn valves_let_through_what_the_flow_law_says() {
    // Sonic, subsonic, and on the straight line near equal pressures.
    near(
        flow(0.40, 0.30, 9.5e5, 293.15, 2.3e5, 0.995),
        4.500_919_135e-3,
    );
    near(
        flow(1.10, 0.30, 2.3e5, 293.15, 1.0e5, 0.995),
        2.940_590_497e-3,
    );
    near(
        flow(1.10, 0.30, 1.002e5, 290.0, 1.0e5, 0.995),
        6.251_587_390e-5,
    );
}

#[test]
fn nothing_flows_uphill_or_through_what_is_shut() {
    same(flow(1.0, 0.3, 1.0e5, 293.15, 1.0e5, 0.995), 0.0);
    same(flow(1.0, 0.3, 1.0e5, 293.15, 2.0e5, 0.995), 0.0);
    same(flow(0.0, 0.3, 9.0e5, 293.15, 1.0e5, 0.995), 0.0);
}

#[test]
fn the_flow_law_has_no_jump_where_its_pieces_meet() {
    for ratio in [0.3, 0.995] {
        let below = flow(1.0, 0.3, 1.0e6, 293.15, 1.0e6 * (ratio - 1e-12), 0.995);
        let above = flow(1.0, 0.3, 1.0e6, 293.15, 1.0e6 * (ratio + 1e-12), 0.995);
        assert!((below - above).abs() < 1e-9 * below, "at {ratio}");
    }
}

#[test]
fn bellows_have_the_area_and_volume_of_their_polynomial_and_go_on_straight_beyond() {
    let p = Params::two_bellows();
    near(bellows::area(&p, 0.424 - p.h_ref), 0.046_745_228_8);
    near(bellows::volume(&p, 0.424 - p.h_ref), 0.021_519_148_2);
    near(bellows::area(&p, 0.5 - p.h_ref), 0.0366);
    near(bellows::volume(&p, 0.5 - p.h_ref), 0.024_612);
}

#[test]
fn the_volume_grows_by_the_area_everywhere() {
    for p in [Params::two_bellows(), Params::four_bellows()] {
        for step in -60..60 {
            let x = f64::from(step) * 5e-3 + 1e-4;
            let d = 1e-6;
            let slope = (bellows::volume(&p, x + d) - bellows::volume(&p, x - d)) / (2.0 * d);
            let off = (slope - bellows::area(&p, x)).abs();
            assert!(off < 1e-7, "at {x}: {off}");
        }
    }
}

#[test]
fn the_volume_of_a_side_grows_as_its_bellows_are_drawn_out() {
    let p = Params::four_bellows();
    let s = Moving {
        here: 0.2,
        rate: 0.03,
    };
    let later = Moving {
        here: s.here + 1e-6 * s.rate,
        rate: s.rate,
    };
    let (now, then) = (bellows::side(&p, s), bellows::side(&p, later));
    let slope = (then.volume - now.volume) / 1e-6;
    assert!((slope - now.growth).abs() < 1e-6 * now.growth);
}

#[test]
fn the_sensor_stands_level_at_ride_height_and_swings_with_the_gap() {
    let p = Params::two_bellows();
    near(angle(&p, 0.100), 0.418_018_133_4);
    near(angle(&p, 0.310), -0.591_664_594_8);
    assert!((angle(&p, 0.190)).abs() < 1e-12);
    assert!((sensor::counts(&p, 0.190) - 512.0).abs() < 1e-9);
}

#[test]
fn the_sensor_shows_something_where_its_rod_would_part() {
    let p = Params::two_bellows();
    for s in [-1.0, -0.07, 0.0, 0.6, 5.0] {
        assert!(angle(&p, s).is_finite(), "at {s}");
    }
}

#[test]
fn a_worn_joint_follows_only_what_goes_beyond_its_play() {
    let held = sensor::drag(0.190, 0.1915, 0.004);
    same(held, 0.190);
    let pulled = sensor::drag(held, 0.195, 0.004);
    assert!((pulled - 0.193).abs() < 1e-15);
    let pushed = sensor::drag(pulled, 0.190, 0.004);
    assert!((pushed - 0.192).abs() < 1e-15);
    same(sensor::drag(0.3, 0.19, 0.0), 0.19);
}

#[test]
fn every_symbol_has_its_numbers_and_both_trucks_lie_inside_what_is_accepted() {
    for mut truck in [Params::two_bellows(), Params::four_bellows()] {
        assert_eq!(truck.fault(), None);
        for symbol in SYMBOLS {
            let before = truck.numbers(symbol.name).unwrap().to_vec();
            assert!(symbol.about.ends_with('.'), "{}", symbol.name);
            truck.numbers_mut(symbol.name).unwrap()[0] = f64::NAN;
            assert_eq!(truck.fault().unwrap().0, symbol.name);
            truck.numbers_mut(symbol.name).unwrap()[0] = before[0];
        }
        assert_eq!(truck.numbers("m_g"), None);
    }
}

#[test]
fn a_side_takes_its_own_of_two() {
    assert_eq!(Side::Left.of([1, 2]), 1);
    assert_eq!(Side::Right.of([1, 2]), 2);
    assert_eq!((Side::Left.at(0.4), Side::Right.at(0.4)), (0.4, -0.4));
}

#[test]
fn a_timetable_holds_each_entry_until_the_next_whatever_the_order_given() {
    let raise = Inputs {
        raise: [true; 2],
        ..Inputs::default()
    };
    let lower = Inputs {
        lower: [true; 2],
        ..Inputs::default()
    };
    let table = Timetable::new([(20, lower), (10, raise)]);
    assert_eq!(table.at(9), Inputs::default());
    assert_eq!(table.at(10), raise);
    assert_eq!(table.at(19), raise);
    assert_eq!(table.at(20), lower);
    assert_eq!(table.at(u64::MAX), lower);
}

#[test]
fn a_timetable_is_played_as_a_hand_would_do_it() {
    let raise = Inputs {
        raise: [true; 2],
        ..Inputs::default()
    };
    let mut played = Rig::at_heights(Params::two_bellows(), 0.19, 0.19);
    Timetable::new([(5, raise)]).play(&mut played, 30);
    let mut by_hand = Rig::at_heights(Params::two_bellows(), 0.19, 0.19);
    by_hand.run(5);
    by_hand.inputs = raise;
    by_hand.run(25);
    assert_eq!(played, by_hand);
    assert_eq!(played.steps(), 30);
    assert!((played.time() - 0.030).abs() < 1e-15);
}

#[test]
fn settling_begins_time_and_ledger_anew_and_leaves_the_valves_as_they_were() {
    let mut rig = Rig::at_heights(Params::two_bellows(), 0.19, 0.19).with_reservoir(4.0e5);
    rig.inputs.feed = true;
    rig.inputs.raise = [true, false];
    let before = rig.inputs;
    rig.settle(0.5);
    assert_eq!(rig.inputs, before);
    assert_eq!(rig.steps(), 0);
    let read = rig.readout();
    assert_eq!((read.ledger_in, read.ledger_out), (0.0, 0.0));
    assert!((read.reservoir_bar - 3.0).abs() < 1e-9, "no valve was open");
    assert!(rig.ledger_error() < 1e-15);
}
