//! A drill in a real terminal: the verb, the keys of the truck, held keys as both kinds
//! of terminal tell them, leaving, and what is on disk after it.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use portable_pty::CommandBuilder;

use super::hand::{DOWN, ENTER, ESC};
use super::shop::Shop;
use super::terminal::{Start, Terminal};
use crate::program::{run, text};

const CTRL_T: &str = "\x14";
const RAISING: &str = "RAISING both sides";
const SHUT: &str = "valves shut";
/// A key must have been silent before it can open a valve.
const SILENT: Duration = Duration::from_millis(1_300);

/// The program on the verb, 120 by 40.
fn practise(shop: &Shop, words: &[&str]) -> Terminal {
    let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_levelhand"));
    command.arg("--data");
    command.arg(shop.path());
    command.arg("practise");
    command.args(words);
    Start::new(shop.path()).command(command).size(120, 40).go()
}

/// The drill, with the truck's keys given to it.
fn at_truck(shop: &Shop) -> Terminal {
    let t = practise(shop, &["clear_coached", "--by", "A. Mercer", "--seed", "7"]);
    t.wait("PRACTICE TRUCK, Ctrl-T for its keys");
    t.send(CTRL_T);
    t.wait("PRACTICE TRUCK, has the keys");
    std::thread::sleep(SILENT);
    t
}

/// Directories below one of the data's own; none when it is not there.
fn below(shop: &Shop, name: &str) -> Vec<PathBuf> {
    let Ok(found) = fs::read_dir(shop.path().join(name)) else {
        return Vec::new();
    };
    found.map(|entry| entry.unwrap().path()).collect()
}

fn leave(t: &Terminal) {
    t.send(ESC);
    t.wait("PRACTICE TRUCK, Ctrl-T for its keys");
    t.send("q");
    t.wait("LEAVE THE DRILL?");
    t.send("y");
    t.wait("DEBRIEF");
    t.wait("NOT PASSED YET");
}

/// Holds raise as the bytes say until the frame is high on the screen.
fn raise(t: &Terminal, first: &str, next: &str, last: &str) {
    // A machine that stands still shuts the valve, as it must: then once more.
    for _ in 0..8 {
        let from = Instant::now();
        let mut seen = false;
        t.repeat(first, next, |t| {
            seen |= t.shows(RAISING);
            from.elapsed() < Duration::from_millis(1_500)
        });
        t.send(last);
        if seen {
            t.wait(SHUT);
            return;
        }
        std::thread::sleep(SILENT);
    }
    panic!("the valve never opened:\n{}", t.framed());
}

/// The heights in the debrief, mm: as they stand when the drill is left.
fn heights(folder: &Path) -> String {
    let page = fs::read_to_string(folder.join("debrief.txt")).unwrap();
    let line = page.lines().find(|l| l.contains("stands now at"));
    line.unwrap_or_else(|| panic!("{page}")).trim().to_owned()
}

#[test]
fn a_drill_is_raised_by_plain_repeats_left_and_kept_as_practice_and_not_as_a_job() {
    let shop = Shop::empty();
    let mut t = at_truck(&shop);
    raise(&t, "u", "u", "");
    leave(&t);

    assert_eq!(below(&shop, "jobs"), Vec::<PathBuf>::new());
    let kept = below(&shop, "practice");
    assert_eq!(kept.len(), 1, "{kept:?}");
    // The page is there from the beginning, and says then that it was cut off.
    t.until("the debrief on disk", |_| {
        let page = fs::read_to_string(kept[0].join("debrief.txt")).unwrap_or_default();
        page.contains("MARKS") && kept[0].join("debrief.json").is_file()
    });
    let page = fs::read_to_string(kept[0].join("debrief.txt")).unwrap();
    assert!(page.starts_with("PRACTICE."), "{page}");
    let data = fs::read_to_string(kept[0].join("debrief.json")).unwrap();
    let data: serde_json::Value = serde_json::from_str(&data).unwrap();
    assert_eq!(data["format"], "levelhand drill debrief 1");
    assert_eq!(data["by"], "A. Mercer");
    assert_eq!(data["drill"], "clear_coached");
    assert_eq!(data["seed"], 7);
    assert!(data["mode"] == "PRACTICE", "{data}");
    assert_ne!(
        heights(&kept[0]),
        "stands now at 205.0 mm left, 205.0 mm right"
    );

    // On the board it is over, and nothing to go on with.
    t.send(ESC);
    t.wait("PRACTISE");
    t.until("the jobs", |t| !t.shows("looking for jobs"));
    assert!(!t.shows("GO ON WITH"), "{}", t.framed());
    t.send("q");
    t.ended();

    let data = shop.path().display().to_string();
    let listed = text(&run(&["--data", &data, "jobs", "list"]).stdout);
    let (jobs, practice) = listed.split_once("PRACTICE").unwrap_or((&listed, ""));
    let id = kept[0].file_name().unwrap().to_string_lossy().into_owned();
    assert!(!jobs.contains(&id), "{listed}");
    assert!(practice.contains(&id), "{listed}");
}

#[test]
fn releases_are_asked_for_while_the_truck_has_the_keys_and_given_back() {
    let shop = Shop::empty();
    let t = at_truck(&shop);
    let bytes = String::from_utf8_lossy(&t.bytes()).into_owned();
    assert!(
        bytes.contains("\x1b[>11u"),
        "releases are asked for at the truck"
    );
    raise(&t, "\x1b[117;1:1u", "\x1b[117;1:2u", "\x1b[117;1:3u");
    leave(&t);
    let bytes = String::from_utf8_lossy(&t.bytes()).into_owned();
    let asked = bytes.matches("\x1b[>11u").count();
    let given_back = bytes.matches("\x1b[<1u").count();
    assert_eq!((asked, given_back), (1, 1), "and given back after it");
}

#[test]
fn a_window_that_loses_the_focus_shuts_the_valve_although_the_key_repeats() {
    let shop = Shop::empty();
    let t = at_truck(&shop);
    let from = Instant::now();
    let mut lost = false;
    t.repeat("u", "u", |t| {
        if !lost && t.shows(RAISING) {
            lost = true;
            t.send("\x1b[O");
            t.wait(SHUT);
        }
        assert!(!(lost && t.shows(RAISING)), "{}", t.framed());
        from.elapsed() < Duration::from_secs(3)
    });
    assert!(lost, "it never opened:\n{}", t.framed());
}

#[test]
fn the_course_is_shown_by_the_verb_alone_and_opens_a_drill() {
    let shop = Shop::empty();
    let t = practise(&shop, &[]);
    t.wait("PRACTICE: nothing here is a job");
    t.wait("The whole job, clear truck, coached");
    t.send("A. Mercer");
    t.wait("A. Mercer");
    t.send(ENTER);
    t.send(DOWN);
    t.wait("Learn what a sound truck shows");
    t.send(ENTER);
    t.wait("PRACTICE TRUCK, Ctrl-T for its keys");
    assert_eq!(below(&shop, "practice").len(), 1);
    assert!(below(&shop, "jobs").is_empty());
}
