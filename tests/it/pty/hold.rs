//! Holding a key, as terminals of different kinds tell it.

use std::time::Duration;

use super::hand::{DELAY, ENTER, ESC, READY_HOLD, READY_TURNS, THROWN_AWAY};
use super::shop::Shop;
use super::terminal::Terminal;

const NEXT: &str = "RAISE THE FRAME";

/// Tries the hold key on a terminal that tells of releases, until it is proven.
fn prove(t: &Terminal) {
    t.wait("the shop's own");
    t.until("the jobs", |t| !t.shows("looking for jobs"));
    t.go_to("Try the hold key");
    t.send(ENTER);
    for _ in 0..3 {
        t.wait("Hold Space for two seconds");
        let from = std::time::Instant::now();
        t.repeat("\x1b[32;1:1u", "\x1b[32;1:2u", |_| {
            from.elapsed() < Duration::from_millis(1600)
        });
        t.send("\x1b[32;1:3u");
        if t.wait_any(&["Proven", "not clear"]) == 0 {
            break;
        }
        t.send(ENTER);
    }
    t.wait("Proven");
    std::thread::sleep(THROWN_AWAY);
    t.send(ESC);
    t.wait("THIS KEYBOARD");
    // The list has lost nothing; back to its top.
    for _ in 0..6 {
        t.send("\x1b[A");
    }
}

#[test]
fn a_held_key_passes_a_caution_where_only_repeats_are_told() {
    let shop = Shop::with_caution();
    let mut t = shop.at_gate();
    // A machine with much else to do may stand still in the middle; that cancels,
    // as it must, and the hold is begun again.
    for _ in 0..12 {
        if t.wait_any(&[READY_HOLD, READY_TURNS]) == 1 {
            t.kill();
            t = shop.start();
            t.go_on();
        }
        if t.hold_plain() && t.wait_any(&[NEXT, READY_HOLD, READY_TURNS, "not let go"]) == 0 {
            break;
        }
    }
    t.wait(NEXT);
    let holds = shop.commands("held_ms");
    assert_eq!(holds.len(), 1, "{holds:?}");
    let kept = holds[0].to_string();
    assert!(kept.contains("repeat"), "{kept}");
}

#[test]
fn a_hold_let_go_early_passes_nothing() {
    let shop = Shop::with_caution();
    let t = shop.at_gate();
    t.wait(READY_HOLD);
    let from = std::time::Instant::now();
    t.repeat(" ", " ", |_| from.elapsed() < Duration::from_secs(1));
    t.wait("Cancelled");
    t.never(NEXT, Duration::from_millis(500));
    assert_eq!(shop.commands("held_ms").len(), 0);
}

#[test]
fn a_danger_is_passed_by_a_hold_where_the_letting_go_is_proven() {
    let shop = Shop::small();
    let t = shop.start();
    prove(&t);
    t.open_small_job();
    t.go_to_gate();
    t.send("c");
    for _ in 0..12 {
        t.hold_told();
        if t.wait_any(&[NEXT, READY_HOLD]) == 0 {
            break;
        }
    }
    t.wait(NEXT);
    let holds = shop.commands("held_ms");
    assert!(holds[0].to_string().contains("release"), "{holds:?}");
    let bytes = String::from_utf8_lossy(&t.bytes()).into_owned();
    let asked = bytes.matches("\x1b[>11u").count();
    let given_back = bytes.matches("\x1b[<1u").count();
    assert_eq!(
        (asked, given_back),
        (2, 2),
        "asked for only while it is needed"
    );
}

#[test]
fn a_danger_is_not_passed_by_repeats_alone() {
    let shop = Shop::small();
    let t = shop.at_gate();
    t.wait(READY_TURNS);
    let from = std::time::Instant::now();
    t.repeat(" ", " ", |_| from.elapsed() < Duration::from_secs(4));
    t.never(NEXT, Duration::from_millis(500));
    assert!(t.shows("IS ALL CLEAR?"));
    assert_eq!(shop.commands("held_ms").len(), 0);
}

#[test]
fn a_key_that_was_down_before_the_prompt_passes_nothing() {
    let shop = Shop::with_caution();
    let t = shop.at_first_step();
    t.go_to_gate();
    let from = std::time::Instant::now();
    let mut answered = false;
    t.repeat(" ", " ", |t| {
        if !answered && from.elapsed() > DELAY + Duration::from_millis(300) {
            answered = true;
            t.send("c");
        }
        assert!(!t.shows("NOW LET GO until"), "{}", t.framed());
        assert!(!t.shows(READY_HOLD), "{}", t.framed());
        from.elapsed() < Duration::from_secs(5)
    });
    assert!(t.shows("Take your finger off Space"), "{}", t.framed());
    assert_eq!(shop.commands("held_ms").len(), 0);
    // Let go, it can be done.
    t.hold();
    t.wait(NEXT);
}

#[test]
fn a_window_that_loses_the_focus_cancels() {
    let shop = Shop::with_caution();
    let t = shop.at_gate();
    t.wait(READY_HOLD);
    let from = std::time::Instant::now();
    let mut lost = false;
    t.repeat(" ", " ", |t| {
        if !lost && from.elapsed() > DELAY + Duration::from_millis(500) {
            lost = true;
            t.send("\x1b[O");
        }
        from.elapsed() < Duration::from_secs(3)
    });
    assert!(t.shows("lost the focus"), "{}", t.framed());
    t.never(NEXT, Duration::from_millis(500));
    assert_eq!(shop.commands("held_ms").len(), 0);
}

#[test]
fn a_stop_of_the_program_in_the_middle_cancels() {
    let shop = Shop::with_caution();
    let t = shop.at_gate();
    t.wait(READY_HOLD);
    t.send(" ");
    t.wait("Keep holding");
    t.signal("STOP");
    t.until("the stop", |t| t.process() == 'T');
    t.send("     ");
    t.signal("CONT");
    t.wait("Cancelled");
    t.never(NEXT, Duration::from_millis(500));
    assert_eq!(shop.commands("held_ms").len(), 0);
}
