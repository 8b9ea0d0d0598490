//! Jobs looked at again with a later revision: what would not have passed, and what
//! nobody can tell.

use std::sync::Arc;

use levelhand::document;
use levelhand::job::{At, Event, Mode, Setup};
use levelhand::rehearsal::play;
use levelhand::revision::{Past, Visit, look_back};
use serde_json::{Value, json};

use super::{BENCH, JOB, SHEET, STRAIGHT, edited, procedure, sheet};

fn setup(job: &str, values: &str) -> Setup {
    Setup {
        procedure: Arc::new(procedure(job)),
        sheet: Arc::new(sheet(values)),
        instruments: Arc::new(document::instruments("i", BENCH.as_bytes()).value.unwrap()),
        mode: Mode::Practice,
    }
}

/// What a job left behind, entry by entry.
type Entries = Vec<(At, Vec<Event>)>;

/// A job done as a script says.
fn done(old: &Setup, script: &str) -> Entries {
    let script = document::rehearsal("r", script.as_bytes()).value.unwrap();
    let played = play(old, &script, None).unwrap_or_else(|d| panic!("{d}"));
    let entries = played.entries.into_iter();
    entries.map(|(at, _, events)| (at, events)).collect()
}

fn look(old: &Setup, new: &Setup, entries: &Entries) -> Past {
    let visits = entries.iter();
    let visits = visits.map(|(at, events)| Visit { at: *at, events });
    look_back(old, new, visits)
}

/// The straight run of the small job, looked back at with another revision.
fn looked(new: &str) -> Past {
    let old = setup(JOB, SHEET);
    look(&old, &setup(new, SHEET), &done(&old, STRAIGHT))
}

#[test]
fn a_job_would_still_have_passed_under_what_it_was_done_under() {
    let past = looked(JOB);
    assert!(past.ended);
    assert_eq!(past.would_pass(), Some(true), "{past:#?}");
}

#[test]
fn a_job_is_judged_by_the_new_limits() {
    let limit = "/phases/0/steps/1/limits/0/at_most";
    // It read 8.0 bar.
    assert_eq!(
        looked(&edited(JOB, limit, &json!("8.2 bar"))).would_pass(),
        Some(true)
    );
    let past = looked(&edited(JOB, limit, &json!("7.5 bar")));
    assert_eq!(past.would_pass(), Some(false));
    assert_eq!(past.refused.len(), 1, "{past:#?}");
    assert!(past.refused[0].contains("supply pressure"), "{past:#?}");
}

#[test]
fn what_a_job_was_never_asked_is_said_to_be_unknown() {
    let tick = json!({"id": "third", "text": "third wheel", "yes": "snug", "no": "loose"});
    let past = looked(&edited(JOB, "/phases/0/steps/0/ticks/-", &tick));
    assert_eq!(past.would_pass(), None);
    assert_eq!(
        past.unknown,
        ["\"Chock the wheels\": \"third wheel\" was never asked."]
    );

    let mut document: Value = serde_json::from_str(JOB).unwrap();
    let steps = document.pointer_mut("/phases/0/steps").unwrap();
    let new = json!({"id": "walk_round", "title": "Walk round once more", "confirm": "enter"});
    steps.as_array_mut().unwrap().insert(4, new);
    let past = looked(&document.to_string());
    assert_eq!(past.would_pass(), None);
    assert_eq!(past.unknown, ["\"Walk round once more\" was never done."]);
}

#[test]
fn a_need_that_did_not_hold_would_have_refused_the_job() {
    let past = looked(&edited(JOB, "/phases/0/steps/0/needs", &json!(["on_air"])));
    assert_eq!(past.would_pass(), Some(false));
    assert!(past.refused[0].contains("up on air"), "{past:#?}");
}

/// The small job with its last step confirmed otherwise.
fn ending(confirm: &Value) -> String {
    let job = edited(JOB, "/phases/0/steps/4/confirm", confirm);
    if confirm.is_object() {
        let ways = json!({"pass": "done", "lapsed": "refit"});
        return edited(&job, "/phases/0/steps/4/ways", &ways);
    }
    job
}

/// The straight run with that step confirmed so.
fn script(word: &str) -> String {
    edited(STRAIGHT, "/moves/4/confirm", &json!(word))
}

/// A job whose last step was confirmed in one way, looked at where it is asked for in
/// another.
fn reconfirmed(word: &str, was: &Value, is: &Value) -> Past {
    let old = setup(&ending(was), SHEET);
    look(&old, &setup(&ending(is), SHEET), &done(&old, &script(word)))
}

fn wait(at_least: &str, at_most: Option<&str>) -> Value {
    match at_most {
        Some(most) => json!({"wait": {"at_least": at_least, "at_most": most}}),
        None => json!({"wait": {"at_least": at_least}}),
    }
}

fn pulse(within: &str, presses: u32) -> Value {
    json!({"pulse": {"within": within, "presses": presses}})
}

#[test]
fn a_wait_is_held_against_the_time_that_is_asked_now() {
    let was = wait("5 min", None);
    let at = |is: &Value| reconfirmed("wait", &was, is);
    assert_eq!(at(&was).would_pass(), Some(true));
    assert_eq!(at(&wait("3 min", Some("6 min"))).would_pass(), Some(true));
    let longer = at(&wait("10 min", None));
    assert_eq!(
        (longer.refused.as_slice(), longer.unknown.len()),
        (
            ["\"Put the mudguards back\": less than 600 s was waited there.".to_owned()].as_slice(),
            0
        )
    );
    let sooner = at(&wait("1 min", Some("4 min")));
    assert_eq!(
        (sooner.refused.as_slice(), sooner.unknown.len()),
        (
            ["\"Put the mudguards back\": more than 240 s went by there.".to_owned()].as_slice(),
            0
        )
    );
}

#[test]
fn where_no_time_was_kept_nobody_can_tell_whether_it_was_long_enough() {
    let past = reconfirmed("enter", &json!("enter"), &wait("5 min", Some("9 min")));
    assert_eq!(past.would_pass(), None);
    assert_eq!(
        past.unknown,
        ["\"Put the mudguards back\": no time was kept there, and now one must be."]
    );
}

#[test]
fn a_wait_over_a_clock_that_went_back_is_not_known_to_have_been_short_enough() {
    let old = setup(&ending(&wait("5 min", None)), SHEET);
    let mut entries = done(&old, &script("wait"));
    let begun = |events: &[Event]| events.iter().any(|e| matches!(e, Event::Begun { .. }));
    let from = entries
        .iter()
        .position(|(_, events)| begun(events))
        .unwrap();
    for (at, _) in &mut entries[from + 1..] {
        at.session += 1;
        at.wall_ms -= 3_600_000;
    }
    let new = setup(&ending(&wait("1 s", Some("9 min"))), SHEET);
    let past = look(&old, &new, &entries);
    // Nor long enough, as at the truck.
    assert_eq!(
        past.refused,
        ["\"Put the mudguards back\": less than 1 s was waited there."]
    );
    assert_eq!(
        past.unknown,
        [
            "\"Put the mudguards back\": how long it took at the most is not known, and now no more than 540 s may go by."
        ]
    );
}

#[test]
fn presses_are_held_against_how_many_are_asked_now() {
    let was = pulse("2 s", 3);
    let at = |is: &Value| reconfirmed("pulse", &was, is);
    assert_eq!(at(&was).would_pass(), Some(true));
    assert_eq!(at(&pulse("2 s", 2)).would_pass(), Some(true));
    let more = at(&pulse("2 s", 5));
    assert_eq!(more.would_pass(), Some(false));
    assert_eq!(
        more.refused,
        ["\"Put the mudguards back\": 3 presses were kept there, and now 5 are asked for."]
    );
    for (word, was) in [("enter", json!("enter")), ("wait", wait("1 min", None))] {
        let past = reconfirmed(word, &was, &pulse("2 s", 3));
        assert_eq!(past.would_pass(), None, "{word}");
        assert_eq!(
            past.unknown,
            ["\"Put the mudguards back\": no presses were kept there, and now some must be."]
        );
    }
}

#[test]
fn presses_are_held_against_how_quickly_they_must_follow_now() {
    // A script lets a second or two go by before each press.
    let at = |is: &Value| reconfirmed("pulse", &pulse("10 s", 3), is);
    assert_eq!(at(&pulse("5 s", 3)).would_pass(), Some(true));
    let quicker = at(&pulse("0.5 s", 3));
    assert_eq!(quicker.would_pass(), Some(false));
    assert_eq!(
        quicker.refused,
        ["\"Put the mudguards back\": more than 0.5 s went by before a press there."]
    );
}

#[test]
fn presses_over_a_clock_that_went_back_are_not_known_to_have_been_quick_enough() {
    let old = setup(&ending(&pulse("2 s", 3)), SHEET);
    let mut entries = done(&old, &script("pulse"));
    for (_, events) in &mut entries {
        for event in events {
            if let Event::Pressed { at, count: 2 } = event {
                at.session += 1;
                at.wall_ms -= 3_600_000;
            }
        }
    }
    let past = look(&old, &old, &entries);
    assert_eq!(past.would_pass(), None, "{past:#?}");
    assert_eq!(
        past.unknown,
        [
            "\"Put the mudguards back\": how quickly the presses followed is not known, and now each must come within 2 s."
        ]
    );
}

#[test]
fn a_look_that_the_sheet_answers_otherwise_now_leads_where_nobody_went() {
    let mut job: Value = serde_json::from_str(JOB).unwrap();
    job["sheet"]["brake"] = json!({"words": ["released", "on"]});
    let steps = job.pointer_mut("/phases/0/steps").unwrap();
    let which = json!({"id": "which", "title": "Brake while setting", "by_sheet": "brake",
        "choices": [{"id": "released", "text": "released"}, {"id": "on", "text": "on"}]});
    steps.as_array_mut().unwrap().insert(1, which);
    let job = job.to_string();
    let with = |word: &str| {
        let brake = json!({"title": "brake while setting", "word": word});
        setup(&job, &edited(SHEET, "/values/brake", &brake))
    };
    let old = with("released");
    let entries = done(&old, STRAIGHT);
    assert_eq!(look(&old, &old, &entries).would_pass(), Some(true));
    let past = look(&old, &with("on"), &entries);
    assert_eq!(past.would_pass(), None);
    assert_eq!(
        past.unknown,
        [
            "\"Brake while setting\": the sheet answers otherwise now, and where that leads was not done."
        ]
    );
}
