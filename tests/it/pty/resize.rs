//! The window made larger and smaller.

use super::hand::ESC;
use super::shop::Shop;
use super::terminal::Terminal;

/// Gives the window a size and waits until something was drawn for it.
fn give(t: &Terminal, cols: u16, rows: u16) {
    let before = t.bytes().len();
    t.resize(cols, rows);
    t.until("a frame of the new size", |t| t.bytes().len() > before);
}

#[test]
fn every_view_of_a_step_fits_its_window() {
    let shop = Shop::small();
    let t = shop.at_first_step();
    for (cols, rows) in [(120, 40), (80, 24), (40, 12), (36, 10)] {
        give(&t, cols, rows);
        t.wait("left wheel");
        t.wait("snug");
        t.until("the key for it", |t| t.shows("s snug"));
    }
    give(&t, 35, 9);
    t.wait("window too small");
    // Nothing is passed that can't be read.
    t.send("s");
    give(&t, 35, 8);
    give(&t, 80, 24);
    t.until("the same tick", |t| t.focus().contains("left wheel"));
    assert_eq!(shop.entries().len(), 1);
    t.send("s");
    t.until("the second tick", |t| t.focus().contains("right wheel"));
}

#[test]
fn no_window_is_too_small_to_be_survived() {
    let shop = Shop::small();
    let mut t = shop.at_first_step();
    let widths = [1, 2, 3, 5, 8, 13, 21, 34, 35, 36];
    let views = [
        ("", "left wheel"),
        ("?", "HELP AND MORE"),
        (ESC, "STOP WORK"),
    ];
    for (over, shown) in views {
        t.send(over);
        t.wait(shown);
        for cols in widths {
            for rows in 1..=10 {
                give(&t, cols, rows);
            }
        }
        assert!(t.runs(), "{}", t.framed());
        give(&t, 80, 24);
        t.wait(shown);
        if over == "?" {
            t.send(ESC);
            t.wait("CHOCK THE WHEELS");
        }
    }
}

#[test]
fn a_new_size_cancels_a_gesture() {
    let shop = Shop::small();
    let t = shop.at_gate();
    t.wait(super::hand::READY_TURNS);
    t.send("f");
    t.wait("Go on: F and J");
    give(&t, 81, 25);
    t.wait("the screen changed its size");
    give(&t, 30, 5);
    t.wait("window too small");
    give(&t, 80, 24);
    t.take_turns();
    t.wait("RAISE THE FRAME");
}
