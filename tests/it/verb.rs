//! Verbs from outside: documents held together, own documents rehearsed, nothing
//! that steers a terminal in what is said.

use std::path::Path;

use crate::program::{run, text, told};

fn altered(dir: &Path, from: &str, was: &str, now: &str) -> String {
    let home = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(home.join(from)).unwrap();
    assert!(text.contains(was), "{from} has no {was}");
    let path = dir.join("altered.json");
    std::fs::write(&path, text.replacen(was, now, 1)).unwrap();
    path.display().to_string()
}

#[test]
fn check_holds_a_procedure_against_the_sheet_given_with_it() {
    let dir = tempfile::tempdir().unwrap();
    let sheet = altered(
        dir.path(),
        "procedures/sheets/bw_07.json",
        "\"leak_settle\"",
        "\"leak_settel\"",
    );
    let procedure = "procedures/ride_height.json";
    let bench = "procedures/instruments/demo_bench.json";
    let good = run(&["check", procedure, "procedures/sheets/bw_07.json", bench]);
    assert_eq!(good.status.code(), Some(0), "{}", text(&good.stderr));
    let bad = run(&["check", procedure, &sheet, bench]);
    assert_eq!(bad.status.code(), Some(1), "{}", text(&bad.stdout));
    assert!(
        text(&bad.stderr).contains("leak_settle"),
        "{}",
        text(&bad.stderr)
    );
}

#[test]
fn a_file_name_reaches_the_terminal_without_what_steers_it() {
    let out = run(&["check", "no\u{1b}]0;x\u{7}such.json"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(!out.stderr.contains(&0x1b) && !out.stderr.contains(&0x07));
}

#[test]
fn what_is_no_plain_file_is_refused_and_not_read_for_ever() {
    let out = run(&["check", "/dev/zero"]);
    assert_eq!(out.status.code(), Some(2), "{}", text(&out.stderr));
}

#[test]
fn the_author_s_bench_opens_on_a_procedure_and_on_nothing_else() {
    let out = run(&["author", "procedures/sheets/bw_07.json"]);
    assert_eq!(out.status.code(), Some(2));
    let said = text(&out.stderr);
    assert!(
        said.contains("is a sheet, and here a procedure is wanted"),
        "{said}"
    );
    let out = run(&["author", "nowhere.json"]);
    assert_eq!(out.status.code(), Some(2));
    let said = text(&out.stderr);
    assert!(said.contains("nowhere.json can't be read"), "{said}");
}

#[test]
fn every_verb_has_help_with_an_example() {
    for verb in [
        "author",
        "check",
        "compare",
        "draw",
        "rehearse",
        "release",
        "jobs",
        "practise",
        "rig",
        "new",
        "schema",
        "completions",
    ] {
        let out = run(&[verb, "--help"]);
        assert_eq!(out.status.code(), Some(0));
        let help = text(&out.stdout);
        let nested = verb == "jobs" && help.contains("list");
        assert!(help.contains("Example") || nested, "{verb}: {help}");
    }
    for verb in ["list", "show", "verify"] {
        let help = text(&run(&["jobs", verb, "--help"]).stdout);
        assert!(help.contains("Example"), "{verb}: {help}");
    }
}

#[test]
fn completions_name_every_verb() {
    let script = text(&run(&["completions", "bash"]).stdout);
    for verb in [
        "check",
        "rehearse",
        "jobs",
        "practise",
        "rig",
        "new",
        "schema",
        "completions",
    ] {
        assert!(script.contains(verb));
    }
}

#[test]
fn an_end_that_waits_for_someone_to_take_duties_on_says_what_the_script_lacks() {
    let dir = tempfile::tempdir().unwrap();
    let home = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text_of = home.join("procedures/rehearsals/hc_bellows_saw_cracked.json");
    let whole = std::fs::read_to_string(text_of).unwrap();
    let (before, last) = whole.rsplit_once("\"hand_over_to\"").unwrap();
    let move_begins = before.rfind(",\n    {").unwrap();
    let (_, after) = last.split_once("\n    }").unwrap();
    let script = dir.path().join("altered.json");
    std::fs::write(&script, [&before[..move_begins], after].concat()).unwrap();
    let script = script.display().to_string();
    let out = run(&["rehearse", &script]);
    assert_eq!(out.status.code(), Some(1), "{}", text(&out.stderr));
    let said = [text(&out.stdout), text(&out.stderr)].concat();
    let wanted = "waits for someone to take on air_to_take, chocks_to_take: add a move at safe_floor with \"hand_over_to\"";
    assert!(said.contains(wanted), "{said}");
}

fn refused(args: &[&str]) -> String {
    let out = run(args);
    assert_eq!(out.status.code(), Some(2), "{args:?}: {}", told(&out));
    assert!(out.stdout.is_empty(), "{args:?}");
    text(&out.stderr)
}

#[test]
fn what_a_drill_lacks_on_the_command_line_is_said_before_a_terminal_is_asked_for() {
    for (args, says) in [
        (
            &["practise", "clear_coached"][..],
            "Say who practises: --by NAME.",
        ),
        (
            &["practise", "clear_coachd", "--by", "Ann"],
            "no drill named clear_coachd",
        ),
        (
            &[
                "practise",
                "clear_coached",
                "--fault",
                "left_fiting_leaks",
                "--by",
                "Ann",
            ],
            "left_fitting_leaks",
        ),
        (
            &["practise", "--seed", "7", "--by", "Ann"],
            "belong to a drill",
        ),
        (
            &["practise", "--json"],
            "--json goes with --script or --list",
        ),
        (
            &["practise", "--script", "nobody"],
            "no script of a drill named nobody",
        ),
        (&["practise", "--plain", "clear"], "--draw"),
    ] {
        let said = refused(args);
        assert!(said.contains(says), "{args:?}: {said}");
    }
}

#[test]
fn drills_and_faults_are_listed_for_people_and_as_data() {
    let out = run(&["practise", "--list"]);
    assert_eq!(out.status.code(), Some(0));
    let list = text(&out.stdout);
    let out = run(&["practise", "--list", "--json"]);
    let data: serde_json::Value = serde_json::from_slice(&out.stdout).unwrap();
    for kind in ["drills", "faults"] {
        let rows = data[kind].as_array().unwrap();
        assert!(!rows.is_empty());
        for row in rows {
            for field in ["id", "title"] {
                let words = row[field].as_str().unwrap();
                assert!(list.contains(words), "{words} is not in\n{list}");
            }
        }
    }
}
