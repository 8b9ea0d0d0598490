//! The place that is kept, the path that is gone along, what is asked meanwhile.

use proptest::prelude::*;

use super::*;
use crate::app::action::{Action, Effect, Reply};
use crate::app::{App, Screen, Settings};
use crate::document;
use crate::finding::Code;
use crate::hold;
use crate::input::{Input, Stamped};
use crate::proof;

/// A chain of steps of which some are left out, and some need what is not so yet.
fn chain(kept: &[bool], flawed: &[bool]) -> String {
    let mut steps = vec![r#"{"id": "begin", "title": "Begin", "confirm": "enter"}"#.to_owned()];
    for (n, _) in kept.iter().enumerate().filter(|(_, kept)| **kept) {
        let needs = if flawed[n] {
            r#", "needs": ["dry"]"#
        } else {
            ""
        };
        steps.push(format!(
            r#"{{"id": "s{n}", "title": "Step", "confirm": "enter"{needs}}}"#
        ));
    }
    format!(
        r#"{{"format": "levelhand procedure 1", "id": "chain", "title": "Chain", "revision": 1,
"scope": "Invented.", "conditions": {{"dry": {{"title": "floor dry"}}}}, "safe": ["dry"],
"hand_over": "passed_on",
"phases": [
{{"id": "work", "title": "Work", "stop": "look", "steps": [
{},
{{"id": "wipe", "title": "Wipe the floor", "confirm": {{"hold": "caution"}}, "establishes": ["dry"]}},
{{"id": "done", "title": "Done", "end": "complete"}},
{{"id": "passed_on", "title": "Handed over", "end": "handed_over"}}]}},
{{"id": "safe", "title": "Making safe", "aside": true, "route": true, "stop": "look", "steps": [
{{"id": "look", "title": "Is the floor dry?", "choices": [
{{"id": "yes", "text": "yes", "establishes": ["dry"]}},
{{"id": "wiped", "text": "wiped now", "establishes": ["dry"]}}]}},
{{"id": "left", "title": "Left safe", "end": "made_safe"}}]}}]}}"#,
        steps.join(",\n")
    )
}

fn reading(text: &str) -> Reading {
    let loaded = document::procedure("chain.json", text.as_bytes());
    let proof = loaded.value.as_ref().map(proof::prove);
    let mut findings = loaded.findings.clone();
    findings.extend(proof.iter().flat_map(|p| p.findings.clone()));
    let mut findings: Vec<Placed> = findings.iter().map(|f| loaded.places.place(f)).collect();
    findings.sort_by_key(|p| p.place.as_ref().map_or(usize::MAX, |at| at.span.0));
    Reading {
        name: "chain.json".to_owned(),
        followed: loaded
            .value
            .zip(proof)
            .map(|(procedure, proof)| (Arc::new(procedure), proof.facts)),
        places: loaded.places,
        findings,
        sheet: None,
        instruments: None,
        beside: Vec::new(),
    }
}

fn look() -> Look {
    Look {
        procedure: Source::File("chain.json".into()),
        sheet: None,
        instruments: None,
    }
}

fn app() -> App {
    let session = hold::Session::new("test", true);
    let mut app = App::new(Catalog::default(), Settings::default(), session, 7);
    let asked = app.look_at(look());
    assert_eq!(asked, [Effect::Look(Box::new(look()))]);
    app
}

fn came(app: &mut App, came: Came) {
    let look = Box::new(look());
    app.reply(Reply::Looked {
        look,
        came,
        saved_again: true,
    });
}

fn read(app: &mut App, text: &str) {
    came(app, Came::Read(Box::new(reading(text))));
}

fn bench(app: &mut App) -> &mut Bench {
    let Screen::Author(author) = &mut app.screen else {
        panic!("the bench is not shown");
    };
    author.bench.as_mut().unwrap()
}

fn ids(bench: &Bench) -> Vec<StepId> {
    let procedure = &bench.picture.as_ref().unwrap().procedure;
    procedure.steps.iter().map(|s| s.id.clone()).collect()
}

fn keys(bench: &Bench) -> Vec<(Code, Subject)> {
    let all = bench.findings.iter();
    all.map(|p| (p.finding.code, p.finding.subject.clone()))
        .collect()
}

/// Whether `now` has the place of `was`: the same, or the nearest before it in the
/// old order that is still there, or the first.
fn has_the_place<T: PartialEq>(old: &[T], new: &[T], was: usize, now: &T) -> bool {
    let was_there = |at: usize| new.contains(&old[at]);
    if was_there(was) {
        return *now == old[was];
    }
    match old[..was].iter().rposition(|o| o == now) {
        Some(at) => was_there(at) && (at + 1..was).all(|between| !was_there(between)),
        None => (0..was).all(|at| !was_there(at)) && *now == new[0],
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn a_reading_keeps_step_and_finding_or_the_nearest_before_them(
        old in prop::collection::vec(any::<(bool, bool)>(), 8),
        new in prop::collection::vec(any::<(bool, bool)>(), 8),
        step in any::<prop::sample::Index>(),
        finding in any::<prop::sample::Index>(),
    ) {
        let text = |steps: &[(bool, bool)]| {
            let (kept, flawed): (Vec<bool>, Vec<bool>) = steps.iter().copied().unzip();
            chain(&kept, &flawed)
        };
        let mut app = app();
        read(&mut app, &text(&old));
        let (old_ids, old_keys) = (ids(bench(&mut app)), keys(bench(&mut app)));
        let was = step.index(old_ids.len());
        bench(&mut app).at = Some(old_ids[was].clone());
        bench(&mut app).pane = Pane::Known;
        let found = (!old_keys.is_empty()).then(|| finding.index(old_keys.len()));
        bench(&mut app).finding = found.unwrap_or(0);
        read(&mut app, &text(&new));
        let (new_ids, new_keys) = (ids(bench(&mut app)), keys(bench(&mut app)));
        let now = bench(&mut app);
        prop_assert_eq!(now.pane, Pane::Known);
        prop_assert!(has_the_place(&old_ids, &new_ids, was, now.at.as_ref().unwrap()));
        if let (Some(found), Some(key)) = (found, new_keys.get(now.finding)) {
            prop_assert!(has_the_place(&old_keys, &new_keys, found, key));
        } else {
            prop_assert_eq!(now.finding, 0);
        }
    }
}

#[test]
fn a_half_saved_text_keeps_the_steps_and_shows_its_own_findings() {
    let mut app = app();
    let whole = chain(&[true; 4], &[false; 4]);
    read(&mut app, &whole);
    app.update(Action::More);
    app.update(Action::More);
    let at = bench(&mut app).at.clone();
    assert_eq!(at.as_ref().unwrap().as_str(), "s1");
    app.clock = Stamp::from_millis(5_000, 5_000);
    read(&mut app, &whole[..whole.len() / 2]);
    let now = bench(&mut app);
    assert_eq!(now.at, at);
    assert!(now.shown.is_some() && now.steps_are_older());
    assert!(now.counts().0 > 0, "{:?}", now.findings);
    app.clock = Stamp::from_millis(6_000, 6_000);
    read(&mut app, &whole);
    let now = bench(&mut app);
    assert!(!now.steps_are_older() && now.at == at);
    assert_eq!(now.counts(), (0, 0));
}

#[test]
fn a_file_that_can_t_be_read_keeps_all_and_says_why_until_it_can() {
    let mut app = app();
    read(&mut app, &chain(&[true; 4], &[true; 4]));
    let (before, counts) = (keys(bench(&mut app)), bench(&mut app).counts());
    came(&mut app, Came::Unreadable("It is gone.".to_owned()));
    assert_eq!(keys(bench(&mut app)), before);
    assert_eq!(bench(&mut app).counts(), counts);
    assert_eq!(bench(&mut app).trouble.as_deref(), Some("It is gone."));
    came(&mut app, Came::Same);
    assert!(bench(&mut app).trouble.is_some(), "nothing is better yet");
    read(&mut app, &chain(&[true; 4], &[true; 4]));
    assert_eq!(bench(&mut app).trouble, None);
}

#[test]
fn one_question_is_on_its_way_at_a_time_and_none_for_what_is_built_in() {
    let tick = |app: &mut App| {
        let at = app.clock;
        app.take(&Stamped::new(Input::Tick, at))
    };
    let mut app = app();
    assert_eq!(tick(&mut app), [], "the first reading is on its way");
    read(&mut app, &chain(&[true; 4], &[false; 4]));
    assert_eq!(app.wake_in(), Some(ASKED_EVERY));
    let again = Effect::LookAgain(Box::new(look()));
    assert_eq!(tick(&mut app), std::slice::from_ref(&again));
    assert_eq!(tick(&mut app), [], "the answer is on its way");
    came(&mut app, Came::Same);
    assert_eq!(tick(&mut app), [again]);
    let built_in = Reply::Looked {
        look: Box::new(look()),
        came: Came::Same,
        saved_again: false,
    };
    app.reply(built_in);
    assert_eq!(app.wake_in(), None);
    assert_eq!(tick(&mut app), []);
}

#[test]
fn the_steps_of_a_path_follow_its_ways_where_titles_are_alike() {
    let mut app = app();
    // Six steps of one title; the fourth needs what is not so.
    let mut flawed = [false; 6];
    flawed[3] = true;
    read(&mut app, &chain(&[true; 6], &flawed));
    let now = bench(&mut app);
    assert_eq!(now.findings.len(), 1, "{:?}", now.findings);
    let path = now.path();
    let names: Vec<&str> = path.iter().map(|s| s.as_ref().unwrap().as_str()).collect();
    assert_eq!(names, ["begin", "s0", "s1", "s2", "s3"]);
}

#[test]
fn back_leads_along_what_was_shown_and_past_what_a_reading_took_away() {
    let mut app = app();
    read(&mut app, &chain(&[true; 3], &[false; 3]));
    for _ in 0..3 {
        app.update(Action::More);
    }
    read(&mut app, &chain(&[true, false, true], &[false; 3]));
    let mut seen = Vec::new();
    for _ in 0..3 {
        seen.push(bench(&mut app).at.clone().unwrap().to_string());
        app.update(Action::Letter('b'));
    }
    assert_eq!(seen, ["s2", "s0", "begin"]);
}
