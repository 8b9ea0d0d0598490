//! Power cuts, full disks and bad disks, at every place where they can come.
//!
//! The oracle keeps its own list of what was confirmed and of what was in
//! flight; after any crash the job holds the first, perhaps with the second
//! after it, and nothing else.

use std::path::{Path, PathBuf};

use super::super::fault::{Dice, Memory, Upset};
use super::{draft, entries, json, plain};
use crate::journal::*;

/// How often a seeded test runs: few by default, as many as
/// `LEVELHAND_CASES` says when it is set.
pub(super) fn cases(few: u64) -> u64 {
    #[expect(
        clippy::disallowed_methods,
        reason = "how long a test runs is not the program's matter"
    )]
    let asked = std::env::var("LEVELHAND_CASES");
    asked.ok().and_then(|text| text.parse().ok()).unwrap_or(few)
}

pub(super) fn holder() -> Holder {
    Holder {
        pid: 4711,
        who: "A. Nother".to_owned(),
        since: "2026-11-24T08:15:02.120+01:00".to_owned(),
        host: None,
    }
}

fn id(number: u64) -> JobId {
    JobId::new(1_795_504_502_120, number).unwrap()
}

pub(super) fn folder(number: u64) -> Folder {
    Folder::new(Path::new("/shop/jobs"), &id(number))
}

fn begin_as(disk: &Memory, number: u64) -> Result<(JobId, Writer), Failure> {
    let documents = [(FileName::parse("procedure.json").unwrap(), b"{}".to_vec())];
    let beginning = Beginning {
        parent: Path::new("/shop/jobs"),
        holder: &holder(),
        documents: &documents,
    };
    create(disk, &beginning, &mut || Ok(id(number)), &mut |_| draft(0))
}

/// Begins a job with entry 0.
pub(super) fn begin(disk: &Memory) -> Result<(JobId, Writer), Failure> {
    begin_as(disk, 0)
}

/// A job taken up again, with all its entries.
#[derive(Debug)]
pub(super) struct TakenUp {
    pub(super) writer: Writer,
    entries: Vec<Entry>,
    removed: Vec<Removed>,
}

pub(super) fn take_up(disk: &Memory) -> Result<TakenUp, Failure> {
    let mut entries = Vec::new();
    let resumed = resume(disk, folder(0), &holder(), &mut |entry| entries.push(entry))?;
    Ok(TakenUp {
        writer: resumed.writer,
        entries,
        removed: resumed.removed,
    })
}

/// A disk with a journal of these bytes, and a reserve so small that tests
/// are quick.
pub(super) fn disk_with(bytes: &[u8]) -> Memory {
    let disk = Memory::new();
    disk.put(&folder(0).journal(), bytes);
    disk.put(&folder(0).reserve(), b"small");
    disk
}

pub(super) fn journal(disk: &Memory) -> Vec<u8> {
    disk.peek(&folder(0).journal()).unwrap()
}

#[test]
fn resumes_at_the_last_whole_entry_wherever_the_file_is_cut() {
    let lines = plain(40);
    let whole = lines.concat().into_bytes();
    let ends: Vec<usize> = lines
        .iter()
        .scan(0, |end, line| {
            *end += line.len();
            Some(*end)
        })
        .collect();
    for cut in 0..=whole.len() {
        // An entry that lacks only its newline is whole.
        let kept = ends.iter().filter(|end| cut + 1 >= **end).count();
        let disk = disk_with(&whole[..cut]);
        let resumed = match take_up(&disk) {
            Err(Failure::NoJob { .. }) if kept == 0 => {
                assert_eq!(
                    journal(&disk),
                    &whole[..cut],
                    "what is no job is left as it is"
                );
                continue;
            }
            resumed => resumed.unwrap(),
        };
        assert_eq!(resumed.entries, entries(kept as u64), "cut at {cut}");
        assert_eq!(
            journal(&disk),
            lines[..kept].concat().as_bytes(),
            "cut at {cut}"
        );
        let torn = cut.saturating_sub(ends[kept - 1]);
        let aside: Vec<(u64, Digest)> = resumed
            .removed
            .iter()
            .map(|removed| (removed.len, removed.digest))
            .collect();
        let expected = if torn == 0 {
            vec![]
        } else {
            vec![(torn as u64, Digest::of(&whole[cut - torn..cut]))]
        };
        assert_eq!(aside, expected, "cut at {cut}");
        for removed in resumed.removed {
            assert_eq!(
                disk.peek(&folder(0).path().join(removed.file)).unwrap(),
                &whole[cut - torn..cut]
            );
        }
    }
}

#[test]
fn notices_every_flipped_bit_or_takes_the_last_line_for_torn() {
    let lines = plain(3);
    let whole = lines.concat().into_bytes();
    for at in 0..whole.len() {
        let line = lines
            .iter()
            .scan(0, |end, line| {
                *end += line.len();
                Some(*end)
            })
            .filter(|end| *end <= at)
            .count();
        let before = lines[..line].concat().len();
        for bit in 0..8 {
            let mut bytes = whole.clone();
            bytes[at] ^= 1 << bit;
            let found = read(&bytes);
            if line < 2 {
                let damage = found.unwrap_err();
                assert_eq!(
                    (damage.line, damage.offset, damage.valid.entries),
                    (line + 1, before as u64, entries(line as u64))
                );
            } else {
                // Inherent: an altered last line looks like one that a power
                // cut tore. It is kept aside, said, and shows against a
                // printed head. Only its newline can go without it.
                let opened = found.unwrap();
                let newline = at + 1 == whole.len();
                let (kept, offset) = if newline { (3, at) } else { (2, before) };
                let tail = Tail::Torn {
                    offset: offset as u64,
                    len: (whole.len() - offset) as u64,
                };
                assert_eq!((opened.entries, opened.tail), (entries(kept), tail));
            }
        }
    }
}

#[test]
fn refuses_to_continue_a_damaged_job_and_changes_nothing() {
    let mut bytes = plain(4).concat().into_bytes();
    bytes[40] ^= 1;
    let disk = disk_with(&bytes);
    let refused = take_up(&disk).unwrap_err();
    assert_eq!(refused.exit_code(), exit::DAMAGED);
    assert_eq!(journal(&disk), bytes);
}

#[test]
fn writes_the_missing_newline_before_anything_else() {
    let whole = plain(4).concat();
    let disk = disk_with(plain(3).concat().trim_end().as_bytes());
    take_up(&disk).unwrap().writer.append(&draft(3)).unwrap();
    assert_eq!(journal(&disk), whole.as_bytes());
}

#[test]
fn tells_the_second_writer_who_holds_the_job() {
    let disk = Memory::new();
    let (_, writer) = begin(&disk).unwrap();
    let refused = take_up(&disk).unwrap_err();
    assert!(
        matches!(&refused, Failure::Held { holder: Some(found), .. } if *found == holder()),
        "{refused:?}"
    );
    assert_eq!(refused.exit_code(), exit::HELD);
    assert_eq!(
        look(&disk, &folder(0)).unwrap().entries,
        entries(1),
        "but it may look"
    );
    drop(writer);
    assert_eq!(take_up(&disk).unwrap().entries, entries(1));
}

#[test]
fn never_writes_again_after_a_failed_write_or_sync() {
    for upset in [Upset::Device, Upset::Full, Upset::Half] {
        for after in 0..2 {
            let disk = Memory::new();
            let (_, mut writer) = begin(&disk).unwrap();
            writer.append(&draft(1)).unwrap();
            disk.upset_after(after, upset);
            let failed = writer.append(&draft(2)).unwrap_err();
            assert!(
                matches!(failed, Failure::NotSafe { confirmed: 2, .. }),
                "{failed}"
            );
            assert_eq!(failed.exit_code(), exit::STORAGE);
            let (calls, bytes) = (disk.calls(), journal(&disk));
            for _ in 0..3 {
                assert!(matches!(
                    writer.append(&draft(2)),
                    Err(Failure::NotSafe { confirmed: 2, .. })
                ));
            }
            assert_eq!(
                (disk.calls(), journal(&disk)),
                (calls, bytes),
                "the disk is not touched again"
            );
            assert!(!writer.is_safe());

            let elsewhere = Memory::new();
            let path = Path::new("/copy.jsonl");
            writer.save_copy(&disk, &elsewhere, path).unwrap();
            elsewhere.power_cut(&mut Dice(after));
            assert_eq!(elsewhere.peek(path).unwrap(), plain(2).concat().as_bytes());
            assert!(
                matches!(
                    writer.save_copy(&disk, &elsewhere, path),
                    Err(Failure::Taken { .. })
                ),
                "nothing is overwritten"
            );
        }
    }
}

#[test]
fn a_second_sync_would_have_lied() {
    // Why the writer never tries again: this disk, like real ones, reports
    // success for a sync after a failed one, and has lost the bytes.
    let disk = Memory::new();
    disk.put(Path::new("/file"), b"");
    let mut file = disk.append(Path::new("/file")).unwrap();
    file.write_all(b"bytes").unwrap();
    disk.upset_after(0, Upset::Device);
    assert!(file.sync_data().is_err());
    assert!(file.sync_data().is_ok());
    let kept = (0..32).filter(|seed| {
        let after = disk.copy();
        after.power_cut(&mut Dice(*seed));
        after.peek(Path::new("/file")).unwrap() == b"bytes"
    });
    assert!(kept.count() < 32);
}

#[test]
fn frees_the_reserve_for_the_status_sheet_on_a_full_disk() {
    let disk = Memory::new();
    let (_, writer) = begin(&disk).unwrap();
    writer.write_sheet(&disk, "before").unwrap();
    assert_eq!(
        disk.peek(&folder(0).reserve()).unwrap().len(),
        RESERVE_BYTES
    );
    for after in 0..3 {
        disk.upset_after(after, Upset::Full);
        let sheet = format!("how to make safe, {after}");
        writer.write_sheet(&disk, &sheet).unwrap();
        assert!(disk.upset().is_some());
        disk.power_cut(&mut Dice(after));
        assert_eq!(disk.peek(&folder(0).status()).unwrap(), sheet.as_bytes());
        assert_eq!(disk.peek(&folder(0).reserve()), None);
    }
}

#[test]
fn leaves_the_old_status_sheet_or_the_new_one_and_never_a_part() {
    for seed in 0..cases(500) {
        let mut dice = Dice(seed);
        let disk = disk_with(&plain(1).concat().into_bytes());
        let writer = take_up(&disk).unwrap().writer;
        writer.write_sheet(&disk, "the old sheet").unwrap();
        disk.upset_after(
            dice.below(6),
            [Upset::Off, Upset::Device, Upset::Half][dice.below(3) as usize],
        );
        let written = writer.write_sheet(&disk, "the new sheet, a longer one");
        disk.power_cut(&mut dice);
        let found = String::from_utf8(disk.peek(&folder(0).status()).unwrap()).unwrap();
        let allowed: &[&str] = if written.is_ok() {
            &["the new sheet, a longer one"]
        } else {
            &["the old sheet", "the new sheet, a longer one"]
        };
        assert!(allowed.contains(&found.as_str()), "seed {seed}: {found}");
    }
}

/// What the person was told, against which every disk is held.
#[derive(Debug, Default)]
struct Told {
    confirmed: Vec<Entry>,
    in_flight: Option<Entry>,
    /// Distinguishes what is written after a crash from what was lost in it.
    drawn: u64,
}

impl Told {
    fn next(&mut self) -> Draft {
        self.drawn += 1;
        let draft = Draft {
            session: self.drawn as u32,
            ..draft(self.confirmed.len() as u64)
        };
        self.in_flight = Some(Entry::new(self.confirmed.len() as u64, &draft));
        draft
    }

    /// After a crash: all that was confirmed, perhaps what was in flight, and
    /// nothing else.
    fn check(&mut self, found: &[Entry], seed: u64) {
        let rest = found
            .strip_prefix(&self.confirmed[..])
            .unwrap_or_else(|| panic!("seed {seed}: lost or altered"));
        match (rest, self.in_flight.take()) {
            ([], _) => (),
            ([one], Some(in_flight)) if *one == in_flight => (),
            (rest, in_flight) => panic!("seed {seed}: invented {rest:?} for {in_flight:?}"),
        }
        self.confirmed = found.to_vec();
    }

    fn append(&mut self, writer: &mut Writer) -> Result<(), Failure> {
        let draft = self.next();
        let head = writer.append(&draft)?;
        self.confirmed.extend(self.in_flight.take());
        assert_eq!(head.count, self.confirmed.len() as u64);
        Ok(())
    }
}

/// One life of the program: resume, name what was removed, append a few.
fn live(disk: &Memory, told: &mut Told, seed: u64, appends: u64) -> Result<(), Failure> {
    let mut resumed = take_up(disk)?;
    told.check(&resumed.entries, seed);
    if !resumed.removed.is_empty() {
        told.append(&mut resumed.writer)?;
    }
    for _ in 0..appends {
        told.append(&mut resumed.writer)?;
    }
    Ok(())
}

/// A program's death: the process alone, or the power with it. After a failed
/// call it is the power, because a sync that failed may have lost what can
/// still be read, and the failure says: restart the computer.
fn die(disk: &Memory, dice: &mut Dice) {
    let failed = disk.upset().is_some_and(|(upset, _)| upset != Upset::Off);
    if failed || dice.below(2) == 0 {
        disk.power_cut(dice);
    } else {
        disk.kill();
    }
}

#[test]
fn loses_nothing_confirmed_whatever_unsynced_bytes_survive() {
    for seed in 0..cases(3000) {
        let mut dice = Dice(seed);
        let disk = disk_with(&plain(1).concat().into_bytes());
        let mut told = Told {
            confirmed: entries(1),
            ..Told::default()
        };
        for _ in 0..=dice.below(5) {
            let upset = [
                Upset::Off,
                Upset::Off,
                Upset::Off,
                Upset::Device,
                Upset::Half,
            ][dice.below(5) as usize];
            disk.upset_after(dice.below(40), upset);
            match live(&disk, &mut told, seed, dice.below(5)) {
                Ok(()) | Err(Failure::Storage { .. } | Failure::NotSafe { .. }) => (),
                Err(wrong) => panic!("seed {seed}: {wrong}"),
            }
            die(&disk, &mut dice);
        }
        live(&disk, &mut told, seed, 1).unwrap_or_else(|failure| panic!("seed {seed}: {failure}"));
        assert_eq!(look(&disk, &folder(0)).unwrap().entries, told.confirmed);
    }
}

#[test]
fn confirms_no_job_that_a_crash_at_its_beginning_can_undo() {
    let calls = {
        let disk = Memory::new();
        begin(&disk).unwrap();
        disk.calls()
    };
    for after in 0..=calls {
        for seed in 0..cases(160).div_ceil(16) {
            let disk = Memory::new();
            disk.upset_after(after, Upset::Off);
            let begun = begin(&disk);
            assert_eq!(begun.is_ok(), after == calls);
            let confirmed = begun.is_ok();
            drop(begun);
            die(&disk, &mut Dice(seed << 8 | after));
            match look(&disk, &folder(0)) {
                Ok(opened) => {
                    assert_eq!(opened.entries, entries(1));
                    let document = folder(0).document(&FileName::parse("procedure.json").unwrap());
                    assert_eq!(
                        disk.peek(&document).unwrap(),
                        b"{}",
                        "a job never lacks its documents"
                    );
                }
                Err(Failure::NoJob { .. }) => assert!(!confirmed),
                Err(wrong) => panic!("{wrong}"),
            }
            let mut dice = Dice(seed);
            if let Ok(mut resumed) = take_up(&disk) {
                resumed.writer.append(&draft(1)).unwrap();
                let after = disk.copy();
                after.power_cut(&mut dice);
                assert_eq!(look(&after, &folder(0)).unwrap().entries, entries(2));
            }
            // Another job can be begun in what the first left behind.
            begin_as(&disk, 1).unwrap();
            disk.power_cut(&mut dice);
            assert_eq!(look(&disk, &folder(1)).unwrap().entries, entries(1));
        }
    }
}

#[test]
fn answers_every_failing_call_with_a_failure_and_loses_nothing() {
    let mut seen = std::collections::BTreeSet::new();
    for upset in [Upset::Device, Upset::Full, Upset::Half, Upset::Off] {
        for after in 0.. {
            let torn = [plain(3).concat().as_bytes(), b"{\"v\":1,\"seq\""].concat();
            let disk = disk_with(&torn);
            let mut told = Told {
                confirmed: entries(3),
                ..Told::default()
            };
            disk.upset_after(after, upset);
            let lived = live(&disk, &mut told, after, 3);
            let Some((_, call)) = disk.upset() else {
                lived.unwrap();
                break;
            };
            seen.insert(call);
            assert!(
                lived.is_err() || call == "exists",
                "{upset:?} at {call} ({after}) was not reported"
            );
            disk.power_cut(&mut Dice(after));
            live(&disk, &mut told, after, 1)
                .unwrap_or_else(|failure| panic!("{upset:?} at {call}: {failure}"));
        }
    }
    let all = [
        "amend",
        "append",
        "create_new",
        "cut",
        "exists",
        "list",
        "lock",
        "read",
        "remove",
        "rename",
        "sync_all",
        "sync_data",
        "sync_dir",
        "write_all",
    ];
    assert_eq!(
        seen.into_iter().collect::<Vec<_>>(),
        all,
        "every kind of call has failed once"
    );
}

/// Crashes inside recovery at every call, and inside the recovery after it,
/// `deep` levels down; hands every disk on which recovery came to its end to
/// `end`.
fn crash_inside(disk: &Memory, deep: u32, dice: &mut Dice, end: &mut impl FnMut(&Memory, TakenUp)) {
    for after in 0.. {
        let tried = disk.copy();
        if deep > 0 {
            tried.upset_after(after, Upset::Off);
        }
        let resumed = take_up(&tried);
        if tried.upset().is_none() {
            return end(&tried, resumed.unwrap());
        }
        drop(resumed);
        if dice.below(4) == 0 {
            tried.kill();
        } else {
            tried.power_cut(dice);
        }
        crash_inside(&tried, deep - 1, dice, end);
    }
}

#[test]
fn recovers_to_the_same_however_often_it_is_cut_short() {
    let torn = b"{\"v\":1,\"seq\":3,\"at";
    let newline_missing = plain(3).concat().trim_end().to_owned().into_bytes();
    for (bytes, aside) in [
        (
            [plain(3).concat().as_bytes(), torn].concat(),
            Some(&torn[..]),
        ),
        (newline_missing, None),
    ] {
        let mut ends = 0;
        crash_inside(&disk_with(&bytes), 3, &mut Dice(7), &mut |disk, resumed| {
            ends += 1;
            assert_eq!(resumed.entries, entries(3));
            assert_eq!(journal(disk), plain(3).concat().as_bytes());
            for removed in &resumed.removed {
                let kept = disk.peek(&folder(0).path().join(&removed.file)).unwrap();
                assert_eq!(
                    (removed.len, removed.digest),
                    (kept.len() as u64, Digest::of(&kept))
                );
            }
            let end = plain(3).concat().len() as u64;
            let expected = |torn: &[u8]| Removed {
                file: format!("torn-001-at-{end}.bytes"),
                offset: end,
                len: torn.len() as u64,
                digest: Digest::of(torn),
            };
            match aside {
                Some(torn) => assert_eq!(resumed.removed, [expected(torn)]),
                // A newline cut short can leave a byte of noise in its place.
                None => assert!(
                    resumed
                        .removed
                        .iter()
                        .all(|removed| (removed.offset, removed.len) == (end - 1, 1))
                ),
            }
        });
        assert!(ends > 1000, "{ends} ways through");
    }
}

#[test]
fn names_what_was_removed_until_an_entry_follows_it() {
    let disk = disk_with(&[plain(3).concat().as_bytes(), b"torn"].concat());
    let first = take_up(&disk).unwrap().removed;
    assert_eq!(first.len(), 1);
    let mut again = take_up(&disk).unwrap();
    assert_eq!(
        again.removed, first,
        "a crash before the entry does not hide it"
    );
    again.writer.append(&draft(3)).unwrap();
    drop(again);
    assert_eq!(take_up(&disk).unwrap().removed, []);
}

#[test]
fn numbers_what_was_removed_at_one_place_one_after_another() {
    let disk = disk_with(&[plain(3).concat().as_bytes(), b"torn"].concat());
    drop(take_up(&disk).unwrap());
    disk.put(
        &folder(0).journal(),
        &[plain(3).concat().as_bytes(), b"torn again"].concat(),
    );
    let removed = take_up(&disk).unwrap().removed;
    let files: Vec<PathBuf> = removed
        .iter()
        .map(|removed| folder(0).path().join(&removed.file))
        .collect();
    let kept: Vec<_> = files.iter().map(|file| disk.peek(file).unwrap()).collect();
    assert_eq!(kept, [b"torn".to_vec(), b"torn again".to_vec()]);
}

#[test]
fn can_go_to_a_thread_of_its_own() {
    fn goes<T: Send>(_: &T) {}
    let disk = Memory::new();
    goes(&begin(&disk).unwrap().1);
    goes::<&dyn Storage>(&(&disk as &dyn Storage));
}

#[test]
fn writes_one_line_and_one_sync_for_an_entry() {
    let disk = Memory::new();
    let (_, mut writer) = begin(&disk).unwrap();
    let calls = disk.calls();
    writer
        .append(&Draft {
            events: json("[]"),
            ..draft(1)
        })
        .unwrap();
    assert_eq!(disk.calls() - calls, 2);
}
