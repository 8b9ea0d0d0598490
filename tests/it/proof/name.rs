//! Acts and values that are wanted, and names that are not.

use super::{closed, errors, only};
use crate::sketch::{
    Does, Sketch, act, condition, end, hazard, id, ids, limit, look, procedure, reading, step,
    working,
};
use levelhand::procedure::{EndKind, Grade, Lasts, Procedure, Series, Step, Subject, When};
use levelhand::proof::prove;
use levelhand::quantity::Kind;

/// `on_blocks` is made by `lower` only; the maker does these acts.
fn by_act(maker: Step) -> Procedure {
    let mut main = procedure("ask");
    let mut on_blocks = condition("on_blocks", Lasts::Job);
    on_blocks.by = ids("lower");
    main.conditions.insert(id("on_blocks"), on_blocks);
    main.acts.insert(id("lower"), act("lower", "", "", "", ""));
    closed(main.then(maker).then(step("b", "pass:done")))
}

#[test]
fn finds_a_condition_made_without_its_act() {
    let made = by_act(step("a", "pass:b").makes("on_blocks"));
    assert_eq!(errors(&made), ["missing-act"]);
    let made = by_act(step("a", "pass:b").makes("on_blocks").acts("lower"));
    assert_eq!(errors(&made), [""; 0]);
}

#[test]
fn lets_a_look_see_what_no_act_made() {
    let seen = look("a", "yes:b no:done").choice("yes", |c| c.establishes = ids("on_blocks"));
    assert_eq!(errors(&by_act(seen)), [""; 0]);
}

#[test]
fn finds_a_value_that_nobody_wants() {
    let wanted = |change: fn(&mut levelhand::procedure::Reading)| {
        let mut main = procedure("ask").setting("height");
        let mut gap = reading("gap");
        gap.for_record = false;
        change(&mut gap);
        main.readings.insert(id("gap"), gap);
        errors(&closed(main.then(step("read", "pass:done").reads("gap"))))
    };
    assert_eq!(wanted(|_| ()), ["value-idle"]);
    assert_eq!(wanted(|r| r.for_record = true), [""; 0]);
    assert_eq!(wanted(|r| r.zero_check = true), [""; 0]);
    let kept = wanted(|r| (r.of, r.when) = (Some(id("height")), Some(When::AsFound)));
    assert_eq!(kept, [""; 0]);
}

#[test]
fn takes_a_judged_or_used_value_as_wanted() {
    let mut main = procedure("ask").readings("gap base");
    main.readings.get_mut(&id("gap")).unwrap().for_record = false;
    main.readings.get_mut(&id("base")).unwrap().for_record = false;
    main.workings.insert(id("mean"), working("mean", "*base"));
    let read = step("read", "pass:done fail:done").reads("gap base");
    let mut made = closed(main.then(read.works("mean").judges("gap")));
    assert_eq!(errors(&made), [""; 0]);
    made.workings.get_mut(&id("mean")).unwrap().for_record = false;
    assert_eq!(errors(&made), ["value-idle"]);
}

#[test]
fn warns_of_names_that_are_never_used() {
    let mut main = procedure("ask")
        .conditions("made unmade needed", Lasts::Job)
        .readings("gap")
        .setting("height");
    main.acts.insert(id("lower"), act("lower", "", "", "", ""));
    main.hazards.insert(id("crush"), hazard("crush", ""));
    let role = levelhand::procedure::Role {
        title: "gauge".to_owned(),
        kind: Kind::GaugePressure,
    };
    main.roles
        .insert(levelhand::procedure::RoleId::new("gauge").unwrap(), role);
    let made = closed(
        main.then(step("a", "pass:b").makes("made needed"))
            .then(step("b", "pass:done").needs("needed")),
    );
    let proof = prove(&made);
    assert!(proof.holds());
    let sentences: Vec<_> = proof.findings.iter().map(|f| f.sentence.as_str()).collect();
    assert_eq!(
        sentences,
        [
            "the condition \"made\" (made) is established, but nothing needs it",
            "the condition \"unmade\" (unmade) is declared and never used",
            "\"gap\" (gap) is declared and never used",
            "the act \"lower\" (lower) is declared and never used",
            "the hazard \"crush\" (crush) is declared and never used",
            "the setting \"height\" (height) is declared and never used",
            "the role \"gauge\" (gauge) is declared and never used",
        ]
    );
}

#[test]
fn takes_readings_of_a_series_as_taken() {
    let mut main = procedure("ask").readings("gap");
    let mut watch = condition("watch", Lasts::Job);
    watch.series = Some(Series {
        readings: vec![id("gap")],
        every_ms: 120_000,
        points: 6,
        late_after_ms: 30_000,
    });
    main.conditions.insert(id("watch"), watch);
    let made = closed(
        main.then(step("open", "pass:close").makes("watch"))
            .then(step("close", "pass:done").needs("watch")),
    );
    assert_eq!(prove(&made).findings, []);
}

#[test]
fn takes_a_condition_as_needed_whoever_needs_it() {
    let mut main =
        procedure("ask").conditions("by_step by_act by_hazard by_end by_age", Lasts::Job);
    main.hazards
        .insert(id("crush"), hazard("crush", "by_hazard"));
    main.acts
        .insert(id("lower"), act("lower", "crush", "by_act", "", ""));
    let age = limit(Subject::Age(id("by_age")), Grade::Interlock);
    let mut made = main
        .then(step("make", "pass:work").makes("by_step by_act by_hazard by_end by_age"))
        .then(
            step("work", "pass:done fail:done")
                .needs("by_step")
                .acts("lower"),
        )
        .then(end("done", EndKind::Complete))
        .route("ask")
        .then(look("ask", "seen:safe not_seen:safe"))
        .then(step("secure", "pass:safe").makes("by_end"))
        .then(end("safe", EndKind::MadeSafe));
    made.safe = ids("by_end");
    made.steps[1].limits.push(age);
    let warned = |made: &Procedure| -> Vec<String> {
        let warnings = prove(made).findings.into_iter().filter(|f| !f.is_error());
        warnings.map(|f| f.sentence).collect()
    };
    assert_eq!(warned(&made), [""; 0]);
    made.steps[1].limits.clear();
    assert_eq!(
        warned(&made),
        ["the condition \"by_age\" (by_age) is established, but nothing needs it"]
    );
}

#[test]
fn finds_names_that_lead_nowhere() {
    let mut made = closed(procedure("ask").then(step("a", "pass:done fail:nowhere")));
    made.steps[0] = made.steps[0]
        .clone()
        .needs("dry")
        .settles("swept")
        .acts("jump");
    made.steps[0] = made.steps[0]
        .clone()
        .hazards("fall")
        .changes("mood")
        .judges("luck");
    made.steps[0] = made.steps[0].clone().reads("stars").works("fate");
    made.workings.insert(id("sum"), working("sum", "omen"));
    made.hand_over = Some(id("somewhere"));
    let proof = prove(&made);
    let sentences: Vec<_> = proof.findings.iter().map(|f| f.sentence.as_str()).collect();
    assert_eq!(
        sentences[..10],
        [
            "stop work or a handing over leads to somewhere, which is no step",
            "the step \"a\" names dry, which is not declared",
            "the step \"a\" names swept, which is not declared",
            "the step \"a\" names jump, which is not declared",
            "the step \"a\" names fall, which is not declared",
            "the step \"a\" names mood, which is not declared",
            "the step \"a\" names stars, which is not declared",
            "the step \"a\" names fate, which is not declared",
            "the step \"a\" names luck, which is not declared",
            "the step \"a\" names nowhere, which is not declared",
        ]
    );
    assert_eq!(
        sentences[10],
        "a declaration names omen, which is not declared"
    );
}

#[test]
fn finds_a_step_without_a_phase_and_two_of_one_name() {
    let sound = closed(procedure("ask").then(step("a", "pass:done")));
    let mut made = sound.clone();
    made.steps[0].phase = 7;
    let finding = only(&made, "unknown-name");
    assert!(finding.sentence.contains("names phase number 7"));
    let mut made = sound;
    made.steps.push(end("done", EndKind::MadeSafe));
    assert_eq!(
        only(&made, "duplicate-name").sentence,
        "two steps are named done"
    );
}
