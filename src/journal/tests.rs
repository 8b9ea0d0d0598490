//! The journal tried: what its bytes are, what the chain shows and what it
//! cannot show; in `crash`, every way in which a disk can fail it.

mod crash;
mod long;

use std::path::Path;

use proptest::prelude::*;
use serde_json::value::RawValue;

use super::fault::Memory;
use super::*;

fn json(text: &str) -> Box<RawValue> {
    RawValue::from_string(text.to_owned()).unwrap()
}

/// A plain entry, told from the others by its number.
fn draft(number: u64) -> Draft {
    Draft {
        at: Stamp {
            wall_ms: 1_795_504_502_120 + number.cast_signed() * 1500,
            offset_min: 60,
            mono_ms: 42 + number * 1500,
        },
        session: 7,
        dir: DirId::parse("7F3K9QXM").unwrap(),
        by: "A. Nother".to_owned(),
        command: json(&format!(r#"{{"read":{{"n":{number}}}}}"#)),
        events: json(&format!(r#"[{{"value":{number}.5}}]"#)),
    }
}

/// The lines of a journal of these drafts.
fn lines(drafts: &[Draft]) -> Vec<String> {
    let mut prev = Digest::NOTHING;
    let seal = |(seq, draft): (usize, &Draft)| {
        let (line, hash) = Entry::new(seq as u64, draft).line(prev).unwrap();
        prev = hash;
        line
    };
    drafts.iter().enumerate().map(seal).collect()
}

fn plain(count: u64) -> Vec<String> {
    lines(&(0..count).map(draft).collect::<Vec<_>>())
}

fn entries(count: u64) -> Vec<Entry> {
    (0..count)
        .map(|number| Entry::new(number, &draft(number)))
        .collect()
}

fn fault(lines: &[String]) -> (usize, Fault) {
    let damage = read(lines.concat().as_bytes()).unwrap_err();
    assert_eq!(
        damage.valid.entries.len(),
        damage.line - 1,
        "every entry before the line is given"
    );
    assert_eq!(
        damage.offset as usize,
        lines[..damage.line - 1].concat().len()
    );
    (damage.line, damage.fault)
}

#[test]
fn writes_exactly_this_line() {
    // The hash: `printf '%s' BODY | sha256sum`, where BODY is the line up to
    // and without `,"h":`.
    let body = r#"{"v":1,"seq":0,"at":"2026-11-24T08:15:02.120+01:00","mono_ms":42,"session":7,"dir":"7F3K9QXM","by":"A. Nother","do":{"begin":{"mode":"PRACTICE"}},"ev":[{"begun":{}}],"prev":"0000000000000000000000000000000000000000000000000000000000000000""#;
    let hash = "751f76bca3343ce685ca8354fec6c63ed670a856c9c8ed4e2b79bdb773ced50a";
    let first = Draft {
        command: json(r#"{"begin":{"mode":"PRACTICE"}}"#),
        events: json(r#"[{"begun":{}}]"#),
        ..draft(0)
    };
    let line = lines(&[first]).concat();
    assert_eq!(line, format!("{body},\"h\":\"{hash}\"}}\n"));
    let opened = read(line.as_bytes()).unwrap();
    assert_eq!(
        (opened.head.count, opened.head.hash.to_string().as_str()),
        (1, hash)
    );
}

#[test]
fn reads_nothing_as_no_entry() {
    let opened = read(b"").unwrap();
    assert_eq!(
        (opened.entries.len(), opened.head, opened.tail),
        (0, Head::EMPTY, Tail::Whole)
    );
}

#[test]
fn keeps_a_last_line_that_lacks_only_its_newline() {
    let text = plain(3).concat();
    let opened = read(&text.as_bytes()[..text.len() - 1]).unwrap();
    assert_eq!(
        (opened.entries, opened.tail),
        (entries(3), Tail::NewlineMissing)
    );
}

#[test]
fn keeps_a_last_entry_whose_newline_became_something_else() {
    let mut bytes = plain(3).concat().into_bytes();
    let end = bytes.len() as u64 - 1;
    bytes.pop();
    bytes.extend_from_slice(b"\0{\"v\"\n");
    let opened = read(&bytes).unwrap();
    assert_eq!(
        (opened.entries, opened.tail),
        (
            entries(3),
            Tail::Torn {
                offset: end,
                len: 6
            }
        )
    );
}

#[test]
fn gives_the_head_of_any_earlier_count_for_a_printed_seal() {
    let all = read(plain(5).concat().as_bytes()).unwrap();
    for count in 0..=5 {
        let part = read(plain(count).concat().as_bytes()).unwrap();
        assert_eq!(all.head_at(count), Some(part.head));
    }
    assert_eq!(all.head_at(6), None);
}

#[test]
fn names_the_line_that_was_altered() {
    let mut lines = plain(6);
    lines[2] = lines[2].replace("2.5", "2.4");
    assert_eq!(fault(&lines), (3, Fault::Altered));
}

#[test]
fn names_the_first_of_two_altered_at_the_end() {
    let mut lines = plain(6);
    lines[4] = lines[4].replace("4.5", "4.4");
    lines[5] = lines[5].replace("5.5", "5.4");
    assert_eq!(
        fault(&lines),
        (5, Fault::Altered),
        "a crash tears only the last"
    );
}

#[test]
fn names_entries_that_are_missing() {
    let mut lines = plain(6);
    lines.drain(2..4);
    assert_eq!(fault(&lines), (3, Fault::Missing { first: 2, last: 3 }));
    assert_eq!(
        fault(&plain(4)[1..]),
        (1, Fault::Missing { first: 0, last: 0 })
    );
}

#[test]
fn names_a_missing_entry_in_front_of_the_last() {
    let mut lines = plain(6);
    lines.remove(4);
    assert_eq!(fault(&lines), (5, Fault::Missing { first: 4, last: 4 }));
}

#[test]
fn names_entries_out_of_order() {
    let mut lines = plain(6);
    lines.swap(2, 4);
    assert_eq!(
        fault(&lines),
        (
            3,
            Fault::Moved {
                expected: 2,
                found: 4
            }
        )
    );
    let mut lines = plain(6);
    lines.swap(4, 5);
    assert_eq!(
        fault(&lines),
        (
            5,
            Fault::Moved {
                expected: 4,
                found: 5
            }
        )
    );
}

#[test]
fn names_an_entry_that_is_repeated() {
    let mut lines = plain(6);
    lines.insert(4, lines[1].clone());
    assert_eq!(fault(&lines), (5, Fault::Repeated { seq: 1 }));
    let mut lines = plain(6);
    lines.push(lines[5].clone());
    assert_eq!(fault(&lines), (7, Fault::Repeated { seq: 5 }));
}

#[test]
fn names_an_entry_taken_from_another_journal() {
    let mut mixed = plain(6);
    let other: Vec<Draft> = (0..6)
        .map(|number| Draft {
            by: "B. Nother".to_owned(),
            ..draft(number)
        })
        .collect();
    mixed[3] = lines(&other)[3].clone();
    assert_eq!(fault(&mixed), (4, Fault::Unchained { seq: 3 }));
}

#[test]
fn names_two_entries_run_together() {
    let mut lines = plain(6);
    let cut = lines[4].len() / 2;
    lines[4].truncate(cut);
    assert_eq!(
        fault(&lines),
        (5, Fault::Fused),
        "the record after a torn one is not lost unseen"
    );
}

#[test]
fn cannot_tell_a_journal_written_anew_from_an_entry_to_the_end() {
    // Inherent: whoever rewrites the end gives it right hashes. It shows when
    // the commands are decided again, or against a printed head.
    let honest = read(plain(6).concat().as_bytes()).unwrap();
    let mut drafts: Vec<Draft> = (0..6).map(draft).collect();
    drafts[2].events = json(r#"[{"value":9.9}]"#);
    let forged = read(lines(&drafts).concat().as_bytes()).unwrap();
    assert_eq!(forged.tail, Tail::Whole);
    assert_eq!(forged.head_at(2), honest.head_at(2));
    assert_ne!(
        forged.head_at(3),
        honest.head_at(3),
        "a head printed after the entry shows it"
    );
}

#[test]
fn cannot_tell_a_cut_end_from_a_shorter_job() {
    let opened = read(plain(4).concat().as_bytes()).unwrap();
    assert_eq!((opened.entries, opened.tail), (entries(4), Tail::Whole));
}

/// Replaces a part of a plain first line and gives it a right hash again.
fn resealed(from: &str, to: &str) -> Result<Opened, Box<Damage>> {
    let line = plain(1).concat();
    let (body, _) = line.rsplit_once(",\"h\":").unwrap();
    assert!(body.contains(from), "{from} is in {body}");
    let (line, _) = chain::seal(body.replacen(from, to, 1));
    read(format!("{line}\n").as_bytes())
}

#[test]
fn refuses_every_other_spelling_of_a_line() {
    let seq_first = (r#"{"v":1,"seq":0,"#, r#"{"seq":0,"v":1,"#);
    let twice = (r#""seq":0,"#, r#""seq":0,"seq":0,"#);
    let unknown = (r#""session":7,"#, r#""session":7,"extra":1,"#);
    let absent = (r#""session":7,"#, "");
    let space = (r#""seq":0"#, r#""seq": 0"#);
    let escape = ("A. Nother", r"A. N\u006fther");
    let seconds = ("02.120+", "02.12+");
    let dir = ("7F3K9QXM", "7F3K9QXU");
    let command = (r#"{"read":{"n":0}}"#, "3");
    let events = (r#"[{"value":0.5}]"#, "{}");
    let number = (r#""seq":0"#, r#""seq":0.0"#);
    let prev = ("0000000000\"", "00000000AB\"");
    let all = [
        seq_first, twice, unknown, absent, space, escape, seconds, dir, command, events, number,
        prev,
    ];
    for (from, to) in all {
        let damage = resealed(from, to).unwrap_err();
        assert!(
            matches!(damage.fault, Fault::Form { .. }),
            "{to}: {:?}",
            damage.fault
        );
    }
    assert!(
        resealed("A. Nother", "A. Nobody").is_ok(),
        "the way the faults are made makes none itself"
    );
}

#[test]
fn refuses_bytes_that_are_not_text() {
    let line = plain(1).concat();
    let (body, _) = line.rsplit_once(",\"h\":").unwrap();
    let mut bytes = body.replacen("A. Nother", "A. N~ther", 1).into_bytes();
    let at = bytes.iter().position(|byte| *byte == b'~').unwrap();
    bytes[at] = 0xFF;
    let hash = Digest::of(&bytes);
    bytes.extend_from_slice(format!(",\"h\":\"{hash}\"}}\n").as_bytes());
    assert!(matches!(
        read(&bytes).unwrap_err().fault,
        Fault::Form { .. }
    ));
}

#[test]
fn never_takes_an_entry_of_a_later_format_for_a_torn_end() {
    let damage = resealed(r#"{"v":1,"seq":0"#, r#"{"v":2,"kind":"x","seq":0"#).unwrap_err();
    assert_eq!(damage.fault, Fault::Format { found: 2 });
}

#[test]
fn refuses_more_bad_bytes_at_the_end_than_one_append_can_leave() {
    let mut bytes = plain(2).concat().into_bytes();
    bytes.resize(bytes.len() + MAX_LINE, 0);
    assert!(matches!(read(&bytes).unwrap().tail, Tail::Torn { len, .. } if len == MAX_LINE as u64));
    bytes.push(0);
    assert_eq!(
        read(&bytes).unwrap_err().fault,
        Fault::TooLong {
            bytes: MAX_LINE + 1
        }
    );
}

#[test]
fn refuses_an_entry_that_cannot_be_a_line_and_writes_nothing() {
    let disk = Memory::new();
    let (_, mut writer) = crash::begin(&disk).unwrap();
    let calls = disk.calls();
    let long = Draft {
        by: "x".repeat(MAX_LINE),
        ..draft(1)
    };
    assert!(matches!(writer.append(&long), Err(Failure::TooLong { bytes }) if bytes > MAX_LINE));
    let late = Draft {
        at: Stamp {
            wall_ms: i64::MAX,
            ..draft(1).at
        },
        ..draft(1)
    };
    for bad in [
        late,
        Draft {
            command: json("[]"),
            ..draft(1)
        },
        Draft {
            events: json("{}"),
            ..draft(1)
        },
        Draft {
            command: json("{\n}"),
            ..draft(1)
        },
        Draft {
            events: json("[\t]"),
            ..draft(1)
        },
    ] {
        assert!(
            matches!(writer.append(&bad), Err(Failure::Unwritable { .. })),
            "{bad:?}"
        );
    }
    assert_eq!(disk.calls(), calls);
    assert_eq!(
        writer.append(&draft(1)).unwrap().count,
        2,
        "the writer goes on"
    );
}

#[test]
fn writes_a_line_of_exactly_the_longest_length() {
    let spare = MAX_LINE
        - lines(&[Draft {
            by: String::new(),
            ..draft(0)
        }])
        .concat()
        .len();
    let longest = Draft {
        by: "x".repeat(spare),
        ..draft(0)
    };
    let line = lines(&[longest]).concat();
    assert_eq!(line.len(), MAX_LINE);
    assert_eq!(read(line.as_bytes()).unwrap().head.count, 1);
    let longer = Draft {
        by: "x".repeat(spare + 1),
        ..draft(0)
    };
    assert!(Entry::new(0, &longer).line(Digest::NOTHING).is_err());
}

#[test]
fn begins_no_job_whose_first_entry_cannot_be_written() {
    let disk = Memory::new();
    let beginning = Beginning {
        parent: Path::new("/shop/jobs"),
        holder: &crash::holder(),
        documents: &[],
    };
    let mut draw = || JobId::new(0, 1);
    let mut first = |_: &JobId| Draft {
        command: json("3"),
        ..draft(0)
    };
    let refused = create(&disk, &beginning, &mut draw, &mut first).unwrap_err();
    assert_eq!((refused.exit_code(), disk.calls()), (exit::INTERNAL, 0));
}

#[test]
fn draws_another_id_where_one_is_taken() {
    let disk = Memory::new();
    let beginning = Beginning {
        parent: Path::new("/shop/jobs"),
        holder: &crash::holder(),
        documents: &[],
    };
    let mut numbers = [5, 5, 6].into_iter();
    let mut draw = || JobId::new(0, numbers.next().unwrap());
    let mut first = |_: &JobId| draft(0);
    let (one, _) = create(&disk, &beginning, &mut draw, &mut first).unwrap();
    let (two, _) = create(&disk, &beginning, &mut draw, &mut first).unwrap();
    assert_eq!(
        (one, two),
        (JobId::new(0, 5).unwrap(), JobId::new(0, 6).unwrap())
    );
    let mut same = || JobId::new(0, 5);
    assert!(matches!(
        create(&disk, &beginning, &mut same, &mut first),
        Err(Failure::Taken { .. })
    ));
}

#[test]
fn says_what_is_wrong_and_the_way_out() {
    let damage = read(lines_without_the_third().as_bytes()).unwrap_err();
    let failure = Failure::Damaged {
        path: "jobs/20261124-7F3K9QXM/journal.jsonl".into(),
        damage,
    };
    insta::assert_snapshot!(failure, @"jobs/20261124-7F3K9QXM/journal.jsonl is damaged. Line 3 (byte 602): entry 2 is missing. The 2 entries before it are unaltered. This job can be read but not continued. Keep the file as it is, carry on from the status sheet, and start a new job.");
    let held = Failure::Held {
        path: "jobs/20261124-7F3K9QXM".into(),
        holder: Some(crash::holder()),
    };
    insta::assert_snapshot!(held, @"The job in jobs/20261124-7F3K9QXM is held by another program: A. Nother, since 2026-11-24T08:15:02.120+01:00, process 4711. Close the job there first. To read it only: levelhand jobs show.");
}

fn lines_without_the_third() -> String {
    let mut lines = plain(6);
    lines.remove(2);
    lines.concat()
}

fn value() -> impl Strategy<Value = serde_json::Value> {
    let leaf = prop_oneof![
        Just(serde_json::Value::Null),
        any::<bool>().prop_map(Into::into),
        any::<i64>().prop_map(Into::into),
        any::<f64>().prop_map(Into::into),
        any::<String>().prop_map(Into::into),
    ];
    leaf.prop_recursive(3, 12, 4, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..4).prop_map(Into::into),
            prop::collection::btree_map(any::<String>(), inner, 0..4)
                .prop_map(|members| serde_json::Value::Object(members.into_iter().collect())),
        ]
    })
}

prop_compose! {
    fn any_draft()(
        wall_ms in -62_000_000_000_000_i64..250_000_000_000_000,
        offset_min in -1439_i32..1440,
        mono_ms: u64,
        session: u32,
        bits: u64,
        by: String,
        command in value(),
        events in prop::collection::vec(value(), 0..3),
    ) -> Draft {
        let command = serde_json::json!({ "v": command });
        Draft {
            at: Stamp { wall_ms, offset_min, mono_ms },
            session,
            dir: DirId::new(bits),
            by,
            command: json(&command.to_string()),
            events: json(&serde_json::Value::from(events).to_string()),
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(crash::cases(256) as u32))]

    #[test]
    fn reads_back_whatever_it_writes(drafts in prop::collection::vec(any_draft(), 0..6)) {
        let opened = read(lines(&drafts).concat().as_bytes()).unwrap();
        let written: Vec<Entry> = drafts.iter().enumerate().map(|(seq, draft)| Entry::new(seq as u64, draft)).collect();
        prop_assert_eq!(opened.entries, written);
        prop_assert_eq!(opened.tail, Tail::Whole);
    }

    #[test]
    fn never_fails_on_bytes_of_any_kind(bytes: Vec<u8>, at in 0_usize..900) {
        let mut mixed = plain(3).concat().into_bytes();
        let at = at.min(mixed.len());
        mixed.splice(at..at, bytes.iter().copied());
        for any in [bytes, mixed] {
            let found = read(&any).map_or_else(|damage| damage.valid.entries, |opened| opened.entries);
            prop_assert_eq!(&found[..], &entries(3)[..found.len()], "invents no entry");
        }
    }

    #[test]
    fn notices_any_line_taken_out_moved_or_doubled(count in 2_usize..8, from: prop::sample::Index, to: prop::sample::Index) {
        let lines = plain(count as u64);
        let (from, to) = (from.index(count), to.index(count));
        let mut without = lines.clone();
        let line = without.remove(from);
        // The last one taken away is a cut end, which cannot be noticed.
        prop_assert_eq!(read(without.concat().as_bytes()).is_ok(), from == count - 1);
        without.insert(to, line.clone());
        prop_assert_eq!(read(without.concat().as_bytes()).is_ok(), from == to);
        let mut doubled = lines;
        doubled.insert(to, line);
        prop_assert!(read(doubled.concat().as_bytes()).is_err());
    }
}
