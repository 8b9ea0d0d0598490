//! The author's bench in a real terminal, with a document that is saved meanwhile.

use std::fs;
use std::path::PathBuf;

use portable_pty::CommandBuilder;

use super::hand::ENTER;
use super::shop::Shop;
use super::terminal::{Start, Terminal};

const RIGHT: &str = "\x1b[C";
const ESCAPE: &str = "\x1b";

fn file(shop: &Shop) -> PathBuf {
    shop.path().join("documents").join("small_job.json")
}

/// A text in which nobody chocks the wheels.
fn mistaken(text: &str) -> String {
    let chocked = "     \"establishes\": [\n      \"chocked\"\n     ],\n";
    assert_eq!(text.matches(chocked).count(), 1);
    text.replace(chocked, "")
}

fn on_bench(shop: &Shop) -> Terminal {
    let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_levelhand"));
    command.arg("--data");
    command.arg(shop.path());
    command.arg("author");
    command.arg(file(shop));
    Start::new(shop.path()).command(command).go()
}

#[test]
fn what_is_saved_meanwhile_is_shown_and_the_step_stays() {
    let shop = Shop::small();
    let good = fs::read_to_string(file(&shop)).unwrap();
    let mut t = on_bench(&shop);
    t.wait("no errors, 1 warning");
    t.send(&RIGHT.repeat(3));
    t.wait("step 4 of 9 · lift");

    // As an editor does that writes into the file.
    fs::write(file(&shop), mistaken(&good)).unwrap();
    t.until("the errors", |t| !t.shows("no errors") && t.shows("errors"));
    t.wait("step 4 of 9 · lift");
    t.wait("protection-not-held");

    // Half of it is there.
    fs::write(file(&shop), &good[..good.len() / 2]).unwrap();
    t.wait("can't be followed");
    t.wait("step 4 of 9 · lift");

    // It is gone, then there again under its name, as an editor does that writes
    // beside the file and renames.
    fs::remove_file(file(&shop)).unwrap();
    t.wait("the last reading stands");
    let beside = shop.path().join("beside.json");
    fs::write(&beside, &good).unwrap();
    fs::rename(&beside, file(&shop)).unwrap();
    t.wait("no errors, 1 warning");
    t.until("no complaint", |t| !t.shows("the last reading stands"));
    t.wait("step 4 of 9 · lift");
    t.send("q");
    assert!(t.ended().success());
    assert!(!shop.path().join("jobs").exists(), "no job was begun");
}

#[test]
fn the_shop_s_own_procedure_is_looked_through_from_the_board() {
    let shop = Shop::small();
    let good = fs::read_to_string(file(&shop)).unwrap();
    let t = shop.start();
    t.wait("the shop's own");
    t.go_to("Look through a procedure");
    t.send(ENTER);
    t.wait("LOOK THROUGH");
    t.until("the small job in focus", |t| {
        t.settled().contains("Small job")
    });
    t.send(ENTER);
    t.wait("no errors, 1 warning");
    fs::write(file(&shop), mistaken(&good)).unwrap();
    t.until("the errors", |t| !t.shows("no errors") && t.shows("errors"));
    t.wait("protection-not-held");
    t.send(ESCAPE);
    t.wait("LOOK THROUGH");
    t.send(ESCAPE);
    t.wait("THIS KEYBOARD");
}
