//! Each finding of the proof in a graph made for it, beside a near miss.

use levelhand::finding::Finding;
use levelhand::procedure::{
    Act, Ask, EndKind, Grade, Lasts, Procedure, Series, Step, Subject, When,
};
use levelhand::proof::prove;
use levelhand::quantity::Kind;

use crate::sketch::{
    Does, Sketch, act, condition, end, hazard, id, ids, limit, look, phase, procedure, reading,
    reading_of, step, working,
};

/// A good end of the main phase and a stop-work route of one look.
fn closed(main: Procedure) -> Procedure {
    main.then(end("done", EndKind::Complete))
        .route("ask")
        .then(look("ask", "seen:safe not_seen:safe"))
        .then(end("safe", EndKind::MadeSafe))
}

/// The codes of all errors, in order.
fn errors(procedure: &Procedure) -> Vec<String> {
    let proof = prove(procedure);
    let errors = proof.findings.iter().filter(|f| f.is_error());
    errors.map(|f| f.code.to_string()).collect()
}

/// The one finding of that code.
fn only(procedure: &Procedure, code: &str) -> Finding {
    let proof = prove(procedure);
    let mut found = proof
        .findings
        .into_iter()
        .filter(|f| f.code.as_str() == code);
    let first = found.next().unwrap_or_else(|| panic!("no {code}"));
    assert_eq!(found.next(), None, "more than one {code}");
    first
}

fn path(finding: &Finding) -> Vec<&str> {
    finding.path.iter().map(String::as_str).collect()
}

#[test]
fn accepts_a_sound_procedure() {
    let sound = closed(procedure("ask").then(step("a", "pass:done")));
    assert_eq!(prove(&sound).findings, []);
    assert!(prove(&sound).holds());
}

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
fn gated(between: bool, clears: &str) -> Procedure {
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
fn reaches_the_hand_over_end_through_a_complete_one() {
    let mut made = owing("mudguards", "done");
    made.steps.last_mut().unwrap().phase = 0;
    assert!(errors(&made).contains(&"step-unreached".to_owned()));
    made.hand_over = Some(id("passed_on"));
    assert!(!errors(&made).contains(&"step-unreached".to_owned()));
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
fn sums_up_what_protects_each_act() {
    let mut made = gated(false, "");
    made.hazards.insert(id("noise"), hazard("noise", ""));
    let lower: &mut Act = made.acts.get_mut(&id("move")).unwrap();
    lower.hazards.insert(id("noise"));
    made.acts.insert(id("watch"), act("watch", "", "", "", ""));
    made.steps[1].acts.insert(id("watch"));
    assert_eq!(
        prove(&made).summary(),
        "5 steps, 1 condition, no duties, no readings and workings.\n\
         Proved on every way and from every stop: what is needed holds, what is used has a value,\n\
         nothing is owed at a complete end, every cycle is counted.\n\
         \n\
         move (move): 1 step\n\
         \x20 lower (lower)\n\
         \x20   protected by: clear\n\
         \x20   words only for: noise\n\
         \n\
         watch (watch): 1 step\n\
         \x20 lower (lower)\n\
         \x20   nothing is asked for: no needs and no hazards\n"
    );
}

#[test]
fn sums_up_steps_of_one_act_by_what_protects_them() {
    let mut made = gated(true, "");
    // A second gate before a second movement, a third one that is never reached.
    made.steps[0] = step("gate", "pass:again").makes("clear");
    made.steps[1] = step("again", "pass:lower").makes("clear").acts("move");
    made.steps.push(step("lost", "pass:done").acts("move"));
    let summary = prove(&made).summary();
    assert!(summary.contains("Not proved"));
    let (_, acts) = summary.split_once("\n\n").unwrap();
    assert_eq!(
        acts,
        "move (move): 3 steps\n\
         \x20 again (again)\n\
         \x20 lower (lower)\n\
         \x20   protected by: clear\n\
         \x20 lost (lost)\n\
         \x20   never reached: no way leads to it\n"
    );
    let unproved = prove(&gated(true, "")).summary();
    assert!(unproved.contains("    NOT PROTECTED BY: clear\n"));
}

#[test]
fn bears_many_steps_that_each_bring_a_name_of_their_own() {
    const STEPS: usize = 20_000;
    let mut main = procedure("ask");
    for n in 0..STEPS {
        let (name, value) = (format!("s{n}"), format!("v{n}"));
        main.readings.insert(id(&value), reading(&value));
        let next = if n + 1 < STEPS {
            format!("s{}", n + 1)
        } else {
            "done".to_owned()
        };
        let ways = format!("pass:{next} fail:{name}");
        main = main.then(step(&name, &ways).reads(&value));
    }
    let made = closed(main);
    let proof = prove(&made);
    // Each step may fail on the spot without a count.
    assert_eq!(proof.findings.len(), STEPS);
    let long = &proof.findings[0].path;
    assert_eq!(long.len(), 2);
    let last = proof.facts.at(&id(&format!("s{}", STEPS - 1))).unwrap();
    assert_eq!(last.known.len(), STEPS - 1);
}

#[test]
fn shows_a_long_way_without_its_middle_and_a_hundred_ways_at_most() {
    const STEPS: usize = 300;
    let mut main = procedure("ask");
    for n in 0..STEPS {
        let value = format!("v{n}");
        main.readings.insert(id(&value), reading(&value));
        let next = if n + 1 < STEPS {
            format!("s{}", n + 1)
        } else {
            "done".to_owned()
        };
        let ways = format!("pass:{next} fail:done");
        main = main.then(step(&format!("s{n}"), &ways).judges(&value));
    }
    let proof = prove(&closed(main));
    let errors = proof.findings.iter().filter(|f| f.is_error());
    assert_eq!(errors.count(), STEPS);
    let shown = proof.findings.iter().filter(|f| !f.path.is_empty());
    assert_eq!(shown.count(), 100);
    let longest = proof.findings.iter().max_by_key(|f| f.path.len());
    let longest = path(longest.unwrap());
    assert_eq!(longest.len(), 60);
    assert_eq!(longest[8], "s8");
    // The way has as many steps as its end has a number, and one.
    let end: usize = longest[59][1..].parse().unwrap();
    assert_eq!(longest[9], format!("({} steps more)", end + 1 - 59));
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
