//! The program killed at any moment, and the job opened again.

use std::thread::sleep;
use std::time::Duration;

use super::hand::ENTER;
use super::shop::Shop;
use super::terminal::Terminal;

/// Kills the program, looks at what is on disk, starts it again and goes on.
fn killed(shop: &Shop, t: Terminal) -> Terminal {
    let before = std::fs::read(shop.journal()).unwrap();
    t.kill();
    let t = shop.start();
    t.go_on();
    let after = std::fs::read(shop.journal()).unwrap();
    assert!(after.starts_with(&before), "what was kept stays as it was");
    assert!(after.len() > before.len(), "the opening is kept too");
    t
}

#[test]
fn killed_after_any_entry_the_job_goes_on_where_it_was() {
    let shop = Shop::small();
    let t = killed(&shop, shop.at_first_step());
    t.until("the first tick", |t| t.focus().contains("left wheel"));
    t.send("s");
    t.until("the second tick", |t| t.focus().contains("right wheel"));
    let t = killed(&shop, t);
    t.until("the second tick", |t| t.focus().contains("right wheel"));
    t.send("s");
    t.until("the third tick", |t| t.focus().contains("who chocked"));
    t.send("g");
    t.wait("IN WORDS");
    // What is typed and not accepted is no entry.
    t.send("C. Sam");
    t.wait("C. Sam");
    let t = killed(&shop, t);
    t.until("the third tick", |t| t.focus().contains("who chocked"));
    assert!(!t.shows("C. Sam"));
    t.send("g");
    t.wait("IN WORDS");
    t.enter("B. Sample");
    t.until("the way on", |t| t.focus().contains("Enter"));
    t.send(ENTER);
    t.wait("READ THE SUPPLY");
    let t = killed(&shop, t);
    t.wait("READ THE SUPPLY");
    t.enter("8 bar");
    t.until("the way on", |t| t.focus().contains("Enter"));
    let t = killed(&shop, t);
    t.until("the way on", |t| t.focus().contains("Enter"));
    assert!(t.shows("8.00 bar"), "{}", t.framed());
    assert_eq!(shop.commands("8 bar").len(), 1);
    let (code, words) = shop.verified();
    assert_eq!(code, Some(0), "{words}");
}

#[test]
fn killed_while_an_entry_is_on_its_way_it_is_there_whole_or_not_at_all() {
    let shop = Shop::small();
    let mut t = shop.at_first_step();
    for wait in [0, 1, 2, 4, 8, 16] {
        t.until("a tick", |t| {
            t.focus().contains(" wheel") || t.focus().contains("who")
        });
        let asked = t.focus();
        if asked.contains("who") {
            break;
        }
        t.send("s");
        sleep(Duration::from_millis(wait));
        let shown = !t.focus().contains(&asked);
        t.kill();
        t = shop.start();
        t.go_on();
        if shown {
            assert!(!t.focus().contains(&asked), "shown as done, and lost");
        }
    }
    // Whichever way each of them went, every line is whole and the chain holds.
    let entries = shop.entries();
    assert!(entries.len() >= 2);
    let (code, words) = shop.verified();
    assert_eq!(code, Some(0), "{words}");
}

#[test]
fn a_torn_last_entry_is_told_and_the_rest_is_whole() {
    let shop = Shop::small();
    let t = shop.at_first_step();
    t.chock();
    t.kill();
    let journal = std::fs::read(shop.journal()).unwrap();
    let whole = shop.entries().len();
    std::fs::write(shop.journal(), &journal[..journal.len() - 40]).unwrap();
    let t = shop.start();
    t.go_on();
    t.wait("was cut short");
    // The words about who chocked were the last entry.
    t.until("the last tick again", |t| t.focus().contains("who chocked"));
    let entries = shop.entries();
    let after = whole - 1 + 2;
    assert_eq!(
        entries.len(),
        after,
        "one lost; its loss and the opening kept"
    );
    let (code, words) = shop.verified();
    assert_eq!(code, Some(0), "{words}");
}

#[test]
fn damage_in_the_middle_is_shown_and_nothing_can_be_entered() {
    let shop = Shop::small();
    let t = shop.at_first_step();
    t.chock();
    t.kill();
    let mut journal = std::fs::read(shop.journal()).unwrap();
    let second = journal.iter().position(|b| *b == b'\n').unwrap() + 30;
    journal[second] ^= 1;
    std::fs::write(shop.journal(), &journal).unwrap();
    let t = shop.start();
    t.wait("GO ON WITH");
    t.go_to("small truck");
    t.send(ENTER);
    t.until("the job, or why not", |t| {
        !t.shows("THIS KEYBOARD") || t.shows(" ! ")
    });
    for key in ["s", "g", ENTER] {
        t.send(key);
    }
    t.send("?");
    t.until("the keys to be taken", |t| {
        t.shows("HELP AND MORE") || t.shows("THIS KEYBOARD")
    });
    assert_eq!(std::fs::read(shop.journal()).unwrap(), journal);
}
