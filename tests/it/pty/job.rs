//! A whole small job, typed to its end.

use super::hand::ENTER;
use super::shop::Shop;
use super::terminal::Start;

#[test]
fn a_small_job_is_typed_to_its_end() {
    let shop = Shop::small();
    let t = shop.start();
    t.open_small_job();
    t.chock();
    t.send(ENTER);

    t.wait("READ THE SUPPLY");
    // Typed in the other system: said back in the unit of the field first.
    t.send("150 psi");
    t.wait("10.34 bar = 150 psi");
    t.wait("outside");
    t.send("\x1b");
    t.until("an empty field", |t| !t.shows("150 psi"));
    assert!(!t.shows("STOP WORK"), "Esc clears the line first");
    t.send("100 psi");
    t.wait("6.89 bar = 100 psi");
    t.wait("within by 1.61 bar");
    t.send(ENTER);
    t.until("the way on", |t| t.focus().contains("Enter"));
    t.send(ENTER);

    t.wait("IS ALL CLEAR?");
    t.send("c");
    t.take_turns();

    t.wait("RAISE THE FRAME");
    t.wait("DANGER");
    t.until("the movement's page", |t| t.focus().contains("Move it now"));
    t.send(ENTER);
    t.until("what was seen", |t| t.focus().contains("frame"));
    t.send("s");
    t.hold();

    t.wait("PUT THE MUDGUARDS BACK");
    t.send(ENTER);
    t.wait("The job is complete");

    let entries = shop.entries();
    assert_eq!(shop.commands("100 psi").len(), 1, "kept as it was typed");
    assert_eq!(shop.commands("turns").len(), 2, "{entries:#?}");
    let (code, words) = shop.verified();
    assert_eq!(code, Some(0), "{words}");
    t.send("q");
    t.wait("FINISHED");
}

#[test]
fn the_shops_own_documents_are_on_the_board() {
    let shop = Shop::small();
    let t = shop.start();
    t.wait("Small job");
    // The focus stays on what it was on when the list grew.
    assert!(t.focus().contains("Ride height"), "{}", t.framed());
    let bare = Shop::empty().start();
    bare.wait("THIS KEYBOARD");
    assert!(!bare.shows("Small job"));
}

#[test]
fn a_document_that_is_not_released_is_refused_for_work_and_taken_for_practice() {
    let shop = Shop::drafted(include_str!("../../shop/small_job.json"));
    let t = shop.start();
    t.wait("Small job   the shop's own, not released");
    t.go_to("Small job");
    t.send(ENTER);
    t.wait("small_job is not released");
    t.wait("levelhand release");
    t.wait("levelhand --trial");
    t.go_to("open the job");
    t.send(ENTER);
    t.wait("small_job is not released");
    assert!(!shop.path().join("jobs").exists(), "nothing was begun");
    drop(t);

    let t = Start::new(shop.path()).trial().go();
    t.wait("PRACTICE: nothing begun here is a job");
    t.open_job("Small job");
    t.wait("CHOCK THE WHEELS");
    assert!(t.shows("PRACTICE"), "{}", t.framed());
    let practice = std::fs::read_dir(shop.path().join("practice")).unwrap();
    assert_eq!(practice.count(), 1);
    assert!(!shop.path().join("jobs").exists());
}

#[test]
fn the_record_says_who_released_what_it_ran_on_and_outlives_later_releases() {
    let shop = Shop::small();
    let t = shop.at_first_step();
    t.send("q");
    t.wait("LEAVE IT FOR NOW?");
    t.send("y");
    t.wait("GO ON WITH");
    drop(t);
    let begun = shop.entries();
    assert_eq!(begun[0]["do"]["released"]["procedure"]["by"], "L. Sample");
    assert_eq!(begun[0]["do"]["released"]["sheet"]["how"], "released");
    // A later revision, released or not, changes nothing for it.
    shop.document("small_job.json", "{}");
    let t = shop.start();
    t.wait("GO ON WITH");
    t.go_to("small truck");
    t.send(ENTER);
    t.wait("CHOCK THE WHEELS");
}

#[test]
fn looking_at_the_board_makes_no_file() {
    let dir = Shop::empty();
    let place = dir.path().join("not yet");
    let t = super::terminal::Start::new(&place).go();
    t.wait("THIS KEYBOARD");
    t.until("the jobs", |t| !t.shows("looking for jobs"));
    assert!(!place.exists());
}
