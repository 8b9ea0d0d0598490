//! The graph itself: reached, ending, counted, and the stop-work routes.

use super::{closed, errors, only, path};
use crate::sketch::{Does, Sketch, end, id, look, procedure, step};
use levelhand::procedure::{EndKind, Procedure};

#[test]
fn finds_a_step_to_which_nothing_leads() {
    let reached = |ways| {
        let main = procedure("ask").then(step("a", ways));
        closed(main.then(step("b", "pass:done")))
    };
    assert_eq!(errors(&reached("pass:done")), ["step-unreached"]);
    assert_eq!(errors(&reached("pass:done fail:b")), [""; 0]);
}

#[test]
fn finds_steps_that_only_stop_work_leaves() {
    let main = procedure("ask").then(step("a", "pass:done fail:b"));
    let made = closed(main.then(step("b", "pass:b")));
    assert_eq!(errors(&made), ["step-trapped", "cycle-uncounted"]);
    assert_eq!(path(&only(&made, "step-trapped")), ["a (fail)", "b"]);
}

#[test]
fn finds_a_cycle_that_nothing_counts() {
    let cycle = |tries: bool| {
        let check = step("check", "pass:done fail:mend spent:done");
        let check = if tries { check.tries(3) } else { check };
        closed(
            procedure("ask")
                .then(check)
                .then(step("mend", "pass:check")),
        )
    };
    let finding = only(&cycle(false), "cycle-uncounted");
    assert_eq!(path(&finding), ["check (fail)", "mend", "check"]);
    assert_eq!(errors(&cycle(true)), [""; 0]);
}

#[test]
fn counts_no_pass_and_no_spent() {
    let cycle = |ways| closed(procedure("ask").then(step("check", ways).tries(3)));
    assert_eq!(
        errors(&cycle("pass:check fail:done spent:done")),
        ["cycle-uncounted"]
    );
    assert_eq!(
        errors(&cycle("pass:done fail:done spent:check")),
        ["cycle-uncounted"]
    );
    assert_eq!(errors(&cycle("pass:done fail:check spent:done")), [""; 0]);
}

#[test]
fn counts_a_choice_with_tries() {
    let again = |tries| {
        let seen = look("seen", "good:done again:seen").choice("again", |c| c.tries = tries);
        closed(procedure("ask").then(seen))
    };
    assert_eq!(errors(&again(None)), ["cycle-uncounted"]);
    assert_eq!(errors(&again(Some(2))), [""; 0]);
}

/// Stop work leading to a look of the route with this second way.
fn stopped(second: &str, kind: EndKind) -> Procedure {
    procedure("ask")
        .then(step("a", "pass:done"))
        .then(end("done", EndKind::Complete))
        .route("ask")
        .then(look("ask", &format!("seen:safe not_seen:{second}")))
        .then(end("safe", kind))
}

#[test]
fn finds_a_stop_work_route_that_goes_back_to_work() {
    let finding = only(&stopped("a", EndKind::MadeSafe), "route-left");
    assert!(
        finding
            .sentence
            .contains("leads out of it to the step \"a\"")
    );
    assert_eq!(errors(&stopped("safe", EndKind::MadeSafe)), [""; 0]);
}

#[test]
fn finds_a_stop_work_route_that_ends_otherwise() {
    let made = stopped("safe", EndKind::HandedOver);
    assert_eq!(errors(&made), ["route-ends-otherwise"]);
}

#[test]
fn finds_stop_work_that_leads_into_no_route() {
    let mut made = stopped("safe", EndKind::MadeSafe);
    made.phases[0].stop = id("done");
    made.phases[1].stop = id("ask");
    let found = errors(&made);
    assert_eq!(found[found.len() - 1], "stop-route");
}

#[test]
fn lets_a_route_end_in_a_made_safe_end_elsewhere() {
    let made = procedure("ask")
        .then(step("a", "pass:done fail:safe"))
        .then(end("done", EndKind::Complete))
        .then(end("safe", EndKind::MadeSafe))
        .route("ask")
        .then(look("ask", "seen:safe not_seen:ask").choice("not_seen", |c| c.tries = Some(1)));
    assert_eq!(errors(&made), [""; 0]);
}
