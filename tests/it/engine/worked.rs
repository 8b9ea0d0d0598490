//! Workings at the edge: a sum that refuses, a result that is not there.

use levelhand::job::{Command, Offer, Refusal};
use levelhand::procedure::{Grade, Subject, WorkInput, Working};
use levelhand::quantity::Kind;

use super::bench::{Bench, mm};
use super::rule::closed;
use crate::sketch::{Does, Sketch, id, limit, procedure, step};

/// The overall height after a raise: a height under a metre is refused.
fn overall(for_record: bool) -> Working {
    Working {
        title: "overall height".to_owned(),
        sum: "overall_height".to_owned(),
        gives: "after".to_owned(),
        inputs: vec![WorkInput::Value(id("r")), WorkInput::Literal(mm(15.0))],
        slots: vec![0, 1],
        kind: Kind::Length,
        shown: None,
        for_record,
    }
}

#[test]
fn a_refused_working_that_is_only_kept_holds_nothing_up() {
    let mut made = procedure("ask")
        .readings("r")
        .then(step("a", "pass:done").reads("r").works("w"));
    made.workings.insert(id("w"), overall(true));
    let mut bench = Bench::open(closed(made));
    bench.reads("r", 50.0);
    assert_eq!(bench.knows(), "r");
    bench.confirms();
    assert_eq!(bench.step(), "done");
}

#[test]
fn a_kept_working_is_there_when_its_sum_can_be_made() {
    let mut made = procedure("ask")
        .readings("r")
        .then(step("a", "pass:done").reads("r").works("w"));
    made.workings.insert(id("w"), overall(true));
    let mut bench = Bench::open(closed(made));
    bench.reads("r", 1200.0);
    assert!((bench.value_mm("w") - 1215.0).abs() < 1e-9);
}

#[test]
fn a_refused_working_that_a_limit_judges_holds_the_step() {
    for record in [false, true] {
        let mut a = step("a", "pass:done fail:done").reads("r").works("w");
        a.limits = vec![limit(Subject::Value(id("w")), Grade::Advice)];
        let mut made = procedure("ask").readings("r").then(a);
        made.workings.insert(id("w"), overall(record));
        let mut bench = Bench::open(closed(made));
        bench.reads("r", 50.0);
        assert!(!bench.offers().contains(&Offer::Confirm));
        let refusal = bench.refuses(Command::Confirm);
        assert!(
            matches!(&refusal, Refusal::Unanswered { open } if open == &["overall height"]),
            "{refusal:?}"
        );
    }
}
