//! The author's bench: keys in, whole screen out, over a small procedure with two
//! mistakes in it; then every step of the main procedure at every size.

use std::sync::Arc;

use levelhand::app::{Came, Effect, Look, Reading, Source, View};
use levelhand::cli::shipped::{Shelf, all};
use levelhand::document;
use levelhand::finding::Placed;
use levelhand::proof;

use super::person::Bench;

const SMALL_JOB: &str = include_str!("../../shop/small_job.json");
const SMALL_SHEET: &str = include_str!("../../shop/small_sheet.json");

fn look() -> Look {
    Look {
        procedure: Source::File("mine/small_job.json".into()),
        sheet: Some(Source::File("mine/small_sheet.json".into())),
        instruments: None,
    }
}

/// A text without one of its parts.
fn without(text: &str, part: &str) -> String {
    assert_eq!(text.matches(part).count(), 1, "{part}");
    text.replace(part, "")
}

/// Nobody chocks the wheels, and nobody puts the mudguards back.
fn mistaken() -> String {
    let chocked = "     \"establishes\": [\n      \"chocked\"\n     ],\n";
    let settles = "     \"settles\": [\n      \"refit\"\n     ],\n";
    without(&without(SMALL_JOB, chocked), settles)
}

/// The same with a field that nobody knows.
fn broken() -> String {
    mistaken().replacen(
        "\"do\": \"Both front wheels.\"",
        "\"doo\": \"Both front wheels.\"",
        1,
    )
}

fn reading(text: &str, sheet: Option<&str>) -> Came {
    let loaded = document::procedure("mine/small_job.json", text.as_bytes());
    let proof = loaded.value.as_ref().map(proof::prove);
    let mut findings = loaded.findings.clone();
    findings.extend(proof.iter().flat_map(|p| p.findings.clone()));
    let mut findings: Vec<Placed> = findings.iter().map(|f| loaded.places.place(f)).collect();
    findings.sort_by_key(|p| p.place.as_ref().map_or(usize::MAX, |at| at.span.0));
    let sheet = sheet.map(|s| document::sheet("sheet.json", s.as_bytes()));
    Came::Read(Box::new(Reading {
        name: "mine/small_job.json".to_owned(),
        followed: loaded
            .value
            .zip(proof)
            .map(|(procedure, proof)| (Arc::new(procedure), proof.facts)),
        places: loaded.places,
        findings,
        sheet: sheet.and_then(|s| s.value).map(Arc::new),
        instruments: None,
        beside: Vec::new(),
    }))
}

fn on(text: &str) -> Bench {
    Bench::author(look()).came(look(), reading(text, Some(SMALL_SHEET)))
}

screens! {
    in "told":
    bench_choice: Bench::below_practice(3).keys("⏎→");
    bench_one_warning: on(SMALL_JOB);
    bench_findings: on(&mistaken()).keys("↓↓");
    bench_path: on(&mistaken()).keys("↓↓p↑");
    /// A movement with its caution, reached from a finding.
    bench_step: on(&mistaken()).keys("↓↓⏎");
    bench_step_from_afar: on(&mistaken()).keys("↓↓⏎zz");
    bench_step_wide: on(&mistaken()).keys("↓↓⏎z");
    bench_known: on(&mistaken()).keys("↓↓⏎⇥");
    bench_ways: on(&mistaken()).keys("↓↓⏎⇥⇥↓");
    bench_find: on(&mistaken()).keys("/").type_in("frame");
    bench_broken: on(&mistaken()).keys("↓↓⏎").came(look(), reading(&broken(), None)).keys("⎋");
    bench_broken_at_first: on(&broken());
    bench_unreadable: on(&mistaken())
        .came(look(), Came::Unreadable("mine/small_job.json can't be read: it is gone.".into()));
    bench_help: on(&mistaken()).keys("?");
}

fn at(bench: &Bench) -> String {
    let at = bench.looked().and_then(|b| b.at.clone());
    at.map_or_else(String::new, |id| id.to_string())
}

#[test]
fn a_finding_leads_to_its_step_and_along_its_path() {
    let bench = on(&mistaken()).keys("↓↓");
    let found = bench.looked().unwrap().found().unwrap().finding.clone();
    assert_eq!(found.code.as_str(), "protection-not-held");
    assert_eq!(at(&bench), "chock");
    let bench = bench.keys("⏎");
    assert_eq!(at(&bench), "lift");
    let bench = bench.keys("p↑⏎");
    assert_eq!(at(&bench), "gate", "the step before it on its path");
    let bench = bench.keys("b");
    assert_eq!(at(&bench), "lift");
}

#[test]
fn all_that_is_told_of_a_finding_can_be_read() {
    let pages: Vec<String> = (0..4)
        .map(|n| on(&mistaken()).keys("↓↓").keys(&"⇟".repeat(n)).grid(80, 18))
        .collect();
    let found = on(&mistaken()).keys("↓↓");
    let path = found
        .looked()
        .unwrap()
        .found()
        .unwrap()
        .finding
        .path
        .clone();
    for words in [
        "protection-not-held: the step",
        "help: make it true",
        &path[3],
    ] {
        assert!(
            pages.iter().any(|p| p.contains(words)),
            "{words}: {pages:?}"
        );
    }
    assert!(
        !pages[0].contains("4 Raise the frame"),
        "no paging was needed"
    );
}

#[test]
fn the_next_finding_is_a_key_away_and_they_go_round() {
    let bench = on(&mistaken());
    let count = bench.looked().unwrap().findings.len();
    assert!(count > 1, "{count}");
    let bench = bench.keys(&"f".repeat(count));
    assert_eq!(bench.looked().unwrap().finding, 0);
    let bench = bench.keys("F");
    assert_eq!(bench.looked().unwrap().finding, count - 1);
}

#[test]
fn a_way_is_followed_out_and_back_to_where_it_comes_from() {
    let bench = on(SMALL_JOB).keys("→→→⇥⇥⇥");
    assert_eq!(at(&bench), "lift");
    // pass, fail, spent, stop work.
    let bench = bench.keys("↓⏎");
    assert_eq!(at(&bench), "gate", "a fail leads back to the gate");
    let ways = bench.looked().unwrap().ways();
    let from = ways
        .iter()
        .position(|w| w.into && w.step.as_str() == "lift");
    let bench = bench.keys(&"↓".repeat(from.unwrap())).keys("⏎");
    assert_eq!(at(&bench), "lift");
}

#[test]
fn a_step_is_found_by_parts_of_its_title_or_its_name() {
    for (typed, wanted) in [
        ("Supply", "read_supply"),
        ("mudguards back", "refit"),
        ("left_safe", "left_safe"),
        ("LIE frame", "safe_look"),
    ] {
        let bench = on(SMALL_JOB).keys("/").type_in(typed).keys("⏎");
        assert_eq!(at(&bench), wanted, "{typed}");
    }
    let bench = on(SMALL_JOB).keys("/").type_in("nowhere").keys("⏎");
    assert!(
        bench
            .grid(80, 24)
            .contains("No step has all of these words")
    );
    assert_eq!(at(&bench.keys("⎋⎋")), "chock", "Esc clears, then goes back");
}

#[test]
fn escape_goes_back_level_by_level_and_at_last_to_the_board() {
    let bench = on(&mistaken()).keys("↓↓p⏎/x⎋⎋");
    assert!(bench.looked().unwrap().find.is_none());
    let bench = bench.keys("⎋");
    assert!(bench.looked().is_some(), "from the step to the findings");
    let bench = bench.keys("⎋");
    assert!(bench.looked().is_some(), "from the path to the list");
    assert!(bench.keys("⎋").on_board());
}

#[test]
fn no_key_writes_anything_or_begins_a_job() {
    let mut keys: String = ('!'..='~').collect();
    keys.push_str("⏎⇥↓↑→←⇟ ⏎⏎⇥⏎⏎⇥⏎⏎⇥⏎⏎");
    // Leaving is left out: then it would be the board's keys that are tried.
    let keys = keys.replace('q', "");
    let bench = on(&mistaken()).keys(&keys).keys("⏎⎋⎋").keys(&keys);
    assert!(bench.looked().is_some());
    for asked in bench.asked() {
        assert!(
            matches!(asked, Effect::Look(_) | Effect::LookAgain(_)),
            "{asked:?}"
        );
    }
}

#[test]
fn every_step_of_the_main_procedure_is_shown_at_every_size_and_said_to_be_no_job() {
    let of = |shelf: Shelf, id: &str| {
        let found = all().find(|d| d.shelf == shelf && d.id == id).unwrap();
        std::str::from_utf8(found.bytes).unwrap()
    };
    let (procedure, sheet) = (
        of(Shelf::Procedure, "ride_height"),
        of(Shelf::Sheet, "bw_07"),
    );
    let bench = Bench::author(look()).came(look(), reading(procedure, Some(sheet)));
    let mut bench = bench.keys("z");
    let (_, count) = bench.looked().unwrap().number().unwrap();
    for n in 1..=count {
        assert_eq!(bench.looked().unwrap().number(), Some((n, count)));
        let view = bench.looked().unwrap().view;
        let (cols, rows) = view.size();
        // With two rows of its own, a frame and the key line round it.
        let shown = bench.grid(cols + 2, rows + 6);
        assert!(shown.contains("AUTHOR'S BENCH"), "{shown}");
        assert!(shown.contains("NOT A JOB"), "{shown}");
        let title = bench.looked().unwrap().step().unwrap().title.to_uppercase();
        let word = title.split_whitespace().next().unwrap().to_owned();
        let met = shown.contains("Nobody meets this step");
        assert!(
            met || shown.to_uppercase().contains(&word),
            "{title}: {shown}"
        );
        assert!(
            view == View::Far || met || shown.contains("NOT LIVE"),
            "{shown}"
        );
        bench = bench.keys("→z");
    }
}
