//! Two programs, one job.

use super::hand::ENTER;
use super::shop::Shop;

#[test]
fn the_second_program_is_told_who_holds_the_job() {
    let shop = Shop::small();
    let first = shop.at_first_step();
    let second = shop.start();
    second.wait("GO ON WITH");
    second.until("the jobs", |t| !t.shows("looking for jobs"));
    second.go_to("small truck");
    let before = std::fs::read(shop.journal()).unwrap();
    second.send(ENTER);
    second.wait("held by another program");
    second.wait(&format!("process {}", first.id()));
    assert_eq!(std::fs::read(shop.journal()).unwrap(), before);
    // Once it is free, it can be had.
    first.send("q");
    first.wait("LEAVE IT FOR NOW?");
    first.send("y");
    first.wait("THIS KEYBOARD");
    second.send(ENTER);
    second.wait("CHOCK THE WHEELS");
}
