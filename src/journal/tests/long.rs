//! Journals read entry by entry, and copies of those too long to be kept in
//! memory.

use std::path::Path;

use super::super::fault::{Memory, Upset};
use super::crash::{disk_with, folder, journal, take_up};
use super::{draft, plain};
use crate::journal::*;

/// A journal too long to be kept in memory, taken up again.
fn long() -> (Memory, Writer, Vec<u8>) {
    let (mut bytes, mut count) = (Vec::new(), 1);
    while bytes.len() <= KEPT_BYTES {
        count *= 2;
        bytes = plain(count * 1000).concat().into_bytes();
    }
    let disk = disk_with(&bytes);
    let mut writer = take_up(&disk).unwrap().writer;
    let before = bytes.len();
    writer.append(&draft(count * 1000)).unwrap();
    let all = journal(&disk);
    assert!(all.len() > before);
    (disk, writer, all)
}

#[test]
fn copies_a_long_journal_from_its_disk_even_after_a_failed_append() {
    let (disk, mut writer, all) = long();
    disk.upset_after(0, Upset::Half);
    writer.append(&draft(9)).unwrap_err();
    assert!(journal(&disk).len() > all.len(), "half a line is there");
    let (elsewhere, path) = (Memory::new(), Path::new("/copy.jsonl"));
    writer.save_copy(&disk, &elsewhere, path).unwrap();
    assert!(elsewhere.peek(path).unwrap() == all, "and is not copied");
}

#[test]
fn makes_no_copy_of_what_the_disk_gives_back_otherwise() {
    let (disk, writer, all) = long();
    let (elsewhere, path) = (Memory::new(), Path::new("/copy.jsonl"));
    let mut altered = all.clone();
    altered[100] ^= 1;
    let last = all[..all.len() - 1]
        .iter()
        .rposition(|b| *b == b'\n')
        .unwrap();
    for wrong in [&altered[..], &all[..last], &all[..=last], &[]] {
        disk.put(&folder(0).journal(), wrong);
        let refused = writer.save_copy(&disk, &elsewhere, path).unwrap_err();
        assert!(
            matches!(refused, Failure::Storage { .. } | Failure::Damaged { .. }),
            "{refused}"
        );
        assert_eq!(elsewhere.peek(path), None);
    }
    disk.put(&folder(0).journal(), &all);
    disk.upset_after(0, Upset::Device);
    let refused = writer.save_copy(&disk, &elsewhere, path).unwrap_err();
    assert!(
        refused.to_string().contains("Cannot read back"),
        "{refused}"
    );
    writer.save_copy(&disk, &elsewhere, path).unwrap();
    assert!(elsewhere.peek(path).unwrap() == all);
}

/// Whatever the bytes, read at once and read one by one come to the same.
#[test]
fn reads_one_by_one_as_it_reads_at_once() {
    let whole = plain(4).concat().into_bytes();
    let mut tried: Vec<Vec<u8>> = (0..=whole.len()).map(|cut| whole[..cut].to_vec()).collect();
    for at in 0..whole.len() {
        let mut flipped = whole.clone();
        flipped[at] ^= 1 << (at % 8);
        tried.push(flipped);
        let mut gone = whole.clone();
        gone.remove(at);
        tried.push(gone);
    }
    for bytes in tried {
        let disk = disk_with(&bytes);
        let mut reading = Reading::open(&disk, &folder(0)).unwrap();
        let mut found = Vec::new();
        let fault = loop {
            match reading.next_entry() {
                Ok(Some(entry)) => found.push(entry),
                Ok(None) => break None,
                Err(Failure::Damaged { damage, .. }) => break Some(damage),
                Err(other) => panic!("{other}"),
            }
        };
        match (read(&bytes), fault) {
            (Ok(opened), None) => assert_eq!(
                (opened.entries, opened.head, opened.tail),
                (found, reading.head(), reading.tail())
            ),
            (Err(at_once), Some(damage)) => {
                assert_eq!(at_once.to_string(), damage.to_string());
                assert_eq!(at_once.valid.entries, found);
            }
            (at_once, fault) => panic!("{at_once:?} {fault:?}"),
        }
        assert!(
            matches!(reading.next_entry(), Ok(None)),
            "nothing after the end"
        );
    }
}
