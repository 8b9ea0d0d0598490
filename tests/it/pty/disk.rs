//! Disks that are full, and directories that can't be written.

use std::path::Path;
use std::process::Command;

use portable_pty::CommandBuilder;

use super::hand::ENTER;
use super::shop::Shop;
use super::terminal::{Start, Terminal};

/// The program, not ended by the signal that comes with a file grown too large: a
/// write over the limit fails then, as on a full disk.
fn limitable(data: &Path) -> CommandBuilder {
    let mut command = CommandBuilder::new("sh");
    command.args(["-c", "trap '' XFSZ; exec \"$1\" --data \"$2\"", "sh"]);
    command.arg(env!("CARGO_BIN_EXE_levelhand"));
    command.arg(data);
    command
}

/// From now on no file of the program may grow over so many bytes; false where the
/// system has no tool for it.
fn limit(t: &Terminal, bytes: u64) -> bool {
    let set = Command::new("prlimit")
        .args([format!("--pid={}", t.id()), format!("--fsize={bytes}")])
        .status();
    set.is_ok_and(|status| status.success())
}

/// Keeps remarks until the disk refuses one.
fn write_until_refused(t: &Terminal, shop: &Shop) {
    let words = "a long remark about nothing in particular ".repeat(4);
    for _ in 0..20 {
        let kept = shop.entries_whole().len();
        t.send("?");
        t.wait("HELP AND MORE");
        t.send("n");
        t.wait("IN WORDS");
        t.send(&words);
        t.wait("in particular");
        t.send(ENTER);
        t.until("the remark kept or refused", |t| {
            t.shows("RECORD NOT SAFE") || shop.entries_whole().len() > kept
        });
        if t.shows("RECORD NOT SAFE") {
            return;
        }
        t.until("the step again", |t| {
            t.shows("CHOCK THE WHEELS") && !t.shows("saving")
        });
    }
    panic!("never refused; on the screen:\n{}", t.framed());
}

#[test]
fn a_disk_that_is_full_in_the_middle_is_told_and_the_record_can_be_saved_elsewhere() {
    let shop = Shop::small();
    let t = Start::new(shop.path()).command(limitable(shop.path())).go();
    t.open_small_job();
    let room = std::fs::metadata(shop.journal()).unwrap().len() + 3000;
    if !limit(&t, room) {
        eprintln!("not tried: no prlimit here");
        return;
    }
    write_until_refused(&t, &shop);
    t.wait("RECORD NOT SAFE");
    t.wait("Let go of the truck's control");
    t.wait("Go on from paper");
    let kept = shop.entries_whole();
    // Nothing more goes in.
    for key in ["s", "g", ENTER] {
        t.send(key);
    }
    t.wait("Nothing more can be entered");
    assert!(!t.shows("s snug"), "the line of keys lists what works");
    assert_eq!(shop.entries_whole(), kept);
    // Another disk has room; the limit of this test is on each file, and the copy
    // of what is whole fits in it.
    let elsewhere = tempfile::tempdir().unwrap();
    let copy = elsewhere.path().join("copy.jsonl");
    t.send("?");
    t.send("c");
    t.wait("Where shall the copy go?");
    t.send(&copy.display().to_string());
    t.send(ENTER);
    t.wait("A whole copy of the record");
    let copied = std::fs::read_to_string(&copy).unwrap();
    for (line, entry) in copied.lines().zip(&kept) {
        assert_eq!(line, entry);
    }
    assert!(copied.lines().count() >= kept.len());
    drop(t);
    // With room again the job goes on at its last confirmed entry.
    let t = shop.start();
    t.go_on();
    t.wait("CHOCK THE WHEELS");
    let after = shop.entries_whole();
    assert_eq!(after[..kept.len()], kept[..]);
    let (code, words) = shop.verified();
    assert_eq!(code, Some(0), "{words}");
}

#[test]
fn a_job_that_cannot_be_begun_is_told_and_the_form_stays() {
    let shop = Shop::small();
    // A file stands where the directory of jobs should be: refused to anyone, even
    // to who may write everywhere.
    std::fs::write(shop.path().join("jobs"), "no directory").unwrap();
    let t = shop.start();
    t.open_job("Small job");
    t.wait(" ! ");
    t.wait("NEW JOB");
    assert!(t.shows("A. Sample"), "{}", t.framed());
    std::fs::remove_file(shop.path().join("jobs")).unwrap();
    t.send(ENTER);
    t.wait("CHOCK THE WHEELS");
}

#[test]
fn a_data_directory_that_only_reads_is_told() {
    use std::os::unix::fs::PermissionsExt as _;
    let shop = Shop::small();
    let closed = std::fs::Permissions::from_mode(0o555);
    std::fs::set_permissions(shop.path(), closed).unwrap();
    if std::fs::write(shop.path().join("probe"), "").is_ok() {
        eprintln!("not tried: whoever runs this may write everywhere");
        return;
    }
    let t = shop.start();
    t.open_job("Small job");
    t.wait(" ! ");
    t.wait("NEW JOB");
    let open = std::fs::Permissions::from_mode(0o755);
    std::fs::set_permissions(shop.path(), open).unwrap();
}
