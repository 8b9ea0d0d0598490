//! `levelhand rig`: what it prints of a run, and what it says of a faulty timetable.

use std::fs;

use insta::assert_snapshot;

use super::reference::{ALLOWED, JOBS, reference, rows};
use crate::program::{run, run_in, text, told};

#[test]
fn a_job_printed_as_a_table_has_the_rows_of_the_reference() {
    for job in JOBS {
        let out = run(&["rig", "run", &format!("tests/rig/{job}.json"), "--csv"]);
        assert!(out.status.success(), "{}", told(&out));
        let printed = text(&out.stdout);
        let wanted = reference(job);
        assert_eq!(printed.lines().next(), wanted.lines().next(), "{job}: head");
        let (found, wanted) = (rows(&printed), rows(&wanted));
        assert_eq!(found.len(), wanted.len(), "{job}");
        for (place, (found, wanted)) in found.iter().zip(&wanted).enumerate() {
            assert_eq!(found.len(), ALLOWED.len());
            for ((found, wanted), allowed) in found.iter().zip(wanted).zip(ALLOWED) {
                super::near(&format!("{job}, row {place}"), *found, *wanted, allowed);
            }
        }
    }
}

#[test]
fn the_table_has_as_many_digits_as_the_reference() {
    let out = run(&["rig", "run", "tests/rig/normal.json", "--csv"]);
    let digits = |line: &str| -> Vec<usize> {
        let after = |figure: &str| figure.split_once('.').map_or(0, |(_, places)| places.len());
        line.split(',').map(after).collect()
    };
    let wanted = reference("normal");
    let printed = text(&out.stdout);
    for (found, wanted) in printed.lines().zip(wanted.lines()).skip(1) {
        assert_eq!(digits(found), digits(wanted));
    }
}

#[test]
fn for_people_a_run_is_told_move_by_move() {
    let out = run(&["rig", "run", "tests/rig/leak_left.json"]);
    assert!(out.status.success(), "{}", told(&out));
    assert_snapshot!("rig_run_for_people", text(&out.stdout));
}

/// Runs a timetable of this text.
fn tried(timetable: &str) -> (Option<i32>, String) {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("my.json"), timetable).unwrap();
    let out = run_in(dir.path(), "data", &["rig", "run", "my.json", "--csv"]);
    (out.status.code(), told(&out))
}

const SHORT: &str = r#"{ "format": "levelhand timetable 1", "title": "Short", "truck": "two_bellows",
  "heights": ["190 mm", "200 mm"], "reservoir": "6 bar", "settle": "1 s", "run": "0.25 s",
  "moves": [ { "at": "0.1 s", "raise": "left", "note": "one side" } ] }"#;

#[test]
fn a_run_may_begin_at_heights_with_a_reservoir_and_ends_with_its_last_whole_row() {
    let (code, said) = tried(SHORT);
    assert_eq!(code, Some(0), "{said}");
    let rows = rows(&said);
    let times: Vec<&str> = said.lines().skip(1).map(|row| &row[..3]).collect();
    assert_eq!(times, ["0.0", "0.1", "0.2"]);
    super::near("left", rows[0][1], 190.0, 0.6);
    super::near("right", rows[0][2], 200.0, 0.6);
    super::near("reservoir", rows[0][9], 6.0, 1e-5);
    assert!(
        rows[2][5] > rows[1][5],
        "the left side is filled from 0.1 s on"
    );
    super::near("the right side is not", rows[2][6], rows[1][6], 2e-3);
}

#[test]
fn faults_of_a_timetable_are_all_told_with_place_and_what_is_accepted() {
    let (code, said) = tried(
        r#"{
  "format": "levelhand timetable 1",
  "titel": "Mistakes",
  "title": 7,
  "truck": "two_bellows",
  "changed": { "c_leek": 0.03, "c_leak": [1, 2, 3], "m_f": -5, "play": "4 mm" },
  "heights": ["190 mm", "19 m"],
  "reservoir": 8.5,
  "settle": "2 h",
  "run": "2.0005 s",
  "moves": [
    { "at": "1 s", "raise": "up", "block": ["190 mm"] },
    { "at": "0.5 s", "shop_air": "yes", "stand": ["none", "90 m"] },
    { "raise": "both", "raise": "none" },
    "stop"
  ]
}"#,
    );
    assert_eq!(code, Some(1));
    assert_snapshot!("rig_faulty_timetable", said);
}

#[test]
fn texts_that_are_no_timetable_are_refused_with_what_to_write() {
    let mut all = String::new();
    for timetable in [
        "",
        "{ \"format\": ",
        "[1, 2]",
        "{}",
        r#"{ "format": "levelhand timetable 2" }"#,
        r#"{ "format": "levelhand timetable 1", "title": "T", "truck": "lorry", "run": "1 s", "moves": [] }"#,
        r#"{ "format": "levelhand timetable 1", "title": "T", "truck": "two_bellows", "run": "1 s", "moves": [] }"#,
        r#"{ "format": "levelhand timetable 1", "title": "T", "truck": "two_bellows", "run": "1 s", "moves": [], "state": [1, 2], "settle": "1 s" }"#,
        r#"{ "format": "levelhand timetable 1", "title": "T", "truck": "two_bellows", "run": "1 s", "moves": [], "heights": ["150 mm", "230 mm"] }"#,
        r#"{ "format": "levelhand timetable 1", "title": "T", "truck": "two_bellows", "run": "25 h", "moves": [], "heights": ["190 mm", "190 mm"] }"#,
        r#"{ "format": "levelhand timetable 1", "title": "T", "truck": "two_bellows", "run": "1 s", "moves": [], "state": [1,0,0,0,0,0,0,0,0,1e5,1,1e5,1,1e5,0,0,0,0,0] }"#,
    ] {
        let (code, said) = tried(timetable);
        assert_eq!(code, Some(1), "{timetable}");
        all.extend([timetable, "\n", &said, "\n"]);
    }
    assert_snapshot!("rig_no_timetable", all);
}

#[test]
fn what_is_wrong_is_told_by_check_and_by_the_run_in_the_same_words() {
    let dir = tempfile::tempdir().unwrap();
    let faulty = SHORT.replace("\"6 bar\"", "\"60 bar\"");
    fs::write(dir.path().join("my.json"), &faulty).unwrap();
    fs::write(dir.path().join("good.json"), SHORT).unwrap();
    let said = |args: &[&str]| {
        let out = run_in(dir.path(), "data", args);
        (out.status.code(), text(&out.stdout), text(&out.stderr))
    };
    let (code, counted, checked) = said(&["check", "my.json"]);
    assert_eq!(
        (code, counted.as_str()),
        (Some(1), "my.json: 1 error, no warnings\n")
    );
    assert!(checked.contains("error[out-of-range]"), "{checked}");
    let (code, printed, told) = said(&["rig", "run", "my.json", "--csv"]);
    assert_eq!((code, printed.as_str()), (Some(1), ""));
    assert_eq!(told, checked + &counted);
    let (code, counted, _) = said(&["check", "good.json"]);
    assert_eq!(
        (code, counted.as_str()),
        (Some(0), "good.json: no errors, no warnings\n")
    );
}

#[test]
fn a_move_that_comes_when_the_run_is_over_is_told_beside_the_run() {
    let (code, said) = tried(&SHORT.replace("\"0.25 s\"", "\"0.1 s\""));
    assert_eq!(code, Some(0), "{said}");
    assert!(said.contains("warning[idle-move]"), "{said}");
    assert!(said.contains("the run ends at 0.1 s"), "{said}");
    assert!(said.contains("my.json: no errors, 1 warning"), "{said}");
}

#[test]
fn a_run_takes_the_physics_of_a_truck_that_is_built_in_or_lies_beside_it() {
    let dir = tempfile::tempdir().unwrap();
    let truck = r#"{ "format": "levelhand truck 1", "id": "yard", "title": "our own (invented)",
      "like": "two_bellows_bw_07", "physics": { "raise_left_dm3_per_s_bar": 0.0 } }"#;
    fs::write(dir.path().join("yard.json"), truck).unwrap();
    let last = |truck: &str| {
        let timetable = SHORT.replace("two_bellows", truck);
        fs::write(dir.path().join("my.json"), timetable).unwrap();
        let out = run_in(dir.path(), "data", &["rig", "run", "my.json", "--csv"]);
        assert!(out.status.success(), "{}", told(&out));
        let rows = rows(&text(&out.stdout));
        (rows[1][5], rows[2][5])
    };
    let (before, filled) = last("two_bellows_bw_07");
    assert!(filled > before + 1e-3, "{before} {filled}");
    let (before, shut) = last("yard");
    super::near("its raise valve passes nothing", shut, before, 1e-3);
}

#[test]
fn a_truck_that_runs_away_is_told_and_not_printed() {
    let (code, said) = tried(
        &SHORT
            .replace("\"truck\": \"two_bellows\",", "\"truck\": \"two_bellows\", \"changed\": { \"c_arb\": 5e4, \"c_bump\": 5e4, \"c_reb\": 5e4, \"y_d\": 0.8, \"i_f\": 50, \"i_a\": 50 },")
            .replace("0.25 s", "20 s"),
    );
    assert_eq!(code, Some(1), "{said}");
    assert!(
        said.contains("the truck leaves what the model can follow"),
        "{said}"
    );
    assert!(!said.contains("NaN") && !said.contains("inf"), "{said}");
}

#[test]
fn steering_characters_in_a_timetable_do_not_reach_the_terminal() {
    let (_, said) = tried("{ \"format\": \"\\u001b[2J\", \"\\u001b[2Jx\": 1 }");
    assert!(!said.contains('\u{1b}'), "{said:?}");
}

#[test]
fn symbols_are_listed_with_their_meaning_and_a_slip_is_helped() {
    let out = run(&["rig", "symbols"]);
    assert!(out.status.success());
    let list = text(&out.stdout);
    for symbol in levelhand::rig::SYMBOLS {
        assert!(list.contains(symbol.name) && list.contains(symbol.about.trim()));
    }
    let out = run(&["rig", "symbols", "c_leek"]);
    assert_eq!(out.status.code(), Some(2));
    assert_eq!(
        told(&out),
        "There is no symbol c_leek; did you mean \"c_leak\"?\n"
    );
}

#[test]
fn each_part_of_the_verb_has_help_with_an_example() {
    for args in [
        &["rig", "--help"] as &[&str],
        &["rig", "run", "--help"],
        &["rig", "symbols", "--help"],
    ] {
        let out = run(args);
        assert!(text(&out.stdout).contains("Example:"), "{args:?}");
    }
}
