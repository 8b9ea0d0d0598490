//! The rules S2 to S14, each as the engine must do it.

use levelhand::job::{Answer, Command, Correction, Evidence, Mode, Offer, Refusal, Tier, Way};
use levelhand::procedure::{
    Ask, Body, Confirm, EndKind, Grade, Lasts, Outcome, Procedure, Series, Side, Signal, Step,
    Subject, When,
};

use super::bench::{Bench, entry, mm, person, reading, role, seconds, tick};
use crate::sketch::{
    Does, Sketch, act, end, hazard, id, limit, look, procedure, reading_of, step, working,
};

/// With a good end, a hand-over end and a stop-work route of one look.
pub(super) fn closed(main: Procedure) -> Procedure {
    let mut made = main
        .then(end("done", EndKind::Complete))
        .then(end("handed", EndKind::HandedOver))
        .route("ask")
        .then(look("ask", "seen:safe not:ask"))
        .then(end("safe", EndKind::MadeSafe));
    made.hand_over = Some(id("handed"));
    made
}

fn confirmed(step: Step, by: Confirm) -> Step {
    step.with(|s| {
        if let Body::Ordinary { confirm, .. } = &mut s.body {
            *confirm = by;
        }
    })
}

fn advises(step: Step, value: &str) -> Step {
    step.with(|s| {
        s.limits
            .push(limit(Subject::Value(id(value)), Grade::Advice));
    })
}

fn ticked(step: Step, name: &str) -> Step {
    step.with(|s| s.ticks.push(tick(name)))
}

fn stops(bench: &mut Bench) {
    bench.does(Command::CallStop);
    bench.does(Command::TakeStop);
}

#[test]
fn s2_a_step_may_need_what_it_clears_but_a_hazard_may_not() {
    let start = || {
        procedure("ask")
            .conditions("high quiet", Lasts::Job)
            .then(step("a", "pass:b").makes("high quiet"))
    };
    let good = closed(start().then(step("b", "pass:done").needs("high").clears("high")));
    let mut bench = Bench::open(good);
    bench.confirms();
    assert_eq!((bench.step(), bench.holds().as_str()), ("b", "quiet"));

    let bad = step("b", "pass:done").hazards("crush").clears("high");
    let mut bad = closed(start().then(bad));
    bad.hazards.insert(id("crush"), hazard("crush", "high"));
    let mut bench = Bench::open(bad);
    assert!(matches!(
        bench.refuses(Command::Confirm),
        Refusal::Needs { .. }
    ));
    assert_eq!((bench.step(), bench.holds().as_str()), ("a", ""));
}

#[test]
fn s2_entering_forgets_own_readings_their_workings_and_as_left_of_what_changes() {
    let mut made = procedure("ask")
        .setting("height")
        .readings("r s")
        .then(step("a", "pass:b").reads("r s left").works("w v"))
        .then(step("b", "pass:done").reads("r").changes("height"));
    let left = reading_of("left", "height", When::AsLeft);
    made.readings.insert(id("left"), left);
    made.workings.insert(id("w"), working("w", "r s"));
    made.workings.insert(id("v"), working("v", "w s"));
    let mut bench = Bench::open(closed(made));
    for name in ["r", "s", "left"] {
        bench.reads(name, 50.0);
    }
    assert_eq!(bench.knows(), "left r s v w");
    bench.confirms();
    assert_eq!(bench.knows(), "s");
}

#[test]
fn s3_partners_of_what_a_step_may_make_true_end_on_entry_even_if_it_fails() {
    let made = procedure("ask")
        .conditions("on_air on_blocks", Lasts::Job)
        .exclusive("on_air on_blocks")
        .then(step("a", "pass:b").makes("on_air"))
        .then(ticked(
            step("b", "pass:done fail:c").makes("on_blocks"),
            "t0",
        ))
        .then(step("c", "pass:done"));
    let mut bench = Bench::open(closed(made));
    bench.confirms();
    assert_eq!(bench.holds(), "");
    bench.ticks("t0", Answer::No);
    bench.does(Command::GoOn);
    assert_eq!((bench.step(), bench.holds().as_str()), ("c", ""));
}

#[test]
fn s4_outside_comes_before_too_close_and_advice_is_overridden_with_a_reason() {
    let mut made = procedure("ask").readings("r s");
    made.roles.insert(id("tape"), role());
    for reading in made.readings.values_mut() {
        reading.role = Some(id("tape"));
    }
    let a = step("a", "pass:done fail:f too_close:c").reads("r s");
    let made = made
        .then(advises(a.judges("r"), "s"))
        .then(step("f", "pass:done"))
        .then(step("c", "pass:done"));
    let mut bench = Bench::open(closed(made));
    bench.reads("r", 99.5);
    bench.reads("s", 150.0);
    assert!(bench.offers().contains(&Offer::GoOn(Outcome::Fail)));
    let no = Command::Override {
        limit: 0,
        reason: "known".to_owned(),
    };
    assert_eq!(bench.refuses(no), Refusal::NoOverride);
    bench.does(Command::Override {
        limit: 1,
        reason: "known".to_owned(),
    });
    assert!(bench.offers().contains(&Offer::GoOn(Outcome::TooClose)));
    bench.reads("r", 50.0);
    assert!(
        bench.offers().contains(&Offer::GoOn(Outcome::Fail)),
        "a new value takes overrides with it"
    );
    bench.reads("s", 50.0);
    bench.confirms();
    assert_eq!(bench.step(), "done");
}

#[test]
fn s4_a_no_without_a_fail_way_stays_open() {
    let made = procedure("ask").then(ticked(step("a", "pass:done"), "t0"));
    let mut bench = Bench::open(closed(made));
    bench.ticks("t0", Answer::No);
    assert!(matches!(
        bench.refuses(Command::Confirm),
        Refusal::BadAnswer { .. }
    ));
    assert!(matches!(
        bench.refuses(Command::GoOn),
        Refusal::BadAnswer { .. }
    ));
    bench.ticks("t0", Answer::Yes(String::new()));
    bench.confirms();
}

#[test]
fn s4_fails_and_lapses_count_together_and_over_resumes() {
    let a = ticked(
        step("a", "pass:done fail:a lapsed:a spent:b").tries(3),
        "t0",
    );
    let wait = Confirm::Wait {
        at_least: Side::Literal(seconds(5.0)),
        at_most: None,
    };
    let made = procedure("ask")
        .then(confirmed(a, wait))
        .then(step("b", "pass:done"));
    let mut bench = Bench::open(closed(made));
    bench.ticks("t0", Answer::No);
    bench.does(Command::GoOn);
    bench.ticks("t0", Answer::Yes(String::new()));
    bench.does(Command::Begin);
    bench.resumes();
    assert_eq!((bench.step(), bench.state.counts[&id("a")]), ("a", 2));
    bench.ticks("t0", Answer::No);
    bench.does(Command::GoOn);
    assert_eq!(bench.step(), "b");
    assert_eq!(
        bench.state.passed[&id("a")].way,
        Way::Outcome(Outcome::Spent)
    );
}

#[test]
fn s5_a_counted_choice_is_withdrawn_when_it_is_used_up() {
    let a = look("a", "again:a on:done").choice("again", |c| c.tries = Some(1));
    let mut bench = Bench::open(closed(procedure("ask").then(a)));
    bench.chooses("again");
    let again = Command::Choose {
        choice: id("again"),
    };
    assert!(matches!(bench.refuses(again), Refusal::Withdrawn { .. }));
    assert_eq!(bench.offers(), [Offer::Choose(id("on")), Offer::CallStop]);
}

#[test]
fn s6_duties_are_owed_from_entry_and_paid_only_by_a_pass() {
    let a = ticked(step("a", "pass:b fail:a").incurs("tidy"), "t0");
    let b = ticked(step("b", "pass:done fail:b").settles("tidy"), "t0");
    let made = procedure("ask").duties("tidy").then(a).then(b);
    let mut bench = Bench::open(closed(made));
    assert_eq!(bench.owes(), "tidy");
    bench.ticks("t0", Answer::Yes(String::new()));
    bench.confirms();
    bench.ticks("t0", Answer::No);
    bench.does(Command::GoOn);
    assert_eq!(bench.owes(), "tidy");
    bench.ticks("t0", Answer::Yes(String::new()));
    bench.confirms();
    assert_eq!(bench.owes(), "");
}

#[test]
fn s7_a_step_condition_is_gone_after_the_next_step_and_asked_again_on_resume() {
    let made = procedure("ask")
        .conditions("clear", Lasts::Step)
        .then(step("a", "pass:b").makes("clear"))
        .then(step("b", "pass:c").needs("clear"))
        .then(step("c", "pass:done"));
    let mut bench = Bench::open(closed(made));
    bench.confirms();
    bench.resumes();
    assert!(matches!(
        bench.refuses(Command::Confirm),
        Refusal::Stale { .. }
    ));
    bench.attests("clear");
    bench.confirms();
    assert_eq!((bench.step(), bench.holds().as_str()), ("c", ""));
}

#[test]
fn s7_a_timed_condition_waits_at_the_door_when_its_time_is_up_or_the_clock_goes_back() {
    for back in [false, true] {
        let made = procedure("ask")
            .conditions("charged", Lasts::For(60_000))
            .then(step("a", "pass:b").makes("charged"))
            .then(step("b", "pass:c"))
            .then(step("c", "pass:done").needs("charged"));
        let mut bench = Bench::open(closed(made));
        bench.confirms();
        if back {
            bench.at.wall_ms -= 10_000;
        } else {
            bench.pass_ms(61_000);
        }
        bench.confirms();
        let wanted = [Offer::Attest(id("charged")), Offer::CallStop];
        assert_eq!((bench.step(), bench.offers()), ("c", wanted.to_vec()));
        bench.attests("charged");
        bench.confirms();
        assert_eq!(bench.step(), "done");
    }
}

#[test]
fn s7_a_timed_condition_is_asked_again_after_a_resume_though_its_time_is_not_up() {
    let made = procedure("ask")
        .conditions("charged", Lasts::For(60_000))
        .then(step("a", "pass:b").makes("charged"))
        .then(step("b", "pass:done").needs("charged"));
    let mut bench = Bench::open(closed(made));
    bench.confirms();
    bench.resumes();
    assert!(matches!(
        bench.refuses(Command::Confirm),
        Refusal::Stale { .. }
    ));
    bench.attests("charged");
    bench.confirms();
    assert_eq!(bench.step(), "done");
}

#[test]
fn s7_attesting_with_a_reading_takes_its_limit_and_makes_workings_anew() {
    let mut made = procedure("ask")
        .conditions("low", Lasts::Resume)
        .readings("r s")
        .then(step("a", "pass:b").reads("r s").works("w").makes("low"))
        .then(step("b", "pass:done").needs("low"));
    made.workings.insert(id("w"), working("w", "r s"));
    let low = made.conditions.get_mut(&id("low")).expect("declared");
    low.ask = Some(Ask {
        question: "still low?".to_owned(),
        reading: Some(id("r")),
        limits: vec![limit(Subject::Value(id("r")), Grade::Interlock)],
    });
    let mut bench = Bench::open(closed(made));
    bench.reads("r", 50.0);
    bench.reads("s", 50.0);
    bench.confirms();
    bench.resumes();
    let attest = |value| Command::Attest {
        condition: id("low"),
        entry: Some(entry(mm(value))),
    };
    let none = Command::Attest {
        condition: id("low"),
        entry: None,
    };
    assert!(matches!(bench.refuses(none), Refusal::ReadingWanted { .. }));
    assert!(matches!(
        bench.refuses(attest(150.0)),
        Refusal::LimitNotMet { .. }
    ));
    bench.does(attest(80.0));
    assert!((bench.value_mm("w") - 65.0).abs() < 1e-9);
    bench.corrects("r", 150.0);
    assert!(bench.state.stop.is_some_and(|(_, forced)| forced));
}

#[test]
fn s7_a_watch_asks_when_due_also_at_a_door_and_marks_what_is_late() {
    let mut made = procedure("ask")
        .conditions("watch near", Lasts::Resume)
        .readings("r")
        .then(step("a", "pass:b").reads("r").makes("watch near"))
        .then(step("b", "pass:c"))
        .then(step("c", "pass:done").needs("near watch"));
    let watch = made.conditions.get_mut(&id("watch")).expect("declared");
    watch.series = Some(Series {
        readings: vec![id("r")],
        every_ms: 60_000,
        points: 3,
        late_after_ms: 30_000,
    });
    let mut bench = Bench::open(closed(made));
    bench.reads("r", 50.0);
    bench.confirms();
    let point = Command::Watch {
        condition: id("watch"),
        reading: id("r"),
        entry: entry(mm(49.0)),
    };
    assert!(matches!(
        bench.refuses(point.clone()),
        Refusal::NotDue { .. }
    ));
    bench.pass_ms(60_000);
    bench.does(point.clone());
    bench.resumes();
    bench.confirms();
    bench.at.wall_ms += 100_000;
    bench.pass_ms(100_000);
    assert!(
        bench
            .offers()
            .iter()
            .any(|o| matches!(o, Offer::Watch { .. }))
    );
    bench.does(point.clone());
    let late: Vec<bool> = bench.state.series[&id("r")]
        .iter()
        .map(|t| t.late)
        .collect();
    assert_eq!(late, [false, false, true]);
    bench.corrects("r", 55.0);
    let first = &bench.state.series[&id("r")][0];
    assert!((first.measured.value().si() - 0.055).abs() < 1e-9);
    bench.pass_ms(600_000);
    assert!(matches!(bench.refuses(point), Refusal::NotDue { .. }));
}

#[test]
fn s8_resuming_keeps_answers_and_lapses_a_wait() {
    let wait = Confirm::Wait {
        at_least: Side::Literal(seconds(5.0)),
        at_most: None,
    };
    let made = procedure("ask")
        .then(ticked(step("a", "pass:b"), "t0"))
        .then(confirmed(step("b", "pass:done lapsed:c"), wait))
        .then(step("c", "pass:done"));
    let mut bench = Bench::open(closed(made));
    bench.ticks("t0", Answer::Yes(String::new()));
    bench.resumes();
    bench.confirms();
    bench.does(Command::Begin);
    bench.does(Command::CallStop);
    bench.resumes();
    assert_eq!((bench.step(), bench.state.stop.is_some()), ("b", true));
    bench.does(Command::CarryOn);
    assert_eq!(bench.step(), "c");
}

#[test]
fn s9_taking_the_stop_empties_what_holds_and_keeps_what_is_owed() {
    let made = procedure("ask")
        .conditions("c", Lasts::Job)
        .duties("tidy")
        .then(step("a", "pass:b").makes("c").incurs("tidy"))
        .then(step("b", "pass:done"));
    let mut bench = Bench::open(closed(made));
    bench.confirms();
    stops(&mut bench);
    assert_eq!(
        (bench.step(), bench.holds().as_str(), bench.owes().as_str()),
        ("ask", "", "tidy")
    );
    bench.chooses("not");
    stops(&mut bench);
    assert_eq!(bench.step(), "ask", "inside a route it begins again");
    bench.chooses("seen");
    assert_eq!(bench.refuses(Command::CallStop), Refusal::NoStopHere);
    assert_eq!(bench.offers(), [Offer::HandOver(id("tidy"))]);
    bench.does(Command::HandOver {
        duty: id("tidy"),
        to: person("Bob"),
    });
    assert!(bench.state.ended.is_some());
}

/// Step `a` reads `r` within its limit, `b` works `w` out of it.
fn correctable(makes: &str) -> Bench {
    let mut made = procedure("ask")
        .conditions("c", Lasts::Job)
        .readings("r s")
        .then(
            step("a", "pass:b fail:a")
                .reads("r")
                .judges("r")
                .makes(makes),
        )
        .then(step("b", "pass:c fail:b").reads("s").works("w").judges("w"))
        .then(step("c", "pass:done"));
    made.workings.insert(id("w"), working("w", "r s"));
    let mut bench = Bench::open(closed(made));
    bench.reads("r", 50.0);
    bench.confirms();
    bench.reads("s", 60.0);
    bench.confirms();
    bench
}

#[test]
fn s13_a_corrected_reading_makes_workings_anew_and_repeats_what_established_nothing() {
    let mut bench = correctable("");
    bench.corrects("r", 120.0);
    assert!((bench.value_mm("w") - 90.0).abs() < 1e-9);
    assert_eq!((bench.step(), bench.repeats().as_str()), ("c", "a"));
    bench.confirms();
    assert_eq!(
        bench.step(),
        "handed",
        "S10: a complete end leads to hand-over"
    );
    bench.does(Command::HandOverRepeats { to: person("Bob") });
    assert!(bench.state.ended.is_some());
}

#[test]
fn s13_a_corrected_reading_of_a_step_that_established_something_stops_work() {
    let mut bench = correctable("c");
    bench.corrects("r", 120.0);
    assert_eq!(bench.offers(), [Offer::TakeStop]);
    assert_eq!(bench.refuses(Command::CarryOn), Refusal::NoCarryingOn);
}

#[test]
fn s13_repeating_in_place_settles_its_duty_and_judges_what_rests_on_it() {
    let mut bench = correctable("");
    bench.corrects("r", 120.0);
    bench.does(Command::Repeat { step: id("a") });
    bench.reads("r", 90.0);
    bench.confirms();
    assert_eq!((bench.step(), bench.repeats().as_str()), ("c", ""));
    assert!((bench.value_mm("w") - 75.0).abs() < 1e-9);
    bench.corrects("s", 110.0);
    assert_eq!(bench.repeats(), "", "(90 + 110) / 2 is within 100");
    bench.does(Command::Repeat { step: id("a") });
    bench.reads("r", 95.0);
    bench.confirms();
    assert_eq!(bench.repeats(), "b", "(95 + 110) / 2 is not");
}

#[test]
fn s13_a_step_left_by_a_repeat_that_does_not_pass_changes_nothing() {
    let mut bench = correctable("");
    bench.does(Command::Repeat { step: id("a") });
    bench.reads("r", 120.0);
    bench.does(Command::GoOn);
    assert!((bench.value_mm("r") - 50.0).abs() < 1e-9);
}

#[test]
fn s13_only_steps_that_rested_on_the_corrected_reading_are_judged_again() {
    let made = procedure("ask")
        .readings("r")
        .then(step("a", "pass:b fail:a").reads("r").judges("r"))
        .then(step("b", "pass:c fail:b").reads("r").judges("r"))
        .then(step("c", "pass:done"));
    let mut bench = Bench::open(closed(made));
    for value in [50.0, 60.0] {
        bench.reads("r", value);
        bench.confirms();
    }
    bench.corrects("r", 120.0);
    assert_eq!(bench.repeats(), "b");
}

#[test]
fn s13_a_corrected_choice_is_noted_only_and_a_tick_is_judged() {
    let made = procedure("ask")
        .then(look("a", "o0:b o1:done"))
        .then(ticked(step("b", "pass:c"), "t0"))
        .then(step("c", "pass:done"));
    let mut bench = Bench::open(closed(made));
    bench.chooses("o0");
    bench.ticks("t0", Answer::Yes(String::new()));
    bench.confirms();
    let correct = |what| Command::Correct {
        what,
        reason: "misheard".to_owned(),
    };
    bench.does(correct(Correction::Choice {
        step: id("a"),
        choice: id("o1"),
    }));
    assert_eq!((bench.step(), bench.repeats().as_str()), ("c", ""));
    bench.does(correct(Correction::Tick {
        step: id("b"),
        tick: id("t0"),
        answer: Answer::No,
    }));
    assert_eq!((bench.step(), bench.repeats().as_str()), ("c", "b"));
}

#[test]
fn s14_a_witness_has_another_name_and_both_readings_count() {
    let mut made = procedure("ask").readings("r");
    made.roles.insert(id("tape"), role());
    let r = made.readings.get_mut(&id("r")).expect("declared");
    (r.role, r.witness) = (Some(id("tape")), true);
    let a = step("a", "pass:done fail:f too_close:f")
        .reads("r")
        .judges("r");
    let mut bench = Bench::open(closed(made.then(a).then(step("f", "pass:done"))));
    let second = |by: &str, value| Command::Witness {
        reading: id("r"),
        by: person(by),
        entry: entry(mm(value)),
    };
    assert!(matches!(
        bench.refuses(second("Bob", 50.0)),
        Refusal::FirstReadingMissing { .. }
    ));
    bench.reads("r", 50.0);
    assert_eq!(bench.refuses(second("Ann", 50.0)), Refusal::SamePerson);
    bench.does(second("Bob", 52.0));
    assert!(bench.offers().contains(&Offer::Confirm));
    bench.reads("r", 50.0);
    bench.does(second("Bob", 60.0));
    assert!(bench.offers().contains(&Offer::GoOn(Outcome::Fail)));
    assert!(matches!(
        bench.refuses(second("Bob", 50.0)),
        Refusal::NotAsked { .. }
    ));
    bench.reads("r", 97.0);
    bench.does(second("Bob", 99.0));
    assert!(bench.offers().contains(&Offer::GoOn(Outcome::TooClose)));
}

#[test]
fn instruments_past_their_date_or_span_are_refused() {
    let mut made = procedure("ask").readings("r s");
    made.roles.insert(id("tape"), role());
    for reading in made.readings.values_mut() {
        reading.role = Some(id("tape"));
    }
    let a = step("a", "pass:done fail:a too_close:a").reads("r s");
    let mut bench = Bench::open(closed(made.then(advises(a.judges("r"), "s"))));
    assert!(matches!(
        bench.refuses(reading("r", 2_000.0)),
        Refusal::BeyondSpan { .. }
    ));
    bench.does(Command::UseInstrument {
        role: id("tape"),
        instrument: id("tape_old"),
        zero: None,
        reason: "the other is lost".to_owned(),
    });
    assert!(matches!(
        bench.refuses(reading("r", 50.0)),
        Refusal::Overdue { .. }
    ));
    bench.reads("s", 50.0);
    assert!(bench.state.values[&id("s")].overdue);
}

#[test]
fn a_correction_keeps_the_instrument_the_value_was_read_with() {
    let mut made = procedure("ask").readings("r");
    made.roles.insert(id("tape"), role());
    made.readings.get_mut(&id("r")).expect("declared").role = Some(id("tape"));
    let made = made
        .then(step("a", "pass:b").reads("r"))
        .then(step("b", "pass:done"));
    let mut bench = Bench::open(closed(made));
    bench.reads("r", 50.0);
    bench.confirms();
    bench.does(Command::UseInstrument {
        role: id("tape"),
        instrument: id("tape_old"),
        zero: None,
        reason: "the other is lost".to_owned(),
    });
    bench.corrects("r", 40.0);
    let taken = &bench.state.values[&id("r")];
    assert_eq!(taken.instrument, Some(id("tape_a")));
    assert!(!taken.overdue);
}

#[test]
fn holds_are_long_enough_and_of_a_kind_that_danger_takes() {
    let hold = |signal| {
        let by = Confirm::Hold {
            signal,
            for_ms: 2_000,
        };
        closed(procedure("ask").then(confirmed(step("a", "pass:done"), by)))
    };
    let held = |tier, held_ms| {
        Command::Hold(Evidence {
            tier,
            held_ms,
            events: 9,
            median_ms: 30,
            cancels: 0,
            terminal: "bench".to_owned(),
        })
    };
    let mut bench = Bench::open(hold(Signal::Danger));
    for weak in [
        held(Tier::Release, 1_999),
        held(Tier::Repeat, 9_000),
        held(Tier::Turns, 1_199),
        held(Tier::Script, 9_000),
    ] {
        assert!(matches!(bench.refuses(weak), Refusal::WeakHold { .. }));
    }
    bench.setup.mode = Mode::Practice;
    bench.does(held(Tier::Script, 2_000));
    let mut bench = Bench::open(hold(Signal::Caution));
    bench.does(held(Tier::Repeat, 2_000));
    assert_eq!(bench.step(), "done");
}

#[test]
fn s11_as_found_comes_before_a_change_and_as_left_before_the_end() {
    let mut made = procedure("ask")
        .setting("height")
        .then(step("a", "pass:b"))
        .then(step("b", "pass:done").acts("turn"));
    made.acts
        .insert(id("turn"), act("turn", "", "", "", "height"));
    for (name, when) in [("found", When::AsFound), ("left", When::AsLeft)] {
        let reading = reading_of(name, "height", when);
        made.readings.insert(id(name), reading);
    }
    let unread =
        |bench: &mut Bench| matches!(bench.refuses(Command::Confirm), Refusal::Unread { .. });
    let mut bench = Bench::open(closed(made.clone()));
    assert!(unread(&mut bench));
    made.steps[0].readings = vec![id("found")];
    let mut bench = Bench::open(closed(made));
    bench.reads("found", 50.0);
    bench.confirms();
    assert!(unread(&mut bench));
}

#[test]
fn s12_does_not_apply_is_open_only_where_the_document_says_so() {
    let mut a = ticked(ticked(step("a", "pass:done"), "t0"), "t1");
    a.ticks[1].may_not_apply = true;
    let mut bench = Bench::open(closed(procedure("ask").then(a)));
    let skip = |name, why: &str| Command::Tick {
        tick: id(name),
        answer: Answer::NotApplicable(why.to_owned()),
    };
    assert!(matches!(
        bench.refuses(skip("t0", "none")),
        Refusal::Applies { .. }
    ));
    assert_eq!(bench.refuses(skip("t1", " ")), Refusal::ReasonWanted);
    bench.does(skip("t1", "none taken off"));
    bench.ticks("t0", Answer::Yes(String::new()));
    bench.confirms();
    assert_eq!(bench.step(), "done");
}
