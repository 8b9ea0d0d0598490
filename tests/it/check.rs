//! `levelhand check` from outside: what an author is told, as words, as colours and
//! as data, and again when a file is saved.

use std::collections::BTreeSet;
use std::io::{BufRead as _, BufReader, Read as _};
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

use levelhand::document;
use levelhand::finding::draw_all;
use serde_json::Value;

use crate::program::{command, text};

const BASE: &str = include_str!("../documents/valid/base.json");

fn levelhand(args: &[&str]) -> Command {
    let mut command = command(args);
    command.env_remove("NO_COLOR");
    command
}

fn run(args: &[&str]) -> Output {
    levelhand(args).output().unwrap()
}

/// The base with one piece replaced.
fn with(was: &str, now: &str) -> String {
    assert_eq!(BASE.matches(was).count(), 1, "{was}");
    BASE.replace(was, now)
}

/// A file in a directory, by its path.
fn file(dir: &Path, name: &str, text: &str) -> String {
    let path = dir.join(name);
    std::fs::write(&path, text).unwrap();
    path.display().to_string()
}

#[test]
fn five_mistakes_in_one_file_show_five_findings() {
    let out = run(&["check", "tests/documents/invalid/five-mistakes.json"]);
    assert_eq!(out.status.code(), Some(1));
    let told = text(&out.stderr);
    assert_eq!(told.matches("error[").count(), 5, "{told}");
    assert!(text(&out.stdout).contains("five-mistakes.json: 5 errors, no warnings"));
}

#[test]
fn mistakes_in_the_flow_are_told_beside_those_that_the_rules_find() {
    let dir = tempfile::tempdir().unwrap();
    let made = with(
        r#""lasts": "resume", "ask": "Is the key out?""#,
        r#""lasts": "resume""#,
    )
    .replace(
        r#""take": ["leak"], "establishes""#,
        r#""take": ["leak"], "needs": ["at_rest"], "establishes""#,
    )
    .replace(
        r#""confirm": "enter", "settles": ["refit"]"#,
        r#""confirm": "enter""#,
    );
    let out = run(&["check", &file(dir.path(), "mixed.json", &made)]);
    let told = text(&out.stderr);
    for code in [
        "no-question",
        "need-not-held",
        "duty-owed-at-complete",
        "duty-never-settled",
    ] {
        assert!(told.contains(&format!("error[{code}]")), "{code}:\n{told}");
    }
    assert!(
        !text(&out.stdout).contains("Proved"),
        "nothing is proved of a document that the rules refuse"
    );
}

/// What is misspelt, what stood there, what is written, and what was meant.
type Slip = (&'static str, &'static str, &'static str, &'static str);

const SLIPS: &[Slip] = &[
    (
        "a field",
        r#""settles": ["refit"]"#,
        r#""setles": ["refit"]"#,
        "settles",
    ),
    ("a step", r#""fail": "seen""#, r#""fail": "sean""#, "seen"),
    (
        "a stop step",
        r#""title": "Work", "stop": "safe_look""#,
        r#""title": "Work", "stop": "save_look""#,
        "safe_look",
    ),
    (
        "a condition",
        r#""safe": ["chocked"]"#,
        r#""safe": ["choked"]"#,
        "chocked",
    ),
    (
        "an act",
        r#""acts": ["raise"], "confirm""#,
        r#""acts": ["rise"], "confirm""#,
        "raise",
    ),
    (
        "a hazard",
        r#""hazards": ["crush"]"#,
        r#""hazards": ["crash"]"#,
        "crush",
    ),
    (
        "a duty",
        r#""settles": ["refit"]"#,
        r#""settles": ["refti"]"#,
        "refit",
    ),
    (
        "a setting",
        r#""of": "height""#,
        r#""of": "hight""#,
        "height",
    ),
    (
        "a reading",
        r#""take": ["leak"]"#,
        r#""take": ["laek"]"#,
        "leak",
    ),
    (
        "a working",
        r#""work": ["lean"]"#,
        r#""work": ["laen"]"#,
        "lean",
    ),
    (
        "a value in a limit",
        r#""of": "lean""#,
        r#""of": "lena""#,
        "lean",
    ),
    ("a value in a sum", "value:right", "value:rihgt", "right"),
    (
        "a sum",
        r#""sum": "difference""#,
        r#""sum": "diference""#,
        "difference",
    ),
    (
        "a sheet value",
        "sheet:press_gap",
        "sheet:pres_gap",
        "press_gap",
    ),
    (
        "a role",
        r#""with": "gauge""#,
        r#""with": "gague""#,
        "gauge",
    ),
    (
        "a kind",
        r#""gauge, left", "kind": "gauge_pressure""#,
        r#""gauge, left", "kind": "guage_pressure""#,
        "gauge_pressure",
    ),
    ("a fragment", r#""use": "walk""#, r#""use": "wlak""#, "walk"),
    (
        "a signal word",
        r#""signal": "danger""#,
        r#""signal": "dangr""#,
        "danger",
    ),
    (
        "an outcome",
        r#""lapsed": "write""#,
        r#""lapse": "write""#,
        "lapsed",
    ),
    (
        "a unit",
        r#""differ_by_at_most": "3 mm""#,
        r#""differ_by_at_most": "3 mmm""#,
        "mm",
    ),
    (
        "a word for a unit",
        r#""age_at_least": "10 min""#,
        r#""age_at_least": "10 mim""#,
        "min",
    ),
];

#[test]
fn a_slip_in_any_name_is_answered_with_the_near_one() {
    for (what, was, now, near) in SLIPS {
        let loaded = document::procedure("typo.json", with(was, now).as_bytes());
        let told = draw_all(&loaded.placed(), false);
        assert!(
            told.contains(&format!("did you mean {near:?}?"))
                || told.contains(&format!("Did you mean {near}?")),
            "{what}:\n{told}"
        );
    }
}

#[test]
fn a_misspelt_table_is_one_finding_and_not_one_for_every_name_in_it() {
    for (field, slip) in [
        ("conditions", "condition"),
        ("duties", "dutys"),
        ("settings", "setings"),
        ("readings", "reading"),
        ("workings", "working"),
        ("hazards", "hazard"),
        ("acts", "act"),
        ("roles", "role"),
        ("sheet", "sheets"),
    ] {
        let was = format!("  \"{field}\": {{");
        let now = format!("  \"{slip}\": {{");
        let loaded = document::procedure("typo.json", with(&was, &now).as_bytes());
        let told = draw_all(&loaded.placed(), false);
        let errors = loaded.findings.len();
        assert!(
            told.contains(&format!("did you mean {field:?}?")) && errors == 1,
            "{slip}: {errors} findings\n{told}"
        );
    }
}

#[test]
fn the_data_say_what_the_words_say() {
    let dir = tempfile::tempdir().unwrap();
    let made = with(
        r#""take": ["leak"], "establishes""#,
        r#""take": ["leak"], "needs": ["at_rest"], "establishes""#,
    );
    let out = run(&["check", "--json", &file(dir.path(), "need.json", &made)]);
    assert_eq!(out.status.code(), Some(1));
    assert!(out.stderr.is_empty(), "{}", text(&out.stderr));
    let data: Value = serde_json::from_slice(&out.stdout).unwrap();
    assert_eq!(data["format"], "levelhand check 1");
    assert_eq!(data["exit"], 1);
    let report = &data["looked_at"][0];
    let found = report["findings"].as_array().unwrap();
    let errors = found.iter().filter(|f| f["severity"] == "error").count();
    assert!(errors > 0 && data["errors"] == errors, "{data}");
    let need = found.iter().find(|f| f["code"] == "need-not-held").unwrap();
    assert_eq!(need["severity"], "error");
    let line = made
        .lines()
        .position(|l| l.contains("at_rest\"], \"est"))
        .unwrap()
        + 1;
    assert_eq!(need["line"], line);
    let span = |n: usize| need["span"][n].as_u64().unwrap() as usize;
    assert!(made[span(0)..span(1)].contains("needs"), "{need}");
    let path = need["path"].as_array().unwrap();
    assert_eq!(path[0], "Chock the wheels");
    assert_eq!(path.last().unwrap(), "Leak-down");
    assert!(need["help"].as_array().is_some_and(|h| !h.is_empty()));
    assert_eq!(need["used_at"], Value::Null);
    let proved = &report["proved"];
    assert_eq!(
        (&proved["holds"], &proved["duties"]),
        (&false.into(), &1.into())
    );
    let act = &proved["acts"][0];
    assert_eq!(
        (&act["id"], &act["done"][0]["step"]),
        (&"raise".into(), &"lift".into())
    );
    assert_eq!(
        act["done"][0]["protected"],
        serde_json::json!(["front wheels chocked", "nobody underneath"])
    );
}

#[test]
fn the_data_name_both_places_of_a_finding_in_a_fragment_and_files_that_can_t_be_read() {
    let dir = tempfile::tempdir().unwrap();
    let made = with(
        r#""do": "Walk along it.""#,
        r#""do": "Walk along it.", "needs": ["at_rest"]"#,
    );
    let made = file(dir.path(), "fragment.json", &made);
    let out = run(&["check", "--json", &made, "no_such.json"]);
    assert_eq!(out.status.code(), Some(2));
    let data: Value = serde_json::from_slice(&out.stdout).unwrap();
    let found = data["looked_at"][0]["findings"].as_array().unwrap();
    let need = found.iter().find(|f| f["code"] == "need-not-held").unwrap();
    let used = need["used_at"]["line"].as_u64().unwrap();
    assert!(used > need["line"].as_u64().unwrap(), "{need}");
    let unread = data["looked_at"][1]["unread"].as_str().unwrap();
    assert!(unread.contains("no_such.json can't be read"), "{unread}");
}

#[test]
fn names_in_a_rehearsal_are_held_against_its_procedure() {
    let home = Path::new(env!("CARGO_MANIFEST_DIR"));
    let from = home.join("procedures/rehearsals/rh_normal_bw_07.json");
    let script = std::fs::read_to_string(from).unwrap();
    let good = run(&["check", "procedures/rehearsals/rh_normal_bw_07.json"]);
    assert_eq!(good.status.code(), Some(0), "{}", text(&good.stderr));
    let dir = tempfile::tempdir().unwrap();
    let (before, after) = script.split_once("\"moves\": [").unwrap();
    let first = r#"{ "at": "chock_wheels_x", "expect": { "not_true": ["levelling_stoped"], "owed": ["no_such_duty"],
        "verdicts": {"limit 9": "within"} } },"#;
    let made = format!("{before}\"moves\": [ {first} {after}");
    let path = file(dir.path(), "slip.json", &made);
    for files in [
        vec!["check", &path],
        vec!["check", &path, "procedures/ride_height.json"],
    ] {
        let out = run(&files);
        assert_eq!(out.status.code(), Some(1));
        let told = text(&out.stderr);
        for part in [
            "no step is called \"chock_wheels_x\"",
            "no condition is called \"levelling_stoped\"",
            "did you mean \"levelling_stopped\"?",
            "no duty is called \"no_such_duty\"",
        ] {
            assert!(told.contains(part), "{part}:\n{told}");
        }
    }
}

/// What is said of a rehearsal of the small job with these moves.
fn of_moves(moves: &str) -> String {
    let script = format!(
        r#"{{"format": "levelhand rehearsal 1", "id": "r", "title": "R", "procedure": "small_job",
        "sheet": "small_sheet", "instruments": "small_bench", "end": "done", "moves": [{moves}]}}"#
    );
    let dir = tempfile::tempdir().unwrap();
    let path = file(dir.path(), "r.json", &script);
    let out = run(&["check", &path, "tests/shop/small_job.json"]);
    let told = text(&out.stderr);
    assert_eq!(out.status.code(), Some(1), "{told}");
    told
}

#[test]
fn ticks_choices_and_limits_in_a_rehearsal_are_those_of_its_step() {
    let told = of_moves(
        r#"
        { "at": "chock", "ticks": { "left": "yes", "rigth": "yes", "who": "yes" }, "confirm": "enter",
          "override": { "limit 1": "no limit stands here" } },
        { "at": "read_supply", "read": { "supply": "8.0 bar" }, "expect": { "verdicts": { "limit 2": "within" } } },
        { "at": "safe_look", "choose": "dwon" }"#,
    );
    for part in [
        "the step chock has no tick \"rigth\"",
        "did you mean \"right\"?",
        "the step chock has no \"limit 1\"; it has no limits",
        "the step read_supply has no \"limit 2\"; it has one limit, \"limit 1\"",
        "the step safe_look has no choice \"dwon\"",
        "did you mean \"down\"?",
    ] {
        assert!(told.contains(part), "{part}:\n{told}");
    }
    assert_eq!(told.matches("error[").count(), 4, "{told}");
}

#[test]
fn what_is_overridden_in_a_rehearsal_is_a_limit_by_its_number() {
    let told =
        of_moves(r#"{ "at": "read_supply", "override": { "limit 0": "none", "second": "none" } }"#);
    for part in [
        "\"limit 0\" is no limit; write \"limit 1\"",
        "\"second\" is no limit; write \"limit 1\"",
    ] {
        assert!(told.contains(part), "{part}:\n{told}");
    }
    assert_eq!(told.matches("error[").count(), 2, "{told}");
}

#[test]
fn a_rehearsal_whose_procedure_is_not_there_is_said_to_be_unheld() {
    let dir = tempfile::tempdir().unwrap();
    let script = r#"{"format": "levelhand rehearsal 1", "id": "r", "title": "R", "procedure": "nowhere",
        "sheet": "s", "instruments": "i", "end": "done", "moves": []}"#;
    let out = run(&["check", &file(dir.path(), "r.json", script)]);
    let told = text(&out.stderr);
    assert!(told.contains("the procedure nowhere is not here"), "{told}");
    assert_eq!(out.status.code(), Some(0));
}

#[test]
fn without_a_terminal_no_colour_is_printed_even_if_asked_for() {
    let out = run(&[
        "--color",
        "16",
        "check",
        "tests/documents/invalid/empty.json",
    ]);
    assert!(!out.stderr.contains(&0x1b) && !out.stderr.is_empty());
}

/// What the program says on a terminal of its own.
#[cfg(unix)]
fn on_a_terminal(args: &[&str]) -> String {
    use portable_pty::{CommandBuilder, PtySize, native_pty_system};
    let pair = native_pty_system().openpty(PtySize::default()).unwrap();
    let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_levelhand"));
    command.cwd(env!("CARGO_MANIFEST_DIR"));
    command.env_remove("NO_COLOR");
    command.args(args);
    let mut child = pair.slave.spawn_command(command).unwrap();
    drop(pair.slave);
    let mut reader = pair.master.try_clone_reader().unwrap();
    let mut said = Vec::new();
    // On some systems the end of a terminal is an error; what was said stays.
    let _ended = reader.read_to_end(&mut said);
    child.wait().unwrap();
    text(&said)
}

#[cfg(unix)]
#[test]
fn on_a_terminal_findings_are_in_colour_unless_none_is_wanted() {
    let document = "tests/documents/invalid/empty.json";
    let said = on_a_terminal(&["check", document]);
    assert!(
        said.contains("\u{1b}[1m\u{1b}[91merror") || said.contains("\u{1b}[91m"),
        "{said:?}"
    );
    let said = on_a_terminal(&["--color", "never", "check", document]);
    assert!(
        said.contains("error[empty]") && !said.contains('\u{1b}'),
        "{said:?}"
    );
}

/// The program watching, and the lines that it says.
struct Watching {
    child: Child,
    lines: Receiver<String>,
}

impl Watching {
    fn of(path: &str) -> Self {
        let mut command = levelhand(&["check", "--watch", path]);
        let mut child = command
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let out = child.stdout.take().unwrap();
        let (send, lines) = channel();
        std::thread::spawn(move || {
            for line in BufReader::new(out).lines().map_while(Result::ok) {
                if send.send(line).is_err() {
                    break;
                }
            }
        });
        Self { child, lines }
    }

    /// The next line with the counts of the file.
    fn counts(&self) -> String {
        loop {
            let line = self.lines.recv_timeout(Duration::from_secs(120));
            let line = line.expect("the program looks again");
            if line.contains(" errors, ") || line.contains(" error, ") {
                return line;
            }
        }
    }
}

impl Drop for Watching {
    fn drop(&mut self) {
        let _gone = self.child.kill();
        let _gone = self.child.wait();
    }
}

#[test]
fn a_saved_file_is_looked_at_again_also_when_an_editor_puts_a_new_one_in_its_place() {
    let dir = tempfile::tempdir().unwrap();
    let path = file(dir.path(), "watched.json", BASE);
    let watching = Watching::of(&path);
    // The base reads well; that its flow has faults is told each time alike.
    let first = watching.counts();
    assert!(first.contains("watched.json: 3 errors"), "{first}");
    let faulty = with(r#""safe": ["chocked"]"#, r#""safe": ["choked"]"#);
    std::fs::write(&path, &faulty).unwrap();
    let line = watching.counts();
    assert!(line.contains("1 error,"), "{line}");
    // As many editors save: the old file away, a new one put in its place.
    std::fs::rename(&path, dir.path().join("watched.json~")).unwrap();
    let new = file(dir.path(), "new.json", &format!("{BASE}\n"));
    std::fs::rename(new, &path).unwrap();
    assert_eq!(watching.counts(), first);
}

#[test]
fn watching_as_data_ends_once_nobody_listens() {
    let dir = tempfile::tempdir().unwrap();
    let path = file(dir.path(), "watched.json", BASE);
    let mut command = levelhand(&["check", "--watch", "--json", &path]);
    command.stdout(Stdio::piped()).stderr(Stdio::null());
    let mut child = command.spawn().unwrap();
    let mut first = String::new();
    let mut out = BufReader::new(child.stdout.take().unwrap());
    out.read_line(&mut first).unwrap();
    let data: Value = serde_json::from_str(&first).unwrap();
    assert_eq!(data["exit"], 1);
    drop(out);
    std::fs::write(&path, format!("{BASE}\n")).unwrap();
    let id = child.id();
    let (send, ended) = channel();
    std::thread::spawn(move || send.send(child.wait().unwrap()));
    let ended = ended.recv_timeout(Duration::from_secs(120));
    let ended = ended.unwrap_or_else(|_| panic!("{id} watches on with nobody there"));
    assert_eq!(ended.code(), Some(0));
}

/// One document for each exit code, each with other findings; a fragment's among them.
fn of_each_exit_code(dir: &Path) -> [(i32, String); 5] {
    let need = with(
        r#""take": ["leak"], "establishes""#,
        r#""take": ["leak"], "needs": ["at_rest"], "establishes""#,
    );
    let fragment = with(
        r#""do": "Walk along it.""#,
        r#""do": "Walk along it.", "needs": ["at_rest"]"#,
    );
    [
        (0, "procedures/ride_height.json".to_owned()),
        (1, file(dir, "need.json", &need)),
        (1, file(dir, "fragment.json", &fragment)),
        (1, "tests/documents/invalid/empty.json".to_owned()),
        (2, "no_such.json".to_owned()),
    ]
}

#[test]
fn every_exit_code_and_every_field_of_the_data_is_in_the_help() {
    let help = text(&run(&["check", "--help"]).stdout);
    for word in ["Exit codes: 0", "1 errors", "2 a file can't be read"] {
        assert!(help.contains(word), "{word}:\n{help}");
    }
    let dir = tempfile::tempdir().unwrap();
    let mut fields = BTreeSet::new();
    let mut codes = BTreeSet::new();
    for (code, path) in of_each_exit_code(dir.path()) {
        let told = run(&["check", &path]);
        assert_eq!(told.status.code(), Some(code), "{path}");
        let out = run(&["check", "--json", &path]);
        assert_eq!(out.status.code(), Some(code), "{path}, as data");
        let data: Value = serde_json::from_slice(&out.stdout).unwrap();
        assert_eq!(data["exit"], code, "{path}: {data}");
        names(&data, &mut fields);
        codes.insert(code);
    }
    assert_eq!(codes, BTreeSet::from([0, 1, 2]));
    assert!(fields.contains("used_at") && fields.contains("severity"));
    for field in fields {
        assert!(help.contains(&field), "{field}:\n{help}");
    }
}

fn names(data: &Value, into: &mut BTreeSet<String>) {
    match data {
        Value::Object(members) => {
            for (key, value) in members {
                into.insert(key.clone());
                names(value, into);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| names(item, into)),
        _ => {}
    }
}
