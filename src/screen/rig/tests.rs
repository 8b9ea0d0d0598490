//! What every view of the truck keeps to, at every size and place.

use std::collections::BTreeMap;
use std::sync::Arc;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Color;

use super::*;
use crate::rig::{By, Hand, Params, Reach, Truck, Way};

/// An invented truck of these numbers, brought in at these heights, m.
pub(super) fn brought(params: Params, start: [f64; 2]) -> Bay {
    let truck = Truck {
        id: "invented".to_owned(),
        title: "invented".to_owned(),
        sheet: "invented".to_owned(),
        params,
        start,
        reservoir: None,
        arm: None,
        stored: [553, 868, 256],
        dead_band: 4,
        blocks: [0.190; 2],
        write_least_v: 23.0,
        write_within_ms: 3_000,
        write_presses: 12,
        battery: "battery".to_owned(),
        cards: BTreeMap::new(),
        readings: BTreeMap::new(),
        answers: BTreeMap::new(),
    };
    let mut bay = Bay::new(Arc::new(truck), Vec::new(), None);
    let ready = [
        Hand::Levelling(false),
        Hand::Mudguards(false),
        Hand::Gauges(true),
    ];
    for hand in ready {
        bay.act(&hand).unwrap();
    }
    bay
}

/// Holds both valves open so long.
pub(super) fn hold(bay: &mut Bay, way: Way, ms: u64) {
    bay.act(&Hand::Open(way, Reach::Both)).unwrap();
    bay.pass(ms);
    bay.act(&Hand::LetGo).unwrap();
    bay.pass(3_000);
}

/// Both blocks in, loose, the frame over them.
pub(super) fn over_blocks() -> Bay {
    let mut bay = brought(Params::two_bellows(), [0.205; 2]);
    hold(&mut bay, Way::Up, 700);
    for side in Side::BOTH {
        bay.act(&Hand::Block(side, true, By::Handle)).unwrap();
    }
    bay
}

const MOST: Option<f64> = Some(2.0);

type View = fn(&mut Buffer, Rect, &Bay, Theme);

const VIEWS: [View; 4] = [
    truck,
    |buf, area, bay, theme| gauges(buf, area, bay, MOST, theme),
    |buf, area, bay, theme| strip(buf, area, bay, MOST, theme),
    |buf, area, bay, theme| compact(buf, area, bay, MOST, theme),
];

fn drawn(view: View, cols: u16, rows: u16, bay: &Bay, theme: Theme) -> Buffer {
    let area = Rect::new(0, 0, cols, rows);
    let mut buf = Buffer::empty(area);
    view(&mut buf, area, bay, theme);
    buf
}

fn words(buf: &Buffer) -> String {
    let row = |y| {
        let cells = (0..buf.area.width).map(|x| buf[(x, y)].symbol());
        cells.collect::<String>() + "\n"
    };
    (0..buf.area.height).map(row).collect()
}

#[test]
fn a_height_is_told_only_to_who_stands_at_that_wheel() {
    let mut bay = brought(Params::two_bellows(), [0.2081, 0.2031]);
    let told = Side::BOTH.map(|side| told::height(&bay, side));
    assert_eq!(told, ["··· mm", "··· mm"]);
    for spot in Spot::ALL {
        bay.act(&Hand::Look(spot)).unwrap();
        let views = [(VIEWS[0], 46, 16), (VIEWS[2], 80, 3), (VIEWS[3], 44, 21)];
        for (view, cols, rows) in views {
            let words = words(&drawn(view, cols, rows, &bay, Theme::default()));
            assert_eq!(
                words.contains("208 mm"),
                spot == Spot::LeftWheel,
                "{spot:?}{words}"
            );
            assert_eq!(
                words.contains("203 mm"),
                spot == Spot::RightWheel,
                "{spot:?}{words}"
            );
        }
    }
}

#[test]
fn pressures_and_the_height_value_are_figures_only_at_their_instruments() {
    let mut bay = brought(Params::two_bellows(), [0.205; 2]);
    for spot in Spot::ALL {
        bay.act(&Hand::Look(spot)).unwrap();
        for (cols, rows) in [(58, 14), (40, 20), (31, 21), (57, 6)] {
            let words = words(&drawn(VIEWS[1], cols, rows, &bay, Theme::default()));
            assert_eq!(
                words.contains("1.30 bar"),
                spot == Spot::Gauges,
                "{spot:?}{words}"
            );
            // Without dials for all three the reservoir is a bar with its figure.
            assert_eq!(
                words.contains("8.50 bar"),
                spot == Spot::Cab,
                "{spot:?}{words}"
            );
            assert_eq!(
                words.contains("553"),
                spot == Spot::Equipment,
                "{spot:?}{words}"
            );
        }
    }
}

#[test]
fn a_gauge_that_is_not_on_its_point_shows_no_needle() {
    let mut bay = brought(Params::two_bellows(), [0.205; 2]);
    let with = words(&drawn(VIEWS[2], 80, 3, &bay, Theme::default()));
    assert!(with.contains("0·1·◆·3"), "{with}");
    bay.act(&Hand::Gauges(false)).unwrap();
    bay.act(&Hand::Look(Spot::Gauges)).unwrap();
    for (view, cols, rows) in [(VIEWS[1], 58, 14), (VIEWS[2], 80, 3), (VIEWS[1], 31, 21)] {
        let without = words(&drawn(view, cols, rows, &bay, Theme::default()));
        assert!(without.contains("not fitted"), "{without}");
        assert!(!without.contains('◆'), "{without}");
    }
}

#[test]
fn in_a_narrow_strip_each_side_has_a_row_with_its_needle() {
    let bay = brought(Params::two_bellows(), [0.205; 2]);
    let words = words(&drawn(VIEWS[2], 50, 3, &bay, Theme::default()));
    let rows: Vec<&str> = words.lines().map(str::trim_end).collect();
    assert_eq!(rows[0], "left ··· mm 0·1·◆·3·4·5·6·7·8·9·10");
    assert_eq!(rows[1], "right ··· mm 0·1·◆·3·4·5·6·7·8·9·10");
    assert!(rows[2].starts_with("valves shut  "), "{words}");
    assert!(rows[2].ends_with("you: behind the line"), "{words}");
}

#[test]
fn who_opens_a_valve_is_told_and_which() {
    let mut bay = brought(Params::two_bellows(), [0.205; 2]);
    assert_eq!(told::valves(&bay), "valves shut");
    bay.act(&Hand::Open(Way::Down, Reach::One(Side::Left)))
        .unwrap();
    assert_eq!(told::valves(&bay), "▼ LOWERING left, held open");
    bay.act(&Hand::LetGo).unwrap();
    hold(&mut bay, Way::Up, 3_000);
    bay.act(&Hand::Levelling(true)).unwrap();
    bay.pass(200);
    assert_eq!(told::valves(&bay), "▼ LOWERING both sides, by levelling");
}

#[test]
fn person_and_helper_stand_on_the_floor_where_they_are() {
    let mut bay = over_blocks();
    bay.act(&Hand::Stand(Side::Left, true)).unwrap();
    let buf = drawn(VIEWS[0], 46, 16, &bay, Theme::default());
    let floor = words(&buf).lines().nth(12).unwrap().to_owned();
    assert!(floor.starts_with(" you ─"), "{floor}");
    assert!(floor.ends_with("─ helper "), "{floor}");
    bay.act(&Hand::Look(Spot::Under)).unwrap();
    let words = words(&drawn(VIEWS[0], 46, 16, &bay, Theme::default()));
    assert!(words.contains("─ you ─"), "{words}");
    assert!(words.contains("YOU ARE UNDER IT"), "{words}");
}

#[test]
fn every_view_keeps_inside_its_area_at_every_size() {
    let bay = over_blocks();
    for view in VIEWS {
        for cols in (0..=125).step_by(5) {
            for rows in (0..=40).step_by(4) {
                let whole = Rect::new(0, 0, cols + 4, rows + 4);
                let area = Rect::new(2, 2, cols, rows);
                let mut buf = Buffer::empty(whole);
                view(&mut buf, area, &bay, Theme::default());
                for y in 0..whole.height {
                    for x in 0..whole.width {
                        let is_in = area.contains((x, y).into());
                        assert!(
                            is_in || buf[(x, y)].symbol() == " ",
                            "{cols}x{rows}: {x},{y}"
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn without_colours_there_are_none() {
    let bay = over_blocks();
    let theme = Theme {
        palette: Palette::None,
        ..Theme::default()
    };
    for view in VIEWS {
        let buf = drawn(view, 80, 30, &bay, theme);
        for cell in buf.content() {
            assert_eq!(
                (cell.fg, cell.bg),
                (Color::Reset, Color::Reset),
                "{}",
                cell.symbol()
            );
        }
    }
}

#[test]
fn a_plain_console_gets_only_characters_that_it_has() {
    let theme = Theme {
        grain: Grain::Half,
        ..Theme::default()
    };
    let plain = "█▓▒░▀▄▌▐─│·╱◆▲▼…";
    for bay in [over_blocks(), brought(Params::four_bellows(), [0.12, 0.14])] {
        for view in VIEWS {
            for (cols, rows) in [(46, 16), (58, 30), (34, 10), (80, 21)] {
                for cell in drawn(view, cols, rows, &bay, theme).content() {
                    let symbol = cell.symbol();
                    let known = symbol.is_ascii() || plain.contains(symbol);
                    assert!(known, "{symbol}");
                }
            }
        }
    }
}
