//! The terminal is given back as it was, on every way out.

use portable_pty::{CommandBuilder, ExitStatus};

use super::hand::{CTRL_C, CTRL_Z, READY_TURNS};
use super::shop::Shop;
use super::terminal::{Start, Terminal};

/// What is asked of the terminal, and what takes it back.
const PAIRS: [(&str, &str); 4] = [
    ("\x1b[?1049h", "\x1b[?1049l"),
    ("\x1b[?2004h", "\x1b[?2004l"),
    ("\x1b[?1004h", "\x1b[?1004l"),
    ("\x1b[>11u", "\x1b[<1u"),
];

#[track_caller]
fn given_back(t: &Terminal) {
    let bytes = String::from_utf8_lossy(&t.bytes()).into_owned();
    for (asked, back) in PAIRS {
        let (asked_at, back_at) = (bytes.rfind(asked), bytes.rfind(back));
        assert!(asked_at <= back_at, "{asked:?} is not taken back");
    }
    assert!(bytes.contains(PAIRS[0].0), "it was never taken");
    assert!(!t.state(vt100::Screen::alternate_screen));
    assert!(!t.state(vt100::Screen::bracketed_paste));
    assert!(!t.state(vt100::Screen::hide_cursor));
    assert_eq!(t.line(), t.line_before(), "the settings of the line");
}

#[track_caller]
fn code(status: &ExitStatus) -> u32 {
    assert_eq!(status.signal(), None);
    status.exit_code()
}

#[test]
fn q_and_ctrl_c_on_the_board_leave_and_give_the_terminal_back() {
    for key in ["q", CTRL_C] {
        let shop = Shop::empty();
        let mut t = shop.start();
        t.wait("THIS KEYBOARD");
        assert_ne!(t.line(), t.line_before(), "keys come one by one");
        assert!(t.state(vt100::Screen::alternate_screen));
        t.send(key);
        assert_eq!(code(&t.ended()), 0);
        given_back(&t);
    }
}

#[test]
fn asked_to_end_it_gives_the_terminal_back_and_says_so() {
    let shop = Shop::small();
    let mut t = shop.at_gate();
    // Key releases are asked for now, which must be undone too.
    t.wait(READY_TURNS);
    let entries = shop.entries().len();
    t.signal("TERM");
    assert_eq!(code(&t.ended()), 143);
    given_back(&t);
    assert_eq!(shop.entries().len(), entries);
    let again = shop.start();
    again.go_on();
    again.wait("IS ALL CLEAR?");
}

#[test]
fn a_terminal_that_goes_away_ends_the_program_and_loses_nothing() {
    let shop = Shop::small();
    let mut t = shop.at_first_step();
    t.chock();
    t.hang_up();
    assert_eq!(code(&t.ended()), 129);
    let again = shop.start();
    again.go_on();
    again.until("all answers", |t| t.focus().contains("Enter"));
}

#[test]
fn ctrl_z_steps_aside_and_comes_back() {
    let shop = Shop::small();
    let t = shop.at_first_step();
    t.send(CTRL_Z);
    t.until("the stop", |t| t.process() == 'T');
    t.until("the rest", |t| !t.state(vt100::Screen::alternate_screen));
    given_back(&t);
    t.signal("CONT");
    t.until("the step again", |t| {
        t.shows("CHOCK THE WHEELS") && t.state(vt100::Screen::alternate_screen)
    });
    assert!(t.state(vt100::Screen::bracketed_paste));
    t.send("s");
    t.until("the second tick", |t| t.focus().contains("right wheel"));
}

#[test]
fn after_a_step_aside_at_a_hold_key_releases_are_asked_for_again() {
    let shop = Shop::small();
    let t = shop.at_gate();
    t.wait(READY_TURNS);
    t.send(CTRL_Z);
    t.until("the stop", |t| t.process() == 'T');
    t.until("the rest", |t| !t.state(vt100::Screen::alternate_screen));
    given_back(&t);
    t.signal("CONT");
    t.wait("Cancelled");
    t.wait(READY_TURNS);
    let bytes = String::from_utf8_lossy(&t.bytes()).into_owned();
    assert!(bytes.rfind("\x1b[>11u") > bytes.rfind("\x1b[<1u"));
    t.take_turns();
    t.wait("RAISE THE FRAME");
}

#[test]
fn stopped_by_another_it_draws_itself_anew() {
    let shop = Shop::small();
    let t = shop.at_first_step();
    t.signal("STOP");
    t.until("the stop", |t| t.process() == 'T');
    let before = t.bytes().len();
    t.signal("CONT");
    t.until("a whole frame", |t| {
        let bytes = t.bytes();
        String::from_utf8_lossy(&bytes[before..]).contains("left wheel")
    });
}

#[test]
fn a_panic_gives_the_terminal_back_before_it_is_told() {
    let shop = Shop::empty();
    let mut command = CommandBuilder::new(std::env::current_exe().unwrap());
    command.args([
        "--exact",
        "pty::leave::giving_back_what_was_not_taken_does_nothing",
        "--nocapture",
    ]);
    let mut t = Start::new(shop.path())
        .command(command)
        .env(PANICS, "1")
        .go();
    assert_ne!(t.ended().exit_code(), 0);
    given_back(&t);
    let bytes = String::from_utf8_lossy(&t.bytes()).into_owned();
    let told = bytes.find("panics for trying").unwrap();
    assert!(bytes.find(PAIRS[0].1).unwrap() < told, "{bytes:?}");
}

/// Set for the test below by the one above, which runs it in a terminal of its
/// own: it then takes that terminal and panics.
const PANICS: &str = "LEVELHAND_PANICS_FOR_TRYING";

#[test]
fn giving_back_what_was_not_taken_does_nothing() {
    if std::env::var_os(PANICS).is_some() {
        levelhand::io::terminal::hook_panics();
        let guard = levelhand::io::terminal::Guard::take().unwrap();
        guard.key_releases(true);
        panic!("panics for trying");
    }
    levelhand::io::terminal::give_back();
    assert!(!levelhand::io::terminal::is_taken());
}

#[test]
fn without_a_terminal_it_says_what_to_do() {
    let shop = Shop::empty();
    let out = std::process::Command::new(env!("CARGO_BIN_EXE_levelhand"))
        .arg("--data")
        .arg(shop.path())
        .stdin(std::process::Stdio::null())
        .output()
        .unwrap();
    assert_ne!(out.status.code(), Some(0));
    assert!(!out.stdout.contains(&0x1b), "no control codes into a pipe");
}
