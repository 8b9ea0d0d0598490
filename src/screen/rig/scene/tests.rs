//! Geometry of the drawing: what stands higher is drawn higher, what touches touches.

use super::super::tests::{brought, hold, over_blocks};
use super::*;
use crate::rig::{Hand, Params, Way};

/// The rows of a matter in a column of squares: first, and one past the last.
fn extent(scene: &Scene<'_>, column: i32, matter: Matter) -> Option<(usize, usize)> {
    let column = usize::try_from(column).unwrap();
    let rows = 0..scene.raster.height();
    let mut of = rows.filter(|row| scene.raster.at(column, *row) == matter);
    let first = of.next()?;
    Some((first, of.next_back().unwrap_or(first) + 1))
}

/// A column well inside a place.
fn inside(scene: &Scene<'_>, side: Side, place: Place) -> i32 {
    let columns = scene.columns(side, place);
    i32::midpoint(columns.start, columns.end)
}

fn at(mm: f64) -> Bay {
    brought(Params::two_bellows(), [mm / 1e3; 2])
}

const SIZES: [(u16, u16); 3] = [(24, 7), (32, 11), (44, 26)];

#[test]
fn the_frame_is_drawn_higher_with_every_twenty_millimetres() {
    for (across, down) in SIZES {
        let mut last = None;
        for mm in (120..=300).step_by(20) {
            let bay = at(f64::from(mm));
            let scene = Scene::of(&bay, across, down);
            let column = inside(&scene, Side::Left, BLOCK);
            let (_, under) = extent(&scene, column, Matter::Frame).unwrap();
            assert!(
                last.is_none_or(|last| under < last),
                "{across}x{down}: {mm}"
            );
            last = Some(under);
        }
    }
}

#[test]
fn no_part_hides_another_at_any_width() {
    let bay = at(205.0);
    for across in (24..=60).step_by(2) {
        let scene = Scene::of(&bay, across, 11);
        let ends = |place| {
            let columns = scene.columns(Side::Right, place);
            (columns.start, columns.end)
        };
        let in_a_row = [STAND, STOP, BLOCK, BELLOWS].map(ends);
        for pair in in_a_row.windows(2) {
            assert!(pair[0].1 <= pair[1].0, "{across}: {in_a_row:?}");
        }
        let frame = ends((0.0, FRAME)).1;
        assert!(in_a_row[3].1 < frame, "{across}: {in_a_row:?} {frame}");
        assert!(frame < ends(TYRE).0, "{across}: {frame}");
    }
}

#[test]
fn the_frame_stands_over_the_axle_as_high_as_the_tape_says() {
    for (across, down) in SIZES {
        let bay = at(205.0);
        let scene = Scene::of(&bay, across, down);
        let (frame, seat) = scene.rows(Side::Left);
        let metres = (seat - frame) * scene.window.square;
        assert!((metres - bay.readout().height[0]).abs() < 1e-9, "{metres}");
    }
}

#[test]
fn a_frame_that_leans_is_drawn_leaning() {
    let bay = brought(Params::two_bellows(), [0.220, 0.200]);
    for (across, down) in SIZES {
        let scene = Scene::of(&bay, across, down);
        let under = Side::BOTH.map(|side| {
            let column = scene.columns(side, (0.0, FRAME));
            let end = match side {
                Side::Left => column.start,
                Side::Right => column.end - 1,
            };
            extent(&scene, end, Matter::Frame).unwrap().1
        });
        assert!(under[0] < under[1], "{across}x{down}: {under:?}");
    }
}

#[test]
fn a_sloping_floor_is_not_seen_from_where_one_stands_on_it() {
    let mut params = Params::two_bellows();
    params.slope = 1.0_f64.to_radians();
    let (sloping, level) = (brought(params, [0.205; 2]), at(205.0));
    let under = |bay: &Bay, side| {
        let scene = Scene::of(bay, 44, 26);
        extent(&scene, inside(&scene, side, BLOCK), Matter::Frame)
            .unwrap()
            .1
    };
    for side in Side::BOTH {
        assert_eq!(under(&sloping, side), under(&level, side));
    }
}

#[test]
fn over_a_loose_block_there_is_a_gap_and_none_over_one_that_carries() {
    let mut bay = over_blocks();
    for (across, down) in SIZES {
        let scene = Scene::of(&bay, across, down);
        let column = inside(&scene, Side::Right, BLOCK);
        let (top, foot) = extent(&scene, column, Matter::Block).unwrap();
        let (_, under) = extent(&scene, column, Matter::Frame).unwrap();
        assert!(under < top, "{across}x{down}: {under} {top}");
        assert_eq!(scene.raster.at(column as usize, foot), Matter::Axle);
    }
    hold(&mut bay, Way::Down, 30_000);
    assert!(bay.sits_on_blocks());
    for (across, down) in SIZES {
        let scene = Scene::of(&bay, across, down);
        let column = inside(&scene, Side::Right, BLOCK);
        let (top, _) = extent(&scene, column, Matter::Block).unwrap();
        let (_, under) = extent(&scene, column, Matter::Frame).unwrap();
        assert_eq!(under, top, "{across}x{down}");
    }
}

#[test]
fn bellows_grow_with_their_height_and_sink_in_without_air() {
    let tall = |bay: &Bay| {
        let scene = Scene::of(bay, 44, 26);
        let column = inside(&scene, Side::Left, BELLOWS);
        let (top, foot) = extent(&scene, column, Matter::Bellows).unwrap();
        foot - top
    };
    assert!(tall(&at(140.0)) < tall(&at(200.0)));
    assert!(tall(&at(200.0)) < tall(&at(300.0)));
    let wide = |bay: &Bay| {
        let scene = Scene::of(bay, 44, 26);
        let columns = scene.columns(Side::Left, BELLOWS);
        let (frame, _) = scene.rows(Side::Left);
        let middle = frame as usize + tall(bay) / 2;
        let of = columns.filter(|c| scene.raster.at(*c as usize, middle) == Matter::Bellows);
        of.count()
    };
    let mut bay = over_blocks();
    let full = wide(&bay);
    hold(&mut bay, Way::Down, 30_000);
    assert!(wide(&bay) < full, "{} {full}", wide(&bay));
}

#[test]
fn two_bellows_a_side_are_drawn_as_two() {
    let lobes = |bay: &Bay, across, down| {
        let scene = Scene::of(bay, across, down);
        let (frame, seat) = scene.rows(Side::Right);
        let middle = f64::midpoint(frame, seat) as usize;
        let mut count = 0;
        let mut before = Matter::Air;
        for column in scene.columns(Side::Right, BELLOWS) {
            let here = scene.raster.at(column as usize, middle);
            count += usize::from(here == Matter::Bellows && before != Matter::Bellows);
            before = here;
        }
        count
    };
    for (across, down) in SIZES {
        assert_eq!(lobes(&at(205.0), across, down), 1);
        let four = brought(Params::four_bellows(), [0.205; 2]);
        assert_eq!(lobes(&four, across, down), 2, "{across}x{down}");
    }
}

#[test]
fn a_bump_stop_reaches_the_seat_only_when_it_is_touched() {
    let mut bay = at(205.0);
    let gap = |bay: &Bay| {
        let scene = Scene::of(bay, 32, 11);
        let column = inside(&scene, Side::Left, STOP);
        let (_, end) = extent(&scene, column, Matter::Rubber).unwrap();
        let (seat, _) = extent(&scene, column, Matter::Axle).unwrap();
        seat - end
    };
    assert!(gap(&bay) > 0);
    hold(&mut bay, Way::Down, 40_000);
    assert_eq!(gap(&bay), 0);
}

#[test]
fn a_strap_is_straight_when_it_is_taut_and_hangs_in_a_bow_before() {
    let mut bay = at(205.0);
    let columns_taken = |bay: &Bay| {
        let scene = Scene::of(bay, 44, 26);
        let near = scene.columns(Side::Left, (0.6, TYRE.0));
        let taken = near.filter(|c| extent(&scene, *c, Matter::Line).is_some());
        taken.count()
    };
    assert!(columns_taken(&bay) > 1);
    hold(&mut bay, Way::Up, 9_000);
    assert!(bay.readout().upper[0] > 0.0);
    assert_eq!(columns_taken(&bay), 1);
}

#[test]
fn stands_stand_on_the_floor_and_touch_when_they_carry() {
    let mut bay = at(205.0);
    hold(&mut bay, Way::Up, 4_000);
    for side in Side::BOTH {
        bay.act(&Hand::Stand(side, true)).unwrap();
    }
    let ends = |bay: &Bay| {
        let scene = Scene::of(bay, 44, 26);
        let column = inside(&scene, Side::Left, STAND);
        let (top, foot) = extent(&scene, column, Matter::Stand).unwrap();
        let (_, under) = extent(&scene, column, Matter::Frame).unwrap();
        assert_eq!(foot, scene.window.row(0.0).round() as usize);
        top - under
    };
    assert!(ends(&bay) > 0);
    hold(&mut bay, Way::Down, 6_000);
    assert!(bay.readout().stand[0] > 0.0);
    assert_eq!(ends(&bay), 0);
}
