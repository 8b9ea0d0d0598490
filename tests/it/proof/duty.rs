//! Duties: owed, settled, handed over.

use super::{closed, errors, only, path};
use crate::sketch::{Does, Sketch, end, id, procedure, step};
use levelhand::procedure::{EndKind, Procedure};

/// A duty from the first step on, settled in the second, which may fail.
fn owing(settles: &str, after_fail: &str) -> Procedure {
    let main = procedure("ask").duties("mudguards");
    let refit = step("refit", &format!("pass:done fail:{after_fail}")).settles(settles);
    closed(
        main.then(step("take_off", "pass:refit").incurs("mudguards"))
            .then(refit),
    )
    .then(end("passed_on", EndKind::HandedOver))
}

#[test]
fn finds_a_duty_owed_at_a_complete_end() {
    let finding = only(&owing("mudguards", "done"), "duty-owed-at-complete");
    assert_eq!(path(&finding), ["take_off", "refit (fail)", "done"]);
}

#[test]
fn lets_a_handed_over_end_owe_duties() {
    let mut made = owing("mudguards", "passed_on");
    // The end belongs to the main phase; where it is written does not matter.
    made.steps.last_mut().unwrap().phase = 0;
    assert_eq!(errors(&made), [""; 0]);
}

#[test]
fn finds_a_duty_settled_where_it_cannot_be_owed() {
    let main = procedure("ask").duties("d");
    let made = closed(
        main.then(step("a", "pass:b").settles("d"))
            .then(step("b", "pass:done").incurs("d").settles("d")),
    );
    assert_eq!(errors(&made), ["settles-nothing"]);
}

#[test]
fn finds_a_duty_with_one_side_only() {
    assert_eq!(
        errors(&owing("", "passed_on"))[..2],
        ["duty-owed-at-complete", "duty-never-settled"]
    );
    let main = procedure("ask").duties("d");
    let made = closed(main.then(step("a", "pass:done")));
    assert_eq!(errors(&made), ["duty-never-incurred"]);
}

#[test]
fn reaches_the_hand_over_end_through_a_complete_one() {
    let mut made = owing("mudguards", "done");
    made.steps.last_mut().unwrap().phase = 0;
    assert!(errors(&made).contains(&"step-unreached".to_owned()));
    made.hand_over = Some(id("passed_on"));
    assert!(!errors(&made).contains(&"step-unreached".to_owned()));
}
