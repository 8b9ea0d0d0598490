//! A desk tried on a disk in memory: every cut end, every flipped bit, every
//! edit that re-chains.

use std::path::PathBuf;

use super::*;
use crate::cli::sample::{
    begun, commands, entry, hold, open_command, papers, person, read, site, worked, yes,
};
use crate::job::{Correction, Mode, Place, replay};
use crate::journal::fault::{Memory, Upset};
use crate::journal::{Digest, Disagreement, Told};
use crate::procedure::{ChoiceId, ConditionId, DutyId, ValueId};
use crate::record::{Exhibit, Flaw, Report, Seal, page, verify};

fn ann() -> crate::job::Person {
    person("Ann Lee")
}

fn journal(desk: &Desk) -> PathBuf {
    desk.site.find(desk.job()).unwrap().0.journal()
}

/// A job at its last look, closed, with the bytes of its journal.
fn closed(disk: &Memory) -> (JobId, PathBuf, Vec<u8>) {
    let desk = worked(disk, Mode::Job);
    let (id, path) = (desk.job().clone(), journal(&desk));
    drop(desk);
    let bytes = disk.peek(&path).unwrap();
    (id, path, bytes)
}

/// The entries of a job on that disk.
fn told(disk: &Memory, id: &JobId) -> Vec<Told> {
    Desk::read_all(site(disk, 2), id).unwrap().1
}

fn check(journal: &[u8], seal: Option<Seal>) -> Report {
    let papers = papers();
    let files = [&papers.procedure, &papers.sheet, &papers.instruments].map(Vec::as_slice);
    verify(&Exhibit {
        journal,
        stands: None,
        documents: [
            (PROCEDURE, Some(files[0])),
            (SHEET, Some(files[1])),
            (INSTRUMENTS, Some(files[2])),
        ],
        load: &|mode| load(&papers, mode),
        program: "9.9.9-test",
        seal,
    })
}

/// Lines chained anew after `edit` changed their text and perhaps their number.
fn rechained(bytes: &[u8], edit: impl Fn(usize, &str) -> Option<String>) -> Vec<u8> {
    let text = String::from_utf8(bytes.to_vec()).unwrap();
    let mut prev = Digest::NOTHING;
    let mut out = String::new();
    let kept = text
        .lines()
        .enumerate()
        .filter_map(|(at, line)| edit(at, line));
    for (seq, line) in kept.enumerate() {
        let (_, rest) = line.split_once(",\"at\":").unwrap();
        let (body, _) = rest.split_once(",\"prev\":").unwrap();
        let body = format!(r#"{{"v":1,"seq":{seq},"at":{body},"prev":"{prev}""#);
        prev = Digest::of(body.as_bytes());
        out.push_str(&body);
        out.push_str(",\"h\":\"");
        out.push_str(&prev.to_string());
        out.push_str("\"}\n");
    }
    out.into_bytes()
}

#[test]
fn a_job_goes_from_its_opening_to_its_end() {
    let disk = Memory::new();
    let mut desk = worked(&disk, Mode::Job);
    assert_eq!(desk.state().step().unwrap().as_str(), "lamps_now");
    let choice = ChoiceId::new("later").unwrap();
    desk.act(&Command::Choose { choice }).unwrap();
    let duty = DutyId::new("lamps").unwrap();
    let to = person("Cy Fox");
    desk.act(&Command::HandOver { duty, to }).unwrap();
    assert!(desk.state().ended.is_some());
    let id = desk.job().clone();
    let again = Desk::open(site(&disk, 2), &id, &ann()).unwrap();
    assert_eq!(again.read_only(), Some(&ReadOnly::Over));
    assert_eq!(again.state(), desk.state());
    let all = told(&disk, &id);
    let folded = replay(all.iter().flat_map(|told| &told.events));
    assert_eq!(
        (folded.place, folded.ended),
        (
            Place::In(again.state().step().unwrap().clone()),
            again.state().ended
        )
    );
}

#[test]
fn nothing_is_made_when_the_engine_or_the_documents_say_no() {
    let disk = Memory::new();
    let mut wrong = papers();
    wrong.sheet = b"{}".to_vec();
    let error = Desk::create(site(&disk, 1), Mode::Job, &wrong, &open_command()).unwrap_err();
    assert!(matches!(error, DeskError::Document { .. }), "{error}");
    assert!(error.to_string().contains("sheet.json:1:1"), "{error}");
    let Command::Open {
        by,
        with,
        why,
        system,
        earlier,
        ..
    } = open_command()
    else {
        unreachable!()
    };
    let roles = [(
        crate::procedure::RoleId::new("tape").unwrap(),
        crate::procedure::InstrumentId::new("yardstick").unwrap(),
    )];
    let open = Command::Open {
        by,
        with,
        why,
        roles: roles.into(),
        system,
        earlier,
    };
    let error = Desk::create(site(&disk, 1), Mode::Job, &papers(), &open).unwrap_err();
    assert!(matches!(error, DeskError::Refused(_)), "{error}");
    assert_eq!(disk.calls(), 0);
}

#[test]
fn a_job_cut_anywhere_resumes_at_its_last_whole_entry_or_is_no_job() {
    let disk = Memory::new();
    let (id, path, bytes) = closed(&disk);
    let whole = check(&bytes, None);
    assert!(whole.is_good(), "{:?}", whole.flaws);
    let full = told(&disk, &id);
    let ends: Vec<usize> = (0..bytes.len()).filter(|at| bytes[*at] == b'\n').collect();
    for cut in 0..=bytes.len() {
        // A line that lacks only its newline is whole.
        let lines = ends.iter().filter(|end| **end <= cut).count();
        let from = if lines == 0 {
            0
        } else {
            (ends[lines - 1] + 1).min(cut)
        };
        let torn = cut - from;
        let disk = disk.copy();
        disk.put(&path, &bytes[..cut]);
        let opened = Desk::open(site(&disk, 2), &id, &ann());
        if lines == 0 {
            let error = opened.unwrap_err();
            assert!(
                matches!(error, DeskError::Failed(Failure::NoJob { .. })),
                "{cut}: {error}"
            );
            assert_eq!(disk.peek(&path).unwrap(), &bytes[..cut], "left as it was");
            continue;
        }
        let desk = opened.unwrap_or_else(|error| panic!("{cut}: {error}"));
        assert_eq!(desk.read_only(), None, "{cut}");
        let found = told(&disk, &id);
        assert_eq!(found[..lines], full[..lines], "{cut}");
        let removed: Vec<u64> = desk
            .news()
            .removed
            .iter()
            .map(|removed| removed.len)
            .collect();
        let expected: Vec<u64> = (torn > 0).then_some(torn as u64).into_iter().collect();
        assert_eq!(removed, expected, "{cut}");
        let more = usize::from(torn > 0) + 1;
        assert_eq!(found.len(), lines + more, "{cut}");
        assert_eq!(desk.head().count, found.len() as u64, "{cut}");
        drop(desk);
        let left = disk.peek(&path).unwrap();
        assert!(
            left.starts_with(&bytes[..from]),
            "{cut}: nothing confirmed was touched"
        );
        assert!(check(&left, None).is_good(), "{cut}");
    }
}

#[test]
fn a_flipped_bit_is_found_wherever_it_is() {
    let disk = Memory::new();
    let (_, _, bytes) = closed(&disk);
    let last = bytes[..bytes.len() - 1]
        .iter()
        .rposition(|byte| *byte == b'\n')
        .unwrap()
        + 1;
    for at in 0..bytes.len() {
        let mut altered = bytes.clone();
        altered[at] ^= 1 << (at % 8);
        let report = check(&altered, None);
        assert!(!report.is_good(), "byte {at}");
        let torn = report
            .flaws
            .iter()
            .any(|flaw| matches!(flaw, Flaw::Torn { .. }));
        // Only in the last line can it look like a power cut.
        assert_eq!(torn, at >= last, "byte {at}: {:?}", report.flaws);
    }
}

/// Each edit is chained anew, so that the chain itself shows nothing.
#[test]
#[expect(clippy::too_many_lines, reason = "a list of edits")]
fn an_edit_that_rechains_is_found_by_deciding_again() {
    let disk = Memory::new();
    let (id, path, bytes) = closed(&disk);
    let replaced = |entry: usize, from: &'static str, to: &'static str| {
        rechained(&bytes, move |at, line| {
            assert!(at != entry || line.contains(from), "{line}");
            Some(if at == entry {
                line.replace(from, to)
            } else {
                line.to_owned()
            })
        })
    };
    let left_out = |entry: usize| {
        rechained(&bytes, move |at, line| {
            (at != entry).then(|| line.to_owned())
        })
    };
    let edits = [
        ("a reading's value, in what came of it only", 9, {
            let text = String::from_utf8(bytes.clone()).unwrap();
            let line = text.lines().nth(9).unwrap();
            let events = line.split_once("\"ev\":").unwrap().1;
            assert!(events.contains("0.1905"));
            rechained(&bytes, |at, line| {
                let (head, events) = line.split_once("\"ev\":").unwrap();
                let events = if at == 9 {
                    events.replacen("0.1905", "0.1925", 1)
                } else {
                    events.to_owned()
                };
                Some(format!("{head}\"ev\":{events}"))
            })
        }),
        (
            "a reading's value, everywhere in its entry",
            9,
            replaced(9, "0.1905", "0.1985"),
        ),
        (
            "a verdict",
            9,
            replaced(9, "\"verdict\":\"within\"", "\"verdict\":\"outside\""),
        ),
        (
            "a condition that nothing made true",
            3,
            replaced(
                3,
                "\"established\":[\"chocked\",\"clear\"]",
                "\"established\":[\"called\",\"chocked\",\"clear\"]",
            ),
        ),
        ("an answer left out", 2, left_out(1)),
        ("the hold left out", 6, left_out(6)),
        (
            "a hold made shorter",
            6,
            replaced(6, "\"held_ms\":2600", "\"held_ms\":100"),
        ),
        (
            "another signature",
            5,
            replaced(5, "\"by\":\"Ann Lee\"", "\"by\":\"Bo Day\""),
        ),
    ];
    for (what, entry, altered) in edits {
        assert!(
            crate::journal::read(&altered).is_ok(),
            "{what}: the chain is whole"
        );
        let report = check(&altered, None);
        assert!(
            report
                .flaws
                .iter()
                .any(|flaw| matches!(flaw, Flaw::Differs(difference) if difference.entry <= entry)),
            "{what}: {:?}",
            report.flaws
        );
        disk.put(&path, &altered);
        let desk = Desk::open(site(&disk, 2), &id, &ann()).unwrap();
        assert_eq!(desk.read_only(), Some(&ReadOnly::Differs), "{what}");
        assert_eq!(disk.peek(&path).unwrap(), altered, "{what}: only read");
        drop(desk);
    }
}

#[test]
fn a_clock_that_runs_back_within_a_session_is_named() {
    let disk = Memory::new();
    let (_, _, bytes) = closed(&disk);
    let altered = rechained(&bytes, |at, line| {
        let (head, rest) = line.split_once("\"mono_ms\":").unwrap();
        let (_, rest) = rest.split_once(',').unwrap();
        Some(if at == 4 {
            format!("{head}\"mono_ms\":1,{rest}")
        } else {
            line.to_owned()
        })
    });
    let report = check(&altered, None);
    assert!(report.flaws.iter().any(|flaw| matches!(
        flaw,
        Flaw::Differs(difference) if difference.entry == 4 && difference.what == Disagreement::Clock
    )), "{:?}", report.flaws);
}

/// A whole record written anew with the program is consistent in itself: only
/// the printed seal shows it.
#[test]
fn a_record_written_anew_shows_only_against_the_printed_seal() {
    let disk = Memory::new();
    let desk = worked(&disk, Mode::Job);
    let printed = Seal(desk.head());
    let elsewhere = Memory::new();
    let mut forged = begun(&elsewhere, Mode::Job);
    for command in commands() {
        let left = matches!(&command, Command::Read { reading, .. } if reading.as_str() == "left");
        let command = if left { read("left", 191.0) } else { command };
        forged.act(&command).unwrap();
    }
    let bytes = elsewhere.peek(&journal(&forged)).unwrap();
    assert!(check(&bytes, None).is_good());
    let report = check(&bytes, Some(printed));
    assert_eq!(report.flaws, [Flaw::OtherSeal { count: 11 }]);
    let own = disk.peek(&journal(&desk)).unwrap();
    let report = check(&own, Some(printed));
    assert!(report.is_good() && report.sealed);
}

#[test]
fn a_cut_end_shows_only_against_the_printed_seal() {
    let disk = Memory::new();
    let desk = worked(&disk, Mode::Job);
    let (printed, bytes) = (Seal(desk.head()), disk.peek(&journal(&desk)).unwrap());
    let last = bytes[..bytes.len() - 1]
        .iter()
        .rposition(|byte| *byte == b'\n')
        .unwrap()
        + 1;
    assert!(check(&bytes[..last], None).is_good());
    let report = check(&bytes[..last], Some(printed));
    assert_eq!(
        report.flaws,
        [Flaw::CutOff {
            sealed: 11,
            found: 10
        }]
    );
}

#[test]
fn another_document_than_the_pinned_one_is_named() {
    let disk = Memory::new();
    let desk = worked(&disk, Mode::Job);
    let id = desk.job().clone();
    let (folder, _) = desk.site.find(&id).unwrap();
    drop(desk);
    let name = crate::journal::FileName::parse(SHEET).unwrap();
    let altered = String::from_utf8(papers().sheet)
        .unwrap()
        .replace("190 mm", "191 mm");
    disk.put(&folder.document(&name), altered.as_bytes());
    let error = Desk::open(site(&disk, 2), &id, &ann()).unwrap_err();
    assert!(
        matches!(error, DeskError::OtherDocument { name: SHEET, .. }),
        "{error}"
    );
}

#[test]
fn a_second_program_is_told_who_holds_the_job_and_may_read_it() {
    let disk = Memory::new();
    let desk = worked(&disk, Mode::Job);
    let error = Desk::open(site(&disk, 2), desk.job(), &person("Bo Day")).unwrap_err();
    assert!(error.to_string().contains("Ann Lee"), "{error}");
    assert_eq!(error.exit_code(), crate::journal::exit::HELD);
    let reader = Desk::read(site(&disk, 2), desk.job()).unwrap();
    assert_eq!(reader.state(), desk.state());
}

#[test]
fn a_failed_sync_is_final_and_leaves_the_state_as_confirmed() {
    let disk = Memory::new();
    let mut desk = begun(&disk, Mode::Job);
    let before = desk.state().clone();
    disk.upset_after(1, Upset::Device);
    let error = desk.act(&yes("chocks")).unwrap_err();
    assert!(
        matches!(error, DeskError::Failed(Failure::NotSafe { .. })),
        "{error}"
    );
    assert_eq!(desk.state(), &before);
    let error = desk.act(&Command::CallStop).unwrap_err();
    assert!(
        matches!(error, DeskError::Failed(Failure::NotSafe { .. })),
        "{error}"
    );
}

#[test]
fn a_command_given_in_halves_has_not_happened_before_it_is_durable() {
    let disk = Memory::new();
    let mut desk = begun(&disk, Mode::Job);
    let prepared = desk.prepare(&yes("chocks")).unwrap();
    let head = desk.writer().unwrap().append(&prepared.draft).unwrap();
    assert!(desk.state().current().ticks.is_empty());
    desk.commit(&prepared, head);
    assert_eq!(desk.state().current().ticks.len(), 1);
    desk.act(&yes("both")).unwrap_err();
    let (id, head, state) = (desk.job().clone(), desk.head(), desk.state().clone());
    drop(desk);
    let (again, told) = Desk::read_all(site(&disk, 2), &id).unwrap();
    assert_eq!((again.head(), again.state()), (head, &state));
    let last = told.last().unwrap();
    assert_eq!((told.len() as u64, &last.command), (2, &yes("chocks")));
    assert_eq!(last.events, prepared.events);
}

/// The screen decides on the state that is on disk, and the desk keeps it.
#[test]
fn an_entry_decided_elsewhere_is_the_one_the_desk_would_have_made() {
    let disk = Memory::new();
    let mut desk = begun(&disk, Mode::Job);
    for command in commands() {
        let at = desk.at();
        let events = decide(desk.setup(), desk.state(), &command, at).unwrap();
        desk.keep(&command, events, at).unwrap();
    }
    let bytes = disk.peek(&journal(&desk)).unwrap();
    assert!(check(&bytes, Some(Seal(desk.head()))).is_good());
    let (id, state) = (desk.job().clone(), desk.state().clone());
    drop(desk);
    let mut again = Desk::read(site(&disk, 2), &id).unwrap();
    assert_eq!(again.state(), &state);
    let note = Command::Note {
        text: "no".to_owned(),
    };
    let kept = again.keep(&note, Vec::new(), again.at());
    assert!(matches!(kept, Err(DeskError::ReadOnly(ReadOnly::Asked))));
}

#[test]
fn what_must_be_looked_at_again_is_asked_after_every_opening() {
    let disk = Memory::new();
    let mut desk = begun(&disk, Mode::Job);
    for command in &commands()[..6] {
        desk.act(command).unwrap();
    }
    assert_eq!(desk.state().step().unwrap().as_str(), "set");
    let id = desk.job().clone();
    drop(desk);
    let mut desk = Desk::open(site(&disk, 2), &id, &ann()).unwrap();
    desk.act(&yes("still")).unwrap();
    let error = desk.act(&hold()).unwrap_err();
    assert!(
        error.to_string().contains("both sides answered clear"),
        "{error}"
    );
}

/// The engine sees from the entries' instants when the wall clock goes back, and
/// so does whoever reads the job later.
#[test]
fn the_last_instant_is_part_of_the_fold() {
    let disk = Memory::new();
    let desk = worked(&disk, Mode::Job);
    let last = told(&disk, desk.job()).last().unwrap().at;
    assert_eq!(desk.state().last, Some(last));
    assert_eq!(
        Desk::read(site(&disk, 2), desk.job()).unwrap().state().last,
        Some(last)
    );
}

#[test]
fn the_status_sheet_stands_beside_the_journal_and_leads_to_safety() {
    let disk = Memory::new();
    let mut desk = begun(&disk, Mode::Job);
    for command in &commands()[..6] {
        desk.act(command).unwrap();
    }
    let (folder, _) = desk.site.find(desk.job()).unwrap();
    let sheet = String::from_utf8(disk.peek(&folder.status()).unwrap()).unwrap();
    assert_eq!(sheet, desk.status_sheet());
    // An open desk has no entries at hand; the sheet must not miss them.
    let (read, told) = Desk::read_all(site(&disk, 2), desk.job()).unwrap();
    let account = Account {
        agreement: None,
        ..read.account(&told)
    };
    assert_eq!(sheet, status_sheet(&account));
    assert!(desk.sheet_trouble().is_none());
    insta::assert_snapshot!(sheet);
}

#[test]
fn the_page_of_a_drill_says_practice_on_every_page() {
    let disk = Memory::new();
    let mut desk = worked(&disk, Mode::Practice);
    for number in 0..80 {
        let text = format!("remark {number}");
        desk.act(&Command::Note { text }).unwrap();
    }
    let page = page(&desk.account(&told(&disk, desk.job())));
    let tops: Vec<&str> = page
        .lines()
        .filter(|line| line.contains("· page "))
        .collect();
    assert!(tops.len() > 2, "{page}");
    assert!(
        tops.iter().all(|top| top.starts_with("PRACTICE")),
        "{tops:?}"
    );
    assert!(desk.status_sheet().starts_with("PRACTICE"));
}

#[test]
fn the_page_of_a_job_shows_both_values_of_a_correction() {
    let disk = Memory::new();
    let mut desk = worked(&disk, Mode::Job);
    desk.act(&Command::CallStop).unwrap();
    desk.act(&Command::CarryOn).unwrap();
    desk.act(&Command::Correct {
        what: Correction::Reading {
            reading: ValueId::new("found").unwrap(),
            entry: entry(182.5),
        },
        reason: "read at the wrong mark \u{1b}[31m\u{202e}".to_owned(),
    })
    .unwrap();
    let choice = ChoiceId::new("later").unwrap();
    desk.act(&Command::Choose { choice }).unwrap();
    // Carrying on is a resume: at the door of the end this is asked again.
    let condition = ConditionId::new("clear").unwrap();
    desk.act(&Command::Attest {
        condition,
        entry: None,
    })
    .unwrap();
    let duty = DutyId::new("lamps").unwrap();
    let to = person("Cy Fox");
    desk.act(&Command::HandOver { duty, to }).unwrap();
    let told = told(&disk, desk.job());
    let page = page(&desk.account(&told));
    assert!(page.chars().all(|c| c == '\n' || !c.is_control()));
    insta::assert_snapshot!(page);
    let data = crate::record::data(&desk.account(&told));
    let json: serde_json::Value = serde_json::from_str(&data).unwrap();
    assert_eq!(json["mode"], "JOB");
    assert_eq!(json["owed"][0]["to"], "Cy Fox");
    assert!(data.chars().all(|c| c == '\n' || !c.is_control()));
}

/// The journal of another version, with the working `change` moved by a share of itself.
fn moved(bytes: &[u8], program: &str, share: f64) -> Vec<u8> {
    rechained(bytes, |at, line| {
        let line = line.replace("9.9.9-test", program);
        if at != 9 {
            return Some(line);
        }
        let (head, rest) = line
            .split_once(r#"{"worked":{"working":"change","taken":{"m":{"k":"length","si":"#)
            .unwrap();
        let (number, rest) = rest.split_once(',').unwrap();
        let number = number.parse::<f64>().unwrap() * (1.0 + share);
        Some(format!(
            r#"{head}{{"worked":{{"working":"change","taken":{{"m":{{"k":"length","si":{number},{rest}"#
        ))
    })
}

#[test]
fn the_last_digits_of_another_versions_workings_are_let_go_and_counted() {
    let disk = Memory::new();
    let (_, _, bytes) = closed(&disk);
    let tried = |program, share| {
        let report = check(&moved(&bytes, program, share), None);
        (report.is_good(), report.near)
    };
    assert_eq!(tried("9.9.9-test", 0.0), (true, 0));
    assert_eq!(tried("0.0.1", 0.0), (true, 0));
    // Entry 9 works it out; entry 10 would do so again.
    assert_eq!(tried("0.0.1", 1e-12), (true, 2));
    assert_eq!(tried("0.0.1", 1e-5), (false, 0));
    assert_eq!(tried("9.9.9-test", 1e-12), (false, 0));
}

/// Two sessions' clocks are never compared, so a new one takes no number that an
/// entry has, not even one from long before.
#[test]
fn a_new_session_has_a_number_that_no_entry_has() {
    let disk = Memory::new();
    let mut desk = begun(&disk, Mode::Job);
    let id = desk.job().clone();
    let mut seen = BTreeSet::from([desk.session()]);
    for _ in 0..3 {
        drop(desk);
        // The same chance each time, as badly as it can be drawn.
        desk = Desk::open(site(&disk, 1), &id, &ann()).unwrap();
        assert!(seen.insert(desk.session()), "{seen:?}");
    }
}
