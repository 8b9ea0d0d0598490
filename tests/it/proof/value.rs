//! Values: readings, workings, settings, ages.

use super::{closed, errors, only, path};
use crate::sketch::{
    Does, Sketch, condition, end, id, limit, look, phase, procedure, reading_of, step, working,
};
use levelhand::procedure::{Ask, EndKind, Grade, Lasts, Procedure, Subject, When};

/// Reads `gap` in the first step, judges it in the second.
fn judged(reads: &str, ways: &str) -> Procedure {
    let main = procedure("ask").readings("gap");
    closed(
        main.then(step("look_on", ways))
            .then(step("read", "pass:judge").reads(reads))
            .then(step("judge", "pass:done fail:done").judges("gap")),
    )
}

#[test]
fn finds_a_value_judged_before_it_is_taken() {
    let finding = only(&judged("gap", "pass:read fail:judge"), "value-missing");
    assert_eq!(path(&finding), ["look_on (fail)", "judge"]);
    assert_eq!(errors(&judged("gap", "pass:read")), [""; 0]);
}

#[test]
fn counts_a_reading_as_taken_whatever_the_outcome() {
    let main = procedure("ask").readings("gap");
    let made = closed(
        main.then(step("read", "pass:done fail:judge").reads("gap"))
            .then(step("judge", "pass:done fail:done").judges("gap")),
    );
    assert_eq!(errors(&made), [""; 0]);
}

/// Works `mean` out of `gap`, reads `gap` again, then judges `mean`.
fn worked(again: &str) -> Procedure {
    let mut main = procedure("ask").readings("gap");
    main.workings.insert(id("mean"), working("mean", "gap"));
    closed(
        main.then(step("read", "pass:again").reads("gap").works("mean"))
            .then(step("again", "pass:judge").reads("gap").works(again))
            .then(step("judge", "pass:done fail:done").judges("mean")),
    )
}

#[test]
fn forgets_what_was_worked_out_of_a_reading_taken_again() {
    assert_eq!(errors(&worked("")), ["value-missing"]);
    assert_eq!(errors(&worked("mean")), [""; 0]);
}

#[test]
fn takes_workings_in_their_order() {
    let order = |works| {
        let mut main = procedure("ask").readings("gap");
        main.workings.insert(id("first"), working("first", "gap"));
        main.workings
            .insert(id("second"), working("second", "first"));
        closed(main.then(step("read", "pass:done").reads("gap").works(works)))
    };
    assert_eq!(errors(&order("second first")), ["value-missing"]);
    assert_eq!(errors(&order("first second")), [""; 0]);
}

/// Reads as found, changes, reads as left; each where the words say.
fn set(before: &str, during: &str, after: &str) -> Procedure {
    let mut main = procedure("ask").setting("height");
    let found = reading_of("found", "height", When::AsFound);
    let left = reading_of("left", "height", When::AsLeft);
    main.readings
        .extend([(id("found"), found), (id("left"), left)]);
    closed(
        main.then(step("before", "pass:change fail:done").reads(before))
            .then(step("change", "pass:after").reads(during).changes("height"))
            .then(step("after", "pass:done").reads(after)),
    )
}

#[test]
fn asks_for_every_setting_as_found_and_as_left() {
    assert_eq!(errors(&set("found", "", "left")), [""; 0]);
    assert_eq!(errors(&set("found", "left", "")), [""; 0]);
    assert_eq!(errors(&set("", "", "left")), ["as-found-missing"]);
    assert_eq!(errors(&set("found left", "", "")), ["as-left-missing"]);
}

#[test]
fn takes_an_as_found_reading_in_the_changing_step_as_too_late() {
    assert_eq!(errors(&set("", "found", "left")), ["as-found-missing"]);
    assert_eq!(errors(&set("found", "found", "left")), ["as-found-missing"]);
}

#[test]
fn opens_an_as_left_reading_again_when_it_is_being_repeated_at_a_stop() {
    let mut main = procedure("ask").setting("height");
    let left = reading_of("left", "height", When::AsLeft);
    main.readings.insert(id("left"), left);
    let mut made = main
        .then(step("change", "pass:read").changes("height"))
        .then(step("read", "pass:on").reads("left"));
    // A stop in this phase only: the change has been read by then.
    made.phases.push(phase("later", "again_end", false));
    let mut made = made
        .then(step("on", "pass:again"))
        .then(step("again", "pass:again_end").reads("left"))
        .then(end("again_end", EndKind::Complete))
        .route("ask")
        .then(look("ask", "seen:safe not_seen:safe"))
        .then(end("safe", EndKind::MadeSafe));
    assert_eq!(errors(&made), ["as-left-missing", "stop-route"]);
    let finding = only(&made, "as-left-missing");
    assert_eq!(
        path(&finding),
        ["change", "read", "on", "again (stop work)", "again_end"]
    );
    made.steps[3].readings.clear();
    assert_eq!(errors(&made), ["stop-route"]);
}

#[test]
fn lets_the_age_of_a_condition_be_judged_only_while_it_holds() {
    let watched = |clears| {
        let main = procedure("ask").conditions("watch", Lasts::Job);
        let close = step("close", "pass:done fail:done").clears(clears);
        let age = limit(Subject::Age(id("watch")), Grade::Interlock);
        let close = close.with(|s| s.limits.push(age));
        closed(
            main.then(step("open", "pass:close").makes("watch"))
                .then(close),
        )
    };
    assert_eq!(errors(&watched("")), [""; 0]);
    let finding = only(&watched("watch"), "age-without-condition");
    assert_eq!(path(&finding), ["open", "close"]);
}

#[test]
fn lets_a_question_judge_its_own_reading_only() {
    let asked = |subject: Subject| {
        let mut main = procedure("ask").readings("gap other");
        let ask = Ask {
            question: "still up?".to_owned(),
            reading: Some(id("gap")),
            limits: vec![limit(subject, Grade::Interlock)],
        };
        let mut up = condition("up", Lasts::Resume);
        up.ask = Some(ask);
        main.conditions.insert(id("up"), up);
        closed(
            main.then(step("raise", "pass:work").makes("up").reads("other"))
                .then(step("work", "pass:done").needs("up")),
        )
    };
    let other = Subject::Difference(id("gap"), id("other"));
    assert_eq!(errors(&asked(Subject::Value(id("gap")))), [""; 0]);
    assert_eq!(errors(&asked(other)), ["ask-judges-other"]);
    assert_eq!(errors(&asked(Subject::Age(id("up")))), ["ask-judges-other"]);
}
