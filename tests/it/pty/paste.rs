//! A paste is never a key.

use std::time::Duration;

use super::shop::Shop;

#[test]
fn a_paste_at_a_hold_confirms_nothing() {
    let shop = Shop::with_caution();
    let t = shop.at_gate();
    t.wait(super::hand::READY_HOLD);
    let entries = shop.entries().len();
    t.paste(&" ".repeat(400));
    t.wait("A paste never confirms");
    t.wait(super::hand::READY_HOLD);
    // Without the brackets of a paste it is a burst of keys.
    t.send(&" ".repeat(400));
    t.wait("Cancelled");
    t.never("RAISE THE FRAME", Duration::from_millis(400));
    assert_eq!(shop.entries().len(), entries);
}

#[test]
fn a_paste_at_two_keys_in_turn_confirms_nothing() {
    let shop = Shop::small();
    let t = shop.at_gate();
    t.wait(super::hand::READY_TURNS);
    let entries = shop.entries().len();
    t.paste(&"fj".repeat(40));
    t.wait("A paste never confirms");
    t.wait(super::hand::READY_TURNS);
    t.send(&"fj".repeat(40));
    t.wait("Too fast");
    t.never("Type the number", Duration::from_millis(600));
    assert!(t.shows("IS ALL CLEAR?"));
    assert_eq!(shop.entries().len(), entries);
}

#[test]
fn a_paste_into_a_line_is_text_and_nothing_else() {
    let shop = Shop::small();
    let t = shop.at_first_step();
    // At a tick a paste is nothing at all.
    t.paste("ssg\rq\x1b");
    t.never("HELP", Duration::from_millis(300));
    t.until("the first tick still", |t| t.focus().contains("left wheel"));
    t.send("s");
    t.until("the second tick", |t| t.focus().contains("right wheel"));
    t.send("s");
    t.until("the third tick", |t| t.focus().contains("who chocked"));
    t.send("g");
    t.wait("IN WORDS");
    let entries = shop.entries().len();
    t.paste("B. Sample\rq?\x1b[31m");
    t.wait("B. Sample");
    t.never("HELP", Duration::from_millis(300));
    assert!(
        t.shows("IN WORDS"),
        "a line break in a paste accepts nothing"
    );
    assert_eq!(shop.entries().len(), entries);
}
