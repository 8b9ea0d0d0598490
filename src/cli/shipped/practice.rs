//! Trucks, faults, drills and scripts of drills built in, by their names, which are also
//! their ids.

use super::{Shelf, Shipped};

macro_rules! shelf {
    ($all:ident $shelf:ident $directory:literal: $($name:ident)*) => {
        const $all: &[Shipped] = &[$(
            Shipped {
                shelf: Shelf::$shelf,
                id: stringify!($name),
                title: stringify!($name),
                about: "",
                offered: false,
                path: concat!("procedures/", $directory, "/", stringify!($name), ".json"),
                bytes: include_bytes!(concat!("../../../procedures/", $directory, "/", stringify!($name), ".json")),
            },
        )*];
    };
}

/// Everything for practice.
pub(super) fn all() -> impl Iterator<Item = &'static Shipped> {
    let shelves = [TRUCKS, FAULTS, DRILLS, SCRIPTS];
    shelves.into_iter().flatten()
}

shelf! { TRUCKS Truck "trucks":
    four_bellows_bw_21
    two_bellows_bw_07
}

shelf! { FAULTS Fault "faults":
    battery_low
    bellows_chafed
    block_tips_left
    bracket_bent
    dirty_seat_left
    exhaust_clogged
    floor_slopes
    hose_in_the_gap_left
    left_bellows_leaks
    left_bump_stop_missing
    left_fitting_leaks
    left_gauge_zero_high
    left_raise_valve_leaks
    left_strap_stretched
    left_tyre_low
    lever_slipped
    load_on_the_left
    reservoir_leaks
    reservoir_low
    right_gauge_reads_low
    right_raise_line_kinked
    rod_joint_worn
    short_block_left
    suspension_sticks
}

shelf! { DRILLS Drill "drills":
    air_first
    check_coached
    clear_coached
    drawn
    four_bellows
    gauge_or_truck
    look_first
    measure_first
    two_alone
    which_truck
}

shelf! { SCRIPTS DrillScript "scripts":
    careful_battery_low
    careful_bellows_chafed
    careful_block_tips_left
    careful_bracket_bent
    careful_bw_07
    careful_bw_21
    careful_check
    careful_dirty_seat_left
    careful_exhaust_clogged
    careful_floor_slopes
    careful_four_bellows
    careful_hose_in_the_gap_left
    careful_left_bellows_leaks
    careful_left_bump_stop_missing
    careful_left_fitting_leaks
    careful_left_gauge_zero_high
    careful_left_raise_valve_leaks
    careful_left_strap_stretched
    careful_left_tyre_low
    careful_lever_slipped
    careful_load_on_the_left
    careful_reservoir_leaks
    careful_reservoir_low
    careful_right_gauge_reads_low
    careful_right_raise_line_kinked
    careful_rod_joint_worn
    careful_short_block_left
    careful_suspension_sticks
    careful_two_alone
    careful_wrong_sheet
    careless_battery_low
    careless_bellows_chafed
    careless_block_tips_left
    careless_bracket_bent
    careless_bw_07
    careless_dirty_seat_left
    careless_exhaust_clogged
    careless_floor_slopes
    careless_hose_in_the_gap_left
    careless_left_bellows_leaks
    careless_left_bump_stop_missing
    careless_left_fitting_leaks
    careless_left_gauge_zero_high
    careless_left_raise_valve_leaks
    careless_left_strap_stretched
    careless_left_tyre_low
    careless_lever_slipped
    careless_load_on_the_left
    careless_reservoir_leaks
    careless_reservoir_low
    careless_right_gauge_reads_low
    careless_right_raise_line_kinked
    careless_rod_joint_worn
    careless_short_block_left
    careless_suspension_sticks
    careless_two_alone
    careless_wrong_sheet
    unsafe_against_sight
    unsafe_block_valve_open
    unsafe_brake_held
    unsafe_half_blocks
    unsafe_hands_on_air
    unsafe_hose_caught
    unsafe_jump
    unsafe_key_left
    unsafe_moved_on_someone
    unsafe_not_chocked
    unsafe_not_looked
    unsafe_not_shown
    unsafe_over_pressure
    unsafe_past_stop
    unsafe_self_move
    unsafe_stands_in
    unsafe_stored_afloat
    unsafe_under_on_air
    unsafe_write_lapsed
}
