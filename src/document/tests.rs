//! Reading procedures: defaults, fragments, places; and that nothing breaks it.

use std::collections::BTreeSet;

use super::*;
use crate::finding::{Code, Subject};
use crate::procedure::{Confirm, Outcome, StepId};
use proptest::prelude::*;
use serde_json::Value;

const BASE: &str = include_str!("../../tests/documents/valid/base.json");

fn base() -> Procedure {
    procedure("base.json", BASE.as_bytes()).value.unwrap()
}

/// The base with one piece replaced.
fn with(old: &str, new: &str) -> Loaded<Procedure> {
    assert_eq!(BASE.matches(old).count(), 1, "{old}");
    procedure("base.json", BASE.replace(old, new).as_bytes())
}

fn codes<T>(loaded: &Loaded<T>) -> Vec<&'static str> {
    loaded.findings.iter().map(|f| f.code.as_str()).collect()
}

fn way<'a>(procedure: &'a Procedure, step: &str, outcome: Outcome) -> Option<&'a str> {
    let step = procedure.step(&StepId::new(step).unwrap()).unwrap();
    step.way(outcome).map(StepId::as_str)
}

/// What is found in a truck among others, of which each is like the next.
fn told_of_likes(pairs: &[(&str, &str)], of: &str) -> Vec<(&'static str, String)> {
    let find = |id: &str| {
        let (_, like) = pairs.iter().find(|(name, _)| *name == id)?;
        let text = format!(
            r#"{{"format": "levelhand truck 1", "id": "{id}", "title": "t", "like": "{like}"}}"#
        );
        Some(text.into_bytes())
    };
    let loaded = truck("t.json", &find(of).unwrap(), &find, None);
    let told = loaded.findings.into_iter();
    told.map(|f| (f.code.as_str(), f.sentence)).collect()
}

#[test]
fn a_circle_of_trucks_is_told_by_their_names() {
    let circle = [("a", "b"), ("b", "c"), ("c", "a"), ("to", "b")];
    for (of, sentence) in [
        ("a", "the truck a is like itself, through b, c"),
        ("b", "the truck b is like itself, through c, a"),
        ("to", "the truck b is like itself, through c, a"),
    ] {
        let told = told_of_likes(&circle, of);
        assert_eq!(told, [("like-cycle", sentence.to_owned())], "{of}");
    }
    let own = [("own", "own")];
    let sentence = "the truck own is like itself".to_owned();
    assert_eq!(told_of_likes(&own, "own"), [("like-cycle", sentence)]);
}

#[test]
fn a_row_of_trucks_that_are_each_like_the_next_is_told_when_it_is_too_long() {
    let names: Vec<String> = (0..12).map(|n| format!("t{n}")).collect();
    let pairs: Vec<(&str, &str)> = names
        .iter()
        .zip(names.iter().skip(1))
        .map(|(a, b)| (a.as_str(), b.as_str()))
        .collect();
    let sentence =
        "more than 8 trucks in a row are each like the next: t0, t1, t2, t3, t4, t5, t6, t7, t8";
    let told = told_of_likes(&pairs, "t0");
    assert_eq!(told, [("like-cycle", sentence.to_owned())]);
}

/// The codes of what is found in a timetable with these heights and changes.
fn told_of_heights(heights: &str, changed: &str) -> Vec<&'static str> {
    let text = format!(
        r#"{{"format": "levelhand timetable 1", "title": "t", "truck": "two_bellows",
        "changed": {changed}, "heights": {heights}, "run": "1 s", "moves": []}}"#
    );
    codes(&timetable("t.json", text.as_bytes(), &|_| None, None))
}

#[test]
fn heights_are_judged_by_the_truck_with_what_is_changed_and_by_none_that_is_half_read() {
    let far = r#"["150 mm", "230 mm"]"#;
    assert_eq!(told_of_heights(far, "{}"), ["impossible-heights"]);
    assert_eq!(told_of_heights(far, r#"{"k_arb": 1e4}"#), [] as [&str; 0]);
    assert_eq!(told_of_heights(far, r#"{"k_rab": 1e4}"#), ["unknown-name"]);
    assert_eq!(told_of_heights(far, r#"{"k_arb": 1e9}"#), ["out-of-range"]);
    assert_eq!(told_of_heights(far, "1e4"), ["wrong-shape"]);
}

#[test]
fn codes_are_different_words_with_dashes() {
    let names: BTreeSet<&str> = CODES.iter().map(|c| c.as_str()).collect();
    assert_eq!(names.len(), CODES.len());
    for name in names {
        assert!(
            name.chars()
                .all(|c| c.is_ascii_lowercase() || c == '-' || c.is_ascii_digit())
        );
    }
}

#[test]
fn a_pass_without_a_way_falls_to_the_next_step() {
    let p = base();
    assert_eq!(way(&p, "gate", Outcome::Pass), Some("lift"));
    assert_eq!(way(&p, "chock", Outcome::Pass), Some("which"));
}

#[test]
fn nothing_falls_into_an_aside_phase() {
    let p = with(r#"], "ways": {"pass": "done"}}"#, "]}").value.unwrap();
    assert_eq!(way(&p, "refit", Outcome::Pass), Some("done"));
}

#[test]
fn nothing_falls_out_of_an_aside_phase_past_its_last_step() {
    let loaded = with(
        r#"{"id": "left_safe", "title": "Left safe", "end": "made_safe"}"#,
        r#"{"id": "left_safe", "title": "Left safe", "end": "made_safe"}, {"id": "rest", "title": "Rest"}"#,
    );
    assert_eq!(codes(&loaded), ["missing-way"]);
    assert_eq!(loaded.findings[0].subject, Subject::step("rest"));
}

#[test]
fn too_close_goes_the_way_of_fail() {
    let p = base();
    assert_eq!(way(&p, "measure", Outcome::Fail), Some("seen"));
    assert_eq!(way(&p, "measure", Outcome::TooClose), Some("seen"));
    assert_eq!(way(&p, "leaks_end", Outcome::TooClose), None);
}

#[test]
fn a_choice_without_a_way_falls_through() {
    let p = base();
    let step = p.step(&StepId::new("which").unwrap()).unwrap();
    let to: Vec<&str> = step.choices().iter().map(|c| c.to.as_str()).collect();
    assert_eq!(to, ["first__look_round", "first__look_round"]);
}

#[test]
fn a_fragment_is_written_out_with_its_names_and_parameters() {
    let p = base();
    let step = p.step(&StepId::new("first__look_round").unwrap()).unwrap();
    assert_eq!(step.title, "Look round the left side");
    assert_eq!(step.ticks[0].text, "nobody on the left side");
    assert_eq!(
        way(&p, "first__look_round", Outcome::Pass),
        Some("first__call")
    );
    assert_eq!(way(&p, "first__call", Outcome::Pass), Some("gate"));
}

#[test]
fn a_parameter_may_carry_a_step_and_own_names_stay_own() {
    let text = BASE
        .replace(r#"{"with": ["side"],"#, r#"{"with": ["side", "back"],"#)
        .replace(
            r#""text": "nobody on the {side} side"}]}"#,
            r#""text": "nobody on the {side} side"}], "ways": {"fail": "$back", "pass": "call"}}"#,
        )
        .replace(
            r#""with": {"side": "left"}"#,
            r#""with": {"side": "left", "back": "chock"}"#,
        );
    let loaded = procedure("base.json", text.as_bytes());
    assert_eq!(codes(&loaded), Vec::<&str>::new());
    let p = loaded.value.unwrap();
    assert_eq!(way(&p, "first__look_round", Outcome::Fail), Some("chock"));
    assert_eq!(
        way(&p, "first__look_round", Outcome::Pass),
        Some("first__call")
    );
}

#[test]
fn the_name_of_a_use_means_its_first_step() {
    let p = with(
        r#""ways": {"lapsed": "write"}"#,
        r#""ways": {"lapsed": "first"}"#,
    );
    assert_eq!(
        way(&p.value.unwrap(), "write", Outcome::Lapsed),
        Some("first__look_round")
    );
}

#[test]
fn ways_of_a_use_belong_to_its_last_step() {
    let p = with(
        r#""with": {"side": "left"}}"#,
        r#""with": {"side": "left"}, "ways": {"pass": "lift"}}"#,
    );
    let p = p.value.unwrap();
    assert_eq!(way(&p, "first__call", Outcome::Pass), Some("lift"));
    assert_eq!(
        way(&p, "first__look_round", Outcome::Pass),
        Some("first__call")
    );
}

#[test]
fn a_finding_about_a_step_of_a_fragment_names_both_places() {
    let loaded = with(
        r#""title": "Call out", "confirm": "enter"}"#,
        r#""title": "Call out", "confirm": "enter", "acts": ["raise"]}"#,
    );
    let placed = loaded.placed();
    assert_eq!(codes(&loaded), ["movement-shape"]);
    assert_eq!(placed[0].place.as_ref().unwrap().line, 49);
    assert_eq!(placed[0].used_at.as_ref().unwrap().line, 59);
}

#[test]
fn one_mistake_in_a_fragment_is_told_once_however_often_it_is_used() {
    let use_ = r#"{"use": "walk", "as": "first", "with": {"side": "left"}},"#;
    let twice = format!("{use_}\n{}", use_.replace("first", "second"));
    let text = BASE
        .replace(use_, &twice)
        .replace(r#""do": "Walk along it.""#, r#""doo": "Walk along it.""#);
    assert_eq!(
        codes(&procedure("base.json", text.as_bytes())),
        ["unknown-field"]
    );
}

#[test]
fn an_unread_reading_is_told_once_and_not_where_it_is_used() {
    let loaded = with(
        r#""kind": "length", "shown""#,
        r#""kind": "lengt", "shown""#,
    );
    assert_eq!(codes(&loaded), ["unknown-word"]);
}

#[test]
fn a_literal_of_a_sum_takes_the_kind_that_the_sum_can_use() {
    let loaded = with(
        r#"["value:left", "value:right"]"#,
        r#"["value:left", "190 mm"]"#,
    );
    assert_eq!(codes(&loaded), Vec::<&str>::new());
}

#[test]
fn a_bare_number_stays_refused_in_a_sum() {
    let loaded = with(
        r#"["value:left", "value:right"]"#,
        r#"["value:left", "190"]"#,
    );
    assert_eq!(codes(&loaded), ["kind-mismatch"]);
}

#[test]
fn a_witnessed_reading_needs_a_way_to_fail() {
    let loaded = with(
        r#""kind": "gauge_pressure", "with": "gauge"}"#,
        r#""kind": "gauge_pressure", "with": "gauge", "witness": true}"#,
    );
    assert_eq!(codes(&loaded), ["missing-way"]);
}

#[test]
fn a_hold_lasts_as_its_signal_asks() {
    let p = base();
    let held = |name: &str| match p.step(&StepId::new(name).unwrap()).unwrap().confirm() {
        Confirm::Hold { for_ms, .. } => *for_ms,
        other @ (Confirm::None | Confirm::Enter | Confirm::Pulse { .. } | Confirm::Wait { .. }) => {
            panic!("{other:?}")
        }
    };
    assert_eq!((held("gate"), held("lift")), (2500, 1500));
}

#[test]
fn more_findings_than_anyone_reads_are_cut_and_counted() {
    let odd: Vec<String> = (0..9000).map(|i| format!("\"odd_{i}\": \"x\"")).collect();
    let text = BASE.replacen('{', &format!("{{{},", odd.join(",")), 1);
    let loaded = procedure("odd.json", text.as_bytes());
    assert_eq!(loaded.findings.len(), MOST + 1);
    let last = loaded.findings.last().unwrap();
    assert_eq!(last.code, code::TOO_MANY);
    assert_eq!(last.sentence, "8800 more findings are left out here");
    assert!(loaded.value.is_none());
}

#[test]
fn a_large_file_of_mistakes_is_told_soon() {
    let text = format!("{{{}\"a\": 1}}", "\"a\": 1,\n".repeat(400_000));
    let loaded = procedure("large.json", text.as_bytes());
    assert_eq!(loaded.placed().len(), MOST + 1);
    let text = format!(
        "{{{}\"format\": \"levelhand procedure 1\"}}",
        "\"a\": 1,\n".repeat(400_000)
    );
    assert_eq!(
        procedure("large.json", text.as_bytes()).placed().len(),
        MOST + 1
    );
}

/// Every pointer of a value.
fn pointers(value: &Value, at: &str, out: &mut Vec<String>) {
    out.push(at.to_owned());
    match value {
        Value::Array(items) => {
            for (i, item) in items.iter().enumerate() {
                pointers(item, &format!("{at}/{i}"), out);
            }
        }
        Value::Object(members) => {
            for (key, item) in members {
                pointers(item, &format!("{at}/{key}"), out);
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}

/// What someone might put where something else is wanted.
fn anything() -> impl Strategy<Value = Value> {
    prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        (-3_i64..200).prop_map(Value::from),
        any::<String>().prop_map(Value::from),
        Just(Value::from("")),
        Just(Value::from("$side")),
        Just(Value::from("sheet:ride")),
        Just(Value::from("sheet:")),
        Just(Value::from("3 mm")),
        Just(Value::from("chock")),
        Just(Value::from("first")),
        Just(Value::Array(Vec::new())),
        Just(serde_json::json!({})),
        Just(serde_json::json!([{}])),
        Just(serde_json::json!({"use": "walk", "as": "again", "with": {"side": "x"}})),
        Just(serde_json::json!(["left", "left"])),
    ]
}

fn holds_together<T>(loaded: &Loaded<T>) {
    let errors = loaded.findings.iter().filter(|f| f.is_error()).count();
    assert_eq!(loaded.value.is_none(), errors > 0, "{:?}", loaded.findings);
    for placed in loaded.placed() {
        assert!(placed.place.is_some(), "no place: {placed:?}");
        assert!(CODES.contains(&placed.finding.code));
        placed.text(false);
    }
}

proptest! {
    #[test]
    fn whatever_is_put_anywhere_is_told_with_a_place(
        edits in proptest::collection::vec((any::<prop::sample::Index>(), anything()), 1..4),
    ) {
        let mut value: Value = serde_json::from_str(BASE).unwrap();
        for (index, new) in edits {
            let mut all = Vec::new();
            pointers(&value, "", &mut all);
            let pointer = index.get(&all).clone();
            *value.pointer_mut(&pointer).unwrap() = new;
        }
        let bytes = serde_json::to_vec_pretty(&value).unwrap();
        let loaded = procedure("any.json", &bytes);
        holds_together(&loaded);
        // What comes out stands on names that resolve.
        if let Some(p) = loaded.value {
            for step in &p.steps {
                for to in step.targets() {
                    prop_assert!(p.step(to).is_some(), "{} leads to {to}", step.id);
                }
            }
        }
    }

    #[test]
    fn taken_out_anywhere_is_told_with_a_place(index in any::<prop::sample::Index>()) {
        let mut value: Value = serde_json::from_str(BASE).unwrap();
        let mut all = Vec::new();
        pointers(&value, "", &mut all);
        let pointer = index.get(&all);
        if let Some((parent, key)) = pointer.rsplit_once('/') {
            match value.pointer_mut(parent).unwrap() {
                Value::Object(members) => {
                    members.remove(key);
                }
                Value::Array(items) => {
                    items.remove(key.parse().unwrap());
                }
                Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
            }
        }
        let bytes = serde_json::to_vec_pretty(&value).unwrap();
        holds_together(&procedure("any.json", &bytes));
    }

    #[test]
    fn any_bytes_as_any_document_never_panic(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        holds_together(&procedure("any", &bytes));
        holds_together(&sheet("any", &bytes));
        holds_together(&instruments("any", &bytes));
    }
}

#[test]
fn the_places_of_rules_are_those_of_the_text() {
    let loaded = procedure("base.json", BASE.as_bytes());
    let place = loaded.places.find(&Subject::limit("measure", 1)).unwrap();
    assert_eq!(&BASE[place.span.0..place.span.1], "\"differ\"");
    let place = loaded
        .places
        .find(&Subject::Role("gauge".to_owned()))
        .unwrap();
    assert_eq!(&BASE[place.span.0..place.span.1], "\"gauge\"");
    let none = Finding::error(Code::new("x"), Subject::step("nowhere"), "x");
    assert_eq!(loaded.places.place(&none).place, None);
}

/// What is found where the only step that says "Walk along it." says this instead.
fn told_of(text: &str) -> Vec<Finding> {
    with("Walk along it.", text).findings
}

#[test]
fn a_text_may_call_for_a_value_that_the_procedure_declares() {
    let loaded = with("Walk along it.", "Walk along it: {sheet ride}.");
    assert_eq!(codes(&loaded), Vec::<&str>::new());
    let step = StepId::new("first__look_round").unwrap();
    let procedure = loaded.value.unwrap();
    let said = &procedure.step(&step).unwrap().instructions;
    assert_eq!(said, &["Walk along it: {sheet ride}."]);
}

#[test]
fn a_text_that_calls_for_an_undeclared_value_is_told_the_near_name() {
    let found = told_of("Walk along it: {sheet rid}.");
    let first = found.first().unwrap();
    assert_eq!(first.code.as_str(), "unknown-name");
    assert!(first.sentence.contains("\"rid\""), "{}", first.sentence);
    assert!(first.help.iter().any(|h| h.contains("ride")), "{first:?}");
}

#[test]
fn a_call_for_a_value_without_its_brace_is_told() {
    assert_eq!(told_of("Walk {sheet ride along it.").len(), 1);
}

#[test]
fn every_text_that_is_filled_in_is_looked_at() {
    for (old, new) in [
        ("Nobody under the frame.", "Nobody: {sheet x}."),
        ("both wheels, front and back", "both wheels, {sheet x}"),
        (
            "{\"id\": \"on\", \"text\": \"on\"}",
            "{\"id\": \"on\", \"text\": \"{sheet x}\"}",
        ),
        (
            "\"title\": \"Chock the wheels\"",
            "\"title\": \"Chock {sheet ride}\"",
        ),
        (
            "\"title\": \"Chock the wheels\"",
            "\"title\": \"Chock\", \"see\": \"{sheet x}\"",
        ),
        (
            "\"title\": \"Chock the wheels\"",
            "\"title\": \"Chock\", \"why\": \"{sheet x}\"",
        ),
    ] {
        assert_eq!(codes(&with(old, new)), ["unknown-name"], "{new}");
    }
}

#[test]
fn a_fragment_used_too_often_is_told_once_and_not_written_out() {
    let steps: Vec<String> = (0..200)
        .map(|n| format!("{{\"id\":\"s{n}\",\"title\":\"Look\",\"confirm\":\"enter\"}}"))
        .collect();
    let uses: Vec<String> = (0..400)
        .map(|n| format!("{{\"use\":\"many\",\"as\":\"p{n}\"}}"))
        .collect();
    let text = format!(
        "{{\"format\":\"levelhand procedure 1\",\"id\":\"b\",\"title\":\"B\",\"revision\":1,\"scope\":\"s\",\
         \"fragments\":{{\"many\":{{\"steps\":[{}]}}}},\
         \"phases\":[{{\"id\":\"a\",\"title\":\"A\",\"stop\":\"p0__s0\",\"steps\":[{}]}}]}}",
        steps.join(","),
        uses.join(",")
    );
    let loaded = super::procedure("b.json", text.as_bytes());
    assert!(loaded.value.is_none());
    let told = loaded.findings.iter().filter(|f| f.code == code::TOO_LARGE);
    assert_eq!(told.count(), 1);
}
