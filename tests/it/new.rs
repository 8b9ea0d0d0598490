//! `levelhand new`: what it writes passes check, plays, and writes over nothing.

use std::path::Path;
use std::process::Output;

use crate::program::{run_in, told};

fn run(dir: &Path, args: &[&str]) -> Output {
    run_in(dir, "data", args)
}

/// A shop's four first documents, in a directory of their own.
fn begun() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    for args in [
        vec![
            "new",
            "procedure",
            "job.json",
            "--id",
            "my_job",
            "--title",
            "My job \"A\"",
        ],
        vec!["new", "sheet", "truck.json"],
        vec!["new", "instruments", "bench.json"],
        vec![
            "new",
            "rehearsal",
            "straight.json",
            "--of",
            "job.json",
            "--sheet",
            "truck.json",
            "--instruments",
            "bench.json",
        ],
    ] {
        let out = run(dir.path(), &args);
        assert_eq!(out.status.code(), Some(0), "{args:?}: {}", told(&out));
        assert!(told(&out).contains("Next:"), "{}", told(&out));
    }
    dir
}

#[test]
fn each_new_document_passes_check_without_a_warning_and_all_fit_together() {
    let dir = begun();
    for file in ["job.json", "truck.json", "bench.json", "straight.json"] {
        let out = run(dir.path(), &["check", file]);
        assert_eq!(out.status.code(), Some(0), "{}", told(&out));
        let said = told(&out);
        assert!(
            said.contains(&format!("{file}: no errors, no warnings")),
            "{said}"
        );
    }
    let out = run(
        dir.path(),
        &["check", "job.json", "truck.json", "bench.json"],
    );
    assert!(
        told(&out).contains("with truck.json and bench.json: no errors, no warnings"),
        "{}",
        told(&out)
    );
}

#[test]
fn what_is_new_for_practice_passes_check_alone_and_beside_each_other() {
    let dir = tempfile::tempdir().unwrap();
    let sorts = ["truck", "fault", "drill", "drill-script", "timetable"];
    for sort in sorts {
        let file = format!("my_{}.json", sort.replace('-', "_"));
        let out = run(dir.path(), &["new", sort, &file]);
        assert_eq!(out.status.code(), Some(0), "{}", told(&out));
        let out = run(dir.path(), &["check", &file]);
        let said = told(&out);
        assert_eq!(out.status.code(), Some(0), "{said}");
        assert!(
            said.contains(&format!("{file}: no errors, no warnings")),
            "{said}"
        );
    }
}

#[test]
fn the_four_new_documents_rehearse_as_written() {
    let dir = begun();
    let files = ["job.json", "truck.json", "bench.json", "straight.json"];
    let out = run(dir.path(), &[["rehearse"].as_slice(), &files].concat());
    assert_eq!(out.status.code(), Some(0), "{}", told(&out));
    assert!(
        told(&out).contains("1 rehearsal as written, 0 differ"),
        "{}",
        told(&out)
    );
}

/// Drafts the straight run of a shipped procedure on the demo truck; gives what was
/// said of the drafting, of checking the draft and of playing it.
fn drafted(of: &str) -> [Output; 3] {
    let dir = tempfile::tempdir().unwrap();
    let names = [
        "new",
        "rehearsal",
        "run.json",
        "--of",
        of,
        "--sheet",
        "bw_07",
    ];
    let args = [names.as_slice(), &["--instruments", "demo_bench"]].concat();
    let out = run(dir.path(), &args);
    assert!(dir.path().join("run.json").is_file(), "{}", told(&out));
    let then = |verb: &str| run(dir.path(), &[verb, "run.json"]);
    [out, then("check"), then("rehearse")]
}

#[test]
fn the_straight_way_of_the_height_check_is_drafted_to_its_end_and_plays_as_written() {
    let [drafted, checked, played] = drafted("height_check");
    let codes = [&drafted, &checked, &played].map(|out| out.status.code());
    let said = [&drafted, &checked, &played].map(told).concat();
    assert_eq!(codes, [Some(0), Some(0), Some(0)], "{said}");
    assert!(!told(&drafted).contains("could be guessed"), "{said}");
    assert!(told(&played).contains("1 rehearsal as written"), "{said}");
}

#[test]
fn a_straight_way_that_nobody_can_guess_is_drafted_up_to_there_and_says_so() {
    for of in ["ride_height", "bellows_change", "sensor_linkage"] {
        let [drafted, checked, played] = drafted(of);
        let codes = [&drafted, &checked, &played].map(|out| out.status.code());
        let said = told(&drafted);
        assert_eq!(codes, [Some(1), Some(0), Some(1)], "{of}: {said}");
        let (_, at) = said.split_once("could be guessed up to ").unwrap();
        let (step, _) = at.split_once(" only: ").unwrap();
        // Played, the draft differs where it says that it ends, and nowhere before.
        let played = told(&played);
        assert!(
            played.contains(&format!("run: at {step} (move ")),
            "{played}"
        );
    }
}

#[test]
fn a_new_document_names_its_schema_and_the_schema_lies_there() {
    let dir = begun();
    for (file, sort) in [
        ("job.json", "procedure"),
        ("truck.json", "sheet"),
        ("bench.json", "instruments"),
        ("straight.json", "rehearsal"),
    ] {
        let text = std::fs::read_to_string(dir.path().join(file)).unwrap();
        let document: serde_json::Value = serde_json::from_str(&text).unwrap();
        let schema = dir.path().join(document["$schema"].as_str().unwrap());
        let schema = std::fs::read(&schema).unwrap();
        assert_eq!(schema, run(dir.path(), &["schema", sort]).stdout);
        let schema: serde_json::Value = serde_json::from_slice(&schema).unwrap();
        let found = jsonschema::draft202012::new(&schema).unwrap();
        assert!(found.is_valid(&document), "{file}");
    }
}

#[test]
fn nothing_is_written_over() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("truck.json");
    std::fs::write(&path, "mine").unwrap();
    let out = run(dir.path(), &["new", "sheet", "truck.json"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(told(&out).contains("there already"), "{}", told(&out));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "mine");
}

#[test]
fn what_can_be_no_id_or_title_is_told_and_nothing_is_written() {
    let dir = tempfile::tempdir().unwrap();
    let long = "x".repeat(61);
    for args in [
        vec!["new", "sheet", "My-Truck.json"],
        vec!["new", "sheet", "truck.json", "--id", "a__b"],
        vec!["new", "sheet", "truck.json", "--title", long.as_str()],
        vec!["new", "sheet", "truck.json", "--title", "red\u{1b}[31m"],
        vec!["new", "rehearsal", "run.json"],
        vec![
            "new",
            "rehearsal",
            "run.json",
            "--of",
            "nowhere.json",
            "--sheet",
            "bw_07",
            "--instruments",
            "demo_bench",
        ],
    ] {
        let out = run(dir.path(), &args);
        assert_eq!(out.status.code(), Some(2), "{args:?}: {}", told(&out));
        assert!(told(&out).contains("Give"), "{args:?}: {}", told(&out));
        assert!(!out.stderr.contains(&0x1b), "{args:?}");
    }
    assert_eq!(std::fs::read_dir(dir.path()).unwrap().count(), 0);
}
