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
}
