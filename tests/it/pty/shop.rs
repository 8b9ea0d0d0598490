//! A data directory with the shop's own documents, and the ways in and out of a
//! small job in it.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::thread::sleep;
use std::time::Duration;

use levelhand::io::disk::Disk;
use levelhand::io::place::Place;
use levelhand::io::released::{self, Release};
use levelhand::journal::Digest;
use serde_json::Value;
use tempfile::TempDir;

use super::hand::{DOWN, ENTER};
use super::terminal::{Start, Terminal};

const SMALL_JOB: &str = include_str!("../../shop/small_job.json");
const SMALL_SHEET: &str = include_str!("../../shop/small_sheet.json");
const SMALL_BENCH: &str = include_str!("../../shop/small_bench.json");
const REHEARSALS: [&str; 6] = [
    include_str!("../../shop/sj_straight.json"),
    include_str!("../../shop/sj_chock_spent.json"),
    include_str!("../../shop/sj_supply_spent.json"),
    include_str!("../../shop/sj_gate_spent.json"),
    include_str!("../../shop/sj_lift_spent.json"),
    include_str!("../../shop/sj_stop.json"),
];

/// A data directory.
pub(super) struct Shop {
    dir: TempDir,
}

impl Shop {
    /// An empty one.
    pub(super) fn empty() -> Self {
        Self {
            dir: tempfile::tempdir().unwrap(),
        }
    }

    /// One with the small job, released.
    pub(super) fn small() -> Self {
        Self::released(SMALL_JOB)
    }

    /// One with the small job, not released.
    pub(super) fn drafted(job: &str) -> Self {
        let shop = Self::empty();
        shop.document("small_job.json", job);
        shop.document("small_sheet.json", SMALL_SHEET);
        shop.document("small_bench.json", SMALL_BENCH);
        for (number, rehearsal) in REHEARSALS.into_iter().enumerate() {
            shop.document(&format!("rehearsal_{number}.json"), rehearsal);
        }
        shop
    }

    fn released(job: &str) -> Self {
        let shop = Self::drafted(job);
        for name in ["small_job.json", "small_sheet.json", "small_bench.json"] {
            shop.release(name);
        }
        shop
    }

    /// Releases a document as a lead hand does.
    pub(super) fn release(&self, name: &str) {
        let out = Command::new(env!("CARGO_BIN_EXE_levelhand"))
            .arg("--data")
            .arg(self.path())
            .arg("release")
            .arg(self.path().join("documents").join(name))
            .args(["--by", "L. Sample"])
            .output()
            .unwrap();
        let words = String::from_utf8_lossy(&out.stderr);
        assert_eq!(out.status.code(), Some(0), "{words}");
    }

    /// Puts a document on the shop's own shelf, and releases it without asking what it
    /// demands: for copies whose waits were cut short.
    pub(super) fn document_released(&self, kind: &str, name: &str, text: &str) {
        self.document(name, text);
        let value: Value = serde_json::from_str(text).unwrap();
        let release = Release {
            kind: kind.to_owned(),
            id: value["id"].as_str().unwrap().to_owned(),
            revision: None,
            title: "a copy with short waits".to_owned(),
            sha256: Digest::of(text.as_bytes()).to_string(),
            at: "2026-11-28T08:15:02.120+01:00".to_owned(),
            by: "L. Sample".to_owned(),
            because: None,
            shrunk: BTreeMap::new(),
        };
        let place = Place::find(Some(self.path().to_owned())).unwrap();
        released::add(&Disk, &place, &release, text.as_bytes()).unwrap();
    }

    /// The small job with its gate asking for a caution's hold.
    pub(super) fn with_caution() -> Self {
        let mut job: Value = serde_json::from_str(SMALL_JOB).unwrap();
        let hold = job.pointer_mut("/phases/0/steps/2/confirm/hold").unwrap();
        assert_eq!(hold, "danger");
        *hold = "caution".into();
        Self::released(&job.to_string())
    }

    /// Puts a document on the shop's own shelf.
    pub(super) fn document(&self, name: &str, text: &str) {
        let dir = self.path().join("documents");
        std::fs::create_dir_all(&dir).unwrap();
        std::fs::write(dir.join(name), text).unwrap();
    }

    /// Settings, as the program keeps them.
    pub(super) fn settings(&self, text: &str) {
        std::fs::write(self.path().join("settings.json"), text).unwrap();
    }

    pub(super) fn path(&self) -> &Path {
        self.dir.path()
    }

    /// Starts the program, 80 by 24.
    pub(super) fn start(&self) -> Terminal {
        Start::new(self.path()).go()
    }

    /// Starts the program and goes to the first step of a new small job.
    pub(super) fn at_first_step(&self) -> Terminal {
        let terminal = self.start();
        terminal.open_small_job();
        terminal
    }

    /// Starts the program and goes to the gate of a new small job, its tick given.
    pub(super) fn at_gate(&self) -> Terminal {
        let terminal = self.at_first_step();
        terminal.go_to_gate();
        terminal.send("c");
        terminal
    }

    /// The only job there is.
    pub(super) fn job(&self) -> PathBuf {
        let jobs: Vec<PathBuf> = std::fs::read_dir(self.path().join("jobs"))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .collect();
        assert_eq!(jobs.len(), 1, "{jobs:?}");
        jobs[0].clone()
    }

    /// Its journal.
    pub(super) fn journal(&self) -> PathBuf {
        self.job().join("journal.jsonl")
    }

    /// Its entries.
    pub(super) fn entries(&self) -> Vec<Value> {
        let text = std::fs::read_to_string(self.journal()).unwrap();
        let lines = text.lines();
        lines
            .map(|line| serde_json::from_str(line).unwrap())
            .collect()
    }

    /// The lines of its journal that are whole.
    pub(super) fn entries_whole(&self) -> Vec<String> {
        let text = std::fs::read_to_string(self.journal()).unwrap();
        let lines = text.split_inclusive('\n');
        lines
            .filter_map(|line| line.strip_suffix('\n'))
            .map(str::to_owned)
            .collect()
    }

    /// The commands of its entries that speak of this.
    pub(super) fn commands(&self, word: &str) -> Vec<Value> {
        let entries = self.entries().into_iter();
        entries
            .map(|entry| entry["do"].clone())
            .filter(|command| command.to_string().contains(word))
            .collect()
    }

    /// What `levelhand jobs verify` says of it: exit code and words.
    pub(super) fn verified(&self) -> (Option<i32>, String) {
        let out = Command::new(env!("CARGO_BIN_EXE_levelhand"))
            .arg("--data")
            .arg(self.path())
            .args(["jobs", "verify"])
            .arg(self.job().file_name().unwrap())
            .output()
            .unwrap();
        let words = String::from_utf8_lossy(&out.stdout).into_owned();
        (out.status.code(), words)
    }
}

impl Terminal {
    /// The row that the focus is on.
    pub(super) fn focus(&self) -> String {
        let rows = self.rows();
        let row = rows.iter().find(|row| row.starts_with(" > "));
        row.map_or_else(String::new, |row| row.trim_end().to_owned())
    }

    /// The same, once nothing moves: a frame may arrive in pieces.
    pub(super) fn settled(&self) -> String {
        loop {
            let rows = self.rows();
            sleep(Duration::from_millis(10));
            if rows == self.rows() {
                return self.focus();
            }
        }
    }

    /// Moves the focus down until it is on a row with this text.
    #[track_caller]
    pub(super) fn go_to(&self, text: &str) {
        for _ in 0..40 {
            let focus = self.settled();
            if focus.contains(text) {
                return;
            }
            self.send(DOWN);
            self.until("the focus to move", |t| {
                let now = t.settled();
                !now.is_empty() && now != focus
            });
        }
        panic!("no row {text:?}; on the screen:\n{}", self.framed());
    }

    /// From the board to the first step of a new job by a procedure of this title.
    #[track_caller]
    pub(super) fn open_job(&self, title: &str) {
        self.wait("the shop's own");
        self.wait("THIS KEYBOARD");
        if !self.focus().contains(title) {
            // The shop's own come first.
            self.send("\x1b[A");
        }
        self.until("the row of the procedure", |t| t.focus().contains(title));
        self.send(ENTER);
        self.wait("why this job");
        self.go_to("at the keyboard");
        self.send("A. Sample");
        self.go_to("why this job");
        self.send("trial");
        self.go_to("scope below");
        self.until("the scope", |t| !t.shows("reading it"));
        self.send("y");
        self.wait("read and accepted");
        self.go_to("open the job");
        self.send(ENTER);
    }

    #[track_caller]
    pub(super) fn open_small_job(&self) {
        self.open_job("Small job");
        self.wait("CHOCK THE WHEELS");
    }

    /// From the board to where the unfinished job stands.
    #[track_caller]
    pub(super) fn go_on(&self) {
        self.wait("GO ON WITH");
        self.wait("THIS KEYBOARD");
        self.go_to("small truck");
        self.send(ENTER);
        self.wait("Opened again");
    }

    /// The answers of the first step, one by one.
    pub(super) fn chock(&self) {
        self.until("the first tick", |t| t.focus().contains("left wheel"));
        self.send("s");
        self.until("the second tick", |t| t.focus().contains("right wheel"));
        self.send("s");
        self.until("the third tick", |t| t.focus().contains("who chocked"));
        self.send("g");
        self.wait("IN WORDS");
        self.enter("B. Sample");
        self.until("the way on", |t| t.focus().contains("Enter"));
    }

    /// From the first step to the gate.
    pub(super) fn go_to_gate(&self) {
        self.chock();
        self.send(ENTER);
        self.wait("READ THE SUPPLY");
        self.enter("8 bar");
        self.until("the way on", |t| t.focus().contains("Enter"));
        self.send(ENTER);
        self.wait("IS ALL CLEAR?");
    }
}
