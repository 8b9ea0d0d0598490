//! Needs of steps, acts, hazards and ends.

use super::{closed, errors, only, path};
use crate::sketch::{Does, Sketch, act, hazard, id, ids, procedure, step};
use levelhand::procedure::{Lasts, Procedure};
use levelhand::proof::prove;

/// Chock, then lower; a failed chocking leads to `after`.
fn chocked(after: &str) -> Procedure {
    let main = procedure("ask").conditions("chocked", Lasts::Job);
    closed(
        main.then(step("chock", &format!("pass:lower fail:{after}")).makes("chocked"))
            .then(step("lower", "pass:done").needs("chocked")),
    )
}

#[test]
fn finds_a_need_that_one_way_forgets() {
    let finding = only(&chocked("lower"), "need-not-held");
    assert_eq!(
        finding.sentence,
        "the step \"lower\" needs \"chocked\" (chocked), but there is a way to it on which it does not hold"
    );
    assert_eq!(path(&finding), ["chock (fail)", "lower"]);
    assert_eq!(finding.help[0], "it is needed by the step itself");
    assert_eq!(finding.help[1], "it is established by \"chock\"");
}

#[test]
fn accepts_a_need_that_every_way_meets() {
    assert_eq!(errors(&chocked("done")), [""; 0]);
}

#[test]
fn finds_the_safe_list_forgotten_at_an_end() {
    let mut made = chocked("done");
    made.safe = ids("chocked");
    let proof = prove(&made);
    let ends: Vec<_> = proof.findings.iter().map(|f| path(f).join(" > ")).collect();
    assert_eq!(
        ends,
        [
            "chock (fail) > done",
            "chock (stop work) > ask (seen) > safe"
        ]
    );
    assert!(proof.findings[0].help[0].contains("the safe list"));
}

/// A gate whose condition lasts one step, then a movement, `between` apart.
pub(super) fn gated(between: bool, clears: &str) -> Procedure {
    let mut main = procedure("ask").conditions("clear", Lasts::Step);
    main.hazards.insert(id("crush"), hazard("crush", "clear"));
    main.acts
        .insert(id("move"), act("move", "crush", "", clears, ""));
    let next = if between { "breathe" } else { "lower" };
    let gate = step("gate", &format!("pass:{next}")).makes("clear");
    let mut main = main.then(gate);
    if between {
        main = main.then(step("breathe", "pass:lower"));
    }
    closed(main.then(step("lower", "pass:done").acts("move")))
}

#[test]
fn finds_a_hazard_without_its_protection() {
    let finding = only(&gated(true, ""), "protection-not-held");
    assert_eq!(path(&finding), ["gate", "breathe", "lower"]);
    assert_eq!(
        finding.help[0],
        "it is needed by the hazard \"crush\" (crush)"
    );
    assert_eq!(errors(&gated(false, "")), [""; 0]);
}

#[test]
fn finds_a_protection_that_the_act_itself_ends() {
    let finding = only(&gated(false, "clear"), "protection-not-held");
    assert!(
        finding
            .sentence
            .ends_with("the step itself ends it on entry")
    );
    assert_eq!(path(&finding), ["gate", "lower"]);
}

#[test]
fn lets_a_step_need_what_it_clears() {
    let main = procedure("ask").conditions("up", Lasts::Job);
    let made = closed(
        main.then(step("raise", "pass:lower").makes("up"))
            .then(step("lower", "pass:done").needs("up").clears("up")),
    );
    assert_eq!(errors(&made), [""; 0]);
}

#[test]
fn ends_the_partners_of_whatever_may_be_established() {
    let main = procedure("ask").conditions("on_air on_blocks", Lasts::Job);
    let lower = step("lower", "pass:done fail:work").makes("on_blocks");
    let made = closed(
        main.exclusive("on_air on_blocks")
            .then(step("raise", "pass:lower").makes("on_air"))
            .then(lower)
            .then(step("work", "pass:done").needs("on_air")),
    );
    let finding = only(&made, "need-not-held");
    assert_eq!(path(&finding), ["raise", "lower (fail)", "work"]);
}
