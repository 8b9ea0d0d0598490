//! Stop work is always there.

use std::thread::sleep;
use std::time::{Duration, Instant};

use super::hand::{CTRL_C, ENTER, ESC, READY_TURNS};
use super::shop::Shop;
use super::terminal::Terminal;

const CARD: &str = "STOP WORK";
/// The key line, once the card has stood for a second.
const CARRY_ON: &str = "c carry on";

/// Hammers Esc until the card is up, and then goes on hammering.
fn hammer(t: &Terminal) {
    for _ in 0..14 {
        t.send(ESC);
        sleep(Duration::from_millis(40));
    }
    t.wait(CARD);
    t.send(&ESC.repeat(9));
    t.never("CHOCK THE WHEELS", Duration::from_millis(300));
    assert!(t.shows(CARD), "{}", t.framed());
}

/// Carries on, once it can be done.
fn carry_on(t: &Terminal, step: &str) {
    t.wait(CARRY_ON);
    t.send("c");
    t.wait(step);
}

#[test]
fn hammering_esc_arrives_at_the_stop_card_from_anywhere() {
    let shop = Shop::small();
    let t = shop.at_first_step();
    let step = "CHOCK THE WHEELS";
    let ways: [&[(&str, &str)]; 9] = [
        &[],
        &[("?", "HELP AND MORE")],
        &[("?", "HELP AND MORE"), ("w", "WHY THIS STEP")],
        &[("?", "HELP AND MORE"), ("r", "ROUTE")],
        &[("?", "HELP AND MORE"), ("v", "VALUES GIVEN")],
        &[("?", "HELP AND MORE"), ("i", "INSTRUMENTS IN USE")],
        &[
            ("?", "HELP AND MORE"),
            ("n", "IN WORDS"),
            ("some words", "some words"),
        ],
        &[("?", "HELP AND MORE"), ("k", "TRY THE HOLD KEY")],
        &[("q", "LEAVE IT FOR NOW?")],
    ];
    for way in ways {
        for (key, shown) in way {
            t.send(key);
            t.wait(shown);
        }
        hammer(&t);
        carry_on(&t, step);
    }
    t.send(CTRL_C);
    t.wait(CARD);
    carry_on(&t, step);
}

#[test]
fn esc_in_a_line_clears_it_and_then_calls_stop_work() {
    let shop = Shop::small();
    let t = shop.at_first_step();
    t.chock();
    t.send(ENTER);
    t.wait("READ THE SUPPLY");
    t.send("12.34 bar");
    t.wait("12.34");
    t.send(ESC);
    t.until("an empty line", |t| !t.shows("12.34"));
    assert!(!t.shows(CARD));
    t.send("12.34 bar");
    t.wait("12.34");
    hammer(&t);
}

#[test]
fn from_a_hold_esc_calls_stop_work_at_once() {
    let shop = Shop::small();
    let t = shop.at_gate();
    t.wait(READY_TURNS);
    t.send("f");
    t.wait("Go on: F and J");
    t.send(ESC);
    t.wait(CARD);
    // The keys of the hold are over: none of them does anything on the card.
    t.send("jfjfjf");
    t.never("Type the number", Duration::from_millis(300));
    assert_eq!(shop.commands("held_ms").len(), 0);
}

#[test]
fn on_the_card_only_its_own_keys_do_anything_and_carry_on_only_after_a_second() {
    let shop = Shop::small();
    let t = shop.at_first_step();
    t.send(ESC);
    t.wait(CARD);
    let shown = Instant::now();
    t.send("c");
    t.never(
        "CHOCK THE WHEELS",
        Duration::from_millis(600).saturating_sub(shown.elapsed()),
    );
    t.wait(CARRY_ON);
    let entries = shop.entries().len();
    for key in [
        ENTER, " ", "y", "n", "q", "?", "f", "j", "s", "\t", "\x1b[A", CTRL_C,
    ] {
        t.send(key);
        sleep(Duration::from_millis(20));
    }
    t.paste("c");
    t.never("CHOCK THE WHEELS", Duration::from_millis(300));
    assert_eq!(shop.entries().len(), entries);
    t.send("t");
    t.wait("WHERE DOES THE FRAME LIE?");
}
