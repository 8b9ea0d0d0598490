//! The verb as people type it: what is printed, and the exit codes.

use clap::Parser;

use super::*;
use crate::cli::sample::{site, worked};
use crate::job::{Command, Mode};
use crate::journal::exit;
use crate::journal::fault::Memory;
use crate::procedure::ChoiceId;

#[derive(Debug, Parser)]
struct Program {
    #[command(flatten)]
    jobs: Jobs,
}

/// Exit code, output, errors.
fn ran(disk: &Memory, words: &str) -> (u8, String, String) {
    let words = std::iter::once("jobs").chain(words.split_whitespace());
    let program = Program::try_parse_from(words).unwrap();
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let code = at(&program.jobs, &site(disk, 9), &mut out, &mut err);
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (code, text(out), text(err))
}

fn finished(disk: &Memory) -> JobId {
    let mut desk = worked(disk, Mode::Job);
    let choice = ChoiceId::new("aimed").unwrap();
    desk.act(&Command::Choose { choice }).unwrap();
    assert!(desk.state().ended.is_some());
    desk.job().clone()
}

#[test]
fn says_that_there_are_no_jobs_and_makes_nothing() {
    let disk = Memory::new();
    let calls = |disk: &Memory| disk.calls();
    let before = calls(&disk);
    let (code, out, _) = ran(&disk, "list");
    assert_eq!((code, out.as_str()), (exit::OK, "No jobs here yet.\n"));
    assert!(!crate::journal::Storage::exists(&disk, Path::new("/data")).unwrap());
    assert!(calls(&disk) >= before);
}

#[test]
fn lists_practice_apart_from_jobs() {
    let disk = Memory::new();
    finished(&disk);
    worked(&disk, Mode::Practice);
    let (code, out, err) = ran(&disk, "list");
    assert_eq!((code, err.as_str()), (exit::OK, ""));
    insta::assert_snapshot!(out);
}

#[test]
fn shows_a_finished_job() {
    let disk = Memory::new();
    let id = finished(&disk);
    let (code, out, err) = ran(&disk, &format!("show {}", id.short()));
    assert_eq!((code, err.as_str()), (exit::OK, ""));
    insta::assert_snapshot!(out);
    let (code, json, _) = ran(&disk, &format!("show {id} --json"));
    assert_eq!(code, exit::OK);
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["ended"][0], "complete");
    assert_eq!(json["settings"][1]["when"], "as left");
    assert_eq!(json["settings"][1]["value"]["si"], 0.1905);
}

#[test]
fn takes_a_shortened_id_only_where_one_job_has_it() {
    let disk = Memory::new();
    let id = finished(&disk);
    assert_eq!(
        ran(&disk, &format!("show {}", id.short().to_lowercase())).0,
        exit::OK
    );
    assert_eq!(find(&site(&disk, 9), &id.as_str()[..8]).unwrap(), id);
    let (code, out, err) = ran(&disk, "show XXXX");
    assert_eq!((code, out.as_str()), (exit::USAGE, ""));
    assert!(err.contains("XXXX") && err.contains("jobs list"), "{err}");
    crate::cli::desk::Desk::create(
        site(&disk, 3),
        Mode::Job,
        &crate::cli::sample::papers(),
        &crate::cli::sample::open_command(),
    )
    .unwrap();
    let (code, _, err) = ran(&disk, &format!("show {}", &id.as_str()[..8]));
    assert_eq!(code, exit::USAGE);
    assert!(err.contains("could be any of"), "{err}");
}

#[test]
fn verifies_by_id_and_by_path_and_against_a_seal() {
    let disk = Memory::new();
    let id = finished(&disk);
    let (code, out, _) = ran(&disk, &format!("verify {id}"));
    assert_eq!(code, exit::OK, "{out}");
    insta::assert_snapshot!(out);
    let seal = out
        .lines()
        .find_map(|line| line.split_once("seal "))
        .unwrap()
        .1;
    let path = site(&disk, 9).find(&id).unwrap().0.journal();
    let (code, out, _) = ran(&disk, &format!("verify {} --seal {seal}", path.display()));
    assert_eq!(code, exit::OK, "{out}");
    assert!(out.contains("The seal fits."), "{out}");
    let (count, hash) = seal.split_once(':').unwrap();
    let more = format!("{}:{hash}", count.parse::<u64>().unwrap() + 1);
    let (code, out, _) = ran(&disk, &format!("verify {id} --seal {more}"));
    assert_eq!(code, exit::FINDINGS);
    assert!(out.contains("The end was cut off"), "{out}");
}

#[test]
fn a_damaged_record_has_an_exit_code_of_its_own() {
    let disk = Memory::new();
    let id = finished(&disk);
    let path = site(&disk, 9).find(&id).unwrap().0.journal();
    let mut bytes = disk.peek(&path).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    disk.put(&path, &bytes);
    let (code, out, _) = ran(&disk, &format!("verify {id}"));
    assert_eq!(code, exit::DAMAGED);
    assert!(out.contains("DID NOT VERIFY"), "{out}");
    let (code, out, err) = ran(&disk, &format!("show {id}"));
    assert_eq!(code, exit::DAMAGED);
    assert!(
        out.contains("NOT ENDED") && err.contains("damaged"),
        "{err}"
    );
}

#[test]
fn a_file_without_its_documents_is_not_called_good() {
    let disk = Memory::new();
    let id = finished(&disk);
    let path = site(&disk, 9).find(&id).unwrap().0.journal();
    disk.put(
        Path::new("/stick/journal.jsonl"),
        &disk.peek(&path).unwrap(),
    );
    let (code, out, _) = ran(&disk, "verify /stick/journal.jsonl");
    assert_eq!(code, exit::FINDINGS);
    assert!(
        out.contains("procedure.json is not beside the journal"),
        "{out}"
    );
}

#[test]
fn a_record_moved_under_another_name_is_named() {
    let disk = Memory::new();
    let id = finished(&disk);
    let folder = site(&disk, 9).find(&id).unwrap().0;
    let other = JobId::new(1_795_504_502_120, 77).unwrap();
    let there = site(&disk, 9).place().drill(&other);
    disk.put(&there.journal(), &disk.peek(&folder.journal()).unwrap());
    let (code, out, _) = ran(&disk, &format!("verify {other}"));
    assert_eq!(code, exit::FINDINGS);
    assert!(
        out.contains(&format!("it lies in the place of job {other}")),
        "{out}"
    );
    assert!(out.contains("among the jobs and is practice"), "{out}");
}

#[test]
fn the_help_of_verify_says_what_stays_undetectable() {
    let help = Program::try_parse_from(["jobs", "verify", "--help"]).unwrap_err();
    let help = help.to_string();
    assert!(
        help.contains("undetectable") && help.contains("Example:"),
        "{help}"
    );
    let bad = Program::try_parse_from(["jobs", "verify", "7F3K", "--seal", "12:zz"]).unwrap_err();
    assert!(bad.to_string().contains("64 small hex digits"), "{bad}");
}
